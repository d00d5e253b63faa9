//! The landing in words, beside it: figures, range, risk, and what holds it back.

use std::sync::Arc;

use egui::{Galley, Pos2, Rect, Stroke, StrokeKind, Vec2};

use super::Canvas;
use super::ideas::letter_badge;
use super::limits::Region;
use super::marks::LANDING;
use super::place::{Placer, Spot, around};
use crate::ui::paint::{caution_mark, line};
use crate::ui::theme::{Weight, size, space};
use crate::ui::view::{LandingView, MapPoint, MapView};

/// Widest line before it is broken.
const WIDEST: f32 = 196.0;
/// Room of a mark before a line.
const MARK: f32 = 17.0;

/// A line of the callout.
struct Line {
    galley: Arc<Galley>,
    mark: Mark,
}

/// What stands before a line.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Mark {
    None,
    Caution,
    Stop,
}

/// Paints the callout, with a line to its landing. Returns where, if the landing is in sight.
pub(super) fn paint(
    canvas: Canvas<'_>,
    map: &MapView,
    landing: &LandingView,
    regions: &[(usize, Region)],
    placer: &mut Placer<'_>,
) -> Option<Rect> {
    let Canvas { painter, screen, tokens } = canvas;
    let at = screen.at(landing.at);
    if !screen.frame.contains(at) {
        return None;
    }
    let head = line(painter, &format!("Landing {}", map.landing_text), size::BODY, Weight::SemiBold, tokens.ink);
    let inside = regions.iter().filter(|(_, region)| region.contains(at)).filter_map(|(i, _)| map.limits.get(*i));
    let entered: Vec<&str> = inside.map(|limit| limit.words.as_str()).collect();
    let lines = lines(canvas, landing, &entered);
    // Empty paper first: what is aimed at must be seen. While it is held, or in the way of marks, nothing else changes.
    for zone in map.shared.iter().chain(&map.zones) {
        let corners = [MapPoint::new(zone.ph.0, zone.ec_ms_cm.0), MapPoint::new(zone.ph.1, zone.ec_ms_cm.1)];
        if corners.iter().all(|corner| corner.is_finite()) {
            let rect = Rect::from_two_pos(screen.at(corners[0]), screen.at(corners[1])).intersect(screen.frame);
            placer.discourage(rect, if map.shared.is_none() { 3.0 } else { 1.5 });
        }
    }
    let letter_room = if map.letter.is_some() { 24.0 } else { 0.0 };
    let pad = Vec2::new(space::ONE_HALF, space::ONE);
    let mut inner = Vec2::new(head.size().x + letter_room, head.size().y);
    for line in &lines {
        let indent = if line.mark == Mark::None { 0.0 } else { MARK };
        inner = Vec2::new(inner.x.max(line.galley.size().x + indent), inner.y + 3.0 + line.galley.size().y);
    }
    // Its width goes in steps, so that it does not tremble with each figure.
    inner.x = (inner.x / 8.0).ceil() * 8.0;
    let outer = inner + 2.0 * pad;
    let mut candidates = Vec::new();
    for gap in [48.0, 84.0, 130.0] {
        candidates.extend(around(at, outer, gap));
    }
    // Where it is crowded all around, anywhere: a leader ties it to its ring.
    let room = screen.frame.shrink(6.0);
    for (x, y) in (0..5_u8).flat_map(|y| (0..5_u8).map(move |x| (f32::from(x) / 4.0, f32::from(y) / 4.0))) {
        candidates.push(room.min + (room.size() - outer).max(Vec2::ZERO) * Vec2::new(x, y));
    }
    let rect = placer.place_with_leader((Spot::Callout, at), outer, candidates, LANDING + 10.0);
    let near = at.clamp(rect.min, rect.max);
    let toward = at - near;
    if toward.length() > LANDING + 10.0 {
        let end = at - toward.normalized() * (LANDING + 3.0);
        painter.line_segment([near, end], Stroke::new(1.0, tokens.quiet));
    }
    painter.rect(rect, space::RADIUS, tokens.card, Stroke::new(1.0, tokens.outline), StrokeKind::Inside);
    let mut top = rect.min + pad;
    if let Some(letter) = &map.letter {
        letter_badge(painter, top + Vec2::new(9.0, head.size().y / 2.0), letter, true, tokens);
    }
    let head_height = head.size().y;
    painter.galley(top + Vec2::new(letter_room, 0.0), head, tokens.ink);
    top.y += head_height + 3.0;
    for Line { galley, mark } in lines {
        let height = galley.size().y;
        let row = galley.rows.first().map_or(0.0, |row| row.height());
        let middle = top + Vec2::new(6.0, row / 2.0);
        let indent = match mark {
            Mark::None => 0.0,
            Mark::Caution => {
                caution_mark(painter, middle, 10.0, tokens.caution, tokens.card);
                MARK
            }
            Mark::Stop => {
                stop_mark(canvas, middle);
                MARK
            }
        };
        painter.galley(top + Vec2::new(indent, 0.0), galley, tokens.quiet);
        top.y += height + 3.0;
    }
    Some(rect)
}

fn lines(canvas: Canvas<'_>, landing: &LandingView, entered: &[&str]) -> Vec<Line> {
    let Canvas { painter, screen, tokens } = canvas;
    // A small map keeps at least half of itself to its marks.
    let most = WIDEST.min(0.5 * screen.frame.width());
    let mut lines = Vec::new();
    let mut push = |words: &str, weight: Weight, color, mark| {
        if !words.is_empty() {
            let widest = if mark == Mark::None { most + MARK } else { most };
            lines
                .push(Line { galley: painter.layout(words.to_owned(), weight.font(size::SMALL), color, widest), mark });
        }
    };
    let settled = landing.settled.as_ref().map_or("", |settled| settled.words.as_str());
    let parts: Vec<&str> = [landing.range.as_str(), settled].into_iter().filter(|part| !part.is_empty()).collect();
    push(&parts.join(" · "), Weight::Regular, tokens.quiet, Mark::None);
    if landing.is_risky {
        push(&landing.risk, Weight::Medium, tokens.caution, Mark::Caution);
    } else {
        push(&landing.risk, Weight::Regular, tokens.quiet, Mark::None);
    }
    for words in entered.iter().filter(|words| landing.risk != **words) {
        push(words, Weight::Medium, tokens.caution, Mark::Caution);
    }
    if let Some(held_by) = &landing.held_by {
        push(held_by, Weight::Medium, tokens.ink, Mark::Stop);
    }
    lines
}

/// A bar across a way: no farther.
fn stop_mark(canvas: Canvas<'_>, center: Pos2) {
    let stroke = Stroke::new(1.6, canvas.tokens.ink);
    canvas.painter.hline(center.x - 5.0..=center.x + 2.0, center.y, stroke);
    canvas.painter.vline(center.x + 3.0, center.y - 5.0..=center.y + 5.0, stroke);
}
