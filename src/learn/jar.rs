//! A jar test as the stories explain it: a little of the tank's own water, so much of a product in it, what the meter showed.
//!
//! What moved pH well is told as the amount that a story needs for the same move, by its logarithm: that is nearly straight in
//! the logarithms of strength and alkalinity, where pH at a given amount is a titration curve, which no straight step of the
//! smoother follows.

use crate::chem::{Carbon, Component, Totals};
use crate::dose::{Showing, Tank};
use crate::garden::{JarPoint, JarTest, Role};

use super::near::Near;
use super::product::Part;
use super::smoother::{Datum, ReadOf, Sort};

/// 1 sd of ln(product over water as told) that all amounts of one test share: a jug's mark read to 3 in 100, a small syringe
/// or a dilution to 4. Ours.
const JAR_LN_SD: f64 = 0.05;
/// The same of each amount on its own: 0.03 mL on a 1 mL syringe. Ours.
const POINT_LN_SD: f64 = 0.03;
/// Share of the carbon dioxide above the room's that leaves a jar each time it is stirred for a minute. Ours: a hand-stirred jar
/// exchanges some centimetres of its depth an hour, and is a decimetre or two deep.
const STIRRED_OUT: f64 = 0.025;
/// What more or less of it does to a pH that was read in the jar, 1 sd: log10(1.05) is 0.02. Ours.
const STIRRED_SD: f64 = 0.02;
/// Carbon dioxide in water in balance with a lived-in room of 700 ppm, mol/kg: 0.034 mol/(kg atm) at 25 °C (Sander 2015,
/// Atmos. Chem. Phys. 15, 4399).
const ROOM_CO2_MOL_KG: f64 = 2.4e-5;
/// A move of pH below so many of the noise's sds is told as a pH. Ours.
const MOVED_SDS: f64 = 3.0;
/// No story is asked for an amount further than this from the one told, in the logarithm: a factor of 50.
const FURTHEST_LN: f64 = 4.0;

/// One jar test.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Jar {
    pub(crate) role: Role,
    /// mol per unit of the product at its stated strength.
    pub(crate) moles: Totals,
    water_g: f64,
    /// Tank water in the jar, L.
    pub(crate) water_l: f64,
    points: Vec<JarPoint>,
}

/// How one reading in the jar is told.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Told {
    Ph,
    /// The amount that moves pH by so much, and how steep pH is over ln(amount) there.
    Demand {
        moved: f64,
        steepness: f64,
    },
}

impl Jar {
    pub(super) fn of(test: &JarTest, role: Role, part: &Part) -> Self {
        Self {
            role,
            moles: part.pour.moles,
            water_g: part.pour.water_g,
            water_l: test.water_l,
            points: test.points.clone(),
        }
    }

    /// The product that truly went in over what was told, for a coordinate of a story.
    pub(super) fn measured(z: f64) -> f64 {
        (JAR_LN_SD * z).exp()
    }

    fn told(&self, i: usize, noise: f64) -> Told {
        let (Some(first), Some(point)) = (self.points.first(), self.points.get(i)) else { return Told::Ph };
        let moved = point.ph - first.ph;
        let sign = -self.moles.alkalinity().signum();
        if first.amount > 0.0 || point.amount <= 0.0 || -sign * moved < MOVED_SDS * noise {
            return Told::Ph;
        }
        let before = i.checked_sub(1).and_then(|i| self.points.get(i)).filter(|before| before.amount > 0.0);
        let steepness = match before {
            Some(before) if point.amount > before.amount => {
                (point.ph - before.ph) / (point.amount / before.amount).ln()
            }
            _ => moved,
        };
        // Never flatter than a straight line from the start allows to be told.
        Told::Demand { moved, steepness: (sign * steepness).min(-0.3 * moved.abs()) * sign }
    }

    /// How many stirrings with as much carbon dioxide in the jar as now have gone before a reading: acid drives it out of its
    /// salts in step with the amount, so an earlier stirring counts by its share.
    fn stirs(&self, i: usize) -> f64 {
        let now = self.points.get(i).map_or(0.0, |point| point.amount);
        let before = self.points.iter().take(i + 1).map(|point| point.amount / now);
        if now > 0.0 { before.sum() } else { 0.0 }
    }

    /// What is to be explained, where one pH reading of this meter has `noise`, 1 sd.
    pub(super) fn data(&self, noise: f64) -> impl Iterator<Item = Datum> {
        let noise = noise.hypot(STIRRED_SD);
        self.points.iter().enumerate().map(move |(i, point)| match self.told(i, noise) {
            Told::Ph => Datum { value: point.ph, sd: noise, sort: Sort::Ph, of: ReadOf::Jar },
            Told::Demand { steepness, .. } => Datum {
                value: point.amount.ln(),
                sd: POINT_LN_SD.hypot(noise * std::f64::consts::SQRT_2 / steepness.abs()),
                sort: Sort::LnAmount,
                of: ReadOf::Jar,
            },
        })
    }

