//! The water in the tank as the chemistry knows it.

use crate::chem::{Carbon, ChemError, Component, Medium, Speciation, Totals};

/// Ion totals and how much water carries them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tank {
    /// mol per kg of water.
    pub totals: Totals,
    /// Water, kg.
    pub water_kg: f64,
}

impl Tank {
    /// A tank of so many litres of a water with these totals.
    ///
    /// **Units** litres of solution, mol per kg of water. The solutes' own volume is neglected here: 0.1 % in a feed.
    pub fn of_volume(totals: Totals, volume_l: f64, medium: &Medium) -> Self {
        Self { totals, water_kg: volume_l * medium.water_density_kg_l() }
    }

    /// The tank after `amount` of something that brings `moles` and `water_g` per unit is mixed in.
    #[must_use]
    pub fn with(&self, moles: &Totals, water_g: f64, amount: f64) -> Self {
        let water_kg = self.water_kg + water_g * amount / 1e3;
        let totals = self.totals.scaled(self.water_kg / water_kg).plus_scaled(moles, amount / water_kg);
        Self { totals, water_kg }
    }

    /// The tank after a part of the solution, as a share of 0 to 1, is taken out.
    #[must_use]
    pub fn drained(&self, share: f64) -> Self {
        Self { totals: self.totals, water_kg: self.water_kg * (1.0 - share.clamp(0.0, 1.0)) }
    }

    /// The tank mixed with another water.
    #[must_use]
    pub fn mixed(&self, other: &Self) -> Self {
        let water_kg = self.water_kg + other.water_kg;
        let totals = self.totals.scaled(self.water_kg / water_kg).plus_scaled(&other.totals, other.water_kg / water_kg);
        Self { totals, water_kg }
    }

    /// Alkalinity, meq per kg of water.
    pub fn alkalinity_meq_kg(&self) -> f64 {
        self.totals.alkalinity() * 1e3
    }

    /// Solved with its carbon dioxide kept.
    ///
    /// # Errors
    /// Those of [`Medium::solve`].
    pub fn solve(&self, medium: &Medium) -> Result<Speciation, ChemError> {
        medium.solve(&self.totals, Carbon::Kept)
    }

    /// The tank some hours later: carbon dioxide has moved towards balance with a partial pressure, by first order.
    ///
    /// **Units** `per_hour` of the exchange, `hours` since. Infinite hours give the balance itself.
    ///
    /// # Errors
    /// Those of [`Medium::solve`].
    pub fn breathed(&self, medium: &Medium, log10_pco2_atm: f64, per_hour: f64, hours: f64) -> Result<Self, ChemError> {
        let balance = medium.solve(&self.totals, Carbon::Balance { log10_pco2_atm })?;
        let left = (-per_hour * hours).exp();
        let carbon = balance.total_carbon() + (self.totals[Component::C] - balance.total_carbon()) * left;
        Ok(Self { totals: self.totals.with(Component::C, carbon.max(0.0)), water_kg: self.water_kg })
    }
}
