//! Rounds that follow each other: what one reading teaches the next pour.

use super::*;

fn at(minutes_ago: i64, ph: f64, ec_ms_cm: f64) -> LogEntry {
    LogEntry::Reading(Reading {
        at_s: NOW_S - 60 * minutes_ago,
        ph: Some(ph),
        ec_ms_cm: Some(ec_ms_cm),
        temperature_c: Some(22.0),
        level_l: None,
    })
}

fn acid(plan: &Plan) -> &Step {
    plan.steps.iter().find(|step| step.edge.is_some()).unwrap_or_else(|| panic!("no acid: {plan:#?}"))
}

/// Feed, mix, then acid in one visit; the reading between is offered as surer.
#[test]
fn acid_follows_the_feed_in_one_round() {
    let mut fed = unit();
    fed.log.push(at(40, 7.6, 0.4));
    let first = plan(&fed);
    let step = acid(&first);
    assert!(!step.provisional && step.why[0].contains("mixed for 30 min") && step.why[0].contains("Surer"), "{step:?}");
    let [(a, amount), ..] = &first.pours()[..] else { panic!("{first:?}") };
    // Both parts are in and nobody has read. While they mix, that is what is told; then the same acid is advised.
    let both = |minutes| poured(poured(fed.clone(), a, *amount, minutes), "two-part-b", *amount, minutes);
    assert!(matches!(plan(&both(5)).steps[..], [Step { action: Action::Read { in_min: 25 }, .. }]));
    let both = both(35);
    let then = plan(&both);
    assert_eq!(pour(&then.steps[0]), pour(step));
    let acidified = poured(both, &pour(step).id, pour(step).amount, 0);
    assert!(matches!(plan(&acidified).steps[..], [Step { action: Action::Read { .. }, .. }]));
}

/// Without a pH read before it, acid waits for the reading after the feed.
#[test]
fn acid_after_an_unread_ph_is_provisional() {
    let fed = plan(&read(unit(), None, Some(0.4)));
    assert!(fed.steps.iter().all(|step| step.edge.is_none() || step.provisional), "{fed:?}");
}

/// A quiet tank is not corrected for what the meter cannot tell, a correction under way is brought to its end.
#[test]
fn a_correction_is_finished_and_noise_is_not_corrected() {
    let quiet = plan(&read(unit(), Some(6.54), Some(1.5)));
    assert!(matches!(quiet.steps[0].action, Action::LeaveIt));
    let mut begun = unit();
    begun.log.push(at(60, 7.2, 1.5));
    let begun = read(poured(begun, "phosphoric-down", 3.0, 45), Some(6.54), Some(1.5));
    let step = plan(&begun);
    assert!(pour(&step.steps[0]).id == "phosphoric-down", "{}", told(&begun, &step));
}

/// Acid turns bicarbonate into carbon dioxide, which carries no current: EC below the source water's is no fault then.
#[test]
fn hard_water_that_acid_made_thinner_is_not_doubted() {
    let mut hard = unit();
    hard.source_water = SourceWater { ec_ms_cm: Some(1.0), ph: Some(7.9), ..SourceWater::of_kind(WaterKind::HardWell) };
    hard.log.push(at(60, 7.9, 1.0));
    let hard = poured(hard, "phosphoric-down", 20.0, 40);
    let hard = read(hard, Some(7.0), Some(0.87));
    let plan = plan(&hard);
    assert!(!matches!(plan.steps[0].action, Action::Ask { .. }), "{}", told(&hard, &plan));
}

/// Two readings with a pour between tell more of a bottle without a label than the second alone.
#[test]
fn two_readings_teach_what_one_cannot() {
    let width = |unit: &Unit| {
        let planner = Planner::new(unit, &catalog(), NOW_S, SEED).unwrap();
        let at = |p: f64| planner.belief().quantile(p, |member| member.ph_down_factor.ln());
        (at(0.5), at(0.9) - at(0.1))
    };
    let mut guessed = unit();
    guessed.source_water.alkalinity_meq_l = Some(2.0);
    let strength = pourcast::garden::Strength::UNKNOWN_ACID;
    let down = catalog().product("phosphoric-down").unwrap().clone();
    guessed.shelf[2] = own(Product { id: "down".to_owned(), strength, ..down }, Tool::SYRINGE_10);
    let alone = read(poured(guessed.clone(), "down", 4.0, 40), Some(6.6), Some(1.5));
    guessed.log.push(at(60, 7.5, 1.5));
    let both = read(poured(guessed, "down", 4.0, 40), Some(6.6), Some(1.5));
    let (one, two) = (width(&alone), width(&both));
    println!("  ln strength: by one reading {one:.2?}, by two {two:.2?}");
    assert!(two.1 < 0.8 * one.1, "{one:?} {two:?}");
}

/// Readings that no story explains together are not forced into one: the latest is believed, and it is said.
#[test]
fn readings_that_contradict_each_other_leave_the_latest() {
    let mut odd = unit();
    odd.log.push(at(40, 4.2, 0.4));
    let odd = read(odd, Some(6.2), Some(1.5));
    let planner = Planner::new(&odd, &catalog(), NOW_S, SEED).unwrap();
    let showing = &planner.knowledge().showing;
    let middle = planner.belief().quantile(0.5, |member| showing.of(&member.tank.totals).unwrap().ph);
    assert!((middle - 6.2).abs() < 0.3, "{middle}");
    assert!(matches!(planner.plan().unwrap().steps[0].action, Action::LeaveIt));
}
