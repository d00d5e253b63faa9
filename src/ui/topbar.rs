//! The bar on top: name, pages that exist, the unit and whether it is saved, the menu.

use egui::{
    Align, Align2, CursorIcon, Layout, Popup, Pos2, Rect, Role, Sense, Stroke, Ui, UiBuilder, Vec2, WidgetInfo,
};

use super::command::{Command, Page};
use super::layout::{Room, margin};
use super::paint::{focus_ring, line, words_at};
use super::theme::{Tokens, Weight, size, space, text};
use super::tools::drop_shape;
use super::view::{BarView, SavedView, UnitEntry};
use super::widgets::{ButtonKind, button_sized};

/// Units that the menu lists; the others are opened as files.
const LISTED: usize = 8;

/// Draws the bar into `rect`.
pub fn bar_ui(ui: &mut Ui, rect: Rect, room: Room, bar: &BarView, page: Page, out: &mut Vec<Command>) {
    let tokens = Tokens::of(ui);
    ui.painter().rect_filled(rect, 0.0, tokens.card);
    ui.painter().hline(rect.x_range(), rect.bottom() - 0.5, Stroke::new(1.0, tokens.hairline));
    let inner = rect.shrink2(Vec2::new(margin(room) + space::HALF, 0.0));

    let mark = Pos2::new(inner.left() + 7.0, inner.center().y);
    drop_shape(ui.painter(), mark, 6.0, tokens);
    let name_at = Pos2::new(mark.x + 14.0, inner.center().y);
    let title = (size::TITLE, Weight::SemiBold);
    let name = words_at(ui.painter(), name_at, Align2::LEFT_CENTER, "Pourcast", title, tokens.accent);

    let mut x = name.right() + space::THREE;
    if !bar.unit_name.is_empty() {
        for (words, to) in [("Today", Page::Today), ("Log", Page::Log), ("Shelf", Page::Shelf), ("Crops", Page::Crops)]
        {
            x = tab(ui, Pos2::new(x, rect.top()), rect.height(), (words, to, page == to), out) + space::TWO;
        }
    }
    x = tab(ui, Pos2::new(x, rect.top()), rect.height(), ("Units", Page::Units, page == Page::Units), out);
    let right = Rect::from_min_max(Pos2::new(x + space::TWO, inner.top()), inner.max);
    let mut child = ui.new_child(UiBuilder::new().max_rect(right).layout(Layout::right_to_left(Align::Center)));
    menu(&mut child, &bar.units, out);
    if !bar.unit_name.is_empty() {
        let (words, color) = match &bar.saved {
            SavedView::Saved => ("saved".to_owned(), tokens.quiet),
            SavedView::Saving => ("saving…".to_owned(), tokens.quiet),
            SavedView::NotYet => ("not saved yet".to_owned(), tokens.quiet),
            SavedView::Example => ("an example, not saved".to_owned(), tokens.quiet),
            SavedView::Failed(why) => (format!("▲ not saved, {why}"), tokens.caution),
        };
        child.add_space(space::ONE);
        let whole = format!("{} · {words}", bar.unit_name);
        // Where there is little room the name goes first, and all but a failure after it.
        let short = if matches!(bar.saved, SavedView::Failed(_)) { "▲ not saved" } else { "" };
        let room = child.available_width();
        let fits =
            |words: &&str| line(child.painter(), words, size::SMALL, Weight::Regular, tokens.quiet).size().x <= room;
        let shown = [whole.as_str(), words.as_str()].into_iter().find(fits).unwrap_or(short);
        if !shown.is_empty() {
            let label = egui::Label::new(text(shown, size::SMALL, Weight::Regular, color)).truncate();
            child.add(label).on_hover_text(&whole);
        }
    }
}

fn tab(ui: &mut Ui, left_top: Pos2, height: f32, (words, to, on): (&str, Page, bool), out: &mut Vec<Command>) -> f32 {
    let tokens = Tokens::of(ui);
    let weight = if on { Weight::SemiBold } else { Weight::Regular };
    let galley = line(ui.painter(), words, size::BODY, weight, if on { tokens.ink } else { tokens.quiet });
    let rect = Rect::from_min_size(left_top, Vec2::new(galley.size().x, height));
    let response = ui.allocate_rect(rect, Sense::click()).on_hover_cursor(CursorIcon::PointingHand);
    response.widget_info(|| WidgetInfo::selected(Role::Tab, true, on, words));
    let painter = ui.painter();
    if on {
        let under = Rect::from_min_max(Pos2::new(rect.left(), rect.bottom() - 3.0), rect.max);
        painter.rect_filled(under, 1.5, tokens.accent);
    }
    painter.galley(Pos2::new(rect.left(), rect.center().y - galley.size().y / 2.0), galley, tokens.ink);
    if response.has_focus() {
        focus_ring(painter, rect.shrink2(Vec2::new(-4.0, 10.0)), tokens);
    }
    if response.clicked() {
        out.push(Command::Show(to));
    }
    rect.right()
}

fn menu(ui: &mut Ui, units: &[UnitEntry], out: &mut Vec<Command>) {
    let response = button_sized(ui, ButtonKind::Secondary, "Menu", Vec2::new(64.0, 28.0));
    Popup::menu(&response).width(232.0).show(|ui| {
        let mut item = |ui: &mut Ui, words: &str, command: Command| {
            if ui.button(text(words, size::BODY, Weight::Regular, Tokens::of(ui).ink)).clicked() {
                out.push(command);
                ui.close();
            }
        };
        // The person's own units come first: changing between them is what the menu is opened for most.
        for unit in units.iter().take(LISTED) {
            item(ui, &unit.title, Command::OpenUnit(unit.path.clone()));
        }
        if !units.is_empty() {
            ui.separator();
        }
        item(ui, "Start a unit of my own", Command::StartOwn);
        item(ui, "Open a unit…", Command::OpenFile);
        item(ui, "Save a copy…", Command::SaveCopy);
        item(ui, "Look around in the example", Command::OpenExample);
        item(ui, "Measures…", Command::ToggleUnits);
        ui.separator();
        let now = ui.options(|o| o.theme_preference);
        for (words, theme) in [
            ("As the system has it", egui::ThemePreference::System),
            ("Light", egui::ThemePreference::Light),
            ("Dark", egui::ThemePreference::Dark),
        ] {
            let words = text(words, size::BODY, Weight::Regular, Tokens::of(ui).ink);
            if ui.selectable_label(now == theme, words).clicked() {
                out.push(Command::SetTheme(theme));
                ui.close();
            }
        }
    });
}
