//! Quantities: every conversion against published factors, and the boundary that refuses what is not a quantity.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking, in its helpers too")]

use pourcast::units::{
    Celsius, DropsPerMl, EcMilliSiemens, EcScale, Grams, HardnessUnit, Litres, MassUnit, MeqPerLitre, Millilitres,
    PhValue, ReportLine, ReportUnit, TemperatureUnit, UnitError, VolumeUnit, compensated_to_25, uncompensated_from_25,
};
use proptest::prelude::*;

fn litres(value: f64, unit: VolumeUnit) -> f64 {
    Litres::from_unit(value, unit).unwrap().get()
}

fn millilitres(value: f64, unit: VolumeUnit) -> f64 {
    Millilitres::from_unit(value, unit).unwrap().get()
}

fn grams(value: f64, unit: MassUnit) -> f64 {
    Grams::from_unit(value, unit).unwrap().get()
}

fn ms_cm(value: f64, scale: EcScale) -> f64 {
    EcMilliSiemens::from_unit(value, scale).unwrap().get()
}

fn celsius(value: f64, unit: TemperatureUnit) -> f64 {
    Celsius::from_unit(value, unit).unwrap().get()
}

fn meq_per_l(value: f64, unit: HardnessUnit) -> f64 {
    MeqPerLitre::from_unit(value, unit).unwrap().get()
}

fn mg_per_l_caco3(value: f64, unit: HardnessUnit) -> f64 {
    MeqPerLitre::from_unit(value, unit).unwrap().in_unit(HardnessUnit::MgPerLitreCaCo3)
}

