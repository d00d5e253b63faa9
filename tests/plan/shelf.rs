//! What shelf, label and rim say of a plan.

use pourcast::garden::{AcidKind, Concentration, Form, LabelAnalysis, Strength};

use super::*;

/// A proposal of ours: three times the label's rate is a slip of unit or volume more often than a need.
#[test]
fn more_than_three_times_the_label_is_looked_at_twice() {
    let unit = read(unit(), Some(7.6), Some(0.4));
    let planner = Planner::new(&unit, &catalog(), NOW_S, SEED).unwrap();
    // Part A: 5 mL/L on the label, 20 L in the tank.
    assert_eq!(planner.over_label("two-part-a", 299.0), None);
    let words = planner.over_label("two-part-a", 310.0).unwrap();
    assert!(words.contains("3.1 times the label’s rate of 5 mL per litre for 20 L"), "{words}");
    assert!(planner.over_label("two-part-b", 310.0).is_some(), "each part by its own share");
    assert_eq!(planner.over_label("phosphoric-down", 1e3), None, "no rate on the label");
    // A plan of usual strength has nothing to say, one for a weak label has.
    assert!(!told(&unit, &plan(&unit)).contains("times the label"));
    let mut weak = catalog().product("two-part-a").unwrap().clone();
    weak.label_rate = weak.label_rate.map(|rate| pourcast::garden::LabelRate { per_l: 0.5, ..rate });
    let mut doubled = unit;
    doubled.shelf[0] = own(weak, Tool::SYRINGE_10);
    let plan = plan(&doubled);
    assert!(plan.steps[0].cautions.iter().any(|words| words.contains("times the label")), "{:?}", plan.steps[0]);
}

#[test]
fn what_would_run_over_says_how_much_to_take_out() {
    let mut full = unit();
    (full.tank_l, full.level_l) = (20.0, 20.0);
    let full = read(full, Some(7.6), Some(0.4));
    let plan = plan(&full);
    let ml: f64 = plan.pours().iter().map(|(_, amount)| amount).sum();
    let words = plan.steps[0].cautions[0].clone();
    println!("  {ml:.0} mL: {words}");
    assert!(words.contains("20 L has no room") && words.contains("Take"), "{words}");
    let out_l: f64 = words.split("Take ").nth(1).unwrap().split(' ').next().unwrap().parse().unwrap();
    assert!(out_l >= ml / 1e3 && out_l < ml / 1e3 + 0.11, "{out_l} L for {ml} mL");
    // With room there is nothing to say.
    assert!(!told(&unit(), &super::plan(&read(unit(), Some(7.6), Some(0.4)))).contains("no room"));
}

#[test]
fn a_shelf_without_acid_says_what_would_help() {
    let mut bare = unit();
    bare.shelf.truncate(2);
    let bare = read(bare, Some(7.6), Some(1.5));
    let plan = plan(&bare);
    assert!(matches!(&plan.steps[0].action, Action::CannotHelp { needed } if needed.contains("pH-lowering")));
    let why = plan.steps[0].why.join(" ");
    assert!(why.contains("What would help") && why.contains("rain") && why.contains("no substitute"), "{why}");
}

#[test]
fn an_acid_with_nothing_but_a_spoon_is_not_planned() {
    let mut spoon = unit();
    spoon.shelf[2].tool = Tool::TEASPOON;
    let plan = plan(&read(spoon, Some(7.4), Some(1.5)));
    assert!(
        matches!(&plan.steps[0].action, Action::CannotHelp { needed } if needed.contains("syringe") && needed.contains("dropper")),
        "{plan:?}"
    );
    assert!(plan.steps[0].why[0].contains("40 %"), "{plan:?}");
}

/// Two syringes at hand: the plan takes the one that meets its dose.
#[test]
fn of_two_syringes_the_plan_takes_the_better_one() {
    let mut small = unit();
    (small.tank_l, small.level_l) = (2.0, 1.6);
    small.log = vec![LogEntry::Refill { at_s: NOW_S - 7200, water_l: 1.6 }];
    let small = read(small, Some(7.4), Some(1.5));
    let one = plan(&small);
    assert!(pour(&one.steps[0]).dilution.is_some(), "{}", told(&small, &one));
    let mut both = small.clone();
    both.shelf[2].also = vec![Tool::SYRINGE_1];
    let two = plan(&both);
    let measured = pour(&two.steps[0]);
    assert_eq!((measured.tool, measured.dilution), (Tool::SYRINGE_1, None), "{}", told(&both, &two));
    let steps = pour(&one.steps[0]).dilution_steps();
    assert!(steps[0].starts_with("Water first") && steps.len() == 4, "{steps:?}");
}

/// Water from the sky and a feed without calcium, with these supplements on the shelf in this order.
fn with_supplements(supplements: Vec<ShelfItem>) -> Unit {
    let mut unit = Unit { source_water: SourceWater::of_kind(WaterKind::Rain), ..unit() };
    unit.shelf =
        vec![shipped("one-part-powder", Tool::Scale { mark_g: 0.1 }), shipped("phosphoric-down", Tool::SYRINGE_10)];
    unit.shelf.extend(supplements);
    read(unit, None, Some(0.03))
}

