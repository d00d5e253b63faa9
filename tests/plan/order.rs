//! What is said of a pour's place in a list. The order itself is common practice, no source: supplement, feed part by part,
//! then pH.

use pourcast::garden::{SourceWater, Tool, Unit, WaterKind};
use pourcast::plan::{Idea, Planner};

use super::{NOW_S, SEED, catalog, read, shipped, unit};

const INGREDIENTS: [&str; 4] = ["cal-mag", "two-part-a", "two-part-b", "phosphoric-down"];

fn planner() -> Planner {
    let mut unit = Unit { source_water: SourceWater::of_kind(WaterKind::ReverseOsmosis), ..unit() };
    unit.shelf.push(shipped("cal-mag", Tool::SYRINGE_10));
    Planner::new(&read(unit, Some(6.9), Some(0.6)), &catalog(), NOW_S, SEED).unwrap()
}

/// Ten of each in an order, but nothing of those that are `none`.
fn list(planner: &Planner, order: [&str; 4], none: &[&str]) -> Idea {
    let mut idea = Idea::default();
    for id in ["cal-mag", "two-part-a", "phosphoric-down"] {
        idea.add(planner, id);
    }
    idea.pours.sort_by_key(|pour| order.iter().position(|id| *id == pour.product_id));
    for pour in &mut idea.pours {
        pour.amount = if none.contains(&pour.product_id.as_str()) { 0.0 } else { 10.0 };
    }
    assert_eq!(idea.pours.len(), order.len());
    idea
}

/// The first word of what is said of each, in the order of the list.
fn said(planner: &Planner, idea: &Idea) -> Vec<Option<&'static str>> {
    let first = |words: &'static str| words.split(' ').next().unwrap_or_default();
    idea.pours.iter().map(|pour| idea.out_of_place(planner, pour.key).map(first)).collect()
}

#[test]
fn the_usual_order_needs_no_words() {
    let planner = planner();
    let usual = list(&planner, INGREDIENTS, &[]);
    assert_eq!(said(&planner, &usual), [None; 4]);
}

#[test]
fn a_worse_order_is_said_beside_the_pour_that_is_out_of_place() {
    let planner = planner();
    let [calmag, a, b, acid] = INGREDIENTS;
    for (order, words) in [
        ([acid, calmag, a, b], [Some("Acid"), None, None, None]),
        ([calmag, a, acid, b], [None, None, Some("Acid"), Some("The")]),
        ([a, b, calmag, acid], [None, None, Some("Calcium"), None]),
        ([a, calmag, b, acid], [None, Some("Calcium"), Some("The"), None]),
        ([calmag, b, a, acid], [None; 4]),
    ] {
        assert_eq!(said(&planner, &list(&planner, order, &[])), words, "{order:?}");
    }
}

/// Silicate belongs first, wherever else it stands; alone it is well anywhere.
#[test]
fn silicate_belongs_before_all_else() {
    let mut fed = unit();
    fed.shelf.push(shipped("potassium-silicate", Tool::SYRINGE_10));
    let planner = Planner::new(&read(fed, Some(6.9), Some(0.6)), &catalog(), NOW_S, SEED).unwrap();
    let mut idea = Idea::default();
    for id in ["phosphoric-down", "two-part-a", "potassium-silicate"] {
        idea.add(&planner, id);
    }
    idea.pours.iter_mut().for_each(|pour| pour.amount = 5.0);
    let order: Vec<_> = idea.pours.iter().map(|pour| pour.product_id.as_str()).collect();
    assert_eq!(order, ["potassium-silicate", "two-part-a", "two-part-b", "phosphoric-down"]);
    assert_eq!(said(&planner, &idea), [None; 4]);
    let key = idea.pours[0].key;
    for places in 1..4 {
        idea.move_by(key, 1);
        let words = idea.out_of_place(&planner, key).unwrap();
        assert!(words.starts_with("Silicate belongs first"), "{places}: {words}");
    }
}

#[test]
fn what_is_not_poured_is_in_nobodys_way() {
    let planner = planner();
    let [calmag, a, b, acid] = INGREDIENTS;
    let only_acid = list(&planner, [acid, calmag, a, b], &[calmag, a, b]);
    assert_eq!(said(&planner, &only_acid), [None; 4]);
    let no_acid = list(&planner, [calmag, a, acid, b], &[acid]);
    assert_eq!(said(&planner, &no_acid), [None; 4]);
    assert_eq!(no_acid.out_of_place(&planner, 7), None, "not in the list");
}
