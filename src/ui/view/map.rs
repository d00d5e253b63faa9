//! What the map shows.

use crate::ui::command::Handle;
use crate::units::EcScale;

/// A point of the map: pH across, EC (mS/cm at 25 °C) up.
#[derive(Clone, Copy, PartialEq, Debug, Default)]
pub struct MapPoint {
    /// pH.
    pub ph: f64,
    /// EC in mS/cm at 25 °C.
    pub ec_ms_cm: f64,
}

impl MapPoint {
    /// A point from pH and EC (mS/cm at 25 °C).
    pub fn new(ph: f64, ec_ms_cm: f64) -> Self {
        Self { ph, ec_ms_cm }
    }

    /// Whether both numbers are finite: others are not drawn.
    pub fn is_finite(self) -> bool {
        self.ph.is_finite() && self.ec_ms_cm.is_finite()
    }
}

/// A crop's zone.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct ZoneView {
    /// Its name on the map, such as "lettuce, leaf".
    pub name: String,
    /// Lower and upper pH.
    pub ph: (f64, f64),
    /// Lower and upper EC, mS/cm at 25 °C.
    pub ec_ms_cm: (f64, f64),
    /// How the zone follows from its sources, and what they disagree on; shown when its name is pressed.
    pub sources: Vec<String>,
}

/// One pour on the map.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct ArrowView {
    /// Number in the badge, the same as in the list.
    pub number: u32,
    /// What is poured, for the text twin, such as "5.0 mL of pH-lowering liquid".
    pub what: String,
    /// The way the water takes, start first.
    pub path: Vec<MapPoint>,
    /// Whether it is in the water already.
    pub poured: bool,
    /// What it can be taken hold of by; none for what is in the water.
    pub handle: Option<HandleView>,
}

/// The handle of a pour.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct HandleView {
    /// Key of the pour.
    pub key: u32,
    /// The curve it moves along, from nothing poured to the most, the other pours as they are.
    pub rail: Vec<MapPoint>,
    /// Stretches of the rail, as places in it from and to, that should not be entered, and why.
    pub rough: Vec<(usize, usize, String)>,
    /// What a screen reader says of it, such as "pour 2, 5.0 millilitres, landing pH 6.2, EC 1.5, inside the zone".
    pub said: String,
    /// Whether it stays as it is while the landing is dragged.
    pub locked: bool,
    /// mL or g.
    pub amount: f64,
    /// Where its rail ends, mL or g.
    pub most: f64,
    /// What one press of a key moves it by, mL or g.
    pub step: f64,
}

/// An earlier reading.
#[derive(Clone, PartialEq, Debug)]
pub struct EarlierView {
    /// When, such as "08:10".
    pub label: String,
    /// Where.
    pub at: MapPoint,
    /// How much it still counts: 1 is the newest, nought has faded away.
    pub strength: f32,
}

/// Where the planned pours take the water.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct LandingView {
    /// The middle of the belief.
    pub at: MapPoint,
    /// What the next reading should show, such as "next reading pH 5.9–6.5".
    pub range: String,
    /// Outline that holds 80 in 100.
    pub cloud_80: Vec<MapPoint>,
    /// Outline that holds 50 in 100.
    pub cloud_50: Vec<MapPoint>,
    /// Where it settles once carbon dioxide has come to rest.
    pub settled: Option<SettledView>,
    /// The water at the moment that is looked at, when that is not now: the clouds are then of it.
    pub later: Option<LaterView>,
    /// Whether it can be dragged: some pour is free to follow.
    pub can_move: bool,
    /// What keeps it from where the hand wants it, such as "no more than 12 mL of part A fits under the rim".
    pub held_by: Option<String>,
    /// The chance to cross the edge, such as "1 in 30 to fall below 5.5".
    pub risk: String,
    /// Whether that chance is one to be warned of.
    pub is_risky: bool,
    /// What a screen reader says of it.
    pub said: String,
}

/// The water some time after the pours.
#[derive(Clone, PartialEq, Debug)]
pub struct LaterView {
    /// Where it is likely to be.
    pub at: MapPoint,
    /// In words, such as "after 4 h 6.5 (6.2–6.9)".
    pub words: String,
}

/// The list of pours that is not in hand.
#[derive(Clone, PartialEq, Debug)]
pub struct OtherView {
    /// Its letter.
    pub letter: String,
    /// The ways its pours take, one after the other.
    pub path: Vec<MapPoint>,
    /// Where it lands.
    pub at: MapPoint,
    /// Outline that holds 80 in 100.
    pub cloud_80: Vec<MapPoint>,
    /// In words, such as "B lands at 6.1 · 1.52".
    pub words: String,
}

/// On which side of its edge a limit lies.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum LimitSide {
    /// Less EC than the edge.
    Below,
    /// More EC than the edge.
    Above,
    /// Lower pH than the edge.
    Left,
    /// Higher pH than the edge.
    Right,
}

/// A part of the map that one can't or shouldn't enter.
#[derive(Clone, PartialEq, Debug)]
pub struct LimitView {
    /// Where it begins: for `Below` and `Above` by rising pH, for `Left` and `Right` by rising EC. It goes on straight
    /// beyond its ends.
    pub edge: Vec<MapPoint>,
    /// On which side.
    pub side: LimitSide,
    /// Why, in a few words for the map, such as "may turn cloudy: calcium phosphate".
    pub words: String,
    /// Whether it can't be entered at all, or only shouldn't.
    pub is_hard: bool,
}

/// The moments at which the water can be looked at.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct LookView {
    /// In words, in order, the first is now: "now", "15 min", "1 h", "1 day".
    pub stops: Vec<String>,
    /// Which one is shown.
    pub at: usize,
}

/// Where the water settles.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct SettledView {
    /// The point.
    pub at: MapPoint,
    /// pH, 1 in 10 below and above.
    pub ph: (f64, f64),
    /// In words, such as "settles near 6.4 by tomorrow".
    pub words: String,
    /// The way there, from the landing.
    pub path: Vec<MapPoint>,
}

/// The map.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct MapView {
    /// Zones of the crops, the first is the one the unit is named for; none before a crop is known.
    pub zones: Vec<ZoneView>,
    /// What several crops have in common, which the plan aims at; none for one crop, or when they have nothing in common.
    pub shared: Option<ZoneView>,
    /// The latest reading.
    pub now: Option<MapPoint>,
    /// The latest reading in words, such as "6.9 · 1.5".
    pub now_text: String,
    /// What stands on the map while there is no reading.
    pub hint: String,
    /// Earlier readings, oldest first.
    pub earlier: Vec<EarlierView>,
    /// Pours, in order.
    pub arrows: Vec<ArrowView>,
    /// Where they take the water.
    pub landing: Option<LandingView>,
    /// The landing in figures, such as "6.2 · 1.5".
    pub landing_text: String,
    /// Letter of the list in hand, when there are two.
    pub letter: Option<String>,
    /// The list that is not in hand.
    pub other: Option<OtherView>,
    /// What one can't or shouldn't enter.
    pub limits: Vec<LimitView>,
    /// Moments to look at; empty while there is nothing to look ahead to.
    pub look: LookView,
    /// The handle that is being dragged.
    pub held: Option<Handle>,
    /// The scale that EC is told on; every point is in mS/cm.
    pub scale: EcScale,
}

impl MapView {
    /// The zone that the plan aims at: what the crops have in common, or the first crop's.
    pub fn zone(&self) -> Option<&ZoneView> {
        self.shared.as_ref().or_else(|| self.zones.first())
    }
}
