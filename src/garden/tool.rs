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
        /// Whether they were counted: 20 to 50 drops into a syringe, once.
        #[serde(default)]
        counted: bool,
    },
    /// Powder scoop, levelled off.
    Scoop {
        /// Grams in one level scoop of *this* powder: weigh ten and divide.
        grams: f64,
        /// Scatter of one scoop, 1 sd of the natural logarithm. Above [`Self::UNWEIGHED`] nobody weighed it, and every scoop is off
        /// the same way.
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
    /// Drops in one mL when nobody counted. Source: nominal, the dropper of the United States Pharmacopeia, from memory.
    pub const NOMINAL_DROPS_PER_ML: f64 = 20.0;
    /// Drops in one mL that are seen. Source: reports of 10 to 30 for real droppers, read at second hand.
    pub const SEEN_DROPS_PER_ML: (f64, f64) = (10.0, 30.0);
    /// A dropper as it comes.
    pub const DROPPER: Self = Self::Dropper { drops_per_ml: Self::NOMINAL_DROPS_PER_ML, counted: false };
    /// Scatter of one level scoop or spoon that was weighed or measured, 1 sd of the natural logarithm: one standard spoon
    /// filled by 25 people gave 3.9 to 4.9 mL, and powder packs on top of that.
    ///
    /// Source: Falagas 2010, Int. J. Clin. Pract. 64, 1185 (abstract), doi 10.1111/j.1742-1241.2010.02402.x.
    pub const LEVEL_SCATTER: f64 = 0.1;
    /// How far a household's spoon is off its nominal size, 1 sd of the natural logarithm: 71 teaspoons of 25 homes held 2.5 to
    /// 7.3 mL, mean 4.4. The range of 71 normal draws spans 4.75 sds (Tippett 1925, Biometrika 17, 364), so ±40 % is
    /// somewhat under two of them.
    ///
    /// Source: Falagas 2010, as above.
    pub const SPOON_LN_SD: f64 = 0.22;
    /// A teaspoon. Its nominal size: 21 CFR 101.9, from memory.
    pub const TEASPOON: Self = Self::Spoon { capacity_ml: 5.0, scatter: Self::LEVEL_SCATTER };
    /// A tablespoon, likewise.
    pub const TABLESPOON: Self = Self::Spoon { capacity_ml: 15.0, scatter: Self::LEVEL_SCATTER };
    /// From this scatter on a scoop is taken as one that nobody weighed. Ours, between [`Self::LEVEL_SCATTER`] and
    /// [`Self::SPOON_LN_SD`].
    pub const UNWEIGHED: f64 = 0.2;

    /// A level scoop or spoon of powder of which `count` together weigh so many grams: "weigh ten once".
    pub fn weighed_scoop(count: f64, grams: f64) -> Self {
        Self::Scoop { grams: grams / count, scatter: Self::LEVEL_SCATTER }
    }

    /// Whether nothing but a kitchen spoon, or a scoop that nobody weighed: no measure for an acid or a base.
    pub fn is_rough(&self) -> bool {
        match *self {
            Self::Spoon { .. } => true,
            Self::Scoop { scatter, .. } => scatter > Self::UNWEIGHED,
            Self::Syringe { .. } | Self::Dropper { .. } | Self::Scale { .. } | Self::Jug { .. } => false,
        }
    }

    /// Smallest step the tool can make, mL or g. Zero when the tool's own numbers are not usable.
    pub fn smallest(&self) -> f64 {
        let step = match *self {
            Self::Syringe { mark_ml, .. } | Self::Jug { mark_ml, .. } => mark_ml,
            Self::Dropper { drops_per_ml, .. } => 1.0 / drops_per_ml,
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
    /// 0.03 for a syringe and 0.06 for a scoop. What every filling has in common does not average out: the size of a
    /// household's spoon, of a scoop that nobody weighed, of a dropper's drops.
    /// Source: floors are the widths our trial of invented households used; see the constants for spoons and scoops. Drops that
    /// nobody counted are 0.25 (a range of 10 to 30 against 20), counted ones 0.08: ours, for the angle of the hand.
    pub fn ln_sd(&self, amount: f64) -> f64 {
        let step = self.smallest();
        let amount = if amount.is_finite() { amount.max(step) } else { step };
        if step == 0.0 || amount == 0.0 {
            return 0.06;
        }
        let steps = amount / step;
        match *self {
            Self::Scoop { scatter, .. } if scatter > Self::UNWEIGHED => scatter,
            Self::Scoop { scatter, .. } => 0.06_f64.max(scatter / steps.sqrt()),
            Self::Spoon { scatter, .. } => Self::SPOON_LN_SD.hypot(scatter / steps.sqrt()),
            Self::Dropper { counted: false, .. } => 0.25,
            Self::Dropper { counted: true, .. } => 0.08,
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
            Self::Spoon { .. } if *self == Self::TEASPOON => "teaspoon".to_owned(),
            Self::Spoon { .. } if *self == Self::TABLESPOON => "tablespoon".to_owned(),
            Self::Spoon { capacity_ml, .. } => format!("{} mL spoon", plain(capacity_ml)),
            Self::Scale { .. } => "scale".to_owned(),
            Self::Jug { capacity_ml, .. } => format!("{} mL jug", plain(capacity_ml)),
        }
    }

    /// The same with what it holds or resolves, for a list of what is at hand: `teaspoon (5 mL)`, `scale to 0.1 g`.
    pub fn name_with_size(&self) -> String {
        match *self {
            Self::Spoon { capacity_ml, .. } if *self == Self::TEASPOON || *self == Self::TABLESPOON => {
                format!("{} ({} mL)", self.name(), plain(capacity_ml))
            }
            Self::Scale { mark_g } => format!("scale to {} g", plain(mark_g)),
            Self::Jug { mark_ml, .. } => format!("{} with {} mL marks", self.name(), plain(mark_ml)),
            Self::Dropper { drops_per_ml, counted } => {
                let how = if counted { "counted" } else { "not counted" };
                format!("dropper ({} drops a mL, {how})", plain(drops_per_ml))
            }
            Self::Syringe { .. } | Self::Scoop { .. } | Self::Spoon { .. } => self.name(),
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
            Self::Spoon { .. } => pieces(&format!("level {}", self.name()), &format!("level {}s", self.name())),
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
