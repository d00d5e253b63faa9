//! What stands around the dose: a press leads from what would help to where it is typed, and contradictions are told beside the
//! field.

use egui::{Role, Theme, Vec2};
use egui_kittest::kittest::Queryable as _;

use super::clipping::{Scrolled, assert_nothing_clipped};
use super::flows::{Trial, light};
use super::pictures::keep_of;

#[test]
fn what_would_help_leads_to_its_field() {
    let mut trial = light();
    trial.press(Role::Button, "Look around in the example");
    trial.press(Role::Link, "A drop kit would help");
    trial.harness.get_by_label("What would help most");
    let fact = trial.harness.get_by_label_contains("A drop kit for the alkalinity of your source water would");
    fact.click();
    trial.settle();
    trial.harness.get_by_label("Change what is in your hands");
    let field = trial.harness.get_by_role_and_label(Role::TextInput, "Alkalinity, if known");
    assert!(field.is_focused(), "the keyboard is in the field");
    // Told, it narrows the answer, and another fact comes first or none.
    trial.type_into("Alkalinity, if known", "100");
    trial.press(Role::Button, "Keep these facts");
    assert!(trial.unit().source_water.alkalinity_meq_l.is_some());
    assert!(trial.harness.query_by_role_and_label(Role::Link, "A drop kit would help").is_none());
    assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
}

#[test]
fn answers_that_contradict_each_other_are_told_beside_the_field() {
    let mut trial = light();
    trial.begin();
    trial.press(Role::Link, "Edit");
    trial.type_into("EC, if known, mS/cm", "0.3");
    trial.type_into("Alkalinity, if known", "600");
    let words = "Caution: An alkalinity of 600 mg/L CaCO3 (12.0 meq/L) alone makes more than an EC of 0.30";
    trial.harness.get_by_label_contains(words);
    trial.harness.get_by_label("Two of these answers do not go together");
    assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
    // Kept all the same, the strip leads back to the field.
    trial.press(Role::Button, "Keep these facts");
    trial.harness.get_by_label("Something does not fit together");
    trial.press(Role::Button, "Change the water");
    assert!(trial.harness.get_by_role_and_label(Role::TextInput, "Alkalinity, if known").is_focused());
}

/// A pH of 10.5 takes more salts than an EC of 0.10 has room for.
#[test]
fn a_reading_that_fits_nothing_else_is_named_with_what_would() {
    let mut trial = light();
    trial.begin();
    trial.press(Role::Link, "Edit");
    trial.type_into("EC, if known, mS/cm", "0.1");
    trial.type_into("pH, if known", "10.5");
    trial.press(Role::Button, "Keep these facts");
    trial.harness.get_by_label("Something does not fit together");
    trial.harness.get_by_label_contains("Source water: EC 0.1");
    trial.harness.get_by_label_contains("mS/cm would fit all else that was told");
    trial.press(Role::Button, "Change the water");
    assert!(trial.harness.get_by_role_and_label(Role::TextInput, "EC, if known, mS/cm").is_focused());
}

/// What a person must know of a feed to read the meter right stands with the step that pours it, behind "Why".
#[test]
fn a_feed_with_urea_says_so_where_it_is_poured() {
    for (look, name, size) in [
        (Theme::Light, "urea-light-1280x800", Vec2::new(1280.0, 800.0)),
        (Theme::Dark, "urea-dark-700x780", Vec2::new(700.0, 780.0)),
    ] {
        let mut trial = Trial::new(look, size, 1.0);
        trial.begin();
        trial.press(Role::Tab, "Shelf");
        trial.press(Role::Button, "Describe a product");
        trial.type_into("Name of the product", "Blue bottle");
        for (line, value) in [("Total N, %", "10"), ("Nitrate N, %", "4"), ("Urea N, %", "6"), ("K2O, %", "6")] {
            trial.fill(line, value);
        }
        trial.press(Role::Button, "Keep it on the shelf");
        trial.press(Role::Link, "Plan with Blue bottle");
        trial.harness.get_by_label_contains("Urea does not show on an EC meter");
        // Another reading days later, so that the two need not agree.
        trial.turn_clock(3 * 24 * 60);
        trial.press(Role::Tab, "Today");
        trial.type_into("pH", "6,2");
        trial.type_into("EC, mS/cm", "0,5");
        let plan = trial.harness.state().outlook().expect("a plan").plan.clone();
        assert_eq!(plan.pours().first().map(|(id, _)| id.as_str()), Some("blue-bottle"));
        assert!(trial.harness.query_by_label_contains("Urea does not show").is_none(), "not twice");
        trial.press(Role::DisclosureTriangle, "Why");
        trial.harness.get_by_label_contains("Urea does not show on an EC meter: the reading understates this feed");
        assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
        keep_of(&mut trial, name);
    }
}
