//! The planner driven by lines of JSON, as a world of somebody else's would.
#![expect(clippy::unwrap_used, reason = "a failed unwrap in a test is a failed test")]

#[path = "../examples/advice/lines.rs"]
mod lines;

use lines::Talk;
use serde_json::{Value, json};

const NOW_S: i64 = 1_790_000_000;

fn begun() -> Talk {
    let mut talk = Talk::new().unwrap();
    let unit = json!({ "unit": {
        "name": "Somebody's", "kind": "Recirculating", "tank_l": 25.0, "level_l": 20.0, "level_known": "Jug",
        "source_water": { "kind": "MediumTap", "ec_ms_cm": 0.4, "ph": 7.6 },
        "crop_id": "lettuce", "stage_id": "growing", "plants_in": false,
        "shelf": [
            { "product": { "Shipped": "two-part-a" }, "tool": { "Syringe": { "capacity_ml": 20.0, "mark_ml": 1.0 } } },
            { "product": { "Shipped": "two-part-b" }, "tool": { "Syringe": { "capacity_ml": 20.0, "mark_ml": 1.0 } } },
            { "product": { "Shipped": "phosphoric-down" }, "tool": { "Syringe": { "capacity_ml": 10.0, "mark_ml": 0.2 } } },
        ],
        "log": [{ "Refill": { "at_s": NOW_S - 7200, "water_l": 20.0 } }],
    }});
    let answer = talk.answer(&unit.to_string());
    assert_eq!(answer["noted"], true, "{answer}");
    talk
}

/// One visit: read, pour what is advised, read again.
fn visit(talk: &mut Talk) -> (Value, Value) {
    let ask = |talk: &mut Talk, now_s: i64| talk.answer(&json!({ "advise": { "now_s": now_s } }).to_string());
    let log = |talk: &mut Talk, entry: Value| talk.answer(&json!({ "log": [entry] }).to_string());
    let noted = log(talk, json!({ "Reading": { "at_s": NOW_S, "ph": 7.6, "ec_ms_cm": 0.4, "temperature_c": 21.0 } }));
    assert_eq!(noted["doubtful"], json!([]), "{noted}");
    let first = ask(talk, NOW_S);
    let pours = first["steps"].as_array().unwrap().iter().filter(|step| step["do"] == "pour").take(2);
    for (step, at_s) in pours.zip([NOW_S + 60, NOW_S + 120]) {
        let pour = json!({ "at_s": at_s, "product_id": step["product_id"], "amount": step["amount"] });
        assert_eq!(log(talk, json!({ "Pour": pour }))["noted"], true);
    }
    log(talk, json!({ "Reading": { "at_s": NOW_S + 2400, "ph": 6.9, "ec_ms_cm": 1.48 } }));
    (first, ask(talk, NOW_S + 2400))
}

#[test]
fn readings_in_advice_out() {
    let (first, second) = visit(&mut begun());
    let steps = first["steps"].as_array().unwrap();
    let ids: Vec<&str> = steps.iter().filter_map(|step| step["product_id"].as_str()).collect();
    assert_eq!(ids[..2], ["two-part-a", "two-part-b"], "{first}");
    assert!(steps[0]["amount"].as_f64().unwrap() > 10.0 && steps[0]["unit"] == "mL");
    let acid = second["steps"].as_array().unwrap().iter().find(|step| step["product_id"] == "phosphoric-down").unwrap();
    assert!(acid["risk"].as_f64().unwrap() <= 0.02 && acid["expect"]["ph"][0].as_f64().unwrap() < 6.9, "{acid}");
    let low_and_high = |of: &Value| (of[0].as_f64().unwrap(), of[2].as_f64().unwrap());
    let (low, high) = low_and_high(&second["belief"]["ph"]);
    assert!(low < 6.95 && high > 6.85 && low < high, "{second}");
    // The same lines give the same answers.
    assert_eq!(visit(&mut begun()), (first, second));
}

#[test]
fn what_cannot_be_done_is_said_and_changes_nothing() {
    let mut talk = Talk::new().unwrap();
    let error = |answer: &Value| answer["error"].as_str().unwrap_or_default().to_owned();
    assert_eq!(error(&talk.answer(r#"{"advise": {"now_s": 1}}"#)), "begin with a unit");
    let mut talk = begun();
    assert!(error(&talk.answer("{")).contains("line 1"));
    assert!(error(&talk.answer(r#"{"sing": 1}"#)).contains("unknown variant"));
    let nonsense = json!({ "log": [{ "Reading": { "at_s": NOW_S, "ph": 77.0 } }] });
    assert!(error(&talk.answer(&nonsense.to_string())).contains("ph"), "{}", talk.answer(&nonsense.to_string()));
    assert!(visit(&mut talk).0["error"].is_null(), "the reading of 77 was not kept");
}
