//! From belief and zone to steps, and why: doubt the reading, then level, then EC by feed, then pH.
//!
//! The amount to pour now is the smallest of three: the dose that brings the middle of the belief to the aim; the largest
//! that stays inside the far edge with the stated safety; the step cap for plants of this stage. It is rounded down to what
//! the tool can measure. "Cannot reach" and "leave it" are answers, not errors.

mod course;
mod doubt;
mod doubtful;
mod ec;
mod feed;
mod forecast;
mod help;
mod idea;
mod jar;
mod later;
mod least;
mod limits;
mod live;
mod measure;
mod order;
mod ph;
mod planner;
mod rail;
mod settle;
mod shelf;
mod silicate;
mod steer;
mod step;
mod told;
mod twice;
mod unfinished;
mod words;

pub use feed::Fed;
pub use forecast::{Expectation, Forecast};
pub use help::{Fact, Help};
pub use idea::{FIRST_KEY, Idea, IdeaPour, Snap, mark_at, measured, planned_end, slider_end};
pub use jar::{JarGuide, JarNext, JarOffer};
pub use later::{LOOK_AHEAD_H, Later};
pub use limits::{MapLimit, Side};
pub use live::{Live, LiveSpread};
pub(crate) use measure::measure;
pub use measure::{Dilution, Measured, TooSmall};
pub use planner::{PlanError, Planner, Spread};
pub use rail::Rail;
pub(crate) use settle::when;
pub use settle::{Likely, Settling, Visit};
pub use steer::Steered;
pub use step::{Action, Caution, Limit, Place, Plan, Step};
pub use told::{Compared, Untold, Versus, Way, compared, told_then};
pub use twice::{Twice, disagree, twice};
pub use words::{ec_edges, edges, one_in};
pub(crate) use words::{edge_decimals, figure, lower_first};

/// Share of the stories, 0 to 1, that a pour of acid or base may take past the far edge: 1 in 50.
pub const SAFETY: f64 = 0.02;
/// The same for a pour into water that most stories have inside the zone already: it only saves tomorrow's correction, so
/// it may risk less. Ours; in the trial of invented households half of all crossings came of such pours before.
pub const FINISHING_SAFETY: f64 = 0.005;
/// Share of the stories that a feed may take past the zone's upper EC edge: 1 in 20. Ours: a little too much feed is thinned
/// again, and does not burn at once as acid does.
pub const EC_SAFETY: f64 = 0.05;
/// Largest change of pH in one step, by the middle of the belief.
///
/// Source: practice of never more than about 0.5 to 1.0 with plants in place (house practice, from memory); without plants
/// the cap is ours and only keeps one careless number from doing it all.
pub const PH_STEP: PhStepCaps = PhStepCaps { seedling: 0.5, plants: 1.0, no_plants: 2.5 };
/// Largest rise of EC in one step with plants in place, mS/cm. Source: proposal of ours after "more than 0.5 in a day on
/// small plants" hurts; seedlings get less.
pub const EC_STEP_MS_CM: EcStepCaps = EcStepCaps { seedling: 0.3, plants: 0.5 };
/// Below this share of the tank's size the level comes first. Ours.
pub const LEVEL_FIRST_BELOW: f64 = 0.75;
/// A top-up brings the tank to this share of its size, so that nothing runs over. Ours.
pub const TOP_UP_TO: f64 = 0.95;
/// The seed of every sample that the window and the card draw: the same unit then gets the same plan in both.
pub const SEED: u64 = 1;
/// The dose model's version, kept with every promise.
pub const MODEL_VERSION: &str = concat!("pourcast ", env!("CARGO_PKG_VERSION"), ", dose model 2");

/// See [`PH_STEP`].
#[derive(Clone, Copy, Debug)]
pub struct PhStepCaps {
    /// Seedlings in the water.
    pub seedling: f64,
    /// Grown plants in the water.
    pub plants: f64,
    /// No roots in the water.
    pub no_plants: f64,
}

/// See [`EC_STEP_MS_CM`].
#[derive(Clone, Copy, Debug)]
pub struct EcStepCaps {
    /// Seedlings in the water.
    pub seedling: f64,
    /// Grown plants in the water.
    pub plants: f64,
}
