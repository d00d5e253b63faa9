//! Finds room for labels, so that no word covers a point or another word.

use egui::{Pos2, Rect, Vec2};

/// Labels placed so far, and what they must not cover.
pub(super) struct Placer {
    room: Rect,
    taken: Vec<(Rect, f32)>,
}

/// Covering a point, a path or another label.
const NEVER: f32 = 20.0;
impl Placer {
    pub(super) fn new(room: Rect) -> Self {
        Self { room: room.shrink(3.0), taken: Vec::new() }
    }

    /// Keeps labels off `rect`.
    pub(super) fn block(&mut self, rect: Rect) {
        self.taken.push((rect, NEVER));
    }

    /// Prefers labels elsewhere than on `rect`, at a cost for each square point covered.
    pub(super) fn discourage(&mut self, rect: Rect, cost: f32) {
        self.taken.push((rect, cost));
    }

    /// Takes the candidate (a top left corner) that covers least; among equals the first.
    pub(super) fn place(&mut self, size: Vec2, candidates: impl IntoIterator<Item = Pos2>) -> Rect {
        self.place_where(size, candidates, |_, _| 0.0)
    }

    /// As [`Self::place`], with a line from the label to `target` that should cross nothing either.
    pub(super) fn place_with_leader(
        &mut self,
        size: Vec2,
        candidates: impl IntoIterator<Item = Pos2>,
        (target, clear): (Pos2, f32),
    ) -> Rect {
        self.place_where(size, candidates, |taken, rect| {
            let near = target.clamp(rect.min, rect.max);
            let way = target - near;
            let steps = (way.length() / 4.0).ceil().max(1.0);
            let mut crossed = 0.0;
            let mut i = 0.0;
            while i < steps {
                let at = near + way * (i / steps);
                let hit = taken.iter().any(|(r, cost)| *cost >= NEVER && r.contains(at));
                if hit && at.distance(target) > clear {
                    crossed += 4.0 * NEVER;
                }
                i += 1.0;
            }
            crossed
        })
    }

    fn place_where(
        &mut self,
        size: Vec2,
        candidates: impl IntoIterator<Item = Pos2>,
        extra: impl Fn(&[(Rect, f32)], Rect) -> f32,
    ) -> Rect {
        let mut best = (f32::INFINITY, Rect::from_min_size(self.room.min, size));
        for (order, corner) in candidates.into_iter().enumerate() {
            let wanted = Rect::from_min_size(corner, size);
            let rect = self.pulled_inside(wanted);
            let moved = rect.min.distance(wanted.min);
            let covered: f32 = self.taken.iter().map(|(r, cost)| cost * overlap(*r, rect)).sum();
            let cost = covered + 2.0 * moved + order as f32 + extra(&self.taken, rect);
            if cost < best.0 {
                best = (cost, rect);
            }
        }
        self.block(best.1);
        best.1
    }

    fn pulled_inside(&self, rect: Rect) -> Rect {
        let low = self.room.min;
        let high = (self.room.max - rect.size()).max(low);
        Rect::from_min_size(rect.min.clamp(low, high), rect.size())
    }
}

fn overlap(a: Rect, b: Rect) -> f32 {
    let both = a.intersect(b);
    if both.is_positive() { both.width() * both.height() } else { 0.0 }
}

/// Top left corners for a label of `size` around `center`, `gap` away: right, left, above, below, then the diagonals; then
/// the same once more a line further out, for crowded places.
pub(super) fn around(center: Pos2, size: Vec2, gap: f32) -> impl Iterator<Item = Pos2> {
    let ring = move |gap: f32| {
        let (w, h) = (size.x, size.y);
        [
            Vec2::new(gap, -h / 2.0),
            Vec2::new(-gap - w, -h / 2.0),
            Vec2::new(-w / 2.0, -gap - h),
            Vec2::new(-w / 2.0, gap),
            Vec2::new(gap * 0.7, -gap * 0.7 - h),
            Vec2::new(gap * 0.7, gap * 0.7),
            Vec2::new(-gap * 0.7 - w, -gap * 0.7 - h),
            Vec2::new(-gap * 0.7 - w, gap * 0.7),
        ]
        .map(|offset| center + offset)
    };
    ring(gap).into_iter().chain(ring(gap + size.y + 4.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_keep_off_points_and_each_other_and_stay_inside() {
        let room = Rect::from_min_size(Pos2::ZERO, Vec2::new(400.0, 300.0));
        let mut placer = Placer::new(room);
        let point = Pos2::new(380.0, 150.0);
        placer.block(Rect::from_center_size(point, Vec2::splat(14.0)));
        let mut placed: Vec<Rect> = Vec::new();
        for _ in 0..4 {
            let rect = placer.place(Vec2::new(80.0, 16.0), around(point, Vec2::new(80.0, 16.0), 12.0));
            assert!(room.contains_rect(rect), "{rect:?}");
            assert!(!rect.contains(point));
            assert!(placed.iter().all(|other| overlap(*other, rect) == 0.0), "{placed:?} {rect:?}");
            placed.push(rect);
        }
    }

    #[test]
    fn a_label_wider_than_the_room_does_not_panic() {
        let mut placer = Placer::new(Rect::from_min_size(Pos2::ZERO, Vec2::new(40.0, 30.0)));
        let rect = placer.place(Vec2::new(80.0, 50.0), around(Pos2::new(20.0, 20.0), Vec2::new(80.0, 50.0), 8.0));
        assert!(rect.is_finite());
    }
}
