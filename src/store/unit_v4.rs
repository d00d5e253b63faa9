//! Version 4 of a unit file, kept for ever: what came later is no part of it.
//!
//! It knew the products, waters and crops that are known now.

use serde::Deserialize;

use crate::garden::{
    Crop, Growing, LevelKnown, LogEntry, Meter, OwnBand, ProductRef, ShelfItem, SourceWater, Tool, Unit, UnitKind,
};

/// A unit as it stood in version 4. Its fields never change; what is new has its place in the step to the next version.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Unit4 {
    name: String,
    kind: UnitKind,
    tank_l: f64,
    level_l: f64,
    #[serde(default)]
    level_known: LevelKnown,
    source_water: SourceWater,
    crop_id: String,
    stage_id: String,
    #[serde(default)]
    also_growing: Vec<Growing>,
    #[serde(default)]
    own_crops: Vec<Crop>,
    #[serde(default)]
    own_band: Option<OwnBand>,
    plants_in: bool,
    #[serde(default)]
    shelf: Vec<ShelfItem4>,
    #[serde(default)]
    meter: Meter,
    #[serde(default)]
    log: Vec<LogEntry>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ShelfItem4 {
    product: ProductRef,
    tool: Tool,
    #[serde(default)]
    also: Vec<Tool>,
}

impl From<Unit4> for Unit {
    /// The step to version 5: everything on the shelf is at hand.
    fn from(unit: Unit4) -> Self {
        Self {
            name: unit.name,
            kind: unit.kind,
            tank_l: unit.tank_l,
            level_l: unit.level_l,
            level_known: unit.level_known,
            source_water: unit.source_water,
            crop_id: unit.crop_id,
            stage_id: unit.stage_id,
            also_growing: unit.also_growing,
            own_crops: unit.own_crops,
            own_band: unit.own_band,
            plants_in: unit.plants_in,
            shelf: unit.shelf.into_iter().map(Into::into).collect(),
            meter: unit.meter,
            log: unit.log,
        }
    }
}

impl From<ShelfItem4> for ShelfItem {
    fn from(item: ShelfItem4) -> Self {
        Self { also: item.also, ..Self::new(item.product, item.tool) }
    }
}
