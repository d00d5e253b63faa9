//! What a person pours: feeds, supplements, pH-lowering and pH-raising products.

use serde::{Deserialize, Serialize};

use super::evidence::Evidence;
use super::label::LabelAnalysis;
use super::parts::Partner;
use super::peroxide::Grade;
use super::salts::Salt;

/// What the product is for.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Serialize, Deserialize)]
pub enum Role {
    /// Feed, whole or one part of it.
    Feed,
    /// Calcium–magnesium supplement.
    CalMag,
    /// Lowers pH.
    PhDown,
    /// Raises pH.
    PhUp,
    /// Potassium silicate: alkaline, and first of all into plain water.
    Silicate,
}

impl Role {
    /// Name for people.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Feed => "feed",
            Self::CalMag => "calcium–magnesium supplement",
            Self::PhDown => "pH-lowering",
            Self::PhUp => "pH-raising",
            Self::Silicate => "silicate",
        }
    }
}

/// Liquid or powder; decides the unit of every amount: mL or g.
#[derive(Clone, Copy, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Form {
    /// Liquid, measured in mL.
    Liquid {
        /// Density, g/mL (0.8 to 2). `None`: not known; estimated from what is dissolved, and the strength widened.
        #[serde(default)]
        density_g_ml: Option<f64>,
    },
    /// Powder, measured in g.
    Powder,
}

impl Form {
    /// Unit of amounts: `mL` or `g`.
    pub const fn unit(self) -> &'static str {
        match self {
            Self::Liquid { .. } => "mL",
            Self::Powder => "g",
        }
    }
}

/// Some grams of one salt.
#[derive(Clone, Copy, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SaltAmount {
    /// Which salt, hydrate included.
    pub salt: Salt,
    /// Grams: per litre of a liquid product, per kilogram of a powder.
    pub grams: f64,
}

/// A product made from known salts.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Recipe {
    /// The salts: g per L of liquid product, or g per kg of powder (the rest of a powder is inert or trace elements).
    pub salts: Vec<SaltAmount>,
}

/// How much acid or base is in a liquid or powder.
#[derive(Clone, Copy, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Concentration {
    /// Grams of the pure (anhydrous) substance in 100 g of product.
    MassPercent(f64),
    /// Grams of the pure (anhydrous) substance per litre of product.
    GramsPerL(f64),
    /// Moles per litre of product.
    MolPerL(f64),
}

/// Acids a person may name. Strong mineral acids are refused unless they are weak dilutions.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Serialize, Deserialize)]
pub enum AcidKind {
    /// Phosphoric acid.
    Phosphoric,
    /// Citric acid. Microbes eat it within days, so pH returns.
    Citric,
    /// Nitric acid.
    Nitric,
    /// Sulfuric acid (battery acid).
    Sulfuric,
    /// Hydrochloric (muriatic) acid.
    Hydrochloric,
    /// Sodium bisulfate, the "dry acid" of pools: half-neutralised sulfuric acid. Its sodium and sulfate stay in the tank.
    SodiumBisulfate,
}

impl AcidKind {
    /// Name for people.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Phosphoric => "phosphoric acid",
            Self::Citric => "citric acid",
            Self::Nitric => "nitric acid",
            Self::Sulfuric => "sulfuric acid",
            Self::Hydrochloric => "hydrochloric acid",
            Self::SodiumBisulfate => "sodium bisulfate (dry acid)",
        }
    }
}

/// Bases a person may name.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Serialize, Deserialize)]
pub enum BaseKind {
    /// Potassium hydroxide.
    PotassiumHydroxide,
    /// Potassium carbonate.
    PotassiumCarbonate,
    /// Potassium bicarbonate.
    PotassiumBicarbonate,
    /// Sodium hydroxide: its sodium stays in the tank.
    SodiumHydroxide,
    /// Sodium bicarbonate (baking soda): its sodium stays in the tank.
    SodiumBicarbonate,
}

impl BaseKind {
    /// Name for people.
    pub const fn words(self) -> &'static str {
        match self {
            Self::PotassiumHydroxide => "potassium hydroxide",
            Self::PotassiumCarbonate => "potassium carbonate",
            Self::PotassiumBicarbonate => "potassium bicarbonate",
            Self::SodiumHydroxide => "sodium hydroxide",
            Self::SodiumBicarbonate => "sodium bicarbonate",
        }
    }
}

/// Best guess at what an unlabelled product is.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub enum UnknownKind {
    /// An acid; the kind is the guess.
    Acid(AcidKind),
    /// A base; the kind is the guess.
    Base(BaseKind),
    /// A feed of middling balance; its mmol count nitrogen.
    Feed,
}

