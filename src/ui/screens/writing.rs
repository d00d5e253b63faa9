//! The sheet on which something that happened is written into the log, or an entry of it is mended.

use egui::{Align, Layout, ScrollArea, Ui, Vec2};

use crate::ui::command::{Command, Field, LogField};
use crate::ui::state::{Drafts, PourLine, Sheet, Trouble, ViewState, When, Writing};
use crate::ui::theme::space;
use crate::ui::view::{Choice, SheetFields, WritingView};
use crate::ui::widgets::{
    ButtonKind, NumberLook, NumberSpec, button_sized, caution_box, link, number_field, pick_list, quiet, segmented,
    subtitle, text_field, title, trouble_ui,
};

/// Most products on one sheet. Ours: no recipe for a home unit has more.
const MOST_LINES: usize = 8;
/// Width of an amount beside its product.
const AMOUNT: f32 = 132.0;

/// Draws the sheet over the page.
pub fn writing_sheet_ui(ui: &Ui, sheet: &WritingView, view: &mut ViewState, out: &mut Vec<Command>) {
    let Some(mut writing) = view.writing.take() else { return };
    let before = out.len();
    let closed = crate::ui::widgets::sheet(ui, "writing", 520.0, |ui| {
        title(ui, &sheet.title);
        quiet(ui, &sheet.note);
        let height = (ui.ctx().content_rect().height() - 230.0).clamp(96.0, 560.0);
        ScrollArea::vertical().max_height(height).auto_shrink([false, true]).show(ui, |ui| {
            // The scroll bar stands beside the fields.
            ui.set_max_width(ui.available_width() - 14.0);
            ui.spacing_mut().item_spacing.y = space::ONE;
            fields_ui(ui, sheet, &mut writing, &mut view.drafts);
            when_ui(ui, sheet, &mut writing, &mut view.drafts);
        });
        if let Some(refused) = &writing.refused {
            let _ = trouble_ui(ui, &Trouble { message: refused.clone(), offers: Vec::new() });
        }
        ui.add_space(space::HALF);
        buttons_ui(ui, &writing, out);
    });
    if closed && out.len() == before {
        out.push(Command::CloseWriting);
    }
    view.writing = Some(writing);
}

fn buttons_ui(ui: &mut Ui, writing: &Writing, out: &mut Vec<Command>) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = space::ONE;
        let done = match writing.sheet {
            Sheet::New => "Write it down",
            Sheet::Mend(_) => "Keep it so",
        };
        if button_sized(ui, ButtonKind::Primary, done, Vec2::new(120.0, 36.0)).clicked() {
            out.push(Command::WriteDown);
        }
        if button_sized(ui, ButtonKind::Secondary, "Cancel", Vec2::new(88.0, 36.0)).clicked() {
            out.push(Command::CloseWriting);
        }
        if let Sheet::Mend(index) = writing.sheet
            && button_sized(ui, ButtonKind::Secondary, "It never happened: remove it", Vec2::new(216.0, 36.0)).clicked()
        {
            out.push(Command::RemoveEntry(index));
        }
    });
}

fn fields_ui(ui: &mut Ui, sheet: &WritingView, writing: &mut Writing, drafts: &mut Drafts) {
    let volume = |field, label| Asked { field, label, unit: &sheet.volume_unit, decimals: 2 };
    let added = volume(LogField::Added, "Source water added");
    let taken = volume(LogField::Taken, "Solution taken out");
    let filled = volume(LogField::Filled, "Filled afresh with");
    match sheet.fields {
        SheetFields::New => {
            subtitle(ui, "Poured");
            lines_ui(ui, sheet, writing, drafts);
            ui.add_space(space::HALF);
            subtitle(ui, "Water");
            row_ui(ui, &[added, taken, filled], sheet, writing, drafts);
            cautions_ui(ui, &sheet.water_cautions);
            ui.add_space(space::HALF);
            note_ui(ui, "A note", &mut writing.note);
        }
        SheetFields::Reading => {
            let (ec, degrees) = (&sheet.ec_unit, &sheet.temperature_unit);
            let asked = [
                Asked { field: LogField::Ph, label: "pH", unit: "", decimals: 2 },
                Asked { field: LogField::Ec, label: "EC", unit: ec, decimals: sheet.ec_decimals },
            ];
            row_ui(ui, &asked, sheet, writing, drafts);
            let asked = [
                Asked { field: LogField::Temperature, label: "Water", unit: degrees, decimals: 1 },
                volume(LogField::Level, "Level"),
            ];
            row_ui(ui, &asked, sheet, writing, drafts);
        }
        SheetFields::Pour => lines_ui(ui, sheet, writing, drafts),
        SheetFields::Added => row_ui(ui, &[added], sheet, writing, drafts),
        SheetFields::Taken => row_ui(ui, &[taken], sheet, writing, drafts),
        SheetFields::Swapped => {
            row_ui(ui, &[volume(LogField::Taken, "Solution changed for source water")], sheet, writing, drafts);
        }
        SheetFields::Filled => row_ui(ui, &[filled], sheet, writing, drafts),
        SheetFields::Jar => quiet(
            ui,
            "What was read in the jar is done again rather than mended: remove the entry and make another test",
        ),
        SheetFields::Note => note_ui(ui, "Note", &mut writing.note),
    }
    if !matches!(sheet.fields, SheetFields::New) {
        cautions_ui(ui, &sheet.water_cautions);
    }
}

