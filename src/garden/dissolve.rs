//! From what a product is to what one mL or g of it puts into the water.
//!
//! # Closing the charge of a label
//!
//! A label's ions do not balance: sulfur and chloride are often left out, numbers are rounded, and trace elements and
//! chelates are ignored here. The rule, ours, with phosphate counted as H2PO4-:
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

use crate::chem::{Component, Totals};

use super::evidence::NormalPrior;
use super::label::{Elements, LabelAnalysis, LabelBasis, LabelError, elemental};
use super::priors::Priors;
use super::product::{AcidKind, BaseKind, Form, Product, Recipe, Strength, UnknownKind};
use super::salts::{Salt, weight};
use super::substance::{
    acid_density, base_density, most_base_percent, most_percent, of_substance, refuse_strong, salt_of_acid,
    salt_of_base,
};

/// Volume that a gram of dissolved solid takes up in the solution, mL. Ours: a middle of nutrient salts (`MgSO4` 0.1, `KNO3`
/// 0.4, `Ca(NO3)2` 0.3, `KH2PO4` 0.4 at 10 % by mass, from memory).
pub(super) const SOLID_VOLUME_ML_PER_G: f64 = 0.35;
/// Strength of labelled products: 1 sd of the natural logarithm. Source: `profiles/priors.ron`.
pub(super) fn label_ln_sd() -> f64 {
    Priors::shipped().label_ln_sd.value
}

/// Added in quadrature when a w/w liquid has no density. Source: `profiles/priors.ron`.
fn no_density_ln_sd() -> f64 {
    Priors::shipped().no_density_ln_sd.value
}

/// Free acid of a phosphate feed as a share of its phosphorus. Source: `profiles/priors.ron`.
fn free_acid_of_p() -> NormalPrior {
    Priors::shipped().free_acid_of_p.value
}

/// Share of a label's equivalents that may be rounding. Ours: two lines rounded to half a percent in ten.
const ROUNDING_SHARE: f64 = 0.05;
/// Above this the strong mineral acids are refused, % by mass. From memory: nitric acid is classed as corrosive from 5 % in
/// the EU (CLP regulation, Annex VI).
pub const MOST_MINERAL_ACID_PERCENT: f64 = 5.0;

/// What one unit of a product, a mL of a liquid or a g of a powder, puts into the water.
#[derive(Clone, PartialEq, Debug)]
pub struct Dissolved {
    /// Ions and weak acids, mol per mL or g.
    pub moles: Totals,
    /// Nitrogen as urea, mol N per mL or g: neutral, so neither EC nor pH sees it.
    pub urea_n_mol: f64,
    /// Water it brings, g per mL or g.
    pub water_g: f64,
    /// Volume it adds, mL per mL or g.
    pub volume_ml: f64,
    /// Spread of its strength, 1 sd of the natural logarithm.
    pub ln_sd: f64,
    /// What the charge closure did.
    pub closure: Closure,
    /// What to tell the person, one sentence each.
    pub notes: Vec<String>,
}

/// What the charge closure added, eq per mL or g; all zero for recipes, acids and bases, which balance as they are.
#[derive(Clone, Copy, PartialEq, Debug, Default)]
pub struct Closure {
    /// Cations minus anions as the label lists them, phosphate as H2PO4-.
    pub residual_eq: f64,
    /// Sulfate added.
    pub sulfate_eq: f64,
    /// Chloride added.
    pub chloride_eq: f64,
    /// Potassium added.
    pub potassium_eq: f64,
    /// Free acid left, the middle of the belief.
    pub free_acid_eq: f64,
    /// Its spread, 1 sd.
    pub free_acid_sd_eq: f64,
}

/// Nutrients of a dose, mg/L as elements.
#[derive(Clone, Copy, PartialEq, Debug, Default)]
pub struct Nutrients {
    /// Nitrogen, all forms.
    pub n: f64,
    /// Nitrogen as ammonium.
    pub ammonium_n: f64,
    /// Phosphorus.
    pub p: f64,
    /// Potassium.
    pub k: f64,
    /// Calcium.
    pub ca: f64,
    /// Magnesium.
    pub mg: f64,
    /// Sulfur.
    pub s: f64,
    /// Sodium.
    pub na: f64,
    /// Chloride.
    pub cl: f64,
}

impl Nutrients {
    /// Of totals in mol per litre.
    pub fn of(totals: &Totals) -> Self {
        let mg = |component: Component, atomic_weight: f64| totals[component] * atomic_weight * 1000.0;
        let ammonium_n = mg(Component::Nh4, weight::N);
        Self {
            n: mg(Component::No3, weight::N) + ammonium_n,
            ammonium_n,
            p: mg(Component::P, weight::P),
            k: mg(Component::K, weight::K),
            ca: mg(Component::Ca, weight::CA),
            mg: mg(Component::Mg, weight::MG),
            s: mg(Component::So4, weight::S),
            na: mg(Component::Na, weight::NA),
            cl: mg(Component::Cl, weight::CL),
        }
    }
}

