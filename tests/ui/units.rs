//! One's own units: from one to another, and their facts changed.

use egui::Role;
use egui_kittest::kittest::Queryable as _;
use pourcast::store::read_unit;

use super::clipping::{Scrolled, assert_nothing_clipped};
use super::flows::{Trial, light};

#[test]
fn the_menu_goes_from_one_unit_to_another() {
    let mut trial = light();
    trial.begin();
    let first = trial.unit();
    trial.press(Role::Button, "Menu");
    trial.harness.get_by_label("Start a unit of my own").click();
    trial.settle();
    trial.type_into("Size of the reservoir, L", "8");
    trial.press(Role::Button, "Show me the map");
    assert!((trial.unit().tank_l - 8.0).abs() < 1e-9);
    trial.press(Role::Button, "Menu");
    trial.harness.get_by_role_and_label(Role::Button, "My bucket").click();
    trial.settle();
    assert_eq!(trial.unit(), first);
    trial.press(Role::Button, "Menu");
    trial.harness.get_by_role_and_label(Role::Button, "My bucket 2").click();
    trial.settle();
    assert!((trial.unit().tank_l - 8.0).abs() < 1e-9);
}

#[test]
fn without_dialogs_the_folder_is_named() {
    let mut trial = light();
    trial.dialogs.break_down();
    trial.press(Role::Button, "Menu");
    trial.harness.get_by_label("Open a unit…").click();
    trial.settle();
    let folder = trial.units_folder().display().to_string();
    trial.harness.get_by_label_contains("Notice: This system opens no dialog");
    trial.harness.get_by_label_contains(&folder);
}

#[test]
fn facts_are_changed_and_the_log_stays() {
    let mut trial = light();
    trial.begin();
    let (before, files) = (trial.unit(), trial.on_disk());
    trial.press(Role::Link, "Edit");
    trial.harness.get_by_label("Change what is in your hands");
    let size = trial.harness.get_by_role_and_label(Role::TextInput, "Size of the reservoir, L").value();
    assert_eq!(size.as_deref(), Some("20.0"));
    assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
    trial.press(Role::Button, "Cancel");
    assert_eq!(trial.unit(), before);

    trial.press(Role::Link, "Edit");
    trial.type_into("Size of the reservoir, L", "40");
    trial.type_into("EC, if known, mS/cm", "0,3");
    trial.press(Role::RadioButton, "Recirculating");
    trial.press(Role::ComboBox, "To raise pH");
    let up = trial.harness.get_all_by_role(Role::Button).find_map(|node| {
        let label = egui_kittest::kittest::NodeT::accesskit_node(&node).label()?;
        label.starts_with("pH-raising").then_some(label)
    });
    trial.harness.get_by_label(&up.expect("something that raises pH")).click();
    trial.settle();
    trial.press(Role::Button, "Keep these facts");
    let unit = trial.unit();
    assert_eq!((unit.tank_l, unit.source_water.ec_ms_cm), (40.0, Some(0.3)));
    assert_eq!(unit.shelf.len(), before.shelf.len() + 1);
    assert_eq!((&unit.name, unit.log.len()), (&before.name, before.log.len()));
    assert_eq!(trial.on_disk(), files, "it is the same file");
    let stored = read_unit(files.first().expect("a file")).expect("a readable file").unit;
    assert_eq!(stored, unit);
    assert!(trial.harness.state().outlook().is_some(), "the answer follows");
}

#[test]
fn a_size_that_is_too_large_is_told_in_the_strip() {
    let mut trial = light();
    trial.type_into("Size of the reservoir, L", "600");
    let words = "The reservoir must hold more than 0 and at most 500 L; you typed 600";
    let told = trial.harness.query_all_by_label_contains(words).count();
    assert_eq!(told, 2, "beside the field and in the strip");
    assert!(trial.harness.query_by_label("How big is the reservoir?").is_none());
    assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
}

#[test]
fn the_strip_stands_still_between_plan_idea_and_wait() {
    let mut trial = light();
    trial.press(Role::Button, "Look around in the example");
    let words = |trial: &Trial| trial.harness.get_by_role_and_label(Role::DisclosureTriangle, "In words").rect();
    let plan = words(&trial);
    trial.press(Role::Button, "Poured it");
    assert_eq!(words(&trial), plan);
}
