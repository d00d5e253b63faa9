//! The folders of a person's files.

use std::collections::BTreeSet;
use std::ffi::OsStr;
use std::fs;
use std::path::{Path, PathBuf};

use directories::ProjectDirs;

use super::document::backup_path;
use super::error::StoreError;
use crate::garden::OwnKind;

/// Environment variable that names one folder for all files: for a stick, and for trials.
pub const HOME_VARIABLE: &str = "POURCAST_HOME";

/// Ending of unit files.
const ENDING: &str = "ron";
/// Longest file name made from a unit's name, characters. Ours: file systems allow 255 bytes.
const LONGEST_NAME: usize = 60;
/// The same in bytes, which leaves room for a time, a number, the endings and what is written beside it.
const LONGEST_NAME_BYTES: usize = 160;

/// Where a person's files are.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Folders {
    units: PathBuf,
    config: PathBuf,
    settings: PathBuf,
}

/// A unit file in the units folder.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnitListing {
    /// The file.
    pub path: PathBuf,
    /// Its name without the ending.
    pub title: String,
}

impl Folders {
    /// The folders of this person on this system, or those below `POURCAST_HOME` when it is set. Nothing is made yet.
    ///
    /// # Errors
    /// [`StoreError::NoHome`] when the system names no folder and the variable is not set.
    pub fn find() -> Result<Self, StoreError> {
        let own = ProjectDirs::from("", "", "pourcast")
            .map(|dirs| (dirs.data_dir().to_owned(), dirs.config_dir().to_owned()));
        Self::choose(std::env::var_os(HOME_VARIABLE).as_deref(), own)
    }

    /// The rule behind [`Self::find`]: the portable folder if one is named, else the system's folders for data and for
    /// settings.
    ///
    /// # Errors
    /// [`StoreError::NoHome`] when there is neither.
    pub fn choose(portable: Option<&OsStr>, own: Option<(PathBuf, PathBuf)>) -> Result<Self, StoreError> {
        match (portable.filter(|home| !home.is_empty()), own) {
            (Some(home), _) => Ok(Self::below(Path::new(home))),
            (None, Some((data, config))) => Ok(Self::of(&data, &config)),
            (None, None) => Err(StoreError::NoHome { variable: HOME_VARIABLE }),
        }
    }

    /// All files below one folder.
    pub fn below(home: &Path) -> Self {
        // Without a current folder the path stays relative, and the first read or write says what is wrong.
        let home = std::path::absolute(home).unwrap_or_else(|_| home.to_owned());
        Self::of(&home, &home)
    }

    fn of(data: &Path, config: &Path) -> Self {
        Self { units: data.join("units"), config: config.to_owned(), settings: config.join("settings.ron") }
    }

    /// The folder of unit files.
    pub fn units(&self) -> &Path {
        &self.units
    }

    /// The folder of units that are put away for later.
    pub fn archive(&self) -> PathBuf {
        self.units.join("archive")
    }

    /// The folder of units that were deleted. Only the person empties it.
    pub fn deleted(&self) -> PathBuf {
        self.units.join("deleted")
    }

    /// The folder of a person's own profiles of a kind.
    pub fn profiles(&self, kind: OwnKind) -> PathBuf {
        self.config.join(match kind {
            OwnKind::Product => "products",
            OwnKind::Crop => "crops",
            OwnKind::Water => "waters",
        })
    }

    /// The folder of profiles of a kind that were deleted. Only the person empties it.
    pub fn deleted_profiles(&self, kind: OwnKind) -> PathBuf {
        self.profiles(kind).join("deleted")
    }

    /// The settings file.
    pub fn settings(&self) -> &Path {
        &self.settings
    }

    /// Makes the folders, if they are not there.
    ///
    /// # Errors
    /// [`StoreError::ReadOnlyFolder`] or [`StoreError::Write`].
    pub fn make(&self) -> Result<(), StoreError> {
        for folder in [Some(self.units.as_path()), self.settings.parent()].into_iter().flatten() {
            make_folder(folder)?;
        }
        Ok(())
    }

    /// The unit files, by name. A folder that is not there has none.
    ///
    /// # Errors
    /// [`StoreError::Read`] when the folder cannot be read.
    pub fn list_units(&self) -> Result<Vec<UnitListing>, StoreError> {
        list(&self.units)
    }

    /// The units that are put away for later, by name.
    ///
    /// # Errors
    /// As [`Self::list_units`].
    pub fn list_archived(&self) -> Result<Vec<UnitListing>, StoreError> {
        list(&self.archive())
    }

    /// The units that were deleted and not thrown away since, by name.
    ///
    /// # Errors
    /// As [`Self::list_units`].
    pub fn list_deleted(&self) -> Result<Vec<UnitListing>, StoreError> {
        list(&self.deleted())
    }

