//! Invented view data: what the window shows on an ordinary day, and on harder ones.

use pourcast::ui::command::{Command, Field};
use pourcast::ui::view::{
    AnswerKind, AnswerView, ArrowView, BarView, Choice, CropView, EarlierView, GrowingView, HandView, HandleView,
    KindPicture, KindView, LandingView, LinkView, LookView, MapPoint, MapView, MeasureView, PlaceView, PourState,
    PourView, RangeView, ReadingView, SavedView, SettledView, StartView, TodayView, TogetherView, ToolView,
    TubCardView, ZoneView,
};
use pourcast::ui::{PageView, WindowView};

/// The bar over an invented unit.
pub(crate) fn bar() -> BarView {
    BarView { unit_name: "North sill trough".to_owned(), saved: SavedView::Saved, units: Vec::new() }
}

fn choices(pairs: &[(&str, &str)]) -> Vec<Choice> {
    pairs.iter().map(|(id, label)| Choice::new(*id, *label)).collect()
}

/// Points of an ellipse-like cloud, bent to the side.
pub(crate) fn cloud(center: MapPoint, ph: f64, ec: f64) -> Vec<MapPoint> {
    (0..48)
        .map(|i| {
            let angle = f64::from(i) / 48.0 * std::f64::consts::TAU;
            let (s, c) = angle.sin_cos();
            MapPoint::new(center.ph + ph * c, center.ec_ms_cm + ec * s + 0.12 * ph * (c * c - 0.5))
        })
        .collect()
}

/// A map with an earlier reading, two pours and a settled point.
pub(crate) fn map() -> MapView {
    let now = MapPoint::new(6.9, 1.5);
    let landing = MapPoint::new(6.2, 1.49);
    let settled = MapPoint::new(6.4, 1.36);
    MapView {
        zones: vec![ZoneView {
            name: "lettuce, leaf".to_owned(),
            ph: (5.5, 6.5),
            ec_ms_cm: (1.2, 1.8),
            sources: vec![
                "One bulletin says pH 5.5 to 6.0".to_owned(),
                "One handbook says pH 5.8 to 6.5".to_owned(),
                "The zone joins them and keeps to pH 5.5 and above".to_owned(),
            ],
        }],
        now: Some(now),
        now_text: "6.9 · 1.5".to_owned(),
        hint: String::new(),
        earlier: vec![EarlierView { label: "08:10".to_owned(), at: MapPoint::new(7.35, 0.85), strength: 1.0 }],
        arrows: vec![
            ArrowView {
                number: 1,
                what: "17.0 g of one-part powder feed".to_owned(),
                path: vec![MapPoint::new(7.35, 0.85), MapPoint::new(7.1, 1.2), now],
                poured: true,
                ..ArrowView::default()
            },
            ArrowView {
                number: 2,
                what: "5.0 mL of pH-lowering liquid".to_owned(),
                path: (0..=12)
                    .map(|i| {
                        let t = f64::from(i) / 12.0;
                        MapPoint::new(6.9 - 0.7 * t, 1.5 - 0.01 * t - 0.03 * (t * (1.0 - t)))
                    })
                    .collect(),
                poured: false,
                handle: Some(HandleView {
                    key: 2,
                    rail: (0..=24)
                        .map(|i| {
                            let t = f64::from(i) / 12.0;
                            MapPoint::new(6.9 - 0.7 * t, 1.5 - 0.01 * t - 0.03 * (t * (1.0 - t)))
                        })
                        .collect(),
                    rough: vec![(20, 24, "below pH 5.5 roots suffer".to_owned())],
                    said: "pour 2, 5.0 millilitres, landing pH 6.2, EC 1.5, inside the zone".to_owned(),
                    locked: false,
                    amount: 5.0,
                    most: 10.0,
                    step: 0.5,
                }),
            },
        ],
        landing: Some(LandingView {
            at: landing,
            range: "next reading pH 5.9–6.5".to_owned(),
            cloud_80: cloud(landing, 0.42, 0.11),
            cloud_50: cloud(landing, 0.24, 0.06),
            settled: Some(SettledView {
                at: settled,
                words: "settles near 6.4".to_owned(),
                path: vec![landing, MapPoint::new(6.22, 1.4), MapPoint::new(6.3, 1.36), settled],
                ph: (6.2, 6.65),
            }),
            can_move: true,
            risk: "fewer than 1 in 50 to fall below 5.5".to_owned(),
            said: "landing pH 6.2, EC 1.5, inside the zone".to_owned(),
            ..LandingView::default()
        }),
        landing_text: "6.2 · 1.5".to_owned(),
        look: LookView { stops: ["now", "15 min", "1 h", "4 h", "12 h", "1 day"].map(str::to_owned).to_vec(), at: 0 },
        ..MapView::default()
    }
}

