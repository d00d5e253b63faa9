//! The person's own profiles on disk: each comes back as it was, what cannot be used is listed with its reason, and a clash is
//! for the person to decide.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking, in its helpers too")]

use std::fs;
use std::path::Path;

use pourcast::garden::{
    Catalog, OwnKind, OwnProfile, OwnWater, Product, SourceWater, Strength, WaterKind, WaterReport,
};
use pourcast::store::{
    Folders, Library, Meeting, ProfileFile, StoreError, Written, export_file, profile_from_text, profile_text,
    profile_to_take, read_profile,
};
use proptest::prelude::*;

/// 2026-03-02 09:00 UTC.
const MORNING_S: i64 = 1_772_442_000;

/// Version 1 as it was when it was first released. Never edit them: files like them are on people's disks.
const FIXTURES: [&str; 3] = [
    include_str!("fixtures/product_v1.ron"),
    include_str!("fixtures/crop_v1.ron"),
    include_str!("fixtures/water_v1.ron"),
];

fn shipped() -> Catalog {
    Catalog::shipped().unwrap()
}

fn product(id: &str, name: &str) -> OwnProfile {
    let of = |product: &Product| OwnProfile::Product(Box::new(product.clone()));
    of(&shipped().products[0]).called(id.to_owned(), name.to_owned())
}

fn water(name: &str, ec_ms_cm: Option<f64>) -> OwnProfile {
    let water = SourceWater { ec_ms_cm, ..SourceWater::of_kind(WaterKind::Rain) };
    OwnProfile::Water(Box::new(OwnWater { id: "barrel".to_owned(), name: name.to_owned(), water, note: None }))
}

struct Desk {
    home: tempfile::TempDir,
    folders: Folders,
}

impl Desk {
    fn with(profiles: Vec<OwnProfile>) -> Self {
        let home = tempfile::tempdir().unwrap();
        let folders = Folders::below(&fs::canonicalize(home.path()).unwrap());
        for profile in profiles {
            Library::take_in(&folders, profile, None).unwrap();
        }
        Self { home, folders }
    }

    fn file(&self, kind: OwnKind, name: &str) -> std::path::PathBuf {
        self.folders.profiles(kind).join(name)
    }
}

#[test]
fn every_shipped_shape_comes_back() {
    let catalog = shipped();
    let path = Path::new("x");
    let mut all: Vec<OwnProfile> = catalog.crops.iter().map(|crop| OwnProfile::Crop(Box::new(crop.clone()))).collect();
    for product in &catalog.products {
        for strength in [product.strength.clone(), Strength::UNKNOWN_ACID, Strength::UNKNOWN_BASE] {
            all.push(OwnProfile::Product(Box::new(Product { strength, ..product.clone() })));
        }
    }
    let report = WaterReport { ca_mg_l: Some(80.0), hco3_mg_l: Some(210.0), ..WaterReport::default() };
    for kind in WaterKind::ALL {
        let water = SourceWater { report: Some(report), ..SourceWater::of_kind(kind) };
        let own = OwnWater { id: "x".to_owned(), name: "X".to_owned(), water, note: Some("of May".to_owned()) };
        all.push(OwnProfile::Water(Box::new(own)));
    }
    assert!(all.len() > 30);
    for profile in all {
        let text = profile_text(&profile, path).unwrap();
        assert!(
            text.starts_with("// Pourcast profile of one's own. Comments are not kept.\n(\n    version: 1,\n"),
            "{text}"
        );
        let read = profile_from_text(text.as_bytes(), path).unwrap_or_else(|error| panic!("{error}\n{text}"));
        assert_eq!(read, profile, "{text}");
    }
}

#[test]
fn version_1_loads_and_makes_sense() {
    let names: Vec<(OwnKind, String)> = FIXTURES
        .iter()
        .map(|text| {
            let profile = profile_from_text(text.as_bytes(), Path::new("x")).unwrap();
            assert_eq!(profile.check(), []);
            (profile.kind(), profile.name().to_owned())
        })
        .collect();
    let name = |kind, name: &str| (kind, name.to_owned());
    assert_eq!(
        names,
        [
            name(OwnKind::Product, "Library one-part feed"),
            name(OwnKind::Crop, "Sill cress"),
            name(OwnKind::Water, "Rain barrel, court"),
        ]
    );
}

