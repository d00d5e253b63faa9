//! What the shelf, the label and the rim say of a plan: what is missing, what is more than a label ever asks for, what would run
//! over.

use crate::garden::{Role, Tool};
use crate::learn::{Part, ProductBelief};

use super::planner::Planner;
use super::step::{Action, Step};
use super::words::figure;

/// So many times the label's rate is looked at twice. Source: a proposal of ours; a dose of three times the label is a slip of
/// unit or volume more often than a need.
const OVER_LABEL: f64 = 3.0;
/// Room under the rim is told to decilitres, L.
const ROOM_STEP_L: f64 = 0.1;

impl Planner {
    /// Puts beside the steps what is to be said of product, label and rim.
    pub(crate) fn look_at_shelf(&self, steps: &mut [Step]) {
        for step in steps.iter_mut() {
            if let Action::Pour(measured) = &step.action {
                // After the reasons: those say why so much, and this what it is.
                step.why.extend(self.notes_of(&measured.id));
                step.cautions.extend(self.over_label(&measured.id, measured.amount));
            }
        }
        if let Some(words) = self.over_rim(steps)
            && let Some(step) = steps.iter_mut().find(|step| adds_volume(&step.action))
        {
            step.cautions.insert(0, words);
        }
    }

    /// What is to be known where a part is poured, as the other lines are told: without a full stop.
    fn notes_of(&self, part_id: &str) -> Vec<String> {
        let part = self.products().flat_map(|product| &product.parts).find(|part| part.pour.id == part_id);
        let notes = part.map(|part| part.notes.as_slice()).unwrap_or_default();
        notes.iter().map(|note| note.trim_end_matches('.').to_owned()).collect()
    }

    /// What to say of an amount above three times the label's rate; `None` where there is no rate, or less is poured.
    pub fn over_label(&self, product_id: &str, amount: f64) -> Option<String> {
        let product = self.product(product_id)?;
        let part = product.parts.iter().find(|part| part.pour.id == product_id)?;
        let rate = product.label_per_l? * part.ratio;
        let level_l = self.knowledge.level_l;
        let times = amount / (rate * level_l);
        let unit = part.pour.unit;
        (times > OVER_LABEL).then(|| {
            format!(
                "That is {} times the label’s rate of {} {unit} per litre for {} L: look at the amount, the level and the product once more before you pour.",
                figure((times * 10.0).floor() / 10.0),
                figure(rate),
                figure(level_l)
            )
        })
    }

    /// What to say when the steps make more than the tank holds. By what was said of the level or by what is believed of it, the
    /// larger: it is better to believe a tank too full than too empty.
    fn over_rim(&self, steps: &[Step]) -> Option<String> {
        let k = &self.knowledge;
        let believed = self.belief.state.default.water_kg / k.showing.medium().water_density_kg_l();
        let mut level_l = believed.max(k.level_l);
        let mut over_l: f64 = 0.0;
        for step in steps {
            level_l += match &step.action {
                Action::TopUp { water_l } => *water_l,
                Action::Pour(measured) => {
                    let ml = self.part(&measured.id).map_or(0.0, |pour| pour.volume_ml * measured.amount);
                    let with_jug = measured.dilution.map_or(ml, |dilution| ml * f64::from(dilution.parts));
                    with_jug / 1e3
                }
                _ => 0.0,
            };
            over_l = over_l.max(level_l - k.tank_l);
        }
        // A thousandth of the tank is a wet rim, and no level is known so well.
        if over_l <= 1e-3 * k.tank_l {
            return None;
        }
        let out_l = (over_l / ROOM_STEP_L).ceil() * ROOM_STEP_L;
        Some(format!(
            "The tank of {} L has no room for it: {} L would run over. Take {} L out first.",
            figure(k.tank_l),
            figure(over_l),
            figure(out_l)
        ))
    }

    /// That nothing on the shelf moves pH the way it must go, and what would.
    pub(crate) fn nothing_moves_ph(&self, now: f64, down: bool) -> Step {
        let (low, high) = self.zone.ph;
        let (needed, way) = if down { ("a pH-lowering liquid", "lowers") } else { ("a pH-raising liquid", "raises") };
        let step = Step::plain(Action::CannotHelp { needed: needed.to_owned() })
            .because(format!("pH {now:.1} is outside the zone ({low:.1}–{high:.1}) and nothing on the shelf {way} it"));
        if !down {
            return step.because(
                "What would help: a pH-raising liquid for hydroponics (potassium hydroxide or carbonate), or fresh source water with more alkalinity",
            );
        }
        let softer = self.knowledge.source_ec_ms_cm > SOFT_EC_MS_CM;
        let water = if softer { ", or rain or purified water in part, which brings less alkalinity" } else { "" };
        step.because(format!(
            "What would help: a pH-lowering liquid for hydroponics (phosphoric, or citric for a few days) with its strength on the label{water}. Battery or muriatic acid is no substitute"
        ))
    }

    /// That the tools at hand for an acid or a base are no measure for it.
    pub(crate) fn no_measure_for(product: &ProductBelief) -> Option<Step> {
        let tool = product.parts.iter().flat_map(Part::tools).find(Tool::is_rough);
        let what = if product.role == Role::PhDown { "acid" } else { "base" };
        tool.map(|tool| {
            let needed =
                if tool.unit() == "g" { "a scale, or a scoop that was weighed" } else { "a syringe or a dropper" };
            Step::plain(Action::CannotHelp { needed: needed.to_owned() }).because(format!(
                "A {} is no measure for {what}: it may hold 40 % more or less than it says",
                tool.name()
            ))
        })
    }
}

/// EC of source water below which other water would be no softer, mS/cm. Ours: soft tap water and rain.
const SOFT_EC_MS_CM: f64 = 0.2;

fn adds_volume(action: &Action) -> bool {
    matches!(action, Action::Pour(_) | Action::TopUp { .. })
}
