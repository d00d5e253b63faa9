//! What follows from the document: belief, plan, and where the pours in sight would land.

use std::borrow::Cow;
use std::sync::Arc;

use super::sketch::{List, Sketch};
use crate::dose::{Cloud, Landing, Point};
use crate::garden::{Catalog, Unit};
use crate::plan::{
    Expectation, Idea, LOOK_AHEAD_H, Later, Live, LiveSpread, MapLimit, Plan, PlanError, Planner, Rail, SEED, Spread,
};

/// What is derived from a unit at one moment, and from the lists in hand.
#[derive(Clone, Debug)]
pub struct Outlook {
    /// Belief and what-ifs.
    pub planner: Arc<Planner>,
    /// The plan.
    pub plan: Arc<Plan>,
    /// The list in hand that these numbers are of; none when it is the plan's own.
    pub idea: Option<Idea>,
    /// Where the pours in sight land.
    pub landing: Landing,
    /// Spread of that landing.
    pub cloud: Cloud,
    /// Chance to fall below the zone's low pH edge, just mixed.
    pub below: f64,
    /// Chance to rise above its high pH edge, just mixed.
    pub above: f64,
    /// What the next reading should show after these pours.
    pub expect: Expectation,
    /// Where the water comes to rest in room air.
    pub settled: Later,
    /// The water at the moment of [`LOOK_AHEAD_H`] that is looked at; none for now.
    pub later: Option<Later>,
    /// Which moment that is.
    pub look: usize,
    /// The curve that each pour of the list moves the water along, by its key. While a handle is dragged they are those of
    /// its grab: its own does not change by that, and the others follow on release.
    pub rails: Vec<(u32, Rail)>,
    /// What one can't or shouldn't enter.
    pub limits: Vec<MapLimit>,
    /// The list beside it, when there are two.
    pub other: Option<Other>,
    /// What numbers at once are carried on from, once it was made.
    basis: Option<Arc<Basis>>,
    /// Whether these are such numbers.
    is_carried: bool,
}

/// The exact numbers that those of a drag are carried on from.
///
/// While a handle is dragged the landing is exact, and so are cloud, chances and the spread at the moment looked at, for
/// [`Live`] solves every story. What would take longer is carried: the range that the next reading should show moves with
/// the middle of the stories and widens as they do, and the point of rest moves as the likeliest tank's does; how wide its
/// range is then is not told in figures. So no range stands beside a landing that it does not belong to, and on release the
/// exact ones differ little.
#[derive(Clone, Debug)]
struct Basis {
    spread: LiveSpread,
    later_spread: Option<LiveSpread>,
    expect: Expectation,
    settled: Later,
    /// As in the landing.
    rest: Point,
    later: Option<Later>,
    look: usize,
}

/// The list that is not in hand.
#[derive(Clone, PartialEq, Debug)]
pub struct Other {
    /// Its pours, as the planner takes them.
    pub pours: Vec<(String, f64)>,
    /// Where they land.
    pub landing: Landing,
    /// Spread of that landing.
    pub spread: Spread,
}

impl Outlook {
    /// Derives all of it. `now_s` is the present in Unix seconds; `look` a place in [`LOOK_AHEAD_H`].
    ///
    /// # Errors
    /// [`PlanError`] where facts contradict each other, a reading can't be explained, or the chemistry fails.
    pub fn of(unit: &Unit, catalog: &Catalog, now_s: i64, sketch: &Sketch, look: usize) -> Result<Self, PlanError> {
        let planner = Planner::new(unit, catalog, now_s, SEED)?;
        let mut plan = planner.plan()?;
        planner.advise(&mut plan);
        // What-ifs are asked of the water that the plan's own top-up leaves, as its pours are.
        let planner = planner.assuming(&plan);
        Self::with_sketch(Arc::new(planner), Arc::new(plan), sketch, look)
    }

