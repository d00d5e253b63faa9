//! What part of the pH–EC plane the map shows: all that matters, on whole ticks, so that it does not twitch.

use crate::ui::view::{MapPoint, MapView};
use crate::units::EcScale;

/// The part of the plane that is shown.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Bounds {
    /// From and to, pH.
    pub ph: (f64, f64),
    /// From and to, mS/cm at 25 °C.
    pub ec_ms_cm: (f64, f64),
}

/// Least shown: three pH units hold the zone of any crop with what surrounds it.
const LEAST_PH: f64 = 3.0;
/// Least shown, mS/cm.
const LEAST_EC: f64 = 1.6;
/// Room around what is shown.
const PAD_PH: f64 = 0.3;
/// Room below the lowest tick of EC, as a share of their distance.
const CORNER: f64 = 0.4;
/// Distances of grid lines, pH.
const PH_TICKS: [f64; 7] = [0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0];
/// Distances of grid lines, mS/cm: as round in µS/cm and CF, which are tens and thousands of it.
const EC_TICKS: [f64; 11] = [0.01, 0.02, 0.05, 0.1, 0.2, 0.4, 0.5, 1.0, 2.0, 5.0, 10.0];
/// Distances of grid lines on the scales of ppm.
const PPM_TICKS: [f64; 10] = [5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0, 5000.0];
/// Shown when there is nothing to show yet: the middle is where most crops are kept.
const EMPTY: [MapPoint; 2] = [MapPoint { ph: 5.0, ec_ms_cm: 0.4 }, MapPoint { ph: 8.0, ec_ms_cm: 2.2 }];

impl Bounds {
    /// The bounds that hold everything on `map`.
    pub fn of(map: &MapView) -> Self {
        let mut points: Vec<MapPoint> = points_of(map);
        if points.is_empty() {
            points.extend(EMPTY);
        }
        let (ph_low, ph_high) = span(points.iter().map(|p| p.ph));
        let (ec_low, ec_high) = span(points.iter().map(|p| p.ec_ms_cm));
        let pad_ec = (0.12 * (ec_high - ec_low)).max(0.15);
        let ph = widened((ph_low - PAD_PH, ph_high + PAD_PH), LEAST_PH);
        let ec = widened(((ec_low - pad_ec).max(0.0), ec_high + pad_ec), LEAST_EC);
        let ph_tick = tick(ph.1 - ph.0, &PH_TICKS);
        let ec_tick = ec_tick(ec.1 - ec.0, map.scale);
        let snapped = |(low, high): (f64, f64), tick: f64| {
            let half = tick / 2.0;
            ((low / half).floor() * half, (high / half).ceil() * half)
        };
        let (ec_low, ec_high) = snapped(ec, ec_tick);
        let lowest_tick = (ec_low.max(0.0) / ec_tick - 1e-6).ceil() * ec_tick;
        // The lowest tick stands a little above the corner: its label keeps clear of the first pH, and a dot at EC 0 is whole.
        let ec_low = ec_low.max(0.0).min(lowest_tick - CORNER * ec_tick);
        Self { ph: snapped(ph, ph_tick), ec_ms_cm: (ec_low, ec_high) }
    }

    /// Distance of grid lines, pH and mS/cm: the latter is a round number on the scale that is shown.
    pub fn ticks_on(&self, scale: EcScale) -> (f64, f64) {
        let (ph, ec) = self.spans();
        (tick(ph, &PH_TICKS), ec_tick(ec, scale))
    }

    /// How much is shown, pH and mS/cm.
    pub fn spans(&self) -> (f64, f64) {
        (self.ph.1 - self.ph.0, self.ec_ms_cm.1 - self.ec_ms_cm.0)
    }

    /// Whether a point is in sight.
    pub fn holds(&self, p: MapPoint) -> bool {
        (self.ph.0..=self.ph.1).contains(&p.ph) && (self.ec_ms_cm.0..=self.ec_ms_cm.1).contains(&p.ec_ms_cm)
    }
}

/// Everything that has a place on the map and should be in sight.
pub(super) fn points_of(map: &MapView) -> Vec<MapPoint> {
    let mut points = Vec::new();
    for zone in map.zones.iter().chain(&map.shared) {
        points.push(MapPoint::new(zone.ph.0, zone.ec_ms_cm.0));
        points.push(MapPoint::new(zone.ph.1, zone.ec_ms_cm.1));
    }
    points.extend(map.now);
    points.extend(map.earlier.iter().map(|e| e.at));
    if let Some(other) = &map.other {
        points.push(other.at);
        points.extend(other.cloud_80.iter().copied());
    }
    points.extend(moving_points_of(map));
    points.retain(|p| p.is_finite());
    points
}