/// Cautions that stand beside an acid.
pub(crate) fn acid_caution() -> String {
    "Label and safety data sheet first. Eye protection and gloves. Into the water, away from roots. Never two \
     concentrates together, never with bleach"
        .to_owned()
}

fn pours() -> Vec<PourView> {
    vec![
        PourView {
            key: 1,
            number: 1,
            product: "One-part powder feed".to_owned(),
            amount: 17.0,
            unit: "g".to_owned(),
            step: 0.1,
            most: 40.0,
            decimals: 1,
            effect: "EC +0.65 · pH −0.4".to_owned(),
            measure: "Scale, to 17.0 g".to_owned(),
            cautions: Vec::new(),
            state: PourState::Poured("Poured at 08:14, read at 08:45".to_owned()),
            link: None,
            place: None,
        },
        PourView {
            key: 2,
            number: 2,
            product: "pH-lowering liquid, phosphoric".to_owned(),
            amount: 5.0,
            unit: "mL".to_owned(),
            step: 0.5,
            most: 15.0,
            decimals: 1,
            effect: "EC −0.01 · pH −0.7".to_owned(),
            measure: "10 mL syringe, to the 5.0 mark".to_owned(),
            cautions: vec![acid_caution()],
            state: PourState::Planned,
            link: None,
            place: Some(PlaceView::default()),
        },
    ]
}

fn known() -> Vec<RangeView> {
    let range = |label: &str, text: &str, low, best, high| RangeView {
        label: label.to_owned(),
        text: text.to_owned(),
        low,
        best,
        high,
    };
    vec![
        range("Water in it", "likely 25–29", 0.35, 0.5, 0.65),
        range("Alkalinity left in the tank", "0.5–1.2 meq/L", 0.23, 0.5, 0.77),
        range("pH-lowering liquid", "strength 0.7–1.5×", 0.16, 0.5, 0.84),
    ]
}

fn growing() -> GrowingView {
    GrowingView {
        crops: choices(&[("lettuce", "Butterhead lettuce"), ("basil", "Basil"), ("tomato", "Dwarf tomato")]),
        crop_id: "lettuce".to_owned(),
        stages: choices(&[("seedling", "Seedling"), ("leaf", "Leaf"), ("heading", "Heading")]),
        stage_id: "leaf".to_owned(),
        also: Vec::new(),
        more: choices(&[("basil", "Basil"), ("tomato", "Dwarf tomato")]),
        zone_label: "Zone".to_owned(),
        zone_text: "pH 5.5–6.5 · EC 1.2–1.8 mS/cm".to_owned(),
        remarks: Vec::new(),
        sources_line: Some("Two sources disagree on pH".to_owned()),
        sources: vec!["One bulletin says pH 5.5 to 6.0".to_owned(), "One handbook says pH 5.8 to 6.5".to_owned()],
    }
}

/// The answer with a syringe.
pub(crate) fn pour_answer() -> AnswerView {
    AnswerView {
        eyebrow: "Now · the feed is in, the level is fine".to_owned(),
        sentence: "Pour 5.0 mL of pH-lowering liquid".to_owned(),
        lines: vec![
            "It may need 5 to 11 mL in all. This much is very unlikely to fall below 5.5; the next reading tells the rest"
                .to_owned(),
            "Let it circulate 30 min, then read again. Expect pH 5.9–6.5. A creep up by tomorrow is carbon dioxide leaving"
                .to_owned(),
        ],
        kind: AnswerKind::Pour {
            tool: ToolView::Syringe { capacity_ml: 10.0, mark_ml: 0.5, full_times: 0, fill_ml: 5.0 },
            of: String::new(),
            then: "then wait 30 min".to_owned(),
        },
        ..AnswerView::default()
    }
}

