//! The window's state, and the one place where commands are applied to it. It knows no `eframe`: trials drive it headless.

mod apply;
mod crops;
mod describe;
mod edit;
mod files;
mod hand;
mod history;
mod jar;
mod library;
mod log;
mod owned;
mod paper;
mod shelf;

use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;

use egui::Ui;

use super::clock::Clock;
use super::command::{Command, Page};
use super::derived::Outlook;
use super::dialogs::Dialogs;
use super::present::{Shown, default_answers, edit_view, start_view, today_view, unit_rows};
use super::sketch::Sketch;
use super::state::{Answers, Drafts, Entered, Part, PeroxideAsked, READING_FIELDS, ViewState};
use super::view::{BarView, NoticeView, SavedView, Tone, UnitEntry};
use super::widgets::field_id;
use super::worker::{Job, Worker};
use super::{PageView, WindowView, window_ui};
use crate::garden::{Catalog, Unit};
use crate::plan::{Action, Plan, Planner, Untold};
use crate::store::{Autosave, Folders, Settings, SettingsFile, UnitFile, read_settings};
use hand::Hand;

/// What the window is given at its start.
pub struct Outfit {
    /// Crops, waters, products.
    pub catalog: Arc<Catalog>,
    /// Where files go; none when the system names no folder.
    pub folders: Option<Folders>,
    /// The time.
    pub clock: Box<dyn Clock>,
    /// Dialogs about files.
    pub dialogs: Box<dyn Dialogs>,
    /// A unit file to open first.
    pub open: Option<PathBuf>,
}

/// The document: what is saved.
struct Document {
    unit: Unit,
    is_example: bool,
    /// The right to write it; none for the example, and when its file could not be made.
    file: Option<UnitFile>,
}

/// The window, but for its frame.
pub struct Shell {
    catalog: Arc<Catalog>,
    folders: Option<Folders>,
    clock: Box<dyn Clock>,
    dialogs: Box<dyn Dialogs>,
    worker: Worker,
    settings: Settings,
    settings_file: Option<SettingsFile>,
    page: Page,
    view: ViewState,
    document: Option<Document>,
    outlook: Option<Outlook>,
    trouble: Option<String>,
    /// The lists of pours in hand.
    hand: Hand,
    /// What was asked for from outside the window, for the next frame.
    asked: Vec<Command>,
    /// What the first page showed of the open unit, while its facts are changed there.
    edited_from: Option<Answers>,
    /// Counts changes of the document.
    revision: u64,
    /// The revision that belief and plan of the outlook are of.
    known_revision: Option<u64>,
    /// Counts what the worker was asked: only the answer to the latest is taken.
    asked_number: u64,
    /// Whether belief and plan are to be worked out anew, and no such answer was taken yet.
    wants_all: bool,
    /// The present that the outlook was asked for, Unix seconds.
    asked_at_s: i64,
    autosave: Autosave,
    unsaved_why: Option<String>,
    notice: Option<NoticeView>,
    /// Unit files in the units folder.
    units: Vec<UnitEntry>,
    /// The tub card as it was when "Save as PDF" was pressed, and its suggested name, until the dialog is answered.
    page_to_save: Option<(String, Vec<u8>)>,
    may_close: bool,
    leave_anyway: bool,
    /// Entries of the log of which is still to be told.
    untold: Vec<Untold>,
    /// What was taken off the shelf last.
    taken_off: Option<shelf::TakenOff>,
    /// Changes of the log that can be taken back.
    changed: Vec<log::Changed>,
    /// The log in words.
    kept_log: log::KeptLog,
    /// When the fields of a typed reading were left.
    reading_left_at: Option<Duration>,
    /// What is known of the person's units.
    owned: owned::Owned,
}

/// A waiting plan is asked again after so many seconds, any other after ten minutes: water breathes slowly.
const WAITING_S: i64 = 20;
/// See [`WAITING_S`].
const RESTING_S: i64 = 600;

/// A reading that was typed and left is recorded after this time. Ours: long enough to go from one field to the next.
const READING_RESTS: Duration = Duration::from_millis(1500);