#[test]
fn profiles_live_in_a_folder_of_their_kind() {
    let desk = Desk::with(vec![product("sill-feed", "Sill feed"), water("Rain barrel", Some(0.05))]);
    let library = desk.folders.read_library();
    let files: Vec<_> = library.entries.iter().map(|e| (e.kind, e.title.as_str(), e.reason())).collect();
    assert_eq!(files, [(OwnKind::Product, "Sill feed", None), (OwnKind::Water, "Rain barrel", None)]);
    let own = library.own();
    assert_eq!((own.products.len(), own.crops.len(), own.waters.len()), (1, 0, 1));
    let (catalog, clashes) = shipped().with_own(&own);
    assert_eq!((catalog.own, clashes.len()), (own, 0));
}

#[test]
fn what_cannot_be_used_is_listed_with_its_reason_and_stays() {
    let desk = Desk::with(vec![water("Good", None)]);
    let good = fs::read_to_string(desk.file(OwnKind::Water, "Good.ron")).unwrap();
    let put = |name: &str, text: &str| fs::write(desk.file(OwnKind::Water, name), text).unwrap();
    put("cut.ron", &good[..good.len() - 40]);
    put("field.ron", &good.replace("note:", "nota:"));
    put("newer.ron", &good.replace("version: 1", "version: 2"));
    put("salty.ron", &good.replace("ec_ms_cm: None", "ec_ms_cm: 70.0"));
    put("crop.ron", FIXTURES[1]);
    put("unit.ron", include_str!("fixtures/unit_v1.ron"));
    put("notes.txt", "not ours");
    let library = desk.folders.read_library();
    let reasons: Vec<(String, String)> = library
        .entries
        .iter()
        .filter_map(|entry| {
            Some((entry.title.clone(), entry.reason()?.replace(&entry.path.display().to_string(), "PATH")))
        })
        .collect();
    let line = good.lines().position(|line| line.contains("note:")).unwrap() + 1;
    let found = |title: &str| reasons.iter().find(|(t, _)| t == title).unwrap().1.clone();
    assert_eq!(reasons.len(), 6, "{reasons:?}");
    assert_eq!(found("field"), format!("unknown field `nota` at line {line}, column 9: PATH"));
    assert!(found("cut").starts_with("the file ends too early"), "{}", found("cut"));
    assert_eq!(found("newer"), "the file was written by a newer Pourcast (version 2; this one reads up to 1): PATH");
    assert_eq!(found("salty"), "a source water of EC 70 mS/cm is outside 0 to 5 mS/cm");
    assert_eq!(found("crop"), "the file holds a crop, not a water: PATH");
    assert_eq!(found("unit"), "the file holds something else of Pourcast's, not a profile: PATH");
    assert_eq!(library.own().waters.len(), 1);
    // None of them has a handle, and none is written over.
    for name in ["cut.ron", "field.ron", "newer.ron"] {
        let path = desk.file(OwnKind::Water, name);
        let before = fs::read(&path).unwrap();
        assert!(read_profile(&path).is_err());
        assert!(matches!(ProfileFile::create(&path, &water("X", None)), Err(StoreError::AlreadyThere { .. })));
        assert_eq!(fs::read(&path).unwrap(), before);
    }
    // It is put away like any other.
    let gone = desk.folders.delete_profile(&desk.file(OwnKind::Water, "cut.ron"), MORNING_S).unwrap();
    assert_eq!(gone.file_name().unwrap(), "cut (deleted 2026-03-02 090000Z).ron");
    assert_eq!(fs::read_to_string(gone).unwrap(), good[..good.len() - 40]);
    assert!(matches!(
        desk.folders.delete_profile(&desk.home.path().join("settings.ron"), MORNING_S),
        Err(StoreError::Elsewhere { .. })
    ));
}

#[test]
fn a_profile_is_handed_on_and_taken_in() {
    let desk = Desk::with(vec![product("sill-feed", "Sill feed")]);
    let out = export_file(&desk.file(OwnKind::Product, "Sill feed.ron"), &desk.home.path().join("out")).unwrap();
    let profile = profile_to_take(&out).unwrap();
    let other = Desk::with(Vec::new());
    assert_eq!(other.folders.read_library().meeting(&profile, &shipped()), Meeting::Free);
    Library::take_in(&other.folders, profile.clone(), None).unwrap();
    let library = other.folders.read_library();
    assert_eq!(library.meeting(&profile, &shipped()), Meeting::Same);
    // What makes no sense is not taken in.
    let text = fs::read_to_string(&out).unwrap().replace("sill-feed", "Sill Feed!");
    fs::write(&out, text).unwrap();
    let error = profile_to_take(&out).unwrap_err().to_string();
    assert!(error.starts_with("the id `Sill Feed!` cannot be used") && error.ends_with("out.ron"), "{error}");
}

