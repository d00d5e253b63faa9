//! The person's own profiles on disk: one file for each product, crop and water.
//!
//! The rules are those of units: a file that failed to load stays as it is and is listed with its reason, only a handle
//! writes, and nothing is put over something that is there.

use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::document::{Handle, Written, read_file};
use super::error::StoreError;
use super::folders::{Folders, UnitListing, file_name, free, is_in, list, make_folder, same_file, stem};
use super::text::{body, parse, print, version};
use super::unit_folder::{deleted_name, deletion, move_between};
use crate::garden::{
    Catalog, Crop, Own, OwnKind, OwnProfile, OwnWater, Product, Whose, free_id, free_name, id_from, same_name,
};

/// Version of profile files that this program writes, and the newest that it reads.
pub const PROFILE_VERSION: u32 = 1;

/// First line of a profile's file.
const HEADING: &str = "// Pourcast profile of one's own. Comments are not kept.";

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct OfProduct {
    version: u32,
    product: Box<Product>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct OfCrop {
    version: u32,
    crop: Box<Crop>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct OfWater {
    version: u32,
    water: Box<OwnWater>,
}

/// A profile that was read, and the right to write it back.
#[derive(Debug)]
pub struct LoadedProfile {
    /// The profile as it stands in the file. Its numbers are finite; whether they make sense is for [`OwnProfile::check`].
    pub profile: OwnProfile,
    /// The file.
    pub file: ProfileFile,
}

/// A profile's file that may be written. As with units, what failed to load has none.
#[derive(Debug)]
pub struct ProfileFile {
    handle: Handle,
    kind: OwnKind,
}

impl ProfileFile {
    /// Makes a new file; its folder must be there.
    ///
    /// # Errors
    /// [`StoreError::AlreadyThere`] when there is a file of this name; [`StoreError::ReadOnlyFolder`], [`StoreError::Write`],
    /// [`StoreError::NotFinite`], [`StoreError::TooLarge`].
    pub fn create(path: &Path, profile: &OwnProfile) -> Result<Self, StoreError> {
        let path = std::path::absolute(path).map_err(|source| StoreError::writing(source, path))?;
        let text = profile_text(profile, &path)?;
        let mut handle = Handle::of_absent(path);
        match handle.write(&text)? {
            Written::Saved => Ok(Self { handle, kind: profile.kind() }),
            // The very same text: still a file that was there.
            Written::AlreadyThere => Err(StoreError::AlreadyThere { path: handle.path().to_owned() }),
        }
    }

    /// Writes a profile of the same kind, whole or not at all; as it was when it was read it is kept once beside it.
    ///
    /// # Errors
    /// [`StoreError::ChangedOnDisk`] when another program changed the file; [`StoreError::OtherKind`] for a profile of
    /// another kind; errors about writing.
    pub fn write(&mut self, profile: &OwnProfile) -> Result<Written, StoreError> {
        let path = self.path().to_owned();
        if profile.kind() != self.kind {
            let found = format!("a {}", self.kind.words());
            return Err(StoreError::OtherKind { found, wanted: profile.kind().words(), path });
        }
        let text = profile_text(profile, &path)?;
        self.handle.write(&text)
    }

    /// Lets the file follow its profile's new name, as that of a unit does.
    ///
    /// # Errors
    /// Errors about moving; the file is then where it was, and may still be written.
    pub fn follow_name(&mut self, name: &str) -> Result<(), StoreError> {
        self.handle.follow_name(name)
    }

    /// Where the file is.
    pub fn path(&self) -> &Path {
        self.handle.path()
    }
}

/// Reads a profile's file.
///
/// # Errors
/// Any [`StoreError`] about reading or about the text. The file stays as it is.
pub fn read_profile(path: &Path) -> Result<LoadedProfile, StoreError> {
    let (path, bytes) = read_file(path)?;
    let profile = profile_from_text(&bytes, &path)?;
    let kind = profile.kind();
    Ok(LoadedProfile { profile, file: ProfileFile { handle: Handle::of_read(path, bytes), kind } })
}

/// Reads a profile that is to be taken into the library: what it says must make sense, too.
///
/// # Errors
/// As [`read_profile`], and [`StoreError::Unusable`].
pub fn profile_to_take(path: &Path) -> Result<OwnProfile, StoreError> {
    let LoadedProfile { profile, file } = read_profile(path)?;
    match profile.check().into_iter().next() {
        Some(problem) => Err(StoreError::Unusable { reason: problem.message, path: file.path().to_owned() }),
        None => Ok(profile),
    }
}

/// The profile in the contents of a file; `path` is for the error's message only.
///
/// # Errors
/// Any [`StoreError`] about the text.
pub fn profile_from_text(bytes: &[u8], path: &Path) -> Result<OwnProfile, StoreError> {
    version(bytes, PROFILE_VERSION, path)?;
    let profile = match body(bytes, PROFILE_VERSION, path)?.as_deref() {
        Some("crop") => OwnProfile::Crop(parse::<OfCrop>(bytes, PROFILE_VERSION, path)?.crop),
        Some("water") => OwnProfile::Water(parse::<OfWater>(bytes, PROFILE_VERSION, path)?.water),
        Some("unit" | "settings") => {
            return Err(StoreError::OtherKind {
                found: "something else of Pourcast's".to_owned(),
                wanted: "profile",
                path: path.to_owned(),
            });
        }
        // Whatever else it is: the parser names the place.
        _ => OwnProfile::Product(parse::<OfProduct>(bytes, PROFILE_VERSION, path)?.product),
    };
    // A number that is none has a word in RON, so the parser lets it pass: the printer does not.
    profile_text(&profile, path)?;
    Ok(profile)
}

/// A profile as the text of its file; `path` is for the error's message only.
///
/// # Errors
/// [`StoreError::NotFinite`] when a number in it is NaN or infinite.
pub fn profile_text(profile: &OwnProfile, path: &Path) -> Result<String, StoreError> {
    let version = PROFILE_VERSION;
    match profile.clone() {
        OwnProfile::Product(product) => print(&OfProduct { version, product }, HEADING, path),
        OwnProfile::Crop(crop) => print(&OfCrop { version, crop }, HEADING, path),
        OwnProfile::Water(water) => print(&OfWater { version, water }, HEADING, path),
    }
}

/// A file of the library.
#[derive(Debug)]
pub struct LibraryEntry {
    /// The kind of its folder.
    pub kind: OwnKind,
    /// The file.
    pub path: PathBuf,
    /// Its name without the ending.
    pub title: String,
    /// What it holds, or why it cannot be read.
    pub state: Result<LoadedProfile, StoreError>,
}

impl LibraryEntry {
    /// Why the profile cannot be used: it cannot be read, or says what makes no sense.
    pub fn reason(&self) -> Option<String> {
        match &self.state {
            Err(error) => Some(error.to_string()),
            Ok(loaded) => loaded.profile.check().into_iter().next().map(|problem| problem.message),
        }
    }

    fn profile(&self) -> Option<&OwnProfile> {
        self.state.as_ref().ok().map(|loaded| &loaded.profile)
    }
}

/// A person's library: every file, also those that cannot be used.
#[derive(Debug, Default)]
pub struct Library {
    /// The files, kind by kind and by name.
    pub entries: Vec<LibraryEntry>,
}

/// What a profile from elsewhere meets in the library.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Meeting {
    /// Nothing of its name or id.
    Free,
    /// The very same.
    Same,
    /// Something of its name or id.
    Clash(Clash),
}

/// A profile from elsewhere and what has its name or its id already.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Clash {
    /// Kind of both.
    pub kind: OwnKind,
    /// Name of the one from elsewhere.
    pub name: String,
    /// Id of the one from elsewhere.
    pub id: String,
    /// Name and file of the person's own one; none when only a shipped one has the id.
    pub mine: Option<(String, PathBuf)>,
    /// Name of the shipped one that has the id.
    pub shipped: Option<String>,
    /// The name under which both can be kept.
    pub new_name: String,
    /// The id under which both can be kept.
    pub new_id: String,
}

