//! What was told beside what was read, and readings of the same water that do not agree. Sources: the noise of a reading is
//! that of the meter's own kind, see `Meter::ph_noise`; the limits of time are ours.

use pourcast::garden::{LogEntry, Meter, PourRecord, Promise, Reading};
use pourcast::learn::Done;
use pourcast::plan::{Action, MODEL_VERSION, Planner, Untold, Way, compared, disagree, told_then, twice};

use super::{NOW_S, SEED, catalog, plan, read, unit};

fn reading(at_s: i64, ph: Option<f64>, ec_ms_cm: Option<f64>) -> LogEntry {
    LogEntry::Reading(Reading { at_s, ph, ec_ms_cm, ..Reading::default() })
}

fn acid(at_s: i64, promise: Option<Promise>) -> LogEntry {
    LogEntry::Pour(PourRecord { at_s, product_id: "phosphoric-down".to_owned(), amount: 4.0, promise })
}

fn promise() -> Promise {
    let model_version = MODEL_VERSION.to_owned();
    Promise { amount: 4.0, advised: None, ph_range: (5.8, 6.4), ec_range_ms_cm: (1.3, 1.5), model_version }
}

#[test]
fn a_reading_lies_in_above_or_below_what_was_told() {
    let meter = Meter::default();
    let of = |ph: f64, ec: f64| {
        let log = [acid(0, Some(promise())), reading(1800, Some(ph), Some(ec))];
        let compared = compared(&log, 1, &meter).unwrap();
        assert!((compared.after_h - 0.5).abs() < 1e-12 && compared.of == 0);
        (compared.ph.unwrap().way, compared.ec_ms_cm.unwrap().way)
    };
    assert_eq!(of(6.0, 1.4), (Way::AsTold, Way::AsTold));
    // A figure of 6.45 may be shown as 6.4 or 6.5 by a meter of tenths.
    assert_eq!(of(6.45, 1.5), (Way::AsTold, Way::AsTold));
    assert_eq!(of(6.5, 1.52), (Way::Above, Way::Above));
    assert_eq!(of(5.7, 1.28), (Way::Below, Way::Below));
}

#[test]
fn a_promise_is_answered_once_and_by_the_water_it_was_made_of() {
    let meter = Meter::default();
    let told = |log: &[LogEntry]| compared(log, log.len() - 1, &meter).map(|compared| compared.of);
    let first = reading(1800, Some(6.1), None);
    // pH first and EC a few minutes later are one look.
    assert_eq!(told(&[acid(0, Some(promise())), first.clone(), reading(2400, None, Some(1.4))]), Some(0));
    assert_eq!(told(&[acid(0, Some(promise())), first.clone(), reading(90_000, Some(6.5), None)]), None, "answered");
    assert_eq!(told(&[acid(0, Some(promise())), acid(60, None), first.clone()]), None, "nothing was told of the last");
    // A sample taken out leaves the rest as it is; water put in does not.
    assert_eq!(told(&[acid(0, Some(promise())), LogEntry::Drain { at_s: 9, solution_l: 0.1 }, first.clone()]), Some(0));
    assert_eq!(told(&[acid(0, Some(promise())), LogEntry::top_up(9, 1.0), first.clone()]), None);
    assert_eq!(told(&[acid(0, Some(promise()))]), None, "no reading");
    assert_eq!(told(&[acid(0, Some(promise())), reading(1800, None, None)]), None, "nothing read");
    assert_eq!(told(&[first]), None, "nothing told");
}

#[test]
fn the_plans_own_step_and_what_went_in_instead_are_told_of_alike() {
    let unit = read(unit(), Some(7.4), Some(1.5));
    let (catalog, plan) = (catalog(), plan(&unit));
    let Action::Pour(measured) = &plan.steps[0].action else { panic!("{:?}", plan.steps[0]) };
    let own = plan.promise.clone().unwrap();
    assert_eq!((own.amount, own.advised), (measured.amount, Some(measured.amount)));
    let planner = Planner::new(&unit, &catalog, NOW_S, SEED).unwrap();
    let poured = |amount: f64| vec![Done::Pour { id: measured.id.clone(), amount }];
    // The same amount is told of the same way; the plan's own counts the wait into the range likewise.
    let same = planner.told_of(&poured(measured.amount), Some(measured.amount)).unwrap();
    assert!(
        (same.ph_range.0 - own.ph_range.0).abs() < 0.02 && (same.ph_range.1 - own.ph_range.1).abs() < 0.02,
        "{same:?} {own:?}"
    );
    // More acid comes out lower, and water added thinner.
    let more = planner.told_of(&poured(2.0 * measured.amount), Some(measured.amount)).unwrap();
    assert!(more.ph_range.1 < own.ph_range.1 && more.ph_range.0 < own.ph_range.0, "{more:?} {own:?}");
    let thinner = planner.told_of(&[Done::TopUp(4.0)], None).unwrap();
    assert!(thinner.ec_range_ms_cm.1 < 1.5 && thinner.advised.is_none(), "{thinner:?}");
    // Of what the plan does not work with nothing is told.
    assert_eq!(planner.told_of(&[Done::Pour { id: "unheard-of".to_owned(), amount: 1.0 }], None), None);
    assert_eq!(planner.told_of(&[], None), None);

    // The same from the log, and what came after it makes no difference: no hindsight.
    let mut after = unit.clone();
    after.record(acid(NOW_S, None));
    after.record(LogEntry::top_up(NOW_S, 1.0));
    let untold = [Untold { index: 2, advised: Some(3.0) }, Untold { index: 3, advised: None }];
    let told = told_then(&after, &catalog, &untold, SEED);
    let first = planner.told_of(&[Done::Pour { id: "phosphoric-down".to_owned(), amount: 4.0 }], Some(3.0));
    assert_eq!(told[0], first);
    assert!(told[1].as_ref().unwrap().ec_range_ms_cm.1 < told[0].as_ref().unwrap().ec_range_ms_cm.1);
    after.record(reading(NOW_S + 1800, Some(4.0), Some(3.0)));
    assert_eq!(told_then(&after, &catalog, &untold, SEED), told);
    assert_eq!(told_then(&after, &catalog, &[Untold { index: 99, advised: None }], SEED), [None]);
}

