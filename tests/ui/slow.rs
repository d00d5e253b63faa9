//! What a person does before the plan knows of what they did last: a worker that answers only when it is told to.

use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender, channel};

use egui::{Role, Theme, Vec2};
use egui_kittest::kittest::Queryable as _;
use pourcast::garden::{Catalog, LogEntry, Unit};
use pourcast::plan::FIRST_KEY;
use pourcast::store::Folders;
use pourcast::ui::command::{Command, Field, Handle};
use pourcast::ui::look::Look;
use pourcast::ui::sketch::Sketch;
use pourcast::ui::view::MapPoint;
use pourcast::ui::worker::{Done, Job, Worker};

use super::flows::{MORNING_S, Trial};
use super::hand::{ask, outlook, sketch};

/// A worker whose answers wait for the trial.
struct Slow {
    jobs: Receiver<Job>,
    answers: Sender<Done>,
    worker: Worker,
}

impl Slow {
    /// Answers the newest job. Returns whether belief and plan were asked for, too.
    fn answer(&mut self) -> bool {
        let job = self.jobs.try_iter().last().expect("a job");
        let is_full = job.known.is_none();
        self.worker.ask(job);
        self.answers.send(self.worker.poll().expect("an answer")).expect("a window");
        is_full
    }
}

/// A unit that was read, with its plan there.
fn slow() -> (Trial, Slow) {
    let (jobs_in, jobs) = channel();
    let (answers, answers_out) = channel();
    let worker = Worker::inline(Arc::new(Catalog::shipped().expect("profiles")));
    let mut slow = Slow { jobs, answers, worker };
    let home = tempfile::tempdir().expect("a folder");
    let (looks, (_, seen)) = (channel().0, channel());
    let threaded = Worker::elsewhere((jobs_in, answers_out), (looks, seen));
    let mut trial = Trial::with_worker(home, None, Theme::Light, (Vec2::new(1280.0, 800.0), 1.0), threaded);
    trial.begin();
    slow.answer();
    trial.settle();
    (trial, slow)
}

fn pours(trial: &Trial) -> usize {
    trial.unit().log.iter().filter(|entry| matches!(entry, LogEntry::Pour(_))).count()
}

#[test]
fn a_second_press_pours_nothing_twice() {
    let (mut trial, mut slow) = slow();
    // Both in one frame, and once more before the plan knows.
    trial.harness.state_mut().ask_for(Command::PouredIt);
    ask(&mut trial, Command::PouredIt);
    ask(&mut trial, Command::PouredIt);
    assert_eq!(pours(&trial), 1);
    slow.answer();
    trial.settle();
    ask(&mut trial, Command::PouredIt);
    assert_eq!(pours(&trial), 1, "the next step is to wait");
    // The same with a list that a person made.
    ask(&mut trial, Command::AddPour("phosphoric-down".to_owned()));
    let key = sketch(&trial).idea().expect("a list").pours[0].key;
    ask(&mut trial, Command::SetPour { key, amount: 2.0 });
    ask(&mut trial, Command::PouredIt);
    ask(&mut trial, Command::PouredIt);
    assert_eq!(pours(&trial), 2);
}

#[test]
fn numbers_of_other_water_can_not_be_dragged_or_changed() {
    let (mut trial, mut slow) = slow();
    ask(&mut trial, Command::SetNumber(Field::ReadingPh, Some(6.9)));
    ask(&mut trial, Command::RecordReading);
    let at = outlook(&trial).landing.just_mixed;
    let to = MapPoint::new(at.ph - 0.3, at.ec_ms_cm);
    for handle in [Handle::Landing, Handle::Pour(FIRST_KEY)] {
        ask(&mut trial, Command::Hold(handle));
        ask(&mut trial, Command::DragTo { handle, to, scale: (0.007, 0.004), free: false });
        ask(&mut trial, Command::LetGo);
        ask(&mut trial, Command::Nudge { handle, across: -1, up: 0 });
    }
    ask(&mut trial, Command::SetPour { key: FIRST_KEY, amount: 3.0 });
    assert_eq!(sketch(&trial), Sketch::default());
    slow.answer();
    trial.settle();
    let handle = Handle::Landing;
    ask(&mut trial, Command::Hold(handle));
    ask(&mut trial, Command::DragTo { handle, to, scale: (0.007, 0.004), free: false });
    assert_ne!(sketch(&trial), Sketch::default(), "now it can");
}

