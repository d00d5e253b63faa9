//! Files made to break the reader: it neither panics nor overflows its stack, and what failed to load stays as it is.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking, in its helpers too")]

use std::fs;
use std::path::Path;

use pourcast::garden::{Catalog, OwnKind, OwnProfile, OwnWater, Severity, SourceWater, WaterKind};
use pourcast::store::{Folders, Library, ProfileFile, StoreError, UnitFile, profile_text, read_unit, unit_from_text};

const VERSION_1: &str = include_str!("fixtures/unit_v1.ron");
const VERSION_2: &str = include_str!("fixtures/unit_v2.ron");
const VERSION_3: &str = include_str!("fixtures/unit_v3.ron");
const VERSION_4: &str = include_str!("fixtures/unit_v4.ron");
const VERSION_5: &str = include_str!("fixtures/unit_v5.ron");
/// Every version that was ever written.
const VERSIONS: [&str; 5] = [VERSION_1, VERSION_2, VERSION_3, VERSION_4, VERSION_5];

/// Reads the file; if it fails, its bytes are the same and no way leads to overwriting it. True when it loaded.
fn survives(path: &Path, contents: &[u8]) -> bool {
    fs::write(path, contents).unwrap();
    let backup = path.with_extension("ron.backup");
    let loaded = read_unit(path);
    assert_eq!(fs::read(path).unwrap(), contents, "reading writes nothing");
    match loaded {
        Err(error) => {
            let message = error.to_string();
            assert!(!message.is_empty() && message.lines().count() == 1 && message.len() < 1000, "{message}");
            let sample = unit_from_text(VERSION_1.as_bytes(), path).unwrap();
            assert!(matches!(UnitFile::create(path, &sample), Err(StoreError::AlreadyThere { .. })));
            assert_eq!(fs::read(path).unwrap(), contents);
            assert!(!backup.exists());
            false
        }
        // A change inside a text or a number may well load. What it was is then kept when it is written.
        Ok(mut loaded) => {
            "written".clone_into(&mut loaded.unit.name);
            loaded.file.write(&loaded.unit).unwrap();
            assert_eq!(fs::read(&backup).unwrap(), contents);
            assert_eq!(read_unit(path).unwrap().unit, loaded.unit);
            fs::remove_file(&backup).unwrap();
            true
        }
    }
}

/// The same numbers in every run. Source: Knuth's MMIX constants, The Art of Computer Programming 2 (1997), from memory.
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, limit: usize) -> usize {
        self.0 = self.0.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
        usize::try_from((self.0 >> 33) % u64::try_from(limit.max(1)).unwrap()).unwrap()
    }
}

/// A text spoilt in up to three places, in one of six ways.
fn spoilt(numbers: &mut Numbers, text: &str, way: usize) -> Vec<u8> {
    const SCRAPS: [&[u8]; 14] = [
        b"(",
        b")",
        b"[",
        b"\"",
        b"'",
        b"/*",
        b"//",
        b"#![enable(",
        b"r#\"",
        b"\\u{110000}",
        b"\xff\xfe",
        b"\0",
        b"1e999999999",
        b"Some(",
    ];
    let mut contents = text.as_bytes().to_vec();
    for _ in 0..=numbers.below(3) {
        let at = numbers.below(contents.len());
        let end = (at + numbers.below(40)).min(contents.len());
        match way % 6 {
            0 => contents[at] ^= 1 << numbers.below(8),
            1 => contents.truncate(at.max(1)),
            2 => drop(contents.drain(at..end)),
            3 => drop(contents.splice(at..at, SCRAPS[numbers.below(SCRAPS.len())].iter().copied())),
            4 => {
                let again = contents[at..end].to_vec();
                drop(contents.splice(at..at, again));
            }
            _ => {
                let last = contents.len() - 1;
                contents.swap(at, end.min(last));
            }
        }
    }
    contents
}

#[test]
fn mutated_files_never_panic_and_are_never_overwritten() {
    // 300 and more of every version.
    const ROUNDS: usize = 1560;
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("unit.ron");
    let mut numbers = Numbers(20260101);
    let (mut loaded, mut refused) = (0, 0);
    for round in 0..ROUNDS {
        let contents = spoilt(&mut numbers, VERSIONS[round % 5], round / 5);
        if survives(&path, &contents) { loaded += 1 } else { refused += 1 }
    }
    println!("of {ROUNDS} mutated files {loaded} loaded and {refused} were refused");
    assert!(refused > 700 && loaded > 20, "the mutations reach the reader: {loaded} loaded, {refused} refused");
}

