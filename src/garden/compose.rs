//! From what a person knows of their water to what is in it.
//!
//! The rule: the kind's ion pattern gives the shares. Alkalinity is as told, or the kind's median scaled with the EC. The
//! other anions (chloride, sulfate, nitrate) are scaled until the modelled EC at 25 °C meets the one read. Hardness fixes
//! calcium and magnesium, a little potassium follows the pattern, sodium closes the charge. Dissolved carbon dioxide follows
//! from the pH at that alkalinity.
//!
//! Two readings are taken as the near-empty information they are: a pH in water of less than about 0.1 mS/cm (ASTM D5464
//! treats such waters apart), and an EC of 0.0, which means "below 0.05".
//!
//! All at 25 °C; mol per L and mol per kg of water are taken as equal (0.3 % apart).

use crate::chem::{Carbon, ChemError, Component, Medium, Mobilities, Totals, carbon_for_ph};

use super::check::{FieldProblem, Severity};
use super::report::{HCO3, likely};
use super::salts::weight;
use super::tool::plain;
use super::water::{IonPattern, SourceWater, WaterKind, WaterProfile, WaterReport};

/// Below this EC (mS/cm) a pH reading says next to nothing. Source: ASTM D5464 (scope: waters below 100 µS/cm).
pub const LEAST_EC_FOR_PH_MS_CM: f64 = 0.1;
/// Below this EC (mS/cm) the meter showed nothing but its zero.
pub const LEAST_EC_READ_MS_CM: f64 = 0.05;
/// EC taken when the meter shows 0.0, mS/cm: the middle of what that can be, or what is typical of the kind if that is less.
const EC_OF_ZERO_MS_CM: f64 = 0.025;
/// What counts as 0.0 on a meter, mS/cm.
const SHOWN_AS_ZERO_MS_CM: f64 = 0.005;
/// mg/L of `CaCO3` in one meq/L.
pub const MG_CACO3_PER_MEQ: f64 = (weight::CA + weight::C + 3.0 * weight::O) / 2.0;
/// An alkalinity may pass what the EC allows by this share: meters err by that much, and the other anions are then nil.
const EC_TOLERANCE: f64 = 0.08;

/// How the dissolved carbon dioxide is known.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum WaterCarbon {
    /// From the pH read.
    Ph(f64),
    /// From log10 of the partial pressure (atm) it is in balance with.
    Log10Pco2(f64),
}

/// A source water's composition.
#[derive(Clone, PartialEq, Debug)]
pub struct WaterComposition {
    /// Totals, mol per kg of water.
    pub totals: Totals,
    /// EC modelled at 25 °C, mS/cm.
    pub ec_ms_cm: f64,
    /// pH modelled at 25 °C.
    pub ph: f64,
    /// Alkalinity, meq/L.
    pub alkalinity_meq_l: f64,
    /// Anions other than bicarbonate, meq/L.
    pub other_anions_meq_l: f64,
    /// log10 of the carbon dioxide pressure it is in balance with, atm.
    pub log10_pco2: f64,
    /// Whether the pH read was used (it is not in nearly pure water).
    pub ph_used: bool,
    /// Whether the EC read was used (0.0 is not).
    pub ec_used: bool,
    /// What to tell the person, one sentence each.
    pub notes: Vec<String>,
}

/// An alkalinity as drop kits and reports tell it, with its equivalents: "105 mg/L CaCO3 (2.1 meq/L)".
fn alkalinity_words(meq_l: f64) -> String {
    let decimals = if meq_l < 1.0 { 2 } else { 1 };
    format!("{:.0} mg/L CaCO3 ({meq_l:.decimals$} meq/L)", meq_l * MG_CACO3_PER_MEQ)
}

