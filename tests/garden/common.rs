//! What several crops on one water have in common. The rule is ours: no source was found that gives one.

use pourcast::garden::common::{LEAST_SHARED_EC_MS_CM, LEAST_SHARED_PH, NARROW_EC_MS_CM, NARROW_PH};
use pourcast::garden::*;
use proptest::prelude::*;

use super::{catalog, close};

/// A crop of a made-up zone.
fn crop(name: &str, ph: (f64, f64), ec_ms_cm: (f64, f64)) -> CropZone {
    let zone = Zone {
        ph,
        ec_ms_cm,
        ec_counts: EcCounts::WithSourceWater,
        why: vec![format!("{name} because.")],
        conflicts: Vec::new(),
        sources: Vec::new(),
    };
    CropZone { crop: name.to_owned(), stage: "growing".to_owned(), zone, ec_in_tank_ms_cm: ec_ms_cm }
}

fn grown(crop_id: &str, stage_id: &str) -> Growing {
    Growing { crop_id: crop_id.to_owned(), stage_id: stage_id.to_owned() }
}

/// The first example with these crops.
fn unit(crops: &[(&str, &str)]) -> Unit {
    let mut unit = catalog().examples[0].unit.clone();
    (unit.crop_id, unit.stage_id) = (crops[0].0.to_owned(), crops[0].1.to_owned());
    unit.also_growing = crops[1..].iter().map(|(crop, stage)| grown(crop, stage)).collect();
    unit
}

fn common(crops: &[(&str, &str)]) -> CommonZone {
    unit(crops).common_zone(&catalog(), 0.38).unwrap()
}

fn words(common: &CommonZone) -> Vec<&str> {
    common.remarks.iter().map(|remark| remark.words.as_str()).collect()
}

#[test]
fn one_crop_keeps_its_own_zone() {
    let catalog = catalog();
    for crop in &catalog.crops {
        for stage in &crop.stages {
            let common = common(&[(&crop.id, &stage.id)]);
            let zone = crop.zone(&stage.id);
            assert_eq!(common.ec_in_tank_ms_cm, zone.ec_in_tank_ms_cm(0.38));
            assert_eq!(common.zone, zone, "{} {}", crop.id, stage.id);
            assert!(common.is_shared && common.remarks.is_empty());
            assert_eq!(common.is_seedling, stage.id == "seedling");
        }
    }
}

/// Zones by the shipped claims: lettuce pH 5.5–6.5, EC 1.2–1.8; tomato pH 6.0–6.5, EC 1.5–2.0, in fruit 2.0–3.0, as
/// checked against their sources in `zones.rs`.
#[test]
fn shipped_crops_share_what_their_sources_share() {
    let catalog = catalog();
    let both = common(&[("lettuce", "growing"), ("tomato", "vegetative")]);
    assert_eq!((both.zone.ph, both.ec_in_tank_ms_cm), ((6.0, 6.5), (1.5, 1.8)));
    assert!(both.is_shared && both.remarks.is_empty(), "{:?}", both.remarks);
    assert_eq!(
        both.crops.iter().map(CropZone::name).collect::<Vec<_>>(),
        ["lettuce, growing", "tomato, before flowers"]
    );
    assert_eq!(both.crops[0].zone, catalog.crop("lettuce").unwrap().zone("growing"), "each keeps its own");
    let why = both.zone.why.join("\n");
    assert!(why.starts_with("Lettuce and tomato share one water"), "{why}");
    assert!(why.contains("EC 1.5 to 1.8 mS/cm") && why.contains("Tomato: "), "{why}");
    assert!(both.zone.conflicts.iter().any(|c| c.words.starts_with("Lettuce: ") && c.words.contains("Oklahoma")));
}

