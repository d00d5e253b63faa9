//! Whatever a person has, the planner answers or says why not: never a panic, never a number that is none.

use pourcast::garden::{Blend, Compensation, Growing, OwnBand, Strength};
use proptest::prelude::*;

use super::*;

fn maybe(range: std::ops::Range<f64>) -> impl Strategy<Value = Option<f64>> {
    prop_oneof![1 => Just(None), 3 => range.prop_map(Some)]
}

fn any_water() -> impl Strategy<Value = SourceWater> {
    let kind = (0..WaterKind::ALL.len()).prop_map(|i| WaterKind::ALL[i]);
    let alkalinity = prop_oneof![4 => Just(None), 1 => (0.0..8.0).prop_map(Some)];
    let other = proptest::option::weighted(0.2, (0.0..1.0_f64, 0..WaterKind::ALL.len(), maybe(0.0..1.0)));
    (kind, maybe(0.0..2.0), maybe(4.0..9.5), alkalinity, other).prop_map(
        |(kind, ec_ms_cm, ph, alkalinity_meq_l, other)| SourceWater {
            ec_ms_cm,
            ph,
            alkalinity_meq_l,
            blend: other.map(|(share, kind, ec_ms_cm)| {
                Blend::of(share, SourceWater { ec_ms_cm, ..SourceWater::of_kind(WaterKind::ALL[kind]) })
            }),
            ..SourceWater::of_kind(kind)
        },
    )
}

fn any_shelf() -> impl Strategy<Value = Vec<ShelfItem>> {
    let products: Vec<(String, bool)> =
        catalog().products.iter().map(|product| (product.id.clone(), product.form.unit() == "g")).collect();
    let count = products.len();
    (proptest::collection::vec((0..count, 0..4_usize), 0..6), any::<bool>(), 0..6_usize).prop_map(
        move |(picks, guessed, feed)| {
            let mut shelf: Vec<ShelfItem> = picks
                .into_iter()
                .map(|(product, tool)| {
                    let (id, powder) = &products[product];
                    let tool = match (powder, tool) {
                        (true, 0 | 1) => Tool::Scale { mark_g: 0.1 },
                        (true, _) => Tool::Scoop { grams: 1.2, scatter: 0.1 },
                        (false, 0) => Tool::SYRINGE_1,
                        (false, 1) => Tool::SYRINGE_10,
                        (false, 2) => Tool::DROPPER,
                        (false, _) => Tool::Jug { capacity_ml: 250.0, mark_ml: 10.0 },
                    };
                    shipped(id, tool)
                })
                .collect();
            if guessed {
                let base = catalog().product("hydroxide-up").unwrap().clone();
                shelf.insert(0, own(Product { strength: Strength::UNKNOWN_BASE, ..base }, Tool::SYRINGE_1));
            }
            let powder = catalog().product("one-part-powder").unwrap().clone();
            let of = |strength| {
                own(Product { id: "tin".to_owned(), strength, ..powder }, Tool::Scoop { grams: 5.0, scatter: 0.35 })
            };
            match feed {
                0 => shelf.insert(0, of(Strength::UNKNOWN_FEED)),
                1 => shelf.insert(0, of(Strength::RaisesEc { ms_cm_per_unit_l: 0.9 })),
                _ => {}
            }
            shelf
        },
    )
}

fn any_log() -> impl Strategy<Value = Vec<LogEntry>> {
    let reading = (maybe(0.0..14.0), maybe(0.0..15.0), maybe(0.0..45.0));
    let pours = proptest::collection::vec((0..1000_usize, 0.0..60.0_f64, 0..200_i64), 0..3);
    (any::<bool>(), proptest::option::of(reading), pours, 0..5000_i64).prop_map(|(filled, reading, pours, minutes)| {
        let mut log = Vec::new();
        let at_s = NOW_S - 60 * minutes;
        if filled {
            log.push(LogEntry::Refill { at_s: at_s - 600, water_l: 10.0 });
        }
        if let Some((ph, ec_ms_cm, temperature_c)) = reading {
            log.push(LogEntry::Reading(Reading { at_s, ph, ec_ms_cm, temperature_c, level_l: None }));
        }
        let products = catalog().products;
        for (product, amount, ago) in pours {
            let product_id = products[product % products.len()].id.clone();
            log.push(LogEntry::Pour(PourRecord { at_s: NOW_S - ago * 60, product_id, amount, promise: None }));
        }
        log
    })
}

