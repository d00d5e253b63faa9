//! A measuring tool filled to an amount: as data to draw from, and in words.

use serde::Serialize;

use crate::garden::Tool;
use crate::plan::{Action, Step};

/// A tool, and how far it is filled.
#[derive(Clone, PartialEq, Debug, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum ToolFill {
    /// A syringe, read at its plunger.
    Syringe {
        /// Full scale, mL.
        capacity_ml: f64,
        /// Distance of two marks, mL.
        mark_ml: f64,
        /// Times it is emptied full before the last filling.
        full_times: u32,
        /// Level of the last filling, mL.
        fill_ml: f64,
    },
    /// A dropper.
    Dropper {
        /// Drops to count.
        drops: u32,
    },
    /// Level scoops.
    Scoop {
        /// Scoops, with a part of one.
        count: f64,
        /// Weight of one level scoop, g.
        grams: f64,
    },
    /// A measuring spoon.
    Spoon {
        /// Spoons, with a part of one.
        count: f64,
        /// Its name, such as "teaspoon".
        name: String,
    },
    /// A scale.
    Scale {
        /// Reading to reach, g.
        grams: f64,
        /// Distance of two marks, g.
        mark_g: f64,
    },
    /// A jug.
    Jug {
        /// Full scale, L.
        capacity_l: f64,
        /// Times it is poured full before the last filling.
        full_times: u32,
        /// Level of the last filling, L.
        fill_l: f64,
    },
}

/// Largest jug that water is carried in, L. Common practice, no source.
const JUG_L: f64 = 5.0;

impl ToolFill {
    /// A tool filled to an amount, mL or g.
    pub fn of(tool: Tool, amount: f64) -> Self {
        match tool {
            Tool::Syringe { capacity_ml, mark_ml } => {
                let (full_times, fill_ml) = fillings(amount, capacity_ml);
                Self::Syringe { capacity_ml, mark_ml, full_times, fill_ml }
            }
            Tool::Dropper { drops_per_ml, .. } => Self::Dropper { drops: whole(amount * drops_per_ml) },
            Tool::Scoop { grams, .. } => Self::Scoop { count: amount / grams, grams },
            Tool::Spoon { capacity_ml, .. } => Self::Spoon { count: amount / capacity_ml, name: tool.name() },
            Tool::Scale { mark_g } => Self::Scale { grams: amount, mark_g },
            Tool::Jug { capacity_ml, .. } => {
                let (full_times, fill_l) = fillings(amount / 1e3, capacity_ml / 1e3);
                Self::Jug { capacity_l: capacity_ml / 1e3, full_times, fill_l }
            }
        }
    }

    /// A jug for so much water, L: as small a one as holds it, up to the largest that is carried.
    pub fn jug(litres: f64) -> Self {
        let capacity_l = if litres <= 1.0 {
            1.0
        } else if litres <= 2.0 {
            2.0
        } else {
            JUG_L
        };
        let (full_times, fill_l) = fillings(litres, capacity_l);
        Self::Jug { capacity_l, full_times, fill_l }
    }

    /// The tool that a step is measured with, if it measures anything.
    pub fn of_step(step: &Step) -> Option<Self> {
        match &step.action {
            Action::Pour(measured) => Some(Self::of(measured.tool, measured.tool_amount)),
            Action::TopUp { water_l } | Action::Swap { litres: water_l } => Some(Self::jug(*water_l)),
            _ => None,
        }
    }

