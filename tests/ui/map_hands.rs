//! Handles of the map: taken hold of with pointer, keys and assistive tools, on plain view data.

use egui::{Event, Key, Modifiers, PointerButton, Pos2, Role, Theme, Vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _, by};
use pourcast::ui::command::{Command, Handle};
use pourcast::ui::view::{MapPoint, MapView, TodayView};

use super::desk::{Desk, desk};
use super::{map_views, views};

const WIDE: Vec2 = Vec2::new(1280.0, 800.0);
const POUR: Handle = Handle::Pour(2);

pub(crate) fn harness(map: MapView) -> Harness<'static, Desk> {
    let window = views::window(TodayView { map, ..views::today() });
    let mut harness = desk(window, WIDE, 1.0, Theme::Light);
    harness.run_ok();
    harness
}

fn at(harness: &Harness<'_, Desk>, handle: Handle) -> Pos2 {
    harness.state().view.map.handle_at(handle).expect("a handle")
}

/// A press that stays down; the pointer comes from afar, as a hand does.
fn press(harness: &mut Harness<'_, Desk>, at: Pos2) {
    harness.hover_at(at);
    harness.run_ok();
    harness.drag_at(at);
    harness.run_ok();
}

fn move_to(harness: &mut Harness<'_, Desk>, at: Pos2) {
    harness.hover_at(at);
    harness.run_ok();
}

fn release(harness: &mut Harness<'_, Desk>, at: Pos2) {
    let button = PointerButton::Primary;
    harness.event(Event::PointerButton { pos: at, button, pressed: false, modifiers: Modifiers::NONE });
    harness.run_ok();
}

fn drags(harness: &Harness<'_, Desk>) -> Vec<(Handle, MapPoint, bool)> {
    let drag = |command: &Command| match command {
        Command::DragTo { handle, to, free, .. } => Some((*handle, *to, *free)),
        _ => None,
    };
    harness.state().asked.iter().filter_map(drag).collect()
}

fn count(harness: &Harness<'_, Desk>, command: &Command) -> usize {
    harness.state().asked.iter().filter(|c| *c == command).count()
}

#[test]
fn a_handle_grabbed_off_its_middle_keeps_the_offset() {
    let mut harness = harness(views::map());
    let tip = MapPoint::new(6.9 - 0.7, 1.5 - 0.01);
    let grabbed = at(&harness, POUR) + Vec2::new(7.0, -5.0);
    press(&mut harness, grabbed);
    assert_eq!(count(&harness, &Command::Hold(POUR)), 1);
    let (handle, to, free) = drags(&harness)[0];
    assert_eq!((handle, to, free), (POUR, views::map().arrows[1].path[12], false), "the tip itself, bit for bit");
    assert!((to.ph - tip.ph).abs() < 1e-12);
    move_to(&mut harness, grabbed + Vec2::new(-40.0, 12.0));
    let state = &harness.state().view.map;
    let (bounds, frame) = (state.bounds().expect("bounds"), state.frame().expect("a frame"));
    let (ph_pt, ec_pt) = (bounds.spans().0 / f64::from(frame.width()), bounds.spans().1 / f64::from(frame.height()));
    let last = drags(&harness).pop().expect("a drag").1;
    assert!((last.ph - (to.ph - 40.0 * ph_pt)).abs() < 1e-9, "{last:?}");
    assert!((last.ec_ms_cm - (to.ec_ms_cm - 12.0 * ec_pt)).abs() < 1e-9, "{last:?}");
    let Some(Command::DragTo { scale, .. }) = harness.state().asked.last() else { panic!("no drag") };
    assert!((scale.0 - ph_pt).abs() < 1e-12 && (scale.1 - ec_pt).abs() < 1e-12);
    // Back where it was pressed it is its own place again, and letting go says so once.
    move_to(&mut harness, grabbed);
    assert_eq!(drags(&harness).pop().expect("a drag").1, to);
    release(&mut harness, grabbed);
    assert_eq!(harness.state().asked.last(), Some(&Command::LetGo));
    assert_eq!(count(&harness, &Command::LetGo), 1);
    move_to(&mut harness, grabbed + Vec2::new(50.0, 0.0));
    assert_eq!(harness.state().asked.last(), Some(&Command::LetGo), "what is let go does not follow");
}

