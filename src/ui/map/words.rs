//! The map in words: for a screen reader, and for anyone who rather reads.

use crate::ui::view::{ArrowView, LandingView, MapPoint, MapView, ZoneView};
use crate::ui::widgets::shown;

/// Everything the map shows, one sentence each.
pub fn words(map: &MapView) -> Vec<String> {
    let mut lines = Vec::new();
    match map.zone() {
        Some(zone) => lines.push(format!(
            "The zone for {} is pH {} to {} and EC {} to {} mS/cm",
            zone.name,
            ph(zone.ph.0),
            ph(zone.ph.1),
            ec(zone.ec_ms_cm.0),
            ec(zone.ec_ms_cm.1)
        )),
        None => lines.push("No zone yet, as no crop is chosen".to_owned()),
    }
    for earlier in &map.earlier {
        lines.push(format!("At {} the water was at {}", earlier.label, point(earlier.at)));
    }
    match map.now {
        Some(now) => {
            let place = map.zone().map(|zone| format!(", {}", beside(zone, now))).unwrap_or_default();
            lines.push(format!("Now the water is at {}{place}", point(now)));
        }
        None => lines.push("There is no reading yet".to_owned()),
    }
    lines.extend(map.arrows.iter().filter_map(arrow));
    if let Some(landing) = &map.landing {
        lines.extend(landing_words(landing, map.zone()));
    }
    lines
}

fn arrow(arrow: &ArrowView) -> Option<String> {
    let (from, to) = (arrow.path.first()?, arrow.path.last()?);
    let done = if arrow.poured { "took" } else { "takes" };
    Some(format!("Pour {}, {}, {done} it from {} to {}", arrow.number, arrow.what, point(*from), point(*to)))
}

fn landing_words(landing: &LandingView, zone: Option<&ZoneView>) -> Vec<String> {
    let place = zone.map(|zone| format!(", {}", beside(zone, landing.at))).unwrap_or_default();
    let mut lines = vec![format!("The pours land at {}{place}", point(landing.at))];
    if !landing.range.is_empty() {
        lines.push(format!("Around the landing, {}", landing.range));
    }
    if let Some(settled) = &landing.settled {
        lines.push(format!("Later it {}, at {}", settled.words, point(settled.at)));
    }
    lines
}

/// Where a point lies, seen from the zone, such as "inside the zone" or "above the zone in pH by 0.4".
fn beside(zone: &ZoneView, at: MapPoint) -> String {
    let side = |name: &str, value: f64, (low, high): (f64, f64), figures: fn(f64) -> String| {
        if value > high {
            Some(format!("above the zone in {name} by {}", figures(value - high)))
        } else if value < low {
            Some(format!("below the zone in {name} by {}", figures(low - value)))
        } else {
            None
        }
    };
    let parts: Vec<String> =
        [side("pH", at.ph, zone.ph, ph), side("EC", at.ec_ms_cm, zone.ec_ms_cm, ec)].into_iter().flatten().collect();
    if parts.is_empty() { "inside the zone".to_owned() } else { parts.join(" and ") }
}

fn point(at: MapPoint) -> String {
    format!("pH {}, EC {} mS/cm", ph(at.ph), ec(at.ec_ms_cm))
}

fn ph(value: f64) -> String {
    shown(value, 1)
}

fn ec(value: f64) -> String {
    shown(value, 2)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ui::view::SettledView;

    #[test]
    fn a_full_map_is_told_in_order() {
        let map = MapView {
            zones: vec![ZoneView {
                name: "lettuce, leaf".to_owned(),
                ph: (5.5, 6.5),
                ec_ms_cm: (1.2, 1.8),
                ..ZoneView::default()
            }],
            now: Some(MapPoint::new(6.9, 1.5)),
            arrows: vec![ArrowView {
                number: 2,
                what: "5.0 mL of pH-lowering liquid".to_owned(),
                path: vec![MapPoint::new(6.9, 1.5), MapPoint::new(6.2, 1.49)],
                poured: false,
                ..ArrowView::default()
            }],
            landing: Some(LandingView {
                at: MapPoint::new(6.2, 1.49),
                range: "pH 5.9–6.5 likely".to_owned(),
                cloud_80: Vec::new(),
                cloud_50: Vec::new(),
                settled: Some(SettledView {
                    at: MapPoint::new(6.4, 1.4),
                    words: "settles near 6.4 by tomorrow".to_owned(),
                    path: Vec::new(),
                    ..SettledView::default()
                }),
                ..LandingView::default()
            }),
            ..MapView::default()
        };
        assert_eq!(
            words(&map),
            [
                "The zone for lettuce, leaf is pH 5.5 to 6.5 and EC 1.2 to 1.8 mS/cm",
                "Now the water is at pH 6.9, EC 1.5 mS/cm, above the zone in pH by 0.4",
                "Pour 2, 5.0 mL of pH-lowering liquid, takes it from pH 6.9, EC 1.5 mS/cm to pH 6.2, EC 1.49 mS/cm",
                "The pours land at pH 6.2, EC 1.49 mS/cm, inside the zone",
                "Around the landing, pH 5.9–6.5 likely",
                "Later it settles near 6.4 by tomorrow, at pH 6.4, EC 1.4 mS/cm",
            ]
        );
    }

    #[test]
    fn an_empty_map_says_so() {
        assert_eq!(words(&MapView::default()), ["No zone yet, as no crop is chosen", "There is no reading yet"]);
    }
}
