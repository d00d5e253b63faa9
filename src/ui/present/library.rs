//! What is said where something is kept for one unit, or for all of them.

use crate::garden::OwnKind;
use crate::ui::state::Keeper;
use crate::ui::view::KeepView;

/// Words of the button that keeps a thing, and what becomes of units that have it already where it `is_change`.
pub(super) const fn keep_words(keeper: Keeper, kind: OwnKind, is_change: bool) -> KeepView {
    let button = match (keeper, kind) {
        (Keeper::Unit, OwnKind::Product) => "Keep it on the shelf",
        (Keeper::Unit, OwnKind::Water) => "Keep this water",
        (Keeper::Unit, OwnKind::Crop) => "Keep it",
        (Keeper::Library, _) => "Keep it in your library",
    };
    let note = match (keeper, kind, is_change) {
        (Keeper::Library, OwnKind::Product, true) => {
            "Units keep the one they have; their shelf offers this one in its place"
        }
        (Keeper::Library, OwnKind::Crop, true) => {
            "Units keep the one they have; their page of crops offers this one in its place"
        }
        (Keeper::Library, OwnKind::Water, true) => {
            "Units keep the one they have; take it again where their water is described"
        }
        _ => "",
    };
    KeepView { button, note }
}
