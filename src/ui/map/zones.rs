//! Zones of the crops, what they have in common, and their names, which open where the numbers come from.

use std::sync::Arc;

use egui::{
    CursorIcon, EventFilter, Galley, Id, Popup, PopupCloseBehavior, Pos2, Rect, Role, Sense, Stroke, Ui, Vec2,
    WidgetInfo,
};

use super::Canvas;
use super::place::{Placer, Spot};
use super::zone::{self, Hatch, Rank};
use crate::ui::paint::{focus_ring, line};
use crate::ui::theme::{Tokens, Weight, size, space};
use crate::ui::view::{MapPoint, MapView, ZoneView};
use crate::ui::widgets::{quiet, subtitle};

/// A zone's name, and where it goes.
pub(super) struct ZoneName {
    /// Place among the zones; what they share comes after them.
    place: usize,
    rect: Rect,
    galley: Arc<Galley>,
    has_sources: bool,
}

/// Zones in the order they are painted, each with its hatch and rank.
fn zones(map: &MapView) -> impl Iterator<Item = (usize, &ZoneView, Hatch, Rank)> {
    let several = map.zones.len() > 1;
    let single = map
        .zones
        .iter()
        .enumerate()
        .map(move |(i, zone)| (i, zone, Hatch::of(i), if several { Rank::OneOfSeveral } else { Rank::Aim }));
    // What is shared has the hatches of all under it: it adds its fill and its edge.
    single.chain(map.shared.iter().map(|zone| (map.zones.len(), zone, Hatch::Rising, Rank::Aim)))
}

fn rect_of(canvas: Canvas<'_>, zone: &ZoneView) -> Option<Rect> {
    let low = MapPoint::new(zone.ph.0, zone.ec_ms_cm.0);
    let high = MapPoint::new(zone.ph.1, zone.ec_ms_cm.1);
    let rect = Rect::from_two_pos(canvas.screen.at(low), canvas.screen.at(high));
    (low.is_finite() && high.is_finite() && rect.intersects(canvas.screen.frame)).then_some(rect)
}

/// Paints the zones, back to front.
pub(super) fn paint(canvas: Canvas<'_>, map: &MapView, placer: &mut Placer<'_>) {
    for (_, view, hatch, rank) in zones(map) {
        if let Some(rect) = rect_of(canvas, view) {
            zone::paint(canvas.painter, rect, hatch, rank, canvas.tokens);
            placer.discourage(rect, 0.1);
        }
    }
}

/// Finds room for their names, the one that is aimed at first.
pub(super) fn place_names(canvas: Canvas<'_>, map: &MapView, placer: &mut Placer<'_>) -> Vec<ZoneName> {
    let Canvas { painter, screen, tokens } = canvas;
    let mut all: Vec<_> = zones(map).collect();
    all.sort_by_key(|(place, _, _, rank)| (*rank != Rank::Aim, *place));
    let mut names = Vec::new();
    for (place, view, _, rank) in all {
        let Some(rect) = rect_of(canvas, view).filter(|_| !view.name.is_empty()) else { continue };
        let weight = if rank == Rank::Aim { Weight::SemiBold } else { Weight::Medium };
        let name = line(painter, &view.name, size::SMALL, weight, tokens.zone_edge);
        let plate = name.size() + Vec2::new(8.0, 4.0);
        let seen = rect.intersect(screen.frame);
        let candidates = name_corners(seen, plate);
        let found = placer.place((Spot::Zone(place), seen.left_top()), plate, candidates);
        let has_sources = !view.sources.is_empty();
        names.push(ZoneName { place, rect: found, galley: name, has_sources });
    }
    names
}

/// Paints the names.
pub(super) fn paint_names(canvas: Canvas<'_>, names: &[ZoneName]) {
    let Canvas { painter, tokens, .. } = canvas;
    for ZoneName { rect, galley, has_sources, .. } in names {
        // On a zone's own fill the name would be too faint in the light theme.
        painter.rect_filled(*rect, 4.0, tokens.map.gamma_multiply(0.92));
        let corner = rect.min + Vec2::new(4.0, 2.0);
        if *has_sources {
            let stroke = Stroke::new(1.0, tokens.zone_edge.gamma_multiply(0.8));
            painter.hline(corner.x..=corner.x + galley.size().x, rect.bottom() - 1.5, stroke);
        }
        painter.galley(corner, Arc::clone(galley), tokens.zone_edge);
    }
}

impl ZoneName {
    /// Where it goes.
    pub(super) fn rect(&self) -> Rect {
        self.rect
    }
}

/// Where a zone's name can go: above its top edge, below its bottom edge, inside, beside it, or a line farther out.
fn name_corners(zone: Rect, plate: Vec2) -> Vec<Pos2> {
    let middle = zone.center().x - plate.x / 2.0;
    let columns = [middle, zone.left(), zone.right() - plate.x];
    let (above, below) = (zone.top() - plate.y - 3.0, zone.bottom() + 3.0);
    let mut corners = Vec::new();
    for y in [above, below, zone.top() + 4.0, zone.bottom() - plate.y - 4.0, above - plate.y, below + plate.y] {
        corners.extend(columns.map(|x| Pos2::new(x, y)));
    }
    for y in [zone.top(), zone.bottom() - plate.y] {
        corners.extend([zone.left() - plate.x - 3.0, zone.right() + 3.0].map(|x| Pos2::new(x, y)));
    }
    corners
}

/// Makes the names that have something to tell pressable.
pub(super) fn names_ui(ui: &Ui, map: &MapView, names: &[ZoneName], frame: Rect) {
    let tokens = Tokens::of(ui);
    for name in names {
        let view = if name.place < map.zones.len() { map.zones.get(name.place) } else { map.shared.as_ref() };
        let Some(view) = view.filter(|view| !view.sources.is_empty()) else { continue };
        let id = Id::unique(("zone of the map", name.place));
        let response = ui.interact(name.rect, id, Sense::click()).on_hover_cursor(CursorIcon::PointingHand);
        response.widget_info(|| WidgetInfo::labeled(Role::Link, true, format!("Zone {}: its sources", view.name)));
        if response.has_focus() {
            // An arrow key must not carry the keyboard on to a handle, where the next one would change a dose.
            let arrows = EventFilter { horizontal_arrows: true, vertical_arrows: true, ..EventFilter::default() };
            ui.memory_mut(|m| m.set_focus_lock_filter(id, arrows));
            focus_ring(ui.painter(), name.rect.shrink(2.0), tokens);
        } else if response.hovered() {
            let under = name.rect.bottom() - 1.5;
            let x = name.rect.shrink(4.0).x_range();
            ui.painter().hline(x, under, Stroke::new(2.0, tokens.zone_edge));
        }
        Popup::menu(&response)
            .close_behavior(PopupCloseBehavior::CloseOnClickOutside)
            // A menu stretches its lines to both sides, which tears sentences apart.
            .layout(egui::Layout::top_down(egui::Align::Min))
            .accessible_name(format!("Sources of the zone {}", view.name))
            .width(frame.width().clamp(160.0, 320.0))
            .show(|ui| {
                ui.set_max_width(frame.width().clamp(160.0, 320.0));
                ui.spacing_mut().item_spacing.y = space::ONE;
                subtitle(ui, &view.name);
                for source in &view.sources {
                    quiet(ui, source);
                }
            });
    }
}
