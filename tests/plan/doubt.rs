//! When a reading or a log is doubted.

use super::*;

/// A log that no longer fits the water is not believed: forty days of top-ups and acid, and a reading inside the zone.
#[test]
fn a_long_log_does_not_argue_with_the_reading() {
    let mut old = unit();
    old.plants_in = true;
    let day = 86_400;
    old.log.clear();
    old.log.push(LogEntry::Refill { at_s: NOW_S - 40 * day, water_l: old.level_l });
    for week in 0..8 {
        let at_s = NOW_S - (38 - 4 * week) * day;
        old.log.push(LogEntry::top_up(at_s, 5.0));
        old.log.push(LogEntry::Pour(PourRecord {
            at_s: at_s + 600,
            product_id: "phosphoric-down".to_owned(),
            amount: 9.0,
            promise: None,
        }));
    }
    let plan = plan(&read(old, Some(6.2), Some(1.5)));
    assert!(matches!(plan.steps[0].action, Action::LeaveIt), "{:?}", plan.steps[0]);
}

/// Acid an hour ago in water that had stood for days: its carbon dioxide still leaves, and the plan says so.
#[test]
fn fresh_acid_in_old_hard_water_still_creeps() {
    let mut old = unit();
    old.plants_in = true;
    old.source_water.alkalinity_meq_l = Some(4.0);
    old.source_water.ec_ms_cm = Some(0.7);
    old.log.clear();
    old.log.push(LogEntry::Refill { at_s: NOW_S - 3 * 86_400, water_l: old.level_l });
    let at_s = NOW_S - 40 * 60;
    old.log.push(LogEntry::Pour(PourRecord {
        at_s,
        product_id: "phosphoric-down".to_owned(),
        amount: 14.0,
        promise: None,
    }));
    let plan = plan(&read(old, Some(6.0), Some(1.5)));
    let expect = plan.steps[0].expect.unwrap();
    assert!(expect.settled_ph.1 > 6.3, "settles near {:.2}", expect.settled_ph.1);
}

/// A reading a minute after a pour is asked for again.
#[test]
fn a_reading_before_the_water_has_mixed_is_not_believed() {
    let mut early = unit();
    early.log.push(LogEntry::Pour(PourRecord {
        at_s: NOW_S - 90,
        product_id: "phosphoric-down".to_owned(),
        amount: 3.0,
        promise: None,
    }));
    let plan = plan(&read(early, Some(7.6), Some(1.5)));
    assert!(matches!(plan.steps[0].action, Action::Read { in_min } if in_min > 10), "{:?}", plan.steps[0]);
}

/// A tank that reads thinner than its source water: the meter is doubted before anything is poured.
#[test]
fn a_tank_thinner_than_its_water_is_doubted() {
    let plan = plan(&read(unit(), Some(6.9), Some(0.05)));
    assert!(
        matches!(&plan.steps[0].action, Action::Ask { question } if question.contains("Check the meter")),
        "{:?}",
        plan.steps[0]
    );
}
