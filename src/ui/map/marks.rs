//! Everything on the map, back to front, then the words where there is room.

use std::sync::Arc;

use egui::{Galley, Painter, Pos2, Rect, Shape, Stroke, Vec2};

use super::grips::BADGE;
use super::lines::{along, dashed, dashed_circle, shortened};
use super::place::{Placer, Spot, around};
use super::zones::ZoneName;
use super::{Canvas, Hold, MapState, callout, hands, ideas, limits, rails, trail, zones};
use crate::ui::paint::{line, polygon};
use crate::ui::theme::{Tokens, Weight, size};
use crate::ui::view::{LandingView, LaterView, MapPoint, MapView, SettledView};
use crate::ui::widgets::badge;

/// Radius of the latest reading.
pub(super) const NOW: f32 = 7.0;
/// Radius of an earlier reading.
pub(super) const EARLIER: f32 = 5.0;
/// Radius of the landing ring.
pub(super) const LANDING: f32 = 11.0;
/// Radius of the settled ring.
pub(super) const SETTLED: f32 = 8.0;
/// Half the size of the mark for the moment looked at.
const LATER: f32 = 5.5;

/// Paints everything. Returns where the names of zones are, which can be pressed.
pub(super) fn paint(canvas: Canvas<'_>, map: &MapView, state: &mut MapState) -> Vec<ZoneName> {
    let Canvas { painter, screen, tokens } = canvas;
    let mut spots = std::mem::take(&mut state.spots);
    let is_held = Hold::active(state.hold.as_ref()).or(map.held).is_some();
    let mut placer = Placer::new(screen.frame, &mut spots, is_held);
    let landing = map.landing.as_ref().filter(|landing| landing.at.is_finite());

    let regions = limits::paint(canvas, map);
    zones::paint(canvas, map, &mut placer);
    if let Some(landing) = &map.landing {
        paint_cloud(canvas, landing, &mut placer);
    }
    block_points(canvas, map, &mut placer);
    trail::paint(canvas, map);
    if let Some(other) = &map.other {
        ideas::paint(canvas, other, &mut placer);
    }
    let engaged = hands::engaged(state, map);
    if let Some(handle) = engaged.and_then(|engaged| rails::handle_of(map, engaged)) {
        rails::paint(canvas, handle, &mut placer);
    }
    hands::paint_ties(canvas, state);
    paint_arrows(canvas, map);
    if let Some(settled) = landing.and_then(|l| l.settled.as_ref()) {
        paint_settled(canvas, settled, &mut placer);
    }
    if let Some(later) = landing.and_then(|l| l.later.as_ref()) {
        paint_later(canvas, later, &mut placer);
    }
    if let Some(now) = map.now.filter(|now| now.is_finite()) {
        painter.circle(screen.at(now), NOW, tokens.ink, Stroke::new(1.5, tokens.map));
    }
    if let Some(landing) = landing {
        hands::paint_landing(canvas, screen.at(landing.at), map, state);
    }
    for grip in &state.grips {
        placer.block(grip.rect().expand(3.0));
        placer.block(Rect::from_two_pos(grip.tip, grip.at));
    }
    let mut names = zones::place_names(canvas, map, &mut placer);
    hands::paint_badges(canvas, map, state);
    paint_poured_badges(canvas, map, &mut placer);
    hands::paint_tag(canvas, map, state, &mut placer);
    let mut labels = place_labels(canvas, map, &mut placer);
    if let Some(other) = &map.other {
        ideas::paint_words(canvas, other, &mut placer);
    }
    if map.now.is_none() && !map.hint.is_empty() {
        paint_hint(canvas, &map.hint, &mut placer);
    }
    let limit_words = limits::words(canvas, map, &regions, &mut placer);
    let callout = landing.and_then(|landing| callout::paint(canvas, map, landing, &regions, &mut placer));
    // Where it is so crowded that the callout lies on a name, half a name would only confuse.
    let is_clear = |rect: Rect| callout.is_none_or(|callout| !callout.intersects(rect));
    names.retain(|name| is_clear(name.rect()));
    labels.retain(|label| is_clear(label.rect));
    zones::paint_names(canvas, &names);
    for label in labels {
        if let Some(leader) = label.leader {
            painter.line_segment(leader, Stroke::new(1.0, tokens.quiet));
        }
        haloed(painter, label.rect.min, label.galley, tokens);
    }
    limits::paint_words(canvas, limit_words, &mut placer);
    placer.keep();
    state.spots = spots;
    names
}

