//! The tank's state from a reading: source water, so much feed, an acid or base remainder and dissolved carbon dioxide.
//!
//! EC fixes the feed's share. pH fixes only a curve on which remainder and carbon dioxide trade places; the default point
//! on it shares the pH gap between the two by their prior widths. What the reading leaves free is told as
//! [`FreeDirection`]s: other states that show the very same reading.

use crate::chem::{Carbon, ChemError, Component, Totals};

use super::{Point, Pour, Showing, Tank};

/// Below this EC, mS/cm, a pH reading says next to nothing: ASTM D5464 sets low-conductivity water apart at 0.1.
pub const NEARLY_PURE_MS_CM: f64 = 0.1;
/// A meter that shows 0.0 mS/cm means "below 0.05"; this is the middle of that.
const SHOWN_ZERO_MS_CM: f64 = 0.025;

/// What closes the gap between the model's pH and the one read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Closing {
    /// Strong base (above 0) or acid (below) that nobody logged: expected size, meq/L.
    pub remainder_sd_meq_l: f64,
    /// log10 of the partial pressure of carbon dioxide that the tank moves towards, atm: mean.
    pub log10_pco2_mean: f64,
    /// Share, 0 to 1, of the carbon dioxide beyond that which has not left yet: 1 just after a fill, 0 after days. Acid that
    /// went in since turns bicarbonate into carbon dioxide, which then stands here too.
    pub kept_share: f64,
    /// Its standard deviation.
    pub log10_pco2_sd: f64,
}

/// What is known of the tank before it is read.
#[derive(Clone, Debug, PartialEq)]
pub struct Known {
    /// Source water, mol per kg of water, at its likeliest alkalinity.
    pub water: Totals,
    /// The same with its alkalinity at the low and the high end of what is likely (1 in 10 beyond each), and these
    /// alkalinities in meq/L.
    pub softer: (f64, Totals),
    /// See `softer`.
    pub harder: (f64, Totals),
    /// Acids, bases and supplements that are known to be in, mol per kg of water.
    pub added: Totals,
    /// The part of `added` that went in lately, into water whose carbon dioxide had settled, mol per kg of water.
    pub recent: Totals,
    /// Best guess at the volume, L.
    pub volume_l: f64,
    /// One unit of the feed, parts in their ratio; `None` when no feed is known.
    pub feed: Option<Pour>,
    /// How a pH gap may close.
    pub closing: Closing,
}

/// A reading, as shown by the meter.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Seen {
    /// pH.
    pub ph: Option<f64>,
    /// EC, mS/cm.
    pub ec_ms_cm: Option<f64>,
}

/// Why no state was found.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum InferError {
    /// The chemistry failed.
    #[error(transparent)]
    Chemistry(#[from] ChemError),
    /// More feed than any tank would hold.
    #[error(
        "EC {ec_ms_cm:.2} mS/cm is more than the feed and the source water can explain (they reach {reach_ms_cm:.1})"
    )]
    TooMuchFeed {
        /// What was read.
        ec_ms_cm: f64,
        /// The most that the model reached.
        reach_ms_cm: f64,
    },
    /// No acid, base or carbon dioxide within reason gives the pH.
    #[error("pH {ph:.2} does not fit this water and feed: acid or base of up to {most_meq_l} meq/L was tried")]
    PhOutOfReach {
        /// What was read.
        ph: f64,
        /// How much was tried.
        most_meq_l: f64,
    },
}

/// A way in which the tank could differ without the reading showing it.
#[derive(Clone, Debug, PartialEq)]
pub struct FreeDirection {
    /// What is free.
    pub name: &'static str,
    /// Unit of the values.
    pub unit: &'static str,
    /// Low end: its value, and a tank there that shows the same reading.
    pub low: (f64, Tank),
    /// High end, likewise.
    pub high: (f64, Tank),
}

