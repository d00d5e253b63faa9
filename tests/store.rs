//! Files: what was written comes back, what cannot be read is named and stays, what someone else wrote is not lost.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking, in its helpers too")]

use std::ffi::OsStr;
use std::fs;
use std::path::{Path, PathBuf};
use std::time::Duration;

use pourcast::garden::{Catalog, Growing, LogEntry, ProductRef, Reading, ShelfItem, Strength, Tool, Unit};
use pourcast::store::{
    Autosave, Folders, LARGEST_FILE_BYTES, Settings, StoreError, Theme, UNIT_VERSION, UnitFile, Written, read_settings,
    read_unit, unit_from_text, unit_text,
};
use pourcast::units::{EcScale, TemperatureUnit, VolumeUnit};
use proptest::prelude::*;

/// Version 1 as it was when it was first released. Never edit it: files like it are on people's disks.
const VERSION_1: &str = include_str!("fixtures/unit_v1.ron");

/// Version 2, likewise: several crops on one water.
const VERSION_2: &str = include_str!("fixtures/unit_v2.ron");

fn sample() -> Unit {
    unit_from_text(VERSION_1.as_bytes(), Path::new("unit_v1.ron")).unwrap()
}

/// A folder, and a file in it.
struct Desk {
    folder: tempfile::TempDir,
    path: PathBuf,
}

impl Desk {
    fn empty() -> Self {
        let folder = tempfile::tempdir().unwrap();
        // Links resolved, as loading does.
        let path = fs::canonicalize(folder.path()).unwrap().join("sill.ron");
        Self { folder, path }
    }

    fn with(contents: impl AsRef<[u8]>) -> Self {
        let desk = Self::empty();
        fs::write(&desk.path, contents).unwrap();
        desk
    }

    fn names(&self) -> Vec<String> {
        let mut names: Vec<String> = fs::read_dir(self.folder.path())
            .unwrap()
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }

    /// Reads what must not load; fails when the bytes on disk are not the same afterwards.
    fn refused(&self) -> StoreError {
        let before = fs::read(&self.path).unwrap();
        let error = read_unit(&self.path).unwrap_err();
        assert_eq!(fs::read(&self.path).unwrap(), before);
        // The only other way to a handle is to create, and that refuses too.
        let created = UnitFile::create(&self.path, &sample()).unwrap_err();
        assert!(matches!(created, StoreError::AlreadyThere { .. }), "{created}");
        assert_eq!(fs::read(&self.path).unwrap(), before);
        assert!(error.to_string().ends_with(&self.path.display().to_string()), "path last: {error}");
        error
    }

    fn refused_saying(&self) -> String {
        let message = self.refused().to_string();
        message.replace(&self.path.display().to_string(), "PATH")
    }
}

#[test]
fn what_was_written_comes_back() {
    let desk = Desk::empty();
    let mut unit = sample();
    let mut file = UnitFile::create(&desk.path, &unit).unwrap();
    assert_eq!(read_unit(&desk.path).unwrap().unit, unit);
    for day in 0..5 {
        let reading = Reading { at_s: 1767400000 + 86400 * day, ph: Some(6.1 + 0.1 / 3.0), ..Reading::default() };
        unit.log.push(LogEntry::Reading(reading));
        assert_eq!(file.write(&unit).unwrap(), Written::Saved);
        assert_eq!(file.write(&unit).unwrap(), Written::AlreadyThere);
        assert_eq!(read_unit(&desk.path).unwrap().unit, unit);
    }
    // Nothing beside it: no temporary file, and no copy of a file that was made here.
    assert_eq!(desk.names(), ["sill.ron"]);
}

/// Every shape a product, a tool and an example has goes through the file: none is lost in its dialect.
#[test]
fn all_that_is_shipped_comes_back() {
    let catalog = Catalog::shipped().unwrap();
    let path = Path::new("x");
    let comes_back = |unit: &Unit| {
        let text = unit_text(unit, path).unwrap();
        let read = unit_from_text(text.as_bytes(), path).unwrap_or_else(|error| panic!("{error}\n{text}"));
        assert_eq!(&read, unit, "{text}");
    };
    assert!(!catalog.products.is_empty() && !catalog.examples.is_empty());
    for example in &catalog.examples {
        comes_back(&example.unit);
    }
    for product in &catalog.products {
        for strength in [
            product.strength.clone(),
            Strength::UNKNOWN_ACID,
            Strength::UNKNOWN_BASE,
            Strength::UNKNOWN_FEED,
            Strength::RaisesEc { ms_cm_per_unit_l: 0.1 },
        ] {
            let mut own = product.clone();
            own.strength = strength;
            let tool = Tool::Spoon { capacity_ml: 5.0, scatter: 0.1 };
            let mut unit = sample();
            unit.shelf = vec![ShelfItem::new(ProductRef::Own(Box::new(own)), tool)];
            comes_back(&unit);
        }
    }
}

