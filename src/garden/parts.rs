//! Feeds in parts: bottles or bags that are poured together, in an order and a ratio.

use serde::{Deserialize, Serialize};

use super::catalog::Catalog;
use super::check::{FieldProblem, positive};
use super::product::{Product, Role};
use super::unit::Unit;

/// The next part of a feed in parts. The parts name each other in a ring, the last one the first.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Partner {
    /// Product id of the next part; of a feed in two parts the other one.
    pub product_id: String,
    /// Amount of that part for one of this one.
    pub ratio: f64,
    /// Whether this part goes in before that one. The last part, which names the first, says no.
    pub first: bool,
}

/// Parts of one feed at most. Ours: nobody sells more, and a ring that does not close must end.
pub const MOST_PARTS: usize = 8;

/// Largest amount by which the share of a part is told. Ours: labels say 1, 2 or 3, rarely a tenth.
const MOST_SHARE: f64 = 1000.0;

/// A part and how much of it goes with the others, in whatever measure they all share.
#[derive(Clone, PartialEq, Debug)]
pub struct PartShare {
    /// Product id.
    pub product_id: String,
    /// Amount in the part's own unit (mL or g), above 0, at most 1000.
    pub amount: f64,
}

/// What each of the parts, in the order in which they are poured, says of the next one; a single one is whole and says nothing.
pub fn partners(parts: &[PartShare]) -> Vec<Option<Partner>> {
    if parts.len() < 2 {
        return vec![None; parts.len()];
    }
    let next = parts.iter().skip(1).chain(parts.first());
    let last = parts.len() - 1;
    (parts.iter().zip(next).enumerate())
        .map(|(place, (this, next))| {
            let (product_id, ratio) = (next.product_id.clone(), next.amount / this.amount);
            Some(Partner { product_id, ratio, first: place != last })
        })
        .collect()
}

/// Shares as a label tells them: in the smallest whole numbers up to 10 that fit within 1 %, or as they are.
pub fn in_whole_numbers(shares: &[f64]) -> Vec<f64> {
    let least = shares.iter().copied().fold(f64::INFINITY, f64::min);
    let whole = |times: f64| -> Option<Vec<f64>> {
        let scaled = shares.iter().map(|share| share / least * times);
        scaled.map(|share| Some(share.round()).filter(|whole| (share / whole - 1.0).abs() < 0.01)).collect()
    };
    (1..=10).find_map(|times| whole(f64::from(times))).unwrap_or_else(|| shares.to_vec())
}

/// What is wrong with the amount of a part.
pub fn check_part_amount(amount: f64) -> Option<FieldProblem> {
    positive("parts.amount", "the amount of a part", amount, MOST_SHARE, "")
}

impl Product {
    /// The parts of a feed in the order in which they go in, each with its amount for one of this product; only this one if it
    /// has no partner that `by_id` knows. Partners that do not lead back here are no ring: of those the first counts.
    pub fn parts<'a>(&'a self, by_id: impl Fn(&str) -> Option<&'a Self>) -> Vec<(&'a Self, f64)> {
        let mut ring = vec![(self, 1.0)];
        let mut is_closed = false;
        while let Some((partner, ratio)) = ring.last().and_then(|(last, ratio)| Some((last.partner.as_ref()?, *ratio)))
        {
            is_closed = partner.product_id == self.id;
            let is_new = ring.iter().all(|(part, _)| part.id != partner.product_id);
            let next = by_id(&partner.product_id).filter(|_| is_new && ring.len() < MOST_PARTS);
            let Some(next) = next else { break };
            ring.push((next, ratio * partner.ratio));
        }
        if !is_closed {
            ring.truncate(2);
        }
        let is_last = |(part, _): &(&Self, f64)| part.partner.as_ref().is_some_and(|partner| !partner.first);
        let last = ring.iter().position(is_last).map_or(0, |place| place + 1);
        let parts = ring.len();
        ring.rotate_left(last % parts);
        ring
    }
}

impl Unit {
    /// The parts of a feed as they stand on the shelf, see [`Product::parts`]; a shipped part that is not there is taken from the
    /// catalog.
    pub fn parts_of<'a>(&'a self, product: &'a Product, catalog: &'a Catalog) -> Vec<(&'a Product, f64)> {
        let on_shelf = |id: &str| self.shelf_item(id).and_then(|item| catalog.product_of(item));
        product.parts(|id| on_shelf(id).or_else(|| catalog.product(id)))
    }

    /// What belongs to a feed in parts and is not at hand: the id of the first such part.
    pub fn missing_part<'a>(&'a self, product: &'a Product, catalog: &'a Catalog) -> Option<&'a str> {
        let first = product.partner.as_ref().filter(|_| product.role == Role::Feed)?;
        let is_at_hand = |id: &str| self.shelf_item(id).is_some_and(|item| !item.used_up);
        let parts = self.parts_of(product, catalog);
        let named = parts.iter().filter_map(|(part, _)| part.partner.as_ref());
        let ids = std::iter::once(first).chain(named).map(|partner| partner.product_id.as_str());
        ids.into_iter().find(|id| !is_at_hand(id))
    }
}
