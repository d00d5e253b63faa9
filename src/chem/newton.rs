//! Mass and charge balance by Newton's method on the logarithms of the master species' activities.
//!
//! With activity coefficients held, the balances are the gradient of a convex function, so its Jacobian `Nᵀ diag(m) N` is
//! symmetric and positive definite: a Cholesky factor serves. Electroneutrality stands as the balance of H⁺ (the two are
//! the same equation once the masses balance). Ionic strength is one more unknown, bordered onto the system, so that the
//! whole converges quadratically.

use std::sync::LazyLock;

use super::species::{CO2_ROW, H, MASTERS, SPECIES, TABLE};
use super::start::first_guess;
use super::{Carbon, ChemError, Component, Medium, Speciation, Totals};

/// Iterations after which a solve is given up; plain cases take 4 to 8.
const MOST_ITERATIONS: usize = 120;
/// Largest relative imbalance of a settled solution.
const BALANCED: f64 = 1e-10;
/// Imbalance below which one more step, quadratic as Newton's are, ends below [`BALANCED`].
const NEARLY: f64 = 3e-6;
/// The same for the water's activity, which lags: what is left after the step is 1e-3 of this.
const WATER_NEARLY: f64 = 1e-6;
/// Largest change of ln(water activity) of a settled solution; it moves a pH by half as many log10 units.
const WATER_SETTLED: f64 = 1e-9;
/// Largest step in ln(activity): a decade.
const LONGEST_STEP: f64 = 2.3;
/// One place for each master and some to spare: rows with fewer than three parts point to a spare one, with a count of zero.
/// A power of two, so that a remainder costs nothing.
const PLACES: usize = 16;
/// A total below this, mol/kg, is as good as absent (one part in 10¹⁶ of a nutrient solution).
pub(crate) const ABSENT: f64 = 1e-18;

/// The stoichiometry, laid out for the inner loop.
struct Links {
    part: [[usize; 3]; SPECIES],
    count: [[f64; 3]; SPECIES],
    /// How many of the three places are taken.
    parts: [usize; SPECIES],
    /// Water molecules, carbonate groups and half the squared charge of each species.
    water: [f64; SPECIES],
    carbons: [f64; SPECIES],
    half_square: [f64; SPECIES],
}

static KEPT: LazyLock<Links> = LazyLock::new(|| links(false));
static IN_BALANCE: LazyLock<Links> = LazyLock::new(|| links(true));

/// With carbon dioxide's activity given, CO₃²⁻ stands for `CO₂ + H₂O - 2 H⁺` and drops out as an unknown.
fn links(carbon_given: bool) -> Links {
    let mut links = Links {
        part: [[MASTERS; 3]; SPECIES],
        count: [[0.0; 3]; SPECIES],
        parts: [0; SPECIES],
        water: [0.0; SPECIES],
        carbons: [0.0; SPECIES],
        half_square: [0.0; SPECIES],
    };
    for (row, species) in TABLE.iter().enumerate() {
        links.water[row] = f64::from(species.water);
        links.half_square[row] = 0.5 * f64::from(species.z).powi(2);
        let mut counts = [0_i8; MASTERS];
        for &(part, count) in species.parts {
            counts[part] += count;
        }
        links.carbons[row] = f64::from(counts[Component::C.index()]);
        if carbon_given {
            counts[H] -= 2 * counts[Component::C.index()];
            counts[Component::C.index()] = 0;
        }
        for (slot, (part, count)) in counts.into_iter().enumerate().filter(|(_, count)| *count != 0).enumerate() {
            links.part[row][slot] = part;
            links.count[row][slot] = f64::from(count);
            links.parts[row] = slot + 1;
        }
    }
    links
}

/// What is to be solved: which masters and species take part, and what the balances must come to.
pub(crate) struct Problem<'a> {
    pub(crate) medium: &'a Medium,
    pub(crate) totals: &'a Totals,
    pub(crate) carbon: Carbon,
    /// Which masters are unknowns.
    pub(crate) unknown: [bool; MASTERS],
}

