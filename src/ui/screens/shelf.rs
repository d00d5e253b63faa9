//! The page of the shelf: what the person owns to pour, what it is measured with, and ways to add to it.

use egui::{Align, Layout, Rect, ScrollArea, Ui, Vec2};

use super::log::way_back_ui;
use super::numbers::{number_ui, troubles_ui};
use super::page_card;
use super::start::columns;
use crate::ui::command::{Command, ShelfCommand};
use crate::ui::state::ViewState;
use crate::ui::theme::{Tokens, Weight, size, space, text};
use crate::ui::view::{InLibrary, ShelfRow, ShelfView};
use crate::ui::widgets::{
    ButtonKind, NumberLook, body, button_sized, caution_box, choice_ui, disclosure, link, quiet, rule, subtitle, title,
};

/// Widest the list gets.
const WIDEST: f32 = 1040.0;
/// Width of the purpose before the products of it.
const ROLE: f32 = 136.0;
/// Width of the links at the end of a product.
const LINKS: f32 = 128.0;

/// Draws the page below the bar, into `window` (which includes the bar).
pub fn shelf_ui(ui: &mut Ui, window: Rect, shelf: &ShelfView, view: &mut ViewState, out: &mut Vec<Command>) {
    let heading = |ui: &mut Ui, out: &mut Vec<Command>| {
        heading_ui(ui, shelf, out);
        if let Some((words, back)) = &shelf.way_back {
            way_back_ui(ui, words, &back.text, || out.push(back.command.clone()));
        }
    };
    page_card(ui, (window, WIDEST), out, heading, |ui, out| {
        ScrollArea::vertical().id_salt("shelf").auto_shrink(false).show(ui, |ui| {
            ui.set_max_width(ui.available_width() - space::ONE_HALF);
            ui.spacing_mut().item_spacing.y = space::HALF;
            water_ui(ui, shelf, out);
            rule(ui);
            if shelf.rows.is_empty() {
                body(ui, "Nothing stands here yet");
                quiet(ui, "Add what you own below, or describe it: a bottle without a label will do");
            }
            for row in &shelf.rows {
                ui.push_id(("product", row.place), |ui| row_ui(ui, row, out));
                rule(ui);
            }
            used_up_ui(ui, &shelf.used_up, out);
            add_ui(ui, shelf, out);
            rule(ui);
            peroxide_ui(ui, shelf, view, out);
        });
    });
}

fn heading_ui(ui: &mut Ui, shelf: &ShelfView, out: &mut Vec<Command>) {
    let heading = format!("Shelf of {}", shelf.unit_name);
    let note = "What this unit is fed and corrected with. Plans use only what stands here";
    let mut describe = |ui: &mut Ui| {
        let words = "Describe a product";
        if button_sized(ui, ButtonKind::Primary, words, Vec2::new(164.0, 36.0)).clicked() {
            out.push(Command::Shelf(ShelfCommand::Describe));
        }
    };
    if ui.available_width() < 520.0 {
        title(ui, &heading);
        quiet(ui, note);
        describe(ui);
        return;
    }
    let row = Vec2::new(ui.available_width(), 44.0);
    ui.allocate_ui_with_layout(row, Layout::right_to_left(Align::Center), |ui| {
        ui.set_min_size(row);
        describe(ui);
        ui.with_layout(Layout::top_down(Align::Min), |ui| {
            ui.spacing_mut().item_spacing.y = space::HALF;
            title(ui, &heading);
            quiet(ui, note);
        });
    });
}

/// The source water: it is poured more than all else.
fn water_ui(ui: &mut Ui, shelf: &ShelfView, out: &mut Vec<Command>) {
    let width = ui.available_width();
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 0.0;
        ui.allocate_ui_with_layout(Vec2::new(width - LINKS, 0.0), Layout::top_down(Align::Min), |ui| {
            ui.set_width(width - LINKS);
            ui.spacing_mut().item_spacing.y = 3.0;
            let mut lines = shelf.water.iter();
            if let Some(name) = lines.next() {
                ui.horizontal_wrapped(|ui| {
                    ui.spacing_mut().item_spacing.x = space::ONE;
                    subtitle(ui, name);
                    quiet(ui, "Source water");
                });
            }
            lines.for_each(|line| quiet(ui, line));
            for trouble in &shelf.water_troubles {
                caution_box(ui, trouble);
            }
        });
        ui.allocate_ui_with_layout(Vec2::new(LINKS, 0.0), Layout::top_down(Align::Max), |ui| {
            ui.spacing_mut().item_spacing.y = space::HALF;
            if link(ui, "Describe it").accessible_name("Describe the source water").clicked() {
                out.push(Command::Shelf(ShelfCommand::Water));
            }
            if !shelf.is_water_shared {
                let share = link(ui, "For my other units").accessible_name("Keep the source water for my other units");
                if share.clicked() {
                    out.push(Command::Shelf(ShelfCommand::ShareWater));
                }
            }
        });
    });
}

