//! What products are measured with: the tools to pick from, and the tools that follow from the answers.

use crate::garden::{Catalog, Form, Product, ProductRef, Role, ShelfItem, Tool, check_measure};
use crate::ui::command::Field;
use crate::ui::state::{Answers, ToolAnswer};
use crate::ui::view::{Choice, MeasureField, MeasureView};

/// Places of the products on the first page.
pub(super) const PLACES: [(Role, &str); 3] =
    [(Role::Feed, "Feed"), (Role::PhDown, "To lower pH"), (Role::PhUp, "To raise pH")];

/// Id of tools that the page cannot show: they stay.
pub(super) const AS_NOTED: &str = "noted";
/// Level scoops that are weighed together. Common practice, no source.
const SCOOPS_WEIGHED: f64 = 10.0;
/// A level teaspoon of a dry feed when nobody weighed it, g. Ours: 4.4 mL (Falagas 2010) of a salt that packs to about 1.1 g/mL.
const UNWEIGHED_SCOOP_G: f64 = 5.0;
/// How far such a scoop may be off, 1 sd of the logarithm: a spoon's own 0.22, and as much again for how it packs. Ours.
const UNWEIGHED_SCATTER: f64 = 0.31;

/// Tools for a liquid: id and words. The first is taken when nobody said.
const LIQUID: [(&str, &str); 9] = [
    ("syringe-10", "10 mL syringe"),
    ("syringe-1", "1 mL syringe"),
    ("syringes", "1 and 10 mL syringe"),
    ("syringe-60", "60 mL syringe"),
    ("syringe", "Another syringe"),
    ("dropper", "Dropper, by drops"),
    ("teaspoon", "Teaspoon (5 mL)"),
    ("tablespoon", "Tablespoon (15 mL)"),
    ("jug", "500 mL jug with 10 mL marks"),
];
/// Tools for a powder.
const POWDER: [(&str, &str); 4] = [
    ("scale-0.1", "Scale to 0.1 g"),
    ("scale-0.01", "Scale to 0.01 g"),
    ("scale-1", "Scale to 1 g"),
    ("scoop", "Level scoop or spoon"),
];

const SYRINGE_60: Tool = Tool::Syringe { capacity_ml: 60.0, mark_ml: 1.0 };
const JUG: Tool = Tool::Jug { capacity_ml: 500.0, mark_ml: 10.0 };

fn table(product: &Product) -> &'static [(&'static str, &'static str)] {
    match product.form {
        Form::Liquid { .. } => &LIQUID,
        Form::Powder => &POWDER,
    }
}

/// The tools of an answer; `None` where they are not said or stay as noted. The first is the main one.
pub(super) fn tools_of(answer: &ToolAnswer) -> Option<Vec<Tool>> {
    let [first, second] = answer.numbers;
    let one = |tool: Tool| Some(vec![tool]);
    match answer.id.as_str() {
        "syringe-10" => one(Tool::SYRINGE_10),
        "syringe-1" => one(Tool::SYRINGE_1),
        "syringes" => Some(vec![Tool::SYRINGE_10, Tool::SYRINGE_1]),
        "syringe-60" => one(SYRINGE_60),
        // A syringe whose marks nobody told has twenty of them: the marks of most are finer.
        "syringe" => {
            let capacity_ml = first.unwrap_or(20.0);
            one(Tool::Syringe { capacity_ml, mark_ml: second.unwrap_or(capacity_ml / 20.0) })
        }
        "dropper" => one(first.map_or(Tool::DROPPER, |drops_per_ml| Tool::Dropper { drops_per_ml, counted: true })),
        "teaspoon" => one(Tool::TEASPOON),
        "tablespoon" => one(Tool::TABLESPOON),
        "jug" => one(JUG),
        "scale-0.1" => one(Tool::Scale { mark_g: 0.1 }),
        "scale-0.01" => one(Tool::Scale { mark_g: 0.01 }),
        "scale-1" => one(Tool::Scale { mark_g: 1.0 }),
        "scoop" => one(first.map_or(Tool::Scoop { grams: UNWEIGHED_SCOOP_G, scatter: UNWEIGHED_SCATTER }, |grams| {
            Tool::weighed_scoop(SCOOPS_WEIGHED, grams)
        })),
        _ => None,
    }
}

