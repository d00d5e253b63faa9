//! What pours do to a tank: a state and an ordered list of pours in, the landing out.
//!
//! The tank is inferred, not known: [`infer`] finds a state that agrees with a reading and says what the reading leaves
//! free. [`land`] carries a state through pours: each one's own path and share, the water just mixed, and where it settles
//! in room air, as a range. Mixing conserves totals, so the order of pours changes the paths and never the landing.

mod cloud;
mod infer;
mod landing;
mod pour;
mod showing;
mod tank;
mod warning;

pub use cloud::{Cloud, Contour};
pub use infer::NEARLY_PURE_MS_CM;
pub(crate) use infer::with_base;
pub use infer::{Closing, FreeDirection, InferError, Known, Seen, TankState, infer};
pub use landing::{Landing, PourShare, Settled, land};
pub(crate) use landing::{clouding, warnings};
pub use pour::Pour;
pub use showing::{Point, Showing};
pub use tank::Tank;
pub use warning::Warning;

/// Carbon dioxide in room air, ppm: from fresh outdoor air to a closed, lived-in room.
///
/// Source: NOAA global mean of about 420 ppm; 1,500 ppm is the upper end of poorly aired rooms in EN 16798-1 (both from
/// memory).
pub const ROOM_AIR_PPM: (f64, f64) = (420.0, 1500.0);
