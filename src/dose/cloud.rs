//! The spread of a landing as outlines: 50 and 80 of 100 members inside, bent as they really lie.

use super::Point;

/// A closed outline on the map.
#[derive(Clone, Debug, PartialEq)]
pub struct Contour {
    /// Share of the members inside, 0 to 1.
    pub share: f64,
    /// Corners, in order round the middle; the last joins the first.
    pub outline: Vec<Point>,
}

/// Members of a belief on the map, and outlines about them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Cloud {
    /// Median of each coordinate.
    pub middle: Point,
    /// Outer outline first, so that the inner one is drawn over it.
    pub contours: Vec<Contour>,
}

/// Corners of an outline.
const CORNERS: usize = 48;
/// Kernel width over Silverman's, which is meant for a density; an outline of a few hundred members wants fewer lobes.
const SMOOTHER: f64 = 1.4;
/// Shares of the outlines, outer first.
const SHARES: [f64; 2] = [0.8, 0.5];

impl Cloud {
    /// Outlines about some points; empty for fewer than ten.
    ///
    /// A density is smoothed over the members (Gaussian kernels, Silverman's rule), and each outline is where the density
    /// falls, on rays from the median, to the level that holds its share of the members. Rays make it star-shaped about the
    /// middle, which a bent cloud of one reading is.
    ///
    /// **Source** Silverman (1986), Density Estimation for Statistics and Data Analysis, section 4.2, for the width.
    pub fn about(members: &[Point]) -> Self {
        let members: Vec<Point> =
            members.iter().copied().filter(|p| p.ph.is_finite() && p.ec_ms_cm.is_finite()).collect();
        if members.len() < 10 {
            return Self::default();
        }
        let middle =
            Point { ph: median(members.iter().map(|p| p.ph)), ec_ms_cm: median(members.iter().map(|p| p.ec_ms_cm)) };
        // A little width of its own keeps a cloud without spread drawable: a hundredth of a pH, a thousandth of mS/cm.
        let spread = (
            robust_sd(members.iter().map(|p| p.ph), middle.ph).max(0.01),
            robust_sd(members.iter().map(|p| p.ec_ms_cm), middle.ec_ms_cm).max(0.001),
        );
        let unit: Vec<[f64; 2]> = members
            .iter()
            .map(|p| [(p.ph - middle.ph) / spread.0, (p.ec_ms_cm - middle.ec_ms_cm) / spread.1])
            .collect();
        let width = SMOOTHER * (unit.len() as f64).powf(-1.0 / 6.0);
        let density = |x: f64, y: f64| -> f64 {
            unit.iter().map(|[a, b]| (-0.5 * ((x - a).powi(2) + (y - b).powi(2)) / (width * width)).exp()).sum()
        };
        let mut levels: Vec<f64> = unit.iter().map(|[x, y]| density(*x, *y)).collect();
        levels.sort_by(f64::total_cmp);
        let contours = SHARES
            .into_iter()
            .map(|share| {
                let level = levels.get(place(1.0 - share, levels.len())).copied().unwrap_or(0.0);
                let angle = |corner: usize| (corner as f64 / CORNERS as f64 * std::f64::consts::TAU).sin_cos();
                let radii: Vec<f64> = (0..CORNERS)
                    .map(|corner| {
                        let (sin, cos) = angle(corner);
                        edge(|r| density(r * cos, r * sin) - level)
                    })
                    .collect();
                let outline = (0..CORNERS)
                    .map(|corner| {
                        let (sin, cos) = angle(corner);
                        let beside = |by: usize| radii[(corner + by) % CORNERS];
                        let radius = 0.5 * radii[corner] + 0.25 * (beside(1) + beside(CORNERS - 1));
                        Point {
                            ph: middle.ph + radius * cos * spread.0,
                            ec_ms_cm: middle.ec_ms_cm + radius * sin * spread.1,
                        }
                    })
                    .collect();
                Contour { share, outline }
            })
            .collect();
        Self { middle, contours }
    }
}

/// Index of a quantile in a sorted list of `len` values.
fn place(p: f64, len: usize) -> usize {
    (0..len).rev().find(|&i| i as f64 <= p * len as f64).unwrap_or(0)
}

/// Outermost radius at which a density still reaches its level, up to 8 sds.
fn edge(over: impl Fn(f64) -> f64) -> f64 {
    const STEP: f64 = 0.25;
    let mut inside = 0.0;
    let mut radius = 0.0;
    while radius < 8.0 {
        radius += STEP;
        if over(radius) >= 0.0 {
            inside = radius;
        }
    }
    let (mut low, mut high) = (inside, inside + STEP);
    for _ in 0..12 {
        let middle = f64::midpoint(low, high);
        if over(middle) >= 0.0 { low = middle } else { high = middle }
    }
    low
}

fn median(values: impl Iterator<Item = f64>) -> f64 {
    let mut values: Vec<f64> = values.collect();
    values.sort_by(f64::total_cmp);
    values[values.len() / 2]
}

/// 1.4826 times the median distance from the middle: the sd of a normal, untouched by tails.
fn robust_sd(values: impl Iterator<Item = f64>, middle: f64) -> f64 {
    1.4826 * median(values.map(|value| (value - middle).abs()))
}