/// Every conversion beside the printed factor. The tolerance is half a unit of the last printed figure.
#[test]
fn every_conversion_gives_the_published_factor() {
    use EcScale as E;
    use HardnessUnit as H;
    use MassUnit as M;
    use TemperatureUnit as T;
    use VolumeUnit as V;
    // NIST Special Publication 811 (2008), Appendix B.8, and NIST Handbook 44, Appendix C: seven figures, from memory.
    // "exact" tolerances of 1e-12 stand where the definition has no more figures.
    const SP811: &str = "NIST SP 811 B.8";
    const HB44: &str = "NIST Handbook 44 C";
    let table = [
        ("L", litres(1.0, V::Litre), 1.0, 1e-12, "SI"),
        ("mL", litres(1.0, V::Millilitre), 0.001, 1e-12, "SI"),
        ("US gallon, L", litres(1.0, V::UsGallon), 3.785412, 5e-7, SP811),
        ("US gallon of 231 cubic inches, L", litres(1.0, V::UsGallon), 231.0 * 0.254_f64.powi(3), 1e-12, HB44),
        ("imperial gallon, L", litres(1.0, V::ImperialGallon), 4.54609, 1e-12, SP811),
        ("US fluid ounce, mL", millilitres(1.0, V::UsFluidOunce), 29.57353, 5e-6, SP811),
        ("imperial fluid ounce, mL", millilitres(1.0, V::ImperialFluidOunce), 28.41306, 5e-6, SP811),
        ("US cup, mL", millilitres(1.0, V::UsCup), 236.5882, 5e-5, SP811),
        ("US tablespoon, mL", millilitres(1.0, V::UsTablespoon), 14.78676, 5e-6, SP811),
        ("US teaspoon, mL", millilitres(1.0, V::UsTeaspoon), 4.928922, 5e-7, SP811),
        ("label tablespoon, mL", millilitres(1.0, V::MetricTablespoon), 15.0, 1e-12, "US 21 CFR 101.9, from memory"),
        ("label teaspoon, mL", millilitres(1.0, V::MetricTeaspoon), 5.0, 1e-12, "US 21 CFR 101.9, from memory"),
        (
            "fluid ounces in a US gallon",
            Litres::from_unit(1.0, V::UsGallon).unwrap().in_unit(V::UsFluidOunce),
            128.0,
            1e-9,
            HB44,
        ),
        ("g", grams(1.0, M::Gram), 1.0, 1e-12, "SI"),
        ("kg", grams(1.0, M::Kilogram), 1000.0, 1e-12, "SI"),
        ("ounce, g", grams(1.0, M::Ounce), 28.34952, 5e-6, SP811),
        ("pound, g", grams(1.0, M::Pound), 453.5924, 5e-5, SP811),
        ("mS/cm", ms_cm(1.0, E::MilliSiemens), 1.0, 1e-12, "SI"),
        ("µS/cm", ms_cm(1000.0, E::MicroSiemens), 1.0, 1e-12, "Cornell home hydroponics guide (2020)"),
        ("500 scale: 0.5 mg/L per µS/cm", ms_cm(500.0, E::Ppm500), 1.0, 1e-12, "meter convention, from memory"),
        ("640 scale: 0.64", ms_cm(640.0, E::Ppm640), 1.0, 1e-12, "meter convention, from memory"),
        (
            "700 scale: 0.7",
            ms_cm(700.0, E::Ppm700),
            1.0,
            1e-12,
            "meter convention; 1000 µmho/cm is about 700 ppm (ECHO)",
        ),
        ("CF, ten to the mS/cm", ms_cm(12.0, E::ConductivityFactor), 1.2, 1e-12, "common practice, no source"),
        ("°C", celsius(21.5, T::Celsius), 21.5, 1e-12, "SI"),
        ("32 °F, freezing", celsius(32.0, T::Fahrenheit), 0.0, 1e-12, SP811),
        ("212 °F, boiling", celsius(212.0, T::Fahrenheit), 100.0, 1e-12, SP811),
        ("-40, where both agree", celsius(-40.0, T::Fahrenheit), -40.0, 1e-12, SP811),
        ("68 °F", celsius(68.0, T::Fahrenheit), 20.0, 1e-12, "Kratky (2015), CTAHR VC-7"),
        ("meq/L", meq_per_l(1.0, H::MeqPerLitre), 1.0, 1e-12, "definition"),
        ("meq/L, mg/L CaCO3", mg_per_l_caco3(1.0, H::MeqPerLitre), 50.04, 5e-3, "NC State HIL 558 (1998)"),
        ("mg/L CaCO3, meq/L", meq_per_l(50.04, H::MgPerLitreCaCo3), 1.0, 1e-4, "NC State HIL 558 (1998)"),
        ("°dH, mg/L CaCO3", mg_per_l_caco3(1.0, H::GermanDegree), 17.848, 5e-4, "DIN 38409-6, from memory"),
        ("°dKH, meq/L", meq_per_l(2.804, H::GermanCarbonateDegree), 1.0, 5e-4, "DIN 38409-7, from memory"),
        ("°e, mg/L CaCO3", mg_per_l_caco3(1.0, H::ClarkDegree), 14.254, 5e-4, "grain per imperial gallon, from memory"),
        ("°fH, mg/L CaCO3", mg_per_l_caco3(1.0, H::FrenchDegree), 10.0, 1e-12, "definition, from memory"),
        (
            "grain per US gallon, mg/L CaCO3",
            mg_per_l_caco3(1.0, H::GrainsPerUsGallon),
            17.118,
            5e-4,
            "NIST Handbook 44, from memory",
        ),
        (
            "20 drops a mL",
            Millilitres::from_drops(20.0, DropsPerMl::NOMINAL).unwrap().get(),
            1.0,
            1e-12,
            "USP 1101, from memory",
        ),
    ];
    for (what, ours, published, tolerance, source) in table {
        assert!((ours - published).abs() <= tolerance, "{what}: {ours}, but {source} has {published}");
    }
}

/// Household measures as commonly rounded: the figures people will compare with.
#[test]
fn household_measures_agree_at_their_usual_rounding() {
    let rounded = |value: f64, decimals: usize| format!("{value:.decimals$}");
    assert_eq!(rounded(millilitres(1.0, VolumeUnit::UsFluidOunce), 4), "29.5735");
    assert_eq!(rounded(millilitres(1.0, VolumeUnit::UsTablespoon), 3), "14.787");
    assert_eq!(rounded(millilitres(1.0, VolumeUnit::UsTeaspoon), 3), "4.929");
    assert_eq!(rounded(millilitres(1.0, VolumeUnit::UsCup), 1), "236.6");
    assert_eq!(rounded(litres(1.0, VolumeUnit::ImperialGallon), 3), "4.546");
}

