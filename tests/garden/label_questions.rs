//! Labels as they are printed, and what is asked of numbers that make no sense under their name.

use pourcast::chem::Component;
use pourcast::garden::*;

use super::{catalog, close, labelled, liquid, product};

const NONE: LabelAnalysis = LabelAnalysis {
    basis: LabelBasis::MassPerMass,
    total_n: None,
    nitrate_n: None,
    ammonium_n: None,
    urea_n: None,
    p2o5: None,
    p: None,
    k2o: None,
    k: None,
    ca: None,
    cao: None,
    mg: None,
    mgo: None,
    s: None,
    so3: None,
    na: None,
    cl: None,
    sio2: None,
    b: None,
    fe: None,
    fe_chelate: None,
    mn: None,
    zn: None,
    cu: None,
    mo: None,
    trace_chelate: None,
};

#[test]
fn a_triple_is_nitrogen_phosphate_and_potash() {
    // University of Hawaii CTAHR VC-7 (Kratky 2015): 8-15-36 at 0.633 g/L gives P 42 and K 189 mg/L.
    let label = LabelAnalysis::from_npk("8-15-36").unwrap();
    assert_eq!(label, LabelAnalysis { total_n: Some(8.0), p2o5: Some(15.0), k2o: Some(36.0), ..NONE });
    let found = labelled(Form::Powder, &label).nutrients(0.633);
    close(found.p, 42.0, 1.0);
    close(found.k, 189.0, 0.5);
    for same in [" 8–15–36 ", "NPK 8:15:36", "8 / 15 / 36", "8,0-15.0-36", "npk 8 15 36"] {
        assert_eq!(LabelAnalysis::from_npk(same).unwrap(), label, "{same}");
    }
    assert_eq!(LabelAnalysis::from_npk("15.5-0-0").unwrap().total_n, Some(15.5));
    for bad in ["", "8-15", "8-15-36-2", "8-15-x", "8-15-136", "NaN-1-1", "1e9-0-0", &"9-".repeat(10_000)] {
        let error = LabelAnalysis::from_npk(bad).unwrap_err();
        assert!(matches!(error, LabelError::Triple { .. }) && error.to_string().len() < 300, "{error}");
    }
    assert_eq!(LabelAnalysis::from_npk("0-0-0").unwrap_err(), LabelError::Empty);
}

#[test]
fn percent_by_volume_and_grams_in_a_litre_are_the_same_thing() {
    // Exact: 1 % w/v is 10 g/L is 10,000 mg/L; the density does not matter.
    let by = |basis: LabelBasis, times: f64| {
        let of = |value: f64| Some(value * times);
        let label = LabelAnalysis { basis, nitrate_n: of(2.0), p2o5: of(1.0), k2o: of(6.0), mgo: of(0.8), ..NONE };
        (labelled(liquid(1.15), &label), label)
    };
    let (percent, _) = by(LabelBasis::MassPerVolume, 1.0);
    close(percent.nutrients(7.5).n, 150.0, 1e-9);
    for (basis, times) in [(LabelBasis::GramsPerLitre, 10.0), (LabelBasis::MilligramsPerLitre, 10_000.0)] {
        let (found, label) = by(basis, times);
        for (component, mol) in percent.moles.iter() {
            close(found.moles[component], mol, 1e-15);
        }
        let powder = product(Role::Feed, Form::Powder, Strength::Label(Box::new(label)));
        assert_eq!(powder.dissolved().unwrap_err(), ProductError::PowderPerLitre);
        assert_eq!(powder.check()[0].field, "form");
    }
    // A limit is told in the label's own unit.
    let much = LabelAnalysis { basis: LabelBasis::GramsPerLitre, k2o: Some(1800.0), ..NONE };
    let problems = product(Role::Feed, liquid(1.2), Strength::Label(Box::new(much))).check();
    assert_eq!(problems[0].message, "K2O on the label is 1800 g/L; it must lie between 0 and 1500 g/L");
    assert_eq!((problems[0].field.as_str(), problems[0].limit.as_str()), ("strength.label.k2o", "0 to 1500 g/L"));
    for basis in LabelBasis::ALL {
        assert!(!basis.words().is_empty() && basis.is_by_volume() == (basis != LabelBasis::MassPerMass));
    }
}

