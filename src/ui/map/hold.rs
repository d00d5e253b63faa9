//! Taking hold of a handle: which one, where the hand is, and when it lets go.

use egui::{CursorIcon, Key, Modifiers, Pos2, Response, Ui};

use super::grips::{Grip, nearest};
use super::screen::Screen;
use super::{MapState, handle_id};
use crate::ui::command::{Command, Handle};
use crate::ui::view::{MapPoint, MapView};

/// A hand on a mouse trembles this far while it presses, points.
const TREMBLE: f32 = 2.5;
/// A fingertip rolls.
const TOUCH_TREMBLE: f32 = 5.0;

/// A handle in the hand.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Hold {
    pub(super) handle: Handle,
    /// Where it was pressed.
    pressed_at: Pos2,
    /// The handle's own place when it was taken: the offset of the press from it is kept.
    from: MapPoint,
    /// The map as it was then, and stays while it is held.
    screen: Screen,
    /// What was told last: pointer, and whether free of marks.
    told: (Pos2, bool),
    /// Whether the hand went farther than it trembles: a mere press moves nothing.
    has_moved: bool,
    /// Whether the view said that the handle is held: when it says so no longer, the hold was ended elsewhere.
    was_told_held: bool,
    /// The handle has its place again: the rest of this press is of no account.
    is_put_back: bool,
}

impl Hold {
    /// The handle that follows the hand.
    pub(super) fn active(hold: Option<&Self>) -> Option<Handle> {
        hold.filter(|hold| !hold.is_put_back).map(|hold| hold.handle)
    }
}

/// Reads the pointer: takes hold, drags, lets go. `pressable` are the responses that a press on the map can fall on.
pub(super) fn hold_input(ui: &Ui, map: &MapView, state: &mut MapState, pressable: &[Response], out: &mut Vec<Command>) {
    let Some(screen) = state.screen else { return };
    if let Some(hold) = state.hold {
        go_on(ui, map, hold, state, out);
        return;
    }
    let hover = ui.input(|i| i.pointer.hover_pos()).filter(|_| pressable.iter().any(Response::hovered));
    let under = hover.and_then(|pointer| nearest(&state.grips, pointer, state.is_touch)).map(|grip| grip.handle);
    state.hovered = under;
    if under.is_some() {
        ui.set_cursor_icon(CursorIcon::Grab);
    }
    // A tap that comes and goes within one frame takes the handle for the keyboard, and moves nothing.
    let tapped = pressable.iter().find(|r| r.clicked()).and_then(Response::interact_pointer_pos);
    if let Some(grip) = tapped.and_then(|at| nearest(&state.grips, at, state.is_touch)) {
        state.focus_wanted = Some(grip.handle);
        ui.request_repaint();
    }
    let pressed = ui.input(|i| i.pointer.primary_pressed().then(|| i.pointer.press_origin()).flatten());
    let Some(pointer) = pressed.filter(|_| pressable.iter().any(Response::is_pointer_button_down_on)) else { return };
    state.is_touch = ui.input(egui::InputState::any_touches);
    if ui.input(|i| i.multi_touch().is_some()) {
        return;
    }
    let Some(grip) = nearest(&state.grips, pointer, state.is_touch) else { return };
    take(ui, grip, pointer, screen, state, out);
}

fn take(ui: &Ui, grip: Grip, pointer: Pos2, screen: Screen, state: &mut MapState, out: &mut Vec<Command>) {
    let is_free = is_free(ui);
    let hold = Hold {
        handle: grip.handle,
        pressed_at: pointer,
        from: grip.place,
        screen,
        told: (pointer, is_free),
        has_moved: false,
        was_told_held: false,
        is_put_back: false,
    };
    out.push(Command::Hold(grip.handle));
    out.push(drag_to(&hold, pointer, is_free));
    state.hold = Some(hold);
    state.before_hold = Some(state.camera.clone());
    state.hovered = Some(grip.handle);
    state.focus_wanted = Some(grip.handle);
    keep_escape(ui, grip.handle);
    ui.set_cursor_icon(CursorIcon::Grabbing);
    ui.request_repaint();
}

fn go_on(ui: &Ui, map: &MapView, mut hold: Hold, state: &mut MapState, out: &mut Vec<Command>) {
    let is_down = ui.input(|i| i.pointer.primary_down());
    if hold.is_put_back {
        state.hold = is_down.then_some(hold);
        return;
    }
    // A second finger means the view, and whoever presses Escape wants it as it was.
    let escaped = ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Escape));
    if escaped || ui.input(|i| i.multi_touch().is_some()) {
        out.push(Command::PutBack);
        put_back(ui, hold, state);
        return;
    }
    // Undone, or overtaken by a reading, while the button is still down.
    let is_told_held = map.held == Some(hold.handle);
    if hold.was_told_held && !is_told_held {
        put_back(ui, hold, state);
        return;
    }
    hold.was_told_held = is_told_held;
    if !has_handle(map, hold.handle) {
        out.push(Command::LetGo);
        state.hold = None;
        state.before_hold = None;
        return;
    }
    let is_free = is_free(ui);
    let pointer = ui.input(|i| i.pointer.latest_pos()).unwrap_or(hold.told.0);
    let slack = if state.is_touch { TOUCH_TREMBLE } else { TREMBLE };
    hold.has_moved |= pointer.distance(hold.pressed_at) > slack;
    if hold.has_moved && (pointer, is_free) != hold.told {
        hold.told = (pointer, is_free);
        out.push(drag_to(&hold, pointer, is_free));
    }
    state.hovered = Some(hold.handle);
    state.focus_wanted = Some(hold.handle);
    keep_escape(ui, hold.handle);
    if is_down {
        ui.set_cursor_icon(CursorIcon::Grabbing);
        state.hold = Some(hold);
    } else {
        out.push(Command::LetGo);
        state.hold = None;
        state.before_hold = None;
        state.camera.follow();
        state.spoken = Some(hold.handle);
        ui.set_cursor_icon(CursorIcon::Grab);
        ui.request_repaint();
    }
}

/// Gives the picture back as it was at the grab. The hold lasts at least until the next frame, which is the first to show
/// what was put back: until then nothing may be fitted to what is still seen of the drag.
fn put_back(ui: &Ui, mut hold: Hold, state: &mut MapState) {
    hold.is_put_back = true;
    state.focus_wanted = Some(hold.handle);
    state.hold = Some(hold);
    if let Some(camera) = state.before_hold.take() {
        state.camera = camera;
    }
    ui.request_repaint();
}

fn drag_to(hold: &Hold, pointer: Pos2, free: bool) -> Command {
    Command::DragTo {
        handle: hold.handle,
        to: hold.screen.moved(hold.from, pointer - hold.pressed_at),
        scale: hold.screen.scale(),
        free,
    }
}

/// Amounts between the tool's marks are wanted.
fn is_free(ui: &Ui) -> bool {
    ui.input(|i| i.modifiers.alt || i.modifiers.shift)
}

/// Escape gives the handle back its place; it must not take the keyboard away as well.
fn keep_escape(ui: &Ui, handle: Handle) {
    let filter = egui::EventFilter { escape: true, horizontal_arrows: true, vertical_arrows: true, tab: false };
    ui.memory_mut(|m| m.set_focus_lock_filter(handle_id(handle), filter));
}

fn has_handle(map: &MapView, handle: Handle) -> bool {
    match handle {
        Handle::Pour(key) => map.arrows.iter().any(|a| a.handle.as_ref().is_some_and(|h| h.key == key)),
        Handle::Landing => map.landing.as_ref().is_some_and(|landing| landing.can_move),
    }
}