/// Kratky (2015), CTAHR VC-7: 1.28 mS at 68 °F and 1.55 mS at 86 °F are one solution. At 2 %/°C they agree within 1 %.
#[test]
fn one_solution_read_cool_and_warm_agrees_at_25() {
    let at_25 = |ms_cm: f64, fahrenheit: f64| {
        let temperature = Celsius::from_unit(fahrenheit, TemperatureUnit::Fahrenheit).unwrap();
        compensated_to_25(EcMilliSiemens::new(ms_cm).unwrap(), temperature, 2.0).unwrap().get()
    };
    let (cool, warm) = (at_25(1.28, 68.0), at_25(1.55, 86.0));
    assert!((1.405..=1.425).contains(&cool) && (1.405..=1.425).contains(&warm), "{cool} {warm}");
    assert!((cool / warm - 1.0).abs() < 0.01);
}

/// 0.01 mol/kg potassium chloride, CRC Handbook after Wu, Koch & Pratt (1991): 1273.03 µS/cm at 20 °C, 1408.23 at 25 °C.
/// Standard Methods 2510 B gives 1.91 %/°C for it. A straight line holds that within 0.1 % over 5 °C.
#[test]
fn potassium_chloride_follows_its_linear_coefficient() {
    let at_20 = EcMilliSiemens::from_unit(1273.03, EcScale::MicroSiemens).unwrap();
    let at_25 = compensated_to_25(at_20, Celsius::new(20.0).unwrap(), 1.91).unwrap();
    assert!((at_25.in_unit(EcScale::MicroSiemens) / 1408.23 - 1.0).abs() < 0.001);
}

/// Kratky (2015), CTAHR VC-7: stocks of 1.0 lb of salt per US gallon; 20 mL of stock in a gallon of water is 0.633 g/L.
#[test]
fn a_pound_a_gallon_stock_gives_the_published_strength() {
    let stock_g_per_ml = grams(1.0, MassUnit::Pound) / millilitres(1.0, VolumeUnit::UsGallon);
    let g_per_l = 20.0 * stock_g_per_ml / litres(1.0, VolumeUnit::UsGallon);
    assert!((g_per_l - 0.633).abs() < 5e-4, "{g_per_l}");
}

/// Kratky (2015): a tank of 7.75 by 3.75 ft holds 18.1 US gallons an inch.
#[test]
fn an_inch_of_water_in_a_known_tank() {
    let inch_cm = 2.54;
    let ml = 7.75 * 12.0 * inch_cm * 3.75 * 12.0 * inch_cm * inch_cm;
    let gallons = Millilitres::new(ml).unwrap().in_unit(VolumeUnit::UsGallon);
    assert!((gallons - 18.1).abs() < 0.05, "{gallons}");
}

/// An ounce in 100 US gallons is 74.89 mg/L (Texas A&M's worksheet rounds it to 75).
#[test]
fn an_ounce_in_a_hundred_gallons() {
    let mg_per_l = 1000.0 * grams(1.0, MassUnit::Ounce) / litres(100.0, VolumeUnit::UsGallon);
    assert!((mg_per_l - 74.89).abs() < 5e-3, "{mg_per_l}");
}

