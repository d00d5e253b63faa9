//! One pour's own curve on the map, and the amount on it that is nearest to a place.

use crate::chem::ChemError;
use crate::dose::Point;

use super::course::Course;
use super::{Idea, Planner, Snap};

/// The curve that one pour takes the water along as its amount goes from nothing to the most.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Rail {
    /// Amount (mL or g), and where the water is after this pour, in its place of the order.
    pub points: Vec<(f64, Point)>,
    /// Stretches that should not be entered: places in `points`, from and to, and why.
    pub rough: Vec<(usize, usize, String)>,
}

/// Points of a rail before it is refined where it bends.
const POINTS: usize = 25;
/// Most points of a rail.
const MOST_POINTS: usize = 97;
/// Two neighbours on a rail are no further apart than this, pH and mS/cm, as long as there are points left: some 15 screen
/// points of a map of three pH units.
const FINE: (f64, f64) = (0.08, 0.05);

/// Samples in the search for the nearest amount.
const SAMPLES: usize = 33;

impl Planner {
    /// The curve of one pour of an idea, the other pours as they are; earlier parts of the same feed go with it. Empty for
    /// a pour that is not in the list.
    ///
    /// # Errors
    /// Those of the chemistry.
    pub fn rail(&self, idea: &Idea, key: u32) -> Result<Rail, ChemError> {
        let Some(place) = idea.pours.iter().position(|pour| pour.key == key) else { return Ok(Rail::default()) };
        let most = idea.most_of(self, place);
        let amounts: Vec<f64> = idea.pours.iter().map(|pour| pour.amount).collect();
        let mut course = Course::of(self, idea)?;
        let mut points = Vec::with_capacity(MOST_POINTS);
        for i in 0..POINTS {
            let amount = most * i as f64 / (POINTS - 1) as f64;
            // Where the chemistry can't follow, the rail ends.
            match course.after(&course.with(&amounts, place, amount), place + 1) {
                Ok(here) => points.push((amount, here)),
                Err(error) if i == 0 => return Err(error),
                Err(_) => break,
            }
        }
        while points.len() < MOST_POINTS {
            let apart = |pair: &[(f64, Point)]| {
                let [(_, a), (_, b)] = pair else { return 0.0 };
                ((a.ph - b.ph) / FINE.0).hypot((a.ec_ms_cm - b.ec_ms_cm) / FINE.1)
            };
            let widest = points.windows(2).enumerate().max_by(|(_, a), (_, b)| apart(a).total_cmp(&apart(b)));
            let Some((i, pair)) = widest.filter(|(_, pair)| apart(pair) > 1.0) else { break };
            let amount = f64::midpoint(pair[0].0, pair[1].0);
            let here = course.after(&course.with(&amounts, place, amount), place + 1)?;
            points.insert(i + 1, (amount, here));
        }
        // All pours together may go where the chemistry can't follow, though this one alone does not: then that is why.
        let unknown = || Some("outside what the model can work out".to_owned());
        let why: Vec<Option<String>> = points
            .iter()
            .map(|(amount, _)| self.why_not(&mut course, &amounts, place, *amount).unwrap_or_else(|_| unknown()))
            .collect();
        Ok(Rail { rough: stretches(&why), points })
    }

    /// Why an amount should not be poured, the other pours as they are; none when nothing is against it.
    fn why_not(
        &self,
        course: &mut Course<'_>,
        amounts: &[f64],
        place: usize,
        amount: f64,
    ) -> Result<Option<String>, ChemError> {
        let amounts = course.with(amounts, place, amount);
        let tank = course.tank(&amounts, amounts.len());
        let showing = &self.knowledge.showing;
        let solved = course.solved(&amounts, amounts.len())?;
        let volume_l = solved.volume_l_per_kg(showing.medium()) * tank.water_kg;
        let at = showing.point(solved)?;
        let warnings = crate::dose::warnings([solved, solved], at, showing, volume_l, self.knowledge.tank_l);
        Ok(warnings.first().map(crate::dose::Warning::short))
    }

    /// The idea with one pour changed so that the water after it comes as near to a place as its curve goes.
    ///
    /// `scale` is what counts as one step to the eye, pH and mS/cm; the amount stays between nothing and the pour's most, and
    /// the other parts of its feed follow.
    ///
    /// # Errors
    /// Those of the chemistry.
    pub fn dragged(&self, idea: &Idea, key: u32, to: Point, scale: (f64, f64), snap: Snap) -> Result<Idea, ChemError> {
        let mut dragged = idea.clone();
        let Some(place) = idea.pours.iter().position(|pour| pour.key == key) else { return Ok(dragged) };
        let most = idea.most_of(self, place);
        let amounts: Vec<f64> = idea.pours.iter().map(|pour| pour.amount).collect();
        let mut course = Course::of(self, idea)?;
        // Where the chemistry can't follow is further away than anything.
        let mut off = |amount: f64| match course.after(&course.with(&amounts, place, amount), place + 1) {
            Ok(here) => ((here.ph - to.ph) / scale.0).hypot((here.ec_ms_cm - to.ec_ms_cm) / scale.1),
            Err(_) => f64::INFINITY,
        };
        let step = most / (SAMPLES - 1) as f64;
        let mut nearest = (f64::INFINITY, 0.0);
        for i in 0..SAMPLES {
            let amount = step * i as f64;
            let distance = off(amount);
            if distance < nearest.0 {
                nearest = (distance, amount);
            }
        }
        let amount = nearest_between((nearest.1 - step).max(0.0), (nearest.1 + step).min(most), &mut off);
        dragged.set(self, key, amount, snap);
        Ok(dragged)
    }
}

/// Runs of the same reason, as places from and to.
fn stretches(why: &[Option<String>]) -> Vec<(usize, usize, String)> {
    let mut runs: Vec<(usize, usize, String)> = Vec::new();
    for (i, words) in why.iter().enumerate() {
        let Some(words) = words else { continue };
        match runs.last_mut() {
            Some((_, to, last)) if *to + 1 == i && last == words => *to = i,
            _ => runs.push((i, i, words.clone())),
        }
    }
    runs
}

/// Where a distance is least between two amounts: golden section, to a millionth of the stretch.
fn nearest_between(mut low: f64, mut high: f64, off: &mut impl FnMut(f64) -> f64) -> f64 {
    const GOLDEN: f64 = 0.618_033_988_749_895;
    let ends = [(off(low), low), (off(high), high)];
    let mut inner = (high - GOLDEN * (high - low), low + GOLDEN * (high - low));
    let mut at = (off(inner.0), off(inner.1));
    for _ in 0..28 {
        if at.0 <= at.1 {
            high = inner.1;
            inner = (high - GOLDEN * (high - low), inner.0);
            at = (off(inner.0), at.0);
        } else {
            low = inner.0;
            inner = (inner.1, low + GOLDEN * (high - low));
            at = (at.1, off(inner.1));
        }
    }
    // The ends themselves are amounts too: nothing, and the most.
    let found = (at.0.min(at.1), if at.0 <= at.1 { inner.0 } else { inner.1 });
    ends.into_iter().fold(found, |best, end| if end.0 <= best.0 { end } else { best }).1
}
