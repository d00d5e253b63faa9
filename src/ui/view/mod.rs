//! What the window shows, as plain words and numbers: no chemistry, no files, no widgets.
//!
//! A presenter fills these from the document and its derived plan; the screens only draw them. Numbers that are read as
//! text arrive as text, already rounded to what the meter or the tool can show, so that the same amount stands in the
//! same words everywhere.

mod card;
mod crops;
mod jar;
mod log;
mod map;
mod owned;
mod shelf;
mod start;

pub use crate::card::ToolFill as ToolView;
pub use card::TubCardView;
pub use crops::{
    AxisView, BandView, BarLook, ClaimView, ClaimsView, CropFormView, CropGroupView, CropRowView, CropSheetView,
    CropsView,
};
pub use jar::{JarRowView, JarView, MeasureField, MeasureView};
pub use log::{
    EntryMark, EntryView, LineView, LogRow, LogView, SheetFields, ToldView, VersusView, WayView, WritingView,
};
pub use map::{
    ArrowView, EarlierView, HandleView, LandingView, LaterView, LimitSide, LimitView, LookView, MapPoint, MapView,
    OtherView, SettledView, ZoneView,
};
pub use owned::{AwayView, CardView, KeepView, LibraryView, UnitsView};
pub use shelf::{
    InLibrary, PartRow, PartsView, PeroxideView, ProductPick, ProductView, SheetNumber, ShelfRow, ShelfView, WaterView,
};
pub use start::{CropView, KindPicture, KindView, OwnWaterView, StartView};

use super::command::{Command, Field, Quantity, Slot};
use super::widgets::Entry;

/// One entry of a pick list or a segmented choice.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Choice {
    /// What a command names it by.
    pub id: String,
    /// What the person reads.
    pub label: String,
    /// Other names that it is found by in a long list.
    pub also: Vec<String>,
    /// Its botanical or chemical name, likewise.
    pub formal: String,
    /// What it stands with in a long list; empty for none.
    pub group: String,
}

impl Choice {
    /// A choice from an id and its words.
    pub fn new(id: impl Into<String>, label: impl Into<String>) -> Self {
        Self { id: id.into(), label: label.into(), ..Self::default() }
    }
}

/// A line of words that does something when it is pressed.
#[derive(Clone, PartialEq, Debug)]
pub struct LinkView {
    /// The words.
    pub text: String,
    /// What pressing it asks for.
    pub command: Command,
}

/// Something to tell over the page.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct NoticeView {
    /// What happened.
    pub words: String,
    /// Ways on, beside putting it away.
    pub actions: Vec<LinkView>,
    /// What the button says that puts it away; empty for the usual words.
    pub leave: String,
    /// How it is meant.
    pub tone: Tone,
}

/// How something that is told is meant.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum Tone {
    /// Something went wrong, or may.
    #[default]
    Trouble,
    /// Something is done, or asked.
    Plain,
}

/// A quantity and the units it can be read in.
#[derive(Clone, PartialEq, Debug)]
pub struct UnitRow {
    /// Which quantity.
    pub quantity: Quantity,
    /// Its name.
    pub label: String,
    /// Units to choose from.
    pub choices: Vec<Choice>,
    /// Id of the unit it is read in now.
    pub chosen_id: String,
}

/// Whether what was typed is on disk.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub enum SavedView {
    /// Everything is on disk.
    #[default]
    Saved,
    /// A change waits to be written.
    Saving,
    /// There is no file yet.
    NotYet,
    /// An example: it is never written.
    Example,
    /// It could not be written, and why.
    Failed(String),
}

/// A unit of the person's that can be opened.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct UnitEntry {
    /// Its name.
    pub title: String,
    /// Its file.
    pub path: std::path::PathBuf,
}

/// The bar on top of every page.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct BarView {
    /// Name of the open unit; empty before there is one.
    pub unit_name: String,
    /// Whether it is on disk.
    pub saved: SavedView,
    /// The person's other units, by name.
    pub units: Vec<UnitEntry>,
}

/// A measured quantity with its range, drawn as a bar with a dot.
#[derive(Clone, PartialEq, Debug)]
pub struct RangeView {
    /// What it is, such as "Water in it".
    pub label: String,
    /// Best guess and range in words, such as "28 L, 25–29".
    pub text: String,
    /// Where the range starts, 0 to 1 along the bar.
    pub low: f32,
    /// Where the best guess stands, 0 to 1.
    pub best: f32,
    /// Where the range ends, 0 to 1.
    pub high: f32,
}

