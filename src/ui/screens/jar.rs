//! The jar test as a sheet: what to do, what was read so far, what to add next.

use egui::{Align, Layout, Rect, Sense, Ui, UiBuilder, Vec2};

use crate::ui::command::{Command, Field};
use crate::ui::state::ViewState;
use crate::ui::theme::{Tokens, Weight, size, space, text};
use crate::ui::view::JarView;
use crate::ui::widgets::{
    ButtonKind, NumberLook, NumberSpec, body, button_sized, caution_box, field_id, number_field, quiet, rule, subtitle,
    trouble_ui,
};

/// Width of a field in a row.
const FIELD: f32 = 120.0;
/// Room between the two columns.
const GAP: f32 = space::TWO;

/// Draws the test and its buttons.
pub(super) fn jar_ui(ui: &mut Ui, jar: &JarView, view: &mut ViewState, out: &mut Vec<Command>) {
    let tokens = Tokens::of(ui);
    // A sheet takes a frame to be there: the keyboard is offered until it is taken.
    if let Some(id) = view.jar_focus.map(field_id) {
        if ui.memory(|m| m.has_focus(id)) {
            view.jar_focus = None;
        } else {
            ui.memory_mut(|m| m.request_focus(id));
        }
    }
    quiet(ui, "Jar test");
    ui.label(text(&jar.product, size::LARGE, Weight::SemiBold, tokens.ink));
    let height = (ui.ctx().content_rect().height() - 220.0).clamp(140.0, 640.0);
    egui::ScrollArea::vertical().id_salt("jar").max_height(height).auto_shrink([false, true]).show(ui, |ui| {
        ui.set_max_width(ui.available_width() - 14.0);
        ui.spacing_mut().item_spacing.y = space::HALF;
        if !jar.why.is_empty() {
            body(ui, &jar.why);
        }
        rule(ui);
        for step in &jar.steps {
            body(ui, step);
        }
        rule(ui);
        water_row(ui, jar, view, out);
        head_row(ui, jar);
        for place in 0..jar.rows.len() {
            reading_row(ui, jar, place, view, out);
        }
        ui.add_space(space::HALF);
        ui.label(text(&jar.next, size::TITLE, Weight::SemiBold, tokens.ink));
        for caution in &jar.cautions {
            ui.add_space(2.0);
            caution_box(ui, caution);
        }
    });
    ui.add_space(space::ONE);
    ui.horizontal(|ui| {
        let kind = if jar.can_record { ButtonKind::Primary } else { ButtonKind::Soft };
        if button_sized(ui, kind, "Record the test", Vec2::new(140.0, 36.0)).clicked() {
            if jar.can_record {
                out.push(Command::RecordJar);
            } else {
                // What is missing is a reading: the keyboard goes back to where it is typed.
                let waits = jar.rows.iter().position(|row| row.ph.is_none());
                view.jar_focus = waits.and_then(|place| u8::try_from(place).ok()).map(Field::JarPh);
            }
        }
        if button_sized(ui, ButtonKind::Secondary, "Not now", Vec2::new(96.0, 36.0)).clicked() {
            out.push(Command::CloseJar);
        }
        if !jar.can_record {
            quiet(ui, "It needs a reading with at least a drop in the jar");
        }
    });
}

fn water_row(ui: &mut Ui, jar: &JarView, view: &mut ViewState, out: &mut Vec<Command>) {
    let (words_at, field_at, _) = places(ui);
    let mut words = ui.new_child(UiBuilder::new().max_rect(words_at).layout(Layout::left_to_right(Align::Center)));
    subtitle(&mut words, "Tank water in the jar");
    field(ui, field_at, (Field::JarWater, "Tank water in the jar", "L", Some(jar.water_l), 2), (jar, view), out);
    trouble(ui, Field::JarWater, view, out);
}

fn head_row(ui: &mut Ui, jar: &JarView) {
    let (words_at, amount_at, ph_at) = places(ui);
    for (rect, words) in [
        (words_at, format!("In the jar so far, {}", jar.counted_in)),
        (amount_at, "amount".to_owned()),
        (ph_at, "pH shown".to_owned()),
    ] {
        let mut child = ui.new_child(UiBuilder::new().max_rect(rect).layout(Layout::left_to_right(Align::Max)));
        quiet(&mut child, &words);
    }
}

fn reading_row(ui: &mut Ui, jar: &JarView, place: usize, view: &mut ViewState, out: &mut Vec<Command>) {
    let (Some(row), Ok(key)) = (jar.rows.get(place), u8::try_from(place)) else { return };
    let (words_at, amount_at, ph_at) = places(ui);
    let mut words = ui.new_child(UiBuilder::new().max_rect(words_at).layout(Layout::left_to_right(Align::Center)));
    match place {
        0 => body(&mut words, "Before anything goes in"),
        _ => body(&mut words, &format!("Reading {}", place + 1)),
    }
    let unit = short(&jar.counted_in);
    if place == 0 {
        let mut child = ui.new_child(UiBuilder::new().max_rect(amount_at).layout(Layout::right_to_left(Align::Center)));
        child.add_space(10.0);
        quiet(&mut child, "nothing");
    } else {
        let label = format!("In the jar at reading {}", place + 1);
        field(ui, amount_at, (Field::JarAmount(key), &label, unit, row.amount, jar.decimals), (jar, view), out);
    }
    let label = format!("pH at reading {}", place + 1);
    field(ui, ph_at, (Field::JarPh(key), &label, "", row.ph, 2), (jar, view), out);
    trouble(ui, Field::JarAmount(key), view, out);
    trouble(ui, Field::JarPh(key), view, out);
}

/// The unit in the few letters that a field has room for.
fn short(counted_in: &str) -> &str {
    counted_in.split(' ').next().unwrap_or_default()
}

/// A row with words and two fields.
fn places(ui: &mut Ui) -> (Rect, Rect, Rect) {
    let (row, _) = ui.allocate_exact_size(Vec2::new(ui.available_width(), 34.0), Sense::hover());
    let row = row.shrink2(Vec2::new(0.0, 2.0));
    let field = |right: f32| Rect::from_min_max(egui::pos2(right - FIELD, row.top()), egui::pos2(right, row.bottom()));
    let (ph, amount) = (field(row.right()), field(row.right() - FIELD - GAP));
    (row.with_max_x(amount.left() - GAP), amount, ph)
}

fn field(
    ui: &mut Ui,
    rect: Rect,
    (field, label, unit, value, decimals): (Field, &str, &str, Option<f64>, usize),
    (jar, view): (&JarView, &mut ViewState),
    out: &mut Vec<Command>,
) {
    let mut child = ui.new_child(UiBuilder::new().max_rect(rect).layout(Layout::top_down(Align::Min)));
    let read = |typed: &str| jar.reader.read(field, typed);
    let spec = NumberSpec { field, label, unit, value, decimals, hint: "", look: NumberLook::Bare, read: &read };
    if let Some(typed) = number_field(&mut child, &mut view.drafts, &spec) {
        out.push(Command::SetNumber(field, typed.value()));
    }
}

fn trouble(ui: &mut Ui, field: Field, view: &mut ViewState, out: &mut Vec<Command>) {
    let Some(trouble) = view.drafts.trouble(field).cloned() else { return };
    if let Some(offer) = trouble_ui(ui, &trouble) {
        view.drafts.settle(field);
        out.push(Command::SetNumber(field, Some(offer.value)));
    }
}
