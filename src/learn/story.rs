//! From the coordinates of a member to a story of the tank, and to what the meters show in it.

use crate::chem::{Carbon, Component, Speciation, Totals, log10_pco2_from_ppm};
use crate::dose::{ROOM_AIR_PPM, Seen, Showing, Tank, TankState};
use crate::garden::{Priors, Role};

use super::belief::{BeliefError, Member, MisfitReading, quantile};
use super::course::{Course, Event};
use super::jar::Jar;
use super::near::{Near, crossing_of};
use super::prior::{AXES, Axis, DRIFTS, POURS};
use super::smoother::{Datum, FURTHEST, ReadOf, Sort};
use super::{Knowledge, ProductBelief};

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
pub(super) struct Model<'a> {
    /// What was known at the first reading that is explained.
    knowledge: &'a Knowledge,
    /// What was done and read after it.
    events: &'a [Event],
    showing: &'a Showing,
    /// The last reading that is explained.
    latest: Seen,
    feed_mean: f64,
    feed_sd: f64,
    /// Salts in the tank over those that are known of, where no feed explains the EC.
    salt_ratio: Option<f64>,
}

/// One story on the way to a member.
pub(super) struct Story {
    source: Totals,
    alkalinity_meq_l: f64,
    tank: Tank,
    /// The tank without the slip before the last of several readings.
    before_slip: Option<Tank>,
    /// What the meters show in it, in the order of the data.
    pub(super) shown: Vec<f64>,
    /// Where in `shown` the pH of the latest reading stands, and which of the story's solutions it was seen in.
    latest_ph: Option<(usize, usize)>,
    /// Where in `shown` its EC stands.
    latest_ec: Option<usize>,
}

/// Waits of so many hours count as long. Source: the trial with invented households.
const LONG_WAIT_H: f64 = 4.0;

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
pub(super) struct Strengths {
    pub(super) feed: f64,
    pub(super) calmag: f64,
    pub(super) ph_down: f64,
    pub(super) ph_up: f64,
    pub(super) silicate: f64,
    pub(super) ph_kind: f64,
}

impl Strengths {
    fn factor(&self, role: Role) -> f64 {
        match role {
            Role::Feed => self.feed,
            Role::CalMag => self.calmag,
            Role::PhDown => self.ph_down,
            Role::PhUp => self.ph_up,
            Role::Silicate => self.silicate,
        }
    }

    /// What one unit of a product brings.
    pub(super) fn moles(&self, product: &ProductBelief) -> Totals {
        product.moles_at(self.ph_kind).scaled(self.factor(product.role))
    }

    /// The same of a product that was added; of one that is not planned with any more, as strong as it says.
    pub(super) fn added(&self, knowledge: &Knowledge, product: &ProductBelief) -> Totals {
        if knowledge.is_past(&product.pour.id) { product.pour.moles } else { self.moles(product) }
    }
}

impl<'a> Model<'a> {
    pub(super) fn new(latest: &'a Knowledge, course: Option<&'a Course>, state: &TankState) -> Self {
        let knowledge = course.map_or(latest, |course| &course.start);
        // With an EC reading the prior of the feed's share is as good as flat; without one, what was logged is all there is.
        let (feed_mean, feed_sd) = if knowledge.seen.ec_ms_cm.is_none() {
            (knowledge.feed_logged_per_kg, 0.2 * knowledge.feed_logged_per_kg)
        } else if state.feed_per_kg > 0.0 && !knowledge.surely_unfed() {
            (state.feed_per_kg, 0.35 * state.feed_per_kg + knowledge.feed_step())
        } else {
            (0.0, 0.0)
        };
        Self {
            knowledge,
            events: course.map_or(&[], |course| &course.events),
            showing: &latest.showing,
            latest: latest.seen,
            feed_mean,
            feed_sd,
            salt_ratio: salt_ratio(knowledge),
        }
    }

