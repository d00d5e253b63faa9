//! Pictures of the map for people to look at, in the states a hand can bring it to.

use egui::Vec2;
use egui_kittest::Harness;
use pourcast::ui::WindowView;
use pourcast::ui::command::Handle;
use pourcast::ui::view::{MapView, TodayView};

use super::desk::Desk;
use super::pictures::{SIZES, save};
use super::{map_views, views};

fn with(map: MapView) -> WindowView {
    views::window(TodayView { map, ..views::today() })
}

fn plain(_: &mut Harness<'_, Desk>) {}

fn held(handle: Handle, by: Vec2) -> impl Fn(&mut Harness<'_, Desk>) {
    move |harness| {
        harness.run_ok();
        let at = harness.state().view.map.handle_at(handle).expect("a handle");
        harness.drag_at(at);
        harness.run_ok();
        harness.hover_at(at + by);
        harness.run_ok();
    }
}

#[test]
fn map_at_rest() {
    save("map-full", &with(map_views::full()), &[SIZES[0], SIZES[1]], plain);
    save("map-nothing-yet", &with(map_views::nothing_yet()), &SIZES[..1], plain);
    save("map-two-lists", &with(map_views::two_lists()), &SIZES[..1], plain);
    // The page of a small screen, scrolled to the map.
    save("map-full", &with(map_views::full()), &SIZES[2..], |harness| {
        harness.run_ok();
        harness.hover_at(egui::pos2(300.0, 150.0));
        for _ in 0..6 {
            harness.event(egui::Event::MouseWheel {
                unit: egui::MouseWheelUnit::Point,
                delta: Vec2::new(0.0, -45.0),
                phase: egui::TouchPhase::Move,
                source: egui::MouseWheelSource::Unknown,
                modifiers: egui::Modifiers::NONE,
            });
            harness.run_ok();
        }
    });
}

#[test]
fn map_in_the_hand() {
    save("map-pour-held", &with(map_views::full()), &SIZES[..1], held(Handle::Pour(1003), Vec2::new(-20.0, 5.0)));
    save("map-landing-held", &with(map_views::held_back()), &SIZES[..1], held(Handle::Landing, Vec2::new(-9.0, 4.0)));
    save("map-nothing-held", &with(map_views::nothing_yet()), &SIZES[..1], held(Handle::Pour(1001), Vec2::ZERO));
}

#[test]
fn map_zoomed() {
    save("map-zoomed", &with(map_views::full()), &SIZES[..1], |harness| {
        harness.run_ok();
        let at = harness.state().view.map.handle_at(Handle::Landing).expect("a handle");
        harness.hover_at(at);
        for _ in 0..7 {
            harness.event(egui::Event::MouseWheel {
                unit: egui::MouseWheelUnit::Line,
                delta: Vec2::new(0.0, 1.0),
                phase: egui::TouchPhase::Move,
                source: egui::MouseWheelSource::Wheel,
                modifiers: egui::Modifiers::NONE,
            });
            harness.run_ok();
        }
    });
}

#[test]
fn map_in_a_middling_window() {
    let size = [("1100x700", Vec2::new(1100.0, 700.0), 1.0)];
    save("map-held-back", &with(map_views::held_back()), &size, plain);
    save("map-full", &with(map_views::full()), &size, plain);
}