#[test]
fn a_file_begins_with_its_version_and_holds_one_log_entry_a_line() {
    let text = unit_text(&sample(), Path::new("x")).unwrap();
    let lines: Vec<&str> = text.lines().collect();
    assert!(lines[0].starts_with("// Pourcast unit"));
    assert_eq!((lines[1], lines[2]), ("(", "    version: 5,"));
    assert_eq!(UNIT_VERSION, 5);
    assert!(lines.contains(&"            Refill(at_s: 1767261600, water_l: 18.0),"));
    assert_eq!(lines.iter().filter(|line| line.contains("at_s: 17")).count(), 9, "8 entries and a calibration");
}

#[test]
fn a_loaded_file_is_kept_once_as_it_was() {
    let desk = Desk::with(VERSION_1);
    let loaded = read_unit(&desk.path).unwrap();
    let (mut unit, mut file) = (loaded.unit, loaded.file);
    assert_eq!(desk.names(), ["sill.ron"], "reading leaves nothing behind");
    for name in ["one", "two", "three"] {
        unit.name = name.to_owned();
        assert_eq!(file.write(&unit).unwrap(), Written::Saved);
        assert_eq!(desk.names(), ["sill.ron", "sill.ron.backup"]);
        assert_eq!(fs::read_to_string(desk.path.with_extension("ron.backup")).unwrap(), VERSION_1);
    }
    assert_eq!(read_unit(&desk.path).unwrap().unit.name, "three");
    // The next opening keeps the next state.
    let second = fs::read(&desk.path).unwrap();
    let loaded = read_unit(&desk.path).unwrap();
    let (mut unit, mut file) = (loaded.unit, loaded.file);
    unit.name = "four".to_owned();
    file.write(&unit).unwrap();
    assert_eq!(fs::read(desk.path.with_extension("ron.backup")).unwrap(), second);
}

#[test]
fn someone_elses_edit_is_not_overwritten() {
    let desk = Desk::with(VERSION_1);
    let loaded = read_unit(&desk.path).unwrap();
    let (mut unit, mut file) = (loaded.unit, loaded.file);
    unit.name = "mine".to_owned();
    file.write(&unit).unwrap();
    let theirs = VERSION_1.replace("20.0", "25.0");
    fs::write(&desk.path, &theirs).unwrap();

    unit.level_l = 12.0;
    let error = file.write(&unit).unwrap_err();
    assert!(matches!(error, StoreError::ChangedOnDisk { .. }) && error.suggests_saving_beside(), "{error}");
    assert_eq!(fs::read_to_string(&desk.path).unwrap(), theirs);
    // It stays so, however often the window tries.
    assert!(file.write(&unit).is_err());
    // Beside it, both are kept.
    let mut copy = file.save_beside(&unit).unwrap();
    assert_eq!(copy.path().file_name(), Some(OsStr::new("sill (saved beside).ron")));
    unit.level_l = 11.0;
    copy.write(&unit).unwrap();
    assert_eq!(read_unit(copy.path()).unwrap().unit, unit);
    assert_eq!(file.save_beside(&unit).unwrap().path().file_name(), Some(OsStr::new("sill (saved beside) 2.ron")));
    assert_eq!(fs::read_to_string(&desk.path).unwrap(), theirs);
}

#[test]
fn a_file_replaced_by_something_unreadable_is_not_overwritten() {
    let desk = Desk::with(VERSION_1);
    let loaded = read_unit(&desk.path).unwrap();
    let (unit, mut file) = (loaded.unit, loaded.file);
    fs::remove_file(&desk.path).unwrap();
    fs::create_dir(&desk.path).unwrap();
    assert!(matches!(file.write(&unit).unwrap_err(), StoreError::ChangedOnDisk { .. }));
    assert!(desk.path.is_dir());
}

