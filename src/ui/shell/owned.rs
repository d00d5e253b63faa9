//! Units as things a person owns: what each command of their page does, and what a file dropped on the window is.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;

use super::Shell;
use super::files::plain;
use crate::garden::{IdClash, OwnKind, OwnProfile, Product, Severity, check_name, free_name, same_name};
use crate::store::{
    Clash, Copied, FileKind, Library, LoadedProfile, StoreError, UnitFile, UnitListing, deletion, export_file,
    kind_of_file, read_unit, same_file,
};
use crate::ui::command::{Command, OwnedCommand, Page};
use crate::ui::dialogs::Question;
use crate::ui::look::{Look, Seen, SeenUnit};
use crate::ui::present::{Gist, capital, example_card, units_count};
use crate::ui::state::{Naming, NamingFor};
use crate::ui::view::{AwayView, CardView, LinkView, UnitsView};

/// Said until the units are read.
const READING: &str = "Reading your units…";
/// Units that are read anew for longer than this are said to be. Ours: shorter, and the words would only flicker.
const SLOW: Duration = Duration::from_millis(300);

/// What is known of the person's units: read when their page is shown and after each change, not in every frame.
#[derive(Default)]
pub(super) struct Owned {
    /// Number of the latest look at them.
    looked: u64,
    /// Number of the look that saw what is known.
    seen: u64,
    /// Since when the latest look is waited for.
    looking_since: Option<Duration>,
    /// Whether that is long.
    is_slow: bool,
    units: Vec<SeenUnit>,
    archived: Vec<UnitListing>,
    deleted: Vec<UnitListing>,
    pub(super) profiles: Library,
    /// Profiles that are left out, for another has their id.
    pub(super) clashes: Vec<IdClash>,
    problem: Option<String>,
    /// What was done last with a unit, and the way back.
    done: Option<(String, Option<LinkView>)>,
    /// The same of a profile of the library.
    pub(super) profile_done: Option<(String, Option<LinkView>)>,
    pub(super) deleted_profiles: Vec<(OwnKind, UnitListing)>,
    /// The profile that is being described, as it was read; none for a new one.
    pub(super) described: Option<LoadedProfile>,
    /// What asks to be taken in.
    pub(super) to_take: Option<ToTake>,
}

/// What asks to be taken into the library.
pub(super) enum ToTake {
    /// A profile, and what it meets.
    One(OwnProfile, Option<Clash>),
    /// The parts of a feed, in the order of pouring.
    Feed(Vec<Product>),
}

/// Where a unit is put.
#[derive(Clone, Copy)]
enum Away {
    Archived,
    Deleted,
}

impl Owned {
    /// A file is no longer where it was: it is not offered until all is read anew.
    fn forget(&mut self, path: &Path) {
        self.units.retain(|unit| unit.path != path);
        self.archived.retain(|unit| unit.path != path);
        self.deleted.retain(|unit| unit.path != path);
    }
}

impl Shell {
    /// Looks at the person's units anew. What was seen comes by and by.
    pub(super) fn look_at_units(&mut self) {
        self.list_units();
        let Some(folders) = self.folders.clone() else {
            self.owned.problem = Some("No folder for files was found, so no units are kept".to_owned());
            return;
        };
        self.owned.looked += 1;
        let recent = self.settings.recent_now().into_iter().map(Path::to_owned).collect();
        let number = self.owned.looked;
        self.worker.look(Look { number, folders, recent, catalog: Arc::clone(&self.catalog) });
        self.take_seen();
    }

    /// Takes what the latest look saw.
    pub(super) fn take_seen(&mut self) {
        let Some(seen) = self.worker.seen().filter(|seen| seen.number == self.owned.looked) else { return };
        let Seen { number, units, archived, deleted, library, deleted_profiles, problem } = seen;
        let owned = &mut self.owned;
        (owned.seen, owned.looking_since, owned.is_slow) = (number, None, false);
        (owned.units, owned.archived, owned.deleted, owned.problem) = (units, archived, deleted, problem);
        self.take_library(library, deleted_profiles);
    }

