//! A product as a person describes it: how far it is said, and what that makes on the shelf.

use super::product_parts::{PartLine, lines_of};
use super::readers::capital;
use super::tools::{answer_of, item_of};
use super::{id_of, one_of};
use crate::garden::{
    AcidKind, BaseKind, Catalog, Chelate, Concentration, Evidence, Form, LabelAnalysis, LabelBasis, LabelRate, Product,
    ProductRef, Recipe, Role, Salt, SaltAmount, Severity, ShelfItem, Strength, Unit, free_id, id_from,
};
use crate::ui::command::ProductField;
use crate::ui::state::{Keeper, ToolAnswer};
use crate::ui::view::ProductPick;

/// What a product may be for.
pub(super) const ROLES: [(Role, &str); 5] = [
    (Role::Feed, "Feed"),
    (Role::CalMag, "Calcium–magnesium"),
    (Role::Silicate, "Silicate"),
    (Role::PhDown, "Lowers pH"),
    (Role::PhUp, "Raises pH"),
];
pub(super) const ACIDS: [AcidKind; 6] = [
    AcidKind::Phosphoric,
    AcidKind::Citric,
    AcidKind::Nitric,
    AcidKind::Sulfuric,
    AcidKind::Hydrochloric,
    AcidKind::SodiumBisulfate,
];
pub(super) const BASES: [BaseKind; 5] = [
    BaseKind::PotassiumHydroxide,
    BaseKind::PotassiumCarbonate,
    BaseKind::PotassiumBicarbonate,
    BaseKind::SodiumHydroxide,
    BaseKind::SodiumBicarbonate,
];
/// How the strength of an acid or base is told.
pub(super) const COUNTED: [&str; 3] = ["%", "g/L", "mol/L"];
/// Salts of one recipe, at most. Ours.
const MOST_SALTS: usize = 10;
/// Lines of the label that stand open: nitrogen, phosphorus, potassium, calcium, magnesium, sulfur.
pub(super) const USUAL_LINES: usize = 14;

type Line = fn(&mut LabelAnalysis) -> &mut Option<f64>;
/// The lines of a label, in the order of [`LabelAnalysis::lines`].
const LINES: [Line; 23] = [
    |l| &mut l.total_n,
    |l| &mut l.nitrate_n,
    |l| &mut l.ammonium_n,
    |l| &mut l.urea_n,
    |l| &mut l.p2o5,
    |l| &mut l.p,
    |l| &mut l.k2o,
    |l| &mut l.k,
    |l| &mut l.ca,
    |l| &mut l.cao,
    |l| &mut l.mg,
    |l| &mut l.mgo,
    |l| &mut l.s,
    |l| &mut l.so3,
    |l| &mut l.na,
    |l| &mut l.cl,
    |l| &mut l.sio2,
    |l| &mut l.b,
    |l| &mut l.fe,
    |l| &mut l.mn,
    |l| &mut l.zn,
    |l| &mut l.cu,
    |l| &mut l.mo,
];

/// What is known of a product.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum Known {
    /// The analysis on its label.
    #[default]
    Label,
    /// The salts it is made of.
    Salts,
    /// How far it raises EC.
    Rise,
    /// What acid or base it is, and how strong.
    Substance,
    /// Nothing.
    Nothing,
}

impl Known {
    pub(super) const fn id(self) -> &'static str {
        match self {
            Self::Label => "label",
            Self::Salts => "salts",
            Self::Rise => "rise",
            Self::Substance => "substance",
            Self::Nothing => "nothing",
        }
    }

    /// What can be known of a product of a role, the usual first.
    pub(super) const fn of(role: Role) -> &'static [(Self, &'static str)] {
        match role {
            Role::Feed => &[
                (Self::Label, "The numbers on its label"),
                (Self::Salts, "The salts in it"),
                (Self::Rise, "How far it raises EC"),
                (Self::Nothing, "Nothing: a scoop of it"),
            ],
            Role::CalMag | Role::Silicate => {
                &[(Self::Label, "The numbers on its label"), (Self::Salts, "The salts in it")]
            }
            Role::PhDown | Role::PhUp => {
                &[(Self::Substance, "What it is, and how strong"), (Self::Nothing, "Nothing: no label")]
            }
        }
    }
}

