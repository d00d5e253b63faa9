//! The shelf: products added, described in every way, refused in words, taken off and put back; and the tools of each.

use egui::{Role, Theme, Vec2};
use egui_kittest::kittest::Queryable as _;
use pourcast::garden::{AcidKind, Concentration, Form, Product, ProductRef, Strength, Tool};
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

fn described(trial: &mut Trial, name: &str) {
    trial.press(Role::Button, "Describe a product");
    trial.type_into("Name of the product", name);
}

fn own(trial: &Trial, name: &str) -> Product {
    let unit = trial.unit();
    let mut own = unit.shelf.iter().filter_map(|item| match &item.product {
        ProductRef::Own(product) if product.name == name => Some(product.as_ref().clone()),
        _ => None,
    });
    own.next().expect("a product of one's own")
}

#[rstest]
fn a_bottle_is_described_by_its_label_and_stands_on_the_shelf(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = on_the_shelf(look);
    let before = trial.unit().shelf.len();
    described(&mut trial, "Green bottle");
    // 2-1-6 + 0.5 Mg: the example of Cornell's home guide (Ronzoni & Mattson 2020).
    for (line, value) in [("Total N, %", "2"), ("P2O5, %", "1"), ("K2O, %", "6"), ("Mg, %", "0,5")] {
        trial.fill(line, value);
    }
    trial.fill("Rate on the label, mL/L", "7.5");
    trial.harness.get_by_label_contains("1 mL/L raises EC by about");
    trial.press(Role::Button, "Keep it on the shelf");
    let product = own(&trial, "Green bottle");
    let Strength::Label(label) = &product.strength else { panic!("{product:?}") };
    assert_eq!((label.total_n, label.p2o5, label.k2o, label.mg), (Some(2.0), Some(1.0), Some(6.0), Some(0.5)));
    assert_eq!(product.form, Form::Liquid { density_g_ml: None });
    assert_eq!(product.label_rate.map(|rate| rate.per_l), Some(7.5));
    assert_eq!(trial.unit().shelf.len(), before + 1);
    // Opened again it shows the same, and keeping it changes nothing.
    let unit = trial.unit();
    trial.press(Role::Link, "Change Green bottle");
    let line = trial.harness.get_by_role_and_label(Role::TextInput, "K2O, %").value();
    assert_eq!(line.as_deref(), Some("6.0"));
    trial.press(Role::Button, "Keep it on the shelf");
    assert_eq!(trial.unit(), unit);
}

#[rstest]
fn a_density_in_other_units_is_named_and_offered(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = on_the_shelf(look);
    described(&mut trial, "Green bottle");
    trial.fill("Total N, %", "4");
    trial.fill("Density, if the label has it, g/mL", "1080");
    trial.harness.get_by_label_contains("A density of 1080 g/mL is outside 0.8 to 2 g/mL");
    trial.press(Role::Button, "Keep it on the shelf");
    assert!(trial.harness.query_by_label("Name").is_some(), "the sheet stays");
    let offer = "1080 kg/m³ or g/L, that is 1.080 g/mL";
    trial.press(Role::Link, offer);
    trial.press(Role::Button, "Keep it on the shelf");
    assert_eq!(own(&trial, "Green bottle").form, Form::Liquid { density_g_ml: Some(1.08) });
}

#[rstest]
fn labels_that_contradict_themselves_are_told_at_the_line(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = on_the_shelf(look);
    described(&mut trial, "Odd bag");
    trial.press(Role::RadioButton, "Powder, by g");
    for (line, value) in [("Total N, %", "5"), ("Nitrate N, %", "4"), ("Ammonium N, %", "3")] {
        trial.fill(line, value);
    }
    trial.harness.get_by_label_contains("The forms of nitrogen make 7 %, more than the total of 5 %");
    trial.press(Role::Button, "Keep it on the shelf");
    assert!(trial.unit().shelf.iter().all(|item| !matches!(item.product, ProductRef::Own(_))), "what cannot be");
    trial.fill("Ammonium N, %", "1");
    assert!(trial.harness.query_by_label_contains("The forms of nitrogen").is_none());
    trial.fill("K, %", "98");
    trial.press(Role::Button, "Keep it on the shelf");
    assert!(trial.unit().shelf.iter().all(|item| !matches!(item.product, ProductRef::Own(_))), "more than there is");
}

