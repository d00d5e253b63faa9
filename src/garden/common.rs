//! What several crops on one water have in common: the zone that the plan aims at.
//!
//! The rule, ours (no source was found that gives one):
//!
//! 1. Each crop keeps its own [working zone](super::zone). Its EC is taken as a meter shows it in this tank.
//! 2. pH and EC are looked at one by one, the crops in their order, the one that the unit is named for first: the zone is
//!    what all of them share. Where all share something, their order is of no account.
//! 3. A crop that shares nothing with those before it is left out on that axis, and it is said: water has one pH and one
//!    EC. So of two crops that share nothing the first one leads. Bands that only touch share nothing, as nobody can hit
//!    a point.
//! 4. What is shared may be narrower than a meter can tell. It is used, and it is said.
//! 5. A band of the person's own takes the place of all that.
//! 6. If any of the crops is a seedling, pours are as careful as with seedlings.

use super::catalog::Catalog;
use super::crop::{Crop, EcCounts};
use super::told_band::Told;
use super::unit::{OwnBand, Unit};
use super::zone::{Quantity, Zone, is_seedling};
use crate::units::EcScale;

/// Bands of pH that share less than this only touch: it is the last figure of a fine pen. Ours.
pub const LEAST_SHARED_PH: f64 = 0.01;
/// Bands of EC that share less than this only touch, mS/cm: likewise.
pub const LEAST_SHARED_EC_MS_CM: f64 = 0.01;
/// A shared pH narrower than this is narrower than a pen can tell: two standard deviations of a good pen. Ours.
pub const NARROW_PH: f64 = 0.2;
/// A shared EC narrower than this is narrower than a pen can tell, mS/cm. Ours.
pub const NARROW_EC_MS_CM: f64 = 0.1;
/// Widths are compared to within this: the dust of binary fractions, far below any meter.
const DUST: f64 = 1e-9;

/// A crop of a unit and its own zone.
#[derive(Clone, PartialEq, Debug)]
pub struct CropZone {
    /// The crop in a word, such as "lettuce".
    pub crop: String,
    /// Its stage in words, such as "growing".
    pub stage: String,
    /// Its zone by what is published.
    pub zone: Zone,
    /// EC as a meter shows it in this tank, mS/cm at 25 °C, low and high.
    pub ec_in_tank_ms_cm: (f64, f64),
}

impl CropZone {
    /// Crop and stage, such as "lettuce, growing".
    pub fn name(&self) -> String {
        if self.stage.is_empty() { self.crop.clone() } else { format!("{}, {}", self.crop, self.stage) }
    }
}

/// Something to tell about what crops share.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Remark {
    /// Whether about pH or about EC.
    pub quantity: Quantity,
    /// In words for a beginner, without a full stop.
    pub words: String,
}

/// The zones of all that grows on a unit, and what they come to.
#[derive(Clone, PartialEq, Debug)]
pub struct CommonZone {
    /// Each crop's own zone, the one that the unit is named for first. Never empty.
    pub crops: Vec<CropZone>,
    /// The working zone: what they have in common by the rule of this module, or the one crop's own.
    pub zone: Zone,
    /// Its EC as a meter shows it in this tank, mS/cm at 25 °C, low and high.
    pub ec_in_tank_ms_cm: (f64, f64),
    /// Whether every crop has a share in it, in pH and in EC.
    pub is_shared: bool,
    /// Whether a band of the person's own has a part in it.
    pub is_own: bool,
    /// What to tell of crops that share nothing, or next to nothing.
    pub remarks: Vec<Remark>,
    /// Whether any of the crops is a seedling.
    pub is_seedling: bool,
}

/// A crop that the catalog does not have.
#[derive(Clone, PartialEq, Eq, Debug, thiserror::Error)]
#[error("the crop \"{crop_id}\" is not in the catalog")]
pub struct UnknownCrop {
    /// Its id.
    pub crop_id: String,
}

