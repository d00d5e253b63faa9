//! The card: the shipped examples word for word, and what every card keeps to.
//!
//! `POURCAST_WRITE_FIXTURES=1 cargo test --test card` writes the expected texts anew; read the difference before keeping it.

#![expect(clippy::unwrap_used, reason = "a failed unwrap in a helper of a test is a failed test")]

mod paper;
mod scales;
mod states;

use std::path::Path;

use pourcast::card::{json, text};
use pourcast::garden::{Catalog, Tool, Unit};
use pourcast::plan::{Action, Step};

use states::{card_of, planned, read, states};

/// Characters in a line: a terminal of 80 with a little air.
const WIDEST: usize = 78;

/// The states, and the examples as they would be on other days.
fn units(catalog: &Catalog) -> Vec<Unit> {
    let mut units: Vec<Unit> = states(catalog).into_iter().map(|(_, unit)| unit).collect();
    for example in &catalog.examples {
        for (ph, ec_ms_cm) in [(8.0, Some(0.3)), (4.7, Some(1.5)), (6.0, None)] {
            units.push(read(&example.unit, Some(ph), ec_ms_cm));
        }
    }
    units
}

#[test]
fn the_states_read_as_kept() {
    let catalog = Catalog::shipped().unwrap();
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures");
    let mut differ = Vec::new();
    for (name, unit) in states(&catalog) {
        let found = text(&card_of(&unit, &catalog));
        let path = folder.join(format!("{name}.txt"));
        if std::env::var_os("POURCAST_WRITE_FIXTURES").is_some() {
            std::fs::write(&path, &found).unwrap();
        }
        let kept = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
        if found != kept.replace("\r\n", "\n") {
            println!("--- {name} reads differently now:\n{found}");
            differ.push(name);
        }
    }
    assert!(differ.is_empty(), "{differ:?}");
}

/// Each state is what its name says: a kept text of another kind of step would keep nothing.
#[test]
fn the_states_are_what_they_are_called() {
    let catalog = Catalog::shipped().unwrap();
    let first = |name: &str| {
        let (_, unit) = states(&catalog).into_iter().find(|(state, _)| *state == name).unwrap();
        planned(&unit, &catalog).steps.remove(0).action
    };
    assert!(matches!(first("north-sill-trough"), Action::Pour(m) if m.dilution.is_none() && m.unit == "mL"));
    assert!(matches!(first("card-diluted-pour"), Action::Pour(m) if m.dilution.is_some()));
    assert!(matches!(first("card-top-up"), Action::TopUp { .. }));
    assert!(matches!(first("card-leave-it"), Action::LeaveIt));
    assert!(matches!(first("card-nothing-on-the-shelf"), Action::CannotHelp { .. }));
    assert!(matches!(first("card-too-salty"), Action::Swap { .. }));
    assert!(matches!(first("card-wait-and-read"), Action::Read { .. }));
    let silicate = |m: &pourcast::plan::Measured| m.id == "potassium-silicate";
    assert!(matches!(first("card-silicate-first"), Action::Pour(m) if silicate(&m)));
    assert!(matches!(first("terrace-trough"), Action::Pour(m) if m.id == "three-part-1"));
    let (_, bucket) = states(&catalog).into_iter().find(|(state, _)| *state == "reading-room-bucket").unwrap();
    let powder = |step: &Step| matches!(&step.action, Action::Pour(m) if matches!(m.tool, Tool::Scoop { .. }));
    assert!(planned(&bucket, &catalog).steps.iter().any(powder));
}

#[test]
fn json_holds_the_amounts_of_the_plan() {
    let catalog = Catalog::shipped().unwrap();
    let mut pours = 0;
    for unit in units(&catalog) {
        let plan = planned(&unit, &catalog);
        let card: serde_json::Value = serde_json::from_str(&json(&card_of(&unit, &catalog)).unwrap()).unwrap();
        let steps = card["steps"].as_array().unwrap();
        assert_eq!(steps.len(), plan.steps.len());
        for (told, step) in steps.iter().zip(&plan.steps) {
            if let Action::Pour(measured) = &step.action {
                assert_eq!(told["product_id"], measured.id.as_str());
                assert_eq!(told["unit"], measured.unit);
                assert!((told["amount"].as_f64().unwrap() - measured.amount).abs() < 1e-12);
                pours += 1;
            } else {
                assert!(told.get("amount").is_none(), "{told}");
            }
            assert!(!told["headline"].as_str().unwrap().is_empty());
        }
        assert!(card["model"].as_str().unwrap().contains("dose model"));
    }
    println!("{pours} pours compared");
    assert!(pours >= 6, "{pours}");
}

