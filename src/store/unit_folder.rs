//! Units as things a person owns: made, doubled, named anew, put away, deleted, brought back, handed on.
//!
//! A file is moved, never rewritten, so one that cannot be read can be put away like any other; and nothing is moved over
//! something that is there. What is deleted lies in a folder of its own, with the time in its name.

use std::path::{Path, PathBuf};

use super::document::{Handle, copy_file, create, move_file, read_file};
use super::error::StoreError;
use super::folders::{Folders, file_name, free, is_in, make_folder, shortened, stem, with_ending};
use super::text::body;
use super::unit_file::{LoadedUnit, UnitFile, read_unit, unit_from_text};
use crate::garden::{OwnKind, Unit};

/// What stands before the time in the name of a deleted file.
const DELETED: &str = " (deleted ";

/// What a copy of a unit takes along.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum Copied {
    /// What the unit is, and nothing of what happened in it.
    #[default]
    WithoutLog,
    /// All of it.
    WithLog,
}

/// What a file of ours holds.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum FileKind {
    /// A unit.
    Unit,
    /// A profile of a person's own.
    Profile(OwnKind),
}

/// Looks what a file holds, by its beginning: whether the rest can be read is seen when it is read.
///
/// # Errors
/// Any [`StoreError`] about reading or about the text's beginning; [`StoreError::OtherKind`] when it is neither a unit nor a
/// profile.
pub fn kind_of_file(path: &Path) -> Result<FileKind, StoreError> {
    let (path, bytes) = read_file(path)?;
    // A version that is too new for either is told when the file is read as what it is.
    match body(&bytes, u32::MAX, &path)?.as_deref() {
        Some("unit") => Ok(FileKind::Unit),
        Some("product") => Ok(FileKind::Profile(OwnKind::Product)),
        Some("crop") => Ok(FileKind::Profile(OwnKind::Crop)),
        Some("water") => Ok(FileKind::Profile(OwnKind::Water)),
        other => Err(StoreError::OtherKind {
            found: other.map_or_else(|| "nothing that is known here".to_owned(), |name| format!("`{name}`")),
            wanted: "unit or a profile",
            path,
        }),
    }
}

impl Folders {
    /// Makes a file for a new unit in the units folder, under a free name.
    ///
    /// # Errors
    /// As [`Folders::make`] and [`UnitFile::create`].
    pub fn create_unit(&self, unit: &Unit) -> Result<UnitFile, StoreError> {
        self.make()?;
        UnitFile::create(&self.path_for_new_unit(&unit.name), unit)
    }

    /// Makes a second unit of one that is there, under a new name. The first stays as it is.
    ///
    /// # Errors
    /// As [`Self::create_unit`].
    pub fn duplicate_unit(&self, unit: &Unit, name: &str, copied: Copied) -> Result<LoadedUnit, StoreError> {
        let mut unit = Unit { name: name.trim().to_owned(), ..unit.clone() };
        if copied == Copied::WithoutLog {
            unit.log.clear();
        }
        let file = self.create_unit(&unit)?;
        Ok(LoadedUnit { unit, file })
    }

    /// Gives a unit that is not open another name, and lets its file follow where it can. Returns where the file is now.
    ///
    /// A file that fails to load is moved only: the name in it stays.
    ///
    /// # Errors
    /// Any [`StoreError`] about reading (other than that it cannot be understood), writing or moving. When only the move
    /// fails, the unit has its new name and its file the old one.
    pub fn rename_unit(&self, path: &Path, name: &str) -> Result<PathBuf, StoreError> {
        match read_unit(path) {
            Ok(mut loaded) => {
                name.trim().clone_into(&mut loaded.unit.name);
                loaded.file.write(&loaded.unit)?;
                loaded.file.follow_name(name)?;
                Ok(loaded.file.path().to_owned())
            }
            Err(error) if error.is_of_the_text() => {
                let folder = path.parent().unwrap_or(Path::new(""));
                if bears(path, &file_name(name)) {
                    return Ok(path.to_owned());
                }
                let to = free(folder, &file_name(name));
                move_file(path, &to)?;
                Ok(to)
            }
            Err(error) => Err(error),
        }
    }

    /// Puts a unit away for later, whatever its file holds. Returns where it is now.
    ///
    /// # Errors
    /// [`StoreError::Elsewhere`] for a file that is not in the units folder; errors about moving.
    pub fn archive_unit(&self, path: &Path) -> Result<PathBuf, StoreError> {
        move_between(path, &[self.units().to_owned()], &self.archive(), &stem(path))
    }

    /// Deletes a unit, whatever its file holds: it is moved to the folder of deleted units with the time, `at_s` Unix
    /// seconds, in its name. Returns where it is now.
    ///
    /// # Errors
    /// [`StoreError::Elsewhere`] for a file that is neither among the units nor archived; errors about moving.
    pub fn delete_unit(&self, path: &Path, at_s: i64) -> Result<PathBuf, StoreError> {
        let from = [self.units().to_owned(), self.archive()];
        move_between(path, &from, &self.deleted(), &deleted_name(&stem(path), at_s))
    }

    /// Brings a unit that was archived or deleted back among the others, under the name it had where that is free. Returns
    /// where it is now.
    ///
    /// # Errors
    /// [`StoreError::Elsewhere`] for a file that is neither archived nor deleted; errors about moving.
    pub fn bring_back_unit(&self, path: &Path) -> Result<PathBuf, StoreError> {
        move_between(path, &[self.archive(), self.deleted()], self.units(), deletion(&stem(path)).0)
    }

