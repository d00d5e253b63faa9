//! A first guess near enough for Newton's method: pH from the weak acids alone, without complexes.

use super::newton::{ABSENT, Problem};
use super::species::{H, MASTERS, OH_ROW};
use super::{Carbon, Component, Medium};

/// Formation constants of the successive protonated forms of a weak acid, from the row of its most basic form.
struct WeakAcid {
    component: Component,
    /// Rows of the forms with 1, 2, 3 more protons than the master (or one fewer, for a master that gives protons off).
    forms: &'static [usize],
    /// Protons of each form relative to the master.
    protons: &'static [f64],
}

const WEAK_ACIDS: [WeakAcid; 7] = [
    WeakAcid { component: Component::P, forms: &[21, 22, 23], protons: &[1.0, 2.0, 3.0] },
    WeakAcid { component: Component::C, forms: &[15, 16], protons: &[1.0, 2.0] },
    WeakAcid { component: Component::Cit, forms: &[49, 50, 51], protons: &[1.0, 2.0, 3.0] },
    WeakAcid { component: Component::So4, forms: &[17], protons: &[1.0] },
    WeakAcid { component: Component::Nh4, forms: &[18], protons: &[-1.0] },
    WeakAcid { component: Component::B, forms: &[20], protons: &[-1.0] },
    WeakAcid { component: Component::Si, forms: &[46], protons: &[-1.0] },
];

/// ln(activities) of the masters and the ionic strength.
pub(crate) fn first_guess(problem: &Problem<'_>) -> ([f64; MASTERS], f64) {
    let medium = problem.medium;
    let totals = problem.totals;
    let carbon_given = matches!(problem.carbon, Carbon::Balance { .. });
    let mut strength = 1e-7;
    for (component, total) in totals.iter() {
        // Weak acids count as singly charged here: near enough to start from.
        let charge = match component {
            Component::P | Component::C | Component::Cit => 1.0,
            other => f64::from(other.charge()),
        };
        strength += 0.5 * charge * charge * total;
    }
    let excess = totals.charge();
    strength += 0.25 * excess.abs();
    let gamma = |row: usize| ln_gamma(medium, row, strength);
    let mut demand = excess;
    if carbon_given {
        demand += 2.0 * totals[Component::C];
    }
    let ln_ion_product = medium.ln_k[OH_ROW] - gamma(OH_ROW);
    let ln_gamma_h = gamma(H);
    let acids: [Option<[f64; 3]>; WEAK_ACIDS.len()] = std::array::from_fn(|i| {
        let acid = &WEAK_ACIDS[i];
        let there = totals[acid.component] > ABSENT || (carbon_given && acid.component == Component::C);
        there.then(|| {
            let mut ln_k = [f64::NEG_INFINITY; 3];
            for (slot, &row) in ln_k.iter_mut().zip(acid.forms) {
                *slot = medium.ln_k[row] + gamma(acid.component.index()) - gamma(row);
            }
            ln_k
        })
    });
    let ln_free_carbon = match problem.carbon {
        Carbon::Balance { log10_pco2_atm } => Some(medium.ln_co2_activity(log10_pco2_atm)),
        Carbon::Kept => None,
    };
    // Charge at a trial ln{H+}: positive means that there are too many protons.
    let charge_at = |ln_h: f64| {
        let mut charge = demand + (ln_h - ln_gamma_h).exp() - (ln_ion_product - ln_h).exp();
        for (acid, ln_k) in WEAK_ACIDS.iter().zip(acids.iter()) {
            let Some(ln_k) = ln_k else { continue };
            if let (Component::C, Some(ln_co2)) = (acid.component, ln_free_carbon) {
                // Against CO2 at a given activity: bicarbonate and carbonate.
                let carbonate = (ln_co2 - medium.ln_k[16] - gamma(Component::C.index()) - 2.0 * ln_h).exp();
                charge -= 2.0 * carbonate + carbonate * (ln_k[0] + ln_h).exp();
                continue;
            }
            let (mut all, mut bound) = (1.0, 0.0);
            for (k, protons) in ln_k.iter().zip(acid.protons) {
                let share = (k + protons * ln_h).exp();
                all += share;
                bound += protons * share;
            }
            charge += totals[acid.component] * bound / all;
        }
        charge
    };
    let (mut low, mut high) = (-34.0_f64, 0.0_f64);
    for _ in 0..9 {
        let middle = f64::midpoint(low, high);
        if charge_at(middle) > 0.0 { high = middle } else { low = middle }
    }
    let ln_h = f64::midpoint(low, high);
    let mut ln_activity = [f64::NEG_INFINITY; MASTERS];
    ln_activity[H] = ln_h;
    for (component, total) in totals.iter() {
        if total > ABSENT {
            ln_activity[component.index()] = total.ln() + gamma(component.index());
        }
    }
    for (acid, ln_k) in WEAK_ACIDS.iter().zip(acids) {
        let Some(ln_k) = ln_k else { continue };
        let all: f64 = 1.0 + ln_k.iter().zip(acid.protons).map(|(k, protons)| (k + protons * ln_h).exp()).sum::<f64>();
        ln_activity[acid.component.index()] -= all.ln();
    }
    (ln_activity, strength)
}

fn ln_gamma(medium: &Medium, row: usize, ionic_strength: f64) -> f64 {
    let table = &medium.activity;
    let root = ionic_strength.sqrt();
    table.slope[row] * root / (1.0 + table.size[row] * root) + table.linear[row] * ionic_strength
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chem::species::TABLE;

    #[test]
    fn the_forms_are_the_rows_they_claim() {
        for acid in &WEAK_ACIDS {
            for (&row, &protons) in acid.forms.iter().zip(acid.protons) {
                let parts = TABLE[row].parts;
                assert!(parts.contains(&(acid.component.index(), 1)), "{}", TABLE[row].name);
                assert!(
                    parts.iter().any(|&(part, count)| part == H && (f64::from(count) - protons).abs() < 1e-9),
                    "{}",
                    TABLE[row].name
                );
                assert_eq!(parts.len(), 2, "{}", TABLE[row].name);
            }
        }
    }
}
