//! Doubt the reading before the tank: stale, too early, impossible, or far from what was told.

use super::planner::Planner;
use super::step::{Action, Step};
use crate::learn::Done;

/// A reading older than this, hours, is asked for again before anything is poured; so is a fill that nobody has read. Ours.
const STALE_H: f64 = 48.0;
/// How many of the meter's sds below the source water's EC a tank may read before the meter is doubted first. Ours.
const THIN_SDS: f64 = 3.0;
/// Share of its EC that source water keeps at least when acid turns all its bicarbonate into carbon dioxide: bicarbonate
/// carries up to 45 in 100 of hard water's current, and the acid's anion takes over half of that or more (equivalent
/// conductivities of 44.5 for HCO3-, 36 for H2PO4-, CRC Handbook, from memory; less for citrate, which is not all charged).
const ACIDIFIED_EC: f64 = 0.75;

impl Planner {
    /// What to do about the reading before anything is poured, if it is in doubt.
    pub(crate) fn doubt(&self) -> Option<Step> {
        let k = &self.knowledge;
        let seen = k.seen;
        if k.only_source_water {
            let stood = k.filled_h.filter(|hours| *hours > STALE_H)?;
            return Some(
                Step::plain(Action::Read { in_min: 0 })
                    .because(format!("The tank was filled {:.0} days ago and nobody has read it since", stood / 24.0)),
            );
        }
        if let Some(twice) = &self.twice {
            return Some(Step::plain(Action::Read { in_min: 0 }).because(twice.words()));
        }
        if seen.ec_ms_cm.is_none() {
            return Some(
                Step::plain(Action::Ask { question: "What does the EC meter show in the tank?".to_owned() })
                    .because("Without an EC nobody can say how much feed is in the water already"),
            );
        }
        if let Some(hours) = self.hours_since_reading.filter(|hours| *hours > STALE_H) {
            return Some(Step::plain(Action::Read { in_min: 0 }).because(format!(
                "The last reading is {:.0} days old: plants and air have changed the water since",
                hours / 24.0
            )));
        }
        let wait = f64::from(self.kind.mixing_wait_min());
        if k.mixed_min.is_some_and(|mixed| mixed < 0.8 * wait) {
            return Some(Step::plain(Action::Read { in_min: self.wait_left_min() }).because(
                "The last reading was taken before the water had mixed, which is the commonest false alarm: read once more",
            ));
        }
        let ec = seen.ec_ms_cm?;
        if self.is_too_thin() {
            let scale = self.ec_scale();
            return Some(
                Step::plain(Action::Ask {
                    question: format!(
                        "Check the meter: EC {} is below your source water's {}{}",
                        scale.figure(ec, 2),
                        scale.figure(k.source_ec_ms_cm, 2),
                        scale.tail()
                    ),
                })
                .because("No feeding makes water thinner: rinse the probe, read again, or mend the source water's EC"),
            );
        }
        None
    }

    /// What to do when something is in the water since the reading that plans are not made with: of that they can tell nothing.
    pub(crate) fn unplanned_pour(&self) -> Option<Step> {
        let is_planned = |done: &Done| match done {
            Done::Pour { id, .. } => self.part(id).is_some(),
            Done::TopUp(_) | Done::Drain(_) => true,
        };
        let is_known = self.knowledge.since_reading.iter().all(is_planned);
        (!is_known).then(|| {
            Step::plain(Action::Read { in_min: self.wait_left_min() }).because(
                "Something was poured since the last reading that plans do not use, or that is used up by now: only a reading tells where the water is",
            )
        })
    }

    /// Whether the tank reads thinner than its source water, past what the meter and an acid explain.
    pub(crate) fn is_too_thin(&self) -> bool {
        let k = &self.knowledge;
        let floor = if k.is_acidified() { ACIDIFIED_EC * k.source_ec_ms_cm } else { k.source_ec_ms_cm };
        k.seen.ec_ms_cm.is_some_and(|ec| ec < floor - THIN_SDS * k.meter.ec_sd_ms_cm(k.source_ec_ms_cm))
    }

    /// Minutes left of the wait after the last change of the tank; 0 when it is over.
    pub(crate) fn wait_left_min(&self) -> u32 {
        let waited = self.minutes_since_change.unwrap_or(f64::INFINITY);
        let wait = self.kind.mixing_wait_min();
        (0..wait).find(|left| waited + f64::from(*left) >= f64::from(wait)).unwrap_or(wait)
    }

    /// Words for a reading that missed what was told; the pour after it is halved.
    pub(crate) fn surprise(&self) -> Option<String> {
        let told = self.told.as_ref()?;
        let ph = self.knowledge.seen.ph?;
        let (low, high) = told.ph_range;
        let slack = self.knowledge.meter.ph_sd();
        (ph < low - slack || ph > high + slack).then(|| {
            format!("You were told pH {low:.1}–{high:.1} and read {ph:.1}: something is other than thought, so this pour is halved")
        })
    }
}