/// Whatever a profile's file holds: the library lists it, and it is neither written over nor lost when it is put away.
#[test]
fn mutated_profiles_never_panic_and_are_never_overwritten() {
    let home = tempfile::tempdir().unwrap();
    let folders = Folders::below(home.path());
    let shipped = Catalog::shipped().unwrap();
    let product = OwnProfile::Product(Box::new(shipped.products[0].clone()));
    let bottle = shipped.products.iter().find(|product| product.label_rate.is_some()).unwrap();
    let water = OwnWater {
        id: "sill-tap".to_owned(),
        name: "Tap by the sill".to_owned(),
        water: SourceWater { ec_ms_cm: Some(0.31), ..SourceWater::of_kind(WaterKind::MediumTap) },
        note: Some("drawn in May".to_owned()),
    };
    let text = |profile: &OwnProfile| profile_text(profile, Path::new("x")).unwrap();
    let good = [
        text(&product),
        text(&OwnProfile::Product(Box::new(bottle.clone()))),
        text(&OwnProfile::Crop(Box::new(shipped.crops[0].clone()))),
        text(&OwnProfile::Water(Box::new(water))),
    ];
    let nests = ["(", "[", "{", "Some(", "(product:", "Own(", "Recipe(", "/*", "#![enable(unwrap_newtypes)]"];
    let mut contents: Vec<Vec<u8>> = nests
        .iter()
        .flat_map(|nest| {
            let many = nest.repeat(300_000 / nest.len());
            [many.clone(), format!("(version: 1, product: {many}"), format!("(version: 1, {many}")]
        })
        .map(String::into_bytes)
        .collect();
    for good in &good {
        for (from, to) in [
            ("version: 1", "version: 2"),
            ("version: 1", "version: 0"),
            ("version: 1", "version: 99999999999999999999999"),
            ("name:", "nome:"),
            ("id:", "name: \"x\", id:"),
            ("product:", "crop:"),
            ("crop:", "water:"),
            ("water:", "unit:"),
        ] {
            contents.push(good.replacen(from, to, 1).into_bytes());
        }
        for number in ["1e308", "-1e308", "1e999", "inf", "NaN", "123456789012345678901234567890.0"] {
            let digits = good.find('.').map_or(0, |dot| good[..dot].rfind([' ', '(']).unwrap_or(0) + 1);
            let end = digits + good[digits..].find([',', ')']).unwrap_or(0);
            contents.push(format!("{}{number}{}", &good[..digits], &good[end..]).into_bytes());
        }
    }
    let mut numbers = Numbers(20260202);
    let texts: Vec<&str> = good.iter().map(String::as_str).collect();
    for round in 0..600 {
        contents.push(spoilt(&mut numbers, texts[round / 6 % 4], round));
    }
    contents.push((0..5000).map(|_| u8::try_from(numbers.below(256)).unwrap()).collect());
    assert!(contents.len() > 650);

    let (mut usable, mut refused) = (0, 0);
    for kind in OwnKind::ALL {
        fs::create_dir_all(folders.profiles(kind)).unwrap();
    }
    for (number, contents) in contents.iter().enumerate() {
        let path = folders.profiles(OwnKind::ALL[number % 3]).join(format!("{number}.ron"));
        fs::write(&path, contents).unwrap();
    }
    let library = folders.read_library();
    assert_eq!(library.entries.len(), contents.len(), "each is listed");
    for entry in &library.entries {
        let number: usize = entry.title.parse().unwrap();
        assert_eq!(&fs::read(&entry.path).unwrap(), &contents[number], "reading writes nothing");
        let Some(reason) = entry.reason() else {
            usable += 1;
            continue;
        };
        refused += 1;
        assert!(!reason.is_empty() && reason.lines().count() == 1 && reason.len() < 1000, "{reason}");
        assert!(matches!(ProfileFile::create(&entry.path, &product), Err(StoreError::AlreadyThere { .. })));
        assert_eq!(&fs::read(&entry.path).unwrap(), &contents[number]);
    }
    println!("of {} profiles {usable} can be used and {refused} cannot", contents.len());
    assert!(refused > 300 && usable > 5, "the mutations reach the reader: {usable} usable, {refused} refused");
    // What can be used clashes in words, and none of it changes what is shipped.
    let (with_own, clashes) = shipped.with_own(&library.own());
    assert_eq!(with_own.products, shipped.products);
    assert!(!clashes.is_empty() && clashes.iter().all(|clash| !clash.to_string().is_empty()));
    // Another profile of the same file name gets a name of its own.
    let taken = Library::take_in(&folders, product.called("other".to_owned(), "0".to_owned()), None).unwrap();
    assert_eq!(taken.file_name().unwrap(), "0 2.ron");
    for entry in library.entries {
        let number: usize = entry.title.parse().unwrap();
        let deleted = folders.delete_profile(&entry.path, 1_772_442_000).unwrap();
        assert_eq!(&fs::read(&deleted).unwrap(), &contents[number], "put away as it was");
    }
}

