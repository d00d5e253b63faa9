//! Where the parts of a page go: three columns and a strip, or one column with the strip kept in sight.

use egui::{Pos2, Rect, Vec2};

use super::theme::space;

/// Width from which three columns fit.
const COLUMNS_FROM: Vec2 = Vec2::new(1100.0, 620.0);
/// Width of the left column.
const LEFT: f32 = 280.0;
/// Width of the right column.
const RIGHT: f32 = 336.0;
/// Height of the top bar.
const BAR: f32 = 44.0;

/// How much room there is.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Room {
    /// Three columns, the full strip.
    Wide,
    /// One column, the short strip.
    Narrow,
}

impl Room {
    /// The room of a window of this size, in points.
    pub fn of(window: Vec2) -> Self {
        if window.x >= COLUMNS_FROM.x && window.y >= COLUMNS_FROM.y { Self::Wide } else { Self::Narrow }
    }
}

/// Rectangles of a page.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Arrangement {
    /// The bar on top.
    pub bar: Rect,
    /// Everything between bar and strip, with margins taken off.
    pub body: Rect,
    /// The answer strip.
    pub strip: Rect,
}

/// Cuts the window into bar, body and strip. `strip_height` is what the strip's words need.
pub fn arrange(window: Rect, strip_height: f32) -> Arrangement {
    let margin = margin(Room::of(window.size()));
    let bar = Rect::from_min_size(window.min, Vec2::new(window.width(), BAR));
    // However long the words, half of the window stays for the page.
    let height = strip_height.min((window.height() - BAR) * 0.5);
    let strip = Rect::from_min_max(
        Pos2::new(window.left() + margin, window.bottom() - margin - height),
        window.max - Vec2::splat(margin),
    );
    let body = Rect::from_min_max(
        Pos2::new(window.left() + margin, bar.bottom() + margin),
        Pos2::new(window.right() - margin, strip.top() - margin),
    );
    Arrangement { bar, body, strip }
}

/// Where a page without a strip stands below the bar: in the middle, at most `widest` wide.
pub fn page(window: Rect, widest: f32) -> Rect {
    let parts = arrange(window, 0.0);
    let whole = Rect::from_min_max(parts.body.min, Pos2::new(parts.body.right(), parts.strip.bottom()));
    let width = whole.width().min(widest);
    let at = Pos2::new(whole.center().x - width / 2.0, whole.top()).round();
    Rect::from_min_size(at, Vec2::new(width, whole.height()))
}

/// Room at the window's edges and between cards.
pub fn margin(room: Room) -> f32 {
    match room {
        Room::Wide => space::TWO,
        Room::Narrow => space::ONE,
    }
}

/// Left, middle and right column of a body.
pub fn three_columns(body: Rect) -> [Rect; 3] {
    let gap = space::TWO;
    let left = Rect::from_min_size(body.min, Vec2::new(LEFT, body.height()));
    let right = Rect::from_min_size(Pos2::new(body.right() - RIGHT, body.top()), Vec2::new(RIGHT, body.height()));
    let middle =
        Rect::from_min_max(Pos2::new(left.right() + gap, body.top()), Pos2::new(right.left() - gap, body.bottom()));
    [left, middle, right]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_overlaps_and_nothing_leaves_the_window() {
        for (size, strip) in [((1280., 800.), 148.), ((1920., 1080.), 148.), ((640., 400.), 104.), ((360., 300.), 400.)]
        {
            let window = Rect::from_min_size(Pos2::ZERO, Vec2::new(size.0, size.1));
            let parts = arrange(window, strip);
            for rect in [parts.bar, parts.body, parts.strip] {
                assert!(window.contains_rect(rect) && rect.is_positive(), "{size:?} {parts:?}");
            }
            assert!(parts.bar.bottom() <= parts.body.top() && parts.body.bottom() <= parts.strip.top(), "{parts:?}");
        }
    }

    #[test]
    fn columns_share_the_width_with_gaps() {
        let body = Rect::from_min_size(Pos2::new(16.0, 60.0), Vec2::new(1248.0, 560.0));
        let [left, middle, right] = three_columns(body);
        assert_eq!((left.width(), middle.width(), right.width()), (280.0, 600.0, 336.0));
        assert_eq!((left.left(), right.right()), (body.left(), body.right()));
    }

    #[test]
    fn scale_two_on_a_small_screen_stacks() {
        assert_eq!(Room::of(Vec2::new(1280.0, 800.0)), Room::Wide);
        assert_eq!(Room::of(Vec2::new(640.0, 400.0)), Room::Narrow);
    }
}