#[test]
fn what_is_not_a_quantity_is_refused_by_name() {
    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        assert!(matches!(Litres::new(bad), Err(UnitError::NotFinite { quantity: "volume", .. })));
        assert!(matches!(Millilitres::new(bad), Err(UnitError::NotFinite { .. })));
        assert!(matches!(Grams::new(bad), Err(UnitError::NotFinite { quantity: "mass", .. })));
        assert!(matches!(Celsius::new(bad), Err(UnitError::NotFinite { quantity: "temperature", .. })));
        assert!(matches!(EcMilliSiemens::new(bad), Err(UnitError::NotFinite { quantity: "EC", .. })));
        assert!(matches!(PhValue::new(bad), Err(UnitError::NotFinite { quantity: "pH", .. })));
        assert!(matches!(MeqPerLitre::new(bad), Err(UnitError::NotFinite { .. })));
        assert!(matches!(DropsPerMl::new(bad), Err(UnitError::NotFinite { .. })));
        assert!(Millilitres::from_drops(bad, DropsPerMl::NOMINAL).is_err());
        for unit in VolumeUnit::ALL {
            assert!(Litres::from_unit(bad, unit).is_err());
        }
    }
    // A conversion that overflows is no volume either.
    assert!(matches!(Litres::from_unit(1e308, VolumeUnit::UsGallon), Err(UnitError::NotFinite { .. })));
    assert_eq!(PhValue::new(14.5).unwrap_err().to_string(), "pH of 14.5 is outside 0 to 14");
    assert_eq!(Litres::new(-1.0).unwrap_err().to_string(), "volume of -1 L is outside 0 L and more");
    assert!(Celsius::new(-273.2).is_err() && Celsius::new(-273.15).is_ok());
    assert!(MeqPerLitre::new(-3.0).is_ok(), "an acidified water has a negative alkalinity");
}

#[test]
fn a_temperature_rule_that_would_turn_a_reading_around_is_refused() {
    let ec = EcMilliSiemens::new(1.0).unwrap();
    assert!(compensated_to_25(ec, Celsius::new(-25.0).unwrap(), 2.0).is_err());
    assert!(uncompensated_from_25(ec, Celsius::new(-60.0).unwrap(), 2.0).is_err());
    assert!(compensated_to_25(ec, Celsius::new(20.0).unwrap(), f64::NAN).is_err());
    assert!(compensated_to_25(ec, Celsius::new(20.0).unwrap(), -1.0).is_err());
}

#[test]
fn a_file_cannot_bring_in_what_the_constructor_refuses() {
    assert_eq!(ron::from_str::<PhValue>("6.1").unwrap(), PhValue::new(6.1).unwrap());
    assert_eq!(ron::to_string(&PhValue::new(6.1).unwrap()).unwrap(), "6.1");
    for text in ["NaN", "inf", "-1.0", "14.2"] {
        assert!(ron::from_str::<PhValue>(text).is_err(), "{text}");
    }
}

