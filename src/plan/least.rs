//! The least change that brings a point where it is wanted, within bounds.

/// One amount that may change.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Knob {
    /// What one unit of it does to the point.
    pub(crate) effect: [f64; 2],
    /// What a unit of change costs.
    pub(crate) weight: f64,
    /// Where a change costs nothing.
    pub(crate) home: f64,
    /// Least change.
    pub(crate) low: f64,
    /// Most change.
    pub(crate) high: f64,
}

/// Weight of the cost of change against the distance left: small, so that the place comes first and the least change decides
/// among the ways to it.
pub(crate) const THRIFT: f64 = 1e-5;

/// The changes that bring the point by `wanted`, or as near as the bounds let it, with the least cost.
///
/// A convex quadratic in a few unknowns with simple bounds, by an active set (Nocedal and Wright 2006, Numerical
/// Optimization, section 16.5, the primal method; bounds are the only constraints here).
pub(crate) fn least_change(knobs: &[Knob], wanted: [f64; 2]) -> Vec<f64> {
    let count = knobs.len();
    // Nothing changes to begin with, which the bounds allow.
    let mut change: Vec<f64> = knobs.iter().map(|knob| 0.0_f64.clamp(knob.low, knob.high)).collect();
    let mut held = vec![false; count];
    for _ in 0..12 * count.max(1) {
        let step = free_step(knobs, wanted, &change, &held);
        // As far as the bounds let all free knobs go together.
        let mut share = 1.0;
        let mut blocked = None;
        for (i, knob) in knobs.iter().enumerate() {
            if held[i] || step[i] == 0.0 {
                continue;
            }
            let room = if step[i] > 0.0 { knob.high - change[i] } else { knob.low - change[i] };
            let most = (room / step[i]).max(0.0);
            if most < share {
                (share, blocked) = (most, Some(i));
            }
        }
        for (value, step) in change.iter_mut().zip(&step) {
            *value += share * step;
        }
        if let Some(i) = blocked {
            let bound = if step[i] > 0.0 { knobs[i].high } else { knobs[i].low };
            (change[i], held[i]) = (bound, true);
            continue;
        }
        // Let go of the knob that presses hardest away from its bound; none does when this is the answer.
        let pull = gradient(knobs, wanted, &change);
        let loosened = (0..count).filter(|&i| held[i]).filter_map(|i| {
            let inward = if change[i] <= knobs[i].low { -pull[i] } else { pull[i] };
            (inward > 1e-12 && knobs[i].low < knobs[i].high).then_some((i, inward / knobs[i].weight))
        });
        match loosened.max_by(|(_, a), (_, b)| a.total_cmp(b)) {
            Some((i, _)) => held[i] = false,
            None => break,
        }
    }
    change
}

/// Half the gradient of the cost.
fn gradient(knobs: &[Knob], wanted: [f64; 2], change: &[f64]) -> Vec<f64> {
    let left = [0, 1].map(|axis| {
        knobs.iter().zip(change).map(|(knob, value)| knob.effect[axis] * value).sum::<f64>() - wanted[axis]
    });
    let slope = |(knob, value): (&Knob, &f64)| {
        knob.effect[0] * left[0] + knob.effect[1] * left[1] + THRIFT * knob.weight * knob.weight * (value - knob.home)
    };
    knobs.iter().zip(change).map(slope).collect()
}

/// The step to where the cost is least if the free knobs had no bounds.
fn free_step(knobs: &[Knob], wanted: [f64; 2], change: &[f64], held: &[bool]) -> Vec<f64> {
    let free: Vec<usize> = (0..knobs.len()).filter(|&i| !held[i]).collect();
    let pull = gradient(knobs, wanted, change);
    let mut rows: Vec<Vec<f64>> = free
        .iter()
        .map(|&i| {
            let mut row: Vec<f64> = free
                .iter()
                .map(|&j| {
                    let (a, b) = (&knobs[i], &knobs[j]);
                    let own = if i == j { THRIFT * a.weight * a.weight } else { 0.0 };
                    a.effect[0] * b.effect[0] + a.effect[1] * b.effect[1] + own
                })
                .collect();
            row.push(-pull[i]);
            row
        })
        .collect();
    let solved = eliminated(&mut rows);
    let mut step = vec![0.0; knobs.len()];
    for (&i, value) in free.iter().zip(solved) {
        step[i] = value;
    }
    step
}

