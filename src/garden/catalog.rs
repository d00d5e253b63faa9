//! The shipped profiles, read from the files that are part of the binary.

use include_dir::{Dir, include_dir};
use ron::extensions::Extensions;
use serde::Deserialize;
use serde::de::DeserializeOwned;

use super::crop::{ALL_STAGES, BandClaim, Crop, SEEDLING};
use super::own::Own;
use super::priors::Priors;
use super::product::Product;
use super::reading::LogEntry;
use super::search::find_named;
use super::unit::{ProductRef, ShelfItem, Unit};
use super::water::{WaterKind, WaterProfile};

/// Where the priors are, below `profiles/`.
pub(super) const PRIORS_FILE: &str = "priors.ron";

/// Crops below `profiles/`, leafy greens first; within a file the common ones come first.
const CROP_FILES: [&str; 6] = [
    "crops/leafy.ron",
    "crops/herbs.ron",
    "crops/fruiting.ron",
    "crops/brassicas.ron",
    "crops/roots.ron",
    "crops/flowers.ron",
];

static PROFILES: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/profiles");

/// A place in a file.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Place {
    /// File, as a path below `profiles/`.
    pub file: String,
    /// Line, from 1.
    pub line: usize,
    /// Column, from 1.
    pub column: usize,
}

impl std::fmt::Display for Place {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}:{}:{}", self.file, self.line, self.column)
    }
}

/// Why a profile cannot be used.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum ProfileError {
    /// Not valid RON, an unknown field, a missing field, a wrong type.
    #[error("{reason} at {place}")]
    Syntax {
        /// Where.
        place: Place,
        /// What the parser says.
        reason: String,
    },
    /// A value that parses but makes no sense.
    #[error("{field} of {item} is {value}, but must be {limit}, in {file}")]
    Value {
        /// File.
        file: String,
        /// Which entry.
        item: String,
        /// Which field.
        field: String,
        /// What it is.
        value: String,
        /// What it must be.
        limit: String,
    },
    /// The same id twice.
    #[error("the id {id} is used twice, in {file}")]
    Duplicate {
        /// File of the second.
        file: String,
        /// Id.
        id: String,
    },
    /// A file that should be there is not, or is not text.
    #[error("the file is missing or not UTF-8 text: {file}")]
    Missing {
        /// File.
        file: String,
    },
}

/// An example unit, marked as one.
#[derive(Clone, PartialEq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ExampleUnit {
    /// Key.
    pub id: String,
    /// What it shows, in a sentence.
    pub about: String,
    /// The unit.
    pub unit: Unit,
}

impl ExampleUnit {
    /// The unit with its log moved in time so that the latest entry was ten minutes before `now_s`, Unix seconds: an example
    /// is always of today.
    pub fn unit_at(&self, now_s: i64) -> Unit {
        let mut unit = self.unit.clone();
        let latest = unit.log.iter().map(LogEntry::at_s).max().unwrap_or(now_s);
        let shift = now_s.saturating_sub(latest).saturating_sub(600);
        for entry in &mut unit.log {
            entry.shift(shift);
        }
        unit
    }
}

/// All shipped crops, waters, products and example units.
#[derive(Clone, PartialEq, Debug)]
pub struct Catalog {
    /// Crops, leafy greens first.
    pub crops: Vec<Crop>,
    /// Waters, one of each kind.
    pub waters: Vec<WaterProfile>,
    /// Generic products.
    pub products: Vec<Product>,
    /// Example units of one invented scenario.
    pub examples: Vec<ExampleUnit>,
    /// The person's own profiles; none in what is shipped. See [`Catalog::with_own`].
    pub own: Own,
}

impl Catalog {
    /// Reads the profiles that are part of the binary.
    ///
    /// # Errors
    /// Any [`ProfileError`]; a shipped binary has none, the tests see to that.
    pub fn shipped() -> Result<Self, ProfileError> {
        let mut catalog = Self {
            crops: Vec::new(),
            waters: read("waters.ron")?,
            products: Vec::new(),
            examples: read("examples.ron")?,
            own: Own::default(),
        };
        let seedling: Vec<BandClaim> = read("crops/seedling.ron")?;
        for file in CROP_FILES {
            catalog.crops.extend(read::<Vec<Crop>>(file)?);
        }
        for crop in &mut catalog.crops {
            add_seedling_claims(crop, &seedling);
        }
        for file in ["products/feeds.ron", "products/supplements.ron", "products/ph.ron"] {
            catalog.products.extend(read::<Vec<Product>>(file)?);
        }
        catalog.check()?;
        Ok(catalog)
    }

    /// Looks up a crop.
    pub fn crop(&self, id: &str) -> Option<&Crop> {
        self.crops.iter().find(|crop| crop.id == id)
    }

    /// Crops that fit what a person typed, the best fit first and equals in the order of the catalog; all of them for nothing
    /// typed.
    ///
    /// By the rule of [`find_named`].
    pub fn find_crops(&self, typed: &str) -> Vec<&Crop> {
        find_named(typed, &self.crops, |crop| crop.names())
    }

