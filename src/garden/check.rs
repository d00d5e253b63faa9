//! Checks of what a person typed: each problem names the field, the value and the limit, and offers the likely meaning.
//!
//! The limits that are not physics are ours: tanks up to 500 L, water up to 40 °C, EC up to 15 mS/cm in a tank and up to 5
//! in source water.

use super::meter::{Compensation, Meter};
use super::reading::{JarTest, Reading};
use super::tool::{Tool, plain};
use super::water::SourceWater;
use crate::units::EcScale;

/// Largest tank, L.
pub const MOST_VOLUME_L: f64 = 500.0;
/// Largest EC in a tank, mS/cm: the chemistry was checked up to here.
pub const MOST_EC_MS_CM: f64 = 15.0;
/// Largest EC of a source water, mS/cm.
pub const MOST_SOURCE_EC_MS_CM: f64 = 5.0;
/// Warmest water, °C. Above it the number was most likely °F.
pub const MOST_TEMPERATURE_C: f64 = 40.0;
/// Most water in a jar test, L. Ours: more is no jar.
pub const MOST_JAR_L: f64 = 5.0;
/// Most drops in a millilitre. Ours: finer than any dropper.
const MOST_DROPS_PER_ML: f64 = 100.0;
/// EC above which a number in mS/cm is most likely µS/cm or ppm.
const EC_SURELY_OTHER_SCALE: f64 = 50.0;

/// How much it matters.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Severity {
    /// Can be kept; worth a second look.
    Caution,
    /// Cannot be used.
    Refused,
}

/// A likely meaning of what was typed.
#[derive(Clone, PartialEq, Debug)]
pub struct Fix {
    /// What the button says, for example `7.0` or `1200 µS/cm`.
    pub label: String,
    /// The value it puts into the field, in the field's unit.
    pub value: f64,
}

/// Something about one field.
#[derive(Clone, PartialEq, Debug)]
pub struct FieldProblem {
    /// Key of the field, the name it has in [`super::Unit`], [`Reading`] or [`SourceWater`]; nested fields with a dot.
    pub field: String,
    /// What was given.
    pub value: String,
    /// What is allowed.
    pub limit: String,
    /// One sentence for people: field, value, limit.
    pub message: String,
    /// Likely meanings, most likely first.
    pub offers: Vec<Fix>,
    /// How much it matters.
    pub severity: Severity,
}

impl FieldProblem {
    /// Something that cannot be used.
    pub fn refused(
        field: &str,
        value: impl Into<String>,
        limit: impl Into<String>,
        message: impl Into<String>,
    ) -> Self {
        Self {
            field: field.to_owned(),
            value: value.into(),
            limit: limit.into(),
            message: message.into(),
            offers: Vec::new(),
            severity: Severity::Refused,
        }
    }

    /// Something to look at twice.
    #[must_use]
    pub fn as_caution(mut self) -> Self {
        self.severity = Severity::Caution;
        self
    }

    /// Adds a likely meaning.
    #[must_use]
    pub fn offering(mut self, label: impl Into<String>, value: f64) -> Self {
        self.offers.push(Fix { label: label.into(), value });
        self
    }

    pub(super) fn under(mut self, prefix: &str) -> Self {
        self.field = format!("{prefix}.{}", self.field);
        self
    }
}

/// pH, 0 to 14. 70 is offered as 7.0.
pub fn check_ph(ph: f64) -> Option<FieldProblem> {
    let text = plain(ph);
    if !(0.0..=14.0).contains(&ph) {
        let problem = FieldProblem::refused("ph", &text, "0 to 14", format!("pH {text} is outside 0 to 14"));
        return Some(
            [10.0, 100.0]
                .iter()
                .map(|by| ph / by)
                .find(|v| (3.0..=10.5).contains(v))
                .map_or(problem.clone(), |meant| problem.offering(format!("{meant:.1}"), meant)),
        );
    }
    if !(3.0..=10.0).contains(&ph) {
        return Some(
            FieldProblem::refused(
                "ph",
                &text,
                "3 to 10 in a unit",
                format!("pH {text} is unusual in a unit (3 to 10): look at the meter before you pour"),
            )
            .as_caution(),
        );
    }
    None
}

