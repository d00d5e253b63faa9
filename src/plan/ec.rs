//! EC: feed when it is low, thinner water when it is high.

use crate::dose::Tank;
use crate::garden::Tool;
use crate::learn::{Part, ProductBelief, quantile};

use super::forecast::{Forecast, Looked, Most};
use super::measure::{TooSmall, measure};
use super::ph::MOST_OUTSIDE;
use super::planner::Planner;
use super::step::{Action, Limit, Step};
use super::words::figure;
use super::{EC_SAFETY, EC_STEP_MS_CM};

/// Calcium that a fed tank should hold, mg/L: the low end of usual recipes (90 leafy, Cornell 2020), less a tenth.
const ENOUGH_CALCIUM_MG_L: f64 = 80.0;
/// Most of the way to the EC aim that a calcium–magnesium supplement may take, so that feed is left room.
const CALMAG_SHARE: f64 = 0.35;
/// Minutes to stir between two parts of a feed. Custom, not measured, as all waits.
pub(super) const STIR_BETWEEN_PARTS_MIN: u32 = 5;

impl Planner {
    pub(crate) fn ec_steps(&self, forecast: &mut Forecast<'_>, provisional: bool) -> Vec<Step> {
        let showing = &self.knowledge.showing;
        let (low, high) = self.zone_ec_ms_cm;
        let now = forecast.ec(showing, 0.5);
        let tolerance = self.knowledge.meter.ec_sd_ms_cm(now).min(0.25 * (high - low));
        // As with pH: what the meter itself can't tell from the zone is left.
        let untouched = !provisional && self.knowledge.since_reading.is_empty();
        let near = |ec: f64| (low - tolerance..=high + tolerance).contains(&ec);
        // As with pH too: once something is being poured, the feed is brought to its end.
        let hungry = self.is_moving() && forecast.share(showing, |point| point.ec_ms_cm < low) > MOST_OUTSIDE;
        if untouched && self.knowledge.seen.ec_ms_cm.is_some_and(near) && !hungry {
            return Vec::new();
        }
        let mut steps = if hungry || now < low - tolerance {
            self.feed_steps(forecast, now)
        } else if now > high + tolerance {
            self.thin_step(forecast, now).into_iter().collect()
        } else {
            Vec::new()
        };
        for step in steps.iter_mut().skip(usize::from(!provisional)) {
            step.provisional |= provisional;
        }
        steps
    }

    /// Edges of the zone on the meter's scale, without its symbol.
    fn ec_zone_words(&self) -> String {
        let (scale, (low, high)) = (self.ec_scale(), self.zone_ec_ms_cm);
        format!("{}–{}", scale.edge(low, 1), scale.edge(high, 1))
    }

    fn feed_steps(&self, forecast: &mut Forecast<'_>, now: f64) -> Vec<Step> {
        let (scale, high) = (self.ec_scale(), self.zone_ec_ms_cm.1);
        let Some(feed) = &self.knowledge.feed else {
            return vec![Step::plain(Action::CannotHelp { needed: "a feed".to_owned() }).because(format!(
                "EC {} is below the zone ({} {}) and nothing on the shelf raises it",
                scale.figure(now, 2),
                self.ec_zone_words(),
                scale.symbol()
            ))];
        };
        let mut steps = Vec::new();
        let (dose, ..) = self.feed_dose(forecast, feed, now);
        if let Some(calmag) = &self.knowledge.calmag {
            let fed = forecast.after(feed, &feed.pour, dose);
            if let Some(step) = self.calmag_step(forecast, calmag, fed.calcium_mg_l(), now) {
                steps.push(step);
            }
        }
        let (dose, limit, likely) = self.feed_dose(forecast, feed, now);
        for (i, part) in feed.parts.iter().enumerate() {
            let is_last = i + 1 == feed.parts.len();
            match self.part_of_round(feed, part, dose * part.ratio, (forecast, is_last)) {
                Ok(step) => {
                    let mut step = step.because(match limit {
                        Limit::Aim => {
                            format!(
                                "EC {} is below the zone ({}{}); this brings it to the middle",
                                scale.figure(now, 2),
                                self.ec_zone_words(),
                                scale.tail()
                            )
                        }
                        Limit::Safety => format!(
                            "More might pass EC {}{}: the volume and the feed's strength are not known better",
                            scale.edge(high, 1),
                            scale.tail()
                        ),
                        Limit::StepCap => {
                            format!("EC is raised by {} at a time while plants are in", scale.told(self.ec_cap(), 1))
                        }
                        Limit::Rim => "More would run over".to_owned(),
                    });
                    step.limit = Some(limit);
                    step.likely_total = Some((likely.0 * part.ratio, likely.1 * part.ratio));
                    if !is_last {
                        // Nobody reads between two parts: what to expect stands with the last.
                        step.wait_min = STIR_BETWEEN_PARTS_MIN;
                        let next = if feed.parts.len() > 2 { "next" } else { "other" };
                        step = step
                            .because(format!(
                                "Stir it in for {STIR_BETWEEN_PARTS_MIN} min before the {next} part: concentrates never meet"
                            ));
                    }
                    steps.push(step);
                }
                Err(too_small) => {
                    // One part without the other is no feed: what was planned of it goes too.
                    steps.truncate(steps.len() - i);
                    steps.push(too_small_step(&part.pour.name, too_small, part.pour.unit, part.tool));
                    break;
                }
            }
        }
        steps
    }

