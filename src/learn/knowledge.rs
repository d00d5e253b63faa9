//! What is known before any inference: the unit, its shelf and its log, turned into priors and data.

use crate::chem::{Carbon, ChemError, Component, Totals};
use crate::dose::{Known, NEARLY_PURE_MS_CM, Seen, Showing};
use crate::garden::{
    Catalog, IonPattern, KnownWater, LnPrior, Meter, NormalPrior, Priors, ProductError, Reading, Role, Unit,
    WaterError, compose_ions,
};

use super::course::Course;
use super::history::History;
use super::product::ProductBelief;

/// Why a unit's facts do not make a starting point.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum KnowledgeError {
    /// The source water contradicts itself.
    #[error("source water: {0}")]
    Water(#[from] WaterError),
    /// A product on the shelf can't be worked out.
    #[error("{name}: {error}")]
    Product {
        /// Which.
        name: String,
        /// Why.
        #[source]
        error: ProductError,
    },
    /// The shelf names a product that nobody knows.
    #[error("the shelf names the product \"{id}\", which is not in the catalog")]
    UnknownProduct {
        /// Its id.
        id: String,
    },
    /// The chemistry failed.
    #[error(transparent)]
    Chemistry(#[from] ChemError),
}

/// Something done to a tank that no reading has shown yet.
#[derive(Clone, Debug, PartialEq)]
pub enum Done {
    /// A pour.
    Pour {
        /// Product id.
        id: String,
        /// Amount in the product's unit.
        amount: f64,
    },
    /// Source water added, L.
    TopUp(f64),
    /// Solution taken out, L.
    Drain(f64),
}

/// An acid, base or supplement that is in the tank.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Added {
    pub(crate) role: Role,
    /// Which product, by the id of the whole.
    pub(crate) product_id: String,
    /// Units per kg of water of the best-guess volume.
    pub(crate) per_kg: f64,
    /// Poured within a day of the reading, into water that had stood longer.
    pub(crate) recent: bool,
}

/// Everything that a belief about one tank starts from.
#[derive(Clone, Debug)]
pub struct Knowledge {
    /// How solutions are seen.
    pub showing: Showing,
    /// The meters.
    pub meter: Meter,
    /// What the tank holds, L.
    pub tank_l: f64,
    /// Water in it, best guess, L.
    pub level_l: f64,
    /// True over guessed volume.
    pub volume_ratio: LnPrior,
    /// What the deterministic inference starts from.
    pub known: Known,
    /// What was read of the source water.
    pub source_seen: Seen,
    /// What was read in the tank.
    pub seen: Seen,
    /// The reading behind `seen`, if any.
    pub reading: Option<Reading>,
    /// EC of the source water as the meter shows it, best guess, mS/cm.
    pub source_ec_ms_cm: f64,
    /// The feed as a whole.
    pub feed: Option<ProductBelief>,
    /// The calcium–magnesium supplement that plans are made with: the first on the shelf that brings calcium.
    pub calmag: Option<ProductBelief>,
    /// The other supplements on the shelf: no plan asks for them, and where they are poured by hand they are counted.
    pub beside: Vec<ProductBelief>,
    /// What the log speaks of and plans are not made with any more, as far as its strength is known. Feeds are left to the EC.
    pub(crate) past: Vec<ProductBelief>,
    /// What lowers pH.
    pub ph_down: Option<ProductBelief>,
    /// What raises pH.
    pub ph_up: Option<ProductBelief>,
    /// Potassium silicate.
    pub silicate: Option<ProductBelief>,
    /// What was done to the tank since the reading, in order.
    pub since_reading: Vec<Done>,
    /// Whether the log says that nothing but source water is in the tank, or what belongs into it before all else: silicate.
    pub only_source_water: bool,
    /// Notes for the person.
    pub notes: Vec<String>,
    /// Acids, bases and supplements logged up to the reading.
    pub(crate) added: Vec<Added>,
    /// Source water that made up for what plants drank since the fresh fill, per litre in the tank: its ions stayed.
    pub(crate) topped_ratio: f64,
    /// Hours between the last acid, base or supplement and the reading, if it came within a day and the fill is older.
    pub(crate) recent_h: Option<f64>,
    /// Minutes between the last change of the tank and the reading.
    pub mixed_min: Option<f64>,
    /// Hours since the fresh fill, counted to now.
    pub filled_h: Option<f64>,
    pub(crate) feed_logged_per_kg: f64,
    pub(crate) alkalinity: LnPrior,
    is_alkalinity_told: bool,
    pub(crate) other_anions: LnPrior,
    pub(crate) source_pco2: NormalPrior,
    pub(crate) exchange: LnPrior,
    /// Hours since a fresh fill, if it was less than a day ago.
    pub(crate) fresh_h: Option<f64>,
    /// The readings before the latest that are explained with it, and what was done between.
    pub(crate) course: Option<Course>,
    pattern: IonPattern,
    hardness_meq_l: Option<f64>,
    report_ions: Option<Totals>,
    /// Whether the source water is two waters mixed: then nobody reads its pH as a whole.
    pub(crate) is_mix: bool,
}

