//! Solutions solved by an outside engine (see `reference/README.md`), solved again by ours: pH, EC, ionic strength,
//! alkalinity and saturation.
//!
//! People bring their own solutions in the variable `POURCAST_CASES`: paths of files in the form of `holdout.json`,
//! separated by colons. A named file that yields nothing to compare is a failure.

use std::collections::BTreeMap;
use std::error::Error;
use std::fmt::Write as _;

use pourcast::chem::{Carbon, Component, Medium, Mineral, Mobilities, Speciation, Totals};
use serde::Deserialize;

type Fallible<T> = Result<T, Box<dyn Error>>;

/// CO2 in the open air of the case files, log10 atm, where a case does not say it.
const OPEN_AIR_LOG10_PCO2_ATM: f64 = -3.38;

/// How far we may be from the engine. The pH and EC limits are what the planner promises; the others are tight enough
/// that a wrong constant or a missing species shows.
mod limit {
    pub(super) const PH: f64 = 0.01;
    pub(super) const EC_SHARE: f64 = 0.01;
    pub(super) const EC_US_CM: f64 = 0.1;
    pub(super) const IONIC_STRENGTH_SHARE: f64 = 0.002;
    /// The files round to 1e-7 mol/kg.
    pub(super) const IONIC_STRENGTH_MOL_KG: f64 = 1e-7;
    pub(super) const ALKALINITY_MEQ_KG: f64 = 1e-3;
    pub(super) const ALKALINITY_SHARE: f64 = 1e-3;
    pub(super) const TIC_SHARE: f64 = 0.002;
    /// The files round to 1e-6 mmol/kg.
    pub(super) const TIC_MMOL_KG: f64 = 1e-5;
    pub(super) const SATURATION_INDEX: f64 = 0.02;
    pub(super) const LOG10_PCO2_ATM: f64 = 0.01;
    /// Ours has molar volumes of infinite dilution at 25 °C; the engine's follow temperature and ionic strength.
    pub(super) const VOLUME_SHARE: f64 = 0.001;
    /// Of mass and of charge, relative: what the solver itself promises, engine or not.
    pub(super) const IMBALANCE: f64 = 1e-9;
}

#[derive(Deserialize)]
struct CaseFile {
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    id: String,
    #[serde(rename = "temperature_C")]
    temperature_c: f64,
    totals_mmol_per_kgw: BTreeMap<String, f64>,
    phreeqc: States,
}

#[derive(Deserialize)]
struct States {
    closed: Option<State>,
    open_air: Option<State>,
}

#[derive(Deserialize)]
struct State {
    #[serde(rename = "pH")]
    ph: Option<f64>,
    #[serde(rename = "SC_kohlrausch_at_T_uS_cm")]
    ec_at_t_us_cm: Option<f64>,
    #[serde(rename = "SC_kohlrausch_25C_uS_cm")]
    ec_at_25_us_cm: Option<f64>,
    ionic_strength_mol_kgw: Option<f64>,
    alkalinity_meq_kgw: Option<f64>,
    #[serde(rename = "TIC_mmol_kgw")]
    tic_mmol_kgw: Option<f64>,
    #[serde(rename = "log10_pCO2_atm")]
    log10_pco2_atm: Option<f64>,
    #[serde(rename = "solution_volume_L", alias = "volume_L_per_kgw")]
    solution_volume_l: Option<f64>,
    #[serde(rename = "SI", default)]
    saturation: BTreeMap<String, Option<f64>>,
}

#[derive(Deserialize)]
struct TankFile {
    tanks: Vec<Tank>,
}

/// Of an invented tank, what the chemistry alone can check.
#[derive(Deserialize)]
struct Tank {
    id: String,
    #[serde(rename = "temperature_C")]
    temperature_c: f64,
    water: Content,
    #[serde(rename = "tank")]
    now: Content,
    settled: Settled,
    follow_up: FollowUp,
}

#[derive(Deserialize)]
struct Content {
    totals_mmol_per_kgw: BTreeMap<String, f64>,
    #[serde(flatten)]
    reading: State,
}

#[derive(Deserialize)]
struct Settled {
    #[serde(rename = "pH_420ppm")]
    ph_420_ppm: f64,
    #[serde(rename = "pH_1500ppm")]
    ph_1500_ppm: f64,
}

