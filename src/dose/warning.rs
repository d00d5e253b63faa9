//! What a landing should be warned of.

use crate::chem::Mineral;
use crate::units::EcScale;

/// What keeps a solid from forming in a mix that is over saturated with it, as it begins a sentence that ends "against it". Of a
/// solid's parts it names the one that a grower has in hand; common practice, no source.
fn guards(mineral: Mineral) -> &'static str {
    match mineral {
        Mineral::Calcite => "Softer water in part, or a lower pH, guards",
        Mineral::Gypsum => "Softer water in part, or a weaker mix, guards",
        // Phosphoric acid adds to the phosphate that the feed brings.
        Mineral::Brushite | Mineral::Hydroxyapatite => "Softer water in part, or an acid other than phosphoric, guards",
        Mineral::Struvite => "A weaker mix, or a lower pH, guards",
        Mineral::AmorphousSilica => "Less silicate guards",
    }
}

/// A caution about where a plan lands, with the numbers it rests on.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum Warning {
    /// A solid may form: saturation index above its threshold.
    MayCloud {
        /// Which solid.
        mineral: Mineral,
        /// log10 of how far over saturation.
        saturation_index: f64,
        /// The pH at which it is so far over, where that is not yet the mix but what it creeps up to in fresh air.
        crept_to_ph: Option<f64>,
    },
    /// More water than the tank holds.
    OverTheRim {
        /// Volume after all pours, L.
        volume_l: f64,
        /// What the tank holds, L.
        tank_l: f64,
    },
    /// Outside what the model was checked for.
    OutOfDomain {
        /// pH.
        ph: f64,
        /// EC, mS/cm.
        ec_ms_cm: f64,
    },
}

impl Warning {
    /// Range of pH for which the chemistry was checked against an outside engine (the reference files reach 1.87 to 12.35).
    pub const CHECKED_PH: (f64, f64) = (1.9, 12.3);
    /// Highest EC, mS/cm, for which it was.
    pub const CHECKED_EC_MS_CM: f64 = 13.0;

    /// In words for a beginner, EC in mS/cm.
    pub fn words(&self) -> String {
        self.words_on(EcScale::MilliSiemens)
    }

    /// The same with EC on the scale that a person reads.
    pub fn words_on(&self, scale: EcScale) -> String {
        match self {
            Self::MayCloud { mineral, saturation_index, crept_to_ph } => {
                let times = 10_f64.powf(*saturation_index);
                let times = if times < 10.0 { format!("{times:.1}") } else { format!("{times:.0}") };
                let name = mineral.name();
                match crept_to_ph {
                    None => format!(
                        "The mix is {times} times over saturation with {name}: it may turn cloudy and drop what you paid for. {} against it",
                        guards(*mineral)
                    ),
                    // Nothing is wrong with the mix, and there is something to be done in time.
                    Some(ph) => format!(
                        "Left to creep up to pH {ph:.1}, the water would come to {times} times over saturation with {name} and might turn cloudy: pH held in the zone guards against it"
                    ),
                }
            }
            Self::OverTheRim { volume_l, tank_l } => {
                format!("That makes {volume_l:.1} L in a tank of {tank_l:.1} L: it would run over")
            }
            Self::OutOfDomain { ph, ec_ms_cm } => format!(
                "pH {ph:.1} and EC {} lie outside what the model was checked for (pH {} to {}, EC up to {})",
                scale.told(*ec_ms_cm, 1),
                Self::CHECKED_PH.0,
                Self::CHECKED_PH.1,
                scale.figure(Self::CHECKED_EC_MS_CM, 0)
            ),
        }
    }

    /// In a few words, for a place on the map.
    pub fn short(&self) -> String {
        match self {
            // The mineral's own name, in brackets, says nothing to a gardener; the full words have it.
            Self::MayCloud { mineral, .. } => {
                format!("may turn cloudy: {}", mineral.name().split(" (").next().unwrap_or_default())
            }
            Self::OverTheRim { tank_l, .. } => format!("over the rim of {tank_l:.1} L"),
            Self::OutOfDomain { .. } => "outside what the model was checked for".to_owned(),
        }
    }
}
