//! The coordinates of a member, and their deterministic sample.

use rand::SeedableRng as _;
use rand_distr::{Distribution as _, StandardNormal};
use rand_pcg::Pcg64Mcg;

/// How many members a belief has. A trial with invented households worked with 200; this is a little finer.
pub const MEMBERS: usize = 256;

/// What each coordinate of a member stands for; all are standard normal before a reading.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Axis {
    /// True over stated volume.
    Volume,
    /// Alkalinity of the source water.
    Alkalinity,
    /// Its other anions.
    OtherAnions,
    /// Carbon dioxide in it as drawn.
    SourceCarbon,
    /// Feed in the tank.
    FeedShare,
    /// Acid or base that nobody logged.
    Remainder,
    /// Carbon dioxide in the tank.
    TankCarbon,
    /// The pH meter's own offset.
    PhOffset,
    /// The EC meter's own gain.
    EcGain,
    /// Free acid in the feed.
    FeedAcid,
    /// Strength of the feed, for what is poured next.
    FeedStrength,
    /// Strength of the pH product.
    PhStrength,
    /// Which acid it is, where nobody knows.
    PhKind,
    /// Rate at which carbon dioxide moves.
    Exchange,
    /// Carbon dioxide in the room's air.
    Room,
    /// Strength of a calcium–magnesium supplement.
    CalMagStrength,
    /// How exactly a pour is measured.
    PourError,
    /// Acid or base that nobody logged, between the first reading that is explained and the last.
    Slip,
    /// What plants, microbes and air did during the first long wait between readings; the next ones follow.
    Drift,
    /// How exactly the first logged pour was measured; the next ones follow.
    Poured = 20,
}

/// Long waits with a coordinate of their own; later ones share them in turn.
pub(crate) const DRIFTS: usize = 2;
/// Logged pours with a coordinate of their own; later ones share them in turn.
pub(crate) const POURS: usize = 8;

/// How many coordinates there are.
pub(crate) const AXES: usize = Axis::Poured as usize + POURS;

/// So many standard-normal numbers from a seed, the same on every run.
pub(crate) fn normals(seed: u64, count: usize) -> Vec<f64> {
    let mut source = Pcg64Mcg::seed_from_u64(seed);
    (0..count).map(|_| StandardNormal.sample(&mut source)).collect()
}

/// The prior sample of so many members, an even number: each member has its mirror image beside it and each axis is scaled, so that every mean is 0 and every
/// variance 1 exactly (but for the clamp at four standard deviations).
pub(crate) fn sample(seed: u64, members: usize) -> Vec<[f64; AXES]> {
    let mut half = normals(seed, members / 2 * AXES);
    for axis in 0..AXES {
        let square: f64 = half.iter().skip(axis).step_by(AXES).map(|z| z * z).sum();
        let scale = (square / (members / 2) as f64).sqrt().recip();
        half.iter_mut().skip(axis).step_by(AXES).for_each(|z| *z *= scale);
    }
    half.chunks_exact(AXES)
        .flat_map(|chunk| {
            let z: [f64; AXES] = std::array::from_fn(|j| chunk[j].clamp(-4.0, 4.0));
            [z, z.map(|value| -value)]
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sample_is_standard_and_repeats() {
        let (one, other) = (sample(7, MEMBERS), sample(7, MEMBERS));
        assert_eq!(one, other);
        assert_ne!(one, sample(8, MEMBERS));
        assert_eq!(one.len(), MEMBERS);
        for axis in 0..AXES {
            let mean: f64 = one.iter().map(|z| z[axis]).sum::<f64>() / MEMBERS as f64;
            let variance: f64 = one.iter().map(|z| z[axis].powi(2)).sum::<f64>() / MEMBERS as f64;
            assert!(mean.abs() < 1e-12 && (variance - 1.0).abs() < 0.02, "axis {axis}: {mean} {variance}");
        }
    }
}
