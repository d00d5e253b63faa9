//! The one number field: what is typed stays until it is a value, commas count as points, and what is wrong is said
//! beside the field with ways out.

use egui::{
    Align2, Color32, CursorIcon, Frame, Id, Margin, Pos2, Rect, Response, Sense, Stroke, StrokeKind, TextEdit, Ui,
    UiBuilder, Vec2,
};

use super::buttons::link;
use crate::ui::command::Field;
use crate::ui::paint::{caution_mark, focus_ring, line, words_at};
use crate::ui::state::{Drafts, Trouble};
use crate::ui::theme::{Tokens, Weight, size, space};
use crate::ui::view::OfferView;

/// What a piece of text turned out to be.
#[derive(Clone, PartialEq, Debug)]
pub enum Entry {
    /// Nothing was typed.
    Empty,
    /// A value in the unit of the field.
    Value(f64),
    /// Not a value, and why.
    Wrong(Trouble),
}

/// Shape of a field.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum NumberLook {
    /// Label above, one line.
    Line,
    /// Label inside, large figures: a reading.
    Reading,
    /// No visible label, for a row that already says what it is.
    Bare,
}

/// What a field asks for.
pub struct NumberSpec<'a> {
    /// Its key.
    pub field: Field,
    /// Its name: always said to a screen reader, shown as the look has it.
    pub label: &'a str,
    /// Its unit, always shown.
    pub unit: &'a str,
    /// The value now.
    pub value: Option<f64>,
    /// Decimals shown.
    pub decimals: usize,
    /// What stands in it while it is empty.
    pub hint: &'a str,
    /// Shape.
    pub look: NumberLook,
    /// Turns text into a value.
    pub read: &'a dyn Fn(&str) -> Entry,
}

/// A value as a field shows it: at most `decimals`, no trailing zeros beyond the first decimal.
pub fn shown(value: f64, decimals: usize) -> String {
    let mut text = format!("{value:.decimals$}");
    if decimals > 1 {
        while text.ends_with('0') && !text.ends_with(".0") {
            text.pop();
        }
    }
    text
}

/// The value of a field as it shows it: a pour with all the decimals of its tool, as everywhere else.
fn shown_in(spec: &NumberSpec<'_>, value: f64) -> String {
    match spec.field {
        Field::Pour(_) => format!("{value:.decimals$}", decimals = spec.decimals),
        _ => shown(value, spec.decimals),
    }
}

/// Reads a plain decimal number within limits: point or comma, spaces ignored.
///
/// `name` and `unit` only serve the message. No offers are made here; fields with a trade meaning bring their own reader.
pub fn plain_number(text: &str, name: &str, unit: &str, limits: std::ops::RangeInclusive<f64>) -> Entry {
    let cleaned: String = text.chars().filter(|c| !c.is_whitespace()).map(|c| if c == ',' { '.' } else { c }).collect();
    let cleaned = cleaned.replace('\u{2212}', "-");
    if cleaned.is_empty() {
        return Entry::Empty;
    }
    let unit = if unit.is_empty() { String::new() } else { format!(" {unit}") };
    let (low, high) = (limits.start(), limits.end());
    match cleaned.parse::<f64>() {
        Ok(value) if value.is_finite() && limits.contains(&value) => Entry::Value(value),
        Ok(value) if value.is_finite() => Entry::Wrong(Trouble {
            message: format!("{name} of {cleaned}{unit} is outside {low} to {high}{unit}"),
            offers: Vec::new(),
        }),
        _ => Entry::Wrong(Trouble {
            message: format!("{name} should be a number from {low} to {high}{unit}, not “{}”", text.trim()),
            offers: Vec::new(),
        }),
    }
}

/// What was entered into a field.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Typed {
    /// A value.
    Value(f64),
    /// The field was emptied.
    Emptied,
}

impl Typed {
    /// The value; none when the field was emptied.
    pub fn value(self) -> Option<f64> {
        match self {
            Self::Value(value) => Some(value),
            Self::Emptied => None,
        }
    }
}

