//! The members and how a reading moves them.

use crate::chem::{Carbon, ChemError, Component, Totals, log10_pco2_from_ppm};
use crate::dose::{InferError, Known, Point, Pour, ROOM_AIR_PPM, Tank, TankState, infer};
use crate::garden::Role;

use super::prior::{AXES, Axis, MEMBERS, normals, sample};
use super::smoother::{Datum, assimilate, noise_needed};
use super::{Knowledge, ProductBelief};

/// One consistent story of the tank.
#[derive(Clone, Debug, PartialEq)]
pub struct Member {
    /// The tank now.
    pub tank: Tank,
    /// Alkalinity of the source water, meq/L.
    pub source_alkalinity_meq_l: f64,
    /// The source water itself, per kg.
    pub source: Totals,
    /// What the pH meter shows above the truth.
    pub ph_offset: f64,
    /// What the EC meter shows over the truth.
    pub ec_gain: f64,
    /// True strength over stated strength of what is poured next.
    pub feed_factor: f64,
    /// See `feed_factor`.
    pub ph_down_factor: f64,
    /// See `feed_factor`.
    pub ph_up_factor: f64,
    /// See `feed_factor`.
    pub calmag_factor: f64,
    /// Which of the possible substances an unlabelled pH product is: 0 to 1, by their shares.
    pub ph_kind: f64,
    /// How far, in the tool's own sds of the logarithm, a pour is over what was meant.
    pub pour_z: f64,
    /// Exchange of carbon dioxide with the room, per hour.
    pub exchange_per_h: f64,
    /// log10 of the room's carbon dioxide, atm.
    pub room_log10_pco2: f64,
}

/// Why no belief could be formed.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum BeliefError {
    /// The reading could not be explained.
    #[error(transparent)]
    Infer(#[from] InferError),
    /// The chemistry failed.
    #[error(transparent)]
    Chemistry(#[from] ChemError),
    /// The stories do not show what was read, even after they were moved.
    #[error(
        "the meter showed {read:.2} where this tank, by all that was told, should show {believed:.2}: read again, and check the facts"
    )]
    Contradiction {
        /// What was read.
        read: f64,
        /// What the middle story shows.
        believed: f64,
    },
    /// Too few stories came out alive.
    #[error("only {alive} of {asked} stories of this tank could be solved")]
    TooFew {
        /// How many did.
        alive: usize,
        /// Out of how many.
        asked: usize,
    },
}

/// What is believed about a tank.
#[derive(Clone, Debug, PartialEq)]
pub struct Belief {
    /// The default point, of which the members are the spread.
    pub state: TankState,
    /// The members; all weigh the same.
    pub members: Vec<Member>,
}

/// The `p` quantile (0 to 1) of some values, between neighbours by straight line; the values are sorted in passing.
/// NaN for none.
pub fn quantile(values: &mut [f64], p: f64) -> f64 {
    values.sort_by(f64::total_cmp);
    let Some(last) = values.len().checked_sub(1) else { return f64::NAN };
    let place = p.clamp(0.0, 1.0) * last as f64;
    let below = index(place).min(last);
    let low = values[below];
    let high = values[(below + 1).min(last)];
    low + (high - low) * (place - below as f64)
}

/// The whole part of a place in a list.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to what a usize surely holds")]
fn index(place: f64) -> usize {
    place.clamp(0.0, 1e9) as usize
}

impl Belief {
    /// The belief from what is known. The same knowledge and seed give the same members.
    ///
    /// # Errors
    /// [`BeliefError`] where the reading can't be explained or the stories can't be solved.
    pub fn of(knowledge: &Knowledge, seed: u64) -> Result<Self, BeliefError> {
        Self::of_size(knowledge, seed, MEMBERS)
    }

    /// The same with another number of members, rounded up to an even one of at least two: more for a finer cloud, at their cost in time.
    ///
    /// # Errors
    /// As [`Self::of`].
    pub fn of_size(knowledge: &Knowledge, seed: u64, members: usize) -> Result<Self, BeliefError> {
        let members = members.max(2).next_multiple_of(2);
        match Self::trusting(knowledge, seed, members) {
            // The log does not fit the reading: believe the water, and take what was logged as unknown.
            Err(BeliefError::Contradiction { .. }) => Self::trusting(&knowledge.without_log(), seed, members),
            other => other,
        }
    }

