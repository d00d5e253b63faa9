//! What a person types: slips are asked back with an offer, nonsense is refused by field, value and limit.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking, in its helpers too")]
#![expect(clippy::float_cmp, reason = "what is typed is read exactly")]

use pourcast::units::entry::{
    Entry, EntryError, WaterTest, interpret_ec, interpret_ph, interpret_pour_mass, interpret_pour_volume,
    interpret_report_line, interpret_temperature, interpret_volume, interpret_water_test, parse_number,
};
use pourcast::units::{
    EcScale, Grams, HardnessUnit, MassUnit, Millilitres, ReportLine, ReportUnit, TemperatureUnit, VolumeUnit,
};
use proptest::prelude::*;

/// Labels of the offers; fails when there is no question.
fn labels<T: std::fmt::Debug>(entry: &Entry<T>) -> Vec<&str> {
    assert!(matches!(entry, Entry::Ask { .. }), "{entry:?}");
    entry.offers().iter().map(|offer| offer.label.as_str()).collect()
}

/// The refusal; fails when there is none, or when it does not say field, value and limit.
fn refused<T: std::fmt::Debug + Clone>(entry: &Entry<T>) -> String {
    let Entry::Refused(refusal) = entry else { panic!("not refused: {entry:?}") };
    assert!(!refusal.field.is_empty() && !refusal.limit.is_empty());
    assert!(refusal.message.contains(refusal.field), "{}", refusal.message);
    refusal.message.clone()
}

#[test]
fn numbers_as_people_type_them() {
    let table = [
        ("6.9", 6.9),
        ("6,9", 6.9),
        (" 6,9 ", 6.9),
        ("\u{a0}6.9\u{2009}", 6.9),
        ("\u{feff}6.9", 6.9),
        ("+6.9", 6.9),
        ("-1.5", -1.5),
        ("\u{2212}1,5", -1.5),
        ("\u{2013}1.5", -1.5),
        ("- 1.5", -1.5),
        (".5", 0.5),
        (",5", 0.5),
        ("5.", 5.0),
        ("0", 0.0),
        ("007", 7.0),
        ("1.413", 1.413),
        ("1200", 1200.0),
        ("1 200", 1200.0),
        ("1\u{202f}200", 1200.0),
        ("1\u{2009}234\u{2009}567,5", 1234567.5),
        ("1'200", 1200.0),
        ("1\u{2019}200.5", 1200.5),
        ("1,200.5", 1200.5),
        ("1.200,5", 1200.5),
        ("1,234,567", 1234567.0),
        ("1.234.567", 1234567.0),
        ("1,234,567.25", 1234567.25),
        ("0,125", 0.125),
        ("1,25", 1.25),
        ("1,2345", 1.2345),
        ("1234,500", 1234.5),
        ("1e3", 1000.0),
        ("1.2E-3", 0.0012),
        ("12e\u{2212}1", 1.2),
    ];
    for (text, value) in table {
        assert_eq!(parse_number(text), Ok(value), "{text:?}");
    }
}

#[test]
fn what_is_no_number_is_named() {
    for text in ["", "   ", "\u{a0}\u{200b}"] {
        assert_eq!(parse_number(text), Err(EntryError::Empty), "{text:?}");
    }
    for text in ["NaN", "nan", "-nan", "inf", "-Infinity", "∞", "1e999", "-1e400"] {
        assert!(matches!(parse_number(text), Err(EntryError::NotFinite { .. })), "{text:?}");
    }
    let garbage = [
        "abc", "6.9.1", "6,9,1", "1 2", "12 34", "1 2000", "--1", "1-2", "5-6", ".", ",", "-", "+", "1.2.3,4",
        "1,2.3,4", "6..9", "6,,9", "1e", "e5", "1e2.5", "0x10", "6 . 9", "１２", "½", "1,20,300", "1 200 30", "\0",
        "6\n9",
    ];
    for text in garbage {
        assert!(matches!(parse_number(text), Err(EntryError::NotANumber { .. })), "{text:?} {:?}", parse_number(text));
    }
    assert_eq!(parse_number("six").unwrap_err().to_string(), "“six” is not a number");
    assert_eq!(parse_number("NaN").unwrap_err().to_string(), "“NaN” is not a finite number");
}

