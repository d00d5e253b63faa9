//! The map: pH across, EC up; the crop's zone, the readings, each pour as a numbered arrow with a handle, and where they
//! land.
//!
//! [`egui_plot`] holds the axes; what is drawn on them is painted by hand in screen points, so that marks keep their size
//! and handles can be grabbed. The map computes nothing of the water: a drag asks for a place, and whoever answers says
//! where the handle can really go. The map's twin in words is in [`words()`].

mod access;
mod axes;
mod bounds;
mod callout;
mod camera;
mod corner;
mod gestures;
mod grips;
mod hands;
mod hold;
mod ideas;
mod limits;
mod lines;
mod look;
mod marks;
mod place;
mod rails;
mod screen;
mod trail;
mod words;
mod zone;
mod zones;

pub use bounds::Bounds;
pub use look::{LOOK_HEIGHT, LOOK_NAME, look_ui};
pub use words::words;

use std::collections::BTreeMap;

use egui::{Align2, Id, Painter, Pos2, Rect, Response, Role, Sense, Stroke, StrokeKind, Ui, Vec2, WidgetInfo};
use egui_plot::PlotBounds;

use super::command::{Command, Handle};
use super::paint::words_at;
use super::theme::{Tokens, Weight, size, space};
use super::view::{MapPoint, MapView};
use camera::Camera;
use grips::Grip;
use hold::Hold;
use place::Spots;
use screen::Screen;

/// Name of the map in the accessibility tree.
pub const MAP_NAME: &str = "Map of pH and EC";

/// What stands around the map.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Around {
    /// Nothing that scrolls: wheel and fingers over the map are the map's.
    Still,
    /// A page that scrolls: the map takes wheel and fingers only while it has the keyboard, so that nobody who scrolls the
    /// page is caught by it. Handles, and the wheel with the zoom key, are always the map's.
    Page,
}

/// What the map remembers from frame to frame: the view, the handle in the hand, where labels stood.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct MapState {
    camera: Camera,
    /// The frame that was drawn last.
    screen: Option<Screen>,
    /// Handles as they were drawn last.
    grips: Vec<Grip>,
    /// Where badges stood, seen from their tips.
    offsets: BTreeMap<Handle, Vec2>,
    spots: Spots,
    hold: Option<Hold>,
    /// The view as it was when the handle was taken: it comes back when the handle is put back.
    before_hold: Option<Camera>,
    hovered: Option<Handle>,
    focused: Option<Handle>,
    /// The handle that gets the keyboard.
    focus_wanted: Option<Handle>,
    /// The handle that was moved last.
    spoken: Option<Handle>,
    said: String,
    /// Whether the last press was a finger's.
    is_touch: bool,
    /// Height of the strip under the page as it was drawn last.
    strip_height: f32,
}

impl MapState {
    /// The part of the plane that is in sight, once it was drawn.
    pub fn bounds(&self) -> Option<Bounds> {
        self.screen.map(|screen| screen.bounds)
    }

    /// The map's inner rectangle on the screen, once it was drawn.
    pub fn frame(&self) -> Option<Rect> {
        self.screen.map(|screen| screen.frame)
    }

    /// The height that the strip under the map keeps while a handle is in the hand.
    pub(crate) fn held_strip(&self) -> Option<f32> {
        self.hold.as_ref().map(|_| self.strip_height)
    }

    /// Remembers the strip's height.
    pub(crate) fn keep_strip(&mut self, height: f32) {
        self.strip_height = height;
    }

    /// Where a point of the map is on the screen, once it was drawn.
    pub fn on_screen(&self, point: MapPoint) -> Option<Pos2> {
        self.screen.map(|screen| screen.at(point))
    }

    /// The middle of a handle as it was drawn last.
    pub fn handle_at(&self, handle: Handle) -> Option<Pos2> {
        self.grips.iter().find(|grip| grip.handle == handle).map(|grip| grip.at)
    }
}

/// Where to paint, and in what colours.
#[derive(Clone, Copy)]
struct Canvas<'a> {
    painter: &'a Painter,
    screen: &'a Screen,
    tokens: &'a Tokens,
}

/// Id of a handle's control.
fn handle_id(handle: Handle) -> Id {
    Id::unique(("handle of the map", handle))
}