impl Shell {
    /// A window with its settings read and its first page chosen.
    pub fn new(outfit: Outfit, worker: Worker) -> Self {
        let Outfit { catalog, folders, clock, dialogs, open } = outfit;
        let mut notice = None;
        let (mut settings, mut settings_file) = (Settings::default(), None);
        if let Some(folders) = &folders {
            let loaded = read_settings(folders.settings());
            (settings, settings_file) = (loaded.settings, loaded.file);
            notice = loaded.problem.map(|problem| NoticeView {
                words: format!("The settings could not be read, so the usual ones are used: {problem}"),
                ..NoticeView::default()
            });
        }
        let view = ViewState { answers: default_answers(&catalog, &settings), ..ViewState::default() };
        let last = settings.last_unit.clone().filter(|path| path.exists());
        let mut shell = Self {
            catalog,
            folders,
            clock,
            dialogs,
            worker,
            settings,
            settings_file,
            page: Page::Start,
            view,
            document: None,
            outlook: None,
            trouble: None,
            hand: Hand::default(),
            asked: Vec::new(),
            edited_from: None,
            revision: 0,
            known_revision: None,
            asked_number: 0,
            wants_all: false,
            asked_at_s: 0,
            autosave: Autosave::default(),
            unsaved_why: None,
            notice,
            units: Vec::new(),
            page_to_save: None,
            may_close: false,
            leave_anyway: false,
            untold: Vec::new(),
            taken_off: None,
            changed: Vec::new(),
            kept_log: log::KeptLog::default(),
            reading_left_at: None,
            owned: owned::Owned::default(),
        };
        shell.list_units();
        shell.read_own();
        // A file that cannot be opened is told, and the unit of last time is there behind the message.
        for path in open.into_iter().chain(last) {
            if shell.document.is_none() {
                shell.open_path(&path);
            }
        }
        shell
    }

    /// Light or dark, as the settings say.
    pub fn theme(&self) -> egui::ThemePreference {
        match self.settings.theme {
            crate::store::Theme::System => egui::ThemePreference::System,
            crate::store::Theme::Light => egui::ThemePreference::Light,
            crate::store::Theme::Dark => egui::ThemePreference::Dark,
        }
    }

    /// The open unit.
    pub fn unit(&self) -> Option<&Unit> {
        self.document.as_ref().map(|document| &document.unit)
    }

    /// The outlook of the open unit, once it is worked out.
    pub fn outlook(&self) -> Option<&Outlook> {
        self.outlook.as_ref()
    }

    /// The outlook, if it is of the document as it is now. One that is of before is still shown until the next is worked
    /// out, but nothing is poured or changed by it.
    fn current(&self) -> Option<&Outlook> {
        self.outlook.as_ref().filter(|_| self.known_revision == Some(self.revision))
    }

    /// Drafts, open panels, and where the map is.
    pub fn view(&self) -> &ViewState {
        &self.view
    }

    /// The lists of pours in hand.
    pub fn sketch(&self) -> &Sketch {
        &self.hand.sketch
    }

    /// What keeps the landing from where the hand wants it.
    pub fn held_by(&self) -> Option<&str> {
        self.hand.shown().held_by
    }

    /// Asks for something, as a button or a key would: it is done in the next frame.
    pub fn ask_for(&mut self, command: Command) {
        self.asked.push(command);
    }

    /// One frame: fetches answers, draws, applies what was asked for, saves when it is time.
    pub fn frame(&mut self, ui: &mut Ui) {
        let now = Duration::from_secs_f64(ui.input(|i| i.time).max(0.0));
        self.fetch(now);
        self.keep_log();
        let window = self.window_view();
        let mut asked = std::mem::take(&mut self.asked);
        window_ui(ui, &window, &mut self.view, &mut asked);
        if self.hand.forget_refused() {
            ui.ctx().request_repaint();
        }
        let before = self.revision;
        if self.reading_rests(ui, now) {
            asked.push(Command::RecordReading);
        }
        for command in asked {
            self.apply(command, ui.ctx(), now);
        }
        if self.revision != before || self.is_stale() {
            self.ask();
            // An answer that is there at once needs a frame to be shown in.
            ui.ctx().request_repaint();
        }
        self.rest_hand(ui.ctx(), now);
        if self.autosave.is_due(now) {
            self.save(now);
        }
        self.ask_to_be_woken(ui, now);
    }

