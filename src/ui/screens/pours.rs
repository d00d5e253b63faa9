//! Right column: the pours, each with its amount, effect and cautions, and what they come to together.

use egui::{Align, CursorIcon, DragAndDrop, Frame, Layout, Margin, Popup, Rect, Sense, Stroke, Ui, UiBuilder, Vec2};

use super::opened_lines;
use crate::ui::command::{Command, Field, Slot};
use crate::ui::paint::line;
use crate::ui::state::{Part, ViewState};
use crate::ui::theme::{Tokens, Weight, size, space, text};
use crate::ui::view::{Choice, IdeaView, PlaceView, PourState, PourView, Reader, TodayView};
use crate::ui::widgets::{
    ButtonKind, ICON, Icon, NumberLook, NumberSpec, SliderSpec, badge, body, button, caution_box, icon_button, link,
    notice_box, number_field, quiet, segmented, slider, subtitle, title_row, trouble_ui,
};

/// Draws the list of pours.
pub(super) fn pours_ui(ui: &mut Ui, today: &TodayView, view: &mut ViewState, out: &mut Vec<Command>) {
    ui.spacing_mut().item_spacing.y = space::ONE;
    title_row(ui, "Pours", |ui| header_end(ui, today, out));
    if let Some(ideas) = &today.hand.compared {
        which_ui(ui, ideas, today.hand.slot, out);
    }
    if today.pours.is_empty() {
        Frame::new().inner_margin(Margin::symmetric(0, 8)).show(ui, |ui| {
            body(ui, "Nothing to pour");
            quiet(ui, "Add something from your shelf to see where it would take the water");
        });
    }
    let is_held = today.map.held.is_some();
    for pour in &today.pours {
        ui.push_id(pour.key, |ui| pour_ui(ui, (pour, is_held), &today.reading.reader, view, out));
    }
    if link(ui, "I poured something else").clicked() {
        out.push(Command::OpenWriting);
    }
    if !today.together.result.is_empty() || today.hand.compared.is_some() {
        ui.add_space(space::HALF);
        ui.scope(|ui| {
            ui.spacing_mut().item_spacing.y = space::HALF;
            subtitle(ui, "Together");
            if let Some(ideas) = &today.hand.compared {
                compared_ui(ui, ideas, today.hand.slot);
            } else {
                body(ui, &today.together.result);
            }
            if !today.together.expect.is_empty() {
                body(ui, &today.together.expect);
            }
            if today.hand.compared.is_none() && !today.together.risk.is_empty() {
                steady(ui, "risk", is_held, |ui| quiet(ui, &today.together.risk));
            }
        });
    }
    if today.together.changed_by_hand && button(ui, ButtonKind::Soft, "Work it out again").clicked() {
        out.push(Command::WorkItOut);
    }
    for warning in &today.warnings {
        ui.scope(|ui| {
            ui.spacing_mut().item_spacing.y = space::HALF;
            notice_box(ui, &warning.words);
            if let Some(mend) = &warning.mend
                && link(ui, &mend.text).clicked()
            {
                out.push(mend.command.clone());
            }
        });
    }
    for note in &today.notes {
        quiet(ui, note);
    }
    if !today.why.is_empty() {
        opened_lines(ui, "Why", Part::Why, view, &today.why);
    }
}

/// The ways back and forward, and what can be added. Laid out from the right.
fn header_end(ui: &mut Ui, today: &TodayView, out: &mut Vec<Command>) {
    add_pour(ui, today, out);
    idea_link(ui, today, out);
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing.x = 0.0;
        if icon_button(ui, Icon::Redo, "Redo", today.hand.can_redo).clicked() {
            out.push(Command::Redo);
        }
        if icon_button(ui, Icon::Undo, "Undo", today.hand.can_undo).clicked() {
            out.push(Command::Undo);
        }
    });
}