/// The answer after a pour.
pub(crate) fn wait_answer() -> AnswerView {
    AnswerView {
        eyebrow: "Poured at 08:50 · 5.0 mL of pH-lowering liquid".to_owned(),
        sentence: "Read again in 24 min".to_owned(),
        lines: vec![
            "It has to go round first. Expect pH 5.9–6.5 and EC 1.4–1.6".to_owned(),
            "A reading outside that is news, not a mistake: it sharpens the next answer".to_owned(),
        ],
        kind: AnswerKind::Wait { passed: 0.2, left: "24 min".to_owned() },
        ..AnswerView::default()
    }
}

/// The answer when all is well.
pub(crate) fn leave_answer() -> AnswerView {
    AnswerView {
        eyebrow: "Now · inside the zone".to_owned(),
        sentence: "Leave it".to_owned(),
        lines: vec![
            "pH 6.1 and EC 1.5 are nearer to the middle than the meter can tell. Look again tomorrow".to_owned(),
        ],
        kind: AnswerKind::LeaveIt,
        ..AnswerView::default()
    }
}

/// The answer when a fact is missing.
pub(crate) fn fact_answer() -> AnswerView {
    AnswerView {
        eyebrow: "Now · one fact is missing".to_owned(),
        sentence: "What does the meter say?".to_owned(),
        lines: vec!["With pH and EC of the reservoir the map knows where you are. Strips or drops will do".to_owned()],
        kind: AnswerKind::NeedsFact(LinkView {
            text: "Type a reading".to_owned(),
            command: Command::Focus(Field::ReadingPh),
        }),
        ..AnswerView::default()
    }
}

/// The page of an ordinary day.
pub(crate) fn today() -> TodayView {
    TodayView {
        unit_name: "North sill trough".to_owned(),
        unit_line: "Recirculating · 28 of 34 L · soft tap water".to_owned(),
        is_example: false,
        reading: ReadingView {
            note: "Read at 08:45, good meter".to_owned(),
            ph: Some(6.9),
            ec: Some(1.5),
            ec_decimals: 2,
            ec_unit: "mS/cm".to_owned(),
            temperature: Some(21.0),
            temperature_unit: "°C".to_owned(),
            ..ReadingView::default()
        },
        level: 28.0,
        level_unit: "L".to_owned(),
        growing: growing(),
        known: known(),
        next_best_short: "A jar test would help".to_owned(),
        next_best: vec![LinkView {
            text: "A jar test would halve the last range".to_owned(),
            command: Command::Focus(Field::Level),
        }],
        map: map(),
        pours: pours(),
        shelf: choices(&[("feed", "One-part powder feed"), ("down", "pH-lowering liquid, phosphoric")]),
        hand: HandView::default(),
        together: TogetherView {
            result: "28 L · EC 1.5 · pH 6.9 → 6.2".to_owned(),
            expect: "Expect pH 5.9–6.5, EC 1.4–1.6".to_owned(),
            risk: "Fewer than 1 in 50 to fall below 5.5".to_owned(),
            changed_by_hand: false,
        },
        warnings: Vec::new(),
        notes: vec!["Alkalinity is not known, so it is guessed from the kind of water".to_owned()],
        why: vec!["EC is inside the zone, so only pH is moved".to_owned()],
        answer: pour_answer(),
        tub_card: TubCardView::default(),
        jar: None,
    }
}

