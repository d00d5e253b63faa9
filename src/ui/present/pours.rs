//! The list of pours: what is in the water already, and what is planned.

use super::readers::{PourField, capital};
use super::today::Shown;
use crate::card::{amount_words, how};
use crate::dose::PourShare;
use crate::garden::LogEntry;
use crate::learn::{Done, Part};
use crate::plan::{Action, Planner, Step};
use crate::plan::{FIRST_KEY, Idea, IdeaPour, figure, mark_at, measured};
use crate::ui::command::Command;
use crate::ui::derived::Outlook;
use crate::ui::view::{LinkView, PlaceView, PourState, PourView};
use crate::units::EcScale;

/// Poured entries shown, the newest.
const POURED_SHOWN: usize = 3;
/// How far back they may lie, s: a day.
const POURED_SINCE_S: i64 = 86_400;

/// A pour in the log that is worth showing.
pub(super) struct Poured {
    pub(super) at_s: i64,
    pub(super) view: PourView,
    /// Whether nobody has read the water since.
    pub(super) unread: bool,
}

/// The newest pours of the log, oldest first, numbered from 1.
pub(super) fn poured(shown: &Shown<'_>) -> Vec<Poured> {
    let unit = shown.unit;
    let last_read_s = unit.last_reading().map_or(i64::MIN, |r| r.at_s);
    let since_s = shown.clock.now_s().saturating_sub(POURED_SINCE_S);
    let last_fill = unit.log.iter().rposition(|entry| matches!(entry, LogEntry::Refill { .. })).unwrap_or(0);
    let mut found: Vec<Poured> = Vec::new();
    for (index, entry) in unit.log.iter().enumerate().skip(last_fill) {
        let at_s = entry.at_s();
        let what = match entry {
            LogEntry::Pour(pour) => {
                let product = unit.shelf_item(&pour.product_id).and_then(|item| shown.catalog.product_of(item));
                let name = product.map_or_else(|| pour.product_id.clone(), |p| p.name.clone());
                let unit_words = product.map_or("", |p| p.form.unit());
                let step = unit.shelf_item(&pour.product_id).map_or(0.1, |item| item.tool.smallest());
                Some((name, pour.amount, unit_words, decimals(step, pour.amount)))
            }
            LogEntry::Drain { solution_l, .. } if is_swap(Some(entry), unit.log.get(index + 1)) => {
                Some(("Solution changed for water".to_owned(), *solution_l, "L", 1))
            }
            // The second half of a change of water stands with the first.
            LogEntry::TopUp { .. } if is_swap(index.checked_sub(1).and_then(|i| unit.log.get(i)), Some(entry)) => None,
            LogEntry::TopUp { water_l, .. } => Some(("Source water".to_owned(), *water_l, "L", 1)),
            LogEntry::Drain { solution_l, .. } => Some(("Solution taken out".to_owned(), *solution_l, "L", 1)),
            LogEntry::Reading(_) | LogEntry::JarTest(_) | LogEntry::Refill { .. } | LogEntry::Note { .. } => None,
        };
        let Some((product, amount, unit_words, decimals)) = what.filter(|_| at_s >= since_s) else { continue };
        let unread = at_s >= last_read_s;
        found.push(Poured {
            at_s,
            unread,
            view: PourView {
                key: u32::try_from(index).unwrap_or(u32::MAX).min(FIRST_KEY - 1),
                number: 0,
                product,
                amount,
                unit: unit_words.to_owned(),
                step: 0.0,
                most: 0.0,
                decimals,
                effect: String::new(),
                measure: String::new(),
                cautions: Vec::new(),
                state: PourState::Poured(format!(
                    "{} {}",
                    if unread { "In since" } else { "Poured at" },
                    shown.clock.words(at_s)
                )),
                link: unread.then(|| LinkView { text: "Take back".to_owned(), command: Command::TakeBack(index) }),
                place: None,
            },
        });
    }
    let surplus = found.len().saturating_sub(POURED_SHOWN);
    found.drain(..surplus);
    for (poured, number) in found.iter_mut().zip(1..) {
        poured.view.number = number;
    }
    found
}

/// Whether two entries of the log that follow each other are one change of water.
pub(crate) fn is_swap(one: Option<&LogEntry>, next: Option<&LogEntry>) -> bool {
    match (one, next) {
        (Some(LogEntry::Drain { at_s, solution_l }), Some(LogEntry::TopUp { at_s: then_s, water_l, .. })) => {
            at_s == then_s && (solution_l - water_l).abs() < 1e-9
        }
        _ => false,
    }
}

