//! A round that was begun: a feed without its other parts, silicate that mixes, a feed before its acid, a pour nobody has read.

use crate::garden::Role;
use crate::learn::Done;

use super::ec::STIR_BETWEEN_PARTS_MIN;
use super::forecast::Forecast;
use super::planner::Planner;
use super::step::{Action, Step};

/// So long after a reading, hours, acid may still follow the feed on the strength of it. Ours: one visit to the tank.
const ONE_ROUND_H: f64 = 3.0;

impl Planner {
    /// What brings the round to its end; `None` where nothing was begun, or only silicate went in and has mixed.
    pub(super) fn unfinished(&self, forecast: &mut Forecast<'_>) -> Option<Vec<Step>> {
        let since = &self.knowledge.since_reading;
        since.last()?;
        if let Some(steps) = self.missing_parts(forecast) {
            return Some(steps);
        }
        if let Some(step) = self.ph_after_unread_feed(forecast) {
            return Some(vec![step]);
        }
        let only_silicate = since.iter().all(|done| self.role_of(done) == Some(Role::Silicate));
        if only_silicate && self.wait_left_min() == 0 {
            return None;
        }
        let ec = forecast.ec(&self.knowledge.showing, 0.5);
        let mut step = Step::plain(Action::Read { in_min: self.wait_left_min() }).because(if only_silicate {
            "Silicate must be stirred in well before anything else goes in"
        } else {
            "A reading before the water has mixed is the commonest false alarm"
        });
        step.expect = Some(forecast.expect(
            &self.knowledge.showing,
            f64::from(self.kind.mixing_wait_min()) / 60.0,
            &self.noise,
            self.reading_noise(ec),
        ));
        Some(vec![step])
    }

    /// The role of what was poured; `None` for water, or a product that is not on the shelf.
    fn role_of(&self, done: &Done) -> Option<Role> {
        match done {
            Done::Pour { id, .. } => self.product(id).map(|product| product.role),
            Done::TopUp(_) | Done::Drain(_) => None,
        }
    }

    /// The other parts of a feed of which one part is in the tank already.
    fn missing_parts(&self, forecast: &mut Forecast<'_>) -> Option<Vec<Step>> {
        let since = &self.knowledge.since_reading;
        let Done::Pour { id: last_id, amount: last_amount } =
            since.iter().rev().find(|done| matches!(done, Done::Pour { .. }))?
        else {
            return None;
        };
        let product = self.product(last_id)?;
        let done = |id: &str| since.iter().any(|done| matches!(done, Done::Pour { id: poured, .. } if poured == id));
        let last = product.parts.iter().find(|part| part.pour.id == *last_id)?;
        let missing: Vec<_> = product.parts.iter().filter(|part| !done(&part.pour.id)).collect();
        let mut steps = Vec::new();
        for (i, part) in missing.iter().enumerate() {
            let amount = last_amount * part.ratio / last.ratio;
            let is_last = i + 1 == missing.len();
            let Ok(mut step) = self.part_of_round(product, part, amount, (forecast, is_last)) else { break };
            step = step.because(format!("It belongs to {}, in the ratio of the label", last.pour.name));
            if !is_last {
                step.wait_min = STIR_BETWEEN_PARTS_MIN;
                step = step.because(format!(
                    "Stir it in for {STIR_BETWEEN_PARTS_MIN} min before the next part: concentrates never meet"
                ));
            }
            steps.push(step);
        }
        if steps.is_empty() {
            return None;
        }
        steps.push(Step::plain(Action::Read { in_min: self.kind.mixing_wait_min() }));
        Some(steps)
    }

    /// The pH step of a round whose feed is in and not read yet, if the water was read for pH before it.
    fn ph_after_unread_feed(&self, forecast: &mut Forecast<'_>) -> Option<Step> {
        let k = &self.knowledge;
        let feeds = |role: Option<Role>| matches!(role, Some(Role::Feed | Role::CalMag));
        let role = |done| self.role_of(done);
        let only_fed = k.since_reading.iter().map(role).all(|role| feeds(role) || role == Some(Role::Silicate))
            && k.since_reading.iter().map(role).any(feeds);
        let fresh = self.hours_since_reading.is_some_and(|hours| hours < ONE_ROUND_H);
        // While the feed mixes, the wait is what there is to tell.
        if !only_fed || k.seen.ph.is_none() || !fresh || self.wait_left_min() > 0 || self.doubt().is_some() {
            return None;
        }
        let mut after = forecast.clone();
        let step = self.ph_step(&mut after, false).filter(|step| matches!(step.action, Action::Pour(_)))?;
        *forecast = after;
        Some(self.after_feed(step))
    }

    /// A pH step that follows a feed in the same round.
    pub(super) fn after_feed(&self, mut step: Step) -> Step {
        let first = if self.knowledge.since_reading.is_empty() {
            let wait = self.kind.mixing_wait_min();
            format!("Once the feed has mixed for {wait} min. Surer: read the water then, before this pour")
        } else {
            "Surer: read the water between feed and this pour".to_owned()
        };
        step.why.insert(0, first);
        step
    }

    /// Whether a step pours feed or a supplement.
    pub(super) fn is_fed_by(&self, step: &Step) -> bool {
        match &step.action {
            Action::Pour(measured) => {
                self.product(&measured.id).is_some_and(|product| matches!(product.role, Role::Feed | Role::CalMag))
            }
            _ => false,
        }
    }
}
