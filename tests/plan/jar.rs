//! The jar test: when it is offered, how it is made, and that it finds the dose.

use pourcast::chem::{Carbon, Component, Medium, Totals};
use pourcast::garden::{Evidence, Form, JarPoint, JarTest, Role, Strength};
use pourcast::plan::{JarGuide, JarNext};

use super::*;

fn unlabelled_acid() -> Product {
    Product {
        id: "down".to_owned(),
        name: "pH-lowering liquid without a label".to_owned(),
        role: Role::PhDown,
        form: Form::Liquid { density_g_ml: None },
        strength: Strength::UNKNOWN_ACID,
        label_rate: None,
        partner: None,
        cautions: vec!["Goggles and gloves.".to_owned()],
        source: "a test".to_owned(),
        evidence: Evidence::Ours,
        note: None,
    }
}

/// Fed water that has stood since yesterday, and an acid that says nothing of itself.
fn doubtful(tool: Tool) -> Unit {
    let mut unit = unit();
    unit.shelf[2] = own(unlabelled_acid(), tool);
    unit.log = vec![LogEntry::Refill { at_s: NOW_S - 86_400, water_l: 20.0 }];
    read(unit, Some(7.4), Some(1.5))
}

fn planner(unit: &Unit) -> Planner {
    Planner::new(unit, &catalog(), NOW_S, SEED).unwrap()
}

#[test]
fn an_unlabelled_acid_gets_the_offer_and_a_labelled_one_does_not() {
    let offered = plan(&doubtful(Tool::SYRINGE_10));
    let step = &offered.steps[0];
    let offer = step.jar.as_ref().unwrap_or_else(|| panic!("{}", told(&doubtful(Tool::SYRINGE_10), &offered)));
    // The rule: a wide range of the need, and a safe pour that is a small part of it. The pour stays the answer.
    let (low, high) = step.likely_total.unwrap();
    println!("  pour {} of {low:.2} to {high:.2}", pour(step).amount);
    assert!(high / low > 2.2 && pour(step).amount < 0.6 * (low * high).sqrt());
    assert!(step.expect.unwrap().ph.1 > 6.5, "a reading would be spent on the safe pour");
    assert_eq!(offer.product_id, "down");
    assert!(offer.steps.iter().any(|words| words.contains("Read pH in the jar before")), "{:?}", offer.steps);
    assert!(offer.steps.iter().any(|words| words.contains("Goggles and gloves")));
    assert!(offer.steps.iter().any(|words| words.contains("not poured back")));
    assert!(offer.cautions.iter().any(|words| words.contains("Goggles")));

    let known = plan(&read(unit(), Some(7.4), Some(1.5)));
    assert!(pour(&known.steps[0]).id.contains("down") && known.steps[0].jar.is_none(), "{known:?}");
    // What is in the log already is not asked for again; after two days it is.
    for (hours, expected) in [(1, false), (47, false), (49, true)] {
        let mut tested = doubtful(Tool::SYRINGE_10);
        let points = vec![JarPoint { amount: 0.0, ph: 7.4 }, JarPoint { amount: 0.2, ph: 6.1 }];
        let test = JarTest { at_s: NOW_S - 3600 * hours, product_id: "down".to_owned(), water_l: 1.0, points };
        tested.log.insert(1, LogEntry::JarTest(test));
        if let Action::Pour(_) = plan(&tested).steps[0].action {
            assert_eq!(plan(&tested).steps[0].jar.is_some(), expected, "{hours} h");
        }
    }
}

/// What a true jar shows: water of the tank with an acid of a true strength.
struct World {
    water: Totals,
    mmol_per_ml: f64,
}

impl World {
    /// Fed medium water with so much alkalinity left, at a pH.
    fn new(alkalinity_meq_l: f64, ph: f64, mmol_per_ml: f64) -> Self {
        let salts = Totals::from_pairs(&[
            (Component::K, 4e-3),
            (Component::Ca, 2.5e-3),
            (Component::No3, 9e-3 - alkalinity_meq_l / 1e3 - 3e-4),
            (Component::P, 3e-4),
        ]);
        let carbon = pourcast::chem::carbon_for_ph(Medium::standard(), &salts, ph).unwrap();
        Self { water: salts.with(Component::C, carbon), mmol_per_ml }
    }

    fn ph(&self, water_l: f64, ml: f64) -> f64 {
        let acid = Totals::from_pairs(&[(Component::P, self.mmol_per_ml * ml / 1e3 / water_l)]);
        let mixed = self.water.plus_scaled(&acid, 1.0);
        Medium::standard().solve(&mixed, Carbon::Kept).unwrap().ph()
    }

    /// Follows the guide to its end.
    fn test(&self, planner: &Planner, guide: &JarGuide) -> Vec<JarPoint> {
        let mut points: Vec<JarPoint> = Vec::new();
        for _ in 0..20 {
            let amount = match planner.jar_next(guide, &points) {
                JarNext::ReadFirst => 0.0,
                JarNext::Add { total, more, expect_ph } => {
                    assert!(more > 0.0 && expect_ph.0 <= expect_ph.1 && total.is_finite(), "{more} {expect_ph:?}");
                    total
                }
                JarNext::Enough => return points,
            };
            // A pen shows a tenth.
            let ph = (self.ph(guide.water_l, amount) * 10.0).round() / 10.0;
            points.push(JarPoint { amount, ph });
        }
        panic!("no end: {points:?}");
    }
}