#[test]
fn crops_without_anything_in_common_follow_the_first_and_say_so() {
    let lettuce_first = common(&[("lettuce", "growing"), ("tomato", "fruiting")]);
    assert_eq!(
        words(&lettuce_first),
        ["Lettuce and tomato have no EC in common (1.2–1.8 against 2.0–3.0): the plan follows lettuce"]
    );
    assert_eq!(lettuce_first.ec_in_tank_ms_cm, (1.2, 1.8));
    assert!(!lettuce_first.is_shared);
    let tomato_first = common(&[("tomato", "fruiting"), ("lettuce", "growing")]);
    assert_eq!(
        words(&tomato_first),
        ["Tomato and lettuce have no EC in common (2.0–3.0 against 1.2–1.8): the plan follows tomato"]
    );
    assert_eq!((tomato_first.ec_in_tank_ms_cm, tomato_first.zone.ph), ((2.0, 3.0), lettuce_first.zone.ph));
    // The same crop at two stages is called by them; bands that touch share nothing that one could hit.
    let stages = common(&[("lettuce", "growing"), ("lettuce", "seedling")]);
    assert_eq!(
        words(&stages),
        ["Lettuce (growing) and lettuce (seedling) have no EC in common but 1.2 (1.2–1.8 against 0.6–1.2): the plan \
             follows lettuce (growing)"]
    );
    // Of three, the third is left out where it does not meet what the first two share.
    let three = common(&[("lettuce", "growing"), ("tomato", "vegetative"), ("tomato", "fruiting")]);
    assert_eq!(
        words(&three),
        [
            "Tomato (flowers and fruit) shares no EC with lettuce and tomato (before flowers) (2.0–3.0 against 1.5–1.8): \
             the plan follows lettuce and tomato (before flowers)"
        ]
    );
    assert_eq!(three.ec_in_tank_ms_cm, (1.5, 1.8));
    // A crop that is left out does not bar those behind it, and is told of with what the others come to.
    let behind = common(&[("lettuce", "growing"), ("tomato", "fruiting"), ("tomato", "vegetative")]);
    assert_eq!(behind.ec_in_tank_ms_cm, (1.5, 1.8));
    assert!(
        words(&behind)[0].ends_with(": the plan follows lettuce and tomato (before flowers)"),
        "{:?}",
        words(&behind)
    );
}

#[test]
fn next_to_nothing_in_common_is_used_and_said() {
    let narrow = common_zone(vec![crop("mint", (5.5, 6.0), (1.0, 1.5)), crop("kale", (5.9, 6.5), (1.45, 2.0))]);
    close(narrow.zone.ph.0, 5.9, 0.0);
    close(narrow.zone.ph.1, 6.0, 0.0);
    assert_eq!((narrow.ec_in_tank_ms_cm, narrow.is_shared), ((1.45, 1.5), true));
    assert_eq!(
        words(&narrow),
        [
            "The pH that mint and kale have in common, 5.9–6.0, is narrower than a meter can tell: expect to be outside \
             it now and then",
            "The EC that mint and kale have in common, 1.45–1.5, is narrower than a meter can tell: expect to be outside \
             it now and then"
        ]
    );
    assert_eq!(narrow.remarks[0].quantity, Quantity::Ph);
    // Just wide enough is not worth a word; one crop's own narrow zone is not the others' doing.
    let wide = common_zone(vec![crop("mint", (5.5, 6.0), (1.0, 1.5)), crop("kale", (5.8, 6.5), (1.4, 2.0))]);
    assert!(wide.remarks.is_empty(), "{:?}", wide.remarks);
    assert!(common_zone(vec![crop("mint", (5.9, 6.0), (1.0, 1.02))]).remarks.is_empty());
}

/// A band above the source water counts with the water in it, as the meter does.
#[test]
fn bands_are_compared_as_the_meter_shows_them() {
    let mut shop = catalog();
    for claim in shop.crops.iter_mut().filter(|crop| crop.id == "lettuce").flat_map(|crop| &mut crop.claims) {
        claim.ec_counts = EcCounts::AboveSourceWater;
    }
    let unit = unit(&[("lettuce", "growing"), ("tomato", "fruiting")]);
    // 1.2–1.8 on top of 0.6 is 1.8–2.4, and tomato asks for 2.0–3.0.
    let (low, high) = unit.common_zone(&shop, 0.6).unwrap().ec_in_tank_ms_cm;
    close(low, 2.0, 1e-12);
    close(high, 2.4, 1e-12);
    let zone = unit.common_zone(&shop, 0.6).unwrap().zone;
    assert_eq!((zone.ec_counts, zone.ec_in_tank_ms_cm(0.6)), (EcCounts::WithSourceWater, (low, high)));
    assert!(!unit.common_zone(&shop, 0.1).unwrap().is_shared);
}

