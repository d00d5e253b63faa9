//! The page of the person's units: a card for each, and what was put away folded below.

use std::sync::Arc;

use egui::text::{LayoutJob, TextFormat, TextWrapping};
use egui::{
    Align, Color32, CursorIcon, Galley, Id, Key, Layout, Margin, Popup, Pos2, Rect, Role, ScrollArea, Sense, Stroke,
    StrokeKind, Ui, UiBuilder, Vec2, WidgetInfo,
};

use super::library::library_ui;
use super::pictures::kind_picture;
use crate::garden::LONGEST_NAME;
use crate::ui::command::{Command, OwnedCommand};
use crate::ui::layout::{Room, arrange, margin};
use crate::ui::paint::{caution_mark, focus_ring};
use crate::ui::state::{Naming, NamingFor, Part, ViewState};
use crate::ui::theme::{Tokens, Weight, size, space, text};
use crate::ui::view::{AwayView, CardView, Choice, LinkView, UnitsView};
use crate::ui::widgets::{
    ButtonKind, body, button_sized, card, disclosure, link, notice_box, quiet, rule, segmented, subtitle, text_field,
};

/// Widest the page gets.
const WIDEST: f32 = 1120.0;
/// Least width of a card.
const CARD: f32 = 340.0;
/// Room inside a card.
const PAD: f32 = 14.0;
/// Height of the row at a card's foot: what is due, and whether it is open.
const FOOT: f32 = 36.0;
/// Room between the lines of a card.
const GAP: f32 = 3.0;
/// Room for a kind's drawing.
const PICTURE: Vec2 = Vec2::new(96.0, 68.0);

/// Draws the page below the bar, into `window` (which includes the bar).
pub fn units_ui(ui: &mut Ui, window: Rect, units: &UnitsView, view: &mut ViewState, out: &mut Vec<Command>) {
    let room = Room::of(window.size());
    let parts = arrange(window, 0.0);
    let whole = Rect::from_min_max(parts.body.min, Pos2::new(parts.body.right(), window.bottom()));
    let width = whole.width().min(WIDEST);
    let left = (whole.center().x - width / 2.0).round();
    // The scroll bar stands in the margin, beside the cards.
    let rect =
        Rect::from_min_max(Pos2::new(left, whole.top()), Pos2::new(left + width + margin(room) - 2.0, whole.bottom()));
    let mut child = ui.new_child(UiBuilder::new().max_rect(rect).layout(Layout::top_down(Align::Min)));
    ScrollArea::vertical().id_salt("units").auto_shrink(false).show(&mut child, |ui| {
        ui.set_max_width(width);
        ui.spacing_mut().item_spacing.y = margin(room);
        heading_ui(ui, room, units, out);
        way_back_ui(ui, "units", units.way_back.as_ref(), out);
        if let Some(problem) = &units.problem {
            notice_box(ui, problem);
        }
        if let Some(reading) = units.reading.as_ref().filter(|_| units.cards.is_empty()) {
            card(ui, |ui| quiet(ui, reading));
        } else if units.cards.is_empty() {
            card(ui, |ui| {
                ui.spacing_mut().item_spacing.y = space::HALF;
                body(ui, "Here will stand the units you keep");
                quiet(
                    ui,
                    "A unit is one reservoir and what grows on it. Start one with a few answers, bring in a file from elsewhere, or \
                     look around in an example first",
                );
            });
        }
        cards_ui(ui, &units.cards, view, out);
        ui.scope(|ui| {
            ui.spacing_mut().item_spacing.y = space::HALF;
            folded_ui(ui, "Archived", Part::Archived, &units.archived, "", view, out);
            folded_ui(ui, "Deleted", Part::Deleted, &units.deleted, &units.deleted_note, view, out);
            library_ui(ui, &units.profiles, view, out);
        });
        if !units.examples.is_empty() {
            rule(ui);
            subtitle(ui, "Examples");
            cards_ui(ui, &units.examples, view, out);
        }
        ui.add_space(space::TWO);
    });
}

fn heading_ui(ui: &mut Ui, room: Room, units: &UnitsView, out: &mut Vec<Command>) {
    let tokens = Tokens::of(ui);
    let words = |ui: &mut Ui| {
        ui.spacing_mut().item_spacing.y = space::HALF;
        let large = if room == Room::Wide { size::ANSWER } else { size::LARGE };
        ui.label(text("Your units", large, Weight::SemiBold, tokens.ink));
        quiet(ui, &units.count);
    };
    let buttons = |ui: &mut Ui, out: &mut Vec<Command>| {
        ui.spacing_mut().item_spacing.x = space::ONE;
        if button_sized(ui, ButtonKind::Primary, "Start a unit", Vec2::new(124.0, 36.0)).clicked() {
            out.push(Command::StartOwn);
        }
        if button_sized(ui, ButtonKind::Secondary, "Import…", Vec2::new(96.0, 36.0)).clicked() {
            out.push(Command::Owned(OwnedCommand::Import));
        }
    };
    match room {
        Room::Wide => {
            ui.horizontal(|ui| {
                ui.vertical(words);
                ui.with_layout(Layout::right_to_left(Align::Center), |ui| buttons(ui, out));
            });
        }
        Room::Narrow => {
            ui.vertical(words);
            ui.horizontal(|ui| buttons(ui, out));
        }
    }
}

