//! Salts against their formulas.

use pourcast::chem::{Component, Totals};
use pourcast::garden::*;

use super::close;

/// Reads a formula such as `Ca(NO3)2.4H2O`: element -> count. A slow second way to the molar masses of the table.
fn elements(formula: &str) -> Vec<(String, f64)> {
    fn group(text: &[u8], mut at: usize, times: f64, found: &mut Vec<(String, f64)>) -> usize {
        let number = |at: &mut usize| {
            let start = *at;
            while *at < text.len() && text[*at].is_ascii_digit() {
                *at += 1;
            }
            std::str::from_utf8(&text[start..*at]).unwrap().parse::<f64>().unwrap_or(1.0)
        };
        while at < text.len() && text[at] != b')' {
            if text[at] == b'(' {
                let mut inner = Vec::new();
                at = group(text, at + 1, 1.0, &mut inner) + 1;
                let n = number(&mut at);
                found.extend(inner.into_iter().map(|(element, count)| (element, count * n * times)));
            } else {
                let start = at;
                at += 1;
                while at < text.len() && text[at].is_ascii_lowercase() {
                    at += 1;
                }
                let element = std::str::from_utf8(&text[start..at]).unwrap().to_owned();
                found.push((element, number(&mut at) * times));
            }
        }
        at
    }
    let mut found = Vec::new();
    for (index, part) in formula.split('.').enumerate() {
        let digits = part.bytes().take_while(u8::is_ascii_digit).count();
        let times = if index == 0 { 1.0 } else { part[..digits].parse().unwrap_or(1.0) };
        group(&part.as_bytes()[digits..], 0, times, &mut found);
    }
    found
}

fn atomic_weight(element: &str) -> f64 {
    match element {
        "H" => weight::H,
        "B" => weight::B,
        "C" => weight::C,
        "N" => weight::N,
        "O" => weight::O,
        "Na" => weight::NA,
        "Mg" => weight::MG,
        "Si" => weight::SI,
        "P" => weight::P,
        "S" => weight::S,
        "Cl" => weight::CL,
        "K" => weight::K,
        "Ca" => weight::CA,
        other => panic!("no weight for {other}"),
    }
}

#[test]
fn salts_agree_with_their_formulas() {
    for salt in Salt::ALL {
        let row = salt.row();
        let parts = elements(row.formula);
        let mass: f64 = parts.iter().map(|(element, count)| atomic_weight(element) * count).sum();
        close(row.molar_mass_g, mass, 1e-9);
        let count = |element: &str| parts.iter().filter(|(e, _)| e == element).map(|(_, n)| n).sum::<f64>();
        let ions = Totals::from_pairs(row.ions);
        for (component, element) in [
            (Component::Ca, "Ca"),
            (Component::Mg, "Mg"),
            (Component::Na, "Na"),
            (Component::K, "K"),
            (Component::Cl, "Cl"),
            (Component::So4, "S"),
            (Component::P, "P"),
            (Component::Si, "Si"),
            (Component::B, "B"),
        ] {
            close(ions[component], count(element), 1e-12);
        }
        if salt != Salt::Urea {
            close(ions[Component::No3] + ions[Component::Nh4], count("N"), 1e-12);
        }
        // The charge left over is the acid or base the salt is: none for a neutral salt.
        close(ions.alkalinity(), row.alkalinity_eq, 1e-12);
    }
}

#[test]
fn hydrates_change_the_strength() {
    // Percentages from fertiliser tables, from memory.
    let percent = |salt: Salt, component: Component, atomic: f64| 100.0 * salt.dissolved(1.0)[component] * atomic;
    close(percent(Salt::MagnesiumSulfateHeptahydrate, Component::Mg, weight::MG), 9.9, 0.05);
    close(percent(Salt::MagnesiumSulfate, Component::Mg, weight::MG), 20.2, 0.05);
    close(percent(Salt::CalciumChlorideDihydrate, Component::Ca, weight::CA), 27.3, 0.05);
    close(percent(Salt::CalciumChloride, Component::Ca, weight::CA), 36.1, 0.05);
    close(percent(Salt::CalciumNitrateTetrahydrate, Component::Ca, weight::CA), 17.0, 0.05);
    close(percent(Salt::CalciumNitrateTetrahydrate, Component::No3, weight::N), 11.9, 0.05);
    close(percent(Salt::CalciumAmmoniumNitrate, Component::Ca, weight::CA), 18.5, 0.06);
    let n = percent(Salt::CalciumAmmoniumNitrate, Component::No3, weight::N)
        + percent(Salt::CalciumAmmoniumNitrate, Component::Nh4, weight::N);
    close(n, 15.5, 0.06);
}
