//! Label arithmetic and the closing of the charge.

use pourcast::chem::Component;
use pourcast::garden::*;

use super::{close, labelled, liquid, product};

#[test]
fn oxide_factors_of_labels() {
    // Cornell University, A Guide to Home Hydroponics for Leafy Greens (Ronzoni & Mattson 2020): 0.44 (0.437) and 0.83.
    close(elemental::P_IN_P2O5, 0.437, 0.001);
    close(elemental::K_IN_K2O, 0.830, 0.0005);
    // From memory: the usual fertiliser tables.
    close(elemental::CA_IN_CAO, 0.715, 0.0005);
    close(elemental::MG_IN_MGO, 0.603, 0.0005);
    close(elemental::S_IN_SO3, 0.400, 0.0006);
}

#[test]
fn cornell_liquid_two_one_six() {
    // Ronzoni & Mattson 2020: 2-1-6 with 0.5 % Mg, density 1: 20,000 ppm N, 0.44 % P, 4.98 % K; 150 ppm N in 20 L takes
    // 7.5 mL/L, 150 mL, and gives 33 ppm P.
    let label = LabelAnalysis {
        nitrate_n: Some(2.0),
        p2o5: Some(1.0),
        k2o: Some(6.0),
        mg: Some(0.5),
        ..LabelAnalysis::default()
    };
    let feed = labelled(liquid(1.0), &label);
    let whole = feed.nutrients(1000.0);
    close(whole.n, 20_000.0, 1.0);
    close(whole.p, 4_400.0, 40.0);
    let dose = feed.nutrients(7.5);
    close(dose.n, 150.0, 0.01);
    close(dose.p, 33.0, 0.4);
    close(grams_per_l_for(150.0, 2.0).unwrap() * 20.0, 150.0, 1e-9);
    // Potassium as listed, less what the closing added.
    let closing_k = feed.closure.potassium_eq * 39.098 * 1e6;
    close(whole.k - closing_k, 49_800.0, 20.0);
}

#[test]
fn cornell_doses_by_volume() {
    // Ronzoni & Mattson 2020: 2 mL/L in 20 L is 40 mL and 1.5 g/L is 30 g; 25 L and four weekly 4.2 L at 6 mL/L is 250.8 mL.
    let bottle = Tool::Syringe { capacity_ml: 20.0, mark_ml: 0.2 };
    close(bottle.round_down(2.0 * 20.0), 40.0, 1e-9);
    close(Tool::Scale { mark_g: 0.1 }.round_down(1.5 * 20.0), 30.0, 1e-9);
    close(bottle.round_down(6.0 * (25.0 + 4.0 * 4.2)), 250.8, 1e-9);
}

#[test]
fn calcium_nitrate_by_label() {
    // Ronzoni & Mattson 2020: 15.5 % N, 18.5 % Ca: 150 ppm N needs 968 mg/L and gives 179 ppm Ca.
    let grams = grams_per_l_for(150.0, 15.5).unwrap();
    close(grams * 1000.0, 968.0, 0.5);
    let label =
        LabelAnalysis { nitrate_n: Some(14.4), ammonium_n: Some(1.1), ca: Some(18.5), ..LabelAnalysis::default() };
    let found = labelled(Form::Powder, &label).nutrients(grams);
    close(found.n, 150.0, 0.05);
    close(found.ca, 179.0, 0.5);
    // Set-up of Mattson, e-GRO; result ours: at 19 % Ca, 100 ppm N needs 645 mg/L and gives 122.6 ppm Ca.
    let grams = grams_per_l_for(100.0, 15.5).unwrap();
    close(grams * 1000.0, 645.0, 0.5);
    close(labelled(Form::Powder, &LabelAnalysis { ca: Some(19.0), ..label }).nutrients(grams).ca, 122.6, 0.1);
}

