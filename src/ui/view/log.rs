//! What the log's page shows, and the sheet on which something is written into it.

use std::sync::Arc;

use super::{Choice, LinkView, Reader};
use crate::ui::state::When;

/// The page of the log.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct LogView {
    /// Name of the unit.
    pub unit_name: String,
    /// How much there is, such as "14 entries, newest first".
    pub count: String,
    /// Days and entries, newest first.
    pub rows: Arc<Vec<LogRow>>,
    /// Changes with the rows.
    pub stamp: u64,
    /// All of it as text, for the clipboard.
    pub text: Arc<str>,
    /// What was changed last, and the way back.
    pub way_back: Option<(String, LinkView)>,
}

/// A row of the log.
#[derive(Clone, PartialEq, Debug)]
pub enum LogRow {
    /// A day.
    Day(String),
    /// Something that happened on it.
    Entry(Box<EntryView>),
}

/// What kind of thing happened.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum EntryMark {
    /// The water was read.
    Reading,
    /// Something was poured.
    Pour,
    /// Water went in or out.
    Water,
    /// It was filled afresh.
    Fill,
    /// A jar test.
    Jar,
    /// Words.
    Note,
}

/// Something that happened.
#[derive(Clone, PartialEq, Debug)]
pub struct EntryView {
    /// Its place in the log.
    pub index: usize,
    /// When on its day, such as "08:45".
    pub time: String,
    /// Its kind.
    pub mark: EntryMark,
    /// What happened, in a line.
    pub title: String,
    /// What else is known of it.
    pub lines: Vec<String>,
    /// What was told before it, beside what was read.
    pub told: Option<ToldView>,
    /// What is doubtful about it, and what can be done about that.
    pub doubt: Option<(String, LinkView)>,
}

/// What was told before a reading, beside what it shows.
#[derive(Clone, PartialEq, Debug)]
pub struct ToldView {
    /// When the reading came, such as "Told at 08:14".
    pub heading: String,
    /// pH and EC, where they were read.
    pub versus: Vec<VersusView>,
    /// By which model.
    pub model: String,
}

/// Where a reading lies by the range told.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum WayView {
    /// As told.
    AsTold,
    /// Above it.
    Above,
    /// Below it.
    Below,
}

/// One quantity as told and as read.
#[derive(Clone, PartialEq, Debug)]
pub struct VersusView {
    /// "pH" or "EC".
    pub label: String,
    /// The range told, such as "5.7–6.6".
    pub told: String,
    /// How the reading lies to it, in words.
    pub words: String,
    /// The same as a mark.
    pub way: WayView,
    /// Where the reading stands: 0 at the lower end of the range, 1 at the upper.
    pub at: f32,
}

/// What can be filled in on the sheet.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum SheetFields {
    /// Pours, water, words, and when: for what is not in the log yet.
    #[default]
    New,
    /// A reading.
    Reading,
    /// A pour.
    Pour,
    /// Source water added.
    Added,
    /// Solution taken out.
    Taken,
    /// Solution changed for water.
    Swapped,
    /// A fresh fill.
    Filled,
    /// A jar test: only its time.
    Jar,
    /// Words.
    Note,
}

/// A line of the sheet with a product and an amount.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct LineView {
    /// Unit of the amount.
    pub unit: String,
    /// What to look at twice.
    pub cautions: Vec<String>,
}

/// The sheet on which something is written into the log.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct WritingView {
    /// Its title.
    pub title: String,
    /// What is good to know before one writes.
    pub note: String,
    /// What can be filled in.
    pub fields: SheetFields,
    /// Products on the shelf.
    pub products: Vec<Choice>,
    /// What is known of each line.
    pub lines: Vec<LineView>,
    /// Unit of volumes.
    pub volume_unit: String,
    /// Unit of EC.
    pub ec_unit: String,
    /// Decimals of EC.
    pub ec_decimals: usize,
    /// Unit of temperature.
    pub temperature_unit: String,
    /// What to look at twice in the water.
    pub water_cautions: Vec<String>,
    /// Ways to say when.
    pub when: Vec<(When, Choice)>,
    /// What is wrong with when.
    pub when_trouble: Option<String>,
    /// Turns what is typed into values.
    pub reader: Reader,
}