/// Units that cannot be read are moved like any other, byte by byte, and never rewritten.
#[test]
fn what_cannot_be_read_is_put_away_and_brought_back_as_it_is() {
    let home = tempfile::tempdir().unwrap();
    let folders = Folders::below(home.path());
    folders.make().unwrap();
    let mut numbers = Numbers(20260303);
    for round in 0..60 {
        let contents = spoilt(&mut numbers, [VERSION_1, VERSION_5][round / 6 % 2], round);
        let path = folders.units().join("spoilt.ron");
        fs::write(&path, &contents).unwrap();
        if read_unit(&path).is_ok() {
            fs::remove_file(&path).unwrap();
            continue;
        }
        assert!(folders.import_unit(&path).is_err());
        let named = folders.rename_unit(&path, "Named anew").unwrap();
        let archived = folders.archive_unit(&named).unwrap();
        let deleted = folders.delete_unit(&archived, 1_772_442_000).unwrap();
        let back = folders.bring_back_unit(&deleted).unwrap();
        assert_eq!(back, folders.units().join("Named anew.ron"));
        assert_eq!(fs::read(&back).unwrap(), contents);
        let deleted = folders.delete_unit(&back, 1_772_442_000).unwrap();
        assert_eq!(fs::read(&deleted).unwrap(), contents);
        assert_eq!(folders.list_units().unwrap(), []);
    }
    assert!(folders.list_deleted().unwrap().len() > 30, "each is kept, under a name of its own");
}

/// What a hand can put into the list of crops: it is refused with one sentence, whatever its length, and never planned with.
#[test]
fn a_list_of_crops_made_to_break_it_is_refused_by_the_check() {
    let catalog = Catalog::shipped().unwrap();
    let list = VERSION_2.split_once("also_growing: [").unwrap();
    let rest = list.1.split_once("],").unwrap().1;
    let with = |crops: &str| {
        let text = format!("{}also_growing: [{crops}],{rest}", list.0);
        unit_from_text(text.as_bytes(), Path::new("x")).unwrap()
    };
    let one = |crop: &str| format!("(crop_id: \"{crop}\", stage_id: \"growing\"),");
    for (crops, field) in [
        (one("mint").repeat(50_000), "also_growing"),
        (one("basil"), "also_growing.0"),
        (one("NaN"), "also_growing.0.crop_id"),
        (one(""), "also_growing.0.crop_id"),
        (one(&"x".repeat(100_000)), "also_growing.0.crop_id"),
        (one("mint\", stage_id: \"\u{202e}"), ""),
    ] {
        if field.is_empty() {
            // The same field twice is no unit at all.
            let text = format!("{}also_growing: [{crops}],{rest}", list.0);
            assert!(unit_from_text(text.as_bytes(), Path::new("x")).is_err());
            continue;
        }
        let unit = with(&crops);
        let problems = unit.check(&catalog);
        assert_eq!(problems.iter().map(|problem| problem.field.as_str()).collect::<Vec<_>>(), [field]);
        assert_eq!(problems[0].severity, Severity::Refused);
        assert!(problems[0].message.len() < 200, "{}", problems[0].message);
    }
    assert_eq!(with("").check(&catalog), []);
}

