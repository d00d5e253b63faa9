//! The pages: each draws view data and draft state, and asks for what the person wants.

mod card;
mod claims;
pub mod crop_form;
pub mod crops;
mod facts;
mod jar;
mod library;
pub mod log;
mod numbers;
pub mod owned;
mod pictures;
mod pours;
pub mod product;
mod product_parts;
pub mod reading;
pub mod shelf;
pub mod start;
mod start_shelf;
pub mod today;
pub mod water;
pub mod writing;

use egui::{Align, Layout, Margin, Rect, Ui, UiBuilder};

use super::command::Command;
use super::layout::{Room, page};
use super::state::{Part, ViewState};
use super::theme::space;
use super::widgets::{card_with, disclosure, quiet, rule};

/// One card in the middle of a page without a strip: a heading that stays, and what scrolls below it, whose bar has a margin to
/// itself.
fn page_card(
    ui: &mut Ui,
    (window, widest): (Rect, f32),
    out: &mut Vec<Command>,
    heading: impl FnOnce(&mut Ui, &mut Vec<Command>),
    contents: impl FnOnce(&mut Ui, &mut Vec<Command>),
) {
    let rect = page(window, widest);
    let is_wide = Room::of(window.size()) == Room::Wide;
    let (inset, side) = if is_wide { (space::TWO, 16) } else { (space::ONE_HALF, 12) };
    let mut child = ui.new_child(UiBuilder::new().max_rect(rect).layout(Layout::top_down(Align::Min)));
    card_with(&mut child, Margin { left: side, right: 4, top: side, bottom: side }, |ui| {
        ui.set_min_height(rect.height() - 2.0 * inset);
        ui.spacing_mut().item_spacing.y = space::ONE;
        let full = ui.available_width();
        ui.scope(|ui| {
            ui.set_max_width(full - space::ONE_HALF);
            heading(ui, out);
            rule(ui);
        });
        contents(ui, out);
    });
}

/// Notes that open under a line, and come into sight when they do.
fn opened_lines(ui: &mut Ui, words: &str, part: Part, view: &mut ViewState, lines: &[String]) {
    let pressed = disclosure(ui, words, view.is_open(part)).clicked();
    if pressed {
        view.toggle(part);
    }
    if view.is_open(part) {
        let opened = ui.scope(|ui| lines.iter().for_each(|line| quiet(ui, line)));
        if pressed {
            opened.response.scroll_to_me(None);
        }
    }
}
