//! First page: what is in your hands? Few questions, defaults for all that can wait.

use egui::{
    Align, Align2, CursorIcon, Layout, Rect, Response, Role, ScrollArea, Sense, Stroke, StrokeKind, Ui, UiBuilder,
    Vec2, WidgetInfo,
};

use super::pictures::kind_picture;
use super::start_shelf::shelf_card;
use crate::ui::command::{Command, Field, Page};
use crate::ui::layout::{Room, arrange, margin};
use crate::ui::paint::{focus_ring, words_at};
use crate::ui::present::is_own_water;
use crate::ui::state::{Answers, ViewState};
use crate::ui::theme::{Tokens, Weight, size, space, text};
use crate::ui::view::{KindView, StartView};
use crate::ui::widgets::{
    ButtonKind, Entry, NumberLook, NumberSpec, Typed, button_sized, card, caution_box, choice_ui, number_field,
    pick_list, quiet, segmented, text_field, title, trouble_ui,
};

/// Widest the page gets: wider lines of questions are harder to read.
const WIDEST: f32 = 1120.0;

/// What was read of the source water.
const WATER_FIELDS: [Field; 3] = [Field::WaterEc, Field::WaterPh, Field::WaterAlkalinity];

/// Draws the page below the bar, into `window` (which includes the bar).
pub fn start_ui(ui: &mut Ui, window: Rect, start: &StartView, view: &mut ViewState, out: &mut Vec<Command>) {
    let room = Room::of(window.size());
    let parts = arrange(window, if room == Room::Wide { 88.0 } else { 64.0 });
    let body = centred(parts.body);
    // The scroll bar stands in the margin, beside the cards.
    let scrolled = Rect::from_min_max(body.min, body.max + Vec2::new(margin(room) - 2.0, 0.0));
    let mut child = ui.new_child(UiBuilder::new().max_rect(scrolled).layout(Layout::top_down(Align::Min)));
    ScrollArea::vertical().id_salt("questions").auto_shrink(false).show(&mut child, |ui| {
        ui.set_max_width(body.width());
        ui.spacing_mut().item_spacing.y = margin(room);
        heading(ui, room, start.editing, out);
        match room {
            Room::Wide => {
                let gap = space::TWO;
                let width = (ui.available_width() - gap) / 2.0;
                ui.horizontal_top(|ui| {
                    ui.spacing_mut().item_spacing = Vec2::splat(gap);
                    let left = in_column(ui, width, |ui| {
                        unit_card(ui, start, view);
                        water_card(ui, start, view);
                    });
                    let _ = in_column(ui, width, |ui| {
                        growing_card(ui, start, view);
                        shelf_card(ui, start, view);
                        // Both columns end on one line.
                        let least = left.bottom() - ui.cursor().top() - 2.0 * space::TWO;
                        reading_card(ui, start, view, least);
                    });
                });
            }
            Room::Narrow => {
                unit_card(ui, start, view);
                water_card(ui, start, view);
                growing_card(ui, start, view);
                shelf_card(ui, start, view);
                reading_card(ui, start, view, 0.0);
            }
        }
    });
    begin_strip(ui, centred(parts.strip), room, start, view, out);
}

fn centred(rect: Rect) -> Rect {
    Rect::from_center_size(rect.center(), Vec2::new(rect.width().min(WIDEST), rect.height()))
}

fn in_column(ui: &mut Ui, width: f32, contents: impl FnOnce(&mut Ui)) -> Rect {
    ui.allocate_ui_with_layout(Vec2::new(width, 0.0), Layout::top_down(Align::Min), |ui| {
        ui.set_width(width);
        contents(ui);
    })
    .response
    .rect
}

fn heading(ui: &mut Ui, room: Room, editing: bool, out: &mut Vec<Command>) {
    let tokens = Tokens::of(ui);
    let large = if room == Room::Wide { size::ANSWER } else { size::LARGE };
    let words = |ui: &mut Ui| {
        ui.spacing_mut().item_spacing.y = space::HALF;
        let (title, note) = if editing {
            ("Change what is in your hands", "The log and the file stay as they are")
        } else {
            (
                "What is in your hands?",
                "A rough answer is enough. What you skip gets a careful guess, and a reading sharpens it",
            )
        };
        ui.label(text(title, large, Weight::SemiBold, tokens.ink));
        ui.label(text(note, size::BODY, Weight::Regular, tokens.quiet));
    };
    let example = |ui: &mut Ui, out: &mut Vec<Command>| {
        if editing {
            return;
        }
        if button_sized(ui, ButtonKind::Soft, "Look around in the example", Vec2::new(220.0, 36.0)).clicked() {
            out.push(Command::OpenExample);
        }
    };
    match room {
        Room::Wide => {
            ui.horizontal(|ui| {
                ui.vertical(words);
                ui.with_layout(Layout::right_to_left(Align::Center), |ui| example(ui, out));
            });
        }
        Room::Narrow => {
            ui.vertical(words);
            example(ui, out);
        }
    }
}