    /// Looks up a shipped product.
    pub fn product(&self, id: &str) -> Option<&Product> {
        self.products.iter().find(|product| product.id == id)
    }

    /// What is typical of a kind of water. `None` only in a catalog made by hand without that kind.
    pub fn water(&self, kind: WaterKind) -> Option<&WaterProfile> {
        self.waters.iter().find(|water| water.kind == kind)
    }

    /// The product a shelf item means, shipped or the person's own.
    pub fn product_of<'a>(&'a self, item: &'a ShelfItem) -> Option<&'a Product> {
        match &item.product {
            ProductRef::Shipped(id) => self.product(id),
            ProductRef::Own(product) => Some(product),
        }
    }

    /// Looks up an example unit.
    pub fn example(&self, id: &str) -> Option<&ExampleUnit> {
        self.examples.iter().find(|example| example.id == id)
    }

    /// Ids are unique and sources are not empty.
    fn check(&self) -> Result<(), ProfileError> {
        unique("crops", self.crops.iter().map(|crop| crop.id.as_str()))?;
        unique("products", self.products.iter().map(|product| product.id.as_str()))?;
        unique("examples.ron", self.examples.iter().map(|example| example.id.as_str()))?;
        for crop in &self.crops {
            if let Some(tolerance) = &crop.salt_tolerance {
                sourced("crops", &crop.id, &tolerance.source)?;
            }
            for claim in &crop.claims {
                sourced("crops", &crop.id, &claim.source)?;
                let known = claim.stage == ALL_STAGES || crop.stage(&claim.stage).is_some();
                if !known {
                    return Err(ProfileError::Value {
                        file: "crops".to_owned(),
                        item: crop.id.clone(),
                        field: "stage of a claim".to_owned(),
                        value: claim.stage.clone(),
                        limit: "`all` or a stage of the crop".to_owned(),
                    });
                }
            }
        }
        for product in &self.products {
            sourced("products", &product.id, &product.source)?;
        }
        for (field, sourced_by) in Priors::checked()?.sources() {
            sourced(PRIORS_FILE, field, &sourced_by.source)?;
        }
        for water in &self.waters {
            for source in water.sources() {
                sourced("waters.ron", &water.name, &source.source)?;
            }
        }
        Ok(())
    }
}

impl WaterProfile {
    /// Sources of all its values, in the order of the fields.
    pub fn sources(&self) -> Vec<super::evidence::Sourced> {
        vec![
            self.pattern.sourced(),
            self.ec_ms_cm.sourced(),
            self.ph.sourced(),
            self.alkalinity_meq_l.sourced(),
            self.other_anions_meq_l.sourced(),
            self.log10_pco2_fresh.sourced(),
            self.log10_pco2_stood.sourced(),
        ]
    }
}

/// Reads RON text, naming the place of a mistake.
///
/// `Some(...)` and the brackets of a variant's only field are left out, so that profiles read like a table.
///
/// # Errors
/// [`ProfileError::Syntax`] with `file`, line and column.
pub fn parse<T: DeserializeOwned>(file: &str, text: &str) -> Result<T, ProfileError> {
    let options =
        ron::Options::default().with_default_extension(Extensions::IMPLICIT_SOME | Extensions::UNWRAP_VARIANT_NEWTYPES);
    options.from_str(text).map_err(|error| ProfileError::Syntax {
        place: Place { file: file.to_owned(), line: error.span.start.line, column: error.span.start.col },
        reason: error.code.to_string(),
    })
}

pub(super) fn read<T: DeserializeOwned>(file: &str) -> Result<T, ProfileError> {
    let text = PROFILES
        .get_file(file)
        .and_then(include_dir::File::contents_utf8)
        .ok_or_else(|| ProfileError::Missing { file: file.to_owned() })?;
    parse(file, text)
}

/// A seedling of any crop gets the general seedling claims after its own.
fn add_seedling_claims(crop: &mut Crop, general: &[BandClaim]) {
    if crop.stage(SEEDLING).is_some() {
        crop.claims.extend(general.iter().cloned());
    }
}

fn unique<'a>(file: &str, ids: impl Iterator<Item = &'a str>) -> Result<(), ProfileError> {
    let mut seen = std::collections::BTreeSet::new();
    for id in ids {
        if !seen.insert(id) {
            return Err(ProfileError::Duplicate { file: file.to_owned(), id: id.to_owned() });
        }
    }
    Ok(())
}

fn sourced(file: &str, item: &str, source: &str) -> Result<(), ProfileError> {
    if source.trim().is_empty() {
        return Err(ProfileError::Value {
            file: file.to_owned(),
            item: item.to_owned(),
            field: "source".to_owned(),
            value: "empty".to_owned(),
            limit: "the source in words".to_owned(),
        });
    }
    Ok(())
}
