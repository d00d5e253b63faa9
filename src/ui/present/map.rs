//! The map from the plan.

use super::pours::Poured;
use super::today::Shown;
use crate::dose::{Cloud, Point};
use crate::garden::{LogEntry, Reading};
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
    let mut map = MapView {
        zone: zone(shown),
        now: now.map(|(_, at)| at),
        now_text: now.map(|(_, at)| point_words(at)).unwrap_or_default(),
        hint: "Type pH and EC, and your water has its place here".to_owned(),
        ..MapView::default()
    };
    let earlier = readings.iter().rev().skip(1).take(EARLIER_SHOWN);
    map.earlier = earlier.rev().map(|(r, at)| EarlierView { label: shown.clock.words(r.at_s), at: *at }).collect();
    if let Some(arrow) = between_readings(&readings, poured) {
        map.arrows.push(arrow);
    }
    if let (Some(outlook), Some((_, at))) = (shown.outlook, now) {
        with_outlook(&mut map, outlook, at, poured, planned);
    }
    map
}

fn with_outlook(map: &mut MapView, outlook: &Outlook, now: MapPoint, poured: &[Poured], planned: &[PourView]) {
    let unread: Vec<&Poured> = poured.iter().filter(|p| p.unread).collect();
    let start = map_point(outlook.landing.start);
    if let Some(first) = unread.first() {
        map.arrows.push(ArrowView {
            number: first.view.number,
            what: listed(&unread),
            path: vec![now, start],
            poured: true,
        });
    }
    let movable = planned.iter().filter(|p| p.state == PourState::Planned);
    for (pour, share) in movable.zip(&outlook.landing.shares) {
        map.arrows.push(ArrowView {
            number: pour.number,
            what: amount_of(pour),
            path: share.path.iter().copied().map(map_point).collect(),
            poured: false,
        });
    }
    let moves = outlook.landing.shares.iter().any(|share| share.path.len() > 1);
    if moves || !unread.is_empty() {
        let at = map_point(outlook.landing.just_mixed);
        let settled = map_point(outlook.landing.settled.middle());
        map.landing_text = point_words(at);
        map.landing = Some(LandingView {
            at,
            range: range_words(&outlook.cloud),
            cloud_80: contour(&outlook.cloud, 0),
            cloud_50: contour(&outlook.cloud, 1),
            settled: Some(SettledView {
                at: settled,
                words: format!("settles near {:.1}", settled.ph),
                path: vec![at, settled],
            }),
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
    Some(ArrowView { number: first.view.number, what: listed(&between), path: vec![*from, *to], poured: true })
}

fn listed(poured: &[&Poured]) -> String {
    poured.iter().map(|p| amount_of(&p.view)).collect::<Vec<_>>().join(" and ")
}

fn amount_of(pour: &PourView) -> String {
    format!("{:.*} {} of {}", pour.decimals, pour.amount, pour.unit, pour.product)
}

fn zone(shown: &Shown<'_>) -> Option<ZoneView> {
    let crop = shown.catalog.crop(&shown.unit.crop_id)?;
    let stage = crop.stage(&shown.unit.stage_id).map_or("", |stage| stage.name.as_str());
    let (ph, ec_ms_cm) = shown.zone_edges()?;
    let name = crop.name.to_lowercase();
    Some(ZoneView { name: if stage.is_empty() { name } else { format!("{name}, {stage}") }, ph, ec_ms_cm })
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

/// Four of five stories lie within these pH.
fn range_words(cloud: &Cloud) -> String {
    let Some(outer) = cloud.contours.first() else { return String::new() };
    let (low, high) =
        outer.outline.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), p| (low.min(p.ph), high.max(p.ph)));
    if low <= high { format!("pH {low:.1}–{high:.1} likely") } else { String::new() }
}
