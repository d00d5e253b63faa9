//! Pictures of the window for people to look at, written to `target/pictures/`. They replace no value check: each run
//! only asserts that something was painted in the theme's own colours.

use egui::{Theme, Vec2};
use egui_kittest::Harness;
use image::codecs::png::{CompressionType, FilterType, PngEncoder};
use pourcast::ui::WindowView;
use pourcast::ui::theme::Tokens;
use pourcast::ui::view::TodayView;

use super::cpu_renderer::CpuRenderer;
use super::desk::{Desk, desk};
use super::views;

/// Sizes in points and their scale.
pub(crate) const SIZES: [(&str, Vec2, f32); 3] = [
    ("1280x800", Vec2::new(1280.0, 800.0), 1.0),
    ("1920x1080", Vec2::new(1920.0, 1080.0), 1.0),
    ("640x400@2", Vec2::new(640.0, 400.0), 2.0),
];

/// Writes a picture to `target/pictures/`.
pub(crate) fn keep(picture: &image::RgbaImage, name: &str) {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("target/pictures");
    std::fs::create_dir_all(&folder).expect("a folder for pictures");
    // Without the alpha that a window does not have, and as small as it gets: some of them are in the repository.
    let file = std::io::BufWriter::new(std::fs::File::create(folder.join(name)).expect("a picture on disk"));
    let small = PngEncoder::new_with_quality(file, CompressionType::Best, FilterType::Adaptive);
    image::DynamicImage::from(picture.clone()).to_rgb8().write_with_encoder(small).expect("a picture on disk");
}

/// Writes a picture of the whole window.
pub(crate) fn keep_of(trial: &mut super::flows::Trial, name: &str) {
    keep(&trial.harness.render().expect("a picture"), &format!("{name}.png"));
}

pub(crate) fn save(
    name: &str,
    window: &WindowView,
    sizes: &[(&str, Vec2, f32)],
    set_up: impl Fn(&mut Harness<'_, Desk>),
) {
    for look in [Theme::Light, Theme::Dark] {
        for (size_name, size_pt, scale) in sizes {
            let mut harness = desk(window.clone(), *size_pt, *scale, look);
            set_up(&mut harness);
            harness.run_ok();
            let picture = harness.render().expect("a picture");
            let ground = Tokens::for_theme(look).ground.to_array();
            let grounds = picture.pixels().filter(|p| p.0[..3] == ground[..3]).count();
            let all = picture.pixels().count();
            assert!(grounds > all / 200 && grounds < all * 9 / 10, "{name}: {grounds} of {all} pixels are ground");
            keep(&picture, &format!("{name}-{}-{size_name}.png", word(look)));
        }
    }
}

pub(crate) fn word(look: Theme) -> &'static str {
    match look {
        Theme::Light => "light",
        Theme::Dark => "dark",
    }
}

