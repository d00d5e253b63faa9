//! From what a product is to what one mL or g of it puts into the water.
//!
//! How a label's charge is closed stands in `closing`; what stands for a feed without an analysis, in [`super::feed`].

use crate::chem::{ChemError, Component, Totals};

use super::closing::of_label;
use super::evidence::NormalPrior;
use super::feed::of_ec_rise;
use super::label::{LabelAnalysis, LabelBasis, LabelError, elemental};
use super::notes::{CITRIC, FALLS_OUT, UREA};
use super::peroxide::{self, HARMED_MG_L};
use super::priors::Priors;
use super::product::{AcidKind, BaseKind, Concentration, Form, Product, Recipe, Strength, UnknownKind};
use super::salts::{Salt, weight};
use super::substance::{
    acid_density, base_density, most_base_percent, most_percent, of_substance, refuse_strong, salt_of_acid,
    salt_of_base,
};
use super::tool::plain;

/// Volume that a gram of dissolved solid takes up in the solution, mL. Ours: a middle of nutrient salts (`MgSO4` 0.1, `KNO3`
/// 0.4, `Ca(NO3)2` 0.3, `KH2PO4` 0.4 at 10 % by mass, from memory).
pub(super) const SOLID_VOLUME_ML_PER_G: f64 = 0.35;
/// Strength of labelled products: 1 sd of the natural logarithm. Source: `profiles/priors.ron`.
pub(super) fn label_ln_sd() -> f64 {
    Priors::shipped().label_ln_sd.value
}

/// Added in quadrature when a w/w liquid has no density. Source: `profiles/priors.ron`.
pub(super) fn no_density_ln_sd() -> f64 {
    Priors::shipped().no_density_ln_sd.value
}

/// Free acid of a phosphate feed as a share of its phosphorus. Source: `profiles/priors.ron`.
pub(super) fn free_acid_of_p() -> NormalPrior {
    Priors::shipped().free_acid_of_p.value
}

/// What is said of a strength that is a guess.
pub(super) const GUESSED: &str =
    "The strength is not known: this is a guess with a wide spread, which each reading narrows.";
