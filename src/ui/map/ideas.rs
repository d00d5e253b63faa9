//! The list of pours that is not in hand: dashed, with its letter.

use egui::{Align2, Painter, Pos2, Rect, Stroke, StrokeKind, Vec2};

use super::Canvas;
use super::lines::{dashed, dashed_outline, shortened};
use super::place::{Placer, Spot, around};
use crate::ui::paint::{line, words_at};
use crate::ui::theme::{Tokens, Weight, size};
use crate::ui::view::OtherView;

/// Radius of its ring.
const RING: f32 = 10.0;

/// A letter in a small square with soft corners: numbers are round, letters are not.
pub(super) fn letter_badge(painter: &Painter, center: Pos2, letter: &str, is_in_hand: bool, tokens: &Tokens) {
    let rect = Rect::from_center_size(center, Vec2::splat(18.0));
    let (fill, ink) = if is_in_hand { (tokens.accent, tokens.on_accent) } else { (tokens.map, tokens.ink) };
    let edge = if is_in_hand { tokens.accent } else { tokens.ink };
    painter.rect(rect, 5.0, fill, Stroke::new(1.3, edge), StrokeKind::Inside);
    words_at(painter, center, Align2::CENTER_CENTER, letter, (size::SMALL, Weight::SemiBold), ink);
}

/// Paints path, outline and ring of the other list.
pub(super) fn paint(canvas: Canvas<'_>, other: &OtherView, placer: &mut Placer<'_>) {
    let Canvas { painter, screen, tokens } = canvas;
    if !other.at.is_finite() {
        return;
    }
    let outline = screen.path(&other.cloud_80);
    if outline.len() >= 3 {
        dashed_outline(painter, &outline, Stroke::new(1.0, tokens.ink.gamma_multiply(0.6)), (2.0, 3.0));
    }
    let path = screen.path(&other.path);
    placer.block_path(&path);
    let (path, _) = shortened(&path, RING);
    dashed(painter, &path, Stroke::new(1.3, tokens.ink.gamma_multiply(0.75)), (6.0, 4.0));
    let at = screen.at(other.at);
    painter.circle_filled(at, RING, tokens.map.gamma_multiply(0.8));
    super::lines::dashed_circle(painter, at, RING, Stroke::new(1.6, tokens.ink));
    words_at(painter, at, Align2::CENTER_CENTER, &other.letter, (size::SMALL, Weight::SemiBold), tokens.ink);
    placer.block(Rect::from_center_size(at, Vec2::splat(2.0 * RING + 4.0)));
}

/// Paints its words.
pub(super) fn paint_words(canvas: Canvas<'_>, other: &OtherView, placer: &mut Placer<'_>) {
    if !other.at.is_finite() || other.words.is_empty() {
        return;
    }
    let at = canvas.screen.at(other.at);
    let galley = line(canvas.painter, &other.words, size::SMALL, Weight::Medium, canvas.tokens.ink);
    let rect = placer.place((Spot::Other, at), galley.size(), around(at, galley.size(), RING + 6.0));
    super::marks::haloed(canvas.painter, rect.min, galley, canvas.tokens);
}
