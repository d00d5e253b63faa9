//! What the members say would happen.

use crate::chem::{Carbon, Component};
use crate::dose::{Point, Pour, Showing, Tank};
use crate::garden::Role;
use crate::learn::{Member, ProductBelief, quantile};

/// What the next reading should show: 5, 50 and 95 in a hundred.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Expectation {
    /// pH as read after the wait.
    pub ph: (f64, f64, f64),
    /// EC as read, mS/cm.
    pub ec_ms_cm: (f64, f64, f64),
    /// True pH once the room's air has had its way.
    pub settled_ph: (f64, f64, f64),
}

/// Factor on the half-widths of a promised pH. The closed loop in `tests/plan` measured that ranges meant to hold 90 of 100
/// readings held 76: a single linear update is too sure of steep titration curves. 1.645/1.175 sds puts that right.
const PROMISE_WIDENING: f64 = 1.4;

/// A crowd of tanks, one a member, on its way through a plan.
#[derive(Clone, Debug)]
pub struct Forecast<'a> {
    members: &'a [Member],
    /// The tanks, in the order of the members.
    pub tanks: Vec<Tank>,
}

impl<'a> Forecast<'a> {
    /// The members as they are now.
    pub fn now(members: &'a [Member]) -> Self {
        Self { members, tanks: members.iter().map(|member| member.tank).collect() }
    }

    /// After a pour of so many units of a product, each member with its own strength.
    #[must_use]
    pub fn after(&self, product: &ProductBelief, pour: &Pour, amount: f64) -> Self {
        let part = product.parts.iter().find(|part| part.pour.id == pour.id).or(product.parts.first());
        let tool_ln_sd = part.map_or(0.03, |part| part.tool.ln_sd(amount));
        let tanks = self
            .members
            .iter()
            .zip(&self.tanks)
            .map(|(member, tank)| {
                let (moles, factor) = match product.role {
                    Role::Feed => (pour.moles, member.feed_factor),
                    Role::CalMag => (pour.moles, member.calmag_factor),
                    Role::PhDown => (product.moles_at(member.ph_kind), member.ph_down_factor),
                    Role::PhUp => (product.moles_at(member.ph_kind), member.ph_up_factor),
                };
                // The tool's own error comes on top: drops and scoops scatter more than a syringe's marks.
                let measured = (tool_ln_sd * member.pour_z).exp();
                tank.with(&moles.scaled(factor * measured), pour.water_g, amount)
            })
            .collect();
        Self { members: self.members, tanks }
    }

    /// After source water is added, and before it a share of 0 to 1 of the solution taken out.
    #[must_use]
    pub fn thinned(&self, out_share: f64, water_kg: f64) -> Self {
        let tanks = self
            .members
            .iter()
            .zip(&self.tanks)
            .map(|(member, tank)| tank.drained(out_share).mixed(&Tank { totals: member.source, water_kg }))
            .collect();
        Self { members: self.members, tanks }
    }

    /// pH and EC of every member just mixed; a member that can't be solved is left out.
    pub fn points(&self, showing: &Showing) -> Vec<Point> {
        self.tanks.iter().filter_map(|tank| showing.of(&tank.totals).ok()).collect()
    }

    /// The `p` quantile of pH just mixed.
    pub fn ph(&self, showing: &Showing, p: f64) -> f64 {
        let mut values: Vec<f64> = self
            .tanks
            .iter()
            .filter_map(|tank| showing.medium().solve(&tank.totals, Carbon::Kept).ok().map(|solved| solved.ph()))
            .collect();
        quantile(&mut values, p)
    }

    /// pH of every member after the room's air has had its way.
    pub fn settled(&self, showing: &Showing) -> Vec<f64> {
        self.members
            .iter()
            .zip(&self.tanks)
            .filter_map(|(member, tank)| {
                let carbon = Carbon::Balance { log10_pco2_atm: member.room_log10_pco2 };
                showing.medium().solve(&tank.totals, carbon).ok().map(|solved| solved.ph())
            })
            .collect()
    }

    /// The `p` quantile of pH after breathing.
    pub fn settled_ph(&self, showing: &Showing, p: f64) -> f64 {
        quantile(&mut self.settled(showing), p)
    }

    /// pH of every member just mixed and after breathing; a member that can't be solved is left out of both.
    pub(crate) fn both(&self, showing: &Showing) -> (Vec<f64>, Vec<f64>) {
        self.members
            .iter()
            .zip(&self.tanks)
            .filter_map(|(member, tank)| {
                let mixed = showing.medium().solve(&tank.totals, Carbon::Kept).ok()?;
                let carbon = Carbon::Balance { log10_pco2_atm: member.room_log10_pco2 };
                let settled = showing.medium().solve_from(&mixed, &tank.totals, carbon).ok()?;
                Some((mixed.ph(), settled.ph()))
            })
            .unzip()
    }