/// Why a product cannot be used as described.
#[derive(Clone, PartialEq, Debug, thiserror::Error)]
#[non_exhaustive]
pub enum ProductError {
    /// The label contradicts itself.
    #[error(transparent)]
    Label(#[from] LabelError),
    /// A number outside its limits.
    #[error("{field} is {value}; it must be {limit}")]
    OutOfRange {
        /// Which.
        field: &'static str,
        /// What was given.
        value: f64,
        /// What is allowed.
        limit: &'static str,
    },
    /// A strong mineral acid too strong for a home.
    #[error(
        "{} of {percent:.0} % is refused: it burns skin, eyes and lungs; use a weaker pH-lowering product (up to {limit_percent:.0} % of this acid can be planned)",
        acid.words()
    )]
    RefusedAcid {
        /// Which.
        acid: AcidKind,
        /// Its strength, % by mass.
        percent: f64,
        /// What can be planned, % by mass.
        limit_percent: f64,
    },
    /// A strength per litre of a powder.
    #[error("a powder has no strength per litre; give percent by mass")]
    PowderPerLitre,
    /// A recipe without salts.
    #[error("the recipe lists no salt")]
    EmptyRecipe,
}

impl Product {
    /// What one mL (liquid) or g (powder) puts into the water.
    ///
    /// **Accuracy** see [`Dissolved::ln_sd`]. Trace elements and chelates are left out.
    ///
    /// # Errors
    /// [`ProductError`] for numbers outside their limits, contradictory labels and refused acids.
    pub fn dissolved(&self) -> Result<Dissolved, ProductError> {
        if let Form::Liquid { density_g_ml: Some(density) } = self.form
            && !(0.8..=2.0).contains(&density)
        {
            return Err(ProductError::OutOfRange { field: "density", value: density, limit: "0.8 to 2.0 g/mL" });
        }
        match &self.strength {
            Strength::Recipe(recipe) => of_recipe(recipe, self.form),
            Strength::Label(label) => of_label(label, self.form),
            Strength::Acid { acid, concentration } => {
                let percent = refuse_strong(*acid, *concentration)?;
                let note = (*acid == AcidKind::Citric)
                    .then(|| "Citric acid is eaten by microbes within days, so pH comes back.".to_owned());
                of_substance(salt_of_acid(*acid), acid_density, *concentration, self.form, most_percent(*acid))
                    .map(|dissolved| dissolved.noting(note).noting(percent))
            }
            Strength::Base { base, concentration } => {
                let note = matches!(base, BaseKind::SodiumHydroxide | BaseKind::SodiumBicarbonate)
                    .then(|| "Its sodium stays in the water; potassium products do the same and feed.".to_owned());
                of_substance(salt_of_base(*base), base_density, *concentration, self.form, most_base_percent(*base))
                    .map(|dissolved| dissolved.noting(note))
            }
            Strength::Unknown { kind, median_mmol_per_unit, ln_sd } => {
                of_unknown(*kind, *median_mmol_per_unit, *ln_sd, self.form)
            }
        }
    }
}

impl Dissolved {
    /// Nutrients of `per_l` mL or g in a litre, mg/L. Urea counts as nitrogen.
    pub fn nutrients(&self, per_l: f64) -> Nutrients {
        let mut nutrients = Nutrients::of(&self.moles.scaled(per_l));
        nutrients.n += self.urea_n_mol * per_l * weight::N * 1000.0;
        nutrients
    }

    /// The analysis a label would print, from what is inside: % by mass, every form listed, nothing rounded.
    ///
    /// `unit_g` is the mass of one mL or g of the product: its density, or 1 for a powder; above 0.
    pub fn as_label(&self, unit_g: f64) -> LabelAnalysis {
        let percent = |component: Component, atomic_weight: f64| {
            Some(100.0 * self.moles[component] * atomic_weight / unit_g).filter(|percent| *percent > 0.0)
        };
        LabelAnalysis {
            basis: LabelBasis::MassPerMass,
            nitrate_n: percent(Component::No3, weight::N),
            ammonium_n: percent(Component::Nh4, weight::N),
            urea_n: Some(100.0 * self.urea_n_mol * weight::N / unit_g).filter(|percent| *percent > 0.0),
            p2o5: percent(Component::P, weight::P / elemental::P_IN_P2O5),
            k2o: percent(Component::K, weight::K / elemental::K_IN_K2O),
            ca: percent(Component::Ca, weight::CA),
            mg: percent(Component::Mg, weight::MG),
            // Listed even when nil: on a label, silence would mean "not told".
            s: Some(100.0 * self.moles[Component::So4] * weight::S / unit_g),
            na: percent(Component::Na, weight::NA),
            cl: Some(100.0 * self.moles[Component::Cl] * weight::CL / unit_g),
            sio2: percent(Component::Si, weight::SI / elemental::SI_IN_SIO2),
            b: percent(Component::B, weight::B),
            ..LabelAnalysis::default()
        }
    }

