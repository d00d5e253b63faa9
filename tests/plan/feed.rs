//! Whether there is enough feed: nitrogen by label, the floor, and what a salty source water leaves room for.

use pourcast::garden::{SourceWater, WaterKind};
use pourcast::plan::Place;

use super::help::advised;
use super::*;

fn of_water(kind: WaterKind, ec_ms_cm: f64) -> Unit {
    Unit { source_water: SourceWater { ec_ms_cm: Some(ec_ms_cm), ..SourceWater::of_kind(kind) }, ..unit() }
}

/// Nitrogen after the plan's feed is what the recipe says: grams of the salts in the parts, times their nitrogen.
///
/// The two-part feed by its recipe brings, at its label rate of 5 + 5 mL/L, the N that label arithmetic gives (Cornell 2020,
/// section on label arithmetic: grams per litre times the share of nitrogen).
#[test]
fn nitrogen_is_what_the_recipe_brings() {
    let unit = read(of_water(WaterKind::ReverseOsmosis, 0.02), None, Some(0.02));
    let plan = advised(&unit);
    let fed = plan.fed.unwrap();
    let by_recipe: f64 = plan
        .pours()
        .iter()
        .filter(|(id, _)| id.starts_with("two-part"))
        .map(|(id, amount)| nitrogen_mg_per_unit(id) * amount / unit.level_l)
        .sum();
    println!("  {}; by the recipe {by_recipe:.0} mg/L", fed.words());
    let (low, middle, high) = fed.nitrogen_mg_l;
    assert!(by_recipe > 60.0 && (middle / by_recipe - 1.0).abs() < 0.05, "{middle} against {by_recipe}");
    assert!(low < by_recipe && by_recipe < high);
    assert!(fed.most_mg_l.is_none() && fed.words().contains("mg/L"));
}

/// mg of N in one unit of a product, from what its parts dissolve to.
fn nitrogen_mg_per_unit(id: &str) -> f64 {
    use pourcast::chem::Component;
    let moles = catalog().product(id).unwrap().dissolved().unwrap().moles;
    (moles[Component::No3] + moles[Component::Nh4]) * 14.007 * 1e3
}

#[test]
fn water_that_fills_the_band_starves_the_plants_and_it_is_said() {
    for (ec, starves) in [(0.4, false), (0.8, false), (1.45, true)] {
        let unit = read(of_water(WaterKind::HardWell, ec), Some(6.2), Some(1.7_f64.max(ec)));
        let plan = advised(&unit);
        let fed = plan.fed.unwrap();
        let warned = plan.warnings.iter().find(|warning| warning.words.contains("nitrogen fits"));
        println!("  source {ec}: {}, at least {:.0}, warned {}", fed.words(), fed.floor_mg_l, warned.is_some());
        assert_eq!(warned.is_some(), starves, "source {ec}: {fed:?}");
        if let Some(warned) = warned {
            assert!(warned.words.contains("plants may starve") && warned.words.contains("Softer water"));
            assert_eq!(warned.place, Some(Place::SourceWater));
            assert!(fed.most_mg_l.unwrap() < fed.floor_mg_l);
            // Said once, not twice.
            assert!(plan.warnings.iter().all(|warning| !warning.words.contains("little room")));
            let text = told(&unit, &plan).split_whitespace().collect::<Vec<_>>().join(" ");
            assert!(text.contains("nitrogen fits below EC 1.8") && text.contains(&fed.words()), "{text}");
        }
    }
}

/// Half of 150 mg/L for lettuce (Cornell 2020) and of 189 for fruiting tomato (University of Arizona, as quoted), less for crops
/// that are grown weaker, such as strawberry at 1.0 mS/cm or less (Kubota, University of Arizona).
#[test]
fn the_floor_follows_the_crop() {
    let floor = |crop: &str, stage: &str| {
        let mut grown = unit();
        (grown.crop_id, grown.stage_id) = (crop.to_owned(), stage.to_owned());
        advised(&read(grown, Some(6.2), Some(1.5))).fed.unwrap().floor_mg_l
    };
    let (lettuce, seedling) = (floor("lettuce", "growing"), floor("lettuce", "seedling"));
    let (tomato, strawberry) = (floor("tomato", "fruiting"), floor("strawberry", "fruiting"));
    println!("  lettuce {lettuce:.0}, as seedling {seedling:.0}, tomato {tomato:.0}, strawberry {strawberry:.0} mg/L");
    assert!((lettuce - 75.0).abs() < 1.0 && (tomato - 94.5).abs() < 1.0);
    assert!(seedling < 0.75 * lettuce && strawberry < 0.5 * tomato);
}