/// Water temperature when nobody measured it, °C. Ours: a lived-in room.
pub const USUAL_TEMPERATURE_C: f64 = 21.0;
/// Water counts as freshly filled, and a pour as recent, for so many hours: carbon dioxide has mostly left after a day. Ours.
pub(super) const FRESH_H: f64 = 24.0;
/// Top-ups count at most this many times the tank's water: by then plants have long taken their share of the ions. Ours.
const MOST_TOPPED: f64 = 1.0;

impl Knowledge {
    /// Gathers what is known of a unit. `now_s` is the present, Unix seconds.
    ///
    /// # Errors
    /// [`KnowledgeError`] where facts contradict each other or name what nobody knows.
    pub fn of(unit: &Unit, catalog: &Catalog, now_s: i64) -> Result<Self, KnowledgeError> {
        let latest = Self::of_latest(unit, catalog, now_s)?;
        let course = Course::of(unit, catalog, &latest)?;
        Ok(Self { course, ..latest })
    }

    /// The same by the latest reading alone.
    pub(super) fn of_latest(unit: &Unit, catalog: &Catalog, now_s: i64) -> Result<Self, KnowledgeError> {
        let history = History::of(unit, now_s);
        let reading = history.reading;
        let temperature_c = reading.and_then(|r| r.temperature_c).unwrap_or(USUAL_TEMPERATURE_C).clamp(0.0, 40.0);
        let showing = Showing::new(temperature_c, unit.meter.compensation)?;
        let KnownWater {
            composition,
            profile,
            alkalinity_meq_l: alkalinity,
            is_alkalinity_told: told,
            hardness_meq_l,
            report_ions,
            ec_read_ms_cm,
            ph_read,
            is_mix,
        } = unit.source_water.known(catalog)?;
        let source_ec_ms_cm = showing.of(&composition.totals)?.ec_ms_cm;
        let pattern = profile.pattern.value;
        let products = Shelf::of(unit, catalog)?;
        let only_source_water = history.is_plain(&products);
        let level_l = history.level_at_reading_l(unit);
        let water_kg = level_l * showing.medium().water_density_kg_l();
        let source_pco2 = profile.log10_pco2_fresh.value;
        let ions = |alkalinity_meq_l: f64| -> Result<Totals, ChemError> {
            let ions = compose_ions(&pattern, alkalinity_meq_l, composition.other_anions_meq_l, hardness_meq_l);
            let carbon = Carbon::Balance { log10_pco2_atm: composition.log10_pco2.min(0.0) };
            Ok(*showing.medium().solve(&ions, carbon)?.totals())
        };
        let (soft, hard) = (alkalinity.at(-1.28), alkalinity.at(1.28));
        let mut notes = composition.notes.clone();
        notes.extend(profile.warning.clone());
        let added = history.added(&products, (unit, catalog), water_kg, &mut notes);
        let recent_h = history.recent_h();
        let topped_ratio = (history.topped_l / level_l).min(MOST_TOPPED);
        let moles = |only_recent: bool| {
            let counted = added.iter().filter(|added| added.recent || !only_recent);
            counted.fold(Totals::ZERO, |sum, added| {
                let known = products.all().chain(products.past());
                let product = known.into_iter().find(|product| product.pour.id == added.product_id);
                product.map_or(sum, |product| sum.plus_scaled(&product.pour.moles, added.per_kg))
            })
        };
        let known = Known {
            water: composition.totals.scaled(1.0 + topped_ratio),
            softer: (soft, ions(soft)?.scaled(1.0 + topped_ratio)),
            harder: (hard, ions(hard)?.scaled(1.0 + topped_ratio)),
            added: moles(false),
            recent: moles(true),
            volume_l: level_l * unit.level_known.ratio().median,
            feed: products.feed.as_ref().map(|feed| feed.pour.clone()),
            closing: history.closing(
                unit,
                moles(false).alkalinity() * 1e3,
                topped_ratio * composition.alkalinity_meq_l,
            ),
        };
        let feed_logged_per_kg = products.feed.as_ref().map_or(0.0, |feed| history.poured(&feed.pour.id) / water_kg);
        Ok(Self {
            meter: unit.meter,
            tank_l: unit.tank_l,
            level_l,
            volume_ratio: unit.level_known.ratio(),
            known,
            source_seen: Seen { ph: ph_read, ec_ms_cm: ec_read_ms_cm },
            seen: reading.map_or_else(Seen::default, |r| seen_of(&r)),
            only_source_water,
            since_reading: history.since_reading,
            reading,
            source_ec_ms_cm,
            feed: products.feed,
            calmag: products.calmag,
            beside: products.beside,
            past: products.past,
            ph_down: products.ph_down,
            ph_up: products.ph_up,
            silicate: products.silicate,
            notes,
            added,
            topped_ratio,
            recent_h,
            mixed_min: history.mixed_min,
            filled_h: history.filled_h,
            report_ions,
            is_mix,
            feed_logged_per_kg,
            alkalinity,
            is_alkalinity_told: told,
            other_anions: profile.other_anions_meq_l.value,
            source_pco2,
            exchange: unit.kind.co2_rate_per_h(),
            fresh_h: history.filled_h_ago.filter(|hours| *hours < FRESH_H),
            course: None,
            pattern,
            hardness_meq_l,
            showing,
        })
    }

