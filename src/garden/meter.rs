//! The instruments: what they show, how fine, and how far to trust them.

use serde::{Deserialize, Serialize};

use super::priors::Priors;
use crate::units::EcScale;

/// What pH is read with.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub enum PhInstrument {
    /// Bench or good handheld meter, calibrated at two points this month.
    GoodMeter,
    /// Pocket pen.
    Pen,
    /// Indicator drops and a colour card.
    Drops,
    /// Paper strips.
    Strips,
}

impl PhInstrument {
    /// All instruments, best first.
    pub const ALL: [Self; 4] = [Self::GoodMeter, Self::Pen, Self::Drops, Self::Strips];

    /// Error of one reading, 1 sd, pH units. Source: `profiles/priors.ron`.
    pub fn ph_sd(self) -> f64 {
        let by_instrument = &Priors::shipped().ph_offset_sd;
        match self {
            Self::GoodMeter => by_instrument.good_meter.value,
            Self::Pen => by_instrument.pen.value,
            Self::Drops => by_instrument.drops.value,
            Self::Strips => by_instrument.strips.value,
        }
    }

    /// Smallest step usually shown, pH units. Common practice, no source.
    pub const fn usual_step(self) -> f64 {
        match self {
            Self::GoodMeter => 0.01,
            Self::Pen => 0.1,
            Self::Drops => 0.5,
            Self::Strips => 1.0,
        }
    }

    /// Name for people.
    pub const fn words(self) -> &'static str {
        match self {
            Self::GoodMeter => "good pH meter",
            Self::Pen => "pH pen",
            Self::Drops => "indicator drops",
            Self::Strips => "test strips",
        }
    }
}

/// How the meter turns conductivity at the water's temperature into the number it shows.
#[derive(Clone, Copy, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Compensation {
    /// Shown = measured / (1 + a (t - 25)), with `a` in percent per °C (0 to 5; 2.0 is usual, 1.9 for `KCl`).
    LinearPercent(f64),
    /// None: shows the conductivity at the water's temperature.
    None,
    /// Shows the true conductivity at 25 °C.
    Ideal,
}

/// A person's instruments.
#[derive(Clone, Copy, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Meter {
    /// What pH is read with.
    pub ph_instrument: PhInstrument,
    /// Smallest pH step shown (0.001 to 1).
    pub ph_step: f64,
    /// Smallest EC step shown, mS/cm (0.001 to 1).
    pub ec_step_ms_cm: f64,
    /// Relative error of an EC reading, 1 sd (0 to 0.5).
    pub ec_relative_sd: f64,
    /// Temperature rule of the EC meter.
    pub compensation: Compensation,
    /// Scale its EC number is read on.
    pub ec_scale: EcScale,
    /// Day of the last calibration in buffers, Unix seconds, if any.
    #[serde(default)]
    pub calibrated_at_s: Option<i64>,
}

impl Default for Meter {
    /// A pen that shows 0.1 pH and 0.01 mS/cm, 3 % EC error, 2 %/°C.
    fn default() -> Self {
        Self {
            ph_instrument: PhInstrument::Pen,
            ph_step: 0.1,
            ec_step_ms_cm: 0.01,
            ec_relative_sd: 0.03,
            compensation: Compensation::LinearPercent(2.0),
            ec_scale: EcScale::MilliSiemens,
            calibrated_at_s: None,
        }
    }
}

impl Meter {
    /// Error of one pH reading, 1 sd: the instrument's, with the step it shows (step/√12) in quadrature.
    pub fn ph_sd(&self) -> f64 {
        self.ph_instrument.ph_sd().hypot(self.ph_step / 12.0_f64.sqrt())
    }

    /// Error of one EC reading of `ec_ms_cm`, 1 sd, mS/cm: relative part, step and a floor, in quadrature.
    ///
    /// Source of the floor: `profiles/priors.ron`.
    pub fn ec_sd_ms_cm(&self, ec_ms_cm: f64) -> f64 {
        (self.ec_relative_sd * ec_ms_cm.abs())
            .hypot(self.ec_step_ms_cm / 12.0_f64.sqrt())
            .hypot(Priors::shipped().ec_scatter_floor_ms_cm.value)
    }

    /// Noise of one pH reading beside what all readings of the instrument are off by, 1 sd.
    ///
    /// Source: `profiles/priors.ron`, and the step shown (step/√12).
    pub fn ph_noise(&self) -> f64 {
        let priors = Priors::shipped();
        let instrument = priors.ph_scatter_share.value * self.ph_instrument.ph_sd();
        instrument.hypot(priors.ph_scatter_floor.value).hypot(self.ph_step / 12.0_f64.sqrt())
    }

    /// Noise of one EC reading of `ec_ms_cm` beside the meter's own gain, 1 sd, mS/cm. Source: as [`Self::ph_noise`].
    pub fn ec_noise(&self, ec_ms_cm: f64) -> f64 {
        let priors = Priors::shipped();
        let relative = priors.ec_scatter_relative.value * ec_ms_cm;
        priors.ec_scatter_floor_ms_cm.value.hypot(relative).hypot(self.ec_step_ms_cm / 12.0_f64.sqrt())
    }

    /// Whether two pH values look the same on this instrument (closer than 1.5 sd of their difference).
    pub fn same_ph(&self, a: f64, b: f64) -> bool {
        (a - b).abs() < 1.5 * 2.0_f64.sqrt() * self.ph_sd()
    }
}
