//! Whether a water report's ions balance, what was likely mistaken where they do not, and what in a water harms plants.

use super::check::FieldProblem;
use super::compose::{MG_CACO3_PER_MEQ, WaterComposition};
use super::salts::weight;
use super::tool::plain;
use super::water::{SourceWater, WaterKind, WaterReport};
use crate::chem::{Component, Totals};

/// Cations and anions may differ by so much, percent of their sum.
///
/// Source: Standard Methods for the Examination of Water and Wastewater, 1030 E: within 5 % above 10 meq/L, within 2 % from 3
/// to 10, within 0.2 meq/L below 3; from memory. A supplier's report is a year of means, so the 5 % is taken throughout.
pub const USUAL_IMBALANCE_PERCENT: f64 = 5.0;
/// In thin water the difference itself counts, meq/L. Source: as above.
const USUAL_IMBALANCE_MEQ_L: f64 = 0.2;

/// Sodium in source water from which on it is warned of, mg/L.
///
/// Source: the limit that stands beside the University of Arizona's tomato recipes (sodium below 50, chloride below 70 mg/L),
/// read at second hand.
pub const MUCH_SODIUM_MG_L: f64 = 50.0;
/// The same of chloride, mg/L. Source: as for sodium.
pub const MUCH_CHLORIDE_MG_L: f64 = 70.0;
/// The same of boron, mg/L. Source: Ayers & Westcot 1985, "Water quality for agriculture", FAO Irrigation and Drainage Paper
/// 29, table 1: no restriction below 0.7 mg/L, severe above 3; from memory.
pub const MUCH_BORON_MG_L: f64 = 0.7;
/// Hardness below this share of the alkalinity (in equivalents) reads like a softener. Ours: rock gives both together.
const SOFTENED_SHARE: f64 = 0.3;
/// Alkalinity below this is of no account for that, meq/L. Ours: soft water has little of both.
const SOFTENED_LEAST_MEQ_L: f64 = 1.5;

const NO3_OVER_N: f64 = (weight::N + 3.0 * weight::O) / weight::N;
const SO4_OVER_S: f64 = (weight::S + 4.0 * weight::O) / weight::S;
/// g/mol of HCO3-.
pub(super) const HCO3: f64 = weight::H + weight::C + 3.0 * weight::O;
const HCO3_OVER_CACO3: f64 = HCO3 / MG_CACO3_PER_MEQ;
const CACO3_OVER_CA: f64 = 2.0 * MG_CACO3_PER_MEQ / weight::CA;
const CACO3_OVER_MG: f64 = 2.0 * MG_CACO3_PER_MEQ / weight::MG;

/// Makes a line so many times what it is; `None` where it is not listed, or nil.
fn times(line: &mut Option<f64>, factor: f64) -> Option<f64> {
    *line = line.filter(|value| *value > 0.0).map(|value| value * factor);
    *line
}

/// Whether a line may stand as the report prints it. Reports print two decimals at most (from memory): what has more was typed
/// in another unit, as CaCO3 say, and was converted, so that slip is out of the question.
fn is_as_printed(line: Option<f64>) -> bool {
    line.is_some_and(|mg_l| ((mg_l * 100.0).round() / 100.0 - mg_l).abs() < 1e-6)
}

/// Sums of a report's charges.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct ReportBalance {
    /// Ca, Mg, Na, K; meq/L.
    pub cations_meq_l: f64,
    /// Alkalinity, Cl, SO4, NO3; meq/L.
    pub anions_meq_l: f64,
}

impl ReportBalance {
    /// Cations less anions, percent of both together; 0 for water without either.
    pub fn percent(self) -> f64 {
        let sum = self.cations_meq_l + self.anions_meq_l;
        if sum > 0.0 { 100.0 * (self.cations_meq_l - self.anions_meq_l) / sum } else { 0.0 }
    }

    /// Whether it is as near as reports usually are.
    pub fn is_usual(self) -> bool {
        self.percent().abs() <= USUAL_IMBALANCE_PERCENT
            || (self.cations_meq_l - self.anions_meq_l).abs() <= USUAL_IMBALANCE_MEQ_L
    }
}

