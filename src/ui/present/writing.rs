//! The sheet on which something is written into the log, or mended in it: what it shows, how it is read, what comes of it.

use super::ec_decimals;
use super::log::LogShown;
use super::pours::is_swap;
use super::readers::{FieldUnits, capital, read, read_pour_up_to, within_tank};
use crate::garden::{
    FieldProblem, LogEntry, PourRecord, Reading, Severity, check_added_l, check_poured, check_taken_l, check_when,
};
use crate::ui::command::{Field, LogField};
use crate::ui::state::{PourLine, Sheet, When, Writing};
use crate::ui::view::{Choice, LineView, Reader, SheetFields, WritingView};
use crate::ui::widgets::{Entry, plain_number};

/// Most of a powder that is taken for one pour, g. Ours: more is a bag, not a pour.
const MOST_GRAMS: f64 = 10_000.0;
/// Longest ago that is said in minutes: two days. Ours.
const MOST_MINUTES: f64 = 2880.0;
/// Times are typed to the minute: an entry of the same minute as the one before it comes after it, s.
const SAME_MINUTE_S: i64 = 60;

/// An empty sheet for what is not in the log yet. It begins with a product, the one that was advised where there is one.
pub fn new_writing(shown: &LogShown<'_>, advised_id: Option<&str>) -> Writing {
    let advised = advised_id.and_then(|id| shown.unit.shelf_item(id)).or_else(|| shown.unit.at_hand().next());
    let first = advised.map(|item| item.product.id().to_owned()).unwrap_or_default();
    Writing { lines: vec![PourLine { product_id: first, amount: None }], ..Writing::default() }
}

/// The sheet with an entry of the log on it.
pub fn mend_writing(shown: &LogShown<'_>, index: usize) -> Option<Writing> {
    let entry = shown.unit.log.get(index)?;
    let volume = |litres: f64| Some(shown.settings.tank_unit.from_litres(litres));
    let mut writing = Writing {
        sheet: Sheet::Mend(index),
        when: When::At,
        time: shown.clock.time_words(entry.at_s()),
        ..Writing::default()
    };
    match entry {
        LogEntry::Reading(reading) => {
            writing.ph = reading.ph;
            writing.ec = reading.ec_ms_cm.map(|ec| shown.unit.meter.ec_scale.from_ms_cm(ec));
            writing.temperature = reading.temperature_c.map(|c| shown.settings.temperature_unit.from_celsius(c));
            writing.level = reading.level_l.and_then(volume);
        }
        LogEntry::Pour(pour) => {
            writing.lines = vec![PourLine { product_id: pour.product_id.clone(), amount: Some(pour.amount) }];
        }
        LogEntry::TopUp { water_l, .. } => writing.added = volume(*water_l),
        LogEntry::Drain { solution_l, .. } => writing.taken = volume(*solution_l),
        LogEntry::Refill { water_l, .. } => writing.filled = volume(*water_l),
        LogEntry::JarTest(_) => {}
        LogEntry::Note { text, .. } => writing.note.clone_from(text),
    }
    Some(writing)
}

/// What the sheet shows.
pub fn writing_view(shown: &LogShown<'_>, writing: &Writing) -> WritingView {
    let unit = shown.unit;
    let scale = unit.meter.ec_scale;
    // An entry about what is used up can still be mended.
    let is_told = |id: &str| writing.lines.iter().any(|line| line.product_id == id);
    let products = unit.shelf.iter().filter(|item| !item.used_up || is_told(item.product.id())).map(|item| {
        let id = item.product.id();
        Choice::new(id, shown.product_name(id))
    });
    let level_l = level_l(shown, writing.sheet);
    let lines = writing.lines.iter().map(|line| LineView {
        unit: shown.product_unit(&line.product_id).to_owned(),
        cautions: line.amount.map(|amount| pour_cautions(shown, &line.product_id, amount, level_l)).unwrap_or_default(),
    });
    let when = [(When::Now, "Just now"), (When::Ago, "Minutes ago"), (When::At, "At a time")];
    let (title, note) = match writing.sheet {
        Sheet::New => (
            "What happened?".to_owned(),
            "Fill in what you did; the rest stays empty. The plan then counts on what is in the water in fact"
                .to_owned(),
        ),
        Sheet::Mend(index) => (
            format!("Mend: {}", unit.log.get(index).map(|entry| shown.title(index, entry).1).unwrap_or_default()),
            "This changes the record, not the water: what was poured stays poured".to_owned(),
        ),
    };
    WritingView {
        title,
        note,
        fields: fields(shown, writing.sheet),
        products: products.collect(),
        lines: lines.collect(),
        volume_unit: shown.settings.tank_unit.symbol().to_owned(),
        ec_unit: scale.symbol().to_owned(),
        ec_decimals: ec_decimals(scale),
        temperature_unit: shown.settings.temperature_unit.symbol().to_owned(),
        water_cautions: water_cautions(shown, writing, level_l),
        when: when.into_iter().map(|(when, words)| (when, Choice::new(words, words))).collect(),
        when_trouble: match writing.when {
            When::Ago if writing.minutes.is_none() => None,
            When::At if writing.time.trim().is_empty() => None,
            _ => at_s(shown, writing).err(),
        },
        reader: reader(shown, writing),
    }
}

