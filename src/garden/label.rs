//! The analysis printed on a label, and label arithmetic.
//!
//! A label gives percentages of nutrients in the forms the law asks for; it does not balance charge. The rule that closes
//! it stands in `closing`. What is odd about a label without contradicting itself is asked back by
//! [`LabelAnalysis::questions`].

use serde::{Deserialize, Serialize};

use super::closing::ROUNDING_N;
use super::growing::told;
use super::salts::weight;
use crate::units::entry::parse_number;

/// What the numbers of a label count.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default, Serialize, Deserialize)]
pub enum LabelBasis {
    /// Grams in 100 g (w/w): the usual one.
    #[default]
    MassPerMass,
    /// Grams in 100 mL (w/v), liquids only.
    MassPerVolume,
    /// Grams in a litre, liquids only.
    GramsPerLitre,
    /// Milligrams in a litre, liquids only.
    MilligramsPerLitre,
}

impl LabelBasis {
    /// All of them, the usual one first.
    pub const ALL: [Self; 4] = [Self::MassPerMass, Self::MassPerVolume, Self::GramsPerLitre, Self::MilligramsPerLitre];

    /// Unit of the numbers, as it stands behind them.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::MassPerMass | Self::MassPerVolume => "%",
            Self::GramsPerLitre => "g/L",
            Self::MilligramsPerLitre => "mg/L",
        }
    }

    /// Name for people.
    pub const fn words(self) -> &'static str {
        match self {
            Self::MassPerMass => "% by mass (w/w)",
            Self::MassPerVolume => "% by volume (w/v, grams in 100 mL)",
            Self::GramsPerLitre => "grams in a litre (g/L)",
            Self::MilligramsPerLitre => "milligrams in a litre (mg/L)",
        }
    }

    /// Whether the numbers are of a volume, which only a liquid has.
    pub const fn is_by_volume(self) -> bool {
        !matches!(self, Self::MassPerMass)
    }

    /// Percent (grams in 100 g or in 100 mL) that one of its units is.
    pub const fn percent(self) -> f64 {
        match self {
            Self::MassPerMass | Self::MassPerVolume => 1.0,
            Self::GramsPerLitre => 0.1,
            Self::MilligramsPerLitre => 1e-4,
        }
    }

    /// Most that a line, or all together, can be, in its own unit. A litre of the heaviest concentrates holds 1.5 kg; ours.
    const fn most(self) -> f64 {
        match self {
            Self::MassPerMass => 100.0,
            Self::MassPerVolume => 150.0,
            Self::GramsPerLitre => 1500.0,
            Self::MilligramsPerLitre => 1_500_000.0,
        }
    }
}

/// What holds a trace metal in solution, and how many charges its counter-ion brings.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub enum Chelate {
    /// EDTA.
    Edta,
    /// DTPA.
    Dtpa,
    /// EDDHA, iron only: the red one that holds at high pH.
    Eddha,
}

impl Chelate {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Edta, Self::Dtpa, Self::Eddha];

    /// Name for people.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Edta => "EDTA",
            Self::Dtpa => "DTPA",
            Self::Eddha => "EDDHA",
        }
    }

    /// Charge of the counter-ions beside one metal ion of `metal_charge` (3 for iron, 2 for manganese, zinc and copper).
    ///
    /// EDTA and EDDHA bring four charges to the metal, DTPA five (EDDHA: two phenolates, two carboxylates). From memory.
    const fn counter_charge(self, metal_charge: f64) -> f64 {
        let own = match self {
            Self::Edta | Self::Eddha => 4.0,
            Self::Dtpa => 5.0,
        };
        own - metal_charge
    }
}

/// Label analysis, in percent or what `basis` says. What the label does not list stays out (`None`), which is not the same as zero.
#[derive(Clone, Copy, PartialEq, Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct LabelAnalysis {
    /// What the numbers count; "%" below stands for its unit.
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
    /// Iron, % Fe. Like the other trace metals it carries no weight in EC or pH; only the counter-ion of a chelate may.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fe: Option<f64>,
    /// What holds the iron.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fe_chelate: Option<Chelate>,
    /// Manganese, % Mn.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mn: Option<f64>,
    /// Zinc, % Zn.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub zn: Option<f64>,
    /// Copper, % Cu.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cu: Option<f64>,
    /// Molybdenum, % Mo.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mo: Option<f64>,
    /// What holds manganese, zinc and copper.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub trace_chelate: Option<Chelate>,
}