/// A slip that would explain a report that does not balance.
#[derive(Clone, PartialEq, Debug)]
pub struct ReportSlip {
    /// The line it is about: its field in [`WaterReport`].
    pub key: &'static str,
    /// What was likely mistaken, asked: "Is bicarbonate perhaps given as CaCO3?".
    pub question: String,
    /// What that line would then be, mg/L.
    pub value_mg_l: f64,
    /// The report with it mended.
    pub report: WaterReport,
    /// Imbalance left, percent, either sign.
    pub percent: f64,
}

/// A line of a report for the slips: its field, its name, and where it stands.
type Line = (&'static str, &'static str, fn(&mut WaterReport) -> &mut Option<f64>);

const LINES: [Line; 8] = [
    ("ca_mg_l", "calcium", |r| &mut r.ca_mg_l),
    ("mg_mg_l", "magnesium", |r| &mut r.mg_mg_l),
    ("na_mg_l", "sodium", |r| &mut r.na_mg_l),
    ("k_mg_l", "potassium", |r| &mut r.k_mg_l),
    ("cl_mg_l", "chloride", |r| &mut r.cl_mg_l),
    ("so4_mg_l", "sulfate", |r| &mut r.so4_mg_l),
    ("no3_mg_l", "nitrate", |r| &mut r.no3_mg_l),
    ("hco3_mg_l", "bicarbonate", |r| &mut r.hco3_mg_l),
];

impl WaterReport {
    /// Sums of cations and anions, with an alkalinity told beside the report in the place of its bicarbonate.
    ///
    /// `None` where calcium, magnesium, chloride, sulfate or the alkalinity is missing: then nothing is to be judged. Sodium,
    /// potassium and nitrate count as nil where they are not listed.
    pub fn balance(&self, alkalinity_meq_l: Option<f64>) -> Option<ReportBalance> {
        let meq = |mg_l: f64, weight: f64, charge: f64| mg_l / weight * charge;
        let nil = |mg_l: Option<f64>| mg_l.unwrap_or(0.0);
        let alkalinity = alkalinity_meq_l.or(self.hco3_mg_l.map(|mg| mg / HCO3))?;
        Some(ReportBalance {
            cations_meq_l: meq(self.ca_mg_l?, weight::CA, 2.0)
                + meq(self.mg_mg_l?, weight::MG, 2.0)
                + meq(nil(self.na_mg_l), weight::NA, 1.0)
                + meq(nil(self.k_mg_l), weight::K, 1.0),
            anions_meq_l: alkalinity
                + meq(self.cl_mg_l?, weight::CL, 1.0)
                + meq(self.so4_mg_l?, SO4_OVER_S * weight::S, 2.0)
                + meq(nil(self.no3_mg_l), NO3_OVER_N * weight::N, 1.0),
        })
    }

