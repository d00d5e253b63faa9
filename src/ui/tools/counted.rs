//! Tools that are counted: drops, level scoops, spoons.

use egui::{Align2, Painter, Pos2, Rect, Shape, Stroke, Vec2};

use crate::card::counted as counted_text;
use crate::ui::paint::{px, words_at};
use crate::ui::theme::{Tokens, Weight, size, space};

/// Most drops that are drawn one by one.
const DROPS_DRAWN: u32 = 20;
/// Most scoops that are drawn one by one.
const SCOOPS_DRAWN: f64 = 6.0;

/// Shape of what is levelled off.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Bowl {
    /// Flat bottom, straight handle.
    Scoop,
    /// Round bottom, long handle.
    Spoon,
}

/// A row (or two) of drops with the count beside it.
pub(super) fn drops(painter: &Painter, rect: Rect, count: u32, tokens: &Tokens) {
    let words = if count == 1 { "1 drop".to_owned() } else { format!("{count} drops") };
    let many = count > DROPS_DRAWN;
    let drawn = if many { 1 } else { count };
    let columns = drawn.clamp(1, 10);
    let rows = drawn.div_ceil(10).max(1);
    let pitch = Vec2::new(17.0, 24.0);
    // A gap after five makes them countable at a glance.
    let gap = if columns > 5 { 8.0 } else { 0.0 };
    let block = Vec2::new(pitch.x * columns as f32 + gap, pitch.y * rows as f32);
    let origin = Pos2::new(rect.center().x - block.x / 2.0, rect.center().y - block.y / 2.0 - 10.0);
    for i in 0..drawn {
        let (row, column) = (i / 10, i % 10);
        let shift = if column >= 5 { gap } else { 0.0 };
        let cell = Vec2::new(pitch.x * (column as f32 + 0.5) + shift, pitch.y * (row as f32 + 0.5));
        drop_shape(painter, origin + cell, 7.0, tokens);
    }
    if many {
        let at = Pos2::new(rect.center().x + 18.0, origin.y + block.y / 2.0);
        words_at(painter, at, Align2::LEFT_CENTER, &format!("× {count}"), (size::LARGE, Weight::SemiBold), tokens.ink);
    }
    let at = Pos2::new(rect.center().x, origin.y + block.y + space::HALF);
    words_at(painter, at, Align2::CENTER_TOP, &words, (size::BODY, Weight::SemiBold), tokens.ink);
}

/// One drop: a circle of `radius` with a tip, centred at `center`.
pub(crate) fn drop_shape(painter: &Painter, center: Pos2, radius: f32, tokens: &Tokens) {
    let round = center + Vec2::new(0.0, radius * 0.45);
    let start = std::f32::consts::FRAC_PI_6;
    let mut points = vec![Pos2::new(center.x, center.y - radius * 1.5)];
    for i in 0..=20_u8 {
        let angle = -start + (std::f32::consts::PI + 2.0 * start) * f32::from(i) / 20.0;
        points.push(round + radius * Vec2::new(angle.cos(), angle.sin()));
    }
    painter.add(Shape::convex_polygon(points, tokens.liquid, Stroke::new(1.5, tokens.ink)));
}

/// Level scoops or spoons side by side, the last one filled in part.
pub(super) fn scoops(painter: &Painter, rect: Rect, count: f64, bowl: Bowl, tokens: &Tokens) {
    if count.is_nan() || count <= 0.0 {
        return;
    }
    let words = format!("{} level", counted_text(count));
    let many = count > SCOOPS_DRAWN;
    let drawn = if many { 1.0 } else { count };
    let pitch = 44.0;
    let n = px(drawn.ceil());
    let left = rect.center().x - pitch * n / 2.0;
    let middle = rect.center().y - 8.0;
    let mut i = 0.0;
    while i < n {
        let fill = (px(drawn) - i).clamp(0.0, 1.0);
        let center = Pos2::new(left + pitch * (i + 0.5), middle);
        one_scoop(painter, center, fill, bowl, tokens);
        i += 1.0;
    }
    if many {
        let at = Pos2::new(rect.center().x + 28.0, middle);
        let times = format!("× {}", counted_text(count));
        words_at(painter, at, Align2::LEFT_CENTER, &times, (size::LARGE, Weight::SemiBold), tokens.ink);
    }
    let at = Pos2::new(rect.center().x, middle + 30.0);
    words_at(painter, at, Align2::CENTER_TOP, &words, (size::BODY, Weight::SemiBold), tokens.ink);
}

fn one_scoop(painter: &Painter, center: Pos2, fill: f32, bowl: Bowl, tokens: &Tokens) {
    let stroke = Stroke::new(1.5, tokens.ink);
    let (half, depth) = match bowl {
        Bowl::Scoop => (14.0, 20.0),
        Bowl::Spoon => (15.0, 14.0),
    };
    let top = center.y - depth / 2.0;
    let outline: Vec<Pos2> = match bowl {
        Bowl::Scoop => [(-half, 0.0), (-half + 3.0, depth), (half - 3.0, depth), (half, 0.0)]
            .map(|(x, y)| Pos2::new(center.x + x, top + y))
            .to_vec(),
        Bowl::Spoon => (0..=16_u8)
            .map(|i| {
                let angle = std::f32::consts::PI * (1.0 - f32::from(i) / 16.0);
                Pos2::new(center.x + half * angle.cos(), top + depth * angle.sin())
            })
            .collect(),
    };
    // A part of a level scoop is drawn as that share of its width, as one levels it: filled, then cut with a blade.
    let clip = Rect::from_min_max(
        Pos2::new(center.x - half, top),
        Pos2::new(center.x - half + 2.0 * half * fill, top + depth + 1.0),
    );
    painter.with_clip_rect(clip.intersect(painter.clip_rect())).add(Shape::convex_polygon(
        outline.clone(),
        tokens.liquid,
        Stroke::NONE,
    ));
    painter.add(Shape::closed_line(outline, stroke));
    let handle = [Pos2::new(center.x + half, top + 1.0), Pos2::new(center.x + half + 11.0, top - 9.0)];
    painter.line_segment(handle, Stroke::new(3.0, tokens.ink));
}
