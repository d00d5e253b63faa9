//! Finds room for labels, so that no word covers a point or another word.

use std::collections::BTreeMap;

use egui::{Pos2, Rect, Vec2};

/// What a label belongs to: its place is remembered by it.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) enum Spot {
    /// The latest reading.
    Now,
    /// An earlier reading, counted from the newest.
    Earlier(usize),
    /// The settled point.
    Settled,
    /// The water at the moment looked at.
    Later,
    /// Where the list that is not in hand lands.
    Other,
    /// A pour that is in the water.
    Poured(usize),
    /// The landing's words.
    Callout,
    /// What is in the hand.
    Tag,
    /// A zone's name.
    Zone(usize),
    /// A limit's words.
    Limit(usize),
}

/// Where labels were placed last: their upper left corners, seen from what they belong to.
pub(super) type Spots = BTreeMap<Spot, Vec2>;

/// Labels placed so far, and what they must not cover.
pub(super) struct Placer<'a> {
    room: Rect,
    taken: Vec<(Rect, f32)>,
    last: &'a mut Spots,
    placed: Spots,
    is_held: bool,
}

/// Covering a point, a path or another label.
const NEVER: f32 = 20.0;
/// A label moves only where it is better by this: some ten square points less covered.
const BETTER: f32 = 200.0;

impl<'a> Placer<'a> {
    /// A placer that keeps labels where they were `last` when nothing is clearly better; while a handle `is_held`, as long
    /// as they are in no one's way.
    pub(super) fn new(room: Rect, last: &'a mut Spots, is_held: bool) -> Self {
        Self { room: room.shrink(3.0), taken: Vec::new(), last, placed: Spots::new(), is_held }
    }

    /// Keeps labels off `rect`.
    pub(super) fn block(&mut self, rect: Rect) {
        self.taken.push((rect, NEVER));
    }

    /// Keeps labels off a path.
    pub(super) fn block_path(&mut self, path: &[Pos2]) {
        for pair in path.windows(2) {
            if let [a, b] = pair {
                let steps = (a.distance(*b) / 8.0).ceil().clamp(1.0, 100.0);
                let mut i = 0.0;
                while i <= steps {
                    let at = a.lerp(*b, i / steps);
                    if self.room.contains(at) {
                        self.block(Rect::from_center_size(at, Vec2::splat(8.0)));
                    }
                    i += 1.0;
                }
            }
        }
    }

    /// Prefers labels elsewhere than on `rect`, at a cost for each square point covered.
    pub(super) fn discourage(&mut self, rect: Rect, cost: f32) {
        self.taken.push((rect, cost));
    }

    /// Takes the candidate (a top left corner) that covers least; among equals the first.
    pub(super) fn place(
        &mut self,
        (spot, anchor): (Spot, Pos2),
        size: Vec2,
        candidates: impl IntoIterator<Item = Pos2>,
    ) -> Rect {
        self.place_where((spot, anchor), size, candidates, |_, _| 0.0)
    }

    /// As [`Self::place`], with a line from the label to its anchor that should cross nothing either.
    pub(super) fn place_with_leader(
        &mut self,
        (spot, anchor): (Spot, Pos2),
        size: Vec2,
        candidates: impl IntoIterator<Item = Pos2>,
        clear: f32,
    ) -> Rect {
        self.place_where((spot, anchor), size, candidates, |taken, rect| {
            let near = anchor.clamp(rect.min, rect.max);
            let way = anchor - near;
            let steps = (way.length() / 6.0).ceil().max(1.0);
            let mut crossed = 0.0;
            let mut i = 0.0;
            while i < steps {
                let at = near + way * (i / steps);
                if at.distance(anchor) > clear && taken.iter().any(|(r, cost)| *cost >= NEVER && r.contains(at)) {
                    crossed += 8.0 * NEVER;
                }
                i += 1.0;
            }
            crossed
        })
    }

    /// As [`Self::place`], but only among candidates that cover nothing; the one of last time first.
    pub(super) fn place_if_free(
        &mut self,
        (spot, anchor): (Spot, Pos2),
        size: Vec2,
        candidates: &[Pos2],
    ) -> Option<Rect> {
        let kept = self.last.get(&spot).filter(|_| self.is_held).map(|offset| anchor + *offset);
        // What was kept counts only where it is still one of the candidates, give or take a point.
        let kept = kept.filter(|kept| candidates.iter().any(|corner| corner.distance(*kept) < 1.5));
        let found = kept.iter().chain(candidates).map(|corner| Rect::from_min_size(*corner, size));
        let rect = found.into_iter().find(|rect| self.is_free(*rect))?;
        self.placed.insert(spot, rect.min - anchor);
        self.block(rect);
        Some(rect)
    }

