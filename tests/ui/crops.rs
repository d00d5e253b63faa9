//! Several crops on one unit, from the window to the file and back; and what the map makes of them.

use egui::{Role, Theme, Vec2};
use egui_kittest::kittest::Queryable as _;
use pourcast::garden::{Catalog, Growing, Unit};
use pourcast::store::{Settings, read_unit};
use pourcast::ui::clock::StandingClock;
use pourcast::ui::present::{HandShown, Shown, answers_of, change_facts, today_view};
use pourcast::ui::sketch::Sketch;
use pourcast::ui::state::Answers;
use pourcast::ui::view::{TodayView, ZoneView};

use super::clipping::{Scrolled, assert_nothing_clipped};
use super::flows::{MORNING_S, Trial, light};

fn grown(crop_id: &str, stage_id: &str) -> Growing {
    Growing { crop_id: crop_id.to_owned(), stage_id: stage_id.to_owned() }
}

fn plan_ec(trial: &Trial) -> (f64, f64) {
    trial.harness.state().outlook().expect("a plan").plan.zone_ec_ms_cm
}

/// Chooses an entry of the list that just opened, rolled to where it is seen: the last of that name.
pub(crate) fn pick(trial: &mut Trial, words: &str) {
    trial.harness.get_all_by_label(words).last().expect("an entry").scroll_to_me();
    trial.settle();
    trial.harness.get_all_by_label(words).last().expect("an entry").click();
    trial.settle();
}

#[test]
fn a_second_crop_comes_changes_and_goes() {
    let mut trial = light();
    trial.begin();
    assert_eq!(plan_ec(&trial), (1.2, 1.8));
    let before = trial.unit();

    trial.press(Role::Link, "Add another crop");
    pick(&mut trial, "Tomato");
    assert_eq!(trial.unit().also_growing, [grown("tomato", "fruiting")], "the latest stage that it has");
    assert_eq!(plan_ec(&trial), (1.2, 1.8), "nothing in common: lettuce leads");
    trial.harness.get_by_label_contains("Notice: Lettuce and tomato have no EC in common");

    trial.press(Role::ComboBox, "Stage of crop 2, Tomato");
    pick(&mut trial, "Before flowers");
    assert_eq!(trial.unit().also_growing, [grown("tomato", "vegetative")]);
    assert_eq!(plan_ec(&trial), (1.5, 1.8));
    trial.harness.get_by_label("Zone in common");
    trial.harness.get_by_label("pH 6.0–6.5 · EC 1.5–1.8 mS/cm");
    assert!(trial.harness.query_by_label_contains("no EC in common").is_none());

    trial.press(Role::ComboBox, "Crop 2");
    pick(&mut trial, "Basil");
    assert_eq!(trial.unit().also_growing, [grown("basil", "growing")]);
    trial.press(Role::Link, "Add another crop");
    pick(&mut trial, "Mint");
    assert_eq!(trial.unit().also_growing, [grown("basil", "growing"), grown("mint", "growing")]);
    // The sources of all of them are one press away.
    trial.press(Role::DisclosureTriangle, &sources_line(&trial));
    trial.harness.get_by_label_contains("Lettuce, basil and mint share one water");

    // The file holds them, and another window reads them.
    let path = trial.on_disk().pop().expect("a file");
    assert_eq!(read_unit(&path).expect("readable").unit.also_growing, trial.unit().also_growing);
    trial.press(Role::Link, "Remove Basil");
    trial.press(Role::Link, "Remove Mint");
    assert_eq!(trial.unit(), before, "back to what it was");
    assert_eq!(plan_ec(&trial), (1.2, 1.8));
    assert!(trial.harness.query_by_role_and_label(Role::Link, "Remove Mint").is_none());
}

fn sources_line(trial: &Trial) -> String {
    let unit = trial.unit();
    today(&unit).growing.sources_line.expect("a line")
}

#[test]
fn what_stands_in_the_list_is_not_offered_twice() {
    let mut trial = light();
    trial.begin();
    trial.press(Role::Link, "Add another crop");
    pick(&mut trial, "Lettuce");
    assert_eq!(trial.unit().also_growing, [grown("lettuce", "seedling")]);
    // Two rows of one crop are told apart by their stage.
    trial.harness.get_by_role_and_label(Role::Link, "Remove Lettuce (seedling)");
    let view = today(&trial.unit()).growing;
    let ids = |choices: &[pourcast::ui::view::Choice]| choices.iter().map(|c| c.id.clone()).collect::<Vec<_>>();
    assert_eq!(
        (ids(&view.stages), ids(&view.also[0].stages)),
        (vec!["growing".to_owned()], vec!["seedling".to_owned()])
    );
    assert!(!ids(&view.more).contains(&"lettuce".to_owned()) && ids(&view.crops).contains(&"lettuce".to_owned()));
    for crop in ["Basil", "Mint", "Kale", "Spinach"] {
        trial.press(Role::Link, "Add another crop");
        pick(&mut trial, crop);
    }
    assert_eq!(trial.unit().also_growing.len(), 5);
    assert!(trial.harness.query_by_role_and_label(Role::Link, "Add another crop").is_none(), "six are all that fit");
    assert_eq!(trial.unit().check(&Catalog::shipped().expect("profiles")), []);
    assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
}

