//! Checks of a product as somebody wrote it down: field, value, limit, and what was likely meant.

use super::check::{FieldProblem, Severity, positive};
use super::dissolve::{LEAST_DENSITY_G_ML, MOST_DENSITY_G_ML, ProductError};
use super::feed::EC_RISE_MS_CM;
use super::growing::told;
use super::label::{LabelAnalysis, LabelError};
use super::product::{Concentration, Form, Product, Strength};
use super::substance::{acid_density, base_density, salt_of_acid, salt_of_base};
use super::tool::plain;
use crate::units::EcScale;

/// lb in a US gallon of a liquid of 1 g/mL. Source: NIST Handbook 44, Appendix C (453.59237 g, 3785.411784 mL), from memory.
const LB_PER_US_GAL: f64 = 3785.411784 / 453.59237;

/// Density of a liquid product, g/mL: 0.8 to 2. A number that reads like kg/m³ or pounds per US gallon is offered in g/mL.
pub fn check_density_g_ml(density: f64) -> Option<FieldProblem> {
    let fits = |density: &f64| (LEAST_DENSITY_G_ML..=MOST_DENSITY_G_ML).contains(density);
    if fits(&density) {
        return None;
    }
    let text = plain(density);
    let mut problem = FieldProblem::refused(
        "form.density_g_ml",
        &text,
        "0.8 to 2 g/mL",
        format!("a density of {text} g/mL is outside 0.8 to 2 g/mL"),
    );
    let meanings = [("kg/m³ or g/L", density / 1000.0), ("lb in a US gallon", density / LB_PER_US_GAL)];
    for (unit, meant) in meanings.into_iter().filter(|(_, meant)| fits(meant)) {
        problem = problem.offering(format!("{text} {unit}, that is {meant:.3} g/mL"), meant);
    }
    Some(problem)
}

/// How far the density of an acid or base that is told may be from the handbook's for its strength: asked about, and refused. Ours:
/// labels round to a tenth, and what else is in such a bottle weighs little.
const DENSITY_OFF: (f64, f64) = (0.06, 0.2);

/// The density of an acid or base beside the strength that is told of it: a strength by mass means nothing without it.
fn check_density_of_substance(product: &Product) -> Option<FieldProblem> {
    let Form::Liquid { density_g_ml: Some(density) } = product.form else { return None };
    let (name, percent, handbook) = match &product.strength {
        Strength::Acid { acid, concentration: Concentration::MassPercent(percent) } => {
            (acid.words(), *percent, acid_density(salt_of_acid(*acid), *percent))
        }
        Strength::Base { base, concentration: Concentration::MassPercent(percent) } => {
            (base.words(), *percent, base_density(salt_of_base(*base), *percent))
        }
        _ => return None,
    };
    let off = (density / handbook - 1.0).abs();
    // What cannot be a density or a strength is told as that.
    if check_density_g_ml(density).is_some() || !(percent > 0.0 && percent <= 100.0) || off <= DENSITY_OFF.0 {
        return None;
    }
    let text = plain(density);
    let message = format!(
        "{name} of {} % weighs about {handbook:.2} g/mL, not {text}: one of the two numbers is another one, and the dose follows both",
        plain(percent)
    );
    let problem = FieldProblem::refused("form.density_g_ml", &text, format!("about {handbook:.2} g/mL"), message)
        .offering(format!("{handbook:.2} g/mL, by the handbook"), (handbook * 100.0).round() / 100.0);
    Some(if off > DENSITY_OFF.1 { problem } else { problem.as_caution() })
}

/// Rise of EC by one mL or g in a litre, mS/cm: 0.02 to 2. A number that reads like µS/cm or ppm is offered in mS/cm.
fn check_ec_rise(rise: f64, unit: &str) -> Option<FieldProblem> {
    let fits = |rise: &f64| (EC_RISE_MS_CM.0..=EC_RISE_MS_CM.1).contains(rise);
    if fits(&rise) {
        return None;
    }
    let text = plain(rise);
    let limit = format!("0.02 to 2 mS/cm for one {unit} in a litre");
    let message = format!("a rise of EC by {text} mS/cm is outside {limit}");
    let mut problem = FieldProblem::refused("strength.ms_cm_per_unit_l", &text, limit, message);
    for scale in [EcScale::MicroSiemens, EcScale::Ppm500, EcScale::Ppm640, EcScale::Ppm700] {
        let meant = scale.ms_cm_from(rise);
        if rise > EC_RISE_MS_CM.1 && fits(&meant) {
            problem = problem.offering(format!("{text} {}, that is {meant:.3} mS/cm", scale.label()), meant);
        }
    }
    Some(problem)
}

