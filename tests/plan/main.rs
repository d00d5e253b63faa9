//! The plan: order, limits, what it refuses, and whether it is safe. See each part for its sources.
#![expect(clippy::print_stdout, reason = "what was measured is printed")]
#![expect(clippy::unwrap_used, reason = "a failed unwrap in a helper of a test is a failed test")]

mod any_unit;
mod blends;
mod crops;
mod doubt;
mod doubtful;
mod feed;
mod guessed;
#[path = "../../examples/households/hands.rs"]
#[expect(dead_code, reason = "the example lives through every hand")]
mod hands;
mod help;
#[path = "../../examples/households/household.rs"]
mod household;
mod jar;
mod limits;
mod order;
mod rounds;
mod safety;
#[path = "../../examples/households/score.rs"]
#[expect(dead_code, reason = "the example prints more of it")]
mod score;
mod settle;
mod shelf;
mod silicate;
mod steps;
mod told;
mod trial;
mod what_if;
#[path = "../../examples/households/world.rs"]
mod world;

use pourcast::garden::{
    Catalog, JarPoint, JarTest, LevelKnown, LogEntry, Meter, PhInstrument, PourRecord, Product, ProductRef, Reading,
    ShelfItem, SourceWater, Tool, Unit, UnitKind, WaterKind,
};
use pourcast::plan::{Action, Measured, Plan, Planner, Step};

/// The present in every test, Unix seconds.
pub(crate) const NOW_S: i64 = 1_790_000_000;
/// The seed where none matters.
pub(crate) const SEED: u64 = 20;

pub(crate) fn catalog() -> Catalog {
    Catalog::shipped().unwrap_or_else(|error| panic!("{error}"))
}

pub(crate) fn shipped(id: &str, tool: Tool) -> ShelfItem {
    ShelfItem::new(ProductRef::Shipped(id.to_owned()), tool)
}

pub(crate) fn own(product: Product, tool: Tool) -> ShelfItem {
    ShelfItem::new(ProductRef::Own(Box::new(product)), tool)
}

/// A recirculating unit of 25 L with 20 L measured by jug, middling tap water, lettuce to come, a full shelf, and a fresh
/// fill two hours ago.
pub(crate) fn unit() -> Unit {
    Unit {
        name: "Test".to_owned(),
        kind: UnitKind::Recirculating,
        tank_l: 25.0,
        level_l: 20.0,
        level_known: LevelKnown::Jug,
        source_water: SourceWater { ec_ms_cm: Some(0.4), ph: Some(7.6), ..SourceWater::of_kind(WaterKind::MediumTap) },
        crop_id: "lettuce".to_owned(),
        stage_id: "growing".to_owned(),
        also_growing: Vec::new(),
        own_crops: Vec::new(),
        own_band: None,
        plants_in: false,
        shelf: vec![
            shipped("two-part-a", Tool::Syringe { capacity_ml: 20.0, mark_ml: 1.0 }),
            shipped("two-part-b", Tool::Syringe { capacity_ml: 20.0, mark_ml: 1.0 }),
            shipped("phosphoric-down", Tool::SYRINGE_10),
            shipped("carbonate-up", Tool::SYRINGE_10),
        ],
        meter: Meter { ph_instrument: PhInstrument::GoodMeter, ph_step: 0.01, ..Meter::default() },
        log: vec![LogEntry::Refill { at_s: NOW_S - 7200, water_l: 20.0 }],
    }
}

/// The unit with a reading taken now.
pub(crate) fn read(mut unit: Unit, ph: Option<f64>, ec_ms_cm: Option<f64>) -> Unit {
    let reading = Reading { at_s: NOW_S, ph, ec_ms_cm, temperature_c: Some(22.0), level_l: None };
    unit.log.push(LogEntry::Reading(reading));
    unit
}

/// The unit after a pour so many minutes ago.
pub(crate) fn poured(mut unit: Unit, product_id: &str, amount: f64, minutes_ago: i64) -> Unit {
    let at_s = NOW_S - 60 * minutes_ago;
    unit.log.push(LogEntry::Pour(PourRecord { at_s, product_id: product_id.to_owned(), amount, promise: None }));
    unit
}

pub(crate) fn plan(unit: &Unit) -> Plan {
    let planner = Planner::new(unit, &catalog(), NOW_S, SEED).unwrap_or_else(|error| panic!("{error}"));
    planner.plan().unwrap_or_else(|error| panic!("{error}"))
}

/// The pour of a step.
pub(crate) fn pour(step: &Step) -> &Measured {
    match &step.action {
        Action::Pour(measured) => measured,
        other => panic!("not a pour: {other:?}"),
    }
}

/// The plan's card as text, for a failure's message.
pub(crate) fn told(unit: &Unit, plan: &Plan) -> String {
    pourcast::card::text(&pourcast::card::Card::of(unit, &catalog(), plan, 0, &|_| "today".to_owned()))
}
