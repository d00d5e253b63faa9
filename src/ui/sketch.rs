//! The lists of pours in hand: the plan's own, one changed by hand, or two to compare.
//!
//! A sketch is nothing but data, so that it can be kept, compared and gone back to. It holds what-ifs, and never what was
//! physically poured: that is in the log, and stays there.

use super::command::Slot;
use crate::plan::{Idea, Plan, Planner};

/// A list of pours.
#[derive(Clone, PartialEq, Debug, Default)]
pub enum List {
    /// The plan's own pours, whatever they are.
    #[default]
    Plan,
    /// One changed by hand.
    Own(Idea),
}

impl List {
    /// The list as one changed by hand, should it be one.
    pub fn idea(&self) -> Option<&Idea> {
        match self {
            Self::Plan => None,
            Self::Own(idea) => Some(idea),
        }
    }
}

/// One or two lists of pours, and which of them is in hand.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Sketch {
    a: List,
    /// None while there is only one list.
    b: Option<List>,
    hand: Slot,
}

impl Sketch {
    /// A sketch with one list.
    pub fn of(idea: Option<Idea>) -> Self {
        Self { a: idea.map_or(List::Plan, List::Own), ..Self::default() }
    }

    /// The idea in hand; none while the plan's own pours are.
    pub fn idea(&self) -> Option<&Idea> {
        self.list(self.hand).and_then(List::idea)
    }

    /// The list in hand as something that can be changed: the plan's own pours where it is theirs.
    pub fn idea_or(&self, plan: &Plan) -> Idea {
        self.idea().cloned().unwrap_or_else(|| Idea::of(plan))
    }

    /// Which list is in hand.
    pub fn hand(&self) -> Slot {
        self.hand
    }

    /// Whether there are two lists.
    pub fn is_two(&self) -> bool {
        self.b.is_some()
    }

    /// The list that is not in hand, when there are two.
    pub fn other(&self) -> Option<&List> {
        if self.is_two() { self.list(self.hand.other()) } else { None }
    }

    fn list(&self, slot: Slot) -> Option<&List> {
        match slot {
            Slot::A => Some(&self.a),
            Slot::B => self.b.as_ref(),
        }
    }

    /// Puts another list in the place of the one in hand. A list that is the plan's own, down to order and locks, is not an
    /// idea. Returns whether anything changed.
    pub fn put(&mut self, idea: Idea, plan: &Plan) -> bool {
        let list = if idea == Idea::of(plan) { List::Plan } else { List::Own(idea) };
        self.put_list(list)
    }

    /// Puts the plan's own pours in the place of the list in hand. Returns whether anything changed.
    pub fn give_back(&mut self) -> bool {
        self.put_list(List::Plan)
    }

    fn put_list(&mut self, list: List) -> bool {
        let place = match (self.hand, &mut self.b) {
            (Slot::B, Some(b)) => b,
            _ => &mut self.a,
        };
        let changed = *place != list;
        *place = list;
        changed
    }

    /// Changes the list in hand; `how` tells whether it did. Returns whether anything changed.
    pub fn change(&mut self, planner: &Planner, plan: &Plan, how: impl FnOnce(&mut Idea, &Planner) -> bool) -> bool {
        let mut idea = self.idea_or(plan);
        how(&mut idea, planner) && self.put(idea, plan)
    }

    /// Puts a copy of the list beside it and takes the copy in hand. Returns whether there was room: two is the most.
    pub fn double(&mut self) -> bool {
        if self.is_two() {
            return false;
        }
        self.b = Some(self.a.clone());
        self.hand = Slot::B;
        true
    }

    /// Takes a list in hand. Returns whether another one was before.
    pub fn take(&mut self, slot: Slot) -> bool {
        if self.hand == slot || self.list(slot).is_none() {
            return false;
        }
        self.hand = slot;
        true
    }

