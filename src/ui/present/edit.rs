//! The first page once more, over the facts of an open unit. Only what was changed there changes in the unit, so that
//! what the page cannot show (own tools, a water report) stays.

use super::readers::capital;
use super::start::{
    AnswerProblem, FULLNESS, ROOTS_IN, crops, default_answers, own_water, refused, shelf_items, stands_for,
    start_units, start_view,
};
use super::tools::{PLACES, answer_of, measures, tools_of};
use super::units::VOLUMES;
use super::{id_of, ids, one_of};
use crate::garden::{
    Catalog, LevelKnown, LogEntry, PhInstrument, Product, ProductRef, Role, ShelfItem, Unit, UnitKind, WaterKind,
};
use crate::store::Settings;
use crate::ui::state::{Answers, ToolAnswer};
use crate::ui::view::{Choice, StartView};
use crate::units::{EcScale, HardnessUnit};

/// Id of "as full as it is noted".
const AS_NOTED: &str = "noted";

/// The facts of a unit as answers.
pub fn answers_of(unit: &Unit, catalog: &Catalog, settings: &Settings) -> Answers {
    let (scale, alkalinity) = (unit.meter.ec_scale, settings.alkalinity_unit);
    let of_role = |role: Role| first_of(unit, catalog, role).unwrap_or_default();
    Answers {
        name: unit.name.clone(),
        kind_id: id_of(&UnitKind::ALL, unit.kind),
        size: Some(settings.tank_unit.from_litres(unit.tank_l)),
        volume_unit_id: id_of(&VOLUMES, settings.tank_unit),
        fullness_id: AS_NOTED.to_owned(),
        level_known_id: id_of(&LevelKnown::ALL, unit.level_known),
        water_id: id_of(&WaterKind::ALL, unit.source_water.kind),
        water_ec: unit.source_water.ec_ms_cm.map(|ec| scale.from_ms_cm(ec)),
        water_ph: unit.source_water.ph,
        water_alkalinity: unit.source_water.alkalinity_meq_l.map(|meq| alkalinity.from_meq_per_l(meq)),
        alkalinity_unit_id: id_of(&HardnessUnit::ALL, alkalinity),
        crop_id: unit.crop_id.clone(),
        stage_id: unit.stage_id.clone(),
        roots_id: if unit.plants_in { ROOTS_IN.to_owned() } else { "out".to_owned() },
        feed_id: of_role(Role::Feed),
        ph_down_id: of_role(Role::PhDown),
        ph_up_id: of_role(Role::PhUp),
        tools: PLACES.map(|(role, _)| tools_of_role(unit, catalog, role)),
        ec_unit_id: id_of(&EcScale::ALL, scale),
        ph_instrument_id: id_of(&PhInstrument::ALL, unit.meter.ph_instrument),
        ..default_answers(catalog, settings)
    }
}

/// What the first product of a role is measured with.
fn tools_of_role(unit: &Unit, catalog: &Catalog, role: Role) -> ToolAnswer {
    let items = unit.at_hand().filter_map(|item| Some((item, catalog.product_of(item)?)));
    let mut of_role = items.filter(|(_, product)| product.role == role);
    of_role.next().map_or_else(ToolAnswer::default, |(item, product)| answer_of(item, product))
}

/// The first product of a role on the shelf; the one of a product in parts that stands for all of it.
fn first_of(unit: &Unit, catalog: &Catalog, role: Role) -> Option<String> {
    let of_role = |item: &&ShelfItem| catalog.product_of(item).is_some_and(|p| p.role == role);
    let item = unit.at_hand().find(of_role)?;
    let product = catalog.product_of(item)?;
    Some(stands_for(catalog, product).id.clone())
}