    fn trusting(knowledge: &Knowledge, seed: u64, members: usize) -> Result<Self, BeliefError> {
        let first = infer(&knowledge.known, knowledge.seen, &knowledge.showing)?;
        let model = Model::new(knowledge, &first);
        let mut coordinates = sample(seed, members);
        let data = model.data();
        let noise = normals(seed ^ 0x00c0_ffee_ca11, noise_needed(coordinates.len(), data.len()));
        assimilate(&mut coordinates, &data, &noise, |z| model.shown(z));
        for (z, jitter) in coordinates.iter_mut().zip(&noise) {
            model.conform(z, *jitter);
        }
        model.check(&coordinates, &data)?;
        let members: Vec<Member> = coordinates.iter().filter_map(|z| model.member(z)).collect();
        if members.len() < coordinates.len() / 2 {
            return Err(BeliefError::TooFew { alive: members.len(), asked: coordinates.len() });
        }
        let state = refined(knowledge, &members)?;
        Ok(Self { state, members })
    }

    /// The `p` quantile over the members of something.
    pub fn quantile(&self, p: f64, of: impl Fn(&Member) -> f64) -> f64 {
        let mut values: Vec<f64> = self.members.iter().map(of).filter(|value| value.is_finite()).collect();
        quantile(&mut values, p)
    }
}

/// The default state anew, from the source water that the members have come to agree on.
fn refined(knowledge: &Knowledge, members: &[Member]) -> Result<TankState, BeliefError> {
    let mut by_alkalinity: Vec<&Member> = members.iter().collect();
    by_alkalinity.sort_by(|a, b| a.source_alkalinity_meq_l.total_cmp(&b.source_alkalinity_meq_l));
    // A tenth of the members about a place stands for it: one alone would bring its own other anions with it.
    let width = members.len() / 10;
    let about = |p: f64| {
        let from = index(p * (members.len() - width) as f64).min(members.len() - width);
        let near = &by_alkalinity[from..from + width];
        let share = 1.0 / near.len() as f64;
        let alkalinity = near.iter().map(|m| m.source_alkalinity_meq_l * share).sum::<f64>();
        (alkalinity, near.iter().fold(Totals::ZERO, |sum, m| sum.plus_scaled(&m.source, share)))
    };
    let middle = |of: fn(&Member) -> f64| {
        let mut values: Vec<f64> = members.iter().map(of).collect();
        quantile(&mut values, 0.5)
    };
    let strengths = Strengths {
        feed: middle(|m| m.feed_factor),
        calmag: middle(|m| m.calmag_factor),
        ph_down: middle(|m| m.ph_down_factor),
        ph_up: middle(|m| m.ph_up_factor),
        ph_kind: middle(|m| m.ph_kind),
    };
    let moles = |only_recent: bool| {
        let counted = knowledge.added.iter().filter(|added| added.recent || !only_recent);
        counted.fold(Totals::ZERO, |sum, added| {
            let product = knowledge.product_for(added.role);
            product.map_or(sum, |product| sum.plus_scaled(&strengths.moles(product), added.per_kg))
        })
    };
    let topped = |(alkalinity, totals): (f64, Totals)| (alkalinity, totals.scaled(1.0 + knowledge.topped_ratio));
    let known = Known {
        water: topped(about(0.5)).1,
        softer: topped(about(0.1)),
        harder: topped(about(0.9)),
        added: moles(false),
        recent: moles(true),
        ..knowledge.known.clone()
    };
    Ok(infer(&known, knowledge.seen, &knowledge.showing)?)
}

/// Standard normal to the share of a population below it, by the logistic approximation (error below 0.01; Bowling et al.
/// 2009, J. Ind. Eng. Manag. 2, 114): good enough to split members among kinds.
fn share_below(z: f64) -> f64 {
    1.0 / (1.0 + (-0.07056 * z.powi(3) - 1.5976 * z).exp())
}

/// The prior of alkalinity has fat tails: mislabelled water is the main danger of an overshoot.
/// Source: the trial with invented households, `x -> x (0.85 + 0.07 x²)`.
fn fat(z: f64) -> f64 {
    z * (0.85 + 0.07 * z * z)
}

/// log10 of the carbon dioxide in a member's room, atm.
fn room(z: &[f64; AXES]) -> f64 {
    let (low, high) = (log10_pco2_from_ppm(ROOM_AIR_PPM.0), log10_pco2_from_ppm(ROOM_AIR_PPM.1));
    low + (high - low) * share_below(z[Axis::Room as usize])
}

