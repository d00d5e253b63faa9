//! Handles for the keyboard and the screen reader.

use egui::accesskit::{Action, ActionData, Live};
use egui::{EventFilter, Id, Key, Pos2, Rect, Response, Role, Sense, Ui, Vec2, WidgetInfo};

use super::grips::Grip;
use super::{MapState, handle_id};
use crate::ui::command::{Command, Handle};
use crate::ui::view::{HandleView, MapView};

/// Marks that a page key moves by.
const PAGE: i32 = 10;

/// Registers each handle in order, so that Tab goes through them, and reads its keys.
pub(super) fn access_ui(ui: &Ui, map: &MapView, grips: &[Grip], state: &mut MapState, out: &mut Vec<Command>) {
    let mut focused = None;
    for grip in grips {
        let response = ui.interact(grip.rect(), handle_id(grip.handle), Sense::focusable_noninteractive());
        if state.focus_wanted == Some(grip.handle) {
            response.request_focus();
            state.focus_wanted = None;
        }
        match grip.handle {
            Handle::Pour(key) => {
                let handle = map.arrows.iter().filter_map(|a| a.handle.as_ref()).find(|h| h.key == key);
                if let Some(handle) = handle {
                    tell_pour(ui, &response, grip.number, handle);
                    asked_value(ui, response.id, handle, state, out);
                }
            }
            Handle::Landing => tell_landing(ui, &response, map),
        }
        let nudge = asked_steps(ui, &response);
        if nudge != (0, 0) && state.hold.is_none() {
            out.push(Command::Nudge { handle: grip.handle, across: nudge.0, up: nudge.1 });
            state.spoken = Some(grip.handle);
            state.camera.follow();
        }
        if response.has_focus() {
            focused = Some(grip.handle);
        }
    }
    state.focused = focused;
    say(ui, map, state);
}

/// What handles are called.
pub(super) fn handle_name(handle: Handle, number: u32) -> String {
    match handle {
        Handle::Pour(_) => format!("Handle of pour {number}"),
        Handle::Landing => "Handle of the landing".to_owned(),
    }
}

fn tell_pour(ui: &Ui, response: &Response, number: u32, handle: &HandleView) {
    let name = handle_name(Handle::Pour(handle.key), number);
    response.widget_info(|| WidgetInfo::slider(true, handle.amount, &name));
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_role(Role::Slider);
        node.set_value(handle.said.as_str());
        node.set_min_numeric_value(0.0);
        node.set_max_numeric_value(handle.most);
        node.set_numeric_value_step(handle.step);
        for action in [Action::SetValue, Action::Increment, Action::Decrement] {
            node.add_action(action);
        }
        if handle.locked {
            node.set_description("locked: it stays as it is while the landing is dragged");
        }
    });
}

fn tell_landing(ui: &Ui, response: &Response, map: &MapView) {
    let Some(landing) = &map.landing else { return };
    let name = handle_name(Handle::Landing, 0);
    response.widget_info(|| WidgetInfo::slider(true, landing.at.ph, &name));
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_role(Role::Slider);
        node.set_value(landing.said.as_str());
        node.set_min_numeric_value(0.0);
        node.set_max_numeric_value(14.0);
        node.add_action(Action::Increment);
        node.add_action(Action::Decrement);
        node.set_description("left and right move pH, up and down move EC; the pours that are not locked follow");
    });
}

/// Steps asked for by keys, or by an assistive tool: to the right, up.
fn asked_steps(ui: &Ui, response: &Response) -> (i32, i32) {
    let id = response.id;
    let count = |n: usize| i32::try_from(n).unwrap_or(0);
    let mut across = ui.input(|i| {
        count(i.num_accesskit_action_requests(id, Action::Increment))
            - count(i.num_accesskit_action_requests(id, Action::Decrement))
    });
    let mut up = 0;
    if response.has_focus() {
        let filter = EventFilter { horizontal_arrows: true, vertical_arrows: true, ..EventFilter::default() };
        ui.memory_mut(|m| m.set_focus_lock_filter(id, filter));
        let presses = |key: Key| ui.input(|i| if i.modifiers.command { 0 } else { count(i.num_presses(key)) });
        across += presses(Key::ArrowRight) - presses(Key::ArrowLeft);
        up += presses(Key::ArrowUp) - presses(Key::ArrowDown);
        up += PAGE * (presses(Key::PageUp) - presses(Key::PageDown));
    }
    (across, up)
}

fn asked_value(ui: &Ui, id: Id, handle: &HandleView, state: &mut MapState, out: &mut Vec<Command>) {
    let asked = ui.input(|i| {
        i.accesskit_action_requests(id, Action::SetValue).find_map(|request| match request.data {
            Some(ActionData::NumericValue(value)) if value.is_finite() => Some(value),
            _ => None,
        })
    });
    if let Some(amount) = asked {
        let most = if handle.most.is_finite() { handle.most.max(0.0) } else { f64::MAX };
        out.push(Command::SetPour { key: handle.key, amount: amount.clamp(0.0, most) });
        state.spoken = Some(Handle::Pour(handle.key));
        state.camera.follow();
    }
}

/// Says what became of the handle that was moved last. While it is held there would be too much to say.
fn say(ui: &Ui, map: &MapView, state: &mut MapState) {
    if let (None, Some(spoken)) = (&state.hold, state.spoken) {
        state.said = match spoken {
            Handle::Pour(key) => {
                let handle = map.arrows.iter().filter_map(|a| a.handle.as_ref()).find(|h| h.key == key);
                handle.map(|h| h.said.clone()).unwrap_or_default()
            }
            Handle::Landing => map.landing.as_ref().map(|l| l.said.clone()).unwrap_or_default(),
        };
    }
    let corner = state.screen.map_or(Pos2::ZERO, |screen| screen.frame.min);
    let rect = Rect::from_min_size(corner, Vec2::splat(1.0));
    let response = ui.interact(rect, Id::unique("what became of the handle"), Sense::hover());
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_role(Role::Status);
        node.set_live(Live::Polite);
        node.set_value(state.said.as_str());
    });
}