#[test]
fn a_clash_is_told_and_both_can_be_kept() {
    let desk = Desk::with(vec![water("Rain barrel", Some(0.05))]);
    let library = desk.folders.read_library();
    let theirs = water("rain barrel", Some(0.12));
    let Meeting::Clash(clash) = library.meeting(&theirs, &shipped()) else { panic!("no clash") };
    assert_eq!(clash.to_string(), "you have a water called “Rain barrel” already, and it is another one");
    assert_eq!((clash.new_name.as_str(), clash.new_id.as_str()), ("rain barrel 2", "barrel-2"));
    let path = Library::take_in(&desk.folders, theirs, Some(&clash)).unwrap();
    assert_eq!(path, desk.file(OwnKind::Water, "rain barrel 2.ron"));
    let own = desk.folders.read_library().own();
    assert_eq!(shipped().with_own(&own).1, [], "each has an id of its own");
    // The same id under another name, and the id of something shipped.
    let Meeting::Clash(clash) = library.meeting(&water("Butt", None), &shipped()) else { panic!("no clash") };
    assert_eq!(clash.to_string(), "“Butt” has the id `barrel`, which is that of your water “Rain barrel”");
    let (id, name) = (shipped().products[0].id.clone(), shipped().products[0].name.clone());
    let Meeting::Clash(clash) = library.meeting(&product(&id, "Sill feed"), &shipped()) else { panic!("no clash") };
    assert_eq!(
        clash.to_string(),
        format!("“Sill feed” has the id `{id}`, which is that of the shipped product “{name}”")
    );
    assert_eq!((clash.new_name.as_str(), clash.new_id, clash.mine), ("Sill feed", format!("{id}-2"), None));
}

#[test]
fn mine_can_be_replaced_and_is_kept_beside_it() {
    let desk = Desk::with(vec![water("Rain barrel", Some(0.05))]);
    let mine = desk.file(OwnKind::Water, "Rain barrel.ron");
    let before = fs::read(&mine).unwrap();
    let mut library = desk.folders.read_library();
    let theirs = water("Rain barrel", Some(0.12));
    let Meeting::Clash(clash) = library.meeting(&theirs, &shipped()) else { panic!("no clash") };
    assert_eq!(library.replace(theirs.clone(), &clash, &shipped()).unwrap(), mine);
    assert_eq!(read_profile(&mine).unwrap().profile, theirs);
    assert_eq!(fs::read(mine.with_extension("ron.backup")).unwrap(), before);
    // Changed by someone else meanwhile, it is not.
    let mut library = desk.folders.read_library();
    fs::write(&mine, FIXTURES[2]).unwrap();
    let error = library.replace(theirs, &clash, &shipped()).unwrap_err();
    assert!(matches!(error, StoreError::ChangedOnDisk { .. }), "{error}");
    assert_eq!(fs::read_to_string(&mine).unwrap(), FIXTURES[2]);
}

#[test]
fn what_is_deleted_is_listed_and_comes_back_under_a_free_name() {
    let desk = Desk::with(vec![water("Rain barrel", Some(0.05)), product("sill-feed", "Sill feed")]);
    let mine = desk.file(OwnKind::Water, "Rain barrel.ron");
    let before = fs::read(&mine).unwrap();
    let gone = desk.folders.delete_profile(&mine, MORNING_S).unwrap();
    let listed: Vec<_> =
        desk.folders.list_deleted_profiles().into_iter().map(|(kind, file)| (kind, file.path)).collect();
    assert_eq!(listed, [(OwnKind::Water, gone.clone())]);
    assert_eq!(desk.folders.bring_back_profile(&gone).unwrap(), mine);
    assert_eq!(fs::read(&mine).unwrap(), before);
    // Another one of its name came meanwhile: nothing is moved over it, and both can be told apart.
    let gone = desk.folders.delete_profile(&mine, MORNING_S).unwrap();
    let other = water("Rain barrel", Some(0.2));
    Library::take_in(&desk.folders, other.clone(), None).unwrap();
    let library = desk.folders.read_library();
    let Meeting::Clash(clash) = library.meeting(&read_profile(&gone).unwrap().profile, &shipped()) else {
        panic!("no clash")
    };
    let back = desk.folders.bring_back_profile_as(&gone, &clash).unwrap();
    assert_eq!(back, desk.file(OwnKind::Water, "Rain barrel 2.ron"));
    assert_eq!(
        read_profile(&back).unwrap().profile,
        water("x", Some(0.05)).called("barrel-2".into(), "Rain barrel 2".into())
    );
    assert_eq!(read_profile(&mine).unwrap().profile, other);
    // What is no deleted profile stays where it is.
    for path in [&mine, &desk.home.path().join("settings.ron")] {
        assert!(matches!(desk.folders.bring_back_profile(path), Err(StoreError::Elsewhere { .. })));
    }
}