/// The parts of a feed go in by their label's ratio, whatever it is.
#[test]
fn parts_go_in_by_the_labels_ratio() {
    for ratio in [1.0, 0.5, 2.0] {
        let shop = catalog();
        let mut parts = ["two-part-a", "two-part-b"].map(|id| shop.product(id).unwrap().clone());
        // The ratio of each part's partner to itself.
        for (part, ratio) in parts.iter_mut().zip([ratio, 1.0 / ratio]) {
            part.partner.as_mut().unwrap().ratio = ratio;
        }
        let mut fed = unit();
        fed.shelf[0] = own(parts[0].clone(), Tool::Jug { capacity_ml: 250.0, mark_ml: 0.1 });
        fed.shelf[1] = own(parts[1].clone(), Tool::Jug { capacity_ml: 250.0, mark_ml: 0.1 });
        let pours = plan(&read(fed, Some(6.2), Some(0.4))).pours();
        let of = |id: &str| pours.iter().find(|(poured, _)| poured == id).unwrap().1;
        let found = of("two-part-b") / of("two-part-a");
        assert!((found / ratio - 1.0).abs() < 0.02, "{found} against {ratio}: {pours:?}");
        assert!(pours[0].0 == "two-part-a" && pours[1].0 == "two-part-b", "{pours:?}");
    }
}

/// Three parts keep their ratio in the plan, whichever of them stands first on the shelf, and once one is in, the others follow by
/// its measure.
#[test]
fn three_parts_keep_their_ratio() {
    const PARTS: [&str; 3] = ["three-part-1", "three-part-2", "three-part-3"];
    let tool = Tool::Syringe { capacity_ml: 60.0, mark_ml: 0.1 };
    for first in 0..3 {
        let mut fed = unit();
        let parts = (0..3).map(|i| shipped(PARTS[(first + i) % 3], tool));
        fed.shelf = parts.chain([shipped("phosphoric-down", Tool::SYRINGE_10)]).collect();
        let fed = read(fed, Some(7.4), Some(0.4));
        let plan_ = plan(&fed);
        let pours = plan_.pours();
        let ids: Vec<&str> = pours.iter().map(|(id, _)| id.as_str()).take(3).collect();
        assert_eq!(ids, PARTS, "{}", told(&fed, &plan_));
        for (pour, share) in pours.iter().zip([1.0, 0.5, 0.5]) {
            assert!((pour.1 / pours[0].1 / share - 1.0).abs() < 0.02, "{pours:?}");
        }
        let expects: Vec<bool> = plan_.steps.iter().map(|step| step.expect.is_some()).take(3).collect();
        assert_eq!(expects, [false, false, true], "nobody reads between parts");
        assert!((1.2..1.8).contains(&plan_.landing.just_mixed.ec_ms_cm), "{}", told(&fed, &plan_));
        // The second part went in, by another measure than was told: the other two follow it.
        let mut begun = fed.clone();
        begun.log.push(LogEntry::Pour(PourRecord {
            at_s: NOW_S + 60,
            product_id: PARTS[1].to_owned(),
            amount: 8.0,
            promise: None,
        }));
        let planner = Planner::new(&begun, &catalog(), NOW_S + 120, SEED).unwrap();
        let next = planner.plan().unwrap();
        assert_eq!(next.pours(), [(PARTS[0].to_owned(), 16.0), (PARTS[2].to_owned(), 8.0)], "{}", told(&begun, &next));
        assert!(matches!(next.steps.last().unwrap().action, Action::Read { .. }));
    }
}

/// A supplement comes before the feed, its EC is counted, and the calcium it brings is what was missing.
#[test]
fn a_supplement_goes_in_first_and_counts() {
    let mut rain = of_water(WaterKind::Rain, 0.05);
    rain.shelf = vec![
        shipped("one-part-powder", Tool::Scale { mark_g: 0.1 }),
        shipped("cal-mag", Tool::SYRINGE_10),
        shipped("phosphoric-down", Tool::SYRINGE_10),
    ];
    let rain = read(rain, None, Some(0.05));
    let plan = advised(&rain);
    let pours = plan.pours();
    let place = |id: &str| pours.iter().position(|(poured, _)| poured == id);
    assert_eq!((place("cal-mag"), place("one-part-powder")), (Some(0), Some(1)), "{}", told(&rain, &plan));
    let (low, high) = plan.zone_ec_ms_cm;
    let ec = plan.landing.just_mixed.ec_ms_cm;
    // Both together come to the middle of the zone, neither the feed alone nor the feed beside the supplement.
    assert!((ec - f64::midpoint(low, high)).abs() < 0.12, "{ec}\n{}", told(&rain, &plan));
    let without = plan.landing.shares.iter().map(|share| share.ec_change_ms_cm).collect::<Vec<_>>();
    println!("  supplement and feed raise EC by {without:.2?}");
    assert!(without[0] > 0.1);
}

/// A name is the person's own: a sentence calls the bottle as they wrote it, and what is shipped as a common noun.
#[test]
fn a_sentence_calls_a_bottle_as_the_person_wrote_it() {
    let feed = catalog().product("one-part-liquid").unwrap().clone();
    let named = |item| {
        let mut unit = unit();
        unit.shelf[0] = item;
        unit.shelf.remove(1);
        let unit = read(unit, Some(6.0), Some(0.4));
        told(&unit, &plan(&unit))
    };
    let mine = named(own(
        pourcast::garden::Product { name: "Tall green bottle".to_owned(), id: "mine".to_owned(), ..feed },
        Tool::SYRINGE_10,
    ));
    assert!(mine.contains("mL of Tall green bottle"), "{mine}");
    let shipped = named(shipped("one-part-liquid", Tool::SYRINGE_10));
    assert!(shipped.contains("mL of one-part liquid feed"), "{shipped}");
}