fn cautions_ui(ui: &mut Ui, cautions: &[String]) {
    for caution in cautions {
        caution_box(ui, caution);
    }
}

/// Products with their amounts; on a new sheet there may be several.
fn lines_ui(ui: &mut Ui, sheet: &WritingView, writing: &mut Writing, drafts: &mut Drafts) {
    if sheet.products.is_empty() {
        quiet(ui, "There is nothing on your shelf");
        return;
    }
    let is_new = writing.sheet == Sheet::New;
    let several = writing.lines.len() > 1;
    let mut removed = None;
    for (place, (line, seen)) in writing.lines.iter_mut().zip(&sheet.lines).enumerate() {
        ui.push_id(("line", place), |ui| {
            line_ui(ui, (place, several), sheet, line, &seen.unit, drafts, || removed = Some(place));
        });
        let field = Field::Log(LogField::Amount(place));
        taken_offer(ui, drafts, field, |value| line.amount = Some(value));
        cautions_ui(ui, &seen.cautions);
    }
    if let Some(place) = removed {
        writing.lines.remove(place);
        // Drafts are kept by place, and the places have moved.
        drafts.forget_log();
    }
    if is_new && writing.lines.len() < MOST_LINES && link(ui, "Another product").clicked() {
        let taken = |id: &str| writing.lines.iter().any(|line| line.product_id == id);
        let free = sheet.products.iter().find(|product| !taken(&product.id)).or(sheet.products.first());
        let product_id = free.map(|product| product.id.clone()).unwrap_or_default();
        writing.lines.push(PourLine { product_id, amount: None });
    }
}

fn line_ui(
    ui: &mut Ui,
    (place, several): (usize, bool),
    sheet: &WritingView,
    line: &mut PourLine,
    unit: &str,
    drafts: &mut Drafts,
    remove: impl FnOnce(),
) {
    let row = Vec2::new(ui.available_width(), space::PRESS);
    ui.allocate_ui_with_layout(row, Layout::right_to_left(Align::Center), |ui| {
        ui.set_min_size(row);
        ui.spacing_mut().item_spacing.x = space::ONE;
        if several && link(ui, "Remove").accessible_name(format!("Remove line {}", place + 1)).clicked() {
            remove();
        }
        let at = ui.allocate_ui_with_layout(Vec2::new(AMOUNT, 30.0), Layout::top_down(Align::Min), |ui| {
            let field = Field::Log(LogField::Amount(place));
            let read = |typed: &str| sheet.reader.read(field, typed);
            let label = format!("Amount poured, line {}", place + 1);
            let spec = NumberSpec {
                field,
                label: &label,
                unit,
                value: line.amount,
                decimals: 2,
                hint: "how much",
                look: NumberLook::Bare,
                read: &read,
            };
            number_field(ui, drafts, &spec)
        });
        if let Some(typed) = at.inner {
            line.amount = typed.value();
        }
        ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
            let name = format!("Product poured, line {}", place + 1);
            if let Some(id) = pick_list(ui, &name, &sheet.products, &line.product_id) {
                // Millilitres of one are no grams of another.
                line.product_id = id;
                line.amount = None;
                drafts.settle(Field::Log(LogField::Amount(place)));
            }
        });
    });
}

