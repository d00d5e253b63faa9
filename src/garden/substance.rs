//! Acids and bases of known strength: which salt, how dense, how strong at most.

use super::dissolve::{
    Closure, Dissolved, MOST_MINERAL_ACID_PERCENT, ProductError, SOLID_VOLUME_ML_PER_G, above_zero, label_ln_sd,
};
use super::notes::STRONG_PHOSPHORIC;
use super::product::{AcidKind, BaseKind, Concentration, Form};
use super::salts::Salt;

pub(super) fn salt_of_acid(acid: AcidKind) -> Salt {
    match acid {
        AcidKind::Phosphoric => Salt::PhosphoricAcid,
        AcidKind::Citric => Salt::CitricAcid,
        AcidKind::Nitric => Salt::NitricAcid,
        AcidKind::Sulfuric => Salt::SulfuricAcid,
        AcidKind::Hydrochloric => Salt::HydrochloricAcid,
        AcidKind::SodiumBisulfate => Salt::SodiumBisulfate,
    }
}

pub(super) fn salt_of_base(base: BaseKind) -> Salt {
    match base {
        BaseKind::PotassiumHydroxide => Salt::PotassiumHydroxide,
        BaseKind::PotassiumCarbonate => Salt::PotassiumCarbonate,
        BaseKind::PotassiumBicarbonate => Salt::PotassiumBicarbonate,
        BaseKind::SodiumHydroxide => Salt::SodiumHydroxide,
        BaseKind::SodiumBicarbonate => Salt::SodiumBicarbonate,
    }
}

/// Strongest solution that is sold or that dissolves, % by mass (from memory).
pub(super) const fn most_percent(acid: AcidKind) -> f64 {
    match acid {
        AcidKind::Phosphoric => 86.0,
        AcidKind::Citric => 62.0,
        // 28 g in 100 g of water.
        AcidKind::SodiumBisulfate => 22.0,
        AcidKind::Nitric | AcidKind::Sulfuric | AcidKind::Hydrochloric => MOST_MINERAL_ACID_PERCENT,
    }
}

/// Strongest solution that dissolves at 20 °C, % by mass (from memory).
pub(super) const fn most_base_percent(base: BaseKind) -> f64 {
    match base {
        BaseKind::PotassiumHydroxide | BaseKind::SodiumHydroxide | BaseKind::PotassiumCarbonate => 53.0,
        BaseKind::PotassiumBicarbonate => 25.0,
        BaseKind::SodiumBicarbonate => 9.0,
    }
}

/// Refuses strong mineral acids, however their strength is told; a caution for strong phosphoric acid.
pub(super) fn refuse_strong(
    acid: AcidKind,
    concentration: Concentration,
    form: Form,
) -> Result<Option<String>, ProductError> {
    let molar_mass = salt_of_acid(acid).molar_mass_g();
    // Near enough for a limit: dilute acids weigh about 1 g/mL, strong ones only look stronger this way.
    let percent = match concentration {
        Concentration::MassPercent(percent) => percent,
        Concentration::GramsPerL(grams) => grams / 10.0,
        Concentration::MolPerL(moles) => moles * molar_mass / 10.0,
    };
    let mineral = matches!(acid, AcidKind::Nitric | AcidKind::Sulfuric | AcidKind::Hydrochloric);
    if mineral && matches!(form, Form::Powder) {
        return Err(ProductError::NoPowder { acid });
    }
    if mineral && percent > MOST_MINERAL_ACID_PERCENT {
        return Err(ProductError::RefusedAcid { acid, percent, limit_percent: MOST_MINERAL_ACID_PERCENT });
    }
    let strong = acid == AcidKind::Phosphoric && percent > 25.0;
    Ok(strong.then(|| STRONG_PHOSPHORIC.to_owned()))
}

