//! The tub card as a file.

use std::path::Path;

use super::Shell;
use crate::card::paper::Format;
use crate::card::pdf;
use crate::store::write_pdf;
use crate::ui::dialogs::Question;
use crate::ui::present::card_of;
use crate::units::VolumeUnit;

impl Shell {
    /// Makes the page of the card that is shown, and asks where to keep it. What is saved is what was seen, whatever changes
    /// while the dialog stands.
    pub(super) fn save_pdf(&mut self, ctx: &egui::Context) {
        let Some(card) = self.document.as_ref().and_then(|document| card_of(&self.shown(document))) else {
            self.tell("There is no plan yet to put on paper");
            return;
        };
        // Whoever counts in US gallons has letter paper in the printer.
        let us = matches!(self.settings.tank_unit, VolumeUnit::UsGallon | VolumeUnit::UsFluidOunce);
        match pdf(&card, if us { Format::Letter } else { Format::A4 }) {
            Ok(page) => {
                let name = format!("{} tub card.pdf", file_words(&card.unit));
                self.page_to_save = Some((name.clone(), page));
                self.dialogs.ask(Question::SavePdf(name), ctx);
            }
            Err(error) => self.tell(format!("The tub card could not be put on paper: {error}")),
        }
    }

    /// Writes the page where the person wants it.
    pub(super) fn write_page(&mut self, path: &Path) {
        let Some((_, page)) = self.page_to_save.take() else { return };
        match write_pdf(path, &page) {
            Ok(path) => self.tell_done(format!("The tub card is at {}", path.display())),
            Err(error) => self.tell(format!("The tub card could not be saved: {}", super::files::plain(&error))),
        }
    }
}

impl Shell {
    /// Where the system opens no dialog the page goes beside the units. Returns whether there was one to write.
    pub(super) fn write_page_beside_units(&mut self) -> bool {
        let (Some((name, page)), Some(folders)) = (self.page_to_save.take(), &self.folders) else { return false };
        let written = folders.make().and_then(|()| write_pdf(&folders.units().join(name), &page));
        match written {
            Ok(path) => {
                self.tell_done(format!(
                    "This system opens no dialog for choosing a file; the tub card is at {}",
                    path.display()
                ));
            }
            Err(error) => self.tell(format!("The tub card could not be saved: {}", super::files::plain(&error))),
        }
        true
    }
}

/// A unit's name without what a file name can't hold.
fn file_words(name: &str) -> String {
    let kept: String =
        name.chars().map(|c| if c.is_alphanumeric() || matches!(c, ' ' | '-' | '_') { c } else { '-' }).collect();
    // File systems take 255 bytes; letters have up to four.
    kept.trim().chars().take(50).collect()
}
