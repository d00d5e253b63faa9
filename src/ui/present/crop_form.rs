//! A crop of the person's own while it is written: its fields, what is wrong with them, and the crop that comes of it.

use super::{capital, ec_decimals};
use crate::garden::{
    Catalog, Crop, CropGroup, EcCounts, MOST_STAGES, OwnKind, Quantity, SET_BY_YOU, SET_EC_MS_CM, SET_PH, SetBand,
    Severity, Stage, Unit, check_name, check_set_band, free_id, free_name, id_from, same_name,
};
use crate::ui::command::{BandEnd, Field};
use crate::ui::state::Keeper;
use crate::ui::view::{CropFormView, Reader};
use crate::ui::widgets::{Entry, plain_number, shown};
use crate::units::EcScale;

/// Groups that a crop of one's own can belong to.
const GROUPS: [CropGroup; 6] =
    [CropGroup::Leafy, CropGroup::Herb, CropGroup::Fruiting, CropGroup::Brassica, CropGroup::Root, CropGroup::Flower];

/// The page of crops: what is looked for and at, and what is being written.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct CropsState {
    /// What is typed to find a crop.
    pub typed: String,
    /// The crop looked at; none for what grows.
    pub crop_id: Option<String>,
    /// Its stage; none for that at which it grows, or the first after the seedling.
    pub stage_id: Option<String>,
    /// The crop of one's own that is being written.
    pub form: Option<CropForm>,
    /// What was said last.
    pub said: Option<String>,
}

/// The fields of a crop of one's own.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct CropForm {
    /// For whom it is written.
    pub keeper: Keeper,
    /// What it is made from; none for one that begins empty.
    pub from: Option<Box<Crop>>,
    /// Whether that is one of the person's own, which is replaced.
    pub is_edit: bool,
    /// Its name.
    pub name: String,
    /// Its group, by its place in the list.
    pub group_id: String,
    /// Its stages.
    pub rows: Vec<StageForm>,
    /// Where the bands come from.
    pub source: String,
    /// What keeps it from being kept, said once that was tried.
    pub refused: Option<String>,
}

/// A stage of it; EC in the scale that the person reads.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct StageForm {
    /// Key of the stage; empty for a new one.
    pub id: String,
    /// Its name.
    pub name: String,
    /// pH, low and high.
    pub ph: [Option<f64>; 2],
    /// EC, low and high.
    pub ec: [Option<f64>; 2],
    /// Whether the EC counts the source water.
    pub ec_counts: EcCounts,
}

impl StageForm {
    fn of(band: SetBand, scale: EcScale) -> Self {
        let ends = |band: Option<(f64, f64)>| [band.map(|b| b.0), band.map(|b| b.1)];
        let decimals = ec_decimals(scale);
        // What the field shows is what it holds.
        let round = |ec: f64| shown(scale.from_ms_cm(ec), decimals).parse().unwrap_or(ec);
        Self {
            id: band.stage.id,
            name: band.stage.name,
            ph: ends(band.ph),
            ec: ends(band.ec_ms_cm).map(|end| end.map(round)),
            ec_counts: band.ec_counts,
        }
    }

    /// A band with both ends; nothing where both are empty.
    ///
    /// # Errors
    /// A sentence when one end is missing.
    fn band(&self, what: &str, ends: [Option<f64>; 2]) -> Result<Option<(f64, f64)>, String> {
        match ends {
            [Some(low), Some(high)] => Ok(Some((low, high))),
            [None, None] => Ok(None),
            _ => Err(format!("{what} of “{}” has one end only: fill in both, or none", self.name.trim())),
        }
    }
}

/// What the fields of a crop have to know of where it is kept.
#[derive(Clone, Copy)]
pub struct CropPlace<'a> {
    /// Scale that EC is typed in.
    pub scale: EcScale,
    /// Crops, waters, products, the person's own beside them.
    pub catalog: &'a Catalog,
    /// The unit that keeps it; none for one of the library.
    pub unit: Option<&'a Unit>,
}

