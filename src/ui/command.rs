//! What a person can ask for: one list for buttons, keys and tests.
//!
//! Panels only add to a list of commands; the app applies them in one place, after the frame is drawn.

use std::path::PathBuf;

use super::state::{Answers, NamingFor};
use super::view::MapPoint;
use crate::garden::OwnKind;
use crate::store::TakeIn;

/// Pages of the window.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum Page {
    /// What is in your hands?
    #[default]
    Start,
    /// The unit, today.
    Today,
    /// What happened, newest first.
    Log,
    /// What the person owns to pour.
    Shelf,
    /// What can grow, and what is said of it.
    Crops,
    /// The units a person owns.
    Units,
}

/// Fields that take a number. Their drafts are kept by this key.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Field {
    /// Size of the reservoir.
    TankSize,
    /// How much water is in it.
    Level,
    /// EC of the source water.
    WaterEc,
    /// pH of the source water.
    WaterPh,
    /// Alkalinity of the source water.
    WaterAlkalinity,
    /// pH of the reservoir.
    ReadingPh,
    /// EC of the reservoir.
    ReadingEc,
    /// Water temperature.
    ReadingTemperature,
    /// pH read after a pour, in the strip.
    AfterPh,
    /// EC read after a pour, in the strip.
    AfterEc,
    /// Amount of a pour, by its key.
    Pour(u32),
    /// Tank water in a jar test.
    JarWater,
    /// What is in the jar at a reading of the test, from 0.
    JarAmount(u8),
    /// pH at a reading of the test, from 0.
    JarPh(u8),
    /// A number of the tool of a product, by its place on the first page and its own place.
    Tool(u8, u8),
    /// Something that is written into the log, or mended in it.
    Log(LogField),
    /// An end of a band of a crop of one's own, by the place of its stage.
    Band(usize, BandEnd),
    /// Something of a product that is described.
    Product(ProductField),
    /// Something of the source water that is described.
    Water(WaterField),
    /// Peroxide that somebody asks about.
    Peroxide,
}

/// Fields of the sheet on which a product is described.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum ProductField {
    /// Density of a liquid, g/mL.
    Density,
    /// Rate on the label, mL or g per litre.
    Rate,
    /// Strength of an acid or base, in what it is counted in.
    Strength,
    /// Rise of EC by one mL or g in a litre, mS/cm.
    Rise,
    /// A line of the label, by its place among [`crate::garden::LabelAnalysis::lines`].
    Line(u8),
    /// Grams of a salt, by its place in the recipe.
    Salt(u8),
    /// How much of a part of its feed goes with the others, by the part's place.
    Part(u8),
    /// A number of the tool it is measured with.
    Tool(u8),
}

/// Fields of the sheet on which the source water is described.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum WaterField {
    /// EC as read; of the water mixed in where that is said.
    Ec(Mixed),
    /// pH as read.
    Ph(Mixed),
    /// Alkalinity.
    Alkalinity(Mixed),
    /// Total hardness.
    Hardness(Mixed),
    /// A line of the report, by its place.
    Line(u8),
    /// Share of the other water, percent.
    Share,
}

/// Which of two waters.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Mixed {
    /// The source water.
    Source,
    /// The one that is mixed into it.
    Other,
}

/// What can be done with the shelf.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum ShelfCommand {
    /// Put a shipped product there, with its other parts.
    Add(String),
    /// Describe a product of one's own.
    Describe,
    /// Open the product at this place.
    Open(usize),
    /// Take what is shipped at this place as one's own, to be changed.
    MakeOwn(usize),
    /// Take the product at this place off.
    Remove(usize),
    /// Put back what was taken off last.
    BringBack,
    /// What was used up stands at hand again.
    AtHand(usize),
    /// Keep what is on the sheet.
    Keep,
    /// Keep it, and describe another part of its feed next.
    KeepAndNext,
    /// A product of the shelf is a part of the same feed.
    AddPart(String),
    /// Put the sheet away.
    Close,
    /// Open or close what is known of peroxide.
    Peroxide,
    /// Plan with the product at this place, and not with another one of its kind.
    PlanWith(usize),
    /// Keep the product at this place for other units, too.
    Share(usize),
    /// Take the product at this place anew from the library, which has it otherwise by now.
    Renew(usize),
    /// Keep the source water for other units, too.
    ShareWater,
    /// Open the sheet of the source water.
    Water,
    /// Begin that sheet from a water of the person's library.
    TakeWater(String),
    /// Keep what is on that sheet.
    KeepWater,
}