    pub(super) fn data(&self) -> Vec<Datum> {
        let k = self.knowledge;
        let mut data = Vec::new();
        let read = |data: &mut Vec<Datum>, seen: &Seen, of: ReadOf| {
            if let Some(ec) = seen.ec_ms_cm {
                data.push(Datum { value: ec, sd: k.ec_noise(ec), sort: Sort::Ec, of });
            }
            if let Some(ph) = seen.ph {
                data.push(Datum { value: ph, sd: k.ph_noise(seen.ec_ms_cm), sort: Sort::Ph, of });
            }
        };
        read(&mut data, &k.source_seen, ReadOf::SourceWater);
        read(&mut data, &k.seen, ReadOf::Tank);
        for event in self.events {
            match event {
                Event::Read(seen) => read(&mut data, seen, ReadOf::Tank),
                Event::Jar(jar) => data.extend(jar.data(k.ph_noise(None))),
                _ => {}
            }
        }
        data
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
            // Both supplements are known well and count little beside the feed: one coordinate does for both.
            silicate: factor(Role::Silicate, Axis::CalMagStrength),
            ph_kind: share_below(z[Axis::PhKind as usize]),
        }
    }

    /// What the meters show of a solution, after what they show already.
    fn look(&self, z: &[f64; AXES], seen: &Seen, solved: &Speciation, shown: &mut Vec<f64>) -> Option<()> {
        let point = self.showing.point(solved).ok()?;
        if seen.ec_ms_cm.is_some() {
            shown.push(point.ec_ms_cm * self.ec_gain(z));
        }
        if seen.ph.is_some() {
            shown.push(point.ph + self.ph_offset(z));
        }
        Some(())
    }

    pub(super) fn story(&self, z: &[f64; AXES], near: &mut Near) -> Option<Story> {
        near.place = 0;
        let k = self.knowledge;
        let medium = self.showing.medium();
        let mut shown = Vec::with_capacity(4);
        let alkalinity_meq_l = k.alkalinity.at(fat(z[Axis::Alkalinity as usize]));
        let ions = k.source_ions(alkalinity_meq_l, k.other_anions.at(z[Axis::OtherAnions as usize]));
        let source_pressure = k.source_pco2.at(z[Axis::SourceCarbon as usize]).min(0.0);
        let drawn = near.solve(medium, &ions, Carbon::Balance { log10_pco2_atm: source_pressure })?;
        let source = *drawn.totals();
        if k.source_seen.ec_ms_cm.is_some() || k.source_seen.ph.is_some() {
            self.look(z, &k.source_seen, &drawn, &mut shown)?;
        }
        // What was poured before the reading is as strong as what will be poured next: the reading tells of both.
        let strengths = self.strengths(z);
        let poured = |recent: bool| {
            k.added.iter().filter(|added| added.recent == recent).fold(Totals::ZERO, |sum, added| {
                let moles = k.added_product(added).map_or(Totals::ZERO, |product| strengths.added(k, product));
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
            tank = tank.scaled(ratio * (Priors::shipped().salt_ln_sd.value * z[Axis::FeedShare as usize]).exp());
        }
        let closing = &k.known.closing;
        tank = crate::dose::with_base(&tank, closing.remainder_sd_meq_l * z[Axis::Remainder as usize]);
        let rate = k.exchange.at(z[Axis::Exchange as usize]);
        let totals = if let Some(hours) = k.fresh_h {
            // Not yet in balance with anything: the source's carbon, less what has left since.
            let breathed = near.breathed(medium, &tank, room(z), rate, hours)?;
            let carbon = breathed[Component::C] * (0.08 * z[Axis::TankCarbon as usize]).exp();
            breathed.with(Component::C, carbon)
        } else {
            let pressure = closing.log10_pco2_mean + closing.log10_pco2_sd * z[Axis::TankCarbon as usize];
            let balance = Carbon::Balance { log10_pco2_atm: pressure.clamp(-7.0, 0.0) };
            let stood = *near.solve(medium, &tank, balance)?.totals();
            match k.recent_h {
                None => stood,
                // Acid into water that had stood: its carbon dioxide leaves from then on.
                Some(hours) => near.breathed(medium, &stood.plus(&poured(true)), room(z), rate, hours)?,
            }
        };
        let tank = Tank::of_volume(totals, k.level_l * self.volume_ratio(z), medium);
        if k.seen.ec_ms_cm.is_some() || k.seen.ph.is_some() {
            self.look(z, &k.seen, &near.solve(medium, &tank.totals, Carbon::Kept)?, &mut shown)?;
        }
        let seen_at = |shown: &[f64], near: &Near| Some((shown.len().checked_sub(1)?, near.place.checked_sub(1)?));
        let latest_ph = seen_at(&shown, near);
        let latest_ec = ec_at(&k.seen, &shown);
        let mut story = Story { source, alkalinity_meq_l, tank, before_slip: None, shown, latest_ph, latest_ec };
        self.replay(z, &mut story, &strengths, near)?;
        Some(story)
    }

    /// What was done and read after the first reading, in order. The tank stays as it was at the latest reading; what was
    /// poured since goes into a tank aside, for the jar tests of it.
    fn replay(&self, z: &[f64; AXES], story: &mut Story, strengths: &Strengths, near: &mut Near) -> Option<()> {
        let k = self.knowledge;
        let medium = self.showing.medium();
        let rate = k.exchange.at(z[Axis::Exchange as usize]);
        let last = self.events.iter().rposition(|event| matches!(event, Event::Read(_)));
        let (mut waits, mut pours) = (0, 0);
        let mut tank = story.tank;
        let next = |pours: &mut usize| {
            *pours += 1;
            z[Axis::Poured as usize + (*pours - 1) % POURS]
        };
        for (place, event) in self.events.iter().enumerate() {
            let since = last.is_none_or(|last| place > last);
            match event {
                Event::Wait(hours) => {
                    tank.totals = near.breathed(medium, &tank.totals, room(z), rate, *hours)?;
                    if *hours >= LONG_WAIT_H {
                        let drift = Priors::shipped().drift_meq_l.value
                            * (hours / 24.0).sqrt()
                            * z[Axis::Drift as usize + waits % DRIFTS];
                        tank.totals = crate::dose::with_base(&tank.totals, drift);
                        waits += 1;
                    }
                }
                Event::Pour { role, moles, water_g, amount, is_past, ln_sd } => {
                    // A plan pours again what no reading has shown, with the same error.
                    let hand = if since { z[Axis::PourError as usize] } else { next(&mut pours) };
                    let measured = (ln_sd * hand).exp();
                    let unit = if *is_past { *moles } else { self.unit_of(*role, moles, strengths) };
                    tank = tank.with(&unit.scaled(measured), *water_g, *amount);
                }
                Event::TopUp(water_kg) => tank = tank.mixed(&Tank { totals: story.source, water_kg: *water_kg }),
                Event::Drain(share) => tank = tank.drained(*share),
                Event::Read(seen) => {
                    if Some(place) == last {
                        story.before_slip = Some(tank);
                        tank.totals = slipped(&tank.totals, z[Axis::Slip as usize]);
                        story.tank = tank;
                    }
                    self.look(z, seen, &near.solve(medium, &tank.totals, Carbon::Kept)?, &mut story.shown)?;
                    story.latest_ph = Some((story.shown.len().checked_sub(1)?, near.place.checked_sub(1)?));
                    story.latest_ec = ec_at(seen, &story.shown);
                }
                Event::Jar(jar) => {
                    let moles = self.unit_of(jar.role, &jar.moles, strengths).scaled(Jar::measured(next(&mut pours)));
                    let water = Tank::of_volume(tank.totals, jar.water_l, medium);
                    let story_of = (&water, &moles, self.ph_offset(z));
                    jar.shown(story_of, k.ph_noise(None), self.showing, near, &mut story.shown)?;
                }
            }
        }
        Some(())
    }

    /// What one unit of a part of a product brings in a story.
    fn unit_of(&self, role: Role, moles: &Totals, strengths: &Strengths) -> Totals {
        match self.knowledge.product_for(role) {
            Some(product) if matches!(role, Role::PhDown | Role::PhUp) => strengths.moles(product),
            _ => moles.scaled(strengths.factor(role)),
        }
    }

    /// Whether the moved stories show the data: the middle one within two and a half of the meter's own sds.
    pub(super) fn check(&self, stories: &[Option<Story>], data: &[Datum]) -> Result<(), BeliefError> {
        const FAR_SDS: f64 = 2.5;
        /// Error of an EC meter near its zero, mS/cm: pens are sold as good to 2 % of their full scale, from memory.
        const EC_ZERO_MS_CM: f64 = 0.02;
        /// An amount in a jar may be off by this, in the logarithm, beside its noise. Ours.
        const FAR_LN_AMOUNT: f64 = 0.15;
        let shown: Vec<&Vec<f64>> = stories.iter().flatten().map(|story| &story.shown).collect();
        let meter = &self.knowledge.meter;
        for (i, datum) in data.iter().enumerate() {
            let mut values: Vec<f64> = shown.iter().filter_map(|shown| shown.get(i).copied()).collect();
            let believed = quantile(&mut values, 0.5);
            let instrument = match datum.sort {
                Sort::Ph => meter.ph_instrument.ph_sd(),
                Sort::Ec => (meter.ec_relative_sd * datum.value).max(EC_ZERO_MS_CM),
                Sort::LnAmount => FAR_LN_AMOUNT,
            };
            let far = FAR_SDS * datum.sd.hypot(instrument);
            if (believed - datum.value).abs() > far {
                let read = MisfitReading { sort: datum.sort, of: datum.of, value: datum.value, scale: meter.ec_scale };
                return Err(BeliefError::Contradiction { read, fits: (believed - far, believed + far) });
            }
        }
        Ok(())
    }

    /// Makes a story that misses the amounts of a jar test agree with them, by the product's strength: the amount that is needed
    /// for a move goes as its inverse, whatever the product is. The smoother takes one slope for all that an unlabelled
    /// bottle may hold, and leaves those of the rarer kinds off.
    pub(super) fn conform_to_jar(&self, z: &mut [f64; AXES], jitter: f64, story: &Story, data: &[Datum]) -> bool {
        /// As for several readings below.
        const GROSS_SDS: f64 = 2.0;
        let mut roles = self.events.iter().filter_map(|event| match event {
            Event::Jar(jar) => Some(jar.role),
            _ => None,
        });
        let Some(role) = roles.next().filter(|role| matches!(role, Role::PhDown | Role::PhUp)) else { return false };
        let Some(product) = self.knowledge.product_for(role) else { return false };
        let Some((off, sd)) = super::jar::excess(data, &story.shown) else { return false };
        if roles.any(|other| other != role) || off.abs() <= GROSS_SDS * sd {
            return false;
        }
        let strength = &mut z[Axis::PhStrength as usize];
        let moved = *strength + (off - sd * jitter.clamp(-2.0, 2.0)) / product.ln_sd.max(1e-3);
        *strength = moved.clamp(-FURTHEST, FURTHEST);
        true
    }

    /// Makes a story that grossly misses the pH read show it, by acid or base that nobody logged.
    ///
    /// The smoother's steps are straight, the titration curve is not: where much acid of unknown strength went in, stories
    /// stop on the far side of the jump. What they say of strengths stays; the water in them must be the one that was read.
    pub(super) fn conform(&self, z: &mut [f64; AXES], jitter: f64, story: &Story, near: &mut Near) -> Option<Story> {
        /// Nearer misses are left to the smoother: of a single reading, pulling them in as well made the stated ranges too
        /// narrow; of several, two sds make them hold the truth as often as they say. Both measured on invented households.
        const GROSS_SDS: (f64, f64) = (6.0, 2.0);
        let gross_sds = if self.events.is_empty() { GROSS_SDS.0 } else { GROSS_SDS.1 };
        let ph = self.latest.ph?;
        let sd = self.knowledge.ph_noise(self.latest.ec_ms_cm);
        let (seen_at, solved_at) = story.latest_ph?;
        let here = story.shown.get(seen_at)? - ph;
        if here.abs() <= gross_sds * sd {
            return None;
        }
        let goal = ph + sd * jitter.clamp(-2.0, 2.0);
        let medium = self.showing.medium();
        if let Some(before) = &story.before_slip {
            const SLIP: usize = Axis::Slip as usize;
            let offset = self.ph_offset(z);
            let off = |slip: f64| {
                near.place = solved_at;
                Some(near.solve(medium, &slipped(&before.totals, slip), Carbon::Kept)?.ph() + offset - goal)
            };
            z[SLIP] = crossing_of(z[SLIP], Priors::shipped().slip_meq_l.value, 0.2 * sd, off)?;
        } else {
            const REMAINDER: usize = Axis::Remainder as usize;
            let mut trial = *z;
            let off = |remainder: f64| {
                trial[REMAINDER] = remainder;
                Some(self.story(&trial, near)?.shown.get(seen_at)? - goal)
            };
            let width = self.knowledge.known.closing.remainder_sd_meq_l;
            z[REMAINDER] = crossing_of(z[REMAINDER], width, 0.2 * sd, off)?;
        }
        self.story(z, near)
    }

    /// Makes a story that misses the EC read show it, by salts a little denser or thinner than they were.
    ///
    /// Alkalinity and salts are lognormal, so the smoother's straight steps leave stories of strong waters scattered about the
    /// reading by more than the meter's noise. What they say of the source water stays.
    pub(super) fn conform_ec(&self, jitter: f64, story: &mut Story) {
        /// As for several pH readings.
        const GROSS_SDS: f64 = 2.0;
        let shown = story.latest_ec.and_then(|place| story.shown.get_mut(place));
        let (Some(read), Some(shown)) = (self.latest.ec_ms_cm, shown) else { return };
        let sd = self.knowledge.ec_noise(read);
        if (*shown - read).abs() <= GROSS_SDS * sd {
            return;
        }
        let ratio = (read + sd * jitter.clamp(-2.0, 2.0)).max(0.0) / *shown;
        // Beyond that the check of the stories is to see it.
        if (0.8..1.25).contains(&ratio) {
            story.tank.totals = story.tank.totals.scaled(ratio);
            *shown *= ratio;
        }
    }

    pub(super) fn member(&self, z: &[f64; AXES], story: &Story) -> Member {
        let k = self.knowledge;
        let at = |axis: Axis| z[axis as usize];
        let strengths = self.strengths(z);
        Member {
            tank: story.tank,
            source_alkalinity_meq_l: story.alkalinity_meq_l,
            source: story.source,
            ph_offset: self.ph_offset(z),
            ec_gain: self.ec_gain(z),
            feed_factor: strengths.feed,
            ph_down_factor: strengths.ph_down,
            ph_up_factor: strengths.ph_up,
            silicate_factor: strengths.silicate,
            calmag_factor: strengths.calmag,
            ph_kind: strengths.ph_kind,
            pour_z: at(Axis::PourError),
            exchange_per_h: k.exchange.at(at(Axis::Exchange)),
            room_log10_pco2: room(z),
        }
    }
}

/// Where among what was shown the EC of a look stands that has just been taken.
fn ec_at(seen: &Seen, shown: &[f64]) -> Option<usize> {
    seen.ec_ms_cm?;
    shown.len().checked_sub(1 + usize::from(seen.ph.is_some()))
}

/// Totals with what slipped in, in sds.
fn slipped(totals: &Totals, sds: f64) -> Totals {
    crate::dose::with_base(totals, Priors::shipped().slip_meq_l.value * sds)
}