/// The field. Returns what was entered in this frame.
///
/// A value counts once the person leaves the field or presses Enter, so that half-typed numbers move nothing; only on a
/// page of questions ([`NumberLook::Line`]) it counts as it is typed.
pub fn number_field(ui: &mut Ui, drafts: &mut Drafts, spec: &NumberSpec<'_>) -> Option<Typed> {
    let tokens = Tokens::of(ui);
    let height = match spec.look {
        NumberLook::Line => {
            ui.label(crate::ui::theme::text(spec.label, size::SMALL, Weight::Regular, tokens.quiet));
            space::PRESS
        }
        NumberLook::Reading => 52.0,
        NumberLook::Bare => 30.0,
    };
    let id = field_id(spec.field);
    let (rect, whole) = ui.allocate_exact_size(Vec2::new(ui.available_width(), height), Sense::CLICK);
    if whole.on_hover_cursor(CursorIcon::Text).clicked() {
        ui.memory_mut(|m| m.request_focus(id));
    }
    let focused = ui.memory(|m| m.has_focus(id));
    let wrong = drafts.trouble(spec.field).is_some();
    paint_box(ui, rect, focused, wrong);
    let inner = paint_fixed_parts(ui, rect, spec);

    let mut text = drafts
        .text(spec.field)
        .map_or_else(|| spec.value.map(|v| shown_in(spec, v)).unwrap_or_default(), str::to_owned);
    let response = text_edit(ui, inner, id, &mut text, spec);
    if response.changed() {
        drafts.keep(spec.field, text.clone());
        // What was wrong may be right by now; it is not called wrong again before the person is done.
        if !matches!((spec.read)(&text), Entry::Wrong(_)) {
            drafts.absolve(spec.field);
        }
    }
    if response.has_focus() {
        focus_ring(ui.painter(), rect, tokens);
    }
    if response.gained_focus() {
        ui.scroll_to_rect(rect.expand(space::TWO), None);
    }
    // An assistive tool sets the text without ever taking the keyboard: that counts at once.
    let done = response.lost_focus() || (response.changed() && !response.has_focus());
    if done && drafts.text(spec.field).is_some() {
        commit(drafts, spec, &text)
    } else if response.changed() && spec.look == NumberLook::Line {
        as_typed(spec, &text)
    } else {
        None
    }
}

/// On a page of questions each figure counts as it is typed: nothing is worked out from it yet. The draft stays.
fn as_typed(spec: &NumberSpec<'_>, text: &str) -> Option<Typed> {
    match (spec.read)(text) {
        Entry::Value(value) => Some(Typed::Value(value)),
        Entry::Empty | Entry::Wrong(_) => spec.value.map(|_| Typed::Emptied),
    }
}

/// Where a field's text is edited: known outside so that the keyboard can be sent there.
pub(crate) fn field_id(field: Field) -> Id {
    Id::unique(("number field", field))
}

fn commit(drafts: &mut Drafts, spec: &NumberSpec<'_>, text: &str) -> Option<Typed> {
    match (spec.read)(text) {
        Entry::Wrong(trouble) => {
            drafts.blame(spec.field, trouble);
            None
        }
        Entry::Empty => {
            drafts.settle(spec.field);
            spec.value.map(|_| Typed::Emptied)
        }
        Entry::Value(value) => {
            drafts.settle(spec.field);
            let unchanged = spec.value.is_some_and(|old| shown_in(spec, old) == shown_in(spec, value));
            (!unchanged).then_some(Typed::Value(value))
        }
    }
}

fn paint_box(ui: &Ui, rect: Rect, focused: bool, wrong: bool) {
    let tokens = Tokens::of(ui);
    let stroke = if wrong {
        Stroke::new(1.5, tokens.caution)
    } else if focused {
        Stroke::new(1.0, tokens.accent)
    } else {
        Stroke::new(1.0, tokens.outline)
    };
    ui.painter().rect(rect, space::RADIUS, tokens.map, stroke, StrokeKind::Inside);
}

/// Paints label and unit, and returns the room that is left for the figures.
fn paint_fixed_parts(ui: &Ui, rect: Rect, spec: &NumberSpec<'_>) -> Rect {
    let tokens = Tokens::of(ui);
    let painter = ui.painter();
    let pad = if spec.look == NumberLook::Line { space::ONE_HALF } else { 10.0 };
    if spec.look == NumberLook::Reading {
        let top = rect.min + Vec2::new(pad, 6.0);
        let small = (size::SMALL, Weight::Regular);
        let label = words_at(painter, top, Align2::LEFT_TOP, spec.label, small, tokens.quiet);
        let unit = line(painter, spec.unit, size::SMALL, Weight::Regular, tokens.quiet);
        let right = rect.right() - pad - unit.size().x;
        // Beside the label where there is room, so that the figures get the full width below.
        let x = right.max(label.right() + space::HALF);
        painter.galley(Pos2::new(x, top.y), unit, tokens.quiet);
        return Rect::from_min_max(rect.min + Vec2::new(pad, 22.0), rect.max - Vec2::new(pad, 4.0));
    }
    let unit = words_at(
        painter,
        rect.right_center() - Vec2::new(pad, 0.0),
        Align2::RIGHT_CENTER,
        spec.unit,
        (size::SMALL, Weight::Regular),
        tokens.quiet,
    );
    let right = if spec.unit.is_empty() { rect.right() - pad } else { unit.left() - space::HALF };
    Rect::from_min_max(Pos2::new(rect.left() + pad, rect.top()), Pos2::new(right, rect.bottom()))
}