#[derive(Deserialize)]
struct FollowUp {
    acid_mmol_per_kgw: f64,
    base_mmol_per_kgw: f64,
    just_mixed: State,
    settled: Settled,
}

fn component(name: &str) -> Fallible<Component> {
    let found = Component::ALL.into_iter().find(|component| component.name() == name);
    found.ok_or_else(|| format!("no component is called {name}").into())
}

fn mineral(name: &str) -> Fallible<Mineral> {
    Ok(match name {
        "calcite" => Mineral::Calcite,
        "gypsum" => Mineral::Gypsum,
        "brushite" => Mineral::Brushite,
        "HAP" => Mineral::Hydroxyapatite,
        "struvite" => Mineral::Struvite,
        "SiO2a" => Mineral::AmorphousSilica,
        other => return Err(format!("no mineral is called {other}").into()),
    })
}

fn totals_of(mmol_per_kgw: &BTreeMap<String, f64>) -> Fallible<Totals> {
    let mut totals = Totals::ZERO;
    for (name, mmol_kg) in mmol_per_kgw {
        totals[component(name)?] = mmol_kg * 1e-3;
    }
    Ok(totals)
}

/// The worst of one kind of number: its difference as a share of what is allowed, and where.
#[derive(Default)]
struct Worst {
    count: usize,
    share: f64,
    difference: f64,
    place: String,
}

/// Everything compared in one file.
#[derive(Default)]
struct Comparison {
    states: usize,
    worst: BTreeMap<&'static str, Worst>,
    misses: Vec<String>,
}

impl Comparison {
    fn check(&mut self, what: &'static str, place: &str, ours: f64, theirs: f64, allowed: f64) {
        let difference = ours - theirs;
        // A NaN on either side is as wrong as can be.
        let share = Some(difference.abs() / allowed).filter(|share| !share.is_nan()).unwrap_or(f64::INFINITY);
        if share > 1.0 {
            self.misses.push(format!("{place}: {what} {ours} against {theirs}, allowed {allowed:.3e}"));
        }
        let worst = self.worst.entry(what).or_default();
        worst.count += 1;
        if worst.count == 1 || share > worst.share {
            *worst = Worst { count: worst.count, share, difference, place: place.to_owned() };
        }
    }

    fn ec(&mut self, what: &'static str, place: &str, ours: f64, theirs: f64) {
        self.check(what, place, ours, theirs, (limit::EC_SHARE * theirs).max(limit::EC_US_CM));
    }

    fn state(&mut self, place: &str, (totals, t_c): (&Totals, f64), state: &State, carbon: Carbon) -> Fallible<()> {
        let medium = Medium::at(t_c)?;
        let solved = medium.solve(totals, carbon)?;
        let mut compared = false;
        if let Some(theirs) = state.ph {
            self.check("pH", place, solved.ph(), theirs, limit::PH);
            compared = true;
        }
        if let Some(theirs) = state.ec_at_t_us_cm {
            self.ec("EC at T, uS/cm", place, solved.conductivity_us_cm(&medium, Mobilities::TableOnly), theirs);
            compared = true;
        }
        if let Some(theirs) = state.ec_at_25_us_cm {
            // The open case at 25 °C holds the carbon it took up at its own temperature.
            let mut at_25 = *totals;
            at_25[Component::C] = solved.total_carbon();
            let medium_25 = Medium::at(25.0)?;
            let solved_25 = medium_25.solve(&at_25, Carbon::Kept)?;
            let ours = solved_25.conductivity_us_cm(&medium_25, Mobilities::TableOnly);
            self.ec("EC at 25 C, uS/cm", place, ours, theirs);
            compared = true;
        }
        if let Some(theirs) = state.ionic_strength_mol_kgw {
            let allowed = (limit::IONIC_STRENGTH_SHARE * theirs).max(limit::IONIC_STRENGTH_MOL_KG);
            self.check("ionic strength, mol/kg", place, solved.ionic_strength(), theirs, allowed);
        }
        if let Some(theirs) = state.alkalinity_meq_kgw {
            let allowed = (limit::ALKALINITY_SHARE * theirs.abs()).max(limit::ALKALINITY_MEQ_KG);
            self.check("alkalinity, meq/kg", place, totals.alkalinity() * 1e3, theirs, allowed);
        }
        if let Some(theirs) = state.tic_mmol_kgw {
            let allowed = (limit::TIC_SHARE * theirs).max(limit::TIC_MMOL_KG);
            self.check("total carbon, mmol/kg", place, solved.total_carbon() * 1e3, theirs, allowed);
        }
        if let (Some(theirs), Carbon::Kept) = (state.log10_pco2_atm, carbon) {
            let ours = solved.log10_pco2(&medium).ok_or_else(|| format!("{place}: no carbon dioxide"))?;
            self.check("log10 pCO2, atm", place, ours, theirs, limit::LOG10_PCO2_ATM);
        }
        if let Some(theirs) = state.solution_volume_l {
            let ours = solved.volume_l_per_kg(&medium);
            self.check("volume, L/kg", place, ours, theirs, limit::VOLUME_SHARE * theirs);
        }
        self.saturation(place, &medium, &solved, state)?;
        self.check("imbalance", place, solved.imbalance(), 0.0, limit::IMBALANCE);
        if compared {
            self.states += 1;
        }
        Ok(())
    }

