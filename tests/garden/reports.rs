//! Water reports: whether they balance, what was likely mistaken, and what harms.

use pourcast::garden::report::{MUCH_BORON_MG_L, MUCH_CHLORIDE_MG_L, MUCH_SODIUM_MG_L, USUAL_IMBALANCE_PERCENT};
use pourcast::garden::*;

use super::{catalog, close};

/// An invented report that balances: 3 Ca, 1 Mg, 1 Na, 0.1 K against 2.4 HCO3, 0.7 Cl, 1.2 SO4, 0.8 NO3 meq/L.
fn report() -> WaterReport {
    WaterReport {
        ca_mg_l: Some(60.12),
        mg_mg_l: Some(12.15),
        na_mg_l: Some(22.99),
        k_mg_l: Some(3.91),
        cl_mg_l: Some(24.82),
        so4_mg_l: Some(57.63),
        no3_mg_l: Some(49.60),
        hco3_mg_l: Some(146.44),
        ..WaterReport::default()
    }
}

fn water(report: WaterReport) -> SourceWater {
    SourceWater { report: Some(report), ..SourceWater::of_kind(WaterKind::Unknown) }
}

#[test]
fn a_balance_is_told_in_percent_of_the_sum() {
    let balance = report().balance(None).unwrap();
    close(balance.cations_meq_l, 5.1, 0.005);
    close(balance.anions_meq_l, 5.1, 0.005);
    assert!(balance.is_usual() && report().likely_slips(None).is_empty());
    assert_eq!(water(report()).check(), []);
    // Standard Methods 1030 E, from memory: 100 (cations - anions) / (cations + anions); 5 % and less is usual.
    let salty = WaterReport { cl_mg_l: Some(24.82 + 35.45), ..report() }.balance(None).unwrap();
    close(salty.percent(), -100.0 / 11.2, 0.05);
    assert!(!salty.is_usual());
    close(USUAL_IMBALANCE_PERCENT, 5.0, 1e-12);
    // In thin water 0.2 meq/L are allowed, whatever percentage that makes.
    let thin = WaterReport {
        ca_mg_l: Some(6.0),
        mg_mg_l: Some(0.0),
        cl_mg_l: Some(3.5),
        so4_mg_l: Some(0.0),
        hco3_mg_l: Some(18.3),
        ..WaterReport::default()
    };
    let balance = thin.balance(None).unwrap();
    assert!(balance.percent().abs() > 5.0 && balance.is_usual(), "{balance:?}");
    // An alkalinity told beside it takes the place of the bicarbonate; what lists too little is not judged.
    close(report().balance(Some(3.0)).unwrap().anions_meq_l, 5.7, 0.005);
    assert_eq!(WaterReport { cl_mg_l: None, ..report() }.balance(None), None);
    assert_eq!(WaterReport { hco3_mg_l: None, ..report() }.balance(None), None);
}