    /// Alkalinity it adds, eq per mL or g; below zero for acids.
    pub fn alkalinity_eq(&self) -> f64 {
        self.moles.alkalinity()
    }

    fn noting(mut self, note: Option<String>) -> Self {
        self.notes.extend(note);
        self
    }
}

pub(super) fn in_range(field: &'static str, value: f64, most: f64, limit: &'static str) -> Result<f64, ProductError> {
    if value >= 0.0 && value <= most { Ok(value) } else { Err(ProductError::OutOfRange { field, value, limit }) }
}

fn of_recipe(recipe: &Recipe, form: Form) -> Result<Dissolved, ProductError> {
    if recipe.salts.is_empty() {
        return Err(ProductError::EmptyRecipe);
    }
    let (mut moles, mut grams, mut hydrate_g, mut urea) = (Totals::ZERO, 0.0, 0.0, 0.0);
    for part in &recipe.salts {
        let amount = in_range("an amount in the recipe", part.grams, 1000.0, "0 to 1000 g")?;
        moles = moles.plus(&part.salt.dissolved(amount));
        grams += amount;
        hydrate_g += part.salt.hydrate_water_g(amount);
        if part.salt == Salt::Urea {
            urea += 2.0 * amount / Salt::Urea.molar_mass_g();
        }
    }
    in_range("the sum of the recipe", grams, 1000.0, "at most 1000 g per L or kg")?;
    // Recipes are per L of liquid or kg of powder; results are per mL or g.
    let solids_g = (grams - hydrate_g) / 1000.0;
    let (water_g, volume_ml, _) = water_and_volume(form, solids_g, hydrate_g / 1000.0);
    let mut notes = Vec::new();
    let liquid = matches!(form, Form::Liquid { .. });
    let meets = |component: Component| moles[component] > 0.05;
    if liquid && meets(Component::Ca) && (meets(Component::So4) || meets(Component::P)) {
        notes.push("Calcium with this much sulfate or phosphate would fall out in the bottle.".to_owned());
    }
    Ok(Dissolved {
        moles: moles.scaled(1e-3),
        urea_n_mol: urea * 1e-3,
        water_g,
        volume_ml,
        // A recipe's grams per litre do not depend on the density.
        ln_sd: label_ln_sd(),
        closure: Closure::default(),
        notes,
    })
}

/// Water (g) and volume (mL) of one unit that holds `solids_g` of dissolved, anhydrous solids; and the spread that an
/// unknown density brings to a strength by mass.
fn water_and_volume(form: Form, solids_g: f64, hydrate_g: f64) -> (f64, f64, f64) {
    match form {
        Form::Liquid { density_g_ml: Some(density) } => ((density - solids_g).max(0.0), 1.0, 0.0),
        Form::Liquid { density_g_ml: None } => {
            ((1.0 - SOLID_VOLUME_ML_PER_G * solids_g).max(0.0), 1.0, no_density_ln_sd())
        }
        Form::Powder => (hydrate_g, hydrate_g + SOLID_VOLUME_ML_PER_G * solids_g, 0.0),
    }
}