    fn ask_to_be_woken(&mut self, ui: &Ui, now: Duration) {
        if let Some(due) = self.autosave.due_in(now) {
            ui.ctx().request_repaint_after(due);
        }
        if let Some(due) = self.wait_for_units(now) {
            ui.ctx().request_repaint_after(due);
        }
        if self.page != Page::Start && self.is_waiting() {
            ui.ctx().request_repaint_after(Duration::from_secs(10));
        }
    }

    /// Whether a reading is typed and left alone for a while, so that it is recorded by itself: what was typed must not be
    /// lost. As long as the keyboard is in one of its fields it is still being typed.
    fn reading_rests(&mut self, ui: &Ui, now: Duration) -> bool {
        let typing = READING_FIELDS.iter().any(|&field| ui.memory(|m| m.has_focus(field_id(field))));
        if typing || !self.is_reading_ready() {
            self.reading_left_at = None;
            return false;
        }
        // Other water would end a drag under the hand.
        if self.hand.is_holding() {
            return false;
        }
        let rested = now.saturating_sub(*self.reading_left_at.get_or_insert(now));
        ui.ctx().request_repaint_after(READING_RESTS.saturating_sub(rested));
        rested >= READING_RESTS
    }

    /// Whether a reading is typed, all of it clear, and not recorded yet.
    fn is_reading_ready(&self) -> bool {
        let unclear = READING_FIELDS.iter().any(|&field| self.view.drafts.text(field).is_some());
        !unclear && self.view.entered.is_recordable()
    }

    /// Whether a wait is counted down.
    fn is_waiting(&self) -> bool {
        let step = self.outlook.as_ref().and_then(|o| o.plan.now());
        step.is_some_and(|step| matches!(step.action, Action::Read { in_min } if in_min > 0))
    }

    fn is_stale(&self) -> bool {
        // A planner made anew would pull the numbers away under the hand.
        if self.outlook.is_none() || self.document.is_none() || self.hand.is_holding() {
            return false;
        }
        let age_s = self.clock.now_s().saturating_sub(self.asked_at_s);
        age_s >= if self.is_waiting() { WAITING_S } else { RESTING_S }
    }

    fn fetch(&mut self, now: Duration) {
        // While a handle is held the numbers are of the hand: answers wait until it is let go.
        if !self.hand.is_holding()
            && let Some(done) = self.worker.poll()
            && done.number == self.asked_number
        {
            match done.outcome {
                Ok(outlook) => {
                    self.outlook = Some(outlook);
                    self.known_revision = Some(self.revision);
                    // Whatever was asked since all was wanted was asked for all.
                    self.wants_all = false;
                    self.trouble = None;
                }
                Err(trouble) => {
                    self.outlook = None;
                    self.trouble = Some(trouble);
                }
            }
            if !done.told.is_empty() {
                self.keep_told(done.told, now);
            }
        }
        self.take_seen();
        if let Some((question, path)) = self.dialogs.answer() {
            self.answered(&question, &path, now);
        }
        if self.dialogs.could_not_open(now) {
            self.tell_without_dialogs();
        }
        if !self.dialogs.is_open() {
            self.leave_anyway = false;
            self.page_to_save = None;
        }
    }

    /// Hands document and sketch to the worker.
    fn ask(&mut self) {
        self.asked_at_s = self.clock.now_s();
        self.wants_all = true;
        self.ask_worker(None);
    }

    /// Hands the sketch to the worker: belief and plan stand, where they are of this document, so the answer is quick.
    fn rethink(&mut self) {
        let known = self.current().filter(|_| !self.wants_all);
        let known = known.map(|o| (Arc::clone(&o.planner), Arc::clone(&o.plan)));
        if known.is_none() {
            self.wants_all = true;
        }
        self.ask_worker(known);
    }

    fn ask_worker(&mut self, known: Option<(Arc<Planner>, Arc<Plan>)>) {
        let Some(document) = &self.document else { return };
        self.asked_number += 1;
        self.worker.ask(Job {
            number: self.asked_number,
            unit: document.unit.clone(),
            now_s: self.asked_at_s,
            sketch: self.hand.sketch.clone(),
            look: self.hand.look,
            known,
            untold: self.untold.clone(),
        });
    }