fn fields(shown: &LogShown<'_>, sheet: Sheet) -> SheetFields {
    let Sheet::Mend(index) = sheet else { return SheetFields::New };
    let log = &shown.unit.log;
    match log.get(index) {
        Some(LogEntry::Reading(_)) => SheetFields::Reading,
        Some(LogEntry::Pour(_)) => SheetFields::Pour,
        Some(LogEntry::TopUp { .. }) => SheetFields::Added,
        Some(LogEntry::Drain { .. }) if is_swap(log.get(index), log.get(index + 1)) => SheetFields::Swapped,
        Some(LogEntry::Drain { .. }) => SheetFields::Taken,
        Some(LogEntry::Refill { .. }) => SheetFields::Filled,
        Some(LogEntry::JarTest(_)) => SheetFields::Jar,
        Some(LogEntry::Note { .. }) | None => SheetFields::Note,
    }
}

/// Water in the tank before what is written, L.
fn level_l(shown: &LogShown<'_>, sheet: Sheet) -> f64 {
    match sheet {
        Sheet::New => shown.unit.level_l,
        Sheet::Mend(index) => shown.unit.level_before_l(index).unwrap_or(shown.unit.level_l),
    }
}

fn pour_cautions(shown: &LogShown<'_>, product_id: &str, amount: f64, level_l: f64) -> Vec<String> {
    let product = shown.unit.shelf_item(product_id).and_then(|item| shown.catalog.product_of(item));
    let problems = product.map(|product| check_poured(product, amount, level_l, shown.unit.tank_l));
    problems.into_iter().flatten().map(|problem| capital(&problem.message)).collect()
}

fn water_cautions(shown: &LogShown<'_>, writing: &Writing, level_l: f64) -> Vec<String> {
    let volume = shown.settings.tank_unit;
    let litres = |typed: Option<f64>| typed.map(|value| volume.litres_from(value));
    let (filled, taken, added) = (litres(writing.filled), litres(writing.taken), litres(writing.added));
    // In the order in which they are written down.
    let from_l = filled.unwrap_or(level_l);
    let left_l = taken.map_or(from_l, |taken| (from_l - taken).max(0.0));
    let of_taken = taken.and_then(|taken| check_taken_l(taken, from_l));
    let of_added = match fields(shown, writing.sheet) {
        SheetFields::Swapped => None,
        _ => added.and_then(|added| check_added_l(added, left_l, shown.unit.tank_l)),
    };
    of_taken.into_iter().chain(of_added).map(|problem| capital(&problem.message)).collect()
}

/// Reads the fields of the sheet.
fn reader(shown: &LogShown<'_>, writing: &Writing) -> Reader {
    let units = FieldUnits {
        volume: shown.settings.tank_unit,
        ec: shown.unit.meter.ec_scale,
        temperature: shown.settings.temperature_unit,
        alkalinity: shown.settings.alkalinity_unit,
    };
    let tank_l = shown.unit.tank_l;
    let liquids: Vec<bool> = writing.lines.iter().map(|line| shown.product_unit(&line.product_id) == "mL").collect();
    Reader::new(move |field, typed| {
        let Field::Log(field) = field else { return Entry::Empty };
        match field {
            LogField::Amount(line) => match liquids.get(line) {
                Some(true) => read_pour_up_to(typed, true, 1000.0 * tank_l),
                Some(false) => read_pour_up_to(typed, false, MOST_GRAMS),
                None => Entry::Empty,
            },
            LogField::Added | LogField::Taken => read(Field::Level, typed, units),
            LogField::Filled | LogField::Level => within_tank(read(Field::Level, typed, units), units.volume, tank_l),
            LogField::Ph => read(Field::ReadingPh, typed, units),
            LogField::Ec => read(Field::ReadingEc, typed, units),
            LogField::Temperature => read(Field::ReadingTemperature, typed, units),
            LogField::Minutes => plain_number(typed, "Minutes ago", "min", 0.0..=MOST_MINUTES),
        }
    })
}

