//! The chemistry's own consistency: balances, limits, order of mixing, derivatives, and no panic on any physical input.
//! Comparisons with an outside engine and with published values stand in `chem_cases.rs` and `published.rs`.

use pourcast::chem::{Carbon, ChemError, Component, Medium, Mineral, Mobilities, Totals, carbon_for_ph, compensated};
use proptest::prelude::*;

use Component::{B, C, Ca, Cit, Cl, K, Mg, Na, Nh4, No3, P, Si, So4};

/// Any solution between rain and a strong feed, with a strong acid or base on top: pH about 1.5 to 12.5, EC 0 to 15 mS/cm.
fn any_totals() -> impl Strategy<Value = Totals> {
    let amount = |most: f64| prop_oneof![Just(0.0), (-8.0..most.log10()).prop_map(|e: f64| 10_f64.powf(e))];
    let cations = (amount(0.02), amount(0.01), amount(0.05), amount(0.05), amount(0.02));
    let weak = (amount(0.02), amount(0.02), amount(0.002), amount(0.001), amount(0.01), amount(0.02));
    (cations, weak, 0.0..=1.0, -0.03..0.03).prop_map(
        |((ca, mg, na, k, nh4), (p, c, si, b, cit, so4), split, strong)| {
            // Strong anions close the charge of the cations, and `strong` tips it towards acid or base by up to 30 meq/kg.
            let positive = 2.0 * (ca + mg) + na + k + nh4;
            let strong: f64 = strong;
            let anions = (positive - 2.0 * so4 + strong).max(0.0);
            let mut totals = Totals::from_pairs(&[
                (Ca, ca),
                (Mg, mg),
                (Na, na),
                (K, k),
                (Nh4, nh4),
                (No3, anions * split),
                (Cl, anions * (1.0 - split)),
                (So4, so4),
                (P, p),
                (C, c),
                (Si, si),
                (B, b),
                (Cit, cit),
            ]);
            let missing = positive - 2.0 * so4 + strong - anions;
            if missing < 0.0 {
                totals[K] -= missing;
            }
            totals
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(3000))]

    #[test]
    fn every_physical_solution_settles_and_balances(totals in any_totals(), t in 5.0..35.0_f64, open in any::<bool>()) {
        let medium = Medium::at(t).unwrap();
        let carbon = if open { Carbon::Balance { log10_pco2_atm: -3.38 } } else { Carbon::Kept };
        let solved = match medium.solve(&totals, carbon) {
            Ok(solved) => solved,
            // Caustic under air takes up carbon almost without end: that alone may not settle.
            Err(error) => {
                prop_assert!(open && totals.alkalinity() > 0.02, "{error} at {totals:?}");
                return Ok(());
            }
        };
        prop_assert!(solved.imbalance() < 1e-9, "imbalance {:.1e}, pH {}", solved.imbalance(), solved.ph());
        let ec = solved.conductivity_us_cm(&medium, Mobilities::Full);
        prop_assert!(ec.is_finite() && ec > 0.0 && solved.ph().is_finite());
        if !open {
            let again = medium.solve_from(&solved, &totals, carbon).unwrap();
            prop_assert!((again.ph() - solved.ph()).abs() < 1e-8);
        }
    }

    #[test]
    fn a_strong_acid_never_raises_ph(totals in any_totals(), t in 5.0..35.0_f64, meq in 0.001..10.0_f64) {
        let medium = Medium::at(t).unwrap();
        let before = medium.solve(&totals, Carbon::Kept).unwrap();
        // Strong acid is its anion: nitric acid adds NO3 and electroneutrality the protons.
        let more = totals.with(No3, totals[No3] + meq * 1e-3);
        let after = medium.solve(&more, Carbon::Kept).unwrap();
        prop_assert!(after.ph() < before.ph() + 1e-9, "{} to {}", before.ph(), after.ph());
    }

    #[test]
    fn closed_mixing_is_free_of_order(a in any_totals(), b in any_totals(), c in any_totals()) {
        let one = a.scaled(0.2).plus(&b.scaled(0.3)).plus(&c.scaled(0.5));
        let other = c.scaled(0.5).plus(&a.scaled(0.2)).plus(&b.scaled(0.3));
        let medium = Medium::standard();
        let (one, other) = (medium.solve(&one, Carbon::Kept).unwrap(), medium.solve(&other, Carbon::Kept).unwrap());
        prop_assert!((one.ph() - other.ph()).abs() < 1e-7);
    }
}

#[test]
fn garbage_is_refused_by_name() {
    for t in [-1.0, 41.0, f64::NAN, f64::INFINITY] {
        assert!(matches!(Medium::at(t), Err(ChemError::Temperature { .. })), "{t}");
    }
    let medium = Medium::standard();
    for bad in [-1e-6, f64::NAN, f64::INFINITY, 2.0] {
        let error = medium.solve(&Totals::ZERO.with(K, bad), Carbon::Kept).unwrap_err();
        assert!(error.to_string().contains("total of K"), "{error}");
    }
    for bad in [f64::NAN, 0.5, f64::NEG_INFINITY] {
        assert!(medium.solve(&Totals::ZERO, Carbon::Balance { log10_pco2_atm: bad }).is_err());
    }
}

