//! Handles of the map, held and dragged: what the model says of them, there and back, and what may not come between.

use egui::{Key, Modifiers, Pos2, Role, Theme, Vec2};
use egui_kittest::kittest::Queryable as _;
use pourcast::dose::Point;
use pourcast::garden::Catalog;
use pourcast::plan::{FIRST_KEY, Planner, mark_at};
use pourcast::store::Settings;
use pourcast::ui::clock::StandingClock;
use pourcast::ui::command::{Command, Field, Handle, Slot};
use pourcast::ui::derived::Outlook;
use pourcast::ui::present::{HandShown, Shown, today_view};
use pourcast::ui::sketch::Sketch;
use pourcast::ui::view::{MapPoint, MapView};

use super::clipping::{Scrolled, assert_nothing_clipped};
use super::flows::{MORNING_S, Trial, light};
use super::hand::{ask, outlook, sketch, with_two_pours};

/// One point of the screen on a map of four pH and 2 mS/cm: pH and mS/cm.
const SCALE: (f64, f64) = (0.007, 0.004);

fn hold(trial: &mut Trial, handle: Handle) {
    ask(trial, Command::Hold(handle));
}

fn drag(trial: &mut Trial, handle: Handle, to: Point) {
    let to = MapPoint::new(to.ph, to.ec_ms_cm);
    ask(trial, Command::DragTo { handle, to, scale: SCALE, free: false });
}

fn drag_freely(trial: &mut Trial, handle: Handle, to: Point) {
    let to = MapPoint::new(to.ph, to.ec_ms_cm);
    ask(trial, Command::DragTo { handle, to, scale: SCALE, free: true });
}

fn let_go(trial: &mut Trial) {
    ask(trial, Command::LetGo);
    trial.settle();
}

/// Where the handle of a pour is.
fn place(trial: &Trial, key: u32) -> Point {
    let outlook = outlook(trial);
    let place = outlook.list().pours.iter().position(|pour| pour.key == key).expect("the pour");
    *outlook.landing.shares[place].path.last().expect("a point")
}

fn landing(trial: &Trial) -> Point {
    outlook(trial).landing.just_mixed
}

fn amount(trial: &Trial, key: u32) -> f64 {
    outlook(trial).list().pours.iter().find(|pour| pour.key == key).expect("the pour").amount
}

fn moved(point: Point, ph: f64, ec_ms_cm: f64) -> Point {
    Point { ph: point.ph + ph, ec_ms_cm: point.ec_ms_cm + ec_ms_cm }
}

/// Everything in sight that a drag changes, to the last bit.
fn bits(trial: &Trial) -> (Sketch, String) {
    let Outlook { idea, landing, cloud, below, above, expect, settled, later, rails, limits, other, .. } =
        outlook(trial);
    let words = format!("{idea:?} {landing:?} {cloud:?} {below:?} {above:?} {expect:?} {settled:?} {later:?}");
    (sketch(trial), format!("{words} {rails:?} {limits:?} {other:?}"))
}

/// What the map shows while `held` is held.
fn map(trial: &Trial, held: Option<Handle>) -> MapView {
    let catalog = Catalog::shipped().expect("profiles");
    let sketch = sketch(trial);
    let hand = HandShown {
        sketch: &sketch,
        held,
        held_by: None,
        can_undo: false,
        can_redo: false,
        is_left: false,
        touched: None,
    };
    today_view(&Shown {
        unit: &trial.unit(),
        is_example: false,
        catalog: &catalog,
        settings: &Settings::default(),
        outlook: Some(outlook(trial)),
        trouble: None,
        clock: &StandingClock(MORNING_S),
        hand,
        jar: None,
    })
    .map
}

/// The amount at which something that changes one way with it comes to a goal: by halving, on the landing itself.
fn by_halving(most: f64, goal: f64, of: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (0.0, most);
    let rises = of(most) > of(0.0);
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if (of(middle) < goal) == rises { low = middle } else { high = middle }
    }
    low
}

