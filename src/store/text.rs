//! The text of a file: its version, its parse, its form when written.

use std::fmt;
use std::path::Path;

use ron::extensions::Extensions;
use ron::ser::PrettyConfig;
use serde::de::{self, DeserializeSeed, MapAccess, Visitor};
use serde::{Deserializer, Serialize, de::DeserializeOwned};

use super::error::{Place, StoreError};

/// Steps into a value that are followed, one or two a bracket. A unit file has about ten brackets in brackets; the reader's
/// stack stands far more.
const DEEPEST: usize = 64;

/// Records of a log stand one a line: below this depth nothing is broken over lines.
const LINES_TO_DEPTH: usize = 3;

/// The dialect of all files here: `Some(…)` and the inner brackets of a one-field variant are left out.
fn dialect() -> ron::Options {
    ron::Options::default()
        .with_default_extension(Extensions::IMPLICIT_SOME | Extensions::UNWRAP_VARIANT_NEWTYPES)
        .with_recursion_limit(DEEPEST)
}

/// Reads `bytes` as a document of a version up to `newest`.
///
/// The version is looked at first, so that a newer file is called newer whatever else is new in it.
pub(super) fn parse<D: DeserializeOwned>(bytes: &[u8], newest: u32, path: &Path) -> Result<D, StoreError> {
    let (text, _) = versioned(bytes, newest, path)?;
    dialect().from_str(text).map_err(|error| in_words(error, text, path))
}

/// The version with which a document begins, from 1 to `newest`.
pub(super) fn version(bytes: &[u8], newest: u32, path: &Path) -> Result<u64, StoreError> {
    versioned(bytes, newest, path).map(|(_, version)| version)
}

/// The name of what a document holds behind its version, such as `unit`; nothing when it ends before that.
pub(super) fn body(bytes: &[u8], newest: u32, path: &Path) -> Result<Option<String>, StoreError> {
    let (text, _) = versioned(bytes, newest, path)?;
    Ok(beginning_of(text).1.map(|name| shortened(&name)))
}

/// The text of a document whose version is known, and that version.
fn versioned<'a>(bytes: &'a [u8], newest: u32, path: &Path) -> Result<(&'a str, u64), StoreError> {
    let text = match std::str::from_utf8(bytes) {
        Ok(text) => text,
        Err(error) => {
            let place = place_after(bytes.get(..error.valid_up_to()).unwrap_or_default());
            return Err(StoreError::NotText { place, path: path.to_owned() });
        }
    };
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    if text.trim().is_empty() {
        return Err(StoreError::Empty { path: path.to_owned() });
    }
    match beginning_of(text).0 {
        None => Err(StoreError::NoVersion { path: path.to_owned() }),
        Some(0) => Err(StoreError::UnknownVersion { version: 0, newest, path: path.to_owned() }),
        Some(version) if version > u64::from(newest) => {
            Err(StoreError::NewerVersion { version, newest, path: path.to_owned() })
        }
        Some(version) => Ok((text, version)),
    }
}

/// Writes a document as text, refusing numbers that are none.
pub(super) fn print<D: Serialize>(document: &D, heading: &str, path: &Path) -> Result<String, StoreError> {
    let layout = PrettyConfig::new().depth_limit(LINES_TO_DEPTH).new_line("\n");
    let body = dialect()
        .to_string_pretty(document, layout)
        .map_err(|error| StoreError::NoForm { reason: error.to_string(), path: path.to_owned() })?;
    if let Some((field, value)) = not_finite(&body) {
        return Err(StoreError::NotFinite { field, value, path: path.to_owned() });
    }
    Ok(format!("{heading}\n{body}\n"))
}

/// Line and column after valid text.
fn place_after(text: &[u8]) -> Place {
    let text = String::from_utf8_lossy(text);
    let last = text.rsplit('\n').next().unwrap_or_default();
    Place { line: text.matches('\n').count() + 1, column: last.chars().count() + 1 }
}

fn in_words(error: ron::error::SpannedError, text: &str, path: &Path) -> StoreError {
    use ron::Error as E;
    let path = path.to_owned();
    let place = past_spaces(text, Place { line: error.span.start.line, column: error.span.start.col });
    let end = Place { line: error.span.end.line, column: error.span.end.col };
    let cut_off = is_last_word(text, place) || is_last_word(text, end);
    match error.code {
        E::TrailingCharacters => StoreError::Malformed { reason: "text after the end".to_owned(), place, path },
        // Cut off within a word or a number, it is another word or number: what it lacks is the rest.
        _ if cut_off => StoreError::EndsEarly { place: end, path },
        E::NoSuchStructField { found, .. } => StoreError::UnknownField { field: shortened(&found), place, path },
        E::MissingStructField { field, .. } => StoreError::MissingField { field: field.to_owned(), place, path },
        E::ExceededRecursionLimit => StoreError::TooDeep { place, path },
        E::Eof | E::ExpectedStringEnd | E::UnclosedBlockComment => StoreError::EndsEarly { place: end, path },
        other => {
            let reason = shortened(&other.to_string());
            let mut letters = reason.chars();
            let reason = letters.next().map_or_else(String::new, |c| c.to_lowercase().chain(letters).collect());
            StoreError::Malformed { reason, place, path }
        }
    }
}

