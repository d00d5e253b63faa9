//! Feeds in two and three parts as a person tells them, and what is used up.

use egui::{Key, Role, Theme};
use egui_kittest::kittest::Queryable as _;
use pourcast::garden::{Catalog, Product, ProductRef};
use pourcast::store::Folders;
use rstest::rstest;

use super::clipping::{Scrolled, assert_nothing_clipped, assert_sheet_unclipped};
use super::flows::{Trial, window};
use super::pictures::{keep_of, word};

fn on_the_shelf(look: Theme) -> Trial {
    let mut trial = window(look);
    trial.begin();
    trial.press(Role::Tab, "Shelf");
    trial
}

/// Describes a bottle with 4 % nitrogen, as far as the button that keeps it.
fn bottle(trial: &mut Trial, name: &str) {
    trial.fill("Name of the product", name);
    trial.fill("Total N, %", "4");
}

/// Ids and amounts of the parts of what stands there by a name, in the order of pouring.
fn parts_of(trial: &Trial, name: &str) -> Vec<(String, f64)> {
    let (unit, catalog) = (trial.unit(), Catalog::shipped().expect("profiles"));
    let own = |product: &&Product| product.name == name;
    let product = unit.shelf.iter().filter_map(|item| catalog.product_of(item)).find(own).expect("on the shelf");
    unit.parts_of(product, &catalog).iter().map(|(part, amount)| (part.id.clone(), *amount)).collect()
}

fn found(all: &[(&str, f64)]) -> Vec<(String, f64)> {
    all.iter().map(|(id, amount)| ((*id).to_owned(), *amount)).collect()
}

/// Two bottles, the second described right after the first, in the ratio 2 to 3.
fn two_bottles(look: Theme) -> Trial {
    let mut trial = on_the_shelf(look);
    trial.press(Role::Button, "Describe a product");
    bottle(&mut trial, "Green A");
    trial.press(Role::Link, "Keep it, and describe another part next");
    // The first stands there already, and this one goes in after it.
    trial.harness.get_by_label("1. Green A");
    trial.fill("Amount of part 1, mL", "2");
    trial.fill("Amount of part 2, mL", "3");
    bottle(&mut trial, "Green B");
    trial.press(Role::Button, "Keep it on the shelf");
    trial
}

#[rstest]
fn two_bottles_are_told_of_each_other_and_planned_as_one(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = two_bottles(look);
    assert_eq!(parts_of(&trial, "Green A"), found(&[("green-a", 1.0), ("green-b", 1.5)]));
    trial
        .harness
        .get_all_by_label_contains("Poured in this order: 2 mL of Green A, then 3 mL of Green B")
        .next()
        .expect("told");
    trial.press(Role::Link, "Plan with Green A");
    let feed = trial.harness.state().outlook().expect("a plan").planner.knowledge().feed.clone().expect("a feed");
    let planned: Vec<(&str, f64)> = feed.parts.iter().map(|part| (part.pour.id.as_str(), part.ratio)).collect();
    assert_eq!(planned, [("green-a", 1.0), ("green-b", 1.5)]);
    // Opened and kept, nothing changes; in another order and ratio, both know of it.
    let unit = trial.unit();
    trial.press(Role::Link, "Change Green B");
    trial.press(Role::Button, "Keep it on the shelf");
    assert_eq!(trial.unit(), unit);
    trial.press(Role::Link, "Change Green B");
    trial.press(Role::Link, "Pour part 2 earlier");
    trial.fill("Amount of part 1, mL", "1");
    trial.fill("Amount of part 2, mL", "2");
    trial.press(Role::Button, "Keep it on the shelf");
    assert_eq!(parts_of(&trial, "Green A"), found(&[("green-b", 0.5), ("green-a", 1.0)]));
}

