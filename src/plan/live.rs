//! The spread of a landing while a hand drags it: the same stories and the same chemistry as [`Planner::spread`], each
//! story solved from where it was a moment ago.

use crate::chem::{Carbon, ChemError, Component, Speciation};
use crate::dose::{Cloud, Point, Showing, Tank};
use crate::learn::Member;

use super::Planner;

/// Each story's last solutions.
#[derive(Clone, Debug, Default)]
pub struct Live {
    mixed: Vec<Option<Speciation>>,
    rested: Vec<Option<Speciation>>,
}

/// A spread in a hurry.
#[derive(Clone, Debug, PartialEq)]
pub struct LiveSpread {
    /// Outlines of where the stories are at the moment that was asked for.
    pub cloud: Cloud,
    /// Chance to fall below the zone's low pH edge, just mixed.
    pub below: f64,
    /// Chance to rise above the zone's high pH edge, just mixed.
    pub above: f64,
    /// pH at the moment that was asked for: 1 in 10 below, middle, 1 in 10 above.
    pub ph: (f64, f64, f64),
    /// The same as the meter may show it, 1 in 20 on either side: as a promise counts.
    pub ph_read: (f64, f64, f64),
    /// EC at that moment, mS/cm: 1 in 10 below, middle, 1 in 10 above.
    pub ec_ms_cm: (f64, f64, f64),
}

impl Live {
    /// Nothing solved yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// The spread of amounts of products, in order, so many hours after mixing; nought is just mixed.
    pub fn spread(&mut self, planner: &Planner, pours: &[(String, f64)], hours: f64) -> LiveSpread {
        let showing = &planner.knowledge.showing;
        let forecast = planner.crowd_after(pours);
        let members = &planner.belief.members;
        self.mixed.resize(members.len(), None);
        self.rested.resize(members.len(), None);
        let mut mixed_ph = Vec::with_capacity(members.len());
        let mut points: Vec<Point> = Vec::with_capacity(members.len());
        let mut read_ph = Vec::with_capacity(members.len());
        let noise_sd = planner.knowledge.ph_noise(planner.knowledge.seen.ec_ms_cm);
        for (i, (member, tank)) in members.iter().zip(&forecast.tanks).enumerate() {
            let Ok(mixed) = solve(showing, self.mixed[i].as_ref(), tank, Carbon::Kept) else { continue };
            let point = if hours > 0.0 {
                breathed(showing, &mut self.rested[i], (&mixed, tank), member, hours)
            } else {
                showing.point(&mixed)
            };
            mixed_ph.push(mixed.ph());
            if let Ok(point) = point {
                read_ph.push(point.ph + member.ph_offset + noise_sd * planner.noise[2 * i]);
                points.push(point);
            }
            self.mixed[i] = Some(mixed);
        }
        let (low, high) = planner.zone.ph;
        let share = |count: usize| count as f64 / mixed_ph.len().max(1) as f64;
        let three = |mut values: Vec<f64>, tail: f64| {
            [tail, 0.5, 1.0 - tail].map(|p| crate::learn::quantile(&mut values, p)).into()
        };
        LiveSpread {
            below: share(mixed_ph.iter().filter(|ph| **ph < low).count()),
            above: share(mixed_ph.iter().filter(|ph| **ph > high).count()),
            ph: three(points.iter().map(|point| point.ph).collect(), 0.1),
            ph_read: three(read_ph, 0.05),
            ec_ms_cm: three(points.iter().map(|point| point.ec_ms_cm).collect(), 0.1),
            cloud: Cloud::about(&points),
        }
    }
}

fn solve(showing: &Showing, near: Option<&Speciation>, tank: &Tank, carbon: Carbon) -> Result<Speciation, ChemError> {
    let medium = showing.medium();
    match near {
        Some(near) => medium.solve_from(near, &tank.totals, carbon).or_else(|_| medium.solve(&tank.totals, carbon)),
        None => medium.solve(&tank.totals, carbon),
    }
}

/// As [`Tank::breathed`], from solutions that are near.
fn breathed(
    showing: &Showing,
    rested: &mut Option<Speciation>,
    (mixed, tank): (&Speciation, &Tank),
    member: &Member,
    hours: f64,
) -> Result<Point, ChemError> {
    let air = Carbon::Balance { log10_pco2_atm: member.room_log10_pco2 };
    let rest = solve(showing, rested.as_ref().or(Some(mixed)), tank, air)?;
    let left = (-member.exchange_per_h * hours).exp();
    let carbon = rest.total_carbon() + (tank.totals[Component::C] - rest.total_carbon()) * left;
    let totals = tank.totals.with(Component::C, carbon.max(0.0));
    let near = if left < 0.5 { &rest } else { mixed };
    let solved = solve(showing, Some(near), &Tank { totals, water_kg: tank.water_kg }, Carbon::Kept)?;
    *rested = Some(rest);
    showing.point(&solved)
}
