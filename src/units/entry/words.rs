//! The words and symbols people write after a number.

use super::{is_grouping, is_minus, is_sign, trimmed};
use crate::units::{EcScale, HardnessUnit, MassUnit, TemperatureUnit, VolumeUnit};

/// A typed text, cut into its number and its unit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Parts<'a> {
    /// The number; the whole text when no number was found in it.
    pub(super) number: &'a str,
    /// The unit in plain lower-case letters, without spaces and points; empty when there is none.
    pub(super) unit: String,
}

/// Cuts a text into number and unit. A word before the number counts as part of the unit ("CF 12"), unless it is one of
/// `names`, the field's own.
pub(super) fn parts<'a>(text: &'a str, names: &[&str]) -> Parts<'a> {
    let text = trimmed(text);
    let starts = |c: char| c.is_ascii_digit() || is_sign(c) || matches!(c, '.' | ',');
    let Some(start) = text.find(starts) else {
        return Parts { number: text, unit: String::new() };
    };
    let (before, from_number) = text.split_at(start);
    let end = number_end(from_number);
    let (number, after) = from_number.split_at(end);
    if !number.contains(|c: char| c.is_ascii_digit()) {
        return Parts { number: text, unit: String::new() };
    }
    let before = plain(before);
    let before = if names.contains(&before.as_str()) { "" } else { before.as_str() };
    Parts { number: number.trim_end(), unit: format!("{before}{}", plain(after)) }
}

/// Byte length of the number at the start of a text.
fn number_end(text: &str) -> usize {
    let mut previous = None;
    for (at, c) in text.char_indices() {
        let rest = text.get(at..).unwrap_or_default();
        let belongs = c.is_ascii_digit()
            || is_grouping(c)
            || matches!(c, '.' | ',')
            || (is_sign(c) && matches!(previous, None | Some('e' | 'E')))
            || (matches!(c, 'e' | 'E') && previous.is_some_and(|p: char| p.is_ascii_digit()) && is_exponent(rest));
        if !belongs {
            return at;
        }
        previous = Some(c);
    }
    text.len()
}

/// "e3" and "e-3", not "ec".
fn is_exponent(text: &str) -> bool {
    let after = text.trim_start_matches(['e', 'E']);
    let after = after.strip_prefix(|c| is_minus(c) || c == '+').unwrap_or(after);
    after.starts_with(|c: char| c.is_ascii_digit())
}

fn plain(text: &str) -> String {
    text.to_lowercase()
        .chars()
        .filter(|c| !c.is_whitespace() && !matches!(c, '.' | '(' | ')' | ':' | '=' | ',' | '_' | '-'))
        .map(|c| match c {
            'µ' | 'μ' => 'u',
            'º' | '˚' => '°',
            c => c,
        })
        .collect()
}

/// What a unit word after an EC means.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum EcWord {
    Scale(EcScale),
    /// "ppm" without its scale.
    BarePpm,
    /// mS/m, one hundredth of mS/cm: some laboratories report it.
    MilliSiemensPerMetre,
}

pub(super) fn ec_word(unit: &str) -> Option<EcWord> {
    Some(match unit {
        "ms" | "ms/cm" | "mscm" | "millisiemens" | "ds/m" | "mmho" | "mmho/cm" | "mmhos/cm" | "ec" => {
            EcWord::Scale(EcScale::MilliSiemens)
        }
        "us" | "us/cm" | "uscm" | "microsiemens" | "umho" | "umho/cm" | "umhos/cm" => {
            EcWord::Scale(EcScale::MicroSiemens)
        }
        "cf" => EcWord::Scale(EcScale::ConductivityFactor),
        "ppm500" | "ppm500scale" | "ppmonthe500scale" => EcWord::Scale(EcScale::Ppm500),
        "ppm640" | "ppm640scale" | "ppmonthe640scale" => EcWord::Scale(EcScale::Ppm640),
        "ppm700" | "ppm700scale" | "ppmonthe700scale" | "ppm442" => EcWord::Scale(EcScale::Ppm700),
        "ppm" | "tds" | "ppmtds" | "tdsppm" | "mg/l" => EcWord::BarePpm,
        "ms/m" => EcWord::MilliSiemensPerMetre,
        _ => return None,
    })
}

pub(super) fn temperature_word(unit: &str) -> Option<TemperatureUnit> {
    Some(match unit {
        "c" | "°c" | "℃" | "degc" | "celsius" | "degreescelsius" => TemperatureUnit::Celsius,
        "f" | "°f" | "℉" | "degf" | "fahrenheit" | "degreesfahrenheit" => TemperatureUnit::Fahrenheit,
        _ => return None,
    })
}

