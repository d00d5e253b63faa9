//! Crops and what is published about the pH and EC they like. The zone derived from it stands in [`super::zone`].

use serde::{Deserialize, Serialize};

use super::evidence::{Cited, Evidence, Sourced};
use super::search::Names;

/// Group of crops that feed alike.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Serialize, Deserialize)]
pub enum CropGroup {
    /// Leafy greens.
    Leafy,
    /// Herbs.
    Herb,
    /// Fruiting crops.
    Fruiting,
    /// Cabbages that are grown for heads, buds or flowers; kale and other leaves stand with the leafy greens.
    Brassica,
    /// Roots and bulbs.
    Root,
    /// Flowers and house plants.
    Flower,
}

impl CropGroup {
    /// Name for people.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Leafy => "leafy greens",
            Self::Herb => "herbs",
            Self::Fruiting => "fruiting crops",
            Self::Brassica => "cabbages and broccoli",
            Self::Root => "roots and bulbs",
            Self::Flower => "flowers and house plants",
        }
    }
}

/// A growth stage.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stage {
    /// Key: `seedling`, `growing`, `vegetative`, `fruiting`.
    pub id: String,
    /// Name for people.
    pub name: String,
}

/// A published band: a point, a span, or only an upper limit.
#[derive(Clone, Copy, PartialEq, Debug, Serialize, Deserialize)]
pub enum Band {
    /// One value.
    Point(f64),
    /// From low to high.
    Span(f64, f64),
    /// Up to a value.
    AtMost(f64),
}

impl Band {
    /// Lower end, if the source gives one.
    pub const fn low(self) -> Option<f64> {
        match self {
            Self::Point(v) | Self::Span(v, _) => Some(v),
            Self::AtMost(_) => None,
        }
    }

    /// Upper end.
    pub const fn high(self) -> f64 {
        match self {
            Self::Point(v) | Self::Span(_, v) | Self::AtMost(v) => v,
        }
    }

    /// As words, for example `5.5 to 6.0` or `at most 1.0`.
    pub fn words(self) -> String {
        match self {
            Self::Point(v) => format!("{v:.1}"),
            Self::Span(low, high) => format!("{} to {}", short(low), short(high)),
            Self::AtMost(high) => format!("at most {}", short(high)),
        }
    }
}

/// A value with two decimals, or one where the second is nought.
pub(super) fn short(value: f64) -> String {
    let two = format!("{value:.2}");
    if two.ends_with('0') { format!("{value:.1}") } else { two }
}

/// Whether an EC band counts the salts of the source water.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default, Serialize, Deserialize)]
pub enum EcCounts {
    /// The EC a meter shows in the tank, source water included. Ours, when the source does not say.
    #[default]
    WithSourceWater,
    /// The feed's share only: the source water's EC comes on top.
    AboveSourceWater,
}

/// What one source says about one crop (at one stage).
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BandClaim {
    /// Stage id, or `all` (every stage but the seedling).
    pub stage: String,
    /// pH.
    #[serde(default)]
    pub ph: Option<Band>,
    /// EC, mS/cm at 25 °C.
    #[serde(default)]
    pub ec_ms_cm: Option<Band>,
    /// Whether the EC counts the source water.
    #[serde(default)]
    pub ec_counts: EcCounts,
    /// A trial found growth no different anywhere in this span of EC, mS/cm: no band to aim at, but a word on all others.
    #[serde(default)]
    pub no_difference_ms_cm: Option<(f64, f64)>,
    /// Institution, title, number, year.
    pub source: String,
    /// Kind of evidence.
    pub evidence: Evidence,
    /// What else to know: how it was read, what it applies to.
    #[serde(default)]
    pub note: Option<String>,
    /// Shown, but not used for the zone: another context (aquaponics, an expert's stress technique).
    #[serde(default)]
    pub shown_only: bool,
}

impl BandClaim {
    /// The source without the bands.
    pub fn sourced(&self) -> Sourced {
        Sourced { source: self.source.clone(), evidence: self.evidence }
    }
}

/// How much salt a crop bears in soil: yield is whole up to the threshold and falls in a straight line above it.
///
/// The EC is that of water drawn from saturated soil. It ranks crops and marks the upper side; it is no aim for a nutrient
/// solution.
#[derive(Clone, Copy, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SaltTolerance {
    /// EC of the soil's water at which yield begins to fall, mS/cm (0 to 20).
    pub threshold_ms_cm: f64,
    /// Yield lost for each mS/cm above it, % (0 to 100).
    pub loss_percent_per_ms_cm: f64,
}

impl SaltTolerance {
    /// Yield that is lost at an EC, % (0 to 100): b (EC − a) above the threshold a, at the slope b.
    ///
    /// **Source** Maas & Hoffman's response, as in FAO Irrigation and Drainage Paper 61, annex 1.
    pub fn loss_percent(self, ec_ms_cm: f64) -> f64 {
        (self.loss_percent_per_ms_cm * (ec_ms_cm - self.threshold_ms_cm)).clamp(0.0, 100.0)
    }
}

/// A crop.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Crop {
    /// Key, lower case with hyphens.
    pub id: String,
    /// Name for people.
    pub name: String,
    /// Botanical name.
    pub botanical: String,
    /// Other names, those of kinds of it among them; they are searched, never shown as its name.
    #[serde(default)]
    pub also: Vec<String>,
    /// Group.
    pub group: CropGroup,
    /// Stages, in order of growth.
    pub stages: Vec<Stage>,
    /// What is published, the one we lean on first among equals.
    pub claims: Vec<BandClaim>,
    /// How much salt it bears.
    #[serde(default)]
    pub salt_tolerance: Option<Cited<SaltTolerance>>,
    /// Anything else.
    #[serde(default)]
    pub note: Option<String>,
}

/// Stage id of seedlings and cuttings.
pub const SEEDLING: &str = "seedling";
/// What a claim's stage says when it holds for all stages but the seedling's.
pub const ALL_STAGES: &str = "all";

impl Crop {
    /// What it is looked for by.
    pub fn names(&self) -> Names<'_> {
        Names { name: &self.name, also: &self.also, formal: &self.botanical, group: self.group.words() }
    }

    /// Looks up a stage.
    pub fn stage(&self, stage_id: &str) -> Option<&Stage> {
        self.stages.iter().find(|stage| stage.id == stage_id)
    }

    /// The claims that hold for a stage; those that name it first.
    pub fn claims_for(&self, stage_id: &str) -> Vec<&BandClaim> {
        let named = self.claims.iter().filter(|claim| claim.stage == stage_id);
        let general = self.claims.iter().filter(|claim| claim.stage == ALL_STAGES && stage_id != SEEDLING);
        named.chain(general).collect()
    }
}