    /// Notes how long the units are being read, at `now`. Returns when that is worth another frame.
    pub(super) fn wait_for_units(&mut self, now: Duration) -> Option<Duration> {
        let owned = &mut self.owned;
        if owned.seen == owned.looked {
            return None;
        }
        let waited = now.saturating_sub(*owned.looking_since.get_or_insert(now));
        owned.is_slow = waited >= SLOW;
        (!owned.is_slow).then(|| SLOW.saturating_sub(waited))
    }

    /// The page of the person's units.
    pub(super) fn units_view(&self) -> UnitsView {
        let owned = &self.owned;
        let is_reading = owned.seen != owned.looked;
        let mut cards: Vec<CardView> = owned.units.iter().map(|unit| self.card(unit)).collect();
        if let Some(document) = &self.document
            && document.file.is_none()
            && !document.is_example
        {
            let gist = Gist::of(&document.unit, &self.catalog);
            let mut card = gist.card(&self.settings, self.clock.now_s());
            (card.state, card.open) = ("Open now · it has no file".to_owned(), Some(Command::Show(Page::Today)));
            card.menu = vec![action("Save a copy…", Command::SaveCopy)];
            cards.insert(0, card);
        }
        let examples = self.catalog.examples.iter().map(|example| CardView {
            open: Some(Command::Owned(OwnedCommand::OpenExample(example.id.clone()))),
            door: Some(action("Start my own", Command::StartOwn)),
            state: "Never saved".to_owned(),
            ..example_card(example)
        });
        let archived = owned.archived.iter().map(|unit| {
            let delete = action("Delete", Command::Owned(OwnedCommand::Delete(unit.path.clone())));
            let links = vec![bring_back(&unit.path), delete];
            AwayView { name: unit.title.clone(), links, ..AwayView::default() }
        });
        let deleted = owned.deleted.iter().map(|unit| {
            let (name, at_s) = deletion(&unit.title);
            let note = at_s.map_or_else(String::new, |at_s| format!("deleted {}", self.clock.date(at_s)));
            AwayView { name: name.to_owned(), note, links: vec![bring_back(&unit.path)], ..AwayView::default() }
        });
        let folder = self.folders.as_ref().map(|folders| folders.deleted().display().to_string());
        UnitsView {
            count: match (owned.seen, owned.is_slow) {
                (0, _) if is_reading => READING.to_owned(),
                (_, true) => format!("{} · reading them again…", units_count(cards.len())),
                _ => units_count(cards.len()),
            },
            // What stood there stays in sight until it is read anew.
            reading: (is_reading && owned.seen == 0).then(|| "They stand here as soon as they are read".to_owned()),
            way_back: owned.done.clone(),
            problem: owned.problem.clone(),
            cards,
            examples: examples.collect(),
            archived: archived.collect(),
            deleted: deleted.collect(),
            deleted_note: format!("They lie in {} until you empty it", folder.unwrap_or_default()),
            profiles: self.profiles_view(),
        }
    }

    fn card(&self, unit: &SeenUnit) -> CardView {
        let of = |command: fn(PathBuf) -> OwnedCommand| Command::Owned(command(unit.path.clone()));
        let naming = |purpose| Command::Owned(OwnedCommand::Naming(unit.path.clone(), purpose));
        let here = |mut menu: Vec<LinkView>| {
            if unit.is_here {
                menu.push(action("Archive", of(OwnedCommand::Archive)));
                menu.push(action("Delete", of(OwnedCommand::Delete)));
            } else {
                menu.push(action("Copy into my units", of(OwnedCommand::CopyIn)));
            }
            menu
        };
        let export = action("Export…", of(OwnedCommand::Export));
        let elsewhere = || {
            let folder = unit.path.parent().map(|parent| parent.display().to_string());
            if unit.is_here { String::new() } else { format!("In {}", folder.unwrap_or_default()) }
        };
        let card = match &unit.gist {
            Err(reason) => CardView {
                name: unit.title.clone(),
                line: "This file cannot be used. It is left as it is".to_owned(),
                broken: Some(reason.clone()),
                state: elsewhere(),
                menu: here(vec![action("Rename its file…", naming(NamingFor::Rename)), export]),
                ..CardView::default()
            },
            Ok(gist) => {
                let open = self.open_path_of(&unit.path);
                // What is open may have changed since it was read.
                let fresh = open.then(|| self.unit().map(|unit| Gist::of(unit, &self.catalog))).flatten();
                let command = if open { Command::Show(Page::Today) } else { Command::OpenUnit(unit.path.clone()) };
                let saved = if self.unsaved_why.is_some() {
                    "Open now · ▲ not saved"
                } else if self.autosave.is_unsaved() {
                    "Open now · saving…"
                } else {
                    "Open now · saved"
                };
                let menu = [("Duplicate…", NamingFor::Copy), ("Rename…", NamingFor::Rename)];
                let menu = menu.into_iter().map(|(words, purpose)| action(words, naming(purpose)));
                CardView {
                    state: if open { saved.to_owned() } else { elsewhere() },
                    open: Some(command),
                    menu: here(menu.chain([export]).collect()),
                    ..fresh.as_ref().unwrap_or(gist).card(&self.settings, self.clock.now_s())
                }
            }
        };
        CardView { path: Some(unit.path.clone()), ..card }
    }

