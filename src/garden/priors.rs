//! What is believed before any reading, by kind: read from `profiles/priors.ron`, where each value has its reasoning.

use std::sync::LazyLock;

use serde::Deserialize;

use super::catalog::{PRIORS_FILE, ProfileError, read};
use super::evidence::{Cited, LnPrior, NormalPrior, Sourced};

/// True over stated volume, by how the level is known.
#[derive(Clone, PartialEq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct VolumePriors {
    /// Filled by a measured jug.
    pub jug: Cited<LnPrior>,
    /// Read from a mark that was once checked.
    pub mark: Cited<LnPrior>,
    /// By eye.
    pub eye: Cited<LnPrior>,
    /// The size printed on the tank.
    pub nominal: Cited<LnPrior>,
}

/// Rate at which carbon dioxide comes into balance with the room, per hour, by the kind of unit.
#[derive(Clone, PartialEq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ExchangePriors {
    /// Jar or tub without pump or air.
    pub still_jar: Cited<LnPrior>,
    /// Trough or raft bed.
    pub trough: Cited<LnPrior>,
    /// Reservoir with a pump that returns to it.
    pub recirculating: Cited<LnPrior>,
    /// Bucket with an air stone.
    pub aerated_bucket: Cited<LnPrior>,
}

/// Error that stays with a pH instrument, 1 sd, pH.
#[derive(Clone, PartialEq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OffsetPriors {
    /// Bench or good handheld meter.
    pub good_meter: Cited<f64>,
    /// Pocket pen.
    pub pen: Cited<f64>,
    /// Indicator drops.
    pub drops: Cited<f64>,
    /// Paper strips.
    pub strips: Cited<f64>,
}

/// What a pH-lowering liquid without a label is: shares of belief, 1 in all.
#[derive(Clone, PartialEq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AcidShares {
    /// Phosphoric acid.
    pub phosphoric: Cited<f64>,
    /// Citric acid.
    pub citric: Cited<f64>,
    /// Nitric acid.
    pub nitric: Cited<f64>,
}

/// What is believed of a household before any reading. Waters have theirs in `profiles/waters.ron`.
#[derive(Clone, PartialEq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Priors {
    /// True over stated volume.
    pub volume: VolumePriors,
    /// Rate of carbon dioxide, per hour.
    pub exchange_per_h: ExchangePriors,
    /// Error that stays with a pH instrument.
    pub ph_offset_sd: OffsetPriors,
    /// Share of that error which is new with each reading.
    pub ph_scatter_share: Cited<f64>,
    /// Floor of a pH reading's scatter, 1 sd, pH.
    pub ph_scatter_floor: Cited<f64>,
    /// Added in nearly pure water, pH.
    pub ph_scatter_thin: Cited<f64>,
    /// Floor of an EC reading's scatter, 1 sd, mS/cm.
    pub ec_scatter_floor_ms_cm: Cited<f64>,
    /// Relative part of it.
    pub ec_scatter_relative: Cited<f64>,
    /// Labelled strength, 1 sd of the natural logarithm.
    pub label_ln_sd: Cited<f64>,
    /// Added in quadrature where a w/w liquid has no density.
    pub no_density_ln_sd: Cited<f64>,
    /// Strength of a feed told by how far it raises EC, 1 sd of the natural logarithm.
    pub ec_rise_ln_sd: Cited<f64>,
    /// Free acid of a phosphate feed as a share of its phosphorus.
    pub free_acid_of_p: Cited<NormalPrior>,
    /// What an unlabelled acid is.
    pub acid_shares: AcidShares,
    /// Stated alkalinity, 1 sd of the natural logarithm.
    pub stated_alkalinity_ln_sd: Cited<f64>,
    /// Salts that no feed explains, 1 sd of the natural logarithm.
    pub salt_ln_sd: Cited<f64>,
    /// Acid or base nobody logged between two readings, 1 sd, meq/L.
    pub slip_meq_l: Cited<f64>,
    /// The same in a fresh fill.
    pub fresh_remainder_meq_l: Cited<f64>,
    /// The same in water nobody logged.
    pub unknown_remainder_meq_l: Cited<f64>,
    /// The same with plants in it.
    pub unknown_remainder_planted_meq_l: Cited<f64>,
    /// What a day does to the strong ions, 1 sd, meq/L.
    pub drift_meq_l: Cited<f64>,
    /// log10 of the carbon dioxide in a fresh fill, atm.
    pub fresh_log10_pco2: Cited<NormalPrior>,
    /// The same in standing water.
    pub standing_log10_pco2: Cited<NormalPrior>,
    /// The same in water nobody logged.
    pub unknown_log10_pco2: Cited<NormalPrior>,
}

