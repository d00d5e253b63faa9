//! The tub card, from the card of the plan.

use super::today::Shown;
use crate::card::{Card, text};
use crate::ui::view::TubCardView;

/// The card of what is shown; none while the plan is worked out.
pub(crate) fn card_of(shown: &Shown<'_>) -> Option<Card> {
    let plan = &shown.outlook?.plan;
    let date = |at_s| shown.clock.date(at_s);
    Some(Card::of(shown.unit, shown.catalog, plan, shown.clock.now_s(), &date))
}

pub(super) fn tub_card(shown: &Shown<'_>) -> TubCardView {
    let card = card_of(shown);
    TubCardView { text: card.as_ref().map(text).unwrap_or_default(), card }
}