fn lands(planner: &Planner, pours: &[(String, f64)]) -> Point {
    planner.landing(pours).expect("a landing").just_mixed
}

#[test]
fn the_dose_under_the_hand_is_the_models_inverse_within_a_mark() {
    let mut trial = light();
    trial.begin();
    let planner = outlook(&trial).planner.clone();
    let id = outlook(&trial).pours()[0].0.clone();
    let most = outlook(&trial).list().pours[0].most;
    let acid = Handle::Pour(FIRST_KEY);
    hold(&mut trial, acid);
    let mut dragged = 0;
    for ph in [7.1, 6.9, 6.63, 6.4, 6.18, 5.9] {
        // The curve's own point at this pH: the hand is on the rail.
        let exact = by_halving(most, ph, |amount| lands(&planner, &[(id.clone(), amount)]).ph);
        if exact >= most * 0.999 {
            continue;
        }
        dragged += 1;
        let to = lands(&planner, &[(id.clone(), exact)]);
        drag(&mut trial, acid, to);
        let mark = mark_at(&planner, &id, exact);
        let got = amount(&trial, FIRST_KEY);
        assert!((got - exact).abs() <= mark, "pH {ph}: {got} against {exact}, marks of {mark}");
        assert_eq!(outlook(&trial).landing, planner.landing(&[(id.clone(), got)]).expect("a landing"), "exact");
        drag_freely(&mut trial, acid, to);
        let free = amount(&trial, FIRST_KEY);
        // A tenth of a point of the screen.
        let off = lands(&planner, &[(id.clone(), free)]);
        assert!((off.ph - to.ph).abs() < 0.1 * SCALE.0, "pH {ph}: {free} against {exact}");
    }
    assert!(dragged >= 4, "{dragged} places on the curve");
    let_go(&mut trial);
}

#[test]
fn a_pour_among_others_moves_along_its_own_curve() {
    let (mut trial, feed, acid) = with_two_pours(Theme::Light);
    let planner = outlook(&trial).planner.clone();
    let pours = outlook(&trial).pours();
    let poured = amount(&trial, acid);
    let to = place(&trial, feed);
    let goal = to.ec_ms_cm + 0.11;
    let exact = by_halving(20.0, goal, |grams| lands(&planner, &[(pours[0].0.clone(), grams)]).ec_ms_cm);
    let to = lands(&planner, &[(pours[0].0.clone(), exact)]);
    hold(&mut trial, Handle::Pour(feed));
    // Far beside the curve the nearest place on it counts.
    drag(&mut trial, Handle::Pour(feed), moved(to, 0.05, 0.0));
    drag(&mut trial, Handle::Pour(feed), to);
    let_go(&mut trial);
    assert!((amount(&trial, feed) - exact).abs() <= mark_at(&planner, &pours[0].0, exact), "{exact}");
    assert!((amount(&trial, acid) - poured).abs() < 1e-12, "the other stays");
}

#[test]
fn there_and_back_is_the_same_bit_for_bit() {
    for with_idea in [false, true] {
        let (mut trial, key) = if with_idea {
            let (trial, _, acid) = with_two_pours(Theme::Light);
            (trial, acid)
        } else {
            let mut trial = light();
            trial.begin();
            (trial, FIRST_KEY)
        };
        trial.settle();
        let before = bits(&trial);
        for handle in [Handle::Pour(key), Handle::Landing] {
            let at = if handle == Handle::Landing { landing(&trial) } else { place(&trial, key) };
            for back in [Command::LetGo, Command::PutBack, Command::Undo] {
                hold(&mut trial, handle);
                for (ph, ec) in [(-0.3, 0.0), (-0.7, 0.02), (0.2, -0.1)] {
                    drag(&mut trial, handle, moved(at, ph, ec));
                }
                assert_ne!(bits(&trial), before, "{handle:?} did move");
                if back == Command::LetGo {
                    // Not to the very bit: a hand that comes back within a quarter of a point is back.
                    drag(&mut trial, handle, moved(at, 0.1 * SCALE.0, -0.1 * SCALE.1));
                    assert_eq!(bits(&trial), before, "{handle:?} back");
                }
                ask(&mut trial, back);
                assert_eq!(bits(&trial), before, "{handle:?} let go");
                trial.settle();
                assert_eq!(bits(&trial), before, "{handle:?} rested");
            }
        }
        if !with_idea {
            ask(&mut trial, Command::Undo);
            assert_eq!(bits(&trial), before, "there is no step to go back");
        }
    }
}

