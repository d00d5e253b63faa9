//! The map in words: for a screen reader, and for anyone who rather reads.

use crate::ui::present::ec_decimals;
use crate::ui::view::{ArrowView, LandingView, LimitSide, LimitView, MapPoint, MapView, ZoneView};
use crate::ui::widgets::shown;
use crate::units::EcScale;

/// Everything the map shows, one sentence each.
pub fn words(map: &MapView) -> Vec<String> {
    let scale = map.scale;
    let beside_zone = |at| map.zone().map(|zone| format!(", {}", beside(zone, at, scale))).unwrap_or_default();
    let mut lines = zone_words(map);
    for earlier in &map.earlier {
        lines.push(format!("At {} the water was at {}", earlier.label, point(earlier.at, scale)));
    }
    match map.now {
        Some(now) => lines.push(format!("Now the water is at {}{}", point(now, scale), beside_zone(now))),
        None => lines.push("There is no reading yet".to_owned()),
    }
    if let (Some(letter), Some(_)) = (&map.letter, &map.other) {
        lines.push(format!("Two lists of pours stand side by side, {letter} is in hand"));
    }
    lines.extend(map.arrows.iter().filter_map(|one| arrow(one, scale)));
    if let Some(landing) = &map.landing {
        lines.extend(landing_words(landing, &beside_zone(landing.at), scale));
    }
    if let Some(other) = &map.other {
        let place = beside_zone(other.at);
        lines.push(format!("The other list, {}, lands at {}{place}", other.letter, point(other.at, scale)));
    }
    for limit in map.limits.iter().filter(|limit| !limit.words.is_empty()) {
        let kind = if limit.is_hard { "It cannot go" } else { "It should not go" };
        lines.push(format!("{kind} {}: {}", limit_place(limit, scale), limit.words));
    }
    lines
}

fn zone_words(map: &MapView) -> Vec<String> {
    let scale = map.scale;
    let told = |zone: &ZoneView| {
        format!(
            "{} is pH {} to {} and EC {} to {} {}",
            zone.name,
            ph(zone.ph.0),
            ph(zone.ph.1),
            ec(zone.ec_ms_cm.0, scale),
            ec(zone.ec_ms_cm.1, scale),
            scale.symbol()
        )
    };
    if map.zones.is_empty() && map.shared.is_none() {
        return vec!["No zone yet, as no crop is chosen".to_owned()];
    }
    let mut lines: Vec<String> = map.zones.iter().map(|zone| format!("The zone for {}", told(zone))).collect();
    match &map.shared {
        Some(shared) => lines.push(format!("What they have in common, {}", told(shared))),
        None if map.zones.len() > 1 => lines.push("These zones have nothing in common".to_owned()),
        None => {}
    }
    lines
}

fn arrow(arrow: &ArrowView, scale: EcScale) -> Option<String> {
    let (from, to) = (arrow.path.first()?, arrow.path.last()?);
    let done = if arrow.poured { "took" } else { "takes" };
    let handle = arrow.handle.as_ref();
    if handle.is_some_and(|handle| handle.amount <= 0.0) {
        return Some(format!("Pour {}, {}, is nothing yet", arrow.number, arrow.what));
    }
    let locked = if handle.is_some_and(|handle| handle.locked) { "; it is locked" } else { "" };
    let (number, what) = (arrow.number, &arrow.what);
    Some(format!("Pour {number}, {what}, {done} it from {} to {}{locked}", point(*from, scale), point(*to, scale)))
}