/// Draws the map into all the room there is.
pub fn map_ui(ui: &mut Ui, map: &MapView, state: &mut MapState, around: Around, out: &mut Vec<Command>) {
    let tokens = Tokens::of(ui);
    let full = ui.available_size();
    let (label_band, _) = ui.allocate_exact_size(Vec2::new(full.x, corner::HEIGHT), Sense::hover());
    let note = (size::SMALL, Weight::Regular);
    let axis = format!("EC, {} at 25 °C", map.scale.symbol());
    words_at(ui.painter(), label_band.left_center(), Align2::LEFT_CENTER, &axis, note, tokens.quiet);

    let has_keyboard = has_keyboard(ui, state);
    input(ui, map, state, around, has_keyboard, out);
    let bounds = state.camera.settle(map, state.hold.is_some());

    ui.add_space(space::HALF);
    let below = 18.0;
    let height = (full.y - label_band.height() - below - 3.0 * space::HALF).max(80.0);
    let shown = ui
        .scope(|ui| {
            ui.spacing_mut().item_spacing = Vec2::ZERO;
            axes::plot(tokens, &bounds, map.scale, Vec2::new(full.x, height)).show(ui, |plot| {
                let [low, high] = [[bounds.ph.0, bounds.ec_ms_cm.0], [bounds.ph.1, bounds.ec_ms_cm.1]];
                plot.set_plot_bounds(PlotBounds::from_min_max(low, high));
            })
        })
        .inner;
    let frame = *shown.transform.frame();
    let (under, _) = ui.allocate_exact_size(Vec2::new(full.x, below), Sense::hover());
    let middle = Pos2::new(frame.center().x, under.center().y);
    words_at(ui.painter(), middle, Align2::CENTER_CENTER, "pH", note, tokens.quiet);

    let screen = Screen { bounds, frame };
    if state.screen.replace(screen).is_none_or(|last| last.frame != frame) {
        // The ground that is pressed lags a frame behind what is drawn.
        ui.request_repaint();
    }
    state.grips = grips::grips(map, &screen, &mut state.offsets, Hold::active(state.hold.as_ref()));
    let painter = ui.painter().with_clip_rect(frame.expand(1.0).intersect(ui.clip_rect()));
    let canvas = Canvas { painter: &painter, screen: &screen, tokens };
    let names = marks::paint(canvas, map, state);
    if ui.memory(|m| m.has_focus(ground_id())) {
        painter.rect_stroke(frame.shrink(1.0), 4.0, Stroke::new(2.0, tokens.accent), StrokeKind::Inside);
    }
    let grips = std::mem::take(&mut state.grips);
    access::access_ui(ui, map, &grips, state, out);
    state.grips = grips;
    zones::names_ui(ui, map, &names, frame);
    corner::corner_ui(ui, label_band, state);
}

fn ground_id() -> Id {
    Id::unique("ground of the map")
}

/// Whether the map or one of its handles has the keyboard.
fn has_keyboard(ui: &Ui, state: &MapState) -> bool {
    state.focused.is_some() || ui.memory(|m| m.has_focus(ground_id()))
}

/// What was pressed, turned and typed since the last frame, on the map as it was seen.
fn input(ui: &Ui, map: &MapView, state: &mut MapState, around: Around, has_keyboard: bool, out: &mut Vec<Command>) {
    let Some(screen) = state.screen else { return };
    // On a page that a finger scrolls, the ground lets it: only handles are dragged.
    let lets_scroll = around == Around::Page && !has_keyboard && ui.input(egui::InputState::has_touch_screen);
    let sense = if lets_scroll { Sense::click() } else { Sense::click_and_drag() };
    let ground = ui.interact(screen.frame, ground_id(), sense);
    ground.widget_info(|| WidgetInfo::labeled(Role::GraphicsDocument, true, MAP_NAME));
    ui.ctx().accesskit_node_builder(ground.id, |node| node.set_description(words(map).join(". ")));
    if ground.has_focus() {
        let arrows = egui::EventFilter { horizontal_arrows: true, vertical_arrows: true, ..Default::default() };
        ui.memory_mut(|m| m.set_focus_lock_filter(ground.id, arrows));
    }
    let mut pressable: Vec<Response> = vec![ground.clone()];
    for grip in &state.grips {
        let rect = grip.reach_rect().intersect(screen.frame);
        let id = handle_id(grip.handle).with("reach");
        pressable.push(ui.interact(rect, id, Sense::CLICK | Sense::DRAG));
    }
    hold::hold_input(ui, map, state, &pressable, out);
    gestures::view_input(ui, state, &pressable, around, has_keyboard);
}