#[test]
fn a_comma_before_three_digits_is_asked_back() {
    let asked = parse_number("1,200").unwrap_err();
    assert_eq!(asked, EntryError::Ambiguous { typed: "1,200".into(), decimal: 1.2, thousands: 1200.0 });
    assert_eq!(asked.to_string(), "“1,200” can be 1.2 or 1200");
    assert!(matches!(parse_number("-12,345"), Err(EntryError::Ambiguous { thousands: -12345.0, .. })));
}

#[test]
fn a_message_repeats_only_a_printable_beginning_of_what_was_typed() {
    let long = "9x".repeat(5000);
    let message = parse_number(&long).unwrap_err().to_string();
    assert!(message.chars().count() < 80 && message.contains('…'), "{message}");
    let message = parse_number("a\n\u{202e}b\u{7}").unwrap_err().to_string();
    assert_eq!(message, "“a\u{fffd}\u{fffd}b\u{fffd}” is not a number");
}

#[test]
fn ph_accepts_its_span_and_offers_the_missing_point() {
    for (text, ph) in
        [("6.9", 6.9), ("6,9", 6.9), ("pH 6.1", 6.1), ("ph: 6,1", 6.1), ("0", 0.0), ("14", 14.0), ("6,912", 6.912)]
    {
        assert_eq!(interpret_ph(text).ok().map(f64::from), Some(ph), "{text}");
    }
    let asked = interpret_ph("70");
    assert_eq!(labels(&asked), ["pH 7.0"]);
    assert_eq!(asked.offers()[0].value.get(), 7.0);
    assert_eq!(asked.message(), Some("pH 70 is outside 0 to 14. Is a point missing?"));
    assert_eq!(labels(&interpret_ph("65")), ["pH 6.5"]);
    assert_eq!(labels(&interpret_ph("652")), ["pH 6.52"]);
    assert_eq!(interpret_ph(" "), Entry::Blank);
    assert_eq!(refused(&interpret_ph("14.2")), "pH 14.2 is outside what pH can be here: 0 to 14.");
    assert_eq!(refused(&interpret_ph("-1")), "pH -1 is outside what pH can be here: 0 to 14.");
    assert_eq!(refused(&interpret_ph("NaN")), "“NaN” is not a finite number; pH takes 0 to 14.");
    for text in ["6.5 mS", "5.5-6.5", "9999", "six", "70.5"] {
        refused(&interpret_ph(text));
    }
}

#[test]
fn ec_on_the_fields_scale_or_on_the_one_typed() {
    use EcScale as E;
    let table = [
        ("1.2", E::MilliSiemens, 1.2, E::MilliSiemens),
        ("1,2", E::MilliSiemens, 1.2, E::MilliSiemens),
        // 1200 mS/cm cannot be, so the comma is a decimal one.
        ("1,200", E::MilliSiemens, 1.2, E::MilliSiemens),
        ("EC 1.2", E::MilliSiemens, 1.2, E::MilliSiemens),
        ("1200", E::MicroSiemens, 1.2, E::MicroSiemens),
        ("1 200", E::MicroSiemens, 1.2, E::MicroSiemens),
        ("1200 uS", E::MilliSiemens, 1.2, E::MicroSiemens),
        ("1200µS/cm", E::MilliSiemens, 1.2, E::MicroSiemens),
        ("1200 μS/cm", E::MilliSiemens, 1.2, E::MicroSiemens),
        ("EC 1200 uS", E::MilliSiemens, 1.2, E::MicroSiemens),
        ("1.2 mS", E::MicroSiemens, 1.2, E::MilliSiemens),
        ("1.2 dS/m", E::Ppm700, 1.2, E::MilliSiemens),
        ("CF 12", E::MilliSiemens, 1.2, E::ConductivityFactor),
        ("12 CF", E::MilliSiemens, 1.2, E::ConductivityFactor),
        ("12", E::ConductivityFactor, 1.2, E::ConductivityFactor),
        ("600 ppm 500", E::MilliSiemens, 1.2, E::Ppm500),
        ("840 ppm (700)", E::MilliSiemens, 1.2, E::Ppm700),
        ("768 ppm (640)", E::MilliSiemens, 1.2, E::Ppm640),
        ("840", E::Ppm700, 1.2, E::Ppm700),
        // The field's own scale answers the question that a bare ppm is.
        ("840 ppm", E::Ppm700, 1.2, E::Ppm700),
        ("0", E::MilliSiemens, 0.0, E::MilliSiemens),
        ("0.0", E::Ppm500, 0.0, E::Ppm500),
        ("8", E::Ppm500, 0.016, E::Ppm500),
    ];
    for (text, scale, ms_cm, unit) in table {
        let typed = interpret_ec(text, scale).ok().unwrap_or_else(|| panic!("{text}: {:?}", interpret_ec(text, scale)));
        assert!((typed.quantity.get() - ms_cm).abs() < 1e-12 && typed.unit == unit, "{text}: {typed:?}");
    }
}

