//! The sheet on which the source water is described.

use egui::{ScrollArea, Ui, Vec2};

use super::numbers::{numbers_ui, per_row};
use crate::garden::LONGEST_NAME;
use crate::ui::command::{Command, Field, Mixed, ShelfCommand};
use crate::ui::present::WaterDraft;
use crate::ui::state::{Drafts, STILL_HERE, Trouble, ViewState};
use crate::ui::theme::space;
use crate::ui::view::{SheetNumber, WaterView};
use crate::ui::widgets::{
    ButtonKind, button_sized, caution_box, link, pick_list, quiet, rule, subtitle, text_field, title, trouble_ui,
};

/// Letters of a note on a water. Ours: a line or two.
const LONGEST_NOTE: usize = 200;

/// Draws the sheet over the page.
pub fn water_sheet_ui(ui: &Ui, sheet: &WaterView, view: &mut ViewState, out: &mut Vec<Command>) {
    let Some(mut draft) = view.water.take() else { return };
    let before = out.len();
    let was = draft.clone();
    view.water_begun.note(view.product_sheets, &was);
    let mut taken = None;
    let closed = crate::ui::widgets::sheet(ui, "water", 640.0, |ui| {
        title(ui, sheet.title);
        let height = (ui.ctx().content_rect().height() - 210.0).clamp(96.0, 720.0);
        ScrollArea::vertical().id_salt("water").max_height(height).auto_shrink([false, true]).show(ui, |ui| {
            // The scroll bar stands beside the fields.
            ui.set_max_width(ui.available_width() - 14.0);
            ui.spacing_mut().item_spacing.y = space::ONE;
            if sheet.is_named {
                quiet(ui, "Name");
                let _ = text_field(ui, "Name of the water", "Rain barrel", &mut draft.name, LONGEST_NAME);
            }
            told_ui(ui, sheet, &mut draft, &mut view.drafts, &mut taken);
            report_ui(ui, sheet, &mut draft, &mut view.drafts);
            mix_ui(ui, sheet, &mut draft, &mut view.drafts);
            if sheet.is_named {
                rule(ui);
                quiet(ui, "Anything else");
                let hint = "Where it was drawn, when it was analysed";
                let _ = text_field(ui, "Note on the water", hint, &mut draft.note, LONGEST_NOTE);
            }
            follows_ui(ui, sheet);
        });
        if let Some(refused) = &draft.refused {
            let _ = trouble_ui(ui, &Trouble { message: refused.clone(), offers: Vec::new() });
        }
        ui.add_space(space::HALF);
        if !sheet.keep.note.is_empty() {
            quiet(ui, sheet.keep.note);
        }
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = space::ONE;
            let kind = if sheet.can_keep { ButtonKind::Primary } else { ButtonKind::Soft };
            if button_sized(ui, kind, sheet.keep.button, Vec2::new(140.0, 36.0)).clicked() {
                out.push(Command::Shelf(ShelfCommand::KeepWater));
            }
            if button_sized(ui, ButtonKind::Secondary, "Cancel", Vec2::new(88.0, 36.0)).clicked() {
                out.push(Command::Shelf(ShelfCommand::Close));
            }
        });
    });
    let mut told = draft.clone();
    told.refused = None;
    let is_filled_in = view.water_begun.is_changed(&told);
    if closed && out.len() == before && !is_filled_in {
        out.push(Command::Shelf(ShelfCommand::Close));
    }
    if draft != was {
        draft.refused = None;
    }
    if closed && is_filled_in {
        draft.refused = Some(STILL_HERE.to_owned());
    }
    view.water = Some(draft);
    if let Some(id) = taken {
        out.push(Command::Shelf(ShelfCommand::TakeWater(id)));
    }
}

fn rows_ui(ui: &mut Ui, numbers: &[SheetNumber], sheet: &WaterView, draft: &mut WaterDraft, drafts: &mut Drafts) {
    let per_row = per_row(ui);
    for row in numbers.chunks(per_row) {
        numbers_ui(ui, (row, per_row), (&sheet.reader, &sheet.troubles), drafts, &mut |field, value| {
            if let Field::Water(field) = field {
                draft.set(field, value);
            }
        });
    }
}

fn told_ui(ui: &mut Ui, sheet: &WaterView, draft: &mut WaterDraft, drafts: &mut Drafts, taken: &mut Option<String>) {
    if !sheet.yours.is_empty() {
        quiet(ui, "One of your waters");
        if let Some(id) = pick_list(ui, "One of your waters", &sheet.yours, "") {
            *taken = Some(id);
        }
    }
    quiet(ui, "Kind");
    if let Some(id) = pick_list(ui, "Kind of water", &sheet.kinds, &draft.kind_id()) {
        draft.set_kind(Mixed::Source, &id);
    }
    if !sheet.hint.is_empty() {
        quiet(ui, &sheet.hint);
    }
    rows_ui(ui, &sheet.readings, sheet, draft, drafts);
}

fn report_ui(ui: &mut Ui, sheet: &WaterView, draft: &mut WaterDraft, drafts: &mut Drafts) {
    rule(ui);
    subtitle(ui, "A report of the supplier or a laboratory");
    if !draft.has_report {
        if link(ui, "Type a report in").clicked() {
            draft.toggle_report();
        }
        return;
    }
    quiet(ui, "A unit behind a number is read too: 40 mg/L as CaCO3, 2 mmol/L, 5 mg/L as N, 9 °dH");
    rows_ui(ui, &sheet.report, sheet, draft, drafts);
    if link(ui, "Leave the report out").clicked() {
        draft.toggle_report();
    }
}

fn mix_ui(ui: &mut Ui, sheet: &WaterView, draft: &mut WaterDraft, drafts: &mut Drafts) {
    rule(ui);
    subtitle(ui, "Mixed with another water");
    let Some(other_id) = &sheet.other_id else {
        if link(ui, "Two waters are mixed in it").clicked() {
            draft.toggle_mix();
        }
        return;
    };
    quiet(ui, "All above tells of the first water alone");
    if let Some(id) = pick_list(ui, "Kind of the other water", &sheet.kinds, other_id) {
        draft.set_kind(Mixed::Other, &id);
    }
    rows_ui(ui, &sheet.other, sheet, draft, drafts);
    if link(ui, "It is not mixed").clicked() {
        draft.toggle_mix();
    }
}

/// What follows from all that.
fn follows_ui(ui: &mut Ui, sheet: &WaterView) {
    let unplaced = sheet.troubles.iter().filter(|(field, _)| field.is_none());
    if sheet.notes.is_empty() && sheet.warnings.is_empty() && unplaced.clone().next().is_none() {
        return;
    }
    rule(ui);
    for (_, trouble) in unplaced {
        let _ = trouble_ui(ui, trouble);
    }
    for note in &sheet.notes {
        quiet(ui, note);
    }
    for warning in &sheet.warnings {
        caution_box(ui, warning);
    }
}
