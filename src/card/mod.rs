//! The plan on one page. [`Card`] is the single description of it: the terminal, the window and the sheet of paper draw this
//! one structure, so no sentence is made twice.

pub mod paper;
mod pdf;
mod say;
mod stop;
mod text;
mod tool;

use serde::Serialize;

use crate::garden::{Catalog, Growing, LogEntry, ProductRef, Unit};
use crate::plan::{Action, JarOffer, Plan, Step};

pub use crate::plan::{ec_edges, edges};
pub use pdf::pdf;
pub use say::{Order, amount_words, eyebrow, headline, how, likely_line, next_line};
pub(crate) use say::{figure, numbered};
pub use text::{json, text};
pub use tool::ToolFill;
pub(crate) use tool::{counted, drawn_filling, drawn_mark, on_marks, plain};

/// Words that stand above or before parts of the card, the same wherever it is shown.
pub mod label {
    /// Above everything.
    pub const TITLE: &str = "Tub card";
    /// Before the latest reading.
    pub const READING: &str = "Reading";
    /// Before the zone.
    pub const ZONE: &str = "Zone";
    /// Before what was done since the reading.
    pub const SINCE: &str = "Since then";
    /// Before what the next reading should show.
    pub const EXPECT: &str = "Expect";
    /// Before the conditions on which to stop.
    pub const STOP_IF: &str = "Stop if";
    /// Before the line to write the next reading on.
    pub const NEXT_READING: &str = "Next reading";
}

/// Said of a step whose amount a reading before it may change.
pub const PROVISIONAL: &str = "A reading before this step may change its amount";

/// Something to be written on the paper.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Blank {
    /// What it is.
    pub name: &'static str,
    /// Its unit; empty for none.
    pub unit: &'static str,
}

/// A step as it is told.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CardStep {
    /// What to do, in one sentence: [`Self::order`] read out.
    pub headline: String,
    /// The same in its parts, the large words among them.
    pub order: Order,
    /// The tool and how far to fill it, to be drawn.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tool: Option<ToolFill>,
    /// How to measure it, in one line: [`Self::measuring`] read out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub how: Option<String>,
    /// The same one after the other: diluting or dissolving, and what the tool measures.
    pub measuring: Vec<String>,
    /// Product id, for a pour.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub product_id: Option<String>,
    /// Amount of the product, for a pour.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub amount: Option<f64>,
    /// Its unit.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unit: Option<&'static str>,
    /// What it may need in all.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub likely_total: Option<(f64, f64)>,
    /// pH expected at the next reading, 5 to 95 in a hundred.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub expect_ph: Option<(f64, f64)>,
    /// EC expected, mS/cm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub expect_ec_ms_cm: Option<(f64, f64)>,
    /// pH once the room's air has had its way.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub settles_ph: Option<(f64, f64)>,
    /// Chance that the water just mixed crosses the far edge.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub risk: Option<f64>,
    /// Minutes to wait before reading.
    pub wait_min: u32,
    /// Whether a reading before it may change the amount.
    pub provisional: bool,
    /// The same in words.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub remark: Option<&'static str>,
    /// Lines about range and reason.
    pub lines: Vec<String>,
    /// The wait and the reading after it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wait: Option<String>,
    /// What that reading should show.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub expect: Option<String>,
    /// Where pH goes from there by itself.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub settles: Option<String>,
    /// When to stop: clauses that go on from "Stop if".
    pub stop_if: Vec<String>,
    /// Cautions beside the step.
    pub cautions: Vec<String>,
    /// What is written down when it is done.
    pub record: Vec<Blank>,
}

/// A list of lines with a title, after the steps.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Section {
    /// Its title.
    pub title: &'static str,
    /// Its lines.
    pub lines: Vec<String>,
}

/// The plan on one page.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Card {
    /// The unit's name.
    pub unit: String,
    /// Day and time of the plan.
    pub date: String,
    /// What is in it, in one line.
    pub facts: String,
    /// What grows, each crop with its stage, the one that the unit is named for first.
    pub crops: Vec<String>,
    /// The reading the plan rests on, and when it was taken.
    pub reading: String,
    /// What was poured or changed since that reading.
    pub since: Vec<String>,
    /// The zone.
    pub zone: String,
    /// The steps in order.
    pub steps: Vec<CardStep>,
    /// Warnings about water and plan.
    pub warnings: Vec<String>,
    /// What else is told after the steps, [`Self::warnings`] among it. Whoever has more to tell adds a section here, and it
    /// stands wherever the card is shown.
    pub sections: Vec<Section>,
    /// What comes before the card.
    pub last: String,
    /// What is written down of the next reading.
    pub next_reading: Vec<Blank>,
    /// Version of the dose model.
    pub model: &'static str,
}

