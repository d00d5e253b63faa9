//! What follows from the document: belief, plan, and where the pours in sight would land.

use std::borrow::Cow;
use std::sync::Arc;

use super::sketch::{List, Sketch};
use crate::dose::{Cloud, Landing};
use crate::garden::{Catalog, Unit};
use crate::plan::{Expectation, Idea, Plan, PlanError, Planner, SEED, Spread};

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
    /// The list beside it, when there are two.
    pub other: Option<Other>,
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
    /// Derives all of it. `now_s` is the present in Unix seconds.
    ///
    /// # Errors
    /// [`PlanError`] where facts contradict each other, a reading can't be explained, or the chemistry fails.
    pub fn of(unit: &Unit, catalog: &Catalog, now_s: i64, sketch: &Sketch) -> Result<Self, PlanError> {
        let planner = Planner::new(unit, catalog, now_s, SEED)?;
        let plan = planner.plan()?;
        Self::with_sketch(Arc::new(planner), Arc::new(plan), sketch)
    }

    /// The same belief and plan, another sketch.
    ///
    /// # Errors
    /// Those of the chemistry.
    pub fn with_sketch(planner: Arc<Planner>, plan: Arc<Plan>, sketch: &Sketch) -> Result<Self, PlanError> {
        let idea = sketch.idea().cloned();
        let pours = amounts(idea.as_ref(), &plan);
        let landing = planner.landing(&pours)?;
        let Spread { cloud, below, above, expect } = planner.spread(&pours);
        let other = match sketch.other() {
            Some(list) => Some(Other::of(&planner, &plan, list)?),
            None => None,
        };
        Ok(Self { planner, plan, idea, landing, cloud, below, above, expect, other })
    }

    /// The same belief and plan with another sketch, at once.
    ///
    /// # Errors
    /// Those of the chemistry.
    pub fn at_once(&self, sketch: &Sketch) -> Result<Self, PlanError> {
        Self::with_sketch(Arc::clone(&self.planner), Arc::clone(&self.plan), sketch)
    }

    /// The list in hand, when its amounts are other than the plan's: what the window tells as a what-if. A list that is
    /// only locked is still the plan's.
    pub fn what_if(&self) -> Option<&Idea> {
        self.idea.as_ref().filter(|idea| idea.amounts() != self.plan.pours())
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

impl Other {
    fn of(planner: &Planner, plan: &Plan, list: &List) -> Result<Self, PlanError> {
        let pours = amounts(list.idea(), plan);
        Ok(Self { landing: planner.landing(&pours)?, spread: planner.spread(&pours), pours })
    }
}

fn amounts(idea: Option<&Idea>, plan: &Plan) -> Vec<(String, f64)> {
    idea.map_or_else(|| plan.pours(), Idea::amounts)
}
