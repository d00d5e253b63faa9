//! The page of today, from unit, plan and clock.

use std::borrow::Cow;

use super::crops::{YOURS, is_own};
use super::pours::{fields, planned, poured, poured_words};
use super::readers::{FieldUnits, today_reader};
use super::{answer, around, ec_decimals, map};
use crate::card::{amount_words, ec_edges, edges};
use crate::dose::{Landing, Point};
use crate::garden::{Catalog, CommonZone, Crop, Growing, MOST_CROPS, Unit, Zone};
use crate::plan::{SAFETY, one_in};
use crate::store::Settings;
use crate::ui::clock::Clock;
use crate::ui::command::{Handle, Slot};
use crate::ui::derived::Outlook;
use crate::ui::sketch::Sketch;
use crate::ui::view::{
    AlsoView, Choice, GrowingView, HandView, IdeaView, RangeView, ReadingView, TodayView, TogetherView,
};

/// Everything the page of today is made from.
#[derive(Clone, Copy)]
pub struct Shown<'a> {
    /// The unit.
    pub unit: &'a Unit,
    /// Whether it is the shipped example.
    pub is_example: bool,
    /// Crops, waters, products.
    pub catalog: &'a Catalog,
    /// Units people read in.
    pub settings: &'a Settings,
    /// Plan and landing; none while they are being worked out.
    pub outlook: Option<&'a Outlook>,
    /// Why there is no plan.
    pub trouble: Option<&'a str>,
    /// The time.
    pub clock: &'a dyn Clock,
    /// The lists in hand.
    pub hand: HandShown<'a>,
    /// The jar test that is open.
    pub jar: Option<&'a super::JarDraft>,
}

/// What the hand does to the lists of pours.
#[derive(Clone, Copy)]
pub struct HandShown<'a> {
    /// The lists.
    pub sketch: &'a Sketch,
    /// The handle that is held.
    pub held: Option<Handle>,
    /// What keeps the landing from where it is wanted.
    pub held_by: Option<&'a str>,
    /// Whether there is something to go back to.
    pub can_undo: bool,
    /// Whether there is something to go forward to.
    pub can_redo: bool,
    /// Whether the list in hand is what was left when its first pour was made, untouched since.
    pub is_left: bool,
    /// The pour whose amount is being changed, or was last, by its key.
    pub touched: Option<u32>,
}

impl Shown<'_> {
    /// The zones of what grows; before there is a plan with the source water's EC as typed.
    pub(super) fn common_zone(&self) -> Option<Cow<'_, CommonZone>> {
        if let Some(outlook) = self.outlook {
            return Some(Cow::Borrowed(outlook.planner.common_zone()));
        }
        let source_ec_ms_cm = self.unit.source_water.ec_read_ms_cm().unwrap_or(0.0);
        self.unit.common_zone(self.catalog, source_ec_ms_cm).ok().map(Cow::Owned)
    }

    /// Whether an amount of water in sight is stated in this unit.
    fn litres(&self, litres: f64) -> f64 {
        self.settings.tank_unit.from_litres(litres)
    }
}

/// The page of today.
pub fn today_view(shown: &Shown<'_>) -> TodayView {
    let poured = poured(shown);
    let first = u32::try_from(poured.len()).unwrap_or(0) + 1;
    let planned = shown.outlook.map(|outlook| planned(outlook, first)).unwrap_or_default();
    let map = map::map_view(shown, &poured, &planned);
    let (answer, why) = answer::answer(shown, &poured);
    let (notes, warnings) = around::remarks(shown);
    let pour_fields = fields(&planned);
    let pours = poured.into_iter().map(|p| p.view).chain(planned).collect();
    TodayView {
        unit_name: shown.unit.name.clone(),
        unit_line: unit_line(shown),
        is_example: shown.is_example,
        reading: reading(shown, pour_fields),
        level: shown.litres(level_l(shown.unit)),
        level_unit: shown.settings.tank_unit.symbol().to_owned(),
        growing: growing(shown),
        known: known(shown),
        next_best: around::next_best(shown),
        next_best_short: around::next_best_short(shown),
        map,
        pours,
        shelf: shelf(shown),
        hand: hand(shown),
        together: together(shown),
        warnings,
        notes,
        why,
        answer,
        tub_card: super::card::tub_card(shown),
        jar: shown.jar.map(|draft| Box::new(super::jar::jar_view(draft))),
    }
}