/// A product that is being described, as far as it is filled in.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct ProductDraft {
    /// For whom it is described.
    pub keeper: Keeper,
    /// Its place on the shelf; none for a new one, and for one of the library.
    pub place: Option<usize>,
    /// Whether it is the person's own, and can be changed.
    pub is_own: bool,
    /// Name.
    pub name: String,
    /// What it is for.
    pub role_id: String,
    /// Liquid or powder.
    pub is_powder: bool,
    /// What is known of it.
    pub known: Known,
    /// Density, g/mL.
    pub density: Option<f64>,
    /// Rate on the label, per litre.
    pub rate: Option<f64>,
    /// Strength of an acid or base.
    pub strength: Option<f64>,
    /// Rise of EC.
    pub rise: Option<f64>,
    /// The label.
    pub label: LabelAnalysis,
    /// Whether the rarer lines are open.
    pub more: bool,
    /// The recipe.
    pub salts: Vec<(Salt, Option<f64>)>,
    /// Which acid or base.
    pub acid_id: String,
    /// See `acid_id`.
    pub base_id: String,
    /// How its strength is told.
    pub counted_id: String,
    /// The parts of the feed that it is one of, itself among them, in the order of pouring; none of one that is whole.
    pub parts: Vec<PartLine>,
    /// What it is measured with.
    pub tool: ToolAnswer,
    /// What keeps it from being kept, said once that was tried.
    pub refused: Option<String>,
    /// What it was, so that what the sheet does not show stays.
    pub(super) was: Option<Product>,
}

impl ProductDraft {
    /// A product of one's own that nothing is said of yet.
    pub fn new() -> Self {
        Self {
            is_own: true,
            role_id: id_of(&ROLES, ROLES[0]),
            salts: vec![(Salt::PotassiumNitrate, None)],
            ..Self::default()
        }
    }

    /// What stands at a place of the shelf. `as_own` takes what is shipped as one's own.
    pub fn of(unit: &Unit, catalog: &Catalog, place: usize, as_own: bool) -> Option<Self> {
        let item = unit.shelf.get(place)?;
        let product = catalog.product_of(item)?;
        let is_own = as_own || matches!(item.product, ProductRef::Own(_));
        let parts = lines_of(product, unit, catalog);
        Some(Self { place: Some(place), is_own, tool: answer_of(item, product), parts, ..Self::of_product(product) })
    }

    /// A product of the person's library; `None` begins a new one.
    pub fn of_library(product: Option<&Product>) -> Self {
        Self { keeper: Keeper::Library, ..product.map_or_else(Self::new, Self::of_product) }
    }

    /// What stands in the fields for a product.
    fn of_product(product: &Product) -> Self {
        let mut draft = Self {
            name: product.name.clone(),
            role_id: role_id(product.role),
            is_powder: product.form == Form::Powder,
            rate: product.label_rate.as_ref().map(|rate| rate.per_l),
            was: Some(product.clone()),
            ..Self::new()
        };
        if let Form::Liquid { density_g_ml } = product.form {
            draft.density = density_g_ml;
        }
        match &product.strength {
            Strength::Label(label) => {
                draft.label = **label;
                draft.more = label.lines().iter().skip(USUAL_LINES).any(|line| line.value.is_some());
            }
            Strength::Recipe(recipe) => {
                draft.known = Known::Salts;
                draft.salts = recipe.salts.iter().map(|part| (part.salt, Some(part.grams))).collect();
            }
            Strength::Acid { acid, concentration } => {
                draft.acid_id = id_of(&ACIDS, *acid);
                draft.take_concentration(*concentration);
            }
            Strength::Base { base, concentration } => {
                draft.base_id = id_of(&BASES, *base);
                draft.take_concentration(*concentration);
            }
            Strength::RaisesEc { ms_cm_per_unit_l } => {
                (draft.known, draft.rise) = (Known::Rise, Some(*ms_cm_per_unit_l));
            }
            Strength::Unknown { .. } | Strength::Peroxide(_) => draft.known = Known::Nothing,
        }
        draft
    }

    fn take_concentration(&mut self, concentration: Concentration) {
        let (place, value) = match concentration {
            Concentration::MassPercent(value) => (0, value),
            Concentration::GramsPerL(value) => (1, value),
            Concentration::MolPerL(value) => (2, value),
        };
        (self.known, self.counted_id, self.strength) = (Known::Substance, COUNTED[place].to_owned(), Some(value));
    }

    /// What it is for.
    pub fn role(&self) -> Role {
        one_of(&ROLES, &self.role_id).map_or(Role::Feed, |(role, _)| role)
    }

    /// It is for something else; what is known of it follows.
    pub fn set_role(&mut self, id: &str) {
        id.clone_into(&mut self.role_id);
        self.settle_known();
    }

    /// Something else is known of it.
    pub fn set_known(&mut self, id: &str) {
        let known = Known::of(self.role()).iter().find(|(known, _)| known.id() == id);
        self.known = known.map_or(self.known, |(known, _)| *known);
    }

    fn settle_known(&mut self) {
        let all = Known::of(self.role());
        if all.iter().all(|(known, _)| *known != self.known) {
            self.known = all.first().map_or(Known::Nothing, |(known, _)| *known);
        }
    }

