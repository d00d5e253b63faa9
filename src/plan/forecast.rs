//! What the members say would happen.

use std::cell::OnceCell;

use crate::chem::{Carbon, Component, Speciation};
use crate::dose::{Point, Pour, Showing, Tank};
use crate::garden::Role;
use crate::learn::{Member, Part, ProductBelief, quantile};

use super::measure::ln_sd;

use super::Planner;

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

/// Factor on the half-widths of a promised pH. The closed loop of invented households measured what ranges meant to hold 90
/// of 100 readings held, and this puts it right.
const PROMISE_WIDENING: f64 = 1.15;

/// A crowd of tanks, one a member, on its way through a plan.
#[derive(Clone, Debug)]
pub struct Forecast<'a> {
    members: &'a [Member],
    /// The tanks, in the order of the members.
    pub tanks: Vec<Tank>,
    /// Whether anything went in on this way.
    touched: bool,
    /// Their solutions just mixed and in the room's air, once somebody asked for them.
    mixed: OnceCell<Vec<Option<Speciation>>>,
    aired: OnceCell<Vec<Option<Speciation>>>,
}

/// What of a story is looked at while a dose is sought.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Looked {
    /// pH just mixed.
    Mixed,
    /// pH after the room's air has had its way.
    Settled,
    /// EC just mixed, mS/cm.
    Ec,
}

/// The largest amount of a search.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Most {
    /// Far more than any story needs.
    Generous(f64),
    /// An amount that few stories reach their goal below.
    Cap(f64),
}

impl<'a> Forecast<'a> {
    /// The members as they are now.
    pub fn now(members: &'a [Member]) -> Self {
        Self::of(members, members.iter().map(|member| member.tank).collect(), false)
    }

    /// The members with tanks of their own, in their order.
    pub(super) fn of(members: &'a [Member], tanks: Vec<Tank>, touched: bool) -> Self {
        Self { members, tanks, touched, mixed: OnceCell::new(), aired: OnceCell::new() }
    }

    /// The solutions just mixed; `None` for a story that can't be solved.
    fn mixed(&self, showing: &Showing) -> &[Option<Speciation>] {
        self.mixed.get_or_init(|| {
            // The story before is near enough to start from, and three times as fast as starting cold.
            let mut near: Option<Speciation> = None;
            let solve = |tank: &Tank| {
                let solved = match &near {
                    Some(near) => showing.medium().solve_from(near, &tank.totals, Carbon::Kept),
                    None => showing.medium().solve(&tank.totals, Carbon::Kept),
                };
                if let Ok(solved) = &solved {
                    near = Some(solved.clone());
                }
                solved.ok()
            };
            self.tanks.iter().map(solve).collect()
        })
    }

    /// The solutions in balance with the room's air.
    fn aired(&self, showing: &Showing) -> &[Option<Speciation>] {
        self.aired.get_or_init(|| {
            let stories = self.members.iter().zip(&self.tanks).zip(self.mixed(showing));
            let airs = stories.map(|((member, tank), mixed)| {
                let carbon = Carbon::Balance { log10_pco2_atm: member.room_log10_pco2 };
                showing.medium().solve_from(mixed.as_ref()?, &tank.totals, carbon).ok()
            });
            airs.collect()
        })
    }

