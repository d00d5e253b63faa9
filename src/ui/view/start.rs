//! What the first page offers.

use super::{Choice, MeasureView, Reader};

/// How a kind of unit is drawn.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum KindPicture {
    /// A jar with standing water.
    StillJar,
    /// A bucket with an air stone.
    AeratedBucket,
    /// A long trough.
    Trough,
    /// A tank with a pump and a channel above it.
    Recirculating,
}

/// A kind of unit to pick.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct KindView {
    /// Id and name.
    pub choice: Choice,
    /// How one knows it, such as "no pump, no air".
    pub note: String,
    /// Its picture.
    pub picture: KindPicture,
}

/// A crop with its stages.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct CropView {
    /// Id and name.
    pub choice: Choice,
    /// Its stages, youngest first.
    pub stages: Vec<Choice>,
}

/// What the library knows of a water, in the units of the fields.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct OwnWaterView {
    /// EC; empty where it is not known.
    pub ec: String,
    /// pH, likewise.
    pub ph: String,
    /// Alkalinity, likewise.
    pub alkalinity: String,
    /// All of it in a sentence.
    pub words: String,
}

/// What the first page offers to pick from.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct StartView {
    /// Kinds of unit.
    pub kinds: Vec<KindView>,
    /// Units of volume.
    pub volume_units: Vec<Choice>,
    /// How full it can be.
    pub fullness: Vec<Choice>,
    /// Kinds of source water, and the waters of the person's library.
    pub waters: Vec<Choice>,
    /// What the library knows of the water, where it is one of its.
    pub own_water: Option<OwnWaterView>,
    /// Crops.
    pub crops: Vec<CropView>,
    /// Feeds.
    pub feeds: Vec<Choice>,
    /// What lowers pH, with one that means none.
    pub ph_down: Vec<Choice>,
    /// What raises pH, with one that means none.
    pub ph_up: Vec<Choice>,
    /// What feed, pH-lowering and pH-raising product are measured with.
    pub measures: Vec<MeasureView>,
    /// Units of alkalinity.
    pub alkalinity_units: Vec<Choice>,
    /// Whether roots are in the water.
    pub roots: Vec<Choice>,
    /// What pH is read with.
    pub ph_instruments: Vec<Choice>,
    /// Units that a meter shows EC in.
    pub ec_units: Vec<Choice>,
    /// Whether feed is in already.
    pub fed: Vec<Choice>,
    /// Decimals of EC in the unit chosen.
    pub ec_decimals: usize,
    /// Turns what is typed into a value in the units chosen.
    pub reader: Reader,
    /// Whether the facts of a unit that is there already are changed.
    pub editing: bool,
    /// What does not go together among the answers, by the field that it is told beside.
    pub cautions: Vec<(super::Field, String)>,
    /// Ways to know the level; empty where they are not asked for.
    pub levels_known: Vec<Choice>,
    /// What is still missing, one sentence; none when it can begin.
    pub missing: Option<String>,
}