    /// The slips that would bring a report that does not balance to within 5 %, the one that closes it best first. Empty where
    /// it balances, where it cannot be judged, and where no single slip explains it.
    pub fn likely_slips(&self, alkalinity_meq_l: Option<f64>) -> Vec<ReportSlip> {
        let Some(balance) = self.balance(alkalinity_meq_l).filter(|balance| !balance.is_usual()) else {
            return Vec::new();
        };
        let mut slips: Vec<ReportSlip> = Vec::new();
        let mut tried = |key: &'static str, question: String, change: &dyn Fn(&mut Self) -> Option<f64>| {
            let mut report = *self;
            let Some(value_mg_l) = change(&mut report).filter(|value| (0.0..=5000.0).contains(value)) else { return };
            let Some(mended) = report.balance(alkalinity_meq_l) else { return };
            let percent = mended.percent();
            if percent.abs() <= USUAL_IMBALANCE_PERCENT {
                slips.push(ReportSlip { key, question, value_mg_l, report, percent });
            }
        };
        if self.na_mg_l.is_none() && balance.percent() < 0.0 {
            let sodium = (balance.anions_meq_l - balance.cations_meq_l) * weight::NA;
            tried("na_mg_l", "Is the line for sodium perhaps missing?".to_owned(), &|r| {
                r.na_mg_l = Some(sodium);
                r.na_mg_l
            });
        }
        tried("no3_mg_l", "Is nitrate perhaps given as N?".to_owned(), &|r| times(&mut r.no3_mg_l, NO3_OVER_N));
        tried("no3_mg_l", "Was nitrate perhaps NO3 already, and counted as N?".to_owned(), &|r| {
            times(&mut r.no3_mg_l, 1.0 / NO3_OVER_N)
        });
        tried("so4_mg_l", "Is sulfate perhaps given as S?".to_owned(), &|r| times(&mut r.so4_mg_l, SO4_OVER_S));
        tried("so4_mg_l", "Was sulfate perhaps SO4 already, and counted as S?".to_owned(), &|r| {
            times(&mut r.so4_mg_l, 1.0 / SO4_OVER_S)
        });
        if alkalinity_meq_l.is_none() && is_as_printed(self.hco3_mg_l) {
            tried("hco3_mg_l", "Is bicarbonate perhaps given as CaCO3?".to_owned(), &|r| {
                times(&mut r.hco3_mg_l, HCO3_OVER_CACO3)
            });
        }
        if is_as_printed(self.ca_mg_l) {
            tried("ca_mg_l", "Is the number for calcium perhaps the total hardness as CaCO3?".to_owned(), &|r| {
                let of_magnesium = r.mg_mg_l? * CACO3_OVER_MG;
                r.ca_mg_l = Some((r.ca_mg_l? - of_magnesium) / CACO3_OVER_CA);
                r.ca_mg_l
            });
            tried("ca_mg_l", "Is calcium perhaps given as CaCO3?".to_owned(), &|r| {
                times(&mut r.ca_mg_l, 1.0 / CACO3_OVER_CA)
            });
            tried("ca_mg_l", "Are calcium and magnesium perhaps given as CaCO3?".to_owned(), &|r| {
                times(&mut r.mg_mg_l, 1.0 / CACO3_OVER_MG)?;
                times(&mut r.ca_mg_l, 1.0 / CACO3_OVER_CA)
            });
        }
        for (key, name, line) in LINES.into_iter().filter(|(key, ..)| *key != "hco3_mg_l" || alkalinity_meq_l.is_none())
        {
            for (factor, words) in [(10.0, "a tenth of"), (0.1, "ten times")] {
                let question = format!("Is the number for {name} perhaps {words} what it should be?");
                tried(key, question, &|r| times(line(r), factor));
            }
        }
        // A stable sort: of equals the first tried comes first.
        slips.sort_by(|one, other| one.percent.abs().total_cmp(&other.percent.abs()));
        slips
    }

    /// What to say of a report that does not balance.
    pub(super) fn imbalance(&self, alkalinity_meq_l: Option<f64>) -> Option<FieldProblem> {
        let balance = self.balance(alkalinity_meq_l).filter(|balance| !balance.is_usual())?;
        let slips = self.likely_slips(alkalinity_meq_l);
        let percent = format!("{:.0} %", balance.percent().abs());
        let mut message = format!(
            "the report's ions do not balance: {:.2} meq/L of cations against {:.2} of anions, {percent} apart (5 % is usual)",
            balance.cations_meq_l, balance.anions_meq_l
        );
        message.push_str(&likely(&slips));
        let field = slips.first().map_or_else(|| "report".to_owned(), |slip| format!("report.{}", slip.key));
        let problem = FieldProblem::refused(&field, percent, "within 5 %", message).as_caution();
        // One field, one number: other slips of the same line are offered beside it.
        let same = slips.iter().filter(|slip| slips.first().is_some_and(|first| first.key == slip.key));
        Some(same.fold(problem, |problem, slip| {
            problem.offering(format!("{} Then {:.1} mg/L", slip.question, slip.value_mg_l), slip.value_mg_l)
        }))
    }
}

/// The likeliest slip as a question, to stand behind a sentence; empty where there is none. No full stop ends it.
pub(super) fn likely(slips: &[ReportSlip]) -> String {
    slips.first().map_or_else(String::new, |slip| {
        let value = plain((slip.value_mg_l * 10.0).round() / 10.0);
        let name = LINES.iter().find(|(key, ..)| *key == slip.key).map_or("it", |(_, name, _)| name);
        let left = plain((slip.percent.abs() * 10.0).round() / 10.0);
        format!(". {} Then {name} would be {value} mg/L, and the report would balance to {left} %", slip.question)
    })
}

