//! The window: the only place that names egui, and rfd for its file dialogs.
//!
//! Three things are kept apart: the document (what is saved), [`state::ViewState`] (drafts and open panels) and what is
//! derived from the document. A presenter turns document and derived values into the plain [`view`] data; the
//! [`screens`] draw those and add [`command::Command`]s to a list; the app applies the list in one place.

pub mod app;
pub mod clock;
pub mod command;
pub mod derived;
pub mod dialogs;
mod dropping;
pub mod layout;
pub mod look;
pub mod map;
mod paint;
pub mod present;
pub mod screens;
pub mod shell;
pub mod sketch;
pub mod state;
pub mod strip;
pub mod theme;
pub mod tools;
pub mod topbar;
pub mod view;
pub mod widgets;
pub mod worker;

use egui::{Key, KeyboardShortcut, Modifiers, Ui};

use command::{Command, Page};
use layout::Room;
use state::{Part, ViewState};
use view::{
    BarView, CropFormView, CropsView, LogView, NoticeView, ProductView, ShelfView, StartView, TodayView, Tone, UnitRow,
    UnitsView, WaterView, WritingView,
};
use widgets::{ButtonKind, body, button, notice_box, sheet};

/// Everything one frame shows.
#[derive(Clone, PartialEq, Debug)]
pub struct WindowView {
    /// The bar on top.
    pub bar: BarView,
    /// The page.
    pub page: PageView,
    /// Units of the quantities, for whoever wants others.
    pub units: Vec<UnitRow>,
    /// The sheet on which something is written into the log, while it is open.
    pub sheet: Option<Box<WritingView>>,
    /// The sheet on which a product is described, while it is open.
    pub product: Option<Box<ProductView>>,
    /// The sheet on which the source water is described, while it is open.
    pub water: Option<Box<WaterView>>,
    /// The sheet on which a crop of the library is written, while it is open.
    pub crop: Option<Box<CropFormView>>,
    /// A message over the page, until it is put away.
    pub notice: Option<NoticeView>,
}

/// One of the pages.
#[derive(Clone, PartialEq, Debug)]
pub enum PageView {
    /// What is in your hands?
    Start(Box<StartView>),
    /// The unit, today.
    Today(Box<TodayView>),
    /// What happened.
    Log(Box<LogView>),
    /// What the person owns to pour.
    Shelf(Box<ShelfView>),
    /// What can grow.
    Crops(Box<CropsView>),
    /// The units a person owns.
    Units(Box<UnitsView>),
}

/// Draws a whole window, and collects what was asked for.
pub fn window_ui(ui: &mut Ui, window: &WindowView, view: &mut ViewState, out: &mut Vec<Command>) {
    let rect = ui.max_rect();
    let tokens = theme::Tokens::of(ui);
    ui.painter().rect_filled(rect, 0.0, tokens.ground);
    if let Some(field) = view.focus.take() {
        ui.memory_mut(|m| m.request_focus(widgets::field_id(field)));
    }
    let page = match window.page {
        PageView::Start(_) => Page::Start,
        PageView::Today(_) => Page::Today,
        PageView::Log(_) => Page::Log,
        PageView::Shelf(_) => Page::Shelf,
        PageView::Crops(_) => Page::Crops,
        PageView::Units(_) => Page::Units,
    };
    let bar = layout::arrange(rect, 0.0).bar;
    if matches!(window.page, PageView::Today(_)) {
        shortcuts(ui, out);
    }
    match &window.page {
        PageView::Start(start) => screens::start::start_ui(ui, rect, start, view, out),
        PageView::Today(today) => screens::today::today_ui(ui, rect, today, view, out),
        PageView::Log(log) => screens::log::log_ui(ui, rect, log, view, out),
        PageView::Shelf(shelf) => screens::shelf::shelf_ui(ui, rect, shelf, view, out),
        PageView::Crops(crops) => screens::crops::crops_ui(ui, rect, crops, view, out),
        PageView::Units(units) => screens::owned::units_ui(ui, rect, units, view, out),
    }
    topbar::bar_ui(ui, bar, Room::of(rect.size()), &window.bar, page, out);
    if view.is_open(Part::Units) {
        units_ui(ui, &window.units, out);
    }
    if let Some(sheet) = &window.sheet {
        screens::writing::writing_sheet_ui(ui, sheet, view, out);
    }
    if let Some(product) = &window.product {
        screens::product::product_sheet_ui(ui, product, view, out);
    }
    if let Some(water) = &window.water {
        screens::water::water_sheet_ui(ui, water, view, out);
    }
    if let Some(crop) = &window.crop {
        screens::crop_form::crop_sheet_ui(ui, crop, view, out);
    }
    if let Some(notice) = &window.notice {
        notice_ui(ui, notice, out);
    }
    dropping::dropping_ui(ui, out);
}

/// Back and forward over the lists of pours, as keys. A field that has the keyboard has a back and forward of its own.
fn shortcuts(ui: &Ui, out: &mut Vec<Command>) {
    if ui.ctx().text_edit_focused() {
        return;
    }
    // The longer first: Ctrl+Shift+Z is Ctrl+Z too.
    let both = Modifiers::COMMAND.plus(Modifiers::SHIFT);
    for (modifiers, key, command) in [
        (both, Key::Z, Command::Redo),
        (Modifiers::COMMAND, Key::Y, Command::Redo),
        (Modifiers::COMMAND, Key::Z, Command::Undo),
    ] {
        if ui.input_mut(|i| i.consume_shortcut(&KeyboardShortcut::new(modifiers, key))) {
            out.push(command);
        }
    }
}

/// The units that quantities are read in.
fn units_ui(ui: &Ui, rows: &[UnitRow], out: &mut Vec<Command>) {
    let mut done = false;
    let closed = sheet(ui, "units", 340.0, |ui| {
        widgets::title(ui, "Measures");
        for row in rows {
            ui.scope(|ui| {
                ui.spacing_mut().item_spacing.y = theme::space::HALF;
                widgets::quiet(ui, &row.label);
                if let Some(id) = widgets::choice_ui(ui, &row.label, &row.choices, &row.chosen_id) {
                    out.push(Command::ChooseUnit(row.quantity, id));
                }
            });
        }
        ui.add_space(theme::space::HALF);
        done = button(ui, ButtonKind::Primary, "Done").clicked();
    });
    if closed || done {
        out.push(Command::ToggleUnits);
    }
}

/// A message over the page, until it is put away.
fn notice_ui(ui: &Ui, notice: &NoticeView, out: &mut Vec<Command>) {
    let mut chosen = Vec::new();
    let closed = sheet(ui, "notice", 420.0, |ui| {
        match notice.tone {
            Tone::Trouble => {
                notice_box(ui, &notice.words);
            }
            Tone::Plain => body(ui, &notice.words),
        }
        ui.horizontal_wrapped(|ui| {
            let leave = if notice.leave.is_empty() { "Put this away" } else { notice.leave.as_str() };
            if button(ui, ButtonKind::Primary, leave).clicked() {
                chosen.push(Command::DismissNotice);
            }
            for action in &notice.actions {
                if button(ui, ButtonKind::Secondary, &action.text).clicked() {
                    // Away first: what is chosen may bring a message of its own.
                    chosen.push(Command::DismissNotice);
                    chosen.push(action.command.clone());
                }
            }
        });
    });
    if closed && chosen.is_empty() {
        chosen.push(Command::DismissNotice);
    }
    out.extend(chosen);
}
