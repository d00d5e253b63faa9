//! How near a solution is to dropping a solid out.

use std::f64::consts::LN_10;

use super::medium::van_t_hoff;
use super::species::H;
use super::{Component, Medium, Speciation};

/// Solids that a nutrient solution may form.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Mineral {
    /// CaCO₃, scale.
    Calcite,
    /// CaSO₄·2H₂O.
    Gypsum,
    /// CaHPO₄·2H₂O, the calcium phosphate that falls first.
    Brushite,
    /// MgNH₄PO₄·6H₂O.
    Struvite,
    /// SiO₂, amorphous.
    AmorphousSilica,
    /// Ca₅(PO₄)₃OH. Forms too slowly to warn of: it informs only.
    Hydroxyapatite,
}

impl Mineral {
    /// All of them.
    pub const ALL: [Self; 6] =
        [Self::Calcite, Self::Gypsum, Self::Brushite, Self::Struvite, Self::AmorphousSilica, Self::Hydroxyapatite];

    /// Name in words.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Calcite => "calcium carbonate (calcite)",
            Self::Gypsum => "calcium sulfate (gypsum)",
            Self::Brushite => "calcium phosphate (brushite)",
            Self::Struvite => "magnesium ammonium phosphate (struvite)",
            Self::AmorphousSilica => "amorphous silica",
            Self::Hydroxyapatite => "hydroxyapatite",
        }
    }

    /// log10 of the solubility product. Sources: phreeqc.dat (calcite, gypsum, silica, hydroxyapatite), minteq.v4
    /// (brushite, heat 23 kJ/mol); struvite 13.26, Ohlinger et al. (1998), from memory, no heat.
    fn log_k(self, temperature_k: f64) -> f64 {
        match self {
            Self::Calcite => 17.118 - 0.046528 * temperature_k - 3496.0 / temperature_k,
            Self::Gypsum => 93.7 + 5.99e-3 * temperature_k - 4e3 / temperature_k - 35.019 * temperature_k.log10(),
            Self::Brushite => van_t_hoff(-18.995, 23.0, temperature_k),
            Self::Struvite => -13.26,
            Self::AmorphousSilica => -0.26 - 731.0 / temperature_k,
            Self::Hydroxyapatite => van_t_hoff(-3.421, -151.27, temperature_k),
        }
    }

    /// Master species, how many of each, and water molecules of the dissolution, as written for [`Self::log_k`].
    const fn reaction(self) -> (&'static [(Component, f64)], f64, f64) {
        use Component::{C, Ca, Mg, Nh4, P, Si, So4};
        match self {
            Self::Calcite => (&[(Ca, 1.0), (C, 1.0)], 0.0, 0.0),
            Self::Gypsum => (&[(Ca, 1.0), (So4, 1.0)], 0.0, 2.0),
            Self::Brushite => (&[(Ca, 1.0), (P, 1.0)], 1.0, 2.0),
            Self::Struvite => (&[(Mg, 1.0), (Nh4, 1.0), (P, 1.0)], 0.0, 6.0),
            Self::AmorphousSilica => (&[(Si, 1.0)], 0.0, -2.0),
            // 3 HPO₄²⁻ are 3 PO₄³⁻ and 3 H⁺, of which the dissolution itself takes up 4.
            Self::Hydroxyapatite => (&[(Ca, 5.0), (P, 3.0)], -1.0, 1.0),
        }
    }
}

impl Speciation {
    /// log10 of ion activity product over solubility product: above 0 the solid may form. `None` where one of its parts is
    /// not in the solution.
    pub fn saturation_index(&self, medium: &Medium, mineral: Mineral) -> Option<f64> {
        let (parts, protons, water) = mineral.reaction();
        let mut ln_product = protons * self.ln_activity[H] + water * self.ln_water_activity;
        for &(component, count) in parts {
            let ln_activity = self.ln_activity[component.index()];
            if !ln_activity.is_finite() {
                return None;
            }
            ln_product += count * ln_activity;
        }
        if mineral == Mineral::Hydroxyapatite {
            const HPO4_ROW: usize = 21;
            ln_product += 3.0 * medium.ln_k[HPO4_ROW];
        }
        Some(ln_product / LN_10 - mineral.log_k(medium.water.temperature_k))
    }
}