#[test]
fn a_file_deleted_meanwhile_is_made_again() {
    let desk = Desk::with(VERSION_1);
    let loaded = read_unit(&desk.path).unwrap();
    let (unit, mut file) = (loaded.unit, loaded.file);
    fs::remove_file(&desk.path).unwrap();
    assert_eq!(file.write(&unit).unwrap(), Written::Saved);
    assert_eq!(read_unit(&desk.path).unwrap().unit, unit);
}

#[cfg(unix)]
#[test]
fn a_link_is_followed_not_cut() {
    let desk = Desk::with(VERSION_1);
    let link = desk.folder.path().join("link.ron");
    std::os::unix::fs::symlink(&desk.path, &link).unwrap();
    let loaded = read_unit(&link).unwrap();
    let (mut unit, mut file) = (loaded.unit, loaded.file);
    unit.name = "through the link".to_owned();
    file.write(&unit).unwrap();
    assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
    assert_eq!(read_unit(&desk.path).unwrap().unit.name, "through the link");
}

#[test]
fn every_failure_says_what_and_where() {
    let v1 = VERSION_1.to_owned();
    let of = |contents: &str| Desk::with(contents).refused_saying();
    assert_eq!(of(""), "the file is empty: PATH");
    assert_eq!(of(" \n\u{feff}\n".trim_start()), "the file is empty: PATH");
    assert_eq!(
        of(&v1.replace("version: 1", "version: 6")),
        "the file was written by a newer Pourcast (version 6; this one reads up to 5): PATH"
    );
    // Newer is said first, whatever else is new, and even when it is cut off.
    assert_eq!(
        of("(version: 7, tanks: {1: [<"),
        "the file was written by a newer Pourcast (version 7; this one reads up to 5): PATH"
    );
    assert_eq!(
        of(&v1.replace("version: 1", "version: 0")),
        "there is no version 0 of this file (they run from 1 to 5): PATH"
    );
    for other in ["{\"version\": 1}", "(unit: (), version: 1)", "hello", "[]", "(version: -1)", "(1)"] {
        assert_eq!(
            of(other),
            "the file does not begin with `(version: …`, so it is not one of Pourcast's: PATH",
            "{other}"
        );
    }
    assert_eq!(of("(version: 1.5)"), "expected comma at line 1, column 12: PATH");
    assert_eq!(of(&v1.replace("plants_in", "plants_inn")), "unknown field `plants_inn` at line 21, column 9: PATH");
    assert_eq!(
        of(&v1.replace("tank_l: 20.0,", "")),
        "the field `tank_l` is missing from what ends at line 48, column 5: PATH"
    );
    // What came later is no field of an earlier version.
    let mixed = VERSION_2.replace("version: 2", "version: 1");
    assert_eq!(of(&mixed), "unknown field `also_growing` at line 20, column 9: PATH");
    let v2 = |from: &str, to: &str| of(&VERSION_2.replace(from, to));
    assert_eq!(v2("crop_id: \"mint\"", "crop_id: NaN"), "expected string at line 21, column 23: PATH");
    assert_eq!(
        v2(", stage_id: \"seedling\"", ""),
        "the field `stage_id` is missing from what ends at line 22, column 30: PATH"
    );
    assert_eq!(
        v2("(crop_id: \"mint\"", "(crop: 1, crop_id: \"mint\""),
        "unknown field `crop` at line 21, column 14: PATH"
    );
    assert_eq!(of(&v1.replace("20.0", "\"20\"")), "expected float at line 7, column 17: PATH");
    assert_eq!(of(&v1.replace("20.0", "NaN")), "`tank_l` must be a finite number, not NaN: PATH");
    assert_eq!(of(&v1.replace("(5.6, 6.4)", "(5.6, inf)")), "`ph` must be a finite number, not inf: PATH");
    assert_eq!(of(&v1.replace("amount: 25.2", "amount: -inf")), "`amount` must be a finite number, not inf: PATH");
    assert_eq!(of(&v1.replace("amount: 25.2", "amount: 1e999")), "`amount` must be a finite number, not inf: PATH");
    assert_eq!(of(&format!("{v1} (")), "text after the end at line 50, column 2: PATH");
    let cut = v1.split("Drain").next().unwrap();
    assert_eq!(of(cut), "the file ends too early, at line 45, column 13: PATH");

    let mut latin_1 = v1.into_bytes();
    let at = latin_1.windows(2).position(|pair| pair == "ö".as_bytes()).unwrap();
    latin_1.splice(at..at + 2, [0xf6]);
    assert_eq!(Desk::with(latin_1).refused_saying(), "the file is not UTF-8 text, at line 5, column 49: PATH");
}

