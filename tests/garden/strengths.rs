//! Strengths told without an analysis, acids of every description, and the checks of a product as written down.

use pourcast::chem::{Carbon, Component};
use pourcast::garden::feed::FEEDING_EC_MS_CM;
use pourcast::garden::*;

use super::{close, ec_and_ph, liquid, product};

const L_PER_US_GAL: f64 = 3.785411784;

fn raising(ms_cm_per_unit_l: f64, form: Form) -> Product {
    product(Role::Feed, form, Strength::RaisesEc { ms_cm_per_unit_l })
}

fn ec_of(dissolved: &Dissolved, per_l: f64) -> f64 {
    ec_and_ph(&dissolved.moles.scaled(per_l), Carbon::Kept).0
}

#[test]
fn a_feed_that_raises_ec_raises_ec() {
    // University of Hawaii CTAHR VC-7 (Kratky 2015): 1 mL of each stock in a gallon raises EC by 0.1 mS/cm, and 20 mL of each
    // make 2.0. EC bends with strength, so one number cannot be true at both ends: exact at feeding strength (1.5), within
    // 4 % at 2.0, within 12 % of the first tenth.
    let stock = raising(0.1 * L_PER_US_GAL, Form::Liquid { density_g_ml: None }).dissolved().unwrap();
    let ml_per_l = |ml_per_gal: f64| ml_per_gal / L_PER_US_GAL;
    close(ec_of(&stock, ml_per_l(15.0)), FEEDING_EC_MS_CM, 1e-6);
    close(ec_of(&stock, ml_per_l(20.0)), 2.0, 0.08);
    close(ec_of(&stock, ml_per_l(1.0)), 0.1, 0.012);
    // As its doc says: 4 % more at half of it, 5 % less at twice.
    for (times, share) in [(0.5, 1.04), (2.0, 0.95)] {
        close(ec_of(&stock, ml_per_l(15.0 * times)) / (FEEDING_EC_MS_CM * times), share, 0.005);
    }
    // By the gram alike. On top of tap water of 0.4 mS/cm the rise is smaller, by less than the width that is told.
    let powder = raising(1.2, Form::Powder).dissolved().unwrap();
    close(ec_of(&powder, 1.25), 1.5, 1e-6);
    let catalog = super::catalog();
    let tap = SourceWater { ec_ms_cm: Some(0.4), ..SourceWater::of_kind(WaterKind::MediumTap) };
    let tap = tap.composition(catalog.water(WaterKind::MediumTap).unwrap()).unwrap();
    let fed = ec_and_ph(&tap.totals.plus_scaled(&powder.moles, 0.8), Carbon::Kept).0;
    let share = (fed - tap.ec_ms_cm) / (0.8 * 1.2);
    assert!(share < 1.0 && share > (-powder.ln_sd).exp(), "{share}");
    // Its width stands between a label's and a guess's.
    assert!(stock.ln_sd > 0.085 && stock.ln_sd < 0.2, "{}", stock.ln_sd);
    assert!(stock.notes[0].contains("middling balance"), "{:?}", stock.notes);
}

#[test]
fn a_rise_of_ec_has_limits() {
    // A proposal of ours, kept with the inputs to refuse: below 0.02 or above 2 mS/cm per mL/L.
    for (rise, offered) in [(0.01, &[][..]), (100.0, &[0.1, 0.2, 0.156_25, 0.142_857]), (-0.1, &[]), (f64::NAN, &[])] {
        let feed = raising(rise, liquid(1.1));
        assert!(matches!(feed.dissolved(), Err(ProductError::OutOfRange { .. })), "{rise}");
        let problems = feed.check();
        assert_eq!(problems.len(), 1, "{problems:?}");
        assert_eq!(
            (problems[0].field.as_str(), problems[0].severity),
            ("strength.ms_cm_per_unit_l", Severity::Refused)
        );
        assert!(problems[0].message.contains("0.02 to 2 mS/cm for one mL in a litre"), "{}", problems[0].message);
        assert_eq!(problems[0].offers.len(), offered.len());
        for (fix, value) in problems[0].offers.iter().zip(offered) {
            close(fix.value, *value, 1e-6);
        }
    }
    for rise in [0.02, 0.1, 2.0] {
        assert_eq!(raising(rise, Form::Powder).check(), []);
    }
}

