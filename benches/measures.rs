//! Prints what things cost on this machine. It measures and never fails: tests judge correctness.
#![expect(clippy::print_stdout, clippy::unwrap_used, reason = "a benchmark prints, and may stop at a broken set-up")]

use std::hint::black_box;
use std::time::Instant;

use pourcast::chem::{Carbon, Component, Medium, Mobilities, Totals};

/// Median time of one call in microseconds, over batches.
fn median_us(mut call: impl FnMut()) -> f64 {
    const BATCH: u32 = 200;
    let mut times: Vec<f64> = (0..41)
        .map(|_| {
            let started = Instant::now();
            for _ in 0..BATCH {
                call();
            }
            started.elapsed().as_secs_f64() * 1e6 / f64::from(BATCH)
        })
        .collect();
    times.sort_by(f64::total_cmp);
    times[times.len() / 2]
}

/// A full nutrient solution in tap water, mol/kg.
fn nutrient_solution() -> Totals {
    use Component::{B, C, Ca, Cl, K, Mg, Na, Nh4, No3, P, Si, So4};
    Totals::from_pairs(&[
        (Ca, 4.0e-3),
        (Mg, 1.6e-3),
        (Na, 0.9e-3),
        (K, 6.5e-3),
        (Nh4, 0.7e-3),
        (No3, 12.0e-3),
        (Cl, 0.9e-3),
        (So4, 1.9e-3),
        (P, 1.5e-3),
        (C, 0.9e-3),
        (Si, 0.15e-3),
        (B, 0.03e-3),
    ])
}

fn main() {
    let medium = Medium::at(21.0).unwrap();
    let totals = nutrient_solution();
    let solved = medium.solve(&totals, Carbon::Kept).unwrap();
    println!("pH {:.3}, {} iterations", solved.ph(), solved.iterations());
    println!(
        "solve, cold       {:6.2} µs (aim 15)",
        median_us(|| {
            black_box(medium.solve(black_box(&totals), Carbon::Kept)).ok();
        })
    );
    let beside = totals.with(Component::P, 1.51e-3);
    println!("warm: {} iterations", medium.solve_from(&solved, &beside, Carbon::Kept).unwrap().iterations());
    println!(
        "solve, warm       {:6.2} µs (aim 5)",
        median_us(|| {
            black_box(medium.solve_from(&solved, black_box(&beside), Carbon::Kept)).ok();
        })
    );
    println!(
        "solve, open, cold {:6.2} µs",
        median_us(|| {
            black_box(medium.solve(black_box(&totals), Carbon::Balance { log10_pco2_atm: -3.3 })).ok();
        })
    );
    println!(
        "conductivity      {:6.2} µs",
        median_us(|| {
            black_box(solved.conductivity_us_cm(black_box(&medium), Mobilities::Full));
        })
    );
    println!(
        "constants at a temperature {:6.2} µs",
        median_us(|| {
            black_box(Medium::at(black_box(21.0))).ok();
        })
    );
}
