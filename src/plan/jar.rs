//! A jar test: what a bottle does in this very water, found out in a jar where nothing can go wrong.
//!
//! It is offered beside a pour when the belief is so unsure of the dose that the safe amount is a small part of what is likely
//! needed. What to add next comes from the stories: each says at which amount the jar would reach the aim, those that fit what
//! was read in the jar so far count more, and the next amount is one that few of them overshoot.

use crate::dose::Tank;
use crate::garden::{JarPoint, LogEntry, MOST_JAR_L, Role, Tool, Unit};
use crate::learn::{Part, ProductBelief};

use super::forecast::{Looked, Most};
use super::measure::{Measured, measure};
use super::planner::Planner;
use super::step::{Action, Limit, Step};
use super::words::figure;

/// A jar test is offered when the dose that is needed is so unsure: the upper of its 1 in 10 over the lower. Ours: a known
/// bottle in water whose alkalinity somebody told stays below.
const UNSURE_RATIO: f64 = 1.7;
/// And when the safe pour is less than this share of the likely need and the water would still read outside the zone after it,
/// so that several readings would be spent. Ours.
const SMALL_SHARE: f64 = 0.6;
/// A test tells of the water and the bottle for so long, s: readings older than two days are not looked at either.
const TELLS_FOR_S: i64 = 48 * 3600;
/// The first amount is one that this share of the stories would overshoot the aim with; later ones may overshoot sooner,
/// for the reading past the aim closes the bracket. Ours.
const FIRST_OVERSHOOTS: f64 = 0.1;
/// See [`FIRST_OVERSHOOTS`].
const NEXT_OVERSHOOTS: f64 = 0.35;
/// As near to the aim as this is near enough, pH. Ours: no pen tells more.
const NEAR_ENOUGH: f64 = 0.15;
/// What the chemistry may be off in a jar, pH, 1 sd, beside the noise of the reading. Ours: stirring draws out carbon dioxide.
const JAR_SD: f64 = 0.08;
/// A change of pH that a pen shows. Ours.
const SEEN_PH: f64 = 0.15;
/// Each amount in the jar is larger than the last by this share at least. Ours.
const LEAST_GROWTH: f64 = 0.15;
/// Marks of the tool in the first amount, of the five that are worth measuring: a jar may be dosed a little coarser than a tank.
const COARSER: f64 = 2.5;
/// Stories that must be left by weight; the readings are trusted less until they are. Ours.
const LEAST_STORIES: f64 = 8.0;

/// A jar test is worth its minutes before a pour.
#[derive(Clone, Debug, PartialEq)]
pub struct JarOffer {
    /// Of what.
    pub product_id: String,
    /// Why, in one sentence without a full stop.
    pub why: String,
    /// What to do, in order.
    pub steps: Vec<String>,
    /// Cautions of the product.
    pub cautions: Vec<String>,
}

/// How a jar test is made with what is at hand.
#[derive(Clone, Debug, PartialEq)]
pub struct JarGuide {
    /// Of what.
    pub product_id: String,
    /// Its name.
    pub name: String,
    /// Tank water in the jar, L.
    pub water_l: f64,
    /// pH to come to.
    pub aim_ph: f64,
    /// Whether the product lowers pH.
    pub lowers: bool,
    /// What the product is measured with, and its dilution: as much as the test will likely take.
    pub measured: Measured,
    /// Cautions of the product.
    pub cautions: Vec<String>,
}

/// What comes next in a jar test.
#[derive(Clone, Debug, PartialEq)]
pub enum JarNext {
    /// Read the jar before anything is added.
    ReadFirst,
    /// Add some more, stir, read.
    Add {
        /// Product in the jar after it, in the product's unit.
        total: f64,
        /// What is added now, in the product's unit.
        more: f64,
        /// What the meter should then show: 1 in 10 below, 1 in 10 above.
        expect_ph: (f64, f64),
    },
    /// It tells enough.
    Enough,
}

impl JarGuide {
    /// Parts of mix for one of product: 1 when it is not diluted.
    pub fn parts(&self) -> f64 {
        self.measured.dilution.map_or(1.0, |dilution| f64::from(dilution.parts))
    }

