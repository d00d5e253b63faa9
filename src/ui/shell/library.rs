//! The person's own profiles: taken in from a file, left out with a reason, mended where two have one id.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::Shell;
use super::files::plain;
use super::owned::action;
use crate::garden::{IdClash, OwnProfile, same_name};
use crate::store::{Library, LibraryEntry, Meeting, TakeIn, profile_to_take, read_profile};
use crate::ui::command::{Command, OwnedCommand};
use crate::ui::present::capital;
use crate::ui::view::{AwayView, NoticeView};

impl Shell {
    /// Asks whether the profile in a file is to be taken in.
    pub(super) fn ask_to_take(&mut self, path: &Path) {
        let Some(folders) = &self.folders else { return };
        let profile = match profile_to_take(path) {
            Ok(profile) => profile,
            Err(error) => {
                self.tell(format!("The profile cannot be used: {}. The file was left as it is", plain(&error)));
                return;
            }
        };
        self.owned.profiles = folders.read_library();
        self.offer_to_take(profile);
    }

    /// Takes a profile of the open unit into the library: at once where it meets nothing there.
    pub(super) fn keep_for_all(&mut self, profile: OwnProfile) {
        let Some(folders) = &self.folders else {
            self.tell("No folder for files was found, so there is no library");
            return;
        };
        self.owned.profiles = folders.read_library();
        if self.owned.profiles.meeting(&profile, &self.catalog) == Meeting::Free {
            self.owned.to_take = Some((profile, None));
            self.take_in(None);
        } else {
            self.offer_to_take(profile);
        }
    }

    /// Asks what becomes of a profile that is to be taken in, and of what it meets.
    fn offer_to_take(&mut self, profile: OwnProfile) {
        let take = |words: &str, choice| action(words, Command::Owned(OwnedCommand::TakeIn(choice)));
        let kind = profile.kind().words();
        let (clash, words, actions) = match self.owned.profiles.meeting(&profile, &self.catalog) {
            Meeting::Same => {
                self.tell(format!("The {kind} “{}” is in your library already", profile.name()));
                return;
            }
            Meeting::Free => {
                let words = format!(
                    "Take the {kind} “{}” into your library? The file itself stays where it is",
                    profile.name()
                );
                (None, words, vec![take("Take it in", None)])
            }
            Meeting::Clash(clash) => {
                let both = if same_name(&clash.new_name, &clash.name) {
                    format!("Keep both, this one with the id {}", clash.new_id)
                } else {
                    format!("Keep both, this one as “{}”", clash.new_name)
                };
                let mut actions = vec![take(&both, Some(TakeIn::KeepBoth))];
                if clash.mine.is_some() {
                    actions.push(take("Replace mine", Some(TakeIn::ReplaceMine)));
                }
                (Some(clash.clone()), format!("{}. What shall become of them?", capital(&clash.to_string())), actions)
            }
        };
        self.owned.to_take = Some((profile, clash));
        self.notice = Some(NoticeView { words, actions, leave: "Leave it".to_owned() });
    }

    pub(super) fn take_in(&mut self, choice: Option<TakeIn>) {
        let Some((profile, clash)) = self.owned.to_take.take() else { return };
        let Some(folders) = &self.folders else { return };
        let name = profile.name().to_owned();
        let taken = match (choice, &clash) {
            (Some(TakeIn::ReplaceMine), Some(clash)) => self.owned.profiles.replace(profile, clash, &self.catalog),
            _ => Library::take_in(folders, profile, clash.as_ref()),
        };
        match taken {
            Ok(path) => self.tell(format!("“{name}” is in your library: {}", path.display())),
            Err(error) => self.tell(format!("“{name}” was not taken in: {}", plain(&error))),
        }
        self.read_own();
        self.look_at_units();
    }

    /// Puts the person's own profiles beside the shipped ones.
    pub(super) fn read_own(&mut self) {
        let Some(folders) = &self.folders else { return };
        let library = folders.read_library();
        let (catalog, clashes) = self.catalog.with_own(&library.own());
        self.catalog = Arc::new(catalog);
        self.owned.clashes = clashes;
        self.owned.profiles = library;
    }

    pub(super) fn delete_profile(&mut self, path: &Path) {
        let Some(folders) = &self.folders else { return };
        match folders.delete_profile(path, self.clock.now_s()) {
            Ok(to) => self.tell(format!("It was moved to {}", to.display())),
            Err(error) => self.tell(format!("The profile stays where it is: {}", plain(&error))),
        }
        self.read_own();
        self.look_at_units();
    }

    pub(super) fn give_id(&mut self, path: &Path, id: String) {
        let written = read_profile(path).and_then(|mut loaded| {
            let name = loaded.profile.name().to_owned();
            loaded.file.write(&loaded.profile.called(id, name))
        });
        if let Err(error) = written {
            self.tell(format!("The profile keeps its id: {}", plain(&error)));
        }
        self.read_own();
    }
}

/// One of the person's own profiles, or why it cannot be used.
pub(super) fn library_line(entry: &LibraryEntry, clashes: &[IdClash]) -> AwayView {
    let of = |command: fn(PathBuf) -> OwnedCommand| Command::Owned(command(entry.path.clone()));
    let mut links =
        vec![action("Export…", of(OwnedCommand::Export)), action("Delete", of(OwnedCommand::DeleteProfile))];
    let mut reason = entry.reason();
    let name = match &entry.state {
        Err(_) => entry.title.as_str(),
        Ok(loaded) => {
            let profile = &loaded.profile;
            let is_it = |clash: &&IdClash| {
                (clash.kind, clash.id.as_str(), clash.yours.as_str()) == (profile.kind(), profile.id(), profile.name())
            };
            if let Some(clash) = clashes.iter().find(is_it) {
                reason = Some(clash.to_string());
                let give = Command::Owned(OwnedCommand::GiveId(entry.path.clone(), clash.free_id.clone()));
                links.insert(0, action(&format!("Give it the id {}", clash.free_id), give));
            }
            profile.name()
        }
    };
    AwayView {
        name: name.to_owned(),
        is_broken: reason.is_some(),
        note: reason.map_or_else(|| entry.kind.words().to_owned(), |reason| capital(&reason)),
        links,
    }
}
