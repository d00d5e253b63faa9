//! Buttons and link-like buttons.

use egui::{Align2, Color32, CursorIcon, Response, Role, Sense, Stroke, StrokeKind, Ui, Vec2, WidgetInfo};

use crate::ui::paint::{focus_ring, line, words_at};
use crate::ui::theme::{Tokens, Weight, size, space};

/// How loud a button is.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum ButtonKind {
    /// The one thing to do here.
    Primary,
    /// Also possible.
    Secondary,
    /// A helper beside other content.
    Soft,
}

/// A button as wide as its words.
pub fn button(ui: &mut Ui, kind: ButtonKind, words: &str) -> Response {
    let natural = line(ui.painter(), words, size::BODY, Weight::SemiBold, Color32::PLACEHOLDER).size().x;
    button_sized(ui, kind, words, Vec2::new(natural + 2.0 * space::TWO, 36.0))
}

/// A button of a given size, at least as wide as its words.
pub fn button_sized(ui: &mut Ui, kind: ButtonKind, words: &str, size_pt: Vec2) -> Response {
    let weight = if kind == ButtonKind::Secondary { Weight::Medium } else { Weight::SemiBold };
    let natural = line(ui.painter(), words, size::BODY, weight, Color32::PLACEHOLDER).size().x + space::TWO;
    let (rect, response) = ui.allocate_exact_size(Vec2::new(size_pt.x.max(natural), size_pt.y), Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, ui.is_enabled(), words));
    if ui.is_rect_visible(rect) {
        let tokens = Tokens::of(ui);
        let (fill, ink, stroke) = match kind {
            ButtonKind::Primary => (tokens.accent, tokens.on_accent, Stroke::NONE),
            ButtonKind::Secondary => (tokens.map, tokens.ink, Stroke::new(1.0, tokens.hairline)),
            ButtonKind::Soft => (tokens.accent_soft, tokens.accent, Stroke::NONE),
        };
        let (fill, stroke) = if response.is_pointer_button_down_on() {
            (fill.lerp_to_gamma(tokens.ink, 0.18), stroke)
        } else if response.hovered() {
            match kind {
                ButtonKind::Secondary => (fill, Stroke::new(1.0, tokens.accent)),
                ButtonKind::Primary | ButtonKind::Soft => (fill.lerp_to_gamma(tokens.ink, 0.08), stroke),
            }
        } else {
            (fill, stroke)
        };
        let painter = ui.painter();
        painter.rect(rect, space::RADIUS, fill, stroke, StrokeKind::Inside);
        words_at(painter, rect.center(), Align2::CENTER_CENTER, words, (size::BODY, weight), ink);
        if response.has_focus() {
            focus_ring(painter, rect, tokens);
        }
    }
    response.on_hover_cursor(CursorIcon::PointingHand)
}

/// Words that can be pressed, underlined so that colour is not the only sign.
pub fn link(ui: &mut Ui, words: &str) -> Response {
    let tokens = Tokens::of(ui);
    let galley = ui.painter().layout(
        words.to_owned(),
        Weight::Medium.font(size::SMALL),
        tokens.accent,
        ui.available_width().max(1.0),
    );
    // Room above and below makes it easier to hit than the letters alone (WCAG 2.1, SC 2.5.5 in spirit).
    let (rect, response) = ui.allocate_exact_size(galley.size() + Vec2::new(0.0, space::ONE), Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Link, ui.is_enabled(), words));
    if ui.is_rect_visible(rect) {
        let painter = ui.painter();
        let top_left = rect.left_center() - Vec2::new(0.0, galley.size().y / 2.0);
        let width = if response.hovered() { 2.0 } else { 1.0 };
        for row in &galley.rows {
            let row_rect = row.rect().translate(top_left.to_vec2());
            painter.hline(row_rect.x_range(), row_rect.bottom() - 0.5, Stroke::new(width, tokens.accent));
        }
        painter.galley(top_left, galley, tokens.accent);
        if response.has_focus() {
            focus_ring(painter, rect, tokens);
        }
    }
    response.on_hover_cursor(CursorIcon::PointingHand)
}
