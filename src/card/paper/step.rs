//! One step on paper: the amount large, the tool drawn, when to stop and what to mind in boxes of their own.

use super::face::Face;
use super::pages::Block;
use super::pen::{Pen, WASH, arc};
use super::{Desk, dot, tools};
use crate::card::{CardStep, label};

/// Room left of a step for its tick box, pt.
const TICK: f64 = 28.0;
/// Width of a drawn tool, and its height on a page with room, pt.
const TOOL: (f64, f64) = (236.0, 96.0);
/// A part taller than this share of a page is set in plain lines, which can go over to the next.
pub(super) const TALL: f64 = 0.5;

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
            let base = 17.0 + self.gap(8.0);
            Self::blanks(&mut pen, &step.record, self.style(Face::Regular, 10.5), (room.0, base, room.1));
            blocks.push(Block::of(base + 3.0 + self.gap(4.0), pen.marks));
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
        // On a close page the drawing is no taller than the words beside it need.
        let tall = TOOL.1 * (0.55 + 0.45 * self.fit.gap.min(1.0));
        let mut drawings = Vec::new();
        let mut height = y;
        if let Some(tool) = &step.tool {
            let (left, top) = (self.width - TOOL.0, 2.0);
            tools::draw(&mut pen, tool, (left, top, TOOL.0, tall));
            drawings.push([left, top, self.width, top + tall]);
            height = height.max(top + tall);
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
        let boxes: Vec<Boxed<'_>> = [
            Boxed { title: Some(label::STOP_IF), lines: &step.stop_if, frame_pt: 1.4 },
            Boxed { title: None, lines: &step.cautions, frame_pt: 0.7 },
        ]
        .into_iter()
        .filter(|boxed| !boxed.lines.is_empty())
        .collect();
        if boxes.is_empty() {
            return Vec::new();
        }
        // Side by side, in the shares that need the least height.
        let shares: &[f64] = if boxes.len() > 1 { &[0.5, 0.57, 0.64, 0.43] } else { &[1.0] };
        let mut found: Option<(f64, Pen<'_>)> = None;
        for share in shares {
            let next = self.boxes(&boxes, *share);
            if found.as_ref().is_none_or(|(height, _)| next.0 < height - 0.1) {
                found = Some(next);
            }
        }
        let mut blocks = vec![Block::gap(self.gap(8.0))];
        match found {
            Some((height, pen)) if height <= TALL * self.height => blocks.push(Block::of(height, pen.marks)),
            _ => {
                let (small, room) = (self.style(Face::Regular, 9.5), (TICK, self.width - TICK));
                for boxed in &boxes {
                    blocks.extend(
                        boxed.title.iter().flat_map(|title| self.paragraph(title, (Face::SemiBold, small.1), room)),
                    );
                    blocks.extend(boxed.lines.iter().flat_map(|line| self.item(line, small, room)));
                }
            }
        }
        blocks
    }

    /// One or two boxes of one height, the first with a share of the width; and that height.
    fn boxes(&self, boxes: &[Boxed<'_>], share: f64) -> (f64, Pen<'_>) {
        let whole = self.width - TICK;
        let between = if boxes.len() > 1 { 10.0 } else { 0.0 };
        let first = (whole - between) * share;
        let places = [(TICK, first), (TICK + first + between, whole - between - first)];
        let mut inside = Pen::new(self.fonts);
        let heights = boxes.iter().zip(places).map(|(boxed, place)| self.inside(&mut inside, boxed, place));
        let height = heights.fold(0.0, f64::max);
        let mut pen = Pen::new(self.fonts);
        for (boxed, (x, wide)) in boxes.iter().zip(places) {
            pen.rect((x + 0.7, 0.7, wide - 1.4, height - 1.4), 5.0, None, Some(boxed.frame_pt));
        }
        pen.marks.extend(inside.marks);
        (height, pen)
    }

    /// The inside of a box with its mark; returns its height.
    fn inside(&self, pen: &mut Pen<'_>, boxed: &Boxed<'_>, (x, wide): (f64, f64)) -> f64 {
        let small = self.style(Face::Regular, 9.5);
        let strong = self.style(Face::SemiBold, 11.0);
        let (left, width) = (x + 30.0, wide - 40.0);
        let mut y = self.gap(6.0) + 2.0;
        let mark = (x + 16.0, y + 8.0);
        if let Some(title) = boxed.title {
            octagon(pen, mark);
            y = self.lines(pen, title, strong, (left, y, width)) + self.gap(1.0);
        } else {
            triangle(pen, mark);
        }
        for line in boxed.lines {
            dot(pen, (left + 1.5, y + 0.53 * small.1));
            y = self.lines(pen, line, small, (left + 8.0, y, width - 8.0)) + self.gap(1.0);
        }
        (y + self.gap(5.0)).max(mark.1 + 14.0)
    }
}

/// A framed list with its mark.
struct Boxed<'a> {
    title: Option<&'static str>,
    lines: &'a [String],
    frame_pt: f64,
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
