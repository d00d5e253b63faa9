//! The rail of the pour in the hand: the whole curve from nothing to the most, and where it gets rough.

use egui::{Pos2, Stroke};

use super::Canvas;
use super::grips::Grip;
use super::lines::{nearest_on, shortened};
use super::place::Placer;
use crate::ui::command::Handle;
use crate::ui::view::{HandleView, MapView};

/// A tip this near to a rough stretch brings its words, points.
const NEAR: f32 = 28.0;
/// Distance of the dots along a rough stretch.
const DOTS: f32 = 6.0;

/// The handle of a pour, by its key.
pub(super) fn handle_of(map: &MapView, handle: Handle) -> Option<&HandleView> {
    let Handle::Pour(key) = handle else { return None };
    map.arrows.iter().filter_map(|a| a.handle.as_ref()).find(|h| h.key == key)
}

/// Paints the rail of a pour.
pub(super) fn paint(canvas: Canvas<'_>, handle: &HandleView, placer: &mut Placer<'_>) {
    let Canvas { painter, screen, tokens } = canvas;
    let rail = screen.path(&handle.rail);
    if rail.len() < 2 {
        return;
    }
    placer.block_path(&rail);
    painter.line(rail.clone(), Stroke::new(5.0, tokens.accent.gamma_multiply(0.14)));
    painter.line(rail.clone(), Stroke::new(1.2, tokens.accent.gamma_multiply(0.75)));
    // It ends at nothing poured and at the most.
    for ends in [rail.iter().rev().copied().collect::<Vec<_>>(), rail.clone()] {
        if let (Some(end), Some(direction)) = (ends.last(), shortened(&ends, 0.5).1) {
            let side = direction.rot90() * 5.0;
            painter.line_segment([*end - side, *end + side], Stroke::new(1.5, tokens.accent.gamma_multiply(0.75)));
        }
    }
    for (from, to, _) in &handle.rough {
        for at in spaced(&stretch(&handle_path(canvas, handle), *from, *to), DOTS) {
            painter.circle(at, 2.2, tokens.map, Stroke::new(1.3, tokens.caution));
        }
    }
}

/// Words of the rough stretch that a tip is in, or near to.
pub(super) fn rough_words(canvas: Canvas<'_>, handle: &HandleView, grip: &Grip) -> Option<String> {
    let path = handle_path(canvas, handle);
    let distance = |from: usize, to: usize| nearest_on(&stretch(&path, from, to), grip.tip).map(|(_, d)| d);
    let near = handle.rough.iter().filter_map(|(from, to, words)| distance(*from, *to).map(|d| (d, words)));
    let nearest = near.filter(|(d, words)| *d <= NEAR && !words.is_empty()).min_by(|a, b| a.0.total_cmp(&b.0));
    nearest.map(|(_, words)| words.clone())
}

/// The rail on the screen with a place for each of its points: rough stretches are told by place.
fn handle_path(canvas: Canvas<'_>, handle: &HandleView) -> Vec<Pos2> {
    handle.rail.iter().map(|p| if p.is_finite() { canvas.screen.at(*p) } else { canvas.screen.frame.min }).collect()
}

fn stretch(path: &[Pos2], from: usize, to: usize) -> Vec<Pos2> {
    path.iter().skip(from).take(to.saturating_sub(from).saturating_add(1)).copied().collect()
}

/// Points along a path, a distance apart.
fn spaced(path: &[Pos2], apart: f32) -> Vec<Pos2> {
    let mut found: Vec<Pos2> = path.first().copied().into_iter().collect();
    let mut left = apart;
    for pair in path.windows(2) {
        let (mut from, to) = (pair[0], pair[1]);
        while from.distance(to) >= left && found.len() < 500 {
            from += (to - from).normalized() * left;
            found.push(from);
            left = apart;
        }
        left -= from.distance(to);
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dots_are_evenly_apart_around_a_corner() {
        let path = [Pos2::new(0.0, 0.0), Pos2::new(10.0, 0.0), Pos2::new(10.0, 14.0)];
        let dots = spaced(&path, 6.0);
        assert_eq!(dots, [(0.0, 0.0), (6.0, 0.0), (10.0, 2.0), (10.0, 8.0), (10.0, 14.0)].map(Pos2::from));
        assert!(spaced(&[], 6.0).is_empty());
    }

    #[test]
    fn a_stretch_that_is_none_is_empty() {
        let path = [Pos2::ZERO, Pos2::new(1.0, 0.0), Pos2::new(2.0, 0.0)];
        assert_eq!(stretch(&path, 1, 2).len(), 2);
        assert_eq!(stretch(&path, 5, 9).len(), 0);
        assert_eq!(stretch(&path, 2, usize::MAX).len(), 1);
    }
}
