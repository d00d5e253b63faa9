//! What is to be said of a pour's place in a list: any order can be tried, and some are worse than others.

use crate::garden::Role;

use super::{Idea, Planner};

impl Idea {
    /// Why a pour stands in the wrong place of the list; none where it is well, or where nothing of it is poured.
    ///
    /// **Source** Common practice, no source: silicate into plain water, supplement, feed, then pH; the parts of a feed one after the other.
    pub fn out_of_place(&self, planner: &Planner, key: u32) -> Option<&'static str> {
        let place = self.pours.iter().position(|pour| pour.key == key)?;
        let pour = self.pours.get(place).filter(|pour| pour.amount > 0.0)?;
        let product = planner.product(&pour.product_id)?;
        let real = |ids: &[super::IdeaPour], wanted: &dyn Fn(Role) -> bool| {
            ids.iter()
                .filter(|other| other.amount > 0.0)
                .any(|other| planner.product(&other.product_id).is_some_and(|other| wanted(other.role)))
        };
        let (before, after) = (self.pours.get(..place)?, self.pours.get(place + 1..)?);
        let feeds = |role: Role| matches!(role, Role::Feed | Role::CalMag);
        match product.role {
            Role::PhDown if real(after, &feeds) => {
                return Some("Acid belongs after the feed: the feed moves pH too, and more acid may not be needed");
            }
            Role::PhUp if real(after, &feeds) => {
                return Some("What raises pH belongs after the feed: the feed moves pH too, mostly down");
            }
            Role::Silicate if real(before, &|role| role != Role::Silicate) => {
                return Some("Silicate belongs first, into plain water: after anything else it may fall out as a gel");
            }
            Role::CalMag if real(before, &|role| role == Role::Feed) => {
                return Some("Calcium and magnesium belong before the feed, which then fills what EC is left");
            }
            _ => {}
        }
        let is_part = |id: &str| product.parts.iter().any(|part| part.pour.id == id);
        let first = before.iter().rposition(|other| other.amount > 0.0 && is_part(&other.product_id))?;
        let between = before.get(first + 1..)?.iter().any(|other| other.amount > 0.0 && !is_part(&other.product_id));
        between.then_some("The parts of a feed belong one after the other, each stirred in before the next")
    }
}
