//! From a dose to what a hand can measure.

use crate::dose::Pour;
use crate::garden::Tool;
use crate::learn::Part;

use super::words::lower_first;

/// An amount a person can measure.
#[derive(Clone, Debug, PartialEq)]
pub struct Measured {
    /// Product id.
    pub id: String,
    /// Product name.
    pub name: String,
    /// Whether the person named it.
    pub is_own: bool,
    /// Amount of the product itself, mL or g.
    pub amount: f64,
    /// Its unit.
    pub unit: &'static str,
    /// The tool.
    pub tool: Tool,
    /// What is measured with the tool: the product, or its dilution.
    pub tool_amount: f64,
    /// How to dilute first, when the dose is too small for the tool.
    pub dilution: Option<Dilution>,
}

/// A pre-dilution in a jug.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dilution {
    /// Parts of diluted liquid for one of product: 10 or 100.
    pub parts: u32,
    /// Product to measure into the jug, mL.
    pub product_ml: f64,
    /// Water in the jug first, mL.
    pub water_ml: f64,
}

/// A dose below what can be measured even diluted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TooSmall {
    /// The dose, mL or g.
    pub amount: f64,
    /// Smallest step of the tool, mL or g.
    pub smallest: f64,
}

/// Below so many steps of a tool, dilute first: rounding down would cost too much.
/// Source: the trial with invented households (92 against 96 % in zone without).
const STEPS_WORTH_MEASURING: f64 = 5.0;
/// What one more filling of the same tool costs against an error of the logarithm, when tools compete. Ours: a person loses
/// count, and forty fillings of a small syringe are no better than four of a large one.
const FILLING_COSTS: f64 = 0.02;
/// What each tenfold of a dilution costs, likewise. Ours.
const DILUTING_COSTS: f64 = 0.05;

impl Measured {
    /// The name inside a sentence.
    pub fn name_in_a_sentence(&self) -> String {
        if self.is_own { self.name.clone() } else { lower_first(&self.name) }
    }

    /// The distance of two amounts of the product that the tool can tell apart as it is used here, mL or g.
    pub fn mark(&self) -> f64 {
        self.tool.smallest() / self.dilution.map_or(1.0, |dilution| f64::from(dilution.parts))
    }

    /// The steps of a dilution, in order; empty when none is needed.
    pub fn dilution_steps(&self) -> Vec<String> {
        let Some(dilution) = self.dilution else { return Vec::new() };
        let with = |amount_ml: f64| self.tool.say(amount_ml);
        vec![
            format!("Water first: put {} mL of plain water into a clean jug", figure_ml(dilution.water_ml)),
            format!(
                "Add {} mL of {} to it ({}: {}) and stir: a mix of 1:{}",
                figure_ml(dilution.product_ml),
                self.name,
                self.tool.name(),
                with(dilution.product_ml),
                dilution.parts
            ),
            format!(
                "Rinse the {}, then pour {} mL of the mix into the tank ({})",
                self.tool.name(),
                figure_ml(self.tool_amount),
                with(self.tool_amount)
            ),
            "Label the jug, use the mix today and keep none of it: it is no drink".to_owned(),
        ]
    }
}

