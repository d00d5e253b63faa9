//! How we know a value: its source in words and the kind of evidence behind it.

use serde::{Deserialize, Serialize};

/// Kind of evidence, strongest first. The order is the rank used when sources disagree.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Serialize, Deserialize)]
pub enum Evidence {
    /// The person's own word on a crop of their own: on their water it leads.
    Yours,
    /// Extension bulletin or guide of a public institution.
    Bulletin,
    /// Peer-reviewed paper (often only its abstract was read; the note says so).
    Paper,
    /// Handbook or textbook.
    Handbook,
    /// Trade magazine, seed house: weaker.
    Trade,
    /// Common practice of the trade, no source.
    Practice,
    /// Recalled, not read: does not count as a source.
    Memory,
    /// Our own choice or estimate.
    Ours,
}

impl Evidence {
    /// All kinds, strongest first.
    pub const ALL: [Self; 8] = [
        Self::Yours,
        Self::Bulletin,
        Self::Paper,
        Self::Handbook,
        Self::Trade,
        Self::Practice,
        Self::Memory,
        Self::Ours,
    ];

    /// A few words a beginner understands.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Yours => "set by you",
            Self::Bulletin => "extension bulletin",
            Self::Paper => "research paper",
            Self::Handbook => "handbook",
            Self::Trade => "trade press",
            Self::Practice => "common practice, no source",
            Self::Memory => "from memory",
            Self::Ours => "our own choice",
        }
    }

    /// Whether somebody else can look it up.
    pub const fn is_published(self) -> bool {
        matches!(self, Self::Bulletin | Self::Paper | Self::Handbook | Self::Trade)
    }
}

/// A source in words and its kind.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sourced {
    /// Institution, title, number and year; or the reasoning when the value is ours. Never empty in shipped data.
    pub source: String,
    /// Kind of evidence.
    pub evidence: Evidence,
}

impl Sourced {
    /// The source's first words, up to a comma or bracket: the institution or the author.
    pub fn short(&self) -> &str {
        self.source.split([',', '(']).next().unwrap_or(&self.source).trim_end()
    }
}

/// A value beside its source.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Cited<T> {
    /// The value; its unit is in the name of the field that holds it.
    pub value: T,
    /// Source in words, see [`Sourced::source`].
    pub source: String,
    /// Kind of evidence.
    pub evidence: Evidence,
}

impl<T> Cited<T> {
    /// The source without the value.
    pub fn sourced(&self) -> Sourced {
        Sourced { source: self.source.clone(), evidence: self.evidence }
    }
}

/// Log-normal belief about a positive quantity.
#[derive(Clone, Copy, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LnPrior {
    /// Median, in the unit of the field that holds it; above zero.
    pub median: f64,
    /// Standard deviation of the natural logarithm; above zero.
    pub ln_sd: f64,
}

impl LnPrior {
    /// The belief about a sum of independent quantities, each times its weight (0 or more): the log-normal of the same mean and
    /// variance.
    ///
    /// **Source:** Fenton 1960, "The sum of log-normal probability distributions in scatter transmission systems", IRE Trans.
    /// Commun. Syst. 8, 57; from memory. Good where the upper tail matters, as it does with alkalinity.
    pub fn sum<const N: usize>(parts: [(f64, Self); N]) -> Self {
        let mean_of = |(weight, part): &(f64, Self)| weight * part.median * (part.ln_sd.powi(2) / 2.0).exp();
        let mean: f64 = parts.iter().map(mean_of).sum();
        let variance: f64 = parts.iter().map(|part| mean_of(part).powi(2) * (part.1.ln_sd.powi(2)).exp_m1()).sum();
        let ln_variance = (variance / mean.powi(2)).ln_1p();
        Self { median: mean * (-ln_variance / 2.0).exp(), ln_sd: ln_variance.sqrt() }
    }

    /// The value `z` standard deviations from the median (on the log scale).
    pub fn at(self, z: f64) -> f64 {
        self.median * (self.ln_sd * z).exp()
    }
}

/// Normal belief about a quantity.
#[derive(Clone, Copy, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NormalPrior {
    /// Mean, in the unit of the field that holds it.
    pub mean: f64,
    /// Standard deviation; above zero.
    pub sd: f64,
}

impl NormalPrior {
    /// The value `z` standard deviations from the mean.
    pub fn at(self, z: f64) -> f64 {
        self.mean + self.sd * z
    }
}
