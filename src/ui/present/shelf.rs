//! The shelf in words.

use super::product_draft::ROLES;
use super::readers::{capital, peroxide_reader};
use super::start::{own_products, shelf_items, shipped};
use super::{id_of, ids};
use crate::card::{figure, plain};
use crate::garden::compose::MG_CACO3_PER_MEQ;
use crate::garden::peroxide::{self, Asked, Grade};
use crate::garden::{
    Catalog, Concentration, LabelAnalysis, Product, ProductRef, Role, ShelfItem, Strength, Unit, UnknownKind,
    check_measure, in_whole_numbers,
};
use crate::learn::{Knowledge, ProductBelief};
use crate::store::Settings;
use crate::ui::command::{Command, Field, ShelfCommand};
use crate::ui::state::{PeroxideAsked, ToolAnswer};
use crate::ui::view::{Choice, InLibrary, LinkView, PeroxideView, SheetNumber, ShelfRow, ShelfView};

/// What the page shows. `knowledge` is what plans are made with; none while there is no plan.
pub fn shelf_view(
    (unit, catalog, settings): (&Unit, &Catalog, &Settings),
    knowledge: Option<&Knowledge>,
    taken_off: Option<&str>,
    peroxide: Option<PeroxideAsked>,
) -> ShelfView {
    let (water, water_troubles) = super::water::water_lines(unit, catalog, settings);
    let absent = |id: &str| unit.shelf_item(id).is_none();
    let add = ROLES
        .iter()
        .map(|(role, words)| (*words, shipped(catalog, *role).filter(|choice| absent(&choice.id)).collect::<Vec<_>>()));
    let own: Vec<Choice> =
        own_products(catalog).map(|(_, choice)| choice).filter(|choice| absent(&choice.id)).collect();
    let is_water_shared = catalog.own.waters.iter().any(|own| own.water == unit.source_water);
    ShelfView {
        unit_name: unit.name.clone(),
        water,
        water_troubles,
        rows: (unit.shelf.iter().enumerate())
            .filter(|(_, item)| !item.used_up)
            .map(|(place, item)| row((place, item), unit, catalog, knowledge))
            .collect(),
        used_up: (unit.shelf.iter().enumerate())
            .filter(|(_, item)| item.used_up)
            .map(|(place, item)| {
                let id = item.product.id();
                (place, capital(catalog.product_of(item).map_or(id, |product| product.name.as_str())))
            })
            .collect(),
        add: std::iter::once(("Yours", own)).chain(add).filter(|(_, choices)| !choices.is_empty()).collect(),
        is_water_shared,
        way_back: taken_off.map(|words| {
            let back = Command::Shelf(ShelfCommand::BringBack);
            (words.to_owned(), LinkView { text: "Put it back".to_owned(), command: back })
        }),
        peroxide: peroxide.map(|asked| peroxide_view(asked, unit.level_l)),
    }
}

/// A product as it is added to a shelf, one of the person's library or a shipped one with all its parts, with the tools that are
/// likeliest at hand.
pub fn added_items(id: &str, catalog: &Catalog) -> Vec<ShelfItem> {
    shelf_items(id, &ToolAnswer::default(), catalog)
}

/// What stands on a shelf as the library has it by now, with the tools it is measured with where they still can; `None` where the
/// library has no other version of it.
pub fn renewed_item(item: &ShelfItem, catalog: &Catalog) -> Option<ShelfItem> {
    let ProductRef::Own(here) = &item.product else { return None };
    // Which parts belong together is told on the shelf, and stays.
    let own = catalog.own.products.iter().find(|own| own.id == here.id)?;
    let own = &Product { partner: here.partner.clone(), ..own.clone() };
    if own == here.as_ref() {
        return None;
    }
    let tools = super::tools::answer_of(item, here);
    let renewed = super::tools::item_of(own, ProductRef::Own(Box::new(own.clone())), &tools);
    // Tools that no answer stands for stay, unless they measure something else.
    let stay = item.tools().all(|tool| tool.unit() == own.form.unit());
    Some(if stay { ShelfItem { product: renewed.product, ..item.clone() } } else { renewed })
}

