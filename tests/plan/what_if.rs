//! What-ifs on the map: a dose by its place on its own curve, the landing by the doses that reach it, the spread while a
//! hand drags, the water some hours later, and where not to go. Each inverse is checked against the forward model, found
//! anew by bisection or by trying every amount on a grid; the chemistry itself is checked in `chem` and `dose`.

use pourcast::chem::{Carbon, Mineral};
use pourcast::dose::{Point, Warning};
use pourcast::garden::{SourceWater, Tool, Unit, UnitKind, WaterKind};
use pourcast::plan::{Idea, Live, Planner, SEED, Side, Snap, mark_at};

use super::{NOW_S, catalog, read, shipped, unit};

/// pH and mS/cm of one screen point on a map of three pH units and 1.6 mS/cm at 1280x800.
const SCALE: (f64, f64) = (3.0 / 530.0, 1.6 / 440.0);

fn planner(unit: &Unit) -> Planner {
    Planner::new(unit, &catalog(), NOW_S, SEED).unwrap()
}

/// A fed tank that is too sweet for lettuce.
fn fed() -> Unit {
    read(unit(), Some(7.1), Some(1.0))
}

/// Both parts of the feed, acid, base.
fn idea(planner: &Planner, amounts: [f64; 4]) -> Idea {
    let mut idea = Idea::default();
    for id in ["two-part-a", "phosphoric-down", "carbonate-up"] {
        idea.add(planner, id);
    }
    for (id, amount) in ["two-part-a", "two-part-b", "phosphoric-down", "carbonate-up"].into_iter().zip(amounts) {
        let pour = idea.pours.iter_mut().find(|pour| pour.product_id == id).unwrap();
        pour.amount = amount;
        pour.most = pour.most.max(2.0 * amount);
    }
    idea
}

fn key(idea: &Idea, id: &str) -> u32 {
    idea.pours.iter().find(|pour| pour.product_id == id).unwrap().key
}

fn amount(idea: &Idea, id: &str) -> f64 {
    idea.pours.iter().find(|pour| pour.product_id == id).unwrap().amount
}

fn landing(planner: &Planner, idea: &Idea) -> Point {
    planner.landing(&idea.amounts()).unwrap().just_mixed
}

#[test]
fn a_dose_dragged_to_a_ph_is_the_dose_that_bisection_finds() {
    let planner = planner(&fed());
    let idea = idea(&planner, [10.0, 10.0, 0.0, 0.0]);
    let acid = key(&idea, "phosphoric-down");
    for wanted in [6.8, 6.3, 5.9, 5.2] {
        let (mut low, mut high) = (0.0, idea.pours.iter().find(|pour| pour.key == acid).unwrap().most);
        for _ in 0..60 {
            let middle = f64::midpoint(low, high);
            let mut trial = idea.clone();
            trial.set(&planner, acid, middle, Snap::Free);
            if landing(&planner, &trial).ph > wanted { low = middle } else { high = middle }
        }
        let mut there = idea.clone();
        there.set(&planner, acid, low, Snap::Free);
        let to = landing(&planner, &there);
        let free = planner.dragged(&idea, acid, to, SCALE, Snap::Free).unwrap();
        let dose = amount(&free, "phosphoric-down");
        assert!((dose - low).abs() < 1e-4 * low.max(0.1), "pH {wanted}: {dose} for {low}");
        let snapped = planner.dragged(&idea, acid, to, SCALE, Snap::Nearest).unwrap();
        let measured = amount(&snapped, "phosphoric-down");
        let mark = mark_at(&planner, "phosphoric-down", low);
        assert!((measured - low).abs() <= 0.5 * mark + 1e-9, "pH {wanted}: {measured} for {low}, mark {mark}");
        assert_eq!(
            snapped.pours.iter().map(|p| p.key).collect::<Vec<_>>(),
            idea.pours.iter().map(|p| p.key).collect::<Vec<_>>()
        );
    }
}

