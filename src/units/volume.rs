//! Volumes and masses: gallons, spoons, drops, ounces.

use serde::{Deserialize, Serialize};

use super::{Millilitres, UnitError, checked, quantity};

// Litres and grams per unit. All exact by definition. Source: NIST Handbook 44, Appendix C, and NIST Special Publication
// 811 (2008), Appendix B. From memory; the tests hold the printed seven figures beside them.

/// L per US gallon (231 cubic inches).
const L_PER_US_GALLON: f64 = 3.785411784;
/// L per imperial gallon.
const L_PER_IMPERIAL_GALLON: f64 = 4.54609;
/// US fluid ounces in a US gallon.
const US_FL_OZ_PER_GALLON: f64 = 128.0;
/// Imperial fluid ounces in an imperial gallon.
const IMPERIAL_FL_OZ_PER_GALLON: f64 = 160.0;
/// US cups in a US gallon.
const US_CUPS_PER_GALLON: f64 = 16.0;
/// US tablespoons in a US gallon.
const US_TABLESPOONS_PER_GALLON: f64 = 256.0;
/// US teaspoons in a US gallon.
const US_TEASPOONS_PER_GALLON: f64 = 768.0;
/// L per metric teaspoon, the one of nutrition labels (US 21 CFR 101.9(b)(5)(viii)). From memory.
const L_PER_METRIC_TEASPOON: f64 = 0.005;
/// L per metric tablespoon, the one of nutrition labels (US 21 CFR 101.9(b)(5)(viii)). From memory.
const L_PER_METRIC_TABLESPOON: f64 = 0.015;
/// g per avoirdupois pound.
const G_PER_POUND: f64 = 453.59237;
/// Ounces in an avoirdupois pound.
const OUNCES_PER_POUND: f64 = 16.0;

/// A unit of volume. US and imperial are never mixed up silently: they are different variants, and typed text that does
/// not say which is asked back.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum VolumeUnit {
    /// Litre.
    Litre,
    /// Millilitre.
    Millilitre,
    /// US liquid gallon, 3.785411784 L.
    UsGallon,
    /// Imperial gallon, 4.54609 L.
    ImperialGallon,
    /// US fluid ounce, 29.57 mL.
    UsFluidOunce,
    /// Imperial fluid ounce, 28.41 mL.
    ImperialFluidOunce,
    /// US cup, 236.6 mL.
    UsCup,
    /// US tablespoon, 14.79 mL.
    UsTablespoon,
    /// US teaspoon, 4.929 mL.
    UsTeaspoon,
    /// Metric tablespoon, 15 mL.
    MetricTablespoon,
    /// Metric teaspoon, 5 mL.
    MetricTeaspoon,
}

impl VolumeUnit {
    /// Every unit, in the order a list shows them.
    pub const ALL: [Self; 11] = [
        Self::Litre,
        Self::Millilitre,
        Self::UsGallon,
        Self::ImperialGallon,
        Self::UsFluidOunce,
        Self::ImperialFluidOunce,
        Self::UsCup,
        Self::UsTablespoon,
        Self::UsTeaspoon,
        Self::MetricTablespoon,
        Self::MetricTeaspoon,
    ];