    fn open_path_of(&self, path: &Path) -> bool {
        let open = self.document.as_ref().and_then(|document| document.file.as_ref()).map(UnitFile::path);
        open.is_some_and(|open| open == path || same_file(open, path))
    }

    pub(super) fn apply_to_owned(&mut self, command: OwnedCommand, ctx: &egui::Context, now: Duration) {
        match command {
            OwnedCommand::Naming(path, purpose) => self.begin_naming(path, purpose),
            OwnedCommand::StopNaming => self.view.naming = None,
            OwnedCommand::Name => self.name(now),
            OwnedCommand::Archive(path) => self.put_away(&path, Away::Archived, now),
            OwnedCommand::Delete(path) => self.put_away(&path, Away::Deleted, now),
            OwnedCommand::BringBack(path) => self.bring_unit_back(&path),
            OwnedCommand::CopyIn(path) => self.import(&path),
            OwnedCommand::Import => self.dialogs.ask(Question::Import, ctx),
            OwnedCommand::Export(path) => {
                if self.open_path_of(&path) && !self.save(now) {
                    return;
                }
                let name = path.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
                self.dialogs.ask(Question::Export { name, from: path }, ctx);
            }
            OwnedCommand::OpenExample(id) => {
                let example = self.catalog.example(&id).map(|example| example.unit_at(self.clock.now_s()));
                if let Some(unit) = example
                    && self.may_leave(&Command::Owned(OwnedCommand::OpenExample(id)), now)
                {
                    self.show_unit(unit, true, None);
                }
            }
            OwnedCommand::Dropped(paths) => match &paths[..] {
                [path] => self.open_dropped(path, now),
                _ => self.tell("One file at a time: drop a single unit or profile"),
            },
            OwnedCommand::TakeIn(choice) => self.take_in(choice),
            OwnedCommand::BeginProfile(kind) => self.begin_profile(kind),
            OwnedCommand::ChangeProfile(path) => self.change_profile(&path),
            OwnedCommand::KeepBeside => self.keep_beside(),
            OwnedCommand::BringProfileBack(path, choice) => self.bring_profile_back(&path, choice),
            OwnedCommand::DeleteProfile(path) => self.delete_profile(&path),
            OwnedCommand::GiveId(path, id) => self.give_id(&path, id),
        }
    }

    fn begin_naming(&mut self, path: PathBuf, purpose: NamingFor) {
        let Some(unit) = self.owned.units.iter().find(|unit| unit.path == path) else { return };
        let name = unit.name();
        let text = match purpose {
            NamingFor::Rename => name.to_owned(),
            NamingFor::Copy => {
                let gists: Vec<&Gist> = self.owned.units.iter().filter_map(|unit| unit.gist.as_ref().ok()).collect();
                free_name(name, |wanted| gists.iter().any(|gist| same_name(&gist.name, wanted)))
            }
        };
        self.view.naming = Some(Naming { path, purpose, text, wants_focus: true, ..Naming::default() });
    }