impl<'a> CropPlace<'a> {
    /// In a unit.
    pub fn in_unit(unit: &'a Unit, catalog: &'a Catalog) -> Self {
        Self { scale: unit.meter.ec_scale, catalog, unit: Some(unit) }
    }

    /// Crops that stand there already.
    fn known(&self) -> Vec<&'a Crop> {
        self.unit.map_or_else(
            || self.catalog.crops_and_own().map(|(crop, _)| crop).collect(),
            |unit| self.catalog.crops_of(unit),
        )
    }

    fn own_crops(&self) -> &'a [Crop] {
        self.unit.map_or(&[][..], |unit| &unit.own_crops)
    }

    const fn keeper(&self) -> Keeper {
        if self.unit.is_some() { Keeper::Unit } else { Keeper::Library }
    }
}

/// The fields of a crop that begins as another one: the person's own is edited, a shipped one stays as it is.
pub fn form_from(crop: &Crop, place: &CropPlace<'_>) -> CropForm {
    let scale = place.scale;
    let own = |crops: &[Crop]| crops.iter().any(|own| own.id == crop.id);
    // What the library keeps is the person's own, though another one may have its id.
    let is_edit = place.unit.is_none() || own(place.own_crops()) || own(&place.catalog.own.crops);
    let bands = if is_edit { crop.set_bands() } else { crop.working_bands() };
    let is_taken = |name: &str| place.known().iter().any(|other| same_name(&other.name, name));
    CropForm {
        keeper: place.keeper(),
        from: Some(Box::new(crop.clone())),
        is_edit,
        name: if is_edit { crop.name.clone() } else { free_name(&format!("My {}", crop.word()), is_taken) },
        group_id: super::id_of(&GROUPS, crop.group),
        rows: bands.into_iter().map(|band| StageForm::of(band, scale)).collect(),
        source: crop.set_source().unwrap_or(SET_BY_YOU).to_owned(),
        refused: None,
    }
}

/// The fields of a crop that begins empty.
pub fn empty_form(keeper: Keeper) -> CropForm {
    CropForm {
        keeper,
        group_id: super::id_of(&GROUPS, CropGroup::Leafy),
        rows: vec![StageForm { name: "growing".to_owned(), ..StageForm::default() }],
        source: SET_BY_YOU.to_owned(),
        ..CropForm::default()
    }
}

/// The crop that the fields describe.
///
/// # Errors
/// A sentence that names field, value and limit.
pub fn crop_of_form(form: &CropForm, place: &CropPlace<'_>) -> Result<Crop, String> {
    let scale = place.scale;
    let name = form.name.trim().to_owned();
    if let Some(problem) = check_name(&name) {
        return Err(capital(&problem.message));
    }
    let own_id = form.from.as_ref().filter(|_| form.is_edit).map(|crop| crop.id.clone());
    let known = place.known();
    let mut others = known.iter().filter(|crop| Some(&crop.id) != own_id.as_ref());
    if let Some(other) = others.find(|crop| same_name(&crop.name, &name)) {
        return Err(format!("There is a crop called {} already: give yours another name", other.name));
    }
    let mut bands: Vec<SetBand> = Vec::new();
    for row in &form.rows {
        let stage_name = row.name.trim();
        if let Some(problem) = check_name(stage_name) {
            return Err(format!("A stage: {}", problem.message));
        }
        if bands.iter().any(|band| same_name(&band.stage.name, stage_name)) {
            return Err(format!("The stage “{stage_name}” stands there twice"));
        }
        let ph = row.band("The pH", row.ph)?;
        let ec_ms_cm = row.band("The EC", row.ec)?.map(|(low, high)| (scale.ms_cm_from(low), scale.ms_cm_from(high)));
        for problem in problems(ph, ec_ms_cm, scale) {
            if problem.0 == Severity::Refused {
                return Err(format!("{}, for “{stage_name}”", problem.1));
            }
        }
        let is_taken = |id: &str| {
            let elsewhere = form.rows.iter().any(|other| other.id == id) || bands.iter().any(|b| b.stage.id == id);
            elsewhere || id == crate::garden::ALL_STAGES
        };
        let id = if row.id.is_empty() { free_id(&id_from(stage_name, "stage"), is_taken) } else { row.id.clone() };
        let stage = Stage { id, name: stage_name.to_owned() };
        bands.push(SetBand { stage, ph, ec_ms_cm, ec_counts: row.ec_counts });
    }
    if bands.is_empty() {
        return Err("A crop needs one stage at least: add one".to_owned());
    }
    let group = super::one_of(&GROUPS, &form.group_id).unwrap_or(CropGroup::Leafy);
    let base = form.from.as_deref().cloned().unwrap_or_else(|| Crop::of_person(group));
    let mut crop = base.with_bands(&bands, &form.source);
    crop.name = name;
    crop.id = own_id.unwrap_or_else(|| {
        let here = |id: &str| place.own_crops().iter().any(|crop| crop.id == id);
        let is_taken = |id: &str| place.catalog.bearer(OwnKind::Crop, id).is_some() || here(id);
        free_id(&id_from(&crop.name, "crop"), is_taken)
    });
    match crop.check().into_iter().next() {
        Some(problem) => Err(capital(&problem.message)),
        None => Ok(crop),
    }
}

