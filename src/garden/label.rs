//! The analysis printed on a label, and label arithmetic.
//!
//! A label gives percentages of nutrients in the forms the law asks for; it does not balance charge. The rule that closes
//! it stands at [`super::dissolve`].

use serde::{Deserialize, Serialize};

use super::salts::weight;

/// Whether percent means grams in 100 g or grams in 100 mL.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default, Serialize, Deserialize)]
pub enum LabelBasis {
    /// Grams in 100 g (w/w): the usual one.
    #[default]
    MassPerMass,
    /// Grams in 100 mL (w/v), liquids only.
    MassPerVolume,
}

/// Label analysis, percent. What the label does not list stays out (`None`), which is not the same as zero.
#[derive(Clone, Copy, PartialEq, Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct LabelAnalysis {
    /// Percent of what.
    pub basis: LabelBasis,
    /// Total nitrogen, % N. What its listed forms leave over is nitrate, but ammonium where the charge asks for it.
    pub total_n: Option<f64>,
    /// Nitrate nitrogen, % N.
    pub nitrate_n: Option<f64>,
    /// Ammonium (ammoniacal) nitrogen, % N.
    pub ammonium_n: Option<f64>,
    /// Urea nitrogen, % N. It carries no charge and does not show in EC or, at first, in pH.
    pub urea_n: Option<f64>,
    /// Phosphate, % P2O5.
    pub p2o5: Option<f64>,
    /// Phosphorus, % P. Give this or `p2o5`.
    pub p: Option<f64>,
    /// Potash, % K2O.
    pub k2o: Option<f64>,
    /// Potassium, % K. Give this or `k2o`.
    pub k: Option<f64>,
    /// Calcium, % Ca.
    pub ca: Option<f64>,
    /// Lime, % `CaO`. Give this or `ca`.
    pub cao: Option<f64>,
    /// Magnesium, % Mg.
    pub mg: Option<f64>,
    /// Magnesia, % `MgO`. Give this or `mg`.
    pub mgo: Option<f64>,
    /// Sulfur, % S.
    pub s: Option<f64>,
    /// Sulfur trioxide, % SO3. Give this or `s`.
    pub so3: Option<f64>,
    /// Sodium, % Na.
    pub na: Option<f64>,
    /// Chloride, % Cl.
    pub cl: Option<f64>,
    /// Silica, % `SiO2`.
    pub sio2: Option<f64>,
    /// Boron, % B.
    pub b: Option<f64>,
}

/// Factors from the oxide forms of labels to elements.
///
/// Source: computed from the 2021 IUPAC standard atomic weights; Cornell's "A Guide to Home Hydroponics for Leafy Greens"
/// (Ronzoni & Mattson 2020) gives 0.44 and 0.83 for the first two.
pub mod elemental {
    use super::weight;

    /// P in P2O5, 0.4364.
    pub const P_IN_P2O5: f64 = 2.0 * weight::P / (2.0 * weight::P + 5.0 * weight::O);
    /// K in K2O, 0.8301.
    pub const K_IN_K2O: f64 = 2.0 * weight::K / (2.0 * weight::K + weight::O);
    /// Ca in `CaO`, 0.7147.
    pub const CA_IN_CAO: f64 = weight::CA / (weight::CA + weight::O);
    /// Mg in `MgO`, 0.6031.
    pub const MG_IN_MGO: f64 = weight::MG / (weight::MG + weight::O);
    /// S in SO3, 0.4005.
    pub const S_IN_SO3: f64 = weight::S / (weight::S + 3.0 * weight::O);
    /// Si in `SiO2`, 0.4674.
    pub const SI_IN_SIO2: f64 = weight::SI / (weight::SI + 2.0 * weight::O);
}

/// Elements in percent of the product, as a label gives them once oxides are turned into elements.
#[derive(Clone, Copy, PartialEq, Debug, Default)]
pub(super) struct Elements {
    pub(super) nitrate_n: f64,
    pub(super) ammonium_n: f64,
    pub(super) urea_n: f64,
    pub(super) p: f64,
    pub(super) k: f64,
    pub(super) ca: f64,
    pub(super) mg: f64,
    pub(super) s: Option<f64>,
    pub(super) na: f64,
    pub(super) cl: Option<f64>,
    pub(super) si: f64,
    pub(super) b: f64,
    /// Nitrogen whose form the label does not state; counted in `nitrate_n` until the charge says otherwise.
    pub(super) unstated_n: f64,
}

/// A label that contradicts itself.
#[derive(Clone, PartialEq, Debug, thiserror::Error)]
#[non_exhaustive]
pub enum LabelError {
    /// A percentage is negative, not finite, or over 100.
    #[error("{field} on the label is {value} %; it must lie between 0 and {limit} %")]
    OutOfRange {
        /// Which line of the label.
        field: &'static str,
        /// What was given, %.
        value: f64,
        /// Upper limit, %.
        limit: f64,
    },
    /// The same element in two forms.
    #[error("give {one} or {other}, not both")]
    Twice {
        /// One form.
        one: &'static str,
        /// The other.
        other: &'static str,
    },
    /// The forms of nitrogen exceed the total.
    #[error("the forms of nitrogen make {forms} %, more than the total of {total} %")]
    NitrogenForms {
        /// Sum of the forms, % N.
        forms: f64,
        /// Total, % N.
        total: f64,
    },
    /// Nothing on the label that dissolves into ions.
    #[error("the label lists no nutrient")]
    Empty,
}