impl std::fmt::Display for Clash {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Self { kind, name, id, .. } = self;
        let kind = kind.words();
        match (&self.mine, &self.shipped) {
            (Some((mine, _)), _) if same_name(mine, name) => {
                write!(f, "you have a {kind} called “{mine}” already, and it is another one")
            }
            (Some((mine, _)), _) => write!(f, "“{name}” has the id `{id}`, which is that of your {kind} “{mine}”"),
            (None, shipped) => {
                let shipped = shipped.as_deref().unwrap_or_default();
                write!(f, "“{name}” has the id `{id}`, which is that of the shipped {kind} “{shipped}”")
            }
        }
    }
}

/// What a person says to a clash.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum TakeIn {
    /// Keep both, the one from elsewhere under a new name and id.
    KeepBoth,
    /// Put the one from elsewhere in the place of mine.
    ReplaceMine,
}

impl Library {
    /// The profiles that can be used.
    pub fn own(&self) -> Own {
        let mut own = Own::default();
        let usable = self.entries.iter().filter(|entry| entry.reason().is_none());
        usable.filter_map(LibraryEntry::profile).for_each(|profile| own.add(profile.clone()));
        own
    }

    fn profiles(&self, kind: OwnKind) -> impl Iterator<Item = (&LibraryEntry, &OwnProfile)> {
        let of_kind = self.entries.iter().filter_map(|entry| Some((entry, entry.profile()?)));
        of_kind.filter(move |(_, profile)| profile.kind() == kind)
    }