impl Product {
    /// Everything wrong or doubtful with a product as written down, in the order of its fields: what cannot be used is
    /// refused, what a label leaves open is a caution. Fields by the names they have here, lines of a label as
    /// `strength.label.p2o5`.
    pub fn check(&self) -> Vec<FieldProblem> {
        let mut problems = Vec::new();
        if self.name.trim().is_empty() {
            problems.push(FieldProblem::refused("name", "empty", "some text", "give the product a name"));
        }
        if let Form::Liquid { density_g_ml: Some(density) } = self.form {
            problems.extend(check_density_g_ml(density));
            problems.extend(check_density_of_substance(self));
        }
        let unit = self.form.unit();
        match &self.strength {
            Strength::RaisesEc { ms_cm_per_unit_l } => problems.extend(check_ec_rise(*ms_cm_per_unit_l, unit)),
            Strength::Label(label) => problems.extend(label.check(self.form)),
            _ => {}
        }
        // What was named above is not said again in other words.
        if problems.iter().all(|problem| problem.field == "name" || problem.severity == Severity::Caution)
            && let Err(error) = self.dissolved()
        {
            problems.push(refused(&error, &self.name));
        }
        if let Some(rate) = &self.label_rate {
            // Ours: a litre of feed in a litre of water is no rate.
            let found = positive("label_rate.per_l", "the label's rate", rate.per_l, 1000.0, &format!("{unit} per L"));
            problems.extend(found);
        }
        if let Some(partner) = &self.partner {
            problems.extend(positive("partner.ratio", "the share of the other part", partner.ratio, 1000.0, ""));
        }
        problems
    }
}

fn refused(error: &ProductError, name: &str) -> FieldProblem {
    let (field, value, limit) = match error {
        ProductError::OutOfRange { value, limit, .. } => ("strength", plain(*value), limit.clone()),
        ProductError::RefusedAcid { percent, limit_percent, .. } => {
            ("strength", format!("{} %", plain(*percent)), format!("at most {} %", plain(*limit_percent)))
        }
        ProductError::Peroxide => ("strength", told(name), "never with plants".to_owned()),
        ProductError::NoPowder { .. } => ("form", "powder".to_owned(), "a liquid".to_owned()),
        ProductError::PowderPerLitre => ("form", "powder".to_owned(), "percent by mass".to_owned()),
        _ => ("strength", told(name), "a strength that can be worked out".to_owned()),
    };
    FieldProblem::refused(field, value, limit, error.to_string())
}

impl LabelAnalysis {
    /// Problems with a label: what contradicts itself is refused, questions are cautions.
    fn check(&self, form: Form) -> Vec<FieldProblem> {
        let at = |key: &str| format!("strength.label.{key}");
        match self.elements() {
            Ok(_) => self
                .questions(form)
                .into_iter()
                .map(|question| {
                    let (told, other) = (&question.told.words, &question.other.words);
                    let problem = FieldProblem::refused(&at(question.key), told, other, &question.message).as_caution();
                    match question.other_value {
                        Some(value) => problem.offering(other, value),
                        None => problem,
                    }
                })
                .collect(),
            Err(error) => {
                let key_of = |name: &str| self.lines().iter().find(|line| line.name == name).map(|line| line.key);
                let (key, value, limit) = match &error {
                    LabelError::OutOfRange { field, value, limit, unit } => {
                        (key_of(field), format!("{} {unit}", plain(*value)), format!("0 to {} {unit}", plain(*limit)))
                    }
                    LabelError::Twice { one, other } => {
                        (key_of(one), format!("{one} and {other}"), "one of the two".to_owned())
                    }
                    LabelError::NitrogenForms { forms, total, unit } => (
                        Some("total_n"),
                        format!("{} {unit}", plain(*forms)),
                        format!("at most the total, {} {unit}", plain(*total)),
                    ),
                    LabelError::Triple { .. } | LabelError::Empty => {
                        (None, "nothing".to_owned(), "one nutrient at least".to_owned())
                    }
                };
                let field = key.map_or_else(|| "strength.label".to_owned(), at);
                vec![FieldProblem::refused(&field, value, limit, error.to_string())]
            }
        }
    }
}
