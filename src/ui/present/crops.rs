//! The page of crops: the list, and one crop with its working zone and what its sources say.

use super::crop_form::{CropsState, form_view};
use super::{capital, crop_choice, ec_decimals};
use crate::garden::zone::is_seedling;
use crate::garden::{
    Band, BandClaim, Catalog, Conflict, Crop, CropGroup, EcCounts, Growing, MOST_CROPS, Quantity, Unit, Zone,
    find_named,
};
use crate::ui::command::{Command, CropAsk};
use crate::ui::paint::px;
use crate::ui::state::Keeper;
use crate::ui::view::{
    AxisView, BandView, BarLook, Choice, ClaimView, ClaimsView, CropGroupView, CropRowView, CropSheetView, CropsView,
    LinkView,
};
use crate::ui::widgets::shown;
use crate::units::EcScale;

/// What stands on top of the list.
const GROWS_HERE: &str = "Grows here";
/// What marks a crop of the person's own.
pub(super) const YOURS: &str = "yours";

/// What the page is made from.
#[derive(Clone, Copy)]
pub struct CropsShown<'a> {
    /// The unit.
    pub unit: &'a Unit,
    /// Crops, waters, products.
    pub catalog: &'a Catalog,
    /// What is looked for and at.
    pub state: &'a CropsState,
}

/// Whether a crop is the person's own: the unit's, or the library's.
pub(super) fn is_own(unit: &Unit, catalog: &Catalog, crop: &Crop) -> bool {
    unit.own_crops.iter().any(|own| own.id == crop.id) || catalog.crop(&crop.id).is_none()
}

/// The whole page.
pub fn crops_view(page: &CropsShown<'_>) -> CropsView {
    let (groups, choices) = page.list();
    let form = page.state.form.as_ref().filter(|form| form.keeper == Keeper::Unit);
    CropsView {
        unit_name: page.unit.name.clone(),
        groups,
        choices,
        said: page.state.said.clone(),
        crop: page.crop().map(|crop| page.sheet(crop)).unwrap_or_default(),
        form: form.map(|form| form_view(form, page.unit.meter.ec_scale)),
    }
}

