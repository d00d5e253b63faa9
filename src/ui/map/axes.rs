//! Axes and grid, by [`egui_plot`].

use egui::{Sense, Vec2, Vec2b};
use egui_plot::{AxisHints, GridInput, GridMark, Plot};

use super::Bounds;
use crate::ui::theme::{Tokens, Weight, size};
use crate::units::EcScale;

/// An empty plot with axes: everything else is painted and handled by hand.
pub(super) fn plot<'a>(tokens: &Tokens, bounds: &Bounds, scale: EcScale, size_pt: Vec2) -> Plot<'a> {
    let (ph_tick, ec_tick) = bounds.ticks_on(scale);
    let axis = |axis: AxisHints<'a>, step: f64, per_unit: f64| {
        let decimals = decimals(step * per_unit);
        axis.tick_label_color(tokens.quiet)
            .tick_label_font(Weight::Regular.font(size::SMALL))
            .label_spacing(egui::Rangef::new(8.0, 16.0))
            .formatter(move |mark, _| tick_words(mark.value * per_unit, decimals))
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
        .custom_x_axes(vec![axis(AxisHints::new_x(), ph_tick, 1.0)])
        .custom_y_axes(vec![axis(AxisHints::new_y(), ec_tick, scale.per_ms_cm()).min_thickness(34.0)])
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

/// Decimals that tell two ticks apart.
fn decimals(step: f64) -> usize {
    if step >= 1.0 {
        0
    } else if step >= 0.1 {
        1
    } else {
        2
    }
}

/// A tick in words; nought has no sign.
fn tick_words(value: f64, decimals: usize) -> String {
    let words = format!("{value:.decimals$}");
    match words.strip_prefix('-') {
        Some(rest) if rest.chars().all(|c| matches!(c, '0' | '.')) => rest.to_owned(),
        _ => words,
    }
}

/// Grid lines at whole steps; none below nothing.
fn marks_every(step: f64, input: &GridInput) -> Vec<GridMark> {
    let (low, high) = input.bounds;
    let mut marks = Vec::new();
    let mut value = (low.max(0.0) / step - 1e-6).ceil() * step;
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

    #[test]
    fn decimals_tell_neighbours_apart() {
        for step in [0.01, 0.02, 0.05, 0.1, 0.2, 0.4, 0.5, 1.0, 2.0, 5.0] {
            let words: Vec<String> = (0..8).map(|i| tick_words(f64::from(i) * step, decimals(step))).collect();
            assert!(words.windows(2).all(|pair| pair[0] != pair[1]), "{words:?}");
        }
    }
}
