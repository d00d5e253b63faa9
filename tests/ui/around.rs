//! What stands around the dose: a press leads from what would help to where it is typed, and contradictions are told beside the
//! field.

use egui::Role;
use egui_kittest::kittest::Queryable as _;

use super::clipping::{Scrolled, assert_nothing_clipped};
use super::flows::light;

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
