//! The parts of a feed as a person tells them, and what that makes of the shelf.

use super::product_draft::ProductDraft;
use super::readers::capital;
use crate::garden::{
    Catalog, MOST_PARTS, PartShare, Product, ProductRef, Role, ShelfItem, Unit, check_part_amount, free_id,
    in_whole_numbers, partners,
};
use crate::ui::command::{Field, ProductField};
use crate::ui::view::{Choice, PartRow, PartsView, SheetNumber};

/// Names of the fields, which a reader of the screen must tell apart.
const AMOUNTS: [&str; MOST_PARTS] = [
    "Amount of part 1",
    "Amount of part 2",
    "Amount of part 3",
    "Amount of part 4",
    "Amount of part 5",
    "Amount of part 6",
    "Amount of part 7",
    "Amount of part 8",
];

/// One of the parts, in the order of pouring.
#[derive(Clone, PartialEq, Debug)]
pub struct PartLine {
    /// Another product of the shelf; none for the one that is described.
    pub id: Option<String>,
    /// How much of it goes with the others.
    pub amount: Option<f64>,
}

/// What keeping a draft makes of a unit.
#[derive(Clone, PartialEq, Debug)]
pub struct Kept {
    /// The shelf.
    pub shelf: Vec<ShelfItem>,
    /// Ids that gave way to others, old and new: the log calls them so from now on.
    pub renamed: Vec<(String, String)>,
    /// Place of what was described.
    pub place: usize,
}

/// The lines of a product that stands in a unit; none of one that is whole.
pub(super) fn lines_of(product: &Product, unit: &Unit, catalog: &Catalog) -> Vec<PartLine> {
    let Some(partner) = product.partner.as_ref().filter(|_| product.role == Role::Feed) else { return Vec::new() };
    let parts = unit.parts_of(product, catalog);
    let amounts = in_whole_numbers(&parts.iter().map(|(_, amount)| *amount).collect::<Vec<_>>());
    let id = |of: &Product| (of.id != product.id).then(|| of.id.clone());
    let mut lines: Vec<PartLine> =
        parts.iter().zip(amounts).map(|((of, _), amount)| PartLine { id: id(of), amount: Some(amount) }).collect();
    // A part that is gone is shown as such, so that it can be left out.
    let is_there = |line: &PartLine| line.id.as_ref() == Some(&partner.product_id);
    if !lines.iter().any(is_there) && partner.product_id != product.id {
        lines.push(PartLine { id: Some(partner.product_id.clone()), amount: Some(partner.ratio) });
    }
    lines
}

impl ProductDraft {
    /// A feed that is poured with the one at a place of the shelf, to be described next.
    pub fn next_part(unit: &Unit, catalog: &Catalog, place: usize) -> Option<Self> {
        let item = unit.shelf.get(place)?;
        let product = catalog.product_of(item)?;
        let mut draft = Self { is_powder: product.form.unit() == "g", ..Self::new() };
        draft.add_part(&product.id, unit, catalog);
        Some(draft)
    }

    /// Whether parts can be told of it.
    pub(super) fn may_have_parts(&self) -> bool {
        self.is_own && self.role() == Role::Feed
    }

    /// Another product goes with it; parts of its own come along.
    pub fn add_part(&mut self, id: &str, unit: &Unit, catalog: &Catalog) {
        let Some(product) = unit.shelf_item(id).and_then(|item| catalog.product_of(item)) else { return };
        if self.parts.is_empty() {
            self.parts.push(PartLine { id: None, amount: Some(1.0) });
        }
        let others = unit.parts_of(product, catalog);
        let whole = others.first().map_or(1.0, |(_, first)| *first);
        let new: Vec<PartLine> = (others.iter())
            .filter(|(of, _)| self.parts.iter().all(|line| line.id.as_ref() != Some(&of.id)))
            .filter(|(of, _)| self.was.as_ref().is_none_or(|was| was.id != of.id))
            .map(|(of, amount)| PartLine { id: Some(of.id.clone()), amount: Some(amount / whole) })
            .collect();
        // What stood there first is likely the first part: one that is described anew goes behind it.
        let at = if self.place.is_none() { self.parts.len() - 1 } else { self.parts.len() };
        self.parts.splice(at..at, new);
        self.parts.truncate(MOST_PARTS);
    }