/// The tank as inferred.
#[derive(Clone, Debug, PartialEq)]
pub struct TankState {
    /// The named default point: likeliest source water, gap shared by prior widths.
    pub default: Tank,
    /// Where it stands on the map.
    pub point: Point,
    /// Feed in it, units per kg of water.
    pub feed_per_kg: f64,
    /// Strong base (above 0) or acid (below 0) that the pH asked for, meq per kg of water.
    pub remainder_meq_kg: f64,
    /// log10 of the carbon dioxide's partial pressure, atm.
    pub log10_pco2: f64,
    /// What the reading leaves free.
    pub free: Vec<FreeDirection>,
    /// Whether the pH read was left aside as near-empty information.
    pub ph_left_aside: bool,
    /// Whether the EC read is below that of the source water, which no feeding explains.
    pub thinner_than_source: bool,
}

/// Infers the tank's state.
///
/// **Units** as the types say. Without an EC the feed is taken as none; without a pH, or in nearly pure water, the gap is
/// taken as closed and carbon dioxide at its mean.
///
/// # Errors
/// [`InferError`] when the reading can't be explained within reason.
pub fn infer(known: &Known, seen: Seen, showing: &Showing) -> Result<TankState, InferError> {
    let found = close(known, &known.water, seen, showing)?;
    let tank = |found: &Found| Tank::of_volume(found.totals, known.volume_l, showing.medium());
    let watery = |(alkalinity, totals): &(f64, Totals), part: f64| {
        let middle = known.water.alkalinity() * 1e3;
        let water = known.water.scaled(1.0 - part).plus_scaled(totals, part);
        (middle + (alkalinity - middle) * part, close(known, &water, seen, showing))
    };
    // With the water held, the same reading may come of more carbon dioxide and less acid, or the other way round.
    let airy = |side: f64, part: f64| {
        let shift = side * 1.28 * known.closing.log10_pco2_sd * part;
        let closing = Closing {
            log10_pco2_mean: (found.log10_pco2 + shift).min(0.0),
            log10_pco2_sd: 0.0,
            kept_share: 0.0,
            ..known.closing
        };
        let known = Known { closing, ..known.clone() };
        (closing.log10_pco2_mean, close(&known, &known.water, seen, showing))
    };
    let end = |at: &dyn Fn(f64) -> (f64, Result<Found, InferError>)| {
        // An end of a range that cannot show this reading is no end: come half the way back, and again.
        for part in [1.0, 0.5, 0.25, 0.125] {
            if let (value, Ok(found)) = at(part)
                && shows(&found, seen, showing)
            {
                return (value, tank(&found));
            }
        }
        (at(0.0).0, tank(&found))
    };
    Ok(TankState {
        default: tank(&found),
        point: showing.of(&found.totals)?,
        feed_per_kg: found.feed_per_kg,
        remainder_meq_kg: found.remainder_meq_kg,
        log10_pco2: found.log10_pco2,
        free: vec![
            FreeDirection {
                name: "alkalinity of the source water",
                unit: "meq/L",
                low: end(&|part| watery(&known.softer, part)),
                high: end(&|part| watery(&known.harder, part)),
            },
            FreeDirection {
                name: "dissolved carbon dioxide",
                unit: "log10 atm",
                low: end(&|part| airy(-1.0, part)),
                high: end(&|part| airy(1.0, part)),
            },
        ],
        ph_left_aside: found.ph_left_aside,
        thinner_than_source: found.thinner_than_source,
    })
}

/// Whether a state shows a reading, to a hundredth of a pH and 1 % of EC.
fn shows(found: &Found, seen: Seen, showing: &Showing) -> bool {
    let Ok(point) = showing.of(&found.totals) else { return false };
    let ec = seen.ec_ms_cm.is_none_or(|ec| (point.ec_ms_cm - ec).abs() < 0.01 * ec + 0.005);
    let ph = found.ph_left_aside || seen.ph.is_none_or(|ph| (point.ph - ph).abs() < 0.01);
    ec && ph
}

struct Found {
    totals: Totals,
    feed_per_kg: f64,
    remainder_meq_kg: f64,
    log10_pco2: f64,
    ph_left_aside: bool,
    thinner_than_source: bool,
}

