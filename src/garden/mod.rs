//! The words of the trade as types: source water, product, crop, unit, tool, meter, reading, pour.
//!
//! Everything here is data and small pure rules on it. Shipped data lives in `profiles/` (RON, each value beside its
//! source) and is part of the binary; see [`Catalog::shipped`]. Files, clocks and random sources are not touched.

mod blend;
mod catalog;
pub mod check;
mod closing;
pub mod common;
pub mod compose;
mod crop;
pub mod dissolve;
mod done_check;
mod evidence;
pub mod feed;
mod growing;
pub mod label;
mod label_question;
mod mend;
mod meter;
mod notes;
mod own;
mod own_bands;
mod own_crops;
mod parts;
pub mod peroxide;
mod priors;
mod product;
mod product_check;
mod reading;
pub mod report;
pub mod salts;
mod search;
mod substance;
mod told_band;
mod tool;
mod unit;
mod unit_check;
mod water;
pub mod zone;

pub use crate::units::EcScale;
pub use blend::KnownWater;
pub use catalog::{Catalog, ExampleUnit, Place, ProfileError, parse};
pub use check::{
    FieldProblem, Fix, MOST_JAR_L, Severity, check_alkalinity_meq_l, check_blend_share, check_ec_ms_cm,
    check_elapsed_s, check_hardness_mg_caco3_l, check_level_l, check_ph, check_temperature_c, check_volume_l,
};
pub use common::{CommonZone, CropZone, Remark, UnknownCrop, common_zone};
pub use compose::{WaterCarbon, WaterComposition, WaterError, compose, compose_ions, compose_to_ec, ec25_ms_cm};
pub use crop::{ALL_STAGES, Band, BandClaim, Crop, CropGroup, EcCounts, SEEDLING, SaltTolerance, Stage};
pub use dissolve::{Closure, Dissolved, Nutrients, ProductError};
pub use done_check::{TIMES_LABEL, check_added_l, check_poured, check_taken_l, check_when};
pub use evidence::{Cited, Evidence, LnPrior, NormalPrior, Sourced};
pub use growing::{Growing, MOST_CROPS};
pub use label::{Chelate, LabelAnalysis, LabelBasis, LabelError, LabelLine, elemental, grams_per_l_for};
pub use label_question::{LabelQuestion, LabelReading};
pub use mend::MendError;
pub use meter::{Compensation, Meter, PhInstrument};
pub use own::{
    IdClash, LONGEST_NAME, Own, OwnKind, OwnProfile, OwnWater, Whose, check_name, free_id, free_name, id_from,
    same_name,
};
pub use own_bands::{MOST_STAGES, OwnCropError, SET_BY_YOU, SET_EC_MS_CM, SET_PH, SetBand, check_set_band};
pub use own_crops::MOST_OWN_CROPS;
pub use parts::{MOST_PARTS, PartShare, Partner, check_part_amount, in_whole_numbers, partners};
pub use priors::{AcidShares, ExchangePriors, OffsetPriors, Priors, VolumePriors};
pub use product::{
    AcidKind, BaseKind, Concentration, Form, LabelRate, Product, Recipe, Role, SaltAmount, Strength, UnknownKind,
};
pub use product_check::check_density_g_ml;
pub use reading::{JarPoint, JarTest, LogEntry, PourRecord, Promise, Reading};
pub use report::{ReportBalance, ReportSlip};
pub use salts::{Salt, SaltRow, weight};
pub use search::{Names, find_named};
pub use tool::Tool;
pub use unit::{LevelKnown, OwnBand, ProductRef, ShelfItem, Unit, UnitKind};
pub use unit_check::check_measure;
pub use water::{Blend, IonPattern, SourceWater, WaterKind, WaterProfile, WaterReport};
pub use zone::{Conflict, Quantity, Zone};
