//! The days after: where the water comes to rest, what more it will need on the way, and when to look again.
//!
//! A sixth of the stories is followed. At each visit a story is brought as near to the middle of the zone as the water just
//! mixed may go, for whoever reads and pours two or three times knows by then how the tank answers; then carbon dioxide leaves
//! for a day, and roots and microbes have their way. What the stories need at each visit is told as a range.

use crate::garden::Role;
use crate::learn::{Member, ProductBelief, normals, quantile};

use super::forecast::{Forecast, Looked, Most};
use super::ph::{INSIDE, MOST_OUTSIDE};
use super::planner::Planner;
use super::step::{Action, Plan};
use super::words::figure;

/// Of so many stories one is followed.
const EVERY: usize = 6;
/// Visits after today's, a day apart.
const DAYS: usize = 3;
/// Steps of pH that a visit has time for, each at most the cap for what grows. Ours: an evening at the tank.
const STEPS_A_VISIT: f64 = 2.0;
/// Of the stories that are inside to stay, those between these shares are told as a range, and it is said so once both ends of
/// it are inside: the sentence and the figure beside it speak of the same tanks at the same moment. Ours.
const TOLD_SHARES: [f64; 2] = [0.1, 0.9];
/// What roots and microbes do to the strong ions, 1 sd, meq/L after a day, growing with the root of time. Source: the trial
/// with invented households; with plants one and a half times as much, as the belief takes it.
const DRIFT_SD_MEQ_L: f64 = 0.12;
const DRIFT_WITH_PLANTS: f64 = 1.5;
const DAY_H: f64 = 24.0;
/// Times for the next look where air alone takes the water out of the zone within a day, hours. Ours.
const SOON_H: [f64; 2] = [4.0, 12.0];
/// Times for the next look at quiet water, hours. The last is the most: pH once or twice a week (Ronzoni & Mattson 2020,
/// Cornell).
const LATER_H: [f64; 2] = [48.0, 72.0];
/// Carbon dioxide that moves pH by more than this is still on its way. Ours: what a pen can tell.
const MOVES: f64 = 0.15;
const SEED: u64 = 0x0000_5e77_1e00;

/// What a visit will likely need.
#[derive(Clone, Debug, PartialEq)]
pub struct Likely {
    /// Product id.
    pub product_id: String,
    /// 1 in 10 needs less, in `unit`.
    pub low: f64,
    /// 1 in 10 needs more.
    pub high: f64,
    /// mL or g.
    pub unit: &'static str,
}

/// A look at the tank in the next days.
#[derive(Clone, Debug, PartialEq)]
pub struct Visit {
    /// Hours from now.
    pub in_h: f64,
    /// True pH when one comes: 1 in 10 below, middle, 1 in 10 above.
    pub ph: (f64, f64, f64),
    /// What it will likely need then.
    pub likely: Option<Likely>,
    /// Share of the stories that are in the zone: a day after a visit with acid or base, and at a look, 0 to 1.
    pub inside: f64,
    /// True pH at the moment that `inside` is of: 1 in 10 below, 1 in 10 above.
    pub then_ph: (f64, f64),
}

/// How the water comes to rest.
#[derive(Clone, Debug, PartialEq)]
pub struct Settling {
    /// When to look, in order.
    pub visits: Vec<Visit>,
    /// Hours until the water is in the zone to stay, if that is within the visits.
    pub stays_in_h: Option<f64>,
    /// In one sentence, without a full stop; small at its beginning.
    pub words: String,
}

/// A time from now as people say it.
pub(crate) fn when(in_h: f64) -> String {
    match in_h {
        h if h < 20.0 => format!("in about {h:.0} hours"),
        h if h < 30.0 => "tomorrow".to_owned(),
        h => format!("in {:.0} days", h / 24.0),
    }
}

/// What the note of an unknown alkalinity ends with.
const DROP_TEST: &str = " A drop test would sharpen every acid dose.";

