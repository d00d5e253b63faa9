//! What is odd about a label without contradicting itself: numbers that were read under the wrong name.
//!
//! Two things give a wrong name away. The ions that the numbers stand for weigh more than the product: 36 % of potassium
//! beside 15 % of phosphorus and 8 % of nitrogen is more than there is, the same as oxides is not. Or a tenth of the ions
//! finds no partner as told and every one does as something else. Where neither is so, nothing is asked: labels in elements
//! and labels in oxides are both sold.

use crate::chem::Component;

use super::closing::{ROUNDING_N, ions, positive_eq, solids};
use super::dissolve::free_acid_of_p;
use super::label::{LabelAnalysis, LabelBasis, elemental};
use super::product::Form;
use super::salts::weight;
use super::tool::plain;

/// Solids of a product by mass above this are too much, %: the pure salts come out at 97 to 100 by the round factors used.
const MOST_SOLIDS_PERCENT: f64 = 104.0;
/// Share of the equivalents without a partner from which on a label is asked back, and up to which another reading counts as
/// closing. Ours: rounding makes 0.05.
const ODD_SHARE: (f64, f64) = (0.10, 0.03);
/// Share of the equivalents that is the rounding of the lines.
const ROUNDING_SHARE: f64 = 0.05;

/// One way to read a label.
#[derive(Clone, PartialEq, Debug)]
pub struct LabelReading {
    /// The lines in question, "P2O5 15 %, K2O 36 %".
    pub words: String,
    /// The whole label read so.
    pub label: LabelAnalysis,
    /// What the ions that it stands for weigh, percent of the product (of 100 mL, where the label counts by volume).
    pub solids_percent: f64,
    /// Share of its equivalents that finds no partner: 0 where the label closes.
    pub without_partner: f64,
}

/// Something to ask about a label.
#[derive(Clone, PartialEq, Debug)]
pub struct LabelQuestion {
    /// The first line that it is about: its field in [`LabelAnalysis`].
    pub key: &'static str,
    /// The question, with both readings.
    pub message: String,
    /// As it was typed.
    pub told: LabelReading,
    /// As it may be meant.
    pub other: LabelReading,
    /// What would be typed into the first line if the other reading holds.
    pub other_value: Option<f64>,
}

/// A line that has two names: the element's, the oxide's, and the element's share of the oxide.
struct Pair {
    keys: (&'static str, &'static str),
    names: (&'static str, &'static str),
    of: fn(&mut LabelAnalysis) -> (&mut Option<f64>, &mut Option<f64>),
    factor: f64,
}

const PAIRS: [Pair; 5] = [
    Pair { keys: ("p", "p2o5"), names: ("P", "P2O5"), of: |l| (&mut l.p, &mut l.p2o5), factor: elemental::P_IN_P2O5 },
    Pair { keys: ("k", "k2o"), names: ("K", "K2O"), of: |l| (&mut l.k, &mut l.k2o), factor: elemental::K_IN_K2O },
    Pair { keys: ("ca", "cao"), names: ("Ca", "CaO"), of: |l| (&mut l.ca, &mut l.cao), factor: elemental::CA_IN_CAO },
    Pair { keys: ("mg", "mgo"), names: ("Mg", "MgO"), of: |l| (&mut l.mg, &mut l.mgo), factor: elemental::MG_IN_MGO },
    Pair { keys: ("s", "so3"), names: ("S", "SO3"), of: |l| (&mut l.s, &mut l.so3), factor: elemental::S_IN_SO3 },
];
/// Pairs that are read under the wrong name together, likeliest first: a triple, then each line alone.
const TOGETHER: [&[usize]; 6] = [&[0, 1], &[1], &[0], &[2], &[3], &[4]];

impl LabelAnalysis {
    /// What to ask about the label of a product of this form, before it is believed. Empty for a label that makes sense, and
    /// for one that is refused anyway.
    pub fn questions(&self, form: Form) -> Vec<LabelQuestion> {
        let Some(told) = Read::of(self, form) else { return Vec::new() };
        // What weighs too much is one slip, and a triple under the wrong names the likelier one.
        let oxides = self.question_of_oxides(&told, form);
        let heavy = oxides.is_none() && told.is_too_heavy(self.basis);
        let urea = self.question_of_urea(&told, heavy, form);
        oxides.into_iter().chain(urea).collect()
    }

    /// Nitrogen of unstated form: asked about where some forms are stated, or where nothing but urea holds so much.
    fn question_of_urea(&self, told: &Read, too_heavy: bool, form: Form) -> Option<LabelQuestion> {
        let unit = self.basis.symbol();
        let total = self.total_n?;
        let forms = [self.nitrate_n, self.ammonium_n, self.urea_n];
        let stated: f64 = forms.iter().flatten().sum();
        let rest = total - stated;
        let some_stated = forms.iter().any(Option::is_some);
        if rest * self.basis.percent() <= ROUNDING_N || !(some_stated || too_heavy) {
            return None;
        }
        let as_urea = Self { urea_n: Some(self.urea_n.unwrap_or(0.0) + rest), ..*self };
        let other = Read::of(&as_urea, form).filter(|other| !other.is_too_heavy(self.basis))?;
        let rest = plain((rest * 1000.0).round() / 1000.0);
        let message = if too_heavy {
            format!(
                "{} {unit} nitrogen as nitrate or ammonium would weigh more than the product: is {rest} {unit} of it urea?",
                plain(total)
            )
        } else {
            format!(
                "The label states the form of {} {unit} of the {} {unit} nitrogen; {rest} {unit} is left over. Is that urea? If not, it is taken as nitrate or ammonium",
                plain((stated * 1000.0).round() / 1000.0),
                plain(total)
            )
        };
        Some(LabelQuestion {
            key: "total_n",
            message,
            told: told.reading(format!("{rest} {unit} as nitrate or ammonium"), self),
            other: other.reading(format!("{rest} {unit} as urea"), &as_urea),
            other_value: None,
        })
    }

