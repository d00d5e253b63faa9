//! Typing a reading: the same fields in the facts and in the strip after a pour.

use egui::{Align, Key, Layout, Rect, Ui, UiBuilder, Vec2};

use crate::ui::command::{Command, Field};
use crate::ui::state::ViewState;
use crate::ui::theme::{Tokens, Weight, size, space, text};
use crate::ui::view::ReadingView;
use crate::ui::widgets::{
    ButtonKind, Entry, NumberLook, NumberSpec, button_sized, caution_box, field_id, link, number_field, plain_number,
    trouble_height, trouble_ui,
};

/// Where the fields stand: each place has fields of its own, over the same values.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum ReadingPlace {
    /// In the left column.
    Facts,
    /// In the strip, after a pour.
    Strip,
}

/// Height kept free under the fields for what is wrong, so that nothing jumps.
const RESERVED: f32 = 32.0;
/// Width of the button that records.
const RECORD: f32 = 124.0;

/// Fields for pH, EC and (in the facts) temperature, with the button that records them.
pub fn reading_fields(
    ui: &mut Ui,
    reading: &ReadingView,
    place: ReadingPlace,
    view: &mut ViewState,
    out: &mut Vec<Command>,
) {
    let fields: &[Field] = match place {
        ReadingPlace::Facts => &[Field::ReadingPh, Field::ReadingEc, Field::ReadingTemperature],
        ReadingPlace::Strip => &[Field::AfterPh, Field::AfterEc],
    };
    let gap = space::ONE;
    let button = if place == ReadingPlace::Strip { RECORD + space::TWO } else { 0.0 };
    let width = (ui.available_width() - button - gap * (fields.len() as f32 - 1.0)) / fields.len() as f32;
    let (row, _) = ui.allocate_exact_size(Vec2::new(ui.available_width(), 52.0), egui::Sense::hover());
    for (i, &field) in fields.iter().enumerate() {
        let at =
            Rect::from_min_size(row.min + Vec2::new((width + gap) * i as f32, 0.0), Vec2::new(width, row.height()));
        let mut child = ui.new_child(UiBuilder::new().max_rect(at).layout(Layout::top_down(Align::Min)));
        one_field(&mut child, field, reading, view, out);
    }
    if place == ReadingPlace::Strip {
        let mut child = ui.new_child(UiBuilder::new().max_rect(row).layout(Layout::right_to_left(Align::Center)));
        record_button(&mut child, ButtonKind::Soft, view, out);
    }
    let width = ui.available_width();
    let (below, _) = ui.allocate_exact_size(
        Vec2::new(width, troubles_height(ui, fields, view, width).max(RESERVED)),
        egui::Sense::hover(),
    );
    let mut child = ui.new_child(UiBuilder::new().max_rect(below).layout(Layout::top_down(Align::Min)));
    child.spacing_mut().item_spacing.y = space::HALF;
    let wrong: Vec<_> = fields.iter().filter_map(|&f| Some((f, view.drafts.trouble(f)?.clone()))).collect();
    for (field, trouble) in &wrong {
        if let Some(offer) = trouble_ui(&mut child, trouble) {
            view.drafts.settle(*field);
            out.push(Command::SetNumber(*field, Some(offer.value)));
        }
    }
    if wrong.is_empty() {
        record_row(&mut child, reading, place, view, out);
    }
    if place == ReadingPlace::Facts {
        doubt_ui(ui, reading, out);
    }
}

/// Readings of the same water that do not agree, beside the place where the next is typed.
fn doubt_ui(ui: &mut Ui, reading: &ReadingView, out: &mut Vec<Command>) {
    let Some((words, ways)) = &reading.doubt else { return };
    caution_box(ui, words);
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = Vec2::new(space::ONE_HALF, 0.0);
        for way in ways {
            if link(ui, &way.text).clicked() {
                out.push(way.command.clone());
            }
        }
    });
}

/// Height of all that is wrong with some fields.
fn troubles_height(ui: &Ui, fields: &[Field], view: &ViewState, width: f32) -> f32 {
    let troubles = fields.iter().filter_map(|&field| view.drafts.trouble(field));
    troubles.map(|trouble| trouble_height(ui, trouble, width) + space::HALF).sum()
}

/// By how much what is wrong with the fields of the strip outgrows the room that is kept for it.
pub fn strip_overflow(ui: &Ui, view: &ViewState, width: f32) -> f32 {
    (troubles_height(ui, &[Field::AfterPh, Field::AfterEc], view, width) - RESERVED).max(0.0)
}

