//! What the log says of the water that is in the tank now.

use crate::dose::Closing;
use crate::garden::{Catalog, LogEntry, Priors, Product, Reading, Role, Unit};

use super::knowledge::{Added, Done, FRESH_H, Shelf};
use super::product::ProductBelief;

/// What the log says of the water that is in the tank now.
#[derive(Default)]
pub(super) struct History {
    /// Pours since the tank was last filled afresh, up to the latest reading: product, amount, hours before the reading.
    pub(super) pours: Vec<(String, f64, f64)>,
    /// What was done after the latest reading, or since the fresh fill without one.
    pub(super) since_reading: Vec<Done>,
    /// When each of those was done, Unix seconds.
    pub(super) since_at_s: Vec<i64>,
    /// Latest reading since the tank was last filled afresh: one from before says nothing of this water.
    pub(super) reading: Option<Reading>,
    /// Whether the tank was filled with plain water, by the log or for want of one, and nobody has read it since.
    began_plain: bool,
    /// Hours between the fresh fill and the reading; `None` if no fill was logged.
    pub(super) filled_h_ago: Option<f64>,
    /// The same, counted to now.
    pub(super) filled_h: Option<f64>,
    /// Source water added since the fresh fill, up to the reading, L.
    pub(super) topped_l: f64,
    pub(super) mixed_min: Option<f64>,
}

impl History {
    pub(super) fn of(unit: &Unit, now_s: i64) -> Self {
        let mut entries: Vec<&LogEntry> = unit.log.iter().collect();
        entries.sort_by_key(|entry| entry.at_s());
        let filled = entries.iter().rposition(|entry| matches!(entry, LogEntry::Refill { .. }));
        let entries = &entries[filled.unwrap_or(0)..];
        // The belief is about the tank as it was read, so time runs to the reading where there is one.
        let read_s = entries.iter().rev().find(|entry| matches!(entry, LogEntry::Reading(_))).map(|entry| entry.at_s());
        let until_s = read_s.unwrap_or(now_s);
        let seconds = |from_s: i64, to_s: i64| to_s.saturating_sub(from_s).max(0) as f64;
        // A tank without a log and without plants is taken as just filled with source water.
        let mut history = Self { began_plain: !unit.plants_in || filled.is_some(), ..Self::default() };
        let mut changed_s = None;
        for entry in entries {
            let at_s = entry.at_s();
            let done = match entry {
                LogEntry::Refill { .. } => {
                    history.filled_h_ago = Some(seconds(at_s, until_s) / 3600.0);
                    history.filled_h = Some(seconds(at_s, now_s) / 3600.0);
                    // A fresh fill is one water: nothing in it has to mix.
                    continue;
                }
                LogEntry::Reading(reading) => {
                    history.read(reading, unit, until_s);
                    history.mixed_min = changed_s.map(|changed_s| seconds(changed_s, at_s) / 60.0);
                    continue;
                }
                LogEntry::JarTest(_) | LogEntry::Note { .. } => continue,
                LogEntry::Pour(pour) => Done::Pour { id: pour.product_id.clone(), amount: pour.amount },
                LogEntry::TopUp { water_l, .. } => Done::TopUp(*water_l),
                LogEntry::Drain { solution_l, .. } => Done::Drain(*solution_l),
            };
            changed_s = Some(at_s);
            history.since_reading.push(done);
            history.since_at_s.push(at_s);
        }
        history.began_plain &= history.reading.is_none();
        history
    }

    /// Whether nothing but source water, or silicate in it, is in the tank.
    pub(super) fn is_plain(&self, shelf: &Shelf) -> bool {
        let silicate = shelf.all().find(|product| product.role == Role::Silicate);
        let is_silicate = |id: &str| silicate.is_some_and(|product| product.pour.id == id);
        self.began_plain
            && self.since_reading.iter().all(|done| match done {
                Done::Pour { id, .. } => is_silicate(id),
                Done::TopUp(_) | Done::Drain(_) => true,
            })
    }

    /// A reading settles what was done before it.
    fn read(&mut self, reading: &Reading, unit: &Unit, until_s: i64) {
        let at_s = std::mem::take(&mut self.since_at_s);
        for (done, at_s) in std::mem::take(&mut self.since_reading).into_iter().zip(at_s) {
            match done {
                Done::Pour { id, amount } => {
                    self.pours.push((id, amount, until_s.saturating_sub(at_s).max(0) as f64 / 3600.0));
                }
                // What was poured leaves with the solution. The level at the time isn't kept; today's stands for it.
                Done::Drain(solution_l) => {
                    let kept = (1.0 - solution_l / unit.level_l).clamp(0.0, 1.0);
                    self.pours.iter_mut().for_each(|(_, amount, _)| *amount *= kept);
                    self.topped_l *= kept;
                }
                Done::TopUp(water_l) => self.topped_l += water_l,
            }
        }
        self.reading = Some(*reading);
    }

