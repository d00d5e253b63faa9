//! Solution chemistry: ion totals and a temperature go in; pH, conductivity, alkalinity and saturation come out.
//!
//! The model is the ion-association model of Parkhurst & Appelo (2013) with 60 species of 14 components: activities by
//! Truesdell & Jones or Davies, formation constants with temperature, conductivity as the sum of the ions' own equivalent
//! conductivities by Debye–Hückel–Onsager (Appelo 2017), without the correction that breaks Kohlrausch's law in mixtures.
//!
//! It leaves out: precipitation (supersaturation is reported, never carried out), redox, iron and the other micronutrients
//! and their chelates, and pressure. It knows nothing of gardens, files or windows.

mod carbon;
mod component;
mod conductivity;
mod error;
mod medium;
mod mineral;
mod newton;
mod speciation;
mod species;
mod start;
mod viscosity;
mod water;

pub use carbon::{Carbon, carbon_for_ph, log10_pco2_from_ppm};
pub use component::{COMPONENTS, Component, Totals};
pub use conductivity::{Mobilities, compensated};
pub use error::ChemError;
pub use medium::Medium;
pub use mineral::Mineral;
pub use speciation::Speciation;