#[test]
fn a_feed_in_parts_is_dragged_as_one_and_a_place_beside_the_curve_gives_its_nearest_point() {
    let planner = planner(&fed());
    let idea = idea(&planner, [20.0, 20.0, 2.0, 0.0]);
    for id in ["two-part-a", "two-part-b"] {
        let rail = planner.rail(&idea, key(&idea, id)).unwrap();
        assert!(rail.points.len() >= 25 && rail.points.len() <= 97);
        assert!(rail.points.windows(2).all(|pair| pair[0].0 < pair[1].0));
        let (aimed, at) = rail.points[rail.points.len() / 3];
        let dragged = planner.dragged(&idea, key(&idea, id), at, SCALE, Snap::Free).unwrap();
        assert!((amount(&dragged, id) - aimed).abs() < 1e-3 * aimed, "{id}: {} for {aimed}", amount(&dragged, id));
        assert!(
            (amount(&dragged, "two-part-a") - amount(&dragged, "two-part-b")).abs() < 1e-9,
            "parts go by their ratio"
        );
        assert!((amount(&dragged, "phosphoric-down") - 2.0).abs() < 1e-12);

        // Off the curve, no point of the rail is nearer to the eye than the one that was found.
        let aside = Point { ph: at.ph + 0.3, ec_ms_cm: at.ec_ms_cm + 0.02 };
        let dragged = planner.dragged(&idea, key(&idea, id), aside, SCALE, Snap::Free).unwrap();
        let off = |p: Point| ((p.ph - aside.ph) / SCALE.0).hypot((p.ec_ms_cm - aside.ec_ms_cm) / SCALE.1);
        let least = rail.points.iter().map(|(_, p)| off(*p)).fold(f64::INFINITY, f64::min);
        let mut tip = idea.clone();
        tip.set(&planner, key(&idea, id), amount(&dragged, id), Snap::Free);
        let place = tip.pours.iter().position(|pour| pour.product_id == id).unwrap();
        let found = planner.landing(&tip.amounts()[..=place]).unwrap().just_mixed;
        assert!(off(found) <= least + 1e-6, "{id}: {} against {least}", off(found));
    }
}

#[test]
fn ends_of_a_rail_hold() {
    let planner = planner(&fed());
    let idea = idea(&planner, [10.0, 10.0, 2.0, 0.0]);
    let acid = key(&idea, "phosphoric-down");
    let most = idea.pours.iter().find(|pour| pour.key == acid).unwrap().most;
    let drag = |ph: f64| {
        let to = Point { ph, ec_ms_cm: 1.2 };
        amount(&planner.dragged(&idea, acid, to, SCALE, Snap::Nearest).unwrap(), "phosphoric-down")
    };
    assert!(drag(12.0) < 1e-12, "never below nothing");
    assert!(drag(0.5) <= most && drag(0.5) > 0.9 * most, "never past the most");
    assert_eq!(planner.dragged(&idea, 77, Point::default(), SCALE, Snap::Nearest).unwrap(), idea, "an unknown key");
}

#[test]
fn the_landing_is_steered_to_where_it_can_go() {
    let planner = planner(&fed());
    let idea = idea(&planner, [20.0, 20.0, 2.0, 0.0]);
    let start = landing(&planner, &idea);
    for (ph, ec) in [(-0.5, 0.3), (0.2, -0.2), (-0.8, 0.0), (0.0, 0.5), (0.0, -0.1)] {
        let to = Point { ph: start.ph + ph, ec_ms_cm: start.ec_ms_cm + ec };
        let steered = planner.steered(&idea, to, SCALE, Snap::Free).unwrap();
        assert_eq!(steered.held_by, None, "{ph} {ec}: {steered:?}");
        let there = landing(&planner, &steered.idea);
        assert!((there.ph - to.ph).abs() < 0.01 && (there.ec_ms_cm - to.ec_ms_cm).abs() < 0.01, "{to:?} {there:?}");
        assert!(steered.idea.pours.iter().all(|pour| (0.0..=pour.most).contains(&pour.amount)));
        assert!((steered.at.ph - there.ph).abs() < 1e-6);
        // Snapped, each dose is within a mark of the exact one: the mark that the tool has at either end, as a pour that is
        // not in use is not begun for less than half a mark.
        let snapped = planner.steered(&idea, to, SCALE, Snap::Nearest).unwrap().idea;
        for ((a, b), before) in snapped.pours.iter().zip(&steered.idea.pours).zip(&idea.pours) {
            let mark = mark_at(&planner, &b.product_id, b.amount).max(mark_at(&planner, &b.product_id, before.amount));
            assert!((a.amount - b.amount).abs() <= mark + 1e-9, "{}: {} for {}", a.product_id, a.amount, b.amount);
        }
    }
}