#[test]
fn two_readings_of_the_same_water_that_do_not_agree_are_doubted() {
    let meter = Meter::default();
    let two = |seconds: i64, ph: f64, ec: f64| {
        twice(&[reading(0, Some(6.2), Some(1.5)), reading(seconds, Some(ph), Some(ec))], &meter)
    };
    // A pen of tenths: a noise of 0.054, so 4 sds of a difference are 0.31.
    assert!((meter.ph_noise() - 0.0543).abs() < 5e-4, "{}", meter.ph_noise());
    assert_eq!(two(60, 6.5, 1.5), None);
    let doubt = two(60, 6.8, 1.5).unwrap();
    assert_eq!(doubt.words(), "Two readings 1 min apart differ by 0.6 pH: rinse the probe, read once more");
    assert!(!doubt.is_settled() && doubt.pair == (0, 1) && doubt.ec_ms_cm.is_none());
    assert!(two(180, 6.8, 1.5).is_some() && two(181, 6.8, 1.5).is_none(), "later it may be other water");
    let ec = two(20, 6.2, 1.8).unwrap();
    assert_eq!(ec.difference(), "Two readings within a minute differ by EC 0.30 mS/cm");
    // Something poured between, or nearly pure water, and there is nothing to doubt.
    let log = [reading(0, Some(6.2), None), acid(30, None), reading(60, Some(5.2), None)];
    assert_eq!(twice(&log, &meter), None);
    let pure = [reading(0, Some(6.2), Some(0.05)), reading(60, Some(7.2), Some(0.05))];
    assert_eq!(twice(&pure, &meter), None);
}

#[test]
fn a_third_reading_settles_which_of_two_is_odd() {
    let meter = Meter::default();
    let three = |a: f64, b: f64, c: f64| {
        let log = [reading(0, Some(a), None), reading(60, Some(b), None), reading(400, Some(c), None)];
        twice(&log, &meter).map(|doubt| (doubt.odd, doubt.is_settled()))
    };
    assert_eq!(three(6.2, 6.8, 6.2), Some((Some(1), true)));
    assert_eq!(three(6.2, 6.8, 6.8), Some((Some(0), true)));
    assert_eq!(three(6.2, 6.8, 7.4), Some((None, false)), "none of three agrees with another");
    // Two agree, and the latest does not: no plan rests on it.
    let log = [reading(0, Some(6.2), None), reading(300, Some(6.2), None), reading(360, Some(6.8), None)];
    let doubt = twice(&log, &meter).unwrap();
    assert!(doubt.odd == Some(2) && !doubt.is_settled(), "{doubt:?}");
    assert!(disagree(
        &Reading { ph: Some(6.2), ..Reading::default() },
        &Reading { ph: Some(6.8), ..Reading::default() },
        &meter
    ));
}

#[test]
fn nothing_is_poured_on_readings_that_do_not_agree() {
    let mut unit = read(unit(), Some(7.4), Some(1.5));
    let before = plan(&unit);
    assert!(matches!(before.steps[0].action, Action::Pour(_)));
    unit.log.insert(1, reading(NOW_S - 60, Some(6.6), Some(1.5)));
    let doubted = plan(&unit);
    let [step] = &doubted.steps[..] else { panic!("{:?}", doubted.steps) };
    assert_eq!(step.action, Action::Read { in_min: 0 });
    assert!(step.why[0].starts_with("Two readings 1 min apart differ by 0.8 pH"), "{:?}", step.why);
    unit.log.insert(1, reading(NOW_S - 120, Some(7.4), Some(1.5)));
    assert!(matches!(plan(&unit).steps[0].action, Action::Pour(_)), "the latest agrees with one of them");
}