/// By formula: NaFe(EDTA)·3H2O (421.1 g/mol) holds 13.26 % Fe and 5.46 % Na.
#[test]
fn a_chelate_brings_its_counter_ion() {
    let iron = LabelAnalysis { fe: Some(13.26), fe_chelate: Some(Chelate::Edta), ..NONE };
    let found = labelled(Form::Powder, &iron);
    close(found.nutrients(1.0).na, 54.6, 0.1);
    assert!(found.notes.iter().any(|note| note.contains("taken to come with sodium")), "{:?}", found.notes);
    close(found.alkalinity_eq(), 0.0, 1e-15);
    // DTPA carries a charge more, EDDHA the same.
    let with = |chelate| labelled(Form::Powder, &LabelAnalysis { fe_chelate: Some(chelate), ..iron }).nutrients(1.0).na;
    close(with(Chelate::Dtpa) / with(Chelate::Edta), 2.0, 1e-9);
    close(with(Chelate::Eddha), with(Chelate::Edta), 1e-9);
    let copper = LabelAnalysis { cu: Some(14.0), trace_chelate: Some(Chelate::Edta), ..NONE };
    // Na2Cu(EDTA): two sodium for each copper.
    close(labelled(Form::Powder, &copper).nutrients(1.0).na, 2.0 * 140.0 / 63.546 * 22.99, 0.01);
    // In a feed it is next to nothing: said, and left out.
    let feed = LabelAnalysis { nitrate_n: Some(8.0), p2o5: Some(15.0), k2o: Some(36.0), ..NONE };
    let with_iron = LabelAnalysis { fe: Some(0.15), fe_chelate: Some(Chelate::Dtpa), mn: Some(0.05), ..feed };
    let found = labelled(Form::Powder, &with_iron);
    assert_eq!(found.moles, labelled(Form::Powder, &feed).moles);
    assert!(found.notes.iter().any(|note| note.contains("too little to count")), "{:?}", found.notes);
    // A label that lists sodium has counted it.
    let listed = labelled(Form::Powder, &LabelAnalysis { na: Some(5.5), cl: Some(0.0), ..iron });
    close(listed.nutrients(1.0).na, 55.0, 1e-9);
    assert!(listed.notes.iter().any(|note| note.contains("the sodium that the label lists")));
    // Without a word on what holds it, iron is left out, and a label of nothing else is still a label.
    let bare = labelled(Form::Powder, &LabelAnalysis { fe: Some(20.0), ..NONE });
    assert_eq!(bare.nutrients(1.0), Nutrients::default());
}

#[test]
fn urea_counts_as_nitrogen_and_not_as_ec() {
    // Urea is 46.6 % nitrogen by its formula.
    let urea = LabelAnalysis { urea_n: Some(46.6), ..NONE };
    let found = labelled(Form::Powder, &urea);
    close(found.nutrients(1.0).n, 466.0, 1e-9);
    assert!(found.moles.iter().all(|(_, mol)| mol == 0.0), "{:?}", found.moles);
    assert!(found.notes_beside_pour().any(|note| note.contains("Urea does not show")));
    // From a recipe as from a label.
    let recipe = Recipe { salts: vec![SaltAmount { salt: Salt::Urea, grams: 100.0 }] };
    let mixed = product(Role::Feed, liquid(1.1), Strength::Recipe(recipe)).dissolved().unwrap();
    assert!(mixed.notes_beside_pour().any(|note| note.contains("Urea does not show")), "{:?}", mixed.notes);
    assert_eq!(urea.questions(Form::Powder), []);
    // 46-0-0 of unstated form: as nitrate or ammonium it would weigh half as much again as the product.
    let told = LabelAnalysis::from_npk("46-0-0").unwrap();
    let [question] = &told.questions(Form::Powder)[..] else { panic!("one question") };
    assert!(question.message.contains("more than the product") && question.message.contains("urea"), "{question:?}");
    assert!(question.told.solids_percent > 110.0 && question.other.solids_percent < 101.0, "{question:?}");
    assert_eq!(question.other.label, LabelAnalysis { total_n: Some(46.0), urea_n: Some(46.0), ..NONE.with_npk() });
    // Ammonium nitrate, 34-0-0, needs no urea.
    assert_eq!(LabelAnalysis::from_npk("34-0-0").unwrap().questions(Form::Powder), []);
}

trait WithNpk {
    fn with_npk(self) -> Self;
}

impl WithNpk for LabelAnalysis {
    /// The two noughts of a nitrogen fertiliser's triple.
    fn with_npk(self) -> Self {
        Self { p2o5: Some(0.0), k2o: Some(0.0), ..self }
    }
}

