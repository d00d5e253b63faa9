//! Left column: the unit, today's reading, what grows, what is known.

use egui::{Align, Align2, Layout, Popup, Rect, Sense, Ui, UiBuilder, Vec2};

use super::opened_lines;
use super::reading::{ReadingPlace, reading_fields};
use crate::ui::command::{Command, Field};
use crate::ui::paint::{line, words_at};
use crate::ui::state::{Part, ViewState};
use crate::ui::theme::{Tokens, Weight, size, space, text};
use crate::ui::view::{AlsoView, GrowingView, RangeView, TodayView};
use crate::ui::widgets::{
    NumberLook, NumberSpec, caution_box, choice_ui, link, number_field, pick_list, pick_menu, quiet, range_bar, rule,
    subtitle, title_row, trouble_ui,
};

/// Draws the facts of a unit.
pub(super) fn facts_ui(ui: &mut Ui, today: &TodayView, view: &mut ViewState, out: &mut Vec<Command>) {
    unit_and_reading_ui(ui, today, view, out);
    rule(ui);
    grown_and_known_ui(ui, today, view, out);
}

/// The unit and today's reading.
pub(super) fn unit_and_reading_ui(ui: &mut Ui, today: &TodayView, view: &mut ViewState, out: &mut Vec<Command>) {
    ui.spacing_mut().item_spacing.y = space::HALF;
    title_row(ui, &today.unit_name, |ui| {
        if link(ui, "Edit").on_hover_text("Water, shelf, meter and size").clicked() {
            out.push(Command::EditUnit);
        }
        if today.is_example && link(ui, "Start my own").clicked() {
            out.push(Command::StartOwn);
        }
    });
    quiet(ui, &today.unit_line);
    rule(ui);
    let heading = if view.is_reading_pending() { "Today’s reading, not recorded" } else { "Today’s reading" };
    subtitle(ui, heading);
    ui.add_space(2.0);
    reading_fields(ui, &today.reading, ReadingPlace::Facts, view, out);
}

/// What grows, and what is known.
pub(super) fn grown_and_known_ui(ui: &mut Ui, today: &TodayView, view: &mut ViewState, out: &mut Vec<Command>) {
    ui.spacing_mut().item_spacing.y = space::HALF;
    growing_ui(ui, &today.growing, view, out);
    rule(ui);
    known_ui(ui, today, view, out);
}

fn growing_ui(ui: &mut Ui, growing: &GrowingView, view: &mut ViewState, out: &mut Vec<Command>) {
    let width = ui.available_width();
    let heading = ui.scope(|ui| subtitle(ui, "Growing")).response.rect;
    // The link is taller than the heading, and would push the rest down.
    let end = Rect::from_min_size(heading.min, Vec2::new(width, heading.height())).expand2(Vec2::new(0.0, space::HALF));
    let mut child = ui.new_child(UiBuilder::new().max_rect(end).layout(Layout::right_to_left(Align::Center)));
    add_crop(&mut child, growing, out);
    ui.add_space(2.0);
    if let Some(id) = pick_list(ui, "Crop", &growing.crops, &growing.crop_id) {
        out.push(Command::ChooseCrop(id));
    }
    ui.add_space(2.0);
    if !growing.stages.is_empty()
        && let Some(id) = choice_ui(ui, "Stage", &growing.stages, &growing.stage_id)
    {
        out.push(Command::ChooseStage(id));
    }
    for (index, also) in growing.also.iter().enumerate() {
        ui.push_id(index, |ui| also_ui(ui, index, also, out));
    }
    let tokens = Tokens::of(ui);
    let zone = text(&growing.zone_text, size::BODY, Weight::Regular, tokens.ink);
    let width = |words: &str, size_pt: f32| line(ui.painter(), words, size_pt, Weight::Regular, tokens.ink).size().x;
    let both = width(&growing.zone_label, size::SMALL) + width(&growing.zone_text, size::BODY) + space::ONE;
    if growing.also.is_empty() && both <= ui.available_width() {
        ui.horizontal(|ui| {
            quiet(ui, &growing.zone_label);
            ui.label(zone);
        });
    } else {
        ui.add_space(2.0);
        quiet(ui, &growing.zone_label);
        ui.label(zone);
    }
    for remark in &growing.remarks {
        caution_box(ui, remark);
    }
    if let Some(line) = &growing.sources_line {
        opened_lines(ui, line, Part::Sources, view, &growing.sources);
    }
}

fn add_crop(ui: &mut Ui, growing: &GrowingView, out: &mut Vec<Command>) {
    if growing.more.is_empty() {
        return;
    }
    let response = link(ui, "Add another crop");
    if let Some(id) = pick_menu(&response, "Add another crop", 248.0, &growing.more) {
        out.push(Command::AddCrop(id));
    }
}

