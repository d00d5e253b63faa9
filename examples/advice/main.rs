//! Advice line by line, for whoever drives the planner with a world of their own: JSON in on standard input, one JSON answer a
//! line on standard output.
//!
//! ```text
//! cargo run --release --example advice < asked.jsonl
//! ```
//!
//! * `{"unit": UNIT}` begins anew with a unit: the fields of a unit's file, as JSON. Products are those that the program ships
//!   (`{"Shipped": "phosphoric-down"}`) or own ones.
//! * `{"log": [ENTRY, …]}` adds what was done and read, such as
//!   `{"Reading": {"at_s": 1790000000, "ph": 7.6, "ec_ms_cm": 0.4}}` or
//!   `{"Pour": {"at_s": 1790000060, "product_id": "two-part-a", "amount": 80.0}}`; `{"JarTest": …}` too.
//! * `{"advise": {"now_s": 1790000600, "seed": 1}}` asks what to do then. The answer has the steps in order, each with its
//!   `do`: `pour`, `top_up`, `swap`, `read`, `ask`, `leave_it` or `cannot_help`; with amounts, the wait, what the next reading
//!   should show, the chance to cross the far edge, and whether a jar test is worth its minutes. `belief` has pH, EC, volume
//!   and alkalinity, 1 in 10 below, middle, 1 in 10 above.
//!
//! What can't be done is answered by `{"error": "…"}`; the unit stays as it was. The same lines give the same answers.
#![expect(clippy::print_stdout, reason = "it answers on standard output")]

mod lines;

use std::io::{BufRead as _, Write as _};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut talk = lines::Talk::new()?;
    for line in std::io::stdin().lock().lines() {
        let line = line?;
        if !line.trim().is_empty() {
            println!("{}", talk.answer(&line));
            std::io::stdout().flush()?;
        }
    }
    Ok(())
}