fn plain(_: &mut Harness<'_, Desk>) {}

#[test]
fn an_ordinary_day() {
    save("today", &views::window(views::today()), &SIZES, plain);
}

#[test]
fn first_page() {
    save("start", &views::start_window(), &SIZES, plain);
}

#[test]
fn other_answers() {
    let with = |answer| views::window(TodayView { answer, ..views::today() });
    save("wait", &with(views::wait_answer()), &SIZES[..1], plain);
    save("wait", &with(views::wait_answer()), &SIZES[2..], plain);
    save("leave", &with(views::leave_answer()), &SIZES[..1], plain);
    save("fact", &with(views::fact_answer()), &SIZES[2..], plain);
    save("empty", &views::window(views::empty_today()), &SIZES[..1], plain);
}

#[test]
fn every_tool() {
    use pourcast::ui::tools::tool_ui;
    use pourcast::ui::view::ToolView;
    let syringe =
        |capacity_ml, mark_ml, full_times, fill_ml| ToolView::Syringe { capacity_ml, mark_ml, full_times, fill_ml };
    let tools = [
        syringe(10.0, 0.5, 0, 5.0),
        syringe(1.0, 0.01, 0, 0.27),
        syringe(20.0, 1.0, 2, 9.0),
        syringe(5.0, 0.2, 0, 0.0),
        syringe(10.0, 0.5, 0, 10.0),
        ToolView::Dropper { drops: 1 },
        ToolView::Dropper { drops: 14 },
        ToolView::Dropper { drops: 55 },
        ToolView::Scoop { count: 2.5, grams: 3.0 },
        ToolView::Scoop { count: 11.0, grams: 3.0 },
        ToolView::Spoon { count: 1.25, name: "teaspoon".to_owned() },
        ToolView::Scale { grams: 17.0, mark_g: 0.1 },
        ToolView::Jug { capacity_l: 2.0, full_times: 0, fill_l: 1.5 },
        ToolView::Jug { capacity_l: 2.0, full_times: 3, fill_l: 0.5 },
    ];
    for look in [Theme::Light, Theme::Dark] {
        let tools = tools.clone();
        let mut harness = Harness::builder()
            .with_size(Vec2::new(900.0, 700.0))
            .with_theme(look)
            .with_context_setup(pourcast::ui::theme::install)
            .renderer(CpuRenderer::default())
            .build_ui(move |ui| {
                ui.horizontal_wrapped(|ui| {
                    for tool in &tools {
                        tool_ui(ui, tool, Vec2::new(272.0, 108.0));
                    }
                });
            });
        harness.run();
        let picture = harness.render().expect("a picture");
        let liquid = Tokens::for_theme(look).liquid.to_array();
        assert!(picture.pixels().filter(|p| p.0[..3] == liquid[..3]).count() > 2000);
        keep(&picture, &format!("tools-{}.png", word(look)));
    }
}

#[test]
fn the_example_as_it_is() {
    for look in [Theme::Light, Theme::Dark] {
        for (size_name, size_pt, scale) in SIZES {
            let mut trial = super::flows::Trial::new(look, size_pt, scale);
            trial.press(egui::Role::Button, "Look around in the example");
            let picture = trial.harness.render().expect("a picture");
            let zone = Tokens::for_theme(look).zone.to_array();
            if scale < 1.5 {
                assert!(picture.pixels().filter(|p| p.0[..3] == zone[..3]).count() > 500, "no zone on the map");
            }
            keep(&picture, &format!("example-{}-{size_name}.png", word(look)));
            trial.press(egui::Role::Button, "Poured it");
            let picture = trial.harness.render().expect("a picture");
            keep(&picture, &format!("example-poured-{}-{size_name}.png", word(look)));
        }
    }
}

#[test]
fn two_ideas_in_hand() {
    use pourcast::ui::command::Command;
    for look in [Theme::Light, Theme::Dark] {
        let (mut trial, feed, acid) = super::hand::with_two_pours(look);
        let before = trial.harness.render().expect("a picture");
        super::hand::ask(&mut trial, Command::MovePour { key: acid, places: -1 });
        super::hand::ask(&mut trial, Command::LockPour { key: feed, locked: true });
        trial.settle();
        keep(&trial.harness.render().expect("a picture"), &format!("pours-{}.png", word(look)));
        super::hand::ask(&mut trial, Command::AnotherIdea);
        super::hand::ask(&mut trial, Command::SetPour { key: acid, amount: 9.0 });
        trial.settle();
        let after = trial.harness.render().expect("a picture");
        let changed = before.pixels().zip(after.pixels()).filter(|(a, b)| a != b).count();
        assert!(changed > 2000, "a second idea changed {changed} pixels");
        keep(&after, &format!("ideas-{}.png", word(look)));
    }
}

#[test]
fn the_example_with_something_open() {
    for look in [Theme::Light, Theme::Dark] {
        for (name, role, press) in [
            ("card", egui::Role::Button, "Tub card"),
            ("menu", egui::Role::Button, "Menu"),
            ("add", egui::Role::Link, "Add a pour"),
            ("sources", egui::Role::DisclosureTriangle, "2 sources disagree"),
            ("why", egui::Role::DisclosureTriangle, "Why"),
            ("words", egui::Role::DisclosureTriangle, "In words"),
        ] {
            let mut trial = super::flows::Trial::new(look, SIZES[0].1, 1.0);
            trial.press(egui::Role::Button, "Look around in the example");
            let before = trial.harness.render().expect("a picture");
            trial.press(role, press);
            let after = trial.harness.render().expect("a picture");
            let changed = before.pixels().zip(after.pixels()).filter(|(a, b)| a != b).count();
            assert!(changed > 2000, "{press} changed {changed} pixels");
            keep(&after, &format!("open-{name}-{}.png", word(look)));
        }
    }
}
