//! Hydrogen peroxide: told of, never poured.

use pourcast::garden::peroxide::{Asked, Grade, HARMED_MG_L, MOST_ML_PER_L, STOP_MG_L, card, mg_per_l};
use pourcast::garden::*;

use super::{close, liquid, product};

#[test]
fn millilitres_of_a_grade_in_milligrams() {
    // Lau & Mattson 2021, Horticulturae 7:106 (abstract): 1.25 and 2.5 mL/L of 3 % are 37.5 and 75 mg/L.
    close(mg_per_l(1.25, Grade::Three).unwrap(), 37.5, 1e-9);
    close(mg_per_l(2.5, Grade::Three).unwrap(), 75.0, 1e-9);
    close(HARMED_MG_L, 37.5, 1e-12);
    // 35 % holds nearly 12 times as much as 3 % by mass and about 13 times for each mL.
    close(mg_per_l(1.0, Grade::ThirtyFive).unwrap() / mg_per_l(1.0, Grade::Three).unwrap(), 13.0, 0.3);
    close(mg_per_l(1.0, Grade::Twelve).unwrap(), 2.0 * mg_per_l(1.0, Grade::Six).unwrap(), 1e-9);
    for bad in [-1.0, f64::NAN, f64::INFINITY] {
        assert_eq!(mg_per_l(bad, Grade::Six), None);
    }
}

#[test]
fn the_card_says_what_is_known_and_advises_against_it() {
    const { assert!(STOP_MG_L < HARMED_MG_L / 3.0) };
    assert_eq!(card(None).answer, None);
    let card = card(None);
    assert!(card.advice.starts_with("Not advised"));
    let cautions = card.cautions.join(" ");
    for word in ["safety data sheet", "bleach", "Goggles", "children", "grade"] {
        assert!(cautions.contains(word), "{word}");
    }
}

#[test]
fn peroxide_is_refused_as_a_product() {
    let described = [
        product(Role::PhDown, liquid(1.0), Strength::Peroxide(Grade::Three)),
        Product {
            name: "Hydrogen Peroxide 3 %".to_owned(),
            ..product(Role::PhDown, liquid(1.0), Strength::UNKNOWN_ACID)
        },
        Product { name: "H₂O₂ for roots".to_owned(), ..product(Role::Feed, liquid(1.0), Strength::UNKNOWN_FEED) },
    ];
    for bottle in described {
        let error = bottle.dissolved().unwrap_err();
        assert_eq!(error, ProductError::Peroxide);
        assert!(error.to_string().contains("37.5 mg/L stunted or killed"), "{error}");
        let problems = bottle.check();
        assert!(problems.len() == 1 && problems[0].severity == Severity::Refused, "{problems:?}");
        assert_eq!(problems[0].message, error.to_string());
    }
    assert!(product(Role::PhDown, liquid(1.0), Strength::UNKNOWN_ACID).dissolved().is_ok());
}

#[test]
fn an_amount_is_told_in_all_the_water_and_in_a_litre() {
    let of = |ml: f64, water_l: f64| card(Some(Asked { ml, grade: Grade::Three, water_l })).answer;
    let told = |ml: f64, water_l: f64| of(ml, water_l).expect("an answer");
    // Lau & Mattson 2021, Horticulturae 7:106 (abstract): 1.25 mL/L of 3 % is 37.5 mg/L and stunted or killed lettuce.
    let harmful = told(25.0, 20.0);
    let amount = "25 mL of 3 % (household bottle) in 20 L is 1.25 mL/L, which makes 37.5 mg/L of peroxide";
    assert_eq!(harmful.amount, amount);
    assert!(harmful.is_too_much && harmful.harm.starts_with("Stop: 37.5 mg/L and more"), "{harmful:?}");
    // 37.5 mg/L is 1.1 mmol/L of a molecule with pKa 11.6.
    assert!(harmful.readings.contains("below pH 7.6 less than 1 in 10,000 of its 1.1 mmol/L is an ion"), "{harmful:?}");
    assert!(harmful.readings.starts_with("No meter shows it. EC falls by the 0.1 %"), "{harmful:?}");
    assert!(told(10.0, 20.0).harm.starts_with("Stop: too near"));
    let little = told(6.0, 20.0);
    assert!(!little.is_too_much && little.harm.contains("not known to help"), "{little:?}");
    assert!(little.readings.starts_with("No meter shows it. EC falls by less than 0.1 % of it"), "{little:?}");
    for (ml, water_l) in [(f64::NAN, 20.0), (-1.0, 20.0), (1.0, 0.0), (1.0, f64::NAN), (2001.0, 20.0)] {
        assert_eq!(of(ml, water_l), None, "{ml} mL in {water_l} L");
    }
    assert!(of(Asked::most_ml(20.0), 20.0).is_some());
    close(Asked::most_ml(20.0), 20.0 * MOST_ML_PER_L, 1e-9);
}
