//! What is done with the shelf.

use std::time::Duration;

use super::Shell;
use crate::garden::{OwnProfile, Product, ProductRef, ShelfItem};
use crate::ui::command::ShelfCommand;
use crate::ui::present::{
    ProductDraft, WaterDraft, added_items, capital, own_water, product_view, renewed_item, shelf_view, water_view,
};
use crate::ui::state::{Keeper, Part};
use crate::ui::view::{ProductView, ShelfView, WaterView};

/// What was taken off the shelf last.
pub(super) struct TakenOff {
    place: usize,
    item: ShelfItem,
    /// What happened to it.
    words: String,
}

impl Shell {
    /// The page of the shelf.
    pub(super) fn shelf_view(&self) -> Option<ShelfView> {
        let unit = self.unit()?;
        let taken_off = self.taken_off.as_ref().map(|taken| taken.words.as_str());
        let shown = (unit, self.catalog.as_ref(), &self.settings);
        let knowledge = self.outlook().map(|outlook| outlook.planner.knowledge());
        let peroxide = self.view.is_open(Part::Peroxide).then_some(self.view.peroxide);
        Some(shelf_view(shown, knowledge, taken_off, peroxide))
    }

    /// The sheet on which a product is described, if it is open.
    pub(super) fn product_view(&self) -> Option<Box<ProductView>> {
        let (draft, unit) = (self.view.product.as_ref()?, self.unit());
        let is_shown = unit.is_some() || draft.keeper == Keeper::Library;
        is_shown.then(|| Box::new(product_view(draft, unit, &self.catalog)))
    }

    /// The sheet on which the source water is described, if it is open.
    pub(super) fn water_view(&self) -> Option<Box<WaterView>> {
        let draft = self.view.water.as_ref()?;
        let is_shown = self.document.is_some() || draft.keeper == Keeper::Library;
        is_shown.then(|| Box::new(water_view(draft, &self.catalog)))
    }

    pub(super) fn apply_to_shelf(&mut self, command: &ShelfCommand, now: Duration) {
        match *command {
            ShelfCommand::Add(ref id) => self.add_to_shelf(id, now),
            ShelfCommand::Describe => self.open_product(Some(ProductDraft::new())),
            ShelfCommand::Open(place) | ShelfCommand::MakeOwn(place) => {
                let as_own = matches!(command, ShelfCommand::MakeOwn(_));
                let draft = self.unit().and_then(|unit| ProductDraft::of(unit, &self.catalog, place, as_own));
                self.open_product(draft);
            }
            ShelfCommand::Remove(place) => self.take_off(place, now),
            ShelfCommand::AtHand(place) => self.change(now, |unit| {
                if let Some(item) = unit.shelf.get_mut(place) {
                    item.used_up = false;
                }
            }),
            ShelfCommand::BringBack => {
                if let Some(TakenOff { place, item, .. }) = self.taken_off.take() {
                    self.change(now, |unit| {
                        let here = unit.shelf.iter().position(|other| other.product.id() == item.product.id());
                        match here {
                            Some(here) => unit.shelf[here] = item,
                            None => unit.shelf.insert(place.min(unit.shelf.len()), item),
                        }
                    });
                }
            }
            ShelfCommand::Keep if self.view.product.as_ref().is_some_and(|draft| draft.keeper == Keeper::Library) => {
                self.keep_in_library();
            }
            ShelfCommand::Keep => {
                let _ = self.keep_product(now);
            }
            ShelfCommand::KeepAndNext => {
                if let Some(place) = self.keep_product(now) {
                    let next = self.unit().and_then(|unit| ProductDraft::next_part(unit, &self.catalog, place));
                    self.open_product(next);
                }
            }
            ShelfCommand::AddPart(ref id) => {
                let Some(mut draft) = self.view.product.take() else { return };
                if let Some(unit) = self.unit() {
                    draft.add_part(id, unit, &self.catalog);
                }
                self.view.drafts.forget_product();
                self.view.product = Some(draft);
            }
            ShelfCommand::Close => self.open_product(None),
            ShelfCommand::PlanWith(place) => self.change(now, |unit| {
                // The first of a kind is planned with.
                if place < unit.shelf.len() {
                    let item = unit.shelf.remove(place);
                    unit.shelf.insert(0, item);
                }
            }),
            ShelfCommand::Share(place) => self.share(place),
            ShelfCommand::Renew(place) => {
                let item = self.unit().and_then(|unit| unit.shelf.get(place));
                if let Some(renewed) = item.and_then(|item| renewed_item(item, &self.catalog)) {
                    self.renew(place, renewed, now);
                }
            }
            ShelfCommand::ShareWater => {
                if let Some(water) = self.unit().map(|unit| own_water(unit, &self.catalog)) {
                    self.keep_for_all(OwnProfile::Water(Box::new(water)));
                }
            }
            ShelfCommand::Water => {
                self.open_product(None);
                self.view.water = self.unit().map(|unit| WaterDraft::of(unit, &self.settings));
            }
            ShelfCommand::TakeWater(ref id) => {
                self.view.drafts.forget_product();
                if let Some(draft) = &mut self.view.water {
                    draft.take(id, &self.catalog.own.waters);
                }
            }
            ShelfCommand::KeepWater
                if self.view.water.as_ref().is_some_and(|draft| draft.keeper == Keeper::Library) =>
            {
                self.keep_in_library();
            }
            ShelfCommand::KeepWater => self.keep_water(now),
            ShelfCommand::Peroxide => self.view.toggle(Part::Peroxide),
        }
    }