/// Each slip, made on purpose, is found first, and mended to what was there.
#[test]
fn a_slip_is_found_and_mended() {
    let base = report();
    let times = |value: Option<f64>, factor: f64| value.map(|value| value * factor);
    // Factors from Standard Methods and laboratory tables, from memory: NO3 over N 4.427, SO4 over S 2.996, CaCO3 over HCO3
    // 0.820, CaCO3 over Ca 2.497.
    let cases = [
        (
            "no3_mg_l",
            "Is nitrate perhaps given as N?",
            49.60,
            WaterReport { no3_mg_l: times(base.no3_mg_l, 1.0 / 4.427), ..base },
        ),
        (
            "no3_mg_l",
            "Was nitrate perhaps NO3 already",
            49.60,
            WaterReport { no3_mg_l: times(base.no3_mg_l, 4.427), ..base },
        ),
        (
            "so4_mg_l",
            "Is sulfate perhaps given as S?",
            57.63,
            WaterReport { so4_mg_l: times(base.so4_mg_l, 1.0 / 2.996), ..base },
        ),
        (
            "so4_mg_l",
            "Was sulfate perhaps SO4 already",
            57.63,
            WaterReport { so4_mg_l: times(base.so4_mg_l, 2.996), ..base },
        ),
        (
            "ca_mg_l",
            "Is the number for calcium perhaps the total hardness as CaCO3?",
            60.12,
            WaterReport { ca_mg_l: Some(4.0 * 50.04), ..base },
        ),
        ("ca_mg_l", "Is calcium perhaps given as CaCO3?", 60.12, WaterReport { ca_mg_l: Some(150.12), ..base }),
        ("na_mg_l", "Is the line for sodium perhaps missing?", 22.99, WaterReport { na_mg_l: None, ..base }),
        (
            "cl_mg_l",
            "the number for chloride perhaps ten times what",
            24.82,
            WaterReport { cl_mg_l: times(base.cl_mg_l, 10.0), ..base },
        ),
        (
            "hco3_mg_l",
            "the number for bicarbonate perhaps a tenth of what",
            146.44,
            WaterReport { hco3_mg_l: times(base.hco3_mg_l, 0.1), ..base },
        ),
    ];
    for (key, words, value, wrong) in cases {
        let slips = wrong.likely_slips(None);
        let first = slips.first().unwrap_or_else(|| panic!("nothing found for {words}"));
        assert!(first.key == key && first.question.contains(words), "{words}: {slips:?}");
        close(first.value_mg_l / value, 1.0, 0.003);
        assert!(first.percent.abs() < 0.2 && slips.iter().all(|slip| slip.percent.abs() <= 5.0), "{slips:?}");
        // Of two that both close it, the better comes first.
        assert!(slips.is_sorted_by(|one, other| one.percent.abs() <= other.percent.abs()), "{slips:?}");
        close(first.report.balance(None).unwrap().percent(), first.percent, 1e-9);
        // As a check: a caution with the numbers, the limit and the slip, and its value to click.
        let problems = water(wrong).check();
        assert_eq!(problems.len(), 1, "{problems:?}");
        let problem = &problems[0];
        assert_eq!((problem.field.as_str(), problem.severity), (format!("report.{key}").as_str(), Severity::Caution));
        assert!(
            problem.message.contains("apart (5 % is usual)") && problem.message.contains(words),
            "{}",
            problem.message
        );
        close(problem.offers[0].value, first.value_mg_l, 1e-9);
    }
    // Bicarbonate as CaCO3 is a fifth of it: in water of more alkalinity.
    let much = WaterReport { ca_mg_l: Some(100.2), hco3_mg_l: Some(146.44 + 2.0 * 61.016), ..base };
    let wrong = WaterReport { hco3_mg_l: Some(220.2), ..much };
    let slips = wrong.likely_slips(None);
    assert!(slips[0].question.contains("Is bicarbonate perhaps given as CaCO3?"), "{slips:?}");
    close(slips[0].value_mg_l, 268.5, 0.2);
    // With the alkalinity told by a drop kit, the bicarbonate is not looked at, and cannot be the slip.
    assert!(wrong.likely_slips(Some(4.4)).is_empty());
    assert!(wrong.likely_slips(Some(3.2)).iter().all(|slip| slip.key != "hco3_mg_l"));
}

/// What was typed as calcium carbonate and converted is not asked whether it is that.
#[test]
fn a_number_in_a_unit_of_hardness_is_not_asked_for_it() {
    let asks =
        |report: WaterReport| report.likely_slips(None).iter().filter(|slip| slip.question.contains("CaCO3")).count();
    // 200.16 mg/L as CaCO3 and 80.16 mg/L of calcium are the same (2.497 to 1, from memory).
    let printed = WaterReport { ca_mg_l: Some(200.16), ..report() };
    assert!(asks(printed) > 0 && !printed.likely_slips(None).is_empty());
    let degrees = pourcast::units::ReportUnit::Charge(pourcast::units::HardnessUnit::GermanDegree);
    let converted = pourcast::units::ReportLine::Calcium.mg_per_l_from(28.0, degrees).unwrap();
    close(converted, 200.1, 0.1);
    let typed = WaterReport { ca_mg_l: Some(converted), ..report() };
    assert_eq!(asks(typed), 0, "{:?}", typed.likely_slips(None));
    // That it does not balance is told all the same.
    assert!(water(typed).check().iter().any(|problem| problem.message.contains("do not balance")));
}

/// Two things wrong at once: nothing is guessed, and the imbalance is still told.
#[test]
fn what_no_single_slip_explains_is_told_without_a_guess() {
    let lost = WaterReport { na_mg_l: Some(300.0), k_mg_l: Some(150.0), ..report() };
    assert_eq!(lost.likely_slips(None), []);
    let problem = &water(lost).check()[0];
    assert_eq!((problem.field.as_str(), problem.offers.len()), ("report", 0));
    let error = water(lost).known(&catalog()).unwrap_err();
    assert!(matches!(&error, WaterError::ReportImbalance { likely, .. } if likely.is_empty()), "{error}");
    // Where one explains it, the refusal names it.
    let error = water(WaterReport { ca_mg_l: Some(601.2), ..report() }).known(&catalog()).unwrap_err();
    let asked = "(at most a quarter apart). Is the number for calcium perhaps ten times what it should be? Then calcium would be 60.1 mg/L, and the report would balance to 0 %";
    assert!(error.to_string().ends_with(asked), "{error}");
    // A line that is no concentration is refused with its place.
    let bad = water(WaterReport { b_mg_l: Some(f64::NAN), ..report() }).check();
    assert_eq!((bad[0].field.as_str(), bad[0].severity), ("report.b_mg_l", Severity::Refused));
}