#[test]
fn a_scoop_of_something_is_a_feed_with_a_wide_guess() {
    let scoop = product(Role::Feed, Form::Powder, Strength::UNKNOWN_FEED);
    let found = scoop.dissolved().unwrap();
    // 10 % nitrogen in the middle; 95 in 100 from 3.7 to 27 %: dry feeds are sold with 5 to 20 % (from memory).
    close(found.nutrients(1.0).n, 98.0, 1.0);
    let (low, high) = ((-1.96 * found.ln_sd).exp() * 9.8, (1.96 * found.ln_sd).exp() * 9.8);
    assert!(low < 5.0 && low > 3.0 && high > 20.0 && high < 28.0, "{low} {high}");
    // One gram in a litre makes about what dry feeds make: 0.7 to 1.4 mS/cm (Kratky 2015: 1.27 g/L of two salts make 2.0).
    let ec = ec_of(&found, 1.0);
    assert!((0.7..=1.4).contains(&ec), "{ec}");
    assert!(found.closure.free_acid_sd_eq > 0.0, "as with a label, nobody knows its free acid");
    close(found.alkalinity_eq(), -found.closure.free_acid_eq, 1e-12);
    assert_eq!(scoop.check(), []);
    let bottle = product(Role::Feed, liquid(1.1), Strength::UNKNOWN_LIQUID_FEED).dissolved().unwrap();
    assert!(bottle.ln_sd > found.ln_sd && bottle.nutrients(1.0).n < found.nutrients(1.0).n);
}

#[test]
fn nothing_is_no_strength() {
    let acid = |concentration| Strength::Acid { acid: AcidKind::Citric, concentration };
    let guess = |kind| Strength::Unknown { kind, median_mmol_per_unit: 0.0, ln_sd: 0.5 };
    let salts = vec![SaltAmount { salt: Salt::PotassiumNitrate, grams: 0.0 }];
    for strength in [
        acid(Concentration::MassPercent(0.0)),
        acid(Concentration::GramsPerL(0.0)),
        acid(Concentration::MolPerL(-0.0)),
        acid(Concentration::MassPercent(-5.0)),
        acid(Concentration::MassPercent(f64::NAN)),
        guess(UnknownKind::Feed),
        guess(UnknownKind::Acid(AcidKind::Phosphoric)),
        guess(UnknownKind::Base(BaseKind::PotassiumHydroxide)),
        Strength::Recipe(Recipe { salts }),
    ] {
        let bottle = product(Role::Feed, liquid(1.0), strength.clone());
        assert!(matches!(bottle.dissolved(), Err(ProductError::OutOfRange { .. })), "{strength:?}");
        let problems = bottle.check();
        assert!(problems.len() == 1 && problems[0].severity == Severity::Refused, "{problems:?}");
        assert!(problems[0].message.contains("must be above 0"), "{}", problems[0].message);
    }
}

#[test]
fn mineral_acids_do_not_slip_past_in_another_dress() {
    for acid in [AcidKind::Nitric, AcidKind::Sulfuric, AcidKind::Hydrochloric] {
        let told = |strength: Strength, form: Form| product(Role::PhDown, form, strength).dissolved();
        let of = |concentration| Strength::Acid { acid, concentration };
        let strong = [Concentration::MassPercent(9.0), Concentration::GramsPerL(90.0), Concentration::MolPerL(3.0)];
        for concentration in strong {
            let error = told(of(concentration), liquid(1.05)).unwrap_err();
            assert!(matches!(error, ProductError::RefusedAcid { .. }), "{error}");
            assert!(error.to_string().contains("burns") && error.to_string().contains("5 %"), "{error}");
        }
        // Of unknown strength, and as a powder, too.
        let guess = Strength::Unknown { kind: UnknownKind::Acid(acid), median_mmol_per_unit: 2.5, ln_sd: 0.6 };
        assert!(matches!(told(guess, liquid(1.1)), Err(ProductError::RefusedAcid { .. })));
        let error = told(of(Concentration::MassPercent(3.0)), Form::Powder).unwrap_err();
        assert!(error.to_string().contains("is no powder"), "{error}");
        // The same, weak enough, is planned, however it is told.
        let weak = [Concentration::MassPercent(3.0), Concentration::GramsPerL(30.0), Concentration::MolPerL(0.3)];
        for concentration in weak {
            assert!(told(of(concentration), liquid(1.0)).is_ok(), "{acid:?} {concentration:?}");
        }
    }
}