fn unit_card(ui: &mut Ui, start: &StartView, view: &mut ViewState) {
    card(ui, |ui| {
        ui.spacing_mut().item_spacing = Vec2::new(space::ONE, space::ONE_HALF);
        title(ui, "The unit");
        kind_tiles(ui, &start.kinds, &mut view.answers);
        columns(ui, [0.42, 0.58], |ui, column| {
            if column == 0 {
                let unit = unit_label(&start.volume_units, &view.answers.volume_unit_id);
                let spec = (Field::TankSize, "Size of the reservoir", unit.as_str(), view.answers.size);
                if let Some(typed) = line_field(ui, start, view, spec, "such as 20") {
                    view.answers.size = typed.value();
                }
            } else {
                label(ui, "Measured in");
                if let Some(id) = choice_ui(ui, "Unit of volume", &start.volume_units, &view.answers.volume_unit_id) {
                    view.answers.volume_unit_id = id;
                }
            }
        });
        trouble_line(ui, view, Field::TankSize);
        columns(ui, [0.58, 0.42], |ui, column| {
            if column == 0 {
                label(ui, "How full it is");
                if let Some(id) = choice_ui(ui, "How full it is", &start.fullness, &view.answers.fullness_id) {
                    view.answers.fullness_id = id;
                }
            } else {
                label(ui, "Its name, if you like");
                let _ = text_field(ui, "Name of the unit", "Kitchen jar", &mut view.answers.name, 60);
            }
        });
    });
}

fn water_card(ui: &mut Ui, start: &StartView, view: &mut ViewState) {
    card(ui, |ui| {
        ui.spacing_mut().item_spacing = Vec2::new(space::ONE, space::ONE_HALF);
        title(ui, "The water it is filled with");
        columns(ui, [1.0], |ui, _| {
            label(ui, "Kind of water");
            if let Some(id) = pick_list(ui, "Kind of water", &start.waters, &view.answers.water_id) {
                take_water(view, id, start.editing);
            }
        });
        let own = start.own_water.as_ref();
        columns(ui, [0.26, 0.2, 0.26, 0.28], |ui, column| match column {
            0 => {
                let unit = unit_label(&start.ec_units, &view.answers.ec_unit_id);
                let spec = (Field::WaterEc, "EC, if known", unit.as_str(), view.answers.water_ec);
                if let Some(typed) = line_field(ui, start, view, spec, own.map_or("", |own| &own.ec)) {
                    view.answers.water_ec = typed.value();
                }
            }
            1 => {
                let spec = (Field::WaterPh, "pH, if known", "", view.answers.water_ph);
                if let Some(typed) = line_field(ui, start, view, spec, own.map_or("", |own| &own.ph)) {
                    view.answers.water_ph = typed.value();
                }
            }
            2 => {
                let spec = (Field::WaterAlkalinity, "Alkalinity, if known", "", view.answers.water_alkalinity);
                if let Some(typed) = line_field(ui, start, view, spec, own.map_or("", |own| &own.alkalinity)) {
                    view.answers.water_alkalinity = typed.value();
                }
            }
            _ => {
                label(ui, "In");
                let units = &start.alkalinity_units;
                if let Some(id) = pick_list(ui, "Unit of alkalinity", units, &view.answers.alkalinity_unit_id) {
                    view.answers.alkalinity_unit_id = id;
                }
            }
        });
        if let Some(own) = own {
            quiet(ui, &own.words);
        }
        for field in WATER_FIELDS {
            trouble_line(ui, view, field);
            for (_, words) in start.cautions.iter().filter(|(of, _)| *of == field) {
                caution_box(ui, words);
            }
        }
    });
}

