//! What people type, and the tools they measure with.

use pourcast::garden::*;

use super::{catalog, close};

#[test]
fn bad_input_is_named_and_a_likely_meaning_offered() {
    let offer = |problem: &FieldProblem| problem.offers.first().map(|fix| fix.value);
    let ph = check_ph(70.0).unwrap();
    assert_eq!(ph.message, "pH 70 is outside 0 to 14");
    close(offer(&ph).unwrap(), 7.0, 1e-12);
    assert_eq!(ph.offers[0].label, "7.0");
    assert_eq!(offer(&check_ph(-1.0).unwrap()), None);
    assert_eq!(check_ph(2.4).unwrap().severity, Severity::Caution);
    assert!(check_ph(6.0).is_none() && check_ph(f64::NAN).unwrap().severity == Severity::Refused);

    let ec = check_ec_ms_cm(1200.0).unwrap();
    assert_eq!(ec.message, "EC 1200 mS/cm is outside 0 to 15 mS/cm");
    let labels: Vec<&str> = ec.offers.iter().map(|fix| fix.label.as_str()).collect();
    assert_eq!(labels[0], "1200 µS/cm, that is 1.20 mS/cm");
    assert_eq!(labels[1], "1200 ppm on the 500 scale, that is 2.40 mS/cm");
    assert_eq!(labels.len(), 4);
    close(offer(&check_ec_ms_cm(12.0).unwrap()).unwrap(), 1.2, 1e-12);
    assert!(check_ec_ms_cm(1.2).is_none() && check_ec_ms_cm(f64::INFINITY).is_some());

    let temperature = check_temperature_c(68.0).unwrap();
    close(offer(&temperature).unwrap(), 20.0, 1e-12);
    assert!(temperature.message.contains("68") && temperature.limit == "0 to 40 °C");
    assert!(check_temperature_c(-3.0).unwrap().offers.is_empty());

    for bad in [0.0, -4.0, 500.1, f64::NAN] {
        let problem = check_volume_l(bad).unwrap();
        assert_eq!((problem.field.as_str(), problem.limit.as_str()), ("tank_l", "above 0, at most 500 L"));
    }
    close(offer(&check_volume_l(20_000.0).unwrap()).unwrap(), 20.0, 1e-12);
    assert!(check_volume_l(500.0).is_none());
    close(offer(&check_level_l(40.0, 34.0).unwrap()).unwrap(), 34.0, 1e-12);
    assert!(check_level_l(0.0, 34.0).is_some() && check_level_l(34.0, 34.0).is_none());
    close(offer(&check_alkalinity_meq_l(150.0).unwrap()).unwrap(), 3.0, 0.01);
    assert!(check_hardness_mg_caco3_l(-1.0).is_some());
    assert!(check_elapsed_s(-60).unwrap().message.contains("-60 s") && check_elapsed_s(60).is_none());
}

#[test]
fn a_unit_names_every_problem() {
    let catalog = catalog();
    let good = &catalog.example("north-sill-trough").unwrap().unit;
    let fields = |unit: &Unit| unit.check(&catalog).into_iter().map(|problem| problem.field).collect::<Vec<_>>();
    let with = |change: &dyn Fn(&mut Unit)| {
        let mut unit = good.clone();
        change(&mut unit);
        fields(&unit)
    };
    assert_eq!(with(&|unit| unit.tank_l = 0.0), ["tank_l", "level_l", "log.3.level_l"]);
    assert_eq!(with(&|unit| unit.level_l = 99.0), ["level_l"]);
    assert_eq!(with(&|unit| unit.crop_id = "moon".to_owned()), ["crop_id"]);
    assert_eq!(with(&|unit| unit.stage_id = "fruiting".to_owned()), ["stage_id"]);
    assert_eq!(with(&|unit| unit.source_water.ph = Some(77.0)), ["source_water.ph"]);
    assert_eq!(with(&|unit| unit.meter.ph_step = 0.0), ["meter.ph_step"]);
    assert_eq!(with(&|unit| unit.own_band = Some(OwnBand { ph: Some((6.5, 6.0)), ec_ms_cm: None })), ["own_band.ph"]);
    let gone = with(&|unit| unit.shelf[0].product = ProductRef::Shipped("gone".to_owned()));
    assert_eq!(gone, ["shelf.0", "log.1.product_id"]);
    assert_eq!(with(&|unit| unit.shelf[0].tool = Tool::Scale { mark_g: 0.1 }), ["shelf.0"]);
    let early = with(&|unit| {
        unit.log.push(LogEntry::Reading(Reading { at_s: 0, ..Reading::default() }));
    });
    assert_eq!(early, ["log.4.at_s"]);
    // EC below the source water's after feeding: a caution, since a misread is likelier than wrong water.
    let mut weak = good.clone();
    weak.log.push(LogEntry::Reading(Reading { at_s: 1_900_000_000, ec_ms_cm: Some(0.2), ..Reading::default() }));
    let found = weak.check(&catalog);
    assert_eq!(found.len(), 1);
    assert_eq!((found[0].field.as_str(), found[0].severity), ("log.4.ec_ms_cm", Severity::Caution));
    assert!(found[0].message.contains("0.2") && found[0].message.contains("0.38"), "{}", found[0].message);
}