impl Planner {
    /// Adds to a plan what is around the dose: what would help most, whether there is enough feed, how the water comes to rest,
    /// and when to look again. It takes about as long as the plan itself.
    pub fn advise(&self, plan: &mut Plan) {
        plan.helps = self.helps(plan);
        let after = self.through(plan);
        plan.fed = if matches!(plan.now().map(|step| &step.action), Some(Action::Ask { .. } | Action::Read { .. })) {
            None
        } else {
            self.fed(&after)
        };
        // How much a drop kit would help is told with its number.
        for warning in &mut plan.warnings {
            if let Some(kept) = warning.words.strip_suffix(DROP_TEST) {
                warning.words = kept.to_owned();
            }
        }
        if let Some(hunger) = plan.fed.as_ref().and_then(|fed| self.hunger(fed)) {
            // It says more than how much the water takes.
            plan.warnings.retain(|warning| !warning.words.contains("little room is left for feed"));
            plan.warnings.insert(0, hunger);
        }
        if let Some(missing) = self.missing_soon(plan) {
            plan.warnings.insert(0, missing);
        }
        let settling = match plan.now().map(|step| &step.action) {
            Some(Action::LeaveIt) => self.next_look(&after),
            Some(Action::Pour(_)) => self.days_after(plan, &after),
            _ => None,
        };
        if let Some(settling) = &settling {
            self.tell(plan, settling, &after);
        }
        plan.settling = settling;
    }

    /// Puts it into the step that it follows.
    fn tell(&self, plan: &mut Plan, settling: &Settling, after: &Forecast<'_>) {
        let leaves = matches!(plan.now().map(|step| &step.action), Some(Action::LeaveIt));
        let step =
            if leaves { plan.steps.first_mut() } else { plan.steps.iter_mut().rev().find(|step| step.edge.is_some()) };
        let Some(step) = step else { return };
        step.later = Some(settling.words.clone());
        if let (true, Some(visit)) = (leaves, settling.visits.first()) {
            step.wait_min = minutes(visit.in_h);
            let showing = &self.knowledge.showing;
            let noise = self.reading_noise(after.ec(showing, 0.5));
            step.expect = Some(after.expect(showing, visit.in_h, &self.noise, noise));
        }
    }

    /// Some of the stories, to be followed.
    fn followed<'m>(members: &'m [Member], after: &Forecast<'_>) -> Forecast<'m> {
        Forecast::of(members, after.tanks.iter().step_by(EVERY).copied().collect(), true)
    }

    /// Water that is left as it is: until when it very likely stays where it should be.
    fn next_look(&self, after: &Forecast<'_>) -> Option<Settling> {
        self.knowledge.seen.ph?;
        let showing = &self.knowledge.showing;
        let members: Vec<Member> = self.belief.members.iter().step_by(EVERY).cloned().collect();
        let followed = Self::followed(&members, after);
        let at = |in_h: f64| {
            // What roots and microbes do within a day is little, and unknown in its direction: only air hastens a look.
            let then = if in_h < DAY_H { self.aired(&followed, in_h) } else { self.breathed(&followed, in_h, 0) };
            let ph: (f64, f64, f64) = [0.1, 0.5, 0.9].map(|p| then.ph(showing, p)).into();
            Visit { in_h, ph, likely: None, inside: self.inside(&then), then_ph: (ph.0, ph.2) }
        };
        let stays = |visit: &Visit| 1.0 - visit.inside <= MOST_OUTSIDE;
        let air = self.aired(&followed, DAY_H);
        let moves = air.ph(showing, 0.5) - followed.ph(showing, 0.5);
        let leaves = 1.0 - self.inside(&air) > MOST_OUTSIDE;
        let look = if leaves {
            SOON_H.into_iter().rev().map(at).find(stays).unwrap_or_else(|| at(SOON_H[0]))
        } else {
            // Where carbon dioxide still moves pH, tomorrow tells whether it came to rest.
            let later = LATER_H.into_iter().rev().filter(|_| moves.abs() <= MOVES).map(at).find(stays);
            later.unwrap_or_else(|| at(DAY_H))
        };
        let because = if moves.abs() > MOVES {
            "carbon dioxide is still on its way"
        } else if self.plants_in {
            "by then plants and air may have moved pH"
        } else {
            "by then air may have moved pH"
        };
        let words = format!("look again {}: {because}", when(look.in_h));
        Some(Settling { stays_in_h: None, visits: vec![look], words })
    }

