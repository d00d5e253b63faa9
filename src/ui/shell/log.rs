//! What is written into the log, mended in it, and taken out of it; and the way back.

use std::time::Duration;

use super::Shell;
use crate::garden::{LogEntry, MendError, Promise, Reading, Unit};
use crate::plan::{Action, Untold, disagree};
use crate::ui::command::{Command, Page};
use crate::ui::present::{
    LogShown, LogWords, aside_words, capital, count_words, entry_words, is_swap, log_words, mend_writing, mended,
    new_entries, new_writing, writing_view,
};
use crate::ui::state::{Sheet, Trouble, Writing};
use crate::ui::view::{LinkView, LogView, WritingView};
use crate::ui::widgets::Entry;

/// Values typed within this time of a reading, with nothing poured between, belong to it, s: a quarter of an hour. Ours.
const SAME_LOOK_S: i64 = 900;
/// Changes of the log that there is a way back from. Ours.
const MOST_WAYS_BACK: usize = 20;

/// A change of the log that can be taken back as long as nothing else was written.
pub(super) struct Changed {
    words: String,
    log: Vec<LogEntry>,
    level_l: f64,
    /// The log as the change left it.
    left: Vec<LogEntry>,
}

/// The log in words, kept until something changes it.
#[derive(Default)]
pub(super) struct KeptLog {
    of: Option<(u64, crate::store::Settings, String)>,
    words: LogWords,
    stamp: u64,
}

