//! Sentences. Never more digits than the meter or the tool has.

use crate::garden::{Meter, Reading};
use crate::plan::{Action, Measured, Step};

/// A figure with the digits that matter and no needless zeros.
pub(super) fn figure(value: f64) -> String {
    crate::plan::figure(value)
}

/// An amount with as many decimals as its tool has, for example `5.0 mL`.
pub fn amount_words(amount: f64, smallest: f64, unit: &str) -> String {
    format!("{amount:.decimals$} {unit}", decimals = decimals_of(smallest))
}

/// Decimals that a step of this size shows: 0.2 has one, 0.05 two, 5 none.
fn decimals_of(step: f64) -> usize {
    let whole = |scale: f64| (step * scale - (step * scale).round()).abs() < 1e-6;
    [1.0, 10.0, 100.0].into_iter().position(whole).unwrap_or(3)
}

/// The amount of the product itself; a diluted one has more digits than the tool.
fn product_amount(measured: &Measured) -> String {
    let finer = measured.dilution.map_or(1.0, |dilution| f64::from(dilution.parts));
    amount_words(measured.amount, measured.tool.smallest() / finer, measured.unit)
}

/// The edges of a band of pH or EC, for example `5.5–6.5`: one decimal, two where it is so narrow that one hides it.
pub fn edges((low, high): (f64, f64)) -> String {
    let decimals = if high - low < 0.2 { 2 } else { 1 };
    format!("{low:.decimals$}–{high:.decimals$}")
}

/// What to do, in one sentence.
pub fn headline(step: &Step) -> String {
    match &step.action {
        Action::Ask { question } => question.clone(),
        Action::Read { in_min: 0 } => "Read the water now".to_owned(),
        Action::Read { in_min } => format!("Let it mix, then read in {in_min} min"),
        Action::TopUp { water_l } => format!("Add {water_l:.1} L of source water"),
        Action::Swap { litres } => format!("Change {litres:.1} L for source water"),
        Action::Pour(measured) => match &measured.dilution {
            None if measured.unit == "g" => {
                format!("Add {} of {}", product_amount(measured), lower_first(&measured.name))
            }
            None => format!("Pour {} of {}", product_amount(measured), lower_first(&measured.name)),
            Some(_) => format!("Pour {} of {}, diluted first", product_amount(measured), lower_first(&measured.name)),
        },
        Action::LeaveIt => "Leave it as it is".to_owned(),
        Action::CannotHelp { needed } => format!("You need {needed}"),
    }
}

/// A name inside a sentence: its first letter small, unless the word is written in capitals or like `pH`.
fn lower_first(name: &str) -> String {
    let mut letters = name.chars();
    match (letters.next(), letters.clone().next()) {
        (Some(first), Some(second)) if second.is_lowercase() => first.to_lowercase().chain(letters).collect(),
        _ => name.to_owned(),
    }
}

/// The small line above the headline: where in the order this stands.
pub fn eyebrow(step: &Step) -> &'static str {
    match &step.action {
        Action::Ask { .. } => "A fact is missing",
        Action::Read { .. } => "Next reading",
        Action::TopUp { .. } => "Now · the level first",
        Action::Swap { .. } => "Now · EC is high",
        Action::Pour(_) => "Now",
        Action::LeaveIt => "Nothing to do",
        Action::CannotHelp { .. } => "Something is missing on the shelf",
    }
}

