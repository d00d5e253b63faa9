//! Opening, saving and closing.

use std::path::Path;
use std::time::Duration;

use super::Shell;
use crate::garden::{Severity, Unit};
use crate::store::{StoreError, UnitFile, read_unit};
use crate::ui::command::Command;
use crate::ui::dialogs::Question;
use crate::ui::present::capital;
pub(super) use crate::ui::present::plain;
use crate::ui::view::{LinkView, NoticeView, UnitEntry};

impl Shell {
    /// Looks which units there are. A folder that cannot be read has none to offer.
    pub(super) fn list_units(&mut self) {
        let listed = self.folders.as_ref().and_then(|folders| folders.list_units().ok()).unwrap_or_default();
        self.units = listed.into_iter().map(|unit| UnitEntry { title: unit.title, path: unit.path }).collect();
    }

    /// Says where the files are, when the system opens no dialog.
    pub(super) fn tell_without_dialogs(&mut self) {
        if self.write_page_beside_units() {
            return;
        }
        let place = self.folders.as_ref().map_or_else(
            || "there is no folder for units either".to_owned(),
            |folders| format!("the units are in {}, and the menu lists them", folders.units().display()),
        );
        self.tell(format!("This system opens no dialog for choosing a file; {place}"));
    }

    /// Opens a unit file, or says why not; what is open stays until then.
    pub(super) fn open_path(&mut self, path: &Path) {
        match read_unit(path) {
            Err(error) => {
                let why = plain(&error);
                self.tell(format!("The unit could not be opened: {why}. The file was left as it is"));
            }
            Ok(loaded) => {
                let problems = loaded.unit.check(&self.catalog);
                let refused = problems.into_iter().find(|problem| problem.severity == Severity::Refused);
                if let Some(problem) = refused {
                    self.tell(format!(
                        "The unit could not be opened: {}. The file was left as it is",
                        problem.message.trim_end_matches('.')
                    ));
                } else {
                    self.remember(loaded.file.path());
                    self.show_unit(loaded.unit, false, Some(loaded.file));
                }
            }
        }
    }

    /// Makes a file for a new unit and opens it. Without a file the unit is open all the same, and says so.
    pub(super) fn keep_new(&mut self, unit: Unit) {
        let made = match &self.folders {
            None => Err("no folder for files was found".to_owned()),
            Some(folders) => folders.create_unit(&unit).map_err(|error| plain(&error)),
        };
        match made {
            Ok(file) => {
                self.remember(file.path());
                self.show_unit(unit, false, Some(file));
            }
            Err(why) => {
                self.show_unit(unit, false, None);
                self.notice = Some(NoticeView {
                    words: format!("The unit is open but has no file, as {why}"),
                    actions: vec![save_a_copy()],
                    ..NoticeView::default()
                });
                self.unsaved_why = Some("it has no file".to_owned());
            }
        }
    }

    fn remember(&mut self, path: &Path) {
        self.settings.remember_unit(path);
        self.save_settings();
        self.list_units();
    }

    /// Writes the settings. A failure is told once; the window works on.
    pub(super) fn save_settings(&mut self) {
        let Some(folders) = &self.folders else { return };
        let Some(file) = &mut self.settings_file else { return };
        if let Err(error) = folders.make().and_then(|()| file.write(&self.settings)) {
            self.settings_file = None;
            let why = plain(&error);
            self.tell(format!("The settings could not be saved: {why}"));
        }
    }

    /// Writes the unit. Returns whether everything is on disk.
    pub(super) fn save(&mut self, now: Duration) -> bool {
        let Some(document) = &mut self.document else { return true };
        if document.is_example {
            return true;
        }
        let Some(file) = &mut document.file else {
            self.autosave.failed(now);
            return false;
        };
        match file.write(&document.unit) {
            Ok(_) => {
                self.autosave.saved();
                self.unsaved_why = None;
                true
            }
            Err(error) => {
                self.autosave.failed(now);
                self.could_not_save(&error);
                false
            }
        }
    }

    fn could_not_save(&mut self, error: &StoreError) {
        let first = self.unsaved_why.is_none();
        self.unsaved_why = Some("see the message".to_owned());
        if first {
            let beside = LinkView { text: "Save beside it".to_owned(), command: Command::SaveBeside };
            self.notice = Some(NoticeView {
                words: format!("The unit could not be saved: {}. What you typed is still here", plain(error)),
                actions: if error.suggests_saving_beside() { vec![beside] } else { vec![save_a_copy()] },
                ..NoticeView::default()
            });
        }
    }

    /// Saves into a new file beside the one that another program changed.
    pub(super) fn save_beside(&mut self) {
        let Some(document) = &mut self.document else { return };
        let Some(file) = &document.file else { return };
        match file.save_beside(&document.unit) {
            Ok(file) => {
                let path = file.path().to_owned();
                document.file = Some(file);
                self.unsaved_why = None;
                self.autosave.saved();
                self.remember(&path);
            }
            Err(error) => self.tell(format!("The unit could not be saved: {}", plain(&error))),
        }
    }

    /// Whether the open unit may be put away for `next`: what is not on disk is written first, and the person is asked
    /// when that fails.
    pub(super) fn may_leave(&mut self, next: &Command, now: Duration) -> bool {
        let all_saved = !self.autosave.is_unsaved() && self.unsaved_why.is_none();
        if self.leave_anyway || all_saved || self.save(now) {
            return true;
        }
        self.notice = Some(NoticeView {
            words: "The open unit is not on disk, and would be lost. “Save a copy…” keeps it".to_owned(),
            actions: vec![
                save_a_copy(),
                LinkView { text: "Leave it all the same".to_owned(), command: Command::Anyway(Box::new(next.clone())) },
            ],
            ..NoticeView::default()
        });
        false
    }

    /// A dialog was answered.
    pub(super) fn answered(&mut self, question: &Question, path: &Path, now: Duration) {
        match question {
            Question::Open => {
                if self.may_leave(&Command::OpenFile, now) {
                    self.open_path(path);
                }
            }
            Question::Import => self.import(path),
            Question::Export { from, .. } => self.export(from, path),
            Question::SavePdf(_) => self.write_page(path),
            Question::SaveCopy(_) => {
                let Some(unit) = self.document.as_ref().map(|d| d.unit.clone()) else { return };
                match UnitFile::create(path, &unit) {
                    Ok(_) => self.tell_done(format!("A copy is at {}", path.display())),
                    Err(error) => self.tell(format!("The copy could not be saved: {}", plain(&error))),
                }
            }
        }
    }

    /// Whether the window may close: what is not on disk is written first, and the person is asked when that fails.
    pub fn may_close(&mut self, now: Duration) -> bool {
        if self.may_close || !self.autosave.is_unsaved() && self.unsaved_why.is_none() || self.save(now) {
            return true;
        }
        let why = self.unsaved_why.clone().unwrap_or_default();
        self.notice = Some(NoticeView {
            words: capital(&format!("what you typed is not on disk: {why}. “Save a copy…” keeps it elsewhere")),
            actions: vec![
                save_a_copy(),
                LinkView { text: "Close all the same".to_owned(), command: Command::CloseAnyway },
            ],
            ..NoticeView::default()
        });
        false
    }
}

fn save_a_copy() -> LinkView {
    LinkView { text: "Save a copy…".to_owned(), command: Command::SaveCopy }
}