    /// What a profile from elsewhere meets here, `shipped` being the shipped profiles.
    pub fn meeting(&self, profile: &OwnProfile, shipped: &Catalog) -> Meeting {
        let kind = profile.kind();
        let same = |one: &OwnProfile| same_name(one.name(), profile.name());
        if self.profiles(kind).any(|(_, mine)| mine == profile) {
            return Meeting::Same;
        }
        let by_name = self.profiles(kind).find(|(_, mine)| same(mine));
        let mine = by_name.or_else(|| self.profiles(kind).find(|(_, mine)| mine.id() == profile.id()));
        let shipped_name = shipped_bearer(shipped, kind, profile.id());
        if mine.is_none() && shipped_name.is_none() {
            return Meeting::Free;
        }
        Meeting::Clash(Clash {
            kind,
            name: profile.name().to_owned(),
            id: profile.id().to_owned(),
            mine: mine.map(|(entry, mine)| (mine.name().to_owned(), entry.path.clone())),
            shipped: shipped_name.map(str::to_owned),
            new_name: free_name(profile.name(), |name| self.profiles(kind).any(|(_, p)| same_name(p.name(), name))),
            new_id: self.free_id(kind, profile.id(), shipped),
        })
    }

    /// Name of the person's own profile of a kind that has a name already, the one in the file `but` left out.
    pub fn bearer_of_name(&self, kind: OwnKind, name: &str, but: Option<&Path>) -> Option<&str> {
        let other = |entry: &LibraryEntry| !but.is_some_and(|path| same_file(path, &entry.path));
        let mut named = self.profiles(kind).filter(|(_, profile)| same_name(profile.name(), name));
        named.find(|(entry, _)| other(entry)).map(|(_, profile)| profile.name())
    }

    /// An id for a new profile of a kind that neither the person nor the shipped profiles have, made from its name.
    pub fn id_for(&self, kind: OwnKind, name: &str, shipped: &Catalog) -> String {
        self.free_id(kind, &id_from(name, kind.words()), shipped)
    }

    /// The profile under an id that a profile can have. A unit's own products may have others.
    #[must_use]
    pub fn with_usable_id(&self, profile: OwnProfile, shipped: &Catalog) -> OwnProfile {
        if profile.has_usable_id() {
            return profile;
        }
        let name = profile.name().to_owned();
        let id = self.id_for(profile.kind(), &name, shipped);
        profile.called(id, name)
    }

    fn free_id(&self, kind: OwnKind, wanted: &str, shipped: &Catalog) -> String {
        free_id(wanted, |id| self.has_id(kind, id, None) || shipped_bearer(shipped, kind, id).is_some())
    }

    fn has_id(&self, kind: OwnKind, id: &str, but: Option<&Path>) -> bool {
        self.profiles(kind).any(|(entry, profile)| profile.id() == id && Some(entry.path.as_path()) != but)
    }

    /// Takes a profile in that meets nothing, or under the clash's new name and id. Returns the file.
    ///
    /// # Errors
    /// Errors about making the folder and the file.
    pub fn take_in(folders: &Folders, profile: OwnProfile, clash: Option<&Clash>) -> Result<PathBuf, StoreError> {
        let profile = match clash {
            Some(clash) => profile.called(clash.new_id.clone(), clash.new_name.clone()),
            None => profile,
        };
        let folder = folders.profiles(profile.kind());
        make_folder(&folder)?;
        let file = ProfileFile::create(&free(&folder, &file_name(profile.name())), &profile)?;
        Ok(file.path().to_owned())
    }