fn record_row(ui: &mut Ui, reading: &ReadingView, place: ReadingPlace, view: &ViewState, out: &mut Vec<Command>) {
    ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
        let tokens = Tokens::of(ui);
        let ready = view.entered.is_recordable();
        let note = match (ready, place) {
            (true, _) => "Typed, not recorded yet",
            (false, _) if !view.entered.is_empty() => "Type pH or EC, too",
            (false, ReadingPlace::Facts) => reading.note.as_str(),
            (false, ReadingPlace::Strip) => "Strips or drops will do",
        };
        if ready && place == ReadingPlace::Facts {
            record_button(ui, ButtonKind::Primary, view, out);
        }
        ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
            ui.add(egui::Label::new(text(note, size::SMALL, Weight::Regular, tokens.quiet)).wrap());
        });
    });
}

/// The button that records what is typed; loud as soon as something is.
fn record_button(ui: &mut Ui, idle: ButtonKind, view: &ViewState, out: &mut Vec<Command>) {
    let ready = view.entered.is_recordable();
    let kind = if ready { ButtonKind::Primary } else { idle };
    if button_sized(ui, kind, "Record reading", Vec2::new(RECORD, 32.0)).clicked() && ready {
        out.push(Command::RecordReading);
    }
}

fn one_field(ui: &mut Ui, field: Field, reading: &ReadingView, view: &mut ViewState, out: &mut Vec<Command>) {
    let entered = view.entered;
    let after = matches!(field, Field::AfterPh | Field::AfterEc);
    let stands = |typed: Option<f64>, read: Option<f64>| typed.or(if after { None } else { read });
    let (label, unit, value, decimals, problem_field) = match field {
        Field::ReadingPh | Field::AfterPh => ("pH", "", stands(entered.ph, reading.ph), 2, Field::ReadingPh),
        Field::ReadingEc | Field::AfterEc => {
            ("EC", reading.ec_unit.as_str(), stands(entered.ec, reading.ec), reading.ec_decimals, Field::ReadingEc)
        }
        _ => (
            "Water",
            reading.temperature_unit.as_str(),
            stands(entered.temperature, reading.temperature),
            1,
            Field::ReadingTemperature,
        ),
    };
    let read = |typed: &str| reading.reader.read(problem_field, typed);
    let spec = NumberSpec { field, label, unit, value, decimals, hint: "", look: NumberLook::Reading, read: &read };
    let had_keyboard = ui.memory(|m| m.has_focus(field_id(field)));
    if let Some(typed) = number_field(ui, &mut view.drafts, &spec) {
        out.push(Command::SetNumber(field, typed.value()));
    }
    // Enter records what is typed, also what was typed into the other fields before.
    if had_keyboard && ui.input(|i| i.key_pressed(Key::Enter)) && view.drafts.trouble(field).is_none() {
        out.push(Command::RecordReading);
    }
}

/// Reads pH, EC and temperature within the limits of any home meter, without knowing about units of EC.
///
/// **Limits**: pH 0 to 14; EC 0 to 20 (mS/cm); water 0 to 45 °C. Common practice, no source.
pub fn plain_reader(field: Field, typed: &str) -> Entry {
    match field {
        Field::ReadingEc | Field::AfterEc | Field::WaterEc => plain_number(typed, "EC", "mS/cm", 0.0..=20.0),
        Field::ReadingTemperature => plain_number(typed, "Water temperature", "°C", 0.0..=45.0),
        Field::ReadingPh | Field::AfterPh | Field::WaterPh => {
            let entry = plain_number(typed, "pH", "", 0.0..=14.0);
            offer_missing_point(typed, entry)
        }
        _ => plain_number(typed, "Amount", "", 0.0..=100_000.0),
    }
}

/// "70" for 7.0 and "65" for 6.5: a missing point is the usual slip.
fn offer_missing_point(typed: &str, entry: Entry) -> Entry {
    let Entry::Wrong(mut trouble) = entry else { return entry };
    if let Ok(value @ 14.5..=149.9) = typed.trim().parse::<f64>() {
        let meant = value / 10.0;
        if meant <= 14.0 {
            trouble.offers.push(crate::ui::view::OfferView { label: format!("Use {meant:.1}"), value: meant });
        }
    }
    Entry::Wrong(trouble)
}
