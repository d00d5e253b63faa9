//! From data to screen points and back.

use egui::{Pos2, Rect, Vec2};

use super::Bounds;
use crate::ui::paint::px;
use crate::ui::view::MapPoint;

/// Where on the screen which part of the plane is.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Screen {
    pub(super) bounds: Bounds,
    /// The plot's inner rectangle.
    pub(super) frame: Rect,
}

/// Farther than this from the frame nothing is drawn: coordinates stay sane when zoomed in, points.
const FAR: f32 = 20_000.0;

impl Screen {
    /// Where a point is on the screen.
    pub(super) fn at(&self, point: MapPoint) -> Pos2 {
        let (ph_pt, ec_pt) = self.scale();
        let far = |v: f64| px(v.clamp(-f64::from(FAR), f64::from(FAR)));
        Pos2::new(
            self.frame.left() + far((point.ph - self.bounds.ph.0) / ph_pt),
            self.frame.bottom() - far((point.ec_ms_cm - self.bounds.ec_ms_cm.0) / ec_pt),
        )
    }

    /// What point of the map is at a place on the screen.
    pub(super) fn point(&self, at: Pos2) -> MapPoint {
        self.moved(MapPoint::new(self.bounds.ph.0, self.bounds.ec_ms_cm.0), at - self.frame.left_bottom())
    }

    /// A point moved by a way on the screen; no way gives the very same point.
    pub(super) fn moved(&self, point: MapPoint, way: Vec2) -> MapPoint {
        let (ph_pt, ec_pt) = self.scale();
        MapPoint::new(point.ph + f64::from(way.x) * ph_pt, point.ec_ms_cm - f64::from(way.y) * ec_pt)
    }

    /// pH and mS/cm of one screen point.
    pub(super) fn scale(&self) -> (f64, f64) {
        let (ph, ec) = self.bounds.spans();
        (ph / f64::from(self.frame.width().max(1.0)), ec / f64::from(self.frame.height().max(1.0)))
    }

    /// Where a path is on the screen; points that are none are left out.
    pub(super) fn path(&self, path: &[MapPoint]) -> Vec<Pos2> {
        path.iter().filter(|p| p.is_finite()).map(|p| self.at(*p)).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn there_and_back() {
        let screen = Screen {
            bounds: Bounds { ph: (4.0, 8.0), ec_ms_cm: (0.5, 2.5) },
            frame: Rect::from_min_size(Pos2::new(30.0, 20.0), Vec2::new(400.0, 200.0)),
        };
        assert_eq!(screen.at(MapPoint::new(6.0, 2.5)), Pos2::new(230.0, 20.0));
        let back = screen.point(Pos2::new(130.0, 120.0));
        assert!((back.ph - 5.0).abs() < 1e-9 && (back.ec_ms_cm - 1.5).abs() < 1e-9);
        let odd = MapPoint::new(0.1 + 0.2, 1.0 / 3.0);
        assert_eq!(screen.moved(odd, Vec2::ZERO), odd);
    }
}
