//! pH: how much acid or base, now.

use crate::garden::Role;
use crate::learn::{ProductBelief, quantile};

use super::ec::too_small_step;
use super::forecast::{Forecast, dose_to};
use super::planner::Planner;
use super::step::{Action, Limit, Step};
use super::{PH_STEP, SAFETY};

impl Planner {
    /// The pH step, if one is due. `provisional` says that a reading comes before it.
    pub(crate) fn ph_step(&self, forecast: &mut Forecast<'_>, provisional: bool) -> Option<Step> {
        let showing = &self.knowledge.showing;
        let (low, high) = self.zone.ph;
        let now = forecast.ph(showing, 0.5);
        let tolerance = self.knowledge.meter.ph_sd().min(0.25);
        let down = now > high + tolerance;
        if !down && now >= low - tolerance {
            return None;
        }
        // The belief may stand a hair beyond the reading; what the meter itself can't tell from the zone is left all the same.
        let untouched = !provisional && self.knowledge.since_reading.is_empty();
        let near = |ph: f64| (low - tolerance..=high + tolerance).contains(&ph);
        if untouched && self.knowledge.seen.ph.is_some_and(near) {
            return None;
        }
        let product = if down { &self.knowledge.ph_down } else { &self.knowledge.ph_up };
        let Some(product) = product else {
            let (needed, way) =
                if down { ("a pH-lowering liquid", "lowers") } else { ("a pH-raising liquid", "raises") };
            return Some(Step::plain(Action::CannotHelp { needed: needed.to_owned() }).because(format!(
                "pH {now:.1} is outside the zone ({low:.1}–{high:.1}) and nothing on the shelf {way} it"
            )));
        };
        let part = product.parts.first()?;
        let mut dose = self.ph_dose(forecast, product, now, down);
        let surprise = self.surprise().filter(|_| !provisional);
        if surprise.is_some() {
            dose.amount *= 0.5;
        }
        if dose.amount <= 0.0 {
            return Some(Step::plain(Action::LeaveIt).because(format!(
                "pH {now:.1} is outside the zone ({low:.1}–{high:.1}), but what is known of this tank allows no pour that surely stays inside, or it gets there by itself: read again tomorrow"
            )));
        }
        let mut step = match self.pour_step(product, part, dose.amount, forecast) {
            Ok(step) => step,
            Err(too_small) => return Some(too_small_step(&part.pour.name, too_small, part.pour.unit, part.tool)),
        };
        let edge = if down { low } else { high };
        let risk = forecast.crossing(showing, edge, down);
        step.limit = Some(dose.limit);
        step.likely_total = Some(dose.likely);
        (step.risk, step.edge, step.provisional) = (Some(risk), Some(edge), provisional);
        step = step.because(match dose.limit {
            Limit::Aim | Limit::Rim => format!("pH {now:.1} is outside the zone ({low:.1}–{high:.1}); this aims at the middle, after carbon dioxide has left"),
            Limit::Safety => format!("This much is very unlikely to pass {edge:.1}; the next reading tells the rest"),
            Limit::StepCap => format!("pH is moved by at most {:.1} at a time here", self.ph_cap()),
        });
        step = step.because(Self::risk_words(risk, edge, down));
        if let Some(surprise) = surprise {
            step = step.because(surprise);
        }
        if product.unlabelled {
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

    fn ph_cap(&self) -> f64 {
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
        // Twenty meq/L is past the alkalinity of any water that this plans for.
        let most = self.knowledge.level_l * 0.020 / product.pour.moles.alkalinity().abs().max(1e-6);
        // `sign` turns both ways into "rises towards the goal".
        let sign = if down { -1.0 } else { 1.0 };
        let pour = &product.pour;
        let after = |d: f64| forecast.after(product, pour, d);
        // Quantiles on the side of the far edge: low ones when pH falls, high ones when it rises.
        let far = |p: f64| if down { p } else { 1.0 - p };
        let settled_to = |p: f64| dose_to(most, |d| sign * (after(d).settled_ph(showing, p) - aim));
        let middle = settled_to(0.5);
        let edge = if down { low } else { high };
        let safe = dose_to(middle.max(1e-9), |d| {
            // Just mixed and after breathing: carbon dioxide that leaves raises pH, and room air may lower it again.
            let (mixed, settled) = after(d).both(showing);
            let worst = mixed.into_iter().zip(settled);
            let mut worst: Vec<f64> = worst.map(|(a, b)| if down { a.min(b) } else { a.max(b) }).collect();
            // Half a story to the safe side, so that the count itself keeps to 1 in 50.
            let p = SAFETY - 0.5 / worst.len().max(1) as f64;
            sign * (quantile(&mut worst, far(p)) - edge)
        });
        let cap = self.ph_cap();
        let capped = dose_to(middle.max(1e-9), |d| sign * (after(d).ph(showing, 0.5) - (now + sign * cap)));
        let (mut amount, mut limit) = (middle, Limit::Aim);
        for (other, why) in [(safe, Limit::Safety), (capped, Limit::StepCap)] {
            if other < amount * 0.999 {
                (amount, limit) = (other, why);
            }
        }
        let likely = (settled_to(far(0.1)), settled_to(far(0.9)));
        PhDose { amount, limit, likely: (likely.0.min(likely.1), likely.0.max(likely.1)) }
    }
}

struct PhDose {
    amount: f64,
    limit: Limit,
    likely: (f64, f64),
}
