//! Solutions that every laboratory makes, from salts through the recipe arithmetic of a product: a stock a hundred times as
//! strong, of which 10 mL go into a litre.

use pourcast::chem::{Carbon, Component};
use pourcast::garden::*;

use super::{close, ec_and_ph, liquid, product};

/// How much stronger the stock is than the solution.
const STOCK: f64 = 100.0;
/// Millilitres of it in a litre.
const ML_PER_L: f64 = 1000.0 / STOCK;

/// A stock of salts that make so many mmol/L each in the solution.
fn stock(salts: &[(Salt, f64)]) -> Dissolved {
    let grams = |salt: Salt, mmol_l: f64| mmol_l * 1e-3 * salt.molar_mass_g() * STOCK;
    let salts = salts.iter().map(|&(salt, mmol_l)| SaltAmount { salt, grams: grams(salt, mmol_l) }).collect();
    product(Role::Feed, liquid(1.1), Strength::Recipe(Recipe { salts })).dissolved().unwrap()
}

/// N, P, K, Ca, Mg and S, mg/L, within half a per cent: the table rounds molar masses.
fn makes(stock: &Dissolved, targets: [f64; 6]) {
    let found = stock.nutrients(ML_PER_L);
    for (found, target) in [found.n, found.p, found.k, found.ca, found.mg, found.s].into_iter().zip(targets) {
        close(found, target, 0.005 * target);
    }
    close(stock.alkalinity_eq(), 0.0, 1e-12);
}

/// Hoagland & Arnon 1950, California Agricultural Experiment Station, Circular 347, from memory. Number 1: `KH2PO4` 1, `KNO3` 5,
/// `Ca(NO3)2` 5, `MgSO4` 2 mmol/L.
#[test]
fn hoagland_number_one() {
    let stock = stock(&[
        (Salt::MonopotassiumPhosphate, 1.0),
        (Salt::PotassiumNitrate, 5.0),
        (Salt::CalciumNitrateTetrahydrate, 5.0),
        (Salt::MagnesiumSulfateHeptahydrate, 2.0),
    ]);
    makes(&stock, [210.0, 31.0, 235.0, 200.0, 48.6, 64.0]);
    assert!(
        stock.notes.iter().any(|note| note.contains("fall out")),
        "calcium and sulfate in one stock: {:?}",
        stock.notes
    );
}

/// Number 2, with ammonium: `NH4H2PO4` 1, `KNO3` 6, `Ca(NO3)2` 4, `MgSO4` 2 mmol/L.
#[test]
fn hoagland_number_two() {
    let stock = stock(&[
        (Salt::MonoammoniumPhosphate, 1.0),
        (Salt::PotassiumNitrate, 6.0),
        (Salt::CalciumNitrateTetrahydrate, 4.0),
        (Salt::MagnesiumSulfateHeptahydrate, 2.0),
    ]);
    makes(&stock, [210.0, 31.0, 234.0, 160.0, 48.6, 64.0]);
    // One part in fifteen of the nitrogen is ammonium.
    close(stock.moles[Component::Nh4] / stock.moles[Component::No3], 1.0 / 14.0, 1e-9);
}

/// Steiner's universal solution (Steiner 1984, The universal nutrient solution, from memory): meq/L `NO3` 12, `H2PO4` 1, `SO4` 7
/// against K 7, Ca 9, Mg 4.
#[test]
fn steiners_universal_solution() {
    let stock = stock(&[
        (Salt::CalciumNitrateTetrahydrate, 4.5),
        (Salt::PotassiumNitrate, 3.0),
        (Salt::MonopotassiumPhosphate, 1.0),
        (Salt::PotassiumSulfate, 1.5),
        (Salt::MagnesiumSulfateHeptahydrate, 2.0),
    ]);
    let totals = stock.moles.scaled(ML_PER_L);
    let meq = |component: Component| totals[component] * 1e3 * f64::from(component.charge().abs().max(1));
    for (component, target) in
        [(Component::No3, 12.0), (Component::So4, 7.0), (Component::K, 7.0), (Component::Ca, 9.0), (Component::Mg, 4.0)]
    {
        close(meq(component), target, 1e-9);
    }
    close(totals[Component::P] * 1e3, 1.0, 1e-9);
    // Twenty meq/L of cations make about 2 mS/cm: the rule of ten a mS/cm, USDA Handbook 60 (1954), good to about 15 %.
    let (ec, ph) = ec_and_ph(&totals, Carbon::Balance { log10_pco2_atm: -3.4 });
    println!("  Steiner: EC {ec:.2} mS/cm, pH {ph:.2}");
    close(ec, 2.0, 0.3);
}

/// Cornell 2020 (Ronzoni & Mattson) doses by the litre, Kratky 2015 (University of Hawaii, VC-7) by the gallon: the same stocks
/// raise EC in proportion, 1 mL of each a twentieth of what 20 mL do. By plain proportion; ions get in each other's way, so that
/// the last millilitre does a little less than the first (Kohlrausch).
#[test]
fn twenty_millilitres_do_twenty_times_as_much_as_one() {
    const GALLON_L: f64 = 3.785411784;
    let label = |label: LabelAnalysis| super::labelled(Form::Powder, &label).moles;
    let none = LabelAnalysis::default();
    // 1 lb a gallon: grams in a millilitre of stock.
    let pound = 453.592 / (GALLON_L * 1000.0);
    let a = label(LabelAnalysis { total_n: Some(8.0), p2o5: Some(15.0), k2o: Some(36.0), ..none }).scaled(pound);
    let b = label(LabelAnalysis { total_n: Some(15.5), ca: Some(19.0), ..none }).scaled(pound);
    let ec = |ml: f64| ec_and_ph(&a.plus(&b).scaled(ml / GALLON_L), Carbon::Balance { log10_pco2_atm: -3.4 }).0;
    let (one, twenty) = (ec(1.0), ec(20.0));
    println!("  1 + 1 mL a gallon {one:.4}, 20 + 20 mL {twenty:.3} mS/cm; the sheet has 0.1 and 2.0");
    let share = twenty / one / 20.0;
    assert!((0.85..1.0).contains(&share), "{share}");
}
