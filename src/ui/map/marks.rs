//! Points, arrows, cloud and words on the map, in screen points.

use std::sync::Arc;

use egui::{Galley, Painter, Pos2, Rect, Shape, Stroke, StrokeKind, Vec2};

use super::place::{Placer, around};
use super::{Screen, zone};
use crate::ui::paint::{line, polygon};
use crate::ui::theme::{Tokens, Weight, size, space};
use crate::ui::view::{ArrowView, LandingView, MapPoint, MapView, SettledView};
use crate::ui::widgets::badge;

/// Radius of the latest reading.
const NOW: f32 = 7.0;
/// Radius of an earlier reading.
const EARLIER: f32 = 5.0;
/// Radius of the landing ring.
const LANDING: f32 = 11.0;
/// Radius of the settled ring.
const SETTLED: f32 = 8.0;

/// Paints everything on the map, back to front, then the words where there is room.
pub(super) fn paint(painter: &Painter, map: &MapView, screen: &Screen, tokens: &Tokens) {
    let mut placer = Placer::new(screen.frame);
    if let Some(view) = map.zone() {
        let low = MapPoint::new(view.ph.0, view.ec_ms_cm.0);
        let high = MapPoint::new(view.ph.1, view.ec_ms_cm.1);
        if low.is_finite() && high.is_finite() {
            let rect = Rect::from_two_pos(screen.at(low), screen.at(high));
            zone::paint(painter, rect, tokens);
            placer.discourage(rect, 0.1);
            let name = line(painter, &view.name, size::SMALL, Weight::SemiBold, tokens.zone_edge);
            let corner = zone::name_corner(screen.frame, rect.intersect(screen.frame), name.size());
            placer.block(Rect::from_min_size(corner, name.size()).expand(2.0));
            // On the zone's own fill the name would be too faint in the light theme.
            let plate = Rect::from_min_size(corner, name.size()).expand2(Vec2::new(4.0, 1.0));
            if rect.intersects(plate) {
                painter.rect_filled(plate, 4.0, tokens.map);
            }
            painter.galley(corner, name, tokens.zone_edge);
        }
    }
    if let Some(landing) = &map.landing {
        paint_cloud(painter, landing, screen, tokens, &mut placer);
    }
    block_points(map, screen, &mut placer);
    paint_arrows(painter, map, screen, tokens);
    for earlier in map.earlier.iter().filter(|e| e.at.is_finite()) {
        painter.circle(screen.at(earlier.at), EARLIER, tokens.map, Stroke::new(1.5, tokens.quiet));
    }
    let landing = map.landing.as_ref().filter(|landing| landing.at.is_finite());
    if let Some(settled) = landing.and_then(|l| l.settled.as_ref()) {
        paint_settled(painter, settled, screen, tokens);
    }
    if let Some(now) = map.now.filter(|now| now.is_finite()) {
        painter.circle(screen.at(now), NOW, tokens.ink, Stroke::new(1.5, tokens.map));
    }
    if let Some(landing) = landing {
        let at = screen.at(landing.at);
        painter.circle(at, LANDING, tokens.map, Stroke::new(3.0, tokens.accent));
        painter.circle_filled(at, 3.5, tokens.accent);
    }
    paint_badges(painter, map, screen, tokens, &mut placer);
    paint_labels(painter, map, screen, tokens, &mut placer);
    if map.now.is_none() && !map.hint.is_empty() {
        paint_hint(painter, &map.hint, screen, tokens, &mut placer);
    }
    if let Some(landing) = landing {
        paint_callout(painter, map, screen.at(landing.at), landing, tokens, &mut placer);
    }
}

fn paint_cloud(painter: &Painter, landing: &LandingView, screen: &Screen, tokens: &Tokens, placer: &mut Placer) {
    for (outline, strength, edge) in [(&landing.cloud_80, 0.16, 0.45), (&landing.cloud_50, 0.24, 0.7)] {
        let corners = screen.path(outline);
        if corners.len() < 3 {
            continue;
        }
        let stroke = Stroke::new(1.0, tokens.accent.gamma_multiply(edge));
        polygon(painter, &corners, tokens.accent.gamma_multiply(strength), stroke);
        placer.discourage(Rect::from_points(&corners), 0.6);
    }
}

/// Keeps words off everything that must be seen.
fn block_points(map: &MapView, screen: &Screen, placer: &mut Placer) {
    let mut block = |at: MapPoint, radius: f32| {
        if at.is_finite() {
            placer.block(Rect::from_center_size(screen.at(at), Vec2::splat(2.0 * radius + 4.0)));
        }
    };
    map.earlier.iter().for_each(|e| block(e.at, EARLIER));
    map.now.into_iter().for_each(|now| block(now, NOW));
    if let Some(landing) = &map.landing {
        block(landing.at, LANDING);
        landing.settled.iter().for_each(|s| block(s.at, SETTLED));
    }
    for arrow in &map.arrows {
        let path = screen.path(&arrow.path);
        for pair in path.windows(2) {
            if let [a, b] = pair {
                let steps = (a.distance(*b) / 8.0).ceil().clamp(1.0, 200.0);
                let mut i = 0.0;
                while i <= steps {
                    placer.block(Rect::from_center_size(a.lerp(*b, i / steps), Vec2::splat(8.0)));
                    i += 1.0;
                }
            }
        }
    }
}

