//! The page of the log: what happened, newest first, and beside each reading what was told before it.
//!
//! Only the rows in sight are laid out: heights are worked out once for a width, so that a log of years scrolls as a short one.

use egui::{
    Align, Layout, Margin, Painter, Pos2, Rect, Role, ScrollArea, Sense, Stroke, Ui, UiBuilder, Vec2, WidgetInfo,
};

use super::page_card;
use crate::ui::command::Command;
use crate::ui::paint::{caution_mark, words_at};
use crate::ui::state::{LogRows, ViewState};
use crate::ui::theme::{Tokens, Weight, size, space, text};
use crate::ui::tools::drop_shape;
use crate::ui::view::{EntryMark, EntryView, LogRow, LogView, ToldView, VersusView, WayView};
use crate::ui::widgets::{ButtonKind, body, button_sized, link, quiet, title};

/// Widest the list gets: the eye must find the way from an entry to what was told of it.
const WIDEST: f32 = 1040.0;
/// Width from which what was told stands beside the reading.
const BESIDE_FROM: f32 = 760.0;
/// Width of what was told.
const TOLD: f32 = 330.0;
/// Width of the time.
const TIME: f32 = 48.0;
/// Width of the mark of an entry's kind.
const MARK: f32 = 28.0;
/// Width of the link at the end of an entry.
const MEND: f32 = 44.0;
/// Room above and below an entry.
const PAD: f32 = 9.0;
/// Height of a day's name.
const DAY: f32 = 40.0;
/// Height of a quantity as told and as read.
const VERSUS: f32 = 20.0;
/// Room between the lines of an entry.
const GAP: f32 = 2.0;
/// Height of a link below the lines of an entry.
const LINK: f32 = 24.0;

/// Draws the page below the bar, into `window` (which includes the bar).
pub fn log_ui(ui: &mut Ui, window: Rect, log: &LogView, view: &mut ViewState, out: &mut Vec<Command>) {
    let heading = |ui: &mut Ui, out: &mut Vec<Command>| {
        heading_ui(ui, log, out);
        if let Some((words, back)) = &log.way_back {
            way_back_ui(ui, words, &back.text, || out.push(back.command.clone()));
        }
    };
    page_card(ui, (window, WIDEST), out, heading, |ui, out| {
        if log.rows.is_empty() {
            empty_ui(ui);
        } else {
            rows_ui(ui, log, view, out);
        }
    });
}

fn heading_ui(ui: &mut Ui, log: &LogView, out: &mut Vec<Command>) {
    if ui.available_width() < 520.0 {
        title(ui, &format!("Log of {}", log.unit_name));
        quiet(ui, &log.count);
        ui.horizontal(|ui| buttons(ui, log, out));
        return;
    }
    let row = Vec2::new(ui.available_width(), 44.0);
    ui.allocate_ui_with_layout(row, Layout::right_to_left(Align::Center), |ui| {
        ui.set_min_size(row);
        buttons(ui, log, out);
        ui.with_layout(Layout::top_down(Align::Min), |ui| {
            ui.spacing_mut().item_spacing.y = space::HALF;
            title(ui, &format!("Log of {}", log.unit_name));
            quiet(ui, &log.count);
        });
    });
}

fn buttons(ui: &mut Ui, log: &LogView, out: &mut Vec<Command>) {
    ui.spacing_mut().item_spacing.x = space::ONE;
    if button_sized(ui, ButtonKind::Primary, "Write something down", Vec2::new(184.0, 36.0)).clicked() {
        out.push(Command::OpenWriting);
    }
    if !log.rows.is_empty() && button_sized(ui, ButtonKind::Secondary, "Copy as text", Vec2::new(108.0, 36.0)).clicked()
    {
        ui.ctx().copy_text(log.text.to_string());
    }
}

/// What was changed last, with the way back.
pub(super) fn way_back_ui(ui: &mut Ui, words: &str, back: &str, pressed: impl FnOnce()) {
    let tokens = Tokens::of(ui);
    egui::Frame::new().fill(tokens.accent_soft).corner_radius(6).inner_margin(Margin::symmetric(10, 4)).show(
        ui,
        |ui| {
            title_row_of(ui, words, |ui| {
                if link(ui, back).clicked() {
                    pressed();
                }
            });
        },
    );
}

fn title_row_of(ui: &mut Ui, words: &str, at_end: impl FnOnce(&mut Ui)) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = space::TWO;
        let ink = Tokens::of(ui).ink;
        ui.label(text(words, size::SMALL, Weight::Medium, ink));
        at_end(ui);
    });
}

