//! Bands that a person sets for a crop of their own, stage by stage: beside what sources say, and leading on their water.
//!
//! The limits are ours: wider than any source on crops in water, so that only slips of a finger are refused.

use super::check::FieldProblem;
use super::common::{NARROW_EC_MS_CM, NARROW_PH};
use super::crop::{Band, BandClaim, Crop, CropGroup, EcCounts, Stage};
use super::evidence::Evidence;
use super::own_crops::MOST_OWN_CROPS;
use super::unit::Unit;
use super::zone::{LEAST_EC_WIDTH_MS_CM, Quantity};

/// Least and greatest pH that a band can be set to.
pub const SET_PH: (f64, f64) = (3.0, 10.0);
/// Least and greatest EC that a band can be set to, mS/cm.
pub const SET_EC_MS_CM: (f64, f64) = (0.0, 5.0);
/// Most stages of a crop of one's own. Ours: more is no plan of growth.
pub const MOST_STAGES: usize = 6;
/// What stands for the source where the person gives none.
pub const SET_BY_YOU: &str = "ours: set by you";

/// What a person sets for a stage. A quantity without a band follows the sources.
#[derive(Clone, PartialEq, Debug)]
pub struct SetBand {
    /// The stage.
    pub stage: Stage,
    /// pH, low and high.
    pub ph: Option<(f64, f64)>,
    /// EC, mS/cm at 25 °C, low and high.
    pub ec_ms_cm: Option<(f64, f64)>,
    /// Whether that counts the source water.
    pub ec_counts: EcCounts,
}

/// What is wrong with a band as it was set, or worth a second look: narrower than a meter can tell.
///
/// `scale` turns mS/cm into what the person reads, and `unit` names that.
pub fn check_set_band(
    quantity: Quantity,
    (low, high): (f64, f64),
    (scale, unit): (&dyn Fn(f64) -> String, &str),
) -> Option<FieldProblem> {
    let (field, what, limits, narrow) = match quantity {
        Quantity::Ph => ("ph", "pH", SET_PH, NARROW_PH),
        Quantity::Ec => ("ec_ms_cm", "EC", SET_EC_MS_CM, NARROW_EC_MS_CM),
    };
    let words = |value: f64| scale(value);
    let given = format!("{} to {}", words(low), words(high));
    let unit = if unit.is_empty() { String::new() } else { format!(" {unit}") };
    for end in [low, high] {
        if !(limits.0..=limits.1).contains(&end) {
            let limit = format!("{} to {}{unit}", words(limits.0), words(limits.1));
            let message = format!("{what} {}{unit} is outside {limit}", words(end));
            return Some(FieldProblem::refused(field, words(end), limit, message));
        }
    }
    if low >= high {
        let message = format!("{what} {given}{unit} is upside down: the first is the lower end");
        return Some(FieldProblem::refused(field, given, "the lower end first", message));
    }
    (high - low < narrow - 1e-9).then(|| {
        let limit = format!("at least {}{unit} wide", words(narrow));
        let message =
            format!("{what} {given}{unit} is narrower than a meter can tell; {} wide is used then", words(narrow));
        FieldProblem::refused(field, given, limit, message).as_caution()
    })
}

impl Crop {
    /// A crop of the person's own, of which nothing is known yet.
    pub fn of_person(group: CropGroup) -> Self {
        Self {
            id: String::new(),
            name: String::new(),
            botanical: String::new(),
            also: Vec::new(),
            group,
            stages: Vec::new(),
            claims: Vec::new(),
            salt_tolerance: None,
            note: None,
        }
    }

    /// The crop with these stages and bands. What sources say of the stages that stay is kept beside them.
    #[must_use]
    pub fn with_bands(mut self, bands: &[SetBand], source: &str) -> Self {
        let source = if source.trim().is_empty() { SET_BY_YOU } else { source.trim() };
        self.stages = bands.iter().map(|band| band.stage.clone()).collect();
        let set = bands.iter().filter(|band| band.ph.is_some() || band.ec_ms_cm.is_some());
        let set = set.map(|band| BandClaim {
            stage: band.stage.id.clone(),
            ph: band.ph.map(|(low, high)| Band::Span(low, high)),
            ec_ms_cm: band.ec_ms_cm.map(|(low, high)| Band::Span(low, high)),
            ec_counts: band.ec_counts,
            no_difference_ms_cm: None,
            source: source.to_owned(),
            evidence: Evidence::Yours,
            note: None,
            shown_only: false,
        });
        let stages = &self.stages;
        let stays = |claim: &BandClaim| {
            claim.evidence != Evidence::Yours
                && (claim.stage == super::crop::ALL_STAGES || stages.iter().any(|stage| stage.id == claim.stage))
        };
        self.claims = set.chain(self.claims.iter().filter(|claim| stays(claim)).cloned()).collect();
        self
    }