    /// A part goes in before the one above it.
    pub fn move_part_up(&mut self, place: usize) {
        if place > 0 && place < self.parts.len() {
            self.parts.swap(place, place - 1);
        }
    }

    /// A part is none.
    pub fn leave_part_out(&mut self, place: usize) {
        if place < self.parts.len() {
            let gone = self.parts.remove(place);
            if self.parts.len() < 2 || gone.id.is_none() {
                self.parts.clear();
            }
        }
    }

    /// What the sheet shows of the parts; none where there can be none.
    pub(super) fn parts_view(&self, unit: &Unit, catalog: &Catalog) -> Option<PartsView> {
        if !self.may_have_parts() {
            return None;
        }
        let product = |id: &str| {
            let shelf = unit.shelf_item(id).and_then(|item| catalog.product_of(item));
            shelf.or_else(|| catalog.product(id))
        };
        let row = |(place, line): (usize, &PartLine)| {
            let of = line.id.as_deref().and_then(product);
            let name = match (&line.id, of) {
                (None, _) => {
                    let name = self.name.trim();
                    if name.is_empty() { "This one".to_owned() } else { name.to_owned() }
                }
                (Some(_), Some(of)) => capital(&of.name),
                (Some(id), None) => format!("“{id}”, which is gone"),
            };
            let is_powder = of.map_or(self.is_powder, |of| of.form.unit() == "g");
            let field = Field::Product(ProductField::Part(u8::try_from(place).ok()?));
            let unit = if is_powder { "g" } else { "mL" }.to_owned();
            let number = SheetNumber { field, label: AMOUNTS.get(place)?, unit, hint: "1", value: line.amount };
            Some(PartRow { name, number, is_this: line.id.is_none() })
        };
        let rows: Vec<PartRow> = self.parts.iter().enumerate().filter_map(row).collect();
        let this_id = self.was.as_ref().map(|was| was.id.as_str());
        let is_told = |id: &str| Some(id) == this_id || self.parts.iter().any(|line| line.id.as_deref() == Some(id));
        let add = (unit.at_hand())
            .filter(|item| matches!(item.product, ProductRef::Own(_)))
            .filter_map(|item| catalog.product_of(item))
            .filter(|other| other.role == Role::Feed && !is_told(&other.id));
        let makes_own = self.parts.iter().filter_map(|line| line.id.as_deref()).any(|id| is_shipped(id, unit));
        let note = if rows.is_empty() {
            "Feeds that come in two or three bottles are poured together. Say which belong together, and plans keep their ratio"
        } else if makes_own {
            "In the order of pouring, in the ratio of the label. The other parts become yours with this one"
        } else {
            "In the order of pouring, in the ratio of the label: as much of each as it says for the same water"
        };
        Some(PartsView {
            note: note.to_owned(),
            has_room: rows.len() < MOST_PARTS,
            add: add.map(|other| Choice::new(&other.id, capital(&other.name))).collect(),
            rows,
        })
    }

    /// What is wrong with the parts, at its field where it has one.
    pub(super) fn part_problem(&self) -> Option<(Option<Field>, String)> {
        if !self.may_have_parts() {
            return None;
        }
        (self.parts.iter().zip(0_u8..)).find_map(|(line, place)| {
            let amount = line.amount.unwrap_or(0.0);
            let words = match line.amount {
                None => "It needs the amount of each part".to_owned(),
                Some(_) => capital(&check_part_amount(amount)?.message),
            };
            Some((Some(Field::Product(ProductField::Part(place))), words))
        })
    }

