//! Hydrogen peroxide: told of, never poured.

use pourcast::garden::peroxide::{Grade, HARMED_MG_L, STOP_MG_L, card, mg_per_l};
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
    let said = |asked| card(asked).amount.unwrap_or_default();
    assert!(said(Some((1.25, Grade::Three))).contains("37.5 mg/L: as much as stunted or killed"));
    assert!(said(Some((0.5, Grade::Three))).contains("stop"), "{}", said(Some((0.5, Grade::Three))));
    assert!(said(Some((0.3, Grade::Three))).contains("not known to help"));
    const { assert!(STOP_MG_L < HARMED_MG_L / 3.0) };
    assert_eq!(card(None).amount, None);
    assert_eq!(card(Some((f64::NAN, Grade::Three))).amount, None);
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
