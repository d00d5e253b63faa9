//! Earlier readings, fading along the path by which the unit came.

use egui::{Pos2, Stroke};

use super::Canvas;
use super::marks::EARLIER;
use crate::ui::view::{EarlierView, MapView};

/// How visible an earlier reading is: never quite gone.
pub(super) fn visible(earlier: &EarlierView) -> f32 {
    if earlier.strength.is_finite() { 0.35 + 0.65 * earlier.strength.clamp(0.0, 1.0) } else { 1.0 }
}

/// Paints the path from reading to reading, and a ring for each that is past.
pub(super) fn paint(canvas: Canvas<'_>, map: &MapView) {
    let Canvas { painter, screen, tokens } = canvas;
    let known: Vec<&EarlierView> = map.earlier.iter().filter(|e| e.at.is_finite()).collect();
    let poured: Vec<(Pos2, Pos2)> = map
        .arrows
        .iter()
        .filter(|arrow| arrow.poured)
        .filter_map(|arrow| Some((screen.at(*arrow.path.first()?), screen.at(*arrow.path.last()?))))
        .collect();
    let next = known.iter().skip(1).map(|e| e.at).chain(map.now.filter(|now| now.is_finite()));
    for (from, to) in known.iter().zip(next) {
        let (a, b) = (screen.at(from.at), screen.at(to));
        // A pour that is drawn as an arrow is the path itself.
        let is_drawn = poured.iter().any(|(start, end)| start.distance(a) < 2.0 && end.distance(b) < 2.0);
        if !is_drawn {
            painter.line_segment([a, b], Stroke::new(1.2, tokens.quiet.gamma_multiply(0.75 * visible(from))));
        }
    }
    for earlier in known {
        let ring = Stroke::new(1.5, tokens.quiet.gamma_multiply(visible(earlier)));
        painter.circle(screen.at(earlier.at), EARLIER, tokens.map, ring);
    }
}
