//! The sheet on which a product is described: what it is for, what is known of it, what it is measured with.

use egui::{ScrollArea, Ui, Vec2};

use super::numbers::{number_ui, numbers_ui, per_row, troubles_ui};
use super::product_parts::parts_ui;
use super::start::columns;
use crate::ui::command::{Command, Field, ProductField, ShelfCommand};
use crate::ui::present::ProductDraft;
use crate::ui::state::{Drafts, STILL_HERE, Trouble, ViewState};
use crate::ui::theme::{Tokens, Weight, size, space, text};
use crate::ui::view::{OfferView, ProductView, SheetNumber};
use crate::ui::widgets::{
    ButtonKind, NumberLook, body, button_sized, caution_box, choice_ui, link, pick_list, quiet, rule, segmented,
    subtitle, text_field, title, trouble_ui,
};

/// Draws the sheet over the page.
pub fn product_sheet_ui(ui: &Ui, sheet: &ProductView, view: &mut ViewState, out: &mut Vec<Command>) {
    let Some(mut draft) = view.product.take() else { return };
    let before = out.len();
    let was = draft.clone();
    view.product_begun.note(view.product_sheets, &was);
    let closed = crate::ui::widgets::sheet(ui, "product", 640.0, |ui| {
        title(ui, &sheet.title);
        let height = (ui.ctx().content_rect().height() - 210.0).clamp(96.0, 720.0);
        ScrollArea::vertical()
            .id_salt(("product", view.product_sheets))
            .max_height(height)
            .auto_shrink([false, true])
            .show(ui, |ui| {
                // The scroll bar stands beside the fields.
                ui.set_max_width(ui.available_width() - 14.0);
                ui.spacing_mut().item_spacing.y = space::ONE;
                if sheet.is_own {
                    what_ui(ui, sheet, &mut draft);
                    known_ui(ui, sheet, &mut draft, &mut view.drafts);
                } else {
                    body(ui, &sheet.strength);
                    quiet(ui, &sheet.does);
                }
                if let Some(parts) = &sheet.parts {
                    parts_ui(ui, (sheet, parts), &mut draft, &mut view.drafts, out);
                }
                if !sheet.measure.tools.is_empty() {
                    measured_ui(ui, sheet, &mut draft, &mut view.drafts);
                }
                if sheet.is_own {
                    told_ui(ui, sheet);
                }
            });
        if let Some(refused) = &draft.refused {
            let _ = trouble_ui(ui, &Trouble { message: refused.clone(), offers: Vec::new() });
        }
        ui.add_space(space::HALF);
        if !sheet.keep.note.is_empty() {
            quiet(ui, sheet.keep.note);
        }
        buttons_ui(ui, sheet, out);
    });
    let mut told = draft.clone();
    told.refused = None;
    let is_filled_in = view.product_begun.is_changed(&told);
    if closed && out.len() == before && !is_filled_in {
        out.push(Command::Shelf(ShelfCommand::Close));
    }
    if draft != was {
        // It was refused as it was.
        draft.refused = None;
    }
    if closed && is_filled_in {
        draft.refused = Some(STILL_HERE.to_owned());
    }
    view.product = Some(draft);
}

fn buttons_ui(ui: &mut Ui, sheet: &ProductView, out: &mut Vec<Command>) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = space::ONE;
        let kind = if sheet.missing.is_none() { ButtonKind::Primary } else { ButtonKind::Soft };
        if button_sized(ui, kind, sheet.keep.button, Vec2::new(164.0, 36.0)).clicked() {
            out.push(Command::Shelf(ShelfCommand::Keep));
        }
        if button_sized(ui, ButtonKind::Secondary, "Cancel", Vec2::new(88.0, 36.0)).clicked() {
            out.push(Command::Shelf(ShelfCommand::Close));
        }
        if let Some(missing) = sheet.missing.as_ref().filter(|words| words.len() < 40) {
            quiet(ui, missing);
        }
    });
}

/// Its name, what it is for, and its form.
fn what_ui(ui: &mut Ui, sheet: &ProductView, draft: &mut ProductDraft) {
    quiet(ui, "Name");
    let _ = text_field(ui, "Name of the product", "Green bottle", &mut draft.name, 60);
    columns(ui, [0.56, 0.44], |ui, column| {
        if column == 0 {
            quiet(ui, "It is for");
            if let Some(id) = choice_ui(ui, "It is for", &sheet.roles, &draft.role_id) {
                draft.set_role(&id);
            }
        } else {
            quiet(ui, "It comes as");
            let chosen = if draft.is_powder { "powder" } else { "liquid" };
            if let Some(id) = choice_ui(ui, "It comes as", &sheet.forms, chosen) {
                draft.set_form(id == "powder");
            }
        }
    });
}

