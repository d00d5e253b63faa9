//! Little drawings of the kinds of unit.

use egui::{Painter, Pos2, Rect, Shape, Stroke, StrokeKind, Vec2};

use crate::ui::theme::Tokens;
use crate::ui::view::KindPicture;

/// Draws a kind of unit into a box of about 96 by 64 points, centred.
pub(super) fn kind_picture(painter: &Painter, rect: Rect, picture: KindPicture, tokens: &Tokens) {
    // Plants stand above the middle.
    let center = rect.center() + Vec2::new(0.0, 5.0);
    match picture {
        KindPicture::StillJar => still_jar(painter, center, tokens),
        KindPicture::AeratedBucket => aerated_bucket(painter, center, tokens),
        KindPicture::Trough => trough(painter, center, tokens),
        KindPicture::Recirculating => recirculating(painter, center, tokens),
    }
}

fn outline(tokens: &Tokens) -> Stroke {
    Stroke::new(1.5, tokens.ink)
}

fn water(painter: &Painter, rect: Rect, radius: f32, tokens: &Tokens) {
    painter.rect_filled(rect, radius, tokens.liquid.gamma_multiply(0.75));
}

/// A plant of three leaves standing at `foot`.
fn plant(painter: &Painter, foot: Pos2, height: f32, tokens: &Tokens) {
    let stroke = Stroke::new(1.5, tokens.zone_edge);
    painter.line_segment([foot, foot - Vec2::new(0.0, height * 0.55)], stroke);
    for (lean, length) in [(-1.0_f32, 0.62), (1.0, 0.62), (0.0, 0.6)] {
        let base = foot - Vec2::new(0.0, height * 0.38);
        let tip = base + height * length * Vec2::new(lean.sin(), -lean.cos());
        let side = (tip - base).rot90() * 0.52;
        let middle = base.lerp(tip, 0.5);
        let leaf: Vec<Pos2> = (0..=12_u8)
            .map(|i| curve(base, middle + side, tip, f32::from(i) / 12.0))
            .chain((0..=12_u8).rev().map(|i| curve(base, middle - side, tip, f32::from(i) / 12.0)))
            .collect();
        painter.add(Shape::convex_polygon(leaf, tokens.zone, stroke));
    }
}

/// A quadratic curve from `a` to `b`, pulled towards `pull`.
fn curve(a: Pos2, pull: Pos2, b: Pos2, t: f32) -> Pos2 {
    a.lerp(pull, t).lerp(pull.lerp(b, t), t)
}

fn roots(painter: &Painter, top: Pos2, length: f32, tokens: &Tokens) {
    for lean in [-6.0, 0.0, 6.0_f32] {
        let end = top + Vec2::new(lean, length * (1.0 - lean.abs() * 0.03));
        let points: Vec<Pos2> = (0..=8_u8)
            .map(|i| curve(top, top + Vec2::new(lean * 1.6, length * 0.4), end, f32::from(i) / 8.0))
            .collect();
        painter.line(points, Stroke::new(1.0, tokens.quiet));
    }
}

fn still_jar(painter: &Painter, c: Pos2, tokens: &Tokens) {
    let jar = Rect::from_min_max(c + Vec2::new(-19.0, -8.0), c + Vec2::new(19.0, 31.0));
    water(painter, Rect::from_min_max(jar.min + Vec2::new(2.0, 11.0), jar.max - Vec2::splat(2.0)), 5.0, tokens);
    roots(painter, c + Vec2::new(0.0, -6.0), 26.0, tokens);
    painter.rect_stroke(jar, 7.0, outline(tokens), StrokeKind::Middle);
    let lid = Rect::from_min_max(c + Vec2::new(-15.0, -13.0), c + Vec2::new(15.0, -8.0));
    painter.rect(lid, 1.0, tokens.map, outline(tokens), StrokeKind::Middle);
    plant(painter, c + Vec2::new(0.0, -13.0), 20.0, tokens);
}