fn peroxide_view(asked: PeroxideAsked, water_l: f64) -> PeroxideView {
    let told = asked.ml.zip(asked.grade);
    let card = peroxide::card(told.map(|(ml, grade)| Asked { ml, grade, water_l }));
    let missing = match (asked.ml, asked.grade) {
        // The grade comes first: without it no mL means anything.
        (_, None) => "Say which grade the bottle is",
        (None, Some(_)) => "Type an amount to see what it comes to in this unit’s water",
        (Some(_), Some(_)) if card.answer.is_none() => "This unit’s water is too little for so much",
        (Some(_), Some(_)) => "",
    };
    let (mut stop, mut answer) = (None, Vec::new());
    if let Some(told) = card.answer {
        answer.extend([told.amount, told.readings]);
        if told.is_too_much {
            stop = Some(told.harm);
        } else {
            answer.push(told.harm);
        }
    }
    PeroxideView {
        advice: card.advice,
        amount: SheetNumber {
            field: Field::Peroxide,
            label: "Asked about",
            unit: "mL".to_owned(),
            hint: "0",
            value: asked.ml,
        },
        grades: ids(&Grade::ALL, |grade| grade.words().to_owned()),
        grade_id: asked.grade.map(|grade| id_of(&Grade::ALL, grade)).unwrap_or_default(),
        missing,
        stop,
        answer,
        known: card.known.to_vec(),
        cautions: card.cautions.to_vec(),
        reader: peroxide_reader(water_l),
    }
}

fn row((place, item): (usize, &ShelfItem), unit: &Unit, catalog: &Catalog, knowledge: Option<&Knowledge>) -> ShelfRow {
    let tools: Vec<String> = item.tools().map(|tool| tool.name_with_size()).collect();
    let tools = format!("Measured with: {}", tools.join(", "));
    let Some(product) = catalog.product_of(item) else {
        let id = item.product.id();
        return ShelfRow {
            place,
            name: id.to_owned(),
            tools,
            troubles: vec![format!("Nobody knows the product “{id}”: take it off, or describe it anew")],
            ..ShelfRow::default()
        };
    };
    let refused = item.tools().filter_map(|tool| check_measure(product, &tool));
    ShelfRow {
        place,
        name: capital(&product.name),
        role: capital(product.role.words()),
        is_own: matches!(item.product, ProductRef::Own(_)),
        aside: knowledge.and_then(|knowledge| aside_words(product, knowledge)).map(|words| {
            if unit.missing_part(product, catalog).is_some() {
                "Plans leave it aside while a part is missing"
            } else {
                words
            }
        }),
        can_lead: unit.missing_part(product, catalog).is_none()
            && knowledge.is_some_and(|knowledge| can_lead(product, knowledge)),
        in_library: if renewed_item(item, catalog).is_some() {
            InLibrary::Otherwise
        } else if catalog.own.products.contains(product) {
            InLibrary::Same
        } else {
            InLibrary::No
        },
        strength: strength_words(product),
        does: does_words(product),
        parts: parts_words(product, unit, catalog),
        tools,
        notes: product.dissolved().map(|dissolved| dissolved.notes).unwrap_or_default(),
        troubles: (product.check().into_iter().chain(refused).map(|problem| capital(&problem.message)))
            .chain(lacks_words(product, unit, catalog))
            .collect(),
    }
}

/// The parts of a feed in a line, in the order of pouring; empty for one that is whole.
fn parts_words(product: &Product, unit: &Unit, catalog: &Catalog) -> String {
    let parts = unit.parts_of(product, catalog);
    if parts.len() < 2 {
        return String::new();
    }
    let amounts = in_whole_numbers(&parts.iter().map(|(_, amount)| *amount).collect::<Vec<_>>());
    let told = parts
        .iter()
        .zip(amounts)
        .map(|((of, _), amount)| format!("{} {} of {}", figure(amount), of.form.unit(), of.name));
    format!("Poured in this order: {}", told.collect::<Vec<_>>().join(", then "))
}

/// What is missing of a feed in parts.
fn lacks_words(product: &Product, unit: &Unit, catalog: &Catalog) -> Option<String> {
    let id = unit.missing_part(product, catalog)?;
    let used_up = unit.shelf_item(id).and_then(|item| catalog.product_of(item));
    Some(match used_up.or_else(|| catalog.product(id)) {
        Some(part) => format!(
            "{} belongs to it and is not at hand. Plans use another feed; if there is none, they ask for that part all the same",
            capital(&part.name)
        ),
        None => {
            "Another part belonged to it and is gone: plans pour this one alone. Describe that part, or leave it out"
                .to_owned()
        }
    })
}

/// Why plans leave a product aside; none where they do not.
fn aside_words(product: &Product, knowledge: &Knowledge) -> Option<&'static str> {
    let belief = knowledge.product_of(&product.id);
    match belief {
        // Of supplements those that plans do not ask for can be poured by hand, of other kinds one is known at a time.
        Some(belief) if belief.role == Role::CalMag && !belief.brings_calcium() => {
            Some("No plan asks for it, as it brings no calcium to speak of; poured by hand it is counted")
        }
        Some(_) if knowledge.is_planned_with(&product.id) => None,
        Some(_) => Some("Plans take another supplement where calcium is missing; poured by hand this one is counted"),
        None => Some("Plans leave it aside: they use one product of a kind"),
    }
}