/// EC of a tank, mS/cm, 0 to 15. 1200 is offered as µS/cm or ppm, 12 (where it is unlikely) as CF.
pub fn check_ec_ms_cm(ec_ms_cm: f64) -> Option<FieldProblem> {
    let text = plain(ec_ms_cm);
    if !(0.0..=MOST_EC_MS_CM).contains(&ec_ms_cm) {
        let problem = FieldProblem::refused(
            "ec_ms_cm",
            &text,
            "0 to 15 mS/cm",
            format!("EC {text} mS/cm is outside 0 to 15 mS/cm"),
        );
        return Some(with_scales(problem, ec_ms_cm));
    }
    if ec_ms_cm > 5.0 {
        return Some(with_scales(
            FieldProblem::refused(
                "ec_ms_cm",
                &text,
                "up to 5 mS/cm in a unit",
                format!("EC {text} mS/cm is far above what crops get (up to 5): check the scale of your meter"),
            )
            .as_caution(),
            ec_ms_cm,
        ));
    }
    None
}

fn with_scales(mut problem: FieldProblem, number: f64) -> FieldProblem {
    let scales: &[EcScale] = if number > EC_SURELY_OTHER_SCALE {
        &[EcScale::MicroSiemens, EcScale::Ppm500, EcScale::Ppm640, EcScale::Ppm700]
    } else if number > 5.0 {
        &[EcScale::ConductivityFactor]
    } else {
        &[]
    };
    for scale in scales {
        let meant = number / scale.per_ms_cm();
        if (0.0..=MOST_EC_MS_CM).contains(&meant) {
            problem = problem.offering(format!("{} {}, that is {meant:.2} mS/cm", plain(number), scale.label()), meant);
        }
    }
    problem
}

/// Water temperature, °C, 0 to 40. A number that reads like °F is offered in °C.
pub fn check_temperature_c(temperature_c: f64) -> Option<FieldProblem> {
    let text = plain(temperature_c);
    if (0.0..=MOST_TEMPERATURE_C).contains(&temperature_c) {
        return None;
    }
    let problem = FieldProblem::refused(
        "temperature_c",
        &text,
        "0 to 40 °C",
        format!("water temperature {text} °C is outside 0 to 40 °C"),
    );
    let meant = (temperature_c - 32.0) / 1.8;
    Some(if temperature_c > MOST_TEMPERATURE_C && (0.0..=MOST_TEMPERATURE_C).contains(&meant) {
        problem.offering(format!("{text} °F, that is {meant:.1} °C"), meant)
    } else {
        problem
    })
}

/// Size of the tank, L: above 0, up to 500. A number that reads like millilitres is offered in litres.
pub fn check_volume_l(volume_l: f64) -> Option<FieldProblem> {
    let text = plain(volume_l);
    if volume_l > 0.0 && volume_l <= MOST_VOLUME_L {
        return None;
    }
    let problem = FieldProblem::refused(
        "tank_l",
        &text,
        "above 0, at most 500 L",
        format!("a tank of {text} L is outside the limits: above 0, at most 500 L"),
    );
    let meant = volume_l / 1000.0;
    Some(if meant > 0.5 && meant <= MOST_VOLUME_L {
        problem.offering(format!("{text} mL, that is {} L", plain(meant)), meant)
    } else {
        problem
    })
}

/// Level in the tank, L: above 0, at most the tank.
pub fn check_level_l(level_l: f64, tank_l: f64) -> Option<FieldProblem> {
    let text = plain(level_l);
    if level_l.is_nan() || level_l <= 0.0 {
        return Some(FieldProblem::refused(
            "level_l",
            &text,
            "above 0 L",
            format!("a level of {text} L cannot be used: it must be above 0"),
        ));
    }
    if level_l > tank_l * (1.0 + 1e-9) {
        let limit = format!("at most the tank, {} L", plain(tank_l));
        return Some(
            FieldProblem::refused(
                "level_l",
                &text,
                &limit,
                format!("a level of {text} L is more than the tank holds, {} L", plain(tank_l)),
            )
            .offering(format!("full, {} L", plain(tank_l)), tank_l),
        );
    }
    None
}

/// Alkalinity, meq/L, 0 to 20. A number that reads like mg/L `CaCO3` is offered in meq/L.
pub fn check_alkalinity_meq_l(alkalinity_meq_l: f64) -> Option<FieldProblem> {
    // 1 meq/L of alkalinity is half a mole of CaCO3 (100.086 g/mol): 50.04 mg/L.
    const MG_CACO3_PER_MEQ: f64 = 50.043;
    let text = plain(alkalinity_meq_l);
    if (0.0..=20.0).contains(&alkalinity_meq_l) {
        return None;
    }
    let problem = FieldProblem::refused(
        "alkalinity_meq_l",
        &text,
        "0 to 20 meq/L",
        format!("an alkalinity of {text} meq/L is outside 0 to 20 meq/L"),
    );
    let meant = alkalinity_meq_l / MG_CACO3_PER_MEQ;
    Some(if (0.0..=20.0).contains(&meant) {
        problem.offering(format!("{text} mg/L as CaCO3, that is {meant:.2} meq/L"), meant)
    } else {
        problem
    })
}

