//! Silicate: first of all into plain water, at the label's rate, and never into water that holds something else.
//!
//! In a fed or acidified tank it may fall out as a gel before it is thinned, so a plan pours it on a fresh fill or not at all;
//! a hand may try it, and the landing shows what it does. Common practice, no source.

use crate::learn::quantile;

use super::EC_SAFETY;
use super::forecast::{Forecast, Looked, Most};
use super::planner::Planner;
use super::step::{Limit, Step};
use super::words::figure;

/// pH that silicate may raise the water to while roots hang in it. Ours: the feed and the acid of the same round bring it down
/// within minutes, and roots bear a little above 8 for longer than that.
const MOST_PH_WITH_PLANTS: f64 = 9.0;

impl Planner {
    /// The pour of silicate that belongs before all else; `None` where none is on the shelf, its label gives no rate, or
    /// something else is in the tank.
    pub(super) fn silicate_step(&self, forecast: &mut Forecast<'_>) -> Option<Step> {
        let k = &self.knowledge;
        let product = k.silicate.as_ref()?;
        let rate = product.label_per_l?;
        let is_plain = k.only_source_water || k.surely_unfed();
        if !is_plain || !k.added.is_empty() || !k.since_reading.is_empty() {
            return None;
        }
        let part = product.parts.first()?;
        let by_label = rate * k.level_l;
        let low = self.zone_ec_ms_cm.0;
        let up_to = |looked: Looked, goal: f64, share: f64| {
            let sought = (looked, 1.0, goal);
            quantile(&mut forecast.demands_of(&k.showing, sought, Most::Cap(by_label), product), share)
        };
        let (mut dose, mut limit, mut capped) = (by_label, Limit::Aim, None);
        let by_ec = up_to(Looked::Ec, low, EC_SAFETY);
        if by_ec < dose * NEARLY {
            let words = format!(
                "Less than the label’s rate, so that EC stays below the zone ({}{}) and feed has room",
                self.ec_scale().edge(low, 1),
                self.ec_scale().tail()
            );
            (dose, limit, capped) = (by_ec, Limit::Safety, Some(words));
        }
        if self.plants_in {
            // By the middle of the stories: nothing is lost at 9.2, and in one story of many the water begins there.
            let by_ph = up_to(Looked::Mixed, MOST_PH_WITH_PLANTS, 0.5);
            if by_ph < dose * NEARLY {
                let words = format!(
                    "Less than the label’s rate: roots are in the water, and pH is not to pass {MOST_PH_WITH_PLANTS:.0} before the feed is in"
                );
                (dose, limit, capped) = (by_ph, Limit::StepCap, Some(words));
            }
        }
        let mut step = self.part_step(product, part, dose, forecast).ok()?;
        let unit = part.pour.unit;
        let (wait, level) = (step.wait_min, figure(k.level_l));
        step = step.because("Silicate goes first, into plain water: after feed or acid it may fall out as a gel");
        step = step.because(
            capped.unwrap_or_else(|| format!("The label’s rate of {} {unit} per litre for {level} L", figure(rate))),
        );
        step.limit = Some(limit);
        Some(
            step.because(format!("Stir it in for {wait} min before the feed: until then pH is high, and that is well")),
        )
    }
}

/// A dose this near to the label's rate is that rate.
const NEARLY: f64 = 0.999;
