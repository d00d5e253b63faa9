//! What belongs to the window and to nothing that is saved: drafts of numbers, open panels, answers not yet given.

use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;

use super::command::Field;
use super::map::MapState;
use super::present::{CropsState, JarDraft, ProductDraft, WaterDraft};
use super::view::OfferView;
use crate::garden::peroxide::Grade;

/// Text that is being typed, kept by field until it becomes a value.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Drafts {
    texts: BTreeMap<Field, String>,
    troubles: BTreeMap<Field, Trouble>,
}

/// Why a draft did not become a value.
#[derive(Clone, PartialEq, Debug)]
pub struct Trouble {
    /// Field, value and limit in one sentence.
    pub message: String,
    /// Ways out, one press each.
    pub offers: Vec<OfferView>,
}

impl Drafts {
    /// The text typed into a field, if it has not become a value.
    pub fn text(&self, field: Field) -> Option<&str> {
        self.texts.get(&field).map(String::as_str)
    }

    /// Keeps what is typed.
    pub fn keep(&mut self, field: Field, text: String) {
        self.texts.insert(field, text);
    }

    /// Forgets draft and trouble: the value stands.
    pub fn settle(&mut self, field: Field) {
        self.texts.remove(&field);
        self.troubles.remove(&field);
    }

    /// Why a field's draft is no value.
    pub fn trouble(&self, field: Field) -> Option<&Trouble> {
        self.troubles.get(&field)
    }

    /// Whether any draft is no value.
    pub fn any_trouble(&self) -> bool {
        !self.troubles.is_empty()
    }

    /// Notes why a field's draft is no value.
    pub fn blame(&mut self, field: Field, trouble: Trouble) {
        self.troubles.insert(field, trouble);
    }

    /// Takes a trouble back, the draft stays.
    pub fn absolve(&mut self, field: Field) {
        self.troubles.remove(&field);
    }

    /// Forgets the drafts of pours: other amounts stand now.
    pub fn forget_pours(&mut self) {
        self.texts.retain(|field, _| !matches!(field, Field::Pour(_)));
        self.troubles.retain(|field, _| !matches!(field, Field::Pour(_)));
    }

    /// Forgets the drafts of the sheet that is written on.
    pub fn forget_log(&mut self) {
        self.texts.retain(|field, _| !matches!(field, Field::Log(_)));
        self.troubles.retain(|field, _| !matches!(field, Field::Log(_)));
    }

    /// Forgets what was typed of a product or of the source water.
    pub fn forget_product(&mut self) {
        let other = |field: &Field| !matches!(field, Field::Product(_) | Field::Water(_));
        self.texts.retain(|field, _| other(field));
        self.troubles.retain(|field, _| other(field));
    }

    /// Fields of a product or of the source water in which something is typed.
    pub fn of_product(&self) -> impl Iterator<Item = Field> + '_ {
        self.texts.keys().copied().filter(|field| matches!(field, Field::Product(_) | Field::Water(_)))
    }

    /// What is being typed on that sheet, by field.
    pub fn of_log(&self) -> Vec<(Field, String)> {
        let of_log = self.texts.iter().filter(|(field, _)| matches!(field, Field::Log(_)));
        of_log.map(|(field, text)| (*field, text.clone())).collect()
    }

    /// Forgets the drafts of a crop of one's own.
    pub fn forget_bands(&mut self) {
        self.texts.retain(|field, _| !matches!(field, Field::Band(..)));
        self.troubles.retain(|field, _| !matches!(field, Field::Band(..)));
    }

    /// What is being typed of such a crop, by field.
    pub fn of_bands(&self) -> Vec<(Field, String)> {
        let of_bands = self.texts.iter().filter(|(field, _)| matches!(field, Field::Band(..)));
        of_bands.map(|(field, text)| (*field, text.clone())).collect()
    }

    /// Forgets every draft, as when another unit is opened.
    pub fn clear(&mut self) {
        self.texts.clear();
        self.troubles.clear();
    }
}

/// For whom something is described.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum Keeper {
    /// For the open unit: it is kept in its file.
    #[default]
    Unit,
    /// For all units: it is a file of the person's library.
    Library,
}

/// What was said of a product's tools.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct ToolAnswer {
    /// Which tools; empty for the usual ones.
    pub id: String,
    /// Numbers that only the owner knows: drops in a millilitre, weight of ten scoops, marks.
    pub numbers: [Option<f64>; 2],
}

