//! The page of the person's units, over real files: opened, doubled, named anew, put away, brought back, handed on, dropped.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use egui::{Key, Modifiers, Role, Theme, Vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _, by};
use pourcast::garden::{Catalog, OwnKind, OwnProfile, OwnWater, SourceWater, Unit, WaterKind};
use pourcast::store::{Folders, Library, UnitFile, profile_text, read_profile, read_unit};
use rstest::rstest;

use super::clipping::{Scrolled, assert_nothing_clipped};
use super::flows::{MORNING_S, Trial, window};
use super::pictures::{keep_of, word};

/// A file that was let fall on the window.
#[derive(Debug)]
struct Fallen(PathBuf);

impl egui::DroppedFile for Fallen {
    fn path(&self) -> &Path {
        &self.0
    }

    fn bytes(&self) -> Result<Vec<u8>, String> {
        std::fs::read(&self.0).map_err(|error| error.to_string())
    }
}

fn drop_on(trial: &mut Trial, path: &Path) {
    trial.harness.input_mut().dropped_files.push(Arc::new(Fallen(path.to_owned())));
    trial.settle();
}

fn to_units(trial: &mut Trial) {
    trial.press(Role::Tab, "Units");
}

/// Chooses from the menu of a unit's card.
fn choose(trial: &mut Trial, unit: &str, item: &str) {
    trial.press(Role::Button, &format!("More for {unit}"));
    trial.harness.get_by_role_and_label(Role::Button, item).click();
    trial.settle();
}

fn names(trial: &Trial) -> Vec<String> {
    let folder = trial.units_folder();
    let name = |path: PathBuf| path.strip_prefix(&folder).expect("below it").display().to_string();
    trial.on_disk().into_iter().map(name).collect()
}

fn says(trial: &Trial, words: &str) {
    assert!(trial.harness.query_all_by_label_contains(words).next().is_some(), "{words:?} is not on the page");
}

fn rain(name: &str, ec_ms_cm: f64) -> OwnProfile {
    let water = SourceWater { ec_ms_cm: Some(ec_ms_cm), ..SourceWater::of_kind(WaterKind::Rain) };
    OwnProfile::Water(Box::new(OwnWater { id: "barrel".to_owned(), name: name.to_owned(), water, note: None }))
}

/// A person with several units, a damaged file, something archived, something deleted, and profiles of their own.
fn full_house(look: Theme, size: Vec2, scale: f32) -> Trial {
    let home = tempfile::tempdir().expect("a folder");
    let folders = Folders::below(home.path());
    let catalog = Catalog::shipped().expect("the shipped profiles");
    let (trough, bucket) =
        (catalog.examples[0].unit_at(MORNING_S), catalog.examples[1].unit_at(MORNING_S - 4 * 86_400));
    let put = |unit: &Unit, name: &str| {
        folders.create_unit(&Unit { name: name.to_owned(), ..unit.clone() }).expect("a unit").path().to_owned()
    };
    put(&trough, "Reading room, long trough");
    put(&bucket, "Court bucket");
    put(&Unit { log: Vec::new(), ..bucket.clone() }, "Herbs on the northern sill of the children's corner, second");
    let away = put(&bucket, "Winter jar");
    folders.archive_unit(&away).expect("archived");
    let gone = put(&bucket, "Old tub");
    folders.delete_unit(&gone, MORNING_S).expect("deleted");
    std::fs::write(folders.units().join("From the old machine.ron"), "(version: 3, unit: (name: ").expect("a file");
    Library::take_in(&folders, rain("Rain barrel", 0.04), None).expect("a profile");
    std::fs::write(folders.profiles(OwnKind::Water).join("odd.ron"), "(version: 1, water: (").expect("a file");
    Trial::open(home, None, look, size, scale)
}