/// From coordinates to what the meters show.
struct Model<'a> {
    knowledge: &'a Knowledge,
    feed_mean: f64,
    feed_sd: f64,
    /// Salts in the tank over those that are known of, where no feed explains the EC.
    salt_ratio: Option<f64>,
}

/// One story on the way to a member.
struct Story {
    source: Totals,
    source_point: Option<Point>,
    alkalinity_meq_l: f64,
    tank: Totals,
    point: Point,
}

/// Spread of salts that nothing on the shelf explains, 1 sd of the logarithm. Ours.
const SALT_LN_SD: f64 = 0.2;

/// An EC that no known feed explains, or far below the source water's: the same salts, denser or thinner, as the default
/// state takes it. `None` where a feed explains it.
fn salt_ratio(knowledge: &Knowledge) -> Option<f64> {
    let known = &knowledge.known;
    let read_ms_cm = knowledge.seen.ec_ms_cm?;
    let base_ms_cm = knowledge.showing.of(&known.water.plus(&known.added)).ok()?.ec_ms_cm;
    let ratio = (read_ms_cm / base_ms_cm.max(1e-6)).clamp(0.05, 20.0);
    (knowledge.feed.is_none() || ratio < 0.9).then_some(ratio)
}

/// Strengths in one story.
struct Strengths {
    feed: f64,
    calmag: f64,
    ph_down: f64,
    ph_up: f64,
    ph_kind: f64,
}

impl Strengths {
    /// What one unit of a product brings.
    fn moles(&self, product: &ProductBelief) -> Totals {
        let factor = match product.role {
            Role::Feed => self.feed,
            Role::CalMag => self.calmag,
            Role::PhDown => self.ph_down,
            Role::PhUp => self.ph_up,
        };
        product.moles_at(self.ph_kind).scaled(factor)
    }
}

impl<'a> Model<'a> {
    fn new(knowledge: &'a Knowledge, state: &TankState) -> Self {
        // With an EC reading the prior of the feed's share is as good as flat; without one, what was logged is all there is.
        let (feed_mean, feed_sd) = if knowledge.seen.ec_ms_cm.is_some() {
            (
                state.feed_per_kg,
                if state.feed_per_kg > 0.0 { 0.35 * state.feed_per_kg + knowledge.feed_step() } else { 0.0 },
            )
        } else {
            (knowledge.feed_logged_per_kg, 0.2 * knowledge.feed_logged_per_kg)
        };
        Self { knowledge, feed_mean, feed_sd, salt_ratio: salt_ratio(knowledge) }
    }

    fn data(&self) -> Vec<Datum> {
        let k = self.knowledge;
        let mut data = Vec::new();
        if let Some(ec) = k.source_seen.ec_ms_cm {
            data.push(Datum { value: ec, sd: k.ec_noise(ec), is_ph: false });
        }
        if let Some(ph) = k.source_seen.ph {
            data.push(Datum { value: ph, sd: k.ph_noise(k.source_seen.ec_ms_cm), is_ph: true });
        }
        if let Some(ec) = k.seen.ec_ms_cm {
            data.push(Datum { value: ec, sd: k.ec_noise(ec), is_ph: false });
        }
        if let Some(ph) = k.seen.ph {
            data.push(Datum { value: ph, sd: k.ph_noise(k.seen.ec_ms_cm), is_ph: true });
        }
        data
    }

    fn shown(&self, z: &[f64; AXES]) -> Option<Vec<f64>> {
        let k = self.knowledge;
        let story = self.story(z)?;
        let (offset, gain) = (self.ph_offset(z), self.ec_gain(z));
        let mut shown = Vec::with_capacity(4);
        if let Some(point) = story.source_point {
            if k.source_seen.ec_ms_cm.is_some() {
                shown.push(point.ec_ms_cm * gain);
            }
            if k.source_seen.ph.is_some() {
                shown.push(point.ph + offset);
            }
        }
        if k.seen.ec_ms_cm.is_some() {
            shown.push(story.point.ec_ms_cm * gain);
        }
        if k.seen.ph.is_some() {
            shown.push(story.point.ph + offset);
        }
        Some(shown)
    }

    fn ph_offset(&self, z: &[f64; AXES]) -> f64 {
        self.knowledge.meter.ph_instrument.ph_sd() * z[Axis::PhOffset as usize]
    }

    fn ec_gain(&self, z: &[f64; AXES]) -> f64 {
        (self.knowledge.meter.ec_relative_sd * z[Axis::EcGain as usize]).exp()
    }