/// Why a water cannot be as told.
#[derive(Clone, PartialEq, Debug, thiserror::Error)]
#[non_exhaustive]
pub enum WaterError {
    /// A field outside its limits.
    #[error("{}", .0.message)]
    Field(Box<FieldProblem>),
    /// More alkalinity than the EC has room for.
    #[error(
        "an alkalinity of {} alone makes more than an EC of {ec_ms_cm:.2} mS/cm; at that EC it can be at most {}",
        alkalinity_words(*alkalinity_meq_l),
        alkalinity_words(*limit_meq_l)
    )]
    AlkalinityAboveEc {
        /// Told, meq/L.
        alkalinity_meq_l: f64,
        /// Read, mS/cm.
        ec_ms_cm: f64,
        /// Most that the EC allows, meq/L.
        limit_meq_l: f64,
    },
    /// More calcium and magnesium than there are anions.
    #[error(
        "a hardness of {hardness_mg_caco3_l:.0} mg/L CaCO3 is more than this EC and alkalinity allow, {limit_mg_caco3_l:.0} mg/L"
    )]
    HardnessAboveEc {
        /// Told, mg/L as `CaCO3`.
        hardness_mg_caco3_l: f64,
        /// Most that fits, mg/L as `CaCO3`.
        limit_mg_caco3_l: f64,
    },
    /// No amount of carbon dioxide gives that pH.
    #[error(
        "a pH of {ph:.1} does not go with an alkalinity of {}: it can lie between {low:.1} and {high:.1}",
        alkalinity_words(*alkalinity_meq_l)
    )]
    PhAgainstAlkalinity {
        /// Read.
        ph: f64,
        /// Told, meq/L.
        alkalinity_meq_l: f64,
        /// Lowest pH possible.
        low: f64,
        /// Highest pH possible.
        high: f64,
    },
    /// The catalog does not have this kind.
    #[error("the catalog has no profile of this kind of water: {kind:?}")]
    NoProfile {
        /// Which.
        kind: WaterKind,
    },
    /// A report that does not balance by far.
    #[error(
        "the report does not balance: {cations_meq_l:.2} meq/L of cations against {anions_meq_l:.2} of anions (at most a quarter apart){likely}"
    )]
    ReportImbalance {
        /// Sum of cations, meq/L.
        cations_meq_l: f64,
        /// Sum of anions, meq/L.
        anions_meq_l: f64,
        /// The likeliest slip, to stand behind the sentence; empty where none explains it.
        likely: String,
    },
    /// The chemistry has no answer.
    #[error(transparent)]
    Chemistry(#[from] ChemError),
}

/// Modelled EC at 25 °C of totals, mS/cm, carbon dioxide kept.
///
/// # Errors
/// Those of a solve.
pub fn ec25_ms_cm(totals: &Totals) -> Result<f64, ChemError> {
    let medium = Medium::standard();
    Ok(medium.solve(totals, Carbon::Kept)?.conductivity_us_cm(medium, Mobilities::Full) / 1000.0)
}

/// A water from its pattern, alkalinity and other anions: the pure function under every belief about a source water.
///
/// `alkalinity_meq_l` and `other_anions_meq_l` are 0 or more; `hardness_meq_l`, when given, is cut to what the anions balance.
/// The alkalinity of the result is exact.
///
/// # Errors
/// [`WaterError::PhAgainstAlkalinity`] when no carbon dioxide gives the pH; errors of a solve.
pub fn compose(
    pattern: &IonPattern,
    alkalinity_meq_l: f64,
    other_anions_meq_l: f64,
    hardness_meq_l: Option<f64>,
    carbon: WaterCarbon,
) -> Result<Totals, WaterError> {
    with_carbon(compose_ions(pattern, alkalinity_meq_l, other_anions_meq_l, hardness_meq_l), carbon)
}

/// The same without any inorganic carbon: what a caller that sets carbon dioxide itself starts from.
pub fn compose_ions(
    pattern: &IonPattern,
    alkalinity_meq_l: f64,
    other_anions_meq_l: f64,
    hardness_meq_l: Option<f64>,
) -> Totals {
    let alkalinity = alkalinity_meq_l * 1e-3;
    let others = other_anions_meq_l * 1e-3;
    let all = alkalinity + others;
    let hardness = hardness_meq_l.map_or(pattern.hardness_share * all, |meq| meq * 1e-3).clamp(0.0, all.max(0.0));
    let potassium = (pattern.k_share * all).min(all - hardness);
    Totals::from_pairs(&[
        (Component::Ca, hardness * (1.0 - pattern.mg_of_hardness) / 2.0),
        (Component::Mg, hardness * pattern.mg_of_hardness / 2.0),
        (Component::K, potassium),
        (Component::Na, (all - hardness - potassium).max(0.0)),
        (Component::Cl, others * pattern.cl_share),
        (Component::So4, others * pattern.so4_share / 2.0),
        (Component::No3, others * pattern.no3_share),
        (Component::Si, pattern.si_per_eq * all),
    ])
}

