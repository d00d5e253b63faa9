//! The kit and the pages, driven headless by label and role, in both themes; and a check that nothing is cut off.

use egui::{Key, Role, Theme, Vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _, by};
use pourcast::ui::command::{Command, Field};
use pourcast::ui::map::MAP_NAME;
use pourcast::ui::view::{AnswerView, TodayView};

use super::clipping::{Scrolled, assert_nothing_clipped};
use super::desk::{Desk, desk};
use super::views;

const WIDE: Vec2 = Vec2::new(1280.0, 800.0);
const FULL_HD: Vec2 = Vec2::new(1920.0, 1080.0);
const HALF: Vec2 = Vec2::new(640.0, 400.0);

fn today() -> Harness<'static, Desk> {
    let mut harness = desk(views::window(views::today()), WIDE, 1.0, Theme::Light);
    harness.run_ok();
    harness
}

/// Puts text into a field as a person does: click, replace all, leave with Enter.
fn type_into(harness: &mut Harness<'_, Desk>, name: &str, text: &str) {
    harness.get_by_role_and_label(Role::TextInput, name).click();
    harness.run_ok();
    harness.key_press_modifiers(egui::Modifiers::COMMAND, Key::A);
    harness.run_ok();
    harness.get_by_role_and_label(Role::TextInput, name).type_text(text);
    harness.run_ok();
    harness.key_press(Key::Enter);
    harness.run_ok();
}

fn asked(harness: &Harness<'_, Desk>) -> Vec<Command> {
    harness.state().asked.clone()
}

#[test]
fn nothing_is_clipped_on_any_page_size_and_theme() {
    let with = |answer: AnswerView| views::window(TodayView { answer, ..views::today() });
    let windows = [
        views::window(views::today()),
        views::window(views::empty_today()),
        with(views::wait_answer()),
        with(views::leave_answer()),
        with(views::fact_answer()),
        views::start_window(),
    ];
    for look in [Theme::Light, Theme::Dark] {
        for window in &windows {
            for (size, scale, scrolled) in
                [(WIDE, 1.0, Scrolled::Nothing), (FULL_HD, 1.0, Scrolled::Nothing), (HALF, 2.0, Scrolled::Vertically)]
            {
                let mut harness = desk(window.clone(), size, scale, look);
                harness.run_ok();
                assert_nothing_clipped(&harness, scrolled);
            }
        }
    }
}

#[test]
#[should_panic(expected = "cut at the side")]
fn the_clipping_check_finds_a_cut_text() {
    let mut harness = Harness::builder().with_size(Vec2::new(200.0, 80.0)).build_ui(|ui| {
        ui.add(egui::Label::new("much longer than two hundred points of room for it").extend());
    });
    harness.run();
    assert_nothing_clipped(&harness, Scrolled::Nothing);
}

#[test]
fn the_answer_stays_in_sight_when_the_window_is_small() {
    let mut harness = desk(views::window(views::today()), HALF, 2.0, Theme::Dark);
    harness.run_ok();
    let sentence = harness.get_by_label("Pour 5.0 mL of pH-lowering liquid").rect();
    let button = harness.get_by_role_and_label(Role::Button, "Poured it").rect();
    let window = harness.ctx.content_rect();
    assert!(window.contains_rect(sentence) && window.contains_rect(button), "{sentence:?} {button:?}");
}

#[test]
fn a_reading_is_typed_with_a_comma_and_recorded() {
    let mut harness = today();
    type_into(&mut harness, "pH", "6,4");
    assert!(asked(&harness).contains(&Command::SetNumber(Field::ReadingPh, Some(6.4))), "{:?}", asked(&harness));
    assert!(asked(&harness).contains(&Command::RecordReading));
}

