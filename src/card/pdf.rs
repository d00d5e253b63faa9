//! The card as a PDF: the pages of [`paper`](super::paper), drawn. The same card gives the same bytes; no clock is asked.

use krilla::color::luma;
use krilla::geom::{PathBuilder, Point};
use krilla::metadata::Metadata;
use krilla::num::NormalizedF32;
use krilla::page::PageSettings;
use krilla::paint::{Fill, FillRule, LineCap, LineJoin, Stroke};
use krilla::surface::Surface;
use krilla::text::{Font, GlyphId, KrillaGlyph};
use krilla::{Document, SerializeSettings};

use super::Card;
use super::paper::{Face, Format, Mark, Paper, PaperError, Run, Shape};

/// The card as the bytes of a PDF file.
///
/// # Errors
/// [`PaperError`] for a broken build; no card is refused.
pub fn pdf(card: &Card, format: Format) -> Result<Vec<u8>, PaperError> {
    bytes(&Paper::of(card, format)?)
}

fn bytes(paper: &Paper) -> Result<Vec<u8>, PaperError> {
    let fonts = Fonts::new()?;
    let mut document = Document::new_with(SerializeSettings::default());
    document.set_metadata(
        Metadata::new()
            .title(paper.title.clone())
            .language("en".to_owned())
            .creator(concat!("Pourcast ", env!("CARGO_PKG_VERSION")).to_owned()),
    );
    let (width, height) = paper.size_pt;
    for page in &paper.pages {
        let settings = PageSettings::from_wh(pt(width), pt(height))
            .ok_or_else(|| PaperError::Pdf("no size of page".to_owned()))?;
        let mut sheet = document.start_page_with(settings);
        let mut surface = sheet.surface();
        for mark in &page.marks {
            match mark {
                Mark::Run(run) => draw_run(&mut surface, &fonts, run),
                Mark::Shape(shape) => draw_shape(&mut surface, shape),
            }
        }
        surface.finish();
        sheet.finish();
    }
    document.finish().map_err(|error| PaperError::Pdf(format!("{error:?}")))
}

/// The weights as the library wants them.
struct Fonts([Font; 3]);

impl Fonts {
    fn new() -> Result<Self, PaperError> {
        let [a, b, c] = Face::ALL
            .map(|face| Font::new(face.bytes().into(), 0).ok_or_else(|| PaperError::Font("no font in it".to_owned())));
        Ok(Self([a?, b?, c?]))
    }

    fn of(&self, face: Face) -> Font {
        let [regular, medium, semi_bold] = &self.0;
        match face {
            Face::Regular => regular,
            Face::Medium => medium,
            Face::SemiBold => semi_bold,
        }
        .clone()
    }
}

fn draw_run(surface: &mut Surface<'_>, fonts: &Fonts, run: &Run) {
    surface.set_fill(Some(fill(0)));
    surface.set_stroke(None);
    let glyphs: Vec<KrillaGlyph> = run
        .glyphs
        .iter()
        .map(|glyph| {
            let (right, up) = glyph.offset;
            KrillaGlyph::new(
                GlyphId::new(glyph.id),
                pt(glyph.advance),
                pt(right),
                pt(up),
                0.0,
                glyph.range.clone(),
                None,
            )
        })
        .collect();
    let at = Point::from_xy(pt(run.at_pt.0), pt(run.at_pt.1));
    surface.draw_glyphs(at, &glyphs, fonts.of(run.face), &run.text, pt(run.size_pt), false);
}

fn draw_shape(surface: &mut Surface<'_>, shape: &Shape) {
    let mut builder = PathBuilder::new();
    for path in &shape.paths {
        for (i, (x, y)) in path.corners_pt.iter().enumerate() {
            if i == 0 { builder.move_to(pt(*x), pt(*y)) } else { builder.line_to(pt(*x), pt(*y)) }
        }
        if path.closed {
            builder.close();
        }
    }
    // A path of no extent draws nothing.
    let Some(path) = builder.finish() else { return };
    surface.set_fill(shape.fill.map(fill));
    surface.set_stroke(shape.stroke_pt.map(|width| Stroke {
        paint: luma::Color::black().into(),
        width: pt(width),
        line_cap: LineCap::Round,
        line_join: LineJoin::Round,
        ..Stroke::default()
    }));
    surface.draw_path(&path);
}

fn fill(lightness: u8) -> Fill {
    Fill { paint: luma::Color::new(lightness).into(), opacity: NormalizedF32::ONE, rule: FillRule::NonZero }
}

/// Points as the library counts them.
#[expect(clippy::cast_possible_truncation, reason = "a hundredth of a point is finer than any printer")]
fn pt(value: f64) -> f32 {
    value as f32
}
