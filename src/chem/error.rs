//! What can go wrong in a solve.

use super::Component;

/// Why the chemistry has no answer.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ChemError {
    /// Outside 0–40 °C, or not a number.
    #[error("temperature is {temperature_c} °C: the chemistry holds from 0 to 40 °C")]
    Temperature {
        /// What was asked for.
        temperature_c: f64,
    },
    /// A total that is negative, not finite or above 1 mol/kg.
    #[error("total of {} is {mol_per_kg} mol/kg: it must lie between 0 and 1", component.name())]
    Total {
        /// Which total.
        component: Component,
        /// Its value.
        mol_per_kg: f64,
    },
    /// A pH that is not a number between 0 and 14.
    #[error("pH is {ph}: it must lie between 0 and 14")]
    Ph {
        /// What was asked for.
        ph: f64,
    },
    /// A partial pressure of carbon dioxide that is not a finite number of at most 1 atm.
    #[error("log10 of carbon dioxide's partial pressure is {log10_pco2_atm}: it must be finite and at most 0")]
    PartialPressure {
        /// What was asked for.
        log10_pco2_atm: f64,
    },
    /// No amount of dissolved carbon dioxide gives this pH.
    #[error("no amount of carbon dioxide brings this water to pH {ph}: without any it stands at {ph_without:.2}")]
    NoSuchCarbon {
        /// What was asked for.
        ph: f64,
        /// The pH with no inorganic carbon.
        ph_without: f64,
    },
    /// More carbon dioxide than water holds under 1 atm of it.
    #[error(
        "pH {ph} would take more than 1 atm of carbon dioxide, under which this water stands at {ph_at_one_atm:.2}"
    )]
    TooMuchCarbon {
        /// What was asked for.
        ph: f64,
        /// The pH under 1 atm.
        ph_at_one_atm: f64,
    },
    /// The iteration did not settle.
    #[error("the solution did not settle within {iterations} iterations (largest imbalance {imbalance:.1e})")]
    NotSettled {
        /// How many were made.
        iterations: usize,
        /// Largest relative imbalance left.
        imbalance: f64,
    },
}
