//! What each command does.

use std::time::Duration;

use super::Shell;
use super::log::{record, record_look};
use crate::garden::{Crop, LogEntry, PourRecord, Reading, Unit};
use crate::plan::{Action, Idea, Step};
use crate::store::Theme;
use crate::ui::command::{Command, Field, Page, Quantity};
use crate::ui::dialogs::Question;
use crate::ui::present::{capital, choose_unit, default_answers, set_level, start_units, unit_of};
use crate::ui::sketch::Sketch;
use crate::ui::state::{Answers, Drafts, Entered, Part};

impl Shell {
    pub(super) fn apply(&mut self, command: Command, ctx: &egui::Context, now: Duration) {
        match command {
            Command::Show(page) => {
                self.leave_edit();
                self.page = page;
                if page == Page::Units {
                    self.view.naming = None;
                    self.look_at_units();
                }
            }
            Command::SetTheme(theme) => {
                self.settings.theme = match theme {
                    egui::ThemePreference::System => Theme::System,
                    egui::ThemePreference::Light => Theme::Light,
                    egui::ThemePreference::Dark => Theme::Dark,
                };
                ctx.set_theme(theme);
                self.save_settings();
            }
            Command::OpenExample => {
                if self.may_leave(&Command::OpenExample, now) {
                    self.open_example();
                }
            }
            Command::Anyway(command) => {
                self.leave_anyway = true;
                self.apply(*command, ctx, now);
                // The answer of a dialog comes later, and is still meant.
                self.leave_anyway = self.dialogs.is_open();
            }
            Command::Owned(command) => self.apply_to_owned(command, ctx, now),
            Command::EditUnit => self.edit_unit(),
            Command::Mend(field) => {
                self.edit_unit();
                self.view.focus = Some(field);
            }
            Command::KeepFacts(answers) => self.keep_facts(&answers, now),
            Command::StartOwn => {
                self.leave_edit();
                self.view.answers = default_answers(&self.catalog, &self.settings);
                self.view.drafts = Drafts::default();
                self.page = Page::Start;
            }
            Command::OpenFile => self.dialogs.ask(Question::Open, ctx),
            Command::OpenUnit(path) => {
                if self.may_leave(&Command::OpenUnit(path.clone()), now) {
                    self.open_path(&path);
                }
            }
            Command::SaveCopy => {
                let name = self.unit().map_or_else(|| "unit".to_owned(), |unit| unit.name.clone());
                self.dialogs.ask(Question::SaveCopy(format!("{name}.ron")), ctx);
            }
            Command::SavePdf => self.save_pdf(ctx),
            Command::Begin(answers) => {
                if self.may_leave(&Command::Begin(answers.clone()), now) {
                    self.begin(&answers);
                }
            }
            Command::SetNumber(field, value) => self.set_number(field, value, now),
            Command::RecordReading => self.record_reading(now),
            Command::ChooseCrop(id) => self.grow(&id, now, |unit, crop| unit.set_crop(0, crop)),
            Command::ChooseStage(id) => self.change_grown(now, |unit| unit.set_stage(0, &id)),
            Command::AddCrop(id) => self.grow(&id, now, Unit::add_crop),
            Command::ChooseAlsoCrop(index, id) => {
                self.grow(&id, now, |unit, crop| unit.set_crop(index + 1, crop));
            }
            Command::ChooseAlsoStage(index, id) => self.change_grown(now, |unit| unit.set_stage(index + 1, &id)),
            Command::RemoveCrop(index) => self.change_grown(now, |unit| unit.remove_crop(index + 1)),
            Command::Crop(ask) => self.apply_to_crops(*ask, now),
            Command::SetPour { .. }
            | Command::AddPour(_)
            | Command::RemovePour(_)
            | Command::Hold(_)
            | Command::DragTo { .. }
            | Command::LetGo
            | Command::PutBack
            | Command::Nudge { .. }
            | Command::LookAhead(_)
            | Command::MovePour { .. }
            | Command::LockPour { .. }
            | Command::AnotherIdea
            | Command::TakeIdea(_)
            | Command::DropIdea
            | Command::Undo
            | Command::Redo
            | Command::WorkItOut => self.apply_to_hand(command, now),
            Command::Shelf(command) => self.apply_to_shelf(&command, now),
            Command::PouredIt => self.poured_it(now),
            Command::TakeBack(index) => self.remove_entry(index, now),
            Command::OpenWriting
            | Command::MendEntry(_)
            | Command::WriteDown
            | Command::CloseWriting
            | Command::RemoveEntry(_)
            | Command::SetAside(_)
            | Command::BringBack => self.apply_to_log(&command, now),
            Command::ToggleTubCard => self.view.toggle(Part::TubCard),
            Command::OpenJar(product_id) => self.open_jar(&product_id),
            Command::CloseJar => {
                self.view.open.remove(&Part::Jar);
            }
            Command::RecordJar => self.record_jar(now),
            Command::ToggleUnits => self.view.toggle(Part::Units),
            Command::ChooseUnit(quantity, id) => {
                choose_unit(&mut self.settings, quantity, &id);
                if quantity == Quantity::Ec
                    && let Some(document) = &mut self.document
                {
                    // The water is the same, and so is what was imagined of it.
                    document.unit.meter.ec_scale = self.settings.ec_scale;
                    self.touch(now);
                }
                self.view.drafts = Drafts::default();
                self.view.entered = Entered::default();
                self.save_settings();
            }
            Command::SaveBeside => self.save_beside(),
            Command::CloseAnyway => {
                self.may_close = true;
                ctx.send_viewport_cmd(egui::ViewportCommand::Close);
            }
            Command::Focus(field) => self.view.focus = Some(field),
            Command::DismissNotice => self.notice = None,
        }
    }

