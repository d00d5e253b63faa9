//! A solved solution.

use std::f64::consts::LN_10;

use super::species::{CO2_ROW, H, MASTERS, SPECIES, TABLE};
use super::{Component, Medium, Totals};

/// The species of a solution at one temperature, and what follows from them.
#[derive(Clone, Debug)]
pub struct Speciation {
    /// mol/kg of each species, 0 where a part of it is absent.
    pub(crate) molality: [f64; SPECIES],
    /// Natural logarithms of the master species' activities; -∞ where absent.
    pub(crate) ln_activity: [f64; MASTERS],
    pub(crate) ionic_strength: f64,
    pub(crate) ln_water_activity: f64,
    pub(crate) totals: Totals,
    pub(crate) iterations: usize,
}

impl Speciation {
    /// pH: minus log10 of the activity of H⁺.
    pub fn ph(&self) -> f64 {
        -self.ln_activity[H] / LN_10
    }

    /// Ionic strength, mol per kg of water.
    pub fn ionic_strength(&self) -> f64 {
        self.ionic_strength
    }

    /// The totals solved for; in balance with air, `C` is what the balance put there.
    pub fn totals(&self) -> &Totals {
        &self.totals
    }

    /// Total inorganic carbon, mol per kg of water.
    pub fn total_carbon(&self) -> f64 {
        self.totals[Component::C]
    }

    /// Dissolved carbon dioxide, with its carbonic acid, mol per kg of water.
    pub fn carbon_dioxide(&self) -> f64 {
        self.molality[CO2_ROW]
    }

    /// How many iterations the solve took.
    pub fn iterations(&self) -> usize {
        self.iterations
    }

    /// Molality of a species by its formula as in the table, mol/kg (`"HCO3-"`); `None` for an unknown name.
    pub fn molality_of(&self, formula: &str) -> Option<f64> {
        TABLE.iter().zip(self.molality).find(|(row, _)| row.name == formula).map(|(_, molality)| molality)
    }

    /// Volume of the solution per kg of water, L/kg, from water's density and the species' molar volumes.
    ///
    /// **Limitations** molar volumes at 25 °C and infinite dilution: good to 0.05 % in nutrient solutions.
    pub fn volume_l_per_kg(&self, medium: &Medium) -> f64 {
        let solutes_cm3: f64 = TABLE.iter().zip(self.molality).map(|(row, molality)| row.volume_cm3 * molality).sum();
        1.0 / medium.water_density_kg_l() + solutes_cm3 / 1e3
    }

    /// Largest relative imbalance of mass (by component) and of charge, worked out afresh from the species.
    ///
    /// Charge is relative to the sum of all charges; a component's mass to its total.
    pub fn imbalance(&self) -> f64 {
        let mut worst: f64 = 0.0;
        for (component, total) in self.totals.iter() {
            if total > 0.0 {
                let found: f64 = TABLE
                    .iter()
                    .zip(self.molality)
                    .flat_map(|(row, molality)| row.parts.iter().map(move |&(part, count)| (part, count, molality)))
                    .filter(|&(part, ..)| part == component.index())
                    .map(|(_, count, molality)| f64::from(count) * molality)
                    .sum();
                worst = worst.max((found / total - 1.0).abs());
            }
        }
        let (mut net, mut gross) = (0.0, 0.0);
        for (row, molality) in TABLE.iter().zip(self.molality) {
            net += f64::from(row.z) * molality;
            gross += f64::from(row.z).abs() * molality;
        }
        worst.max(net.abs() / gross)
    }
}
