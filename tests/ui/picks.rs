//! A long pick list: found by any name, walked by keys, and the keyboard comes back to where it was opened.

use egui::{Key, Role, Theme, Vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use rstest::rstest;

use super::clipping::{Scrolled, assert_nothing_clipped};
use super::flows::{Trial, window};

fn type_text(trial: &mut Trial, name: &str, text: &str) {
    trial.harness.get_by_role_and_label(Role::TextInput, name).type_text(text);
    trial.settle();
}

fn key(trial: &mut Trial, key: Key) {
    trial.harness.key_press(key);
    trial.settle();
}

fn is_focused(trial: &Trial, role: Role, name: &str) -> bool {
    trial.harness.get_by_role_and_label(role, name).is_focused()
}

#[rstest]
fn a_crop_is_found_by_another_name_and_taken_by_keys(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = window(look);
    trial.begin();
    trial.harness.get_by_role_and_label(Role::ComboBox, "Crop").focus();
    trial.settle();
    key(&mut trial, Key::Enter);
    // The line on top has the keyboard at once, and points an assistive tool to the row that Enter would take.
    assert!(is_focused(&trial, Role::ListBoxOption, "Lettuce"));
    trial.harness.event(egui::Event::Text("courgete".to_owned()));
    trial.settle();
    // With a slip, and by a name that stands on no row.
    let rows: Vec<_> = trial.harness.get_all_by_role(Role::ListBoxOption).collect();
    let names: Vec<_> = rows.iter().filter_map(|row| row.accesskit_node().label()).collect();
    assert_eq!(names.len(), 1, "{names:?}");
    let name = names[0].clone();
    drop(rows);
    key(&mut trial, Key::Enter);
    let unit = trial.unit();
    let catalog = pourcast::garden::Catalog::shipped().expect("profiles");
    assert_eq!(catalog.crop(&unit.crop_id).map(|crop| crop.name.clone()), Some(name));
    assert!(catalog.crop(&unit.crop_id).expect("shipped").also.iter().any(|name| name == "courgette"));
    assert!(trial.harness.query_by_role(Role::ListBoxOption).is_none(), "it is closed");
    assert!(is_focused(&trial, Role::ComboBox, "Crop"), "and the keyboard is back");
}

#[rstest]
fn arrows_walk_and_escape_leaves_all_as_it_was(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = window(look);
    trial.begin();
    let before = trial.unit();
    trial.press(Role::ComboBox, "Crop");
    let chosen = trial.harness.get_by_role_and_label(Role::ListBoxOption, "Lettuce");
    assert_eq!(chosen.accesskit_node().toggled(), Some(egui::accesskit::Toggled::True), "what grows is marked");
    type_text(&mut trial, "Find: Crop", "no such plant");
    trial.harness.get_by_label("Nothing goes by this name");
    key(&mut trial, Key::Enter);
    assert_eq!(trial.unit(), before, "there is nothing to take");
    key(&mut trial, Key::Escape);
    assert!(is_focused(&trial, Role::ComboBox, "Crop"));
    assert_eq!(trial.unit(), before);

    // What was typed is forgotten with the list: it opens at what grows, and one down is the next.
    trial.press(Role::ComboBox, "Crop");
    let names: Vec<String> =
        trial.harness.get_all_by_role(Role::ListBoxOption).filter_map(|row| row.accesskit_node().label()).collect();
    assert_eq!(names.len(), 63);
    let next = names.iter().position(|name| name == "Lettuce").expect("lettuce") + 1;
    key(&mut trial, Key::ArrowDown);
    key(&mut trial, Key::ArrowDown);
    key(&mut trial, Key::ArrowUp);
    key(&mut trial, Key::Enter);
    let catalog = pourcast::garden::Catalog::shipped().expect("profiles");
    assert_eq!(catalog.crop(&trial.unit().crop_id).map(|crop| crop.name.clone()), names.get(next).cloned());
}

#[rstest]
fn another_crop_is_found_and_pressed(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = window(look);
    trial.begin();
    trial.press(Role::Link, "Add another crop");
    type_text(&mut trial, "Find: Add another crop", "basil");
    trial.harness.get_by_role_and_label(Role::ListBoxOption, "Basil").click();
    trial.settle();
    assert_eq!(trial.unit().also_growing.len(), 1);
    assert!(trial.harness.query_by_role(Role::ListBoxOption).is_none());
}

/// For people to look at: `target/pictures/pick-*.png`.
#[test]
fn an_open_list_fits_at_every_size_in_both_themes() {
    for look in [Theme::Light, Theme::Dark] {
        for (size, scale) in [((1280.0, 800.0), 1.0), ((640.0, 400.0), 2.0)] {
            let mut trial = Trial::new(look, Vec2::from(size), scale);
            trial.press(Role::ComboBox, "Crop");
            super::pictures::keep_of(&mut trial, &format!("pick-start-{look:?}-{}", size.0));
            trial.begin();
            trial.press(Role::ComboBox, "Crop");
            super::pictures::keep_of(&mut trial, &format!("pick-{look:?}-{}", size.0));
            type_text(&mut trial, "Find: Crop", "cab");
            super::pictures::keep_of(&mut trial, &format!("pick-found-{look:?}-{}", size.0));
            key(&mut trial, Key::Escape);
            assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
        }
    }
}