fn of_label(id: &str, label: &LabelAnalysis) -> ShelfItem {
    let like = catalog().product("cal-mag").unwrap().clone();
    let strength = Strength::Label(Box::new(*label));
    own(Product { id: id.to_owned(), name: id.to_owned(), strength, ..like }, Tool::SYRINGE_10)
}

/// The one supplement that the plan pours, by its id.
fn supplement_of(unit: &Unit) -> String {
    let feed = ["one-part-powder", "phosphoric-down"];
    let plan = plan(unit);
    let mut pours = plan.pours().into_iter().map(|(id, _)| id).filter(|id| !feed.contains(&id.as_str()));
    let supplement = pours.next().unwrap_or_else(|| panic!("{}", told(unit, &plan)));
    assert_eq!(pours.next(), None, "one of them at a time");
    supplement
}

/// Of two that bring calcium the person's order decides, whether with nitrogen or without; what brings magnesium alone, or mostly,
/// mends no want of calcium, wherever it stands.
#[test]
fn of_several_supplements_the_plan_takes_the_first_that_serves() {
    let scale = Tool::Scale { mark_g: 0.1 };
    let calmag = || shipped("cal-mag", Tool::SYRINGE_10);
    let nitrate = || shipped("calcium-nitrate", scale);
    let epsom = || shipped("epsom-salt", scale);
    let without_nitrogen =
        || of_label("no nitrogen", &LabelAnalysis { ca: Some(6.0), mg: Some(1.0), ..LabelAnalysis::default() });
    let mostly_magnesium =
        || of_label("magnesium", &LabelAnalysis { ca: Some(0.5), mg: Some(4.0), ..LabelAnalysis::default() });
    for (shelf, planned) in [
        (vec![calmag(), nitrate()], "cal-mag"),
        (vec![nitrate(), calmag()], "calcium-nitrate"),
        (vec![without_nitrogen(), nitrate()], "no nitrogen"),
        (vec![nitrate(), without_nitrogen()], "calcium-nitrate"),
        (vec![epsom(), calmag(), nitrate()], "cal-mag"),
        (vec![mostly_magnesium(), epsom(), nitrate()], "calcium-nitrate"),
    ] {
        assert_eq!(supplement_of(&with_supplements(shelf)), planned);
    }
    // Where none serves, none is planned.
    let plan = plan(&with_supplements(vec![epsom(), mostly_magnesium()]));
    assert!(
        plan.pours().iter().all(|(id, _)| id == "one-part-powder" || id == "phosphoric-down"),
        "{:?}",
        plan.pours()
    );
}

/// What no plan asks for is counted all the same where a hand pours it: in a what-if, and in the log.
#[test]
fn a_supplement_beside_the_planned_one_is_counted() {
    let scale = Tool::Scale { mark_g: 0.1 };
    let unit = with_supplements(vec![shipped("cal-mag", Tool::SYRINGE_10), shipped("epsom-salt", scale)]);
    let planner = Planner::new(&unit, &catalog(), NOW_S, SEED).unwrap();
    // 10 g of Epsom salt (246.47 g/mol, IUPAC 2021) in 20 L are 2.03 mmol/L: by the rule of ten meq/L a mS/cm (USDA Handbook 60,
    // 1954; ion pairs take a fifth of a sulfate's) 0.3 to 0.45 mS/cm.
    let landing = planner.landing(&[("epsom-salt".to_owned(), 10.0)]).unwrap();
    let rise = landing.just_mixed.ec_ms_cm - landing.start.ec_ms_cm;
    println!("  10 g in 20 L raise EC by {rise:.3}");
    assert!((0.3..0.45).contains(&rise), "{rise}");
    // Logged before the reading: the feed still needed is less by as much EC, and nothing is said to be unknown.
    let with_log = |log: bool| {
        let mut unit = Unit { log: vec![LogEntry::Refill { at_s: NOW_S - 7200, water_l: 20.0 }], ..unit.clone() };
        if log {
            unit = poured(unit, "epsom-salt", 10.0, 60);
        }
        read(unit, Some(6.5), Some(0.03 + rise))
    };
    let nitrogen = |unit: &Unit| {
        let plan = super::help::advised(unit);
        assert!(!told(unit, &plan).contains("is not counted"), "{}", told(unit, &plan));
        let planner = Planner::new(unit, &catalog(), NOW_S, SEED).unwrap();
        planner.belief().state.feed_per_kg
    };
    let (told_of, unknown) = (nitrogen(&with_log(true)), nitrogen(&with_log(false)));
    println!("  feed believed in the tank: {told_of:.3} g/kg with the log, {unknown:.3} without");
    assert!(told_of < 0.25 * unknown, "EC that the log explains is no feed: {told_of} against {unknown}");
}

