//! What a plan is made of.

use crate::dose::{Cloud, Landing};
use crate::garden::{Promise, Zone};

use super::{Expectation, Fed, Help, JarOffer, Measured, Settling};

/// What to do.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum Action {
    /// A fact is missing: the question, for the place where it is asked.
    Ask {
        /// In words.
        question: String,
    },
    /// Read the water again, once it has mixed.
    Read {
        /// Minutes left to wait.
        in_min: u32,
    },
    /// Add source water.
    TopUp {
        /// L.
        water_l: f64,
    },
    /// Take solution out and put as much source water in.
    Swap {
        /// L.
        litres: f64,
    },
    /// Pour a product.
    Pour(Measured),
    /// Nothing: the water is where it should be, or nearer to it than the meter can tell.
    LeaveIt,
    /// Nothing on the shelf does what is needed.
    CannotHelp {
        /// What would help.
        needed: String,
    },
}

/// What set the amount.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Limit {
    /// It brings the middle of the belief to the middle of the zone.
    Aim,
    /// More might cross the far edge.
    Safety,
    /// More would be too big a step for the plants.
    StepCap,
    /// More would run over.
    Rim,
}

/// One step.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// What to do.
    pub action: Action,
    /// How much it may need in all, in the unit of the pour: 1 in 10 below, 1 in 10 above.
    pub likely_total: Option<(f64, f64)>,
    /// What the next reading should show.
    pub expect: Option<Expectation>,
    /// What set the amount.
    pub limit: Option<Limit>,
    /// Chance that the water just mixed crosses the far edge, 0 to 1.
    pub risk: Option<f64>,
    /// The edge that `risk` speaks of.
    pub edge: Option<f64>,
    /// Minutes to mix before reading.
    pub wait_min: u32,
    /// Why, a sentence each.
    pub why: Vec<String>,
    /// What follows in the next days, where that is worked out.
    pub later: Option<String>,
    /// Cautions to show beside it.
    pub cautions: Vec<String>,
    /// Whether the amount will be set anew by the reading before it.
    pub provisional: bool,
    /// A jar test that is worth its minutes before this step.
    pub jar: Option<JarOffer>,
}

impl Step {
    pub(crate) fn plain(action: Action) -> Self {
        Self {
            action,
            likely_total: None,
            expect: None,
            limit: None,
            risk: None,
            edge: None,
            wait_min: 0,
            why: Vec::new(),
            later: None,
            cautions: Vec::new(),
            provisional: false,
            jar: None,
        }
    }

    pub(crate) fn because(mut self, why: impl Into<String>) -> Self {
        self.why.push(why.into());
        self
    }
}

/// Something to tell beside the plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Caution {
    /// A sentence.
    pub words: String,
    /// Where it can be mended.
    pub place: Option<Place>,
}

/// A place where a person can mend a fact.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// What the source water is.
    SourceWater,
    /// EC of the source water.
    SourceEc,
    /// What is on the shelf.
    Shelf,
    /// What pH is read with.
    Meter,
    /// What grows.
    Crops,
}

/// The plan for one tank at one moment.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// In order; the first is what to do now. Never empty.
    pub steps: Vec<Step>,
    /// What is told of the first step, to be kept in the log when it is done.
    pub promise: Option<Promise>,
    /// The facts that would narrow the answer most, best first; filled by [`super::Planner::advise`], as are the two below.
    pub helps: Vec<Help>,
    /// What the feed brings to the tank after all planned pours.
    pub fed: Option<Fed>,
    /// How the water comes to rest, and when to look again.
    pub settling: Option<Settling>,
    /// Warnings about the water and the plan.
    pub warnings: Vec<Caution>,
    /// Why the plan is as it is.
    pub why: Vec<String>,
    /// Where the default state lands after all planned pours.
    pub landing: Landing,
    /// The spread of that landing.
    pub cloud: Cloud,
    /// The working zone, EC as the meter shows it in this tank.
    pub zone: Zone,
    /// EC edges in the tank, the source water counted, mS/cm.
    pub zone_ec_ms_cm: (f64, f64),
}

impl Plan {
    /// What to do now.
    pub fn now(&self) -> Option<&Step> {
        self.steps.first()
    }

    /// The amounts planned, as (product id, amount in its unit), in order.
    pub fn pours(&self) -> Vec<(String, f64)> {
        self.steps
            .iter()
            .filter_map(|step| match &step.action {
                Action::Pour(measured) => Some((measured.id.clone(), measured.amount)),
                _ => None,
            })
            .collect()
    }
}
