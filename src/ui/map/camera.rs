//! Which part of the plane is in sight: fitted by itself until a person moves it, still while a handle is held.

use egui::Vec2;

use super::Bounds;
use super::bounds::{moving_points_of, points_of};
use crate::ui::view::{MapPoint, MapView};
use crate::units::EcScale;

/// All there is of pH, with a little room.
const PH_ALL: (f64, f64) = (-0.2, 14.2);
/// All there is of EC, mS/cm at 25 °C, with a little room: no reservoir is kept above 15 (common practice, no source). What
/// is fitted may reach farther.
const EC_ALL: (f64, f64) = (-0.4, 15.4);
/// Least in sight: no pen reads finer than a tenth of it.
const LEAST_PH: f64 = 0.2;
/// Least in sight, mS/cm.
const LEAST_EC: f64 = 0.1;
/// A view this many times wider than needed is fitted again.
const TOO_WIDE: f64 = 2.0;

/// The view, and who chose it.
#[derive(Clone, PartialEq, Debug, Default)]
pub(super) struct Camera {
    shown: Option<Bounds>,
    by_hand: bool,
    /// What does not move under a hand: when it changes, the view is fitted anew.
    still: Vec<MapPoint>,
    /// Its lines follow the scale.
    scale: EcScale,
    /// A handle was moved: what it moved must be in sight once it is let go.
    moved: bool,
}

impl Camera {
    /// The view of this frame; while a handle `is_held`, or was and the button is still down, it is not fitted.
    pub(super) fn settle(&mut self, map: &MapView, is_held: bool) -> Bounds {
        if let (true, Some(shown)) = (is_held, self.shown) {
            return shown;
        }
        let still = still_points_of(map);
        if still != self.still || map.scale != self.scale {
            self.still = still;
            self.scale = map.scale;
            self.shown = None;
            self.by_hand = false;
        }
        let bounds = match self.shown {
            Some(shown) if self.by_hand && self.moved => with_in_sight(shown, &moving_points_of(map)),
            Some(shown) if self.by_hand => shown,
            Some(shown) => {
                let fit = Bounds::of(map);
                let is_in_sight = points_of(map).iter().all(|p| shown.holds(*p));
                let ((ph, ec), (fit_ph, fit_ec)) = (shown.spans(), fit.spans());
                let is_wide = ph > TOO_WIDE * fit_ph || ec > TOO_WIDE * fit_ec;
                if is_in_sight && !is_wide { shown } else { fit }
            }
            None => Bounds::of(map),
        };
        self.moved = false;
        self.shown = Some(bounds);
        bounds
    }

    /// Something was moved: it must be in sight afterwards.
    pub(super) fn follow(&mut self) {
        self.moved = true;
    }

    /// Fits the view to what is on the map, and keeps it fitted.
    pub(super) fn fit(&mut self) {
        self.shown = None;
        self.by_hand = false;
    }

    /// Zooms so that `about` stays where it is; more than 1 shows less of the plane.
    pub(super) fn zoom(&mut self, about: MapPoint, factor: f64) {
        let Some(shown) = self.shown else { return };
        if !factor.is_finite() || factor <= 0.0 || !about.is_finite() {
            return;
        }
        let (ph, ec) = shown.spans();
        let most = (ph / LEAST_PH).min(ec / LEAST_EC).max(1.0);
        let factor = factor.min(most);
        let scaled = |(low, high): (f64, f64), at: f64| (at - (at - low) / factor, at + (high - at) / factor);
        self.show(Bounds { ph: scaled(shown.ph, about.ph), ec_ms_cm: scaled(shown.ec_ms_cm, about.ec_ms_cm) });
    }

    /// Moves the plane under the frame by a share of what is shown, to the right and down.
    pub(super) fn pan(&mut self, share: Vec2) {
        let Some(shown) = self.shown else { return };
        if !share.is_finite() {
            return;
        }
        let (ph, ec) = shown.spans();
        let (ph, ec) = (-f64::from(share.x) * ph, f64::from(share.y) * ec);
        self.show(Bounds {
            ph: (shown.ph.0 + ph, shown.ph.1 + ph),
            ec_ms_cm: (shown.ec_ms_cm.0 + ec, shown.ec_ms_cm.1 + ec),
        });
    }

    fn show(&mut self, bounds: Bounds) {
        // A reading beyond that was fitted, and stays within reach.
        let most = self.shown.map_or(EC_ALL.1, |shown| shown.ec_ms_cm.1.max(EC_ALL.1));
        let all = (EC_ALL.0, most);
        self.shown = Some(Bounds { ph: within(bounds.ph, PH_ALL), ec_ms_cm: within(bounds.ec_ms_cm, all) });
        self.by_hand = true;
    }
}

/// What no hand moves: zones and readings.
fn still_points_of(map: &MapView) -> Vec<MapPoint> {
    let zones = map
        .zones
        .iter()
        .chain(&map.shared)
        .flat_map(|zone| [MapPoint::new(zone.ph.0, zone.ec_ms_cm.0), MapPoint::new(zone.ph.1, zone.ec_ms_cm.1)]);
    zones.chain(map.now).chain(map.earlier.iter().map(|e| e.at)).filter(|p| p.is_finite()).collect()
}