#[test]
fn an_ec_too_large_for_its_scale_is_offered_on_the_others() {
    let asked = interpret_ec("1200", EcScale::MilliSiemens);
    assert_eq!(
        labels(&asked),
        [
            "1200 µS/cm = 1.2 mS/cm",
            "1200 ppm on the 500 scale = 2.4 mS/cm",
            "1200 ppm on the 640 scale = 1.88 mS/cm",
            "1200 ppm on the 700 scale = 1.71 mS/cm",
        ]
    );
    assert_eq!(asked.offers()[1].value.quantity.get(), 2.4);
    assert_eq!(asked.offers()[1].value.unit, EcScale::Ppm500);
    assert_eq!(asked.message(), Some("EC 1200 mS/cm is outside 0 to 15 mS/cm. Was it on another scale?"));
    assert_eq!(labels(&interpret_ec("1200 mS", EcScale::MicroSiemens)).len(), 4);
    assert_eq!(labels(&interpret_ec("20", EcScale::MilliSiemens)), ["CF 20 = 2 mS/cm"]);
    // A decimal on a scale of hundreds is a slip unless the person says that it is not.
    let asked = interpret_ec("1.2", EcScale::MicroSiemens);
    assert_eq!(labels(&asked), ["1.2 mS/cm", "1.2 µS/cm = 0.0012 mS/cm"]);
    assert_eq!(asked.offers()[0].value.unit, EcScale::MilliSiemens);
    assert!(interpret_ec("1.2 uS", EcScale::MicroSiemens).ok().is_some());
    assert_eq!(
        labels(&interpret_ec("1,200", EcScale::MicroSiemens)),
        ["1.2 µS/cm = 0.0012 mS/cm", "1200 µS/cm = 1.2 mS/cm"]
    );
    assert_eq!(
        refused(&interpret_ec("2000000", EcScale::MilliSiemens)),
        "EC 2000000 mS/cm is outside what EC can be here: 0 to 15 mS/cm."
    );
}

#[test]
fn a_bare_ppm_is_never_accepted() {
    let offered = [
        "1200 ppm on the 500 scale = 2.4 mS/cm",
        "1200 ppm on the 640 scale = 1.88 mS/cm",
        "1200 ppm on the 700 scale = 1.71 mS/cm",
    ];
    for text in ["1200 ppm", "1200ppm", "ppm 1200", "TDS 1200", "1200 mg/L"] {
        for scale in [EcScale::MilliSiemens, EcScale::MicroSiemens, EcScale::ConductivityFactor] {
            let asked = interpret_ec(text, scale);
            assert_eq!(labels(&asked), offered, "{text}");
            assert_eq!(asked.message(), Some(&*format!("“{text}” depends on the meter's scale. Which scale is it?")));
        }
    }
    assert_eq!(labels(&interpret_ec("1,200 ppm", EcScale::MilliSiemens)), offered);
    // mS/m is a hundredth of mS/cm, and not to be taken for it.
    assert!((interpret_ec("120 mS/m", EcScale::MilliSiemens).ok().unwrap().quantity.get() - 1.2).abs() < 1e-12);
    for text in ["-0.5", "1.2 volts", "EC", "inf", "1.2.3", "99999999 ppm", "NaN mS"] {
        refused(&interpret_ec(text, EcScale::MilliSiemens));
    }
    assert_eq!(interpret_ec("", EcScale::MilliSiemens), Entry::Blank);
}

