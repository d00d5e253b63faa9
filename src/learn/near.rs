//! Solutions that start from what a story had before: after a step of the smoother each is near.

use crate::chem::{Carbon, Component, Medium, Speciation, Totals};

/// A story's last solutions, in the order in which it comes by them: after a step of the smoother each is near.
#[derive(Clone, Default)]
pub(super) struct Near {
    pub(super) solved: Vec<Option<Speciation>>,
    pub(super) place: usize,
}

impl Near {
    pub(super) fn solve(&mut self, medium: &Medium, totals: &Totals, carbon: Carbon) -> Option<Speciation> {
        let place = self.place;
        self.place += 1;
        if self.solved.len() <= place {
            self.solved.resize(place + 1, None);
        }
        let solved = match &self.solved[place] {
            // A start that is far off may fail where a cold one does not; `solve_from` sees to that.
            Some(near) => medium.solve_from(near, totals, carbon).ok()?,
            None => medium.solve(totals, carbon).ok()?,
        };
        self.solved[place] = Some(solved.clone());
        Some(solved)
    }

    /// As [`Tank::breathed`].
    pub(super) fn breathed(
        &mut self,
        medium: &Medium,
        totals: &Totals,
        log10_pco2_atm: f64,
        per_hour: f64,
        hours: f64,
    ) -> Option<Totals> {
        let balance = self.solve(medium, totals, Carbon::Balance { log10_pco2_atm })?.total_carbon();
        let carbon = balance + (totals[Component::C] - balance) * (-per_hour * hours).exp();
        Some(totals.with(Component::C, carbon.max(0.0)))
    }
}

/// How many widths of base, each so many meq/L, bring a difference of pH to nought, from `start`; `None` where no amount that
/// a tank's history could explain does. The difference rises with the base.
pub(super) fn crossing_of(
    start: f64,
    width_meq_l: f64,
    near: f64,
    mut off: impl FnMut(f64) -> Option<f64>,
) -> Option<f64> {
    /// Far more than any tank's history explains.
    const MOST_MEQ_L: f64 = 50.0;
    /// The first step: about a tenth of a pH in a nutrient solution.
    const FIRST_MEQ_L: f64 = 0.05;
    let mut at_close = off(start)?;
    if at_close.abs() < near {
        return Some(start);
    }
    let mut reach = (FIRST_MEQ_L / width_meq_l).copysign(-at_close);
    let (mut close, mut far) = (start, start + reach);
    let mut at_far = off(far)?;
    while at_far * at_close > 0.0 {
        reach *= 2.0;
        (close, at_close) = (far, at_far);
        far = start + reach;
        at_far = off(far)?;
        if reach.abs() * width_meq_l > MOST_MEQ_L {
            return None;
        }
    }
    // False position with halving (Illinois).
    for _ in 0..24 {
        let middle = (close * at_far - far * at_close) / (at_far - at_close);
        let at_middle = off(middle)?;
        if at_middle.abs() < near {
            return Some(middle);
        }
        if at_middle * at_close > 0.0 {
            (close, at_close) = (middle, at_middle);
            at_far *= 0.5;
        } else {
            (far, at_far) = (middle, at_middle);
            at_close *= 0.5;
        }
    }
    Some(close)
}