/// What is growing, and the zone that follows.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct GrowingView {
    /// Crops to pick from.
    pub crops: Vec<Choice>,
    /// Id of the crop that grows.
    pub crop_id: String,
    /// Its stages.
    pub stages: Vec<Choice>,
    /// Id of the stage it is in.
    pub stage_id: String,
    /// What else grows on the same water.
    pub also: Vec<AlsoView>,
    /// Crops that can be added; empty when there is no room for another.
    pub more: Vec<Choice>,
    /// What the zone is called: "Zone", or "Zone in common".
    pub zone_label: String,
    /// The zone in words, such as "pH 5.5–6.5, EC 1.2–1.8".
    pub zone_text: String,
    /// What crops on the same water have not in common, as cautions.
    pub remarks: Vec<String>,
    /// A line about the sources, when there is something to see.
    pub sources_line: Option<String>,
    /// The sources and how the zone follows from them, shown when the line is pressed.
    pub sources: Vec<String>,
}

/// One more crop on the same water.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct AlsoView {
    /// Its name.
    pub name: String,
    /// Crops that can stand in its place.
    pub crops: Vec<Choice>,
    /// Id of the crop.
    pub crop_id: String,
    /// Its stages that are not in the list already.
    pub stages: Vec<Choice>,
    /// Id of the stage it is in.
    pub stage_id: String,
}

/// The latest reading.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct ReadingView {
    /// When and with what, such as "08:45 · good meter"; empty before the first.
    pub note: String,
    /// pH as the meter showed it.
    pub ph: Option<f64>,
    /// EC in the unit of the meter.
    pub ec: Option<f64>,
    /// Decimals of EC in that unit.
    pub ec_decimals: usize,
    /// That unit, such as "mS/cm".
    pub ec_unit: String,
    /// Water temperature in the unit of the person.
    pub temperature: Option<f64>,
    /// That unit, such as "°C".
    pub temperature_unit: String,
    /// Turns what is typed into a value in the units above.
    pub reader: Reader,
    /// Readings of the same water that do not agree, and what can be done about it.
    pub doubt: Option<(String, Vec<LinkView>)>,
}

/// How a field's text becomes a value: the trade's reader when there is one, a plain one otherwise.
#[derive(Clone)]
pub struct Reader(pub std::sync::Arc<ReadFn>);

/// Reads the text of a field.
pub type ReadFn = dyn Fn(Field, &str) -> Entry + Send + Sync;

impl Reader {
    /// A reader from a function.
    pub fn new(read: impl Fn(Field, &str) -> Entry + Send + Sync + 'static) -> Self {
        Self(std::sync::Arc::new(read))
    }

    /// Reads the text of a field.
    pub fn read(&self, field: Field, typed: &str) -> Entry {
        (self.0)(field, typed)
    }
}

impl Default for Reader {
    fn default() -> Self {
        Self::new(super::screens::reading::plain_reader)
    }
}

impl std::fmt::Debug for Reader {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Reader")
    }
}

impl PartialEq for Reader {
    fn eq(&self, other: &Self) -> bool {
        std::sync::Arc::ptr_eq(&self.0, &other.0)
    }
}

/// A way out of a wrong entry.
#[derive(Clone, PartialEq, Debug)]
pub struct OfferView {
    /// What the button says, such as "Use 7.0".
    pub label: String,
    /// The value it stands for, in the unit of the field.
    pub value: f64,
}

/// Where a pour stands.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum PourState {
    /// Not yet poured; its amount can be changed.
    Planned,
    /// Planned, with an amount that is the plan's own, such as water for a top-up.
    Fixed,
    /// In the water: when, and when it was read after.
    Poured(String),
}

/// One addition.
#[derive(Clone, PartialEq, Debug)]
pub struct PourView {
    /// What commands name it by.
    pub key: u32,
    /// Its number on the map.
    pub number: u32,
    /// The product.
    pub product: String,
    /// Amount in `unit`.
    pub amount: f64,
    /// "mL" or "g" or "L".
    pub unit: String,
    /// Smallest mark of the tool, in `unit`.
    pub step: f64,
    /// Most that the slider goes to, in `unit`.
    pub most: f64,
    /// Decimals that the tool can show.
    pub decimals: usize,
    /// What it does, such as "EC +0.65 · pH −0.4".
    pub effect: String,
    /// How it is measured, such as "10 mL syringe, to the 5 mark".
    pub measure: String,
    /// Cautions that stand beside this pour.
    pub cautions: Vec<String>,
    /// Planned or poured.
    pub state: PourState,
    /// A small link at its end, such as "Take back".
    pub link: Option<LinkView>,
    /// Its place in the list in hand; none for what is in the water, and for the plan's own water.
    pub place: Option<PlaceView>,
}

/// The place of a pour in the list in hand.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct PlaceView {
    /// How many pours of the list come before it.
    pub before: usize,
    /// How many come after it.
    pub after: usize,
    /// Whether it stays as it is while the landing is dragged.
    pub locked: bool,
    /// What is to be said of its place, such as "Acid belongs after the feed".
    pub note: Option<String>,
}

