//! The units that quantities are read in.

use super::{id_of, ids, one_of};
use crate::store::Settings;
use crate::ui::command::Quantity;
use crate::ui::view::UnitRow;
use crate::units::{EcScale, HardnessUnit, TemperatureUnit, VolumeUnit};

/// Units of volume that a tank is known in.
pub(super) const VOLUMES: [VolumeUnit; 3] = [VolumeUnit::Litre, VolumeUnit::UsGallon, VolumeUnit::ImperialGallon];

/// What can be chosen; EC is the meter's own scale.
pub fn unit_rows(settings: &Settings, ec_scale: EcScale) -> Vec<UnitRow> {
    let row =
        |quantity, label: &str, choices, chosen_id| UnitRow { quantity, label: label.to_owned(), choices, chosen_id };
    vec![
        row(
            Quantity::Volume,
            "Tanks and levels",
            ids(&VOLUMES, |unit| unit.symbol().to_owned()),
            id_of(&VOLUMES, settings.tank_unit),
        ),
        row(
            Quantity::Temperature,
            "Temperature",
            ids(&TemperatureUnit::ALL, |unit| unit.symbol().to_owned()),
            id_of(&TemperatureUnit::ALL, settings.temperature_unit),
        ),
        row(
            Quantity::Ec,
            "EC as the meter shows it",
            ids(&EcScale::ALL, |scale| scale.label().to_owned()),
            id_of(&EcScale::ALL, ec_scale),
        ),
        row(
            Quantity::Alkalinity,
            "Alkalinity",
            ids(&HardnessUnit::ALL, |unit| unit.label().to_owned()),
            id_of(&HardnessUnit::ALL, settings.alkalinity_unit),
        ),
    ]
}

/// Reads a quantity in another unit from now on.
pub fn choose_unit(settings: &mut Settings, quantity: Quantity, id: &str) {
    match quantity {
        Quantity::Volume => settings.tank_unit = one_of(&VOLUMES, id).unwrap_or(settings.tank_unit),
        Quantity::Temperature => {
            settings.temperature_unit = one_of(&TemperatureUnit::ALL, id).unwrap_or(settings.temperature_unit);
        }
        Quantity::Ec => settings.ec_scale = one_of(&EcScale::ALL, id).unwrap_or(settings.ec_scale),
        Quantity::Alkalinity => {
            settings.alkalinity_unit = one_of(&HardnessUnit::ALL, id).unwrap_or(settings.alkalinity_unit);
        }
    }
}
