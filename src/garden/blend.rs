//! Source water as a whole: one water, or two mixed in the jug, and what is believed of it before any reading.
//!
//! A mix is made of what each of the two is: their ions, alkalinity and carbon dioxide add up by volume. So do the beliefs:
//! a sum of two log-normals is taken as the log-normal of the same mean and variance (Fenton 1960, "The sum of log-normal
//! probability distributions in scatter transmission systems", IRE Trans. Commun. Syst. 8, 57; from memory). What is known of
//! one water only counts as known of the mix where the other brings less than a tenth: rain in tap water.

use std::borrow::Cow;

use crate::chem::{Carbon, Component, Medium, Mobilities, Totals};

use super::catalog::Catalog;
use super::compose::{MG_CACO3_PER_MEQ, WaterComposition, WaterError};
use super::evidence::{Cited, Evidence, LnPrior, NormalPrior};
use super::priors::Priors;
use super::report::{Told, hardness_meq_l, warnings};
use super::tool::plain;
use super::water::{Blend, IonPattern, SourceWater, WaterProfile};

/// What an unknown part may bring of the whole for the whole still to count as known. Ours: no meter or drop kit is better.
const LITTLE_SHARE: f64 = 0.1;

/// A source water as a belief starts from it.
#[derive(Clone, PartialEq, Debug)]
pub struct KnownWater {
    /// The middle of the belief: what is in it.
    pub composition: WaterComposition,
    /// What is typical of its kind; of a mix, of both kinds mixed.
    pub profile: WaterProfile,
    /// Alkalinity, meq/L.
    pub alkalinity_meq_l: LnPrior,
    /// Whether somebody told the alkalinity.
    pub is_alkalinity_told: bool,
    /// Hardness where it was told, meq/L.
    pub hardness_meq_l: Option<f64>,
    /// Its ions without inorganic carbon, where a report tells them all.
    pub report_ions: Option<Totals>,
    /// EC as read, mS/cm; of a mix what the two readings make. A reading of 0.0 is none.
    pub ec_read_ms_cm: Option<f64>,
    /// Whether two waters are mixed in it.
    pub is_mix: bool,
    /// pH as read, where it says something; of a mix nobody read it.
    pub ph_read: Option<f64>,
}

impl Blend {
    /// A water mixed into another one, so much of the whole by volume. A blend that it has itself is left out: two waters are
    /// mixed, not more.
    pub const fn of(share: f64, water: SourceWater) -> Self {
        let SourceWater { kind, ec_ms_cm, ph, alkalinity_meq_l, hardness_mg_caco3_l, report, blend: _ } = water;
        Self { share, kind, ec_ms_cm, ph, alkalinity_meq_l, hardness_mg_caco3_l, report }
    }

    /// The water that is mixed in, on its own.
    pub const fn water(self) -> SourceWater {
        let Self { share: _, kind, ec_ms_cm, ph, alkalinity_meq_l, hardness_mg_caco3_l, report } = self;
        SourceWater { kind, ec_ms_cm, ph, alkalinity_meq_l, hardness_mg_caco3_l, report, blend: None }
    }
}

impl SourceWater {
    /// The water without what is mixed into it.
    #[must_use]
    pub const fn unmixed(self) -> Self {
        Self { blend: None, ..self }
    }

    /// EC as read, mS/cm; of a mix by volume where both were read.
    pub fn ec_read_ms_cm(&self) -> Option<f64> {
        match self.blend {
            None => self.ec_ms_cm,
            Some(blend) => Some((1.0 - blend.share) * self.ec_ms_cm? + blend.share * blend.ec_ms_cm?),
        }
    }

    /// Name for people, lower case: "hard tap water", or "hard tap water with 60 % rain water".
    pub fn words(&self, catalog: &Catalog) -> String {
        let name =
            |water: &Self| catalog.water(water.kind).map_or_else(String::new, |profile| profile.name.to_lowercase());
        match self.blend {
            None => name(self),
            Some(blend) => mix_words(blend.share, &name(self), &name(&blend.water())),
        }
    }

    /// What a belief about this water starts from.
    ///
    /// # Errors
    /// [`WaterError`]: a field outside its limits, numbers that contradict each other, a kind that the catalog does not have.
    pub fn known(&self, catalog: &Catalog) -> Result<KnownWater, WaterError> {
        // Fields first, those of the blend with their place in it.
        self.first_refusal()?;
        let first = Part::of(&self.unmixed(), catalog)?;
        let Some(blend) = self.blend else { return Ok(first.alone()) };
        let other = Part::of(&blend.water(), catalog)?;
        mixed(&[(1.0 - blend.share, first), (blend.share, other)])
    }
}