fn close(known: &Known, water: &Totals, seen: Seen, showing: &Showing) -> Result<Found, InferError> {
    let base = water.plus(&known.added);
    let base_ec = showing.of(&base)?.ec_ms_cm;
    let ec = seen.ec_ms_cm.map(|ec| if ec <= 0.0 { SHOWN_ZERO_MS_CM } else { ec });
    let nearly_pure = ec.unwrap_or(base_ec) < NEARLY_PURE_MS_CM;
    let target = seen.ph.filter(|_| !nearly_pure);
    let thinner_than_source = ec.is_some_and(|ec| ec < base_ec);
    // What closes the pH gap carries current too, so the feed is fitted to what is left of the EC; three rounds bring the
    // two together to a thousandth.
    let mut aimed_ec = ec;
    let mut found = None;
    for _ in 0..ROUNDS {
        let (fed, feed_per_kg) = match (aimed_ec, &known.feed) {
            (Some(ec), Some(feed)) if ec > base_ec => {
                let feed_per_kg = feed_for_ec(&base, feed, ec, showing)?;
                (base.plus_scaled(&feed.moles, feed_per_kg), feed_per_kg)
            }
            // Thinner than the source water, or salt without a known feed: the same pattern, thinner or denser.
            (Some(ec), _) => {
                let ratio = if base_ec > 0.0 { (ec / base_ec).clamp(0.05, 20.0) } else { 1.0 };
                (base.scaled(ratio), 0.0)
            }
            (None, _) => (base, 0.0),
        };
        let (totals, remainder_meq_kg, log10_pco2) = share_gap(&fed, &known.recent, target, &known.closing, showing)?;
        found = Some(Found {
            totals,
            feed_per_kg,
            remainder_meq_kg,
            log10_pco2,
            ph_left_aside: seen.ph.is_some() && nearly_pure,
            thinner_than_source,
        });
        let (Some(ec), Some(aimed)) = (ec, aimed_ec) else { break };
        let missed = ec - showing.of(&totals)?.ec_ms_cm;
        if missed.abs() < 1e-3 * ec {
            break;
        }
        aimed_ec = Some((aimed + missed).max(0.0));
    }
    found.ok_or(InferError::Chemistry(ChemError::NotSettled { iterations: ROUNDS, imbalance: f64::INFINITY }))
}

/// Rounds of fitting feed to EC and acid or base to pH in turn.
const ROUNDS: usize = 6;

/// Units of feed per kg of water that bring a base to an EC, by secant with bracketing: EC rises with feed throughout.
fn feed_for_ec(base: &Totals, feed: &Pour, ec_ms_cm: f64, showing: &Showing) -> Result<f64, InferError> {
    let ec_with =
        |amount: f64| -> Result<f64, ChemError> { Ok(showing.of(&base.plus_scaled(&feed.moles, amount))?.ec_ms_cm) };
    let (mut low, mut high) = (0.0, 0.5);
    let mut reach_ms_cm = ec_with(high)?;
    while reach_ms_cm < ec_ms_cm {
        low = high;
        high *= 2.0;
        match ec_with(high) {
            Ok(reach) if high < 1e4 => reach_ms_cm = reach,
            _ => return Err(InferError::TooMuchFeed { ec_ms_cm, reach_ms_cm }),
        }
    }
    Ok(bracketed(low, high, 1e-9, |amount| Ok(ec_with(amount)? - ec_ms_cm))?)
}

/// Root of a function that rises between `low` and `high`, by the Illinois rule of false position.
fn bracketed(
    mut low: f64,
    mut high: f64,
    tolerance: f64,
    mut off: impl FnMut(f64) -> Result<f64, ChemError>,
) -> Result<f64, ChemError> {
    let (mut at_low, mut at_high) = (off(low)?, off(high)?);
    for _ in 0..80 {
        if (high - low).abs() <= tolerance * (1.0 + high.abs()) || at_high - at_low == 0.0 {
            break;
        }
        let middle = (low * at_high - high * at_low) / (at_high - at_low);
        let at_middle = off(middle)?;
        if at_middle.abs() < tolerance {
            return Ok(middle);
        }
        if at_middle < 0.0 {
            (low, at_low) = (middle, at_middle);
            at_high *= 0.5;
        } else {
            (high, at_high) = (middle, at_middle);
            at_low *= 0.5;
        }
    }
    Ok(if at_low.abs() < at_high.abs() { low } else { high })
}

