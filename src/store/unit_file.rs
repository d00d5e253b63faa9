//! Unit files.

use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::document::{Handle, Written, read_file};
use super::error::StoreError;
use super::folders::beside;
use super::text::{parse, print, version};
use super::unit_v1::Unit1;
use super::unit_v2::Unit2;
use super::unit_v3::Unit3;
use super::unit_v4::Unit4;
use crate::garden::Unit;

/// Version of unit files that this program writes, and the newest that it reads.
pub const UNIT_VERSION: u32 = 5;

/// First line of a unit file, for whoever opens it in an editor.
const HEADING: &str = "// Pourcast unit: what was typed and what was told. Comments are not kept.";

/// A unit file of one version.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Versioned<U> {
    #[expect(dead_code, reason = "read, and checked, before the rest is parsed")]
    version: u32,
    unit: U,
}

/// The newest version, borrowed for writing.
#[derive(Serialize)]
struct Newest<'a> {
    version: u32,
    unit: &'a Unit,
}

/// A unit that was read, and the right to write it back.
#[derive(Debug)]
pub struct LoadedUnit {
    /// The unit as it stands in the file. Its numbers are finite; whether they make sense is for [`Unit::check`].
    pub unit: Unit,
    /// The file.
    pub file: UnitFile,
}

/// A unit file that may be written.
///
/// A handle comes from [`read_unit`], [`UnitFile::create`] or [`UnitFile::save_beside`] only: a file that failed to load
/// has none, and cannot be overwritten.
#[derive(Debug)]
pub struct UnitFile(pub(super) Handle);

impl UnitFile {
    /// Makes a new unit file; its folder must be there.
    ///
    /// # Errors
    /// [`StoreError::AlreadyThere`] when there is a file of this name; [`StoreError::ReadOnlyFolder`],
    /// [`StoreError::Write`], [`StoreError::NotFinite`], [`StoreError::TooLarge`].
    pub fn create(path: &Path, unit: &Unit) -> Result<Self, StoreError> {
        let path = std::path::absolute(path).map_err(|source| StoreError::writing(source, path))?;
        let mut handle = Handle::of_absent(path);
        match handle.write(&unit_text(unit, &handle_path(&handle))?)? {
            Written::Saved => Ok(Self(handle)),
            // The very same text: still someone else's file.
            Written::AlreadyThere => Err(StoreError::AlreadyThere { path: handle_path(&handle) }),
        }
    }

    /// Writes the unit, whole or not at all; nothing happens when the file holds it already.
    ///
    /// Before the first change of a loaded file, it is copied as it was to the same name with `.backup` behind it.
    ///
    /// # Errors
    /// [`StoreError::ChangedOnDisk`] when another program changed the file since it was read or last written here (what
    /// that program wrote stays; [`Self::save_beside`] is the way on); [`StoreError::ReadOnlyFolder`],
    /// [`StoreError::Write`], [`StoreError::NotFinite`], [`StoreError::TooLarge`].
    pub fn write(&mut self, unit: &Unit) -> Result<Written, StoreError> {
        let text = unit_text(unit, self.path())?;
        self.0.write(&text)
    }

    /// Writes the unit into a new file in the same folder, named after this one, and returns the new file's handle.
    ///
    /// # Errors
    /// As [`Self::create`].
    pub fn save_beside(&self, unit: &Unit) -> Result<Self, StoreError> {
        Self::create(&beside(self.path()), unit)
    }

    /// Where the file is.
    pub fn path(&self) -> &Path {
        self.0.path()
    }
}

fn handle_path(handle: &Handle) -> PathBuf {
    handle.path().to_owned()
}

/// Reads a unit file.
///
/// # Errors
/// Any [`StoreError`] about reading or about the text. The file stays as it is.
pub fn read_unit(path: &Path) -> Result<LoadedUnit, StoreError> {
    let (path, bytes) = read_file(path)?;
    let unit = unit_from_text(&bytes, &path)?;
    Ok(LoadedUnit { unit, file: UnitFile(Handle::of_read(path, bytes)) })
}

/// The unit in the contents of a unit file; `path` is for the error's message only.
///
/// # Errors
/// Any [`StoreError`] about the text.
pub fn unit_from_text(bytes: &[u8], path: &Path) -> Result<Unit, StoreError> {
    // Each earlier version keeps its own type for ever, and a step to the next.
    let unit = match version(bytes, UNIT_VERSION, path)? {
        1 => Unit2::from(parse::<Versioned<Unit1>>(bytes, UNIT_VERSION, path)?.unit).into(),
        2 => parse::<Versioned<Unit2>>(bytes, UNIT_VERSION, path)?.unit.into(),
        3 => parse::<Versioned<Unit3>>(bytes, UNIT_VERSION, path)?.unit.into(),
        4 => parse::<Versioned<Unit4>>(bytes, UNIT_VERSION, path)?.unit.into(),
        _ => parse::<Versioned<Unit>>(bytes, UNIT_VERSION, path)?.unit,
    };
    // A number that is none has a word in RON, so the parser lets it pass: the printer does not.
    unit_text(&unit, path)?;
    Ok(unit)
}

/// A unit as the text of its file; `path` is for the error's message only.
///
/// # Errors
/// [`StoreError::NotFinite`] when a number in it is NaN or infinite.
pub fn unit_text(unit: &Unit, path: &Path) -> Result<String, StoreError> {
    print(&Newest { version: UNIT_VERSION, unit }, HEADING, path)
}