/// What was said on the first page. The size is needed; the rest has defaults or can wait.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Answers {
    /// Name of the unit; empty takes one from its kind.
    pub name: String,
    /// Kind of unit.
    pub kind_id: String,
    /// Size of the reservoir, in `volume_unit_id`.
    pub size: Option<f64>,
    /// Unit of `size`.
    pub volume_unit_id: String,
    /// How full it is.
    pub fullness_id: String,
    /// How that is known; empty where it was not asked.
    pub level_known_id: String,
    /// Kind of source water.
    pub water_id: String,
    /// EC of the source water, in `ec_unit_id`.
    pub water_ec: Option<f64>,
    /// pH of the source water.
    pub water_ph: Option<f64>,
    /// Alkalinity of the source water, in `alkalinity_unit_id`.
    pub water_alkalinity: Option<f64>,
    /// Unit of the alkalinity.
    pub alkalinity_unit_id: String,
    /// Crop.
    pub crop_id: String,
    /// Stage of the crop.
    pub stage_id: String,
    /// Whether roots are in the water.
    pub roots_id: String,
    /// Feed on the shelf; empty for none.
    pub feed_id: String,
    /// What lowers pH; empty for none.
    pub ph_down_id: String,
    /// What raises pH; empty for none.
    pub ph_up_id: String,
    /// What feed, pH-lowering and pH-raising product are measured with.
    pub tools: [ToolAnswer; 3],
    /// Unit the meter shows EC in.
    pub ec_unit_id: String,
    /// What pH is read with.
    pub ph_instrument_id: String,
    /// Whether feed is in the water already.
    pub fed_id: String,
    /// pH of the reservoir now.
    pub reading_ph: Option<f64>,
    /// EC of the reservoir now, in `ec_unit_id`.
    pub reading_ec: Option<f64>,
}

/// A part of a page that opens and closes.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Part {
    /// The sources of the zone.
    Sources,
    /// The map in words.
    Words,
    /// The steps on paper.
    TubCard,
    /// Why the answer is what it is.
    Why,
    /// The choice of units.
    Units,
    /// The jar test.
    Jar,
    /// What products are measured with, on the first page.
    Tools,
    /// What is known of peroxide.
    Peroxide,
    /// Units put away for later.
    Archived,
    /// Deleted units.
    Deleted,
    /// The person's own profiles.
    Library,
    /// Those of them that were deleted.
    DeletedProfiles,
}

/// Peroxide that somebody asks about, as far as it is told.
#[derive(Clone, Copy, PartialEq, Debug, Default)]
pub struct PeroxideAsked {
    /// Of the bottle, mL.
    pub ml: Option<f64>,
    /// What is in it. None is taken for granted: the strongest holds 13 times as much as the weakest.
    pub grade: Option<Grade>,
}

impl PeroxideAsked {
    /// Takes the grade at this place among [`Grade::ALL`].
    pub fn pick_grade(&mut self, id: &str) {
        self.grade = id.parse::<usize>().ok().and_then(|place| Grade::ALL.get(place)).copied();
    }
}

/// What a name is typed for.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum NamingFor {
    /// The unit itself.
    #[default]
    Rename,
    /// A copy of it.
    Copy,
}

/// A name that is being typed on the card of a unit.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Naming {
    /// File of the unit.
    pub path: PathBuf,
    /// What it is for.
    pub purpose: NamingFor,
    /// The name so far.
    pub text: String,
    /// Whether a copy takes the log along.
    pub with_log: bool,
    /// What keeps it from being taken, said once that was tried.
    pub refused: Option<String>,
    /// Whether the field should get the keyboard in the next frame.
    pub wants_focus: bool,
}

/// A reading that is typed but not yet recorded, in the units of the fields.
#[derive(Clone, Copy, PartialEq, Debug, Default)]
pub struct Entered {
    /// pH.
    pub ph: Option<f64>,
    /// EC.
    pub ec: Option<f64>,
    /// Water temperature.
    pub temperature: Option<f64>,
}

impl Entered {
    /// Whether it says something of the water: a temperature alone is no reading.
    pub fn is_recordable(&self) -> bool {
        self.ph.is_some() || self.ec.is_some()
    }

    /// Whether nothing is typed.
    pub fn is_empty(&self) -> bool {
        self.ph.is_none() && self.ec.is_none() && self.temperature.is_none()
    }
}

/// When something happened.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum When {
    /// Just now.
    #[default]
    Now,
    /// So many minutes ago.
    Ago,
    /// At a time of the day.
    At,
}

/// An amount of a product that went in.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct PourLine {
    /// Product id on the shelf.
    pub product_id: String,
    /// Amount in the product's unit.
    pub amount: Option<f64>,
}

