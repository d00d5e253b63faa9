//! Invented households: a tank whose truth is known to the trial alone, drawn from the priors that the planner states, or
//! wider than they say.

use pourcast::chem::{Carbon, Component, Totals, log10_pco2_from_ppm};
use pourcast::dose::{ROOM_AIR_PPM, Showing, Tank};
use pourcast::garden::{
    Catalog, Compensation, Evidence, Form, JarPoint, JarTest, LevelKnown, LogEntry, Meter, PhInstrument, PourRecord,
    Priors, Product, ProductRef, Promise, Reading, Role, ShelfItem, SourceWater, Strength, Tool, Unit, UnitKind,
    WaterKind, compose_ions,
};
use rand::SeedableRng as _;
use rand_distr::{Distribution as _, StandardNormal, StandardUniform};
use rand_pcg::Pcg64Mcg;

use super::world::World;

/// When every trial starts, Unix seconds.
pub(crate) const NOW_S: i64 = 1_790_000_000;

/// No household's water holds more alkalinity, or more of the other anions, meq/L. Ours: beyond it nobody would plant.
const MOST_MEQ_L: f64 = 12.0;

fn shipped(id: &str, tool: Tool) -> ShelfItem {
    ShelfItem::new(ProductRef::Shipped(id.to_owned()), tool)
}

fn own(product: Product, tool: Tool) -> ShelfItem {
    ShelfItem::new(ProductRef::Own(Box::new(product)), tool)
}

/// How a household differs from what the planner takes for granted.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Arm {
    /// Factor on every width that the planner states: 1 is what it believes.
    pub(crate) width: f64,
    /// Share of households that name a kind of water next to theirs.
    pub(crate) mistaken: f64,
    /// Citrate that microbes eat, per hour.
    pub(crate) respired_per_h: f64,
    /// What pH is read with.
    pub(crate) instrument: Option<PhInstrument>,
    /// Share of readings read wrongly, and of pours poured twice.
    pub(crate) careless: f64,
}

impl Arm {
    /// The planner's own priors.
    pub(crate) const MATCHED: Self =
        Self { width: 1.0, mistaken: 0.0, respired_per_h: 0.0, instrument: None, careless: 0.0 };
}

/// Numbers from a fixed seed.
pub(crate) struct Chance(Pcg64Mcg);

impl Chance {
    pub(crate) fn of(seed: u64) -> Self {
        Self(Pcg64Mcg::seed_from_u64(seed))
    }

    /// Standard normal.
    pub(crate) fn normal(&mut self) -> f64 {
        StandardNormal.sample(&mut self.0)
    }

    /// 0 to 1.
    pub(crate) fn share(&mut self) -> f64 {
        StandardUniform.sample(&mut self.0)
    }

    /// One of some choices, each as likely.
    fn one_of<T: Copy>(&mut self, choices: &[T]) -> T {
        let mut chosen = choices[0];
        for (i, choice) in choices.iter().enumerate().skip(1) {
            if self.share() < 1.0 / (i + 1) as f64 {
                chosen = *choice;
            }
        }
        chosen
    }
}

/// What is true and what the person has.
pub(crate) struct Household {
    /// What the person knows.
    pub(crate) unit: Unit,
    /// The water that is there.
    pub(crate) tank: Tank,
    /// The present, Unix seconds.
    pub(crate) now_s: i64,
    /// Whether the pH-lowering liquid says what it is.
    pub(crate) labelled: bool,
    showing: Showing,
    source: Totals,
    exchange_per_h: f64,
    room_log10_pco2: f64,
    ph_offset: f64,
    ec_gain: f64,
    strengths: Vec<(String, Totals, f64)>,
    arm: Arm,
    chance: Chance,
}

/// The waters of the trial, each beside its neighbour in hardness. Kinds that came later are left out, so that a seed is the
/// same household as ever.
const WATERS: [WaterKind; 8] = [
    WaterKind::ReverseOsmosis,
    WaterKind::Rain,
    WaterKind::SoftTap,
    WaterKind::MediumTap,
    WaterKind::HardTap,
    WaterKind::HardWell,
    WaterKind::Softened,
    WaterKind::Unknown,
];

