//! The working zone: what the map draws, by a stated rule, from what is published.
//!
//! The rule, ours:
//!
//! 1. Among the claims that hold for the stage the strongest evidence leads; among equals the one that names the stage,
//!    then the first in the crop's file. Recalled claims never outrank read ones.
//! 2. Claims of the same evidence whose bands meet the leader's are joined to it (never averaged). Those that do not meet
//!    it are shown as conflicts and left out.
//! 3. pH: kept between 5.5 and 6.5, where mixed nutrition stays available, unless two published claims lie wholly outside.
//!    At least 0.5 wide, since a pen cannot steer finer.
//! 4. EC: at least 0.4 mS/cm wide; at most 1.0, keeping the weak side, because salt is easier to add than to take out.
//!    An upper limit stays an upper limit.
//! 5. EC bands count the source water unless the claim says that it comes on top.
//! 6. Shown as conflicts, too, and left to the person: a leading pH that lies mostly outside 5.5 to 6.5 where the zone is kept
//!    there; a trial that found no difference over a wide span of EC; and a zone whose weak edge already costs more than a
//!    tenth of the yield by the crop's salt tolerance in soil.
//! 7. What a person set for a crop of their own leads and is taken as it is: neither kept within 5.5 to 6.5 nor narrowed, and
//!    widened only to what a pen can tell. What sources say against it is shown.

use super::common::{NARROW_EC_MS_CM, NARROW_PH};
use super::crop::{Band, BandClaim, Crop, EcCounts, SEEDLING, SaltTolerance};
use super::evidence::{Evidence, Sourced};
use super::told_band::Told;
use crate::units::EcScale;

/// Least width of the pH zone.
pub const LEAST_PH_WIDTH: f64 = 0.5;
/// Floor of the pH zone for mixed nutrition. Ours; agrees with the 5.5 to 6.5 most guides use.
pub const PH_FLOOR: f64 = 5.5;
/// Ceiling of the pH zone for mixed nutrition. Ours, likewise.
pub const PH_CEILING: f64 = 6.5;
/// Least width of the EC zone, mS/cm.
pub const LEAST_EC_WIDTH_MS_CM: f64 = 0.4;
/// Greatest width of the EC zone, mS/cm.
pub const GREATEST_EC_WIDTH_MS_CM: f64 = 1.0;
/// EC zone when nothing is known of a crop, mS/cm. Ours: the span that most leafy greens share.
pub const EC_WITHOUT_CLAIM_MS_CM: (f64, f64) = (1.2, 1.8);

/// Loss of yield at the zone's weak edge, %, from which salt tolerance speaks against the zone. Ours: soil water is not a
/// nutrient solution, and the table calls itself a relative guide, so little is not worth a word.
const LOSS_WORTH_A_WORD_PERCENT: f64 = 10.0;

/// What a band is about.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Quantity {
    /// pH.
    Ph,
    /// EC, mS/cm.
    Ec,
}

/// A claim that disagrees with the zone.
#[derive(Clone, PartialEq, Debug)]
pub struct Conflict {
    /// About what.
    pub quantity: Quantity,
    /// What the other source says.
    pub band: Band,
    /// The other source.
    pub source: Sourced,
    /// In words for a beginner.
    pub words: String,
}

/// The working zone of a crop at a stage.
#[derive(Clone, PartialEq, Debug)]
pub struct Zone {
    /// pH, low and high; low is below high.
    pub ph: (f64, f64),
    /// EC, mS/cm at 25 °C, low and high; low is below high. See [`Zone::ec_counts`].
    pub ec_ms_cm: (f64, f64),
    /// Whether the EC counts the source water.
    pub ec_counts: EcCounts,
    /// How the zone came about, one sentence each.
    pub why: Vec<String>,
    /// Claims that disagree.
    pub conflicts: Vec<Conflict>,
    /// Sources the zone rests on, and other claims shown for information.
    pub sources: Vec<Sourced>,
}

impl Zone {
    /// The EC band as a meter shows it in the tank, with source water of `source_ec_ms_cm` (0 or more).
    pub fn ec_in_tank_ms_cm(&self, source_ec_ms_cm: f64) -> (f64, f64) {
        match self.ec_counts {
            EcCounts::WithSourceWater => self.ec_ms_cm,
            EcCounts::AboveSourceWater => (self.ec_ms_cm.0 + source_ec_ms_cm, self.ec_ms_cm.1 + source_ec_ms_cm),
        }
    }

    /// Whether a pH and an EC (as a meter shows them in the tank) lie in the zone, edges included.
    pub fn contains(&self, ph: f64, ec_ms_cm: f64, source_ec_ms_cm: f64) -> bool {
        let (low, high) = self.ec_in_tank_ms_cm(source_ec_ms_cm);
        (self.ph.0..=self.ph.1).contains(&ph) && (low..=high).contains(&ec_ms_cm)
    }
}

