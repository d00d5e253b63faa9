//! One line of JSON to the next; see `main.rs` for what they may be.

use serde::Deserialize;
use serde_json::{Value, json};

use pourcast::garden::{Catalog, LogEntry, ProfileError, Unit};
use pourcast::learn::Member;
use pourcast::plan::{Action, Planner, SEED, Step};

/// What may be asked in a line.
#[derive(Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
enum Asked {
    Unit(Box<Unit>),
    Log(Vec<LogEntry>),
    Advise(Moment),
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Moment {
    /// Unix seconds.
    now_s: i64,
    #[serde(default)]
    seed: Option<u64>,
}

/// A talk about one unit after the other.
pub(crate) struct Talk {
    catalog: Catalog,
    unit: Option<Unit>,
}

impl Talk {
    pub(crate) fn new() -> Result<Self, ProfileError> {
        Ok(Self { catalog: Catalog::shipped()?, unit: None })
    }

    /// The answer to a line, itself one line.
    pub(crate) fn answer(&mut self, line: &str) -> Value {
        self.answered(line).unwrap_or_else(|error| json!({ "error": error }))
    }

    fn answered(&mut self, line: &str) -> Result<Value, String> {
        match serde_json::from_str(line).map_err(|error| error.to_string())? {
            Asked::Unit(unit) => {
                let answer = self.checked(&unit)?;
                self.unit = Some(*unit);
                Ok(answer)
            }
            Asked::Log(entries) => {
                let mut unit = self.unit.clone().ok_or("begin with a unit")?;
                for entry in entries {
                    unit.record(entry);
                }
                let answer = self.checked(&unit)?;
                self.unit = Some(unit);
                Ok(answer)
            }
            Asked::Advise(Moment { now_s, seed }) => {
                let unit = self.unit.as_ref().ok_or("begin with a unit")?;
                let words = |error: pourcast::plan::PlanError| error.to_string();
                let planner = Planner::new(unit, &self.catalog, now_s, seed.unwrap_or(SEED)).map_err(words)?;
                let plan = planner.plan().map_err(words)?;
                Ok(json!({
                    "steps": plan.steps.iter().map(told).collect::<Vec<_>>(),
                    "zone": { "ph": plan.zone.ph, "ec_ms_cm": plan.zone_ec_ms_cm },
                    "warnings": plan.warnings.iter().map(|warning| &warning.words).collect::<Vec<_>>(),
                    "belief": believed(&planner),
                }))
            }
        }
    }

    /// What is doubtful in a unit; an error for what can't be used.
    fn checked(&self, unit: &Unit) -> Result<Value, String> {
        let problems = unit.check(&self.catalog);
        let words = |problem: &pourcast::garden::FieldProblem| format!("{}: {}", problem.field, problem.message);
        match problems.iter().find(|problem| problem.severity == pourcast::garden::Severity::Refused) {
            Some(refused) => Err(words(refused)),
            None => Ok(json!({ "noted": true, "doubtful": problems.iter().map(words).collect::<Vec<_>>() })),
        }
    }
}

fn told(step: &Step) -> Value {
    let mut told = match &step.action {
        Action::Pour(measured) => json!({
            "do": "pour",
            "product_id": measured.id,
            "amount": measured.amount,
            "unit": measured.unit,
            "diluted_to_parts": measured.dilution.map(|dilution| dilution.parts),
        }),
        Action::TopUp { water_l } => json!({ "do": "top_up", "water_l": water_l }),
        Action::Swap { litres } => json!({ "do": "swap", "litres": litres }),
        Action::Read { in_min } => json!({ "do": "read", "in_min": in_min }),
        Action::Ask { question } => json!({ "do": "ask", "question": question }),
        Action::LeaveIt => json!({ "do": "leave_it" }),
        Action::CannotHelp { needed } => json!({ "do": "cannot_help", "needed": needed }),
        _ => json!({ "do": "other" }),
    };
    let Value::Object(fields) = &mut told else { return told };
    let expect = step
        .expect
        .map(|expect| json!({ "ph": expect.ph, "ec_ms_cm": expect.ec_ms_cm, "settled_ph": expect.settled_ph }));
    fields.insert("wait_min".to_owned(), step.wait_min.into());
    fields.insert("provisional".to_owned(), step.provisional.into());
    fields.insert("risk".to_owned(), json!(step.risk));
    fields.insert("expect".to_owned(), json!(expect));
    fields.insert("jar_test_first".to_owned(), step.jar.is_some().into());
    fields.insert("why".to_owned(), json!(step.why));
    fields.insert("cautions".to_owned(), json!(step.cautions));
    told
}

fn believed(planner: &Planner) -> Value {
    let belief = planner.belief();
    let showing = &planner.knowledge().showing;
    let three = |of: &dyn Fn(&Member) -> f64| [0.1, 0.5, 0.9].map(|p| belief.quantile(p, of));
    let point = |member: &Member| showing.of(&member.tank.totals).ok();
    json!({
        "ph": three(&|member| point(member).map_or(f64::NAN, |point| point.ph)),
        "ec_ms_cm": three(&|member| point(member).map_or(f64::NAN, |point| point.ec_ms_cm)),
        "volume_l": three(&|member| member.tank.water_kg / showing.medium().water_density_kg_l()),
        "source_alkalinity_meq_l": three(&|member| member.source_alkalinity_meq_l),
    })
}