    /// Whether a label at `rect` would cover nothing that must be seen.
    fn is_free(&self, rect: Rect) -> bool {
        let hits = |(r, cost): &(Rect, f32)| *cost >= NEVER && overlap(*r, rect) > 4.0;
        self.room.expand(1.0).contains_rect(rect) && !self.taken.iter().any(hits)
    }

    fn place_where(
        &mut self,
        (spot, anchor): (Spot, Pos2),
        size: Vec2,
        candidates: impl IntoIterator<Item = Pos2>,
        extra: impl Fn(&[(Rect, f32)], Rect) -> f32,
    ) -> Rect {
        let mut best = (f32::INFINITY, Rect::from_min_size(self.room.min, size));
        let cost = |wanted: Rect, enough: f32| {
            let rect = self.pulled_inside(wanted);
            let covered: f32 = self.taken.iter().map(|(r, cost)| cost * overlap(*r, rect)).sum();
            let cost = covered + 2.0 * rect.min.distance(wanted.min);
            // The leader is the dearest to look at: only for what is in the running.
            (if cost < enough { cost + extra(&self.taken, rect) } else { cost }, rect)
        };
        // At rest the picture follows from what is shown alone, not from how it came about.
        let kept =
            self.last.get(&spot).filter(|_| self.is_held).map(|offset| Rect::from_min_size(anchor + *offset, size));
        let kept = kept.map(|wanted| (cost(wanted, f32::INFINITY), wanted));
        let rect = match kept {
            Some(((_, rect), wanted)) if self.is_held && self.is_free(wanted) => rect,
            _ => {
                for (order, corner) in candidates.into_iter().enumerate() {
                    let (cost, rect) = cost(Rect::from_min_size(corner, size), best.0);
                    if cost + (order as f32) < best.0 {
                        best = (cost + order as f32, rect);
                    }
                }
                match kept {
                    Some(((cost, rect), _)) if cost <= best.0 + BETTER && rect.is_finite() => rect,
                    _ => best.1,
                }
            }
        };
        self.placed.insert(spot, rect.min - anchor);
        self.block(rect);
        rect
    }

    /// Remembers where everything was placed.
    pub(super) fn keep(self) {
        *self.last = self.placed;
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
        let mut spots = Spots::new();
        let mut placer = Placer::new(room, &mut spots, false);
        let point = Pos2::new(380.0, 150.0);
        placer.block(Rect::from_center_size(point, Vec2::splat(14.0)));
        let mut placed: Vec<Rect> = Vec::new();
        for i in 0..4 {
            let size = Vec2::new(80.0, 16.0);
            let rect = placer.place((Spot::Earlier(i), point), size, around(point, size, 12.0));
            assert!(room.contains_rect(rect), "{rect:?}");
            assert!(!rect.contains(point));
            assert!(placed.iter().all(|other| overlap(*other, rect) == 0.0), "{placed:?} {rect:?}");
            placed.push(rect);
        }
    }

    #[test]
    fn a_label_wider_than_the_room_does_not_panic() {
        let mut spots = Spots::new();
        let mut placer = Placer::new(Rect::from_min_size(Pos2::ZERO, Vec2::new(40.0, 30.0)), &mut spots, false);
        let (at, size) = (Pos2::new(20.0, 20.0), Vec2::new(80.0, 50.0));
        assert!(placer.place((Spot::Now, at), size, around(at, size, 8.0)).is_finite());
    }

    #[test]
    fn a_label_stays_at_its_side_while_its_point_is_dragged() {
        let room = Rect::from_min_size(Pos2::ZERO, Vec2::new(400.0, 300.0));
        let mut spots = Spots::new();
        let size = Vec2::new(80.0, 16.0);
        let mut sides = Vec::new();
        for step in 0..30 {
            let at = Pos2::new(60.0 + 4.0 * step as f32, 150.0);
            let mut placer = Placer::new(room, &mut spots, true);
            // A wall that comes nearer on the right.
            placer.block(Rect::from_min_max(Pos2::new(260.0, 0.0), Pos2::new(400.0, 300.0)));
            let rect = placer.place((Spot::Callout, at), size, around(at, size, 12.0));
            placer.keep();
            sides.push(rect.min - at);
        }
        let jumps = sides.windows(2).filter(|pair| (pair[0] - pair[1]).length() > 1.0).count();
        assert_eq!(jumps, 1, "once, when the wall is reached: {sides:?}");
    }
}
