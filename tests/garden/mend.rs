//! A log that is mended: what follows from the wrong entry follows from the right one, and what was typed stays.

use pourcast::garden::*;

use super::{catalog, close};

fn unit() -> Unit {
    let mut unit = catalog().examples[0].unit_at(0);
    unit.log.clear();
    (unit.tank_l, unit.level_l) = (40.0, 30.0);
    unit.record(LogEntry::Refill { at_s: 0, water_l: 30.0 });
    unit
}

fn reading(at_s: i64, ph: f64, level_l: f64) -> LogEntry {
    LogEntry::Reading(Reading { at_s, ph: Some(ph), level_l: Some(level_l), ..Reading::default() })
}

fn levels(unit: &Unit) -> Vec<Option<f64>> {
    let of = |entry: &LogEntry| if let LogEntry::Reading(reading) = entry { Some(reading.level_l) } else { None };
    unit.log.iter().filter_map(of).collect()
}

#[test]
fn a_level_that_followed_from_a_wrong_amount_follows_from_the_right_one() {
    let mut unit = unit();
    // 6 L were typed for 0.6.
    unit.record(LogEntry::top_up(10, 6.0));
    unit.record(reading(20, 6.2, 36.0));
    unit.record(LogEntry::Drain { at_s: 30, solution_l: 1.0 });
    let was = unit.mend(1, Some(LogEntry::top_up(10, 0.6))).unwrap();
    assert_eq!(was, LogEntry::top_up(10, 6.0));
    close(levels(&unit)[0].unwrap(), 30.6, 1e-9);
    close(unit.level_l, 29.6, 1e-9);
    // Taken out altogether, nothing of it is left.
    unit.mend(1, None).unwrap();
    close(levels(&unit)[0].unwrap(), 30.0, 1e-9);
    close(unit.level_l, 29.0, 1e-9);
    assert_eq!(unit.log.len(), 3);
}

#[test]
fn a_level_that_was_typed_stays_with_all_after_it() {
    let mut unit = unit();
    unit.record(LogEntry::top_up(10, 6.0));
    // The person looked at the mark: 32 L, not the 36 that would follow.
    unit.record(reading(20, 6.2, 32.0));
    unit.record(LogEntry::top_up(30, 2.0));
    unit.mend(1, Some(LogEntry::top_up(10, 0.6))).unwrap();
    assert_eq!(levels(&unit), [Some(32.0)]);
    close(unit.level_l, 34.0, 1e-12);
    // The later one still moves what follows from it.
    unit.mend(3, Some(LogEntry::top_up(30, 1.0))).unwrap();
    close(unit.level_l, 33.0, 1e-12);
    // And a reading whose level was wrong moves it too.
    unit.mend(2, Some(reading(20, 6.2, 31.0))).unwrap();
    close(unit.level_l, 32.0, 1e-12);
}

#[test]
fn a_mended_log_stays_in_order_and_in_the_tank() {
    let mut unit = unit();
    unit.record(LogEntry::top_up(10, 2.0));
    unit.record(reading(20, 6.2, 32.0));
    let before = unit.clone();
    let order = |at_s| unit.clone().mend(1, Some(LogEntry::top_up(at_s, 2.0)));
    assert_eq!(order(21), Err(MendError::OutOfOrder));
    assert_eq!(order(-1), Err(MendError::OutOfOrder));
    assert!(order(0).is_ok() && order(20).is_ok());
    assert_eq!(unit.mend(1, Some(reading(10, 6.0, 30.0))), Err(MendError::AnotherKind));
    assert_eq!(unit.mend(3, None), Err(MendError::NoEntry { index: 3, count: 3 }));
    assert_eq!(unit, before, "what is refused changes nothing");
    unit.mend(1, Some(LogEntry::top_up(10, 400.0))).unwrap();
    close(unit.level_l, 40.0, 1e-12);
}

/// The limits are ours.
#[test]
fn amounts_and_times_are_looked_at_twice() {
    let mut feed = super::product(Role::Feed, Form::Powder, Strength::UNKNOWN_BASE);
    feed.label_rate = Some(LabelRate { per_l: 0.5, purpose: String::new() });
    let messages = |amount: f64| -> Vec<(Severity, String)> {
        check_poured(&feed, amount, 20.0, 25.0).into_iter().map(|p| (p.severity, p.message)).collect()
    };
    assert_eq!(messages(30.0), [], "three times the label, and no more");
    let [(Severity::Caution, message)] = &messages(41.0)[..] else { panic!("{:?}", messages(41.0)) };
    assert!(message.contains("41 g is 4 times what the label says for 20 L (10 g)"), "{message}");
    assert!(
        matches!(messages(-1.0)[..], [(Severity::Refused, _)])
            && matches!(messages(f64::NAN)[..], [(Severity::Refused, _)])
    );
    let acid = super::product(Role::PhDown, super::liquid(1.1), Strength::UNKNOWN_ACID);
    let over = check_poured(&acid, 600.0, 24.5, 25.0);
    assert!(
        over[0].severity == Severity::Caution && over[0].message.contains("room left in the reservoir, 0.5 L"),
        "{over:?}"
    );
    assert_eq!(check_added_l(5.0, 20.0, 25.0), None);
    assert!(check_added_l(5.5, 20.0, 25.0).unwrap().message.contains("5.5 L is more than the room left"));
    assert!(check_taken_l(20.5, 20.0).unwrap().message.contains("more than there is"));
    assert_eq!(check_added_l(0.0, 20.0, 25.0).unwrap().severity, Severity::Refused);
    let when = |at_s| check_when(at_s, 100, (Some(50), Some(80)), &|at_s| format!("[{at_s}]")).map(|p| p.message);
    assert_eq!((when(50), when(80)), (None, None));
    assert_eq!(when(101).unwrap(), "[101] is still to come: it is [100] now");
    assert_eq!(when(49).unwrap(), "[49] is before the entry above it in the log, of [50]");
    assert_eq!(when(81).unwrap(), "[81] is after the next entry in the log, of [80]");
}
