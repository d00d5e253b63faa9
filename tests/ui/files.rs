//! Files opened, copied, broken, changed by others, and folders that cannot be written.

use std::path::{Path, PathBuf};

use egui::{Role, Theme, Vec2};
use egui_kittest::kittest::Queryable as _;
use pourcast::store::{UnitFile, read_unit};

use super::flows::{Trial, light};

#[test]
fn files_are_opened_and_copied_through_dialogs() {
    let mut trial = light();
    trial.begin();
    let copy = trial.home.path().join("copy.ron");
    trial.dialogs.answer_with(copy.clone());
    trial.press(Role::Button, "Menu");
    trial.harness.get_by_label("Save a copy…").click();
    trial.settle();
    assert_eq!(read_unit(&copy).expect("the copy").unit, trial.unit());
    trial.press(Role::Button, "Put this away");

    let mut other = trial.unit();
    other.name = "Another unit".to_owned();
    let path = trial.home.path().join("other.ron");
    UnitFile::create(&path, &other).expect("a file");
    trial.dialogs.answer_with(path);
    trial.press(Role::Button, "Menu");
    trial.harness.get_by_label("Open a unit…").click();
    trial.settle();
    assert_eq!(trial.unit().name, "Another unit");
}

#[test]
fn a_broken_file_is_told_and_nothing_is_lost() {
    let mut trial = light();
    trial.begin();
    let before = trial.unit();
    let path = trial.home.path().join("broken.ron");
    std::fs::write(&path, "(version: 1, unit: (name: ").expect("a file");
    trial.dialogs.answer_with(path.clone());
    trial.press(Role::Button, "Menu");
    trial.harness.get_by_label("Open a unit…").click();
    trial.settle();
    trial.harness.get_by_label_contains("Notice: The unit could not be opened");
    trial.press(Role::Button, "Put this away");
    assert_eq!(trial.unit(), before);
    assert_eq!(std::fs::read_to_string(&path).expect("still there"), "(version: 1, unit: (name: ");

    // Named at the start it is told too, and the unit of last time is there behind the message.
    let Trial { home, .. } = trial;
    let again = Trial::open(home, Some(path), Theme::Light, Vec2::new(1280.0, 800.0), 1.0);
    again.harness.get_by_label_contains("The file was left as it is");
    assert_eq!(again.unit(), before);
}

#[test]
fn a_file_changed_by_another_program_is_not_overwritten() {
    let mut trial = light();
    trial.begin();
    let path = trial.on_disk().first().cloned().expect("a file");
    let theirs = std::fs::read_to_string(&path).expect("text").replace("My bucket", "Their bucket");
    std::fs::write(&path, &theirs).expect("written");
    trial.type_into("Water in it, L", "15");
    trial.harness.get_by_label_contains("Notice: The unit could not be saved");
    trial.press(Role::Button, "Save beside it");
    assert_eq!(std::fs::read_to_string(&path).expect("text"), theirs);
    let beside: Vec<PathBuf> =
        trial.on_disk().into_iter().filter(|p| *p != path && p.extension().is_some_and(|e| e == "ron")).collect();
    let stored = read_unit(beside.first().map_or(Path::new(""), PathBuf::as_path)).expect("the new file").unit;
    assert!((stored.level_l - 15.0).abs() < 1e-9);
}

#[test]
fn without_a_folder_the_window_works_and_says_so() {
    let home = tempfile::tempdir().expect("a folder");
    // A file where the folder should be.
    std::fs::write(home.path().join("units"), "x").expect("a file");
    let mut trial = Trial::open(home, None, Theme::Light, Vec2::new(1280.0, 800.0), 1.0);
    trial.begin();
    trial.harness.get_by_label_contains("Notice: The unit is open but has no file");
    trial.harness.get_by_role_and_label(Role::Button, "Save a copy…");
    assert!(trial.harness.query_all_by_label_contains("os error").next().is_none());
    trial.press(Role::Button, "Put this away");
    trial.harness.get_by_label_contains("not saved");
    assert!(trial.harness.state().outlook().is_some(), "there is an answer all the same");
    assert!(!trial.harness.state_mut().may_close(std::time::Duration::ZERO));
}

#[test]
fn a_unit_that_is_not_on_disk_is_not_put_away_unasked() {
    let home = tempfile::tempdir().expect("a folder");
    std::fs::write(home.path().join("units"), "x").expect("a file");
    let mut trial = Trial::open(home, None, Theme::Light, Vec2::new(1280.0, 800.0), 1.0);
    trial.begin();
    trial.press(Role::Button, "Put this away");
    let before = trial.unit();
    trial.press(Role::Button, "Menu");
    trial.harness.get_by_label("Look around in the example").click();
    trial.settle();
    trial.harness.get_by_label_contains("would be lost");
    assert_eq!(trial.unit(), before);
    trial.press(Role::Button, "Leave it all the same");
    assert_ne!(trial.unit(), before);
}