#[test]
fn nitrogen_that_is_not_stated_is_asked_about() {
    let label = LabelAnalysis {
        total_n: Some(10.0),
        nitrate_n: Some(5.5),
        ammonium_n: Some(1.5),
        p2o5: Some(5.0),
        k2o: Some(15.0),
        ..NONE
    };
    let [question] = &label.questions(Form::Powder)[..] else { panic!("one question") };
    assert_eq!(question.key, "total_n");
    assert!(question.message.contains("7 % of the 10 % nitrogen; 3 % is left over"), "{}", question.message);
    assert_eq!(question.other.label.urea_n, Some(3.0));
    // As a check: a caution that names field, value and the other reading.
    let problems = product(Role::Feed, Form::Powder, Strength::Label(Box::new(label))).check();
    assert_eq!(problems.len(), 1);
    assert_eq!((problems[0].field.as_str(), problems[0].severity), ("strength.label.total_n", Severity::Caution));
    assert!(problems[0].limit.contains("3 % as urea"), "{problems:?}");
    // Rounding is no question, forms above the total are refused, and a total alone is what many labels have.
    let near = LabelAnalysis { total_n: Some(7.1), ..label };
    assert_eq!(near.questions(Form::Powder), []);
    let over =
        product(Role::Feed, Form::Powder, Strength::Label(Box::new(LabelAnalysis { total_n: Some(6.0), ..label })));
    assert_eq!(over.check()[0].message, "the forms of nitrogen make 7 %, more than the total of 6 %");
    assert_eq!(
        (over.check()[0].field.as_str(), over.check()[0].severity),
        ("strength.label.total_n", Severity::Refused)
    );
    assert_eq!(LabelAnalysis::from_npk("10-5-15").unwrap().questions(Form::Powder), []);
    let said = labelled(Form::Powder, &label).notes.join(" ");
    assert!(said.contains("which form 3.0 of the 10.0 % nitrogen has"), "{said}");
}

#[test]
fn oxides_typed_as_elements_are_asked_about() {
    // Kratky's 8-15-36 with the numbers under P and K: the ions would weigh more than the powder.
    let label = LabelAnalysis { total_n: Some(8.0), p: Some(15.0), k: Some(36.0), ..NONE };
    let [question] = &label.questions(Form::Powder)[..] else { panic!("one question") };
    assert_eq!(question.key, "p");
    assert_eq!(question.other.words, "P2O5 15 %, K2O 36 %");
    assert_eq!(question.other.label, LabelAnalysis::from_npk("8-15-36").unwrap());
    close(question.other_value.unwrap(), 15.0 * 0.4364, 0.001);
    assert!(question.told.solids_percent > 110.0 && question.other.solids_percent < 100.0, "{question:?}");
    assert!(question.message.contains("more than there is"), "{}", question.message);
    let problem = &product(Role::Feed, Form::Powder, Strength::Label(Box::new(label))).check()[0];
    assert_eq!((problem.field.as_str(), problem.severity), ("strength.label.p", Severity::Caution));
    assert_eq!(problem.offers[0].label, "P2O5 15 %, K2O 36 %");
    // Potassium nitrate of fertiliser grade, 13.7-0-44 to 46 (from memory), with its potash under K: a seventh of the ions finds
    // no partner. A label that lists sulfur and chloride has told all its anions.
    let salt = LabelAnalysis { nitrate_n: Some(13.7), k: Some(45.0), s: Some(0.0), cl: Some(0.2), ..NONE };
    let [question] = &salt.questions(Form::Powder)[..] else {
        panic!("one question: {:?}", salt.questions(Form::Powder))
    };
    assert_eq!((question.key, question.other.label.k2o, question.other.label.k), ("k", Some(45.0), None));
    assert!(question.other.without_partner <= 0.03, "{question:?}");
    // In a weak liquid nothing gives it away, and nothing is asked.
    let liquid_label = LabelAnalysis { nitrate_n: Some(2.0), p: Some(0.44), k: Some(4.98), mg: Some(0.5), ..NONE };
    assert_eq!(liquid_label.questions(liquid(1.0)), []);
}

#[test]
fn labels_that_make_sense_are_not_asked_about() {
    for shipped in &catalog().products {
        let unit_g = match shipped.form {
            Form::Liquid { density_g_ml } => density_g_ml.unwrap_or(1.0),
            Form::Powder => 1.0,
        };
        if matches!(shipped.strength, Strength::Recipe(_)) {
            let label = shipped.dissolved().unwrap().as_label(unit_g);
            assert_eq!(label.questions(shipped.form), [], "{}", shipped.id);
        }
        assert_eq!(shipped.check(), [], "{}", shipped.id);
    }
    // Every pure salt, printed as a label would print it (acids and bases have their own description).
    let mut asked = 0;
    for salt in Salt::ALL.into_iter().filter(|salt| salt.row().alkalinity_eq == 0.0) {
        let recipe = Strength::Recipe(Recipe { salts: vec![SaltAmount { salt, grams: 1000.0 }] });
        let pure = product(Role::Feed, Form::Powder, recipe).dissolved().unwrap();
        let label = pure.as_label(1.0);
        if pure.moles[Component::B] > 0.0 || pure.moles[Component::C] > 0.0 {
            continue;
        }
        assert_eq!(label.questions(Form::Powder), [], "{salt:?}");
        asked += 1;
    }
    assert!(asked >= 18, "{asked}");
}