    /// The tool in words, such as "10 mL syringe, filled to 5.0 mL".
    pub fn words(&self) -> String {
        match self {
            Self::Syringe { capacity_ml, mark_ml, full_times, fill_ml } => {
                let fill = on_marks(*fill_ml, *mark_ml);
                let name = format!("{} mL syringe", plain(*capacity_ml));
                filled_words(&name, *full_times, *fill_ml, &format!("{fill} mL"))
            }
            Self::Dropper { drops: 1 } => "Dropper, 1 drop".to_owned(),
            Self::Dropper { drops } => format!("Dropper, {drops} drops"),
            Self::Scoop { count, grams } => {
                format!("{} of {} g each", counted_words(*count, "level scoop"), plain(*grams))
            }
            Self::Spoon { count, name } => counted_words(*count, &format!("level {name}")),
            Self::Scale { grams, mark_g } => format!("Scale, reading {} g", on_marks(*grams, *mark_g)),
            Self::Jug { capacity_l, full_times, fill_l } => {
                let name = format!("{} L jug", plain(*capacity_l));
                filled_words(&name, *full_times, *fill_l, &format!("{} L", plain(*fill_l)))
            }
        }
    }
}

/// What a drawn filling holds, and what is said of the full ones before it: nothing left over after full ones is a full one.
pub(crate) fn drawn_filling(capacity: f64, full_times: u32, fill: f64, unit: &str) -> (f64, Option<String>) {
    match (full_times, fill > 0.0) {
        (0, _) => (fill, None),
        (times, true) => (fill, Some(format!("{times} × {} {unit}, then", plain(capacity)))),
        (times, false) => (capacity, Some(format!("{times} ×"))),
    }
}

