//! The page of the log: every entry in words, and beside each reading what was told before it.

use std::sync::Arc;

use super::pours::{decimals, is_swap};
use super::readers::capital;
use super::{ec_decimals, today::figure};
use crate::garden::{Catalog, JarTest, LogEntry, PourRecord, Promise, Reading, Unit};
use crate::plan::{Compared, Twice, Versus, Way, compared, twice};
use crate::store::Settings;
use crate::ui::clock::Clock;
use crate::ui::command::Command;
use crate::ui::paint::px;
use crate::ui::view::{EntryMark, EntryView, LinkView, LogRow, ToldView, VersusView, WayView};
use crate::ui::widgets::shown;
use crate::units::EcScale;

/// What the page of the log is made from.
#[derive(Clone, Copy)]
pub struct LogShown<'a> {
    /// The unit.
    pub unit: &'a Unit,
    /// Crops, waters, products.
    pub catalog: &'a Catalog,
    /// Units people read in.
    pub settings: &'a Settings,
    /// The time.
    pub clock: &'a dyn Clock,
}

/// The log in words: rows newest first, and all of it as text.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct LogWords {
    /// Days and entries.
    pub rows: Arc<Vec<LogRow>>,
    /// The same as text.
    pub text: Arc<str>,
    /// How many entries there are.
    pub count: usize,
}

/// The whole log in words.
pub fn log_words(shown: &LogShown<'_>) -> LogWords {
    let log = &shown.unit.log;
    let doubt = twice(log, &shown.unit.meter);
    let mut rows = Vec::new();
    let mut day = String::new();
    for (index, entry) in log.iter().enumerate().rev() {
        // The second half of a change of water stands with the first.
        if is_swap(index.checked_sub(1).and_then(|i| log.get(i)), Some(entry)) {
            continue;
        }
        let date = shown.clock.day_words(entry.at_s());
        if date != day {
            day.clone_from(&date);
            rows.push(LogRow::Day(date));
        }
        rows.push(LogRow::Entry(Box::new(shown.entry(index, entry, doubt.as_ref()))));
    }
    let count = rows.iter().filter(|row| matches!(row, LogRow::Entry(_))).count();
    let text = as_text(&shown.unit.name, &rows).into();
    LogWords { rows: Arc::new(rows), text, count }
}

/// How many entries there are, in words.
pub fn count_words(count: usize) -> String {
    match count {
        0 => "Nothing written yet".to_owned(),
        1 => "1 entry".to_owned(),
        n => format!("{n} entries, newest first"),
    }
}

/// pH and EC of a reading as the meter showed them.
pub(super) fn reading_words(reading: &Reading, scale: EcScale) -> String {
    let ph = reading.ph.map(|ph| format!("pH {}", shown(ph, 2)));
    let ec = |ec_ms_cm: f64| format!("EC {} {}", shown(scale.from_ms_cm(ec_ms_cm), ec_decimals(scale)), scale.symbol());
    let parts: Vec<String> = [ph, reading.ec_ms_cm.map(ec)].into_iter().flatten().collect();
    if parts.is_empty() { "A reading without pH or EC".to_owned() } else { parts.join(" · ") }
}

