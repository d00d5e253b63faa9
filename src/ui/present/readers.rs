//! What a person types, read by the trade's own rules, in the units the fields show.

use crate::card::figure;
use crate::garden::peroxide::Asked;
use crate::garden::{MOST_JAR_L, check_level_l};
use crate::ui::command::Field;
use crate::ui::screens::reading::plain_reader;
use crate::ui::state::Trouble;
use crate::ui::view::{OfferView, Reader};
use crate::ui::widgets::{Entry, plain_number};
use crate::units::entry::{
    Entry as Read, WaterTest, interpret_ec, interpret_ph, interpret_pour_mass, interpret_pour_volume,
    interpret_temperature, interpret_volume, interpret_water_test, volume_limit,
};
use crate::units::{EcScale, Grams, HardnessUnit, MassUnit, Millilitres, TemperatureUnit, VolumeUnit};

/// Units that the fields show.
#[derive(Clone, Copy, Debug)]
pub(super) struct FieldUnits {
    pub(super) volume: VolumeUnit,
    pub(super) ec: EcScale,
    pub(super) temperature: TemperatureUnit,
    pub(super) alkalinity: HardnessUnit,
}

/// A pour that can be typed: its key, whether it counts in mL (else g), and the most that makes sense.
#[derive(Clone, Copy, Debug)]
pub(super) struct PourField {
    pub(super) key: u32,
    pub(super) liquid: bool,
    pub(super) most: f64,
}

/// Reads the fields of the first page.
pub fn start_reader(volume: VolumeUnit, ec: EcScale, alkalinity: HardnessUnit) -> Reader {
    let units = FieldUnits { volume, ec, temperature: TemperatureUnit::Celsius, alkalinity };
    Reader::new(move |field, typed| read(field, typed, units))
}

/// Reads the fields of the page of today: `tank_l` bounds the level, in litres.
pub(super) fn today_reader(units: FieldUnits, tank_l: f64, pours: Vec<PourField>) -> Reader {
    Reader::new(move |field, typed| match field {
        Field::Pour(key) => pours.iter().find(|p| p.key == key).map_or(Entry::Empty, |pour| read_pour(typed, *pour)),
        Field::Level => within_tank(read(field, typed, units), units.volume, tank_l),
        _ => read(field, typed, units),
    })
}

/// Reads the fields of a jar test; amounts are counted in `counted_in`.
pub(super) fn jar_reader(counted_in: String) -> Reader {
    Reader::new(move |field, typed| match field {
        Field::JarPh(_) => entry(interpret_ph(typed).map(f64::from)),
        Field::JarWater => plain_number(typed, "Water in the jar", "L", 0.1..=MOST_JAR_L),
        _ => plain_number(typed, "The amount in the jar", &counted_in, 0.0..=1000.0),
    })
}

/// Reads an amount of peroxide that somebody asks about, in mL, for so much water.
pub(super) fn peroxide_reader(water_l: f64) -> Reader {
    let most_ml = Asked::most_ml(water_l);
    Reader::new(move |_, typed| match read_pour_up_to(typed, true, most_ml) {
        Entry::Wrong(trouble) if trouble.offers.is_empty() => Entry::Wrong(Trouble {
            message: format!("Peroxide must be 0 to {} mL for this water; you typed {}", figure(most_ml), typed.trim()),
            ..trouble
        }),
        other => other,
    })
}