/// When it happened, Unix seconds, or what is wrong with that in a sentence.
fn at_s(shown: &LogShown<'_>, writing: &Writing) -> Result<i64, String> {
    let clock = shown.clock;
    let now_s = clock.now_s();
    let log = &shown.unit.log;
    let (day_s, before_s, after_s) = match writing.sheet {
        Sheet::New => (now_s, log.last().map(LogEntry::at_s), None),
        Sheet::Mend(index) => {
            let entry_s = log.get(index).map_or(now_s, LogEntry::at_s);
            // A change of water is two entries of one time.
            let next = index + if fields(shown, writing.sheet) == SheetFields::Swapped { 2 } else { 1 };
            let before = index.checked_sub(1).and_then(|i| log.get(i));
            (entry_s, before.map(LogEntry::at_s), log.get(next).map(LogEntry::at_s))
        }
    };
    let typed_s = match writing.when {
        When::Now => now_s,
        When::Ago => {
            let minutes = writing.minutes.ok_or("Say how many minutes ago")?;
            now_s.saturating_sub(seconds(60.0 * minutes))
        }
        When::At => {
            let minute = time_of_day(&writing.time)?;
            if clock.time_words(day_s) == words_of(minute) && matches!(writing.sheet, Sheet::Mend(_)) {
                // Untouched: it keeps its seconds.
                day_s
            } else {
                day_s - clock.second_of_day(day_s) + 60 * minute
            }
        }
    };
    let near = |at_s: i64, other_s: i64| (0..SAME_MINUTE_S).contains(&at_s.saturating_sub(other_s));
    let typed_s = match (before_s, after_s) {
        (Some(before_s), _) if near(before_s, typed_s) => before_s,
        (_, Some(after_s)) if near(typed_s, after_s) => after_s,
        _ => typed_s,
    };
    let words = |at_s: i64| clock.words(at_s);
    match check_when(typed_s, now_s, (before_s, after_s), &words) {
        Some(problem) => Err(capital(&problem.message)),
        None => Ok(typed_s),
    }
}

#[expect(clippy::cast_possible_truncation, reason = "minutes are at most two days")]
fn seconds(value: f64) -> i64 {
    value.round() as i64
}

fn words_of(minute: i64) -> String {
    format!("{:02}:{:02}", minute / 60, minute % 60)
}

/// A time of day as people type it, in minutes from midnight: 8:45, 8.45, 0845, 8h45, 8:45 pm.
///
/// # Errors
/// A sentence that names what was typed and what is understood.
fn time_of_day(typed: &str) -> Result<i64, String> {
    let lower = typed.trim().to_lowercase();
    let wrong = || format!("“{}” is no time of day: write it like 8:45 or 20:15", typed.trim());
    let afternoon = lower.ends_with("pm") || lower.ends_with("p.m.");
    let morning = lower.ends_with("am") || lower.ends_with("a.m.");
    let bare = lower.trim_end_matches(|c: char| !c.is_ascii_digit());
    if bare.is_empty() || bare.len() < lower.len() && !(afternoon || morning || lower.ends_with('h')) {
        return Err(wrong());
    }
    let parts: Vec<&str> = bare.split([':', '.', 'h', ' ']).filter(|part| !part.is_empty()).collect();
    let (hours, minutes) = match parts.as_slice() {
        [one] if one.len() > 2 && one.is_ascii() => one.split_at(one.len() - 2),
        [hours] => (*hours, "0"),
        [hours, minutes] if minutes.len() == 2 => (*hours, *minutes),
        _ => return Err(wrong()),
    };
    let number = |text: &str| text.parse::<i64>().ok().filter(|_| text.len() <= 2 && !text.starts_with('+'));
    let (Some(hours), Some(minutes)) = (number(hours), number(minutes)) else { return Err(wrong()) };
    let hours = match (hours, morning, afternoon) {
        (12, true, _) => 0,
        (1..=11, _, true) => hours + 12,
        _ => hours,
    };
    if (0..24).contains(&hours) && (0..60).contains(&minutes) { Ok(60 * hours + minutes) } else { Err(wrong()) }
}

/// What goes into the log, in order: fresh fill, taken out, added, poured, words.
///
/// # Errors
/// A sentence on what keeps it from being written down.
pub fn new_entries(shown: &LogShown<'_>, writing: &Writing) -> Result<Vec<LogEntry>, String> {
    let at_s = at_s(shown, writing)?;
    let litres =
        |typed: Option<f64>| typed.map(|value| shown.settings.tank_unit.litres_from(value)).filter(|l| *l > 0.0);
    let mut entries = Vec::new();
    entries.extend(litres(writing.filled).map(|water_l| LogEntry::Refill { at_s, water_l }));
    entries.extend(litres(writing.taken).map(|solution_l| LogEntry::Drain { at_s, solution_l }));
    entries.extend(litres(writing.added).map(|water_l| LogEntry::top_up(at_s, water_l)));
    for line in &writing.lines {
        let Some(amount) = line.amount.filter(|amount| *amount > 0.0) else { continue };
        let product_id = line.product_id.clone();
        if shown.unit.shelf_item(&product_id).is_none() {
            return Err("Choose a product from your shelf".to_owned());
        }
        entries.push(LogEntry::Pour(PourRecord { at_s, product_id, amount, promise: None }));
    }
    let note = writing.note.trim();
    if !note.is_empty() {
        entries.push(LogEntry::Note { at_s, text: note.to_owned() });
    }
    if entries.is_empty() {
        return Err("Nothing is filled in yet: an amount, water, or a note".to_owned());
    }
    Ok(entries)
}