/// Stages of a crop as choices.
pub(super) fn stages(crop: &Crop) -> Vec<Choice> {
    crop.stages.iter().map(|s| Choice::new(&s.id, super::readers::capital(&s.name))).collect()
}

fn level_l(unit: &Unit) -> f64 {
    unit.last_reading().and_then(|r| r.level_l).unwrap_or(unit.level_l)
}

fn unit_line(shown: &Shown<'_>) -> String {
    let unit = shown.unit;
    let water = unit.source_water.words(shown.catalog);
    let kind = super::readers::capital(unit.kind.words());
    let size = format!("{} {}", figure(shown.litres(unit.tank_l)), shown.settings.tank_unit.symbol());
    let mark = if shown.is_example { "An invented example · " } else { "" };
    format!("{mark}{kind} of {size} · {water}")
}

/// A number with at most one decimal, and that only where it says something.
pub(super) fn figure(value: f64) -> String {
    let text = format!("{value:.1}");
    text.strip_suffix(".0").map(str::to_owned).unwrap_or(text)
}

fn reading(shown: &Shown<'_>, pours: Vec<super::readers::PourField>) -> ReadingView {
    let unit = shown.unit;
    let (scale, temperature) = (unit.meter.ec_scale, shown.settings.temperature_unit);
    let last = unit.last_reading();
    let units = FieldUnits {
        volume: shown.settings.tank_unit,
        ec: scale,
        temperature,
        alkalinity: shown.settings.alkalinity_unit,
    };
    ReadingView {
        note: last.map_or_else(
            || "Not read yet".to_owned(),
            |r| format!("Read at {}, {}", shown.clock.words(r.at_s), unit.meter.ph_instrument.words()),
        ),
        ph: last.and_then(|r| r.ph),
        ec: last.and_then(|r| r.ec_ms_cm).map(|ec| scale.from_ms_cm(ec)),
        ec_decimals: ec_decimals(scale),
        ec_unit: scale.symbol().to_owned(),
        temperature: last.and_then(|r| r.temperature_c).map(|t| temperature.from_celsius(t)),
        temperature_unit: temperature.symbol().to_owned(),
        reader: today_reader(units, unit.tank_l, pours),
        doubt: super::log::doubt_beside(unit),
    }
}

fn growing(shown: &Shown<'_>) -> GrowingView {
    let (unit, scale) = (shown.unit, shown.unit.meter.ec_scale);
    let common = shown.common_zone();
    let zone_text = common.as_ref().map_or_else(
        || "not known".to_owned(),
        |common| {
            let ec = ec_edges(scale, common.ec_in_tank_ms_cm);
            format!("pH {} · EC {ec} {}", edges(common.zone.ph), scale.symbol())
        },
    );
    let line = match common.as_ref().map_or(0, |common| common.zone.conflicts.len()) {
        0 => "Where this comes from".to_owned(),
        1 => "One source disagrees".to_owned(),
        n => format!("{n} sources disagree"),
    };
    let also = unit.also_growing.iter().enumerate().map(|(index, grown)| {
        let crop = shown.catalog.crop_of(unit, &grown.crop_id);
        AlsoView {
            name: name_of(unit, grown, crop),
            crops: crops_for(shown, index + 1),
            crop_id: grown.crop_id.clone(),
            stages: crop.map(|crop| stages_for(unit, crop, index + 1)).unwrap_or_default(),
            stage_id: grown.stage_id.clone(),
        }
    });
    let places = 1 + unit.also_growing.len();
    GrowingView {
        crops: crops_for(shown, 0),
        crop_id: unit.crop_id.clone(),
        stages: shown.catalog.crop_of(unit, &unit.crop_id).map(|crop| stages_for(unit, crop, 0)).unwrap_or_default(),
        stage_id: unit.stage_id.clone(),
        also: also.collect(),
        more: if places < MOST_CROPS { crops_for(shown, places) } else { Vec::new() },
        zone_label: match &common {
            Some(common) if common.crops.len() > 1 && common.is_shared && !common.is_own => "Zone in common".to_owned(),
            _ => "Zone".to_owned(),
        },
        zone_text,
        remarks: common.as_deref().map(remark_lines).unwrap_or_default(),
        sources_line: common.is_some().then_some(line),
        sources: common.as_deref().map(|common| source_lines(&common.zone)).unwrap_or_default(),
    }
}

