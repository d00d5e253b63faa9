//! The days after: what hard water still needs, when to look again.

use pourcast::garden::{SourceWater, WaterKind};
use pourcast::plan::Settling;

use super::help::advised;
use super::*;

fn with_alkalinity(kind: WaterKind, ec_ms_cm: f64, alkalinity_meq_l: f64) -> Unit {
    let source_water = SourceWater {
        ec_ms_cm: Some(ec_ms_cm),
        ph: Some(7.7),
        alkalinity_meq_l: Some(alkalinity_meq_l),
        ..SourceWater::of_kind(kind)
    };
    Unit { source_water, ..unit() }
}

fn settling(unit: &Unit) -> Settling {
    let plan = advised(unit);
    let settling = plan.settling.clone().unwrap_or_else(|| panic!("{}", told(unit, &plan)));
    println!("  {}", settling.words);
    settling
}

/// Hard water needs more on later days than soft water, as acid takes bicarbonate whose carbon dioxide leaves by the next day.
/// Source: alkalinity above 4 meq/L was in the zone 20 minutes after the third round in 94 % of invented households, and in 23 to
/// 53 % the next day; below 0.5 meq/L in 92 to 94 % (the trial with invented households).
#[test]
fn hard_water_is_brought_in_over_days_and_soft_water_is_not() {
    // Citric acid: what is left of phosphoric acid would hold the water by itself near 6.7.
    let mut citric = with_alkalinity(WaterKind::HardTap, 0.8, 4.5);
    citric.shelf[2] = shipped("citric-down", Tool::SYRINGE_10);
    let hard = settling(&read(citric, Some(7.6), Some(1.5)));
    let soft = settling(&read(with_alkalinity(WaterKind::SoftTap, 0.15, 0.4), Some(7.3), Some(1.5)));
    let later = |settling: &Settling| {
        settling.visits.iter().filter(|visit| visit.in_h > 12.0 && visit.likely.is_some()).count()
    };
    assert!(later(&hard) >= 1 && hard.words.contains("tomorrow") && hard.words.contains("mL more"), "{hard:?}");
    assert_eq!(later(&soft), 0, "{soft:?}");
    assert!(hard.stays_in_h.is_none_or(|hours| hours >= 24.0), "{hard:?}");
    // The next day carbon dioxide has left and pH is up again; in soft water it is not.
    let tomorrow = |settling: &Settling| settling.visits.iter().find(|visit| visit.in_h > 12.0).map(|visit| visit.ph.1);
    assert!(tomorrow(&hard).unwrap() > 6.5, "{hard:?}");
    assert!(tomorrow(&soft).is_none_or(|ph| ph < 6.5), "{soft:?}");
}

/// What is told of the next visit stands with the step, in place of the general words.
#[test]
fn the_card_tells_what_follows() {
    let unit = read(with_alkalinity(WaterKind::HardTap, 0.8, 4.5), Some(7.6), Some(1.5));
    let plan = advised(&unit);
    let later = plan.steps.iter().find_map(|step| step.later.clone()).unwrap();
    assert_eq!(Some(&later), plan.settling.as_ref().map(|settling| &settling.words));
    let text = told(&unit, &plan).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains(&later) && !text.contains("over hours or days"), "{text}");
}

/// Quiet, buffered water is looked at again within days, not tomorrow; fresh acid in hard water sooner.
#[test]
fn the_next_look_follows_from_what_moves() {
    let acid_at = |hours: i64| {
        LogEntry::Pour(PourRecord {
            at_s: NOW_S - hours * 3600,
            product_id: "phosphoric-down".to_owned(),
            amount: 26.0,
            promise: None,
        })
    };
    let mut quiet = with_alkalinity(WaterKind::HardTap, 0.8, 4.5);
    quiet.log = vec![LogEntry::Refill { at_s: NOW_S - 5 * 86_400, water_l: 20.0 }, acid_at(4 * 24)];
    let quiet = read(quiet, Some(6.0), Some(1.7));
    let mut creeping = with_alkalinity(WaterKind::HardTap, 0.8, 4.5);
    creeping.log.push(acid_at(1));
    let creeping = read(creeping, Some(5.7), Some(1.5));
    let (calm, moving) = (advised(&quiet), advised(&creeping));
    for plan in [&calm, &moving] {
        assert!(matches!(plan.steps[0].action, Action::LeaveIt), "{:?}", plan.steps[0]);
    }
    let hours = |plan: &Plan| plan.settling.as_ref().unwrap().visits[0].in_h;
    println!("  quiet: {} h, creeping: {} h", hours(&calm), hours(&moving));
    assert!(hours(&calm) > hours(&moving), "{:?} {:?}", calm.settling, moving.settling);
    assert!(moving.settling.as_ref().unwrap().words.contains("carbon dioxide"), "{:?}", moving.settling);
    assert!((f64::from(calm.steps[0].wait_min) - 60.0 * hours(&calm)).abs() < 0.5, "{:?}", calm.steps[0]);
    let text = told(&quiet, &calm);
    assert!(text.contains("Read again in"), "{text}");
}

/// The low edge is guarded against the pH just mixed, on later visits, too.
#[test]
fn no_visit_takes_the_water_below_the_low_edge_just_mixed() {
    let unit = read(with_alkalinity(WaterKind::HardTap, 0.8, 4.5), Some(7.6), Some(1.5));
    let plan = advised(&unit);
    let step = plan.steps.iter().find(|step| step.edge.is_some()).unwrap();
    assert!(step.risk.unwrap() <= 0.02 + 1e-9, "{step:?}");
    for visit in &plan.settling.as_ref().unwrap().visits {
        assert!(visit.ph.0 > plan.zone.ph.0 - 0.3, "{visit:?}");
    }
}

/// "Likely in the zone" and the range beside it are of the same tanks at the same moment: the range lies in the zone as far as the
/// meter can tell, whatever the water, and where pH comes to rest if nothing more is poured is told as the end of it.
#[test]
fn what_is_said_of_the_zone_fits_the_range_beside_it() {
    let mut said = 0;
    for (kind, ec, alkalinity) in
        [(WaterKind::SoftTap, 0.15, 0.4), (WaterKind::MediumTap, 0.4, 2.0), (WaterKind::HardTap, 0.8, 4.5)]
    {
        for ph in [7.0, 7.6, 8.1] {
            let unit = read(with_alkalinity(kind, ec, alkalinity), Some(ph), Some(1.5));
            let plan = advised(&unit);
            let Some(settling) = plan.settling.as_ref().filter(|settling| settling.stays_in_h.is_some()) else {
                continue;
            };
            said += 1;
            let (low, high) = settling.visits.last().unwrap().then_ph;
            let slack = unit.meter.ph_sd().min(0.25);
            println!("  {kind:?} at pH {ph}: {}", settling.words);
            assert!(low >= plan.zone.ph.0 - slack && high <= plan.zone.ph.1 + slack, "{settling:?}");
            let range = settling.words.rsplit("at pH ").next().unwrap();
            assert!(range.starts_with(&format!("{low:.1}")), "{low} {}", settling.words);
            let text = told(&unit, &plan).split_whitespace().collect::<Vec<_>>().join(" ");
            assert!(!text.contains("Left at that") || text.contains("in the end;"), "{text}");
        }
    }
    assert!(said >= 3, "{said}");
}