    /// Ions of the source water, without inorganic carbon. A report fixes them all but for what the alkalinity is in doubt by,
    /// which sodium or chloride closes.
    pub(crate) fn source_ions(&self, alkalinity_meq_l: f64, other_anions_meq_l: f64) -> Totals {
        if let Some(ions) = self.report_ions {
            let more = alkalinity_meq_l / 1e3 - ions.alkalinity();
            let closing = if more > 0.0 { Component::Na } else { Component::Cl };
            return ions.with(closing, ions[closing] + more.abs());
        }
        compose_ions(&self.pattern, alkalinity_meq_l, other_anions_meq_l, self.hardness_meq_l)
    }

    /// The same without the readings before the latest.
    pub(crate) fn only_latest(&self) -> Self {
        let mut notes = self.notes.clone();
        notes.push(
            "The readings do not fit each other and what was logged between, so only the latest is believed".to_owned(),
        );
        Self { course: None, notes, ..self.clone() }
    }

    /// Whether somebody told the alkalinity of the source water.
    pub(crate) fn is_alkalinity_told(&self) -> bool {
        self.is_alkalinity_told
    }

    /// The same without the jar tests; `None` where there are none, or nothing else is to be explained.
    pub(crate) fn without_jars(&self) -> Option<Self> {
        let course = self.course.as_ref()?.without_jars()?;
        let mut notes = self.notes.clone();
        notes.push("The jar test does not fit what was read in the tank, so it is left aside".to_owned());
        Some(Self { course: Some(course), notes, ..self.clone() })
    }

    /// Whether acid was logged since the fresh fill.
    pub(crate) fn is_acidified(&self) -> bool {
        self.added.iter().any(|added| added.role == Role::PhDown)
    }