/// Solves a small positive definite system whose last column is the right side, by elimination.
fn eliminated(rows: &mut [Vec<f64>]) -> Vec<f64> {
    let count = rows.len();
    for i in 0..count {
        let pivot = rows[i][i].max(f64::MIN_POSITIVE);
        let row = rows[i].clone();
        for below in &mut rows[i + 1..] {
            let share = below[i] / pivot;
            below.iter_mut().zip(&row).for_each(|(value, above)| *value -= share * above);
        }
    }
    let mut solved = vec![0.0; count];
    for i in (0..count).rev() {
        let known: f64 = (i + 1..count).map(|j| rows[i][j] * solved[j]).sum();
        solved[i] = (rows[i][count] - known) / rows[i][i].max(f64::MIN_POSITIVE);
    }
    solved
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn cost(knobs: &[Knob], wanted: [f64; 2], change: &[f64]) -> f64 {
        let left =
            [0, 1].map(|axis| knobs.iter().zip(change).map(|(k, v)| k.effect[axis] * v).sum::<f64>() - wanted[axis]);
        let thrift: f64 = knobs.iter().zip(change).map(|(k, v)| (k.weight * (v - k.home)).powi(2)).sum();
        left[0].powi(2) + left[1].powi(2) + THRIFT * thrift
    }

    fn knob() -> impl Strategy<Value = Knob> {
        let effect = (-30.0..30.0, -30.0..30.0).prop_map(|(a, b)| [a, b]);
        (effect, 1.0..40.0, -2.0..2.0, -5.0..0.0, 0.0..5.0).prop_map(|(effect, weight, home, low, high)| Knob {
            effect,
            weight,
            home,
            low,
            high,
        })
    }

    proptest! {
        #[test]
        fn no_small_change_within_the_bounds_costs_less(
            knobs in proptest::collection::vec(knob(), 1..6), a in -200.0..200.0, b in -200.0..200.0,
        ) {
            let change = least_change(&knobs, [a, b]);
            let here = cost(&knobs, [a, b], &change);
            for (value, knob) in change.iter().zip(&knobs) {
                prop_assert!(*value >= knob.low - 1e-12 && *value <= knob.high + 1e-12);
            }
            // The cost is convex, so that a nearby point in each pair of directions is enough of a witness.
            for i in 0..knobs.len() {
                for j in 0..knobs.len() {
                    for (di, dj) in [(1e-3, 0.0), (-1e-3, 0.0), (1e-3, 1e-3), (1e-3, -1e-3), (-1e-3, -1e-3)] {
                        let mut other = change.clone();
                        other[i] += di;
                        if i != j {
                            other[j] += dj;
                        }
                        for (value, knob) in other.iter_mut().zip(&knobs) {
                            *value = value.clamp(knob.low, knob.high);
                        }
                        let there = cost(&knobs, [a, b], &other);
                        prop_assert!(there >= here - 1e-6 * (1.0 + here), "{here} {there} {change:?} {other:?}");
                    }
                }
            }
        }
    }

    #[test]
    fn the_cheapest_way_is_taken_and_the_rest_stays() {
        let knob = |effect, weight| Knob { effect, weight, home: 0.0, low: 0.0, high: 10.0 };
        // One moves across, one up, one across at three times the cost.
        let knobs = [knob([10.0, 0.0], 10.0), knob([0.0, 10.0], 10.0), knob([10.0, 0.0], 30.0)];
        let change = least_change(&knobs, [50.0, 0.0]);
        assert!(
            (change[0] - 4.5).abs() < 0.01 && change[1].abs() < 1e-9 && (change[2] - 0.5).abs() < 0.01,
            "{change:?}"
        );
        // Beyond what both can do they are at their ends.
        let change = least_change(&knobs, [500.0, -30.0]);
        assert_eq!((change[0], change[1], change[2]), (10.0, 0.0, 10.0));
    }
}