#[test]
fn the_facts_page_leaves_the_other_crops_alone() {
    let catalog = Catalog::shipped().expect("profiles");
    let mut unit = catalog.examples[0].unit_at(MORNING_S);
    unit.also_growing = vec![grown("basil", "growing"), grown("tomato", "vegetative")];
    let before = answers_of(&unit, &catalog, &Settings::default());
    let after = Answers { name: "Both sills".to_owned(), crop_id: "kale".to_owned(), ..before.clone() };
    let (changed, _) = change_facts(&unit, (&before, &after), &catalog).expect("taken");
    assert_eq!((changed.crop_id.as_str(), &changed.also_growing), ("kale", &unit.also_growing));
    // A crop that stands in the list already is refused in the check's words, and nothing is lost.
    let after = Answers { crop_id: "basil".to_owned(), ..before.clone() };
    let refused = change_facts(&unit, (&before, &after), &catalog).expect_err("twice");
    assert!(refused.to_string().contains("Basil (growing) stands twice"), "{refused}");
}

fn today(unit: &Unit) -> TodayView {
    let catalog = Catalog::shipped().expect("profiles");
    today_view(&Shown {
        unit,
        is_example: false,
        catalog: &catalog,
        settings: &Settings::default(),
        outlook: None,
        trouble: None,
        clock: &StandingClock(MORNING_S),
        hand: HandShown {
            sketch: &Sketch::default(),
            held: None,
            held_by: None,
            can_undo: false,
            can_redo: false,
            is_left: false,
            touched: None,
        },
        jar: None,
    })
}

#[test]
fn the_map_holds_each_zone_and_the_shared_one() {
    let catalog = Catalog::shipped().expect("profiles");
    let mut unit = catalog.examples[0].unit_at(MORNING_S);
    let band = |zone: &ZoneView| (zone.name.clone(), zone.ph, zone.ec_ms_cm);
    let zone = |name: &str, ph, ec_ms_cm| (name.to_owned(), ph, ec_ms_cm);
    let lettuce = || zone("lettuce, growing", (5.5, 6.5), (1.2, 1.8));

    let one = today(&unit).map;
    assert_eq!(one.zones.iter().map(band).collect::<Vec<_>>(), [lettuce()]);
    assert!(one.shared.is_none());
    assert!(one.zones[0].sources.iter().any(|line| line.contains("Oklahoma")), "sources and conflicts");

    unit.also_growing = vec![grown("tomato", "vegetative")];
    let two = today(&unit).map;
    let tomato = zone("tomato, before flowers", (6.0, 6.5), (1.5, 2.0));
    assert_eq!(two.zones.iter().map(band).collect::<Vec<_>>(), [lettuce(), tomato.clone()]);
    assert_eq!(two.shared.as_ref().map(band), Some(zone("both", (6.0, 6.5), (1.5, 1.8))));
    assert!(two.zones.iter().chain(&two.shared).all(|zone| !zone.sources.is_empty()));
    assert!(two.shared.expect("shared").sources[0].starts_with("Lettuce and tomato share one water"));

    unit.also_growing.push(grown("mint", "growing"));
    assert_eq!(today(&unit).map.shared.map(|zone| zone.name).as_deref(), Some("all three"));

    // No EC in common: the plan's zone is lettuce's EC with the pH of both, and it says why.
    unit.also_growing = vec![grown("tomato", "fruiting")];
    let apart = today(&unit).map;
    assert_eq!(apart.shared.as_ref().map(band), Some(zone("the plan’s zone", (6.0, 6.5), (1.2, 1.8))));
    assert!(apart.shared.expect("aim").sources[0].starts_with("Lettuce and tomato have no EC in common"));
    // Where that is no other than the first crop's own, it is not drawn twice.
    (unit.crop_id, unit.stage_id) = ("tomato".to_owned(), "fruiting".to_owned());
    unit.also_growing = vec![grown("lettuce", "growing")];
    let first = today(&unit).map;
    assert_eq!(first.zone().map(band), Some(zone("tomato, flowers and fruit", (6.0, 6.5), (2.0, 3.0))));
    assert_eq!((first.shared.is_none(), first.zones.len()), (true, 2));
}

/// For people to look at: `target/pictures/crops-*.png`.
#[test]
fn several_crops_fit_at_every_size_in_both_themes() {
    for look in [Theme::Light, Theme::Dark] {
        for (size, scale) in [((1280.0, 800.0), 1.0), ((1920.0, 1080.0), 1.0), ((640.0, 400.0), 2.0)] {
            let mut trial = Trial::new(look, Vec2::from(size), scale);
            trial.begin();
            for (crop, name) in [("Tomato", "crops-apart"), ("Basil", "crops-three")] {
                trial.press(Role::Link, "Add another crop");
                pick(&mut trial, crop);
                trial.harness.get_by_role_and_label(Role::Link, &format!("Remove {crop}")).scroll_to_me();
                trial.settle();
                assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
                super::pictures::keep_of(&mut trial, &format!("{name}-{look:?}-{}", size.0));
            }
            trial.press(Role::Link, "Remove Tomato");
            assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
            super::pictures::keep_of(&mut trial, &format!("crops-shared-{look:?}-{}", size.0));
            let line = sources_line(&trial);
            trial.press(Role::DisclosureTriangle, &line);
            assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
            super::pictures::keep_of(&mut trial, &format!("crops-sources-{look:?}-{}", size.0));
        }
    }
}