#[test]
fn half_typed_numbers_move_nothing() {
    let mut harness = today();
    harness.get_by_role_and_label(Role::TextInput, "EC, mS/cm").click();
    harness.run_ok();
    harness.get_by_role_and_label(Role::TextInput, "EC, mS/cm").type_text("1");
    harness.run_ok();
    assert_eq!(asked(&harness), []);
    assert!(harness.state().view.drafts.text(Field::ReadingEc).is_some());
}

#[test]
fn seventy_for_seven_is_kept_named_and_offered() {
    let mut harness = today();
    let before = harness.get_by_label("Growing").rect();
    type_into(&mut harness, "pH", "70");
    assert!(asked(&harness).iter().all(|c| !matches!(c, Command::SetNumber(..))), "{:?}", asked(&harness));
    assert_eq!(harness.state().view.drafts.text(Field::ReadingPh), Some("70"));
    let message = harness.get_by_label_contains("pH of 70 is outside 0 to 14");
    assert!(message.rect().is_positive());
    assert_eq!(harness.get_by_label("Growing").rect(), before, "the page must not jump");
    assert_nothing_clipped(&harness, Scrolled::Nothing);
    harness.get_by_role_and_label(Role::Link, "Use 7.0").click();
    harness.run_ok();
    assert!(asked(&harness).contains(&Command::SetNumber(Field::ReadingPh, Some(7.0))));
    assert!(harness.state().view.drafts.trouble(Field::ReadingPh).is_none());
}

#[test]
fn an_assistive_tool_can_set_a_number() {
    let mut harness = today();
    harness.get_by_role_and_label(Role::TextInput, "Water in it, L").set_text_value_accesskit("30");
    harness.run_ok();
    assert!(asked(&harness).contains(&Command::SetNumber(Field::Level, Some(30.0))), "{:?}", asked(&harness));
}

#[test]
fn crop_and_stage_are_chosen() {
    let mut harness = today();
    harness.get_by_role_and_label(Role::RadioButton, "Heading").click();
    harness.run_ok();
    harness.get_by_role_and_label(Role::ComboBox, "Crop").click();
    harness.run_ok();
    harness.get_by_label("Basil").click();
    harness.run_ok();
    let asked = asked(&harness);
    assert!(asked.contains(&Command::ChooseStage("heading".to_owned())), "{asked:?}");
    assert!(asked.contains(&Command::ChooseCrop("basil".to_owned())), "{asked:?}");
}

#[test]
fn the_slider_moves_by_marks_with_pointer_keys_and_assistive_tools() {
    let mut harness = today();
    let name = "Slide pH-lowering liquid, phosphoric";
    let slider = harness.get_by_role_and_label(Role::Slider, name);
    assert_eq!(slider.accesskit_node().numeric_value(), Some(5.0));
    slider.focus();
    harness.run_ok();
    harness.key_press(Key::ArrowRight);
    harness.run_ok();
    harness.get_by_role_and_label(Role::Slider, name).set_value_accesskit(7.3);
    harness.run_ok();
    let amounts: Vec<f64> = asked(&harness)
        .iter()
        .filter_map(|c| match c {
            Command::SetPour { key: 2, amount } => Some(*amount),
            _ => None,
        })
        .collect();
    assert_eq!(amounts, [5.5, 7.5], "one mark up, then the mark nearest to 7.3");
}

#[test]
fn the_buttons_of_the_strip_ask_for_what_they_say() {
    let mut harness = today();
    harness.get_by_role_and_label(Role::Button, "Poured it").click();
    harness.run_ok();
    harness.get_by_role_and_label(Role::Button, "Tub card").click();
    harness.run_ok();
    assert_eq!(asked(&harness), [Command::PouredIt, Command::ToggleTubCard]);
}