#[rstest]
fn a_number_that_is_none_is_told_with_the_name_of_its_line(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = on_the_shelf(look);
    described(&mut trial, "Odd bag");
    trial.fill("Total N, %", "some");
    trial.harness.get_by_label_contains("Total N should be a number");
}

#[rstest]
fn an_acid_by_its_strength_and_a_strong_one_refused(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = on_the_shelf(look);
    described(&mut trial, "Red bottle");
    trial.choose("It is for", "Lowers pH");
    trial.fill("Strength, %", "38");
    trial.choose("Acid", "Nitric acid");
    trial.harness.get_by_label_contains("Nitric acid of 38 %");
    trial.press(Role::Button, "Keep it on the shelf");
    assert!(trial.unit().shelf.iter().all(|item| !matches!(item.product, ProductRef::Own(_))), "refused");
    trial.choose("Acid", "Phosphoric acid");
    // Cautions stand beside what is described.
    trial.harness.get_by_label_contains("Goggles and gloves");
    trial.press(Role::Button, "Keep it on the shelf");
    let concentration = Concentration::MassPercent(38.0);
    assert_eq!(own(&trial, "Red bottle").strength, Strength::Acid { acid: AcidKind::Phosphoric, concentration });
}

#[rstest]
fn salts_a_rise_of_ec_and_nothing_at_all(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = on_the_shelf(look);
    described(&mut trial, "Mixed at home");
    trial.choose("What is known of it", "The salts in it");
    trial.fill("Grams of it, g/L", "50");
    trial.press(Role::Link, "Another salt");
    trial.press(Role::Link, "Remove salt 2");
    trial.press(Role::Button, "Keep it on the shelf");
    let Strength::Recipe(recipe) = own(&trial, "Mixed at home").strength else { panic!("no recipe") };
    assert_eq!(recipe.salts.len(), 1);

    described(&mut trial, "By trial");
    trial.choose("What is known of it", "How far it raises EC");
    trial.fill("It raises EC by, mS/cm for 1 mL/L", "0.1");
    trial.press(Role::Button, "Keep it on the shelf");
    assert_eq!(own(&trial, "By trial").strength, Strength::RaisesEc { ms_cm_per_unit_l: 0.1 });

    described(&mut trial, "Old bag");
    trial.press(Role::RadioButton, "Powder, by g");
    trial.choose("What is known of it", "Nothing: a scoop of it");
    trial.choose("Measured with", "Level scoop or spoon");
    trial.fill("Ten level ones weigh, g", "42");
    trial.press(Role::Button, "Keep it on the shelf");
    let unit = trial.unit();
    assert_eq!(own(&trial, "Old bag").strength, Strength::UNKNOWN_FEED);
    let item = unit.shelf.iter().find(|item| item.product.id() == "old-bag").expect("on the shelf");
    assert_eq!(item.tool, Tool::Scoop { grams: 4.2, scatter: Tool::LEVEL_SCATTER });
}

#[rstest]
fn peroxide_is_told_of_and_never_kept(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = on_the_shelf(look);
    trial.press(Role::DisclosureTriangle, "Hydrogen peroxide: what is known");
    trial.harness.get_by_label_contains("Not advised with plants in the water");
    described(&mut trial, "Peroxide 3 %");
    trial.fill("Total N, %", "1");
    trial.press(Role::Button, "Keep it on the shelf");
    trial.harness.get_by_label_contains("never planned with plants");
    assert!(trial.unit().shelf.iter().all(|item| !matches!(item.product, ProductRef::Own(_))));
}

