//! What can't be done, and what is doubtful about the facts: each in words, with the place where it can be mended.

use crate::dose::Landing;
use crate::garden::PhInstrument;

use super::Planner;
use super::step::{Action, Caution, Place, Plan};

impl Planner {
    /// What is to be told of the water and the plan.
    pub(super) fn warnings(&self, landing: &Landing) -> Vec<Caution> {
        let scale = self.ec_scale();
        let mut warnings: Vec<Caution> =
            landing.warnings.iter().map(|warning| Caution { words: warning.words_on(scale), place: None }).collect();
        let state = &self.belief.state;
        let say = |words: String, place: Place| Caution { words, place: Some(place) };
        warnings.extend(
            self.common.remarks.iter().map(|remark| Caution { words: remark.words.clone(), place: Some(Place::Crops) }),
        );
        if state.thinner_than_source && (self.is_too_thin() || !self.knowledge.is_acidified()) {
            warnings.push(say(
                format!(
                    "EC in the tank reads below that of your source water ({}): check the meter, its unit and the source water's EC",
                    scale.told(self.knowledge.source_ec_ms_cm, 2)
                ),
                Place::SourceEc,
            ));
        }
        let thin_tank = self
            .knowledge
            .reading
            .is_some_and(|r| r.ph.is_some() && r.ec_ms_cm.is_some_and(|ec| ec < crate::dose::NEARLY_PURE_MS_CM));
        if state.ph_left_aside || thin_tank {
            warnings.push(Caution {
                words: format!(
                    "A pH read in water of less than {} says next to nothing, so it was left aside",
                    scale.told(crate::dose::NEARLY_PURE_MS_CM, 1)
                ),
                place: None,
            });
        }
        let (source, top) = (self.knowledge.source_ec_ms_cm, self.zone_ec_ms_cm.1);
        if source > top {
            warnings.push(say(
                format!(
                    "Your source water ({}) is saltier than the zone's upper edge ({}): no feed fits in, and no dilution with it can help",
                    scale.told(source, 2),
                    scale.figure(top, 2)
                ),
                Place::SourceWater,
            ));
        } else if source > 0.5 * top {
            warnings.push(say(
                format!(
                    "Your source water takes {:.0} % of the EC band: little room is left for feed",
                    100.0 * source / top
                ),
                Place::SourceWater,
            ));
        }
        warnings.extend(self.narrow_zone());
        warnings.extend(self.knowledge.notes.iter().cloned().map(|words| Caution { words, place: None }));
        warnings
    }

    /// A zone narrower than the meter's error on both sides: no reading can say that the water is inside.
    fn narrow_zone(&self) -> Option<Caution> {
        let meter = &self.knowledge.meter;
        let (low, high) = self.zone.ph;
        let sd = meter.ph_sd();
        // Where crops share next to nothing, that is said already.
        if high - low >= 2.0 * sd || self.common.remarks.iter().any(|remark| remark.words.contains("narrower")) {
            return None;
        }
        let better = match meter.ph_instrument {
            PhInstrument::Strips | PhInstrument::Drops => "A pH pen would tell",
            PhInstrument::Pen | PhInstrument::GoodMeter => "A wider band would do",
        };
        let words = format!(
            "The zone, pH {}, is narrower than {} can tell (about {sd:.1} either way): the plan gets the water near it, but no reading can say that it is inside, so do not chase it. {better}",
            super::edges((low, high)),
            meter.ph_instrument.words()
        );
        Some(Caution { words, place: Some(Place::Meter) })
    }

    /// What will be needed soon and is not on the shelf, though today nothing is to be poured.
    pub(super) fn missing_soon(&self, plan: &Plan) -> Option<Caution> {
        let now = plan.now()?;
        let settled = now.expect?.settled_ph;
        let (low, high) = self.zone.ph;
        if !matches!(now.action, Action::LeaveIt) {
            return None;
        }
        let (way, needed, edge) = if self.knowledge.ph_down.is_none() && settled.1 > high {
            ("creep above", "lowers", high)
        } else if self.knowledge.ph_up.is_none() && settled.1 < low {
            ("fall below", "raises", low)
        } else {
            return None;
        };
        let words = format!("pH will likely {way} {edge:.1} by itself, and nothing on your shelf {needed} it");
        Some(Caution { words, place: Some(Place::Shelf) })
    }
}