/// What stands in the place of the entry that is mended: one entry, or two for a change of water.
///
/// # Errors
/// A sentence on what keeps it from being written down.
pub fn mended(shown: &LogShown<'_>, writing: &Writing, index: usize) -> Result<Vec<LogEntry>, String> {
    let old = shown.unit.log.get(index).ok_or("This entry is not in the log any more")?;
    let at_s = at_s(shown, writing)?;
    let litres = |typed: Option<f64>| {
        let litres = typed.map(|value| shown.settings.tank_unit.litres_from(value)).filter(|litres| *litres > 0.0);
        litres.ok_or_else(|| "How much water was it? Without an amount, remove the entry".to_owned())
    };
    let entry = match old {
        LogEntry::Reading(_) => {
            let reading = Reading {
                at_s,
                ph: writing.ph,
                ec_ms_cm: writing.ec.map(|ec| shown.unit.meter.ec_scale.ms_cm_from(ec)),
                temperature_c: writing.temperature.map(|t| shown.settings.temperature_unit.celsius_from(t)),
                level_l: writing.level.map(|level| shown.settings.tank_unit.litres_from(level)),
            };
            if reading.ph.is_none() && reading.ec_ms_cm.is_none() {
                return Err("A reading needs pH or EC; without both, remove the entry".to_owned());
            }
            let refused = |problem: &FieldProblem| problem.severity == Severity::Refused;
            if let Some(problem) = reading.check(shown.unit.tank_l, None).iter().find(|problem| refused(problem)) {
                return Err(capital(&problem.message));
            }
            LogEntry::Reading(reading)
        }
        LogEntry::Pour(pour) => {
            let line = writing.lines.first();
            let amount = line.and_then(|line| line.amount).filter(|amount| *amount > 0.0);
            let amount = amount.ok_or("How much was it? If nothing was poured, remove the entry")?;
            let product_id = line.map_or_else(|| pour.product_id.clone(), |line| line.product_id.clone());
            LogEntry::Pour(PourRecord { at_s, product_id, amount, promise: pour.promise.clone() })
        }
        LogEntry::TopUp { promise, .. } => {
            LogEntry::TopUp { at_s, water_l: litres(writing.added)?, promise: promise.clone() }
        }
        LogEntry::Drain { .. } => {
            let solution_l = litres(writing.taken)?;
            if fields(shown, writing.sheet) == SheetFields::Swapped {
                let promise = shown.unit.log.get(index + 1).and_then(LogEntry::promise).cloned();
                let water = LogEntry::TopUp { at_s, water_l: solution_l, promise };
                return Ok(vec![LogEntry::Drain { at_s, solution_l }, water]);
            }
            LogEntry::Drain { at_s, solution_l }
        }
        LogEntry::Refill { .. } => LogEntry::Refill { at_s, water_l: litres(writing.filled)? },
        LogEntry::JarTest(_) => old.clone().at(at_s),
        LogEntry::Note { .. } => {
            let text = writing.note.trim().to_owned();
            if text.is_empty() {
                return Err("The note is empty: remove the entry instead".to_owned());
            }
            LogEntry::Note { at_s, text }
        }
    };
    Ok(vec![entry])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_of_day_as_people_type_them() {
        for (typed, minute) in [
            ("8:45", 525),
            ("08.45", 525),
            ("0845", 525),
            ("845", 525),
            ("8h45", 525),
            ("8 45", 525),
            ("8h", 480),
            ("20:15", 1215),
            ("8:15 pm", 1215),
            ("12:05 am", 5),
            ("12:05 pm", 725),
            ("7", 420),
        ] {
            assert_eq!(time_of_day(typed), Ok(minute), "{typed}");
        }
        for typed in ["", "25:00", "8:60", "8:4", "noon", "8:45:10", "-8:45", "99999", "8:45 x", "é845"] {
            let message = time_of_day(typed).expect_err(typed);
            assert!(message.contains("8:45"), "{message}");
        }
    }
}
