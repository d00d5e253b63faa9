//! A crop of one's own being written: its name, its stages with their bands, and where they come from.

use egui::{Align, Layout, ScrollArea, Ui, Vec2};

use crate::ui::command::{BandEnd, Command, CropAsk, Field};
use crate::ui::present::StageForm;
use crate::ui::state::{Drafts, Trouble, ViewState};
use crate::ui::theme::space;
use crate::ui::view::CropFormView;
use crate::ui::widgets::{
    ButtonKind, NumberLook, NumberSpec, button, caution_box, link, number_field, pick_list, quiet, rule, sheet,
    text_field, title, trouble_ui,
};

/// Width of a field for a number.
const NUMBER: f32 = 92.0;
/// Width from which a stage stands in one row.
const ROW_FROM: f32 = 700.0;
/// Letters of a source. Ours: a long title with its place.
const LONGEST_SOURCE: usize = 200;

/// Draws the fields over the page, for a crop that belongs to no unit.
pub fn crop_sheet_ui(ui: &Ui, form: &CropFormView, view: &mut ViewState, out: &mut Vec<Command>) {
    let before = out.len();
    let closed = sheet(ui, "crop", 780.0, |ui| {
        let height = (ui.ctx().content_rect().height() - 110.0).clamp(96.0, 820.0);
        // A sheet begins low and would stay so.
        ui.set_max_height(height);
        ScrollArea::vertical().id_salt("crop").max_height(height).auto_shrink([false, true]).show(ui, |ui| {
            // The scroll bar stands beside the fields.
            ui.set_max_width(ui.available_width() - 14.0);
            ui.spacing_mut().item_spacing.y = space::ONE;
            form_ui(ui, form, view, out);
        });
    });
    if closed && out.len() == before {
        out.push(Command::Crop(Box::new(CropAsk::Close)));
    }
}

/// Draws the fields.
pub(super) fn form_ui(ui: &mut Ui, form: &CropFormView, view: &mut ViewState, out: &mut Vec<Command>) {
    let Some(mut fields) = view.crops.form.take() else { return };
    title(ui, &form.title);
    quiet(ui, &form.note);
    rule(ui);
    ui.scope(|ui| {
        ui.set_max_width(ui.available_width().min(460.0));
        quiet(ui, "Name");
        text_field(ui, "Name of the crop", "What you call it", &mut fields.name, crate::garden::LONGEST_NAME);
        if !form.groups.is_empty() {
            quiet(ui, "It feeds like");
            if let Some(id) = pick_list(ui, "It feeds like", &form.groups, &fields.group_id) {
                fields.group_id = id;
            }
        }
    });
    rule(ui);
    let mut removed = None;
    let is_only = fields.rows.len() == 1;
    for (place, row) in fields.rows.iter_mut().enumerate() {
        ui.push_id(place, |ui| {
            if stage_ui(ui, form, (place, row, is_only), &mut view.drafts) {
                removed = Some(place);
            }
        });
        rule(ui);
    }
    if let Some(place) = removed {
        fields.rows.remove(place);
        // What is half typed is of other places now.
        view.drafts.forget_bands();
    }
    if form.has_room && link(ui, "Add a stage").clicked() {
        fields.rows.push(StageForm::default());
    }
    ui.scope(|ui| {
        ui.set_max_width(ui.available_width().min(460.0));
        quiet(ui, "Where these come from");
        text_field(ui, "Where these come from", crate::garden::SET_BY_YOU, &mut fields.source, LONGEST_SOURCE);
    });
    if let Some(refused) = &fields.refused {
        let _ = trouble_ui(ui, &Trouble { message: refused.clone(), offers: Vec::new() });
    }
    if !form.keep.note.is_empty() {
        quiet(ui, form.keep.note);
    }
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = space::ONE;
        if button(ui, ButtonKind::Primary, form.keep.button).clicked() {
            out.push(Command::Crop(Box::new(CropAsk::Keep)));
        }
        if button(ui, ButtonKind::Secondary, "Never mind").clicked() {
            out.push(Command::Crop(Box::new(CropAsk::Close)));
        }
    });
    ui.add_space(space::ONE);
    view.crops.form = Some(fields);
}

