//! Source water as versions 1 to 3 of a unit file knew it.

use serde::Deserialize;

use super::frozen::frozen;
use crate::garden::{SourceWater, WaterKind, WaterReport};

frozen!(
    /// The kinds of water there were.
    WaterKind3 of WaterKind { ReverseOsmosis, Rain, SoftTap, MediumTap, HardTap, HardWell, Softened, Unknown }
);

/// One water, whole.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct SourceWater3 {
    kind: WaterKind3,
    #[serde(default)]
    ec_ms_cm: Option<f64>,
    #[serde(default)]
    ph: Option<f64>,
    #[serde(default)]
    alkalinity_meq_l: Option<f64>,
    #[serde(default)]
    hardness_mg_caco3_l: Option<f64>,
    #[serde(default)]
    report: Option<WaterReport>,
}

impl From<SourceWater3> for SourceWater {
    fn from(water: SourceWater3) -> Self {
        Self {
            ec_ms_cm: water.ec_ms_cm,
            ph: water.ph,
            alkalinity_meq_l: water.alkalinity_meq_l,
            hardness_mg_caco3_l: water.hardness_mg_caco3_l,
            report: water.report,
            ..Self::of_kind(water.kind.into())
        }
    }
}
