//! One of several: a row of segments where they fit, a pick list where they do not.

use egui::{Align2, Color32, CornerRadius, CursorIcon, Rect, Role, Sense, Stroke, StrokeKind, Ui, Vec2, WidgetInfo};

use super::pick::pick_list;
use crate::ui::paint::{focus_ring, line, words_at};
use crate::ui::theme::{Tokens, Weight, size, space};
use crate::ui::view::Choice;

/// Segments when all labels fit side by side, else a pick list. Returns the id that was chosen in this frame.
pub fn choice_ui(ui: &mut Ui, name: &str, choices: &[Choice], chosen_id: &str) -> Option<String> {
    let widest = choices
        .iter()
        .map(|c| line(ui.painter(), &c.label, size::BODY, Weight::SemiBold, Color32::PLACEHOLDER).size().x)
        .fold(0.0, f32::max);
    let share = ui.available_width() / choices.len().max(1) as f32;
    if choices.len() <= 5 && widest + space::TWO <= share {
        segmented(ui, name, choices, chosen_id)
    } else {
        pick_list(ui, name, choices, chosen_id)
    }
}

/// A row of segments over the full width. Returns the id that was chosen in this frame.
pub fn segmented(ui: &mut Ui, name: &str, choices: &[Choice], chosen_id: &str) -> Option<String> {
    let tokens = Tokens::of(ui);
    let (rect, group) = ui.allocate_exact_size(Vec2::new(ui.available_width(), space::PRESS), Sense::hover());
    group.widget_info(|| WidgetInfo::labeled(Role::RadioGroup, true, name));
    let width = rect.width() / choices.len().max(1) as f32;
    let mut chosen = None;
    let mut ring = None;
    let outline = Stroke::new(1.0, tokens.hairline);
    ui.painter().rect(rect, space::RADIUS, tokens.map, outline, StrokeKind::Inside);
    for (i, choice) in choices.iter().enumerate() {
        let segment = Rect::from_min_size(rect.min + Vec2::new(width * i as f32, 0.0), Vec2::new(width, rect.height()));
        let response = ui.interact(segment, group.id.with(&choice.id), Sense::click());
        let on = choice.id == chosen_id;
        response.widget_info(|| WidgetInfo::selected(Role::RadioButton, ui.is_enabled(), on, &choice.label));
        let painter = ui.painter();
        let corner = segment_corners(i, choices.len());
        if on {
            painter.rect(segment, corner, tokens.accent_soft, Stroke::new(1.5, tokens.accent), StrokeKind::Inside);
        } else if response.hovered() {
            painter.rect_filled(segment.shrink(1.0), corner, tokens.ground);
        }
        let (weight, ink) = if on { (Weight::SemiBold, tokens.ink) } else { (Weight::Regular, tokens.ink) };
        words_at(painter, segment.center(), Align2::CENTER_CENTER, &choice.label, (size::BODY, weight), ink);
        let next_on = choices.get(i + 1).is_some_and(|c| c.id == chosen_id);
        if !on && !next_on && i + 1 < choices.len() {
            painter.vline(segment.right(), segment.shrink(space::ONE).y_range(), Stroke::new(1.0, tokens.hairline));
        }
        if response.has_focus() {
            ring = Some(segment);
        }
        if response.on_hover_cursor(CursorIcon::PointingHand).clicked() && !on {
            chosen = Some(choice.id.clone());
        }
    }
    if let Some(segment) = ring {
        focus_ring(ui.painter(), segment.shrink(1.0), tokens);
    }
    chosen
}

fn segment_corners(index: usize, count: usize) -> CornerRadius {
    let left = if index == 0 { space::RADIUS } else { 0 };
    let right = if index + 1 == count { space::RADIUS } else { 0 };
    CornerRadius { nw: left, sw: left, ne: right, se: right }
}