/// One line of a label.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct LabelLine {
    /// Its field in [`LabelAnalysis`].
    pub key: &'static str,
    /// Its name on labels, as it stands within a sentence.
    pub name: &'static str,
    /// What the label says, in the unit of its basis.
    pub value: Option<f64>,
}

impl LabelLine {
    /// Its name at the start of a line.
    pub fn title(&self) -> &'static str {
        match self.name {
            "total N" => "Total N",
            "nitrate N" => "Nitrate N",
            "ammonium N" => "Ammonium N",
            "urea N" => "Urea N",
            // Elements and oxides are written large anyway.
            name => name,
        }
    }
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
    /// Iron, manganese, zinc, copper and molybdenum together.
    pub(super) metals: f64,
    /// Charge of the counter-ions of chelates, eq in 100 g or mL.
    pub(super) chelate_eq: f64,
    /// Nitrogen whose form the label does not state; counted in `nitrate_n` until the charge says otherwise.
    pub(super) unstated_n: f64,
}

/// A label that contradicts itself.
#[derive(Clone, PartialEq, Debug, thiserror::Error)]
#[non_exhaustive]
pub enum LabelError {
    /// A percentage is negative, not finite, or over 100.
    #[error("{field} on the label is {value} {unit}; it must lie between 0 and {limit} {unit}")]
    OutOfRange {
        /// Which line of the label.
        field: &'static str,
        /// What was given, in `unit`.
        value: f64,
        /// Upper limit, in `unit`.
        limit: f64,
        /// What the label counts in.
        unit: &'static str,
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
    #[error("the forms of nitrogen make {forms} {unit}, more than the total of {total} {unit}")]
    NitrogenForms {
        /// Sum of the forms, `unit` of N.
        forms: f64,
        /// Total, `unit` of N.
        total: f64,
        /// What the label counts in.
        unit: &'static str,
    },
    /// A text that is no N-P-K triple.
    #[error("“{typed}” is not three numbers such as 8-15-36: nitrogen, P2O5 and K2O, each 0 to 100 %")]
    Triple {
        /// What was typed, shortened.
        typed: String,
    },
    /// Nothing on the label that dissolves into ions.
    #[error("the label lists no nutrient")]
    Empty,
}

impl LabelAnalysis {
    /// The label of an N-P-K triple as it stands on the front of a pack, "8-15-36": total nitrogen, P2O5 and K2O, percent by
    /// mass. Dashes, colons, slashes or spaces part the numbers; "NPK" before them is passed over.
    ///
    /// **Limitations:** Some countries print phosphorus and potassium as elements: then fill in `p` and `k` by hand.
    ///
    /// # Errors
    /// [`LabelError::Triple`] for what is not three numbers from 0 to 100, [`LabelError::Empty`] for three noughts.
    pub fn from_npk(text: &str) -> Result<Self, LabelError> {
        let refused = || LabelError::Triple { typed: told(text) };
        let bare = text.trim().trim_start_matches(|c: char| c.is_ascii_alphabetic() || c.is_whitespace());
        let numbers: Vec<f64> = bare
            .split(|c: char| c.is_whitespace() || matches!(c, '-' | '\u{2013}' | '\u{2212}' | ':' | '/'))
            .filter(|part| !part.is_empty())
            .map(|part| parse_number(part).ok().filter(|value| (0.0..=100.0).contains(value)))
            .collect::<Option<_>>()
            .ok_or_else(refused)?;
        let [n, p2o5, k2o] = numbers[..] else { return Err(refused()) };
        let label = Self { total_n: Some(n), p2o5: Some(p2o5), k2o: Some(k2o), ..Self::default() };
        label.elements().map(|_| label)
    }

