//! The page of crops: found by any name, read, taken into the unit; and crops of one's own, from the fields to the file.

use egui::{Key, Role, Theme, Vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _, by};
use pourcast::garden::{Band, Catalog, Evidence, Growing, Quantity};
use pourcast::store::read_unit;
use pourcast::ui::command::{Command, Quantity as Measure};
use rstest::rstest;

use super::clipping::{Scrolled, assert_nothing_clipped};
use super::flows::{Trial, window};

/// A unit that grows lettuce, on the page of crops.
fn opened(mut trial: Trial) -> Trial {
    trial.begin();
    trial.press(Role::Tab, "Crops");
    trial
}

fn look_at(trial: &mut Trial, typed: &str, name: &str) {
    trial.type_into("Find a crop", typed);
    trial.press(Role::ListBoxOption, name);
}

fn items(trial: &Trial) -> Vec<String> {
    let rows = trial.harness.get_all_by_role(Role::ListItem);
    rows.filter_map(|row| row.accesskit_node().label()).collect()
}

fn has(trial: &Trial, words: &str) -> bool {
    trial.harness.query_all_by_label_contains(words).next().is_some()
}

#[rstest]
fn what_grows_is_shown_with_its_zone_and_every_source(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let trial = opened(window(look));
    trial.harness.get_by_label("Grows here: growing");
    // Cornell 2020 leads in pH, Oklahoma in EC; the zone is that of the map (see the profiles for the sources).
    trial.harness.get_by_role_and_label(Role::Label, "pH 5.5–6.5");
    trial.harness.get_by_role_and_label(Role::Label, "EC 1.2–1.8 mS/cm");
    trial.harness.get_by_label("Your source water counts");
    let catalog = Catalog::shipped().expect("profiles");
    let lettuce = catalog.crop("lettuce").expect("lettuce");
    let zone = lettuce.zone("growing");
    for why in &zone.why {
        trial.harness.get_by_label(why);
    }
    let rows = items(&trial);
    assert_eq!(rows.len(), lettuce.claims_for("growing").len(), "one row a claim");
    let of = |who: &str| rows.iter().find(|row| row.contains(who)).unwrap_or_else(|| panic!("{who}: {rows:?}"));
    let oklahoma = of("Oklahoma");
    assert!(oklahoma.contains("pH 6.0–7.0, against the zone") && oklahoma.contains("EC 1.2–1.8 mS/cm"), "{oklahoma}");
    assert!(oklahoma.contains("Extension bulletin"), "{oklahoma}");
    assert!(of("ZHAW").contains("Shown only"), "{}", of("ZHAW"));
    for conflict in zone.conflicts.iter().filter(|conflict| conflict.quantity == Quantity::Ph) {
        assert!(rows.iter().any(|row| row.contains(&conflict.words)), "{}", conflict.words);
    }
    // Maas 1990, lettuce: 1.3 mS/cm, 13 % for each mS/cm more.
    trial.harness.get_by_label("In soil its yield falls from 1.3 mS/cm on, by 13 % for each 1.0 mS/cm more");
    trial.harness.get_by_label_contains("Tipburn");
}

#[rstest]
fn crops_are_found_by_any_name_and_a_stage_shows_its_own_zone(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = opened(window(look));
    look_at(&mut trial, "courgette", "Zucchini (courgette)");
    trial.harness.get_by_label_contains("Cucurbita");
    trial.press(Role::RadioButton, "Seedling");
    let zone = Catalog::shipped().expect("profiles").crop("zucchini").expect("shipped").zone("seedling");
    let figures = |(low, high): (f64, f64)| format!("{low:.1}–{high:.1}");
    trial.harness.get_by_label(&format!("EC {} mS/cm", figures(zone.ec_ms_cm)));
    trial.type_into("Find a crop", "no such plant");
    trial.harness.get_by_role_and_label(Role::Heading, "Nothing goes by “no such plant”");
    assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
}

