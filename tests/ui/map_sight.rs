//! The view of the map: wheel, touchpad, hand, keys and buttons; names of zones; looking ahead; nothing cut off.

use egui::{Event, Key, Modifiers, MouseWheelSource, MouseWheelUnit, PointerButton, Pos2, Role, Theme, Vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use pourcast::ui::command::{Command, Handle};
use pourcast::ui::map::{Bounds, LOOK_NAME, MAP_NAME};
use pourcast::ui::view::{MapPoint, TodayView};

use super::clipping::{Scrolled, assert_nothing_clipped};
use super::desk::{Desk, desk};
use super::map_hands::harness;
use super::{map_views, views};

fn bounds(harness: &Harness<'_, Desk>) -> Bounds {
    harness.state().view.map.bounds().expect("bounds")
}

fn on_screen(harness: &Harness<'_, Desk>, point: MapPoint) -> Pos2 {
    harness.state().view.map.on_screen(point).expect("a place")
}

fn wheel(harness: &mut Harness<'_, Desk>, unit: MouseWheelUnit, delta: Vec2) {
    let (phase, source) = (egui::TouchPhase::Move, MouseWheelSource::Unknown);
    harness.event(Event::MouseWheel { unit, delta, phase, source, modifiers: Modifiers::NONE });
    harness.run_ok();
}

/// A free place of the map, away from every mark.
fn free_place(harness: &Harness<'_, Desk>) -> Pos2 {
    harness.state().view.map.frame().expect("a frame").left_bottom() + Vec2::new(40.0, -40.0)
}

#[test]
fn the_wheel_zooms_about_the_pointer() {
    let mut harness = harness(views::map());
    let point = MapPoint::new(6.9, 1.5);
    let before = (on_screen(&harness, point), bounds(&harness));
    harness.hover_at(before.0);
    harness.run_ok();
    wheel(&mut harness, MouseWheelUnit::Line, Vec2::new(0.0, 2.0));
    let after = bounds(&harness);
    assert!(after.spans().0 < 0.75 * before.1.spans().0 && after.spans().1 < 0.75 * before.1.spans().1, "{after:?}");
    assert!(on_screen(&harness, point).distance(before.0) < 0.1);
    wheel(&mut harness, MouseWheelUnit::Line, Vec2::new(0.0, -2.0));
    assert!((bounds(&harness).spans().0 - before.1.spans().0).abs() < 1e-6);
}

#[test]
fn two_fingers_pan_and_a_pinch_zooms() {
    let mut harness = harness(views::map());
    let point = MapPoint::new(6.5, 1.4);
    let (at, spans) = (on_screen(&harness, point), bounds(&harness).spans());
    harness.hover_at(at);
    harness.run_ok();
    wheel(&mut harness, MouseWheelUnit::Point, Vec2::new(30.0, -20.0));
    let moved = on_screen(&harness, point) - at;
    assert!((moved - Vec2::new(30.0, -20.0)).length() < 0.1, "{moved:?}");
    assert!((bounds(&harness).spans().0 - spans.0).abs() < 1e-9);
    let at = on_screen(&harness, point);
    harness.hover_at(at);
    harness.run_ok();
    harness.event(Event::Zoom(2.0));
    harness.run_ok();
    assert!((bounds(&harness).spans().0 - spans.0 / 2.0).abs() < 1e-6);
    assert!(on_screen(&harness, point).distance(at) < 0.1);
}

#[test]
fn dragging_the_ground_pans_and_a_double_click_fits() {
    let mut harness = harness(views::map());
    let fitted = bounds(&harness);
    let from = free_place(&harness);
    let point = MapPoint::new(6.5, 1.4);
    let at = on_screen(&harness, point);
    harness.hover_at(from);
    harness.run_ok();
    harness.drag_at(from);
    harness.run_ok();
    harness.hover_at(from + Vec2::new(30.0, -10.0));
    harness.run_ok();
    harness.hover_at(from + Vec2::new(60.0, -20.0));
    harness.run_ok();
    let moved = on_screen(&harness, point) - at;
    assert!((moved - Vec2::new(60.0, -20.0)).length() < 1.0, "{moved:?}");
    let button = |pressed| Event::PointerButton {
        pos: from + Vec2::new(60.0, -20.0),
        button: PointerButton::Primary,
        pressed,
        modifiers: Modifiers::NONE,
    };
    harness.event(button(false));
    harness.run_ok();
    assert_eq!(harness.state().asked, [], "moving the view asks for nothing");
    for _ in 0..2 {
        // Press and release within one frame: the harness lets a quarter of a second pass in each.
        harness.input_mut().events.extend([button(true), button(false)]);
        harness.step();
    }
    harness.run_ok();
    assert_eq!(bounds(&harness), fitted);
}

#[test]
fn buttons_and_keys_zoom_and_fit() {
    let mut harness = harness(views::map());
    let fitted = bounds(&harness);
    harness.get_by_role_and_label(Role::Button, "Zoom in").click();
    harness.run_ok();
    assert!(bounds(&harness).spans().0 < 0.7 * fitted.spans().0);
    harness.get_by_role_and_label(Role::Button, "Zoom out").click();
    harness.run_ok();
    assert!((bounds(&harness).spans().0 - fitted.spans().0).abs() < 1e-9);
    harness.get_by_role_and_label(Role::GraphicsDocument, MAP_NAME).focus();
    harness.run_ok();
    for key in [Key::Plus, Key::Plus] {
        harness.key_press(key);
        harness.run_ok();
    }
    assert!((bounds(&harness).spans().0 - fitted.spans().0 / 2.25).abs() < 1e-6);
    harness.key_press(Key::ArrowRight);
    harness.run_ok();
    harness.key_press(Key::Minus);
    harness.run_ok();
    assert!(bounds(&harness) != fitted);
    harness.key_press(Key::Num0);
    harness.run_ok();
    assert_eq!(bounds(&harness), fitted);
    harness.get_by_role_and_label(Role::Button, "Zoom in").click();
    harness.run_ok();
    harness.get_by_role_and_label(Role::Button, "Fit the map").click();
    harness.run_ok();
    assert_eq!(bounds(&harness), fitted);
}

/// The narrow page, scrolled so that the map lies under the middle of the window.
fn narrow() -> Harness<'static, Desk> {
    let window = views::window(TodayView { map: map_views::full(), ..views::today() });
    let mut harness = desk(window, Vec2::new(640.0, 400.0), 2.0, Theme::Light);
    harness.run_ok();
    harness.hover_at(Pos2::new(300.0, 150.0));
    harness.run_ok();
    for _ in 0..40 {
        if harness.state().view.map.frame().is_some_and(|frame| frame.contains(Pos2::new(300.0, 180.0))) {
            return harness;
        }
        wheel(&mut harness, MouseWheelUnit::Point, Vec2::new(0.0, -30.0));
    }
    panic!("the map was not reached");
}

