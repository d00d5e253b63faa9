//! A list that opens to pick one of it. A long one has a line on top to find something in it by any of its names.

use egui::{
    Align2, ComboBox, CursorIcon, Id, Key, Modifiers, Popup, PopupCloseBehavior, Pos2, Rect, Response, Role,
    ScrollArea, Sense, Stroke, Ui, Vec2, WidgetInfo,
};

use super::boxes::chevron;
use super::text_field;
use crate::garden::{Names, find_named};
use crate::ui::paint::{focus_ring, words_at};
use crate::ui::theme::{Tokens, Weight, size, space, text};
use crate::ui::view::Choice;

/// Entries from which a list gets the line on top: more than the eye takes in at once. Ours.
const LONG_FROM: usize = 13;
/// Height of an open list.
const HEIGHT: f32 = 320.0;
/// Height of an entry of a long list.
const ROW: f32 = 28.0;
/// Entries that Page Up and Page Down pass over.
const PAGE: usize = 8;

/// A pick list over the full width. Returns the id that was chosen in this frame.
pub fn pick_list(ui: &mut Ui, name: &str, choices: &[Choice], chosen_id: &str) -> Option<String> {
    let tokens = Tokens::of(ui);
    let label = choices.iter().find(|c| c.id == chosen_id).map_or("Choose…", |c| c.label.as_str());
    let is_long = choices.len() >= LONG_FROM;
    let inner = ui
        .scope(|ui| {
            let widgets = &mut ui.visuals_mut().widgets;
            widgets.inactive.bg_stroke = Stroke::new(1.0, tokens.outline);
            ui.spacing_mut().interact_size.y = space::PRESS;
            let combo = ComboBox::from_id_salt(name)
                .width(ui.available_width())
                .height(HEIGHT)
                .truncate()
                .selected_text(text(label, size::BODY, Weight::Regular, tokens.ink))
                .icon(|ui, rect, _, open| {
                    let stroke = Stroke::new(1.5, Tokens::of(ui).quiet);
                    let center = rect.center();
                    chevron(ui.painter(), center, !open, stroke);
                });
            if is_long {
                let combo = combo.close_behavior(PopupCloseBehavior::CloseOnClickOutside);
                combo.show_ui(ui, |ui| long_ui(ui, name, choices, chosen_id))
            } else {
                combo.show_ui(ui, |ui| short_ui(ui, choices, chosen_id))
            }
        })
        .inner;
    let response = inner.response.accessible_name(name);
    let picked = inner.inner.unwrap_or_default();
    if picked.gives_back {
        response.request_focus();
    }
    if response.has_focus() {
        focus_ring(ui.painter(), response.rect, tokens);
    }
    picked.id.filter(|id| id != chosen_id)
}

/// A list under something that was pressed. Returns the id that was chosen in this frame.
pub fn pick_menu(response: &Response, name: &str, width: f32, choices: &[Choice]) -> Option<String> {
    let popup = Popup::menu(response).width(width).close_behavior(PopupCloseBehavior::CloseOnClickOutside);
    let picked = popup.show(|ui| {
        ui.set_width(width);
        ScrollArea::vertical().max_height(HEIGHT).show(ui, |ui| {
            if choices.len() >= LONG_FROM { long_ui(ui, name, choices, "") } else { short_ui(ui, choices, "") }
        })
    });
    let picked = picked.map(|shown| shown.inner.inner).unwrap_or_default();
    if picked.gives_back {
        response.request_focus();
    }
    picked.id
}

/// What came of an open list in a frame.
#[derive(Default)]
struct Picked {
    /// What was chosen.
    id: Option<String>,
    /// Whether the keyboard goes back to where the list was opened.
    gives_back: bool,
}

fn short_ui(ui: &mut Ui, choices: &[Choice], chosen_id: &str) -> Picked {
    let mut picked = Picked::default();
    for choice in choices {
        let words = text(&choice.label, size::BODY, Weight::Regular, Tokens::of(ui).ink);
        if ui.selectable_label(choice.id == chosen_id, words).clicked() {
            picked.id = Some(choice.id.clone());
            ui.close();
        }
    }
    picked
}

/// Where a person is in an open list. It lives as long as the list is open.
#[derive(Clone, Default)]
struct Finding {
    typed: String,
    /// Place among what was found.
    at: usize,
    /// The frame in which the list was opened.
    opened: u64,
    /// The frame in which it was shown last.
    frame: u64,
}

