//! The map from the plan.

use super::pours::Poured;
use super::today::{Shown, source_lines, working_lines};
use crate::dose::{Cloud, Point};
use crate::garden::{CropZone, LogEntry, Reading};
use crate::ui::derived::Outlook;
use crate::ui::view::{
    ArrowView, EarlierView, LandingView, MapPoint, MapView, PourState, PourView, SettledView, ZoneView,
};

/// Earlier readings shown, the newest.
const EARLIER_SHOWN: usize = 3;
/// How far back they may lie, s: three days.
const EARLIER_SINCE_S: i64 = 3 * 86_400;

/// Draws readings, pours and landing of a unit.
pub(super) fn map_view(shown: &Shown<'_>, poured: &[Poured], planned: &[PourView]) -> MapView {
    let readings = readings(shown);
    let now = readings.last().copied();
    let (zones, shared) = zones(shown);
    let mut map = MapView {
        zones,
        shared,
        now: now.map(|(_, at)| at),
        now_text: now.map(|(_, at)| point_words(at)).unwrap_or_default(),
        hint: "Type pH and EC, and your water has its place here".to_owned(),
        ..MapView::default()
    };
    let earlier = readings.iter().rev().skip(1).take(EARLIER_SHOWN);
    map.earlier =
        earlier.rev().map(|(r, at)| EarlierView { label: shown.clock.words(r.at_s), at: *at, strength: 1.0 }).collect();
    if let Some(arrow) = between_readings(&readings, poured) {
        map.arrows.push(arrow);
    }
    if let (Some(outlook), Some((_, at))) = (shown.outlook, now) {
        with_outlook(&mut map, (outlook, shown.unit.meter.ph_step), at, poured, planned);
    }
    map
}

fn with_outlook(
    map: &mut MapView,
    (outlook, ph_step): (&Outlook, f64),
    now: MapPoint,
    poured: &[Poured],
    planned: &[PourView],
) {
    let unread: Vec<&Poured> = poured.iter().filter(|p| p.unread).collect();
    let start = map_point(outlook.landing.start);
    if let Some(first) = unread.first() {
        map.arrows.push(ArrowView {
            number: first.view.number,
            what: listed(&unread),
            path: vec![now, start],
            poured: true,
            handle: None,
        });
    }
    let movable = planned.iter().filter(|p| p.state == PourState::Planned);
    for (pour, share) in movable.zip(&outlook.landing.shares) {
        map.arrows.push(ArrowView {
            number: pour.number,
            what: amount_of(pour),
            path: share.path.iter().copied().map(map_point).collect(),
            poured: false,
            handle: None,
        });
    }
    let moves = outlook.landing.shares.iter().any(|share| share.path.len() > 1);
    if moves || !unread.is_empty() {
        let at = landing_point(outlook);
        bend_last(&mut map.arrows, at);
        let settled = map_point(outlook.landing.settled.middle());
        map.landing_text = point_words(at);
        map.landing = Some(LandingView {
            at,
            range: range_words(outlook, ph_step),
            cloud_80: contour(&outlook.cloud, 0),
            cloud_50: contour(&outlook.cloud, 1),
            settled: Some(SettledView {
                at: settled,
                words: format!("settles near {:.1}", settled.ph),
                path: vec![at, settled],
                ..SettledView::default()
            }),
            ..LandingView::default()
        });
    }
}

/// Readings that have a place, oldest first.
fn readings<'a>(shown: &Shown<'a>) -> Vec<(&'a Reading, MapPoint)> {
    let since_s = shown.clock.now_s().saturating_sub(EARLIER_SINCE_S);
    let last_fill = shown.unit.log.iter().rposition(|e| matches!(e, LogEntry::Refill { .. })).unwrap_or(0);
    let mut readings: Vec<(&Reading, MapPoint)> = shown
        .unit
        .log
        .iter()
        .skip(last_fill)
        .filter_map(|entry| match entry {
            LogEntry::Reading(r) => Some((r, MapPoint::new(r.ph?, r.ec_ms_cm?))),
            _ => None,
        })
        .collect();
    readings.sort_by_key(|(r, _)| r.at_s);
    let newest = readings.len().saturating_sub(1);
    readings.into_iter().enumerate().filter(|(i, (r, _))| *i == newest || r.at_s >= since_s).map(|(_, r)| r).collect()
}

/// What was poured between the last two readings, as one arrow.
fn between_readings(readings: &[(&Reading, MapPoint)], poured: &[Poured]) -> Option<ArrowView> {
    let [.., (before, from), (after, to)] = readings else { return None };
    let between: Vec<&Poured> = poured.iter().filter(|p| p.at_s >= before.at_s && p.at_s < after.at_s).collect();
    let first = between.first()?;
    Some(ArrowView {
        number: first.view.number,
        what: listed(&between),
        path: vec![*from, *to],
        poured: true,
        handle: None,
    })
}

fn listed(poured: &[&Poured]) -> String {
    poured.iter().map(|p| amount_of(&p.view)).collect::<Vec<_>>().join(" and ")
}

fn amount_of(pour: &PourView) -> String {
    format!("{:.*} {} of {}", pour.decimals, pour.amount, pour.unit, pour.product)
}

