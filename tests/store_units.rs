//! Units as things a person owns: doubled, named anew, put away, deleted, brought back, handed on. Nothing is lost on the way.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking, in its helpers too")]

use std::fs;
use std::path::{Path, PathBuf};

use pourcast::garden::{Catalog, OwnKind, Unit};
use pourcast::store::{
    Copied, FileKind, Folders, MOST_RECENT, Settings, StoreError, UnitFile, export_file, kind_of_file, read_unit,
    unit_from_text,
};
use proptest::prelude::*;

/// 2026-03-02 09:00 UTC.
const MORNING_S: i64 = 1_772_442_000;
const BROKEN: &str = "(version: 3, unit: (name: ";

/// Folders of a person, and what is in them.
struct Desk {
    home: tempfile::TempDir,
    folders: Folders,
}

impl Desk {
    fn new() -> Self {
        let home = tempfile::tempdir().unwrap();
        // Links resolved, as loading does.
        let folders = Folders::below(&fs::canonicalize(home.path()).unwrap());
        folders.make().unwrap();
        Self { home, folders }
    }

    fn unit(name: &str) -> Unit {
        let unit = unit_from_text(include_bytes!("fixtures/unit_v3.ron"), Path::new("unit_v3.ron")).unwrap();
        Unit { name: name.to_owned(), ..unit }
    }

    fn with(names: &[&str]) -> Self {
        let desk = Self::new();
        for name in names {
            desk.folders.create_unit(&Self::unit(name)).unwrap();
        }
        desk
    }

    fn path(&self, file: &str) -> PathBuf {
        self.folders.units().join(file)
    }

    /// Every file below the units folder with what is in it, so that a loss would show.
    fn all(&self) -> Vec<(String, Vec<u8>)> {
        let mut found = Vec::new();
        let mut folders = vec![self.folders.units().to_owned()];
        while let Some(folder) = folders.pop() {
            for entry in fs::read_dir(folder).unwrap() {
                let path = entry.unwrap().path();
                if path.is_dir() {
                    folders.push(path);
                } else {
                    let name = path.strip_prefix(self.folders.units()).unwrap().to_str().unwrap().replace('\\', "/");
                    found.push((name, fs::read(&path).unwrap()));
                }
            }
        }
        found.sort();
        found
    }

    fn names(&self) -> Vec<String> {
        self.all().into_iter().map(|(name, _)| name).collect()
    }
}

#[test]
fn a_copy_has_a_name_of_its_own_and_a_log_by_choice() {
    let desk = Desk::with(&["Basil"]);
    let unit = Desk::unit("Basil");
    assert!(!unit.log.is_empty());
    let plain = desk.folders.duplicate_unit(&unit, " Mint ", Copied::WithoutLog).unwrap();
    assert_eq!(plain.unit, Unit { name: "Mint".to_owned(), log: Vec::new(), ..unit.clone() });
    assert_eq!(plain.file.path(), desk.path("Mint.ron"));
    let whole = desk.folders.duplicate_unit(&unit, "Basil", Copied::WithLog).unwrap();
    assert_eq!((&whole.unit, whole.file.path()), (&unit, desk.path("Basil 2.ron").as_path()));
    assert_eq!(read_unit(&desk.path("Basil.ron")).unwrap().unit, unit, "the first stays as it is");
    assert_eq!(read_unit(&desk.path("Mint.ron")).unwrap().unit, plain.unit);
}

/// A folder may be copied to where large and small letters are the same: no file may be lost there.
#[test]
fn files_differ_by_more_than_large_letters() {
    let desk = Desk::with(&["Sill tub", "sill tub", "SILL TUB"]);
    assert_eq!(desk.names(), ["SILL TUB 3.ron", "Sill tub.ron", "sill tub 2.ron"]);
    // The same unit written otherwise keeps its file.
    let path = desk.folders.rename_unit(&desk.path("Sill tub.ron"), "sill Tub").unwrap();
    assert_eq!((&path, read_unit(&path).unwrap().unit.name.as_str()), (&desk.path("Sill tub.ron"), "sill Tub"));
}