/// What a unit word after a volume means: one unit, or the US and the imperial one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum VolumeWord {
    Unit(VolumeUnit),
    UsOrImperial(VolumeUnit, VolumeUnit),
}

pub(super) fn volume_word(unit: &str) -> Option<VolumeWord> {
    use VolumeUnit as V;
    Some(match unit {
        "l" | "litre" | "litres" | "liter" | "liters" | "lt" => VolumeWord::Unit(V::Litre),
        "ml" | "millilitre" | "millilitres" | "milliliter" | "milliliters" | "cc" | "cm3" => {
            VolumeWord::Unit(V::Millilitre)
        }
        "usgal" | "usgallon" | "usgallons" | "galus" | "gallonsus" => VolumeWord::Unit(V::UsGallon),
        "impgal" | "ukgal" | "imperialgal" | "impgallon" | "impgallons" | "ukgallon" | "ukgallons"
        | "imperialgallon" | "imperialgallons" | "galimp" | "galuk" => VolumeWord::Unit(V::ImperialGallon),
        "gal" | "gals" | "gallon" | "gallons" => VolumeWord::UsOrImperial(V::UsGallon, V::ImperialGallon),
        "usfloz" | "usfluidounce" | "usfluidounces" => VolumeWord::Unit(V::UsFluidOunce),
        "impfloz" | "ukfloz" | "imperialfloz" | "imperialfluidounce" | "imperialfluidounces" => {
            VolumeWord::Unit(V::ImperialFluidOunce)
        }
        "floz" | "oz" | "fluidounce" | "fluidounces" => {
            VolumeWord::UsOrImperial(V::UsFluidOunce, V::ImperialFluidOunce)
        }
        "cup" | "cups" | "uscup" | "uscups" => VolumeWord::Unit(V::UsCup),
        // US and metric spoons differ by 1.4 %, far less than any spoon is good to: no question is worth it.
        "tbsp" | "ustbsp" | "tablespoon" | "tablespoons" => VolumeWord::Unit(V::UsTablespoon),
        "tsp" | "ustsp" | "teaspoon" | "teaspoons" => VolumeWord::Unit(V::UsTeaspoon),
        "tbsp15ml" => VolumeWord::Unit(V::MetricTablespoon),
        "tsp5ml" => VolumeWord::Unit(V::MetricTeaspoon),
        _ => return None,
    })
}

pub(super) fn mass_word(unit: &str) -> Option<MassUnit> {
    Some(match unit {
        "g" | "gr" | "gram" | "grams" | "gramme" | "grammes" => MassUnit::Gram,
        "kg" | "kilo" | "kilos" | "kilogram" | "kilograms" => MassUnit::Kilogram,
        "oz" | "ounce" | "ounces" => MassUnit::Ounce,
        "lb" | "lbs" | "pound" | "pounds" => MassUnit::Pound,
        _ => return None,
    })
}

/// What a unit word after an alkalinity or hardness means.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum HardnessWord {
    Unit(HardnessUnit),
    /// mmol/L: of charge for an alkalinity, of calcium and magnesium (two charges each) for a hardness.
    Millimoles,
}

pub(super) fn hardness_word(unit: &str) -> Option<HardnessWord> {
    use HardnessUnit as H;
    Some(match unit {
        "mg/l" | "mg/lcaco3" | "mg/lascaco3" | "mgcaco3/l" | "ppm" | "ppmcaco3" | "ppmascaco3" => {
            HardnessWord::Unit(H::MgPerLitreCaCo3)
        }
        "meq" | "meq/l" | "mval" | "mval/l" => HardnessWord::Unit(H::MeqPerLitre),
        "mmol" | "mmol/l" => HardnessWord::Millimoles,
        "°dh" | "dh" | "°gh" | "gh" | "dgh" | "°d" => HardnessWord::Unit(H::GermanDegree),
        "°dkh" | "dkh" | "kh" | "°kh" => HardnessWord::Unit(H::GermanCarbonateDegree),
        "°e" | "e" | "°clark" | "clark" | "degreesclark" | "clarkdegrees" | "°eh" => {
            HardnessWord::Unit(H::ClarkDegree)
        }
        "°fh" | "fh" | "°f" => HardnessWord::Unit(H::FrenchDegree),
        "gpg" | "gr/gal" | "gr/usgal" | "grains" | "grains/gal" | "grainspergallon" | "grainsperusgallon" => {
            HardnessWord::Unit(H::GrainsPerUsGallon)
        }
        _ => return None,
    })
}
