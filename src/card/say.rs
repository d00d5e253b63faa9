//! Sentences. Never more digits than the meter or the tool has.

use serde::Serialize;

use crate::garden::{Meter, Reading};
pub(super) use crate::plan::lower_first;
use crate::plan::{Action, Measured, Step, edge_decimals, when};

/// A figure with the digits that matter and no needless zeros.
pub(crate) fn figure(value: f64) -> String {
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
    amount_words(measured.amount, measured.mark(), measured.unit)
}

/// One edge of a band, with the decimals of [`crate::plan::edges`].
pub(super) fn edge_words(edge: f64, band: (f64, f64)) -> String {
    format!("{edge:.decimals$}", decimals = edge_decimals(band))
}

/// What to do, in its parts: "Pour" "4.2 mL" "of" "pH-lowering liquid" "diluted first". Where nothing is measured the amount
/// holds the whole sentence.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Order {
    /// What is done with it: "Pour", "Add", "Change".
    #[serde(skip_serializing_if = "str::is_empty")]
    pub verb: &'static str,
    /// The large words: an amount, or the whole sentence.
    pub large: String,
    /// What stands between the amount and the thing.
    #[serde(skip_serializing_if = "str::is_empty")]
    pub link: &'static str,
    /// What the amount is of.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub thing: String,
    /// What is done with it first.
    #[serde(skip_serializing_if = "str::is_empty")]
    pub note: &'static str,
}

impl Order {
    /// What a step says to do.
    pub fn of(step: &Step) -> Self {
        let whole = |large: String| Self { large, ..Self::default() };
        let water = |verb, litres: f64, link| Self {
            verb,
            large: format!("{litres:.1} L"),
            link,
            thing: "source water".to_owned(),
            note: "",
        };
        match &step.action {
            Action::Ask { question } => whole(question.clone()),
            Action::Read { in_min: 0 } => whole("Read the water now".to_owned()),
            Action::Read { in_min } => whole(format!("Let it mix, then read in {in_min} min")),
            Action::TopUp { water_l } => water("Add", *water_l, "of"),
            Action::Swap { litres } => water("Change", *litres, "for"),
            Action::Pour(measured) => Self {
                verb: if measured.dilution.is_none() && measured.unit == "g" { "Add" } else { "Pour" },
                large: product_amount(measured),
                link: "of",
                thing: measured.name_in_a_sentence(),
                note: if measured.dilution.is_some() { "diluted first" } else { "" },
            },
            Action::LeaveIt => whole("Leave it as it is".to_owned()),
            Action::CannotHelp { needed } => whole(format!("You need {needed}")),
        }
    }

    /// The whole in one sentence.
    pub fn sentence(&self) -> String {
        let mut words = Vec::new();
        words.extend(Some(self.verb).filter(|verb| !verb.is_empty()));
        words.push(self.large.as_str());
        let what = self.what();
        words.extend(Some(what.as_str()).filter(|what| !what.is_empty()));
        words.join(" ")
    }

    /// What the amount is of, such as "of pH-lowering liquid, diluted first"; empty where the large words say all.
    pub fn what(&self) -> String {
        if self.thing.is_empty() {
            return String::new();
        }
        let note = if self.note.is_empty() { String::new() } else { format!(", {}", self.note) };
        format!("{} {}{note}", self.link, self.thing)
    }
}

