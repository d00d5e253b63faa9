//! A jar test on its way into the log.

use std::time::Duration;

use super::Shell;
use crate::garden::{JarTest, LogEntry, Severity};
use crate::ui::command::Field;
use crate::ui::present::{JarDraft, capital};
use crate::ui::state::Part;

impl Shell {
    /// Opens the test of a product, or goes on with the one that is under way.
    pub(super) fn open_jar(&mut self, product_id: &str) {
        let Some(outlook) = &self.outlook else { return };
        if self.view.jar.as_ref().is_none_or(|draft| draft.guide.product_id != product_id) {
            let Some(guide) = outlook.planner.jar(product_id) else {
                self.tell("The tools at hand are too coarse for a jar: a 1 mL syringe or a dropper would do");
                return;
            };
            let offers = outlook.plan.steps.iter().filter_map(|step| step.jar.as_ref());
            let why = offers.map(|offer| offer.why.clone()).next().unwrap_or_default();
            self.view.jar = Some(JarDraft::new(guide, why));
        }
        self.view.open.insert(Part::Jar);
        let waits = self.view.jar.as_ref().and_then(JarDraft::waiting).and_then(|place| u8::try_from(place).ok());
        self.view.jar_focus = waits.map(Field::JarPh);
    }

    /// A number of the test.
    pub(super) fn set_jar(&mut self, field: Field, value: Option<f64>) {
        let (Some(draft), Some(outlook)) = (&mut self.view.jar, &self.outlook) else { return };
        match field {
            Field::JarWater => {
                let water_l = value.unwrap_or(draft.guide.water_l);
                // Before anything is in the jar another size may need another dilution.
                let is_fresh = draft.rows.iter().skip(1).all(|row| row.ph.is_none());
                match outlook.planner.jar_with(&draft.guide.product_id, water_l).filter(|_| is_fresh) {
                    Some(guide) => {
                        draft.guide = guide;
                        draft.rows.iter_mut().skip(1).for_each(|row| row.is_own = false);
                    }
                    None => draft.guide.water_l = water_l,
                }
            }
            Field::JarAmount(place) => {
                if let Some(row) = draft.rows.get_mut(usize::from(place)) {
                    (row.amount, row.is_own) = (value, value.is_some());
                }
            }
            Field::JarPh(place) => {
                if let Some(row) = draft.rows.get_mut(usize::from(place)) {
                    row.ph = value;
                }
            }
            _ => return,
        }
        let waits = draft.think(&outlook.planner);
        if let (Field::JarPh(_), Some(place)) = (field, waits.and_then(|place| u8::try_from(place).ok())) {
            self.view.jar_focus = Some(Field::JarPh(place));
        }
    }

    /// Takes the test into the log.
    pub(super) fn record_jar(&mut self, now: Duration) {
        let Some(draft) = &self.view.jar else { return };
        let test = JarTest {
            at_s: self.clock.now_s(),
            product_id: draft.guide.product_id.clone(),
            water_l: draft.guide.water_l,
            points: draft.points(),
        };
        if let Some(problem) = test.check().into_iter().find(|problem| problem.severity == Severity::Refused) {
            self.tell(capital(&problem.message));
            return;
        }
        self.change(now, |unit| unit.record(LogEntry::JarTest(test)));
        self.view.jar = None;
        self.view.open.remove(&Part::Jar);
    }
}