impl LabelAnalysis {
    /// All lines with their names, for checks and tables.
    pub fn lines(&self) -> [(&'static str, Option<f64>); 18] {
        [
            ("total N", self.total_n),
            ("nitrate N", self.nitrate_n),
            ("ammonium N", self.ammonium_n),
            ("urea N", self.urea_n),
            ("P2O5", self.p2o5),
            ("P", self.p),
            ("K2O", self.k2o),
            ("K", self.k),
            ("Ca", self.ca),
            ("CaO", self.cao),
            ("Mg", self.mg),
            ("MgO", self.mgo),
            ("S", self.s),
            ("SO3", self.so3),
            ("Na", self.na),
            ("Cl", self.cl),
            ("SiO2", self.sio2),
            ("B", self.b),
        ]
    }

    /// Percentages as elements.
    ///
    /// # Errors
    /// A percentage outside 0 to 100 (0 to 150 for w/v), an element given twice, nitrogen forms above the total, nothing at
    /// all.
    pub(super) fn elements(&self) -> Result<Elements, LabelError> {
        let limit = match self.basis {
            LabelBasis::MassPerMass => 100.0,
            LabelBasis::MassPerVolume => 150.0,
        };
        for (field, value) in self.lines() {
            if let Some(value) = value
                && !(0.0..=limit).contains(&value)
            {
                return Err(LabelError::OutOfRange { field, value, limit });
            }
        }
        let forms = self.nitrate_n.unwrap_or(0.0) + self.ammonium_n.unwrap_or(0.0) + self.urea_n.unwrap_or(0.0);
        let rest = match self.total_n {
            // Labels round each line to 0.1 %: three forms may pass the total by that much.
            Some(total) if forms > total + 0.15 => return Err(LabelError::NitrogenForms { forms, total }),
            Some(total) => (total - forms).max(0.0),
            None => 0.0,
        };
        let elements = Elements {
            nitrate_n: self.nitrate_n.unwrap_or(0.0) + rest,
            ammonium_n: self.ammonium_n.unwrap_or(0.0),
            urea_n: self.urea_n.unwrap_or(0.0),
            p: one_of("P", self.p, "P2O5", self.p2o5, elemental::P_IN_P2O5)?.unwrap_or(0.0),
            k: one_of("K", self.k, "K2O", self.k2o, elemental::K_IN_K2O)?.unwrap_or(0.0),
            ca: one_of("Ca", self.ca, "CaO", self.cao, elemental::CA_IN_CAO)?.unwrap_or(0.0),
            mg: one_of("Mg", self.mg, "MgO", self.mgo, elemental::MG_IN_MGO)?.unwrap_or(0.0),
            s: one_of("S", self.s, "SO3", self.so3, elemental::S_IN_SO3)?,
            na: self.na.unwrap_or(0.0),
            cl: self.cl,
            si: self.sio2.unwrap_or(0.0) * elemental::SI_IN_SIO2,
            b: self.b.unwrap_or(0.0),
            unstated_n: rest,
        };
        let sum = elements.nitrate_n
            + elements.ammonium_n
            + elements.urea_n
            + elements.p
            + elements.k
            + elements.ca
            + elements.mg
            + elements.s.unwrap_or(0.0)
            + elements.na
            + elements.cl.unwrap_or(0.0)
            + elements.si;
        if sum <= 0.0 {
            return Err(LabelError::Empty);
        }
        if sum > limit {
            return Err(LabelError::OutOfRange { field: "the sum of all lines", value: sum, limit });
        }
        Ok(elements)
    }
}

fn one_of(
    element: &'static str,
    as_element: Option<f64>,
    oxide: &'static str,
    as_oxide: Option<f64>,
    factor: f64,
) -> Result<Option<f64>, LabelError> {
    match (as_element, as_oxide) {
        (Some(_), Some(_)) => Err(LabelError::Twice { one: element, other: oxide }),
        (Some(value), None) => Ok(Some(value)),
        (None, Some(value)) => Ok(Some(value * factor)),
        (None, None) => Ok(None),
    }
}

/// Target to dose: how much of a product of `percent` of a nutrient (w/w) gives `target_mg_l` of it, g/L.
///
/// mg/L = g/L × percent × 10. Valid for `percent` above 0; returns `None` otherwise.
pub fn grams_per_l_for(target_mg_l: f64, percent: f64) -> Option<f64> {
    (percent > 0.0 && target_mg_l.is_finite()).then(|| target_mg_l / (percent * 10.0))
}