impl<'a> CropsShown<'a> {
    /// The crop looked at: the one that grows until another one is chosen.
    pub fn crop(&self) -> Option<&'a Crop> {
        let chosen = self.state.crop_id.as_ref().and_then(|id| self.crop_of(id));
        chosen.or_else(|| self.catalog.crop_of(self.unit, &self.unit.crop_id))
    }

    /// A crop of the unit, or one of the person's library.
    pub fn crop_of(&self, id: &str) -> Option<&'a Crop> {
        self.catalog.crop_at_hand(self.unit, id)
    }

    /// The stage looked at: the chosen one, else the one it grows at, else the first after the seedling.
    pub fn stage_id(&self, crop: &Crop) -> String {
        let chosen = self.state.stage_id.as_ref().filter(|id| crop.stage(id).is_some());
        let grown = self.unit.growing().into_iter().find(|grown| grown.crop_id == crop.id);
        let after = || crop.stages.iter().find(|stage| !is_seedling(&stage.id)).or(crop.stages.first());
        chosen
            .cloned()
            .or(grown.map(|grown| grown.stage_id))
            .or_else(|| after().map(|stage| stage.id.clone()))
            .unwrap_or_default()
    }

    fn is_in_unit(&self, crop: &Crop) -> bool {
        self.unit.own_crops.iter().any(|own| own.id == crop.id)
    }

    /// A crop of the unit as the library has it by now, where that is another version of it.
    pub fn renewed(&self, crop: &Crop) -> Option<&'a Crop> {
        let other = self.catalog.own.crops.iter().find(|own| own.id == crop.id && *own != crop);
        other.filter(|_| self.is_in_unit(crop))
    }

    fn is_own(&self, crop: &Crop) -> bool {
        is_own(self.unit, self.catalog, crop)
    }

    /// By group, what grows on top; by fit, where something is typed. And all of them to pick from.
    fn list(&self) -> (Vec<CropGroupView>, Vec<Choice>) {
        let shown_id = self.crop().map(|crop| crop.id.as_str());
        let row = |crop: &Crop| CropRowView {
            id: crop.id.clone(),
            name: crop.name.clone(),
            mark: if self.is_own(crop) { YOURS.to_owned() } else { String::new() },
            is_shown: Some(crop.id.as_str()) == shown_id,
        };
        let mut under: Vec<(String, Vec<&Crop>)> = vec![(GROWS_HERE.to_owned(), Vec::new())];
        for Growing { crop_id, .. } in self.unit.growing() {
            let crop = self.catalog.crop_of(self.unit, &crop_id);
            let rows = &mut under[0].1;
            rows.extend(crop.filter(|crop| rows.iter().all(|other| other.id != crop.id)));
        }
        let mut others: Vec<&Crop> = self.catalog.crops_at_hand(self.unit);
        others.retain(|crop| !self.unit.grows(&crop.id));
        others.sort_by_key(|crop| crop.group);
        let mut group: Option<CropGroup> = None;
        for crop in others {
            if group != Some(crop.group) {
                group = Some(crop.group);
                under.push((capital(crop.group.words()), Vec::new()));
            }
            if let Some((_, rows)) = under.last_mut() {
                rows.push(crop);
            }
        }
        let choices = under
            .iter()
            .flat_map(|(name, crops)| crops.iter().map(|crop| Choice { group: name.clone(), ..crop_choice(crop) }));
        let choices = choices.collect();
        let typed = self.state.typed.trim();
        let groups = if typed.is_empty() {
            let group = |(name, crops): (String, Vec<&Crop>)| CropGroupView {
                name,
                rows: crops.into_iter().map(row).collect(),
            };
            under.into_iter().map(group).collect()
        } else {
            let rows: Vec<CropRowView> = find_named(typed, self.catalog.crops_at_hand(self.unit), |crop| crop.names())
                .into_iter()
                .map(row)
                .collect();
            let name = match rows.len() {
                0 => format!("Nothing goes by “{typed}”"),
                1 => "One found".to_owned(),
                n => format!("{n} found"),
            };
            vec![CropGroupView { name, rows }]
        };
        (groups, choices)
    }

    fn sheet(&self, crop: &Crop) -> CropSheetView {
        let scale = self.unit.meter.ec_scale;
        let stage_id = self.stage_id(crop);
        let zone = crop.zone_told(&stage_id, scale);
        let claims = crop.claims_for(&stage_id);
        let told = |conflict: &&Conflict| !claims.iter().any(|claim| is_of(conflict, claim));
        let group = crop.group.words();
        CropSheetView {
            name: crop.name.clone(),
            mark: if self.is_own(crop) { YOURS.to_owned() } else { String::new() },
            kind: if crop.botanical.is_empty() { capital(group) } else { format!("{} · {group}", crop.botanical) },
            also: (!crop.also.is_empty()).then(|| format!("Also {}", crop.also.join(", "))),
            grows: self.grows_words(crop),
            actions: self.actions(crop, &stage_id),
            stages: crop.stages.iter().map(|stage| Choice::new(&stage.id, capital(&stage.name))).collect(),
            zone_ph: span(zone.ph, |ph| shown(ph, 2)),
            zone_ec: span(zone.ec_ms_cm, |ec| ec_words(scale, ec)),
            ec_unit: scale.symbol().to_owned(),
            counts: match zone.ec_counts {
                EcCounts::WithSourceWater => "Your source water counts".to_owned(),
                EcCounts::AboveSourceWater => "Your source water’s EC comes on top".to_owned(),
            },
            why: zone.why.clone(),
            against: zone.conflicts.iter().filter(told).map(|conflict| conflict.words.clone()).collect(),
            claims: claims_view(&claims, &zone, scale),
            salt: crop.salt_tolerance.as_ref().map(|tolerance| {
                let value = tolerance.value;
                let words = format!(
                    "In soil its yield falls from {} {} on, by {} % for each {} {} more",
                    ec_words(scale, value.threshold_ms_cm),
                    scale.symbol(),
                    shown(value.loss_percent_per_ms_cm, 0),
                    ec_words(scale, 1.0),
                    scale.symbol()
                );
                (words, format!("{} · {}", tolerance.source, tolerance.evidence.words()))
            }),
            note: crop.note.clone(),
            stage_id,
        }
    }

    fn grows_words(&self, crop: &Crop) -> Option<String> {
        let stage = |grown: &Growing| {
            crop.stage(&grown.stage_id).map_or_else(|| grown.stage_id.clone(), |stage| stage.name.clone())
        };
        let at: Vec<String> = self.unit.growing().iter().filter(|grown| grown.crop_id == crop.id).map(stage).collect();
        let own = if self.unit.own_band.is_some() { "; a band set for this unit leads" } else { "" };
        (!at.is_empty()).then(|| format!("Grows here: {}{own}", at.join(", ")))
    }

    /// What can be done with a crop, the foremost first.
    fn actions(&self, crop: &Crop, stage_id: &str) -> Vec<LinkView> {
        let mut actions = Vec::new();
        let mut can = |text: &str, command: Command| actions.push(LinkView { text: text.to_owned(), command });
        let ask = |ask: CropAsk| Command::Crop(Box::new(ask));
        let here = || (crop.id.clone(), stage_id.to_owned());
        let is_first = self.unit.crop_id == crop.id;
        if is_first && self.unit.stage_id != stage_id && !self.unit.is_taken(&crop.id, stage_id, 0) {
            can("It is at this stage now", ask(CropAsk::Grow(here().0, here().1)));
        } else if !is_first && self.unit.stage_for(crop, stage_id, 0).is_some() && !self.unit.grows(&crop.id) {
            can("Grow it here", ask(CropAsk::Grow(here().0, here().1)));
        }
        let place = 1 + self.unit.also_growing.len();
        let is_here = self.unit.is_taken(&crop.id, stage_id, place);
        if place < MOST_CROPS && !is_here && self.unit.stage_for(crop, stage_id, place).is_some() {
            can("Add beside what grows", ask(CropAsk::Add(here().0, here().1)));
        }
        if self.is_own(crop) {
            // One of the library is changed here as a copy, and there for all units.
            let words = if self.is_in_unit(crop) { "Change it" } else { "Change it for this unit" };
            can(words, ask(CropAsk::Change(crop.id.clone())));
            if self.is_in_unit(crop) && !self.catalog.own.crops.contains(crop) {
                can("Keep for my other units, too", ask(CropAsk::Share(crop.id.clone())));
            }
            if self.renewed(crop).is_some() {
                can("Take the library’s", ask(CropAsk::Renew(crop.id.clone())));
            }
            if self.is_in_unit(crop) {
                can("Remove", ask(CropAsk::Remove(crop.id.clone())));
            }
        } else {
            can("Change it for me", ask(CropAsk::Change(crop.id.clone())));
        }
        actions
    }
}