/// The limits that any textbook gives: pure water stands at half its ion product's exponent and carries 0.055 µS/cm at
/// 25 °C (Light & Licht, Anal. Chem. 59, 2327 (1987)); in balance with air it stands near 5.6.
#[test]
fn pure_water_and_rain() {
    let medium = Medium::standard();
    let pure = medium.solve(&Totals::ZERO, Carbon::Kept).unwrap();
    assert!((pure.ph() - 6.998).abs() < 0.003, "{}", pure.ph());
    let ec = pure.conductivity_us_cm(medium, Mobilities::Full);
    assert!((ec - 0.0550).abs() < 0.0006, "{ec} µS/cm");
    let air = medium.solve(&Totals::ZERO, Carbon::Balance { log10_pco2_atm: -3.38 }).unwrap();
    assert!((air.ph() - 5.60).abs() < 0.02, "{}", air.ph());
}

/// Alkalinity follows from the totals alone and stays when carbon dioxide goes.
#[test]
fn alkalinity_is_conserved() {
    let totals = Totals::from_pairs(&[(Ca, 1e-3), (Na, 1e-3), (Cl, 0.9e-3), (C, 2.3e-3)]);
    let medium = Medium::standard();
    let closed = medium.solve(&totals, Carbon::Kept).unwrap();
    let titrated = |formula: &str| closed.molality_of(formula).unwrap();
    let from_species = titrated("HCO3-") + 2.0 * titrated("CO3-2") + titrated("OH-") - titrated("H+")
        + titrated("CaHCO3+")
        + 2.0 * titrated("CaCO3")
        + titrated("NaHCO3")
        + titrated("CaOH+");
    assert!((totals.alkalinity() - 2.1e-3).abs() < 1e-15);
    assert!((from_species - totals.alkalinity()).abs() < 1e-10);
    let open = medium.solve(&totals, Carbon::Balance { log10_pco2_atm: -3.0 }).unwrap();
    assert!((open.totals().alkalinity() - totals.alkalinity()).abs() < 1e-15);
}

/// The slope of pH from the balances' own Jacobian against a central difference, closed and under air, for strong acid,
/// potassium hydroxide, phosphoric acid and carbon dioxide.
#[test]
fn derivative_equals_finite_difference() {
    let medium = Medium::at(18.0).unwrap();
    let totals =
        Totals::from_pairs(&[(Ca, 2e-3), (K, 5e-3), (No3, 6e-3), (P, 1e-3), (C, 1.5e-3), (Mg, 1e-3), (So4, 1e-3)]);
    for carbon in [Carbon::Kept, Carbon::Balance { log10_pco2_atm: -3.1 }] {
        let solved = medium.solve(&totals, carbon).unwrap();
        for component in [No3, K, P, C] {
            if component == C && carbon != Carbon::Kept {
                continue;
            }
            let change = Totals::from_pairs(&[(component, 1.0)]);
            let slope = medium.ph_slope(&solved, &change, carbon).unwrap();
            let ph = |step: f64| medium.solve(&totals.plus_scaled(&change, step), carbon).unwrap().ph();
            let difference = (ph(1e-6) - ph(-1e-6)) / 2e-6;
            // The analytic slope holds the water's activity: 1e-3 of it.
            assert!((slope / difference - 1.0).abs() < 2e-3, "{component:?} {carbon:?}: {slope} against {difference}");
            assert_eq!(slope < 0.0, component != K, "{component:?}: acids lower pH, a base raises it");
        }
    }
}

#[test]
fn carbon_found_from_ph_gives_that_ph_back() {
    let medium = Medium::at(20.0).unwrap();
    let totals = Totals::from_pairs(&[(Ca, 1.2e-3), (Mg, 0.3e-3), (Na, 0.5e-3), (Cl, 0.6e-3), (So4, 0.2e-3)]);
    for ph in [5.2, 6.0, 6.9, 7.4, 8.2, 9.0] {
        let carbon = carbon_for_ph(&medium, &totals, ph).unwrap();
        let back = medium.solve(&totals.with(C, carbon), Carbon::Kept).unwrap().ph();
        assert!((back - ph).abs() < 1e-6, "{ph}: {back}");
    }
    assert!(matches!(carbon_for_ph(&medium, &totals, 4.0), Err(ChemError::TooMuchCarbon { .. })));
    assert!(matches!(carbon_for_ph(&medium, &totals, 13.0), Err(ChemError::NoSuchCarbon { .. })));
    assert!(matches!(carbon_for_ph(&medium, &totals, f64::NAN), Err(ChemError::Ph { .. })));
}

/// Saturation rises with what the solid is made of; a strong calcium phosphate mix is over, pure water under.
#[test]
fn saturation_has_the_right_sign() {
    let medium = Medium::standard();
    let strong = Totals::from_pairs(&[(Ca, 40e-3), (No3, 40e-3), (K, 40e-3), (So4, 40e-3)]);
    let solved = medium.solve(&strong, Carbon::Kept).unwrap();
    // Gypsum dissolves to about 15 mmol/kg at 25 °C (2.4 g/L; CRC Handbook, from memory): 40 of each is over.
    assert!(solved.saturation_index(medium, Mineral::Gypsum).unwrap() > 0.3);
    let just = Totals::from_pairs(&[(Ca, 15.2e-3), (So4, 15.2e-3)]);
    let solved = medium.solve(&just, Carbon::Kept).unwrap();
    assert!(solved.saturation_index(medium, Mineral::Gypsum).unwrap().abs() < 0.03);
    assert_eq!(solved.saturation_index(medium, Mineral::Struvite), None);
}

/// USGS National Field Manual 6.3 gives the linear rule; the two readings of 0.5-strength KCl-like feed are of Kratky
/// (2015): 1.28 mS/cm at 20 °C and 1.55 at 30 °C are the same water.
#[test]
fn compensation_brings_two_temperatures_together() {
    let (cool, warm) = (compensated(1.28, 20.0, 0.02), compensated(1.55, 30.0, 0.02));
    assert!((cool / warm - 1.0).abs() < 0.01, "{cool} {warm}");
}