    /// Name for a list of choices.
    pub fn label(self) -> &'static str {
        match self {
            Self::Litre => "litres",
            Self::Millilitre => "millilitres",
            Self::UsGallon => "US gallons",
            Self::ImperialGallon => "imperial gallons",
            Self::UsFluidOunce => "US fluid ounces",
            Self::ImperialFluidOunce => "imperial fluid ounces",
            Self::UsCup => "US cups",
            Self::UsTablespoon => "US tablespoons",
            Self::UsTeaspoon => "US teaspoons",
            Self::MetricTablespoon => "metric tablespoons",
            Self::MetricTeaspoon => "metric teaspoons",
        }
    }

    /// Symbol to stand after a number.
    pub fn symbol(self) -> &'static str {
        match self {
            Self::Litre => "L",
            Self::Millilitre => "mL",
            Self::UsGallon => "US gal",
            Self::ImperialGallon => "imp gal",
            Self::UsFluidOunce => "US fl oz",
            Self::ImperialFluidOunce => "imp fl oz",
            Self::UsCup => "US cup",
            Self::UsTablespoon => "US tbsp",
            Self::UsTeaspoon => "US tsp",
            Self::MetricTablespoon => "tbsp (15 mL)",
            Self::MetricTeaspoon => "tsp (5 mL)",
        }
    }

    /// Litres in one of this unit.
    pub fn litres_per_unit(self) -> f64 {
        match self {
            Self::Litre => 1.0,
            Self::Millilitre => 0.001,
            Self::UsGallon => L_PER_US_GALLON,
            Self::ImperialGallon => L_PER_IMPERIAL_GALLON,
            Self::UsFluidOunce => L_PER_US_GALLON / US_FL_OZ_PER_GALLON,
            Self::ImperialFluidOunce => L_PER_IMPERIAL_GALLON / IMPERIAL_FL_OZ_PER_GALLON,
            Self::UsCup => L_PER_US_GALLON / US_CUPS_PER_GALLON,
            Self::UsTablespoon => L_PER_US_GALLON / US_TABLESPOONS_PER_GALLON,
            Self::UsTeaspoon => L_PER_US_GALLON / US_TEASPOONS_PER_GALLON,
            Self::MetricTablespoon => L_PER_METRIC_TABLESPOON,
            Self::MetricTeaspoon => L_PER_METRIC_TEASPOON,
        }
    }

    /// Litres in `value` of this unit. Any number: the quantity's constructor checks it.
    pub fn litres_from(self, value: f64) -> f64 {
        value * self.litres_per_unit()
    }

    /// `litres` read in this unit.
    pub fn from_litres(self, litres: f64) -> f64 {
        litres / self.litres_per_unit()
    }

    /// Millilitres in `value` of this unit. Any number: the quantity's constructor checks it.
    pub fn millilitres_from(self, value: f64) -> f64 {
        // Through litres would not return a millilitre bit for bit.
        if self == Self::Millilitre { value } else { self.litres_from(value) * 1000.0 }
    }

    /// `millilitres` read in this unit.
    pub fn from_millilitres(self, millilitres: f64) -> f64 {
        if self == Self::Millilitre { millilitres } else { self.from_litres(millilitres / 1000.0) }
    }
}

/// A unit of mass.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum MassUnit {
    /// Gram.
    Gram,
    /// Kilogram.
    Kilogram,
    /// Avoirdupois ounce, 28.349523125 g.
    Ounce,
    /// Avoirdupois pound, 453.59237 g.
    Pound,
}

impl MassUnit {
    /// Every unit, in the order a list shows them.
    pub const ALL: [Self; 4] = [Self::Gram, Self::Kilogram, Self::Ounce, Self::Pound];

    /// Name for a list of choices.
    pub fn label(self) -> &'static str {
        match self {
            Self::Gram => "grams",
            Self::Kilogram => "kilograms",
            Self::Ounce => "ounces",
            Self::Pound => "pounds",
        }
    }

    /// Symbol to stand after a number.
    pub fn symbol(self) -> &'static str {
        match self {
            Self::Gram => "g",
            Self::Kilogram => "kg",
            Self::Ounce => "oz",
            Self::Pound => "lb",
        }
    }

    /// Grams in one of this unit.
    pub fn grams_per_unit(self) -> f64 {
        match self {
            Self::Gram => 1.0,
            Self::Kilogram => 1000.0,
            Self::Ounce => G_PER_POUND / OUNCES_PER_POUND,
            Self::Pound => G_PER_POUND,
        }
    }

    /// Grams in `value` of this unit. Any number: the quantity's constructor checks it.
    pub fn grams_from(self, value: f64) -> f64 {
        value * self.grams_per_unit()
    }

    /// `grams` read in this unit.
    pub fn from_grams(self, grams: f64) -> f64 {
        grams / self.grams_per_unit()
    }
}

quantity!(
    /// Drops that a dropper gives per millilitre: 5 to 100.
    ///
    /// The range is ours: counted droppers give 10 to 30, a fine one 60 (common practice, no source), and a number outside
    /// 5 to 100 is a slip of the finger.
    DropsPerMl, "drops per millilitre", "drops/mL", 5.0, 100.0
);

impl DropsPerMl {
    /// 20 drops per mL, the official medicine dropper: water gives 45 to 55 mg a drop. Source: United States
    /// Pharmacopeia, chapter 1101 "Medicine dropper". From memory. A real dropper is counted into a syringe.
    pub const NOMINAL: Self = Self(20.0);
}

impl Millilitres {
    /// The volume of so many drops.
    ///
    /// # Errors
    /// [`UnitError`] when `drops` is NaN, infinite or negative.
    pub fn from_drops(drops: f64, dropper: DropsPerMl) -> Result<Self, UnitError> {
        let drops = checked("drops", drops, 0.0, f64::INFINITY, "drops")?;
        Self::new(drops / dropper.get())
    }

    /// The number of drops in this volume; not rounded.
    pub fn in_drops(self, dropper: DropsPerMl) -> f64 {
        self.get() * dropper.get()
    }
}
