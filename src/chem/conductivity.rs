//! Conductivity: every ion's own equivalent conductivity by Debye–Hückel–Onsager, summed over equivalents.
//!
//! Source: Appelo (2017), Cem. Concr. Res. 101, 102, as the Falkenhagen form in IPhreeqc 3.8.6, but summed as Kohlrausch's
//! law has it; that engine weights ions by shares of ionic strength, which fails in mixtures of charges even at infinite
//! dilution. Viscosity enters by the Jones–Dole equation with the source's B and a mean Falkenhagen A.

use super::species::{Conductance, H, MASTERS, OH_ROW, SPECIES, TABLE};
use super::water::{VISCOSITY_25_MPA_S, Water};
use super::{Medium, Speciation};

/// Faraday's constant, C/mol (CODATA 2018).
const FARADAY: f64 = 96_485.332;
/// Gas constant, J/(mol·K) (CODATA 2018).
const GAS_J: f64 = 8.314_462_6;
/// Elementary charge, C; vacuum permittivity, F/m; Boltzmann's constant, J/K; Avogadro's number (CODATA 2018).
const CHARGE: f64 = 1.602_176_6e-19;
const VACUUM: f64 = 8.854_187_8e-12;
const BOLTZMANN: f64 = 1.380_649e-23;
const AVOGADRO: f64 = 6.022_140_8e23;

/// Which ions carry current in a sum.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mobilities {
    /// All of them; where the source of the table gives no mobility, our estimate.
    Full,
    /// Only those with a mobility in the source: for a comparison like with like with an engine on the same table.
    TableOnly,
}

/// What a species needs to carry current at one temperature.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Carrier {
    /// Limiting equivalent conductivity, S cm²/eq; 0 for no current.
    limiting: f64,
    size: f64,
    exponent: f64,
    viscosity_exponent: f64,
    /// `[z² Av/2, bAv B, i, i4]` of the volume's growth with ionic strength.
    growth: Option<[f64; 4]>,
    estimated: bool,
}

pub(crate) fn carriers(water: &Water) -> [Carrier; SPECIES] {
    std::array::from_fn(|row| {
        let species = &TABLE[row];
        let z = f64::from(species.z).abs();
        // From the diffusion coefficient by Nernst and Einstein, in S cm²/eq; the source counts at 298.15 K throughout.
        let per_d = 1e4 * FARADAY * FARADAY / (GAS_J * 298.15) * z;
        let thinner = VISCOSITY_25_MPA_S / water.viscosity_mpa_s;
        match species.conductance {
            Conductance::Neutral => Carrier::default(),
            Conductance::Estimate { d } => {
                Carrier { limiting: per_d * d * thinner, size: 3.5, estimated: true, ..Carrier::default() }
            }
            Conductance::Table(mobility) => Carrier {
                limiting: per_d * mobility.d * (mobility.t / water.temperature_k - mobility.t / 298.15).exp() * thinner,
                size: mobility.a,
                exponent: mobility.a2,
                viscosity_exponent: mobility.visc,
                growth: mobility.growth.map(|[b_av, i1, i2, i3, i4]| {
                    let above = water.temperature_k - 228.0;
                    [z * z * 0.5 * water.dh_v, b_av * water.dh_b, i1 + i2 / above + i3 * above, i4]
                }),
                estimated: false,
            },
        }
    })
}

impl Carrier {
    /// Factor on the ion size from the growth of the ion's volume with ionic strength.
    fn swelling(&self, row: usize, ionic_strength: f64) -> f64 {
        if row == H {
            return (1.0 + ionic_strength).powf(self.exponent);
        }
        let Some([half_slope, size, linear, power]) = self.growth else { return 1.0 };
        let root = ionic_strength.sqrt();
        let grown = 1.0 + half_slope * root / (1.0 + size * root) + linear * ionic_strength.powf(power);
        if grown > 0.0 { grown.powf(self.exponent).max(1.0) } else { 1.0 }
    }
}

/// Equivalents and mobilities of one sign of charge, for the mixture's Onsager terms.
#[derive(Clone, Copy, Default)]
struct Side {
    moles: f64,
    equivalents: f64,
    equivalents_mobility: f64,
    equivalents_resistance: f64,
}