#[test]
fn a_press_that_trembles_moves_nothing_and_then_every_point_counts() {
    let mut harness = harness(views::map());
    let grabbed = at(&harness, POUR);
    press(&mut harness, grabbed);
    let own = drags(&harness)[0].1;
    move_to(&mut harness, grabbed + Vec2::new(1.5, -1.0));
    assert_eq!(drags(&harness).len(), 1, "{:?}", drags(&harness));
    move_to(&mut harness, grabbed + Vec2::new(-9.0, 0.0));
    move_to(&mut harness, grabbed + Vec2::new(-1.0, 0.0));
    let moved: Vec<f64> = drags(&harness).iter().map(|(_, to, _)| own.ph - to.ph).collect();
    assert!(moved.len() == 3 && moved[2] > 0.0 && (moved[1] / moved[2] - 9.0).abs() < 1e-3, "{moved:?}");
}

/// Where a text that begins so is painted.
fn painted(harness: &Harness<'_, Desk>, begin: &str) -> Pos2 {
    let found = harness.output().shapes.iter().find_map(|clipped| match &clipped.shape {
        egui::Shape::Text(text) if text.galley.text().starts_with(begin) => Some(text.pos),
        _ => None,
    });
    found.expect("a painted text")
}

#[test]
fn the_callout_goes_with_the_landing_and_does_not_jump_about() {
    let mut harness = harness(views::map());
    let grabbed = at(&harness, Handle::Landing);
    press(&mut harness, grabbed);
    let mut offsets = Vec::new();
    for step in 0..60_i16 {
        let pourcast::ui::PageView::Today(today) = &mut harness.state_mut().window.page else { panic!("another page") };
        let landing = today.map.landing.as_mut().expect("a landing");
        landing.at.ph -= 0.01;
        let (to, words) = (landing.at, format!("{:.1} · {:.2}", landing.at.ph, landing.at.ec_ms_cm));
        landing.cloud_80 = views::cloud(to, 0.42, 0.11);
        landing.cloud_50 = views::cloud(to, 0.24, 0.06);
        today.map.landing_text = words;
        move_to(&mut harness, grabbed - Vec2::new(f32::from(step), 0.0));
        let ring = harness.state().view.map.on_screen(to).expect("a place");
        offsets.push(painted(&harness, "Landing") - ring);
    }
    let jumps = offsets.windows(2).filter(|pair| (pair[1] - pair[0]).length() > 2.0).count();
    assert!(jumps <= 3, "{jumps} jumps in 60 steps: {offsets:?}");
}

#[test]
fn alt_and_shift_free_it_from_the_marks() {
    for modifiers in [Modifiers::ALT, Modifiers::SHIFT] {
        let mut harness = harness(views::map());
        let grabbed = at(&harness, POUR);
        press(&mut harness, grabbed);
        harness.event_modifiers(Event::PointerMoved(grabbed + Vec2::new(-30.0, 0.0)), modifiers);
        harness.step();
        assert!(drags(&harness).iter().any(|(_, _, free)| *free), "{modifiers:?}");
    }
}

#[test]
fn a_drag_past_the_edge_of_the_map_is_passed_on() {
    let mut harness = harness(views::map());
    let grabbed = at(&harness, Handle::Landing);
    press(&mut harness, grabbed);
    move_to(&mut harness, Pos2::new(20.0, 30.0));
    let (handle, to, _) = drags(&harness).pop().expect("a drag");
    let bounds = harness.state().view.map.bounds().expect("bounds");
    assert_eq!(handle, Handle::Landing);
    assert!(to.ph < bounds.ph.0 && to.ec_ms_cm > bounds.ec_ms_cm.1, "{to:?} {bounds:?}");
}