#[test]
fn a_file_follows_its_units_name_where_that_is_free() {
    let desk = Desk::with(&["Basil", "Mint"]);
    let path = desk.folders.rename_unit(&desk.path("Basil.ron"), "Thai basil").unwrap();
    assert_eq!(path, desk.path("Thai basil.ron"));
    assert_eq!(read_unit(&path).unwrap().unit.name, "Thai basil");
    // The copy of before goes with it, and its name is not given to another.
    assert_eq!(desk.names(), ["Mint.ron", "Thai basil.ron", "Thai basil.ron.backup"]);
    let path = desk.folders.rename_unit(&path, "Mint").unwrap();
    assert_eq!(path, desk.path("Mint 2.ron"), "a number where it is taken");
    // The same name again moves nothing.
    assert_eq!(desk.folders.rename_unit(&path, "Mint").unwrap(), path);
    assert_eq!(read_unit(&desk.path("Mint.ron")).unwrap().unit, Desk::unit("Mint"));
}

#[test]
fn an_open_unit_is_written_on_under_its_new_name() {
    let desk = Desk::with(&["Basil"]);
    let loaded = read_unit(&desk.path("Basil.ron")).unwrap();
    let (mut unit, mut file) = (loaded.unit, loaded.file);
    unit.name = "Dill".to_owned();
    file.write(&unit).unwrap();
    file.follow_name(&unit.name).unwrap();
    assert_eq!(file.path(), desk.path("Dill.ron"));
    unit.level_l = 7.0;
    file.write(&unit).unwrap();
    assert_eq!(read_unit(&desk.path("Dill.ron")).unwrap().unit, unit);
    assert!(!desk.path("Basil.ron").exists());
}

#[test]
fn units_are_put_away_and_brought_back() {
    let desk = Desk::with(&["Basil", "Mint"]);
    let before = desk.all();
    let away = desk.folders.archive_unit(&desk.path("Basil.ron")).unwrap();
    assert_eq!(away, desk.folders.archive().join("Basil.ron"));
    let titles = |listed: Vec<pourcast::store::UnitListing>| listed.into_iter().map(|u| u.title).collect::<Vec<_>>();
    assert_eq!(titles(desk.folders.list_units().unwrap()), ["Mint"]);
    assert_eq!(titles(desk.folders.list_archived().unwrap()), ["Basil"]);
    // Meanwhile the name is given to another: the one that comes back gets a number.
    desk.folders.create_unit(&Desk::unit("Basil")).unwrap();
    let back = desk.folders.bring_back_unit(&away).unwrap();
    assert_eq!(back, desk.path("Basil 2.ron"));
    assert_eq!(fs::read(back).unwrap(), before[0].1);
}

#[test]
fn what_is_deleted_can_be_brought_back_however_often() {
    let desk = Desk::with(&["Basil"]);
    let first = fs::read(desk.path("Basil.ron")).unwrap();
    let gone = desk.folders.delete_unit(&desk.path("Basil.ron"), MORNING_S).unwrap();
    assert_eq!(gone.file_name().unwrap(), "Basil (deleted 2026-03-02 090000Z).ron");
    // Another of the same name in the same second.
    desk.folders.create_unit(&Desk::unit("Basil")).unwrap();
    let again = desk.folders.delete_unit(&desk.path("Basil.ron"), MORNING_S).unwrap();
    assert_eq!(again.file_name().unwrap(), "Basil (deleted 2026-03-02 090000Z) 2.ron");
    assert_eq!(desk.folders.list_deleted().unwrap().len(), 2);
    assert_eq!(desk.folders.bring_back_unit(&gone).unwrap(), desk.path("Basil.ron"));
    assert_eq!(desk.folders.bring_back_unit(&again).unwrap(), desk.path("Basil 2.ron"));
    assert_eq!(fs::read(desk.path("Basil.ron")).unwrap(), first);
    // An archived one is deleted from there.
    let away = desk.folders.archive_unit(&desk.path("Basil.ron")).unwrap();
    let gone = desk.folders.delete_unit(&away, MORNING_S).unwrap();
    assert_eq!(desk.folders.bring_back_unit(&gone).unwrap(), desk.path("Basil.ron"));
}

#[test]
fn only_what_is_in_its_folder_is_put_away() {
    let desk = Desk::with(&["Basil"]);
    let elsewhere = desk.home.path().join("mine.ron");
    UnitFile::create(&elsewhere, &Desk::unit("Elsewhere")).unwrap();
    let away = desk.folders.archive_unit(&desk.path("Basil.ron")).unwrap();
    for error in [
        desk.folders.archive_unit(&elsewhere).unwrap_err(),
        desk.folders.delete_unit(&elsewhere, MORNING_S).unwrap_err(),
        desk.folders.bring_back_unit(&elsewhere).unwrap_err(),
    ] {
        assert!(matches!(&error, StoreError::Elsewhere { path, .. } if *path == elsewhere), "{error}");
        assert!(error.to_string().ends_with(&elsewhere.display().to_string()), "path last: {error}");
    }
    assert!(elsewhere.exists());
    assert!(matches!(desk.folders.archive_unit(&away), Err(StoreError::Elsewhere { .. })), "it is put away already");
    let gone = desk.folders.archive_unit(&desk.path("no such.ron")).unwrap_err();
    assert!(matches!(gone, StoreError::NotFound { .. }), "{gone}");
}