/// The planned pours, numbered on from `first_number`.
pub(super) fn planned(outlook: &Outlook, first_number: u32) -> Vec<PourView> {
    let list = outlook.list();
    let mut views = if outlook.what_if().is_none() {
        of_plan(outlook, &list)
    } else {
        // The water stays: what-ifs begin where it leaves the tank.
        let pours = list.pours.iter().enumerate().filter_map(|(i, pour)| one(outlook, &list, pour, i));
        outlook.plan.steps.iter().filter_map(water_of).chain(pours).collect()
    };
    for (view, number) in views.iter_mut().zip(first_number..) {
        view.number = number;
    }
    views
}

/// The plan's own amounts, with what its steps say of them. Pours of nothing that were added stand where they were put.
fn of_plan(outlook: &Outlook, list: &Idea) -> Vec<PourView> {
    let mut views = Vec::new();
    let mut pours = list.pours.iter().enumerate().peekable();
    for step in &outlook.plan.steps {
        match &step.action {
            Action::Pour(_) => {
                while let Some((place, pour)) = pours.next_if(|(_, pour)| pour.amount <= 0.0) {
                    views.extend(one(outlook, list, pour, place));
                }
                let Some((place, pour)) = pours.next() else { continue };
                if let Some(mut view) = one(outlook, list, pour, place) {
                    view.measure = how(step).unwrap_or_default();
                    if step.provisional {
                        view.measure.push_str(" · the reading before it decides");
                    }
                    let other = other_part(outlook, pour);
                    view.cautions = other.into_iter().chain(joined(&step.cautions)).collect();
                    views.push(view);
                }
            }
            _ => views.extend(water_of(step)),
        }
    }
    views.extend(pours.filter_map(|(place, pour)| one(outlook, list, pour, place)));
    views
}

/// A step that puts water in or changes it.
fn water_of(step: &Step) -> Option<PourView> {
    match &step.action {
        Action::TopUp { water_l } => Some(water(step, "Source water, to top up", *water_l)),
        Action::Swap { litres } => Some(water(step, "Change water: take out, then fill up", *litres)),
        _ => None,
    }
}

fn water(step: &Step, what: &str, litres: f64) -> PourView {
    PourView {
        key: u32::MAX,
        number: 0,
        product: what.to_owned(),
        amount: litres,
        unit: "L".to_owned(),
        step: 0.1,
        most: litres,
        decimals: 1,
        effect: String::new(),
        measure: step.why.first().cloned().unwrap_or_default(),
        cautions: joined(&step.cautions),
        state: PourState::Fixed,
        link: None,
        place: None,
    }
}

fn one(outlook: &Outlook, list: &Idea, pour: &IdeaPour, place: usize) -> Option<PourView> {
    let product = outlook.planner.product(&pour.product_id)?;
    let part = product.parts.iter().find(|part| part.pour.id == pour.product_id)?;
    let (step, scale) = (part.tool.smallest(), outlook.planner.ec_scale());
    let measure = match measured(&outlook.planner, &pour.product_id, pour.amount) {
        Some(measured) => how(&Step::plain(Action::Pour(measured))).unwrap_or_default(),
        None if pour.amount > 0.0 => format!("Less than the {} can measure", part.tool.name()),
        None => capital(&part.tool.name()),
    };
    Some(PourView {
        key: pour.key,
        number: 0,
        product: part.pour.name.clone(),
        amount: pour.amount,
        unit: part.pour.unit.to_owned(),
        step,
        most: pour.most,
        decimals: decimals(mark_at(&outlook.planner, &pour.product_id, pour.amount), pour.amount),
        effect: outlook.landing.shares.get(place).map(|share| effect(share, scale)).unwrap_or_default(),
        measure,
        cautions: (other_part(outlook, pour).into_iter())
            .chain(outlook.planner.over_label(&pour.product_id, pour.amount))
            .chain(joined(&part.cautions))
            .collect(),
        state: PourState::Planned,
        link: None,
        place: Some(PlaceView {
            before: place,
            after: list.pours.len().saturating_sub(place + 1),
            locked: pour.locked,
            note: list.out_of_place(&outlook.planner, pour.key).map(str::to_owned),
        }),
    })
}

/// What to know of a part of a feed when another part of it went in since the last reading, and this is not the measure
/// that belongs to it.
fn other_part(outlook: &Outlook, pour: &IdeaPour) -> Option<String> {
    let parts = &outlook.planner.product(&pour.product_id)?.parts;
    let this = parts.iter().find(|part| part.pour.id == pour.product_id)?;
    let since = &outlook.planner.knowledge().since_reading;
    let poured = |id: &str| -> f64 {
        let amounts = since.iter().map(|done| match done {
            Done::Pour { id: other, amount } if other == id => *amount,
            _ => 0.0,
        });
        amounts.sum()
    };
    let other = parts.iter().find(|part| part.pour.id != this.pour.id && poured(&part.pour.id) > 0.0)?;
    let got = poured(&other.pour.id);
    let wanted = got * this.ratio / other.ratio - poured(&this.pour.id);
    // Nothing of it is a choice of its own, and what its tool can't tell apart is the same.
    if wanted <= 0.0 || (pour.amount - wanted).abs() <= mark_at(&outlook.planner, &pour.product_id, wanted) {
        return None;
    }
    let words = |amount: f64, part: &Part| format!("{} {}", figure(amount), part.pour.unit);
    let short = |part: &Part| part.pour.name.rsplit_once(", ").map_or(part.pour.name.clone(), |(_, s)| s.to_owned());
    let measure = if (wanted - got).abs() < 1e-9 { "the same measure".to_owned() } else { words(wanted, this) };
    Some(format!("{} got {}: give {} {measure}.", capital(&short(other)), words(got, other), short(this)))
}