#[test]
fn a_drag_is_one_step_however_long_it_takes() {
    let (mut trial, feed, _) = with_two_pours(Theme::Light);
    let before = sketch(&trial);
    let at = place(&trial, feed);
    hold(&mut trial, Handle::Pour(feed));
    for ec in [0.05, 0.1, 0.2] {
        drag(&mut trial, Handle::Pour(feed), moved(at, 0.0, ec));
        trial.settle();
    }
    let_go(&mut trial);
    let after = sketch(&trial);
    assert_ne!(after, before);
    ask(&mut trial, Command::Undo);
    assert_eq!(sketch(&trial), before);
    ask(&mut trial, Command::Redo);
    assert_eq!(sketch(&trial), after);
    trial.settle();
    assert!(!outlook(&trial).is_carried(), "exact numbers came in");
}

#[test]
fn no_answer_comes_between_the_hand_and_its_numbers() {
    let (mut trial, feed, acid) = with_two_pours(Theme::Light);
    let at = landing(&trial);
    // All in one frame: the answer to the first is on its way when the handle is grabbed.
    for command in [
        Command::SetPour { key: feed, amount: 4.0 },
        Command::Hold(Handle::Pour(acid)),
        Command::DragTo {
            handle: Handle::Pour(acid),
            to: MapPoint::new(at.ph - 0.5, at.ec_ms_cm),
            scale: SCALE,
            free: false,
        },
    ] {
        trial.harness.state_mut().ask_for(command);
    }
    for _ in 0..6 {
        trial.harness.run_steps(1);
        assert_eq!(outlook(&trial).idea.as_ref(), sketch(&trial).idea());
        assert!(outlook(&trial).is_carried());
    }
    ask(&mut trial, Command::PutBack);
    trial.settle();
    assert!(!outlook(&trial).is_carried(), "now the answer is welcome");
    assert_eq!(outlook(&trial).idea.as_ref(), sketch(&trial).idea());
    assert!((amount(&trial, feed) - 4.0).abs() < 1e-9);
}

#[test]
fn other_water_ends_a_drag() {
    let mut trial = light();
    trial.begin();
    let at = landing(&trial);
    hold(&mut trial, Handle::Landing);
    drag(&mut trial, Handle::Landing, moved(at, -0.3, 0.0));
    assert_ne!(sketch(&trial), Sketch::default());
    ask(&mut trial, Command::ChooseStage("seedling".to_owned()));
    drag(&mut trial, Handle::Landing, moved(at, -0.4, 0.0));
    ask(&mut trial, Command::PutBack);
    trial.settle();
    assert_eq!(sketch(&trial), Sketch::default());
    assert_eq!(trial.unit().stage_id, "seedling");
    // Another drag of a handle that is not there, and a place that is none, do nothing.
    hold(&mut trial, Handle::Pour(7));
    drag(&mut trial, Handle::Pour(7), at);
    hold(&mut trial, Handle::Landing);
    drag(&mut trial, Handle::Landing, Point { ph: f64::NAN, ec_ms_cm: 1.0 });
    let_go(&mut trial);
    assert_eq!(sketch(&trial), Sketch::default());
}