/// What was done last, with the way back. It comes into sight when it is new.
pub(super) fn way_back_ui(ui: &mut Ui, of: &str, done: Option<&(String, Option<LinkView>)>, out: &mut Vec<Command>) {
    let shown_id = Id::unique(("way back", of));
    let shown: String = ui.data(|data| data.get_temp(shown_id)).unwrap_or_default();
    let Some((words, back)) = done else { return };
    let tokens = Tokens::of(ui);
    let frame = egui::Frame::new().fill(tokens.accent_soft).corner_radius(6).inner_margin(Margin::symmetric(10, 4));
    let drawn = frame.show(ui, |ui| {
        // Words and link stand on one line, though a link is taller.
        ui.spacing_mut().interact_size.y = 26.0;
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = space::TWO;
            ui.label(text(words, size::SMALL, Weight::Medium, tokens.ink));
            if let Some(back) = back
                && link(ui, &back.text).clicked()
            {
                out.push(back.command.clone());
            }
        });
    });
    if &shown != words {
        drawn.response.scroll_to_me(None);
        ui.data_mut(|data| data.insert_temp(shown_id, words.clone()));
    }
}

fn cards_ui(ui: &mut Ui, cards: &[CardView], view: &mut ViewState, out: &mut Vec<Command>) {
    let gap = ui.spacing().item_spacing.y;
    let full = ui.available_width();
    let mut per_row = 1;
    while (per_row as f32 + 1.0) * (CARD + gap) - gap <= full {
        per_row += 1;
    }
    let width = (full - gap * (per_row as f32 - 1.0)) / per_row as f32;
    for row in cards.chunks(per_row) {
        // Cards of a row are of one height, whatever stands on them.
        let tall = row.iter().map(|card| height_of(ui, card, width, view)).fold(0.0, f32::max);
        let (rect, _) = ui.allocate_exact_size(Vec2::new(full, tall), Sense::hover());
        for (place, card) in row.iter().enumerate() {
            let left = rect.left() + (width + gap) * place as f32;
            let at = Rect::from_min_size(Pos2::new(left, rect.top()), Vec2::new(width, tall));
            let mut child = ui.new_child(UiBuilder::new().id_salt(("card", &card.path, &card.name)).max_rect(at));
            card_ui(&mut child, at, card, view, out);
        }
    }
}

/// The name that is typed on a card, if one is.
fn naming_of<'a>(view: &'a mut ViewState, card: &CardView) -> Option<&'a mut Naming> {
    view.naming.as_mut().filter(|naming| card.path.as_ref() == Some(&naming.path))
}

/// Height that a card needs.
fn height_of(ui: &Ui, card: &CardView, width: f32, view: &mut ViewState) -> f32 {
    let words_width = width - 2.0 * PAD - PICTURE.x - space::ONE_HALF;
    let tokens = Tokens::of(ui);
    let lines = lines_of(card, tokens);
    let words: f32 = lines.iter().map(|line| line.laid_out(ui, words_width).size().y + GAP).sum();
    let face = 2.0 * PAD + words.max(PICTURE.y) + space::ONE + FOOT;
    let typing = naming_of(view, card).map_or(0.0, |naming| {
        let log = if naming.purpose == NamingFor::Copy { space::PRESS + space::ONE } else { 0.0 };
        let refused = if naming.refused.is_some() { 24.0 } else { 0.0 };
        2.0 * PAD + 2.0 * (space::PRESS + space::ONE) + 26.0 + log + refused
    });
    face.max(typing).ceil()
}

/// Words on at most so many lines.
struct Line<'a> {
    words: &'a str,
    font: (f32, Weight),
    color: Color32,
    most: usize,
}