fn with_carbon(totals: Totals, carbon: WaterCarbon) -> Result<Totals, WaterError> {
    let medium = Medium::standard();
    let mol = match carbon {
        WaterCarbon::Log10Pco2(log10_pco2_atm) => {
            medium.solve(&totals, Carbon::Balance { log10_pco2_atm })?.total_carbon()
        }
        WaterCarbon::Ph(ph) => carbon_for_ph(medium, &totals, ph).map_err(|error| match error {
            ChemError::NoSuchCarbon { .. } | ChemError::TooMuchCarbon { .. } => {
                ph_limits(&totals, ph).unwrap_or(error.into())
            }
            other => other.into(),
        })?,
    };
    Ok(totals.with(Component::C, mol))
}

fn ph_limits(totals: &Totals, ph: f64) -> Option<WaterError> {
    let medium = Medium::standard();
    let high = medium.solve(&totals.with(Component::C, 0.0), Carbon::Kept).ok()?.ph();
    let low = medium.solve(totals, Carbon::Balance { log10_pco2_atm: 0.0 }).ok()?.ph();
    Some(WaterError::PhAgainstAlkalinity { ph, alkalinity_meq_l: totals.alkalinity() * 1e3, low, high })
}

/// A water whose modelled EC at 25 °C is `ec_ms_cm` (within 0.01 %): the other anions are scaled. Returns them too, meq/L.
///
/// # Errors
/// [`WaterError::AlkalinityAboveEc`] when the alkalinity alone passes the EC; otherwise as [`compose`].
pub fn compose_to_ec(
    pattern: &IonPattern,
    alkalinity_meq_l: f64,
    ec_ms_cm: f64,
    hardness_meq_l: Option<f64>,
    carbon: WaterCarbon,
) -> Result<(Totals, f64), WaterError> {
    let at = |others: f64| -> Result<(Totals, f64), WaterError> {
        let totals = compose(pattern, alkalinity_meq_l, others, hardness_meq_l, carbon)?;
        let ec = ec25_ms_cm(&totals)?;
        Ok((totals, ec))
    };
    let (mut low, mut ec_low) = (0.0, at(0.0)?.1);
    if ec_low > ec_ms_cm {
        // EC is very nearly proportional to alkalinity over so small a step.
        let limit_meq_l = alkalinity_meq_l * ec_ms_cm / ec_low;
        return Err(WaterError::AlkalinityAboveEc { alkalinity_meq_l, ec_ms_cm, limit_meq_l });
    }
    // One meq/L of salt makes about 0.11 mS/cm: the secant starts there and the curve is nearly straight.
    let mut guess = (ec_ms_cm - ec_low) / 0.11;
    let mut found = at(guess)?;
    for _ in 0..30 {
        let error = found.1 - ec_ms_cm;
        if error.abs() <= 1e-4 * ec_ms_cm.max(1e-3) {
            break;
        }
        let slope = (found.1 - ec_low) / (guess - low);
        let slope = if slope.is_finite() && slope > 1e-3 { slope } else { 0.11 };
        (low, ec_low) = (guess, found.1);
        guess = (guess - error / slope).max(0.0);
        found = at(guess)?;
    }
    Ok((found.0, guess))
}