pub(super) fn read(field: Field, typed: &str, units: FieldUnits) -> Entry {
    match field {
        Field::TankSize => read_size(typed, units.volume),
        Field::Level => entry(interpret_volume(typed, units.volume).map(|v| v.quantity.in_unit(units.volume))),
        Field::WaterEc | Field::ReadingEc | Field::AfterEc => {
            entry(interpret_ec(typed, units.ec).map(|ec| ec.quantity.in_unit(units.ec)))
        }
        Field::WaterPh | Field::ReadingPh | Field::AfterPh => entry(interpret_ph(typed).map(f64::from)),
        Field::WaterAlkalinity => {
            let read = interpret_water_test(typed, WaterTest::Alkalinity, units.alkalinity);
            entry(read.map(|v| v.quantity.in_unit(units.alkalinity)))
        }
        Field::ReadingTemperature => {
            let read = interpret_temperature(typed, units.temperature);
            entry(read.map(|v| v.quantity.in_unit(units.temperature)))
        }
        Field::Tool(..) => plain_number(typed, "That number", "", 0.0..=100_000.0),
        Field::Pour(_)
        | Field::Log(_)
        | Field::Product(_)
        | Field::Band(..)
        | Field::Water(_)
        | Field::Peroxide
        | Field::JarWater
        | Field::JarAmount(_)
        | Field::JarPh(_) => plain_reader(field, typed),
    }
}

/// The size of the reservoir. A size that cannot be is told with what can.
fn read_size(typed: &str, unit: VolumeUnit) -> Entry {
    let read = interpret_volume(typed, unit).map(|v| v.quantity.in_unit(unit));
    // Two offers are a question of meaning; one is a slip.
    let outside = matches!(&read, Read::Ask { offers, .. } if offers.len() == 1) || matches!(read, Read::Refused(_));
    match entry(read) {
        Entry::Wrong(trouble) if outside => Entry::Wrong(Trouble {
            message: format!("The reservoir must hold {}; you typed {}", volume_limit(unit), typed.trim()),
            ..trouble
        }),
        other => other,
    }
}

fn read_pour(typed: &str, pour: PourField) -> Entry {
    read_pour_up_to(typed, pour.liquid, pour.most)
}

/// An amount in mL or g, up to a limit.
pub(super) fn read_pour_up_to(typed: &str, liquid: bool, most: f64) -> Entry {
    let most = most.max(0.0);
    if liquid {
        match Millilitres::new(most) {
            Ok(most) => entry(
                interpret_pour_volume(typed, VolumeUnit::Millilitre, most)
                    .map(|v| v.quantity.in_unit(VolumeUnit::Millilitre)),
            ),
            Err(_) => Entry::Empty,
        }
    } else {
        match Grams::new(most) {
            Ok(most) => {
                entry(interpret_pour_mass(typed, MassUnit::Gram, most).map(|v| v.quantity.in_unit(MassUnit::Gram)))
            }
            Err(_) => Entry::Empty,
        }
    }
}

/// A level above the rim is no level.
pub(super) fn within_tank(entry: Entry, unit: VolumeUnit, tank_l: f64) -> Entry {
    let Entry::Value(value) = entry else { return entry };
    match check_level_l(unit.litres_from(value), tank_l) {
        None => Entry::Value(value),
        Some(problem) => Entry::Wrong(Trouble {
            message: capital(&problem.message),
            offers: problem
                .offers
                .into_iter()
                .map(|fix| OfferView { label: capital(&fix.label), value: unit.from_litres(fix.value) })
                .collect(),
        }),
    }
}

pub(super) fn entry(read: Read<f64>) -> Entry {
    match read {
        Read::Blank => Entry::Empty,
        Read::Ok(value) => Entry::Value(value),
        Read::Ask { message, offers } => Entry::Wrong(Trouble {
            message,
            offers: offers.into_iter().map(|o| OfferView { label: short_offer(&o.label), value: o.value }).collect(),
        }),
        Read::Refused(refusal) => Entry::Wrong(Trouble { message: refusal.message, offers: Vec::new() }),
    }
}

/// An offer in the few words that several of them need to stand side by side: "700 ppm on the 500 scale = 1.4 mS/cm"
/// becomes "ppm (500) = 1.4 mS/cm", for the number was just typed.
fn short_offer(label: &str) -> String {
    let Some((typed, meant)) = label.split_once(" = ") else { return format!("Use {label}") };
    let mut unit: Vec<&str> = typed.split(' ').collect();
    if let Some(number) = unit.iter().position(|word| word.parse::<f64>().is_ok()) {
        unit.remove(number);
    }
    let unit = unit.join(" ");
    let scale = unit.strip_prefix("ppm on the ").and_then(|rest| rest.strip_suffix(" scale"));
    let unit = scale.map_or(unit.clone(), |scale| format!("ppm ({scale})"));
    format!("{unit} = {meant}")
}

