//! What happened in a trial, and the table of it.

use std::fmt::Write as _;

/// Zone of the trial: pH, and EC in mS/cm.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Band {
    pub(crate) ph: (f64, f64),
    pub(crate) ec_ms_cm: (f64, f64),
}

impl Band {
    pub(crate) fn holds(&self, (ph, ec): (f64, f64)) -> (bool, bool) {
        let inside = |(low, high): (f64, f64), value: f64| (low..=high).contains(&value);
        (inside(self.ph, ph), inside(self.ec_ms_cm, ec))
    }
}

/// One pour of an acid, a base or a feed.
#[derive(Clone, Debug)]
pub(crate) struct PourDone {
    pub(crate) round: usize,
    pub(crate) id: String,
    pub(crate) amount: f64,
    /// True pH and EC before and just after.
    pub(crate) before: (f64, f64),
    pub(crate) after: (f64, f64),
    /// Whether it is there to move pH.
    pub(crate) moves_ph: bool,
    /// Chance of crossing that was told.
    pub(crate) risk: Option<f64>,
}

impl PourDone {
    /// How far a pour of acid or base took pH beyond the edge it moved towards.
    pub(crate) fn ph_beyond(&self, band: &Band) -> f64 {
        if self.after.0 < self.before.0 { band.ph.0 - self.after.0 } else { self.after.0 - band.ph.1 }
    }
}

/// The course of one household under one hand.
#[derive(Clone, Debug, Default)]
pub(crate) struct Course {
    pub(crate) seed: u64,
    pub(crate) labelled: bool,
    pub(crate) water: String,
    /// True pH and EC at the end of each round.
    pub(crate) rounds: Vec<(f64, f64)>,
    pub(crate) pours: Vec<PourDone>,
    /// Readings taken until the hand left the water alone, or gave up.
    pub(crate) readings: usize,
    /// Jar tests made, and readings taken in them.
    pub(crate) jars: (usize, usize),
    /// Whether it was left alone at the end.
    pub(crate) left_alone: bool,
    pub(crate) next_day: (f64, f64),
    pub(crate) third_day: (f64, f64),
    /// Whether the range from 1 in 10 to 9 in 10 held the true pH and EC, at each reading.
    pub(crate) held: Vec<(bool, bool)>,
    /// Whether the promised 5 to 95 in 100 held the pH and EC that were read.
    pub(crate) promised: Vec<(bool, bool)>,
    /// Milliseconds of each belief, and of each plan.
    pub(crate) millis: Vec<(f64, f64)>,
    /// Why the hand stopped early, if the planner refused.
    pub(crate) refused: Option<String>,
}

fn percent(count: usize, all: usize) -> String {
    if all == 0 { "-".to_owned() } else { format!("{:.1}", 100.0 * count as f64 / all as f64) }
}

/// A line for one pour, for who wants to see the course.
pub(crate) fn told(course: &Course, band: &Band) -> String {
    let mut text =
        format!("{} {} {}: ", course.seed, course.water, if course.labelled { "labelled" } else { "unlabelled" });
    for (round, truth) in course.rounds.iter().enumerate() {
        for pour in course.pours.iter().filter(|pour| pour.round == round) {
            let crossed = pour.moves_ph && pour.ph_beyond(band) > 0.0;
            let _ = write!(
                text,
                "{} {:.2} ({:.2}->{:.2}, {:.2}->{:.2}{}{}) ",
                pour.id,
                pour.amount,
                pour.before.0,
                pour.after.0,
                pour.before.1,
                pour.after.1,
                pour.risk.map_or_else(String::new, |risk| format!(", risk {risk:.3}")),
                if crossed { ", CROSSED" } else { "" }
            );
        }
        let _ = write!(text, "=> pH {:.2} EC {:.2}; ", truth.0, truth.1);
    }
    let _ = write!(text, "next day {:.2}, third {:.2}", course.next_day.0, course.third_day.0);
    if let Some(refused) = &course.refused {
        let _ = write!(text, "; refused: {refused}");
    }
    text
}

/// The heads of the table, in the order of [`row`].
pub(crate) const HEADS: &str = "| hand | households | pH in zone after rounds 1/2/3 % | pH and EC after 3 % | EC in zone 1/2/3 % | pH pours crossing % (of n) | first pours crossing % | by > 0.1 % | worst, pH | households crossing % | EC pours crossing % | worst, mS/cm | next day in zone % | third day % | readings | jar tests (readings in them) | 80 % ranges hold pH/EC % | promises hold pH/EC % | belief/plan ms |\n|---|---|---|---|---|---|---|---|---|---|---|---|---|---|---|---|---|---|---|";

