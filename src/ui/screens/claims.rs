//! What each source says of a crop, drawn: one row a claim, its bands as bars on two common axes, the working zone behind.

use egui::{
    Align2, Color32, Galley, Painter, Pos2, Rangef, Rect, Role, Sense, Stroke, StrokeKind, Ui, Vec2, WidgetInfo,
};
use std::sync::Arc;

use crate::ui::paint::{caution_mark, words_at};
use crate::ui::theme::{Tokens, Weight, size, space};
use crate::ui::view::{AxisView, BandView, BarLook, ClaimView, ClaimsView};
use crate::ui::widgets::quiet;

/// Width from which the bars stand beside the source.
const BESIDE_FROM: f32 = 620.0;
/// Room for the figures of a band, "≤ 1000" and the like.
const FIGURES: f32 = 78.0;
/// Room at both ends of an axis, so that its end figures have theirs.
const END: f32 = 14.0;
/// Height of the axes' titles and figures.
const HEAD: f32 = 36.0;
/// Room above and below a row.
const PAD: f32 = 8.0;
/// Height of the bars where they stand below the source.
const STRIP: f32 = 24.0;
/// Shortest bar.
const LEAST_BAR: f32 = 12.0;
/// Room for the mark before what is against.
const MARK: f32 = 18.0;

/// Where the parts of a row go, from its left edge.
struct Columns {
    is_beside: bool,
    words: f32,
    ph: Rangef,
    ec: Rangef,
}

impl Columns {
    fn of(width: f32) -> Self {
        if width >= BESIDE_FROM {
            let words = width * 0.44;
            let each = (width - words - 2.0 * space::TWO) / 2.0;
            let ph = words + space::TWO;
            let ec = ph + each + space::TWO;
            Self { is_beside: true, words, ph: Rangef::new(ph, ph + each), ec: Rangef::new(ec, ec + each) }
        } else {
            let each = (width - space::TWO) / 2.0;
            let ec = each + space::TWO;
            Self { is_beside: false, words: width, ph: Rangef::new(0.0, each), ec: Rangef::new(ec, ec + each) }
        }
    }
}

/// The axis within its column: behind the figures.
fn axis_of(left: f32, column: Rangef) -> Rangef {
    Rangef::new(left + column.min + FIGURES + END, left + column.max - END)
}

fn at(axis: Rangef, share: f32) -> f32 {
    axis.min + axis.span() * share
}

/// The words of a row, laid out.
struct Words {
    lines: Vec<(Arc<Galley>, Color32, bool)>,
    height: f32,
}

impl Words {
    fn of(ui: &Ui, claim: &ClaimView, width: f32) -> Self {
        let tokens = Tokens::of(ui);
        let put = |words: &str, weight: Weight, color: Color32, marked: bool| {
            let room = width - if marked { MARK } else { 0.0 };
            (ui.painter().layout(words.to_owned(), weight.font(size::SMALL), color, room), color, marked)
        };
        let mut lines = vec![put(&claim.source, Weight::Medium, tokens.ink, false)];
        lines.push(put(&claim.kind, Weight::Regular, tokens.quiet, false));
        lines.extend(claim.unused.iter().map(|words| put(words, Weight::Regular, tokens.quiet, false)));
        let ink = if claim.unused.is_some() { tokens.quiet } else { tokens.caution };
        lines.extend(claim.against.iter().map(|words| put(words, Weight::Regular, ink, true)));
        let height = lines.iter().map(|(galley, ..)| galley.size().y + 2.0).sum::<f32>() - 2.0;
        Self { lines, height }
    }

    fn paint(&self, painter: &Painter, mut at: Pos2, tokens: &Tokens) {
        for (galley, color, marked) in &self.lines {
            let row = galley.rows.first().map_or(0.0, |row| row.height());
            if *marked {
                caution_mark(painter, at + Vec2::new(6.0, row / 2.0), 11.0, *color, tokens.card);
            }
            let left = at + Vec2::new(if *marked { MARK } else { 0.0 }, 0.0);
            painter.galley(left, Arc::clone(galley), *color);
            at.y += galley.size().y + 2.0;
        }
    }
}

