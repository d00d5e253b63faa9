//! The first page: what can be chosen, what is assumed, and the unit that follows from the answers.

use super::crops::YOURS;
use super::units::VOLUMES;
use super::water::WaterUnits;
use super::{id_of, ids, one_of, readers};
use crate::garden::{
    Catalog, Crop, LevelKnown, LogEntry, Meter, OwnWater, PhInstrument, Product, ProductRef, Reading, Role, ShelfItem,
    SourceWater, Unit, UnitKind, WaterError, WaterKind,
};
use crate::store::Settings;
use crate::ui::command::Field;
use crate::ui::state::{Answers, ToolAnswer};
use crate::ui::view::{Choice, CropView, KindPicture, KindView, OwnWaterView, StartView};
use crate::units::{EcScale, HardnessUnit, VolumeUnit};

/// How full: id, words, share of the tank. "Not sure" takes what is usual: people keep tanks near full. Ours.
pub(super) const FULLNESS: [(&str, &str, f64); 4] =
    [("full", "Full", 1.0), ("three-quarters", "¾", 0.75), ("half", "Half", 0.5), ("unsure", "Not sure", 0.85)];
/// Id of "roots are in the water".
pub(super) const ROOTS_IN: &str = "in";
/// What stands before the id of a water of the person's library.
const OWN_WATER: &str = "own:";
/// Id of "only water is in it".
const ONLY_WATER: &str = "water";

/// What the first page offers.
pub fn start_view(catalog: &Catalog, answers: &Answers) -> StartView {
    let (volume, ec, alkalinity) = start_units(answers);
    StartView {
        kinds: UnitKind::ALL.into_iter().map(kind_view).collect(),
        volume_units: ids(&VOLUMES, |unit| unit.symbol().to_owned()),
        fullness: FULLNESS.map(|(id, words, _)| Choice::new(id, words)).to_vec(),
        waters: waters(catalog),
        own_water: own_water(answers, catalog).map(|own| own_water_view(&own.water, (ec, alkalinity))),
        crops: crops(catalog.crops_and_own().map(|(crop, _)| crop).collect(), catalog),
        feeds: products(catalog, Role::Feed),
        ph_down: products(catalog, Role::PhDown),
        ph_up: products(catalog, Role::PhUp),
        measures: super::tools::measures(catalog, answers, &[]),
        ec_units: ids(&EcScale::ALL, |scale| scale.symbol().to_owned()),
        alkalinity_units: ids(&HardnessUnit::ALL, |unit| unit.symbol().to_owned()),
        roots: vec![Choice::new(ROOTS_IN, "Yes"), Choice::new("out", "Not yet")],
        ph_instruments: ids(&PhInstrument::ALL, |instrument| readers::capital(instrument.words())),
        fed: vec![Choice::new("fed", "Feed is in"), Choice::new(ONLY_WATER, "Only water")],
        ec_decimals: super::ec_decimals(ec),
        reader: readers::start_reader(volume, ec, alkalinity),
        editing: false,
        cautions: cautions(catalog, answers),
        levels_known: Vec::new(),
        missing: answers.size.is_none().then(|| "How big is the reservoir?".to_owned()),
    }
}

/// What the answers about the source water say against each other, beside the field that more likely holds the slip.
fn cautions(catalog: &Catalog, answers: &Answers) -> Vec<(Field, String)> {
    let Err(error) = source_water(answers, catalog).known(catalog) else { return Vec::new() };
    let field = match error {
        WaterError::AlkalinityAboveEc { .. } => Field::WaterAlkalinity,
        WaterError::PhAgainstAlkalinity { .. } => Field::WaterPh,
        _ => Field::WaterEc,
    };
    vec![(field, readers::capital(&error.to_string()))]
}

