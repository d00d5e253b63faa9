//! What one can't or shouldn't enter: a region with a pattern of its own, an edge, and words.

use std::sync::Arc;

use egui::epaint::{Mesh, Vertex, WHITE_UV};
use egui::{Color32, Galley, Painter, Pos2, Rect, Shape, Stroke, Vec2};

use super::Canvas;
use super::place::{Placer, Spot};
use super::screen::Screen;
use crate::ui::paint::caution_mark;
use crate::ui::theme::{Weight, size};
use crate::ui::view::{LimitSide, LimitView, MapPoint, MapView};

/// Distance of dots and of hatch lines, points.
const PATTERN: f32 = 11.0;
/// The pattern lies along the edge and fades away from it over this depth, points: beyond it a faint fill is enough.
const BAND: f32 = 40.0;

/// A limit on the screen. Lengths run along its edge, depths across it.
pub(super) struct Region {
    /// The edge by rising length, drawn on beyond both sides of the frame.
    edge: Vec<Pos2>,
    side: LimitSide,
    /// The frame with a margin: everything is cut there.
    room: Rect,
}

impl Region {
    /// The part of a limit that is in sight, if any is.
    pub(super) fn of(limit: &LimitView, screen: &Screen) -> Option<Self> {
        // There is no water with less than nothing dissolved: no pattern below EC 0.
        let nothing = screen.at(MapPoint::new(screen.bounds.ph.0, 0.0)).y;
        let mut room = screen.frame.expand(6.0);
        room.max.y = room.max.y.min(nothing.max(room.top()));
        let flat = matches!(limit.side, LimitSide::Below | LimitSide::Above);
        let mut points = screen.path(&limit.edge);
        points.retain(|p| p.is_finite());
        // By rising place along the edge; what turns back is left out.
        let along = |p: Pos2| if flat { p.x } else { -p.y };
        points.dedup_by(|b, a| along(*b) <= along(*a));
        let mut points = smooth(&points, along);
        let (first, last) = (*points.first()?, *points.last()?);
        let level = if flat { Vec2::RIGHT } else { Vec2::UP };
        let before = points.get(1).map_or(level, |second| (*second - first).normalized());
        let after = points.iter().rev().nth(1).map_or(level, |p| (last - *p).normalized());
        let (from, to) = if flat { (room.left(), room.right()) } else { (-room.bottom(), -room.top()) };
        let mut edge = Vec::with_capacity(points.len() + 2);
        if along(first) > from {
            edge.push(reached(first, -before, along(first) - from, flat));
        }
        edge.append(&mut points);
        if along(last) < to {
            edge.push(reached(last, after, to - along(last), flat));
        }
        let region = Self { edge, side: limit.side, room };
        region.is_in_sight(screen.frame).then_some(region)
    }

    fn is_flat(&self) -> bool {
        matches!(self.side, LimitSide::Below | LimitSide::Above)
    }

    /// Whether a point on the screen lies in it.
    pub(super) fn contains(&self, p: Pos2) -> bool {
        self.depth(p).is_some_and(|depth| depth > 0.0)
    }

    /// How far a point lies beyond the edge, straight across it; less than nothing outside.
    fn depth(&self, p: Pos2) -> Option<f32> {
        let edge = self.edge_at(p).filter(|_| p.y <= self.room.bottom())?;
        Some(match self.side {
            LimitSide::Above => edge - p.y,
            LimitSide::Below => p.y - edge,
            LimitSide::Left => edge - p.x,
            LimitSide::Right => p.x - edge,
        })
    }

    /// How strong the pattern is at a point: full at the edge, nothing beyond the band.
    fn strength(&self, p: Pos2) -> f32 {
        self.depth(p).map_or(0.0, |depth| (1.0 - depth / BAND).clamp(0.0, 1.0))
    }