/// What a drag moves: pours, landing, cloud.
pub(super) fn moving_points_of(map: &MapView) -> Vec<MapPoint> {
    let mut points: Vec<MapPoint> = map.arrows.iter().flat_map(|a| a.path.iter().copied()).collect();
    if let Some(landing) = &map.landing {
        points.push(landing.at);
        points.extend(landing.cloud_80.iter().copied());
        points.extend(landing.settled.iter().map(|s| s.at));
        points.extend(landing.later.iter().map(|l| l.at));
    }
    points.retain(|p| p.is_finite());
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

/// Distance of grid lines of EC, mS/cm, for a range in mS/cm.
fn ec_tick(range: f64, scale: EcScale) -> f64 {
    if scale.is_ppm() { scale.ms_cm_from(tick(scale.from_ms_cm(range), &PPM_TICKS)) } else { tick(range, &EC_TICKS) }
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

    #[test]
    fn everything_is_inside_with_room() {
        for now in
            [MapPoint::new(6.9, 1.5), MapPoint::new(2.1, 0.0), MapPoint::new(12.0, 14.0), MapPoint::new(7.0, 0.1)]
        {
            for scale in EcScale::ALL {
                let map = MapView { now: Some(now), scale, ..zone() };
                let bounds = Bounds::of(&map);
                let (ph_tick, ec_tick) = bounds.ticks_on(map.scale);
                assert!(bounds.holds(now), "{bounds:?}");
                assert!(bounds.holds(MapPoint::new(5.5, 1.2)) && bounds.holds(MapPoint::new(6.5, 1.8)), "{bounds:?}");
                assert!(bounds.ph.1 - bounds.ph.0 >= LEAST_PH && bounds.ec_ms_cm.1 - bounds.ec_ms_cm.0 >= LEAST_EC);
                assert!((bounds.ph.1 - bounds.ph.0) / ph_tick <= 9.0, "{bounds:?}");
                assert!(bounds.ec_ms_cm.0 > -ec_tick, "a tick below nothing");
                assert!(now.ec_ms_cm - bounds.ec_ms_cm.0 > 0.3 * ec_tick, "{bounds:?}");
            }
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

    #[test]
    fn ticks_follow_the_zoom() {
        let bounds = |ph: f64, ec: f64| Bounds { ph: (6.0, 6.0 + ph), ec_ms_cm: (1.0, 1.0 + ec) };
        let ticks = |ph: f64, ec: f64| bounds(ph, ec).ticks_on(EcScale::MilliSiemens);
        assert_eq!(ticks(3.0, 1.6), (0.5, 0.4));
        assert_eq!(ticks(14.4, 21.0), (2.0, 5.0));
        assert_eq!(ticks(0.2, 0.06), (0.05, 0.01));
    }

    /// A round number is one, two, four or five with noughts behind it, in what the scale shows.
    #[test]
    fn ticks_are_round_on_every_scale() {
        for scale in EcScale::ALL {
            for range in [0.1, 0.3, 1.6, 2.4, 5.0, 15.8] {
                let bounds = Bounds { ph: (5.0, 8.0), ec_ms_cm: (0.4, 0.4 + range) };
                let tick = bounds.ticks_on(scale).1;
                let shown = scale.from_ms_cm(tick);
                let mantissa = shown / 10_f64.powf((shown.log10() + 1e-9).floor());
                let is_round = [1.0, 2.0, 4.0, 5.0].iter().any(|round| (mantissa - round).abs() < 1e-6);
                assert!(is_round, "{scale:?}: {shown} for {range} mS/cm");
                assert!((2.0..=8.0).contains(&(range / tick)), "{scale:?}: {shown} for {range} mS/cm");
            }
        }
        let tick = |scale: EcScale| scale.from_ms_cm(ec_tick(1.6, scale));
        let shown = EcScale::ALL.map(|scale| format!("{:.1}", tick(scale)));
        // 1.6 mS/cm are 800, 1024 and 1120 ppm.
        assert_eq!(shown, ["0.4", "400.0", "200.0", "200.0", "200.0", "4.0"]);
    }
}