    /// Liquid or powder; a tool of the other form gives way.
    pub fn set_form(&mut self, is_powder: bool) {
        self.is_powder = is_powder;
        self.tool = ToolAnswer::default();
        if is_powder {
            COUNTED[0].clone_into(&mut self.counted_id);
            if self.label.basis.is_by_volume() {
                self.label.basis = LabelBasis::default();
            }
        }
    }

    /// Id of what is known.
    pub fn known_id(&self) -> &'static str {
        self.known.id()
    }

    /// It is measured with something else.
    pub fn set_tool(&mut self, id: &str) {
        self.tool = ToolAnswer { id: id.to_owned(), numbers: [None; 2] };
    }

    /// Id of a salt of the recipe.
    pub fn salt_id(&self, place: usize) -> String {
        self.salts.get(place).map_or_else(String::new, |(salt, _)| id_of(&Salt::ALL, *salt))
    }

    /// Another salt at a place of the recipe.
    pub fn set_salt(&mut self, place: usize, id: &str) {
        if let (Some(slot), Some(salt)) = (self.salts.get_mut(place), one_of(&Salt::ALL, id)) {
            slot.0 = salt;
        }
    }

    /// A salt more.
    pub fn add_salt(&mut self) {
        self.salts.push((Salt::MagnesiumSulfateHeptahydrate, None));
    }

    /// A salt less.
    pub fn remove_salt(&mut self, place: usize) {
        if place < self.salts.len() {
            self.salts.remove(place);
        }
    }

    /// Whether another salt may be added.
    pub fn has_room_for_a_salt(&self) -> bool {
        self.salts.len() < MOST_SALTS
    }

    /// Takes a choice.
    pub fn pick(&mut self, pick: ProductPick, id: &str) {
        match pick {
            ProductPick::Basis => self.label.basis = one_of(&LabelBasis::ALL, id).unwrap_or_default(),
            ProductPick::Acid => id.clone_into(&mut self.acid_id),
            ProductPick::Base => id.clone_into(&mut self.base_id),
            ProductPick::CountedIn => id.clone_into(&mut self.counted_id),
            ProductPick::Chelate => {
                self.label.fe_chelate = id.parse::<usize>().ok().and_then(|place| Chelate::ALL.get(place).copied());
            }
        }
    }

    /// Where a number is kept.
    pub fn slot(&mut self, field: ProductField) -> Option<&mut Option<f64>> {
        match field {
            ProductField::Density => Some(&mut self.density),
            ProductField::Rate => Some(&mut self.rate),
            ProductField::Strength => Some(&mut self.strength),
            ProductField::Rise => Some(&mut self.rise),
            ProductField::Line(place) => LINES.get(usize::from(place)).map(|line| line(&mut self.label)),
            ProductField::Salt(place) => self.salts.get_mut(usize::from(place)).map(|(_, grams)| grams),
            ProductField::Part(place) => self.parts.get_mut(usize::from(place)).map(|line| &mut line.amount),
            ProductField::Tool(number) => self.tool.numbers.get_mut(usize::from(number)),
        }
    }

    fn form(&self) -> Form {
        if self.is_powder { Form::Powder } else { Form::Liquid { density_g_ml: self.density } }
    }

    fn strength(&self) -> Strength {
        let told = self.strength.unwrap_or(0.0);
        let concentration = match self.counted_id.as_str() {
            "g/L" => Concentration::GramsPerL(told),
            "mol/L" => Concentration::MolPerL(told),
            _ => Concentration::MassPercent(told),
        };
        match (self.known, self.role()) {
            (Known::Label, _) => Strength::Label(Box::new(self.label)),
            (Known::Salts, _) => Strength::Recipe(Recipe {
                salts: (self.salts.iter())
                    .filter_map(|(salt, grams)| Some(SaltAmount { salt: *salt, grams: (*grams)? }))
                    .collect(),
            }),
            (Known::Rise, _) => Strength::RaisesEc { ms_cm_per_unit_l: self.rise.unwrap_or(0.0) },
            (_, Role::PhDown) if self.known == Known::Substance => {
                Strength::Acid { acid: one_of(&ACIDS, &self.acid_id).unwrap_or(ACIDS[0]), concentration }
            }
            (_, Role::PhUp) if self.known == Known::Substance => {
                Strength::Base { base: one_of(&BASES, &self.base_id).unwrap_or(BASES[0]), concentration }
            }
            (_, Role::PhDown) => Strength::UNKNOWN_ACID,
            (_, Role::PhUp) => Strength::UNKNOWN_BASE,
            _ if self.is_powder => Strength::UNKNOWN_FEED,
            _ => Strength::UNKNOWN_LIQUID_FEED,
        }
    }

    /// The product as described so far.
    pub(super) fn product(&self, id: &str) -> Product {
        let was = self.was.clone();
        let told = match self.known {
            Known::Nothing => "nothing is known of it",
            Known::Rise => "how far it raises EC, as told by the person",
            _ => "as told by the person",
        };
        let (cautions, note) = was.map_or_else(Default::default, |p| (p.cautions, p.note));
        let purpose =
            self.was.as_ref().and_then(|p| p.label_rate.as_ref()).map_or_else(String::new, |r| r.purpose.clone());
        Product {
            id: id.to_owned(),
            name: self.name.trim().to_owned(),
            role: self.role(),
            form: self.form(),
            strength: self.strength(),
            label_rate: self.rate.map(|per_l| LabelRate { per_l, purpose }),
            // Parts are told of each other once all of them are known.
            partner: None,
            cautions,
            source: told.to_owned(),
            evidence: Evidence::Ours,
            note,
        }
    }

    /// What is still missing before it can be judged.
    pub(super) fn missing(&self) -> Option<&'static str> {
        let nothing = match self.known {
            Known::Label => self.label.lines().iter().all(|line| line.value.is_none()),
            Known::Salts => self.salts.iter().all(|(_, grams)| grams.is_none()),
            Known::Rise => self.rise.is_none(),
            Known::Substance => self.strength.is_none(),
            Known::Nothing => false,
        };
        match self.known {
            _ if self.name.trim().is_empty() => Some("It needs a name"),
            Known::Label if nothing => Some("It needs a number from its label"),
            Known::Salts if nothing => Some("It needs the grams of a salt"),
            Known::Rise if nothing => Some("It needs the rise of EC"),
            Known::Substance if nothing => Some("It needs its strength"),
            _ => None,
        }
    }

    /// What it makes on the shelf of a unit.
    ///
    /// # Errors
    /// What is missing or refused, in a sentence.
    pub fn item(&self, unit: &Unit, catalog: &Catalog) -> Result<ShelfItem, String> {
        let here = self.place.and_then(|place| unit.shelf.get(place));
        if !self.is_own {
            let item = here.ok_or("It no longer stands on the shelf")?;
            let product = catalog.product_of(item).ok_or("Nobody knows this product")?;
            return Ok(self.with_tools(item_of(product, item.product.clone(), &self.tool), here));
        }
        // What the log tells of goes by its id, so an own product keeps it.
        let kept =
            here.filter(|item| matches!(item.product, ProductRef::Own(_))).map(|item| item.product.id().to_owned());
        let product = self.own_product(&kept.unwrap_or_else(|| new_id(&self.name, unit, catalog)))?;
        Ok(self.with_tools(item_of(&product, ProductRef::Own(Box::new(product.clone())), &self.tool), here))
    }

    /// The product of one's own that it makes, under an id.
    ///
    /// # Errors
    /// What is missing or refused, in a sentence.
    pub fn own_product(&self, id: &str) -> Result<Product, String> {
        if let Some(missing) = self.missing() {
            return Err(missing.to_owned());
        }
        // Kept as it is where nothing of it was changed: the sheet does not show all that a product can say.
        if let Some(was) = self.was.as_ref().filter(|was| self.keeper == Keeper::Library && self.says_nothing_new(was))
        {
            return Ok(was.clone());
        }
        let mut product = self.product(id);
        if self.keeper == Keeper::Library && product.role == Role::Feed {
            // Which parts belong together is told on a shelf, and stays as it was told.
            product.partner = self.was.as_ref().and_then(|was| was.partner.clone());
        }
        match product.check().into_iter().find(|problem| problem.severity == Severity::Refused) {
            Some(problem) => Err(capital(&problem.message)),
            None => Ok(product),
        }
    }

    /// Whether it is one that was there, changed.
    pub(super) fn is_begun_from_one(&self) -> bool {
        self.was.is_some()
    }

    fn says_nothing_new(&self, was: &Product) -> bool {
        let fields = Self { refused: None, more: false, ..self.clone() };
        fields == Self { more: false, ..Self::of_library(Some(was)) }
    }

    /// Tools that the sheet cannot show stay.
    fn with_tools(&self, item: ShelfItem, here: Option<&ShelfItem>) -> ShelfItem {
        match here.filter(|_| self.tool.id == super::tools::AS_NOTED) {
            Some(here) => ShelfItem { tool: here.tool, also: here.also.clone(), ..item },
            None => item,
        }
    }
}

fn role_id(role: Role) -> String {
    ROLES.iter().position(|(other, _)| *other == role).unwrap_or_default().to_string()
}

/// An id from a name that nothing on the shelf and nothing shipped has.
fn new_id(name: &str, unit: &Unit, catalog: &Catalog) -> String {
    free_id(&id_from(name, "own"), |id| catalog.product(id).is_some() || unit.shelf_item(id).is_some())
}

impl ProductDraft {
    /// Whether all but the name is there.
    pub(super) fn missing_inside(&self) -> bool {
        Self { name: "a name".to_owned(), ..self.clone() }.missing().is_none()
    }
}
