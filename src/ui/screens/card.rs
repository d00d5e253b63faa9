//! The tub card, laid out as the sheet of paper that hangs beside the tub.

use egui::{Pos2, Rect, Sense, Stroke, StrokeKind, Ui, Vec2};

use crate::card::{Blank, Card, CardStep, label};
use crate::ui::command::Command;
use crate::ui::paint::{line, words_at};
use crate::ui::theme::{Tokens, Weight, size, space, text};
use crate::ui::tools::tool_ui;
use crate::ui::view::TubCardView;
use crate::ui::widgets::{ButtonKind, body, button_sized, caution_box, quiet, rule, stop_box, subtitle};

/// Room left of a step for its tick box.
const TICK: f32 = 32.0;
/// Room of the drawn tool.
const TOOL: Vec2 = Vec2::new(232.0, 96.0);
/// Room of the words beside it, at least.
const WORDS: f32 = 200.0;

/// Draws the card and its buttons.
pub(super) fn tub_card_ui(ui: &mut Ui, view: &TubCardView, out: &mut Vec<Command>) {
    quiet(ui, "Tub card");
    let height = (ui.ctx().content_rect().height() - 152.0).clamp(120.0, 620.0);
    egui::ScrollArea::vertical().max_height(height).auto_shrink([false, true]).show(ui, |ui| {
        // The scroll bar stands beside the sheet.
        ui.set_max_width(ui.available_width() - 14.0);
        ui.spacing_mut().item_spacing.y = space::HALF;
        match &view.card {
            Some(card) => card_ui(ui, card),
            None => quiet(ui, "There is no plan yet to put on paper"),
        }
    });
    ui.add_space(space::ONE);
    ui.horizontal(|ui| {
        if button_sized(ui, ButtonKind::Primary, "Close", Vec2::new(88.0, 36.0)).clicked() {
            out.push(Command::ToggleTubCard);
        }
        if view.card.is_none() {
            return;
        }
        if button_sized(ui, ButtonKind::Secondary, "Copy the text", Vec2::new(120.0, 36.0)).clicked() {
            ui.ctx().copy_text(view.text.clone());
        }
        if button_sized(ui, ButtonKind::Secondary, "Save as PDF…", Vec2::new(128.0, 36.0)).clicked() {
            out.push(Command::SavePdf);
        }
    });
}

fn card_ui(ui: &mut Ui, card: &Card) {
    let tokens = Tokens::of(ui);
    ui.label(text(&card.unit, size::ANSWER, Weight::SemiBold, tokens.ink));
    quiet(ui, &card.date);
    body(ui, &card.facts);
    for (label, words) in card.facts_lines() {
        body(ui, &format!("{label}: {words}"));
    }
    for step in &card.steps {
        rule(ui);
        step_ui(ui, step);
    }
    rule(ui);
    for section in &card.sections {
        subtitle(ui, section.title);
        for line in &section.lines {
            body(ui, &format!("· {line}"));
        }
        ui.add_space(space::HALF);
    }
    blanks_ui(ui, Some(label::NEXT_READING), &card.next_reading);
    quiet(ui, &card.last);
}

fn step_ui(ui: &mut Ui, step: &CardStep) {
    let tokens = Tokens::of(ui);
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 0.0;
        let (tick, _) = ui.allocate_exact_size(Vec2::new(TICK, 28.0), Sense::hover());
        let tick = Rect::from_min_size(tick.min + Vec2::new(0.0, 5.0), Vec2::splat(18.0));
        ui.painter().rect_stroke(tick, 3.0, Stroke::new(1.5, tokens.ink), StrokeKind::Inside);
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = space::HALF;
            order_ui(ui, step);
            for words in &step.lines {
                quiet(ui, words);
            }
            if let Some(remark) = step.remark {
                quiet(ui, remark);
            }
            for words in [&step.wait, &step.expect].into_iter().flatten() {
                ui.label(text(words, size::BODY, Weight::Medium, tokens.ink));
            }
            if let Some(settles) = &step.settles {
                quiet(ui, settles);
            }
            if !step.stop_if.is_empty() {
                stop_box(ui, label::STOP_IF, &step.stop_if);
            }
            if !step.cautions.is_empty() {
                caution_box(ui, &step.cautions.join(" "));
            }
            if !step.record.is_empty() {
                blanks_ui(ui, None, &step.record);
            }
        });
    });
}

/// The large words and how to measure; the tool beside them, or below where it is narrow.
fn order_ui(ui: &mut Ui, step: &CardStep) {
    let tokens = Tokens::of(ui);
    let words_ui = |ui: &mut Ui| {
        if !step.order.verb.is_empty() {
            quiet(ui, step.order.verb);
        }
        ui.label(text(&step.order.large, size::ANSWER, Weight::SemiBold, tokens.ink));
        let what = step.order.what();
        if !what.is_empty() {
            ui.label(text(what, size::TITLE, Weight::Medium, tokens.ink));
        }
        for words in &step.measuring {
            body(ui, words);
        }
    };
    let width = ui.available_width();
    let Some(tool) = &step.tool else { return words_ui(ui) };
    if width < WORDS + TOOL.x {
        words_ui(ui);
        tool_ui(ui, tool, Vec2::new(TOOL.x.min(width), TOOL.y));
        return;
    }
    ui.horizontal_top(|ui| {
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = space::HALF;
            ui.set_width(width - TOOL.x - space::ONE);
            words_ui(ui);
        });
        ui.add_space(space::ONE);
        tool_ui(ui, tool, TOOL);
    });
}

/// A line to write on.
fn blanks_ui(ui: &mut Ui, title: Option<&str>, blanks: &[Blank]) {
    let tokens = Tokens::of(ui);
    let (rect, _) = ui.allocate_exact_size(Vec2::new(ui.available_width(), 34.0), Sense::hover());
    let base = rect.bottom() - 8.0;
    let mut x = rect.left();
    let put = |x: f32, words: &str, weight: Weight| {
        let height = line(ui.painter(), words, size::BODY, weight, tokens.ink).size().y;
        let at = Pos2::new(x, base - height / 2.0 + 2.0);
        words_at(ui.painter(), at, egui::Align2::LEFT_CENTER, words, (size::BODY, weight), tokens.ink).right()
    };
    if let Some(title) = title {
        x = put(x, title, Weight::SemiBold) + space::TWO;
    }
    // Every line is as long as the others, whatever stands before and behind it.
    let width = |words: &str| line(ui.painter(), words, size::BODY, Weight::Regular, tokens.ink).size().x;
    let words: f32 = blanks.iter().map(|blank| width(blank.name) + width(blank.unit)).sum();
    let share = ((rect.right() - x - words) / blanks.len().max(1) as f32 - space::TWO - space::HALF).max(space::TWO);
    for blank in blanks {
        let from = put(x, blank.name, Weight::Regular) + space::HALF;
        ui.painter().hline(from..=from + share, base, Stroke::new(1.0, tokens.outline));
        x = put(from + share + space::HALF, blank.unit, Weight::Regular) + space::ONE_HALF;
    }
}