impl LogShown<'_> {
    fn entry(&self, index: usize, entry: &LogEntry, doubt: Option<&Twice>) -> EntryView {
        let (mark, title) = self.title(index, entry);
        let told = compared(&self.unit.log, index, &self.unit.meter).map(|compared| self.told(entry.at_s(), &compared));
        EntryView {
            index,
            time: self.clock.time_words(entry.at_s()),
            mark,
            title,
            lines: self.lines(index, entry),
            told,
            doubt: doubt.and_then(|doubt| doubt_of(doubt, index)),
        }
    }

    /// What an entry is called: its kind, and its first line.
    pub(super) fn title(&self, index: usize, entry: &LogEntry) -> (EntryMark, String) {
        match entry {
            LogEntry::Reading(reading) => (EntryMark::Reading, reading_words(reading, self.unit.meter.ec_scale)),
            LogEntry::Pour(pour) => (EntryMark::Pour, self.pour_words(pour)),
            LogEntry::Drain { solution_l, .. } if is_swap(Some(entry), self.unit.log.get(index + 1)) => {
                (EntryMark::Water, format!("{} of solution changed for source water", self.litres(*solution_l)))
            }
            LogEntry::TopUp { water_l, .. } => {
                (EntryMark::Water, format!("{} of source water added", self.litres(*water_l)))
            }
            LogEntry::Drain { solution_l, .. } => {
                (EntryMark::Water, format!("{} of solution taken out", self.litres(*solution_l)))
            }
            LogEntry::Refill { water_l, .. } => {
                (EntryMark::Fill, format!("Filled afresh with {} of source water", self.litres(*water_l)))
            }
            LogEntry::JarTest(test) => (EntryMark::Jar, self.jar_words(test)),
            LogEntry::Note { text, .. } => (EntryMark::Note, text.clone()),
        }
    }

    fn lines(&self, index: usize, entry: &LogEntry) -> Vec<String> {
        match entry {
            LogEntry::Reading(reading) => {
                let temperature = self.settings.temperature_unit;
                let degrees = |c: f64| format!("{} {}", shown(temperature.from_celsius(c), 1), temperature.symbol());
                let level = |litres: f64| format!("{} in it", self.litres(litres));
                let parts = [reading.temperature_c.map(degrees), reading.level_l.map(level)];
                let parts: Vec<String> = parts.into_iter().flatten().collect();
                if parts.is_empty() { Vec::new() } else { vec![parts.join(" · ")] }
            }
            LogEntry::Pour(pour) => self.of_promise(index, pour.promise.as_ref(), pour.amount, Some(&pour.product_id)),
            LogEntry::TopUp { water_l, promise, .. } => self.of_promise(index, promise.as_ref(), *water_l, None),
            LogEntry::Drain { solution_l, .. } if is_swap(Some(entry), self.unit.log.get(index + 1)) => {
                let water = self.unit.log.get(index + 1).and_then(LogEntry::promise);
                self.of_promise(index + 1, water, *solution_l, None)
            }
            LogEntry::JarTest(test) => {
                let points: Vec<String> =
                    test.points.iter().map(|point| self.jar_point(test, point.amount, point.ph)).collect();
                vec![points.join(", ")]
            }
            LogEntry::Drain { .. } | LogEntry::Refill { .. } | LogEntry::Note { .. } => Vec::new(),
        }
    }

    /// What the plan advised beside what was done, and what the next reading should show until there is one.
    fn of_promise(
        &self,
        index: usize,
        promise: Option<&Promise>,
        amount: f64,
        product_id: Option<&str>,
    ) -> Vec<String> {
        let Some(promise) = promise else { return vec!["Nothing was told of it".to_owned()] };
        let words = |amount: f64| product_id.map_or_else(|| self.litres(amount), |id| self.amount(id, amount));
        let advised = match promise.advised {
            Some(advised) if (advised - amount).abs() < 1e-9 * amount.abs().max(1.0) => "As advised".to_owned(),
            Some(advised) => format!("Advised {}, {} went in", words(advised), words(amount)),
            None => "Your own amount: none was advised".to_owned(),
        };
        let mut lines = vec![advised];
        let is_read = self.unit.log.iter().enumerate().skip(index + 1).any(|(later, entry)| {
            matches!(entry, LogEntry::Reading(_))
                && compared(&self.unit.log, later, &self.unit.meter).is_some_and(|compared| compared.of == index)
        });
        // Another change of the water means that no reading will answer this one.
        let is_open = !is_read && !self.unit.log.iter().skip(index + 1).any(LogEntry::changes_water);
        if is_open {
            lines.push(format!(
                "The next reading should show pH {}, EC {}",
                self.ph_range(promise.ph_range),
                self.ec_range(promise.ec_range_ms_cm)
            ));
        }
        lines
    }

    fn told(&self, read_s: i64, compared: &Compared) -> ToldView {
        let log = &self.unit.log;
        let changed = log.get(compared.of);
        let changed_s = changed.map_or(read_s, LogEntry::at_s);
        let model =
            changed.and_then(LogEntry::promise).map(|promise| promise.model_version.clone()).unwrap_or_default();
        let versus = |label: &str, versus: &Versus, range: String| VersusView {
            label: label.to_owned(),
            told: range,
            words: way_words(versus.way).to_owned(),
            way: match versus.way {
                Way::AsTold => WayView::AsTold,
                Way::Above => WayView::Above,
                Way::Below => WayView::Below,
            },
            at: share(versus),
        };
        let ph = compared.ph.as_ref().map(|v| versus("pH", v, self.ph_range(v.told)));
        let ec = compared.ec_ms_cm.as_ref().map(|v| versus("EC", v, self.ec_range(v.told)));
        ToldView {
            heading: format!("Told at {}, read {}", self.clock.time_words(changed_s), after_words(compared.after_h)),
            versus: ph.into_iter().chain(ec).collect(),
            model: format!("Told by {model}"),
        }
    }

    fn pour_words(&self, pour: &PourRecord) -> String {
        format!("{} of {}", self.amount(&pour.product_id, pour.amount), self.product_name(&pour.product_id))
    }

    fn jar_words(&self, test: &JarTest) -> String {
        format!("Jar test: {} in {} of tank water", self.product_name(&test.product_id), self.litres(test.water_l))
    }

    fn jar_point(&self, test: &JarTest, amount: f64, ph: f64) -> String {
        format!("{} pH {}", self.amount(&test.product_id, amount), shown(ph, 2))
    }

    /// Name of a product on the shelf; its id when it is not there any more.
    pub(super) fn product_name(&self, id: &str) -> String {
        let product = self.unit.shelf_item(id).and_then(|item| self.catalog.product_of(item));
        product.map_or_else(|| id.to_owned(), |product| product.name.clone())
    }

    /// Unit of a product on the shelf.
    pub(super) fn product_unit(&self, id: &str) -> &'static str {
        self.unit
            .shelf_item(id)
            .and_then(|item| self.catalog.product_of(item))
            .map_or("", |product| product.form.unit())
    }

    fn amount(&self, product_id: &str, amount: f64) -> String {
        let step = self.unit.shelf_item(product_id).map_or(0.1, |item| item.tool.smallest());
        format!("{amount:.*} {}", decimals(step, amount), self.product_unit(product_id)).trim_end().to_owned()
    }

    pub(super) fn litres(&self, litres: f64) -> String {
        let unit = self.settings.tank_unit;
        format!("{} {}", figure(unit.from_litres(litres)), unit.symbol())
    }

    fn ph_range(&self, (low, high): (f64, f64)) -> String {
        let decimals = if self.unit.meter.ph_step < 0.1 - 1e-9 { 2 } else { 1 };
        span(&format!("{low:.decimals$}"), &format!("{high:.decimals$}"))
    }

    fn ec_range(&self, (low, high): (f64, f64)) -> String {
        let scale = self.unit.meter.ec_scale;
        let words = |ec: f64| format!("{:.*}", ec_decimals(scale), scale.from_ms_cm(ec));
        span(&words(low), &words(high))
    }
}

