//! The card laid out on paper, in points: what stands where, ready to be drawn by anything that draws text and lines. It knows
//! no file format; [`pdf`](super::pdf) turns it into bytes.

mod face;
mod pages;
mod pen;
mod step;
mod tools;

use super::{Card, Section, label};
pub use face::{Face, Glyph};
pub use pen::{Mark, Outline, Run, Shape};

use face::Fonts;
use pages::{Block, Group, fill_pages};
use pen::{Align, Pen, WASH};

/// A size of paper.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum Format {
    /// 210 by 297 mm (ISO 216).
    #[default]
    A4,
    /// 8½ by 11 inches (ANSI/ASME Y14.1).
    Letter,
}

impl Format {
    /// Width and height, pt of 1/72 inch.
    pub const fn size_pt(self) -> (f64, f64) {
        match self {
            Self::A4 => (595.28, 841.89),
            Self::Letter => (612.0, 792.0),
        }
    }
}

/// Why there is no paper.
#[derive(Clone, PartialEq, Eq, Debug, thiserror::Error)]
#[non_exhaustive]
pub enum PaperError {
    /// The bundled face is broken.
    #[error("the bundled typeface could not be read ({0})")]
    Font(String),
    /// The PDF library refused the page.
    #[error("the PDF could not be made ({0})")]
    Pdf(String),
}

/// A page.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Page {
    /// What stands on it, in the order it is read.
    pub marks: Vec<Mark>,
    /// Places of drawings, with the figures in them: left, top, right, bottom, pt.
    pub drawings_pt: Vec<[f64; 4]>,
}

/// The card on paper.
#[derive(Clone, PartialEq, Debug)]
pub struct Paper {
    /// Width and height of every page, pt.
    pub size_pt: (f64, f64),
    /// The pages.
    pub pages: Vec<Page>,
    /// Its title.
    pub title: String,
}

/// Left and right of everything, pt: what common printers leave free is half of it.
pub const MARGIN_PT: f64 = 40.0;
/// Above and below.
const TOP_PT: f64 = 34.0;
/// Room of the lines at the foot.
const FOOT_PT: f64 = 26.0;

/// How generous a layout is: gaps, and type. The first with the fewest pages is taken, so a short card is large and a long one
/// close.
const FITS: [Fit; 8] = [
    Fit { gap: 1.3, type_: 1.2 },
    Fit { gap: 1.1, type_: 1.1 },
    Fit { gap: 1.0, type_: 1.0 },
    Fit { gap: 0.75, type_: 1.0 },
    Fit { gap: 0.6, type_: 0.95 },
    Fit { gap: 0.5, type_: 0.9 },
    Fit { gap: 0.4, type_: 0.85 },
    Fit { gap: 0.3, type_: 0.82 },
];
#[derive(Clone, Copy)]
struct Fit {
    gap: f64,
    type_: f64,
}

impl Paper {
    /// Lays a card out.
    ///
    /// # Errors
    /// [`PaperError::Font`] for a build with a broken font.
    pub fn of(card: &Card, format: Format) -> Result<Self, PaperError> {
        let fonts = Fonts::new()?;
        let (width, height) = format.size_pt();
        let room = (width - 2.0 * MARGIN_PT, height - 2.0 * TOP_PT - FOOT_PT);
        let laid = |fit: Fit| {
            let desk = Desk { fonts: &fonts, width: room.0, height: room.1, fit };
            fill_pages(desk.groups(card), room.1, &desk.next_reading(card))
        };
        let mut pages: Vec<Page> = Vec::new();
        for fit in FITS {
            let next = laid(fit);
            if pages.is_empty() || next.len() < pages.len() {
                pages = next;
            }
            if pages.len() == 1 {
                break;
            }
        }
        let count = pages.len();
        for (page, number) in pages.iter_mut().zip(1..) {
            page.move_by((MARGIN_PT, TOP_PT));
            foot(page, &fonts, card, (number, count), (width, height));
        }
        Ok(Self { size_pt: (width, height), pages, title: format!("{}: {}, {}", label::TITLE, card.unit, card.date) })
    }
}

impl Page {
    fn move_by(&mut self, by: (f64, f64)) {
        self.marks = std::mem::take(&mut self.marks).into_iter().map(|mark| mark.moved(by)).collect();
        for drawing in &mut self.drawings_pt {
            *drawing = [drawing[0] + by.0, drawing[1] + by.1, drawing[2] + by.0, drawing[3] + by.1];
        }
    }