/// Hardness, mg/L as `CaCO3`, 0 to 2000.
pub fn check_hardness_mg_caco3_l(hardness: f64) -> Option<FieldProblem> {
    let text = plain(hardness);
    (!(0.0..=2000.0).contains(&hardness)).then(|| {
        FieldProblem::refused(
            "hardness_mg_caco3_l",
            &text,
            "0 to 2000 mg/L as CaCO3",
            format!("a hardness of {text} mg/L as CaCO3 is outside 0 to 2000"),
        )
    })
}

/// Share of a water that is mixed in, 0 to 1. A number that reads like percent is offered as a share.
pub fn check_blend_share(share: f64) -> Option<FieldProblem> {
    if (0.0..=1.0).contains(&share) {
        return None;
    }
    let text = plain(share);
    let problem = FieldProblem::refused(
        "blend.share",
        &text,
        "0 to 1",
        format!("a share of {text} of the other water is outside 0 to 1"),
    );
    let meant = share / 100.0;
    Some(if (0.01..=1.0).contains(&meant) {
        problem.offering(format!("{text} %, that is {meant:.2}"), meant)
    } else {
        problem
    })
}

/// Time between two entries, s: not negative, at most ten years.
pub fn check_elapsed_s(elapsed_s: i64) -> Option<FieldProblem> {
    const TEN_YEARS_S: i64 = 315_576_000;
    (!(0..=TEN_YEARS_S).contains(&elapsed_s)).then(|| {
        FieldProblem::refused(
            "at_s",
            format!("{elapsed_s} s"),
            "not before the entry above it",
            format!("this entry lies {elapsed_s} s after the one before it: check the date and the clock"),
        )
    })
}

pub(super) fn positive(field: &str, what: &str, value: f64, most: f64, unit: &str) -> Option<FieldProblem> {
    let text = plain(value);
    (!(value > 0.0 && value <= most)).then(|| {
        let limit = format!("above 0, at most {} {unit}", plain(most));
        FieldProblem::refused(field, &text, &limit, format!("{what} is {text} {unit}; it must be {limit}"))
    })
}

impl Tool {
    /// Problems with the tool's own numbers.
    pub fn check(&self) -> Vec<FieldProblem> {
        let mut problems = Vec::new();
        match *self {
            Self::Syringe { capacity_ml, mark_ml } | Self::Jug { capacity_ml, mark_ml } => {
                problems.extend(positive("capacity_ml", "the capacity", capacity_ml, 50_000.0, "mL"));
                problems.extend(positive(
                    "mark_ml",
                    "the distance of the marks",
                    mark_ml,
                    capacity_ml.max(0.001),
                    "mL",
                ));
            }
            Self::Dropper { drops_per_ml, .. } => {
                let wrong = positive(
                    "drops_per_ml",
                    "the number of drops in a millilitre",
                    drops_per_ml,
                    MOST_DROPS_PER_ML,
                    "drops",
                );
                let (few, many) = Self::SEEN_DROPS_PER_ML;
                let unusual = (wrong.is_none() && !(few..=many).contains(&drops_per_ml)).then(|| {
                    let text = plain(drops_per_ml);
                    let limit = format!("{} to {}", plain(few), plain(many));
                    let message = format!(
                        "{text} drops in a millilitre is unusual ({limit} is seen): count 50 drops into a syringe and read it"
                    );
                    FieldProblem::refused("drops_per_ml", &text, limit, message).as_caution()
                });
                problems.extend(wrong.or(unusual));
            }
            Self::Scoop { grams, scatter } => {
                problems.extend(positive("grams", "one level scoop", grams, 1000.0, "g"));
                problems.extend(positive("scatter", "the scatter of a scoop", scatter, 1.0, ""));
            }
            Self::Spoon { capacity_ml, scatter } => {
                problems.extend(positive("capacity_ml", "one level spoon", capacity_ml, 1000.0, "mL"));
                problems.extend(positive("scatter", "the scatter of a spoon", scatter, 1.0, ""));
            }
            Self::Scale { mark_g } => problems.extend(positive("mark_g", "the scale's step", mark_g, 1000.0, "g")),
        }
        problems
    }
}