/// A sentence of the library, which starts small, at the start of a line.
pub(crate) fn capital(text: &str) -> String {
    if text.starts_with("pH") {
        return text.to_owned();
    }
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn units(ec: EcScale) -> FieldUnits {
        FieldUnits {
            volume: VolumeUnit::Litre,
            ec,
            temperature: TemperatureUnit::Celsius,
            alkalinity: HardnessUnit::MgPerLitreCaCo3,
        }
    }

    #[test]
    fn slips_are_offered_back_in_the_unit_of_the_field() {
        let reader = today_reader(units(EcScale::MilliSiemens), 34.0, Vec::new());
        let cases: [(Field, &str, f64); 5] = [
            (Field::ReadingPh, "70", 7.0),
            (Field::ReadingEc, "1200", 1.2),
            (Field::ReadingEc, "1000 ppm", 2.0),
            (Field::ReadingTemperature, "70", 21.111),
            (Field::Level, "40", 34.0),
        ];
        for (field, typed, meant) in cases {
            let Entry::Wrong(trouble) = reader.read(field, typed) else { panic!("{typed} was taken") };
            let offers: Vec<f64> = trouble.offers.iter().map(|o| o.value).collect();
            assert!(offers.iter().any(|v| (v - meant).abs() < 1e-2), "{typed}: {offers:?}, {}", trouble.message);
        }
    }

    #[test]
    fn offers_are_short_and_a_bare_ppm_is_asked_back() {
        let reader = today_reader(units(EcScale::MilliSiemens), 34.0, Vec::new());
        let Entry::Wrong(trouble) = reader.read(Field::ReadingEc, "700 ppm") else { panic!("taken") };
        let labels: Vec<&str> = trouble.offers.iter().map(|o| o.label.as_str()).collect();
        assert_eq!(labels, ["ppm (500) = 1.4 mS/cm", "ppm (640) = 1.09 mS/cm", "ppm (700) = 1 mS/cm"]);
        assert!(trouble.message.contains("Which scale"), "{}", trouble.message);
        assert_eq!(short_offer("pH 7.0"), "Use pH 7.0");
        assert_eq!(short_offer("68 °F = 20 °C"), "°F = 20 °C");
    }

    #[test]
    fn a_meter_in_ppm_is_read_in_ppm() {
        let reader = today_reader(units(EcScale::Ppm700), 34.0, Vec::new());
        assert_eq!(reader.read(Field::ReadingEc, "1050"), Entry::Value(1050.0));
        let Entry::Value(shown) = reader.read(Field::ReadingEc, "1.5 mS/cm") else { panic!("not taken") };
        assert!((shown - 1050.0).abs() < 1e-9);
    }

    #[test]
    fn a_size_that_cannot_be_is_told_with_its_limit() {
        let reader = start_reader(VolumeUnit::Litre, EcScale::MilliSiemens, HardnessUnit::MgPerLitreCaCo3);
        for typed in ["600", "0", "abc"] {
            let Entry::Wrong(trouble) = reader.read(Field::TankSize, typed) else { panic!("{typed} was taken") };
            let words = format!("The reservoir must hold more than 0 and at most 500 L; you typed {typed}");
            assert_eq!(trouble.message, words);
        }
    }

    #[test]
    fn a_pour_has_its_own_limit() {
        let reader =
            today_reader(units(EcScale::MilliSiemens), 34.0, vec![PourField { key: 7, liquid: true, most: 20.0 }]);
        assert_eq!(reader.read(Field::Pour(7), "4,8"), Entry::Value(4.8));
        assert!(matches!(reader.read(Field::Pour(7), "21"), Entry::Wrong(_)));
    }
}
