//! The card as plain text for a terminal and as JSON for scripts.

use super::{Card, CardStep};

/// Width of the text, characters.
const WIDTH: usize = 78;

/// The card as plain text.
pub fn text(card: &Card) -> String {
    let mut out = String::new();
    wrap(&mut out, &card.unit, "", "");
    wrap(&mut out, &"=".repeat(card.unit.chars().count()), "", "");
    wrap(&mut out, &card.facts, "", "");
    wrap(&mut out, &format!("Reading: {}", card.reading), "", "");
    wrap(&mut out, &format!("Zone: {}", card.zone), "", "");
    for (i, step) in card.steps.iter().enumerate() {
        out.push('\n');
        let mark = format!("{}. ", i + 1);
        let provisional = if step.provisional { " (the reading before it will set this amount anew)" } else { "" };
        wrap(&mut out, &format!("{}{provisional}", step.headline), &mark, "   ");
        step_lines(&mut out, step);
    }
    if !card.warnings.is_empty() {
        out.push_str("\nGood to know\n");
        for warning in &card.warnings {
            wrap(&mut out, warning, " - ", "   ");
        }
    }
    out.push('\n');
    let last = format!("Label and safety data sheet come first; they override this card. ({})", card.model);
    wrap(&mut out, &last, "", "");
    wrap(&mut out, "Next reading: pH ______ EC ______ time ______", "", "");
    out
}

fn step_lines(out: &mut String, step: &CardStep) {
    if let Some(how) = &step.how {
        wrap(out, how, "   ", "   ");
    }
    for line in &step.lines {
        wrap(out, line, "   ", "   ");
    }
    for caution in &step.cautions {
        wrap(out, caution, "   ! ", "     ");
    }
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
