//! Paths on the screen: cut short, walked along, dashed.

use egui::{Painter, Pos2, Shape, Stroke, Vec2};

/// A path without its last `by` points of length, and the direction in which it ends.
pub(super) fn shortened(path: &[Pos2], by: f32) -> (Vec<Pos2>, Option<Vec2>) {
    let mut left = by;
    let mut kept = path.to_vec();
    while let [.., before, last] = kept[..] {
        let step = last - before;
        let length = step.length();
        if length > left {
            let end = last - step / length * left;
            kept.pop();
            kept.push(end);
            return (kept, Some(step / length));
        }
        left -= length;
        kept.pop();
    }
    (kept, None)
}

/// The point at a share of a path's length, and the direction there.
pub(super) fn along(path: &[Pos2], share: f32) -> Option<(Pos2, Vec2)> {
    let length: f32 = path.windows(2).map(|w| w[0].distance(w[1])).sum();
    if length < 1.0 {
        return None;
    }
    let mut left = length * share;
    for pair in path.windows(2) {
        let step = pair[1] - pair[0];
        let part = step.length();
        if part > 0.0 && left <= part {
            return Some((pair[0] + step * (left / part), step / part));
        }
        left -= part;
    }
    None
}

/// A dashed line.
pub(super) fn dashed(painter: &Painter, path: &[Pos2], stroke: Stroke, (dash, gap): (f32, f32)) {
    if path.len() >= 2 {
        painter.extend(Shape::dashed_line(path, stroke, dash, gap));
    }
}

/// A dashed outline.
pub(super) fn dashed_outline(painter: &Painter, corners: &[Pos2], stroke: Stroke, dashes: (f32, f32)) {
    let mut closed = corners.to_vec();
    closed.extend(corners.first());
    dashed(painter, &closed, stroke, dashes);
}

/// A dashed circle.
pub(super) fn dashed_circle(painter: &Painter, center: Pos2, radius: f32, stroke: Stroke) {
    let ring: Vec<Pos2> =
        (0..=48_u8).map(|i| center + radius * Vec2::angled(std::f32::consts::TAU * f32::from(i) / 48.0)).collect();
    dashed(painter, &ring, stroke, (4.0, 2.3));
}

/// The point of a path that is nearest to `at`, and how far it is.
pub(super) fn nearest_on(path: &[Pos2], at: Pos2) -> Option<(Pos2, f32)> {
    let on = |a: Pos2, b: Pos2| {
        let way = b - a;
        let length_sq = way.length_sq();
        if length_sq < 1e-6 { a } else { a + way * ((at - a).dot(way) / length_sq).clamp(0.0, 1.0) }
    };
    let mut best: Option<(Pos2, f32)> = path.first().map(|p| (*p, p.distance(at)));
    for pair in path.windows(2) {
        let point = on(pair[0], pair[1]);
        let distance = point.distance(at);
        if best.is_none_or(|(_, least)| distance < least) {
            best = Some((point, distance));
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;

    const BENT: [Pos2; 3] = [Pos2::new(0.0, 0.0), Pos2::new(10.0, 0.0), Pos2::new(10.0, 10.0)];

    #[test]
    fn shortening_keeps_the_direction_and_never_turns_back() {
        let (kept, direction) = shortened(&BENT, 4.0);
        assert_eq!(kept.last(), Some(&Pos2::new(10.0, 6.0)));
        assert_eq!(direction, Some(Vec2::new(0.0, 1.0)));
        let (kept, direction) = shortened(&BENT, 12.0);
        assert_eq!(kept.last(), Some(&Pos2::new(8.0, 0.0)));
        assert_eq!(direction, Some(Vec2::new(1.0, 0.0)));
        assert_eq!(shortened(&BENT, 100.0).1, None);
        assert_eq!(shortened(&[], 1.0).1, None);
    }

    #[test]
    fn along_finds_the_middle() {
        assert_eq!(along(&BENT, 0.25).map(|(p, _)| p), Some(Pos2::new(5.0, 0.0)));
        assert_eq!(along(&BENT[..1], 0.5), None);
    }

    #[test]
    fn the_nearest_point_lies_on_the_path() {
        assert_eq!(nearest_on(&BENT, Pos2::new(4.0, 3.0)), Some((Pos2::new(4.0, 0.0), 3.0)));
        assert_eq!(nearest_on(&BENT, Pos2::new(12.0, 14.0)).map(|(p, _)| p), Some(Pos2::new(10.0, 10.0)));
        assert_eq!(nearest_on(&[], Pos2::ZERO), None);
    }
}