fn unlabelled(id: &str, role: Role, strength: Strength) -> Product {
    Product {
        id: id.to_owned(),
        name: "pH liquid without a label".to_owned(),
        role,
        form: Form::Liquid { density_g_ml: None },
        strength,
        label_rate: None,
        partner: None,
        cautions: Vec::new(),
        source: "a test".to_owned(),
        evidence: Evidence::Ours,
        note: None,
    }
}

impl Household {
    /// The household of a seed in an arm of the trial.
    pub(crate) fn in_arm(seed: u64, catalog: &Catalog, arm: Arm) -> Self {
        let w = arm.width;
        let mut chance = Chance::of(seed);
        let showing = Showing::new(21.0, Compensation::LinearPercent(2.0)).unwrap();
        let kind = chance.one_of(&WATERS);
        let profile = catalog.water(kind).unwrap();
        // The planner's own priors, fat tails and all: x (0.85 + 0.07 x²). What no tap gives is drawn again.
        let mut drawn = |of: &dyn Fn(f64) -> f64| {
            let mut value = of(w * chance.normal());
            while value > MOST_MEQ_L {
                value = of(w * chance.normal());
            }
            value
        };
        let alkalinity_meq_l = drawn(&|x| profile.alkalinity_meq_l.value.at(x * (0.85 + 0.07 * x * x)));
        let others = drawn(&|x| profile.other_anions_meq_l.value.at(x));
        let ions = compose_ions(&profile.pattern.value, alkalinity_meq_l, others, None);
        let log10_pco2_atm = profile.log10_pco2_fresh.value.at(w * chance.normal()).min(0.0);
        let source = *showing.medium().solve(&ions, Carbon::Balance { log10_pco2_atm }).unwrap().totals();
        let unit_kind = chance.one_of(&UnitKind::ALL);
        let tank_l = chance.one_of(&[4.0, 12.0, 25.0, 60.0]);
        let level_l = tank_l * (0.8 + 0.2 * chance.share());
        let known = chance.one_of(&[LevelKnown::Jug, LevelKnown::Mark, LevelKnown::Eye]);
        let volume_ratio = known.ratio().at(w * chance.normal()).min(1.1 * tank_l / level_l);
        let syringe = |capacity_ml: f64, mark_ml: f64| Tool::Syringe { capacity_ml, mark_ml };
        let labelled = chance.share() < 0.5;
        let mut shelf: Vec<ShelfItem> = if chance.share() < 0.5 {
            vec![shipped("two-part-a", syringe(20.0, 1.0)), shipped("two-part-b", syringe(20.0, 1.0))]
        } else {
            vec![shipped("one-part-powder", Tool::Scale { mark_g: 0.1 }), shipped("cal-mag", Tool::SYRINGE_10)]
        };
        shelf.extend(if labelled {
            let down = chance.one_of(&["phosphoric-down", "citric-down"]);
            let up = chance.one_of(&["hydroxide-up", "carbonate-up"]);
            [shipped(down, Tool::SYRINGE_10), shipped(up, Tool::SYRINGE_10)]
        } else {
            [
                own(unlabelled("down", Role::PhDown, Strength::UNKNOWN_ACID), Tool::SYRINGE_10),
                own(unlabelled("up", Role::PhUp, Strength::UNKNOWN_BASE), Tool::SYRINGE_10),
            ]
        });
        let coarse = chance.share() < 0.25;
        let instrument = arm.instrument.unwrap_or(PhInstrument::Pen);
        let meter = Meter {
            ph_instrument: instrument,
            ph_step: match instrument {
                PhInstrument::Pen if !coarse => 0.01,
                other => other.usual_step(),
            },
            ..Meter::default()
        };
        let strengths = shelf.iter().map(|item| strength(item, catalog, w, &mut chance)).collect();
        let rate = unit_kind.co2_rate_per_h().at(w * chance.normal());
        let air = ROOM_AIR_PPM.0 * (ROOM_AIR_PPM.1 / ROOM_AIR_PPM.0).powf(chance.share());
        let tank = Tank::of_volume(source, level_l * volume_ratio, showing.medium());
        let ph_offset = w * instrument.ph_sd() * chance.normal();
        let ec_gain = (w * 0.03 * chance.normal()).exp();
        // Some take their water for its neighbour in hardness; drawn last, so that the rest stays as it is.
        let named = if chance.share() < arm.mistaken {
            let place = WATERS.iter().position(|other| *other == kind).unwrap();
            WATERS[if place == 0 { 1 } else { place - 1 }]
        } else {
            kind
        };
        let unit = Unit {
            name: format!("Household {seed}"),
            kind: unit_kind,
            tank_l,
            level_l,
            level_known: known,
            source_water: SourceWater::of_kind(named),
            crop_id: "lettuce".to_owned(),
            stage_id: "growing".to_owned(),
            also_growing: Vec::new(),
            own_crops: Vec::new(),
            own_band: None,
            plants_in: false,
            shelf,
            meter,
            log: vec![LogEntry::Refill { at_s: NOW_S, water_l: level_l }],
        };
        let mut household = Self {
            unit,
            tank,
            now_s: NOW_S,
            labelled,
            showing,
            source,
            exchange_per_h: rate,
            room_log10_pco2: log10_pco2_from_ppm(air),
            ph_offset,
            ec_gain,
            strengths,
            arm,
            chance,
        };
        let (ph, ec) = household.meter_shows();
        household.unlogged(Priors::shipped().fresh_remainder_meq_l.value);
        (household.unit.source_water.ph, household.unit.source_water.ec_ms_cm) = (Some(ph), Some(ec));
        household
    }