fn span(low: &str, high: &str) -> String {
    if low == high { low.to_owned() } else { format!("{low}–{high}") }
}

fn way_words(way: Way) -> &'static str {
    match way {
        Way::AsTold => "as expected",
        Way::Above => "above what was told",
        Way::Below => "below what was told",
    }
}

/// Where a reading stands in its range: 0 at the lower end, 1 at the upper; a range without width has all above or below it.
fn share(versus: &Versus) -> f32 {
    let (low, high) = versus.told;
    let width = high - low;
    if width > 1e-9 {
        return px(((versus.read - low) / width).clamp(-1.0, 2.0));
    }
    match versus.way {
        Way::AsTold => 0.5,
        Way::Above => 2.0,
        Way::Below => -1.0,
    }
}

/// How long after, such as "31 min later".
fn after_words(hours: f64) -> String {
    if hours < 1.5 {
        format!("{:.0} min later", 60.0 * hours)
    } else if hours < 48.0 {
        format!("{hours:.0} h later")
    } else {
        format!("{:.0} days later", hours / 24.0)
    }
}

/// What is doubtful about a reading that another of the same water does not bear out.
fn doubt_of(doubt: &Twice, index: usize) -> Option<(String, LinkView)> {
    let words = match doubt.odd {
        Some(odd) if odd == index => "No other reading of this water bears it out".to_owned(),
        None if index == doubt.pair.1 => doubt.words(),
        None if index == doubt.pair.0 => "The reading after it does not bear it out".to_owned(),
        _ => return None,
    };
    Some((words, LinkView { text: "Set it aside".to_owned(), command: Command::SetAside(index) }))
}

