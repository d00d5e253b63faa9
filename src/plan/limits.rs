//! Parts of the map that one can't or shouldn't enter: cloudy mixes, the rim, still jars, and what was never checked.

use crate::chem::{ChemError, Mineral, Totals};
use crate::dose::{Landing, Point, Tank, Warning, clouding, with_base};

use super::Planner;
use super::words::figure;

/// On which side of its edge a limit lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Less EC.
    Below,
    /// More EC.
    Above,
    /// Lower pH.
    Left,
    /// Higher pH.
    Right,
}

/// A part of the map that one can't or shouldn't enter.
#[derive(Clone, Debug, PartialEq)]
pub struct MapLimit {
    /// Where it begins; by rising pH for `Below` and `Above`, by rising EC for `Left` and `Right`.
    pub edge: Vec<Point>,
    /// On which side.
    pub side: Side,
    /// Why, in a few words.
    pub words: String,
    /// Whether it can't be entered at all, or only shouldn't.
    pub is_hard: bool,
}

/// An edge across all of pH.
fn level(ec_ms_cm: f64) -> Vec<Point> {
    vec![Point { ph: 0.0, ec_ms_cm }, Point { ph: 14.0, ec_ms_cm }]
}

/// An edge through all of EC.
fn upright(ph: f64) -> Vec<Point> {
    vec![Point { ph, ec_ms_cm: 0.0 }, Point { ph, ec_ms_cm: 50.0 }]
}

/// A pour that could raise EC past this before the rim is reached has no rim on any map, mS/cm.
const RIM_MATTERS_BELOW: f64 = 8.0;
/// Charges of all ions, eq per kg of water, past which no rim is looked for: some 20 mS/cm. Ours.
const FAR_EQ_KG: f64 = 0.5;
/// Cations, eq per kg of water, of one step of strength: about 1.5 mS/cm (a tenth of an equivalent a litre makes about 10).
const STEP_EQ_KG: f64 = 0.015;
/// Shares of source water by which the landing is thinned, to see where it clouds.
const THINNED: [f64; 5] = [0.9, 0.7, 0.5, 0.3, 0.15];
/// Steps of [`STEP_EQ_KG`] by which it is made stronger.
const STRENGTHENED: [f64; 8] = [0.0, 0.25, 0.5, 0.75, 1.0, 1.5, 2.0, 3.0];
/// Strong base, meq/kg, in ever larger steps: saturation may turn back when much is added, so the first onset is looked for.
const BASE_STEPS: [f64; 8] = [-3.0, -1.0, 0.0, 1.0, 3.0, 7.0, 15.0, 30.0];
/// Strong acid, meq/kg below nought, in which only what falls out at any pH does.
const MUCH_ACID: f64 = -30.0;

impl Planner {
    /// The limits about a landing.
    ///
    /// # Errors
    /// Those of the chemistry.
    pub fn limits(&self, landing: &Landing) -> Result<Vec<MapLimit>, ChemError> {
        let mut limits = Vec::new();
        limits.push(self.thinnest()?);
        limits.extend(self.rim()?);
        limits.extend(self.cloudy(landing)?);
        let (low, high) = Warning::CHECKED_PH;
        let unchecked = |edge, side| MapLimit {
            edge,
            side,
            words: "outside what the model was checked for".to_owned(),
            is_hard: false,
        };
        limits.push(unchecked(upright(low), Side::Left));
        limits.push(unchecked(upright(high), Side::Right));
        limits.push(unchecked(level(Warning::CHECKED_EC_MS_CM), Side::Above));
        Ok(limits)
    }

    /// Room under the rim, L, rounded down to decilitres: by what was said of the level or by what is believed of it, the
    /// smaller, for it is better to believe a tank too full than too empty.
    fn room_l(&self, tank: &Tank) -> f64 {
        let density = self.knowledge.showing.medium().water_density_kg_l();
        let believed = self.belief.state.default.water_kg / density;
        let added = tank.water_kg / density - believed;
        let room = self.knowledge.tank_l - believed.max(self.knowledge.level_l) - added;
        (room.max(0.0) * 10.0 + 1e-6).floor() / 10.0
    }

    /// How thin the water can be made without taking any out.
    fn thinnest(&self) -> Result<MapLimit, ChemError> {
        let tank = self.default_now(&[]);
        let showing = &self.knowledge.showing;
        let now = showing.of(&tank.totals)?.ec_ms_cm;
        if self.kind.level_must_not_rise() && self.plants_in {
            let words = "thinner only by a change of water: on top it would drown the air roots".to_owned();
            return Ok(MapLimit { edge: level(now), side: Side::Below, words, is_hard: true });
        }
        let room_l = self.room_l(&tank);
        let water_kg = room_l * showing.medium().water_density_kg_l();
        let thin = showing.of(&tank.mixed(&Tank { totals: self.knowledge.known.water, water_kg }).totals)?.ec_ms_cm;
        let words = if room_l <= 0.0 {
            "thinner only by a change of water: the tank is full".to_owned()
        } else if thin >= now {
            "thinner only with purer water than your source".to_owned()
        } else {
            format!("thinner than {room_l:.1} L more water can make it")
        };
        Ok(MapLimit { edge: level(thin.min(now)), side: Side::Below, words, is_hard: true })
    }

