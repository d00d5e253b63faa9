//! Colours, type and spacing of the window, in one place, for both themes.
//!
//! Everything that is painted asks [`Tokens::of`] for its colours, so no other file names one. Spacing keeps to a grid
//! of 8 points ([`space`]); type has five sizes ([`size`]) and three weights ([`Weight`]).

use std::sync::Arc;

use egui::style::{ScrollStyle, WidgetVisuals};
use egui::{
    Color32, Context, CornerRadius, FontData, FontDefinitions, FontFamily, FontId, Margin, RichText, Shadow, Stroke,
    TextStyle, Theme, Ui, Vec2, Visuals,
};

/// Distances in points, on the 8-point grid with a half step for what belongs closely together.
pub mod space {
    /// Half a step: between a label and its value.
    pub const HALF: f32 = 4.0;
    /// One step: between things of one group.
    pub const ONE: f32 = 8.0;
    /// One and a half: inside a field or a small box.
    pub const ONE_HALF: f32 = 12.0;
    /// Two steps: between cards, and between groups in a card.
    pub const TWO: f32 = 16.0;
    /// Three steps: between sections, and inside the answer strip.
    pub const THREE: f32 = 24.0;
    /// Corner radius of cards, fields and buttons.
    pub const RADIUS: u8 = 8;
    /// Least height of anything that is pressed or typed into.
    pub const PRESS: f32 = 36.0;
}

/// Type sizes in points.
pub mod size {
    /// Quiet notes, units, axis figures.
    pub const SMALL: f32 = 12.0;
    /// Text of cards.
    pub const BODY: f32 = 13.5;
    /// Titles of cards.
    pub const TITLE: f32 = 15.0;
    /// Readings, and the answer when the window is small.
    pub const LARGE: f32 = 20.0;
    /// The answer: the only large type on the page.
    pub const ANSWER: f32 = 26.0;
}

/// Weights of the bundled face.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Weight {
    /// Running text.
    Regular,
    /// Values, labels of buttons.
    Medium,
    /// Titles and the answer.
    SemiBold,
    /// Semi-bold with figures of one width: numbers that are typed or dragged.
    Figures,
}

impl Weight {
    /// The egui family that holds this weight.
    pub fn family(self) -> FontFamily {
        match self {
            Self::Regular => FontFamily::Proportional,
            Self::Medium => FontFamily::Name("medium".into()),
            Self::SemiBold => FontFamily::Name("semibold".into()),
            Self::Figures => FontFamily::Name("figures".into()),
        }
    }

    /// A font of this weight, `size_pt` points tall.
    pub fn font(self, size_pt: f32) -> FontId {
        FontId::new(size_pt, self.family())
    }
}

/// The colours of one theme.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Tokens {
    /// Behind everything.
    pub ground: Color32,
    /// A card on the ground, and the top bar.
    pub card: Color32,
    /// The map, and the inside of fields.
    pub map: Color32,
    /// Text that is read first.
    pub ink: Color32,
    /// Text that is read second: units, notes.
    pub quiet: Color32,
    /// Rules and outlines that only divide.
    pub hairline: Color32,
    /// Outline of something that can be typed into or pressed: seen at 3:1 or better (WCAG 2.1, SC 1.4.11).
    pub outline: Color32,
    /// The water: the one accent.
    pub accent: Color32,
    /// A soft wash of the accent, behind accent text.
    pub accent_soft: Color32,
    /// Text on the full accent.
    pub on_accent: Color32,
    /// Inside of the zone.
    pub zone: Color32,
    /// Edge, hatch and name of the zone.
    pub zone_edge: Color32,
    /// Caution: text and mark.
    pub caution: Color32,
    /// Behind a caution.
    pub caution_soft: Color32,
    /// Liquid in a drawn tool.
    pub liquid: Color32,
}

const fn rgb(hex: u32) -> Color32 {
    let [_, r, g, b] = hex.to_be_bytes();
    Color32::from_rgb(r, g, b)
}

/// Warm paper.
pub const LIGHT: Tokens = Tokens {
    ground: rgb(0xF4F2EC),
    card: rgb(0xFCFBF7),
    map: rgb(0xFFFEFB),
    ink: rgb(0x1D2B30),
    quiet: rgb(0x5A6A70),
    hairline: rgb(0xDCD7CA),
    outline: rgb(0x8C8F89),
    accent: rgb(0x0E6675),
    accent_soft: rgb(0xD9EBEC),
    on_accent: rgb(0xFFFFFF),
    zone: rgb(0xDCE9D2),
    zone_edge: rgb(0x4F7D3D),
    caution: rgb(0x9A4A06),
    caution_soft: rgb(0xFBEBD8),
    liquid: rgb(0x7DAAB1),
};