/// A field that is asked for.
#[derive(Clone, Copy)]
struct Asked<'a> {
    field: LogField,
    label: &'a str,
    unit: &'a str,
    decimals: usize,
}

/// Fields side by side.
fn row_ui(ui: &mut Ui, asked: &[Asked<'_>], sheet: &WritingView, writing: &mut Writing, drafts: &mut Drafts) {
    let gap = space::ONE;
    // Where there is no room for labels side by side they stand one below the other.
    let per_row = if ui.available_width() < 150.0 * asked.len() as f32 { 1 } else { asked.len() };
    for asked in asked.chunks(per_row.max(1)) {
        let width = (ui.available_width() - gap * (asked.len() as f32 - 1.0)) / asked.len() as f32;
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = gap;
            for asked in asked {
                ui.allocate_ui_with_layout(Vec2::new(width, 58.0), Layout::top_down(Align::Min), |ui| {
                    ui.set_width(width);
                    number_ui(ui, asked, sheet, writing, drafts);
                });
            }
        });
        for asked in asked {
            taken_offer(ui, drafts, Field::Log(asked.field), |value| *slot(writing, asked.field) = Some(value));
        }
    }
}

fn number_ui(ui: &mut Ui, asked: &Asked<'_>, sheet: &WritingView, writing: &mut Writing, drafts: &mut Drafts) {
    ui.spacing_mut().item_spacing.y = space::HALF;
    let field = Field::Log(asked.field);
    let read = |typed: &str| sheet.reader.read(field, typed);
    let value = *slot(writing, asked.field);
    let spec = NumberSpec {
        field,
        label: asked.label,
        unit: asked.unit,
        value,
        decimals: asked.decimals,
        hint: "",
        look: NumberLook::Line,
        read: &read,
    };
    if let Some(typed) = number_field(ui, drafts, &spec) {
        *slot(writing, asked.field) = typed.value();
    }
}

/// Where a field's value is kept. The amounts of products have places of their own.
fn slot(writing: &mut Writing, field: LogField) -> &mut Option<f64> {
    match field {
        LogField::Added => &mut writing.added,
        LogField::Taken => &mut writing.taken,
        LogField::Filled => &mut writing.filled,
        LogField::Ph => &mut writing.ph,
        LogField::Ec => &mut writing.ec,
        LogField::Temperature => &mut writing.temperature,
        LogField::Level => &mut writing.level,
        LogField::Minutes | LogField::Amount(_) => &mut writing.minutes,
    }
}

/// What is wrong with a field, and what becomes of an offer that is taken.
fn taken_offer(ui: &mut Ui, drafts: &mut Drafts, field: Field, take: impl FnOnce(f64)) {
    let Some(trouble) = drafts.trouble(field).cloned() else { return };
    if let Some(offer) = trouble_ui(ui, &trouble) {
        drafts.settle(field);
        take(offer.value);
    }
}

fn when_ui(ui: &mut Ui, sheet: &WritingView, writing: &mut Writing, drafts: &mut Drafts) {
    ui.add_space(space::HALF);
    subtitle(ui, "When");
    if writing.sheet == Sheet::New {
        let choices: Vec<Choice> = sheet.when.iter().map(|(_, choice)| choice.clone()).collect();
        let chosen = sheet.when.iter().find(|(when, _)| *when == writing.when);
        let chosen = chosen.map(|(_, choice)| choice.id.clone()).unwrap_or_default();
        if let Some(id) = segmented(ui, "When it happened", &choices, &chosen)
            && let Some((when, _)) = sheet.when.iter().find(|(_, choice)| choice.id == id)
        {
            writing.when = *when;
        }
    }
    match writing.when {
        When::Now => {}
        When::Ago => {
            let asked = [Asked { field: LogField::Minutes, label: "Minutes ago", unit: "min", decimals: 0 }];
            row_ui(ui, &asked, sheet, writing, drafts);
        }
        When::At => {
            let _ = text_field(ui, "Time of day", "08:45", &mut writing.time, 12);
        }
    }
    if let Some(trouble) = &sheet.when_trouble {
        let _ = trouble_ui(ui, &Trouble { message: trouble.clone(), offers: Vec::new() });
    }
}

fn note_ui(ui: &mut Ui, label: &str, note: &mut String) {
    subtitle(ui, label);
    let _ = text_field(ui, label, "two leaves pale", note, 400);
}
