//! Five states of the map over the shipped example, in both themes: the pictures of `assets/map`, which `.ci/pictures`
//! renews. Each run asserts what the state is about, and paints it.

use egui::{Theme, Vec2};
use pourcast::garden::{Catalog, SourceWater, Unit, WaterKind};
use pourcast::plan::FIRST_KEY;
use pourcast::store::UnitFile;
use pourcast::ui::command::{Command, Handle};

use super::flows::{MORNING_S, Trial};
use super::hand::{ask, outlook};
use super::pictures::{keep_of, word};

const LOOKS: [Theme; 2] = [Theme::Light, Theme::Dark];

fn open(look: Theme, change: impl FnOnce(&mut Unit)) -> Trial {
    let mut unit = Catalog::shipped().expect("the shipped profiles").examples[0].unit_at(MORNING_S);
    change(&mut unit);
    let home = tempfile::tempdir().expect("a folder");
    let path = home.path().join("unit.ron");
    UnitFile::create(&path, &unit).expect("a unit on disk");
    Trial::open(home, Some(path), look, Vec2::new(1280.0, 800.0), 1.0)
}

/// Takes hold of a handle and moves it, and keeps it in the hand.
fn hold(trial: &mut Trial, handle: Handle, by: Vec2) {
    let at = trial.harness.state().view().map.handle_at(handle).expect("a handle");
    trial.harness.hover_at(at);
    trial.harness.run_steps(2);
    trial.harness.drag_at(at);
    trial.harness.step();
    for step in 1..=6_u8 {
        trial.harness.hover_at(at + by * (f32::from(step) / 6.0));
        trial.harness.run_steps(2);
    }
}

#[test]
fn one_the_plan() {
    for look in LOOKS {
        let mut trial = open(look, |_| {});
        assert!(outlook(&trial).what_if().is_none());
        keep_of(&mut trial, &format!("state-1-plan-{}", word(look)));
    }
}

#[test]
fn two_a_pour_in_the_hand_past_what_is_safe() {
    for look in LOOKS {
        let mut trial = open(look, |_| {});
        hold(&mut trial, Handle::Pour(FIRST_KEY), Vec2::new(-90.0, 4.0));
        assert!(outlook(&trial).below > 0.2, "{}", outlook(&trial).below);
        keep_of(&mut trial, &format!("state-2-pour-{}", word(look)));
    }
}

#[test]
fn three_the_landing_in_the_hand_as_far_as_it_goes() {
    for look in LOOKS {
        let mut trial = open(look, |_| {});
        ask(&mut trial, Command::AddPour("two-part-a".to_owned()));
        trial.settle();
        hold(&mut trial, Handle::Landing, Vec2::new(-10.0, 70.0));
        assert!(trial.harness.state().held_by().is_some_and(|words| words.contains("thinner water")));
        keep_of(&mut trial, &format!("state-3-landing-{}", word(look)));
    }
}

#[test]
fn four_two_crops_and_two_ideas() {
    for look in LOOKS {
        let mut trial = open(look, |unit| {
            let catalog = Catalog::shipped().expect("the shipped profiles");
            assert!(unit.add_crop(catalog.crop("basil").expect("basil")));
        });
        ask(&mut trial, Command::AnotherIdea);
        ask(&mut trial, Command::AddPour("two-part-a".to_owned()));
        let feed = outlook(&trial).list().pours[0].key;
        ask(&mut trial, Command::SetPour { key: feed, amount: 40.0 });
        trial.settle();
        let landing = &outlook(&trial).landing;
        assert!(landing.just_mixed.ec_ms_cm > landing.start.ec_ms_cm + 0.2, "{landing:?}");
        keep_of(&mut trial, &format!("state-4-ideas-{}", word(look)));
    }
}

#[test]
fn five_hard_water_a_day_later_and_where_not_to_go() {
    for look in LOOKS {
        let mut trial = open(look, |unit| {
            unit.source_water =
                SourceWater { ec_ms_cm: Some(0.75), ph: Some(7.5), ..SourceWater::of_kind(WaterKind::HardTap) };
        });
        ask(&mut trial, Command::LookAhead(5));
        trial.settle();
        let outlook = outlook(&trial);
        assert!(outlook.limits.iter().any(|limit| limit.words.contains("cloudy")));
        keep_of(&mut trial, &format!("state-5-later-{}", word(look)));
    }
}
