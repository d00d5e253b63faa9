//! Quantities and conversions.