    /// The pH in balance with 420 and with 1,500 ppm of carbon dioxide.
    fn settled(&mut self, place: &str, (totals, t_c): (&Totals, f64), settled: &Settled) -> Fallible<()> {
        let medium = Medium::at(t_c)?;
        for (ppm, theirs) in [(420.0, settled.ph_420_ppm), (1500.0, settled.ph_1500_ppm)] {
            let carbon = Carbon::Balance { log10_pco2_atm: f64::log10(ppm * 1e-6) };
            let ours = medium.solve(totals, carbon)?.ph();
            self.check("pH settled", &format!("{place}, {ppm} ppm"), ours, theirs, limit::PH);
        }
        Ok(())
    }

    fn tank(&mut self, tank: &Tank) -> Fallible<()> {
        let (id, t_c) = (&tank.id, tank.temperature_c);
        let water = totals_of(&tank.water.totals_mmol_per_kgw)?;
        self.state(&format!("{id} water"), (&water, t_c), &tank.water.reading, Carbon::Kept)?;
        let totals = totals_of(&tank.now.totals_mmol_per_kgw)?;
        self.state(&format!("{id} tank"), (&totals, t_c), &tank.now.reading, Carbon::Kept)?;
        self.settled(&format!("{id} tank"), (&totals, t_c), &tank.settled)?;
        let mut dosed = totals;
        dosed[Component::P] += tank.follow_up.acid_mmol_per_kgw * 1e-3;
        dosed[Component::K] += tank.follow_up.base_mmol_per_kgw * 1e-3;
        let place = format!("{id} after one more dose");
        self.state(&place, (&dosed, t_c), &tank.follow_up.just_mixed, Carbon::Kept)?;
        self.settled(&place, (&dosed, t_c), &tank.follow_up.settled)
    }

    fn saturation(&mut self, place: &str, medium: &Medium, solved: &Speciation, state: &State) -> Fallible<()> {
        for (name, theirs) in &state.saturation {
            let place = format!("{place}, {name}");
            match (solved.saturation_index(medium, mineral(name)?), theirs) {
                (Some(ours), Some(theirs)) => {
                    self.check("saturation index", &place, ours, *theirs, limit::SATURATION_INDEX);
                }
                (None, None) => {}
                (ours, theirs) => self.misses.push(format!("{place}: saturation {ours:?} against {theirs:?}")),
            }
        }
        Ok(())
    }

    fn report(&self, path: &str) -> String {
        let mut text = format!("{path}: {} states compared", self.states);
        for (what, worst) in &self.worst {
            // Writing to a string cannot fail.
            let _ = write!(
                text,
                "\n  {what:24} {:5} compared, worst {:+.3e} ({:.0} % of what is allowed) at {}",
                worst.count,
                worst.difference,
                100.0 * worst.share,
                worst.place
            );
        }
        text
    }
}

fn compare(path: &str) -> Fallible<Comparison> {
    let text = std::fs::read_to_string(path).map_err(|why| format!("{path}: {why}"))?;
    let file: CaseFile = serde_json::from_str(&text).map_err(|why| format!("{path}: {why}"))?;
    let mut comparison = Comparison::default();
    for case in &file.cases {
        let solution = (&totals_of(&case.totals_mmol_per_kgw)?, case.temperature_c);
        if let Some(state) = &case.phreeqc.closed {
            comparison.state(&format!("{} closed", case.id), solution, state, Carbon::Kept)?;
        }
        if let Some(state) = &case.phreeqc.open_air {
            let log10_pco2_atm = state.log10_pco2_atm.unwrap_or(OPEN_AIR_LOG10_PCO2_ATM);
            let carbon = Carbon::Balance { log10_pco2_atm };
            comparison.state(&format!("{} open", case.id), solution, state, carbon)?;
        }
    }
    Ok(comparison)
}