/// Makes another idea or drops one, in one place, so that what stands beside it stays under the pointer.
fn idea_link(ui: &mut Ui, today: &TodayView, out: &mut Vec<Command>) {
    let is_two = today.hand.compared.is_some();
    if !is_two && today.shelf.is_empty() {
        return;
    }
    let other = "Another idea";
    let drop = |slot: Slot| format!("Drop idea {}", slot.letter());
    let names = [other.to_owned(), drop(Slot::A), drop(Slot::B)];
    let widths = names
        .map(|name| line(ui.painter(), &name, size::SMALL, Weight::Medium, egui::Color32::PLACEHOLDER).size().x.ceil());
    let size_pt = Vec2::new(widths.into_iter().fold(0.0, f32::max), ui.available_height());
    ui.allocate_ui_with_layout(size_pt, Layout::right_to_left(Align::Center), |ui| {
        ui.set_min_size(size_pt);
        if is_two {
            let pressed = link(ui, &drop(today.hand.slot));
            // The second press of a double one is still meant for what stood here before.
            if pressed.clicked() && !pressed.double_clicked() {
                out.push(Command::DropIdea);
            }
        } else if link(ui, other).clicked() {
            out.push(Command::AnotherIdea);
        }
    });
}

/// Which of two lists is in hand, and in figures where both land.
fn which_ui(ui: &mut Ui, ideas: &[IdeaView; 2], hand: Slot, out: &mut Vec<Command>) {
    let letters = [Slot::A, Slot::B].map(Slot::letter);
    let choice = |(letter, idea): (&str, &IdeaView)| Choice::new(letter, format!("{letter} · {}", idea.point));
    let choices: Vec<Choice> = letters.into_iter().zip(ideas).map(choice).collect();
    if segmented(ui, "Idea in hand", &choices, hand.letter()).is_some() {
        out.push(Command::TakeIdea(hand.other()));
    }
}

