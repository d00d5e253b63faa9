//! The pages: each draws view data and draft state, and asks for what the person wants.

mod facts;
mod pictures;
mod pours;
pub mod reading;
pub mod start;
pub mod today;
