//! Products of a person's own as versions 1 to 3 of a unit file knew them.

use serde::Deserialize;

use super::frozen::frozen;
use crate::garden::{
    AcidKind, BaseKind, Concentration, Evidence, Form, LabelAnalysis, LabelBasis, LabelRate, Partner, Product, Recipe,
    Role, Salt, SaltAmount, Strength, UnknownKind,
};

/// A product.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Product3 {
    id: String,
    name: String,
    role: Role3,
    form: Form,
    strength: Strength3,
    #[serde(default)]
    label_rate: Option<LabelRate>,
    #[serde(default)]
    partner: Option<Partner>,
    #[serde(default)]
    cautions: Vec<String>,
    source: String,
    evidence: Evidence,
    #[serde(default)]
    note: Option<String>,
}

/// What could be known of its strength.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
enum Strength3 {
    Recipe(Recipe3),
    Label(Box<LabelAnalysis3>),
    Acid { acid: AcidKind3, concentration: Concentration },
    Base { base: BaseKind3, concentration: Concentration },
    Unknown { kind: UnknownKind3, median_mmol_per_unit: f64, ln_sd: f64 },
}

#[derive(Deserialize)]
enum UnknownKind3 {
    Acid(AcidKind3),
    Base(BaseKind3),
    Feed,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Recipe3 {
    salts: Vec<SaltAmount3>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SaltAmount3 {
    salt: Salt3,
    grams: f64,
}

frozen!(
    /// What a product could be for.
    Role3 of Role { Feed, CalMag, PhDown, PhUp }
);
frozen!(
    /// The acids there were.
    AcidKind3 of AcidKind { Phosphoric, Citric, Nitric, Sulfuric, Hydrochloric }
);
frozen!(
    /// The bases there were.
    BaseKind3 of BaseKind {
        PotassiumHydroxide, PotassiumCarbonate, PotassiumBicarbonate, SodiumHydroxide, SodiumBicarbonate,
    }
);
frozen!(
    /// What a label's percent could be of.
    #[derive(Default)]
    LabelBasis3 of LabelBasis { #[default] MassPerMass, MassPerVolume }
);
frozen!(
    /// The salts there were.
    Salt3 of Salt {
        CalciumNitrate, CalciumNitrateTetrahydrate, CalciumAmmoniumNitrate, CalciumChlorideDihydrate, CalciumChloride,
        CalciumSulfateDihydrate, MagnesiumSulfateHeptahydrate, MagnesiumSulfate, MagnesiumNitrateHexahydrate,
        MagnesiumChlorideHexahydrate, PotassiumNitrate, PotassiumSulfate, PotassiumChloride, MonopotassiumPhosphate,
        DipotassiumPhosphate, AmmoniumNitrate, AmmoniumSulfate, AmmoniumChloride, MonoammoniumPhosphate,
        DiammoniumPhosphate, SodiumChloride, SodiumNitrate, SodiumBicarbonate, SodiumHydroxide, PotassiumHydroxide,
        PotassiumCarbonate, PotassiumBicarbonate, PotassiumSilicate, PhosphoricAcid, CitricAcid,
        CitricAcidMonohydrate, NitricAcid, SulfuricAcid, HydrochloricAcid, BoricAcid, Urea,
    }
);

/// A label's lines.
#[derive(Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
struct LabelAnalysis3 {
    basis: LabelBasis3,
    total_n: Option<f64>,
    nitrate_n: Option<f64>,
    ammonium_n: Option<f64>,
    urea_n: Option<f64>,
    p2o5: Option<f64>,
    p: Option<f64>,
    k2o: Option<f64>,
    k: Option<f64>,
    ca: Option<f64>,
    cao: Option<f64>,
    mg: Option<f64>,
    mgo: Option<f64>,
    s: Option<f64>,
    so3: Option<f64>,
    na: Option<f64>,
    cl: Option<f64>,
    sio2: Option<f64>,
    b: Option<f64>,
}

impl From<Product3> for Product {
    fn from(product: Product3) -> Self {
        Self {
            id: product.id,
            name: product.name,
            role: product.role.into(),
            form: product.form,
            strength: product.strength.into(),
            label_rate: product.label_rate,
            partner: product.partner,
            cautions: product.cautions,
            source: product.source,
            evidence: product.evidence,
            note: product.note,
        }
    }
}

impl From<Strength3> for Strength {
    fn from(strength: Strength3) -> Self {
        match strength {
            Strength3::Recipe(recipe) => Self::Recipe(recipe.into()),
            Strength3::Label(label) => Self::Label(Box::new((*label).into())),
            Strength3::Acid { acid, concentration } => Self::Acid { acid: acid.into(), concentration },
            Strength3::Base { base, concentration } => Self::Base { base: base.into(), concentration },
            Strength3::Unknown { kind, median_mmol_per_unit, ln_sd } => {
                Self::Unknown { kind: kind.into(), median_mmol_per_unit, ln_sd }
            }
        }
    }
}

impl From<UnknownKind3> for UnknownKind {
    fn from(kind: UnknownKind3) -> Self {
        match kind {
            UnknownKind3::Acid(acid) => Self::Acid(acid.into()),
            UnknownKind3::Base(base) => Self::Base(base.into()),
            UnknownKind3::Feed => Self::Feed,
        }
    }
}

impl From<Recipe3> for Recipe {
    fn from(recipe: Recipe3) -> Self {
        let amount = |part: SaltAmount3| SaltAmount { salt: part.salt.into(), grams: part.grams };
        Self { salts: recipe.salts.into_iter().map(amount).collect() }
    }
}

impl From<LabelAnalysis3> for LabelAnalysis {
    fn from(label: LabelAnalysis3) -> Self {
        Self {
            basis: label.basis.into(),
            total_n: label.total_n,
            nitrate_n: label.nitrate_n,
            ammonium_n: label.ammonium_n,
            urea_n: label.urea_n,
            p2o5: label.p2o5,
            p: label.p,
            k2o: label.k2o,
            k: label.k,
            ca: label.ca,
            cao: label.cao,
            mg: label.mg,
            mgo: label.mgo,
            s: label.s,
            so3: label.so3,
            na: label.na,
            cl: label.cl,
            sio2: label.sio2,
            b: label.b,
            ..Self::default()
        }
    }
}