/// What is known of it.
fn known_ui(ui: &mut Ui, sheet: &ProductView, draft: &mut ProductDraft, drafts: &mut Drafts) {
    rule(ui);
    subtitle(ui, "What do you know of it?");
    let chosen = draft.known_id().to_owned();
    let choose = if sheet.known.len() <= 2 { segmented } else { pick_list };
    if let Some(id) = choose(ui, "What is known of it", &sheet.known, &chosen) {
        draft.set_known(&id);
    }
    if !sheet.known_note.is_empty() {
        quiet(ui, &sheet.known_note);
    }
    for (pick, name, choices, id) in &sheet.picks {
        quiet(ui, name);
        if let Some(id) = choice_ui(ui, name, choices, id) {
            draft.pick(*pick, &id);
        }
    }
    // Four fit on a wide sheet: the elements stand below each other in pairs.
    let per_row = per_row(ui);
    let told = (&sheet.reader, sheet.troubles.as_slice());
    for row in sheet.numbers.chunks(per_row) {
        numbers_ui(ui, (row, per_row), told, drafts, &mut |field, value| set(draft, field, value));
    }
    if let Some(is_open) = sheet.more
        && link(ui, if is_open { "Fewer lines" } else { "More lines: sodium, chloride, silica, trace elements" })
            .clicked()
    {
        draft.more = !is_open;
    }
    if !sheet.salts.is_empty() {
        salts_ui(ui, sheet, draft, drafts);
    }
    let others: Vec<SheetNumber> = sheet.density.iter().chain(&sheet.rate).cloned().collect();
    if !others.is_empty() {
        numbers_ui(ui, (&others, 2), told, drafts, &mut |field, value| set(draft, field, value));
    }
}

pub(super) fn set(draft: &mut ProductDraft, field: Field, value: Option<f64>) {
    if let Field::Product(field) = field
        && let Some(slot) = draft.slot(field)
    {
        *slot = value;
    }
}

/// The salts of a recipe, a row each.
fn salts_ui(ui: &mut Ui, sheet: &ProductView, draft: &mut ProductDraft, drafts: &mut Drafts) {
    let mut gone = None;
    for place in 0..draft.salts.len() {
        ui.push_id(("salt", place), |ui| {
            let Ok(key) = u8::try_from(place) else { return };
            columns(ui, [0.54, 0.28, 0.18], |ui, column| match column {
                0 => {
                    let name = format!("Salt {}", place + 1);
                    if let Some(id) = pick_list(ui, &name, &sheet.salts, &draft.salt_id(place)) {
                        draft.set_salt(place, &id);
                    }
                }
                1 => {
                    let number = SheetNumber {
                        field: Field::Product(ProductField::Salt(key)),
                        label: "Grams of it",
                        unit: sheet.salts_unit.to_owned(),
                        hint: "",
                        value: draft.salts.get(place).and_then(|(_, grams)| *grams),
                    };
                    let mut set = |field, value| set(draft, field, value);
                    number_ui(ui, &number, NumberLook::Bare, &sheet.reader, drafts, &mut set);
                }
                _ => {
                    if link(ui, "Remove").accessible_name(format!("Remove salt {}", place + 1)).clicked() {
                        gone = Some(place);
                    }
                }
            });
            let field = Field::Product(ProductField::Salt(key));
            troubles_ui(ui, field, &sheet.troubles, drafts, &mut |field, value| set(draft, field, value));
        });
    }
    if let Some(place) = gone {
        draft.remove_salt(place);
        drafts.forget_product();
    }
    if draft.has_room_for_a_salt() && link(ui, "Another salt").clicked() {
        draft.add_salt();
    }
}

/// What it is measured with.
fn measured_ui(ui: &mut Ui, sheet: &ProductView, draft: &mut ProductDraft, drafts: &mut Drafts) {
    rule(ui);
    subtitle(ui, "Measured with");
    let measure = &sheet.measure;
    if let Some(id) = pick_list(ui, "Measured with", &measure.tools, &measure.tool_id) {
        draft.set_tool(&id);
        drafts.forget_product();
    }
    if let Some((words, ways)) = &measure.refusal {
        let offers =
            ways.iter().zip(0_u8..).map(|(way, i)| OfferView { label: way.label.clone(), value: f64::from(i) });
        let trouble = Trouble { message: words.clone(), offers: offers.collect() };
        if let Some(taken) = trouble_ui(ui, &trouble)
            && let Some(way) = ways.iter().find(|way| way.label == taken.label)
        {
            draft.set_tool(&way.id);
        }
    }
    let numbers: Vec<SheetNumber> = (measure.fields.iter())
        .map(|field| SheetNumber {
            field: field.field,
            label: field.label,
            unit: field.unit.to_owned(),
            hint: field.hint,
            value: field.value,
        })
        .collect();
    if !numbers.is_empty() {
        let told = (&sheet.reader, sheet.troubles.as_slice());
        numbers_ui(ui, (&numbers, 2), told, drafts, &mut |field, value| set(draft, field, value));
    }
    if !measure.note.is_empty() {
        quiet(ui, &measure.note);
    }
}

/// What follows from all that.
fn told_ui(ui: &mut Ui, sheet: &ProductView) {
    rule(ui);
    if !sheet.does.is_empty() {
        let ink = Tokens::of(ui).ink;
        ui.label(text(&sheet.does, size::BODY, Weight::Medium, ink));
    }
    for note in &sheet.notes {
        quiet(ui, note);
    }
    for (_, trouble) in sheet.troubles.iter().filter(|(field, _)| field.is_none()) {
        let _ = trouble_ui(ui, trouble);
    }
    for caution in &sheet.cautions {
        caution_box(ui, caution);
    }
}