impl Line<'_> {
    fn laid_out(&self, ui: &Ui, width: f32) -> Arc<Galley> {
        let (size_pt, weight) = self.font;
        let format = TextFormat { font_id: weight.font(size_pt), color: self.color, ..TextFormat::default() };
        let mut job = LayoutJob::single_section(self.words.to_owned(), format);
        job.wrap = TextWrapping { max_width: width, max_rows: self.most, ..TextWrapping::default() };
        ui.painter().layout_job(job)
    }

    /// Draws it; all of it is said on hovering where the lines are too few.
    fn show(&self, ui: &mut Ui) {
        let galley = self.laid_out(ui, ui.available_width());
        let elided = galley.elided;
        let (rect, response) = ui.allocate_exact_size(galley.size(), Sense::hover());
        response.widget_info(|| WidgetInfo::labeled(Role::Label, true, self.words));
        ui.painter().galley(rect.min, galley, self.color);
        if elided {
            response.on_hover_text(self.words);
        }
    }
}

/// What stands beside the picture of a card.
fn lines_of<'a>(card: &'a CardView, tokens: &Tokens) -> Vec<Line<'a>> {
    let line = |words: &'a str, font, color, most| Line { words, font, color, most };
    let small = (size::SMALL, Weight::Regular);
    let mut lines = vec![
        line(&card.name, (size::TITLE, Weight::SemiBold), tokens.ink, 2),
        line(&card.line, small, tokens.quiet, 2),
    ];
    if let Some(broken) = &card.broken {
        lines.push(line(broken, small, tokens.caution, 5));
    } else {
        lines.push(line(&card.crops, (size::BODY, Weight::Regular), tokens.ink, 3));
        lines.push(line(&card.reading, small, tokens.quiet, 2));
    }
    lines.retain(|line| !line.words.is_empty());
    lines
}

fn card_ui(ui: &mut Ui, rect: Rect, card: &CardView, view: &mut ViewState, out: &mut Vec<Command>) {
    let tokens = Tokens::of(ui);
    let inner = rect.shrink(PAD);
    let foot = Rect::from_min_max(Pos2::new(inner.left(), inner.bottom() - FOOT), inner.max);
    if let Some(naming) = naming_of(view, card) {
        ui.painter().rect(rect, space::RADIUS, tokens.card, Stroke::new(1.5, tokens.accent), StrokeKind::Inside);
        let mut child = ui.new_child(UiBuilder::new().max_rect(inner).layout(Layout::top_down(Align::Min)));
        naming_ui(&mut child, naming, out);
        return;
    }
    // All of the card but its foot is one thing to press.
    let mut edge = Stroke::new(1.0, tokens.hairline);
    let mut pressed = None;
    if let Some(open) = &card.open {
        let face = Rect::from_min_max(rect.min, Pos2::new(rect.right(), foot.top() - 2.0));
        let response = ui.interact(face, ui.scope_id().with("open"), Sense::click());
        response.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("Open {}", card.name)));
        if response.hovered() {
            edge = Stroke::new(1.0, tokens.accent);
        }
        if response.clicked() {
            out.push(open.clone());
        }
        pressed = Some(response.on_hover_cursor(CursorIcon::PointingHand));
    }
    ui.painter().rect(rect, space::RADIUS, tokens.card, edge, StrokeKind::Inside);
    if pressed.is_some_and(|response| response.has_focus()) {
        focus_ring(ui.painter(), rect.shrink(3.0), tokens);
    }
    face_ui(ui, inner, card);
    foot_ui(ui, foot, card, out);
}

fn face_ui(ui: &mut Ui, inner: Rect, card: &CardView) {
    let tokens = Tokens::of(ui);
    let picture = Rect::from_min_size(inner.min, PICTURE);
    if let Some(kind) = card.picture {
        kind_picture(ui.painter(), picture, kind, tokens);
    } else {
        caution_mark(ui.painter(), picture.center(), 34.0, tokens.caution, tokens.card);
    }
    let right = Rect::from_min_max(Pos2::new(picture.right() + space::ONE_HALF, inner.top()), inner.max);
    let mut beside = ui.new_child(UiBuilder::new().max_rect(right).layout(Layout::top_down(Align::Min)));
    beside.spacing_mut().item_spacing.y = GAP;
    for line in lines_of(card, tokens) {
        line.show(&mut beside);
    }
}

fn foot_ui(ui: &mut Ui, foot: Rect, card: &CardView, out: &mut Vec<Command>) {
    let mut child = ui.new_child(UiBuilder::new().max_rect(foot).layout(Layout::right_to_left(Align::Max)));
    child.spacing_mut().item_spacing.x = space::ONE_HALF;
    if !card.menu.is_empty() {
        more_ui(&mut child, card, out);
    }
    if let Some(door) = &card.door
        && link(&mut child, &door.text).accessible_name(format!("{}, not {}", door.text, card.name)).clicked()
    {
        out.push(door.command.clone());
    }
    let tokens = Tokens::of(ui);
    let left = Rect::from_min_max(foot.min, Pos2::new(child.min_rect().left() - space::ONE, foot.bottom()));
    let mut child = ui.new_child(UiBuilder::new().max_rect(left).layout(Layout::bottom_up(Align::Min)));
    child.spacing_mut().item_spacing.y = GAP;
    let due = card.due.as_deref().unwrap_or_default();
    // From below upwards.
    for (words, weight, color) in
        [(card.state.as_str(), Weight::Regular, tokens.quiet), (due, Weight::SemiBold, tokens.accent)]
    {
        if !words.is_empty() {
            Line { words, font: (size::SMALL, weight), color, most: 1 }.show(&mut child);
        }
    }
}