fn of_label(label: &LabelAnalysis, form: Form) -> Result<Dissolved, ProductError> {
    let elements = label.elements()?;
    let powder = matches!(form, Form::Powder);
    if powder && label.basis == LabelBasis::MassPerVolume {
        return Err(ProductError::PowderPerLitre);
    }
    let solids_share = solids(&elements) / 100.0;
    let mut notes = Vec::new();
    // Grams of product in one unit, so that percent of it are grams.
    let (grams, spread) = match (form, label.basis) {
        (Form::Powder, _) | (_, LabelBasis::MassPerVolume) => (1.0, 0.0),
        (Form::Liquid { density_g_ml: Some(density) }, LabelBasis::MassPerMass) => (density, 0.0),
        (Form::Liquid { density_g_ml: None }, LabelBasis::MassPerMass) => {
            notes.push(
                "The density is not known: it is estimated from the analysis, so a mL may hold some 7 % more or less."
                    .to_owned(),
            );
            // 1 g of solution takes (1 - s) + 0.35 s mL.
            (1.0 / (1.0 - solids_share * (1.0 - SOLID_VOLUME_ML_PER_G)).max(0.5), no_density_ln_sd())
        }
    };
    let per = grams / 100.0;
    let mut moles = Totals::from_pairs(&[
        (Component::No3, elements.nitrate_n * per / weight::N),
        (Component::Nh4, elements.ammonium_n * per / weight::N),
        (Component::P, elements.p * per / weight::P),
        (Component::K, elements.k * per / weight::K),
        (Component::Ca, elements.ca * per / weight::CA),
        (Component::Mg, elements.mg * per / weight::MG),
        (Component::So4, elements.s.unwrap_or(0.0) * per / weight::S),
        (Component::Na, elements.na * per / weight::NA),
        (Component::Cl, elements.cl.unwrap_or(0.0) * per / weight::CL),
        (Component::Si, elements.si * per / weight::SI),
        (Component::B, elements.b * per / weight::B),
    ]);
    let unstated = elements.unstated_n * per / weight::N;
    let short = -(moles.alkalinity() + free_acid_of_p().mean * moles[Component::P]);
    // Turning one mole of nitrate into ammonium mends two equivalents.
    let ammonium = (short / 2.0).clamp(0.0, unstated);
    moles[Component::No3] -= ammonium;
    moles[Component::Nh4] += ammonium;
    // Below 0.15 % it is the rounding of the lines.
    if elements.unstated_n > 0.15 {
        notes.push(format!(
            "The label does not say which form all of the nitrogen has: {:.0} % of that is taken as ammonium, the rest as nitrate.",
            100.0 * ammonium / unstated
        ));
    }
    if elements.urea_n > 0.0 {
        notes.push("Urea does not show on an EC meter: the reading understates this feed.".to_owned());
    }
    let closure = close(&mut moles, elements.s.is_some(), powder);
    if closure.residual_eq.abs() > 0.1 * positive_eq(&moles) {
        notes.push("The label's ions are more than a tenth out of balance: the closing is a guess.".to_owned());
    }
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

/// Solids in percent: the ions the elements stand for, near enough for the water they leave.
fn solids(elements: &Elements) -> f64 {
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
}

fn positive_eq(moles: &Totals) -> f64 {
    2.0 * (moles[Component::Ca] + moles[Component::Mg])
        + moles[Component::Na]
        + moles[Component::K]
        + moles[Component::Nh4]
}

/// Closes the charge by the rule of this module.
fn close(moles: &mut Totals, sulfur_listed: bool, powder: bool) -> Closure {
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

fn of_unknown(kind: UnknownKind, mmol_per_unit: f64, ln_sd: f64, form: Form) -> Result<Dissolved, ProductError> {
    let mol = in_range("the guessed strength", mmol_per_unit, 20.0, "0 to 20 mmol per mL or g")? / 1000.0;
    let ln_sd = in_range("the spread of the guess", ln_sd, 2.0, "0 to 2")?;
    let (moles, grams) = match kind {
        UnknownKind::Acid(acid) => (salt_of_acid(acid).dissolved(1.0), salt_of_acid(acid).molar_mass_g()),
        UnknownKind::Base(base) => (salt_of_base(base).dissolved(1.0), salt_of_base(base).molar_mass_g()),
        UnknownKind::Feed => (feed_per_mol_n(), 90.0),
    };
    // `dissolved(1 g)` times the molar mass is one mole; the feed's pattern is one mole of nitrogen already.
    let per_mol = if kind == UnknownKind::Feed { moles } else { moles.scaled(grams) };
    let (water_g, volume_ml, _) = water_and_volume(form, (mol * grams).min(1.0), 0.0);
    Ok(Dissolved {
        moles: per_mol.scaled(mol),
        urea_n_mol: 0.0,
        water_g,
        volume_ml,
        ln_sd,
        closure: Closure::default(),
        notes: vec![
            "The strength is not known: this is a guess with a wide spread, which each reading narrows.".to_owned(),
        ],
    })
}

/// A feed of middling balance, per mole of nitrogen. Ours, near the leafy target of Cornell's home guide (2020): N 150, P 35,
/// K 200, Ca 90, Mg 25 mg/L, closed with sulfate.
fn feed_per_mol_n() -> Totals {
    Totals::from_pairs(&[
        (Component::No3, 0.92),
        (Component::Nh4, 0.08),
        (Component::P, 0.11),
        (Component::K, 0.50),
        (Component::Ca, 0.22),
        (Component::Mg, 0.10),
        (Component::So4, 0.095),
    ])
}