    /// Does what the field for a name says, or says in it what keeps it from that.
    fn name(&mut self, now: Duration) {
        let Some(mut naming) = self.view.naming.take() else { return };
        let refused = check_name(&naming.text).map(|problem| capital(&problem.message));
        if let Some(words) = refused.or_else(|| self.name_is_taken(&naming)) {
            naming.refused = Some(words);
            naming.wants_focus = true;
            self.view.naming = Some(naming);
            return;
        }
        let name = naming.text.trim().to_owned();
        match naming.purpose {
            NamingFor::Rename => self.rename(&naming.path, &name, now),
            NamingFor::Copy => self.duplicate(&naming, &name),
        }
        self.look_at_units();
    }

    /// What is said of a name that another unit has. The name that a unit has itself is none of these.
    fn name_is_taken(&self, naming: &Naming) -> Option<String> {
        let others = self.owned.units.iter().filter(|unit| match naming.purpose {
            NamingFor::Rename => unit.path != naming.path,
            NamingFor::Copy => true,
        });
        let other =
            others.filter_map(|unit| unit.gist.as_ref().ok()).find(|gist| same_name(&gist.name, &naming.text))?;
        Some(format!("You have a unit called “{}” already: give this one another name", other.name))
    }

    fn rename(&mut self, path: &Path, name: &str, now: Duration) {
        let remembered = self.remembered(path);
        let moved = if self.open_path_of(path) {
            let Some(document) = &mut self.document else { return };
            name.clone_into(&mut document.unit.name);
            self.touch(now);
            if !self.save(now) {
                return;
            }
            let Some(file) = self.document.as_mut().and_then(|document| document.file.as_mut()) else { return };
            file.follow_name(name).map(|()| file.path().to_owned())
        } else {
            self.folders.as_ref().map_or_else(|| Ok(path.to_owned()), |folders| folders.rename_unit(path, name))
        };
        match moved {
            Ok(to) => {
                self.follow(&remembered, Some(&to));
                self.owned.done = Some((format!("It is called “{name}” now"), None));
            }
            Err(error) => self.tell(format!("The file keeps its name: {}", plain(&error))),
        }
    }

    fn duplicate(&mut self, naming: &Naming, name: &str) {
        let open = self.open_path_of(&naming.path).then(|| self.unit().cloned()).flatten();
        let unit = open.map_or_else(|| read_unit(&naming.path).map(|loaded| loaded.unit), Ok);
        let Some(folders) = &self.folders else { return };
        let copied = if naming.with_log { Copied::WithLog } else { Copied::WithoutLog };
        match unit.and_then(|unit| folders.duplicate_unit(&unit, name, copied)) {
            Ok(_) => self.owned.done = Some((format!("“{name}” is among your units"), None)),
            Err(error) => self.tell(format!("No copy could be made: {}", plain(&error))),
        }
    }

    /// Archives or deletes a unit. One that is open is written first, and then closed.
    fn put_away(&mut self, path: &Path, away: Away, now: Duration) {
        let (is_open, remembered) = (self.open_path_of(path), self.remembered(path));
        if is_open && !self.save(now) {
            return;
        }
        let Some(folders) = &self.folders else { return };
        let (moved, done) = match away {
            Away::Deleted => (folders.delete_unit(path, self.clock.now_s()), "Deleted"),
            Away::Archived => (folders.archive_unit(path), "Archived"),
        };
        match moved {
            Ok(to) => {
                if is_open {
                    self.close_unit();
                }
                let known = self.owned.units.iter().find(|unit| unit.path == path);
                let title = self.owned.archived.iter().find(|unit| unit.path == path).map(|unit| unit.title.as_str());
                let name = known.map_or(title.unwrap_or("the unit"), SeenUnit::name);
                self.owned.done = Some((format!("{done}: “{name}”"), Some(bring_back(&to))));
                self.owned.forget(path);
                self.follow(&remembered, None);
            }
            Err(error) => self.tell(format!("The unit stays where it is: {}", plain(&error))),
        }
        self.look_at_units();
    }

