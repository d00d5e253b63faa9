//! The sheet on which a product is described: what it shows of a draft.

use super::product_draft::{ACIDS, BASES, COUNTED, Known, ProductDraft, ROLES, USUAL_LINES};
use super::readers::capital;
use super::shelf::{does_words, strength_words};
use super::tools::measure_view;
use super::{id_of, ids};
use crate::garden::{Catalog, Chelate, FieldProblem, LabelAnalysis, LabelBasis, OwnKind, Role, Salt, Unit};
use crate::ui::command::{Field, ProductField};
use crate::ui::state::{Keeper, Trouble};
use crate::ui::view::{Choice, OfferView, ProductPick, ProductView, Reader, SheetNumber};
use crate::ui::widgets::plain_number;

fn number(
    field: ProductField,
    label: &'static str,
    unit: impl Into<String>,
    hint: &'static str,
    value: Option<f64>,
) -> SheetNumber {
    SheetNumber { field: Field::Product(field), label, unit: unit.into(), hint, value }
}

/// What the sheet shows.
///
/// `unit` is the open one; none is needed for a product of the library.
pub fn product_view(draft: &ProductDraft, unit: Option<&Unit>, catalog: &Catalog) -> ProductView {
    let role = draft.role();
    let product = if draft.is_own { draft.product("") } else { draft.was.clone().unwrap_or_else(|| draft.product("")) };
    let per = product.form.unit();
    let is_of_unit = draft.keeper == Keeper::Unit;
    // What it is measured with is a matter of each unit.
    let measure =
        is_of_unit.then(|| measure_view(&product, "It", &draft.tool, |n| Field::Product(ProductField::Tool(n))));
    let mut view = ProductView {
        title: match (draft.place.is_some() || !is_of_unit && draft.is_begun_from_one(), draft.is_own) {
            (false, _) => "Describe a product".to_owned(),
            (true, true) => "A product of yours".to_owned(),
            (true, false) => product.name.clone(),
        },
        is_own: draft.is_own,
        name: product.name.clone(),
        strength: strength_words(&product),
        roles: ids(&ROLES, |(_, words)| words.to_owned()),
        forms: vec![Choice::new("liquid", "Liquid, by mL"), Choice::new("powder", "Powder, by g")],
        known: Known::of(role).iter().map(|(known, words)| Choice::new(known.id(), *words)).collect(),
        does: String::new(),
        keep: super::library::keep_words(draft.keeper, OwnKind::Product, draft.is_begun_from_one()),
        measure: measure.unwrap_or_default(),
        cautions: product.told_cautions(),
        reader: reader(),
        ..ProductView::default()
    };
    let missing = draft.missing().filter(|_| draft.is_own);
    if missing.is_none() {
        view.does = does_words(&product);
    }
    if draft.is_own {
        fill_known(&mut view, draft, per);
        let is_nameless = draft.name.trim().is_empty();
        for problem in
            product.check().into_iter().filter(|_| missing.is_none() || is_nameless && draft.missing_inside())
        {
            view.troubles.push(trouble_of(&problem, &draft.label));
        }
        if let Ok(dissolved) = product.dissolved() {
            view.notes = dissolved.notes;
        }
        // Which belong together is told where they stand.
        view.parts = unit.filter(|_| is_of_unit).and_then(|unit| draft.parts_view(unit, catalog));
        let part = draft.part_problem();
        view.troubles.extend(part.map(|(field, message)| (field, Trouble { message, offers: Vec::new() })));
        view.rate = matches!(role, Role::Feed | Role::CalMag | Role::Silicate)
            .then(|| number(ProductField::Rate, "Rate on the label", format!("{per}/L"), "", draft.rate));
    }
    view.missing = missing
        .map(str::to_owned)
        .or_else(|| match (draft.keeper, unit) {
            (Keeper::Unit, Some(unit)) => draft.kept(unit, catalog).err(),
            _ => draft.own_product("new").err(),
        })
        .or_else(|| view.measure.refusal.as_ref().map(|(words, _)| words.clone()));
    view
}

