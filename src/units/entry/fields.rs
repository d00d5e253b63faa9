//! The fields of the window: what a number may mean in each, and what to ask when it cannot be what it says.

use super::words::{
    EcWord, HardnessWord, VolumeWord, ec_word, hardness_word, mass_word, parts, temperature_word, volume_word,
};
use super::{Entry, EntryError, Number, Offer, Refusal, quoted, read_number};
use crate::units::{
    Celsius, EcMilliSiemens, EcScale, Grams, HardnessUnit, Litres, MassUnit, MeqPerLitre, Millilitres, PhValue,
    TemperatureUnit, VolumeUnit, shown,
};

/// A quantity and the unit it was typed in, so that the field can show it back in the same unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Typed<Q, U> {
    /// The quantity.
    pub quantity: Q,
    /// The unit it was typed, or offered, in.
    pub unit: U,
}

/// Largest EC accepted from a meter, mS/cm: what the chemistry is checked for. Ours.
pub const LARGEST_EC: f64 = 15.0;
/// Least EC worth offering as another meaning, mS/cm: below it a number is more likely a slip. Ours.
const LEAST_LIKELY_EC: f64 = 0.05;
/// Largest tank planned for, L. Ours: the tool is for small home units.
pub const LARGEST_TANK: f64 = 500.0;
/// Temperatures of water accepted, °C: what the chemistry is defined for.
pub const WATER_TEMPERATURE_C: (f64, f64) = (0.0, 40.0);
/// Largest alkalinity accepted, meq/L (1000 mg/L as CaCO3). Ours: beyond any water one would grow in.
const LARGEST_ALKALINITY_MEQ_PER_L: f64 = 20.0;
/// Largest hardness accepted, meq/L (2000 mg/L as CaCO3). Ours: as above.
const LARGEST_HARDNESS_MEQ_PER_L: f64 = 40.0;
/// Largest of both worth offering as another meaning, meq/L. Ours.
const LARGEST_LIKELY_MEQ_PER_L: f64 = 15.0;

/// A field: its name in messages and what it takes, in words.
pub(super) struct Field<'a> {
    pub(super) name: &'static str,
    pub(super) limit: String,
    pub(super) typed: &'a str,
}

impl Field<'_> {
    fn refuse<T>(&self, message: String) -> Entry<T> {
        Entry::Refused(Refusal { field: self.name, value: quoted(self.typed), limit: self.limit.clone(), message })
    }

    pub(super) fn outside<T>(&self, what: &str) -> Entry<T> {
        self.refuse(format!("{what} is outside what {} can be here: {}.", self.name, self.limit))
    }

    pub(super) fn unknown_unit<T>(&self, units: &str) -> Entry<T> {
        let (name, typed) = (self.name, quoted(self.typed));
        self.refuse(format!("“{typed}” is not a number in a unit of {name}. Known here: {units}."))
    }

    /// The number, or the outcome that its absence is.
    pub(super) fn number<T>(&self, text: &str) -> Result<Number, Entry<T>> {
        let what = match read_number(text) {
            Ok(number) => return Ok(number),
            Err(EntryError::Empty) => return Err(Entry::Blank),
            // The error speaks of the number alone; the person typed the whole.
            Err(EntryError::NotFinite { .. }) => "is not a finite number",
            Err(EntryError::NotANumber { .. } | EntryError::Ambiguous { .. }) => "is not a number",
        };
        let (name, limit) = (self.name, &self.limit);
        Err(self.refuse(format!("“{}” {what}; {name} takes {limit}.", quoted(self.typed))))
    }
}

/// The one meaning of a number that fits, a question when both do, or whatever `otherwise` makes of one that does not.
pub(super) fn settle<T>(
    typed: &str,
    number: Number,
    fits: impl Fn(f64) -> Option<T>,
    label: impl Fn(f64) -> String,
    otherwise: impl FnOnce(f64) -> Entry<T>,
) -> Entry<T> {
    match number {
        Number::Sure(value) => fits(value).map_or_else(|| otherwise(value), Entry::Ok),
        Number::Either { decimal, thousands } => match (fits(decimal), fits(thousands)) {
            (Some(small), Some(large)) => Entry::Ask {
                message: format!("“{}” can be read in two ways. Which one is it?", quoted(typed)),
                offers: vec![
                    Offer { label: label(decimal), value: small },
                    Offer { label: label(thousands), value: large },
                ],
            },
            (Some(value), None) | (None, Some(value)) => Entry::Ok(value),
            (None, None) => otherwise(thousands),
        },
    }
}