/// Draws the claims.
pub(super) fn claims_ui(ui: &mut Ui, claims: &ClaimsView) {
    if let Some(none) = &claims.none {
        quiet(ui, none);
        return;
    }
    let tokens = Tokens::of(ui);
    let width = ui.available_width();
    let columns = Columns::of(width);
    let words: Vec<Words> = claims.rows.iter().map(|claim| Words::of(ui, claim, columns.words)).collect();
    let tall = |words: &Words| {
        let inner = if columns.is_beside { words.height.max(STRIP) } else { words.height + STRIP };
        inner + 2.0 * PAD
    };
    let height = HEAD + words.iter().map(tall).sum::<f32>();
    let (rect, _) = ui.allocate_exact_size(Vec2::new(width, height), Sense::hover());
    let axes = [(&claims.ph, columns.ph), (&claims.ec, columns.ec)];
    for (axis, column) in axes {
        head_ui(ui.painter(), rect, axis, column, tokens);
    }
    let mut top = rect.top() + HEAD;
    for (place, (claim, words)) in claims.rows.iter().zip(&words).enumerate() {
        let row = Rect::from_min_size(Pos2::new(rect.left(), top), Vec2::new(width, tall(words)));
        top = row.bottom();
        let response = ui.interact(row, ui.scope_id().with(("claim", place)), Sense::hover());
        response.widget_info(|| WidgetInfo::labeled(Role::ListItem, true, said(claim, claims)));
        if !ui.is_rect_visible(row) {
            continue;
        }
        let painter = ui.painter();
        painter.hline(row.x_range(), row.top(), Stroke::new(1.0, tokens.hairline));
        let bars = if columns.is_beside {
            row
        } else {
            Rect::from_min_max(Pos2::new(row.left(), row.bottom() - PAD - STRIP), row.max - Vec2::new(0.0, PAD))
        };
        for ((axis, column), bar) in axes.into_iter().zip([&claim.ph, &claim.ec]) {
            ground_ui(painter, bars, axis, column, tokens);
            let y = if columns.is_beside { row.top() + PAD + STRIP / 2.0 - 4.0 } else { bars.center().y };
            if let Some(bar) = bar {
                bar_ui(painter, (axis_of(rect.left(), column), y), bar, tokens);
            }
        }
        words.paint(painter, row.min + Vec2::new(0.0, PAD), tokens);
    }
}

/// A row in words.
fn said(claim: &ClaimView, claims: &ClaimsView) -> String {
    let band = |axis: &AxisView, bar: &Option<BandView>| {
        let bar = bar.as_ref()?;
        let unit = if axis.unit.is_empty() { String::new() } else { format!(" {}", axis.unit) };
        let what = match bar.look {
            BarLook::Plateau => ", no difference found",
            BarLook::Against => ", against the zone",
            BarLook::Unused => ", not used",
            BarLook::Counts => "",
        };
        Some(format!("{} {}{unit}{what}", axis.title, bar.text))
    };
    let bands = [band(&claims.ph, &claim.ph), band(&claims.ec, &claim.ec)].into_iter().flatten();
    let parts = std::iter::once(claim.source.clone()).chain(bands).chain([claim.kind.clone()]);
    parts.chain(claim.unused.clone()).chain(claim.against.iter().cloned()).collect::<Vec<_>>().join(". ")
}

/// Title, zone and figures above an axis.
fn head_ui(painter: &Painter, rect: Rect, axis: &AxisView, column: Rangef, tokens: &Tokens) {
    let small = |weight: Weight| (size::SMALL, weight);
    let along = axis_of(rect.left(), column);
    let title = Pos2::new(rect.left() + column.min, rect.top() + 8.0);
    let title = words_at(painter, title, Align2::LEFT_CENTER, &axis.title, small(Weight::SemiBold), tokens.ink);
    if !axis.unit.is_empty() {
        let unit = Pos2::new(title.right() + space::HALF, title.center().y);
        words_at(painter, unit, Align2::LEFT_CENTER, &axis.unit, small(Weight::Regular), tokens.quiet);
    }
    let middle = at(along, 0.5 * (axis.zone.0 + axis.zone.1)).clamp(along.min, along.max);
    let zone = Pos2::new(middle, rect.top() + 8.0);
    words_at(painter, zone, Align2::CENTER_CENTER, "zone", small(Weight::SemiBold), tokens.zone_edge);
    let mut free_from = f32::NEG_INFINITY;
    for (share, figures) in &axis.ticks {
        let place = Pos2::new(at(along, *share), rect.top() + HEAD - 4.0);
        let width = painter.layout_no_wrap(figures.clone(), Weight::Regular.font(size::SMALL), tokens.quiet).size().x;
        if place.x - width / 2.0 < free_from {
            continue;
        }
        free_from = place.x + width / 2.0 + space::HALF;
        words_at(painter, place, Align2::CENTER_BOTTOM, figures, small(Weight::Regular), tokens.quiet);
    }
}