/// Times full, and what is left for the last filling.
fn fillings(amount: f64, capacity: f64) -> (u32, f64) {
    if capacity.is_nan() || capacity <= 0.0 || !amount.is_finite() {
        return (0, 0.0);
    }
    let times = (amount / capacity + 1e-9).floor().clamp(0.0, 1e6);
    let rest = amount - times * capacity;
    let rest = if rest < 1e-9 { 0.0 } else { rest };
    // One filling to the brim is a level at full scale, not "once full and then nothing".
    if (times - 1.0).abs() < 0.5 && rest == 0.0 { (0, capacity) } else { (whole(times), rest) }
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to what a u32 holds")]
fn whole(value: f64) -> u32 {
    value.clamp(0.0, 4e9).round() as u32
}

fn filled_words(name: &str, full_times: u32, rest: f64, fill: &str) -> String {
    match (full_times, rest > 0.0) {
        (0, _) => format!("{name}, filled to {fill}"),
        (1, true) => format!("{name}, once full, then filled to {fill}"),
        (n, true) => format!("{name}, {n} times full, then filled to {fill}"),
        (1, false) => format!("{name}, once full"),
        (n, false) => format!("{name}, {n} times full"),
    }
}

/// A count with halves and quarters as people say them, such as "2½ level scoops".
fn counted_words(count: f64, thing: &str) -> String {
    let number = counted(count);
    let many = if count > 1.0 { "s" } else { "" };
    format!("{number} {thing}{many}")
}

/// A count with halves and quarters as signs: 2.5 is "2½".
pub(crate) fn counted(count: f64) -> String {
    let whole = count.trunc();
    let part = count - whole;
    let sign = [(0.25, "¼"), (0.5, "½"), (0.75, "¾")].iter().find(|(p, _)| (part - p).abs() < 0.01);
    match sign {
        Some((_, sign)) if whole == 0.0 => (*sign).to_owned(),
        Some((_, sign)) => format!("{whole}{sign}"),
        None => plain(count),
    }
}

/// A number with as many decimals as the distance of two marks has.
pub(crate) fn on_marks(value: f64, mark: f64) -> String {
    let decimals = if mark >= 1.0 {
        usize::from(mark.fract() != 0.0)
    } else if mark >= 0.1 {
        if ((mark * 10.0).round() - mark * 10.0).abs() < 1e-6 { 1 } else { 2 }
    } else {
        2
    };
    format!("{value:.decimals$}")
}

/// A number without needless decimals.
pub(crate) fn plain(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// The distance of two drawn marks: the tool's own where there is room for them, else a multiple of it.
pub(crate) fn drawn_mark(capacity: f64, mark: f64, least_share: f64) -> f64 {
    let own = if mark > 0.0 { mark } else { capacity / 10.0 };
    [1.0, 2.0, 5.0, 10.0, 20.0, 50.0]
        .into_iter()
        .map(|factor| own * factor)
        .find(|mark| mark / capacity >= least_share)
        .unwrap_or(capacity)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tools_are_said_in_words() {
        let syringe = |full_times, fill_ml| ToolFill::Syringe { capacity_ml: 10.0, mark_ml: 0.5, full_times, fill_ml };
        let cases = [
            (syringe(0, 5.0), "10 mL syringe, filled to 5.0 mL"),
            (syringe(1, 2.5), "10 mL syringe, once full, then filled to 2.5 mL"),
            (syringe(3, 0.0), "10 mL syringe, 3 times full"),
            (ToolFill::Dropper { drops: 1 }, "Dropper, 1 drop"),
            (ToolFill::Dropper { drops: 12 }, "Dropper, 12 drops"),
            (ToolFill::Scoop { count: 2.5, grams: 3.0 }, "2½ level scoops of 3 g each"),
            (ToolFill::Spoon { count: 0.5, name: "teaspoon".to_owned() }, "½ level teaspoon"),
            (ToolFill::Scale { grams: 17.0, mark_g: 0.1 }, "Scale, reading 17.0 g"),
            (ToolFill::Scale { grams: 17.0, mark_g: 1.0 }, "Scale, reading 17 g"),
            (
                ToolFill::Jug { capacity_l: 2.0, full_times: 2, fill_l: 1.5 },
                "2 L jug, 2 times full, then filled to 1.5 L",
            ),
        ];
        for (tool, words) in cases {
            assert_eq!(tool.words(), words);
        }
    }

    #[test]
    fn figures_follow_the_marks() {
        assert_eq!(on_marks(5.0, 0.5), "5.0");
        assert_eq!(on_marks(5.25, 0.05), "5.25");
        assert_eq!(on_marks(0.25, 0.25), "0.25");
        assert_eq!(on_marks(12.0, 1.0), "12");
        assert_eq!(on_marks(12.5, 2.5), "12.5");
    }

    #[test]
    fn fillings_add_up_and_a_full_one_is_a_level() {
        assert_eq!(fillings(4.8, 10.0), (0, 4.8));
        assert_eq!(fillings(10.0, 10.0), (0, 10.0));
        assert_eq!(fillings(20.0, 10.0), (2, 0.0));
        let (times, rest) = fillings(23.4, 10.0);
        assert!(times == 2 && (rest - 3.4).abs() < 1e-9);
        assert_eq!(fillings(f64::NAN, 10.0), (0, 0.0));
        assert_eq!(fillings(1.0, 0.0), (0, 0.0));
        assert_eq!(drawn_filling(10.0, 2, 0.0, "mL"), (10.0, Some("2 ×".to_owned())));
        assert_eq!(drawn_filling(10.0, 2, 3.0, "mL"), (3.0, Some("2 × 10 mL, then".to_owned())));
        assert_eq!(drawn_filling(10.0, 0, 3.0, "mL"), (3.0, None));
    }

    #[test]
    fn scoops_are_counted() {
        let scoop = ToolFill::of(Tool::Scoop { grams: 1.2, scatter: 0.1 }, 2.4);
        assert_eq!(scoop, ToolFill::Scoop { count: 2.0, grams: 1.2 });
    }

    #[test]
    fn marks_are_drawn_where_there_is_room() {
        let close = |a: f64, b: f64| (a - b).abs() < 1e-9;
        assert!(close(drawn_mark(10.0, 0.2, 0.02), 0.2));
        assert!(close(drawn_mark(10.0, 0.2, 0.03), 0.4));
        assert!(close(drawn_mark(1.0, 0.01, 0.02), 0.02));
        assert!(close(drawn_mark(10.0, 0.001, 0.03), 10.0), "none of the multiples is wide enough");
    }
}