/// Strengths of a third to three times the guess and alkalinities from soft to hard: the test ends after a few readings, near
/// the aim or past it, and rarely far past.
#[test]
fn a_jar_test_comes_to_its_end_in_a_few_readings() {
    for tool in [Tool::SYRINGE_10, Tool::SYRINGE_1, Tool::Dropper { drops_per_ml: 24.0, counted: true }] {
        let unit = doubtful(tool);
        let planner = planner(&unit);
        let guide = planner.jar("down").unwrap();
        assert!((guide.counted(guide.amount(7.0)) - 7.0).abs() < 1e-9);
        let (mut readings, mut low) = (Vec::new(), Vec::new());
        for mmol_per_ml in [0.83, 2.5, 7.5] {
            for alkalinity in [0.4, 1.2, 2.5] {
                let points = World::new(alkalinity, 7.4, mmol_per_ml).test(&planner, &guide);
                let last = points.last().unwrap();
                println!(
                    "  {}: {mmol_per_ml} mmol/mL, {alkalinity} meq/L: {} readings, {last:?}",
                    tool.name(),
                    points.len()
                );
                assert!(points.windows(2).all(|two| two[1].amount > two[0].amount), "{points:?}");
                // Amounts are ones that a hand can measure: whole marks of the tool, as it is diluted.
                for point in &points {
                    let marks = point.amount / guide.measured.mark();
                    assert!((marks - marks.round()).abs() < 1e-6, "{point:?}");
                }
                let test =
                    JarTest { at_s: 0, product_id: "down".to_owned(), water_l: guide.water_l, points: points.clone() };
                assert_eq!(test.check(), []);
                readings.push(points.len());
                low.push(last.ph);
            }
        }
        let mean = readings.iter().sum::<usize>() as f64 / readings.len() as f64;
        println!(
            "  {}: {mean:.1} readings on average, lowest pH {:.1}",
            tool.name(),
            low.iter().copied().fold(14.0, f64::min)
        );
        assert!(mean <= 5.0 && readings.iter().all(|n| *n <= 8), "{readings:?}");
        assert!(low.iter().all(|ph| *ph > 2.5 && *ph <= guide.aim_ph + 0.2), "{low:?}");
    }
}

#[test]
fn the_words_of_a_jar_test_say_what_is_meant() {
    let unit = doubtful(Tool::Dropper { drops_per_ml: 24.0, counted: true });
    let planner = planner(&unit);
    let guide = planner.jar("down").unwrap();
    let first = planner.jar_next(&guide, &[]);
    assert_eq!(first, JarNext::ReadFirst);
    let next = planner.jar_next(&guide, &[JarPoint { amount: 0.0, ph: 7.4 }]);
    let JarNext::Add { total, more, .. } = &next else { panic!("{next:?}") };
    assert!((total - more).abs() < 1e-12, "the first is all there is");
    let words = guide.next_words(&next);
    assert!(words.starts_with(&format!("Add {} ", guide.counted(*more))) && words.contains("drop"), "{words}");
    assert!(!words.contains("in all"), "{words}");
    let later = planner.jar_next(&guide, &[JarPoint { amount: 0.0, ph: 7.4 }, JarPoint { amount: *total, ph: 7.2 }]);
    assert!(guide.next_words(&later).contains("in all"), "{}", guide.next_words(&later));
    let near = [JarPoint { amount: 0.0, ph: 7.4 }, JarPoint { amount: *total, ph: 6.1 }];
    assert_eq!(planner.jar_next(&guide, &near), JarNext::Enough);
    let past = [JarPoint { amount: 0.0, ph: 7.4 }, JarPoint { amount: *total, ph: 4.1 }];
    assert_eq!(planner.jar_next(&guide, &past), JarNext::Enough);
    // The same story bit for bit.
    assert_eq!(planner.jar_next(&guide, &near[..1]), next);
}

#[test]
fn a_jar_takes_no_more_than_a_small_part_of_the_tank() {
    for (tank_l, water_l) in [(4.0, 0.25), (10.0, 0.5), (60.0, 1.0)] {
        let mut unit = doubtful(Tool::SYRINGE_10);
        (unit.tank_l, unit.level_l) = (tank_l, tank_l);
        unit.log[0] = LogEntry::Refill { at_s: NOW_S - 86_400, water_l: tank_l };
        let guide = planner(&unit).jar("down").unwrap();
        assert!((guide.water_l - water_l).abs() < 1e-12, "{tank_l} L");
    }
    let planner = planner(&doubtful(Tool::SYRINGE_10));
    assert_eq!(planner.jar("two-part-a"), None, "a feed is no matter for a jar");
    assert_eq!(planner.jar("nobody-knows"), None);
    for water_l in [0.0, -1.0, 6.0, f64::NAN] {
        assert_eq!(planner.jar_with("down", water_l), None, "{water_l}");
    }
}
