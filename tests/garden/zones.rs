//! Crops and their working zones.

use pourcast::garden::zone::{GREATEST_EC_WIDTH_MS_CM, LEAST_EC_WIDTH_MS_CM, LEAST_PH_WIDTH, PH_CEILING, PH_FLOOR};
use pourcast::garden::*;

use pourcast::units::EcScale;

use super::{catalog, close};

#[test]
fn every_zone_keeps_the_rule() {
    let catalog = catalog();
    assert_eq!(catalog.crops.len(), 63);
    let mut zones = 0;
    for crop in &catalog.crops {
        for stage in &crop.stages {
            let zone = crop.zone(&stage.id);
            let name = format!("{} {}", crop.id, stage.id);
            assert!(zone.ph.1 - zone.ph.0 >= LEAST_PH_WIDTH - 1e-9, "{name}");
            assert!(zone.ph.0 >= PH_FLOOR - 1e-9 && zone.ph.1 <= PH_CEILING + 1e-9, "{name}");
            let width = zone.ec_ms_cm.1 - zone.ec_ms_cm.0;
            assert!((LEAST_EC_WIDTH_MS_CM - 1e-9..=GREATEST_EC_WIDTH_MS_CM + 1e-9).contains(&width), "{name}");
            assert!(zone.ec_ms_cm.0 > 0.0, "{name}");
            assert!(!zone.why.is_empty() && !zone.sources.is_empty(), "{name}");
            assert!(zone.sources.iter().all(|source| !source.source.trim().is_empty()), "{name}");
            assert!(zone.why.iter().any(|why| why.contains("source water")), "{name} says whether EC counts the water");
            zones += 1;
        }
    }
    assert_eq!(zones, 140);
}

#[test]
fn zones_of_the_disputed_crops() {
    let catalog = catalog();
    let zone = |id: &str, stage: &str| catalog.crop(id).unwrap().zone(stage);
    let disputed = |zone: &Zone, quantity: Quantity, who: &str| {
        zone.conflicts.iter().any(|c| c.quantity == quantity && c.source.source.contains(who) && !c.words.is_empty())
    };
    // Cornell 5.5 to 6.0 and OSU HLA-6722 6.0 to 7.0 meet: joined, then kept under 6.5. Both stay on show.
    let lettuce = zone("lettuce", "growing");
    assert_eq!((lettuce.ph, lettuce.ec_ms_cm), ((5.5, 6.5), (1.2, 1.8)));
    assert!(disputed(&lettuce, Quantity::Ph, "Oklahoma"));
    // University of Arizona at most 1.0 against OSU 1.8 to 2.2: not averaged, and the limit stays a limit.
    let strawberry = zone("strawberry", "fruiting");
    assert_eq!(strawberry.ec_ms_cm, (0.6, 1.0));
    assert!(disputed(&strawberry, Quantity::Ec, "Oklahoma"));
    // OSU 5.0 to 5.5 alone does not break the floor.
    let cucumber = zone("cucumber", "fruiting");
    assert_eq!(cucumber.ph, (5.5, 6.0));
    assert!(disputed(&cucumber, Quantity::Ec, "recalled"));
    // OSU single pH 7.0.
    assert_eq!(zone("pak-choi", "growing").ph, (6.0, 6.5));
    // OSU 2.0 to 4.0: the weaker part.
    assert_eq!(zone("tomato", "fruiting").ec_ms_cm, (2.0, 3.0));
    assert_eq!(zone("tomato", "vegetative").ec_ms_cm, (1.5, 2.0));
    assert!(disputed(&zone("pepper", "fruiting"), Quantity::Ec, "recalled"));
}

#[test]
fn seedlings_of_any_crop() {
    // Common practice, no source: pH 5.8 to 6.0; from memory: EC 0.6 to 1.2, half strength.
    for crop in &catalog().crops {
        let zone = crop.zone("seedling");
        if crop.id == "microgreens" {
            // Recalled: 0.5 to 1.2, and nothing but seedlings all their life.
            assert_eq!((zone.ph, zone.ec_ms_cm, crop.stages.len()), ((5.65, 6.15), (0.5, 1.2), 1));
            continue;
        }
        let claim =
            crop.claims.iter().find(|claim| claim.stage == "seedling" && claim.ph == Some(Band::Span(5.8, 6.0)));
        assert_eq!(claim.unwrap().evidence, Evidence::Practice);
        assert_eq!((zone.ph, zone.ec_ms_cm), ((5.65, 6.15), (0.6, 1.2)), "{}", crop.id);
        assert!(zone.why.iter().any(|why| why.contains("5.8 to 6.0")), "the published band stays on show");
    }
}

