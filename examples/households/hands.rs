//! Who pours: the planner, and the rules that people follow without one.

use std::time::Instant;

use pourcast::garden::{Catalog, LogEntry, Promise, Role};
use pourcast::plan::{Action, JarNext, Measured, Planner, Step};

use super::score::{Band, Course, PourDone};
use super::world::World;

/// A way of deciding how much to pour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Hand {
    /// The plan, poured as advised.
    Plan,
    /// The same, with a jar test where the demand is in great doubt.
    PlanWithJar,
    /// The label's rate at first, then half of what proportion asks for.
    LabelThenHalf,
    /// A fixed volume per litre whenever pH or EC is out.
    Fixed,
    /// A little at a time, reading after each.
    LittleByLittle,
}

impl Hand {
    pub(crate) const ALL: [Self; 5] =
        [Self::Plan, Self::PlanWithJar, Self::LabelThenHalf, Self::Fixed, Self::LittleByLittle];

    /// Whether it follows the plan.
    pub(crate) const fn plans(self) -> bool {
        matches!(self, Self::Plan | Self::PlanWithJar)
    }

    pub(crate) const fn name(self) -> &'static str {
        match self {
            Self::Plan => "the plan",
            Self::PlanWithJar => "the plan, jar test when in doubt",
            Self::LabelThenHalf => "label rate, then half of proportion",
            Self::Fixed => "fixed mL per litre",
            Self::LittleByLittle => "a little at a time",
        }
    }

    /// Rounds it takes before it gives up.
    const fn rounds(self, asked: usize) -> usize {
        if matches!(self, Self::LittleByLittle) { 12 } else { asked }
    }
}

/// What a bottle for pH is said to want at first, mL per litre; and what is poured at a time by the cautious. Ours.
const PH_LABEL_ML_PER_L: f64 = 0.25;
const FIXED_ML_PER_L: f64 = 0.2;
const LITTLE_ML_PER_L: f64 = 0.03;

/// Readings in one jar, at most: nobody's patience is endless. Ours.
const MOST_IN_JAR: usize = 10;

struct Trial<'a> {
    world: &'a mut dyn World,
    catalog: &'a Catalog,
    seed: u64,
    course: Course,
    round: usize,
}

