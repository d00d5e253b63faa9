//! The answer strip: one sentence in large type, its range and reason, the tool, and what to do next.

use std::borrow::Cow;

use egui::{Align, Layout, Pos2, Rect, Role, Sense, Shape, Stroke, StrokeKind, Ui, UiBuilder, Vec2, WidgetInfo};

use super::command::{Command, Field};
use super::layout::Room;
use super::paint::{caution_mark, words_at};
use super::screens::reading::{ReadingPlace, reading_fields, strip_overflow};
use super::state::{Part, READING_FIELDS, ViewState};
use super::theme::{Tokens, Weight, size, space, text};
use super::tools::tool_ui;
use super::view::{AnswerKind, AnswerView, LinkView, ReadingView, TodayView, ToolView};
use super::widgets::{ButtonKind, button_sized, link, quiet};

/// Width of the column of buttons.
const BUTTONS: f32 = 120.0;
/// Width of the buttons beside a what-if.
const WHAT_IF: f32 = 150.0;
/// Width of the drawn tool.
const TOOL: f32 = 272.0;
/// Where the fields start beside the countdown.
const FIELDS_AT: f32 = 92.0 + 2.0 * space::TWO;
/// Width of countdown and fields after a pour.
const AFTER: f32 = 500.0;

/// Rows of small words that the strip always has room for, so that the columns above it stand still between plan, idea
/// and wait.
const ROWS: f32 = 3.0;

/// The answer in sight. While a reading is typed that is not recorded, an amount that rests on the old one is no answer.
pub fn in_sight<'a>(today: &'a TodayView, view: &ViewState) -> Cow<'a, AnswerView> {
    if !view.is_reading_pending() || matches!(today.answer.kind, AnswerKind::Wait { .. } | AnswerKind::Stuck(_)) {
        return Cow::Borrowed(&today.answer);
    }
    let wrong = READING_FIELDS.iter().any(|&field| view.drafts.trouble(field).is_some());
    let line =
        if wrong { "What is typed is not clear yet" } else { "What is typed is not recorded: the amount may change" };
    Cow::Owned(AnswerView {
        eyebrow: "Reading not recorded".to_owned(),
        sentence: "Record your reading first".to_owned(),
        lines: vec![line.to_owned()],
        kind: AnswerKind::NeedsFact(LinkView { text: "Record it".to_owned(), command: Command::RecordReading }),
        ..AnswerView::default()
    })
}

/// Height of a strip of this width with this answer in it.
pub fn height(ui: &Ui, answer: &AnswerView, view: &ViewState, width: f32, room: Room) -> f32 {
    let (pad, words_width, least) = match room {
        Room::Wide => {
            let least = 2.0 * space::ONE_HALF + usual_height(ui);
            (space::ONE_HALF, width - 2.0 * space::THREE - side_width(&answer.kind), least.ceil())
        }
        Room::Narrow => (space::ONE, width - 2.0 * space::ONE_HALF - narrow_side(&answer.kind), 104.0),
    };
    let grown = match (&answer.kind, room) {
        (AnswerKind::Wait { .. }, Room::Wide) => strip_overflow(ui, view, AFTER - FIELDS_AT),
        _ => 0.0,
    };
    (2.0 * pad + words_height(ui, answer, words_width, room)).ceil().max(least + grown)
}

/// Height of a line above, a sentence of one line, and [`ROWS`] of small words in two paragraphs.
fn usual_height(ui: &Ui) -> f32 {
    let row = |size_pt: f32, weight: Weight| ui.fonts_mut(|fonts| fonts.row_height(&weight.font(size_pt)));
    row(size::SMALL, Weight::Medium)
        + row(size::ANSWER, Weight::SemiBold)
        + ROWS * row(size::BODY, Weight::Regular)
        + 3.0 * gap(Room::Wide)
}

/// Height of the words of an answer, wrapped to a width.
fn words_height(ui: &Ui, answer: &AnswerView, width: f32, room: Room) -> f32 {
    let mut height = 0.0;
    for (i, (words, size_pt, weight, tone)) in parts(answer, room).into_iter().enumerate() {
        let width = if tone == Tone::Caution { width - MARK } else { width };
        let font = weight.font(size_pt);
        let galley = ui.painter().layout(words.to_owned(), font, egui::Color32::PLACEHOLDER, width.max(80.0));
        height += galley.size().y + if i > 0 { gap(room) } else { 0.0 };
    }
    if answer.surer.is_some() {
        height += gap(room) + ui.fonts_mut(|fonts| fonts.row_height(&Weight::Medium.font(size::SMALL))) + space::ONE;
    }
    height
}

/// Room for the mark before a caution.
const MARK: f32 = 18.0;

