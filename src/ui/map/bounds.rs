//! What part of the pH–EC plane the map shows: all that matters, on whole ticks, so that it does not twitch.

use crate::ui::view::{MapPoint, MapView};

/// The part of the plane that is shown, with the distance of its grid lines.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Bounds {
    /// From and to, pH.
    pub ph: (f64, f64),
    /// From and to, mS/cm at 25 °C.
    pub ec_ms_cm: (f64, f64),
    /// Distance of grid lines, pH.
    pub ph_tick: f64,
    /// Distance of grid lines, mS/cm.
    pub ec_tick: f64,
}

/// Least shown: three pH units hold the zone of any crop with what surrounds it.
const LEAST_PH: f64 = 3.0;
/// Least shown, mS/cm.
const LEAST_EC: f64 = 1.6;
/// Room around what is shown.
const PAD_PH: f64 = 0.3;
/// Room below the lowest tick of EC, as a share of their distance.
const CORNER: f64 = 0.4;
/// Shown when there is nothing to show yet: the middle is where most crops are kept.
const EMPTY: [MapPoint; 2] = [MapPoint { ph: 5.0, ec_ms_cm: 0.4 }, MapPoint { ph: 8.0, ec_ms_cm: 2.2 }];

impl Bounds {
    /// The bounds that hold everything on `map`.
    pub fn of(map: &MapView) -> Self {
        let mut points: Vec<MapPoint> = points_of(map).into_iter().filter(|p| p.is_finite()).collect();
        if points.is_empty() {
            points.extend(EMPTY);
        }
        let (ph_low, ph_high) = span(points.iter().map(|p| p.ph));
        let (ec_low, ec_high) = span(points.iter().map(|p| p.ec_ms_cm));
        let pad_ec = (0.12 * (ec_high - ec_low)).max(0.15);
        let ph = widened((ph_low - PAD_PH, ph_high + PAD_PH), LEAST_PH);
        let ec = widened(((ec_low - pad_ec).max(0.0), ec_high + pad_ec), LEAST_EC);
        let ph_tick = tick(ph.1 - ph.0, &[0.5, 1.0, 2.0]);
        let ec_tick = tick(ec.1 - ec.0, &[0.2, 0.4, 0.5, 1.0, 2.0, 5.0, 10.0]);
        let snapped = |(low, high): (f64, f64), tick: f64| {
            let half = tick / 2.0;
            ((low / half).floor() * half, (high / half).ceil() * half)
        };
        let (ec_low, ec_high) = snapped(ec, ec_tick);
        let lowest_tick = (ec_low.max(0.0) / ec_tick - 1e-6).ceil() * ec_tick;
        // The lowest tick stands a little above the corner: its label keeps clear of the first pH, and a dot at EC 0 is whole.
        let ec_low = ec_low.max(0.0).min(lowest_tick - CORNER * ec_tick);
        Self { ph: snapped(ph, ph_tick), ec_ms_cm: (ec_low, ec_high), ph_tick, ec_tick }
    }
}

/// Everything that has a place on the map.
fn points_of(map: &MapView) -> Vec<MapPoint> {
    let mut points = Vec::new();
    if let Some(zone) = map.zone() {
        points.push(MapPoint::new(zone.ph.0, zone.ec_ms_cm.0));
        points.push(MapPoint::new(zone.ph.1, zone.ec_ms_cm.1));
    }
    points.extend(map.now);
    points.extend(map.earlier.iter().map(|e| e.at));
    points.extend(map.arrows.iter().flat_map(|a| a.path.iter().copied()));
    if let Some(landing) = &map.landing {
        points.push(landing.at);
        points.extend(landing.cloud_80.iter().copied());
        points.extend(landing.settled.iter().map(|s| s.at));
    }
    points
}

fn span(values: impl Iterator<Item = f64>) -> (f64, f64) {
    values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)))
}

fn widened((low, high): (f64, f64), least: f64) -> (f64, f64) {
    let missing = (least - (high - low)).max(0.0);
    let low = (low - missing / 2.0).max(0.0);
    (low, high.max(low + least))
}

/// The smallest step that gives seven lines or fewer.
fn tick(range: f64, steps: &[f64]) -> f64 {
    steps.iter().copied().find(|step| range / step <= 7.0).or(steps.last().copied()).unwrap_or(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ui::view::ZoneView;

    fn zone() -> MapView {
        MapView {
            zones: vec![ZoneView {
                name: "lettuce".to_owned(),
                ph: (5.5, 6.5),
                ec_ms_cm: (1.2, 1.8),
                ..ZoneView::default()
            }],
            ..MapView::default()
        }
    }

    fn holds(bounds: &Bounds, p: MapPoint) -> bool {
        (bounds.ph.0..=bounds.ph.1).contains(&p.ph) && (bounds.ec_ms_cm.0..=bounds.ec_ms_cm.1).contains(&p.ec_ms_cm)
    }

    #[test]
    fn everything_is_inside_with_room() {
        for now in
            [MapPoint::new(6.9, 1.5), MapPoint::new(2.1, 0.0), MapPoint::new(12.0, 14.0), MapPoint::new(7.0, 0.1)]
        {
            let map = MapView { now: Some(now), ..zone() };
            let bounds = Bounds::of(&map);
            assert!(holds(&bounds, now), "{bounds:?}");
            assert!(holds(&bounds, MapPoint::new(5.5, 1.2)) && holds(&bounds, MapPoint::new(6.5, 1.8)), "{bounds:?}");
            assert!(bounds.ph.1 - bounds.ph.0 >= LEAST_PH && bounds.ec_ms_cm.1 - bounds.ec_ms_cm.0 >= LEAST_EC);
            assert!((bounds.ph.1 - bounds.ph.0) / bounds.ph_tick <= 9.0, "{bounds:?}");
            assert!(bounds.ec_ms_cm.0 > -bounds.ec_tick, "a tick below nothing");
            let first_tick = (bounds.ec_ms_cm.0 / bounds.ec_tick - 1e-6).ceil() * bounds.ec_tick;
            assert!(first_tick - bounds.ec_ms_cm.0 > 0.39 * bounds.ec_tick, "{bounds:?}");
            assert!(now.ec_ms_cm - bounds.ec_ms_cm.0 > 0.39 * bounds.ec_tick, "{bounds:?}");
        }
    }

    #[test]
    fn a_small_change_does_not_move_the_view() {
        let at = |ph, ec| Bounds::of(&MapView { now: Some(MapPoint::new(ph, ec)), ..zone() });
        assert_eq!(at(6.90, 1.50), at(6.95, 1.54));
    }

    #[test]
    fn numbers_that_are_none_are_left_out() {
        let map = MapView { now: Some(MapPoint::new(f64::NAN, 1.0)), ..MapView::default() };
        let bounds = Bounds::of(&map);
        assert!(bounds.ph.0.is_finite() && bounds.ec_ms_cm.1.is_finite());
    }
}