#[rstest]
fn a_third_part_joins_and_one_that_leaves_lets_the_others_be(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = two_bottles(look);
    trial.press(Role::Button, "Describe a product");
    bottle(&mut trial, "Green C");
    trial.choose("Poured together with", "Green B");
    trial.press(Role::Button, "Keep it on the shelf");
    let three = found(&[("green-a", 1.0), ("green-b", 1.5), ("green-c", 1.0)]);
    assert_eq!(parts_of(&trial, "Green A"), three, "the other parts of the one that was chosen come along");
    trial.press(Role::Link, "Change Green A");
    trial.press(Role::Link, "Leave part 1 out");
    assert!(trial.harness.query_by_label("2. Green B").is_none(), "without itself it is whole");
    trial.press(Role::Button, "Keep it on the shelf");
    assert_eq!(parts_of(&trial, "Green A"), found(&[("green-a", 1.0)]));
    let two = parts_of(&trial, "Green B");
    assert_eq!(two.iter().map(|(id, _)| id.as_str()).collect::<Vec<_>>(), ["green-b", "green-c"]);
}

#[rstest]
fn what_was_typed_is_not_put_away_by_a_press_beside_the_sheet(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = on_the_shelf(look);
    trial.press(Role::Button, "Describe a product");
    // Nothing is typed yet: Escape closes it.
    trial.harness.key_press(Key::Escape);
    trial.settle();
    assert!(trial.harness.query_by_label("Name of the product").is_none());
    trial.press(Role::Button, "Describe a product");
    bottle(&mut trial, "Green A");
    for _ in 0..2 {
        trial.harness.key_press(Key::Escape);
        trial.settle();
    }
    trial.harness.get_by_label("What you typed is still here: keep it, or cancel");
    trial.press(Role::Button, "Keep it on the shelf");
    assert!(trial.unit().shelf_item("green-a").is_some());
    // The source water likewise.
    trial.press(Role::Link, "Describe the source water");
    trial.fill("EC, mS/cm", "0.64");
    for _ in 0..2 {
        trial.harness.key_press(Key::Escape);
        trial.settle();
    }
    trial.harness.get_by_label("What you typed is still here: keep it, or cancel");
    trial.press(Role::Button, "Cancel");
    assert_eq!(trial.unit().source_water.ec_ms_cm, None);
}

#[rstest]
fn the_librarys_version_is_taken_with_a_way_back(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = on_the_shelf(look);
    trial.press(Role::Button, "Describe a product");
    bottle(&mut trial, "Green A");
    trial.press(Role::Button, "Keep it on the shelf");
    trial.press(Role::Link, "Keep Green A for my other units");
    trial.press(Role::Button, "Put this away");
    trial.press(Role::Tab, "Today");
    trial.press(Role::Link, "I poured something else");
    trial.choose("Product poured, line 1", "Green A");
    trial.type_into("Amount poured, line 1, mL", "4");
    trial.press(Role::Button, "Write it down");
    trial.press(Role::Tab, "Shelf");
    trial.press(Role::Link, "Change Green A");
    trial.fill("Total N, %", "6");
    trial.press(Role::Button, "Keep it on the shelf");
    let before = trial.unit();
    trial.press(Role::Link, "Take Green A from the library");
    trial.harness.get_by_label("Green A is as your library has it; what was poured of it counts as that, too");
    assert_ne!(trial.unit(), before);
    trial.press(Role::Link, "Put it back");
    assert_eq!(trial.unit(), before);
}

#[rstest]
fn amounts_that_cannot_be_are_named_and_nothing_is_kept(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = two_bottles(look);
    let unit = trial.unit();
    trial.press(Role::Link, "Change Green A");
    trial.fill("Amount of part 2, mL", "0");
    trial.harness.get_by_label_contains("The amount of a part is 0 ; it must be above 0, at most 1000");
    trial.press(Role::Button, "Keep it on the shelf");
    assert_eq!(trial.unit(), unit);
    trial.fill("Amount of part 2, mL", "");
    trial.press(Role::Button, "Keep it on the shelf");
    assert_eq!(trial.unit(), unit);
    trial.press(Role::Button, "Cancel");
    assert_eq!(trial.unit(), unit);
}

