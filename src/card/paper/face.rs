//! The bundled face: how wide words are, and where lines break. The same glyphs are measured and drawn.

use harfrust::{Direction, Feature, FontRef, ShapeOptions, ShapePlan, ShaperData, Tag, UnicodeBuffer, script};

use super::PaperError;

/// A weight of the bundled face.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Face {
    /// Running text.
    Regular,
    /// What is read first within it.
    Medium,
    /// Titles and amounts.
    SemiBold,
}

impl Face {
    /// All weights.
    pub const ALL: [Self; 3] = [Self::Regular, Self::Medium, Self::SemiBold];

    /// The font's file.
    pub fn bytes(self) -> &'static [u8] {
        match self {
            Self::Regular => include_bytes!("../../../assets/fonts/PourcastSans-Regular.otf"),
            Self::Medium => include_bytes!("../../../assets/fonts/PourcastSans-Medium.otf"),
            Self::SemiBold => include_bytes!("../../../assets/fonts/PourcastSans-SemiBold.otf"),
        }
    }
}

/// A glyph of a run; lengths are shares of the type size.
#[derive(Clone, PartialEq, Debug)]
pub struct Glyph {
    /// Its number in the font.
    pub id: u32,
    /// How far the next one stands.
    pub advance: f64,
    /// How far it is moved from its place, right and up.
    pub offset: (f64, f64),
    /// Bytes of the text that it stands for.
    pub range: std::ops::Range<usize>,
}

/// A font ready to be measured.
struct Font {
    tables: FontRef<'static>,
    data: ShaperData,
    plan: ShapePlan,
    units_per_em: f64,
}

/// The weights, ready to be measured.
pub(super) struct Fonts {
    fonts: [Font; 3],
}

impl Fonts {
    /// # Errors
    /// [`PaperError::Font`] for a build with a broken font.
    pub(super) fn new() -> Result<Self, PaperError> {
        let [a, b, c] = Face::ALL.map(Font::new);
        Ok(Self { fonts: [a?, b?, c?] })
    }

    /// The glyphs of a line.
    pub(super) fn shape(&self, text: &str, face: Face) -> Vec<Glyph> {
        let [regular, medium, semi_bold] = &self.fonts;
        match face {
            Face::Regular => regular.shape(text),
            Face::Medium => medium.shape(text),
            Face::SemiBold => semi_bold.shape(text),
        }
    }

    /// Width of a line, points.
    pub(super) fn width(&self, text: &str, face: Face, size_pt: f64) -> f64 {
        self.shape(text, face).iter().map(|glyph| glyph.advance).sum::<f64>() * size_pt
    }

    /// Text in lines no wider than so many points. A word that is wider by itself is cut; whatever is no letter or sign goes.
    ///
    /// Words are measured one by one and laid as a line, so a little is left for what kerning across a blank may take.
    pub(super) fn lines(&self, text: &str, (face, size_pt): (Face, f64), width_pt: f64) -> Vec<String> {
        let clean: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
        let room = width_pt - 0.1 * size_pt;
        let measure = |text: &str| self.width(text, face, size_pt);
        let blank = measure(" ");
        let mut lines = Vec::new();
        let (mut line, mut wide) = (String::new(), 0.0);
        for word in clean.split_whitespace() {
            let width = measure(word);
            if !line.is_empty() {
                if wide + blank + width <= room {
                    line = line + " " + word;
                    wide += blank + width;
                    continue;
                }
                lines.push(std::mem::take(&mut line));
                wide = 0.0;
            }
            if width <= room {
                word.clone_into(&mut line);
                wide = width;
                continue;
            }
            for letter in word.chars() {
                let width = measure(letter.encode_utf8(&mut [0; 4]));
                if !line.is_empty() && wide + width > room {
                    lines.push(std::mem::take(&mut line));
                    wide = 0.0;
                }
                line.push(letter);
                wide += width;
            }
        }
        if !line.is_empty() {
            lines.push(line);
        }
        lines
    }
}

impl Font {
    fn new(face: Face) -> Result<Self, PaperError> {
        let tables = FontRef::from_index(face.bytes(), 0).map_err(|error| PaperError::Font(error.to_string()))?;
        let data = ShaperData::new(&tables);
        let shaper = data.shaper(&tables).build();
        let plan = ShapePlan::new(&shaper, Direction::LeftToRight, Some(script::LATIN), None, &features());
        let units_per_em = f64::from(shaper.units_per_em());
        Ok(Self { tables, data, plan, units_per_em })
    }

    fn shape(&self, text: &str) -> Vec<Glyph> {
        let mut buffer = UnicodeBuffer::new();
        buffer.push_str(text);
        buffer.set_direction(Direction::LeftToRight);
        buffer.set_script(script::LATIN);
        let features = features();
        let options = ShapeOptions::new().plan(Some(&self.plan)).features(&features);
        let shaped = self.data.shaper(&self.tables).build().shape(buffer, options);
        let mut starts: Vec<usize> = shaped.glyph_infos().iter().map(|info| info.cluster as usize).collect();
        starts.push(text.len());
        // Where a cluster ends: at the next one, for lines run from left to right.
        let end = |from: usize| starts.iter().copied().filter(|start| *start > from).min().unwrap_or(text.len());
        let share = |units: i32| f64::from(units) / self.units_per_em;
        shaped
            .glyph_infos()
            .iter()
            .zip(shaped.glyph_positions())
            .map(|(info, position)| {
                let from = info.cluster as usize;
                Glyph {
                    id: info.glyph_id,
                    advance: share(position.x_advance),
                    offset: (share(position.x_offset), share(position.y_offset)),
                    range: from..end(from),
                }
            })
            .collect()
    }
}

/// Letters stay what was written: no arrows for hyphens, no signs for letters between figures.
fn features() -> [Feature; 2] {
    [Feature::new(Tag::new(b"calt"), 0, ..), Feature::new(Tag::new(b"liga"), 0, ..)]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_fit_and_lose_no_letter() {
        let fonts = Fonts::new().unwrap();
        let hostile = format!("a {} zwölf ≤ 5 µS/cm – {} end", "W".repeat(300), "é".repeat(90));
        for width in [60.0, 200.0] {
            let lines = fonts.lines(&hostile, (Face::SemiBold, 14.0), width);
            for line in &lines {
                assert!(fonts.width(line, Face::SemiBold, 14.0) <= width, "{line}");
            }
            let letters = |text: &str| text.chars().filter(|c| !c.is_whitespace()).collect::<String>();
            assert_eq!(letters(&lines.concat()), letters(&hostile));
        }
        assert_eq!(fonts.lines("one\ntwo\u{0}", (Face::Regular, 10.0), 200.0), ["one two"]);
        assert!(fonts.lines(" \n", (Face::Regular, 10.0), 200.0).is_empty());
    }

    #[test]
    fn every_sign_of_the_trade_is_in_the_face() {
        let fonts = Fonts::new().unwrap();
        for face in Face::ALL {
            let glyphs = fonts.shape("0123456789 °µ₂₃⁻⁺–—−±≤≥×½¼¾·…’“”éüß", face);
            assert!(glyphs.iter().all(|glyph| glyph.id != 0), "{face:?}: {glyphs:?}");
            // What it has no sign for is a box, and no panic.
            assert!(fonts.shape("水🌱", face).iter().any(|glyph| glyph.id == 0));
        }
    }
}
