//! The totals a solution is made of, and arithmetic on them.

use std::ops::{Index, IndexMut};

/// What is conserved when waters mix: one total per component. H⁺ is not among them, since electroneutrality fixes it.
///
/// Names give the form in which the charge is counted: `P` is all phosphate as PO₄³⁻, `C` all inorganic carbon as
/// CO₃²⁻, `Cit` all citrate as Cit³⁻, `Si` and `B` as the neutral acids H₄SiO₄ and H₃BO₃.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each is named by its formula")]
pub enum Component {
    Ca,
    Mg,
    Na,
    K,
    Nh4,
    No3,
    Cl,
    So4,
    P,
    C,
    Si,
    B,
    Cit,
}

/// How many components a solution has, H⁺ aside.
pub const COMPONENTS: usize = 13;

impl Component {
    /// All components, in the order of [`Totals`].
    pub const ALL: [Self; COMPONENTS] = [
        Self::Ca,
        Self::Mg,
        Self::Na,
        Self::K,
        Self::Nh4,
        Self::No3,
        Self::Cl,
        Self::So4,
        Self::P,
        Self::C,
        Self::Si,
        Self::B,
        Self::Cit,
    ];

    /// Place in [`Totals`].
    pub const fn index(self) -> usize {
        self as usize
    }

    /// Charge number of the form in which the component is counted.
    pub const fn charge(self) -> i32 {
        match self {
            Self::Ca | Self::Mg => 2,
            Self::Na | Self::K | Self::Nh4 => 1,
            Self::No3 | Self::Cl => -1,
            Self::So4 | Self::C => -2,
            Self::P | Self::Cit => -3,
            Self::Si | Self::B => 0,
        }
    }

    /// What one mole takes from the alkalinity, in equivalents: `Alk = cations - Σ weight · total`.
    ///
    /// The zero level is H₂PO₄⁻, CO₂, H₄SiO₄, H₃BO₃, NH₄⁺ and H₂Cit⁻, as Parkhurst & Appelo (2013) count it.
    const fn alkalinity_weight(self) -> i32 {
        match self {
            Self::P | Self::Cit => -1,
            Self::C => 0,
            other => other.charge(),
        }
    }

    /// Short name, as in a water report.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Ca => "Ca",
            Self::Mg => "Mg",
            Self::Na => "Na",
            Self::K => "K",
            Self::Nh4 => "NH4",
            Self::No3 => "NO3",
            Self::Cl => "Cl",
            Self::So4 => "SO4",
            Self::P => "P",
            Self::C => "C",
            Self::Si => "Si",
            Self::B => "B",
            Self::Cit => "Cit",
        }
    }

    /// Molar mass in g/mol of the element or ion that reports count: NH4, NO3, SO4 and citrate as ions, P, C, Si and B as
    /// elements. Source: IUPAC abridged standard atomic weights (2021).
    pub const fn molar_mass_g(self) -> f64 {
        match self {
            Self::Ca => 40.078,
            Self::Mg => 24.305,
            Self::Na => 22.990,
            Self::K => 39.098,
            Self::Nh4 => 18.039,
            Self::No3 => 62.004,
            Self::Cl => 35.45,
            Self::So4 => 96.06,
            Self::P => 30.974,
            Self::C => 12.011,
            Self::Si => 28.085,
            Self::B => 10.81,
            Self::Cit => 189.10,
        }
    }
}

/// Totals of a solution, in mol per kg of water unless the holder says otherwise (a product holds mol per mL or g).
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Totals([f64; COMPONENTS]);

impl Totals {
    /// Pure water.
    pub const ZERO: Self = Self([0.0; COMPONENTS]);

    /// Totals with the named amounts, all others zero; a component named twice is added up.
    pub fn from_pairs(pairs: &[(Component, f64)]) -> Self {
        let mut totals = Self::ZERO;
        for &(component, amount) in pairs {
            totals[component] += amount;
        }
        totals
    }

    /// Component by component, in the order of [`Component::ALL`].
    pub fn iter(&self) -> impl Iterator<Item = (Component, f64)> + '_ {
        Component::ALL.into_iter().zip(self.0)
    }

    /// Every total times `factor`.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        Self(self.0.map(|amount| amount * factor))
    }

    /// The sum of two totals.
    #[must_use]
    pub fn plus(&self, other: &Self) -> Self {
        let mut sum = *self;
        for (into, add) in sum.0.iter_mut().zip(other.0) {
            *into += add;
        }
        sum
    }

    /// This plus `factor` times the other.
    #[must_use]
    pub fn plus_scaled(&self, other: &Self, factor: f64) -> Self {
        self.plus(&other.scaled(factor))
    }

    /// The same totals with one of them replaced.
    #[must_use]
    pub fn with(mut self, component: Component, amount: f64) -> Self {
        self[component] = amount;
        self
    }

    /// Alkalinity in equivalents per the unit of the totals (eq per kg of water for a solution).
    ///
    /// It follows from the totals alone: cations less strong anions less phosphate and citrate once each. Carbon dioxide
    /// that comes or goes leaves it as it is.
    pub fn alkalinity(&self) -> f64 {
        self.iter().map(|(component, amount)| f64::from(component.alkalinity_weight()) * amount).sum()
    }

    /// Sum of charges of the counted forms, in equivalents; H⁺ and OH⁻ make up for it.
    pub fn charge(&self) -> f64 {
        self.iter().map(|(component, amount)| f64::from(component.charge()) * amount).sum()
    }

    /// Hardness: calcium and magnesium, in mol per unit.
    pub fn hardness(&self) -> f64 {
        self[Component::Ca] + self[Component::Mg]
    }

    /// Nitrogen as nitrate and ammonium, in mol per unit.
    pub fn nitrogen(&self) -> f64 {
        self[Component::No3] + self[Component::Nh4]
    }

    /// Whether every total is finite and none is negative.
    pub fn is_physical(&self) -> bool {
        self.0.iter().all(|amount| amount.is_finite() && *amount >= 0.0)
    }
}

impl Index<Component> for Totals {
    type Output = f64;
    fn index(&self, component: Component) -> &f64 {
        &self.0[component.index()]
    }
}

impl IndexMut<Component> for Totals {
    fn index_mut(&mut self, component: Component) -> &mut f64 {
        &mut self.0[component.index()]
    }
}
