//! Several crops on one water: what they have in common is what the plan aims at. The rule is ours; see `garden::common`.

use pourcast::garden::{Band, Growing, OwnBand, Unit};
use pourcast::plan::{Action, EC_STEP_MS_CM, Limit, PH_STEP, Planner};

use super::{NOW_S, SEED, catalog, plan, read, told, unit};

fn with(mut unit: Unit, others: &[(&str, &str)]) -> Unit {
    let grown = |(crop, stage): &(&str, &str)| Growing { crop_id: (*crop).to_owned(), stage_id: (*stage).to_owned() };
    unit.also_growing = others.iter().map(grown).collect();
    unit
}

#[test]
fn the_plan_aims_at_what_the_crops_share() {
    let alone = plan(&read(unit(), Some(6.2), Some(1.3)));
    assert_eq!(alone.zone_ec_ms_cm, (1.2, 1.8));
    assert!(!alone.steps.iter().any(|step| matches!(step.action, Action::Pour(_))), "lettuce has enough");
    let shared = read(with(unit(), &[("tomato", "vegetative")]), Some(6.2), Some(1.3));
    let plan_of_both = plan(&shared);
    assert_eq!((plan_of_both.zone.ph, plan_of_both.zone_ec_ms_cm), ((6.0, 6.5), (1.5, 1.8)));
    assert!(matches!(plan_of_both.now().unwrap().action, Action::Pour(_)));
    let expect = plan_of_both.steps.iter().find_map(|step| step.expect).unwrap().ec_ms_cm;
    assert!(expect.1 > 1.4, "fed towards what both want: {expect:?}\n{}", told(&shared, &plan_of_both));
    let planner = Planner::new(&shared, &catalog(), NOW_S, SEED).unwrap();
    let common = planner.common_zone();
    assert_eq!(common.crops.len(), 2);
    assert_eq!((&common.zone, common.ec_in_tank_ms_cm), (planner.zone(), planner.zone_ec_ms_cm()));
}

#[test]
fn crops_that_share_nothing_are_warned_of_and_named_on_the_card() {
    let mixed = read(with(unit(), &[("tomato", "fruiting")]), Some(6.2), Some(1.5));
    let found = plan(&mixed);
    let warning = "Lettuce and tomato have no EC in common (1.2–1.8 against 2.0–3.0): the plan follows lettuce";
    assert_eq!(found.warnings.iter().filter(|warned| warned.words == warning).count(), 1);
    assert_eq!((found.zone_ec_ms_cm, found.zone.ph), ((1.2, 1.8), (6.0, 6.5)));
    let card = pourcast::card::Card::of(&mixed, &catalog(), &found, 0, &|_| "today".to_owned());
    assert_eq!(card.crops, ["Lettuce (growing)", "Tomato (flowers and fruit)"]);
    let text = pourcast::card::text(&card).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("Lettuce (growing), Tomato (flowers and fruit)") && text.contains(warning), "{text}");
    let json: serde_json::Value = serde_json::from_str(&pourcast::card::json(&card).unwrap()).unwrap();
    assert_eq!(json["crops"][1], "Tomato (flowers and fruit)");
    assert_eq!(json["warnings"].as_array().unwrap().iter().filter(|told| *told == warning).count(), 1);
    // With a band of one's own there is nothing to follow.
    let mut own = mixed;
    own.own_band = Some(OwnBand { ph: None, ec_ms_cm: Some((1.7, 2.1)) });
    let found = plan(&own);
    assert_eq!(found.zone_ec_ms_cm, (1.7, 2.1));
    assert!(found.warnings.iter().all(|warned| !warned.words.contains("in common")));
}

/// Pours stay as small as for seedlings when any of the crops is one, wherever it stands in the list.
#[test]
fn one_seedling_keeps_every_pour_small() {
    let mut grown = unit();
    grown.plants_in = true;
    grown.source_water.alkalinity_meq_l = Some(2.0);
    let step_of = |unit: &Unit| {
        let plan = plan(&read(unit.clone(), Some(8.2), Some(1.3)));
        let step = plan.steps.iter().find(|step| step.edge.is_some()).unwrap().clone();
        (plan.landing.shares.last().unwrap().ph_change.abs(), step.limit)
    };
    let (without, _) = step_of(&grown);
    let (change, limit) = step_of(&with(grown.clone(), &[("basil", "seedling")]));
    println!("  acid moves pH by {without:.2} among grown plants, by {change:.2} with a seedling, limit {limit:?}");
    assert!(without > PH_STEP.seedling + 0.1, "{without}");
    assert!(change <= PH_STEP.seedling + 0.05, "{change}");
    assert_eq!(limit, Some(Limit::StepCap));

    let fed = read(with(grown, &[("basil", "seedling")]), Some(6.0), Some(0.42));
    let planner = Planner::new(&fed, &catalog(), NOW_S, SEED).unwrap();
    let showing = &planner.knowledge().showing;
    let start = planner.belief().quantile(0.5, |m| showing.of(&m.tank.totals).unwrap().ec_ms_cm);
    let last = planner.plan().unwrap().steps.iter().rev().find_map(|step| step.expect).unwrap();
    let rise = last.ec_ms_cm.1 - start;
    println!("  feed raises EC by {rise:.2}");
    assert!(rise > 0.1 && rise <= EC_STEP_MS_CM.seedling + 0.03, "{rise}");
}

/// Where the crops share next to nothing, the plan goes there all the same, and stays on the safe side of the far edge.
#[test]
fn a_zone_narrower_than_a_meter_can_tell_is_still_planned_for() {
    let mut shop = catalog();
    let kale = shop.crops.iter_mut().find(|crop| crop.id == "kale").unwrap();
    kale.claims.retain(|claim| claim.stage == "all");
    for claim in &mut kale.claims {
        (claim.ph, claim.ec_ms_cm) = (Some(Band::Span(5.5, 6.0)), Some(Band::Span(1.78, 2.3)));
    }
    for (ph, ec, wanted) in
        [(6.5, 0.45, "feed"), (6.5, 1.0, "feed"), (7.4, 1.79, "pH"), (5.2, 1.79, "pH"), (5.8, 2.4, "water")]
    {
        let unit = read(with(unit(), &[("kale", "growing")]), Some(ph), Some(ec));
        let planner = Planner::new(&unit, &shop, NOW_S, SEED).unwrap();
        assert_eq!(planner.zone_ec_ms_cm(), (1.78, 1.8));
        let plan = planner.plan().unwrap();
        let card = told(&unit, &plan);
        assert!(plan.warnings.iter().any(|w| w.words.contains("1.78–1.8, is narrower than a meter")), "{card}");
        let landed = plan.landing.just_mixed.ec_ms_cm;
        match (&plan.now().unwrap().action, wanted) {
            (Action::Pour(measured), "feed") => {
                assert!(measured.id.starts_with("two-part") && landed > ec + 0.5 && landed < 1.8, "{landed}\n{card}");
            }
            (Action::Pour(measured), "pH") => {
                assert!(!measured.id.starts_with("two-part") && (landed - ec).abs() < 0.05, "{landed}\n{card}");
            }
            (Action::Swap { .. }, "water") => assert!(landed < ec && landed > 1.7, "{landed}\n{card}"),
            _ => panic!("not {wanted}:\n{card}"),
        }
    }
}

#[test]
fn an_unknown_crop_among_them_is_named() {
    let unknown = with(unit(), &[("basil", "growing"), ("triffid", "growing")]);
    let error = Planner::new(&unknown, &catalog(), NOW_S, SEED).unwrap_err();
    assert_eq!(error.to_string(), "the crop \"triffid\" is not in the catalog");
}
