//! The person's own profiles: taken in from a file, left out with a reason, mended where two have one id.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::Shell;
use super::describe::can_be_changed;
use super::files::plain;
use super::owned::{ToTake, action};
use crate::garden::{IdClash, OwnKind, OwnProfile, Product, same_name};
use crate::store::{
    Clash, FeedMeeting, Library, LibraryEntry, LoadedProfile, Meeting, TakeIn, UnitListing, deletion, profile_to_take,
    read_profile,
};
use crate::ui::command::{Command, OwnedCommand};
use crate::ui::present::capital;
use crate::ui::view::{AwayView, LibraryView, LinkView, NoticeView, Tone};

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
        let profile = self.owned.profiles.with_usable_id(profile, &self.catalog);
        if self.owned.profiles.meeting(&profile, &self.catalog) == Meeting::Free {
            self.owned.to_take = Some(ToTake::One(profile, None));
            self.take_in(None);
        } else {
            self.offer_to_take(profile);
        }
    }

    /// Takes the parts of a feed of the open unit into the library, with each other: at once where they meet nothing there.
    pub(super) fn keep_feed_for_all(&mut self, parts: &[Product]) {
        let Some(folders) = &self.folders else {
            self.tell("No folder for files was found, so there is no library");
            return;
        };
        self.owned.profiles = folders.read_library();
        let parts = self.owned.profiles.with_usable_ids(parts, &self.catalog);
        let take = |words: &str, choice| action(words, Command::Owned(OwnedCommand::TakeIn(Some(choice))));
        match self.owned.profiles.feed_meeting(&parts, &self.catalog) {
            FeedMeeting::Free => self.take_feed(&parts, None),
            FeedMeeting::Same => {
                let names = quoted(parts.iter().map(|part| part.name.as_str()));
                self.tell_done(format!("{names} are in your library already"));
            }
            FeedMeeting::Clash { names, can_replace, new_names } => {
                let both = format!("Keep both, these as {}", quoted(new_names.iter().map(String::as_str)));
                let mut actions = vec![take(&both, TakeIn::KeepBoth)];
                if can_replace {
                    actions.push(take("Replace the library’s", TakeIn::ReplaceMine));
                }
                let words = format!(
                    "Your library has {} already, told otherwise. The parts of a feed go together: what shall become of them?",
                    quoted(names.iter().map(String::as_str))
                );
                self.owned.to_take = Some(ToTake::Feed(parts));
                self.notice = Some(NoticeView { words, actions, leave: "Leave it".to_owned(), tone: Tone::Plain });
            }
        }
    }

    fn take_feed(&mut self, parts: &[Product], choice: Option<TakeIn>) {
        let Some(folders) = &self.folders else { return };
        match self.owned.profiles.take_feed(folders, parts, choice, &self.catalog) {
            Ok(_) => self.tell_done("Every part of the feed is in your library"),
            Err(error) => self.tell(format!("Not every part was taken in: {}", plain(&error))),
        }
        self.read_own();
        self.look_at_units();
    }

    /// Asks what becomes of a profile that is to be taken in, and of what it meets.
    fn offer_to_take(&mut self, profile: OwnProfile) {
        let take = |words: &str, choice| action(words, Command::Owned(OwnedCommand::TakeIn(choice)));
        let kind = profile.kind().words();
        let (clash, words, actions) = match self.owned.profiles.meeting(&profile, &self.catalog) {
            Meeting::Same => {
                self.tell_done(format!("The {kind} “{}” is in your library already", profile.name()));
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
                let both = both_words(&clash, "Keep both, this one");
                let mut actions = vec![take(&both, Some(TakeIn::KeepBoth))];
                if clash.mine.is_some() {
                    actions.push(take("Replace the library’s", Some(TakeIn::ReplaceMine)));
                }
                (Some(clash.clone()), format!("{}. What shall become of them?", capital(&clash.to_string())), actions)
            }
        };
        self.owned.to_take = Some(ToTake::One(profile, clash));
        self.notice = Some(NoticeView { words, actions, leave: "Leave it".to_owned(), tone: Tone::Plain });
    }

    pub(super) fn take_in(&mut self, choice: Option<TakeIn>) {
        let Some(to_take) = self.owned.to_take.take() else { return };
        let Some(folders) = &self.folders else { return };
        let (profile, clash) = match to_take {
            ToTake::One(profile, clash) => (profile, clash),
            ToTake::Feed(parts) => return self.take_feed(&parts, choice),
        };
        let name = profile.name().to_owned();
        let taken = match (choice, &clash) {
            (Some(TakeIn::ReplaceMine), Some(clash)) => self.owned.profiles.replace(profile, clash, &self.catalog),
            _ => Library::take_in(folders, profile, clash.as_ref()),
        };
        match taken {
            Ok(path) => self.tell_done(format!("“{name}” is in your library: {}", path.display())),
            Err(error) => self.tell(format!("“{name}” was not taken in: {}", plain(&error))),
        }
        self.read_own();
        self.look_at_units();
    }

    /// Puts the person's own profiles beside the shipped ones.
    pub(super) fn read_own(&mut self) {
        let Some(folders) = &self.folders else { return };
        let (library, deleted) = (folders.read_library(), folders.list_deleted_profiles());
        self.take_library(library, deleted);
    }

    /// Puts a library that was read beside the shipped profiles.
    pub(super) fn take_library(&mut self, library: Library, deleted: Vec<(OwnKind, UnitListing)>) {
        let (catalog, clashes) = self.catalog.with_own(&library.own());
        self.catalog = Arc::new(catalog);
        self.owned.clashes = clashes;
        self.owned.profiles = library;
        self.owned.deleted_profiles = deleted;
    }

    /// The person's own profiles, for the page of units.
    pub(super) fn profiles_view(&self) -> LibraryView {
        let owned = &self.owned;
        let deleted = owned.deleted_profiles.iter().map(|(kind, file)| {
            let (name, at_s) = deletion(&file.title);
            let when = at_s.map_or_else(String::new, |at_s| format!(", deleted {}", self.clock.date(at_s)));
            let note = format!("{}{when}", kind.words());
            AwayView { name: name.to_owned(), note, links: vec![bring_back(&file.path)], ..AwayView::default() }
        });
        let begin =
            |kind: OwnKind| action(&format!("New {}", kind.words()), Command::Owned(OwnedCommand::BeginProfile(kind)));
        let folder = self.folders.as_ref().map(|folders| folders.profiles(OwnKind::Product));
        let folder = folder.as_deref().and_then(Path::parent).map(|folder| folder.display().to_string());
        LibraryView {
            way_back: owned.profile_done.clone(),
            profiles: owned.profiles.entries.iter().map(|entry| library_line(entry, &owned.clashes)).collect(),
            begin: OwnKind::ALL.map(begin).to_vec(),
            deleted: deleted.collect(),
            deleted_note: format!(
                "They lie in {}, each in the folder “deleted” of its kind, until you empty it",
                folder.unwrap_or_default()
            ),
        }
    }

    pub(super) fn bring_profile_back(&mut self, path: &Path, choice: Option<TakeIn>) {
        let Some(folders) = &self.folders else { return };
        let library = folders.read_library();
        // What cannot be read meets nothing: it is moved, and listed with its reason.
        let profile = read_profile(path).ok().map(|loaded| loaded.profile);
        let meeting = profile.as_ref().map_or(Meeting::Free, |profile| library.meeting(profile, &self.catalog));
        let back = match (meeting, choice) {
            (Meeting::Free, _) => folders.bring_back_profile(path),
            (Meeting::Same, _) => {
                let words = "The very same one is in your library, so this one stays among the deleted";
                self.owned.profile_done = Some((words.to_owned(), None));
                return;
            }
            (Meeting::Clash(clash), None) => {
                self.ask_about_return(path, &clash);
                return;
            }
            (Meeting::Clash(clash), Some(TakeIn::KeepBoth)) => folders.bring_back_profile_as(path, &clash),
            (Meeting::Clash(clash), Some(TakeIn::ReplaceMine)) => {
                let mine = clash.mine.map(|(_, mine)| mine).unwrap_or_default();
                folders.delete_profile(&mine, self.clock.now_s()).and_then(|_| folders.bring_back_profile(path))
            }
        };
        match back {
            Ok(to) => {
                let name = read_profile(&to).map_or_else(|_| stem_of(&to), |loaded| loaded.profile.name().to_owned());
                self.owned.profile_done = Some((format!("“{name}” is back"), None));
            }
            Err(error) => self.tell(format!("The profile did not come back: {}", plain(&error))),
        }
        self.read_own();
        self.look_at_units();
    }

    /// Asks what becomes of a deleted profile and of what it meets.
    fn ask_about_return(&mut self, path: &Path, clash: &Clash) {
        let back = |words: &str, choice| {
            action(words, Command::Owned(OwnedCommand::BringProfileBack(path.to_owned(), Some(choice))))
        };
        let mut actions = vec![back(&both_words(clash, "Bring it back"), TakeIn::KeepBoth)];
        if clash.mine.is_some() {
            actions.push(back("Delete mine, and bring this one back", TakeIn::ReplaceMine));
        }
        let words = format!("{}. What shall become of them?", capital(&clash.to_string()));
        self.notice = Some(NoticeView { words, actions, leave: "Leave it deleted".to_owned(), tone: Tone::Plain });
    }

    pub(super) fn delete_profile(&mut self, path: &Path) {
        let Some(folders) = &self.folders else { return };
        let entry = self.owned.profiles.entries.iter().find(|entry| entry.path == path);
        let name = entry.map_or_else(String::new, |entry| name_of(entry).to_owned());
        match folders.delete_profile(path, self.clock.now_s()) {
            Ok(to) => self.owned.profile_done = Some((format!("Deleted: “{name}”"), Some(bring_back(&to)))),
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
        self.look_at_units();
    }
}

