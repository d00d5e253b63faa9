//! What the page of crops shows: the list, one crop with what its sources say, and a crop of one's own being written.

use super::{Choice, KeepView, LinkView, Reader};

/// The page of crops.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct CropsView {
    /// Name of the unit.
    pub unit_name: String,
    /// The list, by group; what grows stands on top.
    pub groups: Vec<CropGroupView>,
    /// The same for a pick list.
    pub choices: Vec<Choice>,
    /// What was said last on this page, such as what keeps a crop from being removed.
    pub said: Option<String>,
    /// The crop looked at.
    pub crop: CropSheetView,
    /// The crop of one's own that is being written.
    pub form: Option<CropFormView>,
}

/// A heading and what stands under it.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct CropGroupView {
    /// The heading.
    pub name: String,
    /// The crops.
    pub rows: Vec<CropRowView>,
}

/// A crop in the list.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct CropRowView {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// What marks it, such as "yours"; empty for most.
    pub mark: String,
    /// Whether it is the one looked at.
    pub is_shown: bool,
}

/// A crop, all that is known of it.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct CropSheetView {
    /// Its name.
    pub name: String,
    /// What marks it, such as "yours".
    pub mark: String,
    /// Botanical name and group.
    pub kind: String,
    /// Other names in a line, if it has any.
    pub also: Option<String>,
    /// Where and how it grows in this unit, if it does.
    pub grows: Option<String>,
    /// What can be done with it, the foremost first.
    pub actions: Vec<LinkView>,
    /// Its stages.
    pub stages: Vec<Choice>,
    /// The stage looked at.
    pub stage_id: String,
    /// The working zone's pH, such as "5.5–6.5".
    pub zone_ph: String,
    /// The working zone's EC in the person's scale, such as "1.2–1.8".
    pub zone_ec: String,
    /// That scale.
    pub ec_unit: String,
    /// Whether the source water counts.
    pub counts: String,
    /// How the zone comes about, one sentence each.
    pub why: Vec<String>,
    /// What the sources say.
    pub claims: ClaimsView,
    /// How much salt it bears, and by which source.
    pub salt: Option<(String, String)>,
    /// What speaks against the zone and belongs to no row, with a caution.
    pub against: Vec<String>,
    /// Anything else.
    pub note: Option<String>,
}

/// What each source says, against two common axes.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct ClaimsView {
    /// pH.
    pub ph: AxisView,
    /// EC.
    pub ec: AxisView,
    /// One row a claim.
    pub rows: Vec<ClaimView>,
    /// What to say where there is none.
    pub none: Option<String>,
}

/// An axis with the working zone on it; places are shares of its length.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct AxisView {
    /// What it shows.
    pub title: String,
    /// Its unit; empty for pH.
    pub unit: String,
    /// Places and figures.
    pub ticks: Vec<(f32, String)>,
    /// The working zone.
    pub zone: (f32, f32),
}

/// What one source says.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct ClaimView {
    /// The source.
    pub source: String,
    /// Kind of evidence, and what else to know.
    pub kind: String,
    /// pH.
    pub ph: Option<BandView>,
    /// EC.
    pub ec: Option<BandView>,
    /// That it is shown and not used for the zone.
    pub unused: Option<String>,
    /// What it says against the zone.
    pub against: Vec<String>,
}

/// A band as a bar on an axis.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct BandView {
    /// Where it starts; none when the source gives an upper limit only.
    pub low: Option<f32>,
    /// Where it ends.
    pub high: f32,
    /// In figures.
    pub text: String,
    /// How it is drawn.
    pub look: BarLook,
}

/// What a bar is.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum BarLook {
    /// It has a part in the zone, or agrees with it.
    #[default]
    Counts,
    /// It disagrees.
    Against,
    /// It is shown, but not used.
    Unused,
    /// No difference was found from one end to the other.
    Plateau,
}

/// A crop of one's own that is being written.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct CropFormView {
    /// What is done, such as "Basil, changed for you".
    pub title: String,
    /// What to know of it.
    pub note: String,
    /// How it is kept.
    pub keep: KeepView,
    /// Groups to choose from; empty when it is given by what it is made from.
    pub groups: Vec<Choice>,
    /// Unit of EC.
    pub ec_unit: String,
    /// Decimals of EC.
    pub ec_decimals: usize,
    /// What to know of each stage, in order: what is left open, what is narrow.
    pub remarks: Vec<Vec<String>>,
    /// Whether there is room for another stage.
    pub has_room: bool,
    /// Turns what is typed into a value.
    pub reader: Reader,
}