fn compare_tanks(path: &str) -> Fallible<Comparison> {
    let file: TankFile = serde_json::from_str(&std::fs::read_to_string(path)?)?;
    let mut comparison = Comparison::default();
    for tank in &file.tanks {
        comparison.tank(tank)?;
    }
    Ok(comparison)
}

/// A verdict on one file: nothing compared and anything missed are both failures.
fn verdict(path: &str) -> Result<String, String> {
    judge(path, &compare(path).map_err(|why| why.to_string())?)
}

fn judge(path: &str, comparison: &Comparison) -> Result<String, String> {
    let report = comparison.report(path);
    if comparison.states == 0 {
        return Err(format!("{path}: no state to compare"));
    }
    if comparison.misses.is_empty() {
        Ok(report)
    } else {
        Err(format!("{report}\n  {} missed:\n  {}", comparison.misses.len(), comparison.misses.join("\n  ")))
    }
}

fn reference(name: &str) -> String {
    format!("{}/tests/reference/{name}", env!("CARGO_MANIFEST_DIR"))
}

#[test]
fn every_reference_solution_agrees_with_the_outside_engine() {
    match verdict(&reference("solutions.json")) {
        Ok(report) => println!("{report}"),
        Err(report) => panic!("{report}"),
    }
}

#[test]
fn every_holdout_solution_agrees_with_the_outside_engine() {
    match verdict(&reference("holdout.json")) {
        Ok(report) => println!("{report}"),
        Err(report) => panic!("{report}"),
    }
}

/// The tanks are for the tests of what a reading tells; here only that engine and planner see the same chemistry in them.
#[test]
fn every_invented_tank_agrees_with_the_outside_engine() {
    let path = reference("tanks.json");
    let comparison = compare_tanks(&path).expect("the tanks can be read and solved");
    match judge(&path, &comparison) {
        Ok(report) => println!("{report}"),
        Err(report) => panic!("{report}"),
    }
    assert_eq!(comparison.states, 600, "200 tanks: the water, the tank, the tank after one more dose");
}

#[test]
fn every_file_that_people_bring_agrees_with_the_outside_engine() {
    let paths = std::env::var("POURCAST_CASES").unwrap_or_default();
    let mut failed = Vec::new();
    if paths.is_empty() {
        println!("POURCAST_CASES names no file");
    }
    for path in paths.split(':').filter(|path| !path.is_empty()) {
        match verdict(path) {
            Ok(report) => println!("{report}"),
            Err(report) => failed.push(report),
        }
    }
    assert!(failed.is_empty(), "{}", failed.join("\n"));
}

#[test]
fn a_file_that_yields_nothing_or_a_wrong_number_fails() {
    let folder = tempfile::tempdir().expect("a folder for the test");
    let write = |name: &str, text: &str| {
        let path = folder.path().join(name);
        std::fs::write(&path, text).expect("the folder can be written");
        path.to_string_lossy().into_owned()
    };
    let case = |states: &str| {
        format!(
            r#"{{"cases":[{{"id":"x","temperature_C":25,"totals_mmol_per_kgw":{{"K":10,"Cl":10}},"phreeqc":{states}}}]}}"#
        )
    };
    let empty = write("empty.json", r#"{"cases":[]}"#);
    assert!(verdict(&empty).is_err_and(|why| why.contains("no state to compare")));
    let silent = write("silent.json", &case("{}"));
    assert!(verdict(&silent).is_err_and(|why| why.contains("no state to compare")));
    let absent = folder.path().join("absent.json").to_string_lossy().into_owned();
    assert!(verdict(&absent).is_err_and(|why| why.contains("absent.json")));
    let wrong = write("wrong.json", &case(r#"{"closed":{"pH":7.1}}"#));
    assert!(verdict(&wrong).is_err_and(|why| why.contains("1 missed")));
    let right = write("right.json", &case(r#"{"closed":{"pH":6.9949,"SC_kohlrausch_at_T_uS_cm":1408.975}}"#));
    assert!(verdict(&right).is_ok_and(|report| report.contains("1 states compared")));
}
