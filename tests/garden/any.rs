//! Whatever is written down of a product or a water: an answer or a reason, never a panic, never a number that is none.

use pourcast::garden::*;
use proptest::prelude::*;

use super::product;

fn line() -> impl Strategy<Value = Option<f64>> {
    prop_oneof![
        30 => Just(None),
        20 => (0.0..12.0_f64).prop_map(Some),
        3 => Just(Some(0.0)),
        1 => prop_oneof![Just(-1.0), Just(f64::NAN), Just(f64::INFINITY), Just(1e300), Just(1e-300)].prop_map(Some),
    ]
}

fn any_label() -> impl Strategy<Value = LabelAnalysis> {
    let lines = proptest::collection::vec(line(), 23);
    (lines, 0..LabelBasis::ALL.len(), proptest::option::of(0..3_usize), proptest::option::of(0..3_usize)).prop_map(
        |(lines, basis, iron, trace)| {
            let [
                total_n,
                nitrate_n,
                ammonium_n,
                urea_n,
                p2o5,
                p,
                k2o,
                k,
                ca,
                cao,
                mg,
                mgo,
                s,
                so3,
                na,
                cl,
                sio2,
                b,
                fe,
                mn,
                zn,
                cu,
                mo,
            ] = lines[..]
            else {
                panic!("23 lines")
            };
            // Half of the time no element stands there twice, so that the label gets further than that.
            let one = |oxide: Option<f64>, element: Option<f64>| {
                if basis % 2 == 0 && element.is_some() { None } else { oxide }
            };
            LabelAnalysis {
                basis: LabelBasis::ALL[basis],
                total_n,
                nitrate_n,
                ammonium_n,
                urea_n,
                p2o5: one(p2o5, p),
                p,
                k2o: one(k2o, k),
                k,
                ca,
                cao: one(cao, ca),
                mg,
                mgo: one(mgo, mg),
                s,
                so3: one(so3, s),
                na,
                cl,
                sio2,
                b,
                fe,
                fe_chelate: iron.map(|i| Chelate::ALL[i]),
                mn,
                zn,
                cu,
                mo,
                trace_chelate: trace.map(|i| Chelate::ALL[i]),
            }
        },
    )
}

fn any_form() -> impl Strategy<Value = Form> {
    prop_oneof![
        Just(Form::Powder),
        Just(Form::Liquid { density_g_ml: None }),
        (0.5..2.5_f64).prop_map(|density| Form::Liquid { density_g_ml: Some(density) }),
    ]
}

fn any_report() -> impl Strategy<Value = WaterReport> {
    let of = prop_oneof![
        3 => Just(None),
        6 => (0.0..300.0_f64).prop_map(Some),
        1 => prop_oneof![Just(-1.0), Just(f64::NAN), Just(0.0), Just(5000.0)].prop_map(Some),
    ];
    proptest::collection::vec(of, 10).prop_map(|lines| {
        let [ca_mg_l, mg_mg_l, na_mg_l, k_mg_l, cl_mg_l, so4_mg_l, no3_mg_l, hco3_mg_l, sio2_mg_l, b_mg_l] = lines[..]
        else {
            panic!("10 lines")
        };
        WaterReport { ca_mg_l, mg_mg_l, na_mg_l, k_mg_l, cl_mg_l, so4_mg_l, no3_mg_l, hco3_mg_l, sio2_mg_l, b_mg_l }
    })
}

fn any_water() -> impl Strategy<Value = SourceWater> {
    let number = |most: f64| prop_oneof![2 => Just(None), 3 => (0.0..most).prop_map(Some)];
    let report = proptest::option::weighted(0.6, any_report());
    (0..WaterKind::ALL.len(), number(2.0), number(14.0), number(8.0), number(500.0), report).prop_map(
        |(kind, ec_ms_cm, ph, alkalinity_meq_l, hardness_mg_caco3_l, report)| SourceWater {
            ec_ms_cm,
            ph,
            alkalinity_meq_l,
            hardness_mg_caco3_l,
            report,
            ..SourceWater::of_kind(WaterKind::ALL[kind])
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 512, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_label_dissolves_or_says_why(label in any_label(), form in any_form()) {
        let bottle = product(Role::Feed, form, Strength::Label(Box::new(label)));
        let problems = bottle.check();
        let refused: Vec<_> = problems.iter().filter(|problem| problem.severity == Severity::Refused).collect();
        prop_assert!(problems.iter().all(|p| !p.message.is_empty() && p.message.len() < 500 && !p.field.is_empty()));
        match bottle.dissolved() {
            Ok(found) => {
                prop_assert!(refused.is_empty(), "{refused:?}");
                prop_assert!(found.moles.is_physical() && found.water_g.is_finite() && found.water_g >= 0.0);
                prop_assert!((0.0..=50.0).contains(&found.urea_n_mol) && found.ln_sd > 0.0);
                // The closing leaves what it says and nothing else.
                prop_assert!((found.moles.alkalinity() + found.closure.free_acid_eq).abs() < 1e-12);
                for question in label.questions(form) {
                    prop_assert!(question.other.label != label && question.other.solids_percent.is_finite());
                    // What is offered can itself be used.
                    let meant = product(Role::Feed, form, Strength::Label(Box::new(question.other.label)));
                    prop_assert!(meant.dissolved().is_ok(), "{question:?}");
                }
            }
            Err(error) => prop_assert!(!refused.is_empty(), "{error} is not told by the check"),
        }
    }

    #[test]
    fn any_water_is_known_or_says_why(
        first in any_water(),
        other in proptest::option::of((-0.2..1.2_f64, any_water())),
    ) {
        let catalog = super::catalog();
        let water = SourceWater { blend: other.map(|(share, other)| Blend::of(share, other)), ..first };
        let refused = water.check().into_iter().any(|problem| problem.severity == Severity::Refused);
        match water.known(&catalog) {
            Ok(known) => {
                prop_assert!(!refused);
                prop_assert!(known.composition.totals.is_physical() && known.composition.log10_pco2.is_finite());
                prop_assert!(known.composition.ec_ms_cm.is_finite() && known.composition.ph.is_finite());
                for prior in [known.alkalinity_meq_l, known.profile.other_anions_meq_l.value] {
                    prop_assert!(prior.median > 0.0 && prior.ln_sd > 0.0 && prior.median.is_finite() && prior.ln_sd < 2.0);
                }
                prop_assert!(known.report_ions.is_none_or(|ions| ions.is_physical()));
                prop_assert!(known.hardness_meq_l.is_none_or(|meq| meq >= 0.0 && meq.is_finite()));
                prop_assert!(known.composition.notes.iter().all(|note| !note.contains("NaN") && !note.is_empty()));
            }
            Err(error) => prop_assert!(!error.to_string().is_empty()),
        }
        if let Some(report) = first.report {
            for slip in report.likely_slips(first.alkalinity_meq_l) {
                prop_assert!(slip.percent.abs() <= 5.0 && (0.0..=5000.0).contains(&slip.value_mg_l), "{slip:?}");
                prop_assert!(slip.report != report);
            }
        }
    }
}