/// Whether plans can be made with a product in place of the one of its kind that they are made with.
fn can_lead(product: &Product, knowledge: &Knowledge) -> bool {
    let is_planned = knowledge.is_planned_with(&product.id);
    !is_planned && knowledge.product_of(&product.id).is_none_or(ProductBelief::brings_calcium)
}

/// What a product holds, in a line.
pub(super) fn strength_words(product: &Product) -> String {
    match &product.strength {
        Strength::Label(label) => label_words(label),
        Strength::Recipe(recipe) => {
            let per = if product.form.unit() == "g" { "g/kg" } else { "g/L" };
            let salts = recipe.salts.iter().map(|part| format!("{} {}", part.salt.words(), figure(part.grams)));
            capital(&format!("{} {per}", salts.collect::<Vec<_>>().join(", ")))
        }
        Strength::Acid { acid, concentration } => format!("{} {}", capital(acid.words()), told(*concentration)),
        Strength::Base { base, concentration } => format!("{} {}", capital(base.words()), told(*concentration)),
        Strength::RaisesEc { ms_cm_per_unit_l } => {
            format!("1 {}/L raises EC by {} mS/cm", product.form.unit(), figure(*ms_cm_per_unit_l))
        }
        Strength::Unknown { kind, .. } => match kind {
            UnknownKind::Acid(acid) => format!("No label: likely {}, strength a wide guess", acid.words()),
            UnknownKind::Base(base) => format!("No label: likely {}, strength a wide guess", base.words()),
            UnknownKind::Feed => "No label: a feed of middling balance, strength a wide guess".to_owned(),
        },
        Strength::Peroxide(grade) => format!("Hydrogen peroxide {}", grade.words()),
    }
}

fn told(concentration: Concentration) -> String {
    match concentration {
        Concentration::MassPercent(percent) => format!("{} %", plain(percent)),
        Concentration::GramsPerL(grams) => format!("{} g/L", plain(grams)),
        Concentration::MolPerL(moles) => format!("{} mol/L", plain(moles)),
    }
}

fn label_words(label: &LabelAnalysis) -> String {
    let unit = label.basis.symbol();
    let lines = label.lines();
    let told = lines.iter().filter_map(|line| Some(format!("{} {}", line.name, plain(line.value?))));
    capital(&format!("{} {unit}", told.collect::<Vec<_>>().join(", ")))
}

/// What one mL or g of a product does, in a line; empty for one that cannot be worked out.
pub(super) fn does_words(product: &Product) -> String {
    let Ok(dissolved) = product.dissolved() else { return String::new() };
    let unit = product.form.unit();
    match product.role {
        Role::PhDown | Role::PhUp => {
            // As drop kits count it, in a tank of a size that people have.
            let mg_l = dissolved.alkalinity_eq() * 1e3 * MG_CACO3_PER_MEQ / 10.0;
            let verb = if mg_l < 0.0 { "takes away" } else { "adds" };
            let about = if matches!(product.strength, Strength::Unknown { .. }) { "perhaps" } else { "about" };
            format!("1 {unit} in 10 L {verb} {about} {:.0} mg/L CaCO3 of alkalinity", mg_l.abs())
        }
        Role::Feed | Role::CalMag | Role::Silicate => {
            let per_l = dissolved.nutrients(1.0);
            let all =
                [("N", per_l.n), ("P", per_l.p), ("K", per_l.k), ("Ca", per_l.ca), ("Mg", per_l.mg), ("Si", per_l.si)];
            let brought = all.iter().filter(|(_, mg)| *mg >= 0.05);
            let brought = brought.map(|(name, mg)| format!("{name} {}", figure(*mg))).collect::<Vec<_>>().join(", ");
            let brought = if brought.is_empty() { String::new() } else { format!(" and brings {brought} mg/L") };
            match dissolved.ec_rise_ms_cm() {
                // Four in five of the guess lie between these.
                Ok(rise) if matches!(product.strength, Strength::Unknown { .. }) => {
                    let within = (1.28 * dissolved.ln_sd).exp();
                    format!(
                        "1 {unit}/L raises EC by perhaps {} to {} mS/cm",
                        figure(rise / within),
                        figure(rise * within)
                    )
                }
                Ok(rise) => format!("1 {unit}/L raises EC by about {rise:.2} mS/cm{brought}"),
                Err(_) => String::new(),
            }
        }
    }
}
