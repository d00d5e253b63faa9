//! The source water as a person describes it: by kind, by readings, by a report, mixed with another.

use super::readers::{capital, entry};
use super::{ec_decimals, id_of, ids, one_of};
use crate::chem::Component;
use crate::garden::{
    Blend, Catalog, FieldProblem, KnownWater, LONGEST_NAME, OwnKind, OwnWater, Severity, SourceWater, Unit, WaterKind,
    WaterReport, check_name, compose::MG_CACO3_PER_MEQ, id_from,
};
use crate::store::Settings;
use crate::ui::command::{Field, Mixed, WaterField};
use crate::ui::state::{Keeper, Trouble};
use crate::ui::view::{Choice, OfferView, Reader, SheetNumber, WaterView};
use crate::ui::widgets::plain_number;
use crate::units::entry::{WaterTest, interpret_ec, interpret_ph, interpret_report_line, interpret_water_test};
use crate::units::{EcScale, HardnessUnit, ReportLine, ReportUnit};

type Line = fn(&mut WaterReport) -> &mut Option<f64>;
/// The lines of a report in the order of [`ReportLine::ALL`], with their fields' names.
const LINES: [(&str, Line); 10] = [
    ("ca_mg_l", |r| &mut r.ca_mg_l),
    ("mg_mg_l", |r| &mut r.mg_mg_l),
    ("na_mg_l", |r| &mut r.na_mg_l),
    ("k_mg_l", |r| &mut r.k_mg_l),
    ("hco3_mg_l", |r| &mut r.hco3_mg_l),
    ("cl_mg_l", |r| &mut r.cl_mg_l),
    ("so4_mg_l", |r| &mut r.so4_mg_l),
    ("no3_mg_l", |r| &mut r.no3_mg_l),
    ("sio2_mg_l", |r| &mut r.sio2_mg_l),
    ("b_mg_l", |r| &mut r.b_mg_l),
];
/// Share of the other water when mixing begins, 0 to 1. Ours: half and half.
const USUAL_SHARE: f64 = 0.5;

/// The units that a water is described in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WaterUnits {
    ec: EcScale,
    alkalinity: HardnessUnit,
    hardness: HardnessUnit,
}

impl WaterUnits {
    /// Those of a unit's meter and of the settings.
    pub fn of(unit: &Unit, settings: &Settings) -> Self {
        Self::with(unit.meter.ec_scale, settings)
    }

    /// Those of the first page, which asks for one unit of both alkalinity and hardness.
    pub fn of_start(ec: EcScale, unit: HardnessUnit) -> Self {
        Self { ec, alkalinity: unit, hardness: unit }
    }

    /// Those of the settings, but for EC.
    pub fn with(ec: EcScale, settings: &Settings) -> Self {
        Self { ec, alkalinity: settings.alkalinity_unit, hardness: settings.hardness_unit }
    }
}

/// The source water that is being described, in its own terms.
#[derive(Clone, PartialEq, Debug)]
pub struct WaterDraft {
    /// For whom it is described.
    pub keeper: Keeper,
    /// Its name, where it is one of the library.
    pub name: String,
    /// Anything else, where it is one of the library.
    pub note: String,
    /// Whether it is one that was there, changed.
    pub is_change: bool,
    /// As described so far.
    pub water: SourceWater,
    /// Whether the lines of a report are open.
    pub has_report: bool,
    /// The units of the fields.
    pub units: WaterUnits,
    /// What keeps it from being kept, said once that was tried.
    pub refused: Option<String>,
}

impl WaterDraft {
    /// The source water of a unit.
    pub fn of(unit: &Unit, settings: &Settings) -> Self {
        Self::with(&unit.source_water, WaterUnits::of(unit, settings))
    }

    fn with(water: &SourceWater, units: WaterUnits) -> Self {
        Self {
            keeper: Keeper::Unit,
            name: String::new(),
            note: String::new(),
            is_change: false,
            water: *water,
            has_report: water.report.is_some(),
            units,
            refused: None,
        }
    }

