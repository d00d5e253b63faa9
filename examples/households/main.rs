//! Lives invented households through a few rounds of plan, pour, wait and read, and prints how they fared.
//!
//! ```text
//! cargo run --release --example households -- --seeds 1..200 --rounds 3 --arm matched --threads 1
//! ```
//!
//! * `--seeds A..B`: households A up to and with B; each is the same on every machine.
//! * `--rounds N`: rounds of plan, pour, wait, read (3).
//! * `--arm matched|wider|strips|drops|careless`: how the truth differs from what the planner takes for granted.
//! * `--ph LOW-HIGH`, `--ec LOW-HIGH`: the zone (5.5-6.5 and 1.2-1.8).
//! * `--hands plan|all`: the plan alone, or the rules that people follow beside it.
//! * `--split`: rows by bottle and by kind of water as well.
//! * `--courses`: what happened in each household, a line each, before the table.
//! * `--threads N`: how many at once (1). The table is the same for any number.
//!
//! A world of one's own, with another chemistry for its truth, implements [`world::World`] and goes through [`hands::live`].
#![expect(clippy::print_stdout, reason = "it prints a table")]
#![expect(clippy::unwrap_used, reason = "an invented household that cannot be built is a mistake of the trial's own")]

mod hands;
mod household;
mod score;
mod world;

use std::sync::Mutex;

use pourcast::garden::{Catalog, OwnBand, PhInstrument};

use hands::{Hand, live};
use household::{Arm, Household};
use score::{Band, Course, HEADS, row, told};

struct Asked {
    seeds: (u64, u64),
    rounds: usize,
    arm: Arm,
    band: Band,
    all_hands: bool,
    split: bool,
    courses: bool,
    threads: u64,
}

fn asked() -> Result<Asked, String> {
    let mut asked = Asked {
        seeds: (1, 100),
        rounds: 3,
        arm: Arm::MATCHED,
        band: Band { ph: (5.5, 6.5), ec_ms_cm: (1.2, 1.8) },
        all_hands: false,
        split: false,
        courses: false,
        threads: 1,
    };
    let mut words = std::env::args().skip(1);
    while let Some(word) = words.next() {
        let mut value = || words.next().ok_or_else(|| format!("{word} wants a value"));
        match word.as_str() {
            "--seeds" => asked.seeds = pair(&value()?, "..")?,
            "--rounds" => asked.rounds = number(&value()?)?,
            "--threads" => asked.threads = number::<u64>(&value()?)?.max(1),
            "--ph" => asked.band.ph = pair(&value()?, "-")?,
            "--ec" => asked.band.ec_ms_cm = pair(&value()?, "-")?,
            "--arm" => asked.arm = arm(&value()?)?,
            "--hands" => asked.all_hands = value()? == "all",
            "--split" => asked.split = true,
            "--courses" => asked.courses = true,
            other => return Err(format!("\"{other}\" is not known; see the head of examples/households/main.rs")),
        }
    }
    Ok(asked)
}

fn number<T: std::str::FromStr<Err: std::fmt::Display>>(text: &str) -> Result<T, String> {
    text.parse().map_err(|error| format!("\"{text}\": {error}"))
}

fn pair<T: std::str::FromStr<Err: std::fmt::Display>>(text: &str, between: &str) -> Result<(T, T), String> {
    let (low, high) = text.split_once(between).ok_or_else(|| format!("\"{text}\" is not LOW{between}HIGH"))?;
    Ok((number(low)?, number(high)?))
}

fn arm(name: &str) -> Result<Arm, String> {
    Ok(match name {
        "matched" => Arm::MATCHED,
        // A neighbouring kind of water is named by 15 in 100, and citrate is respired within two days.
        "wider" => Arm { width: 1.4, mistaken: 0.15, respired_per_h: 0.02, ..Arm::MATCHED },
        "strips" => Arm { instrument: Some(PhInstrument::Strips), ..Arm::MATCHED },
        "drops" => Arm { instrument: Some(PhInstrument::Drops), ..Arm::MATCHED },
        "careless" => Arm { careless: 0.1, ..Arm::MATCHED },
        other => return Err(format!("\"{other}\" is no arm: matched, wider, strips, drops or careless")),
    })
}

fn main() -> Result<(), String> {
    let asked = asked()?;
    let catalog = Catalog::shipped().map_err(|error| error.to_string())?;
    println!("{HEADS}");
    for hand in Hand::ALL.into_iter().take(if asked.all_hands { 5 } else { 2 }) {
        let done = Mutex::new(Vec::new());
        std::thread::scope(|scope| {
            for thread in 0..asked.threads {
                let (catalog, done, asked) = (&catalog, &done, &asked);
                scope.spawn(move || {
                    for seed in (asked.seeds.0..=asked.seeds.1).filter(|seed| seed % asked.threads == thread) {
                        let mut home = Household::in_arm(seed, catalog, asked.arm);
                        home.unit.own_band =
                            Some(OwnBand { ph: Some(asked.band.ph), ec_ms_cm: Some(asked.band.ec_ms_cm) });
                        let (labelled, water) = (home.labelled, format!("{:?}", home.unit.source_water.kind));
                        let course = live(&mut home, catalog, hand, &asked.band, seed, asked.rounds);
                        done.lock().unwrap().push(Course { labelled, water, ..course });
                    }
                });
            }
        });
        let mut courses = done.into_inner().unwrap();
        courses.sort_by_key(|course| course.seed);
        if asked.courses {
            for course in &courses {
                println!("{}", told(course, &asked.band));
            }
        }
        let line = |name: &str, holds: &dyn Fn(&Course) -> bool| {
            let chosen: Vec<&Course> = courses.iter().filter(|course| holds(course)).collect();
            println!("{}", row(name, &chosen, &asked.band));
        };
        line(hand.name(), &|_| true);
        if hand.plans() {
            println!("{}", score::calibration(hand.name(), &courses.iter().collect::<Vec<_>>()));
        }
        if asked.split {
            line("- labelled", &|course| course.labelled);
            line("- unlabelled", &|course| !course.labelled);
            let mut waters: Vec<&str> = courses.iter().map(|course| course.water.as_str()).collect();
            waters.sort_unstable();
            waters.dedup();
            for water in waters {
                line(&format!("- {water}"), &|course| course.water == water);
            }
        }
    }
    Ok(())
}