impl Trial<'_> {
    fn pour(&mut self, id: &str, amount: f64, promise: Option<Promise>, risk: Option<f64>, moves_ph: bool) {
        let before = self.world.truth();
        self.world.pour(id, amount, promise);
        let after = self.world.truth();
        self.course.pours.push(PourDone {
            round: self.round,
            id: id.to_owned(),
            amount,
            before,
            after,
            moves_ph,
            risk,
        });
    }

    fn wait(&mut self) {
        let wait = self.world.unit().kind.mixing_wait_min();
        self.world.wait(wait);
    }

    fn read(&mut self) -> (f64, f64) {
        self.world.read();
        let reading = self.world.unit().last_reading().copied().unwrap_or_default();
        (reading.ph.unwrap_or(f64::NAN), reading.ec_ms_cm.unwrap_or(f64::NAN))
    }

    /// One round by the plan; whether it says to leave the water.
    fn by_plan(&mut self, with_jar: bool) -> bool {
        let started = Instant::now();
        let planner = match Planner::new(self.world.unit(), self.catalog, self.world.now_s(), self.seed) {
            Ok(planner) => planner,
            Err(error) => {
                self.course.refused = Some(error.to_string());
                return false;
            }
        };
        let believed = started.elapsed().as_secs_f64() * 1e3;
        let plan = match planner.plan() {
            Ok(plan) => plan,
            Err(error) => {
                self.course.refused = Some(error.to_string());
                return false;
            }
        };
        self.course.millis.push((believed, started.elapsed().as_secs_f64() * 1e3 - believed));
        let (ph, ec) = self.world.truth();
        let showing = &planner.knowledge().showing;
        let points: Vec<_> =
            planner.belief().members.iter().filter_map(|member| showing.of(&member.tank.totals).ok()).collect();
        let range = |of: fn(&pourcast::dose::Point) -> f64| {
            let mut values: Vec<f64> = points.iter().map(of).collect();
            [0.1, 0.9].map(|p| pourcast::learn::quantile(&mut values, p))
        };
        let holds = |[low, high]: [f64; 2], value: f64| (low..=high).contains(&value);
        self.course.held.push((holds(range(|p| p.ph), ph), holds(range(|p| p.ec_ms_cm), ec)));
        let mut expect = None;
        let mut touched = false;
        let mut later;
        for step in plan.steps.iter().take_while(|step| !step.provisional) {
            match &step.action {
                Action::Pour(measured) => {
                    if step.edge.is_some() && touched {
                        self.wait();
                    }
                    let tested = with_jar && step.edge.is_some() && self.test_in_jar();
                    let (step, measured) = match tested.then(|| self.planned_ph()).flatten() {
                        Some((_, found, measured)) => {
                            later = (found, measured);
                            (&later.0, &later.1)
                        }
                        // What the jar taught may be that nothing is needed.
                        None if tested => continue,
                        None => (step, measured),
                    };
                    let promise = step.expect.map(|expect| expect.promise(measured.amount, Some(measured.amount)));
                    self.pour(&measured.id, measured.amount, promise, step.risk, step.edge.is_some());
                }
                Action::TopUp { water_l } => self.world.thin(0.0, *water_l),
                Action::Swap { litres } => self.world.thin(*litres, *litres),
                _ => continue,
            }
            touched = true;
            expect = step.expect;
        }
        self.wait();
        let (ph, ec) = self.read();
        if let Some(expect) = expect {
            self.course.promised.push((
                (expect.ph.0..=expect.ph.2).contains(&ph),
                (expect.ec_ms_cm.0..=expect.ec_ms_cm.2).contains(&ec),
            ));
        }
        !touched
    }

    /// A jar test, where the plan offers one beside the acid or base that it pours now.
    fn test_in_jar(&mut self) -> bool {
        let Some((planner, step, _)) = self.planned_ph() else { return false };
        let Some(guide) = step.jar.as_ref().and_then(|offer| planner.jar(&offer.product_id)) else { return false };
        self.world.jar(&guide.product_id, guide.water_l, &|points| match planner.jar_next(&guide, points) {
            _ if points.len() >= MOST_IN_JAR => None,
            JarNext::ReadFirst => Some(0.0),
            JarNext::Add { total, .. } => Some(total),
            JarNext::Enough => None,
        });
        let points = self.world.unit().log.iter().rev().find_map(|entry| match entry {
            LogEntry::JarTest(test) => Some(test.points.len()),
            _ => None,
        });
        self.course.jars.0 += 1;
        self.course.jars.1 += points.unwrap_or(0);
        true
    }

    /// The pour of acid or base that is planned now.
    fn planned_ph(&self) -> Option<(Planner, Step, Measured)> {
        let planner = Planner::new(self.world.unit(), self.catalog, self.world.now_s(), self.seed).ok()?;
        let plan = planner.plan().ok()?;
        let found = plan.steps.into_iter().find_map(|step| match &step.action {
            Action::Pour(measured) if step.edge.is_some() && !step.provisional => {
                let measured = measured.clone();
                Some((step, measured))
            }
            _ => None,
        });
        found.map(|(step, measured)| (planner, step, measured))
    }

    /// One round by a rule of thumb; whether it is content.
    fn by_rule(&mut self, hand: Hand, band: &Band, moved: &mut Option<(f64, f64)>) -> bool {
        let unit = self.world.unit();
        let last = unit.last_reading().copied().unwrap_or_default();
        let (ph, ec) = (last.ph.unwrap_or(7.0), last.ec_ms_cm.unwrap_or(0.0));
        let level_l = unit.level_l;
        let shelf: Vec<(String, Role, f64)> = unit
            .shelf
            .iter()
            .filter_map(|item| self.catalog.product_of(item))
            .map(|product| {
                let label = product.label_rate.as_ref().map_or(0.0, |rate| rate.per_l);
                (product.id.clone(), product.role, label)
            })
            .collect();
        let middle = f64::midpoint(band.ec_ms_cm.0, band.ec_ms_cm.1);
        let share = match hand {
            Hand::LabelThenHalf if self.round == 0 => 1.0,
            Hand::LabelThenHalf => 0.5 * ((middle - ec) / middle).max(0.0),
            Hand::Fixed => 0.5,
            Hand::LittleByLittle | Hand::Plan | Hand::PlanWithJar => 0.25,
        };
        let hungry = ec < band.ec_ms_cm.0;
        if hungry {
            for (id, _, per_l) in shelf.iter().filter(|(_, role, _)| *role == Role::Feed) {
                self.pour(id, share * per_l * level_l, None, None, false);
            }
        } else if ec > band.ec_ms_cm.1 {
            let out_l = level_l * ((ec - middle) / ec).clamp(0.0, 0.5);
            self.world.thin(out_l, out_l);
        }
        let down = ph > band.ph.1;
        let out = down || ph < band.ph.0;
        // The cautious feed first and touch pH after.
        let waits = hand == Hand::LittleByLittle && hungry;
        if out && !waits {
            let role = if down { Role::PhDown } else { Role::PhUp };
            let aim = f64::midpoint(band.ph.0, band.ph.1);
            let ml = match (hand, *moved) {
                (Hand::LabelThenHalf, Some((dose, change))) if change.abs() > 0.05 => {
                    (0.5 * dose * (aim - ph) / change).abs().min(2.0 * PH_LABEL_ML_PER_L * level_l)
                }
                (Hand::LabelThenHalf | Hand::Plan | Hand::PlanWithJar, _) => PH_LABEL_ML_PER_L * level_l,
                (Hand::Fixed, _) => FIXED_ML_PER_L * level_l,
                (Hand::LittleByLittle, _) => LITTLE_ML_PER_L * level_l,
            };
            if let Some((id, ..)) = shelf.iter().find(|(_, other, _)| *other == role) {
                self.pour(id, ml, None, None, true);
                *moved = Some((ml, f64::NAN));
            }
        }
        self.wait();
        let (read, _) = self.read();
        if let Some((_, change)) = moved.as_mut().filter(|_| out && !waits) {
            *change = read - ph;
        }
        !out && !hungry && ec <= band.ec_ms_cm.1
    }
}

/// Lives one household through so many rounds, then waits until the next day and the third.
pub(crate) fn live(
    world: &mut dyn World,
    catalog: &Catalog,
    hand: Hand,
    band: &Band,
    seed: u64,
    rounds: usize,
) -> Course {
    world.wait(10);
    world.read();
    let mut trial = Trial { world, catalog, seed, course: Course { seed, readings: 1, ..Course::default() }, round: 0 };
    let mut moved = None;
    for round in 0..hand.rounds(rounds) {
        trial.round = round;
        let content =
            if hand.plans() { trial.by_plan(hand == Hand::PlanWithJar) } else { trial.by_rule(hand, band, &mut moved) };
        let truth = trial.world.truth();
        trial.course.rounds.push(truth);
        if trial.course.refused.is_some() {
            break;
        }
        if content && !trial.course.left_alone {
            trial.course.left_alone = true;
        } else if !trial.course.left_alone {
            trial.course.readings += 1;
        }
        if hand == Hand::LittleByLittle && content {
            break;
        }
    }
    trial.world.wait(24 * 60);
    trial.course.next_day = trial.world.truth();
    trial.world.wait(48 * 60);
    trial.course.third_day = trial.world.truth();
    trial.course
}
