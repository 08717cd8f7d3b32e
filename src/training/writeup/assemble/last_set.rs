//! What is said of the last set of a lift: `Last set: AMRAP, leave 1 in the tank`.

use super::super::clause::Join;
use super::super::item::{Facts, Item};
use super::super::quantity::Unit;
use super::Assembler;

const LAST: &[&str] = &[
    "last set",
    "final set",
    "last sets",
    "last one",
    "final one",
    "the last",
    "5th set",
    "4th set",
    "3rd set",
    "fifth set",
    "fourth set",
    "third set",
    "top set",
    "set 3",
    "set 4",
    "set 5",
];
const LIMIT: &[&str] = &[
    "amrap",
    "as many",
    "max",
    "max out",
    "failure",
    "all out",
    "the limit",
    "everything you have",
    "everything you've got",
    "until you can't",
];

impl Assembler<'_, '_> {
    /// `Last set: AMRAP, leave 1 in the tank` behind or below a lift in sets: how its last set is done, and no part. Says where
    /// the words about it end.
    pub(super) fn speaks_of_last_set(&self, i: usize) -> Option<usize> {
        let c = &self.clauses[i];
        let scheme = self.cur.scheme.as_ref().is_some_and(|s| s.sets.is_some());
        let sets = scheme || self.cur.first(|f| f.sets).is_some() || self.cur.rows.last().is_some_and(|r| r.item.sets.is_some());
        let windows = self.cur.first(|f| f.amrap).is_some();
        if !sets || windows || c.inside || c.lead.label.is_some() || c.lead.number.is_some() || !self.cur.has_rounds_lines() {
            return None;
        }
        let more = (i + 1..self.sentence_end(i)).take_while(|k| self.says_how(*k));
        let end = more.last().map_or(i + 1, |k| k + 1);
        let words = c.from..self.clauses[end - 1].to;
        let says = |list: &[&str]| words.clone().any(|t| self.doc.says_any(t, list).is_some());
        (self.says_nothing_new(i) && says(LAST) && says(LIMIT)).then_some(end)
    }

    /// Clause `k` goes on about the same set: to the limit, or how far from it.
    fn says_how(&self, k: usize) -> bool {
        matches!(self.clauses[k].join, Join::Comma | Join::Colon | Join::Bracket) && self.says_nothing_new(k)
    }

    /// It names nothing to do, no time and no rest.
    fn says_nothing_new(&self, k: usize) -> bool {
        let said = &self.clauses[k].said;
        let counts = |it: &Item| it.dose.as_ref().is_none_or(|q| matches!(q.unit, Unit::Bare | Unit::Reps | Unit::Sets));
        let plain = |it: &Item| !it.is_named() && it.build.is_none() && counts(it);
        let untimed = said.facts.amrap.is_none_or(|a| a.0.is_none());
        let facts = Facts { amrap: None, sets: None, each: false, ..said.facts.clone() };
        untimed && facts.is_empty() && said.items.iter().all(plain) && said.prefix.is_none()
    }
}

#[cfg(test)]
mod tests {
    use super::super::super::read;
    use crate::training::movement::Library;
    use crate::training::session::Format;

    #[test]
    fn the_last_set_to_the_limit_is_said_of_the_lift_above() {
        for last in [
            "Last set: AMRAP, leave 1 in the tank",
            "last set amrap",
            "Final set as many reps as possible, 2 RIR",
            "On the last set go for max reps",
            "set 4 = AMRAP, stop one short",
        ] {
            let session = read(&format!("Bench 4 x 6 @ 70%\n{last}"), Library::shipped());
            let parts = session.parts.iter().map(|p| (p.format, p.lines.len())).collect::<Vec<_>>();
            assert_eq!((parts, session.problems.len()), (vec![(Format::Sets, 1)], 0), "{last}");
        }
    }
}
