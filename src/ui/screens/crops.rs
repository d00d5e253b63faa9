//! The page of crops: on the left what there is, on the right one crop, its working zone, and what its sources say.

use egui::{
    Align, Align2, CursorIcon, FocusDirection, Id, Key, Layout, Margin, Modifiers, Pos2, Rect, Response, Role,
    ScrollArea, Sense, Ui, UiBuilder, Vec2, WidgetInfo,
};

use super::claims::claims_ui;
use super::crop_form::form_ui;
use crate::ui::command::{Command, CropAsk};
use crate::ui::layout::{Room, page};
use crate::ui::paint::{focus_ring, line, words_at};
use crate::ui::state::ViewState;
use crate::ui::theme::{Tokens, Weight, size, space, text};
use crate::ui::view::{CropGroupView, CropRowView, CropSheetView, CropsView};
use crate::ui::widgets::{
    ButtonKind, button, card_with, caution_box, choice_ui, link, pick_list, quiet, rule, subtitle, text_field, title,
};

/// Widest that list and crop get together: the eye must find the way from a source to its bars.
const WIDEST: f32 = 1320.0;
/// Width of the list.
const LIST: f32 = 264.0;
/// Height of a crop in it.
const ROW: f32 = 30.0;
/// Rows that Page Up and Page Down pass over.
const PAGE: usize = 8;
/// Widest that the stages get.
const STAGES: f32 = 460.0;

/// Draws the page below the bar, into `window` (which includes the bar).
pub fn crops_ui(ui: &mut Ui, window: Rect, crops: &CropsView, view: &mut ViewState, out: &mut Vec<Command>) {
    let room = Room::of(window.size());
    let rect = page(window, WIDEST);
    if room == Room::Wide {
        let list = Rect::from_min_size(rect.min, Vec2::new(LIST, rect.height()));
        let sheet = Rect::from_min_max(Pos2::new(list.right() + space::TWO, rect.top()), rect.max);
        in_card(ui, list, 16, |ui| list_ui(ui, crops, view, out));
        in_card(ui, sheet, 16, |ui| {
            scrolled(ui, ("crop", &crops.crop.name), |ui| right_ui(ui, crops, view, out));
        });
    } else {
        in_card(ui, rect, 12, |ui| {
            scrolled(ui, ("crop", &crops.crop.name), |ui| {
                if crops.form.is_none() {
                    pick_ui(ui, crops, out);
                    rule(ui);
                }
                right_ui(ui, crops, view, out);
            });
        });
    }
}

/// A card that fills a rectangle; its scroll bar stands in the margin on the right.
fn in_card(ui: &mut Ui, rect: Rect, side: i8, contents: impl FnOnce(&mut Ui)) {
    let mut child = ui.new_child(UiBuilder::new().max_rect(rect).layout(Layout::top_down(Align::Min)));
    card_with(&mut child, Margin { left: side, right: 4, top: side, bottom: side }, |ui| {
        ui.set_min_height(rect.height() - 2.0 * f32::from(side));
        ui.spacing_mut().item_spacing.y = space::ONE;
        contents(ui);
    });
}

fn scrolled(ui: &mut Ui, of: (&str, &str), contents: impl FnOnce(&mut Ui)) {
    ScrollArea::vertical().id_salt(of).auto_shrink([false, false]).show(ui, |ui| {
        ui.set_max_width(ui.available_width() - space::ONE_HALF);
        ui.spacing_mut().item_spacing.y = space::ONE;
        contents(ui);
    });
}

/// Instead of the list, where there is no room for it.
fn pick_ui(ui: &mut Ui, crops: &CropsView, out: &mut Vec<Command>) {
    // Nothing counts as chosen before: pressing what is shown does nothing.
    let shown = crops.groups.iter().flat_map(|group| &group.rows).find(|row| row.is_shown);
    if let Some(id) = pick_list(ui, "Crop", &crops.choices, shown.map_or("", |row| row.id.as_str())) {
        out.push(ask(CropAsk::Look(id)));
    }
    if link(ui, "A crop of my own").clicked() {
        out.push(ask(CropAsk::Begin));
    }
}

fn ask(what: CropAsk) -> Command {
    Command::Crop(Box::new(what))
}

fn list_ui(ui: &mut Ui, crops: &CropsView, view: &mut ViewState, out: &mut Vec<Command>) {
    let width = ui.available_width() - space::ONE_HALF;
    ui.scope(|ui| {
        ui.set_max_width(width);
        title(ui, "Crops");
        text_field(ui, "Find a crop", "Find by any name", &mut view.crops.typed, 40);
        if link(ui, "A crop of my own").clicked() {
            out.push(ask(CropAsk::Begin));
        }
    });
    scrolled(ui, ("list of crops", &view.crops.typed), |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        let at = row_at(ui, crops);
        for group in &crops.groups {
            group_ui(ui, group, at, out);
        }
    });
}