#[test]
fn no_line_is_wider_than_a_terminal() {
    let catalog = Catalog::shipped().unwrap();
    let mut lines = 0;
    for unit in units(&catalog) {
        let text = text(&card_of(&unit, &catalog));
        for line in text.lines() {
            assert!(line.chars().count() <= WIDEST, "{line}");
            assert!(line.trim_end() == line, "blanks at the end of {line:?}");
            lines += 1;
        }
        assert!(!text.contains("NaN") && !text.contains("  \n") && text.ends_with('\n'));
    }
    println!("{lines} lines measured");
    assert!(lines > 100, "{lines}");
}

/// Acids and bases never stand on a card without their cautions, and every card says that the label comes first.
#[test]
fn cautions_stand_beside_acids_and_bases() {
    let catalog = Catalog::shipped().unwrap();
    let mut seen = 0;
    for unit in units(&catalog) {
        let card = card_of(&unit, &catalog);
        assert!(text(&card).contains("Label and safety data sheet come first"));
        for step in &card.steps {
            let Some(id) = &step.product_id else { continue };
            if id.ends_with("-down") || id.ends_with("-up") {
                assert!(step.cautions.iter().any(|caution| caution.contains("Goggles and gloves")), "{id}");
                seen += 1;
            }
        }
    }
    assert!(seen >= 3, "{seen}");
}

/// Words as a person sees them: blanks and line ends are no difference.
fn words(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn every_text_of_the_card_is_in_the_terminal() {
    let catalog = Catalog::shipped().unwrap();
    let mut texts = 0;
    for unit in units(&catalog) {
        let card = card_of(&unit, &catalog);
        let shown = words(&text(&card));
        for wanted in card.texts() {
            assert!(shown.contains(&words(&wanted)), "{wanted:?} is not in\n{shown}");
            texts += 1;
        }
    }
    assert!(texts > 300, "{texts}");
}

/// A pour says when to stop: past the far edge of what it moves, and when the reading is not what was told.
#[test]
fn pours_say_when_to_stop() {
    let catalog = Catalog::shipped().unwrap();
    let (mut down, mut feeds, mut silicates) = (0, 0, 0);
    for unit in units(&catalog) {
        let plan = planned(&unit, &catalog);
        let card = card_of(&unit, &catalog);
        for step in &card.steps {
            let Some(id) = &step.product_id else {
                continue;
            };
            if id.ends_with("-down") {
                let edge = format!("pH shows below {:.1}", plan.zone.ph.0);
                assert!(step.stop_if.iter().any(|stop| stop.starts_with(&edge)), "{edge}: {:?}", step.stop_if);
                down += 1;
            } else if id == "potassium-silicate" {
                // It is poured below the zone, at a pH that is high for the while: what went wrong shows otherwise.
                assert!(step.stop_if.iter().any(|stop| stop.starts_with("flakes or jelly")), "{:?}", step.stop_if);
                silicates += 1;
            } else if !id.ends_with("-up") {
                let edge = format!("EC shows above {:.1}", plan.zone_ec_ms_cm.1);
                assert!(step.stop_if.iter().any(|stop| stop.starts_with(&edge)), "{edge}: {:?}", step.stop_if);
                feeds += 1;
            }
            if let Some(expect) = &step.expect {
                let told = expect.trim_start_matches("Expect ").split(", ").last().unwrap_or_default();
                assert!(step.stop_if.iter().any(|stop| stop.contains(told)), "{told}: {:?}", step.stop_if);
            }
        }
    }
    assert!(down >= 4 && feeds >= 3 && silicates >= 1, "{down} {feeds} {silicates}");
}