impl<'a> Problem<'a> {
    fn new(medium: &'a Medium, totals: &'a Totals, carbon: Carbon) -> Result<Self, ChemError> {
        for (component, mol_per_kg) in totals.iter() {
            if !(0.0..=1.0).contains(&mol_per_kg) {
                return Err(ChemError::Total { component, mol_per_kg });
            }
        }
        let mut unknown = [true; MASTERS];
        for (component, total) in totals.iter() {
            unknown[component.index()] = total > ABSENT;
        }
        if let Carbon::Balance { log10_pco2_atm } = carbon {
            if !log10_pco2_atm.is_finite() || log10_pco2_atm > 0.0 {
                return Err(ChemError::PartialPressure { log10_pco2_atm });
            }
            unknown[Component::C.index()] = false;
        }
        Ok(Self { medium, totals, carbon, unknown })
    }

    fn carbon_given(&self) -> bool {
        matches!(self.carbon, Carbon::Balance { .. })
    }

    /// Whether a species can be there at all.
    fn present(&self, row: usize) -> bool {
        TABLE[row]
            .parts
            .iter()
            .all(|&(part, _)| self.unknown[part] || (self.carbon_given() && part == Component::C.index()))
    }

    /// What each balance must come to; for H⁺ what electroneutrality demands.
    fn goals(&self) -> [f64; MASTERS] {
        let mut goals = [0.0; MASTERS];
        for (component, total) in self.totals.iter() {
            if self.unknown[component.index()] {
                goals[component.index()] = total;
                goals[H] -= f64::from(component.charge()) * total;
            }
        }
        goals
    }
}

impl Medium {
    /// The solution of these totals at this temperature.
    ///
    /// **Units** mol per kg of water. **Valid range** pH 1.5–12.5, EC up to about 15 mS/cm; beyond, the activity model is
    /// out of its depth though it still answers.
    ///
    /// # Errors
    /// [`ChemError::Total`] for a total that is negative, not finite or above 1 mol/kg, [`ChemError::PartialPressure`], and
    /// [`ChemError::NotSettled`] if the iteration fails.
    pub fn solve(&self, totals: &Totals, carbon: Carbon) -> Result<Speciation, ChemError> {
        let problem = Problem::new(self, totals, carbon)?;
        let (ln_activity, ionic_strength) = first_guess(&problem);
        settle(&problem, ln_activity, ionic_strength, -0.017 * ionic_strength)
    }

    /// The same, starting from a solution that is near: about three times as fast.
    ///
    /// The answer is that of [`Medium::solve`] to within the tolerance of the balances.
    ///
    /// # Errors
    /// As [`Medium::solve`].
    pub fn solve_from(&self, near: &Speciation, totals: &Totals, carbon: Carbon) -> Result<Speciation, ChemError> {
        let problem = Problem::new(self, totals, carbon)?;
        let known = |master: usize| near.ln_activity[master].is_finite();
        if (0..MASTERS).any(|master| problem.unknown[master] && !known(master)) {
            let (ln_activity, ionic_strength) = first_guess(&problem);
            return settle(&problem, ln_activity, ionic_strength, -0.017 * ionic_strength);
        }
        let mut ln_activity = near.ln_activity;
        for (component, total) in totals.iter() {
            let before = near.totals[component];
            if total > ABSENT && before > ABSENT {
                ln_activity[component.index()] += (total / before).ln();
            }
        }
        settle(&problem, ln_activity, near.ionic_strength, near.ln_water_activity)
            .or_else(|_| self.solve(totals, carbon))
    }
}