/// What a sheet is for.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum Sheet {
    /// Things that happened and are not in the log.
    #[default]
    New,
    /// The entry of the log at this place.
    Mend(usize),
}

/// The sheet on which something is written into the log, as far as it is filled in; volumes, EC and temperature in the units of
/// the fields.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Writing {
    /// What it is for.
    pub sheet: Sheet,
    /// What was poured.
    pub lines: Vec<PourLine>,
    /// Source water added.
    pub added: Option<f64>,
    /// Solution taken out.
    pub taken: Option<f64>,
    /// Water after a fresh fill.
    pub filled: Option<f64>,
    /// pH of the reading that is mended.
    pub ph: Option<f64>,
    /// EC of it.
    pub ec: Option<f64>,
    /// Temperature of it.
    pub temperature: Option<f64>,
    /// Level at it.
    pub level: Option<f64>,
    /// Words.
    pub note: String,
    /// When it happened.
    pub when: When,
    /// Minutes ago.
    pub minutes: Option<f64>,
    /// Time of day, as typed.
    pub time: String,
    /// What keeps it from being written down, said once that was tried.
    pub refused: Option<String>,
}

/// Where the rows of the log stand: their heights depend on the width, and are worked out once for each.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct LogRows {
    /// Which rows, and in which room, as bits.
    pub of: (u64, u32, u32),
    /// Where each row starts, and at last where all end, points.
    pub tops: Vec<f32>,
}

/// What a sheet began with, so that nothing that was typed is put away unasked.
#[derive(Clone, PartialEq, Debug)]
pub struct Begun<T> {
    serial: u64,
    draft: Option<T>,
}

impl<T> Default for Begun<T> {
    fn default() -> Self {
        Self { serial: 0, draft: None }
    }
}

impl<T: Clone + PartialEq> Begun<T> {
    /// Remembers what the sheet of an opening began with.
    pub fn note(&mut self, serial: u64, draft: &T) {
        if self.serial != serial || self.draft.is_none() {
            *self = Self { serial, draft: Some(draft.clone()) };
        }
    }

    /// Whether something else stands there by now.
    pub fn is_changed(&self, draft: &T) -> bool {
        self.draft.as_ref().is_some_and(|begun| begun != draft)
    }
}

/// What is said where a sheet that was filled in would be put away by a press beside it.
pub const STILL_HERE: &str = "What you typed is still here: keep it, or cancel";

/// State of the window that is not saved with a unit.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct ViewState {
    /// Numbers being typed.
    pub drafts: Drafts,
    /// A reading being typed.
    pub entered: Entered,
    /// The first page's answers so far.
    pub answers: Answers,
    /// The field that should get the keyboard in this frame.
    pub focus: Option<Field>,
    /// Parts that are open.
    pub open: BTreeSet<Part>,
    /// The sheet on which something is written into the log, while it is open.
    pub writing: Option<Writing>,
    /// A name that is being typed for a unit.
    pub naming: Option<Naming>,
    /// Heights of the log's rows.
    pub log_rows: LogRows,
    /// The page of crops.
    pub crops: CropsState,
    /// The map's view, and the handle in the hand.
    pub map: MapState,
    /// A product that is being described.
    pub product: Option<ProductDraft>,
    /// How often that sheet was opened: each time it begins at its top.
    pub product_sheets: u64,
    /// What that sheet began with.
    pub product_begun: Begun<ProductDraft>,
    /// What the sheet of the source water began with.
    pub water_begun: Begun<WaterDraft>,
    /// The source water, while it is being described.
    pub water: Option<WaterDraft>,
    /// Peroxide that somebody asks about.
    pub peroxide: PeroxideAsked,
    /// A jar test that is being made.
    pub jar: Option<JarDraft>,
    /// The field of the jar test that should get the keyboard once its sheet is there.
    pub jar_focus: Option<Field>,
}

/// Fields that a reading is typed into.
pub const READING_FIELDS: [Field; 5] =
    [Field::ReadingPh, Field::ReadingEc, Field::ReadingTemperature, Field::AfterPh, Field::AfterEc];

impl ViewState {
    /// Whether a reading is typed, or being typed, that is not recorded yet.
    pub fn is_reading_pending(&self) -> bool {
        !self.entered.is_empty() || READING_FIELDS.iter().any(|&field| self.drafts.text(field).is_some())
    }

    /// Whether a part is open.
    pub fn is_open(&self, part: Part) -> bool {
        self.open.contains(&part)
    }

    /// Opens what is closed, closes what is open.
    pub fn toggle(&mut self, part: Part) {
        if !self.open.remove(&part) {
            self.open.insert(part);
        }
    }
}
