//! What the tub card shows.

/// The steps on paper.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct TubCardView {
    /// The unit's name.
    pub unit: String,
    /// What is in it, the reading and the zone, a line each.
    pub facts: Vec<String>,
    /// The steps, in order.
    pub steps: Vec<CardStepView>,
    /// What is good to know of water and plan.
    pub warnings: Vec<String>,
    /// The last line: what comes before the card.
    pub last: String,
    /// The whole as text, for the clipboard.
    pub text: String,
}

/// A step on paper.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct CardStepView {
    /// The large words: an amount, or what to do.
    pub large: String,
    /// What the amount is of; empty when the large words say all.
    pub of: String,
    /// How it is measured.
    pub how: Option<String>,
    /// Range and reasons.
    pub lines: Vec<String>,
    /// Wait, and what the next reading should show.
    pub expect: Option<String>,
    /// Cautions beside the step.
    pub cautions: Vec<String>,
}