    /// Places along the edge, just inside.
    fn beside_edge(&self, room: Rect, words: Vec2) -> Vec<Pos2> {
        let mut found = Vec::new();
        for gap in [8.0, 20.0, 34.0] {
            for share in [0.5, 0.25, 0.75, 0.1, 0.9] {
                let free = (room.size() - words).max(Vec2::ZERO);
                let corner = room.min + free * share;
                let ends = if self.is_flat() {
                    [Pos2::new(corner.x, room.top()), Pos2::new(corner.x + words.x, room.top())]
                } else {
                    [Pos2::new(room.left(), corner.y), Pos2::new(room.left(), corner.y + words.y)]
                };
                let edges: Vec<f32> = ends.iter().filter_map(|end| self.edge_at(*end)).collect();
                let [low, high] = [edges.iter().copied().reduce(f32::min), edges.iter().copied().reduce(f32::max)];
                let (Some(low), Some(high)) = (low, high) else { continue };
                let corner = match self.side {
                    LimitSide::Above => Pos2::new(corner.x, low - gap - words.y),
                    LimitSide::Below => Pos2::new(corner.x, high + gap),
                    LimitSide::Left => Pos2::new(low - gap - words.x, corner.y),
                    LimitSide::Right => Pos2::new(high + gap, corner.y),
                };
                if self.holds(Rect::from_min_size(corner, words).expand(2.0)) && room.contains(corner) {
                    found.push(corner);
                }
            }
        }
        found.retain(|corner| room.contains_rect(Rect::from_min_size(*corner, words)));
        found
    }

    fn holds(&self, rect: Rect) -> bool {
        let corners = [rect.left_top(), rect.right_top(), rect.left_bottom(), rect.right_bottom()];
        corners.iter().all(|corner| self.contains(*corner))
    }

    /// Where the edge is, at the place along it that `p` is at.
    fn edge_at(&self, p: Pos2) -> Option<f32> {
        let flat = self.is_flat();
        let turned = |q: Pos2| if flat { (q.x, q.y) } else { (-q.y, q.x) };
        let at = turned(p).0;
        let next = self.edge.partition_point(|q| turned(*q).0 < at);
        let (a, b) = (turned(*self.edge.get(next.saturating_sub(1))?), turned(*self.edge.get(next)?));
        Some(if b.0 > a.0 { a.1 + (b.1 - a.1) * ((at - a.0) / (b.0 - a.0)).clamp(0.0, 1.0) } else { a.1 })
    }

    fn is_in_sight(&self, frame: Rect) -> bool {
        let inner = frame.shrink(1.0);
        (0..=24_u8).any(|i| {
            let share = f32::from(i) / 24.0;
            let (x, y) = (egui::lerp(inner.x_range(), share), egui::lerp(inner.y_range(), share));
            let ends = match self.side {
                LimitSide::Above => Pos2::new(x, inner.top()),
                LimitSide::Below => Pos2::new(x, inner.bottom().min(self.room.bottom())),
                LimitSide::Left => Pos2::new(inner.left(), y),
                LimitSide::Right => Pos2::new(inner.right(), y),
            };
            self.contains(ends)
        })
    }

    /// The far side of the region, opposite to a point of the edge.
    fn far(&self, p: Pos2) -> Pos2 {
        match self.side {
            LimitSide::Above => Pos2::new(p.x, self.room.top()),
            LimitSide::Below => Pos2::new(p.x, self.room.bottom()),
            LimitSide::Left => Pos2::new(self.room.left(), p.y),
            LimitSide::Right => Pos2::new(self.room.right(), p.y),
        }
    }

    /// The edge with a corner where it leaves the room across, so that pulling its points in bends nothing that is in sight.
    fn edge_in_room(&self) -> Vec<Pos2> {
        let flat = self.is_flat();
        let depth = |p: Pos2| if flat { p.y } else { p.x };
        let walls = if flat { [self.room.top(), self.room.bottom()] } else { [self.room.left(), self.room.right()] };
        let mut points = Vec::with_capacity(self.edge.len() + 2);
        for pair in self.edge.windows(2) {
            let (a, b) = (pair[0], pair[1]);
            points.push(a);
            let mut crossings: Vec<f32> = walls
                .iter()
                .map(|wall| (wall - depth(a)) / (depth(b) - depth(a)))
                .filter(|share| (0.0..1.0).contains(share))
                .collect();
            crossings.sort_by(f32::total_cmp);
            points.extend(crossings.into_iter().map(|share| a.lerp(b, share)));
        }
        points.extend(self.edge.last());
        points.into_iter().map(|p| p.clamp(self.room.min, self.room.max)).collect()
    }