impl Shell {
    /// What the page of the log is made from.
    fn log_shown(&self) -> Option<LogShown<'_>> {
        let unit = &self.document.as_ref()?.unit;
        Some(LogShown { unit, catalog: &self.catalog, settings: &self.settings, clock: self.clock.as_ref() })
    }

    /// Puts the log into words anew if it, the units people read in, or the day changed.
    pub(super) fn keep_log(&mut self) {
        if self.page != Page::Log {
            return;
        }
        let of = (self.revision, self.settings.clone(), self.clock.day_words(self.clock.now_s()));
        if self.kept_log.of.as_ref() == Some(&of) {
            return;
        }
        let Some(words) = self.log_shown().map(|shown| log_words(&shown)) else { return };
        let stamp = self.kept_log.stamp + 1;
        self.kept_log = KeptLog { of: Some(of), words, stamp };
    }

    /// The page of the log.
    pub(super) fn log_view(&self, unit: &Unit) -> LogView {
        let LogWords { rows, text, count } = self.kept_log.words.clone();
        let back = || LinkView { text: "Bring it back".to_owned(), command: Command::BringBack };
        let last = self.changed.last().filter(|changed| changed.left == unit.log);
        LogView {
            unit_name: unit.name.clone(),
            count: count_words(count),
            rows,
            stamp: self.kept_log.stamp,
            text,
            way_back: last.map(|changed| (changed.words.clone(), back())),
        }
    }

    /// The open unit's log as text, while its page is shown.
    pub fn log_text(&self) -> Option<&str> {
        self.kept_log.of.as_ref().map(|_| self.kept_log.words.text.as_ref())
    }

    /// The sheet that is written on, if it is open.
    pub(super) fn sheet_view(&self) -> Option<Box<WritingView>> {
        let writing = self.view.writing.as_ref()?;
        self.log_shown().map(|shown| Box::new(writing_view(&shown, writing)))
    }

    pub(super) fn apply_to_log(&mut self, command: &Command, now: Duration) {
        match *command {
            Command::OpenWriting => {
                let advised = self.advised();
                let first = advised.iter().map(|(id, _)| id.as_str()).find(|id| *id != WATER);
                let sheet = self.log_shown().map(|shown| new_writing(&shown, first));
                self.open_sheet(sheet);
            }
            Command::MendEntry(index) => {
                let sheet = self.log_shown().and_then(|shown| mend_writing(&shown, index));
                self.open_sheet(sheet);
            }
            Command::WriteDown => self.write_down(now),
            Command::RemoveEntry(index) => {
                self.close_sheet();
                self.remove_entry(index, now);
            }
            Command::SetAside(index) => self.set_aside(index, now),
            Command::BringBack => self.bring_back(now),
            _ => self.close_sheet(),
        }
    }

    fn open_sheet(&mut self, sheet: Option<Writing>) {
        self.view.drafts.forget_log();
        self.view.writing = sheet;
    }

    pub(super) fn close_sheet(&mut self) {
        self.open_sheet(None);
    }

    /// Writes down what is on the sheet, or says on it what keeps it from that.
    fn write_down(&mut self, now: Duration) {
        let Some(mut writing) = self.view.writing.take() else { return };
        match self.written(&writing, now) {
            Ok(()) => self.close_sheet(),
            Err(refused) => {
                writing.refused = Some(refused);
                self.view.writing = Some(writing);
            }
        }
    }

    fn written(&mut self, writing: &Writing, now: Duration) -> Result<(), String> {
        let Some(shown) = self.log_shown() else { return Ok(()) };
        // A number that was typed and is none must not be passed over.
        let reader = writing_view(&shown, writing).reader;
        for (field, text) in self.view.drafts.of_log() {
            if let Entry::Wrong(trouble) = reader.read(field, &text) {
                let Trouble { message, .. } = trouble.clone();
                self.view.drafts.blame(field, trouble);
                return Err(message);
            }
        }
        match writing.sheet {
            Sheet::New => {
                let entries = new_entries(&shown, writing)?;
                let words = match entries.len() {
                    1 => "Written down".to_owned(),
                    n => format!("{n} things written down"),
                };
                let advised = self.advised();
                self.change_log(&words, now, |unit| {
                    entries.into_iter().filter_map(|e| record(unit, e, &advised)).collect()
                });
                Ok(())
            }
            Sheet::Mend(index) => {
                let entries = mended(&shown, writing, index)?;
                let words = format!("Mended: {}", entry_words(&shown, index));
                let mut outcome = Ok(());
                self.change_log(&words, now, |unit| match mend_all(unit, index, entries) {
                    Ok(untold) => untold,
                    Err(error) => {
                        outcome = Err(capital(&error.to_string()));
                        Vec::new()
                    }
                });
                outcome
            }
        }
    }

    /// Takes an entry out of the log; both halves of a change of water.
    pub(super) fn remove_entry(&mut self, index: usize, now: Duration) {
        let Some(shown) = self.log_shown() else { return };
        let words = format!("Removed from the log: {}", entry_words(&shown, index));
        self.change_log(&words, now, |unit| {
            let count = if is_swap(unit.log.get(index), unit.log.get(index + 1)) { 2 } else { 1 };
            // The later half first: the places of the others stay.
            for place in (index..index + count).rev() {
                // An entry that is gone already is as it should be.
                let _gone = unit.mend(place, None);
            }
            Vec::new()
        });
    }

    /// Puts words in the place of a reading that others do not bear out.
    fn set_aside(&mut self, index: usize, now: Duration) {
        let Some(shown) = self.log_shown() else { return };
        let Some(LogEntry::Reading(reading)) = shown.unit.log.get(index) else { return };
        let (at_s, text) = (reading.at_s, aside_words(&shown, reading));
        let words = format!("Set aside: {}", entry_words(&shown, index));
        self.change_log(&words, now, |unit| {
            if let Some(place) = unit.log.get_mut(index) {
                *place = LogEntry::Note { at_s, text };
            }
            Vec::new()
        });
    }

    fn bring_back(&mut self, now: Duration) {
        let Some(document) = &self.document else { return };
        let Some(changed) = self.changed.pop_if(|changed| changed.left == document.unit.log) else { return };
        self.change(now, |unit| {
            unit.log = changed.log;
            unit.level_l = changed.level_l;
        });
    }

    /// Changes the log with a way back. What comes of it is still to be told of some entries.
    fn change_log(&mut self, words: &str, now: Duration, how: impl FnOnce(&mut Unit) -> Vec<Untold>) {
        let Some(document) = &self.document else { return };
        let (log, level_l) = (document.unit.log.clone(), document.unit.level_l);
        let mut untold = Vec::new();
        self.change(now, |unit| untold = how(unit));
        let Some(document) = &self.document else { return };
        let left = document.unit.log.clone();
        if left.len() <= log.len() {
            // Places may have moved.
            self.untold.clear();
        }
        self.untold.extend(untold);
        if left != log {
            self.changed.push(Changed { words: words.to_owned(), log, level_l, left });
        }
        if self.changed.len() > MOST_WAYS_BACK {
            self.changed.remove(0);
        }
    }

    /// Writes what was told of entries beside them.
    pub(super) fn keep_told(&mut self, told: Vec<(Untold, Option<Promise>)>, now: Duration) {
        self.untold.clear();
        let Some(document) = &mut self.document else { return };
        let log = &mut document.unit.log;
        let last = self.changed.last_mut().filter(|changed| changed.left == *log);
        let mut is_read = false;
        for (Untold { index, .. }, promise) in told {
            if let Some(entry) = log.get_mut(index) {
                entry.set_promise(promise);
            }
            is_read |= log.iter().skip(index + 1).any(|entry| matches!(entry, LogEntry::Reading(_)));
        }
        if let Some(changed) = last {
            changed.left.clone_from(log);
        }
        self.kept_log.of = None;
        if is_read {
            // What a reading is compared with is other than it was.
            self.touch(now);
        } else if !document.is_example {
            self.autosave.touched(now);
        }
    }

    /// What the plan advises of each product and of water before the next reading.
    pub(super) fn advised(&self) -> Vec<(String, f64)> {
        let Some(outlook) = self.current() else { return Vec::new() };
        let steps = outlook.plan.steps.iter().take_while(|step| !step.provisional);
        let amount = steps.filter_map(|step| match &step.action {
            Action::Pour(measured) => Some((measured.id.clone(), measured.amount)),
            Action::TopUp { water_l: litres } | Action::Swap { litres } => Some((WATER.to_owned(), *litres)),
            _ => None,
        });
        amount.collect()
    }
}

