//! The source water described on the shelf's page: by readings, by a report in any unit, and mixed with another.

use egui::{Role, Theme, Vec2};
use egui_kittest::kittest::{Queryable as _, by};
use pourcast::garden::{Catalog, WaterKind};
use rstest::rstest;

use super::clipping::assert_sheet_unclipped;
use super::flows::{Trial, window};
use super::pictures::{keep_of, word};

fn described(look: Theme) -> Trial {
    let mut trial = window(look);
    trial.begin();
    trial.press(Role::Tab, "Shelf");
    trial.press(Role::Link, "Describe the source water");
    trial.choose("Kind of water", "Hard tap water");
    trial
}

#[rstest]
fn readings_are_kept_in_the_units_that_are_typed(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = described(look);
    trial.fill("EC, mS/cm", "0,64");
    trial.fill("pH", "7.6");
    trial.fill("Alkalinity, mg/L CaCO3", "200");
    trial.fill("Hardness, mg/L CaCO3", "12 °dH");
    trial.press(Role::Button, "Keep this water");
    let water = trial.unit().source_water;
    assert_eq!((water.kind, water.ec_ms_cm, water.ph), (WaterKind::HardTap, Some(0.64), Some(7.6)));
    // 200 / 50.04 meq/L, and 12 times 17.85 mg/L (one German degree, DIN 38409-6).
    assert!((water.alkalinity_meq_l.expect("told") - 3.997).abs() < 0.01, "{water:?}");
    assert!((water.hardness_mg_caco3_l.expect("told") - 214.2).abs() < 0.5, "{water:?}");
}

#[rstest]
fn a_report_that_does_not_balance_is_told_with_the_likely_slip(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = described(look);
    trial.press(Role::Link, "Type a report in");
    // 244 mg/L of bicarbonate are 200 mg/L as calcium carbonate.
    for (line, text) in [
        ("Calcium, mg/L", "80"),
        ("Magnesium, mg/L", "12"),
        ("Sodium, mg/L", "20"),
        ("Bicarbonate, mg/L", "200"),
        ("Chloride, mg/L", "35.5"),
        ("Sulfate, mg/L", "40"),
    ] {
        trial.fill(line, text);
    }
    assert!(trial.harness.get_all_by_label_contains("balance").next().is_some());
    let offers = trial.harness.get_all(by().role(Role::Link).label_contains("CaCO3"));
    offers.last().expect("the slip is offered").click();
    trial.settle();
    trial.press(Role::Button, "Keep this water");
    let report = trial.unit().source_water.report.expect("a report");
    assert!((report.hco3_mg_l.expect("told") - 243.9).abs() < 1.0, "{report:?}");
}

#[rstest]
fn a_line_is_read_in_the_unit_behind_it(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = described(look);
    trial.press(Role::Link, "Type a report in");
    trial.fill("Nitrate, mg/L", "5 mg/L as N");
    trial.fill("Calcium, mg/L", "2 mmol/L");
    trial.press(Role::Button, "Keep this water");
    let report = trial.unit().source_water.report.expect("a report");
    // 62.005 / 14.007, and 2 x 40.078 (IUPAC 2021).
    assert!((report.no3_mg_l.expect("told") - 22.13).abs() < 0.05, "{report:?}");
    assert!((report.ca_mg_l.expect("told") - 80.16).abs() < 0.05, "{report:?}");
}

#[rstest]
fn two_waters_are_mixed_and_parted_again(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = described(look);
    trial.fill("EC, mS/cm", "0.64");
    trial.press(Role::Link, "Two waters are mixed in it");
    trial.fill("Its share, %", "60");
    trial.press(Role::Button, "Keep this water");
    let blend = trial.unit().source_water.blend.expect("a mix");
    assert!((blend.share - 0.6).abs() < 1e-12 && blend.kind == WaterKind::Rain, "{blend:?}");
    trial.harness.get_by_label("Hard tap water with 60 % rain water");
    trial.press(Role::Link, "Describe the source water");
    trial.press(Role::Link, "It is not mixed");
    trial.press(Role::Button, "Keep this water");
    assert_eq!(trial.unit().source_water.blend, None);
}