    fn fill(&self, painter: &Painter, color: Color32) {
        let mut mesh = Mesh::default();
        for pair in self.edge_in_room().windows(2) {
            let Ok(base) = u32::try_from(mesh.vertices.len()) else { return };
            for pos in [pair[0], pair[1], self.far(pair[1]), self.far(pair[0])] {
                mesh.vertices.push(Vertex { pos, uv: WHITE_UV, color });
            }
            mesh.add_triangle(base, base + 1, base + 2);
            mesh.add_triangle(base, base + 2, base + 3);
        }
        painter.add(Shape::mesh(mesh));
    }

    /// Dots in rows, every other row shifted, counted from the screen's origin.
    fn dots(&self, painter: &Painter, frame: Rect, color: Color32) {
        let mut row = (frame.top() / PATTERN).ceil();
        while row * PATTERN < frame.bottom() {
            let y = row * PATTERN;
            let shift = if row.rem_euclid(2.0) < 0.5 { 0.0 } else { PATTERN };
            let mut x = ((frame.left() - shift) / (2.0 * PATTERN)).ceil() * 2.0 * PATTERN + shift;
            while x < frame.right() {
                let at = Pos2::new(x, y);
                if self.contains(at) {
                    let strength = self.strength(at);
                    if strength > 0.0 {
                        painter.circle_filled(at, 1.2, color.gamma_multiply(strength));
                    }
                }
                x += 2.0 * PATTERN;
            }
            row += 1.0;
        }
    }

    /// Falling lines, close together, counted from the screen's origin.
    fn hatch(&self, painter: &Painter, frame: Rect, stroke: Stroke) {
        let step = 8.0;
        let mut n = ((frame.left() - frame.bottom()) / PATTERN).ceil() * PATTERN;
        while n < frame.right() - frame.top() {
            // Along x − y = n, the pieces that lie within.
            let at = |x: f32| Pos2::new(x, x - n);
            let (begin, end) = (frame.left().max(n + frame.top()), frame.right().min(n + frame.bottom()));
            let mut x = begin;
            while x < end {
                let next = (x + step).min(end);
                let (a, b) = (at(x), at(next));
                let piece = match (self.contains(a), self.contains(b)) {
                    (true, true) => Some([a, b]),
                    (true, false) => Some([a, self.crossing(a, b)]),
                    (false, true) => Some([self.crossing(b, a), b]),
                    (false, false) => None,
                };
                if let Some([from, to]) = piece {
                    let strength = self.strength(from.lerp(to, 0.5));
                    if strength > 0.0 {
                        painter
                            .line_segment([from, to], Stroke::new(stroke.width, stroke.color.gamma_multiply(strength)));
                    }
                }
                x = next;
            }
            n += PATTERN;
        }
    }

    /// Where the way from a point inside to one outside crosses the edge.
    fn crossing(&self, inside: Pos2, outside: Pos2) -> Pos2 {
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..6 {
            let middle = f32::midpoint(low, high);
            if self.contains(inside.lerp(outside, middle)) { low = middle } else { high = middle }
        }
        inside.lerp(outside, low)
    }

    /// Places for words of a size within the region, those near the edge first.
    fn places(&self, frame: Rect, words: Vec2) -> Vec<Pos2> {
        let room = frame.shrink(8.0);
        let mut found = self.beside_edge(room, words);
        let shares = [0.5, 0.25, 0.75, 0.02, 0.98, 0.37, 0.63, 0.13, 0.87];
        let (far_first, across): (Vec<f32>, bool) = match self.side {
            LimitSide::Above => (vec![0.0, 0.08, 0.16, 0.24, 0.32, 0.5, 0.7], true),
            LimitSide::Below => (vec![1.0, 0.92, 0.84, 0.76, 0.68, 0.5, 0.3], true),
            LimitSide::Left => (vec![0.0, 0.1, 0.25, 0.5, 0.7], false),
            LimitSide::Right => (vec![1.0, 0.9, 0.75, 0.5, 0.3], false),
        };
        for depth in far_first {
            for share in shares {
                let (sx, sy) = if across { (share, depth) } else { (depth, share) };
                let corner = room.min + (room.size() - words).max(Vec2::ZERO) * Vec2::new(sx, sy);
                let rect = Rect::from_min_size(corner, words).expand(2.0);
                if self.holds(rect) {
                    found.push(corner);
                }
            }
        }
        found
    }
}