    /// A water of the person's library; `None` begins a new one.
    pub fn of_library(own: Option<&OwnWater>, units: WaterUnits) -> Self {
        let water = own.map_or_else(|| SourceWater::of_kind(WaterKind::Unknown), |own| own.water);
        Self {
            keeper: Keeper::Library,
            name: own.map_or_else(String::new, |own| own.name.clone()),
            note: own.and_then(|own| own.note.clone()).unwrap_or_default(),
            is_change: own.is_some(),
            ..Self::with(&water, units)
        }
    }

    /// The water of the library that it makes, under an id.
    ///
    /// # Errors
    /// What is refused, in a sentence.
    pub fn own_water(&self, id: &str, catalog: &Catalog) -> Result<OwnWater, String> {
        if let Some(problem) = check_name(&self.name) {
            return Err(capital(&problem.message));
        }
        let note = Some(self.note.trim().to_owned()).filter(|note| !note.is_empty());
        Ok(OwnWater { id: id.to_owned(), name: self.name.trim().to_owned(), water: self.kept(catalog)?, note })
    }

    /// Begins from a water of the person's library.
    pub fn take(&mut self, id: &str, yours: &[OwnWater]) {
        if let Some(own) = yours.iter().find(|own| own.id == id) {
            self.water = own.water;
            self.has_report = own.water.report.is_some();
        }
    }

    /// Id of its kind.
    pub fn kind_id(&self) -> String {
        id_of(&WaterKind::ALL, self.water.kind)
    }

    /// Another kind of one of the waters.
    pub fn set_kind(&mut self, of: Mixed, id: &str) {
        let Some(kind) = one_of(&WaterKind::ALL, id) else { return };
        match (of, &mut self.water.blend) {
            (Mixed::Source, _) => self.water.kind = kind,
            (Mixed::Other, Some(blend)) => blend.kind = kind,
            (Mixed::Other, None) => {}
        }
    }

    /// Opens or closes the lines of a report; what stood in them is gone with them.
    pub fn toggle_report(&mut self) {
        self.has_report = !self.has_report;
        if !self.has_report {
            self.water.report = None;
        }
    }

    /// Mixes another water in, or takes it out.
    pub fn toggle_mix(&mut self) {
        self.water.blend = match self.water.blend {
            Some(_) => None,
            None => Some(Blend::of(USUAL_SHARE, SourceWater::of_kind(WaterKind::Rain))),
        };
    }

    /// Keeps a number, given in the unit of its field.
    pub fn set(&mut self, field: WaterField, value: Option<f64>) {
        let units = self.units;
        let water = &mut self.water;
        let meq = |value: Option<f64>| value.map(|value| units.alkalinity.meq_per_l_from(value));
        let hard = |value: Option<f64>| value.map(|value| units.hardness.meq_per_l_from(value) * MG_CACO3_PER_MEQ);
        let ec = |value: Option<f64>| value.map(|value| units.ec.ms_cm_from(value));
        match (field, &mut water.blend) {
            (WaterField::Ec(Mixed::Source), _) => water.ec_ms_cm = ec(value),
            (WaterField::Ph(Mixed::Source), _) => water.ph = value,
            (WaterField::Alkalinity(Mixed::Source), _) => water.alkalinity_meq_l = meq(value),
            (WaterField::Hardness(Mixed::Source), _) => water.hardness_mg_caco3_l = hard(value),
            (WaterField::Ec(Mixed::Other), Some(blend)) => blend.ec_ms_cm = ec(value),
            (WaterField::Ph(Mixed::Other), Some(blend)) => blend.ph = value,
            (WaterField::Alkalinity(Mixed::Other), Some(blend)) => blend.alkalinity_meq_l = meq(value),
            (WaterField::Hardness(Mixed::Other), Some(blend)) => blend.hardness_mg_caco3_l = hard(value),
            (WaterField::Share, Some(blend)) => blend.share = value.map_or(USUAL_SHARE, |percent| percent / 100.0),
            (WaterField::Line(place), _) => {
                let mut report = water.report.unwrap_or_default();
                if let Some((_, line)) = LINES.get(usize::from(place)) {
                    *line(&mut report) = value;
                }
                water.report = (report != WaterReport::default()).then_some(report);
            }
            (_, None) => {}
        }
    }

