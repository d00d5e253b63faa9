//! A slider that moves by the marks of the tool in the hand.

use egui::accesskit::{Action, ActionData};
use egui::{CursorIcon, Key, Pos2, Rect, Response, Role, Sense, Stroke, Ui, Vec2, WidgetInfo};

use crate::ui::paint::{focus_ring, px};
use crate::ui::theme::{Tokens, space};

/// What a slider moves, and how far.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct SliderSpec<'a> {
    /// Accessible name.
    pub name: &'a str,
    /// Value now.
    pub value: f64,
    /// Largest value; the smallest is zero.
    pub most: f64,
    /// Distance of two marks.
    pub step: f64,
}

/// The slider. Returns its response and, when it was moved, the new value on a mark.
pub fn slider(ui: &mut Ui, spec: SliderSpec<'_>) -> (Response, Option<f64>) {
    let (rect, response) =
        ui.allocate_exact_size(Vec2::new(ui.available_width(), space::TWO + space::HALF), Sense::click_and_drag());
    let most = if spec.most.is_finite() && spec.most > 0.0 { spec.most } else { 1.0 };
    let step = if spec.step.is_finite() && spec.step > 0.0 { spec.step } else { most / 100.0 };
    let handle = 8.0;
    let (left, right) = (rect.left() + handle, rect.right() - handle);
    let on_mark = |value: f64| ((value / step).round() * step).clamp(0.0, most);

    let mut moved = None;
    if let Some(pointer) = response.interact_pointer_pos() {
        let share = f64::from(((pointer.x - left) / (right - left)).clamp(0.0, 1.0));
        moved = Some(on_mark(share * most));
    }
    if response.has_focus() {
        let filter = egui::EventFilter { horizontal_arrows: true, ..Default::default() };
        ui.memory_mut(|m| m.set_focus_lock_filter(response.id, filter));
        let presses = ui.input(|i| i.num_presses(Key::ArrowRight) as f64 - i.num_presses(Key::ArrowLeft) as f64);
        if presses != 0.0 {
            moved = Some(on_mark(spec.value + presses * step));
        }
    }
    let (steps, asked) = ui.input(|i| {
        let steps = i.num_accesskit_action_requests(response.id, Action::Increment) as f64
            - i.num_accesskit_action_requests(response.id, Action::Decrement) as f64;
        let asked = i.accesskit_action_requests(response.id, Action::SetValue).find_map(|request| match request.data {
            Some(ActionData::NumericValue(value)) if value.is_finite() => Some(value),
            _ => None,
        });
        (steps, asked)
    });
    if steps != 0.0 {
        moved = Some(on_mark(spec.value + steps * step));
    }
    if let Some(value) = asked {
        moved = Some(on_mark(value));
    }

    response.widget_info(|| WidgetInfo::slider(ui.is_enabled(), spec.value, spec.name));
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_role(Role::Slider);
        node.set_min_numeric_value(0.0);
        node.set_max_numeric_value(most);
        node.set_numeric_value_step(step);
        node.add_action(Action::SetValue);
        node.add_action(Action::Increment);
        node.add_action(Action::Decrement);
    });

    if ui.is_rect_visible(rect) {
        let tokens = Tokens::of(ui);
        let painter = ui.painter();
        let shown = moved.unwrap_or(spec.value);
        let x = left + (right - left) * px(shown / most).clamp(0.0, 1.0);
        let rail = |from: f32, to: f32| {
            Rect::from_min_max(Pos2::new(from, rect.center().y - 2.5), Pos2::new(to, rect.center().y + 2.5))
        };
        painter.rect_filled(rail(rect.left(), rect.right()), 2.5, tokens.hairline);
        painter.rect_filled(rail(rect.left(), x), 2.5, tokens.accent);
        let center = Pos2::new(x, rect.center().y);
        painter.circle(center, handle, tokens.map, Stroke::new(2.5, tokens.accent));
        if response.has_focus() {
            focus_ring(painter, Rect::from_center_size(center, Vec2::splat(2.0 * handle)), tokens);
        }
    }
    #[expect(clippy::float_cmp, reason = "both lie on the same marks, so an unmoved handle gives the same bits")]
    let moved = moved.filter(|&value| value != spec.value);
    (response.on_hover_cursor(CursorIcon::PointingHand), moved)
}
