//! The tub card, from the card of the plan.

use super::pours::joined;
use super::readers::capital;
use super::today::Shown;
use crate::card::{Card, CardStep, text};
use crate::ui::view::{CardStepView, TubCardView};

pub(super) fn tub_card(shown: &Shown<'_>) -> TubCardView {
    let Some(outlook) = shown.outlook else { return TubCardView::default() };
    let card = Card::of(shown.unit, shown.catalog, &outlook.plan);
    TubCardView {
        unit: card.unit.clone(),
        facts: vec![
            capital(&card.facts),
            capital(&format!("reading: {}", card.reading)),
            capital(&format!("zone: {}", card.zone)),
        ],
        steps: card.steps.iter().map(step_view).collect(),
        warnings: card.warnings.clone(),
        last: format!("Label and safety data sheet come first; they override this card. ({})", card.model),
        text: text(&card),
    }
}

fn step_view(step: &CardStep) -> CardStepView {
    // The card's own sentence, its amount apart: "Pour 5.0 mL of …", "Add 2.4 g of …".
    let apart = ["Pour ", "Add "].into_iter().find_map(|verb| step.headline.strip_prefix(verb)?.split_once(" of "));
    let (large, of) = apart.unwrap_or((step.headline.as_str(), ""));
    let mut lines = step.lines.clone();
    // What to expect is the last of a step's lines, where there is something to expect.
    let expect = if step.expect_ph.is_some() { lines.pop() } else { None };
    if step.provisional {
        lines.push("A reading before this step may change its amount".to_owned());
    }
    CardStepView {
        large: large.to_owned(),
        of: of.to_owned(),
        how: step.how.clone(),
        lines,
        expect,
        cautions: joined(&step.cautions),
    }
}
