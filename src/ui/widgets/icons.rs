//! Small buttons that are drawn, with a name for those who do not see them and for those who hover.

use egui::{
    Color32, CursorIcon, Painter, Pos2, Rect, Response, Role, Sense, Shape, Stroke, StrokeKind, Ui, Vec2, WidgetInfo,
};

use crate::ui::paint::focus_ring;
use crate::ui::theme::{Tokens, space};

/// What a small button shows.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Icon {
    /// An arrow that bends back.
    Undo,
    /// An arrow that bends forward.
    Redo,
    /// A shut padlock.
    Locked,
    /// An open padlock.
    Free,
    /// A chevron up.
    Up,
    /// A chevron down.
    Down,
    /// A cross.
    Remove,
}

/// Side of a small button, points: large enough for a finger beside another (WCAG 2.2, SC 2.5.8).
pub const ICON: f32 = 24.0;

/// A small drawn button. `name` is said and shown on hovering. A button that is not enabled is drawn, and can't be pressed.
pub fn icon_button(ui: &mut Ui, icon: Icon, name: &str, enabled: bool) -> Response {
    let enabled = enabled && ui.is_enabled();
    let sense = if enabled { Sense::click() } else { Sense::hover() };
    let (rect, response) = ui.allocate_exact_size(Vec2::splat(ICON), sense);
    let on = icon == Icon::Locked;
    response.widget_info(|| match icon {
        Icon::Locked | Icon::Free => WidgetInfo::selected(Role::Button, enabled, on, name),
        _ => WidgetInfo::labeled(Role::Button, enabled, name),
    });
    if ui.is_rect_visible(rect) {
        let tokens = Tokens::of(ui);
        let painter = ui.painter();
        let face = rect.shrink(1.0);
        if on {
            painter.rect_filled(face, space::RADIUS, tokens.accent_soft);
        }
        if response.hovered() && enabled {
            painter.rect_stroke(face, space::RADIUS, Stroke::new(1.0, tokens.accent), StrokeKind::Inside);
        }
        let ink = match (enabled, on) {
            (false, _) => tokens.outline,
            (true, true) => tokens.accent,
            (true, false) => tokens.quiet,
        };
        draw(painter, icon, rect.center(), ink);
        if response.has_focus() {
            focus_ring(painter, rect.shrink(3.0), tokens);
        }
    }
    let response = response.on_hover_text(name);
    if enabled { response.on_hover_cursor(CursorIcon::PointingHand) } else { response }
}

fn draw(painter: &Painter, icon: Icon, center: Pos2, ink: Color32) {
    let stroke = Stroke::new(1.6, ink);
    let line = |points: &[(f32, f32)]| {
        painter.line(points.iter().map(|(x, y)| center + Vec2::new(*x, *y)).collect(), stroke);
    };
    match icon {
        Icon::Up => line(&[(-4.0, 2.0), (0.0, -2.0), (4.0, 2.0)]),
        Icon::Down => line(&[(-4.0, -2.0), (0.0, 2.0), (4.0, -2.0)]),
        Icon::Remove => {
            line(&[(-3.5, -3.5), (3.5, 3.5)]);
            line(&[(-3.5, 3.5), (3.5, -3.5)]);
        }
        Icon::Undo => bent(painter, center, -1.0, stroke),
        Icon::Redo => bent(painter, center, 1.0, stroke),
        Icon::Locked | Icon::Free => padlock(painter, center, icon == Icon::Locked, stroke),
    }
}

/// An arrow that runs over the top to the side `way`, and down.
fn bent(painter: &Painter, center: Pos2, way: f32, stroke: Stroke) {
    let at = |x: f32, y: f32| center + Vec2::new(way * x, y);
    let arc: Vec<Pos2> = (0..=12_u8)
        .map(|i| {
            let angle = std::f32::consts::PI * (1.15 - 1.15 * f32::from(i) / 12.0);
            at(-0.5 + 4.8 * angle.cos(), 1.5 - 4.8 * angle.sin())
        })
        .collect();
    painter.line(arc, stroke);
    let head = vec![at(0.9, 1.0), at(7.6, 1.0), at(4.3, 5.2)];
    painter.add(Shape::convex_polygon(head, stroke.color, Stroke::NONE));
}

/// A padlock; an open one has its bow swung to the side.
fn padlock(painter: &Painter, center: Pos2, shut: bool, stroke: Stroke) {
    let body = Rect::from_min_max(center + Vec2::new(-5.0, -0.5), center + Vec2::new(5.0, 6.5));
    if shut {
        painter.rect_filled(body, 1.5, stroke.color);
    } else {
        painter.rect_stroke(body, 1.5, stroke, StrokeKind::Inside);
    }
    let (middle, legs) = if shut { (0.0, 0.0) } else { (4.0, -1.5) };
    let bow: Vec<Pos2> = (0..=10_u8)
        .map(|i| {
            let angle = std::f32::consts::PI * (1.0 - f32::from(i) / 10.0);
            center + Vec2::new(middle + 3.2 * angle.cos(), legs - 3.0 - 3.2 * angle.sin())
        })
        .collect();
    let foot = center + Vec2::new(middle - 3.2, -0.5);
    let end = center + Vec2::new(middle + 3.2, if shut { -0.5 } else { legs - 1.5 });
    painter.line([vec![foot], bow, vec![end]].concat(), stroke);
}