#[test]
fn the_landing_takes_the_free_pours_with_it_and_leaves_the_locked() {
    let (mut trial, feed, acid) = with_two_pours(Theme::Light);
    let at = landing(&trial);
    hold(&mut trial, Handle::Landing);
    drag_freely(&mut trial, Handle::Landing, moved(at, -0.3, 0.15));
    let there = landing(&trial);
    assert!((there.ph - at.ph + 0.3).abs() < SCALE.0 && (there.ec_ms_cm - at.ec_ms_cm - 0.15).abs() < SCALE.1);
    drag(&mut trial, Handle::Landing, moved(at, -0.3, 0.15));
    let_go(&mut trial);
    let (grams, ml) = (amount(&trial, feed), amount(&trial, acid));
    assert!(grams > 3.0 && (grams / 0.1 - (grams / 0.1).round()).abs() < 1e-6, "a mark of the scale: {grams}");
    ask(&mut trial, Command::LockPour { key: feed, locked: true });
    let at = landing(&trial);
    hold(&mut trial, Handle::Landing);
    drag(&mut trial, Handle::Landing, moved(at, 0.3, 0.3));
    assert!((amount(&trial, feed) - grams).abs() < 1e-12, "locked");
    assert!(amount(&trial, acid) < ml, "less acid");
    assert!(map(&trial, Some(Handle::Landing)).landing.expect("a landing").can_move);
    let_go(&mut trial);
    ask(&mut trial, Command::LockPour { key: acid, locked: true });
    trial.settle();
    assert!(!map(&trial, None).landing.expect("a landing").can_move);
}

#[test]
fn the_landing_says_what_holds_it_and_stays_in_sight_at_nothing() {
    let mut trial = light();
    trial.begin();
    let at = landing(&trial);
    hold(&mut trial, Handle::Landing);
    drag(&mut trial, Handle::Landing, moved(at, 0.0, 1.0));
    let words = trial.harness.state().held_by().map(str::to_owned);
    assert!(words.is_some_and(|words| words.contains("raises EC")), "no feed is in the list");
    drag(&mut trial, Handle::Landing, moved(at, 3.0, 0.0));
    assert!(amount(&trial, FIRST_KEY).abs() < 1e-12, "as little as can be");
    assert!(map(&trial, Some(Handle::Landing)).landing.is_some(), "still under the hand");
    let_go(&mut trial);
    assert!(trial.harness.state().held_by().is_none());
    // A pour of nothing has a handle all the same.
    let map = map(&trial, None);
    let arrow = map.arrows.iter().find(|arrow| !arrow.poured).expect("its arrow");
    assert_eq!(arrow.path.len(), 1);
    let handle = arrow.handle.as_ref().expect("its handle");
    assert!(handle.rail.len() > 10 && handle.amount.abs() < 1e-12 && handle.most > 1.0);
}

#[test]
fn keys_move_the_landing_there_and_back() {
    let (mut trial, ..) = with_two_pours(Theme::Light);
    trial.settle();
    let (before, at) = (sketch(&trial), landing(&trial));
    let nudge = |trial: &mut Trial, across: i32, up: i32| {
        ask(trial, Command::Nudge { handle: Handle::Landing, across, up });
    };
    for _ in 0..3 {
        nudge(&mut trial, -1, 0);
    }
    let there = landing(&trial);
    assert!((there.ph - at.ph + 0.3).abs() < 0.1, "three tenths: {at:?} to {there:?}");
    for _ in 0..2 {
        nudge(&mut trial, 0, 1);
    }
    assert!((landing(&trial).ec_ms_cm - at.ec_ms_cm - 0.1).abs() < 0.03);
    let far = sketch(&trial);
    nudge(&mut trial, 3, -2);
    assert_eq!(sketch(&trial), before);
    nudge(&mut trial, -3, 2);
    assert_eq!(sketch(&trial), far);
    trial.settle();
    ask(&mut trial, Command::Undo);
    assert_eq!(sketch(&trial), before, "a run is a step");
}