/// For a message: a file can hold a word of a million letters, or letters that break a line.
fn shortened(text: &str) -> String {
    const MOST: usize = 160;
    let mut shown: String = text.chars().take(MOST).map(|c| if c.is_control() { '\u{fffd}' } else { c }).collect();
    if text.chars().nth(MOST).is_some() {
        shown.push('…');
    }
    shown
}

/// The parser names the place before the spaces; a person looks at what follows them.
fn past_spaces(text: &str, place: Place) -> Place {
    let lines = text.split('\n').enumerate().skip(place.line.saturating_sub(1));
    let mut from = place.column.saturating_sub(1);
    for (line, content) in lines {
        if let Some(spaces) = content.chars().skip(from).position(|c| !c.is_whitespace()) {
            return Place { line: line + 1, column: from + spaces + 1 };
        }
        from = 0;
    }
    place
}

/// Whether nothing but one word or number, or the rest of it, follows a place.
fn is_last_word(text: &str, place: Place) -> bool {
    let mut lines = text.trim_end().split('\n').skip(place.line.saturating_sub(1));
    let rest = lines.next().unwrap_or_default().trim_end().chars().skip(place.column.saturating_sub(1));
    lines.next().is_none() && rest.into_iter().all(|c| c.is_alphanumeric() || matches!(c, '_' | '.' | '-' | '+'))
}

/// The version with which a text begins and the name of the field behind it, read without reading on: what follows may be of
/// a later form, or cut off.
fn beginning_of(text: &str) -> (Option<u64>, Option<String>) {
    let (mut version, mut body) = (None, None);
    // The outcome of the parse is of no interest: the visitor stops it as soon as it has the two.
    let _stopped = dialect().from_str_seed(text, Peek { version: &mut version, body: &mut body });
    (version, body)
}

struct Peek<'a> {
    version: &'a mut Option<u64>,
    body: &'a mut Option<String>,
}

impl<'de> DeserializeSeed<'de> for Peek<'_> {
    type Value = ();
    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<(), D::Error> {
        deserializer.deserialize_struct("", &["version"], self)
    }
}

impl<'de> Visitor<'de> for Peek<'_> {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a file that begins with its version")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<(), A::Error> {
        if map.next_key::<FieldName>()?.is_some_and(|FieldName(name)| name == "version") {
            *self.version = Some(map.next_value()?);
            *self.body = map.next_key::<FieldName>()?.map(|FieldName(name)| name);
        }
        Err(de::Error::custom("enough"))
    }
}

/// The name of a field, whatever it is.
struct FieldName(String);

impl<'de> de::Deserialize<'de> for FieldName {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Name;
        impl Visitor<'_> for Name {
            type Value = FieldName;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a field")
            }
            fn visit_str<E: de::Error>(self, name: &str) -> Result<FieldName, E> {
                Ok(FieldName(name.to_owned()))
            }
        }
        deserializer.deserialize_identifier(Name)
    }
}

/// The first field in printed text that holds NaN or infinity, and what it holds.
///
/// Works on our own print only, where those two words stand bare for numbers and nothing else, and strings are quoted.
fn not_finite(printed: &str) -> Option<(String, String)> {
    let mut field = "";
    let mut in_string = false;
    let mut escaped = false;
    let mut word_start = None;
    for (at, c) in printed.char_indices() {
        if in_string {
            in_string = escaped || c != '"';
            escaped = !escaped && c == '\\';
            continue;
        }
        if c.is_ascii_alphanumeric() || c == '_' {
            word_start = word_start.or(Some(at));
            continue;
        }
        if let Some(start) = word_start.take() {
            match printed.get(start..at).unwrap_or_default() {
                word @ ("NaN" | "inf") => return Some((field.to_owned(), word.to_owned())),
                word if c == ':' => field = word,
                _ => {}
            }
        }
        in_string = c == '"';
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde::Deserialize;

    /// A later form may hold values of any shape; the reader's stack must stand them too.
    #[derive(Debug, Deserialize)]
    struct Anything {
        #[expect(dead_code, reason = "only parsed")]
        version: u32,
        #[expect(dead_code, reason = "only parsed")]
        body: ron::Value,
    }

    #[test]
    fn what_is_nested_too_deeply_says_so() {
        let nested = |depth: usize| format!("(version: 1, body: {}{})", "[".repeat(depth), "]".repeat(depth));
        let read = |depth| parse::<Anything>(nested(depth).as_bytes(), 1, Path::new("x"));
        assert!(read(20).is_ok());
        for depth in [100, 1000, 1_000_000] {
            let error = read(depth).unwrap_err();
            assert!(matches!(error, StoreError::TooDeep { .. }), "{depth}: {error}");
        }
    }

    #[test]
    fn numbers_that_are_none_are_found_outside_of_text_only() {
        let found = |text: &str| not_finite(text).map(|(field, value)| format!("{field} {value}"));
        assert_eq!(found("(a: 1.0, name: \"b: NaN, inf\", c: \"\\\\\")"), None);
        assert_eq!(found("(name: \"\\\"x: NaN\", ph: (5.5, -inf))"), Some("ph inf".to_owned()));
        assert_eq!(found("(ph: 6.1, log: [Reading(ec: NaN)])"), Some("ec NaN".to_owned()));
        assert_eq!(found("(information: 6.1, NaNny: info)"), None);
    }
}