/// A pH: 0 to 14. A missing point (70, 652) is offered back.
pub fn interpret_ph(text: &str) -> Entry<PhValue> {
    let field = Field { name: "pH", limit: "0 to 14".to_owned(), typed: text };
    let parts = parts(text, &["ph"]);
    if !parts.unit.is_empty() {
        return field.refuse(format!("“{}” is not a pH; pH takes {}, without a unit.", quoted(text), field.limit));
    }
    let number = match field.number(parts.number) {
        Ok(number) => number,
        Err(outcome) => return outcome,
    };
    let fits = |value| PhValue::new(value).ok();
    settle(
        text,
        number,
        fits,
        |value| format!("pH {value}"),
        |value| {
            let whole = value.fract() == 0.0;
            let slipped = if value > 140.0 { value / 100.0 } else { value / 10.0 };
            match fits(slipped) {
                Some(offer) if whole && value > 14.0 => Entry::Ask {
                    message: format!("pH {} is outside 0 to 14. Is a point missing?", quoted(parts.number)),
                    offers: vec![Offer { label: format!("pH {slipped:?}"), value: offer }],
                },
                _ => field.outside(&format!("pH {}", quoted(parts.number))),
            }
        },
    )
}

fn ec_label(value: f64, scale: EcScale) -> String {
    let ms_cm = shown(scale.ms_cm_from(value));
    match scale {
        EcScale::MilliSiemens => format!("{value} mS/cm"),
        EcScale::ConductivityFactor => format!("CF {value} = {ms_cm} mS/cm"),
        _ => format!("{value} {} = {ms_cm} mS/cm", scale.label()),
    }
}

/// An EC on the field's `scale`, unless the text names another. Accepted: 0 to 15 mS/cm.
///
/// A bare "ppm" is asked back, unless the field itself is on a ppm scale. A number that cannot be on its scale is offered
/// on those where it can: 1200 mS/cm as µS/cm or ppm, 1.2 µS/cm as mS/cm.
pub fn interpret_ec(text: &str, scale: EcScale) -> Entry<Typed<EcMilliSiemens, EcScale>> {
    let field = Field { name: "EC", limit: format!("0 to {LARGEST_EC} mS/cm"), typed: text };
    let parts = parts(text, &["ec"]);
    let word = if parts.unit.is_empty() { Some(EcWord::Scale(scale)) } else { ec_word(&parts.unit) };
    let number = match field.number(parts.number) {
        Ok(number) => number,
        Err(outcome) => return outcome,
    };
    let fits = |value: f64, scale: EcScale| {
        let quantity = EcMilliSiemens::from_unit(value, scale).ok()?;
        (quantity.get() <= LARGEST_EC).then_some(Typed { quantity, unit: scale })
    };
    let likely = |value: f64, scale: EcScale| fits(value, scale).filter(|ec| ec.quantity.get() >= LEAST_LIKELY_EC);
    let offers_on = |value: f64, scales: &[EcScale]| -> Vec<Offer<_>> {
        scales
            .iter()
            .filter_map(|&scale| Some(Offer { label: ec_label(value, scale), value: likely(value, scale)? }))
            .collect()
    };
    let scale_typed = match word {
        Some(EcWord::Scale(named)) => named,
        Some(EcWord::BarePpm) if scale.is_ppm() => scale,
        Some(EcWord::BarePpm) => {
            let values = match number {
                Number::Sure(value) => vec![value],
                Number::Either { decimal, thousands } => vec![thousands, decimal],
            };
            let offers: Vec<_> = values.into_iter().flat_map(|value| offers_on(value, &EcScale::PPM)).collect();
            if offers.is_empty() {
                return field.outside(&format!("“{}”", quoted(text)));
            }
            let message = format!("“{}” depends on the meter's scale. Which scale is it?", quoted(text));
            return Entry::Ask { message, offers };
        }
        Some(EcWord::MilliSiemensPerMetre) => {
            let per_metre = |value: f64| fits(value / 100.0, EcScale::MilliSiemens);
            let label = |value: f64| format!("{value} mS/m = {} mS/cm", shown(value / 100.0));
            return settle(text, number, per_metre, label, |value| field.outside(&format!("{value} mS/m")));
        }
        None => return field.unknown_unit("mS/cm, µS/cm, ppm (500), ppm (640), ppm (700), CF"),
    };
    let counts_in_hundreds = scale_typed.is_ppm() || scale_typed == EcScale::MicroSiemens;
    if let Number::Sure(value) = number
        && parts.unit.is_empty()
        && counts_in_hundreds
        && value.fract() != 0.0
        && let Some(as_ms) = likely(value, EcScale::MilliSiemens)
        && let Some(as_typed) = fits(value, scale_typed)
    {
        return Entry::Ask {
            message: format!("{value} {} is hardly more than pure water. Was it mS/cm?", scale_typed.symbol()),
            offers: vec![
                Offer { label: ec_label(value, EcScale::MilliSiemens), value: as_ms },
                Offer { label: ec_label(value, scale_typed), value: as_typed },
            ],
        };
    }
    settle(
        text,
        number,
        |value| fits(value, scale_typed),
        |value| ec_label(value, scale_typed),
        |value| {
            let others: Vec<_> = EcScale::ALL.into_iter().filter(|&other| other != scale_typed).collect();
            let offers = offers_on(value, &others);
            let what = format!("EC {} {}", quoted(parts.number), scale_typed.symbol());
            if offers.is_empty() {
                return field.outside(&what);
            }
            Entry::Ask { message: format!("{what} is outside {}. Was it on another scale?", field.limit), offers }
        },
    )
}

