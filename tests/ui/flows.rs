//! The whole window, driven by label and role over real files in a folder of its own, with a clock that stands.

use std::cell::RefCell;
use std::path::PathBuf;
use std::rc::Rc;
use std::sync::Arc;

use egui::{Key, Role, Theme, Vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use pourcast::garden::{Catalog, LogEntry, Unit};
use pourcast::store::{Folders, read_unit};
use pourcast::ui::clock::Clock;
use pourcast::ui::dialogs::{Dialogs, Question};
use pourcast::ui::shell::{Outfit, Shell};
use pourcast::ui::theme;
use pourcast::ui::worker::Worker;

use super::clipping::{Scrolled, assert_nothing_clipped};
use super::cpu_renderer::CpuRenderer;

/// 2026-03-02 09:00 UTC.
pub(crate) const MORNING_S: i64 = 1_772_442_000;

/// A clock that the trial turns.
#[derive(Clone)]
pub(crate) struct TurnedClock(Rc<RefCell<i64>>);

impl Clock for TurnedClock {
    fn now_s(&self) -> i64 {
        *self.0.borrow()
    }

    fn words(&self, at_s: i64) -> String {
        pourcast::ui::clock::StandingClock(at_s).words(at_s)
    }
}

/// Dialogs that answer at once with a path of the trial's.
#[derive(Clone, Default)]
pub(crate) struct PreparedDialogs(Rc<RefCell<(Option<PathBuf>, Option<Question>)>>, Rc<RefCell<Unopened>>);

/// Whether dialogs fail to open, and whether one just did.
#[derive(Default)]
pub(crate) struct Unopened {
    always: bool,
    just_now: bool,
}

impl PreparedDialogs {
    /// From now on dialogs answer with this path.
    pub(crate) fn answer_with(&self, path: PathBuf) {
        self.0.borrow_mut().0 = Some(path);
    }

    /// From now on no dialog opens.
    pub(crate) fn break_down(&self) {
        self.1.borrow_mut().always = true;
    }
}

impl Dialogs for PreparedDialogs {
    fn ask(&mut self, question: Question, _: &egui::Context) {
        let mut unopened = self.1.borrow_mut();
        unopened.just_now = unopened.always;
        if unopened.always {
            return;
        }
        self.0.borrow_mut().1 = Some(question);
    }

    fn is_open(&self) -> bool {
        self.0.borrow().1.is_some()
    }

    fn answer(&mut self) -> Option<(Question, PathBuf)> {
        let mut inner = self.0.borrow_mut();
        let question = inner.1.take()?;
        Some((question, inner.0.clone()?))
    }

    fn could_not_open(&mut self, _: std::time::Duration) -> bool {
        std::mem::take(&mut self.1.borrow_mut().just_now)
    }
}

/// A window over a folder.
pub(crate) struct Trial {
    pub(crate) home: tempfile::TempDir,
    pub(crate) dialogs: PreparedDialogs,
    clock: TurnedClock,
    pub(crate) harness: Harness<'static, Shell>,
}

impl Trial {
    pub(crate) fn new(look: Theme, size: Vec2, scale: f32) -> Self {
        Self::open(tempfile::tempdir().expect("a folder"), None, look, size, scale)
    }

    pub(crate) fn open(home: tempfile::TempDir, open: Option<PathBuf>, look: Theme, size: Vec2, scale: f32) -> Self {
        let catalog = Arc::new(Catalog::shipped().expect("the shipped profiles"));
        Self::with_worker(home, open, look, (size, scale), Worker::inline(catalog))
    }

    pub(crate) fn with_worker(
        home: tempfile::TempDir,
        open: Option<PathBuf>,
        look: Theme,
        sight: (Vec2, f32),
        worker: Worker,
    ) -> Self {
        Self::starting_at(MORNING_S, home, open, look, sight, worker)
    }

    fn starting_at(
        now_s: i64,
        home: tempfile::TempDir,
        open: Option<PathBuf>,
        look: Theme,
        (size, scale): (Vec2, f32),
        worker: Worker,
    ) -> Self {
        let catalog = Arc::new(Catalog::shipped().expect("the shipped profiles"));
        let clock = TurnedClock(Rc::new(RefCell::new(now_s)));
        let dialogs = PreparedDialogs::default();
        let outfit = Outfit {
            catalog,
            folders: Some(Folders::below(home.path())),
            clock: Box::new(clock.clone()),
            dialogs: Box::new(dialogs.clone()),
            open,
        };
        let shell = Shell::new(outfit, worker);
        let harness = Harness::builder()
            .with_size(size)
            .with_pixels_per_point(scale)
            .with_theme(look)
            .with_max_steps(12)
            .with_context_setup(theme::install)
            .renderer(CpuRenderer::default())
            .build_ui_state(
                |ui, shell: &mut Shell| {
                    let full = ui.ctx().content_rect();
                    let mut whole = ui.new_child(egui::UiBuilder::new().max_rect(full));
                    whole.set_clip_rect(full);
                    shell.frame(&mut whole);
                },
                shell,
            );
        let mut trial = Self { home, dialogs, clock, harness };
        trial.settle();
        trial
    }

    /// Lets what was asked for come in, and autosave pass.
    pub(crate) fn settle(&mut self) {
        self.harness.run_steps(8);
    }

    pub(crate) fn press(&mut self, role: Role, name: &str) {
        // As a person does: into sight first.
        self.harness.get_by_role_and_label(role, name).scroll_to_me();
        self.settle();
        self.harness.get_by_role_and_label(role, name).click();
        self.settle();
    }

    pub(crate) fn type_into(&mut self, name: &str, text: &str) {
        let field = self.harness.get_all_by_role_and_label(Role::TextInput, name).next().expect("the field");
        field.click();
        self.settle();
        self.harness.key_press_modifiers(egui::Modifiers::COMMAND, Key::A);
        self.settle();
        let field = self.harness.get_all_by_role_and_label(Role::TextInput, name).next().expect("the field");
        field.type_text(text);
        self.settle();
        self.harness.key_press(Key::Enter);
        self.settle();
    }

    /// Takes an entry of a pick list.
    pub(crate) fn choose(&mut self, list: &str, words: &str) {
        self.press(Role::ComboBox, list);
        // The list opens over the page, which may say the same.
        self.harness.get_all_by_label(words).last().expect("a choice").click();
        self.settle();
    }

    /// Types into the one field of a name, brought into sight first.
    pub(crate) fn fill(&mut self, name: &str, text: &str) {
        self.harness.get_by_role_and_label(Role::TextInput, name).scroll_to_me();
        self.settle();
        self.type_into(name, text);
    }

    pub(crate) fn turn_clock(&mut self, minutes: i64) {
        *self.clock.0.borrow_mut() += 60 * minutes;
        self.settle();
    }

    /// The window is killed without a word, and another is opened on the same files some minutes later.
    pub(crate) fn killed_and_opened(self, minutes_later: i64) -> Self {
        let Self { home, clock, harness, .. } = self;
        let look = harness.ctx.theme();
        drop(harness);
        let now_s = clock.now_s() + 60 * minutes_later;
        let catalog = Arc::new(Catalog::shipped().expect("the shipped profiles"));
        let sight = (Vec2::new(1280.0, 800.0), 1.0);
        Self::starting_at(now_s, home, None, look, sight, Worker::inline(catalog))
    }

    pub(crate) fn unit(&self) -> Unit {
        self.harness.state().unit().expect("an open unit").clone()
    }

    pub(crate) fn units_folder(&self) -> PathBuf {
        self.home.path().join("units")
    }

    pub(crate) fn on_disk(&self) -> Vec<PathBuf> {
        let Ok(entries) = std::fs::read_dir(self.units_folder()) else { return Vec::new() };
        let mut paths: Vec<PathBuf> = entries.map(|e| e.expect("an entry").path()).collect();
        paths.sort();
        paths
    }

    /// From the first page to a unit of 20 L of soft tap water that was read.
    pub(crate) fn begin(&mut self) {
        self.press(Role::RadioButton, "Bucket");
        self.type_into("Size of the reservoir, L", "20");
        self.type_into("pH", "7,2");
        self.type_into("EC, mS/cm", "1.5");
        self.press(Role::Button, "Show me the map");
    }
}

pub(crate) fn light() -> Trial {
    window(Theme::Light)
}

/// A window of the usual size on the first page.
pub(crate) fn window(look: Theme) -> Trial {
    Trial::new(look, Vec2::new(1280.0, 800.0), 1.0)
}

#[test]
fn from_the_first_page_to_one_amount_and_back_to_a_reading() {
    let mut trial = light();
    trial.begin();
    let unit = trial.unit();
    assert_eq!((unit.tank_l, unit.last_reading().and_then(|r| r.ph)), (20.0, Some(7.2)));
    // The amount in the strip, in the list and in the plan are one.
    let plan = trial.harness.state().outlook().expect("a plan").plan.clone();
    let (id, amount) = plan.pours().first().cloned().expect("a pour");
    assert_eq!(id, "phosphoric-down");
    let sentence = format!("Pour {amount:.1} mL of pH-lowering liquid, phosphoric");
    trial.harness.get_by_label(&sentence);
    let field = trial.harness.get_by_role_and_label(Role::TextInput, "Amount of pH-lowering liquid, phosphoric, mL");
    assert_eq!(field.value().as_deref(), Some(format!("{amount:.1}").as_str()));
    trial.harness.get_by_label_contains("Caution: Read the label and the safety data sheet first");
    assert_nothing_clipped(&trial.harness, Scrolled::Vertically);

    trial.press(Role::Button, "Poured it");
    let LogEntry::Pour(pour) = trial.unit().log.last().expect("an entry").clone() else { panic!("no pour") };
    assert_eq!((pour.product_id.as_str(), pour.amount), ("phosphoric-down", amount));
    let promise = pour.promise.expect("what was told is kept");
    assert!(promise.ph_range.0 < promise.ph_range.1);
    trial.harness.get_by_role_and_label(Role::Timer, "15 min left before the next reading");

    trial.turn_clock(6);
    trial.harness.get_by_role_and_label(Role::Timer, "9 min left before the next reading");
    trial.turn_clock(10);
    trial.harness.get_by_label("Read the water now");

    trial.type_into("pH", "6.3");
    assert_eq!(trial.unit().last_reading().and_then(|r| r.ph), Some(6.3));
}

#[test]
fn what_was_typed_is_on_disk_and_comes_back() {
    let mut trial = light();
    trial.begin();
    let path = trial.on_disk().first().cloned().expect("a file");
    trial.type_into("Water in it, L", "18,5");
    trial.settle();
    let stored = read_unit(&path).expect("a readable file").unit;
    assert_eq!(stored, trial.unit());
    assert!((stored.level_l - 18.5).abs() < 1e-9);
    trial.harness.get_by_label_contains("saved");

    let Trial { home, .. } = trial;
    let again = Trial::open(home, None, Theme::Dark, Vec2::new(1280.0, 800.0), 1.0);
    assert_eq!(again.unit(), stored, "the last unit opens by itself");
}

#[test]
fn the_example_is_not_saved_and_has_a_door_out() {
    let mut trial = light();
    trial.press(Role::Button, "Look around in the example");
    trial.harness.get_by_label_contains("An invented example");
    trial.press(Role::Button, "Poured it");
    assert!(trial.on_disk().is_empty());
    trial.press(Role::Link, "Start my own");
    trial.harness.get_by_label("What is in your hands?");
}

#[test]
fn the_example_fits_at_every_size_in_both_themes() {
    for look in [Theme::Light, Theme::Dark] {
        for (size, scale) in [
            (Vec2::new(1280.0, 800.0), 1.0),
            (Vec2::new(1264.0, 760.0), 1.0),
            (Vec2::new(1240.0, 740.0), 1.0),
            (Vec2::new(1920.0, 1080.0), 1.0),
            (Vec2::new(640.0, 400.0), 2.0),
        ] {
            let mut trial = Trial::new(look, size, scale);
            assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
            trial.press(Role::Button, "Look around in the example");
            assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
            trial.press(Role::Button, "Poured it");
            assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
        }
    }
}

#[test]
fn wrong_entries_are_named_offered_and_lose_nothing() {
    let mut trial = light();
    trial.begin();
    let before = trial.unit();
    trial.type_into("EC, mS/cm", "1200");
    assert!(trial.harness.query_all_by_label_contains("1200").count() > 0, "the message");
    let offer = trial
        .harness
        .get_all_by_role(Role::Link)
        .find(|l| egui_kittest::kittest::NodeT::accesskit_node(l).label().is_some_and(|label| label.contains("µS/cm")));
    offer.expect("an offer in µS/cm").click();
    assert_eq!(trial.unit(), before);
    // Left alone, it is recorded by itself.
    trial.settle();
    trial.settle();
    assert_eq!(trial.unit().last_reading().and_then(|r| r.ec_ms_cm), Some(1.2));

    trial.type_into("Water in it, L", "400");
    trial.harness.get_by_label_contains("more than the tank holds");
    assert_eq!(trial.unit(), Unit { log: trial.unit().log, ..before });
}

#[test]
fn values_typed_one_after_the_other_are_one_reading() {
    let mut trial = light();
    trial.begin();
    trial.turn_clock(120);
    let readings = |unit: &Unit| unit.log.iter().filter(|e| matches!(e, LogEntry::Reading(_))).count();
    assert_eq!(readings(&trial.unit()), 1);
    trial.type_into("pH", "6.8");
    trial.type_into("EC, mS/cm", "1.4");
    trial.type_into("Water, °C", "19");
    let unit = trial.unit();
    assert_eq!(readings(&unit), 2);
    let last = unit.last_reading().expect("a reading");
    assert_eq!((last.ph, last.ec_ms_cm), (Some(6.8), Some(1.4)));
}

#[test]
fn an_amount_does_not_stand_beside_a_reading_that_is_not_recorded() {
    let mut trial = light();
    trial.begin();
    let before = trial.unit();
    trial.harness.get_by_role_and_label(Role::TextInput, "pH").click();
    trial.settle();
    trial.harness.key_press_modifiers(egui::Modifiers::COMMAND, Key::A);
    trial.settle();
    trial.harness.get_by_role_and_label(Role::TextInput, "pH").type_text("6.8");
    trial.settle();
    assert_eq!(trial.unit(), before, "it is still being typed");
    trial.harness.get_by_label("Record your reading first");
    assert!(trial.harness.query_by_role_and_label(Role::Button, "Poured it").is_none());
    trial.harness.get_by_role_and_label(Role::Button, "Record it").click();
    trial.settle();
    assert_eq!(trial.unit().last_reading().and_then(|r| r.ph), Some(6.8));
    assert!(trial.harness.query_by_label("Record your reading first").is_none());
}

#[test]
fn both_wrong_fields_after_a_pour_are_explained_within_the_window() {
    let mut trial = light();
    trial.begin();
    trial.press(Role::Button, "Poured it");
    for (name, text) in [("pH", "70"), ("EC, mS/cm", "700 ppm")] {
        let field = trial.harness.get_all_by_role_and_label(Role::TextInput, name).last().expect("in the strip");
        field.click();
        trial.settle();
        let field = trial.harness.get_all_by_role_and_label(Role::TextInput, name).last().expect("in the strip");
        field.type_text(text);
        trial.settle();
        trial.harness.key_press(Key::Enter);
        trial.settle();
    }
    trial.harness.get_by_label_contains("pH 70 is outside");
    for offer in ["ppm (500) = 1.4 mS/cm", "ppm (640) = 1.09 mS/cm", "ppm (700) = 1 mS/cm"] {
        let rect = trial.harness.get_by_role_and_label(Role::Link, offer).rect();
        assert!(trial.harness.ctx.content_rect().contains_rect(rect), "{offer} at {rect:?}");
    }
    assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
    trial.press(Role::Link, "ppm (500) = 1.4 mS/cm");
    trial.press(Role::Link, "Use pH 7.0");
    trial.settle();
    let last = trial.unit().last_reading().copied().expect("a reading");
    assert_eq!((last.ph, last.ec_ms_cm), (Some(7.0), Some(1.4)));
}

#[test]
fn crop_and_stage_move_the_zone() {
    let mut trial = light();
    trial.begin();
    let before = trial.harness.state().outlook().expect("a plan").plan.zone_ec_ms_cm;
    trial.press(Role::ComboBox, "Crop");
    super::crops::pick(&mut trial, "Basil");
    assert_eq!(trial.unit().crop_id, "basil");
    let unit = trial.unit();
    assert_eq!(unit.check(&Catalog::shipped().expect("profiles")).len(), 0, "the stage is one of the crop's");
    assert_ne!(trial.harness.state().outlook().expect("a plan").plan.zone_ec_ms_cm, before);
}

#[test]
fn a_theme_is_kept() {
    let mut trial = light();
    trial.press(Role::Button, "Menu");
    trial.harness.get_by_label("Dark").click();
    trial.settle();
    assert_eq!(trial.harness.state().theme(), egui::ThemePreference::Dark);
    let Trial { home, .. } = trial;
    let again = Trial::open(home, None, Theme::Light, Vec2::new(1280.0, 800.0), 1.0);
    assert_eq!(again.harness.state().theme(), egui::ThemePreference::Dark);
}

#[test]
fn units_are_chosen_and_the_water_stays_the_same() {
    let mut trial = light();
    trial.begin();
    let before = trial.unit();
    trial.press(Role::Button, "Menu");
    trial.harness.get_by_label("Measures…").click();
    trial.settle();
    trial.press(Role::RadioButton, "US gal");
    trial.press(Role::RadioButton, "°F");
    trial.press(Role::ComboBox, "EC as the meter shows it");
    trial.harness.get_by_label("ppm on the 500 scale").click();
    trial.settle();
    trial.press(Role::Button, "Done");
    // 17 L are 4.49 US gallons (3.785411784 L each, NIST SP 811); 1.5 mS/cm is 750 ppm on the 500 scale.
    let level = trial.harness.get_by_role_and_label(Role::TextInput, "Water in it, US gal").value();
    assert_eq!(level.as_deref(), Some("4.5"));
    let ec = trial.harness.get_by_role_and_label(Role::TextInput, "EC, ppm (500)").value();
    assert_eq!(ec.as_deref(), Some("750"));
    let mut after = trial.unit();
    after.meter = before.meter;
    assert_eq!(after, before);
    assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
}

#[test]
fn an_unclear_answer_holds_the_first_page() {
    let mut trial = light();
    trial.type_into("pH", "70");
    trial.type_into("Size of the reservoir, L", "20");
    trial.harness.get_by_label("One answer is not clear yet");
    assert!(trial.harness.query_by_role_and_label(Role::Button, "Show me the map").is_none());
    trial.type_into("pH", "7.0");
    trial.press(Role::Button, "Show me the map");
    assert_eq!(trial.unit().last_reading().and_then(|r| r.ph), Some(7.0));
}

#[test]
fn the_size_counts_while_it_is_typed() {
    let mut trial = light();
    trial.harness.get_by_label("How big is the reservoir?");
    trial.harness.get_by_role_and_label(Role::TextInput, "Size of the reservoir, L").click();
    trial.settle();
    trial.harness.get_by_role_and_label(Role::TextInput, "Size of the reservoir, L").type_text("2");
    trial.settle();
    trial.harness.get_by_label("That is enough to begin");
}

#[test]
fn type_it_in_brings_the_field_into_sight() {
    let mut trial = Trial::new(Theme::Light, Vec2::new(640.0, 400.0), 2.0);
    trial.press(Role::Button, "Look around in the example");
    trial.press(Role::Button, "Poured it");
    let seen = trial.harness.get_all_by_role_and_label(Role::TextInput, "pH").next().expect("the field");
    seen.scroll_down();
    trial.press(Role::Button, "Type it in");
    let field = trial.harness.get_all_by_role_and_label(Role::TextInput, "pH").next().expect("the field");
    assert!(field.is_focused());
    assert!(trial.harness.ctx.content_rect().contains_rect(field.rect()));
}