/// What is typed counts; a water of the library says the rest.
fn source_water(answers: &Answers, catalog: &Catalog) -> SourceWater {
    let (_, ec_scale, alkalinity) = start_units(answers);
    let base =
        own_water(answers, catalog).map_or_else(|| SourceWater::of_kind(kind_of_water(answers)), |own| own.water);
    SourceWater {
        ec_ms_cm: answers.water_ec.map(|ec| ec_scale.ms_cm_from(ec)).or(base.ec_ms_cm),
        ph: answers.water_ph.or(base.ph),
        alkalinity_meq_l: answers.water_alkalinity.map(|a| alkalinity.meq_per_l_from(a)).or(base.alkalinity_meq_l),
        ..base
    }
}

/// The kind that was chosen. Of a water that has left the library nothing is known.
fn kind_of_water(answers: &Answers) -> WaterKind {
    if is_own_water(&answers.water_id) {
        return WaterKind::Unknown;
    }
    one_of(&WaterKind::ALL, &answers.water_id).unwrap_or(WaterKind::Unknown)
}

/// Whether a choice of water is one of the person's library.
pub fn is_own_water(id: &str) -> bool {
    id.starts_with(OWN_WATER)
}

/// The water of the library that was chosen.
pub(super) fn own_water<'a>(answers: &Answers, catalog: &'a Catalog) -> Option<&'a OwnWater> {
    let id = answers.water_id.strip_prefix(OWN_WATER)?;
    catalog.own.waters.iter().find(|own| own.id == id)
}

/// Kinds of water, and the waters of the person's library.
fn waters(catalog: &Catalog) -> Vec<Choice> {
    let mut waters =
        ids(&WaterKind::ALL, |kind| catalog.water(kind).map_or_else(String::new, |water| water.name.clone()));
    waters.extend(catalog.own.waters.iter().map(|own| Choice {
        group: "Yours".to_owned(),
        ..Choice::new(format!("{OWN_WATER}{}", own.id), format!("{}, {YOURS}", own.name))
    }));
    waters
}

/// What the library knows of a water, for the fields that are left empty.
fn own_water_view(water: &SourceWater, (ec, alkalinity): (EcScale, HardnessUnit)) -> OwnWaterView {
    let decimals = super::ec_decimals(ec);
    let of = |value: Option<f64>, words: &dyn Fn(f64) -> String| value.map(words).unwrap_or_default();
    let known = super::water::measured_words(water, WaterUnits::of_start(ec, alkalinity));
    let known = known.unwrap_or_else(|| "its kind".to_owned());
    OwnWaterView {
        ec: of(water.ec_ms_cm, &|value| format!("{:.decimals$}", ec.from_ms_cm(value))),
        ph: of(water.ph, &|value| format!("{value:.1}")),
        alkalinity: of(water.alkalinity_meq_l, &|value| format!("{:.0}", alkalinity.from_meq_per_l(value))),
        words: format!("Your library knows of it: {known}. What you type here counts instead"),
    }
}

/// The units that the answers were given in: volume, EC, alkalinity.
pub fn start_units(answers: &Answers) -> (VolumeUnit, EcScale, HardnessUnit) {
    (
        one_of(&VOLUMES, &answers.volume_unit_id).unwrap_or(VolumeUnit::Litre),
        one_of(&EcScale::ALL, &answers.ec_unit_id).unwrap_or(EcScale::MilliSiemens),
        one_of(&HardnessUnit::ALL, &answers.alkalinity_unit_id).unwrap_or(HardnessUnit::MgPerLitreCaCo3),
    )
}