/// A water temperature in the field's `unit`, unless the text names the other. Accepted: 0 to 40 °C. One that fits only
/// the other unit is offered there.
pub fn interpret_temperature(text: &str, unit: TemperatureUnit) -> Entry<Typed<Celsius, TemperatureUnit>> {
    let (low_c, high_c) = WATER_TEMPERATURE_C;
    let limit =
        format!("{} to {} {}", shown(unit.from_celsius(low_c)), shown(unit.from_celsius(high_c)), unit.symbol());
    let field = Field { name: "temperature", limit, typed: text };
    let parts = parts(text, &[]);
    let unit_typed = if parts.unit.is_empty() { Some(unit) } else { temperature_word(&parts.unit) };
    let Some(unit_typed) = unit_typed else {
        return field.unknown_unit("°C, °F");
    };
    let number = match field.number(parts.number) {
        Ok(number) => number,
        Err(outcome) => return outcome,
    };
    let fits = |value: f64, unit: TemperatureUnit| {
        let quantity = Celsius::from_unit(value, unit).ok()?;
        (low_c..=high_c).contains(&quantity.get()).then_some(Typed { quantity, unit })
    };
    let other = match unit_typed {
        TemperatureUnit::Celsius => TemperatureUnit::Fahrenheit,
        TemperatureUnit::Fahrenheit => TemperatureUnit::Celsius,
    };
    let label = |value: f64| format!("{value} {}", unit_typed.symbol());
    settle(
        text,
        number,
        |value| fits(value, unit_typed),
        label,
        |value| {
            let what = format!("{} {}", quoted(parts.number), unit_typed.symbol());
            let Some(offer) = fits(value, other) else {
                return field.outside(&what);
            };
            let converted = shown(unit_typed.from_celsius(offer.quantity.get()));
            let label = format!("{value} {} = {converted} {}", other.symbol(), unit_typed.symbol());
            Entry::Ask {
                message: format!("{what} is outside {}. Was it {}?", field.limit, other.symbol()),
                offers: vec![Offer { label, value: offer }],
            }
        },
    )
}

fn volume_label(value: f64, unit: VolumeUnit, back_in: VolumeUnit) -> String {
    if unit == back_in {
        return format!("{value} {}", unit.symbol());
    }
    format!("{value} {} = {} {}", unit.symbol(), shown(back_in.from_litres(unit.litres_from(value))), back_in.symbol())
}

