//! Where pours take a tank: shares, paths, order, air, the rim, and the outline of a spread.
#![expect(clippy::unwrap_used, reason = "a test stops at a broken set-up")]

use pourcast::chem::{Component, Mineral, Totals, log10_pco2_from_ppm};
use pourcast::dose::{Cloud, Landing, Point, Pour, Showing, Tank, Warning, land};
use pourcast::garden::{Catalog, Compensation, SourceWater, WaterKind};
use rand::SeedableRng as _;
use rand_distr::{Distribution as _, StandardNormal};
use rand_pcg::Pcg64Mcg;

const TANK_L: f64 = 34.0;

fn showing() -> Showing {
    Showing::new(21.0, Compensation::LinearPercent(2.0)).unwrap()
}

fn tank_of(kind: WaterKind, litres: f64) -> Tank {
    let catalog = Catalog::shipped().unwrap();
    let water = SourceWater::of_kind(kind).composition(catalog.water(kind).unwrap()).unwrap();
    Tank::of_volume(water.totals, litres, showing().medium())
}

fn pour(id: &str, amount: f64) -> Pour {
    let catalog = Catalog::shipped().unwrap();
    let product = catalog.product(id).unwrap();
    let dissolved = product.dissolved().unwrap();
    Pour {
        id: id.to_owned(),
        name: product.name.clone(),
        moles: dissolved.moles,
        water_g: dissolved.water_g,
        volume_ml: dissolved.volume_ml,
        amount,
        unit: product.form.unit(),
    }
}

fn landed(tank: &Tank, pours: &[Pour]) -> Landing {
    land(tank, pours, &showing(), TANK_L).unwrap()
}

#[test]
fn shares_add_up_and_paths_join() {
    let tank = tank_of(WaterKind::MediumTap, 28.0);
    let pours = [pour("two-part-a", 100.0), pour("two-part-b", 100.0), pour("phosphoric-down", 12.0)];
    let landing = landed(&tank, &pours);
    assert_eq!(landing.shares.len(), 3);
    let mut here = landing.start;
    for share in &landing.shares {
        assert_eq!(share.path.first(), Some(&here), "a path starts where the last one ended");
        here = *share.path.last().unwrap();
    }
    assert_eq!(here, landing.just_mixed);
    let ph: f64 = landing.shares.iter().map(|share| share.ph_change).sum();
    let ec: f64 = landing.shares.iter().map(|share| share.ec_change_ms_cm).sum();
    assert!((landing.start.ph + ph - landing.just_mixed.ph).abs() < 1e-12);
    assert!((landing.start.ec_ms_cm + ec - landing.just_mixed.ec_ms_cm).abs() < 1e-12);
    assert!(landing.shares[0].ec_change_ms_cm > 0.2 && landing.shares[2].ph_change < -0.3, "{landing:?}");
}

#[test]
fn order_changes_paths_and_not_the_landing() {
    let tank = tank_of(WaterKind::HardTap, 20.0);
    let pours = [pour("cal-mag", 30.0), pour("one-part-powder", 18.0), pour("phosphoric-down", 6.0)];
    let there = landed(&tank, &pours);
    let back: Vec<Pour> = pours.iter().rev().cloned().collect();
    let back = landed(&tank, &back);
    assert!((there.just_mixed.ph - back.just_mixed.ph).abs() < 1e-7, "{} {}", there.just_mixed.ph, back.just_mixed.ph);
    assert!((there.just_mixed.ec_ms_cm - back.just_mixed.ec_ms_cm).abs() < 1e-7);
    assert!((there.settled.fresh.ph - back.settled.fresh.ph).abs() < 1e-7);
    assert!(there.shares[0].path != back.shares[2].path);
}

#[test]
fn a_zero_pour_stays_where_it_is() {
    let tank = tank_of(WaterKind::SoftTap, 20.0);
    let landing = landed(&tank, &[pour("phosphoric-down", 0.0)]);
    assert_eq!(landing.just_mixed, landing.start);
    assert_eq!(landing.shares[0].path, vec![landing.start]);
    assert_eq!(landing.tank, tank);
}

/// Acid in water with alkalinity makes carbon dioxide, which leaves: pH settles above where it was just mixed, and higher in
/// fresh air than in a stuffy room. That the settled point is the balance itself is what waiting without end gives.
#[test]
fn air_takes_carbon_dioxide_away() {
    let showing = showing();
    let tank = tank_of(WaterKind::HardTap, 20.0);
    let landing = landed(&tank, &[pour("phosphoric-down", 12.0)]);
    assert!(landing.settled.fresh.ph > landing.just_mixed.ph + 0.3, "{landing:?}");
    assert!(landing.settled.fresh.ph > landing.settled.stuffy.ph);
    let (low, high) = landing.settled.ph_range();
    assert!(low < high && (landing.settled.middle().ph - f64::midpoint(low, high)).abs() < 1e-12);
    let fresh = log10_pco2_from_ppm(420.0);
    let mut before = landing.just_mixed.ph;
    for hours in [0.25, 1.0, 4.0, 12.0, 1000.0] {
        let later = landing.tank.breathed(showing.medium(), fresh, 0.5, hours).unwrap();
        let ph = showing.of(&later.totals).unwrap().ph;
        assert!(ph > before - 1e-9, "pH creeps up: {ph} after {hours} h");
        assert!((later.alkalinity_meq_kg() - landing.tank.alkalinity_meq_kg()).abs() < 1e-9);
        before = ph;
    }
    assert!((before - landing.settled.fresh.ph).abs() < 1e-4, "{before} {}", landing.settled.fresh.ph);
}

