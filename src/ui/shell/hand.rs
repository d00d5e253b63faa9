//! What the hand does to the lists of pours: by slider and key, by a handle of the map, back and forward.
//!
//! While a handle is held, every place it is dragged to is worked out from the sketch as it was when it was grabbed, never
//! from the step before. So there and back is the same sketch, bit for bit, and a drag is one step back. The numbers in
//! sight follow at once; the exact ones come from the worker when the handle is let go.

use std::sync::Arc;
use std::time::Duration;

use super::Shell;
use super::history::{History, Run};
use crate::dose::Point;
use crate::plan::{Idea, LOOK_AHEAD_H, Live, Plan, Planner, Snap};
use crate::ui::command::{Command, Field, Handle};
use crate::ui::derived::Outlook;
use crate::ui::present::HandShown;
use crate::ui::sketch::Sketch;
use crate::ui::view::MapPoint;

/// A handle this near its place at the grab, in points of the screen, is where it was: less than a pixel of any screen.
const SAME_PLACE_PT: f64 = 0.25;
/// What one press of a key moves the landing by: pH, and mS/cm. The last digit of most meters.
const LANDING_KEY_STEP: (f64, f64) = (0.1, 0.05);

/// The lists in hand, and how they came about.
pub(super) struct Hand {
    pub(super) sketch: Sketch,
    /// The moment that is looked at, a place in [`LOOK_AHEAD_H`].
    pub(super) look: usize,
    history: History,
    /// Each story's last solutions, for numbers at once.
    live: Live,
    held: Option<Held>,
    /// The landing on its way by keys.
    keys: Option<Keys>,
    /// What keeps the landing from where it was wanted.
    held_by: Option<String>,
    /// What was left of a list when its first pour was made. As long as it is untouched it is no what-if, but what comes
    /// after the next reading.
    left: Option<Idea>,
    /// A handle that was grabbed in vain: shown as held for one frame, so that the map sees it let go and lets go, too.
    refused: Option<Handle>,
    /// The pour whose amount was changed last.
    touched: Option<u32>,
}

/// A handle that is held.
struct Held {
    handle: Handle,
    /// Where it was grabbed.
    at: Point,
    before: Sketch,
    /// The numbers of `before`.
    outlook: Box<Outlook>,
}

/// A run of key presses on the landing: each press moves what is wanted on, and the pours follow from the sketch before
/// the run, as a drag does. A tool too coarse for one step then moves at the second.
struct Keys {
    before: Sketch,
    start: Point,
    wanted: Point,
}

impl Default for Hand {
    fn default() -> Self {
        let sketch = Sketch::default();
        Self {
            look: 0,
            history: History::starting_with(&sketch),
            live: Live::new(),
            sketch,
            held: None,
            keys: None,
            held_by: None,
            left: None,
            refused: None,
            touched: None,
        }
    }
}

impl Hand {
    /// Begins anew, without a way back.
    pub(super) fn start_with(&mut self, sketch: Sketch) {
        *self = Self { history: History::starting_with(&sketch), sketch, ..Self::default() };
    }

    /// Begins anew with what is left after a pour: of all lists, and of the one in hand.
    pub(super) fn leave(&mut self, sketch: Sketch, left: Option<Idea>) {
        self.start_with(sketch);
        self.left = left;
    }

    /// Keeps the lists and the moment looked at, without a way back. What is held goes back to where it was grabbed.
    pub(super) fn keep_lists(&mut self) {
        let sketch = self.held.take().map_or_else(|| self.sketch.clone(), |held| held.before);
        let (look, left) = (self.look, self.left.take());
        self.leave(sketch, left);
        self.look = look;
    }

    /// A frame has shown what was grabbed in vain. Returns whether there was such a thing, which takes a frame to go.
    pub(super) fn forget_refused(&mut self) -> bool {
        self.refused.take().is_some()
    }

    pub(super) fn is_holding(&self) -> bool {
        self.held.is_some()
    }

    /// What the page shows of it.
    pub(super) fn shown(&self) -> HandShown<'_> {
        HandShown {
            sketch: &self.sketch,
            held: self.held.as_ref().map(|held| held.handle).or(self.refused),
            held_by: self.held_by.as_deref(),
            can_undo: self.history.can_undo(&self.sketch),
            can_redo: self.history.can_redo(&self.sketch),
            is_left: self.left.is_some() && self.sketch.idea() == self.left.as_ref(),
            touched: match self.held.as_ref().map(|held| held.handle) {
                Some(Handle::Pour(key)) => Some(key),
                Some(Handle::Landing) => None,
                None => self.touched,
            },
        }
    }
}

