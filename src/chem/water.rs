//! Pure water at 1 atm: density, permittivity, viscosity and the Debye–Hückel slopes that follow from them.

/// 0 °C in kelvin.
pub(crate) const ZERO_CELSIUS_K: f64 = 273.15;

/// Viscosity of water at 25 °C, mPa·s. Source: IAPWS R12-08 (2008), 0.8900.
pub(crate) const VISCOSITY_25_MPA_S: f64 = 0.890_02;

/// Properties of pure water at one temperature.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Water {
    pub(crate) temperature_k: f64,
    /// kg/L
    pub(crate) density_kg_l: f64,
    /// Relative permittivity, dimensionless.
    pub(crate) permittivity: f64,
    /// mPa·s
    pub(crate) viscosity_mpa_s: f64,
    /// Debye–Hückel A, log10 basis, (mol/kg)^-1/2
    pub(crate) dh_a: f64,
    /// Debye–Hückel B, Å⁻¹ (mol/kg)^-1/2
    pub(crate) dh_b: f64,
    /// Debye–Hückel slope of molar volumes, cm³/mol (mol/kg)^-1/2
    pub(crate) dh_v: f64,
}

impl Water {
    /// **Valid range** 0–40 °C at 1 atm; the caller checks it.
    pub(crate) fn at(temperature_c: f64) -> Self {
        let temperature_k = temperature_c + ZERO_CELSIUS_K;
        let density_kg_l = density_kg_l(temperature_c);
        let (permittivity, permittivity_slope_per_bar) = permittivity(temperature_k);
        // e²/(ε k T) in cm, from e = 4.803204e-10 esu and k = 1.38065e-16 erg/K (CODATA).
        let bjerrum_cm = 1.671_008e-3 / (permittivity * temperature_k);
        let kappa_per_cm = (8.0 * std::f64::consts::PI * 6.022_52e23 * bjerrum_cm * density_kg_l / 1e3).sqrt();
        // Isothermal compressibility of water, 4.58e-5 per atm at 25 °C (Kell 1975); its change over 0–40 °C moves the
        // volume slope by less than 2 %, and that slope enters only a small correction.
        let compressibility_per_atm = 4.58e-5;
        let gas_constant_cm3_atm = 82.0597; // cm³·atm/(mol·K)
        let dh_v = kappa_per_cm
            * bjerrum_cm
            * gas_constant_cm3_atm
            * temperature_k
            * (permittivity_slope_per_bar * 1.01325 / permittivity - compressibility_per_atm / 3.0);
        Self {
            temperature_k,
            density_kg_l,
            permittivity,
            viscosity_mpa_s: viscosity_mpa_s(temperature_k),
            dh_a: kappa_per_cm * bjerrum_cm / (2.0 * std::f64::consts::LN_10),
            dh_b: kappa_per_cm / 1e8,
            dh_v,
        }
    }
}

/// Density of air-free water at 1 atm, kg/L, for 0–40 °C. Source: Kell, J. Chem. Eng. Data 20, 97 (1975).
fn density_kg_l(t: f64) -> f64 {
    let numerator = 999.839_52
        + t * (16.945_176 + t * (-7.987_040_1e-3 + t * (-46.170_461e-6 + t * (105.563_02e-9 - t * 280.542_53e-12))));
    numerator / (1.0 + 16.879_850e-3 * t) / 1e3
}

/// Relative permittivity of water at 1 atm and its slope with pressure per bar.
/// Source: Bradley & Pitzer, J. Phys. Chem. 83, 1599 (1979).
fn permittivity(temperature_k: f64) -> (f64, f64) {
    const PRESSURE_BAR: f64 = 1.013_25;
    let at_1000_bar = 3.4279e2 * (temperature_k * (-5.0866e-3 + temperature_k * 9.469e-7)).exp();
    let c = -2.0525 + 3.1159e3 / (temperature_k - 1.8289e2);
    let b = -8.0325e3 + 4.2142e6 / temperature_k + 2.1417 * temperature_k;
    (at_1000_bar + c * ((b + PRESSURE_BAR) / (b + 1e3)).ln(), c / (b + PRESSURE_BAR))
}

/// Viscosity of water at 0.1 MPa, mPa·s. Source: Pátek et al., J. Phys. Chem. Ref. Data 38, 21 (2009), the equation
/// that IAPWS recommends at ambient pressure.
fn viscosity_mpa_s(temperature_k: f64) -> f64 {
    let reduced = temperature_k / 300.0;
    (280.68 * reduced.powf(-1.9)
        + 511.45 * reduced.powf(-7.7)
        + 61.131 * reduced.powf(-19.6)
        + 0.45903 * reduced.powf(-40.0))
        / 1e3
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Kell (1975) and IAPWS values at 1 atm, from memory; Robinson & Stokes give A = 0.509 and B = 0.329 at 25 °C.
    #[test]
    fn pure_water_matches_tables() {
        for (t, density, viscosity) in [(5.0, 0.99997, 1.5182), (20.0, 0.99821, 1.0016), (25.0, 0.99705, 0.8900)] {
            let water = Water::at(t);
            assert!((water.density_kg_l - density).abs() < 1e-5, "{t} °C density {}", water.density_kg_l);
            assert!((water.viscosity_mpa_s / viscosity - 1.0).abs() < 1e-3, "{t} °C {}", water.viscosity_mpa_s);
        }
        let water = Water::at(25.0);
        assert!((water.permittivity - 78.38).abs() < 0.02);
        assert!((water.dh_a - 0.5100).abs() < 1e-3, "A {}", water.dh_a);
        assert!((water.dh_b - 0.3288).abs() < 5e-4, "B {}", water.dh_b);
        assert!((water.dh_v - 1.87).abs() < 0.06, "volume slope {}", water.dh_v);
    }
}