/// Mixing by volume: EC of a mixture lies within a few percent of the weighted mean (practice of mixing by volume, Kratky
/// 2015); litres add up.
#[test]
fn waters_mix_by_volume() {
    let showing = showing();
    let strong =
        landed(&tank_of(WaterKind::MediumTap, 10.0), &[pour("two-part-a", 80.0), pour("two-part-b", 80.0)]).tank;
    let water = tank_of(WaterKind::MediumTap, 10.0);
    let ec = |tank: &Tank| showing.of(&tank.totals).unwrap().ec_ms_cm;
    let mixed = strong.mixed(&water);
    let share = strong.water_kg / mixed.water_kg;
    let mean = ec(&strong) * share + ec(&water) * (1.0 - share);
    assert!((ec(&mixed) / mean - 1.0).abs() < 0.04, "{} against {mean}", ec(&mixed));
    let drained = mixed.drained(0.25);
    assert!((drained.water_kg / mixed.water_kg - 0.75).abs() < 1e-12 && drained.totals == mixed.totals);
}

#[test]
fn warnings_say_what_and_how_much() {
    let tank = tank_of(WaterKind::MediumTap, 33.9);
    let over = landed(&tank, &[pour("two-part-a", 400.0)]);
    assert!(over.warnings.iter().any(|w| matches!(w, Warning::OverTheRim { volume_l, .. } if *volume_l > TANK_L)));
    let words: Vec<String> = over.warnings.iter().map(Warning::words).collect();
    assert!(words.iter().any(|w| w.contains("34.0 L")), "{words:?}");
    // Feed ten times too strong in hard water: gypsum or calcium phosphate falls out, and the model says it left its domain.
    let strong = landed(&tank_of(WaterKind::HardTap, 2.0), &[pour("two-part-a", 200.0), pour("two-part-b", 200.0)]);
    assert!(
        strong
            .warnings
            .iter()
            .any(|w| matches!(w, Warning::MayCloud { mineral: Mineral::Gypsum | Mineral::Brushite, .. })),
        "{:?}",
        strong.warnings
    );
    let plain = landed(&tank_of(WaterKind::SoftTap, 28.0), &[pour("two-part-a", 100.0), pour("two-part-b", 100.0)]);
    assert!(plain.warnings.is_empty(), "{:?}", plain.warnings);
}

/// A meter with the usual 2 %/°C shows nearly the same at 15 and at 30 °C; one without compensation does not. The rest is
/// the model's own temperature dependence against the linear rule (USGS National Field Manual 6.3: good to 2 or 3 %).
#[test]
fn a_compensating_meter_shows_nearly_the_same_at_any_temperature() {
    let feed = Totals::from_pairs(&[
        (Component::Ca, 3e-3),
        (Component::K, 5e-3),
        (Component::No3, 10e-3),
        (Component::P, 1e-3),
    ]);
    let shown = |t: f64, compensation| Showing::new(t, compensation).unwrap().of(&feed).unwrap().ec_ms_cm;
    let two = Compensation::LinearPercent(2.0);
    let standard = shown(25.0, Compensation::None);
    for t in [15.0, 20.0, 30.0] {
        assert!((shown(t, two) / standard - 1.0).abs() < 0.03, "{t} °C: {}", shown(t, two) / standard);
        assert!((shown(t, Compensation::Ideal) / standard - 1.0).abs() < 1e-9);
    }
    assert!(shown(15.0, Compensation::None) < 0.85 * standard);
}

/// Outlines about a known spread: of ten thousand fresh members of the same bent spread, 80 and 50 of 100 lie inside.
#[test]
fn outlines_hold_their_share() {
    let mut source = Pcg64Mcg::seed_from_u64(3);
    let mut member = || {
        let (a, b): (f64, f64) = (StandardNormal.sample(&mut source), StandardNormal.sample(&mut source));
        // Bent: EC falls off on both sides, as a cloud does along a titration curve.
        Point { ph: 6.2 + 0.25 * a, ec_ms_cm: 1.5 + 0.05 * b - 0.03 * a * a }
    };
    let members: Vec<Point> = (0..256).map(|_| member()).collect();
    let cloud = Cloud::about(&members);
    for contour in &cloud.contours {
        let inside = (0..10_000).filter(|_| holds(&contour.outline, member())).count() as f64 / 1e4;
        // 256 members put 2.5 points of sampling error on the level; smoothing widens it a little.
        assert!((inside - contour.share).abs() < 0.07, "{} of {}", inside, contour.share);
    }
    assert_eq!(cloud.contours.len(), 2);
    assert_eq!(Cloud::about(&members[..5]), Cloud::default());
}

/// Even-odd rule.
fn holds(outline: &[Point], p: Point) -> bool {
    let mut inside = false;
    for (a, b) in outline.iter().zip(outline.iter().cycle().skip(1)) {
        if (a.ec_ms_cm > p.ec_ms_cm) != (b.ec_ms_cm > p.ec_ms_cm)
            && p.ph < (b.ph - a.ph) * (p.ec_ms_cm - a.ec_ms_cm) / (b.ec_ms_cm - a.ec_ms_cm) + a.ph
        {
            inside = !inside;
        }
    }
    inside
}