#[test]
fn a_band_of_ones_own_leads_all_crops() {
    let mut unit = unit(&[("lettuce", "growing"), ("tomato", "fruiting")]);
    unit.own_band = Some(OwnBand { ph: None, ec_ms_cm: Some((1.7, 2.1)) });
    let common = unit.common_zone(&catalog(), 0.38).unwrap();
    assert_eq!(common.ec_in_tank_ms_cm, (1.7, 2.1));
    assert!(common.is_own && common.remarks.is_empty(), "nothing follows lettuce: {:?}", common.remarks);
    unit.own_band = Some(OwnBand { ph: Some((5.8, 6.2)), ec_ms_cm: None });
    let common = unit.common_zone(&catalog(), 0.38).unwrap();
    assert_eq!((common.zone.ph, common.ec_in_tank_ms_cm), ((5.8, 6.2), (1.2, 1.8)));
    assert_eq!(common.remarks.len(), 1, "the EC still follows lettuce");
}

#[test]
fn one_seedling_among_them_counts() {
    assert!(common(&[("lettuce", "growing"), ("basil", "seedling")]).is_seedling);
    assert!(common(&[("basil", "seedling"), ("lettuce", "growing")]).is_seedling);
    assert!(!common(&[("basil", "growing"), ("lettuce", "growing")]).is_seedling);
    let unknown = unit(&[("lettuce", "growing"), ("moon", "growing")]).common_zone(&catalog(), 0.0).unwrap_err();
    assert_eq!(unknown.to_string(), "the crop \"moon\" is not in the catalog");
}

#[test]
fn the_check_names_every_problem_of_the_list() {
    let catalog = catalog();
    let found = |crops: &[(&str, &str)]| {
        let problems = unit(crops).check(&catalog);
        problems.into_iter().map(|problem| (problem.field, problem.message)).collect::<Vec<_>>()
    };
    let told = |field: &str, message: &str| vec![(field.to_owned(), message.to_owned())];
    assert_eq!(found(&[("lettuce", "growing"), ("basil", "growing"), ("basil", "seedling")]), []);
    assert_eq!(
        found(&[("lettuce", "growing"), ("moon", "growing")]),
        told("also_growing.0.crop_id", "the crop `moon` is not in the catalog")
    );
    assert_eq!(
        found(&[("lettuce", "growing"), ("basil", "growing"), ("mint", "fruiting")]),
        told("also_growing.1.stage_id", "Mint has no stage `fruiting`: it has seedling, growing")
    );
    let twice = "Lettuce (growing) stands twice in the list of what grows";
    assert_eq!(found(&[("lettuce", "growing"), ("lettuce", "growing")]), told("also_growing.0", twice));
    assert_eq!(
        found(&[("basil", "growing"), ("lettuce", "growing"), ("lettuce", "growing")]),
        told("also_growing.1", twice)
    );
    let many = [("lettuce", "growing"); MOST_CROPS + 1];
    assert_eq!(found(&many), told("also_growing", "7 crops grow on this unit; it must be at most 6"));
}

#[test]
fn the_list_is_changed_without_doubles() {
    let catalog = catalog();
    let of = |id: &str| catalog.crop(id).unwrap();
    let mut unit = unit(&[("lettuce", "growing")]);
    assert!(unit.add_crop(of("basil")) && unit.add_crop(of("lettuce")));
    assert_eq!(unit.also_growing, [grown("basil", "growing"), grown("lettuce", "seedling")], "another stage is left");
    assert!(!unit.add_crop(of("lettuce")), "no stage is left");
    assert_eq!(unit.stage_for(of("tomato"), "growing", 1), Some("fruiting".to_owned()), "the latest that it has");
    assert!(!unit.set_stage(2, "growing") && !unit.set_stage(9, "growing"));
    assert!(unit.set_crop(2, of("basil")), "the seedling is another than the grown one");
    assert_eq!(unit.also_growing, [grown("basil", "growing"), grown("basil", "seedling")]);
    assert!(!unit.set_crop(0, of("basil")), "both of its stages are there");
    assert!(unit.set_crop(0, of("tomato")));
    assert_eq!((unit.crop_id.as_str(), unit.stage_id.as_str()), ("tomato", "fruiting"));
    assert!(!unit.remove_crop(0) && !unit.remove_crop(3) && unit.remove_crop(1));
    assert_eq!(unit.growing(), [grown("tomato", "fruiting"), grown("basil", "seedling")]);
    for id in ["mint", "kale", "spinach", "parsley"] {
        assert!(unit.add_crop(of(id)));
    }
    assert!(!unit.add_crop(of("chives")), "six are all that fit");
    assert_eq!(unit.check(&catalog), []);
}