impl Shell {
    /// Does what a command asks of the lists in hand.
    pub(super) fn apply_to_hand(&mut self, command: Command, now: Duration) {
        match command {
            Command::Hold(handle) => self.hold(handle, now),
            Command::DragTo { handle, to, scale, free } => self.drag_to(handle, to, scale, free),
            Command::LetGo => self.let_go(now),
            Command::PutBack | Command::Undo | Command::Redo if self.hand.is_holding() => self.put_back(),
            Command::PutBack => {}
            Command::Undo => self.step_back(),
            Command::Redo => self.step_forward(),
            other => {
                self.let_go(now);
                self.change_hand(other, now);
            }
        }
    }

    /// Looks at the water some time later. That changes no list, so it is no step.
    fn look_ahead(&mut self, look: usize) {
        if look >= LOOK_AHEAD_H.len() || look == self.hand.look {
            return;
        }
        self.hand.look = look;
        self.rethink();
    }

    fn change_hand(&mut self, command: Command, now: Duration) {
        match command {
            Command::SetPour { key, amount } if amount.is_finite() => {
                self.change_list(now, Some(Run::Amount(key)), |idea, planner| {
                    idea.set(planner, key, amount, Snap::Down)
                });
            }
            Command::AddPour(product_id) => self.change_list(now, None, |idea, planner| {
                idea.add(planner, &product_id);
                true
            }),
            Command::RemovePour(key) => {
                // Another pour may get its key.
                self.view.drafts.settle(Field::Pour(key));
                self.change_list(now, None, |idea, _| idea.remove(key));
            }
            Command::MovePour { key, places } => self.change_list(now, None, |idea, _| idea.move_by(key, places)),
            Command::LockPour { key, locked } => {
                self.change_list(now, None, |idea, planner| idea.set_locked(planner, key, locked));
            }
            Command::Nudge { handle: Handle::Pour(key), across, up } => {
                self.view.drafts.settle(Field::Pour(key));
                self.change_list(now, Some(Run::Keys(Handle::Pour(key))), |idea, planner| {
                    idea.nudge(planner, key, across.saturating_add(up))
                });
            }
            Command::Nudge { handle: Handle::Landing, across, up } => self.nudge_landing((across, up), now),
            Command::WorkItOut => {
                self.view.drafts.forget_pours();
                self.change_sketch(now, None, |sketch, _, _| sketch.give_back());
            }
            Command::LookAhead(look) => self.look_ahead(look),
            Command::AnotherIdea => self.change_sketch(now, None, |sketch, _, _| sketch.double()),
            Command::TakeIdea(slot) => {
                self.view.drafts.forget_pours();
                self.change_sketch(now, None, |sketch, _, _| sketch.take(slot));
            }
            Command::DropIdea => {
                self.view.drafts.forget_pours();
                self.change_sketch(now, None, |sketch, _, _| sketch.drop_in_hand());
            }
            _ => {}
        }
    }

    /// Changes the list in hand, which from then on is an idea and not the plan; `how` tells whether it did.
    fn change_list(&mut self, now: Duration, run: Option<Run>, how: impl FnOnce(&mut Idea, &Planner) -> bool) {
        self.change_sketch(now, run, |sketch, planner, plan| sketch.change(planner, plan, how));
    }

    fn change_sketch(
        &mut self,
        now: Duration,
        run: Option<Run>,
        how: impl FnOnce(&mut Sketch, &Planner, &Plan) -> bool,
    ) {
        let Some(outlook) = self.current() else { return };
        let mut sketch = self.hand.sketch.clone();
        if !how(&mut sketch, &outlook.planner, &outlook.plan) {
            return;
        }
        self.hand.keys = None;
        self.hand.held_by = None;
        self.take_step(sketch, run, now);
    }