    /// Share of members that cross an edge, just mixed or after breathing: below it for a pour that lowers pH.
    pub fn crossing(&self, showing: &Showing, edge: f64, below: bool) -> f64 {
        let (mixed, settled) = self.both(showing);
        let over =
            mixed.iter().zip(&settled).filter(|(a, b)| if below { a.min(**b) < edge } else { a.max(**b) > edge });
        over.count() as f64 / mixed.len().max(1) as f64
    }

    /// The `p` quantile of EC, mS/cm, as an exact meter of this kind would show it.
    pub fn ec(&self, showing: &Showing, p: f64) -> f64 {
        let mut values: Vec<f64> = self.points(showing).iter().map(|point| point.ec_ms_cm).collect();
        quantile(&mut values, p)
    }

    /// Share of members for which something holds just mixed.
    pub fn share(&self, showing: &Showing, holds: impl Fn(Point) -> bool) -> f64 {
        let points = self.points(showing);
        points.iter().filter(|point| holds(**point)).count() as f64 / points.len().max(1) as f64
    }

    /// What a reading after so many hours should show; `noise` holds two standard-normal numbers a member and `sds` the
    /// noise of a pH and an EC reading.
    pub fn expect(&self, showing: &Showing, hours: f64, noise: &[f64], sds: (f64, f64)) -> Expectation {
        let (mut ph, mut ec) = (Vec::new(), Vec::new());
        for (i, (member, tank)) in self.members.iter().zip(&self.tanks).enumerate() {
            let breathed = tank.breathed(showing.medium(), member.room_log10_pco2, member.exchange_per_h, hours);
            let Ok(point) = breathed.and_then(|tank| showing.of(&tank.totals)) else { continue };
            ph.push(point.ph + member.ph_offset + sds.0 * noise[2 * i]);
            ec.push((point.ec_ms_cm * member.ec_gain + sds.1 * noise[2 * i + 1]).max(0.0));
        }
        let mut settled = self.settled(showing);
        let three = |values: &mut [f64]| (quantile(values, 0.05), quantile(values, 0.5), quantile(values, 0.95));
        let widened = |(low, middle, high): (f64, f64, f64)| {
            (middle - PROMISE_WIDENING * (middle - low), middle, middle + PROMISE_WIDENING * (high - middle))
        };
        Expectation { ph: widened(three(&mut ph)), ec_ms_cm: three(&mut ec), settled_ph: three(&mut settled) }
    }

    /// Calcium of the middle member, mg/L.
    pub fn calcium_mg_l(&self) -> f64 {
        let mut values: Vec<f64> =
            self.tanks.iter().map(|tank| tank.totals[Component::Ca] * Component::Ca.molar_mass_g() * 1e3).collect();
        quantile(&mut values, 0.5)
    }

    /// How many members there are.
    pub fn len(&self) -> usize {
        self.tanks.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.tanks.is_empty()
    }
}

/// The dose, at most `most`, at which a quantity that changes one way with the dose reaches a goal; `most` if it does not,
/// zero if it is past the goal already. `off` is below zero short of the goal.
///
/// False position with halving (Illinois), stopping at a thousandth of the dose: finer than any tool.
pub(crate) fn dose_to(most: f64, mut off: impl FnMut(f64) -> f64) -> f64 {
    let (mut low, mut at_low) = (0.0, off(0.0));
    if at_low.is_nan() || at_low >= 0.0 {
        return 0.0;
    }
    // A first step of a sixteenth: the root is mostly near the start of a generous `most`.
    let mut high = most / 16.0;
    let mut at_high = off(high);
    while at_high < 0.0 {
        if high >= most {
            return most;
        }
        (low, at_low) = (high, at_high);
        high = (high * 2.0).min(most);
        at_high = off(high);
    }
    if at_high.is_nan() {
        return low;
    }
    for _ in 0..16 {
        if high - low <= 1e-3 * high {
            break;
        }
        let middle = (low * at_high - high * at_low) / (at_high - at_low);
        let middle = middle.clamp(low + 0.02 * (high - low), high - 0.02 * (high - low));
        let at_middle = off(middle);
        if at_middle < 0.0 {
            (low, at_low) = (middle, at_middle);
            at_high *= 0.5;
        } else {
            (high, at_high) = (middle, at_middle);
            at_low *= 0.5;
        }
    }
    // The side that has not passed the goal: caps must hold.
    low
}