/// A curve through all points (Catmull and Rom's), which never turns back along the edge.
fn smooth(points: &[Pos2], along: impl Fn(Pos2) -> f32) -> Vec<Pos2> {
    let mut curve = Vec::with_capacity(points.len() * 6);
    for (i, pair) in points.windows(2).enumerate() {
        let (b, c) = (pair[0], pair[1]);
        let a = i.checked_sub(1).and_then(|before| points.get(before)).copied().unwrap_or(b);
        let d = points.get(i + 2).copied().unwrap_or(c);
        let (leaving, arriving) = ((c - a) / 2.0, (d - b) / 2.0);
        for step in 0..6_u8 {
            let t = f32::from(step) / 6.0;
            let (t2, t3) = (t * t, t * t * t);
            let way = (3.0 * t2 - 2.0 * t3) * (c - b) + (t3 - 2.0 * t2 + t) * leaving + (t3 - t2) * arriving;
            curve.push(b + way);
        }
    }
    curve.extend(points.last());
    curve.dedup_by(|b, a| along(*b) <= along(*a));
    curve
}

/// The point reached from `p` in a direction after `by` points along the edge's own axis; a direction that hardly follows
/// the axis is cut far outside.
fn reached(p: Pos2, way: Vec2, by: f32, flat: bool) -> Pos2 {
    let along = if flat { way.x } else { way.y }.abs().max(1e-3);
    let end = p + way * (by / along);
    let far = 30_000.0;
    if flat { Pos2::new(end.x, end.y.clamp(-far, far)) } else { Pos2::new(end.x.clamp(-far, far), end.y) }
}

/// Paints the regions: quiet enough not to compete with the zone.
pub(super) fn paint(canvas: Canvas<'_>, map: &MapView) -> Vec<(usize, Region)> {
    let Canvas { painter, screen, tokens } = canvas;
    let mut regions = Vec::new();
    for (i, limit) in map.limits.iter().enumerate() {
        let Some(region) = Region::of(limit, screen) else { continue };
        region.fill(painter, tokens.caution_soft.gamma_multiply(if limit.is_hard { 0.2 } else { 0.15 }));
        if limit.is_hard {
            let stroke = Stroke::new(1.0, tokens.caution.gamma_multiply(0.3));
            region.hatch(painter, screen.frame, stroke);
            painter.line(region.edge.clone(), Stroke::new(2.0, tokens.caution.gamma_multiply(0.8)));
        } else {
            region.dots(painter, screen.frame, tokens.caution.gamma_multiply(0.45));
            super::lines::dashed(
                painter,
                &region.edge,
                Stroke::new(1.3, tokens.caution.gamma_multiply(0.8)),
                (6.0, 4.0),
            );
        }
        regions.push((i, region));
    }
    regions
}

/// Words of a limit, and where in its region they could stand.
pub(super) struct Words {
    place: usize,
    galley: Arc<Galley>,
    size: Vec2,
    corners: Vec<Pos2>,
}

/// Room of the caution mark before the words.
const MARK: f32 = 16.0;

/// Lays the words of the regions out, and asks other labels to leave their best place to them.
pub(super) fn words(
    canvas: Canvas<'_>,
    map: &MapView,
    regions: &[(usize, Region)],
    placer: &mut Placer<'_>,
) -> Vec<Words> {
    let Canvas { painter, screen, tokens } = canvas;
    let widest = (screen.frame.width() * 0.6).clamp(80.0, 340.0) - MARK;
    let mut found = Vec::new();
    for (place, region) in regions {
        let Some(limit) = map.limits.get(*place).filter(|limit| !limit.words.is_empty()) else { continue };
        let galley = painter.layout(limit.words.clone(), Weight::Medium.font(size::SMALL), tokens.caution, widest);
        let size = galley.size() + Vec2::new(MARK + 8.0, 4.0);
        let corners = region.places(screen.frame, size);
        if let Some(first) = corners.first() {
            placer.discourage(Rect::from_min_size(*first, size), 1.0);
        }
        found.push(Words { place: *place, galley, size, corners });
    }
    found
}