/// The "dry acid" of pools: by its formula, NaHSO4 of 120.06 g/mol gives one equivalent of acid, its sodium and its sulfate.
#[test]
fn dry_acid_is_what_it_is() {
    let strength = Strength::Acid { acid: AcidKind::SodiumBisulfate, concentration: Concentration::MassPercent(93.0) };
    let powder = product(Role::PhDown, Form::Powder, strength.clone());
    let found = powder.dissolved().unwrap();
    close(found.alkalinity_eq() * 1e3, -930.0 / 120.06, 0.002);
    close(found.nutrients(1.0).na, 0.93 * 191.5, 0.3);
    close(found.moles[Component::So4] * 96.06 * 1e3, 0.93 * 800.1, 0.5);
    assert!(found.notes.iter().any(|note| note.contains("sodium and sulfate stay")), "{:?}", found.notes);
    assert!(powder.told_cautions().iter().any(|caution| caution.contains("Goggles")));
    assert_eq!(powder.check(), []);
    // A solution holds no more than dissolves.
    let strong = product(Role::PhDown, liquid(1.2), strength);
    assert!(matches!(strong.dissolved(), Err(ProductError::OutOfRange { .. })));
}

#[test]
fn a_density_in_other_units_is_offered_back() {
    let density = |density: f64| {
        let strength = Strength::Acid { acid: AcidKind::Citric, concentration: Concentration::MassPercent(20.0) };
        product(Role::PhDown, liquid(density), strength).check()
    };
    let problems = density(1000.0);
    assert_eq!(problems.len(), 1, "{problems:?}");
    assert_eq!(problems[0].field, "form.density_g_ml");
    assert_eq!(problems[0].message, "a density of 1000 g/mL is outside 0.8 to 2 g/mL");
    assert_eq!(problems[0].offers[0].label, "1000 kg/m³ or g/L, that is 1.000 g/mL");
    // 1 g/mL is 8.345 lb/US gal: NIST Handbook 44, Appendix C, from memory.
    close(density(8.345)[0].offers[0].value, 1.0, 1e-4);
    assert_eq!(density(0.5)[0].offers, []);
    assert!(density(f64::NAN)[0].message.contains("NaN"));
    assert_eq!(density(1.08), []);
    assert_eq!(check_density_g_ml(2.0), None);
}

/// A product of the person's own that cannot be worked out is told of with its place, and the unit can still be opened.
#[test]
fn a_unit_tells_of_its_own_products() {
    let catalog = super::catalog();
    let mut unit = catalog.examples[0].unit_at(0);
    let place = unit.shelf.len();
    let own = raising(70.0, liquid(1.0));
    unit.shelf.push(ShelfItem::new(ProductRef::Own(Box::new(own)), Tool::SYRINGE_10));
    let problems = unit.check(&catalog);
    assert_eq!(problems.len(), 1, "{problems:?}");
    assert_eq!(problems[0].field, format!("shelf.{place}.product.strength.ms_cm_per_unit_l"));
    assert_eq!(problems[0].severity, Severity::Caution);
}

/// What is refused names the value with its unit, and the limit as a number.
#[test]
fn a_strength_out_of_range_is_told_with_its_unit() {
    let refused =
        |strength: Strength| product(Role::PhDown, liquid(1.1), strength).dissolved().unwrap_err().to_string();
    let acid = |concentration| Strength::Acid { acid: AcidKind::Phosphoric, concentration };
    // Phosphoric acid is sold at up to 86 % (from memory).
    let percent = refused(acid(Concentration::MassPercent(250.0)));
    assert_eq!(percent, "the strength is 250 %; it must be above 0, at most 86 %");
    let moles = refused(acid(Concentration::MolPerL(40.0)));
    assert_eq!(moles, "the strength is 40 mol/L; it must be above 0, at most 18 mol/L");
}
