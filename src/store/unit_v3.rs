//! Version 3 of a unit file, kept for ever: what came later is no part of it.
//!
//! Versions 1 and 2 knew the same products and waters, and share these types.

use serde::Deserialize;

use super::product_v3::Product3;
use super::water_v3::SourceWater3;
use crate::garden::{Growing, LevelKnown, LogEntry, Meter, OwnBand, ProductRef, ShelfItem, Tool, Unit, UnitKind};

/// A unit as it stood in version 3. Its fields never change; what is new has its place in the step to the next version.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Unit3 {
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
    also_growing: Vec<Growing>,
    #[serde(default)]
    own_band: Option<OwnBand>,
    plants_in: bool,
    #[serde(default)]
    shelf: Vec<ShelfItem3>,
    #[serde(default)]
    meter: Meter,
    #[serde(default)]
    log: Vec<LogEntry>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ShelfItem3 {
    product: ProductRef3,
    tool: Tool,
    #[serde(default)]
    also: Vec<Tool>,
}

#[derive(Deserialize)]
pub(super) enum ProductRef3 {
    Shipped(String),
    Own(Box<Product3>),
}

impl From<Unit3> for Unit {
    /// The step to version 4: no crop of the person's own.
    fn from(unit: Unit3) -> Self {
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
            log: unit.log,
        }
    }
}

impl From<ShelfItem3> for ShelfItem {
    fn from(item: ShelfItem3) -> Self {
        Self { also: item.also, ..Self::new(item.product.into(), item.tool) }
    }
}

impl From<ProductRef3> for ProductRef {
    fn from(product: ProductRef3) -> Self {
        match product {
            ProductRef3::Shipped(id) => Self::Shipped(id),
            ProductRef3::Own(product) => Self::Own(Box::new((*product).into())),
        }
    }
}
