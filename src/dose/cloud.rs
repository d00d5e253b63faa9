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
        let grid = Density::over(&unit, SMOOTHER * (unit.len() as f64).powf(-1.0 / 6.0));
        let density = |x: f64, y: f64| grid.at(x, y);
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

/// How far the smoothed density reaches from the middle, in sds; a member beyond it counts, and has no density about it.
const REACH: f64 = 8.0;
/// Cells of the density a side.
const CELLS: usize = 96;
/// Side of a cell, in sds: about a third of the kernel's width for 500 members.
const CELL: f64 = 2.0 * REACH / CELLS as f64;

/// A smoothed density of points, on a grid: a sum over all members at each point of an outline would cost a frame.
struct Density {
    cells: Vec<f64>,
}

impl Density {
    /// Points dealt out to the four cells about each ("linear binning"), then smoothed along one axis and the other, which is
    /// what a round Gaussian kernel does.
    ///
    /// **Source** Wand and Jones (1995), Kernel Smoothing, appendix D, for binning.
    fn over(points: &[[f64; 2]], width: f64) -> Self {
        let mut cells = vec![0.0; CELLS * CELLS];
        for [x, y] in points {
            for (column, row, share) in corners(*x, *y).into_iter().flatten() {
                cells[row * CELLS + column] += share;
            }
        }
        let weight = |by: usize| (-0.5 * (by as f64 * CELL / width).powi(2)).exp();
        let kernel: Vec<f64> = (0..CELLS).map(weight).take_while(|weight| *weight > 1e-4).collect();
        let cells = smoothed(&cells, &kernel, 1, CELLS);
        Self { cells: smoothed(&cells, &kernel, CELLS, 1) }
    }

    /// The density at a point, between the cells about it by straight line; nothing beyond the reach.
    fn at(&self, x: f64, y: f64) -> f64 {
        corners(x, y).into_iter().flatten().map(|(column, row, share)| share * self.cells[row * CELLS + column]).sum()
    }
}

/// The four cells whose middles are about a point, each with its share; none beyond the reach.
fn corners(x: f64, y: f64) -> Option<[(usize, usize, f64); 4]> {
    let (column, right) = cell(x)?;
    let (row, up) = cell(y)?;
    Some([
        (column, row, (1.0 - right) * (1.0 - up)),
        (column + 1, row, right * (1.0 - up)),
        (column, row + 1, (1.0 - right) * up),
        (column + 1, row + 1, right * up),
    ])
}

/// The last cell whose middle is not past a place, and how far on to the next the place lies, 0 to 1.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "within the grid by the line before")]
fn cell(place: f64) -> Option<(usize, f64)> {
    let cells = (place + REACH) / CELL - 0.5;
    (cells >= 0.0 && cells < (CELLS - 1) as f64).then(|| (cells as usize, cells.fract()))
}

/// Each line of cells, its cells `step` apart and the lines `stride` apart, folded with a symmetric kernel.
fn smoothed(cells: &[f64], kernel: &[f64], step: usize, stride: usize) -> Vec<f64> {
    let mut out = vec![0.0; cells.len()];
    for line in 0..CELLS {
        for i in 0..CELLS {
            let value = cells[line * stride + i * step];
            if value > 0.0 {
                for (by, weight) in kernel.iter().enumerate() {
                    if i + by < CELLS {
                        out[line * stride + (i + by) * step] += weight * value;
                    }
                    if by > 0 && i >= by {
                        out[line * stride + (i - by) * step] += weight * value;
                    }
                }
            }
        }
    }
    out
}

/// Index of a quantile in a sorted list of `len` values.
fn place(p: f64, len: usize) -> usize {
    (0..len).rev().find(|&i| i as f64 <= p * len as f64).unwrap_or(0)
}

/// Outermost radius at which a density still reaches its level, as far as the density goes.
fn edge(over: impl Fn(f64) -> f64) -> f64 {
    const STEP: f64 = 0.25;
    let mut inside = 0.0;
    let mut radius = 0.0;
    while radius < REACH {
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

#[cfg(test)]
mod tests {
    use super::*;

    /// Points of two independent normals by their quantiles: a grid of 20 by 20, as no random draw would be.
    fn round(middle: Point, sds: (f64, f64)) -> Vec<Point> {
        // Quantiles of the standard normal at 0.025, 0.075 … 0.975 (Abramowitz and Stegun 1964, table 26.1, upper half).
        const HALF: [f64; 10] = [0.0627, 0.1891, 0.3186, 0.4538, 0.5978, 0.7554, 0.9346, 1.1503, 1.4395, 1.9600];
        let places: Vec<f64> = HALF.iter().rev().map(|z| -z).chain(HALF).collect();
        let point = |x: &f64, y: &f64| Point { ph: middle.ph + sds.0 * x, ec_ms_cm: middle.ec_ms_cm + sds.1 * y };
        places.iter().flat_map(|x| places.iter().map(move |y| point(x, y))).collect()
    }

    #[test]
    fn a_round_normal_gets_the_radii_of_the_chi_square_table() {
        let middle = Point { ph: 6.0, ec_ms_cm: 1.5 };
        let cloud = Cloud::about(&round(middle, (0.3, 0.1)));
        // Chi-square with two degrees of freedom: 80 % within 3.219, 50 % within 1.386 (same handbook, table 26.8).
        for (contour, radius) in cloud.contours.iter().zip([3.219_f64.sqrt(), 1.386_f64.sqrt()]) {
            for corner in &contour.outline {
                let r = ((corner.ph - middle.ph) / 0.3).hypot((corner.ec_ms_cm - middle.ec_ms_cm) / 0.1);
                // Quantiles have no tails, and a smoothed density is a little wider at its middle.
                assert!((r / radius - 1.0).abs() < 0.12, "{} %: {r} for {radius}", 100.0 * contour.share);
            }
        }
    }

    #[test]
    fn the_grid_agrees_with_the_sum_over_all_points() {
        let points: Vec<[f64; 2]> =
            round(Point::default(), (1.0, 1.0)).iter().map(|p| [p.ph + 0.2 * p.ec_ms_cm.powi(2), p.ec_ms_cm]).collect();
        let width = 0.5;
        let grid = Density::over(&points, width);
        let sum = |x: f64, y: f64| -> f64 {
            points.iter().map(|[a, b]| (-0.5 * ((x - a).powi(2) + (y - b).powi(2)) / (width * width)).exp()).sum()
        };
        let most = sum(0.0, 0.0);
        for (x, y) in [(0.0, 0.0), (1.0, -0.4), (-1.3, 0.9), (2.2, 2.0), (0.3, -2.5)] {
            // Binning widens the kernel by a sixth of a cell's square: 2 % of the variance.
            assert!((grid.at(x, y) - sum(x, y)).abs() < 0.03 * most, "{x} {y}: {} {}", grid.at(x, y), sum(x, y));
        }
    }

    #[test]
    fn no_spread_and_far_members_are_borne() {
        assert!(Cloud::about(&[Point { ph: 6.0, ec_ms_cm: 1.0 }; 9]).contours.is_empty());
        let mut points = vec![Point { ph: 6.0, ec_ms_cm: 1.0 }; 100];
        points.push(Point { ph: 11.0, ec_ms_cm: 9.0 });
        points.push(Point { ph: f64::NAN, ec_ms_cm: 9.0 });
        let cloud = Cloud::about(&points);
        assert_eq!(cloud.contours.len(), 2);
        assert!(cloud.contours.iter().flat_map(|c| &c.outline).all(|p| (p.ph - 6.0).abs() < 0.1));
    }
}