    fn volume_ratio(&self, z: &[f64; AXES]) -> f64 {
        // Whatever was said of the volume, the tank holds no more than a little above its stated size.
        let k = self.knowledge;
        k.volume_ratio.at(z[Axis::Volume as usize]).min(1.1 * k.tank_l.max(k.level_l) / k.level_l)
    }

    /// True over stated strength of each product on the shelf. A pH-lowering and a pH-raising product share a coordinate, each
    /// with its own width.
    fn strengths(&self, z: &[f64; AXES]) -> Strengths {
        let k = self.knowledge;
        let factor = |role: Role, axis: Axis| {
            k.product_for(role).map_or(1.0, |product| (product.ln_sd * z[axis as usize]).exp())
        };
        Strengths {
            feed: factor(Role::Feed, Axis::FeedStrength),
            calmag: factor(Role::CalMag, Axis::CalMagStrength),
            ph_down: factor(Role::PhDown, Axis::PhStrength),
            ph_up: factor(Role::PhUp, Axis::PhStrength),
            ph_kind: share_below(z[Axis::PhKind as usize]),
        }
    }

    fn story(&self, z: &[f64; AXES]) -> Option<Story> {
        let k = self.knowledge;
        let medium = k.showing.medium();
        let alkalinity_meq_l = k.alkalinity.at(fat(z[Axis::Alkalinity as usize]));
        let ions = k.source_ions(alkalinity_meq_l, k.other_anions.at(z[Axis::OtherAnions as usize]));
        let source_pressure = k.source_pco2.at(z[Axis::SourceCarbon as usize]).min(0.0);
        let drawn = medium.solve(&ions, Carbon::Balance { log10_pco2_atm: source_pressure }).ok()?;
        let source = *drawn.totals();
        let wanted = k.source_seen.ec_ms_cm.is_some() || k.source_seen.ph.is_some();
        let source_point = if wanted { Some(k.showing.point(&drawn).ok()?) } else { None };
        // What was poured before the reading is as strong as what will be poured next: the reading tells of both.
        let strengths = self.strengths(z);
        let poured = |recent: bool| {
            k.added.iter().filter(|added| added.recent == recent).fold(Totals::ZERO, |sum, added| {
                let moles = k.product_for(added.role).map_or(Totals::ZERO, |product| strengths.moles(product));
                sum.plus_scaled(&moles, added.per_kg / self.volume_ratio(z))
            })
        };
        let mut tank = source.scaled(1.0 + k.topped_ratio).plus(&poured(false));
        if let Some(feed) = &k.feed {
            let amount = (self.feed_mean + self.feed_sd * z[Axis::FeedShare as usize]).max(0.0);
            tank = tank.plus_scaled(&feed.pour.moles, amount);
            // Labels do not balance charge: free acid or base beyond what the closure rule took.
            let free_acid = feed.free_acid_sd_eq * z[Axis::FeedAcid as usize] * amount;
            tank = crate::dose::with_base(&tank, -free_acid * 1e3);
        }
        if let Some(ratio) = self.salt_ratio {
            tank = tank.scaled(ratio * (SALT_LN_SD * z[Axis::FeedShare as usize]).exp());
        }
        let closing = &k.known.closing;
        tank = crate::dose::with_base(&tank, closing.remainder_sd_meq_l * z[Axis::Remainder as usize]);
        let solved = if let Some(hours) = k.fresh_h {
            // Not yet in balance with anything: the source's carbon, less what has left since.
            let fresh = Tank { totals: tank, water_kg: 1.0 };
            let rate = k.exchange.at(z[Axis::Exchange as usize]);
            let breathed = fresh.breathed(medium, room(z), rate, hours).ok()?;
            let carbon = breathed.totals[Component::C] * (0.08 * z[Axis::TankCarbon as usize]).exp();
            medium.solve(&breathed.totals.with(Component::C, carbon), Carbon::Kept).ok()?
        } else {
            let pressure = closing.log10_pco2_mean + closing.log10_pco2_sd * z[Axis::TankCarbon as usize];
            let stood = medium.solve(&tank, Carbon::Balance { log10_pco2_atm: pressure.clamp(-7.0, 0.0) }).ok()?;
            match k.recent_h {
                None => stood,
                // Acid into water that had stood: its carbon dioxide leaves from then on.
                Some(hours) => {
                    let totals = stood.totals().plus(&poured(true));
                    let rate = k.exchange.at(z[Axis::Exchange as usize]);
                    let breathed = Tank { totals, water_kg: 1.0 }.breathed(medium, room(z), rate, hours).ok()?;
                    medium.solve(&breathed.totals, Carbon::Kept).ok()?
                }
            }
        };
        let point = k.showing.point(&solved).ok()?;
        Some(Story { source, source_point, alkalinity_meq_l, tank: *solved.totals(), point })
    }