#[test]
fn nothing_is_cut_off_at_any_size_in_both_themes() {
    for look in [Theme::Light, Theme::Dark] {
        for (name, size, scale) in [
            ("700x900", Vec2::new(700.0, 900.0), 1.0),
            ("1280x800", Vec2::new(1280.0, 800.0), 1.0),
            ("1920x1080", Vec2::new(1920.0, 1080.0), 1.0),
            ("640x400@2", Vec2::new(640.0, 400.0), 2.0),
        ] {
            let mut trial = full_house(look, size, scale);
            to_units(&mut trial);
            assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
            keep_of(&mut trial, &format!("units-{}-{name}", word(look)));
            choose(&mut trial, "Court bucket", "Duplicate…");
            assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
            keep_of(&mut trial, &format!("units-naming-{}-{name}", word(look)));
            trial.press(Role::Button, "Cancel");
            for folded in ["Archived (1)", "Deleted (1)", "Your library (2)"] {
                trial.press(Role::DisclosureTriangle, folded);
                assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
            }
            keep_of(&mut trial, &format!("units-folds-{}-{name}", word(look)));
            // With a unit open the bar has all its tabs, and the card says so.
            trial.press(Role::Button, "Open Court bucket");
            to_units(&mut trial);
            trial.harness.get_by_label("Open now · saved");
            assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
            keep_of(&mut trial, &format!("units-open-{}-{name}", word(look)));
        }
    }
}

#[test]
fn without_units_the_page_says_so_and_has_examples() {
    for look in [Theme::Light, Theme::Dark] {
        let mut trial = Trial::new(look, Vec2::new(1280.0, 800.0), 1.0);
        to_units(&mut trial);
        says(&trial, "None yet");
        says(&trial, "Here will stand the units you keep");
        says(&trial, "An invented example");
        assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
        keep_of(&mut trial, &format!("units-none-{}", word(look)));
        trial.press(Role::Button, "Open Reading-room bucket");
        assert_eq!(trial.unit().name, "Reading-room bucket");
        to_units(&mut trial);
        trial.press(Role::Link, "Start my own, not Reading-room bucket");
        trial.harness.get_by_label("What is in your hands?");
    }
}

#[rstest]
fn a_card_says_what_the_unit_is_and_opens_it(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = window(look);
    trial.begin();
    to_units(&mut trial);
    says(&trial, "1 unit");
    for words in ["Bucket · 17 of 20 L", "pH 7.2 · EC 1.5 mS/cm · just now", "Open now · saved"] {
        trial.harness.get_by_label(words);
    }
    trial.turn_clock(3 * 24 * 60);
    trial.harness.get_by_label("pH 7.2 · EC 1.5 mS/cm · 3 days ago");
    trial.harness.get_by_label("A look is due");
    trial.press(Role::Button, "Open My bucket");
    trial.harness.get_by_label_contains("What we know");
}

#[rstest]
fn a_copy_is_made_without_the_log_or_with_it(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = window(look);
    trial.begin();
    let unit = trial.unit();
    to_units(&mut trial);
    choose(&mut trial, "My bucket", "Duplicate…");
    let field = trial.harness.get_by_role_and_label(Role::TextInput, "Name of the copy");
    assert_eq!((field.value().as_deref(), field.is_focused()), (Some("My bucket 2"), true));
    trial.press(Role::Button, "Make a copy");
    assert_eq!(names(&trial), ["My bucket 2.ron", "My bucket.ron"]);
    let copy = read_unit(&trial.units_folder().join("My bucket 2.ron")).expect("a unit").unit;
    assert_eq!(copy, Unit { name: "My bucket 2".to_owned(), log: Vec::new(), ..unit.clone() });
    choose(&mut trial, "My bucket", "Duplicate…");
    trial.press(Role::RadioButton, "With its log");
    trial.type_into("Name of the copy", "Kitchen");
    let copy = read_unit(&trial.units_folder().join("Kitchen.ron")).expect("a unit").unit;
    assert_eq!(copy.log, unit.log);
    assert_eq!(trial.unit(), unit, "the first is open as it was");
    trial.harness.get_by_role_and_label(Role::Button, "Open Kitchen");
}

