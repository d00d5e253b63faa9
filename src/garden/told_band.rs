//! How bands of pH and EC are put into a person's words: EC on the scale that their meter shows.

use super::crop::{Band, short};
use super::zone::Quantity;
use crate::units::EcScale;

/// How values of one quantity are told.
#[derive(Clone, Copy, Debug)]
pub(super) struct Told {
    quantity: Quantity,
    scale: EcScale,
}

impl Told {
    /// EC on a scale.
    pub(super) const fn ec(scale: EcScale) -> Self {
        Self::of(Quantity::Ec, scale)
    }

    /// A quantity, EC on a scale.
    pub(super) const fn of(quantity: Quantity, scale: EcScale) -> Self {
        Self { quantity, scale }
    }

    /// Of what.
    pub(super) const fn quantity(self) -> Quantity {
        self.quantity
    }

    /// What it is called.
    pub(super) const fn name(self) -> &'static str {
        match self.quantity {
            Quantity::Ph => "pH",
            Quantity::Ec => "EC",
        }
    }

    /// The unit as it stands behind a figure; nothing for pH.
    pub(super) fn unit(self) -> String {
        match self.quantity {
            Quantity::Ph => String::new(),
            Quantity::Ec => format!(" {}", self.scale.symbol()),
        }
    }

    /// The unit behind figures that stand without one where they are pH or mS/cm, as the trade tells them: on any other scale
    /// a bare figure would be another EC.
    pub(super) fn unit_but_ms_cm(self) -> String {
        match self.quantity {
            Quantity::Ph => String::new(),
            Quantity::Ec => self.scale.tail(),
        }
    }

    /// The scale where EC is not in mS/cm.
    fn other_scale(self) -> Option<EcScale> {
        Some(self.scale).filter(|scale| self.quantity == Quantity::Ec && *scale != EcScale::MilliSiemens)
    }

    /// A figure with so many decimals as pH or mS/cm; on other scales with those that are as fine.
    pub(super) fn figure(self, value: f64, decimals: usize) -> String {
        match self.other_scale() {
            None => format!("{value:.decimals$}"),
            Some(scale @ EcScale::ConductivityFactor) => {
                format!("{:.places$}", scale.from_ms_cm(value), places = decimals.saturating_sub(1))
            }
            Some(scale) => format!("{:.0}", scale.from_ms_cm(value)),
        }
    }

    /// A figure without needless decimals.
    pub(super) fn short(self, value: f64) -> String {
        if self.other_scale().is_some() { self.figure(value, 2) } else { short(value) }
    }

    /// Low and high with something between.
    pub(super) fn span(self, band: (f64, f64), between: &str) -> String {
        format!("{}{between}{}", self.short(band.0), self.short(band.1))
    }

    /// Low and high with so many decimals, as [`Self::figure`] has them; one figure for a point.
    pub(super) fn span_to(self, band: (f64, f64), decimals: usize) -> String {
        if band.1 - band.0 < 1e-9 {
            self.figure(band.0, decimals)
        } else {
            format!("{} to {}", self.figure(band.0, decimals), self.figure(band.1, decimals))
        }
    }

    /// A published band, for example `5.5 to 6.0` or `at most 700`.
    pub(super) fn band(self, band: Band) -> String {
        if self.other_scale().is_none() {
            return band.words();
        }
        match band {
            Band::Point(value) => self.short(value),
            Band::Span(low, high) => self.span((low, high), " to "),
            Band::AtMost(high) => format!("at most {}", self.short(high)),
        }
    }
}
