//! What the page of the person's units shows.

use std::path::PathBuf;

use super::{Command, KindPicture, LinkView};

/// The page.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct UnitsView {
    /// How many there are, in words.
    pub count: String,
    /// What stands in the place of the units while nothing is read yet.
    pub reading: Option<String>,
    /// What was done last, with the way back.
    pub way_back: Option<(String, Option<LinkView>)>,
    /// Why units may be missing, such as a folder that cannot be read.
    pub problem: Option<String>,
    /// The person's units, those of late first.
    pub cards: Vec<CardView>,
    /// The invented examples.
    pub examples: Vec<CardView>,
    /// Units put away for later.
    pub archived: Vec<AwayView>,
    /// Units deleted and not thrown away since.
    pub deleted: Vec<AwayView>,
    /// Where those lie.
    pub deleted_note: String,
    /// The person's own profiles.
    pub profiles: LibraryView,
}

/// One unit on a card.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct CardView {
    /// The file; none for an example, and for a unit that has none yet.
    pub path: Option<PathBuf>,
    /// Its name.
    pub name: String,
    /// How its kind is drawn; none for a file that cannot be read.
    pub picture: Option<KindPicture>,
    /// Kind and size, or what an example shows.
    pub line: String,
    /// What grows.
    pub crops: String,
    /// The last reading with its age.
    pub reading: String,
    /// What is due.
    pub due: Option<String>,
    /// Why it cannot be read.
    pub broken: Option<String>,
    /// Whether it is open, and on disk.
    pub state: String,
    /// What pressing it asks for.
    pub open: Option<Command>,
    /// What else can be done with it.
    pub menu: Vec<LinkView>,
    /// A door beside it, such as "Start my own".
    pub door: Option<LinkView>,
}

/// How something that is described is kept.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct KeepView {
    /// What the button says.
    pub button: &'static str,
    /// What becomes of units that have it already; empty where that is no question.
    pub note: &'static str,
}

/// The person's own profiles.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct LibraryView {
    /// What was done last, with the way back.
    pub way_back: Option<(String, Option<LinkView>)>,
    /// What is there, also what cannot be used.
    pub profiles: Vec<AwayView>,
    /// What can be begun.
    pub begin: Vec<LinkView>,
    /// What was deleted and not thrown away since.
    pub deleted: Vec<AwayView>,
    /// Where that lies.
    pub deleted_note: String,
}

/// A file in a folded list.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct AwayView {
    /// Its name.
    pub name: String,
    /// What is to be said of it, such as why it cannot be used.
    pub note: String,
    /// Whether that is a reason it cannot be used.
    pub is_broken: bool,
    /// What can be done with it.
    pub links: Vec<LinkView>,
}