#[test]
fn no_other_doses_get_as_near_with_less_change() {
    // Feed (both parts as one) and acid: two unknowns, so every other way there can be tried.
    let planner = planner(&fed());
    let mut idea = idea(&planner, [20.0, 20.0, 2.0, 0.0]);
    let base = key(&idea, "carbonate-up");
    idea.remove(base);
    let start = landing(&planner, &idea);
    // Within reach, and beyond it: EC can't fall below what no feed leaves.
    for to in [
        Point { ph: start.ph - 0.4, ec_ms_cm: start.ec_ms_cm + 0.2 },
        Point { ph: start.ph - 0.2, ec_ms_cm: start.ec_ms_cm - 2.0 },
        Point { ph: start.ph + 1.5, ec_ms_cm: start.ec_ms_cm + 0.1 },
    ] {
        let steered = planner.steered(&idea, to, SCALE, Snap::Free).unwrap();
        let off = |p: Point| ((p.ph - to.ph) / SCALE.0).hypot((p.ec_ms_cm - to.ec_ms_cm) / SCALE.1);
        let found = off(landing(&planner, &steered.idea));
        let mut best = f64::INFINITY;
        let (feed_most, acid_most) = (idea.pours[0].most, idea.pours[2].most);
        for i in 0..=40 {
            for j in 0..=40 {
                let mut trial = idea.clone();
                trial.set(&planner, idea.pours[0].key, feed_most * f64::from(i) / 40.0, Snap::Free);
                trial.set(&planner, idea.pours[2].key, acid_most * f64::from(j) / 40.0, Snap::Free);
                best = best.min(off(landing(&planner, &trial)));
            }
        }
        assert!(found <= best + 0.5, "{to:?}: {found} points off, a grid gets {best}");
        assert_eq!(steered.held_by.is_some(), found > 3.0, "{found} {:?}", steered.held_by);
    }
}

#[test]
fn what_holds_a_landing_back_is_said() {
    let planner = planner(&fed());
    let mut idea = idea(&planner, [20.0, 20.0, 2.0, 0.0]);
    let start = landing(&planner, &idea);
    let held = |idea: &Idea, ph: f64, ec_ms_cm: f64| {
        let to = Point { ph: start.ph + ph, ec_ms_cm: start.ec_ms_cm + ec_ms_cm };
        planner.steered(idea, to, SCALE, Snap::Nearest).unwrap().held_by.unwrap_or_default()
    };
    assert!(held(&idea, 0.0, -3.0).contains("only thinner water"), "{}", held(&idea, 0.0, -3.0));
    assert!(held(&idea, 0.0, 9.0).contains("ends at"), "{}", held(&idea, 0.0, 9.0));
    let base = key(&idea, "carbonate-up");
    idea.remove(base);
    assert!(held(&idea, 3.0, 0.0).contains("raises pH"), "{}", held(&idea, 3.0, 0.0));
    let acid = key(&idea, "phosphoric-down");
    idea.set_locked(&planner, acid, true);
    assert!(held(&idea, -1.0, 0.0).contains("is locked"), "{}", held(&idea, -1.0, 0.0));
    let to = Point { ph: start.ph - 1.0, ec_ms_cm: start.ec_ms_cm };
    let steered = planner.steered(&idea, to, SCALE, Snap::Nearest).unwrap();
    assert!((amount(&steered.idea, "phosphoric-down") - 2.0).abs() < 1e-12, "a locked pour stays");
    let feed = key(&idea, "two-part-b");
    idea.set_locked(&planner, feed, true);
    assert!(idea.pours.iter().all(|pour| pour.locked), "parts of a feed are locked together");
    assert_eq!(held(&idea, -1.0, 0.0), "every pour is locked");
    assert!(held(&Idea::default(), -1.0, 0.0).contains("nothing"));
}

