//! One step on paper: the amount large, the tool drawn, when to stop and what to mind in boxes of their own.

use super::face::Face;
use super::pages::Block;
use super::pen::{Pen, WASH, arc};
use super::{Desk, dot, tools};
use crate::card::{CardStep, label};

/// Room left of a step for its tick box, pt.
const TICK: f64 = 28.0;
/// Width of a drawn tool, and its height, pt.
const TOOL: (f64, f64) = (236.0, 96.0);
/// A part taller than this share of a page is set in plain lines, which can go over to the next.
const TALL: f64 = 0.5;

impl Desk<'_> {
    /// The blocks of a step.
    pub(super) fn step(&self, step: &CardStep, number: u32) -> Vec<Block> {
        let room = (TICK, self.width - TICK);
        let mut blocks = self.head(step, number);
        blocks.push(Block::gap(self.gap(5.0)));
        let small = self.style(Face::Regular, 9.5);
        for words in step.lines.iter().map(String::as_str).chain(step.remark) {
            blocks.extend(self.paragraph(words, small, room));
        }
        blocks.extend(self.promise(step));
        blocks.extend(self.warnings(step));
        if !step.record.is_empty() {
            let mut pen = Pen::new(self.fonts);
            let base = 15.0 + self.gap(9.0);
            self.blanks(&mut pen, &step.record, self.style(Face::Regular, 10.5), (room.0, base, room.1));
            blocks.push(Block::of(base + self.gap(5.0), pen.marks));
        }
        blocks
    }

    /// The order and how to measure, the tool beside it.
    fn head(&self, step: &CardStep, number: u32) -> Vec<Block> {
        let order = &step.order;
        let wide = self.width - TICK;
        let beside = if step.tool.is_some() { wide - TOOL.0 - 12.0 } else { wide };
        let verb_style = self.style(Face::Medium, 12.0);
        let what_style = self.style(Face::Medium, 16.0);
        let measure_style = self.style(Face::Medium, 12.0);
        let verb = format!("{number}. {}", order.verb);
        let what = order.what();
        let mut pen = Pen::new(self.fonts);
        tick(&mut pen);
        let mut y = self.lines(&mut pen, verb.trim_end(), verb_style, (TICK, 0.0, beside));
        y += self.gap(1.0);
        let large = if order.verb.is_empty() {
            self.style(Face::SemiBold, 25.0)
        } else {
            self.amount_style(&order.large, beside)
        };
        y = self.lines(&mut pen, &order.large, large, (TICK, y, beside));
        y = self.lines(&mut pen, &what, what_style, (TICK, y, beside));
        if !step.measuring.is_empty() {
            y += self.gap(5.0);
        }
        for words in &step.measuring {
            y = self.lines(&mut pen, words, measure_style, (TICK, y, beside)) + self.gap(1.5);
        }
        let mut drawings = Vec::new();
        let mut height = y;
        if let Some(tool) = &step.tool {
            let (left, top) = (self.width - TOOL.0, 2.0);
            tools::draw(&mut pen, tool, (left, top, TOOL.0, TOOL.1));
            drawings.push([left, top, self.width, top + TOOL.1]);
            height = height.max(top + TOOL.1);
        }
        if height <= TALL * self.height {
            return vec![Block { height, marks: pen.marks, drawings_pt: drawings }];
        }
        // A name as long as a page: plain lines, and the tool after them.
        let mut pen = Pen::new(self.fonts);
        tick(&mut pen);
        let mut blocks = self.paragraph(verb.trim_end(), verb_style, (TICK, wide));
        if let Some(first) = blocks.first_mut() {
            first.marks.splice(0..0, pen.marks);
            first.height = first.height.max(20.0);
        }
        for (words, style) in [(&order.large, large), (&what, what_style)] {
            blocks.extend(self.paragraph(words, style, (TICK, wide)));
        }
        for words in &step.measuring {
            blocks.extend(self.paragraph(words, measure_style, (TICK, wide)));
        }
        if let Some(tool) = &step.tool {
            let mut pen = Pen::new(self.fonts);
            tools::draw(&mut pen, tool, (TICK, 4.0, TOOL.0, TOOL.1));
            let drawings_pt = vec![[TICK, 4.0, TICK + TOOL.0, 4.0 + TOOL.1]];
            blocks.push(Block { height: TOOL.1 + 8.0, marks: pen.marks, drawings_pt });
        }
        blocks
    }

    /// An amount as large as there is room for.
    fn amount_style(&self, large: &str, width: f64) -> (Face, f64) {
        let (face, size) = self.style(Face::SemiBold, 46.0);
        let needed = self.fonts.width(large, face, size);
        (face, if needed > width { (size * width / needed * 0.999).max(20.0) } else { size })
    }

    /// The wait and what the next reading should show, on a wash.
    fn promise(&self, step: &CardStep) -> Vec<Block> {
        if step.wait.is_none() && step.expect.is_none() {
            return Vec::new();
        }
        let inset = 10.0;
        let (x, width) = (TICK + inset, self.width - TICK - 2.0 * inset);
        let mut pen = Pen::new(self.fonts);
        let mut y = self.gap(6.0) + 2.0;
        let lines = [
            (&step.wait, (Face::Medium, 11.0)),
            (&step.expect, (Face::SemiBold, 15.0)),
            (&step.settles, (Face::Regular, 9.5)),
        ];
        for (words, (face, size)) in lines {
            if let Some(words) = words {
                y = self.lines(&mut pen, words, self.style(face, size), (x, y, width)) + self.gap(1.0);
            }
        }
        let height = y + self.gap(4.0);
        let mut washed = Pen::new(self.fonts);
        washed.rect((TICK, 0.0, self.width - TICK, height), 5.0, Some(WASH), None);
        washed.marks.extend(pen.marks);
        vec![Block::gap(self.gap(7.0)), Block::of(height, washed.marks)]
    }

    /// When to stop, and beside it what to mind.
    fn warnings(&self, step: &CardStep) -> Vec<Block> {
        let stops: Vec<String> = step.stop_if.clone();
        if stops.is_empty() && step.cautions.is_empty() {
            return Vec::new();
        }
        let whole = self.width - TICK;
        let both = !stops.is_empty() && !step.cautions.is_empty();
        let wide = if both { (whole - 10.0) / 2.0 } else { whole };
        let mut pen = Pen::new(self.fonts);
        let (mut x, mut height) = (TICK, 0.0_f64);
        for (title, lines) in [(Some(label::STOP_IF), &stops), (None, &step.cautions)] {
            if !lines.is_empty() {
                height = height.max(self.boxed(&mut pen, title, lines, (x, wide)));
                x += wide + 10.0;
            }
        }
        let mut frames = Pen::new(self.fonts);
        let mut x = TICK;
        for (lines, line) in [(&stops, 1.4), (&step.cautions, 0.7)] {
            if !lines.is_empty() {
                frames.rect((x + 0.7, 0.7, wide - 1.4, height - 1.4), 5.0, None, Some(line));
                x += wide + 10.0;
            }
        }
        if height <= TALL * self.height {
            frames.marks.extend(pen.marks);
            return vec![Block::gap(self.gap(8.0)), Block::of(height, frames.marks)];
        }
        let small = self.style(Face::Regular, 9.5);
        let mut blocks = vec![Block::gap(self.gap(8.0))];
        blocks.extend(if stops.is_empty() {
            Vec::new()
        } else {
            self.paragraph(label::STOP_IF, (Face::SemiBold, small.1), (TICK, whole))
        });
        for line in stops.iter().chain(&step.cautions) {
            blocks.extend(self.item(line, small, (TICK, whole)));
        }
        blocks
    }

    /// The inside of a box with its mark; returns its height.
    fn boxed(&self, pen: &mut Pen<'_>, title: Option<&str>, lines: &[String], (x, wide): (f64, f64)) -> f64 {
        let small = self.style(Face::Regular, 9.5);
        let strong = self.style(Face::SemiBold, 11.0);
        let (left, width) = (x + 30.0, wide - 40.0);
        let mut y = self.gap(6.0) + 2.0;
        let mark = (x + 16.0, y + 8.0);
        if let Some(title) = title {
            octagon(pen, mark);
            y = self.lines(pen, title, strong, (left, y, width)) + self.gap(1.0);
        } else {
            triangle(pen, mark);
        }
        for line in lines {
            dot(pen, (left + 1.5, y + 0.53 * small.1));
            y = self.lines(pen, line, small, (left + 8.0, y, width - 8.0)) + self.gap(1.0);
        }
        (y + self.gap(5.0)).max(mark.1 + 14.0)
    }
}

/// A box to tick.
fn tick(pen: &mut Pen<'_>) {
    pen.rect((1.0, 1.0, 16.0, 16.0), 2.5, None, Some(1.3));
}

/// The mark of a stop: an octagon with a bar across.
fn octagon(pen: &mut Pen<'_>, (x, y): (f64, f64)) {
    let corner = |i: u32| {
        let angle = std::f64::consts::PI * (f64::from(i) / 4.0 + 0.125);
        (x + 8.5 * angle.cos(), y + 8.5 * angle.sin())
    };
    pen.filled((0..8).map(corner).collect(), 0);
    pen.rect((x - 4.8, y - 1.5, 9.6, 3.0), 0.0, Some(255), None);
}

/// The mark of a caution: a triangle with a bar and a dot.
fn triangle(pen: &mut Pen<'_>, (x, y): (f64, f64)) {
    pen.filled(vec![(x, y - 8.5), (x + 9.5, y + 7.5), (x - 9.5, y + 7.5)], 0);
    pen.rect((x - 1.1, y - 3.6, 2.2, 5.6), 1.0, Some(255), None);
    pen.filled(arc((x, y + 4.5), (1.3, 1.3), 0.0, 2.0), 255);
}
