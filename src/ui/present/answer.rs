//! The strip: the plan's first step in the card's own sentences, or the first pour of an idea.

use super::pours::{Poured, poured_words};
use super::today::{Risk, Shown, expect_words};
use crate::card::{Order, PROVISIONAL, eyebrow, headline, how, likely_line, next_line};
use crate::garden::Role;
use crate::plan::{Action, EC_STEP_MS_CM, Idea, Measured, Step, figure, measured};
use crate::ui::command::{Command, Field};
use crate::ui::derived::Outlook;
use crate::ui::view::{AnswerKind, AnswerView, LinkView, ToolView};

/// The answer, and the reasons that the strip has no room for.
pub(super) fn answer(shown: &Shown<'_>, poured: &[Poured]) -> (AnswerView, Vec<String>) {
    match (shown.outlook, shown.trouble) {
        (_, Some(trouble)) => (stuck(trouble), Vec::new()),
        (None, None) => (working(), Vec::new()),
        (Some(outlook), None) => match (outlook.what_if(), outlook.plan.now()) {
            // What is left of a list after its first pour waits for the reading, as the person does.
            (Some(_), Some(step)) if shown.hand.is_left && matches!(step.action, Action::Read { .. }) => {
                of_step(shown, step, poured)
            }
            (Some(idea), Some(step)) => of_idea(shown, outlook, idea, step),
            (_, Some(step)) => of_step(shown, step, poured),
            (_, None) => (stuck("The plan is empty"), Vec::new()),
        },
    }
}

fn working() -> AnswerView {
    AnswerView { eyebrow: "One moment".to_owned(), sentence: "Working it out…".to_owned(), ..AnswerView::default() }
}

fn stuck(trouble: &str) -> AnswerView {
    AnswerView {
        eyebrow: "No answer yet".to_owned(),
        sentence: "Something does not fit together".to_owned(),
        lines: vec![super::readers::capital(trouble), "Look at the reading and the facts once more".to_owned()],
        kind: AnswerKind::Stuck(super::around::mend_trouble(trouble)),
        ..AnswerView::default()
    }
}

fn of_step(shown: &Shown<'_>, step: &Step, poured: &[Poured]) -> (AnswerView, Vec<String>) {
    let mut why = step.why.clone();
    let mut lines = Vec::new();
    // The first reason stands beside the range; the others wait behind "Why".
    let reason = if why.is_empty() { None } else { Some(why.remove(0)) };
    let first: Vec<String> = likely_line(step).into_iter().chain(reason).collect();
    if !first.is_empty() {
        lines.push(first.join(". "));
    }
    lines.extend(next_line(step, &shown.unit.meter));
    if step.provisional {
        why.push(PROVISIONAL.to_owned());
    }
    let mut eyebrow = eyebrow(step).to_owned();
    let (mut first, mut wear) = (None, None);
    let kind = match &step.action {
        Action::Pour(measured) => {
            (first, wear) = (before(measured), shown.outlook.and_then(|o| wear_words(o, &measured.id)));
            AnswerKind::Pour {
                tool: ToolView::of(measured.tool, measured.tool_amount),
                of: mix(measured),
                then: then(step),
            }
        }
        Action::TopUp { water_l } | Action::Swap { litres: water_l } => {
            AnswerKind::Pour { tool: ToolView::jug(*water_l), of: String::new(), then: then(step) }
        }
        Action::Read { in_min } => {
            if let Some(last) = poured.iter().rev().find(|p| p.unread) {
                let view = &last.view;
                let amount = format!("{:.*} {}", view.decimals, view.amount, view.unit);
                eyebrow = format!("{amount} of {} went in at {}", view.product, shown.clock.words(last.at_s));
            }
            wait(*in_min, shown.unit.kind.mixing_wait_min())
        }
        Action::Ask { .. } => {
            let missing_ec = shown.unit.last_reading().is_none_or(|r| r.ec_ms_cm.is_none());
            let field = if missing_ec { Field::ReadingEc } else { Field::ReadingPh };
            AnswerKind::NeedsFact(LinkView { text: "Type a reading".to_owned(), command: Command::Focus(field) })
        }
        Action::LeaveIt => AnswerKind::LeaveIt,
        Action::CannotHelp { .. } => {
            AnswerKind::NeedsFact(LinkView { text: "Change my shelf".to_owned(), command: Command::EditUnit })
        }
    };
    let surer = step.jar.as_ref().map(|offer| LinkView {
        text: "Surer: a jar test first, about 10 minutes".to_owned(),
        command: Command::OpenJar(offer.product_id.clone()),
    });
    (AnswerView { eyebrow, sentence: headline(step), first, caution: None, wear, lines, surer, kind }, why)
}

fn then(step: &Step) -> String {
    if step.wait_min > 0 { format!("then wait {} min", step.wait_min) } else { String::new() }
}

fn wait(in_min: u32, whole_min: u32) -> AnswerKind {
    let passed = 1.0 - in_min.min(whole_min) as f32 / whole_min.max(1) as f32;
    let left = if in_min == 0 { "now".to_owned() } else { format!("{in_min} min") };
    AnswerKind::Wait { passed, left }
}