/// What a list pours, in the words of the map; nothing for what is not poured.
pub(super) fn poured_words(planner: &Planner, pours: &[(String, f64)]) -> Vec<String> {
    let words = |(id, amount): &(String, f64)| {
        let parts = &planner.product(id)?.parts;
        let part = parts.iter().find(|part| part.pour.id == *id).filter(|_| *amount > 0.0)?;
        let decimals = decimals(mark_at(planner, id, *amount), *amount);
        Some(format!("{amount:.decimals$} {} of {}", part.pour.unit, part.pour.name))
    };
    pours.iter().filter_map(words).collect()
}

/// Decimals that a tool shows, or more where a dilution makes the amount finer.
pub(super) fn decimals(step: f64, amount: f64) -> usize {
    let words = amount_words(amount, step, "");
    let shown = words.trim().split_once('.').map_or(0, |(_, decimals)| decimals.len());
    let is_whole = |decimals: &usize| {
        let scaled = amount * 10_f64.powi(i32::try_from(*decimals).unwrap_or(0));
        (scaled - scaled.round()).abs() < 1e-6
    };
    // What a hand put between the marks has two decimals more at most.
    let is_on_mark = step <= 0.0 || (amount / step - (amount / step).round()).abs() <= 1e-6;
    if is_on_mark { shown } else { (shown..shown + 2).find(is_whole).unwrap_or(shown + 2) }
}

fn effect(share: &PourShare, scale: EcScale) -> String {
    let ec = signed(share.ec_change_ms_cm, &scale.figure(share.ec_change_ms_cm.abs(), 2));
    format!("EC {ec}{} · pH {}", scale.tail(), signed(share.ph_change, &format!("{:.1}", share.ph_change.abs())))
}

/// A change, its size in words, with its sign: the minus as long as a plus.
fn signed(value: f64, text: &str) -> String {
    let zero = text.chars().all(|c| matches!(c, '0' | '.'));
    match (zero, value < 0.0) {
        (true, _) => format!("±{text}"),
        (false, true) => format!("−{text}"),
        (false, false) => format!("+{text}"),
    }
}

/// Cautions as one box: each is a short sentence.
pub(super) fn joined(cautions: &[String]) -> Vec<String> {
    if cautions.is_empty() { Vec::new() } else { vec![cautions.join(" ")] }
}

/// What the reader of a pour's field must know.
pub(super) fn fields(pours: &[PourView]) -> Vec<PourField> {
    pours
        .iter()
        .filter(|p| p.state == PourState::Planned)
        .map(|p| PourField { key: p.key, liquid: p.unit == "mL", most: (10.0 * p.most).max(100.0) })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::slider_end;

    #[test]
    fn changes_have_signs_and_nothing_has_both() {
        let share = |ec_change_ms_cm, ph_change| PourShare { ec_change_ms_cm, ph_change, path: Vec::new() };
        let plain = |ec, ph| effect(&share(ec, ph), EcScale::MilliSiemens);
        assert_eq!(plain(0.65, -0.7), "EC +0.65 · pH −0.7");
        assert_eq!(plain(-0.001, 0.0), "EC ±0.00 · pH ±0.0");
        assert_eq!(effect(&share(0.65, -0.7), EcScale::Ppm500), "EC +325 ppm (500) · pH −0.7");
        assert_eq!(effect(&share(-0.0001, 0.04), EcScale::MicroSiemens), "EC ±0 µS/cm · pH ±0.0");
    }

    #[test]
    fn a_slider_ends_on_a_mark_past_the_plan() {
        assert!((slider_end(16.5, 0.2) - 16.6).abs() < 1e-9);
        assert!((slider_end(16.4, 0.2) - 16.4).abs() < 1e-9, "on a mark it stays");
        assert!((slider_end(0.0, 0.5) - 5.0).abs() < 1e-9);
        assert_eq!(decimals(0.2, 4.8), 1);
        assert_eq!(decimals(0.2, 0.52), 2);
        assert_eq!(decimals(0.02, 0.2), 2, "as the headline says it");
        assert_eq!(decimals(0.2, 0.5234), 3, "between the marks");
    }
}