#[test]
fn kratky_stocks_by_label() {
    // University of Hawaii CTAHR VC-7 (Kratky 2015): 20 mL of each 1 lb/gal stock in a gallon, here 0.633 g/L of each salt;
    // 8-15-36 and 15.5-0-0 give N 149, P 42, K 189 mg/L as published.
    let grams = 20.0 * 453.592 / 3785.411784 / 3.785411784;
    close(grams, 0.633, 0.0005);
    let a = labelled(
        Form::Powder,
        &LabelAnalysis { total_n: Some(8.0), p2o5: Some(15.0), k2o: Some(36.0), ..LabelAnalysis::default() },
    );
    let b = labelled(Form::Powder, &LabelAnalysis { total_n: Some(15.5), ca: Some(19.0), ..LabelAnalysis::default() });
    // What must be ammonium in 15.5-0-0 for its ions to balance is what such products state: 1.1 of 15.5 % (from memory).
    close(b.moles[Component::Nh4] * 14.007 * 100.0, 1.1, 0.05);
    let (a, b) = (a.nutrients(grams), b.nutrients(grams));
    close(a.n + b.n, 149.0, 0.5);
    close(a.p, 42.0, 1.0);
    close(a.k, 189.0, 0.5);
    // Kratky 2015: 0.75 oz of each in a gallon by the same 20 mL is 68 oz for 91 gal.
    close(0.75 * 91.0, 68.0, 0.3);
}

#[test]
fn texas_ounces_per_hundred_gallons() {
    // Texas A&M, Nutrient calculations: percent (as a decimal) × 75 is the ppm from 1 oz in 100 gal; 0.15 gives 11.25.
    // Exact: 28.3495 g in 378.541 L is 74.89 mg/L for a pure nutrient.
    let g_per_l = 28.349523 / 378.5411784;
    let label = LabelAnalysis { nitrate_n: Some(15.0), ..LabelAnalysis::default() };
    let found = labelled(Form::Powder, &label).nutrients(g_per_l).n;
    close(found, 0.15 * 74.89, 0.005);
    close(found, 11.25, 0.02);
}

#[test]
fn density_counts_in_a_liquid() {
    // Exact: g/L = % × density × 10.
    let label = LabelAnalysis { nitrate_n: Some(3.0), ca: Some(4.0), ..LabelAnalysis::default() };
    let light = labelled(liquid(1.0), &label).nutrients(1.0);
    let heavy = labelled(liquid(1.2), &label).nutrients(1.0);
    close(heavy.ca / light.ca, 1.2, 1e-12);
    let by_volume = labelled(liquid(1.2), &LabelAnalysis { basis: LabelBasis::MassPerVolume, ..label }).nutrients(1.0);
    close(by_volume.ca, light.ca, 1e-12);
    let unknown = labelled(Form::Liquid { density_g_ml: None }, &label);
    assert!(unknown.ln_sd > labelled(liquid(1.0), &label).ln_sd, "an unknown density widens the strength");
    assert!(unknown.nutrients(1.0).ca > light.ca, "a concentrate is denser than water");
}

#[test]
fn labels_that_contradict_themselves() {
    let refuse = |label: LabelAnalysis| {
        product(Role::Feed, Form::Powder, Strength::Label(Box::new(label))).dissolved().unwrap_err().to_string()
    };
    let none = LabelAnalysis::default();
    assert_eq!(refuse(none), "the label lists no nutrient");
    assert_eq!(refuse(LabelAnalysis { p: Some(1.0), p2o5: Some(2.3), ..none }), "give P or P2O5, not both");
    assert_eq!(
        refuse(LabelAnalysis { total_n: Some(5.0), nitrate_n: Some(6.0), ..none }),
        "the forms of nitrogen make 6 %, more than the total of 5 %"
    );
    assert_eq!(
        refuse(LabelAnalysis { k2o: Some(130.0), ..none }),
        "K2O on the label is 130 %; it must lie between 0 and 100 %"
    );
    assert_eq!(
        refuse(LabelAnalysis { ca: Some(f64::NAN), ..none }),
        "Ca on the label is NaN %; it must lie between 0 and 100 %"
    );
}