    fn ec_cap(&self) -> f64 {
        match (self.plants_in, self.seedling) {
            (false, _) => f64::INFINITY,
            (true, true) => EC_STEP_MS_CM.seedling,
            (true, false) => EC_STEP_MS_CM.plants,
        }
    }

    /// Units of the whole feed, what set them, and the likely total: 1 in 10 below and above.
    fn feed_dose(&self, forecast: &Forecast<'_>, feed: &ProductBelief, now: f64) -> (f64, Limit, (f64, f64)) {
        let showing = &self.knowledge.showing;
        let (low, high) = self.zone_ec_ms_cm;
        let aim = f64::midpoint(low, high);
        let most = self.most_of(feed);
        let to = |goal: f64, most| forecast.demands_of(showing, (Looked::Ec, 1.0, goal), most, feed);
        let mut to_aim = to(aim, Most::Generous(most));
        let middle = quantile(&mut to_aim, 0.5);
        let safe = quantile(&mut to(high, Most::Cap(middle)), EC_SAFETY);
        let cap = self.ec_cap();
        let capped = if cap.is_finite() { quantile(&mut to(now + cap, Most::Cap(middle)), 0.5) } else { f64::INFINITY };
        let (mut dose, mut limit) = (middle, Limit::Aim);
        for (other, why) in [(safe, Limit::Safety), (capped, Limit::StepCap)] {
            if other < dose {
                (dose, limit) = (other, why);
            }
        }
        (dose, limit, (quantile(&mut to_aim, 0.1), quantile(&mut to_aim, 0.9)))
    }

    fn calmag_step(
        &self,
        forecast: &mut Forecast<'_>,
        calmag: &ProductBelief,
        calcium_mg_l: f64,
        now: f64,
    ) -> Option<Step> {
        let showing = &self.knowledge.showing;
        let missing = ENOUGH_CALCIUM_MG_L - calcium_mg_l;
        // A supplement without calcium, such as Epsom salt, is left to the person: nothing tells what magnesium is missing.
        if missing < 0.15 * ENOUGH_CALCIUM_MG_L || !calmag.brings_calcium() {
            return None;
        }
        let (low, high) = self.zone_ec_ms_cm;
        let by_calcium = missing * self.knowledge.level_l / calmag.pour.calcium_mg();
        let room = (f64::midpoint(low, high) - now).min(self.ec_cap()) * CALMAG_SHARE;
        let by_ec = quantile(
            &mut forecast.demands_of(showing, (Looked::Ec, 1.0, now + room), Most::Cap(by_calcium), calmag),
            0.5,
        );
        let part = calmag.parts.first()?;
        let mut step = self.pour_step(calmag, part, by_calcium.min(by_ec), forecast).ok()?;
        step = step.because(format!(
            "With feed alone this water would hold about {calcium_mg_l:.0} mg/L calcium; about {ENOUGH_CALCIUM_MG_L:.0} is wanted. Its EC is counted"
        ));
        step.limit = Some(Limit::Aim);
        step.wait_min = 5;
        Some(step)
    }