#[test]
fn two_published_claims_move_the_floor_and_ec_can_come_on_top() {
    let claim = |ph: Band, source: &str| BandClaim {
        stage: ALL_STAGES.to_owned(),
        ph: Some(ph),
        ec_ms_cm: Some(Band::Point(1.2)),
        ec_counts: EcCounts::AboveSourceWater,
        no_difference_ms_cm: None,
        source: source.to_owned(),
        evidence: Evidence::Bulletin,
        note: None,
        shown_only: false,
    };
    let mut crop = catalog().crop("lettuce").unwrap().clone();
    crop.salt_tolerance = None;
    crop.claims = vec![claim(Band::Span(4.5, 5.0), "one"), claim(Band::Span(4.6, 5.2), "two")];
    let zone = crop.zone("growing");
    assert_eq!(zone.ph, (4.5, 5.2));
    let (low, high) = zone.ec_in_tank_ms_cm(0.3);
    close(low, 1.3, 1e-9);
    close(high, 1.7, 1e-9);
    assert!(zone.contains(5.0, 1.5, 0.3) && !zone.contains(5.0, 1.2, 0.3));
    // Memory never outranks a bulletin, wherever it stands in the file.
    let mut recalled = claim(Band::Span(6.0, 6.5), "recalled");
    recalled.evidence = Evidence::Memory;
    crop.claims.insert(0, recalled);
    assert_eq!(crop.zone("growing").ph, (4.5, 5.2));
    crop.claims.clear();
    let empty = crop.zone("growing");
    assert_eq!(empty.ph, (5.5, 6.5));
    assert!(empty.why.iter().any(|why| why.contains("No source")));
}

/// EC is put into words on the scale that a person reads, and the zone stays the same: 1.2 mS/cm is 600 ppm on the 500 scale, 840 on
/// the 700 scale, 1200 µS/cm and CF 12 (meter conventions).
#[test]
fn words_of_ec_are_on_the_chosen_scale() {
    let catalog = catalog();
    let (mut told, mut conflicts) = (0, 0);
    for crop in &catalog.crops {
        for stage in &crop.stages {
            let plain = crop.zone(&stage.id);
            for scale in EcScale::ALL {
                let zone = crop.zone_told(&stage.id, scale);
                assert_eq!((zone.ph, zone.ec_ms_cm, &zone.sources), (plain.ph, plain.ec_ms_cm, &plain.sources));
                assert_eq!((zone.why.len(), zone.conflicts.len()), (plain.why.len(), plain.conflicts.len()));
                if scale == EcScale::MilliSiemens {
                    assert_eq!(zone, plain);
                    continue;
                }
                for (words, before) in zone.why.iter().zip(&plain.why) {
                    assert!(!words.contains("mS/cm"), "{words}");
                    assert_eq!(words.contains(scale.symbol()), before.contains("mS/cm"), "{words}");
                    told += usize::from(words != before);
                }
                for (conflict, before) in zone.conflicts.iter().zip(&plain.conflicts) {
                    // A source's own words are quoted as they are.
                    let was_ec = before.quantity == pourcast::garden::zone::Quantity::Ec;
                    assert_eq!(conflict.words.contains(scale.symbol()), was_ec, "{}", conflict.words);
                    conflicts += usize::from(was_ec);
                }
            }
        }
    }
    println!("{told} sentences and {conflicts} conflicts are told on other scales");
    assert!(told > 100 && conflicts > 20, "{told} {conflicts}");
    let why = |scale| catalog.crop("lettuce").unwrap().zone_told("growing", scale).why.join(" ");
    assert!(why(EcScale::MilliSiemens).contains("EC 1.2 to 1.8 mS/cm"), "{}", why(EcScale::MilliSiemens));
    for (scale, words) in [
        (EcScale::Ppm500, "EC 600 to 900 ppm (500)"),
        (EcScale::Ppm700, "EC 840 to 1260 ppm (700)"),
        (EcScale::MicroSiemens, "EC 1200 to 1800 µS/cm"),
        (EcScale::ConductivityFactor, "EC 12.0 to 18.0 CF"),
    ] {
        assert!(why(scale).contains(words), "{}", why(scale));
    }
}
