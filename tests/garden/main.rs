//! The words of the trade against published arithmetic, and the shipped profiles against their own claims.
//!
//! Sources stand beside each check. "From memory" marks recalled numbers.
#![expect(clippy::unwrap_used, reason = "a failed unwrap in a helper of a test is a failed test")]

mod any;
mod blends;
mod common;
mod crops;
mod evidence;
mod label_questions;
mod labels;
mod mend;
mod own_bands;
mod peroxide;
mod profiles;
mod reports;
mod salts;
mod solutions;
mod strengths;
mod typed;
mod water;
mod zones;

use pourcast::chem::{Carbon, Medium, Mobilities, Totals};
use pourcast::garden::*;

pub(crate) fn catalog() -> Catalog {
    Catalog::shipped().unwrap_or_else(|error| panic!("{error}"))
}

pub(crate) fn close(found: f64, expected: f64, tolerance: f64) {
    assert!((found - expected).abs() <= tolerance, "found {found}, expected {expected} ± {tolerance}");
}

pub(crate) fn product(role: Role, form: Form, strength: Strength) -> Product {
    Product {
        id: "test".to_owned(),
        name: "Test".to_owned(),
        role,
        form,
        strength,
        label_rate: None,
        partner: None,
        cautions: Vec::new(),
        source: "a test".to_owned(),
        evidence: Evidence::Ours,
        note: None,
    }
}

pub(crate) fn labelled(form: Form, label: &LabelAnalysis) -> Dissolved {
    product(Role::Feed, form, Strength::Label(Box::new(*label))).dissolved().unwrap()
}

pub(crate) fn liquid(density: f64) -> Form {
    Form::Liquid { density_g_ml: Some(density) }
}

pub(crate) fn ec_and_ph(totals: &Totals, carbon: Carbon) -> (f64, f64) {
    let medium = Medium::standard();
    let solved = medium.solve(totals, carbon).unwrap();
    (solved.conductivity_us_cm(medium, Mobilities::Full) / 1000.0, solved.ph())
}
