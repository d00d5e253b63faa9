//! The plan in words: one source for the window's answer, the terminal and the tub card.

mod say;
mod text;

use serde::Serialize;

use crate::garden::{Catalog, Growing, Unit};
use crate::plan::{Action, Plan, Step};

pub use say::{amount_words, edges, eyebrow, headline, how, likely_line, next_line};
pub use text::{json, text};

/// A step as it is told.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CardStep {
    /// What to do, in one sentence: the large line.
    pub headline: String,
    /// How to measure it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub how: Option<String>,
    /// Product id, for a pour.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub product_id: Option<String>,
    /// Amount of the product, for a pour.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub amount: Option<f64>,
    /// Its unit.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unit: Option<&'static str>,
    /// What it may need in all.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub likely_total: Option<(f64, f64)>,
    /// pH expected at the next reading, 5 to 95 in a hundred.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub expect_ph: Option<(f64, f64)>,
    /// EC expected, mS/cm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub expect_ec_ms_cm: Option<(f64, f64)>,
    /// pH once the room's air has had its way.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub settles_ph: Option<(f64, f64)>,
    /// Chance that the water just mixed crosses the far edge.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub risk: Option<f64>,
    /// Minutes to wait before reading.
    pub wait_min: u32,
    /// Whether a reading before it may change the amount.
    pub provisional: bool,
    /// Lines about range, reason and the next reading.
    pub lines: Vec<String>,
    /// Cautions beside the step.
    pub cautions: Vec<String>,
}

/// The plan on one page.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Card {
    /// The unit's name.
    pub unit: String,
    /// What is in it, in one line.
    pub facts: String,
    /// What grows, each crop with its stage, the one that the unit is named for first.
    pub crops: Vec<String>,
    /// The reading the plan rests on.
    pub reading: String,
    /// The zone.
    pub zone: String,
    /// The steps in order.
    pub steps: Vec<CardStep>,
    /// Warnings about water and plan.
    pub warnings: Vec<String>,
    /// Version of the dose model.
    pub model: &'static str,
}

impl Card {
    /// The card of a plan.
    pub fn of(unit: &Unit, catalog: &Catalog, plan: &Plan) -> Self {
        let crops: Vec<String> = unit.growing().iter().map(|grown| crop_words(grown, catalog)).collect();
        let water = catalog.water(unit.source_water.kind).map_or_else(String::new, |water| water.name.to_lowercase());
        Self {
            unit: unit.name.clone(),
            facts: format!(
                "{}, about {} of {} L, {water}, {}",
                unit.kind.words(),
                say::figure(unit.level_l),
                say::figure(unit.tank_l),
                crops.join(", "),
            ),
            crops,
            reading: say::reading_words(unit.last_reading(), &unit.meter),
            zone: format!("pH {}, EC {} mS/cm", edges(plan.zone.ph), edges(plan.zone_ec_ms_cm)),
            steps: plan.steps.iter().map(|step| CardStep::of(step, unit)).collect(),
            warnings: plan.warnings.iter().map(|warning| warning.words.clone()).collect(),
            model: crate::plan::MODEL_VERSION,
        }
    }
}

/// A crop and its stage, such as "Lettuce (growing)".
fn crop_words(grown: &Growing, catalog: &Catalog) -> String {
    let crop = catalog.crop(&grown.crop_id);
    let name = crop.map_or(grown.crop_id.as_str(), |crop| crop.name.as_str());
    let stage = crop.and_then(|crop| crop.stage(&grown.stage_id));
    format!("{name} ({})", stage.map_or(grown.stage_id.as_str(), |stage| stage.name.as_str()))
}

impl CardStep {
    /// One step in words.
    pub fn of(step: &Step, unit: &Unit) -> Self {
        let pour = match &step.action {
            Action::Pour(measured) => Some(measured),
            _ => None,
        };
        let mut lines = Vec::new();
        lines.extend(likely_line(step));
        lines.extend(step.why.iter().cloned());
        lines.extend(next_line(step, &unit.meter));
        Self {
            headline: headline(step),
            how: how(step),
            product_id: pour.map(|measured| measured.id.clone()),
            amount: pour.map(|measured| measured.amount),
            unit: pour.map(|measured| measured.unit),
            likely_total: step.likely_total,
            expect_ph: step.expect.map(|expect| (expect.ph.0, expect.ph.2)),
            expect_ec_ms_cm: step.expect.map(|expect| (expect.ec_ms_cm.0, expect.ec_ms_cm.2)),
            settles_ph: step.expect.map(|expect| (expect.settled_ph.0, expect.settled_ph.2)),
            risk: step.risk,
            wait_min: step.wait_min,
            provisional: step.provisional,
            lines,
            cautions: step.cautions.clone(),
        }
    }
}