/// What is assumed before anything is said.
pub fn default_answers(catalog: &Catalog, settings: &Settings) -> Answers {
    let crop = catalog.crops.first();
    let stage = crop.and_then(|crop| crop.stages.iter().find(|s| !crate::garden::zone::is_seedling(&s.id)));
    let first =
        |role: Role| products(catalog, role).into_iter().find(|p| !p.id.is_empty()).map(|p| p.id).unwrap_or_default();
    Answers {
        kind_id: id_of(&UnitKind::ALL, UnitKind::AeratedBucket),
        volume_unit_id: id_of(&VOLUMES, settings.tank_unit),
        fullness_id: "unsure".to_owned(),
        water_id: id_of(&WaterKind::ALL, WaterKind::Unknown),
        alkalinity_unit_id: id_of(&HardnessUnit::ALL, settings.alkalinity_unit),
        crop_id: crop.map(|c| c.id.clone()).unwrap_or_default(),
        stage_id: stage.map(|s| s.id.clone()).unwrap_or_default(),
        roots_id: ROOTS_IN.to_owned(),
        feed_id: first(Role::Feed),
        ph_down_id: first(Role::PhDown),
        ec_unit_id: id_of(&EcScale::ALL, settings.ec_scale),
        ph_instrument_id: id_of(&PhInstrument::ALL, PhInstrument::Pen),
        fed_id: "fed".to_owned(),
        ..Answers::default()
    }
}

pub(super) fn kind_view(kind: UnitKind) -> KindView {
    let (label, note, picture) = match kind {
        UnitKind::StillJar => ("Still jar", "no pump, no air", KindPicture::StillJar),
        UnitKind::AeratedBucket => ("Bucket", "with an air stone", KindPicture::AeratedBucket),
        UnitKind::Trough => ("Trough", "or raft bed", KindPicture::Trough),
        UnitKind::Recirculating => ("Recirculating", "a pump and a tank", KindPicture::Recirculating),
    };
    KindView { choice: Choice::new(id_of(&UnitKind::ALL, kind), label), note: note.to_owned(), picture }
}

pub(super) fn crops(mut crops: Vec<&Crop>, catalog: &Catalog) -> Vec<CropView> {
    crops.sort_by_key(|crop| crop.group);
    let view = |crop: &Crop| {
        let mut choice = super::crop_choice(crop);
        if catalog.crop(&crop.id) != Some(crop) {
            choice.label = format!("{}, {YOURS}", choice.label);
        }
        CropView { choice, stages: super::today::stages(crop) }
    };
    crops.into_iter().map(view).collect()
}

/// Products of a role, shipped ones and those of the person's library, with one that means none.
fn products(catalog: &Catalog, role: Role) -> Vec<Choice> {
    let none = std::iter::once(Choice::new("", "Nothing yet"));
    let own = own_products(catalog).filter(|(product, _)| product.role == role);
    let own = own.map(|(_, choice)| Choice { label: format!("{}, {YOURS}", choice.label), ..choice });
    // The usual one stays the first: it is what a first page begins with.
    shipped(catalog, role).chain(own).chain(none).collect()
}

/// Shipped products of a role. Of a product in parts the part that is poured first stands for all.
pub(super) fn shipped(catalog: &Catalog, role: Role) -> impl Iterator<Item = Choice> {
    let some = catalog.products.iter().filter(move |p| p.role == role && stands_for(catalog, p).id == p.id);
    let name = |p: &Product| if p.partner.is_some() { whole_name(&p.name) } else { p.name.clone() };
    some.map(move |p| Choice::new(&p.id, name(p)))
}

/// Products of the person's library. Of a feed in parts the part that is poured first stands for all.
pub(super) fn own_products(catalog: &Catalog) -> impl Iterator<Item = (&Product, Choice)> {
    catalog.own.products.iter().filter_map(|product| {
        let parts = own_parts(catalog, product);
        let name = parts.iter().map(|part| part.name.as_str()).collect::<Vec<_>>().join(" + ");
        (parts.first()?.id == product.id).then(|| (product, Choice::new(&product.id, name)))
    })
}

/// A product of the library with its other parts that are there, in the order of pouring.
fn own_parts<'a>(catalog: &'a Catalog, product: &'a Product) -> Vec<&'a Product> {
    let parts = product.parts(|id| catalog.own.products.iter().find(|own| own.id == id));
    parts.into_iter().map(|(part, _)| part).collect()
}