fn mix_words(share: f64, first: &str, other: &str) -> String {
    format!("{first} with {} % {other}", plain((share * 1000.0).round() / 10.0))
}

/// One of the waters.
struct Part<'a> {
    water: SourceWater,
    profile: Cow<'a, WaterProfile>,
    composition: WaterComposition,
    alkalinity: LnPrior,
    is_alkalinity_told: bool,
}

impl<'a> Part<'a> {
    fn of(water: &SourceWater, catalog: &'a Catalog) -> Result<Self, WaterError> {
        let profile = catalog.water(water.kind).ok_or(WaterError::NoProfile { kind: water.kind })?;
        let composition = water.composition(profile)?;
        let is_alkalinity_told = water.alkalinity_meq_l.is_some() || water.report.is_some();
        let alkalinity = if is_alkalinity_told {
            LnPrior {
                median: composition.alkalinity_meq_l.max(1e-3),
                ln_sd: Priors::shipped().stated_alkalinity_ln_sd.value,
            }
        } else {
            profile.alkalinity_meq_l.value
        };
        Ok(Self { water: *water, profile: Cow::Borrowed(profile), composition, alkalinity, is_alkalinity_told })
    }

    fn alone(self) -> KnownWater {
        let Self { water, profile, mut composition, alkalinity, is_alkalinity_told } = self;
        composition.notes.extend(warnings(&composition, Told::of(&water), water.kind));
        KnownWater {
            alkalinity_meq_l: alkalinity,
            is_alkalinity_told,
            hardness_meq_l: water.hardness_mg_caco3_l.map(|mg| mg / MG_CACO3_PER_MEQ),
            report_ions: water.report.is_some().then_some(composition.totals.with(Component::C, 0.0)),
            ec_read_ms_cm: water.ec_ms_cm.filter(|_| composition.ec_used),
            is_mix: false,
            ph_read: water.ph.filter(|_| composition.ph_used),
            profile: profile.into_owned(),
            composition,
        }
    }
}

type Parts<'a> = [(f64, Part<'a>); 2];