/// A range moved, and if need be cut, so that it lies within `all`.
fn within((low, high): (f64, f64), all: (f64, f64)) -> (f64, f64) {
    let span = (high - low).min(all.1 - all.0);
    // Not `clamp`: when all of it is shown, rounding may turn the two ends around.
    let low = low.min(all.1 - span).max(all.0);
    (low, low + span)
}

/// Bounds widened just so far that every point is in sight, with a little room.
fn with_in_sight(shown: Bounds, points: &[MapPoint]) -> Bounds {
    let (ph, ec) = shown.spans();
    points.iter().filter(|p| !shown.holds(**p)).fold(shown, |b, p| Bounds {
        ph: (b.ph.0.min(p.ph - 0.05 * ph), b.ph.1.max(p.ph + 0.05 * ph)),
        ec_ms_cm: (b.ec_ms_cm.0.min(p.ec_ms_cm - 0.05 * ec), b.ec_ms_cm.1.max(p.ec_ms_cm + 0.05 * ec)),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ui::view::LandingView;

    fn map(landing: MapPoint) -> MapView {
        MapView {
            now: Some(MapPoint::new(6.9, 1.5)),
            landing: Some(LandingView { at: landing, ..LandingView::default() }),
            ..MapView::default()
        }
    }

    fn near(a: f64, b: f64) -> bool {
        (a - b).abs() < 1e-9
    }

    #[test]
    fn zooming_keeps_the_point_and_stops_at_the_least() {
        let mut camera = Camera::default();
        let before = camera.settle(&map(MapPoint::new(6.2, 1.5)), false);
        let about = MapPoint::new(6.0, 1.4);
        camera.zoom(about, 2.0);
        let after = camera.settle(&map(MapPoint::new(6.2, 1.5)), false);
        let share = |b: Bounds| {
            let (ph, ec) = b.spans();
            ((about.ph - b.ph.0) / ph, (about.ec_ms_cm - b.ec_ms_cm.0) / ec)
        };
        assert!(near(share(before).0, share(after).0) && near(share(before).1, share(after).1));
        assert!(near(after.spans().0, before.spans().0 / 2.0));
        camera.zoom(about, 1e9);
        let (ph, ec) = camera.shown.expect("a view").spans();
        assert!(ph >= LEAST_PH - 1e-9 && ec >= LEAST_EC - 1e-9, "{ph} {ec}");
        camera.zoom(about, 1e-9);
        let all = camera.shown.expect("a view");
        assert!(near(all.ph.0, PH_ALL.0) && near(all.ph.1, PH_ALL.1) && near(all.ec_ms_cm.1, EC_ALL.1), "{all:?}");
    }

    #[test]
    fn panning_stops_where_there_is_nothing_more() {
        let mut camera = Camera::default();
        let before = camera.settle(&map(MapPoint::new(6.2, 1.5)), false);
        camera.pan(Vec2::new(0.1, 0.0));
        let after = camera.shown.expect("a view");
        assert!((before.ph.0 - after.ph.0 - 0.1 * before.spans().0).abs() < 1e-6);
        camera.pan(Vec2::new(1000.0, -1000.0));
        let end = camera.shown.expect("a view");
        assert!(near(end.ph.0, PH_ALL.0) && near(end.ec_ms_cm.0, EC_ALL.0), "{end:?}");
        assert!(near(end.spans().0, before.spans().0));
    }

    #[test]
    fn the_view_stands_still_while_held_and_follows_afterwards() {
        let mut camera = Camera::default();
        let before = camera.settle(&map(MapPoint::new(6.2, 1.5)), false);
        let far = map(MapPoint::new(3.0, 4.0));
        assert_eq!(camera.settle(&far, true), before);
        let after = camera.settle(&far, false);
        assert!(after.holds(MapPoint::new(3.0, 4.0)), "{after:?}");
        // What is in sight does not move the view.
        assert_eq!(camera.settle(&map(MapPoint::new(3.2, 3.8)), false), after);
    }

    #[test]
    fn a_view_chosen_by_hand_stays_until_something_is_dragged_out_of_it() {
        let mut camera = Camera::default();
        camera.settle(&map(MapPoint::new(6.2, 1.5)), false);
        camera.zoom(MapPoint::new(6.5, 1.5), 3.0);
        let chosen = camera.settle(&map(MapPoint::new(6.2, 1.5)), false);
        assert_eq!(camera.settle(&map(MapPoint::new(4.0, 1.5)), false), chosen);
        // Held, it stands still; let go where it was moved to, that must be in sight.
        assert_eq!(camera.settle(&map(MapPoint::new(4.0, 1.5)), true), chosen);
        camera.follow();
        let after = camera.settle(&map(MapPoint::new(4.0, 1.5)), false);
        assert!(after.holds(MapPoint::new(4.0, 1.5)) && near(after.ph.1, chosen.ph.1), "{after:?}");
        // Another reading is another view.
        let other = MapView { now: Some(MapPoint::new(8.0, 3.0)), ..map(MapPoint::new(6.2, 1.5)) };
        assert_eq!(camera.settle(&other, false), Bounds::of(&other));
    }
}
