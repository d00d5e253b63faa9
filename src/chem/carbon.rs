//! Dissolved carbon dioxide: kept in the water, in balance with air, or found from a pH.

use std::f64::consts::LN_10;

use super::species::CO2_ROW;
use super::{ChemError, Component, Medium, Speciation, Totals};

/// What happens to carbon dioxide in a solve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Carbon {
    /// None comes or goes: the total of inorganic carbon is as given.
    Kept,
    /// In balance with a partial pressure; the given total of inorganic carbon is disregarded.
    Balance {
        /// log10 of the partial pressure in atm; room air of 420 to 1,500 ppm is -3.38 to -2.82.
        log10_pco2_atm: f64,
    },
}

/// log10 of the partial pressure in atm at sea level of so many parts per million of carbon dioxide in air.
pub fn log10_pco2_from_ppm(ppm: f64) -> f64 {
    (ppm * 1e-6).log10()
}

/// The inorganic carbon, in mol per kg of water, with which these totals have this pH.
///
/// The `C` already in `totals` is disregarded. Each of two readings, pH and alkalinity, then fixes the carbon dioxide.
///
/// # Errors
/// [`ChemError::NoSuchCarbon`] where the pH lies above what the water has without any, [`ChemError::TooMuchCarbon`] where it
/// lies below what it has under 1 atm of it, and the errors of a solve.
pub fn carbon_for_ph(medium: &Medium, totals: &Totals, ph: f64) -> Result<f64, ChemError> {
    if !(0.0..=14.0).contains(&ph) {
        return Err(ChemError::Ph { ph });
    }
    let bare = medium.solve(&totals.with(Component::C, 0.0), Carbon::Kept)?;
    if ph > bare.ph() + 1e-9 {
        return Err(ChemError::NoSuchCarbon { ph, ph_without: bare.ph() });
    }
    let full = medium.solve(totals, Carbon::Balance { log10_pco2_atm: 0.0 })?;
    if ph < full.ph() {
        return Err(ChemError::TooMuchCarbon { ph, ph_at_one_atm: full.ph() });
    }
    // In balance with a partial pressure, the pH falls monotonically as the pressure rises, and smoothly: ten times the
    // pressure takes about one unit off. So find the pressure; its carbon is the answer.
    let (mut low, mut high) = (-12.0, 0.0);
    let mut state = bare;
    let mut guess = -3.4;
    for _ in 0..80 {
        state = medium.solve_from(&state, totals, Carbon::Balance { log10_pco2_atm: guess })?;
        let excess = state.ph() - ph;
        if excess.abs() < 1e-11 || high - low < 1e-13 {
            break;
        }
        if excess > 0.0 {
            low = guess;
        } else {
            high = guess;
        }
        let newton = guess + excess / slope_of_ph(medium, totals, guess, &state)?;
        guess = if newton > low && newton < high { newton } else { f64::midpoint(low, high) };
    }
    Ok(state.total_carbon())
}

/// Minus d pH / d log10 pCO₂, by a small forward difference; at least 0.01 so that a step stays finite.
fn slope_of_ph(medium: &Medium, totals: &Totals, at: f64, state: &Speciation) -> Result<f64, ChemError> {
    let step = -1e-4;
    let beside = medium.solve_from(state, totals, Carbon::Balance { log10_pco2_atm: at + step })?;
    Ok(((beside.ph() - state.ph()) / -step).max(0.01))
}

impl Medium {
    /// Natural logarithm of the activity of dissolved CO₂ under a partial pressure.
    pub(crate) fn ln_co2_activity(&self, log10_pco2_atm: f64) -> f64 {
        self.ln_henry + log10_pco2_atm * LN_10
    }
}

impl Speciation {
    /// log10 of the partial pressure in atm with which the dissolved carbon dioxide would be in balance; `None` without
    /// inorganic carbon.
    pub fn log10_pco2(&self, medium: &Medium) -> Option<f64> {
        let molality = self.molality[CO2_ROW];
        (molality > 0.0).then(|| {
            let ln_gamma = medium.activity.linear[CO2_ROW] * self.ionic_strength;
            (molality.ln() + ln_gamma - medium.ln_henry) / LN_10
        })
    }
}
