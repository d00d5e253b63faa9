//! What the tub card shows.

use crate::card::Card;

/// The steps on paper: the card itself, which terminal and PDF show too.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct TubCardView {
    /// The card; none while it is worked out.
    pub card: Option<Card>,
    /// The whole as text, for the clipboard.
    pub text: String,
}