/// What to do, in one sentence.
pub fn headline(step: &Step) -> String {
    Order::of(step).sentence()
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

/// How to measure it, for a pour.
pub fn how(step: &Step) -> Option<String> {
    let Action::Pour(measured) = &step.action else { return None };
    // Numbered steps have a line each.
    let between = if measured.dilution.is_some() { "\n" } else { ". " };
    Some(measuring(measured).join(between))
}

/// The same one after the other: a powder is measured and then dissolved, a dilution has its steps.
pub(super) fn measuring(measured: &Measured) -> Vec<String> {
    if measured.dilution.is_some() {
        return numbered(&measured.dilution_steps());
    }
    let Measured { tool, tool_amount, .. } = measured;
    let mut lines = vec![format!("{}: {}", capital(&tool.name()), tool.say(*tool_amount))];
    if measured.unit == "g" {
        lines.push("Dissolve it in a jug of tank water first".to_owned());
    }
    lines
}

/// Steps with their numbers.
pub(crate) fn numbered(steps: &[String]) -> Vec<String> {
    steps.iter().zip(1..).map(|(words, number)| format!("{number}. {words}")).collect()
}

pub(super) fn capital(text: &str) -> String {
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

/// Wait, what the next reading should show, and where it will go from there: one line.
pub fn next_line(step: &Step, meter: &Meter) -> Option<String> {
    let expect = expect_words(step, meter)?;
    let line = format!("{}. Expect {expect}", wait_words(step));
    Some(match settles_words(step, meter) {
        Some(settles) => format!("{line}. {settles}"),
        None => line,
    })
}

/// When to read again.
pub(super) fn wait_words(step: &Step) -> String {
    match (&step.action, step.wait_min) {
        (Action::LeaveIt, 0) => "Read again tomorrow".to_owned(),
        (Action::LeaveIt, minutes) => format!("Read again {}", when(f64::from(minutes) / 60.0)),
        (Action::Read { .. }, _) => "Then read".to_owned(),
        (_, minutes) => format!("Let it mix {minutes} min, then read again"),
    }
}

/// What the next reading should show, such as "pH 5.7–6.8, EC 1.3–1.4".
pub(super) fn expect_words(step: &Step, meter: &Meter) -> Option<String> {
    let (low, _, high) = step.expect?.ph;
    Some(format!("pH {}, {}", ph_span((low, high), meter), expect_ec_words(step, meter)?))
}

/// The same for EC alone.
pub(super) fn expect_ec_words(step: &Step, meter: &Meter) -> Option<String> {
    let (scale, (low, _, high)) = (meter.ec_scale, step.expect?.ec_ms_cm);
    Some(format!("EC {}{}", span(&scale.figure(low, 1), &scale.figure(high, 1)), scale.tail()))
}

/// Where pH goes after that reading, when it does, and what that will ask for.
pub(super) fn settles_words(step: &Step, meter: &Meter) -> Option<String> {
    let expect = step.expect?;
    if matches!(step.action, Action::LeaveIt) {
        return None;
    }
    if (expect.settled_ph.1 - expect.ph.1).abs() <= 0.15 {
        return step.later.as_deref().map(capital);
    }
    let way = if expect.settled_ph.1 > expect.ph.1 { "creep up" } else { "drift down" };
    let settled = ph_span((expect.settled_ph.0, expect.settled_ph.2), meter);
    Some(match &step.later {
        Some(later) => format!("Left at that, carbon dioxide would make it {way} to {settled} in the end; {later}"),
        None => format!("A {way} to {settled} over hours or days is carbon dioxide, not a failure"),
    })
}

fn ph_span((low, high): (f64, f64), meter: &Meter) -> String {
    let decimals = decimals_of(meter.ph_step).min(2);
    span(&format!("{low:.decimals$}"), &format!("{high:.decimals$}"))
}

/// A range in words; its two ends once if they look alike.
fn span(low: &str, high: &str) -> String {
    if low == high { low.to_owned() } else { format!("{low}–{high}") }
}

pub(super) fn reading_words(reading: Option<&Reading>, meter: &Meter, date: &dyn Fn(i64) -> String) -> String {
    let Some(reading) = reading else { return "no reading yet".to_owned() };
    let ph_decimals = decimals_of(meter.ph_step).min(2);
    let mut parts = Vec::new();
    if let Some(ph) = reading.ph {
        parts.push(format!("pH {ph:.ph_decimals$}"));
    }
    if let Some(ec) = reading.ec_ms_cm {
        parts.push(format!("EC {}", meter.ec_scale.told(ec, 2)));
    }
    if let Some(t) = reading.temperature_c {
        parts.push(format!("{t:.0} °C"));
    }
    if parts.is_empty() {
        return "no reading yet".to_owned();
    }
    format!("{}, {}", parts.join(", "), date(reading.at_s))
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
