//! Pages for the printer. They hold nothing that is read again, so unlike a unit they may be written over.

use std::fs::{self, File};
use std::io::Read as _;
use std::path::{Path, PathBuf};

use super::document::{create, replace};
use super::error::StoreError;

/// How every PDF file begins. Source: ISO 32000-1:2008, 7.5.2.
const BEGINNING: &[u8] = b"%PDF-";

/// Writes a PDF, whole or not at all, and returns where it is: a name without an ending gets `.pdf`.
///
/// A PDF that is there already is written over (a dialog has asked by then); anything else is left as it is, so that a slip of
/// the name costs no unit.
///
/// # Errors
/// [`StoreError::NotAPdf`] where another kind of file stands, [`StoreError::NotAFile`] for a folder,
/// [`StoreError::ReadOnlyFolder`] or [`StoreError::Write`] when the system refuses.
pub fn write_pdf(path: &Path, bytes: &[u8]) -> Result<PathBuf, StoreError> {
    let path = if path.extension().is_none() { path.with_extension("pdf") } else { path.to_owned() };
    let reading = |source| StoreError::reading(source, &path);
    match fs::metadata(&path) {
        Err(source) if source.kind() == std::io::ErrorKind::NotFound => create(&path, bytes)?,
        Err(source) => return Err(StoreError::writing(source, &path)),
        Ok(there) if !there.is_file() => return Err(StoreError::NotAFile { path }),
        Ok(there) => {
            let mut beginning = Vec::new();
            let known = u64::try_from(BEGINNING.len()).unwrap_or(u64::MAX);
            File::open(&path).and_then(|file| file.take(known).read_to_end(&mut beginning)).map_err(reading)?;
            if there.len() > 0 && beginning != BEGINNING {
                return Err(StoreError::NotAPdf { path });
            }
            // The true path: a rename over a link would cut it.
            let target = fs::canonicalize(&path).map_err(reading)?;
            replace(&target, bytes).map_err(|source| StoreError::writing(source, &path))?;
        }
    }
    Ok(path)
}
