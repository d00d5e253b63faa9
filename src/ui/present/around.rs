//! What stands around the dose: warnings with the way to mend them, what is good to know, what would help most.

use super::today::Shown;
use crate::plan::{Fact, Help, Place};
use crate::ui::command::{Command, Field};
use crate::ui::view::{LinkView, WarningView};

/// What the plan remarks on: what is only good to know, and what to be warned of.
pub(super) fn remarks(shown: &Shown<'_>) -> (Vec<String>, Vec<WarningView>) {
    let Some(outlook) = shown.outlook else { return (Vec::new(), Vec::new()) };
    // Of one of two mixed waters its name stands before it.
    let (good, warned): (Vec<_>, Vec<_>) =
        outlook.plan.warnings.iter().partition(|w| w.words.contains("Alkalinity is not known"));
    let feed = outlook.plan.fed.as_ref().map(crate::plan::Fed::words);
    let notes = feed.into_iter().chain(good.into_iter().map(|w| w.words.clone())).collect();
    let warnings = warned.into_iter().map(|w| WarningView { words: w.words.clone(), mend: w.place.and_then(mend) });
    (notes, warnings.collect())
}

/// The way to a place where something can be mended. What grows stands on the page itself.
fn mend(place: Place) -> Option<LinkView> {
    let (text, command) = match place {
        Place::SourceWater | Place::SourceEc => ("Change the source water", Command::Mend(Field::WaterEc)),
        Place::Shelf => ("Change my shelf", Command::EditUnit),
        Place::Meter => ("Change the meter", Command::EditUnit),
        Place::Crops => return None,
    };
    Some(LinkView { text: text.to_owned(), command })
}

/// Where a trouble with the facts is mended.
pub(super) fn mend_trouble(trouble: &str) -> Option<LinkView> {
    let field = if !trouble.starts_with("source water") {
        return None;
    } else if trouble.contains("alkalinity") {
        Field::WaterAlkalinity
    } else if trouble.starts_with("source water: pH") {
        Field::WaterPh
    } else {
        Field::WaterEc
    };
    Some(LinkView { text: "Change the water".to_owned(), command: Command::Mend(field) })
}

/// What is worth finding out next, each with the way to where it is typed.
pub(super) fn next_best(shown: &Shown<'_>) -> Vec<LinkView> {
    let helps = shown.outlook.map(|outlook| outlook.plan.helps.as_slice()).unwrap_or_default();
    helps.iter().map(|help| LinkView { text: help.words.clone(), command: way(help) }).collect()
}

/// The best of it in a few words.
pub(super) fn next_best_short(shown: &Shown<'_>) -> String {
    let first = shown.outlook.and_then(|outlook| outlook.plan.helps.first());
    let what = first.map(|help| match help.fact {
        Fact::Alkalinity => "A drop kit",
        // "A measuring jug" would lie on the heading beside it.
        Fact::Volume => "A jug",
        Fact::PhMeter => "A buffer",
        Fact::SourceEc => "The water’s EC",
        Fact::SourcePh => "The water’s pH",
        Fact::JarTest { .. } => "A jar test",
        Fact::FeedLabel { .. } => "The feed’s label",
        Fact::StoodReading | Fact::SecondReading => "A reading",
    });
    what.map_or_else(String::new, |what| format!("{what} would help"))
}

fn way(help: &Help) -> Command {
    match &help.fact {
        Fact::Alkalinity => Command::Mend(Field::WaterAlkalinity),
        Fact::SourceEc => Command::Mend(Field::WaterEc),
        Fact::SourcePh => Command::Mend(Field::WaterPh),
        Fact::StoodReading | Fact::SecondReading => Command::Focus(Field::ReadingPh),
        Fact::JarTest { product_id } => Command::OpenJar(product_id.clone()),
        Fact::Volume | Fact::PhMeter | Fact::FeedLabel { .. } => Command::EditUnit,
    }
}
