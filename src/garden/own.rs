//! What a person adds to the shipped profiles: products, crops and waters of their own.
//!
//! Their profiles stand beside the shipped ones, marked, and never inside: [`Catalog::product`] and its kin know shipped
//! profiles only, so a unit that grows or pours something of one's own carries it in its file and can be handed on. Where an
//! entry lives on disk is no matter of this room.

use serde::{Deserialize, Serialize};

use super::catalog::Catalog;
use super::check::{FieldProblem, Severity};
use super::crop::{ALL_STAGES, Crop};
use super::growing::told;
use super::product::Product;
use super::water::SourceWater;

/// Longest name, characters. Ours: it has to fit on a card.
pub const LONGEST_NAME: usize = 60;
/// Longest id, characters. Ours.
const LONGEST_ID: usize = 60;
/// Most stages, claims, salts, cautions of one profile. Ours: more is no profile that a person wrote.
const MOST_ENTRIES: usize = 100;

/// A source water that a person knows and gives a name to.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OwnWater {
    /// Key, lower case with hyphens.
    pub id: String,
    /// Name for people.
    pub name: String,
    /// What is known of it.
    pub water: SourceWater,
    /// Anything else: where it was drawn, when it was analysed.
    #[serde(default)]
    pub note: Option<String>,
}

/// Kinds of profile that a person can have of their own.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum OwnKind {
    /// Something poured.
    Product,
    /// Something grown.
    Crop,
    /// A source water.
    Water,
}

impl OwnKind {
    /// All kinds.
    pub const ALL: [Self; 3] = [Self::Product, Self::Crop, Self::Water];

    /// Name for people.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Product => "product",
            Self::Crop => "crop",
            Self::Water => "water",
        }
    }
}

/// One profile of a person's own.
#[derive(Clone, PartialEq, Debug)]
pub enum OwnProfile {
    /// A product.
    Product(Box<Product>),
    /// A crop.
    Crop(Box<Crop>),
    /// A water.
    Water(Box<OwnWater>),
}

impl OwnProfile {
    /// Which kind it is.
    pub const fn kind(&self) -> OwnKind {
        match self {
            Self::Product(_) => OwnKind::Product,
            Self::Crop(_) => OwnKind::Crop,
            Self::Water(_) => OwnKind::Water,
        }
    }

    /// Its key.
    pub fn id(&self) -> &str {
        match self {
            Self::Product(product) => &product.id,
            Self::Crop(crop) => &crop.id,
            Self::Water(water) => &water.id,
        }
    }

    /// Its name for people.
    pub fn name(&self) -> &str {
        match self {
            Self::Product(product) => &product.name,
            Self::Crop(crop) => &crop.name,
            Self::Water(water) => &water.name,
        }
    }

    /// Whether its key can be one.
    pub fn has_usable_id(&self) -> bool {
        check_id(self.id()).is_none()
    }

    /// The same under another key and name.
    #[must_use]
    pub fn called(mut self, new_id: String, new_name: String) -> Self {
        let (id, name) = match &mut self {
            Self::Product(product) => (&mut product.id, &mut product.name),
            Self::Crop(crop) => (&mut crop.id, &mut crop.name),
            Self::Water(water) => (&mut water.id, &mut water.name),
        };
        (*id, *name) = (new_id, new_name);
        self
    }

    /// What keeps it from being used: each problem names the field, the value and the limit.
    pub fn check(&self) -> Vec<FieldProblem> {
        let mut problems = Vec::new();
        problems.extend(check_id(self.id()));
        problems.extend(check_name(self.name()));
        match self {
            Self::Product(product) => check_product(product, &mut problems),
            Self::Crop(crop) => check_crop(crop, &mut problems),
            Self::Water(water) => {
                let found = water.water.check().into_iter().map(|problem| problem.under("water"));
                problems.extend(found.filter(|problem| problem.severity == Severity::Refused));
            }
        }
        // A number may have three hundred digits.
        for problem in &mut problems {
            if let Some((end, _)) = problem.message.char_indices().nth(300) {
                problem.message.truncate(end);
                problem.message.push('…');
            }
        }
        problems
    }
}

/// Everything of a person's own, by kind.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Own {
    /// Products.
    pub products: Vec<Product>,
    /// Crops.
    pub crops: Vec<Crop>,
    /// Waters.
    pub waters: Vec<OwnWater>,
}

