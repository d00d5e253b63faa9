//! The kit: fields, choices, bars and boxes that look and speak alike on every page.
//!
//! Each takes its colours from [`Tokens`], shows the keyboard's place by the same ring, and tells
//! the accessibility tree its role and name.

mod boxes;
mod buttons;
mod choice;
mod icons;
mod number;
mod pick;
mod range_bar;
mod slider;
mod text_field;

pub(crate) use boxes::card_with;
pub use boxes::{badge, card, caution_box, disclosure, notice_box, rule, sheet, stop_box};
pub use buttons::{ButtonKind, button, button_sized, link};
pub use choice::{choice_ui, segmented};
pub use icons::{ICON, Icon, icon_button};
pub(crate) use number::field_id;
pub use number::{Entry, NumberLook, NumberSpec, Typed, number_field, plain_number, shown, trouble_height, trouble_ui};
pub use pick::{pick_list, pick_menu};
pub use range_bar::range_bar;
pub use slider::{SliderSpec, slider};
pub use text_field::text_field;

use egui::{Align, Layout, RichText, Ui, Vec2};

use super::theme::{Tokens, Weight, size, text};

/// Title of a card.
pub fn title(ui: &mut Ui, words: &str) {
    let tokens = Tokens::of(ui);
    ui.label(text(words, size::TITLE, Weight::SemiBold, tokens.ink));
}

/// Title of a card with something small at its right end.
pub fn title_row(ui: &mut Ui, words: &str, at_end: impl FnOnce(&mut Ui)) {
    let size_pt = Vec2::new(ui.available_width(), 22.0);
    ui.allocate_ui_with_layout(size_pt, Layout::right_to_left(Align::Center), |ui| {
        ui.set_min_size(size_pt);
        at_end(ui);
        ui.with_layout(Layout::left_to_right(Align::Center), |ui| title(ui, words));
    });
}

/// Title of a group within a card.
pub fn subtitle(ui: &mut Ui, words: &str) {
    let tokens = Tokens::of(ui);
    ui.label(text(words, size::BODY, Weight::SemiBold, tokens.ink));
}

/// Running text.
pub fn body(ui: &mut Ui, words: &str) {
    let tokens = Tokens::of(ui);
    ui.label(text(words, size::BODY, Weight::Regular, tokens.ink));
}

/// A note that is read second.
pub fn quiet(ui: &mut Ui, words: &str) {
    let words = quiet_text(ui, words);
    ui.label(words);
}

/// A note that is read second, as text.
pub fn quiet_text(ui: &Ui, words: &str) -> RichText {
    text(words, size::SMALL, Weight::Regular, Tokens::of(ui).quiet)
}