    /// Puts another sketch in hand as a step that can be taken back.
    fn take_step(&mut self, sketch: Sketch, run: Option<Run>, now: Duration) {
        self.hand.history.before(&self.hand.sketch, run);
        self.hand.sketch = sketch;
        self.hand.history.after(&self.hand.sketch, now.as_secs_f64());
        self.hand.touched = match run {
            Some(Run::Amount(key) | Run::Keys(Handle::Pour(key))) => Some(key),
            _ => None,
        };
        self.see_at_once();
        self.rethink();
    }

    fn step_back(&mut self) {
        if let Some(sketch) = self.hand.history.undo(&self.hand.sketch) {
            self.go_to(sketch);
        }
    }

    fn step_forward(&mut self) {
        if let Some(sketch) = self.hand.history.redo(&self.hand.sketch) {
            self.go_to(sketch);
        }
    }

    fn go_to(&mut self, sketch: Sketch) {
        self.view.drafts.forget_pours();
        self.hand.keys = None;
        self.hand.held_by = None;
        self.hand.touched = None;
        self.hand.sketch = sketch;
        self.see_at_once();
        self.rethink();
    }

    /// Shows the numbers of the sketch without waiting for the worker. Where they can't be had, the worker will say why.
    fn see_at_once(&mut self) {
        if let Some(outlook) = &self.outlook
            && let Ok(seen) = outlook.at_once(&self.hand.sketch, &mut self.hand.live)
        {
            self.outlook = Some(seen);
        }
    }

    fn hold(&mut self, handle: Handle, now: Duration) {
        self.let_go(now);
        if self.is_reading_ready() {
            // What is typed comes first: the numbers under the hand would be of other water.
            self.record_reading(now);
        }
        let is_current = self.current().is_some();
        let place = self.outlook.as_ref().filter(|_| is_current).and_then(|outlook| place_of(handle, outlook));
        let (Some(at), Some(outlook)) = (place, &mut self.outlook) else {
            self.hand.refused = Some(handle);
            return;
        };
        // Now, and not in the first frame of the drag.
        outlook.prepare(&mut self.hand.live);
        let outlook = Box::new(outlook.clone());
        self.hand.keys = None;
        self.hand.held_by = None;
        self.hand.history.settle(&self.hand.sketch);
        self.hand.held = Some(Held { handle, at, before: self.hand.sketch.clone(), outlook });
    }

    fn drag_to(&mut self, handle: Handle, to: MapPoint, scale: (f64, f64), free: bool) {
        let Some(held) = self.hand.held.as_ref().filter(|held| held.handle == handle) else { return };
        if !to.is_finite() {
            return;
        }
        let to = Point { ph: to.ph, ec_ms_cm: to.ec_ms_cm };
        let (planner, plan) = (Arc::clone(&held.outlook.planner), Arc::clone(&held.outlook.plan));
        let base = held.before.idea_or(&plan);
        let is_back =
            ((to.ph - held.at.ph) / scale.0).hypot((to.ec_ms_cm - held.at.ec_ms_cm) / scale.1) <= SAME_PLACE_PT;
        let snap = if free { Snap::Free } else { Snap::Nearest };
        let (idea, held_by) = if is_back {
            (base.clone(), None)
        } else {
            match moved(&planner, &base, handle, to, scale, snap) {
                Some(moved) => moved,
                // Where the chemistry can't follow, the handle stays at the last place where it could.
                None => return,
            }
        };
        self.hand.held_by = held_by;
        if idea == base {
            self.hand.sketch = held.before.clone();
            self.outlook = Some((*held.outlook).clone());
        } else if Some(&idea) != self.hand.sketch.idea() {
            let mut sketch = held.before.clone();
            sketch.put(idea, &plan);
            self.hand.sketch = sketch;
            self.see_at_once();
        }
        if let Handle::Pour(key) = handle {
            self.view.drafts.settle(Field::Pour(key));
        } else {
            self.view.drafts.forget_pours();
        }
    }

    /// The handle stays where it is. The whole drag is one step.
    fn let_go(&mut self, now: Duration) {
        let Some(held) = self.hand.held.take() else { return };
        self.hand.held_by = None;
        if self.hand.sketch == held.before {
            return;
        }
        let sketch = std::mem::replace(&mut self.hand.sketch, held.before);
        self.hand.history.before(&self.hand.sketch, None);
        self.hand.sketch = sketch;
        self.hand.history.after(&self.hand.sketch, now.as_secs_f64());
        self.hand.touched = match held.handle {
            Handle::Pour(key) => Some(key),
            Handle::Landing => None,
        };
        self.rethink();
    }