    /// Acid or base is poured: what follows today and in the next days.
    fn days_after(&self, plan: &Plan, after: &Forecast<'_>) -> Option<Settling> {
        let showing = &self.knowledge.showing;
        let step = plan.steps.iter().rev().find(|step| step.edge.is_some() && !step.provisional)?;
        let Action::Pour(measured) = &step.action else { return None };
        let product = self.product(&measured.id)?;
        let members: Vec<Member> = self.belief.members.iter().step_by(EVERY).cloned().collect();
        let mut followed = Self::followed(&members, after);
        let (mut visits, mut stays_in_h) = (Vec::new(), None);
        followed = self.breathed(&followed, f64::from(step.wait_min) / 60.0, DAYS + 1);
        for day in 0..=DAYS {
            let ph = [0.1, 0.5, 0.9].map(|p| followed.ph(showing, p)).into();
            let mut doses = self.doses_of_a_visit(&followed, product);
            if doses.len() != followed.len() {
                return None;
            }
            followed = followed.after_each(product, &doses);
            let [low, middle, high] = [0.1, 0.5, 0.9].map(|p| quantile(&mut doses, p));
            let likely = (middle > 0.05 * measured.amount).then(|| Likely {
                product_id: measured.id.clone(),
                low,
                high,
                unit: measured.unit,
            });
            let in_h = if day == 0 { f64::from(step.wait_min) / 60.0 } else { DAY_H * day as f64 };
            followed = self.breathed(&followed, DAY_H, day);
            let inside = self.inside(&followed);
            let then_ph = TOLD_SHARES.map(|p| followed.ph(showing, p));
            visits.push(Visit { in_h, ph, likely, inside, then_ph: then_ph.into() });
            if then_ph.into_iter().all(|ph| self.is_inside(ph)) {
                stays_in_h = Some(in_h);
                break;
            }
        }
        let words = words_of(&visits, stays_in_h);
        Some(Settling { visits, stays_in_h, words })
    }

    /// What each story needs at a visit: the middle of the zone once carbon dioxide has left, but well inside the far edge while
    /// it is there, and no further than the plants bear.
    fn doses_of_a_visit(&self, stories: &Forecast<'_>, product: &ProductBelief) -> Vec<f64> {
        let showing = &self.knowledge.showing;
        let (low, high) = self.zone.ph;
        let down = product.role == Role::PhDown;
        let sign = if down { -1.0 } else { 1.0 };
        let most = Most::Generous(self.most_of(product));
        let width = high - low;
        let inner = if down { low + INSIDE * width } else { high - INSIDE * width };
        let furthest = stories.ph(showing, 0.5) + sign * STEPS_A_VISIT * self.ph_cap();
        let edge = if down { inner.max(furthest) } else { inner.min(furthest) };
        let to_middle = stories.demands_of(showing, (Looked::Settled, sign, f64::midpoint(low, high)), most, product);
        let to_edge = stories.demands_of(showing, (Looked::Mixed, sign, edge), most, product);
        let beyond = |ph: f64| sign * (if down { high } else { low } - ph);
        let slack = self.slack();
        let mixed = stories.points(showing);
        let settled = stories.settled(showing);
        if mixed.len() != to_middle.len() || settled.len() != to_middle.len() {
            return Vec::new();
        }
        let needs = mixed.iter().zip(&settled).map(|(now, then)| beyond(now.ph) > 0.0 || beyond(*then) > slack);
        let doses = to_middle.iter().zip(&to_edge).zip(needs);
        doses.map(|((middle, edge), needs)| if needs { middle.min(*edge) } else { 0.0 }).collect()
    }

    /// Share of the stories that are in the zone, as far as the meter can tell.
    fn inside(&self, stories: &Forecast<'_>) -> f64 {
        stories.share(&self.knowledge.showing, |point| self.is_inside(point.ph))
    }

    /// Whether a pH is in the zone as far as the meter can tell.
    fn is_inside(&self, ph: f64) -> bool {
        let (low, high) = self.zone.ph;
        let slack = self.slack();
        (low - slack..=high + slack).contains(&ph)
    }

    fn slack(&self) -> f64 {
        self.knowledge.meter.ph_sd().min(0.25)
    }