fn band(low: f64, high: f64) -> impl Strategy<Value = (f64, f64)> {
    // Edges of published bands have hundredths at the most.
    let hundredths = |value: f64| (value * 100.0).round() / 100.0;
    (low..high, 0.05..(high - low)).prop_map(move |(from, width)| (hundredths(from), hundredths(from + width)))
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 2000, ..ProptestConfig::default() })]

    /// The zone in common lies within each crop's own where all have a share in it, and then no order changes it; where
    /// one has none, the first crop's zone holds it all the same.
    #[test]
    fn what_is_shared_lies_within_each(
        bands in prop::collection::vec((band(5.0, 7.0), band(0.5, 3.5)), 1..=6),
        turn in 0..6_usize,
    ) {
        let crops: Vec<CropZone> = bands.iter().enumerate().map(|(i, (ph, ec))| crop(&format!("crop {i}"), *ph, *ec)).collect();
        let common = common_zone(crops.clone());
        let within = |inner: (f64, f64), outer: (f64, f64)| inner.0 >= outer.0 && inner.1 <= outer.1;
        let (ph, ec) = (common.zone.ph, common.ec_in_tank_ms_cm);
        prop_assert!(ph.1 - ph.0 >= LEAST_SHARED_PH - 1e-6 && ec.1 - ec.0 >= LEAST_SHARED_EC_MS_CM - 1e-6);
        prop_assert!(within(ph, crops[0].zone.ph) && within(ec, crops[0].ec_in_tank_ms_cm));
        // The greatest low and the least high edge: what all share, if anything.
        let all = |of: fn(&CropZone) -> (f64, f64)| {
            crops.iter().map(of).fold((0.0_f64, 99.0_f64), |both, band| (both.0.max(band.0), both.1.min(band.1)))
        };
        let (all_ph, all_ec) = (all(|crop| crop.zone.ph), all(|crop| crop.ec_in_tank_ms_cm));
        let share = |band: (f64, f64), least: f64| band.1 - band.0 >= least - 1e-9;
        let shared = share(all_ph, LEAST_SHARED_PH) && share(all_ec, LEAST_SHARED_EC_MS_CM);
        prop_assert_eq!(common.is_shared, shared);
        let no_common = common.remarks.iter().any(|remark| remark.words.contains("the plan follows"));
        prop_assert_eq!(no_common, !shared, "said when, and only when, a crop is left out: {:?}", common.remarks);
        if shared {
            prop_assert_eq!((ph, ec), (all_ph, all_ec));
            let mut turned = crops.clone();
            turned.rotate_left(turn % crops.len());
            let other = common_zone(turned);
            prop_assert_eq!((other.zone.ph, other.ec_in_tank_ms_cm), (ph, ec));
            let narrow = crops.len() > 1
                && (all_ph.1 - all_ph.0 < NARROW_PH - 1e-9 || all_ec.1 - all_ec.0 < NARROW_EC_MS_CM - 1e-9);
            prop_assert_eq!(!common.remarks.is_empty(), narrow);
        }
    }
}

/// On another scale than mS/cm no bare figure stands for an EC.
#[test]
fn what_crops_do_not_share_is_told_on_the_meters_scale() {
    let mut both = unit(&[("lettuce", "growing"), ("tomato", "fruiting")]);
    let of = |unit: &Unit| unit.common_zone(&catalog(), 0.38).unwrap();
    let plain = of(&both);
    both.meter.ec_scale = pourcast::units::EcScale::Ppm500;
    let told = of(&both);
    assert_eq!((told.zone.ec_ms_cm, told.ec_in_tank_ms_cm), (plain.zone.ec_ms_cm, plain.ec_in_tank_ms_cm));
    let of_ec = |zone: &CommonZone| {
        let remarks = zone.remarks.iter().filter(|remark| remark.quantity == pourcast::garden::zone::Quantity::Ec);
        remarks.map(|remark| remark.words.clone()).collect::<Vec<_>>().join(" ")
    };
    assert!(of_ec(&plain).contains("(1.2–1.8 against 2.0–3.0)"), "{}", of_ec(&plain));
    assert!(of_ec(&told).contains("(600–900 against 1000–1500 ppm (500))"), "{}", of_ec(&told));
    assert!(told.zone.why[0].contains("EC 600 to 900 ppm (500)"), "{:?}", told.zone.why);
}
