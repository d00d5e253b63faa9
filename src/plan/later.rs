//! The water some time after the pours: carbon dioxide has moved towards the room's air, each story at its own rate.

use crate::dose::{Cloud, Point};
use crate::learn::quantile;

use super::Planner;

/// Moments worth looking at, hours after mixing. Ours: a pump or a stir takes a quarter of an hour, a first creep shows in
/// an hour, and by a day most tanks have come to rest.
pub const LOOK_AHEAD_H: [f64; 6] = [0.0, 0.25, 1.0, 4.0, 12.0, 24.0];

/// Where the water is some time after the pours.
#[derive(Clone, Debug, PartialEq)]
pub struct Later {
    /// The likeliest tank.
    pub at: Point,
    /// pH: 1 in 10 below, middle, 1 in 10 above.
    pub ph: (f64, f64, f64),
    /// Outlines of where the stories are.
    pub cloud: Cloud,
}

impl Planner {
    /// Where amounts of products, in order, have taken the water after so many hours; infinitely many give the rest that it
    /// comes to in room air.
    ///
    /// # Errors
    /// Those of the chemistry on the default state.
    pub fn later(&self, pours: &[(String, f64)], hours: f64) -> Result<Later, crate::chem::ChemError> {
        let showing = &self.knowledge.showing;
        let medium = showing.medium();
        let exchange_per_h = self.belief.quantile(0.5, |member| member.exchange_per_h);
        let room = self.belief.quantile(0.5, |member| member.room_log10_pco2);
        let tank = self.poured(self.default_now(&[]), pours);
        let at = showing.of(&tank.breathed(medium, room, exchange_per_h, hours)?.totals)?;
        let forecast = self.crowd_after(pours);
        let points: Vec<Point> = self
            .belief
            .members
            .iter()
            .zip(&forecast.tanks)
            .filter_map(|(member, tank)| {
                let breathed = tank.breathed(medium, member.room_log10_pco2, member.exchange_per_h, hours).ok()?;
                showing.of(&breathed.totals).ok()
            })
            .collect();
        let mut values: Vec<f64> = points.iter().map(|point| point.ph).collect();
        let ph = (quantile(&mut values, 0.1), quantile(&mut values, 0.5), quantile(&mut values, 0.9));
        Ok(Later { at, ph, cloud: Cloud::about(&points) })
    }
}
