//! What people type, and the tools they measure with.

use pourcast::garden::*;

use super::{catalog, close, liquid, product};

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
    assert_eq!(with(&|unit| unit.shelf[0].tool = Tool::Scale { mark_g: 0.1 }), ["shelf.0.tool"]);
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
    let drops = Tool::DROPPER;
    close(drops.round_down(0.63), 0.6, 1e-12);
    assert_eq!(drops.say(0.6), "12 drops");
    let scoop = Tool::Scoop { grams: 1.2, scatter: 0.1 };
    close(scoop.round_down(5.0), 4.8, 1e-12);
    assert_eq!((scoop.say(1.2), scoop.say(4.8)), ("1 level scoop".to_owned(), "4 level scoops".to_owned()));
    assert!(scoop.ln_sd(1.2) > scoop.ln_sd(4.8), "scoops average out");
    assert!(syringe.ln_sd(0.4) > syringe.ln_sd(8.0), "a mark matters more in a small amount");
    close(Tool::Scale { mark_g: 0.0 }.smallest(), 0.0, 0.0);
}

/// In a list of what is at hand a tool tells its size or what it resolves.
#[test]
fn tools_in_a_list_tell_their_size() {
    for (tool, name) in [
        (Tool::SYRINGE_10, "10 mL syringe"),
        (Tool::TEASPOON, "teaspoon (5 mL)"),
        (Tool::TABLESPOON, "tablespoon (15 mL)"),
        (Tool::Spoon { capacity_ml: 2.5, scatter: 0.1 }, "2.5 mL spoon"),
        (Tool::Scale { mark_g: 0.01 }, "scale to 0.01 g"),
        (Tool::Jug { capacity_ml: 500.0, mark_ml: 10.0 }, "500 mL jug with 10 mL marks"),
        (Tool::DROPPER, "dropper (20 drops a mL, not counted)"),
        (Tool::Dropper { drops_per_ml: 24.0, counted: true }, "dropper (24 drops a mL, counted)"),
        (Tool::weighed_scoop(10.0, 42.0), "4.2 g scoop"),
    ] {
        assert_eq!(tool.name_with_size(), name);
    }
}

/// Every tool: smallest step, filling, unit, name, words and scatter.
///
/// Spoons and scoops: Falagas 2010, Int. J. Clin. Pract. 64, 1185 (abstract): 71 teaspoons of 25 homes held 2.5 to 7.3 mL; one
/// standard spoon filled by 25 people gave 3.9 to 4.9. Drops: 20 in a millilitre is nominal, 10 to 30 are seen.
#[test]
fn every_tool_has_its_step_words_and_scatter() {
    let counted = Tool::Dropper { drops_per_ml: 24.0, counted: true };
    let jug = Tool::Jug { capacity_ml: 1000.0, mark_ml: 50.0 };
    let scoop = Tool::weighed_scoop(10.0, 42.0);
    let rough = Tool::Scoop { grams: 5.0, scatter: 0.35 };
    let cases = [
        (Tool::SYRINGE_1, 0.05, "1 mL syringe", 0.75, "to the 0.75 mL mark", "mL"),
        (Tool::SYRINGE_10, 0.2, "10 mL syringe", 30.0, "3 times full", "mL"),
        (Tool::DROPPER, 0.05, "dropper", 0.05, "1 drop", "mL"),
        (counted, 1.0 / 24.0, "dropper", 0.5, "12 drops", "mL"),
        (scoop, 4.2, "4.2 g scoop", 12.6, "3 level scoops", "g"),
        (Tool::TEASPOON, 5.0, "teaspoon", 10.0, "2 level teaspoons", "mL"),
        (Tool::TABLESPOON, 15.0, "tablespoon", 15.0, "1 level tablespoon", "mL"),
        (Tool::Scale { mark_g: 0.1 }, 0.1, "scale", 17.2, "17.2 g on the scale", "g"),
        (jug, 50.0, "1000 mL jug", 1250.0, "once full, then to the 250 mL mark", "mL"),
    ];
    for (tool, step, name, amount, words, unit) in cases {
        close(tool.smallest(), step, 1e-12);
        assert_eq!((tool.name().as_str(), tool.say(amount).as_str(), tool.unit()), (name, words, unit));
        close(tool.round_down(amount + 0.4 * step), amount, 1e-9);
        assert!(tool.check().is_empty(), "{tool:?}: {:?}", tool.check());
        assert!(tool.ln_sd(amount) > 0.0 && tool.ln_sd(amount) < 0.5);
    }
    // 2.5 to 7.3 mL, a household's spoons: within three sds of nominal, and not within one.
    let spoon = Tool::TEASPOON.ln_sd(500.0);
    for held_ml in [2.5_f64, 7.3] {
        let off = (held_ml / 4.4).ln().abs() / spoon;
        assert!((1.0..=3.0).contains(&off), "{held_ml} mL is {off} sds off");
    }
    // One spoon or scoop is alike within 10 %, and scoops average out; a spoon's size does not.
    close(scoop.ln_sd(4.2), 0.1, 1e-9);
    assert!(scoop.ln_sd(42.0) < scoop.ln_sd(4.2) && Tool::TEASPOON.ln_sd(500.0) >= Tool::SPOON_LN_SD);
    close(rough.ln_sd(50.0), rough.ln_sd(5.0), 1e-12);
    assert!(counted.ln_sd(0.5) < Tool::DROPPER.ln_sd(0.5), "counted drops are surer");
}

