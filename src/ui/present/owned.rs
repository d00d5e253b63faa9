//! The page of the person's units: what is said of each without working anything out.

use super::log::reading_words;
use super::readers::capital;
use super::start::kind_view;
use super::today::figure;
use crate::garden::{Catalog, ExampleUnit, LogEntry, Reading, Unit, UnitKind};
use crate::store::Settings;
use crate::ui::view::{CardView, KindPicture};
use crate::units::EcScale;

/// A unit that was read no later than this is up to date, s: readings of two days are explained together. Source:
/// `learn/course.rs`.
const LOOK_AGAIN_S: i64 = 2 * 86_400;

/// What a card needs of a unit: a log of years is not kept for it.
#[derive(Clone, PartialEq, Debug)]
pub struct Gist {
    /// Its name.
    pub name: String,
    kind: UnitKind,
    tank_l: f64,
    level_l: f64,
    crops: Vec<String>,
    ec_scale: EcScale,
    last: Option<Reading>,
    /// When something went in or out since.
    changed_at_s: Option<i64>,
}

impl Gist {
    /// Of a unit.
    pub fn of(unit: &Unit, catalog: &Catalog) -> Self {
        let last = unit.last_reading().copied();
        let change = |entry: &LogEntry| match entry {
            LogEntry::Pour(_) | LogEntry::TopUp { .. } | LogEntry::Drain { .. } | LogEntry::Refill { .. } => {
                Some(entry.at_s())
            }
            LogEntry::Reading(_) | LogEntry::JarTest(_) | LogEntry::Note { .. } => None,
        };
        // What stands behind the reading in the log came after it, whatever their minutes say.
        let read = unit.log.iter().rposition(|entry| matches!(entry, LogEntry::Reading(_)));
        let since = unit.log.iter().skip(read.map_or(0, |place| place + 1));
        let name = |id: &str| catalog.crop_of(unit, id).map_or_else(|| id.to_owned(), |crop| crop.name.clone());
        let mut crops: Vec<String> = Vec::new();
        for grown in unit.growing() {
            let name = name(&grown.crop_id);
            if !crops.contains(&name) {
                crops.push(name);
            }
        }
        Self {
            name: unit.name.clone(),
            kind: unit.kind,
            tank_l: unit.tank_l,
            level_l: unit.level_l,
            crops,
            ec_scale: unit.meter.ec_scale,
            last,
            changed_at_s: since.filter_map(change).max(),
        }
    }

    /// The card's picture and words at `now_s`.
    pub fn card(&self, settings: &Settings, now_s: i64) -> CardView {
        let (label, picture) = kind_words(self.kind);
        let tank = settings.tank_unit;
        let [level, size] = [self.level_l, self.tank_l].map(|litres| figure(tank.from_litres(litres)));
        let reading = self.last.as_ref().map(|reading| {
            format!("{} · {}", reading_words(reading, self.ec_scale), age_words(now_s.saturating_sub(reading.at_s)))
        });
        CardView {
            name: self.name.clone(),
            picture: Some(picture),
            line: format!("{label} · {level} of {size} {}", tank.symbol()),
            crops: capital(&self.crops.join(", ").to_lowercase()),
            reading: reading.unwrap_or_else(|| "Not read yet".to_owned()),
            due: self.due(now_s),
            ..CardView::default()
        }
    }

    /// What is due, as far as the log says it by itself.
    fn due(&self, now_s: i64) -> Option<String> {
        if let Some(at_s) = self.changed_at_s {
            let waited_s = now_s.saturating_sub(at_s);
            let left_s = (60 * i64::from(self.kind.mixing_wait_min())).saturating_sub(waited_s);
            return Some(if waited_s >= 0 && left_s > 0 {
                format!("Read it in {} min", left_s.saturating_add(59) / 60)
            } else {
                format!("Changed {}: read it, or go on as its plan says", age_words(waited_s))
            });
        }
        match &self.last {
            None => Some("A first reading is due".to_owned()),
            Some(last) if now_s.saturating_sub(last.at_s) > LOOK_AGAIN_S => Some("A look is due".to_owned()),
            Some(_) => None,
        }
    }
}

