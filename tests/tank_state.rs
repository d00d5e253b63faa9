//! Is the tank that we infer the tank that was there? Invented tanks solved by an outside engine (IPhreeqc 3.8.6; see
//! `reference/README.md`), read with error, inferred: the truth must lie inside the stated ranges at the stated rate.
//!
//! The noise is drawn here, from a fixed seed: a pen with an offset of 0.1 pH (1 sd) of its own, 3 % in EC.
#![expect(clippy::unwrap_used, reason = "a test stops at a broken set-up")]

use pourcast::dose::{Pour, Showing};
use pourcast::garden::{
    AcidKind, BaseKind, Catalog, Compensation, Concentration, Evidence, Form, LevelKnown, LogEntry, Meter, PourRecord,
    Product, ProductRef, Reading, Recipe, Role, Salt, SaltAmount, ShelfItem, SourceWater, Strength, Tool, Unit,
    UnitKind, WaterKind,
};
use pourcast::learn::{Belief, Knowledge, Member, quantile};
use rand::SeedableRng as _;
use rand_distr::{Distribution as _, StandardNormal};
use rand_pcg::Pcg64Mcg;
use serde_json::Value;

const NOW_S: i64 = 1_790_000_000;
const LITRES: f64 = 20.0;

fn number(value: &Value, path: &str) -> f64 {
    path.split('.').fold(value, |at, key| &at[key]).as_f64().unwrap_or_else(|| panic!("no number at {path}"))
}

fn product(id: &str, role: Role, form: Form, strength: Strength) -> Product {
    Product {
        id: id.to_owned(),
        name: id.to_owned(),
        role,
        form,
        strength,
        label_rate: None,
        partner: None,
        cautions: Vec::new(),
        source: "test".to_owned(),
        evidence: Evidence::Ours,
        note: None,
    }
}

/// The tanks' feed, from the file's recipe in mmol per g, as grams of salt per kg.
fn feed(recipe: &Value) -> Product {
    let gram = |key: &str, molar_mass: f64| number(recipe, key) * molar_mass;
    // Molar masses by IUPAC 2021 weights.
    let salts = [
        (Salt::CalciumNitrate, gram("Ca(NO3)2", 164.086)),
        (Salt::PotassiumNitrate, gram("KNO3", 101.102)),
        (Salt::MagnesiumSulfate, gram("MgSO4", 120.361)),
        (Salt::MonopotassiumPhosphate, gram("KH2PO4", 136.084)),
        (Salt::AmmoniumNitrate, gram("NH4NO3", 80.043)),
    ];
    let salts = salts.into_iter().map(|(salt, grams)| SaltAmount { salt, grams }).collect();
    product("feed", Role::Feed, Form::Powder, Strength::Recipe(Recipe { salts }))
}

