//! Whether there is enough feed in the water: its share of EC, and the nitrogen that it leaves room for.
//!
//! EC counts every salt alike, so a hard or salty source water may fill the crop's band and leave the plants hungry at a number
//! that looks well. Nitrogen stands for the whole feed, for every label tells it.
//!
//! **The floor**, ours: half of the nitrogen that a published recipe for the crop's group brings, less in proportion where the
//! crop's EC zone lies below that recipe's EC. No source was found that gives one.

use crate::chem::Component;
use crate::garden::{Catalog, CommonZone, CropGroup, Unit};
use crate::learn::quantile;
use crate::units::EcScale;

use super::Planner;
use super::forecast::{Forecast, Looked, Most};
use super::planner::water_of;
use super::step::{Action, Caution, Place, Plan};

/// A recipe: nitrogen, mg/L, and the EC it is used at, mS/cm.
struct Recipe {
    nitrogen_mg_l: f64,
    ec_ms_cm: f64,
}

/// Source: 150 mg/L, modified Sonneveld solution for leafy greens, Ronzoni & Mattson 2020, "A Guide to Home Hydroponics for
/// Leafy Greens" (Cornell); lettuce at 1.5 mS/cm, Kratky 2009, Acta Hort. 843:65.
const LEAFY: Recipe = Recipe { nitrogen_mg_l: 150.0, ec_ms_cm: 1.5 };
/// Source: 189 to 225 mg/L for tomato, University of Arizona, as quoted by another document; 2.4 mS/cm for a full-strength
/// tomato solution, Kubota (University of Arizona, CEAC), "Hydroponic Strawberry".
const FRUITING: Recipe = Recipe { nitrogen_mg_l: 189.0, ec_ms_cm: 2.4 };
/// The floor as a share of the recipe's nitrogen. Ours.
const FLOOR: f64 = 0.5;
/// Grams in a mole of nitrogen: IUPAC 2021.
const NITROGEN_G_MOL: f64 = 14.007;

/// What the feed brings to the tank, after the plan's pours.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fed {
    /// EC of the tank, mS/cm, middle of the belief.
    pub ec_ms_cm: f64,
    /// How much of it the source water does not bring, mS/cm.
    pub by_feed_ms_cm: f64,
    /// Nitrogen in the tank, mg/L N: 1 in 10 below, middle, 1 in 10 above.
    pub nitrogen_mg_l: (f64, f64, f64),
    /// Nitrogen below which plants may starve, mg/L N.
    pub floor_mg_l: f64,
    /// The most nitrogen that fits below the zone's upper EC edge, mg/L N, where that is below the floor.
    pub most_mg_l: Option<f64>,
    /// The scale that it is told on.
    pub scale: EcScale,
}

impl Fed {
    /// In one line, such as "Feed makes 1.1 of EC 1.5, nitrogen 90–130 mg/L".
    pub fn words(&self) -> String {
        let (low, _, high) = self.nitrogen_mg_l;
        let (low, high) = (tens(low), tens(high));
        let range = if low == high { low } else { format!("{low}–{high}") };
        let (by_feed, ec) = (self.scale.figure(self.by_feed_ms_cm, 1), self.scale.figure(self.ec_ms_cm, 1));
        format!("Feed makes {by_feed} of EC {ec}{}, nitrogen {range} mg/L", self.scale.tail())
    }
}

/// Nitrogen is not known better than to ten, or five where it is little.
fn tens(mg_l: f64) -> String {
    let grain = if mg_l < 50.0 { 5.0 } else { 10.0 };
    format!("{:.0}", (mg_l / grain).round() * grain)
}

/// Nitrogen below which what grows here may starve, mg/L N: that of the hungriest crop.
pub(super) fn nitrogen_floor_mg_l(unit: &Unit, catalog: &Catalog, common: &CommonZone) -> f64 {
    let floors = unit.growing().into_iter().zip(&common.crops).filter_map(|(grown, crop)| {
        let recipe = match catalog.crop_of(unit, &grown.crop_id)?.group {
            CropGroup::Leafy | CropGroup::Herb | CropGroup::Root | CropGroup::Flower => LEAFY,
            // Ours: broccoli and cabbage are run at the EC of fruiting crops.
            CropGroup::Fruiting | CropGroup::Brassica => FRUITING,
        };
        let (low, high) = crop.zone.ec_ms_cm;
        Some(FLOOR * recipe.nitrogen_mg_l * (f64::midpoint(low, high) / recipe.ec_ms_cm).min(1.0))
    });
    floors.fold(0.0, f64::max)
}

impl Planner {
    /// The stories after all that a plan does to the water.
    pub(super) fn through(&self, plan: &Plan) -> Forecast<'_> {
        plan.steps.iter().fold(self.after_unread_pours(), |forecast, step| match &step.action {
            Action::Pour(measured) => match (self.product(&measured.id), self.part(&measured.id)) {
                (Some(product), Some(pour)) => forecast.after(product, pour, measured.amount),
                _ => forecast,
            },
            action => self.done(forecast, &water_of(action)),
        })
    }

    /// What the feed brings; `None` where nobody can say, for want of a feed or of an EC.
    pub(super) fn fed(&self, after: &Forecast<'_>) -> Option<Fed> {
        let k = &self.knowledge;
        let feed = k.feed.as_ref()?;
        if k.seen.ec_ms_cm.is_none() && !k.only_source_water {
            return None;
        }
        let ec_ms_cm = after.ec(&k.showing, 0.5);
        let mut nitrogen = nitrogen_mg_l(after);
        let [low, middle, high] = [0.1, 0.5, 0.9].map(|p| quantile(&mut nitrogen, p));
        let floor_mg_l = self.nitrogen_floor_mg_l;
        let most_mg_l = (middle < floor_mg_l).then(|| {
            let edge = self.zone_ec_ms_cm.1;
            let most = Most::Generous(self.most_of(feed));
            let mut room = after.demands_of(&k.showing, (Looked::Ec, 1.0, edge), most, feed);
            let filled = after.after(feed, &feed.pour, quantile(&mut room, 0.5));
            quantile(&mut nitrogen_mg_l(&filled), 0.5)
        });
        Some(Fed {
            ec_ms_cm,
            by_feed_ms_cm: (ec_ms_cm - k.source_ec_ms_cm).max(0.0),
            nitrogen_mg_l: (low, middle, high),
            floor_mg_l,
            most_mg_l: most_mg_l.filter(|most| *most < floor_mg_l),
            scale: self.ec_scale(),
        })
    }

    /// A warning of plants that starve at an EC that looks well.
    pub(super) fn hunger(&self, fed: &Fed) -> Option<Caution> {
        let most = fed.most_mg_l?;
        let words = format!(
            "Only about {} mg/L nitrogen fits below EC {}{}, where at least {} is wanted: plants may starve. Softer water, such as rain or reverse osmosis, or a blend with it leaves room for feed",
            tens(most),
            self.ec_scale().edge(self.zone_ec_ms_cm.1, 1),
            self.ec_scale().tail(),
            tens(fed.floor_mg_l)
        );
        Some(Caution { words, place: Some(Place::SourceWater) })
    }
}

/// Nitrogen in each story, mg/kg, which is mg/L within a hundredth.
fn nitrogen_mg_l(forecast: &Forecast<'_>) -> Vec<f64> {
    let of = |totals: &crate::chem::Totals| (totals[Component::No3] + totals[Component::Nh4]) * NITROGEN_G_MOL * 1e3;
    forecast.tanks.iter().map(|tank| of(&tank.totals)).collect()
}
