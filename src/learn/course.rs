//! The log as it is explained: from one reading through pours, waits and later readings to the latest.

use crate::chem::Totals;
use crate::dose::Seen;
use crate::garden::{Catalog, LogEntry, Role, Unit};

use super::jar::Jar;
use super::knowledge::{Knowledge, KnowledgeError, seen_of};

/// Readings that are explained together, at most: what is older has been overtaken by plants, air and forgotten pours, and
/// each costs time. Ours.
const MOST_READINGS: usize = 6;
/// Readings older than this before the latest, hours, are left to their own day. Ours.
const LONGEST_H: f64 = 48.0;

/// Something done or read after the first reading.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Event {
    /// Hours in which carbon dioxide moved.
    Wait(f64),
    /// A pour of one part of a product.
    Pour {
        role: Role,
        /// mol per unit at its stated strength.
        moles: Totals,
        water_g: f64,
        amount: f64,
        /// Whether plans are made with something else by now: its strength is taken as told.
        is_past: bool,
        /// 1 sd of ln(poured over meant).
        ln_sd: f64,
    },
    /// Source water added, kg.
    TopUp(f64),
    /// Solution taken out, as a share of what was there.
    Drain(f64),
    /// A reading.
    Read(Seen),
    /// A jar test of the water at that time; the tank stays as it was.
    Jar(Jar),
}

/// What leads from an earlier reading to the latest, and from there to jar tests of what was poured since.
#[derive(Clone, Debug)]
pub(crate) struct Course {
    /// What was known at the earlier reading.
    pub(crate) start: Box<Knowledge>,
    /// What was done and read after it, in order. What follows the latest reading is told aside: the tank is believed as it
    /// was at that reading.
    pub(crate) events: Vec<Event>,
}

impl Course {
    /// The course to the latest reading, or to a jar test after it; `None` where the reading stands alone.
    pub(super) fn of(unit: &Unit, catalog: &Catalog, latest: &Knowledge) -> Result<Option<Self>, KnowledgeError> {
        let Some(latest_reading) = latest.reading else { return Ok(None) };
        let mut entries: Vec<&LogEntry> = unit.log.iter().collect();
        entries.sort_by_key(|entry| entry.at_s());
        let filled = entries.iter().rposition(|entry| matches!(entry, LogEntry::Refill { .. }));
        let Some(last) = entries.iter().rposition(|entry| matches!(entry, LogEntry::Reading(_))) else {
            return Ok(None);
        };
        let tested = entries.iter().rposition(|entry| matches!(entry, LogEntry::JarTest(_)));
        let end = tested.filter(|tested| *tested > last).unwrap_or(last);
        if let Some(first) = first_reading(&entries, filled.unwrap_or(0), last, latest, latest_reading.at_s) {
            let added_l: f64 = entries[first + 1..=last]
                .iter()
                .map(|entry| match entry {
                    LogEntry::TopUp { water_l, .. } => *water_l,
                    LogEntry::Drain { solution_l, .. } => -solution_l,
                    _ => 0.0,
                })
                .sum();
            let level_l = latest.level_l - added_l;
            if level_l >= 0.02 * unit.tank_l && level_l <= 1.1 * unit.tank_l {
                let log = entries[..=first].iter().map(|entry| (*entry).clone()).collect();
                let then = Unit { level_l, log, ..unit.clone() };
                let start = Box::new(Knowledge::of_latest(&then, catalog, entries[first].at_s())?);
                let events = events(&entries[first..=end], last - first, level_l, latest, unit);
                return Ok(Some(Self { start, events }));
            }
        }
        let events = events(&entries[last..=end], 0, latest.level_l, latest, unit);
        let tested = events.iter().any(|event| matches!(event, Event::Jar(_)));
        Ok(tested.then(|| Self { start: Box::new(latest.clone()), events }))
    }

    /// The same without its jar tests; `None` where nothing is left, or nothing was there.
    pub(super) fn without_jars(&self) -> Option<Self> {
        let kept = |event: &&Event| !matches!(event, Event::Jar(_));
        let events: Vec<Event> = self.events.iter().filter(kept).cloned().collect();
        let changed = events.len() < self.events.len() && events.iter().any(|event| matches!(event, Event::Read(_)));
        changed.then(|| Self { start: self.start.clone(), events })
    }
}

