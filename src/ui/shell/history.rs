//! Back and forward over sketches: never over what was poured, read or said of the unit.

use egui::util::undoer::{Settings, Undoer};

use crate::ui::command::Handle;
use crate::ui::sketch::Sketch;

/// Changes that are one step back when they follow each other: a slider under the pointer, a run of presses of a key.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Run {
    /// The amount of a pour, by slider or field.
    Amount(u32),
    /// A handle moved by keys.
    Keys(Handle),
}

/// Where a person can go back to.
pub(super) struct History {
    undoer: Undoer<Sketch>,
    run: Option<Run>,
}

impl History {
    /// A history that begins with this sketch: as when another unit is opened, or something was poured or read, for then
    /// the sketches of before are of other water.
    pub(super) fn starting_with(sketch: &Sketch) -> Self {
        // However long a slider is under the pointer, it is one step.
        let mut undoer = Undoer::with_settings(Settings { auto_save_interval: f32::INFINITY, ..Settings::default() });
        undoer.add_undo(sketch);
        Self { undoer, run: None }
    }

    /// A change is about to be made: what came before it is a step of its own, unless both are of one run.
    pub(super) fn before(&mut self, sketch: &Sketch, run: Option<Run>) {
        if run.is_none() || run != self.run {
            self.settle(sketch);
        }
        self.run = run;
    }

    /// A change was made at `time_s`. One that is of no run is a step at once.
    pub(super) fn after(&mut self, sketch: &Sketch, time_s: f64) {
        // Feeding forgets what could be done again, which adding alone does not.
        self.undoer.feed_state(time_s, sketch);
        if self.run.is_none() {
            self.undoer.add_undo(sketch);
        }
    }

    /// The run is over.
    pub(super) fn settle(&mut self, sketch: &Sketch) {
        self.undoer.add_undo(sketch);
        self.run = None;
    }

    /// Time passes. Returns whether a run waits for its end, so that a frame is wanted in a second.
    pub(super) fn rest(&mut self, sketch: &Sketch, time_s: f64) -> bool {
        self.undoer.feed_state(time_s, sketch);
        let waits = self.undoer.is_in_flux();
        if !waits {
            self.run = None;
        }
        waits
    }

    pub(super) fn can_undo(&self, sketch: &Sketch) -> bool {
        self.undoer.has_undo(sketch)
    }

    pub(super) fn can_redo(&self, sketch: &Sketch) -> bool {
        self.undoer.has_redo(sketch)
    }

    pub(super) fn undo(&mut self, sketch: &Sketch) -> Option<Sketch> {
        self.run = None;
        self.undoer.undo(sketch).cloned()
    }

    pub(super) fn redo(&mut self, sketch: &Sketch) -> Option<Sketch> {
        self.run = None;
        self.undoer.redo(sketch).cloned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{Idea, IdeaPour};

    fn sketch(amount: f64) -> Sketch {
        let pour = IdeaPour { key: 1000, product_id: "x".to_owned(), amount, most: 100.0, locked: false };
        Sketch::of(Some(Idea { pours: vec![pour] }))
    }

    #[test]
    fn a_run_is_one_step_however_long_it_takes() {
        let start = sketch(0.0);
        let mut history = History::starting_with(&start);
        let mut now = start.clone();
        // Two minutes of a slider that never rests for a second.
        for (amount, time_s) in (1..240).zip(1..) {
            history.before(&now, Some(Run::Amount(1000)));
            now = sketch(f64::from(amount));
            history.after(&now, 0.5 * f64::from(time_s));
        }
        history.settle(&now);
        assert_eq!(history.undo(&now), Some(start.clone()));
        assert!(!history.can_undo(&start));
    }
}
