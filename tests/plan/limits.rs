//! Where not to go on the map: cloudy mixes by the saturation that the landing's own warning uses, the rim by proportion,
//! still jars by their rule.

use pourcast::chem::{Carbon, Mineral};
use pourcast::dose::{Point, Warning};
use pourcast::garden::{SourceWater, Tool, Unit, UnitKind, WaterKind};
use pourcast::plan::{Idea, Side};

use super::what_if::{fed, planner};
use super::{read, shipped, unit};

/// A unit on hard tap water of this EC, mS/cm.
fn hard(ec_ms_cm: f64) -> Unit {
    let source_water =
        SourceWater { ec_ms_cm: Some(ec_ms_cm), ph: Some(7.6), ..SourceWater::of_kind(WaterKind::HardTap) };
    Unit { source_water, ..unit() }
}

#[test]
fn beyond_its_edge_the_water_is_over_saturation_and_before_it_not() {
    let planner = self::planner(&read(hard(0.8), Some(7.0), Some(1.8)));
    let landing = planner.landing(&[]).unwrap();
    let limits = planner.limits(&landing).unwrap();
    let cloudy = limits.iter().find(|limit| limit.words.contains("cloudy")).expect("hard, fed water clouds somewhere");
    assert_eq!((cloudy.side, cloudy.is_hard), (Side::Right, false));
    assert!(cloudy.edge.windows(2).all(|pair| pair[0].ec_ms_cm <= pair[1].ec_ms_cm));
    // Where the edge passes the landing's own EC, this very water with base in it: beyond it a solid is over saturation.
    let medium = planner.knowledge().showing.medium();
    let near = cloudy
        .edge
        .iter()
        .min_by(|a, b| {
            let off = |p: &Point| (p.ec_ms_cm - landing.just_mixed.ec_ms_cm).abs();
            off(a).total_cmp(&off(b))
        })
        .unwrap();
    let over = |ph: f64| {
        let mut meq = (-20.0, 20.0);
        let solved = |meq: f64| {
            let mut totals = landing.tank.totals;
            totals[pourcast::chem::Component::K] += meq / 1e3;
            medium.solve(&totals, Carbon::Kept).unwrap()
        };
        for _ in 0..50 {
            let middle = f64::midpoint(meq.0, meq.1);
            if solved(middle).ph() < ph { meq.0 = middle } else { meq.1 = middle }
        }
        let solved = solved(meq.0);
        // Over its own threshold, as the warning of a landing has it.
        let over =
            |mineral, threshold: f64| solved.saturation_index(medium, mineral).unwrap_or(f64::NEG_INFINITY) - threshold;
        over(Mineral::Brushite, 0.3).max(over(Mineral::Calcite, 0.8)).max(over(Mineral::Struvite, 0.5))
    };
    // The base here is potassium alone, the library's takes nitrate first: a hundredth of a unit apart.
    assert!(over(near.ph + 0.05) > 0.0, "{near:?}: {}", over(near.ph + 0.05));
    assert!(over(near.ph - 0.05) < 0.0, "{near:?}: {}", over(near.ph - 0.05));
    println!("{} from pH {:.2} at EC {:.2}", cloudy.words, near.ph, near.ec_ms_cm);
}

#[test]
fn rim_and_still_jar_are_edges() {
    let planner = self::planner(&fed());
    let landing = planner.landing(&[]).unwrap();
    let limits = planner.limits(&landing).unwrap();
    let below = limits.iter().find(|limit| limit.side == Side::Below).unwrap();
    // 5 L of room in 25 L, filled with source water of 0.4 mS/cm: by proportion about (20 x 1.0 + 5 x 0.4) / 25.
    assert!((below.edge[0].ec_ms_cm - 0.88).abs() < 0.03 && below.is_hard, "{below:?}");
    assert!(below.words.contains("5.0 L more water"), "{}", below.words);
    assert!(below.edge[0].ec_ms_cm <= landing.start.ec_ms_cm);

    let full = Unit { level_l: 24.9, ..fed() };
    let limits = self::planner(&full).limits(&landing).unwrap();
    let above = limits.iter().find(|limit| limit.side == Side::Above && limit.is_hard).expect("100 mL of room");
    assert!(above.words.contains("mL of feed that fit in"), "{}", above.words);
    assert!(above.edge[0].ec_ms_cm > 1.0 && above.edge[0].ec_ms_cm < 3.0, "{above:?}");

    let jar = Unit { kind: UnitKind::StillJar, plants_in: true, ..fed() };
    let limits = self::planner(&jar).limits(&landing).unwrap();
    let below = limits.iter().find(|limit| limit.side == Side::Below).unwrap();
    assert!(below.words.contains("air roots"), "{}", below.words);
    let unchecked = limits.iter().filter(|limit| limit.words.contains("checked")).count();
    assert_eq!(unchecked, 3);
    assert!(limits.iter().any(|limit| limit.side == Side::Left && limit.edge[0].ph <= Warning::CHECKED_PH.0));
}

#[test]
fn a_rail_over_the_rim_says_so() {
    let small = Unit {
        tank_l: 20.05,
        shelf: vec![
            shipped("two-part-a", Tool::Syringe { capacity_ml: 20.0, mark_ml: 1.0 }),
            shipped("two-part-b", Tool::Syringe { capacity_ml: 20.0, mark_ml: 1.0 }),
        ],
        ..fed()
    };
    let planner = self::planner(&small);
    let mut idea = Idea::default();
    idea.add(&planner, "two-part-a");
    let rail = planner.rail(&idea, idea.pours[0].key).unwrap();
    let (from, to, words) = rail.rough.last().expect("50 mL of room");
    assert!(words.contains("over the rim"), "{words}");
    assert_eq!(*to, rail.points.len() - 1);
    // Both parts go in together: 25 mL of each fill the room, and the rim is taken with a thousandth of slack.
    let amount = rail.points[*from].0;
    assert!((20.0..45.0).contains(&amount), "{amount}");
}

/// Gypsum falls out of acid as well: its region begins at pH 0, at the water's own EC.
#[test]
fn what_clouds_at_any_ph_begins_at_the_left() {
    let planner = self::planner(&fed());
    let mut landing = planner.landing(&[]).unwrap();
    // 30 mmol/kg of calcium sulfate: twice what dissolves of gypsum in pure water (2.4 g/L, 14 mmol/L, CRC Handbook).
    landing.tank.totals[pourcast::chem::Component::Ca] += 0.03;
    landing.tank.totals[pourcast::chem::Component::So4] += 0.03;
    let here = planner.knowledge().showing.of(&landing.tank.totals).unwrap();
    landing.just_mixed = here;
    let limits = planner.limits(&landing).unwrap();
    let cloudy = limits.iter().find(|limit| limit.words.contains("cloudy")).unwrap();
    assert!(cloudy.words.ends_with("calcium sulfate"), "{}", cloudy.words);
    let at_here = cloudy.edge.iter().find(|p| (p.ec_ms_cm - here.ec_ms_cm).abs() < 0.01).expect("its own EC");
    assert!(at_here.ph < 0.01, "{at_here:?}");
}

#[test]
fn stronger_source_water_makes_nothing_thinner() {
    let planner = self::planner(&read(hard(0.9), Some(7.0), Some(0.5)));
    let landing = planner.landing(&[]).unwrap();
    let limits = planner.limits(&landing).unwrap();
    let below = limits.iter().find(|limit| limit.side == Side::Below).unwrap();
    assert!(below.words.contains("purer water"), "{}", below.words);
    assert!(below.edge[0].ec_ms_cm <= landing.start.ec_ms_cm + 1e-9, "the reading itself is not in it");
}
