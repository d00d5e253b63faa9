//! Right column: the pours, each with its amount, effect and cautions, and what they come to together.

use egui::{Align, Frame, Layout, Margin, Popup, Rect, Sense, Stroke, Ui, UiBuilder, Vec2};

use super::opened_lines;
use crate::ui::command::{Command, Field};
use crate::ui::paint::line;
use crate::ui::state::{Part, ViewState};
use crate::ui::theme::{Tokens, Weight, size, space, text};
use crate::ui::view::{PourState, PourView, Reader, TodayView};
use crate::ui::widgets::{
    ButtonKind, NumberLook, NumberSpec, SliderSpec, badge, body, button, caution_box, link, notice_box, number_field,
    quiet, slider, subtitle, title_row, trouble_ui,
};

/// Draws the list of pours.
pub(super) fn pours_ui(ui: &mut Ui, today: &TodayView, view: &mut ViewState, out: &mut Vec<Command>) {
    ui.spacing_mut().item_spacing.y = space::ONE;
    title_row(ui, "Pours", |ui| add_pour(ui, today, out));
    if today.pours.is_empty() {
        Frame::new().inner_margin(Margin::symmetric(0, 8)).show(ui, |ui| {
            body(ui, "Nothing to pour");
            quiet(ui, "Add something from your shelf to see where it would take the water");
        });
    }
    for pour in &today.pours {
        ui.push_id(pour.key, |ui| pour_ui(ui, pour, &today.reading.reader, view, out));
    }
    if !today.together.result.is_empty() {
        ui.add_space(space::HALF);
        ui.scope(|ui| {
            ui.spacing_mut().item_spacing.y = space::HALF;
            subtitle(ui, "Together");
            body(ui, &today.together.result);
            body(ui, &today.together.expect);
            quiet(ui, &today.together.risk);
        });
    }
    if today.together.changed_by_hand && button(ui, ButtonKind::Soft, "Work it out again").clicked() {
        out.push(Command::WorkItOut);
    }
    for warning in &today.warnings {
        notice_box(ui, warning);
    }
    for note in &today.notes {
        quiet(ui, note);
    }
    if !today.why.is_empty() {
        opened_lines(ui, "Why", Part::Why, view, &today.why);
    }
}

fn add_pour(ui: &mut Ui, today: &TodayView, out: &mut Vec<Command>) {
    if today.shelf.is_empty() {
        return;
    }
    let response = link(ui, "Add a pour");
    Popup::menu(&response).width(240.0).show(|ui| {
        for product in &today.shelf {
            let words = text(&product.label, size::BODY, Weight::Regular, Tokens::of(ui).ink);
            if ui.button(words).clicked() {
                out.push(Command::AddPour(product.id.clone()));
                ui.close();
            }
        }
    });
}

fn pour_ui(ui: &mut Ui, pour: &PourView, reader: &Reader, view: &mut ViewState, out: &mut Vec<Command>) {
    let tokens = Tokens::of(ui);
    // What is in the water already is a line; what can still be changed is a card.
    let frame = match pour.state {
        PourState::Poured(_) => Frame::new().inner_margin(Margin { left: 13, right: 13, top: 2, bottom: 2 }),
        PourState::Planned | PourState::Fixed => Frame::new()
            .fill(tokens.map)
            .stroke(Stroke::new(1.0, tokens.hairline))
            .corner_radius(space::RADIUS)
            .inner_margin(Margin::same(12)),
    };
    frame.show(ui, |ui| {
        ui.set_min_width(ui.available_width());
        ui.spacing_mut().item_spacing.y = space::HALF;
        head_row(ui, pour, out);
        if pour.state == PourState::Planned {
            amount_row(ui, pour, reader, view, out);
        }
        if !pour.effect.is_empty() {
            ui.label(text(&pour.effect, size::SMALL, Weight::Medium, tokens.ink));
        }
        match &pour.state {
            PourState::Planned | PourState::Fixed if pour.measure.is_empty() => {}
            PourState::Planned | PourState::Fixed => quiet(ui, &pour.measure),
            PourState::Poured(when) => {
                ui.horizontal(|ui| {
                    // Under the product's name, not under its number.
                    ui.spacing_mut().item_spacing.x = 0.0;
                    ui.add_space(22.0 + space::ONE);
                    quiet(ui, when);
                });
            }
        }
        if !matches!(pour.state, PourState::Poured(_)) {
            for caution in &pour.cautions {
                ui.add_space(2.0);
                caution_box(ui, caution);
            }
        }
    });
}

fn head_row(ui: &mut Ui, pour: &PourView, out: &mut Vec<Command>) {
    let tokens = Tokens::of(ui);
    ui.horizontal(|ui| {
        let (circle, _) = ui.allocate_exact_size(Vec2::splat(22.0), Sense::hover());
        badge(ui.painter(), circle.center(), pour.number, tokens);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            if pour.state != PourState::Planned {
                let amount = format!("{:.*} {}", pour.decimals, pour.amount, pour.unit);
                ui.label(text(amount, size::BODY, Weight::Figures, tokens.ink));
            }
            if let Some(action) = &pour.link {
                let response = link(ui, &action.text).accessible_name(format!("{} {}", action.text, pour.product));
                if response.clicked() {
                    out.push(action.command.clone());
                }
            }
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                let name = text(&pour.product, size::BODY, Weight::SemiBold, tokens.ink);
                ui.add(egui::Label::new(name).wrap());
            });
        });
    });
}

fn amount_row(ui: &mut Ui, pour: &PourView, reader: &Reader, view: &mut ViewState, out: &mut Vec<Command>) {
    let name = format!("Amount of {}", pour.product);
    let field = Field::Pour(pour.key);
    let (row, _) = ui.allocate_exact_size(Vec2::new(ui.available_width(), 30.0), Sense::hover());
    let unit_width = line(ui.painter(), &pour.unit, size::SMALL, Weight::Regular, egui::Color32::PLACEHOLDER).size().x;
    let box_width = 64.0 + unit_width;
    let slide = Rect::from_min_max(row.min, row.max - Vec2::new(box_width + space::ONE_HALF, 0.0));
    let number = Rect::from_min_max(row.right_top() - Vec2::new(box_width, 0.0), row.max);

    let mut child = ui.new_child(UiBuilder::new().max_rect(slide).layout(Layout::left_to_right(Align::Center)));
    let spec =
        SliderSpec { name: &format!("Slide {}", pour.product), value: pour.amount, most: pour.most, step: pour.step };
    if let (_, Some(amount)) = slider(&mut child, spec) {
        view.drafts.settle(field);
        out.push(Command::SetPour { key: pour.key, amount });
    }

    let mut child = ui.new_child(UiBuilder::new().max_rect(number).layout(Layout::top_down(Align::Min)));
    let read = |typed: &str| reader.read(field, typed);
    let spec = NumberSpec {
        field,
        label: &name,
        unit: &pour.unit,
        value: Some(pour.amount),
        decimals: pour.decimals,
        hint: "0",
        look: NumberLook::Bare,
        read: &read,
    };
    if let Some(typed) = number_field(&mut child, &mut view.drafts, &spec) {
        out.push(Command::SetPour { key: pour.key, amount: typed.value().unwrap_or(0.0) });
    }
    if let Some(trouble) = view.drafts.trouble(field).cloned()
        && let Some(offer) = trouble_ui(ui, &trouble)
    {
        view.drafts.settle(field);
        out.push(Command::SetPour { key: pour.key, amount: offer.value });
    }
}
