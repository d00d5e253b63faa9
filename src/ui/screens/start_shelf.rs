//! On the first page: what stands on the shelf, and what it is measured with.

use egui::{Ui, Vec2};

use super::start::{columns, label, line_field, trouble_line};
use crate::ui::command::Field;
use crate::ui::state::{Answers, Part, Trouble, ViewState};
use crate::ui::theme::space;
use crate::ui::view::{Choice, MeasureView, OfferView, StartView};
use crate::ui::widgets::{card, link, pick_list, quiet, title_row, trouble_ui};

/// Draws the card.
pub(super) fn shelf_card(ui: &mut Ui, start: &StartView, view: &mut ViewState) {
    card(ui, |ui| {
        ui.spacing_mut().item_spacing = Vec2::new(space::ONE, space::ONE_HALF);
        // What is refused or not clear must be in sight.
        let refused = start.measures.iter().any(|measure| measure.refusal.is_some());
        let numbers = (0..3_u8).flat_map(|place| (0..2_u8).map(move |number| Field::Tool(place, number)));
        let unclear = numbers.into_iter().any(|field| view.drafts.trouble(field).is_some());
        let is_open = refused || unclear || view.is_open(Part::Tools);
        title_row(ui, "On your shelf", |ui| {
            let words = if is_open { "Only what it is" } else { "Measured with…" };
            if link(ui, words).clicked() {
                view.toggle(Part::Tools);
            }
        });
        if !is_open {
            products_ui(ui, start, view);
            return;
        }
        let products = [&start.feeds, &start.ph_down, &start.ph_up];
        for (place, (products, measure)) in products.into_iter().zip(&start.measures).enumerate() {
            row(ui, place, (products, measure), start, view);
        }
    });
}

/// What stands on the shelf; the usual tools are taken for it.
fn products_ui(ui: &mut Ui, start: &StartView, view: &mut ViewState) {
    if let Some(id) = pick_list(ui, "Feed", &start.feeds, &view.answers.feed_id) {
        view.answers.feed_id = id;
    }
    columns(ui, [0.5, 0.5], |ui, column| {
        if column == 0 {
            label(ui, "To lower pH");
            if let Some(id) = pick_list(ui, "To lower pH", &start.ph_down, &view.answers.ph_down_id) {
                view.answers.ph_down_id = id;
            }
        } else {
            label(ui, "To raise pH");
            if let Some(id) = pick_list(ui, "To raise pH", &start.ph_up, &view.answers.ph_up_id) {
                view.answers.ph_up_id = id;
            }
        }
    });
}

/// A product, what it is measured with, and what only the owner of that knows.
fn row(
    ui: &mut Ui,
    place: usize,
    (products, measure): (&[Choice], &MeasureView),
    start: &StartView,
    view: &mut ViewState,
) {
    columns(ui, [0.6, 0.4], |ui, column| {
        if column == 0 {
            label(ui, &measure.of);
            let id = product_id(&mut view.answers, place);
            if let Some(chosen) = pick_list(ui, &measure.of, products, id) {
                *id = chosen;
            }
        } else if !measure.tools.is_empty() {
            label(ui, "Measured with");
            let name = format!("{}: measured with", measure.of);
            if let Some(id) = pick_list(ui, &name, &measure.tools, &measure.tool_id) {
                set_tool(view, place, id);
            }
        }
    });
    if let Some((words, ways)) = &measure.refusal {
        let offers =
            ways.iter().zip(0_u8..).map(|(way, i)| OfferView { label: way.label.clone(), value: f64::from(i) });
        let trouble = Trouble { message: words.clone(), offers: offers.collect() };
        if let Some(taken) = trouble_ui(ui, &trouble)
            && let Some(way) = ways.iter().find(|way| way.label == taken.label)
        {
            set_tool(view, place, way.id.clone());
        }
    }
    if measure.fields.is_empty() {
        if !measure.note.is_empty() {
            quiet(ui, &measure.note);
        }
        return;
    }
    columns(ui, [0.27, 0.27, 0.46], |ui, column| {
        if let Some(field) = measure.fields.get(column) {
            let spec = (field.field, field.label, field.unit, field.value);
            if let Some(typed) = line_field(ui, start, view, spec, field.hint)
                && let Some(number) = view.answers.tools.get_mut(place).and_then(|tool| tool.numbers.get_mut(column))
            {
                *number = typed.value();
            }
        } else if column == 2 && !measure.note.is_empty() {
            quiet(ui, &measure.note);
        }
    });
    for field in &measure.fields {
        trouble_line(ui, view, field.field);
    }
}

fn product_id(answers: &mut Answers, place: usize) -> &mut String {
    match place {
        0 => &mut answers.feed_id,
        1 => &mut answers.ph_down_id,
        _ => &mut answers.ph_up_id,
    }
}

fn set_tool(view: &mut ViewState, place: usize, id: String) {
    if let (Some(tool), Ok(key)) = (view.answers.tools.get_mut(place), u8::try_from(place)) {
        tool.id = id;
        tool.numbers = [None; 2];
        for number in 0..2 {
            view.drafts.settle(Field::Tool(key, number));
        }
    }
}