impl Medium {
    /// How fast pH moves when totals change: d pH for one unit of `change`, from the balances' own Jacobian.
    ///
    /// **Units** pH per (mol per kg of water times `change`): with `change` one mole of NO3 it is pH per mol of strong acid
    /// per kg. `solved` was solved in this medium with this `carbon`. A component that was absent counts as not changing.
    /// **Limitations** the water's own activity is held, which costs a part in a thousand.
    ///
    /// # Errors
    /// [`ChemError::NotSettled`] where the Jacobian is singular in floating point, and those of [`Medium::solve`].
    pub fn ph_slope(&self, solved: &Speciation, change: &Totals, carbon: Carbon) -> Result<f64, ChemError> {
        let problem = Problem::new(self, solved.totals(), carbon)?;
        let links: &Links = if problem.carbon_given() { &IN_BALANCE } else { &KEPT };
        let rows: Vec<usize> = (0..SPECIES).filter(|&row| problem.present(row)).collect();
        let mut molality = [0.0; SPECIES];
        let (strength, water) = (solved.ionic_strength, solved.ln_water_activity);
        let goals = problem.goals();
        let mut sums = pass(&problem, links, &rows, &solved.ln_activity, strength, water, &goals, &mut molality);
        sums.off = [0.0; PLACES];
        for (component, amount) in change.iter().filter(|(component, _)| problem.unknown[component.index()]) {
            sums.off[component.index()] = -amount;
            sums.off[H] += f64::from(component.charge()) * amount;
        }
        let (step, _) = newton_step(&problem, &sums, 0.0)
            .ok_or(ChemError::NotSettled { iterations: 0, imbalance: f64::INFINITY })?;
        Ok(-step[H] / std::f64::consts::LN_10)
    }
}

/// Sums that one pass over the species yields.
struct Sums {
    /// Balance less goal.
    off: [f64; PLACES],
    /// Sum of the balance's parts without their signs: what `off` is relative to.
    gross: [f64; PLACES],
    jacobian: [[f64; PLACES]; PLACES],
    /// How each balance answers to ionic strength.
    border: [f64; PLACES],
    /// How ionic strength answers to each activity.
    strength_row: [f64; PLACES],
    strength: f64,
    strength_slope: f64,
    solutes: f64,
}

fn settle(
    problem: &Problem<'_>,
    mut ln_activity: [f64; MASTERS],
    mut ionic_strength: f64,
    mut ln_water_activity: f64,
) -> Result<Speciation, ChemError> {
    let links: &Links = if problem.carbon_given() { &IN_BALANCE } else { &KEPT };
    let goals = problem.goals();
    let mut rows = [0_usize; SPECIES];
    let mut present = 0;
    for row in 0..SPECIES {
        if problem.present(row) {
            rows[present] = row;
            present += 1;
        }
    }
    let rows = &rows[..present];
    let mut molality = [0.0; SPECIES];
    let mut imbalance = f64::INFINITY;
    for iterations in 1..=MOST_ITERATIONS {
        let sums = pass(problem, links, rows, &ln_activity, ionic_strength, ln_water_activity, &goals, &mut molality);
        let strength_off = ionic_strength - sums.strength;
        let worst = (0..MASTERS)
            .filter(|&master| problem.unknown[master])
            .map(|master| sums.off[master].abs() / sums.gross[master])
            .fold(0.0, f64::max);
        imbalance = worst.max(strength_off.abs() / sums.strength);
        let water_before = ln_water_activity;
        // Parkhurst & Appelo (2013), eq. for the activity of water: 1 - 0.017 Σ m.
        ln_water_activity = (-0.017 * sums.solutes).max(-0.5).ln_1p();
        if imbalance < BALANCED && (ln_water_activity - water_before).abs() < WATER_SETTLED {
            return Ok(finished(problem, links, &molality, ln_activity, ionic_strength, water_before, iterations));
        }
        if !imbalance.is_finite() {
            break;
        }
        let Some((step, strength_step)) = newton_step(problem, &sums, strength_off) else { break };
        let longest = step.iter().fold(0.0_f64, |longest, s| longest.max(s.abs()));
        // A late start shortens its steps: the bordered system is not convex, short steps along it still get there.
        if imbalance < NEARLY && (ln_water_activity - water_before).abs() < WATER_NEARLY {
            polish(problem, links, rows, ionic_strength, &step, strength_step, &mut molality);
            for (value, s) in ln_activity.iter_mut().zip(step) {
                *value += s;
            }
            let strength = ionic_strength + strength_step;
            return Ok(finished(problem, links, &molality, ln_activity, strength, water_before, iterations));
        }
        let cap = if iterations < 40 { LONGEST_STEP } else { 0.5 };
        let share = if longest > cap { cap / longest } else { 1.0 };
        for (value, s) in ln_activity.iter_mut().zip(step) {
            *value += share * s;
        }
        ionic_strength = (ionic_strength + share * strength_step).clamp(0.2 * ionic_strength, 5.0 * ionic_strength);
    }
    Err(ChemError::NotSettled { iterations: MOST_ITERATIONS, imbalance })
}

