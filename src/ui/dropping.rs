//! Files held over the window, and let fall on it.

use std::path::PathBuf;

use egui::{Id, LayerId, Order, Rect, Role, Sense, Stroke, StrokeKind, Ui, Vec2, WidgetInfo};

use super::command::{Command, OwnedCommand};
use super::theme::{Tokens, Weight, size, space};

/// Shows what a file that is held over the window would do, and asks for it once it is let fall.
pub(super) fn dropping_ui(ui: &mut Ui, out: &mut Vec<Command>) {
    let dropped: Vec<PathBuf> = ui.input(|i| i.raw.dropped_files.iter().map(|file| file.path().to_owned()).collect());
    if !dropped.is_empty() {
        out.push(Command::Owned(OwnedCommand::Dropped(dropped)));
    }
    if ui.input(|i| i.raw.hovered_files.is_empty()) {
        return;
    }
    let tokens = Tokens::of(ui);
    let window = ui.max_rect();
    let words = "Let go to open this unit, or to take this profile in";
    let layer = LayerId::new(Order::Foreground, Id::unique("a file over the window"));
    let painter = ui.ctx().layer_painter(layer);
    let galley = painter.layout(
        words.to_owned(),
        Weight::SemiBold.font(size::LARGE),
        tokens.ink,
        window.width() - 8.0 * space::TWO,
    );
    let rect = Rect::from_center_size(window.center(), galley.size() + 2.0 * Vec2::new(space::THREE, space::THREE));
    // The page shines through: nothing has happened yet.
    painter.rect_filled(window, 0.0, tokens.ground.gamma_multiply(0.8));
    painter.rect(rect, space::RADIUS, tokens.accent_soft, Stroke::new(2.0, tokens.accent), StrokeKind::Inside);
    painter.galley(rect.center() - galley.size() / 2.0, galley, tokens.ink);
    let response = ui.interact(rect, ui.scope_id().with("a file over the window"), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Status, true, words));
}