fn empty_ui(ui: &mut Ui) {
    ui.add_space(space::TWO);
    body(ui, "Here will stand what happens in this unit");
    quiet(
        ui,
        "Each reading, each pour and all water that goes in or out, as you record them on the page of today or write them down here. \
         Beside each reading stands what was told before it, so that you can see how far the answers are to be trusted",
    );
}

fn rows_ui(ui: &mut Ui, log: &LogView, view: &mut ViewState, out: &mut Vec<Command>) {
    // The scroll bar has the margin to itself.
    let width = ui.available_width() - space::ONE_HALF;
    measure(ui, log, width, &mut view.log_rows);
    let tops = &view.log_rows.tops;
    let total = tops.last().copied().unwrap_or(0.0);
    ScrollArea::vertical().id_salt("log").auto_shrink(false).show_viewport(ui, |ui, seen| {
        ui.set_height(total);
        let origin = ui.max_rect().min;
        let first = tops.partition_point(|top| *top <= seen.top()).saturating_sub(1);
        for (place, row) in log.rows.iter().enumerate().skip(first) {
            let (Some(top), Some(bottom)) = (tops.get(place), tops.get(place + 1)) else { break };
            if *top > seen.bottom() {
                break;
            }
            let rect = Rect::from_min_max(origin + Vec2::new(0.0, *top), origin + Vec2::new(width, *bottom));
            match row {
                LogRow::Day(day) => day_ui(ui, rect, day),
                LogRow::Entry(entry) => {
                    ui.push_id(("entry", entry.index), |ui| entry_ui(ui, rect, entry, out));
                }
            }
        }
    });
}

/// Works out where each row starts, unless it is known for this room.
fn measure(ui: &Ui, log: &LogView, width: f32, kept: &mut LogRows) {
    let of = (log.stamp, width.to_bits(), ui.ctx().pixels_per_point().to_bits());
    if kept.of == of && kept.tops.len() == log.rows.len() + 1 {
        return;
    }
    let mut top = 0.0;
    let mut tops = vec![top];
    for row in log.rows.iter() {
        top += match row {
            LogRow::Day(_) => DAY,
            LogRow::Entry(entry) => entry_height(ui, entry, width),
        };
        tops.push(top);
    }
    *kept = LogRows { of, tops };
}

/// Room for the words of an entry.
fn words_width(entry: &EntryView, width: f32) -> f32 {
    let beside = if entry.told.is_some() && width >= BESIDE_FROM { TOLD + space::TWO } else { 0.0 };
    width - TIME - MARK - MEND - space::ONE - beside
}

fn height_of(ui: &Ui, words: &str, (size_pt, weight): (f32, Weight), width: f32) -> f32 {
    let galley =
        ui.painter().layout(words.to_owned(), weight.font(size_pt), egui::Color32::PLACEHOLDER, width.max(60.0));
    galley.size().y
}

const TITLE_FONT: (f32, Weight) = (size::BODY, Weight::Medium);
const LINE_FONT: (f32, Weight) = (size::SMALL, Weight::Regular);

fn entry_height(ui: &Ui, entry: &EntryView, width: f32) -> f32 {
    let room = words_width(entry, width);
    let mut words = height_of(ui, &entry.title, TITLE_FONT, room);
    for line in &entry.lines {
        words += GAP + height_of(ui, line, LINE_FONT, room);
    }
    if let Some((doubt, _)) = &entry.doubt {
        words += GAP + height_of(ui, doubt, LINE_FONT, room - CAUTION) + LINK;
    }
    let told = entry.told.as_ref().map_or(0.0, told_height);
    let inner =
        if width >= BESIDE_FROM { words.max(told) } else { words + if told > 0.0 { told + space::HALF } else { 0.0 } };
    (inner + 2.0 * PAD).ceil()
}

fn told_height(told: &ToldView) -> f32 {
    18.0 + VERSUS * told.versus.len() as f32
}

fn day_ui(ui: &mut Ui, rect: Rect, day: &str) {
    let tokens = Tokens::of(ui);
    let at = Pos2::new(rect.left(), rect.bottom() - 8.0);
    let words =
        words_at(ui.painter(), at, egui::Align2::LEFT_BOTTOM, day, (size::SMALL, Weight::SemiBold), tokens.quiet);
    ui.painter().hline(words.right() + space::ONE..=rect.right(), words.center().y, Stroke::new(1.0, tokens.hairline));
    let response = ui.interact(words, ui.scope_id().with(("day", day)), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Heading, true, day));
}

