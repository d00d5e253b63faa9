//! The measuring tool in the hand, drawn with the level to fill it to, and the same said in words.

mod counted;
mod syringe;
mod vessels;

pub(crate) use counted::drop_shape;

use egui::{Rect, Response, Role, Sense, Ui, Vec2, WidgetInfo};

use super::theme::Tokens;
use super::view::ToolView;

/// The tool in words, such as "10 mL syringe, filled to 5.0 mL".
pub fn tool_words(tool: &ToolView) -> String {
    match tool {
        ToolView::Syringe { capacity_ml, mark_ml, full_times, fill_ml } => {
            let fill = on_marks(*fill_ml, *mark_ml);
            let name = format!("{} mL syringe", plain(*capacity_ml));
            filled_words(&name, *full_times, *fill_ml, &format!("{fill} mL"))
        }
        ToolView::Dropper { drops: 1 } => "Dropper, 1 drop".to_owned(),
        ToolView::Dropper { drops } => format!("Dropper, {drops} drops"),
        ToolView::Scoop { count, grams } => {
            format!("{} of {} g each", counted_words(*count, "level scoop"), plain(*grams))
        }
        ToolView::Spoon { count, name } => counted_words(*count, &format!("level {name}")),
        ToolView::Scale { grams, mark_g } => format!("Scale, reading {} g", on_marks(*grams, *mark_g)),
        ToolView::Jug { capacity_l, full_times, fill_l } => {
            let name = format!("{} L jug", plain(*capacity_l));
            filled_words(&name, *full_times, *fill_l, &format!("{} L", plain(*fill_l)))
        }
    }
}

fn filled_words(name: &str, full_times: u32, rest: f64, fill: &str) -> String {
    match (full_times, rest > 0.0) {
        (0, _) => format!("{name}, filled to {fill}"),
        (1, true) => format!("{name}, once full, then filled to {fill}"),
        (n, true) => format!("{name}, {n} times full, then filled to {fill}"),
        (1, false) => format!("{name}, once full"),
        (n, false) => format!("{name}, {n} times full"),
    }
}

/// A count with halves and quarters as people say them, such as "2½ level scoops".
fn counted_words(count: f64, thing: &str) -> String {
    let number = counted(count);
    let many = if count > 1.0 { "s" } else { "" };
    format!("{number} {thing}{many}")
}

/// A count with halves and quarters as signs: 2.5 is "2½".
pub(super) fn counted(count: f64) -> String {
    let whole = count.trunc();
    let part = count - whole;
    let sign = [(0.25, "¼"), (0.5, "½"), (0.75, "¾")].iter().find(|(p, _)| (part - p).abs() < 0.01);
    match sign {
        Some((_, sign)) if whole == 0.0 => (*sign).to_owned(),
        Some((_, sign)) => format!("{whole}{sign}"),
        None => plain(count),
    }
}

/// A number with as many decimals as the distance of two marks has.
pub(super) fn on_marks(value: f64, mark: f64) -> String {
    let decimals = if mark >= 1.0 {
        usize::from(mark.fract() != 0.0)
    } else if mark >= 0.1 {
        if ((mark * 10.0).round() - mark * 10.0).abs() < 1e-6 { 1 } else { 2 }
    } else {
        2
    };
    format!("{value:.decimals$}")
}

/// A number without needless decimals.
pub(super) fn plain(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Draws the tool into a box of `size_pt`, and says it to a screen reader.
pub fn tool_ui(ui: &mut Ui, tool: &ToolView, size_pt: Vec2) -> Response {
    let (rect, response) = ui.allocate_exact_size(size_pt, Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, tool_words(tool)));
    if ui.is_rect_visible(rect) {
        paint_tool(ui, rect, tool);
    }
    response
}

fn paint_tool(ui: &Ui, rect: Rect, tool: &ToolView) {
    let tokens = Tokens::of(ui);
    let painter = ui.painter();
    match tool {
        ToolView::Syringe { capacity_ml, mark_ml, full_times, fill_ml } => {
            let syringe = syringe::Syringe {
                capacity_ml: *capacity_ml,
                mark_ml: *mark_ml,
                full_times: *full_times,
                fill_ml: *fill_ml,
            };
            syringe.paint(painter, rect, tokens);
        }
        ToolView::Dropper { drops } => counted::drops(painter, rect, *drops, tokens),
        ToolView::Scoop { count, .. } => counted::scoops(painter, rect, *count, counted::Bowl::Scoop, tokens),
        ToolView::Spoon { count, .. } => counted::scoops(painter, rect, *count, counted::Bowl::Spoon, tokens),
        ToolView::Scale { grams, mark_g } => vessels::scale(painter, rect, &on_marks(*grams, *mark_g), tokens),
        ToolView::Jug { capacity_l, full_times, fill_l } => {
            vessels::jug(painter, rect, (*capacity_l, *full_times, *fill_l), tokens);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tools_are_said_in_words() {
        let syringe = |full_times, fill_ml| ToolView::Syringe { capacity_ml: 10.0, mark_ml: 0.5, full_times, fill_ml };
        let cases = [
            (syringe(0, 5.0), "10 mL syringe, filled to 5.0 mL"),
            (syringe(1, 2.5), "10 mL syringe, once full, then filled to 2.5 mL"),
            (syringe(3, 0.0), "10 mL syringe, 3 times full"),
            (ToolView::Dropper { drops: 1 }, "Dropper, 1 drop"),
            (ToolView::Dropper { drops: 12 }, "Dropper, 12 drops"),
            (ToolView::Scoop { count: 2.5, grams: 3.0 }, "2½ level scoops of 3 g each"),
            (ToolView::Spoon { count: 0.5, name: "teaspoon".to_owned() }, "½ level teaspoon"),
            (ToolView::Scale { grams: 17.0, mark_g: 0.1 }, "Scale, reading 17.0 g"),
            (ToolView::Scale { grams: 17.0, mark_g: 1.0 }, "Scale, reading 17 g"),
            (
                ToolView::Jug { capacity_l: 2.0, full_times: 2, fill_l: 1.5 },
                "2 L jug, 2 times full, then filled to 1.5 L",
            ),
        ];
        for (tool, words) in cases {
            assert_eq!(tool_words(&tool), words);
        }
    }

    #[test]
    fn figures_follow_the_marks() {
        assert_eq!(on_marks(5.0, 0.5), "5.0");
        assert_eq!(on_marks(5.25, 0.05), "5.25");
        assert_eq!(on_marks(0.25, 0.25), "0.25");
        assert_eq!(on_marks(12.0, 1.0), "12");
        assert_eq!(on_marks(12.5, 2.5), "12.5");
    }
}