#[rstest]
fn the_figures_are_in_the_scale_that_the_person_reads(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = opened(window(look));
    let scale = pourcast::units::EcScale::ALL.iter().position(|s| *s == pourcast::units::EcScale::Ppm500);
    let id = scale.expect("a scale").to_string();
    trial.harness.state_mut().ask_for(Command::ChooseUnit(Measure::Ec, id));
    trial.settle();
    trial.harness.get_by_role_and_label(Role::Label, "EC 600–900 ppm (500)");
    assert!(items(&trial).iter().any(|row| row.contains("EC 600–900 ppm (500)")));
    // How the zone came about, too.
    assert!(has(&trial, "EC 600 to 900 ppm (500):") && !has(&trial, "EC 1.2 to 1.8"), "sentences on the chosen scale");
}

#[rstest]
fn a_crop_is_grown_here_and_another_beside_it(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = opened(window(look));
    look_at(&mut trial, "tomato", "Tomato");
    trial.press(Role::RadioButton, "Before flowers");
    trial.press(Role::Button, "Grow it here");
    let grown = |id: &str, stage: &str| Growing { crop_id: id.to_owned(), stage_id: stage.to_owned() };
    assert_eq!(trial.unit().growing(), [grown("tomato", "vegetative")]);
    trial.harness.get_by_label("Grows here: before flowers");
    assert!(trial.harness.query_by_role_and_label(Role::Button, "Grow it here").is_none());

    look_at(&mut trial, "basil", "Basil");
    trial.press(Role::Button, "Add beside what grows");
    assert_eq!(trial.unit().growing(), [grown("tomato", "vegetative"), grown("basil", "growing")]);
    look_at(&mut trial, "tomato", "Tomato");
    trial.press(Role::RadioButton, "Flowers and fruit");
    trial.press(Role::Button, "It is at this stage now");
    assert_eq!(trial.unit().growing(), [grown("tomato", "fruiting"), grown("basil", "growing")]);
    // What grows stands on top of the list.
    trial.harness.get_by_role_and_label(Role::TextInput, "Find a crop").click();
    trial.settle();
    trial.harness.key_press_modifiers(egui::Modifiers::COMMAND, Key::A);
    trial.harness.key_press(Key::Backspace);
    trial.settle();
    let first = trial.harness.get_all_by_role(Role::ListBoxOption).filter_map(|row| row.accesskit_node().label());
    assert_eq!(first.take(3).collect::<Vec<_>>(), ["Tomato", "Basil", "Lettuce"]);
    let plan = trial.harness.state().outlook().expect("a plan").plan.clone();
    assert_eq!(plan.zone_ec_ms_cm, (2.0, 3.0), "nothing in common with basil: tomato leads");
}

