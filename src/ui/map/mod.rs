//! The map: pH across, EC up; the crop's zone, the readings, each pour as a numbered arrow, and where they land.
//!
//! [`egui_plot`] holds axes and view; what is drawn on them is painted by hand in screen points, so that marks keep
//! their size and handles can be grabbed. The map's twin in words is in [`words()`].

mod bounds;
mod marks;
mod place;
mod words;
mod zone;

pub use bounds::Bounds;
pub use words::words;

use egui::{Align2, Pos2, Rect, Response, Role, Sense, Ui, Vec2, Vec2b, WidgetInfo};
use egui_plot::{AxisHints, GridInput, GridMark, Plot, PlotBounds, PlotPoint, PlotTransform};

use super::paint::words_at;
use super::theme::{Tokens, Weight, size, space};
use super::view::{MapPoint, MapView};

/// Name of the map in the accessibility tree.
pub const MAP_NAME: &str = "Map of pH and EC";

/// Where the map was drawn, for those who lay handles on it.
pub struct MapShown {
    /// The plot's response.
    pub response: Response,
    /// From data to screen.
    pub transform: PlotTransform,
}

/// Draws the map into all the room there is.
pub fn map_ui(ui: &mut Ui, map: &MapView) -> MapShown {
    let tokens = Tokens::of(ui);
    let bounds = Bounds::of(map);
    let full = ui.available_size();
    let (label_band, _) = ui.allocate_exact_size(Vec2::new(full.x, 20.0), Sense::hover());
    let note = (size::SMALL, Weight::Regular);
    words_at(ui.painter(), label_band.left_center(), Align2::LEFT_CENTER, "EC, mS/cm at 25 °C", note, tokens.quiet);

    ui.add_space(space::HALF);
    let below = 18.0;
    let height = (full.y - label_band.height() - below - 3.0 * space::HALF).max(80.0);
    let shown = ui
        .scope(|ui| {
            ui.spacing_mut().item_spacing = Vec2::ZERO;
            plot(tokens, &bounds, Vec2::new(full.x, height)).show(ui, |plot| {
                let [low, high] = [[bounds.ph.0, bounds.ec_ms_cm.0], [bounds.ph.1, bounds.ec_ms_cm.1]];
                plot.set_plot_bounds(PlotBounds::from_min_max(low, high));
            })
        })
        .inner;
    let frame = *shown.transform.frame();
    let (under, _) = ui.allocate_exact_size(Vec2::new(full.x, below), Sense::hover());
    let middle = Pos2::new(frame.center().x, under.center().y);
    words_at(ui.painter(), middle, Align2::CENTER_CENTER, "pH", note, tokens.quiet);

    shown.response.widget_info(|| WidgetInfo::labeled(Role::GraphicsDocument, true, MAP_NAME));
    ui.ctx().accesskit_node_builder(shown.response.id, |node| node.set_description(words(map).join(". ")));

    let painter = ui.painter().with_clip_rect(frame.expand(1.0).intersect(ui.clip_rect()));
    let screen = Screen { transform: shown.transform, frame };
    marks::paint(&painter, map, &screen, tokens);
    MapShown { response: shown.response, transform: shown.transform }
}

/// From data to screen.
pub(super) struct Screen {
    transform: PlotTransform,
    /// The plot's inner rectangle.
    frame: Rect,
}

impl Screen {
    /// Where a point is on the screen.
    fn at(&self, point: MapPoint) -> Pos2 {
        self.transform.position_from_point(&PlotPoint::new(point.ph, point.ec_ms_cm))
    }

    /// Where a path is on the screen; points that are none are left out.
    fn path(&self, path: &[MapPoint]) -> Vec<Pos2> {
        path.iter().filter(|p| p.is_finite()).map(|p| self.at(*p)).collect()
    }
}

fn plot<'a>(tokens: &Tokens, bounds: &Bounds, size_pt: Vec2) -> Plot<'a> {
    let (ph_tick, ec_tick) = (bounds.ph_tick, bounds.ec_tick);
    let axis = |axis: AxisHints<'a>, step: f64| {
        let decimals = usize::from(step < 1.0);
        axis.tick_label_color(tokens.quiet)
            .tick_label_font(Weight::Regular.font(size::SMALL))
            .label_spacing(egui::Rangef::new(8.0, 16.0))
            .formatter(move |mark, _| tick_words(mark.value, decimals))
    };
    Plot::new("ph and ec")
        .width(size_pt.x)
        .height(size_pt.y)
        .show_background(false)
        .grid_color(tokens.hairline)
        .grid_fade(0.0)
        .grid_spacing(egui::Rangef::new(4.0, 8.0))
        .x_grid_spacer(move |input| marks_every(ph_tick, &input))
        .y_grid_spacer(move |input| marks_every(ec_tick, &input))
        .custom_x_axes(vec![axis(AxisHints::new_x(), ph_tick)])
        .custom_y_axes(vec![axis(AxisHints::new_y(), ec_tick).min_thickness(34.0)])
        .set_margin_fraction(Vec2::ZERO)
        .allow_drag(Vec2b::FALSE)
        .allow_zoom(Vec2b::FALSE)
        .allow_scroll(Vec2b::FALSE)
        .allow_axis_zoom_drag(Vec2b::FALSE)
        .allow_boxed_zoom(false)
        .allow_double_click_reset(false)
        .show_x(false)
        .show_y(false)
        .show_crosshair(false)
        .sense(Sense::hover())
}

/// A tick in words; nought has no sign.
fn tick_words(value: f64, decimals: usize) -> String {
    let words = format!("{value:.decimals$}");
    match words.strip_prefix('-') {
        Some(rest) if rest.chars().all(|c| matches!(c, '0' | '.')) => rest.to_owned(),
        _ => words,
    }
}

fn marks_every(step: f64, input: &GridInput) -> Vec<GridMark> {
    let (low, high) = input.bounds;
    let mut marks = Vec::new();
    let mut value = (low / step - 1e-6).ceil() * step;
    while value <= high + step * 1e-6 && marks.len() < 100 {
        marks.push(GridMark { value, step_size: step });
        value += step;
    }
    marks
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nought_has_no_sign() {
        assert_eq!(
            ["0.0", "0.0", "0.4", "5"],
            [tick_words(-0.0, 1), tick_words(-1e-9, 1), tick_words(0.4, 1), tick_words(5.0, 0),]
                .each_ref()
                .map(String::as_str)
        );
    }
}
