//! The parts of a feed on the sheet of a product: which belong together, in which order, and how much of each.

use egui::Ui;

use super::numbers::{number_ui, troubles_ui};
use super::product::set;
use super::start::columns;
use crate::ui::command::{Command, ShelfCommand};
use crate::ui::present::ProductDraft;
use crate::ui::state::Drafts;
use crate::ui::theme::space;
use crate::ui::view::{Choice, PartsView, ProductView};
use crate::ui::widgets::{NumberLook, body, link, pick_list, quiet, rule, subtitle};

/// Id of "no other product".
const NONE: &str = "";

/// Draws the parts, a row each, and the ways to another one.
pub(super) fn parts_ui(
    ui: &mut Ui,
    (sheet, parts): (&ProductView, &PartsView),
    draft: &mut ProductDraft,
    drafts: &mut Drafts,
    out: &mut Vec<Command>,
) {
    rule(ui);
    subtitle(ui, "Parts of one feed");
    quiet(ui, &parts.note);
    let (mut up, mut gone) = (None, None);
    for (place, row) in parts.rows.iter().enumerate() {
        ui.push_id(("part", place), |ui| {
            columns(ui, [0.46, 0.26, 0.28], |ui, column| match column {
                0 => {
                    // In the middle of the field beside it.
                    ui.add_space(space::HALF);
                    body(ui, &format!("{}. {}", place + 1, row.name));
                }
                1 => {
                    let mut set = |field, value| set(draft, field, value);
                    number_ui(ui, &row.number, NumberLook::Bare, &sheet.reader, drafts, &mut set);
                }
                _ => {
                    ui.horizontal(|ui| {
                        ui.spacing_mut().item_spacing.x = space::ONE_HALF;
                        let earlier = format!("Pour part {} earlier", place + 1);
                        if place > 0 && link(ui, "Earlier").accessible_name(earlier).clicked() {
                            up = Some(place);
                        }
                        let leave = format!("Leave part {} out", place + 1);
                        if link(ui, "Leave out").accessible_name(leave).clicked() {
                            gone = Some(place);
                        }
                    });
                }
            });
            troubles_ui(ui, row.number.field, &sheet.troubles, drafts, &mut |field, value| set(draft, field, value));
        });
    }
    if let Some(place) = up {
        draft.move_part_up(place);
        drafts.forget_product();
    }
    if let Some(place) = gone {
        draft.leave_part_out(place);
        drafts.forget_product();
    }
    if !parts.has_room {
        return;
    }
    if !parts.add.is_empty() {
        let none = if parts.rows.is_empty() { "Nothing: it is a whole feed" } else { "Nothing else" };
        let choices: Vec<Choice> = std::iter::once(Choice::new(NONE, none)).chain(parts.add.clone()).collect();
        quiet(ui, "Poured together with");
        if let Some(id) = pick_list(ui, "Poured together with", &choices, NONE)
            && id != NONE
        {
            out.push(Command::Shelf(ShelfCommand::AddPart(id)));
        }
    }
    if link(ui, "Keep it, and describe another part next").clicked() {
        out.push(Command::Shelf(ShelfCommand::KeepAndNext));
    }
}