fn landing_words(landing: &LandingView, place: &str, scale: EcScale) -> Vec<String> {
    let mut lines = vec![format!("The pours land at {}{place}", point(landing.at, scale))];
    if !landing.range.is_empty() {
        lines.push(format!("Expected: {}", landing.range));
    }
    if !landing.risk.is_empty() {
        let caution = if landing.is_risky { "Caution: " } else { "The risk: " };
        lines.push(format!("{caution}{}", landing.risk));
    }
    if let Some(held_by) = &landing.held_by {
        lines.push(format!("It goes no farther: {held_by}"));
    }
    if let Some(later) = &landing.later {
        lines.push(format!("Looking ahead: {}, at {}", later.words, point(later.at, scale)));
    }
    if let Some(settled) = &landing.settled {
        let (low, high) = settled.ph;
        let range = if low < high { format!(", pH {} to {} likely", ph(low), ph(high)) } else { String::new() };
        lines.push(format!("Later it {}, at {}{range}", settled.words, point(settled.at, scale)));
    }
    lines
}

/// Where a limit lies, such as "above EC 2.1 to 2.6 mS/cm".
fn limit_place(limit: &LimitView, scale: EcScale) -> String {
    let finite = limit.edge.iter().filter(|p| p.is_finite());
    let side = if matches!(limit.side, LimitSide::Below | LimitSide::Left) { "below" } else { "above" };
    let is_ec = matches!(limit.side, LimitSide::Below | LimitSide::Above);
    let values = finite.map(|p| if is_ec { p.ec_ms_cm } else { p.ph });
    let (low, high) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| (l.min(v), h.max(v)));
    let figures = |value: f64| if is_ec { ec(value.max(0.0), scale) } else { ph(value.max(0.0)) };
    let (low, high) = (figures(low), figures(high));
    let range = if low == high { low } else { format!("{low} to {high}") };
    if is_ec { format!("{side} EC {range} {}", scale.symbol()) } else { format!("{side} pH {range}") }
}

/// Where a point lies, seen from the zone, such as "inside the zone" or "above the zone in pH by 0.4".
fn beside(zone: &ZoneView, at: MapPoint, scale: EcScale) -> String {
    let by_ec = |value: f64| format!("{}{}", ec(value, scale), scale.tail());
    let side = |name: &str, value: f64, (low, high): (f64, f64), figures: &dyn Fn(f64) -> String| {
        if value > high {
            Some(format!("above the zone in {name} by {}", figures(value - high)))
        } else if value < low {
            Some(format!("below the zone in {name} by {}", figures(low - value)))
        } else {
            None
        }
    };
    let parts: Vec<String> = [side("pH", at.ph, zone.ph, &ph), side("EC", at.ec_ms_cm, zone.ec_ms_cm, &by_ec)]
        .into_iter()
        .flatten()
        .collect();
    if parts.is_empty() { "inside the zone".to_owned() } else { parts.join(" and ") }
}

fn point(at: MapPoint, scale: EcScale) -> String {
    format!("pH {}, EC {} {}", ph(at.ph), ec(at.ec_ms_cm, scale), scale.symbol())
}

fn ph(value: f64) -> String {
    shown(value, 1)
}

