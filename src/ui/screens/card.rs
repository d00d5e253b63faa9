//! The tub card, laid out as the sheet of paper that hangs beside the tub.

use egui::{Pos2, Rect, Sense, Stroke, StrokeKind, Ui, Vec2};

use crate::ui::command::Command;
use crate::ui::paint::{line, words_at};
use crate::ui::theme::{Tokens, Weight, size, space, text};
use crate::ui::view::{CardStepView, TubCardView};
use crate::ui::widgets::{ButtonKind, body, button_sized, caution_box, quiet, rule, subtitle};

/// Room left of a step for its tick box.
const TICK: f32 = 32.0;

/// Draws the card and its buttons.
pub(super) fn tub_card_ui(ui: &mut Ui, card: &TubCardView, out: &mut Vec<Command>) {
    let tokens = Tokens::of(ui);
    quiet(ui, "Tub card");
    let height = (ui.ctx().content_rect().height() - 200.0).clamp(120.0, 620.0);
    egui::ScrollArea::vertical().max_height(height).auto_shrink([false, true]).show(ui, |ui| {
        // The scroll bar stands beside the sheet.
        ui.set_max_width(ui.available_width() - 14.0);
        ui.spacing_mut().item_spacing.y = space::HALF;
        ui.label(text(&card.unit, size::ANSWER, Weight::SemiBold, tokens.ink));
        for fact in &card.facts {
            body(ui, fact);
        }
        for step in &card.steps {
            rule(ui);
            step_ui(ui, step);
        }
        rule(ui);
        if !card.warnings.is_empty() {
            subtitle(ui, "Good to know");
            for warning in &card.warnings {
                caution_box(ui, warning);
            }
            ui.add_space(space::HALF);
        }
        next_reading(ui);
        quiet(ui, &card.last);
    });
    ui.add_space(space::ONE);
    ui.horizontal(|ui| {
        if button_sized(ui, ButtonKind::Primary, "Close", Vec2::new(96.0, 36.0)).clicked() {
            out.push(Command::ToggleTubCard);
        }
        if button_sized(ui, ButtonKind::Secondary, "Copy the text", Vec2::new(120.0, 36.0)).clicked() {
            ui.ctx().copy_text(card.text.clone());
        }
    });
}

fn step_ui(ui: &mut Ui, step: &CardStepView) {
    let tokens = Tokens::of(ui);
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 0.0;
        let (tick, _) = ui.allocate_exact_size(Vec2::new(TICK, 28.0), Sense::hover());
        let tick = Rect::from_min_size(tick.min + Vec2::new(0.0, 5.0), Vec2::splat(18.0));
        ui.painter().rect_stroke(tick, 3.0, Stroke::new(1.5, tokens.ink), StrokeKind::Inside);
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = space::HALF;
            ui.label(text(&step.large, size::LARGE, Weight::SemiBold, tokens.ink));
            if !step.of.is_empty() {
                ui.label(text(format!("of {}", step.of), size::TITLE, Weight::Medium, tokens.ink));
            }
            if let Some(how) = &step.how {
                body(ui, how);
            }
            for words in &step.lines {
                quiet(ui, words);
            }
            if let Some(expect) = &step.expect {
                ui.label(text(expect, size::BODY, Weight::Medium, tokens.ink));
            }
            for caution in &step.cautions {
                caution_box(ui, caution);
            }
        });
    });
}

/// A line to write the next reading on.
fn next_reading(ui: &mut Ui) {
    let tokens = Tokens::of(ui);
    let (rect, _) = ui.allocate_exact_size(Vec2::new(ui.available_width(), 34.0), Sense::hover());
    let base = rect.bottom() - 8.0;
    let mut x = rect.left();
    let share = (rect.width() - 110.0) / 3.0;
    let put = |x: f32, words: &str, weight: Weight| {
        let height = line(ui.painter(), words, size::BODY, weight, tokens.ink).size().y;
        let at = Pos2::new(x, base - height / 2.0 + 2.0);
        words_at(ui.painter(), at, egui::Align2::LEFT_CENTER, words, (size::BODY, weight), tokens.ink).right()
    };
    let _ = put(x, "Next reading", Weight::SemiBold);
    x += 110.0;
    for words in ["pH", "EC", "Time"] {
        let from = put(x, words, Weight::Regular) + space::HALF;
        x += share;
        ui.painter().hline(from..=x - space::ONE, base, Stroke::new(1.0, tokens.outline));
    }
}
