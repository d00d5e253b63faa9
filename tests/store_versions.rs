//! Every version of a unit file that was ever written: it still reads, keeps every value, and knows nothing that came later.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking, in its helpers too")]

use std::fs;
use std::path::{Path, PathBuf};

use pourcast::garden::{Catalog, Growing, LogEntry, Promise, ShelfItem, Unit, WaterKind};
use pourcast::store::{read_unit, unit_from_text, unit_text};

/// Version 1 as it was when it was first released. Never edit it: files like it are on people's disks.
const VERSION_1: &str = include_str!("fixtures/unit_v1.ron");

/// Version 2, likewise: several crops on one water.
const VERSION_2: &str = include_str!("fixtures/unit_v2.ron");

/// Version 3, likewise: jar tests, promises of top-ups, and amounts poured that are not those advised.
const VERSION_3: &str = include_str!("fixtures/unit_v3.ron");

/// Version 4, likewise: crops of the person's own, feeds told by a rise of EC, more of what labels say, two
/// waters mixed.
const VERSION_4: &str = include_str!("fixtures/unit_v4.ron");

/// Version 5, likewise: what is used up, and a feed of the person's own in two parts.
const VERSION_5: &str = include_str!("fixtures/unit_v5.ron");

fn read(text: &str) -> Unit {
    unit_from_text(text.as_bytes(), Path::new("unit.ron")).unwrap()
}

/// A folder, and a file in it.
struct Desk {
    _folder: tempfile::TempDir,
    path: PathBuf,
}

impl Desk {
    fn with(contents: impl AsRef<[u8]>) -> Self {
        let folder = tempfile::tempdir().unwrap();
        // Links resolved, as loading does.
        let path = fs::canonicalize(folder.path()).unwrap().join("sill.ron");
        fs::write(&path, contents).unwrap();
        Self { _folder: folder, path }
    }

    /// What is said of a file that must not load, and that stays as it is.
    fn refused_saying(&self) -> String {
        let before = fs::read(&self.path).unwrap();
        let message = read_unit(&self.path).unwrap_err().to_string();
        assert_eq!(fs::read(&self.path).unwrap(), before);
        message.replace(&self.path.display().to_string(), "PATH")
    }
}

fn promise(amount: f64, advised: Option<f64>, ph_range: (f64, f64), ec_range_ms_cm: (f64, f64)) -> Promise {
    Promise { amount, advised, ph_range, ec_range_ms_cm, model_version: "0.1.0".to_owned() }
}

#[test]
fn version_1_loads_and_keeps_every_value() {
    let unit = read(VERSION_1);
    assert_eq!(unit.name, "Window sill, left: \"basil\" – größer");
    assert_eq!(unit.source_water.report.unwrap().ca_mg_l, Some(82.0));
    assert_eq!((unit.shelf.len(), unit.log.len()), (5, 8));
    let expected = promise(6.5, Some(6.5), (5.7, 6.6), (1.74, 1.97));
    let LogEntry::Pour(pour) = &unit.log[3] else { panic!("{:?}", unit.log[3]) };
    assert_eq!(pour.promise, Some(expected));
    assert_eq!(unit.log[7], LogEntry::Note { at_s: 1767349200, text: "two leaves pale\nnew \\ pen".to_owned() });
}

#[test]
fn version_2_adds_what_else_grows() {
    let unit = unit_from_text(VERSION_2.as_bytes(), Path::new("unit_v2.ron")).unwrap();
    let grown = |crop: &str, stage: &str| Growing { crop_id: crop.to_owned(), stage_id: stage.to_owned() };
    assert_eq!(unit.also_growing, [grown("mint", "growing"), grown("basil", "seedling")]);
    assert_eq!(Unit { also_growing: Vec::new(), ..unit.clone() }, read(VERSION_1), "all else is as in version 1");
    assert_eq!(unit.check(&Catalog::shipped().unwrap()), []);
    let text = unit_text(&unit, Path::new("x")).unwrap();
    assert_eq!(unit_from_text(text.as_bytes(), Path::new("x")).unwrap(), unit);
    // A version 1 that is changed is written as the newest version, and kept beside it as it was.
    let desk = Desk::with(VERSION_1);
    let mut loaded = read_unit(&desk.path).unwrap();
    loaded.unit.also_growing.clone_from(&unit.also_growing);
    loaded.file.write(&loaded.unit).unwrap();
    assert_eq!(read_unit(&desk.path).unwrap().unit, unit);
    assert_eq!(fs::read_to_string(desk.path.with_extension("ron.backup")).unwrap(), VERSION_1);
}