fn entry_ui(ui: &mut Ui, rect: Rect, entry: &EntryView, out: &mut Vec<Command>) {
    let tokens = Tokens::of(ui);
    let inner = rect.shrink2(Vec2::new(0.0, PAD));
    let time = (size::SMALL, Weight::Regular);
    let row = height_of(ui, "0", TITLE_FONT, 200.0);
    let middle = inner.top() + row / 2.0;
    let at =
        ui.interact(Rect::from_min_size(inner.min, Vec2::new(TIME, row)), ui.scope_id().with("time"), Sense::hover());
    at.widget_info(|| WidgetInfo::labeled(Role::Label, true, entry.time.as_str()));
    words_at(ui.painter(), Pos2::new(inner.left(), middle), egui::Align2::LEFT_CENTER, &entry.time, time, tokens.quiet);
    mark_ui(ui.painter(), Pos2::new(inner.left() + TIME + 8.0, middle), entry.mark, tokens);

    let left = inner.left() + TIME + MARK;
    let width = words_width(entry, rect.width());
    let words = Rect::from_min_size(Pos2::new(left, inner.top()), Vec2::new(width, inner.height()));
    let mut child = ui.new_child(UiBuilder::new().max_rect(words).layout(Layout::top_down(Align::Min)));
    child.spacing_mut().item_spacing.y = GAP;
    words_ui(&mut child, entry, out);
    let below = child.min_rect().bottom();

    let mend = Rect::from_min_size(Pos2::new(rect.right() - MEND, middle - LINK / 2.0), Vec2::new(MEND, LINK));
    let mut child = ui.new_child(UiBuilder::new().max_rect(mend).layout(Layout::right_to_left(Align::Center)));
    let name = format!("Mend {}, {}", entry.title, entry.time);
    if link(&mut child, "Mend").accessible_name(name).clicked() {
        out.push(Command::MendEntry(entry.index));
    }

    let Some(told) = &entry.told else { return };
    let at = if rect.width() >= BESIDE_FROM {
        Rect::from_min_size(Pos2::new(mend.left() - space::ONE - TOLD, inner.top()), Vec2::new(TOLD, inner.height()))
    } else {
        Rect::from_min_max(Pos2::new(left, below + space::HALF), Pos2::new(rect.right(), rect.bottom()))
    };
    let mut child = ui.new_child(UiBuilder::new().max_rect(at).layout(Layout::top_down(Align::Min)));
    told_ui(&mut child, told);
}

/// Room for the mark before a caution.
const CAUTION: f32 = 18.0;

fn words_ui(ui: &mut Ui, entry: &EntryView, out: &mut Vec<Command>) {
    let tokens = Tokens::of(ui);
    ui.label(text(&entry.title, TITLE_FONT.0, TITLE_FONT.1, tokens.ink));
    for line in &entry.lines {
        quiet(ui, line);
    }
    if let Some((doubt, aside)) = &entry.doubt {
        let width = (ui.available_width() - CAUTION).max(60.0);
        let galley = ui.painter().layout(doubt.clone(), LINE_FONT.1.font(LINE_FONT.0), tokens.caution, width);
        let (rect, response) = ui.allocate_exact_size(galley.size() + Vec2::new(CAUTION, 0.0), Sense::hover());
        response.widget_info(|| WidgetInfo::labeled(Role::Note, true, format!("Caution: {doubt}")));
        let row = galley.rows.first().map_or(0.0, |row| row.height());
        caution_mark(ui.painter(), rect.min + Vec2::new(6.0, row / 2.0), 11.0, tokens.caution, tokens.card);
        ui.painter().galley(rect.min + Vec2::new(CAUTION, 0.0), galley, tokens.caution);
        if link(ui, &aside.text).accessible_name(format!("{}: {}", aside.text, entry.title)).clicked() {
            out.push(aside.command.clone());
        }
    }
}

/// What was told, each quantity with its range drawn and the reading on it.
fn told_ui(ui: &mut Ui, told: &ToldView) {
    ui.spacing_mut().item_spacing.y = 0.0;
    let row = Vec2::new(ui.available_width(), 18.0);
    let heading = ui.allocate_ui_with_layout(row, Layout::left_to_right(Align::Center), |ui| {
        ui.set_min_size(row);
        quiet(ui, &told.heading);
    });
    heading.response.on_hover_text(&told.model);
    for versus in &told.versus {
        versus_ui(ui, versus);
    }
}