fn unit_of(tank: &Value, recipe: &Value, noise: &mut impl FnMut() -> f64) -> Unit {
    let liquid = Form::Liquid { density_g_ml: Some(1.05) };
    let acid = Strength::Acid { acid: AcidKind::Phosphoric, concentration: Concentration::MolPerL(1.0) };
    let base = Strength::Base { base: BaseKind::PotassiumHydroxide, concentration: Concentration::MolPerL(1.0) };
    let shelf = [feed(recipe), product("acid", Role::PhDown, liquid, acid), product("base", Role::PhUp, liquid, base)]
        .into_iter()
        .map(|own| ShelfItem::new(ProductRef::Own(Box::new(own)), Tool::SYRINGE_10))
        .collect();
    let kind = match tank["kind"].as_str().unwrap() {
        "ro" => WaterKind::ReverseOsmosis,
        "rain" => WaterKind::Rain,
        "soft" => WaterKind::SoftTap,
        "medium" => WaterKind::MediumTap,
        "hard" => WaterKind::HardTap,
        "softened" => WaterKind::Softened,
        "hard_well" => WaterKind::HardWell,
        other => panic!("unknown kind {other}"),
    };
    let history = tank["history"].as_str().unwrap();
    let (ph_offset, ec_gain) = (0.1 * noise(), (0.03 * noise()).exp());
    let mut read = |ph: f64, ec_us_cm: f64| {
        let ph = ph + ph_offset + 0.045 * noise();
        let ec = ec_us_cm / 1e3 * ec_gain * (1.0 + 0.012 * noise());
        (((ph * 100.0).round() / 100.0), ((ec * 1000.0).round() / 1000.0).max(0.0))
    };
    let (water_ph, water_ec) = read(number(tank, "water.pH_25C"), number(tank, "water.SC_kohlrausch_25C_uS_cm"));
    let (ph, ec) = read(number(tank, "tank.pH"), number(tank, "tank.SC_kohlrausch_25C_uS_cm"));
    let kg = LITRES / number(tank, "tank.volume_L_per_kgw");
    let filled_s = match history {
        "water" | "fresh" => NOW_S - 300,
        "stood" => NOW_S - 20 * 3600,
        _ => NOW_S - 6 * 86_400,
    };
    let mut log = vec![LogEntry::Refill { at_s: filled_s, water_l: LITRES }];
    let mut poured = |product_id: &str, amount: f64| {
        if amount > 0.0 {
            log.push(LogEntry::Pour(PourRecord {
                at_s: filled_s + 60,
                product_id: product_id.to_owned(),
                amount,
                promise: None,
            }));
        }
    };
    poured("feed", number(tank, "feed_g_per_kgw") * kg);
    poured("acid", number(tank, "acid_mmol_per_kgw") * kg);
    poured("base", number(tank, "base_mmol_per_kgw") * kg);
    log.push(LogEntry::Reading(Reading {
        at_s: NOW_S,
        ph: Some(ph),
        ec_ms_cm: Some(ec),
        temperature_c: Some(number(tank, "temperature_C")),
        level_l: Some(LITRES),
    }));
    Unit {
        name: "Test".to_owned(),
        kind: UnitKind::Recirculating,
        tank_l: 25.0,
        level_l: LITRES,
        level_known: LevelKnown::Jug,
        source_water: SourceWater { ec_ms_cm: Some(water_ec), ph: Some(water_ph), ..SourceWater::of_kind(kind) },
        crop_id: "lettuce".to_owned(),
        stage_id: "leaf".to_owned(),
        also_growing: Vec::new(),
        own_crops: Vec::new(),
        own_band: None,
        plants_in: history == "grown",
        shelf,
        meter: Meter { ph_step: 0.01, ec_step_ms_cm: 0.001, compensation: Compensation::Ideal, ..Meter::default() },
        log,
    }
}

/// Counts how often the truth lies inside the middle 80 of 100 members.
#[derive(Default)]
struct Coverage {
    inside: usize,
    all: usize,
}

impl Coverage {
    fn add(&mut self, mut members: Vec<f64>, truth: f64) -> bool {
        let inside = (quantile(&mut members, 0.1)..=quantile(&mut members, 0.9)).contains(&truth);
        self.inside += usize::from(inside);
        self.all += 1;
        inside
    }

    fn percent(&self) -> f64 {
        100.0 * self.inside as f64 / self.all as f64
    }
}