/// What the page offers while the facts of a unit are changed: the person's own products, too.
pub fn edit_view(catalog: &Catalog, answers: &Answers, unit: &Unit) -> StartView {
    let mut view = StartView {
        editing: true,
        crops: crops(catalog.crops_at_hand(unit), catalog),
        levels_known: ids(&LevelKnown::ALL, |known| capital(known.words())),
        ..start_view(catalog, answers)
    };
    view.fullness.retain(|choice| choice.id != "unsure");
    view.fullness.insert(0, Choice::new(AS_NOTED, "As noted"));
    let own: Vec<&Product> = (unit.at_hand())
        .filter_map(|item| match &item.product {
            ProductRef::Own(product) => Some(product.as_ref()),
            ProductRef::Shipped(_) => None,
        })
        .collect();
    view.measures = measures(catalog, answers, &own);
    for item in unit.at_hand() {
        let (ProductRef::Own(product), Some(_)) = (&item.product, catalog.product_of(item)) else { continue };
        let list = match product.role {
            Role::Feed => &mut view.feeds,
            Role::PhDown => &mut view.ph_down,
            Role::PhUp => &mut view.ph_up,
            Role::CalMag | Role::Silicate => continue,
        };
        // The library may have it, too.
        list.retain(|choice| choice.id != product.id);
        list.insert(0, Choice::new(&product.id, &product.name));
    }
    view
}

/// The unit with the facts that differ between two sets of answers changed, and what could not be followed to the letter.
///
/// # Errors
/// [`AnswerProblem`] when the size is missing or the unit's own check refuses a value.
pub fn change_facts(
    unit: &Unit,
    (before, after): (&Answers, &Answers),
    catalog: &Catalog,
) -> Result<(Unit, Vec<String>), AnswerProblem> {
    let mut unit = unit.clone();
    let size = after.size.ok_or(AnswerProblem::NoSize)?;
    let (volume, ec_scale, alkalinity) = start_units(after);
    if !after.name.trim().is_empty() {
        after.name.trim().clone_into(&mut unit.name);
    }
    unit.kind = one_of(&UnitKind::ALL, &after.kind_id).unwrap_or(unit.kind);
    let resized = (before.size, &before.volume_unit_id) != (after.size, &after.volume_unit_id);
    if resized {
        let tank_l = volume.litres_from(size);
        // A level by eye is a share of the tank, one that was measured is so many litres.
        let measured = matches!(unit.level_known, LevelKnown::Jug | LevelKnown::Mark);
        let level_l = if measured { unit.level_l } else { unit.level_l / unit.tank_l * tank_l };
        unit.tank_l = tank_l;
        set_level(&mut unit, level_l.min(tank_l));
    }
    if let Some((_, _, share)) = FULLNESS.iter().find(|(id, ..)| *id == after.fullness_id) {
        unit.level_known = LevelKnown::Eye;
        let level_l = unit.tank_l * share;
        set_level(&mut unit, level_l);
    }
    if before.level_known_id != after.level_known_id {
        unit.level_known = one_of(&LevelKnown::ALL, &after.level_known_id).unwrap_or(unit.level_known);
    }
    // A field left empty says nothing against what the library knows.
    let own = own_water(after, catalog).filter(|_| before.water_id != after.water_id);
    let is_said = |value: Option<f64>| value.is_some() || own.is_none();
    let water = &mut unit.source_water;
    if before.water_id != after.water_id {
        if let Some(own) = own {
            *water = own.water;
        } else {
            water.kind = one_of(&WaterKind::ALL, &after.water_id).unwrap_or(water.kind);
            // Another water: what was measured of the old one says nothing of it.
            (water.report, water.hardness_mg_caco3_l) = (None, None);
        }
    }
    if (before.water_ec, &before.ec_unit_id) != (after.water_ec, &after.ec_unit_id) && is_said(after.water_ec) {
        water.ec_ms_cm = after.water_ec.map(|ec| ec_scale.ms_cm_from(ec));
    }
    if before.water_ph != after.water_ph && is_said(after.water_ph) {
        water.ph = after.water_ph;
    }
    if (before.water_alkalinity, &before.alkalinity_unit_id) != (after.water_alkalinity, &after.alkalinity_unit_id)
        && is_said(after.water_alkalinity)
    {
        water.alkalinity_meq_l = after.water_alkalinity.map(|a| alkalinity.meq_per_l_from(a));
    }
    if catalog.crop_of(&unit, &after.crop_id).is_none()
        && let Some(crop) = catalog.crop_at_hand(&unit, &after.crop_id).cloned()
    {
        unit.keep_own_crop(crop).map_err(|error| AnswerProblem::Refused(error.to_string()))?;
    }
    unit.crop_id.clone_from(&after.crop_id);
    unit.stage_id.clone_from(&after.stage_id);
    unit.plants_in = after.roots_id == ROOTS_IN;
    if before.ph_instrument_id != after.ph_instrument_id {
        unit.meter.ph_instrument =
            one_of(&PhInstrument::ALL, &after.ph_instrument_id).unwrap_or(unit.meter.ph_instrument);
        unit.meter.ph_step = unit.meter.ph_instrument.usual_step();
    }
    unit.meter.ec_scale = ec_scale;
    let mut notes = Vec::new();
    for (place, (role, old, new)) in [
        (Role::Feed, &before.feed_id, &after.feed_id),
        (Role::PhDown, &before.ph_down_id, &after.ph_down_id),
        (Role::PhUp, &before.ph_up_id, &after.ph_up_id),
    ]
    .into_iter()
    .enumerate()
    {
        let tools = &after.tools[place];
        if old != new {
            change_shelf(&mut unit, catalog, (role, tools), new, &mut notes);
        }
        if before.tools[place] != *tools {
            change_tools(&mut unit, catalog, role, tools);
        }
    }
    match refused(&unit, catalog) {
        Some(problem) => Err(problem),
        None => Ok((unit, notes)),
    }
}

