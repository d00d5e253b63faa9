//! The page of one unit, today: facts, map, pours, and the strip with the one amount.

use egui::{Align, Layout, Margin, Rect, ScrollArea, Sense, Ui, UiBuilder, Vec2};

use super::card::tub_card_ui;
use super::facts::{facts_ui, grown_and_known_ui, unit_and_reading_ui};
use super::jar::jar_ui;
use super::pours::pours_ui;
use crate::ui::command::Command;
use crate::ui::layout::{Room, arrange, margin, three_columns};
use crate::ui::map::{Around, LOOK_HEIGHT, look_ui, map_ui, words};
use crate::ui::state::{Part, ViewState};
use crate::ui::strip;
use crate::ui::theme::space;
use crate::ui::tools::tool_ui;
use crate::ui::view::{AnswerKind, AnswerView, MapView, TodayView};
use crate::ui::widgets::{body, card, card_with, disclosure, quiet, sheet, title};

/// Draws the page below the bar, into `window` (which includes the bar).
pub fn today_ui(ui: &mut Ui, window: Rect, today: &TodayView, view: &mut ViewState, out: &mut Vec<Command>) {
    let room = Room::of(window.size());
    let width = window.width() - 2.0 * margin(room);
    let answer = strip::in_sight(today, view);
    // While a handle is in the hand nothing may move under it, however long the words get.
    let height = match view.map.held_strip() {
        Some(height) => height,
        None => strip::height(ui, &answer, view, width, room),
    };
    view.map.keep_strip(height);
    let parts = arrange(window, height);
    match room {
        Room::Wide => {
            let [left, middle, right] = three_columns(parts.body);
            scrolled_card(ui, left, "facts", |ui| facts_ui(ui, today, view, out));
            column(ui, middle, |ui| {
                map_card(ui, (middle.height(), Around::Still), &today.map, view, out);
            });
            scrolled_card(ui, right, "pours", |ui| pours_ui(ui, today, view, out));
        }
        Room::Narrow => column(ui, parts.body, |ui| {
            ScrollArea::vertical().id_salt("page").auto_shrink(false).show(ui, |ui| {
                ui.spacing_mut().item_spacing.y = margin(room);
                card(ui, |ui| unit_and_reading_ui(ui, today, view, out));
                map_card(ui, (340.0, Around::Page), &today.map, view, out);
                card(ui, |ui| pours_ui(ui, today, view, out));
                card(ui, |ui| why_ui(ui, &today.answer));
                card(ui, |ui| grown_and_known_ui(ui, today, view, out));
            });
        }),
    }
    strip::strip_ui(ui, parts.strip, room, (&answer, &today.reading), view, out);
    if let Some(jar) = &today.jar {
        let mut asked = Vec::new();
        let closed = sheet(ui, "jar test", 600.0, |ui| jar_ui(ui, jar, view, &mut asked));
        if closed && asked.is_empty() {
            asked.push(Command::CloseJar);
        }
        out.extend(asked);
    }
    if view.is_open(Part::TubCard) {
        let mut asked = Vec::new();
        let closed = sheet(ui, "tub card", 520.0, |ui| tub_card_ui(ui, &today.tub_card, &mut asked));
        if closed && asked.is_empty() {
            asked.push(Command::ToggleTubCard);
        }
        out.extend(asked);
    }
}

fn column(ui: &mut Ui, rect: Rect, contents: impl FnOnce(&mut Ui)) {
    let mut child = ui.new_child(UiBuilder::new().max_rect(rect).layout(Layout::top_down(Align::Min)));
    child.set_clip_rect(rect.expand(4.0).intersect(ui.clip_rect()));
    contents(&mut child);
}

/// A card that fills its column, and scrolls when its content is taller.
fn scrolled_card(ui: &mut Ui, rect: Rect, salt: &str, contents: impl FnOnce(&mut Ui)) {
    column(ui, rect, |ui| {
        // The scroll bar has the right margin to itself, so that it covers nothing.
        let margin = Margin { left: 16, right: 4, top: 16, bottom: 16 };
        card_with(ui, margin, |ui| {
            let height = rect.height() - 2.0 * space::TWO;
            ui.set_min_height(height);
            ScrollArea::vertical().id_salt(salt).max_height(height).auto_shrink(false).show(ui, |ui| {
                ui.set_max_width(ui.available_width() - 12.0);
                contents(ui);
            });
        });
    });
}

fn map_card(ui: &mut Ui, (height, around): (f32, Around), map: &MapView, view: &mut ViewState, out: &mut Vec<Command>) {
    card(ui, |ui| {
        ui.spacing_mut().item_spacing.y = space::HALF;
        let lines = words(map);
        let room = height - 2.0 * space::TWO;
        ui.set_min_height(room);
        let words_height =
            if view.is_open(Part::Words) { 18.0 * lines.len().min(MOST_WORDS) as f32 + space::ONE } else { 0.0 };
        // On a page that scrolls the words push down what follows: the map keeps its height.
        let taken = if around == Around::Page { 0.0 } else { words_height };
        let map_height = (room - LOOK_HEIGHT - space::HALF - taken).max(LEAST_MAP);
        let size_pt = Vec2::new(ui.available_width(), map_height);
        ui.allocate_ui_with_layout(size_pt, Layout::top_down(Align::Min), |ui| {
            ui.set_min_size(size_pt);
            map_ui(ui, map, &mut view.map, around, out);
        });
        below_map_ui(ui, map, view, out);
        if view.is_open(Part::Words) {
            let height = (words_height - space::HALF).max(48.0);
            ScrollArea::vertical().id_salt("map in words").max_height(height).auto_shrink([false, true]).show(
                ui,
                |ui| {
                    for line in &lines {
                        quiet(ui, line);
                    }
                },
            );
        }
    });
}

/// Least height of the map, axes and all, points.
const LEAST_MAP: f32 = 260.0;
/// Lines of the map in words that are seen without scrolling.
const MOST_WORDS: usize = 8;

/// One line under the map: the door to its twin in words, and the slider that looks ahead.
fn below_map_ui(ui: &mut Ui, map: &MapView, view: &mut ViewState, out: &mut Vec<Command>) {
    let (row, _) = ui.allocate_exact_size(Vec2::new(ui.available_width(), LOOK_HEIGHT), Sense::hover());
    let mut words_at = ui.new_child(UiBuilder::new().max_rect(row).layout(Layout::left_to_right(Align::Min)));
    let pressed = disclosure(&mut words_at, "In words", view.is_open(Part::Words));
    if pressed.clicked() {
        view.toggle(Part::Words);
    }
    let left = pressed.rect.right() + space::THREE;
    look_ui(ui, row.with_min_x(left), &map.look, out);
}

/// In a narrow window the strip has room for one line: the rest of the answer is a card of the page.
fn why_ui(ui: &mut Ui, answer: &AnswerView) {
    ui.spacing_mut().item_spacing.y = space::ONE;
    title(ui, "Why, and how");
    for line in answer.first.iter().chain(&answer.lines) {
        body(ui, line);
    }
    let (tool, of, then) = match &answer.kind {
        AnswerKind::Pour { tool, of, then } => (tool, of, then.as_str()),
        AnswerKind::WhatIf { tool: Some((tool, of)), .. } => (tool, of, ""),
        _ => return,
    };
    tool_ui(ui, tool, Vec2::new(272.0_f32.min(ui.available_width()), 104.0));
    for words in [of, then].into_iter().filter(|words| !words.is_empty()) {
        quiet(ui, words);
    }
}
