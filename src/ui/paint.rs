//! Small helpers for painting by hand: points from numbers, text runs, polygons that are not convex.

use std::sync::Arc;

use egui::epaint::{Mesh, Vertex, WHITE_UV};
use egui::{Align2, Color32, Galley, Painter, Pos2, Rect, Shape, Stroke, Vec2};

use super::theme::{Tokens, Weight, space};

/// A coordinate on the screen from a model number. Only ever used for drawing.
#[expect(clippy::cast_possible_truncation, reason = "a position on a screen needs no more than an f32 holds")]
pub(super) fn px(value: f64) -> f32 {
    value as f32
}

/// Lays out one line of text.
pub(super) fn line(painter: &Painter, words: &str, size_pt: f32, weight: Weight, color: Color32) -> Arc<Galley> {
    painter.layout_no_wrap(words.to_owned(), weight.font(size_pt), color)
}

/// Paints one line of text with its `anchor` at `at`, and returns where it went.
pub(super) fn words_at(
    painter: &Painter,
    at: Pos2,
    anchor: Align2,
    words: &str,
    (size_pt, weight): (f32, Weight),
    color: Color32,
) -> Rect {
    painter.text(at, anchor, words, weight.font(size_pt), color)
}

/// The ring that shows which control has the keyboard, outside `rect`.
pub(super) fn focus_ring(painter: &Painter, rect: Rect, tokens: &Tokens) {
    let radius = f32::from(space::RADIUS) + 3.0;
    painter.rect_stroke(rect.expand(3.0), radius, Stroke::new(2.0, tokens.accent), egui::StrokeKind::Middle);
}

/// A caution mark: a filled triangle with an exclamation mark cut out, `height` points tall, centred at `center`.
pub(super) fn caution_mark(painter: &Painter, center: Pos2, height: f32, mark: Color32, ground: Color32) {
    let half = height * 0.5;
    let corners = [Vec2::new(0.0, -half), Vec2::new(half * 1.12, half), Vec2::new(-half * 1.12, half)];
    painter.add(Shape::convex_polygon(corners.map(|c| center + c).to_vec(), mark, Stroke::new(1.0, mark)));
    let stem = [center + Vec2::new(0.0, -height * 0.16), center + Vec2::new(0.0, height * 0.16)];
    painter.line_segment(stem, Stroke::new(height * 0.12, ground));
    painter.circle_filled(center + Vec2::new(0.0, height * 0.33), height * 0.075, ground);
}

/// Fills a simple polygon of any shape, by cutting ears off it; an outline in `stroke` smooths its edge.
///
/// Fewer than three corners paint nothing. A polygon that crosses itself is filled as well as ears can be found.
pub(super) fn polygon(painter: &Painter, corners: &[Pos2], fill: Color32, stroke: Stroke) {
    if corners.len() < 3 {
        return;
    }
    let mut mesh = Mesh::default();
    mesh.vertices.extend(corners.iter().map(|&pos| Vertex { pos, uv: WHITE_UV, color: fill }));
    for [a, b, c] in ears(corners) {
        // Corner counts of a contour are in the hundreds.
        if let (Ok(a), Ok(b), Ok(c)) = (u32::try_from(a), u32::try_from(b), u32::try_from(c)) {
            mesh.add_triangle(a, b, c);
        }
    }
    painter.add(Shape::mesh(mesh));
    painter.add(Shape::closed_line(corners.to_vec(), stroke));
}

fn cross(o: Pos2, a: Pos2, b: Pos2) -> f32 {
    (a.x - o.x) * (b.y - o.y) - (a.y - o.y) * (b.x - o.x)
}

/// Triangles (as indices) that cover a simple polygon.
fn ears(corners: &[Pos2]) -> Vec<[usize; 3]> {
    let area: f32 = corners.iter().zip(corners.iter().cycle().skip(1)).map(|(a, b)| a.x * b.y - b.x * a.y).sum();
    let sign = if area < 0.0 { -1.0 } else { 1.0 };
    let mut left: Vec<usize> = (0..corners.len()).collect();
    let mut triangles = Vec::with_capacity(corners.len());
    while left.len() > 3 {
        let n = left.len();
        let is_ear = |&i: &usize| {
            let [p, q, r] = [left[(i + n - 1) % n], left[i], left[(i + 1) % n]];
            let [a, b, c] = [corners[p], corners[q], corners[r]];
            sign * cross(a, b, c) > 0.0
                && !left.iter().any(|&k| {
                    ![p, q, r].contains(&k)
                        && sign * cross(a, b, corners[k]) >= 0.0
                        && sign * cross(b, c, corners[k]) >= 0.0
                        && sign * cross(c, a, corners[k]) >= 0.0
                })
        };
        // No ear is left only when the outline crosses itself: cut any corner rather than stop.
        let i = (0..n).find(is_ear).unwrap_or(0);
        triangles.push([left[(i + n - 1) % n], left[i], left[(i + 1) % n]]);
        left.remove(i);
    }
    if let [a, b, c] = left[..] {
        triangles.push([a, b, c]);
    }
    triangles
}

#[cfg(test)]
mod tests {
    use super::*;

    fn covered(corners: &[Pos2]) -> f32 {
        ears(corners).iter().map(|&[a, b, c]| cross(corners[a], corners[b], corners[c]).abs() / 2.0).sum()
    }

    #[test]
    fn a_bent_outline_is_covered_once() {
        // An L of area 3 and a crescent-like chevron of area 2: both have a corner that points inwards.
        let l = [(0., 0.), (2., 0.), (2., 1.), (1., 1.), (1., 2.), (0., 2.)].map(|(x, y)| Pos2::new(x, y));
        assert!((covered(&l) - 3.0).abs() < 1e-5);
        let chevron = [(0., 0.), (2., 2.), (4., 0.), (2., 1.)].map(|(x, y)| Pos2::new(x, y));
        assert!((covered(&chevron) - 2.0).abs() < 1e-5);
        let turned: Vec<Pos2> = chevron.iter().rev().copied().collect();
        assert!((covered(&turned) - 2.0).abs() < 1e-5);
    }

    #[test]
    fn degenerate_outlines_end() {
        let same = [Pos2::ZERO; 5];
        assert_eq!(ears(&same).len(), 3);
    }
}