    /// What amounts are counted in: `mL`, `g`, `drops`, `mL of the 1:10 mix`.
    pub fn counted_in(&self) -> String {
        let plain = match self.measured.tool {
            Tool::Dropper { .. } => "drops",
            _ => self.measured.unit,
        };
        self.measured
            .dilution
            .map_or_else(|| plain.to_owned(), |dilution| format!("{plain} of the 1:{} mix", dilution.parts))
    }

    /// An amount of the product as it is counted.
    pub fn counted(&self, amount: f64) -> f64 {
        let in_tool = amount * self.parts();
        match self.measured.tool {
            Tool::Dropper { drops_per_ml, .. } => (in_tool * drops_per_ml).round(),
            _ => (in_tool * 1e6).round() / 1e6,
        }
    }

    /// The amount of the product in what was counted.
    pub fn amount(&self, counted: f64) -> f64 {
        let in_tool = match self.measured.tool {
            Tool::Dropper { drops_per_ml, .. } => counted / drops_per_ml,
            _ => counted,
        };
        in_tool / self.parts()
    }

    /// The steps, in order.
    pub fn steps(&self) -> Vec<String> {
        let mut steps = vec![format!(
            "Goggles and gloves on. Put {} L of tank water into a clean jar that is not for food",
            figure(self.water_l)
        )];
        steps.extend(self.measured.dilution_steps().into_iter().take(2));
        steps.push("Read pH in the jar before anything goes in".to_owned());
        steps.push(format!(
            "Add a little, stir a minute, read; again and again until pH is near {:.1} or past it",
            self.aim_ph
        ));
        steps.push("The jar is not poured back: local rules say where it goes. Rinse it well".to_owned());
        steps
    }

    /// What comes next, in one sentence.
    pub fn next_words(&self, next: &JarNext) -> String {
        match next {
            JarNext::ReadFirst => "Read pH in the jar before anything goes in".to_owned(),
            JarNext::Add { total, more, expect_ph: (low, high) } => {
                let (more, total) = (self.counted(*more), self.counted(*total));
                let unit = self.counted_in();
                let in_all = if total > more { format!(", {} in all", figure(total)) } else { String::new() };
                let unit = if more < 1.5 { unit.replacen("drops", "drop", 1) } else { unit };
                format!(
                    "Add {} {unit}{in_all}. Stir a minute, then read: likely pH {low:.1} to {high:.1}",
                    figure(more)
                )
            }
            JarNext::Enough => "That tells enough: record it".to_owned(),
        }
    }
}

/// Products that a jar test in the log still tells of.
pub(crate) fn tested(unit: &Unit, now_s: i64) -> Vec<String> {
    let tests = unit.log.iter().filter_map(|entry| match entry {
        LogEntry::JarTest(test) if now_s.saturating_sub(test.at_s) < TELLS_FOR_S => Some(test.product_id.clone()),
        _ => None,
    });
    tests.collect()
}

/// Tank water for the jar: a litre, less where that would be missed. Ours: at most a twentieth of the tank.
fn jar_water_l(level_l: f64) -> f64 {
    [1.0, 0.5].into_iter().find(|litres| *litres <= 0.05 * level_l).unwrap_or(0.25)
}

impl Planner {
    /// Puts the offer of a jar test beside the plan's first pour, where it is worth it.
    pub(crate) fn offer_jar(&self, steps: &mut [Step]) {
        let Some(step) = steps.first_mut() else { return };
        let (Action::Pour(measured), Some((low, high))) = (&step.action, step.likely_total) else { return };
        if self.jar_tested.contains(&measured.id) || step.provisional || step.limit != Some(Limit::Safety) {
            return;
        }
        let likely = (low.max(0.0) * high).sqrt();
        if high <= UNSURE_RATIO * low || measured.amount >= SMALL_SHARE * likely {
            return;
        }
        // Where the middle story reads inside the zone after the safe pour, there is no reading to save.
        let (low_ph, high_ph) = self.zone.ph;
        if step.expect.is_some_and(|expect| (low_ph..=high_ph).contains(&expect.ph.1)) {
            return;
        }
        let Some(guide) = self.jar(&measured.id) else { return };
        let unit = measured.unit;
        // As the card says the same range: two figures are all it has.
        let grain = 10_f64.powf((high.log10() - 1.0).floor()).max(measured.mark());
        let words = |amount: f64| figure((amount / grain).round() * grain);
        step.jar = Some(JarOffer {
            product_id: guide.product_id.clone(),
            why: format!(
                "What this water needs may be {} to {} {unit}: a jar of it tells which, and nothing can go wrong in a jar",
                words(low),
                words(high)
            ),
            steps: guide.steps(),
            cautions: guide.cautions,
        });
    }

