//! A feed of which nobody knows the strength: little at first, and sharper after the first reading.

use pourcast::chem::{Carbon, Medium, Mobilities};
use pourcast::garden::{Form, Strength};

use super::*;

/// The unit with one dry feed in place of the shipped ones, of this strength.
fn with_feed(strength: Strength, tool: Tool) -> Unit {
    let powder = catalog().product("one-part-powder").unwrap().clone();
    let feed = Product {
        id: "tin".to_owned(),
        name: "Tin without a label".to_owned(),
        form: Form::Powder,
        strength,
        label_rate: None,
        ..powder
    };
    let mut unit = unit();
    unit.shelf.drain(..2);
    unit.shelf.insert(0, own(feed, tool));
    unit
}

fn feed_pour(plan: &Plan) -> Measured {
    let pours = plan.steps.iter().filter_map(|step| match &step.action {
        Action::Pour(measured) if measured.id == "tin" => Some(measured.clone()),
        _ => None,
    });
    pours.into_iter().next().unwrap_or_else(|| panic!("no feed: {:?}", plan.steps))
}

/// What a pen shows after so much of the tin went in, when it is `factor` times as strong as our guess.
fn shown(unit: &Unit, amount: f64, factor: f64) -> f64 {
    let catalog = catalog();
    let water = unit.source_water.composition(catalog.water(unit.source_water.kind).unwrap()).unwrap();
    let moles = catalog.product_of(&unit.shelf[0]).unwrap().dissolved().unwrap().moles;
    let totals = water.totals.plus_scaled(&moles, factor * amount / unit.level_l);
    let medium = Medium::standard();
    let ec = medium.solve(&totals, Carbon::Kept).unwrap().conductivity_us_cm(medium, Mobilities::Full) / 1000.0;
    (ec * 100.0).round() / 100.0
}

/// 1 in 10 below to 1 in 10 above of what the feed is believed to be times our guess, as a ratio.
fn doubt(unit: &Unit) -> f64 {
    let planner = Planner::new(unit, &catalog(), NOW_S, SEED).unwrap();
    let at = |p: f64| planner.belief().quantile(p, |member| member.feed_factor);
    at(0.9) / at(0.1)
}

#[test]
fn a_scoop_of_something_is_begun_with_little_and_learned_from() {
    let scale = Tool::Scale { mark_g: 0.1 };
    let fresh = with_feed(Strength::UNKNOWN_FEED, scale);
    let start = read(fresh.clone(), Some(7.6), Some(0.4));
    let first = feed_pour(&plan(&start));
    // The same powder with its middle strength on a label: more at once, for it is known better.
    let label = pourcast::garden::LabelAnalysis {
        nitrate_n: Some(9.0),
        ammonium_n: Some(0.8),
        p2o5: Some(5.4),
        k2o: Some(16.4),
        ca: Some(6.2),
        mg: Some(1.7),
        ..Default::default()
    };
    let labelled = read(with_feed(Strength::Label(Box::new(label)), scale), Some(7.6), Some(0.4));
    let sure = feed_pour(&plan(&labelled));
    println!("  {:.1} g of a guess, {:.1} g by a label; doubt {:.2}", first.amount, sure.amount, doubt(&start));
    assert!(first.amount < 0.7 * sure.amount, "{} {}", first.amount, sure.amount);

    let zone = start.common_zone(&catalog(), 0.4).unwrap().ec_in_tank_ms_cm;
    for factor in [0.5, 0.75, 1.0, 1.5, 2.0] {
        // Whatever is in the tin, the first pour stays below the far edge.
        let once = shown(&fresh, first.amount, factor);
        assert!(once < zone.1, "{factor}: {once} of {zone:?}");
        let mut fed = fresh.clone();
        fed.log.push(LogEntry::Reading(Reading {
            at_s: NOW_S - 3600,
            ph: Some(7.6),
            ec_ms_cm: Some(0.4),
            temperature_c: Some(22.0),
            level_l: None,
        }));
        let fed = read(poured(fed, "tin", first.amount, 50), Some(6.6), Some(once));
        let (before, after) = (doubt(&start), doubt(&fed));
        // The reading says what a gram does: no more doubt than a label leaves and a little for the volume.
        assert!(after < 0.6 * before && after < 1.6, "{factor}: {before} {after}");
        if once >= zone.0 {
            continue;
        }
        let plan = plan(&fed);
        let second = feed_pour(&plan);
        let twice = shown(&fresh, first.amount + second.amount, factor);
        println!("  × {factor}: {once:.2} after {:.1} g, {twice:.2} after {:.1} g more", first.amount, second.amount);
        assert!(twice > zone.0 && twice < zone.1, "{factor}: {twice} of {zone:?}\n{}", told(&fed, &plan));
    }
}

/// By an unweighed scoop nobody knows the grams either: the doubt is wider still, and a pour is still possible.
#[test]
fn an_unweighed_scoop_of_something_is_usable() {
    let scoop = Tool::Scoop { grams: 5.0, scatter: 0.35 };
    let start = read(with_feed(Strength::UNKNOWN_FEED, scoop), Some(7.6), Some(0.4));
    let plan = plan(&start);
    let first = feed_pour(&plan);
    let weighed = feed_pour(&super::plan(&read(
        with_feed(Strength::UNKNOWN_FEED, Tool::Scoop { grams: 1.0, scatter: 0.1 }),
        Some(7.6),
        Some(0.4),
    )));
    println!("  {} g by an unweighed scoop, {} g by a weighed one", first.amount, weighed.amount);
    assert!(first.amount >= 5.0 && first.amount % 5.0 < 1e-9, "{first:?}");
    assert!(told(&start, &plan).contains("scoop"), "{}", told(&start, &plan));
}

/// A feed told by how far it raises EC stands between a label and a guess.
#[test]
fn a_rise_of_ec_is_planned_with() {
    let tool = Tool::Scale { mark_g: 0.1 };
    let start = read(with_feed(Strength::RaisesEc { ms_cm_per_unit_l: 1.0 }, tool), Some(7.6), Some(0.4));
    let first = feed_pour(&plan(&start));
    let once = shown(&start, first.amount, 1.0);
    let zone = start.common_zone(&catalog(), 0.4).unwrap().ec_in_tank_ms_cm;
    println!("  {:.1} g: {once:.2} in {zone:?}", first.amount);
    assert!(once > zone.0 && once < zone.1, "{once} {zone:?}");
    assert!(doubt(&start) < 0.5 * doubt(&read(with_feed(Strength::UNKNOWN_FEED, tool), Some(7.6), Some(0.4))));
}