fn paint_cloud(canvas: Canvas<'_>, landing: &LandingView, placer: &mut Placer<'_>) {
    let tokens = canvas.tokens;
    for (outline, strength, edge) in [(&landing.cloud_80, 0.16, 0.45), (&landing.cloud_50, 0.24, 0.7)] {
        let corners = canvas.screen.path(outline);
        if corners.len() < 3 {
            continue;
        }
        let stroke = Stroke::new(1.0, tokens.accent.gamma_multiply(edge));
        polygon(canvas.painter, &corners, tokens.accent.gamma_multiply(strength), stroke);
        placer.discourage(Rect::from_points(&corners), 0.6);
    }
    let outline = canvas.screen.path(&landing.cloud_80);
    if outline.len() >= 3 {
        paint_leaving(canvas, Rect::from_points(&outline));
    }
}

/// Marks at the frame where the cloud goes on beyond it.
fn paint_leaving(canvas: Canvas<'_>, cloud: Rect) {
    let Canvas { painter, screen, tokens } = canvas;
    let frame = screen.frame;
    if !cloud.intersects(frame) {
        return;
    }
    let y = cloud.center().y.clamp(frame.top() + 12.0, frame.bottom() - 12.0);
    let stroke = Stroke::new(2.0, tokens.accent);
    for (leaves, x, back) in [
        (cloud.left() < frame.left(), frame.left() + 5.0, 5.0),
        (cloud.right() > frame.right(), frame.right() - 5.0, -5.0),
    ] {
        if leaves {
            let tip = Pos2::new(x, y);
            painter.line(vec![tip + Vec2::new(back, -6.0), tip, tip + Vec2::new(back, 6.0)], stroke);
        }
    }
}

/// Keeps words off everything that must be seen.
fn block_points(canvas: Canvas<'_>, map: &MapView, placer: &mut Placer<'_>) {
    let screen = canvas.screen;
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
        landing.later.iter().for_each(|l| block(l.at, LATER));
    }
    for arrow in &map.arrows {
        placer.block_path(&screen.path(&arrow.path));
    }
}