#[test]
fn a_page_that_scrolls_is_not_caught_by_the_map_until_it_is_pressed() {
    let mut harness = narrow();
    let middle = Pos2::new(300.0, 180.0);
    let before = (bounds(&harness), harness.state().view.map.frame().expect("a frame"));
    wheel(&mut harness, MouseWheelUnit::Line, Vec2::new(0.0, -1.0));
    let scrolled = harness.state().view.map.frame().expect("a frame");
    assert!(scrolled.top() < before.1.top() - 5.0, "the page scrolls on: {scrolled:?}");
    assert_eq!(bounds(&harness), before.0);
    // The wheel with the zoom key is the map's all the same.
    harness.event(Event::Zoom(1.5));
    harness.run_ok();
    assert!(bounds(&harness).spans().0 < before.0.spans().0);
    // Pressed, it has the keyboard, and the wheel; and the page stands still.
    harness.get_by_role_and_label(Role::GraphicsDocument, MAP_NAME).focus();
    harness.run_ok();
    harness.hover_at(middle);
    harness.run_ok();
    let before = (bounds(&harness), harness.state().view.map.frame().expect("a frame"));
    wheel(&mut harness, MouseWheelUnit::Line, Vec2::new(0.0, -1.0));
    assert!(bounds(&harness).spans().0 > before.0.spans().0);
    assert_eq!(harness.state().view.map.frame(), Some(before.1), "the page stands still");
}