#[test]
fn a_plan_that_is_due_comes_though_a_list_was_changed_meanwhile() {
    let (mut trial, mut slow) = slow();
    ask(&mut trial, Command::SetPour { key: FIRST_KEY, amount: 3.0 });
    assert!(!slow.answer(), "belief and plan stand");
    trial.settle();
    trial.turn_clock(11);
    ask(&mut trial, Command::SetPour { key: FIRST_KEY, amount: 4.0 });
    ask(&mut trial, Command::SetPour { key: FIRST_KEY, amount: 5.0 });
    assert!(slow.answer(), "the plan of eleven minutes ago is not asked on");
    trial.settle();
    assert_eq!(outlook(&trial).idea.as_ref(), sketch(&trial).idea());
    ask(&mut trial, Command::SetPour { key: FIRST_KEY, amount: 6.0 });
    assert!(!slow.answer(), "once is enough");
}

#[test]
fn units_are_read_away_from_the_frame_and_the_page_says_so() {
    let home = tempfile::tempdir().expect("a folder");
    let catalog = Catalog::shipped().expect("profiles");
    let folders = Folders::below(home.path());
    for name in ["Trough", "Bucket"] {
        let unit = Unit { name: name.to_owned(), ..catalog.examples[0].unit_at(MORNING_S) };
        folders.create_unit(&unit).expect("a unit");
    }
    let ((jobs, _jobs_out), (_answers_in, answers)) = (channel(), channel());
    let ((looks_in, looks), (seen_in, seen)) = (channel(), channel());
    let worker = Worker::elsewhere((jobs, answers), (looks_in, seen));
    let mut trial = Trial::with_worker(home, None, Theme::Light, (Vec2::new(1280.0, 800.0), 1.0), worker);
    let see = |trial: &mut Trial| {
        let look: Look = looks.try_iter().last().expect("a look");
        seen_in.send(look.see()).expect("a window");
        trial.settle();
    };
    trial.press(Role::Tab, "Units");
    trial.harness.get_by_role_and_label(Role::Label, "Your units");
    trial.harness.get_by_label("Reading your units…");
    assert!(trial.harness.query_by_label_contains("Here will stand").is_none(), "nobody knows yet");
    super::pictures::keep_of(&mut trial, "units-reading");
    see(&mut trial);
    for name in ["Open Trough", "Open Bucket"] {
        trial.harness.get_by_role_and_label(Role::Button, name);
    }
    trial.harness.get_by_label("2 units");
    // What is put away is gone at once; the rest stays in sight while it is read anew, and that is said.
    trial.press(Role::Button, "More for Trough");
    trial.press(Role::Button, "Archive");
    assert!(trial.harness.query_by_role_and_label(Role::Button, "Open Trough").is_none());
    trial.harness.get_by_role_and_label(Role::Button, "Open Bucket");
    trial.harness.get_by_label("1 unit · reading them again…");
    // What an earlier look saw comes too late, and is not taken for what is there.
    let early = looks.try_iter().last().expect("a look");
    trial.press(Role::Link, "Bring it back");
    seen_in.send(early.see()).expect("a window");
    trial.settle();
    trial.harness.get_by_label("1 unit · reading them again…");
    see(&mut trial);
    trial.harness.get_by_label("2 units");
    trial.harness.get_by_role_and_label(Role::Button, "Open Trough");
}

#[test]
fn a_worker_on_threads_sees_the_units_too() {
    let home = tempfile::tempdir().expect("a folder");
    let catalog = Arc::new(Catalog::shipped().expect("profiles"));
    let folders = Folders::below(home.path());
    folders.create_unit(&catalog.examples[0].unit_at(MORNING_S)).expect("a unit");
    let (woken_in, woken) = channel();
    let mut worker = Worker::threaded(Arc::clone(&catalog), move || {
        woken_in.send(()).ok();
    });
    worker.look(Look { number: 7, folders, recent: Vec::new(), catalog });
    woken.recv().expect("the window is woken");
    let seen = worker.seen().expect("it is there by then");
    assert_eq!((seen.number, seen.units.len(), seen.units[0].gist.is_ok()), (7, 1, true));
}