/// Puts the words into their regions where there is room. Where there is none, the map's twin in words still has them.
pub(super) fn paint_words(canvas: Canvas<'_>, words: Vec<Words>, placer: &mut Placer<'_>) {
    let Canvas { painter, screen, tokens } = canvas;
    for Words { place, galley, size, corners } in words {
        let spot = (Spot::Limit(place), screen.frame.min);
        let Some(rect) = placer.place_if_free(spot, size, &corners) else { continue };
        // The region's own pattern runs behind the words: a plate keeps them legible.
        painter.rect_filled(rect, 4.0, tokens.map.gamma_multiply(0.86));
        let row = galley.rows.first().map_or(0.0, |row| row.height());
        caution_mark(painter, rect.min + Vec2::new(10.0, 2.0 + row / 2.0), 10.0, tokens.caution, tokens.map);
        painter.galley(rect.min + Vec2::new(MARK + 4.0, 2.0), galley, tokens.caution);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ui::map::Bounds;
    use crate::ui::view::MapPoint;

    fn screen() -> Screen {
        Screen {
            bounds: Bounds { ph: (4.0, 8.0), ec_ms_cm: (0.0, 4.0) },
            frame: Rect::from_min_size(Pos2::new(40.0, 30.0), Vec2::new(400.0, 400.0)),
        }
    }

    fn limit(side: LimitSide, edge: &[(f64, f64)]) -> LimitView {
        LimitView {
            edge: edge.iter().map(|(ph, ec)| MapPoint::new(*ph, *ec)).collect(),
            side,
            words: "may turn cloudy".to_owned(),
            is_hard: false,
        }
    }

    fn covers(limit: &LimitView, ph: f64, ec: f64) -> bool {
        Region::of(limit, &screen()).is_some_and(|r| r.contains(screen().at(MapPoint::new(ph, ec))))
    }

    #[test]
    fn each_side_covers_what_lies_beyond_its_edge_and_nothing_else() {
        let bent = [(5.0, 3.0), (6.0, 2.0), (7.0, 1.5)];
        let above = limit(LimitSide::Above, &bent);
        assert!(covers(&above, 6.0, 2.1) && !covers(&above, 6.0, 1.9));
        assert!(covers(&above, 7.9, 1.2) && !covers(&above, 7.9, 1.0), "it goes on straight beyond its end");
        assert!(covers(&above, 4.1, 3.95) && !covers(&above, 4.5, 3.4), "and before its start");
        let below = limit(LimitSide::Below, &bent);
        assert!(covers(&below, 6.0, 1.9) && !covers(&below, 6.0, 2.1));
        let upright = [(5.0, 1.0), (5.5, 2.0)];
        let left = limit(LimitSide::Left, &upright);
        assert!(covers(&left, 5.2, 1.5) && !covers(&left, 5.3, 1.5));
        let right = limit(LimitSide::Right, &upright);
        assert!(covers(&right, 5.3, 1.5) && !covers(&right, 5.2, 1.5));
        let single = limit(LimitSide::Right, &[(7.0, 2.0)]);
        assert!(covers(&single, 7.1, 0.1) && covers(&single, 7.1, 3.9) && !covers(&single, 6.9, 3.0));
    }

    #[test]
    fn what_is_out_of_sight_is_not_drawn_and_nonsense_is_not_believed() {
        assert!(Region::of(&limit(LimitSide::Above, &[(4.0, 9.0), (8.0, 9.0)]), &screen()).is_none());
        assert!(Region::of(&limit(LimitSide::Above, &[]), &screen()).is_none());
        assert!(Region::of(&limit(LimitSide::Left, &[(f64::NAN, 1.0)]), &screen()).is_none());
    }

    #[test]
    fn words_lie_inside_their_region() {
        let screen = screen();
        let region = Region::of(&limit(LimitSide::Above, &[(4.0, 3.0), (8.0, 2.0)]), &screen).expect("in sight");
        let words = Vec2::new(120.0, 18.0);
        let places = region.places(screen.frame, words);
        assert!(!places.is_empty());
        for corner in places {
            let rect = Rect::from_min_size(corner, words);
            assert!(screen.frame.contains_rect(rect));
            assert!(region.contains(rect.left_bottom()) && region.contains(rect.right_bottom()), "{rect:?}");
        }
    }
}