fn versus_ui(ui: &mut Ui, versus: &VersusView) {
    let tokens = Tokens::of(ui);
    let (rect, response) = ui.allocate_exact_size(Vec2::new(ui.available_width(), VERSUS), Sense::hover());
    let words = format!("{} · {}", versus.told, versus.words);
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, format!("{} {words}", versus.label)));
    let painter = ui.painter();
    let small = |weight: Weight| (size::SMALL, weight);
    let left = Pos2::new(rect.left(), rect.center().y);
    words_at(painter, left, egui::Align2::LEFT_CENTER, &versus.label, small(Weight::Medium), tokens.quiet);
    let bar = Rect::from_min_size(Pos2::new(rect.left() + 24.0, rect.top()), Vec2::new(88.0, rect.height()));
    range_ui(painter, bar, versus, tokens);
    let mark = Pos2::new(bar.right() + 16.0, rect.center().y);
    let ink = if versus.way == WayView::AsTold { tokens.ink } else { tokens.caution };
    way_mark(painter, mark, versus.way, tokens);
    words_at(
        painter,
        Pos2::new(mark.x + 11.0, rect.center().y),
        egui::Align2::LEFT_CENTER,
        &words,
        small(Weight::Regular),
        ink,
    );
}

/// The range told in the middle of a rail, and the reading as a dot: full inside, a ring outside.
fn range_ui(painter: &Painter, rect: Rect, versus: &VersusView, tokens: &Tokens) {
    let y = rect.center().y;
    // The range takes the middle half: what lies outside has room on either side.
    let at = |share: f32| rect.left() + rect.width() * (0.25 + 0.5 * share.clamp(-0.45, 1.45));
    let bar = |from: f32, to: f32, height: f32| {
        Rect::from_min_max(Pos2::new(from, y - height / 2.0), Pos2::new(to, y + height / 2.0))
    };
    painter.rect_filled(bar(rect.left(), rect.right(), 3.0), 1.5, tokens.hairline);
    painter.rect_filled(bar(at(0.0), at(1.0), 5.0), 2.5, tokens.liquid);
    let dot = Pos2::new(at(versus.at), y);
    if versus.way == WayView::AsTold {
        painter.circle(dot, 4.5, tokens.ink, Stroke::new(1.5, tokens.card));
    } else {
        painter.circle(dot, 4.5, tokens.card, Stroke::new(2.0, tokens.caution));
    }
}

/// A tick for what came as told, a triangle that points to where it lies otherwise.
fn way_mark(painter: &Painter, at: Pos2, way: WayView, tokens: &Tokens) {
    let points = |points: [(f32, f32); 3]| points.map(|(x, y)| at + Vec2::new(x, y)).to_vec();
    match way {
        WayView::AsTold => {
            painter.line(points([(-4.0, 0.5), (-1.0, 3.5), (4.5, -3.5)]), Stroke::new(1.8, tokens.zone_edge));
        }
        WayView::Above => {
            let corners = points([(0.0, -4.0), (4.5, 3.5), (-4.5, 3.5)]);
            painter.add(egui::Shape::convex_polygon(corners, tokens.caution, Stroke::NONE));
        }
        WayView::Below => {
            let corners = points([(0.0, 4.0), (-4.5, -3.5), (4.5, -3.5)]);
            painter.add(egui::Shape::convex_polygon(corners, tokens.caution, Stroke::NONE));
        }
    }
}

/// The kind of an entry: a dot for a reading, as on the map, a drop for a pour, a level for water, and lines for words.
fn mark_ui(painter: &Painter, at: Pos2, mark: EntryMark, tokens: &Tokens) {
    let stroke = Stroke::new(1.5, tokens.quiet);
    match mark {
        EntryMark::Reading => {
            painter.circle_filled(at, 4.5, tokens.ink);
        }
        EntryMark::Pour => drop_shape(painter, at, 6.0, tokens),
        EntryMark::Water => {
            for dy in [-2.5, 2.5] {
                let points = [(-6.0, 0.8), (-2.0, -0.8), (2.0, 0.8), (6.0, -0.8)];
                painter.line(points.map(|(x, y)| at + Vec2::new(x, y + dy)).to_vec(), stroke);
            }
        }
        EntryMark::Fill => {
            let tub = [(-6.0, -5.0), (-5.0, 5.0), (5.0, 5.0), (6.0, -5.0)];
            painter.line(tub.map(|(x, y)| at + Vec2::new(x, y)).to_vec(), stroke);
            painter.hline(at.x - 5.0..=at.x + 5.0, at.y - 1.5, stroke);
        }
        EntryMark::Jar => {
            let jar = Rect::from_center_size(at + Vec2::new(0.0, 1.5), Vec2::new(9.0, 9.0));
            painter.rect_stroke(jar, 2.0, stroke, egui::StrokeKind::Middle);
            painter.hline(at.x - 3.0..=at.x + 3.0, at.y - 5.5, stroke);
        }
        EntryMark::Note => {
            for (dy, right) in [(-4.0, 5.0), (0.0, 5.0), (4.0, 1.0)] {
                painter.hline(at.x - 5.0..=at.x + right, at.y + dy, stroke);
            }
        }
    }
}