#[test]
fn a_byte_order_mark_is_no_obstacle() {
    let desk = Desk::with(format!("\u{feff}{VERSION_1}").replace('\n', "\r\n"));
    assert_eq!(read_unit(&desk.path).unwrap().unit, sample());
}

#[test]
fn what_is_no_file_is_not_read() {
    let desk = Desk::empty();
    assert!(matches!(read_unit(&desk.path).unwrap_err(), StoreError::NotFound { .. }));
    assert!(matches!(read_unit(desk.folder.path()).unwrap_err(), StoreError::NotAFile { .. }));
    assert!(read_unit(Path::new("")).is_err());
    #[cfg(unix)]
    assert!(matches!(read_unit(Path::new("/dev/zero")).unwrap_err(), StoreError::NotAFile { .. }));
}

#[test]
fn a_huge_file_is_refused_before_it_is_read() {
    let desk = Desk::empty();
    // Sparse: it takes no room, and would take 8 GB of memory.
    fs::File::create(&desk.path).unwrap().set_len(8 << 30).unwrap();
    let error = read_unit(&desk.path).unwrap_err();
    assert!(matches!(error, StoreError::TooLarge { bytes: 8_589_934_592, limit: LARGEST_FILE_BYTES, .. }), "{error}");
    assert!(matches!(UnitFile::create(&desk.path, &sample()).unwrap_err(), StoreError::AlreadyThere { .. }));
}

#[test]
fn what_could_not_be_read_again_is_not_written() {
    let desk = Desk::with(VERSION_1);
    let loaded = read_unit(&desk.path).unwrap();
    let (mut unit, mut file) = (loaded.unit, loaded.file);
    unit.level_l = f64::NAN;
    let error = file.write(&unit).unwrap_err();
    assert!(matches!(&error, StoreError::NotFinite { field, .. } if field == "level_l"), "{error}");
    unit.level_l = 10.0;
    unit.log.push(LogEntry::Note { at_s: 0, text: "x".repeat(9 << 20) });
    assert!(matches!(file.write(&unit).unwrap_err(), StoreError::TooLarge { .. }));
    assert_eq!(fs::read_to_string(&desk.path).unwrap(), VERSION_1);
    assert_eq!(desk.names(), ["sill.ron"]);
}

#[test]
fn a_folder_that_cannot_be_written_is_an_error_and_nothing_else() {
    // A file where a folder should be fails for the superuser, too.
    let desk = Desk::with(VERSION_1);
    let below_a_file = desk.path.join("unit.ron");
    let error = UnitFile::create(&below_a_file, &sample()).unwrap_err();
    assert!(matches!(error, StoreError::Write { .. }), "{error}");
    let error = UnitFile::create(&desk.folder.path().join("no such folder").join("unit.ron"), &sample()).unwrap_err();
    assert!(matches!(error, StoreError::Write { .. }), "{error}");
    assert_eq!(fs::read_to_string(&desk.path).unwrap(), VERSION_1);
    assert_eq!(desk.names(), ["sill.ron"]);
}

/// The kernel's own folder takes files from nobody.
#[cfg(target_os = "linux")]
#[test]
fn a_read_only_folder_is_named() {
    let error = UnitFile::create(Path::new("/sys/unit.ron"), &sample()).unwrap_err();
    assert!(matches!(&error, StoreError::ReadOnlyFolder { folder, .. } if folder == Path::new("/sys")), "{error}");
    let error = Folders::below(Path::new("/sys/pourcast")).make().unwrap_err();
    assert!(matches!(error, StoreError::ReadOnlyFolder { .. } | StoreError::Write { .. }), "{error}");
}

