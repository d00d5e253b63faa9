//! What meters and water reports show: conductivity scales, temperature and its compensation, alkalinity and hardness.

use serde::{Deserialize, Serialize};

use super::{Celsius, EcMilliSiemens, UnitError, VolumeUnit, checked};

/// A scale on which a meter shows electrical conductivity.
///
/// "ppm" is not a concentration: the meter multiplies the conductivity by a fixed factor, and three factors are in use.
/// A number in "ppm" without its scale means nothing, so there is no variant for it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum EcScale {
    /// mS/cm, the same number as dS/m and mmho/cm.
    #[default]
    MilliSiemens,
    /// µS/cm, the same number as µmho/cm.
    MicroSiemens,
    /// ppm on the 500 scale (sodium chloride).
    Ppm500,
    /// ppm on the 640 scale.
    Ppm640,
    /// ppm on the 700 scale (also sold as "442").
    Ppm700,
    /// CF, conductivity factor: ten times mS/cm.
    ConductivityFactor,
}

impl EcScale {
    /// Every scale, in the order a list shows them.
    pub const ALL: [Self; 6] =
        [Self::MilliSiemens, Self::MicroSiemens, Self::Ppm500, Self::Ppm640, Self::Ppm700, Self::ConductivityFactor];

    /// The three meanings of a bare "ppm".
    pub const PPM: [Self; 3] = [Self::Ppm500, Self::Ppm640, Self::Ppm700];

    /// Name for a list of choices.
    pub fn label(self) -> &'static str {
        match self {
            Self::MilliSiemens => "mS/cm",
            Self::MicroSiemens => "µS/cm",
            Self::Ppm500 => "ppm on the 500 scale",
            Self::Ppm640 => "ppm on the 640 scale",
            Self::Ppm700 => "ppm on the 700 scale",
            Self::ConductivityFactor => "CF",
        }
    }

    /// Symbol to stand after a number.
    pub fn symbol(self) -> &'static str {
        match self {
            Self::MilliSiemens => "mS/cm",
            Self::MicroSiemens => "µS/cm",
            Self::Ppm500 => "ppm (500)",
            Self::Ppm640 => "ppm (640)",
            Self::Ppm700 => "ppm (700)",
            Self::ConductivityFactor => "CF",
        }
    }

    /// The number that this scale shows at 1 mS/cm.
    ///
    /// Source: the ppm factors are meter conventions, 0.5 (sodium chloride), 0.64, 0.7 ("442") mg/L per µS/cm. CF is ten
    /// times mS/cm. From memory.
    pub fn per_ms_cm(self) -> f64 {
        match self {
            Self::MilliSiemens => 1.0,
            Self::MicroSiemens => 1000.0,
            Self::Ppm500 => 500.0,
            Self::Ppm640 => 640.0,
            Self::Ppm700 => 700.0,
            Self::ConductivityFactor => 10.0,
        }
    }

    /// mS/cm of a reading on this scale. Any number: the quantity's constructor checks it.
    pub fn ms_cm_from(self, reading: f64) -> f64 {
        reading / self.per_ms_cm()
    }

    /// The reading on this scale at `ms_cm`.
    pub fn from_ms_cm(self, ms_cm: f64) -> f64 {
        ms_cm * self.per_ms_cm()
    }

    /// A figure of something that is known to so many decimals of mS/cm, on this scale as fine as that: tens of µS/cm or ppm
    /// for one decimal, ones for two or more; a decimal fewer of CF. No symbol stands behind it.
    pub fn figure(self, ms_cm: f64, decimals: usize) -> String {
        let shown = self.from_ms_cm(ms_cm);
        match self {
            Self::MilliSiemens => format!("{shown:.decimals$}"),
            Self::ConductivityFactor => format!("{shown:.places$}", places = decimals.saturating_sub(1)),
            Self::MicroSiemens | Self::Ppm500 | Self::Ppm640 | Self::Ppm700 => {
                let grain = [100.0, 10.0].get(decimals).copied().unwrap_or(1.0);
                // Adding nothing takes the sign off a nought.
                format!("{:.0}", (shown / grain).round() * grain + 0.0)
            }
        }
    }

    /// A figure that somebody set, such as the edge of a band: so many decimals of mS/cm, on any other scale all that a meter
    /// shows, so that 625 ppm stay 625.
    pub fn edge(self, ms_cm: f64, decimals: usize) -> String {
        self.figure(ms_cm, if self == Self::MilliSiemens { decimals } else { 2 })
    }

    /// What stands behind figures that have no unit where they are mS/cm, as the trade tells them: on any other scale a bare
    /// figure would be another EC, so there it is a blank and the symbol.
    pub fn tail(self) -> String {
        if self == Self::MilliSiemens { String::new() } else { format!(" {}", self.symbol()) }
    }

    /// [`Self::figure`] with the symbol behind it on every scale.
    pub fn told(self, ms_cm: f64, decimals: usize) -> String {
        format!("{} {}", self.figure(ms_cm, decimals), self.symbol())
    }

    /// True on the three ppm scales.
    pub fn is_ppm(self) -> bool {
        Self::PPM.contains(&self)
    }
}

