//! When a sensible person stops, worked out from the plan: the far edge, what the next reading should show, what the landing
//! warns of, and what may go wrong in the hand.

use super::say::{edge_words, expect_ec_words, expect_words};
use crate::dose::Warning;
use crate::garden::{Role, Unit, UnitKind};
use crate::plan::{Action, Plan, Step, edge_decimals};
use crate::units::EcScale;

/// Conditions on which to stop, each one clause that goes on from "Stop if".
pub(super) fn stop_if(step: &Step, place: usize, role: Option<Role>, unit: &Unit, plan: &Plan) -> Vec<String> {
    let mut stops = Vec::new();
    match &step.action {
        Action::Pour(_) => {
            stops.extend(past_the_edge(step, role, plan, unit.meter.ec_scale));
            if plan.landing.warnings.iter().any(|warning| matches!(warning, Warning::MayCloud { .. })) {
                stops.push("the water turns cloudy: a salt is falling out, so pour no more of anything".to_owned());
            }
            // Common practice, no source: a wrong bottle, or something left in the jug, shows itself this way.
            if role == Some(Role::Silicate) {
                stops.push(
                    "flakes or jelly show: something else was in the water, so pour no more of anything".to_owned(),
                );
            }
            if matches!(role, Some(Role::PhDown | Role::PhUp)) {
                stops.push("it fizzes hard, fumes or grows hot: step back, and pour no more".to_owned());
            }
            let first_pour = plan.steps.iter().position(|step| matches!(step.action, Action::Pour(_)));
            if unit.kind == UnitKind::Recirculating && first_pour == Some(place) {
                stops.push("the pump stands still: nothing would mix, and the reading would be false".to_owned());
            }
        }
        Action::TopUp { .. } => {
            stops.push(
                "the water comes near the rim before all of it is in: the tank holds less than was said".to_owned(),
            );
        }
        Action::Swap { .. } if unit.plants_in => {
            stops.push("the roots lie dry: put water back before you take more out".to_owned());
        }
        Action::Swap { .. } | Action::Read { .. } => {}
        Action::Ask { .. } | Action::LeaveIt | Action::CannotHelp { .. } => return stops,
    }
    if let Some(expect) = told(step, unit) {
        let next =
            if place + 1 < plan.steps.len() { "do not go on by this card" } else { "pour nothing more by this card" };
        stops.push(format!(
            "the meter shows anything but {expect}: rinse it and read once more; if it stays so, {next}"
        ));
    }
    stops
}

/// What the meter should show, as far as it is known well enough that another reading means something.
fn told(step: &Step, unit: &Unit) -> Option<String> {
    let (low, _, high) = step.expect?.ph;
    if high - low <= TELLING_PH { expect_words(step, &unit.meter) } else { expect_ec_words(step, &unit.meter) }
}

/// A range of pH wider than this tells nothing when it is missed; EC still does. Ours.
const TELLING_PH: f64 = 2.0;

/// Beyond the far edge nothing more goes in, whatever was expected.
fn past_the_edge(step: &Step, role: Option<Role>, plan: &Plan, scale: EcScale) -> Option<String> {
    let (low, high) = plan.zone.ph;
    let shows = |what: &str, side: &str, edge: String, more: &str| format!("{what} shows {side} {edge}: {more}");
    Some(match role? {
        Role::PhDown => shows(
            "pH",
            "below",
            edge_words(step.edge.unwrap_or(low), plan.zone.ph),
            "no more acid, and read again in an hour",
        ),
        Role::PhUp => shows(
            "pH",
            "above",
            edge_words(step.edge.unwrap_or(high), plan.zone.ph),
            "no more of it, and read again in an hour",
        ),
        // It stays below the zone by itself, and pH is high until the feed is in.
        Role::Silicate => return None,
        Role::Feed | Role::CalMag => {
            let edge = scale.edge(plan.zone_ec_ms_cm.1, edge_decimals(plan.zone_ec_ms_cm));
            shows("EC", "above", format!("{edge}{}", scale.tail()), "no more feed of any kind")
        }
    })
}
