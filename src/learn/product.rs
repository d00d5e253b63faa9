//! A product as the belief needs it: moles per unit, how sure, and what else it may be.

use crate::chem::{Component, Totals};
use crate::dose::Pour;
use crate::garden::{
    AcidKind, Catalog, Priors, Product, ProductRef, Role, ShelfItem, Strength, Tool, Unit, UnknownKind,
};

use super::KnowledgeError;

/// A product on the shelf, whole: for a feed in parts, all parts in their ratio.
#[derive(Clone, Debug, PartialEq)]
pub struct ProductBelief {
    /// One unit of it (mL, g) at its stated strength; for a feed in parts one unit of the first with the others' share.
    pub pour: Pour,
    /// 1 sd of ln(true over stated strength).
    pub ln_sd: f64,
    /// 1 sd of free acid that the label does not tell of, eq per unit.
    pub free_acid_sd_eq: f64,
    /// What it may be, with the share of belief in each and moles per unit; empty for a known product.
    pub kinds: Vec<(f64, Totals)>,
    /// Each part in order, what it is measured with, and how much of it goes with one unit of the whole.
    pub parts: Vec<Part>,
    /// Most per litre that the label advises, in units of the whole.
    pub label_per_l: Option<f64>,
    /// What it is for.
    pub role: Role,
    /// Whether its strength is a guess.
    pub unlabelled: bool,
}

/// One part of a product.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// One unit of the part.
    pub pour: Pour,
    /// What it is measured with.
    pub tool: Tool,
    /// What else is at hand for it.
    pub also: Vec<Tool>,
    /// Units of it for one unit of the whole.
    pub ratio: f64,
    /// Whether the person named it: then it is called as they wrote it.
    pub is_own: bool,
    /// Cautions to show beside its step.
    pub cautions: Vec<String>,
    /// What else is to be known where it is poured.
    pub notes: Vec<String>,
}

impl Part {
    /// All tools at hand for it.
    pub fn tools(&self) -> impl Iterator<Item = Tool> + '_ {
        std::iter::once(self.tool).chain(self.also.iter().copied())
    }
}

/// Shares of belief when a pH-lowering liquid says nothing of itself. Source: `profiles/priors.ron`.
fn acid_shares() -> [(f64, AcidKind); 3] {
    let shares = &Priors::shipped().acid_shares;
    [
        (shares.phosphoric.value, AcidKind::Phosphoric),
        (shares.citric.value, AcidKind::Citric),
        (shares.nitric.value, AcidKind::Nitric),
    ]
}

impl ProductBelief {
    pub(crate) fn of(
        product: &Product,
        item: &ShelfItem,
        unit: &Unit,
        catalog: &Catalog,
    ) -> Result<Self, KnowledgeError> {
        let shares = unit.parts_of(product, catalog);
        let parts = (shares.iter().copied())
            // What is not on the shelf is measured like what is.
            .map(|(of, ratio)| part(of, unit.shelf_item(&of.id).unwrap_or(item), ratio))
            .collect::<Result<Vec<_>, _>>()?;
        // No part is known better than the one that is known least: they are poured as one.
        let (mut ln_sd, mut label_acid_sd_eq): (f64, f64) = (0.0, 0.0);
        for (of, ratio) in &shares {
            let dissolved = dissolve(of)?;
            ln_sd = ln_sd.max(dissolved.ln_sd);
            label_acid_sd_eq += ratio * dissolved.closure.free_acid_sd_eq;
        }
        let mut pour = Pour { id: product.id.clone(), name: product.name.clone(), ..parts[0].pour.clone() };
        let zero = Pour { moles: Totals::ZERO, water_g: 0.0, volume_ml: 0.0, ..pour.clone() };
        pour = parts.iter().fold(zero, |whole, part| Pour {
            moles: whole.moles.plus_scaled(&part.pour.moles, part.ratio),
            water_g: whole.water_g + part.pour.water_g * part.ratio,
            volume_ml: whole.volume_ml + part.pour.volume_ml * part.ratio,
            ..whole
        });
        // A recipe balances as it is, yet no maker weighs to the last milligram: a twentieth of the phosphate.
        let free_acid_sd_eq = label_acid_sd_eq.max(0.05 * pour.moles[Component::P]);
        let (kinds, unlabelled) = kinds(product);
        Ok(Self {
            pour,
            ln_sd,
            free_acid_sd_eq: if product.role == Role::Feed { free_acid_sd_eq } else { 0.0 },
            kinds,
            parts,
            label_per_l: product.label_rate.as_ref().map(|rate| rate.per_l),
            role: product.role,
            unlabelled: unlabelled || shares.iter().any(|(of, _)| matches!(of.strength, Strength::Unknown { .. })),
        })
    }

    /// Whether a calcium–magnesium supplement is one for calcium: it brings more of it than of magnesium. Ours: recipes hold three
    /// to five times as much calcium as magnesium, so that what has less (Epsom salt has none) mends no want of it.
    pub fn brings_calcium(&self) -> bool {
        self.pour.calcium_mg() > self.pour.magnesium_mg()
    }

    /// Moles per unit if the product is the kind that `place`, 0 to 1 over the shares of belief, picks.
    pub fn moles_at(&self, place: f64) -> Totals {
        let mut left = place;
        for (share, moles) in &self.kinds {
            left -= share;
            if left < 0.0 {
                return *moles;
            }
        }
        self.kinds.last().map_or(self.pour.moles, |(_, moles)| *moles)
    }
}

fn dissolve(product: &Product) -> Result<crate::garden::Dissolved, KnowledgeError> {
    product.dissolved().map_err(|error| KnowledgeError::Product { name: product.name.clone(), error })
}

fn part(product: &Product, with: &ShelfItem, ratio: f64) -> Result<Part, KnowledgeError> {
    let dissolved = dissolve(product)?;
    let pour = Pour {
        id: product.id.clone(),
        name: product.name.clone(),
        moles: dissolved.moles,
        water_g: dissolved.water_g,
        volume_ml: dissolved.volume_ml,
        amount: 1.0,
        unit: product.form.unit(),
    };
    let mut cautions = product.told_cautions();
    cautions.extend(dissolved.cautions_beside_pour().cloned());
    let notes = dissolved.notes_beside_pour().cloned().collect();
    Ok(Part {
        pour,
        is_own: matches!(with.product, ProductRef::Own(_)),
        tool: with.tool,
        also: with.also.clone(),
        ratio,
        cautions,
        notes,
    })
}

/// What an unlabelled acid may be, each at the same strength in moles; a known product has one kind only.
fn kinds(product: &Product) -> (Vec<(f64, Totals)>, bool) {
    let Strength::Unknown { kind, median_mmol_per_unit, .. } = &product.strength else {
        return (Vec::new(), false);
    };
    if !matches!(kind, UnknownKind::Acid(_)) {
        return (Vec::new(), true);
    }
    let kinds = acid_shares()
        .into_iter()
        .map(|(share, acid)| {
            let component = match acid {
                AcidKind::Citric => Component::Cit,
                AcidKind::Nitric => Component::No3,
                AcidKind::Phosphoric | AcidKind::Sulfuric | AcidKind::Hydrochloric | AcidKind::SodiumBisulfate => {
                    Component::P
                }
            };
            (share, Totals::from_pairs(&[(component, median_mmol_per_unit / 1e3)]))
        })
        .collect();
    (kinds, true)
}
