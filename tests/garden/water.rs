//! Source water from what is known of it.

use pourcast::chem::Component;
use pourcast::garden::*;

use super::{catalog, close};

#[test]
fn a_water_meets_its_ec_and_keeps_its_alkalinity() {
    let catalog = catalog();
    let mut compared = 0;
    for profile in &catalog.waters {
        for factor in [0.5, 1.0, 1.7] {
            let ec = profile.ec_ms_cm.value * factor;
            let alkalinity = profile.alkalinity_meq_l.value.median * factor * 0.9;
            let water = SourceWater {
                ec_ms_cm: Some(ec),
                alkalinity_meq_l: Some(alkalinity),
                ..SourceWater::of_kind(profile.kind)
            };
            let found = water.composition(profile).unwrap();
            close(found.ec_ms_cm / ec, 1.0, 0.01);
            close(found.alkalinity_meq_l, alkalinity, 1e-9);
            close(found.totals.alkalinity() * 1e3, alkalinity, 1e-9);
            assert!(found.totals.is_physical());
            compared += 1;
        }
    }
    assert_eq!(compared, 30);
}

#[test]
fn typical_numbers_of_a_kind_agree() {
    for profile in &catalog().waters {
        let found = SourceWater::of_kind(profile.kind).composition(profile).unwrap();
        close(found.ec_ms_cm / profile.ec_ms_cm.value, 1.0, 0.02);
        close(found.ph, profile.ph.value, 0.06);
        let shares = profile.pattern.value;
        close(shares.cl_share + shares.so4_share + shares.no3_share, 1.0, 1e-12);
        for source in profile.sources() {
            assert!(!source.source.trim().is_empty());
        }
    }
    assert_eq!(catalog().waters.iter().map(|water| water.kind).collect::<Vec<_>>(), WaterKind::ALL.to_vec());
}

#[test]
fn ph_and_hardness_are_met() {
    let catalog = catalog();
    let profile = catalog.water(WaterKind::HardTap).unwrap();
    let water = SourceWater {
        kind: WaterKind::HardTap,
        ec_ms_cm: Some(0.65),
        ph: Some(7.4),
        alkalinity_meq_l: Some(4.4),
        hardness_mg_caco3_l: Some(290.0),
        report: None,
        blend: None,
    };
    let found = water.composition(profile).unwrap();
    close(found.ph, 7.4, 1e-6);
    close(found.totals.hardness() * 100_086.0, 290.0, 0.2);
    assert!(found.ph_used && found.ec_used);
    // 1 meq/L is 50.04 mg/L as CaCO3: NC State University HIL 558 (Bailey & Bilderback 1998).
    close(compose::MG_CACO3_PER_MEQ, 50.04, 0.005);
}

#[test]
fn nearly_pure_water_is_taken_as_such() {
    let catalog = catalog();
    let profile = catalog.water(WaterKind::ReverseOsmosis).unwrap();
    let with_ph = |ph: f64| {
        let water =
            SourceWater { ec_ms_cm: Some(0.0), ph: Some(ph), ..SourceWater::of_kind(WaterKind::ReverseOsmosis) };
        water.composition(profile).unwrap()
    };
    let (low, high) = (with_ph(5.0), with_ph(8.5));
    assert_eq!(low.totals, high.totals, "a pH read in pure water says nothing");
    assert!(!low.ph_used && !low.ec_used);
    assert!(low.ec_ms_cm < 0.05, "{}", low.ec_ms_cm);
    assert!(low.notes.iter().any(|note| note.contains("below 0.05")), "{:?}", low.notes);
    assert!(low.notes.iter().any(|note| note.contains("nearly pure")), "{:?}", low.notes);
    // 0.0 read in a kind that is never so pure: still nearly empty.
    let unknown = SourceWater { ec_ms_cm: Some(0.0), ..SourceWater::of_kind(WaterKind::Unknown) };
    assert!(unknown.composition(catalog.water(WaterKind::Unknown).unwrap()).unwrap().ec_ms_cm < 0.05);
}

#[test]
fn contradictions_are_typed() {
    let catalog = catalog();
    let profile = catalog.water(WaterKind::SoftTap).unwrap();
    let soft = SourceWater { ec_ms_cm: Some(0.15), ..SourceWater::of_kind(WaterKind::SoftTap) };
    let error = SourceWater { alkalinity_meq_l: Some(5.0), ..soft }.composition(profile).unwrap_err();
    match error {
        WaterError::AlkalinityAboveEc { limit_meq_l, .. } => {
            assert!((1.2..=2.2).contains(&limit_meq_l), "{limit_meq_l}");
        }
        other => panic!("{other}"),
    }
    let error = SourceWater { hardness_mg_caco3_l: Some(400.0), ..soft }.composition(profile).unwrap_err();
    assert!(matches!(error, WaterError::HardnessAboveEc { .. }), "{error}");
    let error = SourceWater { alkalinity_meq_l: Some(1.0), ph: Some(4.0), ..soft }.composition(profile).unwrap_err();
    assert!(matches!(error, WaterError::PhAgainstAlkalinity { .. }), "{error}");
    for (water, field) in [
        (SourceWater { ec_ms_cm: Some(7.0), ..soft }, "ec_ms_cm"),
        (SourceWater { ec_ms_cm: Some(f64::NAN), ..soft }, "ec_ms_cm"),
        (SourceWater { ph: Some(70.0), ..soft }, "ph"),
        (SourceWater { alkalinity_meq_l: Some(-1.0), ..soft }, "alkalinity_meq_l"),
    ] {
        match water.composition(profile).unwrap_err() {
            WaterError::Field(problem) => assert_eq!(problem.field, field),
            other => panic!("{other}"),
        }
    }
    // A guessed alkalinity gives way to a low pH that was read.
    let acid = SourceWater { ph: Some(4.6), ..soft }.composition(profile).unwrap();
    close(acid.ph, 4.6, 1e-6);
}