    /// What the person set for each stage; nothing where they set nothing.
    pub fn set_bands(&self) -> Vec<SetBand> {
        let set = |stage: &Stage| {
            let claim = self.claims.iter().find(|claim| claim.evidence == Evidence::Yours && claim.stage == stage.id);
            let ends = |band: Band| (band.low().unwrap_or(band.high() - LEAST_EC_WIDTH_MS_CM), band.high());
            SetBand {
                stage: stage.clone(),
                ph: claim.and_then(|claim| claim.ph).map(ends),
                ec_ms_cm: claim.and_then(|claim| claim.ec_ms_cm).map(ends),
                ec_counts: claim.map(|claim| claim.ec_counts).unwrap_or_default(),
            }
        };
        self.stages.iter().map(set).collect()
    }

    /// The working zone of each stage, as a start for bands of one's own.
    pub fn working_bands(&self) -> Vec<SetBand> {
        let worked = |stage: &Stage| {
            let zone = self.zone(&stage.id);
            SetBand {
                stage: stage.clone(),
                ph: Some(zone.ph),
                ec_ms_cm: Some(zone.ec_ms_cm),
                ec_counts: zone.ec_counts,
            }
        };
        self.stages.iter().map(worked).collect()
    }

    /// The source that the person gave for what they set.
    pub fn set_source(&self) -> Option<&str> {
        self.claims.iter().find(|claim| claim.evidence == Evidence::Yours).map(|claim| claim.source.as_str())
    }
}

/// Why a crop of one's own cannot be kept or removed.
#[derive(Clone, PartialEq, Eq, Debug, thiserror::Error)]
#[non_exhaustive]
pub enum OwnCropError {
    /// It is on the water.
    #[error("{name} grows here: choose another crop first, then remove it")]
    Grows {
        /// Its name.
        name: String,
    },
    /// A stage that it grows at would be gone.
    #[error("{name} grows here at the stage “{stage}”: choose another stage first")]
    GrowsAt {
        /// Its name.
        name: String,
        /// The stage's name.
        stage: String,
    },
    /// There is no room.
    #[error("this unit has {MOST_OWN_CROPS} crops of your own, the most it can hold: remove one first")]
    NoRoom,
    /// It is none of the unit's.
    #[error("this crop is none of your own in this unit")]
    NotThere,
}

impl Unit {
    /// Whether a crop is on the water.
    pub fn grows(&self, crop_id: &str) -> bool {
        self.growing().iter().any(|grown| grown.crop_id == crop_id)
    }

    /// Keeps a crop of the person's own, in the place of the one with its id.
    ///
    /// # Errors
    /// [`OwnCropError::GrowsAt`] and [`OwnCropError::NoRoom`]; nothing is changed then.
    pub fn keep_own_crop(&mut self, crop: Crop) -> Result<(), OwnCropError> {
        let growing = self.growing();
        let lost = growing.iter().find(|grown| grown.crop_id == crop.id && crop.stage(&grown.stage_id).is_none());
        let place = self.own_crops.iter().position(|old| old.id == crop.id);
        if let Some(lost) = lost {
            let old = place.and_then(|place| self.own_crops.get(place));
            let stage = old.and_then(|old| old.stage(&lost.stage_id));
            let stage = stage.map_or_else(|| lost.stage_id.clone(), |stage| stage.name.clone());
            return Err(OwnCropError::GrowsAt { name: crop.name, stage });
        }
        let count = self.own_crops.len();
        match place.and_then(|place| self.own_crops.get_mut(place)) {
            Some(old) => *old = crop,
            None if count >= MOST_OWN_CROPS => return Err(OwnCropError::NoRoom),
            None => self.own_crops.push(crop),
        }
        Ok(())
    }

    /// Removes a crop of the person's own that is not on the water.
    ///
    /// # Errors
    /// [`OwnCropError::Grows`] and [`OwnCropError::NotThere`].
    pub fn remove_own_crop(&mut self, crop_id: &str) -> Result<Crop, OwnCropError> {
        let place = self.own_crops.iter().position(|crop| crop.id == crop_id).ok_or(OwnCropError::NotThere)?;
        if self.grows(crop_id) {
            let name = self.own_crops.get(place).map_or_else(String::new, |crop| crop.name.clone());
            return Err(OwnCropError::Grows { name });
        }
        Ok(self.own_crops.remove(place))
    }
}
