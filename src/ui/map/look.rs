//! Looking ahead: a small slider from now to a day from now.

use egui::accesskit::{Action, ActionData};
use egui::{Align2, CursorIcon, EventFilter, Id, Key, Pos2, Rect, Response, Role, Sense, Stroke, Ui, Vec2, WidgetInfo};

use crate::ui::command::Command;
use crate::ui::paint::{focus_ring, line, words_at};
use crate::ui::theme::{Tokens, Weight, size};
use crate::ui::view::LookView;

/// Name of the slider in the accessibility tree.
pub const LOOK_NAME: &str = "Look ahead";
/// Its height, points.
pub const LOOK_HEIGHT: f32 = 36.0;

/// Radius of its handle.
const HANDLE: f32 = 7.0;
/// Narrower than this, its caption gives way.
const NEEDS_CAPTION: f32 = 380.0;

/// Draws the slider into `rect`; nothing while there is nothing to look ahead to.
pub fn look_ui(ui: &Ui, rect: Rect, look: &LookView, out: &mut Vec<Command>) {
    let Some(last) = look.stops.len().checked_sub(1).filter(|last| *last > 0) else { return };
    let tokens = Tokens::of(ui);
    let mut rect = rect;
    if rect.width() >= NEEDS_CAPTION {
        let caption = line(ui.painter(), LOOK_NAME, size::SMALL, Weight::Regular, tokens.quiet);
        let corner = Pos2::new(rect.left(), rect.top() + 10.0 - caption.size().y / 2.0);
        rect.min.x += caption.size().x + 16.0;
        ui.painter().galley(corner, caption, tokens.quiet);
    }
    let response = ui.interact(rect, Id::unique("look ahead"), Sense::click_and_drag());
    let scale = Scale::of(ui, rect, look);
    let at = look.at.min(last);
    if let Some(stop) = asked(ui, &response, &scale, at, last).filter(|stop| *stop != at) {
        out.push(Command::LookAhead(stop));
    }
    tell(ui, &response, look, at, last);
    if ui.is_rect_visible(rect) {
        paint(ui, &scale, look, at, response.has_focus(), response.hovered() || response.dragged());
    }
    response.on_hover_cursor(CursorIcon::PointingHand);
}

/// Where the stops are.
struct Scale {
    left: f32,
    step: f32,
    track: f32,
    words: f32,
}

impl Scale {
    fn of(ui: &Ui, rect: Rect, look: &LookView) -> Self {
        let half = |words: Option<&String>| {
            let words = words.map_or("", String::as_str);
            line(ui.painter(), words, size::SMALL, Weight::Medium, egui::Color32::PLACEHOLDER).size().x / 2.0
        };
        let left = rect.left() + half(look.stops.first()).max(HANDLE + 4.0);
        let right = rect.right() - half(look.stops.last()).max(HANDLE + 4.0);
        let gaps = look.stops.len().saturating_sub(1).max(1) as f32;
        Self { left, step: (right - left).max(1.0) / gaps, track: rect.top() + 10.0, words: rect.top() + 28.0 }
    }

    fn at(&self, stop: usize) -> Pos2 {
        Pos2::new(self.left + self.step * stop as f32, self.track)
    }

    fn nearest(&self, pointer: Pos2, last: usize) -> usize {
        (0..=last).min_by(|a, b| self.at(*a).distance(pointer).total_cmp(&self.at(*b).distance(pointer))).unwrap_or(0)
    }
}

fn asked(ui: &Ui, response: &Response, scale: &Scale, at: usize, last: usize) -> Option<usize> {
    let moved = ui.input(|i| i.pointer.primary_pressed() || i.pointer.delta() != Vec2::ZERO);
    if let Some(pointer) = response.interact_pointer_pos().filter(|_| moved || response.clicked()) {
        return Some(scale.nearest(pointer, last));
    }
    let id = response.id;
    let steps = |i: &egui::InputState, action| i.num_accesskit_action_requests(id, action);
    let (mut more, mut fewer) = ui.input(|i| (steps(i, Action::Increment), steps(i, Action::Decrement)));
    if response.has_focus() {
        let filter = EventFilter { horizontal_arrows: true, vertical_arrows: true, ..EventFilter::default() };
        ui.memory_mut(|m| m.set_focus_lock_filter(id, filter));
        let presses = |keys: [Key; 2]| ui.input(|i| keys.map(|key| i.num_presses(key)).iter().sum::<usize>());
        more += presses([Key::ArrowRight, Key::ArrowUp]);
        fewer += presses([Key::ArrowLeft, Key::ArrowDown]);
        if ui.input(|i| i.key_pressed(Key::Home)) {
            return Some(0);
        }
        if ui.input(|i| i.key_pressed(Key::End)) {
            return Some(last);
        }
    }
    if more != fewer {
        return Some((at + more).saturating_sub(fewer).min(last));
    }
    ui.input(|i| {
        i.accesskit_action_requests(id, Action::SetValue).find_map(|request| match request.data {
            Some(ActionData::NumericValue(value)) if value.is_finite() => {
                (0..=last).min_by(|a, b| (*a as f64 - value).abs().total_cmp(&(*b as f64 - value).abs()))
            }
            _ => None,
        })
    })
}

fn tell(ui: &Ui, response: &Response, look: &LookView, at: usize, last: usize) {
    response.widget_info(|| WidgetInfo::slider(true, at as f64, LOOK_NAME));
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_role(Role::Slider);
        node.set_value(look.stops.get(at).map_or("", String::as_str));
        node.set_min_numeric_value(0.0);
        node.set_max_numeric_value(last as f64);
        node.set_numeric_value_step(1.0);
        for action in [Action::SetValue, Action::Increment, Action::Decrement] {
            node.add_action(action);
        }
    });
}

fn paint(ui: &Ui, scale: &Scale, look: &LookView, at: usize, has_focus: bool, is_near: bool) {
    let tokens = Tokens::of(ui);
    let painter = ui.painter();
    let here = scale.at(at);
    let end = scale.at(look.stops.len().saturating_sub(1));
    painter.line_segment([scale.at(0), end], Stroke::new(3.0, tokens.hairline));
    painter.line_segment([scale.at(0), here], Stroke::new(3.0, tokens.accent));
    let shown = look.stops.get(at).map_or("", String::as_str);
    let here_half = line(painter, shown, size::SMALL, Weight::Medium, tokens.ink).size().x / 2.0;
    let mut free_from = f32::NEG_INFINITY;
    for (i, words) in look.stops.iter().enumerate() {
        let stop = scale.at(i);
        let color = if i <= at { tokens.accent } else { tokens.outline };
        painter.circle(stop, 3.0, tokens.card, Stroke::new(1.5, color));
        let (weight, ink) = if i == at { (Weight::Medium, tokens.ink) } else { (Weight::Regular, tokens.quiet) };
        let galley = line(painter, words, size::SMALL, weight, ink);
        // Where there is no room for every word, those between give way; the one that is shown is always named.
        let half = galley.size().x / 2.0;
        let is_clear = stop.x - half > free_from && (i >= at || stop.x + half + 6.0 < here.x - here_half);
        if i == at || is_clear {
            words_at(painter, Pos2::new(stop.x, scale.words), Align2::CENTER_CENTER, words, (size::SMALL, weight), ink);
            free_from = stop.x + half + 6.0;
        }
    }
    let edge = if is_near { 3.5 } else { 2.5 };
    painter.circle(here, HANDLE, tokens.map, Stroke::new(edge, tokens.accent));
    if has_focus {
        focus_ring(painter, Rect::from_center_size(here, Vec2::splat(2.0 * HANDLE)), tokens);
    }
}
