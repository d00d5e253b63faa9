//! Tools as people have them, said on the first page; and a jar test from its offer to the log.

use egui::{Key, Role, Theme, Vec2};
use egui_kittest::kittest::Queryable as _;
use pourcast::garden::{Catalog, LogEntry, ProductRef, Role as ProductRole, Strength, Tool, Unit};
use pourcast::store::unit_text;

use super::clipping::{Scrolled, assert_nothing_clipped};
use super::flows::{MORNING_S, Trial, light};

fn tool_of(unit: &Unit, id: &str) -> Tool {
    unit.shelf_item(id).expect("on the shelf").tool
}

#[test]
fn a_dropper_counted_and_a_scoop_weighed_are_said_on_the_first_page() {
    let mut trial = light();
    trial.press(Role::Link, "Measured with…");
    trial.choose("To lower pH: measured with", "Dropper, by drops");
    trial.type_into("Drops in 1 mL, drops", "24");
    trial.choose("Feed: measured with", "Level scoop or spoon");
    trial.type_into("Ten level ones weigh, g", "42");
    assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
    trial.press(Role::Link, "Only what it is");
    trial.begin();
    let unit = trial.unit();
    assert_eq!(tool_of(&unit, "phosphoric-down"), Tool::Dropper { drops_per_ml: 24.0, counted: true });
    assert_eq!(tool_of(&unit, "one-part-powder"), Tool::Scoop { grams: 4.2, scatter: Tool::LEVEL_SCATTER });
    // The facts show them again, and nothing changes when they are kept.
    trial.press(Role::Link, "Edit");
    trial.press(Role::Link, "Measured with…");
    let drops = trial.harness.get_by_role_and_label(Role::TextInput, "Drops in 1 mL, drops").value();
    assert_eq!(drops.as_deref(), Some("24.0"));
    trial.press(Role::Button, "Keep these facts");
    assert_eq!(trial.unit(), unit);
}

#[test]
fn a_teaspoon_for_an_acid_is_refused_beside_the_field_with_ways_out() {
    let mut trial = light();
    trial.type_into("Size of the reservoir, L", "20");
    trial.press(Role::Link, "Measured with…");
    trial.choose("To lower pH: measured with", "Teaspoon (5 mL)");
    trial.harness.get_by_label_contains("no measure for an acid");
    assert!(trial.harness.query_by_role_and_label(Role::Button, "Show me the map").is_none());
    assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
    trial.press(Role::Link, "1 mL syringe");
    assert!(trial.harness.query_by_label_contains("no measure for an acid").is_none());
    trial.press(Role::Button, "Show me the map");
    assert_eq!(tool_of(&trial.unit(), "phosphoric-down"), Tool::SYRINGE_1);
}

/// A bucket with an acid that says nothing of itself, on disk.
fn doubtful(look: Theme, size: Vec2, scale: f32) -> Trial {
    let home = tempfile::tempdir().expect("a folder");
    let catalog = Catalog::shipped().expect("the shipped profiles");
    let mut unit = catalog.examples[0].unit_at(MORNING_S);
    let mut acid = catalog.product("phosphoric-down").expect("an acid").clone();
    (acid.id, acid.name) = ("down".to_owned(), "pH-lowering liquid without a label".to_owned());
    acid.strength = Strength::UNKNOWN_ACID;
    let of_role = |item: &pourcast::garden::ShelfItem| catalog.product_of(item).map(|product| product.role);
    let item = unit.shelf.iter_mut().find(|item| of_role(item) == Some(ProductRole::PhDown)).expect("an acid");
    (item.product, item.tool) = (ProductRef::Own(Box::new(acid)), Tool::SYRINGE_10);
    unit.log = vec![
        LogEntry::Refill { at_s: MORNING_S - 86_400, water_l: unit.level_l },
        LogEntry::Reading(pourcast::garden::Reading {
            at_s: MORNING_S - 60,
            ph: Some(7.6),
            ec_ms_cm: Some(1.6),
            ..pourcast::garden::Reading::default()
        }),
    ];
    let path = home.path().join("doubtful.ron");
    std::fs::write(&path, unit_text(&unit, &path).expect("text")).expect("a file");
    Trial::open(home, Some(path), look, size, scale)
}

