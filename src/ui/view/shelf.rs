//! What the page of the shelf shows.

use super::{Choice, KeepView, LinkView, MeasureView, Reader};
use crate::ui::command::Field;
use crate::ui::state::Trouble;

/// The shelf of the open unit.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct ShelfView {
    /// Name of the unit.
    pub unit_name: String,
    /// The source water in words, one line each.
    pub water: Vec<String>,
    /// What is wrong or doubtful with it.
    pub water_troubles: Vec<String>,
    /// What stands there.
    pub rows: Vec<ShelfRow>,
    /// What is used up, which the log still speaks of: place on the shelf, and name.
    pub used_up: Vec<(usize, String)>,
    /// Products that can be added, the person's own first, then what is shipped under its purpose.
    pub add: Vec<(&'static str, Vec<Choice>)>,
    /// Whether the source water is in the person's library.
    pub is_water_shared: bool,
    /// What was taken off last, with the way back.
    pub way_back: Option<(String, LinkView)>,
    /// What is known of peroxide, which is asked for and never planned; none while it is closed.
    pub peroxide: Option<PeroxideView>,
}

/// Whether the person's library has a thing.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum InLibrary {
    /// It is not there.
    #[default]
    No,
    /// It is there as it is here.
    Same,
    /// It is there, and says something else by now.
    Otherwise,
}

/// A product on the shelf.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct ShelfRow {
    /// Its place on the shelf.
    pub place: usize,
    /// Its name.
    pub name: String,
    /// What it is for.
    pub role: String,
    /// Whether the person described it.
    pub is_own: bool,
    /// Whether it is in the person's library.
    pub in_library: InLibrary,
    /// Why plans leave it aside; none where they do not.
    pub aside: Option<&'static str>,
    /// Whether they could be made with it instead.
    pub can_lead: bool,
    /// What it holds, in words.
    pub strength: String,
    /// What one mL or g does.
    pub does: String,
    /// The parts of its feed, in the order of pouring; empty for one that is whole.
    pub parts: String,
    /// What it is measured with.
    pub tools: String,
    /// Good to know.
    pub notes: Vec<String>,
    /// What is wrong or doubtful with it.
    pub troubles: Vec<String>,
}

/// The sheet on which a product is described.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct ProductView {
    /// Heading.
    pub title: String,
    /// Whether what is inside can be changed here; else only what it is measured with.
    pub is_own: bool,
    /// Its name, of one that is not the person's own.
    pub name: String,
    /// What it holds, of one that is not the person's own.
    pub strength: String,
    /// What it may be for.
    pub roles: Vec<Choice>,
    /// Liquid or powder.
    pub forms: Vec<Choice>,
    /// What may be known of it.
    pub known: Vec<Choice>,
    /// A sentence about the one that is chosen.
    pub known_note: String,
    /// Choices that belong to what is known: name, choices and the one taken.
    pub picks: Vec<(ProductPick, &'static str, Vec<Choice>, String)>,
    /// Numbers that belong to it, in rows.
    pub numbers: Vec<SheetNumber>,
    /// Whether the label's rarer lines are offered, and whether they are open.
    pub more: Option<bool>,
    /// Salts of a recipe to pick from.
    pub salts: Vec<Choice>,
    /// Unit of the grams of a recipe.
    pub salts_unit: &'static str,
    /// Density, where it counts.
    pub density: Option<SheetNumber>,
    /// How it is kept.
    pub keep: KeepView,
    /// Rate on the label.
    pub rate: Option<SheetNumber>,
    /// The parts of its feed, where it may have some.
    pub parts: Option<PartsView>,
    /// What it is measured with; no tools to pick from for one that is of no unit.
    pub measure: MeasureView,
    /// What one mL or g does, once enough is said.
    pub does: String,
    /// Good to know.
    pub notes: Vec<String>,
    /// What is refused, or asked back; with ways out that put a number into a field.
    pub troubles: Vec<(Option<Field>, Trouble)>,
    /// Cautions of such a product.
    pub cautions: Vec<String>,
    /// What is still missing; none when it can be kept.
    pub missing: Option<String>,
    /// Turns what is typed into a value.
    pub reader: Reader,
}

/// The parts of a feed on the sheet.
#[derive(Clone, PartialEq, Debug)]
pub struct PartsView {
    /// What they are for.
    pub note: String,
    /// The parts in the order of pouring; none of a feed that is whole.
    pub rows: Vec<PartRow>,
    /// Products of the shelf that may be a part.
    pub add: Vec<Choice>,
    /// Whether another part may be told of.
    pub has_room: bool,
}

/// One part.
#[derive(Clone, PartialEq, Debug)]
pub struct PartRow {
    /// Its name.
    pub name: String,
    /// How much of it.
    pub number: SheetNumber,
    /// Whether it is the product that is described.
    pub is_this: bool,
}

/// A choice on the sheet.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum ProductPick {
    /// What a label counts in.
    Basis,
    /// Which acid.
    Acid,
    /// Which base.
    Base,
    /// How a strength is told.
    CountedIn,
    /// What holds the iron.
    Chelate,
}

/// A number on the sheet.
#[derive(Clone, PartialEq, Debug)]
pub struct SheetNumber {
    /// Its key.
    pub field: Field,
    /// Its name.
    pub label: &'static str,
    /// Its unit.
    pub unit: String,
    /// What stands in it while it is empty.
    pub hint: &'static str,
    /// The value.
    pub value: Option<f64>,
}

/// What is known of peroxide, and what an amount of it comes to.
#[derive(Clone, PartialEq, Debug)]
pub struct PeroxideView {
    /// What to do.
    pub advice: &'static str,
    /// The amount that is asked about.
    pub amount: SheetNumber,
    /// Grades to pick from, and the one picked; empty for none.
    pub grades: Vec<Choice>,
    /// Which.
    pub grade_id: String,
    /// What is still to be said before there is an answer; empty once there is one.
    pub missing: &'static str,
    /// What so much does to plants, when that is too much: a caution.
    pub stop: Option<String>,
    /// What else the amount comes to.
    pub answer: Vec<String>,
    /// What is known of any amount.
    pub known: Vec<&'static str>,
    /// Cautions.
    pub cautions: Vec<&'static str>,
    /// Turns what is typed into a value.
    pub reader: Reader,
}

/// The sheet on which the source water is described.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct WaterView {
    /// Heading.
    pub title: &'static str,
    /// Whether it has a name and a note of its own: one of the library has.
    pub is_named: bool,
    /// How it is kept.
    pub keep: KeepView,
    /// Waters of the person's library to begin from.
    pub yours: Vec<Choice>,
    /// Kinds to pick from.
    pub kinds: Vec<Choice>,
    /// How to recognise the one that is chosen.
    pub hint: String,
    /// What was read of it.
    pub readings: Vec<SheetNumber>,
    /// Lines of a report, while that is open.
    pub report: Vec<SheetNumber>,
    /// Kinds of the other water, and the one chosen, while two are mixed.
    pub other_id: Option<String>,
    /// Its share, and what was read of it.
    pub other: Vec<SheetNumber>,
    /// What follows, one sentence each.
    pub notes: Vec<String>,
    /// What every plan with it warns of.
    pub warnings: Vec<String>,
    /// What is refused or doubtful, at its field where it has one.
    pub troubles: Vec<(Option<Field>, Trouble)>,
    /// Whether it can be kept.
    pub can_keep: bool,
    /// Turns what is typed into a value.
    pub reader: Reader,
}