    /// The stories after so many hours in the air, with what roots and microbes do.
    fn breathed<'m>(&self, stories: &Forecast<'m>, hours: f64, wait: usize) -> Forecast<'m> {
        let sd = DRIFT_SD_MEQ_L * (hours / 24.0).sqrt() * if self.plants_in { DRIFT_WITH_PLANTS } else { 1.0 };
        let drifts = normals(SEED ^ wait as u64, stories.len());
        let mut then = self.aired(stories, hours);
        for (tank, z) in then.tanks.iter_mut().zip(drifts) {
            tank.totals = crate::dose::with_base(&tank.totals, sd * z);
        }
        then
    }

    /// The stories after so many hours in the air.
    fn aired<'m>(&self, stories: &Forecast<'m>, hours: f64) -> Forecast<'m> {
        let medium = self.knowledge.showing.medium();
        let tanks = stories.members().iter().zip(&stories.tanks).map(|(member, tank)| {
            tank.breathed(medium, member.room_log10_pco2, member.exchange_per_h, hours).unwrap_or(*tank)
        });
        Forecast::of(stories.members(), tanks.collect(), true)
    }
}

/// What is to come, in one sentence.
fn words_of(visits: &[Visit], stays_in_h: Option<f64>) -> String {
    let mut parts: Vec<String> = visits
        .iter()
        .filter(|visit| visit.in_h >= 12.0)
        .filter_map(|visit| {
            let likely = visit.likely.as_ref()?;
            // A range is not known better than to two figures.
            let grain = 10_f64.powf((likely.high.max(1e-6).log10() - 1.0).floor());
            let told = |value: f64| figure((value / grain).round() * grain);
            let (low, high, unit) = (told(likely.low), told(likely.high), likely.unit);
            let amount = match likely.low {
                none if none < 0.1 * likely.high => format!("up to {high} {unit}"),
                _ if low == high => format!("about {high} {unit}"),
                _ => format!("about {low}–{high} {unit}"),
            };
            Some(format!("{} {amount} more", when(visit.in_h)))
        })
        .collect();
    let first = visits.first().map_or(0.0, |visit| visit.inside);
    let more = visits.first().is_some_and(|visit| visit.likely.is_some());
    let with_more = if more { "with what more today asks for, " } else { "" };
    let told = visits.last().map_or_else(String::new, |visit| {
        let (low, high) = visit.then_ph;
        let (low, high) = (format!("{low:.1}"), format!("{high:.1}"));
        if low == high { format!("at pH {low}") } else { format!("at pH {low}–{high}") }
    });
    parts.push(match stays_in_h {
        Some(in_h) if in_h < 12.0 => format!("{with_more}likely in the zone tomorrow, {told}"),
        Some(in_h) => format!("likely in the zone to stay {}, {told} a day later", when(in_h)),
        None if parts.is_empty() => {
            format!(
                "look again tomorrow: {with_more}about {:.0} in 10 tanks like this one are in the zone then",
                (10.0 * first).floor()
            )
        }
        None => format!("not yet in the zone to stay {}", when(24.0 * DAYS as f64)),
    });
    parts.join(", ")
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to what a u32 holds")]
fn minutes(hours: f64) -> u32 {
    (hours * 60.0).clamp(0.0, 1e6).round() as u32
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_told_as_people_say_them() {
        for (in_h, words) in [(4.0, "in about 4 hours"), (24.0, "tomorrow"), (48.0, "in 2 days"), (72.0, "in 3 days")] {
            assert_eq!(when(in_h), words);
        }
        let likely = |low, high| Some(Likely { product_id: "x".to_owned(), low, high, unit: "mL" });
        let visit = |in_h, likely| Visit { in_h, ph: (6.0, 6.2, 6.4), likely, inside: 0.5, then_ph: (5.94, 6.41) };
        let visits = [visit(0.5, likely(1.0, 2.0)), visit(24.0, likely(2.13, 3.84)), visit(48.0, likely(0.0, 1.17))];
        assert_eq!(
            words_of(&visits, Some(48.0)),
            "tomorrow about 2.1–3.8 mL more, in 2 days up to 1.2 mL more, likely in the zone to stay in 2 days, at pH 5.9–6.4 a day later"
        );
        let quiet = [visit(0.5, None)];
        assert!(words_of(&quiet, None).starts_with("look again tomorrow: about 5 in 10 tanks"));
        assert_eq!(words_of(&quiet, Some(0.5)), "likely in the zone tomorrow, at pH 5.9–6.4");
    }
}
