//! The card as plain text for a terminal and as JSON for scripts.

use super::{Blank, Card, CardStep, label};

/// Width of the text, characters.
const WIDTH: usize = 78;

/// The card as plain text.
pub fn text(card: &Card) -> String {
    let mut out = String::new();
    wrap(&mut out, &card.unit, "", "");
    wrap(&mut out, &"=".repeat(card.unit.chars().count().min(WIDTH)), "", "");
    wrap(&mut out, &card.date, "", "");
    wrap(&mut out, &card.facts, "", "");
    for (label, words) in card.facts_lines() {
        wrap(&mut out, &format!("{label}: {words}"), "", "");
    }
    for (i, step) in card.steps.iter().enumerate() {
        out.push('\n');
        wrap(&mut out, &step.headline, &format!("{}. ", i + 1), INDENT);
        step_lines(&mut out, step);
    }
    for section in &card.sections {
        out.push('\n');
        wrap(&mut out, section.title, "", "");
        for line in &section.lines {
            wrap(&mut out, line, " - ", INDENT);
        }
    }
    out.push('\n');
    wrap(&mut out, &blanks(&card.next_reading), &format!("{}: ", label::NEXT_READING), INDENT);
    wrap(&mut out, &card.last, "", "");
    out
}

/// Before the lines of a step.
const INDENT: &str = "   ";

/// How far the second line of some words stands in: below a number's words.
fn hanging(words: &str) -> &'static str {
    let is_numbered = words.split_once(". ").is_some_and(|(number, _)| number.bytes().all(|b| b.is_ascii_digit()));
    if is_numbered { "      " } else { INDENT }
}

fn step_lines(out: &mut String, step: &CardStep) {
    for words in step.measuring.iter().map(String::as_str).chain(step.remark) {
        wrap(out, words, INDENT, hanging(words));
    }
    for line in step.lines.iter().chain([&step.wait, &step.expect, &step.settles].into_iter().flatten()) {
        wrap(out, line, INDENT, hanging(line));
    }
    if !step.stop_if.is_empty() {
        wrap(out, label::STOP_IF, INDENT, INDENT);
    }
    for stop in &step.stop_if {
        wrap(out, stop, "   # ", "     ");
    }
    for caution in &step.cautions {
        wrap(out, caution, "   ! ", "     ");
    }
    if !step.record.is_empty() {
        wrap(out, &blanks(&step.record), INDENT, INDENT);
    }
}

/// Lines to write on, such as "pH ______ EC ______ mS/cm".
fn blanks(blanks: &[Blank]) -> String {
    let words = |blank: &Blank| format!("{} ______ {}", blank.name, blank.unit).trim_end().to_owned();
    blanks.iter().map(words).collect::<Vec<_>>().join(" ")
}

/// Adds text broken at blanks to the width; a word longer than a line stays whole.
fn wrap(out: &mut String, text: &str, first: &str, rest: &str) {
    let mut line = first.to_owned();
    let mut empty = true;
    for word in text.split_whitespace() {
        if !empty && line.chars().count() + 1 + word.chars().count() > WIDTH {
            out.push_str(line.trim_end());
            out.push('\n');
            rest.clone_into(&mut line);
            empty = true;
        }
        if !empty {
            line.push(' ');
        }
        line.push_str(word);
        empty = false;
    }
    out.push_str(line.trim_end());
    out.push('\n');
}

/// The card as JSON, one object; keys are the fields of [`Card`].
///
/// # Errors
/// Those of the serializer; a card of a plan has none.
pub fn json(card: &Card) -> Result<String, serde_json::Error> {
    serde_json::to_string_pretty(card)
}