#[test]
fn the_map_says_what_a_hand_or_a_reader_needs() {
    let (mut trial, _, acid) = with_two_pours(Theme::Light);
    ask(&mut trial, Command::SetPour { key: acid, amount: 2.0 });
    ask(&mut trial, Command::LookAhead(3));
    ask(&mut trial, Command::AnotherIdea);
    ask(&mut trial, Command::SetPour { key: acid, amount: 6.0 });
    trial.settle();
    let map = map(&trial, None);
    let at = landing(&trial);
    let said: Vec<String> = map.arrows.iter().filter_map(|a| a.handle.as_ref()).map(|h| h.said.clone()).collect();
    let lands = format!("landing pH {:.1}, EC {:.1}, outside the zone: pH too low", at.ph, at.ec_ms_cm);
    assert_eq!(said, [format!("pour 1, 3.0 grams, {lands}"), format!("pour 2, 6.0 millilitres, {lands}")]);
    let view = map.landing.expect("a landing");
    assert_eq!(view.at, MapPoint::new(at.ph, at.ec_ms_cm));
    let tip = map.arrows.last().and_then(|arrow| arrow.path.last());
    assert_eq!(tip, Some(&view.at), "the last arrow ends at the ring");
    assert!(view.is_risky && view.risk.ends_with("to fall below 5.5 just mixed"), "{}", view.risk);
    assert_eq!(view.said, format!("{lands}, {}", view.risk));
    assert!(view.later.is_some_and(|later| later.words.starts_with("after 4 h ")));
    let settled = view.settled.expect("rest");
    assert!(settled.ph.0 < settled.at.ph && settled.at.ph < settled.ph.1, "{settled:?}");
    assert_eq!((map.look.at, map.look.stops.len()), (3, 6));
    assert_eq!(map.letter.as_deref(), Some(Slot::B.letter()));
    let other = map.other.expect("the first idea");
    assert!(other.words.starts_with("A lands at ") && other.cloud_80.len() > 10 && other.at.ph > at.ph);
    assert!(!map.limits.is_empty());
    trial.harness.get_by_role_and_label(Role::Button, "Undo");
}

#[test]
fn a_reading_that_is_typed_waits_for_the_hand_and_is_never_dragged_over() {
    let mut trial = light();
    trial.begin();
    let before = trial.unit();
    let at = landing(&trial);
    hold(&mut trial, Handle::Landing);
    ask(&mut trial, Command::SetNumber(Field::ReadingPh, Some(6.9)));
    for _ in 0..3 {
        trial.settle();
    }
    drag(&mut trial, Handle::Landing, moved(at, -0.3, 0.0));
    assert_ne!(sketch(&trial), Sketch::default(), "still in the hand");
    assert_eq!(trial.unit(), before);
    ask(&mut trial, Command::LetGo);
    trial.settle();
    trial.settle();
    assert_eq!(trial.unit().last_reading().and_then(|r| r.ph), Some(6.9), "once the hand is off");

    // Typed, and a handle is grabbed at once: the reading comes first, and that grab moves nothing.
    trial.harness.state_mut().ask_for(Command::SetNumber(Field::ReadingPh, Some(7.1)));
    let pressed = press(&mut trial, Handle::Landing);
    assert_eq!(trial.unit().last_reading().and_then(|r| r.ph), Some(7.1));
    pull(&mut trial, pressed + Vec2::new(-80.0, 0.0));
    assert_eq!(sketch(&trial), Sketch::default());
    trial.harness.drop_at(pressed + Vec2::new(-80.0, 0.0));
    trial.settle();
    let pressed = press(&mut trial, Handle::Landing);
    pull(&mut trial, pressed + Vec2::new(-80.0, 0.0));
    assert_ne!(sketch(&trial), Sketch::default(), "the next one does");
}

#[test]
fn nothing_of_everything_still_has_a_landing_to_take_hold_of() {
    let mut trial = light();
    trial.begin();
    ask(&mut trial, Command::SetPour { key: FIRST_KEY, amount: 0.0 });
    trial.settle();
    let nothing = map(&trial, None);
    assert!(nothing.landing.is_some_and(|landing| landing.can_move) && nothing.look.stops.len() == 6);
    trial.harness.get_by_label_contains("Nothing poured: pH stays at 7.2");
    assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
    let at = landing(&trial);
    hold(&mut trial, Handle::Landing);
    drag(&mut trial, Handle::Landing, moved(at, -0.4, 0.0));
    let_go(&mut trial);
    assert!(amount(&trial, FIRST_KEY) > 0.0);
    ask(&mut trial, Command::RemovePour(FIRST_KEY));
    trial.settle();
    assert!(map(&trial, None).landing.is_none(), "an empty list moves nothing");
}

