//! A unit: one reservoir and what grows on it. This is what a unit's file holds: inputs and promises only.

use serde::{Deserialize, Serialize};

use super::crop::Crop;
use super::evidence::LnPrior;
use super::growing::Growing;
use super::meter::Meter;
use super::priors::Priors;
use super::product::Product;
use super::reading::{LogEntry, Reading};
use super::tool::Tool;
use super::water::SourceWater;

/// How the reservoir is built. It decides how the water mixes and how fast carbon dioxide leaves.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Serialize, Deserialize)]
pub enum UnitKind {
    /// Jar or tub without pump or air: the roots hang into still water.
    StillJar,
    /// Bucket with an air stone.
    AeratedBucket,
    /// Trough or raft bed with an air stone or slow flow.
    Trough,
    /// Reservoir with a pump that returns to it.
    Recirculating,
}

impl UnitKind {
    /// All kinds.
    pub const ALL: [Self; 4] = [Self::StillJar, Self::AeratedBucket, Self::Trough, Self::Recirculating];

    /// Name for people.
    pub const fn words(self) -> &'static str {
        match self {
            Self::StillJar => "still jar or tub",
            Self::AeratedBucket => "bucket with an air stone",
            Self::Trough => "trough or raft bed",
            Self::Recirculating => "recirculating unit",
        }
    }

    /// Rate at which dissolved carbon dioxide comes into balance with the room, per hour (first order).
    ///
    /// Source: `profiles/priors.ron`.
    pub fn co2_rate_per_h(self) -> LnPrior {
        let by_kind = &Priors::shipped().exchange_per_h;
        match self {
            Self::StillJar => by_kind.still_jar.value,
            Self::Trough => by_kind.trough.value,
            Self::Recirculating => by_kind.recirculating.value,
            Self::AeratedBucket => by_kind.aerated_bucket.value,
        }
    }

    /// Minutes to wait between a pour and its reading. Custom, not measured: no institution gives a number for small tanks.
    pub const fn mixing_wait_min(self) -> u32 {
        match self {
            Self::StillJar | Self::AeratedBucket => 15,
            Self::Trough | Self::Recirculating => 30,
        }
    }

    /// Whether the level must not rise over the air roots.
    ///
    /// Source: Kratky 2009, "Three Non-Circulating Hydroponic Methods for Growing Lettuce", Acta Hort. 843:65.
    pub const fn level_must_not_rise(self) -> bool {
        matches!(self, Self::StillJar)
    }
}

/// How the present level is known.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default, Serialize, Deserialize)]
pub enum LevelKnown {
    /// Filled by a measured jug.
    Jug,
    /// Read from a mark that was once checked.
    Mark,
    /// By eye.
    #[default]
    Eye,
    /// The size printed on the tank.
    Nominal,
}

impl LevelKnown {
    /// All ways, surest first.
    pub const ALL: [Self; 4] = [Self::Jug, Self::Mark, Self::Eye, Self::Nominal];

    /// True over stated volume.
    ///
    /// Source: `profiles/priors.ron`.
    pub fn ratio(self) -> LnPrior {
        let by_way = &Priors::shipped().volume;
        match self {
            Self::Jug => by_way.jug.value,
            Self::Mark => by_way.mark.value,
            Self::Eye => by_way.eye.value,
            Self::Nominal => by_way.nominal.value,
        }
    }

    /// Name for people.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Jug => "filled by measuring jug",
            Self::Mark => "read from a checked mark",
            Self::Eye => "judged by eye",
            Self::Nominal => "size printed on the tank",
        }
    }
}

/// A product on the shelf: a shipped generic one, or the person's own.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
pub enum ProductRef {
    /// Id in the shipped catalog.
    Shipped(String),
    /// The person's own product.
    Own(Box<Product>),
}

impl ProductRef {
    /// The product's id.
    pub fn id(&self) -> &str {
        match self {
            Self::Shipped(id) => id,
            Self::Own(product) => &product.id,
        }
    }
}

/// A product and what it is measured with.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ShelfItem {
    /// Which product.
    pub product: ProductRef,
    /// Which tool.
    pub tool: Tool,
    /// Other tools at hand for it; the one that measures an amount best is taken.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub also: Vec<Tool>,
    /// Whether it is used up or given away: plans leave it out. It stays in the unit because the log speaks of it.
    #[serde(default, skip_serializing_if = "is_false")]
    pub used_up: bool,
}

/// What a file need not say.
#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde asks for a reference")]
const fn is_false(flag: &bool) -> bool {
    !*flag
}

impl ShelfItem {
    /// A product with one tool.
    pub fn new(product: ProductRef, tool: Tool) -> Self {
        Self { product, tool, also: Vec::new(), used_up: false }
    }

    /// All tools at hand for it.
    pub fn tools(&self) -> impl Iterator<Item = Tool> + '_ {
        std::iter::once(self.tool).chain(self.also.iter().copied())
    }
}