impl Speciation {
    /// Conductivity at the medium's own temperature, µS/cm, not compensated.
    ///
    /// `medium` is the one that the solution was solved in. **Accuracy** KCl standards within 1.1 % from 5 to 35 °C.
    pub fn conductivity_us_cm(&self, medium: &Medium, mobilities: Mobilities) -> f64 {
        let carries = |row: usize| {
            let carrier = &medium.carriers[row];
            carrier.limiting > 0.0
                && self.molality[row] > 0.0
                && !(mobilities == Mobilities::TableOnly && carrier.estimated)
        };
        let mut sides = [Side::default(); 2];
        for row in (0..SPECIES).filter(|&row| carries(row)) {
            let z = f64::from(TABLE[row].z);
            let side = &mut sides[usize::from(z < 0.0)];
            let equivalents = self.molality[row] * z.abs();
            side.moles += self.molality[row];
            side.equivalents += equivalents;
            // Diffusion coefficients in any unit: only their ratio counts. Limiting conductivity is z times D.
            side.equivalents_mobility += equivalents * medium.carriers[row].limiting / z.abs();
            side.equivalents_resistance += equivalents * z.abs() / medium.carriers[row].limiting;
        }
        let [cations, anions] = sides;
        let terms = OnsagerTerms::of(&medium.water, cations, anions);
        let falkenhagen = falkenhagen(&medium.water, cations, anions);
        let ln_thinner = -self.relative_viscosity(medium, falkenhagen).ln();
        let root = self.ionic_strength.sqrt();
        let mut sum = 0.0;
        for row in (0..SPECIES).filter(|&row| carries(row)) {
            let carrier = &medium.carriers[row];
            let z = f64::from(TABLE[row].z);
            let (mut size, mut exponent) = (carrier.size, carrier.exponent);
            if z < 0.0 {
                // The source's correction of anions beside cations of charge 2.
                let shift = 0.126 * z.abs() * (terms.mean_cation_charge - 1.0);
                size -= shift;
                exponent += shift;
            }
            let swelling =
                if exponent == 0.0 { 1.0 } else { Carrier { exponent, ..*carrier }.swelling(row, self.ionic_strength) };
            let cloud = 1.0 + medium.water.dh_b * size * swelling * root;
            let equivalent = (carrier.limiting - terms.electrophoresis * z.abs() * root / cloud)
                * (1.0 - terms.relaxation * root / (cloud * cloud));
            let drag =
                if carrier.viscosity_exponent == 0.0 { 1.0 } else { (carrier.viscosity_exponent * ln_thinner).exp() };
            sum += equivalent * drag * self.molality[row] * z.abs();
        }
        // Once from mol per kg to mol per L; once more because the source's mobilities are fitted with equivalents per kg of
        // water and carry kg/L themselves (`ll_SC` in its `calc_SC`).
        sum * 1e3 / self.volume_l_per_kg(medium).powi(2)
    }

    /// Conductivity that each present ion brings, as (formula, share of the whole); the shares add to one.
    pub fn largest_carriers(&self, medium: &Medium) -> Vec<(&'static str, f64)> {
        let mut shares: Vec<_> = (0..SPECIES)
            .map(|row| {
                (TABLE[row].name, medium.carriers[row].limiting * self.molality[row] * f64::from(TABLE[row].z).abs())
            })
            .filter(|(_, share)| *share > 0.0)
            .collect();
        let all: f64 = shares.iter().map(|(_, share)| share).sum();
        for (_, share) in &mut shares {
            *share /= all;
        }
        shares.sort_by(|a, b| b.1.total_cmp(&a.1));
        shares
    }
}

/// Relaxation and electrophoresis of a mixture, to be multiplied by √I.
struct OnsagerTerms {
    relaxation: f64,
    electrophoresis: f64,
    mean_cation_charge: f64,
}

impl OnsagerTerms {
    fn of(water: &Water, cations: Side, anions: Side) -> Self {
        let z_plus = cations.equivalents / cations.moles;
        let z_minus = anions.equivalents / anions.moles;
        let plus = cations.equivalents_mobility / cations.moles;
        let minus = anions.equivalents_mobility / anions.moles;
        let transport = plus / (plus + minus);
        let q = 1.0 / ((transport / z_plus + (1.0 - transport) / z_minus) * (z_minus + z_plus));
        let a = CHARGE * CHARGE / (6.0 * std::f64::consts::PI);
        let kappa_per_m = water.dh_b * 1e10;
        Self {
            relaxation: a / (2.0 * VACUUM * water.permittivity * BOLTZMANN * water.temperature_k) * q
                / (1.0 + q.sqrt())
                * kappa_per_m
                * z_plus
                * z_minus,
            electrophoresis: a * AVOGADRO / water.viscosity_mpa_s * kappa_per_m * 1e7,
            mean_cation_charge: z_plus,
        }
    }
}

/// First term of the viscosity, `A √c` over water's viscosity, by Falkenhagen & Dole as IPhreeqc writes it.
fn falkenhagen(water: &Water, cations: Side, anions: Side) -> f64 {
    // From S cm²/eq per charge back to a diffusion coefficient in m²/s.
    let per_d = 1e4 * FARADAY * FARADAY / (GAS_J * 298.15);
    let z1 = cations.equivalents / cations.moles;
    let z2 = anions.equivalents / anions.moles;
    let d1 = cations.equivalents / cations.equivalents_resistance / per_d;
    let d2 = anions.equivalents / anions.equivalents_resistance / per_d;
    let apart = (d1 - d2) / ((d1 * z1 + d2 * z2).sqrt() + ((d1 + d2) * (z1 + z2)).sqrt());
    let psi = (d1 * z2 + d2 * z1) / 4.0 - z1 * z2 * apart * apart;
    let a = 4.3787e-14 * water.temperature_k.powf(1.5)
        / ((water.permittivity * (z1 + z2) / z1.max(z2)).sqrt() * (d1 * d2))
        * psi;
    a * f64::midpoint(cations.equivalents, anions.equivalents).sqrt() / water.viscosity_mpa_s
}

const _: () = assert!(H < MASTERS && OH_ROW == MASTERS);

/// What a meter with linear compensation shows for a conductivity at the water's temperature, at 25 °C, same unit.
///
/// `per_degree` is the meter's coefficient as a fraction per °C: 0.02 (the usual setting), 0.0191 (KCl, Standard Methods
/// 2510 B). **Source** USGS National Field Manual 6.3: `κ25 = κt / (1 + α (t - 25))`.
pub fn compensated(conductivity_at_t: f64, temperature_c: f64, per_degree: f64) -> f64 {
    conductivity_at_t / (1.0 + per_degree * (temperature_c - 25.0))
}