/// The line on top, and what fits what stands in it.
fn long_ui(ui: &mut Ui, name: &str, choices: &[Choice], chosen_id: &str) -> Picked {
    let state_id = Id::unique(("finding", name));
    let frame = ui.ctx().cumulative_frame_nr();
    let kept = ui.data(|data| data.get_temp::<Finding>(state_id)).filter(|kept| kept.frame + 1 >= frame);
    let mut finding = kept.unwrap_or_else(|| Finding {
        at: choices.iter().position(|choice| choice.id == chosen_id).unwrap_or(0),
        opened: frame,
        ..Finding::default()
    });
    finding.frame = frame;
    // A frame may be drawn twice until the sizes are right.
    let opens = finding.opened == frame;
    // The press that opened the list is no press in it.
    let keys = if opens { Keys::default() } else { Keys::taken(ui) };

    // Room for the ring around it.
    ui.add_space(space::HALF);
    let field = text_field(ui, &format!("Find: {name}"), "Find by any name", &mut finding.typed, 40);
    if opens {
        field.request_focus();
    }
    if field.changed() {
        finding.at = 0;
    }
    let found = find_named(&finding.typed, choices, |choice| Names {
        name: &choice.label,
        also: &choice.also,
        formal: &choice.formal,
        group: &choice.group,
    });
    finding.at = keys.moved(finding.at).min(found.len().saturating_sub(1));
    let into_sight = opens || field.changed() || keys.down != keys.up;

    let mut picked = Picked { id: None, gives_back: ui.input(|i| i.key_pressed(Key::Escape)) };
    let grouped = finding.typed.trim().is_empty();
    let room = HEIGHT - space::PRESS - space::HALF - 2.0 * space::ONE;
    ScrollArea::vertical().max_height(room).id_salt("found").auto_shrink([false, true]).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        let mut group = "";
        for (place, choice) in found.iter().enumerate() {
            if grouped && choice.group != group {
                group = &choice.group;
                heading_ui(ui, group);
            }
            let is_at = place == finding.at;
            let row = row_ui(ui, choice, is_at, choice.id == chosen_id);
            if is_at {
                ui.ctx().accesskit_node_builder(field.id, |node| node.set_active_descendant(row.id.accesskit_id()));
                if into_sight {
                    row.scroll_to_me(None);
                }
            }
            if row.clicked() || (is_at && keys.enter) {
                picked.id = Some(choice.id.clone());
                picked.gives_back |= keys.enter;
            }
        }
        if found.is_empty() {
            super::quiet(ui, "Nothing goes by this name");
        }
    });
    if picked.id.is_some() {
        ui.close();
    }
    ui.data_mut(|data| data.insert_temp(state_id, finding));
    picked
}

/// Keys that move through the list while the line on top is typed into.
#[derive(Clone, Copy, Default)]
struct Keys {
    up: usize,
    down: usize,
    enter: bool,
}

impl Keys {
    fn taken(ui: &Ui) -> Self {
        ui.input_mut(|i| {
            let mut count = |key: Key| i.count_and_consume_key(Modifiers::NONE, key);
            Self {
                up: count(Key::ArrowUp) + PAGE * count(Key::PageUp),
                down: count(Key::ArrowDown) + PAGE * count(Key::PageDown),
                enter: count(Key::Enter) > 0,
            }
        })
    }

    fn moved(self, at: usize) -> usize {
        (at + self.down).saturating_sub(self.up)
    }
}

fn heading_ui(ui: &mut Ui, words: &str) {
    let tokens = Tokens::of(ui);
    let (rect, response) = ui.allocate_exact_size(Vec2::new(ui.available_width(), ROW), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, words));
    let at = Pos2::new(rect.left() + space::ONE, rect.bottom() - 6.0);
    words_at(ui.painter(), at, Align2::LEFT_BOTTOM, words, (size::SMALL, Weight::SemiBold), tokens.quiet);
}

fn row_ui(ui: &mut Ui, choice: &Choice, is_at: bool, is_chosen: bool) -> Response {
    let tokens = Tokens::of(ui);
    // The keyboard stays in the line on top: the rows are no stops of Tab.
    let (rect, response) = ui.allocate_exact_size(Vec2::new(ui.available_width(), ROW), Sense::CLICK);
    response.widget_info(|| WidgetInfo::selected(Role::ListBoxOption, true, is_chosen, &choice.label));
    if ui.is_rect_visible(rect) {
        let painter = ui.painter();
        if is_at {
            painter.rect_filled(rect, 6.0, tokens.accent_soft);
        } else if response.hovered() {
            painter.rect_filled(rect, 6.0, tokens.ground);
        }
        let left = rect.left() + space::ONE;
        let font = (if is_chosen { Weight::SemiBold } else { Weight::Regular }).font(size::BODY);
        let mark = if is_chosen { 20.0 } else { 0.0 };
        let room = rect.right() - space::ONE - mark - left;
        let mut job = egui::text::LayoutJob::simple_singleline(choice.label.clone(), font, tokens.ink);
        job.wrap = egui::text::TextWrapping::truncate_at_width(room);
        let galley = painter.layout_job(job);
        painter.galley(Pos2::new(left, rect.center().y - galley.size().y / 2.0), galley, tokens.ink);
        if is_chosen {
            tick(ui, Rect::from_min_max(Pos2::new(rect.right() - space::ONE - mark, rect.top()), rect.max));
        }
    }
    response.on_hover_cursor(CursorIcon::PointingHand)
}

fn tick(ui: &Ui, rect: Rect) {
    let at = rect.center();
    let points = [(-4.0, 0.5), (-1.0, 3.5), (4.5, -3.5)].map(|(x, y)| at + Vec2::new(x, y));
    ui.painter().line(points.to_vec(), Stroke::new(1.8, Tokens::of(ui).accent));
}
