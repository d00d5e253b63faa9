//! Crops of the person's own: a unit's file brings them along, and every look for a crop of a unit finds them.

use super::catalog::Catalog;
use super::check::{FieldProblem, MOST_EC_MS_CM};
use super::crop::{ALL_STAGES, Band, Crop, SaltTolerance};
use super::growing::told;
use super::unit::Unit;

/// Most crops of a person's own in one unit. Ours: far more than grow on one water, and a file that holds more is no unit.
pub const MOST_OWN_CROPS: usize = 60;

impl Catalog {
    /// A crop of a unit: the person's own first, so that what was written down for it holds even where a shipped crop has the
    /// same id.
    pub fn crop_of<'a>(&'a self, unit: &'a Unit, id: &str) -> Option<&'a Crop> {
        unit.own_crops.iter().find(|crop| crop.id == id).or_else(|| self.crop(id))
    }

    /// Every crop that can grow on a unit: the shipped ones in their order, then the person's own. One of the person's own
    /// with the id of a shipped one takes its place.
    pub fn crops_of<'a>(&'a self, unit: &'a Unit) -> Vec<&'a Crop> {
        let own = |id: &str| unit.own_crops.iter().find(|crop| crop.id == id);
        let shipped = self.crops.iter().map(|crop| own(&crop.id).unwrap_or(crop));
        shipped.chain(unit.own_crops.iter().filter(|crop| self.crop(&crop.id).is_none())).collect()
    }

    /// Those, and behind them the crops of the person's library that the unit has not taken in.
    pub fn crops_at_hand<'a>(&'a self, unit: &'a Unit) -> Vec<&'a Crop> {
        let library = self.own.crops.iter().filter(|crop| self.crop_of(unit, &crop.id).is_none());
        self.crops_of(unit).into_iter().chain(library).collect()
    }

    /// A crop of those by its id.
    pub fn crop_at_hand<'a>(&'a self, unit: &'a Unit, id: &str) -> Option<&'a Crop> {
        self.crop_of(unit, id).or_else(|| self.own.crops.iter().find(|crop| crop.id == id))
    }
}

impl Crop {
    /// Problems with a crop as somebody wrote it down; fields by the names they have here.
    ///
    /// Bands lie within 0 to 14 (pH) and 0 to 15 mS/cm (EC), low not above high.
    pub fn check(&self) -> Vec<FieldProblem> {
        let mut problems = Vec::new();
        for (field, text, what) in [("id", &self.id, "key"), ("name", &self.name, "name")] {
            if text.trim().is_empty() {
                problems.push(FieldProblem::refused(field, "empty", "some text", format!("give the crop a {what}")));
            }
        }
        if self.stages.is_empty() {
            let message = format!("{} has no stage; it needs one at least", told(&self.name));
            problems.push(FieldProblem::refused("stages", "none", "at least one stage", message));
        }
        for (index, stage) in self.stages.iter().enumerate() {
            if self.stages.iter().take(index).any(|before| before.id == stage.id) || stage.id.trim().is_empty() {
                let id = told(&stage.id);
                let message = format!("the stage `{id}` of {} is empty or stands there twice", told(&self.name));
                problems.push(FieldProblem::refused(&format!("stages.{index}"), id, "each stage once", message));
            }
        }
        for (index, claim) in self.claims.iter().enumerate() {
            let place = format!("claims.{index}");
            if claim.stage != ALL_STAGES && self.stage(&claim.stage).is_none() {
                let stage = told(&claim.stage);
                let message =
                    format!("a band of {} is for the stage `{stage}`, which it has not got", told(&self.name));
                problems
                    .push(FieldProblem::refused("stage", stage, "`all` or a stage of the crop", message).under(&place));
            }
            let no_difference = claim.no_difference_ms_cm.map(|(low, high)| Band::Span(low, high));
            let bands = [
                ("ph", "pH", claim.ph, 14.0),
                ("ec_ms_cm", "EC", claim.ec_ms_cm, MOST_EC_MS_CM),
                ("no_difference_ms_cm", "EC", no_difference, MOST_EC_MS_CM),
            ];
            for (field, quantity, band, most) in bands {
                problems.extend(band.and_then(|band| check_band(field, quantity, band, most)).map(|p| p.under(&place)));
            }
        }
        if let Some(tolerance) = &self.salt_tolerance {
            let SaltTolerance { threshold_ms_cm, loss_percent_per_ms_cm } = tolerance.value;
            for (field, value, most) in [
                ("threshold_ms_cm", threshold_ms_cm, MOST_EC_MS_CM),
                ("loss_percent_per_ms_cm", loss_percent_per_ms_cm, 100.0),
            ] {
                if !(0.0..=most).contains(&value) {
                    let limit = format!("0 to {most}");
                    let message = format!("the salt tolerance of {} is {value}, but must be {limit}", told(&self.name));
                    problems
                        .push(FieldProblem::refused(field, value.to_string(), limit, message).under("salt_tolerance"));
                }
            }
        }
        problems
    }
}

fn check_band(field: &str, quantity: &str, band: Band, most: f64) -> Option<FieldProblem> {
    let fits = |value: f64| (0.0..=most).contains(&value);
    let (low, high) = (band.low().unwrap_or(0.0), band.high());
    (!(fits(low) && fits(high) && low <= high)).then(|| {
        let limit = format!("low not above high, 0 to {most}");
        FieldProblem::refused(
            field,
            band.words(),
            &limit,
            format!("a band of {quantity} {} cannot be used; it must be {limit}", band.words()),
        )
    })
}

impl Unit {
    /// Problems with the crops of the person's own.
    pub(super) fn check_own_crops(&self, problems: &mut Vec<FieldProblem>) {
        let count = self.own_crops.len();
        if count > MOST_OWN_CROPS {
            let (limit, message) = (
                format!("at most {MOST_OWN_CROPS}"),
                format!("the unit has {count} crops of its own; it must be at most {MOST_OWN_CROPS}"),
            );
            problems.push(FieldProblem::refused("own_crops", count.to_string(), limit, message));
            return;
        }
        for (index, crop) in self.own_crops.iter().enumerate() {
            let place = format!("own_crops.{index}");
            problems.extend(crop.check().into_iter().map(|problem| problem.under(&place)));
            if self.own_crops.iter().take(index).any(|before| before.id == crop.id) {
                let message = format!("two crops of your own have the key `{}`", told(&crop.id));
                problems.push(FieldProblem::refused("id", told(&crop.id), "each key once", message).under(&place));
            }
        }
    }
}