#[test]
fn version_3_adds_jar_tests_and_what_was_told_of_water() {
    let unit = unit_from_text(VERSION_3.as_bytes(), Path::new("unit_v3.ron")).unwrap();
    assert_eq!(unit.check(&Catalog::shipped().unwrap()), []);
    assert_eq!(unit.log[5].promise(), Some(&promise(1.0, None, (6.0, 6.7), (1.62, 1.8))));
    let LogEntry::JarTest(jar) = &unit.log[8] else { panic!("{:?}", unit.log[8]) };
    assert_eq!((jar.water_l, jar.points.len()), (0.5, 2));
    let LogEntry::Pour(pour) = &unit.log[9] else { panic!("{:?}", unit.log[9]) };
    assert_eq!((pour.amount, pour.promise.as_ref().and_then(|p| p.advised)), (4.5, Some(3.0)));
    // All else is as in version 2, whose promises were of what was advised and whose water had none.
    let before = unit_from_text(VERSION_2.as_bytes(), Path::new("unit_v2.ron")).unwrap();
    let mut same = unit.clone();
    same.log.truncate(before.log.len());
    same.log[5].set_promise(None);
    assert_eq!(same, before);
    // It comes back as it is, and a version 2 that is changed becomes one.
    let text = unit_text(&unit, Path::new("x")).unwrap();
    assert_eq!(unit_from_text(text.as_bytes(), Path::new("x")).unwrap(), unit);
    let desk = Desk::with(VERSION_2);
    let mut loaded = read_unit(&desk.path).unwrap();
    loaded.unit.log.clone_from(&unit.log);
    loaded.file.write(&loaded.unit).unwrap();
    assert_eq!(read_unit(&desk.path).unwrap().unit, unit);
    assert!(fs::read_to_string(&desk.path).unwrap().contains("\n    version: 5,\n"));
    assert_eq!(fs::read_to_string(desk.path.with_extension("ron.backup")).unwrap(), VERSION_2);
}

#[test]
fn version_4_brings_its_crops_along() {
    let catalog = Catalog::shipped().unwrap();
    let unit = unit_from_text(VERSION_4.as_bytes(), Path::new("unit_v4.ron")).unwrap();
    assert_eq!(unit.check(&catalog), []);
    let blend = unit.source_water.blend.unwrap();
    assert_eq!((blend.share, blend.kind, blend.ec_ms_cm), (0.25, WaterKind::Rain, Some(0.03)));
    assert_eq!(catalog.crop_of(&unit, "sorrel").unwrap().name, "Sorrel, from the neighbour");
    assert_eq!(unit.common_zone(&catalog, 0.6).unwrap().crops[3].crop, "sorrel");
    let text = unit_text(&unit, Path::new("x")).unwrap();
    assert_eq!(unit_from_text(text.as_bytes(), Path::new("x")).unwrap(), unit);
    // All else is as in version 3, and a version 3 that is changed becomes one, kept beside it as it was.
    let before = unit_from_text(VERSION_3.as_bytes(), Path::new("unit_v3.ron")).unwrap();
    let mut same = unit.clone();
    same.own_crops.clear();
    same.source_water.blend = None;
    same.also_growing.pop();
    same.shelf.retain(|item| !["tin", "tonic", "iron", "glass", "dry"].contains(&item.product.id()));
    assert_eq!(same, before);
    let dissolves = |item: &ShelfItem| catalog.product_of(item).unwrap().dissolved().is_ok();
    assert!(unit.shelf.len() == 10 && unit.shelf.iter().all(dissolves));
    assert!(
        !unit_text(&before, Path::new("x")).unwrap().contains("own_crops"),
        "a file tells of nothing that is not there"
    );
    let desk = Desk::with(VERSION_3);
    let mut loaded = read_unit(&desk.path).unwrap();
    loaded.unit = unit.clone();
    loaded.file.write(&loaded.unit).unwrap();
    assert_eq!(read_unit(&desk.path).unwrap().unit, unit);
    assert_eq!(fs::read_to_string(desk.path.with_extension("ron.backup")).unwrap(), VERSION_3);
}