fn row_id(row: &CropRowView) -> Id {
    Id::unique(("crop of the list", &row.id))
}

/// The one row that Tab stops at: where the keyboard is, else the crop looked at, else the first. Keys move it.
fn row_at(ui: &Ui, crops: &CropsView) -> Option<Id> {
    let rows: Vec<&CropRowView> = crops.groups.iter().flat_map(|group| &group.rows).collect();
    let last = rows.len().checked_sub(1)?;
    let Some(at) = rows.iter().position(|row| ui.memory(|m| m.has_focus(row_id(row)))) else {
        return rows.iter().find(|row| row.is_shown).or(rows.first()).map(|row| row_id(row));
    };
    let [up, down, page_up, page_down, home, end] = ui.input_mut(|i| {
        [Key::ArrowUp, Key::ArrowDown, Key::PageUp, Key::PageDown, Key::Home, Key::End]
            .map(|key| i.count_and_consume_key(Modifiers::NONE, key))
    });
    let to = match (home, end) {
        (0, 0) => (at + down + PAGE * page_down).min(last).saturating_sub(up + PAGE * page_up),
        (0, _) => last,
        _ => 0,
    };
    let id = row_id(rows.get(to)?);
    if up + down > 0 {
        // An arrow stays within the list, also at its ends: the window would take it for a way out.
        ui.memory_mut(|m| m.move_focus(FocusDirection::None));
    }
    if to != at {
        ui.memory_mut(|m| m.request_focus(id));
    }
    Some(id)
}

fn group_ui(ui: &mut Ui, group: &CropGroupView, at: Option<Id>, out: &mut Vec<Command>) {
    let tokens = Tokens::of(ui);
    let words = ui.painter().layout(
        group.name.clone(),
        Weight::SemiBold.font(size::SMALL),
        tokens.quiet,
        ui.available_width() - space::ONE,
    );
    let (rect, response) =
        ui.allocate_exact_size(Vec2::new(ui.available_width(), words.size().y + space::TWO), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Heading, true, group.name.as_str()));
    ui.painter().galley(
        Pos2::new(rect.left() + space::HALF, rect.bottom() - words.size().y - space::HALF),
        words,
        tokens.quiet,
    );
    for row in &group.rows {
        if row_ui(ui, row, at == Some(row_id(row))).clicked() {
            out.push(ask(CropAsk::Look(row.id.clone())));
        }
    }
}

fn row_ui(ui: &mut Ui, row: &CropRowView, is_stop: bool) -> Response {
    let tokens = Tokens::of(ui);
    let (rect, _) = ui.allocate_exact_size(Vec2::new(ui.available_width(), ROW), Sense::hover());
    let response = ui.interact(rect, row_id(row), if is_stop { Sense::click() } else { Sense::CLICK });
    let name = if row.mark.is_empty() { row.name.clone() } else { format!("{}, {}", row.name, row.mark) };
    response.widget_info(|| WidgetInfo::selected(Role::ListBoxOption, true, row.is_shown, &name));
    if response.gained_focus() {
        response.scroll_to_me(None);
    }
    if ui.is_rect_visible(rect) {
        let painter = ui.painter();
        if row.is_shown {
            painter.rect_filled(rect, 6.0, tokens.accent_soft);
        } else if response.hovered() {
            painter.rect_filled(rect, 6.0, tokens.ground);
        }
        let mark = line(painter, &row.mark, size::SMALL, Weight::Regular, tokens.quiet);
        let right = rect.right() - space::ONE - mark.size().x;
        let weight = if row.is_shown { Weight::SemiBold } else { Weight::Regular };
        let mut job = egui::text::LayoutJob::simple_singleline(row.name.clone(), weight.font(size::BODY), tokens.ink);
        let gap = if row.mark.is_empty() { 0.0 } else { space::ONE };
        job.wrap = egui::text::TextWrapping::truncate_at_width(right - gap - rect.left() - space::ONE);
        let words = painter.layout_job(job);
        let middle = rect.center().y;
        painter.galley(Pos2::new(rect.left() + space::ONE, middle - words.size().y / 2.0), words, tokens.ink);
        painter.galley(Pos2::new(right, middle - mark.size().y / 2.0), mark, tokens.quiet);
        if response.has_focus() {
            focus_ring(painter, rect.shrink(4.0), tokens);
        }
    }
    response.on_hover_cursor(CursorIcon::PointingHand)
}

fn right_ui(ui: &mut Ui, crops: &CropsView, view: &mut ViewState, out: &mut Vec<Command>) {
    if let Some(form) = &crops.form {
        form_ui(ui, form, view, out);
    } else {
        sheet_ui(ui, &crops.crop, crops.said.as_deref(), out);
    }
}