/// What is known of two waters in one jug, each with its share.
fn mixed(parts: &Parts<'_>) -> Result<KnownWater, WaterError> {
    let sum = |of: &dyn Fn(&Part<'_>) -> f64| parts.iter().map(|(share, part)| share * of(part)).sum::<f64>();
    // Whether what is not told of one part is little beside what the mix holds.
    let known = |told: &dyn Fn(&Part<'_>) -> bool, amount: &dyn Fn(&Part<'_>) -> f64| {
        let untold: f64 = parts.iter().filter(|(_, part)| !told(part)).map(|(share, part)| share * amount(part)).sum();
        parts.iter().any(|(share, part)| *share > 0.0 && told(part)) && untold <= LITTLE_SHARE * sum(amount)
    };
    let hardness = |part: &Part<'_>| hardness_meq_l(&part.composition.totals);
    let has_report = |part: &Part<'_>| part.water.report.is_some();
    let tells_hardness = |part: &Part<'_>| part.water.hardness_mg_caco3_l.is_some() || has_report(part);
    let ec = |part: &Part<'_>| part.composition.ec_ms_cm;

    let totals =
        parts.iter().fold(Totals::ZERO, |sum, (share, part)| sum.plus_scaled(&part.composition.totals, *share));
    let medium = Medium::standard();
    let solved = medium.solve(&totals, Carbon::Kept)?;
    let [(_, first), (share, other)] = parts;
    let mut composition = WaterComposition {
        ec_ms_cm: solved.conductivity_us_cm(medium, Mobilities::Full) / 1000.0,
        ph: solved.ph(),
        alkalinity_meq_l: totals.alkalinity() * 1e3,
        other_anions_meq_l: sum(&|part| part.composition.other_anions_meq_l),
        log10_pco2: solved.log10_pco2(medium).unwrap_or_else(|| first.composition.log10_pco2.min(0.0)),
        totals,
        ph_used: false,
        ec_used: known(&|part| part.composition.ec_used, &ec),
        notes: notes(parts),
    };
    let kind = if parts.iter().all(|(_, part)| part.water.kind == first.water.kind) {
        first.water.kind
    } else {
        super::water::WaterKind::Unknown
    };
    composition.notes.extend(warnings(&composition, Told::of(&first.water).or(Told::of(&other.water)), kind));
    let name = mix_words(*share, &first.profile.name, &other.profile.name.to_lowercase());
    Ok(KnownWater {
        alkalinity_meq_l: LnPrior::sum(parts.each_ref().map(|(share, part)| (*share, part.alkalinity))),
        is_alkalinity_told: known(&|part| part.is_alkalinity_told, &|part| part.alkalinity.median),
        hardness_meq_l: known(&tells_hardness, &hardness).then(|| hardness_meq_l(&totals)),
        report_ions: known(&has_report, &ec).then(|| totals.with(Component::C, 0.0)),
        ec_read_ms_cm: composition.ec_used.then(|| {
            // What was not read is next to nothing, and as the kind has it.
            sum(&|part| part.water.ec_ms_cm.filter(|_| part.composition.ec_used).unwrap_or(ec(part)))
        }),
        is_mix: true,
        ph_read: None,
        profile: profile(parts, name, &composition, kind),
        composition,
    })
}

/// What is to be told of both, each by its name, and of the readings of each.
fn notes(parts: &Parts<'_>) -> Vec<String> {
    let of = |(share, part): &(f64, Part<'_>)| {
        let name = part.profile.name.clone();
        let notes = part.composition.notes.clone();
        (*share > 0.0).then(|| notes.into_iter().map(move |note| format!("{name}: {note}"))).into_iter().flatten()
    };
    parts.iter().flat_map(of).collect()
}

fn cited<T>(value: T, source: &str) -> Cited<T> {
    Cited { value, source: source.to_owned(), evidence: Evidence::Ours }
}

/// What is typical of the mix.
fn profile(
    parts: &Parts<'_>,
    name: String,
    composition: &WaterComposition,
    kind: super::water::WaterKind,
) -> WaterProfile {
    let source = format!(
        "{} and {}, mixed by volume; sums of log-normals by matched moments (Fenton 1960)",
        parts[0].1.profile.name, parts[1].1.profile.name
    );
    let anions = |of: &dyn Fn(&WaterProfile) -> LnPrior| {
        LnPrior::sum(parts.each_ref().map(|(share, part)| (*share, of(&part.profile))))
    };
    // Dissolved carbon dioxide adds up by volume: each water's part in the doubt is its part in the gas.
    let pressure = |of: &dyn Fn(&WaterProfile) -> NormalPrior, mean: Option<f64>| {
        let gas = parts.each_ref().map(|(share, part)| share * 10_f64.powf(of(&part.profile).mean));
        let all: f64 = gas.iter().sum();
        let sd = parts.iter().zip(gas).map(|((_, part), gas)| (gas / all * of(&part.profile).sd).powi(2));
        NormalPrior { mean: mean.unwrap_or_else(|| all.log10()), sd: sd.sum::<f64>().sqrt() }
    };
    let ph_read = parts.iter().any(|(_, part)| part.composition.ph_used);
    WaterProfile {
        kind,
        hint: String::new(),
        pattern: cited(pattern_of(&composition.totals), &source),
        ec_ms_cm: cited(parts.iter().map(|(share, part)| share * part.profile.ec_ms_cm.value).sum(), &source),
        ph: cited(composition.ph, &source),
        alkalinity_meq_l: cited(anions(&|profile| profile.alkalinity_meq_l.value), &source),
        other_anions_meq_l: cited(anions(&|profile| profile.other_anions_meq_l.value), &source),
        log10_pco2_fresh: cited(
            // With a pH read the composition knows better than the kinds, as far as one reading goes.
            pressure(&|profile| profile.log10_pco2_fresh.value, (!ph_read).then_some(composition.log10_pco2)),
            &source,
        ),
        log10_pco2_stood: cited(pressure(&|profile| profile.log10_pco2_stood.value, None), &source),
        note: None,
        warning: warning(parts),
        name,
    }
}

/// What is warned of either water, where there is any of it.
fn warning(parts: &Parts<'_>) -> Option<String> {
    let warned = parts.iter().filter(|(share, _)| *share > 0.0).filter_map(|(_, part)| part.profile.warning.clone());
    Some(warned.collect::<Vec<_>>().join(" ")).filter(|words| !words.is_empty())
}

/// The shares that a composition shows.
fn pattern_of(totals: &Totals) -> IonPattern {
    let hardness = 2.0 * (totals[Component::Ca] + totals[Component::Mg]);
    let cations = (hardness + totals[Component::Na] + totals[Component::K]).max(1e-12);
    let anions = totals[Component::Cl] + 2.0 * totals[Component::So4] + totals[Component::No3];
    // Water without other anions still needs shares that make 1.
    let share = |amount: f64, nothing: f64| if anions > 1e-12 { amount / anions } else { nothing };
    IonPattern {
        cl_share: share(totals[Component::Cl], 1.0),
        so4_share: share(2.0 * totals[Component::So4], 0.0),
        no3_share: share(totals[Component::No3], 0.0),
        si_per_eq: totals[Component::Si] / cations,
        hardness_share: hardness / cations,
        mg_of_hardness: if hardness > 1e-12 { 2.0 * totals[Component::Mg] / hardness } else { 0.0 },
        k_share: totals[Component::K] / cations,
    }
}