/// A link into another folder would point to nowhere, or leave behind what is meant.
#[cfg(unix)]
#[test]
fn a_link_stays_where_it_is() {
    let desk = Desk::with(&["Basil"]);
    let link = desk.path("Link.ron");
    std::os::unix::fs::symlink("Basil.ron", &link).unwrap();
    let error = desk.folders.archive_unit(&link).unwrap_err();
    assert!(matches!(&error, StoreError::IsALink { path } if *path == link), "{error}");
    assert!(fs::symlink_metadata(&link).unwrap().is_symlink() && desk.path("Basil.ron").exists());
}

#[test]
fn a_folder_that_cannot_be_made_moves_nothing() {
    let desk = Desk::with(&["Basil"]);
    for (name, error) in [
        ("archive", desk_error(&desk, "archive", Folders::archive_unit)),
        ("deleted", desk_error(&desk, "deleted", |f, p| f.delete_unit(p, MORNING_S))),
    ] {
        assert!(error.to_string().ends_with(&desk.path(name).display().to_string()), "{error}");
    }
    assert_eq!(desk.names(), ["Basil.ron"]);
}

/// What is said when a file stands where a folder should be.
fn desk_error(desk: &Desk, folder: &str, how: fn(&Folders, &Path) -> Result<PathBuf, StoreError>) -> StoreError {
    fs::write(desk.path(folder), "x").unwrap();
    let error = how(&desk.folders, &desk.path("Basil.ron")).unwrap_err();
    fs::remove_file(desk.path(folder)).unwrap();
    error
}

#[test]
fn a_damaged_file_is_moved_and_never_rewritten() {
    let desk = Desk::new();
    fs::write(desk.path("Odd.ron"), BROKEN).unwrap();
    let path = desk.folders.rename_unit(&desk.path("Odd.ron"), "Sill").unwrap();
    assert_eq!(path, desk.path("Sill.ron"));
    let path = desk.folders.archive_unit(&path).unwrap();
    let path = desk.folders.delete_unit(&path, MORNING_S).unwrap();
    let path = desk.folders.bring_back_unit(&path).unwrap();
    assert_eq!((fs::read_to_string(&path).unwrap(), desk.names()), (BROKEN.to_owned(), vec!["Sill.ron".to_owned()]));
}

#[test]
fn a_unit_from_elsewhere_is_copied_in_and_stays_where_it_was() {
    let desk = Desk::with(&["Basil"]);
    let elsewhere = desk.home.path().join("Basil.ron");
    // An older version, with a comment of the person's: it is copied as it is.
    let theirs = format!("// Mine\n{}", include_str!("fixtures/unit_v1.ron"));
    fs::write(&elsewhere, &theirs).unwrap();
    let loaded = desk.folders.import_unit(&elsewhere).unwrap();
    assert_eq!(loaded.file.path(), desk.path("Basil 2.ron"));
    assert_eq!(fs::read_to_string(desk.path("Basil 2.ron")).unwrap(), theirs);
    assert_eq!(fs::read_to_string(&elsewhere).unwrap(), theirs);
    // One that is here already is not taken in twice, and a damaged one not at all.
    let again = desk.folders.import_unit(&desk.path("Basil.ron")).unwrap_err();
    assert!(matches!(again, StoreError::AlreadyThere { .. }), "{again}");
    fs::write(&elsewhere, BROKEN).unwrap();
    let before = desk.names();
    let error = desk.folders.import_unit(&elsewhere).unwrap_err();
    assert!(error.to_string().contains("ends too early"), "{error}");
    assert_eq!(desk.names(), before);
}

#[test]
fn a_unit_is_handed_on_whole() {
    let desk = Desk::with(&["Basil"]);
    let to = desk.home.path().join("for a friend");
    let written = export_file(&desk.path("Basil.ron"), &to).unwrap();
    assert_eq!(written, to.with_extension("ron"));
    assert_eq!(fs::read(&written).unwrap(), fs::read(desk.path("Basil.ron")).unwrap());
    let error = export_file(&desk.path("Basil.ron"), &to).unwrap_err();
    assert!(matches!(&error, StoreError::AlreadyThere { path } if *path == written), "{error}");
    assert!(matches!(export_file(&desk.path("no such.ron"), &to), Err(StoreError::NotFound { .. })));
}