/// One more crop on the same water: what it is, a way to take it off, and its stage.
fn also_ui(ui: &mut Ui, index: usize, also: &AlsoView, out: &mut Vec<Command>) {
    let number = index + 2;
    ui.add_space(space::HALF);
    let row = Vec2::new(ui.available_width(), space::PRESS);
    ui.allocate_ui_with_layout(row, Layout::right_to_left(Align::Center), |ui| {
        ui.set_min_size(row);
        if link(ui, "Remove").accessible_name(format!("Remove {}", also.name)).clicked() {
            out.push(Command::RemoveCrop(index));
        }
        ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
            if let Some(id) = pick_list(ui, &format!("Crop {number}"), &also.crops, &also.crop_id) {
                out.push(Command::ChooseAlsoCrop(index, id));
            }
        });
    });
    ui.add_space(2.0);
    let name = format!("Stage of crop {number}, {}", also.name);
    if !also.stages.is_empty()
        && let Some(id) = choice_ui(ui, &name, &also.stages, &also.stage_id)
    {
        out.push(Command::ChooseAlsoStage(index, id));
    }
}

fn known_ui(ui: &mut Ui, today: &TodayView, view: &mut ViewState, out: &mut Vec<Command>) {
    let width = ui.available_width();
    let heading = ui.scope(|ui| subtitle(ui, "What we know")).response.rect;
    if !today.next_best.is_empty() {
        // As beside "Growing": the link is taller than the heading, and would push the rest down.
        let end = Rect::from_min_size(heading.min, Vec2::new(width, heading.height()));
        let end = end.expand2(Vec2::new(0.0, space::HALF));
        let mut child = ui.new_child(UiBuilder::new().max_rect(end).layout(Layout::right_to_left(Align::Center)));
        next_best_ui(&mut child, today, out);
    }
    level_row(ui, today, view, out);
    for (i, range) in today.known.iter().enumerate() {
        if i > 0 {
            range_words(ui, range);
        }
        range_bar(ui, range);
        ui.add_space(2.0);
    }
}

/// What is worth finding out, behind a few words; each leads to where it is typed.
fn next_best_ui(ui: &mut Ui, today: &TodayView, out: &mut Vec<Command>) {
    let response = link(ui, &today.next_best_short);
    Popup::menu(&response).width(300.0).show(|ui| {
        quiet(ui, "What would help most");
        for next in &today.next_best {
            let words = text(&next.text, size::BODY, Weight::Regular, Tokens::of(ui).ink);
            if ui.add(egui::Button::new(words).wrap()).clicked() {
                out.push(next.command.clone());
                ui.close();
            }
        }
    });
}

/// The first range is the water in it: its best guess is typed.
fn level_row(ui: &mut Ui, today: &TodayView, view: &mut ViewState, out: &mut Vec<Command>) {
    let tokens = Tokens::of(ui);
    let words = today.known.first();
    let (row, _) = ui.allocate_exact_size(Vec2::new(ui.available_width(), 30.0), Sense::hover());
    let small = (size::SMALL, Weight::Regular);
    let label = words.map_or("Water in it", |range| range.label.as_str());
    let label = words_at(ui.painter(), row.left_center(), Align2::LEFT_CENTER, label, small, tokens.quiet);
    let unit = line(ui.painter(), &today.level_unit, size::SMALL, Weight::Regular, tokens.quiet).size().x;
    let field = Rect::from_min_max(row.right_top() - Vec2::new(68.0 + unit, 0.0), row.max);
    if let Some(range) = words {
        let at = field.left_center() - Vec2::new(space::ONE, 0.0);
        let room = at.x - label.right() - space::ONE;
        let width = line(ui.painter(), &range.text, size::SMALL, Weight::Regular, tokens.ink).size().x;
        // A long unit leaves room for the figures only.
        let short = range.text.trim_start_matches(|c: char| !c.is_ascii_digit());
        let shown = if width <= room { range.text.as_str() } else { short };
        words_at(ui.painter(), at, Align2::RIGHT_CENTER, shown, small, tokens.ink);
    }
    let mut child = ui.new_child(UiBuilder::new().max_rect(field).layout(Layout::top_down(Align::Min)));
    let read = |typed: &str| today.reading.reader.read(Field::Level, typed);
    let spec = NumberSpec {
        field: Field::Level,
        label: "Water in it",
        unit: &today.level_unit,
        value: Some(today.level),
        decimals: 1,
        hint: "",
        look: NumberLook::Bare,
        read: &read,
    };
    if let Some(typed) = number_field(&mut child, &mut view.drafts, &spec) {
        out.push(Command::SetNumber(Field::Level, typed.value()));
    }
    if let Some(trouble) = view.drafts.trouble(Field::Level).cloned()
        && let Some(offer) = trouble_ui(ui, &trouble)
    {
        view.drafts.settle(Field::Level);
        out.push(Command::SetNumber(Field::Level, Some(offer.value)));
    }
}

fn range_words(ui: &mut Ui, range: &RangeView) {
    let tokens = Tokens::of(ui);
    let width = |words: &str| line(ui.painter(), words, size::SMALL, Weight::Regular, tokens.ink).size().x;
    if width(&range.label) + width(&range.text) + space::ONE > ui.available_width() {
        quiet(ui, &range.label);
        ui.label(text(&range.text, size::SMALL, Weight::Regular, tokens.ink));
        return;
    }
    ui.horizontal(|ui| {
        quiet(ui, &range.label);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            ui.label(text(&range.text, size::SMALL, Weight::Regular, tokens.ink));
        });
    });
}
