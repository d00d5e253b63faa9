//! See the crate's map.