/// A product's notes stand with its step where a person would read or do otherwise for them, and nowhere else.
#[test]
fn notes_that_change_what_a_person_does_stand_with_the_step() {
    let catalog = catalog();
    let urea = LabelAnalysis {
        total_n: Some(10.0),
        nitrate_n: Some(4.0),
        urea_n: Some(6.0),
        p2o5: Some(4.0),
        k2o: Some(6.0),
        ..LabelAnalysis::default()
    };
    // Without a density, which is noted on the shelf alone: the range of the amount tells of it.
    let like = catalog.product("one-part-liquid").unwrap().clone();
    let form = Form::Liquid { density_g_ml: None };
    let feed = Product { id: "urea feed".to_owned(), form, strength: Strength::Label(Box::new(urea)), ..like };
    let of_acid = |percent: f64, acid: AcidKind| {
        let like = catalog.product("phosphoric-down").unwrap().clone();
        let strength = Strength::Acid { acid, concentration: Concentration::MassPercent(percent) };
        own(Product { id: "down".to_owned(), form, strength, ..like }, Tool::SYRINGE_1)
    };
    let mut fed = read(unit(), Some(7.6), Some(0.5));
    fed.shelf = vec![own(feed, Tool::SYRINGE_10)];
    let feeding = plan(&fed);
    assert!(feeding.steps[0].why.iter().any(|why| why.starts_with("Urea does not show on an EC meter")));
    let text = told(&fed, &feeding).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("Urea does not show on an EC meter: the reading understates this feed"), "{text}");
    assert!(!text.contains("density"), "{text}");
    for (acid, words, cautioned) in
        [(of_acid(20.0, AcidKind::Citric), "eaten by microbes", false), (of_acid(40.0, AcidKind::Phosphoric), "", true)]
    {
        let mut unit = read(unit(), Some(7.6), Some(1.5));
        unit.shelf[2] = acid;
        let plan = plan(&unit);
        let step =
            plan.steps.iter().find(|step| step.edge.is_some()).unwrap_or_else(|| panic!("{}", told(&unit, &plan)));
        assert_eq!(step.why.iter().any(|why| why.contains("eaten by microbes")), !words.is_empty(), "{step:?}");
        assert_eq!(step.cautions.iter().any(|caution| caution.contains("above 25 %")), cautioned, "{step:?}");
    }
}

/// A bottle that ran out is still what was poured from it: with a new acid on the shelf, the acid of yesterday counts as told, and one
/// that was poured since the reading asks for a reading first.
#[test]
fn what_was_poured_from_a_bottle_that_is_used_up_still_counts() {
    let water =
        SourceWater { ec_ms_cm: Some(0.6), alkalinity_meq_l: Some(3.0), ..SourceWater::of_kind(WaterKind::HardTap) };
    let tub = |used_up: bool, poured_ml: f64| {
        let mut unit = Unit { source_water: water, ..unit() };
        unit.shelf =
            vec![shipped("one-part-powder", Tool::Scale { mark_g: 0.1 }), shipped("phosphoric-down", Tool::SYRINGE_10)];
        unit.log = vec![LogEntry::Refill { at_s: NOW_S - 7200, water_l: 20.0 }];
        if poured_ml > 0.0 {
            unit = poured(unit, "phosphoric-down", poured_ml, 60);
        }
        if used_up {
            assert!(unit.take_off(1), "the log speaks of it");
            unit.shelf.insert(0, shipped("citric-down", Tool::SYRINGE_10));
        }
        unit
    };
    let alkalinity = |unit: &Unit| {
        let planner = Planner::new(unit, &catalog(), NOW_S, SEED).unwrap();
        let mut all: Vec<f64> = planner.belief().members.iter().map(|m| m.tank.totals.alkalinity() * 1e3).collect();
        all.sort_by(f64::total_cmp);
        all[all.len() / 2]
    };
    // 15 mL of 24 % phosphoric acid (1.14 g/mL, 98.0 g/mol) bring 42 mmol: with one proton each 2.1 meq/L in 20 L.
    let reading = |unit: Unit| read(unit, None, Some(0.7));
    let (none, at_hand, used_up) = (
        alkalinity(&reading(tub(false, 0.0))),
        alkalinity(&reading(tub(false, 15.0))),
        alkalinity(&reading(tub(true, 15.0))),
    );
    println!("  alkalinity {none:.2} meq/L without acid, {at_hand:.2} with it, {used_up:.2} with the bottle used up");
    assert!((none - at_hand - 2.1).abs() < 0.3 && (used_up - at_hand).abs() < 0.15);
    assert!(
        !told(&reading(tub(true, 15.0)), &super::help::advised(&reading(tub(true, 15.0)))).contains("is not counted")
    );

    // Since the reading: nobody pours the new acid onto the old one before a reading.
    let mut since = tub(false, 0.0);
    let reading = Reading { at_s: NOW_S - 600, ph: Some(7.6), ec_ms_cm: Some(1.4), temperature_c: None, level_l: None };
    since.log.push(LogEntry::Reading(reading));
    since = poured(since, "phosphoric-down", 5.0, 5);
    assert!(since.take_off(1));
    since.shelf.insert(0, shipped("citric-down", Tool::SYRINGE_10));
    let plan = super::help::advised(&since);
    assert!(matches!(plan.steps[0].action, Action::Read { .. }), "{:?}", plan.steps);
    let said = told(&since, &plan);
    assert!(said.contains("poured since the last reading"), "{said}");
}