fn paint_arrows(canvas: Canvas<'_>, map: &MapView) {
    let Canvas { painter, screen, tokens } = canvas;
    for arrow in &map.arrows {
        let path = screen.path(&arrow.path);
        if arrow.poured {
            if path.len() >= 2 {
                painter.line(path, Stroke::new(1.5, tokens.quiet));
            }
            continue;
        }
        let ring = map.landing.as_ref().filter(|landing| landing.at.is_finite()).map(|landing| screen.at(landing.at));
        let is_at_ring = ring.zip(path.last()).is_some_and(|(ring, tip)| ring.distance(*tip) < LANDING + 2.0);
        let stop = if is_at_ring { LANDING + 2.0 } else { 2.0 };
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

fn paint_settled(canvas: Canvas<'_>, settled: &SettledView, placer: &mut Placer<'_>) {
    let Canvas { painter, screen, tokens } = canvas;
    if !settled.at.is_finite() {
        return;
    }
    let (path, _) = shortened(&screen.path(&settled.path), SETTLED);
    dashed(painter, &path, Stroke::new(1.5, tokens.quiet), (4.0, 3.0));
    // Its range: a bar with ends across the ring.
    let (low, high) = settled.ph;
    if low.is_finite() && high.is_finite() && low < high {
        let y = screen.at(settled.at).y;
        let [from, to] = [low, high].map(|ph| screen.at(MapPoint::new(ph, settled.at.ec_ms_cm)).x);
        // First a halo of the map's own colour, so that it is seen on cloud, zone and grid.
        for stroke in [Stroke::new(5.0, tokens.map), Stroke::new(1.8, tokens.ink.gamma_multiply(0.8))] {
            painter.hline(from..=to, y, stroke);
            for x in [from, to] {
                painter.vline(x, y - 4.5..=y + 4.5, stroke);
            }
        }
        placer.block(Rect::from_min_max(Pos2::new(from, y - 5.0), Pos2::new(to, y + 5.0)));
    }
    dashed_ring(canvas, screen.at(settled.at));
}

/// The moment looked at: a small diamond on the way to the settled point.
fn paint_later(canvas: Canvas<'_>, later: &LaterView, placer: &mut Placer<'_>) {
    if !later.at.is_finite() {
        return;
    }
    let at = canvas.screen.at(later.at);
    let ways = [Vec2::UP, Vec2::RIGHT, Vec2::DOWN, Vec2::LEFT];
    let corners = ways.map(|way| at + LATER * way).to_vec();
    let stroke = Stroke::new(1.8, canvas.tokens.accent);
    canvas.painter.add(Shape::convex_polygon(corners, canvas.tokens.map, stroke));
    placer.block(Rect::from_center_size(at, Vec2::splat(2.0 * LATER + 4.0)));
}

/// Numbers beside the middle of what is in the water already, and of planned pours without a handle.
fn paint_poured_badges(canvas: Canvas<'_>, map: &MapView, placer: &mut Placer<'_>) {
    for (i, arrow) in map.arrows.iter().enumerate().filter(|(_, arrow)| arrow.handle.is_none()) {
        let path = canvas.screen.path(&arrow.path);
        let size_pt = Vec2::splat(2.0 * BADGE + 2.0);
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
        let Some(&start) = path.first() else { continue };
        if candidates.is_empty() {
            candidates.extend(around(start, size_pt, LANDING + 4.0));
        }
        let rect = placer.place((Spot::Poured(i), start), size_pt, candidates);
        badge(canvas.painter, rect.center(), arrow.number, canvas.tokens);
    }
}

/// A label beside its mark.
struct Label {
    rect: Rect,
    galley: Arc<Galley>,
    /// A line to its mark, when it found no room near by.
    leader: Option<[Pos2; 2]>,
}

fn place_labels(canvas: Canvas<'_>, map: &MapView, placer: &mut Placer<'_>) -> Vec<Label> {
    let Canvas { painter, screen, tokens } = canvas;
    let mut labels = Vec::new();
    let mut label = |spot: Spot, at: MapPoint, words: &str, weight: Weight, gap: f32, color| {
        if !at.is_finite() || words.is_empty() || !screen.frame.expand(2.0).contains(screen.at(at)) {
            return;
        }
        let galley = line(painter, words, size::SMALL, weight, color);
        let at = screen.at(at);
        let rect = placer.place((spot, at), galley.size(), around(at, galley.size(), gap));
        let near = at.clamp(rect.min, rect.max);
        let away = at - near;
        let is_far = away.length() > gap + 8.0;
        let leader = is_far.then(|| [near, at - away.normalized() * (gap - 4.0)]);
        labels.push(Label { rect, galley, leader });
    };
    if let Some(now) = map.now {
        label(Spot::Now, now, &format!("now {}", map.now_text), Weight::Medium, NOW + 8.0, tokens.ink);
    }
    if let Some(later) = map.landing.as_ref().and_then(|l| l.later.as_ref()) {
        label(Spot::Later, later.at, &later.words, Weight::Medium, LATER + 7.0, tokens.accent);
    }
    if let Some(settled) = map.landing.as_ref().and_then(|l| l.settled.as_ref()) {
        label(Spot::Settled, settled.at, "settled", Weight::Regular, SETTLED + 6.0, tokens.quiet);
    }
    // Newest first: it is the one to keep its place.
    for (i, earlier) in map.earlier.iter().rev().enumerate() {
        label(Spot::Earlier(i), earlier.at, &earlier.label, Weight::Regular, EARLIER + 7.0, tokens.quiet);
    }
    labels
}

/// Words with a soft edge of the map's own colour, so that grid and hatch do not run through them.
pub(super) fn haloed(painter: &Painter, corner: Pos2, galley: Arc<Galley>, tokens: &Tokens) {
    let plate = Rect::from_min_size(corner, galley.size()).expand2(Vec2::new(3.0, 0.0));
    painter.rect_filled(plate, 4.0, tokens.map.gamma_multiply(0.82));
    let color = galley.job.sections.first().map_or(tokens.ink, |s| s.format.color);
    painter.galley(corner, galley, color);
}

/// A dashed place for the reading that is still to come, with words under it.
fn paint_hint(canvas: Canvas<'_>, words: &str, placer: &mut Placer<'_>) {
    let note = line(canvas.painter, words, size::BODY, Weight::Regular, canvas.tokens.quiet);
    let size_pt = Vec2::new(note.size().x.max(2.0 * SETTLED), note.size().y + 2.0 * SETTLED + 8.0);
    let frame = canvas.screen.frame;
    let candidates = [0.82, 0.16, 0.5].map(|share| {
        Pos2::new(frame.center().x - size_pt.x / 2.0, frame.top() + frame.height() * share - size_pt.y / 2.0)
    });
    let rect = placer.place((Spot::Now, frame.min), size_pt, candidates);
    dashed_ring(canvas, Pos2::new(rect.center().x, rect.top() + SETTLED));
    let corner = Pos2::new(rect.center().x - note.size().x / 2.0, rect.bottom() - note.size().y);
    haloed(canvas.painter, corner, note, canvas.tokens);
}

fn dashed_ring(canvas: Canvas<'_>, center: Pos2) {
    canvas.painter.circle_filled(center, SETTLED + 2.0, canvas.tokens.map);
    dashed_circle(canvas.painter, center, SETTLED, Stroke::new(1.8, canvas.tokens.ink.gamma_multiply(0.8)));
}