#[rstest]
fn a_part_that_is_not_at_hand_is_told_of_and_another_feed_is_planned_with(
    #[values(Theme::Light, Theme::Dark)] look: Theme,
) {
    let mut trial = two_bottles(look);
    trial.press(Role::Link, "Plan with Green A");
    trial.press(Role::Link, "Take off Green B");
    trial.harness.get_by_label_contains("Another part belonged to it and is gone");
    trial.harness.get_by_label("Plans leave it aside while a part is missing");
    assert!(trial.harness.query_by_label("Plan with Green A").is_none(), "that would change nothing");
    let feed = trial.harness.state().outlook().expect("a plan").planner.knowledge().feed.clone().expect("a feed");
    assert_eq!(feed.pour.id, "one-part-powder", "every part of it is at hand");
    trial.press(Role::Link, "Put it back");
    assert!(trial.harness.query_by_label_contains("Another part belonged").is_none());
    // Of what is gone for good, the sheet says so, and it can be left out.
    trial.press(Role::Link, "Take off Green B");
    trial.press(Role::Link, "Change Green A");
    trial.harness.get_by_label("2. “green-b”, which is gone");
    trial.press(Role::Button, "Keep it on the shelf");
    trial.harness.get_by_label_contains("The part “green-b” is not on the shelf");
    trial.press(Role::Link, "Leave part 2 out");
    trial.press(Role::Button, "Keep it on the shelf");
    assert!(trial.harness.query_by_label_contains("Another part belonged").is_none());
}

#[rstest]
fn what_is_shipped_in_parts_becomes_ones_own_with_all_of_them(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = on_the_shelf(look);
    trial.press(Role::Link, "Add Three-part liquid feed");
    trial.press(Role::Link, "Make Three-part liquid feed, part 2 mine");
    trial.press(Role::Button, "Keep it on the shelf");
    let unit = trial.unit();
    let own: Vec<&str> = (unit.shelf.iter())
        .filter(|item| matches!(item.product, ProductRef::Own(_)))
        .map(|item| item.product.id())
        .collect();
    assert_eq!(own.len(), 3, "{own:?}");
    assert!(unit.shelf_item("three-part-2").is_none());
    let shipped = Catalog::shipped().expect("profiles");
    let first = shipped.product("three-part-1").expect("shipped");
    let amounts = |parts: &[(&Product, f64)]| parts.iter().map(|(_, amount)| *amount).collect::<Vec<f64>>();
    let own = shipped.product_of(&unit.shelf[unit.shelf.len() - 3]).expect("known");
    assert_eq!(amounts(&unit.parts_of(own, &shipped)), amounts(&first.parts(|id| shipped.product(id))));
}

#[rstest]
fn what_the_log_speaks_of_is_used_up_and_the_file_opens_again(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = on_the_shelf(look);
    trial.press(Role::Tab, "Today");
    trial.press(Role::Link, "I poured something else");
    trial.type_into("Amount poured, line 1, mL", "0.4");
    trial.press(Role::Button, "Write it down");
    trial.press(Role::Tab, "Shelf");
    trial.press(Role::Link, "Take off pH-lowering liquid, phosphoric");
    let unit = trial.unit();
    assert!(unit.shelf_item("phosphoric-down").expect("kept for the log").used_up);
    let catalog = Catalog::shipped().expect("profiles");
    assert_eq!(unit.check(&catalog), []);
    assert!(trial.harness.state().outlook().expect("a plan").planner.knowledge().ph_down.is_none());
    assert!(trial.harness.query_by_label("Take off pH-lowering liquid, phosphoric").is_none());
    // The window opens the file again, and the product can come back.
    let mut trial = trial.killed_and_opened(1);
    trial.press(Role::Tab, "Shelf");
    trial.harness.get_by_label("Used up");
    trial.press(Role::Link, "pH-lowering liquid, phosphoric is at hand again");
    assert!(!trial.unit().shelf_item("phosphoric-down").expect("at hand").used_up);
    // What takes its place takes the log along.
    trial.press(Role::Link, "Make pH-lowering liquid, phosphoric mine");
    trial.fill("Strength, %", "30");
    trial.press(Role::Button, "Keep it on the shelf");
    let unit = trial.unit();
    assert!(unit.shelf_item("phosphoric-down").is_none() && !unit.log_speaks_of("phosphoric-down"));
    assert_eq!(unit.check(&catalog), []);
}

