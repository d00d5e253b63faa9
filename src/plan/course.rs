//! A list of pours as the steering needs it: amounts in, where the water is after each of them out, quickly.

use crate::chem::{Carbon, ChemError, Speciation, Totals};
use crate::dose::{Point, Tank};

use super::{Idea, Planner};

/// A list of pours over the default state of a tank.
pub(crate) struct Course<'a> {
    planner: &'a Planner,
    start: Tank,
    /// Products, or parts of one, in the order of the list.
    ids: Vec<String>,
    /// What one unit brings, mol and g of water, in the order of the list; nothing for what is not on the shelf.
    units: Vec<(Totals, f64)>,
    /// For each pour: which product it is a part of, and units of it for one of the whole.
    parts: Vec<Option<(usize, f64)>>,
    /// The last solution: the next one is near.
    near: Speciation,
}

impl<'a> Course<'a> {
    /// # Errors
    /// Those of the chemistry on the default state.
    pub(crate) fn of(planner: &'a Planner, idea: &Idea) -> Result<Self, ChemError> {
        let start = planner.default_now(&[]);
        let units = idea.pours.iter().map(|pour| {
            planner.likely_part(&pour.product_id).map_or((Totals::ZERO, 0.0), |pour| (pour.moles, pour.water_g))
        });
        let parts = idea.pours.iter().map(|pour| {
            planner.products().enumerate().find_map(|(place, product)| {
                let part = product.parts.iter().find(|part| part.pour.id == pour.product_id)?;
                Some((place, part.ratio))
            })
        });
        let near = start.solve(planner.knowledge.showing.medium())?;
        let ids = idea.pours.iter().map(|pour| pour.product_id.clone()).collect();
        Ok(Self { planner, start, ids, units: units.collect(), parts: parts.collect(), near })
    }

    /// The amounts with one pour changed: the other parts of its feed follow, as they do in the list itself.
    pub(crate) fn with(&self, amounts: &[f64], place: usize, amount: f64) -> Vec<f64> {
        let mut changed = amounts.to_vec();
        let own = self.parts[place];
        for (i, value) in changed.iter_mut().enumerate() {
            match (own, self.parts[i]) {
                _ if i == place => *value = amount,
                (Some((product, ratio)), Some((other, other_ratio)))
                    if product == other && !self.same_part(i, place) =>
                {
                    *value = amount * other_ratio / ratio;
                }
                _ => {}
            }
        }
        changed
    }

    fn same_part(&self, one: usize, other: usize) -> bool {
        self.ids[one] == self.ids[other]
    }

    /// Whether two pours are parts of one product, and so move together.
    pub(crate) fn together(&self, one: usize, other: usize) -> bool {
        let product = |place: usize| self.parts[place].map(|(product, _)| product);
        one == other || product(one).is_some() && product(one) == product(other) && !self.same_part(one, other)
    }

    /// The tank after the first `count` pours.
    pub(crate) fn tank(&self, amounts: &[f64], count: usize) -> Tank {
        self.units
            .iter()
            .zip(amounts)
            .take(count)
            .fold(self.start, |tank, ((moles, water_g), amount)| tank.with(moles, *water_g, *amount))
    }

    /// Where the water is after the first `count` pours.
    ///
    /// # Errors
    /// Those of the chemistry.
    pub(crate) fn after(&mut self, amounts: &[f64], count: usize) -> Result<Point, ChemError> {
        self.planner.knowledge.showing.point(self.solved(amounts, count)?)
    }

    /// The solution after the first `count` pours.
    ///
    /// # Errors
    /// Those of the chemistry.
    pub(crate) fn solved(&mut self, amounts: &[f64], count: usize) -> Result<&Speciation, ChemError> {
        let tank = self.tank(amounts, count);
        let medium = self.planner.knowledge.showing.medium();
        // A start that is far off may fail where a cold one does not.
        let solved = medium
            .solve_from(&self.near, &tank.totals, Carbon::Kept)
            .or_else(|_| medium.solve(&tank.totals, Carbon::Kept))?;
        self.near = solved;
        Ok(&self.near)
    }
}
