//! Two waters in one jug.

use pourcast::chem::{Carbon, Component};
use pourcast::garden::*;

use super::{catalog, close, ec_and_ph};

fn hard() -> SourceWater {
    SourceWater {
        ec_ms_cm: Some(0.65),
        alkalinity_meq_l: Some(4.0),
        hardness_mg_caco3_l: Some(260.0),
        ..SourceWater::of_kind(WaterKind::HardTap)
    }
}

fn rain() -> SourceWater {
    SourceWater { ec_ms_cm: Some(0.06), alkalinity_meq_l: Some(0.1), ..SourceWater::of_kind(WaterKind::Rain) }
}

fn mix(first: &SourceWater, share: f64, other: &SourceWater) -> SourceWater {
    SourceWater { blend: Some(Blend::of(share, *other)), ..*first }
}

/// Volume-weighted: E = (V1 E1 + V2 E2) / (V1 + V2) holds for EC to a few percent and for alkalinity, hardness and every ion
/// exactly; pH follows from them. Common practice, no source; exact by conservation of mass.
#[test]
fn a_mix_is_made_by_volume() {
    let catalog = catalog();
    let known = mix(&hard(), 0.6, &rain()).known(&catalog).unwrap();
    let [one, other] = [hard(), rain()].map(|water| water.known(&catalog).unwrap().composition);
    for (component, mol) in known.composition.totals.iter() {
        close(mol, 0.4 * one.totals[component] + 0.6 * other.totals[component], 1e-15);
    }
    close(known.composition.alkalinity_meq_l, 0.4 * 4.0 + 0.6 * 0.1, 1e-9);
    close(known.hardness_meq_l.unwrap() * 50.04, 0.4 * 260.0 + 0.6 * 100_086.0 * other.totals.hardness(), 0.2);
    close(known.ec_read_ms_cm.unwrap(), 0.4 * 0.65 + 0.6 * 0.06, 1e-12);
    // Thinner water carries its ions a little better.
    let by_volume = 0.4 * one.ec_ms_cm + 0.6 * other.ec_ms_cm;
    assert!(known.composition.ec_ms_cm > by_volume && known.composition.ec_ms_cm < 1.05 * by_volume);
    let (ec, ph) = ec_and_ph(&known.composition.totals, Carbon::Kept);
    close(known.composition.ec_ms_cm, ec, 1e-12);
    close(known.composition.ph, ph, 1e-9);
    assert!(known.is_alkalinity_told && known.is_mix && known.ph_read.is_none());
    assert_eq!(mix(&hard(), 0.6, &rain()).words(&catalog), "hard tap water with 60 % rain water");
    assert_eq!(known.profile.name, "Hard tap water with 60 % rain water");
}

#[test]
fn nothing_mixed_in_and_nothing_left_are_the_one_water() {
    let catalog = catalog();
    let [alone, other] = [hard(), rain()].map(|water| water.known(&catalog).unwrap());
    for (share, expected) in [(0.0, &alone), (1.0, &other)] {
        let found = mix(&hard(), share, &rain()).known(&catalog).unwrap();
        for (component, mol) in found.composition.totals.iter() {
            close(mol, expected.composition.totals[component], 1e-15);
        }
        close(found.alkalinity_meq_l.median, expected.alkalinity_meq_l.median, 1e-9);
        close(found.alkalinity_meq_l.ln_sd, expected.alkalinity_meq_l.ln_sd, 1e-9);
        close(found.composition.log10_pco2, expected.composition.log10_pco2, 1e-6);
        let (pattern, own) = (found.profile.other_anions_meq_l.value, expected.profile.other_anions_meq_l.value);
        close(pattern.median, own.median, 1e-9);
    }
}

/// Fenton 1960: the log-normal with the mean and the variance of the sum. Both worked out here by adding up the two densities
/// on a grid, a slow second way.
#[test]
fn a_sum_of_beliefs_has_their_mean_and_variance() {
    const STEPS: i32 = 400;
    let parts = [(0.4, LnPrior { median: 4.0, ln_sd: 0.55 }), (0.6, LnPrior { median: 0.06, ln_sd: 1.35 })];
    let found = LnPrior::sum(parts);
    let z_of = |i: i32| 10.0 * f64::from(i) / f64::from(STEPS);
    let (mut all, mut mean, mut square) = (0.0, 0.0, 0.0);
    for i in -STEPS..=STEPS {
        for j in -STEPS..=STEPS {
            let (z, w) = (z_of(i), z_of(j));
            let density = (-(z * z + w * w) / 2.0).exp();
            let sum = parts[0].0 * parts[0].1.at(z) + parts[1].0 * parts[1].1.at(w);
            (all, mean, square) = (all + density, mean + density * sum, square + density * sum * sum);
        }
    }
    let (mean, square) = (mean / all, square / all);
    let own_mean = found.median * (found.ln_sd.powi(2) / 2.0).exp();
    close(own_mean / mean, 1.0, 1e-4);
    close(own_mean.powi(2) * found.ln_sd.powi(2).exp() / square, 1.0, 1e-4);
    // One alone is itself, and a sum of two alike is known better than either.
    let one = LnPrior { median: 2.0, ln_sd: 0.6 };
    let same = LnPrior::sum([(1.0, one), (0.0, one)]);
    close(same.median, 2.0, 1e-12);
    close(same.ln_sd, 0.6, 1e-12);
    assert!(LnPrior::sum([(0.5, one), (0.5, one)]).ln_sd < 0.5);
}

