//! What a meter shows of a solution: the one place where the model meets the display.

use crate::chem::{Carbon, ChemError, Medium, Mobilities, Speciation, Totals, compensated};
use crate::garden::Compensation;

/// A place on the map.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Point {
    /// pH.
    pub ph: f64,
    /// EC as the meter shows it, mS/cm.
    pub ec_ms_cm: f64,
}

/// How solutions are seen: at which temperature, and by a meter of which rule.
#[derive(Clone, Debug)]
pub struct Showing {
    medium: Medium,
    compensation: Compensation,
}

impl Showing {
    /// A view of water at a temperature through a meter with this compensation.
    ///
    /// # Errors
    /// [`ChemError::Temperature`] outside 0–40 °C.
    pub fn new(temperature_c: f64, compensation: Compensation) -> Result<Self, ChemError> {
        Ok(Self { medium: Medium::at(temperature_c)?, compensation })
    }

    /// The constants at the water's temperature.
    pub fn medium(&self) -> &Medium {
        &self.medium
    }

    /// Where a solved solution stands on the map.
    ///
    /// # Errors
    /// Those of a second solve at 25 °C, for a meter that compensates ideally.
    pub fn point(&self, solved: &Speciation) -> Result<Point, ChemError> {
        let at_t = solved.conductivity_us_cm(&self.medium, Mobilities::Full) / 1e3;
        let temperature_c = self.medium.temperature_c();
        let ec_ms_cm = match self.compensation {
            Compensation::LinearPercent(percent) => compensated(at_t, temperature_c, percent / 100.0),
            Compensation::None => at_t,
            Compensation::Ideal => {
                let standard = Medium::standard();
                standard.solve(solved.totals(), Carbon::Kept)?.conductivity_us_cm(standard, Mobilities::Full) / 1e3
            }
        };
        Ok(Point { ph: solved.ph(), ec_ms_cm })
    }

    /// Where totals stand on the map, carbon dioxide kept.
    ///
    /// # Errors
    /// Those of [`Medium::solve`].
    pub fn of(&self, totals: &Totals) -> Result<Point, ChemError> {
        self.point(&self.medium.solve(totals, Carbon::Kept)?)
    }
}
