//! The species table: one row a species, flat, with its own source.
//!
//! Source of all rows but those of citrate: `phreeqc.dat` as shipped with IPhreeqc 3.8.6 (file of 22 May 2024), US public
//! domain; Parkhurst & Appelo (2013), USGS Techniques and Methods 6-A43. Citrate: log K and heats of minteq.v4 (NIST 46.2);
//! its ion sizes and mobilities are estimates from limiting conductances (from memory). Where a row of the source has no
//! mobility, ours is an [`Conductance::Estimate`] with its reasoning beside it.

use super::component::COMPONENTS;

/// How many species the model has.
pub(crate) const SPECIES: usize = 60;
/// Place of H⁺ among the master species; the others stand in the order of `Component::ALL`.
pub(crate) const H: usize = COMPONENTS;
/// How many master species there are.
pub(crate) const MASTERS: usize = COMPONENTS + 1;
/// Row of OH⁻.
pub(crate) const OH_ROW: usize = 14;
/// Row of dissolved CO₂.
pub(crate) const CO2_ROW: usize = 16;

/// Formation constant of a species from its master species, log10.
#[derive(Clone, Copy, Debug)]
pub(crate) enum LogK {
    /// A master species.
    Identity,
    /// `A1 + A2 T + A3/T + A4 log10 T + A5/T² + A6 T²`, T in K.
    Analytic([f64; 6]),
    /// Value at 25 °C and heat of reaction in kJ/mol.
    VantHoff { log_k_25: f64, delta_h_kj: f64 },
}

/// Activity model of a species.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Activity {
    /// Truesdell & Jones (1974): `log γ = -A z² √I/(1 + a B √I) + b I`, a in Å, b in kg/mol.
    Sized { a: f64, b: f64 },
    /// Davies (1962) with 0.3: `log γ = -A z² (√I/(1 + √I) - 0.3 I)`.
    Davies,
    /// `log γ = b I`, b in kg/mol.
    Neutral { b: f64 },
}

/// How an ion carries current: the Debye–Hückel–Onsager parameters of Appelo (2017), Cem. Concr. Res. 101, 102.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Mobility {
    /// Diffusion coefficient at 25 °C, m²/s.
    pub(crate) d: f64,
    /// Temperature coefficient, K: `D(T) = D25 exp(t/T - t/298.15) η25/η(T)`.
    pub(crate) t: f64,
    /// Ion size, Å; 3.5 where the source gives none.
    pub(crate) a: f64,
    /// Exponent of the ion-size correction; 0 for none.
    pub(crate) a2: f64,
    /// Exponent of η0/η.
    pub(crate) visc: f64,
    /// `[bAv, i1, i2, i3, i4]` of the molar volume's growth with ionic strength, for the ion-size correction.
    pub(crate) growth: Option<[f64; 5]>,
}

/// Whether and how well a species' mobility is known.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Conductance {
    /// In the source.
    Table(Mobility),
    /// Not in the source: our estimate of the diffusion coefficient at 25 °C, m²/s.
    Estimate { d: f64 },
    /// Carries no current.
    Neutral,
}

/// One species.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Row {
    pub(crate) name: &'static str,
    pub(crate) z: i8,
    /// Master species (by index) and how many of each.
    pub(crate) parts: &'static [(usize, i8)],
    /// Water molecules taken up in the formation reaction.
    pub(crate) water: i8,
    /// A species whose formation constant is to be added, where the source builds on it.
    pub(crate) builds_on: Option<usize>,
    pub(crate) log_k: LogK,
    pub(crate) activity: Activity,
    pub(crate) conductance: Conductance,
    /// `[b0, b1, b2, d1, d2, d3, size]` of the Jones–Dole equation, t in °C; `None` where the source has none.
    pub(crate) viscosity: Option<[f64; 7]>,
    /// Molar volume at infinite dilution and 25 °C, cm³/mol, from the source's volume parameters.
    pub(crate) volume_cm3: f64,
}

use Activity::{Davies, Neutral as NeutralActivity, Sized};
use Conductance::{Estimate, Neutral, Table};
use LogK::{Analytic, Identity, VantHoff};

