//! Checks that nothing a person should see is cut off, leaves the window, or lies on something else.

use egui::epaint::{ClippedShape, TextShape};
use egui::{Rect, Shape};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _, by};

/// What may be cut at its upper or lower end.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Scrolled {
    /// Nothing: all of the page fits.
    Nothing,
    /// Text at the ends of a scroll area.
    Vertically,
}

/// Half a pixel of slack for rounding, points.
const SLACK: f32 = 0.75;

/// Every text that was painted, with the rectangle that clips it.
fn texts(shapes: &[ClippedShape]) -> Vec<(Rect, Rect, String, bool)> {
    fn walk(shape: &Shape, clip: Rect, found: &mut Vec<(Rect, Rect, String, bool)>) {
        match shape {
            Shape::Vec(inner) => inner.iter().for_each(|shape| walk(shape, clip, found)),
            Shape::Text(text) if !text.galley.text().trim().is_empty() => found.push(entry(text, clip)),
            _ => {}
        }
    }
    fn entry(text: &TextShape, clip: Rect) -> (Rect, Rect, String, bool) {
        (text.visual_bounding_rect(), clip, text.galley.text().to_owned(), text.galley.elided)
    }
    let mut found = Vec::new();
    for ClippedShape { clip_rect, shape, .. } in shapes {
        walk(shape, *clip_rect, &mut found);
    }
    found
}

/// Panics, naming what is wrong, when a text is cut off or shortened, leaves the window or covers another text, when
/// a control leaves the window sideways, or when two controls overlap.
///
/// # Panics
///
/// When any of these is found, or when nothing was painted at all.
pub(crate) fn assert_nothing_clipped<S>(harness: &Harness<'_, S>, scrolled: Scrolled) {
    assert_unclipped(harness, scrolled, &texts(&harness.output().shapes));
}

/// The same of a sheet with a title, and not of what lies behind it: a sheet is painted last.
///
/// # Panics
///
/// As [`assert_nothing_clipped`], and when there is no such sheet.
pub(crate) fn assert_sheet_unclipped<S>(harness: &Harness<'_, S>, title: &str) {
    let texts = texts(&harness.output().shapes);
    let first = texts.iter().rposition(|(_, _, words, _)| words == title).expect("the sheet's title");
    assert_unclipped(harness, Scrolled::Vertically, &texts[first..]);
}

fn assert_unclipped<S>(harness: &Harness<'_, S>, scrolled: Scrolled, texts: &[(Rect, Rect, String, bool)]) {
    let window = harness.ctx.content_rect();
    assert!(!texts.is_empty(), "no text was painted");
    let mut wrong = Vec::new();
    let mut seen: Vec<(Rect, &str)> = Vec::new();
    for (rect, clip, words, elided) in texts {
        let visible = clip.intersect(window);
        if !visible.intersects(*rect) {
            if scrolled == Scrolled::Nothing {
                wrong.push(format!("out of sight: {words:?} at {rect:?}"));
            }
            continue;
        }
        if *elided {
            wrong.push(format!("shortened: {words:?}"));
        }
        if rect.left() < visible.left() - SLACK || rect.right() > visible.right() + SLACK {
            wrong.push(format!("cut at the side: {words:?} at {rect:?}, seen {visible:?}"));
        }
        let cut = rect.top() < visible.top() - SLACK || rect.bottom() > visible.bottom() + SLACK;
        if cut && scrolled == Scrolled::Nothing {
            wrong.push(format!("cut above or below: {words:?} at {rect:?}, seen {visible:?}"));
        }
        let shown = rect.intersect(visible);
        for (other, other_words) in &seen {
            let both = shown.intersect(*other);
            if both.width() > 1.0 && both.height() > 2.0 {
                wrong.push(format!("{words:?} lies on {other_words:?} at {both:?}"));
            }
        }
        seen.push((shown, words));
    }
    wrong.extend(wrong_controls(harness, window, scrolled));
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

fn wrong_controls<S>(harness: &Harness<'_, S>, window: Rect, scrolled: Scrolled) -> Vec<String> {
    let mut wrong = Vec::new();
    let mut controls: Vec<(Rect, String)> = Vec::new();
    let focusable = by().predicate(|node| node.data().supports_action(egui::accesskit::Action::Focus));
    for node in harness.query_all(focusable) {
        let name = format!("{:?} {:?}", node.accesskit_node().role(), node.accesskit_node().label());
        let rect = node.rect();
        // The ground of the map carries its handles: it is no control beside them.
        let is_ground = node.accesskit_node().role() == egui::Role::GraphicsDocument;
        if !rect.intersects(window) || is_ground {
            continue;
        }
        if rect.left() < window.left() - SLACK || rect.right() > window.right() + SLACK {
            wrong.push(format!("control leaves the window: {name} at {rect:?}"));
        }
        // What is scrolled away still has its place on paper, under the strip.
        let compared: &[(Rect, String)] = if scrolled == Scrolled::Nothing { &controls } else { &[] };
        for (other, other_name) in compared {
            let both = rect.intersect(*other);
            if both.width() > 1.0 && both.height() > 1.0 {
                wrong.push(format!("{name} lies on {other_name} at {both:?}"));
            }
        }
        controls.push((rect, name));
    }
    wrong
}
