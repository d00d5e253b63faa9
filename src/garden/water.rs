//! Source water: what the person knows of it, and what is typical of its kind.

use serde::{Deserialize, Serialize};

use super::evidence::{Cited, LnPrior, NormalPrior};

/// Kind of source water, as a person would name it.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Serialize, Deserialize)]
pub enum WaterKind {
    /// Distilled, deionised or reverse osmosis.
    ReverseOsmosis,
    /// What a dehumidifier or an air conditioner collects.
    Condensate,
    /// Rain from a clean roof or barrel.
    Rain,
    /// Soft tap water.
    SoftTap,
    /// Tap water of middling hardness.
    MediumTap,
    /// Hard tap water.
    HardTap,
    /// Well or bore water, hard.
    HardWell,
    /// Hard water that went through a household softener: sodium instead of calcium, alkalinity kept.
    Softened,
    /// Well water near a coast or over old salt: much sodium chloride.
    SaltyWell,
    /// "I don't know".
    Unknown,
}

impl WaterKind {
    /// All kinds, purest first.
    pub const ALL: [Self; 10] = [
        Self::ReverseOsmosis,
        Self::Condensate,
        Self::Rain,
        Self::SoftTap,
        Self::MediumTap,
        Self::HardTap,
        Self::HardWell,
        Self::Softened,
        Self::SaltyWell,
        Self::Unknown,
    ];
}

/// Which ions a water of this kind carries, as shares. Only the pattern; the amounts come from alkalinity and EC.
#[derive(Clone, Copy, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct IonPattern {
    /// Chloride's share of the equivalents of the anions other than bicarbonate (0 to 1; the three shares make 1).
    pub cl_share: f64,
    /// Sulfate's share, likewise.
    pub so4_share: f64,
    /// Nitrate's share, likewise.
    pub no3_share: f64,
    /// Dissolved silica per equivalent of all anions, mol/eq. It carries no current.
    pub si_per_eq: f64,
    /// Calcium and magnesium's share of the equivalents of all cations (0 to 1) when no hardness is known.
    pub hardness_share: f64,
    /// Magnesium's share of the hardness, in equivalents (0 to 1).
    pub mg_of_hardness: f64,
    /// Potassium's share of the equivalents of all cations. Sodium closes the charge.
    pub k_share: f64,
}

/// What is typical of one kind of source water.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WaterProfile {
    /// Kind.
    pub kind: WaterKind,
    /// Name for people.
    pub name: String,
    /// How to recognise it.
    pub hint: String,
    /// Ion pattern.
    pub pattern: Cited<IonPattern>,
    /// Typical EC, mS/cm at 25 °C. What the medians below give; used when nobody measured.
    pub ec_ms_cm: Cited<f64>,
    /// Typical pH as read.
    pub ph: Cited<f64>,
    /// Alkalinity, meq/L.
    pub alkalinity_meq_l: Cited<LnPrior>,
    /// Anions other than bicarbonate (Cl, SO4, NO3), meq/L.
    pub other_anions_meq_l: Cited<LnPrior>,
    /// log10 of the carbon dioxide pressure (atm) the water is in balance with when it is drawn.
    pub log10_pco2_fresh: Cited<NormalPrior>,
    /// The same after standing overnight.
    pub log10_pco2_stood: Cited<NormalPrior>,
    /// Anything worth knowing of it.
    #[serde(default)]
    pub note: Option<String>,
    /// What every plan with this water warns of.
    #[serde(default)]
    pub warning: Option<String>,
}

/// A water report, mg/L. Leave out what the report leaves out.
#[derive(Clone, Copy, PartialEq, Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct WaterReport {
    /// Calcium, mg/L as Ca.
    pub ca_mg_l: Option<f64>,
    /// Magnesium, mg/L as Mg.
    pub mg_mg_l: Option<f64>,
    /// Sodium, mg/L as Na.
    pub na_mg_l: Option<f64>,
    /// Potassium, mg/L as K.
    pub k_mg_l: Option<f64>,
    /// Chloride, mg/L as Cl.
    pub cl_mg_l: Option<f64>,
    /// Sulfate, mg/L as SO4.
    pub so4_mg_l: Option<f64>,
    /// Nitrate, mg/L as NO3 (not as N).
    pub no3_mg_l: Option<f64>,
    /// Bicarbonate, mg/L as HCO3. Give this or the alkalinity, not both.
    pub hco3_mg_l: Option<f64>,
    /// Silica, mg/L as `SiO2`.
    pub sio2_mg_l: Option<f64>,
    /// Boron, mg/L as B.
    pub b_mg_l: Option<f64>,
}

/// Another water that is mixed into the source water before it goes into the tank. What is told of it is told of it alone.
///
/// It has no blend of its own: two waters are mixed, not more.
#[derive(Clone, Copy, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Blend {
    /// Its share of the mix by volume, 0 to 1.
    pub share: f64,
    /// As [`SourceWater::kind`].
    pub kind: WaterKind,
    /// As [`SourceWater::ec_ms_cm`].
    #[serde(default)]
    pub ec_ms_cm: Option<f64>,
    /// As [`SourceWater::ph`].
    #[serde(default)]
    pub ph: Option<f64>,
    /// As [`SourceWater::alkalinity_meq_l`].
    #[serde(default)]
    pub alkalinity_meq_l: Option<f64>,
    /// As [`SourceWater::hardness_mg_caco3_l`].
    #[serde(default)]
    pub hardness_mg_caco3_l: Option<f64>,
    /// As [`SourceWater::report`].
    #[serde(default)]
    pub report: Option<WaterReport>,
}

/// What a person knows of their source water. Only the kind is needed. With a [`Blend`] in it, all other fields tell of the
/// water without it.
#[derive(Clone, Copy, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SourceWater {
    /// Kind, or [`WaterKind::Unknown`].
    pub kind: WaterKind,
    /// EC read, mS/cm at 25 °C (0 to 5). 0.0 on a meter means "below 0.05".
    #[serde(default)]
    pub ec_ms_cm: Option<f64>,
    /// pH read (0 to 14). Nearly empty information below 0.1 mS/cm.
    #[serde(default)]
    pub ph: Option<f64>,
    /// Alkalinity, meq/L (0 to 20). 1 meq/L is 50.04 mg/L as CaCO3.
    #[serde(default)]
    pub alkalinity_meq_l: Option<f64>,
    /// Total hardness, mg/L as CaCO3 (0 to 2000).
    #[serde(default)]
    pub hardness_mg_caco3_l: Option<f64>,
    /// A report of the supplier or a laboratory.
    #[serde(default)]
    pub report: Option<WaterReport>,
    /// Another water mixed into it, such as rain into hard tap water.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub blend: Option<Blend>,
}

impl SourceWater {
    /// A water of which only the kind is known.
    pub const fn of_kind(kind: WaterKind) -> Self {
        Self {
            kind,
            ec_ms_cm: None,
            ph: None,
            alkalinity_meq_l: None,
            hardness_mg_caco3_l: None,
            report: None,
            blend: None,
        }
    }
}