/// What a further crop is called: by its stage, too, where it grows at several.
fn name_of(unit: &Unit, grown: &Growing, crop: Option<&Crop>) -> String {
    let Some(crop) = crop else { return grown.crop_id.clone() };
    let stage = crop.stage(&grown.stage_id).filter(|_| {
        let same = |other: &&Growing| other.crop_id == grown.crop_id;
        unit.growing().iter().filter(same).count() > 1
    });
    stage.map_or_else(|| crop.name.clone(), |stage| format!("{} ({})", crop.name, stage.name))
}

/// Crops that can stand at a place of what grows.
fn crops_for(shown: &Shown<'_>, place: usize) -> Vec<Choice> {
    let can_be = |crop: &&Crop| shown.unit.stage_for(crop, "", place).is_some();
    let mut crops: Vec<&Crop> = shown.catalog.crops_at_hand(shown.unit).into_iter().filter(can_be).collect();
    crops.sort_by_key(|crop| crop.group);
    let choice = |crop: &Crop| {
        let choice = super::crop_choice(crop);
        if is_own(shown.unit, shown.catalog, crop) {
            Choice { label: format!("{}, {YOURS}", choice.label), ..choice }
        } else {
            choice
        }
    };
    crops.into_iter().map(choice).collect()
}

/// Stages that the crop at a place of what grows can have.
fn stages_for(unit: &Unit, crop: &Crop, place: usize) -> Vec<Choice> {
    stages(crop).into_iter().filter(|stage| !unit.is_taken(&crop.id, &stage.id, place)).collect()
}

/// How the working zone comes about, what several crops have in common first.
pub(super) fn working_lines(common: &CommonZone) -> Vec<String> {
    remark_lines(common).into_iter().chain(source_lines(&common.zone)).collect()
}

/// What several crops have not in common.
fn remark_lines(common: &CommonZone) -> Vec<String> {
    common.remarks.iter().map(|remark| format!("{}.", remark.words)).collect()
}

/// How a zone follows from its sources, and what they disagree on.
pub(super) fn source_lines(zone: &Zone) -> Vec<String> {
    zone.why.iter().cloned().chain(zone.conflicts.iter().map(|c| c.words.clone())).collect()
}