#[test]
fn steering_is_the_same_each_time_and_home_is_home() {
    let planner = planner(&fed());
    let idea = idea(&planner, [20.0, 20.0, 2.0, 0.0]);
    let to = Point { ph: 6.0, ec_ms_cm: 1.7 };
    let one = planner.steered(&idea, to, SCALE, Snap::Nearest).unwrap();
    assert_eq!(one, planner.steered(&idea, to, SCALE, Snap::Nearest).unwrap());
    let home = planner.steered(&idea, landing(&planner, &idea), SCALE, Snap::Nearest).unwrap();
    assert_eq!(home.idea, idea);
}

/// The spread in a hurry against the one that the worker works out, along a drag and after jumps.
#[test]
fn the_live_cloud_is_the_exact_one() {
    let planner = planner(&fed());
    let mut live = Live::new();
    let mut worst = (0.0_f64, 0.0_f64);
    for (i, acid) in [0.0, 0.4, 0.8, 1.6, 3.0, 6.0, 5.8, 1.0, 0.2].into_iter().enumerate() {
        let pours = idea(&planner, [15.0, 15.0, acid, 0.0]).amounts();
        let hours = if i % 2 == 0 { 0.0 } else { 4.0 };
        let quick = live.spread(&planner, &pours, hours);
        let spread = planner.spread(&pours);
        assert!((quick.below - spread.below).abs() < 1.5 / 256.0, "{acid}: {} {}", quick.below, spread.below);
        assert!((quick.above - spread.above).abs() < 1.5 / 256.0);
        let exact = if hours > 0.0 { planner.later(&pours, hours).unwrap().cloud } else { spread.cloud };
        assert_eq!(quick.cloud.contours.len(), exact.contours.len());
        for (a, b) in quick.cloud.contours.iter().zip(&exact.contours) {
            for (p, q) in a.outline.iter().zip(&b.outline) {
                worst = (worst.0.max((p.ph - q.ph).abs()), worst.1.max((p.ec_ms_cm - q.ec_ms_cm).abs()));
            }
        }
    }
    println!("live against exact outlines: {:.1e} pH, {:.1e} mS/cm", worst.0, worst.1);
    assert!(worst.0 < 1e-3 && worst.1 < 1e-3, "{worst:?}");
}

#[test]
fn the_water_later_lies_between_mixed_and_settled() {
    let planner = planner(&fed());
    let pours = idea(&planner, [15.0, 15.0, 3.0, 0.0]).amounts();
    let mixed = planner.landing(&pours).unwrap().just_mixed;
    let rest = planner.later(&pours, f64::INFINITY).unwrap();
    let mut before = planner.later(&pours, 0.0).unwrap();
    assert!((before.at.ph - mixed.ph).abs() < 1e-6, "no time has passed: {:?} {mixed:?}", before.at);
    for hours in [0.25, 1.0, 4.0, 24.0, 240.0] {
        let later = planner.later(&pours, hours).unwrap();
        assert!((later.at.ph - before.at.ph) * (rest.at.ph - mixed.ph) >= -1e-9, "it turned back at {hours} h");
        assert!(later.ph.0 <= later.ph.1 && later.ph.1 <= later.ph.2);
        before = later;
    }
    assert!(
        (before.at.ph - rest.at.ph).abs() < 0.02,
        "ten days are as good as for ever: {} {}",
        before.at.ph,
        rest.at.ph
    );
}