fn row_ui(ui: &mut Ui, row: &ShelfRow, out: &mut Vec<Command>) {
    let place = row.place;
    let width = ui.available_width();
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 0.0;
        ui.allocate_ui_with_layout(Vec2::new(width - LINKS, 0.0), Layout::top_down(Align::Min), |ui| {
            ui.set_width(width - LINKS);
            ui.spacing_mut().item_spacing.y = 3.0;
            ui.horizontal_wrapped(|ui| {
                ui.spacing_mut().item_spacing.x = space::ONE;
                subtitle(ui, &row.name);
                let whose = if row.is_own { "yours" } else { "" };
                let kind = [row.role.as_str(), whose].into_iter().filter(|words| !words.is_empty());
                quiet(ui, &kind.collect::<Vec<_>>().join(" · "));
            });
            let ink = Tokens::of(ui).ink;
            ui.label(text(&row.strength, size::SMALL, Weight::Regular, ink));
            for line in [&row.does, &row.parts, &row.tools] {
                if !line.is_empty() {
                    quiet(ui, line);
                }
            }
            if let Some(aside) = row.aside {
                quiet(ui, aside);
            }
            if row.in_library == InLibrary::Otherwise {
                quiet(ui, "Your library has it otherwise by now");
            }
            for note in &row.notes {
                quiet(ui, note);
            }
            for trouble in &row.troubles {
                caution_box(ui, trouble);
            }
        });
        ui.allocate_ui_with_layout(Vec2::new(LINKS, 0.0), Layout::top_down(Align::Max), |ui| {
            ui.spacing_mut().item_spacing.y = space::HALF;
            let name = &row.name;
            let (words, told) = if row.is_own { ("Change", "Change") } else { ("Measured with…", "Tools of") };
            if link(ui, words).accessible_name(format!("{told} {name}")).clicked() {
                out.push(Command::Shelf(ShelfCommand::Open(place)));
            }
            if !row.is_own && link(ui, "Make it mine").accessible_name(format!("Make {name} mine")).clicked() {
                out.push(Command::Shelf(ShelfCommand::MakeOwn(place)));
            }
            if row.can_lead && link(ui, "Plan with it").accessible_name(format!("Plan with {name}")).clicked() {
                out.push(Command::Shelf(ShelfCommand::PlanWith(place)));
            }
            if row.is_own && row.in_library != InLibrary::Same {
                let share = link(ui, "For my other units").accessible_name(format!("Keep {name} for my other units"));
                if share.clicked() {
                    out.push(Command::Shelf(ShelfCommand::Share(place)));
                }
            }
            if row.in_library == InLibrary::Otherwise {
                let renew = link(ui, "Take the library’s").accessible_name(format!("Take {name} from the library"));
                if renew.clicked() {
                    out.push(Command::Shelf(ShelfCommand::Renew(place)));
                }
            }
            if link(ui, "Take off").accessible_name(format!("Take off {name}")).clicked() {
                out.push(Command::Shelf(ShelfCommand::Remove(place)));
            }
        });
    });
}

/// What is used up: a line each, with the way back.
fn used_up_ui(ui: &mut Ui, used_up: &[(usize, String)], out: &mut Vec<Command>) {
    if used_up.is_empty() {
        return;
    }
    subtitle(ui, "Used up");
    quiet(ui, "Kept because the log speaks of it. Plans leave it out");
    for (place, name) in used_up {
        ui.push_id(("used up", *place), |ui| {
            ui.horizontal_wrapped(|ui| {
                ui.spacing_mut().item_spacing.x = space::TWO;
                body(ui, name);
                if link(ui, "It is at hand again").accessible_name(format!("{name} is at hand again")).clicked() {
                    out.push(Command::Shelf(ShelfCommand::AtHand(*place)));
                }
            });
        });
    }
    rule(ui);
}

fn add_ui(ui: &mut Ui, shelf: &ShelfView, out: &mut Vec<Command>) {
    if shelf.add.is_empty() {
        return;
    }
    subtitle(ui, "Add a product");
    quiet(ui, "Those that are not yours are invented recipes of common strength, to begin with");
    for (role, choices) in &shelf.add {
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = 0.0;
            let named = Layout::left_to_right(Align::Center);
            ui.allocate_ui_with_layout(Vec2::new(ROLE, 24.0), named, |ui| {
                ui.set_min_size(Vec2::new(ROLE, 24.0));
                quiet(ui, role);
            });
            ui.horizontal_wrapped(|ui| {
                ui.spacing_mut().item_spacing = Vec2::new(space::TWO, 0.0);
                for choice in choices {
                    if link(ui, &choice.label).accessible_name(format!("Add {}", choice.label)).clicked() {
                        out.push(Command::Shelf(ShelfCommand::Add(choice.id.clone())));
                    }
                }
            });
        });
    }
}

/// What is known of peroxide. Nothing here becomes a pour: there is a field to ask in, and no button.
fn peroxide_ui(ui: &mut Ui, shelf: &ShelfView, view: &mut ViewState, out: &mut Vec<Command>) {
    let is_open = shelf.peroxide.is_some();
    if disclosure(ui, "Hydrogen peroxide: what is known", is_open).clicked() {
        out.push(Command::Shelf(ShelfCommand::Peroxide));
    }
    let Some(peroxide) = &shelf.peroxide else { return };
    body(ui, peroxide.advice);
    ui.add_space(space::HALF);
    let ViewState { peroxide: asked, drafts, .. } = view;
    columns(ui, [0.3, 0.7], |ui, column| {
        if column == 0 {
            number_ui(ui, &peroxide.amount, NumberLook::Line, &peroxide.reader, drafts, &mut |_, ml| asked.ml = ml);
        } else {
            quiet(ui, "Grade of the bottle");
            if let Some(id) = choice_ui(ui, "Grade of the bottle", &peroxide.grades, &peroxide.grade_id) {
                asked.pick_grade(&id);
            }
        }
    });
    troubles_ui(ui, peroxide.amount.field, &[], drafts, &mut |_, ml| asked.ml = ml);
    if !peroxide.missing.is_empty() {
        quiet(ui, peroxide.missing);
    }
    if !peroxide.answer.is_empty() {
        ui.add_space(space::HALF);
    }
    for words in &peroxide.answer {
        body(ui, words);
    }
    if let Some(stop) = &peroxide.stop {
        caution_box(ui, stop);
    }
    ui.add_space(space::HALF);
    for words in &peroxide.known {
        quiet(ui, words);
    }
    for words in &peroxide.cautions {
        caution_box(ui, words);
    }
}