/// The product itself if it is whole, or the part that goes in first.
pub(super) fn stands_for<'a>(catalog: &'a Catalog, product: &'a Product) -> &'a Product {
    product.parts(|id| catalog.product(id)).first().map_or(product, |(first, _)| *first)
}

/// The name of a product in parts without the part, such as "Two-part liquid feed".
fn whole_name(name: &str) -> String {
    name.rsplit_once(',').map_or(name, |(whole, _)| whole).to_owned()
}

/// Why the answers make no unit.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum AnswerProblem {
    /// The size was not said.
    #[error("say how big the reservoir is first")]
    NoSize,
    /// A value is refused, in the library's own words.
    #[error("{0}")]
    Refused(String),
}

/// The unit that the answers describe, at `now_s` (Unix seconds).
///
/// # Errors
/// [`AnswerProblem`] when the size is missing or the unit's own check refuses a value.
pub fn unit_of(answers: &Answers, catalog: &Catalog, now_s: i64) -> Result<Unit, AnswerProblem> {
    let size = answers.size.ok_or(AnswerProblem::NoSize)?;
    let (volume, ec_scale, _) = start_units(answers);
    let tank_l = volume.litres_from(size);
    let share = FULLNESS.iter().find(|(id, ..)| *id == answers.fullness_id).map_or(0.85, |(_, _, share)| *share);
    let level_l = tank_l * share;
    let kind = one_of(&UnitKind::ALL, &answers.kind_id).unwrap_or(UnitKind::AeratedBucket);
    let ph_instrument = one_of(&PhInstrument::ALL, &answers.ph_instrument_id).unwrap_or(PhInstrument::Pen);
    let mut log = Vec::new();
    if answers.fed_id == ONLY_WATER {
        log.push(LogEntry::Refill { at_s: now_s, water_l: level_l });
    }
    if answers.reading_ph.is_some() || answers.reading_ec.is_some() {
        log.push(LogEntry::Reading(Reading {
            at_s: now_s,
            ph: answers.reading_ph,
            ec_ms_cm: answers.reading_ec.map(|ec| ec_scale.ms_cm_from(ec)),
            ..Reading::default()
        }));
    }
    let name = answers.name.trim();
    let unit = Unit {
        name: if name.is_empty() { format!("My {}", kind_name(kind)) } else { name.to_owned() },
        kind,
        tank_l,
        level_l,
        level_known: LevelKnown::Eye,
        source_water: source_water(answers, catalog),
        crop_id: answers.crop_id.clone(),
        stage_id: answers.stage_id.clone(),
        also_growing: Vec::new(),
        own_crops: catalog.own.crops.iter().filter(|crop| crop.id == answers.crop_id).cloned().collect(),
        own_band: None,
        plants_in: answers.roots_id == ROOTS_IN,
        shelf: shelf(answers, catalog),
        meter: Meter { ph_instrument, ph_step: ph_instrument.usual_step(), ec_scale, ..Meter::default() },
        log,
    };
    match refused(&unit, catalog) {
        Some(problem) => Err(problem),
        None => Ok(unit),
    }
}

/// What the unit's own check refuses first.
pub(super) fn refused(unit: &Unit, catalog: &Catalog) -> Option<AnswerProblem> {
    let refused = unit.check(catalog).into_iter().find(|p| p.severity == crate::garden::Severity::Refused);
    refused.map(|problem| AnswerProblem::Refused(problem.message))
}

const fn kind_name(kind: UnitKind) -> &'static str {
    match kind {
        UnitKind::StillJar => "still jar",
        UnitKind::AeratedBucket => "bucket",
        UnitKind::Trough => "trough",
        UnitKind::Recirculating => "recirculating unit",
    }
}

fn shelf(answers: &Answers, catalog: &Catalog) -> Vec<ShelfItem> {
    let ids = [&answers.feed_id, &answers.ph_down_id, &answers.ph_up_id];
    ids.into_iter().zip(&answers.tools).flat_map(|(id, tools)| shelf_items(id, tools, catalog)).collect()
}