    /// Whether the log says that nothing was fed since the fresh fill, and EC does not say otherwise.
    pub(crate) fn surely_unfed(&self) -> bool {
        let ec_ms_cm = self.seen.ec_ms_cm.unwrap_or(self.source_ec_ms_cm);
        let off = (ec_ms_cm - self.source_ec_ms_cm).abs();
        // Without a reading of the source water its EC is a guess, and a difference means nothing.
        self.filled_h.is_some()
            && self.feed_logged_per_kg == 0.0
            && self.source_seen.ec_ms_cm.is_some()
            && off < 3.0 * self.meter.ec_sd_ms_cm(self.source_ec_ms_cm)
    }

    /// The same without what was logged since the fresh fill, which then counts as acid or base of unknown amount.
    pub(crate) fn without_log(&self) -> Self {
        let mut known = self.known.clone();
        (known.added, known.recent) = (Totals::ZERO, Totals::ZERO);
        known.closing.remainder_sd_meq_l = known.closing.remainder_sd_meq_l.max(1.5);
        known.closing.kept_share = 0.0;
        let mut notes = self.notes.clone();
        notes.push("The reading does not fit what was logged, so only the reading is believed".to_owned());
        Self { known, notes, added: Vec::new(), recent_h: None, fresh_h: None, course: None, ..self.clone() }
    }

    /// Noise of one pH reading beside the meter's own offset, 1 sd. In nearly pure water a reading drifts: more.
    pub fn ph_noise(&self, ec_ms_cm: Option<f64>) -> f64 {
        let is_thin = ec_ms_cm.is_some_and(|ec| ec < NEARLY_PURE_MS_CM);
        self.meter.ph_noise() + if is_thin { Priors::shipped().ph_scatter_thin.value } else { 0.0 }
    }

    /// Noise of one EC reading beside the meter's own gain, 1 sd, mS/cm.
    pub fn ec_noise(&self, ec_ms_cm: f64) -> f64 {
        self.meter.ec_noise(ec_ms_cm)
    }

    /// Feed, in units per kg, that moves EC by about 0.2 mS/cm: a floor for the width of the feed's share.
    pub(crate) fn feed_step(&self) -> f64 {
        let Some(feed) = &self.feed else { return 0.0 };
        // Ten meq/L of cations make about 1 mS/cm (USDA Handbook 60, 1954).
        let cations = feed.pour.moles.iter().filter(|(c, _)| c.charge() > 0).map(|(c, m)| f64::from(c.charge()) * m);
        0.002 / cations.sum::<f64>().max(1e-9)
    }

    /// Products on the shelf that can be poured: those that plans are made with, and the supplements beside them.
    pub(crate) fn products(&self) -> impl Iterator<Item = &ProductBelief> {
        let [first, second] = [&self.silicate, &self.calmag];
        let rest = [&self.feed, &self.ph_down, &self.ph_up];
        [first, second].into_iter().flatten().chain(&self.beside).chain(rest.into_iter().flatten())
    }

    /// The product on the shelf that a part belongs to, if it can be poured.
    pub fn product_of(&self, part_id: &str) -> Option<&ProductBelief> {
        self.products().find(|product| product.parts.iter().any(|part| part.pour.id == part_id))
    }

    /// The product that was added.
    pub(crate) fn added_product(&self, added: &Added) -> Option<&ProductBelief> {
        self.known_products().find(|product| product.pour.id == added.product_id)
    }

    /// [`Self::products`], and what was poured and is not planned with any more.
    pub(crate) fn known_products(&self) -> impl Iterator<Item = &ProductBelief> {
        self.products().chain(&self.past)
    }

    /// Whether a part belongs to what was poured and is not planned with any more: its strength is taken as told.
    pub(crate) fn is_past(&self, part_id: &str) -> bool {
        self.past.iter().flat_map(|product| &product.parts).any(|part| part.pour.id == part_id)
    }

    /// Whether plans are made with a part of a product.
    pub fn is_planned_with(&self, part_id: &str) -> bool {
        let planned = |product: &&ProductBelief| self.product_for(product.role).is_some_and(|of| of == *product);
        self.products().filter(planned).flat_map(|product| &product.parts).any(|part| part.pour.id == part_id)
    }