fn more_ui(ui: &mut Ui, card: &CardView, out: &mut Vec<Command>) {
    let name = format!("More for {}", card.name);
    let response = button_sized(ui, ButtonKind::Secondary, "More", Vec2::new(62.0, 28.0)).accessible_name(name);
    Popup::menu(&response).width(190.0).show(|ui| {
        let ink = Tokens::of(ui).ink;
        for item in &card.menu {
            if ui.button(text(&item.text, size::BODY, Weight::Regular, ink)).clicked() {
                out.push(item.command.clone());
                ui.close();
            }
        }
    });
}

/// Another name is typed, on the card itself.
fn naming_ui(ui: &mut Ui, naming: &mut Naming, out: &mut Vec<Command>) {
    let tokens = Tokens::of(ui);
    ui.spacing_mut().item_spacing.y = space::ONE;
    let (heading, done) = match naming.purpose {
        NamingFor::Rename => ("Its new name", "Rename"),
        NamingFor::Copy => ("Name of the copy", "Make a copy"),
    };
    quiet(ui, heading);
    let response = text_field(ui, heading, "", &mut naming.text, LONGEST_NAME);
    if std::mem::take(&mut naming.wants_focus) {
        response.request_focus();
        response.scroll_to_me(None);
    }
    let entered = response.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter));
    if naming.purpose == NamingFor::Copy {
        let choices = [Choice::new("", "Without its log"), Choice::new("log", "With its log")];
        let chosen = if naming.with_log { "log" } else { "" };
        if let Some(id) = segmented(ui, "What the copy takes along", &choices, chosen) {
            naming.with_log = id == "log";
        }
    }
    if let Some(refused) = &naming.refused {
        Line { words: refused, font: (size::SMALL, Weight::Regular), color: tokens.caution, most: 1 }.show(ui);
    }
    let mut done_pressed = false;
    let mut stop = ui.input(|i| i.key_pressed(Key::Escape));
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = space::ONE;
        done_pressed = button_sized(ui, ButtonKind::Primary, done, Vec2::new(108.0, 32.0)).clicked();
        stop |= button_sized(ui, ButtonKind::Secondary, "Cancel", Vec2::new(84.0, 32.0)).clicked();
    });
    if stop {
        out.push(Command::Owned(OwnedCommand::StopNaming));
    } else if done_pressed || entered {
        out.push(Command::Owned(OwnedCommand::Name));
    }
}

pub(super) fn folded_ui(
    ui: &mut Ui,
    what: &str,
    part: Part,
    files: &[AwayView],
    note: &str,
    view: &mut ViewState,
    out: &mut Vec<Command>,
) {
    if files.is_empty() {
        return;
    }
    let words = format!("{what} ({})", files.len());
    let pressed = disclosure(ui, &words, view.is_open(part)).clicked();
    if pressed {
        view.toggle(part);
    }
    if !view.is_open(part) {
        return;
    }
    let opened = card(ui, |ui| {
        ui.spacing_mut().item_spacing = Vec2::new(space::TWO, space::HALF);
        for (place, file) in files.iter().enumerate() {
            ui.push_id((what, place), |ui| away_ui(ui, file, out));
        }
        if !note.is_empty() {
            quiet(ui, note);
        }
    });
    if pressed {
        opened.response.scroll_to_me(None);
    }
}

pub(super) fn away_ui(ui: &mut Ui, file: &AwayView, out: &mut Vec<Command>) {
    // Words and links of a row stand on one line, though a link is taller.
    ui.spacing_mut().interact_size.y = 26.0;
    let note = if file.is_broken { "" } else { file.note.as_str() };
    ui.horizontal_wrapped(|ui| {
        let tokens = Tokens::of(ui);
        ui.label(text(&file.name, size::BODY, Weight::Medium, tokens.ink));
        if !note.is_empty() {
            quiet(ui, note);
        }
        for action in &file.links {
            let of = if note.is_empty() { file.name.clone() } else { format!("{}, {note}", file.name) };
            if link(ui, &action.text).accessible_name(format!("{}: {of}", action.text)).clicked() {
                out.push(action.command.clone());
            }
        }
    });
    if file.is_broken {
        notice_box(ui, &file.note);
    }
}