    /// For each story the amount, at most `most`, at which what is looked at reaches a goal; `most` where it does not,
    /// zero where it is past the goal already. `sign` is 1 for what rises with the amount, -1 for what falls. A `most` that
    /// few stories reach the goal below costs the rest one solution each.
    ///
    /// Each story changes one way with the amount, so the amount at which a share of the stories is past a goal is a quantile
    /// of these: a root a story serves every quantile, where a search over the crowd would have to solve all stories again
    /// at each of its steps.
    pub(crate) fn demands(
        &self,
        showing: &Showing,
        (looked, sign, goal): (Looked, f64, f64),
        most: Most,
        tank_at: impl Fn(&Member, &Tank, f64) -> Tank,
    ) -> Vec<f64> {
        let starts = if looked == Looked::Settled { self.aired(showing) } else { self.mixed(showing) };
        let value = |solved: &Speciation| match looked {
            Looked::Mixed | Looked::Settled => Some(solved.ph()),
            Looked::Ec => showing.point(solved).ok().map(|point| point.ec_ms_cm),
        };
        let stories = self.members.iter().zip(&self.tanks).zip(starts);
        // A first step of a sixteenth: the root is mostly near the start of a generous `most`. Then the story before serves.
        let (most, mut hint) = match most {
            Most::Generous(most) => (most, most / 16.0),
            Most::Cap(most) => (most, most),
        };
        let is_cap = hint >= most;
        let doses = stories.filter_map(|((member, tank), start)| {
            let start = start.as_ref()?;
            let carbon = match looked {
                Looked::Settled => Carbon::Balance { log10_pco2_atm: member.room_log10_pco2 },
                Looked::Mixed | Looked::Ec => Carbon::Kept,
            };
            let mut near = start.clone();
            let at_start = sign * (value(start)? - goal);
            let dose = dose_from(at_start, most, hint, |amount| {
                let totals = tank_at(member, tank, amount).totals;
                // A start that is far off may fail where a cold one does not.
                let solved = showing.medium().solve_from(&near, &totals, carbon).ok();
                let Some(solved) = solved else { return f64::NAN };
                let off = value(&solved).map_or(f64::NAN, |value| sign * (value - goal));
                near = solved;
                off
            });
            if dose > 0.0 && !is_cap {
                hint = dose;
            }
            Some(dose)
        });
        doses.collect()
    }

    /// [`Self::demands`] of a product, poured as [`Self::after`] pours it.
    pub(crate) fn demands_of(
        &self,
        showing: &Showing,
        sought: (Looked, f64, f64),
        most: Most,
        product: &ProductBelief,
    ) -> Vec<f64> {
        let tool = Poured::of(product, &product.pour);
        self.demands(showing, sought, most, |member, tank, amount| tool.tank(member, tank, amount))
    }

    /// After a pour of so many units of a product, each member with its own strength.
    #[must_use]
    pub fn after(&self, product: &ProductBelief, pour: &Pour, amount: f64) -> Self {
        let poured = Poured::of(product, pour);
        let tanks =
            self.members.iter().zip(&self.tanks).map(|(member, tank)| poured.tank(member, tank, amount)).collect();
        Self::of(self.members, tanks, true)
    }

    /// After a pour of as much of a product as each story needs, in the order of the members.
    #[must_use]
    pub(super) fn after_each(&self, product: &ProductBelief, amounts: &[f64]) -> Self {
        let poured = Poured::of(product, &product.pour);
        let stories = self.members.iter().zip(&self.tanks).zip(amounts);
        let tanks = stories.map(|((member, tank), amount)| poured.tank(member, tank, *amount)).collect();
        Self::of(self.members, tanks, true)
    }