    /// Acid or base that nobody logged, 1 sd in meq/L: a splash left in a jug, as the planner's priors have it.
    fn unlogged(&mut self, sd_meq_l: f64) {
        let base_meq = sd_meq_l * self.arm.width * self.chance.normal();
        // As potassium hydroxide, or as hydrochloric acid.
        let ion = if base_meq > 0.0 { Component::K } else { Component::Cl };
        self.tank.totals[ion] += base_meq.abs() / 1e3;
    }

    fn meter_shows(&mut self) -> (f64, f64) {
        let (ph, ec) = self.truth();
        self.shown_of(ph, ec)
    }

    fn shown_of(&mut self, ph: f64, ec: f64) -> (f64, f64) {
        // One reading scatters by a third of the instrument's own error, and by the electrode's junction.
        let scatter = (0.35 * self.unit.meter.ph_instrument.ph_sd()).hypot(0.03);
        let mut ph = ph + self.ph_offset + scatter * self.chance.normal();
        let ec = ec * self.ec_gain * (1.0 + 0.012 * self.chance.normal()) + 0.012 * self.chance.normal();
        if self.arm.careless > 0.0 && self.chance.share() < self.arm.careless {
            ph += 0.8 * self.chance.normal();
        }
        let to_step = |value: f64, step: f64| (value / step).round() * step;
        let ph = to_step(ph, self.unit.meter.ph_step).clamp(0.0, 14.0);
        (ph, to_step(ec, self.unit.meter.ec_step_ms_cm).max(0.0))
    }
}

impl World for Household {
    fn unit(&self) -> &Unit {
        &self.unit
    }

    fn now_s(&self) -> i64 {
        self.now_s
    }

    fn truth(&self) -> (f64, f64) {
        let point = self.showing.of(&self.tank.totals).unwrap();
        (point.ph, point.ec_ms_cm)
    }

    fn pour(&mut self, product_id: &str, amount: f64, promise: Option<Promise>) {
        let hand = (0.03 * self.arm.width * self.chance.normal()).exp();
        let twice = self.arm.careless > 0.0 && self.chance.share() < self.arm.careless;
        let (_, moles, water_g) = self.strengths.iter().find(|(id, ..)| id == product_id).unwrap();
        self.tank = self.tank.with(moles, *water_g, amount * hand * if twice { 2.0 } else { 1.0 });
        let record = PourRecord { at_s: self.now_s, product_id: product_id.to_owned(), amount, promise };
        self.unit.record(LogEntry::Pour(record));
    }