impl Unit {
    /// The zones of what grows here, with source water of `source_ec_ms_cm` (mS/cm at 25 °C, 0 or more).
    ///
    /// # Errors
    /// [`UnknownCrop`]. An unknown stage gets what holds for all stages.
    pub fn common_zone(&self, catalog: &Catalog, source_ec_ms_cm: f64) -> Result<CommonZone, UnknownCrop> {
        let mut crops = Vec::new();
        for grown in self.growing() {
            let crop = catalog.crop_of(self, &grown.crop_id).ok_or(UnknownCrop { crop_id: grown.crop_id })?;
            let zone = crop.zone_told(&grown.stage_id, self.meter.ec_scale);
            let stage = crop.stage(&grown.stage_id).map_or_else(String::new, |stage| stage.name.clone());
            let ec_in_tank_ms_cm = zone.ec_in_tank_ms_cm(source_ec_ms_cm);
            crops.push(CropZone { crop: crop.word(), stage, zone, ec_in_tank_ms_cm });
        }
        let mut common = common_zone_told(crops, self.meter.ec_scale);
        common.is_seedling = self.growing().iter().any(|grown| is_seedling(&grown.stage_id));
        if let Some(own) = self.own_band {
            common.take_own(own, source_ec_ms_cm);
        }
        Ok(common)
    }
}

impl Crop {
    /// The crop in a word or two, for use in a sentence: "Pepper, sweet or hot" is "pepper".
    pub fn word(&self) -> String {
        let end = self.name.find([',', '(']).unwrap_or(self.name.len());
        self.name.get(..end).unwrap_or(&self.name).trim().to_lowercase()
    }
}

impl CommonZone {
    fn take_own(&mut self, OwnBand { ph, ec_ms_cm }: OwnBand, source_ec_ms_cm: f64) {
        self.zone.ph = ph.unwrap_or(self.zone.ph);
        if let Some(ec_ms_cm) = ec_ms_cm {
            // A band of the person's own counts all that the meter shows.
            (self.zone.ec_ms_cm, self.zone.ec_counts) = (ec_ms_cm, EcCounts::WithSourceWater);
        }
        self.ec_in_tank_ms_cm = self.zone.ec_in_tank_ms_cm(source_ec_ms_cm);
        self.zone.why.push("The band you set yourself is used".to_owned());
        self.is_own = true;
        // Where the person has set the band, it does not follow any crop.
        self.remarks.retain(|remark| match remark.quantity {
            Quantity::Ph => ph.is_none(),
            Quantity::Ec => ec_ms_cm.is_none(),
        });
    }
}

/// What the crops of one water have in common, without a band of the person's own; see the module for the rule.
///
/// The zones are taken as they are; `crops` in the order of the unit. No crop at all gives an empty zone of nought: a
/// unit always has one.
pub fn common_zone(crops: Vec<CropZone>) -> CommonZone {
    common_zone_told(crops, EcScale::MilliSiemens)
}

/// The same with EC put into words on the scale that a person reads; the crops' own zones are taken as they are told.
fn common_zone_told(crops: Vec<CropZone>, scale: EcScale) -> CommonZone {
    let named = Names::of(&crops);
    let of_ec = Told::ec(scale);
    let ph = share(Told::of(Quantity::Ph, scale), &crops, &named);
    let ec = share(of_ec, &crops, &named);
    let mut remarks = ph.remarks;
    remarks.extend(ec.remarks);
    let mut zone = Zone {
        ph: ph.band,
        ec_ms_cm: ec.band,
        ec_counts: EcCounts::WithSourceWater,
        why: Vec::new(),
        conflicts: Vec::new(),
        sources: Vec::new(),
    };
    if let [only] = crops.as_slice() {
        zone = only.zone.clone();
    } else {
        let rule = if ph.by_all && ec.by_all {
            "so the zone is what they have in common"
        } else {
            "and not all of them can have their way: the first lead, and the others narrow the zone where they can"
        };
        zone.why.push(format!(
            "{} share one water, {rule}: pH {}, EC {}{} (our rule).",
            capital(&listed(&named.0)),
            Told::of(Quantity::Ph, scale).span(ph.band, " to "),
            of_ec.span(ec.band, " to "),
            of_ec.unit()
        ));
        for (crop, name) in crops.iter().zip(&named.0) {
            let name = capital(name);
            zone.why.extend(crop.zone.why.iter().map(|why| format!("{name}: {why}")));
            for conflict in &crop.zone.conflicts {
                let mut conflict = conflict.clone();
                conflict.words = format!("{name}: {}", conflict.words);
                zone.conflicts.push(conflict);
            }
            for source in &crop.zone.sources {
                if !zone.sources.contains(source) {
                    zone.sources.push(source.clone());
                }
            }
        }
    }
    CommonZone {
        zone,
        ec_in_tank_ms_cm: ec.band,
        is_shared: ph.by_all && ec.by_all,
        is_own: false,
        remarks,
        is_seedling: false,
        crops,
    }
}

