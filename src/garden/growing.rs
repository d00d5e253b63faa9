//! What grows on a unit: the crop it is named for, and others that share its water.

use serde::{Deserialize, Serialize};

use super::catalog::Catalog;
use super::check::FieldProblem;
use super::crop::Crop;
use super::unit::Unit;

/// Most crops on one unit, each at its stage. Ours: more bands than that share nothing, and fit on no map.
pub const MOST_CROPS: usize = 6;

/// A crop at a growth stage.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Growing {
    /// Crop id.
    pub crop_id: String,
    /// Stage id.
    pub stage_id: String,
}

/// Places in the list of what grows count from 0, the crop that the unit is named for.
impl Unit {
    /// What grows, the crop that the unit is named for first.
    pub fn growing(&self) -> Vec<Growing> {
        let first = Growing { crop_id: self.crop_id.clone(), stage_id: self.stage_id.clone() };
        std::iter::once(first).chain(self.also_growing.iter().cloned()).collect()
    }

    /// The stage that a crop can have at a place of the list, `wanted` if it can be: one that the crop has, and that it
    /// has not got at another place. Otherwise the latest one left; `None` when every stage stands in the list.
    pub fn stage_for(&self, crop: &Crop, wanted: &str, place: usize) -> Option<String> {
        let is_free = |stage_id: &str| crop.stage(stage_id).is_some() && !self.is_taken(&crop.id, stage_id, place);
        if is_free(wanted) {
            return Some(wanted.to_owned());
        }
        crop.stages.iter().rev().map(|stage| &stage.id).find(|id| is_free(id)).cloned()
    }

    /// Whether a crop stands in the list at this stage, at another place than `place`.
    pub fn is_taken(&self, crop_id: &str, stage_id: &str, place: usize) -> bool {
        let mut others = self.growing().into_iter().enumerate().filter(|(other, _)| *other != place);
        others.any(|(_, grown)| grown.crop_id == crop_id && grown.stage_id == stage_id)
    }

    /// Puts another crop at a place of the list, at the same stage where that can be. Returns whether it stands there.
    pub fn set_crop(&mut self, place: usize, crop: &Crop) -> bool {
        let Some(stage_id) = self.growing().get(place).map(|grown| grown.stage_id.clone()) else { return false };
        let Some(stage_id) = self.stage_for(crop, &stage_id, place) else { return false };
        self.put(place, Growing { crop_id: crop.id.clone(), stage_id })
    }

    /// Gives the crop at a place of the list another stage. Returns whether it has it: not when it stands in the list so.
    pub fn set_stage(&mut self, place: usize, stage_id: &str) -> bool {
        let Some(grown) = self.growing().get(place).cloned() else { return false };
        if self.is_taken(&grown.crop_id, stage_id, place) {
            return false;
        }
        self.put(place, Growing { stage_id: stage_id.to_owned(), ..grown })
    }

    /// Adds a crop behind the others, at the stage of the first where that can be. Returns whether there was room for it.
    pub fn add_crop(&mut self, crop: &Crop) -> bool {
        let place = 1 + self.also_growing.len();
        if place >= MOST_CROPS {
            return false;
        }
        let Some(stage_id) = self.stage_for(crop, &self.stage_id, place) else { return false };
        self.also_growing.push(Growing { crop_id: crop.id.clone(), stage_id });
        true
    }

    /// Takes a crop off the list. The one that the unit is named for stays. Returns whether one went.
    pub fn remove_crop(&mut self, place: usize) -> bool {
        let Some(index) = place.checked_sub(1).filter(|index| *index < self.also_growing.len()) else { return false };
        self.also_growing.remove(index);
        true
    }

    fn put(&mut self, place: usize, grown: Growing) -> bool {
        match place.checked_sub(1) {
            None => (self.crop_id, self.stage_id) = (grown.crop_id, grown.stage_id),
            Some(index) => match self.also_growing.get_mut(index) {
                Some(old) => *old = grown,
                None => return false,
            },
        }
        true
    }

    /// Problems with what grows, in the order of the list.
    pub(super) fn check_crops(&self, catalog: &Catalog, problems: &mut Vec<FieldProblem>) {
        self.check_one(catalog, "", &self.crop_id, &self.stage_id, problems);
        let count = 1 + self.also_growing.len();
        if count > MOST_CROPS {
            // Each of them named would be a list without an end.
            problems.push(FieldProblem::refused(
                "also_growing",
                count.to_string(),
                format!("at most {MOST_CROPS} crops on one unit"),
                format!("{count} crops grow on this unit; it must be at most {MOST_CROPS}"),
            ));
            return;
        }
        for (index, grown) in self.also_growing.iter().enumerate() {
            let place = format!("also_growing.{index}.");
            self.check_one(catalog, &place, &grown.crop_id, &grown.stage_id, problems);
            let is_first = grown.crop_id == self.crop_id && grown.stage_id == self.stage_id;
            if is_first || self.also_growing.iter().take(index).any(|before| before == grown) {
                let crop = catalog.crop_of(self, &grown.crop_id);
                let name = crop.map_or(grown.crop_id.as_str(), |crop| crop.name.as_str());
                let stage = crop.and_then(|crop| crop.stage(&grown.stage_id));
                let stage = stage.map_or(grown.stage_id.as_str(), |stage| stage.name.as_str());
                problems.push(FieldProblem::refused(
                    &format!("also_growing.{index}"),
                    format!("{}, {}", grown.crop_id, grown.stage_id),
                    "each crop once at each stage",
                    format!("{name} ({stage}) stands twice in the list of what grows"),
                ));
            }
        }
    }

    fn check_one(
        &self,
        catalog: &Catalog,
        place: &str,
        crop_id: &str,
        stage_id: &str,
        problems: &mut Vec<FieldProblem>,
    ) {
        match catalog.crop_of(self, crop_id) {
            None => problems.push(FieldProblem::refused(
                &format!("{place}crop_id"),
                told(crop_id),
                "a crop of the catalog",
                format!("the crop `{}` is not in the catalog", told(crop_id)),
            )),
            Some(crop) if crop.stage(stage_id).is_none() => {
                let stages: Vec<&str> = crop.stages.iter().map(|stage| stage.id.as_str()).collect();
                problems.push(FieldProblem::refused(
                    &format!("{place}stage_id"),
                    told(stage_id),
                    stages.join(", "),
                    format!("{} has no stage `{}`: it has {}", crop.name, told(stage_id), stages.join(", ")),
                ));
            }
            Some(_) => {}
        }
    }
}

/// An id as it is told: a file can hold a word of any length.
pub(super) fn told(id: &str) -> String {
    const MOST: usize = 40;
    let mut shown: String = id.chars().take(MOST).map(|c| if c.is_control() { '\u{fffd}' } else { c }).collect();
    if id.chars().nth(MOST).is_some() {
        shown.push('…');
    }
    shown
}
