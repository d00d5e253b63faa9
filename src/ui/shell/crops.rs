//! The page of crops: what is looked at, and the person's own crops.

use std::time::Duration;

use super::Shell;
use crate::garden::{Crop, OwnProfile, Unit};
use crate::ui::command::CropAsk;
use crate::ui::present::{
    CropForm, CropPlace, CropsShown, CropsState, capital, crop_of_form, crops_view, empty_form, form_from, form_view,
};
use crate::ui::state::{Keeper, Trouble};
use crate::ui::view::CropsView;
use crate::ui::widgets::Entry;
use crate::units::EcScale;

impl Shell {
    /// The page of crops.
    pub(super) fn crops_view(&self, unit: &Unit) -> CropsView {
        crops_view(&CropsShown { unit, catalog: &self.catalog, state: &self.view.crops })
    }

    pub(super) fn apply_to_crops(&mut self, ask: CropAsk, now: Duration) {
        if !matches!(ask, CropAsk::Keep) {
            self.view.crops.said = None;
        }
        match ask {
            CropAsk::Look(id) => {
                self.close_form();
                (self.view.crops.crop_id, self.view.crops.stage_id) = (Some(id), None);
            }
            CropAsk::Stage(id) => self.view.crops.stage_id = Some(id),
            CropAsk::Grow(id, stage_id) => {
                self.view.crops.said = self.bring_along(&id).err();
                self.change_crop(&id, now, |unit, crop| {
                    // Another crop comes first, then its stage; the same crop only comes to another stage.
                    let is_set = unit.crop_id == crop.id || unit.set_crop(0, crop);
                    unit.set_stage(0, &stage_id);
                    is_set
                });
            }
            CropAsk::Add(id, stage_id) => {
                self.view.crops.said = self.bring_along(&id).err();
                self.change_crop(&id, now, |unit, crop| {
                    let is_added = unit.add_crop(crop);
                    if is_added {
                        unit.set_stage(unit.also_growing.len(), &stage_id);
                    }
                    is_added
                });
            }
            CropAsk::Change(id) => {
                let form = self.crop_of_unit(&id).zip(self.unit());
                let form = form.map(|(crop, unit)| form_from(&crop, &CropPlace::in_unit(unit, &self.catalog)));
                self.open_form(form);
            }
            CropAsk::Begin => self.open_form(Some(empty_form(Keeper::Unit))),
            CropAsk::Close => self.close_form(),
            CropAsk::Keep if self.view.crops.form.as_ref().is_some_and(|form| form.keeper == Keeper::Library) => {
                self.keep_in_library();
            }
            CropAsk::Keep => self.keep_crop(now),
            CropAsk::Renew(id) => self.renew_crop(&id, now),
            CropAsk::Remove(id) => self.remove_crop(&id, now),
            CropAsk::Share(id) => {
                if let Some(crop) = self.crop_of_unit(&id) {
                    self.keep_for_all(OwnProfile::Crop(Box::new(crop)));
                }
            }
        }
    }

    fn crop_of_unit(&self, id: &str) -> Option<Crop> {
        let unit = self.unit()?;
        CropsShown { unit, catalog: &self.catalog, state: &self.view.crops }.crop_of(id).cloned()
    }

    /// Puts a crop of the person's library into the unit, so that its file can be handed on whole.
    fn bring_along(&mut self, id: &str) -> Result<(), String> {
        let Some(crop) = self.crop_of_unit(id) else { return Ok(()) };
        match &mut self.document {
            Some(document) if self.catalog.crop_of(&document.unit, id).is_none() => {
                document.unit.keep_own_crop(crop).map_err(|error| capital(&error.to_string()))
            }
            _ => Ok(()),
        }
    }