impl Card {
    /// The card of a plan made at a moment, Unix seconds; `date` says a moment as day and time where the person lives.
    pub fn of(unit: &Unit, catalog: &Catalog, plan: &Plan, now_s: i64, date: &dyn Fn(i64) -> String) -> Self {
        let crops: Vec<String> = unit.growing().iter().map(|grown| crop_words(grown, unit, catalog)).collect();
        let water = unit.source_water.words(catalog);
        let warnings: Vec<String> = plan.warnings.iter().map(|warning| warning.words.clone()).collect();
        let (model, scale) = (crate::plan::MODEL_VERSION, unit.meter.ec_scale);
        Self {
            unit: unit.name.clone(),
            date: date(now_s),
            facts: say::capital(&format!(
                "{}, about {} of {} L, {water}, {}",
                unit.kind.words(),
                say::figure(unit.level_l),
                say::figure(unit.tank_l),
                crops.join(", "),
            )),
            crops,
            reading: say::reading_words(unit.last_reading(), &unit.meter, date),
            since: since_reading(unit, catalog, date),
            zone: format!("pH {}, EC {} {}", edges(plan.zone.ph), ec_edges(scale, plan.zone_ec_ms_cm), scale.symbol()),
            steps: (0..).zip(&plan.steps).map(|(place, step)| CardStep::of(step, place, unit, catalog, plan)).collect(),
            sections: sections(plan, &warnings),
            warnings,
            last: format!("Label and safety data sheet come first; they override this card. ({model})"),
            next_reading: vec![
                Blank { name: "pH", unit: "" },
                Blank { name: "EC", unit: scale.symbol() },
                Blank { name: "Level", unit: "L" },
                Blank { name: "Time", unit: "" },
            ],
            model,
        }
    }

    /// Facts in lines, each with what stands before it.
    pub fn facts_lines(&self) -> Vec<(&'static str, String)> {
        let mut lines = vec![(label::READING, self.reading.clone())];
        if !self.since.is_empty() {
            lines.push((label::SINCE, self.since.join("; ")));
        }
        lines.push((label::ZONE, self.zone.clone()));
        lines
    }

    /// Every text of the card, in the order it is read: whatever shows the card must show all of them.
    pub fn texts(&self) -> Vec<String> {
        let mut texts = vec![self.unit.clone(), self.date.clone(), self.facts.clone()];
        texts.extend(self.facts_lines().into_iter().flat_map(|(label, words)| [label.to_owned(), words]));
        for step in &self.steps {
            texts.push(step.headline.clone());
            texts.extend(step.measuring.iter().chain(&step.lines).cloned());
            texts.extend(step.remark.map(str::to_owned));
            texts.extend([&step.wait, &step.expect, &step.settles].into_iter().flatten().cloned());
            texts.extend(step.stop_if.iter().chain(&step.cautions).cloned());
            texts.extend(step.record.iter().flat_map(Blank::texts));
        }
        for section in &self.sections {
            texts.push(section.title.to_owned());
            texts.extend(section.lines.iter().cloned());
        }
        texts.push(label::NEXT_READING.to_owned());
        texts.extend(self.next_reading.iter().flat_map(Blank::texts));
        texts.push(self.last.clone());
        texts
    }
}

impl Blank {
    fn texts(&self) -> [String; 2] {
        [self.name.to_owned(), self.unit.to_owned()]
    }
}

/// What is told after the steps.
fn sections(plan: &Plan, warnings: &[String]) -> Vec<Section> {
    let feed = plan.fed.as_ref().map(crate::plan::Fed::words);
    let helps = plan.helps.iter().map(|help| help.words.clone()).collect();
    let all = [
        Section { title: "Good to know", lines: warnings.iter().cloned().chain(feed).collect() },
        Section { title: "What would help most", lines: helps },
    ];
    all.into_iter().filter(|section| !section.lines.is_empty()).collect()
}

/// A jar test in words.
fn surer_lines(offer: &JarOffer) -> Vec<String> {
    let why = format!("Surer, if you like: a jar test before this. {}", offer.why);
    std::iter::once(why).chain(numbered(&offer.steps)).collect()
}

/// A crop and its stage, such as "Lettuce (growing)".
fn crop_words(grown: &Growing, unit: &Unit, catalog: &Catalog) -> String {
    let crop = catalog.crop_of(unit, &grown.crop_id);
    let name = crop.map_or(grown.crop_id.as_str(), |crop| crop.name.as_str());
    let stage = crop.and_then(|crop| crop.stage(&grown.stage_id));
    format!("{name} ({})", stage.map_or(grown.stage_id.as_str(), |stage| stage.name.as_str()))
}

