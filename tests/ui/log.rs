//! The page of the log, the sheet that is written on, and what comes of two readings that do not agree.

use std::time::Instant;

use egui::{Role, Theme, Vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use pourcast::garden::{Catalog, LogEntry, PourRecord, Promise, Reading, Unit};
use pourcast::plan::Action;
use pourcast::store::{UnitFile, read_unit};

use super::clipping::{Scrolled, assert_nothing_clipped, assert_sheet_unclipped};
use super::flows::{MORNING_S, Trial, light};
use super::pictures::{keep, word};

const ACID: &str = "pH-lowering liquid, phosphoric";

fn example() -> Unit {
    Catalog::shipped().expect("the shipped profiles").examples[0].unit_at(MORNING_S)
}

/// A window over one unit on disk.
fn over(unit: &Unit, look: Theme, size: Vec2, scale: f32) -> Trial {
    let home = tempfile::tempdir().expect("a folder");
    let folder = home.path().join("units");
    std::fs::create_dir_all(&folder).expect("a folder for units");
    let path = folder.join("unit.ron");
    UnitFile::create(&path, unit).expect("a unit on disk");
    Trial::open(home, Some(path), look, size, scale)
}

fn promise(amount: f64, advised: Option<f64>, ph_range: (f64, f64), ec_range_ms_cm: (f64, f64)) -> Promise {
    let model_version = "pourcast 0.1.0, dose model 1".to_owned();
    Promise { amount, advised, ph_range, ec_range_ms_cm, model_version }
}

/// A log with all that can stand in one.
fn full_log(unit: &mut Unit) {
    let day = 86_400;
    let at = |days: i64, minutes: i64| MORNING_S - days * day + 60 * minutes;
    let pour = |at_s, id: &str, amount, promise| {
        LogEntry::Pour(PourRecord { at_s, product_id: id.to_owned(), amount, promise })
    };
    let reading = |at_s, ph, ec: f64, level_l| {
        let (ph, ec_ms_cm) = (Some(ph), Some(ec));
        LogEntry::Reading(Reading { at_s, ph, ec_ms_cm, temperature_c: Some(21.0), level_l: Some(level_l) })
    };
    unit.log.clear();
    for entry in [
        LogEntry::Refill { at_s: at(6, 0), water_l: 28.0 },
        pour(at(6, 5), "two-part-b", 90.0, Some(promise(90.0, Some(90.0), (6.3, 7.1), (1.2, 1.6)))),
        reading(at(6, 40), 6.9, 1.43, 28.0),
        pour(at(6, 45), "phosphoric-down", 5.0, Some(promise(5.0, Some(3.6), (5.7, 6.4), (1.36, 1.52)))),
        reading(at(6, 80), 6.6, 1.44, 28.0),
        LogEntry::Note {
            at_s: at(6, 90),
            text: "roots white, two leaves pale at the tip; moved it away from the radiator".to_owned(),
        },
        LogEntry::Drain { at_s: at(2, 0), solution_l: 4.0 },
        LogEntry::TopUp {
            at_s: at(2, 0),
            water_l: 4.0,
            promise: Some(promise(4.0, Some(4.0), (6.3, 7.0), (1.1, 1.3))),
        },
        reading(at(2, 35), 6.1, 1.36, 26.0),
        LogEntry::Drain { at_s: at(1, 1), solution_l: 0.5 },
        LogEntry::top_up(at(1, 2), 2.0),
        reading(at(0, -60), 6.9, 1.5, 28.0),
    ] {
        unit.record(entry);
    }
}

fn has(trial: &Trial, words: &str) -> bool {
    trial.harness.query_all_by_label_contains(words).count() > 0
}

/// Chooses a product in the first line of the sheet.
fn choose(trial: &mut Trial, name: &str) {
    trial.press(Role::ComboBox, "Product poured, line 1");
    // The list lies over all else, and so comes last.
    trial.harness.query_all_by_label(name).last().expect("the product").click();
    trial.settle();
}

fn open_log(trial: &mut Trial) {
    trial.press(Role::Tab, "Log");
}

#[test]
fn what_was_told_stands_beside_what_was_read() {
    let mut unit = example();
    full_log(&mut unit);
    let mut trial = over(&unit, Theme::Light, Vec2::new(1280.0, 1400.0), 1.0);
    open_log(&mut trial);
    for words in [
        "Today, Mon 2 Mar 2026",
        "Yesterday, Sun 1 Mar 2026",
        "Tue 24 Feb 2026",
        "pH 6.6 · EC 1.44 mS/cm",
        "21.0 °C · 28 L in it",
        "5.0 mL of pH-lowering liquid, phosphoric",
        "Advised 3.6 mL, 5.0 mL went in",
        "4 L of solution changed for source water",
        "2 L of source water added",
        "0.5 L of solution taken out",
        "Filled afresh with 28 L of source water",
        "Nothing was told of it",
        "roots white, two leaves pale",
    ] {
        assert!(has(&trial, words), "{words:?} does not stand there");
    }
    // By words, and not by colour alone: the first came as told, the second above, the third below.
    for words in [
        "pH 6.3–7.1 · as expected",
        "EC 1.20–1.60 · as expected",
        "pH 5.7–6.4 · above what was told",
        "pH 6.3–7.0 · below what was told",
        "EC 1.10–1.30 · above what was told",
    ] {
        assert!(has(&trial, words), "{words:?} does not stand there");
    }
    assert!(has(&trial, "Told at 09:05, read 35 min later"));
    // The reading after a change that nothing was told of is compared with nothing.
    assert_eq!(trial.harness.query_all_by_label_contains("Told at").count(), 3);
    assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
    // As text it is all there too.
    let text = trial.harness.state().log_text().expect("a log");
    assert!(text.contains("pH 5.7–6.4 was told: above what was told") && text.contains("dose model 1"), "{text}");
}

#[test]
fn an_empty_log_says_what_will_stand_there() {
    let unit = Unit { log: Vec::new(), ..example() };
    let mut trial = over(&unit, Theme::Dark, Vec2::new(1280.0, 800.0), 1.0);
    open_log(&mut trial);
    assert!(has(&trial, "Here will stand what happens in this unit"));
    assert_nothing_clipped(&trial.harness, Scrolled::Nothing);
}

#[test]
fn another_amount_keeps_what_was_advised_and_what_it_should_come_to() {
    let mut trial = light();
    trial.begin();
    let plan = trial.harness.state().outlook().expect("a plan").plan.clone();
    let (id, advised) = plan.pours().first().cloned().expect("a pour");
    assert_eq!(id, "phosphoric-down");
    trial.press(Role::Link, "I poured something else");
    choose(&mut trial, ACID);
    let more = advised + 2.0;
    trial.type_into("Amount poured, line 1, mL", &format!("{more:.1}"));
    trial.press(Role::Button, "Write it down");
    let unit = trial.unit();
    let LogEntry::Pour(pour) = unit.log.last().expect("an entry") else { panic!("{:?}", unit.log.last()) };
    assert_eq!((pour.product_id.as_str(), format!("{:.1}", pour.amount)), (id.as_str(), format!("{more:.1}")));
    let told = pour.promise.clone().expect("what was told is kept");
    assert_eq!((told.amount, told.advised), (pour.amount, Some(advised)));
    let planned = plan.promise.clone().expect("the plan's own");
    // More acid than was advised leaves the water lower than was told of the advised amount.
    assert!(told.ph_range.0 < planned.ph_range.0 && told.ph_range.1 < planned.ph_range.1, "{told:?} {planned:?}");
    // The wait begins, and the log says both amounts.
    trial.harness.get_by_role_and_label(Role::Timer, "15 min left before the next reading");
    open_log(&mut trial);
    assert!(has(&trial, &format!("Advised {advised:.1} mL, {more:.1} mL went in")));
    assert!(has(&trial, "The next reading should show pH"));
    // It is on disk, and reads the same.
    let path = trial.on_disk().first().cloned().expect("a file");
    assert_eq!(read_unit(&path).expect("a readable file").unit, trial.unit());
    // The way back leaves the log as it was.
    trial.press(Role::Link, "Bring it back");
    assert!(trial.unit().log.iter().all(|entry| !matches!(entry, LogEntry::Pour(_))));
}

#[test]
fn several_things_are_written_down_at_once_and_each_is_told_of() {
    let mut trial = light();
    trial.begin();
    trial.turn_clock(30);
    open_log(&mut trial);
    trial.press(Role::Button, "Write something down");
    let level_l = trial.unit().level_l;
    trial.type_into("Source water added, L", "1,5");
    trial.type_into("A note", "sun came out");
    trial.press(Role::RadioButton, "Minutes ago");
    trial.type_into("Minutes ago, min", "20");
    choose(&mut trial, ACID);
    trial.type_into("Amount poured, line 1, mL", "1.2");
    assert_sheet_unclipped(&trial.harness, "What happened?");
    trial.press(Role::Button, "Write it down");
    let unit = trial.unit();
    let new = &unit.log[unit.log.len() - 3..];
    let at_s = MORNING_S + 600;
    assert!(new.iter().all(|entry| entry.at_s() == at_s), "{new:?}");
    assert!(
        matches!(new[0], LogEntry::TopUp { water_l, promise: Some(_), .. } if (water_l - 1.5).abs() < 1e-9),
        "{new:?}"
    );
    assert!(matches!(&new[1], LogEntry::Pour(pour) if pour.promise.is_some()), "{new:?}");
    assert_eq!(new[2], LogEntry::Note { at_s, text: "sun came out".to_owned() });
    assert!((unit.level_l - (level_l + 1.5).min(unit.tank_l)).abs() < 1e-9);
    assert_eq!(unit.check(&Catalog::shipped().expect("the shipped profiles")), []);
}

#[test]
fn a_time_to_come_or_before_the_last_entry_is_refused_in_words() {
    let mut trial = light();
    trial.begin();
    trial.turn_clock(30);
    let before = trial.unit();
    trial.press(Role::Link, "I poured something else");
    trial.type_into("Source water added, L", "1");
    trial.press(Role::RadioButton, "At a time");
    for (time, words) in [
        ("10:15", "10:15 is still to come: it is 09:30 now"),
        ("8:15", "08:15 is before the entry above it in the log, of 09:00"),
        ("noon", "“noon” is no time of day"),
    ] {
        trial.type_into("Time of day", time);
        assert!(has(&trial, words), "{time}: {words}");
        trial.press(Role::Button, "Write it down");
        assert_eq!(trial.unit(), before, "{time}");
    }
    // What is no number keeps the sheet open too, and names the limit.
    trial.type_into("Time of day", "9:20");
    trial.type_into("Source water added, L", "abc");
    trial.press(Role::Button, "Write it down");
    assert_eq!(trial.unit(), before);
    trial.type_into("Source water added, L", "1");
    trial.press(Role::Button, "Write it down");
    assert!(matches!(trial.unit().log.last(), Some(LogEntry::TopUp { at_s, .. }) if *at_s == MORNING_S + 1200));
}

#[test]
fn nothing_filled_in_says_so() {
    let mut trial = light();
    trial.begin();
    let before = trial.unit();
    trial.press(Role::Link, "I poured something else");
    trial.press(Role::Button, "Write it down");
    assert!(has(&trial, "Nothing is filled in yet"));
    trial.press(Role::Button, "Cancel");
    assert!(!has(&trial, "What happened?"));
    assert_eq!(trial.unit(), before);
}

#[test]
fn amounts_that_can_hardly_be_are_looked_at_twice_and_kept() {
    let mut unit = example();
    full_log(&mut unit);
    unit.level_l = unit.tank_l - 0.25;
    let mut trial = over(&unit, Theme::Light, Vec2::new(1280.0, 800.0), 1.0);
    let catalog = Catalog::shipped().expect("the shipped profiles");
    let feed = catalog.product("two-part-a").expect("in the catalog").clone();
    let usual = feed.label_rate.as_ref().expect("a rate on the label").per_l * unit.level_l;
    trial.press(Role::Link, "I poured something else");
    choose(&mut trial, ACID);
    trial.type_into("Amount poured, line 1, mL", "300");
    assert!(has(&trial, "more than the room left in the reservoir, 0.25 L"));
    trial.type_into("Source water added, L", "2");
    assert!(has(&trial, "2 L is more than the room left in the reservoir, 0.25 L"));
    choose(&mut trial, &feed.name);
    trial.type_into("Amount poured, line 1, mL", &format!("{:.0}", 4.0 * usual));
    assert!(has(&trial, "4 times what the label says"));
    trial.press(Role::Button, "Write it down");
    assert!(matches!(trial.unit().log.last(), Some(LogEntry::Pour(_))), "a caution is no refusal");
}

#[test]
fn a_mistyped_reading_is_mended_and_the_plan_with_it() {
    let mut unit = example();
    full_log(&mut unit);
    let mut trial = over(&unit, Theme::Light, Vec2::new(1280.0, 800.0), 1.0);
    let ph_seen = |trial: &Trial| trial.harness.state().outlook().expect("a plan").planner.knowledge().seen.ph;
    assert_eq!(ph_seen(&trial), Some(6.9));
    open_log(&mut trial);
    trial.press(Role::Link, "Mend pH 6.9 · EC 1.5 mS/cm, 08:00");
    assert!(has(&trial, "This changes the record, not the water"));
    trial.type_into("pH", "5.9");
    assert_sheet_unclipped(&trial.harness, "Mend: pH 6.9 · EC 1.5 mS/cm");
    trial.press(Role::Button, "Keep it so");
    let last = *trial.unit().last_reading().expect("a reading");
    assert_eq!((last.ph, last.at_s), (Some(5.9), MORNING_S - 3600));
    assert_eq!(ph_seen(&trial), Some(5.9));
    assert!(has(&trial, "Mended: pH 6.9"));
    trial.press(Role::Link, "Bring it back");
    assert_eq!(trial.unit(), unit);
    assert_eq!(ph_seen(&trial), Some(6.9));
}

#[test]
fn a_mended_pour_is_told_of_anew_without_hindsight() {
    let mut trial = light();
    trial.begin();
    trial.press(Role::Button, "Poured it");
    let LogEntry::Pour(first) = trial.unit().log.last().expect("an entry").clone() else { panic!("no pour") };
    let told = first.promise.clone().expect("told");
    trial.turn_clock(20);
    trial.type_into("pH", "6.2");
    let readings = trial.unit().log.len();
    open_log(&mut trial);
    trial.press(Role::Link, &format!("Mend {:.1} mL of {ACID}, 09:00", first.amount));
    trial.type_into("Amount poured, line 1, mL", &format!("{:.1}", first.amount / 2.0));
    trial.press(Role::Button, "Keep it so");
    let unit = trial.unit();
    assert_eq!(unit.log.len(), readings);
    let LogEntry::Pour(mended) = &unit.log[readings - 2] else { panic!("{:?}", unit.log) };
    let anew = mended.promise.clone().expect("told anew");
    assert_eq!((anew.amount, anew.advised), (mended.amount, Some(first.amount)));
    // Half the acid lowers pH less, by what was known before the reading.
    assert!(anew.ph_range.0 > told.ph_range.0 && anew.ph_range.1 > told.ph_range.1, "{anew:?} {told:?}");
    trial.press(Role::Link, "Bring it back");
    assert_eq!(trial.unit().log[readings - 2], LogEntry::Pour(first));
}

#[test]
fn a_pour_that_never_was_is_taken_out_and_water_with_its_level() {
    let mut unit = example();
    full_log(&mut unit);
    let mut trial = over(&unit, Theme::Light, Vec2::new(1280.0, 1400.0), 1.0);
    open_log(&mut trial);
    trial.press(Role::Link, "Mend 2 L of source water added, 09:02");
    trial.press(Role::Button, "It never happened: remove it");
    let after = trial.unit();
    assert_eq!(after.log.len(), unit.log.len() - 1);
    trial.press(Role::Link, "Mend 4 L of solution changed for source water, 09:00");
    trial.press(Role::Button, "It never happened: remove it");
    assert_eq!(trial.unit().log.len(), unit.log.len() - 3);
    trial.press(Role::Link, "Bring it back");
    assert_eq!(trial.unit(), after, "one step back");
    trial.press(Role::Link, "Bring it back");
    assert_eq!(trial.unit(), unit, "and another");
}

#[test]
fn two_readings_that_do_not_agree_are_told_and_a_third_settles_it() {
    let mut trial = light();
    trial.begin();
    trial.turn_clock(120);
    trial.type_into("pH", "6.2");
    trial.turn_clock(1);
    trial.type_into("pH", "6.8");
    let readings = |unit: &Unit| -> Vec<Option<f64>> {
        let of = |entry: &LogEntry| if let LogEntry::Reading(reading) = entry { Some(reading.ph) } else { None };
        unit.log.iter().filter_map(of).collect()
    };
    assert_eq!(readings(&trial.unit()), [Some(7.2), Some(6.2), Some(6.8)]);
    assert!(has(&trial, "Two readings 1 min apart differ by 0.6 pH: rinse the probe, read once more"));
    let plan = &trial.harness.state().outlook().expect("a plan").plan;
    assert!(matches!(plan.steps[..], [ref step] if step.action == Action::Read { in_min: 0 }), "{:?}", plan.steps);
    assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
    open_log(&mut trial);
    assert!(has(&trial, "Caution: Two readings 1 min apart differ by 0.6 pH"));
    assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
    trial.press(Role::Tab, "Today");

    trial.turn_clock(2);
    trial.type_into("pH", "6.2");
    let plan = &trial.harness.state().outlook().expect("a plan").plan;
    assert!(!matches!(plan.steps[0].action, Action::Read { .. }), "{:?}", plan.steps);
    assert!(has(&trial, "a third agrees with one"));
    trial.press(Role::Link, "Set pH 6.8 aside");
    let unit = trial.unit();
    assert_eq!(readings(&unit), [Some(7.2), Some(6.2), Some(6.2)]);
    assert!(unit.log.iter().any(|entry| matches!(entry, LogEntry::Note { text, .. } if text.contains("pH 6.8"))));
    assert!(!has(&trial, "Two readings"));
    // The way back.
    open_log(&mut trial);
    trial.press(Role::Link, "Bring it back");
    assert_eq!(readings(&trial.unit()), [Some(7.2), Some(6.2), Some(6.8), Some(6.2)]);
}

#[test]
fn the_countdown_goes_on_after_the_window_was_killed() {
    let mut trial = light();
    trial.begin();
    trial.press(Role::Button, "Poured it");
    trial.harness.get_by_role_and_label(Role::Timer, "15 min left before the next reading");
    let told = trial.unit().log.last().and_then(LogEntry::promise).cloned();
    let mut trial = trial.killed_and_opened(6);
    trial.harness.get_by_role_and_label(Role::Timer, "9 min left before the next reading");
    assert_eq!(trial.unit().log.last().and_then(LogEntry::promise).cloned(), told);
    trial.turn_clock(9);
    trial.harness.get_by_label("Read the water now");
}

#[test]
fn a_log_of_years_lays_out_what_is_in_sight_only() {
    let mut unit = example();
    let mut one = unit.clone();
    full_log(&mut one);
    unit.log.clear();
    for round in 0..84 {
        for entry in &one.log {
            unit.log.push(entry.clone().at(entry.at_s() - 7 * 86_400 * (83 - round)));
        }
    }
    assert!(unit.log.len() > 1000);
    let mut trial = over(&unit, Theme::Light, Vec2::new(1280.0, 800.0), 1.0);
    open_log(&mut trial);
    let mends = |trial: &Trial| {
        let links = trial.harness.query_all_by_role(Role::Link);
        links.filter(|link| link.accesskit_node().label().is_some_and(|label| label.starts_with("Mend"))).count()
    };
    assert!((5..40).contains(&mends(&trial)), "{} rows", mends(&trial));
    let started = Instant::now();
    trial.harness.run_steps(20);
    println!("1,008 entries: {:.2} ms a frame", started.elapsed().as_secs_f64() * 1000.0 / 20.0);
    // Down in it the rows are others, and still few.
    trial.harness.hover_at(egui::Pos2::new(640.0, 500.0));
    for _ in 0..20 {
        trial.harness.event(egui::Event::MouseWheel {
            unit: egui::MouseWheelUnit::Point,
            delta: Vec2::new(0.0, -2000.0),
            modifiers: egui::Modifiers::NONE,
            phase: egui::TouchPhase::Move,
            source: egui::MouseWheelSource::Wheel,
        });
        trial.harness.run_steps(4);
    }
    assert!(!has(&trial, "Today, Mon 2 Mar 2026"));
    assert!((5..40).contains(&mends(&trial)), "{} rows", mends(&trial));
    assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
}

/// Page and sheet at every size, in both themes: nothing is cut off, and pictures of them.
#[test]
fn nothing_is_clipped_and_pictures_are_kept() {
    for look in [Theme::Light, Theme::Dark] {
        for (name, size, scale) in [
            ("1280x800", Vec2::new(1280.0, 800.0), 1.0),
            ("1920x1080", Vec2::new(1920.0, 1080.0), 1.0),
            ("700x900", Vec2::new(700.0, 900.0), 1.0),
            ("640x400@2", Vec2::new(640.0, 400.0), 2.0),
        ] {
            let mut unit = example();
            full_log(&mut unit);
            let last = *unit.last_reading().expect("a reading");
            unit.record(LogEntry::Reading(Reading { at_s: last.at_s + 60, ph: Some(6.1), ..last }));
            let mut trial = over(&unit, look, size, scale);
            assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
            keep(&trial.harness.render().expect("a picture"), &format!("twice-{}-{name}.png", word(look)));
            open_log(&mut trial);
            assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
            let page = trial.harness.render().expect("a picture");
            keep(&page, &format!("log-{}-{name}.png", word(look)));
            trial.press(Role::Button, "Write something down");
            trial.type_into("Amount poured, line 1, mL", "900");
            assert_sheet_unclipped(&trial.harness, "What happened?");
            let sheet = trial.harness.render().expect("a picture");
            let changed = page.pixels().zip(sheet.pixels()).filter(|(a, b)| a != b).count();
            assert!(changed > 2000, "the sheet changed {changed} pixels");
            keep(&sheet, &format!("log-sheet-{}-{name}.png", word(look)));
            trial.press(Role::Button, "Cancel");
            trial.press(Role::Link, "Mend pH 6.1 · EC 1.5 mS/cm, 08:01");
            assert_sheet_unclipped(&trial.harness, "Mend: pH 6.1 · EC 1.5 mS/cm");
            keep(&trial.harness.render().expect("a picture"), &format!("log-mend-{}-{name}.png", word(look)));
            trial.press(Role::Button, "It never happened: remove it");
            assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
            keep(&trial.harness.render().expect("a picture"), &format!("log-back-{}-{name}.png", word(look)));
        }
    }
}
