//! Salts by formula: molar mass and what they dissolve into.
//!
//! Source of atomic weights: IUPAC Commission on Isotopic Abundances and Atomic Weights, "Standard atomic weights of the
//! elements 2021", Pure Appl. Chem. 94, 573 (2022), abridged values (from memory; the tests recompute each molar mass).

use serde::{Deserialize, Serialize};

use crate::chem::{Component, Totals};

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
    /// Manganese.
    pub const MN: f64 = 54.938;
    /// Iron.
    pub const FE: f64 = 55.845;
    /// Copper.
    pub const CU: f64 = 63.546;
    /// Zinc.
    pub const ZN: f64 = 65.38;
    /// Water.
    pub const WATER: f64 = 2.0 * H + O;
}

/// A salt, acid or base by its formula, hydrate included.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Serialize, Deserialize)]
pub enum Salt {
    /// `Ca(NO3)2`, anhydrous.
    CalciumNitrate,
    /// `Ca(NO3)2·4H2O`.
    CalciumNitrateTetrahydrate,
    /// `5Ca(NO3)2·NH4NO3·10H2O`, the fertiliser grade (15.5 % N, 18.5 % Ca).
    CalciumAmmoniumNitrate,
    /// `CaCl2·2H2O`.
    CalciumChlorideDihydrate,
    /// `CaCl2`, anhydrous.
    CalciumChloride,
    /// `CaSO4·2H2O`, gypsum.
    CalciumSulfateDihydrate,
    /// `MgSO4·7H2O`, Epsom salt.
    MagnesiumSulfateHeptahydrate,
    /// `MgSO4`, anhydrous.
    MagnesiumSulfate,
    /// `Mg(NO3)2·6H2O`.
    MagnesiumNitrateHexahydrate,
    /// `MgCl2·6H2O`.
    MagnesiumChlorideHexahydrate,
    /// `KNO3`.
    PotassiumNitrate,
    /// `K2SO4`.
    PotassiumSulfate,
    /// `KCl`.
    PotassiumChloride,
    /// `KH2PO4`.
    MonopotassiumPhosphate,
    /// `K2HPO4`.
    DipotassiumPhosphate,
    /// `NH4NO3`.
    AmmoniumNitrate,
    /// `(NH4)2SO4`.
    AmmoniumSulfate,
    /// `NH4Cl`.
    AmmoniumChloride,
    /// `NH4H2PO4`.
    MonoammoniumPhosphate,
    /// `(NH4)2HPO4`.
    DiammoniumPhosphate,
    /// `NaCl`.
    SodiumChloride,
    /// `NaNO3`.
    SodiumNitrate,
    /// `NaHCO3`.
    SodiumBicarbonate,
    /// `NaOH`.
    SodiumHydroxide,
    /// `NaHSO4`, the dry acid of pools.
    SodiumBisulfate,
    /// `KOH`.
    PotassiumHydroxide,
    /// `K2CO3`.
    PotassiumCarbonate,
    /// `KHCO3`.
    PotassiumBicarbonate,
    /// `K2SiO3`.
    PotassiumSilicate,
    /// `H3PO4`.
    PhosphoricAcid,
    /// `C6H8O7`, citric acid.
    CitricAcid,
    /// `C6H8O7·H2O`, citric acid monohydrate.
    CitricAcidMonohydrate,
    /// `HNO3`.
    NitricAcid,
    /// `H2SO4`.
    SulfuricAcid,
    /// `HCl`.
    HydrochloricAcid,
    /// `H3BO3`.
    BoricAcid,
    /// `CO(NH2)2`, urea: neutral, no ion.
    Urea,
}

/// What one salt is and gives.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct SaltRow {
    /// Formula; `.` before the water of a hydrate.
    pub formula: &'static str,
    /// Mass of one mole, hydrate water included, g.
    pub molar_mass_g: f64,
    /// Moles of hydrate water in one mole.
    pub hydrate_water: f64,
    /// Moles of each component that one mole gives.
    pub ions: &'static [(Component, f64)],
    /// What one mole adds to the alkalinity, eq: 0 for a neutral salt, below 0 for an acid, above for a base.
    pub alkalinity_eq: f64,
}

