//! Moving the view: wheel, touchpad, fingers, mouse, keys.

use egui::{CursorIcon, Event, Key, Modifiers, MouseWheelSource, MouseWheelUnit, Pos2, Response, Ui, Vec2};

use super::camera::Camera;
use super::hold::Hold;
use super::screen::Screen;
use super::{Around, MapState};

/// One notch of a wheel shows so many times less.
const NOTCH: f64 = 1.18;
/// One press of a key or button shows so many times less.
pub(super) const PRESS: f64 = 1.5;
/// Points that one line of a wheel pans, where it pans.
const LINE: f32 = 40.0;
/// One arrow key moves the view by this share of it.
const ARROW: f32 = 0.1;

/// Reads what moves the view. `has_keyboard`: the map or one of its handles has it.
///
/// `pressable` are the responses that a press on the map can fall on: the ground first, then what is around handles.
pub(super) fn view_input(ui: &Ui, state: &mut MapState, pressable: &[Response], around: Around, has_keyboard: bool) {
    let (Some(screen), Some(ground)) = (state.screen, pressable.first()) else { return };
    // The view stands still while a handle is held.
    if Hold::active(state.hold.as_ref()).is_some() {
        return;
    }
    let fingers = ui.input(egui::InputState::multi_touch).filter(|touch| screen.frame.contains(touch.center_pos));
    if let Some(touch) = fingers {
        state.camera.zoom(screen.point(touch.center_pos), f64::from(touch.zoom_delta));
        state.camera.pan(touch.translation_delta / screen.frame.size());
        ui.request_repaint();
        return;
    }
    // What is left of a press whose handle was put back moves nothing.
    if state.hold.is_some() {
        return;
    }
    let pointer =
        ui.input(|i| i.pointer.hover_pos()).filter(|p| screen.frame.contains(*p) && ground.contains_pointer());
    if let Some(pointer) = pointer {
        let before = state.camera.clone();
        wheel(ui, &mut state.camera, &screen, pointer, around == Around::Still || has_keyboard);
        if before != state.camera {
            ui.request_repaint();
        }
    }
    if let Some(dragged) = pressable.iter().find(|r| r.dragged()) {
        state.camera.pan(dragged.drag_delta() / screen.frame.size());
        ui.set_cursor_icon(CursorIcon::Grabbing);
    }
    if ground.double_clicked() && state.hovered.is_none() {
        state.camera.fit();
    }
    if ground.clicked() && state.hovered.is_none() {
        ground.request_focus();
    }
    if has_keyboard {
        keys(ui, state, &screen, ground.has_focus());
    }
}

fn wheel(ui: &Ui, camera: &mut Camera, screen: &Screen, pointer: Pos2, is_ours: bool) {
    let about = screen.point(pointer);
    // Pinching, or a wheel with the zoom key: never the page's.
    let pinched = ui.input(egui::InputState::zoom_delta);
    if (pinched - 1.0).abs() > 1e-6 {
        camera.zoom(about, f64::from(pinched));
        return;
    }
    if !is_ours {
        return;
    }
    let zoom_key = ui.ctx().options(|o| o.input_options.zoom_modifier);
    let turns: Vec<(MouseWheelUnit, Vec2, MouseWheelSource, Modifiers)> = ui.input(|i| {
        let turn = |event: &Event| match event {
            Event::MouseWheel { unit, delta, source, modifiers, .. } if !modifiers.matches_any(zoom_key) => {
                Some((*unit, *delta, *source, *modifiers))
            }
            _ => None,
        };
        i.events.iter().filter_map(turn).collect()
    });
    for (unit, delta, source, modifiers) in turns {
        match unit {
            MouseWheelUnit::Point => camera.pan(delta / screen.frame.size()),
            MouseWheelUnit::Line if source == MouseWheelSource::Trackpad => {
                camera.pan(LINE * delta / screen.frame.size());
            }
            MouseWheelUnit::Line | MouseWheelUnit::Page if modifiers.shift => {
                camera.pan(LINE * Vec2::new(delta.x + delta.y, 0.0) / screen.frame.size());
            }
            MouseWheelUnit::Line | MouseWheelUnit::Page => {
                camera.zoom(about, NOTCH.powf(f64::from(delta.y)));
                camera.pan(LINE * Vec2::new(delta.x, 0.0) / screen.frame.size());
            }
        }
    }
    // The page behind stays where it is.
    ui.input_mut(|i| i.smooth_scroll_delta = Vec2::ZERO);
}

fn keys(ui: &Ui, state: &mut MapState, screen: &Screen, is_ground: bool) {
    let is_pressed =
        |keys: &[Key]| ui.input(|i| !i.modifiers.command && !i.modifiers.alt && keys.iter().any(|k| i.key_pressed(*k)));
    let middle = screen.point(screen.frame.center());
    if is_pressed(&[Key::Plus, Key::Equals]) {
        state.camera.zoom(middle, PRESS);
    } else if is_pressed(&[Key::Minus]) {
        state.camera.zoom(middle, 1.0 / PRESS);
    } else if is_pressed(&[Key::Num0]) {
        state.camera.fit();
    }
    if is_ground {
        let count = |key: Key| ui.input(|i| i.num_presses(key)) as f32;
        let way =
            Vec2::new(count(Key::ArrowLeft) - count(Key::ArrowRight), count(Key::ArrowUp) - count(Key::ArrowDown));
        if way != Vec2::ZERO {
            state.camera.pan(ARROW * way);
        }
    }
}