#[test]
fn a_report_is_taken_as_it_is() {
    let catalog = catalog();
    let profile = catalog.water(WaterKind::Unknown).unwrap();
    // An invented report that balances: 3 Ca, 0.8 Mg, 0.6 Na, 0.1 K against 3.0 HCO3, 0.8 Cl, 0.5 SO4, 0.2 NO3 meq/L.
    let report = WaterReport {
        ca_mg_l: Some(60.1),
        mg_mg_l: Some(9.72),
        na_mg_l: Some(13.8),
        k_mg_l: Some(3.91),
        cl_mg_l: Some(28.36),
        so4_mg_l: Some(24.0),
        no3_mg_l: Some(12.4),
        hco3_mg_l: Some(183.05),
        ..WaterReport::default()
    };
    let water = SourceWater { report: Some(report), ..SourceWater::of_kind(WaterKind::Unknown) };
    let found = water.composition(profile).unwrap();
    close(found.alkalinity_meq_l, 3.0, 0.01);
    close(found.totals[Component::Ca] * 1e3, 1.5, 0.002);
    let unbalanced = WaterReport { cl_mg_l: Some(500.0), ..report };
    let error = SourceWater { report: Some(unbalanced), ..water }.composition(profile).unwrap_err();
    assert!(matches!(error, WaterError::ReportImbalance { .. }), "{error}");
    // Without a line for alkalinity, what the ions leave over is it.
    let silent = WaterReport { hco3_mg_l: None, ..report };
    close(SourceWater { report: Some(silent), ..water }.composition(profile).unwrap().alkalinity_meq_l, 3.0, 0.02);
    let bad = WaterReport { na_mg_l: Some(-4.0), ..report };
    assert!(matches!(
        SourceWater { report: Some(bad), ..water }.composition(profile).unwrap_err(),
        WaterError::Field(_)
    ));
}

#[test]
fn any_numbers_give_a_water_or_a_reason() {
    let catalog = catalog();
    let (mut made, mut refused) = (0, 0);
    let some = |values: &[f64]| std::iter::once(None).chain(values.iter().copied().map(Some)).collect::<Vec<_>>();
    for profile in &catalog.waters {
        for ec_ms_cm in some(&[0.0, 0.03, 0.12, 0.7, 2.0, 5.0]) {
            for ph in some(&[0.0, 4.2, 6.5, 8.4, 14.0]) {
                for alkalinity_meq_l in some(&[0.0, 0.4, 3.0, 20.0]) {
                    for hardness_mg_caco3_l in some(&[0.0, 150.0, 2000.0]) {
                        let kind = profile.kind;
                        let water = SourceWater {
                            ec_ms_cm,
                            ph,
                            alkalinity_meq_l,
                            hardness_mg_caco3_l,
                            ..SourceWater::of_kind(kind)
                        };
                        match water.composition(profile) {
                            Ok(found) => {
                                assert!(found.totals.is_physical(), "{water:?}");
                                assert!(found.ec_ms_cm.is_finite() && found.ph.is_finite(), "{water:?}");
                                assert!(found.log10_pco2.is_finite(), "{water:?}");
                                made += 1;
                            }
                            Err(error) => {
                                let said = error.to_string();
                                assert!(said.chars().any(|c| c.is_ascii_digit()), "names its numbers: {said}");
                                refused += 1;
                            }
                        }
                    }
                }
            }
        }
    }
    println!("{made} waters made, {refused} refused with a reason");
    assert!(made > 1000 && refused > 500, "{made} {refused}");
}

/// What hurts if it is not known stands in every plan: `Knowledge` takes the profile's own word.
#[test]
fn waters_that_need_a_warning_have_one() {
    let catalog = catalog();
    let warning = |kind: WaterKind| catalog.water(kind).unwrap().warning.clone().unwrap_or_default();
    let condensate = warning(WaterKind::Condensate);
    assert!(condensate.contains("copper") && condensate.contains("germs"), "{condensate}");
    // OSU HLA-6722, Table 1: sodium below 50, chloride below 140 mg/L. The kind's middle holds about twice as much.
    let salty = catalog.water(WaterKind::SaltyWell).unwrap();
    assert!(warning(WaterKind::SaltyWell).contains("sodium below 50 and chloride below 140 mg/L"));
    let totals = SourceWater::of_kind(WaterKind::SaltyWell).composition(salty).unwrap().totals;
    let mg_l = |component: Component| totals[component] * component.molar_mass_g() * 1e3;
    assert!(mg_l(Component::Cl) > 200.0 && mg_l(Component::Na) > 100.0, "{}", mg_l(Component::Na));
    for kind in WaterKind::ALL {
        let said = !warning(kind).is_empty();
        assert_eq!(said, matches!(kind, WaterKind::Condensate | WaterKind::SaltyWell), "{kind:?}");
    }
}