impl Own {
    /// Adds a profile behind the others of its kind.
    pub fn add(&mut self, profile: OwnProfile) {
        match profile {
            OwnProfile::Product(product) => self.products.push(*product),
            OwnProfile::Crop(crop) => self.crops.push(*crop),
            OwnProfile::Water(water) => self.waters.push(*water),
        }
    }

    /// All profiles, kind by kind.
    pub fn profiles(&self) -> Vec<OwnProfile> {
        let products = self.products.iter().cloned().map(|product| OwnProfile::Product(Box::new(product)));
        let crops = self.crops.iter().cloned().map(|crop| OwnProfile::Crop(Box::new(crop)));
        let waters = self.waters.iter().cloned().map(|water| OwnProfile::Water(Box::new(water)));
        products.chain(crops).chain(waters).collect()
    }
}

/// Two profiles of one kind that bear the same id, of which only the first can be used.
#[derive(Clone, PartialEq, Eq, Debug, thiserror::Error)]
#[error(
    "your {} “{yours}” has the id `{id}`, which is that of {} “{other}”; the id `{free_id}` is free",
    kind.words(),
    if *other_is_shipped { "the shipped" } else { "your" }
)]
pub struct IdClash {
    /// Their kind.
    pub kind: OwnKind,
    /// The id they share.
    pub id: String,
    /// Name of the one that is left out.
    pub yours: String,
    /// Name of the one that has the id.
    pub other: String,
    /// Whether that one is shipped.
    pub other_is_shipped: bool,
    /// An id that no profile of the kind has.
    pub free_id: String,
}

/// Whose a profile is.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Whose {
    /// It came with the program.
    Shipped,
    /// The person's own.
    Own,
}

impl Catalog {
    /// This catalog with a person's own profiles beside the shipped ones. Those that the catalog had before are replaced.
    ///
    /// An entry whose id is taken, by a shipped one or by one of the person's own before it, is left out and named in the
    /// second value together with an id that is free: which of the two is meant is not for a program to guess.
    #[must_use]
    pub fn with_own(&self, own: &Own) -> (Self, Vec<IdClash>) {
        let mut catalog = Self { own: Own::default(), ..self.clone() };
        let mut clashes = Vec::new();
        for profile in own.profiles() {
            match catalog.bearer(profile.kind(), profile.id()) {
                None => catalog.own.add(profile),
                Some((other, whose)) => {
                    let (kind, id) = (profile.kind(), profile.id());
                    let is_taken =
                        |id: &str| catalog.bearer(kind, id).is_some() || own.profiles().iter().any(|p| p.id() == id);
                    clashes.push(IdClash {
                        kind,
                        id: id.to_owned(),
                        yours: profile.name().to_owned(),
                        other: other.to_owned(),
                        other_is_shipped: whose == Whose::Shipped,
                        free_id: free_id(id, is_taken),
                    });
                }
            }
        }
        (catalog, clashes)
    }

    /// Name of the profile of a kind that has an id, and whose it is.
    pub fn bearer(&self, kind: OwnKind, id: &str) -> Option<(&str, Whose)> {
        match kind {
            OwnKind::Product => {
                let found = self.products_and_own().find(|(product, _)| product.id == id);
                found.map(|(product, whose)| (product.name.as_str(), whose))
            }
            OwnKind::Crop => {
                let found = self.crops_and_own().find(|(crop, _)| crop.id == id);
                found.map(|(crop, whose)| (crop.name.as_str(), whose))
            }
            // Shipped waters are known by their kind and have no id.
            OwnKind::Water => {
                let found = self.own.waters.iter().find(|water| water.id == id);
                found.map(|water| (water.name.as_str(), Whose::Own))
            }
        }
    }

    /// All products, the shipped ones first.
    pub fn products_and_own(&self) -> impl Iterator<Item = (&Product, Whose)> {
        marked(&self.products, &self.own.products)
    }

    /// All crops, the shipped ones first.
    pub fn crops_and_own(&self) -> impl Iterator<Item = (&Crop, Whose)> {
        marked(&self.crops, &self.own.crops)
    }
}

fn marked<'a, T>(shipped: &'a [T], own: &'a [T]) -> impl Iterator<Item = (&'a T, Whose)> {
    shipped.iter().map(|one| (one, Whose::Shipped)).chain(own.iter().map(|one| (one, Whose::Own)))
}