    fn bring_unit_back(&mut self, path: &Path) {
        let Some(folders) = &self.folders else { return };
        match folders.bring_back_unit(path) {
            Ok(to) => {
                let title = to.file_stem().map_or_else(String::new, |stem| stem.to_string_lossy().into_owned());
                self.owned.done = Some((format!("“{title}” is back"), None));
                self.owned.forget(path);
            }
            Err(error) => self.tell(format!("The unit stays where it is: {}", plain(&error))),
        }
        self.look_at_units();
    }

    /// A unit as the settings know it: by its true path, where the page knows that of the folder. To be asked before it moves.
    fn remembered(&self, path: &Path) -> PathBuf {
        let known = self.settings.recent_units.iter().chain(&self.settings.last_unit);
        known.into_iter().find(|known| same_file(known, path)).map_or_else(|| path.to_owned(), Clone::clone)
    }

    /// A unit's file has another place, or was put away.
    fn follow(&mut self, from: &Path, to: Option<&Path>) {
        self.settings.unit_moved(from, to);
        self.save_settings();
    }

    /// Puts the open unit away: nothing is open then.
    fn close_unit(&mut self) {
        self.document = None;
        self.outlook = None;
        self.known_revision = None;
        // An answer that is still on its way is of no use.
        self.asked_number += 1;
        self.autosave = crate::store::Autosave::default();
        self.unsaved_why = None;
        self.revision += 1;
    }

    /// Copies a unit from elsewhere into the units folder, or asks about a profile.
    pub(super) fn import(&mut self, path: &Path) {
        match kind_of_file(path) {
            Ok(FileKind::Unit) => {
                if let Some(why) = self.unusable(path) {
                    self.tell(format!("The unit was not taken in: {why}. The file was left as it is"));
                    return;
                }
                let Some(folders) = &self.folders else { return };
                match folders.import_unit(path) {
                    Ok(loaded) => {
                        let words = format!("“{}” is among your units; the file it came from stays", loaded.unit.name);
                        self.owned.done = Some((words, None));
                        // The copy is among them now: the one it came from need not be.
                        self.follow(&self.remembered(path), None);
                        self.page = Page::Units;
                    }
                    Err(error) => self.tell(format!("The unit was not taken in: {}", plain(&error))),
                }
                self.look_at_units();
            }
            Ok(FileKind::Profile(_)) => self.ask_to_take(path),
            Err(error) => self.tell_unknown(&error),
        }
    }

    /// Why a unit cannot be used.
    fn unusable(&self, path: &Path) -> Option<String> {
        match read_unit(path) {
            Err(error) => Some(plain(&error)),
            Ok(loaded) => {
                let refused = loaded.unit.check(&self.catalog).into_iter().find(|p| p.severity == Severity::Refused);
                refused.map(|problem| problem.message.trim_end_matches('.').to_owned())
            }
        }
    }

    fn tell_unknown(&mut self, error: &StoreError) {
        self.tell(format!("Units and profiles can be opened here, and this is neither: {}", plain(error)));
    }

    /// A file was dropped on the window: a unit is opened where it is, a profile asks to be taken in.
    fn open_dropped(&mut self, path: &Path, now: Duration) {
        match kind_of_file(path) {
            Ok(FileKind::Unit) => {
                if self.may_leave(&Command::OpenUnit(path.to_owned()), now) {
                    self.open_path(path);
                }
            }
            Ok(FileKind::Profile(_)) => self.ask_to_take(path),
            Err(error) => self.tell_unknown(&error),
        }
    }

    /// Hands a file on, to where the person wants it.
    pub(super) fn export(&mut self, from: &Path, to: &Path) {
        match export_file(from, to) {
            Ok(path) => self.tell_done(format!("A copy is at {}", path.display())),
            Err(error) => self.tell(format!("The copy could not be saved: {}", plain(&error))),
        }
    }
}

fn bring_back(path: &Path) -> LinkView {
    action("Bring it back", Command::Owned(OwnedCommand::BringBack(path.to_owned())))
}

pub(super) fn action(words: &str, command: Command) -> LinkView {
    LinkView { text: words.to_owned(), command }
}