#[test]
fn a_temperature_on_the_wrong_scale_is_offered_on_the_right_one() {
    use TemperatureUnit::{Celsius, Fahrenheit};
    for (text, unit, celsius) in [
        ("21.5", Celsius, 21.5),
        ("21,5 °C", Fahrenheit, 21.5),
        ("68", Fahrenheit, 20.0),
        ("68F", Celsius, 20.0),
        ("68 ºF", Celsius, 20.0),
        ("0", Celsius, 0.0),
        ("40", Celsius, 40.0),
    ] {
        let typed = interpret_temperature(text, unit).ok().unwrap_or_else(|| panic!("{text}"));
        assert!((typed.quantity.get() - celsius).abs() < 1e-9, "{text}: {typed:?}");
    }
    let asked = interpret_temperature("70", Celsius);
    assert_eq!(labels(&asked), ["70 °F = 21.1 °C"]);
    assert!((asked.offers()[0].value.quantity.get() - 21.1111).abs() < 1e-4);
    assert_eq!(asked.message(), Some("70 °C is outside 0 to 40 °C. Was it °F?"));
    assert_eq!(labels(&interpret_temperature("20", Fahrenheit)), ["20 °C = 68 °F"]);
    assert_eq!(
        refused(&interpret_temperature("120", Celsius)),
        "120 °C is outside what temperature can be here: 0 to 40 °C."
    );
    assert_eq!(
        refused(&interpret_temperature("-10", Fahrenheit)),
        "-10 °F is outside what temperature can be here: 32 to 104 °F."
    );
    for text in ["290 K", "warm", "20-25"] {
        refused(&interpret_temperature(text, Celsius));
    }
}

#[test]
fn a_volume_says_whose_gallon_it_is() {
    use VolumeUnit as V;
    for (text, unit, litres) in [
        ("20", V::Litre, 20.0),
        ("20 L", V::UsGallon, 20.0),
        ("5", V::UsGallon, 18.92705892),
        // The field's own gallon answers the question.
        ("5 gal", V::UsGallon, 18.92705892),
        ("5 gallons", V::ImperialGallon, 22.73045),
        ("5 US gal", V::Litre, 18.92705892),
        ("5 imp. gal", V::Litre, 22.73045),
        ("750 ml", V::Litre, 0.75),
        ("1,200", V::Litre, 1.2),
        ("500", V::Litre, 500.0),
    ] {
        let typed =
            interpret_volume(text, unit).ok().unwrap_or_else(|| panic!("{text}: {:?}", interpret_volume(text, unit)));
        assert!((typed.quantity.get() - litres).abs() < 1e-9, "{text}: {typed:?}");
    }
    let asked = interpret_volume("5 gal", V::Litre);
    assert_eq!(labels(&asked), ["5 US gal = 18.9 L", "5 imp gal = 22.7 L"]);
    assert_eq!(asked.message(), Some("“5 gal” can be US or imperial. Which one is it?"));
    assert_eq!(labels(&interpret_volume("20000", V::Litre)), ["20000 mL = 20 L"]);
    for text in ["0", "0.0 L", "-3", "501 000 L", "600 kg", "NaN", "inf L", "a bucket"] {
        refused(&interpret_volume(text, V::Litre));
    }
    assert_eq!(
        refused(&interpret_volume("0", V::Litre)),
        "“0” is outside what volume can be here: more than 0 and at most 500 L."
    );
    assert_eq!(
        refused(&interpret_volume("150", V::UsGallon)),
        "“150” is outside what volume can be here: more than 0 and at most 132 US gal (500 L)."
    );
    assert!(interpret_volume("500.01", V::Litre).ok().is_none());
}

