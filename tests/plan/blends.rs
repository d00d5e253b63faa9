//! A plan in two waters mixed.

use pourcast::garden::Blend;

use super::*;

fn filled(source_water: &SourceWater) -> Unit {
    read(Unit { source_water: *source_water, ..unit() }, None, None)
}

/// Hard water with and without rain: the belief starts from what the mix is, and the acid follows.
#[test]
fn rain_in_hard_water_halves_the_alkalinity_and_the_acid() {
    let hard = SourceWater { ec_ms_cm: Some(0.7), ..SourceWater::of_kind(WaterKind::HardTap) };
    let rain = SourceWater::of_kind(WaterKind::Rain);
    let mixed = SourceWater { blend: Some(Blend::of(0.5, rain)), ..hard };
    let middle = |unit: &Unit| {
        let planner = Planner::new(unit, &catalog(), NOW_S, SEED).unwrap();
        planner.belief().quantile(0.5, |member| member.source.alkalinity() * 1e3)
    };
    let (whole, half) = (middle(&filled(&hard)), middle(&filled(&mixed)));
    println!("  alkalinity {whole:.2} and, with half of it rain, {half:.2} meq/L");
    assert!((half / whole - 0.5).abs() < 0.1, "{whole} {half}");
    // The same reading in a fed tank: less acid does in the mix.
    let acid = |source_water: SourceWater| {
        let fed = read(Unit { source_water, ..unit() }, Some(7.2), Some(1.6));
        let plan = plan(&fed);
        let step = plan.steps.iter().find(|step| matches!(&step.action, Action::Pour(m) if m.id == "phosphoric-down"));
        let step = step.unwrap_or_else(|| panic!("no acid: {}", told(&fed, &plan)));
        step.likely_total.unwrap()
    };
    let (much, little) = (acid(hard), acid(mixed));
    println!("  acid {much:.1?} and {little:.1?} mL");
    assert!(little.1 < much.1, "{much:?} {little:?}");
    // It is called by its name, and nobody is asked for the pH of two waters.
    let fed = read(Unit { source_water: mixed, ..unit() }, Some(7.2), Some(1.6));
    let said = told(&fed, &plan(&fed));
    assert!(said.contains("hard tap water with 50 % rain water"), "{said}");
    assert!(!said.contains("pH of your source water"), "{said}");
}