    /// Takes the library's version of what stands at a place, with the way back.
    fn renew(&mut self, place: usize, renewed: ShelfItem, now: Duration) {
        let Some(item) = self.unit().and_then(|unit| unit.shelf.get(place)).cloned() else { return };
        let name = self.catalog.product_of(&item).map_or_else(String::new, |product| capital(&product.name));
        let told_of = self.unit().is_some_and(|unit| unit.log_speaks_of(item.product.id()));
        self.change(now, |unit| {
            if let Some(here) = unit.shelf.get_mut(place) {
                *here = renewed;
            }
        });
        let also = if told_of { "; what was poured of it counts as that, too" } else { "" };
        let words = format!("{name} is as your library has it{also}");
        self.taken_off = Some(TakenOff { place, item, words });
    }

    /// Keeps the product at a place for other units, too; with it the other parts of its feed.
    fn share(&mut self, place: usize) {
        let Some(unit) = self.unit() else { return };
        let Some(ProductRef::Own(product)) = unit.shelf.get(place).map(|item| &item.product) else { return };
        let is_own = |id: &str| unit.shelf_item(id).is_some_and(|item| matches!(item.product, ProductRef::Own(_)));
        let parts = unit.parts_of(product, &self.catalog).into_iter().filter(|(part, _)| is_own(&part.id));
        let parts: Vec<Product> = parts.map(|(part, _)| part.clone()).collect();
        if parts.len() > 1 {
            self.keep_feed_for_all(&parts);
        } else {
            self.keep_for_all(OwnProfile::Product(product.clone()));
        }
    }

    /// Opens the sheet with a draft, or closes it.
    pub(super) fn open_product(&mut self, draft: Option<ProductDraft>) {
        self.view.drafts.forget_product();
        self.view.product = draft;
        self.view.product_sheets += 1;
        self.view.water = None;
        self.owned.described = None;
    }

    /// What is wrong with a number that is being typed.
    pub(super) fn unclear(&self) -> Option<String> {
        let drafts = &self.view.drafts;
        drafts.of_product().find_map(|field| Some(drafts.trouble(field)?.message.clone()))
    }

    /// Keeps the source water, or says on its sheet what keeps it from that.
    fn keep_water(&mut self, now: Duration) {
        let Some(mut draft) = self.view.water.take() else { return };
        match self.unclear().map_or_else(|| draft.kept(&self.catalog), Err) {
            Ok(water) => {
                if self.unit().is_some_and(|unit| unit.source_water != water) {
                    self.change(now, |unit| unit.source_water = water);
                }
                self.open_product(None);
            }
            Err(refused) => {
                draft.refused = Some(refused);
                self.view.water = Some(draft);
            }
        }
    }

    fn add_to_shelf(&mut self, id: &str, now: Duration) {
        let items = added_items(id, &self.catalog);
        self.change(now, |unit| {
            for item in items {
                if unit.shelf_item(item.product.id()).is_none() {
                    unit.shelf.push(item);
                }
            }
        });
    }

    fn take_off(&mut self, place: usize, now: Duration) {
        let Some(item) = self.unit().and_then(|unit| unit.shelf.get(place)).cloned() else { return };
        let name = self.catalog.product_of(&item).map_or_else(|| item.product.id().to_owned(), |p| p.name.clone());
        self.change(now, |unit| {
            let _ = unit.take_off(place);
        });
        let words = format!("{} was taken off", capital(&name));
        self.taken_off = Some(TakenOff { place, item, words });
    }

    /// Keeps what is on the sheet, and tells its place on the shelf; or says on the sheet what keeps it from that.
    fn keep_product(&mut self, now: Duration) -> Option<usize> {
        let mut draft = self.view.product.take()?;
        let unit = self.unit()?;
        // A number that was typed and is none must not be passed over.
        match self.unclear().map_or_else(|| draft.kept(unit, &self.catalog), Err) {
            Ok(kept) => {
                let place = kept.place;
                self.change(now, |unit| {
                    for (old, new) in &kept.renamed {
                        unit.call_in_log(old, new);
                    }
                    unit.shelf = kept.shelf;
                });
                self.open_product(None);
                Some(place)
            }
            Err(refused) => {
                draft.refused = Some(refused);
                self.view.product = Some(draft);
                None
            }
        }
    }
}