/// Ends of the bands of a stage.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum BandEnd {
    /// Lower pH.
    PhLow,
    /// Upper pH.
    PhHigh,
    /// Lower EC.
    EcLow,
    /// Upper EC.
    EcHigh,
}

impl BandEnd {
    /// All of them, as they stand in a row.
    pub const ALL: [Self; 4] = [Self::PhLow, Self::PhHigh, Self::EcLow, Self::EcHigh];
}

/// What can be asked for on the page of crops.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum CropAsk {
    /// Show a crop.
    Look(String),
    /// Show it at a stage.
    Stage(String),
    /// This crop is what the unit grows, at this stage.
    Grow(String, String),
    /// It grows on the same water, too, at this stage.
    Add(String, String),
    /// Change one of the person's own, or begin one of their own from a shipped one.
    Change(String),
    /// Begin an empty one.
    Begin,
    /// Keep the one that is written.
    Keep,
    /// Put it away.
    Close,
    /// Remove one of the person's own.
    Remove(String),
    /// Put one of the person's own into their library, for their other units.
    Share(String),
    /// Take one of the person's own anew from the library, which has it otherwise by now.
    Renew(String),
}

/// Fields of the sheet on which something is written into the log.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum LogField {
    /// Amount poured, by the place of its line.
    Amount(usize),
    /// Source water added.
    Added,
    /// Solution taken out.
    Taken,
    /// Water after a fresh fill.
    Filled,
    /// pH of a reading.
    Ph,
    /// EC of a reading.
    Ec,
    /// Water temperature of a reading.
    Temperature,
    /// Level at a reading.
    Level,
    /// Minutes since it happened.
    Minutes,
}

/// Quantities whose unit is a person's choice.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Quantity {
    /// Tanks and levels.
    Volume,
    /// Water temperature.
    Temperature,
    /// EC as the meter shows it.
    Ec,
    /// Alkalinity.
    Alkalinity,
}

/// What a hand can take hold of on the map.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Handle {
    /// A pour, by its key: it moves along its own curve.
    Pour(u32),
    /// The landing: it moves freely, and the pours follow.
    Landing,
}

/// One of two lists of pours that stand side by side.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum Slot {
    /// The first.
    #[default]
    A,
    /// The second.
    B,
}

impl Slot {
    /// Its letter.
    pub fn letter(self) -> &'static str {
        match self {
            Self::A => "A",
            Self::B => "B",
        }
    }

    /// The other one.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            Self::A => Self::B,
            Self::B => Self::A,
        }
    }
}

/// What is done with the units a person owns, and with files from elsewhere.
#[derive(Clone, PartialEq, Debug)]
pub enum OwnedCommand {
    /// Type another name for a unit, or one for its copy.
    Naming(PathBuf, NamingFor),
    /// Leave the name as it was.
    StopNaming,
    /// The name is typed.
    Name,
    /// Put a unit away for later.
    Archive(PathBuf),
    /// Delete a unit; there is a way back.
    Delete(PathBuf),
    /// Bring a unit back that was archived or deleted.
    BringBack(PathBuf),
    /// Copy a unit from elsewhere into the units folder.
    CopyIn(PathBuf),
    /// Choose a file from elsewhere to take in.
    Import,
    /// Choose where to hand a file on to.
    Export(PathBuf),
    /// Look around in an example.
    OpenExample(String),
    /// Files were dropped on the window.
    Dropped(Vec<PathBuf>),
    /// Take the profile in that was asked about; how, where it meets one that is there.
    TakeIn(Option<TakeIn>),
    /// Describe a profile of this kind for the library.
    BeginProfile(OwnKind),
    /// Change a profile of the library.
    ChangeProfile(PathBuf),
    /// Keep what was changed as another profile, for someone else changed the file.
    KeepBeside,
    /// Delete a profile of one's own; there is a way back.
    DeleteProfile(PathBuf),
    /// Bring a deleted profile back; how, where it meets one that is there.
    BringProfileBack(PathBuf, Option<TakeIn>),
    /// Give a profile of one's own another id, for another has its.
    GiveId(PathBuf, String),
}

