//! The card: the shipped examples word for word, and what every card keeps to.
//!
//! `POURCAST_WRITE_FIXTURES=1 cargo test --test card` writes the expected texts anew; read the difference before keeping it.

#![expect(clippy::unwrap_used, reason = "a failed unwrap in a helper of a test is a failed test")]

use std::path::Path;

use pourcast::card::{Card, json, text};
use pourcast::garden::{Catalog, LogEntry, Reading, Unit};
use pourcast::plan::{Action, Plan, Planner};
use pourcast::ui::clock::{Clock as _, StandingClock};

/// Characters in a line: a terminal of 80 with a little air.
const WIDEST: usize = 78;
const SEED: u64 = 7;

/// Five minutes after the last entry, as if just typed.
fn now_s(unit: &Unit) -> i64 {
    unit.log.iter().map(LogEntry::at_s).max().unwrap_or(0) + 300
}

fn planned(unit: &Unit, catalog: &Catalog) -> Plan {
    Planner::new(unit, catalog, now_s(unit), SEED).unwrap().plan().unwrap()
}

fn card_of(unit: &Unit, catalog: &Catalog) -> Card {
    let date = |at_s| StandingClock(at_s).date(at_s);
    Card::of(unit, catalog, &planned(unit, catalog), now_s(unit), &date)
}

/// The shipped examples as they are, and as they would be on other days.
fn units(catalog: &Catalog) -> Vec<Unit> {
    let mut units = Vec::new();
    for example in &catalog.examples {
        units.push(example.unit.clone());
        for (ph, ec_ms_cm) in [(6.0, Some(1.4)), (8.0, Some(0.3)), (4.7, Some(1.5)), (6.0, Some(3.0)), (6.0, None)] {
            let mut unit = example.unit.clone();
            let at_s = unit.log.iter().map(LogEntry::at_s).max().unwrap_or(0) + 3600;
            unit.record(LogEntry::Reading(Reading { at_s, ph: Some(ph), ec_ms_cm, ..Reading::default() }));
            units.push(unit);
        }
    }
    units
}

#[test]
fn the_examples_read_as_kept() {
    let catalog = Catalog::shipped().unwrap();
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures");
    let mut compared = 0;
    for example in &catalog.examples {
        let found = text(&card_of(&example.unit, &catalog));
        let path = folder.join(format!("{}.txt", example.id));
        if std::env::var_os("POURCAST_WRITE_FIXTURES").is_some() {
            std::fs::create_dir_all(&folder).unwrap();
            std::fs::write(&path, &found).unwrap();
        }
        let kept = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
        assert_eq!(found, kept.replace("\r\n", "\n"), "{} reads differently now", example.id);
        compared += 1;
    }
    assert_eq!(compared, 2);
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
