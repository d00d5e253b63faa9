//! What a person measures with, and what it can resolve.

use serde::{Deserialize, Serialize};

/// A measuring tool. Amounts are in the product's unit: mL of a liquid, g of a powder.
#[derive(Clone, Copy, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Tool {
    /// Oral syringe or pipette with marks.
    Syringe {
        /// Full capacity, mL.
        capacity_ml: f64,
        /// Distance of the marks, mL.
        mark_ml: f64,
    },
    /// Dropper or dropper bottle.
    Dropper {
        /// Drops in one mL; 20 is nominal, 10 to 30 is seen.
        drops_per_ml: f64,
    },
    /// Powder scoop, levelled off.
    Scoop {
        /// Grams in one level scoop of *this* powder: weigh ten and divide.
        grams: f64,
        /// Scatter of one scoop, 1 sd of the natural logarithm.
        scatter: f64,
    },
    /// Kitchen measuring spoon or bottle cap, for liquids.
    Spoon {
        /// Capacity, mL.
        capacity_ml: f64,
        /// Scatter of one filling, 1 sd of the natural logarithm.
        scatter: f64,
    },
    /// Scale.
    Scale {
        /// Smallest step shown, g.
        mark_g: f64,
    },
    /// Jug or measuring cylinder.
    Jug {
        /// Full capacity, mL.
        capacity_ml: f64,
        /// Distance of the marks, mL.
        mark_ml: f64,
    },
}

impl Tool {
    /// A 10 mL syringe marked in fifths of a millilitre (0.2): found in any pharmacy. Common practice, no source.
    pub const SYRINGE_10: Self = Self::Syringe { capacity_ml: 10.0, mark_ml: 0.2 };
    /// A 1 mL syringe marked in hundredths, read to 0.05. Common practice, no source.
    pub const SYRINGE_1: Self = Self::Syringe { capacity_ml: 1.0, mark_ml: 0.05 };

    /// Smallest step the tool can make, mL or g. Zero when the tool's own numbers are not usable.
    pub fn smallest(&self) -> f64 {
        let step = match *self {
            Self::Syringe { mark_ml, .. } | Self::Jug { mark_ml, .. } => mark_ml,
            Self::Dropper { drops_per_ml } => 1.0 / drops_per_ml,
            Self::Scoop { grams, .. } => grams,
            Self::Spoon { capacity_ml, .. } => capacity_ml,
            Self::Scale { mark_g } => mark_g,
        };
        if step.is_finite() && step > 0.0 { step } else { 0.0 }
    }

    /// The largest amount in one filling, if the tool has one.
    pub fn filling(&self) -> Option<f64> {
        match *self {
            Self::Syringe { capacity_ml, .. } | Self::Spoon { capacity_ml, .. } | Self::Jug { capacity_ml, .. } => {
                Some(capacity_ml)
            }
            Self::Scoop { grams, .. } => Some(grams),
            Self::Dropper { .. } | Self::Scale { .. } => None,
        }
    }

    /// `amount` (mL or g, 0 or more) rounded down to a whole number of the tool's steps.
    ///
    /// Down, because too little can be followed by a little more. A billionth of a step is forgiven so that a whole
    /// number of steps stays itself.
    pub fn round_down(&self, amount: f64) -> f64 {
        let step = self.smallest();
        if step == 0.0 || !amount.is_finite() || amount <= 0.0 {
            return if amount.is_finite() { amount.max(0.0) } else { 0.0 };
        }
        tidy((amount / step + 1e-9).floor() * step)
    }

    /// How surely an amount is met: 1 sd of the natural logarithm of (given / meant).
    ///
    /// Half a step in the reading of a mark (uniform: step/√12), or the scatter of `n` scoops (∝ 1/√n), over a floor of
    /// 0.03 for a syringe and 0.06 for a scoop.
    /// Source: floors are the widths our trial of invented households used.
    pub fn ln_sd(&self, amount: f64) -> f64 {
        let step = self.smallest();
        let amount = if amount.is_finite() { amount.max(step) } else { step };
        if step == 0.0 || amount == 0.0 {
            return 0.06;
        }
        let steps = amount / step;
        match *self {
            Self::Scoop { scatter, .. } | Self::Spoon { scatter, .. } => 0.06_f64.max(scatter / steps.sqrt()),
            // Drop size varies from bottle to bottle (10 to 30 a millilitre against a nominal 20): a common error of all drops.
            Self::Dropper { .. } => 0.25,
            Self::Scale { .. } => 0.01_f64.hypot(1.0 / (12.0_f64.sqrt() * steps)),
            Self::Syringe { .. } | Self::Jug { .. } => 0.03_f64.hypot(1.0 / (12.0_f64.sqrt() * steps)),
        }
    }

    /// Unit of the amounts this tool measures.
    pub const fn unit(&self) -> &'static str {
        match self {
            Self::Scoop { .. } | Self::Scale { .. } => "g",
            _ => "mL",
        }
    }

    /// Name for people, for example `10 mL syringe`.
    pub fn name(&self) -> String {
        match *self {
            Self::Syringe { capacity_ml, .. } => format!("{} mL syringe", plain(capacity_ml)),
            Self::Dropper { .. } => "dropper".to_owned(),
            Self::Scoop { grams, .. } => format!("{} g scoop", plain(grams)),
            Self::Spoon { capacity_ml, .. } => format!("{} mL spoon", plain(capacity_ml)),
            Self::Scale { .. } => "scale".to_owned(),
            Self::Jug { capacity_ml, .. } => format!("{} mL jug", plain(capacity_ml)),
        }
    }

    /// How to measure `amount` with this tool, in words: `to the 2.4 mL mark`, `12 drops`, `3 level scoops`.
    pub fn say(&self, amount: f64) -> String {
        let step = self.smallest();
        let pieces = |one: &str, many: &str| {
            let n = if step > 0.0 { (amount / step).round() } else { 0.0 };
            format!("{} {}", plain(n), if (n - 1.0).abs() < 0.5 { one } else { many })
        };
        match *self {
            Self::Dropper { .. } => pieces("drop", "drops"),
            Self::Scoop { .. } => pieces("level scoop", "level scoops"),
            Self::Spoon { .. } => pieces("level spoon", "level spoons"),
            Self::Scale { .. } => format!("{} g on the scale", plain(amount)),
            Self::Syringe { capacity_ml, .. } | Self::Jug { capacity_ml, .. } => {
                let full = if capacity_ml > 0.0 { (amount / capacity_ml + 1e-9).floor() } else { 0.0 };
                let rest = tidy(amount - full * capacity_ml);
                let times = if full > 1.5 { format!("{} times full", plain(full)) } else { "once full".to_owned() };
                if full < 0.5 {
                    format!("to the {} mL mark", plain(amount))
                } else if rest < step * 0.5 {
                    times
                } else {
                    format!("{times}, then to the {} mL mark", plain(rest))
                }
            }
        }
    }
}

/// Removes the dust of binary fractions: nine decimals are plenty for mL and g.
fn tidy(amount: f64) -> f64 {
    (amount * 1e9).round() / 1e9
}

/// A number without needless zeros, at most three decimals.
pub(super) fn plain(value: f64) -> String {
    let text = format!("{value:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}