/// How often the ranges from 1 in 10 to 9 in 10 held the truth, reading by reading.
pub(crate) fn calibration(name: &str, courses: &[&Course]) -> String {
    let most = courses.iter().map(|course| course.held.len()).max().unwrap_or(0);
    let at = |reading: usize| {
        let held: Vec<(bool, bool)> = courses.iter().filter_map(|course| course.held.get(reading)).copied().collect();
        let share = |of: fn(&(bool, bool)) -> bool| percent(held.iter().filter(|held| of(held)).count(), held.len());
        format!("{}: {}/{} (of {})", reading + 1, share(|held| held.0), share(|held| held.1), held.len())
    };
    format!("80 % ranges of {name} hold pH/EC % at reading {}", (0..most).map(at).collect::<Vec<_>>().join(", "))
}

/// One row of the table.
pub(crate) fn row(name: &str, courses: &[&Course], band: &Band) -> String {
    let all = courses.len();
    let after = |round: usize| {
        let at = |course: &&&Course| course.rounds.get(round).or(course.rounds.last()).map(|truth| band.holds(*truth));
        let held: Vec<(bool, bool)> = courses.iter().filter_map(|course| at(&course)).collect();
        (
            held.iter().filter(|held| held.0).count(),
            held.iter().filter(|held| held.1).count(),
            held.iter().filter(|held| held.0 && held.1).count(),
        )
    };
    let ph: Vec<String> = (0..3).map(|round| percent(after(round).0, all)).collect();
    let ec: Vec<String> = (0..3).map(|round| percent(after(round).1, all)).collect();
    let pours = |moves_ph: bool| courses.iter().flat_map(|c| &c.pours).filter(move |pour| pour.moves_ph == moves_ph);
    let beyond: Vec<f64> = pours(true).map(|pour| pour.ph_beyond(band)).collect();
    let worst = beyond.iter().copied().fold(0.0, f64::max);
    let firsts: Vec<f64> = courses
        .iter()
        .filter_map(|course| course.pours.iter().find(|pour| pour.moves_ph))
        .map(|pour| pour.ph_beyond(band))
        .collect();
    let crossing = |values: &[f64], by: f64| values.iter().filter(|beyond| **beyond > by).count();
    let homes =
        courses.iter().filter(|c| c.pours.iter().any(|pour| pour.moves_ph && pour.ph_beyond(band) > 0.0)).count();
    let ec_beyond: Vec<f64> = pours(false).map(|pour| pour.after.1 - band.ec_ms_cm.1).collect();
    let ec_worst = ec_beyond.iter().copied().fold(0.0, f64::max);
    let days: Vec<String> = [|c: &Course| c.next_day, |c: &Course| c.third_day]
        .into_iter()
        .map(|of| percent(courses.iter().filter(|course| band.holds(of(course)).0).count(), all))
        .collect();
    let share = |of: fn(&Course) -> &Vec<(bool, bool)>| {
        let held: Vec<(bool, bool)> = courses.iter().flat_map(|course| of(course)).copied().collect();
        format!(
            "{}/{}",
            percent(held.iter().filter(|held| held.0).count(), held.len()),
            percent(held.iter().filter(|held| held.1).count(), held.len())
        )
    };
    let readings = courses.iter().map(|course| course.readings).sum::<usize>() as f64 / all.max(1) as f64;
    let jars = courses.iter().map(|course| course.jars.0).sum::<usize>() as f64 / all.max(1) as f64;
    let in_jars = courses.iter().map(|course| course.jars.1).sum::<usize>() as f64 / all.max(1) as f64;
    let mut times: Vec<(f64, f64)> = courses.iter().flat_map(|course| &course.millis).copied().collect();
    let mut median = |of: fn(&(f64, f64)) -> f64| {
        times.sort_by(|a, b| of(a).total_cmp(&of(b)));
        times.get(times.len() / 2).map_or_else(|| "-".to_owned(), |time| format!("{:.0}", of(time)))
    };
    let millis = format!("{}/{}", median(|time| time.0), median(|time| time.1));
    format!(
        "| {name} | {all} | {} | {} | {} | {} ({}) | {} | {} | {worst:.2} | {} | {} ({}) | {ec_worst:.2} | {} | {} | {readings:.1} | {jars:.2} ({in_jars:.1}) | {} | {} | {millis} |",
        ph.join("/"),
        percent(after(2).2, all),
        ec.join("/"),
        percent(crossing(&beyond, 0.0), beyond.len()),
        beyond.len(),
        percent(crossing(&firsts, 0.0), firsts.len()),
        percent(crossing(&beyond, 0.1), beyond.len()),
        percent(homes, all),
        percent(crossing(&ec_beyond, 0.0), ec_beyond.len()),
        ec_beyond.len(),
        days[0],
        days[1],
        share(|course| &course.held),
        share(|course| &course.promised),
    )
}
