//! What follows from the document: belief, plan, and where the pours in sight would land.

use std::sync::Arc;

use crate::dose::{Cloud, Landing};
use crate::garden::{Catalog, Unit};
use crate::plan::{Expectation, Idea, Plan, PlanError, Planner, SEED, Spread};

/// What is derived from a unit at one moment, and from the idea in hand.
#[derive(Clone, Debug)]
pub struct Outlook {
    /// Belief and what-ifs.
    pub planner: Arc<Planner>,
    /// The plan.
    pub plan: Arc<Plan>,
    /// The what-if these numbers are of; the plan's own pours when there is none.
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
}

impl Outlook {
    /// Derives all of it. `now_s` is the present in Unix seconds.
    ///
    /// # Errors
    /// [`PlanError`] where facts contradict each other, a reading can't be explained, or the chemistry fails.
    pub fn of(unit: &Unit, catalog: &Catalog, now_s: i64, idea: Option<Idea>) -> Result<Self, PlanError> {
        let planner = Planner::new(unit, catalog, now_s, SEED)?;
        let plan = planner.plan()?;
        Self::with_idea(Arc::new(planner), Arc::new(plan), idea)
    }

    /// The same belief and plan, another idea.
    ///
    /// # Errors
    /// Those of the chemistry.
    pub fn with_idea(planner: Arc<Planner>, plan: Arc<Plan>, idea: Option<Idea>) -> Result<Self, PlanError> {
        let pours = idea.as_ref().map_or_else(|| plan.pours(), Idea::amounts);
        let landing = planner.landing(&pours)?;
        let Spread { cloud, below, above, expect } = planner.spread(&pours);
        Ok(Self { planner, plan, idea, landing, cloud, below, above, expect })
    }
}