#[rstest]
fn a_shipped_crop_is_changed_beside_itself_and_grown(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = opened(window(look));
    let shipped = Catalog::shipped().expect("profiles").crop("basil").expect("basil").clone();
    look_at(&mut trial, "basil", "Basil");
    trial.press(Role::Button, "Change it for me");
    trial.harness.get_by_label("Basil, changed for you");
    trial.type_into("pH from, growing", "5,2");
    trial.type_into("pH to, growing", "5.6");
    trial.type_into("EC to, growing, mS/cm", "1.4");
    trial.press(Role::Button, "Keep it");
    trial.harness.get_by_label("My basil is kept in this unit’s file");
    let own = trial.unit().own_crops;
    assert_eq!(own.len(), 1);
    assert_eq!((own[0].id.as_str(), own[0].name.as_str(), own[0].group), ("my-basil", "My basil", shipped.group));
    let set = own[0].claims.iter().find(|claim| claim.stage == "growing" && claim.evidence == Evidence::Yours);
    let set = set.expect("what was set");
    assert_eq!((set.ph, set.ec_ms_cm), (Some(Band::Span(5.2, 5.6)), Some(Band::Span(1.0, 1.4))));
    assert_eq!(set.source, "ours: set by you");
    // It is taken as it was set, outside of what is usual, and the sources stand beside it.
    trial.harness.get_by_role_and_label(Role::Label, "pH 5.2–5.6");
    trial.harness.get_by_label("pH 5.2 to 5.6, as you set it.");
    assert!(items(&trial).iter().any(|row| row.contains("Oklahoma") && row.contains("the zone follows what you set")));
    trial.press(Role::Button, "Grow it here");
    assert_eq!(trial.unit().crop_id, "my-basil");
    let outlook = trial.harness.state().outlook().expect("a plan");
    assert_eq!((outlook.planner.zone().ph, outlook.plan.zone_ec_ms_cm), ((5.2, 5.6), (1.0, 1.4)));
    let path = trial.on_disk().pop().expect("a file");
    assert_eq!(read_unit(&path).expect("readable").unit.own_crops, own);

    trial.press(Role::Button, "Remove");
    trial.harness.get_by_label("My basil grows here: choose another crop first, then remove it");
    assert_eq!(trial.unit().own_crops.len(), 1);
    // Changed again: in its own place.
    trial.press(Role::Button, "Change it");
    trial.type_into("Name of the crop", "Sill basil");
    trial.type_into("pH from, growing", "5.4");
    trial.press(Role::Button, "Keep it");
    let own = trial.unit().own_crops;
    assert_eq!((own.len(), own[0].id.as_str(), own[0].name.as_str()), (1, "my-basil", "Sill basil"));
    assert_eq!(own[0].set_bands()[1].ph, Some((5.4, 5.6)));
    look_at(&mut trial, "lettuce", "Lettuce");
    trial.press(Role::Button, "Grow it here");
    look_at(&mut trial, "sill", "Sill basil, yours");
    trial.press(Role::Button, "Remove");
    trial.harness.get_by_label("Sill basil is removed");
    assert!(trial.unit().own_crops.is_empty());
    assert_eq!(trial.harness.state().unit().map(|unit| unit.crop_id.clone()).as_deref(), Some("lettuce"));
}

#[rstest]
fn what_makes_no_sense_is_refused_in_words_and_nothing_is_lost(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = opened(window(look));
    trial.press(Role::Link, "A crop of my own");
    trial.press(Role::Button, "Keep it");
    assert!(has(&trial, "The name is empty"));
    trial.type_into("Name of the crop", "Lettuce");
    trial.press(Role::Button, "Keep it");
    assert!(has(&trial, "There is a crop called Lettuce already"));
    trial.type_into("Name of the crop", "Sill mix");
    trial.type_into("pH from, growing", "6.5");
    trial.press(Role::Button, "Keep it");
    assert!(has(&trial, "has one end only"));
    trial.type_into("pH to, growing", "5.5");
    trial.press(Role::Button, "Keep it");
    assert!(has(&trial, "pH 6.5 to 5.5 is upside down"));
    trial.type_into("pH to, growing", "60");
    assert!(has(&trial, "pH of 60 is outside 3 to 10"), "said beside the field");
    trial.press(Role::Button, "Keep it");
    assert!(trial.unit().own_crops.is_empty(), "a number that is none is not passed over");
    trial.type_into("pH to, growing", "6.6");
    assert!(has(&trial, "narrower than a meter can tell"), "told, and not refused");
    trial.type_into("EC from, growing, mS/cm", "1.0");
    trial.type_into("EC to, growing, mS/cm", "7");
    assert!(has(&trial, "EC of 7 mS/cm is outside 0 to 5 mS/cm"));
    trial.type_into("EC to, growing, mS/cm", "2");
    trial.press(Role::Link, "Add a stage");
    trial.press(Role::Button, "Keep it");
    assert!(has(&trial, "A stage: the name is empty"));
    trial.type_into("Name of stage 2", "Growing");
    trial.press(Role::Button, "Keep it");
    assert!(has(&trial, "The stage “Growing” stands there twice"));
    trial.type_into("Name of stage 2", "in flower");
    trial.type_into("Where these come from", "the library’s own log, spring");
    trial.press(Role::Button, "Keep it");
    let own = trial.unit().own_crops;
    assert_eq!(own.len(), 1, "all that was typed is kept");
    assert_eq!((own[0].name.as_str(), own[0].stages.len(), own[0].claims.len()), ("Sill mix", 2, 1));
    assert_eq!(own[0].claims[0].source, "the library’s own log, spring");
    assert!(has(&trial, "narrower than a pen can tell, so the zone is 6.45 to 6.65"));
    trial.press(Role::RadioButton, "In flower");
    trial.harness.get_by_label("No source says anything of this stage: the zone is what is usual");
    assert!(trial.unit().check(&Catalog::shipped().expect("profiles")).is_empty());
}

