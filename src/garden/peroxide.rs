//! Hydrogen peroxide: what is known of it, for whoever asks. It is never a planned pour.
//!
//! Growers pour it "for the roots" or against algae. It feeds nothing and steers nothing that this program steers: a neutral
//! molecule (pKa 11.6, from memory), so neither EC nor pH moves to speak of. What it does to plants is published.

use serde::{Deserialize, Serialize};

use super::tool::plain;

/// Concentration that stunted or killed lettuce in mineral feed, mg/L; twice as much did so too.
///
/// Source: Lau & Mattson 2021, "Effects of Hydrogen Peroxide on Organically Fertilized Hydroponic Lettuce", Horticulturae
/// 7:106 (abstract).
pub const HARMED_MG_L: f64 = 37.5;
/// Concentration above which the card says stop, mg/L. Ours: between a third and a quarter of what did harm.
pub const STOP_MG_L: f64 = 10.0;

/// Strength as it is sold.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Serialize, Deserialize)]
pub enum Grade {
    /// 3 %, the household bottle ("10 volumes").
    Three,
    /// 6 % ("20 volumes").
    Six,
    /// 12 % ("40 volumes").
    Twelve,
    /// 35 %.
    ThirtyFive,
}

impl Grade {
    /// All grades, weakest first.
    pub const ALL: [Self; 4] = [Self::Three, Self::Six, Self::Twelve, Self::ThirtyFive];

    /// The percentage that it is sold by.
    pub const fn percent(self) -> f64 {
        match self {
            Self::Three => 3.0,
            Self::Six => 6.0,
            Self::Twelve => 12.0,
            Self::ThirtyFive => 35.0,
        }
    }

    /// Peroxide in a litre of it, g.
    ///
    /// The weak grades are labelled by volume (3 % is 30 g/L, as Lau & Mattson 2021 count), 35 % by mass with a density of
    /// 1.13 g/mL (from memory).
    pub const fn grams_per_l(self) -> f64 {
        match self {
            Self::Three | Self::Six | Self::Twelve => self.percent() * 10.0,
            Self::ThirtyFive => self.percent() * 10.0 * 1.13,
        }
    }

    /// Name for people.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Three => "3 % (household bottle)",
            Self::Six => "6 %",
            Self::Twelve => "12 %",
            Self::ThirtyFive => "35 % (dangerous at home)",
        }
    }
}

/// mg of peroxide in a litre of water that got `ml_per_l` of a grade; `None` below 0 and for what is no number.
pub fn mg_per_l(ml_per_l: f64, grade: Grade) -> Option<f64> {
    (ml_per_l >= 0.0 && ml_per_l.is_finite()).then(|| ml_per_l * grade.grams_per_l())
}

/// What is known, in sentences.
#[derive(Clone, PartialEq, Debug)]
pub struct PeroxideCard {
    /// What to do.
    pub advice: &'static str,
    /// What the amount asked for would come to, where one was asked for.
    pub amount: Option<String>,
    /// What it does to plants and what it does not do to readings.
    pub known: [&'static str; 4],
    /// Cautions for the hand that holds the bottle.
    pub cautions: [&'static str; 6],
}

/// The card, for an amount in mL per litre of water and its grade where they are told.
pub fn card(asked: Option<(f64, Grade)>) -> PeroxideCard {
    let amount = asked.and_then(|(ml_per_l, grade)| {
        let mg_l = mg_per_l(ml_per_l, grade)?;
        let verdict = if mg_l >= HARMED_MG_L {
            "as much as stunted or killed lettuce in mineral feed (37.5 mg/L and more)"
        } else if mg_l > STOP_MG_L {
            "too near to the 37.5 mg/L that stunted or killed lettuce: stop"
        } else {
            "less than is known to harm, and not known to help"
        };
        let (ml, mg) = (plain(ml_per_l), plain((mg_l * 10.0).round() / 10.0));
        Some(format!("{ml} mL of {} in a litre is {mg} mg/L: {verdict}.", grade.words()))
    });
    PeroxideCard {
        advice: "Not advised with plants in the water: no amount of it is planned here.",
        amount,
        known: [
            "37.5 and 75 mg/L stunted or killed lettuce in mineral feed; with organic feed 37.5 mg/L did little harm (Lau & Mattson 2021, Horticulturae 7:106).",
            "EC and pH do not move to speak of, so no meter tells how much is in the water.",
            "It falls apart into water and oxygen within hours to days, faster in warm water, with iron and with roots; it does not pile up (ATSDR).",
            "It can destroy iron chelate, and it kills helpful microbes as well as harmful ones (from memory).",
        ],
        cautions: [
            "Read the label and the safety data sheet first; they and local rules come before this card.",
            "Ask for the grade before any mL: 35 % holds about 13 times as much as 3 %.",
            "Goggles and gloves; 35 % burns skin, and swallowing it can kill.",
            "Never with bleach, never with vinegar or another acid.",
            "Keep its own vented bottle, cool and dark; never a tight one.",
            "Lock it away from children.",
        ],
    }
}

/// Whether a product's name says that it is peroxide.
pub(super) fn is_named(name: &str) -> bool {
    let name = name.to_lowercase().replace('₂', "2");
    name.contains("peroxide") || name.contains("h2o2")
}
