//! Where the handles are: a numbered badge beside the tip of each pour's arrow, and the ring of the landing.

use std::collections::BTreeMap;

use egui::{Pos2, Rect, Vec2};

use super::lines::shortened;
use super::marks::{EARLIER, LANDING, NOW, SETTLED};
use super::screen::Screen;
use crate::ui::command::Handle;
use crate::ui::view::{HandleView, MapPoint, MapView};

/// Radius of a pour's badge.
pub(super) const BADGE: f32 = 10.0;
/// Least distance of two badges' centres.
const APART: f32 = 2.0 * BADGE + 14.0;
/// How far from its tip a badge stands: past the ring of the landing, and farther where it is crowded.
const DISTANCES: [f32; 3] = [29.0, 42.0, 58.0];
/// How near the middle of a handle a press takes hold of it, points; the fingertip needs more than a pen or a mouse.
const REACH: f32 = 16.0;
/// See [`REACH`].
const TOUCH_REACH: f32 = 24.0;

/// A handle on the screen.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Grip {
    pub(super) handle: Handle,
    /// Number of the pour; nought for the landing.
    pub(super) number: u32,
    /// The point of the map that it moves: the tip of the arrow, or the landing.
    pub(super) place: MapPoint,
    /// That point on the screen.
    pub(super) tip: Pos2,
    /// The middle of what is drawn and grabbed.
    pub(super) at: Pos2,
    /// The way in which it can be moved, on the screen.
    pub(super) along: Vec2,
    /// Whether it stays as it is while the landing is dragged.
    pub(super) is_locked: bool,
}

impl Grip {
    /// What the keyboard's ring goes around.
    pub(super) fn rect(&self) -> Rect {
        let radius = if self.handle == Handle::Landing { LANDING } else { BADGE };
        Rect::from_center_size(self.at, Vec2::splat(2.0 * radius))
    }

    /// What a finger or mouse may press, when nothing else is nearer.
    pub(super) fn reach_rect(&self) -> Rect {
        Rect::from_center_size(self.at, Vec2::splat(2.0 * TOUCH_REACH))
    }

    /// How far a press is from it: the badge, or, a little less welcome, the tip itself.
    fn distance(&self, pointer: Pos2) -> f32 {
        self.at.distance(pointer).min(self.tip.distance(pointer) + 3.0)
    }
}

/// The handle nearest to a press, if any is near enough.
pub(super) fn nearest(grips: &[Grip], pointer: Pos2, is_touch: bool) -> Option<Grip> {
    let reach = if is_touch { TOUCH_REACH } else { REACH };
    let near = grips.iter().map(|grip| (grip.distance(pointer), grip)).filter(|(distance, _)| *distance <= reach);
    near.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, grip)| *grip)
}

/// Finds every handle its place. While one is held, badges keep to `last` (their way
/// from their tips) where they can, the held one always; at rest their places follow from the map alone.
pub(super) fn grips(
    map: &MapView,
    screen: &Screen,
    last: &mut BTreeMap<Handle, Vec2>,
    held: Option<Handle>,
) -> Vec<Grip> {
    let mut crowd = Crowd::of(map, screen);
    let mut grips = Vec::new();
    for arrow in &map.arrows {
        let Some(handle) = &arrow.handle else { continue };
        let Some(place) = place_of(&arrow.path, handle) else { continue };
        let tip = screen.at(place);
        let path = screen.path(&arrow.path);
        let (along, is_nothing) = match shortened(&path, 1.0).1 {
            Some(direction) => (direction, false),
            None => (way_of(handle, tip, screen), true),
        };
        let key = Handle::Pour(handle.key);
        let kept = last.get(&key).copied().filter(|_| held.is_some());
        let offset = match kept {
            Some(offset) if held == Some(key) => offset,
            _ => crowd.room(tip, along, is_nothing, kept),
        };
        let at = crowd.inside(tip + offset);
        last.insert(key, offset);
        crowd.taken.push((at, APART));
        grips.push(Grip { handle: key, number: arrow.number, place, tip, at, along, is_locked: handle.locked });
    }
    if let Some(landing) = map.landing.as_ref().filter(|l| l.can_move && l.at.is_finite()) {
        let tip = screen.at(landing.at);
        grips.push(Grip {
            handle: Handle::Landing,
            number: 0,
            place: landing.at,
            tip,
            at: crowd.inside(tip),
            along: Vec2::ZERO,
            is_locked: false,
        });
    }
    last.retain(|handle, _| grips.iter().any(|grip| grip.handle == *handle));
    grips
}

