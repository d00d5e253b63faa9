//! A line of text.

use egui::{Align, Align2, Layout, Response, Sense, Stroke, StrokeKind, TextEdit, Ui, UiBuilder, Vec2};

use crate::ui::paint::focus_ring;
use crate::ui::theme::{Tokens, Weight, size, space, text};

/// A line of text, of at most so many letters, in a frame like a number's.
pub fn text_field(ui: &mut Ui, name: &str, hint: &str, typed: &mut String, most: usize) -> Response {
    let tokens = Tokens::of(ui);
    let (rect, _) = ui.allocate_exact_size(Vec2::new(ui.available_width(), space::PRESS), Sense::hover());
    ui.painter().rect(rect, space::RADIUS, tokens.map, Stroke::new(1.0, tokens.outline), StrokeKind::Inside);
    let room = rect.shrink2(Vec2::new(space::ONE_HALF, 0.0));
    let mut child = ui.new_child(UiBuilder::new().max_rect(room).layout(Layout::left_to_right(Align::Center)));
    child.spacing_mut().interact_size = Vec2::ZERO;
    let edit = TextEdit::singleline(typed)
        .id_salt(name)
        .frame(egui::Frame::new())
        .margin(egui::Margin::ZERO)
        .hint_text(text(hint, size::BODY, Weight::Regular, tokens.quiet))
        .align(Align2::LEFT_CENTER)
        .char_limit(most)
        .desired_width(room.width());
    let response = child.add_sized(room.size(), edit).accessible_name(name);
    if response.has_focus() {
        focus_ring(ui.painter(), rect, tokens);
    }
    response
}