#[rstest]
fn an_amount_of_peroxide_is_answered_and_never_poured(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = on_the_shelf(look);
    let before = trial.unit();
    trial.press(Role::DisclosureTriangle, "Hydrogen peroxide: what is known");
    trial.harness.get_by_label("Say which grade the bottle is");
    // Lau & Mattson 2021, Horticulturae 7:106: 1.25 mL/L of 3 % is 37.5 mg/L, which stunted or killed lettuce. Nobody said how
    // full the 20 L are, so 17 L are taken.
    trial.fill("Asked about, mL", "21.25");
    assert!(trial.harness.query_by_label_contains("mg/L of peroxide").is_none(), "no grade, no answer");
    trial.choose("Grade of the bottle", "3 % (household bottle)");
    trial
        .harness
        .get_by_label("21.25 mL of 3 % (household bottle) in 17 L is 1.25 mL/L, which makes 37.5 mg/L of peroxide");
    trial.harness.get_by_role_and_label(
        Role::Note,
        "Caution: Stop: 37.5 mg/L and more stunted or killed lettuce in mineral feed",
    );
    trial.harness.get_by_label_contains("EC falls by the 0.1 %");
    trial.choose("Grade of the bottle", "35 % (dangerous at home)");
    trial.harness.get_by_label_contains("which makes 494.4 mg/L of peroxide");
    // A little is no harm and no help; and a caution stands beside it all the same.
    trial.fill("Asked about, mL", "0,4");
    trial.harness.get_by_label_contains("not known to help");
    assert!(trial.harness.query_by_label_contains("Caution: Stop").is_none());
    trial.harness.get_by_label_contains("Read the label and the safety data sheet first");
    // What cannot be is named with its limit, and what was typed stays.
    for (typed, named) in [("5000", "you typed 5000"), ("much", "you typed much"), ("-1", "you typed -1")] {
        trial.fill("Asked about, mL", typed);
        trial.harness.get_by_label_contains("Peroxide must be 0 to 1700 mL for this water");
        trial.harness.get_by_label_contains(named);
        let field = trial.harness.get_by_role_and_label(Role::TextInput, "Asked about, mL").value();
        assert_eq!(field.as_deref(), Some(typed));
    }
    for verb in ["Pour it", "Poured it", "Add it"] {
        assert!(trial.harness.query_by_role_and_label(Role::Button, verb).is_none(), "{verb}");
    }
    assert_eq!(trial.unit(), before, "nothing of it is in the unit");
}

#[test]
fn the_peroxide_card_is_cut_off_nowhere() {
    for look in [Theme::Light, Theme::Dark] {
        for (name, size) in [("1280x800", Vec2::new(1280.0, 800.0)), ("700x780", Vec2::new(700.0, 780.0))] {
            let mut trial = Trial::new(look, size, 1.0);
            trial.begin();
            trial.press(Role::Tab, "Shelf");
            trial.press(Role::DisclosureTriangle, "Hydrogen peroxide: what is known");
            trial.fill("Asked about, mL", "21.25");
            trial.choose("Grade of the bottle", "3 % (household bottle)");
            trial.harness.get_by_label_contains("which makes 37.5 mg/L of peroxide").scroll_to_me();
            trial.settle();
            assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
            keep_of(&mut trial, &format!("peroxide-{}-{name}", word(look)));
        }
    }
}

#[rstest]
fn what_is_shipped_is_added_taken_off_put_back_and_made_ones_own(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = on_the_shelf(look);
    let before = trial.unit();
    trial.press(Role::Link, "Add Two-part liquid feed");
    let with = trial.unit();
    assert_eq!(with.shelf.len(), before.shelf.len() + 2, "both parts");
    trial.press(Role::Link, "Take off pH-lowering liquid, phosphoric");
    assert!(trial.unit().shelf_item("phosphoric-down").is_none());
    trial.press(Role::Link, "Put it back");
    assert_eq!(trial.unit(), with);
    trial.press(Role::Link, "Make pH-lowering liquid, phosphoric mine");
    trial.fill("Strength, %", "30");
    trial.press(Role::Button, "Keep it on the shelf");
    let product = own(&trial, "pH-lowering liquid, phosphoric");
    assert_ne!(product.id, "phosphoric-down", "beside the shipped one, never inside it");
    assert!(trial.unit().shelf_item("phosphoric-down").is_none(), "it took its place");
    // Tools of what is shipped can be changed, and nothing else.
    trial.press(Role::Link, "Tools of Two-part liquid feed, part A");
    assert!(trial.harness.query_by_role_and_label(Role::TextInput, "Name of the product").is_none());
    trial.choose("Measured with", "60 mL syringe");
    trial.press(Role::Button, "Keep it on the shelf");
    let tool = trial.unit().shelf_item("two-part-a").expect("on the shelf").tool;
    assert_eq!(tool, Tool::Syringe { capacity_ml: 60.0, mark_ml: 1.0 });
}