/// The last step, taken in the molalities by series instead of by another pass: its cube is lost, below 1e-15.
fn polish(
    problem: &Problem<'_>,
    links: &Links,
    rows: &[usize],
    ionic_strength: f64,
    step: &[f64; MASTERS],
    strength_step: f64,
    molality: &mut [f64; SPECIES],
) {
    let activity = &problem.medium.activity;
    let mut known = [0.0; PLACES];
    known[..MASTERS].copy_from_slice(step);
    let root = ionic_strength.sqrt();
    for &row in rows {
        let spread = 1.0 / (1.0 + activity.size[row] * root);
        let gamma_slope = activity.slope[row] * 0.5 / root * spread * spread + activity.linear[row];
        let (part, count) = (links.part[row], links.count[row]);
        let change = count[0] * known[part[0]] + count[1] * known[part[1]] + count[2] * known[part[2]]
            - gamma_slope * strength_step;
        molality[row] *= 1.0 + change * (1.0 + 0.5 * change);
    }
}

/// One pass over the species: molalities, balances and their derivatives.
#[expect(clippy::too_many_arguments, reason = "the hot loop: everything it reads, by name")]
fn pass(
    problem: &Problem<'_>,
    links: &Links,
    rows: &[usize],
    ln_activity: &[f64; MASTERS],
    ionic_strength: f64,
    ln_water_activity: f64,
    goals: &[f64; MASTERS],
    molality: &mut [f64; SPECIES],
) -> Sums {
    let medium = problem.medium;
    let activity = &medium.activity;
    let mut sums = Sums {
        off: [0.0; PLACES],
        gross: [0.0; PLACES],
        jacobian: [[0.0; PLACES]; PLACES],
        border: [0.0; PLACES],
        strength_row: [0.0; PLACES],
        strength: 0.0,
        strength_slope: 0.0,
        solutes: 0.0,
    };
    let mut known = [0.0; PLACES];
    known[..MASTERS].copy_from_slice(ln_activity);
    let ln_carbonate = match problem.carbon {
        Carbon::Kept => 0.0,
        Carbon::Balance { log10_pco2_atm } => {
            known[Component::C.index()] = 0.0;
            medium.ln_co2_activity(log10_pco2_atm) + ln_water_activity - medium.ln_k[CO2_ROW]
        }
    };
    for (off, goal) in sums.off.iter_mut().zip(goals) {
        *off = -goal;
    }
    let root = ionic_strength.sqrt();
    let half_over_root = 0.5 / root;
    for &row in rows {
        let part = links.part[row];
        let count = links.count[row];
        let spread = 1.0 / (1.0 + activity.size[row] * root);
        let ln_gamma = activity.slope[row] * root * spread + activity.linear[row] * ionic_strength;
        let gamma_slope = activity.slope[row] * half_over_root * spread * spread + activity.linear[row];
        let carbon = links.carbons[row] * ln_carbonate;
        let ln_m = medium.ln_k[row] - ln_gamma
            + links.water[row] * ln_water_activity
            + carbon
            + count[0] * known[part[0]]
            + count[1] * known[part[1]]
            + count[2] * known[part[2]];
        let m = ln_m.min(10.0).exp();
        molality[row] = m;
        sums.solutes += m;
        let weight = links.half_square[row] * m;
        sums.strength += weight;
        sums.strength_slope += weight * gamma_slope;
        for i in 0..links.parts[row].min(3) {
            // The remainder is for the compiler, which then drops the bounds checks: every part is below it.
            let at = part[i] % PLACES;
            let amount = count[i] * m;
            sums.off[at] += amount;
            sums.gross[at] += amount.abs();
            sums.border[at] += amount * gamma_slope;
            sums.strength_row[at] += count[i] * weight;
            let line = &mut sums.jacobian[at];
            for j in 0..=i {
                // Parts stand in rising order, so this fills the lower triangle.
                line[part[j] % PLACES] += amount * count[j];
            }
        }
    }
    sums
}