    /// What a story tells of the same: `water` of its tank, `moles` a unit of the product, a meter that shows `offset` more.
    pub(super) fn shown(
        &self,
        (water, moles, offset): (&Tank, &Totals, f64),
        noise: f64,
        showing: &Showing,
        near: &mut Near,
        shown: &mut Vec<f64>,
    ) -> Option<()> {
        let noise = noise.hypot(STIRRED_SD);
        let place = near.place;
        let mut ph_at = |i: usize, amount: f64| {
            near.place = place + i;
            let mixed = water.with(moles, self.water_g, amount);
            let solved = near.solve(showing.medium(), &mixed.totals, Carbon::Kept)?;
            let Some(stirs) = i.checked_sub(1).map(|point| self.stirs(point)).filter(|stirs| *stirs > 0.0) else {
                return Some(solved.ph());
            };
            let above = (solved.carbon_dioxide() - ROOM_CO2_MOL_KG).max(0.0);
            let carbon = mixed.totals[Component::C] - above * (1.0 - (1.0 - STIRRED_OUT).powf(stirs));
            near.place = place + i;
            Some(near.solve(showing.medium(), &mixed.totals.with(Component::C, carbon), Carbon::Kept)?.ph())
        };
        let start = ph_at(0, 0.0)?;
        for (i, point) in self.points.iter().enumerate() {
            shown.push(match self.told(i, noise) {
                Told::Ph if point.amount <= 0.0 => start + offset,
                Told::Ph => ph_at(i + 1, point.amount)? + offset,
                Told::Demand { moved, steepness } => {
                    let ln = point.amount.ln();
                    let off = |at: f64| Some(ph_at(i + 1, at.exp())? - start - moved);
                    root(ln, steepness, (ln - FURTHEST_LN, ln + FURTHEST_LN), off)?
                }
            });
        }
        near.place = place + self.points.len() + 1;
        Some(())
    }
}

/// How far, and how surely (1 sd), a story asks for more product than the jars were given, in the logarithm: the mean over the
/// amounts that were told. `None` where none was.
pub(super) fn excess(data: &[Datum], shown: &[f64]) -> Option<(f64, f64)> {
    let told = data.iter().zip(shown).filter(|(datum, _)| datum.sort == Sort::LnAmount);
    let (sum, weight) = told.fold((0.0, 0.0), |(sum, weight), (datum, shown)| {
        let own = datum.sd.powi(-2);
        (sum + own * (shown - datum.value), weight + own)
    });
    (weight > 0.0).then(|| (sum / weight, weight.sqrt().recip()))
}

/// Where something that changes one way with `x` is nought, from a first guess and slope, within bounds.
fn root(start: f64, slope: f64, (low, high): (f64, f64), mut off: impl FnMut(f64) -> Option<f64>) -> Option<f64> {
    /// pH, finer than any meter.
    const NEAR: f64 = 0.01;
    /// Largest step, a factor of 4 in the amount.
    const STEP: f64 = 1.4;
    let (mut x, mut slope) = (start, slope);
    let mut at = off(x)?;
    for _ in 0..12 {
        if at.abs() < NEAR {
            break;
        }
        let next = (x - (at / slope).clamp(-STEP, STEP)).clamp(low, high);
        if (next - x).abs() < 1e-4 {
            break;
        }
        let then = off(next)?;
        let secant = (then - at) / (next - x);
        // A secant over a flat stretch would throw the next step far off; the sign of the slope is known.
        slope = if secant * slope > 0.0 && secant.abs() > 0.02 { secant } else { slope };
        (x, at) = (next, then);
    }
    Some(x)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chem::Component;

    fn jar(points: &[(f64, f64)]) -> Jar {
        Jar {
            role: Role::PhDown,
            moles: Totals::from_pairs(&[(Component::No3, 1e-3)]),
            water_g: 1.0,
            water_l: 1.0,
            points: points.iter().map(|(amount, ph)| JarPoint { amount: *amount, ph: *ph }).collect(),
        }
    }

    #[test]
    fn what_moved_ph_is_told_as_an_amount() {
        let data: Vec<Datum> = jar(&[(0.0, 7.0), (0.1, 6.95), (0.5, 6.5), (0.6, 5.0)]).data(0.05).collect();
        let sorts: Vec<Sort> = data.iter().map(|datum| datum.sort).collect();
        assert_eq!(sorts, [Sort::Ph, Sort::Ph, Sort::LnAmount, Sort::LnAmount]);
        assert!((data[2].value - 0.5_f64.ln()).abs() < 1e-12);
        // Where the curve is steep the amount is told well: little more than by the syringe.
        assert!(data[3].sd < 0.035 && data[2].sd > 0.1, "{data:?}");
    }

    /// Strong acid in water of a known alkalinity: the amount that was told is the amount that is needed.
    #[test]
    fn a_story_that_is_true_tells_the_amounts_back() {
        let showing = Showing::new(21.0, crate::garden::Compensation::LinearPercent(2.0)).unwrap();
        let ions = Totals::from_pairs(&[(Component::Ca, 1e-3)]);
        let carbon = Carbon::Balance { log10_pco2_atm: -3.0 };
        let totals = *showing.medium().solve(&ions, carbon).unwrap().totals();
        let water = Tank::of_volume(totals, 1.0, showing.medium());
        let acid = Totals::from_pairs(&[(Component::No3, 1e-3)]);
        // Stirred for a minute and a half after each amount, as fast as a tank breathes in an hour.
        let mut stirred = water;
        let mut poured = 0.0;
        let amounts = [0.0, 0.4, 1.0, 1.6];
        let points = amounts.map(|amount| {
            stirred = stirred.with(&acid, 1.0, amount - poured);
            poured = amount;
            stirred = stirred.breathed(showing.medium(), -3.15, 1.0, 0.025).unwrap();
            (amount, showing.of(&stirred.totals).unwrap().ph)
        });
        let test = jar(&points);
        let mut shown = Vec::new();
        let told = |factor: f64, shown: &mut Vec<f64>| {
            test.shown((&water, &acid.scaled(factor), 0.0), 0.05, &showing, &mut Near::default(), shown).unwrap();
        };
        told(1.0, &mut shown);
        for (datum, shown) in test.data(0.05).zip(&shown) {
            assert!((datum.value - shown).abs() < 0.02, "{datum:?} {shown}");
        }
        // Twice as strong: half as much.
        shown.clear();
        told(2.0, &mut shown);
        assert!((shown[2] - 0.5_f64.ln()).abs() < 0.02, "{shown:?}");
    }
}