/// The answer that stands for the tools of a product on the shelf.
pub(super) fn answer_of(item: &ShelfItem, product: &Product) -> ToolAnswer {
    let tools: Vec<Tool> = item.tools().collect();
    let plain = table(product).iter().map(|(id, _)| ToolAnswer { id: (*id).to_owned(), ..ToolAnswer::default() });
    let numbers = match item.tool {
        Tool::Dropper { drops_per_ml, counted: true } => [Some(drops_per_ml), None],
        Tool::Scoop { grams, .. } => [Some(grams * SCOOPS_WEIGHED), None],
        Tool::Syringe { capacity_ml, mark_ml } => [Some(capacity_ml), Some(mark_ml)],
        _ => [None; 2],
    };
    let numbered = plain.clone().map(|answer| ToolAnswer { numbers, ..answer });
    let mut all = plain.chain(numbered);
    all.find(|answer| tools_of(answer).as_ref() == Some(&tools))
        .unwrap_or_else(|| ToolAnswer { id: AS_NOTED.to_owned(), ..ToolAnswer::default() })
}

/// A product with what it is measured with by an answer, or with the tool that is likeliest at hand: a kitchen scale to 0.1 g, or
/// a 10 mL syringe. Ours.
pub(super) fn item(product: &Product, answer: &ToolAnswer) -> ShelfItem {
    item_of(product, ProductRef::Shipped(product.id.clone()), answer)
}

/// The same of a product that stands on the shelf as `reference` says.
pub(super) fn item_of(product: &Product, reference: ProductRef, answer: &ToolAnswer) -> ShelfItem {
    let said = tools_of(answer).filter(|tools| tools.iter().all(|tool| tool.unit() == product.form.unit()));
    let mut tools = said.unwrap_or_else(|| match product.form {
        Form::Powder => vec![Tool::Scale { mark_g: 0.1 }],
        Form::Liquid { .. } => vec![Tool::SYRINGE_10],
    });
    let tool = tools.remove(0);
    ShelfItem { also: tools, ..ShelfItem::new(reference, tool) }
}

/// What the first page asks of the tools.
pub(super) fn measures(catalog: &Catalog, answers: &Answers, own: &[&Product]) -> Vec<MeasureView> {
    let ids = [&answers.feed_id, &answers.ph_down_id, &answers.ph_up_id];
    let asked = PLACES.iter().zip(ids).zip(&answers.tools).zip(0_u8..);
    asked
        .map(|((((_, of), id), answer), place)| {
            let own = own.iter().copied().find(|product| product.id == **id);
            let in_library = || catalog.own.products.iter().find(|product| product.id == **id);
            match own.or_else(|| catalog.product(id)).or_else(in_library) {
                Some(product) => measure_view(product, of, answer, |number| Field::Tool(place, number)),
                None => MeasureView { of: (*of).to_owned(), ..MeasureView::default() },
            }
        })
        .collect()
}