static SHIPPED: LazyLock<Priors> = LazyLock::new(|| {
    #[expect(clippy::expect_used, reason = "part of the binary; `Catalog::shipped` reads it first, and the tests do")]
    read(PRIORS_FILE).expect("the shipped priors")
});

impl Priors {
    /// The shipped priors, as constant as the table of species.
    pub fn shipped() -> &'static Self {
        &SHIPPED
    }

    /// Reads them anew, for whoever has to say what is wrong with them.
    pub(super) fn checked() -> Result<Self, ProfileError> {
        read(PRIORS_FILE)
    }

    /// Sources of all values, in the order of the fields, each with the field's name.
    pub fn sources(&self) -> Vec<(&'static str, Sourced)> {
        let Self {
            volume,
            exchange_per_h: exchange,
            ph_offset_sd: offset,
            ph_scatter_share,
            ph_scatter_floor,
            ph_scatter_thin,
            ec_scatter_floor_ms_cm,
            ec_scatter_relative,
            label_ln_sd,
            no_density_ln_sd,
            ec_rise_ln_sd,
            free_acid_of_p,
            acid_shares: acids,
            stated_alkalinity_ln_sd,
            salt_ln_sd,
            slip_meq_l,
            fresh_remainder_meq_l,
            unknown_remainder_meq_l,
            unknown_remainder_planted_meq_l,
            drift_meq_l,
            fresh_log10_pco2,
            standing_log10_pco2,
            unknown_log10_pco2,
        } = self;
        let mut all = Vec::new();
        all.extend([&volume.jug, &volume.mark, &volume.eye, &volume.nominal].map(|c| ("volume", c.sourced())));
        let rates = [&exchange.still_jar, &exchange.trough, &exchange.recirculating, &exchange.aerated_bucket];
        all.extend(rates.map(|c| ("exchange_per_h", c.sourced())));
        let offsets = [&offset.good_meter, &offset.pen, &offset.drops, &offset.strips];
        all.extend(offsets.map(|c| ("ph_offset_sd", c.sourced())));
        all.extend([&acids.phosphoric, &acids.citric, &acids.nitric].map(|c| ("acid_shares", c.sourced())));
        all.extend([
            ("ph_scatter_share", ph_scatter_share.sourced()),
            ("ph_scatter_floor", ph_scatter_floor.sourced()),
            ("ph_scatter_thin", ph_scatter_thin.sourced()),
            ("ec_scatter_floor_ms_cm", ec_scatter_floor_ms_cm.sourced()),
            ("ec_scatter_relative", ec_scatter_relative.sourced()),
            ("label_ln_sd", label_ln_sd.sourced()),
            ("no_density_ln_sd", no_density_ln_sd.sourced()),
            ("ec_rise_ln_sd", ec_rise_ln_sd.sourced()),
            ("free_acid_of_p", free_acid_of_p.sourced()),
            ("stated_alkalinity_ln_sd", stated_alkalinity_ln_sd.sourced()),
            ("salt_ln_sd", salt_ln_sd.sourced()),
            ("slip_meq_l", slip_meq_l.sourced()),
            ("fresh_remainder_meq_l", fresh_remainder_meq_l.sourced()),
            ("unknown_remainder_meq_l", unknown_remainder_meq_l.sourced()),
            ("unknown_remainder_planted_meq_l", unknown_remainder_planted_meq_l.sourced()),
            ("drift_meq_l", drift_meq_l.sourced()),
            ("fresh_log10_pco2", fresh_log10_pco2.sourced()),
            ("standing_log10_pco2", standing_log10_pco2.sourced()),
            ("unknown_log10_pco2", unknown_log10_pco2.sourced()),
        ]);
        all
    }
}