    /// Hours between the last pour that moves pH and the reading, where it came within a day into water that had stood.
    pub(super) fn recent_h(&self) -> Option<f64> {
        let stood = self.filled_h_ago.is_none_or(|hours| hours >= FRESH_H);
        let last = self.pours.iter().map(|(_, _, hours)| *hours).fold(f64::INFINITY, f64::min);
        (stood && last < FRESH_H).then_some(last)
    }

    /// The unit's level is of now; what was added or taken out since the reading is undone.
    pub(super) fn level_at_reading_l(&self, unit: &Unit) -> f64 {
        let since: f64 = self
            .since_reading
            .iter()
            .map(|done| match done {
                Done::Pour { .. } => 0.0,
                Done::TopUp(litres) => *litres,
                Done::Drain(litres) => -litres,
            })
            .sum();
        (unit.level_l - since).min(unit.tank_l).max(0.02 * unit.tank_l).max(1e-3)
    }

    pub(super) fn poured(&self, id: &str) -> f64 {
        self.pours.iter().filter(|(product, ..)| product == id).map(|(_, amount, _)| amount).sum()
    }

    /// Acids, bases and supplements logged up to the reading. Feed is left to the EC. What nobody knows the strength of, now that
    /// plans are made with something else, is told of in a note: what it brought stays unknown.
    pub(super) fn added(
        &self,
        shelf: &Shelf,
        (unit, catalog): (&Unit, &Catalog),
        water_kg: f64,
        notes: &mut Vec<String>,
    ) -> Vec<Added> {
        let recent = self.recent_h().is_some();
        let mut added = Vec::new();
        let known_as = |id: &str| unit.shelf_item(id).and_then(|item| catalog.product_of(item));
        for (id, amount, hours) in &self.pours {
            let known = shelf.all().chain(shelf.past()).find(|p| p.parts.iter().any(|part| part.pour.id == *id));
            let note = match known {
                Some(product) if product.role != Role::Feed => {
                    added.push(Added {
                        role: product.role,
                        product_id: product.pour.id.clone(),
                        per_kg: amount / water_kg,
                        recent: recent && *hours < FRESH_H,
                    });
                    continue;
                }
                Some(_) => continue,
                None => not_counted(id, known_as(id), shelf.feed()),
            };
            if !notes.contains(&note) {
                notes.push(note);
            }
        }
        added
    }

    /// How a gap between the pH expected and the pH read may close: by acid or base nobody logged, and by carbon dioxide.
    ///
    /// Source: `profiles/priors.ron`.
    ///
    /// What acids, bases and top-ups moved, in meq/L, is known to a quarter at best: plants and air had their share.
    pub(super) fn closing(&self, unit: &Unit, poured_meq_l: f64, topped_meq_l: f64) -> Closing {
        let priors = Priors::shipped();
        let standing = priors.standing_log10_pco2.value;
        let fresh = priors.fresh_log10_pco2.value;
        let unknown = priors.unknown_log10_pco2.value;
        let fresh_remainder = priors.fresh_remainder_meq_l.value;
        let moved = 0.25 * poured_meq_l.hypot(topped_meq_l);
        // Acid that went in lately made carbon dioxide of what was bicarbonate, and it leaves at the unit's own rate.
        let kept_share = self.recent_h().map_or(0.0, |hours| (-unit.kind.co2_rate_per_h().median * hours).exp());
        match self.filled_h_ago {
            Some(hours) if hours < FRESH_H => Closing {
                remainder_sd_meq_l: fresh_remainder,
                log10_pco2_mean: fresh.mean,
                kept_share: (-unit.kind.co2_rate_per_h().median * hours).exp(),
                log10_pco2_sd: fresh.sd,
            },
            Some(hours) => Closing {
                remainder_sd_meq_l: (fresh_remainder
                    + priors.drift_meq_l.value * (hours / 24.0).sqrt() * if unit.plants_in { 1.5 } else { 1.0 })
                .hypot(moved),
                log10_pco2_mean: standing.mean,
                kept_share,
                log10_pco2_sd: standing.sd,
            },
            // Nobody logged how this water came about: acid may be in it, plants may have changed it.
            None => Closing {
                remainder_sd_meq_l: f64::hypot(
                    if unit.plants_in {
                        priors.unknown_remainder_planted_meq_l.value
                    } else {
                        priors.unknown_remainder_meq_l.value
                    },
                    moved,
                ),
                log10_pco2_mean: unknown.mean,
                kept_share,
                log10_pco2_sd: unknown.sd,
            },
        }
    }
}

/// What is said of a pour that is not counted as what it was.
fn not_counted(id: &str, product: Option<&Product>, feed: Option<&ProductBelief>) -> String {
    let name = product.map_or_else(|| format!("“{id}”"), |product| product.name.clone());
    match feed.filter(|_| product.is_some_and(|product| product.role == Role::Feed)) {
        Some(feed) => format!(
            "{name} was poured, and plans are made with {}: EC shows how much of it there is, and what it brings is taken to be the same",
            feed.pour.name
        ),
        None => format!(
            "{name} was poured, which plans are not made with, and how strong it is is not known: what it brought is not counted"
        ),
    }
}