    /// Every text on it, in the order it is drawn.
    pub fn runs(&self) -> impl Iterator<Item = &Run> {
        self.marks.iter().filter_map(|mark| match mark {
            Mark::Run(run) => Some(run),
            Mark::Shape(_) => None,
        })
    }
}

/// The lines at the foot of a page.
fn foot(page: &mut Page, fonts: &Fonts, card: &Card, (number, count): (usize, usize), (width, height): (f64, f64)) {
    let style = (Face::Regular, 8.0);
    let mut pen = Pen::new(fonts);
    let base = height - TOP_PT;
    pen.line((MARGIN_PT, base - 14.0), (width - MARGIN_PT, base - 14.0), 0.5);
    let mut room = width - 2.0 * MARGIN_PT;
    if count > 1 {
        let words = format!("Page {number} of {count}");
        pen.words(&words, (Face::Medium, 8.0), (width - MARGIN_PT, base - 2.0), Align::Right);
        room -= 80.0;
    }
    for (line, down) in fonts.lines(&card.last, style, room).iter().zip(0..) {
        pen.words(line, style, (MARGIN_PT, base - 2.0 + 10.0 * f64::from(down)), Align::Left);
    }
    page.marks.extend(pen.marks);
}

/// Where the parts of a card are laid out: its own coordinates begin at the margins.
struct Desk<'a> {
    fonts: &'a Fonts,
    width: f64,
    height: f64,
    fit: Fit,
}

/// A weight and a size.
type Style = (Face, f64);

