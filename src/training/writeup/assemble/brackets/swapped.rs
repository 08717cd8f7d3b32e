//! What is said of a swap in brackets, behind its name.

use super::super::super::clause::Clause;
use super::super::super::element::Name;
use super::super::super::item::Item;
use super::super::Assembler;
use super::super::rows::merge;

impl Assembler<'_, '_> {
    /// `(or step-ups, 8 total)`, `(no ball: dumbbell thrusters, pair, 2 x 10 kg)`: the number is the swap's, and so is the weight
    /// of a swap that is done with one.
    pub(super) fn more_of_the_swap(&mut self, c: &Clause) -> bool {
        let library = self.library;
        let Some(other) = self.cur.rows.last_mut().and_then(|r| r.alternatives.last_mut()) else { return false };
        let weighed = matches!(other.movement, Some(Name::Known(m)) if library.all()[m].needs_weight());
        let held = |it: &Item| weighed && (it.load.is_some() || it.implements.is_some());
        let told = |it: &Item| !it.is_named() && it.sets.is_none() && (it.is_dosed() || it.side.is_some() || held(it));
        let whole = c.said.words.is_empty() && !c.said.items.is_empty() && c.said.items.iter().all(told);
        if whole {
            for item in &c.said.items {
                merge(other, item);
            }
            other.to = other.to.max(c.to);
        }
        if let Some(row) = self.cur.rows.last_mut().filter(|_| whole) {
            row.item.to = row.item.to.max(c.to);
        }
        whole
    }

    /// `30 cal bike (no bike: 600 m run)`, and further on `30 cal bike (or the run again)`: as far as before.
    pub(in super::super) fn dosed_as_before(&self, item: Item) -> Item {
        let again = (item.from..item.to + 1).any(|t| self.doc.low(t) == "again");
        let same = |it: &&Item| it.movement == item.movement && it.dose.is_some();
        let lines = self.cur.rows.iter().rev().flat_map(|r| r.alternatives.iter().chain([&r.item]));
        let before = lines.clone().find(same).filter(|_| again && !item.is_dosed());
        before.map(|b| (b.dose.clone(), b.side)).map_or(item.clone(), |(dose, side)| Item { dose, side, ..item })
    }
}