#[test]
fn salt_and_boron_are_warned_of_where_a_report_tells_them() {
    // University of Arizona, beside its tomato recipes (at second hand): sodium below 50, chloride below 70 mg/L; FAO Irrigation
    // and Drainage Paper 29 (Ayers & Westcot 1985), table 1, from memory: boron below 0.7 mg/L.
    assert_eq!((MUCH_SODIUM_MG_L, MUCH_CHLORIDE_MG_L, MUCH_BORON_MG_L), (50.0, 70.0, 0.7));
    let catalog = catalog();
    let notes = |water: SourceWater| water.known(&catalog).unwrap().composition.notes.join(" ");
    // 1.3 meq/L of sodium chloride more.
    let salty =
        WaterReport { na_mg_l: Some(22.99 * 2.5), cl_mg_l: Some(24.82 + 1.5 * 35.45), b_mg_l: Some(0.9), ..report() };
    let said = notes(water(salty));
    for name in ["Sodium of 57.5 mg/L is above 50", "Chloride of 78 mg/L is above 70", "Boron of 0.9 mg/L is above 0.7"]
    {
        assert!(said.contains(name), "{name}: {said}");
    }
    let fine = notes(water(WaterReport { b_mg_l: Some(0.6), ..report() }));
    assert!(!fine.contains("is above"), "{fine}");
    // Half of it purified water: what is in the mix counts.
    let pure = SourceWater::of_kind(WaterKind::ReverseOsmosis);
    let thinned = SourceWater { blend: Some(Blend::of(0.5, pure)), ..water(salty) };
    assert!(!notes(thinned).contains("is above"), "{}", notes(thinned));
    // Of a kind alone nobody knows its sodium: nothing is claimed.
    assert!(!notes(SourceWater::of_kind(WaterKind::HardWell)).contains("is above"));
}

#[test]
fn softened_water_is_recognised() {
    let catalog = catalog();
    let notes = |water: SourceWater| water.known(&catalog).unwrap().composition.notes.join(" ");
    let softened = WaterReport {
        ca_mg_l: Some(4.0),
        mg_mg_l: Some(1.2),
        na_mg_l: Some(110.4),
        cl_mg_l: Some(24.82),
        so4_mg_l: Some(57.63),
        hco3_mg_l: Some(195.25),
        ..WaterReport::default()
    };
    let said = notes(water(softened));
    assert!(said.contains("reads like softened water") && said.contains("before the softener"), "{said}");
    assert!(said.contains("Sodium of 110.4 mg/L"), "{said}");
    // By a drop kit for each, without a report.
    let dropped = SourceWater {
        ec_ms_cm: Some(0.6),
        alkalinity_meq_l: Some(4.0),
        hardness_mg_caco3_l: Some(20.0),
        ..SourceWater::of_kind(WaterKind::HardTap)
    };
    assert!(notes(dropped).contains("reads like softened water"));
    // Named as softened it is known; hard water is none, and soft water has little of both.
    assert!(!notes(SourceWater { kind: WaterKind::Softened, ..dropped }).contains("reads like"));
    assert!(!notes(water(report())).contains("reads like"));
    let soft = SourceWater {
        ec_ms_cm: Some(0.15),
        alkalinity_meq_l: Some(0.6),
        hardness_mg_caco3_l: Some(5.0),
        ..SourceWater::of_kind(WaterKind::SoftTap)
    };
    assert!(!notes(soft).contains("reads like"));
}

/// The lines of a report and the units they are typed in count the same species.
#[test]
fn report_units_count_what_a_report_counts() {
    use pourcast::units::ReportLine as L;
    for (line, expected) in [
        (L::Calcium, weight::CA),
        (L::Magnesium, weight::MG),
        (L::Sodium, weight::NA),
        (L::Potassium, weight::K),
        (L::Chloride, weight::CL),
        (L::Sulfate, weight::S + 4.0 * weight::O),
        (L::Nitrate, weight::N + 3.0 * weight::O),
        (L::Bicarbonate, weight::H + weight::C + 3.0 * weight::O),
        (L::Silica, weight::SI + 2.0 * weight::O),
        (L::Boron, weight::B),
    ] {
        close(line.g_per_mol(), expected, 1e-9);
    }
}