#[test]
fn tools_round_down_and_say_it() {
    let syringe = Tool::Syringe { capacity_ml: 10.0, mark_ml: 0.2 };
    close(syringe.round_down(2.59), 2.4, 1e-12);
    close(syringe.round_down(0.6), 0.6, 1e-12);
    close(syringe.round_down(0.19), 0.0, 1e-12);
    close(syringe.round_down(-3.0), 0.0, 1e-12);
    close(syringe.round_down(f64::NAN), 0.0, 1e-12);
    assert_eq!(syringe.say(2.4), "to the 2.4 mL mark");
    assert_eq!(syringe.say(24.0), "2 times full, then to the 4 mL mark");
    assert_eq!(syringe.say(10.0), "once full");
    let drops = Tool::Dropper { drops_per_ml: 20.0 };
    close(drops.round_down(0.63), 0.6, 1e-12);
    assert_eq!(drops.say(0.6), "12 drops");
    let scoop = Tool::Scoop { grams: 1.2, scatter: 0.1 };
    close(scoop.round_down(5.0), 4.8, 1e-12);
    assert_eq!((scoop.say(1.2), scoop.say(4.8)), ("1 level scoop".to_owned(), "4 level scoops".to_owned()));
    assert!(scoop.ln_sd(1.2) > scoop.ln_sd(4.8), "scoops average out");
    assert!(syringe.ln_sd(0.4) > syringe.ln_sd(8.0), "a mark matters more in a small amount");
    close(Tool::Scale { mark_g: 0.0 }.smallest(), 0.0, 0.0);
}

#[test]
fn instruments_have_their_errors() {
    let sd: Vec<f64> = PhInstrument::ALL.iter().map(|instrument| instrument.ph_sd()).collect();
    assert_eq!(sd, [0.05, 0.1, 0.3, 0.5]);
    let pen = Meter::default();
    close(pen.ph_sd(), 0.1041, 0.0001);
    assert!(pen.same_ph(6.0, 6.1) && !pen.same_ph(6.0, 6.5));
    // Trade scales: 1 mS/cm is 500, 640 or 700 ppm, CF 10.
    let scales: Vec<f64> = EcScale::ALL.iter().map(|scale| scale.per_ms_cm()).collect();
    assert_eq!(scales, [1.0, 1000.0, 500.0, 640.0, 700.0, 10.0]);
}

#[test]
fn the_level_follows_the_log() {
    let catalog = Catalog::shipped().unwrap();
    let mut unit = catalog.examples[0].unit.clone();
    unit.tank_l = 34.0;
    unit.level_l = 20.0;
    let at = |unit: &mut Unit, entry: LogEntry| {
        unit.record(entry);
        unit.level_l
    };
    close(at(&mut unit, LogEntry::top_up(1, 10.0)), 30.0, 1e-12);
    close(at(&mut unit, LogEntry::Drain { at_s: 2, solution_l: 6.0 }), 24.0, 1e-12);
    close(at(&mut unit, LogEntry::top_up(3, 50.0)), 34.0, 1e-12);
    close(at(&mut unit, LogEntry::Refill { at_s: 4, water_l: 28.0 }), 28.0, 1e-12);
    close(
        at(&mut unit, LogEntry::Reading(Reading { at_s: 5, level_l: Some(26.5), ..Reading::default() })),
        26.5,
        1e-12,
    );
    close(at(&mut unit, LogEntry::Reading(Reading { at_s: 6, ..Reading::default() })), 26.5, 1e-12);
    assert!(at(&mut unit, LogEntry::Drain { at_s: 7, solution_l: 900.0 }) > 0.0);
}
