//! The measuring tools as drawings for paper, filled to their level.

use super::face::Face;
use super::pen::{Align, LIQUID, Pen, Rect, arc};
use crate::card::tool::{ToolFill, counted, drawn_filling, drawn_mark, on_marks, plain};

/// Line of an outline, pt.
const INK: f64 = 1.2;
/// Line of a mark, pt.
const HAIR: f64 = 0.6;
/// Least distance of two drawn marks, pt.
const LEAST_MARK_PT: f64 = 3.2;
/// The figure to reach.
const STRONG: (Face, f64) = (Face::SemiBold, 13.0);
/// Figures at the ends of a scale.
const QUIET: (Face, f64) = (Face::Regular, 8.0);
/// What is said of full ones, and the count.
const COUNT: (Face, f64) = (Face::SemiBold, 11.0);
/// Most drops and scoops that are drawn one by one.
const DROPS_DRAWN: u32 = 20;
const SCOOPS_DRAWN: f64 = 4.0;

/// Draws a tool into a rectangle; numbers that cannot be drawn leave it empty.
pub(super) fn draw(pen: &mut Pen<'_>, tool: &ToolFill, rect: Rect) {
    match tool {
        ToolFill::Syringe { capacity_ml, mark_ml, full_times, fill_ml } => {
            syringe(pen, rect, (*capacity_ml, *mark_ml), (*full_times, *fill_ml));
        }
        ToolFill::Dropper { drops } => drops_row(pen, rect, *drops),
        ToolFill::Scoop { count, .. } => scoops(pen, rect, *count, true),
        ToolFill::Spoon { count, .. } => scoops(pen, rect, *count, false),
        ToolFill::Scale { grams, mark_g } => scale(pen, rect, &on_marks(*grams, *mark_g)),
        ToolFill::Jug { capacity_l, full_times, fill_l } => jug(pen, rect, *capacity_l, (*full_times, *fill_l)),
    }
}

/// A syringe on its side: nozzle left, marks above, the plunger's edge at the level.
fn syringe(pen: &mut Pen<'_>, (x, y, width, height): Rect, (capacity, mark): (f64, f64), (times, fill): (u32, f64)) {
    if !(capacity.is_finite() && capacity > 0.0) {
        return;
    }
    let (fill, full) = drawn_filling(capacity, times, fill, "mL");
    // What is said of full ones stands above the figure to reach, wherever that is.
    let low = if full.is_some() { 0.76 } else { 0.62 };
    if let Some(words) = full {
        pen.words(&words, COUNT, (x, y + 11.0), Align::Left);
    }
    let (nozzle, thumb, tall) = (20.0, 40.0, 34.0_f64.min(height * 0.4));
    let (left, wide) = (x + nozzle, width - nozzle - thumb);
    let (top, middle) = (y + height * low - tall / 2.0, y + height * low);
    let share = (fill / capacity).clamp(0.0, 1.0);
    let level = left + wide * share;
    pen.rect((x, middle - 2.5, nozzle, 5.0), 1.5, Some(0), None);
    if share > 0.0 {
        pen.rect((left + 1.0, top + 1.0, (level - left - 1.0).max(0.0), tall - 2.0), 1.0, Some(LIQUID), None);
    }
    // The rod runs from the seal to the thumb plate, which slides with it.
    let plate = (level + 24.0).clamp(left + wide + 10.0, x + width - 5.0);
    pen.line((level, middle), (plate, middle), 2.6);
    pen.rect((plate - 2.0, middle - tall * 0.38, 4.5, tall * 0.76), 1.0, Some(0), None);
    pen.rect((level, top + 1.2, 6.0, tall - 2.4), 0.8, Some(0), None);
    pen.rect((left, top, wide, tall), 3.0, None, Some(INK));
    pen.rect((left + wide - 1.2, top - 5.0, 2.4, tall + 10.0), 0.8, Some(0), None);
    let step = drawn_mark(capacity, mark, LEAST_MARK_PT / wide);
    let count = (capacity / step).round().clamp(1.0, 1000.0);
    let mut i = 0.0;
    while i <= count {
        let at = left + wide * i / count;
        let long = if i % 5.0 == 0.0 { 9.0 } else { 5.0 };
        pen.line((at, top), (at, top + long), HAIR);
        i += 1.0;
    }
    let words = on_marks(fill, mark);
    let half = pen.width(&words, STRONG) / 2.0;
    let baseline = top - 6.0;
    let at = level.clamp(x + half, x + width - half);
    pen.words(&words, STRONG, (at, baseline), Align::Center);
    for (value, end) in [(0.0, left), (capacity, left + wide)] {
        let words = plain(value);
        if (end - at).abs() > half + pen.width(&words, QUIET) / 2.0 + 4.0 {
            pen.words(&words, QUIET, (end, baseline), Align::Center);
        }
    }
}