/// A volume in one of the units that `text` can mean, as `fits` allows.
fn volume_entry<T>(
    field: &Field<'_>,
    unit: VolumeUnit,
    back_in: VolumeUnit,
    fits: impl Fn(f64, VolumeUnit) -> Option<T>,
) -> Entry<T> {
    let parts = parts(field.typed, &[]);
    let word = if parts.unit.is_empty() { Some(VolumeWord::Unit(unit)) } else { volume_word(&parts.unit) };
    let Some(word) = word else {
        return field.unknown_unit("L, mL, US gal, imp gal, US fl oz, imp fl oz, cup, tbsp, tsp");
    };
    let number = match field.number(parts.number) {
        Ok(number) => number,
        Err(outcome) => return outcome,
    };
    let what = format!("“{}”", quoted(field.typed));
    let unit_typed = match word {
        VolumeWord::Unit(unit) => unit,
        VolumeWord::UsOrImperial(us, imperial) if [us, imperial].contains(&unit) => unit,
        VolumeWord::UsOrImperial(us, imperial) => {
            let values = match number {
                Number::Sure(value) => vec![value],
                Number::Either { decimal, thousands } => vec![decimal, thousands],
            };
            let offers: Vec<_> = values
                .into_iter()
                .flat_map(|value| [(value, us), (value, imperial)])
                .filter_map(|(value, unit)| {
                    Some(Offer { label: volume_label(value, unit, back_in), value: fits(value, unit)? })
                })
                .collect();
            if offers.is_empty() {
                return field.outside(&what);
            }
            return Entry::Ask { message: format!("{what} can be US or imperial. Which one is it?"), offers };
        }
    };
    let label = |value| volume_label(value, unit_typed, back_in);
    settle(
        field.typed,
        number,
        |value| fits(value, unit_typed),
        label,
        |value| {
            // Thousands of litres in a home unit are millilitres.
            match fits(value, VolumeUnit::Millilitre) {
                Some(offer) if unit_typed == VolumeUnit::Litre && value > 0.0 => Entry::Ask {
                    message: format!("{} L is outside {}. Was it mL?", quoted(parts.number), field.limit),
                    offers: vec![Offer { label: volume_label(value, VolumeUnit::Millilitre, back_in), value: offer }],
                },
                _ => field.outside(&what),
            }
        },
    )
}

/// What [`interpret_volume`] takes, in words.
pub fn volume_limit(unit: VolumeUnit) -> String {
    match unit {
        VolumeUnit::Litre => format!("more than 0 and at most {LARGEST_TANK} L"),
        _ => format!(
            "more than 0 and at most {} {} ({LARGEST_TANK} L)",
            shown(unit.from_litres(LARGEST_TANK)),
            unit.symbol()
        ),
    }
}

/// The volume of a tank or of the water in it, in the field's `unit`, unless the text names another. Accepted: above 0, up
/// to 500 L. A bare "gal" or "oz" is asked back, unless the field itself is on one of the two.
pub fn interpret_volume(text: &str, unit: VolumeUnit) -> Entry<Typed<Litres, VolumeUnit>> {
    let limit = volume_limit(unit);
    let field = Field { name: "volume", limit, typed: text };
    volume_entry(&field, unit, VolumeUnit::Litre, |value, unit| {
        let quantity = Litres::from_unit(value, unit).ok()?;
        (quantity.get() > 0.0 && quantity.get() <= LARGEST_TANK).then_some(Typed { quantity, unit })
    })
}

/// A volume to pour in the field's `unit`, unless the text names another. Accepted: 0 to `largest`.
pub fn interpret_pour_volume(
    text: &str,
    unit: VolumeUnit,
    largest: Millilitres,
) -> Entry<Typed<Millilitres, VolumeUnit>> {
    let limit = format!("0 to {} {}", shown(largest.in_unit(unit)), unit.symbol());
    let field = Field { name: "amount", limit, typed: text };
    volume_entry(&field, unit, VolumeUnit::Millilitre, |value, unit| {
        let quantity = Millilitres::from_unit(value, unit).ok()?;
        (quantity <= largest).then_some(Typed { quantity, unit })
    })
}