/// How to dilute before pouring.
fn before(measured: &Measured) -> Option<String> {
    measured.dilution.and_then(|_| how(&Step::plain(Action::Pour(measured.clone()))))
}

/// What the tool is filled with, when it is not the product itself.
fn mix(measured: &Measured) -> String {
    measured.dilution.map_or_else(String::new, |dilution| format!("of the 1:{} mix", dilution.parts))
}

/// What to wear, in the few words that a small strip has room for.
fn wear_words(outlook: &Outlook, product_id: &str) -> Option<String> {
    let what = match outlook.planner.product(product_id)?.role {
        Role::PhDown => "acid",
        Role::PhUp => "base",
        Role::Silicate => "silicate",
        Role::Feed | Role::CalMag => return None,
    };
    Some(format!("Goggles, gloves, {what} into water"))
}

/// An idea of the person's own: where it would land and what it risks, beside what the plan says. It is no advice.
fn of_idea(shown: &Shown<'_>, outlook: &Outlook, idea: &Idea, step: &Step) -> (AnswerView, Vec<String>) {
    let plan_words = format!("The plan says: {}", headline(step));
    let water = if outlook.planner.begins_with_water() { ", after the plan’s own water" } else { "" };
    let eyebrow = format!("Your own idea{water}");
    let Some(pour) = idea.first() else {
        let view = AnswerView {
            eyebrow,
            sentence: "If you poured nothing".to_owned(),
            lines: vec![plan_words],
            kind: AnswerKind::WhatIf { tool: None, done: String::new() },
            ..AnswerView::default()
        };
        return (view, Vec::new());
    };
    let measured = measured(&outlook.planner, &pour.product_id, pour.amount);
    let order = measured.as_ref().map(|measured| Order::of(&Step::plain(Action::Pour(measured.clone()))));
    let (verb, amount, product) = match &order {
        Some(order) => (past(order.verb), order.large.clone(), order.thing.as_str()),
        None => ("poured", format!("{} of it", figure(pour.amount)), ""),
    };
    let others = idea.pours.iter().filter(|other| other.key != pour.key && other.amount > 0.0).count();
    let rest = if others > 0 { " and the rest of the list" } else { "" };
    // The product stands above the sentence, so that this stays on one line.
    let in_it = shown.hand.touched.filter(|key| *key != pour.key);
    let in_it = in_it.and_then(|key| idea.pours.iter().find(|other| other.key == key && other.amount > 0.0));
    let eyebrow = match in_it.map(|other| poured_words(&outlook.planner, &[(other.product_id.clone(), other.amount)])) {
        // The headline is of the pour to make first; what the hand changes stands above it.
        Some(words) if !words.is_empty() => format!("{eyebrow} · {} in it", words.join(" and ")),
        _ if product.is_empty() => eyebrow,
        _ => format!("{eyebrow} · {product}"),
    };
    let sentence = format!("If you {verb} {amount}{rest}: pH about {:.1}", outlook.landing.just_mixed.ph);
    let risk = Risk::of(outlook);
    // The chance has its sentence beside the pours and on the map; here it stands when it is one to be warned of.
    let lines = vec![format!("{}. {plan_words}", expect_words(shown.unit, outlook))];
    let mut caution = None;
    if measured.is_none() {
        caution = Some("Less than your tool can measure".to_owned());
    } else if risk.is_risky() {
        caution = Some(format!("{}, which is more than the plan would risk", risk.sentence()));
    }
    let ec_high = outlook.plan.zone_ec_ms_cm.1;
    let ec = outlook.landing.just_mixed.ec_ms_cm;
    let rise = ec - outlook.landing.start.ec_ms_cm;
    let scale = shown.unit.meter.ec_scale;
    // Half of the last figure more is not told apart.
    let step = EC_STEP_MS_CM.plants;
    if caution.is_none() && shown.unit.plants_in && rise >= step + 0.05 {
        let (rise, step, tail) = (scale.figure(rise, 1), scale.figure(step, 1), scale.tail());
        caution =
            Some(format!("EC rises by {rise}{tail} at once: the plan takes {step} at a time while plants are in"));
    }
    if caution.is_none() && ec > ec_high && rise > 0.0 {
        let (ec, high, tail) = (scale.figure(ec, 1), scale.edge(ec_high, 1), scale.tail());
        caution = Some(format!("EC rises to about {ec}{tail}, past the zone's {high}"));
    }
    let tool = measured.as_ref().map(|measured| (ToolView::of(measured.tool, measured.tool_amount), mix(measured)));
    let done = if others > 0 { "I did pour the first" } else { "I did pour this" };
    let view = AnswerView {
        eyebrow,
        sentence,
        first: measured.as_ref().and_then(before),
        caution,
        wear: wear_words(outlook, &pour.product_id),
        lines,
        surer: None,
        kind: AnswerKind::WhatIf { tool, done: done.to_owned() },
    };
    (view, Vec::new())
}

/// The verb of an order in a condition.
fn past(verb: &str) -> &'static str {
    if verb == "Add" { "added" } else { "poured" }
}
