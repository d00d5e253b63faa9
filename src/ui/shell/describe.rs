//! A profile of the library described by itself, on the sheets that a unit's products, water and crops have.
//!
//! The file is read when its sheet is opened, and that handle writes it: what someone else wrote meanwhile is not lost.

use std::path::Path;

use super::Shell;
use super::files::plain;
use super::owned::action;
use crate::garden::{LONGEST_NAME, MOST_STAGES, OwnKind, OwnProfile, check_name, free_name};
use crate::store::{Library, LoadedProfile, StoreError, read_profile};
use crate::ui::command::{Command, OwnedCommand};
use crate::ui::present::{
    CropPlace, ProductDraft, WaterDraft, WaterUnits, capital, crop_of_form, empty_form, form_from, form_view,
};
use crate::ui::state::Keeper;
use crate::ui::view::{CropFormView, NoticeView};
use crate::units::EcScale;

/// Whether the sheets can show a profile. More stages than a person writes are for an editor.
pub(super) fn can_be_changed(profile: &OwnProfile) -> bool {
    match profile {
        OwnProfile::Crop(crop) => crop.stages.len() <= MOST_STAGES && check_name(&crop.name).is_none(),
        OwnProfile::Product(_) | OwnProfile::Water(_) => true,
    }
}

/// Why a profile was not kept.
enum NotKept {
    /// What is said of it, in a sentence.
    Refused(String),
    /// The file.
    Store(StoreError),
}

impl Shell {
    fn ec_scale(&self) -> EcScale {
        self.unit().map_or(self.settings.ec_scale, |unit| unit.meter.ec_scale)
    }

