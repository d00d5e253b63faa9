//! The measuring tool in the hand, drawn with the level to fill it to.

mod counted;
mod syringe;
mod vessels;

pub(crate) use counted::drop_shape;

use egui::{Rect, Response, Role, Sense, Ui, Vec2, WidgetInfo};

use super::theme::Tokens;
use super::view::ToolView;
use crate::card::on_marks;

/// Draws the tool into a box of `size_pt`, and says it to a screen reader.
pub fn tool_ui(ui: &mut Ui, tool: &ToolView, size_pt: Vec2) -> Response {
    let (rect, response) = ui.allocate_exact_size(size_pt, Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, tool.words()));
    if ui.is_rect_visible(rect) {
        paint_tool(ui, rect, tool);
    }
    response
}

fn paint_tool(ui: &Ui, rect: Rect, tool: &ToolView) {
    let tokens = Tokens::of(ui);
    let painter = ui.painter();
    match tool {
        ToolView::Syringe { capacity_ml, mark_ml, full_times, fill_ml } => {
            let syringe = syringe::Syringe {
                capacity_ml: *capacity_ml,
                mark_ml: *mark_ml,
                full_times: *full_times,
                fill_ml: *fill_ml,
            };
            syringe.paint(painter, rect, tokens);
        }
        ToolView::Dropper { drops } => counted::drops(painter, rect, *drops, tokens),
        ToolView::Scoop { count, .. } => counted::scoops(painter, rect, *count, counted::Bowl::Scoop, tokens),
        ToolView::Spoon { count, .. } => counted::scoops(painter, rect, *count, counted::Bowl::Spoon, tokens),
        ToolView::Scale { grams, mark_g } => vessels::scale(painter, rect, &on_marks(*grams, *mark_g), tokens),
        ToolView::Jug { capacity_l, full_times, fill_l } => {
            vessels::jug(painter, rect, (*capacity_l, *full_times, *fill_l), tokens);
        }
    }
}