/// Another water. Where one of the library takes the place of what a unit has, the figures of that are not said of it.
fn take_water(view: &mut ViewState, id: String, editing: bool) {
    if editing && is_own_water(&id) {
        let answers = &mut view.answers;
        (answers.water_ec, answers.water_ph, answers.water_alkalinity) = (None, None, None);
        for field in WATER_FIELDS {
            view.drafts.settle(field);
        }
    }
    view.answers.water_id = id;
}

fn growing_card(ui: &mut Ui, start: &StartView, view: &mut ViewState) {
    card(ui, |ui| {
        ui.spacing_mut().item_spacing = Vec2::splat(space::ONE);
        title(ui, "What grows");
        // One row, so that the shelf and the reading below it stay in sight.
        columns(ui, [0.36, 0.34, 0.3], |ui, column| match column {
            0 => {
                label(ui, "Crop");
                let crops: Vec<_> = start.crops.iter().map(|c| c.choice.clone()).collect();
                if let Some(id) = pick_list(ui, "Crop", &crops, &view.answers.crop_id) {
                    choose_crop(&mut view.answers, start, id);
                }
            }
            1 => {
                label(ui, "Stage");
                if let Some(crop) = start.crops.iter().find(|c| c.choice.id == view.answers.crop_id)
                    && let Some(id) = choice_ui(ui, "Stage", &crop.stages, &view.answers.stage_id)
                {
                    view.answers.stage_id = id;
                }
            }
            _ => {
                label(ui, "Roots in the water");
                if let Some(id) = segmented(ui, "Roots in the water", &start.roots, &view.answers.roots_id) {
                    view.answers.roots_id = id;
                }
            }
        });
    });
}

/// Another crop keeps the stage if it has one of that name, and starts with its first otherwise.
fn choose_crop(answers: &mut Answers, start: &StartView, crop_id: String) {
    let stages = start.crops.iter().find(|c| c.choice.id == crop_id).map_or(&[][..], |c| &c.stages);
    if !stages.iter().any(|s| s.id == answers.stage_id) {
        answers.stage_id = stages.first().map(|s| s.id.clone()).unwrap_or_default();
    }
    answers.crop_id = crop_id;
}

fn reading_card(ui: &mut Ui, start: &StartView, view: &mut ViewState, least_height: f32) {
    card(ui, |ui| {
        ui.set_min_height(least_height.max(0.0));
        ui.spacing_mut().item_spacing = Vec2::splat(space::ONE);
        if start.editing {
            title(ui, "How it is measured");
            columns(ui, [0.5, 0.5], |ui, column| {
                if column == 0 {
                    label(ui, "pH is read with");
                    let instruments = &start.ph_instruments;
                    if let Some(id) = pick_list(ui, "pH is read with", instruments, &view.answers.ph_instrument_id) {
                        view.answers.ph_instrument_id = id;
                    }
                } else {
                    label(ui, "How the level is known");
                    let known = &start.levels_known;
                    if let Some(id) = pick_list(ui, "How the level is known", known, &view.answers.level_known_id) {
                        view.answers.level_known_id = id;
                    }
                }
            });
            quiet(ui, "The scale it shows EC in is under “Menu”, “Measures…”");
            return;
        }
        title(ui, "In the reservoir now");
        if let Some(id) = segmented(ui, "In the reservoir now", &start.fed, &view.answers.fed_id) {
            view.answers.fed_id = id;
        }
        columns(ui, [0.17, 0.26, 0.28, 0.29], |ui, column| match column {
            0 => {
                let spec = (Field::ReadingPh, "pH", "", view.answers.reading_ph);
                if let Some(typed) = line_field(ui, start, view, spec, "") {
                    view.answers.reading_ph = typed.value();
                }
            }
            1 => {
                label(ui, "Read with");
                let instruments = &start.ph_instruments;
                if let Some(id) = pick_list(ui, "pH is read with", instruments, &view.answers.ph_instrument_id) {
                    view.answers.ph_instrument_id = id;
                }
            }
            2 => {
                let unit = unit_label(&start.ec_units, &view.answers.ec_unit_id);
                let spec = (Field::ReadingEc, "EC", unit.as_str(), view.answers.reading_ec);
                if let Some(typed) = line_field(ui, start, view, spec, "") {
                    view.answers.reading_ec = typed.value();
                }
            }
            _ => {
                label(ui, "The meter shows");
                if let Some(id) = pick_list(ui, "The meter shows EC in", &start.ec_units, &view.answers.ec_unit_id) {
                    change_ec_unit(view, id);
                }
            }
        });
        trouble_line(ui, view, Field::ReadingPh);
        trouble_line(ui, view, Field::ReadingEc);
    });
}

