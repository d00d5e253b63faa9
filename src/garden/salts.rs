//! Salts by formula: molar mass and what they dissolve into.
//!
//! Source of atomic weights: IUPAC Commission on Isotopic Abundances and Atomic Weights, "Standard atomic weights of the
//! elements 2021", Pure Appl. Chem. 94, 573 (2022), abridged values (from memory; the tests recompute each molar mass).

use serde::{Deserialize, Serialize};

/// Abridged standard atomic weights, g/mol.
pub mod weight {
    /// Hydrogen.
    pub const H: f64 = 1.0080;
    /// Boron.
    pub const B: f64 = 10.81;
    /// Carbon.
    pub const C: f64 = 12.011;
    /// Nitrogen.
    pub const N: f64 = 14.007;
    /// Oxygen.
    pub const O: f64 = 15.999;
    /// Sodium.
    pub const NA: f64 = 22.990;
    /// Magnesium.
    pub const MG: f64 = 24.305;
    /// Silicon.
    pub const SI: f64 = 28.085;
    /// Phosphorus.
    pub const P: f64 = 30.974;
    /// Sulfur.
    pub const S: f64 = 32.06;
    /// Chlorine.
    pub const CL: f64 = 35.45;
    /// Potassium.
    pub const K: f64 = 39.098;
    /// Calcium.
    pub const CA: f64 = 40.078;
    /// Water.
    pub const WATER: f64 = 2.0 * H + O;
}

/// A salt, acid or base by its formula, hydrate included.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Serialize, Deserialize)]
pub enum Salt {
    /// Ca(NO3)2, anhydrous.
    CalciumNitrate,
    /// Ca(NO3)2·4H2O.
    CalciumNitrateTetrahydrate,
    /// 5Ca(NO3)2·NH4NO3·10H2O, the fertiliser grade (15.5 % N, 18.5 % Ca).
    CalciumAmmoniumNitrate,
    /// CaCl2·2H2O.
    CalciumChlorideDihydrate,
    /// CaCl2, anhydrous.
    CalciumChloride,
    /// CaSO4·2H2O, gypsum.
    CalciumSulfateDihydrate,
    /// MgSO4·7H2O, Epsom salt.
    MagnesiumSulfateHeptahydrate,
    /// MgSO4, anhydrous.
    MagnesiumSulfate,
    /// Mg(NO3)2·6H2O.
    MagnesiumNitrateHexahydrate,
    /// MgCl2·6H2O.
    MagnesiumChlorideHexahydrate,
    /// KNO3.
    PotassiumNitrate,
    /// K2SO4.
    PotassiumSulfate,
    /// KCl.
    PotassiumChloride,
    /// KH2PO4.
    MonopotassiumPhosphate,
    /// K2HPO4.
    DipotassiumPhosphate,
    /// NH4NO3.
    AmmoniumNitrate,
    /// (NH4)2SO4.
    AmmoniumSulfate,
    /// NH4Cl.
    AmmoniumChloride,
    /// NH4H2PO4.
    MonoammoniumPhosphate,
    /// (NH4)2HPO4.
    DiammoniumPhosphate,
    /// NaCl.
    SodiumChloride,
    /// NaNO3.
    SodiumNitrate,
    /// NaHCO3.
    SodiumBicarbonate,
    /// NaOH.
    SodiumHydroxide,
    /// KOH.
    PotassiumHydroxide,
    /// K2CO3.
    PotassiumCarbonate,
    /// KHCO3.
    PotassiumBicarbonate,
    /// K2SiO3.
    PotassiumSilicate,
    /// H3PO4.
    PhosphoricAcid,
    /// C6H8O7, citric acid.
    CitricAcid,
    /// C6H8O7·H2O, citric acid monohydrate.
    CitricAcidMonohydrate,
    /// HNO3.
    NitricAcid,
    /// H2SO4.
    SulfuricAcid,
    /// HCl.
    HydrochloricAcid,
    /// H3BO3.
    BoricAcid,
    /// CO(NH2)2, urea: neutral, no ion.
    Urea,
}
