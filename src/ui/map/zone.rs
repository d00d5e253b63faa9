//! Zones: filled, hatched and outlined, so that they are seen and told apart without colour too.

use egui::{Painter, Pos2, Rect, Stroke, StrokeKind, Vec2};

use crate::ui::theme::{Tokens, space};

/// Distance of two hatch lines along the edge, points.
const HATCH: f32 = 14.0;

/// How the lines of a hatch run.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Hatch {
    /// Up to the right.
    Rising,
    /// Down to the right.
    Falling,
    /// Upright.
    Upright,
    /// Level.
    Level,
}

impl Hatch {
    /// The hatch of the nth crop.
    pub(super) fn of(place: usize) -> Self {
        match place % 4 {
            0 => Self::Rising,
            1 => Self::Falling,
            2 => Self::Upright,
            _ => Self::Level,
        }
    }

    /// A point on the nth line of the hatch, and its direction.
    fn line(self, n: f32) -> (Pos2, Vec2) {
        match self {
            Self::Rising => (Pos2::new(n, 0.0), Vec2::new(1.0, -1.0)),
            Self::Falling => (Pos2::new(n, 0.0), Vec2::new(1.0, 1.0)),
            Self::Upright => (Pos2::new(n, 0.0), Vec2::new(0.0, 1.0)),
            Self::Level => (Pos2::new(0.0, n), Vec2::new(1.0, 0.0)),
        }
    }

    /// Which line a point is on, as a number of points along the axis that the lines are counted on.
    fn count(self, p: Pos2) -> f32 {
        match self {
            Self::Rising => p.x + p.y,
            Self::Falling => p.x - p.y,
            Self::Upright => p.x,
            Self::Level => p.y,
        }
    }
}

/// How much a zone counts.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Rank {
    /// The plan aims at it.
    Aim,
    /// One of several, whose overlap is aimed at.
    OneOfSeveral,
}

/// Paints a zone into its rectangle.
pub(super) fn paint(painter: &Painter, rect: Rect, hatch: Hatch, rank: Rank, tokens: &Tokens) {
    let radius = f32::from(space::RADIUS).min(rect.width() / 2.0).min(rect.height() / 2.0);
    let (fill, faint, edge) = match rank {
        Rank::Aim => (tokens.zone, 0.32, Stroke::new(1.5, tokens.zone_edge)),
        Rank::OneOfSeveral => (tokens.zone.gamma_multiply(0.45), 0.26, Stroke::new(1.4, tokens.zone_edge)),
    };
    painter.rect_filled(rect, radius, fill);
    let stroke = Stroke::new(1.0, tokens.zone_edge.gamma_multiply(faint));
    for [from, to] in hatch_lines(rect, radius, hatch, painter.clip_rect()) {
        painter.line_segment([from, to], stroke);
    }
    painter.rect_stroke(rect, radius, edge, StrokeKind::Middle);
}

/// Lines of a hatch, each cut where it leaves the rounded rectangle; none where nobody sees it.
fn hatch_lines(rect: Rect, radius: f32, hatch: Hatch, seen: Rect) -> Vec<[Pos2; 2]> {
    let near = rect.intersect(seen.expand(HATCH));
    if !near.is_positive() || !near.is_finite() {
        return Vec::new();
    }
    let mut lines = Vec::new();
    // Counted from the screen's origin they stand still while the zone is resized.
    let corners = [near.left_top(), near.right_top(), near.left_bottom(), near.right_bottom()].map(|p| hatch.count(p));
    let (low, high) = corners.iter().fold((f32::INFINITY, f32::NEG_INFINITY), |(l, h), c| (l.min(*c), h.max(*c)));
    let mut n = (low / HATCH).ceil() * HATCH;
    while n <= high {
        if let Some((from, to)) = across(hatch.line(n), near) {
            let middle = from.lerp(to, 0.5);
            if inside(rect, radius, middle) {
                lines.push([cut(rect, radius, middle, from), cut(rect, radius, middle, to)]);
            }
        }
        n += HATCH;
    }
    lines
}

/// Where a line enters and leaves a rectangle.
fn across((at, way): (Pos2, Vec2), rect: Rect) -> Option<(Pos2, Pos2)> {
    let (mut from, mut to) = (f32::NEG_INFINITY, f32::INFINITY);
    for (p, w, low, high) in [(at.x, way.x, rect.left(), rect.right()), (at.y, way.y, rect.top(), rect.bottom())] {
        if w == 0.0 {
            if p < low || p > high {
                return None;
            }
            continue;
        }
        let (a, b) = ((low - p) / w, (high - p) / w);
        from = from.max(a.min(b));
        to = to.min(a.max(b));
    }
    (to > from && from.is_finite() && to.is_finite()).then(|| (at + way * from, at + way * to))
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
    (p - nearest).length_sq() <= radius * radius + 1e-2
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_hatch_line_stays_inside_the_rounded_zone() {
        let rect = Rect::from_min_size(Pos2::new(103.0, 57.0), Vec2::new(172.0, 149.0));
        for place in 0..4 {
            let lines = hatch_lines(rect, 8.0, Hatch::of(place), rect);
            assert!(lines.len() >= 10, "{place}: {}", lines.len());
            for end in lines.iter().flatten() {
                assert!(inside(rect.expand(0.05), 8.0, *end), "{place}: {end:?}");
            }
            for [from, to] in &lines {
                let way = *to - *from;
                let (_, expected) = Hatch::of(place).line(0.0);
                assert!(way.rot90().dot(expected).abs() < 0.1, "{place}: {way:?}");
            }
        }
        assert!(!inside(rect, 8.0, rect.left_top()));
    }

    #[test]
    fn an_empty_zone_or_one_out_of_sight_has_no_hatch() {
        let seen = Rect::from_min_size(Pos2::ZERO, Vec2::splat(500.0));
        assert!(hatch_lines(Rect::NOTHING, 0.0, Hatch::Rising, seen).is_empty());
        assert!(hatch_lines(Rect::from_min_size(Pos2::ZERO, Vec2::ZERO), 0.0, Hatch::Rising, seen).is_empty());
        let far = Rect::from_min_size(Pos2::new(9000.0, 0.0), Vec2::splat(5000.0));
        assert!(hatch_lines(far, 8.0, Hatch::Falling, seen).is_empty());
    }
}
