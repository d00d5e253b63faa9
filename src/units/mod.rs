//! Quantities as types, and every conversion between the units that people know.
//!
//! A quantity is finite, and inside its physical range, by construction: [`Litres::new`] and its siblings are the
//! boundary at which NaN, infinity and impossible numbers are refused. The units people know are enums with a label and a
//! symbol for the window: [`VolumeUnit`], [`MassUnit`], [`EcScale`], [`TemperatureUnit`], [`HardnessUnit`]; a quantity
//! is made from one with `from_unit` and read in one with `in_unit`. What a person types is read by [`entry`].
//!
//! Left out: density (a product's own number), and any conversion from
//! conductivity to dissolved mass: the "ppm" of a meter is a scale of its display, never a concentration.

pub mod entry;
mod report;
mod volume;
mod water;

pub use report::{ReportLine, ReportUnit};
pub use volume::{DropsPerMl, MassUnit, VolumeUnit};
pub use water::{EcScale, HardnessUnit, TemperatureUnit, compensated_to_25, uncompensated_from_25};

use serde::{Deserialize, Serialize};

/// Why a number cannot be a quantity.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum UnitError {
    /// NaN or infinity, typed, read from a file, or the result of a conversion that overflowed.
    #[error("{quantity} must be a finite number, not {value}")]
    NotFinite {
        /// What the number was to be, such as "volume".
        quantity: &'static str,
        /// The number refused.
        value: f64,
    },
    /// Finite, but outside what the quantity can be.
    #[error("{quantity} of {} is outside {}", with_unit(*value, unit), range_text(*low, *high, unit))]
    Outside {
        /// What the number was to be, such as "volume".
        quantity: &'static str,
        /// The number refused, in `unit`.
        value: f64,
        /// Least value allowed, in `unit`.
        low: f64,
        /// Greatest value allowed, in `unit`; infinite when there is none.
        high: f64,
        /// Symbol of the quantity's own unit.
        unit: &'static str,
    },
}

/// "0 to 14" or "0 L and more": a range with no upper end must not print "inf".
fn range_text(low: f64, high: f64, unit: &str) -> String {
    if high.is_finite() {
        format!("{low} to {}", with_unit(high, unit))
    } else {
        format!("{} and more", with_unit(low, unit))
    }
}

/// "3 L", and "3" for what has no unit.
fn with_unit(value: f64, unit: &str) -> String {
    if unit.is_empty() { value.to_string() } else { format!("{value} {unit}") }
}

/// Refuses NaN, infinity, and numbers outside `low..=high`.
fn checked(quantity: &'static str, value: f64, low: f64, high: f64, unit: &'static str) -> Result<f64, UnitError> {
    if !value.is_finite() {
        return Err(UnitError::NotFinite { quantity, value });
    }
    if value < low || value > high {
        return Err(UnitError::Outside { quantity, value, low, high, unit });
    }
    Ok(value)
}

/// A quantity: a number with a range, checked when it is made and when it is read from a file.
macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $quantity:literal, $unit:literal, $low:expr, $high:expr) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Serialize, Deserialize)]
        #[serde(try_from = "f64", into = "f64")]
        pub struct $name(f64);

        impl $name {
            /// Symbol of the unit that [`Self::get`] counts in.
            pub const SYMBOL: &'static str = $unit;

            /// The quantity of this size, in the type's own unit.
            ///
            /// # Errors
            /// [`UnitError`] when the number is NaN, infinite, or outside the type's range.
            pub fn new(value: f64) -> Result<Self, UnitError> {
                checked($quantity, value, $low, $high, $unit).map(Self)
            }

            /// The number, in the type's own unit. Always finite.
            pub fn get(self) -> f64 {
                self.0
            }
        }

        impl TryFrom<f64> for $name {
            type Error = UnitError;
            fn try_from(value: f64) -> Result<Self, UnitError> {
                Self::new(value)
            }
        }

        impl From<$name> for f64 {
            fn from(quantity: $name) -> f64 {
                quantity.0
            }
        }
    };
}
// The rooms below declare quantities of their own with it.
use quantity;

/// Adds `from_unit` and `in_unit` to a quantity, through its unit enum's conversion to and from the type's own unit.
macro_rules! in_units {
    ($name:ident, $unit:ty, $to:ident, $from:ident) => {
        impl $name {
            /// The quantity that reads `value` in `unit`.
            ///
            /// # Errors
            /// [`UnitError`] when the number is NaN, infinite, outside the type's range, or too large to convert.
            pub fn from_unit(value: f64, unit: $unit) -> Result<Self, UnitError> {
                Self::new(unit.$to(value))
            }

            /// The number read in `unit`.
            pub fn in_unit(self, unit: $unit) -> f64 {
                unit.$from(self.0)
            }
        }
    };
}

quantity!(
    /// A volume of water, in litres: 0 and more.
    Litres, "volume", "L", 0.0, f64::INFINITY
);
in_units!(Litres, VolumeUnit, litres_from, from_litres);

quantity!(
    /// A volume poured or measured, in millilitres: 0 and more.
    Millilitres, "volume", "mL", 0.0, f64::INFINITY
);
in_units!(Millilitres, VolumeUnit, millilitres_from, from_millilitres);

impl From<Millilitres> for Litres {
    fn from(volume: Millilitres) -> Self {
        Self(volume.0 / 1000.0)
    }
}

quantity!(
    /// A mass weighed, in grams: 0 and more.
    Grams, "mass", "g", 0.0, f64::INFINITY
);
in_units!(Grams, MassUnit, grams_from, from_grams);

/// Absolute zero, °C. Source: SI Brochure, 9th edition (2019), section 2.3.1: t/°C = T/K - 273.15. From memory.
const ABSOLUTE_ZERO_C: f64 = -273.15;

quantity!(
    /// A temperature, in degrees Celsius: absolute zero and more.
    Celsius, "temperature", "°C", ABSOLUTE_ZERO_C, f64::INFINITY
);
in_units!(Celsius, TemperatureUnit, celsius_from, from_celsius);

quantity!(
    /// Electrical conductivity in mS/cm: 0 and more. At 25 °C, or compensated to it, unless the place that uses it says
    /// otherwise.
    EcMilliSiemens, "EC", "mS/cm", 0.0, f64::INFINITY
);
in_units!(EcMilliSiemens, EcScale, ms_cm_from, from_ms_cm);

quantity!(
    /// A pH as a meter, drops or a strip show it: 0 to 14, the span of those instruments.
    PhValue, "pH", "", 0.0, 14.0
);

quantity!(
    /// A concentration of something dissolved, in mg/L: 0 and more. What it is counted as is the field's business.
    MgPerLitre, "concentration", "mg/L", 0.0, f64::INFINITY
);

quantity!(
    /// Charge per volume, in meq/L (mmol of charge per litre): alkalinity, or hardness counted by charge. Any finite
    /// number: an acidified water has a negative alkalinity.
    MeqPerLitre, "alkalinity or hardness", "meq/L", f64::NEG_INFINITY, f64::INFINITY
);
in_units!(MeqPerLitre, HardnessUnit, meq_per_l_from, from_meq_per_l);

/// A number for a label: about three figures, no trailing zeros, never in exponent form below a million.
pub(crate) fn shown(value: f64) -> String {
    let decimals = match value.abs() {
        size if size >= 100.0 => 0,
        size if size >= 10.0 => 1,
        size if size >= 1.0 => 2,
        size if size >= 0.1 || size == 0.0 => 3,
        size if size >= 0.01 => 4,
        _ => 5,
    };
    let text = format!("{value:.decimals$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}