#[test]
fn the_closing_rule_balances_every_label_to_its_free_acid() {
    let none = LabelAnalysis::default();
    let cases = [
        // Sulfur left out: sulfate of magnesium and potassium.
        LabelAnalysis { nitrate_n: Some(7.0), p2o5: Some(5.0), k2o: Some(30.0), mg: Some(3.0), ..none },
        // Calcium and magnesium with too little nitrate: chloride.
        LabelAnalysis { nitrate_n: Some(2.0), ca: Some(3.2), mg: Some(1.2), s: Some(0.0), ..none },
        // Much phosphate: free acid.
        LabelAnalysis { nitrate_n: Some(5.0), p2o5: Some(30.0), k2o: Some(10.0), s: Some(0.0), ..none },
        // Rounding.
        LabelAnalysis { nitrate_n: Some(4.2), p2o5: Some(1.0), k2o: Some(14.1), s: Some(0.0), ..none },
        // Absurd: nitrate alone is not sold as nitric acid.
        LabelAnalysis { nitrate_n: Some(10.0), ..none },
    ];
    for label in cases {
        let found = labelled(Form::Powder, &label);
        let closure = found.closure;
        close(found.moles.alkalinity(), -closure.free_acid_eq, 1e-15);
        let p = found.moles[Component::P];
        assert!(closure.free_acid_eq >= 0.06 * p - 1e-15 && closure.free_acid_eq <= p + 1e-15, "{closure:?}");
        let added = closure.potassium_eq - closure.sulfate_eq - closure.chloride_eq;
        close(closure.residual_eq + added, -closure.free_acid_eq, 1e-15);
    }
    let sulfate = labelled(Form::Powder, &cases[0]).closure;
    assert!(sulfate.sulfate_eq > 0.0 && sulfate.chloride_eq == 0.0);
    let acid = labelled(Form::Powder, &cases[2]).closure;
    assert!(acid.free_acid_eq > 1e-4 && acid.potassium_eq > 0.0, "{acid:?}");
    let rounding = labelled(Form::Powder, &cases[3]);
    close(rounding.closure.free_acid_eq, 0.06 * rounding.moles[Component::P], 1e-12);
    // In a bottle with calcium, sulfate would fall out as gypsum.
    let bottle = LabelAnalysis { nitrate_n: Some(2.0), ca: Some(3.2), mg: Some(1.2), ..none };
    let bottle = labelled(liquid(1.1), &bottle).closure;
    assert!(bottle.sulfate_eq == 0.0 && bottle.chloride_eq > 0.0);
}

#[test]
fn lines_of_a_label_begin_large_where_they_begin_a_line() {
    let lines = LabelAnalysis::default().lines();
    let titles: Vec<&str> = lines.iter().map(pourcast::garden::LabelLine::title).collect();
    assert_eq!(titles[..5], ["Total N", "Nitrate N", "Ammonium N", "Urea N", "P2O5"]);
    for (line, title) in lines.iter().zip(titles) {
        assert!(title.starts_with(char::is_uppercase) && title.eq_ignore_ascii_case(line.name), "{title}");
    }
}

/// What was added to a label so that its ions balance is told in plain words.
#[test]
fn what_makes_up_for_a_label_is_told() {
    let none = LabelAnalysis::default();
    let notes = |label: LabelAnalysis| labelled(liquid(1.1), &label).notes.join(" ");
    // 3.8/14.007 of nitrate against 0.2/14.007 of ammonium, 4 x 0.830/39.098 of K and 2 x 3/40.078 of Ca: 0.0221 equivalents
    // too few, 26 % of the potassium.
    let near = LabelAnalysis {
        total_n: Some(4.0),
        nitrate_n: Some(3.8),
        ammonium_n: Some(0.2),
        k2o: Some(4.0),
        ca: Some(3.0),
        ..none
    };
    assert_eq!(
        notes(near),
        "The label's numbers do not quite balance: potassium was counted 26 % higher than it is listed to make up for it."
    );
    // A little less nitrate balances: nothing is said.
    let even = LabelAnalysis { total_n: Some(3.7), nitrate_n: Some(3.5), ..near };
    assert_eq!(notes(even), "");
    // Nitrate alone would be an acid: potassium, and it is said that it is a guess.
    assert_eq!(
        notes(LabelAnalysis { nitrate_n: Some(10.0), ..none }),
        "The label's numbers do not quite balance: potassium that it does not list was counted to make up for it, which is a guess."
    );
    // Calcium and magnesium with too little nitrate.
    let short = notes(LabelAnalysis { nitrate_n: Some(2.0), ca: Some(3.2), mg: Some(1.2), ..none });
    assert!(short.contains("does not list all that is in it: chloride was counted for the rest"), "{short}");
}