    /// An element read as its oxide, or the other way round.
    fn question_of_oxides(&self, told: &Read, form: Form) -> Option<LabelQuestion> {
        let too_heavy = told.is_too_heavy(self.basis);
        if !too_heavy && told.without_partner <= ODD_SHARE.0 {
            return None;
        }
        let closes = |read: &Read| {
            !read.is_too_heavy(self.basis)
                && read.without_partner <= if too_heavy { told.without_partner.max(ODD_SHARE.1) } else { ODD_SHARE.1 }
        };
        let (pairs, label, other) = TOGETHER.iter().find_map(|pairs| {
            let swapped = self.swapped(pairs)?;
            let read = Read::of(&swapped, form).filter(closes)?;
            Some((*pairs, swapped, read))
        })?;
        let (told_words, other_words) = (self.words_of(pairs), label.words_of(pairs));
        let message = if too_heavy {
            format!(
                "{told_words} stands for {:.0} % of the product, more than there is; {other_words} for {:.0} %. Which does the label say?",
                told.solids_percent, other.solids_percent
            )
        } else {
            format!(
                "With {told_words}, {:.0} % of the label's ions find no partner; with {other_words}, all but {:.0} % do. Which does the label say?",
                100.0 * told.without_partner,
                100.0 * other.without_partner
            )
        };
        let first = pairs.first().and_then(|index| PAIRS.get(*index))?;
        let mut own = *self;
        let (key, value) = match (first.of)(&mut own) {
            (Some(element), _) => (first.keys.0, *element * first.factor),
            (None, Some(oxide)) => (first.keys.1, *oxide / first.factor),
            (None, None) => return None,
        };
        Some(LabelQuestion {
            key,
            message,
            told: told.reading(told_words, self),
            other: other.reading(other_words, &label),
            other_value: Some(value),
        })
    }

    /// The label with the numbers of some pairs under the other name; `None` where one of them has no number.
    fn swapped(&self, pairs: &[usize]) -> Option<Self> {
        let mut label = *self;
        for index in pairs {
            let (element, oxide) = (PAIRS.get(*index)?.of)(&mut label);
            if element.is_none() && oxide.is_none() {
                return None;
            }
            std::mem::swap(element, oxide);
        }
        Some(label)
    }

    fn words_of(&self, pairs: &[usize]) -> String {
        let unit = self.basis.symbol();
        let mut label = *self;
        let words = pairs.iter().filter_map(|index| PAIRS.get(*index)).filter_map(|pair| {
            let (element, oxide) = (pair.of)(&mut label);
            let (name, value) = match (element, oxide) {
                (Some(value), _) => (pair.names.0, *value),
                (None, Some(value)) => (pair.names.1, *value),
                (None, None) => return None,
            };
            Some(format!("{name} {} {unit}", plain(value)))
        });
        words.collect::<Vec<_>>().join(", ")
    }
}

/// What a reading comes to.
struct Read {
    solids_percent: f64,
    without_partner: f64,
}

impl Read {
    fn of(label: &LabelAnalysis, form: Form) -> Option<Self> {
        let mut elements = label.elements().ok()?;
        let mut moles = ions(&elements);
        let acid = free_acid_of_p().mean * moles[Component::P];
        let short = -(moles.alkalinity() + acid);
        let ammonium = (short / 2.0).clamp(0.0, elements.unstated_n / weight::N);
        moles[Component::No3] -= ammonium;
        moles[Component::Nh4] += ammonium;
        elements.nitrate_n -= ammonium * weight::N;
        elements.ammonium_n += ammonium * weight::N;
        let cations = positive_eq(&moles);
        // Free acid up to one equivalent for each phosphorus is sold; more is not.
        let missing_anions = moles.alkalinity() + acid;
        let alone = if missing_anions > 0.0 {
            let powder = matches!(form, Form::Powder);
            let with_sulfate = moles[Component::K] + moles[Component::Nh4] + 2.0 * moles[Component::Mg];
            let gypsum = !powder && moles[Component::Ca] > 0.0;
            let room = if label.s.is_some() || label.so3.is_some() || gypsum { 0.0 } else { with_sulfate };
            // Chloride that a label does not list closes anything.
            if label.cl.is_some() { missing_anions - room } else { 0.0 }
        } else {
            -moles.alkalinity() - moles[Component::P]
        };
        let without_partner =
            if cations > 0.0 { (alone / cations - ROUNDING_SHARE).max(0.0) } else { f64::from(alone > 0.0) };
        Some(Self { solids_percent: solids(&elements), without_partner })
    }

    fn is_too_heavy(&self, basis: LabelBasis) -> bool {
        !basis.is_by_volume() && self.solids_percent > MOST_SOLIDS_PERCENT
    }

    fn reading(&self, words: String, label: &LabelAnalysis) -> LabelReading {
        let (solids_percent, without_partner) = (self.solids_percent, self.without_partner);
        LabelReading { words, label: *label, solids_percent, without_partner }
    }
}
