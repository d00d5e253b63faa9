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
/// Most that can be asked about, mL in a litre of water. Ours: a tenth of the water is no dose of anything.
pub const MOST_ML_PER_L: f64 = 100.0;
/// pH below which less than one molecule in ten thousand is an ion: four below its pKa of 11.6 (from memory).
const WHOLE_BELOW_PH: f64 = 7.6;
/// Its molar mass, g/mol. Source: IUPAC (2021).
const MOLAR_MASS_G: f64 = 34.014;

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

/// An amount that somebody asks about.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Asked {
    /// Of the bottle, mL.
    pub ml: f64,
    /// What is in the bottle.
    pub grade: Grade,
    /// The water that it would go into, L.
    pub water_l: f64,
}

impl Asked {
    /// mL of the bottle in a litre of that water; `None` where there is no water.
    pub fn ml_per_l(self) -> Option<f64> {
        Some(self.ml / self.water_l).filter(|ml_per_l| ml_per_l.is_finite())
    }

    /// Most that can be asked about, mL: [`MOST_ML_PER_L`] of the water.
    pub fn most_ml(water_l: f64) -> f64 {
        MOST_ML_PER_L * water_l
    }
}

/// What an amount comes to. It is an answer, never a pour.
#[derive(Clone, PartialEq, Debug)]
pub struct Answer {
    /// The amount in all the water and in a litre of it, and what that makes.
    pub amount: String,
    /// What so much does to plants.
    pub harm: String,
    /// What so much does to the readings.
    pub readings: String,
    /// Whether it is more than [`STOP_MG_L`].
    pub is_too_much: bool,
}

/// What is known, in sentences.
#[derive(Clone, PartialEq, Debug)]
pub struct PeroxideCard {
    /// What to do.
    pub advice: &'static str,
    /// What the amount asked about comes to; none where none was asked, or where it is no amount.
    pub answer: Option<Answer>,
    /// What it does to plants and what it does not do to readings.
    pub known: [&'static str; 4],
    /// Cautions for the hand that holds the bottle.
    pub cautions: [&'static str; 6],
}

/// What an amount comes to; `None` for what is no amount, or more than can be asked about.
fn answer(asked: Asked) -> Option<Answer> {
    let ml_per_l = asked.ml_per_l().filter(|ml_per_l| *ml_per_l <= MOST_ML_PER_L)?;
    let mg_l = mg_per_l(ml_per_l, asked.grade)?;
    let harm = if mg_l >= HARMED_MG_L {
        format!("Stop: {HARMED_MG_L} mg/L and more stunted or killed lettuce in mineral feed")
    } else if mg_l > STOP_MG_L {
        format!("Stop: too near to the {HARMED_MG_L} mg/L that stunted or killed lettuce in mineral feed")
    } else {
        format!("Less than the {HARMED_MG_L} mg/L that is known to harm lettuce, and not known to help")
    };
    let to = |value: f64, scale: f64| plain((value * scale).round() / scale);
    // A mL takes the place of a mL of feed: that is all that EC sees.
    let thinned = ml_per_l / (1000.0 + ml_per_l);
    let thinned = if thinned < 0.001 {
        "by less than 0.1 % of it".to_owned()
    } else {
        format!("by the {} % that its own water thins the tank", to(100.0 * thinned, 10.0))
    };
    Some(Answer {
        amount: format!(
            "{} mL of {} in {} L is {} mL/L, which makes {} mg/L of peroxide",
            plain(asked.ml),
            asked.grade.words(),
            to(asked.water_l, 10.0),
            to(ml_per_l, 100.0),
            to(mg_l, 10.0)
        ),
        harm,
        readings: format!(
            "No meter shows it. EC falls {thinned}, and pH stays: below pH {WHOLE_BELOW_PH} less than 1 in 10,000 of its {} mmol/L is an ion. The stabiliser in the bottle may move a jar with little alkalinity a bit (from memory)",
            to(mg_l / MOLAR_MASS_G, 100.0)
        ),
        is_too_much: mg_l > STOP_MG_L,
    })
}

/// The card, with what an amount comes to where one is asked about.
pub fn card(asked: Option<Asked>) -> PeroxideCard {
    PeroxideCard {
        advice: "Not advised with plants in the water: no amount of it is planned here.",
        answer: asked.and_then(answer),
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