/// What the belief knows, as ranges that hold four of five stories.
fn known(shown: &Shown<'_>) -> Vec<RangeView> {
    let Some(outlook) = shown.outlook else { return Vec::new() };
    let knowledge = outlook.planner.knowledge();
    let belief = outlook.planner.belief();
    let density = knowledge.showing.medium().water_density_kg_l();
    let three = |of: &dyn Fn(&crate::learn::Member) -> f64| [0.1, 0.5, 0.9].map(|p| belief.quantile(p, of));
    let mut ranges = Vec::new();

    let [low, middle, high] = three(&|m| m.tank.water_kg / density);
    let rim = 1.1 * knowledge.tank_l;
    ranges.push(RangeView {
        label: "Water in it".to_owned(),
        text: format!("likely {}", range(shown.litres(low), shown.litres(high), litres_words)),
        low: share(low, 0.0, rim),
        best: share(middle, 0.0, rim),
        high: share(high, 0.0, rim),
    });

    let unit = shown.settings.alkalinity_unit;
    // Acid in excess leaves none, and less than none is nothing that people count in.
    let [low, middle, high] = three(&|m| (1e3 * density * m.tank.totals.alkalinity()).max(0.0));
    let words = |meq: f64| two_figures(unit.from_meq_per_l(meq));
    ranges.push(RangeView {
        label: "Alkalinity left in the tank".to_owned(),
        text: format!("{}–{} {}", words(low), words(high), unit.symbol()),
        low: log_share(low, 0.03, 12.0),
        best: log_share(middle, 0.03, 12.0),
        high: log_share(high, 0.03, 12.0),
    });

    if let Some(product) = knowledge.ph_down.as_ref().or(knowledge.ph_up.as_ref()) {
        let lowers = knowledge.ph_down.is_some();
        let [low, middle, high] = three(&|m| if lowers { m.ph_down_factor } else { m.ph_up_factor });
        let what = if lowers { "pH-lowering" } else { "pH-raising" };
        // A bottle without a label has no strength of its own to be a multiple of.
        let text = if product.unlabelled {
            format!("{low:.1}–{high:.1}× our guess")
        } else {
            format!("strength {low:.1}–{high:.1}×")
        };
        ranges.push(RangeView {
            label: what.to_owned(),
            text,
            low: log_share(low, 0.25, 4.0),
            best: log_share(middle, 0.25, 4.0),
            high: log_share(high, 0.25, 4.0),
        });
    }
    ranges
}

fn range(low: f64, high: f64, words: fn(f64) -> String) -> String {
    let (low, high) = (words(low), words(high));
    if low == high { low } else { format!("{low}–{high}") }
}

/// Litres or gallons as the ends of a range are said: one digit fewer than the guess beside them.
fn litres_words(value: f64) -> String {
    if value >= 10.0 { format!("{value:.0}") } else { format!("{value:.1}") }
}

fn two_figures(value: f64) -> String {
    let decimals = if value.abs() >= 10.0 {
        0
    } else if value.abs() >= 1.0 {
        1
    } else {
        2
    };
    format!("{value:.decimals$}")
}

fn share(value: f64, low: f64, high: f64) -> f32 {
    crate::ui::paint::px(((value - low) / (high - low)).clamp(0.0, 1.0))
}

fn log_share(value: f64, low: f64, high: f64) -> f32 {
    share(value.max(low).ln(), low.ln(), high.ln())
}

fn shelf(shown: &Shown<'_>) -> Vec<Choice> {
    let Some(outlook) = shown.outlook else { return Vec::new() };
    let parts = outlook.planner.products().flat_map(|product| &product.parts);
    parts.map(|part| Choice::new(&part.pour.id, &part.pour.name)).collect()
}

fn together(shown: &Shown<'_>) -> TogetherView {
    let changed_by_hand = shown.outlook.is_some_and(|o| o.what_if().is_some());
    let Some(outlook) = shown.outlook.filter(|o| !o.landing.shares.is_empty()) else {
        return TogetherView { changed_by_hand, ..TogetherView::default() };
    };
    let (landing, scale) = (&outlook.landing, shown.unit.meter.ec_scale);
    if outlook.pours().iter().all(|(_, amount)| *amount <= 0.0) {
        let Point { ph, ec_ms_cm } = landing.just_mixed;
        let ec = scale.figure(ec_ms_cm, 2);
        let result = format!("Nothing poured: pH stays at {ph:.1}, EC at {ec}{}", scale.tail());
        return TogetherView { result, changed_by_hand, ..TogetherView::default() };
    }
    TogetherView {
        result: format!(
            "EC {} → {}{} · pH {:.1} → {:.1}",
            scale.figure(landing.start.ec_ms_cm, 2),
            scale.figure(landing.just_mixed.ec_ms_cm, 2),
            scale.tail(),
            landing.start.ph,
            landing.just_mixed.ph
        ),
        expect: expect_words(shown.unit, outlook),
        risk: Risk::of(outlook).sentence(),
        changed_by_hand,
    }
}