/// Factors of water chemistry from Standard Methods (1020 and 1030) and the label tables of laboratories, from memory.
#[test]
fn lines_of_a_report_in_every_unit() {
    use HardnessUnit as H;
    use ReportLine as L;
    use ReportUnit as U;
    let mg = |line: L, value: f64, unit: U| line.mg_per_l_from(value, unit).unwrap();
    for (found, expected, tolerance) in [
        (mg(L::Nitrate, 10.0, U::MgPerLitreOfElement), 44.27, 0.01),
        (mg(L::Sulfate, 10.0, U::MgPerLitreOfElement), 29.96, 0.01),
        (mg(L::Silica, 10.0, U::MgPerLitreOfElement), 21.39, 0.01),
        // 1 meq/L: 20.04 Ca, 12.15 Mg, 22.99 Na, 39.10 K, 35.45 Cl, 48.03 SO4, 62.00 NO3, 61.02 HCO3.
        (mg(L::Calcium, 1.0, U::Charge(H::MeqPerLitre)), 20.04, 0.005),
        (mg(L::Magnesium, 1.0, U::Charge(H::MeqPerLitre)), 12.15, 0.005),
        (mg(L::Sodium, 1.0, U::Charge(H::MeqPerLitre)), 22.99, 0.005),
        (mg(L::Potassium, 1.0, U::Charge(H::MeqPerLitre)), 39.10, 0.005),
        (mg(L::Chloride, 1.0, U::Charge(H::MeqPerLitre)), 35.45, 0.005),
        (mg(L::Sulfate, 1.0, U::Charge(H::MeqPerLitre)), 48.03, 0.005),
        (mg(L::Nitrate, 1.0, U::Charge(H::MeqPerLitre)), 62.00, 0.005),
        (mg(L::Bicarbonate, 1.0, U::Charge(H::MeqPerLitre)), 61.02, 0.005),
        // As CaCO3: calcium over 2.497, magnesium over 4.118, bicarbonate times 1.219.
        (mg(L::Calcium, 2.497, U::Charge(H::MgPerLitreCaCo3)), 1.0, 0.0005),
        (mg(L::Magnesium, 4.118, U::Charge(H::MgPerLitreCaCo3)), 1.0, 0.0005),
        (mg(L::Bicarbonate, 1.0, U::Charge(H::MgPerLitreCaCo3)), 1.219, 0.0005),
        // 1 °dH is 7.147 mg/L Ca; 1 °dKH is 21.8 mg/L HCO3.
        (mg(L::Calcium, 1.0, U::Charge(H::GermanDegree)), 7.147, 0.0005),
        (mg(L::Bicarbonate, 1.0, U::Charge(H::GermanCarbonateDegree)), 21.76, 0.01),
        (mg(L::Calcium, 2.5, U::MmolPerLitre), 100.2, 0.01),
        (mg(L::Boron, 300.0, U::MicrogramPerLitre), 0.3, 1e-12),
    ] {
        assert!((found - expected).abs() <= tolerance, "{found} is not {expected}");
    }
    for line in L::ALL {
        let units = line.units();
        let symbols: Vec<String> = units.iter().map(|unit| unit.symbol(line)).collect();
        assert!(units[0] == U::MgPerLitre && symbols.iter().all(|symbol| !symbol.is_empty()));
        for unit in units {
            assert!(
                close(line.from_mg_per_l(line.mg_per_l_from(12.5, unit).unwrap(), unit).unwrap(), 12.5),
                "{unit:?}"
            );
        }
    }
    assert_eq!(L::Boron.mg_per_l_from(1.0, U::Charge(H::MeqPerLitre)), None, "boric acid carries no charge");
    assert_eq!(L::Sodium.mg_per_l_from(1.0, U::MgPerLitreOfElement), None, "sodium is its own element");
}

