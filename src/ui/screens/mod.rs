//! The pages: each draws view data and draft state, and asks for what the person wants.

mod card;
mod claims;
mod crop_form;
pub mod crops;
mod facts;
mod jar;
pub mod log;
mod numbers;
pub mod owned;
mod pictures;
mod pours;
pub mod product;
pub mod reading;
pub mod shelf;
pub mod start;
mod start_shelf;
pub mod today;
pub mod water;
pub mod writing;

use egui::Ui;

use super::state::{Part, ViewState};
use super::widgets::{disclosure, quiet};

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