/// How words of the strip look.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Tone {
    Answer,
    Ink,
    Quiet,
    Caution,
}

/// The words of an answer in order, with size, weight and tone.
fn parts(answer: &AnswerView, room: Room) -> Vec<(&str, f32, Weight, Tone)> {
    let (large, small, lines) = type_of(room);
    let mut parts = vec![
        (answer.eyebrow.as_str(), size::SMALL, Weight::Medium, Tone::Quiet),
        (answer.sentence.as_str(), large, Weight::SemiBold, Tone::Answer),
    ];
    parts.extend(answer.first.iter().map(|words| (words.as_str(), small, Weight::Medium, Tone::Ink)));
    parts.extend(answer.caution.iter().map(|words| (words.as_str(), small, Weight::Medium, Tone::Caution)));
    if room == Room::Narrow {
        parts.extend(answer.wear.iter().map(|words| (words.as_str(), small, Weight::Medium, Tone::Caution)));
    }
    parts.extend(answer.lines.iter().take(lines).map(|words| (words.as_str(), small, Weight::Regular, Tone::Quiet)));
    parts
}

/// Size of the sentence, size of the lines, and how many of them there is room for.
fn type_of(room: Room) -> (f32, f32, usize) {
    match room {
        Room::Wide => (size::ANSWER, size::BODY, usize::MAX),
        Room::Narrow => (size::LARGE, size::SMALL, 1),
    }
}

/// Room between the lines of the answer.
fn gap(room: Room) -> f32 {
    match room {
        Room::Wide => space::ONE,
        Room::Narrow => space::HALF,
    }
}

fn side_width(kind: &AnswerKind) -> f32 {
    match kind {
        AnswerKind::Pour { .. } => TOOL + BUTTONS + 2.0 * space::THREE,
        AnswerKind::WhatIf { .. } => TOOL + WHAT_IF + 2.0 * space::THREE,
        AnswerKind::Wait { .. } => AFTER + space::THREE,
        AnswerKind::LeaveIt | AnswerKind::NeedsFact(_) | AnswerKind::Stuck(_) => 220.0 + space::THREE,
    }
}

fn narrow_side(kind: &AnswerKind) -> f32 {
    match kind {
        AnswerKind::Stuck(None) => 0.0,
        AnswerKind::WhatIf { .. } => WHAT_IF + space::TWO,
        AnswerKind::Wait { .. } => 172.0 + space::TWO,
        _ => BUTTONS + space::TWO,
    }
}

/// Draws the strip into `rect`.
pub fn strip_ui(
    ui: &mut Ui,
    rect: Rect,
    room: Room,
    (answer, reading): (&AnswerView, &ReadingView),
    view: &mut ViewState,
    out: &mut Vec<Command>,
) {
    let tokens = Tokens::of(ui);
    ui.painter().rect(rect, space::RADIUS, tokens.card, Stroke::new(1.5, tokens.accent), StrokeKind::Inside);
    let (inset, side) = match room {
        Room::Wide => (Vec2::new(space::THREE, space::ONE_HALF), side_width(&answer.kind)),
        Room::Narrow => (Vec2::new(space::ONE_HALF, space::ONE), narrow_side(&answer.kind)),
    };
    let inner = rect.shrink2(inset);
    let words = Rect::from_min_max(inner.min, Pos2::new(inner.right() - side, inner.bottom()));
    let mut child = ui.new_child(UiBuilder::new().max_rect(words).layout(Layout::top_down(Align::Min)));
    // A window too low for all the words scrolls them rather than cutting them off.
    egui::ScrollArea::vertical().id_salt("answer words").show(&mut child, |ui| words_ui(ui, answer, room, out));
    let side = Rect::from_min_max(Pos2::new(words.right(), inner.top()), inner.max);
    match (&answer.kind, room) {
        (AnswerKind::Pour { tool, of, then }, Room::Wide) => pour_side(ui, side, (tool, of, then), view, out),
        (AnswerKind::Pour { then, .. }, Room::Narrow) => narrow_pour_side(ui, side, then, view, out),
        (AnswerKind::WhatIf { tool, done }, _) => what_if_side(ui, side, (tool.as_ref(), done), out),
        (AnswerKind::Wait { passed, left }, Room::Wide) => wait_side(ui, side, (*passed, left), reading, view, out),
        (AnswerKind::Wait { passed, left }, Room::Narrow) => narrow_wait_side(ui, side, *passed, left, out),
        (AnswerKind::NeedsFact(link) | AnswerKind::Stuck(Some(link)), _) => {
            let mut child = centred(ui, side);
            if button_sized(&mut child, ButtonKind::Primary, &link.text, Vec2::new(BUTTONS, 36.0)).clicked() {
                out.push(link.command.clone());
            }
        }
        (AnswerKind::LeaveIt, _) => {
            let mut child = centred(ui, side);
            if button_sized(&mut child, ButtonKind::Secondary, "Tub card", Vec2::new(BUTTONS, 36.0)).clicked() {
                out.push(Command::ToggleTubCard);
            }
        }
        (AnswerKind::Stuck(None), _) => {}
    }
}