fn aerated_bucket(painter: &Painter, c: Pos2, tokens: &Tokens) {
    let (top, bottom) = (c.y - 8.0, c.y + 31.0);
    let half = |y: f32| 24.0 - 5.0 * (y - top) / (bottom - top);
    let side = |y: f32, sign: f32| Pos2::new(c.x + sign * half(y), y);
    let line = top + 9.0;
    let wet = vec![side(line, -1.0), side(line, 1.0), side(bottom - 1.0, 1.0), side(bottom - 1.0, -1.0)];
    painter.add(Shape::convex_polygon(wet, tokens.liquid.gamma_multiply(0.75), Stroke::NONE));
    painter.line(vec![side(top, -1.0), side(bottom, -1.0), side(bottom, 1.0), side(top, 1.0)], outline(tokens));
    painter
        .line_segment([side(top, -1.0) - Vec2::new(3.0, 0.0), side(top, 1.0) + Vec2::new(3.0, 0.0)], outline(tokens));
    let stone = Rect::from_center_size(Pos2::new(c.x + 8.0, bottom - 4.5), Vec2::new(12.0, 5.0));
    for (x, y, r) in [(5.0, -11.0, 2.2), (11.0, -14.0, 1.8), (7.0, -20.0, 2.6), (12.0, -24.0, 2.0)] {
        painter.circle_stroke(Pos2::new(c.x + x, bottom + y), r, Stroke::new(1.0, tokens.ink));
    }
    painter.rect_filled(stone, 2.0, tokens.ink);
    let tube: Vec<Pos2> = (0..=12_u8)
        .map(|i| {
            let end = Pos2::new(c.x + 36.0, c.y + 2.0);
            curve(stone.right_center(), Pos2::new(c.x + 22.0, top - 22.0), end, f32::from(i) / 12.0)
        })
        .collect();
    painter.line(tube, Stroke::new(1.2, tokens.ink));
    roots(painter, c + Vec2::new(-8.0, -7.0), 22.0, tokens);
    plant(painter, c + Vec2::new(-8.0, -9.0), 22.0, tokens);
}

fn trough(painter: &Painter, c: Pos2, tokens: &Tokens) {
    let body = Rect::from_min_max(c + Vec2::new(-44.0, 0.0), c + Vec2::new(44.0, 24.0));
    water(painter, Rect::from_min_max(body.min + Vec2::new(2.0, 8.0), body.max - Vec2::splat(2.0)), 3.0, tokens);
    for x in [-28.0, 0.0, 28.0] {
        roots(painter, c + Vec2::new(x, 1.0), 17.0, tokens);
    }
    painter.rect_stroke(body, 4.0, outline(tokens), StrokeKind::Middle);
    for x in [-34.0, 34.0] {
        painter.line_segment([c + Vec2::new(x, 24.0), c + Vec2::new(x, 31.0)], Stroke::new(3.0, tokens.ink));
    }
    for x in [-28.0, 0.0, 28.0] {
        plant(painter, c + Vec2::new(x, 0.0), 21.0, tokens);
    }
}

fn recirculating(painter: &Painter, c: Pos2, tokens: &Tokens) {
    let tank = Rect::from_min_max(c + Vec2::new(-40.0, 8.0), c + Vec2::new(8.0, 31.0));
    water(painter, Rect::from_min_max(tank.min + Vec2::new(2.0, 7.0), tank.max - Vec2::splat(2.0)), 3.0, tokens);
    painter.rect_stroke(tank, 4.0, outline(tokens), StrokeKind::Middle);
    let pump = Rect::from_min_size(c + Vec2::new(-34.0, 21.0), Vec2::new(12.0, 8.0));
    painter.rect_filled(pump, 2.0, tokens.ink);
    let channel =
        [c + Vec2::new(-24.0, -12.0), c + Vec2::new(42.0, -6.0), c + Vec2::new(42.0, 1.0), c + Vec2::new(-24.0, -5.0)];
    painter.add(Shape::convex_polygon(channel.to_vec(), tokens.liquid.gamma_multiply(0.75), outline(tokens)));
    let up =
        vec![pump.center_top(), c + Vec2::new(-28.0, -18.0), c + Vec2::new(-18.0, -18.0), c + Vec2::new(-18.0, -12.0)];
    painter.line(up, outline(tokens));
    let down =
        vec![c + Vec2::new(38.0, 1.0), c + Vec2::new(38.0, 14.0), c + Vec2::new(4.0, 14.0), c + Vec2::new(4.0, 18.0)];
    painter.line(down, outline(tokens));
    for (x, y) in [(-4.0, -10.0), (14.0, -8.5), (32.0, -7.0)] {
        plant(painter, c + Vec2::new(x, y), 20.0, tokens);
    }
}