    fn place_in_library(&self) -> CropPlace<'_> {
        CropPlace { scale: self.ec_scale(), catalog: &self.catalog, unit: None }
    }

    /// The sheet on which a crop of the library is written, if it is open.
    pub(super) fn crop_sheet_of_library(&self) -> Option<Box<CropFormView>> {
        let form = self.view.crops.form.as_ref().filter(|form| form.keeper == Keeper::Library)?;
        Some(Box::new(form_view(form, self.ec_scale())))
    }

    /// Puts every sheet away that describes something.
    fn close_descriptions(&mut self) {
        self.open_product(None);
        self.close_form();
    }

    pub(super) fn begin_profile(&mut self, kind: OwnKind) {
        self.describe(kind, None);
    }

    pub(super) fn change_profile(&mut self, path: &Path) {
        match read_profile(path) {
            Ok(loaded) => {
                self.describe(loaded.profile.kind(), Some(&loaded.profile));
                self.owned.described = Some(loaded);
            }
            Err(error) => {
                self.tell(format!("The profile cannot be read: {}. The file was left as it is", plain(&error)));
                self.read_own();
                self.look_at_units();
            }
        }
    }

    /// Opens the sheet of a kind, over a profile or empty.
    fn describe(&mut self, kind: OwnKind, profile: Option<&OwnProfile>) {
        self.close_descriptions();
        match kind {
            OwnKind::Product => {
                let product = profile.and_then(|profile| match profile {
                    OwnProfile::Product(product) => Some(product.as_ref()),
                    _ => None,
                });
                self.view.product = Some(ProductDraft::of_library(product));
            }
            OwnKind::Water => {
                let water = profile.and_then(|profile| match profile {
                    OwnProfile::Water(water) => Some(water.as_ref()),
                    _ => None,
                });
                let units = WaterUnits::with(self.ec_scale(), &self.settings);
                self.view.water = Some(WaterDraft::of_library(water, units));
            }
            OwnKind::Crop => {
                let form = match profile {
                    Some(OwnProfile::Crop(crop)) => form_from(crop, &self.place_in_library()),
                    _ => empty_form(Keeper::Library),
                };
                self.open_form(Some(form));
            }
        }
    }

    /// What is on the open sheet as a profile, under an id.
    fn described(&mut self, id: &str) -> Result<OwnProfile, String> {
        if let Some(draft) = &self.view.product {
            self.unclear().map_or(Ok(()), Err)?;
            return Ok(OwnProfile::Product(Box::new(draft.own_product(id)?)));
        }
        if let Some(draft) = &self.view.water {
            self.unclear().map_or(Ok(()), Err)?;
            return Ok(OwnProfile::Water(Box::new(draft.own_water(id, &self.catalog)?)));
        }
        let form = self.view.crops.form.clone().ok_or("Nothing is described")?;
        self.all_bands_clear(&form, self.ec_scale())?;
        let crop = crop_of_form(&form, &self.place_in_library())?;
        let name = crop.name.clone();
        Ok(OwnProfile::Crop(Box::new(crop)).called(id.to_owned(), name))
    }

    /// Keeps what is on the sheet in the library, or says there what keeps it from that.
    pub(super) fn keep_in_library(&mut self) {
        let refused = match self.kept_in_library() {
            Ok(words) => {
                self.close_descriptions();
                self.owned.profile_done = Some((words, None));
                self.read_own();
                self.look_at_units();
                return;
            }
            Err(NotKept::Refused(words)) => words,
            Err(NotKept::Store(error)) => {
                let words = format!("It could not be saved: {}", plain(&error));
                if error.suggests_saving_beside() {
                    let beside = action("Keep mine beside it", Command::Owned(OwnedCommand::KeepBeside));
                    let words = format!("{words}. What you typed is still here");
                    self.notice = Some(NoticeView { words, actions: vec![beside], ..NoticeView::default() });
                }
                words
            }
        };
        if let Some(draft) = &mut self.view.product {
            draft.refused = Some(refused);
        } else if let Some(draft) = &mut self.view.water {
            draft.refused = Some(refused);
        } else if let Some(form) = &mut self.view.crops.form {
            form.refused = Some(refused);
        }
    }

    fn kept_in_library(&mut self) -> Result<String, NotKept> {
        let Some(folders) = self.folders.clone() else {
            return Err(NotKept::Refused("No folder for files was found, so there is no library".to_owned()));
        };
        let library = folders.read_library();
        let profile = self.described("new").map_err(NotKept::Refused)?;
        let (kind, name) = (profile.kind(), profile.name().to_owned());
        let here = self.owned.described.as_ref();
        if let Some(other) = library.bearer_of_name(kind, &name, here.map(|loaded| loaded.file.path())) {
            let words = format!("You have a {} called “{other}” already: give this one another name", kind.words());
            return Err(NotKept::Refused(words));
        }
        // An id that was there stays, for units know it by that; one that can be none is made anew.
        let kept = here.filter(|loaded| loaded.profile.has_usable_id()).map(|loaded| loaded.profile.id().to_owned());
        let id = kept.unwrap_or_else(|| library.id_for(kind, &name, &self.catalog));
        let profile = profile.called(id, name.clone());
        if let Some(problem) = profile.check().into_iter().next() {
            return Err(NotKept::Refused(capital(&problem.message)));
        }
        let Some(LoadedProfile { file, .. }) = &mut self.owned.described else {
            Library::take_in(&folders, profile, None).map_err(NotKept::Store)?;
            return Ok(format!("“{name}” is in your library"));
        };
        file.write(&profile).map_err(NotKept::Store)?;
        // It is kept whatever its file is called.
        let _keeps_its_name = file.follow_name(&name);
        Ok(format!("“{name}” is kept in your library; units keep the one they have"))
    }

    /// Keeps what is on the sheet beside the file that someone else changed, under a free name.
    pub(super) fn keep_beside(&mut self) {
        let Some(folders) = &self.folders else { return };
        let library = folders.read_library();
        let free = |kind: OwnKind, name: &str| {
            // Room for a number.
            let short: String = name.trim().chars().take(LONGEST_NAME - 4).collect();
            free_name(&short, |wanted| library.bearer_of_name(kind, wanted, None).is_some())
        };
        if let Some(draft) = &mut self.view.product {
            draft.name = free(OwnKind::Product, &draft.name);
        } else if let Some(draft) = &mut self.view.water {
            draft.name = free(OwnKind::Water, &draft.name);
        } else if let Some(form) = &mut self.view.crops.form {
            form.name = free(OwnKind::Crop, &form.name);
        }
        self.owned.described = None;
        self.keep_in_library();
    }
}
