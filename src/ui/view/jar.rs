//! What the jar test shows.

use super::{Choice, Reader};
use crate::ui::command::Field;

/// A jar test on its way.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct JarView {
    /// Of what.
    pub product: String,
    /// Why it is worth its minutes; empty when nobody asked.
    pub why: String,
    /// What to do, in order.
    pub steps: Vec<String>,
    /// Tank water in the jar, L.
    pub water_l: f64,
    /// What amounts are counted in, such as "mL of the 1:10 mix".
    pub counted_in: String,
    /// Decimals of an amount.
    pub decimals: usize,
    /// What was added and read, the first before anything went in.
    pub rows: Vec<JarRowView>,
    /// What comes next, in one sentence.
    pub next: String,
    /// Whether it tells something yet.
    pub can_record: bool,
    /// Cautions.
    pub cautions: Vec<String>,
    /// Turns what is typed into a value.
    pub reader: Reader,
}

/// One reading of a jar.
#[derive(Clone, Copy, PartialEq, Debug, Default)]
pub struct JarRowView {
    /// In the jar so far, as it is counted.
    pub amount: Option<f64>,
    /// What the meter showed.
    pub ph: Option<f64>,
}

/// What a product is measured with.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct MeasureView {
    /// Of what, such as "Feed".
    pub of: String,
    /// Tools to pick from; none where there is no product.
    pub tools: Vec<Choice>,
    /// The one that is taken.
    pub tool_id: String,
    /// Numbers of it that only its owner knows.
    pub fields: Vec<MeasureField>,
    /// What is good to know of it.
    pub note: String,
    /// Why it is no measure for this product, and others that are.
    pub refusal: Option<(String, Vec<Choice>)>,
}

/// A number of a tool.
#[derive(Clone, PartialEq, Debug)]
pub struct MeasureField {
    /// Its key.
    pub field: Field,
    /// Its name.
    pub label: &'static str,
    /// Its unit.
    pub unit: &'static str,
    /// What stands in it while it is empty.
    pub hint: &'static str,
    /// The value.
    pub value: Option<f64>,
}