#[test]
fn a_file_follows_the_name_of_its_profile() {
    let desk = Desk::with(vec![water("Rain barrel", None), water("Butt", None)]);
    let mut loaded = read_profile(&desk.file(OwnKind::Water, "Rain barrel.ron")).unwrap();
    loaded.file.write(&water("Butt", Some(0.1))).unwrap();
    loaded.file.follow_name("Butt").unwrap();
    assert_eq!(loaded.file.path(), desk.file(OwnKind::Water, "Butt 2.ron"));
    // It is the same handle: it goes on writing there.
    assert_eq!(loaded.file.write(&water("Butt", Some(0.2))).unwrap(), Written::Saved);
    assert_eq!(read_profile(&desk.file(OwnKind::Water, "Butt 2.ron")).unwrap().profile, water("Butt", Some(0.2)));
    let library = desk.folders.read_library();
    assert_eq!(library.bearer_of_name(OwnKind::Water, " butt ", None), Some("Butt"));
    let one = desk.file(OwnKind::Water, "Butt.ron");
    fs::remove_file(desk.file(OwnKind::Water, "Butt 2.ron")).unwrap();
    assert_eq!(desk.folders.read_library().bearer_of_name(OwnKind::Water, "Butt", Some(&one)), None);
    assert_eq!(
        library.id_for(OwnKind::Product, &shipped().products[0].id, &shipped()),
        format!("{}-2", shipped().products[0].id)
    );
}

#[test]
fn a_handle_writes_its_own_kind_only() {
    let desk = Desk::with(vec![water("Rain barrel", None)]);
    let mut loaded = read_profile(&desk.file(OwnKind::Water, "Rain barrel.ron")).unwrap();
    assert_eq!(loaded.file.write(&loaded.profile).unwrap(), Written::AlreadyThere);
    let error = loaded.file.write(&product("x", "X")).unwrap_err();
    assert!(matches!(error, StoreError::OtherKind { .. }), "{error}");
    assert_eq!(loaded.file.write(&water("Butt", None)).unwrap(), Written::Saved);
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    /// Any text a person types, and any finite number, comes back as it was.
    #[test]
    fn any_profile_comes_back(id in any::<String>(), name in any::<String>(), note in any::<Option<String>>(), bits in any::<u64>(), which in 0_usize..3) {
        let number = f64::from_bits(bits);
        let profile = match which {
            0 => {
                let OwnProfile::Product(mut product) = product(&id, &name) else { unreachable!("a product") };
                product.note = note;
                product.strength = Strength::Unknown { kind: pourcast::garden::UnknownKind::Feed, median_mmol_per_unit: number, ln_sd: 0.5 };
                OwnProfile::Product(product)
            }
            1 => {
                let mut crop = shipped().crops[0].clone();
                (crop.id, crop.name, crop.note) = (id, name, note);
                crop.claims[0].ph = Some(pourcast::garden::Band::AtMost(number));
                OwnProfile::Crop(Box::new(crop))
            }
            _ => {
                let water = SourceWater { ph: Some(number), ..SourceWater::of_kind(WaterKind::HardTap) };
                OwnProfile::Water(Box::new(OwnWater { id, name, water, note }))
            }
        };
        let path = Path::new("x");
        match profile_text(&profile, path) {
            Ok(text) => {
                let read = profile_from_text(text.as_bytes(), path);
                prop_assert_eq!(read.unwrap(), profile);
            }
            Err(StoreError::NotFinite { .. }) => prop_assert!(!number.is_finite()),
            Err(other) => prop_assert!(false, "{}", other),
        }
    }

    /// Whatever a profile says, its check ends and speaks in one line.
    #[test]
    fn any_profile_is_checked(id in any::<String>(), name in "\\PC{0,90}", bits in any::<u64>()) {
        let water = SourceWater { ec_ms_cm: Some(f64::from_bits(bits)), ..SourceWater::of_kind(WaterKind::HardTap) };
        let profile = OwnProfile::Water(Box::new(OwnWater { id, name, water, note: None }));
        for problem in profile.check() {
            prop_assert!(problem.message.lines().count() == 1 && problem.message.len() < 600, "{}", problem.message);
        }
    }
}
