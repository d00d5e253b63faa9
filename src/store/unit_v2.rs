//! Versions 1 and 2 of a unit file, kept for ever: what came later is no part of them.

use serde::Deserialize;

use super::unit_v3::ProductRef3;
use super::water_v3::SourceWater3;
use crate::garden::{
    Growing, LevelKnown, LogEntry, Meter, OwnBand, PourRecord, Promise, Reading, ShelfItem, Tool, Unit, UnitKind,
};

/// A unit as it stood in version 2. Its fields never change; what is new has its place in the step to the next version.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Unit2 {
    pub(super) name: String,
    pub(super) kind: UnitKind,
    pub(super) tank_l: f64,
    pub(super) level_l: f64,
    #[serde(default)]
    pub(super) level_known: LevelKnown,
    pub(super) source_water: SourceWater3,
    pub(super) crop_id: String,
    pub(super) stage_id: String,
    #[serde(default)]
    pub(super) also_growing: Vec<Growing>,
    #[serde(default)]
    pub(super) own_band: Option<OwnBand>,
    pub(super) plants_in: bool,
    #[serde(default)]
    pub(super) shelf: Vec<ShelfItem2>,
    #[serde(default)]
    pub(super) meter: Meter,
    #[serde(default)]
    pub(super) log: Vec<LogEntry2>,
}

/// A product and its one tool.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ShelfItem2 {
    product: ProductRef3,
    tool: Tool2,
}

/// The tools there were.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
enum Tool2 {
    Syringe { capacity_ml: f64, mark_ml: f64 },
    Dropper { drops_per_ml: f64 },
    Scoop { grams: f64, scatter: f64 },
    Spoon { capacity_ml: f64, scatter: f64 },
    Scale { mark_g: f64 },
    Jug { capacity_ml: f64, mark_ml: f64 },
}

/// What the log could tell.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) enum LogEntry2 {
    Reading(Reading2),
    Pour(PourRecord2),
    TopUp { at_s: i64, water_l: f64 },
    Drain { at_s: i64, solution_l: f64 },
    Refill { at_s: i64, water_l: f64 },
    Note { at_s: i64, text: String },
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Reading2 {
    at_s: i64,
    #[serde(default)]
    ph: Option<f64>,
    #[serde(default)]
    ec_ms_cm: Option<f64>,
    #[serde(default)]
    temperature_c: Option<f64>,
    #[serde(default)]
    level_l: Option<f64>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PourRecord2 {
    at_s: i64,
    product_id: String,
    amount: f64,
    #[serde(default)]
    promise: Option<Promise2>,
}

/// A promise was always of the amount advised.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Promise2 {
    amount: f64,
    ph_range: (f64, f64),
    ec_range_ms_cm: (f64, f64),
    model_version: String,
}

impl From<Unit2> for Unit {
    fn from(unit: Unit2) -> Self {
        Self {
            name: unit.name,
            kind: unit.kind,
            tank_l: unit.tank_l,
            level_l: unit.level_l,
            level_known: unit.level_known,
            source_water: unit.source_water.into(),
            crop_id: unit.crop_id,
            stage_id: unit.stage_id,
            also_growing: unit.also_growing,
            own_crops: Vec::new(),
            own_band: unit.own_band,
            plants_in: unit.plants_in,
            shelf: unit.shelf.into_iter().map(Into::into).collect(),
            meter: unit.meter,
            log: unit.log.into_iter().map(Into::into).collect(),
        }
    }
}

impl From<ShelfItem2> for ShelfItem {
    fn from(item: ShelfItem2) -> Self {
        let tool = match item.tool {
            Tool2::Syringe { capacity_ml, mark_ml } => Tool::Syringe { capacity_ml, mark_ml },
            Tool2::Dropper { drops_per_ml } => Tool::Dropper { drops_per_ml, counted: false },
            Tool2::Scoop { grams, scatter } => Tool::Scoop { grams, scatter },
            Tool2::Spoon { capacity_ml, scatter } => Tool::Spoon { capacity_ml, scatter },
            Tool2::Scale { mark_g } => Tool::Scale { mark_g },
            Tool2::Jug { capacity_ml, mark_ml } => Tool::Jug { capacity_ml, mark_ml },
        };
        Self::new(item.product.into(), tool)
    }
}

impl From<LogEntry2> for LogEntry {
    fn from(entry: LogEntry2) -> Self {
        match entry {
            LogEntry2::Reading(Reading2 { at_s, ph, ec_ms_cm, temperature_c, level_l }) => {
                Self::Reading(Reading { at_s, ph, ec_ms_cm, temperature_c, level_l })
            }
            LogEntry2::Pour(PourRecord2 { at_s, product_id, amount, promise }) => {
                Self::Pour(PourRecord { at_s, product_id, amount, promise: promise.map(Into::into) })
            }
            LogEntry2::TopUp { at_s, water_l } => Self::top_up(at_s, water_l),
            LogEntry2::Drain { at_s, solution_l } => Self::Drain { at_s, solution_l },
            LogEntry2::Refill { at_s, water_l } => Self::Refill { at_s, water_l },
            LogEntry2::Note { at_s, text } => Self::Note { at_s, text },
        }
    }
}

impl From<Promise2> for Promise {
    fn from(promise: Promise2) -> Self {
        let Promise2 { amount, ph_range, ec_range_ms_cm, model_version } = promise;
        Self { amount, advised: Some(amount), ph_range, ec_range_ms_cm, model_version }
    }
}