/// What the crops are called in a sentence: a crop that grows at two stages is called by both.
struct Names(Vec<String>);

impl Names {
    fn of(crops: &[CropZone]) -> Self {
        let name = |crop: &CropZone| {
            let same = crops.iter().filter(|other| other.crop == crop.crop).count();
            if same > 1 && !crop.stage.is_empty() {
                format!("{} ({})", crop.crop, crop.stage)
            } else {
                crop.crop.clone()
            }
        };
        Self(crops.iter().map(name).collect())
    }
}

/// What is shared on one axis.
struct Share {
    band: (f64, f64),
    by_all: bool,
    remarks: Vec<Remark>,
}

impl Quantity {
    fn band(self, crop: &CropZone) -> (f64, f64) {
        match self {
            Self::Ph => crop.zone.ph,
            Self::Ec => crop.ec_in_tank_ms_cm,
        }
    }

    const fn least(self) -> f64 {
        match self {
            Self::Ph => LEAST_SHARED_PH,
            Self::Ec => LEAST_SHARED_EC_MS_CM,
        }
    }

    const fn narrow(self) -> f64 {
        match self {
            Self::Ph => NARROW_PH,
            Self::Ec => NARROW_EC_MS_CM,
        }
    }
}

/// What crops share of one quantity.
fn share(told: Told, crops: &[CropZone], named: &Names) -> Share {
    let quantity = told.quantity();
    let mut band = crops.first().map_or((0.0, 0.0), |crop| quantity.band(crop));
    let (mut kept, mut left_out) = (Vec::new(), Vec::new());
    for (crop, name) in crops.iter().zip(&named.0) {
        let own = quantity.band(crop);
        let both = (band.0.max(own.0), band.1.min(own.1));
        if kept.is_empty() || both.1 - both.0 >= quantity.least() - DUST {
            band = both;
            kept.push(name.clone());
        } else {
            left_out.push((name, own));
        }
    }
    let remark = |words: String| Remark { quantity, words };
    let mut remarks: Vec<Remark> =
        left_out.iter().map(|(name, own)| remark(left_out_words(told, name, (*own, band), &kept))).collect();
    if kept.len() > 1 && band.1 - band.0 < quantity.narrow() - DUST {
        remarks.push(remark(format!(
                "The {} that {} have in common, {}{}, is narrower than a meter can tell: expect to be outside it now and then",
                told.name(),
                listed(&kept),
                told.span(band, "–"),
                told.unit_but_ms_cm()
            )));
    }
    Share { band, by_all: left_out.is_empty(), remarks }
}

fn left_out_words(told: Told, name: &str, (own, band): ((f64, f64), (f64, f64)), kept: &[String]) -> String {
    let (what, unit) = (told.name(), told.unit_but_ms_cm());
    let meet = (band.0.max(own.0), band.1.min(own.1));
    let point = if meet.1 - meet.0 >= -DUST { format!(" but {}{unit}", told.short(meet.0)) } else { String::new() };
    let (followed, ours, theirs) = (listed(kept), told.span(band, "–"), told.span(own, "–"));
    if kept.len() == 1 {
        let both = capital(&format!("{followed} and {name}"));
        format!("{both} have no {what} in common{point} ({ours} against {theirs}{unit}): the plan follows {followed}")
    } else {
        let name = capital(name);
        format!(
            "{name} shares no {what}{point} with {followed} ({theirs} against {ours}{unit}): the plan follows {followed}"
        )
    }
}

/// "lettuce", "lettuce and basil", "lettuce, basil and mint".
fn listed(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [before @ .., last] => format!("{} and {last}", before.join(", ")),
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