    /// The same belief and plan, another sketch or another moment to look at.
    ///
    /// # Errors
    /// Those of the chemistry.
    pub fn with_sketch(
        planner: Arc<Planner>,
        plan: Arc<Plan>,
        sketch: &Sketch,
        look: usize,
    ) -> Result<Self, PlanError> {
        let idea = sketch.idea().cloned();
        let pours = amounts(idea.as_ref(), &plan);
        let landing = planner.landing(&pours)?;
        let Spread { cloud, below, above, expect } = planner.spread(&pours);
        let settled = planner.later(&pours, f64::INFINITY)?;
        let later = match hours(look) {
            Some(hours) => Some(planner.later(&pours, hours)?),
            None => None,
        };
        let other = match sketch.other() {
            Some(list) => Some(Other::of(&planner, &plan, list)?),
            None => None,
        };
        let list = idea.as_ref().map_or_else(|| Cow::Owned(Idea::of(&plan)), Cow::Borrowed);
        // A rail or a limit that the chemistry can't follow to its end is not drawn; the landing stands all the same.
        let rail = |key| planner.rail(&list, key).unwrap_or_default();
        let rails = list.pours.iter().map(|pour| (pour.key, rail(pour.key))).collect();
        let limits = planner.limits(&landing).unwrap_or_default();
        drop(list);
        Ok(Self {
            planner,
            plan,
            idea,
            landing,
            cloud,
            below,
            above,
            expect,
            settled,
            later,
            look,
            rails,
            limits,
            other,
            basis: None,
            is_carried: false,
        })
    }

    /// The same belief and plan with another sketch, at once: exact where that is quick, else carried on.
    ///
    /// # Errors
    /// Those of the chemistry.
    pub fn at_once(&self, sketch: &Sketch, live: &mut Live) -> Result<Self, PlanError> {
        let (planner, plan) = (Arc::clone(&self.planner), Arc::clone(&self.plan));
        let basis = self.basis.clone().unwrap_or_else(|| Arc::new(self.new_basis(live)));
        let idea = sketch.idea().cloned();
        let pours = amounts(idea.as_ref(), &plan);
        let landing = planner.landing(&pours)?;
        let spread = live.spread(&planner, &pours, 0.0);
        let rest = landing.settled.middle();
        let settled = basis.settled_at(rest);
        let later = hours(self.look).map(|hours| basis.later_at(live.spread(&planner, &pours, hours), self.look));
        let other = match (sketch.other(), &self.other) {
            (Some(list), Some(other)) if other.pours == amounts(list.idea(), &plan) => Some(other.clone()),
            (Some(list), _) => Some(Other::of(&planner, &plan, list)?),
            (None, _) => None,
        };
        Ok(Self {
            idea,
            landing,
            below: spread.below,
            above: spread.above,
            expect: basis.expect_of(&spread),
            cloud: spread.cloud,
            settled,
            later,
            look: self.look,
            rails: self.rails.clone(),
            limits: self.limits.clone(),
            other,
            planner,
            plan,
            basis: Some(basis),
            is_carried: true,
        })
    }

    /// Makes what numbers at once are carried on from, so that the first of them is as quick as those that follow.
    pub fn prepare(&mut self, live: &mut Live) {
        if self.basis.is_none() {
            self.basis = Some(Arc::new(self.new_basis(live)));
        }
    }

    fn new_basis(&self, live: &mut Live) -> Basis {
        let pours = self.pours();
        Basis {
            spread: live.spread(&self.planner, &pours, 0.0),
            later_spread: hours(self.look).map(|hours| live.spread(&self.planner, &pours, hours)),
            expect: self.expect,
            settled: self.settled.clone(),
            rest: self.landing.settled.middle(),
            later: self.later.clone(),
            look: self.look,
        }
    }

    /// Whether some of these numbers were carried on in haste, so that exact ones are on their way.
    pub fn is_carried(&self) -> bool {
        self.is_carried
    }

    /// The list in hand, when it pours other than the plan does: what the window tells as a what-if. A list that is only
    /// locked, or has a pour of nothing more, is still the plan's.
    pub fn what_if(&self) -> Option<&Idea> {
        self.idea.as_ref().filter(|idea| something(idea.amounts()) != something(self.plan.pours()))
    }

    /// The list in hand, the plan's own where it is that.
    pub fn list(&self) -> Cow<'_, Idea> {
        self.idea.as_ref().map_or_else(|| Cow::Owned(Idea::of(&self.plan)), Cow::Borrowed)
    }

    /// The pours in sight, as the planner takes them.
    pub fn pours(&self) -> Vec<(String, f64)> {
        amounts(self.idea.as_ref(), &self.plan)
    }
}

/// Low, middle, high.
type Three = (f64, f64, f64);