    fn jar(&mut self, product_id: &str, water_l: f64, next: &dyn Fn(&[JarPoint]) -> Option<f64>) {
        let w = self.arm.width;
        // A jug's mark, and a small syringe or a dilution; then each amount on its own.
        let common = (w * 0.03_f64.hypot(0.04) * self.chance.normal()).exp();
        let (_, moles, water_g) = self.strengths.iter().find(|(id, ..)| id == product_id).unwrap().clone();
        let medium = self.showing.medium().clone();
        let mut jar = Tank::of_volume(self.tank.totals, water_l, &medium);
        self.tank = self.tank.drained(water_l / self.unit.level_l);
        let (mut poured, mut points) = (0.0, Vec::new());
        while let Some(amount) = next(&points) {
            let hand = common * (0.03 * w * self.chance.normal()).exp();
            jar = jar.with(&moles, water_g, (amount - poured) * hand);
            poured = amount;
            // Stirred for a minute or two, faster than a tank breathes.
            jar = jar.breathed(&medium, self.room_log10_pco2, 1.0, 0.025).unwrap();
            let point = self.showing.of(&jar.totals).unwrap();
            let (ph, _) = self.shown_of(point.ph, point.ec_ms_cm);
            points.push(JarPoint { amount, ph });
            self.now_s += 120;
        }
        let test = JarTest { at_s: self.now_s, product_id: product_id.to_owned(), water_l, points };
        self.unit.record(LogEntry::JarTest(test));
    }

    fn thin(&mut self, out_l: f64, water_l: f64) {
        // A jug measures the water added; what is taken out is a share of what the person thinks is in.
        let water = Tank::of_volume(self.source, water_l, self.showing.medium());
        self.tank = self.tank.drained(out_l / self.unit.level_l).mixed(&water);
        if out_l > 0.0 {
            self.unit.record(LogEntry::Drain { at_s: self.now_s, solution_l: out_l });
        }
        self.unit.record(LogEntry::top_up(self.now_s, water_l));
    }

    fn wait(&mut self, minutes: u32) {
        let hours = f64::from(minutes) / 60.0;
        let eaten = self.tank.totals[Component::Cit] * (1.0 - (-self.arm.respired_per_h * hours).exp());
        self.tank.totals[Component::Cit] -= eaten;
        self.tank.totals[Component::C] += 6.0 * eaten;
        let medium = self.showing.medium();
        self.tank = self.tank.breathed(medium, self.room_log10_pco2, self.exchange_per_h, hours).unwrap();
        self.now_s += i64::from(minutes) * 60;
    }

    fn read(&mut self) {
        if self.unit.last_reading().is_some() {
            // Two readings on, what slipped in has the planner's own width.
            self.unlogged(Priors::shipped().slip_meq_l.value / std::f64::consts::SQRT_2);
        }
        let (ph, ec) = self.meter_shows();
        self.unit.record(LogEntry::Reading(Reading {
            at_s: self.now_s,
            ph: Some(ph),
            ec_ms_cm: Some(ec),
            temperature_c: Some(self.showing.medium().temperature_c()),
            level_l: None,
        }));
    }
}

/// What one unit of a product truly brings: its stated strength, off by what its prior allows.
fn strength(item: &ShelfItem, catalog: &Catalog, width: f64, chance: &mut Chance) -> (String, Totals, f64) {
    let product = catalog.product_of(item).unwrap();
    let dissolved = product.dissolved().unwrap();
    let factor = (width * dissolved.ln_sd * chance.normal()).exp();
    let mut moles = dissolved.moles;
    if product.role == Role::PhDown && matches!(product.strength, Strength::Unknown { .. }) {
        // Shares of the trial with invented households: phosphoric 0.6, citric 0.22, nitric 0.18.
        let place = chance.share();
        let amount = moles[Component::P];
        let component = if place < 0.6 {
            Component::P
        } else if place < 0.82 {
            Component::Cit
        } else {
            Component::No3
        };
        moles = Totals::from_pairs(&[(component, amount)]);
    }
    if product.role == Role::Feed {
        // A twentieth of the phosphate as free acid or base.
        let free = width * 0.05 * moles[Component::P] * chance.normal();
        moles[Component::No3] += free.max(0.0);
        moles[Component::K] += (-free).max(0.0);
    }
    (product.id.clone(), moles.scaled(factor), dissolved.water_g)
}