fn paint_arrows(painter: &Painter, map: &MapView, screen: &Screen, tokens: &Tokens) {
    for arrow in &map.arrows {
        let path = screen.path(&arrow.path);
        if path.len() < 2 {
            continue;
        }
        if arrow.poured {
            painter.line(path, Stroke::new(1.5, tokens.quiet));
            continue;
        }
        let stop = if is_last_planned(map, arrow) { LANDING + 2.0 } else { 2.0 };
        let (path, tip) = shortened(&path, stop);
        if let (Some(&end), Some(direction)) = (path.last(), tip) {
            // A pour too small to show keeps its place: a short stub with a head.
            let head = 13.0;
            let base = end - direction * head;
            let (shaft, _) = shortened(&path, head * 0.8);
            if shaft.len() >= 2 {
                painter.line(shaft, Stroke::new(2.5, tokens.ink));
            }
            let side = direction.rot90() * 7.0;
            let corners = vec![end, base + side, base - side];
            painter.add(Shape::convex_polygon(corners, tokens.ink, Stroke::NONE));
        }
    }
}

fn is_last_planned(map: &MapView, arrow: &ArrowView) -> bool {
    map.arrows.iter().rev().find(|a| !a.poured).is_some_and(|last| last.number == arrow.number)
}

/// A path without its last `by` points of length, and the direction in which it ends.
fn shortened(path: &[Pos2], by: f32) -> (Vec<Pos2>, Option<Vec2>) {
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

fn paint_settled(painter: &Painter, settled: &SettledView, screen: &Screen, tokens: &Tokens) {
    if !settled.at.is_finite() {
        return;
    }
    let stroke = Stroke::new(1.5, tokens.quiet);
    let (path, _) = shortened(&screen.path(&settled.path), SETTLED);
    if path.len() >= 2 {
        painter.extend(Shape::dashed_line(&path, stroke, 4.0, 3.0));
    }
    dashed_ring(painter, screen.at(settled.at), tokens);
}

/// Numbers beside the middle of each arrow.
fn paint_badges(painter: &Painter, map: &MapView, screen: &Screen, tokens: &Tokens, placer: &mut Placer) {
    for arrow in &map.arrows {
        let path = screen.path(&arrow.path);
        let size_pt = Vec2::splat(22.0);
        let mut candidates = Vec::new();
        for share in [0.5, 0.35, 0.65, 0.2, 0.8] {
            let Some((at, direction)) = along(&path, share) else { continue };
            for distance in [19.0, 32.0] {
                let side = direction.rot90() * distance;
                for offset in [side, -side] {
                    candidates.push(at + offset - size_pt / 2.0);
                }
            }
        }
        if let (true, Some(&at)) = (candidates.is_empty(), path.first()) {
            candidates.extend(around(at, size_pt, LANDING + 4.0));
        }
        if !candidates.is_empty() {
            let rect = placer.place(size_pt, candidates);
            badge(painter, rect.center(), arrow.number, tokens);
        }
    }
}

/// The point at a share of a path's length, and the direction there.
fn along(path: &[Pos2], share: f32) -> Option<(Pos2, Vec2)> {
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

fn paint_labels(painter: &Painter, map: &MapView, screen: &Screen, tokens: &Tokens, placer: &mut Placer) {
    let mut label = |at: MapPoint, words: &str, weight: Weight, gap: f32, color| {
        if !at.is_finite() || words.is_empty() {
            return;
        }
        let galley = line(painter, words, size::SMALL, weight, color);
        let at = screen.at(at);
        let rect = placer.place(galley.size(), around(at, galley.size(), gap));
        // A label that found no room beside its mark is tied to it.
        let near = at.clamp(rect.min, rect.max);
        let away = at - near;
        if away.length() > gap + 8.0 {
            painter.line_segment([near, at - away.normalized() * (gap - 4.0)], Stroke::new(1.0, tokens.quiet));
        }
        haloed(painter, rect.min, galley, tokens);
    };
    if let Some(now) = map.now {
        label(now, &format!("now {}", map.now_text), Weight::Medium, NOW + 8.0, tokens.ink);
    }
    if let Some(settled) = map.landing.as_ref().and_then(|l| l.settled.as_ref()) {
        label(settled.at, "settled", Weight::Regular, SETTLED + 6.0, tokens.quiet);
    }
    // Newest first: it is the one to keep its place.
    for earlier in map.earlier.iter().rev() {
        label(earlier.at, &earlier.label, Weight::Regular, EARLIER + 7.0, tokens.quiet);
    }
}

/// Words with a soft edge of the map's own colour, so that grid and hatch do not run through them.
fn haloed(painter: &Painter, corner: Pos2, galley: Arc<Galley>, tokens: &Tokens) {
    let plate = Rect::from_min_size(corner, galley.size()).expand2(Vec2::new(3.0, 0.0));
    painter.rect_filled(plate, 4.0, tokens.map.gamma_multiply(0.82));
    let color = galley.job.sections.first().map_or(tokens.ink, |s| s.format.color);
    painter.galley(corner, galley, color);
}

/// A dashed place for the reading that is still to come, with words under it.
fn paint_hint(painter: &Painter, words: &str, screen: &Screen, tokens: &Tokens, placer: &mut Placer) {
    let note = line(painter, words, size::BODY, Weight::Regular, tokens.quiet);
    let size_pt = Vec2::new(note.size().x.max(2.0 * SETTLED), note.size().y + 2.0 * SETTLED + 8.0);
    let frame = screen.frame;
    let candidates = [0.82, 0.16, 0.5].map(|share| {
        Pos2::new(frame.center().x - size_pt.x / 2.0, frame.top() + frame.height() * share - size_pt.y / 2.0)
    });
    let rect = placer.place(size_pt, candidates);
    dashed_ring(painter, Pos2::new(rect.center().x, rect.top() + SETTLED), tokens);
    haloed(painter, Pos2::new(rect.center().x - note.size().x / 2.0, rect.bottom() - note.size().y), note, tokens);
}

fn dashed_ring(painter: &Painter, center: Pos2, tokens: &Tokens) {
    painter.circle_filled(center, SETTLED, tokens.map.gamma_multiply(0.5));
    let ring: Vec<Pos2> =
        (0..=48_u8).map(|i| center + SETTLED * Vec2::angled(std::f32::consts::TAU * f32::from(i) / 48.0)).collect();
    painter.extend(Shape::dashed_line(&ring, Stroke::new(1.5, tokens.quiet), 4.0, 2.3));
}

fn paint_callout(
    painter: &Painter,
    map: &MapView,
    at: Pos2,
    landing: &LandingView,
    tokens: &Tokens,
    placer: &mut Placer,
) {
    let head = line(painter, &format!("Landing {}", map.landing_text), size::BODY, Weight::SemiBold, tokens.ink);
    let mut note = landing.range.clone();
    if let Some(settled) = &landing.settled {
        if !note.is_empty() {
            note.push_str(" · ");
        }
        note.push_str(&settled.words);
    }
    let note = line(painter, &note, size::SMALL, Weight::Regular, tokens.quiet);
    let pad = Vec2::new(space::ONE_HALF, space::ONE);
    let inner = Vec2::new(head.size().x.max(note.size().x), head.size().y + 3.0 + note.size().y);
    let outer = inner + 2.0 * pad;
    let mut candidates = Vec::new();
    for gap in [48.0, 84.0, 130.0] {
        candidates.extend(around(at, outer, gap));
    }
    let rect = placer.place_with_leader(outer, candidates, (at, LANDING + 10.0));
    let near = at.clamp(rect.min, rect.max);
    let toward = at - near;
    if toward.length() > LANDING + 10.0 {
        let end = at - toward.normalized() * (LANDING + 3.0);
        painter.line_segment([near, end], Stroke::new(1.0, tokens.quiet));
    }
    painter.rect(rect, space::RADIUS, tokens.card, Stroke::new(1.0, tokens.outline), StrokeKind::Inside);
    let top = rect.min + pad;
    let below_head = Vec2::new(0.0, head.size().y + 3.0);
    painter.galley(top, head, tokens.ink);
    painter.galley(top + below_head, note, tokens.quiet);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shortening_keeps_the_direction_and_never_turns_back() {
        let path = [Pos2::new(0.0, 0.0), Pos2::new(10.0, 0.0), Pos2::new(10.0, 10.0)];
        let (kept, direction) = shortened(&path, 4.0);
        assert_eq!(kept.last(), Some(&Pos2::new(10.0, 6.0)));
        assert_eq!(direction, Some(Vec2::new(0.0, 1.0)));
        let (kept, direction) = shortened(&path, 12.0);
        assert_eq!(kept.last(), Some(&Pos2::new(8.0, 0.0)));
        assert_eq!(direction, Some(Vec2::new(1.0, 0.0)));
        assert_eq!(shortened(&path, 100.0).1, None);
        assert_eq!(shortened(&[], 1.0).1, None);
    }

    #[test]
    fn along_finds_the_middle() {
        let path = [Pos2::new(0.0, 0.0), Pos2::new(10.0, 0.0), Pos2::new(10.0, 10.0)];
        assert_eq!(along(&path, 0.25).map(|(p, _)| p), Some(Pos2::new(5.0, 0.0)));
        assert_eq!(along(&path[..1], 0.5), None);
    }
}