    /// The water, if nothing of it is refused.
    ///
    /// # Errors
    /// What is refused, in a sentence.
    pub fn kept(&self, catalog: &Catalog) -> Result<SourceWater, String> {
        if let Some(problem) = self.water.check().into_iter().find(|problem| problem.severity == Severity::Refused) {
            return Err(capital(&problem.message));
        }
        self.water.known(catalog).map_err(|error| capital(&error.to_string()))?;
        Ok(self.water)
    }

    fn readings(&self, of: Mixed, water: &SourceWater) -> Vec<SheetNumber> {
        let units = self.units;
        let number = |field, label, unit: &str, value| SheetNumber {
            field: Field::Water(field),
            label,
            unit: unit.to_owned(),
            hint: "",
            value,
        };
        let (ec, ph, alkalinity, hardness) = match of {
            Mixed::Source => ("EC", "pH", "Alkalinity", "Hardness"),
            Mixed::Other => ("Its EC", "Its pH", "Its alkalinity", "Its hardness"),
        };
        let hard = water.hardness_mg_caco3_l.map(|mg| units.hardness.from_meq_per_l(mg / MG_CACO3_PER_MEQ));
        let ec_value = water.ec_ms_cm.map(|ec| units.ec.from_ms_cm(ec));
        let meq = water.alkalinity_meq_l.map(|meq| units.alkalinity.from_meq_per_l(meq));
        let rounded = |value: Option<f64>, decimals: usize| {
            let scale = 10_f64.powi(i32::try_from(decimals).unwrap_or(2));
            value.map(|value| (value * scale).round() / scale)
        };
        vec![
            number(WaterField::Ec(of), ec, units.ec.symbol(), rounded(ec_value, ec_decimals(units.ec))),
            number(WaterField::Ph(of), ph, "", water.ph),
            number(WaterField::Alkalinity(of), alkalinity, units.alkalinity.symbol(), rounded(meq, 2)),
            number(WaterField::Hardness(of), hardness, units.hardness.symbol(), rounded(hard, 2)),
        ]
    }
}

/// Kinds of water to pick from.
fn kinds(catalog: &Catalog) -> Vec<Choice> {
    ids(&WaterKind::ALL, |kind| catalog.water(kind).map_or_else(String::new, |profile| profile.name.clone()))
}

/// What the sheet shows.
pub fn water_view(draft: &WaterDraft, catalog: &Catalog) -> WaterView {
    let water = &draft.water;
    let profile = catalog.water(water.kind);
    let mut report = water.report.unwrap_or_default();
    let mut lines = Vec::new();
    if draft.has_report {
        for ((line, (_, of)), place) in ReportLine::ALL.iter().zip(&LINES).zip(0_u8..) {
            let value = *of(&mut report);
            let field = Field::Water(WaterField::Line(place));
            lines.push(SheetNumber { field, label: line.label(), unit: "mg/L".to_owned(), hint: "", value });
        }
    }
    let other = water.blend.map(|blend| {
        let share = SheetNumber {
            field: Field::Water(WaterField::Share),
            label: "Its share",
            unit: "%".to_owned(),
            hint: "50",
            value: Some((blend.share * 1000.0).round() / 10.0),
        };
        std::iter::once(share).chain(draft.readings(Mixed::Other, &blend.water())).collect()
    });
    let (notes, warnings) = match water.known(catalog) {
        Ok(known) => (known.composition.notes, known.profile.warning.into_iter().collect()),
        Err(_) => (Vec::new(), Vec::new()),
    };
    let mut troubles: Vec<_> = water.check().iter().map(trouble_of).collect();
    if troubles.is_empty()
        && let Err(error) = water.known(catalog)
    {
        troubles.push((None, Trouble { message: capital(&error.to_string()), offers: Vec::new() }));
    }
    let is_of_unit = draft.keeper == Keeper::Unit;
    let yours = catalog.own.waters.iter().filter(|_| is_of_unit);
    WaterView {
        title: match (draft.keeper, draft.is_change) {
            (Keeper::Unit, _) => "Your source water",
            (Keeper::Library, true) => "A water of yours",
            (Keeper::Library, false) => "Describe a water",
        },
        is_named: !is_of_unit,
        keep: super::library::keep_words(draft.keeper, OwnKind::Water, draft.is_change),
        yours: yours.map(|own| Choice::new(&own.id, &own.name)).collect(),
        kinds: kinds(catalog),
        hint: profile.map_or_else(String::new, |profile| profile.hint.clone()),
        readings: draft.readings(Mixed::Source, water),
        report: lines,
        other_id: water.blend.map(|blend| id_of(&WaterKind::ALL, blend.kind)),
        other: other.unwrap_or_default(),
        notes,
        warnings,
        troubles,
        can_keep: if is_of_unit { draft.kept(catalog).is_ok() } else { draft.own_water("new", catalog).is_ok() },
        reader: reader(draft.units),
    }
}

