//! Today on the scale of the person's meter.

use egui::{Role, Theme, Vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _, by};
use pourcast::ui::command::{Command, Quantity};
use pourcast::ui::map::MAP_NAME;
use pourcast::units::EcScale;
use rstest::rstest;

use super::clipping::{Scrolled, assert_nothing_clipped};
use super::flows::{Trial, window};
use super::pictures::{keep_of, word};

fn chosen(trial: &mut Trial, scale: EcScale) {
    let place = EcScale::ALL.iter().position(|one| *one == scale).expect("a scale");
    trial.harness.state_mut().ask_for(Command::ChooseUnit(Quantity::Ec, place.to_string()));
    trial.settle();
}

/// Everything that a screen reader can come by: names, values, descriptions.
fn all_told(trial: &Trial) -> Vec<String> {
    let nodes = trial.harness.query_all(by().predicate(|_| true));
    let told = |node: egui_kittest::Node<'_>| {
        let node = node.accesskit_node();
        [node.label(), node.value(), node.data().description().map(str::to_owned)]
    };
    nodes.flat_map(told).flatten().collect()
}

/// Every text that was painted.
fn painted(trial: &Trial) -> Vec<String> {
    fn walk(shape: &egui::Shape, found: &mut Vec<String>) {
        match shape {
            egui::Shape::Vec(inner) => inner.iter().for_each(|shape| walk(shape, found)),
            egui::Shape::Text(text) => found.push(text.galley.text().to_owned()),
            _ => {}
        }
    }
    let mut found = Vec::new();
    trial.harness.output().shapes.iter().for_each(|clipped| walk(&clipped.shape, &mut found));
    found
}

fn assert_speaks(trial: &Trial, scale: EcScale) {
    for words in all_told(trial).iter().chain(&painted(trial)) {
        assert!(!words.contains("mS/cm"), "{words}");
    }
    let axis = format!("EC, {} at 25 °C", scale.symbol());
    assert!(painted(trial).contains(&axis), "the axis names {}", scale.symbol());
}

#[rstest]
fn today_speaks_the_scale_of_the_meter(#[values(Theme::Light, Theme::Dark)] look: Theme) {
    let mut trial = window(look);
    trial.begin();
    assert!(painted(&trial).contains(&"EC, mS/cm at 25 °C".to_owned()));
    chosen(&mut trial, EcScale::Ppm500);
    assert_speaks(&trial, EcScale::Ppm500);
    // The reading of 1.5 mS/cm; lettuce at 1.2 to 1.8 mS/cm (see the profile for its sources), 500 ppm each.
    trial.harness.get_by_label("pH 5.5–6.5 · EC 600–900 ppm (500)");
    let map = trial.harness.get_by_role_and_label(Role::GraphicsDocument, MAP_NAME);
    let description = map.accesskit_node().data().description().unwrap_or_default().to_owned();
    assert!(description.contains("Now the water is at pH 7.2, EC 750 ppm (500)"), "{description}");
    assert!(description.contains("EC 600 to 900 ppm (500)"), "{description}");
    // Lines of the grid stand at round numbers of that scale.
    let texts = painted(&trial);
    assert!(["400", "600", "800"].iter().all(|tick| texts.iter().any(|words| words == tick)), "{texts:?}");
    assert!(texts.iter().any(|words| words == "now 7.2 · 750"), "{texts:?}");
    assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
    keep_of(&mut trial, &format!("scale-ppm-500-{}", word(look)));
    trial.press(Role::DisclosureTriangle, "In words");
    assert_speaks(&trial, EcScale::Ppm500);
    assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
}

#[rstest]
fn another_scale_moves_no_dose_and_fits_at_every_size(
    #[values(Theme::Light, Theme::Dark)] look: Theme,
    #[values(EcScale::MicroSiemens, EcScale::Ppm700, EcScale::ConductivityFactor)] scale: EcScale,
) {
    for (size, name, zoom) in [(Vec2::new(1280.0, 800.0), "1280x800", 1.0), (Vec2::new(640.0, 400.0), "640x400@2", 2.0)]
    {
        let mut trial = Trial::new(look, size, zoom);
        trial.press(Role::Button, "Look around in the example");
        let before = trial.harness.state().outlook().expect("a plan").plan.pours();
        chosen(&mut trial, scale);
        assert_speaks(&trial, scale);
        assert_eq!(trial.harness.state().outlook().expect("a plan").plan.pours(), before);
        assert_nothing_clipped(&trial.harness, Scrolled::Vertically);
        keep_of(&mut trial, &format!("scale-{}-{}-{name}", scale.per_ms_cm(), word(look)));
    }
}