    /// A free path for a unit of this name: letters, digits, spaces and hyphens stay, and a number follows if need be.
    pub fn path_for_new_unit(&self, name: &str) -> PathBuf {
        free(&self.units, &file_name(name))
    }
}

/// Makes a folder, if it is not there.
pub(super) fn make_folder(folder: &Path) -> Result<(), StoreError> {
    fs::create_dir_all(folder).map_err(|source| match StoreError::writing(source, folder) {
        // A file stands where the folder should be.
        StoreError::AlreadyThere { path } => StoreError::NotAFile { path },
        other => other,
    })
}

/// The files with our ending in a folder, by name. A folder that is not there has none.
pub(super) fn list(folder: &Path) -> Result<Vec<UnitListing>, StoreError> {
    let reading = |source| StoreError::reading(source, folder);
    let entries = match fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(source) if source.kind() == std::io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(source) => return Err(reading(source)),
    };
    let mut files = Vec::new();
    for entry in entries {
        let path = entry.map_err(reading)?.path();
        if path.extension() != Some(OsStr::new(ENDING)) || !path.is_file() {
            continue;
        }
        let title = stem(&path);
        files.push(UnitListing { path, title });
    }
    // The order in which a file system lists is no order.
    files.sort_by(|a, b| (a.title.to_lowercase(), &a.title, &a.path).cmp(&(b.title.to_lowercase(), &b.title, &b.path)));
    Ok(files)
}

/// The name of a file without its ending.
pub(super) fn stem(path: &Path) -> String {
    path.file_stem().map_or_else(|| "unit".to_owned(), |stem| stem.to_string_lossy().into_owned())
}

/// Whether a file lies in a folder itself, links resolved.
pub(super) fn is_in(path: &Path, folder: &Path) -> bool {
    let parent = path.parent().and_then(|parent| fs::canonicalize(parent).ok());
    parent.is_some() && parent == fs::canonicalize(folder).ok()
}

/// Whether two paths lead to one file or folder that is there, links resolved.
pub fn same_file(one: &Path, other: &Path) -> bool {
    one == other || fs::canonicalize(one).is_ok_and(|one| fs::canonicalize(other).is_ok_and(|other| one == other))
}

/// A path with our ending, if it has none.
pub(super) fn with_ending(path: &Path) -> PathBuf {
    if path.extension().is_none() { path.with_extension(ENDING) } else { path.to_owned() }
}

/// A free path beside a file, named after it.
pub(super) fn beside(path: &Path) -> PathBuf {
    free(path.parent().unwrap_or(Path::new("")), &format!("{} (saved beside)", stem(path)))
}

/// The first of "name.ron", "name 2.ron" … that is not there, and no backup of a file that was there. Names that differ by
/// case only are the same: so they are where the folder may be copied to.
pub(super) fn free(folder: &Path, name: &str) -> PathBuf {
    let path = |n: u32| {
        let number = if n == 1 { String::new() } else { format!(" {n}") };
        folder.join(format!("{name}{number}.{ENDING}"))
    };
    let folded = |path: &Path| path.file_name().map(|name| name.to_string_lossy().to_lowercase());
    let there: BTreeSet<_> =
        fs::read_dir(folder).into_iter().flatten().flatten().filter_map(|entry| folded(&entry.path())).collect();
    let is_there =
        |path: &Path| fs::symlink_metadata(path).is_ok() || folded(path).is_some_and(|name| there.contains(&name));
    let is_taken = |path: &Path| is_there(path) || is_there(&backup_path(path));
    let mut number = 1;
    // A link to nowhere is there, too. Creating checks again, so a race ends in an error, not in an overwritten file.
    while number < u32::MAX && is_taken(&path(number)) {
        number += 1;
    }
    path(number)
}

/// The longest beginning of a name that leaves room behind it.
pub(super) fn shortened(name: &str) -> &str {
    let mut end = name.len().min(LONGEST_NAME_BYTES);
    while !name.is_char_boundary(end) {
        end -= 1;
    }
    name.get(..end).unwrap_or_default()
}

/// A name that every file system takes.
pub(super) fn file_name(name: &str) -> String {
    let kept: String = name
        .chars()
        .map(|c| if c.is_alphanumeric() || matches!(c, ' ' | '-' | '_') { c } else { '-' })
        .take(LONGEST_NAME)
        .collect();
    let kept = shortened(&kept).trim_matches([' ', '-']);
    // Names of devices on Windows, with any ending.
    let device = ["con", "prn", "aux", "nul"].contains(&kept.to_lowercase().as_str())
        || (kept.len() == 4 && ["com", "lpt"].contains(&kept.get(..3).unwrap_or_default().to_lowercase().as_str()));
    match kept {
        "" => "unit".to_owned(),
        kept if device => format!("{kept} unit"),
        kept => kept.to_owned(),
    }
}