/// A problem, at the field of the sheet that it is about.
fn trouble_of(problem: &FieldProblem) -> (Option<Field>, Trouble) {
    let (of, name) = match problem.field.strip_prefix("blend.") {
        Some(name) => (Mixed::Other, name),
        None => (Mixed::Source, problem.field.as_str()),
    };
    let line = name.strip_prefix("report.").and_then(|key| LINES.iter().position(|(name, _)| *name == key));
    let line = line.and_then(|place| u8::try_from(place).ok()).map(WaterField::Line);
    let field = line.or(match name {
        "ec_ms_cm" => Some(WaterField::Ec(of)),
        "ph" => Some(WaterField::Ph(of)),
        "alkalinity_meq_l" => Some(WaterField::Alkalinity(of)),
        "hardness_mg_caco3_l" => Some(WaterField::Hardness(of)),
        "share" => Some(WaterField::Share),
        _ => None,
    });
    // Offers count in the library's units: only those of lines are in the unit of their field.
    let are_in_unit = matches!(field, Some(WaterField::Line(_) | WaterField::Ph(_)));
    let offers = problem.offers.iter().filter(|_| are_in_unit);
    let offers = offers.map(|fix| OfferView { label: fix.label.clone(), value: fix.value }).collect();
    (field.map(Field::Water), Trouble { message: capital(&problem.message), offers })
}

fn reader(units: WaterUnits) -> Reader {
    Reader::new(move |field, typed| match field {
        Field::Water(WaterField::Ec(_)) => entry(interpret_ec(typed, units.ec).map(|ec| ec.quantity.in_unit(units.ec))),
        Field::Water(WaterField::Ph(_)) => entry(interpret_ph(typed).map(f64::from)),
        Field::Water(WaterField::Alkalinity(_)) => {
            let read = interpret_water_test(typed, WaterTest::Alkalinity, units.alkalinity);
            entry(read.map(|v| v.quantity.in_unit(units.alkalinity)))
        }
        Field::Water(WaterField::Hardness(_)) => {
            let read = interpret_water_test(typed, WaterTest::Hardness, units.hardness);
            entry(read.map(|v| v.quantity.in_unit(units.hardness)))
        }
        Field::Water(WaterField::Line(place)) => match ReportLine::ALL.get(usize::from(place)) {
            Some(line) => {
                let read = interpret_report_line(typed, *line, ReportUnit::MgPerLitre);
                entry(read.map(|v| v.quantity.get()))
            }
            None => plain_number(typed, "That number", "mg/L", 0.0..=5000.0),
        },
        _ => plain_number(typed, "The share", "%", 0.0..=100.0),
    })
}

/// The source water of a unit as one of the person's library.
pub fn own_water(unit: &Unit, catalog: &Catalog) -> OwnWater {
    let name = format!("{}, {}", capital(&unit.source_water.words(catalog)), unit.name);
    let name: String = name.chars().take(LONGEST_NAME).collect();
    OwnWater { id: id_from(&name, OwnKind::Water.words()), name, water: unit.source_water, note: None }
}

