//! From a dose to what a hand can measure.

use crate::garden::Tool;

/// An amount a person can measure.
#[derive(Clone, Debug, PartialEq)]
pub struct Measured {
    /// Product id.
    pub id: String,
    /// Product name.
    pub name: String,
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

/// Rounds a dose down to the tool, diluted first when it is small.
///
/// # Errors
/// [`TooSmall`] for a dose of which nothing is left.
pub(crate) fn measure(dose: f64, unit: &'static str, id: &str, name: &str, tool: Tool) -> Result<Measured, TooSmall> {
    let smallest = tool.smallest();
    let too_small = TooSmall { amount: dose, smallest };
    let measured = |amount: f64, tool_amount: f64, dilution: Option<Dilution>| Measured {
        id: id.to_owned(),
        name: name.to_owned(),
        amount,
        unit,
        tool,
        tool_amount,
        dilution,
    };
    let plain = tool.round_down(dose);
    let can_dilute = unit == "mL" && smallest > 0.0;
    if !can_dilute || dose >= STEPS_WORTH_MEASURING * smallest {
        return if plain > 0.0 { Ok(measured(plain, plain, None)) } else { Err(too_small) };
    }
    for parts in [10_u32, 100] {
        let factor = f64::from(parts);
        let diluted = tool.round_down(dose * factor);
        if diluted >= STEPS_WORTH_MEASURING * smallest {
            // Enough in the jug for this dose, from a product amount the tool can measure well.
            let product_ml =
                tool.round_down((diluted / factor).max(STEPS_WORTH_MEASURING * smallest) + smallest * 0.999);
            let dilution = Dilution { parts, product_ml, water_ml: product_ml * (factor - 1.0) };
            return Ok(measured(diluted / factor, diluted, Some(dilution)));
        }
    }
    Err(too_small)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn doses_are_rounded_down_and_small_ones_diluted() {
        let tool = Tool::SYRINGE_10;
        let at = |dose: f64| measure(dose, "mL", "x", "X", tool);
        let plain = at(5.13).unwrap();
        assert_eq!((plain.amount, plain.dilution), (5.0, None));
        let small = at(0.53).unwrap();
        let dilution = small.dilution.unwrap();
        assert_eq!(dilution.parts, 10);
        assert!((small.tool_amount - 5.2).abs() < 1e-9 && (small.amount - 0.52).abs() < 1e-9, "{small:?}");
        assert!(
            dilution.product_ml * 10.0 >= small.tool_amount
                && (dilution.water_ml - 9.0 * dilution.product_ml).abs() < 1e-9
        );
        assert_eq!(at(0.02).unwrap().dilution.unwrap().parts, 100);
        assert!(at(0.001).is_err());
        assert!(at(0.0).is_err());
        for step in 1..4000 {
            let dose = f64::from(step) * 0.0037;
            if let Ok(measured) = at(dose) {
                assert!(measured.amount <= dose + 1e-9, "{dose}: {measured:?}");
                assert!(measured.amount >= dose * 0.75, "{dose}: {measured:?}");
            }
        }
    }

    #[test]
    fn powder_is_not_diluted() {
        let scale = Tool::Scale { mark_g: 0.1 };
        assert!((measure(17.08, "g", "f", "F", scale).unwrap().amount - 17.0).abs() < 1e-9);
        assert!(measure(0.04, "g", "f", "F", scale).is_err());
    }
}
