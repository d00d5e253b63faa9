//! What can go wrong with a file, in words for the person.

use std::io;
use std::path::{Path, PathBuf};

/// A place in a text file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Place {
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
}

impl std::fmt::Display for Place {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "line {}, column {}", self.line, self.column)
    }
}

/// Why a file could not be read, or was not written. In every case the file on disk is as it was.
///
/// Messages are lower case, without a full stop, with the path last.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum StoreError {
    /// There is no such file.
    #[error("there is no file {}", path.display())]
    NotFound {
        /// The file.
        path: PathBuf,
    },
    /// A folder, a device or a pipe.
    #[error("this is not an ordinary file: {}", path.display())]
    NotAFile {
        /// What was to be read.
        path: PathBuf,
    },
    /// The operating system could not read it.
    #[error("cannot read ({source}): {}", path.display())]
    Read {
        /// The system's reason.
        source: io::Error,
        /// The file or folder.
        path: PathBuf,
    },
    /// The operating system could not write it: a full disk, a vanished folder.
    #[error("cannot write ({source}): {}", path.display())]
    Write {
        /// The system's reason.
        source: io::Error,
        /// The file or folder.
        path: PathBuf,
    },
    /// The folder may not be written to.
    #[error("this folder cannot be written to ({source}): {}", folder.display())]
    ReadOnlyFolder {
        /// The system's reason.
        source: io::Error,
        /// The folder.
        folder: PathBuf,
    },
    /// Larger than any file of ours.
    #[error("the file has {bytes} bytes, more than the {limit} that are read: {}", path.display())]
    TooLarge {
        /// Its size.
        bytes: u64,
        /// The largest size read or written.
        limit: u64,
        /// The file.
        path: PathBuf,
    },
    /// Not UTF-8.
    #[error("the file is not UTF-8 text, at {place}: {}", path.display())]
    NotText {
        /// Where the text ends.
        place: Place,
        /// The file.
        path: PathBuf,
    },
    /// Nothing in it.
    #[error("the file is empty: {}", path.display())]
    Empty {
        /// The file.
        path: PathBuf,
    },
    /// It does not begin with its version, so it is something else.
    #[error("the file does not begin with `(version: …`, so it is not one of Pourcast's: {}", path.display())]
    NoVersion {
        /// The file.
        path: PathBuf,
    },
    /// Written by a later program.
    #[error(
        "the file was written by a newer Pourcast (version {version}; this one reads up to {newest}): {}",
        path.display()
    )]
    NewerVersion {
        /// The file's version.
        version: u64,
        /// The newest version read here.
        newest: u32,
        /// The file.
        path: PathBuf,
    },
    /// A version that never was.
    #[error("there is no version {version} of this file (they run from 1 to {newest}): {}", path.display())]
    UnknownVersion {
        /// The file's version.
        version: u64,
        /// The newest version read here.
        newest: u32,
        /// The file.
        path: PathBuf,
    },
    /// It stops in the middle.
    #[error("the file ends too early, at {place}: {}", path.display())]
    EndsEarly {
        /// Where it ends.
        place: Place,
        /// The file.
        path: PathBuf,
    },
    /// A field that this version does not have.
    #[error("unknown field `{field}` at {place}: {}", path.display())]
    UnknownField {
        /// The field.
        field: String,
        /// Where it stands.
        place: Place,
        /// The file.
        path: PathBuf,
    },
    /// A field without which there is no meaning.
    #[error("the field `{field}` is missing from what ends at {place}: {}", path.display())]
    MissingField {
        /// The field.
        field: String,
        /// Where its surroundings end.
        place: Place,
        /// The file.
        path: PathBuf,
    },
    /// Brackets within brackets, more than any file of ours has.
    #[error("the file is nested too deeply, at {place}: {}", path.display())]
    TooDeep {
        /// Where.
        place: Place,
        /// The file.
        path: PathBuf,
    },
    /// Another mistake in the text.
    #[error("{reason} at {place}: {}", path.display())]
    Malformed {
        /// What the parser says.
        reason: String,
        /// Where.
        place: Place,
        /// The file.
        path: PathBuf,
    },
    /// A number that is none, read or about to be written.
    #[error("`{field}` must be a finite number, not {value}: {}", path.display())]
    NotFinite {
        /// The field.
        field: String,
        /// What stands there.
        value: String,
        /// The file.
        path: PathBuf,
    },
    /// The data have no form in a file. Not reachable with the types of today; kept so that nothing panics.
    #[error("cannot be written as text ({reason}): {}", path.display())]
    NoForm {
        /// What the writer says.
        reason: String,
        /// The file.
        path: PathBuf,
    },
    /// Someone else changed the file since it was loaded.
    #[error("the file was changed by another program since it was opened; save beside it or open it again: {}", path.display())]
    ChangedOnDisk {
        /// The file.
        path: PathBuf,
    },
    /// A new file was to be made where one is.
    #[error("there is already a file {}", path.display())]
    AlreadyThere {
        /// The file.
        path: PathBuf,
    },
    /// A file was to be put away that is not in the folder it should be in.
    #[error("this file is not in the folder {}, so it stays where it is: {}", folder.display(), path.display())]
    Elsewhere {
        /// Where it should be.
        folder: PathBuf,
        /// The file.
        path: PathBuf,
    },
    /// A file was to be moved that is a link to another place.
    #[error("this is a link to a file elsewhere, so it stays where it is: {}", path.display())]
    IsALink {
        /// The link.
        path: PathBuf,
    },
    /// One kind of file stands where another is wanted.
    #[error("the file holds {found}, not a {wanted}: {}", path.display())]
    OtherKind {
        /// What it holds, in words.
        found: String,
        /// What was wanted.
        wanted: &'static str,
        /// The file.
        path: PathBuf,
    },
    /// It can be read, but what it says cannot be used.
    #[error("{reason}: {}", path.display())]
    Unusable {
        /// Field, value and limit.
        reason: String,
        /// The file.
        path: PathBuf,
    },
    /// A page was to be put over something that is no page.
    #[error("there is already a file here that is no PDF, so it was left as it is: {}", path.display())]
    NotAPdf {
        /// The file.
        path: PathBuf,
    },
    /// The operating system names no folder for a person's data.
    #[error("no home folder was found; set {variable} to a folder for Pourcast's files")]
    NoHome {
        /// The environment variable that helps.
        variable: &'static str,
    },
}

