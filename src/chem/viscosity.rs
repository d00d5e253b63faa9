//! Viscosity of a solution relative to water: a modified Jones–Dole equation.
//!
//! Source: Appelo & Parkhurst, as documented at the end of `phreeqc.dat` (IPhreeqc 3.8.6):
//! `η/η0 = 1 + A √c + fan Σ (B m + D m n)` with `B = b0 + b1 exp(-b2 t)`, `D = d1 exp(-d2 t)` and Falkenhagen's A. It
//! enters only as a small correction of conductivity: 0.2 % in a nutrient solution, 2 % at 15 mS/cm.

use super::species::{SPECIES, TABLE};
use super::{Medium, Speciation};

/// Molar volume of chloride at 25 °C, cm³/mol: the reference of the anions' size factor.
const CHLORIDE_CM3: f64 = 18.04;
/// A molality below this adds nothing that could be seen.
const LEAST: f64 = 1e-7;

/// One species' part in the equation at one temperature.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Thickener {
    row: usize,
    b: f64,
    d: f64,
    power: f64,
    /// Weight of its molar volume in the anions' mean, cm³/mol; `None` if it does not count there.
    anion_cm3: Option<f64>,
}

pub(crate) fn thickeners(temperature_c: f64) -> Vec<Thickener> {
    (0..SPECIES)
        .filter_map(|row| {
            let [b0, b1, b2, d1, d2, power, size] = TABLE[row].viscosity?;
            Some(Thickener {
                row,
                b: b0 + b1 * (-b2 * temperature_c).exp(),
                d: d1 * (-d2 * temperature_c).exp(),
                power,
                anion_cm3: (TABLE[row].z <= 0 && size != 0.0).then_some(size * TABLE[row].volume_cm3),
            })
        })
        .collect()
}

impl Speciation {
    /// Viscosity over that of water. `falkenhagen` is the first term, which needs the ions' mobilities.
    pub(crate) fn relative_viscosity(&self, medium: &Medium, falkenhagen: f64) -> f64 {
        let strength = self.ionic_strength;
        let (mut specific, mut curved, mut anion_cm3, mut anions) = (0.0, 0.0, 0.0, 0.0);
        for thickener in &medium.thickeners {
            let m = self.molality[thickener.row];
            if m < LEAST {
                continue;
            }
            specific += thickener.b * m;
            if let Some(cm3) = thickener.anion_cm3 {
                anion_cm3 += cm3 * m;
                anions += m;
            }
            if thickener.d != 0.0 {
                let z = f64::from(TABLE[thickener.row].z).abs();
                let own = if z > 0.0 { m * (z * z + z) / 2.0 } else { strength };
                let power = thickener.power;
                let blend = match power {
                    p if p >= 1.0 => strength / 3.0 / p,
                    p if p > 0.4 => -0.8 / p,
                    _ => -1.0,
                };
                let term = thickener.d * m * (strength.powf(power) * (1.0 + blend) + own.powf(power)) / (2.0 + blend);
                curved += if term < -1e-5 { 0.0 } else { term };
            }
        }
        let size_factor = if anions > 0.0 { 2.0 - anion_cm3 / anions / CHLORIDE_CM3 } else { 1.0 };
        1.0 + falkenhagen + size_factor * (specific + curved.max(0.0))
    }
}