    fn open_example(&mut self) {
        let now_s = self.clock.now_s();
        match self.catalog.examples.first().map(|example| example.unit_at(now_s)) {
            Some(unit) => self.show_unit(unit, true, None),
            None => self.tell("There is no example in this build"),
        }
    }

    fn begin(&mut self, answers: &Answers) {
        match unit_of(answers, &self.catalog, self.clock.now_s()) {
            Ok(unit) => {
                let units = start_units(answers);
                self.settings.tank_unit = units.0;
                self.settings.ec_scale = units.1;
                self.settings.alkalinity_unit = units.2;
                self.keep_new(unit);
            }
            Err(problem) => self.tell(capital(&problem.to_string())),
        }
    }

    /// Changes the unit.
    pub(super) fn change(&mut self, now: Duration, how: impl FnOnce(&mut crate::garden::Unit)) {
        if let Some(document) = &mut self.document {
            how(&mut document.unit);
            // What was imagined was of other water. Going back to it would be no way to undo what was poured or read.
            self.hand.start_with(Sketch::default());
            self.view.drafts.forget_pours();
            self.touch(now);
        }
    }

    /// Changes what grows by a crop of the catalog or of the person's own.
    pub(super) fn change_crop(&mut self, id: &str, now: Duration, how: impl FnOnce(&mut Unit, &Crop) -> bool) {
        let catalog = std::sync::Arc::clone(&self.catalog);
        let crop = self.document.as_ref().and_then(|document| catalog.crop_of(&document.unit, id).cloned());
        if let Some(crop) = crop {
            self.change_grown(now, |unit| how(unit, &crop));
        }
    }

    /// Changes what grows; `how` tells whether it did.
    pub(super) fn change_grown(&mut self, now: Duration, how: impl FnOnce(&mut Unit) -> bool) {
        let Some(document) = &mut self.document else { return };
        if how(&mut document.unit) {
            // The water is the same: what was imagined of it is kept. The plan changes, and with it its keys.
            self.hand.keep_lists();
            self.view.drafts.forget_pours();
            self.touch(now);
        }
    }

