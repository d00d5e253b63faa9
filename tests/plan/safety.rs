//! Is the plan safe? A small closed loop on invented households: plan, pour, wait, read, plan again.
//!
//! The truth of each is drawn from the priors that the planner states, so this tests beliefs and decisions, not chemistry:
//! the same dose model carries the truth. Real homes will do somewhat worse. Half the pH liquids have no label, tanks hold 4
//! to 60 L and no plants, a quarter of the pens show 0.1 pH only. Crossing is the true pH just mixed, beyond the far edge of
//! the zone. The seeds were not used to tune anything.

use std::sync::Mutex;

use pourcast::garden::Catalog;
use pourcast::plan::{Action, EC_SAFETY, Planner, SAFETY};

use super::household::{Arm, Household};
use super::world::World as _;
use super::{SEED, catalog};

const HOUSEHOLDS: u64 = 64;
const ROUNDS: usize = 4;

/// Pours of one sort and how many crossed.
#[derive(Clone, Copy, Default)]
struct Pours {
    all: u32,
    crossed: u32,
    by_more: u32,
    worst: f64,
}

impl Pours {
    fn add(&mut self, beyond: f64, more: f64) {
        self.all += 1;
        self.crossed += u32::from(beyond > 0.0);
        self.by_more += u32::from(beyond > more);
        self.worst = self.worst.max(beyond);
    }

    fn percent(self) -> f64 {
        100.0 * f64::from(self.crossed) / f64::from(self.all.max(1))
    }

    fn print(self, name: &str, unit: &str) {
        println!(
            "  {name}: {} pours, {} crossed ({:.1} %), {} of them by more than 0.1, worst {:.2}{unit}",
            self.all,
            self.crossed,
            self.percent(),
            self.by_more,
            self.worst
        );
    }
}

/// How often a thing held, out of how often it was asked.
#[derive(Clone, Copy, Default)]
struct Held {
    held: u32,
    all: u32,
}

impl Held {
    fn add(&mut self, held: bool) {
        self.held += u32::from(held);
        self.all += 1;
    }

    fn percent(self) -> f64 {
        100.0 * f64::from(self.held) / f64::from(self.all.max(1))
    }
}

#[derive(Default)]
struct Tally {
    ph: Pours,
    ph_first: Pours,
    ph_unlabelled: Pours,
    ec: Pours,
    /// True pH in the zone, within 0.1 of it, and true EC in the zone, after each round.
    in_zone: [[Held; 3]; ROUNDS],
    /// Readings inside the promised 5 to 95 in 100.
    promised: [Held; 2],
    left_alone: Held,
}

/// The largest number of crossings out of `all` that chance alone brings in 99 of 100 such trials at a rate.
pub(crate) fn binomial_slack(all: u32, rate: f64) -> u32 {
    let mut term = (1.0 - rate).powi(all.cast_signed());
    let mut sum = term;
    let mut k = 0;
    while sum < 0.99 && k < all {
        term *= f64::from(all - k) / f64::from(k + 1) * rate / (1.0 - rate);
        k += 1;
        sum += term;
    }
    k
}

