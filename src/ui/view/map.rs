//! What the map shows.

/// A point of the map: pH across, EC (mS/cm at 25 °C) up.
#[derive(Clone, Copy, PartialEq, Debug)]
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
#[derive(Clone, PartialEq, Debug)]
pub struct ZoneView {
    /// Its name on the map, such as "lettuce, leaf".
    pub name: String,
    /// Lower and upper pH.
    pub ph: (f64, f64),
    /// Lower and upper EC, mS/cm at 25 °C.
    pub ec_ms_cm: (f64, f64),
}

/// One pour on the map.
#[derive(Clone, PartialEq, Debug)]
pub struct ArrowView {
    /// Number in the badge, the same as in the list.
    pub number: u32,
    /// What is poured, for the text twin, such as "5.0 mL of pH-lowering liquid".
    pub what: String,
    /// The way the water takes, start first.
    pub path: Vec<MapPoint>,
    /// Whether it is in the water already.
    pub poured: bool,
}

/// An earlier reading.
#[derive(Clone, PartialEq, Debug)]
pub struct EarlierView {
    /// When, such as "08:10".
    pub label: String,
    /// Where.
    pub at: MapPoint,
}

/// Where the planned pours take the water.
#[derive(Clone, PartialEq, Debug)]
pub struct LandingView {
    /// The middle of the belief.
    pub at: MapPoint,
    /// Likely range in words, such as "pH 5.9–6.5 likely".
    pub range: String,
    /// Outline that holds 80 in 100.
    pub cloud_80: Vec<MapPoint>,
    /// Outline that holds 50 in 100.
    pub cloud_50: Vec<MapPoint>,
    /// Where it settles once carbon dioxide has come to rest.
    pub settled: Option<SettledView>,
}

/// Where the water settles.
#[derive(Clone, PartialEq, Debug)]
pub struct SettledView {
    /// The point.
    pub at: MapPoint,
    /// In words, such as "settles near 6.4 by tomorrow".
    pub words: String,
    /// The way there, from the landing.
    pub path: Vec<MapPoint>,
}

/// The map.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct MapView {
    /// Zone of the crop; none before a crop is known.
    pub zone: Option<ZoneView>,
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
}