impl Crop {
    /// The working zone at a stage, in words of mS/cm; see the module for the rule. An unknown stage gets the claims for all
    /// stages.
    pub fn zone(&self, stage_id: &str) -> Zone {
        self.zone_told(stage_id, EcScale::MilliSiemens)
    }

    /// The same with EC put into words on the scale that a person reads; the zone's numbers stay mS/cm.
    pub fn zone_told(&self, stage_id: &str, scale: EcScale) -> Zone {
        let claims = self.claims_for(stage_id);
        let mut zone = Zone {
            ph: (PH_FLOOR, PH_CEILING),
            ec_ms_cm: EC_WITHOUT_CLAIM_MS_CM,
            ec_counts: EcCounts::WithSourceWater,
            why: Vec::new(),
            conflicts: Vec::new(),
            sources: Vec::new(),
        };
        zone.ph = self.ph_zone(&claims, &mut zone);
        zone.ec_ms_cm = self.ec_zone(&claims, &mut zone, Told::ec(scale));
        self.salt_speaks_against(&mut zone, Told::ec(scale));
        for claim in &claims {
            let sourced = claim.sourced();
            if !zone.sources.contains(&sourced) {
                zone.sources.push(sourced);
            }
        }
        zone
    }

    fn ph_zone(&self, claims: &[&BandClaim], zone: &mut Zone) -> (f64, f64) {
        let Some(joined) = join(claims, Told::of(Quantity::Ph, EcScale::MilliSiemens), zone) else {
            zone.why.push(format!(
                "No source gives a pH for {}: the zone is the {PH_FLOOR:.1} to {PH_CEILING:.1} that suits most crops (our choice).",
                self.name
            ));
            return (PH_FLOOR, PH_CEILING);
        };
        if joined.is_set() {
            return widen((joined.low, joined.high), NARROW_PH, (0.0, 14.0), &mut |from, to| {
                zone.why.push(narrow_words(Told::of(Quantity::Ph, EcScale::MilliSiemens), from, to));
            });
        }
        let published = || claims.iter().filter(|claim| claim.evidence.is_published() && !claim.shown_only);
        let outside =
            |beyond: fn(Band) -> bool| published().filter_map(|claim| claim.ph).filter(|b| beyond(*b)).count();
        // One dissenting bulletin is a conflict to show; two are the crop's own habit.
        let floor = if outside(|band| band.high() < PH_FLOOR) >= 2 { joined.low.min(PH_FLOOR) } else { PH_FLOOR };
        let ceiling = if outside(|band| band.low().is_some_and(|low| low > PH_CEILING)) >= 2 {
            joined.high.max(PH_CEILING)
        } else {
            PH_CEILING
        };
        let clipped = (joined.low.clamp(floor, ceiling), joined.high.clamp(floor, ceiling));
        let kept = Band::Span(floor, ceiling);
        if let Some(relation) = at_odds(joined.band, kept) {
            zone.conflicts.push(Conflict {
                quantity: Quantity::Ph,
                band: joined.band,
                words: format!(
                    "{} says pH {}, {relation} the {} of most guides: the zone stays within that (our choice).",
                    joined.leader.short(),
                    joined.band.words(),
                    kept.words()
                ),
                source: joined.leader.clone(),
            });
        }
        if (clipped.0 - joined.low).abs() > 1e-9 || (clipped.1 - joined.high).abs() > 1e-9 {
            zone.why.push(format!(
                "We keep pH between {floor:.1} and {ceiling:.1}, where all nutrients stay available (our choice): {} says {}.",
                joined.leader.short(),
                joined.band.words()
            ));
        }
        widen(clipped, LEAST_PH_WIDTH, (floor, ceiling), &mut |from, to| {
            zone.why.push(format!(
                "pH {} is narrower than a pen can steer, so the zone is {LEAST_PH_WIDTH} wide: {:.2} to {:.2} (our choice).",
                Told::of(Quantity::Ph, EcScale::MilliSiemens).span_to(from, 1),
                to.0,
                to.1
            ));
        })
    }