impl SourceWater {
    /// The one composition that stands for what is known: the middle of the belief. What is mixed into the water is not looked
    /// at here: [`SourceWater::known`] does that.
    ///
    /// # Errors
    /// [`WaterError`]: a field outside its limits, or numbers that contradict each other.
    pub fn composition(&self, profile: &WaterProfile) -> Result<WaterComposition, WaterError> {
        self.first_refusal()?;
        let mut notes = Vec::new();
        let typical_ec = profile.ec_ms_cm.value;
        let ec_read = self.ec_ms_cm.filter(|ec| *ec >= SHOWN_AS_ZERO_MS_CM);
        let ec = self.ec_ms_cm.map(|ec| if ec < SHOWN_AS_ZERO_MS_CM { EC_OF_ZERO_MS_CM.min(typical_ec) } else { ec });
        if let (Some(taken), None) = (ec, ec_read) {
            notes.push(format!("An EC of 0.0 means \"below {LEAST_EC_READ_MS_CM}\": it is taken as {}.", plain(taken)));
        }
        let ph_ec = ec.unwrap_or(typical_ec);
        let ph = self.ph.filter(|_| ph_ec >= LEAST_EC_FOR_PH_MS_CM);
        if self.ph.is_some() && ph.is_none() {
            notes.push(
                "pH read in nearly pure water says next to nothing: it is set aside until there is feed in the water."
                    .to_owned(),
            );
        }
        let pco2 = WaterCarbon::Log10Pco2(profile.log10_pco2_fresh.value.mean);
        let carbon = ph.map_or(pco2, WaterCarbon::Ph);
        let made = match &self.report {
            Some(report) => self.compose_report(report, profile, ec, carbon, &mut notes),
            None => self.compose_readings(profile, ec, carbon, &mut notes),
        }?;
        let medium = Medium::standard();
        let solved = medium.solve(&made.0, Carbon::Kept)?;
        let log10_pco2 = solved.log10_pco2(medium).unwrap_or(profile.log10_pco2_fresh.value.mean);
        if ph.is_some() && log10_pco2 > -1.2 {
            notes.push(
                "So low a pH at this alkalinity means very much carbon dioxide: read the pH again in a stirred glass."
                    .to_owned(),
            );
        }
        if ph.is_some() && log10_pco2 < -4.5 {
            notes.push(
                "So high a pH at this alkalinity means almost no carbon dioxide: it will fall on standing in air."
                    .to_owned(),
            );
        }
        Ok(WaterComposition {
            ec_ms_cm: solved.conductivity_us_cm(medium, Mobilities::Full) / 1000.0,
            ph: solved.ph(),
            alkalinity_meq_l: made.0.alkalinity() * 1e3,
            other_anions_meq_l: made.1,
            log10_pco2,
            totals: made.0,
            ph_used: ph.is_some(),
            ec_used: ec_read.is_some(),
            notes,
        })
    }

    /// The first field that cannot be used.
    pub(super) fn first_refusal(&self) -> Result<(), WaterError> {
        match self.check().into_iter().find(|problem| problem.severity == Severity::Refused) {
            Some(problem) => Err(WaterError::Field(Box::new(problem))),
            None => Ok(()),
        }
    }

    fn compose_readings(
        &self,
        profile: &WaterProfile,
        ec: Option<f64>,
        carbon: WaterCarbon,
        notes: &mut Vec<String>,
    ) -> Result<(Totals, f64), WaterError> {
        let pattern = &profile.pattern.value;
        let hardness = self.hardness_mg_caco3_l.map(|mg| mg / MG_CACO3_PER_MEQ);
        let share = ec.map_or(1.0, |ec| ec / profile.ec_ms_cm.value);
        let guessed = self.alkalinity_meq_l.is_none();
        let mut alkalinity = self.alkalinity_meq_l.unwrap_or(profile.alkalinity_meq_l.value.median * share);
        if guessed {
            notes.push(format!(
                "Alkalinity is not known: {} is usual for {}{}. A drop test would sharpen every acid dose.",
                alkalinity_words(alkalinity),
                profile.name.to_lowercase(),
                if ec.is_some() { " of this EC" } else { "" }
            ));
        }
        let make = |alkalinity: f64, notes: &mut Vec<String>| {
            let Some(ec) = ec else {
                let others = profile.other_anions_meq_l.value.median;
                return compose(pattern, alkalinity, others, hardness, carbon).map(|totals| (totals, others));
            };
            match compose_to_ec(pattern, alkalinity, ec, hardness, carbon) {
                Err(WaterError::AlkalinityAboveEc { limit_meq_l, .. })
                    if alkalinity <= limit_meq_l * (1.0 + EC_TOLERANCE) =>
                {
                    notes.push(
                        "The alkalinity is as much as this EC allows: nothing else is taken to be in the water."
                            .to_owned(),
                    );
                    compose(pattern, alkalinity, 0.0, hardness, carbon).map(|totals| (totals, 0.0))
                }
                other => other,
            }
        };
        let mut made = make(alkalinity, notes);
        // A guessed alkalinity gives way to a pH that was read.
        for _ in 0..12 {
            match &made {
                Err(WaterError::PhAgainstAlkalinity { ph, low, .. }) if guessed && ph < low => {
                    alkalinity *= 0.5;
                    made = make(alkalinity, notes);
                }
                _ => break,
            }
        }
        let made = made?;
        if let Some(told) = hardness {
            let limit = made.0.alkalinity() * 1e3 + made.1;
            if told > limit * (1.0 + EC_TOLERANCE) + 0.05 {
                return Err(WaterError::HardnessAboveEc {
                    hardness_mg_caco3_l: told * MG_CACO3_PER_MEQ,
                    limit_mg_caco3_l: limit * MG_CACO3_PER_MEQ,
                });
            }
        }
        Ok(made)
    }

