//! What can be taken hold of, drawn so that it says so; and what the one in the hand is, in words.

use egui::{Align2, Painter, Pos2, Rect, Shape, Stroke, StrokeKind, Vec2};

use super::grips::{BADGE, Grip};
use super::marks::LANDING;
use super::place::{Placer, Spot, around};
use super::rails::{handle_of, rough_words};
use super::{Canvas, MapState};
use crate::ui::command::Handle;
use crate::ui::paint::{caution_mark, line, words_at};
use crate::ui::theme::{Tokens, Weight, size, space};
use crate::ui::view::{HandleView, MapView};

/// What a hand or the keyboard does with a handle.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Touch {
    Rests,
    Hovered,
    Held,
}

fn touch_of(state: &MapState, map: &MapView, handle: Handle) -> Touch {
    let held = super::Hold::active(state.hold.as_ref()).or(map.held);
    if held == Some(handle) {
        Touch::Held
    } else if state.hovered == Some(handle) && state.hold.is_none() {
        Touch::Hovered
    } else {
        Touch::Rests
    }
}

/// The handle that is talked about: in the hand, under it, or with the keyboard.
pub(super) fn engaged(state: &MapState, map: &MapView) -> Option<Handle> {
    super::Hold::active(state.hold.as_ref()).or(map.held).or(state.hovered).or(state.focused)
}

/// Paints the landing's ring.
pub(super) fn paint_landing(canvas: Canvas<'_>, at: Pos2, map: &MapView, state: &MapState) {
    let Canvas { painter, tokens, .. } = canvas;
    let can_move = state.grips.iter().any(|grip| grip.handle == Handle::Landing);
    let touch = if can_move { touch_of(state, map, Handle::Landing) } else { Touch::Rests };
    if can_move {
        // Four ways to go.
        let color = if touch == Touch::Rests { tokens.accent.gamma_multiply(0.75) } else { tokens.accent };
        for quarter in 0..4_u8 {
            let way = Vec2::angled(std::f32::consts::FRAC_PI_4 * f32::from(1 + 2 * quarter));
            chevron(painter, at + way * (LANDING + 6.5), way, color);
        }
    }
    let (fill, width) = match touch {
        Touch::Rests => (tokens.map, 3.0),
        Touch::Hovered => (tokens.accent_soft, 3.5),
        Touch::Held => (tokens.accent_soft, 4.5),
    };
    painter.circle(at, LANDING, fill, Stroke::new(width, tokens.accent));
    painter.circle_filled(at, 3.5, tokens.accent);
    if state.focused == Some(Handle::Landing) {
        painter.circle_stroke(at, LANDING + 5.0, Stroke::new(2.0, tokens.accent));
    }
}

/// Paints the badges of pours.
pub(super) fn paint_badges(canvas: Canvas<'_>, map: &MapView, state: &MapState) {
    for grip in state.grips.iter().filter(|grip| grip.handle != Handle::Landing) {
        let touch = touch_of(state, map, grip.handle);
        let handle = handle_of(map, grip.handle);
        paint_badge(canvas, grip, handle, touch, state.focused == Some(grip.handle));
    }
}

/// Ties each badge to its tip. Painted before what the ties must not cover.
pub(super) fn paint_ties(canvas: Canvas<'_>, state: &MapState) {
    for grip in state.grips.iter().filter(|grip| grip.handle != Handle::Landing) {
        let way = grip.at - grip.tip;
        if way.length() > BADGE {
            let color = canvas.tokens.ink.gamma_multiply(0.55);
            canvas.painter.line_segment([grip.tip, grip.at], Stroke::new(1.2, color));
        }
    }
}

