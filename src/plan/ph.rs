//! pH: how much acid or base, now.

use crate::garden::Role;
use crate::learn::{ProductBelief, quantile};

use super::ec::too_small_step;
use super::forecast::{Forecast, Looked, Most};
use super::planner::Planner;
use super::step::{Action, Limit, Step};
use super::{FINISHING_SAFETY, PH_STEP, SAFETY};

/// A correction goes on while more of the stories than this are still outside the zone.
/// Source: the trial with invented households left the water at a chance of 60 in 100 to be inside.
pub(crate) const MOST_OUTSIDE: f64 = 0.3;
/// How far inside the zone, as a share of its width, the middle of the belief is brought at least. Ours.
pub(super) const INSIDE: f64 = 0.2;
/// Standard normal deviates of [`SAFETY`] and of [`FINISHING_SAFETY`].
const Z_SAFETY: f64 = 2.054;
const Z_FINISHING: f64 = 2.576;
/// A correction counts as under way for so many hours after the last pour. Ours: an evening at the tank.
const MOVING_H: f64 = 6.0;

impl Planner {
    /// The pH step, if one is due. `provisional` says that a reading comes before it.
    pub(crate) fn ph_step(&self, forecast: &mut Forecast<'_>, provisional: bool) -> Option<Step> {
        let showing = &self.knowledge.showing;
        let (low, high) = self.zone.ph;
        let now = forecast.ph(showing, 0.5);
        let down = now > f64::midpoint(low, high);
        if !self.wants_ph(forecast, provisional, down) {
            return None;
        }
        // Inside the zone now, and to be brought further in: worth a pour, but nothing to complain of.
        let inside = (low..=high).contains(&now);
        let product = if down { &self.knowledge.ph_down } else { &self.knowledge.ph_up };
        let Some(product) = product else {
            if inside {
                return None;
            }
            return Some(self.nothing_moves_ph(now, down));
        };
        let part = product.parts.first()?;
        if let Some(step) = Self::no_measure_for(product) {
            return Some(step);
        }
        let mut dose = self.ph_dose(forecast, product, now, down);
        let surprise = self.surprise().filter(|_| !provisional);
        if surprise.is_some() {
            dose.amount *= 0.5;
        }
        if inside && dose.amount < part.tool.smallest() / 100.0 {
            return None;
        }
        if dose.amount <= 0.0 {
            return Some(Step::plain(Action::LeaveIt).because(format!(
                "pH {now:.1} is outside the zone ({low:.1}–{high:.1}), but what is known of this tank allows no pour that surely stays inside, or it gets there by itself: read again tomorrow"
            )));
        }
        let settles = forecast.settled_ph(showing, 0.5);
        let mut step = match self.pour_step(product, part, dose.amount, forecast) {
            Ok(step) => step,
            Err(_) if inside => return None,
            Err(too_small) => return Some(too_small_step(&part.pour.name, too_small, part.pour.unit, part.tool)),
        };
        let edge = if down { low } else { high };
        let risk = forecast.crossing(showing, edge, down);
        step.limit = Some(dose.limit);
        step.likely_total = Some(dose.likely);
        (step.risk, step.edge, step.provisional) = (Some(risk), Some(edge), provisional);
        if inside {
            step = step.because(match settles {
                settles if (low..=high).contains(&settles) || format!("{settles:.1}") == format!("{now:.1}") => format!(
                    "pH {now:.1} is near the edge of the zone ({low:.1}–{high:.1}), and a correction once begun is brought to its end"
                ),
                settles => format!("pH {now:.1} is inside the zone, but left alone it would settle near {settles:.1}"),
            });
        }
        step = step.because(match dose.limit {
            Limit::Aim | Limit::Rim if inside => "This aims at the middle, after carbon dioxide has left".to_owned(),
            Limit::Aim | Limit::Rim => format!("pH {now:.1} is outside the zone ({low:.1}–{high:.1}); this aims at the middle, after carbon dioxide has left"),
            Limit::Safety => format!("This much is very unlikely to pass {edge:.1}; the next reading tells the rest"),
            Limit::StepCap => format!("pH is moved by at most {:.1} at a time here", self.ph_cap()),
        });
        step = step.because(Self::risk_words(risk, edge, down));
        if let Some(surprise) = surprise {
            step = step.because(surprise);
        }
        if product.unlabelled && !self.jar_tested.contains(&product.pour.id) {
            step = step.because("The strength of this product is a guess, so the first pour is small");
        }
        if down && forecast.settled_ph(showing, 0.5) > high {
            step =
                step.because("It will creep up as carbon dioxide leaves: such water is brought in over several days");
        }
        if product.role == Role::PhDown && product.pour.moles[crate::chem::Component::Cit] > 0.0 {
            step = step.because("Citric acid is eaten by microbes within days, and pH returns");
        }
        Some(step)
    }