fn problems(ph: Option<(f64, f64)>, ec_ms_cm: Option<(f64, f64)>, scale: EcScale) -> Vec<(Severity, String)> {
    let plain = |value: f64| shown(value, 2);
    let read = |value: f64| shown(scale.from_ms_cm(value), ec_decimals(scale));
    let of_ph = ph.and_then(|band| check_set_band(Quantity::Ph, band, (&plain, "")));
    let of_ec = ec_ms_cm.and_then(|band| check_set_band(Quantity::Ec, band, (&read, scale.symbol())));
    of_ph.into_iter().chain(of_ec).map(|problem| (problem.severity, problem.message)).collect()
}

/// What the page shows of the fields.
pub fn form_view(form: &CropForm, scale: EcScale) -> CropFormView {
    let remarks = form.rows.iter().map(|row| {
        let whole = |ends: [Option<f64>; 2]| ends[0].zip(ends[1]);
        let ec_ms_cm = whole(row.ec).map(|(low, high)| (scale.ms_cm_from(low), scale.ms_cm_from(high)));
        let mut remarks: Vec<String> =
            problems(whole(row.ph), ec_ms_cm, scale).into_iter().map(|(_, words)| words).collect();
        if row.ec_counts == EcCounts::AboveSourceWater && row.ec.iter().any(Option::is_some) {
            remarks.push("This EC is the feed’s share: your source water’s EC comes on top".to_owned());
        }
        remarks
    });
    let of = form.from.as_ref().map(|crop| crop.name.clone());
    let (title, note) = match (&of, form.is_edit) {
        (Some(name), true) => (format!("Change {name}"), "A field left empty follows the sources, or what is usual"),
        (Some(name), false) => {
            (format!("{name}, changed for you"), "It stands beside the shipped one, which stays as it is")
        }
        (None, _) => (
            "A crop of my own".to_owned(),
            "A field left empty gets what is usual. The EC counts your source water, as the meter shows it",
        ),
    };
    CropFormView {
        title,
        keep: super::library::keep_words(form.keeper, OwnKind::Crop, form.is_edit),
        note: note.to_owned(),
        groups: if of.is_some() { Vec::new() } else { super::ids(&GROUPS, |group| capital(group.words())) },
        ec_unit: scale.symbol().to_owned(),
        ec_decimals: ec_decimals(scale),
        remarks: remarks.collect(),
        has_room: form.rows.len() < MOST_STAGES,
        reader: Reader::new(move |field, typed| match field {
            Field::Band(_, BandEnd::PhLow | BandEnd::PhHigh) => plain_number(typed, "pH", "", SET_PH.0..=SET_PH.1),
            Field::Band(..) => {
                let limits = scale.from_ms_cm(SET_EC_MS_CM.0)..=scale.from_ms_cm(SET_EC_MS_CM.1);
                plain_number(typed, "EC", scale.symbol(), limits)
            }
            _ => Entry::Empty,
        }),
    }
}