#[test]
fn nothing_is_cut_off_at_any_size_in_both_themes() {
    for look in [Theme::Light, Theme::Dark] {
        for (name, size, scale) in [
            ("1280x800", Vec2::new(1280.0, 800.0), 1.0),
            ("1920x1080", Vec2::new(1920.0, 1080.0), 1.0),
            ("700x900", Vec2::new(700.0, 900.0), 1.0),
            ("640x400@2", Vec2::new(640.0, 400.0), 2.0),
        ] {
            let mut trial = Trial::new(look, size, scale);
            trial.begin();
            trial.press(Role::Tab, "Shelf");
            assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
            keep_of(&mut trial, &format!("shelf-{}-{name}", word(look)));
            described(&mut trial, "Green bottle");
            trial.fill("Total N, %", "5");
            trial.fill("P2O5, %", "12");
            trial.settle();
            assert_sheet_unclipped(&trial.harness, "Describe a product");
            keep_of(&mut trial, &format!("product-{}-{name}", word(look)));
        }
    }
}

#[rstest]
fn what_is_kept_for_other_units_can_be_added_again(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = on_the_shelf(look);
    described(&mut trial, "Green bottle");
    trial.fill("Total N, %", "4");
    trial.press(Role::Button, "Keep it on the shelf");
    trial.press(Role::Link, "Keep Green bottle for my other units");
    trial.press(Role::Button, "Put this away");
    assert!(trial.harness.query_by_label("Keep Green bottle for my other units").is_none(), "it is there already");
    // A new unit may begin with it.
    trial.harness.state_mut().ask_for(pourcast::ui::command::Command::StartOwn);
    trial.settle();
    trial.choose("Feed", "Green bottle, yours");
    trial.begin();
    assert!(trial.unit().shelf_item("green-bottle").is_some(), "{:?}", trial.unit().shelf);
    trial.press(Role::Tab, "Shelf");
    trial.press(Role::Link, "Take off Green bottle");
    trial.press(Role::Link, "Add Green bottle");
    assert!(trial.unit().shelf_item("green-bottle").is_some());
}

#[rstest]
fn one_of_two_feeds_is_planned_with_and_the_person_says_which(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = on_the_shelf(look);
    trial.press(Role::Link, "Add Two-part liquid feed");
    trial.press(Role::Link, "Plan with Two-part liquid feed, part A");
    assert_eq!(trial.unit().shelf[0].product.id(), "two-part-a");
    let knowledge = trial.harness.state().outlook().expect("a plan").planner.knowledge();
    let parts = &knowledge.feed.as_ref().expect("a feed").parts;
    let ids: Vec<&str> = parts.iter().map(|part| part.pour.id.as_str()).collect();
    assert_eq!(ids, ["two-part-a", "two-part-b"]);
    trial.harness.get_by_label("Plan with One-part powder feed");
    assert!(trial.harness.query_by_label("Plan with Two-part liquid feed, part B").is_none());
}

#[rstest]
fn supplements_beside_each_other_say_which_one_plans_ask_for(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = on_the_shelf(look);
    let planned = |trial: &Trial| {
        let knowledge = trial.harness.state().outlook().expect("a plan").planner.knowledge();
        knowledge.calmag.as_ref().map(|calmag| calmag.pour.id.clone())
    };
    trial.press(Role::Link, "Add Epsom salt (magnesium sulfate)");
    trial.harness.get_by_label_contains("No plan asks for it, as it brings no calcium to speak of");
    trial.press(Role::Link, "Add Calcium–magnesium supplement");
    trial.press(Role::Link, "Add Calcium nitrate");
    assert_eq!(planned(&trial).as_deref(), Some("cal-mag"), "the first that brings calcium");
    trial.harness.get_by_label_contains("Plans take another supplement where calcium is missing");
    assert!(trial.harness.query_by_label("Plan with Epsom salt (magnesium sulfate)").is_none(), "it could not lead");
    trial.press(Role::Link, "Plan with Calcium nitrate");
    assert_eq!(planned(&trial).as_deref(), Some("calcium-nitrate"));
    trial.harness.get_by_label("Plan with Calcium–magnesium supplement");
    // What each is measured with is told with its size, and all three can be tried by hand.
    assert!(trial.harness.query_all_by_label("Measured with: scale to 0.1 g").next().is_some());
    let products = trial.harness.state().outlook().expect("a plan").planner.products();
    let ids: Vec<&str> = products.map(|product| product.pour.id.as_str()).collect();
    for id in ["cal-mag", "calcium-nitrate", "epsom-salt"] {
        assert!(ids.contains(&id), "{id}: {ids:?}");
    }
    keep_of(&mut trial, &format!("supplements-{}-1280x800", word(look)));
}
