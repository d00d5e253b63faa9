//! The tub card in the window: the card itself, on a sheet, and as a file.

use egui::{Role, Theme, Vec2};
use egui_kittest::kittest::Queryable as _;

use super::flows::{Trial, light};

fn with_card(mut trial: Trial) -> Trial {
    trial.press(Role::Button, "Look around in the example");
    trial.press(Role::Button, "Tub card");
    trial
}

#[test]
fn the_sheet_shows_amount_tool_and_when_to_stop() {
    let trial = with_card(light());
    let plan = trial.harness.state().outlook().expect("a plan").plan.clone();
    let (_, amount) = plan.pours().first().cloned().expect("a pour");
    trial.harness.get_by_label(&format!("{amount:.1} mL"));
    // One in the strip, one on the sheet.
    let tool = format!("5 mL syringe, filled to {amount:.1} mL");
    let tools = trial.harness.query_all_by_role_and_label(Role::Image, &tool);
    assert_eq!(tools.count(), 2);
    let stops = trial.harness.get_by_label_contains("Stop if: ");
    let label = egui_kittest::kittest::NodeT::accesskit_node(&stops).label().unwrap_or_default();
    assert!(label.contains("pH shows below 5.5"), "{label}");
    trial.harness.get_by_label("Good to know");
}

#[test]
fn the_sheet_fits_at_every_size_in_both_themes() {
    for look in [Theme::Light, Theme::Dark] {
        for (size, scale) in [(Vec2::new(1280.0, 800.0), 1.0), (Vec2::new(640.0, 400.0), 2.0)] {
            let trial = with_card(Trial::new(look, size, scale));
            let window = trial.harness.ctx.content_rect();
            // Sideways nothing scrolls: every line of the card lies within the window.
            let close = trial.harness.get_by_role_and_label(Role::Button, "Close").rect();
            let plan = &trial.harness.state().outlook().expect("a plan").plan;
            let reasons = plan.steps.iter().flat_map(|step| &step.why);
            let mut seen = 0;
            for line in reasons.map(String::as_str).chain(["Good to know", "Tub card"]) {
                for node in
                    trial.harness.query_all_by_label(line).filter(|node| node.rect().left() >= close.left() - 1.0)
                {
                    assert!(node.rect().right() <= window.right() - close.left() + 1.0, "{line} at {:?}", node.rect());
                    seen += 1;
                }
            }
            assert!(seen > 3, "{seen} lines");
            for button in ["Close", "Copy the text", "Save as PDF…"] {
                let rect = trial.harness.get_by_role_and_label(Role::Button, button).rect();
                assert!(window.contains_rect(rect), "{button} at {rect:?}");
            }
        }
    }
}

#[test]
fn the_card_is_saved_as_a_pdf() {
    let mut trial = with_card(light());
    // A name without an ending gets one.
    trial.dialogs.answer_with(trial.home.path().join("my card"));
    trial.press(Role::Button, "Save as PDF…");
    let path = trial.home.path().join("my card.pdf");
    let first = std::fs::read(&path).expect("the page");
    assert!(first.starts_with(b"%PDF-"));
    trial.harness.get_by_label_contains("The tub card is at");
    // The dialog has asked whether it may be written over.
    std::fs::write(&path, b"%PDF-1.7 of yesterday").expect("written");
    trial.dialogs.answer_with(path.clone());
    trial.press(Role::Button, "Put this away");
    trial.press(Role::Button, "Save as PDF…");
    assert_eq!(std::fs::read(&path).expect("the page"), first, "the same card gives the same page");
}

#[test]
fn a_page_replaces_nothing_but_a_page() {
    let mut trial = light();
    trial.begin();
    let unit = trial.on_disk().first().cloned().expect("a file");
    let before = std::fs::read(&unit).expect("the unit");
    trial.dialogs.answer_with(unit.clone());
    trial.press(Role::Button, "Tub card");
    trial.press(Role::Button, "Save as PDF…");
    trial
        .harness
        .get_by_label_contains("Notice: The tub card could not be saved: there is already a file here that is no PDF");
    assert_eq!(std::fs::read(&unit).expect("the unit"), before);

    trial.dialogs.answer_with(trial.home.path().join("no such folder").join("card.pdf"));
    trial.press(Role::Button, "Put this away");
    trial.press(Role::Button, "Save as PDF…");
    trial.harness.get_by_label_contains("Notice: The tub card could not be saved");
    assert!(trial.harness.query_all_by_label_contains("os error").next().is_none());
}

#[test]
fn without_dialogs_the_page_goes_beside_the_units() {
    let mut trial = with_card(light());
    trial.dialogs.break_down();
    trial.press(Role::Button, "Save as PDF…");
    trial.harness.get_by_label_contains("the tub card is at");
    let page = std::fs::read(trial.units_folder().join("North sill trough tub card.pdf")).expect("the page");
    assert!(page.starts_with(b"%PDF-"));
}