impl StoreError {
    /// True when saving under another name is the way on.
    pub fn suggests_saving_beside(&self) -> bool {
        matches!(self, Self::ChangedOnDisk { .. } | Self::AlreadyThere { .. })
    }

    /// True when the file could be read but not understood: what is in it is for another program, or damaged.
    pub fn is_of_the_text(&self) -> bool {
        match self {
            Self::NotText { .. }
            | Self::Empty { .. }
            | Self::NoVersion { .. }
            | Self::NewerVersion { .. }
            | Self::UnknownVersion { .. }
            | Self::EndsEarly { .. }
            | Self::UnknownField { .. }
            | Self::MissingField { .. }
            | Self::Malformed { .. }
            | Self::TooDeep { .. }
            | Self::NotFinite { .. }
            | Self::OtherKind { .. }
            | Self::TooLarge { .. } => true,
            Self::NotFound { .. }
            | Self::NotAFile { .. }
            | Self::Read { .. }
            | Self::Write { .. }
            | Self::ReadOnlyFolder { .. }
            | Self::NoForm { .. }
            | Self::ChangedOnDisk { .. }
            | Self::AlreadyThere { .. }
            | Self::Elsewhere { .. }
            | Self::IsALink { .. }
            | Self::Unusable { .. }
            | Self::NotAPdf { .. }
            | Self::NoHome { .. } => false,
        }
    }

    /// Sorts a failure to read.
    pub(super) fn reading(source: io::Error, path: &Path) -> Self {
        let path = path.to_owned();
        match source.kind() {
            io::ErrorKind::NotFound => Self::NotFound { path },
            _ => Self::Read { source, path },
        }
    }

    /// Sorts a failure to write.
    pub(super) fn writing(source: io::Error, path: &Path) -> Self {
        match source.kind() {
            io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => {
                Self::ReadOnlyFolder { source, folder: path.parent().unwrap_or(path).to_owned() }
            }
            io::ErrorKind::AlreadyExists => Self::AlreadyThere { path: path.to_owned() },
            _ => Self::Write { source, path: path.to_owned() },
        }
    }
}
