//! The zone: filled, hatched and outlined, so that it is seen without colour too.

use egui::{Painter, Pos2, Rect, Stroke, StrokeKind, Vec2};

use crate::ui::theme::{Tokens, space};

/// Distance of two hatch lines along the edge, points.
const HATCH: f32 = 14.0;

/// Paints a zone into its rectangle.
pub(super) fn paint(painter: &Painter, rect: Rect, tokens: &Tokens) {
    let radius = f32::from(space::RADIUS).min(rect.width() / 2.0).min(rect.height() / 2.0);
    painter.rect_filled(rect, radius, tokens.zone);
    let stroke = Stroke::new(1.0, tokens.zone_edge.gamma_multiply(0.32));
    for [from, to] in hatch_lines(rect, radius) {
        painter.line_segment([from, to], stroke);
    }
    painter.rect_stroke(rect, radius, Stroke::new(1.5, tokens.zone_edge), StrokeKind::Middle);
}

/// Rising diagonals, each cut where it leaves the rounded rectangle.
fn hatch_lines(rect: Rect, radius: f32) -> Vec<[Pos2; 2]> {
    if !rect.is_positive() || !rect.is_finite() {
        return Vec::new();
    }
    let mut lines = Vec::new();
    // Lines are x + y = constant. Counted from the screen's origin they stand still while the zone is resized.
    let first = ((rect.left() + rect.top()) / HATCH).ceil() * HATCH;
    let last = rect.right() + rect.bottom();
    let mut sum = first;
    while sum <= last {
        let x_low = rect.left().max(sum - rect.bottom());
        let x_high = rect.right().min(sum - rect.top());
        if x_high > x_low {
            let at = |x: f32| Pos2::new(x, sum - x);
            let middle = at(f32::midpoint(x_low, x_high));
            if inside(rect, radius, middle) {
                lines.push([cut(rect, radius, middle, at(x_low)), cut(rect, radius, middle, at(x_high))]);
            }
        }
        sum += HATCH;
    }
    lines
}

/// The last point inside, from `start` (inside) towards `end`.
fn cut(rect: Rect, radius: f32, start: Pos2, end: Pos2) -> Pos2 {
    if inside(rect, radius, end) {
        return end;
    }
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..12 {
        let middle = f32::midpoint(low, high);
        if inside(rect, radius, start.lerp(end, middle)) { low = middle } else { high = middle }
    }
    start.lerp(end, low)
}

fn inside(rect: Rect, radius: f32, p: Pos2) -> bool {
    let core = rect.shrink(radius);
    let nearest = Pos2::new(p.x.clamp(core.left(), core.right()), p.y.clamp(core.top(), core.bottom()));
    (p - nearest).length_sq() <= radius * radius + 1e-3
}

/// Where the zone's name goes: above its top edge, or inside it when there is no room above.
pub(super) fn name_corner(room: Rect, zone: Rect, size: Vec2) -> Pos2 {
    let x = (zone.center().x - size.x / 2.0).clamp(room.left(), (room.right() - size.x).max(room.left()));
    let above = zone.top() - size.y - 5.0;
    if above >= room.top() { Pos2::new(x, above) } else { Pos2::new(x, zone.top() + 6.0) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_hatch_line_stays_inside_the_rounded_zone() {
        let rect = Rect::from_min_size(Pos2::new(103.0, 57.0), Vec2::new(172.0, 149.0));
        let lines = hatch_lines(rect, 8.0);
        assert!(lines.len() > 15, "{}", lines.len());
        for end in lines.iter().flatten() {
            assert!(inside(rect.expand(0.01), 8.0, *end), "{end:?}");
        }
        assert!(!inside(rect, 8.0, rect.left_top()));
    }

    #[test]
    fn an_empty_zone_has_no_hatch() {
        assert!(hatch_lines(Rect::NOTHING, 0.0).is_empty());
        assert!(hatch_lines(Rect::from_min_size(Pos2::ZERO, Vec2::ZERO), 0.0).is_empty());
    }
}