impl JarTest {
    /// Problems with a jar test: without one amount above 0 it says nothing.
    pub fn check(&self) -> Vec<FieldProblem> {
        let mut problems: Vec<FieldProblem> =
            positive("water_l", "the water in the jar", self.water_l, MOST_JAR_L, "L").into_iter().collect();
        for (index, point) in self.points.iter().enumerate() {
            let place = format!("points.{index}");
            problems.extend(check_ph(point.ph).map(|problem| problem.under(&place)));
            let before = if index == 0 { 0.0 } else { self.points[index - 1].amount };
            if !(point.amount >= before && point.amount.is_finite()) {
                let limit = format!("{} or more: all that is in the jar so far", plain(before));
                let message = format!("{} in the jar cannot be: {limit}", plain(point.amount));
                problems.push(FieldProblem::refused("amount", plain(point.amount), limit, message).under(&place));
            }
        }
        if !self.points.iter().any(|point| point.amount > 0.0) {
            let message = "a jar test needs a reading after at least one drop of the product";
            problems.push(FieldProblem::refused("points", "none", "one amount above 0", message));
        }
        problems
    }
}

impl Meter {
    /// Problems with the meter's own numbers.
    pub fn check(&self) -> Vec<FieldProblem> {
        let mut problems = Vec::new();
        problems.extend(positive("ph_step", "the smallest pH step", self.ph_step, 1.0, "pH"));
        problems.extend(positive("ec_step_ms_cm", "the smallest EC step", self.ec_step_ms_cm, 1.0, "mS/cm"));
        problems.extend(positive("ec_relative_sd", "the relative error of EC", self.ec_relative_sd, 0.5, ""));
        if let Compensation::LinearPercent(percent) = self.compensation
            && !(0.0..=5.0).contains(&percent)
        {
            let text = plain(percent);
            problems.push(FieldProblem::refused(
                "compensation",
                &text,
                "0 to 5 % per °C",
                format!("a temperature compensation of {text} % per °C is outside 0 to 5"),
            ));
        }
        problems
    }
}

impl SourceWater {
    /// Problems with what was typed of the source water, one field at a time. What contradicts the chemistry shows when
    /// the composition is made.
    pub fn check(&self) -> Vec<FieldProblem> {
        let mut problems = Vec::new();
        if let Some(ec) = self.ec_ms_cm
            && !(0.0..=MOST_SOURCE_EC_MS_CM).contains(&ec)
        {
            let text = plain(ec);
            let problem = FieldProblem::refused(
                "ec_ms_cm",
                &text,
                "0 to 5 mS/cm",
                format!("a source water of EC {text} mS/cm is outside 0 to 5 mS/cm"),
            );
            problems.push(with_scales(problem, ec));
        }
        // A pure water may show anything from 4 to 10: only the outer limits count here.
        problems.extend(self.ph.and_then(check_ph).filter(|problem| problem.severity == Severity::Refused));
        problems.extend(self.alkalinity_meq_l.and_then(check_alkalinity_meq_l));
        problems.extend(self.hardness_mg_caco3_l.and_then(check_hardness_mg_caco3_l));
        problems.extend(self.report.and_then(|report| report.check()));
        problems.extend(self.report.and_then(|report| report.imbalance(self.alkalinity_meq_l)));
        if let Some(blend) = self.blend {
            problems.extend(check_blend_share(blend.share));
            problems.extend(blend.water().check().into_iter().map(|problem| problem.under("blend")));
        }
        problems
    }
}

impl Reading {
    /// Problems with a reading of a tank of `tank_l` litres filled with a source water of `source_ec_ms_cm`, if known.
    pub fn check(&self, tank_l: f64, source_ec_ms_cm: Option<f64>) -> Vec<FieldProblem> {
        let mut problems = Vec::new();
        problems.extend(self.ph.and_then(check_ph));
        problems.extend(self.temperature_c.and_then(check_temperature_c));
        problems.extend(self.level_l.and_then(|level| check_level_l(level, tank_l)));
        if let Some(ec) = self.ec_ms_cm {
            let of_ec = check_ec_ms_cm(ec);
            let fine = of_ec.is_none();
            problems.extend(of_ec);
            // Closer than 5 % and 0.03 is meter error.
            if fine && let Some(source) = source_ec_ms_cm.filter(|source| ec < source * 0.95 - 0.03) {
                let (text, limit) = (plain(ec), format!("not below the source water's {} mS/cm", plain(source)));
                problems.push(
                    FieldProblem::refused(
                        "ec_ms_cm",
                        &text,
                        &limit,
                        format!(
                            "EC {text} mS/cm is below your source water's {}: feed only adds. Read both again, or check which water is in the tank",
                            plain(source)
                        ),
                    )
                    .as_caution(),
                );
            }
        }
        problems
    }
}