    /// How strong the water can be made with the feed on the shelf before it runs over.
    fn rim(&self) -> Result<Option<MapLimit>, ChemError> {
        let Some(feed) = &self.knowledge.feed else { return Ok(None) };
        if feed.pour.volume_ml <= 0.0 || feed.pour.unit != "mL" {
            return Ok(None);
        }
        let tank = self.default_now(&[]);
        // Millilitres count here, so the room is not rounded to decilitres when there is some.
        let density = self.knowledge.showing.medium().water_density_kg_l();
        let room_l = (self.knowledge.tank_l - tank.water_kg / density).max(0.0);
        let most_ml = 1e3 * room_l / feed.pour.volume_ml;
        let strong = tank.with(&feed.pour.moles, feed.pour.water_g, most_ml);
        // Far past any map the chemistry need not be asked: a litre of feed in a litre of water.
        let charges: f64 = strong.totals.iter().map(|(c, mol)| f64::from(c.charge().abs()) * mol).sum();
        if charges > FAR_EQ_KG {
            return Ok(None);
        }
        let ec_ms_cm = self.knowledge.showing.of(&strong.totals)?.ec_ms_cm;
        Ok((ec_ms_cm < RIM_MATTERS_BELOW).then(|| MapLimit {
            edge: level(ec_ms_cm),
            side: Side::Above,
            words: format!("stronger than the {} mL of feed that fit in", figure(most_ml)),
            is_hard: true,
        }))
    }

    /// From which pH on a solid may fall out of this water, as it gets thinner or stronger by what is on the shelf.
    fn cloudy(&self, landing: &Landing) -> Result<Option<MapLimit>, ChemError> {
        let mut edge = Vec::new();
        let mut minerals: Vec<(f64, Mineral)> = Vec::new();
        for totals in self.strengths(landing) {
            if let Some((at, mineral)) = self.onset(&totals)? {
                minerals.push(((at.ec_ms_cm - landing.just_mixed.ec_ms_cm).abs(), mineral));
                edge.push(at);
            }
        }
        edge.sort_by(|a, b| a.ec_ms_cm.total_cmp(&b.ec_ms_cm));
        let nearest = minerals.into_iter().min_by(|(a, _), (b, _)| a.total_cmp(b));
        Ok(nearest.filter(|_| edge.len() > 1).map(|(_, mineral)| MapLimit {
            edge,
            side: Side::Right,
            words: Warning::MayCloud { mineral, saturation_index: 0.0, crept_to_ph: None }.short(),
            is_hard: false,
        }))
    }

    /// The water of the landing thinned with source water, and strengthened with feed, in even steps of strength.
    fn strengths(&self, landing: &Landing) -> Vec<Totals> {
        let here = landing.tank.totals;
        let source = self.knowledge.known.water;
        let full = self.knowledge.feed.as_ref().map(|feed| {
            let cations: f64 = feed.pour.moles.iter().map(|(c, mol)| f64::from(c.charge().max(0)) * mol).sum();
            feed.pour.moles.scaled(STEP_EQ_KG / cations.max(1e-9))
        });
        let strengthened = |by: f64| match &full {
            Some(feed) => here.plus_scaled(feed, by),
            None => here.scaled(1.0 + by),
        };
        let thinned = THINNED.map(|share| here.scaled(1.0 - share).plus_scaled(&source, share));
        thinned.into_iter().chain(STRENGTHENED.map(strengthened)).collect()
    }

    /// The lowest pH at which a solid may fall, by adding strong base; none where none does.
    fn onset(&self, totals: &Totals) -> Result<Option<(Point, Mineral)>, ChemError> {
        let showing = &self.knowledge.showing;
        let medium = showing.medium();
        let mut near = medium.solve(totals, crate::chem::Carbon::Kept)?;
        let mut at = |meq: f64| -> Result<(Option<(Mineral, f64)>, Point), ChemError> {
            let based = with_base(totals, meq);
            let solved = medium
                .solve_from(&near, &based, crate::chem::Carbon::Kept)
                .or_else(|_| medium.solve(&based, crate::chem::Carbon::Kept))?;
            let answer = (clouding(&solved, showing), showing.point(&solved)?);
            near = solved;
            Ok(answer)
        };
        let is_cloudy = |found: Option<(Mineral, f64)>| found.filter(|(_, past)| *past > 0.0);
        // What falls out of acid too, such as gypsum, does so at any pH, and its edge stands at the water's own EC.
        if let Some((mineral, _)) = is_cloudy(at(MUCH_ACID)?.0) {
            return Ok(Some((Point { ph: 0.0, ..at(0.0)?.1 }, mineral)));
        }
        let mut clear = MUCH_ACID;
        let mut first = None;
        for meq in BASE_STEPS {
            if let Some(found) = is_cloudy(at(meq)?.0) {
                first = Some((meq, found));
                break;
            }
            clear = meq;
        }
        let Some((mut cloudy, mut found)) = first else { return Ok(None) };
        let mut onset = Point::default();
        for _ in 0..16 {
            let middle = f64::midpoint(clear, cloudy);
            let (here, point) = at(middle)?;
            match is_cloudy(here) {
                Some(here) => (cloudy, found, onset) = (middle, here, point),
                None => clear = middle,
            }
        }
        if onset == Point::default() {
            onset = at(cloudy)?.1;
        }
        Ok(Some((onset, found.0)))
    }
}
