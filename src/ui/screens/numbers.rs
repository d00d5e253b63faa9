//! Rows of numbers on a sheet, each with what is wrong with it below the row.

use egui::{Align, Layout, Ui, Vec2};

use crate::ui::command::Field;
use crate::ui::state::{Drafts, Trouble};
use crate::ui::theme::space;
use crate::ui::view::{OfferView, Reader, SheetNumber};
use crate::ui::widgets::{NumberLook, NumberSpec, number_field, trouble_ui};

/// Narrowest that a number with its name gets.
const NUMBER: f32 = 104.0;

/// Troubles that the whole of a sheet makes, each at its field.
pub(super) type Troubles = [(Option<Field>, Trouble)];

/// How many numbers stand in a row: as many as fit, up to four, else two.
pub(super) fn per_row(ui: &Ui) -> usize {
    if ui.available_width() >= 4.0 * NUMBER + 3.0 * space::ONE_HALF { 4 } else { 2 }
}

/// Draws a row of at most `per_row` numbers; `set` keeps what was entered.
pub(super) fn numbers_ui(
    ui: &mut Ui,
    (row, per_row): (&[SheetNumber], usize),
    (reader, troubles): (&Reader, &Troubles),
    drafts: &mut Drafts,
    set: &mut dyn FnMut(Field, Option<f64>),
) {
    let width = (ui.available_width() - space::ONE_HALF * (per_row as f32 - 1.0)) / per_row as f32;
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing = Vec2::new(space::ONE_HALF, space::HALF);
        for number in row {
            ui.allocate_ui_with_layout(Vec2::new(width, 58.0), Layout::top_down(Align::Min), |ui| {
                ui.set_width(width);
                number_ui(ui, number, NumberLook::Line, reader, drafts, set);
            });
        }
    });
    for number in row {
        troubles_ui(ui, number.field, troubles, drafts, set);
    }
}

/// Draws one number.
pub(super) fn number_ui(
    ui: &mut Ui,
    number: &SheetNumber,
    look: NumberLook,
    reader: &Reader,
    drafts: &mut Drafts,
    set: &mut dyn FnMut(Field, Option<f64>),
) {
    let read = |typed: &str| reader.read(number.field, typed);
    let spec = NumberSpec {
        field: number.field,
        label: number.label,
        unit: &number.unit,
        value: number.value,
        decimals: 3,
        hint: number.hint,
        look,
        read: &read,
    };
    if let Some(typed) = number_field(ui, drafts, &spec) {
        set(number.field, typed.value());
    }
}

/// What is wrong with a field: as typed, or by what the whole of the sheet makes of it.
pub(super) fn troubles_ui(
    ui: &mut Ui,
    field: Field,
    troubles: &Troubles,
    drafts: &mut Drafts,
    set: &mut dyn FnMut(Field, Option<f64>),
) {
    let typed = drafts.trouble(field).cloned();
    let made = troubles.iter().filter(|(at, _)| *at == Some(field)).map(|(_, trouble)| trouble.clone());
    let mut taken: Option<OfferView> = None;
    for trouble in typed.into_iter().chain(made) {
        taken = trouble_ui(ui, &trouble).or(taken);
    }
    if let Some(offer) = taken {
        drafts.settle(field);
        set(field, Some(offer.value));
    }
}