/// What a hand can put into the list of crops of one's own: each is refused with one sentence, whatever its length.
#[test]
fn crops_of_ones_own_made_to_break_it_are_refused_by_the_check() {
    let catalog = Catalog::shipped().unwrap();
    let (head, rest) = VERSION_4.split_once("own_crops: [").unwrap();
    let (_, tail) = rest.split_once("\n        ],\n").unwrap();
    let parsed =
        |crops: &str| unit_from_text(format!("{head}own_crops: [{crops}],\n{tail}").as_bytes(), Path::new("x"));
    let crop = |id: &str, stages: &str, claims: &str| {
        format!(
            "(id: \"{id}\", name: \"Sorrel\", botanical: \"\", group: Leafy, stages: [{stages}], claims: [{claims}]),"
        )
    };
    let (grown, claim) = ("(id: \"growing\", name: \"growing\")", |stage: &str, ph: &str| {
        format!("(stage: \"{stage}\", ph: {ph}, source: \"x\", evidence: Ours),")
    });
    for (crops, field) in [
        (crop("sorrel", grown, "").repeat(50_000), "own_crops"),
        (crop("sorrel", grown, "").repeat(2), "own_crops.1.id"),
        (crop("sorrel", grown, &claim("growing", "Span(6.5, 5.5)")), "own_crops.0.claims.0.ph"),
        (crop("sorrel", grown, &claim("growing", "Point(65.0)")), "own_crops.0.claims.0.ph"),
        (crop("sorrel", grown, &claim("growing", "AtMost(-1.0)")), "own_crops.0.claims.0.ph"),
        (crop("sorrel", grown, &claim(&"y".repeat(100_000), "Point(6.0)")), "own_crops.0.claims.0.stage"),
        (crop("sorrel", &format!("{grown}, {grown}"), ""), "own_crops.0.stages.1"),
        (
            crop("sorrel", grown, &claim("growing", "None, no_difference_ms_cm: (3.0, 1e30)")),
            "own_crops.0.claims.0.no_difference_ms_cm",
        ),
        (
            crop("sorrel", grown, "").replace(
                "claims:",
                "salt_tolerance: (value: (threshold_ms_cm: -1.0, loss_percent_per_ms_cm: 5.0), source: \"x\", evidence: Ours), claims:",
            ),
            "own_crops.0.salt_tolerance.threshold_ms_cm",
        ),
    ] {
        let unit = parsed(&crops).unwrap();
        let problems = unit.check(&catalog);
        assert_eq!(problems.iter().map(|problem| problem.field.as_str()).collect::<Vec<_>>(), [field]);
        assert_eq!(problems[0].severity, Severity::Refused);
        assert!(problems[0].message.len() < 200, "{}", problems[0].message);
        // Whatever the check says of it, asking for its zone does not panic.
        drop(unit.common_zone(&catalog, 0.5));
    }
    assert!(parsed(&crop("sorrel", grown, &claim("growing", "Point(NaN)"))).is_err(), "a number that is none");
    assert_eq!(parsed(&crop("sorrel", grown, "")).unwrap().check(&catalog), [], "without a band, the rule's own zone");
}

#[test]
fn a_file_cut_off_anywhere_is_refused() {
    let path = Path::new("unit.ron");
    let mut kinds = std::collections::BTreeMap::<&str, usize>::new();
    let whole = VERSION_1.trim_end();
    for cut in 1..whole.len() {
        let error = unit_from_text(&whole.as_bytes()[..cut], path).unwrap_err();
        let kind = match error {
            StoreError::EndsEarly { .. } => "ends early",
            StoreError::NotText { .. } => "cut inside a letter",
            StoreError::NoVersion { .. } => "cut before its version",
            StoreError::MissingField { .. } | StoreError::UnknownField { .. } => "field",
            other => panic!("cut at byte {cut}: {other}"),
        };
        *kinds.entry(kind).or_default() += 1;
    }
    println!("{kinds:?}");
    // Between the heading and the version, there are some bytes; the rest says what happened.
    assert!(kinds["ends early"] * 20 > whole.len() * 18, "{kinds:?}");
}

#[test]
fn nests_and_repetitions_do_not_break_the_stack() {
    const MANY: usize = 1_000_000;
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("unit.ron");
    let nests = ["(", "[", "{", "Some(", "(unit:", "(a:[", "Own(", "{1:", "(((((,", "Reading("];
    for nest in nests {
        let many = nest.repeat(MANY / nest.len());
        let log = VERSION_1.replace("Refill(", &format!("{many}Refill("));
        for contents in [
            many.clone(),
            format!("(version: 1, unit: {many}"),
            format!("(version: {many}"),
            format!("(version: 1, unit: (name: {many}"),
            format!("(version: 1, other: {many}"),
            log,
        ] {
            assert!(!survives(&path, contents.as_bytes()), "{nest}");
        }
    }
    for repeated in
        ["/*", "//\n", "#![enable(unwrap_newtypes)]\n", "\n", "\\", "\"", "'", "r#", "-", "9", "_", "a", "version: 1,"]
    {
        let many = repeated.repeat(MANY / repeated.len());
        for contents in [
            many.clone(),
            format!("(version: 1, unit: {many}"),
            format!("(version: {many}"),
            format!("(version: 1{many}"),
        ] {
            assert!(!survives(&path, contents.as_bytes()), "{repeated}");
        }
    }
}