/// Every line of the test lies within the window sideways, and its buttons are in sight.
fn assert_the_sheet_fits(trial: &Trial) {
    let window = trial.harness.ctx.content_rect();
    let record = trial.harness.get_by_role_and_label(Role::Button, "Record the test").rect();
    for button in ["Record the test", "Not now"] {
        let rect = trial.harness.get_by_role_and_label(Role::Button, button).rect();
        assert!(window.contains_rect(rect), "{button} at {rect:?}");
    }
    let draft = trial.harness.state().outlook().expect("a plan");
    let guide = draft.planner.jar("down").expect("a guide");
    for words in guide.steps() {
        // What comes next may say the same as a step.
        let mut seen = 0;
        for node in trial.harness.query_all_by_label_contains(&words).filter(|n| n.rect().left() >= record.left() - 1.0)
        {
            assert!(node.rect().right() <= window.right() - record.left() + 1.0, "{words} at {:?}", node.rect());
            seen += 1;
        }
        assert!(seen > 0, "{words} is not there");
    }
}

#[test]
fn a_jar_test_goes_from_its_offer_to_the_log_by_keyboard() {
    let mut trial = doubtful(Theme::Light, Vec2::new(1280.0, 800.0), 1.0);
    let offered = trial.harness.state().outlook().expect("a plan").plan.steps[0].jar.clone();
    assert!(offered.is_some(), "{:?}", trial.harness.state().outlook().map(|o| o.plan.steps[0].clone()));
    // The safe pour stays the answer; the test is one press away.
    trial.harness.get_by_role_and_label(Role::Button, "Poured it");
    trial.press(Role::Link, "Surer: a jar test first, about 10 minutes");
    trial.harness.get_by_label_contains("Goggles and gloves on");
    assert_the_sheet_fits(&trial);
    // Nothing to record yet.
    trial.press(Role::Button, "Record the test");
    assert!(!trial.unit().log.iter().any(|entry| matches!(entry, LogEntry::JarTest(_))));

    // The keyboard is in the first reading, and goes on to each next one.
    let mut ph: f64 = 7.6;
    let mut readings = 0;
    while trial.harness.query_by_label("That tells enough: record it").is_none() {
        let name = format!("pH at reading {}", readings + 1);
        assert!(trial.harness.get_by_role_and_label(Role::TextInput, &name).is_focused(), "{name}");
        trial.harness.get_by_role_and_label(Role::TextInput, &name).type_text(&format!("{ph:.1}"));
        trial.settle();
        trial.harness.key_press(Key::Enter);
        trial.settle();
        readings += 1;
        ph -= 0.5;
        assert!(readings < 8, "it has no end");
    }
    assert_the_sheet_fits(&trial);
    trial.press(Role::Button, "Record the test");
    let unit = trial.unit();
    let Some(LogEntry::JarTest(test)) = unit.log.last() else { panic!("{:?}", unit.log.last()) };
    assert_eq!((test.product_id.as_str(), test.points.len(), test.at_s), ("down", readings, MORNING_S));
    assert!(test.points[0].amount.abs() < 1e-12 && test.points.windows(2).all(|two| two[1].amount > two[0].amount));
    assert_eq!(
        test.points.last().map(|point| (point.ph * 10.0).round() / 10.0),
        Some(((ph + 0.5) * 10.0).round() / 10.0)
    );
    assert_eq!(test.check(), []);
    // It is not offered again, and the water in the tank is as it was.
    assert!(trial.harness.query_by_label_contains("Surer: a jar test").is_none());
    assert!(trial.harness.state().outlook().is_some_and(|o| o.plan.steps[0].jar.is_none()));
}

#[test]
fn what_was_read_in_a_jar_stays_when_it_is_put_away() {
    let mut trial = doubtful(Theme::Light, Vec2::new(1280.0, 800.0), 1.0);
    trial.press(Role::Link, "Surer: a jar test first, about 10 minutes");
    trial.type_into("pH at reading 1", "7.6");
    trial.type_into("pH at reading 2", "70");
    trial.harness.get_by_label_contains("pH 70 is outside");
    trial.press(Role::Button, "Not now");
    assert!(trial.harness.query_by_role_and_label(Role::TextInput, "pH at reading 1").is_none());
    trial.press(Role::Link, "Surer: a jar test first, about 10 minutes");
    let kept = trial.harness.get_by_role_and_label(Role::TextInput, "pH at reading 1").value();
    assert_eq!(kept.as_deref(), Some("7.6"));
}

#[test]
fn the_jar_test_fits_at_every_size_in_both_themes() {
    for look in [Theme::Light, Theme::Dark] {
        for (size, scale) in [(Vec2::new(1280.0, 800.0), 1.0), (Vec2::new(640.0, 400.0), 2.0)] {
            let mut trial = doubtful(look, size, scale);
            trial.press(Role::Link, "Surer: a jar test first, about 10 minutes");
            trial.type_into("pH at reading 1", "7.6");
            assert_the_sheet_fits(&trial);
        }
    }
}