    /// The shelf with what is described on it, and each part told of the others.
    ///
    /// # Errors
    /// What is missing or refused, in a sentence.
    pub fn kept(&self, unit: &Unit, catalog: &Catalog) -> Result<Kept, String> {
        let item = self.item(unit, catalog)?;
        if let Some((_, words)) = self.part_problem() {
            return Err(words);
        }
        let mut kept = Kept { shelf: unit.shelf.clone(), renamed: Vec::new(), place: unit.shelf.len() };
        let this_id = item.product.id().to_owned();
        match self.place.filter(|place| *place < kept.shelf.len()) {
            Some(place) => {
                let old_id = kept.shelf[place].product.id().to_owned();
                if old_id != this_id {
                    kept.renamed.push((old_id, this_id.clone()));
                }
                kept.shelf[place] = item;
                kept.place = place;
            }
            None => kept.shelf.push(item),
        }
        if !self.is_own {
            return Ok(kept);
        }
        let lines: &[PartLine] = if self.may_have_parts() { &self.parts } else { &[] };
        let mut shares = Vec::new();
        for line in lines {
            let product_id = match &line.id {
                None => this_id.clone(),
                Some(id) => kept.own_part(id, catalog)?,
            };
            shares.push(PartShare { product_id, amount: line.amount.unwrap_or(1.0) });
        }
        if shares.is_empty() {
            shares.push(PartShare { product_id: this_id, amount: 1.0 });
        }
        kept.leave_alone(&shares, unit, catalog);
        kept.tell(&shares);
        Ok(kept)
    }
}

/// Whether what stands on the shelf by an id, or is to, is no product of one's own.
fn is_shipped(id: &str, unit: &Unit) -> bool {
    unit.shelf_item(id).is_none_or(|item| matches!(item.product, ProductRef::Shipped(_)))
}

impl Kept {
    /// The id of a part as one's own: only what is one's own can be told of others.
    fn own_part(&mut self, id: &str, catalog: &Catalog) -> Result<String, String> {
        let here = self.shelf.iter().position(|item| item.product.id() == id);
        if let Some(here) = here
            && matches!(self.shelf[here].product, ProductRef::Own(_))
        {
            self.shelf[here].used_up = false;
            return Ok(id.to_owned());
        }
        let Some(product) = catalog.product(id) else {
            return Err(format!("The part “{id}” is not on the shelf: leave it out, or put it back first"));
        };
        let is_taken = |id: &str| catalog.product(id).is_some() || self.shelf.iter().any(|i| i.product.id() == id);
        let new_id = free_id(id, is_taken);
        let own = Box::new(Product { id: new_id.clone(), partner: None, ..product.clone() });
        if let Some(here) = here {
            self.shelf[here].product = ProductRef::Own(own);
            self.renamed.push((id.to_owned(), new_id.clone()));
        } else {
            let tools = crate::ui::state::ToolAnswer::default();
            self.shelf.push(super::tools::item_of(product, ProductRef::Own(own), &tools));
        }
        Ok(new_id)
    }

    /// Parts that went with one of these and do so no more are a feed among themselves, or whole.
    fn leave_alone(&mut self, shares: &[PartShare], before: &Unit, catalog: &Catalog) {
        let is_told = |id: &str| shares.iter().any(|share| share.product_id == id);
        let mut done: Vec<String> = Vec::new();
        for share in shares {
            let Some(product) = before.shelf_item(&share.product_id).and_then(|item| catalog.product_of(item)) else {
                continue;
            };
            let left: Vec<PartShare> = (before.parts_of(product, catalog).iter())
                .filter(|(of, _)| !is_told(&of.id) && !done.contains(&of.id) && !is_shipped(&of.id, before))
                .map(|(of, amount)| PartShare { product_id: of.id.clone(), amount: *amount })
                .collect();
            done.extend(left.iter().map(|share| share.product_id.clone()));
            self.tell(&left);
        }
    }

    /// Tells each of the parts of the next one.
    fn tell(&mut self, shares: &[PartShare]) {
        for (share, partner) in shares.iter().zip(partners(shares)) {
            let item = self.shelf.iter_mut().find(|item| item.product.id() == share.product_id);
            if let Some(ShelfItem { product: ProductRef::Own(product), .. }) = item {
                product.partner = partner;
            }
        }
    }
}