#[expect(clippy::too_many_arguments, reason = "a row of the table, in the order of its columns")]
const fn row(
    name: &'static str,
    z: i8,
    parts: &'static [(usize, i8)],
    water: i8,
    builds_on: Option<usize>,
    log_k: LogK,
    activity: Activity,
    conductance: Conductance,
    viscosity: Option<[f64; 7]>,
    volume_cm3: f64,
) -> Row {
    Row { name, z, parts, water, builds_on, log_k, activity, conductance, viscosity, volume_cm3 }
}

#[expect(clippy::approx_constant, reason = "a fitted coefficient that happens to lie near 1/π")]
/// Name, charge, parts, water, builds on, log K, activity, mobility, viscosity, molar volume.
#[rustfmt::skip]
pub(crate) static TABLE: [Row; SPECIES] = [
    row("Ca+2", 2, &[(0, 1)], 0, None, Identity, Sized { a: 5.0, b: 0.165 }, Table(Mobility { d: 7.92e-10, t: 34.0, a: 5.411, a2: 0.0, visc: 1.046, growth: None }), Some([0.359, -0.158, 0.042, 0.0015, 0.00804, 2.3, 0.0]), -18.26),
    row("Mg+2", 2, &[(1, 1)], 0, None, Identity, Sized { a: 5.5, b: 0.2 }, Table(Mobility { d: 7.05e-10, t: -4.0, a: 5.569, a2: 0.0, visc: 1.047, growth: None }), Some([0.426, 0.0, 0.0, 0.00166, 0.00432, 2.461, 0.0]), -21.94),
    row("Na+", 1, &[(2, 1)], 0, None, Identity, Sized { a: 4.08, b: 0.082 }, Table(Mobility { d: 1.33e-09, t: 75.0, a: 3.627, a2: 0.0, visc: 0.7037, growth: None }), Some([0.1387, -0.0866, 0.0125, 0.0145, 0.0075, 1.062, 0.0]), -1.52),
    row("K+", 1, &[(3, 1)], 0, None, Identity, Sized { a: 3.5, b: 0.015 }, Table(Mobility { d: 1.96e-09, t: 254.0, a: 3.484, a2: 0.0, visc: 0.1964, growth: None }), Some([0.116, -0.191, 0.0152, 0.014, 0.0259, 0.9028, 0.0]), 8.98),
    row("NH4+", 1, &[(4, 1)], 0, None, Identity, Sized { a: 2.5, b: 0.0 }, Table(Mobility { d: 1.98e-09, t: 203.0, a: 1.47, a2: 2.644, visc: 0.0681, growth: Some([2.5, -4.54, 217.0, 0.02344, 0.569]) }), Some([0.099, -0.159, 0.0136, 0.00651, 0.0321, 0.972, 0.0]), 17.86),
    row("NO3-", -1, &[(5, 1)], 0, None, Identity, Sized { a: 3.0, b: 0.0 }, Table(Mobility { d: 1.9e-09, t: 104.0, a: 1.11, a2: 0.0, visc: 0.0, growth: None }), Some([0.0837, -0.458, 0.0154, 0.34, 0.0179, 0.0502, 0.7381]), 29.46),
    row("Cl-", -1, &[(6, 1)], 0, None, Identity, Sized { a: 3.63, b: 0.017 }, Table(Mobility { d: 2.033e-09, t: 216.0, a: 3.16, a2: 0.2071, visc: 0.7432, growth: Some([0.0, -0.331, 20.16, 0.0, 1.0]) }), Some([0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 1.0]), 18.04),
    row("SO4-2", -2, &[(7, 1)], 0, None, Identity, Sized { a: 5.0, b: -0.04 }, Table(Mobility { d: 1.07e-09, t: -114.0, a: 17.0, a2: 0.0602, visc: 0.0494, growth: Some([0.0, 42.99, -541.0, -0.145, 0.45]) }), Some([-0.3, 0.501, 0.00257, 0.195, 0.0314, 2.015, 0.605]), 14.35),
    row("PO4-3", -3, &[(8, 1)], 0, None, Identity, Sized { a: 4.0, b: 0.0 }, Table(Mobility { d: 6.12e-10, t: 0.0, a: 3.5, a2: 0.0, visc: 0.0, growth: None }), None, -23.51),
    row("CO3-2", -2, &[(9, 1)], 0, None, Identity, Sized { a: 5.4, b: 0.0 }, Table(Mobility { d: 9.55e-10, t: -103.0, a: 2.246, a2: 0.0713, visc: 0.3686, growth: Some([0.0, 0.169, 101.0, -0.0138, 0.9316]) }), Some([-0.5, 0.6521, 0.00544, 0.00106, -0.0218, 1.208, -2.147]), -4.05),
    row("H4SiO4", 0, &[(10, 1)], 0, None, Identity, NeutralActivity { b: 0.1 }, Neutral, None, 52.08),
    row("H3BO3", 0, &[(11, 1)], 0, None, Identity, NeutralActivity { b: 0.1 }, Neutral, None, 39.23),
    row("Citrate-3", -3, &[(12, 1)], 0, None, Identity, Sized { a: 5.0, b: 0.0 }, Table(Mobility { d: 6.23e-10, t: 0.0, a: 3.5, a2: 0.0, visc: 0.0, growth: None }), None, 0.00),
    row("H+", 1, &[(13, 1)], 0, None, Identity, Sized { a: 9.0, b: 0.0 }, Table(Mobility { d: 9.31e-09, t: 838.0, a: 6.96, a2: -2.285, visc: 0.206, growth: None }), Some([0.0935, -0.0831, 0.02487, 0.000449, 0.0201, 1.57, 0.0]), 0.00),
    row("OH-", -1, &[(13, -1)], 1, None, Analytic([293.29227, 0.1360833, -10576.913, -123.73158, 0.0, -6.996455e-05]), Sized { a: 3.5, b: 0.0 }, Table(Mobility { d: 5.27e-09, t: 478.0, a: 0.8695, a2: 0.0, visc: 0.0, growth: None }), Some([-0.0226, 0.106, 0.02184, -0.0032, 0.0, 0.4082, -1.634]), -4.14),
    row("HCO3-", -1, &[(9, 1), (13, 1)], 0, None, Analytic([107.8871, 0.03252849, -5151.79, -38.92561, 563713.9, 0.0]), Sized { a: 5.4, b: 0.0 }, Table(Mobility { d: 1.18e-09, t: -190.0, a: 11.386, a2: 0.0, visc: 0.0, growth: None }), Some([-0.6, 1.366, -0.01216, 0.0, 0.03139, -1.135, 1.253]), 24.55),
    row("CO2", 0, &[(9, 1), (13, 2)], -1, None, Analytic([464.1965, 0.09344813, -26986.16, -165.75951, 2248628.9, 0.0]), NeutralActivity { b: 0.066 }, Neutral, Some([0.0068, 0.0903, 0.0327, 0.0, 0.0, 0.0, 0.18]), 34.43),
    row("HSO4-", -1, &[(7, 1), (13, 1)], 0, None, Analytic([-56.889, 0.006473, 2307.9, 19.8858, 0.0, 0.0]), Davies, Table(Mobility { d: 1.22e-09, t: 1000.0, a: 15.0, a2: 2.861, visc: 0.0, growth: Some([0.0, -0.3, 15.0, 0.0, 1.0]) }), Some([0.5, -0.0697, 0.0607, 1e-05, -0.1333, 0.4865, 0.7987]), 40.25),
    row("NH3", 0, &[(4, 1), (13, -1)], 0, None, Analytic([0.6322, -0.001225, -2835.76, 0.0, 0.0, 0.0]), NeutralActivity { b: 0.1 }, Neutral, Some([0.08, 0.0, 0.0, 0.00782, -0.134, -0.986, 0.0]), 24.42),
    row("NH4SO4-", -1, &[(4, 1), (7, 1)], 0, None, VantHoff { log_k_25: 1.211, delta_h_kj: 8.56 }, Sized { a: 2.08, b: -0.0416 }, Table(Mobility { d: 9e-10, t: 100.0, a: 2.1, a2: 2.0, visc: 0.0, growth: Some([0.0, 87.62, 0.0, -0.3123, 0.1172]) }), Some([0.0, 0.116, -0.0086, 0.159, -0.0093, 0.522, 0.627]), -36.56),
    row("H2BO3-", -1, &[(11, 1), (13, -1)], 0, None, VantHoff { log_k_25: -9.24, delta_h_kj: 13.489216 }, Davies, Estimate { d: 9.5e-10 }, None, 0.00), // mobility: close to its acid, H3BO3 1.1e-9, less a tenth for the charge
    row("HPO4-2", -2, &[(8, 1), (13, 1)], 0, None, VantHoff { log_k_25: 12.346, delta_h_kj: -14.76952 }, Sized { a: 5.0, b: 0.0 }, Table(Mobility { d: 6.9e-10, t: 0.0, a: 3.5, a2: 0.0, visc: 0.0, growth: None }), None, 6.59),
    row("H2PO4-", -1, &[(8, 1), (13, 2)], 0, None, VantHoff { log_k_25: 19.553, delta_h_kj: -18.91168 }, Sized { a: 5.4, b: 0.0 }, Table(Mobility { d: 8.46e-10, t: 0.0, a: 3.5, a2: 0.0, visc: 0.0, growth: None }), None, 33.18),
    row("H3PO4", 0, &[(8, 1), (13, 3)], 0, None, VantHoff { log_k_25: 21.721, delta_h_kj: -10.1 }, NeutralActivity { b: 0.1 }, Neutral, None, 47.41),
    row("CaOH+", 1, &[(0, 1), (13, -1)], 1, None, VantHoff { log_k_25: -12.78, delta_h_kj: 0.0 }, Davies, Estimate { d: 7e-10 }, None, 0.00), // mobility: a little under Ca+2
    row("CaCO3", 0, &[(0, 1), (9, 1)], 0, None, Analytic([-1228.732, -0.29944, 35512.75, 485.818, 0.0, 0.0]), NeutralActivity { b: 0.1 }, Neutral, None, -14.60),
    row("CaHCO3+", 1, &[(0, 1), (9, 1), (13, 1)], 0, None, Analytic([-6.009, 0.03377, 2044.0, 0.0, 0.0, 0.0]), Sized { a: 6.0, b: 0.0 }, Table(Mobility { d: 5.06e-10, t: 0.0, a: 3.5, a2: 0.0, visc: 0.0, growth: None }), None, 122.61),
    row("CaSO4", 0, &[(0, 1), (7, 1)], 0, None, VantHoff { log_k_25: 2.25, delta_h_kj: 5.5438 }, NeutralActivity { b: 0.1 }, Neutral, None, 7.50),
    row("CaHSO4+", 1, &[(0, 1), (7, 1), (13, 1)], 0, Some(17), VantHoff { log_k_25: 1.08, delta_h_kj: 0.0 }, Davies, Estimate { d: 5e-10 }, None, 0.00), // mobility: as CaHCO3+
    row("CaPO4-", -1, &[(0, 1), (8, 1)], 0, None, VantHoff { log_k_25: 6.459, delta_h_kj: 12.970400000000001 }, Sized { a: 5.4, b: 0.0 }, Estimate { d: 5e-10 }, None, 0.00), // mobility: as CaHCO3+
    row("CaHPO4", 0, &[(0, 1), (8, 1), (13, 1)], 0, Some(21), VantHoff { log_k_25: 2.739, delta_h_kj: 13.8072 }, NeutralActivity { b: 0.1 }, Neutral, None, 0.00),
    row("CaH2PO4+", 1, &[(0, 1), (8, 1), (13, 2)], 0, Some(22), VantHoff { log_k_25: 1.408, delta_h_kj: 14.2256 }, Sized { a: 5.4, b: 0.0 }, Estimate { d: 5e-10 }, None, 0.00), // mobility: as CaHCO3+
    row("MgOH+", 1, &[(1, 1), (13, -1)], 1, None, VantHoff { log_k_25: -11.44, delta_h_kj: 66.743168 }, Sized { a: 6.5, b: 0.0 }, Estimate { d: 6.5e-10 }, None, 0.00), // mobility: a little under Mg+2
    row("MgCO3", 0, &[(1, 1), (9, 1)], 0, None, Analytic([0.991, 0.00667, 0.0, 0.0, 0.0, 0.0]), NeutralActivity { b: 0.1 }, Neutral, None, -17.09),
    row("MgHCO3+", 1, &[(1, 1), (9, 1), (13, 1)], 0, None, Analytic([48.6721, 0.03252849, -2614.335, -18.00263, 563713.9, 0.0]), Sized { a: 4.0, b: 0.0 }, Table(Mobility { d: 4.78e-10, t: 0.0, a: 3.5, a2: 0.0, visc: 0.0, growth: None }), None, 5.45),
    row("MgSO4", 0, &[(1, 1), (7, 1)], 0, None, Analytic([0.0, 0.00964, -136.0, 0.0, 0.0, 0.0]), NeutralActivity { b: 0.2 }, Neutral, Some([0.318, -0.00054, -0.0342, 0.708, 0.0037, 0.696, 0.0]), -7.92),
    row("Mg(SO4)2-2", -2, &[(1, 1), (7, 2)], 0, Some(35), Analytic([0.0, -0.00151, 0.0, 0.0, 86040.0, 0.0]), Sized { a: 7.0, b: 0.047 }, Table(Mobility { d: 8.45e-10, t: -200.0, a: 8.0, a2: 0.0, visc: 0.965, growth: None }), Some([-0.169, 0.0005, -0.0569, 0.11, 0.00203, 2.027, -0.001]), -128.49),
    row("MgPO4-", -1, &[(1, 1), (8, 1)], 0, None, VantHoff { log_k_25: 6.589, delta_h_kj: 12.970400000000001 }, Sized { a: 5.4, b: 0.0 }, Estimate { d: 4.8e-10 }, None, 0.00), // mobility: as MgHCO3+
    row("MgHPO4", 0, &[(1, 1), (8, 1), (13, 1)], 0, Some(21), VantHoff { log_k_25: 2.87, delta_h_kj: 13.8072 }, NeutralActivity { b: 0.1 }, Neutral, None, 0.00),
    row("MgH2PO4+", 1, &[(1, 1), (8, 1), (13, 2)], 0, Some(22), VantHoff { log_k_25: 1.513, delta_h_kj: 14.2256 }, Sized { a: 5.4, b: 0.0 }, Estimate { d: 4.8e-10 }, None, 0.00), // mobility: as MgHCO3+
    row("NaHCO3", 0, &[(2, 1), (9, 1), (13, 1)], 0, Some(15), VantHoff { log_k_25: -0.06, delta_h_kj: 21.0 }, NeutralActivity { b: 0.2 }, Neutral, Some([-0.04, -2.717, 1.67e-05, 0.0, 0.0, 0.0, 0.0]), 31.73),
    row("NaSO4-", -1, &[(2, 1), (7, 1)], 0, None, Analytic([255.903, 0.10057, 0.0, -111.138, -859830.0, 0.0]), Sized { a: 5.5, b: 0.0 }, Table(Mobility { d: 1.13e-09, t: -23.0, a: 8.5, a2: 0.392, visc: 0.521, growth: Some([5.0, 32.38, 501.0, 0.01565, 0.2325]) }), Some([0.2, -0.0593, -0.0004, 0.00846, 0.00178, 2.308, -0.208]), -29.13),
    row("NaHPO4-", -1, &[(2, 1), (8, 1), (13, 1)], 0, Some(21), VantHoff { log_k_25: 0.29, delta_h_kj: 0.0 }, Sized { a: 5.4, b: 0.0 }, Estimate { d: 6.5e-10 }, None, 33.39), // mobility: a little under HPO4-2
    row("KHCO3", 0, &[(3, 1), (9, 1), (13, 1)], 0, Some(15), VantHoff { log_k_25: -0.35, delta_h_kj: 12.0 }, NeutralActivity { b: 0.0094 }, Neutral, Some([0.7, -1.289, 0.09, 0.0, 0.0, 0.0, 0.0]), 41.03),
    row("KSO4-", -1, &[(3, 1), (7, 1)], 0, None, Analytic([-3.0246, 0.009986, 0.0, 0.0, 109300.0, 0.0]), Sized { a: 5.4, b: 0.19 }, Table(Mobility { d: 9e-10, t: 63.0, a: 8.48, a2: 0.0, visc: 1.8, growth: None }), Some([-1.0, 1.06, 0.0001, -0.464, 0.0378, 0.539, -0.69]), 14.11),
    row("KHPO4-", -1, &[(3, 1), (8, 1), (13, 1)], 0, Some(21), VantHoff { log_k_25: 0.29, delta_h_kj: 0.0 }, Sized { a: 5.4, b: 0.0 }, Estimate { d: 6.5e-10 }, None, 38.08), // mobility: a little under HPO4-2
    row("H3SiO4-", -1, &[(10, 1), (13, -1)], 0, None, Analytic([-302.3724, -0.050698, 15669.69, 108.18466, -1119669.0, 0.0]), Sized { a: 4.0, b: 0.0 }, Estimate { d: 9.5e-10 }, None, 27.94), // mobility: close to its acid, H4SiO4 1.1e-9, less a tenth for the charge
    row("H2SiO4-2", -2, &[(10, 1), (13, -2)], 0, None, Analytic([-294.0184, -0.07265, 11204.49, 108.18466, -1119669.0, 0.0]), Sized { a: 5.4, b: 0.0 }, Estimate { d: 9e-10 }, None, 0.00), // mobility: as H3SiO4-
    row("HCl", 0, &[(6, 1), (13, 1)], 0, None, Analytic([0.334, -0.002684, 1.015, 0.0, 0.0, 0.0]), NeutralActivity { b: 0.4256 }, Neutral, Some([0.921, -0.765, 0.00832, 0.000825, 0.00253, 4.223, 0.0]), 0.00),
    row("HCitrate-2", -2, &[(12, 1), (13, 1)], 0, None, VantHoff { log_k_25: 6.396, delta_h_kj: 3.3472 }, Sized { a: 4.5, b: 0.0 }, Table(Mobility { d: 6.6e-10, t: 0.0, a: 3.5, a2: 0.0, visc: 0.0, growth: None }), None, 0.00),
    row("H2Citrate-", -1, &[(12, 1), (13, 2)], 0, None, VantHoff { log_k_25: 11.157, delta_h_kj: 1.297 }, Sized { a: 3.5, b: 0.0 }, Table(Mobility { d: 8e-10, t: 0.0, a: 3.5, a2: 0.0, visc: 0.0, growth: None }), None, 0.00),
    row("H3Citrate", 0, &[(12, 1), (13, 3)], 0, None, VantHoff { log_k_25: 14.285, delta_h_kj: -2.7614 }, NeutralActivity { b: 0.1 }, Neutral, None, 0.00),
    row("CaCitrate-", -1, &[(0, 1), (12, 1)], 0, None, VantHoff { log_k_25: 4.87, delta_h_kj: -8.368 }, Sized { a: 4.5, b: 0.0 }, Table(Mobility { d: 6e-10, t: 0.0, a: 3.5, a2: 0.0, visc: 0.0, growth: None }), None, 0.00),
    row("CaHCitrate", 0, &[(0, 1), (12, 1), (13, 1)], 0, None, VantHoff { log_k_25: 9.26, delta_h_kj: -0.8368 }, NeutralActivity { b: 0.1 }, Neutral, None, 0.00),
    row("CaH2Citrate+", 1, &[(0, 1), (12, 1), (13, 2)], 0, None, VantHoff { log_k_25: 12.257, delta_h_kj: 0.0 }, Sized { a: 4.5, b: 0.0 }, Table(Mobility { d: 6e-10, t: 0.0, a: 3.5, a2: 0.0, visc: 0.0, growth: None }), None, 0.00),
    row("MgCitrate-", -1, &[(1, 1), (12, 1)], 0, None, VantHoff { log_k_25: 4.89, delta_h_kj: 8.368 }, Sized { a: 4.5, b: 0.0 }, Table(Mobility { d: 6e-10, t: 0.0, a: 3.5, a2: 0.0, visc: 0.0, growth: None }), None, 0.00),
    row("MgHCitrate", 0, &[(1, 1), (12, 1), (13, 1)], 0, None, VantHoff { log_k_25: 8.91, delta_h_kj: 3.3472 }, NeutralActivity { b: 0.1 }, Neutral, None, 0.00),
    row("MgH2Citrate+", 1, &[(1, 1), (12, 1), (13, 2)], 0, None, VantHoff { log_k_25: 12.2, delta_h_kj: 0.0 }, Sized { a: 4.5, b: 0.0 }, Table(Mobility { d: 6e-10, t: 0.0, a: 3.5, a2: 0.0, visc: 0.0, growth: None }), None, 0.00),
    row("NaCitrate-2", -2, &[(2, 1), (12, 1)], 0, None, VantHoff { log_k_25: 1.03, delta_h_kj: -2.8033 }, Sized { a: 4.5, b: 0.0 }, Table(Mobility { d: 6e-10, t: 0.0, a: 3.5, a2: 0.0, visc: 0.0, growth: None }), None, 0.00),
    row("KCitrate-2", -2, &[(3, 1), (12, 1)], 0, None, VantHoff { log_k_25: 1.1, delta_h_kj: 5.4392 }, Sized { a: 4.5, b: 0.0 }, Table(Mobility { d: 6e-10, t: 0.0, a: 3.5, a2: 0.0, visc: 0.0, growth: None }), None, 0.00),
];