impl Basis {
    fn expect_of(&self, spread: &LiveSpread) -> Expectation {
        let ph = |values| carried(values, self.spread.ph_read, spread.ph_read);
        let ec = carried(self.expect.ec_ms_cm, self.spread.ec_ms_cm, spread.ec_ms_cm);
        Expectation {
            ph: ph(self.expect.ph),
            ec_ms_cm: (ec.0.max(0.0), ec.1.max(0.0), ec.2.max(0.0)),
            settled_ph: ph(self.expect.settled_ph),
        }
    }

    /// The water at rest, when the likeliest tank rests at a point.
    fn settled_at(&self, rest: Point) -> Later {
        let (ph, ec) = (rest.ph - self.rest.ph, rest.ec_ms_cm - self.rest.ec_ms_cm);
        let moved = |point: &Point| Point { ph: point.ph + ph, ec_ms_cm: point.ec_ms_cm + ec };
        let Later { at, ph: (low, middle, high), cloud } = &self.settled;
        let mut cloud = cloud.clone();
        cloud.middle = moved(&cloud.middle);
        for point in cloud.contours.iter_mut().flat_map(|contour| &mut contour.outline) {
            *point = moved(point);
        }
        Later { at: moved(at), ph: (low + ph, middle + ph, high + ph), cloud }
    }

    /// The water at the moment looked at: its cloud and pH are those of the stories, the likeliest tank moves with them.
    fn later_at(&self, spread: LiveSpread, look: usize) -> Later {
        let middle = Point { ph: spread.ph.1, ec_ms_cm: spread.ec_ms_cm.1 };
        let at = match (&self.later, &self.later_spread) {
            (Some(later), Some(then)) if look == self.look => Point {
                ph: later.at.ph + middle.ph - then.ph.1,
                ec_ms_cm: later.at.ec_ms_cm + middle.ec_ms_cm - then.ec_ms_cm.1,
            },
            _ => middle,
        };
        Later { at, ph: spread.ph, cloud: spread.cloud }
    }
}

/// A range carried from where some stories were to where they are: its middle moves with theirs, and each side widens as
/// theirs does. Fivefold at most: a side that had hardly any width says little of how it grows.
fn carried((low, middle, high): Three, from: Three, to: Three) -> Three {
    let growth = |now: f64, then: f64| if then > 1e-6 { (now / then).clamp(0.2, 5.0) } else { 1.0 };
    let at = middle + to.1 - from.1;
    (
        at - (middle - low) * growth(to.1 - to.0, from.1 - from.0),
        at,
        at + (high - middle) * growth(to.2 - to.1, from.2 - from.1),
    )
}

/// Hours ahead of a moment to look at; none for now, and for one that is not there.
fn hours(look: usize) -> Option<f64> {
    LOOK_AHEAD_H.get(look).copied().filter(|hours| *hours > 0.0)
}

impl Other {
    fn of(planner: &Planner, plan: &Plan, list: &List) -> Result<Self, PlanError> {
        let pours = amounts(list.idea(), plan);
        Ok(Self { landing: planner.landing(&pours)?, spread: planner.spread(&pours), pours })
    }
}

/// Those pours that are more than nothing.
fn something(mut pours: Vec<(String, f64)>) -> Vec<(String, f64)> {
    pours.retain(|(_, amount)| *amount > 0.0);
    pours
}

fn amounts(idea: Option<&Idea>, plan: &Plan) -> Vec<(String, f64)> {
    idea.map_or_else(|| plan.pours(), Idea::amounts)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_range_moves_and_widens_with_the_stories() {
        let close = |a: Three, b: Three| [a.0 - b.0, a.1 - b.1, a.2 - b.2].iter().all(|off| off.abs() < 1e-12);
        let range = (5.9, 6.2, 6.6);
        let from = (6.0, 6.2, 6.5);
        assert!(close(carried(range, from, from), range));
        assert!(close(carried(range, from, (5.0, 5.2, 5.5)), (4.9, 5.2, 5.6)), "moved");
        assert!(close(carried(range, from, (5.8, 6.2, 6.8)), (5.6, 6.2, 7.0)), "twice as wide");
        let narrow = carried(range, (6.2, 6.2, 6.2), (5.0, 6.2, 7.0));
        assert!(close(narrow, range), "a side without width says nothing of growth");
    }
}
