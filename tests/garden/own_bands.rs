//! Bands that a person sets for a crop of their own. Limits and widths are ours.

use pourcast::garden::*;

use super::catalog;

fn set(crop: &Crop, stage_id: &str, ph: (f64, f64), ec_ms_cm: Option<(f64, f64)>) -> Crop {
    let mut bands = crop.set_bands();
    let band = bands.iter_mut().find(|band| band.stage.id == stage_id).unwrap();
    (band.ph, band.ec_ms_cm) = (Some(ph), ec_ms_cm);
    crop.clone().with_bands(&bands, " ")
}

#[test]
fn what_is_set_leads_as_it_is_and_the_sources_stay_beside_it() {
    let catalog = catalog();
    let shipped = catalog.crop("basil").unwrap();
    // Below the 5.5 that zones are kept above, and EC above what the sources say.
    let own = set(shipped, "growing", (5.0, 5.4), Some((2.6, 3.9)));
    let zone = own.zone("growing");
    assert_eq!((zone.ph, zone.ec_ms_cm), ((5.0, 5.4), (2.6, 3.9)), "neither kept in bounds nor narrowed");
    assert!(zone.why.iter().any(|why| why == "pH 5.0 to 5.4, as you set it."), "{:?}", zone.why);
    let against = |who: &str| zone.conflicts.iter().filter(|c| c.source.source.contains(who)).count();
    assert_eq!(against("Oklahoma"), 2, "{:?}", zone.conflicts);
    assert!(zone.conflicts.iter().all(|c| !c.words.contains("stronger evidence")), "{:?}", zone.conflicts);
    assert_eq!(own.claims.len(), shipped.claims.len() + 1);
    assert_eq!(own.set_source(), Some(SET_BY_YOU));
    // A stage that was left alone follows the sources.
    assert_eq!(own.zone("seedling"), shipped.zone("seedling"));
    // Set anew, what was set before is gone; with nothing set it is the shipped one.
    assert_eq!(set(&own, "growing", (5.2, 5.6), None).zone("growing").ec_ms_cm, shipped.zone("growing").ec_ms_cm);
    let nothing: Vec<SetBand> =
        own.set_bands().into_iter().map(|band| SetBand { ph: None, ec_ms_cm: None, ..band }).collect();
    assert_eq!(own.with_bands(&nothing, ""), *shipped);
}

#[test]
fn a_narrow_band_is_widened_to_what_a_pen_can_tell_and_said() {
    let catalog = catalog();
    let own = set(catalog.crop("basil").unwrap(), "growing", (5.1, 5.2), Some((1.5, 1.52)));
    let zone = own.zone("growing");
    super::close(zone.ph.1 - zone.ph.0, common::NARROW_PH, 1e-9);
    super::close(zone.ec_ms_cm.1 - zone.ec_ms_cm.0, common::NARROW_EC_MS_CM, 1e-9);
    super::close(0.5 * (zone.ph.0 + zone.ph.1), 5.15, 1e-9);
    assert_eq!(zone.why.iter().filter(|why| why.contains("narrower than a pen can tell")).count(), 2, "{:?}", zone.why);
}

#[test]
fn slips_are_refused_with_field_value_and_limit() {
    let plain = |value: f64| format!("{value:.1}");
    let check =
        |quantity, band| check_set_band(quantity, band, (&plain, if quantity == Quantity::Ec { "mS/cm" } else { "" }));
    for (quantity, band, words) in [
        (Quantity::Ph, (6.5, 5.5), "pH 6.5 to 5.5 is upside down: the first is the lower end"),
        (Quantity::Ph, (6.0, 6.0), "pH 6.0 to 6.0 is upside down: the first is the lower end"),
        (Quantity::Ph, (2.9, 6.0), "pH 2.9 is outside 3.0 to 10.0"),
        (Quantity::Ph, (5.0, f64::NAN), "pH NaN is outside 3.0 to 10.0"),
        (Quantity::Ec, (1.0, 5.1), "EC 5.1 mS/cm is outside 0.0 to 5.0 mS/cm"),
    ] {
        let problem = check(quantity, band).unwrap();
        assert_eq!((problem.message.as_str(), problem.severity), (words, Severity::Refused));
    }
    let narrow = check(Quantity::Ph, (6.0, 6.1)).unwrap();
    assert_eq!(narrow.severity, Severity::Caution);
    assert!(narrow.message.contains("narrower than a meter can tell"), "{}", narrow.message);
    assert_eq!(check(Quantity::Ph, (5.5, 6.0)), None);
    assert_eq!(check(Quantity::Ec, (1.2, 1.8)), None);
}

#[test]
fn a_crop_on_the_water_is_not_taken_away() {
    let catalog = catalog();
    let mut unit = catalog.examples[0].unit.clone();
    let mut own = set(catalog.crop("basil").unwrap(), "growing", (5.5, 6.0), None);
    own.id = "my-basil".to_owned();
    unit.keep_own_crop(own.clone()).unwrap();
    assert!(unit.add_crop(&own) && unit.grows("my-basil"));
    assert!(matches!(unit.remove_own_crop("my-basil"), Err(OwnCropError::Grows { .. })));
    let at = unit.also_growing.last().unwrap().stage_id.clone();
    let left: Vec<SetBand> = own.set_bands().into_iter().filter(|band| band.stage.id != at).collect();
    let before = unit.clone();
    let refused = unit.keep_own_crop(own.clone().with_bands(&left, "")).unwrap_err();
    assert!(matches!(refused, OwnCropError::GrowsAt { .. }), "{refused}");
    assert_eq!(unit, before, "nothing is changed");
    assert_eq!(unit.check(&catalog), []);
    unit.also_growing.clear();
    assert_eq!(unit.remove_own_crop("my-basil"), Ok(own));
    assert_eq!(unit.remove_own_crop("my-basil"), Err(OwnCropError::NotThere));
}