/// A loaded file whose folder has become read-only stays as it is. The superuser may write everywhere, and is shown that
/// the file is then written: either way the text on disk is whole.
#[cfg(unix)]
#[test]
fn a_folder_made_read_only_after_loading() {
    use std::os::unix::fs::PermissionsExt as _;
    let desk = Desk::with(VERSION_1);
    let loaded = read_unit(&desk.path).unwrap();
    let (mut unit, mut file) = (loaded.unit, loaded.file);
    unit.name = "changed".to_owned();
    let allow = |mode| fs::set_permissions(desk.folder.path(), fs::Permissions::from_mode(mode)).unwrap();
    allow(0o555);
    let is_superuser = fs::write(desk.folder.path().join("probe"), "").is_ok();
    let outcome = file.write(&unit);
    allow(0o755);
    if is_superuser {
        assert_eq!(outcome.unwrap(), Written::Saved);
        assert_eq!(read_unit(&desk.path).unwrap().unit, unit);
    } else {
        assert!(matches!(outcome.unwrap_err(), StoreError::ReadOnlyFolder { .. }));
        assert_eq!(fs::read_to_string(&desk.path).unwrap(), VERSION_1);
        assert_eq!(file.write(&unit).unwrap(), Written::Saved, "and later it works");
    }
}

#[test]
fn folders_follow_the_system_or_the_variable() {
    let own = || Some((PathBuf::from("/data/pourcast"), PathBuf::from("/config/pourcast")));
    let system = Folders::choose(None, own()).unwrap();
    assert_eq!(system.units(), Path::new("/data/pourcast/units"));
    assert_eq!(system.settings(), Path::new("/config/pourcast/settings.ron"));
    let portable = Folders::choose(Some(OsStr::new("/stick")), own()).unwrap();
    assert_eq!((portable.units(), portable.settings()), (Path::new("/stick/units"), Path::new("/stick/settings.ron")));
    assert_eq!(Folders::choose(Some(OsStr::new("")), own()).unwrap(), system, "empty is not set");
    let error = Folders::choose(None, None).unwrap_err();
    assert_eq!(error.to_string(), "no home folder was found; set POURCAST_HOME to a folder for Pourcast's files");
}

#[test]
fn units_are_listed_by_name_and_get_free_names() {
    let desk = Desk::empty();
    let folders = Folders::below(desk.folder.path());
    assert_eq!(folders.list_units().unwrap(), [], "no folder, no units");
    folders.make().unwrap();
    folders.make().unwrap();
    for name in ["Tomatoes", "basil", "Lettuce", "basil", "a/../../b\\c:*?", "", " ..", "CON", "größe 2"] {
        let path = folders.path_for_new_unit(name);
        assert_eq!(path.parent(), Some(folders.units()), "{name}");
        UnitFile::create(&path, &sample()).unwrap();
    }
    fs::write(folders.units().join("basil.ron.backup"), "").unwrap();
    fs::write(folders.units().join("notes.txt"), "").unwrap();
    fs::create_dir(folders.units().join("folder.ron")).unwrap();
    let titles: Vec<String> = folders.list_units().unwrap().into_iter().map(|unit| unit.title).collect();
    assert_eq!(
        titles,
        ["a-------b-c", "basil", "basil 2", "CON unit", "größe 2", "Lettuce", "Tomatoes", "unit", "unit 2"]
    );
    let long = folders.path_for_new_unit(&"ü".repeat(4000));
    UnitFile::create(&long, &sample()).unwrap();
    // A file where the folder should be.
    let blocked = Folders::below(&desk.path.join("sub"));
    fs::write(&desk.path, "").unwrap();
    assert!(blocked.make().is_err());
}

#[test]
fn settings_come_back() {
    let desk = Desk::empty();
    let first = read_settings(&desk.path);
    assert_eq!(first.settings, Settings::default());
    assert!(first.problem.is_none(), "not there yet is no problem");
    let mut file = first.file.unwrap();
    let settings = Settings {
        theme: Theme::Dark,
        last_unit: Some(PathBuf::from("/units/sill.ron")),
        tank_unit: VolumeUnit::UsGallon,
        ec_scale: EcScale::Ppm700,
        temperature_unit: TemperatureUnit::Fahrenheit,
        ..Settings::default()
    };
    assert_eq!(file.write(&settings).unwrap(), Written::Saved);
    let again = read_settings(&desk.path);
    assert_eq!(again.settings, settings);
    assert!(again.file.is_some() && again.problem.is_none());
}

