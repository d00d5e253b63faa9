//! Frames: cards, caution boxes, badges, rules, and a part that opens and closes.

use egui::{
    Align2, Color32, CursorIcon, Frame, InnerResponse, Margin, Painter, Pos2, Rect, Response, Role, Sense, Shape,
    Stroke, StrokeKind, Ui, Vec2, WidgetInfo,
};

use crate::ui::paint::{caution_mark, focus_ring, words_at};
use crate::ui::theme::{Tokens, Weight, size, space, text};

/// A card on the ground, as wide as there is room.
pub fn card<R>(ui: &mut Ui, contents: impl FnOnce(&mut Ui) -> R) -> InnerResponse<R> {
    card_with(ui, Margin::same(16), contents)
}

/// A card with margins of its own.
pub(crate) fn card_with<R>(ui: &mut Ui, margin: Margin, contents: impl FnOnce(&mut Ui) -> R) -> InnerResponse<R> {
    let tokens = Tokens::of(ui);
    Frame::new()
        .fill(tokens.card)
        .stroke(Stroke::new(1.0, tokens.hairline))
        .corner_radius(space::RADIUS)
        .inner_margin(margin)
        .show(ui, |ui| {
            ui.set_min_width(ui.available_width());
            contents(ui)
        })
}

/// A sheet over the page. Returns whether the person is done with it: Escape, or a press beside it.
pub fn sheet(ui: &Ui, name: &str, width: f32, contents: impl FnOnce(&mut Ui)) -> bool {
    let tokens = Tokens::of(ui);
    let room = ui.ctx().content_rect().width() - 4.0 * space::THREE;
    let frame = Frame::new()
        .fill(tokens.card)
        .stroke(Stroke::new(1.0, tokens.hairline))
        .corner_radius(12)
        .inner_margin(Margin::same(24))
        .shadow(ui.visuals().window_shadow);
    let modal = egui::Modal::new(egui::Id::unique(("sheet", name))).frame(frame).show(ui.ctx(), |ui| {
        ui.set_width(width.min(room));
        ui.spacing_mut().item_spacing.y = space::ONE;
        contents(ui);
    });
    // It is placed by the size that it had a frame ago.
    let (id, now) = (egui::Id::unique(("size of sheet", name)), modal.response.rect.size());
    let before = ui.ctx().data_mut(|data| std::mem::replace(data.get_temp_mut_or(id, Vec2::ZERO), now));
    if before != now {
        ui.ctx().request_repaint();
    }
    modal.should_close()
}

/// A hairline across, with room around it.
pub fn rule(ui: &mut Ui) {
    let tokens = Tokens::of(ui);
    let (rect, _) = ui.allocate_exact_size(Vec2::new(ui.available_width(), 7.0), Sense::hover());
    ui.painter().hline(rect.x_range(), rect.center().y, Stroke::new(1.0, tokens.hairline));
}

/// A caution with its mark: never colour alone.
pub fn caution_box(ui: &mut Ui, words: &str) -> Response {
    marked_box(ui, words, "Caution")
}

/// Something that happened and should be known, with the same mark.
pub fn notice_box(ui: &mut Ui, words: &str) -> Response {
    marked_box(ui, words, "Notice")
}

/// Conditions on which to stop, framed, with the mark of a stop: never colour alone.
pub fn stop_box(ui: &mut Ui, title: &str, stops: &[String]) -> Response {
    let tokens = Tokens::of(ui);
    let inset = Vec2::new(10.0, space::ONE);
    let mark_width = 24.0;
    let width = ui.available_width();
    let room = (width - 2.0 * inset.x - mark_width).max(1.0);
    let put = |words: String, weight: Weight, size_pt: f32| {
        ui.painter().layout(words, weight.font(size_pt), tokens.ink, room)
    };
    let mut rows = vec![put(title.to_owned(), Weight::SemiBold, size::BODY)];
    rows.extend(stops.iter().map(|stop| put(stop.clone(), Weight::Regular, size::SMALL)));
    let gap = 2.0;
    let height: f32 = rows.iter().map(|row| row.size().y + gap).sum();
    let (rect, response) = ui.allocate_exact_size(Vec2::new(width, height - gap + 2.0 * inset.y), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Note, true, format!("{title}: {}", stops.join("; "))));
    if ui.is_rect_visible(rect) {
        let painter = ui.painter();
        painter.rect_stroke(rect.shrink(0.75), 6.0, Stroke::new(1.5, tokens.ink), StrokeKind::Middle);
        let row = rows.first().map_or(0.0, |row| row.size().y);
        stop_mark(painter, rect.min + Vec2::new(inset.x + 7.0, inset.y + row / 2.0), 7.5, tokens.ink, tokens.card);
        let mut at = rect.min + Vec2::new(inset.x + mark_width, inset.y);
        for (i, row) in rows.into_iter().enumerate() {
            let height = row.size().y;
            if i > 0 {
                let first = row.rows.first().map_or(height, |row| row.height());
                painter.circle_filled(at + Vec2::new(-6.0, first / 2.0), 1.75, tokens.ink);
            }
            painter.galley(at, row, tokens.ink);
            at.y += height + gap;
        }
    }
    response
}