/// Puts a product in the place of those of its role. What the log speaks of is kept as used up, and a product that the person described
/// stays behind it, left aside by plans.
fn change_shelf(
    unit: &mut Unit,
    catalog: &Catalog,
    (role, tools): (Role, &ToolAnswer),
    new_id: &str,
    notes: &mut Vec<String>,
) {
    let (of_role, mut others): (Vec<_>, Vec<_>) =
        unit.shelf.iter().cloned().partition(|item| catalog.product_of(item).is_some_and(|p| p.role == role));
    let mut fresh = shelf_items(new_id, tools, catalog);
    // A tool that was chosen for it stays.
    for item in &mut fresh {
        if let Some(owned) = of_role.iter().find(|owned| owned.product.id() == item.product.id()) {
            *item = ShelfItem { used_up: false, ..owned.clone() };
        }
    }
    let own = of_role.iter().filter(|item| item.product.id() == new_id && fresh.is_empty()).cloned();
    let fresh: Vec<_> = own.collect::<Vec<_>>().into_iter().chain(fresh.clone()).collect();
    for mut item in of_role {
        let id = item.product.id();
        let is_told_of = unit.log_speaks_of(id);
        let is_own = matches!(item.product, ProductRef::Own(_)) && !new_id.is_empty();
        if fresh.iter().any(|f| f.product.id() == id) || !is_told_of && !is_own {
            continue;
        }
        if new_id.is_empty() && !item.used_up {
            let name = catalog.product_of(&item).map_or_else(|| id.to_owned(), |p| p.name.clone());
            notes.push(format!("{name} counts as used up: the log says that it was poured, so it stays known"));
        }
        item.used_up |= !is_own;
        others.push(item);
    }
    unit.shelf = fresh.into_iter().chain(others).collect();
}

/// Gives the products of a role other tools: those that can measure them.
fn change_tools(unit: &mut Unit, catalog: &Catalog, role: Role, answer: &ToolAnswer) {
    let Some(tools) = tools_of(answer) else { return };
    let [tool, also @ ..] = &tools[..] else { return };
    for item in &mut unit.shelf {
        let product = catalog.product_of(item);
        if product.is_some_and(|p| p.role == role && tools.iter().all(|tool| tool.unit() == p.form.unit())) {
            (item.tool, item.also) = (*tool, also.to_vec());
        }
    }
}