fn hand(shown: &Shown<'_>) -> HandView {
    let (slot, HandShown { can_undo, can_redo, .. }) = (shown.hand.sketch.hand(), shown.hand);
    let compared = shown.outlook.and_then(|outlook| {
        let other = outlook.other.as_ref()?;
        let (edges, scale) = (outlook.planner.zone().ph, shown.unit.meter.ec_scale);
        let idea = |pours: &[(String, f64)], landing: &Landing, chances: (f64, f64)| {
            let risk = Risk::at(landing, chances, edges);
            let Point { ph, ec_ms_cm } = landing.just_mixed;
            let ec = scale.figure(ec_ms_cm, 2);
            IdeaView {
                point: format!("{ph:.1} · {ec}"),
                lands: format!("pH {ph:.1} · EC {ec}{}", scale.tail()),
                risk: super::readers::capital(&risk.words()),
                is_risky: risk.is_risky(),
                poured: poured_words(&outlook.planner, pours),
            }
        };
        let this = idea(&outlook.pours(), &outlook.landing, (outlook.below, outlook.above));
        let that = idea(&other.pours, &other.landing, (other.spread.below, other.spread.above));
        Some(match slot {
            Slot::A => [this, that],
            Slot::B => [that, this],
        })
    });
    HandView { slot, compared, can_undo, can_redo }
}

/// What the next reading should show, 5 to 95 in a hundred, with the digits of the meter.
pub(super) fn expect_words(unit: &Unit, outlook: &Outlook) -> String {
    let (expect, scale) = (&outlook.expect, unit.meter.ec_scale);
    let ec = |value: f64| scale.figure(value, 1);
    if outlook.is_carried() {
        // In the hand the tails are not worked out: see the map's own words.
        let ec = ec(expect.ec_ms_cm.1);
        return format!("Expect pH about {:.1}, EC about {ec}{}", expect.ph.1, scale.tail());
    }
    let ph = |value: f64| amount_words(value, unit.meter.ph_step.max(0.01), "").trim().to_owned();
    let span = |low: String, high: String| if low == high { low } else { format!("{low}–{high}") };
    format!(
        "Expect pH {}, EC {}{}",
        span(ph(expect.ph.0), ph(expect.ph.2)),
        span(ec(expect.ec_ms_cm.0), ec(expect.ec_ms_cm.2)),
        scale.tail()
    )
}

/// The chance to cross the edge that the pours move towards, just mixed.
#[derive(Clone, Copy, Debug)]
pub(super) struct Risk {
    chance: f64,
    falls: bool,
    edge: f64,
}

impl Risk {
    /// Of the list in hand.
    pub(super) fn of(outlook: &Outlook) -> Self {
        Self::at(&outlook.landing, (outlook.below, outlook.above), outlook.planner.zone().ph)
    }

    /// Of a landing, with the chances to fall below and to rise above the edges of the zone.
    pub(super) fn at(landing: &Landing, (below, above): (f64, f64), (low, high): (f64, f64)) -> Self {
        if landing.just_mixed.ph <= landing.start.ph {
            Self { chance: below, falls: true, edge: low }
        } else {
            Self { chance: above, falls: false, edge: high }
        }
    }

    /// Whether the plan would not risk it.
    pub(super) fn is_risky(self) -> bool {
        self.chance > SAFETY
    }

    /// Such as "about 1 in 30 to fall below 5.5 just mixed": the same words everywhere.
    pub(super) fn words(self) -> String {
        let way = if self.falls { "fall below" } else { "rise above" };
        let chance = if self.chance > 0.9 { "almost certain".to_owned() } else { one_in(self.chance) };
        format!("{chance} to {way} {:.1} just mixed", self.edge)
    }

    /// The same as a sentence.
    pub(super) fn sentence(self) -> String {
        super::readers::capital(&self.words())
    }
}
