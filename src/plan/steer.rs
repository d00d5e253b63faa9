//! From a place on the map to the doses that reach it: the least change of the unlocked pours, within their bounds.

use crate::chem::ChemError;
use crate::dose::Point;
use crate::garden::Role;

use super::course::Course;
use super::idea::mark_at;
use super::least::{Knob, least_change};
use super::words::figure;
use super::{Idea, Planner, Snap};

/// An idea steered towards a place.
#[derive(Clone, Debug, PartialEq)]
pub struct Steered {
    /// The list with the amounts that get there, or as near as they can.
    pub idea: Idea,
    /// Where it lands, just mixed.
    pub at: Point,
    /// What keeps it from the place, in words; none when it gets there.
    pub held_by: Option<String>,
}

/// A change of pours that makes this much way, in steps to the eye, is corrected before the next: the map bends.
const STRIDE: f64 = 40.0;
/// Most strides.
const STRIDES: f64 = 12.0;
/// What a pour's whole range counts at least, in steps to the eye: one that hardly moves the water is not for free.
const LEAST_RANGE: f64 = 60.0;
/// A pour that is not in use yet costs so much more: who steers wants more or less of what is there, and never acid against
/// base. Ours.
const NEW_POUR: f64 = 4.0;
/// A pour costs at most so many times what it moves the water by now.
const MOST_COST: f64 = 10.0;
/// Further off than this, in steps to the eye, the place was not reached.
const REACHED: f64 = 3.0;

impl Planner {
    /// The idea with the unlocked pours changed so that the landing comes as near to a place as it can, and by the least
    /// change among the ways to it; nothing below nothing, and nothing above a pour's most.
    ///
    /// `scale` is what counts as one step to the eye, pH and mS/cm. A change counts by how far it moves the water there.
    ///
    /// # Errors
    /// Those of the chemistry.
    pub fn steered(&self, idea: &Idea, to: Point, scale: (f64, f64), snap: Snap) -> Result<Steered, ChemError> {
        let mut course = Course::of(self, idea)?;
        let count = idea.pours.len();
        let before: Vec<f64> = idea.pours.iter().map(|pour| pour.amount).collect();
        let start = course.after(&before, count)?;
        let mosts: Vec<f64> = (0..count).map(|place| idea.most_of(self, place)).collect();
        let free = free_pours(idea, &course);
        let amounts = if free.is_empty() {
            before.clone()
        } else {
            let mut course = Steering { course: &mut course, free: &free, mosts: &mosts, scale, before: &before };
            course.steer(start, to)?
        };
        let mut steered = idea.clone();
        for &place in &free {
            let pour = &idea.pours[place];
            let change = (amounts[place] - pour.amount).abs();
            // What changes by less than the tool can tell stays as it is.
            if snap == Snap::Free && change > 1e-9 || change > 0.5 * mark_at(self, &pour.product_id, pour.amount) {
                steered.set(self, pour.key, amounts[place], snap);
            }
        }
        let exact = course.after(&amounts, count)?;
        let missed = ((to.ph - exact.ph) / scale.0, (to.ec_ms_cm - exact.ec_ms_cm) / scale.1);
        let held_by = (missed.0.hypot(missed.1) > REACHED).then(|| self.held_by(idea, &free, &amounts, missed));
        let landed: Vec<f64> = steered.pours.iter().map(|pour| pour.amount).collect();
        Ok(Steered { at: course.after(&landed, count)?, idea: steered, held_by })
    }

    /// What keeps the landing from moving on, in the direction that is missed most.
    fn held_by(&self, idea: &Idea, free: &[usize], amounts: &[f64], missed: (f64, f64)) -> String {
        if free.is_empty() {
            return if idea.pours.is_empty() {
                "nothing is in the list to move it".to_owned()
            } else {
                "every pour is locked".to_owned()
            };
        }
        let by_ph = missed.0.abs() >= missed.1.abs();
        let up = if by_ph { missed.0 > 0.0 } else { missed.1 > 0.0 };
        let pushes = |place: usize, by_ph: bool, up: bool| {
            let role = self.product(&idea.pours[place].product_id).map(|product| product.role);
            match (by_ph, up) {
                (true, true) => matches!(role, Some(Role::PhUp | Role::Silicate)),
                (true, false) => role == Some(Role::PhDown),
                (false, true) => matches!(role, Some(Role::Feed | Role::CalMag | Role::Silicate)),
                (false, false) => false,
            }
        };
        let moves = |place: usize| pushes(place, by_ph, up);
        let name = |place: usize| {
            let id = &idea.pours[place].product_id;
            self.part(id).map_or_else(|| id.clone(), |part| part.name.clone())
        };
        let unit = |place: usize| self.part(&idea.pours[place].product_id).map_or("", |part| part.unit);
        let movers: Vec<usize> = (0..idea.pours.len()).filter(|&place| moves(place)).collect();
        // A locked pour holds it too when less of it would move the water on.
        let eases = |place: usize| idea.pours[place].amount > 0.0 && pushes(place, by_ph, !up);
        let locked = |place: &usize| idea.pours[*place].locked && (moves(*place) || eases(*place));
        if let Some(place) = (0..idea.pours.len()).find(locked) {
            return format!("{} is locked", name(place));
        }
        let at_its_end = |place: usize| amounts[place] >= idea.most_of(self, place) * (1.0 - 1e-9);
        if let Some(&place) = movers.iter().find(|&&place| at_its_end(place)) {
            let most = figure(idea.most_of(self, place));
            return format!("{most} {} of {} is the most that this list goes to", unit(place), name(place));
        }
        match (by_ph, up, movers.is_empty()) {
            (true, true, true) => "nothing in the list raises pH further".to_owned(),
            (true, false, true) => "nothing in the list lowers pH further".to_owned(),
            (false, true, true) => "nothing in the list raises EC further".to_owned(),
            (false, false, _) => "no pour lowers EC: only thinner water does".to_owned(),
            _ => "the pours in the list reach no further that way".to_owned(),
        }
    }
}

