//! A list of pours changed by hand: what if?

use crate::garden::Role;

use super::{Action, Measured, Plan, Planner, Step, measure};

/// One pour of a list changed by hand.
#[derive(Clone, PartialEq, Debug)]
pub struct IdeaPour {
    /// What commands name it by.
    pub key: u32,
    /// Product, or part of one, on the shelf.
    pub product_id: String,
    /// mL or g.
    pub amount: f64,
    /// Where its slider ends. It stays for the life of the pour, so that a handle stays under the finger; only an amount
    /// typed beyond it moves it.
    pub most: f64,
    /// Whether it stays as it is while the landing is dragged.
    pub locked: bool,
}

/// How an amount asked for becomes one of the list.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Snap {
    /// Down to what the tool can measure, as a typed amount is: never more than was asked for.
    Down,
    /// To the nearest amount that the tool can measure; less than the half of the smallest is nothing.
    Nearest,
    /// As it is, measurable or not.
    Free,
}

/// A list of pours, changed by hand: a what-if.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Idea {
    /// In the order of pouring.
    pub pours: Vec<IdeaPour>,
}

impl Idea {
    /// The plan's own pours, as something that can be changed.
    pub fn of(plan: &Plan) -> Self {
        let measured = plan.steps.iter().filter_map(|step| match &step.action {
            Action::Pour(measured) => Some((step, measured)),
            _ => None,
        });
        let pours = measured.zip(FIRST_KEY..).map(|((step, measured), key)| IdeaPour {
            key,
            product_id: measured.id.clone(),
            amount: measured.amount,
            most: planned_end(step, measured),
            locked: false,
        });
        Self { pours: pours.collect() }
    }

    /// As the planner takes them.
    pub fn amounts(&self) -> Vec<(String, f64)> {
        self.pours.iter().map(|pour| (pour.product_id.clone(), pour.amount)).collect()
    }

    /// The pour to make first: the first one that is more than nothing.
    pub fn first(&self) -> Option<&IdeaPour> {
        self.pours.iter().find(|pour| pour.amount > 0.0)
    }

    /// Adds a product with nothing of it yet, before those that belong after it: pH comes last. Of a feed in parts those that
    /// are missing come, by the measure of those that are there. Returns whether anything changed.
    pub fn add(&mut self, planner: &Planner, product_id: &str) -> bool {
        let Some(product) = planner.product(product_id) else { return false };
        let there = |pours: &[IdeaPour], id: &str| pours.iter().position(|pour| pour.product_id == id);
        let in_parts = product.parts.len() > 1;
        let whole = product.parts.iter().find_map(|part| {
            let pour = &self.pours[there(&self.pours, &part.pour.id)?];
            Some(pour.amount / part.ratio)
        });
        let before = self.pours.len();
        for (i, part) in product.parts.iter().enumerate() {
            // What has one part only may be poured in two goes; a part twice would leave the others without a measure.
            if in_parts && there(&self.pours, &part.pour.id).is_some() {
                continue;
            }
            let by_label = product.label_per_l.map(|rate| 1.3 * rate * part.ratio * planner.knowledge().level_l);
            let step = part.tool.smallest();
            let wanted = by_label.or(part.tool.filling()).unwrap_or(100.0 * step);
            let amount = whole.filter(|_| in_parts).map_or(0.0, |whole| whole * part.ratio);
            let amount = snapped(planner, &part.pour.id, amount, Snap::Nearest);
            let pour = IdeaPour {
                key: self.free_key(),
                product_id: part.pour.id.clone(),
                amount,
                most: slider_end(wanted.max(amount), step),
                locked: false,
            };
            let after_earlier = product.parts[..i].iter().filter_map(|p| there(&self.pours, &p.pour.id)).max();
            let before_later = product.parts[i + 1..].iter().filter_map(|p| there(&self.pours, &p.pour.id)).min();
            let rank = |id: &str| planner.product(id).map_or(0, |product| place(product.role));
            let by_rank = || self.pours.iter().position(|pour| rank(&pour.product_id) > place(product.role));
            let at = after_earlier.map(|i| i + 1).or(before_later).or_else(by_rank).unwrap_or(self.pours.len());
            self.pours.insert(at, pour);
        }
        self.pours.len() > before
    }

    /// The most that a pour may become by hand: its own, and no more than the other parts of its feed can follow.
    pub(crate) fn most_of(&self, planner: &Planner, place: usize) -> f64 {
        let pour = &self.pours[place];
        let parts = planner.product(&pour.product_id).map(|product| product.parts.as_slice()).unwrap_or_default();
        let ratio_of = |id: &str| parts.iter().find(|part| part.pour.id == id).map(|part| part.ratio);
        let own = ratio_of(&pour.product_id).unwrap_or(1.0);
        self.pours.iter().fold(pour.most, |most, other| match ratio_of(&other.product_id) {
            Some(ratio) if ratio > 0.0 => most.min(other.most * own / ratio),
            _ => most,
        })
    }

    /// Gives a pour another amount; the other parts of its feed follow. Returns whether anything changed.
    pub fn set(&mut self, planner: &Planner, key: u32, amount: f64, snap: Snap) -> bool {
        let Some(id) = self.pours.iter().find(|pour| pour.key == key).map(|pour| pour.product_id.clone()) else {
            return false;
        };
        let parts = planner.product(&id).map(|product| product.parts.as_slice()).unwrap_or_default();
        let ratio = parts.iter().find(|part| part.pour.id == id).map_or(1.0, |part| part.ratio);
        let mut changed = false;
        for pour in &mut self.pours {
            let part = parts.iter().find(|part| part.pour.id == pour.product_id);
            let wanted = match part {
                _ if pour.key == key => amount.max(0.0),
                Some(part) if pour.product_id != id => amount.max(0.0) * part.ratio / ratio,
                _ => continue,
            };
            let amount = snapped(planner, &pour.product_id, wanted, snap);
            changed |= (pour.amount - amount).abs() > 1e-9;
            pour.amount = amount;
            if amount > pour.most {
                pour.most = slider_end(amount, part.map_or(0.0, |part| part.tool.smallest()));
            }
        }
        changed
    }

