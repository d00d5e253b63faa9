//! One file on disk and the right to write it.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Read as _, Write as _};
use std::path::{Path, PathBuf};

use atomic_write_file::AtomicWriteFile;

use super::error::StoreError;

/// Largest file read or written, bytes. Ours: a log of ten entries a day takes about a third of a MB a
/// year.
pub const LARGEST_FILE_BYTES: u64 = 8 * 1024 * 1024;

/// Ending of the copy that is kept of a file as it was when it was opened.
const BACKUP_ENDING: &str = ".backup";

/// What a call to write did.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Written {
    /// The new text is on disk.
    Saved,
    /// The text on disk was already this one.
    AlreadyThere,
}

/// A file that was read or made here, and may therefore be written.
///
/// There is no other way to one: what failed to load has no handle, and so cannot be overwritten.
#[derive(Debug)]
pub(super) struct Handle {
    path: PathBuf,
    /// The bytes that this program knows to be in the file; nothing when it is not there yet.
    known: Option<Vec<u8>>,
    /// Whether a copy from before this program's first change exists, or none is called for.
    backed_up: bool,
}

impl Handle {
    /// A handle on a file that was just read.
    pub(super) fn of_read(path: PathBuf, bytes: Vec<u8>) -> Self {
        Self { path, known: Some(bytes), backed_up: false }
    }

    /// A handle on a file that is not there yet; writing makes it.
    pub(super) fn of_absent(path: PathBuf) -> Self {
        Self { path, known: None, backed_up: true }
    }

    pub(super) fn path(&self) -> &Path {
        &self.path
    }

    /// Moves the file to a name that is free.
    pub(super) fn move_to(&mut self, to: PathBuf) -> Result<(), StoreError> {
        move_file(&self.path, &to)?;
        self.path = to;
        Ok(())
    }

    /// Puts `text` into the file, whole or not at all.
    pub(super) fn write(&mut self, text: &str) -> Result<Written, StoreError> {
        let bytes = u64::try_from(text.len()).unwrap_or(u64::MAX);
        if bytes > LARGEST_FILE_BYTES {
            return Err(StoreError::TooLarge { bytes, limit: LARGEST_FILE_BYTES, path: self.path.clone() });
        }
        let on_disk = match read_bytes(&self.path) {
            Ok(bytes) => Some(bytes),
            Err(StoreError::NotFound { .. }) => None,
            // What is there now is nothing that was read here: too large, a folder, unreadable.
            Err(StoreError::TooLarge { path, .. } | StoreError::NotAFile { path }) => {
                return Err(match self.known {
                    Some(_) => StoreError::ChangedOnDisk { path },
                    None => StoreError::AlreadyThere { path },
                });
            }
            Err(StoreError::Read { source, path }) if source.kind() == io::ErrorKind::NotADirectory => {
                return Err(StoreError::Write { source, path });
            }
            Err(other) => return Err(other),
        };
        match (&on_disk, &self.known) {
            (Some(there), _) if there.as_slice() == text.as_bytes() => {
                self.known = on_disk;
                return Ok(Written::AlreadyThere);
            }
            (Some(there), Some(known)) if there != known => {
                return Err(StoreError::ChangedOnDisk { path: self.path.clone() });
            }
            (Some(_), None) => return Err(StoreError::AlreadyThere { path: self.path.clone() }),
            // A file that was deleted meanwhile is made again: losing what was typed is the worse surprise.
            (Some(_), Some(_)) | (None, _) => {}
        }
        match on_disk {
            None => {
                create(&self.path, text.as_bytes())?;
                self.backed_up = true;
            }
            Some(before) => {
                if !self.backed_up {
                    let backup = backup_path(&self.path);
                    replace(&backup, &before).map_err(|source| StoreError::writing(source, &backup))?;
                    self.backed_up = true;
                }
                replace(&self.path, text.as_bytes()).map_err(|source| StoreError::writing(source, &self.path))?;
            }
        }
        self.known = Some(text.as_bytes().to_vec());
        Ok(Written::Saved)
    }
}