#[test]
fn tools_with_impossible_numbers_are_named_and_unusual_ones_asked_back() {
    for (tool, field) in [
        (Tool::Syringe { capacity_ml: 0.0, mark_ml: 0.1 }, "capacity_ml"),
        (Tool::Syringe { capacity_ml: 1.0, mark_ml: 2.0 }, "mark_ml"),
        (Tool::Dropper { drops_per_ml: 0.0, counted: true }, "drops_per_ml"),
        (Tool::Dropper { drops_per_ml: f64::NAN, counted: true }, "drops_per_ml"),
        (Tool::Scoop { grams: -1.0, scatter: 0.1 }, "grams"),
        (Tool::Spoon { capacity_ml: 5.0, scatter: 2.0 }, "scatter"),
        (Tool::Scale { mark_g: f64::INFINITY }, "mark_g"),
        (Tool::Jug { capacity_ml: 1e9, mark_ml: 1.0 }, "capacity_ml"),
    ] {
        let problems = tool.check();
        let found = problems.iter().find(|problem| problem.field == field).unwrap_or_else(|| panic!("{tool:?}"));
        assert_eq!(found.severity, Severity::Refused, "{found:?}");
        assert!(!found.limit.is_empty() && !found.message.is_empty());
    }
    for drops_per_ml in [5.0, 45.0] {
        let problems = Tool::Dropper { drops_per_ml, counted: true }.check();
        assert!(
            matches!(&problems[..], [one] if one.severity == Severity::Caution && one.message.contains("10 to 30"))
        );
    }
}

/// Common practice, no source: no kitchen spoon for acids and bases. How far spoons are off: Falagas 2010, as above.
#[test]
fn a_spoon_is_refused_for_acids_and_bases_with_the_way_out() {
    let catalog = Catalog::shipped().unwrap();
    for (id, refused) in [("phosphoric-down", true), ("hydroxide-up", true), ("two-part-a", false), ("cal-mag", false)]
    {
        let product = catalog.product(id).unwrap();
        for spoon in [Tool::TEASPOON, Tool::TABLESPOON] {
            let found = check_measure(product, &spoon);
            assert_eq!(found.is_some(), refused, "{id}");
            if let Some(problem) = found {
                assert_eq!(problem.severity, Severity::Refused);
                assert!(
                    problem.message.contains("syringe") && problem.message.contains("drops"),
                    "{}",
                    problem.message
                );
                assert!(problem.message.contains("40 %"), "{}", problem.message);
            }
        }
        for tool in [Tool::SYRINGE_1, Tool::SYRINGE_10, Tool::DROPPER] {
            assert_eq!(check_measure(product, &tool), None, "{id}: {tool:?}");
        }
        // A second tool is looked at as the first one is.
        let mut unit = catalog.examples[0].unit.clone();
        let mut item = ShelfItem::new(ProductRef::Shipped(id.to_owned()), Tool::SYRINGE_10);
        item.also = vec![Tool::TEASPOON];
        unit.shelf = vec![item];
        unit.log.clear();
        let found = unit.check(&catalog);
        assert_eq!(found.iter().any(|problem| problem.field == "shelf.0.tool"), refused, "{id}: {found:?}");
    }
    // Powders: a scale or a weighed scoop, and nothing that measures mL.
    let powder = catalog.product("one-part-powder").unwrap();
    assert!(check_measure(powder, &Tool::TEASPOON).is_some_and(|problem| problem.message.contains("measured in g")));
    assert_eq!(check_measure(powder, &Tool::Scoop { grams: 5.0, scatter: 0.35 }), None);
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

/// 85 % phosphoric acid weighs 1.69 g/mL (CRC Handbook, from memory): at 1.00 g/mL the same strength by mass would be 1.7 times weaker
/// than it is, and the dose as much too large.
#[test]
fn a_density_that_cannot_be_that_of_the_strength_is_refused_or_asked_about() {
    let told = |percent: f64, density: f64| {
        let strength =
            Strength::Acid { acid: AcidKind::Phosphoric, concentration: Concentration::MassPercent(percent) };
        let problems = product(Role::PhDown, liquid(density), strength).check();
        problems.into_iter().find(|problem| problem.field == "form.density_g_ml")
    };
    let problem = told(85.0, 1.0).expect("nobody has such an acid");
    assert_eq!((problem.severity, problem.offers[0].value), (Severity::Refused, 1.69));
    assert!(problem.message.contains("phosphoric acid of 85 % weighs about 1.69 g/mL, not 1"), "{}", problem.message);
    // 24 % weighs 1.14; 1.25 is asked about, what a label rounds is not.
    assert_eq!(told(24.0, 1.25).map(|problem| problem.severity), Some(Severity::Caution));
    assert_eq!(told(24.0, 1.1), None);
    assert_eq!(told(85.0, 1.7), None);
    let base = Strength::Base { base: BaseKind::PotassiumHydroxide, concentration: Concentration::MassPercent(40.0) };
    assert!(product(Role::PhUp, liquid(1.0), base).check().iter().any(|problem| problem.message.contains("1.40 g/mL")));
}