/// A stage: its name, its bands, a way to take it off. Returns whether that was pressed.
fn stage_ui(
    ui: &mut Ui,
    form: &CropFormView,
    (place, row, is_only): (usize, &mut StageForm, bool),
    drafts: &mut Drafts,
) -> bool {
    let mut removed = false;
    let name = if row.name.trim().is_empty() { format!("stage {}", place + 1) } else { row.name.trim().to_owned() };
    let is_wide = ui.available_width() >= ROW_FROM;
    let field_name = format!("Name of stage {}", place + 1);
    if is_wide {
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = space::ONE_HALF;
            let rest = ui.available_width() - 4.0 * (NUMBER + space::ONE_HALF) - 64.0;
            in_width(ui, rest.min(220.0), |ui| {
                quiet(ui, "Stage");
                text_field(ui, &field_name, "such as growing", &mut row.name, 40);
            });
            numbers_ui(ui, form, (place, row, &name), drafts);
            if !is_only {
                in_width(ui, 52.0, |ui| {
                    ui.add_space(28.0);
                    removed = link(ui, "Remove").accessible_name(format!("Remove {name}")).clicked();
                });
            }
        });
    } else {
        let width = ui.available_width();
        let end = if is_only { 0.0 } else { 64.0 };
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = space::ONE_HALF;
            in_width(ui, width - end, |ui| {
                text_field(ui, &field_name, "Stage, such as growing", &mut row.name, 40);
            });
            if !is_only {
                in_width(ui, 52.0, |ui| {
                    ui.add_space(space::ONE);
                    removed = link(ui, "Remove").accessible_name(format!("Remove {name}")).clicked();
                });
            }
        });
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = space::ONE_HALF;
            numbers_ui(ui, form, (place, row, &name), drafts);
        });
    }
    for end in BandEnd::ALL {
        let field = Field::Band(place, end);
        if let Some(trouble) = drafts.trouble(field).cloned() {
            let _ = trouble_ui(ui, &trouble);
        }
    }
    for remark in form.remarks.get(place).into_iter().flatten() {
        caution_box(ui, remark);
    }
    removed
}

fn in_width(ui: &mut Ui, width: f32, contents: impl FnOnce(&mut Ui)) {
    ui.allocate_ui_with_layout(Vec2::new(width, 0.0), Layout::top_down(Align::Min), |ui| {
        ui.set_width(width);
        ui.spacing_mut().item_spacing.y = space::HALF;
        contents(ui);
    });
}

/// The four ends of a stage's bands.
fn numbers_ui(
    ui: &mut Ui,
    form: &CropFormView,
    (place, row, name): (usize, &mut StageForm, &str),
    drafts: &mut Drafts,
) {
    let width = ((ui.available_width() - 3.0 * space::ONE_HALF) / 4.0).min(NUMBER);
    for end in BandEnd::ALL {
        let (label, unit, decimals, value) = match end {
            BandEnd::PhLow => ("pH from", "", 2, &mut row.ph[0]),
            BandEnd::PhHigh => ("pH to", "", 2, &mut row.ph[1]),
            BandEnd::EcLow => ("EC from", form.ec_unit.as_str(), form.ec_decimals, &mut row.ec[0]),
            BandEnd::EcHigh => ("EC to", form.ec_unit.as_str(), form.ec_decimals, &mut row.ec[1]),
        };
        in_width(ui, width, |ui| {
            quiet(ui, label);
            // These are lower than the name beside them.
            ui.add_space(3.0);
            let field = Field::Band(place, end);
            let read = |typed: &str| form.reader.read(field, typed);
            let spec = NumberSpec {
                field,
                label: &format!("{label}, {name}"),
                unit,
                value: *value,
                decimals,
                hint: "",
                look: NumberLook::Bare,
                read: &read,
            };
            if let Some(typed) = number_field(ui, drafts, &spec) {
                *value = typed.value();
            }
        });
    }
}