pub(super) fn of_substance(
    salt: Salt,
    density_of: fn(Salt, f64) -> f64,
    concentration: Concentration,
    form: Form,
    most_percent: f64,
) -> Result<Dissolved, ProductError> {
    let molar_mass = salt.molar_mass_g();
    let liquid = matches!(form, Form::Liquid { .. });
    let grams = match (concentration, form) {
        (Concentration::MassPercent(percent), Form::Powder) => above_zero("the strength", percent, 100.0, "%")? / 100.0,
        (Concentration::MassPercent(percent), Form::Liquid { density_g_ml }) => {
            // As strong as it is sold, or as it dissolves.
            let percent = above_zero("the strength", percent, most_percent, "%")?;
            percent / 100.0 * density_g_ml.unwrap_or_else(|| density_of(salt, percent))
        }
        (_, Form::Powder) => return Err(ProductError::PowderPerLitre),
        (Concentration::GramsPerL(grams), _) => above_zero("the strength", grams, 1500.0, "g/L")? / 1000.0,
        (Concentration::MolPerL(moles), _) => above_zero("the strength", moles, 18.0, "mol/L")? * molar_mass / 1000.0,
    };
    let (water_g, volume_ml) = if liquid {
        let density = match form {
            Form::Liquid { density_g_ml: Some(density) } => density,
            _ => 1.0 + (1.0 - SOLID_VOLUME_ML_PER_G) * grams,
        };
        ((density - grams).max(0.0), 1.0)
    } else {
        (0.0, SOLID_VOLUME_ML_PER_G * grams)
    };
    Ok(Dissolved {
        moles: salt.dissolved(grams),
        urea_n_mol: 0.0,
        water_g,
        volume_ml,
        ln_sd: label_ln_sd(),
        closure: Closure::default(),
        notes: Vec::new(),
    })
}

/// Density at 20 °C by mass percent, g/mL, read off straight lines between the rows.
///
/// Source: CRC Handbook of Chemistry and Physics, "Concentrative properties of aqueous solutions", from memory; within 0.5 %.
fn from_rows(rows: &[(f64, f64)], percent: f64) -> f64 {
    let mut before = (0.0, 0.998);
    for &(at, density) in rows {
        if percent <= at {
            let share = (percent - before.0) / (at - before.0);
            return before.1 + share * (density - before.1);
        }
        before = (at, density);
    }
    before.1
}

pub(super) fn acid_density(salt: Salt, percent: f64) -> f64 {
    match salt {
        Salt::PhosphoricAcid => from_rows(
            &[
                (10.0, 1.053),
                (20.0, 1.113),
                (30.0, 1.180),
                (40.0, 1.254),
                (50.0, 1.335),
                (60.0, 1.426),
                (75.0, 1.579),
                (85.0, 1.689),
            ],
            percent,
        ),
        Salt::CitricAcid => {
            from_rows(&[(10.0, 1.039), (20.0, 1.080), (30.0, 1.124), (40.0, 1.171), (62.0, 1.285)], percent)
        }
        // Near those of sodium sulfate, from memory: ours.
        Salt::SodiumBisulfate => from_rows(&[(10.0, 1.08), (22.0, 1.18)], percent),
        Salt::NitricAcid => from_rows(&[(5.0, 1.026)], percent),
        Salt::SulfuricAcid => from_rows(&[(5.0, 1.032)], percent),
        _ => from_rows(&[(5.0, 1.023)], percent),
    }
}

pub(super) fn base_density(salt: Salt, percent: f64) -> f64 {
    match salt {
        Salt::PotassiumHydroxide => {
            from_rows(&[(10.0, 1.090), (20.0, 1.186), (30.0, 1.288), (40.0, 1.396), (53.0, 1.54)], percent)
        }
        Salt::PotassiumCarbonate => {
            from_rows(&[(10.0, 1.090), (20.0, 1.190), (30.0, 1.298), (40.0, 1.414), (53.0, 1.58)], percent)
        }
        Salt::PotassiumBicarbonate => from_rows(&[(10.0, 1.066), (25.0, 1.177)], percent),
        Salt::SodiumHydroxide => from_rows(&[(10.0, 1.109), (20.0, 1.219), (30.0, 1.328), (53.0, 1.55)], percent),
        _ => from_rows(&[(9.0, 1.064)], percent),
    }
}