    fn compose_report(
        &self,
        report: &WaterReport,
        profile: &WaterProfile,
        ec: Option<f64>,
        carbon: WaterCarbon,
        notes: &mut Vec<String>,
    ) -> Result<(Totals, f64), WaterError> {
        let mmol = |mg_l: Option<f64>, molar_mass: f64| mg_l.unwrap_or(0.0) / molar_mass * 1e-3;
        let hardness = self.hardness_mg_caco3_l.map(|mg| mg / MG_CACO3_PER_MEQ * 1e-3);
        let (mut ca, mut mg) = (mmol(report.ca_mg_l, weight::CA), mmol(report.mg_mg_l, weight::MG));
        if let Some(hardness) = hardness {
            // The report's own lines win; the hardness fills what it leaves out.
            match (report.ca_mg_l, report.mg_mg_l) {
                (None, None) => {
                    mg = hardness * profile.pattern.value.mg_of_hardness / 2.0;
                    ca = hardness / 2.0 - mg;
                }
                (Some(_), None) => mg = (hardness / 2.0 - ca).max(0.0),
                (None, Some(_)) => ca = (hardness / 2.0 - mg).max(0.0),
                (Some(_), Some(_)) => {}
            }
        }
        let mut totals = Totals::from_pairs(&[
            (Component::Ca, ca),
            (Component::Mg, mg),
            (Component::Na, mmol(report.na_mg_l, weight::NA)),
            (Component::K, mmol(report.k_mg_l, weight::K)),
            (Component::Cl, mmol(report.cl_mg_l, weight::CL)),
            (Component::So4, mmol(report.so4_mg_l, Component::So4.molar_mass_g())),
            (Component::No3, mmol(report.no3_mg_l, Component::No3.molar_mass_g())),
            (Component::Si, mmol(report.sio2_mg_l, weight::SI + 2.0 * weight::O)),
            (Component::B, mmol(report.b_mg_l, weight::B)),
        ]);
        let bicarbonate = report.hco3_mg_l.map(|mg| mg / HCO3 * 1e-3);
        let told = self.alkalinity_meq_l.map(|meq| meq * 1e-3).or(bicarbonate);
        let cations = 2.0 * (ca + mg) + totals[Component::Na] + totals[Component::K];
        let others = cations - totals.alkalinity();
        if let Some(alkalinity) = told {
            let missing = totals.alkalinity() - alkalinity;
            let most = cations.max(others + alkalinity);
            let all_listed = report.lists_major_ions();
            if all_listed && missing.abs() > 0.25 * most {
                return Err(WaterError::ReportImbalance {
                    cations_meq_l: cations * 1e3,
                    anions_meq_l: (others + alkalinity) * 1e3,
                    likely: likely(&report.likely_slips(self.alkalinity_meq_l)),
                });
            }
            // What the report leaves out closes the charge: chloride or sulfate, else sodium.
            if missing > 0.0 {
                if report.cl_mg_l.is_none() || report.so4_mg_l.is_some() {
                    totals[Component::Cl] += missing;
                } else {
                    totals[Component::So4] += missing / 2.0;
                }
            } else {
                totals[Component::Na] -= missing;
            }
            if missing.abs() > 0.05 * most {
                notes.push(format!(
                    "The report's ions do not balance: {:.2} meq/L of {} closes them{}.",
                    missing.abs() * 1e3,
                    if missing > 0.0 { "chloride or sulfate" } else { "sodium" },
                    likely(&report.likely_slips(self.alkalinity_meq_l))
                ));
            }
        } else if totals.alkalinity() < 0.0 {
            totals[Component::Na] -= totals.alkalinity();
            notes.push("The report has more anions than cations: sodium closes them, with no alkalinity.".to_owned());
        } else {
            notes.push(format!(
                "The report gives no alkalinity: what its ions leave over, {:.2} meq/L, is taken as alkalinity.",
                totals.alkalinity() * 1e3
            ));
        }
        let totals = with_carbon(totals, carbon)?;
        let modelled = ec25_ms_cm(&totals)?;
        if let Some(read) = ec.filter(|read| (read - modelled).abs() > 0.15 * modelled + 0.03) {
            notes.push(format!("The report's ions make an EC of {modelled:.2} mS/cm, but the meter read {read:.2}: is it the same water?"));
        }
        let others = totals[Component::Cl] + 2.0 * totals[Component::So4] + totals[Component::No3];
        Ok((totals, others * 1e3))
    }
}