fn centred(ui: &mut Ui, rect: Rect) -> Ui {
    ui.new_child(UiBuilder::new().max_rect(rect).layout(Layout::right_to_left(Align::Center)))
}

fn words_ui(ui: &mut Ui, answer: &AnswerView, room: Room, out: &mut Vec<Command>) {
    let tokens = Tokens::of(ui);
    let free = ui.available_height() - words_height(ui, answer, ui.available_width(), room);
    ui.spacing_mut().item_spacing.y = gap(room);
    ui.add_space((free / 2.0).max(0.0));
    for (words, size_pt, weight, tone) in parts(answer, room) {
        match tone {
            Tone::Answer => {
                let sentence = ui.label(text(words, size_pt, weight, tokens.ink));
                // The answer is announced when it changes.
                ui.ctx().accesskit_node_builder(sentence.id, |node| node.set_live(egui::accesskit::Live::Polite));
            }
            Tone::Ink => {
                ui.label(text(words, size_pt, weight, tokens.ink));
            }
            Tone::Quiet => {
                ui.label(text(words, size_pt, weight, tokens.quiet));
            }
            Tone::Caution => caution_line(ui, words, size_pt, weight),
        }
    }
    if let Some(surer) = &answer.surer
        && link(ui, &surer.text).clicked()
    {
        out.push(surer.command.clone());
    }
}

/// A line of caution with its mark: never colour alone.
fn caution_line(ui: &mut Ui, words: &str, size_pt: f32, weight: Weight) {
    let tokens = Tokens::of(ui);
    let width = (ui.available_width() - MARK).max(80.0);
    let galley = ui.painter().layout(words.to_owned(), weight.font(size_pt), tokens.caution, width);
    let (rect, response) = ui.allocate_exact_size(galley.size() + Vec2::new(MARK, 0.0), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Note, true, format!("Caution: {words}")));
    let row = galley.rows.first().map_or(0.0, |row| row.height());
    caution_mark(ui.painter(), rect.min + Vec2::new(6.0, row / 2.0), 11.0, tokens.caution, tokens.card);
    ui.painter().galley(rect.min + Vec2::new(MARK, 0.0), galley, tokens.caution);
}

fn pour_side(
    ui: &mut Ui,
    side: Rect,
    (tool, of, then): (&ToolView, &str, &str),
    view: &ViewState,
    out: &mut Vec<Command>,
) {
    let buttons = tool_and_buttons(ui, side, BUTTONS, Some((tool, of)));
    let mut child = ui.new_child(UiBuilder::new().max_rect(buttons).layout(Layout::top_down(Align::Max)));
    child.spacing_mut().item_spacing.y = space::HALF;
    pour_buttons(&mut child, view, out);
    quiet(&mut child, then);
}

/// Draws the tool at the left of the side, and returns the room for the buttons.
fn tool_and_buttons(ui: &mut Ui, side: Rect, width: f32, tool: Option<(&ToolView, &str)>) -> Rect {
    let buttons = Rect::from_min_max(Pos2::new(side.right() - width, side.top()), side.max);
    let Some((tool, of)) = tool else { return buttons };
    let caption = if of.is_empty() { 0.0 } else { 20.0 };
    let tool_room = Rect::from_min_max(
        Pos2::new(side.left() + space::THREE, side.top()),
        Pos2::new(buttons.left() - space::THREE, side.bottom() - caption),
    );
    let mut child = ui.new_child(UiBuilder::new().max_rect(tool_room));
    tool_ui(&mut child, tool, tool_room.size());
    if !of.is_empty() {
        let below = Rect::from_min_max(
            Pos2::new(tool_room.left(), tool_room.bottom()),
            Pos2::new(tool_room.right(), side.bottom()),
        );
        let layout = Layout::top_down(Align::Center);
        let mut child = ui.new_child(UiBuilder::new().max_rect(below).layout(layout));
        let ink = Tokens::of(&child).ink;
        child.label(text(of, size::BODY, Weight::SemiBold, ink));
    }
    buttons
}