/// What was done to the water since it was last read.
fn since_reading(unit: &Unit, catalog: &Catalog, date: &dyn Fn(i64) -> String) -> Vec<String> {
    let Some(read_s) = unit.last_reading().map(|reading| reading.at_s) else { return Vec::new() };
    let last =
        unit.log.iter().rposition(|entry| matches!(entry, LogEntry::Reading(r) if r.at_s == read_s)).unwrap_or(0);
    let words = |entry: &LogEntry| {
        let what = match entry {
            LogEntry::Pour(pour) => {
                let item = unit.shelf_item(&pour.product_id);
                let product = item.and_then(|item| catalog.product_of(item));
                let name = product.map_or(pour.product_id.as_str(), |product| product.name.as_str());
                // What the person named is called as they wrote it.
                let is_own = item.is_some_and(|item| matches!(item.product, ProductRef::Own(_)));
                let name = if is_own { name.to_owned() } else { say::lower_first(name) };
                let measure = product.map_or("", |product| product.form.unit());
                format!("{} {measure} of {name} poured", say::figure(pour.amount))
            }
            LogEntry::TopUp { water_l, .. } => format!("{} L of source water added", say::figure(*water_l)),
            LogEntry::Drain { solution_l, .. } => format!("{} L taken out", say::figure(*solution_l)),
            LogEntry::Refill { water_l, .. } => format!("filled afresh with {} L", say::figure(*water_l)),
            _ => return None,
        };
        Some(format!("{what}, {}", date(entry.at_s())))
    };
    unit.log.iter().skip(last + 1).filter_map(words).collect()
}

impl CardStep {
    /// One step in words; `place` is where it stands in the plan, from 0.
    pub fn of(step: &Step, place: usize, unit: &Unit, catalog: &Catalog, plan: &Plan) -> Self {
        let pour = match &step.action {
            Action::Pour(measured) => Some(measured),
            _ => None,
        };
        let role =
            pour.and_then(|measured| catalog.product_of(unit.shelf_item(&measured.id)?)).map(|product| product.role);
        let order = Order::of(step);
        let is_read = step.expect.is_some();
        let tool = ToolFill::of_step(step);
        let measuring = match pour {
            Some(measured) => say::measuring(measured),
            None => tool.iter().map(ToolFill::words).collect(),
        };
        Self {
            headline: order.sentence(),
            order,
            tool,
            how: how(step),
            measuring,
            product_id: pour.map(|measured| measured.id.clone()),
            amount: pour.map(|measured| measured.amount),
            unit: pour.map(|measured| measured.unit),
            likely_total: step.likely_total,
            expect_ph: step.expect.map(|expect| (expect.ph.0, expect.ph.2)),
            expect_ec_ms_cm: step.expect.map(|expect| (expect.ec_ms_cm.0, expect.ec_ms_cm.2)),
            settles_ph: step.expect.map(|expect| (expect.settled_ph.0, expect.settled_ph.2)),
            risk: step.risk,
            wait_min: step.wait_min,
            provisional: step.provisional,
            remark: step.provisional.then_some(PROVISIONAL),
            lines: likely_line(step)
                .into_iter()
                .chain(step.why.iter().cloned())
                .chain(step.jar.iter().flat_map(surer_lines))
                .collect(),
            wait: (is_read && !matches!(step.action, Action::Read { .. })).then(|| say::wait_words(step)),
            expect: say::expect_words(step, &unit.meter).map(|words| format!("{} {words}", label::EXPECT)),
            settles: say::settles_words(step, &unit.meter),
            stop_if: stop::stop_if(step, place, role, unit, plan),
            cautions: step.cautions.clone(),
            record: record(step, place + 1 == plan.steps.len(), unit.meter.ec_scale.symbol()),
        }
    }
}

/// What is written down when a step is done. What the meter shows after the last one has a line of its own.
fn record(step: &Step, is_last: bool, ec_unit: &'static str) -> Vec<Blank> {
    let (name, unit) = match &step.action {
        Action::Pour(measured) if measured.unit == "g" => ("Added", "g"),
        Action::Pour(measured) => ("Poured", measured.unit),
        Action::TopUp { .. } => ("Added", "L"),
        Action::Swap { .. } => ("Changed", "L"),
        _ => return Vec::new(),
    };
    let mut blanks = vec![Blank { name, unit }, Blank { name: "at", unit: "" }];
    if step.expect.is_some() && !is_last {
        blanks.extend([Blank { name: "then pH", unit: "" }, Blank { name: "EC", unit: ec_unit }]);
    }
    blanks
}