#[test]
fn an_amount_to_pour_has_the_limit_of_its_caller() {
    let largest = Millilitres::new(250.0).unwrap();
    let pour = |text: &str| interpret_pour_volume(text, VolumeUnit::Millilitre, largest);
    assert_eq!(pour("2,5").ok().unwrap().quantity.get(), 2.5);
    assert_eq!(pour("0").ok().unwrap().quantity.get(), 0.0);
    assert!((pour("1 tsp").ok().unwrap().quantity.get() - 4.928922).abs() < 1e-6);
    assert_eq!(labels(&pour("1 fl oz")), ["1 US fl oz = 29.6 mL", "1 imp fl oz = 28.4 mL"]);
    assert_eq!(refused(&pour("251")), "“251” is outside what amount can be here: 0 to 250 mL.");
    refused(&pour("-1"));
    let mass = |text: &str| interpret_pour_mass(text, MassUnit::Gram, Grams::new(100.0).unwrap());
    assert_eq!(mass("12.5 g").ok().unwrap().quantity.get(), 12.5);
    assert!((mass("1 oz").ok().unwrap().quantity.get() - 28.349523125).abs() < 1e-9);
    assert_eq!(refused(&mass("1 lb")), "“1 lb” is outside what amount can be here: 0 to 100 g.");
    refused(&mass("3 mL"));
}

#[test]
fn alkalinity_and_hardness_in_any_usual_unit() {
    use HardnessUnit as H;
    let alkalinity = |text: &str, unit| interpret_water_test(text, WaterTest::Alkalinity, unit);
    let hardness = |text: &str, unit| interpret_water_test(text, WaterTest::Hardness, unit);
    for (entry, meq_per_l) in [
        (alkalinity("120", H::MgPerLitreCaCo3), 2.39794),
        (alkalinity("120 ppm", H::MeqPerLitre), 2.39794),
        (alkalinity("KH 7", H::GermanCarbonateDegree), 2.49657),
        (alkalinity("7 °dKH", H::MeqPerLitre), 2.49657),
        (alkalinity("2.5 mmol/L", H::MgPerLitreCaCo3), 2.5),
        (hardness("1.25 mmol/L", H::MgPerLitreCaCo3), 2.5),
        (hardness("14 °dH", H::MeqPerLitre), 4.99313),
        (hardness("25 °fH", H::MeqPerLitre), 4.99570),
        (hardness("10 °e", H::MeqPerLitre), 2.84831),
        (hardness("10 gpg", H::MeqPerLitre), 3.42067),
    ] {
        let typed = entry.clone().ok().unwrap_or_else(|| panic!("{entry:?}"));
        assert!((typed.quantity.get() - meq_per_l).abs() < 1e-4, "{typed:?} is not {meq_per_l}");
    }
    assert_eq!(labels(&alkalinity("120", H::MeqPerLitre)), ["120 mg/L CaCO3 = 2.4 meq/L"]);
    assert_eq!(
        refused(&alkalinity("-4", H::MeqPerLitre)),
        "alkalinity -4 meq/L is outside what alkalinity can be here: 0 to 20 meq/L."
    );
    refused(&hardness("9000", H::MeqPerLitre));
    refused(&hardness("soft", H::MeqPerLitre));
}