/// A typed EC keeps its figures when the unit is chosen after it: the person read those figures off the meter.
fn change_ec_unit(view: &mut ViewState, id: String) {
    view.drafts.absolve(Field::ReadingEc);
    view.drafts.absolve(Field::WaterEc);
    view.answers.ec_unit_id = id;
}

fn begin_strip(ui: &mut Ui, rect: Rect, room: Room, start: &StartView, view: &ViewState, out: &mut Vec<Command>) {
    let tokens = Tokens::of(ui);
    ui.painter().rect(rect, space::RADIUS, tokens.card, Stroke::new(1.5, tokens.accent), StrokeKind::Inside);
    let inset = if room == Room::Wide { Vec2::new(space::THREE, space::TWO) } else { Vec2::splat(space::ONE_HALF) };
    let mut child =
        ui.new_child(UiBuilder::new().max_rect(rect.shrink2(inset)).layout(Layout::right_to_left(Align::Center)));
    // A size that was typed is never asked for as though it were missing.
    let size = view.drafts.trouble(Field::TankSize).cloned().or_else(|| {
        match start.reader.read(Field::TankSize, view.drafts.text(Field::TankSize)?) {
            Entry::Wrong(trouble) => Some(trouble),
            Entry::Value(_) | Entry::Empty => None,
        }
    });
    let size = size.as_ref().map(|trouble| trouble.message.as_str());
    let unmeasured = start.measures.iter().any(|measure| measure.refusal.is_some());
    let unclear = unmeasured || view.drafts.any_trouble();
    let trouble = size.or(unclear.then_some("One answer is not clear yet"));
    let missing = trouble.or(start.missing.as_deref());
    if start.editing {
        if missing.is_none()
            && button_sized(&mut child, ButtonKind::Primary, "Keep these facts", Vec2::new(148.0, 36.0)).clicked()
        {
            out.push(Command::KeepFacts(Box::new(view.answers.clone())));
        }
        if button_sized(&mut child, ButtonKind::Secondary, "Cancel", Vec2::new(96.0, 36.0)).clicked() {
            out.push(Command::Show(Page::Today));
        }
        child.add_space(space::TWO);
    } else if missing.is_none() {
        if button_sized(&mut child, ButtonKind::Primary, "Show me the map", Vec2::new(148.0, 36.0)).clicked() {
            out.push(Command::Begin(Box::new(view.answers.clone())));
        }
        child.add_space(space::TWO);
    }
    let (words, note) = match missing {
        Some(words) if size.is_some() => (words, "Everything else can wait"),
        Some(words) if trouble.is_some() => (words, "It is marked above, with ways out beside it"),
        Some(words) => (words, "Everything else can wait"),
        None if !start.cautions.is_empty() => {
            ("Two of these answers do not go together", start.cautions.first().map_or("", |(_, words)| words.as_str()))
        }
        None if start.editing => ("Are these the facts?", "What you change here moves the answer at once"),
        None => (
            "That is enough to begin",
            "Next comes the map: where your water is, where the crop wants it, and one amount to pour",
        ),
    };
    let large = if room == Room::Wide { size::LARGE } else { size::TITLE };
    let head = text(words, large, Weight::SemiBold, tokens.ink);
    child.with_layout(Layout::top_down(Align::Min), |ui| {
        ui.spacing_mut().item_spacing.y = space::HALF;
        ui.add_space(if room == Room::Wide { space::HALF } else { space::ONE });
        ui.add(egui::Label::new(head).wrap());
        if room == Room::Wide {
            ui.label(text(note, size::BODY, Weight::Regular, tokens.quiet));
        }
    });
}

/// Columns of given shares of the width, with the usual gap.
pub(super) fn columns<const N: usize>(ui: &mut Ui, shares: [f32; N], mut contents: impl FnMut(&mut Ui, usize)) {
    let gap = space::ONE_HALF;
    let width = ui.available_width() - gap * (N as f32 - 1.0);
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing = Vec2::new(gap, space::HALF);
        for (i, share) in shares.into_iter().enumerate() {
            let _ = in_column(ui, width * share, |ui| contents(ui, i));
        }
    });
}