/// As the meter shows it.
fn ec(ms_cm: f64, scale: EcScale) -> String {
    shown(scale.from_ms_cm(ms_cm), ec_decimals(scale))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ui::view::{HandleView, LaterView, OtherView, SettledView};

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
                range: "next reading pH 5.9–6.5".to_owned(),
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
                "Expected: next reading pH 5.9–6.5",
                "Later it settles near 6.4 by tomorrow, at pH 6.4, EC 1.4 mS/cm",
            ]
        );
    }

    #[test]
    fn a_map_is_told_on_the_scale_of_the_meter() {
        let map = MapView {
            zones: vec![ZoneView {
                name: "lettuce".to_owned(),
                ph: (5.5, 6.5),
                ec_ms_cm: (1.2, 1.8),
                ..ZoneView::default()
            }],
            now: Some(MapPoint::new(6.0, 2.01)),
            limits: vec![LimitView {
                edge: vec![MapPoint::new(4.0, 2.6), MapPoint::new(8.0, 2.1)],
                side: LimitSide::Above,
                words: "may turn cloudy".to_owned(),
                is_hard: false,
            }],
            scale: EcScale::Ppm500,
            ..MapView::default()
        };
        assert_eq!(
            words(&map),
            [
                "The zone for lettuce is pH 5.5 to 6.5 and EC 600 to 900 ppm (500)",
                "Now the water is at pH 6.0, EC 1005 ppm (500), above the zone in EC by 105 ppm (500)",
                "It should not go above EC 1050 to 1300 ppm (500): may turn cloudy",
            ]
        );
    }

    #[test]
    fn an_empty_map_says_so() {
        assert_eq!(words(&MapView::default()), ["No zone yet, as no crop is chosen", "There is no reading yet"]);
    }

    #[test]
    fn limits_crops_the_other_list_and_what_comes_later_are_told() {
        let zone = |name: &str, ph| ZoneView { name: name.to_owned(), ph, ec_ms_cm: (1.2, 1.8), ..ZoneView::default() };
        let map = MapView {
            zones: vec![zone("lettuce", (5.5, 6.5)), zone("basil", (5.8, 6.8))],
            shared: Some(zone("both: lettuce and basil", (5.8, 6.5))),
            now: Some(MapPoint::new(6.9, 1.5)),
            letter: Some("A".to_owned()),
            arrows: vec![ArrowView {
                number: 3,
                what: "0 mL of calcium and magnesium".to_owned(),
                path: vec![MapPoint::new(6.9, 1.5)],
                handle: Some(HandleView::default()),
                ..ArrowView::default()
            }],
            landing: Some(LandingView {
                at: MapPoint::new(5.6, 1.5),
                risk: "1 in 30 to fall below 5.5".to_owned(),
                is_risky: true,
                held_by: Some("no more than 12 mL fits under the rim".to_owned()),
                later: Some(LaterView { at: MapPoint::new(5.9, 1.5), words: "after 4 h 5.9 (5.6–6.2)".to_owned() }),
                settled: Some(SettledView {
                    at: MapPoint::new(6.1, 1.5),
                    ph: (5.8, 6.4),
                    words: "settles near 6.1".to_owned(),
                    ..SettledView::default()
                }),
                ..LandingView::default()
            }),
            other: Some(OtherView {
                letter: "B".to_owned(),
                path: Vec::new(),
                at: MapPoint::new(6.1, 1.52),
                cloud_80: Vec::new(),
                words: String::new(),
            }),
            limits: vec![LimitView {
                edge: vec![MapPoint::new(4.0, 2.6), MapPoint::new(8.0, 2.1)],
                side: LimitSide::Above,
                words: "may turn cloudy: calcium phosphate".to_owned(),
                is_hard: false,
            }],
            ..MapView::default()
        };
        assert_eq!(
            words(&map),
            [
                "The zone for lettuce is pH 5.5 to 6.5 and EC 1.2 to 1.8 mS/cm",
                "The zone for basil is pH 5.8 to 6.8 and EC 1.2 to 1.8 mS/cm",
                "What they have in common, both: lettuce and basil is pH 5.8 to 6.5 and EC 1.2 to 1.8 mS/cm",
                "Now the water is at pH 6.9, EC 1.5 mS/cm, above the zone in pH by 0.4",
                "Two lists of pours stand side by side, A is in hand",
                "Pour 3, 0 mL of calcium and magnesium, is nothing yet",
                "The pours land at pH 5.6, EC 1.5 mS/cm, below the zone in pH by 0.2",
                "Caution: 1 in 30 to fall below 5.5",
                "It goes no farther: no more than 12 mL fits under the rim",
                "Looking ahead: after 4 h 5.9 (5.6–6.2), at pH 5.9, EC 1.5 mS/cm",
                "Later it settles near 6.1, at pH 6.1, EC 1.5 mS/cm, pH 5.8 to 6.4 likely",
                "The other list, B, lands at pH 6.1, EC 1.52 mS/cm, inside the zone",
                "It should not go above EC 2.1 to 2.6 mS/cm: may turn cloudy: calcium phosphate",
            ]
        );
    }
}
