//! Marks on a page, in points from its upper left corner.

use super::face::{Face, Fonts, Glyph};

/// One thing drawn.
#[derive(Clone, PartialEq, Debug)]
pub enum Mark {
    /// Words on one line.
    Run(Run),
    /// A shape.
    Shape(Shape),
}

/// Words on one line.
#[derive(Clone, PartialEq, Debug)]
pub struct Run {
    /// The words.
    pub text: String,
    /// Their weight.
    pub face: Face,
    /// Type size, pt.
    pub size_pt: f64,
    /// Left end of the baseline, pt.
    pub at_pt: (f64, f64),
    /// Width, pt.
    pub width_pt: f64,
    /// The glyphs, in the order they are drawn.
    pub glyphs: Vec<Glyph>,
}

impl Run {
    /// What the letters cover: left, top, right, bottom, pt.
    pub fn bounds_pt(&self) -> [f64; 4] {
        let (x, y) = self.at_pt;
        [x, y - ASCENT * self.size_pt, x + self.width_pt, y + DESCENT * self.size_pt]
    }
}

/// How far letters reach above the baseline, share of the type size. Measured on the bundled face: capitals 0.73, figures 0.74,
/// j 0.76. Capitals with an accent reach 0.96, into the gap between two lines.
const ASCENT: f64 = 0.765;
/// And below it: g reaches 0.216.
const DESCENT: f64 = 0.22;

/// A shape, filled or outlined.
#[derive(Clone, PartialEq, Debug)]
pub struct Shape {
    /// Its outlines, one after the other.
    pub paths: Vec<Outline>,
    /// Lightness of the filling, 0 black to 255 white.
    pub fill: Option<u8>,
    /// Width of the line, pt; it is black.
    pub stroke_pt: Option<f64>,
}

/// Straight from corner to corner.
#[derive(Clone, PartialEq, Debug)]
pub struct Outline {
    /// The corners, pt.
    pub corners_pt: Vec<(f64, f64)>,
    /// Whether the last is joined to the first.
    pub closed: bool,
}

impl Mark {
    /// The same mark elsewhere.
    pub(super) fn moved(mut self, (dx, dy): (f64, f64)) -> Self {
        match &mut self {
            Self::Run(run) => run.at_pt = (run.at_pt.0 + dx, run.at_pt.1 + dy),
            Self::Shape(shape) => {
                for corner in shape.paths.iter_mut().flat_map(|path| &mut path.corners_pt) {
                    *corner = (corner.0 + dx, corner.1 + dy);
                }
            }
        }
        self
    }
}

/// A rectangle: left, top, width, height, pt.
pub(super) type Rect = (f64, f64, f64, f64);

/// Where a word stands against its place.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Align {
    Left,
    Center,
    Right,
}

/// Draws marks.
pub(super) struct Pen<'a> {
    pub(super) fonts: &'a Fonts,
    pub(super) marks: Vec<Mark>,
}

/// Filling of liquids and powders: light enough for black figures on it, dark enough for any printer.
pub(super) const LIQUID: u8 = 0xBE;
/// Behind what is read first.
pub(super) const WASH: u8 = 0xEE;

impl<'a> Pen<'a> {
    pub(super) fn new(fonts: &'a Fonts) -> Self {
        Self { fonts, marks: Vec::new() }
    }

    /// Words with their baseline at a place.
    pub(super) fn words(&mut self, text: &str, (face, size_pt): (Face, f64), (x, y): (f64, f64), align: Align) {
        let glyphs = self.fonts.shape(text, face);
        let width_pt = glyphs.iter().map(|glyph| glyph.advance).sum::<f64>() * size_pt;
        let x = match align {
            Align::Left => x,
            Align::Center => x - width_pt / 2.0,
            Align::Right => x - width_pt,
        };
        self.marks.push(Mark::Run(Run { text: text.to_owned(), face, size_pt, at_pt: (x, y), width_pt, glyphs }));
    }

    pub(super) fn width(&self, text: &str, (face, size_pt): (Face, f64)) -> f64 {
        self.fonts.width(text, face, size_pt)
    }

    fn shape(&mut self, corners_pt: Vec<(f64, f64)>, closed: bool, fill: Option<u8>, stroke_pt: Option<f64>) {
        self.marks.push(Mark::Shape(Shape { paths: vec![Outline { corners_pt, closed }], fill, stroke_pt }));
    }

    pub(super) fn line(&mut self, from: (f64, f64), to: (f64, f64), width_pt: f64) {
        self.shape(vec![from, to], false, None, Some(width_pt));
    }

    pub(super) fn bent(&mut self, corners: Vec<(f64, f64)>, width_pt: f64) {
        self.shape(corners, false, None, Some(width_pt));
    }

    pub(super) fn filled(&mut self, corners: Vec<(f64, f64)>, fill: u8) {
        self.shape(corners, true, Some(fill), None);
    }

    pub(super) fn outlined(&mut self, corners: Vec<(f64, f64)>, width_pt: f64) {
        self.shape(corners, true, None, Some(width_pt));
    }

    pub(super) fn rect(&mut self, rect: Rect, radius_pt: f64, fill: Option<u8>, stroke_pt: Option<f64>) {
        self.shape(rounded(rect, radius_pt), true, fill, stroke_pt);
    }
}

/// A rectangle with round corners, eight chords to each.
fn rounded((x, y, width, height): Rect, radius: f64) -> Vec<(f64, f64)> {
    let r = radius.min(width / 2.0).min(height / 2.0).max(0.0);
    let middles = [
        (x + width - r, y + r, -0.5),
        (x + width - r, y + height - r, 0.0),
        (x + r, y + height - r, 0.5),
        (x + r, y + r, 1.0),
    ];
    middles.iter().flat_map(|(cx, cy, turn)| arc((*cx, *cy), (r, r), *turn, *turn + 0.5)).collect()
}

/// Points on an ellipse between two turns, in half circles: 0 to the right, 0.5 down.
pub(super) fn arc((cx, cy): (f64, f64), (rx, ry): (f64, f64), from: f64, to: f64) -> Vec<(f64, f64)> {
    const CHORDS: u32 = 12;
    (0..=CHORDS)
        .map(|i| {
            let angle = std::f64::consts::PI * (from + (to - from) * f64::from(i) / f64::from(CHORDS));
            (cx + rx * angle.cos(), cy + ry * angle.sin())
        })
        .collect()
}