    /// The members.
    pub(super) fn members(&self) -> &'a [Member] {
        self.members
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
        Self::of(self.members, tanks, true)
    }

    /// pH and EC of every member just mixed; a member that can't be solved is left out.
    pub fn points(&self, showing: &Showing) -> Vec<Point> {
        self.mixed(showing).iter().flatten().filter_map(|solved| showing.point(solved).ok()).collect()
    }

    /// The `p` quantile of pH just mixed.
    pub fn ph(&self, showing: &Showing, p: f64) -> f64 {
        let mut values: Vec<f64> = self.mixed(showing).iter().flatten().map(Speciation::ph).collect();
        quantile(&mut values, p)
    }

    /// pH of every member after the room's air has had its way.
    pub fn settled(&self, showing: &Showing) -> Vec<f64> {
        self.aired(showing).iter().flatten().map(Speciation::ph).collect()
    }

    /// The `p` quantile of pH after breathing.
    pub fn settled_ph(&self, showing: &Showing, p: f64) -> f64 {
        quantile(&mut self.settled(showing), p)
    }

    /// Share of members that cross an edge. A pour that lowers pH is judged just mixed: what carbon dioxide leaves behind is
    /// less sour. One that raises it is judged just mixed and after breathing, which raises it further.
    pub fn crossing(&self, showing: &Showing, edge: f64, below: bool) -> f64 {
        let both = self.mixed(showing).iter().zip(self.aired(showing));
        let solved: Vec<(f64, f64)> =
            both.filter_map(|(mixed, aired)| Some((mixed.as_ref()?.ph(), aired.as_ref()?.ph()))).collect();
        let over = solved.iter().filter(|(mixed, aired)| if below { *mixed < edge } else { mixed.max(*aired) > edge });
        over.count() as f64 / solved.len().max(1) as f64
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
        let solved = self.mixed(showing).iter().zip(self.aired(showing));
        for (i, ((member, tank), (mixed, aired))) in self.members.iter().zip(&self.tanks).zip(solved).enumerate() {
            let (Some(mixed), Some(aired)) = (mixed, aired) else { continue };
            // As `Tank::breathed`, from solutions that are near.
            let left = (-member.exchange_per_h * hours).exp();
            let carbon = aired.total_carbon() + (tank.totals[Component::C] - aired.total_carbon()) * left;
            let totals = tank.totals.with(Component::C, carbon.max(0.0));
            let near = if left < 0.5 { aired } else { mixed };
            let breathed = showing.medium().solve_from(near, &totals, Carbon::Kept);
            let Ok(point) = breathed.and_then(|solved| showing.point(&solved)) else { continue };
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

    /// Whether anything went in, or was thinned, on the way here.
    pub(crate) fn is_poured(&self) -> bool {
        self.touched
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

impl Planner {
    /// Far more of a product than any story needs, in its unit.
    pub(super) fn most_of(&self, product: &ProductBelief) -> f64 {
        let per_unit = if matches!(product.role, Role::Feed | Role::CalMag) {
            // A tenth of an equivalent a litre makes about 10 mS/cm, far past any zone.
            product.pour.moles.iter().map(|(c, moles)| f64::from(c.charge().max(0)) * moles).sum::<f64>() / 0.1
        } else {
            // Twenty meq/L is past the alkalinity of any water that this plans for.
            product.pour.moles.alkalinity().abs() / 0.020
        };
        self.knowledge.level_l / per_unit.max(1e-5)
    }
}

/// How a product goes into a story's tank.
struct Poured<'a> {
    product: &'a ProductBelief,
    pour: &'a Pour,
    part: Option<&'a Part>,
}

impl<'a> Poured<'a> {
    fn of(product: &'a ProductBelief, pour: &'a Pour) -> Self {
        let part = product.parts.iter().find(|part| part.pour.id == pour.id).or(product.parts.first());
        Self { product, pour, part }
    }

    fn tank(&self, member: &Member, tank: &Tank, amount: f64) -> Tank {
        let (moles, factor) = match self.product.role {
            Role::Feed => (self.pour.moles, member.feed_factor),
            Role::CalMag => (self.pour.moles, member.calmag_factor),
            Role::Silicate => (self.pour.moles, member.silicate_factor),
            Role::PhDown => (self.product.moles_at(member.ph_kind), member.ph_down_factor),
            Role::PhUp => (self.product.moles_at(member.ph_kind), member.ph_up_factor),
        };
        // The tool's own error comes on top: drops and scoops scatter more than a syringe's marks.
        let measured = (self.part.map_or(0.03, |part| ln_sd(part, amount)) * member.pour_z).exp();
        tank.with(&moles.scaled(factor * measured), self.pour.water_g, amount)
    }
}

/// The dose, at most `most`, at which a quantity that changes one way with the dose reaches a goal; `most` if it does not,
/// zero if it is past the goal already. `off` is below zero short of the goal, `at_zero` is its value at no dose, `hint` a
/// dose that may be near.
///
/// False position with halving (Illinois), stopping at a thousandth of the dose, finer than any tool, or where no meter could
/// tell the quantity from its goal.
fn dose_from(at_zero: f64, most: f64, hint: f64, mut off: impl FnMut(f64) -> f64) -> f64 {
    /// pH, or mS/cm.
    const NEAR: f64 = 2e-4;
    let (mut low, mut at_low) = (0.0, at_zero);
    if at_low.is_nan() || at_low >= 0.0 {
        return 0.0;
    }
    let mut high = hint.clamp(most / 1024.0, most);
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
    for _ in 0..20 {
        if high - low <= 1e-3 * high {
            break;
        }
        let middle = (low * at_high - high * at_low) / (at_high - at_low);
        let middle = middle.clamp(low + 0.02 * (high - low), high - 0.02 * (high - low));
        let at_middle = off(middle);
        if at_middle.abs() < NEAR {
            return middle;
        }
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
