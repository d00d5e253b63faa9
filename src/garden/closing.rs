//! From a label's percentages to ions that balance.
//!
//! # Closing the charge of a label
//!
//! A label's ions do not balance: sulfur and chloride are often left out, numbers are rounded, and trace elements are ignored
//! here. The rule, ours, with phosphate counted as H2PO4-:
//!
//! 1. **Aim.** A feed with phosphate holds a little free acid: 0.06 of its phosphorus in the middle, 1 sd 0.12 (the trial of
//!    invented households found that this decides the pH in pure water). Without phosphate it is neutral.
//! 2. **Nitrogen of unstated form** is nitrate, except what must be ammonium for the ions to balance. (A calcium nitrate sold
//!    as 15.5-0-0 with 19 % Ca comes out with 7 % of its nitrogen as ammonium, as such products state.)
//! 3. **Too few anions.** Sulfate, if the label lists no sulfur, up to the equivalents of magnesium, potassium and ammonium,
//!    the ions whose sulfates are the usual salts, but not in a liquid with calcium, where gypsum would fall out. The rest
//!    is chloride, which many labels need not list.
//! 4. **Too many anions.** Up to 5 % of the label's equivalents is rounding and gets potassium. Beyond that nothing is added:
//!    electroneutrality makes it free acid, as in feeds made with phosphoric acid, up to one equivalent for each phosphorus.
//!    What is left even then gets potassium too, for no such liquid is sold with free nitric acid.
//!
//! What was added, the free acid with its spread, and the imbalance before closing are all reported.
//!
//! Chelates: the metal stands inside a neutral pair of the chelate and its counter-ion, sodium in most products, potassium in
//! some. It is counted where it weighs (1 % of the label's equivalents and more), as sodium, and as chloride for the chelate:
//! both carry about the current of such ions. A label that lists sodium has counted it itself.

use crate::chem::{Component, Totals};

use super::dissolve::{
    Closure, Dissolved, ProductError, SOLID_VOLUME_ML_PER_G, free_acid_of_p, label_ln_sd, no_density_ln_sd,
    water_and_volume,
};
use super::label::{Elements, LabelAnalysis};
use super::notes::UREA;
use super::product::Form;
use super::salts::weight;

/// Share of a label's equivalents that may be rounding. Ours: two lines rounded to half a percent in ten.
const ROUNDING_SHARE: f64 = 0.05;
/// Share of a label's equivalents below which the counter-ions of its chelates are left out. Ours: far below what a label's
/// strength is known to.
const CHELATE_SHARE: f64 = 0.01;
/// Share of a label's equivalents from which on it is told what was added to them. Ours: less is lost among what a label's
/// strength is known to.
const TOLD_SHARE: f64 = 0.02;
/// Share of a label's equivalents above which what was added is called a guess. Ours: twice what rounding explains.
const GUESS_SHARE: f64 = 0.1;
/// Nitrogen of unstated form below this, %, is the rounding of the lines.
pub(super) const ROUNDING_N: f64 = 0.15;

pub(super) fn of_label(label: &LabelAnalysis, form: Form) -> Result<Dissolved, ProductError> {
    let elements = label.elements()?;
    let powder = matches!(form, Form::Powder);
    if powder && label.basis.is_by_volume() {
        return Err(ProductError::PowderPerLitre);
    }
    let solids_share = solids(&elements) / 100.0;
    let mut notes = Vec::new();
    // Grams of product in one unit, so that percent of it are grams.
    let (grams, spread) = match form {
        Form::Powder => (1.0, 0.0),
        Form::Liquid { .. } if label.basis.is_by_volume() => (1.0, 0.0),
        Form::Liquid { density_g_ml: Some(density) } => (density, 0.0),
        Form::Liquid { density_g_ml: None } => {
            notes.push(
                "The density is not known: it is estimated from the analysis, so a mL may hold some 7 % more or less."
                    .to_owned(),
            );
            // 1 g of solution takes (1 - s) + 0.35 s mL.
            (1.0 / (1.0 - solids_share * (1.0 - SOLID_VOLUME_ML_PER_G)).max(0.5), no_density_ln_sd())
        }
    };
    let per = grams / 100.0;
    let mut moles = ions(&elements).scaled(per);
    let unstated = elements.unstated_n * per / weight::N;
    let short = -(moles.alkalinity() + free_acid_of_p().mean * moles[Component::P]);
    // Turning one mole of nitrate into ammonium mends two equivalents.
    let ammonium = (short / 2.0).clamp(0.0, unstated);
    // Where all of it turns, rounding must not leave less than none.
    moles[Component::No3] = (moles[Component::No3] - ammonium).max(0.0);
    moles[Component::Nh4] += ammonium;
    if elements.unstated_n > ROUNDING_N {
        notes.push(format!(
            "The label does not say which form {:.1} of the {:.1} % nitrogen has: {:.0} % of that is taken as ammonium, the rest as nitrate.",
            elements.unstated_n,
            elements.nitrate_n + elements.ammonium_n + elements.urea_n,
            100.0 * ammonium / unstated
        ));
    }
    if elements.urea_n > 0.0 {
        notes.push(UREA.to_owned());
    }
    let closure = close(&mut moles, elements.s.is_some(), powder);
    notes.extend(made_up_for(&closure, &moles));
    notes.extend(with_chelates(&mut moles, &elements, label.na.is_some(), per));
    let solids_g = solids_share * grams;
    let (water_g, volume_ml, _) = water_and_volume(form, solids_g, 0.0);
    Ok(Dissolved {
        moles,
        urea_n_mol: elements.urea_n * per / weight::N,
        water_g,
        volume_ml,
        ln_sd: label_ln_sd().hypot(spread),
        closure,
        notes,
    })
}