/// Ids of the library's products that are parts of one with an id, in the order of pouring.
fn library_parts(trial: &Trial, id: &str) -> Vec<String> {
    let own = Folders::below(trial.home.path()).read_library().own().products;
    let of = own.iter().find(|own| own.id == id).expect("in the library");
    of.parts(|id| own.iter().find(|own| own.id == id)).iter().map(|(part, _)| part.id.clone()).collect()
}

#[rstest]
fn the_parts_of_a_feed_go_into_the_library_and_onto_another_shelf_together(
    #[values(Theme::Light, Theme::Dark)] look: Theme,
) {
    let mut trial = two_bottles(look);
    trial.press(Role::Link, "Keep Green B for my other units");
    trial.harness.get_by_label("Every part of the feed is in your library");
    trial.press(Role::Button, "Put this away");
    assert_eq!(library_parts(&trial, "green-b"), ["green-a", "green-b"]);
    // A new unit begins with both.
    trial.harness.state_mut().ask_for(pourcast::ui::command::Command::StartOwn);
    trial.settle();
    trial.choose("Feed", "Green A + Green B, yours");
    trial.begin();
    assert_eq!(parts_of(&trial, "Green B"), found(&[("green-a", 1.0 / 1.5), ("green-b", 1.0)]));
    // Told otherwise here, they can take the place of those, or stand beside them.
    trial.press(Role::Tab, "Shelf");
    trial.press(Role::Link, "Change Green A");
    trial.fill("Amount of part 1, mL", "1");
    trial.press(Role::Button, "Keep it on the shelf");
    trial.press(Role::Link, "Keep Green A for my other units");
    trial.harness.get_by_label_contains("Your library has “Green A” and “Green B” already, told otherwise");
    trial.press(Role::Button, "Keep both, these as “Green A 2” and “Green B 2”");
    trial.press(Role::Button, "Put this away");
    assert_eq!(library_parts(&trial, "green-a"), ["green-a", "green-b"]);
    assert_eq!(library_parts(&trial, "green-b-2"), ["green-a-2", "green-b-2"]);
    trial.press(Role::Link, "Keep Green A for my other units");
    trial.press(Role::Button, "Replace the library’s");
    trial.press(Role::Button, "Put this away");
    let own = Folders::below(trial.home.path()).read_library().own().products;
    let ratio = |id: &str| own.iter().find(|own| own.id == id)?.partner.as_ref().map(|partner| partner.ratio);
    assert_eq!((ratio("green-a"), ratio("green-b")), (Some(3.0), Some(1.0 / 3.0)));
    assert!(trial.harness.query_by_label("Keep Green A for my other units").is_none(), "it is there as it is");
}

#[test]
fn the_parts_are_cut_off_nowhere_in_both_themes() {
    for look in [Theme::Light, Theme::Dark] {
        for (name, size, scale) in super::pictures::SIZES {
            let mut trial = Trial::new(look, size, scale);
            trial.begin();
            trial.press(Role::Tab, "Shelf");
            trial.press(Role::Link, "Add Three-part liquid feed");
            assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
            trial.press(Role::Link, "Make Three-part liquid feed, part 2 mine");
            trial.fill("Amount of part 2, mL", "0.5");
            assert_sheet_unclipped(&trial.harness, "A product of yours");
            keep_of(&mut trial, &format!("parts-{}-{name}", word(look)));
            trial.press(Role::Button, "Keep it on the shelf");
            keep_of(&mut trial, &format!("shelf-parts-{}-{name}", word(look)));
        }
    }
}