/// What stands for source water among the products that are advised.
const WATER: &str = "";

/// Records an entry; returns what is still to be told of it.
pub(super) fn record(unit: &mut Unit, entry: LogEntry, advised: &[(String, f64)]) -> Option<Untold> {
    let index = unit.log.len();
    let id = match &entry {
        LogEntry::Pour(pour) => Some(pour.product_id.clone()),
        LogEntry::TopUp { .. } => Some(WATER.to_owned()),
        _ => None,
    };
    unit.record(entry);
    let id = id?;
    let advised = advised.iter().find(|(product, _)| *product == id).map(|(_, amount)| *amount);
    Some(Untold { index, advised })
}

/// Puts entries in the place of those from `index` on; returns what is to be told anew.
fn mend_all(unit: &mut Unit, index: usize, entries: Vec<LogEntry>) -> Result<Vec<Untold>, MendError> {
    let mut places: Vec<(usize, LogEntry)> = (index..).zip(entries).collect();
    // Later first when the time moves on, earlier first when it moves back: the log stays in order throughout.
    let moves_on = unit.log.get(index).is_some_and(|old| places.iter().any(|(_, new)| new.at_s() > old.at_s()));
    if moves_on {
        places.reverse();
    }
    let mut untold = Vec::new();
    for (place, mut new) in places {
        let advised = new.promise().and_then(|promise| promise.advised);
        match (unit.log.get(place), &new) {
            (Some(LogEntry::Pour(old)), LogEntry::Pour(pour)) if old.product_id != pour.product_id => {
                new.set_promise(None);
                untold.push(Untold { index: place, advised: None });
            }
            (Some(LogEntry::Pour(old)), LogEntry::Pour(pour)) if (old.amount - pour.amount).abs() > 0.0 => {
                new.set_promise(None);
                untold.push(Untold { index: place, advised });
            }
            (Some(LogEntry::TopUp { water_l: old_l, .. }), LogEntry::TopUp { water_l, .. })
                if (old_l - water_l).abs() > 0.0 =>
            {
                new.set_promise(None);
                untold.push(Untold { index: place, advised });
            }
            _ => {}
        }
        unit.mend(place, Some(new))?;
    }
    Ok(untold)
}

/// Takes a reading into the log. Values typed one after the other are one look; one that differs from the last by more than the
/// meter's noise is a reading of its own, so that both stand there to be told apart.
pub(super) fn record_look(unit: &mut Unit, fresh: Reading) {
    let meter = unit.meter;
    match unit.log.last_mut() {
        Some(LogEntry::Reading(last))
            if fresh.at_s.saturating_sub(last.at_s) < SAME_LOOK_S && !disagree(last, &fresh, &meter) =>
        {
            *last = Reading {
                at_s: fresh.at_s,
                ph: fresh.ph.or(last.ph),
                ec_ms_cm: fresh.ec_ms_cm.or(last.ec_ms_cm),
                temperature_c: fresh.temperature_c.or(last.temperature_c),
                level_l: fresh.level_l,
            };
        }
        Some(LogEntry::Reading(last)) if fresh.at_s.saturating_sub(last.at_s) < SAME_LOOK_S => {
            // What was not read again still holds.
            let fresh = Reading {
                ec_ms_cm: fresh.ec_ms_cm.or(last.ec_ms_cm.filter(|_| fresh.ph.is_some())),
                ph: fresh.ph.or(last.ph.filter(|_| fresh.ec_ms_cm.is_some())),
                temperature_c: fresh.temperature_c.or(last.temperature_c),
                ..fresh
            };
            unit.record(LogEntry::Reading(fresh));
        }
        _ => unit.record(LogEntry::Reading(fresh)),
    }
}