#[rstest]
fn another_name_moves_the_file_also_of_what_is_open(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = full_house(look, Vec2::new(1280.0, 800.0), 1.0);
    to_units(&mut trial);
    trial.press(Role::Button, "Open Court bucket");
    to_units(&mut trial);
    choose(&mut trial, "Court bucket", "Rename…");
    trial.type_into("Its new name", "Yard bucket");
    assert_eq!(trial.unit().name, "Yard bucket");
    assert!(
        names(&trial).contains(&"Yard bucket.ron".to_owned())
            && !names(&trial).contains(&"Court bucket.ron".to_owned())
    );
    // It goes on being written there.
    trial.press(Role::Tab, "Today");
    trial.type_into("Water in it, L", "9");
    let stored = read_unit(&trial.units_folder().join("Yard bucket.ron")).expect("a unit").unit;
    assert!((stored.level_l - 9.0).abs() < 1e-9 && stored.name == "Yard bucket");
    // One that is not open, and a name that is none.
    to_units(&mut trial);
    choose(&mut trial, "Reading room, long trough", "Rename…");
    trial.type_into("Its new name", " ");
    says(&trial, "The name is empty");
    assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
    trial.harness.key_press(Key::Escape);
    trial.settle();
    trial.harness.get_by_role_and_label(Role::Button, "Open Reading room, long trough");
    choose(&mut trial, "Reading room, long trough", "Rename…");
    trial.type_into("Its new name", "Trough");
    assert!(names(&trial).contains(&"Trough.ron".to_owned()));
}

#[rstest]
fn a_name_that_another_unit_has_is_refused(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = full_house(look, Vec2::new(1280.0, 800.0), 1.0);
    to_units(&mut trial);
    let before = names(&trial);
    for (item, field) in [("Duplicate…", "Name of the copy"), ("Rename…", "Its new name")] {
        choose(&mut trial, "Reading room, long trough", item);
        trial.type_into(field, "court BUCKET ");
        says(&trial, "You have a unit called “Court bucket” already: give this one another name");
        assert_eq!(names(&trial), before);
        trial.harness.key_press(Key::Escape);
        trial.settle();
    }
}

#[rstest]
fn what_is_archived_or_deleted_comes_back_by_one_press(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    for (item, said, folder) in
        [("Archive", "Archived: “My bucket”", "archive"), ("Delete", "Deleted: “My bucket”", "deleted")]
    {
        let mut trial = window(look);
        trial.begin();
        let before = trial.unit();
        let text = std::fs::read(trial.units_folder().join("My bucket.ron")).expect("the file");
        to_units(&mut trial);
        choose(&mut trial, "My bucket", item);
        trial.harness.get_by_label(said);
        assert!(trial.harness.state().unit().is_none(), "it is closed");
        assert_eq!(names(&trial), [folder]);
        assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
        trial.press(Role::Link, "Bring it back");
        assert_eq!(std::fs::read(trial.units_folder().join("My bucket.ron")).expect("the file"), text);
        trial.press(Role::Button, "Open My bucket");
        assert_eq!(trial.unit(), before);
    }
}

#[rstest]
fn what_was_put_away_is_folded_below_and_is_not_opened_at_the_next_start(
    #[values(Theme::Light, Theme::Dark)] look: Theme,
) {
    let mut trial = full_house(look, Vec2::new(1280.0, 800.0), 1.0);
    to_units(&mut trial);
    trial.press(Role::Button, "Open Court bucket");
    to_units(&mut trial);
    choose(&mut trial, "Court bucket", "Delete");
    let mut trial = trial.killed_and_opened(5);
    assert!(trial.harness.state().unit().is_none());
    to_units(&mut trial);
    trial.press(Role::DisclosureTriangle, "Archived (1)");
    trial.press(Role::Link, "Bring it back: Winter jar");
    trial.harness.get_by_role_and_label(Role::Button, "Open Winter jar");
    trial.press(Role::DisclosureTriangle, "Deleted (2)");
    says(&trial, "until you empty it");
    trial.press(Role::Link, "Bring it back: Court bucket, deleted Mon 2 Mar 2026, 09:00");
    trial.harness.get_by_role_and_label(Role::Button, "Open Court bucket");
}