/// The mark of a stop: an octagon with a bar across.
fn stop_mark(painter: &Painter, center: Pos2, radius: f32, ink: Color32, paper: Color32) {
    let corner = |i: u8| {
        let angle = std::f32::consts::PI * (f32::from(i) / 4.0 + 0.125);
        center + radius * Vec2::angled(angle)
    };
    painter.add(Shape::convex_polygon((0..8).map(corner).collect(), ink, Stroke::NONE));
    painter.rect_filled(Rect::from_center_size(center, Vec2::new(radius * 1.1, radius * 0.35)), 0.0, paper);
}

fn marked_box(ui: &mut Ui, words: &str, kind: &str) -> Response {
    let tokens = Tokens::of(ui);
    let inset = Vec2::new(10.0, space::ONE);
    let mark_width = 20.0;
    let width = ui.available_width();
    let galley = ui.painter().layout(
        words.to_owned(),
        Weight::Regular.font(size::SMALL),
        tokens.caution,
        (width - 2.0 * inset.x - mark_width).max(1.0),
    );
    let (rect, response) = ui.allocate_exact_size(Vec2::new(width, galley.size().y + 2.0 * inset.y), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Note, true, format!("{kind}: {words}")));
    if ui.is_rect_visible(rect) {
        let painter = ui.painter();
        painter.rect_filled(rect, 6.0, tokens.caution_soft);
        let row_height = galley.rows.first().map_or(0.0, |row| row.height());
        let mark = rect.min + Vec2::new(inset.x + 6.0, inset.y + row_height / 2.0);
        caution_mark(painter, mark, 11.0, tokens.caution, tokens.caution_soft);
        painter.galley(rect.min + Vec2::new(inset.x + mark_width, inset.y), galley, tokens.caution);
    }
    response
}

/// A number in a circle: the same on the map and in the list.
pub fn badge(painter: &Painter, center: Pos2, number: u32, tokens: &Tokens) -> Rect {
    let radius = 10.0;
    painter.circle(center, radius, tokens.map, Stroke::new(1.5, tokens.ink));
    words_at(painter, center, Align2::CENTER_CENTER, &number.to_string(), (size::SMALL, Weight::SemiBold), tokens.ink);
    Rect::from_center_size(center, Vec2::splat(2.0 * radius + 1.5))
}

/// A line that opens and closes what follows. Returns whether it was pressed.
pub fn disclosure(ui: &mut Ui, words: &str, open: bool) -> Response {
    let tokens = Tokens::of(ui);
    let label = text(words, size::SMALL, Weight::Medium, tokens.accent);
    let galley = egui::WidgetText::from(label).into_galley(ui, None, f32::INFINITY, egui::TextStyle::Body);
    let (rect, response) = ui.allocate_exact_size(galley.size() + Vec2::new(16.0, space::ONE), Sense::click());
    response.widget_info(|| WidgetInfo::selected(Role::DisclosureTriangle, true, open, words));
    if ui.is_rect_visible(rect) {
        let painter = ui.painter();
        chevron(painter, Pos2::new(rect.left() + 5.0, rect.center().y), open, Stroke::new(1.5, tokens.accent));
        painter.galley(Pos2::new(rect.left() + 16.0, rect.center().y - galley.size().y / 2.0), galley, tokens.accent);
        if response.has_focus() {
            focus_ring(painter, rect, tokens);
        }
    }
    response.on_hover_cursor(CursorIcon::PointingHand)
}

/// A chevron: to the right when closed, down when open.
pub(crate) fn chevron(painter: &Painter, center: Pos2, down: bool, stroke: Stroke) {
    let r = 3.5;
    let points = if down {
        [Vec2::new(-r, -r * 0.5), Vec2::new(0.0, r * 0.5), Vec2::new(r, -r * 0.5)]
    } else {
        [Vec2::new(-r * 0.5, -r), Vec2::new(r * 0.5, 0.0), Vec2::new(-r * 0.5, r)]
    };
    painter.line(points.map(|p| center + p).to_vec(), stroke);
}