    /// How a jar test of a product that moves pH is made; none of other products, or when the tools are too coarse for a jar.
    pub fn jar(&self, product_id: &str) -> Option<JarGuide> {
        self.jar_with(product_id, jar_water_l(self.knowledge.level_l))
    }

    /// The same with so much tank water, L.
    pub fn jar_with(&self, product_id: &str, water_l: f64) -> Option<JarGuide> {
        let product = self.product(product_id)?;
        let part = product.parts.first()?;
        let lowers = match product.role {
            Role::PhDown => true,
            Role::PhUp => false,
            Role::Feed | Role::CalMag | Role::Silicate => return None,
        };
        if !(water_l > 0.0 && water_l <= MOST_JAR_L) {
            return None;
        }
        let (low, high) = self.zone.ph;
        let aim_ph = f64::midpoint(low, high);
        let stories = self.jar_stories(product, water_l, (lowers, aim_ph));
        let first = weighted(&stories, FIRST_OVERSHOOTS);
        // The smallest amount of the test decides how far it is diluted; the mix is made for all of it.
        let mut measured = measure(COARSER * first, part).ok()?;
        if let Some(dilution) = &mut measured.dilution {
            let enough = measured.tool.round_down(weighted(&stories, 0.9) + measured.tool.smallest());
            dilution.product_ml = dilution.product_ml.max(enough);
            dilution.water_ml = dilution.product_ml * (f64::from(dilution.parts) - 1.0);
        }
        Some(JarGuide {
            product_id: part.pour.id.clone(),
            name: part.pour.name.clone(),
            water_l,
            aim_ph,
            lowers,
            measured,
            cautions: part.cautions.clone(),
        })
    }

    /// What to add next, after what was read in the jar so far; amounts of the points are of the product.
    pub fn jar_next(&self, guide: &JarGuide, points: &[JarPoint]) -> JarNext {
        let Some(last) = points.last() else { return JarNext::ReadFirst };
        let short = if guide.lowers { last.ph - guide.aim_ph } else { guide.aim_ph - last.ph };
        if short <= NEAR_ENOUGH {
            return JarNext::Enough;
        }
        let Some(product) = self.product(&guide.product_id) else { return JarNext::Enough };
        let Some(part) = product.parts.first() else { return JarNext::Enough };
        let mut stories = self.jar_stories(product, guide.water_l, (guide.lowers, guide.aim_ph));
        let jar = Jar { planner: self, product, part, tanks: self.after_unread_pours().tanks, water_l: guide.water_l };
        let sd = self.knowledge.ph_noise(self.knowledge.seen.ec_ms_cm).hypot(JAR_SD);
        let misfit = |place: usize| -> f64 {
            let off =
                |point: &JarPoint| jar.shown(place, point.amount).map_or(f64::INFINITY, |ph| (point.ph - ph) / sd);
            points.iter().map(|point| off(point).powi(2)).sum()
        };
        let misfits: Vec<f64> = (0..stories.len()).map(misfit).collect();
        believe(&mut stories, &misfits);
        let overshoots = if last.amount > 0.0 { NEXT_OVERSHOOTS } else { FIRST_OVERSHOOTS };
        let mark = guide.measured.mark();
        let wanted = (weighted(&stories, overshoots) - last.amount).max(least_more(points, short));
        let more = if mark > 0.0 { (wanted / mark + 1e-6).floor().max(1.0) * mark } else { wanted.max(0.0) };
        let total = last.amount + more;
        let after = stories.iter().enumerate();
        let after: Vec<(f64, f64)> =
            after.filter_map(|(place, (_, weight))| Some((jar.shown(place, total)?, *weight))).collect();
        JarNext::Add { total, more, expect_ph: (weighted(&after, 0.1), weighted(&after, 0.9)) }
    }

