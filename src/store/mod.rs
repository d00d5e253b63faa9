//! Files: unit files, settings, the folders they live in, and when to save.
//!
//! A file holds inputs and promises only, as RON with its version first. The rules, for every file here:
//!
//! - It is written whole or not at all, beside the old one and then renamed over it (the `atomic-write-file` crate).
//! - A file that failed to load is never overwritten: only a handle writes, and a handle comes from a successful load or
//!   from creating a file that was not there.
//! - A file that someone else changed since it was loaded is not overwritten either; the person may save beside it.
//! - As it was when it was opened, it is kept once, under the same name with `.backup` behind it.
//! - Nothing is moved over something that is there, and what is deleted is moved: there is a way back until the person empties
//!   the folder of deleted files.
//! - What is read is bounded: its size, its nesting, its kind (a folder or a device is no file).
//!
//! Nothing here reads a clock: [`Autosave`] is told the time.

mod autosave;
mod document;
mod error;
mod folders;
mod frozen;
mod library;
mod library_feed;
mod page;
mod product_v3;
mod settings;
mod text;
mod unit_file;
mod unit_folder;
mod unit_v1;
mod unit_v2;
mod unit_v3;
mod unit_v4;
mod water_v3;

pub use autosave::Autosave;
pub use document::{LARGEST_FILE_BYTES, Written};
pub use error::{Place, StoreError};
pub use folders::{Folders, HOME_VARIABLE, UnitListing, same_file};
pub use library::{
    Clash, Library, LibraryEntry, LoadedProfile, Meeting, PROFILE_VERSION, ProfileFile, TakeIn, profile_from_text,
    profile_text, profile_to_take, read_profile,
};
pub use library_feed::FeedMeeting;
pub use page::write_pdf;
pub use settings::{LoadedSettings, MOST_RECENT, SETTINGS_VERSION, Settings, SettingsFile, Theme, read_settings};
pub use unit_file::{LoadedUnit, UNIT_VERSION, UnitFile, read_unit, unit_from_text, unit_text};
pub use unit_folder::{Copied, FileKind, deletion, export_file, kind_of_file};