/// Deep slate.
pub const DARK: Tokens = Tokens {
    ground: rgb(0x11171A),
    card: rgb(0x182024),
    map: rgb(0x141B1F),
    ink: rgb(0xE7ECEA),
    quiet: rgb(0x9BAAAE),
    hairline: rgb(0x2B363B),
    outline: rgb(0x66747A),
    accent: rgb(0x63C4D2),
    accent_soft: rgb(0x1D3A40),
    on_accent: rgb(0x11171A),
    zone: rgb(0x22382A),
    zone_edge: rgb(0x8DBF7C),
    caution: rgb(0xF2AE6B),
    caution_soft: rgb(0x3A2A18),
    liquid: rgb(0x3F7A84),
};

impl Tokens {
    /// The colours of a theme.
    pub fn for_theme(theme: Theme) -> &'static Self {
        match theme {
            Theme::Light => &LIGHT,
            Theme::Dark => &DARK,
        }
    }

    /// The colours of the theme that is active now.
    pub fn of(ui: &Ui) -> &'static Self {
        Self::for_theme(ui.theme())
    }
}

/// Text with a size, a weight and a colour of ours.
pub fn text(words: impl Into<String>, size_pt: f32, weight: Weight, color: Color32) -> RichText {
    RichText::new(words).font(weight.font(size_pt)).color(color)
}

/// Installs the bundled face and both themes. Call it once per context, before the first frame.
pub fn install(ctx: &Context) {
    ctx.set_fonts(fonts());
    // Where the system does not say: paper.
    ctx.options_mut(|options| options.fallback_theme = Theme::Light);
    for theme in [Theme::Light, Theme::Dark] {
        ctx.style_mut_of(theme, |style| {
            let tokens = Tokens::for_theme(theme);
            style.visuals = visuals(theme, tokens);
            style.text_styles = [
                (TextStyle::Small, Weight::Regular.font(size::SMALL)),
                (TextStyle::Body, Weight::Regular.font(size::BODY)),
                (TextStyle::Button, Weight::Medium.font(size::BODY)),
                (TextStyle::Heading, Weight::SemiBold.font(size::TITLE)),
                (TextStyle::Monospace, Weight::Regular.font(size::BODY)),
            ]
            .into();
            let spacing = &mut style.spacing;
            spacing.item_spacing = Vec2::splat(space::ONE);
            spacing.button_padding = Vec2::new(space::ONE_HALF, space::ONE);
            // Rows of words are no taller than their words; what is pressed brings its own height.
            spacing.interact_size = Vec2::new(20.0, 18.0);
            spacing.icon_width = 18.0;
            spacing.menu_margin = Margin::same(8);
            spacing.window_margin = Margin::same(24);
            spacing.tooltip_width = 320.0;
            spacing.scroll = ScrollStyle::floating();
            style.interaction.selectable_labels = false;
        });
    }
}

