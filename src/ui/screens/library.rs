//! The person's own profiles, folded below their units: what is there, what can be begun, what was deleted.

use egui::{Ui, Vec2};

use super::owned::{away_ui, folded_ui, way_back_ui};
use crate::ui::command::Command;
use crate::ui::state::{Part, ViewState};
use crate::ui::theme::space;
use crate::ui::view::LibraryView;
use crate::ui::widgets::{card, disclosure, link, quiet, rule};

/// Draws both folds.
pub(super) fn library_ui(ui: &mut Ui, library: &LibraryView, view: &mut ViewState, out: &mut Vec<Command>) {
    way_back_ui(ui, "library", library.way_back.as_ref(), out);
    let count = library.profiles.len();
    let words = if count == 0 { "Your library".to_owned() } else { format!("Your library ({count})") };
    let pressed = disclosure(ui, &words, view.is_open(Part::Library)).clicked();
    if pressed {
        view.toggle(Part::Library);
    }
    if view.is_open(Part::Library) {
        let opened = card(ui, |ui| {
            ui.spacing_mut().item_spacing = Vec2::new(space::TWO, space::HALF);
            quiet(
                ui,
                "Products, crops and waters for all your units. A unit that takes one in keeps its own copy, whatever becomes of it \
                 here",
            );
            rule(ui);
            for (place, profile) in library.profiles.iter().enumerate() {
                ui.push_id(("profile", place), |ui| away_ui(ui, profile, out));
            }
            if count > 0 {
                rule(ui);
            }
            ui.horizontal_wrapped(|ui| {
                for begin in &library.begin {
                    if link(ui, &begin.text).clicked() {
                        out.push(begin.command.clone());
                    }
                }
            });
        });
        if pressed {
            opened.response.scroll_to_me(None);
        }
    }
    let (deleted, note) = (&library.deleted, &library.deleted_note);
    folded_ui(ui, "Deleted profiles", Part::DeletedProfiles, deleted, note, view, out);
}