#[test]
fn units_are_told_apart_by_label_and_symbol() {
    fn distinct(texts: &[&str]) {
        for (i, text) in texts.iter().enumerate() {
            assert!(!text.is_empty() && !texts.iter().skip(i + 1).any(|other| other == text), "{text}");
        }
    }
    distinct(&VolumeUnit::ALL.map(VolumeUnit::label));
    distinct(&VolumeUnit::ALL.map(VolumeUnit::symbol));
    distinct(&MassUnit::ALL.map(MassUnit::label));
    distinct(&MassUnit::ALL.map(MassUnit::symbol));
    distinct(&EcScale::ALL.map(EcScale::label));
    distinct(&EcScale::ALL.map(EcScale::symbol));
    distinct(&TemperatureUnit::ALL.map(TemperatureUnit::symbol));
    distinct(&HardnessUnit::ALL.map(HardnessUnit::label));
    distinct(&HardnessUnit::ALL.map(HardnessUnit::symbol));
}

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-12 * a.abs().max(b.abs()).max(1e-300)
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    /// Each conversion, there and back, returns the number typed within a few roundings.
    #[test]
    fn every_conversion_round_trips(value in 0.0..1e9_f64) {
        for unit in VolumeUnit::ALL {
            prop_assert!(close(Litres::from_unit(value, unit).unwrap().in_unit(unit), value));
            prop_assert!(close(Millilitres::from_unit(value, unit).unwrap().in_unit(unit), value));
        }
        for unit in MassUnit::ALL {
            prop_assert!(close(Grams::from_unit(value, unit).unwrap().in_unit(unit), value));
        }
        for scale in EcScale::ALL {
            prop_assert!(close(EcMilliSiemens::from_unit(value, scale).unwrap().in_unit(scale), value));
        }
        for unit in HardnessUnit::ALL {
            prop_assert!(close(MeqPerLitre::from_unit(-value, unit).unwrap().in_unit(unit), -value));
        }
        let drops = Millilitres::from_drops(value, DropsPerMl::new(13.0).unwrap()).unwrap();
        prop_assert!(close(drops.in_drops(DropsPerMl::new(13.0).unwrap()), value));
        prop_assert!(close(Litres::from(Millilitres::new(value).unwrap()).in_unit(VolumeUnit::Millilitre), value));
    }

    /// Temperatures are compared absolutely: near 0 °F a relative error means nothing.
    #[test]
    fn temperatures_round_trip(value in -400.0..1000.0_f64) {
        for unit in TemperatureUnit::ALL {
            if let Ok(temperature) = Celsius::from_unit(value, unit) {
                prop_assert!((temperature.in_unit(unit) - value).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn compensation_round_trips(ms_cm in 0.0..20.0_f64, t_c in 0.0..45.0_f64, percent in 0.0..3.0_f64) {
        let (ec, t) = (EcMilliSiemens::new(ms_cm).unwrap(), Celsius::new(t_c).unwrap());
        let there = compensated_to_25(ec, t, percent).unwrap();
        prop_assert!(close(uncompensated_from_25(there, t, percent).unwrap().get(), ms_cm));
    }

    /// Whatever bits a number has, a quantity made of it is finite or an error.
    #[test]
    fn a_quantity_is_always_finite(bits in any::<u64>()) {
        let value = f64::from_bits(bits);
        for unit in VolumeUnit::ALL {
            if let Ok(volume) = Litres::from_unit(value, unit) {
                prop_assert!(volume.get().is_finite() && volume.get() >= 0.0);
            }
        }
        for unit in HardnessUnit::ALL {
            if let Ok(alkalinity) = MeqPerLitre::from_unit(value, unit) {
                prop_assert!(alkalinity.get().is_finite());
            }
        }
    }
}

/// An EC of so many decimals of mS/cm in words of every scale. The factors are the conventions of meters: 500, 640 and 700 ppm
/// and 10 CF at 1 mS/cm, from memory. How fine a figure is, is ours.
#[test]
fn an_ec_is_told_as_finely_as_it_is_known_on_every_scale() {
    let figures = |ms_cm: f64, decimals: usize| EcScale::ALL.map(|scale| scale.figure(ms_cm, decimals));
    assert_eq!(figures(1.5, 1), ["1.5", "1500", "750", "960", "1050", "15"]);
    assert_eq!(figures(1.3, 1), ["1.3", "1300", "650", "830", "910", "13"], "832 ppm are not known to two");
    assert_eq!(figures(1.234, 2), ["1.23", "1234", "617", "790", "864", "12.3"]);
    assert_eq!(figures(13.0, 0), ["13", "13000", "6500", "8300", "9100", "130"]);
    assert_eq!(figures(0.0, 1), ["0.0", "0", "0", "0", "0", "0"]);
    // What somebody set at 625 ppm stays so; mS/cm keeps its decimals.
    assert_eq!(EcScale::Ppm500.edge(1.25, 1), "625");
    assert_eq!(EcScale::MilliSiemens.edge(1.25, 2), "1.25");
    assert_eq!(EcScale::ConductivityFactor.edge(1.25, 1), "12.5");
    assert_eq!(
        EcScale::ALL.map(|scale| scale.told(0.4, 1)).map(|words| words.replace(' ', "_")),
        ["0.4_mS/cm", "400_µS/cm", "200_ppm_(500)", "260_ppm_(640)", "280_ppm_(700)", "4_CF"]
    );
    for scale in EcScale::ALL {
        let tail = scale.tail();
        assert_eq!(tail.is_empty(), scale == EcScale::MilliSiemens, "{scale:?}");
        assert!(tail.is_empty() || tail.trim_start() == scale.symbol(), "{scale:?}");
    }
}