fn drop_shape(pen: &mut Pen<'_>, (x, y): (f64, f64), radius: f64) {
    let mut corners = vec![(x, y - radius * 1.5)];
    corners.extend(arc((x, y + radius * 0.45), (radius, radius), -1.0 / 6.0, 7.0 / 6.0));
    pen.filled(corners.clone(), LIQUID);
    pen.outlined(corners, INK);
}

/// A row or two of drops, in fives, with their count below.
fn drops_row(pen: &mut Pen<'_>, (x, y, width, height): Rect, drops: u32) {
    let many = drops > DROPS_DRAWN;
    let drawn = if many { 1 } else { drops };
    let columns = drawn.clamp(1, 10);
    let gap = if columns > 5 { 7.0 } else { 0.0 };
    let (wide, tall) = (18.0, 26.0);
    let rows = drawn.div_ceil(10).max(1);
    let left = x + (width - wide * f64::from(columns) - gap) / 2.0;
    let top = y + (height - tall * f64::from(rows) - 16.0).max(0.0) / 2.0;
    for i in 0..drawn {
        let (row, column) = (i / 10, i % 10);
        let shift = if column >= 5 { gap } else { 0.0 };
        let at = (left + wide * (f64::from(column) + 0.5) + shift, top + tall * (f64::from(row) + 0.5));
        drop_shape(pen, at, 6.5);
    }
    let words = if drops == 1 { "1 drop".to_owned() } else { format!("{drops} drops") };
    pen.words(&words, COUNT, (x + width / 2.0, top + tall * f64::from(rows) + 13.0), Align::Center);
}

/// Level scoops or spoons side by side, the last one filled in part, with their count below.
fn scoops(pen: &mut Pen<'_>, (x, y, width, height): Rect, count: f64, flat: bool) {
    if !(count.is_finite() && count > 0.0) {
        return;
    }
    let many = count > SCOOPS_DRAWN;
    let drawn = if many { 1.0 } else { count };
    let (pitch, half, deep) = (50.0, 16.0, if flat { 23.0 } else { 17.0 });
    let n = drawn.ceil();
    let left = x + (width - pitch * n) / 2.0 - 4.0;
    let top = y + (height - deep - 20.0) / 2.0;
    let mut i = 0.0;
    while i < n {
        let middle = left + pitch * (i + 0.5);
        let share = (drawn - i).clamp(0.0, 1.0);
        let bowl = if flat {
            vec![
                (middle - half, top),
                (middle - half + 3.0, top + deep),
                (middle + half - 3.0, top + deep),
                (middle + half, top),
            ]
        } else {
            arc((middle, top), (half, deep), 1.0, 0.0)
        };
        // A part of a level scoop is that share of its width, as one levels it: filled, then cut with a blade.
        pen.filled(cut_at(&bowl, middle - half + 2.0 * half * share), LIQUID);
        pen.outlined(bowl, INK);
        pen.line((middle + half, top + 0.8), (middle + half + 12.0, top - 9.0), 2.6);
        i += 1.0;
    }
    let words = if many { format!("× {} level", counted(count)) } else { format!("{} level", counted(count)) };
    pen.words(&words, COUNT, (x + width / 2.0, top + deep + 16.0), Align::Center);
}