#[rstest]
fn the_page_is_walked_by_keys(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = opened(window(look));
    let mut reached = std::collections::BTreeSet::new();
    for _ in 0..90 {
        trial.harness.key_press(Key::Tab);
        trial.harness.run_ok();
        if let Some(node) = trial.harness.query_all(by().predicate(|n| n.is_focused() && n.label().is_some())).next() {
            reached.insert(node.accesskit_node().label().unwrap_or_default());
        }
    }
    for name in ["Crops", "Find a crop", "A crop of my own", "Lettuce", "Change it for me", "Growing"] {
        assert!(reached.contains(name), "{name} is not in {reached:?}");
    }
    assert!(!reached.contains("Banana"), "the list is one stop");
}

/// What the keyboard is in.
fn focused(trial: &Trial) -> String {
    let mut nodes = trial.harness.query_all(by().predicate(|n| n.is_focused() && n.label().is_some()));
    nodes.next().and_then(|node| node.accesskit_node().label()).unwrap_or_default()
}

fn key(trial: &mut Trial, key: Key) -> String {
    trial.harness.key_press(key);
    trial.settle();
    focused(trial)
}

#[rstest]
fn the_list_of_crops_is_one_stop_and_arrows_move_in_it(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = opened(window(look));
    let names: Vec<String> =
        (trial.harness.get_all_by_role(Role::ListBoxOption)).filter_map(|row| row.accesskit_node().label()).collect();
    let last = names.len() - 1;
    trial.harness.get_by_role_and_label(Role::Link, "A crop of my own").focus();
    trial.settle();
    assert_eq!(key(&mut trial, Key::Tab), "Lettuce", "at what is looked at");
    assert_eq!(key(&mut trial, Key::ArrowUp), "Lettuce", "an arrow does not lead out of it");
    assert_eq!(key(&mut trial, Key::ArrowDown), names[1]);
    assert_eq!(key(&mut trial, Key::End), names[last]);
    let row = trial.harness.get_by_role_and_label(Role::ListBoxOption, &names[last]).rect();
    assert!(trial.harness.ctx.content_rect().contains_rect(row), "it comes into sight: {row:?}");
    assert_eq!(key(&mut trial, Key::ArrowDown), names[last]);
    assert_eq!(key(&mut trial, Key::PageUp), names[last - 8]);
    assert_eq!(key(&mut trial, Key::Home), names[0]);
    // Held down, one press a frame.
    for name in names.iter().take(6).skip(1) {
        trial.harness.key_press(Key::ArrowDown);
        trial.harness.step();
        assert_eq!(&focused(&trial), name);
    }
    trial.settle();
    assert_eq!(focused(&trial), names[5]);
    let shown = |trial: &Trial, name: &str| {
        let toggled = trial.harness.get_by_role_and_label(Role::ListBoxOption, name).accesskit_node().toggled();
        toggled == Some(egui::accesskit::Toggled::True)
    };
    assert!(shown(&trial, "Lettuce") && !shown(&trial, &names[5]), "moving picks nothing");
    assert_eq!(key(&mut trial, Key::Enter), names[5]);
    assert!(shown(&trial, &names[5]));
    key(&mut trial, Key::ArrowDown);
    assert_eq!(key(&mut trial, Key::Space), names[6]);
    assert!(shown(&trial, &names[6]));
    // Out of it by Tab, and back to what is looked at.
    let after = key(&mut trial, Key::Tab);
    assert!(!names.contains(&after), "{after} is of the list");
    trial.harness.key_press_modifiers(egui::Modifiers::SHIFT, Key::Tab);
    trial.settle();
    assert_eq!(focused(&trial), names[6]);
    // What is found is a list, too, and begins with its first.
    trial.type_into("Find a crop", "basil");
    trial.harness.get_by_role_and_label(Role::Link, "A crop of my own").focus();
    trial.settle();
    let first = trial.harness.get_all_by_role(Role::ListBoxOption).next().and_then(|row| row.accesskit_node().label());
    assert_eq!(Some(key(&mut trial, Key::Tab)), first);
}