/// What follows from a report is shown on the shelf, also of a mix; what is only usual of its rain is no warning on the page of
/// the day.
#[rstest]
fn what_a_report_tells_is_shown_on_the_shelf(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = described(look);
    trial.press(Role::Link, "Type a report in");
    // 3 meq/L of calcium and 1 of magnesium are 200 mg/L as calcium carbonate, 2.4 of bicarbonate are 120 (50.04 mg/meq).
    for (line, text) in [
        ("Calcium, mg/L", "60.12"),
        ("Magnesium, mg/L", "12.15"),
        ("Sodium, mg/L", "22.99"),
        ("Bicarbonate, mg/L", "146.44"),
        ("Chloride, mg/L", "24.82"),
        ("Sulfate, mg/L", "91.7"),
    ] {
        trial.fill(line, text);
    }
    trial.press(Role::Button, "Keep this water");
    trial.harness.get_by_label_contains("alkalinity 120 mg/L CaCO3, hardness 200 mg/L CaCO3, by a report");
    trial.press(Role::Link, "Describe the source water");
    trial.fill("pH", "7.4");
    trial.press(Role::Link, "Two waters are mixed in it");
    trial.press(Role::Button, "Keep this water");
    trial.harness.get_by_label_contains("of the mix, by a report");
    let known = trial.unit().source_water.known(&Catalog::shipped().expect("the shipped profiles")).expect("known");
    let notes = known.composition.notes.join(" ");
    assert!(notes.contains("Rain water: Alkalinity is not known") && !notes.contains("of this EC"), "{notes}");
}

#[rstest]
fn facts_that_contradict_each_other_are_told_and_nothing_is_kept(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = described(look);
    let before = trial.unit();
    trial.fill("EC, mS/cm", "0.2");
    trial.fill("Alkalinity, mg/L CaCO3", "300");
    trial.harness.get_by_label_contains("makes more than an EC of 0.20 mS/cm");
    trial.press(Role::Button, "Keep this water");
    assert_eq!(trial.unit(), before);
    trial.press(Role::Button, "Cancel");
    assert!(trial.harness.query_by_label("Your source water").is_none());
    assert_eq!(trial.unit(), before);
}

#[test]
fn nothing_of_the_sheet_is_cut_off_in_both_themes() {
    for look in [Theme::Light, Theme::Dark] {
        for (name, size, scale) in [
            ("1280x800", Vec2::new(1280.0, 800.0), 1.0),
            ("700x900", Vec2::new(700.0, 900.0), 1.0),
            ("640x400@2", Vec2::new(640.0, 400.0), 2.0),
        ] {
            let mut trial = Trial::new(look, size, scale);
            trial.begin();
            trial.press(Role::Tab, "Shelf");
            trial.press(Role::Link, "Describe the source water");
            assert_sheet_unclipped(&trial.harness, "Your source water");
            keep_of(&mut trial, &format!("water-{}-{name}", word(look)));
            trial.press(Role::Link, "Type a report in");
            trial.press(Role::Link, "Two waters are mixed in it");
            assert_sheet_unclipped(&trial.harness, "Your source water");
            keep_of(&mut trial, &format!("water-all-{}-{name}", word(look)));
        }
    }
}

#[rstest]
fn a_water_is_kept_for_other_units_and_taken_from_there(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = described(look);
    trial.fill("EC, mS/cm", "0.64");
    trial.press(Role::Button, "Keep this water");
    let kept = trial.unit().source_water;
    trial.press(Role::Link, "Keep the source water for my other units");
    trial.press(Role::Button, "Put this away");
    trial.press(Role::Link, "Describe the source water");
    trial.choose("Kind of water", "Rain water");
    trial.press(Role::Button, "Keep this water");
    assert_ne!(trial.unit().source_water, kept);
    trial.press(Role::Link, "Describe the source water");
    let name = format!("Hard tap water, {}", trial.unit().name);
    trial.choose("One of your waters", &name);
    trial.press(Role::Button, "Keep this water");
    assert_eq!(trial.unit().source_water, kept);
}