/// The first unlocked pour of each product.
fn free_pours(idea: &Idea, course: &Course<'_>) -> Vec<usize> {
    let mut free: Vec<usize> = Vec::new();
    for (place, pour) in idea.pours.iter().enumerate() {
        if !pour.locked && pour.most > 0.0 && !free.iter().any(|&head| course.together(head, place)) {
            free.push(place);
        }
    }
    free
}

struct Steering<'a, 'b> {
    course: &'a mut Course<'b>,
    free: &'a [usize],
    /// Most of each pour of the list.
    mosts: &'a [f64],
    scale: (f64, f64),
    before: &'a [f64],
}

impl Steering<'_, '_> {
    fn steer(&mut self, start: Point, to: Point) -> Result<Vec<f64>, ChemError> {
        let mut amounts = self.before.to_vec();
        let way = self.steps(start, to);
        let strides = (way[0].hypot(way[1]) / STRIDE).ceil().clamp(1.0, STRIDES);
        let weights = self.weights(start)?;
        let mut stride = 1.0;
        while stride <= strides {
            let share = stride / strides;
            let goal = Point {
                ph: start.ph + share * (to.ph - start.ph),
                ec_ms_cm: start.ec_ms_cm + share * (to.ec_ms_cm - start.ec_ms_cm),
            };
            for _ in 0..if stride < strides { 2 } else { 10 } {
                if !self.improve(&mut amounts, &weights, goal)? {
                    break;
                }
            }
            stride += 1.0;
        }
        Ok(amounts)
    }

    /// One Gauss–Newton step, shortened until it is one for the better; returns whether it was worth another.
    fn improve(&mut self, amounts: &mut Vec<f64>, weights: &[f64], goal: Point) -> Result<bool, ChemError> {
        let here = self.at(amounts)?;
        let wanted = self.steps(here, goal);
        let mut knobs = Vec::with_capacity(self.free.len());
        for (&place, &weight) in self.free.iter().zip(weights) {
            let (now, most) = (amounts[place], self.most(place));
            let effect = self.effect(amounts, place, here)?;
            // In water that hardly buffers a pour does ever less the further it is; what it costs is not to hold it back.
            let weight = weight.min(MOST_COST * effect[0].hypot(effect[1])).max(LEAST_RANGE / most);
            knobs.push(Knob { effect, weight, home: self.before[place] - now, low: -now, high: most - now });
        }
        let change = least_change(&knobs, wanted);
        let cost = |left: [f64; 2], change: &[f64], share: f64| {
            let thrift: f64 =
                knobs.iter().zip(change).map(|(k, step)| (k.weight * (share * step - k.home)).powi(2)).sum();
            left[0].powi(2) + left[1].powi(2) + super::least::THRIFT * thrift
        };
        let before = cost(wanted, &change, 0.0);
        let mut share = 1.0;
        for _ in 0..8 {
            let mut trial = amounts.clone();
            for (&place, step) in self.free.iter().zip(&change) {
                let amount = (amounts[place] + share * step).clamp(0.0, self.most(place));
                trial = self.course.with(&trial, place, amount);
            }
            let there = self.at(&trial)?;
            let after = cost(self.steps(there, goal), &change, share);
            if after < before {
                *amounts = trial;
                return Ok(before - after > 1e-9 * before);
            }
            share *= 0.5;
        }
        Ok(false)
    }

    /// From one point to another in steps to the eye.
    fn steps(&self, from: Point, to: Point) -> [f64; 2] {
        [(to.ph - from.ph) / self.scale.0, (to.ec_ms_cm - from.ec_ms_cm) / self.scale.1]
    }

    fn most(&self, place: usize) -> f64 {
        self.mosts[place]
    }

    fn at(&mut self, amounts: &[f64]) -> Result<Point, ChemError> {
        self.course.after(amounts, amounts.len())
    }

    /// What one unit of a pour does to the landing, in steps to the eye, by a small difference within the bounds.
    fn effect(&mut self, amounts: &[f64], place: usize, here: Point) -> Result<[f64; 2], ChemError> {
        let most = self.most(place);
        let small = 1e-4 * most;
        let small = if amounts[place] + small > most { -small } else { small };
        let there = self.course.with(amounts, place, amounts[place] + small);
        let there = self.at(&there)?;
        Ok(self.steps(here, there).map(|steps| steps / small))
    }

    /// What a unit of change of each free pour costs: how far it moves the water where the drag begins.
    fn weights(&mut self, start: Point) -> Result<Vec<f64>, ChemError> {
        let before = self.before.to_vec();
        let mut weights = Vec::with_capacity(self.free.len());
        for &place in self.free {
            let [across, up] = self.effect(&before, place, start)?;
            let least = LEAST_RANGE / self.most(place);
            let new = if before[place] > 0.0 { 1.0 } else { NEW_POUR };
            weights.push(new * across.hypot(up).max(least));
        }
        Ok(weights)
    }
}
