//! Reading what a person typed into a field.
//!
//! Three outcomes: the value, a question with offers to click, or a refusal that names field, value and limit. The text
//! itself is never changed here: the field keeps it, and shows the message beside it.
//!
//! A decimal comma is a decimal point. What could be read in two ways (`1,200`, `ppm`, `gal`) is asked back, unless the
//! field's limits leave one reading.

mod fields;
mod report;
mod words;

pub use fields::{
    LARGEST_EC, LARGEST_TANK, Typed, WATER_TEMPERATURE_C, WaterTest, interpret_ec, interpret_ph, interpret_pour_mass,
    interpret_pour_volume, interpret_temperature, interpret_volume, interpret_water_test, volume_limit,
};
pub use report::interpret_report_line;

/// What became of a typed text.
#[derive(Clone, Debug, PartialEq)]
pub enum Entry<T> {
    /// Nothing was typed. Whether that is allowed is the field's business.
    Blank,
    /// One meaning, inside the limits.
    Ok(T),
    /// More than one meaning, or none that fits while a likely slip does: ask, and offer.
    Ask {
        /// The question, to stand beside the field.
        message: String,
        /// At least one offer.
        offers: Vec<Offer<T>>,
    },
    /// No meaning that fits.
    Refused(Refusal),
}

impl<T> Entry<T> {
    /// The value, when there is exactly one meaning.
    pub fn ok(self) -> Option<T> {
        match self {
            Self::Ok(value) => Some(value),
            Self::Blank | Self::Ask { .. } | Self::Refused(_) => None,
        }
    }

    /// The words to stand beside the field, if any.
    pub fn message(&self) -> Option<&str> {
        match self {
            Self::Blank | Self::Ok(_) => None,
            Self::Ask { message, .. } => Some(message),
            Self::Refused(refusal) => Some(&refusal.message),
        }
    }

    /// The offers to click; empty unless there is a question.
    pub fn offers(&self) -> &[Offer<T>] {
        match self {
            Self::Ask { offers, .. } => offers,
            Self::Blank | Self::Ok(_) | Self::Refused(_) => &[],
        }
    }

    /// The same outcome about another value.
    pub fn map<S>(self, f: impl Fn(T) -> S) -> Entry<S> {
        match self {
            Self::Blank => Entry::Blank,
            Self::Ok(value) => Entry::Ok(f(value)),
            Self::Ask { message, offers } => Entry::Ask {
                message,
                offers: offers.into_iter().map(|offer| Offer { label: offer.label, value: f(offer.value) }).collect(),
            },
            Self::Refused(refusal) => Entry::Refused(refusal),
        }
    }
}

/// One possible meaning of a typed text.
#[derive(Clone, Debug, PartialEq)]
pub struct Offer<T> {
    /// What a button says, such as "1200 µS/cm = 1.2 mS/cm".
    pub label: String,
    /// The value it stands for.
    pub value: T,
}

/// Why a typed text was refused.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{message}")]
pub struct Refusal {
    /// The field, such as "EC".
    pub field: &'static str,
    /// What was typed, shortened and made printable.
    pub value: String,
    /// What would be accepted, such as "0 to 14".
    pub limit: String,
    /// The whole as a sentence for the person.
    pub message: String,
}

/// Why a text is not a number.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum EntryError {
    /// Nothing but spaces.
    #[error("nothing was typed")]
    Empty,
    /// Letters, two points, or another thing that is not one number.
    #[error("“{typed}” is not a number")]
    NotANumber {
        /// What was typed, shortened and made printable.
        typed: String,
    },
    /// NaN, infinity, or too large for a number here.
    #[error("“{typed}” is not a finite number")]
    NotFinite {
        /// What was typed, shortened and made printable.
        typed: String,
    },
    /// A comma before three digits: a decimal comma or a thousands comma.
    #[error("“{typed}” can be {decimal} or {thousands}")]
    Ambiguous {
        /// What was typed, shortened and made printable.
        typed: String,
        /// Its meaning with a decimal comma.
        decimal: f64,
        /// Its meaning with a thousands comma.
        thousands: f64,
    },
}

/// A number as typed, before its unit and limits have had their say.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Number {
    Sure(f64),
    Either { decimal: f64, thousands: f64 },
}

/// The number in a text without a unit.
///
/// Accepts a decimal point or comma, a leading sign (also the typographic minus), an exponent, and thousands grouped by
/// spaces of any width, apostrophes, or the separator that is not the decimal one.
///
/// # Errors
/// [`EntryError`]: empty, not a number, not finite, or ambiguous as `1,200` is.
pub fn parse_number(text: &str) -> Result<f64, EntryError> {
    match read_number(text)? {
        Number::Sure(value) => Ok(value),
        Number::Either { decimal, thousands } => Err(EntryError::Ambiguous { typed: quoted(text), decimal, thousands }),
    }
}

