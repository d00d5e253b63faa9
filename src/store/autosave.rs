//! When to save: what was typed is on disk within two seconds.

use std::time::Duration;

/// Save once nothing has changed for this long: a word is not saved letter by letter. Ours.
const QUIET: Duration = Duration::from_millis(500);
/// Save at the latest this long after the first unsaved change, which leaves half a second of the two for writing. Ours.
const LATEST: Duration = Duration::from_millis(1500);
/// Try again this long after a save that failed. Ours.
const RETRY: Duration = Duration::from_secs(5);

/// Says when to save. It reads no clock: `now` is the time since the program's start, by a clock that never runs back.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Autosave {
    unsaved: Option<Unsaved>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Unsaved {
    first: Duration,
    latest: Duration,
    failed: Option<Duration>,
}

impl Autosave {
    /// Something changed.
    pub fn touched(&mut self, now: Duration) {
        let unsaved = self.unsaved.get_or_insert(Unsaved { first: now, latest: now, failed: None });
        unsaved.latest = now;
    }

    /// All that changed so far is on disk.
    pub fn saved(&mut self) {
        self.unsaved = None;
    }

    /// A save failed: what changed stays unsaved, and is tried again later.
    pub fn failed(&mut self, now: Duration) {
        if let Some(unsaved) = &mut self.unsaved {
            unsaved.failed = Some(now);
        }
    }

    /// Whether something is not on disk yet: to be asked before the window closes.
    pub fn is_unsaved(&self) -> bool {
        self.unsaved.is_some()
    }

    /// Since when something is not on disk.
    pub fn unsaved_since(&self) -> Option<Duration> {
        self.unsaved.map(|unsaved| unsaved.first)
    }

    /// How long until the next save: zero when it is due, nothing when all is saved. The window asks to be woken then.
    pub fn due_in(&self, now: Duration) -> Option<Duration> {
        let unsaved = self.unsaved?;
        let due = match unsaved.failed {
            Some(failed) => failed.saturating_add(RETRY),
            None => unsaved.latest.saturating_add(QUIET).min(unsaved.first.saturating_add(LATEST)),
        };
        Some(due.saturating_sub(now))
    }

    /// Whether to save now.
    pub fn is_due(&self, now: Duration) -> bool {
        self.due_in(now) == Some(Duration::ZERO)
    }
}