    fn ec_zone(&self, claims: &[&BandClaim], zone: &mut Zone, told: Told) -> (f64, f64) {
        for claim in claims {
            zone.conflicts.extend(plateau(claim, told));
        }
        let unit = told.unit();
        let Some(joined) = join(claims, told, zone) else {
            zone.why.push(format!(
                "No source gives an EC for {}: {}{unit}, your source water counted, is our starting value.",
                self.name,
                told.span_to(EC_WITHOUT_CLAIM_MS_CM, 1)
            ));
            return EC_WITHOUT_CLAIM_MS_CM;
        };
        zone.ec_counts = joined.ec_counts;
        zone.why.push(match joined.ec_counts {
            EcCounts::WithSourceWater => {
                "The EC counts everything in the tank, your source water included, as the meter shows it.".to_owned()
            }
            EcCounts::AboveSourceWater => "The EC is the feed's share: your source water's EC comes on top.".to_owned(),
        });
        let mut band = (joined.low, joined.high);
        if joined.is_set() {
            return widen(band, NARROW_EC_MS_CM, (0.0, f64::INFINITY), &mut |from, to| {
                zone.why.push(narrow_words(told, from, to));
            });
        }
        if band.1 - band.0 > GREATEST_EC_WIDTH_MS_CM + 1e-9 {
            let narrowed = (band.0, band.0 + GREATEST_EC_WIDTH_MS_CM);
            zone.why.push(format!(
                "{}{unit} is too wide to aim at: we keep the weaker part, {} (our choice), because salt is easier to add than to take out.",
                told.span_to(band, 1),
                told.span_to(narrowed, 1)
            ));
            band = narrowed;
        }
        // An upper limit must not be widened upwards.
        let top = if matches!(joined.band, Band::AtMost(_)) { joined.high } else { f64::INFINITY };
        widen(band, LEAST_EC_WIDTH_MS_CM, (0.1, top), &mut |from, to| {
            zone.why.push(format!(
                "EC {}{unit} is narrower than a pen can steer, so the zone is {} wide: {} (our choice).",
                told.span_to(from, 2),
                told.figure(LEAST_EC_WIDTH_MS_CM, 1),
                told.span_to(to, 2)
            ));
        })
    }

    fn salt_speaks_against(&self, zone: &mut Zone, told: Told) {
        let Some(tolerance) = &self.salt_tolerance else { return };
        let SaltTolerance { threshold_ms_cm, loss_percent_per_ms_cm } = tolerance.value;
        let weak = zone.ec_ms_cm.0;
        let loss = tolerance.value.loss_percent(weak);
        if loss <= LOSS_WORTH_A_WORD_PERCENT {
            return;
        }
        let source = tolerance.sourced();
        let unit = told.unit();
        let step = format!("{}{unit}", told.figure(1.0, 1));
        let step = if step == "1.0 mS/cm" { "mS/cm" } else { step.as_str() };
        let words = format!(
            "{} has yield fall from {}{unit} in soil water, by {loss_percent_per_ms_cm:.0} % for each {step} more: about {loss:.0} % at EC {}{}. Stay at the weak edge.",
            source.short(),
            told.figure(threshold_ms_cm, 1),
            told.figure(weak, 1),
            told.unit_but_ms_cm()
        );
        zone.conflicts.push(Conflict { quantity: Quantity::Ec, band: Band::AtMost(threshold_ms_cm), source, words });
    }
}

/// What a trial without a best EC says against any narrow band.
fn plateau(claim: &BandClaim, told: Told) -> Option<Conflict> {
    let (low, high) = claim.no_difference_ms_cm?;
    let band = Band::Span(low, high);
    let source = claim.sourced();
    let words = format!(
        "{} ({}) found no difference in growth between EC {}{}: a narrower band is custom, not need.",
        source.short(),
        source.evidence.words(),
        told.band(band).replace(" to ", " and "),
        told.unit()
    );
    Some(Conflict { quantity: Quantity::Ec, band, source, words })
}

/// The leader's band, with the bands of equal evidence that meet it.
struct Joined {
    low: f64,
    high: f64,
    band: Band,
    leader: Sourced,
    ec_counts: EcCounts,
}

impl Joined {
    /// Whether the person set it.
    fn is_set(&self) -> bool {
        self.leader.evidence == Evidence::Yours
    }
}

fn narrow_words(told: Told, from: (f64, f64), to: (f64, f64)) -> String {
    let (what, unit) = (told.name(), told.unit());
    let (from, to) = (told.span_to(from, 2), told.span_to(to, 2));
    format!("{what} {from}{unit} is narrower than a pen can tell, so the zone is {to}.")
}

fn band_of(claim: &BandClaim, quantity: Quantity) -> Option<Band> {
    match quantity {
        Quantity::Ph => claim.ph,
        Quantity::Ec => claim.ec_ms_cm,
    }
}

