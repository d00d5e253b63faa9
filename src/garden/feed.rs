//! A feed of middling balance: what stands for a feed of which nobody has the analysis.
//!
//! Its pattern is ours, near the leafy target of Cornell's home guide (Ronzoni & Mattson 2020): N 150, P 35, K 200, Ca 90,
//! Mg 25 mg/L, closed with sulfate to the free acid that labelled feeds are taken to have (`profiles/priors.ron`). Of an
//! unlabelled feed its nitrogen per unit is guessed; of one that "raises EC by so much" the chemistry says how much of the
//! pattern does that.

use std::sync::OnceLock;

use crate::chem::{ChemError, Component, Totals};

use super::compose::ec25_ms_cm;
use super::dissolve::{Closure, Dissolved, ProductError, free_acid_of_p, water_and_volume};
use super::priors::Priors;
use super::product::Form;

/// EC at which a rise of EC is told, mS/cm: the middle of what leafy greens and herbs get. Ours. EC bends a little: at half
/// of it the same mL raises EC by 4 % more, at twice by 5 % less.
pub const FEEDING_EC_MS_CM: f64 = 1.5;
/// Rise of EC by one mL or g in a litre that can be, mS/cm: below it a feed would take half a litre for ten, above it no salt
/// goes (1 g/L of potassium chloride makes 1.9). Ours.
pub const EC_RISE_MS_CM: (f64, f64) = (0.02, 2.0);
/// Grams of dissolved salts for each mole of nitrogen in the pattern, near enough for the water they leave.
const GRAMS_PER_MOL_N: f64 = 90.0;
/// Phosphorus of the pattern, mol per mole of nitrogen.
const P: f64 = 0.11;

/// The pattern, per mole of nitrogen.
fn per_mol_n() -> Totals {
    let acid = free_acid_of_p().mean * P;
    Totals::from_pairs(&[
        (Component::No3, 0.92),
        (Component::Nh4, 0.08),
        (Component::P, P),
        (Component::K, 0.50),
        (Component::Ca, 0.22),
        (Component::Mg, 0.10),
        (Component::So4, 0.095 + acid / 2.0),
    ])
}

/// How much of something, in its own unit per litre of pure water, makes [`FEEDING_EC_MS_CM`].
fn per_l_at_feeding_ec(moles: &Totals) -> Result<f64, ChemError> {
    let charges: f64 = moles.iter().map(|(c, mol)| f64::from(c.charge()).abs() * mol).sum();
    // About 60 mS/cm per eq/L of all ions to begin with; EC over moles is nearly straight, so a few steps of proportion close in.
    let mut per_l = FEEDING_EC_MS_CM / (60.0 * charges.max(1e-9));
    for _ in 0..20 {
        let ec = ec25_ms_cm(&moles.scaled(per_l))?;
        if (ec / FEEDING_EC_MS_CM - 1.0).abs() < 1e-9 {
            break;
        }
        per_l *= FEEDING_EC_MS_CM / ec.max(1e-9);
    }
    Ok(per_l)
}

/// Nitrogen of the pattern at [`FEEDING_EC_MS_CM`] in pure water, mol/L.
fn mol_n_at_feeding_ec() -> Result<f64, ChemError> {
    static FOUND: OnceLock<f64> = OnceLock::new();
    if let Some(found) = FOUND.get() {
        return Ok(*found);
    }
    let mol = per_l_at_feeding_ec(&per_mol_n())?;
    Ok(*FOUND.get_or_init(|| mol))
}

impl Dissolved {
    /// Rise of EC by one mL or g in a litre, mS/cm, at feeding strength in pure water: what "raises EC by so much" means.
    ///
    /// # Errors
    /// [`ChemError`] for what makes no such EC, an acid of great strength say.
    pub fn ec_rise_ms_cm(&self) -> Result<f64, ChemError> {
        Ok(FEEDING_EC_MS_CM / per_l_at_feeding_ec(&self.moles)?)
    }
}

/// A feed of which one mL or g in a litre raises EC by so much.
pub(super) fn of_ec_rise(ms_cm_per_unit_l: f64, form: Form) -> Result<Dissolved, ProductError> {
    let (least, most) = EC_RISE_MS_CM;
    if !(least..=most).contains(&ms_cm_per_unit_l) {
        return Err(ProductError::OutOfRange {
            field: "the rise of EC by one mL or g in a litre",
            value: ms_cm_per_unit_l,
            unit: "mS/cm",
            limit: "0.02 to 2 mS/cm".to_owned(),
        });
    }
    let mol_n = mol_n_at_feeding_ec()? * ms_cm_per_unit_l / FEEDING_EC_MS_CM;
    let note = "Which nutrients make this EC is not known: a feed of middling balance is taken.";
    Ok(of_pattern(mol_n, Priors::shipped().ec_rise_ln_sd.value, form, note))
}

/// A feed of which nothing is known but a guess at its nitrogen, mol per mL or g.
pub(super) fn of_guess(mol_n: f64, ln_sd: f64, form: Form) -> Dissolved {
    of_pattern(mol_n, ln_sd, form, super::dissolve::GUESSED)
}

fn of_pattern(mol_n: f64, ln_sd: f64, form: Form, note: &str) -> Dissolved {
    let (water_g, volume_ml, _) = water_and_volume(form, (mol_n * GRAMS_PER_MOL_N).min(1.0), 0.0);
    let moles = per_mol_n().scaled(mol_n);
    let closure = Closure {
        free_acid_eq: free_acid_of_p().mean * moles[Component::P],
        free_acid_sd_eq: free_acid_of_p().sd * moles[Component::P],
        ..Closure::default()
    };
    Dissolved { moles, urea_n_mol: 0.0, water_g, volume_ml, ln_sd, closure, notes: vec![note.to_owned()] }
}