#[test]
fn what_is_known_of_a_mix() {
    let catalog = catalog();
    // Tap water by a drop kit, rain by its kind: the rain is so little that the mix counts as told.
    let plain_rain = SourceWater::of_kind(WaterKind::Rain);
    let tap = mix(&hard(), 0.6, &plain_rain).known(&catalog).unwrap();
    assert!(tap.is_alkalinity_told && tap.ec_read_ms_cm.is_some() && tap.hardness_meq_l.is_some());
    assert!(tap.alkalinity_meq_l.ln_sd < 0.2, "{:?}", tap.alkalinity_meq_l);
    // The other way round it does not: nobody told the tap water.
    let unknown = mix(&rain(), 0.4, &SourceWater::of_kind(WaterKind::HardTap)).known(&catalog).unwrap();
    assert!(!unknown.is_alkalinity_told && unknown.ec_read_ms_cm.is_none() && unknown.hardness_meq_l.is_none());
    assert!(unknown.alkalinity_meq_l.ln_sd > 0.4, "{:?}", unknown.alkalinity_meq_l);
    // Both describe about the same water.
    close(unknown.alkalinity_meq_l.median / tap.alkalinity_meq_l.median, 1.0, 0.15);
    // A report of the tap water fixes the mix's ions, but for next to nothing.
    let report = WaterReport {
        ca_mg_l: Some(60.12),
        mg_mg_l: Some(12.15),
        na_mg_l: Some(22.99),
        cl_mg_l: Some(24.82),
        so4_mg_l: Some(57.63),
        no3_mg_l: Some(43.4),
        hco3_mg_l: Some(146.44),
        ..WaterReport::default()
    };
    let reported = SourceWater { report: Some(report), ..SourceWater::of_kind(WaterKind::HardTap) };
    let fixed = mix(&reported, 0.5, &SourceWater::of_kind(WaterKind::ReverseOsmosis)).known(&catalog).unwrap();
    let ions = fixed.report_ions.unwrap();
    close(ions[Component::Ca] * 40_078.0, 30.06, 0.6);
    close(ions[Component::C], 0.0, 0.0);
    // The shares of every mix make sense, and each value says where it comes from.
    for first in WaterKind::ALL {
        for other in WaterKind::ALL {
            let known = mix(&SourceWater::of_kind(first), 0.3, &SourceWater::of_kind(other)).known(&catalog).unwrap();
            let shares = known.profile.pattern.value;
            close(shares.cl_share + shares.so4_share + shares.no3_share, 1.0, 1e-9);
            assert!((0.0..=1.0).contains(&shares.hardness_share) && (0.0..=1.0).contains(&shares.mg_of_hardness));
            assert!(known.profile.log10_pco2_fresh.value.sd > 0.05, "{first:?} {other:?}");
            assert!(known.profile.sources().iter().all(|source| source.source.contains("Fenton 1960")));
            assert!(known.composition.totals.is_physical() && known.composition.log10_pco2.is_finite());
        }
    }
}

#[test]
fn a_mix_is_refused_by_field() {
    let catalog = catalog();
    for (share, offered) in [(-0.1, None), (1.2, Some(0.012)), (60.0, Some(0.6)), (f64::NAN, None)] {
        let water = mix(&hard(), share, &rain());
        let problems = water.check();
        assert_eq!(problems.len(), 1, "{problems:?}");
        assert_eq!((problems[0].field.as_str(), problems[0].limit.as_str()), ("blend.share", "0 to 1"));
        assert_eq!(problems[0].offers.first().map(|fix| fix.value), offered);
        assert!(matches!(water.known(&catalog), Err(WaterError::Field(problem)) if problem.field == "blend.share"));
    }
    let bad = mix(&hard(), 0.5, &SourceWater { ec_ms_cm: Some(9.0), ..rain() });
    assert_eq!(bad.check()[0].field, "blend.ec_ms_cm");
    assert!(matches!(bad.known(&catalog), Err(WaterError::Field(problem)) if problem.field == "blend.ec_ms_cm"));
    // What contradicts itself in either water is told of it.
    let odd = mix(&hard(), 0.5, &SourceWater { alkalinity_meq_l: Some(9.0), ..rain() });
    assert!(matches!(odd.known(&catalog), Err(WaterError::AlkalinityAboveEc { .. })));
    // Three waters are not mixed: a blend has no place for one, in a file neither.
    assert_eq!(Blend::of(0.3, mix(&rain(), 0.5, &hard())), Blend::of(0.3, rain()));
    let text = "(kind: Rain, blend: Some((share: 0.3, kind: HardTap, blend: Some((share: 0.5, kind: Rain)))))";
    let error = ron::from_str::<SourceWater>(text).unwrap_err().to_string();
    assert!(error.contains("blend"), "{error}");
    let water = mix(&hard(), 0.6, &rain());
    let text = ron::to_string(&water).unwrap();
    assert_eq!(ron::from_str::<SourceWater>(&text).unwrap(), water);
    assert!(!ron::to_string(&hard()).unwrap().contains("blend"), "what is not there is not written");
}