/// The first page, before anything is chosen.
pub(crate) fn start() -> StartView {
    let kind = |id: &str, label: &str, note: &str, picture| KindView {
        choice: Choice::new(id, label),
        note: note.to_owned(),
        picture,
    };
    StartView {
        own_water: None,
        cautions: Vec::new(),
        levels_known: Vec::new(),
        kinds: vec![
            kind("jar", "Still jar", "no pump, no air", KindPicture::StillJar),
            kind("bucket", "Aerated bucket", "an air stone", KindPicture::AeratedBucket),
            kind("trough", "Trough", "a shared tray", KindPicture::Trough),
            kind("loop", "Recirculating", "a pump and a tank", KindPicture::Recirculating),
        ],
        volume_units: choices(&[("l", "L"), ("us_gal", "US gal"), ("imp_gal", "imp. gal")]),
        fullness: choices(&[("full", "Full"), ("three_quarters", "¾"), ("half", "Half"), ("unsure", "Not sure")]),
        waters: choices(&[
            ("unknown", "I don’t know"),
            ("rain", "Rain"),
            ("ro", "Reverse osmosis"),
            ("soft", "Soft tap"),
        ]),
        crops: vec![
            CropView {
                choice: Choice::new("lettuce", "Butterhead lettuce"),
                stages: choices(&[("seedling", "Seedling"), ("leaf", "Leaf"), ("heading", "Heading")]),
            },
            CropView {
                choice: Choice::new("basil", "Basil"),
                stages: choices(&[("seedling", "Seedling"), ("leaf", "Leaf")]),
            },
        ],
        feeds: choices(&[("powder", "One-part powder feed"), ("two", "Two-part liquid feed")]),
        ph_down: choices(&[("", "Nothing yet"), ("down", "pH-lowering, phosphoric")]),
        ph_up: choices(&[("", "Nothing yet"), ("up", "pH-raising, carbonate")]),
        measures: ["Feed", "To lower pH", "To raise pH"].map(measure).to_vec(),
        alkalinity_units: choices(&[("mg", "mg/L CaCO₃"), ("meq", "meq/L")]),
        roots: choices(&[("in", "Yes"), ("out", "Not yet")]),
        ph_instruments: choices(&[("pen", "pH pen"), ("strips", "test strips")]),
        ec_decimals: 2,
        reader: pourcast::ui::view::Reader::default(),
        ec_units: choices(&[
            ("ms", "mS/cm"),
            ("us", "µS/cm"),
            ("ppm500", "ppm, 500 scale"),
            ("ppm700", "ppm, 700 scale"),
        ]),
        fed: choices(&[("water", "Only water"), ("fed", "Feed is in")]),
        missing: None,
        editing: false,
    }
}

/// What a product is measured with.
fn measure(of: &str) -> MeasureView {
    MeasureView {
        of: of.to_owned(),
        tools: choices(&[("syringe-10", "10 mL syringe"), ("dropper", "Dropper, by drops")]),
        tool_id: "syringe-10".to_owned(),
        ..MeasureView::default()
    }
}

/// A window on the page of today.
pub(crate) fn window(today: TodayView) -> WindowView {
    WindowView {
        bar: bar(),
        page: PageView::Today(Box::new(today)),
        units: Vec::new(),
        sheet: None,
        product: None,
        water: None,
        crop: None,
        notice: None,
    }
}

/// A window on the first page.
pub(crate) fn start_window() -> WindowView {
    WindowView {
        bar: BarView::default(),
        page: PageView::Start(Box::new(start())),
        units: Vec::new(),
        sheet: None,
        product: None,
        water: None,
        crop: None,
        notice: None,
    }
}

/// An empty page: a unit with no reading yet.
pub(crate) fn empty_today() -> TodayView {
    let full = today();
    TodayView {
        reading: ReadingView {
            ec_decimals: 2,
            ec_unit: "mS/cm".to_owned(),
            temperature_unit: "°C".to_owned(),
            ..ReadingView::default()
        },
        unit_line: "An invented example · recirculating, soft tap water".to_owned(),
        map: MapView {
            zones: full.map.zones,
            hint: "Type a reading, and your water has its place here".to_owned(),
            ..MapView::default()
        },
        pours: Vec::new(),
        together: TogetherView::default(),
        answer: fact_answer(),
        is_example: true,
        ..full
    }
}
