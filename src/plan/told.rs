//! What was told stands beside what was read: promises of what goes in, and how a reading answers them.

use crate::garden::{Catalog, LogEntry, Meter, Promise, Unit};
use crate::learn::Done;

use super::MODEL_VERSION;
use super::forecast::Expectation;
use super::planner::Planner;

impl Expectation {
    /// What is promised with it: of so much that goes in, and so much that was advised, in the product's unit or in litres.
    pub fn promise(&self, amount: f64, advised: Option<f64>) -> Promise {
        Promise {
            amount,
            advised,
            ph_range: (self.ph.0, self.ph.2),
            ec_range_ms_cm: (self.ec_ms_cm.0, self.ec_ms_cm.2),
            model_version: MODEL_VERSION.to_owned(),
        }
    }
}

/// The promise that the latest reading answers: of the last change of the water before it.
pub(crate) fn told(unit: &Unit) -> Option<Promise> {
    let mut entries: Vec<&LogEntry> = unit.log.iter().collect();
    entries.sort_by_key(|entry| entry.at_s());
    // By place, not by time: what was poured in the same second came after the reading.
    let read = entries.iter().rposition(|entry| matches!(entry, LogEntry::Reading(_)))?;
    entries.get(..read)?.iter().rfind(|entry| entry.changes_water())?.promise().cloned()
}

impl Planner {
    /// What is to be told of things done to the tank as it is now, in order, and before anything else: the ranges that the
    /// next reading should show. `advised` is the amount that the plan said of the last of them.
    ///
    /// `None` when nothing is done, or when one of the products is not what this planner works with: of that it can tell
    /// nothing. The ranges of a plan's own step are those of [`super::Plan::promise`].
    pub fn told_of(&self, done: &[Done], advised: Option<f64>) -> Option<Promise> {
        let amount = match done.last()? {
            Done::Pour { amount, .. } | Done::TopUp(amount) | Done::Drain(amount) => *amount,
        };
        let known = |done: &Done| match done {
            Done::Pour { id, .. } => self.part(id).is_some(),
            Done::TopUp(_) | Done::Drain(_) => true,
        };
        if !done.iter().all(known) {
            return None;
        }
        let forecast = self.done(self.after_unread_pours(), done);
        let showing = &self.knowledge.showing;
        let sds = self.reading_noise(forecast.ec(showing, 0.5));
        let hours = f64::from(self.kind.mixing_wait_min()) / 60.0;
        Some(forecast.expect(showing, hours, &self.noise, sds).promise(amount, advised))
    }
}

/// Something in the log of which is still to be told.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Untold {
    /// Its place in the log.
    pub index: usize,
    /// Amount that the plan advised of it.
    pub advised: Option<f64>,
}

/// What is to be told of entries of the log by what was known before each, and by nothing that came after: no hindsight. In the
/// order asked for; `None` where nothing can be told.
pub fn told_then(unit: &Unit, catalog: &Catalog, untold: &[Untold], seed: u64) -> Vec<Option<Promise>> {
    let mut known: Option<(usize, Planner)> = None;
    let tell = |untold: &Untold| {
        let at_s = unit.log.get(untold.index)?.at_s();
        // What was believed before the first of several things done in a row serves for all of them.
        let serves = |(start, _): &(usize, Planner)| {
            let between = unit.log.get(*start..=untold.index).unwrap_or_default();
            !between.is_empty() && between.iter().all(|entry| done_of(entry).is_some())
        };
        if !known.as_ref().is_some_and(serves) {
            let mut then = unit.clone();
            then.level_l = unit.level_before_l(untold.index).unwrap_or(unit.level_l);
            then.log.truncate(untold.index);
            known = Some((untold.index, Planner::new(&then, catalog, at_s, seed).ok()?));
        }
        let (start, planner) = known.as_ref()?;
        let done: Option<Vec<Done>> = unit.log.get(*start..=untold.index)?.iter().map(done_of).collect();
        planner.told_of(&done?, untold.advised)
    };
    untold.iter().map(tell).collect()
}

fn done_of(entry: &LogEntry) -> Option<Done> {
    match entry {
        LogEntry::Pour(pour) => Some(Done::Pour { id: pour.product_id.clone(), amount: pour.amount }),
        LogEntry::TopUp { water_l, .. } => Some(Done::TopUp(*water_l)),
        LogEntry::Drain { solution_l, .. } => Some(Done::Drain(*solution_l)),
        LogEntry::Reading(_) | LogEntry::Refill { .. } | LogEntry::JarTest(_) | LogEntry::Note { .. } => None,
    }
}

/// Where a reading lies by what was told before it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// Inside the range, or nearer to it than the meter can show.
    AsTold,
    /// Above it.
    Above,
    /// Below it.
    Below,
}

/// One quantity as told and as read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Versus {
    /// The range told, 5 and 95 in 100.
    pub told: (f64, f64),
    /// What the meter showed.
    pub read: f64,
    /// How they lie to each other.
    pub way: Way,
}

impl Versus {
    /// A reading beside a range; `step` is the least that the meter can show.
    fn of(told: (f64, f64), read: f64, step: f64) -> Self {
        // A figure rounded to the meter's step is of anything half a step to either side.
        let slack = 0.5 * step.max(0.0) + 1e-9;
        let way = if read > told.1 + slack {
            Way::Above
        } else if read < told.0 - slack {
            Way::Below
        } else {
            Way::AsTold
        };
        Self { told, read, way }
    }
}

/// A reading beside what was told before it.
#[derive(Clone, Debug, PartialEq)]
pub struct Compared {
    /// pH, where it was read.
    pub ph: Option<Versus>,
    /// EC, mS/cm, where it was read.
    pub ec_ms_cm: Option<Versus>,
    /// Hours between the change that was told of and the reading.
    pub after_h: f64,
    /// Place in the log of the entry with the promise.
    pub of: usize,
}

/// What was told before the reading at a place in the log, beside what it shows.
///
/// A promise is answered once, by the first look after it: readings of the same quarter of an hour are one look. `None` when the
/// entry is no reading, when nothing was told of the last change before it, or when an earlier look answered it.
pub fn compared(log: &[LogEntry], index: usize, meter: &Meter) -> Option<Compared> {
    /// Readings this close together are one look, s. Ours.
    const ONE_LOOK_S: i64 = 900;
    let LogEntry::Reading(reading) = log.get(index)? else { return None };
    let before = log.get(..index)?;
    let of = before.iter().rposition(LogEntry::changes_water)?;
    let changed = before.get(of)?;
    let promise = changed.promise()?;
    let answered = before
        .get(of..)?
        .iter()
        .any(|entry| matches!(entry, LogEntry::Reading(_)) && reading.at_s.saturating_sub(entry.at_s()) > ONE_LOOK_S);
    if answered {
        return None;
    }
    let compared = Compared {
        ph: reading.ph.map(|ph| Versus::of(promise.ph_range, ph, meter.ph_step)),
        ec_ms_cm: reading.ec_ms_cm.map(|ec| Versus::of(promise.ec_range_ms_cm, ec, meter.ec_step_ms_cm)),
        after_h: reading.at_s.saturating_sub(changed.at_s()).max(0) as f64 / 3600.0,
        of,
    };
    (compared.ph.is_some() || compared.ec_ms_cm.is_some()).then_some(compared)
}