#[test]
fn settings_that_fail_to_load_give_the_defaults_and_stay() {
    for contents in [
        "",
        "(version: 3, settings: ())",
        "(version: 1, settings: (theme: Pink))",
        "(version: 1, settings: (colour: 1))",
        "\0",
    ] {
        let desk = Desk::with(contents);
        let loaded = read_settings(&desk.path);
        assert_eq!(loaded.settings, Settings::default());
        assert!(loaded.file.is_none(), "no handle, no overwriting");
        let problem = loaded.problem.unwrap().to_string();
        assert!(problem.ends_with(&desk.path.display().to_string()), "{problem}");
        assert_eq!(fs::read_to_string(&desk.path).unwrap(), contents);
    }
    // Version 1 as it was when it was first released: files like it are on people's disks.
    let desk = Desk::with(include_str!("fixtures/settings_v1.ron"));
    let mut loaded = read_settings(&desk.path);
    assert!(loaded.problem.is_none());
    let expected = Settings {
        theme: Theme::Dark,
        last_unit: Some(PathBuf::from("/home/anna/units/sill.ron")),
        tank_unit: VolumeUnit::UsGallon,
        ec_scale: EcScale::Ppm500,
        temperature_unit: TemperatureUnit::Fahrenheit,
        ..Settings::default()
    };
    assert_eq!(loaded.settings, expected);
    // Written again it is of the newest version, which an older program calls newer and not broken.
    loaded.settings.remember_unit(Path::new("/units/basil.ron"));
    loaded.file.as_mut().unwrap().write(&loaded.settings).unwrap();
    assert!(fs::read_to_string(&desk.path).unwrap().contains("version: 2,"));
    assert_eq!(read_settings(&desk.path).settings, loaded.settings);
    // What a settings file leaves out has its default.
    let desk = Desk::with("(version: 1, settings: (theme: Light))");
    assert_eq!(read_settings(&desk.path).settings, Settings { theme: Theme::Light, ..Settings::default() });
}

#[test]
fn a_change_is_saved_within_two_seconds() {
    let at = Duration::from_millis;
    let mut autosave = Autosave::default();
    assert!(!autosave.is_unsaved() && !autosave.is_due(at(99_999)) && autosave.due_in(at(0)).is_none());
    // A single change: after a short quiet.
    autosave.touched(at(1000));
    assert!(!autosave.is_due(at(1499)) && autosave.is_due(at(1500)));
    assert_eq!(autosave.due_in(at(1200)), Some(at(300)));
    autosave.saved();
    assert!(!autosave.is_unsaved());
    // Typing on and on: no later than 1.5 s after the first change, whenever the last one was.
    for time in (10_000..=11_500).step_by(100) {
        autosave.touched(at(time));
        assert_eq!(autosave.is_due(at(time)), time == 11_500, "{time}");
    }
    assert_eq!(autosave.unsaved_since(), Some(at(10_000)));
    // A failure keeps the change, and is not tried again at every frame.
    autosave.failed(at(11_500));
    assert!(autosave.is_unsaved() && !autosave.is_due(at(11_600)) && autosave.is_due(at(16_500)));
    autosave.touched(at(11_700));
    assert!(!autosave.is_due(at(13_300)), "typing does not hasten the next try");
    autosave.saved();
    assert_eq!(autosave, Autosave::default());
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    /// Any text a person types, and any finite number, comes back as it was.
    #[test]
    fn any_unit_comes_back(name in any::<String>(), note in any::<String>(), bits in any::<u64>(), at_s in any::<i64>(), crops in prop::collection::vec(any::<(String, String)>(), 0..4)) {
        let mut unit = sample();
        let number = f64::from_bits(bits);
        unit.name = name;
        unit.log.push(LogEntry::Note { at_s, text: note });
        unit.source_water.ph = Some(number);
        unit.also_growing = crops.into_iter().map(|(crop_id, stage_id)| Growing { crop_id, stage_id }).collect();
        let path = Path::new("x");
        match unit_text(&unit, path) {
            Ok(text) => prop_assert_eq!(unit_from_text(text.as_bytes(), path).unwrap(), unit),
            Err(StoreError::NotFinite { field, .. }) => {
                prop_assert!(!number.is_finite());
                prop_assert_eq!(field, "ph");
            }
            Err(other) => prop_assert!(false, "{}", other),
        }
    }
}
