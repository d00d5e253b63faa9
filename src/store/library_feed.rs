//! Feeds in parts in a library: every part is taken in with the others, and still tells of them.

use std::path::PathBuf;

use super::error::StoreError;
use super::folders::Folders;
use super::library::{Library, Meeting, TakeIn};
use crate::garden::{Catalog, OwnKind, OwnProfile, Product, free_id, free_name, same_name};

/// What the parts of a feed meet in a library.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum FeedMeeting {
    /// Nothing of their names or ids.
    Free,
    /// The very same, all of them.
    Same,
    /// Others of their names or ids.
    Clash {
        /// Names of those that are met.
        names: Vec<String>,
        /// Whether each that is met has the id of the part that would take its place: then they can be replaced.
        can_replace: bool,
        /// Names under which both can be kept.
        new_names: Vec<String>,
    },
}

impl Library {
    /// The parts of a feed under ids that profiles can have, each told of the others by those.
    #[must_use]
    pub fn with_usable_ids(&self, parts: &[Product], shipped: &Catalog) -> Vec<Product> {
        let mut taken: Vec<String> = Vec::new();
        renamed(parts, |part| {
            let profile = self.with_usable_id(OwnProfile::Product(Box::new(part.clone())), shipped);
            let id = free_id(profile.id(), |id| taken.iter().any(|other| other == id));
            taken.push(id.clone());
            (id, part.name.clone())
        })
    }

    /// What the parts of a feed meet here.
    pub fn feed_meeting(&self, parts: &[Product], shipped: &Catalog) -> FeedMeeting {
        let met: Vec<Meeting> = parts.iter().map(|part| self.meeting(&profile(part), shipped)).collect();
        if met.iter().all(|met| *met == Meeting::Same) {
            return FeedMeeting::Same;
        }
        let clashes: Vec<_> = (met.iter().zip(parts))
            .filter_map(|(met, part)| match met {
                Meeting::Clash(clash) => Some((clash, part)),
                Meeting::Free | Meeting::Same => None,
            })
            .collect();
        if clashes.is_empty() {
            return FeedMeeting::Free;
        }
        let has_its_id = |id: &str| self.own().products.iter().any(|mine| mine.id == id);
        let names = clashes.iter().map(|(clash, _)| {
            let mine = clash.mine.as_ref().map(|(name, _)| name.clone());
            mine.or_else(|| clash.shipped.clone()).unwrap_or_default()
        });
        FeedMeeting::Clash {
            names: names.collect(),
            can_replace: clashes.iter().all(|(clash, part)| clash.mine.is_some() && has_its_id(&part.id)),
            new_names: self.beside(parts, shipped).into_iter().map(|part| part.name).collect(),
        }
    }

    /// The parts under ids and names that nothing here has.
    fn beside(&self, parts: &[Product], shipped: &Catalog) -> Vec<Product> {
        let mine = self.own().products;
        let (mut ids, mut names): (Vec<String>, Vec<String>) = (Vec::new(), Vec::new());
        renamed(parts, |part| {
            let is_id_taken = |id: &str| shipped.bearer(OwnKind::Product, id).is_some() || ids.iter().any(|i| i == id);
            let id = free_id(&part.id, |id| is_id_taken(id) || mine.iter().any(|own| own.id == id));
            let is_named = |name: &str| mine.iter().map(|own| &own.name).chain(&names).any(|n| same_name(n, name));
            let name = free_name(&part.name, is_named);
            ids.push(id.clone());
            names.push(name.clone());
            (id, name)
        })
    }

    /// Takes the parts of a feed in. Without a choice they meet nothing but themselves; to keep both, all of them get new names, for
    /// they tell of each other. Returns the files that were written.
    ///
    /// # Errors
    /// As [`Library::take_in`] and [`Library::replace`]; parts before the one that failed are in.
    pub fn take_feed(
        &mut self,
        folders: &Folders,
        parts: &[Product],
        choice: Option<TakeIn>,
        shipped: &Catalog,
    ) -> Result<Vec<PathBuf>, StoreError> {
        let parts = if choice == Some(TakeIn::KeepBoth) { self.beside(parts, shipped) } else { parts.to_vec() };
        let mut written = Vec::new();
        for part in &parts {
            let path = match self.meeting(&profile(part), shipped) {
                Meeting::Same => continue,
                Meeting::Clash(clash) if choice == Some(TakeIn::ReplaceMine) && clash.mine.is_some() => {
                    self.replace(profile(part), &clash, shipped)?
                }
                Meeting::Clash(_) | Meeting::Free => Self::take_in(folders, profile(part), None)?,
            };
            written.push(path);
        }
        Ok(written)
    }
}

fn profile(part: &Product) -> OwnProfile {
    OwnProfile::Product(Box::new(part.clone()))
}

/// The parts under other ids and names; each tells of the others by those.
fn renamed(parts: &[Product], name: impl FnMut(&Product) -> (String, String)) -> Vec<Product> {
    let called: Vec<(String, String)> = parts.iter().map(name).collect();
    let new_id = |id: &str| {
        let place = parts.iter().position(|part| part.id == id);
        place.and_then(|place| called.get(place)).map(|(new_id, _)| new_id.clone())
    };
    (parts.iter().zip(&called))
        .map(|(part, (id, name))| {
            let mut part = Product { id: id.clone(), name: name.clone(), ..part.clone() };
            if let Some(partner) = &mut part.partner
                && let Some(new_id) = new_id(&partner.product_id)
            {
                partner.product_id = new_id;
            }
            part
        })
        .collect()
}