    /// Puts a profile in the place of the person's own one of a clash, which is kept once beside it. Its id stays its own
    /// where that of the one from elsewhere is another's. Returns the file.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] when the file is gone since; errors about writing.
    pub fn replace(&mut self, profile: OwnProfile, clash: &Clash, shipped: &Catalog) -> Result<PathBuf, StoreError> {
        let (kind, path) = (profile.kind(), clash.mine.as_ref().map(|(_, path)| path.clone()).unwrap_or_default());
        let is_taken =
            self.has_id(kind, profile.id(), Some(&path)) || shipped_bearer(shipped, kind, profile.id()).is_some();
        let entry = self.entries.iter_mut().find(|entry| entry.path == path);
        let Some(loaded) = entry.and_then(|entry| entry.state.as_mut().ok()) else {
            return Err(StoreError::NotFound { path });
        };
        let id = if is_taken { loaded.profile.id() } else { profile.id() }.to_owned();
        let name = profile.name().to_owned();
        loaded.file.write(&profile.called(id, name))?;
        Ok(path)
    }
}

/// Name of the shipped profile that has an id.
fn shipped_bearer<'a>(shipped: &'a Catalog, kind: OwnKind, id: &str) -> Option<&'a str> {
    shipped.bearer(kind, id).filter(|(_, whose)| *whose == Whose::Shipped).map(|(name, _)| name)
}

impl Folders {
    /// Reads a person's library. A folder that cannot be read is listed like a file that cannot.
    pub fn read_library(&self) -> Library {
        let mut library = Library::default();
        for kind in OwnKind::ALL {
            let folder = self.profiles(kind);
            match list(&folder) {
                Ok(files) => library.entries.extend(files.into_iter().map(|file| LibraryEntry {
                    kind,
                    state: read_of_kind(&file.path, kind),
                    path: file.path,
                    title: file.title,
                })),
                Err(error) => {
                    let title = stem(&folder);
                    library.entries.push(LibraryEntry { kind, path: folder, title, state: Err(error) });
                }
            }
        }
        library
    }

    /// Deletes a profile, whatever its file holds: it is moved to a folder `deleted` beside it with the time in its name.
    /// Returns where it is now.
    ///
    /// # Errors
    /// [`StoreError::Elsewhere`] for a file that is not in the library; errors about moving.
    pub fn delete_profile(&self, path: &Path, at_s: i64) -> Result<PathBuf, StoreError> {
        let kind = OwnKind::ALL.into_iter().find(|kind| is_in(path, &self.profiles(*kind))).unwrap_or(OwnKind::Product);
        let to = self.deleted_profiles(kind);
        move_between(path, &[self.profiles(kind)], &to, &deleted_name(&stem(path), at_s))
    }

    /// Brings a deleted profile back among the others of its kind, under the file name it had where that is free; what is in it
    /// is not looked at. Returns where it is now.
    ///
    /// # Errors
    /// [`StoreError::Elsewhere`] for a file that is not a deleted one; errors about moving.
    pub fn bring_back_profile(&self, path: &Path) -> Result<PathBuf, StoreError> {
        let is_of = |kind: &OwnKind| is_in(path, &self.deleted_profiles(*kind));
        let kind = OwnKind::ALL.into_iter().find(is_of).unwrap_or(OwnKind::Product);
        move_between(path, &[self.deleted_profiles(kind)], &self.profiles(kind), deletion(&stem(path)).0)
    }

    /// The same under the new name and id of a clash, so that it and what it meets can both be kept.
    ///
    /// # Errors
    /// As [`Self::bring_back_profile`]; errors about reading and writing, when it is back already under its old name.
    pub fn bring_back_profile_as(&self, path: &Path, clash: &Clash) -> Result<PathBuf, StoreError> {
        let LoadedProfile { profile, mut file } = read_profile(&self.bring_back_profile(path)?)?;
        file.write(&profile.called(clash.new_id.clone(), clash.new_name.clone()))?;
        file.follow_name(&clash.new_name)?;
        Ok(file.path().to_owned())
    }

    /// The profiles that were deleted and not thrown away since, kind by kind and by name. A folder that cannot be read has none.
    pub fn list_deleted_profiles(&self) -> Vec<(OwnKind, UnitListing)> {
        let of_kind = |kind: OwnKind| list(&self.deleted_profiles(kind)).unwrap_or_default().into_iter();
        OwnKind::ALL.into_iter().flat_map(|kind| of_kind(kind).map(move |file| (kind, file))).collect()
    }
}

fn read_of_kind(path: &Path, kind: OwnKind) -> Result<LoadedProfile, StoreError> {
    let loaded = read_profile(path)?;
    if loaded.profile.kind() == kind {
        return Ok(loaded);
    }
    let found = format!("a {}", loaded.profile.kind().words());
    Err(StoreError::OtherKind { found, wanted: kind.words(), path: path.to_owned() })
}