/// Steps in ln(activity) and in ionic strength; `None` if the Jacobian is not positive definite in floating point.
fn newton_step(problem: &Problem<'_>, sums: &Sums, strength_off: f64) -> Option<([f64; MASTERS], f64)> {
    let mut order = [0_usize; MASTERS];
    let mut n = 0;
    for master in 0..MASTERS {
        if problem.unknown[master] {
            order[n] = master;
            n += 1;
        }
    }
    let order = &order[..n];
    let mut factor = [[0.0; MASTERS]; MASTERS];
    for (i, &a) in order.iter().enumerate() {
        for (j, &b) in order[..=i].iter().enumerate() {
            let (upper, lower) = factor.split_at_mut(i);
            let above = if i == j { lower[0] } else { upper[j] };
            let mut value = sums.jacobian[a][b];
            for (left, right) in lower[0][..j].iter().zip(&above[..j]) {
                value -= left * right;
            }
            if i == j {
                if value.is_nan() || value <= 0.0 {
                    return None;
                }
                // The diagonal holds reciprocals: one division a row instead of one an element.
                lower[0][i] = 1.0 / value.sqrt();
            } else {
                lower[0][j] = value * above[j];
            }
        }
    }
    let solve = |right: &[f64; PLACES], sign: f64| {
        let mut x = [0.0; MASTERS];
        for i in 0..n {
            let mut value = sign * right[order[i]];
            for k in 0..i {
                value -= factor[i][k] * x[k];
            }
            x[i] = value * factor[i][i];
        }
        for i in (0..n).rev() {
            let mut value = x[i];
            for k in i + 1..n {
                value -= factor[k][i] * x[k];
            }
            x[i] = value * factor[i][i];
        }
        x
    };
    let plain = solve(&sums.off, -1.0);
    let answer = solve(&sums.border, 1.0);
    let dot = |x: &[f64; MASTERS]| order.iter().zip(x).map(|(&master, x)| sums.strength_row[master] * x).sum::<f64>();
    let strength_step = (dot(&plain) - strength_off) / (1.0 + sums.strength_slope - dot(&answer));
    let mut step = [0.0; MASTERS];
    for (i, &master) in order.iter().enumerate() {
        step[master] = plain[i] + answer[i] * strength_step;
    }
    Some((step, strength_step))
}

fn finished(
    problem: &Problem<'_>,
    links: &Links,
    molality: &[f64; SPECIES],
    mut ln_activity: [f64; MASTERS],
    ionic_strength: f64,
    ln_water_activity: f64,
    iterations: usize,
) -> Speciation {
    debug_assert_eq!(links.part[H][0], H, "H+ stands for itself");
    let mut totals = *problem.totals;
    if let Carbon::Balance { log10_pco2_atm } = problem.carbon {
        totals[Component::C] = molality.iter().zip(links.carbons).map(|(m, carbons)| m * carbons).sum();
        ln_activity[Component::C.index()] = problem.medium.ln_co2_activity(log10_pco2_atm) + ln_water_activity
            - problem.medium.ln_k[CO2_ROW]
            - 2.0 * ln_activity[H];
    }
    for (component, total) in totals.iter() {
        if total <= ABSENT {
            ln_activity[component.index()] = f64::NEG_INFINITY;
        }
    }
    Speciation { molality: *molality, ln_activity, ionic_strength, ln_water_activity, totals, iterations }
}