/// An id from a name: small letters, digits and hyphens, with room for a number behind it; `otherwise` where nothing of the name
/// is left.
pub fn id_from(name: &str, otherwise: &str) -> String {
    let plain: String =
        name.to_lowercase().chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).take(48).collect();
    let parts: Vec<&str> = plain.split('-').filter(|part| !part.is_empty()).collect();
    if parts.is_empty() { otherwise.to_owned() } else { parts.join("-") }
}

/// The first of "id-2", "id-3" … that is not taken; `wanted` itself if it is free.
pub fn free_id(wanted: &str, is_taken: impl Fn(&str) -> bool) -> String {
    let numbered = |n: u32| if n == 1 { wanted.to_owned() } else { format!("{wanted}-{n}") };
    (1..u32::MAX).map(numbered).find(|id| !is_taken(id)).unwrap_or_else(|| wanted.to_owned())
}

/// The first of "name", "name 2", "name 3" … that is not taken.
pub fn free_name(wanted: &str, is_taken: impl Fn(&str) -> bool) -> String {
    let numbered = |n: u32| if n == 1 { wanted.to_owned() } else { format!("{wanted} {n}") };
    (1..u32::MAX).map(numbered).find(|name| !is_taken(name)).unwrap_or_else(|| wanted.to_owned())
}

/// Whether two names are the same to a reader.
pub fn same_name(one: &str, other: &str) -> bool {
    one.trim().to_lowercase() == other.trim().to_lowercase()
}

fn check_id(id: &str) -> Option<FieldProblem> {
    let fits = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
    let is_id = !id.is_empty() && id.len() <= LONGEST_ID && id.chars().all(fits);
    (!is_id).then(|| {
        let limit = format!("1 to {LONGEST_ID} small letters, digits and hyphens");
        let message = format!("the id `{}` cannot be used: it must be {limit}", told(id));
        FieldProblem::refused("id", told(id), limit, message)
    })
}

/// What is wrong with a name of a unit or a profile.
pub fn check_name(name: &str) -> Option<FieldProblem> {
    let length = name.trim().chars().count();
    let is_name = (1..=LONGEST_NAME).contains(&length) && !name.chars().any(char::is_control);
    (!is_name).then(|| {
        let limit = format!("1 to {LONGEST_NAME} letters on one line");
        let message = match length {
            0 => "the name is empty; give it some letters".to_owned(),
            n if n > LONGEST_NAME => format!("the name has {n} letters; it must have at most {LONGEST_NAME}"),
            _ => format!("the name `{}` cannot be used: it must be {limit}", told(name)),
        };
        FieldProblem::refused("name", told(name), limit, message)
    })
}

fn too_many(field: &str, count: usize) -> Option<FieldProblem> {
    (count > MOST_ENTRIES).then(|| {
        let message = format!("{count} entries stand under {field}; there must be at most {MOST_ENTRIES}");
        FieldProblem::refused(field, count.to_string(), format!("at most {MOST_ENTRIES}"), message)
    })
}

fn check_product(product: &Product, problems: &mut Vec<FieldProblem>) {
    problems.extend(too_many("cautions", product.cautions.len()));
    // What a label leaves open is asked where it is typed, and keeps nobody from using it. The name was looked at.
    let found = product.check().into_iter().filter(|problem| problem.severity == Severity::Refused);
    problems.extend(found.filter(|problem| problem.field != "name"));
}

