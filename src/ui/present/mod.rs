//! From the document and its plan to what the window shows. Nothing is computed here: amounts, landings and chances come
//! from the library, sentences of the plan from [`card`](crate::card), so that every place says the same.

mod answer;
mod around;
mod card;
mod crop_form;
mod crops;
mod edit;
mod errors;
mod jar;
mod library;
mod log;
mod map;
mod owned;
mod pours;
mod product;
mod product_draft;
mod product_parts;
mod readers;
mod shelf;
mod start;
mod today;
mod tools;
mod units;
mod water;
mod writing;

pub(crate) use card::card_of;
pub use crop_form::{CropForm, CropPlace, CropsState, StageForm, crop_of_form, empty_form, form_from, form_view};
pub use crops::{CropsShown, crops_view};
pub use edit::{answers_of, change_facts, edit_view, set_level};
pub(crate) use errors::plain;
pub use jar::{JarDraft, JarRow};
pub use log::{LogShown, LogWords, aside_words, count_words, entry_words, log_words};
pub use owned::{Gist, age_words, example_card, units_count};
pub(crate) use pours::is_swap;
pub use product::product_view;
pub use product_draft::{Known, ProductDraft};
pub use product_parts::{Kept, PartLine};
pub(crate) use readers::capital;
pub use readers::start_reader;
pub use shelf::{added_items, renewed_item, shelf_view};
pub use start::{AnswerProblem, default_answers, is_own_water, start_units, start_view, unit_of};
pub use today::{HandShown, Shown, today_view};
pub use units::{choose_unit, unit_rows};
pub use water::{WaterDraft, WaterUnits, own_water, water_view};
pub use writing::{mend_writing, mended, new_entries, new_writing, writing_view};

use crate::units::EcScale;

/// Decimals that an EC on a scale is shown with.
pub(crate) fn ec_decimals(scale: EcScale) -> usize {
    match scale {
        EcScale::MilliSiemens => 2,
        EcScale::ConductivityFactor => 1,
        EcScale::MicroSiemens | EcScale::Ppm500 | EcScale::Ppm640 | EcScale::Ppm700 => 0,
    }
}

/// A crop to choose, with all that it is found by.
fn crop_choice(crop: &crate::garden::Crop) -> super::view::Choice {
    super::view::Choice {
        also: crop.also.clone(),
        formal: crop.botanical.clone(),
        group: capital(crop.group.words()),
        ..super::view::Choice::new(&crop.id, &crop.name)
    }
}

/// An id for a choice among the variants of an enum: its place in the list.
fn ids<T: Copy + PartialEq>(all: &[T], label: impl Fn(T) -> String) -> Vec<super::view::Choice> {
    all.iter().enumerate().map(|(i, &one)| super::view::Choice::new(i.to_string(), label(one))).collect()
}

/// The id of one of them.
fn id_of<T: Copy + PartialEq>(all: &[T], one: T) -> String {
    all.iter().position(|&other| other == one).unwrap_or_default().to_string()
}

/// The one of an id; the first when there is none of it.
fn one_of<T: Copy>(all: &[T], id: &str) -> Option<T> {
    id.parse::<usize>().ok().and_then(|i| all.get(i)).or(all.first()).copied()
}