/// The source water of a unit in words, one line each, and what is wrong or doubtful with it.
pub(super) fn water_lines(unit: &Unit, catalog: &Catalog, settings: &Settings) -> (Vec<String>, Vec<String>) {
    let water = &unit.source_water;
    let known = water.known(catalog);
    let units = WaterUnits::of(unit, settings);
    let by_report = known.as_ref().ok().and_then(|known| report_words(water, known, units));
    let told = by_report.or_else(|| measured_words(water, units));
    let told = told.unwrap_or_else(|| "Nothing is measured yet: the kind says all".to_owned());
    let mut troubles: Vec<String> = water.check().iter().map(|problem| capital(&problem.message)).collect();
    match known {
        Ok(known) => troubles.extend(known.profile.warning),
        Err(error) => troubles.push(capital(&error.to_string())),
    }
    troubles.dedup();
    (vec![capital(&water.words(catalog)), told], troubles)
}

/// What is known of a water by a report, in a line: as read, and where it was not read, as it follows from the report. Nothing
/// where there is no report. What follows from it with the help of the kind is told as "about".
fn report_words(water: &SourceWater, known: &KnownWater, units: WaterUnits) -> Option<String> {
    let report = water.report.or_else(|| water.blend?.report)?;
    let mix = &known.composition;
    let is_mix = water.blend.is_some();
    let decimals = ec_decimals(units.ec);
    let about = |is_read: bool| if is_read { "" } else { "about " };
    let ec = water.ec_read_ms_cm();
    let ph = water.ph.filter(|_| !is_mix);
    let mut told = vec![
        format!(
            "EC {}{:.decimals$} {}",
            about(ec.is_some()),
            units.ec.from_ms_cm(ec.unwrap_or(mix.ec_ms_cm)),
            units.ec.symbol()
        ),
        format!("pH {}{:.1}", about(ph.is_some()), ph.unwrap_or(mix.ph)),
    ];
    if known.is_alkalinity_told {
        let meq = water.alkalinity_meq_l.filter(|_| !is_mix).unwrap_or(mix.alkalinity_meq_l);
        told.push(format!("alkalinity {:.0} {}", units.alkalinity.from_meq_per_l(meq), units.alkalinity.symbol()));
    }
    let lists_hardness = report.ca_mg_l.is_some() && report.mg_mg_l.is_some();
    let from_report =
        (lists_hardness && !is_mix).then(|| 2e3 * (mix.totals[Component::Ca] + mix.totals[Component::Mg]));
    if let Some(meq) = known.hardness_meq_l.or(from_report) {
        told.push(format!("hardness {:.0} {}", units.hardness.from_meq_per_l(meq), units.hardness.symbol()));
    }
    told.push(if is_mix { "of the mix, by a report" } else { "by a report" }.to_owned());
    Some(told.join(", "))
}

/// What was measured of a water, in a line; nothing where nothing was.
pub(super) fn measured_words(water: &SourceWater, units: WaterUnits) -> Option<String> {
    let mut told = Vec::new();
    if let Some(ec) = water.ec_read_ms_cm() {
        let decimals = ec_decimals(units.ec);
        told.push(format!("EC {:.decimals$} {}", units.ec.from_ms_cm(ec), units.ec.symbol()));
    }
    if let Some(ph) = water.ph.filter(|_| water.blend.is_none()) {
        told.push(format!("pH {ph:.1}"));
    }
    if let Some(meq) = water.alkalinity_meq_l {
        told.push(format!("alkalinity {:.0} {}", units.alkalinity.from_meq_per_l(meq), units.alkalinity.symbol()));
    }
    if let Some(mg) = water.hardness_mg_caco3_l {
        let hard = units.hardness.from_meq_per_l(mg / MG_CACO3_PER_MEQ);
        told.push(format!("hardness {hard:.0} {}", units.hardness.symbol()));
    }
    if water.report.is_some() {
        told.push("by a report".to_owned());
    }
    (!told.is_empty()).then(|| told.join(", "))
}