/// How to measure it, for a pour or a change of water.
pub fn how(step: &Step) -> Option<String> {
    let Action::Pour(measured) = &step.action else { return None };
    let Measured { tool, tool_amount, .. } = measured;
    Some(match &measured.dilution {
        None if measured.unit == "g" => {
            format!("{}: {}. Dissolve it in a jug of tank water first", capital(&tool.name()), tool.say(*tool_amount))
        }
        None => format!("{}: {}", capital(&tool.name()), tool.say(*tool_amount)),
        Some(dilution) => format!(
            "Stir {} of it into {} mL of water in a jug. Of that mix pour {} into the tank ({}: {})",
            amount_words(dilution.product_ml, tool.smallest(), "mL"),
            figure(dilution.water_ml),
            amount_words(*tool_amount, tool.smallest(), "mL"),
            tool.name(),
            tool.say(*tool_amount)
        ),
    })
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// What it may need in all, in whole steps of the tool where it has any.
pub fn likely_line(step: &Step) -> Option<String> {
    let (low, high) = step.likely_total?;
    let Action::Pour(measured) = &step.action else { return None };
    let smallest = measured.tool.smallest();
    let finer = measured.dilution.map_or(1.0, |dilution| f64::from(dilution.parts));
    // A range is not known to the tool's last mark: two figures are all it has.
    let coarse = if high > 0.0 { 10_f64.powf((high.log10() - 1.0).floor()) } else { 1.0 };
    let grain = coarse.max(smallest / finer);
    let words = |value: f64| figure((value / grain).round() * grain);
    let unit = measured.unit;
    Some(if words(low) == words(high) {
        format!("It likely needs {} {unit} in all", words(high))
    } else {
        format!("It may need {} to {} {unit} in all", words(low), words(high))
    })
}

/// Wait, and what the next reading should show.
pub fn next_line(step: &Step, meter: &Meter) -> Option<String> {
    let expect = step.expect?;
    let ph_decimals = decimals_of(meter.ph_step).min(2);
    let ph = |value: f64| format!("{value:.ph_decimals$}");
    let wait = match (&step.action, step.wait_min) {
        (Action::LeaveIt, _) => "Read again tomorrow".to_owned(),
        (Action::Read { .. }, _) => "Then read".to_owned(),
        (_, minutes) => format!("Let it mix {minutes} min, then read again"),
    };
    let ec = |value: f64| format!("{value:.1}");
    let line = format!(
        "{wait}. Expect pH {}, EC {}",
        span(&ph(expect.ph.0), &ph(expect.ph.2)),
        span(&ec(expect.ec_ms_cm.0), &ec(expect.ec_ms_cm.2))
    );
    if !matches!(step.action, Action::LeaveIt) && (expect.settled_ph.1 - expect.ph.1).abs() > 0.15 {
        let way = if expect.settled_ph.1 > expect.ph.1 { "creep up" } else { "drift down" };
        let settled = span(&ph(expect.settled_ph.0), &ph(expect.settled_ph.2));
        return Some(format!("{line}. A {way} to {settled} over hours or days is carbon dioxide, not a failure"));
    }
    Some(line)
}

/// A range in words; its two ends once if they look alike.
fn span(low: &str, high: &str) -> String {
    if low == high { low.to_owned() } else { format!("{low}–{high}") }
}

pub(super) fn reading_words(reading: Option<&Reading>, meter: &Meter) -> String {
    let Some(reading) = reading else { return "no reading yet".to_owned() };
    let ph_decimals = decimals_of(meter.ph_step).min(2);
    let mut parts = Vec::new();
    if let Some(ph) = reading.ph {
        parts.push(format!("pH {ph:.ph_decimals$}"));
    }
    if let Some(ec) = reading.ec_ms_cm {
        parts.push(format!("EC {ec:.2} mS/cm"));
    }
    if let Some(t) = reading.temperature_c {
        parts.push(format!("{t:.0} °C"));
    }
    if parts.is_empty() { "no reading yet".to_owned() } else { parts.join(", ") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn amounts_have_the_tools_digits() {
        for (amount, smallest, words) in
            [(5.0, 0.2, "5.0 mL"), (0.55, 0.05, "0.55 mL"), (150.0, 10.0, "150 mL"), (1.234, 0.001, "1.234 mL")]
        {
            assert_eq!(amount_words(amount, smallest, "mL"), words);
        }
        assert_eq!((span("5.9", "6.6"), span("0.4", "0.4")), ("5.9–6.6".to_owned(), "0.4".to_owned()));
        assert_eq!(lower_first("One-part powder feed"), "one-part powder feed");
        assert_eq!(lower_first("pH-lowering liquid"), "pH-lowering liquid");
    }
}