/// Ions of a label as it stands, mol per 100 g or mL of product, nitrogen of unstated form as nitrate.
pub(super) fn ions(elements: &Elements) -> Totals {
    Totals::from_pairs(&[
        (Component::No3, elements.nitrate_n / weight::N),
        (Component::Nh4, elements.ammonium_n / weight::N),
        (Component::P, elements.p / weight::P),
        (Component::K, elements.k / weight::K),
        (Component::Ca, elements.ca / weight::CA),
        (Component::Mg, elements.mg / weight::MG),
        (Component::So4, elements.s.unwrap_or(0.0) / weight::S),
        (Component::Na, elements.na / weight::NA),
        (Component::Cl, elements.cl.unwrap_or(0.0) / weight::CL),
        (Component::Si, elements.si / weight::SI),
        (Component::B, elements.b / weight::B),
    ])
}

/// Solids in percent: the ions the elements stand for, near enough for the water they leave.
pub(super) fn solids(elements: &Elements) -> f64 {
    elements.nitrate_n * 4.43
        + elements.ammonium_n * 1.29
        + elements.urea_n * 2.14
        + elements.p * 3.13
        + elements.k
        + elements.ca
        + elements.mg
        + elements.s.unwrap_or(0.0) * 3.0
        + elements.na
        + elements.cl.unwrap_or(0.0)
        + elements.si * 3.4
        // A chelate weighs about six times its metal (EDTA over iron: 288 to 56).
        + elements.metals * 6.0
}

pub(super) fn positive_eq(moles: &Totals) -> f64 {
    2.0 * (moles[Component::Ca] + moles[Component::Mg])
        + moles[Component::Na]
        + moles[Component::K]
        + moles[Component::Nh4]
}

/// What was added so that the charge closes, in plain words.
fn made_up_for(closure: &Closure, closed: &Totals) -> Option<String> {
    let all = positive_eq(closed);
    let share = closure.residual_eq / all;
    let is_told = |eq: f64| eq > TOLD_SHARE * all;
    let listed = closed[Component::K] - closure.potassium_eq;
    let potassium = is_told(closure.potassium_eq).then(|| {
        if closure.potassium_eq > listed {
            "potassium that it does not list was counted".to_owned()
        } else {
            format!("potassium was counted {:.0} % higher than it is listed", 100.0 * closure.potassium_eq / listed)
        }
    });
    if share > GUESS_SHARE {
        let added = match (is_told(closure.sulfate_eq), is_told(closure.chloride_eq)) {
            (true, true) => "sulfate and chloride",
            (true, false) => "sulfate",
            _ => "chloride",
        };
        return Some(format!(
            "The label does not list all that is in it: {added} was counted for the rest, more than a tenth of it, which is a guess."
        ));
    }
    let is_guess = share < -GUESS_SHARE;
    let guess = if is_guess { ", which is a guess" } else { "" };
    let acid = (is_guess && is_told(closure.free_acid_eq)).then(|| "free acid was counted".to_owned());
    let made: Vec<String> = acid.into_iter().chain(potassium).collect();
    (!made.is_empty())
        .then(|| format!("The label's numbers do not quite balance: {} to make up for it{guess}.", made.join(" and ")))
}

/// Closes the charge by the rule of this module.
pub(super) fn close(moles: &mut Totals, sulfur_listed: bool, powder: bool) -> Closure {
    let phosphorus = moles[Component::P];
    let wanted_acid = free_acid_of_p().mean * phosphorus;
    // Alkalinity is cations minus anions with phosphate as H2PO4-.
    let residual_eq = moles.alkalinity();
    let mut closure = Closure {
        residual_eq,
        free_acid_eq: wanted_acid,
        free_acid_sd_eq: free_acid_of_p().sd * phosphorus,
        ..Closure::default()
    };
    let excess = residual_eq + wanted_acid;
    if excess > 0.0 {
        let with_sulfate = moles[Component::K] + moles[Component::Nh4] + 2.0 * moles[Component::Mg];
        let room = if sulfur_listed || (!powder && moles[Component::Ca] > 0.0) { 0.0 } else { with_sulfate };
        closure.sulfate_eq = excess.min(room);
        closure.chloride_eq = excess - closure.sulfate_eq;
        moles[Component::So4] += closure.sulfate_eq / 2.0;
        moles[Component::Cl] += closure.chloride_eq;
    } else {
        let rounding = ROUNDING_SHARE * positive_eq(moles);
        closure.free_acid_eq = (-residual_eq - rounding).clamp(wanted_acid, phosphorus.max(wanted_acid));
        closure.potassium_eq = (-residual_eq - closure.free_acid_eq).max(0.0);
        moles[Component::K] += closure.potassium_eq;
    }
    closure
}

/// Counts the counter-ions of chelates where they weigh, and says what is assumed of them.
fn with_chelates(moles: &mut Totals, elements: &Elements, sodium_listed: bool, per: f64) -> Option<String> {
    if elements.chelate_eq <= 0.0 {
        return None;
    }
    let eq = elements.chelate_eq * per;
    let percent = elements.chelate_eq * weight::NA;
    Some(if sodium_listed {
        "The counter-ion of the chelates is taken to be part of the sodium that the label lists.".to_owned()
    } else if eq < CHELATE_SHARE * positive_eq(moles) {
        format!(
            "The chelates bring about {percent:.2} % of sodium (potassium in some products): too little to count here."
        )
    } else {
        moles[Component::Na] += eq;
        moles[Component::Cl] += eq;
        format!(
            "The chelates are taken to come with sodium, about {percent:.2} % (potassium in some products); the chelate itself is counted as if it were chloride."
        )
    })
}