/// Names in quotes: “A”, “B” and “C”.
fn quoted<'a>(names: impl Iterator<Item = &'a str>) -> String {
    let names: Vec<String> = names.map(|name| format!("“{name}”")).collect();
    match &names[..] {
        [others @ .., last] if !others.is_empty() => format!("{} and {last}", others.join(", ")),
        _ => names.concat(),
    }
}

/// What keeps both, by the new name of the one or, where that stays, by its new id.
fn both_words(clash: &Clash, what: &str) -> String {
    if same_name(&clash.new_name, &clash.name) {
        format!("{what} with the id {}", clash.new_id)
    } else {
        format!("{what} as “{}”", clash.new_name)
    }
}

fn stem_of(path: &Path) -> String {
    path.file_stem().map_or_else(String::new, |stem| stem.to_string_lossy().into_owned())
}

/// What it is called; by its file where it cannot be read.
fn name_of(entry: &LibraryEntry) -> &str {
    entry.state.as_ref().map_or(entry.title.as_str(), |loaded| loaded.profile.name())
}

fn bring_back(path: &Path) -> LinkView {
    action("Bring it back", Command::Owned(OwnedCommand::BringProfileBack(path.to_owned(), None)))
}

/// One of the person's own profiles, or why it cannot be used.
fn library_line(entry: &LibraryEntry, clashes: &[IdClash]) -> AwayView {
    let of = |command: fn(PathBuf) -> OwnedCommand| Command::Owned(command(entry.path.clone()));
    let mut links =
        vec![action("Export…", of(OwnedCommand::Export)), action("Delete", of(OwnedCommand::DeleteProfile))];
    let mut reason = entry.reason();
    if let Ok(LoadedProfile { profile, .. }) = &entry.state {
        if can_be_changed(profile) {
            links.insert(0, action("Change", of(OwnedCommand::ChangeProfile)));
        }
        let is_it = |clash: &&IdClash| {
            (clash.kind, clash.id.as_str(), clash.yours.as_str()) == (profile.kind(), profile.id(), profile.name())
        };
        if let Some(clash) = clashes.iter().find(is_it) {
            reason = Some(clash.to_string());
            let give = Command::Owned(OwnedCommand::GiveId(entry.path.clone(), clash.free_id.clone()));
            links.insert(0, action(&format!("Give it the id {}", clash.free_id), give));
        }
    }
    AwayView {
        name: name_of(entry).to_owned(),
        is_broken: reason.is_some(),
        note: reason.map_or_else(|| entry.kind.words().to_owned(), |reason| capital(&reason)),
        links,
    }
}