/// A what-if is noted by a quiet button, and the plan is one press away.
fn what_if_side(ui: &mut Ui, side: Rect, (tool, done): (Option<&(ToolView, String)>, &str), out: &mut Vec<Command>) {
    let tool = tool.filter(|_| side.width() > WHAT_IF + 2.0 * space::THREE).map(|(tool, of)| (tool, of.as_str()));
    let buttons = tool_and_buttons(ui, side, WHAT_IF, tool);
    let mut child = ui.new_child(UiBuilder::new().max_rect(buttons).layout(Layout::top_down(Align::Max)));
    child.spacing_mut().item_spacing.y = space::ONE;
    if button_sized(&mut child, ButtonKind::Soft, "Back to the plan", Vec2::new(WHAT_IF, 36.0)).clicked() {
        out.push(Command::WorkItOut);
    }
    if !done.is_empty() && button_sized(&mut child, ButtonKind::Secondary, done, Vec2::new(WHAT_IF, 32.0)).clicked() {
        out.push(Command::PouredIt);
    }
}

fn narrow_pour_side(ui: &mut Ui, side: Rect, then: &str, view: &ViewState, out: &mut Vec<Command>) {
    let mut child = ui.new_child(UiBuilder::new().max_rect(side).layout(Layout::top_down(Align::Max)));
    child.spacing_mut().item_spacing.y = space::HALF;
    pour_buttons(&mut child, view, out);
    quiet(&mut child, then);
}

fn pour_buttons(ui: &mut Ui, view: &ViewState, out: &mut Vec<Command>) {
    let size_pt = Vec2::new(BUTTONS, 36.0);
    if button_sized(ui, ButtonKind::Primary, "Poured it", size_pt).clicked() {
        out.push(Command::PouredIt);
    }
    let words = if view.is_open(Part::TubCard) { "Hide the card" } else { "Tub card" };
    if button_sized(ui, ButtonKind::Secondary, words, Vec2::new(BUTTONS, 32.0)).clicked() {
        out.push(Command::ToggleTubCard);
    }
    if link(ui, "Poured otherwise").on_hover_text("I poured something else, or another amount").clicked() {
        out.push(Command::OpenWriting);
    }
}

fn wait_side(
    ui: &mut Ui,
    side: Rect,
    (passed, left): (f32, &str),
    reading: &ReadingView,
    view: &mut ViewState,
    out: &mut Vec<Command>,
) {
    let ring = Rect::from_min_size(Pos2::new(side.left() + space::TWO, side.top()), Vec2::new(92.0, side.height()));
    countdown(ui, ring, passed, left);
    let fields = Rect::from_min_max(Pos2::new(ring.right() + space::TWO, side.top()), side.max);
    let mut child = ui.new_child(UiBuilder::new().max_rect(fields).layout(Layout::top_down(Align::Min)));
    child.spacing_mut().item_spacing.y = space::ONE;
    child.label(text("What did you read?", size::BODY, Weight::SemiBold, Tokens::of(&child).ink));
    reading_fields(&mut child, reading, ReadingPlace::Strip, view, out);
}

fn narrow_wait_side(ui: &mut Ui, side: Rect, passed: f32, left: &str, out: &mut Vec<Command>) {
    let ring = Rect::from_min_size(side.left_top(), Vec2::new(64.0, side.height()));
    countdown(ui, ring, passed, left);
    let rest = Rect::from_min_max(Pos2::new(ring.right(), side.top()), side.max);
    let mut child = centred(ui, rest);
    if button_sized(&mut child, ButtonKind::Primary, "Type it in", Vec2::new(100.0, 36.0)).clicked() {
        out.push(Command::Focus(Field::ReadingPh));
    }
}

/// A ring that empties as the wait passes, the time left inside.
fn countdown(ui: &mut Ui, rect: Rect, passed: f32, left: &str) {
    let response = ui.allocate_rect(rect, Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Timer, true, format!("{left} left before the next reading")));
    let tokens = Tokens::of(ui);
    let painter = ui.painter();
    let center = rect.center();
    let radius = (rect.width().min(rect.height()) / 2.0 - 4.0).clamp(16.0, 42.0);
    painter.circle_stroke(center, radius, Stroke::new(5.0, tokens.hairline));
    let left_share = 1.0 - passed.clamp(0.0, 1.0);
    let arc: Vec<Pos2> = (0..=60_u8)
        .map(|i| {
            let angle = std::f32::consts::TAU * (-0.25 - left_share * f32::from(i) / 60.0);
            center + radius * Vec2::angled(angle)
        })
        .collect();
    painter.add(Shape::line(arc, Stroke::new(5.0, tokens.accent)));
    let weight = (if radius > 30.0 { size::TITLE } else { size::SMALL }, Weight::SemiBold);
    words_at(painter, center, egui::Align2::CENTER_CENTER, left, weight, tokens.ink);
}
