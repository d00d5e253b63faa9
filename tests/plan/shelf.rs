//! What shelf, label and rim say of a plan.

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
