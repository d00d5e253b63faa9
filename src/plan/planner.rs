//! Puts the steps in order: doubt the reading, level, EC, pH.

use crate::chem::ChemError;
use crate::dose::{Cloud, Landing, Pour, Tank, land};
use crate::garden::{Catalog, CommonZone, LogEntry, Promise, Role, Unit, UnitKind, UnknownCrop, Zone};
use crate::learn::{Belief, BeliefError, Done, Knowledge, KnowledgeError, ProductBelief};

use super::forecast::{Expectation, Forecast};
use super::step::{Action, Plan, Step};
use super::told::told;
use super::twice::{Twice, twice};
use super::words::figure;
use super::{LEVEL_FIRST_BELOW, TOP_UP_TO, one_in};
use crate::units::EcScale;

/// Why there is no plan.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum PlanError {
    /// The facts contradict each other.
    #[error(transparent)]
    Knowledge(#[from] KnowledgeError),
    /// The reading can't be explained.
    #[error(transparent)]
    Belief(#[from] BeliefError),
    /// The chemistry failed.
    #[error(transparent)]
    Chemistry(#[from] ChemError),
    /// A crop that nobody knows.
    #[error(transparent)]
    UnknownCrop(#[from] UnknownCrop),
}

/// One tank at one moment, ready to be asked for its plan and for what-ifs.
#[derive(Clone, Debug)]
pub struct Planner {
    pub(crate) knowledge: Knowledge,
    pub(crate) belief: Belief,
    pub(crate) common: CommonZone,
    pub(crate) zone: Zone,
    pub(crate) zone_ec_ms_cm: (f64, f64),
    pub(crate) kind: UnitKind,
    pub(crate) plants_in: bool,
    pub(crate) seedling: bool,
    pub(crate) noise: Vec<f64>,
    /// The promise that the latest reading answers.
    pub(crate) told: Option<Promise>,
    /// Readings of the same water that do not agree.
    pub(crate) twice: Option<Twice>,
    pub(crate) minutes_since_change: Option<f64>,
    pub(crate) minutes_since_pour: Option<f64>,
    pub(crate) hours_since_reading: Option<f64>,
    /// Nitrogen below which what grows may starve, mg/L N.
    pub(crate) nitrogen_floor_mg_l: f64,
    /// One unit of each part on the shelf, as strong as the middle of the stories has it.
    likely: Vec<Pour>,
    /// Water that goes in or out before any pour of a what-if.
    pub(crate) water_first: Vec<Done>,
    /// Products that a jar test in the log tells of.
    pub(crate) jar_tested: Vec<String>,
}

/// Where pours of the person's own choosing may take the tank.
#[derive(Clone, Debug, PartialEq)]
pub struct Spread {
    /// Outlines of where the water just mixed may land.
    pub cloud: Cloud,
    /// Chance that it falls below the zone's low pH edge, 0 to 1.
    pub below: f64,
    /// Chance that it rises above the zone's high pH edge, 0 to 1.
    pub above: f64,
    /// What the next reading should show: the same ranges that a plan's step gives.
    pub expect: Expectation,
}

/// What a step does to the water itself.
pub(super) fn water_of(action: &Action) -> Vec<Done> {
    match action {
        Action::TopUp { water_l } => vec![Done::TopUp(*water_l)],
        Action::Swap { litres } => vec![Done::Drain(*litres), Done::TopUp(*litres)],
        _ => Vec::new(),
    }
}

/// One unit of each part on the shelf at the middle of the believed strengths.
fn likely_parts(knowledge: &Knowledge, belief: &Belief) -> Vec<Pour> {
    let of_product = |product: &ProductBelief| -> Vec<Pour> {
        let factor = belief.quantile(0.5, |member| match product.role {
            Role::Feed => member.feed_factor,
            Role::CalMag => member.calmag_factor,
            Role::PhDown => member.ph_down_factor,
            Role::PhUp => member.ph_up_factor,
            Role::Silicate => member.silicate_factor,
        });
        let kind = belief.quantile(0.5, |member| member.ph_kind);
        let moles = |part: &Pour| if product.kinds.is_empty() { part.moles } else { product.moles_at(kind) };
        let parts = product.parts.iter().map(|part| &part.pour);
        parts.map(|part| Pour { moles: moles(part).scaled(factor), ..part.clone() }).collect()
    };
    knowledge.products().flat_map(of_product).collect()
}

impl Planner {
    /// Gathers what is known and forms the belief. `now_s` is the present in Unix seconds; the same arguments give the
    /// same planner, bit for bit.
    ///
    /// # Errors
    /// [`PlanError`] where facts contradict each other or a reading can't be explained.
    pub fn new(unit: &Unit, catalog: &Catalog, now_s: i64, seed: u64) -> Result<Self, PlanError> {
        let knowledge = Knowledge::of(unit, catalog, now_s)?;
        let belief = Belief::of(&knowledge, seed)?;
        Self::believing(knowledge, belief, (unit, catalog), now_s, seed)
    }

    /// The same from a belief of another size.
    ///
    /// # Errors
    /// As [`Self::new`].
    pub fn of_size(unit: &Unit, catalog: &Catalog, now_s: i64, seed: u64, members: usize) -> Result<Self, PlanError> {
        let knowledge = Knowledge::of(unit, catalog, now_s)?;
        let belief = Belief::of_size(&knowledge, seed, members)?;
        Self::believing(knowledge, belief, (unit, catalog), now_s, seed)
    }

    fn believing(
        knowledge: Knowledge,
        belief: Belief,
        (unit, catalog): (&Unit, &Catalog),
        now_s: i64,
        seed: u64,
    ) -> Result<Self, PlanError> {
        let common = unit.common_zone(catalog, knowledge.source_ec_ms_cm)?;
        let minutes_since = |counts: fn(&LogEntry) -> bool| {
            let last = unit.log.iter().rev().find(|entry| counts(entry))?;
            Some(now_s.saturating_sub(last.at_s()) as f64 / 60.0)
        };
        let is_pour = |entry: &LogEntry| matches!(entry, LogEntry::Pour(_));
        let is_change =
            |entry: &LogEntry| matches!(entry, LogEntry::Pour(_) | LogEntry::TopUp { .. } | LogEntry::Drain { .. });
        Ok(Self {
            noise: crate::learn::normals(seed ^ 0x0000_0bad_cafe, 2 * belief.members.len()),
            nitrogen_floor_mg_l: super::feed::nitrogen_floor_mg_l(unit, catalog, &common),
            seedling: common.is_seedling,
            kind: unit.kind,
            plants_in: unit.plants_in,
            told: told(unit),
            twice: twice(&unit.log, &unit.meter).filter(|twice| !twice.is_settled()),
            hours_since_reading: knowledge.reading.map(|r| now_s.saturating_sub(r.at_s).max(0) as f64 / 3600.0),
            minutes_since_change: minutes_since(is_change),
            minutes_since_pour: minutes_since(is_pour),
            likely: likely_parts(&knowledge, &belief),
            water_first: Vec::new(),
            jar_tested: super::jar::tested(unit, now_s),
            knowledge,
            belief,
            zone: common.zone.clone(),
            zone_ec_ms_cm: common.ec_in_tank_ms_cm,
            common,
        })
    }

    /// The same planner for what-ifs that begin where a plan's own top-up or change of water leaves the tank, as the plan's
    /// pours do. A plan is asked of the planner as it was before.
    #[must_use]
    pub fn assuming(mut self, plan: &Plan) -> Self {
        self.water_first = plan.steps.iter().flat_map(|step| water_of(&step.action)).collect();
        self
    }

    /// Whether what-ifs begin with a plan's own top-up or change of water.
    pub fn begins_with_water(&self) -> bool {
        !self.water_first.is_empty()
    }

    /// What is known.
    pub fn knowledge(&self) -> &Knowledge {
        &self.knowledge
    }

    /// What is believed.
    pub fn belief(&self) -> &Belief {
        &self.belief
    }

    /// The zones of all that grows here, and how they come to the working zone.
    pub fn common_zone(&self) -> &CommonZone {
        &self.common
    }

    /// The working zone.
    pub fn zone(&self) -> &Zone {
        &self.zone
    }

    /// EC edges of the zone as the meter shows them in this tank, mS/cm.
    pub fn zone_ec_ms_cm(&self) -> (f64, f64) {
        self.zone_ec_ms_cm
    }

    /// The scale that EC is told on: the meter's own.
    pub(crate) fn ec_scale(&self) -> EcScale {
        self.knowledge.meter.ec_scale
    }

    /// The plan.
    ///
    /// # Errors
    /// Those of the chemistry on the default state.
    pub fn plan(&self) -> Result<Plan, PlanError> {
        let mut forecast = self.after_unread_pours();
        let mut steps = self.steps(&mut forecast);
        self.look_at_shelf(&mut steps);
        self.offer_jar(&mut steps);
        let pours: Vec<(String, f64)> = steps
            .iter()
            .filter_map(|step| match &step.action {
                Action::Pour(measured) => Some((measured.id.clone(), measured.amount)),
                _ => None,
            })
            .collect();
        let water: Vec<Done> = steps.iter().flat_map(|step| water_of(&step.action)).collect();
        let landing = self.landing_after(&water, &pours)?;
        let promise = steps.first().and_then(|step| {
            let amount = match &step.action {
                Action::Pour(measured) => measured.amount,
                Action::TopUp { water_l: litres } | Action::Swap { litres } => *litres,
                _ => return None,
            };
            Some(step.expect?.promise(amount, Some(amount)))
        });
        Ok(Plan {
            helps: Vec::new(),
            fed: None,
            settling: None,
            warnings: self.warnings(&landing),
            why: self.zone.why.clone(),
            promise,
            cloud: Cloud::about(&forecast.points(&self.knowledge.showing)),
            landing,
            steps,
            zone: self.zone.clone(),
            zone_ec_ms_cm: self.zone_ec_ms_cm,
        })
    }

    /// Where amounts of products on the shelf, in order, take the default state.
    ///
    /// Amounts of products that are not on the shelf are left out.
    ///
    /// # Errors
    /// Those of the chemistry.
    pub fn landing(&self, pours: &[(String, f64)]) -> Result<Landing, ChemError> {
        self.landing_after(&[], pours)
    }

    /// The same after water was added or taken out.
    fn landing_after(&self, water: &[Done], pours: &[(String, f64)]) -> Result<Landing, ChemError> {
        let planned: Vec<Pour> =
            pours.iter().filter_map(|(id, amount)| Some(self.likely_part(id)?.of(*amount))).collect();
        land(&self.default_now(water), &planned, &self.knowledge.showing, self.knowledge.tank_l)
    }

    /// The default state after what was done since the reading, and after water was added or taken out.
    pub(crate) fn default_now(&self, water: &[Done]) -> Tank {
        let mut tank = self.belief.state.default;
        let density = self.knowledge.showing.medium().water_density_kg_l();
        for done in self.knowledge.since_reading.iter().chain(&self.water_first).chain(water) {
            tank = match done {
                Done::Pour { id, amount } => self.poured(tank, &[(id.clone(), *amount)]),
                Done::TopUp(litres) => {
                    tank.mixed(&Tank { totals: self.knowledge.known.water, water_kg: litres * density })
                }
                Done::Drain(litres) => tank.drained(litres * density / tank.water_kg),
            };
        }
        tank
    }

    /// A tank after amounts of products on the shelf.
    pub(crate) fn poured(&self, tank: Tank, pours: &[(String, f64)]) -> Tank {
        pours.iter().fold(tank, |tank, (id, amount)| match self.likely_part(id) {
            Some(pour) => tank.with(&pour.moles, pour.water_g, *amount),
            None => tank,
        })
    }

    /// The spread of that landing.
    pub fn spread(&self, pours: &[(String, f64)]) -> Spread {
        let forecast = self.crowd_after(pours);
        let points = forecast.points(&self.knowledge.showing);
        let share = |holds: fn(f64, f64) -> bool, edge: f64| {
            points.iter().filter(|point| holds(point.ph, edge)).count() as f64 / points.len().max(1) as f64
        };
        let (low, high) = self.zone.ph;
        let ec = points.iter().map(|point| point.ec_ms_cm).sum::<f64>() / points.len().max(1) as f64;
        Spread {
            cloud: Cloud::about(&points),
            below: share(|ph, edge| ph < edge, low),
            above: share(|ph, edge| ph > edge, high),
            expect: forecast.expect(
                &self.knowledge.showing,
                f64::from(self.kind.mixing_wait_min()) / 60.0,
                &self.noise,
                self.reading_noise(ec),
            ),
        }
    }

    /// The product on the shelf that a part belongs to.
    pub fn product(&self, part_id: &str) -> Option<&ProductBelief> {
        self.knowledge.product_of(part_id)
    }

    /// One unit of a part on the shelf.
    pub fn part(&self, part_id: &str) -> Option<&Pour> {
        self.products().flat_map(|product| &product.parts).map(|part| &part.pour).find(|pour| pour.id == part_id)
    }

    /// The same as strong as it likely is: what readings and jar tests have taught of a bottle holds for the likeliest tank,
    /// too.
    pub(crate) fn likely_part(&self, part_id: &str) -> Option<&Pour> {
        self.likely.iter().find(|pour| pour.id == part_id)
    }

    /// Products on the shelf that the planner works with.
    pub fn products(&self) -> impl Iterator<Item = &ProductBelief> {
        self.knowledge.products()
    }

    /// Sds of the noise of one reading of pH and EC near a point.
    pub(crate) fn reading_noise(&self, ec_ms_cm: f64) -> (f64, f64) {
        (self.knowledge.ph_noise(Some(ec_ms_cm)), self.knowledge.ec_noise(ec_ms_cm))
    }

    /// The stories after amounts of products on the shelf.
    pub(crate) fn crowd_after(&self, pours: &[(String, f64)]) -> Forecast<'_> {
        let start = self.done(self.after_unread_pours(), &self.water_first);
        pours.iter().fold(start, |forecast, (id, amount)| match (self.product(id), self.part(id)) {
            (Some(product), Some(pour)) => forecast.after(product, pour, *amount),
            _ => forecast,
        })
    }

    pub(crate) fn after_unread_pours(&self) -> Forecast<'_> {
        self.done(Forecast::now(&self.belief.members), &self.knowledge.since_reading)
    }

    /// The stories after something was done to the water.
    pub(crate) fn done<'a>(&self, mut forecast: Forecast<'a>, what: &[Done]) -> Forecast<'a> {
        let k = &self.knowledge;
        let density = k.showing.medium().water_density_kg_l();
        for done in what {
            forecast = match done {
                Done::Pour { id, amount } => match (self.product(id), self.part(id)) {
                    (Some(product), Some(pour)) => forecast.after(product, pour, *amount),
                    _ => forecast,
                },
                Done::TopUp(litres) => forecast.thinned(0.0, litres * density),
                Done::Drain(litres) => forecast.thinned((litres / k.level_l).min(0.95), 0.0),
            };
        }
        forecast
    }

    fn steps(&self, forecast: &mut Forecast<'_>) -> Vec<Step> {
        if let Some(step) = self.unplanned_pour() {
            return vec![step];
        }
        if let Some(steps) = self.unfinished(forecast) {
            return steps;
        }
        if let Some(step) = self.doubt() {
            return vec![step];
        }
        let k = &self.knowledge;
        let seen = k.seen;
        let mut steps = Vec::new();
        if let Some(step) = self.level_step(forecast) {
            steps.push(step);
        }
        let levelled = !steps.is_empty();
        steps.extend(self.silicate_step(forecast));
        steps.extend(self.ec_steps(forecast, levelled));
        if seen.ph.is_none() && steps.is_empty() {
            let thin = seen.ec_ms_cm.is_some_and(|ec| ec < crate::dose::NEARLY_PURE_MS_CM);
            steps.push(if thin {
                Step::plain(Action::LeaveIt)
                    .because("pH in nearly pure water says next to nothing: adjust it after the feed is in")
            } else {
                Step::plain(Action::Ask { question: "What does the pH meter show in the tank?".to_owned() })
                    .because("EC is where it should be; pH comes last")
            });
            return steps;
        }
        // Feed and acid go in one after the other in one round, if the water was read for pH: the dose is held back by what
        // the feed leaves unsure. After a change of level all is set anew by a reading.
        let levelled = steps.iter().any(|step| matches!(step.action, Action::TopUp { .. } | Action::Swap { .. }));
        let poured = steps.iter().any(|step| matches!(step.action, Action::Pour(_)));
        let fed = steps.iter().any(|step| self.is_fed_by(step));
        let unread = seen.ph.is_none() && !(k.only_source_water && k.source_seen.ph.is_some());
        if let Some(step) = self.ph_step(forecast, levelled || poured && unread) {
            steps.push(if fed && !step.provisional { self.after_feed(step) } else { step });
        }
        if steps.is_empty() {
            steps.push(self.leave_it(forecast));
        }
        steps
    }

    fn level_step(&self, forecast: &mut Forecast<'_>) -> Option<Step> {
        let k = &self.knowledge;
        if k.only_source_water || self.kind.level_must_not_rise() && self.plants_in {
            return None;
        }
        if k.level_l >= LEVEL_FIRST_BELOW * k.tank_l {
            return None;
        }
        let water_l = TOP_UP_TO * k.tank_l - k.level_l;
        let water_kg = water_l * k.showing.medium().water_density_kg_l();
        *forecast = forecast.thinned(0.0, water_kg);
        let mut step = Step::plain(Action::TopUp { water_l }).because(format!(
            "The level comes first: {} L of {} L is low, and every amount depends on the volume",
            figure(k.level_l),
            figure(k.tank_l)
        ));
        step.wait_min = self.kind.mixing_wait_min();
        let ec = forecast.ec(&k.showing, 0.5);
        step.expect =
            Some(forecast.expect(&k.showing, f64::from(step.wait_min) / 60.0, &self.noise, self.reading_noise(ec)));
        Some(step)
    }

    fn leave_it(&self, forecast: &Forecast<'_>) -> Step {
        let showing = &self.knowledge.showing;
        let (low, high) = self.zone.ph;
        let settled = (forecast.settled_ph(showing, 0.1), forecast.settled_ph(showing, 0.9));
        let outside = self.knowledge.seen.ph.filter(|ph| *ph < low - 1e-9 || *ph > high + 1e-9);
        let mut step = Step::plain(Action::LeaveIt).because(match outside {
            Some(ph) => format!(
                "pH reads {ph:.1}, outside the zone ({low:.1}–{high:.1}), but {} may be off by as much: check with something finer before you pour",
                self.knowledge.meter.ph_instrument.words()
            ),
            None => "pH and EC are inside the zone, or nearer to its edge than your meter can tell".to_owned(),
        });
        if self.knowledge.only_source_water && self.knowledge.filled_h.is_none() {
            step = step.because("Nothing is logged, so the tank is taken to hold source water only");
        }
        if settled.1 > high + 0.05 && forecast.settled_ph(showing, 0.5) > high {
            step = step
                .because(format!("As carbon dioxide leaves, pH will creep towards {:.1}–{:.1}", settled.0, settled.1));
        } else if settled.0 < low - 0.05 && forecast.settled_ph(showing, 0.5) < low {
            step = step.because(format!("pH may drift to {:.1}–{:.1} by tomorrow", settled.0, settled.1));
        }
        let ec = forecast.ec(showing, 0.5);
        step.expect = Some(forecast.expect(showing, 24.0, &self.noise, self.reading_noise(ec)));
        step
    }

    /// What to say of a chance of crossing an edge.
    pub(crate) fn risk_words(risk: f64, edge: f64, below: bool) -> String {
        let side = if below { "below" } else { "above" };
        format!("By what is known, {} tanks like this one would go {side} pH {edge:.1}", one_in(risk))
    }
}