/// The message beside the fields of a reading, with what can be set aside.
pub(super) fn doubt_beside(unit: &Unit) -> Option<(String, Vec<LinkView>)> {
    let doubt = twice(&unit.log, &unit.meter)?;
    let ph = |index: usize| match unit.log.get(index) {
        Some(LogEntry::Reading(reading)) => match (doubt.ph, reading.ph, reading.ec_ms_cm) {
            (Some(_), Some(ph), _) => format!("Set pH {} aside", shown(ph, 2)),
            (_, _, Some(ec)) => {
                let scale = unit.meter.ec_scale;
                format!("Set EC {} aside", shown(scale.from_ms_cm(ec), ec_decimals(scale)))
            }
            _ => "Set it aside".to_owned(),
        },
        _ => "Set it aside".to_owned(),
    };
    let odd = doubt.odd.map_or_else(|| vec![doubt.pair.0, doubt.pair.1], |odd| vec![odd]);
    let links = odd.into_iter().map(|index| LinkView { text: ph(index), command: Command::SetAside(index) });
    Some((doubt.words(), links.collect()))
}

/// What stands in the log for a reading that was set aside.
pub fn aside_words(shown: &LogShown<'_>, reading: &Reading) -> String {
    format!(
        "Reading set aside: {}. Others of the same water do not bear it out",
        reading_words(reading, shown.unit.meter.ec_scale)
    )
}

/// An entry in a few words, for telling what was done to it.
pub fn entry_words(shown: &LogShown<'_>, index: usize) -> String {
    let Some(entry) = shown.unit.log.get(index) else { return String::new() };
    format!("{}, {}", shown.title(index, entry).1, shown.clock.words(entry.at_s()))
}

fn as_text(name: &str, rows: &[LogRow]) -> String {
    let mut text = format!("{name}: log, newest first\n");
    for row in rows {
        match row {
            LogRow::Day(day) => {
                text.push('\n');
                text.push_str(day);
                text.push('\n');
            }
            LogRow::Entry(entry) => {
                text.push_str("  ");
                text.push_str(&entry.time);
                text.push_str("  ");
                text.push_str(&entry.title.replace('\n', " "));
                let told = entry.told.iter().flat_map(|told| {
                    let versus = told.versus.iter().map(|v| format!("{} {} was told: {}", v.label, v.told, v.words));
                    versus.chain([told.heading.clone(), told.model.clone()])
                });
                for line in
                    entry.lines.iter().cloned().chain(told).chain(entry.doubt.iter().map(|(words, _)| words.clone()))
                {
                    text.push_str("; ");
                    text.push_str(&line);
                }
                text.push('\n');
            }
        }
    }
    capital(&text)
}