/// The first reading that can be explained together with the last one.
fn first_reading(
    entries: &[&LogEntry],
    filled: usize,
    last: usize,
    latest: &Knowledge,
    latest_s: i64,
) -> Option<usize> {
    let mut first = None;
    let mut readings = 1;
    // A level that was read anew breaks the course: what went missing before is not in the log.
    if matches!(entries[last], LogEntry::Reading(reading) if reading.level_l.is_some()) {
        return None;
    }
    for place in (filled..last).rev() {
        let hours = latest_s.saturating_sub(entries[place].at_s()) as f64 / 3600.0;
        if hours > LONGEST_H {
            break;
        }
        match entries[place] {
            LogEntry::Reading(reading) => {
                if reading.ec_ms_cm.is_some() {
                    first = Some(place);
                    readings += 1;
                }
                if reading.level_l.is_some() || readings >= MOST_READINGS {
                    break;
                }
            }
            LogEntry::Pour(pour) => {
                let mut known = latest.known_products().flat_map(|product| &product.parts);
                if !known.any(|part| part.pour.id == pour.product_id) {
                    break;
                }
            }
            LogEntry::Refill { .. } => break,
            LogEntry::TopUp { .. } | LogEntry::Drain { .. } | LogEntry::JarTest(_) | LogEntry::Note { .. } => {}
        }
    }
    first
}

/// What happened after the first of some entries; the latest reading stands at place `last` of them.
fn events(entries: &[&LogEntry], last: usize, level_l: f64, latest: &Knowledge, unit: &Unit) -> Vec<Event> {
    let mut events = Vec::new();
    let Some((first, entries)) = entries.split_first() else { return events };
    let (mut then_s, mut level_l) = (first.at_s(), level_l);
    let mut changed_s = None;
    let density = latest.showing.medium().water_density_kg_l();
    let part_of = |id: &str| {
        latest.known_products().find_map(|product| {
            let part = product.parts.iter().find(|part| part.pour.id == id)?;
            Some((product.role, part))
        })
    };
    for (place, entry) in entries.iter().enumerate() {
        let at_s = entry.at_s();
        let wait = |events: &mut Vec<Event>, then_s: &mut i64| {
            let hours = at_s.saturating_sub(*then_s).max(0) as f64 / 3600.0;
            if hours > 0.0 {
                events.push(Event::Wait(hours));
            }
            *then_s = at_s;
        };
        match entry {
            LogEntry::Reading(reading) => {
                // One that was taken before the water had mixed says little; the latest is all there is.
                let mixed_min = changed_s.map_or(f64::INFINITY, |s: i64| at_s.saturating_sub(s) as f64 / 60.0);
                if place + 1 != last && mixed_min < 0.8 * f64::from(unit.kind.mixing_wait_min()) {
                    continue;
                }
                wait(&mut events, &mut then_s);
                events.push(Event::Read(seen_of(reading)));
            }
            LogEntry::Pour(pour) => {
                let Some((role, part)) = part_of(&pour.product_id) else { continue };
                // Part A a minute before part B: the carbon dioxide between is not worth a solution.
                if matches!(role, Role::PhDown | Role::PhUp) {
                    wait(&mut events, &mut then_s);
                }
                events.push(Event::Pour {
                    role,
                    moles: part.pour.moles,
                    water_g: part.pour.water_g,
                    amount: pour.amount,
                    is_past: latest.is_past(&pour.product_id),
                    ln_sd: part.tool.ln_sd(pour.amount),
                });
                changed_s = Some(at_s);
            }
            LogEntry::TopUp { water_l, .. } => {
                events.push(Event::TopUp(water_l * density));
                level_l += water_l;
                changed_s = Some(at_s);
            }
            LogEntry::Drain { solution_l, .. } => {
                let share = (solution_l / level_l.max(1e-3)).clamp(0.0, 0.98);
                events.push(Event::Drain(share));
                level_l -= solution_l;
                changed_s = Some(at_s);
            }
            LogEntry::JarTest(test) => {
                let tested = part_of(&test.product_id).filter(|_| !latest.is_past(&test.product_id));
                let Some((role, part)) = tested else { continue };
                wait(&mut events, &mut then_s);
                events.push(Event::Jar(Jar::of(test, role, part)));
            }
            LogEntry::Refill { .. } | LogEntry::Note { .. } => {}
        }
    }
    events
}
