//! The map from the plan.

use super::pours::Poured;
use super::today::{Risk, Shown, source_lines, working_lines};
use crate::dose::{Cloud, Point};
use crate::garden::{CropZone, LogEntry, Reading, Tool};
use crate::plan::{LOOK_AHEAD_H, Later, MapLimit, Side, mark_at, measured};
use crate::ui::command::Handle;
use crate::ui::derived::Outlook;
use crate::ui::view::{
    ArrowView, EarlierView, HandleView, LandingView, LaterView, LimitSide, LimitView, LookView, MapPoint, MapView,
    OtherView, PourState, PourView, SettledView, ZoneView,
};
use crate::units::EcScale;

/// Earlier readings shown, the newest.
const EARLIER_SHOWN: usize = 8;
/// How far back they may lie, s: three days. One that old has faded away.
const EARLIER_SINCE_S: i64 = 3 * 86_400;

/// Draws readings, pours and landing of a unit.
pub(super) fn map_view(shown: &Shown<'_>, poured: &[Poured], planned: &[PourView]) -> MapView {
    let readings = readings(shown);
    let (now, scale) = (readings.last().copied(), shown.unit.meter.ec_scale);
    let (zones, shared) = zones(shown);
    let mut map = MapView {
        zones,
        shared,
        now: now.map(|(_, at)| at),
        scale,
        now_text: now.map(|(_, at)| point_words(at, scale)).unwrap_or_default(),
        hint: "Type pH and EC, and your water has its place here".to_owned(),
        held: shown.hand.held,
        ..MapView::default()
    };
    if let Some((newest, _)) = now {
        let earlier = readings.iter().rev().skip(1).take(EARLIER_SHOWN);
        let one = |(r, at): &(&Reading, MapPoint)| EarlierView {
            label: shown.clock.words(r.at_s),
            at: *at,
            strength: strength(newest.at_s.saturating_sub(r.at_s)),
        };
        map.earlier = earlier.rev().map(one).collect();
    }
    if let Some(arrow) = between_readings(&readings, poured) {
        map.arrows.push(arrow);
    }
    if let (Some(outlook), Some((_, at))) = (shown.outlook, now) {
        with_outlook(&mut map, shown, outlook, at, poured, planned);
    }
    map
}

/// How much a reading still counts that is so much older than the newest, s.
fn strength(age_s: i64) -> f32 {
    crate::ui::paint::px(1.0 - age_s as f64 / EARLIER_SINCE_S as f64).clamp(0.0, 1.0)
}

fn with_outlook(
    map: &mut MapView,
    shown: &Shown<'_>,
    outlook: &Outlook,
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
    // The plan's own top-up or change of water comes before every pour, and is no handle.
    if let Some(water) = planned.iter().find(|p| p.state == PourState::Fixed && outlook.planner.begins_with_water()) {
        map.arrows.push(ArrowView {
            number: water.number,
            what: amount_of(water),
            path: vec![now, start],
            poured: false,
            handle: None,
        });
    }
    let movable = planned.iter().filter(|p| p.state == PourState::Planned);
    for (pour, share) in movable.zip(&outlook.landing.shares) {
        map.arrows.push(ArrowView {
            number: pour.number,
            what: amount_of(pour),
            path: path(&share.path),
            poured: false,
            handle: Some(handle(outlook, pour)),
        });
    }
    // A list of nothing but zeros lands where the water is, and its landing is what takes it from there.
    let is_list = planned.iter().any(|p| p.state == PourState::Planned);
    if is_list || !unread.is_empty() || shown.hand.held == Some(Handle::Landing) {
        let landing = landing(shown, outlook);
        map.look = LookView { stops: LOOK_AHEAD_H.map(stop_words).to_vec(), at: outlook.look };
        map.landing_text = point_words(landing.at, map.scale);
        map.landing = Some(landing);
    }
    map.limits = outlook.limits.iter().map(limit).collect();
    if let Some(other) = &outlook.other {
        let letter = shown.hand.sketch.hand().other().letter();
        let at = map_point(other.landing.just_mixed);
        map.letter = Some(shown.hand.sketch.hand().letter().to_owned());
        map.other = Some(OtherView {
            letter: letter.to_owned(),
            path: other.landing.shares.iter().flat_map(|share| path(&share.path)).collect(),
            at,
            cloud_80: contour(&other.spread.cloud, 0),
            words: format!("{letter} lands at {}", point_words(at, map.scale)),
        });
    }
}