fn fonts() -> FontDefinitions {
    let faces: [(&str, &'static [u8], Weight); 4] = [
        ("regular", include_bytes!("../../assets/fonts/PourcastSans-Regular.otf"), Weight::Regular),
        ("medium", include_bytes!("../../assets/fonts/PourcastSans-Medium.otf"), Weight::Medium),
        ("semibold", include_bytes!("../../assets/fonts/PourcastSans-SemiBold.otf"), Weight::SemiBold),
        ("figures", include_bytes!("../../assets/fonts/PourcastSans-Figures.otf"), Weight::Figures),
    ];
    let mut fonts = FontDefinitions::default();
    // The faces that come with egui stay behind ours, for a unit named in another script.
    let fallbacks = fonts.families.get(&FontFamily::Proportional).cloned().unwrap_or_default();
    for (name, bytes, weight) in faces {
        fonts.font_data.insert(name.to_owned(), Arc::new(FontData::from_static(bytes)));
        let mut family = vec![name.to_owned()];
        family.extend(fallbacks.iter().cloned());
        fonts.families.insert(weight.family(), family);
    }
    fonts.families.entry(FontFamily::Monospace).or_default().insert(0, "regular".to_owned());
    fonts
}

fn visuals(theme: Theme, tokens: &Tokens) -> Visuals {
    let mut visuals = match theme {
        Theme::Light => Visuals::light(),
        Theme::Dark => Visuals::dark(),
    };
    let radius = CornerRadius::same(space::RADIUS);
    let face = |fill: Color32, stroke: Color32, ink: Color32| WidgetVisuals {
        bg_fill: fill,
        weak_bg_fill: fill,
        bg_stroke: Stroke::new(1.0, stroke),
        corner_radius: radius,
        fg_stroke: Stroke::new(1.0, ink),
        expansion: 0.0,
    };
    visuals.widgets.noninteractive = face(tokens.card, tokens.hairline, tokens.ink);
    visuals.widgets.inactive = face(tokens.map, tokens.hairline, tokens.ink);
    visuals.widgets.hovered = face(tokens.map, tokens.accent, tokens.ink);
    visuals.widgets.active = face(tokens.accent_soft, tokens.accent, tokens.ink);
    visuals.widgets.open = face(tokens.map, tokens.accent, tokens.ink);
    visuals.weak_text_color = Some(tokens.quiet);
    visuals.hyperlink_color = tokens.accent;
    visuals.selection.bg_fill = tokens.accent_soft;
    visuals.selection.stroke = Stroke::new(1.5, tokens.accent);
    visuals.faint_bg_color = tokens.ground;
    visuals.extreme_bg_color = tokens.map;
    visuals.text_edit_bg_color = Some(tokens.map);
    visuals.code_bg_color = tokens.ground;
    visuals.warn_fg_color = tokens.caution;
    visuals.error_fg_color = tokens.caution;
    visuals.panel_fill = tokens.ground;
    visuals.window_fill = tokens.card;
    visuals.window_stroke = Stroke::new(1.0, tokens.hairline);
    visuals.window_corner_radius = radius;
    visuals.menu_corner_radius = radius;
    let shadow = Shadow { offset: [0, 4], blur: 16, spread: 0, color: Color32::from_black_alpha(40) };
    visuals.window_shadow = shadow;
    visuals.popup_shadow = shadow;
    visuals.text_cursor.stroke = Stroke::new(2.0, tokens.accent);
    visuals
}

/// Relative luminance of an opaque colour, 0 to 1.
///
/// **Source**: W3C, Web Content Accessibility Guidelines 2.1, "relative luminance".
pub fn relative_luminance(color: Color32) -> f64 {
    let linear = |byte: u8| {
        let c = f64::from(byte) / 255.0;
        if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
    };
    0.2126 * linear(color.r()) + 0.7152 * linear(color.g()) + 0.0722 * linear(color.b())
}

/// Contrast ratio of two opaque colours, 1 to 21.
///
/// **Source**: W3C, Web Content Accessibility Guidelines 2.1, "contrast ratio".
pub fn contrast_ratio(one: Color32, other: Color32) -> f64 {
    let (a, b) = (relative_luminance(one), relative_luminance(other));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every pair of text and ground that the window uses.
    fn text_pairs(t: &Tokens) -> Vec<(&'static str, Color32, Color32)> {
        vec![
            ("ink on ground", t.ink, t.ground),
            ("ink on card", t.ink, t.card),
            ("ink on map", t.ink, t.map),
            ("ink on zone", t.ink, t.zone),
            ("ink on accent soft", t.ink, t.accent_soft),
            ("ink on caution soft", t.ink, t.caution_soft),
            ("quiet on ground", t.quiet, t.ground),
            ("quiet on card", t.quiet, t.card),
            ("quiet on map", t.quiet, t.map),
            ("accent on ground", t.accent, t.ground),
            ("accent on card", t.accent, t.card),
            ("accent on map", t.accent, t.map),
            ("accent on accent soft", t.accent, t.accent_soft),
            ("on accent", t.on_accent, t.accent),
            ("zone name on map", t.zone_edge, t.map),
            ("caution on card", t.caution, t.card),
            ("caution on map", t.caution, t.map),
            ("caution on caution soft", t.caution, t.caution_soft),
        ]
    }

    #[test]
    fn text_is_legible_in_both_themes() {
        // WCAG 2.1, SC 1.4.3 "Contrast (Minimum)": 4.5:1 for text of these sizes.
        for tokens in [&LIGHT, &DARK] {
            for (name, ink, ground) in text_pairs(tokens) {
                let ratio = contrast_ratio(ink, ground);
                assert!(ratio >= 4.5, "{name}: {ratio:.2}");
            }
        }
    }

    #[test]
    fn controls_and_marks_are_seen_in_both_themes() {
        // WCAG 2.1, SC 1.4.11 "Non-text Contrast": 3:1 for what is needed to find a control or read a picture.
        for t in [&LIGHT, &DARK] {
            let pairs = [
                ("outline on card", t.outline, t.card),
                ("outline on map", t.outline, t.map),
                ("focus ring on card", t.accent, t.card),
                ("zone edge on map", t.zone_edge, t.map),
                ("zone edge on zone", t.zone_edge, t.zone),
                ("caution mark", t.caution, t.caution_soft),
            ];
            for (name, mark, ground) in pairs {
                let ratio = contrast_ratio(mark, ground);
                assert!(ratio >= 3.0, "{name}: {ratio:.2}");
            }
        }
    }

    #[test]
    fn contrast_of_known_pairs() {
        // WCAG 2.1: black on white is 21:1; a colour on itself 1:1.
        assert!((contrast_ratio(Color32::BLACK, Color32::WHITE) - 21.0).abs() < 1e-9);
        assert!((contrast_ratio(LIGHT.accent, LIGHT.accent) - 1.0).abs() < 1e-12);
    }
}