/// Whether a conflict is what a claim says.
fn is_of(conflict: &Conflict, claim: &BandClaim) -> bool {
    let plateau = claim.no_difference_ms_cm.map(|(low, high)| Band::Span(low, high));
    let bands = match conflict.quantity {
        Quantity::Ph => [claim.ph, None],
        Quantity::Ec => [claim.ec_ms_cm, plateau],
    };
    conflict.source == claim.sourced() && bands.contains(&Some(conflict.band))
}

fn gives_a_band(claim: &BandClaim) -> bool {
    claim.ph.is_some() || claim.ec_ms_cm.is_some()
}

fn ec_words(scale: EcScale, ec_ms_cm: f64) -> String {
    shown(scale.from_ms_cm(ec_ms_cm), ec_decimals(scale))
}

fn span((low, high): (f64, f64), words: impl Fn(f64) -> String) -> String {
    let (low, high) = (words(low), words(high));
    if low == high { low } else { format!("{low}–{high}") }
}

fn band_words(band: Band, words: impl Fn(f64) -> String) -> String {
    match band {
        Band::Point(value) => words(value),
        Band::Span(low, high) => span((low, high), words),
        Band::AtMost(high) => format!("≤ {}", words(high)),
    }
}

/// An axis from numbers to shares of its length.
struct Axis {
    from: f64,
    to: f64,
}

impl Axis {
    /// As wide as zone and bands need, in whole steps.
    fn over(zone: (f64, f64), bands: &[Band], step: f64, least: (f64, f64)) -> Self {
        let low = |band: &Band| band.low().unwrap_or(band.high());
        let from = bands.iter().map(low).fold(zone.0.min(least.0), f64::min);
        let to = bands.iter().map(|band| band.high()).fold(zone.1.max(least.1), f64::max);
        Self { from: ((from / step) + 1e-9).floor() * step, to: ((to / step) - 1e-9).ceil() * step }
    }