    /// Moves a pour by so many of the smallest marks that its tool has at this amount, diluted where it must be; the other
    /// parts of its feed follow. Returns whether anything changed.
    pub fn nudge(&mut self, planner: &Planner, key: u32, marks: i32) -> bool {
        let Some(place) = self.pours.iter().position(|pour| pour.key == key) else { return false };
        let pour = &self.pours[place];
        let mark = mark_at(planner, &pour.product_id, pour.amount);
        let wanted = (pour.amount / mark).round().mul_add(mark, f64::from(marks) * mark);
        // An amount typed past the end stays where it is, and no key takes it further.
        let most = self.most_of(planner, place).max(pour.amount);
        self.set(planner, key, wanted.clamp(0.0, most), Snap::Nearest)
    }

    /// Takes a pour off the list. Returns whether it was on it.
    pub fn remove(&mut self, key: u32) -> bool {
        let before = self.pours.len();
        self.pours.retain(|pour| pour.key != key);
        self.pours.len() < before
    }

    /// Moves a pour to another place in the order, as far as the list goes. Returns whether anything changed.
    pub fn move_by(&mut self, key: u32, places: i32) -> bool {
        let Some(from) = self.pours.iter().position(|pour| pour.key == key) else { return false };
        let last = self.pours.len() - 1;
        let by = usize::try_from(places.unsigned_abs()).unwrap_or(last);
        let to = if places < 0 { from.saturating_sub(by) } else { from.saturating_add(by).min(last) };
        let pour = self.pours.remove(from);
        self.pours.insert(to, pour);
        from != to
    }

    /// Locks or frees a pour, and with it the other parts of its feed. Returns whether anything changed.
    pub fn set_locked(&mut self, planner: &Planner, key: u32, locked: bool) -> bool {
        let Some(id) = self.pours.iter().find(|pour| pour.key == key).map(|pour| pour.product_id.clone()) else {
            return false;
        };
        let parts = planner.product(&id).map(|product| product.parts.as_slice()).unwrap_or_default();
        let mut changed = false;
        for pour in &mut self.pours {
            if pour.key == key || parts.iter().any(|part| part.pour.id == pour.product_id) {
                changed |= pour.locked != locked;
                pour.locked = locked;
            }
        }
        changed
    }

    /// A key that no pour has.
    fn free_key(&self) -> u32 {
        self.pours.iter().map(|p| p.key).max().map_or(FIRST_KEY, |key| key.saturating_add(1))
    }
}

/// Place in the order of pouring.
const fn place(role: Role) -> u8 {
    match role {
        Role::Silicate => 0,
        Role::CalMag => 1,
        Role::Feed => 2,
        Role::PhDown | Role::PhUp => 3,
    }
}

/// An amount of a product on the shelf as its tool can measure it, diluted where it must be; none when it is too small.
pub fn measured(planner: &Planner, product_id: &str, amount: f64) -> Option<Measured> {
    let parts = &planner.product(product_id)?.parts;
    let part = parts.iter().find(|part| part.pour.id == product_id)?;
    measure(amount, part).ok()
}

/// An amount as it goes into a list.
pub(crate) fn snapped(planner: &Planner, product_id: &str, wanted: f64, snap: Snap) -> f64 {
    let down = |amount: f64| measured(planner, product_id, amount).map(|measured| measured.amount);
    match snap {
        Snap::Free => wanted,
        // What no tool can measure stays as it was typed; the list says so.
        Snap::Down => down(wanted).unwrap_or(wanted),
        Snap::Nearest => {
            let below = down(wanted).unwrap_or(0.0);
            let above = down(wanted + mark_at(planner, product_id, wanted)).unwrap_or(below);
            if above - wanted < wanted - below { above } else { below }
        }
    }
}

/// The distance of two amounts that the tool can tell apart near this amount, diluted where it must be; mL or g.
pub fn mark_at(planner: &Planner, product_id: &str, amount: f64) -> f64 {
    let parts = planner.product(product_id).map(|product| product.parts.as_slice()).unwrap_or_default();
    let smallest = parts.iter().find(|part| part.pour.id == product_id).map_or(0.0, |part| part.tool.smallest());
    let mark = measured(planner, product_id, amount).map_or(smallest, |measured| measured.mark());
    if mark > 0.0 { mark } else { 0.1 }
}

/// Where the slider of a planned pour ends: past what may be needed in all.
pub fn planned_end(step: &Step, measured: &Measured) -> f64 {
    let likely = step.likely_total.map_or(0.0, |(_, high)| 1.3 * high);
    slider_end(likely.max(2.0 * measured.amount), measured.tool.smallest())
}

/// The mark that a slider ends on: at least ten of them.
pub fn slider_end(wanted: f64, step: f64) -> f64 {
    let wanted = wanted.max(10.0 * step);
    if step > 0.0 { (wanted / step - 1e-9).ceil() * step } else { wanted }
}

/// Key of the first planned pour: below it are the pours of the log.
pub const FIRST_KEY: u32 = 1000;