/// What of a convex outline lies left of a line.
fn cut_at(corners: &[(f64, f64)], x: f64) -> Vec<(f64, f64)> {
    let mut kept = Vec::new();
    for (a, b) in corners.iter().zip(corners.iter().cycle().skip(1)) {
        if a.0 <= x {
            kept.push(*a);
        }
        if (a.0 <= x) != (b.0 <= x) {
            let t = (x - a.0) / (b.0 - a.0);
            kept.push((x, a.1 + t * (b.1 - a.1)));
        }
    }
    kept
}

/// A flat scale: a pan with a heap on it, and the figures to reach.
fn scale(pen: &mut Pen<'_>, (x, y, width, height): Rect, grams: &str) {
    let middle = x + width / 2.0;
    let top = y + height / 2.0 - 4.0;
    let heap: Vec<(f64, f64)> = (0..=24)
        .map(|i| {
            let t = f64::from(i) / 24.0;
            // At the ends the sine is a hair below zero, of which no power can be taken.
            let bump = (std::f64::consts::PI * t).sin().max(0.0).powf(1.5);
            (middle - 34.0 + 68.0 * t, top - 8.0 - 20.0 * bump)
        })
        .collect();
    pen.filled(heap.clone(), LIQUID);
    pen.bent(heap, INK);
    pen.rect((middle - 56.0, top - 8.0, 112.0, 5.0), 2.0, Some(0), None);
    pen.rect((middle - 68.0, top, 136.0, 40.0), 5.0, None, Some(INK));
    pen.rect((middle - 44.0, top + 7.0, 88.0, 26.0), 3.0, None, Some(HAIR));
    pen.words(&format!("{grams} g"), STRONG, (middle, top + 24.5), Align::Center);
}

/// A jug with marks at its quarters, filled to a level.
fn jug(pen: &mut Pen<'_>, (x, y, width, height): Rect, capacity: f64, (times, fill): (u32, f64)) {
    if !(capacity.is_finite() && capacity > 0.0) {
        return;
    }
    let (fill, full) = drawn_filling(capacity, times, fill, "L");
    if let Some(words) = full {
        pen.words(&words, COUNT, (x, y + 11.0), Align::Left);
    }
    let (wide, narrow, tall) = (34.0, 27.0, (height - 18.0).clamp(40.0, 84.0));
    let middle = x + width / 2.0;
    let (top, bottom) = (y + height - tall, y + height - 1.0);
    let half = |share: f64| narrow + (wide - narrow) * share;
    let level = |share: f64| bottom - 2.0 - (tall - 14.0) * share;
    let share = (fill / capacity).clamp(0.0, 1.0);
    if share > 0.0 {
        let (a, b) = (half(share) - 1.5, narrow - 1.5);
        let wet = vec![
            (middle - a, level(share)),
            (middle + a, level(share)),
            (middle + b, bottom - 1.5),
            (middle - b, bottom - 1.5),
        ];
        pen.filled(wet, LIQUID);
    }
    pen.bent(
        vec![
            (middle - wide - 8.0, top),
            (middle - wide, top + 7.0),
            (middle - narrow, bottom),
            (middle + narrow, bottom),
            (middle + wide, top),
        ],
        INK,
    );
    pen.bent(arc((middle + half(0.6), f64::midpoint(top, bottom) - 4.0), (18.0, tall * 0.27), -0.5, 0.5), 2.6);
    for quarter in 1..=4 {
        let share = f64::from(quarter) / 4.0;
        let right = middle + half(share) - 2.5;
        pen.line((right - 9.0, level(share)), (right, level(share)), HAIR);
    }
    let at = (middle - wide - 12.0, level(share).max(top + 22.0) + 4.5);
    pen.words(&format!("{} L", plain(fill)), STRONG, at, Align::Right);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cut_keeps_what_lies_left() {
        let square = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)];
        assert_eq!(cut_at(&square, 4.0), [(0.0, 0.0), (4.0, 0.0), (4.0, 10.0), (0.0, 10.0)]);
        assert_eq!(cut_at(&square, 10.0), square);
        assert!(cut_at(&square, -1.0).is_empty());
    }
}