    fn at(&self, value: f64) -> f32 {
        px(((value - self.from) / (self.to - self.from)).clamp(0.0, 1.0))
    }

    fn ticks(&self, words: impl Fn(f64) -> String) -> Vec<(f32, String)> {
        let count = self.to - self.from;
        let step = if count > 8.0 { 2.0 } else { 1.0 };
        let mut ticks = Vec::new();
        let mut value = self.from.ceil();
        while value <= self.to + 1e-9 {
            ticks.push((self.at(value), words(value)));
            value += step;
        }
        ticks
    }
}

fn claims_view(claims: &[&BandClaim], zone: &Zone, scale: EcScale) -> ClaimsView {
    let of_ph: Vec<Band> = claims.iter().filter_map(|claim| claim.ph).collect();
    let plateau = |claim: &BandClaim| claim.no_difference_ms_cm.map(|(low, high)| Band::Span(low, high));
    let of_ec: Vec<Band> = claims.iter().flat_map(|claim| [claim.ec_ms_cm, plateau(claim)]).flatten().collect();
    let ph = Axis::over(zone.ph, &of_ph, 0.5, (5.0, 7.5));
    let ec = Axis::over(zone.ec_ms_cm, &of_ec, 1.0, (0.0, 3.0));
    let mut rows: Vec<&BandClaim> = claims.to_vec();
    // What has a part in the zone first, the strongest on top.
    rows.sort_by_key(|claim| (claim.shown_only, !gives_a_band(claim), claim.evidence));
    let rows = rows.into_iter().map(|claim| {
        let against = |quantity: Quantity| {
            zone.conflicts.iter().filter(move |c| c.quantity == quantity && is_of(c, claim)).map(|c| c.words.clone())
        };
        let look = |quantity: Quantity| {
            if claim.shown_only {
                BarLook::Unused
            } else if against(quantity).next().is_some() {
                BarLook::Against
            } else {
                BarLook::Counts
            }
        };
        let bar = |axis: &Axis, band: Band, look: BarLook, text: String| BandView {
            low: band.low().map(|low| axis.at(low)),
            high: axis.at(band.high()),
            text,
            look,
        };
        let ec_text = |band: Band| band_words(band, |value| ec_words(scale, value));
        let ec_bar = claim.ec_ms_cm.map(|band| bar(&ec, band, look(Quantity::Ec), ec_text(band)));
        let ec_bar = ec_bar.or_else(|| plateau(claim).map(|band| bar(&ec, band, BarLook::Plateau, ec_text(band))));
        let on_top = claim.ec_ms_cm.is_some() && claim.ec_counts == EcCounts::AboveSourceWater;
        let kind = [
            Some(capital(claim.evidence.words())),
            on_top.then(|| "EC on top of the source water".to_owned()),
            (!gives_a_band(claim) && plateau(claim).is_none()).then(|| "gives no band".to_owned()),
            claim.note.clone(),
        ];
        ClaimView {
            source: capital(&claim.source),
            kind: kind.into_iter().flatten().collect::<Vec<_>>().join(" · "),
            ph: claim.ph.map(|band| bar(&ph, band, look(Quantity::Ph), band_words(band, |value| shown(value, 2)))),
            ec: ec_bar,
            unused: claim.shown_only.then(|| "Shown only: it has no part in the zone".to_owned()),
            against: against(Quantity::Ph).chain(against(Quantity::Ec)).collect(),
        }
    });
    let rows: Vec<ClaimView> = rows.collect();
    ClaimsView {
        none: rows.is_empty().then(|| "No source says anything of this stage: the zone is what is usual".to_owned()),
        ph: AxisView {
            title: "pH".to_owned(),
            unit: String::new(),
            ticks: ph.ticks(|value| shown(value, 0)),
            zone: (ph.at(zone.ph.0), ph.at(zone.ph.1)),
        },
        ec: AxisView {
            title: "EC".to_owned(),
            unit: scale.symbol().to_owned(),
            ticks: ec.ticks(|value| shown(scale.from_ms_cm(value), 0)),
            zone: (ec.at(zone.ec_ms_cm.0), ec.at(zone.ec_ms_cm.1)),
        },
        rows,
    }
}