/// The landing of the list in hand. The ring stands where the likeliest tank lands, which is where the model takes it and
/// where the last arrow ends, though it may not be the middle of the cloud.
fn landing(shown: &Shown<'_>, outlook: &Outlook) -> LandingView {
    let at = map_point(outlook.landing.just_mixed);
    let risk = Risk::of(outlook);
    let risk_words = risk.words();
    let cloud = outlook.later.as_ref().map_or(&outlook.cloud, |later| &later.cloud);
    LandingView {
        at,
        range: range_words(outlook, shown.unit.meter.ph_step),
        cloud_80: contour(cloud, 0),
        cloud_50: contour(cloud, 1),
        settled: Some(settled(outlook, at)),
        later: outlook.later.as_ref().map(|later| later_view(later, outlook.look)),
        can_move: outlook.list().pours.iter().any(|pour| !pour.locked),
        held_by: shown.hand.held_by.map(str::to_owned),
        said: format!(
            "landing {}, {}, {risk_words}",
            point_said(at, shown.unit.meter.ec_scale),
            zone_said(outlook, at)
        ),
        is_risky: risk.is_risky(),
        risk: risk_words,
    }
}

/// Where the water comes to rest.
fn settled(outlook: &Outlook, from: MapPoint) -> SettledView {
    let Later { at, ph: (low, _, high), .. } = outlook.settled;
    let (low, high) = (low.min(at.ph), high.max(at.ph));
    let range = if outlook.is_carried() { String::new() } else { range_in_brackets(low, high) };
    let words = format!("settles near {:.1}{range}", at.ph);
    SettledView { at: map_point(at), ph: (low, high), words, path: vec![from, map_point(at)] }
}

fn later_view(later: &Later, look: usize) -> LaterView {
    let hours = LOOK_AHEAD_H.get(look).copied().unwrap_or_default();
    let (low, _, high) = later.ph;
    let words = format!("after {} {:.1}{}", stop_words(hours), later.at.ph, range_in_brackets(low, high));
    LaterView { at: map_point(later.at), words }
}

fn range_in_brackets(low: f64, high: f64) -> String {
    let (low, high) = (format!("{low:.1}"), format!("{high:.1}"));
    if low == high { String::new() } else { format!(" ({low}–{high})") }
}

/// A moment to look at, hours after mixing, such as "15 min".
fn stop_words(hours: f64) -> String {
    if hours <= 0.0 {
        "now".to_owned()
    } else if hours < 1.0 {
        format!("{:.0} min", 60.0 * hours)
    } else if hours < 24.0 {
        format!("{hours:.0} h")
    } else {
        let days = (hours / 24.0).round();
        format!("{days:.0} {}", if days < 1.5 { "day" } else { "days" })
    }
}

/// What a planned pour can be taken hold of by.
fn handle(outlook: &Outlook, pour: &PourView) -> HandleView {
    let list = outlook.list();
    let id = list.pours.iter().find(|other| other.key == pour.key).map_or("", |pour| pour.product_id.as_str());
    let at = map_point(outlook.landing.just_mixed);
    let rail = outlook.rails.iter().find(|(key, _)| *key == pour.key).map(|(_, rail)| rail);
    HandleView {
        key: pour.key,
        rail: rail.map(|rail| rail.points.iter().map(|(_, point)| map_point(*point)).collect()).unwrap_or_default(),
        rough: rail.map(|rail| rail.rough.clone()).unwrap_or_default(),
        said: format!(
            "pour {}, {}, landing {}, {}",
            pour.number,
            amount_said(outlook, id, pour),
            point_said(at, outlook.planner.ec_scale()),
            zone_said(outlook, at)
        ),
        locked: pour.place.as_ref().is_some_and(|place| place.locked),
        amount: pour.amount,
        most: pour.most,
        step: mark_at(&outlook.planner, id, pour.amount),
    }
}

