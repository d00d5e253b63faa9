//! Looking at the unit files: done away from the frame, for hundreds of long logs take their time.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::present::{Gist, capital, plain};
use crate::garden::{Catalog, OwnKind, Severity};
use crate::store::{Folders, Library, UnitListing, read_unit, same_file};

/// What is to be looked at.
#[derive(Clone, Debug)]
pub struct Look {
    /// Its number: only what the latest saw is taken.
    pub number: u64,
    /// Where the files are.
    pub folders: Folders,
    /// Units that were opened lately, the latest first.
    pub recent: Vec<PathBuf>,
    /// Crops, waters, products.
    pub catalog: Arc<Catalog>,
}

/// What was seen.
#[derive(Debug, Default)]
pub struct Seen {
    /// Number of the look.
    pub number: u64,
    /// The person's units, those of late first.
    pub units: Vec<SeenUnit>,
    /// Units put away for later.
    pub archived: Vec<UnitListing>,
    /// Deleted units.
    pub deleted: Vec<UnitListing>,
    /// The person's own profiles.
    pub library: Library,
    /// Deleted profiles.
    pub deleted_profiles: Vec<(OwnKind, UnitListing)>,
    /// Why units may be missing.
    pub problem: Option<String>,
}

/// One unit file.
#[derive(Debug)]
pub struct SeenUnit {
    /// The file.
    pub path: PathBuf,
    /// The file's own name.
    pub title: String,
    /// Whether it lies in the units folder.
    pub is_here: bool,
    /// What is said of the unit, or why it cannot be used.
    pub gist: Result<Gist, String>,
}

impl SeenUnit {
    /// The unit's name; the file's own where it cannot be used.
    pub fn name(&self) -> &str {
        self.gist.as_ref().map_or(self.title.as_str(), |gist| gist.name.as_str())
    }
}

impl Look {
    /// Reads every file.
    pub fn see(&self) -> Seen {
        let folders = &self.folders;
        let listed = folders.list_units();
        let problem = listed.as_ref().err().map(|error| capital(&plain(error)));
        let mut units: Vec<SeenUnit> =
            listed.unwrap_or_default().into_iter().map(|unit| self.unit(unit, true)).collect();
        let mut order: Vec<usize> = Vec::new();
        for path in &self.recent {
            match units.iter().position(|unit| same_file(&unit.path, path)) {
                Some(place) => order.push(place),
                // Opened lately from another folder, unless it was put away since.
                None if !self.is_put_away(path) => {
                    order.push(units.len());
                    let title = path.file_stem().map_or_else(String::new, |stem| stem.to_string_lossy().into_owned());
                    units.push(self.unit(UnitListing { path: path.clone(), title }, false));
                }
                None => {}
            }
        }
        let place = |at: usize| order.iter().position(|&other| other == at).unwrap_or(usize::MAX);
        let mut numbered: Vec<(usize, SeenUnit)> = units.into_iter().enumerate().collect();
        // Those of late first; the others stay by name.
        numbered.sort_by_key(|(at, _)| place(*at));
        Seen {
            number: self.number,
            units: numbered.into_iter().map(|(_, unit)| unit).collect(),
            archived: folders.list_archived().unwrap_or_default(),
            deleted: folders.list_deleted().unwrap_or_default(),
            library: folders.read_library(),
            deleted_profiles: folders.list_deleted_profiles(),
            problem,
        }
    }

    fn is_put_away(&self, path: &Path) -> bool {
        let away = [self.folders.archive(), self.folders.deleted()];
        path.parent().is_some_and(|parent| away.iter().any(|folder| same_file(parent, folder)))
    }

    fn unit(&self, unit: UnitListing, is_here: bool) -> SeenUnit {
        let UnitListing { path, title } = unit;
        let gist = match read_unit(&path) {
            Err(error) => Err(capital(&plain(&error))),
            Ok(loaded) => {
                let refused = loaded.unit.check(&self.catalog).into_iter().find(|p| p.severity == Severity::Refused);
                match refused {
                    Some(problem) => Err(capital(&problem.message)),
                    None => Ok(Gist::of(&loaded.unit, &self.catalog)),
                }
            }
        };
        SeenUnit { path, title, is_here, gist }
    }
}
