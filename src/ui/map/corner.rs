//! Buttons in the corner of the map: less, more, all of it.

use egui::{Align2, CursorIcon, Id, Rect, Role, Sense, Stroke, StrokeKind, Ui, Vec2, WidgetInfo};

use super::MapState;
use super::gestures::PRESS;
use crate::ui::paint::{focus_ring, words_at};
use crate::ui::theme::{Tokens, Weight, size};

/// Height of the band that holds them.
pub(super) const HEIGHT: f32 = 26.0;

/// What a button does.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
enum Zoom {
    Out,
    In,
    Fit,
}

/// The buttons, at the right end of `band`.
pub(super) fn corner_ui(ui: &Ui, band: Rect, state: &mut MapState) {
    let mut right = band.right();
    // From the right, but in the order of reading for the keyboard: places first.
    let mut places = [(Zoom::Out, Rect::NOTHING), (Zoom::In, Rect::NOTHING), (Zoom::Fit, Rect::NOTHING)];
    for (zoom, rect) in places.iter_mut().rev() {
        let width = if *zoom == Zoom::Fit { 40.0 } else { 30.0 };
        *rect = Rect::from_min_size(egui::pos2(right - width, band.top()), Vec2::new(width, band.height()));
        right -= width + 4.0;
    }
    for (zoom, rect) in places {
        let name = match zoom {
            Zoom::Out => "Zoom out",
            Zoom::In => "Zoom in",
            Zoom::Fit => "Fit the map",
        };
        if zoom_button(ui, rect, zoom, name) && state.hold.is_none() {
            match (zoom, state.screen.map(|screen| screen.point(screen.frame.center()))) {
                (Zoom::Out, Some(middle)) => state.camera.zoom(middle, 1.0 / PRESS),
                (Zoom::In, Some(middle)) => state.camera.zoom(middle, PRESS),
                _ => state.camera.fit(),
            }
            ui.request_repaint();
        }
    }
}

fn zoom_button(ui: &Ui, rect: Rect, zoom: Zoom, name: &str) -> bool {
    let response = ui.interact(rect, Id::unique(("zoom of the map", zoom)), Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, name));
    if ui.is_rect_visible(rect) {
        let tokens = Tokens::of(ui);
        let is_near = response.hovered() || response.is_pointer_button_down_on();
        let (fill, edge, ink) = if is_near {
            (tokens.accent_soft, tokens.accent, tokens.accent)
        } else {
            (tokens.map, tokens.hairline, tokens.ink)
        };
        let painter = ui.painter();
        painter.rect(rect, 6.0, fill, Stroke::new(1.0, edge), StrokeKind::Inside);
        let (center, stroke) = (rect.center(), Stroke::new(1.5, ink));
        match zoom {
            Zoom::Fit => {
                words_at(painter, center, Align2::CENTER_CENTER, "Fit", (size::SMALL, Weight::Medium), ink);
            }
            Zoom::Out | Zoom::In => {
                painter.hline(center.x - 5.0..=center.x + 5.0, center.y, stroke);
                if zoom == Zoom::In {
                    painter.vline(center.x, center.y - 5.0..=center.y + 5.0, stroke);
                }
            }
        }
        if response.has_focus() {
            focus_ring(painter, rect.shrink(2.0), tokens);
        }
    }
    response.on_hover_cursor(CursorIcon::PointingHand).clicked()
}
