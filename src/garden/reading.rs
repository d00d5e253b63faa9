//! Readings, pours and the log: the memory of a unit.

use serde::{Deserialize, Serialize};

/// One look at the tank. Everything but the time is optional.
#[derive(Clone, Copy, PartialEq, Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Reading {
    /// When, Unix seconds.
    pub at_s: i64,
    /// pH as shown (0 to 14).
    #[serde(default)]
    pub ph: Option<f64>,
    /// EC as shown, turned into mS/cm (0 to 15).
    #[serde(default)]
    pub ec_ms_cm: Option<f64>,
    /// Water temperature, °C (0 to 40).
    #[serde(default)]
    pub temperature_c: Option<f64>,
    /// Water in the tank, L.
    #[serde(default)]
    pub level_l: Option<f64>,
}

/// What was told at the time, so that predicted can stand beside measured for ever.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Promise {
    /// Amount that the ranges are of, mL or g; L of source water.
    pub amount: f64,
    /// Amount advised; none when the plan advised nothing of the kind.
    #[serde(default)]
    pub advised: Option<f64>,
    /// pH expected at the next reading, low and high (5 and 95 in 100).
    pub ph_range: (f64, f64),
    /// EC expected, mS/cm, likewise.
    pub ec_range_ms_cm: (f64, f64),
    /// Version of the dose model that said so.
    pub model_version: String,
}

/// One addition that was made.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PourRecord {
    /// When, Unix seconds.
    pub at_s: i64,
    /// Product id on the shelf.
    pub product_id: String,
    /// Amount, mL or g.
    pub amount: f64,
    /// What was told of it: by the plan, or of what went in instead.
    #[serde(default)]
    pub promise: Option<Promise>,
}

/// A little of the product in a jar of the tank's own water, read as it went: the surest way to learn what a bottle does in
/// this water.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct JarTest {
    /// When the last of it was read, Unix seconds.
    pub at_s: i64,
    /// Product id on the shelf.
    pub product_id: String,
    /// Tank water in the jar, L (0.1 to 5).
    pub water_l: f64,
    /// What the meter showed, in order of the amounts.
    pub points: Vec<JarPoint>,
}

/// One reading in a jar test.
#[derive(Clone, Copy, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct JarPoint {
    /// Product in the jar so far, mL or g (0 before the first drop).
    pub amount: f64,
    /// pH as shown (0 to 14).
    pub ph: f64,
}

/// One line of the log.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum LogEntry {
    /// A reading.
    Reading(Reading),
    /// A pour.
    Pour(PourRecord),
    /// Source water added.
    TopUp {
        /// When, Unix seconds.
        at_s: i64,
        /// Water added, L.
        water_l: f64,
        /// What was told of it.
        #[serde(default)]
        promise: Option<Promise>,
    },
    /// Solution taken out (sampling, partial change, leak).
    Drain {
        /// When, Unix seconds.
        at_s: i64,
        /// Solution taken out, L.
        solution_l: f64,
    },
    /// Drained, rinsed and filled afresh with source water.
    Refill {
        /// When, Unix seconds.
        at_s: i64,
        /// Water in the tank afterwards, L.
        water_l: f64,
    },
    /// A jar test; the water in the jar is not poured back.
    JarTest(JarTest),
    /// Words.
    Note {
        /// When, Unix seconds.
        at_s: i64,
        /// What the person wrote.
        text: String,
    },
}

impl LogEntry {
    /// Source water added, as nothing was told of it.
    pub const fn top_up(at_s: i64, water_l: f64) -> Self {
        Self::TopUp { at_s, water_l, promise: None }
    }

    /// What was told of it.
    pub const fn promise(&self) -> Option<&Promise> {
        match self {
            Self::Pour(PourRecord { promise, .. }) | Self::TopUp { promise, .. } => promise.as_ref(),
            Self::Reading(_) | Self::Drain { .. } | Self::Refill { .. } | Self::JarTest(_) | Self::Note { .. } => None,
        }
    }

    /// Puts what was told beside it, or takes it away; nothing is told of what moves neither pH nor EC.
    pub fn set_promise(&mut self, told: Option<Promise>) {
        if let Self::Pour(PourRecord { promise, .. }) | Self::TopUp { promise, .. } = self {
            *promise = told;
        }
    }

    /// Whether it changes what a meter shows. Solution taken out leaves the rest as it is.
    pub const fn changes_water(&self) -> bool {
        matches!(self, Self::Pour(_) | Self::TopUp { .. } | Self::Refill { .. })
    }

    /// The same entry at another time, Unix seconds.
    #[must_use]
    pub fn at(mut self, at_s: i64) -> Self {
        let by_s = at_s.saturating_sub(self.at_s());
        self.shift(by_s);
        self
    }

    /// Moves the entry in time, by seconds.
    pub(super) fn shift(&mut self, by_s: i64) {
        match self {
            Self::Reading(reading) => reading.at_s = reading.at_s.saturating_add(by_s),
            Self::Pour(pour) => pour.at_s = pour.at_s.saturating_add(by_s),
            Self::JarTest(test) => test.at_s = test.at_s.saturating_add(by_s),
            Self::TopUp { at_s, .. }
            | Self::Drain { at_s, .. }
            | Self::Refill { at_s, .. }
            | Self::Note { at_s, .. } => *at_s = at_s.saturating_add(by_s),
        }
    }

    /// When it happened, Unix seconds.
    pub const fn at_s(&self) -> i64 {
        match self {
            Self::Reading(reading) => reading.at_s,
            Self::Pour(pour) => pour.at_s,
            Self::JarTest(test) => test.at_s,
            Self::TopUp { at_s, .. }
            | Self::Drain { at_s, .. }
            | Self::Refill { at_s, .. }
            | Self::Note { at_s, .. } => *at_s,
        }
    }
}
