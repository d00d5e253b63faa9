//! A state carried through pours.

use crate::chem::{Carbon, ChemError, Mineral, Speciation, log10_pco2_from_ppm};

use super::{Point, Pour, ROOM_AIR_PPM, Showing, Tank, Warning};

/// Points along one pour's path, its two ends included.
const PATH_POINTS: usize = 17;

/// How far over saturation a solid must be, log10, before it is worth a warning.
///
/// Gypsum falls out almost at once, so it is watched closest; calcite holds out longest in fed water. Ours: no measured onset
/// in small tanks was found.
const CLOUDING: [(Mineral, f64); 5] = [
    (Mineral::Brushite, 0.3),
    (Mineral::Gypsum, 0.1),
    (Mineral::Calcite, 0.8),
    (Mineral::Struvite, 0.5),
    (Mineral::AmorphousSilica, 0.3),
];

/// One pour's own doing.
#[derive(Clone, Debug, PartialEq)]
pub struct PourShare {
    /// Where its path runs, from before it to after it; evenly spaced in amount.
    pub path: Vec<Point>,
    /// Change of pH by this pour alone, in its place in the order.
    pub ph_change: f64,
    /// Change of EC, mS/cm.
    pub ec_change_ms_cm: f64,
}

/// Where the water settles in room air, over hours or days.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Settled {
    /// In air of 1,500 ppm carbon dioxide, a lived-in room.
    pub stuffy: Point,
    /// In air of 420 ppm, an open window.
    pub fresh: Point,
}

impl Settled {
    /// pH, low and high.
    pub fn ph_range(&self) -> (f64, f64) {
        (self.stuffy.ph.min(self.fresh.ph), self.stuffy.ph.max(self.fresh.ph))
    }

    /// The point half-way between the two airs, for drawing.
    pub fn middle(&self) -> Point {
        Point {
            ph: f64::midpoint(self.stuffy.ph, self.fresh.ph),
            ec_ms_cm: f64::midpoint(self.stuffy.ec_ms_cm, self.fresh.ec_ms_cm),
        }
    }
}

/// Where pours take a tank.
#[derive(Clone, Debug, PartialEq)]
pub struct Landing {
    /// Before any pour.
    pub start: Point,
    /// One a pour, in order.
    pub shares: Vec<PourShare>,
    /// After all of them, mixed, no carbon dioxide lost.
    pub just_mixed: Point,
    /// After the air has had its way.
    pub settled: Settled,
    /// The tank afterwards.
    pub tank: Tank,
    /// Its volume, L.
    pub volume_l: f64,
    /// What to be warned of.
    pub warnings: Vec<Warning>,
}

/// Carries `tank` through `pours` in order.
///
/// **Units** as [`Pour`]; `tank_l` is what the tank holds, for the rim.
///
/// # Errors
/// Those of the chemistry, for a state or pours outside its range.
pub fn land(tank: &Tank, pours: &[Pour], showing: &Showing, tank_l: f64) -> Result<Landing, ChemError> {
    let medium = showing.medium();
    let mut solved = tank.solve(medium)?;
    let start = showing.point(&solved)?;
    let mut now = *tank;
    let mut here = start;
    let mut shares = Vec::with_capacity(pours.len());
    for pour in pours {
        let mut path = Vec::with_capacity(PATH_POINTS);
        path.push(here);
        let before = here;
        let whole = now.with(&pour.moles, pour.water_g, pour.amount);
        if pour.amount > 0.0 {
            for step in 1..PATH_POINTS {
                let part = pour.amount * step as f64 / (PATH_POINTS - 1) as f64;
                let tank = now.with(&pour.moles, pour.water_g, part);
                solved = medium.solve_from(&solved, &tank.totals, Carbon::Kept)?;
                here = showing.point(&solved)?;
                path.push(here);
            }
        }
        now = whole;
        shares.push(PourShare {
            path,
            ph_change: here.ph - before.ph,
            ec_change_ms_cm: here.ec_ms_cm - before.ec_ms_cm,
        });
    }
    let (settled, aired) = settle(&solved, &now, showing)?;
    let volume_l = solved.volume_l_per_kg(medium) * now.water_kg;
    let warnings = warnings([&solved, &aired], here, showing, volume_l, tank_l);
    Ok(Landing { start, shares, just_mixed: here, settled, tank: now, volume_l, warnings })
}

/// Where the water settles, and the solution in fresh air, whose pH is the highest it comes to.
fn settle(near: &Speciation, tank: &Tank, showing: &Showing) -> Result<(Settled, Speciation), ChemError> {
    let in_air = |ppm: f64| {
        let carbon = Carbon::Balance { log10_pco2_atm: log10_pco2_from_ppm(ppm) };
        showing.medium().solve_from(near, &tank.totals, carbon)
    };
    let (stuffy, fresh) = (in_air(ROOM_AIR_PPM.1)?, in_air(ROOM_AIR_PPM.0)?);
    Ok((Settled { stuffy: showing.point(&stuffy)?, fresh: showing.point(&fresh)? }, fresh))
}

/// How far the nearest solid is past the point at which it is worth a warning, log10; below nought all is clear.
pub(crate) fn clouding(solved: &Speciation, showing: &Showing) -> Option<(Mineral, f64)> {
    CLOUDING
        .into_iter()
        .filter_map(|(mineral, limit)| Some((mineral, solved.saturation_index(showing.medium(), mineral)? - limit)))
        .max_by(|(_, a), (_, b)| a.total_cmp(b))
}

/// Solids are looked for just mixed and in fresh air: carbonates and phosphates fall when pH has crept up.
pub(crate) fn warnings(
    solved: [&Speciation; 2],
    at: Point,
    showing: &Showing,
    volume_l: f64,
    tank_l: f64,
) -> Vec<Warning> {
    let mut warnings: Vec<Warning> = CLOUDING
        .into_iter()
        .filter_map(|(mineral, limit)| {
            let [mixed, aired] =
                solved.map(|solved| solved.saturation_index(showing.medium(), mineral).filter(|index| *index > limit));
            let now = mixed.map(|index| (index, None));
            let (saturation_index, crept_to_ph) = now.or(aired.map(|index| (index, Some(solved[1].ph()))))?;
            Some(Warning::MayCloud { mineral, saturation_index, crept_to_ph })
        })
        .collect();
    if volume_l > tank_l * 1.001 {
        warnings.push(Warning::OverTheRim { volume_l, tank_l });
    }
    let (low, high) = Warning::CHECKED_PH;
    if !(low..=high).contains(&at.ph) || at.ec_ms_cm > Warning::CHECKED_EC_MS_CM {
        warnings.push(Warning::OutOfDomain { ph: at.ph, ec_ms_cm: at.ec_ms_cm });
    }
    warnings
}