fn any_unit() -> impl Strategy<Value = Unit> {
    let place = (0.3..500.0_f64, 0.05..1.0_f64, 0..4_usize, 0..4_usize, any::<bool>());
    let crop = (0..15_usize, 0..3_usize, proptest::collection::vec((0..15_usize, 0..3_usize), 0..3));
    let meter = (0..4_usize, 0..3_usize);
    let band = proptest::option::weighted(0.2, (4.5..6.5_f64, 0.05..1.5_f64, 0.2..4.0_f64, 0.1..2.0_f64));
    (place, any_water(), crop, any_shelf(), meter, any_log(), band).prop_map(
        |((tank_l, full, kind, known, plants_in), source_water, crop, shelf, meter, log, band)| {
            let catalog = catalog();
            let grown = |(crop, stage): (usize, usize)| {
                let crop = &catalog.crops[crop % catalog.crops.len()];
                Growing { crop_id: crop.id.clone(), stage_id: crop.stages[stage % crop.stages.len()].id.clone() }
            };
            let chosen = &catalog.crops[crop.0 % catalog.crops.len()];
            let compensation = [Compensation::LinearPercent(2.0), Compensation::None, Compensation::Ideal][meter.1];
            let ph_instrument = PhInstrument::ALL[meter.0];
            Unit {
                name: "Any".to_owned(),
                kind: UnitKind::ALL[kind],
                tank_l,
                level_l: tank_l * full,
                level_known: LevelKnown::ALL[known],
                source_water,
                crop_id: chosen.id.clone(),
                stage_id: chosen.stages[crop.1 % chosen.stages.len()].id.clone(),
                also_growing: crop.2.into_iter().map(grown).collect(),
                own_crops: Vec::new(),
                own_band: band.map(|(ph, wide, ec, ec_wide)| OwnBand {
                    ph: Some((ph, ph + wide)),
                    ec_ms_cm: Some((ec, ec + ec_wide)),
                }),
                plants_in,
                shelf,
                meter: Meter { ph_instrument, ph_step: ph_instrument.usual_step(), compensation, ..Meter::default() },
                log,
            }
        },
    )
}

fn finite(plan: &Plan) -> bool {
    plan.steps.iter().all(|step| {
        let amount = match &step.action {
            Action::Pour(measured) => {
                measured.amount.is_finite() && measured.amount > 0.0 && measured.tool_amount > 0.0
            }
            Action::TopUp { water_l: litres } | Action::Swap { litres } => litres.is_finite() && *litres >= 0.0,
            _ => true,
        };
        let likely = step.likely_total.is_none_or(|(low, high)| low.is_finite() && high.is_finite() && low >= 0.0);
        let risk = step.risk.is_none_or(|risk| (0.0..=1.0).contains(&risk));
        let expect = step.expect.is_none_or(|expect| {
            [expect.ph, expect.ec_ms_cm, expect.settled_ph].iter().all(|(a, b, c)| a <= b && b <= c && c.is_finite())
        });
        amount && likely && risk && expect
    }) && [plan.landing.start, plan.landing.just_mixed, plan.landing.settled.middle(), plan.cloud.middle]
        .iter()
        .all(|point| point.ph.is_finite() && point.ec_ms_cm.is_finite())
}

#[test]
fn any_unit_gets_a_plan_or_a_reason() {
    let config = ProptestConfig { cases: 150, failure_persistence: None, ..ProptestConfig::default() };
    let mut runner = proptest::test_runner::TestRunner::new_with_rng(
        config,
        proptest::test_runner::TestRng::deterministic_rng(proptest::test_runner::RngAlgorithm::ChaCha),
    );
    let catalog = catalog();
    let (planned, refused) = (std::cell::Cell::new(0), std::cell::RefCell::new(Vec::new()));
    let outcome = runner.run(&any_unit(), |unit| {
        match Planner::new(&unit, &catalog, NOW_S, SEED).and_then(|planner| planner.plan()) {
            Ok(plan) => {
                planned.set(planned.get() + 1);
                prop_assert!(!plan.steps.is_empty());
                prop_assert!(finite(&plan), "{:#?}", plan.steps);
                let text = told(&unit, &plan);
                prop_assert!(!text.contains("NaN") && !text.contains("inf "), "{}", text);
            }
            Err(error) => refused.borrow_mut().push(error.to_string()),
        }
        Ok(())
    });
    let refused = refused.into_inner();
    println!("{} planned, {} refused with a reason:", planned.get(), refused.len());
    for reason in &refused {
        println!("  {reason}");
        assert!(!reason.is_empty());
    }
    if let Err(error) = outcome {
        panic!("{error}");
    }
    assert!(planned.get() >= 75, "most units get a plan");
}