fn text_edit(ui: &mut Ui, room: Rect, id: Id, text: &mut String, spec: &NumberSpec<'_>) -> Response {
    let tokens = Tokens::of(ui);
    let (size_pt, weight) = match spec.look {
        NumberLook::Line => (size::BODY, Weight::Regular),
        NumberLook::Bare => (size::BODY, Weight::Figures),
        NumberLook::Reading => (size::LARGE, Weight::Figures),
    };
    let align = if spec.look == NumberLook::Bare { Align2::RIGHT_CENTER } else { Align2::LEFT_CENTER };
    let mut child =
        ui.new_child(UiBuilder::new().max_rect(room).layout(egui::Layout::left_to_right(egui::Align::Center)));
    child.spacing_mut().interact_size = Vec2::ZERO;
    child
        .add_sized(
            room.size(),
            TextEdit::singleline(text)
                .id(id)
                .font(weight.font(size_pt))
                .text_color(tokens.ink)
                .hint_text(crate::ui::theme::text(spec.hint, size_pt, Weight::Regular, tokens.quiet))
                .frame(Frame::new())
                .background_color(Color32::TRANSPARENT)
                .margin(Margin::ZERO)
                .align(align)
                .char_limit(24)
                .desired_width(room.width()),
        )
        .accessible_name(format!(
            "{}{}",
            spec.label,
            if spec.unit.is_empty() { String::new() } else { format!(", {}", spec.unit) }
        ))
}

/// Room for the mark before what is wrong.
const MARK: f32 = 18.0;
/// Room between two offers.
const OFFER_GAP: f32 = space::ONE_HALF;

/// Height that [`trouble_ui`] takes in a width.
pub fn trouble_height(ui: &Ui, trouble: &Trouble, width: f32) -> f32 {
    let galley = |words: &str, weight: Weight, width: f32| {
        ui.painter().layout(words.to_owned(), weight.font(size::SMALL), Color32::PLACEHOLDER, width.max(1.0)).size()
    };
    let message = galley(&trouble.message, Weight::Regular, width - MARK);
    let (mut height, mut row) = (0.0, message.y);
    let mut left = width - MARK - message.x - OFFER_GAP;
    for offer in &trouble.offers {
        let offer = galley(&offer.label, Weight::Medium, f32::INFINITY);
        if left < offer.x {
            height += row;
            (row, left) = (0.0, width);
        }
        row = row.max(offer.y + space::ONE);
        left -= offer.x + OFFER_GAP;
    }
    height + row
}

/// What is wrong with a field, and under it a row of ways out that wraps. Returns the offer that was taken.
pub fn trouble_ui(ui: &mut Ui, trouble: &Trouble) -> Option<OfferView> {
    let tokens = Tokens::of(ui);
    let mut taken = None;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = Vec2::new(OFFER_GAP, 0.0);
        let width = (ui.available_width() - MARK).max(1.0);
        let message = trouble.message.clone();
        let galley = ui.painter().layout(message.clone(), Weight::Regular.font(size::SMALL), tokens.caution, width);
        let (rect, response) = ui.allocate_exact_size(galley.size() + Vec2::new(MARK, 0.0), Sense::hover());
        response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Label, true, message.as_str()));
        let row = galley.rows.first().map_or(0.0, |row| row.height());
        caution_mark(ui.painter(), rect.min + Vec2::new(6.0, row / 2.0), 11.0, tokens.caution, tokens.card);
        ui.painter().galley(rect.min + Vec2::new(MARK, 0.0), galley, tokens.caution);
        for offer in &trouble.offers {
            if link(ui, &offer.label).clicked() {
                taken = Some(offer.clone());
            }
        }
    });
    taken
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn commas_spaces_and_minus_signs_are_understood() {
        for (text, value) in [("6,4", 6.4), (" 1 200 ", 1200.0), ("7", 7.0), (".5", 0.5), ("\u{2212}2", -2.0)] {
            assert_eq!(plain_number(text, "pH", "", -10.0..=5000.0), Entry::Value(value), "{text}");
        }
        assert_eq!(plain_number("  ", "pH", "", 0.0..=14.0), Entry::Empty);
    }

    #[test]
    fn a_wrong_entry_names_field_value_and_limit() {
        for text in ["70", "1e400", "NaN", "seven", "6,4,2", "-1"] {
            let Entry::Wrong(trouble) = plain_number(text, "pH", "", 0.0..=14.0) else { panic!("{text} was taken") };
            assert!(trouble.message.contains("pH"), "{}", trouble.message);
            assert!(trouble.message.contains(text), "{}", trouble.message);
            assert!(trouble.message.contains("14"), "{}", trouble.message);
        }
    }

    #[test]
    fn figures_keep_one_decimal_at_least_when_they_have_any() {
        assert_eq!(shown(6.9, 2), "6.9");
        assert_eq!(shown(7.0, 2), "7.0");
        assert_eq!(shown(6.95, 2), "6.95");
        assert_eq!(shown(28.0, 0), "28");
        assert_eq!(shown(17.0, 1), "17.0");
    }
}
