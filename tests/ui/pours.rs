//! The list of pours, driven by label and role: what-ifs, sliders, what is added, poured and taken back.

use egui::{Role, Theme, Vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use pourcast::garden::LogEntry;
use pourcast::store::UnitFile;

use super::flows::{MORNING_S, Trial, light};

/// What the strip says when something of a list is poured.
const POUR_FIRST: &str = "I did pour the first";

#[test]
fn a_what_if_shows_its_risk_and_goes_back_to_the_plan() {
    let mut trial = light();
    trial.begin();
    let plan = trial.harness.state().outlook().expect("a plan").plan.clone();
    let amount = plan.pours().first().expect("a pour").1;
    let before = trial.harness.state().outlook().expect("an outlook").landing.just_mixed;
    trial.type_into("Amount of pH-lowering liquid, phosphoric, mL", &format!("{:.1}", 2.0 * amount));
    let outlook = trial.harness.state().outlook().expect("an outlook");
    assert!(outlook.landing.just_mixed.ph < before.ph - 0.2);
    assert!(outlook.below > 0.02, "twice the safe amount is not safe: {}", outlook.below);
    trial.harness.get_by_label_contains("Your own idea");
    trial.harness.get_by_label_contains("more than the plan would risk");
    trial.harness.get_by_label_contains("If you poured");
    trial.harness.get_by_label_contains("The plan says: Pour");
    assert!(trial.harness.query_by_role_and_label(Role::Button, "Poured it").is_none(), "a what-if gives no orders");
    trial.press(Role::Button, "Back to the plan");
    let outlook = trial.harness.state().outlook().expect("an outlook");
    assert!((outlook.landing.just_mixed.ph - before.ph).abs() < 1e-12, "bit for bit the plan's landing");
}

/// A list with 3 g of feed added, by the page's own hand.
fn with_feed() -> Trial {
    let mut trial = light();
    trial.begin();
    trial.press(Role::Link, "Add a pour");
    trial.harness.get_by_role_and_label(Role::Button, "One-part powder feed").click();
    trial.settle();
    trial.type_into("Amount of One-part powder feed, g", "3");
    trial
}

#[test]
fn pours_are_added_and_taken_off() {
    let mut trial = with_feed();
    let outlook = trial.harness.state().outlook().expect("an outlook");
    assert_eq!(outlook.landing.shares.len(), 2);
    assert!(outlook.landing.shares[0].ec_change_ms_cm > 0.05, "feed stands before what moves pH");
    trial.press(Role::Button, "Remove One-part powder feed");
    assert_eq!(trial.harness.state().outlook().expect("an outlook").landing.shares.len(), 1);
}

/// The amount of the first pour in sight.
fn first_amount(trial: &Trial) -> f64 {
    let outlook = trial.harness.state().outlook().expect("an outlook");
    outlook.idea.as_ref().map_or_else(|| outlook.plan.pours()[0].1, |idea| idea.pours[0].amount)
}

#[test]
fn the_slider_stays_under_the_pointer() {
    let mut trial = light();
    trial.begin();
    let name = "Slide pH-lowering liquid, phosphoric";
    let slider = trial.harness.get_by_role_and_label(Role::Slider, name);
    let (rect, node) = (slider.rect(), slider.accesskit_node());
    let most = node.max_numeric_value().expect("an end");
    let mark = node.numeric_value_step().expect("a step");
    let before = first_amount(&trial);
    #[expect(clippy::cast_possible_truncation, reason = "a place on the screen")]
    let at = |amount: f64| {
        // The handle keeps its radius from both ends of the rail.
        let share = (amount / most) as f32;
        egui::pos2(rect.left() + 8.0 + share * (rect.width() - 16.0), rect.center().y)
    };
    trial.harness.drag_at(at(before));
    trial.settle();
    for n in 1..=6 {
        trial.harness.hover_at(at(before + f64::from(n) * mark));
        trial.settle();
        let moved = first_amount(&trial) - before;
        assert!((moved - f64::from(n) * mark).abs() < 1e-6, "{n} marks of {mark} moved it by {moved}");
    }
    for n in [3, 0] {
        trial.harness.hover_at(at(before + f64::from(n) * mark));
        trial.settle();
    }
    trial.harness.drop_at(at(before));
    trial.settle();
    assert!((first_amount(&trial) - before).abs() < 1e-6, "there and back");
    let end =
        |trial: &Trial| trial.harness.get_by_role_and_label(Role::Slider, name).accesskit_node().max_numeric_value();
    assert_eq!(end(&trial), Some(most));
    trial.type_into("Amount of pH-lowering liquid, phosphoric, mL", &format!("{:.1}", 1.5 * most));
    assert!(end(&trial) > Some(1.4 * most), "a typed amount has its place on the slider");
}

#[test]
fn pouring_one_of_a_list_keeps_the_others() {
    let mut trial = with_feed();
    let acid = trial.harness.state().outlook().expect("an outlook").idea.as_ref().expect("an idea").pours[1].clone();
    trial.press(Role::Button, POUR_FIRST);
    let poured = trial.unit().log.last().cloned();
    assert!(matches!(&poured, Some(LogEntry::Pour(pour)) if (pour.amount - 3.0).abs() < 1e-9), "{poured:?}");
    let outlook = trial.harness.state().outlook().expect("an outlook");
    assert_eq!(outlook.idea.as_ref().expect("the rest").pours, [acid]);
}

#[test]
fn what_is_typed_into_an_amount_goes_when_the_plan_comes_back() {
    let mut trial = light();
    trial.begin();
    trial.type_into("Amount of pH-lowering liquid, phosphoric, mL", "7");
    trial.type_into("Amount of pH-lowering liquid, phosphoric, mL", "abc");
    let shown = |trial: &Trial| {
        trial
            .harness
            .get_by_role_and_label(Role::TextInput, "Amount of pH-lowering liquid, phosphoric, mL")
            .value()
            .unwrap_or_default()
    };
    assert_eq!(shown(&trial), "abc", "nothing typed is lost");
    trial.press(Role::Button, "Work it out again");
    assert!((shown(&trial).parse::<f64>().expect("a number") - first_amount(&trial)).abs() < 0.06);
}

#[test]
fn a_change_of_water_is_one_line_and_one_press_takes_it_back() {
    let home = tempfile::tempdir().expect("a folder");
    let mut trial = Trial::open(home, None, Theme::Light, Vec2::new(1280.0, 800.0), 1.0);
    trial.begin();
    let mut unit = trial.unit();
    let at_s = MORNING_S;
    unit.record(LogEntry::Drain { at_s, solution_l: 4.0 });
    unit.record(LogEntry::top_up(at_s, 4.0));
    let path = trial.home.path().join("changed.ron");
    UnitFile::create(&path, &unit).expect("a file");
    let Trial { home, .. } = trial;
    let mut trial = Trial::open(home, Some(path), Theme::Light, Vec2::new(1280.0, 800.0), 1.0);
    assert_eq!(trial.unit().log.len(), unit.log.len());
    trial.press(Role::Link, "Take back Solution changed for water");
    assert_eq!(trial.unit().log.len(), unit.log.len() - 2);
    assert!((trial.unit().level_l - unit.level_l).abs() < 1e-9);
}

#[test]
fn a_pour_noted_by_mistake_is_taken_back() {
    let mut trial = light();
    trial.begin();
    let before = trial.unit();
    trial.press(Role::Button, "Poured it");
    assert_eq!(trial.unit().log.len(), before.log.len() + 1);
    trial.press(Role::Link, "Take back pH-lowering liquid, phosphoric");
    assert_eq!(trial.unit(), before);
}