    /// All lines with their names, for checks and tables.
    pub fn lines(&self) -> [LabelLine; 23] {
        [
            ("total_n", "total N", self.total_n),
            ("nitrate_n", "nitrate N", self.nitrate_n),
            ("ammonium_n", "ammonium N", self.ammonium_n),
            ("urea_n", "urea N", self.urea_n),
            ("p2o5", "P2O5", self.p2o5),
            ("p", "P", self.p),
            ("k2o", "K2O", self.k2o),
            ("k", "K", self.k),
            ("ca", "Ca", self.ca),
            ("cao", "CaO", self.cao),
            ("mg", "Mg", self.mg),
            ("mgo", "MgO", self.mgo),
            ("s", "S", self.s),
            ("so3", "SO3", self.so3),
            ("na", "Na", self.na),
            ("cl", "Cl", self.cl),
            ("sio2", "SiO2", self.sio2),
            ("b", "B", self.b),
            ("fe", "Fe", self.fe),
            ("mn", "Mn", self.mn),
            ("zn", "Zn", self.zn),
            ("cu", "Cu", self.cu),
            ("mo", "Mo", self.mo),
        ]
        .map(|(key, name, value)| LabelLine { key, name, value })
    }

    /// Elements in grams in 100 g, or in 100 mL where the label counts by volume.
    ///
    /// # Errors
    /// A number outside 0 to 100 % (0 to 150 for w/v), an element given twice, nitrogen forms above the total, nothing at
    /// all.
    pub(super) fn elements(&self) -> Result<Elements, LabelError> {
        let (limit, unit) = (self.basis.most(), self.basis.symbol());
        for LabelLine { name: field, value, .. } in self.lines() {
            if let Some(value) = value
                && !(0.0..=limit).contains(&value)
            {
                return Err(LabelError::OutOfRange { field, value, limit, unit });
            }
        }
        let percent = |line: Option<f64>| line.map(|value| value * self.basis.percent());
        let of = |line: Option<f64>| percent(line).unwrap_or(0.0);
        let forms = of(self.nitrate_n) + of(self.ammonium_n) + of(self.urea_n);
        let rest = match percent(self.total_n) {
            // Labels round each line to 0.1 %: three forms may pass the total by that much.
            Some(total) if forms > total + ROUNDING_N => {
                let own = |percent: f64| percent / self.basis.percent();
                return Err(LabelError::NitrogenForms { forms: own(forms), total: own(total), unit });
            }
            Some(total) => (total - forms).max(0.0),
            None => 0.0,
        };
        let metal = |line: Option<f64>, weight: f64, chelate: Option<Chelate>, charge: f64| {
            chelate.map_or(0.0, |chelate| of(line) / weight * chelate.counter_charge(charge))
        };
        let elements = Elements {
            nitrate_n: of(self.nitrate_n) + rest,
            ammonium_n: of(self.ammonium_n),
            urea_n: of(self.urea_n),
            p: of(one_of("P", self.p, "P2O5", self.p2o5, elemental::P_IN_P2O5)?),
            k: of(one_of("K", self.k, "K2O", self.k2o, elemental::K_IN_K2O)?),
            ca: of(one_of("Ca", self.ca, "CaO", self.cao, elemental::CA_IN_CAO)?),
            mg: of(one_of("Mg", self.mg, "MgO", self.mgo, elemental::MG_IN_MGO)?),
            s: percent(one_of("S", self.s, "SO3", self.so3, elemental::S_IN_SO3)?),
            na: of(self.na),
            cl: percent(self.cl),
            si: of(self.sio2) * elemental::SI_IN_SIO2,
            b: of(self.b),
            metals: [self.fe, self.mn, self.zn, self.cu, self.mo].map(of).iter().sum(),
            chelate_eq: metal(self.fe, weight::FE, self.fe_chelate, 3.0)
                + metal(self.mn, weight::MN, self.trace_chelate, 2.0)
                + metal(self.zn, weight::ZN, self.trace_chelate, 2.0)
                + metal(self.cu, weight::CU, self.trace_chelate, 2.0),
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
            + elements.si
            + elements.b
            + elements.metals;
        if sum <= 0.0 {
            return Err(LabelError::Empty);
        }
        let sum = sum / self.basis.percent();
        if sum > limit {
            return Err(LabelError::OutOfRange { field: "the sum of all lines", value: sum, limit, unit });
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