fn fill_known(view: &mut ProductView, draft: &ProductDraft, per: &'static str) {
    match draft.known {
        Known::Label => {
            let basis = id_of(&LabelBasis::ALL, draft.label.basis);
            let words = |basis: LabelBasis| capital(basis.words());
            let usual = LabelBasis::ALL.iter().filter(|basis| !(draft.is_powder && basis.is_by_volume()));
            let choices = usual.map(|basis| Choice::new(id_of(&LabelBasis::ALL, *basis), words(*basis))).collect();
            view.picks.push((ProductPick::Basis, "The label counts in", choices, basis));
            let unit = draft.label.basis.symbol();
            let lines = draft.label.lines();
            let shown = if draft.more { lines.len() } else { USUAL_LINES };
            view.numbers = (lines.iter().zip(0_u8..).take(shown))
                .map(|(line, place)| number(ProductField::Line(place), line.title(), unit, "", line.value))
                .collect();
            view.more = Some(draft.more);
            if draft.label.fe.is_some() {
                let held = draft.label.fe_chelate.and_then(|c| Chelate::ALL.iter().position(|other| *other == c));
                let mut choices = ids(&Chelate::ALL, |chelate| capital(chelate.words()));
                choices.insert(0, Choice::new("none", "The label does not say"));
                let id = held.map_or_else(|| "none".to_owned(), |place| place.to_string());
                view.picks.push((ProductPick::Chelate, "Iron is held by", choices, id));
            }
            "Fill in the lines that the label has, and leave the others empty. Where it lists phosphate and potash, that is P2O5 and K2O".clone_into(&mut view.known_note);
        }
        Known::Salts => {
            view.salts = Salt::ALL
                .iter()
                .zip(0..)
                .map(|(salt, place): (_, usize)| Choice::new(place.to_string(), salt.words()))
                .collect();
            view.salts_unit = if draft.is_powder { "g/kg" } else { "g/L" };
            view.known_note = format!(
                "Grams of each salt in a {} of the product, water of crystals and all",
                if draft.is_powder { "kilogram" } else { "litre" }
            );
        }
        Known::Rise => {
            view.numbers =
                vec![number(ProductField::Rise, "It raises EC by", format!("mS/cm for 1 {per}/L"), "0.1", draft.rise)];
            format!("Stir 1 {per} into a litre of your water and read EC before and after: the difference is it")
                .clone_into(&mut view.known_note);
        }
        Known::Substance => {
            let down = draft.role() == Role::PhDown;
            let (pick, name, choices, id) = if down {
                (ProductPick::Acid, "Acid", ids(&ACIDS, |acid| capital(acid.words())), &draft.acid_id)
            } else {
                (ProductPick::Base, "Base", ids(&BASES, |base| capital(base.words())), &draft.base_id)
            };
            let id = if id.is_empty() { "0".to_owned() } else { id.clone() };
            view.picks.push((pick, name, choices, id));
            let counted = if draft.counted_id.is_empty() { COUNTED[0] } else { draft.counted_id.as_str() };
            if !draft.is_powder {
                let choices = COUNTED.iter().map(|unit| Choice::new(*unit, *unit)).collect();
                view.picks.push((ProductPick::CountedIn, "Strength told in", choices, counted.to_owned()));
            }
            view.numbers = vec![number(
                ProductField::Strength,
                "Strength",
                if draft.is_powder { "%" } else { counted },
                "",
                draft.strength,
            )];
        }
        Known::Nothing => {
            "Then its strength is a wide guess, the first pour is small, and each reading or a jar test narrows it"
                .clone_into(&mut view.known_note);
        }
    }
    let by_mass = match draft.known {
        Known::Label => !draft.label.basis.is_by_volume(),
        Known::Substance => draft.counted_id.is_empty() || draft.counted_id == COUNTED[0],
        _ => false,
    };
    view.density = (by_mass && !draft.is_powder)
        .then(|| number(ProductField::Density, "Density, if the label has it", "g/mL", "1.1", draft.density));
}

/// A problem, at the field of the sheet that it is about.
fn trouble_of(problem: &FieldProblem, label: &LabelAnalysis) -> (Option<Field>, Trouble) {
    let line = problem.field.strip_prefix("strength.label.").and_then(|key| {
        let place = label.lines().iter().position(|line| line.key == key)?;
        u8::try_from(place).ok().map(ProductField::Line)
    });
    let field = line.or(match problem.field.as_str() {
        "form.density_g_ml" => Some(ProductField::Density),
        "strength.ms_cm_per_unit_l" => Some(ProductField::Rise),
        "label_rate.per_l" => Some(ProductField::Rate),
        "strength" => Some(ProductField::Strength),
        _ => None,
    });
    let offers = problem.offers.iter().map(|fix| OfferView { label: fix.label.clone(), value: fix.value }).collect();
    (field.map(Field::Product), Trouble { message: capital(&problem.message), offers })
}

fn reader() -> Reader {
    let lines = LabelAnalysis::default().lines();
    Reader::new(move |field, typed| {
        // What a number may be is told by the product's own check, which knows what was likely meant.
        let name = match field {
            Field::Product(ProductField::Density) => "The density",
            Field::Product(ProductField::Rate) => "The rate",
            Field::Product(ProductField::Strength) => "The strength",
            Field::Product(ProductField::Rise) => "The rise of EC",
            Field::Product(ProductField::Line(place)) => {
                lines.get(usize::from(place)).map_or("That line of the label", |line| line.title())
            }
            Field::Product(ProductField::Part(_)) => "The amount of a part",
            Field::Product(ProductField::Salt(place)) => {
                Salt::ALL.get(usize::from(place)).map_or("The grams of a salt", |salt| salt.words())
            }
            _ => "That number",
        };
        plain_number(typed, name, "", 0.0..=1e6)
    })
}