impl SaltRow {
    const fn of(formula: &'static str, molar_mass_g: f64, ions: &'static [(Component, f64)]) -> Self {
        Self { formula, molar_mass_g, hydrate_water: 0.0, ions, alkalinity_eq: 0.0 }
    }

    const fn wet(mut self, waters: f64) -> Self {
        self.hydrate_water = waters;
        self.molar_mass_g += waters * weight::WATER;
        self
    }

    const fn alkaline(mut self, eq: f64) -> Self {
        self.alkalinity_eq = eq;
        self
    }
}

const NO3: f64 = weight::N + 3.0 * weight::O;
const SO4: f64 = weight::S + 4.0 * weight::O;
const PO4: f64 = weight::P + 4.0 * weight::O;
const NH4: f64 = weight::N + 4.0 * weight::H;
const CO3: f64 = weight::C + 3.0 * weight::O;
const CITRIC: f64 = 6.0 * weight::C + 8.0 * weight::H + 7.0 * weight::O;

impl Salt {
    /// All salts.
    pub const ALL: [Self; 37] = [
        Self::CalciumNitrate,
        Self::CalciumNitrateTetrahydrate,
        Self::CalciumAmmoniumNitrate,
        Self::CalciumChlorideDihydrate,
        Self::CalciumChloride,
        Self::CalciumSulfateDihydrate,
        Self::MagnesiumSulfateHeptahydrate,
        Self::MagnesiumSulfate,
        Self::MagnesiumNitrateHexahydrate,
        Self::MagnesiumChlorideHexahydrate,
        Self::PotassiumNitrate,
        Self::PotassiumSulfate,
        Self::PotassiumChloride,
        Self::MonopotassiumPhosphate,
        Self::DipotassiumPhosphate,
        Self::AmmoniumNitrate,
        Self::AmmoniumSulfate,
        Self::AmmoniumChloride,
        Self::MonoammoniumPhosphate,
        Self::DiammoniumPhosphate,
        Self::SodiumChloride,
        Self::SodiumNitrate,
        Self::SodiumBicarbonate,
        Self::SodiumHydroxide,
        Self::SodiumBisulfate,
        Self::PotassiumHydroxide,
        Self::PotassiumCarbonate,
        Self::PotassiumBicarbonate,
        Self::PotassiumSilicate,
        Self::PhosphoricAcid,
        Self::CitricAcid,
        Self::CitricAcidMonohydrate,
        Self::NitricAcid,
        Self::SulfuricAcid,
        Self::HydrochloricAcid,
        Self::BoricAcid,
        Self::Urea,
    ];