#[test]
fn lines_of_a_report_as_they_stand_on_paper() {
    use HardnessUnit as H;
    use ReportLine as L;
    use ReportUnit as U;
    let read = |text: &str, line: L, unit: U| interpret_report_line(text, line, unit);
    for (text, line, unit, mg_per_l) in [
        ("12,5", L::Calcium, U::MgPerLitre, 12.5),
        ("10 mg/L as N", L::Nitrate, U::MgPerLitre, 44.266),
        ("10 mg N/L", L::Nitrate, U::MgPerLitre, 44.266),
        ("10 ppm NO3-N", L::Nitrate, U::MgPerLitre, 44.266),
        ("44 mg/L NO3", L::Nitrate, U::MgPerLitreOfElement, 44.0),
        ("10 mg/L", L::Nitrate, U::MgPerLitreOfElement, 44.266),
        ("10 mg/l S", L::Sulfate, U::MgPerLitre, 29.962),
        ("1.5 mmol/L", L::Calcium, U::MgPerLitre, 60.117),
        ("3 meq/L", L::Bicarbonate, U::MgPerLitre, 183.048),
        ("150 mg/L as CaCO3", L::Bicarbonate, U::MgPerLitre, 182.89),
        ("8.4 °dKH", L::Bicarbonate, U::MgPerLitre, 182.79),
        ("10 °e", L::Calcium, U::Charge(H::MgPerLitreCaCo3), 57.08),
        ("250 µg/L", L::Boron, U::MgPerLitre, 0.25),
        ("Sodium: 13.8 mg/L", L::Sodium, U::MgPerLitre, 13.8),
    ] {
        let typed = read(text, line, unit).ok().unwrap_or_else(|| panic!("{text}: {:?}", read(text, line, unit)));
        assert!((typed.quantity.get() / mg_per_l - 1.0).abs() < 2e-4, "{text}: {typed:?} is not {mg_per_l}");
    }
    let outside = refused(&read("9000", L::Sodium, U::MgPerLitre));
    assert!(outside.contains("0 to 5000 mg/L as Na"), "{outside}");
    refused(&read("-1", L::Sodium, U::MgPerLitre));
    refused(&read("2 mg/L as N", L::Sodium, U::MgPerLitre));
    refused(&read("3 meq/L", L::Boron, U::MgPerLitre));
    assert_eq!(labels(&read("1,200", L::Chloride, U::MgPerLitre)).len(), 2);
    assert!(matches!(read("", L::Boron, U::MgPerLitre), Entry::Blank));
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever is typed, there is an outcome: no panic, and nothing but values inside the limits.
    #[test]
    fn any_text_has_an_outcome(text in any::<String>()) {
        outcome_of(&text)?;
    }

    /// The same for texts made of what people do type.
    #[test]
    fn any_likely_text_has_an_outcome(text in "(CF |pH |EC |-|−)?[0-9 .,'e]{0,9} ?(mS|uS/cm|µS|ppm|ppm 700|°F|C|L|gal|fl oz|oz|°dH|mg/L)?") {
        outcome_of(&text)?;
    }

    /// A number printed plainly is read back as it is.
    #[test]
    fn a_printed_number_is_read_back(value in -1e6..1e6_f64) {
        prop_assert_eq!(parse_number(&value.to_string()), Ok(value));
        prop_assert_eq!(parse_number(&format!("{value:e}")), Ok(value));
    }
}

fn outcome_of(text: &str) -> Result<(), TestCaseError> {
    fn checked<T: Clone>(entry: &Entry<T>, fits: impl Fn(&T) -> bool) -> Result<(), TestCaseError> {
        match entry {
            Entry::Blank => {}
            Entry::Ok(value) => prop_assert!(fits(value)),
            Entry::Ask { message, offers } => {
                prop_assert!(!message.is_empty() && !offers.is_empty());
                prop_assert!(offers.iter().all(|offer| !offer.label.is_empty() && fits(&offer.value)));
            }
            Entry::Refused(refusal) => prop_assert!(refusal.message.contains(refusal.field)),
        }
        Ok(())
    }
    if let Ok(value) = parse_number(text) {
        prop_assert!(value.is_finite());
    }
    checked(&interpret_ph(text), |ph| (0.0..=14.0).contains(&ph.get()))?;
    for scale in EcScale::ALL {
        checked(&interpret_ec(text, scale), |ec| (0.0..=15.0).contains(&ec.quantity.get()))?;
    }
    for unit in TemperatureUnit::ALL {
        checked(&interpret_temperature(text, unit), |t| (0.0..=40.0).contains(&t.quantity.get()))?;
    }
    for unit in VolumeUnit::ALL {
        checked(&interpret_volume(text, unit), |v| v.quantity.get() > 0.0 && v.quantity.get() <= 500.0)?;
        let largest = Millilitres::new(100.0).unwrap();
        checked(&interpret_pour_volume(text, unit, largest), |v| v.quantity <= largest)?;
    }
    for unit in MassUnit::ALL {
        let largest = Grams::new(100.0).unwrap();
        checked(&interpret_pour_mass(text, unit, largest), |m| m.quantity <= largest)?;
    }
    for line in ReportLine::ALL {
        for unit in line.units() {
            checked(&interpret_report_line(text, line, unit), |c| (0.0..=5000.0).contains(&c.quantity.get()))?;
        }
    }
    for unit in HardnessUnit::ALL {
        for test in [WaterTest::Alkalinity, WaterTest::Hardness] {
            checked(&interpret_water_test(text, test, unit), |a| (0.0..=40.0).contains(&a.quantity.get()))?;
        }
    }
    Ok(())
}