#[test]
fn beyond_its_edge_the_water_is_over_saturation_and_before_it_not() {
    let hard = Unit {
        source_water: SourceWater { ec_ms_cm: Some(0.8), ph: Some(7.6), ..SourceWater::of_kind(WaterKind::HardTap) },
        ..unit()
    };
    let planner = planner(&read(hard, Some(7.0), Some(1.8)));
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
        let index = |mineral| solved.saturation_index(medium, mineral).unwrap_or(f64::NEG_INFINITY);
        index(Mineral::Brushite).max(index(Mineral::Calcite) - 0.5)
    };
    assert!(over(near.ph + 0.4) > 0.25, "{near:?}: {}", over(near.ph + 0.4));
    assert!(over(near.ph - 0.4) < 0.35, "{near:?}: {}", over(near.ph - 0.4));
    println!("{} from pH {:.2} at EC {:.2}", cloudy.words, near.ph, near.ec_ms_cm);
}

#[test]
fn rim_and_still_jar_are_edges() {
    let planner = planner(&fed());
    let landing = planner.landing(&[]).unwrap();
    let limits = planner.limits(&landing).unwrap();
    let below = limits.iter().find(|limit| limit.side == Side::Below).unwrap();
    // 5 L of room in 25 L, filled with source water of 0.4 mS/cm: by proportion about (20 x 1.0 + 5 x 0.4) / 25.
    assert!((below.edge[0].ec_ms_cm - 0.88).abs() < 0.03 && below.is_hard, "{below:?}");
    assert!(below.words.contains("5 L of water"), "{}", below.words);
    assert!(below.edge[0].ec_ms_cm <= landing.start.ec_ms_cm);

    let full = Unit { level_l: 24.9, ..fed() };
    let limits = self::planner(&full).limits(&landing).unwrap();
    let above = limits.iter().find(|limit| limit.side == Side::Above && limit.is_hard).expect("100 mL of room");
    assert!(above.words.contains("mL of feed"), "{}", above.words);
    assert!(above.edge[0].ec_ms_cm > 1.0 && above.edge[0].ec_ms_cm < 3.0, "{above:?}");

    let jar = Unit { kind: UnitKind::StillJar, plants_in: true, ..fed() };
    let limits = self::planner(&jar).limits(&landing).unwrap();
    let below = limits.iter().find(|limit| limit.side == Side::Below).unwrap();
    assert!(below.words.contains("still jar"), "{}", below.words);
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
    let planner = planner(&small);
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

#[test]
fn keys_move_a_pour_by_the_mark_of_its_tool() {
    let planner = planner(&fed());
    let mut idea = idea(&planner, [20.0, 20.0, 3.0, 0.0]);
    let (acid, feed) = (key(&idea, "phosphoric-down"), key(&idea, "two-part-a"));
    assert!(idea.nudge(&planner, acid, 1));
    assert!((amount(&idea, "phosphoric-down") - 3.2).abs() < 1e-9);
    assert!(idea.nudge(&planner, acid, -2));
    assert!((amount(&idea, "phosphoric-down") - 2.8).abs() < 1e-9);
    assert!(idea.nudge(&planner, feed, 3));
    assert!((amount(&idea, "two-part-a") - 23.0).abs() < 1e-9 && (amount(&idea, "two-part-b") - 23.0).abs() < 1e-9);
    // Below five marks of the tool a dilution has finer ones; down at nothing it stays.
    let mut small = 0;
    while amount(&idea, "phosphoric-down") > 0.0 && small < 500 {
        let before = amount(&idea, "phosphoric-down");
        idea.nudge(&planner, acid, -1);
        assert!(amount(&idea, "phosphoric-down") < before, "stuck at {before}");
        small += 1;
    }
    assert!(amount(&idea, "phosphoric-down") < 1e-12);
    assert!(!idea.nudge(&planner, acid, -1));
    assert!(idea.nudge(&planner, acid, 1), "up again from nothing");
    assert!(amount(&idea, "phosphoric-down") > 0.0);
}