/// Each crop's zone, and the one that the plan aims at where that is another.
fn zones(shown: &Shown<'_>) -> (Vec<ZoneView>, Option<ZoneView>) {
    let Some(common) = shown.common_zone() else { return (Vec::new(), None) };
    let of_crop = |crop: &CropZone| ZoneView {
        name: crop.name(),
        ph: crop.zone.ph,
        ec_ms_cm: crop.ec_in_tank_ms_cm,
        sources: source_lines(&crop.zone),
    };
    let aim = |name: &str| ZoneView {
        name: name.to_owned(),
        ph: common.zone.ph,
        ec_ms_cm: common.ec_in_tank_ms_cm,
        sources: working_lines(&common),
    };
    if let [only] = common.crops.as_slice() {
        return (vec![aim(&only.name())], None);
    }
    let zones: Vec<ZoneView> = common.crops.iter().map(of_crop).collect();
    let is_first = zones.first().is_some_and(|z| z.ph == common.zone.ph && z.ec_ms_cm == common.ec_in_tank_ms_cm);
    let shared = match (common.is_own, common.is_shared) {
        (true, _) => Some(aim("your own band")),
        (false, true) => Some(aim(all_of(zones.len()))),
        (false, false) if is_first => None,
        (false, false) => Some(aim("the plan’s zone")),
    };
    (zones, shared)
}

/// What several crops are called together.
fn all_of(count: usize) -> &'static str {
    match count {
        0..=2 => "both",
        3 => "all three",
        4 => "all four",
        5 => "all five",
        _ => "all",
    }
}

fn map_point(point: Point) -> MapPoint {
    MapPoint::new(point.ph, point.ec_ms_cm)
}

fn point_words(at: MapPoint) -> String {
    format!("{:.1} · {:.2}", at.ph, at.ec_ms_cm)
}

fn contour(cloud: &Cloud, place: usize) -> Vec<MapPoint> {
    cloud.contours.get(place).map(|c| c.outline.iter().copied().map(map_point).collect()).unwrap_or_default()
}

/// What the next reading should show, 5 to 95 in a hundred, with the digits that the meter has: the strip says the same.
fn range_words(outlook: &Outlook, ph_step: f64) -> String {
    let (low, _, high) = outlook.expect.ph;
    let tenths = 10.0 * ph_step;
    let decimals = if (tenths - tenths.round()).abs() < 1e-6 { 1 } else { 2 };
    if low <= high { format!("pH {low:.decimals$}–{high:.decimals$} likely") } else { String::new() }
}

/// Where the ring stands: where the likeliest tank lands, or, should that lie outside what 80 in 100 of the stories reach,
/// the middle of the stories.
fn landing_point(outlook: &Outlook) -> MapPoint {
    let at = map_point(outlook.landing.just_mixed);
    let outline = contour(&outlook.cloud, 0);
    if outline.len() < 3 || is_inside(&outline, at) { at } else { map_point(outlook.cloud.middle) }
}

/// Whether a point lies within an outline: a line from it to the right crosses the outline an odd number of times.
fn is_inside(outline: &[MapPoint], at: MapPoint) -> bool {
    let ends = outline.iter().cycle().skip(1);
    let crossed = |(a, b): &(&MapPoint, &MapPoint)| {
        (a.ec_ms_cm > at.ec_ms_cm) != (b.ec_ms_cm > at.ec_ms_cm)
            && at.ph < a.ph + (at.ec_ms_cm - a.ec_ms_cm) / (b.ec_ms_cm - a.ec_ms_cm) * (b.ph - a.ph)
    };
    outline.iter().zip(ends).filter(crossed).count() % 2 == 1
}

/// Lets the last planned arrow end where the ring is: each point moves by its share of the way.
fn bend_last(arrows: &mut [ArrowView], end: MapPoint) {
    let Some(arrow) = arrows.iter_mut().rev().find(|arrow| !arrow.poured) else { return };
    let Some(last) = arrow.path.last().copied() else { return };
    let whole = arrow.path.len().saturating_sub(1).max(1) as f64;
    for (i, point) in arrow.path.iter_mut().enumerate() {
        let share = i as f64 / whole;
        point.ph += share * (end.ph - last.ph);
        point.ec_ms_cm += share * (end.ec_ms_cm - last.ec_ms_cm);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square() -> Vec<MapPoint> {
        [(6.0, 1.0), (7.0, 1.0), (7.0, 2.0), (6.0, 2.0)].map(|(ph, ec)| MapPoint::new(ph, ec)).to_vec()
    }

    #[test]
    fn inside_is_inside() {
        assert!(is_inside(&square(), MapPoint::new(6.5, 1.5)));
        for outside in [(5.9, 1.5), (7.1, 1.5), (6.5, 0.9), (6.5, 2.1)] {
            assert!(!is_inside(&square(), MapPoint::new(outside.0, outside.1)), "{outside:?}");
        }
        assert!(!is_inside(&[], MapPoint::new(6.5, 1.5)));
    }

    #[test]
    fn the_last_arrow_ends_at_the_ring_and_starts_where_it_did() {
        let arrow = |number, poured| ArrowView { number, what: String::new(), path: square(), poured, handle: None };
        let mut arrows = vec![arrow(1, true), arrow(2, false)];
        bend_last(&mut arrows, MapPoint::new(6.4, 2.2));
        assert_eq!(arrows[0].path, square());
        assert_eq!(arrows[1].path.first(), square().first());
        let end = arrows[1].path.last().expect("a point");
        assert!((end.ph - 6.4).abs() < 1e-12 && (end.ec_ms_cm - 2.2).abs() < 1e-12);
    }
}