fn paint_badge(canvas: Canvas<'_>, grip: &Grip, handle: Option<&HandleView>, touch: Touch, has_focus: bool) {
    let Canvas { painter, tokens, .. } = canvas;
    let (fill, edge, ink) = match touch {
        Touch::Rests => (tokens.map, Stroke::new(1.5, tokens.ink), tokens.ink),
        Touch::Hovered => (tokens.accent_soft, Stroke::new(2.0, tokens.accent), tokens.accent),
        Touch::Held => (tokens.accent, Stroke::new(2.0, tokens.accent), tokens.on_accent),
    };
    // The ways it can go.
    let color = if touch == Touch::Rests { tokens.ink } else { tokens.accent };
    let (less, more) = handle.map_or((true, true), |h| (h.amount > 0.0, h.amount < h.most));
    for (can_go, way) in [(more, grip.along), (less, -grip.along)] {
        if can_go {
            chevron(painter, grip.at + way * (BADGE + 5.0), way, color);
        }
    }
    painter.circle_filled(grip.at, BADGE + 2.5, tokens.map.gamma_multiply(0.8));
    painter.circle(grip.at, BADGE, fill, edge);
    let number = grip.number.to_string();
    words_at(painter, grip.at, Align2::CENTER_CENTER, &number, (size::SMALL, Weight::SemiBold), ink);
    if grip.is_locked {
        padlock(painter, grip.at + Vec2::new(BADGE - 1.0, -BADGE + 1.0), tokens);
    }
    if has_focus {
        painter.circle_stroke(grip.at, BADGE + 4.5, Stroke::new(2.0, tokens.accent));
    }
}

/// A small solid arrowhead.
fn chevron(painter: &Painter, tip_base: Pos2, way: Vec2, color: egui::Color32) {
    let side = way.rot90() * 3.6;
    let corners = vec![tip_base + way * 4.2, tip_base + side, tip_base - side];
    painter.add(Shape::convex_polygon(corners, color, Stroke::NONE));
}

/// A closed padlock.
fn padlock(painter: &Painter, center: Pos2, tokens: &Tokens) {
    painter.circle_filled(center, 7.0, tokens.map);
    let body = Rect::from_center_size(center + Vec2::new(0.0, 1.8), Vec2::new(8.0, 6.0));
    let bow: Vec<Pos2> = (0..=8_u8)
        .map(|i| {
            let angle = std::f32::consts::PI * (1.0 + f32::from(i) / 8.0);
            center + Vec2::new(0.0, -1.2) + 2.6 * Vec2::angled(angle)
        })
        .collect();
    painter.line(bow, Stroke::new(1.4, tokens.ink));
    painter.rect(body, 1.2, tokens.ink, Stroke::NONE, StrokeKind::Inside);
}

/// What is in the hand, beside its badge, with a caution where its rail is rough.
pub(super) fn paint_tag(canvas: Canvas<'_>, map: &MapView, state: &MapState, placer: &mut Placer<'_>) {
    let Some(engaged) = engaged(state, map) else { return };
    let Some(grip) = state.grips.iter().find(|grip| grip.handle == engaged) else { return };
    let Some(handle) = handle_of(map, engaged) else { return };
    let Canvas { painter, tokens, .. } = canvas;
    let what = map.arrows.iter().find(|a| a.handle.as_ref().is_some_and(|h| h.key == handle.key)).map(|a| &a.what);
    let mut words = what.cloned().unwrap_or_default();
    if grip.is_locked {
        words.push_str(" · locked");
    }
    let head = line(painter, &words, size::SMALL, Weight::SemiBold, tokens.ink);
    let mark = 16.0;
    let rough = rough_words(canvas, handle, grip)
        .map(|words| painter.layout(words, Weight::Medium.font(size::SMALL), tokens.caution, 220.0));
    let pad = Vec2::new(space::ONE, space::HALF);
    let mut inner = head.size();
    if let Some(rough) = &rough {
        inner = Vec2::new(inner.x.max(rough.size().x + mark), inner.y + 2.0 + rough.size().y);
    }
    let outer = inner + 2.0 * pad;
    let rect = placer.place((Spot::Tag, grip.at), outer, around(grip.at, outer, BADGE + 8.0).take(8));
    painter.rect(rect, 6.0, tokens.card, Stroke::new(1.0, tokens.outline), StrokeKind::Inside);
    let top = rect.min + pad;
    let below = top + Vec2::new(0.0, head.size().y + 2.0);
    painter.galley(top, head, tokens.ink);
    if let Some(rough) = rough {
        let row = rough.rows.first().map_or(0.0, |row| row.height());
        caution_mark(painter, below + Vec2::new(6.0, row / 2.0), 10.0, tokens.caution, tokens.card);
        painter.galley(below + Vec2::new(mark, 0.0), rough, tokens.caution);
    }
}