    /// Copies a unit file from elsewhere into the units folder, under a free name and byte by byte, and opens the copy. The
    /// original stays untouched.
    ///
    /// # Errors
    /// Any [`StoreError`] about reading, before anything is written: a file that fails to load is not taken in;
    /// [`StoreError::AlreadyThere`] when it is in the units folder already; errors about writing.
    pub fn import_unit(&self, from: &Path) -> Result<LoadedUnit, StoreError> {
        let (true_path, bytes) = read_file(from)?;
        unit_from_text(&bytes, &true_path)?;
        if is_in(&true_path, self.units()) {
            return Err(StoreError::AlreadyThere { path: true_path });
        }
        self.make()?;
        let to = self.path_for_new_unit(&stem(from));
        create(&to, &bytes)?;
        read_unit(&to)
    }
}

/// Copies a unit or a profile to a place of the person's choice, byte by byte and whole; the file stays where it is. A name
/// without an ending gets ours. Returns where the copy is.
///
/// # Errors
/// [`StoreError::AlreadyThere`] when there is a file of this name; errors about reading and writing.
pub fn export_file(from: &Path, to: &Path) -> Result<PathBuf, StoreError> {
    let to = with_ending(to);
    copy_file(from, &to)?;
    Ok(to)
}

impl UnitFile {
    /// Lets the file follow its unit's new name: to that name in the same folder, with a number when it is taken.
    ///
    /// # Errors
    /// Errors about moving; the file is then where it was, and may still be written.
    pub fn follow_name(&mut self, name: &str) -> Result<(), StoreError> {
        self.0.follow_name(name)
    }
}

impl Handle {
    /// Lets the file follow a new name of what it holds.
    pub(super) fn follow_name(&mut self, name: &str) -> Result<(), StoreError> {
        let wanted = file_name(name);
        if bears(self.path(), &wanted) {
            return Ok(());
        }
        let to = free(self.path().parent().unwrap_or(Path::new("")), &wanted);
        self.move_to(to)
    }
}

/// Whether a file has a name already, or that name with a number; large and small letters are the same.
fn bears(path: &Path, name: &str) -> bool {
    let (stem, name) = (stem(path).to_lowercase(), name.to_lowercase());
    let rest = stem.strip_prefix(&name).map(|rest| rest.strip_prefix(' ').unwrap_or(rest));
    rest.is_some_and(|rest| rest.chars().all(|c| c.is_ascii_digit()))
}

pub(super) fn move_between(path: &Path, from: &[PathBuf], folder: &Path, name: &str) -> Result<PathBuf, StoreError> {
    if !from.iter().any(|folder| is_in(path, folder)) {
        let folder = from.first().cloned().unwrap_or_default();
        return Err(StoreError::Elsewhere { folder, path: path.to_owned() });
    }
    make_folder(folder)?;
    let to = free(folder, shortened(name));
    move_file(path, &to)?;
    Ok(to)
}

/// The name of a deleted file. The time is that of the world, for a file may travel.
pub(super) fn deleted_name(name: &str, at_s: i64) -> String {
    let time = jiff::Timestamp::from_second(at_s)
        .map_or_else(|_| "at an unknown time".to_owned(), |at| at.strftime("%Y-%m-%d %H%M%SZ").to_string());
    format!("{}{DELETED}{time})", shortened(name))
}

/// The name that a deleted file had, and when it was deleted, Unix seconds, as far as its own name tells.
pub fn deletion(title: &str) -> (&str, Option<i64>) {
    let Some((name, rest)) = title.rsplit_once(DELETED) else { return (title, None) };
    let time = rest.split_once(')').map_or(rest, |(time, _)| time);
    let at = jiff::civil::DateTime::strptime("%Y-%m-%d %H%M%SZ", time).ok();
    let at = at.and_then(|at| jiff::tz::TimeZone::UTC.to_timestamp(at).ok());
    (name, at.map(jiff::Timestamp::as_second))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_with_a_number_is_the_name() {
        assert!(bears(Path::new("/x/basil.ron"), "basil") && bears(Path::new("/x/basil 12.ron"), "basil"));
        assert!(!bears(Path::new("/x/basil two.ron"), "basil") && !bears(Path::new("/x/bas.ron"), "basil"));
    }

    #[test]
    fn the_time_of_a_deletion_stands_in_the_name() {
        // 2026-03-02 09:00 UTC.
        assert_eq!(deleted_name("sill", 1_772_442_000), "sill (deleted 2026-03-02 090000Z)");
        assert_eq!(deleted_name("sill", i64::MAX), "sill (deleted at an unknown time)");
        assert!(deleted_name(&"ü".repeat(500), 0).len() < 200);
        // And is read from there, with and without a number behind it.
        assert_eq!(deletion("sill (deleted 2026-03-02 090000Z)"), ("sill", Some(1_772_442_000)));
        assert_eq!(deletion("sill (deleted 2026-03-02 090000Z) 2"), ("sill", Some(1_772_442_000)));
        assert_eq!(deletion("sill (deleted at an unknown time)"), ("sill", None));
        assert_eq!((deletion("sill"), deletion("sill (deleted 1-1-1")), (("sill", None), ("sill", None)));
    }
}
