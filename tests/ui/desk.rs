//! A harness over a whole window with plain view data.

use egui::{Theme, Vec2};
use egui_kittest::Harness;
use pourcast::ui::command::Command;
use pourcast::ui::state::{Answers, ViewState};
use pourcast::ui::{WindowView, theme, window_ui};

use super::cpu_renderer::CpuRenderer;

/// A window with everything it was asked for.
pub(crate) struct Desk {
    /// What it shows.
    pub(crate) window: WindowView,
    /// Drafts and open panels.
    pub(crate) view: ViewState,
    /// Commands of all frames so far.
    pub(crate) asked: Vec<Command>,
}

/// A harness over a whole window of `size_pt`, in a theme, painted on the CPU.
pub(crate) fn desk(window: WindowView, size_pt: Vec2, scale: f32, look: Theme) -> Harness<'static, Desk> {
    let answers = Answers {
        kind_id: "bucket".to_owned(),
        size: Some(34.0),
        volume_unit_id: "l".to_owned(),
        fullness_id: "three_quarters".to_owned(),
        water_id: "soft".to_owned(),
        crop_id: "lettuce".to_owned(),
        stage_id: "leaf".to_owned(),
        feed_id: "powder".to_owned(),
        ph_down_id: "down".to_owned(),
        alkalinity_unit_id: "mg".to_owned(),
        roots_id: "in".to_owned(),
        ph_instrument_id: "pen".to_owned(),
        ec_unit_id: "ms".to_owned(),
        fed_id: "fed".to_owned(),
        ..Answers::default()
    };
    let state = Desk { window, view: ViewState { answers, ..ViewState::default() }, asked: Vec::new() };
    Harness::builder()
        .with_size(size_pt)
        .with_pixels_per_point(scale)
        .with_theme(look)
        .with_context_setup(theme::install)
        .renderer(CpuRenderer::default())
        .build_ui_state(
            |ui, desk: &mut Desk| {
                let full = ui.ctx().content_rect();
                let mut whole = ui.new_child(egui::UiBuilder::new().max_rect(full));
                whole.set_clip_rect(full);
                window_ui(&mut whole, &desk.window, &mut desk.view, &mut desk.asked);
            },
            state,
        )
}
