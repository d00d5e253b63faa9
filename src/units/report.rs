//! Lines of a water report, in whatever a supplier or a laboratory prints them.

use serde::{Deserialize, Serialize};

use super::HardnessUnit;

/// A line of a report, by the species that its mg/L counts in this program.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum ReportLine {
    /// Calcium, as Ca.
    Calcium,
    /// Magnesium, as Mg.
    Magnesium,
    /// Sodium, as Na.
    Sodium,
    /// Potassium, as K.
    Potassium,
    /// Chloride, as Cl.
    Chloride,
    /// Sulfate, as SO4.
    Sulfate,
    /// Nitrate, as NO3.
    Nitrate,
    /// Bicarbonate, as HCO3.
    Bicarbonate,
    /// Silica, as `SiO2`.
    Silica,
    /// Boron, as B.
    Boron,
}

/// What a line of a report counts in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum ReportUnit {
    /// mg/L of the species itself: Ca, SO4, NO3, HCO3, `SiO2`. The same number as ppm in water.
    MgPerLitre,
    /// mg/L of the element in it: nitrate as N, sulfate as S, silica as Si.
    MgPerLitreOfElement,
    /// µg/L of the species itself, the same number as ppb.
    MicrogramPerLitre,
    /// mmol/L.
    MmolPerLitre,
    /// By charge, or as calcium carbonate: meq/L, mg/L as CaCO3, degrees, grains.
    Charge(HardnessUnit),
}

/// Source of the masses below: IUPAC abridged standard atomic weights (2021), summed; from memory.
impl ReportLine {
    /// Every line, in the order a report has them.
    pub const ALL: [Self; 10] = [
        Self::Calcium,
        Self::Magnesium,
        Self::Sodium,
        Self::Potassium,
        Self::Bicarbonate,
        Self::Chloride,
        Self::Sulfate,
        Self::Nitrate,
        Self::Silica,
        Self::Boron,
    ];

    /// Name for a label.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Calcium => "Calcium",
            Self::Magnesium => "Magnesium",
            Self::Sodium => "Sodium",
            Self::Potassium => "Potassium",
            Self::Chloride => "Chloride",
            Self::Sulfate => "Sulfate",
            Self::Nitrate => "Nitrate",
            Self::Bicarbonate => "Bicarbonate",
            Self::Silica => "Silica",
            Self::Boron => "Boron",
        }
    }

    /// The species that its mg/L counts.
    pub const fn species(self) -> &'static str {
        match self {
            Self::Calcium => "Ca",
            Self::Magnesium => "Mg",
            Self::Sodium => "Na",
            Self::Potassium => "K",
            Self::Chloride => "Cl",
            Self::Sulfate => "SO4",
            Self::Nitrate => "NO3",
            Self::Bicarbonate => "HCO3",
            Self::Silica => "SiO2",
            Self::Boron => "B",
        }
    }

    /// Molar mass of the species, g/mol.
    pub const fn g_per_mol(self) -> f64 {
        match self {
            Self::Calcium => 40.078,
            Self::Magnesium => 24.305,
            Self::Sodium => 22.990,
            Self::Potassium => 39.098,
            Self::Chloride => 35.45,
            Self::Sulfate => 96.056,
            Self::Nitrate => 62.004,
            Self::Bicarbonate => 61.016,
            Self::Silica => 60.083,
            Self::Boron => 10.81,
        }
    }

    /// The element that some reports print instead, and its g/mol.
    pub const fn element(self) -> Option<(&'static str, f64)> {
        match self {
            Self::Sulfate => Some(("S", 32.06)),
            Self::Nitrate => Some(("N", 14.007)),
            Self::Silica => Some(("Si", 28.085)),
            _ => None,
        }
    }

    /// Charges of one ion, either sign; 0 for what is neutral in water.
    pub const fn charges(self) -> f64 {
        match self {
            Self::Calcium | Self::Magnesium | Self::Sulfate => 2.0,
            Self::Sodium | Self::Potassium | Self::Chloride | Self::Nitrate | Self::Bicarbonate => 1.0,
            Self::Silica | Self::Boron => 0.0,
        }
    }

    /// The units that this line is printed in, the usual one first.
    pub fn units(self) -> Vec<ReportUnit> {
        let all = ReportUnit::all();
        all.into_iter().filter(|unit| self.mg_per_l_from(1.0, *unit).is_some()).collect()
    }

    /// mg/L of the species for a number in a unit; `None` where the line is not counted so. Any number: the field's limits check
    /// it.
    pub fn mg_per_l_from(self, value: f64, unit: ReportUnit) -> Option<f64> {
        self.mg_per_l_per_unit(unit).map(|per_unit| value * per_unit)
    }

    /// mg/L of the species, read in a unit; `None` where the line is not counted so.
    pub fn from_mg_per_l(self, mg_per_l: f64, unit: ReportUnit) -> Option<f64> {
        self.mg_per_l_per_unit(unit).map(|per_unit| mg_per_l / per_unit)
    }

    fn mg_per_l_per_unit(self, unit: ReportUnit) -> Option<f64> {
        match unit {
            ReportUnit::MgPerLitre => Some(1.0),
            ReportUnit::MicrogramPerLitre => Some(1e-3),
            ReportUnit::MgPerLitreOfElement => self.element().map(|(_, weight)| self.g_per_mol() / weight),
            ReportUnit::MmolPerLitre => Some(self.g_per_mol()),
            ReportUnit::Charge(_) if self.charges() == 0.0 => None,
            ReportUnit::Charge(unit) => Some(unit.meq_per_l_per_unit() / self.charges() * self.g_per_mol()),
        }
    }
}

impl ReportUnit {
    /// Every unit, in the order a list shows them.
    pub fn all() -> Vec<Self> {
        [Self::MgPerLitre, Self::MgPerLitreOfElement, Self::MicrogramPerLitre, Self::MmolPerLitre]
            .into_iter()
            .chain(HardnessUnit::ALL.map(Self::Charge))
            .collect()
    }

    /// Symbol to stand after a number of this line, such as "mg/L as NO3" or "mg/L as N".
    pub fn symbol(self, line: ReportLine) -> String {
        match self {
            Self::MgPerLitre => format!("mg/L as {}", line.species()),
            Self::MgPerLitreOfElement => {
                format!("mg/L as {}", line.element().map_or(line.species(), |(element, _)| element))
            }
            Self::MicrogramPerLitre => format!("µg/L as {}", line.species()),
            Self::MmolPerLitre => "mmol/L".to_owned(),
            Self::Charge(unit) => unit.symbol().to_owned(),
        }
    }
}