    /// The handle goes back to where it was grabbed.
    fn put_back(&mut self) {
        let Some(held) = self.hand.held.take() else { return };
        self.hand.held_by = None;
        self.hand.sketch = held.before;
        self.outlook = Some(*held.outlook);
        self.view.drafts.forget_pours();
    }

    fn nudge_landing(&mut self, (across, up): (i32, i32), now: Duration) {
        let Some(outlook) = self.current() else { return };
        let (planner, plan) = (Arc::clone(&outlook.planner), Arc::clone(&outlook.plan));
        let start = outlook.landing.just_mixed;
        let keys = self.hand.keys.take();
        let mut keys = keys.unwrap_or_else(|| Keys { before: self.hand.sketch.clone(), start, wanted: start });
        keys.wanted.ph += f64::from(across) * LANDING_KEY_STEP.0;
        keys.wanted.ec_ms_cm += f64::from(up) * LANDING_KEY_STEP.1;
        let base = keys.before.idea_or(&plan);
        // A tenth of a press is to the keys what a point of the screen is to the pointer.
        let scale = (LANDING_KEY_STEP.0 / 10.0, LANDING_KEY_STEP.1 / 10.0);
        let is_back = ((keys.wanted.ph - keys.start.ph) / scale.0)
            .hypot((keys.wanted.ec_ms_cm - keys.start.ec_ms_cm) / scale.1)
            <= SAME_PLACE_PT;
        let mut sketch = keys.before.clone();
        let mut held_by = None;
        if !is_back {
            match moved(&planner, &base, Handle::Landing, keys.wanted, scale, Snap::Nearest) {
                Some((idea, words)) => {
                    held_by = words;
                    if idea != base {
                        sketch.put(idea, &plan);
                    }
                }
                None => return,
            }
        }
        self.view.drafts.forget_pours();
        if sketch != self.hand.sketch {
            self.take_step(sketch, Some(Run::Keys(Handle::Landing)), now);
        }
        if held_by.is_some()
            && let Some(outlook) = &self.outlook
        {
            // What can't be reached is not wanted further and further, or the way back would be as long.
            let at = outlook.landing.just_mixed;
            keys.wanted.ph = keys.wanted.ph.clamp(at.ph - LANDING_KEY_STEP.0, at.ph + LANDING_KEY_STEP.0);
            keys.wanted.ec_ms_cm =
                keys.wanted.ec_ms_cm.clamp(at.ec_ms_cm - LANDING_KEY_STEP.1, at.ec_ms_cm + LANDING_KEY_STEP.1);
        }
        self.hand.held_by = held_by;
        self.hand.keys = Some(keys);
    }

    /// Lets runs of changes come to their end.
    pub(super) fn rest_hand(&mut self, ctx: &egui::Context, now: Duration) {
        if self.hand.is_holding() {
            return;
        }
        let (down, released) = ctx.input(|i| (i.pointer.any_down(), i.pointer.any_released()));
        if released {
            // A slider that is let go is a step, however soon the next follows.
            self.hand.history.settle(&self.hand.sketch);
        } else if !down && self.hand.history.rest(&self.hand.sketch, now.as_secs_f64()) {
            ctx.request_repaint_after(Duration::from_secs(1));
        }
    }
}

/// Where a handle is.
fn place_of(handle: Handle, outlook: &Outlook) -> Option<Point> {
    match handle {
        Handle::Landing => Some(outlook.landing.just_mixed),
        Handle::Pour(key) => {
            let place = outlook.list().pours.iter().position(|pour| pour.key == key)?;
            outlook.landing.shares.get(place)?.path.last().copied()
        }
    }
}

/// The list after a handle was moved, and what keeps the landing from where it is wanted.
fn moved(
    planner: &Planner,
    base: &Idea,
    handle: Handle,
    to: Point,
    scale: (f64, f64),
    snap: Snap,
) -> Option<(Idea, Option<String>)> {
    match handle {
        Handle::Pour(key) => planner.dragged(base, key, to, scale, snap).ok().map(|idea| (idea, None)),
        Handle::Landing => planner.steered(base, to, scale, snap).ok().map(|steered| (steered.idea, steered.held_by)),
    }
}
