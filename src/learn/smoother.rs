//! Ensemble smoother with multiple data assimilation: moves prior members until they explain the data.
//!
//! Source: Emerick & Reynolds (2013), Computers & Geosciences 55, 3: passes with the data's noise inflated, so that their
//! sum of precisions is one. Covariances of a small ensemble are noisy, so each is shrunk by `r²/(r² + 2/N)`.

/// What each pass multiplies the variance of the noise by; the sum of the inverses is one.
const INFLATIONS: [f64; 4] = [4.0; 4];
/// No coordinate leaves this many standard deviations: beyond, the forward model is asked for nonsense.
pub(super) const FURTHEST: f64 = 4.5;

/// One datum: its value and its noise's standard deviation.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Datum {
    pub(crate) value: f64,
    pub(crate) sd: f64,
    pub(crate) sort: Sort,
    pub(crate) of: ReadOf,
}

/// Where a datum was read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ReadOf {
    /// The source water.
    SourceWater,
    /// The tank.
    Tank,
    /// A jar test.
    Jar,
}

/// What a datum is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sort {
    /// A pH.
    Ph,
    /// An EC, mS/cm.
    Ec,
    /// The logarithm of an amount in a jar test.
    LnAmount,
}

/// Moves `members` (rows of standard-normal coordinates) until `forward` of each agrees with the data within noise.
///
/// `noise` holds one standard-normal number a pass, member and datum, in that order. A member whose forward run fails
/// keeps its place for that pass. Deterministic.
pub(crate) fn assimilate<const P: usize>(
    members: &mut [[f64; P]],
    data: &[Datum],
    noise: &[f64],
    mut forward: impl FnMut(usize, &[f64; P]) -> Option<Vec<f64>>,
) {
    if data.is_empty() {
        return;
    }
    let d = data.len();
    for (pass, inflation) in INFLATIONS.into_iter().enumerate() {
        let runs: Vec<Option<Vec<f64>>> = members.iter().enumerate().map(|(i, z)| forward(i, z)).collect();
        let good: Vec<usize> = (0..members.len()).filter(|&i| runs[i].is_some()).collect();
        if good.len() < 10 {
            return;
        }
        let n = good.len() as f64;
        let shown = |i: usize| runs[i].as_deref().unwrap_or(&[]);
        let mean_d: Vec<f64> = (0..d).map(|k| good.iter().map(|&i| shown(i)[k]).sum::<f64>() / n).collect();
        let mean_z: [f64; P] = std::array::from_fn(|j| good.iter().map(|&i| members[i][j]).sum::<f64>() / n);
        let var_z: [f64; P] =
            std::array::from_fn(|j| good.iter().map(|&i| (members[i][j] - mean_z[j]).powi(2)).sum::<f64>() / (n - 1.0));
        let mut c_dd = vec![vec![0.0; d]; d];
        let mut c_zd = vec![[0.0; P]; d];
        for k in 0..d {
            for l in 0..d {
                c_dd[k][l] = good.iter().map(|&i| (shown(i)[k] - mean_d[k]) * (shown(i)[l] - mean_d[l])).sum::<f64>()
                    / (n - 1.0);
            }
            for j in 0..P {
                let covariance =
                    good.iter().map(|&i| (members[i][j] - mean_z[j]) * (shown(i)[k] - mean_d[k])).sum::<f64>()
                        / (n - 1.0);
                let scale = var_z[j] * c_dd[k][k];
                let r2 = if scale > 0.0 { covariance * covariance / scale } else { 0.0 };
                c_zd[k][j] = covariance * r2 / (r2 + 2.0 / n);
            }
        }
        for (k, datum) in data.iter().enumerate() {
            c_dd[k][k] += inflation * datum.sd * datum.sd;
        }
        for &i in &good {
            let mut off: Vec<f64> = (0..d)
                .map(|k| {
                    let jitter = noise[(pass * members.len() + i) * d + k];
                    data[k].value + inflation.sqrt() * data[k].sd * jitter - shown(i)[k]
                })
                .collect();
            solve_symmetric(&c_dd, &mut off);
            for j in 0..P {
                let step: f64 = (0..d).map(|k| c_zd[k][j] * off[k]).sum();
                members[i][j] = (members[i][j] + step).clamp(-FURTHEST, FURTHEST);
            }
        }
    }
}

/// How many noise numbers [`assimilate`] reads.
pub(crate) fn noise_needed(members: usize, data: usize) -> usize {
    INFLATIONS.len() * members * data
}

/// Solves a small positive definite system in place, by Cholesky's factor.
fn solve_symmetric(matrix: &[Vec<f64>], x: &mut [f64]) {
    let n = x.len();
    let mut factor = vec![vec![0.0; n]; n];
    for i in 0..n {
        for j in 0..=i {
            let sum: f64 = (0..j).map(|k| factor[i][k] * factor[j][k]).sum();
            factor[i][j] =
                if i == j { (matrix[i][i] - sum).max(1e-300).sqrt() } else { (matrix[i][j] - sum) / factor[j][j] };
        }
    }
    for i in 0..n {
        let sum: f64 = (0..i).map(|k| factor[i][k] * x[k]).sum();
        x[i] = (x[i] - sum) / factor[i][i];
    }
    for i in (0..n).rev() {
        let sum: f64 = (i + 1..n).map(|k| factor[k][i] * x[k]).sum();
        x[i] = (x[i] - sum) / factor[i][i];
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::learn::prior::{MEMBERS, normals};

    /// A linear model has a known answer: the posterior mean and variance of a normal prior and a normal datum (any
    /// textbook of Bayesian statistics).
    #[test]
    fn a_linear_case_gives_the_textbook_answer() {
        let z = normals(1, MEMBERS * 2);
        let mut members: Vec<[f64; 2]> = z.chunks_exact(2).map(|c| [c[0], c[1]]).collect();
        let data = [Datum { value: 1.5, sd: 0.5, sort: Sort::Ph, of: ReadOf::Tank }];
        let noise = normals(2, noise_needed(MEMBERS, 1));
        assimilate(&mut members, &data, &noise, |_, z| Some(vec![2.0 * z[0]]));
        let n = MEMBERS as f64;
        let mean = members.iter().map(|z| z[0]).sum::<f64>() / n;
        let variance = members.iter().map(|z| (z[0] - mean).powi(2)).sum::<f64>() / (n - 1.0);
        // Precision 1 + 4/0.25 = 17; mean 2 · 1.5/0.25 / 17.
        assert!((mean - 12.0 / 17.0).abs() < 0.04, "{mean}");
        assert!((variance.sqrt() - (1.0_f64 / 17.0).sqrt()).abs() < 0.03, "{}", variance.sqrt());
        let free = members.iter().map(|z| z[1]).sum::<f64>() / n;
        assert!(free.abs() < 0.1, "what the datum does not touch stays: {free}");
    }
}