/// Adds acid or base and sets carbon dioxide so that the pH is met; both move by the same number of their prior sds.
///
/// Returns the totals, the base added in meq/kg and log10 of the partial pressure.
fn share_gap(
    fed: &Totals,
    recent: &Totals,
    target: Option<f64>,
    closing: &Closing,
    showing: &Showing,
) -> Result<(Totals, f64, f64), InferError> {
    // Far more than any tank's history explains: past this the reading or the facts are wrong.
    const MOST_MEQ_L: f64 = 50.0;
    let medium = showing.medium();
    let mean = standing_pressure(fed, recent, closing, showing)?;
    let at = |sds: f64| {
        let meq = sds * closing.remainder_sd_meq_l;
        // Base raises pH and so does less carbon dioxide.
        let pressure = (mean - sds * closing.log10_pco2_sd).clamp(-7.0, 0.0);
        (with_base(fed, meq), meq, pressure)
    };
    let solve = |sds: f64| {
        let (totals, _, pressure) = at(sds);
        medium.solve(&totals, Carbon::Balance { log10_pco2_atm: pressure })
    };
    let finish = |sds: f64| -> Result<(Totals, f64, f64), InferError> {
        let (_, meq, pressure) = at(sds);
        Ok((*solve(sds)?.totals(), meq, pressure))
    };
    let Some(ph) = target else { return finish(0.0) };
    let off = |sds: f64| -> Result<f64, ChemError> { Ok(solve(sds)?.ph() - ph) };
    let here = off(0.0)?;
    let mut reach = if here < 0.0 { 1.0 } else { -1.0 };
    while off(reach)? * here > 0.0 {
        reach *= 2.0;
        if f64::abs(reach) * closing.remainder_sd_meq_l > MOST_MEQ_L || f64::abs(reach) > 1e6 {
            return Err(InferError::PhOutOfReach { ph, most_meq_l: MOST_MEQ_L });
        }
    }
    finish(bracketed(reach.min(0.0), reach.max(0.0), 1e-9, off)?)
}

/// log10 of the carbon dioxide's pressure before any gap is closed: what it moves towards, and what has not left yet.
///
/// Before what went in lately, the water stood in balance; that water's carbon is what the acid then set free.
fn standing_pressure(fed: &Totals, recent: &Totals, closing: &Closing, showing: &Showing) -> Result<f64, ChemError> {
    if closing.kept_share <= 0.0 {
        return Ok(closing.log10_pco2_mean);
    }
    let medium = showing.medium();
    let balance = medium.solve(fed, Carbon::Balance { log10_pco2_atm: closing.log10_pco2_mean })?.total_carbon();
    let held = if *recent == Totals::ZERO {
        fed[Component::C]
    } else {
        let before = fed.plus_scaled(recent, -1.0);
        let stood = Carbon::Balance { log10_pco2_atm: closing.log10_pco2_mean };
        if before.is_physical() { medium.solve(&before, stood)?.total_carbon() } else { fed[Component::C] }
    };
    let carbon = balance + (held - balance) * closing.kept_share;
    let solved = medium.solve(&fed.with(Component::C, carbon.max(0.0)), Carbon::Kept)?;
    Ok(solved.log10_pco2(medium).unwrap_or(closing.log10_pco2_mean).min(0.0))
}

/// Totals with strong base (meq above 0) or acid (below) in them, the way plants and pH liquids leave it: less nitrate, or
/// more potassium where there is no nitrate to take; nitrate for acid.
pub(crate) fn with_base(totals: &Totals, meq_per_kg: f64) -> Totals {
    let eq = meq_per_kg / 1e3;
    let taken = eq.clamp(f64::NEG_INFINITY, 0.5 * totals[Component::No3]);
    let mut changed = *totals;
    changed[Component::No3] -= taken;
    changed[Component::K] += eq - taken;
    changed
}