#[test]
fn the_truth_lies_in_the_stated_range_at_the_stated_rate() {
    let file: Value = serde_json::from_str(include_str!("reference/tanks.json")).unwrap();
    let catalog = Catalog::shipped().unwrap();
    let mut source = Pcg64Mcg::seed_from_u64(11);
    let mut noise = || -> f64 { StandardNormal.sample(&mut source) };
    let (mut alkalinity, mut mixed, mut settled, mut ec) =
        (Coverage::default(), Coverage::default(), Coverage::default(), Coverage::default());
    for (i, tank) in file["tanks"].as_array().unwrap().iter().enumerate() {
        let unit = unit_of(tank, &file["feed_mmol_per_g"], &mut noise);
        let id = tank["id"].as_str().unwrap();
        let knowledge = Knowledge::of(&unit, &catalog, NOW_S).unwrap_or_else(|error| panic!("{id}: {error}"));
        let belief = Belief::of(&knowledge, i as u64 + 1).unwrap_or_else(|error| panic!("{id}: {error}"));
        let each = |of: &dyn Fn(&Member) -> f64| -> Vec<f64> { belief.members.iter().map(of).collect() };
        alkalinity.add(each(&|m| m.tank.alkalinity_meq_kg()), number(tank, "tank.alkalinity_meq_kgw"));
        // What the same pour as the outside engine made would do: the strength is known here, so only the tank is in doubt.
        let (acid, base) = (number(tank, "follow_up.acid_mmol_per_kgw"), number(tank, "follow_up.base_mmol_per_kgw"));
        let showing: &Showing = &knowledge.showing;
        let after = |m: &Member| {
            let pour = |product: &Option<pourcast::learn::ProductBelief>, mmol: f64| -> Pour {
                product.as_ref().unwrap().pour.of(mmol * m.tank.water_kg)
            };
            let (acid, base) = (pour(&knowledge.ph_down, acid), pour(&knowledge.ph_up, base));
            m.tank.with(&acid.moles, 0.0, acid.amount).with(&base.moles, 0.0, base.amount)
        };
        let truth = number(tank, "follow_up.just_mixed.pH");
        mixed.add(each(&|m| showing.of(&after(m).totals).unwrap().ph), truth);
        let in_air = |m: &Member| {
            let balance =
                pourcast::chem::Carbon::Balance { log10_pco2_atm: pourcast::chem::log10_pco2_from_ppm(420.0) };
            showing.medium().solve(&after(m).totals, balance).unwrap().ph()
        };
        settled.add(each(&in_air), number(tank, "follow_up.settled.pH_420ppm"));
        let true_ec = number(tank, "tank.SC_kohlrausch_25C_uS_cm") / 1e3;
        ec.add(each(&|m| showing.of(&m.tank.totals).unwrap().ec_ms_cm), true_ec);
    }
    println!("truth inside the 80 % range, {} tanks:", mixed.all);
    for (name, coverage) in
        [("alkalinity", &alkalinity), ("pH just mixed", &mixed), ("pH settled", &settled), ("EC", &ec)]
    {
        println!("  {name:14} {:5.1} %", coverage.percent());
    }
    // 200 tanks put 2.8 points of sampling error (1 sd) on an 80 % share; 75 to 93 is what the trial with invented
    // households accepted.
    for (name, coverage) in [("alkalinity", alkalinity), ("pH just mixed", mixed), ("pH settled", settled), ("EC", ec)]
    {
        assert!((75.0..=93.0).contains(&coverage.percent()), "{name}: {:.1} %", coverage.percent());
    }
}

/// The default point shows the reading itself, and so does each end of what the reading leaves free.
#[test]
fn the_state_explains_the_reading() {
    let file: Value = serde_json::from_str(include_str!("reference/tanks.json")).unwrap();
    let catalog = Catalog::shipped().unwrap();
    let mut silent = || 0.0;
    let (mut checked, mut apart) = (0, 0);
    for tank in file["tanks"].as_array().unwrap() {
        let unit = unit_of(tank, &file["feed_mmol_per_g"], &mut silent);
        let knowledge = Knowledge::of(&unit, &catalog, NOW_S).unwrap();
        let state = Belief::of(&knowledge, 1).unwrap().state;
        let (Some(ph), Some(ec)) = (knowledge.seen.ph, knowledge.seen.ec_ms_cm) else { continue };
        for shown in
            [&state.default, &state.free[0].low.1, &state.free[0].high.1, &state.free[1].low.1, &state.free[1].high.1]
        {
            let point = knowledge.showing.of(&shown.totals).unwrap();
            assert!((point.ph - ph).abs() < 0.02, "{}: pH {} for {ph}", tank["id"], point.ph);
            assert!((point.ec_ms_cm - ec).abs() < 0.02 * ec + 0.01, "{}: EC {} for {ec}", tank["id"], point.ec_ms_cm);
        }
        checked += 1;
        apart += usize::from(
            (state.free[0].low.1.alkalinity_meq_kg() - state.free[0].high.1.alkalinity_meq_kg()).abs() > 1e-6,
        );
    }
    assert!(checked > 150, "{checked}");
    assert!(apart > 150, "a reading leaves the alkalinity open in nearly every tank: {apart}");
    println!("{checked} tanks explained; in {apart} the reading leaves the tank's alkalinity open");
}