/// A unit of temperature.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum TemperatureUnit {
    /// Degree Celsius.
    Celsius,
    /// Degree Fahrenheit.
    Fahrenheit,
}

/// °F at the freezing point of the Celsius scale. Source: NIST SP 811 (2008), Appendix B.8. From memory.
const FAHRENHEIT_AT_0_C: f64 = 32.0;
/// °F per °C. Source: as above.
const FAHRENHEIT_PER_CELSIUS: f64 = 1.8;

impl TemperatureUnit {
    /// Every unit, in the order a list shows them.
    pub const ALL: [Self; 2] = [Self::Celsius, Self::Fahrenheit];

    /// Name for a list of choices.
    pub fn label(self) -> &'static str {
        match self {
            Self::Celsius => "degrees Celsius",
            Self::Fahrenheit => "degrees Fahrenheit",
        }
    }

    /// Symbol to stand after a number.
    pub fn symbol(self) -> &'static str {
        match self {
            Self::Celsius => "°C",
            Self::Fahrenheit => "°F",
        }
    }

    /// °C of a temperature in this unit. Any number: the quantity's constructor checks it.
    pub fn celsius_from(self, value: f64) -> f64 {
        match self {
            Self::Celsius => value,
            Self::Fahrenheit => (value - FAHRENHEIT_AT_0_C) / FAHRENHEIT_PER_CELSIUS,
        }
    }

    /// `celsius` read in this unit.
    pub fn from_celsius(self, celsius: f64) -> f64 {
        match self {
            Self::Celsius => celsius,
            Self::Fahrenheit => celsius * FAHRENHEIT_PER_CELSIUS + FAHRENHEIT_AT_0_C,
        }
    }
}

/// Temperature to which conductivity is referred, °C. Source: ISO 7888:1985. From memory.
const REFERENCE_C: f64 = 25.0;

/// How far a linear rule may shrink a reading before it means nothing: at 2 % per °C the factor is 0.5 at 0 °C and
/// zero at -25 °C. Ours.
const LEAST_FACTOR: f64 = 0.05;

/// The factor of the linear rule, `1 + a (t - 25)`.
fn linear_factor(temperature: Celsius, percent_per_c: f64) -> Result<f64, UnitError> {
    let percent = checked("temperature coefficient", percent_per_c, 0.0, 10.0, "%/°C")?;
    let factor = 1.0 + percent / 100.0 * (temperature.get() - REFERENCE_C);
    checked("temperature factor", factor, LEAST_FACTOR, f64::INFINITY, "")
}

/// What a linearly compensating meter shows for a conductivity at the water's temperature: `k25 = kt / (1 + a (t - 25))`.
///
/// **Units:** `at_temperature` in mS/cm at `temperature`, the result referred to 25 °C; `percent_per_c` is 100 a.
/// **Valid range:** 0 to 10 %/°C, and temperatures at which the factor is at least 0.05.
/// **Limitations:** good to 2 or 3 % over 5 to 35 °C for natural waters. Most meters compensate: never apply it twice.
/// **Source:** ISO 7888:1985; 2 %/°C is the usual setting, 1.91 %/°C potassium chloride (Standard Methods 2510 B). From
/// memory.
///
/// # Errors
/// [`UnitError`] for a coefficient or a temperature out of range.
pub fn compensated_to_25(
    at_temperature: EcMilliSiemens,
    temperature: Celsius,
    percent_per_c: f64,
) -> Result<EcMilliSiemens, UnitError> {
    EcMilliSiemens::new(at_temperature.get() / linear_factor(temperature, percent_per_c)?)
}

/// The conductivity at the water's temperature from a reading that a meter compensated linearly to 25 °C: the inverse of
/// [`compensated_to_25`], with the same units, range and source.
///
/// # Errors
/// [`UnitError`] for a coefficient or a temperature out of range.
pub fn uncompensated_from_25(
    at_25: EcMilliSiemens,
    temperature: Celsius,
    percent_per_c: f64,
) -> Result<EcMilliSiemens, UnitError> {
    EcMilliSiemens::new(at_25.get() * linear_factor(temperature, percent_per_c)?)
}