/// What a unit asks of a crop, and names that fit on a card.
fn check_crop(crop: &Crop, problems: &mut Vec<FieldProblem>) {
    let many = too_many("stages", crop.stages.len()).or_else(|| too_many("claims", crop.claims.len()));
    if let Some(many) = many {
        // Each of them named would be a list without an end.
        problems.push(many);
        return;
    }
    for (index, stage) in crop.stages.iter().enumerate() {
        let place = format!("stages.{index}");
        problems.extend(check_id(&stage.id).into_iter().chain(check_name(&stage.name)).map(|p| p.under(&place)));
        if stage.id == ALL_STAGES {
            let message = format!("no stage can be called `{ALL_STAGES}`, which means all of them");
            problems.push(FieldProblem::refused("id", ALL_STAGES, "another word", message).under(&place));
        }
    }
    problems.extend(crop.check());
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::garden::{Band, WaterKind};

    fn catalog() -> Catalog {
        Catalog::shipped().expect("the shipped profiles")
    }

    fn own_product(id: &str, name: &str) -> Product {
        let mut product = catalog().products.first().expect("a product").clone();
        (product.id, product.name) = (id.to_owned(), name.to_owned());
        product
    }

    #[test]
    fn own_profiles_stand_beside_the_shipped_ones_marked() {
        let shipped = catalog();
        let water = OwnWater {
            id: "rain-barrel".to_owned(),
            name: "Rain barrel".to_owned(),
            water: SourceWater::of_kind(WaterKind::Rain),
            note: None,
        };
        let own = Own { products: vec![own_product("sill-feed", "Sill feed")], waters: vec![water], ..Own::default() };
        let (catalog, clashes) = shipped.with_own(&own);
        assert_eq!((&catalog.own, clashes.len()), (&own, 0));
        assert_eq!(catalog.products, shipped.products, "never inside");
        assert!(catalog.product("sill-feed").is_none());
        let last = catalog.products_and_own().last().expect("one's own");
        assert_eq!((last.0.name.as_str(), last.1), ("Sill feed", Whose::Own));
        assert_eq!(catalog.bearer(OwnKind::Water, "rain-barrel"), Some(("Rain barrel", Whose::Own)));
        // Once more with nothing, they are gone.
        assert_eq!(catalog.with_own(&Own::default()).0, shipped);
    }

    #[test]
    fn any_name_makes_an_id() {
        for (name, id) in
            [("Sill feed", "sill-feed"), ("  Grüne -- Flasche 2 ", "gr-ne-flasche-2"), ("Роса", "product")]
        {
            assert_eq!(id_from(name, "product"), id);
        }
        for name in ["x".repeat(500), "ß".repeat(500), String::new()] {
            let id = id_from(&name, "product");
            assert_eq!(check_id(&free_id(&id, |taken| taken == id)), None, "{id}");
        }
    }

    #[test]
    fn a_clash_names_both_and_offers_a_free_id() {
        let shipped = catalog();
        let id = shipped.products[0].id.clone();
        let own = Own {
            products: vec![own_product(&id, "Sill feed"), own_product("mine", "One"), own_product("mine", "Two")],
            ..Own::default()
        };
        let (catalog, clashes) = shipped.with_own(&own);
        assert_eq!(catalog.own.products.len(), 1, "those without an id of their own are left out");
        let words: Vec<String> = clashes.iter().map(ToString::to_string).collect();
        let name = &shipped.products[0].name;
        assert_eq!(
            words,
            [
                format!(
                    "your product “Sill feed” has the id `{id}`, which is that of the shipped “{name}”; the id `{id}-2` is free"
                ),
                "your product “Two” has the id `mine`, which is that of your “One”; the id `mine-2` is free".to_owned(),
            ]
        );
    }

    #[test]
    fn what_makes_no_sense_is_refused_by_field() {
        let mut product = own_product("Sill Feed", " ");
        product.strength = crate::garden::Strength::Unknown {
            kind: crate::garden::UnknownKind::Feed,
            median_mmol_per_unit: -1.0,
            ln_sd: 0.5,
        };
        let of = |profile: OwnProfile| {
            let problems = profile.check();
            assert!(problems.iter().all(|p| p.message.len() < 400), "{problems:?}");
            problems.into_iter().map(|p| p.field).collect::<Vec<_>>()
        };
        assert_eq!(of(OwnProfile::Product(Box::new(product))), ["id", "name", "strength"]);
        let mut crop = catalog().crops[0].clone();
        crop.claims[0].ph = Some(Band::Span(7.0, 1e300));
        crop.claims[1].stage = "x".repeat(100_000);
        assert_eq!(of(OwnProfile::Crop(Box::new(crop.clone()))), ["claims.0.ph", "claims.1.stage"]);
        crop.stages.clear();
        assert_eq!(of(OwnProfile::Crop(Box::new(crop)))[0], "stages");
        let water = SourceWater { ec_ms_cm: Some(40.0), ..SourceWater::of_kind(WaterKind::Rain) };
        let water = OwnWater { id: "x".to_owned(), name: "X".to_owned(), water, note: None };
        assert_eq!(of(OwnProfile::Water(Box::new(water))), ["water.ec_ms_cm"]);
    }

    #[test]
    fn all_that_is_shipped_would_pass_as_ones_own() {
        let catalog = catalog();
        for product in &catalog.products {
            assert_eq!(OwnProfile::Product(Box::new(product.clone())).check(), [], "{}", product.id);
        }
        for crop in &catalog.crops {
            assert_eq!(OwnProfile::Crop(Box::new(crop.clone())).check(), [], "{}", crop.id);
        }
    }
}