/// Sets the level now. A reading keeps the level of its own moment: what was added or taken since is counted back.
pub fn set_level(unit: &mut Unit, level_l: f64) {
    unit.level_l = level_l;
    let mut since = 0.0;
    for entry in unit.log.iter_mut().rev() {
        match entry {
            LogEntry::TopUp { water_l, .. } => since += *water_l,
            LogEntry::Drain { solution_l, .. } => since -= *solution_l,
            LogEntry::Reading(reading) => {
                let then = level_l - since;
                reading.level_l = if then > 0.0 { Some(then.min(unit.tank_l)) } else { None };
                return;
            }
            LogEntry::Refill { water_l, .. } => {
                *water_l = (level_l - since).max(0.1);
                return;
            }
            LogEntry::Pour(_) | LogEntry::JarTest(_) | LogEntry::Note { .. } => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::garden::{PourRecord, Reading, Tool};
    use crate::ui::present::unit_of;

    fn bucket(catalog: &Catalog) -> Unit {
        let answers = Answers {
            size: Some(20.0),
            reading_ph: Some(7.0),
            reading_ec: Some(1.2),
            ..default_answers(catalog, &Settings::default())
        };
        unit_of(&answers, catalog, 7).expect("a unit")
    }

    #[test]
    fn unchanged_answers_change_nothing() {
        let catalog = Catalog::shipped().expect("the shipped profiles");
        for unit in catalog.examples.iter().map(|e| e.unit_at(0)).chain([bucket(&catalog)]) {
            let answers = answers_of(&unit, &catalog, &Settings::default());
            assert_eq!(change_facts(&unit, (&answers, &answers), &catalog), Ok((unit.clone(), Vec::new())));
        }
    }

    #[test]
    fn facts_change_and_log_and_tools_stay() {
        let catalog = Catalog::shipped().expect("the shipped profiles");
        let mut unit = bucket(&catalog);
        unit.shelf[0].tool = Tool::Scale { mark_g: 1.0 };
        let old_down = unit.shelf[1].product.id().to_owned();
        unit.log.push(LogEntry::Pour(PourRecord { at_s: 9, product_id: old_down.clone(), amount: 1.0, promise: None }));
        let before = answers_of(&unit, &catalog, &Settings::default());
        let view = edit_view(&catalog, &before, &unit);
        let other_down = view.ph_down.iter().map(|c| &c.id).find(|id| !id.is_empty() && **id != old_down);
        let after = Answers {
            size: Some(40.0),
            water_ec: Some(0.3),
            ph_down_id: other_down.expect("another").clone(),
            roots_id: "out".to_owned(),
            ..before.clone()
        };
        let (changed, notes) = change_facts(&unit, (&before, &after), &catalog).expect("taken");
        assert_eq!((changed.tank_l, changed.level_l), (40.0, 34.0));
        assert_eq!(changed.last_reading().and_then(|r| r.level_l), Some(34.0));
        assert_eq!(changed.source_water.ec_ms_cm, Some(0.3));
        assert!(!changed.plants_in && notes.is_empty());
        assert_eq!((&changed.name, changed.log.len()), (&unit.name, unit.log.len()));
        assert!(changed.shelf.contains(&unit.shelf[0]), "the feed keeps its tool");
        let downs: Vec<&str> = changed
            .shelf
            .iter()
            .filter(|item| catalog.product_of(item).is_some_and(|p| p.role == Role::PhDown))
            .map(|item| item.product.id())
            .collect();
        assert_eq!(downs, [after.ph_down_id.as_str(), old_down.as_str()], "what was poured stays behind the new one");
        assert!(changed.shelf_item(&old_down).is_some_and(|item| item.used_up), "as used up: it gave way");

        let none = Answers { ph_down_id: String::new(), ..before.clone() };
        let (without, notes) = change_facts(&unit, (&before, &none), &catalog).expect("taken");
        assert!(notes.iter().any(|note| note.contains("counts as used up")), "{notes:?}");
        let left = without.at_hand().filter(|item| catalog.product_of(item).is_some_and(|p| p.role == Role::PhDown));
        assert_eq!((left.count(), without.check(&catalog)), (0, Vec::new()));
    }

    #[test]
    fn what_the_check_refuses_is_refused_here_too() {
        let catalog = Catalog::shipped().expect("the shipped profiles");
        let mut unit = bucket(&catalog);
        unit.log.push(LogEntry::Reading(Reading { at_s: 20, ph: Some(6.0), ..Reading::default() }));
        let before = answers_of(&unit, &catalog, &Settings::default());
        let after = Answers { size: Some(900.0), ..before.clone() };
        assert!(matches!(change_facts(&unit, (&before, &after), &catalog), Err(AnswerProblem::Refused(_))));
        let after = Answers { size: None, ..before.clone() };
        assert_eq!(change_facts(&unit, (&before, &after), &catalog), Err(AnswerProblem::NoSize));
    }
}