#[test]
fn handles_of_nothing_can_be_taken_and_do_not_overlap() {
    let mut harness = harness(map_views::nothing_yet());
    let [one, two] = [1001, 1002].map(|key| harness.get_by_label(&format!("Handle of pour {}", key - 1000)).rect());
    assert!(!one.expand(2.0).intersects(two), "{one:?} {two:?}");
    for key in [1001, 1002] {
        let grabbed = at(&harness, Handle::Pour(key));
        press(&mut harness, grabbed);
        release(&mut harness, grabbed);
        assert_eq!(count(&harness, &Command::Hold(Handle::Pour(key))), 1);
        let own = drags(&harness).pop().expect("a drag").1;
        assert_eq!(own, MapPoint::new(6.9, 1.5), "where nothing is poured the tip is the reading");
    }
}

#[test]
fn many_handles_at_one_place_stay_apart() {
    let now = MapPoint::new(6.9, 1.5);
    let mut map = map_views::nothing_yet();
    for number in 3..=5 {
        map.arrows.push(map_views::pour(number, "0 mL", vec![now, MapPoint::new(5.0, 1.45)], 0.0, 10.0));
    }
    let harness = harness(map);
    let rects: Vec<_> = (1..=5).map(|n| harness.get_by_label(&format!("Handle of pour {n}")).rect()).collect();
    for (i, one) in rects.iter().enumerate() {
        for other in &rects[i + 1..] {
            assert!(!one.expand(1.0).intersects(*other), "{rects:?}");
        }
    }
}

#[test]
fn escape_puts_it_back_and_the_rest_of_the_press_is_of_no_account() {
    let mut harness = harness(views::map());
    let grabbed = at(&harness, POUR);
    press(&mut harness, grabbed);
    move_to(&mut harness, grabbed + Vec2::new(-30.0, 0.0));
    let before = drags(&harness).len();
    harness.key_press(Key::Escape);
    harness.run_ok();
    assert_eq!(harness.state().asked.last(), Some(&Command::PutBack));
    move_to(&mut harness, grabbed + Vec2::new(-60.0, 0.0));
    release(&mut harness, grabbed + Vec2::new(-60.0, 0.0));
    assert_eq!(drags(&harness).len(), before, "no more drags");
    assert_eq!((count(&harness, &Command::PutBack), count(&harness, &Command::LetGo)), (1, 0));
    // The view was not dragged either, and the next press is a new one.
    let again = at(&harness, POUR);
    assert_eq!(again, grabbed);
    press(&mut harness, again);
    assert_eq!(count(&harness, &Command::Hold(POUR)), 2);
}

#[test]
fn the_view_stands_still_while_a_handle_is_held() {
    let mut harness = harness(views::map());
    let before = harness.state().view.map.bounds();
    let grabbed = at(&harness, Handle::Landing);
    press(&mut harness, grabbed);
    // What the drag brings lies far outside of what is shown.
    let far = MapPoint::new(3.1, 4.5);
    let pourcast::ui::PageView::Today(today) = &mut harness.state_mut().window.page else { panic!("another page") };
    today.map.landing.as_mut().expect("a landing").at = far;
    move_to(&mut harness, grabbed + Vec2::new(-90.0, -90.0));
    harness.event(Event::MouseWheel {
        unit: egui::MouseWheelUnit::Line,
        delta: Vec2::new(0.0, 3.0),
        phase: egui::TouchPhase::Move,
        source: egui::MouseWheelSource::Wheel,
        modifiers: Modifiers::NONE,
    });
    harness.run_ok();
    assert_eq!(harness.state().view.map.bounds(), before);
    release(&mut harness, grabbed);
    let after = harness.state().view.map.bounds().expect("bounds");
    assert!(after.holds(far), "once let go, it is brought into sight: {after:?}");
}

#[test]
fn the_nearest_handle_is_taken_within_fourteen_points_and_the_ground_beyond() {
    let mut harness = harness(views::map());
    let badge = at(&harness, POUR);
    let away = (badge - at(&harness, Handle::Landing)).normalized();
    press(&mut harness, badge + away * 14.0);
    assert_eq!(count(&harness, &Command::Hold(POUR)), 1);
    release(&mut harness, badge + away * 14.0);
    let asked = harness.state().asked.len();
    press(&mut harness, badge + away * 40.0);
    release(&mut harness, badge + away * 40.0);
    assert_eq!(harness.state().asked.len(), asked, "a press beside it asks for nothing");
}