    /// Thinner water; `None` when not a decilitre of it is safe.
    fn thin_step(&self, forecast: &mut Forecast<'_>, now: f64) -> Option<Step> {
        let k = &self.knowledge;
        let showing = &k.showing;
        let (low, high) = self.zone_ec_ms_cm;
        let (scale, source) = (self.ec_scale(), k.source_ec_ms_cm);
        if source >= high {
            let needed = "purer water, such as rain or reverse osmosis".to_owned();
            return Some(Step::plain(Action::CannotHelp { needed }).because(format!(
                "EC {} is above the zone, and the source water ({}{}) is no thinner than its edge",
                scale.figure(now, 2),
                scale.figure(source, 2),
                scale.tail()
            )));
        }
        let aim = f64::midpoint(low, high).max(source + 0.25 * (high - source));
        let density = showing.medium().water_density_kg_l();
        // Thinner water until the middle meets the aim, but not so much that 1 in 20 would fall below the low edge. If the
        // tank has no room for so much, solution is changed for water at the same level.
        let room_l = if self.kind.level_must_not_rise() && self.plants_in {
            0.0
        } else {
            (0.98 * k.tank_l - k.level_l).max(0.0)
        };
        let litres = |most: f64, swapped: bool| {
            let to = |goal: f64| {
                forecast.demands(showing, (Looked::Ec, -1.0, goal), Most::Generous(most), |member, tank, litres| {
                    let kept = if swapped { tank.drained(litres / k.level_l) } else { *tank };
                    kept.mixed(&Tank { totals: member.source, water_kg: litres * density })
                })
            };
            let middle = quantile(&mut to(aim), 0.5);
            let safe = quantile(&mut to(low), EC_SAFETY);
            (middle.min(safe) * 10.0).floor() / 10.0
        };
        let fill_l = litres(2.0 * room_l, false);
        let (action, thinned) = if room_l > 0.0 && fill_l <= room_l {
            (Action::TopUp { water_l: fill_l }, forecast.thinned(0.0, fill_l * density))
        } else {
            let litres = litres(0.95 * k.level_l, true);
            (Action::Swap { litres }, forecast.thinned(litres / k.level_l, litres * density))
        };
        if matches!(action, Action::TopUp { water_l: litres } | Action::Swap { litres } if litres <= 0.0) {
            return None;
        }
        let mut step = Step::plain(action).because(format!(
            "EC {} is above the zone ({} {}): thinner water is the only way down",
            scale.figure(now, 2),
            self.ec_zone_words(),
            scale.symbol()
        ));
        step.wait_min = self.kind.mixing_wait_min();
        step.expect =
            Some(thinned.expect(showing, f64::from(step.wait_min) / 60.0, &self.noise, self.reading_noise(aim)));
        *forecast = thinned;
        Some(step)
    }

    /// A pour of a part, rounded to its tool, with what to expect; moves the forecast on.
    pub(crate) fn pour_step(
        &self,
        product: &ProductBelief,
        part: &Part,
        dose: f64,
        forecast: &mut Forecast<'_>,
    ) -> Result<Step, TooSmall> {
        let mut step = self.part_step(product, part, dose, forecast)?;
        let showing = &self.knowledge.showing;
        let ec = forecast.ec(showing, 0.5);
        step.expect =
            Some(forecast.expect(showing, f64::from(step.wait_min) / 60.0, &self.noise, self.reading_noise(ec)));
        Ok(step)
    }

    /// A pour of one part of several; what to expect stands with the last.
    pub(super) fn part_of_round(
        &self,
        product: &ProductBelief,
        part: &Part,
        dose: f64,
        (forecast, is_last): (&mut Forecast<'_>, bool),
    ) -> Result<Step, TooSmall> {
        if is_last {
            self.pour_step(product, part, dose, forecast)
        } else {
            self.part_step(product, part, dose, forecast)
        }
    }

    /// The same of a part after which nobody reads, so that there is nothing to expect.
    pub(super) fn part_step(
        &self,
        product: &ProductBelief,
        part: &Part,
        dose: f64,
        forecast: &mut Forecast<'_>,
    ) -> Result<Step, TooSmall> {
        let measured = measure(dose, part)?;
        *forecast = forecast.after(product, &part.pour, measured.amount);
        let mut step = Step::plain(Action::Pour(measured));
        step.wait_min = self.kind.mixing_wait_min();
        step.cautions.clone_from(&part.cautions);
        Ok(step)
    }
}

pub(crate) fn too_small_step(name: &str, too_small: TooSmall, unit: &str, tool: Tool) -> Step {
    Step::plain(Action::LeaveIt).because(format!(
        "{} {unit} of {name} would do, which is less than your {} can measure even diluted: leave it",
        figure(too_small.amount),
        tool.name()
    ))
}