/// A band the person set by hand; it overrides the crop's.
#[derive(Clone, Copy, PartialEq, Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OwnBand {
    /// pH, low and high.
    #[serde(default)]
    pub ph: Option<(f64, f64)>,
    /// EC, mS/cm, low and high, source water counted.
    #[serde(default)]
    pub ec_ms_cm: Option<(f64, f64)>,
}

/// One reservoir and what grows on it.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Unit {
    /// Name.
    pub name: String,
    /// How it is built.
    pub kind: UnitKind,
    /// Size of the tank, L (above 0, at most 500).
    pub tank_l: f64,
    /// Water in it now, best guess, L. [`Unit::record`] keeps it in step with the log.
    pub level_l: f64,
    /// How that is known.
    #[serde(default)]
    pub level_known: LevelKnown,
    /// Source water.
    pub source_water: SourceWater,
    /// Crop id of what the unit is named for.
    pub crop_id: String,
    /// Its stage id.
    pub stage_id: String,
    /// What else grows on the same water; see [`Unit::growing`] for all of it.
    #[serde(default)]
    pub also_growing: Vec<Growing>,
    /// Crops of the person's own that grow here, or grew: so that the file can be handed on whole. See
    /// [`super::Catalog::crop_of`].
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub own_crops: Vec<Crop>,
    /// A band of the person's own.
    #[serde(default)]
    pub own_band: Option<OwnBand>,
    /// Whether roots are in the water.
    pub plants_in: bool,
    /// What the person owns.
    #[serde(default)]
    pub shelf: Vec<ShelfItem>,
    /// Instruments.
    #[serde(default)]
    pub meter: Meter,
    /// What happened, oldest first.
    #[serde(default)]
    pub log: Vec<LogEntry>,
}

impl Unit {
    /// The latest reading in the log.
    pub fn last_reading(&self) -> Option<&Reading> {
        self.log
            .iter()
            .filter_map(|entry| match entry {
                LogEntry::Reading(reading) => Some(reading),
                _ => None,
            })
            .max_by_key(|reading| reading.at_s)
    }

    /// Adds an entry to the log and keeps the level in step with it: the one way to write the log.
    ///
    /// The level is never brought above the tank's size nor to nothing: what a person forgot to log must not make the volume
    /// absurd.
    pub fn record(&mut self, entry: LogEntry) {
        let level_l = match &entry {
            LogEntry::Reading(reading) => reading.level_l.unwrap_or(self.level_l),
            LogEntry::Refill { water_l, .. } => *water_l,
            LogEntry::TopUp { water_l, .. } => self.level_l + water_l,
            LogEntry::Drain { solution_l, .. } => self.level_l - solution_l,
            LogEntry::Pour(_) | LogEntry::JarTest(_) | LogEntry::Note { .. } => self.level_l,
        };
        self.level_l = self.bounded_l(level_l);
        self.log.push(entry);
    }

    /// A level between nearly nothing and the rim, L.
    pub(super) fn bounded_l(&self, level_l: f64) -> f64 {
        level_l.min(self.tank_l).max(0.02 * self.tank_l)
    }

    /// What stands on the shelf and can be poured.
    pub fn at_hand(&self) -> impl Iterator<Item = &ShelfItem> {
        self.shelf.iter().filter(|item| !item.used_up)
    }

    /// Whether the log speaks of a product.
    pub fn log_speaks_of(&self, product_id: &str) -> bool {
        self.log.iter().any(|entry| match entry {
            LogEntry::Pour(pour) => pour.product_id == product_id,
            LogEntry::JarTest(test) => test.product_id == product_id,
            _ => false,
        })
    }

    /// Gives a product of the log another id, when what stands on the shelf got one.
    pub fn call_in_log(&mut self, product_id: &str, new_id: &str) {
        for entry in &mut self.log {
            let id = match entry {
                LogEntry::Pour(pour) => &mut pour.product_id,
                LogEntry::JarTest(test) => &mut test.product_id,
                _ => continue,
            };
            if id == product_id {
                new_id.clone_into(id);
            }
        }
    }

    /// Takes the product at a place off the shelf. One that the log speaks of is marked as used up instead, and `true` comes back:
    /// what was poured must stay known.
    pub fn take_off(&mut self, place: usize) -> bool {
        let Some(id) = self.shelf.get(place).map(|item| item.product.id().to_owned()) else { return false };
        let stays = self.log_speaks_of(&id);
        if stays {
            self.shelf[place].used_up = true;
        } else {
            self.shelf.remove(place);
        }
        stays
    }

    /// The shelf item of a product, used up or not.
    pub fn shelf_item(&self, product_id: &str) -> Option<&ShelfItem> {
        self.shelf.iter().find(|item| item.product.id() == product_id)
    }
}
