//! One addition, planned or done.

use crate::chem::{Component, Totals};

/// Something poured into the tank, per unit of it: mL of a liquid, g of a powder, L of water.
#[derive(Clone, Debug, PartialEq)]
pub struct Pour {
    /// Key of the product, or of the source water.
    pub id: String,
    /// Name for people.
    pub name: String,
    /// mol per unit.
    pub moles: Totals,
    /// g of water per unit.
    pub water_g: f64,
    /// Volume of one unit, mL: what it takes up under the rim.
    pub volume_ml: f64,
    /// How many units.
    pub amount: f64,
    /// Unit of the amount: mL, g or L.
    pub unit: &'static str,
}

impl Pour {
    /// The same pour in another amount.
    #[must_use]
    pub fn of(&self, amount: f64) -> Self {
        Self { amount, ..self.clone() }
    }

    /// Nitrogen that one unit brings, mg as N (14.007 g/mol, IUPAC).
    pub fn nitrogen_mg(&self) -> f64 {
        self.moles.nitrogen() * 14.007e3
    }

    /// Calcium that one unit brings, mg.
    pub fn calcium_mg(&self) -> f64 {
        self.moles[Component::Ca] * Component::Ca.molar_mass_g() * 1e3
    }

    /// Magnesium that one unit brings, mg.
    pub fn magnesium_mg(&self) -> f64 {
        self.moles[Component::Mg] * Component::Mg.molar_mass_g() * 1e3
    }
}
