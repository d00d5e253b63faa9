//! The constants of water and of every species at one temperature, worked out once and used for many solves.

use std::f64::consts::LN_10;
use std::sync::LazyLock;

use super::ChemError;
use super::conductivity::{Carrier, carriers};
use super::species::{Activity, LogK, SPECIES, TABLE};
use super::viscosity::{Thickener, thickeners};
use super::water::Water;

/// Gas constant, kJ/(mol·K), CODATA 2018.
pub(crate) const GAS_KJ: f64 = 8.314_462_6e-3;

/// Coefficients of `ln γ = slope √I/(1 + size √I) + linear I` for every species.
#[derive(Clone, Debug)]
pub(crate) struct ActivityTable {
    pub(crate) slope: [f64; SPECIES],
    pub(crate) size: [f64; SPECIES],
    pub(crate) linear: [f64; SPECIES],
}

/// Water and species at one temperature.
#[derive(Clone, Debug)]
pub struct Medium {
    temperature_c: f64,
    pub(crate) water: Water,
    /// Natural logarithms of the formation constants.
    pub(crate) ln_k: [f64; SPECIES],
    pub(crate) activity: ActivityTable,
    pub(crate) carriers: [Carrier; SPECIES],
    pub(crate) thickeners: Vec<Thickener>,
    /// Natural logarithm of Henry's constant of CO₂, mol/(kg·atm).
    pub(crate) ln_henry: f64,
}

impl Medium {
    /// The constants at a temperature.
    ///
    /// **Units** °C. **Valid range** 0–40 °C (checked against published values from 5 to 35 °C).
    ///
    /// # Errors
    /// [`ChemError::Temperature`] outside that range or when not a number.
    pub fn at(temperature_c: f64) -> Result<Self, ChemError> {
        if !(0.0..=40.0).contains(&temperature_c) {
            return Err(ChemError::Temperature { temperature_c });
        }
        Ok(Self::at_checked(temperature_c))
    }

    /// The constants at 25 °C, the temperature at which EC is reported.
    pub fn standard() -> &'static Self {
        static STANDARD: LazyLock<Medium> = LazyLock::new(|| Medium::at_checked(25.0));
        &STANDARD
    }

    fn at_checked(temperature_c: f64) -> Self {
        let water = Water::at(temperature_c);
        let temperature_k = water.temperature_k;
        let ln_k = ln_formation_constants(temperature_k);
        // CO2(g) = CO2(aq): phreeqc.dat, as the species table.
        let log_henry = 10.5624 - 2.3547e-2 * temperature_k - 3972.8 / temperature_k
            + 5.8746e5 / temperature_k.powi(2)
            + 1.9194e-5 * temperature_k.powi(2);
        Self {
            temperature_c,
            activity: activity_table(&water),
            carriers: carriers(&water),
            thickeners: thickeners(temperature_c),
            water,
            ln_k,
            ln_henry: log_henry * LN_10,
        }
    }

    /// The temperature these constants hold for, °C.
    pub fn temperature_c(&self) -> f64 {
        self.temperature_c
    }

    /// Density of pure water at this temperature, kg/L.
    pub fn water_density_kg_l(&self) -> f64 {
        self.water.density_kg_l
    }
}

/// log10 of an equilibrium constant by van 't Hoff's rule with a constant heat of reaction in kJ/mol.
pub(crate) fn van_t_hoff(log_k_25: f64, delta_h_kj: f64, temperature_k: f64) -> f64 {
    log_k_25 - delta_h_kj / (GAS_KJ * LN_10) * (1.0 / temperature_k - 1.0 / 298.15)
}

fn ln_formation_constants(temperature_k: f64) -> [f64; SPECIES] {
    let own = |row: usize| match TABLE[row].log_k {
        LogK::Identity => 0.0,
        LogK::VantHoff { log_k_25, delta_h_kj } => van_t_hoff(log_k_25, delta_h_kj, temperature_k),
        LogK::Analytic([a1, a2, a3, a4, a5, a6]) => {
            a1 + a2 * temperature_k
                + a3 / temperature_k
                + a4 * temperature_k.log10()
                + a5 / temperature_k.powi(2)
                + a6 * temperature_k.powi(2)
        }
    };
    // No row builds on one that builds on another: the table's test says so.
    std::array::from_fn(|row| LN_10 * (own(row) + TABLE[row].builds_on.map_or(0.0, own)))
}

fn activity_table(water: &Water) -> ActivityTable {
    let mut table = ActivityTable { slope: [0.0; SPECIES], size: [0.0; SPECIES], linear: [0.0; SPECIES] };
    for (row, species) in TABLE.iter().enumerate() {
        let slope = -LN_10 * water.dh_a * f64::from(species.z).powi(2);
        (table.slope[row], table.size[row], table.linear[row]) = match species.activity {
            Activity::Sized { a, b } => (slope, a * water.dh_b, LN_10 * b),
            Activity::Davies => (slope, 1.0, -0.3 * slope),
            Activity::Neutral { b } => (0.0, 0.0, LN_10 * b),
        };
    }
    table
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chem::species::{H, MASTERS, OH_ROW};

    #[test]
    fn the_table_hangs_together() {
        for (row, species) in TABLE.iter().enumerate() {
            assert_eq!(row < MASTERS, matches!(species.log_k, LogK::Identity), "{}", species.name);
            let charge: i32 =
                species.parts.iter().map(|&(master, count)| i32::from(TABLE[master].z) * i32::from(count)).sum();
            assert_eq!(charge, i32::from(species.z), "{} does not balance", species.name);
            if let Some(base) = species.builds_on {
                assert!(TABLE[base].builds_on.is_none(), "{} builds on a chain", species.name);
            }
        }
        assert_eq!(TABLE[H].name, "H+");
        assert_eq!(TABLE[OH_ROW].name, "OH-");
    }

    /// Water's ion product 13.995 and carbonic acid's pK 6.352 and 10.329 at 25 °C: Plummer & Busenberg, Geochim.
    /// Cosmochim. Acta 46, 1011 (1982), and phreeqc.dat.
    #[test]
    fn constants_at_25() {
        let medium = Medium::standard();
        let log_k = |name: &str| {
            let row = TABLE.iter().position(|species| species.name == name).unwrap();
            medium.ln_k[row] / LN_10
        };
        assert!((log_k("OH-") + 13.995).abs() < 0.005, "{}", log_k("OH-"));
        assert!((log_k("CO2") - log_k("HCO3-") - 6.352).abs() < 0.002);
        assert!((log_k("HCO3-") - 10.329).abs() < 0.002);
        assert!((medium.ln_henry / LN_10 + 1.468).abs() < 0.002);
    }
}
