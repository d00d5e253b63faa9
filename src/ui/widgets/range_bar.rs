//! A range drawn as a bar with a dot at the best guess.

use egui::{Pos2, Rect, Response, Role, Sense, Stroke, Ui, Vec2, WidgetInfo};

use crate::ui::theme::{Tokens, space};
use crate::ui::view::RangeView;

/// The bar of a range. The words beside it are the caller's; the bar itself says them to a screen reader.
pub fn range_bar(ui: &mut Ui, range: &RangeView) -> Response {
    let (rect, response) = ui.allocate_exact_size(Vec2::new(ui.available_width(), space::ONE_HALF), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Meter, true, format!("{}, {}", range.label, range.text)));
    if ui.is_rect_visible(rect) {
        let tokens = Tokens::of(ui);
        let painter = ui.painter();
        let at = |share: f32| rect.left() + 5.0 + (rect.width() - 10.0) * share.clamp(0.0, 1.0);
        let bar = |from: f32, to: f32, height: f32| {
            Rect::from_min_max(
                Pos2::new(from, rect.center().y - height / 2.0),
                Pos2::new(to, rect.center().y + height / 2.0),
            )
        };
        painter.rect_filled(bar(rect.left(), rect.right(), 4.0), 2.0, tokens.hairline);
        painter.rect_filled(bar(at(range.low) - 2.0, at(range.high) + 2.0, 5.0), 2.5, tokens.accent);
        painter.circle(Pos2::new(at(range.best), rect.center().y), 5.0, tokens.map, Stroke::new(2.0, tokens.accent));
    }
    response
}