/// A mass to add in the field's `unit`, unless the text names another. Accepted: 0 to `largest`.
pub fn interpret_pour_mass(text: &str, unit: MassUnit, largest: Grams) -> Entry<Typed<Grams, MassUnit>> {
    let limit = format!("0 to {} {}", shown(largest.in_unit(unit)), unit.symbol());
    let field = Field { name: "amount", limit, typed: text };
    let parts = parts(text, &[]);
    let unit_typed = if parts.unit.is_empty() { Some(unit) } else { mass_word(&parts.unit) };
    let Some(unit_typed) = unit_typed else {
        return field.unknown_unit("g, kg, oz, lb");
    };
    let number = match field.number(parts.number) {
        Ok(number) => number,
        Err(outcome) => return outcome,
    };
    let fits = |value: f64| {
        let quantity = Grams::from_unit(value, unit_typed).ok()?;
        (quantity <= largest).then_some(Typed { quantity, unit: unit_typed })
    };
    let label = |value: f64| format!("{value} {}", unit_typed.symbol());
    settle(text, number, fits, label, |_| field.outside(&format!("“{}”", quoted(text))))
}

/// What was titrated.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WaterTest {
    /// Alkalinity, by acid.
    Alkalinity,
    /// Total hardness, calcium and magnesium.
    Hardness,
}

/// An alkalinity or a hardness in the field's `unit`, unless the text names another. Accepted: alkalinity
/// 0 to 20 meq/L, hardness 0 to 40 meq/L (1000 and 2000 mg/L as CaCO3). One that cannot be in its unit is offered in those
/// where it can.
pub fn interpret_water_test(
    text: &str,
    test: WaterTest,
    unit: HardnessUnit,
) -> Entry<Typed<MeqPerLitre, HardnessUnit>> {
    let (name, largest) = match test {
        WaterTest::Alkalinity => ("alkalinity", LARGEST_ALKALINITY_MEQ_PER_L),
        WaterTest::Hardness => ("hardness", LARGEST_HARDNESS_MEQ_PER_L),
    };
    let limit = format!("0 to {} {}", shown(unit.from_meq_per_l(largest)), unit.symbol());
    let field = Field { name, limit, typed: text };
    let parts = parts(text, &["kh", "gh"]);
    let word = if parts.unit.is_empty() { Some(HardnessWord::Unit(unit)) } else { hardness_word(&parts.unit) };
    let number = match field.number(parts.number) {
        Ok(number) => number,
        Err(outcome) => return outcome,
    };
    let fits = |value: f64, unit: HardnessUnit| {
        let quantity = MeqPerLitre::from_unit(value, unit).ok()?;
        (0.0..=largest).contains(&quantity.get()).then_some(Typed { quantity, unit })
    };
    let unit_typed = match (word, test) {
        (Some(HardnessWord::Unit(unit)), _) => unit,
        (Some(HardnessWord::Millimoles), WaterTest::Alkalinity) => HardnessUnit::MeqPerLitre,
        (Some(HardnessWord::Millimoles), WaterTest::Hardness) => {
            let per_mole = |value: f64| fits(2.0 * value, HardnessUnit::MeqPerLitre);
            let label = |value: f64| format!("{value} mmol/L = {} meq/L", 2.0 * value);
            return settle(text, number, per_mole, label, |value| field.outside(&format!("{value} mmol/L")));
        }
        (None, _) => return field.unknown_unit("mg/L CaCO3, meq/L, °dH, °dKH, °fH, °e, grains per US gallon"),
    };
    let label = |value: f64, unit: HardnessUnit| {
        let meq_per_l = shown(unit.meq_per_l_from(value));
        format!("{value} {} = {meq_per_l} meq/L", unit.symbol())
    };
    settle(
        text,
        number,
        |value| fits(value, unit_typed),
        |value| label(value, unit_typed),
        |value| {
            let said_of_the_other = match test {
                WaterTest::Alkalinity => HardnessUnit::GermanDegree,
                WaterTest::Hardness => HardnessUnit::GermanCarbonateDegree,
            };
            let offers: Vec<_> = HardnessUnit::ALL
                .into_iter()
                .filter(|&other| other != unit_typed && other != said_of_the_other)
                .filter_map(|other| {
                    let offer = fits(value, other).filter(|it| it.quantity.get() <= LARGEST_LIKELY_MEQ_PER_L)?;
                    Some(Offer { label: label(value, other), value: offer })
                })
                .collect();
            let what = format!("{name} {} {}", quoted(parts.number), unit_typed.symbol());
            if offers.is_empty() {
                return field.outside(&what);
            }
            Entry::Ask { message: format!("{what} is outside {}. Was it another unit?", field.limit), offers }
        },
    )
}