/// Typed text for a message: at most 40 characters, nothing that would break or reverse the line.
fn quoted(text: &str) -> String {
    const MOST: usize = 40;
    let text = trimmed(text);
    let mut shown: String = text
        .chars()
        .take(MOST)
        .map(|c| {
            let reorders = matches!(c, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
            if c.is_control() || reorders { '\u{fffd}' } else { c }
        })
        .collect();
    if text.chars().nth(MOST).is_some() {
        shown.push('…');
    }
    shown
}

/// Without surrounding spaces, also those that have no width and come with pasted text.
fn trimmed(text: &str) -> &str {
    text.trim_matches(|c: char| c.is_whitespace() || matches!(c, '\u{200b}' | '\u{2060}' | '\u{feff}'))
}

fn is_sign(c: char) -> bool {
    is_minus(c) || c == '+'
}

/// Hyphen, minus and en dash: all three come out of keyboards and pasted text.
fn is_minus(c: char) -> bool {
    matches!(c, '-' | '\u{2212}' | '\u{2013}')
}

fn is_grouping(c: char) -> bool {
    c.is_whitespace() || matches!(c, '\'' | '\u{2019}')
}

fn read_number(text: &str) -> Result<Number, EntryError> {
    let not_a_number = || EntryError::NotANumber { typed: quoted(text) };
    let bare = trimmed(text);
    if bare.is_empty() {
        return Err(EntryError::Empty);
    }
    let unsigned = bare.strip_prefix(is_sign).unwrap_or(bare).trim_start();
    let sign = if bare.starts_with(is_minus) { -1.0 } else { 1.0 };
    if ["nan", "inf", "infinity", "∞"].contains(&unsigned.to_lowercase().as_str()) {
        return Err(EntryError::NotFinite { typed: quoted(text) });
    }
    let (mantissa, exponent) = match unsigned.split_once(['e', 'E']) {
        Some((mantissa, exponent)) => (mantissa, exponent_text(exponent).ok_or_else(not_a_number)?),
        None => (unsigned, String::new()),
    };
    let finite = |digits: String| match format!("{digits}{exponent}").parse::<f64>() {
        Ok(value) if value.is_finite() => Ok(sign * value),
        Ok(_) => Err(EntryError::NotFinite { typed: quoted(text) }),
        Err(_) => Err(not_a_number()),
    };

    let points = mantissa.matches('.').count();
    let commas = mantissa.matches(',').count();
    let (whole, decimals, thousands_mark) = match (points, commas) {
        (0, 0) => (mantissa, "", None),
        (1, 0) => mantissa.split_once('.').map(|(w, d)| (w, d, None)).ok_or_else(not_a_number)?,
        (0, 1) => mantissa.split_once(',').map(|(w, d)| (w, d, None)).ok_or_else(not_a_number)?,
        // The one that comes last and once is the decimal mark, the other one groups.
        (_, 1) if mantissa.rfind(',') > mantissa.rfind('.') => {
            mantissa.split_once(',').map(|(w, d)| (w, d, Some('.'))).ok_or_else(not_a_number)?
        }
        (1, _) if mantissa.rfind('.') > mantissa.rfind(',') => {
            mantissa.split_once('.').map(|(w, d)| (w, d, Some(','))).ok_or_else(not_a_number)?
        }
        (0, _) => (mantissa, "", Some(',')),
        (_, 0) => (mantissa, "", Some('.')),
        _ => return Err(not_a_number()),
    };
    let whole = ungrouped(whole, thousands_mark).ok_or_else(not_a_number)?;
    let all_digits = |text: &str| text.chars().all(|c| c.is_ascii_digit());
    if !all_digits(decimals) || (whole.is_empty() && decimals.is_empty()) {
        return Err(not_a_number());
    }
    let decimal = finite(format!("{whole}.{decimals}0"))?;
    // "0,125" cannot be thousands, and neither can "1 234,500".
    let plain = all_digits(mantissa.split(',').next().unwrap_or_default());
    let could_group = (points, commas) == (0, 1)
        && plain
        && decimals.len() == 3
        && (1..=3).contains(&whole.len())
        && !whole.starts_with('0')
        && exponent.is_empty();
    if could_group {
        return Ok(Number::Either { decimal, thousands: finite(format!("{whole}{decimals}"))? });
    }
    Ok(Number::Sure(decimal))
}

/// "e", sign and digits, or nothing when it is not an exponent.
fn exponent_text(text: &str) -> Option<String> {
    let digits = text.strip_prefix(is_sign).unwrap_or(text);
    let minus = if text.starts_with(is_minus) { "-" } else { "" };
    (!digits.is_empty() && digits.chars().all(|c| c.is_ascii_digit())).then(|| format!("e{minus}{digits}"))
}

/// Digits without their thousands marks; nothing when the groups are not of three.
fn ungrouped(whole: &str, thousands_mark: Option<char>) -> Option<String> {
    let is_mark = |c: char| is_grouping(c) || Some(c) == thousands_mark;
    let groups: Vec<&str> = whole.split(is_mark).collect();
    let (first, rest) = groups.split_first()?;
    let digits = groups.iter().all(|group| group.chars().all(|c| c.is_ascii_digit()));
    let grouped = rest.is_empty() || ((1..=3).contains(&first.len()) && rest.iter().all(|group| group.len() == 3));
    (digits && grouped).then(|| groups.concat())
}