/// All pours together.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct TogetherView {
    /// First line, such as "28 L · EC 1.5 · pH 6.9 → 6.2".
    pub result: String,
    /// What the next reading should show, as a range.
    pub expect: String,
    /// The risk in words.
    pub risk: String,
    /// True when the amounts are not the ones the plan worked out.
    pub changed_by_hand: bool,
}

/// The lists in hand, and the ways back and forward.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct HandView {
    /// Which list is in hand.
    pub slot: Slot,
    /// Both lists side by side, A first; none while there is only one.
    pub compared: Option<[IdeaView; 2]>,
    /// Whether there is something to go back to.
    pub can_undo: bool,
    /// Whether there is something to go forward to.
    pub can_redo: bool,
}

/// One of two lists of pours, in a few words.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct IdeaView {
    /// Where it lands in figures, as on the map, such as "6.1 · 1.52".
    pub point: String,
    /// Where it lands, such as "pH 6.1 · EC 1.52".
    pub lands: String,
    /// The chance to cross an edge, such as "about 1 in 30 below 5.5".
    pub risk: String,
    /// Whether that is more than the plan would risk.
    pub is_risky: bool,
    /// What is poured, such as "5.0 mL of pH-lowering liquid".
    pub poured: Vec<String>,
}

/// What the strip says, and what can be done about it.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct AnswerView {
    /// A short line above.
    pub eyebrow: String,
    /// The answer: the only large type on the page.
    pub sentence: String,
    /// What has to be done before it can be poured, such as a dilution.
    pub first: Option<String>,
    /// What is dangerous about it: stands out.
    pub caution: Option<String>,
    /// What to wear, in a few words, for where the full cautions are out of sight.
    pub wear: Option<String>,
    /// Range, reason, what to expect. The first is the one shown when there is little room.
    pub lines: Vec<String>,
    /// A jar test that would make it surer.
    pub surer: Option<LinkView>,
    /// What kind of answer it is.
    pub kind: AnswerKind,
}

/// Kinds of answer.
#[derive(Clone, PartialEq, Debug)]
pub enum AnswerKind {
    /// Pour this now.
    Pour {
        /// The tool, filled.
        tool: ToolView,
        /// What it is filled with, when that is not the product itself.
        of: String,
        /// What follows, such as "then wait 30 min".
        then: String,
    },
    /// A what-if: no advice.
    WhatIf {
        /// The tool, filled, and what with; none when the list is empty.
        tool: Option<(ToolView, String)>,
        /// What the button says that notes it as done; empty when there is nothing to note.
        done: String,
    },
    /// Nothing to do.
    LeaveIt,
    /// A fact is missing: what to press to give it.
    NeedsFact(LinkView),
    /// Something stands in the way: what happened, and what to press, if anything helps.
    Stuck(Option<LinkView>),
    /// Poured; wait, then read.
    Wait {
        /// Share of the wait that has passed, 0 to 1.
        passed: f32,
        /// Time left in words, such as "24 min".
        left: String,
    },
}

impl Default for AnswerKind {
    fn default() -> Self {
        Self::Stuck(None)
    }
}

/// A warning, and where what it speaks of can be mended.
#[derive(Clone, PartialEq, Debug)]
pub struct WarningView {
    /// In words.
    pub words: String,
    /// The way to the place.
    pub mend: Option<LinkView>,
}

/// The page of one unit, today.
#[derive(Clone, PartialEq, Debug)]
pub struct TodayView {
    /// Name of the unit.
    pub unit_name: String,
    /// Kind, level and water in one line.
    pub unit_line: String,
    /// True for the shipped example: it says so, with a door to one's own.
    pub is_example: bool,
    /// The latest reading.
    pub reading: ReadingView,
    /// Level in the unit of the person.
    pub level: f64,
    /// That unit, such as "L".
    pub level_unit: String,
    /// Crop, stage, zone.
    pub growing: GrowingView,
    /// What is known, as ranges.
    pub known: Vec<RangeView>,
    /// What is worth finding out next, best first.
    pub next_best: Vec<LinkView>,
    /// The first of it in a few words, such as "A drop kit would help".
    pub next_best_short: String,
    /// The map.
    pub map: MapView,
    /// Pours, in order.
    pub pours: Vec<PourView>,
    /// Products on the shelf that can be added.
    pub shelf: Vec<Choice>,
    /// The lists in hand.
    pub hand: HandView,
    /// All pours together.
    pub together: TogetherView,
    /// Warnings that belong to no single pour, such as precipitation.
    pub warnings: Vec<WarningView>,
    /// What is good to know, and nothing to worry about.
    pub notes: Vec<String>,
    /// Why the answer is what it is, beyond what the strip has room for.
    pub why: Vec<String>,
    /// The strip.
    pub answer: AnswerView,
    /// The tub card, shown when asked for.
    pub tub_card: TubCardView,
    /// A jar test that is being made.
    pub jar: Option<Box<JarView>>,
}