/// The working zone and the lines of the axis behind a row.
fn ground_ui(painter: &Painter, bars: Rect, axis: &AxisView, column: Rangef, tokens: &Tokens) {
    let along = axis_of(bars.left(), column);
    let zone = Rect::from_x_y_ranges(at(along, axis.zone.0)..=at(along, axis.zone.1), bars.y_range());
    painter.rect_filled(zone, 0.0, tokens.zone);
    for (share, _) in &axis.ticks {
        painter.vline(at(along, *share), bars.y_range(), Stroke::new(1.0, tokens.hairline));
    }
    for x in [zone.left(), zone.right()] {
        painter.vline(x, bars.y_range(), Stroke::new(1.5, tokens.zone_edge));
    }
}

/// A band: full where it counts, a hollow bar with a mark where it is against the zone, dashed where it is not used.
fn bar_ui(painter: &Painter, (axis, y): (Rangef, f32), bar: &BandView, tokens: &Tokens) {
    let (ink, weight) = match bar.look {
        BarLook::Counts => (tokens.ink, Weight::Figures),
        BarLook::Against => (tokens.caution, Weight::Figures),
        BarLook::Unused | BarLook::Plateau => (tokens.quiet, Weight::Regular),
    };
    let figures = Pos2::new(axis.min - END - space::ONE, y);
    let figures = words_at(painter, figures, Align2::RIGHT_CENTER, &bar.text, (size::SMALL, weight), ink);
    if bar.look == BarLook::Against {
        caution_mark(painter, Pos2::new(figures.left() - 9.0, y), 10.0, tokens.caution, tokens.card);
    }
    let (from, to) = (at(axis, bar.low.unwrap_or(0.0)), at(axis, bar.high));
    let line = Stroke::new(1.5, ink);
    if bar.look == BarLook::Plateau {
        painter.hline(from..=to, y, line);
        for x in [from, to] {
            painter.vline(x, y - 4.0..=y + 4.0, line);
        }
        return;
    }
    // A single value is a dot; a short span is still seen to be one.
    if bar.low.is_some_and(|low| bar.high - low < 1e-4) {
        let fill = if bar.look == BarLook::Counts { tokens.accent } else { tokens.card };
        let stroke = if bar.look == BarLook::Counts { Stroke::new(1.5, tokens.card) } else { line };
        painter.circle(Pos2::new(to, y), 5.0, fill, stroke);
        return;
    }
    let short = (0.5 * (LEAST_BAR - (to - from))).max(0.0);
    let (from, to) = (from - short, to + short);
    let rect = Rect::from_x_y_ranges(from..=to, y - 4.0..=y + 4.0);
    match bar.look {
        BarLook::Unused => {
            for edge in [[rect.left_top(), rect.right_top()], [rect.left_bottom(), rect.right_bottom()]] {
                painter.extend(egui::Shape::dashed_line(&edge, Stroke::new(1.2, ink), 4.0, 3.0));
            }
            for x in [from, to] {
                painter.vline(x, rect.y_range(), Stroke::new(1.2, ink));
            }
        }
        BarLook::Against => {
            painter.rect(rect, 4.0, tokens.card, line, StrokeKind::Inside);
        }
        BarLook::Counts | BarLook::Plateau => {
            painter.rect_filled(rect, 4.0, tokens.accent);
        }
    }
    if bar.low.is_none() {
        // Only an upper limit: it is open below.
        let tip = Pos2::new(from - 6.0, y);
        let corners = vec![tip, Pos2::new(from + 3.0, y - 6.0), Pos2::new(from + 3.0, y + 6.0)];
        let fill = if bar.look == BarLook::Counts { tokens.accent } else { ink };
        painter.add(egui::Shape::convex_polygon(corners, fill, Stroke::NONE));
    }
}