    /// Lets a crop grow, one of the library after it was put into the unit.
    pub(super) fn grow(&mut self, id: &str, now: Duration, how: impl FnOnce(&mut Unit, &Crop) -> bool) {
        match self.bring_along(id) {
            Ok(()) => self.change_crop(id, now, how),
            Err(words) => self.tell(words),
        }
    }

    pub(super) fn open_form(&mut self, form: Option<CropForm>) {
        self.view.drafts.forget_bands();
        self.view.crops.form = form;
        self.owned.described = None;
    }

    pub(super) fn close_form(&mut self) {
        self.open_form(None);
    }

    /// Forgets what the page was on: another unit is open.
    pub(super) fn leave_crops(&mut self) {
        self.view.crops = CropsState::default();
    }

    /// Keeps the crop that is written, or says beside its fields what keeps it from that.
    fn keep_crop(&mut self, now: Duration) {
        let Some(mut form) = self.view.crops.form.take() else { return };
        match self.kept_crop(&form, now) {
            Ok(crop) => {
                self.close_form();
                self.view.crops.said = Some(format!("{} is kept in this unit’s file", crop.name));
                (self.view.crops.crop_id, self.view.crops.stage_id) = (Some(crop.id), None);
            }
            Err(refused) => {
                form.refused = Some(refused);
                self.view.crops.form = Some(form);
            }
        }
    }

    /// A number that was typed and is none must not be passed over.
    pub(super) fn all_bands_clear(&mut self, form: &CropForm, scale: EcScale) -> Result<(), String> {
        let reader = form_view(form, scale).reader;
        for (field, text) in self.view.drafts.of_bands() {
            if let Entry::Wrong(trouble) = reader.read(field, &text) {
                let Trouble { message, .. } = trouble.clone();
                self.view.drafts.blame(field, trouble);
                return Err(message);
            }
        }
        Ok(())
    }

    fn kept_crop(&mut self, form: &CropForm, now: Duration) -> Result<Crop, String> {
        let Some(unit) = self.unit() else { return Err("No unit is open".to_owned()) };
        let (scale, crop) = (unit.meter.ec_scale, crop_of_form(form, &CropPlace::in_unit(unit, &self.catalog)));
        self.all_bands_clear(form, scale)?;
        let crop = crop?;
        self.put_into_unit(crop.clone(), now).map(|()| crop)
    }

    fn renew_crop(&mut self, id: &str, now: Duration) {
        let Some(unit) = self.unit() else { return };
        let page = CropsShown { unit, catalog: &self.catalog, state: &self.view.crops };
        let Some(crop) = page.crop_of(id).and_then(|crop| page.renewed(crop)).cloned() else { return };
        let name = crop.name.clone();
        self.view.crops.said = Some(match self.put_into_unit(crop, now) {
            Ok(()) => format!("{name} is as your library has it"),
            Err(words) => words,
        });
    }

    /// Puts a crop into the unit, in the place of the one that has its id, or says what keeps it from that.
    fn put_into_unit(&mut self, crop: Crop, now: Duration) -> Result<(), String> {
        let mut outcome = Ok(());
        self.change_grown(now, |unit| {
            outcome = unit.keep_own_crop(crop);
            outcome.is_ok()
        });
        outcome.map_err(|error| capital(&error.to_string()))
    }

    fn remove_crop(&mut self, id: &str, now: Duration) {
        let mut outcome = None;
        self.change_grown(now, |unit| {
            let removed = unit.remove_own_crop(id);
            let is_removed = removed.is_ok();
            outcome = Some(removed);
            is_removed
        });
        self.view.crops.said = outcome.map(|removed| match removed {
            Ok(crop) => {
                (self.view.crops.crop_id, self.view.crops.stage_id) = (None, None);
                let is_kept = self.catalog.own.crops.iter().any(|own| own.id == crop.id);
                let rest = if is_kept { " from this unit; your library keeps it" } else { "" };
                format!("{} is removed{rest}", crop.name)
            }
            Err(error) => capital(&error.to_string()),
        });
    }
}
