//! Checks of something that a person says was done to the tank: beside the field, before it is written down.

use super::check::{FieldProblem, MOST_VOLUME_L, positive};
use super::product::Product;
use super::tool::plain;

/// An amount above so many times the label's rate is worth a second look. Ours.
pub const TIMES_LABEL: f64 = 3.0;

/// Figures as a person types them, at most two decimals.
fn short(value: f64) -> String {
    plain((value * 100.0).round() / 100.0)
}

/// What to look at twice in an amount of a product poured into `level_l` litres in a tank of `tank_l`: more than the room that is
/// left, or more than [`TIMES_LABEL`] times its label's rate. It may have been poured all the same, so nothing is refused but what
/// is no amount.
pub fn check_poured(product: &Product, amount: f64, level_l: f64, tank_l: f64) -> Vec<FieldProblem> {
    let unit = product.form.unit();
    let text = format!("{} {unit}", plain(amount));
    if !(amount >= 0.0 && amount.is_finite()) {
        let message = format!("a pour of {text} cannot be: amounts are 0 or more");
        return vec![FieldProblem::refused("amount", text, "0 or more", message)];
    }
    let mut problems = Vec::new();
    let room_l = (tank_l - level_l).max(0.0);
    if unit == "mL" && amount / 1000.0 > room_l + 1e-9 {
        let limit = format!("{} L of room", short(room_l));
        let message = format!("{text} is more than the room left in the reservoir, {} L", short(room_l));
        problems.push(FieldProblem::refused("amount", &text, limit, message).as_caution());
    }
    if let Some(rate) = &product.label_rate
        && rate.per_l > 0.0
        && amount > TIMES_LABEL * rate.per_l * level_l
    {
        let (times, usual) = (amount / (rate.per_l * level_l), rate.per_l * level_l);
        let limit = format!("{} {unit}, {TIMES_LABEL} times the label’s rate", short(TIMES_LABEL * usual));
        let message = format!(
            "{text} is {times:.0} times what the label says for {} L ({} {unit}): is the point in the right place?",
            short(level_l),
            short(usual)
        );
        problems.push(FieldProblem::refused("amount", &text, limit, message).as_caution());
    }
    problems
}

/// What to look at twice in water added to `level_l` litres in a tank of `tank_l`: more than its room. Litres in all messages.
pub fn check_added_l(water_l: f64, level_l: f64, tank_l: f64) -> Option<FieldProblem> {
    let none = positive("water_l", "the water added", water_l, MOST_VOLUME_L, "L");
    let room_l = (tank_l - level_l).max(0.0);
    none.or_else(|| {
        (water_l > room_l + 1e-9).then(|| {
            let limit = format!("{} L of room", short(room_l));
            let message =
                format!("{} L is more than the room left in the reservoir, {} L", plain(water_l), short(room_l));
            FieldProblem::refused("water_l", plain(water_l), limit, message).as_caution()
        })
    })
}

/// What is wrong with solution taken out of `level_l` litres: there must be as much.
pub fn check_taken_l(solution_l: f64, level_l: f64) -> Option<FieldProblem> {
    let none = positive("solution_l", "the solution taken out", solution_l, MOST_VOLUME_L, "L");
    none.or_else(|| {
        (solution_l > level_l + 1e-9).then(|| {
            let limit = format!("{} L, all there is", short(level_l));
            let message =
                format!("{} L is more than there is in the reservoir, {} L", plain(solution_l), short(level_l));
            FieldProblem::refused("solution_l", plain(solution_l), limit, message).as_caution()
        })
    })
}

/// What is wrong with the time of an entry, Unix seconds: it is still to come, or it lies before the entry above it or after the
/// one below. `words` says a time as people here do.
pub fn check_when(
    at_s: i64,
    now_s: i64,
    (before_s, after_s): (Option<i64>, Option<i64>),
    words: &dyn Fn(i64) -> String,
) -> Option<FieldProblem> {
    let wrong = |limit: String, message: String| Some(FieldProblem::refused("at_s", words(at_s), limit, message));
    if at_s > now_s {
        let message = format!("{} is still to come: it is {} now", words(at_s), words(now_s));
        return wrong(format!("{} at the latest", words(now_s)), message);
    }
    if let Some(before_s) = before_s.filter(|before_s| at_s < *before_s) {
        let message = format!("{} is before the entry above it in the log, of {}", words(at_s), words(before_s));
        return wrong(format!("{} at the earliest", words(before_s)), message);
    }
    if let Some(after_s) = after_s.filter(|after_s| at_s > *after_s) {
        let message = format!("{} is after the next entry in the log, of {}", words(at_s), words(after_s));
        return wrong(format!("{} at the latest", words(after_s)), message);
    }
    None
}
