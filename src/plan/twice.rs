//! Readings of the same water, minutes apart, that do not agree: the probe is doubted before anything is poured.

use crate::dose::NEARLY_PURE_MS_CM;
use crate::garden::{LogEntry, Meter, Reading};
use crate::units::EcScale;

/// Two readings this close together are of the same water, s: three minutes. Ours: neither plants nor air move it by more than
/// the meter's noise in that time.
const SAME_WATER_S: i64 = 180;
/// A third reading this long after counts as the answer, s: a quarter of an hour, for the probe is to be rinsed first. Ours.
const ANSWER_S: i64 = 900;
/// How many sds of their difference two readings may lie apart: by chance 1 pair in 16,000 does (two tails of a normal).
const DOUBT_SDS: f64 = 4.0;

/// Readings of the same water that do not agree.
#[derive(Clone, Debug, PartialEq)]
pub struct Twice {
    /// Places in the log of the two that differ, in order.
    pub pair: (usize, usize),
    /// Minutes between them.
    pub minutes: u32,
    /// By how much pH differs, where it does beyond the meter's noise.
    pub ph: Option<f64>,
    /// By how much EC differs, mS/cm, likewise.
    pub ec_ms_cm: Option<f64>,
    /// Place of the one that no other reading of the look bears out, once there is one that agrees with the other.
    pub odd: Option<usize>,
    /// Place of the latest reading.
    pub latest: usize,
    /// The scale that EC is told on.
    pub scale: EcScale,
}

impl Twice {
    /// Whether the latest reading agrees with one of the two, so that plans can rest on it.
    pub fn is_settled(&self) -> bool {
        self.odd.is_some_and(|odd| odd != self.latest)
    }

    /// What differs, such as "Two readings 1 min apart differ by 0.6 pH".
    pub fn difference(&self) -> String {
        let apart =
            if self.minutes == 0 { "within a minute".to_owned() } else { format!("{} min apart", self.minutes) };
        let parts =
            [self.ph.map(|ph| format!("{ph:.1} pH")), self.ec_ms_cm.map(|ec| format!("EC {}", self.scale.told(ec, 2)))];
        let by: Vec<String> = parts.into_iter().flatten().collect();
        format!("Two readings {apart} differ by {}", by.join(" and "))
    }

    /// The same with what to do.
    pub fn words(&self) -> String {
        let difference = self.difference();
        match self.odd {
            None => format!("{difference}: rinse the probe, read once more"),
            Some(_) if self.is_settled() => format!("{difference}, and a third agrees with one: set the odd one aside"),
            Some(_) => format!("{difference}, and the last is the odd one: read once more, or set it aside"),
        }
    }
}

/// Readings at the end of a log that are of the same water and do not agree.
///
/// Only the latest look counts: readings after the last change of the water, each within a quarter of an hour of the one before,
/// of which two that follow each other within three minutes differ by more than four sds of the meter's noise. What was read in
/// nearly pure water is no pH, and is left out.
///
/// **Source**: the noise is [`Meter::ph_noise`] and [`Meter::ec_noise`], times √2 for a difference.
pub fn twice(log: &[LogEntry], meter: &Meter) -> Option<Twice> {
    let look = latest_look(log);
    let (place, later) = look.iter().zip(look.iter().skip(1)).enumerate().rev().find_map(|(place, (a, b))| {
        let apart_s = b.1.at_s.saturating_sub(a.1.at_s);
        (apart_s <= SAME_WATER_S && differ(a.1, b.1, meter).is_some()).then_some((place, place + 1))
    })?;
    let (first, second) = (look.get(place)?, look.get(later)?);
    let (ph, ec_ms_cm) = differ(first.1, second.1, meter)?;
    let agrees = |with: &Reading, reading: &Reading| {
        // What has no quantity in common bears nothing out.
        let common = with.ph.is_some() && reading.ph.is_some() || with.ec_ms_cm.is_some() && reading.ec_ms_cm.is_some();
        common && differ(with, reading, meter).is_none()
    };
    let others = || look.iter().enumerate().filter(|(at, _)| *at != place && *at != later).map(|(_, other)| other.1);
    let odd = match (others().any(|other| agrees(first.1, other)), others().any(|other| agrees(second.1, other))) {
        (true, false) => Some(second.0),
        (false, true) => Some(first.0),
        _ => None,
    };
    let minutes = u32::try_from(second.1.at_s.saturating_sub(first.1.at_s) / 60).unwrap_or(0);
    let latest = look.last()?.0;
    Some(Twice { pair: (first.0, second.0), minutes, ph, ec_ms_cm, odd, latest, scale: meter.ec_scale })
}

/// The readings of the latest look, with their places in the log, oldest first.
fn latest_look(log: &[LogEntry]) -> Vec<(usize, &Reading)> {
    let mut look: Vec<(usize, &Reading)> = Vec::new();
    for (place, entry) in log.iter().enumerate().rev() {
        match entry {
            LogEntry::Reading(reading) => {
                let near = look.last().is_none_or(|(_, later)| later.at_s.saturating_sub(reading.at_s) <= ANSWER_S);
                if !near {
                    break;
                }
                look.push((place, reading));
            }
            LogEntry::Note { .. } | LogEntry::JarTest(_) => {}
            LogEntry::Pour(_) | LogEntry::TopUp { .. } | LogEntry::Drain { .. } | LogEntry::Refill { .. } => break,
        }
    }
    look.reverse();
    look
}

/// Whether two readings differ by more than the meter's noise, if both are of the same water.
pub fn disagree(a: &Reading, b: &Reading, meter: &Meter) -> bool {
    differ(a, b, meter).is_some()
}

/// By how much two readings differ in pH and EC beyond the meter's noise; `None` when they agree.
fn differ(a: &Reading, b: &Reading, meter: &Meter) -> Option<(Option<f64>, Option<f64>)> {
    let beyond = |a: f64, b: f64, noise: f64| {
        let difference = (a - b).abs();
        (difference > DOUBT_SDS * 2.0_f64.sqrt() * noise).then_some(difference)
    };
    let thin = |reading: &Reading| reading.ec_ms_cm.is_some_and(|ec| ec < NEARLY_PURE_MS_CM);
    let ph = a.ph.zip(b.ph).filter(|_| !thin(a) && !thin(b)).and_then(|(a, b)| beyond(a, b, meter.ph_noise()));
    let ec = a.ec_ms_cm.zip(b.ec_ms_cm).and_then(|(a, b)| beyond(a, b, meter.ec_noise(f64::midpoint(a, b))));
    (ph.is_some() || ec.is_some()).then_some((ph, ec))
}