#[rstest]
fn a_damaged_file_is_shown_with_its_reason_and_only_moved(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = full_house(look, Vec2::new(1280.0, 800.0), 1.0);
    let text = "(version: 3, unit: (name: ";
    to_units(&mut trial);
    says(&trial, "The file ends too early, at line 1");
    assert!(trial.harness.query_by_role_and_label(Role::Button, "Open From the old machine").is_none());
    choose(&mut trial, "From the old machine", "Rename its file…");
    trial.type_into("Its new name", "Odd");
    assert_eq!(std::fs::read_to_string(trial.units_folder().join("Odd.ron")).expect("the file"), text);
    choose(&mut trial, "Odd", "Archive");
    assert_eq!(std::fs::read_to_string(trial.units_folder().join("archive/Odd.ron")).expect("the file"), text);
}

#[rstest]
fn units_are_handed_on_and_taken_in(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = window(look);
    trial.begin();
    let unit = trial.unit();
    let out = trial.home.path().join("for a friend.ron");
    trial.dialogs.answer_with(out.clone());
    to_units(&mut trial);
    choose(&mut trial, "My bucket", "Export…");
    says(&trial, "A copy is at");
    trial.press(Role::Button, "Put this away");
    assert_eq!(read_unit(&out).expect("a unit").unit, unit);
    trial.press(Role::Button, "Import…");
    says(&trial, "the file it came from stays");
    assert_eq!(names(&trial), ["My bucket.ron", "for a friend.ron"]);
    assert!(out.exists());
    // Once more without dialogs it is told where the files are.
    trial.dialogs.break_down();
    trial.press(Role::Button, "Import…");
    says(&trial, "This system opens no dialog");
}

#[rstest]
fn a_unit_that_is_dropped_is_opened_where_it_is(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = window(look);
    trial.begin();
    let mut other = trial.unit();
    other.name = "Elsewhere".to_owned();
    let path = trial.home.path().join("elsewhere.ron");
    UnitFile::create(&path, &other).expect("a file");
    trial.harness.input_mut().hovered_files.push(egui::HoveredFile { path: Some(path.clone()), ..Default::default() });
    trial.settle();
    says(&trial, "Let go to open this unit");
    keep_of(&mut trial, &format!("units-dropping-{}", word(look)));
    trial.harness.input_mut().hovered_files.clear();
    drop_on(&mut trial, &path);
    assert_eq!(trial.unit().name, "Elsewhere");
    // It stands among the units, and can be copied to them.
    to_units(&mut trial);
    choose(&mut trial, "Elsewhere", "Copy into my units");
    assert_eq!(names(&trial), ["My bucket.ron", "elsewhere.ron"]);
    // What is neither unit nor profile is told in words.
    for (name, bytes) in [
        ("picture.png", &b"\x89PNG\r\n\x1a\n"[..]),
        ("empty.ron", b""),
        ("settings.ron", b"(version: 1, settings: ())"),
    ] {
        let path = trial.home.path().join("odd").with_file_name(format!("x-{name}"));
        std::fs::write(&path, bytes).expect("a file");
        drop_on(&mut trial, &path);
        says(&trial, "Units and profiles can be opened here, and this is neither");
        trial.press(Role::Button, "Put this away");
        assert_eq!(std::fs::read(&path).expect("still there"), bytes);
    }
    let folder = trial.units_folder();
    drop_on(&mut trial, &folder);
    says(&trial, "this is not an ordinary file");
}

