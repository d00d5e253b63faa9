//! Invented maps: several crops, limits, two lists, nothing poured yet, a moment ahead.

use pourcast::ui::view::{
    ArrowView, EarlierView, HandleView, LandingView, LaterView, LimitSide, LimitView, LookView, MapPoint, MapView,
    OtherView, SettledView, ZoneView,
};

use super::views;

fn zone(name: &str, ph: (f64, f64), ec_ms_cm: (f64, f64)) -> ZoneView {
    ZoneView {
        name: name.to_owned(),
        ph,
        ec_ms_cm,
        sources: vec!["One bulletin says so".to_owned(), "One handbook says a little less".to_owned()],
    }
}

fn line(from: MapPoint, to: MapPoint, bend: f64) -> Vec<MapPoint> {
    (0..=16)
        .map(|i| {
            let t = f64::from(i) / 16.0;
            let bow = bend * t * (1.0 - t);
            MapPoint::new(
                from.ph + (to.ph - from.ph) * t + bow,
                from.ec_ms_cm + (to.ec_ms_cm - from.ec_ms_cm) * t + 0.4 * bow,
            )
        })
        .collect()
}

/// A planned pour with a handle: the arrow covers a share of its rail.
pub(crate) fn pour(number: u32, what: &str, rail: Vec<MapPoint>, amount: f64, most: f64) -> ArrowView {
    let whole = (rail.len() - 1) as f64;
    let shown = (whole * amount / most).round();
    let path = rail.iter().copied().enumerate().filter(|(i, _)| *i as f64 <= shown).map(|(_, p)| p).collect();
    ArrowView {
        number,
        what: what.to_owned(),
        path,
        poured: false,
        handle: Some(HandleView {
            key: number + 1000,
            rail,
            said: format!("pour {number}, {what}"),
            amount,
            most,
            step: 0.5,
            ..HandleView::default()
        }),
    }
}

fn earlier() -> Vec<EarlierView> {
    [("Tue", 5.9, 1.75, 0.2), ("Wed", 6.1, 1.7, 0.5), ("08:10", 6.5, 1.62, 0.9)]
        .map(|(label, ph, ec, strength)| EarlierView { label: label.to_owned(), at: MapPoint::new(ph, ec), strength })
        .to_vec()
}

/// Two crops with an overlap, three pours of which one is locked, limits, and the way the unit came.
pub(crate) fn full() -> MapView {
    let now = MapPoint::new(7.2, 0.9);
    let fed = MapPoint::new(6.95, 1.3);
    let landing = MapPoint::new(6.15, 1.42);
    let settled = MapPoint::new(6.35, 1.41);
    let mut second = pour(3, "5.0 mL of pH-lowering liquid", line(fed, MapPoint::new(4.6, 1.55), 0.25), 5.0, 15.0);
    second.path = line(fed, landing, 0.08);
    let mut locked = pour(2, "12.0 mL of grow feed, part A", line(now, MapPoint::new(6.7, 1.7), -0.1), 8.0, 16.0);
    locked.path = line(now, fed, -0.03);
    if let Some(handle) = &mut locked.handle {
        handle.locked = true;
    }
    MapView {
        zones: vec![zone("lettuce, leaf", (5.5, 6.5), (1.0, 1.6)), zone("basil, growing", (5.8, 6.8), (1.2, 2.0))],
        shared: Some(zone("both: lettuce and basil", (5.8, 6.5), (1.2, 1.6))),
        now: Some(now),
        now_text: "7.2 · 0.9".to_owned(),
        earlier: earlier(),
        arrows: vec![
            locked,
            second,
            pour(4, "0 mL of calcium and magnesium", line(landing, MapPoint::new(6.0, 1.9), 0.1), 0.0, 12.0),
        ],
        landing: Some(LandingView {
            at: landing,
            range: "next reading pH 5.8–6.6".to_owned(),
            cloud_80: views::cloud(landing, 0.42, 0.09),
            cloud_50: views::cloud(landing, 0.24, 0.05),
            settled: Some(SettledView {
                at: settled,
                ph: (6.1, 6.7),
                words: "settles near 6.4".to_owned(),
                path: vec![landing, settled],
            }),
            can_move: true,
            risk: "1 in 30 to fall below 5.5".to_owned(),
            is_risky: true,
            said: "landing pH 6.2, EC 1.4, inside the zone".to_owned(),
            ..LandingView::default()
        }),
        landing_text: "6.2 · 1.4".to_owned(),
        limits: limits(),
        look: look(0),
        ..MapView::default()
    }
}

/// What one should not, and cannot, enter.
pub(crate) fn limits() -> Vec<LimitView> {
    vec![
        LimitView {
            edge: line(MapPoint::new(4.0, 2.9), MapPoint::new(9.0, 1.35), -0.2),
            side: LimitSide::Above,
            words: "may turn cloudy: calcium phosphate".to_owned(),
            is_hard: false,
        },
        LimitView {
            edge: vec![MapPoint::new(4.9, 0.5), MapPoint::new(4.95, 2.4)],
            side: LimitSide::Left,
            words: "more acid than fits under the rim".to_owned(),
            is_hard: true,
        },
    ]
}

/// The moments to look at.
pub(crate) fn look(at: usize) -> LookView {
    LookView { stops: ["now", "15 min", "1 h", "4 h", "12 h", "1 day"].map(str::to_owned).to_vec(), at }
}

/// Nothing is poured yet: two handles at the reading.
pub(crate) fn nothing_yet() -> MapView {
    let now = MapPoint::new(6.9, 1.5);
    MapView {
        arrows: vec![
            pour(1, "0 g of one-part powder feed", line(now, MapPoint::new(6.5, 2.6), 0.1), 0.0, 30.0),
            pour(2, "0 mL of pH-lowering liquid", line(now, MapPoint::new(5.0, 1.45), 0.0), 0.0, 10.0),
        ],
        landing: None,
        earlier: Vec::new(),
        look: LookView::default(),
        ..views::map()
    }
}

/// Two lists side by side, A in hand, four hours ahead.
pub(crate) fn two_lists() -> MapView {
    let mut map = views::map();
    map.letter = Some("A".to_owned());
    let at = MapPoint::new(5.75, 1.62);
    map.other = Some(OtherView {
        letter: "B".to_owned(),
        path: line(MapPoint::new(6.9, 1.5), at, 0.2),
        at,
        cloud_80: views::cloud(at, 0.5, 0.12),
        words: "B lands at 5.8 · 1.62".to_owned(),
    });
    if let Some(landing) = &mut map.landing {
        landing.later = Some(LaterView { at: MapPoint::new(6.3, 1.36), words: "after 4 h 6.3 (6.0–6.6)".to_owned() });
    }
    map.look = look(3);
    map
}

/// The landing, dragged against what holds it back.
pub(crate) fn held_back() -> MapView {
    let mut map = full();
    if let Some(landing) = &mut map.landing {
        landing.held_by = Some("no more than 12 mL of part A fits under the rim".to_owned());
    }
    map
}