/// The card of an example.
pub fn example_card(example: &ExampleUnit) -> CardView {
    let (label, picture) = kind_words(example.unit.kind);
    let about = example.about.strip_prefix("Example: ").unwrap_or(&example.about);
    CardView {
        name: example.unit.name.clone(),
        picture: Some(picture),
        line: format!("An invented example · {}", label.to_lowercase()),
        crops: capital(about),
        ..CardView::default()
    }
}

/// Label and picture of a kind, as on the first page.
fn kind_words(kind: UnitKind) -> (String, KindPicture) {
    let view = kind_view(kind);
    (view.choice.label, view.picture)
}

/// How long ago, in words.
pub fn age_words(seconds: i64) -> String {
    let several = |n: i64, one: &str, many: &str| if n == 1 { one.to_owned() } else { format!("{n} {many}") };
    match seconds {
        ..60 => "just now".to_owned(),
        60..3600 => format!("{} min ago", seconds / 60),
        3600..172_800 => format!("{} h ago", seconds / 3600),
        _ => format!("{} ago", several(seconds / 86_400, "1 day", "days")),
    }
}

/// How many units there are, in words.
pub fn units_count(count: usize) -> String {
    match count {
        0 => "None yet".to_owned(),
        1 => "1 unit".to_owned(),
        n => format!("{n} units"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn gist(edit: impl FnOnce(&mut Unit)) -> Gist {
        let catalog = Catalog::shipped().expect("the shipped profiles");
        let mut unit = catalog.examples[0].unit_at(1_000_000);
        edit(&mut unit);
        Gist::of(&unit, &catalog)
    }

    #[test]
    fn what_is_due_follows_from_the_log() {
        let read = |at_s| LogEntry::Reading(Reading { at_s, ph: Some(6.1), ..Reading::default() });
        let due = |log: Vec<LogEntry>, now_s| gist(|unit| unit.log = log).due(now_s);
        assert_eq!(due(vec![], 0).as_deref(), Some("A first reading is due"));
        assert_eq!(due(vec![read(0)], 86_400), None);
        assert_eq!(due(vec![read(0)], 3 * 86_400).as_deref(), Some("A look is due"));
        let topped = || vec![read(0), LogEntry::TopUp { at_s: 600, water_l: 2.0, promise: None }];
        // A recirculating unit mixes for half an hour.
        assert_eq!(due(topped(), 660).as_deref(), Some("Read it in 29 min"));
        assert_eq!(due(topped(), 600 + 7200).as_deref(), Some("Changed 2 h ago: read it, or go on as its plan says"));
        let noted = vec![read(0), LogEntry::Note { at_s: 60, text: "pale".to_owned() }];
        assert_eq!(due(noted, 120), None);
    }

    #[test]
    fn a_card_says_what_the_unit_is() {
        let card = gist(|_| {}).card(&Settings::default(), 1_000_000);
        assert_eq!((card.name.as_str(), card.picture), ("North sill trough", Some(KindPicture::Recirculating)));
        assert!(card.line.starts_with("Recirculating · ") && card.line.ends_with(" L"), "{}", card.line);
        assert!(card.reading.starts_with("pH ") && card.reading.ends_with(" ago"), "{}", card.reading);
    }

    #[test]
    fn ages_are_said_in_the_largest_measure_that_tells() {
        let said: Vec<String> = [-5, 59, 60, 3599, 3600, 172_799, 172_800, i64::MAX].map(age_words).to_vec();
        let days = format!("{} days ago", i64::MAX / 86_400);
        assert_eq!(
            said,
            ["just now", "just now", "1 min ago", "59 min ago", "1 h ago", "47 h ago", "2 days ago", &days]
        );
    }
}