fn focus(harness: &mut Harness<'_, Desk>, name: &str) {
    harness.get_by_role_and_label(Role::Slider, name).focus();
    harness.run_ok();
}

fn keys(harness: &mut Harness<'_, Desk>, keys: &[Key]) {
    for key in keys {
        harness.key_press(*key);
        harness.run_ok();
    }
}

#[test]
fn arrow_keys_nudge_and_do_not_move_the_keyboard() {
    let mut harness = harness(views::map());
    focus(&mut harness, "Handle of pour 2");
    keys(&mut harness, &[Key::ArrowRight, Key::ArrowLeft, Key::ArrowUp, Key::ArrowDown, Key::PageUp, Key::PageDown]);
    let nudges: Vec<(Handle, i32, i32)> = harness
        .state()
        .asked
        .iter()
        .filter_map(|c| match c {
            Command::Nudge { handle, across, up } => Some((*handle, *across, *up)),
            _ => None,
        })
        .collect();
    assert_eq!(nudges, [(1, 0), (-1, 0), (0, 1), (0, -1), (0, 10), (0, -10)].map(|(across, up)| (POUR, across, up)));
    assert!(harness.get_by_role_and_label(Role::Slider, "Handle of pour 2").is_focused());
    keys(&mut harness, &[Key::Tab]);
    assert!(harness.get_by_role_and_label(Role::Slider, "Handle of the landing").is_focused(), "Tab goes on in order");
    keys(&mut harness, &[Key::ArrowDown]);
    let last = Command::Nudge { handle: Handle::Landing, across: 0, up: -1 };
    assert_eq!(harness.state().asked.last(), Some(&last));
}

#[test]
fn a_screen_reader_hears_and_moves_a_handle() {
    let mut harness = harness(views::map());
    let handle = harness.get_by_role_and_label(Role::Slider, "Handle of pour 2");
    let said = "pour 2, 5.0 millilitres, landing pH 6.2, EC 1.5, inside the zone";
    assert_eq!(handle.value().as_deref(), Some(said));
    let node = handle.accesskit_node();
    assert_eq!(node.numeric_value(), Some(5.0));
    assert_eq!((node.min_numeric_value(), node.max_numeric_value()), (Some(0.0), Some(10.0)));
    assert_eq!(node.numeric_value_step(), Some(0.5));
    handle.increment_accesskit();
    harness.run_ok();
    assert_eq!(harness.state().asked, [Command::Nudge { handle: POUR, across: 1, up: 0 }]);
    harness.get_by_role_and_label(Role::Slider, "Handle of pour 2").set_value_accesskit(7.25);
    harness.run_ok();
    assert_eq!(harness.state().asked.last(), Some(&Command::SetPour { key: 2, amount: 7.25 }));
    // What became of it is said by itself.
    let live = harness.get(by().role(Role::Status));
    assert_eq!(live.value().as_deref(), Some(said));
    assert_eq!(live.accesskit_node().live(), egui::accesskit::Live::Polite);
    let landing = harness.get_by_role_and_label(Role::Slider, "Handle of the landing");
    assert_eq!(landing.value().as_deref(), Some("landing pH 6.2, EC 1.5, inside the zone"));
}

#[test]
fn nothing_is_said_while_it_is_still_in_the_hand() {
    let mut harness = harness(views::map());
    let grabbed = at(&harness, Handle::Landing);
    press(&mut harness, grabbed);
    move_to(&mut harness, grabbed + Vec2::new(-20.0, 0.0));
    assert_eq!(harness.get(by().role(Role::Status)).value().unwrap_or_default(), "");
    release(&mut harness, grabbed);
    let said = harness.get(by().role(Role::Status)).value().unwrap_or_default();
    assert_eq!(said, "landing pH 6.2, EC 1.5, inside the zone");
}

