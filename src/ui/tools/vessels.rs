//! A scale with its reading and a jug with its level.

use egui::{Align2, Painter, Pos2, Rect, Shape, Stroke, StrokeKind, Vec2};

use crate::card::{drawn_filling, plain};
use crate::ui::paint::{px, words_at};
use crate::ui::theme::{Tokens, Weight, size, space};

/// A flat scale: a pan with a heap on it, and the figures to reach.
pub(super) fn scale(painter: &Painter, rect: Rect, grams: &str, tokens: &Tokens) {
    let stroke = Stroke::new(1.5, tokens.ink);
    let center = rect.center();
    let body = Rect::from_center_size(center + Vec2::new(0.0, 18.0), Vec2::new(136.0, 40.0));
    let pan = Rect::from_center_size(Pos2::new(center.x, body.top() - 5.0), Vec2::new(112.0, 6.0));
    let heap: Vec<Pos2> = (0..=24_u8)
        .map(|i| {
            let t = f32::from(i) / 24.0;
            // At the ends the sine is a hair below zero, of which no power can be taken.
            let bump = (std::f32::consts::PI * t).sin().max(0.0).powf(1.5);
            Pos2::new(center.x - 34.0 + 68.0 * t, pan.top() - 20.0 * bump)
        })
        .collect();
    painter.add(Shape::convex_polygon(heap.clone(), tokens.liquid, Stroke::NONE));
    painter.line(heap, stroke);
    painter.rect_filled(pan, 3.0, tokens.ink);
    painter.rect(body, 6.0, tokens.card, stroke, StrokeKind::Middle);
    let display = Rect::from_center_size(body.center(), Vec2::new(84.0, 26.0));
    painter.rect(display, 4.0, tokens.map, Stroke::new(1.0, tokens.outline), StrokeKind::Middle);
    let figures = format!("{grams} g");
    words_at(painter, display.center(), Align2::CENTER_CENTER, &figures, (size::TITLE, Weight::SemiBold), tokens.ink);
}

/// A jug with marks at its quarters, filled to a level: (capacity, times full, level), L.
pub(super) fn jug(painter: &Painter, rect: Rect, (capacity_l, full_times, fill_l): (f64, u32, f64), tokens: &Tokens) {
    if capacity_l.is_nan() || capacity_l <= 0.0 {
        return;
    }
    let stroke = Stroke::new(1.5, tokens.ink);
    let height = (rect.height() - space::ONE).clamp(48.0, 88.0);
    let (top_half, bottom_half) = (34.0, 26.0);
    let center = Pos2::new(rect.center().x - 16.0, rect.center().y);
    let (top, bottom) = (center.y - height / 2.0, center.y + height / 2.0);
    let half_at = |share: f32| bottom_half + (top_half - bottom_half) * share;
    let y_at = |share: f32| bottom - 3.0 - (height - 14.0) * share;
    let (fill, times) = drawn_filling(capacity_l, full_times, fill_l, "L");
    let share = px(fill / capacity_l).clamp(0.0, 1.0);

    let level = y_at(share);
    let wet = [
        Pos2::new(center.x - half_at(share) + 2.0, level),
        Pos2::new(center.x + half_at(share) - 2.0, level),
        Pos2::new(center.x + bottom_half - 2.0, bottom - 2.0),
        Pos2::new(center.x - bottom_half + 2.0, bottom - 2.0),
    ];
    if share > 0.0 {
        painter.add(Shape::convex_polygon(wet.to_vec(), tokens.liquid, Stroke::NONE));
    }
    let outline = [
        Pos2::new(center.x - top_half - 8.0, top),
        Pos2::new(center.x - top_half, top + 7.0),
        Pos2::new(center.x - bottom_half, bottom),
        Pos2::new(center.x + bottom_half, bottom),
        Pos2::new(center.x + top_half, top),
    ];
    painter.line(outline.to_vec(), stroke);
    let handle: Vec<Pos2> = (0..=16_u8)
        .map(|i| {
            let angle = std::f32::consts::PI * (f32::from(i) / 16.0 - 0.5);
            let side = center.x + half_at(0.6);
            Pos2::new(side + 18.0 * angle.cos(), center.y - 4.0 + height * 0.27 * angle.sin())
        })
        .collect();
    painter.line(handle, Stroke::new(3.0, tokens.ink));
    for quarter in 1..=4_u8 {
        let y = y_at(f32::from(quarter) / 4.0);
        let x = center.x + half_at(f32::from(quarter) / 4.0) - 3.0;
        painter.hline((x - 9.0)..=x, y, Stroke::new(1.0, tokens.ink));
    }
    let at = Pos2::new(center.x - half_at(share) - 10.0, level.max(top + 14.0));
    let strong = (size::BODY, Weight::SemiBold);
    words_at(painter, at, Align2::RIGHT_CENTER, &format!("{} L", plain(fill)), strong, tokens.ink);
    if let Some(times) = times {
        words_at(painter, rect.left_top(), Align2::LEFT_TOP, &times, (size::SMALL, Weight::SemiBold), tokens.ink);
    }
}