fn live(seed: u64, catalog: &Catalog, tally: &Mutex<Tally>) {
    let mut home = Household::in_arm(seed, catalog, Arm::MATCHED);
    home.wait(10);
    home.read();
    let mut ph_pours = 0;
    for round in 0..ROUNDS {
        let planner = Planner::new(home.unit(), catalog, home.now_s(), SEED + seed);
        let planner = planner.unwrap_or_else(|error| panic!("household {seed}: {error}"));
        let plan = planner.plan().unwrap_or_else(|error| panic!("household {seed}: {error}"));
        let (low, high) = plan.zone.ph;
        let (ec_low, ec_high) = plan.zone_ec_ms_cm;
        let mut expect = None;
        let mut touched = false;
        for step in plan.steps.iter().take_while(|step| !step.provisional) {
            match &step.action {
                Action::Pour(measured) => {
                    if touched && step.edge.is_some() {
                        // Feed mixes before acid goes in.
                        home.wait(home.unit.kind.mixing_wait_min());
                    }
                    let promise = step.expect.map(|expect| expect.promise(measured.amount, Some(measured.amount)));
                    home.pour(&measured.id, measured.amount, promise);
                    let (ph, ec) = home.truth();
                    let mut tally = tally.lock().unwrap();
                    if let Some(edge) = step.edge {
                        let beyond = if edge < f64::midpoint(low, high) { low - ph } else { ph - high };
                        tally.ph.add(beyond, 0.1);
                        if ph_pours == 0 {
                            tally.ph_first.add(beyond, 0.1);
                        }
                        if !home.labelled {
                            tally.ph_unlabelled.add(beyond, 0.1);
                        }
                        ph_pours += 1;
                        if beyond > 0.0 {
                            println!(
                                "  household {seed}, round {}: {} {} into {:.1} L ends at pH {ph:.2}, told a risk of {:?}",
                                round + 1,
                                measured.amount,
                                measured.id,
                                home.unit.level_l,
                                step.risk
                            );
                        }
                    } else {
                        tally.ec.add(ec - ec_high, 0.1);
                    }
                }
                Action::TopUp { water_l } => home.thin(0.0, *water_l),
                Action::Swap { litres } => home.thin(*litres, *litres),
                _ => continue,
            }
            touched = true;
            expect = step.expect;
        }
        home.wait(30);
        home.read();
        let (ph, ec) = home.truth();
        let mut tally = tally.lock().unwrap();
        let [in_zone, nearly, fed] = &mut tally.in_zone[round];
        in_zone.add((low..=high).contains(&ph));
        nearly.add((low - 0.1..=high + 0.1).contains(&ph));
        fed.add((ec_low..=ec_high).contains(&ec));
        let reading = home.unit.last_reading().unwrap();
        if let (Some(expect), Some(ph), Some(ec)) = (expect, reading.ph, reading.ec_ms_cm) {
            tally.promised[0].add((expect.ph.0..=expect.ph.2).contains(&ph));
            tally.promised[1].add((expect.ec_ms_cm.0..=expect.ec_ms_cm.2).contains(&ec));
        }
        if !touched && plan.steps.iter().all(|step| matches!(step.action, Action::LeaveIt)) {
            // Told to leave it: the truth must be no further out than the meter can tell, 2 sds.
            let far = 2.0 * home.unit.meter.ph_sd();
            tally.left_alone.add((low - far..=high + far).contains(&ph));
        }
    }
}

#[test]
fn pours_cross_the_far_edge_no_oftener_than_stated() {
    let catalog = catalog();
    let tally = Mutex::new(Tally::default());
    std::thread::scope(|scope| {
        for half in 0..2 {
            let (catalog, tally) = (&catalog, &tally);
            scope.spawn(move || {
                for seed in (0..HOUSEHOLDS).filter(|seed| seed % 2 == half) {
                    live(1000 + seed, catalog, tally);
                }
            });
        }
    });
    let tally = tally.into_inner().unwrap();
    println!("{HOUSEHOLDS} households, {ROUNDS} rounds of plan, pour, 30 min, read:");
    tally.ph.print("acid and base", " pH");
    tally.ph_first.print("the first of a household", " pH");
    tally.ph_unlabelled.print("without a label", " pH");
    tally.ec.print("feed and supplement", " mS/cm");
    for (round, [in_zone, nearly, fed]) in tally.in_zone.iter().enumerate() {
        println!(
            "  after round {}: pH in the zone {:.0} %, within 0.1 of it {:.0} %, EC in the zone {:.0} %",
            round + 1,
            in_zone.percent(),
            nearly.percent(),
            fed.percent()
        );
    }
    let [ph, ec] = tally.promised;
    println!("  readings inside the promised 90 %: pH {:.0} %, EC {:.0} % of {}", ph.percent(), ec.percent(), ph.all);
    println!("  left alone rightly: {:.0} % of {}", tally.left_alone.percent(), tally.left_alone.all);
    assert!(tally.ph.all > 60 && tally.ec.all > 60, "too few pours to say anything");
    let slack = binomial_slack(tally.ph.all, SAFETY);
    assert!(tally.ph.crossed <= slack, "{} of {} pours crossed, {slack} granted", tally.ph.crossed, tally.ph.all);
    let slack = binomial_slack(tally.ec.all, EC_SAFETY);
    assert!(tally.ec.crossed <= slack, "{} of {} feeds crossed, {slack} granted", tally.ec.crossed, tally.ec.all);
    assert!(tally.left_alone.percent() >= 90.0, "left alone wrongly too often");
}