    /// What is left after the first pour of the list in hand was made: `left` of that list, or else the plan, which knows
    /// of it; and the other list, without that pour where it begins with the same product. Another list with nothing left
    /// in it is dropped, and told.
    pub fn poured(&self, product_id: Option<&str>, left: Option<Idea>) -> (Self, Option<Slot>) {
        let mut after = self.clone();
        after.put_list(left.map_or(List::Plan, List::Own));
        let slot = self.hand.other();
        let Some(List::Own(mut other)) = self.other().cloned() else { return (after, None) };
        if let Some(first) = other.first().filter(|first| Some(first.product_id.as_str()) == product_id) {
            let key = first.key;
            other.remove(key);
        }
        let is_left = other.first().is_some();
        after.hand = slot;
        if is_left {
            after.put_list(List::Own(other));
        } else {
            after.drop_in_hand();
        }
        after.hand = if is_left { self.hand } else { Slot::A };
        (after, (!is_left).then_some(slot))
    }

    /// Throws the list in hand away and takes the other, which is then the only one. Returns whether there was another.
    pub fn drop_in_hand(&mut self) -> bool {
        let Some(b) = self.b.take() else { return false };
        if self.hand == Slot::A {
            self.a = b;
        }
        self.hand = Slot::A;
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::IdeaPour;

    fn idea(amount: f64) -> Idea {
        let pour = IdeaPour { key: 1000, product_id: "x".to_owned(), amount, most: 10.0, locked: false };
        Idea { pours: vec![pour] }
    }

    #[test]
    fn the_second_list_is_a_copy_and_there_is_no_third() {
        let mut sketch = Sketch::of(Some(idea(1.0)));
        assert!(sketch.double());
        assert_eq!(sketch.hand(), Slot::B);
        assert_eq!(sketch.idea(), Some(&idea(1.0)));
        assert_eq!(sketch.other(), Some(&List::Own(idea(1.0))));
        assert!(!sketch.double());
        assert!(sketch.put_list(List::Own(idea(2.0))));
        assert!(!sketch.take(Slot::B));
        assert!(sketch.take(Slot::A));
        assert_eq!(sketch.idea(), Some(&idea(1.0)), "the first list is untouched");
        assert_eq!(sketch.other(), Some(&List::Own(idea(2.0))));
    }

    #[test]
    fn what_was_poured_goes_from_both_lists() {
        let two = |a: Idea, b: Idea| {
            let mut sketch = Sketch::of(Some(a));
            sketch.double();
            sketch.put_list(List::Own(b));
            sketch
        };
        let with = |amounts: [f64; 2]| {
            let pours = amounts.into_iter().zip(["x", "y"]).zip(1000..);
            let pour = |((amount, id), key): ((f64, &str), u32)| IdeaPour {
                key,
                product_id: id.to_owned(),
                amount,
                most: 10.0,
                locked: false,
            };
            Idea { pours: pours.map(pour).collect() }
        };
        let rest = |amount: f64| Idea { pours: with([0.0, amount]).pours.into_iter().skip(1).collect() };
        let sketch = two(with([1.0, 2.0]), with([3.0, 4.0]));
        assert_eq!(sketch.poured(Some("x"), Some(rest(4.0))), (two(rest(2.0), rest(4.0)), None));
        // One that begins with something else is kept as it is.
        let sketch = two(rest(2.0), with([3.0, 4.0]));
        assert_eq!(sketch.poured(Some("x"), Some(rest(4.0))), (two(rest(2.0), rest(4.0)), None));
        // One that has nothing more is dropped.
        let sketch = two(idea(1.0), with([3.0, 4.0]));
        assert_eq!(sketch.poured(Some("x"), Some(rest(4.0))), (Sketch::of(Some(rest(4.0))), Some(Slot::A)));
        // The plan knows by itself of what was poured.
        let mut sketch = Sketch::default();
        sketch.double();
        assert_eq!(sketch.poured(Some("x"), None), (sketch.clone(), None));
        assert_eq!(Sketch::of(Some(idea(1.0))).poured(Some("x"), None), (Sketch::default(), None));
    }

    #[test]
    fn the_list_that_is_left_is_the_first() {
        for (dropped, left) in [(Slot::A, 2.0), (Slot::B, 1.0)] {
            let mut sketch = Sketch::of(Some(idea(1.0)));
            sketch.double();
            sketch.put_list(List::Own(idea(2.0)));
            sketch.take(dropped);
            assert!(sketch.drop_in_hand());
            assert_eq!(sketch, Sketch::of(Some(idea(left))));
            assert!(!sketch.drop_in_hand());
        }
        assert!(!Sketch::default().take(Slot::B));
    }
}
