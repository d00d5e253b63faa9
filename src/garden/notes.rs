//! What is said of a product that stands beside its pour, too, and not on the shelf alone.
//!
//! Few notes do. Left to the shelf are those that a plan has counted already, as a spread or as a guess that its range and its
//! jar test tell of (a strength or a density that is not known, a form of nitrogen that a label keeps to itself, ions that do
//! not balance, the counter-ions of chelates), and those that matter when a product is chosen and not when it is poured (sodium
//! that stays). Beside the pour stand those after which a person would read the meter otherwise, or do something else.

use super::dissolve::Dissolved;

/// EC is read to tell how much feed is in the water, and of this it tells nothing.
pub(super) const UREA: &str = "Urea does not show on an EC meter: the reading understates this feed.";
/// The next reading is no wrong meter and no forgotten pour.
pub(super) const CITRIC: &str = "Citric acid is eaten by microbes within days, so pH comes back.";
/// What has settled is not poured.
pub(super) const FALLS_OUT: &str = "Calcium with this much sulfate or phosphate would fall out in the bottle.";
/// A caution: it belongs beside the step that it is needed at.
pub(super) const STRONG_PHOSPHORIC: &str =
    "Phosphoric acid above 25 % burns skin and eyes: goggles and gloves, and dilute it first.";

impl Dissolved {
    /// The notes that stand beside a pour of it.
    pub fn notes_beside_pour(&self) -> impl Iterator<Item = &String> {
        self.notes.iter().filter(|note| [UREA, CITRIC, FALLS_OUT].contains(&note.as_str()))
    }

    /// Those among its notes that are cautions.
    pub fn cautions_beside_pour(&self) -> impl Iterator<Item = &String> {
        self.notes.iter().filter(|note| *note == STRONG_PHOSPHORIC)
    }
}