/// A unit of alkalinity or hardness. Both are counted as calcium carbonate or by charge; what differs is what was
/// titrated, and that is the field's business, not the unit's.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum HardnessUnit {
    /// mg/L as calcium carbonate, the same number as "ppm CaCO3".
    MgPerLitreCaCo3,
    /// meq/L, the same number as mmol/L of charge.
    MeqPerLitre,
    /// German degree of total hardness, °dH: 10 mg/L as `CaO`.
    GermanDegree,
    /// German degree of carbonate hardness, °dKH: the same size as °dH, said of alkalinity.
    GermanCarbonateDegree,
    /// French degree, °fH: 10 mg/L as calcium carbonate.
    FrenchDegree,
    /// English degree (Clark), °e: one grain per imperial gallon, as calcium carbonate.
    ClarkDegree,
    /// Grains per US gallon, as calcium carbonate.
    GrainsPerUsGallon,
}

/// g/mol of CaCO3 from Ca 40.078, C 12.011, O 15.999. Source: IUPAC standard atomic weights, abridged (2021). From memory.
const CACO3_G_PER_MOL: f64 = 100.086;
/// g/mol of `CaO`. Source: as above.
const CAO_G_PER_MOL: f64 = 56.077;
/// Charges per calcium.
const EQ_PER_MOL_CA: f64 = 2.0;
/// mg/L as `CaO` in one German degree. Source: DIN 38409-6 (1986). From memory.
const MG_CAO_PER_L_PER_DEGREE: f64 = 10.0;
/// mg/L as CaCO3 in one French degree. From memory.
const MG_CACO3_PER_L_PER_FRENCH_DEGREE: f64 = 10.0;
/// mg per grain, exact. Source: NIST Handbook 44, Appendix C. From memory.
const MG_PER_GRAIN: f64 = 64.79891;

impl HardnessUnit {
    /// Every unit, in the order a list shows them.
    pub const ALL: [Self; 7] = [
        Self::MgPerLitreCaCo3,
        Self::MeqPerLitre,
        Self::GermanDegree,
        Self::GermanCarbonateDegree,
        Self::FrenchDegree,
        Self::ClarkDegree,
        Self::GrainsPerUsGallon,
    ];

    /// Name for a list of choices.
    pub fn label(self) -> &'static str {
        match self {
            Self::MgPerLitreCaCo3 => "mg/L as CaCO3 (ppm)",
            Self::MeqPerLitre => "meq/L",
            Self::GermanDegree => "German degrees (°dH)",
            Self::GermanCarbonateDegree => "German carbonate degrees (°dKH)",
            Self::FrenchDegree => "French degrees (°fH)",
            Self::ClarkDegree => "English degrees (°e, Clark)",
            Self::GrainsPerUsGallon => "grains per US gallon",
        }
    }

    /// Symbol to stand after a number.
    pub fn symbol(self) -> &'static str {
        match self {
            Self::MgPerLitreCaCo3 => "mg/L CaCO3",
            Self::MeqPerLitre => "meq/L",
            Self::GermanDegree => "°dH",
            Self::GermanCarbonateDegree => "°dKH",
            Self::FrenchDegree => "°fH",
            Self::ClarkDegree => "°e",
            Self::GrainsPerUsGallon => "gr/US gal",
        }
    }

    /// meq/L in one of this unit.
    pub fn meq_per_l_per_unit(self) -> f64 {
        match self {
            Self::MgPerLitreCaCo3 => EQ_PER_MOL_CA / CACO3_G_PER_MOL,
            Self::MeqPerLitre => 1.0,
            Self::GermanDegree | Self::GermanCarbonateDegree => MG_CAO_PER_L_PER_DEGREE * EQ_PER_MOL_CA / CAO_G_PER_MOL,
            Self::FrenchDegree => MG_CACO3_PER_L_PER_FRENCH_DEGREE * EQ_PER_MOL_CA / CACO3_G_PER_MOL,
            Self::ClarkDegree => {
                MG_PER_GRAIN / VolumeUnit::ImperialGallon.litres_per_unit() * EQ_PER_MOL_CA / CACO3_G_PER_MOL
            }
            Self::GrainsPerUsGallon => {
                MG_PER_GRAIN / VolumeUnit::UsGallon.litres_per_unit() * EQ_PER_MOL_CA / CACO3_G_PER_MOL
            }
        }
    }

    /// meq/L of `value` in this unit. Any number: the quantity's constructor checks it.
    pub fn meq_per_l_from(self, value: f64) -> f64 {
        value * self.meq_per_l_per_unit()
    }

    /// `meq_per_l` read in this unit.
    pub fn from_meq_per_l(self, meq_per_l: f64) -> f64 {
        meq_per_l / self.meq_per_l_per_unit()
    }
}