#[test]
fn version_5_keeps_what_is_used_up() {
    let catalog = Catalog::shipped().unwrap();
    let unit = read(VERSION_5);
    assert_eq!(unit.check(&catalog), []);
    let used_up: Vec<&str> = unit.shelf.iter().filter(|item| item.used_up).map(|item| item.product.id()).collect();
    assert_eq!(used_up, ["phosphoric-down"]);
    assert!(unit.log_speaks_of("phosphoric-down"));
    let text = unit_text(&unit, Path::new("x")).unwrap();
    assert_eq!((read(&text), text.matches("used_up").count()), (unit.clone(), 1));
    // A version 4 has everything at hand, and what came later is no part of it.
    assert!(read(VERSION_4).shelf.iter().all(|item| !item.used_up));
    let message = Desk::with(VERSION_5.replace("version: 5", "version: 4")).refused_saying();
    let line = VERSION_5.lines().position(|line| line.contains("used_up")).unwrap() + 1;
    assert!(message.starts_with(&format!("unknown field `used_up` at line {line}, column ")), "{message}");
    let desk = Desk::with(VERSION_4);
    let mut loaded = read_unit(&desk.path).unwrap();
    loaded.unit = unit.clone();
    loaded.file.write(&loaded.unit).unwrap();
    assert_eq!(read_unit(&desk.path).unwrap().unit, unit);
    assert_eq!(fs::read_to_string(desk.path.with_extension("ron.backup")).unwrap(), VERSION_4);
}

/// Of each thing that is new in version 4: in a file that says it is of version 3 it is named, with its place.
#[test]
fn what_version_4_brought_is_no_part_of_version_3() {
    let shelf = |product: &str| {
        let whole = VERSION_3.find("(product: Shipped(\"one-part-powder\")").unwrap();
        format!("{}{product},\n            {}", &VERSION_3[..whole], &VERSION_3[whole..])
    };
    let own = |role: &str, strength: &str| {
        shelf(&format!(
            "(product: Own(id: \"n\", name: \"New\", role: {role}, form: Powder, strength: {strength}, source: \"x\", evidence: Ours), tool: Scale(mark_g: 0.1))"
        ))
    };
    let cases = [
        (VERSION_4.replace("version: 4", "version: 3"), "blend"),
        (VERSION_3.replace("own_band:", "own_crops: [], own_band:"), "own_crops"),
        (own("Feed", "RaisesEc(ms_cm_per_unit_l: 0.4)"), "RaisesEc"),
        (own("PhDown", "Peroxide(Three)"), "Peroxide"),
        (own("PhDown", "Acid(acid: SodiumBisulfate, concentration: MassPercent(93.0))"), "SodiumBisulfate"),
        (own("Feed", "Recipe(salts: [(salt: SodiumBisulfate, grams: 10.0)])"), "SodiumBisulfate"),
        (own("Feed", "Label(basis: GramsPerLitre, total_n: 40.0)"), "GramsPerLitre"),
        (own("Feed", "Label(total_n: 4.0, fe: 0.1)"), "fe"),
        (own("Silicate", "Recipe(salts: [(salt: PotassiumSilicate, grams: 60.0)])"), "Silicate"),
        (own("Feed", "Later(1.0)"), "Later"),
        (own("Later", "Unknown(kind: Feed, median_mmol_per_unit: 1.0, ln_sd: 0.5)"), "Later"),
        (VERSION_3.replace("kind: HardTap", "kind: Later"), "Later"),
        (VERSION_3.replace("kind: HardTap,", "kind: HardTap, blend: (share: 0.5, kind: Rain),"), "blend"),
        (VERSION_3.replace("kind: HardTap", "kind: SaltyWell"), "SaltyWell"),
    ];
    for (text, named) in cases {
        let message = Desk::with(&text).refused_saying();
        assert!(message.contains(named) && message.contains(" at line "), "{message}");
    }
    // What was there stays: the same file without the new thing reads.
    let known = own("Feed", "Unknown(kind: Feed, median_mmol_per_unit: 1.0, ln_sd: 0.5)");
    assert_eq!(read(&known).shelf.len(), 6);
}

#[test]
fn what_came_later_is_no_part_of_an_earlier_version() {
    let place = |text: &str| VERSION_3.lines().position(|line| line.contains(text)).unwrap() + 1;
    // The advised amount of an old promise, the promise of a top-up, and a jar test, each where it stands.
    let line = place("advised: 6.5");
    let message = Desk::with(VERSION_3.replace("version: 3", "version: 2")).refused_saying();
    assert!(message.starts_with(&format!("unknown field `advised` at line {line}, column ")), "{message}");
    let plain =
        VERSION_3.replace("version: 3", "version: 2").replace("advised: 6.5, ", "").replace("advised: 3.0, ", "");
    let message = Desk::with(&plain).refused_saying();
    let line = place("TopUp(");
    assert!(message.starts_with(&format!("unknown field `promise` at line {line}, column ")), "{message}");
    let at = plain.find(", promise: (amount: 1.0").unwrap();
    let end = at + plain[at..].find("))").unwrap() + 1;
    let plain = format!("{}{}", &plain[..at], &plain[end..]);
    let message = Desk::with(&plain).refused_saying();
    let line = place("JarTest(");
    assert!(message.contains("JarTest") && message.contains(&format!("at line {line}, column 13")), "{message}");
}