    /// Name for people.
    pub const fn words(self) -> &'static str {
        match self {
            Self::CalciumNitrate => "calcium nitrate, dry",
            Self::CalciumNitrateTetrahydrate => "calcium nitrate, crystals (4 H2O)",
            Self::CalciumAmmoniumNitrate => "calcium nitrate, fertiliser grade",
            Self::CalciumChlorideDihydrate => "calcium chloride (2 H2O)",
            Self::CalciumChloride => "calcium chloride, dry",
            Self::CalciumSulfateDihydrate => "gypsum",
            Self::MagnesiumSulfateHeptahydrate => "Epsom salt",
            Self::MagnesiumSulfate => "magnesium sulfate, dry",
            Self::MagnesiumNitrateHexahydrate => "magnesium nitrate (6 H2O)",
            Self::MagnesiumChlorideHexahydrate => "magnesium chloride (6 H2O)",
            Self::PotassiumNitrate => "potassium nitrate",
            Self::PotassiumSulfate => "potassium sulfate",
            Self::PotassiumChloride => "potassium chloride",
            Self::MonopotassiumPhosphate => "monopotassium phosphate",
            Self::DipotassiumPhosphate => "dipotassium phosphate",
            Self::AmmoniumNitrate => "ammonium nitrate",
            Self::AmmoniumSulfate => "ammonium sulfate",
            Self::AmmoniumChloride => "ammonium chloride",
            Self::MonoammoniumPhosphate => "monoammonium phosphate",
            Self::DiammoniumPhosphate => "diammonium phosphate",
            Self::SodiumChloride => "sodium chloride",
            Self::SodiumNitrate => "sodium nitrate",
            Self::SodiumBicarbonate => "sodium bicarbonate",
            Self::SodiumHydroxide => "sodium hydroxide",
            Self::SodiumBisulfate => "sodium bisulfate",
            Self::PotassiumHydroxide => "potassium hydroxide",
            Self::PotassiumCarbonate => "potassium carbonate",
            Self::PotassiumBicarbonate => "potassium bicarbonate",
            Self::PotassiumSilicate => "potassium silicate",
            Self::PhosphoricAcid => "phosphoric acid",
            Self::CitricAcid => "citric acid, dry",
            Self::CitricAcidMonohydrate => "citric acid (1 H2O)",
            Self::NitricAcid => "nitric acid",
            Self::SulfuricAcid => "sulfuric acid",
            Self::HydrochloricAcid => "hydrochloric acid",
            Self::BoricAcid => "boric acid",
            Self::Urea => "urea",
        }
    }

    /// Formula, molar mass and ions.
    pub const fn row(self) -> SaltRow {
        use Component::{B, C, Ca, Cit, Cl, K, Mg, Na, Nh4, No3, P, Si, So4};
        use weight as w;
        match self {
            Self::CalciumNitrate => SaltRow::of("Ca(NO3)2", w::CA + 2.0 * NO3, &[(Ca, 1.0), (No3, 2.0)]),
            Self::CalciumNitrateTetrahydrate => {
                SaltRow::of("Ca(NO3)2.4H2O", w::CA + 2.0 * NO3, &[(Ca, 1.0), (No3, 2.0)]).wet(4.0)
            }
            Self::CalciumAmmoniumNitrate => SaltRow::of(
                "(Ca(NO3)2)5NH4NO3.10H2O",
                5.0 * w::CA + 11.0 * NO3 + NH4,
                &[(Ca, 5.0), (No3, 11.0), (Nh4, 1.0)],
            )
            .wet(10.0),
            Self::CalciumChlorideDihydrate => {
                SaltRow::of("CaCl2.2H2O", w::CA + 2.0 * w::CL, &[(Ca, 1.0), (Cl, 2.0)]).wet(2.0)
            }
            Self::CalciumChloride => SaltRow::of("CaCl2", w::CA + 2.0 * w::CL, &[(Ca, 1.0), (Cl, 2.0)]),
            Self::CalciumSulfateDihydrate => SaltRow::of("CaSO4.2H2O", w::CA + SO4, &[(Ca, 1.0), (So4, 1.0)]).wet(2.0),
            Self::MagnesiumSulfateHeptahydrate => {
                SaltRow::of("MgSO4.7H2O", w::MG + SO4, &[(Mg, 1.0), (So4, 1.0)]).wet(7.0)
            }
            Self::MagnesiumSulfate => SaltRow::of("MgSO4", w::MG + SO4, &[(Mg, 1.0), (So4, 1.0)]),
            Self::MagnesiumNitrateHexahydrate => {
                SaltRow::of("Mg(NO3)2.6H2O", w::MG + 2.0 * NO3, &[(Mg, 1.0), (No3, 2.0)]).wet(6.0)
            }
            Self::MagnesiumChlorideHexahydrate => {
                SaltRow::of("MgCl2.6H2O", w::MG + 2.0 * w::CL, &[(Mg, 1.0), (Cl, 2.0)]).wet(6.0)
            }
            Self::PotassiumNitrate => SaltRow::of("KNO3", w::K + NO3, &[(K, 1.0), (No3, 1.0)]),
            Self::PotassiumSulfate => SaltRow::of("K2SO4", 2.0 * w::K + SO4, &[(K, 2.0), (So4, 1.0)]),
            Self::PotassiumChloride => SaltRow::of("KCl", w::K + w::CL, &[(K, 1.0), (Cl, 1.0)]),
            Self::MonopotassiumPhosphate => SaltRow::of("KH2PO4", w::K + 2.0 * w::H + PO4, &[(K, 1.0), (P, 1.0)]),
            Self::DipotassiumPhosphate => {
                SaltRow::of("K2HPO4", 2.0 * w::K + w::H + PO4, &[(K, 2.0), (P, 1.0)]).alkaline(1.0)
            }
            Self::AmmoniumNitrate => SaltRow::of("NH4NO3", NH4 + NO3, &[(Nh4, 1.0), (No3, 1.0)]),
            Self::AmmoniumSulfate => SaltRow::of("(NH4)2SO4", 2.0 * NH4 + SO4, &[(Nh4, 2.0), (So4, 1.0)]),
            Self::AmmoniumChloride => SaltRow::of("NH4Cl", NH4 + w::CL, &[(Nh4, 1.0), (Cl, 1.0)]),
            Self::MonoammoniumPhosphate => SaltRow::of("NH4H2PO4", NH4 + 2.0 * w::H + PO4, &[(Nh4, 1.0), (P, 1.0)]),
            Self::DiammoniumPhosphate => {
                SaltRow::of("(NH4)2HPO4", 2.0 * NH4 + w::H + PO4, &[(Nh4, 2.0), (P, 1.0)]).alkaline(1.0)
            }
            Self::SodiumChloride => SaltRow::of("NaCl", w::NA + w::CL, &[(Na, 1.0), (Cl, 1.0)]),
            Self::SodiumNitrate => SaltRow::of("NaNO3", w::NA + NO3, &[(Na, 1.0), (No3, 1.0)]),
            Self::SodiumBicarbonate => SaltRow::of("NaHCO3", w::NA + w::H + CO3, &[(Na, 1.0), (C, 1.0)]).alkaline(1.0),
            Self::SodiumHydroxide => SaltRow::of("NaOH", w::NA + w::O + w::H, &[(Na, 1.0)]).alkaline(1.0),
            Self::SodiumBisulfate => SaltRow::of("NaHSO4", w::NA + w::H + SO4, &[(Na, 1.0), (So4, 1.0)]).alkaline(-1.0),
            Self::PotassiumHydroxide => SaltRow::of("KOH", w::K + w::O + w::H, &[(K, 1.0)]).alkaline(1.0),
            Self::PotassiumCarbonate => SaltRow::of("K2CO3", 2.0 * w::K + CO3, &[(K, 2.0), (C, 1.0)]).alkaline(2.0),
            Self::PotassiumBicarbonate => SaltRow::of("KHCO3", w::K + w::H + CO3, &[(K, 1.0), (C, 1.0)]).alkaline(1.0),
            Self::PotassiumSilicate => {
                SaltRow::of("K2SiO3", 2.0 * w::K + w::SI + 3.0 * w::O, &[(K, 2.0), (Si, 1.0)]).alkaline(2.0)
            }
            Self::PhosphoricAcid => SaltRow::of("H3PO4", 3.0 * w::H + PO4, &[(P, 1.0)]).alkaline(-1.0),
            Self::CitricAcid => SaltRow::of("C6H8O7", CITRIC, &[(Cit, 1.0)]).alkaline(-1.0),
            Self::CitricAcidMonohydrate => SaltRow::of("C6H8O7.H2O", CITRIC, &[(Cit, 1.0)]).alkaline(-1.0).wet(1.0),
            Self::NitricAcid => SaltRow::of("HNO3", w::H + NO3, &[(No3, 1.0)]).alkaline(-1.0),
            Self::SulfuricAcid => SaltRow::of("H2SO4", 2.0 * w::H + SO4, &[(So4, 1.0)]).alkaline(-2.0),
            Self::HydrochloricAcid => SaltRow::of("HCl", w::H + w::CL, &[(Cl, 1.0)]).alkaline(-1.0),
            Self::BoricAcid => SaltRow::of("H3BO3", 3.0 * w::H + w::B + 3.0 * w::O, &[(B, 1.0)]),
            Self::Urea => SaltRow::of("CO(NH2)2", w::C + w::O + 2.0 * w::N + 4.0 * w::H, &[]),
        }
    }

    /// Mass of one mole, hydrate water included, g.
    pub const fn molar_mass_g(self) -> f64 {
        self.row().molar_mass_g
    }

    /// Formula, hydrate included.
    pub const fn formula(self) -> &'static str {
        self.row().formula
    }

    /// What `grams` of the salt dissolve into, mol.
    pub fn dissolved(self, grams: f64) -> Totals {
        let row = self.row();
        Totals::from_pairs(row.ions).scaled(grams / row.molar_mass_g)
    }

    /// Grams of hydrate water in `grams` of the salt.
    pub fn hydrate_water_g(self, grams: f64) -> f64 {
        let row = self.row();
        grams * row.hydrate_water * weight::WATER / row.molar_mass_g
    }
}