/// Something that was asked for.
#[derive(Clone, PartialEq, Debug)]
pub enum Command {
    /// Go to a page.
    Show(Page),
    /// Follow the system, or always light or dark.
    SetTheme(egui::ThemePreference),
    /// Look around in the shipped example.
    OpenExample,
    /// Ask what is in the person's hands, for a unit of their own.
    StartOwn,
    /// Change the facts of the open unit on the first page.
    EditUnit,
    /// Change the facts of the open unit on the first page, with the keyboard in this field.
    Mend(Field),
    /// The facts of the open unit are these.
    KeepFacts(Box<Answers>),
    /// Something about the units a person owns.
    Owned(OwnedCommand),
    /// Choose a unit file to open.
    OpenFile,
    /// Open this unit file.
    OpenUnit(PathBuf),
    /// Choose where to keep a copy.
    SaveCopy,
    /// The questions of the first page are answered.
    Begin(Box<Answers>),
    /// A value was typed and is a number within what the field can hold.
    SetNumber(Field, Option<f64>),
    /// Take the typed reading as today's.
    RecordReading,
    /// Another crop grows.
    ChooseCrop(String),
    /// The crop has come to another stage.
    ChooseStage(String),
    /// Another crop grows on the same water, too.
    AddCrop(String),
    /// In place of a further crop, from 0, another one grows.
    ChooseAlsoCrop(usize, String),
    /// A further crop, from 0, has come to another stage.
    ChooseAlsoStage(usize, String),
    /// A further crop, from 0, grows no more.
    RemoveCrop(usize),
    /// Something on the page of crops.
    Crop(Box<CropAsk>),
    /// A pour gets another amount, in its unit.
    SetPour {
        /// Which pour.
        key: u32,
        /// The amount.
        amount: f64,
    },
    /// Add a product of the shelf to the list.
    AddPour(String),
    /// Take a pour off the list.
    RemovePour(u32),
    /// A handle of the map was grabbed.
    Hold(Handle),
    /// The grabbed handle should come as near as it can to a place on the map.
    DragTo {
        /// Which one.
        handle: Handle,
        /// Where the handle itself would be, the grab's offset taken off.
        to: MapPoint,
        /// pH and mS/cm of one screen point: what "near" means to the eye.
        scale: (f64, f64),
        /// Whether amounts between the tool's marks are wanted.
        free: bool,
    },
    /// The grabbed handle is let go where it is.
    LetGo,
    /// The grabbed handle goes back to where it was grabbed.
    PutBack,
    /// A handle is moved by keys: a pour by marks of its tool, the landing by small steps.
    Nudge {
        /// Which one.
        handle: Handle,
        /// Steps to the right.
        across: i32,
        /// Steps up.
        up: i32,
    },
    /// Show the water at one of the moments of [`crate::ui::view::LookView::stops`].
    LookAhead(usize),
    /// Move a pour to another place in the order.
    MovePour {
        /// Which pour.
        key: u32,
        /// Places down the list; up when negative.
        places: i32,
    },
    /// Keep a pour as it is while the landing is dragged, or free it.
    LockPour {
        /// Which pour.
        key: u32,
        /// Whether it stays.
        locked: bool,
    },
    /// Put a copy of the list in hand beside it, as another idea.
    AnotherIdea,
    /// Take the other list in hand.
    TakeIdea(Slot),
    /// Throw the list in hand away and keep the other.
    DropIdea,
    /// Back to the list of pours as it was before the last change.
    Undo,
    /// Forward again.
    Redo,
    /// Give the amounts back to the plan.
    WorkItOut,
    /// What the strip says has been poured.
    PouredIt,
    /// Choose where to keep the steps on paper.
    SavePdf,
    /// Show or hide the steps on paper.
    ToggleTubCard,
    /// Show or hide the choice of units.
    ToggleUnits,
    /// Begin a jar test of a product, or go on with it.
    OpenJar(String),
    /// Put the jar test away; what was read in it stays.
    CloseJar,
    /// The jar test tells enough: into the log with it.
    RecordJar,
    /// Read a quantity in another unit.
    ChooseUnit(Quantity, String),
    /// Take a pour back out of the log: it was noted, but never made.
    TakeBack(usize),
    /// Open the sheet on which something that happened is written down.
    OpenWriting,
    /// Open it with an entry of the log, by its place, to be mended.
    MendEntry(usize),
    /// Write down what is on the sheet.
    WriteDown,
    /// Put the sheet away.
    CloseWriting,
    /// Take an entry out of the log: its record was wrong.
    RemoveEntry(usize),
    /// Set a reading aside, by its place, as one that others do not bear out.
    SetAside(usize),
    /// Put the log back to what it was before the last thing was written, mended or removed.
    BringBack,
    /// Save what changed into a new file beside the one that someone else changed.
    SaveBeside,
    /// Close the window, though something is not saved.
    CloseAnyway,
    /// Do something that puts the open unit away, though something of it is not saved.
    Anyway(Box<Command>),
    /// Put the keyboard into a field.
    Focus(Field),
    /// Something with the shelf.
    Shelf(ShelfCommand),
    /// Put a notice away.
    DismissNotice,
}
