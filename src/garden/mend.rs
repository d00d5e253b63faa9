//! Mending the log: what happened in the tank stays as it happened, but its record may be wrong, and a wrong entry poisons what is
//! believed of the water.

use super::reading::LogEntry;
use super::unit::Unit;

/// Why an entry cannot be mended so.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum MendError {
    /// There is no such entry.
    #[error("the log has no entry {index}; it has {count}")]
    NoEntry {
        /// Place asked for, from 0.
        index: usize,
        /// Entries in the log.
        count: usize,
    },
    /// A reading does not become a pour.
    #[error("an entry stays what it is: remove it and write the other down instead")]
    AnotherKind,
    /// The log is in order of time.
    #[error("the time does not lie between those of the entries before and after it")]
    OutOfOrder,
}

/// Levels closer than this are the same, L: far below what anyone can see.
const SAME_LEVEL_L: f64 = 1e-6;

impl Unit {
    /// Puts another entry of the same kind in the place of one, or takes it out (`with` is none). Returns what stood there.
    ///
    /// The level follows, up to where a person stated another: levels that recording had derived from the mended entry, in later
    /// readings and now, are moved by what it was off; a level that does not follow from the log was typed, and stays with all that
    /// comes after it.
    ///
    /// # Errors
    /// [`MendError`]; nothing is changed then.
    pub fn mend(&mut self, index: usize, with: Option<LogEntry>) -> Result<LogEntry, MendError> {
        let count = self.log.len();
        let old = self.log.get(index).cloned().ok_or(MendError::NoEntry { index, count })?;
        if let Some(new) = &with {
            if std::mem::discriminant(new) != std::mem::discriminant(&old) {
                return Err(MendError::AnotherKind);
            }
            let before = index.checked_sub(1).and_then(|i| self.log.get(i)).map(LogEntry::at_s);
            let after = self.log.get(index + 1).map(LogEntry::at_s);
            if before.is_some_and(|at_s| new.at_s() < at_s) || after.is_some_and(|at_s| new.at_s() > at_s) {
                return Err(MendError::OutOfOrder);
            }
        }
        self.move_levels(index, &old, with.as_ref());
        match with {
            Some(new) => {
                if let Some(place) = self.log.get_mut(index) {
                    *place = new;
                }
            }
            None => {
                self.log.remove(index);
            }
        }
        Ok(old)
    }

    /// Water in the tank just before an entry, L, as far as the log states any level before it.
    pub fn level_before_l(&self, index: usize) -> Option<f64> {
        self.log.iter().take(index).fold(None, |level_l, entry| self.level_after_l(entry, level_l))
    }

    /// Level after an entry, from the one before it.
    fn level_after_l(&self, entry: &LogEntry, before_l: Option<f64>) -> Option<f64> {
        let level_l = match entry {
            LogEntry::Reading(reading) => reading.level_l.or(before_l),
            LogEntry::Refill { water_l, .. } => Some(*water_l),
            LogEntry::TopUp { water_l, .. } => before_l.map(|level_l| level_l + water_l),
            LogEntry::Drain { solution_l, .. } => before_l.map(|level_l| level_l - solution_l),
            LogEntry::Pour(_) | LogEntry::JarTest(_) | LogEntry::Note { .. } => before_l,
        };
        level_l.map(|level_l| self.bounded_l(level_l))
    }

    /// By how much the level after an entry differs when another stands in its place, L.
    fn moved_by_l(&self, before_l: Option<f64>, old: &LogEntry, new: Option<&LogEntry>) -> f64 {
        let after = |before_l| {
            let new_l = new.map_or(before_l, |new| self.level_after_l(new, before_l));
            Some(new_l? - self.level_after_l(old, before_l)?)
        };
        // Before any level was stated, only what was added or taken out is known.
        let flow = |entry: &LogEntry| match entry {
            LogEntry::TopUp { water_l, .. } => *water_l,
            LogEntry::Drain { solution_l, .. } => -solution_l,
            _ => 0.0,
        };
        after(before_l).unwrap_or_else(|| new.map_or(0.0, flow) - flow(old))
    }

    fn move_levels(&mut self, index: usize, old: &LogEntry, new: Option<&LogEntry>) {
        let before_l = self.level_before_l(index);
        let by_l = self.moved_by_l(before_l, old, new);
        let mut running_l = self.level_after_l(old, before_l);
        let follows = |level_l: f64, running_l: Option<f64>| {
            running_l.is_none_or(|running_l| (running_l - level_l).abs() < SAME_LEVEL_L)
        };
        let mut moved = Vec::new();
        for (place, entry) in self.log.iter().enumerate().skip(index + 1) {
            match entry {
                LogEntry::Refill { .. } => return self.place_levels(&moved, by_l),
                LogEntry::Reading(reading) => {
                    if let Some(level_l) = reading.level_l {
                        if !follows(level_l, running_l) {
                            return self.place_levels(&moved, by_l);
                        }
                        moved.push(place);
                    }
                }
                _ => {}
            }
            running_l = self.level_after_l(entry, running_l);
        }
        let now_l = self.level_l;
        self.place_levels(&moved, by_l);
        if follows(now_l, running_l) {
            self.level_l = self.bounded_l(now_l + by_l);
        }
    }

    fn place_levels(&mut self, places: &[usize], by_l: f64) {
        for &place in places {
            let moved = match self.log.get(place) {
                Some(LogEntry::Reading(reading)) => reading.level_l.map(|level_l| self.bounded_l(level_l + by_l)),
                _ => None,
            };
            if let (Some(LogEntry::Reading(reading)), Some(level_l)) = (self.log.get_mut(place), moved) {
                reading.level_l = Some(level_l);
            }
        }
    }
}