impl Desk<'_> {
    fn gap(&self, pt: f64) -> f64 {
        pt * self.fit.gap
    }

    fn style(&self, face: Face, size_pt: f64) -> Style {
        (face, size_pt * self.fit.type_)
    }

    /// Height of a line of a size: closer where it must be, and never so close that lines touch.
    fn leading(&self, (_, size_pt): Style) -> f64 {
        size_pt * (1.16 + 0.14 * self.fit.gap.min(1.2))
    }

    /// Lines from a place down; returns where the next may begin.
    fn lines(&self, pen: &mut Pen<'_>, text: &str, style: Style, (x, y, width): (f64, f64, f64)) -> f64 {
        let mut y = y;
        for line in self.fonts.lines(text, style, width) {
            pen.words(&line, style, (x, y + 0.8 * style.1), Align::Left);
            y += self.leading(style);
        }
        y
    }

    /// A paragraph, a block for each line, so that it can go over to another page.
    fn paragraph(&self, text: &str, style: Style, (x, width): (f64, f64)) -> Vec<Block> {
        let lines = self.fonts.lines(text, style, width);
        let block = |line: &String| {
            let mut pen = Pen::new(self.fonts);
            pen.words(line, style, (x, 0.8 * style.1), Align::Left);
            Block::of(self.leading(style), pen.marks)
        };
        lines.iter().map(block).collect()
    }

    /// The same with a dot before it.
    fn item(&self, text: &str, style: Style, (x, width): (f64, f64)) -> Vec<Block> {
        let inset = 10.0 * self.fit.type_;
        let mut blocks = self.paragraph(text, style, (x + inset, width - inset));
        if let Some(first) = blocks.first_mut() {
            let mut pen = Pen::new(self.fonts);
            dot(&mut pen, (x + 2.5, 0.53 * style.1));
            first.marks.splice(0..0, pen.marks);
        }
        blocks
    }

    fn groups(&self, card: &Card) -> Vec<Group> {
        let mut groups = vec![Group(self.header(card))];
        for (step, number) in card.steps.iter().zip(1..) {
            let mut blocks = vec![self.rule()];
            blocks.extend(self.step(step, number));
            groups.push(Group(blocks));
        }
        groups.extend(self.sections(card));
        groups
    }

    /// What is told after the steps: two lists side by side, more one below the other.
    fn sections(&self, card: &Card) -> Vec<Group> {
        if let [left, right] = card.sections.as_slice() {
            let between = 20.0;
            let wide = (self.width - between) / 2.0;
            let mut pen = Pen::new(self.fonts);
            let height = self.list(&mut pen, left, (0.0, wide)).max(self.list(&mut pen, right, (wide + between, wide)));
            if height <= step::TALL * self.height {
                return vec![Group(vec![self.rule(), Block::of(height, pen.marks)])];
            }
        }
        let group = |section: &Section| {
            let mut blocks = vec![self.rule()];
            blocks.extend(self.paragraph(section.title, self.style(Face::SemiBold, 10.5), (0.0, self.width)));
            blocks.push(Block::gap(self.gap(2.0)));
            let small = self.style(Face::Regular, 9.5);
            blocks.extend(section.lines.iter().flat_map(|line| self.item(line, small, (0.0, self.width))));
            Group(blocks)
        };
        card.sections.iter().map(group).collect()
    }

    /// A section in a column of its own; returns its height.
    fn list(&self, pen: &mut Pen<'_>, section: &Section, (x, width): (f64, f64)) -> f64 {
        let small = self.style(Face::Regular, 9.5);
        let inset = 10.0 * self.fit.type_;
        let mut y = self.lines(pen, section.title, self.style(Face::SemiBold, 10.5), (x, 0.0, width)) + self.gap(2.0);
        for line in &section.lines {
            dot(pen, (x + 2.5, y + 0.53 * small.1));
            y = self.lines(pen, line, small, (x + inset, y, width - inset));
        }
        y
    }

    fn rule(&self) -> Block {
        let mut pen = Pen::new(self.fonts);
        let above = self.gap(9.0);
        pen.line((0.0, above), (self.width, above), 0.5);
        Block::of(above + self.gap(10.0), pen.marks)
    }

    fn header(&self, card: &Card) -> Vec<Block> {
        let mut blocks = Vec::new();
        let side = self.style(Face::Medium, 9.5);
        let mut pen = Pen::new(self.fonts);
        pen.words(label::TITLE, side, (0.0, 0.8 * side.1), Align::Left);
        pen.words(&card.date, side, (self.width, 0.8 * side.1), Align::Right);
        blocks.push(Block::of(self.leading(side) + self.gap(2.0), pen.marks));
        blocks.extend(self.paragraph(&card.unit, self.style(Face::SemiBold, 24.0), (0.0, self.width)));
        blocks.push(Block::gap(self.gap(3.0)));
        let text = self.style(Face::Regular, 10.5);
        blocks.extend(self.paragraph(&card.facts, text, (0.0, self.width)));
        let strong = self.style(Face::SemiBold, 10.5);
        let inset = 62.0 * self.fit.type_;
        for (label, words) in card.facts_lines() {
            let mut lines = self.paragraph(&words, text, (inset, self.width - inset));
            let mut pen = Pen::new(self.fonts);
            pen.words(label, strong, (0.0, 0.8 * strong.1), Align::Left);
            if lines.is_empty() {
                lines.push(Block::of(self.leading(strong), Vec::new()));
            }
            if let Some(first) = lines.first_mut() {
                first.marks.splice(0..0, pen.marks);
            }
            blocks.push(Block::gap(self.gap(1.5)));
            blocks.extend(lines);
        }
        blocks
    }

    /// The place for the next reading, which stands at the foot of the last page.
    fn next_reading(&self, card: &Card) -> Block {
        let mut pen = Pen::new(self.fonts);
        let title = self.style(Face::SemiBold, 12.0);
        let (inset, line) = (12.0, 24.0 + self.gap(6.0));
        let height = self.gap(8.0) + self.leading(title) + line + self.gap(10.0);
        pen.rect((0.0, 0.0, self.width, height), 6.0, Some(WASH), None);
        let y = self.gap(8.0) + 0.8 * title.1;
        pen.words(label::NEXT_READING, title, (inset, y), Align::Left);
        let base = y + line;
        Self::blanks(
            &mut pen,
            &card.next_reading,
            self.style(Face::Medium, 12.0),
            (inset, base, self.width - 2.0 * inset),
        );
        Block::of(height + 4.0, pen.marks)
    }

    /// Lines to write on, side by side on one baseline.
    fn blanks(pen: &mut Pen<'_>, blanks: &[super::Blank], style: Style, (x, base, width): (f64, f64, f64)) {
        let words: f64 = blanks.iter().map(|blank| pen.width(blank.name, style) + pen.width(blank.unit, style)).sum();
        let count = blanks.len().max(1) as f64;
        // Every line is as long as the others, whatever stands before and behind it.
        let line = ((width - words) / count - 22.0).max(20.0);
        let mut x = x;
        for blank in blanks {
            pen.words(blank.name, style, (x, base), Align::Left);
            x += pen.width(blank.name, style) + 5.0;
            pen.line((x, base + 2.0), (x + line, base + 2.0), 0.7);
            x += line + 4.0;
            if !blank.unit.is_empty() {
                pen.words(blank.unit, style, (x, base), Align::Left);
            }
            x += pen.width(blank.unit, style) + 13.0;
        }
    }
}

/// A dot before an item.
fn dot(pen: &mut Pen<'_>, at: (f64, f64)) {
    pen.filled(pen::arc(at, (1.5, 1.5), 0.0, 2.0), 0);
}