fn limit(limit: &MapLimit) -> LimitView {
    LimitView {
        edge: path(&limit.edge),
        side: match limit.side {
            Side::Below => LimitSide::Below,
            Side::Above => LimitSide::Above,
            Side::Left => LimitSide::Left,
            Side::Right => LimitSide::Right,
        },
        words: limit.words.clone(),
        is_hard: limit.is_hard,
    }
}

/// An amount in whole words, such as "5.0 millilitres" or, from a dropper, "12 drops".
fn amount_said(outlook: &Outlook, product_id: &str, pour: &PourView) -> String {
    let measured = measured(&outlook.planner, product_id, pour.amount).filter(|measured| measured.dilution.is_none());
    if let Some(Tool::Dropper { drops_per_ml, .. }) = measured.map(|measured| measured.tool) {
        let drops = (pour.amount * drops_per_ml).round();
        return format!("{drops:.0} {}", if (drops - 1.0).abs() < 0.5 { "drop" } else { "drops" });
    }
    let unit = if pour.unit == "g" { "grams" } else { "millilitres" };
    format!("{:.*} {unit}", pour.decimals, pour.amount)
}

fn point_said(at: MapPoint, scale: EcScale) -> String {
    format!("pH {:.1}, EC {}{}", at.ph, scale.figure(at.ec_ms_cm, 1), scale.tail())
}

/// Where a point lies, such as "inside the zone" or "outside the zone: pH too high".
fn zone_said(outlook: &Outlook, at: MapPoint) -> String {
    let side = |name: &str, value: f64, (low, high): (f64, f64)| {
        let way = if value < low {
            "low"
        } else if value > high {
            "high"
        } else {
            return None;
        };
        Some(format!("{name} too {way}"))
    };
    let plan = &outlook.plan;
    let sides: Vec<String> =
        [side("pH", at.ph, plan.zone.ph), side("EC", at.ec_ms_cm, plan.zone_ec_ms_cm)].into_iter().flatten().collect();
    if sides.is_empty() { "inside the zone".to_owned() } else { format!("outside the zone: {}", sides.join(" and ")) }
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

fn path(points: &[Point]) -> Vec<MapPoint> {
    points.iter().copied().map(map_point).collect()
}

fn map_point(point: Point) -> MapPoint {
    MapPoint::new(point.ph, point.ec_ms_cm)
}

/// On the map, whose axis names the scale.
fn point_words(at: MapPoint, scale: EcScale) -> String {
    format!("{:.1} · {}", at.ph, scale.figure(at.ec_ms_cm, 2))
}

fn contour(cloud: &Cloud, place: usize) -> Vec<MapPoint> {
    cloud.contours.get(place).map(|c| c.outline.iter().copied().map(map_point).collect()).unwrap_or_default()
}

/// What the next reading should show, 5 to 95 in a hundred, with the digits that the meter has: the strip says the same.
/// While a handle is held the tails are not worked out, and where titration is steep they move fast: then the middle alone.
fn range_words(outlook: &Outlook, ph_step: f64) -> String {
    let (low, middle, high) = outlook.expect.ph;
    let tenths = 10.0 * ph_step;
    let decimals = if (tenths - tenths.round()).abs() < 1e-6 { 1 } else { 2 };
    if outlook.is_carried() {
        return format!("next reading about pH {middle:.1}");
    }
    if low <= high { format!("next reading pH {low:.decimals$}–{high:.decimals$}") } else { String::new() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn readings_fade_within_three_days_and_moments_have_names() {
        assert!((strength(0) - 1.0).abs() < 1e-6);
        assert!((strength(86_400) - 2.0 / 3.0).abs() < 1e-6);
        let words = LOOK_AHEAD_H.map(stop_words);
        assert_eq!(words.each_ref().map(String::as_str), ["now", "15 min", "1 h", "4 h", "12 h", "1 day"]);
        assert!(strength(3 * 86_400) <= 0.0 && strength(i64::MAX) <= 0.0);
    }
}