/// The tip of an arrow; where nothing is poured it is the start of the rail.
fn place_of(path: &[MapPoint], handle: &HandleView) -> Option<MapPoint> {
    path.last().or(handle.rail.first()).copied().filter(|p| p.is_finite())
}

/// The way a rail starts out from its tip.
fn way_of(handle: &HandleView, tip: Pos2, screen: &Screen) -> Vec2 {
    let far = handle.rail.iter().filter(|p| p.is_finite()).map(|p| screen.at(*p) - tip).find(|way| way.length() > 3.0);
    far.map_or(Vec2::RIGHT, Vec2::normalized)
}

/// What badges keep off.
struct Crowd {
    frame: Rect,
    /// Middles of what is taken, and how near a badge's middle may come.
    taken: Vec<(Pos2, f32)>,
    paths: Vec<Vec<Pos2>>,
}

impl Crowd {
    fn of(map: &MapView, screen: &Screen) -> Self {
        let mut taken = Vec::new();
        let mut take = |at: MapPoint, radius: f32| {
            if at.is_finite() {
                taken.push((screen.at(at), radius + BADGE + 4.0));
            }
        };
        map.now.into_iter().for_each(|now| take(now, NOW));
        map.earlier.iter().for_each(|e| take(e.at, EARLIER));
        map.arrows.iter().filter_map(|a| a.path.last()).for_each(|tip| take(*tip, 3.0));
        if let Some(landing) = &map.landing {
            take(landing.at, LANDING);
            landing.settled.iter().for_each(|s| take(s.at, SETTLED));
        }
        map.other.iter().for_each(|other| take(other.at, SETTLED));
        let paths = map.arrows.iter().map(|arrow| screen.path(&arrow.path)).collect();
        Self { frame: screen.frame, taken, paths }
    }

    /// A badge's middle pulled into the frame.
    fn inside(&self, at: Pos2) -> Pos2 {
        let inner = self.frame.shrink((BADGE + 5.0).min(self.frame.size().min_elem() / 2.0));
        at.clamp(inner.min, inner.max)
    }

    /// The way from the tip to where there is room.
    fn room(&self, tip: Pos2, along: Vec2, is_nothing: bool, kept: Option<Vec2>) -> Vec2 {
        // Beside a drawn arrow; ahead on its rail where nothing is drawn yet.
        let angles: [f32; 10] = if is_nothing {
            [0.0, 45.0, -45.0, 90.0, -90.0, 135.0, -135.0, 180.0, 20.0, -20.0]
        } else {
            [90.0, -90.0, 60.0, -60.0, 120.0, -120.0, 30.0, -30.0, 150.0, -150.0]
        };
        let mut best = (f32::INFINITY, along * DISTANCES[0]);
        // Above rather than below: a hand covers what is below it.
        let upward = if along.rot90().y > 0.0 { -1.0 } else { 1.0 };
        let mut order = 0.0;
        for distance in DISTANCES {
            for angle in angles {
                let (sin, cos) = (angle * upward).to_radians().sin_cos();
                let offset = (along * cos + along.rot90() * sin) * distance;
                let cost = self.cost(tip + offset) + order;
                if cost < best.0 {
                    best = (cost, offset);
                }
                order += 1.0;
            }
        }
        match kept {
            // It moves only for something clearly better.
            Some(offset) if self.cost(tip + offset) <= best.0 + 25.0 => offset,
            _ => best.1,
        }
    }

