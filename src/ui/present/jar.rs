//! The jar test, from its draft.

use super::readers::{capital, jar_reader};
use crate::card::numbered;
use crate::garden::JarPoint;
use crate::plan::{JarGuide, JarNext, Planner};
use crate::ui::view::{JarRowView, JarView};

/// Most readings of one test. Ours: nobody stirs so long.
pub(crate) const MOST_ROWS: usize = 12;

/// A jar test that is being made.
#[derive(Clone, PartialEq, Debug)]
pub struct JarDraft {
    /// How it is made.
    pub guide: JarGuide,
    /// Why it was offered.
    pub why: String,
    /// What was added and read.
    pub rows: Vec<JarRow>,
    /// What comes next.
    pub next: JarNext,
}

/// One reading of it.
#[derive(Clone, Copy, PartialEq, Debug, Default)]
pub struct JarRow {
    /// In the jar so far, as it is counted.
    pub amount: Option<f64>,
    /// Whether the person set that amount.
    pub is_own: bool,
    /// What the meter showed.
    pub ph: Option<f64>,
}

impl JarDraft {
    /// A test that begins.
    pub fn new(guide: JarGuide, why: String) -> Self {
        let first = JarRow { amount: Some(0.0), ..JarRow::default() };
        Self { guide, why, rows: vec![first], next: JarNext::ReadFirst }
    }

    /// What was read so far; a row with a gap in it says nothing.
    pub fn points(&self) -> Vec<JarPoint> {
        let point = |row: &JarRow| Some(JarPoint { amount: self.guide.amount(row.amount?), ph: row.ph? });
        self.rows.iter().filter_map(point).collect()
    }

    /// Asks the planner what comes next, and keeps one row ready for it. Returns the row that waits for its reading.
    pub fn think(&mut self, planner: &Planner) -> Option<usize> {
        self.next = planner.jar_next(&self.guide, &self.points());
        let is_open = |row: &JarRow| row.ph.is_none();
        let open_last = self.rows.last().is_some_and(is_open);
        match self.next {
            JarNext::Add { total, .. } => {
                let amount = Some(self.guide.counted(total));
                if !open_last && self.rows.len() < MOST_ROWS {
                    self.rows.push(JarRow { amount, ..JarRow::default() });
                } else if let Some(last) = self.rows.last_mut().filter(|last| is_open(last) && !last.is_own) {
                    last.amount = amount;
                }
            }
            JarNext::Enough if open_last && self.rows.len() > 1 => {
                self.rows.pop();
            }
            JarNext::Enough | JarNext::ReadFirst => {}
        }
        self.waiting()
    }

    /// The row that waits for its reading.
    pub fn waiting(&self) -> Option<usize> {
        self.rows.iter().position(|row| row.ph.is_none())
    }
}

pub(super) fn jar_view(draft: &JarDraft) -> JarView {
    let guide = &draft.guide;
    let mark = guide.counted(guide.measured.mark());
    let decimals = if mark >= 1.0 { 0 } else { 2 };
    JarView {
        product: capital(&guide.name),
        why: draft.why.clone(),
        steps: numbered(&guide.steps()),
        water_l: guide.water_l,
        counted_in: guide.counted_in(),
        decimals,
        rows: draft.rows.iter().map(|row| JarRowView { amount: row.amount, ph: row.ph }).collect(),
        next: guide.next_words(&draft.next),
        can_record: draft.points().iter().any(|point| point.amount > 0.0),
        cautions: super::pours::joined(&guide.cautions),
        reader: jar_reader(guide.counted_in()),
    }
}
