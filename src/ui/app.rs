//! The window itself: the only place that names `eframe`.

use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;

use super::clock::Clock;
use super::dialogs::SystemDialogs;
use super::shell::{Outfit, Shell};
use super::theme;
use super::worker::Worker;
use crate::garden::Catalog;
use crate::store::Folders;

/// Why no window could be opened.
#[derive(Debug, thiserror::Error)]
#[error("the window could not be opened: {0}")]
pub struct WindowError(String);

/// What the window needs from outside.
pub struct StartUp {
    /// Crops, waters, products.
    pub catalog: Catalog,
    /// Where files go; none when the system names no folder.
    pub folders: Option<Folders>,
    /// The time.
    pub clock: Box<dyn Clock>,
    /// A unit file to open first.
    pub open: Option<PathBuf>,
}

/// Opens the window, and returns when it is closed.
///
/// # Errors
/// [`WindowError`] when the system gives no window, or no OpenGL.
pub fn run(start_up: StartUp) -> Result<(), WindowError> {
    let mut viewport = egui::ViewportBuilder::default()
        .with_title("Pourcast")
        .with_app_id("pourcast")
        .with_inner_size([1240.0, 740.0])
        .with_min_inner_size([480.0, 360.0])
        .with_clamp_size_to_monitor_size(true);
    // A window without its picture is still a window.
    if let Ok(icon) = eframe::icon_data::from_png_bytes(include_bytes!("../../assets/icon.png")) {
        viewport = viewport.with_icon(icon);
    }
    let options = eframe::NativeOptions { viewport, ..Default::default() };
    eframe::run_native("Pourcast", options, Box::new(move |cc| Ok(Box::new(App::new(cc, start_up)))))
        .map_err(|error| WindowError(error.to_string()))
}

/// The window's frame around its [`Shell`].
pub struct App {
    shell: Shell,
}

impl App {
    /// A window on its first page.
    pub fn new(cc: &eframe::CreationContext<'_>, start_up: StartUp) -> Self {
        let StartUp { catalog, folders, clock, open } = start_up;
        theme::install(&cc.egui_ctx);
        let catalog = Arc::new(catalog);
        let ctx = cc.egui_ctx.clone();
        let worker = Worker::threaded(Arc::clone(&catalog), move || ctx.request_repaint());
        let dialogs = Box::new(SystemDialogs::default());
        let shell = Shell::new(Outfit { catalog, folders, clock, dialogs, open }, worker);
        cc.egui_ctx.set_theme(shell.theme());
        Self { shell }
    }
}

impl eframe::App for App {
    fn logic(&mut self, ctx: &egui::Context, _frame: &mut eframe::Frame) {
        if ctx.input(|i| i.viewport().close_requested()) {
            let now = Duration::from_secs_f64(ctx.input(|i| i.time).max(0.0));
            if !self.shell.may_close(now) {
                ctx.send_viewport_cmd(egui::ViewportCommand::CancelClose);
            }
        }
    }

    fn ui(&mut self, ui: &mut egui::Ui, _frame: &mut eframe::Frame) {
        self.shell.frame(ui);
    }
}
