//! One line counted over a whole group: who does it as written, which changes there are, who has no version.

use super::{Change, Group, LineCoverage, Outcome, Variant, members};
use crate::training::session::Part;
use crate::training::tailor::pick::Who;
use crate::training::tailor::volume::Less;
use crate::training::tailor::{Action, Tailor};
use std::collections::HashMap;

/// One line of a session and everybody it is for.
pub(super) struct Counting<'a, 'l> {
    pub tailor: &'a Tailor<'l>,
    pub part: &'a Part,
    /// place in the part
    pub line: usize,
    pub whos: &'a [Who<'a>],
    pub lesses: &'a [Option<Less>],
    pub outcomes: &'a [Outcome],
    /// whose lines are only known from all of the part
    pub as_whole: &'a [bool],
    pub sizes: &'a [usize],
    pub group: &'a Group,
}

impl Counting<'_, '_> {
    pub fn count(&self, mut place: LineCoverage) -> LineCoverage {
        // a change by what is done, and within it the lines that are alike, each with one home that has it
        let mut changes: HashMap<(Action, u32), HashMap<Outcome, usize>> = HashMap::new();
        for (d, outcome) in self.outcomes.iter().enumerate() {
            match outcome {
                Outcome::AsWritten => place.as_written += self.sizes[d],
                Outcome::Changed(action, at, _) => {
                    changes.entry((*action, *at)).or_default().entry(*outcome).or_insert(d);
                }
                Outcome::Without(_) => {}
            }
        }
        place.changes = changes.into_iter().map(|((action, _), variants)| self.change(action, variants)).collect();
        place
            .changes
            .sort_by(|a, b| b.members.cmp(&a.members).then_with(|| a.movement.cmp(&b.movement)).then(a.action.cmp(&b.action)));
        place.without = members(self.group, |d| matches!(self.outcomes[d], Outcome::Without(_)));
        place.waiting = members(self.group, |d| self.outcomes[d] == Outcome::Without(true));
        place
    }

    fn change(&self, action: Action, variants: HashMap<Outcome, usize>) -> Change {
        let mut all: Vec<Variant> = variants.into_iter().map(|(outcome, d)| self.variant(outcome, d)).collect();
        all.sort_by(|a, b| b.members.cmp(&a.members).then_with(|| a.who.cmp(&b.who)));
        let mut who: Vec<usize> = all.iter().flat_map(|v| v.who.iter().copied()).collect();
        who.sort_unstable();
        let movement = all.iter().find_map(|v| v.line.as_ref()).map(|l| l.movement.clone()).unwrap_or_default();
        Change { action, movement, members: who.len(), who, variants: all }
    }

    fn variant(&self, outcome: Outcome, d: usize) -> Variant {
        let (who, less) = (&self.whos[d], self.lesses[d].as_ref());
        let done = match self.as_whole[d] {
            true => self.tailor.lines(self.part, who, less).swap_remove(self.line),
            false => self.tailor.whole(self.line, self.part, who, less),
        };
        let who = members(self.group, |d| self.outcomes[d] == outcome);
        Variant { line: done.given.into_iter().next(), why: done.why, members: who.len(), who }
    }
}