/// Least density of a liquid product, g/mL. Ours: below it no watery liquid lies.
pub const LEAST_DENSITY_G_ML: f64 = 0.8;
/// Most, g/mL. Ours: phosphoric acid of 85 %, the heaviest thing on a shelf, has 1.69.
pub const MOST_DENSITY_G_ML: f64 = 2.0;
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
    /// Silicon.
    pub si: f64,
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
            si: mg(Component::Si, weight::SI),
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
    #[error("{field} is {}; it must be {limit}", with_unit(*value, unit))]
    OutOfRange {
        /// Which.
        field: &'static str,
        /// What was given.
        value: f64,
        /// Its unit; empty where it has none.
        unit: &'static str,
        /// What is allowed, with its unit.
        limit: String,
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
    /// A strong mineral acid as a powder.
    #[error("{} is no powder: look at the label again (sodium bisulfate is the dry acid of pools)", acid.words())]
    NoPowder {
        /// Which.
        acid: AcidKind,
    },
    /// Hydrogen peroxide.
    #[error(
        "hydrogen peroxide is never planned with plants: {HARMED_MG_L} mg/L stunted or killed lettuce in mineral feed (Lau & Mattson 2021), and it moves neither EC nor pH to speak of"
    )]
    Peroxide,
    /// The chemistry has no answer.
    #[error(transparent)]
    Chemistry(#[from] ChemError),
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
    /// [`ProductError`] for numbers outside their limits, contradictory labels, refused acids and peroxide.
    pub fn dissolved(&self) -> Result<Dissolved, ProductError> {
        if peroxide::is_named(&self.name) {
            return Err(ProductError::Peroxide);
        }
        if let Form::Liquid { density_g_ml: Some(density) } = self.form
            && !(LEAST_DENSITY_G_ML..=MOST_DENSITY_G_ML).contains(&density)
        {
            return Err(ProductError::OutOfRange {
                field: "density",
                value: density,
                unit: "g/mL",
                limit: "0.8 to 2.0 g/mL".to_owned(),
            });
        }
        match &self.strength {
            Strength::Recipe(recipe) => of_recipe(recipe, self.form),
            Strength::Label(label) => of_label(label, self.form),
            Strength::Acid { acid, concentration } => {
                let percent = refuse_strong(*acid, *concentration, self.form)?;
                let note = match acid {
                    AcidKind::Citric => Some(CITRIC),
                    AcidKind::SodiumBisulfate => Some(
                        "Its sodium and sulfate stay in the water, 0.19 g and 0.80 g with each gram of it: phosphoric acid feeds instead.",
                    ),
                    _ => None,
                }
                .map(str::to_owned);
                of_substance(salt_of_acid(*acid), acid_density, *concentration, self.form, most_percent(*acid))
                    .map(|dissolved| dissolved.noting(note).noting(percent))
            }
            Strength::Base { base, concentration } => {
                let note = matches!(base, BaseKind::SodiumHydroxide | BaseKind::SodiumBicarbonate)
                    .then(|| "Its sodium stays in the water; potassium products do the same and feed.".to_owned());
                of_substance(salt_of_base(*base), base_density, *concentration, self.form, most_base_percent(*base))
                    .map(|dissolved| dissolved.noting(note))
            }
            Strength::RaisesEc { ms_cm_per_unit_l } => of_ec_rise(*ms_cm_per_unit_l, self.form),
            Strength::Peroxide(_) => Err(ProductError::Peroxide),
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

fn with_unit(value: f64, unit: &str) -> String {
    format!("{} {unit}", plain(value)).trim_end().to_owned()
}

/// A number from 0 to `most`, both in `unit`.
fn in_range(field: &'static str, value: f64, most: f64, unit: &'static str) -> Result<f64, ProductError> {
    if (0.0..=most).contains(&value) {
        Ok(value)
    } else {
        let limit = format!("0 to {}", with_unit(most, unit));
        Err(ProductError::OutOfRange { field, value, unit, limit })
    }
}

/// As [`in_range`], but nothing is no strength.
pub(super) fn above_zero(field: &'static str, value: f64, most: f64, unit: &'static str) -> Result<f64, ProductError> {
    if value > 0.0 && value <= most {
        Ok(value)
    } else {
        let limit = format!("above 0, at most {}", with_unit(most, unit));
        Err(ProductError::OutOfRange { field, value, unit, limit })
    }
}

fn of_recipe(recipe: &Recipe, form: Form) -> Result<Dissolved, ProductError> {
    if recipe.salts.is_empty() {
        return Err(ProductError::EmptyRecipe);
    }
    let (mut moles, mut grams, mut hydrate_g, mut urea) = (Totals::ZERO, 0.0, 0.0, 0.0);
    for part in &recipe.salts {
        let amount = in_range("an amount in the recipe", part.grams, 1000.0, "g")?;
        moles = moles.plus(&part.salt.dissolved(amount));
        grams += amount;
        hydrate_g += part.salt.hydrate_water_g(amount);
        if part.salt == Salt::Urea {
            urea += 2.0 * amount / Salt::Urea.molar_mass_g();
        }
    }
    above_zero("the sum of the recipe", grams, 1000.0, "g per L or kg")?;
    // Recipes are per L of liquid or kg of powder; results are per mL or g.
    let solids_g = (grams - hydrate_g) / 1000.0;
    let (water_g, volume_ml, _) = water_and_volume(form, solids_g, hydrate_g / 1000.0);
    let mut notes = Vec::new();
    let liquid = matches!(form, Form::Liquid { .. });
    let meets = |component: Component| moles[component] > 0.05;
    if liquid && meets(Component::Ca) && (meets(Component::So4) || meets(Component::P)) {
        notes.push(FALLS_OUT.to_owned());
    }
    if urea > 0.0 {
        notes.push(UREA.to_owned());
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
pub(super) fn water_and_volume(form: Form, solids_g: f64, hydrate_g: f64) -> (f64, f64, f64) {
    match form {
        Form::Liquid { density_g_ml: Some(density) } => ((density - solids_g).max(0.0), 1.0, 0.0),
        Form::Liquid { density_g_ml: None } => {
            ((1.0 - SOLID_VOLUME_ML_PER_G * solids_g).max(0.0), 1.0, no_density_ln_sd())
        }
        Form::Powder => (hydrate_g, hydrate_g + SOLID_VOLUME_ML_PER_G * solids_g, 0.0),
    }
}

fn of_unknown(kind: UnknownKind, mmol_per_unit: f64, ln_sd: f64, form: Form) -> Result<Dissolved, ProductError> {
    let mol = above_zero("the guessed strength", mmol_per_unit, 20.0, "mmol per mL or g")? / 1000.0;
    let ln_sd = in_range("the spread of the guess", ln_sd, 2.0, "")?;
    let salt = match kind {
        UnknownKind::Feed => return Ok(super::feed::of_guess(mol, ln_sd, form)),
        UnknownKind::Base(base) => salt_of_base(base),
        UnknownKind::Acid(acid) => {
            // Battery acid of unknown strength is no less battery acid.
            refuse_strong(acid, Concentration::MolPerL(mmol_per_unit), form)?;
            salt_of_acid(acid)
        }
    };
    let grams = mol * salt.molar_mass_g();
    let (water_g, volume_ml, _) = water_and_volume(form, grams.min(1.0), 0.0);
    Ok(Dissolved {
        moles: salt.dissolved(grams),
        urea_n_mol: 0.0,
        water_g,
        volume_ml,
        ln_sd,
        closure: Closure::default(),
        notes: vec![GUESSED.to_owned()],
    })
}
