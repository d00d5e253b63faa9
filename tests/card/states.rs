//! Units in the states that a card must tell, and their cards.

use std::sync::{Mutex, PoisonError};

use pourcast::card::Card;
use pourcast::garden::{Catalog, LogEntry, PourRecord, Reading, Unit, UnitKind};
use pourcast::plan::{Plan, Planner};
use pourcast::ui::clock::{Clock as _, StandingClock};

const SEED: u64 = 7;

/// Five minutes after the last entry, as if just typed.
fn now_s(unit: &Unit) -> i64 {
    unit.log.iter().map(LogEntry::at_s).max().unwrap_or(1_772_442_000) + 300
}

/// Plans made so far: every trial here looks at the same units, and a plan takes its time.
static PLANS: Mutex<Vec<(Unit, Plan)>> = Mutex::new(Vec::new());

pub(crate) fn planned(unit: &Unit, catalog: &Catalog) -> Plan {
    let mut plans = PLANS.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some((_, plan)) = plans.iter().find(|(known, _)| known == unit) {
        return plan.clone();
    }
    let planner = Planner::new(unit, catalog, now_s(unit), SEED).unwrap();
    let mut plan = planner.plan().unwrap();
    planner.advise(&mut plan);
    plans.push((unit.clone(), plan.clone()));
    plan
}

pub(crate) fn card_of(unit: &Unit, catalog: &Catalog) -> Card {
    let date = |at_s| StandingClock(at_s).date(at_s);
    Card::of(unit, catalog, &planned(unit, catalog), now_s(unit), &date)
}

/// A unit as it would be an hour after its last entry, with another reading.
pub(crate) fn read(unit: &Unit, ph: Option<f64>, ec_ms_cm: Option<f64>) -> Unit {
    let mut unit = unit.clone();
    let at_s = now_s(&unit) + 3300;
    unit.record(LogEntry::Reading(Reading { at_s, ph, ec_ms_cm, temperature_c: Some(20.0), ..Reading::default() }));
    unit
}

fn example(catalog: &Catalog, id: &str) -> Unit {
    catalog.examples.iter().find(|example| example.id == id).unwrap().unit.clone()
}

/// Every state that has a card of its own kind, by the name of its kept text.
pub(crate) fn states(catalog: &Catalog) -> Vec<(&'static str, Unit)> {
    let trough = example(catalog, "north-sill-trough");
    let bucket = example(catalog, "reading-room-bucket");
    let terrace = example(catalog, "terrace-trough");
    let jar = example(catalog, "story-corner-jar");
    let bare = |unit: &Unit| Unit { log: Vec::new(), ..unit.clone() };

    let name = "Jam jar".to_owned();
    let small = Unit { name, kind: UnitKind::StillJar, tank_l: 2.5, level_l: 2.4, ..bare(&trough) };
    let low = Unit { level_l: 14.0, ..bare(&trough) };
    let empty_shelf = Unit { shelf: Vec::new(), ..bare(&trough) };
    let fresh = Unit { plants_in: false, ..bare(&bucket) };
    let mut unread = trough.clone();
    let acid = planned(&trough, catalog).pours().pop().unwrap();
    let at_s = now_s(&trough);
    unread.record(LogEntry::Pour(PourRecord { at_s, product_id: acid.0, amount: acid.1, promise: None }));

    vec![
        ("north-sill-trough", trough.clone()),
        ("reading-room-bucket", bucket),
        // A fresh fill of it, to be begun with silicate; its log then goes on from there.
        ("card-silicate-first", Unit { log: terrace.log[..1].to_vec(), ..terrace.clone() }),
        ("terrace-trough", terrace),
        ("story-corner-jar", jar),
        ("card-diluted-pour", read(&small, Some(7.0), Some(1.4))),
        ("card-top-up", read(&low, Some(6.9), Some(1.5))),
        ("card-leave-it", read(&bare(&trough), Some(6.0), Some(1.5))),
        ("card-nothing-on-the-shelf", read(&empty_shelf, Some(7.6), Some(0.6))),
        ("card-first-fill", fresh),
        ("card-too-salty", read(&bare(&trough), Some(6.0), Some(3.0))),
        ("card-wait-and-read", unread),
    ]
}
