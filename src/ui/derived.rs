//! What follows from the document: belief, plan, and where the pours in sight would land.

use std::sync::Arc;

use crate::dose::{Cloud, Landing};
use crate::garden::{Catalog, Role, Unit};
use crate::plan::{Action, Expectation, Measured, Plan, PlanError, Planner, SEED, Spread, Step, measure};

/// One pour of a list changed by hand.
#[derive(Clone, PartialEq, Debug)]
pub struct IdeaPour {
    /// What commands name it by.
    pub key: u32,
    /// Product, or part of one, on the shelf.
    pub product_id: String,
    /// mL or g.
    pub amount: f64,
    /// Where its slider ends. It stays for the life of the pour, so that a handle stays under the finger; only an amount
    /// typed beyond it moves it.
    pub most: f64,
}

/// A list of pours, changed by hand: a what-if.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Idea {
    /// In the order of pouring.
    pub pours: Vec<IdeaPour>,
}

impl Idea {
    /// The plan's own pours, as something that can be changed.
    pub fn of(plan: &Plan) -> Self {
        let measured = plan.steps.iter().filter_map(|step| match &step.action {
            Action::Pour(measured) => Some((step, measured)),
            _ => None,
        });
        let pours = measured.zip(FIRST_KEY..).map(|((step, measured), key)| IdeaPour {
            key,
            product_id: measured.id.clone(),
            amount: measured.amount,
            most: planned_end(step, measured),
        });
        Self { pours: pours.collect() }
    }

    /// As the planner takes them.
    pub fn amounts(&self) -> Vec<(String, f64)> {
        self.pours.iter().map(|pour| (pour.product_id.clone(), pour.amount)).collect()
    }

    /// The pour to make first: the first one that is more than nothing.
    pub fn first(&self) -> Option<&IdeaPour> {
        self.pours.iter().find(|pour| pour.amount > 0.0)
    }

    /// Adds a product with nothing of it yet, before those that belong after it: pH comes last. A feed in parts comes with
    /// all of them.
    pub fn add(&mut self, planner: &Planner, product_id: &str) {
        let Some(product) = planner.product(product_id) else { return };
        let rank = |id: &str| planner.product(id).map_or(0, |product| place(product.role));
        for part in &product.parts {
            let id = &part.pour.id;
            let there = self.pours.iter().any(|pour| pour.product_id == *id);
            if there && id != product_id {
                continue;
            }
            let before = self.pours.iter().position(|pour| rank(&pour.product_id) > place(product.role));
            let by_label = product.label_per_l.map(|rate| 1.3 * rate * part.ratio * planner.knowledge().level_l);
            let step = part.tool.smallest();
            let wanted = by_label.or(part.tool.filling()).unwrap_or(100.0 * step);
            let pour =
                IdeaPour { key: self.free_key(), product_id: id.clone(), amount: 0.0, most: slider_end(wanted, step) };
            self.pours.insert(before.unwrap_or(self.pours.len()), pour);
        }
    }

    /// Gives a pour another amount, as far as its tool can measure it; the other parts of its feed follow. Returns whether
    /// anything changed.
    pub fn set(&mut self, planner: &Planner, key: u32, amount: f64) -> bool {
        let Some(id) = self.pours.iter().find(|pour| pour.key == key).map(|pour| pour.product_id.clone()) else {
            return false;
        };
        let parts = planner.product(&id).map(|product| product.parts.as_slice()).unwrap_or_default();
        let ratio = parts.iter().find(|part| part.pour.id == id).map_or(1.0, |part| part.ratio);
        let mut changed = false;
        for pour in &mut self.pours {
            let part = parts.iter().find(|part| part.pour.id == pour.product_id);
            let wanted = match part {
                _ if pour.key == key => amount.max(0.0),
                Some(part) if pour.product_id != id => amount.max(0.0) * part.ratio / ratio,
                _ => continue,
            };
            let measurable = measured(planner, &pour.product_id, wanted).map_or(wanted, |measured| measured.amount);
            changed |= (pour.amount - measurable).abs() > 1e-9;
            pour.amount = measurable;
            if measurable > pour.most {
                pour.most = slider_end(measurable, part.map_or(0.0, |part| part.tool.smallest()));
            }
        }
        changed
    }

    /// A key that no pour has.
    fn free_key(&self) -> u32 {
        self.pours.iter().map(|p| p.key).max().map_or(FIRST_KEY, |key| key.saturating_add(1))
    }
}

/// Place in the order of pouring.
const fn place(role: Role) -> u8 {
    match role {
        Role::CalMag => 0,
        Role::Feed => 1,
        Role::PhDown | Role::PhUp => 2,
    }
}

/// An amount of a product on the shelf as its tool can measure it, diluted where it must be; none when it is too small.
pub fn measured(planner: &Planner, product_id: &str, amount: f64) -> Option<Measured> {
    let parts = &planner.product(product_id)?.parts;
    let part = parts.iter().find(|part| part.pour.id == product_id)?;
    measure(amount, part.pour.unit, product_id, &part.pour.name, part.tool).ok()
}

/// Where the slider of a planned pour ends: past what may be needed in all.
pub fn planned_end(step: &Step, measured: &Measured) -> f64 {
    let likely = step.likely_total.map_or(0.0, |(_, high)| 1.3 * high);
    slider_end(likely.max(2.0 * measured.amount), measured.tool.smallest())
}

/// The mark that a slider ends on: at least ten of them.
pub fn slider_end(wanted: f64, step: f64) -> f64 {
    let wanted = wanted.max(10.0 * step);
    if step > 0.0 { (wanted / step - 1e-9).ceil() * step } else { wanted }
}

/// Key of the first planned pour: below it are the pours of the log.
pub const FIRST_KEY: u32 = 1000;

/// What is derived from a unit at one moment, and from the idea in hand.
#[derive(Clone, Debug)]
pub struct Outlook {
    /// Belief and what-ifs.
    pub planner: Arc<Planner>,
    /// The plan.
    pub plan: Arc<Plan>,
    /// The what-if these numbers are of; the plan's own pours when there is none.
    pub idea: Option<Idea>,
    /// Where the pours in sight land.
    pub landing: Landing,
    /// Spread of that landing.
    pub cloud: Cloud,
    /// Chance to fall below the zone's low pH edge, just mixed.
    pub below: f64,
    /// Chance to rise above its high pH edge, just mixed.
    pub above: f64,
    /// What the next reading should show after these pours.
    pub expect: Expectation,
}

impl Outlook {
    /// Derives all of it. `now_s` is the present in Unix seconds.
    ///
    /// # Errors
    /// [`PlanError`] where facts contradict each other, a reading can't be explained, or the chemistry fails.
    pub fn of(unit: &Unit, catalog: &Catalog, now_s: i64, idea: Option<Idea>) -> Result<Self, PlanError> {
        let planner = Planner::new(unit, catalog, now_s, SEED)?;
        let plan = planner.plan()?;
        Self::with_idea(Arc::new(planner), Arc::new(plan), idea)
    }

    /// The same belief and plan, another idea.
    ///
    /// # Errors
    /// Those of the chemistry.
    pub fn with_idea(planner: Arc<Planner>, plan: Arc<Plan>, idea: Option<Idea>) -> Result<Self, PlanError> {
        let pours = idea.as_ref().map_or_else(|| plan.pours(), Idea::amounts);
        let landing = planner.landing(&pours)?;
        let Spread { cloud, below, above, expect } = planner.spread(&pours);
        Ok(Self { planner, plan, idea, landing, cloud, below, above, expect })
    }
}