pub(super) fn label(ui: &mut Ui, words: &str) {
    quiet(ui, words);
}

fn unit_label(units: &[crate::ui::view::Choice], id: &str) -> String {
    units.iter().find(|u| u.id == id).map(|u| u.label.clone()).unwrap_or_default()
}

pub(super) fn line_field(
    ui: &mut Ui,
    start: &StartView,
    view: &mut ViewState,
    (field, label, unit, value): (Field, &str, &str, Option<f64>),
    hint: &str,
) -> Option<Typed> {
    let read = |typed: &str| start.reader.read(field, typed);
    let decimals = if matches!(field, Field::WaterEc | Field::ReadingEc) { start.ec_decimals } else { 2 };
    let spec = NumberSpec { field, label, unit, value, decimals, hint, look: NumberLook::Line, read: &read };
    number_field(ui, &mut view.drafts, &spec)
}

pub(super) fn trouble_line(ui: &mut Ui, view: &mut ViewState, field: Field) {
    let Some(trouble) = view.drafts.trouble(field).cloned() else { return };
    if let Some(offer) = trouble_ui(ui, &trouble) {
        view.drafts.settle(field);
        set_answer(&mut view.answers, field, offer.value);
    }
}

fn set_answer(answers: &mut Answers, field: Field, value: f64) {
    let slot = match field {
        Field::TankSize => &mut answers.size,
        Field::WaterEc => &mut answers.water_ec,
        Field::WaterPh => &mut answers.water_ph,
        Field::WaterAlkalinity => &mut answers.water_alkalinity,
        Field::ReadingPh => &mut answers.reading_ph,
        Field::ReadingEc => &mut answers.reading_ec,
        Field::Tool(place, number) => {
            let tool = answers.tools.get_mut(usize::from(place));
            match tool.and_then(|tool| tool.numbers.get_mut(usize::from(number))) {
                Some(slot) => slot,
                None => return,
            }
        }
        _ => return,
    };
    *slot = Some(value);
}

fn kind_tiles(ui: &mut Ui, kinds: &[KindView], answers: &mut Answers) {
    let gap = space::ONE;
    let per_row = if ui.available_width() < 440.0 { 2 } else { kinds.len().clamp(1, 4) };
    let width = (ui.available_width() - gap * (per_row as f32 - 1.0)) / per_row as f32;
    for row in kinds.chunks(per_row) {
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = gap;
            for kind in row {
                if kind_tile(ui, kind, width, kind.choice.id == answers.kind_id).clicked() {
                    answers.kind_id.clone_from(&kind.choice.id);
                }
            }
        });
    }
}

fn kind_tile(ui: &mut Ui, kind: &KindView, width: f32, on: bool) -> Response {
    let tokens = Tokens::of(ui);
    let (rect, response) = ui.allocate_exact_size(Vec2::new(width, 140.0), Sense::click());
    response.widget_info(|| WidgetInfo::selected(Role::RadioButton, true, on, &kind.choice.label));
    let painter = ui.painter();
    let (fill, stroke) = if on {
        (tokens.accent_soft, Stroke::new(2.0, tokens.accent))
    } else if response.hovered() {
        (tokens.map, Stroke::new(1.0, tokens.accent))
    } else {
        (tokens.map, Stroke::new(1.0, tokens.hairline))
    };
    painter.rect(rect, space::RADIUS, fill, stroke, StrokeKind::Inside);
    let picture = Rect::from_min_size(rect.min, Vec2::new(rect.width(), 92.0));
    kind_picture(painter, picture, kind.picture, tokens);
    let weight = if on { Weight::SemiBold } else { Weight::Medium };
    let name_at = rect.center_bottom() - Vec2::new(0.0, 36.0);
    words_at(painter, name_at, Align2::CENTER_CENTER, &kind.choice.label, (size::BODY, weight), tokens.ink);
    let note_at = rect.center_bottom() - Vec2::new(0.0, 18.0);
    words_at(painter, note_at, Align2::CENTER_CENTER, &kind.note, (size::SMALL, Weight::Regular), tokens.quiet);
    if response.has_focus() {
        focus_ring(painter, rect, tokens);
    }
    response.on_hover_cursor(CursorIcon::PointingHand)
}