/// A product as it stands on the shelf, with its other parts if it comes in parts; nothing when no product has the id.
pub(super) fn shelf_items(id: &str, tools: &ToolAnswer, catalog: &Catalog) -> Vec<ShelfItem> {
    if let Some(own) = catalog.own.products.iter().find(|product| product.id == id) {
        let parts = own_parts(catalog, own).into_iter();
        return parts.map(|part| super::tools::item_of(part, ProductRef::Own(Box::new(part.clone())), tools)).collect();
    }
    let parts = catalog.product(id).map(|product| product.parts(|id| catalog.product(id))).unwrap_or_default();
    parts.into_iter().map(|(part, _)| super::tools::item(part, tools)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn catalog() -> Catalog {
        Catalog::shipped().expect("the shipped profiles")
    }

    #[test]
    fn only_the_size_must_be_said() {
        let catalog = catalog();
        let mut answers = default_answers(&catalog, &Settings::default());
        assert_eq!(unit_of(&answers, &catalog, 0), Err(AnswerProblem::NoSize));
        assert!(start_view(&catalog, &answers).missing.is_some());
        answers.size = Some(20.0);
        let unit = unit_of(&answers, &catalog, 0).expect("a unit");
        assert_eq!((unit.tank_l, unit.name.as_str()), (20.0, "My bucket"));
        assert!(unit.plants_in && unit.log.is_empty());
        assert_eq!(unit.check(&catalog), []);
    }

    #[test]
    fn units_are_turned_at_the_edge() {
        let catalog = catalog();
        let answers = Answers {
            size: Some(5.0),
            volume_unit_id: id_of(&VOLUMES, VolumeUnit::UsGallon),
            fullness_id: "full".to_owned(),
            ec_unit_id: id_of(&EcScale::ALL, EcScale::Ppm500),
            water_ec: Some(200.0),
            water_alkalinity: Some(100.0),
            reading_ec: Some(600.0),
            reading_ph: Some(6.6),
            fed_id: ONLY_WATER.to_owned(),
            ..default_answers(&catalog, &Settings::default())
        };
        let unit = unit_of(&answers, &catalog, 77).expect("a unit");
        // 1 US gallon is 3.785411784 L (NIST SP 811, Appendix B.8); 500 ppm are 1 mS/cm; 100.086 mg/L CaCO3 are 2 meq/L.
        assert!((unit.tank_l - 18.92705892).abs() < 1e-9);
        assert_eq!(unit.source_water.ec_ms_cm, Some(0.4));
        assert!((unit.source_water.alkalinity_meq_l.unwrap_or_default() - 2.0 / 1.00086).abs() < 1e-9);
        assert!(matches!(unit.log.first(), Some(LogEntry::Refill { at_s: 77, .. })));
        assert_eq!(unit.last_reading().and_then(|r| r.ec_ms_cm), Some(1.2));
    }

    #[test]
    fn a_feed_in_two_parts_comes_whole() {
        let catalog = catalog();
        let view = start_view(&catalog, &default_answers(&catalog, &Settings::default()));
        let two: Vec<_> = view.feeds.iter().filter(|f| f.label.starts_with("Two-part")).collect();
        assert_eq!(two.len(), 1, "{two:?}");
        let answers =
            Answers { size: Some(20.0), feed_id: two[0].id.clone(), ..default_answers(&catalog, &Settings::default()) };
        let unit = unit_of(&answers, &catalog, 0).expect("a unit");
        assert_eq!(unit.shelf.iter().filter(|item| item.product.id().starts_with("two-part")).count(), 2);
    }

    #[test]
    fn what_the_check_refuses_is_told_in_its_words() {
        let catalog = catalog();
        let answers = Answers { size: Some(900.0), ..default_answers(&catalog, &Settings::default()) };
        let Err(AnswerProblem::Refused(words)) = unit_of(&answers, &catalog, 0) else { panic!("taken") };
        assert!(words.contains("900") && words.contains("500"), "{words}");
    }
}