    /// The document changed: what follows from it is worked out anew, and it is saved soon.
    fn touch(&mut self, now: Duration) {
        self.revision += 1;
        if self.document.as_ref().is_some_and(|d| !d.is_example) {
            self.autosave.touched(now);
        }
    }

    fn show_unit(&mut self, unit: Unit, is_example: bool, file: Option<UnitFile>) {
        self.document = Some(Document { unit, is_example, file });
        self.outlook = None;
        self.known_revision = None;
        self.trouble = None;
        self.hand.start_with(Sketch::default());
        self.view.drafts = Drafts::default();
        self.view.entered = Entered::default();
        self.close_sheet();
        self.leave_crops();
        self.untold.clear();
        self.changed.clear();
        self.taken_off = None;
        self.open_product(None);
        self.leave_edit();
        self.view.open.clear();
        self.view.peroxide = PeroxideAsked::default();
        self.view.jar = None;
        self.autosave = Autosave::default();
        self.unsaved_why = None;
        self.page = Page::Today;
        self.revision += 1;
        self.ask();
    }

    fn shown<'a>(&'a self, document: &'a Document) -> Shown<'a> {
        Shown {
            unit: &document.unit,
            is_example: document.is_example,
            catalog: &self.catalog,
            settings: &self.settings,
            outlook: self.outlook.as_ref(),
            trouble: self.trouble.as_deref(),
            clock: self.clock.as_ref(),
            hand: self.hand.shown(),
            jar: self.view.jar.as_ref().filter(|_| self.view.is_open(Part::Jar)),
        }
    }

    fn window_view(&self) -> WindowView {
        let page = match (self.page, &self.document) {
            (Page::Today, Some(document)) => PageView::Today(Box::new(today_view(&self.shown(document)))),
            (Page::Log, Some(document)) => PageView::Log(Box::new(self.log_view(&document.unit))),
            (Page::Shelf, Some(_)) => PageView::Shelf(Box::new(self.shelf_view().unwrap_or_default())),
            (Page::Crops, Some(document)) => PageView::Crops(Box::new(self.crops_view(&document.unit))),
            (Page::Units, _) => PageView::Units(Box::new(self.units_view())),
            (Page::Start, Some(document)) if self.edited_from.is_some() => {
                PageView::Start(Box::new(edit_view(&self.catalog, &self.view.answers, &document.unit)))
            }
            _ => PageView::Start(Box::new(start_view(&self.catalog, &self.view.answers))),
        };
        let ec_scale = self.unit().map_or(self.settings.ec_scale, |unit| unit.meter.ec_scale);
        let units = unit_rows(&self.settings, ec_scale);
        WindowView {
            bar: self.bar(),
            page,
            units,
            sheet: self.sheet_view(),
            product: self.product_view(),
            water: self.water_view(),
            crop: self.crop_sheet_of_library(),
            notice: self.notice.clone(),
        }
    }

    fn bar(&self) -> BarView {
        let open = self.document.as_ref().and_then(|document| document.file.as_ref()).map(UnitFile::path);
        let others = self.units.iter().filter(|unit| Some(unit.path.as_path()) != open);
        let units = others.cloned().collect();
        let Some(document) = &self.document else { return BarView { units, ..BarView::default() } };
        let saved = if document.is_example {
            SavedView::Example
        } else if let Some(why) = &self.unsaved_why {
            SavedView::Failed(why.clone())
        } else if document.file.is_none() {
            SavedView::NotYet
        } else if self.autosave.is_unsaved() {
            SavedView::Saving
        } else {
            SavedView::Saved
        };
        BarView { unit_name: document.unit.name.clone(), saved, units }
    }

    fn tell(&mut self, words: impl Into<String>) {
        self.notice = Some(NoticeView { words: words.into(), ..NoticeView::default() });
    }

    /// Tells that something is done: no trouble, and nothing to be warned of.
    fn tell_done(&mut self, words: impl Into<String>) {
        self.notice = Some(NoticeView { words: words.into(), tone: Tone::Plain, ..NoticeView::default() });
    }
}
