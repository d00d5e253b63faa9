//! Version 1 of a unit file, kept for ever: one crop on a unit.

use serde::Deserialize;

use super::unit_v2::{LogEntry2, ShelfItem2, Unit2};
use super::water_v3::SourceWater3;
use crate::garden::{LevelKnown, Meter, OwnBand, UnitKind};

/// A unit as it stood in version 1. Its fields never change; what is new has its place in the step to the next version.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Unit1 {
    name: String,
    kind: UnitKind,
    tank_l: f64,
    level_l: f64,
    #[serde(default)]
    level_known: LevelKnown,
    source_water: SourceWater3,
    crop_id: String,
    stage_id: String,
    #[serde(default)]
    own_band: Option<OwnBand>,
    plants_in: bool,
    #[serde(default)]
    shelf: Vec<ShelfItem2>,
    #[serde(default)]
    meter: Meter,
    #[serde(default)]
    log: Vec<LogEntry2>,
}

impl From<Unit1> for Unit2 {
    /// The step to version 2: nothing else grows yet.
    fn from(unit: Unit1) -> Self {
        Self {
            name: unit.name,
            kind: unit.kind,
            tank_l: unit.tank_l,
            level_l: unit.level_l,
            level_known: unit.level_known,
            source_water: unit.source_water,
            crop_id: unit.crop_id,
            stage_id: unit.stage_id,
            also_growing: Vec::new(),
            own_band: unit.own_band,
            plants_in: unit.plants_in,
            shelf: unit.shelf,
            meter: unit.meter,
            log: unit.log,
        }
    }
}
