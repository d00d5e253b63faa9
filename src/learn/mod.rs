//! From what a person has and reads to what is believed: an ensemble of tanks that all could have shown it, of equal weight.
//!
//! A [`Belief`] is a few hundred [`Member`]s. Each is one consistent story: true volume, source water, feed share, acid or
//! base remainder, carbon dioxide, the meter's own offset, the strengths of the products. A reading moves the stories
//! until they show it within the meter's error, by an ensemble smoother with multiple data assimilation.
//!
//! Source of the scheme: Emerick & Reynolds (2013), Computers & Geosciences 55, 3. Nothing here is kept between runs: the
//! same knowledge and seed give the same members, bit for bit.

mod belief;
mod course;
mod history;
mod jar;
mod knowledge;
mod near;
mod prior;
mod product;
mod smoother;
mod story;

pub use belief::{Belief, BeliefError, Member, MisfitReading, quantile};
pub use knowledge::{Done, Knowledge, KnowledgeError, USUAL_TEMPERATURE_C, calcium_mg_l};
pub use prior::MEMBERS;
pub(crate) use prior::normals;
pub use product::{Part, ProductBelief};
pub use smoother::{ReadOf, Sort};