/// What to warn of in a source water, one sentence each. Sodium, chloride and boron count only where `told` (a report) knows
/// them; hardness and alkalinity where they were told.
pub(super) fn warnings(composition: &WaterComposition, told: Told, kind: WaterKind) -> Vec<String> {
    let totals = &composition.totals;
    let mg_l = |component: Component, weight: f64| totals[component] * weight * 1e3;
    let mut warnings = Vec::new();
    let limits = [
        (
            told.sodium,
            "Sodium",
            mg_l(Component::Na, weight::NA),
            MUCH_SODIUM_MG_L,
            "plants take up little of it, so it piles up with every top-up",
        ),
        (
            told.chloride,
            "Chloride",
            mg_l(Component::Cl, weight::CL),
            MUCH_CHLORIDE_MG_L,
            "what plants leave of it piles up with every top-up",
        ),
        (
            told.boron,
            "Boron",
            mg_l(Component::B, weight::B),
            MUCH_BORON_MG_L,
            "leaf edges burn, on beans, strawberries and cucumbers first",
        ),
    ];
    for (known, name, found, limit, why) in limits {
        if known && found > limit {
            warnings.push(format!(
                "{name} of {} mg/L is above {} mg/L: {why}. Rain or purified water in part brings it down.",
                plain((found * 10.0).round() / 10.0),
                plain(limit)
            ));
        }
    }
    let (hardness, alkalinity) = (hardness_meq_l(totals), composition.alkalinity_meq_l);
    let much = alkalinity >= SOFTENED_LEAST_MEQ_L && hardness < SOFTENED_SHARE * alkalinity;
    if told.hardness && much && kind != WaterKind::Softened {
        warnings.push(format!(
            "This reads like softened water: an alkalinity of {alkalinity:.1} meq/L with a hardness of only {hardness:.1}, so sodium took the place of calcium. Take water from before the softener if there is one, and name the water as softened."
        ));
    }
    warnings
}

/// Calcium and magnesium, meq/L.
pub(super) fn hardness_meq_l(totals: &Totals) -> f64 {
    2e3 * (totals[Component::Ca] + totals[Component::Mg])
}

/// Which of a water's contents somebody told.
#[derive(Clone, Copy, Default)]
#[expect(clippy::struct_excessive_bools, reason = "four answers to the same question")]
pub(super) struct Told {
    sodium: bool,
    chloride: bool,
    boron: bool,
    hardness: bool,
}

impl Told {
    pub(super) fn of(water: &SourceWater) -> Self {
        let report = water.report.unwrap_or_default();
        let alkalinity = water.alkalinity_meq_l.is_some() || report.hco3_mg_l.is_some();
        let hardness = water.hardness_mg_caco3_l.is_some() || (report.ca_mg_l.is_some() && report.mg_mg_l.is_some());
        Self {
            sodium: report.na_mg_l.is_some(),
            chloride: report.cl_mg_l.is_some(),
            boron: report.b_mg_l.is_some(),
            hardness: hardness && alkalinity,
        }
    }

    /// Of a mix: what one of the two told, for the other only thins it or adds to it.
    pub(super) fn or(self, other: Self) -> Self {
        Self {
            sodium: self.sodium || other.sodium,
            chloride: self.chloride || other.chloride,
            boron: self.boron || other.boron,
            hardness: self.hardness && other.hardness,
        }
    }
}

impl WaterReport {
    pub(super) fn lists_major_ions(&self) -> bool {
        [self.ca_mg_l, self.mg_mg_l, self.na_mg_l, self.cl_mg_l, self.so4_mg_l].iter().all(Option::is_some)
    }

    /// Every line is 0 to 5000 mg/L.
    pub(super) fn check(&self) -> Option<FieldProblem> {
        let lines = [
            ("report.ca_mg_l", self.ca_mg_l),
            ("report.mg_mg_l", self.mg_mg_l),
            ("report.na_mg_l", self.na_mg_l),
            ("report.k_mg_l", self.k_mg_l),
            ("report.cl_mg_l", self.cl_mg_l),
            ("report.so4_mg_l", self.so4_mg_l),
            ("report.no3_mg_l", self.no3_mg_l),
            ("report.hco3_mg_l", self.hco3_mg_l),
            ("report.sio2_mg_l", self.sio2_mg_l),
            ("report.b_mg_l", self.b_mg_l),
        ];
        for (field, value) in lines {
            if let Some(value) = value
                && !(0.0..=5000.0).contains(&value)
            {
                let text = plain(value);
                let message = format!("{field} of the water report is {text} mg/L; it must lie between 0 and 5000");
                return Some(FieldProblem::refused(field, text, "0 to 5000 mg/L", message));
            }
        }
        None
    }
}
