//! The members and how a reading moves them.

use crate::chem::{ChemError, Totals};
use crate::dose::{InferError, Known, Pour, Tank, TankState, infer};

use super::Knowledge;
use super::course::Course;
use super::near::Near;
use super::prior::{MEMBERS, normals, sample};
use super::smoother::{ReadOf, Sort, assimilate, noise_needed};
use super::story::{Model, Story, Strengths};
use crate::units::EcScale;

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
    /// See `feed_factor`.
    pub silicate_factor: f64,
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
    #[error("{}", read.misfit_words(*fits))]
    Contradiction {
        /// What was read.
        read: MisfitReading,
        /// Between what it would fit, in the unit of the reading.
        fits: (f64, f64),
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

/// A reading that does not fit what was told.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MisfitReading {
    /// What was read.
    pub sort: Sort,
    /// Of what.
    pub of: ReadOf,
    /// pH, mS/cm, or the logarithm of an amount in a jar.
    pub value: f64,
    /// The scale that EC is told on.
    pub scale: EcScale,
}

impl MisfitReading {
    /// Field, value and limit in one sentence.
    fn misfit_words(&self, (low, high): (f64, f64)) -> String {
        let number = |value: f64| match self.sort {
            // Neither scale goes below nought.
            Sort::Ph => value.max(0.0),
            Sort::Ec => self.scale.from_ms_cm(value.max(0.0)),
            Sort::LnAmount => value.exp(),
        };
        // As many decimals as it takes to tell the value from what would fit.
        let near = if self.value < low { low } else { high };
        let apart = |decimals: &usize| {
            format!("{:.*}", *decimals, number(self.value)) != format!("{:.*}", *decimals, number(near))
        };
        let least = match (self.sort, self.scale) {
            (Sort::Ec, EcScale::ConductivityFactor) => 1,
            (Sort::Ec, scale) if scale != EcScale::MilliSiemens => 0,
            _ => 2,
        };
        let decimals = (least..least + 2).find(apart).unwrap_or(least + 2);
        let told = |value: f64| format!("{:.decimals$}", number(value));
        let (name, unit) = match self.sort {
            Sort::Ph => ("pH ", String::new()),
            Sort::Ec => ("EC ", format!(" {}", self.scale.symbol())),
            Sort::LnAmount => ("an amount of ", " for the pH it showed".to_owned()),
        };
        let (before, place) = match self.of {
            ReadOf::SourceWater => ("source water: ", ""),
            ReadOf::Tank => ("", " in the tank"),
            ReadOf::Jar => ("", " in the jar test"),
        };
        format!(
            "{before}{name}{}{unit} was read{place}, but {} to {}{unit} would fit all else that was told: read again, and check the facts",
            told(self.value),
            told(low),
            told(high)
        )
    }
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
        let all = knowledge.course.as_ref().map(|course| Self::trusting(knowledge, Some(course), seed, members));
        match all.unwrap_or_else(|| Self::trusting(knowledge, None, seed, members)) {
            // The readings do not fit each other: believe the latest.
            Err(BeliefError::Contradiction { .. }) if knowledge.course.is_some() => {
                let rest = knowledge.without_jars().unwrap_or_else(|| knowledge.only_latest());
                Self::of_size(&rest, seed, members)
            }
            // The log does not fit the reading: believe the water, and take what was logged as unknown.
            Err(BeliefError::Contradiction { .. }) => Self::trusting(&knowledge.without_log(), None, seed, members),
            other => other,
        }
    }

    fn trusting(
        knowledge: &Knowledge,
        course: Option<&Course>,
        seed: u64,
        members: usize,
    ) -> Result<Self, BeliefError> {
        let start = course.map_or(knowledge, |course| &course.start);
        let first = infer(&start.known, start.seen, &knowledge.showing)?;
        let model = Model::new(knowledge, course, &first);
        let mut coordinates = sample(seed, members);
        let data = model.data();
        // One for each member at least: without any reading there is no datum, yet there are stories.
        let needed = noise_needed(coordinates.len(), data.len()).max(coordinates.len());
        let noise = normals(seed ^ 0x00c0_ffee_ca11, needed);
        let mut near = vec![Near::default(); coordinates.len()];
        assimilate(&mut coordinates, &data, &noise, |i, z| {
            // At first the story before is the nearest that there is.
            if near[i].solved.is_empty() && i > 0 {
                near[i] = near[i - 1].clone();
            }
            Some(model.story(z, &mut near[i])?.shown)
        });
        let told: Vec<Option<Story>> = coordinates
            .iter_mut()
            .zip(&mut near)
            .zip(noise.iter().zip(noise.iter().rev()))
            .map(|((z, near), (jitter, other))| {
                let mut story = model.story(z, near)?;
                if model.conform_to_jar(z, -jitter, &story, &data) {
                    story = model.story(z, near)?;
                }
                let mut story = model.conform(z, *jitter, &story, near).unwrap_or(story);
                model.conform_ec(*other, &mut story);
                Some(story)
            })
            .collect();
        model.check(&told, &data)?;
        let stories = coordinates.iter().zip(told);
        let members: Vec<Member> = stories.filter_map(|(z, story)| Some(model.member(z, &story?))).collect();
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
        silicate: middle(|m| m.silicate_factor),
        ph_kind: middle(|m| m.ph_kind),
    };
    let moles = |only_recent: bool| {
        let counted = knowledge.added.iter().filter(|added| added.recent || !only_recent);
        counted.fold(Totals::ZERO, |sum, added| {
            let product = knowledge.added_product(added);
            product.map_or(sum, |product| sum.plus_scaled(&strengths.added(knowledge, product), added.per_kg))
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

impl Member {
    /// The tank after a pour whose true strength is `factor` times the stated.
    pub fn after(&self, tank: &Tank, pour: &Pour, amount: f64, factor: f64) -> Tank {
        tank.with(&pour.moles.scaled(factor), pour.water_g, amount)
    }
}