#[rstest]
fn a_profile_that_is_dropped_asks_to_be_taken_in(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = window(look);
    let path = trial.home.path().join("barrel.ron");
    let put =
        |profile: &OwnProfile| std::fs::write(&path, profile_text(profile, &path).expect("text")).expect("a file");
    put(&rain("Rain barrel", 0.04));
    let waters = trial.home.path().join("waters");
    drop_on(&mut trial, &path);
    says(&trial, "Take the water “Rain barrel” into your library?");
    trial.press(Role::Button, "Leave it");
    assert!(!waters.exists());
    drop_on(&mut trial, &path);
    trial.press(Role::Button, "Take it in");
    says(&trial, "“Rain barrel” is in your library");
    trial.press(Role::Button, "Put this away");
    let mine = waters.join("Rain barrel.ron");
    assert_eq!(read_profile(&mine).expect("a profile").profile, rain("Rain barrel", 0.04));
    drop_on(&mut trial, &path);
    says(&trial, "is in your library already");
    trial.press(Role::Button, "Put this away");
    // Another one of the same name: both, or in its place.
    put(&rain("Rain barrel", 0.12));
    drop_on(&mut trial, &path);
    says(&trial, "You have a water called “Rain barrel” already");
    trial.press(Role::Button, "Keep both, this one as “Rain barrel 2”");
    trial.press(Role::Button, "Put this away");
    assert!(waters.join("Rain barrel 2.ron").exists());
    drop_on(&mut trial, &path);
    trial.press(Role::Button, "Replace the library’s");
    trial.press(Role::Button, "Put this away");
    assert_eq!(read_profile(&mine).expect("a profile").profile, rain("Rain barrel", 0.12));
    // What makes no sense is told, and not taken in.
    put(&rain("Sea", 50.0));
    drop_on(&mut trial, &path);
    says(&trial, "The profile cannot be used: a source water of EC 50 mS/cm is outside 0 to 5 mS/cm");
    assert!(!waters.join("Sea.ron").exists());
}

#[rstest]
fn a_clash_of_ids_is_told_and_mended(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let home = tempfile::tempdir().expect("a folder");
    let folders = Folders::below(home.path());
    Library::take_in(&folders, rain("Barrel A", 0.04), None).expect("a profile");
    Library::take_in(&folders, rain("Barrel B", 0.05), None).expect("a profile");
    let mut trial = Trial::open(home, None, look, Vec2::new(1280.0, 800.0), 1.0);
    to_units(&mut trial);
    trial.press(Role::DisclosureTriangle, "Your library (2)");
    says(&trial, "Your water “Barrel B” has the id `barrel`, which is that of your “Barrel A”");
    assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
    trial.press(Role::Link, "Give it the id barrel-2: Barrel B");
    let path = trial.home.path().join("waters/Barrel B.ron");
    assert_eq!(read_profile(&path).expect("a profile").profile.id(), "barrel-2");
    assert!(trial.harness.query_all_by_label_contains("has the id").next().is_none());
}

#[rstest]
fn all_of_it_is_reached_by_keyboard(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = window(look);
    trial.begin();
    to_units(&mut trial);
    let mut reached = Vec::new();
    for _ in 0..16 {
        trial.harness.key_press(Key::Tab);
        trial.settle();
        let focused = by().predicate(|node| node.is_focused() && node.label().is_some());
        let focused = trial.harness.query_all(focused).next().expect("the keyboard is somewhere, and that has a name");
        let name = focused.accesskit_node().label().unwrap_or_default();
        assert!(focused.rect().is_positive(), "{name} has the keyboard and no place");
        reached.push(name.clone());
        if name == "More for My bucket" {
            break;
        }
    }
    for name in ["Start a unit", "Import…", "Open My bucket", "More for My bucket"] {
        assert!(reached.iter().any(|other| other == name), "{name} is not in {reached:?}");
    }
    // Into the menu, to its second line, and a name typed: no pointer is needed.
    trial.harness.key_press(Key::Enter);
    trial.settle();
    trial.harness.key_press(Key::Tab);
    trial.settle();
    trial.harness.key_press(Key::Tab);
    trial.settle();
    trial.harness.key_press(Key::Enter);
    trial.settle();
    trial.harness.get_by_role_and_label(Role::TextInput, "Its new name");
    trial.harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    trial.settle();
    trial.harness.get_by_role_and_label(Role::TextInput, "Its new name").type_text("Sill");
    trial.settle();
    trial.harness.key_press(Key::Enter);
    trial.settle();
    assert_eq!((trial.unit().name.as_str(), names(&trial)), ("Sill", vec!["Sill.ron".to_owned()]));
}