    fn cost(&self, at: Pos2) -> f32 {
        let outside = at.distance(self.inside(at));
        let near = |(other, apart): &(Pos2, f32)| (apart - other.distance(at)).max(0.0);
        let crowded: f32 = self.taken.iter().map(near).sum();
        let on_path = self.paths.iter().flatten().any(|p| p.distance(at) < BADGE + 3.0);
        20.0 * (outside + crowded) + if on_path { 40.0 } else { 0.0 }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ui::map::Bounds;
    use crate::ui::view::{ArrowView, LandingView};

    fn screen() -> Screen {
        Screen {
            bounds: Bounds { ph: (4.0, 8.0), ec_ms_cm: (0.0, 3.0) },
            frame: Rect::from_min_size(Pos2::new(50.0, 40.0), Vec2::new(500.0, 400.0)),
        }
    }

    fn unpoured(key: u32, rail_to: MapPoint) -> ArrowView {
        let now = MapPoint::new(6.9, 1.5);
        let handle = HandleView { key, rail: vec![now, rail_to], most: 10.0, step: 0.5, ..HandleView::default() };
        ArrowView { number: key, path: vec![now], handle: Some(handle), ..ArrowView::default() }
    }

    #[test]
    fn handles_of_nothing_fan_out_inside_the_frame() {
        for now_ph in [6.9, 4.02, 7.98] {
            let mut map = MapView { now: Some(MapPoint::new(now_ph, 1.5)), ..MapView::default() };
            for key in 1..=5 {
                let mut arrow = unpoured(key, MapPoint::new(5.0, 1.5));
                arrow.path = map.now.into_iter().collect();
                map.arrows.push(arrow);
            }
            let found = grips(&map, &screen(), &mut BTreeMap::new(), None);
            assert_eq!(found.len(), 5);
            for (i, one) in found.iter().enumerate() {
                assert!(screen().frame.contains_rect(one.rect()), "{one:?}");
                assert!(one.at.distance(one.tip) > NOW + BADGE, "a badge covers the reading: {one:?}");
                for other in &found[i + 1..] {
                    assert!(one.at.distance(other.at) > 2.0 * BADGE + 1.0, "{one:?} {other:?}");
                }
            }
        }
    }

    #[test]
    fn the_nearest_within_reach_is_taken() {
        let mut map = MapView {
            landing: Some(LandingView { at: MapPoint::new(6.0, 1.5), can_move: true, ..LandingView::default() }),
            ..MapView::default()
        };
        map.arrows.push(ArrowView {
            path: vec![MapPoint::new(7.5, 1.5), MapPoint::new(6.0, 1.5)],
            ..unpoured(1, MapPoint::new(5.0, 1.5))
        });
        let found = grips(&map, &screen(), &mut BTreeMap::new(), None);
        let at = |i: usize| found[i].at;
        assert_eq!(nearest(&found, at(0), false).map(|g| g.handle), Some(Handle::Pour(1)));
        assert_eq!(nearest(&found, at(1), false).map(|g| g.handle), Some(Handle::Landing));
        let aside = at(1) + Vec2::new(15.0, 0.0);
        assert_eq!(nearest(&found, aside, false).map(|g| g.handle), Some(Handle::Landing), "14 points are near");
        let far = at(1) + Vec2::new(0.0, 23.0);
        assert_eq!(nearest(&found, far, false), None);
        assert_eq!(nearest(&found, far, true).map(|g| g.handle), Some(Handle::Landing), "a finger reaches 22");
    }

    #[test]
    fn a_badge_keeps_its_side_while_its_arrow_turns_a_little() {
        let mut last = BTreeMap::new();
        let map = |ec| MapView {
            arrows: vec![ArrowView {
                path: vec![MapPoint::new(7.5, 1.5), MapPoint::new(6.0, ec)],
                ..unpoured(1, MapPoint::new(5.0, 1.5))
            }],
            ..MapView::default()
        };
        let rest = grips(&map(1.49), &screen(), &mut last, None);
        let held = Some(Handle::Landing);
        let before = grips(&map(1.49), &screen(), &mut last, held);
        let after = grips(&map(1.51), &screen(), &mut last, held);
        assert_eq!(rest, before);
        assert_eq!(before[0].at - before[0].tip, after[0].at - after[0].tip);
        assert_eq!(grips(&map(1.49), &screen(), &mut last, None), rest, "there and back is the same picture");
    }
}