#[test]
fn pressing_a_handle_gives_it_the_keyboard() {
    let mut harness = harness(views::map());
    let grabbed = at(&harness, POUR);
    press(&mut harness, grabbed);
    release(&mut harness, grabbed);
    assert!(harness.get_by_role_and_label(Role::Slider, "Handle of pour 2").is_focused());
    keys(&mut harness, &[Key::ArrowRight]);
    assert_eq!(harness.state().asked.last(), Some(&Command::Nudge { handle: POUR, across: 1, up: 0 }));
}

/// A touchpad's tap may be over before the next frame.
#[test]
fn a_tap_within_one_frame_gives_a_handle_the_keyboard_too() {
    let mut harness = harness(views::map());
    let at = at(&harness, POUR);
    harness.hover_at(at);
    harness.run_ok();
    for pressed in [true, false] {
        harness.event(egui::Event::PointerButton {
            pos: at,
            button: egui::PointerButton::Primary,
            pressed,
            modifiers: egui::Modifiers::NONE,
        });
    }
    harness.step();
    harness.run_ok();
    assert!(harness.get_by_role_and_label(Role::Slider, "Handle of pour 2").is_focused());
    keys(&mut harness, &[Key::ArrowRight]);
    assert_eq!(harness.state().asked.last(), Some(&Command::Nudge { handle: POUR, across: 1, up: 0 }));
}

#[test]
fn a_landing_that_cannot_move_is_no_handle() {
    let mut map = views::map();
    map.landing.as_mut().expect("a landing").can_move = false;
    let harness = harness(map);
    assert!(harness.query_by_role_and_label(Role::Slider, "Handle of the landing").is_none());
    assert!(harness.state().view.map.handle_at(Handle::Landing).is_none());
}

#[test]
fn a_finger_takes_a_handle_without_hovering_first() {
    let mut harness = harness(views::map());
    let ring = at(&harness, Handle::Landing);
    let finger = ring + Vec2::new(-15.0, 15.0);
    assert!(finger.distance(ring) > 20.0);
    let touch = |phase, pos| Event::Touch {
        device_id: egui::TouchDeviceId(1),
        id: egui::TouchId::from(1_u64),
        phase,
        pos,
        force: None,
    };
    let press =
        |pos| Event::PointerButton { pos, button: PointerButton::Primary, pressed: true, modifiers: Modifiers::NONE };
    harness.event(touch(egui::TouchPhase::Start, finger));
    harness.event(Event::PointerMoved(finger));
    harness.event(press(finger));
    harness.run_ok();
    assert_eq!(count(&harness, &Command::Hold(Handle::Landing)), 1, "{:?}", harness.state().asked);
}

fn touch(harness: &mut Harness<'_, Desk>, finger: u64, phase: egui::TouchPhase, pos: Pos2) {
    let (device_id, id) = (egui::TouchDeviceId(1), egui::TouchId::from(finger));
    harness.event(Event::Touch { device_id, id, phase, pos, force: None });
    // The first finger is the pointer as well.
    if finger == 1 {
        let button =
            |pressed| Event::PointerButton { pos, button: PointerButton::Primary, pressed, modifiers: Modifiers::NONE };
        match phase {
            egui::TouchPhase::Start => {
                harness.event(Event::PointerMoved(pos));
                harness.event(button(true));
            }
            egui::TouchPhase::Move => harness.event(Event::PointerMoved(pos)),
            egui::TouchPhase::End | egui::TouchPhase::Cancel => {
                harness.event(button(false));
                harness.event(Event::PointerGone);
            }
        }
    }
    harness.run_ok();
}

#[test]
fn a_finger_drags_a_handle_and_lets_it_go() {
    let mut harness = harness(views::map());
    let ring = at(&harness, Handle::Landing);
    touch(&mut harness, 1, egui::TouchPhase::Start, ring);
    touch(&mut harness, 1, egui::TouchPhase::Move, ring + Vec2::new(-30.0, 10.0));
    let moved = drags(&harness).len();
    assert!(moved >= 2, "{:?}", drags(&harness));
    touch(&mut harness, 1, egui::TouchPhase::End, ring + Vec2::new(-30.0, 10.0));
    assert_eq!((count(&harness, &Command::LetGo), count(&harness, &Command::PutBack)), (1, 0));
}