/// What is known about what is inside.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Strength {
    /// Made from known salts.
    Recipe(Recipe),
    /// The analysis printed on the label.
    Label(Box<LabelAnalysis>),
    /// An acid of known strength.
    Acid {
        /// Which.
        acid: AcidKind,
        /// How strong.
        concentration: Concentration,
    },
    /// A base of known strength.
    Base {
        /// Which.
        base: BaseKind,
        /// How strong.
        concentration: Concentration,
    },
    /// A feed of which a label, a leaflet or the person's own trial says how far it raises EC.
    RaisesEc {
        /// Rise of EC by one mL (or g) in a litre, mS/cm, at feeding strength: 0.02 to 2.
        ms_cm_per_unit_l: f64,
    },
    /// Hydrogen peroxide: on a shelf, but never planned; see [`super::peroxide`].
    Peroxide(Grade),
    /// No analysis: a guess with its spread.
    Unknown {
        /// Best guess at the substance.
        kind: UnknownKind,
        /// Median strength, mmol per mL or per g.
        median_mmol_per_unit: f64,
        /// Spread, 1 sd of the natural logarithm.
        ln_sd: f64,
    },
}

impl Strength {
    /// An unlabelled pH-lowering liquid: phosphoric more likely than not, 2.5 mmol/mL, a factor of 3 either way.
    ///
    /// Source: ours; the widths a trial on invented households found to be safe.
    pub const UNKNOWN_ACID: Self =
        Self::Unknown { kind: UnknownKind::Acid(AcidKind::Phosphoric), median_mmol_per_unit: 2.5, ln_sd: 0.63 };
    /// An unlabelled pH-raising liquid: hydroxide, 1.0 mmol/mL, a factor of 3 either way. Source: as above.
    pub const UNKNOWN_BASE: Self =
        Self::Unknown { kind: UnknownKind::Base(BaseKind::PotassiumHydroxide), median_mmol_per_unit: 1.0, ln_sd: 0.63 };
    /// A dry feed of which nothing is known, "a scoop of it": 7 mmol of nitrogen in a gram (10 %), a factor of 2.7 either way.
    ///
    /// Source: ours; dry feeds are sold with 5 to 20 % nitrogen, and 95 in 100 of this guess lie between 3.7 and 27 %.
    pub const UNKNOWN_FEED: Self = Self::Unknown { kind: UnknownKind::Feed, median_mmol_per_unit: 7.0, ln_sd: 0.5 };
    /// A liquid feed of which nothing is known: 1.4 mmol of nitrogen in a mL (2 %), a factor of 3.5 either way.
    ///
    /// Source: ours; bottles are sold from 0.5 % to 7 % nitrogen.
    pub const UNKNOWN_LIQUID_FEED: Self =
        Self::Unknown { kind: UnknownKind::Feed, median_mmol_per_unit: 1.4, ln_sd: 0.63 };
}

/// The rate a label recommends.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LabelRate {
    /// Amount per litre of water, mL or g.
    pub per_l: f64,
    /// What for.
    #[serde(default)]
    pub purpose: String,
}

/// One product.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Product {
    /// Key, lower case with hyphens.
    pub id: String,
    /// Name for people; generic in shipped data.
    pub name: String,
    /// What it is for.
    pub role: Role,
    /// Liquid or powder.
    pub form: Form,
    /// What is inside.
    pub strength: Strength,
    /// Rate on the label, if any.
    #[serde(default)]
    pub label_rate: Option<LabelRate>,
    /// The next part, for feeds in parts; see [`Product::parts`].
    #[serde(default)]
    pub partner: Option<Partner>,
    /// Cautions to show beside the step, each one short sentence.
    #[serde(default)]
    pub cautions: Vec<String>,
    /// Where the strength comes from.
    pub source: String,
    /// Kind of evidence for the strength.
    pub evidence: Evidence,
    /// Anything else worth knowing.
    #[serde(default)]
    pub note: Option<String>,
}

/// What is said beside every acid, whoever wrote its profile. Common practice, no source; label and data sheet come first.
const ACID_CAUTIONS: [&str; 6] = [
    "Read the label and the safety data sheet first.",
    "Goggles and gloves.",
    "Acid into water, never water into acid.",
    "Never near bleach: the two make chlorine gas.",
    "Never together with a pH-raising liquid.",
    "Lock it away from children.",
];
/// The same of bases.
const BASE_CAUTIONS: [&str; 5] = [
    "Read the label and the safety data sheet first.",
    "Goggles and gloves: a base harms eyes worse than acid.",
    "Into plenty of cold water, slowly.",
    "Never together with a pH-lowering liquid.",
    "Lock it away from children.",
];

/// The same of a silicate.
const SILICATE_CAUTIONS: [&str; 5] = [
    "Read the label and the safety data sheet first.",
    "Goggles and gloves: it is as alkaline as a pH-raising liquid.",
    "First of all, into plain water, stirred in before anything else goes in.",
    "Never together with a concentrate or an acid: it sets to a gel.",
    "Lock it away from children.",
];
impl Product {
    /// The cautions beside its step: the usual ones of an acid, a base or a silicate, which a product of the person's own does not name,
    /// and then what it says itself.
    pub fn told_cautions(&self) -> Vec<String> {
        let usual: &[&str] = match self.role {
            Role::PhDown => &ACID_CAUTIONS,
            Role::PhUp => &BASE_CAUTIONS,
            Role::Silicate => &SILICATE_CAUTIONS,
            Role::Feed | Role::CalMag => &[],
        };
        let own = self.cautions.iter().filter(|caution| !usual.contains(&caution.as_str())).cloned();
        usual.iter().map(|caution| (*caution).to_owned()).chain(own).collect()
    }
}