#[test]
fn a_file_is_known_by_its_beginning() {
    let desk = Desk::new();
    let of = |text: &str| {
        fs::write(desk.path("x.ron"), text).unwrap();
        kind_of_file(&desk.path("x.ron"))
    };
    assert_eq!(of(include_str!("fixtures/unit_v1.ron")).unwrap(), FileKind::Unit);
    assert_eq!(of(BROKEN).unwrap(), FileKind::Unit, "what it is, though it cannot be read");
    assert_eq!(of("(version: 9, unit: (").unwrap(), FileKind::Unit);
    assert_eq!(of("(version: 1, crop: (").unwrap(), FileKind::Profile(OwnKind::Crop));
    assert_eq!(of("(version: 1, product: (").unwrap(), FileKind::Profile(OwnKind::Product));
    assert_eq!(of("(version: 1, water: (").unwrap(), FileKind::Profile(OwnKind::Water));
    for other in ["(version: 1, settings: ())", "(version: 1)", "hello", "", "{}"] {
        let error = of(other).unwrap_err().to_string();
        assert!(error.ends_with(&desk.path("x.ron").display().to_string()), "{error}");
    }
    assert!(of("(version: 1, settings: ())").unwrap_err().to_string().contains("`settings`"));
}

#[test]
fn recent_units_are_few_and_there() {
    let desk = Desk::new();
    let mut settings = Settings::default();
    let names: Vec<String> = (0..12).map(|n| format!("Unit {n}.ron")).collect();
    for name in &names {
        settings.remember_unit(&desk.path(name));
    }
    settings.remember_unit(&desk.path("Unit 9.ron"));
    assert_eq!(settings.recent_units.len(), MOST_RECENT);
    let of = |name: &str| desk.path(name);
    assert_eq!(settings.recent_units[..3], [of("Unit 9.ron"), of("Unit 11.ron"), of("Unit 10.ron")]);
    assert_eq!(settings.recent_now(), Vec::<&Path>::new(), "none of them is there");
    fs::write(of("Unit 10.ron"), "").unwrap();
    assert_eq!(settings.recent_now(), [of("Unit 10.ron")]);
    settings.unit_moved(&of("Unit 10.ron"), Some(&of("Sill.ron")));
    settings.unit_moved(&of("Unit 9.ron"), None);
    assert_eq!(settings.recent_units[..2], [of("Unit 11.ron"), of("Sill.ron")]);
    assert_eq!(settings.last_unit, None, "what was put away is not opened by itself");
}

#[test]
fn an_example_can_be_made_ones_own() {
    let catalog = Catalog::shipped().unwrap();
    let desk = Desk::new();
    for example in &catalog.examples {
        let loaded = desk.folders.duplicate_unit(&example.unit, &example.unit.name, Copied::WithLog).unwrap();
        assert_eq!(read_unit(loaded.file.path()).unwrap().unit, example.unit);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 64, ..ProptestConfig::default() })]

    /// Whatever is done in whatever order: each file's bytes are somewhere, once.
    #[test]
    fn nothing_is_lost_whatever_is_done(steps in prop::collection::vec((0_u8..4, 0_usize..6, "[A-Ca-c .ü/]{0,4}"), 1..25)) {
        let desk = Desk::with(&["Basil", "Mint"]);
        fs::write(desk.path("Odd.ron"), BROKEN).unwrap();
        let contents = |desk: &Desk| {
            let mut all: Vec<Vec<u8>> = desk.all().into_iter().map(|(_, bytes)| bytes).collect();
            all.sort();
            all
        };
        let before = contents(&desk);
        for (what, which, name) in steps {
            let listed = match what {
                0 | 1 => desk.folders.list_units(),
                2 => desk.folders.list_archived(),
                _ => desk.folders.list_deleted(),
            }.unwrap();
            let Some(unit) = listed.get(which % listed.len().max(1)) else { continue };
            match what {
                // A damaged file is only moved; a readable one would be rewritten with the name.
                0 if read_unit(&unit.path).is_err() => drop(desk.folders.rename_unit(&unit.path, &name).unwrap()),
                0 => drop(desk.folders.archive_unit(&unit.path).unwrap()),
                1 => drop(desk.folders.delete_unit(&unit.path, MORNING_S).unwrap()),
                _ => drop(desk.folders.bring_back_unit(&unit.path).unwrap()),
            }
            prop_assert_eq!(&contents(&desk), &before);
        }
    }
}