    /// Whether the moved stories show the data: the middle one within two and a half of the meter's own sds.
    fn check(&self, members: &[[f64; AXES]], data: &[Datum]) -> Result<(), BeliefError> {
        const FAR_SDS: f64 = 2.5;
        let shown: Vec<Vec<f64>> = members.iter().filter_map(|z| self.shown(z)).collect();
        let meter = &self.knowledge.meter;
        for (i, datum) in data.iter().enumerate() {
            let mut values: Vec<f64> = shown.iter().filter_map(|shown| shown.get(i).copied()).collect();
            let believed = quantile(&mut values, 0.5);
            let instrument = if datum.is_ph { meter.ph_instrument.ph_sd() } else { meter.ec_relative_sd * datum.value };
            if (believed - datum.value).abs() > FAR_SDS * datum.sd.hypot(instrument) {
                return Err(BeliefError::Contradiction { read: datum.value, believed });
            }
        }
        Ok(())
    }

    /// Makes a story that grossly misses the pH read show it, by acid or base that nobody logged.
    ///
    /// The smoother's steps are straight, the titration curve is not: where much acid of unknown strength went in, stories
    /// stop on the far side of the jump. What they say of strengths stays; the water in them must be the one that was read.
    fn conform(&self, z: &mut [f64; AXES], jitter: f64) {
        const REMAINDER: usize = Axis::Remainder as usize;
        /// Nearer misses are left to the smoother: pulling them in as well made the stated ranges too narrow.
        const GROSS_SDS: f64 = 6.0;
        let k = self.knowledge;
        let Some(ph) = k.seen.ph else { return };
        let sd = k.ph_noise(k.seen.ec_ms_cm);
        let offset = self.ph_offset(z);
        let mut trial = *z;
        let mut off = |remainder: f64, goal: f64| {
            trial[REMAINDER] = remainder;
            self.story(&trial).map(|story| story.point.ph + offset - ph - goal)
        };
        let start = z[REMAINDER];
        if off(start, 0.0).is_none_or(|here| here.abs() <= GROSS_SDS * sd) {
            return;
        }
        let goal = sd * jitter.clamp(-2.0, 2.0);
        let Some(here) = off(start, goal) else { return };
        // Far more than any tank's history explains, meq/L; then the story stays as it is.
        let most = 50.0 / k.known.closing.remainder_sd_meq_l;
        let (mut near, mut reach) = (start, 0.5_f64.copysign(-here));
        let mut far = start + reach;
        while off(far, goal).is_some_and(|there| there * here > 0.0) {
            (near, reach) = (far, reach * 2.0);
            far = start + reach;
            if reach.abs() > most {
                return;
            }
        }
        for _ in 0..24 {
            let middle = f64::midpoint(near, far);
            match off(middle, goal) {
                Some(there) if there.abs() < 0.2 * sd => {
                    z[REMAINDER] = middle;
                    return;
                }
                Some(there) if there * here > 0.0 => near = middle,
                _ => far = middle,
            }
        }
        z[REMAINDER] = near;
    }

    fn member(&self, z: &[f64; AXES]) -> Option<Member> {
        let k = self.knowledge;
        let story = self.story(z)?;
        let at = |axis: Axis| z[axis as usize];
        let strengths = self.strengths(z);
        Some(Member {
            tank: Tank::of_volume(story.tank, k.level_l * self.volume_ratio(z), k.showing.medium()),
            source_alkalinity_meq_l: story.alkalinity_meq_l,
            source: story.source,
            ph_offset: self.ph_offset(z),
            ec_gain: self.ec_gain(z),
            feed_factor: strengths.feed,
            ph_down_factor: strengths.ph_down,
            ph_up_factor: strengths.ph_up,
            calmag_factor: strengths.calmag,
            ph_kind: strengths.ph_kind,
            pour_z: at(Axis::PourError),
            exchange_per_h: k.exchange.at(at(Axis::Exchange)),
            room_log10_pco2: room(z),
        })
    }
}

impl Member {
    /// The tank after a pour whose true strength is `factor` times the stated.
    pub fn after(&self, tank: &Tank, pour: &Pour, amount: f64, factor: f64) -> Tank {
        tank.with(&pour.moles.scaled(factor), pour.water_g, amount)
    }
}