    fn set_number(&mut self, field: Field, value: Option<f64>, now: Duration) {
        match field {
            Field::ReadingPh | Field::AfterPh => self.view.entered.ph = value,
            Field::ReadingEc | Field::AfterEc => self.view.entered.ec = value,
            Field::ReadingTemperature => self.view.entered.temperature = value,
            Field::Level => {
                let unit_of_level = self.settings.tank_unit;
                if let Some(value) = value {
                    self.change(now, |unit| set_level(unit, unit_of_level.litres_from(value)));
                }
            }
            Field::JarWater | Field::JarAmount(_) | Field::JarPh(_) => self.set_jar(field, value),
            // Pours come as their own command; the first page and the sheet of the log keep their answers themselves.
            Field::Pour(_)
            | Field::Log(_)
            | Field::Product(_)
            | Field::Band(..)
            | Field::Water(_)
            | Field::Peroxide
            | Field::Tool(..)
            | Field::TankSize
            | Field::WaterEc
            | Field::WaterPh
            | Field::WaterAlkalinity => {}
        }
    }

    pub(super) fn record_reading(&mut self, now: Duration) {
        let entered = self.view.entered;
        if !entered.is_recordable() {
            return;
        }
        let now_s = self.clock.now_s();
        let temperature_unit = self.settings.temperature_unit;
        self.change(now, |unit| {
            let scale = unit.meter.ec_scale;
            let fresh = Reading {
                at_s: now_s,
                ph: entered.ph,
                ec_ms_cm: entered.ec.map(|ec| scale.ms_cm_from(ec)),
                temperature_c: entered.temperature.map(|t| temperature_unit.celsius_from(t)),
                level_l: Some(unit.level_l),
            };
            record_look(unit, fresh);
        });
        self.view.entered = Entered::default();
    }

    fn poured_it(&mut self, now: Duration) {
        // A second press before the plan knows of the first would pour it again.
        let Some(outlook) = self.current() else { return };
        let now_s = self.clock.now_s();
        let mut left = None;
        let entries = match outlook.what_if() {
            Some(idea) => idea
                .first()
                .map(|pour| {
                    let rest: Vec<_> = idea.pours.iter().filter(|other| other.key != pour.key).cloned().collect();
                    left = Some(Idea { pours: rest }).filter(|rest| rest.first().is_some());
                    vec![LogEntry::Pour(PourRecord {
                        at_s: now_s,
                        product_id: pour.product_id.clone(),
                        amount: pour.amount,
                        promise: None,
                    })]
                })
                .unwrap_or_default(),
            None => outlook.plan.now().map(|step| entries_of(step, &outlook.plan, now_s)).unwrap_or_default(),
        };
        if entries.is_empty() {
            return;
        }
        let product_id = entries.iter().find_map(|entry| match entry {
            LogEntry::Pour(pour) => Some(pour.product_id.as_str()),
            _ => None,
        });
        let (sketch, dropped) = self.hand.sketch.poured(product_id, left.clone());
        let advised = self.advised();
        let mut untold = Vec::new();
        self.change(now, |unit| {
            for entry in entries {
                // What was told of the plan's own step is known.
                let is_told = entry.promise().is_some();
                untold.extend(record(unit, entry, &advised).filter(|_| !is_told));
            }
        });
        self.untold.extend(untold);
        // What else was in the list is still meant, once the water is read.
        self.hand.leave(sketch, left);
        if let Some(slot) = dropped {
            self.tell(format!("Idea {} is done with: there was nothing more in it", slot.letter()));
        }
    }
}

/// What goes into the log when a step is done.
fn entries_of(step: &Step, plan: &crate::plan::Plan, at_s: i64) -> Vec<LogEntry> {
    match &step.action {
        Action::Pour(measured) => vec![LogEntry::Pour(PourRecord {
            at_s,
            product_id: measured.id.clone(),
            amount: measured.amount,
            promise: plan.promise.clone(),
        })],
        Action::TopUp { water_l } => vec![LogEntry::TopUp { at_s, water_l: *water_l, promise: plan.promise.clone() }],
        Action::Swap { litres } => {
            vec![
                LogEntry::Drain { at_s, solution_l: *litres },
                LogEntry::TopUp { at_s, water_l: *litres, promise: plan.promise.clone() },
            ]
        }
        _ => Vec::new(),
    }
}