fn join(claims: &[&BandClaim], told: Told, zone: &mut Zone) -> Option<Joined> {
    let quantity = told.quantity();
    let with_band: Vec<(&BandClaim, Band)> =
        claims.iter().filter_map(|claim| band_of(claim, quantity).map(|band| (*claim, band))).collect();
    let usable = || with_band.iter().filter(|(claim, _)| !claim.shown_only);
    // `min_by_key` keeps the first of equals: the claim that names the stage, then the first in the file.
    let (leader, band) = usable().min_by_key(|(claim, _)| claim.evidence).copied()?;
    let (what, unit) = (told.name(), told.unit());
    let low = band.low().unwrap_or_else(|| (band.high() - LEAST_EC_WIDTH_MS_CM).max(band.high() * 0.5));
    let mut joined = Joined { low, high: band.high(), band, leader: leader.sourced(), ec_counts: leader.ec_counts };
    zone.why.push(if joined.is_set() {
        format!("{what} {}{unit}, as you set it.", told.band(band))
    } else {
        format!("{what} {}{unit}: {} ({}).", told.band(band), joined.leader.short(), leader.evidence.words())
    });
    if leader.evidence == Evidence::Memory {
        zone.why.push(format!("This {what} is from memory and no published source was found: trust it least."));
    }
    for (claim, other) in &with_band {
        if std::ptr::eq(*claim, leader) {
            continue;
        }
        let other_low = other.low().unwrap_or(f64::NEG_INFINITY);
        let meets = other_low <= band.high() + 1e-9 && other.high() >= low - 1e-9;
        let equal = claim.evidence == leader.evidence
            && !claim.shown_only
            && (quantity == Quantity::Ph || claim.ec_counts == leader.ec_counts)
            && !matches!(band, Band::AtMost(_));
        let conflict = conflict_words(told, (leader, band), (claim, *other), meets && equal);
        if meets && equal {
            let wider = (joined.low.min(other.low().unwrap_or(joined.low)), joined.high.max(other.high()));
            if conflict.is_none() && (wider.0 < joined.low - 1e-9 || wider.1 > joined.high + 1e-9) {
                zone.why.push(format!(
                    "{what} {}{unit}, says {}; the two overlap, so the zone spans both.",
                    told.band(*other),
                    claim.sourced().short()
                ));
            }
            (joined.low, joined.high) = wider;
        }
        if let Some(words) = conflict {
            zone.conflicts.push(Conflict { quantity, band: *other, source: claim.sourced(), words });
        }
    }
    Some(joined)
}

/// How a band is at odds with the leader's: it shares less than half of the narrower one with it. `None` where it is not.
fn at_odds(other: Band, leading: Band) -> Option<&'static str> {
    let low = |b: Band| b.low().unwrap_or(0.0);
    let shared = leading.high().min(other.high()) - low(leading).max(low(other));
    let narrower = (leading.high() - low(leading)).min(other.high() - low(other));
    if shared >= 0.5 * narrower - 1e-9 && shared >= -1e-9 {
        return None;
    }
    Some(if shared > 1e-9 {
        "which shares only a part with"
    } else if low(other) >= leading.high() - 1e-9 {
        "higher throughout than"
    } else {
        "lower throughout than"
    })
}

fn conflict_words(
    told: Told,
    (leader, band): (&BandClaim, Band),
    (claim, other): (&BandClaim, Band),
    spanned: bool,
) -> Option<String> {
    let relation = at_odds(other, band)?;
    let (what, unit) = (told.name(), told.unit());
    let (others, leads) = (told.band(other), told.band(band));
    let context = claim.note.as_deref().map(|note| format!(" ({note})")).unwrap_or_default();
    if leader.evidence == Evidence::Yours {
        return Some(format!(
            "{} says {what} {}{unit}{context}, {relation} {}{unit}: the zone follows what you set.",
            claim.sourced().short(),
            others,
            leads,
        ));
    }
    let reason = if claim.shown_only || claim.evidence < leader.evidence {
        ", as suits home units better (our choice)"
    } else if claim.evidence == leader.evidence {
        ""
    } else {
        ", the stronger evidence"
    };
    if spanned {
        return Some(format!(
            "{} says {what} {}{unit}{context}, {relation} {}{unit} of {}: the two meet, so the zone spans both.",
            claim.sourced().short(),
            others,
            leads,
            leader.sourced().short(),
        ));
    }
    Some(format!(
        "{} says {what} {}{unit}{context}, {relation} {}{unit}: the zone follows {}{reason}.",
        claim.sourced().short(),
        others,
        leads,
        leader.sourced().short(),
    ))
}

/// Widens a band about its middle to `least`, then shifts it into `limits`.
fn widen(band: (f64, f64), least: f64, limits: (f64, f64), told: &mut dyn FnMut((f64, f64), (f64, f64))) -> (f64, f64) {
    if band.1 - band.0 >= least - 1e-9 {
        return band;
    }
    let middle = 0.5 * (band.0 + band.1);
    let low = (middle - 0.5 * least).min(limits.1 - least).max(limits.0);
    // Thousandths are finer than any pen; the dust of binary fractions goes.
    let tidy = |value: f64| (value * 1000.0).round() / 1000.0;
    let wide = (tidy(low), tidy(low + least));
    told(band, wide);
    wide
}

/// Whether a stage is the seedling's, where pours are kept smaller.
pub fn is_seedling(stage_id: &str) -> bool {
    stage_id == SEEDLING
}
