//! Pourcast: how much do I add? A dose model for small home hydroponic units, and the window on it.
//!
//! Arrows run one way: `units <- chem <- garden <- dose <- learn <- plan <- card <- ui`; `store` knows only the data
//! types. Nothing below [`ui`] names a window; nothing but [`store`] and the binary touches a file, a clock or a random
//! source: time and seeds are arguments.

pub mod card;
pub mod chem;
pub mod dose;
pub mod garden;
pub mod learn;
pub mod plan;
pub mod store;
pub mod ui;
pub mod units;