    /// Whether pH is to be moved.
    ///
    /// A tank that nobody has touched is left while it reads inside the zone, or nearer to its edge than the meter can tell:
    /// noise is not corrected. Once something is being poured, the correction is brought to its end: until the stories agree
    /// that the water is inside, now and when carbon dioxide has left.
    fn wants_ph(&self, forecast: &Forecast<'_>, provisional: bool, down: bool) -> bool {
        let showing = &self.knowledge.showing;
        let (low, high) = self.zone.ph;
        let now = forecast.ph(showing, 0.5);
        let tolerance = self.knowledge.meter.ph_sd().min(0.25);
        let sign = if down { 1.0 } else { -1.0 };
        // How far above nought a pH is beyond the edge it would be brought back over.
        let beyond = |ph: f64| sign * (ph - if down { high } else { low });
        let moving = self.is_moving() || !self.knowledge.since_reading.is_empty() || forecast.is_poured();
        if !moving || provisional {
            let near = |ph: f64| (low - tolerance..=high + tolerance).contains(&ph);
            return beyond(now) > tolerance && (moving || !self.knowledge.seen.ph.is_some_and(near));
        }
        let outside = forecast.share(showing, |point| beyond(point.ph) > 0.0);
        outside > MOST_OUTSIDE || beyond(forecast.settled_ph(showing, 0.5)) > tolerance
    }

    /// Whether something was poured lately, so that a correction is under way.
    pub(crate) fn is_moving(&self) -> bool {
        self.minutes_since_pour.is_some_and(|minutes| minutes < 60.0 * MOVING_H)
    }

    pub(super) fn ph_cap(&self) -> f64 {
        match (self.plants_in, self.seedling) {
            (false, _) => PH_STEP.no_plants,
            (true, true) => PH_STEP.seedling,
            (true, false) => PH_STEP.plants,
        }
    }

    fn ph_dose(&self, forecast: &Forecast<'_>, product: &ProductBelief, now: f64, down: bool) -> PhDose {
        let showing = &self.knowledge.showing;
        let (low, high) = self.zone.ph;
        let aim = f64::midpoint(low, high);
        let most = self.most_of(product);
        // `sign` turns both ways into "rises towards the goal".
        let sign = if down { -1.0 } else { 1.0 };
        let demands = |looked, goal: f64, most| forecast.demands_of(showing, (looked, sign, goal), most, product);
        let mut to_aim = demands(Looked::Settled, aim, Most::Generous(most));
        // The middle of the zone once carbon dioxide has left, but inside it already when it is read.
        let mut middle = quantile(&mut to_aim, 0.5);
        if sign * (forecast.settled_ph(showing, 0.5) - forecast.ph(showing, 0.5)) > 0.0 {
            let inner = if down { high - INSIDE * (high - low) } else { low + INSIDE * (high - low) };
            middle = middle.max(quantile(&mut demands(Looked::Mixed, inner, Most::Generous(most)), 0.5));
        }
        let edge = if down { low } else { high };
        let mut to_edge = demands(Looked::Mixed, edge, Most::Cap(middle));
        if !down {
            // What room air does to water with a base in it raises pH further.
            to_edge
                .iter_mut()
                .zip(demands(Looked::Settled, edge, Most::Cap(middle)))
                .for_each(|(dose, aired)| *dose = dose.min(aired));
        }
        let outside = forecast.share(showing, |point| if down { point.ph > high } else { point.ph < low });
        let safety = if outside > MOST_OUTSIDE { SAFETY } else { FINISHING_SAFETY };
        let safe = safe_of(&mut to_edge, safety);
        let cap = self.ph_cap();
        let capped = if cap.is_finite() {
            quantile(&mut demands(Looked::Mixed, now + sign * cap, Most::Cap(middle)), 0.5)
        } else {
            f64::INFINITY
        };
        let (mut amount, mut limit) = (middle, Limit::Aim);
        for (other, why) in [(safe, Limit::Safety), (capped, Limit::StepCap)] {
            if other < amount * 0.999 {
                (amount, limit) = (other, why);
            }
        }
        PhDose { amount, limit, likely: (quantile(&mut to_aim, 0.1), quantile(&mut to_aim, 0.9)) }
    }
}

/// The dose that so small a share of the stories would cross with.
///
/// Two readings of the crowd, and the lesser of them: its own quantile, half a story to the safe side, so that the count itself
/// keeps to the share; and the tail of a lognormal through its lower fifth, for the outermost of some hundred stories lie where
/// chance put them, and a demand is a product of strengths, volumes and alkalinities.
fn safe_of(doses: &mut [f64], share: f64) -> f64 {
    /// Standard normal deviates of 1 in 20 and 1 in 5.
    const Z_05: f64 = 1.645;
    const Z_20: f64 = 0.842;
    let counted = quantile(doses, (share - 0.5 / doses.len().max(1) as f64).max(0.0));
    let (low, high) = (quantile(doses, 0.05), quantile(doses, 0.2));
    let z = if share < SAFETY { Z_FINISHING } else { Z_SAFETY };
    let tail = low * (low / high).powf((z - Z_05) / (Z_05 - Z_20));
    if tail.is_finite() { counted.min(tail) } else { counted }
}

struct PhDose {
    amount: f64,
    limit: Limit,
    likely: (f64, f64),
}