    /// The product on the shelf that has a role.
    pub(crate) fn product_for(&self, role: Role) -> Option<&ProductBelief> {
        match role {
            Role::Feed => self.feed.as_ref(),
            Role::CalMag => self.calmag.as_ref(),
            Role::PhDown => self.ph_down.as_ref(),
            Role::PhUp => self.ph_up.as_ref(),
            Role::Silicate => self.silicate.as_ref(),
        }
    }
}

/// An EC of 0.0 says "below 0.05"; a pH in such water next to nothing, so it is left out.
pub(super) fn seen_of(reading: &Reading) -> Seen {
    let ec_ms_cm = reading.ec_ms_cm.map(|ec| ec.max(0.025));
    let thin = ec_ms_cm.is_some_and(|ec| ec < NEARLY_PURE_MS_CM);
    Seen { ph: reading.ph.filter(|_| !thin), ec_ms_cm }
}

pub(super) struct Shelf {
    feed: Option<ProductBelief>,
    calmag: Option<ProductBelief>,
    ph_down: Option<ProductBelief>,
    ph_up: Option<ProductBelief>,
    silicate: Option<ProductBelief>,
    beside: Vec<ProductBelief>,
    past: Vec<ProductBelief>,
}

impl Shelf {
    pub(super) fn of(unit: &Unit, catalog: &Catalog) -> Result<Self, KnowledgeError> {
        let mut shelf = Self {
            feed: None,
            calmag: None,
            ph_down: None,
            ph_up: None,
            silicate: None,
            beside: Vec::new(),
            past: Vec::new(),
        };
        let mut lacking = Vec::new();
        for item in unit.at_hand() {
            let product = catalog
                .product_of(item)
                .ok_or_else(|| KnowledgeError::UnknownProduct { id: item.product.id().to_owned() })?;
            let slot = match product.role {
                Role::Feed => &mut shelf.feed,
                Role::CalMag => &mut shelf.calmag,
                Role::PhDown => &mut shelf.ph_down,
                Role::PhUp => &mut shelf.ph_up,
                Role::Silicate => &mut shelf.silicate,
            };
            // Of feeds, one of which every part is at hand goes before one that lacks a part.
            if product.role == Role::Feed && unit.missing_part(product, catalog).is_some() {
                lacking.push((product, item));
                continue;
            }
            if product.role == Role::CalMag {
                let now = ProductBelief::of(product, item, unit, catalog)?;
                match slot {
                    // The first that serves is the person's choice.
                    Some(before) if before.brings_calcium() || !now.brings_calcium() => shelf.beside.push(now),
                    _ => shelf.beside.extend(slot.replace(now)),
                }
            } else if slot.is_none() {
                *slot = Some(ProductBelief::of(product, item, unit, catalog)?);
            }
        }
        if let (None, Some((product, item))) = (&shelf.feed, lacking.first()) {
            shelf.feed = Some(ProductBelief::of(product, item, unit, catalog)?);
        }
        for item in unit.shelf.iter().filter(|item| unit.log_speaks_of(item.product.id())) {
            let id = item.product.id();
            let is_there = shelf.all().flat_map(|product| &product.parts).any(|part| part.pour.id == id);
            if let Some(product) = catalog.product_of(item).filter(|product| !is_there && product.role != Role::Feed) {
                let past = ProductBelief::of(product, item, unit, catalog)?;
                // One guess at a strength cannot stand for two bottles.
                shelf.past.extend(Some(past).filter(|past| !past.unlabelled));
            }
        }
        Ok(shelf)
    }

    /// What was poured and is known, though plans are made with something else by now.
    pub(super) fn past(&self) -> &[ProductBelief] {
        &self.past
    }

    pub(super) const fn feed(&self) -> Option<&ProductBelief> {
        self.feed.as_ref()
    }

    pub(super) fn all(&self) -> impl Iterator<Item = &ProductBelief> {
        let first = [&self.feed, &self.calmag, &self.ph_down, &self.ph_up, &self.silicate];
        first.into_iter().flatten().chain(&self.beside)
    }
}

/// Calcium of totals, mg/L.
pub fn calcium_mg_l(totals: &Totals) -> f64 {
    totals[Component::Ca] * Component::Ca.molar_mass_g() * 1e3
}