#[rstest]
fn a_crop_of_ones_own_is_kept_for_other_units_and_comes_along_with_them(
    #[values(Theme::Light, Theme::Dark)] look: Theme,
) {
    let mut trial = opened(window(look));
    look_at(&mut trial, "basil", "Basil");
    trial.press(Role::Button, "Change it for me");
    trial.press(Role::Button, "Keep it");
    trial.press(Role::Button, "Keep for my other units, too");
    trial.harness.get_by_label_contains("“My basil” is in your library");
    trial.press(Role::Button, "Put this away");
    assert!(trial.harness.query_by_role_and_label(Role::Button, "Keep for my other units, too").is_none());
    let kept = trial.unit().own_crops;
    trial.press(Role::Button, "Remove");
    trial.harness.get_by_label("My basil is removed from this unit; your library keeps it");

    // Another unit finds it, and takes it into its own file when it grows there.
    trial.harness.state_mut().ask_for(Command::StartOwn);
    trial.settle();
    let mut trial = opened(trial);
    assert!(trial.unit().own_crops.is_empty());
    look_at(&mut trial, "my basil", "My basil, yours");
    assert!(trial.harness.query_by_role_and_label(Role::Button, "Remove").is_none(), "it is not in this unit");
    trial.press(Role::Button, "Grow it here");
    assert_eq!((trial.unit().crop_id.as_str(), &trial.unit().own_crops), ("my-basil", &kept));
    assert!(trial.unit().check(&Catalog::shipped().expect("profiles")).is_empty());
}

/// For people to look at: `target/pictures/crops-page-*.png`.
#[test]
fn it_fits_at_every_size_in_both_themes() {
    for look in [Theme::Light, Theme::Dark] {
        for (size, scale) in
            [((1280.0, 800.0), 1.0), ((1920.0, 1080.0), 1.0), ((700.0, 900.0), 1.0), ((640.0, 400.0), 2.0)]
        {
            let mut trial = opened(Trial::new(look, Vec2::from(size), scale));
            let keep = |trial: &mut Trial, name: &str| {
                assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
                super::pictures::keep_of(trial, &format!("crops-page-{name}-{look:?}-{}", size.0));
            };
            keep(&mut trial, "grown");
            for (id, name) in [("strawberry", "strawberry"), ("basil", "basil")] {
                let ask = pourcast::ui::command::CropAsk::Look(id.to_owned());
                trial.harness.state_mut().ask_for(Command::Crop(Box::new(ask)));
                trial.settle();
                keep(&mut trial, name);
            }
            trial.press(Role::Button, "Change it for me");
            keep(&mut trial, "form");
            trial.type_into("pH to, seedling", "12");
            trial.type_into("pH to, growing", "5.6");
            trial.press(Role::Link, "Add a stage");
            trial.press(Role::Button, "Keep it");
            keep(&mut trial, "refused");
        }
    }
}