/// Millilitres without needless zeros, as the tool itself says its marks.
fn figure_ml(ml: f64) -> String {
    let text = format!("{ml:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// An amount in a tool, without the words.
#[derive(Clone, Copy)]
struct Filled {
    tool: Tool,
    amount: f64,
    tool_amount: f64,
    dilution: Option<Dilution>,
}

impl Filled {
    /// How surely the amount is met, 1 sd of the natural logarithm; diluted, the product in the jug is measured, too.
    fn ln_sd(&self) -> f64 {
        let poured = self.tool.ln_sd(self.tool_amount);
        self.dilution.map_or(poured, |dilution| poured.hypot(self.tool.ln_sd(dilution.product_ml)))
    }

    /// What is lost by rounding, how unsure the amount is, and the trouble of it.
    fn cost(&self, dose: f64) -> f64 {
        let lost = (dose - self.amount) / dose;
        let fillings = self.tool.filling().map_or(1.0, |filling| (self.tool_amount / filling).ceil().max(1.0));
        let diluting = self.dilution.map_or(0.0, |dilution| DILUTING_COSTS * f64::from(dilution.parts).log10());
        lost + self.ln_sd() + FILLING_COSTS * (fillings - 1.0) + diluting
    }
}

/// A dose as the tools at hand can measure it: with the one that meets it best.
///
/// # Errors
/// [`TooSmall`] for a dose that none of them can measure, with the smallest step among them.
pub(crate) fn measure(dose: f64, part: &Part) -> Result<Measured, TooSmall> {
    let Filled { tool, amount, tool_amount, dilution } = fill(dose, part)?;
    let Pour { id, name, unit, .. } = &part.pour;
    Ok(Measured { id: id.clone(), name: name.clone(), is_own: part.is_own, amount, unit, tool, tool_amount, dilution })
}

/// How surely an amount of a part is met by the tool that would be taken for it, 1 sd of the natural logarithm.
pub(crate) fn ln_sd(part: &Part, amount: f64) -> f64 {
    fill(amount, part).map_or_else(|_| part.tool.ln_sd(amount), |filled| filled.ln_sd())
}

fn fill(dose: f64, part: &Part) -> Result<Filled, TooSmall> {
    let mut too_small: Option<TooSmall> = None;
    let mut best: Option<(f64, Filled)> = None;
    for tool in part.tools() {
        match fill_one(dose, part.pour.unit, tool) {
            Ok(filled) => {
                let cost = filled.cost(dose);
                if best.is_none_or(|(least, _)| cost < least) {
                    best = Some((cost, filled));
                }
            }
            Err(small) if too_small.is_none_or(|other| small.smallest < other.smallest) => too_small = Some(small),
            Err(_) => {}
        }
    }
    let too_small = too_small.unwrap_or(TooSmall { amount: dose, smallest: part.tool.smallest() });
    best.map(|(_, filled)| filled).ok_or(too_small)
}

/// Rounds a dose down to one tool, diluted first when it is small.
fn fill_one(dose: f64, unit: &str, tool: Tool) -> Result<Filled, TooSmall> {
    let smallest = tool.smallest();
    let too_small = TooSmall { amount: dose, smallest };
    let plain = tool.round_down(dose);
    let can_dilute = unit == "mL" && smallest > 0.0;
    if !can_dilute || dose >= STEPS_WORTH_MEASURING * smallest {
        let filled = Filled { tool, amount: plain, tool_amount: plain, dilution: None };
        return if plain > 0.0 { Ok(filled) } else { Err(too_small) };
    }
    for parts in [10_u32, 100] {
        let factor = f64::from(parts);
        let diluted = tool.round_down(dose * factor);
        if diluted >= STEPS_WORTH_MEASURING * smallest {
            // Enough in the jug for this dose, from a product amount the tool can measure well.
            let product_ml =
                tool.round_down((diluted / factor).max(STEPS_WORTH_MEASURING * smallest) + smallest * 0.999);
            let dilution = Dilution { parts, product_ml, water_ml: product_ml * (factor - 1.0) };
            return Ok(Filled { tool, amount: diluted / factor, tool_amount: diluted, dilution: Some(dilution) });
        }
    }
    Err(too_small)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chem::Totals;

    fn part(unit: &'static str, tools: &[Tool]) -> Part {
        let pour = Pour {
            id: "x".to_owned(),
            name: "X".to_owned(),
            moles: Totals::ZERO,
            water_g: 1.0,
            volume_ml: 1.0,
            amount: 1.0,
            unit,
        };
        Part {
            pour,
            is_own: false,
            tool: tools[0],
            also: tools[1..].to_vec(),
            ratio: 1.0,
            cautions: Vec::new(),
            notes: Vec::new(),
        }
    }

    const LIQUID: [Tool; 7] = [
        Tool::SYRINGE_1,
        Tool::SYRINGE_10,
        Tool::Syringe { capacity_ml: 60.0, mark_ml: 1.0 },
        Tool::DROPPER,
        Tool::Dropper { drops_per_ml: 24.0, counted: true },
        Tool::TEASPOON,
        Tool::Jug { capacity_ml: 500.0, mark_ml: 10.0 },
    ];
    const POWDER: [Tool; 3] =
        [Tool::Scale { mark_g: 0.1 }, Tool::Scale { mark_g: 1.0 }, Tool::Scoop { grams: 4.2, scatter: 0.1 }];

    /// What a person who follows the words takes, in mL or g: the words are taken apart, not the numbers behind them.
    fn meant(words: &str, tool: Tool) -> f64 {
        let number = |text: &str| text.split(' ').find_map(|word| word.parse::<f64>().ok());
        let filling = tool.filling().unwrap_or(0.0);
        let fillings =
            |text: &str| if text.starts_with("once full") { filling } else { number(text).unwrap() * filling };
        match tool {
            Tool::Dropper { drops_per_ml, .. } => number(words).unwrap() / drops_per_ml,
            Tool::Scoop { .. } | Tool::Spoon { .. } => number(words).unwrap() * filling,
            Tool::Scale { .. } => number(words).unwrap(),
            Tool::Syringe { .. } | Tool::Jug { .. } => match words.split_once(", then ") {
                Some((full, rest)) => fillings(full) + number(rest).unwrap(),
                None if words.contains("full") => fillings(words),
                None => number(words).unwrap(),
            },
        }
    }

    /// Doses from a thousandth to a thousand, evenly in the logarithm.
    fn doses() -> impl Iterator<Item = f64> {
        (0..1200_i32).map(|i| 10_f64.powf(f64::from(i) / 200.0 - 3.0))
    }

    #[test]
    fn never_more_than_asked_for_and_what_is_said_is_what_is_meant() {
        for (unit, tools) in [("mL", &LIQUID[..]), ("g", &POWDER[..])] {
            for tool in tools {
                let part = part(unit, &[*tool]);
                let mut counted = 0;
                for dose in doses() {
                    let Ok(measured) = measure(dose, &part) else { continue };
                    counted += 1;
                    assert!(measured.amount > 0.0 && measured.amount <= dose * (1.0 + 1e-9), "{dose}: {measured:?}");
                    let said = meant(&tool.say(measured.tool_amount), *tool);
                    let parts = measured.dilution.map_or(1.0, |dilution| f64::from(dilution.parts));
                    // Three decimals are said: half of the last is the most that words and numbers may differ by.
                    assert!((said - measured.tool_amount).abs() < 6e-4, "{dose}: {said}, {measured:?}");
                    assert!((measured.tool_amount / parts - measured.amount).abs() < 1e-9, "{measured:?}");
                    // Never less than one step of what the tool can do below the dose.
                    assert!(dose - measured.amount <= measured.mark() * (1.0 + 1e-6), "{dose}: {measured:?}");
                }
                assert!(counted > 400, "{tool:?}: {counted}");
            }
        }
    }

    #[test]
    fn a_dilution_holds_enough_and_its_steps_say_so() {
        for tool in LIQUID {
            for dose in doses() {
                let Ok(measured) = measure(dose, &part("mL", &[tool])) else { continue };
                let steps = measured.dilution_steps();
                let Some(dilution) = measured.dilution else {
                    assert_eq!(steps, Vec::<String>::new());
                    continue;
                };
                let made_ml = dilution.product_ml + dilution.water_ml;
                let parts = f64::from(dilution.parts);
                assert!((made_ml - parts * dilution.product_ml).abs() < 1e-6, "{dilution:?}");
                assert!(made_ml >= measured.tool_amount - 1e-9, "{measured:?}");
                // Water first, then the product, and none of it is kept.
                assert_eq!(steps.len(), 4);
                assert!(steps[0].starts_with("Water first") && steps[3].contains("Label the jug"), "{steps:?}");
                let said = |step: &str, before: &str| -> f64 {
                    let rest = step.split_once(before).unwrap().1;
                    rest.split(' ').next().unwrap().parse().unwrap()
                };
                for (step, before, value) in [
                    (0, "put ", dilution.water_ml),
                    (1, "Add ", dilution.product_ml),
                    (2, "pour ", measured.tool_amount),
                ] {
                    assert!((said(&steps[step], before) - value).abs() < 6e-4, "{value}: {steps:?}");
                }
            }
        }
    }

    #[test]
    fn doses_are_rounded_down_and_small_ones_diluted() {
        let at = |dose: f64| measure(dose, &part("mL", &[Tool::SYRINGE_10]));
        let plain = at(5.13).unwrap();
        assert_eq!((plain.amount, plain.dilution), (5.0, None));
        let small = at(0.53).unwrap();
        assert_eq!(small.dilution.unwrap().parts, 10);
        assert!((small.tool_amount - 5.2).abs() < 1e-9 && (small.amount - 0.52).abs() < 1e-9, "{small:?}");
        assert_eq!(at(0.02).unwrap().dilution.unwrap().parts, 100);
        assert!(at(0.001).is_err());
        assert!(at(0.0).is_err());
        // Before a fifth of a dose is lost to rounding it is diluted.
        for dose in doses().filter(|dose| *dose > 0.02) {
            assert!(at(dose).unwrap().amount >= dose * 0.8, "{dose}");
        }
    }

    #[test]
    fn powder_is_not_diluted() {
        let at = |dose: f64| measure(dose, &part("g", &[Tool::Scale { mark_g: 0.1 }]));
        assert!((at(17.08).unwrap().amount - 17.0).abs() < 1e-9);
        assert!(at(0.04).is_err());
    }

    #[test]
    fn of_several_tools_the_one_is_taken_that_measures_the_dose_best() {
        let both = part("mL", &[Tool::SYRINGE_10, Tool::SYRINGE_1]);
        let picked = |dose: f64| {
            let measured = measure(dose, &both).unwrap();
            (measured.tool, measured.dilution.map(|dilution| dilution.parts))
        };
        assert_eq!(picked(0.73), (Tool::SYRINGE_1, None), "no dilution where a small syringe does");
        assert_eq!(picked(5.0), (Tool::SYRINGE_10, None), "not five times a small syringe");
        assert_eq!(picked(42.0), (Tool::SYRINGE_10, None));
        // Both must dilute: the finer one less.
        assert_eq!(picked(0.06), (Tool::SYRINGE_1, Some(10)));
        let spoon = part("mL", &[Tool::TEASPOON, Tool::Syringe { capacity_ml: 60.0, mark_ml: 1.0 }]);
        assert_ne!(measure(25.0, &spoon).unwrap().tool, Tool::TEASPOON);
        let weighed = part("g", &[Tool::weighed_scoop(10.0, 42.0), Tool::Scale { mark_g: 0.1 }]);
        assert_eq!(measure(12.9, &weighed).unwrap().tool, Tool::Scale { mark_g: 0.1 });
        // One tool more never measures worse.
        for dose in doses() {
            let alone = fill(dose, &part("mL", &[Tool::SYRINGE_10]));
            if let (Ok(alone), Ok(best)) = (alone, fill(dose, &both)) {
                assert!(best.cost(dose) <= alone.cost(dose) + 1e-12, "{dose}");
            }
        }
    }
}
