//! A syringe lying on its side: nozzle left, marks above, the plunger's edge at the level.

use egui::{Align2, Painter, Pos2, Rect, Stroke, StrokeKind, Vec2};

use crate::card::{drawn_filling, drawn_mark, on_marks, plain};
use crate::ui::paint::{line, px, words_at};
use crate::ui::theme::{Tokens, Weight, size, space};

/// Least distance of two drawn marks, points.
const LEAST_MARK: f64 = 5.0;

/// What is drawn. All in mL.
pub(super) struct Syringe {
    pub(super) capacity_ml: f64,
    pub(super) mark_ml: f64,
    pub(super) full_times: u32,
    pub(super) fill_ml: f64,
}

impl Syringe {
    /// What the drawn filling holds, and what is said of the full ones before it.
    fn drawn(&self) -> (f64, Option<String>) {
        drawn_filling(self.capacity_ml, self.full_times, self.fill_ml, "mL")
    }

    /// Draws it into `rect`, centred.
    pub(super) fn paint(&self, painter: &Painter, rect: Rect, tokens: &Tokens) {
        if self.capacity_ml.is_nan() || self.capacity_ml <= 0.0 {
            return;
        }
        let rect = self.paint_times(painter, rect, tokens);
        let ink = Stroke::new(1.5, tokens.ink);
        let height = (rect.height() * 0.42).clamp(20.0, 36.0);
        let nozzle = 22.0;
        let thumb = 32.0;
        let barrel = Rect::from_min_size(
            Pos2::new(rect.left() + nozzle, rect.center().y - height / 2.0 + 9.0),
            Vec2::new(rect.width() - nozzle - thumb, height),
        );
        let share = px((self.drawn().0 / self.capacity_ml).clamp(0.0, 1.0));
        let level = barrel.left() + barrel.width() * share;

        let tip = Rect::from_center_size(barrel.left_center() - Vec2::new(nozzle / 2.0, 0.0), Vec2::new(nozzle, 6.0));
        painter.rect_filled(tip, 2.0, tokens.ink);
        let liquid = Rect::from_min_max(barrel.min + Vec2::splat(3.0), Pos2::new(level, barrel.bottom() - 3.0));
        if share > 0.0 {
            painter.rect_filled(liquid, 3.0, tokens.liquid);
        }
        // The rod runs from the seal to the thumb plate, which slides with it.
        let plate_x = (level + 26.0).max(barrel.right() + 10.0).min(rect.right() - 3.0);
        painter.line_segment(
            [Pos2::new(level, barrel.center().y), Pos2::new(plate_x, barrel.center().y)],
            Stroke::new(3.0, tokens.ink),
        );
        let plate = Rect::from_center_size(Pos2::new(plate_x, barrel.center().y), Vec2::new(5.0, height * 0.75));
        painter.rect_filled(plate, 2.0, tokens.ink);
        let seal =
            Rect::from_min_max(Pos2::new(level, barrel.top() + 2.0), Pos2::new(level + 7.0, barrel.bottom() - 2.0));
        painter.rect_filled(seal, 1.0, tokens.ink);
        painter.rect_stroke(barrel, 4.0, ink, StrokeKind::Middle);
        let flange = Rect::from_center_size(barrel.right_center(), Vec2::new(3.0, height + 10.0));
        painter.rect_filled(flange, 1.0, tokens.ink);

        self.paint_marks(painter, barrel, level, tokens);
    }

    /// Says how often it is filled to the brim first, and returns the room that is left.
    fn paint_times(&self, painter: &Painter, rect: Rect, tokens: &Tokens) -> Rect {
        let (_, Some(times)) = self.drawn() else { return rect };
        let at =
            words_at(painter, rect.left_top(), Align2::LEFT_TOP, &times, (size::SMALL, Weight::SemiBold), tokens.ink);
        Rect::from_min_max(Pos2::new(rect.left(), at.bottom()), rect.max)
    }

    fn paint_marks(&self, painter: &Painter, barrel: Rect, level: f32, tokens: &Tokens) {
        let stroke = Stroke::new(1.0, tokens.ink);
        let mark = drawn_mark(self.capacity_ml, self.mark_ml, LEAST_MARK / f64::from(barrel.width()));
        let count = px((self.capacity_ml / mark).round()).max(1.0);
        let mut i = 0.0;
        while i <= count {
            let x = barrel.left() + barrel.width() * i / count;
            let long = i % 5.0 == 0.0;
            let length = if long { 9.0 } else { 5.0 };
            painter.vline(x, (barrel.top())..=(barrel.top() + length), stroke);
            i += 1.0;
        }
        let above = barrel.top() - space::HALF;
        let strong = (size::BODY, Weight::SemiBold);
        let fill = on_marks(self.drawn().0, self.mark_ml);
        let level_at = Pos2::new(level, above);
        let taken =
            words_at(painter, level_at, Align2::CENTER_BOTTOM, &fill, strong, tokens.ink).expand2(Vec2::new(6.0, 0.0));
        for (value, x) in [(0.0, barrel.left()), (self.capacity_ml, barrel.right())] {
            let words = plain(value);
            let galley = line(painter, &words, size::SMALL, Weight::Regular, tokens.quiet);
            let at = Rect::from_center_size(Pos2::new(x, above - galley.size().y / 2.0), galley.size());
            if !at.intersects(taken) {
                painter.galley(at.min, galley, tokens.quiet);
            }
        }
    }
}
