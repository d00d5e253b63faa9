//! What the hand does to the lists of pours: order, locks, two ideas, and the ways back and forward.

use egui::{Key, Modifiers, Role, Theme, Vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use pourcast::garden::LogEntry;
use pourcast::plan::{FIRST_KEY, Idea, LOOK_AHEAD_H, Live};
use pourcast::ui::command::{Command, Field, Handle, Quantity, Slot};
use pourcast::ui::derived::Outlook;
use pourcast::ui::sketch::{List, Sketch};

use super::clipping::{Scrolled, assert_nothing_clipped};
use super::flows::{Trial, light};

const ACID: &str = "pH-lowering liquid, phosphoric";
const FEED: &str = "One-part powder feed";

/// Asks for something, and lets what follows come in.
pub(crate) fn ask(trial: &mut Trial, command: Command) {
    trial.harness.state_mut().ask_for(command);
    trial.harness.run_steps(2);
}

/// Lets a run of changes come to its end: a second and more, at a quarter a step.
fn pause(trial: &mut Trial) {
    trial.harness.run_steps(8);
}

pub(crate) fn outlook(trial: &Trial) -> &Outlook {
    trial.harness.state().outlook().expect("an outlook")
}

pub(crate) fn sketch(trial: &Trial) -> Sketch {
    trial.harness.state().sketch().clone()
}

fn list(trial: &Trial) -> Idea {
    outlook(trial).list().into_owned()
}

fn amount(trial: &Trial, key: u32) -> f64 {
    list(trial).pours.iter().find(|pour| pour.key == key).expect("the pour").amount
}

/// A unit with 3 g of feed before what lowers pH: the keys of both.
pub(crate) fn with_two_pours(look: Theme) -> (Trial, u32, u32) {
    let mut trial = Trial::new(look, Vec2::new(1280.0, 800.0), 1.0);
    trial.begin();
    ask(&mut trial, Command::AddPour("one-part-powder".to_owned()));
    let feed = list(&trial).pours[0].clone();
    ask(&mut trial, Command::SetPour { key: feed.key, amount: 3.0 });
    pause(&mut trial);
    (trial, feed.key, FIRST_KEY)
}

#[test]
fn a_step_back_goes_to_the_plan_and_forward_again() {
    let mut trial = light();
    trial.begin();
    let plan = sketch(&trial);
    assert_eq!(plan.idea(), None);
    let name = |icon| (Role::Button, icon);
    for icon in ["Undo", "Redo"] {
        let button = trial.harness.get_by_role_and_label(Role::Button, icon);
        assert!(button.accesskit_node().is_disabled(), "{icon} before there is anything to go to");
    }
    ask(&mut trial, Command::SetPour { key: FIRST_KEY, amount: 7.0 });
    pause(&mut trial);
    let seven = sketch(&trial);
    ask(&mut trial, Command::RemovePour(FIRST_KEY));
    let none = sketch(&trial);
    let (role, undo) = name("Undo");
    trial.press(role, undo);
    assert_eq!(sketch(&trial), seven);
    assert!((amount(&trial, FIRST_KEY) - 7.0).abs() < 1e-9, "the numbers follow");
    trial.press(role, undo);
    assert_eq!(sketch(&trial), plan);
    assert!(trial.harness.get_by_role_and_label(Role::Button, "Undo").accesskit_node().is_disabled());
    trial.press(Role::Button, "Redo");
    trial.press(Role::Button, "Redo");
    assert_eq!(sketch(&trial), none);
    // What is done after a step back forgets what could be done again.
    trial.press(role, undo);
    ask(&mut trial, Command::LockPour { key: FIRST_KEY, locked: true });
    ask(&mut trial, Command::Redo);
    assert!(list(&trial).pours[0].locked, "nothing to go forward to");
}

#[test]
fn keys_go_back_and_forward_but_not_from_a_field() {
    let (mut trial, feed, _) = with_two_pours(Theme::Light);
    let three = sketch(&trial);
    ask(&mut trial, Command::RemovePour(feed));
    let one = sketch(&trial);
    trial.harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    trial.settle();
    assert_eq!(sketch(&trial), three);
    trial.harness.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    trial.settle();
    assert_eq!(sketch(&trial), one);
    trial.harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    trial.settle();
    trial.harness.key_press_modifiers(Modifiers::COMMAND, Key::Y);
    trial.settle();
    assert_eq!(sketch(&trial), one);
    let field = format!("Amount of {ACID}, mL");
    trial.harness.get_by_role_and_label(Role::TextInput, &field).click();
    trial.settle();
    trial.harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    trial.settle();
    assert_eq!(sketch(&trial), one, "the field has the keyboard");
}

#[test]
fn a_run_of_nudges_is_one_step_and_another_handle_is_another() {
    let (mut trial, feed, acid) = with_two_pours(Theme::Light);
    let before = sketch(&trial);
    for _ in 0..5 {
        ask(&mut trial, Command::Nudge { handle: Handle::Pour(acid), across: 1, up: 0 });
    }
    let between = sketch(&trial);
    for _ in 0..3 {
        ask(&mut trial, Command::Nudge { handle: Handle::Pour(feed), across: 0, up: 1 });
    }
    pause(&mut trial);
    assert!((amount(&trial, feed) - 3.3).abs() < 1e-9, "three marks of a tenth: {}", amount(&trial, feed));
    ask(&mut trial, Command::Undo);
    assert_eq!(sketch(&trial), between);
    ask(&mut trial, Command::Undo);
    assert_eq!(sketch(&trial), before);
    // After a pause the same handle begins a step of its own.
    ask(&mut trial, Command::Nudge { handle: Handle::Pour(acid), across: 1, up: 0 });
    pause(&mut trial);
    let one = sketch(&trial);
    ask(&mut trial, Command::Nudge { handle: Handle::Pour(acid), across: 1, up: 0 });
    pause(&mut trial);
    ask(&mut trial, Command::Undo);
    assert_eq!(sketch(&trial), one);
}

#[test]
fn nudges_there_and_back_are_the_plan_again() {
    let mut trial = light();
    trial.begin();
    let before = sketch(&trial);
    for across in [1, 1, -1, -1] {
        ask(&mut trial, Command::Nudge { handle: Handle::Pour(FIRST_KEY), across, up: 0 });
    }
    assert_eq!(sketch(&trial), before);
    assert_eq!(outlook(&trial).idea, None);
    trial.harness.get_by_role_and_label(Role::Button, "Poured it");
}

#[test]
fn a_slider_that_is_dragged_is_one_step_however_long_it_rests() {
    let (mut trial, _, acid) = with_two_pours(Theme::Light);
    let before = sketch(&trial);
    let name = format!("Slide {ACID}");
    let rect = trial.harness.get_by_role_and_label(Role::Slider, &name).rect();
    let at = |share: f32| egui::pos2(rect.left() + share * rect.width(), rect.center().y);
    trial.harness.drag_at(at(0.2));
    pause(&mut trial);
    for share in [0.3, 0.5, 0.6] {
        trial.harness.hover_at(at(share));
        pause(&mut trial);
    }
    trial.harness.drop_at(at(0.6));
    trial.settle();
    let first = amount(&trial, acid);
    trial.harness.drag_at(at(0.6));
    trial.harness.run_steps(1);
    trial.harness.hover_at(at(0.8));
    trial.harness.run_steps(1);
    trial.harness.drop_at(at(0.8));
    trial.settle();
    assert!(amount(&trial, acid) > first);
    ask(&mut trial, Command::Undo);
    assert!((amount(&trial, acid) - first).abs() < 1e-9, "each drag is a step");
    ask(&mut trial, Command::Undo);
    assert_eq!(sketch(&trial), before);
}

#[test]
fn nothing_goes_back_over_what_was_poured_or_read() {
    let (mut trial, _, _) = with_two_pours(Theme::Light);
    trial.press(Role::Button, "I did pour the first");
    let poured = trial.unit();
    let left = sketch(&trial);
    assert!(left.idea().is_some(), "the acid is left");
    for _ in 0..3 {
        ask(&mut trial, Command::Undo);
        ask(&mut trial, Command::Redo);
    }
    assert_eq!((trial.unit(), sketch(&trial)), (poured, left));
    trial.type_into("pH", "6.4");
    pause(&mut trial);
    let read = trial.unit();
    ask(&mut trial, Command::Undo);
    assert_eq!((trial.unit(), sketch(&trial)), (read, Sketch::default()));
}

#[test]
fn what_is_left_of_a_list_does_not_hide_the_wait() {
    let (mut trial, _, acid) = with_two_pours(Theme::Light);
    trial.press(Role::Button, "I did pour the first");
    trial.harness.get_by_role_and_label(Role::Timer, "15 min left before the next reading");
    assert_eq!(list(&trial).pours.len(), 1);
    // Once it is changed it is a what-if again.
    ask(&mut trial, Command::Nudge { handle: Handle::Pour(acid), across: 1, up: 0 });
    trial.settle();
    trial.harness.get_by_label_contains("Your own idea");
}

#[test]
fn pours_change_places_and_a_worse_order_is_said() {
    let (mut trial, feed, acid) = with_two_pours(Theme::Light);
    let before = outlook(&trial).landing.just_mixed;
    let keys = |trial: &Trial| list(trial).pours.iter().map(|pour| pour.key).collect::<Vec<_>>();
    assert_eq!(keys(&trial), [feed, acid]);
    let note = "Acid belongs after the feed";
    assert!(trial.harness.query_by_label_contains(note).is_none());
    trial.press(Role::Button, &format!("Move {ACID} up"));
    assert_eq!(keys(&trial), [acid, feed]);
    trial.harness.get_by_label_contains(note);
    let after = outlook(&trial).landing.just_mixed;
    assert!((before.ph - after.ph).abs() < 1e-6, "the same is in the water: {before:?}, {after:?}");
    let name = format!("Move {ACID} up");
    let up = trial.harness.get_by_role_and_label(Role::Button, &name);
    assert!(up.accesskit_node().is_disabled(), "it is the first");
    trial.press(Role::Button, &format!("Move {ACID} down"));
    assert_eq!(keys(&trial), [feed, acid]);
    assert!(trial.harness.query_by_label_contains(note).is_none());
}

#[test]
fn a_pour_is_dragged_to_another_place_by_its_number() {
    let (mut trial, feed, acid) = with_two_pours(Theme::Light);
    // The grip is the number, beside the name.
    let grip = |trial: &Trial, name: &str| {
        let label = trial.harness.get_all_by_label(name).last().expect("its name").rect();
        egui::pos2(label.left() - 18.0, label.center().y)
    };
    let (from, to) = (grip(&trial, ACID), grip(&trial, FEED));
    trial.harness.drag_at(from);
    trial.harness.run_steps(2);
    trial.harness.hover_at(from + 0.5 * (to - from));
    trial.harness.run_steps(2);
    trial.harness.hover_at(to);
    trial.harness.run_steps(2);
    trial.harness.drop_at(to);
    trial.settle();
    assert_eq!(list(&trial).pours.iter().map(|pour| pour.key).collect::<Vec<_>>(), [acid, feed]);
}

#[test]
fn a_lock_is_said_and_is_no_what_if() {
    let mut trial = light();
    trial.begin();
    trial.press(Role::Button, &format!("Lock {ACID}"));
    assert!(list(&trial).pours[0].locked);
    trial.harness.get_by_role_and_label(Role::Button, "Poured it");
    trial.press(Role::Button, &format!("Unlock {ACID}"));
    assert_eq!(sketch(&trial), Sketch::default(), "nothing is left of it");
}

#[test]
fn two_ideas_stand_side_by_side() {
    let (mut trial, feed, acid) = with_two_pours(Theme::Light);
    let a = list(&trial);
    let landed = outlook(&trial).landing.clone();
    trial.press(Role::Link, "Another idea");
    assert_eq!(list(&trial), a, "a copy");
    assert_eq!(sketch(&trial).hand(), Slot::B);
    ask(&mut trial, Command::AnotherIdea);
    ask(&mut trial, Command::SetPour { key: feed, amount: 6.0 });
    ask(&mut trial, Command::SetPour { key: acid, amount: 1.0 });
    trial.settle();
    let b = list(&trial);
    let other = outlook(&trial).other.clone().expect("the first");
    assert_eq!((other.pours.clone(), &other.landing), (a.amounts(), &landed));
    let lands = |landing: &pourcast::dose::Landing| {
        format!("pH {:.1} · EC {:.2}", landing.just_mixed.ph, landing.just_mixed.ec_ms_cm)
    };
    trial.harness.get_by_label("B · in hand");
    trial.harness.get_by_label(&lands(&landed));
    trial.harness.get_by_label(&lands(&outlook(&trial).landing));
    trial.harness.get_by_label(&format!("6.0 g of {FEED}"));
    assert_nothing_clipped(&trial.harness, Scrolled::Vertically);

    let choice = format!("A · {:.1} · {:.2}", landed.just_mixed.ph, landed.just_mixed.ec_ms_cm);
    trial.press(Role::RadioButton, &choice);
    assert_eq!(list(&trial), a);
    assert_eq!(outlook(&trial).other.as_ref().map(|other| other.pours.clone()), Some(b.amounts()));
    trial.press(Role::Link, "Drop idea A");
    assert_eq!(list(&trial), b);
    assert!(outlook(&trial).other.is_none());
    ask(&mut trial, Command::Undo);
    assert_eq!(list(&trial), a, "a dropped idea comes back");
    assert!(sketch(&trial).is_two());
}

#[test]
fn lists_are_kept_where_the_water_is_the_same() {
    let (mut trial, feed, acid) = with_two_pours(Theme::Light);
    trial.press(Role::Link, "Another idea");
    ask(&mut trial, Command::SetPour { key: acid, amount: 6.0 });
    ask(&mut trial, Command::LookAhead(2));
    pause(&mut trial);
    let two = sketch(&trial);
    // Another scale of EC is another way to see the same: the way back is there, too.
    ask(&mut trial, Command::ChooseUnit(Quantity::Ec, "ppm (500)".to_owned()));
    trial.settle();
    assert_eq!(sketch(&trial), two);
    ask(&mut trial, Command::Undo);
    assert_ne!(sketch(&trial), two);
    ask(&mut trial, Command::Redo);
    // Another crop wants other water, and the lists can be seen against it.
    let zone = outlook(&trial).plan.zone_ec_ms_cm;
    ask(&mut trial, Command::ChooseCrop("basil".to_owned()));
    trial.settle();
    assert_ne!(outlook(&trial).plan.zone_ec_ms_cm, zone);
    assert_eq!((sketch(&trial), outlook(&trial).look), (two.clone(), 2));
    assert_eq!(outlook(&trial).idea.as_ref(), two.idea());
    ask(&mut trial, Command::Undo);
    assert_eq!(sketch(&trial), two, "the plan it would go back to is another");
    // What is poured goes from both, and the rest of both is kept.
    trial.press(Role::Button, "I did pour the first");
    let after = sketch(&trial);
    let keys = |idea: &Idea| idea.pours.iter().map(|pour| (pour.key, pour.amount)).collect::<Vec<_>>();
    assert_eq!(after.hand(), Slot::B);
    assert_eq!(after.idea().map(keys), Some(vec![(acid, 6.0)]));
    let other = after.other().and_then(List::idea).expect("the first idea");
    assert!(other.pours.len() == 1 && other.pours[0].key == acid && feed != acid);
    trial.harness.get_by_role_and_label(Role::Timer, "15 min left before the next reading");
}

#[test]
fn a_pour_of_nothing_more_is_still_the_plan() {
    let mut trial = light();
    trial.begin();
    ask(&mut trial, Command::AddPour("one-part-powder".to_owned()));
    trial.settle();
    let keys: Vec<u32> = list(&trial).pours.iter().map(|pour| pour.key).collect();
    assert_eq!(keys, [FIRST_KEY + 1, FIRST_KEY], "feed stands before what moves pH");
    assert!(outlook(&trial).what_if().is_none());
    // Both can be changed, in the order of the list.
    let rect = |name: String| trial.harness.get_by_role_and_label(Role::Slider, &name).rect();
    assert!(rect(format!("Slide {FEED}")).bottom() < rect(format!("Slide {ACID}")).top());
    trial.press(Role::Button, "Poured it");
    let log = trial.unit().log;
    let Some(LogEntry::Pour(pour)) = log.last() else { panic!("no pour in {log:?}") };
    assert!(pour.promise.is_some() && pour.product_id == "phosphoric-down", "{pour:?}");
}

#[test]
fn what_was_typed_wrong_goes_with_its_pour() {
    let (mut trial, feed, _) = with_two_pours(Theme::Light);
    trial.type_into(&format!("Amount of {FEED}, g"), "abc");
    assert!(trial.harness.state().view().drafts.trouble(Field::Pour(feed)).is_some());
    trial.press(Role::Button, &format!("Remove {FEED}"));
    assert!(!trial.harness.state().view().drafts.any_trouble());
    assert!(trial.harness.state().view().drafts.text(Field::Pour(feed)).is_none());
}

#[test]
fn the_strip_speaks_of_the_pour_that_is_changed() {
    let (mut trial, feed, acid) = with_two_pours(Theme::Light);
    ask(&mut trial, Command::SetPour { key: acid, amount: 3.0 });
    trial.settle();
    trial.harness.get_by_label("Your own idea \u{b7} 3.0 mL of pH-lowering liquid, phosphoric in it");
    ask(&mut trial, Command::SetPour { key: feed, amount: 14.0 });
    trial.settle();
    assert!(trial.harness.query_by_label_contains("phosphoric in it").is_none(), "the first is in the headline");
    ask(&mut trial, Command::SetPour { key: acid, amount: 0.0 });
    trial.settle();
    let landing = &outlook(&trial).landing;
    let rise = landing.just_mixed.ec_ms_cm - landing.start.ec_ms_cm;
    assert!(rise > 0.55, "{rise}");
    let words = format!("EC rises by {rise:.1} at once: the plan takes 0.5 at a time while plants are in");
    trial.harness.get_by_label_contains(&words);
}

#[test]
fn the_ways_back_stay_where_they_are() {
    let (mut trial, ..) = with_two_pours(Theme::Light);
    let undo = |trial: &Trial| trial.harness.get_by_role_and_label(Role::Button, "Undo").rect();
    let before = undo(&trial);
    ask(&mut trial, Command::AnotherIdea);
    trial.settle();
    trial.harness.get_by_role_and_label(Role::Link, "Drop idea B");
    assert_eq!(undo(&trial), before);
}

#[test]
fn the_water_is_looked_at_some_time_later() {
    let mut trial = light();
    trial.begin();
    assert!(outlook(&trial).later.is_none());
    let mixed = outlook(&trial).cloud.clone();
    ask(&mut trial, Command::LookAhead(3));
    trial.settle();
    let later = outlook(&trial).later.clone().expect("the water after 4 h");
    let exact = outlook(&trial).planner.later(&outlook(&trial).pours(), LOOK_AHEAD_H[3]).expect("an answer");
    assert_eq!(later, exact);
    assert!(later.ph.0 < later.ph.1 && later.ph.1 < later.ph.2);
    assert_eq!(outlook(&trial).cloud, mixed, "the risk is still of the water just mixed");
    // It is no change of any list.
    ask(&mut trial, Command::Undo);
    assert_eq!((sketch(&trial), outlook(&trial).look), (Sketch::default(), 3));
    ask(&mut trial, Command::LookAhead(LOOK_AHEAD_H.len()));
    assert_eq!(outlook(&trial).look, 3, "there is no such moment");
    ask(&mut trial, Command::LookAhead(0));
    trial.settle();
    assert!(outlook(&trial).later.is_none());
}

#[test]
fn numbers_at_once_are_near_the_exact_ones() {
    let (mut trial, _, acid) = with_two_pours(Theme::Light);
    ask(&mut trial, Command::LookAhead(2));
    trial.settle();
    let before = outlook(&trial).clone();
    let mut changed = sketch(&trial);
    let marks = 3;
    assert!(changed.change(&before.planner, &before.plan, |idea, planner| idea.nudge(planner, acid, marks)));
    let at_once = before.at_once(&changed, &mut Live::new()).expect("an outlook");
    ask(&mut trial, Command::Nudge { handle: Handle::Pour(acid), across: marks, up: 0 });
    trial.settle();
    let exact = outlook(&trial);
    assert_eq!(at_once.landing, exact.landing);
    // Of 256 stories hardly one may stand on an edge by the last bits of its pH.
    assert!((at_once.below - exact.below).abs() < 0.005 && (at_once.above - exact.above).abs() < 0.005);
    let near = |a: (f64, f64, f64), b: (f64, f64, f64), by: f64| {
        assert!((a.0 - b.0).abs() < by && (a.1 - b.1).abs() < by && (a.2 - b.2).abs() < by, "{a:?} and {b:?}");
    };
    // A quarter of the last digit that a pen shows.
    let moved = before.expect.ph.1 - exact.expect.ph.1;
    assert!(moved > 0.14, "there is something to follow: {moved}");
    near(at_once.expect.ph, exact.expect.ph, 0.025);
    near(at_once.expect.ec_ms_cm, exact.expect.ec_ms_cm, 0.01);
    // Only the middle of the rest is told while it is carried: its width would take as long again to work out.
    assert!((at_once.settled.at.ph - exact.settled.at.ph).abs() < 0.025);
    let (later, exactly) = (at_once.later.expect("later"), exact.later.as_ref().expect("later"));
    near(later.ph, exactly.ph, 1e-6);
    assert!((later.at.ph - exactly.at.ph).abs() < 0.01 && (later.at.ec_ms_cm - exactly.at.ec_ms_cm).abs() < 0.005);
}

#[test]
fn two_ideas_fit_at_every_size_in_both_themes() {
    for look in [Theme::Light, Theme::Dark] {
        for (size, scale) in [
            (Vec2::new(1280.0, 800.0), 1.0),
            (Vec2::new(1240.0, 740.0), 1.0),
            (Vec2::new(1104.0, 640.0), 1.0),
            (Vec2::new(640.0, 400.0), 2.0),
        ] {
            let mut trial = Trial::new(look, size, scale);
            trial.begin();
            ask(&mut trial, Command::AddPour("one-part-powder".to_owned()));
            let feed = list(&trial).pours[0].key;
            ask(&mut trial, Command::SetPour { key: feed, amount: 3.0 });
            ask(&mut trial, Command::MovePour { key: feed, places: 1 });
            ask(&mut trial, Command::AnotherIdea);
            ask(&mut trial, Command::SetPour { key: FIRST_KEY, amount: 9.0 });
            trial.settle();
            assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
        }
    }
}