/// Two lists side by side.
fn compared_ui(ui: &mut Ui, ideas: &[IdeaView; 2], hand: Slot) {
    let tokens = Tokens::of(ui);
    ui.columns(2, |columns| {
        for ((column, idea), slot) in columns.iter_mut().zip(ideas).zip([Slot::A, Slot::B]) {
            // Columns are justified by themselves, which tears words apart.
            column.with_layout(Layout::top_down(Align::Min), |ui| {
                ui.spacing_mut().item_spacing.y = space::HALF;
                let (words, ink) = if slot == hand {
                    (format!("{} · in hand", slot.letter()), tokens.accent)
                } else {
                    (slot.letter().to_owned(), tokens.quiet)
                };
                ui.label(text(words, size::SMALL, Weight::SemiBold, ink));
                ui.label(text(&idea.lands, size::BODY, Weight::Figures, tokens.ink));
                if idea.is_risky {
                    let words = format!("Caution: {}", idea.risk);
                    ui.label(text(words, size::SMALL, Weight::Medium, tokens.caution));
                } else {
                    quiet(ui, &idea.risk);
                }
                if idea.poured.is_empty() {
                    quiet(ui, "Nothing poured");
                }
                for words in &idea.poured {
                    quiet(ui, words);
                }
            });
        }
    });
    ui.add_space(space::HALF);
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

/// Words that are never less tall than they were since a handle of the map was grabbed: what is below them stands still
/// while the hand moves.
fn steady(ui: &mut Ui, salt: &str, is_held: bool, words: impl FnOnce(&mut Ui)) {
    let id = ui.scope_id().with(salt);
    let before = if is_held { ui.data(|data| data.get_temp::<f32>(id)).unwrap_or(0.0) } else { 0.0 };
    let shown = ui.vertical(|ui| {
        ui.set_min_height(before);
        words(ui);
    });
    ui.data_mut(|data| data.insert_temp(id, shown.response.rect.height()));
}

fn pour_ui(
    ui: &mut Ui,
    (pour, is_held): (&PourView, bool),
    reader: &Reader,
    view: &mut ViewState,
    out: &mut Vec<Command>,
) {
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
    let shown = frame.show(ui, |ui| {
        ui.set_min_width(ui.available_width());
        ui.spacing_mut().item_spacing.y = space::HALF;
        head_row(ui, pour, out);
        if pour.state == PourState::Planned {
            amount_row(ui, pour, reader, view, out);
        }
        match &pour.place {
            Some(place) => effect_row(ui, pour, place, out),
            None if pour.effect.is_empty() => {}
            None => {
                ui.label(text(&pour.effect, size::SMALL, Weight::Medium, tokens.ink));
            }
        }
        match &pour.state {
            PourState::Planned | PourState::Fixed if pour.measure.is_empty() => {}
            PourState::Planned | PourState::Fixed => {
                steady(ui, "measure", is_held, |ui| quiet(ui, &pour.measure));
            }
            PourState::Poured(when) => {
                ui.horizontal(|ui| {
                    // Under the product's name, not under its number.
                    ui.spacing_mut().item_spacing.x = 0.0;
                    ui.add_space(22.0 + space::ONE);
                    quiet(ui, when);
                });
            }
        }
        if let Some(note) = pour.place.as_ref().and_then(|place| place.note.as_ref()) {
            quiet(ui, note);
        }
        if !matches!(pour.state, PourState::Poured(_)) {
            for caution in &pour.cautions {
                ui.add_space(2.0);
                caution_box(ui, caution);
            }
        }
    });
    if let Some(place) = &pour.place {
        dropped_on(ui, shown.response.rect, place, out);
    }
}

/// A pour on its way to another place in the list.
struct Lifted {
    key: u32,
    from: usize,
}

/// Where a lifted pour would go is a line above or below this one; letting go puts it there.
fn dropped_on(ui: &Ui, rect: Rect, place: &PlaceView, out: &mut Vec<Command>) {
    let Some(lifted) = DragAndDrop::payload::<Lifted>(ui.ctx()) else { return };
    let Some(pointer) = ui.input(|i| i.pointer.interact_pos()) else { return };
    // The room between two cards belongs to the upper one.
    let reach = Rect::from_min_max(rect.min, rect.max + Vec2::new(0.0, space::ONE));
    if !reach.contains(pointer) {
        return;
    }
    let below = pointer.y > rect.center().y;
    let gap = place.before + usize::from(below);
    let to = if gap > lifted.from { gap - 1 } else { gap };
    if to != lifted.from {
        let y = if below { rect.bottom() + space::HALF } else { rect.top() - space::HALF };
        ui.painter().hline(rect.x_range(), y, Stroke::new(2.5, Tokens::of(ui).accent));
    }
    ui.ctx().set_cursor_icon(CursorIcon::Grabbing);
    if ui.input(|i| i.pointer.any_released()) {
        DragAndDrop::clear_payload(ui.ctx());
        // A list is a few pours long.
        let places = i32::try_from(to).unwrap_or(0) - i32::try_from(lifted.from).unwrap_or(0);
        if places != 0 {
            out.push(Command::MovePour { key: lifted.key, places });
        }
    }
}

fn head_row(ui: &mut Ui, pour: &PourView, out: &mut Vec<Command>) {
    let tokens = Tokens::of(ui);
    ui.horizontal(|ui| {
        let from = pour.place.as_ref().filter(|place| place.before + place.after > 0).map(|place| place.before);
        // The number is the grip by which a pour is moved; buttons do the same by key.
        let sense = if from.is_some() { Sense::DRAG } else { Sense::hover() };
        let (circle, grip) = ui.allocate_exact_size(Vec2::splat(22.0), sense);
        badge(ui.painter(), circle.center(), pour.number, tokens);
        if let Some(from) = from {
            grip.dnd_set_drag_payload(Lifted { key: pour.key, from });
            if grip.dragged() {
                ui.painter().circle_stroke(circle.center(), 13.0, Stroke::new(2.0, tokens.accent));
            }
        }
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

/// What a pour does, and what can be done with it.
fn effect_row(ui: &mut Ui, pour: &PourView, place: &PlaceView, out: &mut Vec<Command>) {
    let tokens = Tokens::of(ui);
    let size_pt = Vec2::new(ui.available_width(), ICON);
    ui.allocate_ui_with_layout(size_pt, Layout::right_to_left(Align::Center), |ui| {
        ui.set_min_size(size_pt);
        ui.spacing_mut().item_spacing.x = 0.0;
        let (key, name) = (pour.key, &pour.product);
        if icon_button(ui, Icon::Remove, &format!("Remove {name}"), true).clicked() {
            out.push(Command::RemovePour(key));
        }
        if place.before + place.after > 0 {
            if icon_button(ui, Icon::Down, &format!("Move {name} down"), place.after > 0).clicked() {
                out.push(Command::MovePour { key, places: 1 });
            }
            if icon_button(ui, Icon::Up, &format!("Move {name} up"), place.before > 0).clicked() {
                out.push(Command::MovePour { key, places: -1 });
            }
        }
        let (icon, verb) = if place.locked { (Icon::Locked, "Unlock") } else { (Icon::Free, "Lock") };
        if icon_button(ui, icon, &format!("{verb} {name}"), true).clicked() {
            out.push(Command::LockPour { key, locked: !place.locked });
        }
        ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
            ui.label(text(&pour.effect, size::SMALL, Weight::Medium, tokens.ink));
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