/// What is asked of the tools of one product; its numbers have the keys of `key`.
pub(super) fn measure_view(product: &Product, of: &str, answer: &ToolAnswer, key: impl Fn(u8) -> Field) -> MeasureView {
    let table = table(product);
    let mut tools: Vec<Choice> = table.iter().map(|(id, words)| Choice::new(*id, *words)).collect();
    let is_noted = answer.id == AS_NOTED;
    if is_noted {
        tools.insert(0, Choice::new(AS_NOTED, "As noted"));
    }
    let said = is_noted || table.iter().any(|(id, _)| *id == answer.id);
    let tool_id = if said { answer.id.clone() } else { table[0].0.to_owned() };
    let field = |number: u8, label, unit, hint| MeasureField {
        field: key(number),
        label,
        unit,
        hint,
        value: answer.numbers.get(usize::from(number)).copied().flatten(),
    };
    let (fields, note) = match tool_id.as_str() {
        "syringe" => (vec![field(0, "It holds", "mL", "20"), field(1, "A mark every", "mL", "1")], ""),
        "dropper" => (
            vec![field(0, "Drops in 1 mL", "drops", "20")],
            "Count 20 to 50 drops into a syringe once: real droppers give 10 to 30 a millilitre",
        ),
        "scoop" => (
            vec![field(0, "Ten level ones weigh", "g", "50")],
            "Weigh ten once: a spoon that nobody weighed may be 40 % off",
        ),
        "teaspoon" | "tablespoon" => (Vec::new(), "Household spoons hold 40 % more or less than they say"),
        _ => (Vec::new(), ""),
    };
    let tools_said = tools_of(&ToolAnswer { id: tool_id.clone(), ..answer.clone() }).unwrap_or_default();
    let problem = tools_said.iter().find_map(|tool| check_measure(product, tool));
    let refusal = problem.map(|problem| {
        let better = table.iter().filter(|(id, _)| {
            let plain = ToolAnswer { id: (*id).to_owned(), ..ToolAnswer::default() };
            tools_of(&plain).is_some_and(|tools| tools.iter().all(|tool| check_measure(product, tool).is_none()))
        });
        let ways = better.filter(|(id, _)| matches!(*id, "syringe-10" | "syringe-1" | "dropper" | "scale-0.1"));
        (problem.message, ways.map(|(id, words)| Choice::new(*id, *words)).collect())
    });
    let note = if refusal.is_some() { "" } else { note };
    MeasureView { of: of.to_owned(), tools, tool_id, fields, note: note.to_owned(), refusal }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn key(number: u8) -> Field {
        Field::Tool(0, number)
    }

    fn said(id: &str, numbers: [Option<f64>; 2]) -> ToolAnswer {
        ToolAnswer { id: id.to_owned(), numbers }
    }

    #[test]
    fn every_answer_comes_back_from_the_shelf_as_it_was_said() {
        let catalog = Catalog::shipped().expect("the shipped profiles");
        for id in ["one-part-powder", "phosphoric-down", "two-part-a"] {
            let product = catalog.product(id).expect("a product");
            for (tool_id, _) in table(product) {
                for numbers in [[None, None], [Some(24.0), None], [Some(30.0), Some(0.5)]] {
                    let answer = said(tool_id, numbers);
                    let item = item(product, &answer);
                    let back = answer_of(&item, product);
                    assert_eq!(tools_of(&back), tools_of(&answer), "{tool_id} {numbers:?}: {back:?}");
                    assert_ne!(back.id, AS_NOTED, "{tool_id}");
                }
            }
        }
    }

    #[test]
    fn a_dropper_and_a_scoop_take_what_was_counted_and_weighed() {
        let tool = |id, number| tools_of(&said(id, [number, None])).expect("tools")[0];
        assert_eq!(tool("dropper", Some(24.0)), Tool::Dropper { drops_per_ml: 24.0, counted: true });
        assert_eq!(tool("dropper", None), Tool::DROPPER);
        assert_eq!(tool("scoop", Some(42.0)), Tool::Scoop { grams: 4.2, scatter: Tool::LEVEL_SCATTER });
        assert!(tool("scoop", None).is_rough() && !tool("scoop", Some(42.0)).is_rough());
    }

    #[test]
    fn a_spoon_for_an_acid_is_refused_with_ways_out_that_hold() {
        let catalog = Catalog::shipped().expect("the shipped profiles");
        let acid = catalog.product("phosphoric-down").expect("a product");
        for (id, _) in LIQUID {
            let view = measure_view(acid, "To lower pH", &said(id, [None; 2]), key);
            assert_eq!(view.refusal.is_some(), id.ends_with("spoon"), "{id}: {:?}", view.refusal);
            if let Some((words, ways)) = view.refusal {
                assert!(words.contains("syringe") && ways.len() >= 3, "{words} {ways:?}");
                for way in ways {
                    assert!(measure_view(acid, "", &said(&way.id, [None; 2]), key).refusal.is_none(), "{way:?}");
                }
            }
        }
        let feed = catalog.product("two-part-a").expect("a product");
        let view = measure_view(feed, "Feed", &said("teaspoon", [None; 2]), key);
        assert!(view.refusal.is_none() && view.note.contains("40 %"), "{view:?}");
    }

    #[test]
    fn a_tool_of_the_other_form_gives_way() {
        let catalog = Catalog::shipped().expect("the shipped profiles");
        let powder = catalog.product("one-part-powder").expect("a product");
        assert_eq!(item(powder, &said("dropper", [Some(24.0), None])).tool, Tool::Scale { mark_g: 0.1 });
        assert_eq!(measure_view(powder, "Feed", &said("dropper", [None; 2]), key).tool_id, "scale-0.1");
    }
}