/// Where the copy of a file as it was when opened is kept.
pub(super) fn backup_path(path: &Path) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(BACKUP_ENDING);
    PathBuf::from(name)
}

/// The whole of an ordinary file of bearable size, and its true path, links resolved: a rename over a link would cut it.
pub(super) fn read_file(path: &Path) -> Result<(PathBuf, Vec<u8>), StoreError> {
    let path = fs::canonicalize(path).map_err(|source| StoreError::reading(source, path))?;
    let bytes = read_bytes(&path)?;
    Ok((path, bytes))
}

fn read_bytes(path: &Path) -> Result<Vec<u8>, StoreError> {
    let reading = |source| StoreError::reading(source, path);
    // Looked at before it is opened: opening a pipe would wait for its other end.
    if !fs::metadata(path).map_err(reading)?.is_file() {
        return Err(StoreError::NotAFile { path: path.to_owned() });
    }
    let file = File::open(path).map_err(reading)?;
    let bytes = file.metadata().map_err(reading)?.len();
    let too_large = |bytes| StoreError::TooLarge { bytes, limit: LARGEST_FILE_BYTES, path: path.to_owned() };
    if bytes > LARGEST_FILE_BYTES {
        return Err(too_large(bytes));
    }
    let mut contents = Vec::new();
    // It may grow meanwhile, or have no honest length.
    file.take(LARGEST_FILE_BYTES + 1).read_to_end(&mut contents).map_err(reading)?;
    let read = u64::try_from(contents.len()).unwrap_or(u64::MAX);
    if read > LARGEST_FILE_BYTES { Err(too_large(read)) } else { Ok(contents) }
}

/// Moves an ordinary file, and its backup with it, to a name that must be free; what is in it is not looked at.
pub(super) fn move_file(from: &Path, to: &Path) -> Result<(), StoreError> {
    let kind = fs::symlink_metadata(from).map_err(|source| StoreError::reading(source, from))?;
    if kind.is_symlink() {
        // Moved, it would point to nowhere, or leave behind what the person meant.
        return Err(StoreError::IsALink { path: from.to_owned() });
    }
    if !kind.is_file() {
        return Err(StoreError::NotAFile { path: from.to_owned() });
    }
    rename_to_free(from, to)?;
    // The file has moved; a backup that cannot follow is no reason to say that it has not.
    let _left_behind = rename_to_free(&backup_path(from), &backup_path(to));
    Ok(())
}

fn rename_to_free(from: &Path, to: &Path) -> Result<(), StoreError> {
    if fs::symlink_metadata(from).is_err() {
        return Err(StoreError::NotFound { path: from.to_owned() });
    }
    // As in `create`: the empty file holds the name, for a rename alone would overwrite.
    OpenOptions::new().write(true).create_new(true).open(to).map_err(|source| StoreError::writing(source, to))?;
    fs::rename(from, to).map_err(|source| {
        let _left_behind = fs::remove_file(to);
        StoreError::writing(source, from)
    })
}

/// Copies a file as it is, readable or not, to a name that must be free.
pub(super) fn copy_file(from: &Path, to: &Path) -> Result<(), StoreError> {
    let (_, bytes) = read_file(from)?;
    create(to, &bytes)
}

/// Makes a file that must not be there yet.
pub(super) fn create(path: &Path, bytes: &[u8]) -> Result<(), StoreError> {
    // The empty file holds the name against other programs; renaming over it is then no overwriting.
    OpenOptions::new().write(true).create_new(true).open(path).map_err(|source| StoreError::writing(source, path))?;
    replace(path, bytes).map_err(|source| {
        // Best effort: the first error is the one to tell.
        let _left_behind = fs::remove_file(path);
        StoreError::writing(source, path)
    })
}

/// Writes beside, syncs, renames over.
pub(super) fn replace(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut file = AtomicWriteFile::open(path)?;
    file.write_all(bytes)?;
    file.commit()
}