    /// For each story the amount at which the jar reaches the aim, all of one weight; in the order of the members.
    fn jar_stories(&self, product: &ProductBelief, water_l: f64, (lowers, aim_ph): (bool, f64)) -> Vec<(f64, f64)> {
        let showing = &self.knowledge.showing;
        let sign = if lowers { -1.0 } else { 1.0 };
        let forecast = self.after_unread_pours();
        // Twenty meq/L is past the alkalinity of any water that this plans for.
        let most = self.knowledge.level_l * 0.020 / product.pour.moles.alkalinity().abs().max(1e-6);
        let demands = forecast.demands_of(showing, (Looked::Mixed, sign, aim_ph), Most::Generous(most), product);
        let water_kg = water_l * showing.medium().water_density_kg_l();
        let jar = demands.iter().zip(&forecast.tanks).map(|(dose, tank)| (dose * water_kg / tank.water_kg, 1.0));
        jar.collect()
    }
}

/// A jar of each story's water.
struct Jar<'a> {
    planner: &'a Planner,
    product: &'a ProductBelief,
    part: &'a Part,
    tanks: Vec<Tank>,
    water_l: f64,
}

impl Jar<'_> {
    /// What the meter shows in a story's jar with so much of the product in it.
    fn shown(&self, place: usize, amount: f64) -> Option<f64> {
        let medium = self.planner.knowledge.showing.medium();
        let member = self.planner.belief.members.get(place)?;
        let tank = Tank::of_volume(self.tanks.get(place)?.totals, self.water_l, medium);
        let lowers = self.product.role == Role::PhDown;
        let factor = if lowers { member.ph_down_factor } else { member.ph_up_factor };
        let moles = self.product.moles_at(member.ph_kind).scaled(factor);
        let solved = tank.with(&moles, self.part.pour.water_g, amount).solve(medium).ok()?;
        Some(solved.ph() + member.ph_offset)
    }
}

/// What is added at least: half of what the last two readings alone say, and never so little that nothing is seen of it. A
/// water that no story foresaw comes to its aim, too.
fn least_more(points: &[JarPoint], short: f64) -> f64 {
    let [.., before, last] = points else { return 0.0 };
    let moved = (last.ph - before.ph).abs();
    let by_slope = if moved >= SEEN_PH { 0.5 * short / moved * (last.amount - before.amount) } else { 0.0 };
    by_slope.min(last.amount).max(LEAST_GROWTH * last.amount)
}

/// Weighs the stories by how well they fit; the readings are trusted less until enough stories are left.
fn believe(stories: &mut [(f64, f64)], misfits: &[f64]) {
    let least = misfits.iter().copied().fold(f64::INFINITY, f64::min);
    if !least.is_finite() {
        return;
    }
    // Each halving of the trust widens the error by a factor of 1.4; after ten of them all stories weigh much the same.
    for halved in 0..10_i32 {
        for ((_, weight), misfit) in stories.iter_mut().zip(misfits) {
            *weight = (-0.5 * (misfit - least) * 0.5_f64.powi(halved)).exp();
        }
        let (sum, squares) = stories.iter().fold((0.0, 0.0), |(sum, squares), (_, w)| (sum + w, squares + w * w));
        if sum * sum >= LEAST_STORIES * squares {
            return;
        }
    }
}

/// The `p` quantile (0 to 1) of weighted values; NaN for none.
fn weighted(stories: &[(f64, f64)], p: f64) -> f64 {
    let mut sorted = stories.to_vec();
    sorted.sort_by(|(a, _), (b, _)| a.total_cmp(b));
    let whole: f64 = sorted.iter().map(|(_, weight)| weight).sum();
    let mut passed = 0.0;
    for (value, weight) in &sorted {
        passed += weight;
        if passed >= p * whole {
            return *value;
        }
    }
    sorted.last().map_or(f64::NAN, |(value, _)| *value)
}
