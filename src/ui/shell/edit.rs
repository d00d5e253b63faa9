//! Changing the facts of the open unit on the first page.

use std::time::Duration;

use super::Shell;
use crate::ui::command::Page;
use crate::ui::present::{answers_of, capital, change_facts, default_answers, start_units};
use crate::ui::state::{Answers, Drafts};

impl Shell {
    /// Shows the first page with the facts of the open unit.
    pub(super) fn edit_unit(&mut self) {
        let Some(unit) = self.unit() else { return };
        let answers = answers_of(unit, &self.catalog, &self.settings);
        self.view.answers = answers.clone();
        self.view.drafts = Drafts::default();
        self.edited_from = Some(answers);
        self.page = Page::Start;
    }

    /// Puts the first page back to what it is without a unit.
    pub(super) fn leave_edit(&mut self) {
        if self.edited_from.take().is_some() {
            self.view.answers = default_answers(&self.catalog, &self.settings);
            self.view.drafts = Drafts::default();
        }
    }

    /// Takes the changed facts. What is refused is told, and the page stays as it is.
    pub(super) fn keep_facts(&mut self, answers: &Answers, now: Duration) {
        let (Some(unit), Some(before)) = (self.unit(), &self.edited_from) else { return };
        match change_facts(unit, (before, answers), &self.catalog) {
            Ok((changed, notes)) => {
                let units = start_units(answers);
                self.settings.tank_unit = units.0;
                self.settings.ec_scale = units.1;
                self.settings.alkalinity_unit = units.2;
                self.save_settings();
                if self.unit() != Some(&changed) {
                    self.change(now, |unit| *unit = changed);
                }
                self.leave_edit();
                self.page = Page::Today;
                if !notes.is_empty() {
                    self.tell(notes.join(". "));
                }
            }
            Err(problem) => self.tell(capital(&problem.to_string())),
        }
    }
}