#[test]
fn the_tool_the_map_and_the_cautions_are_said() {
    let harness = today();
    harness.get_by_role_and_label(Role::Image, "10 mL syringe, filled to 5.0 mL");
    let map = harness.get_by_role_and_label(Role::GraphicsDocument, MAP_NAME);
    let description = map.accesskit_node().data().description().unwrap_or_default().to_owned();
    assert!(description.contains("Now the water is at pH 6.9, EC 1.5 mS/cm"), "{description}");
    assert!(description.contains("above the zone in pH by 0.4"), "{description}");
    harness.get_by_label_contains("Caution: Label and safety data sheet first");
    harness.get_by_role_and_label(Role::Meter, "Alkalinity left in the tank, 0.5–1.2 meq/L");
}

#[test]
fn the_map_opens_in_words() {
    let mut harness = today();
    assert!(harness.query_by_label_contains("The pours land at").is_none());
    harness.get_by_label("In words").click();
    harness.run_ok();
    harness.get_by_label_contains("The pours land at pH 6.2, EC 1.49 mS/cm, inside the zone");
    assert_nothing_clipped(&harness, Scrolled::Nothing);
}

#[test]
fn the_first_page_hands_over_its_answers() {
    let mut harness = desk(views::start_window(), WIDE, 1.0, Theme::Light);
    harness.run_ok();
    harness.get_by_role_and_label(Role::RadioButton, "Still jar").click();
    harness.run_ok();
    type_into(&mut harness, "Size of the reservoir, L", "3,5");
    harness.get_by_role_and_label(Role::Button, "Show me the map").click();
    harness.run_ok();
    let Some(Command::Begin(answers)) = asked(&harness).pop() else { panic!("{:?}", asked(&harness)) };
    assert_eq!((answers.kind_id.as_str(), answers.size), ("jar", Some(3.5)));
}

#[test]
fn the_example_is_one_press_away_and_marked() {
    let mut harness = desk(views::start_window(), WIDE, 1.0, Theme::Light);
    harness.run_ok();
    harness.get_by_role_and_label(Role::Button, "Look around in the example").click();
    harness.run_ok();
    assert_eq!(asked(&harness), [Command::OpenExample]);
    let mut harness = desk(views::window(views::empty_today()), WIDE, 1.0, Theme::Dark);
    harness.run_ok();
    harness.get_by_label_contains("invented example");
    harness.get_by_role_and_label(Role::Link, "Start my own").click();
    harness.run_ok();
    assert_eq!(asked(&harness), [Command::StartOwn]);
}

#[test]
fn the_theme_is_chosen_in_the_menu() {
    let mut harness = today();
    harness.get_by_role_and_label(Role::Button, "Menu").click();
    harness.run_ok();
    harness.get_by_label("Dark").click();
    harness.run_ok();
    assert!(asked(&harness).contains(&Command::SetTheme(egui::ThemePreference::Dark)));
}

#[test]
fn after_a_pour_the_strip_counts_down_and_takes_the_reading() {
    let window = views::window(TodayView { answer: views::wait_answer(), ..views::today() });
    let mut harness = desk(window, WIDE, 1.0, Theme::Light);
    harness.run_ok();
    harness.get_by_role_and_label(Role::Timer, "24 min left before the next reading");
    let fields: Vec<_> = harness.get_all_by_role_and_label(Role::TextInput, "pH").map(|n| n.rect()).collect();
    assert_eq!(fields.len(), 2, "one in the facts, one in the strip");
}

#[test]
fn every_control_can_be_reached_by_keyboard_and_shows_it() {
    let mut harness = today();
    let mut reached = std::collections::BTreeSet::new();
    for _ in 0..40 {
        harness.key_press(Key::Tab);
        harness.run_ok();
        if let Some(node) = harness.query_all(by().predicate(|n| n.is_focused() && n.label().is_some())).next() {
            reached.insert(node.accesskit_node().label().unwrap_or_default());
        }
    }
    for name in ["pH", "EC, mS/cm", "Crop", "Leaf", "Water in it, L", "Poured it", "Tub card", "Menu", "In words"] {
        assert!(reached.contains(name), "{name} is not in {reached:?}");
    }
}