/// Where a point of the water is on the screen.
fn on_screen(trial: &Trial, at: Point) -> Pos2 {
    trial.harness.state().view().map.on_screen(MapPoint::new(at.ph, at.ec_ms_cm)).expect("a place on the map")
}

/// Presses a handle a little beside its middle, as a hand does. Returns where.
fn press(trial: &mut Trial, handle: Handle) -> Pos2 {
    let at = trial.harness.state().view().map.handle_at(handle).expect("a handle") + Vec2::new(3.0, -4.0);
    trial.harness.hover_at(at);
    trial.harness.run_steps(2);
    trial.harness.drag_at(at);
    trial.harness.run_steps(2);
    at
}

fn pull(trial: &mut Trial, to: Pos2) {
    trial.harness.hover_at(to);
    trial.harness.run_steps(3);
}

#[test]
fn a_real_pointer_moves_the_dose_to_the_models_inverse() {
    let mut trial = light();
    trial.begin();
    let before = bits(&trial);
    let planner = outlook(&trial).planner.clone();
    let id = outlook(&trial).pours()[0].0.clone();
    let most = outlook(&trial).list().pours[0].most;
    let acid = Handle::Pour(FIRST_KEY);
    let tip = on_screen(&trial, place(&trial, FIRST_KEY));
    let pressed = press(&mut trial, acid);
    assert_eq!(bits(&trial), before, "a press alone moves nothing");
    for change in [-0.25, -0.5, 0.3] {
        let goal = outlook(&trial).plan.landing.just_mixed.ph + change;
        let exact = by_halving(most, goal, |amount| lands(&planner, &[(id.clone(), amount)]).ph);
        let to = on_screen(&trial, lands(&planner, &[(id.clone(), exact)]));
        pull(&mut trial, pressed + (to - tip));
        let got = amount(&trial, FIRST_KEY);
        let mark = mark_at(&planner, &id, exact);
        assert!((got - exact).abs() <= mark, "{change}: {got} against {exact}, marks of {mark}");
    }
    // There and back under the same pointer.
    pull(&mut trial, pressed);
    assert_eq!(bits(&trial), before);
    pull(&mut trial, pressed + Vec2::new(-60.0, 0.0));
    assert_ne!(bits(&trial), before);
    trial.harness.key_press(Key::Escape);
    trial.harness.run_steps(3);
    assert_eq!(bits(&trial), before, "Escape");
    pull(&mut trial, pressed + Vec2::new(-90.0, 0.0));
    trial.harness.drop_at(pressed + Vec2::new(-90.0, 0.0));
    trial.settle();
    assert_eq!(bits(&trial), before, "the rest of that press is of no account");
}

#[test]
fn a_real_pointer_takes_the_landing_along_as_one_step() {
    let (mut trial, feed, acid) = with_two_pours(Theme::Light);
    let before = sketch(&trial);
    let at = landing(&trial);
    let pressed = press(&mut trial, Handle::Landing);
    let way = on_screen(&trial, moved(at, -0.3, 0.12)) - on_screen(&trial, at);
    for share in [0.3, 0.6, 1.0] {
        pull(&mut trial, pressed + share * way);
    }
    let there = landing(&trial);
    // A mark of the syringe moves pH by some hundredths here.
    assert!((there.ph - at.ph + 0.3).abs() < 0.05 && (there.ec_ms_cm - at.ec_ms_cm - 0.12).abs() < 0.02, "{there:?}");
    trial.harness.drop_at(pressed + way);
    trial.settle();
    assert!(!outlook(&trial).is_carried());
    assert!(amount(&trial, feed) > 3.0 && amount(&trial, acid) > 0.0);
    trial.harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    trial.settle();
    assert_eq!(sketch(&trial), before);
}