fn sheet_ui(ui: &mut Ui, crop: &CropSheetView, said: Option<&str>, out: &mut Vec<Command>) {
    let tokens = Tokens::of(ui);
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing.y = space::HALF;
        ui.horizontal(|ui| {
            title(ui, &crop.name);
            if !crop.mark.is_empty() {
                quiet(ui, &crop.mark);
            }
        });
        quiet(ui, &crop.kind);
        if let Some(also) = &crop.also {
            quiet(ui, also);
        }
        if let Some(grows) = &crop.grows {
            ui.label(text(grows, size::BODY, Weight::Medium, tokens.zone_edge));
        }
    });
    actions_ui(ui, crop, out);
    if let Some(said) = said {
        egui::Frame::new().fill(tokens.accent_soft).corner_radius(6).inner_margin(Margin::symmetric(10, 6)).show(
            ui,
            |ui| {
                ui.label(text(said, size::SMALL, Weight::Regular, tokens.ink));
            },
        );
    }
    rule(ui);
    if crop.stages.len() > 1 {
        ui.scope(|ui| {
            ui.set_max_width(ui.available_width().min(STAGES));
            if let Some(id) = choice_ui(ui, "Stage", &crop.stages, &crop.stage_id) {
                out.push(ask(CropAsk::Stage(id)));
            }
        });
    } else if let Some(stage) = crop.stages.first() {
        quiet(ui, &format!("Stage: {}", stage.label));
    }
    zone_ui(ui, crop);
    rule(ui);
    subtitle(ui, "What the sources say");
    claims_ui(ui, &crop.claims);
    for against in &crop.against {
        caution_box(ui, against);
    }
    if let Some((words, source)) = &crop.salt {
        rule(ui);
        subtitle(ui, "Salt tolerance");
        ui.label(text(words, size::BODY, Weight::Regular, tokens.ink));
        quiet(ui, source);
    }
    if let Some(note) = &crop.note {
        rule(ui);
        subtitle(ui, "Note");
        ui.label(text(note, size::BODY, Weight::Regular, tokens.ink));
    }
    ui.add_space(space::ONE);
}

fn actions_ui(ui: &mut Ui, crop: &CropSheetView, out: &mut Vec<Command>) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = Vec2::splat(space::ONE);
        for (place, action) in crop.actions.iter().enumerate() {
            let is_grow = matches!(&action.command, Command::Crop(ask) if matches!(**ask, CropAsk::Grow(..)));
            let kind = if place == 0 && is_grow { ButtonKind::Primary } else { ButtonKind::Secondary };
            if button(ui, kind, &action.text).clicked() {
                out.push(action.command.clone());
            }
        }
    });
}

/// The working zone: its figures, and beside them how they come about.
fn zone_ui(ui: &mut Ui, crop: &CropSheetView) {
    let width = ui.available_width();
    let figures = |ui: &mut Ui| {
        ui.spacing_mut().item_spacing.y = space::HALF;
        figures_ui(ui, "pH", &crop.zone_ph, "");
        figures_ui(ui, "EC", &crop.zone_ec, &crop.ec_unit);
        quiet(ui, &crop.counts);
    };
    let why = |ui: &mut Ui| {
        ui.spacing_mut().item_spacing.y = space::HALF;
        for sentence in &crop.why {
            quiet(ui, sentence);
        }
    };
    ui.add_space(space::HALF);
    subtitle(ui, "Working zone");
    if width < 560.0 {
        figures(ui);
        why(ui);
        return;
    }
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = space::THREE;
        ui.allocate_ui_with_layout(Vec2::new(216.0, 0.0), Layout::top_down(Align::Min), |ui| {
            ui.set_width(216.0);
            figures(ui);
        });
        let rest = ui.available_width();
        ui.allocate_ui_with_layout(Vec2::new(rest, 0.0), Layout::top_down(Align::Min), |ui| {
            ui.set_width(rest);
            why(ui);
        });
    });
}

/// A quantity in figures that line up, its name and unit quiet beside them.
fn figures_ui(ui: &mut Ui, name: &str, figures: &str, unit: &str) {
    let tokens = Tokens::of(ui);
    let (rect, response) = ui.allocate_exact_size(Vec2::new(ui.available_width(), 28.0), Sense::hover());
    let said = if unit.is_empty() { format!("{name} {figures}") } else { format!("{name} {figures} {unit}") };
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, said.as_str()));
    let painter = ui.painter();
    let small = (size::SMALL, Weight::Regular);
    let base = rect.bottom() - 5.0;
    words_at(painter, Pos2::new(rect.left(), base - 2.0), Align2::LEFT_BOTTOM, name, small, tokens.quiet);
    let at = Pos2::new(rect.left() + 28.0, base);
    let shown = words_at(painter, at, Align2::LEFT_BOTTOM, figures, (size::LARGE, Weight::Figures), tokens.ink);
    words_at(painter, Pos2::new(shown.right() + 6.0, base - 2.0), Align2::LEFT_BOTTOM, unit, small, tokens.quiet);
}