#[test]
fn a_second_finger_puts_the_handle_back_and_the_two_zoom_and_pan() {
    let mut harness = harness(views::map());
    let before = harness.state().view.map.bounds().expect("bounds");
    let ring = at(&harness, Handle::Landing);
    let other = ring + Vec2::new(40.0, 0.0);
    touch(&mut harness, 1, egui::TouchPhase::Start, ring);
    touch(&mut harness, 2, egui::TouchPhase::Start, other);
    assert_eq!(count(&harness, &Command::PutBack), 1, "{:?}", harness.state().asked);
    for step in 1..=5_u8 {
        touch(&mut harness, 2, egui::TouchPhase::Move, other + Vec2::new(8.0 * f32::from(step), 0.0));
    }
    let zoomed = harness.state().view.map.bounds().expect("bounds");
    assert!(zoomed.spans().0 < 0.7 * before.spans().0, "{before:?} {zoomed:?}");
    touch(&mut harness, 2, egui::TouchPhase::End, other + Vec2::new(40.0, 0.0));
    touch(&mut harness, 1, egui::TouchPhase::Move, ring + Vec2::new(-20.0, 0.0));
    touch(&mut harness, 1, egui::TouchPhase::End, ring);
    assert_eq!(harness.state().view.map.bounds(), Some(zoomed), "what is left of the press moves nothing");
    assert_eq!(count(&harness, &Command::LetGo), 0, "{:?}", harness.state().asked);
}

/// Drags the landing far to the left, as the shell would show it.
fn shown_drag(harness: &mut Harness<'_, Desk>) -> (Pos2, pourcast::ui::map::Bounds) {
    let before = harness.state().view.map.bounds().expect("bounds");
    let ring = at(harness, Handle::Landing);
    press(harness, ring);
    let pourcast::ui::PageView::Today(today) = &mut harness.state_mut().window.page else { panic!("another page") };
    today.map.held = Some(Handle::Landing);
    let landing = today.map.landing.as_mut().expect("a landing");
    landing.at.ph = 3.2;
    landing.cloud_80 = views::cloud(landing.at, 0.42, 0.11);
    harness.run_ok();
    (ring, before)
}

fn ended_elsewhere(harness: &mut Harness<'_, Desk>) {
    let pourcast::ui::PageView::Today(today) = &mut harness.state_mut().window.page else { panic!("another page") };
    today.map = views::map();
}

#[test]
fn escape_gives_the_view_back() {
    let mut harness = harness(views::map());
    let (ring, before) = shown_drag(&mut harness);
    harness.key_press(Key::Escape);
    harness.step();
    assert_eq!(count(&harness, &Command::PutBack), 1);
    ended_elsewhere(&mut harness);
    harness.run_ok();
    assert_eq!(harness.state().view.map.bounds(), Some(before));
    release(&mut harness, ring);
    assert_eq!(harness.state().view.map.bounds(), Some(before));
    assert_eq!(count(&harness, &Command::LetGo), 0);
}

#[test]
fn a_hold_that_was_ended_elsewhere_is_dropped() {
    let mut harness = harness(views::map());
    let (ring, before) = shown_drag(&mut harness);
    ended_elsewhere(&mut harness);
    harness.run_ok();
    let told = harness.state().asked.len();
    move_to(&mut harness, ring + Vec2::new(60.0, 0.0));
    assert_eq!(harness.state().asked.len(), told, "{:?}", harness.state().asked);
    assert_eq!(harness.state().view.map.bounds(), Some(before));
    release(&mut harness, ring);
    assert_eq!(harness.state().asked.len(), told, "nothing is let go twice");
    press(&mut harness, ring);
    assert_eq!(count(&harness, &Command::Hold(Handle::Landing)), 2, "and it can be taken again");
}