#[test]
fn the_name_of_a_zone_opens_its_sources() {
    let mut harness = harness(views::map());
    assert!(harness.query_by_label_contains("The zone joins them").is_none());
    harness.get_by_role_and_label(Role::Link, "Zone lettuce, leaf: its sources").click();
    harness.run_ok();
    let line = harness.get_by_label_contains("The zone joins them").rect();
    assert!(harness.ctx.content_rect().contains_rect(line), "{line:?}");
    harness.key_press(Key::Escape);
    harness.run_ok();
    assert!(harness.query_by_label_contains("The zone joins them").is_none());
}

#[test]
fn looking_ahead_with_pointer_keys_and_assistive_tools() {
    let mut harness = harness(map_views::two_lists());
    let slider = harness.get_by_role_and_label(Role::Slider, LOOK_NAME);
    assert_eq!(slider.value().as_deref(), Some("4 h"));
    assert_eq!(slider.accesskit_node().numeric_value(), Some(3.0));
    let rect = slider.rect();
    slider.focus();
    harness.run_ok();
    for key in [Key::ArrowRight, Key::ArrowLeft, Key::Home, Key::End] {
        harness.key_press(key);
        harness.run_ok();
    }
    harness.get_by_role_and_label(Role::Slider, LOOK_NAME).set_value_accesskit(1.0);
    harness.run_ok();
    let asked = |harness: &Harness<'_, Desk>| -> Vec<Command> { harness.state().asked.clone() };
    assert_eq!(asked(&harness), [4, 2, 0, 5, 1].map(Command::LookAhead));
    harness.drag_at(rect.left_top() + Vec2::new(4.0, 10.0));
    harness.run_ok();
    assert_eq!(asked(&harness).last(), Some(&Command::LookAhead(0)));
    let one = harness.state_mut();
    one.asked.clear();
    let pourcast::ui::PageView::Today(today) = &mut one.window.page else { panic!("another page") };
    today.map.look.stops.clear();
    harness.run_ok();
    assert!(harness.query_by_role_and_label(Role::Slider, LOOK_NAME).is_none(), "hidden while there is nothing ahead");
}

#[test]
fn nothing_on_the_map_is_cut_off_or_covered() {
    let maps =
        [map_views::full(), map_views::held_back(), map_views::nothing_yet(), map_views::two_lists(), views::map()];
    for map in maps {
        for (size, scale, scrolled) in [
            (Vec2::new(1280.0, 800.0), 1.0, Scrolled::Nothing),
            (Vec2::new(1920.0, 1080.0), 1.0, Scrolled::Nothing),
            (Vec2::new(1100.0, 700.0), 1.0, Scrolled::Vertically),
        ] {
            let window = views::window(TodayView { map: map.clone(), ..views::today() });
            let mut harness = desk(window, size, scale, Theme::Dark);
            harness.run_ok();
            assert_nothing_clipped(&harness, scrolled);
        }
    }
}

#[test]
fn words_in_the_hand_cover_nothing() {
    for (map, handle) in [
        (map_views::full(), Handle::Pour(1003)),
        (map_views::full(), Handle::Pour(1002)),
        (map_views::nothing_yet(), Handle::Pour(1001)),
        (views::map(), Handle::Pour(2)),
    ] {
        let mut harness = harness(map);
        let at = harness.state().view.map.handle_at(handle).expect("a handle");
        harness.hover_at(at);
        harness.run_ok();
        assert_nothing_clipped(&harness, Scrolled::Nothing);
    }
}

#[test]
fn arrow_keys_on_a_zone_name_do_not_lead_to_a_handle() {
    let mut harness = harness(views::map());
    harness.get_by_role_and_label(Role::Link, "Zone lettuce, leaf: its sources").focus();
    harness.run_ok();
    for key in [Key::ArrowRight, Key::ArrowDown, Key::ArrowLeft, Key::ArrowUp, Key::ArrowRight] {
        harness.key_press(key);
        harness.run_ok();
    }
    assert!(harness.get_by_role_and_label(Role::Link, "Zone lettuce, leaf: its sources").is_focused());
    assert_eq!(harness.state().asked, []);
}
