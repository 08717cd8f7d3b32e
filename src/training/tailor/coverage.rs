//! A group against a session: who is served as written, who gets which change, who has no sound version of which line.

use super::pick::{Ask, Who};
use super::{Action, Tailor, Verdict, judge, line};
use crate::training::member::Profile;
use crate::training::movement::Library;
use crate::training::session::{Line, Part, Session};
use serde::Serialize;
use std::collections::HashMap;

/// A group of members, equal profiles remembered as one.
///
/// # Design
/// Ten thousand members have some two thousand different homes: each home is tailored once, however many live in it, and a week
/// asks the same group seven times.
pub struct Group {
    distinct: Vec<Profile>,
    /// member to place in `distinct`
    of: Vec<u32>,
}

impl Group {
    /// A group of these members; a member is named by the place in the iterator.
    #[must_use]
    pub fn new(members: impl IntoIterator<Item = Profile>) -> Self {
        let mut places: HashMap<String, u32> = HashMap::new();
        let mut group = Self { distinct: Vec::new(), of: Vec::new() };
        for member in members {
            let key = serde_json::to_string(&member).unwrap_or_default();
            let place = *places.entry(key).or_insert_with(|| {
                group.distinct.push(member);
                u32::try_from(group.distinct.len() - 1).unwrap_or(u32::MAX)
            });
            group.of.push(place);
        }
        group
    }

    /// How many members.
    #[must_use]
    pub fn len(&self) -> usize {
        self.of.len()
    }

    /// Nobody is in it.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.of.is_empty()
    }

    /// How many different profiles.
    #[must_use]
    pub fn profiles(&self) -> usize {
        self.distinct.len()
    }
}

/// A group against a session.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Coverage {
    /// How many members.
    pub members: usize,
    /// How many do every line as written.
    pub fully_served: usize,
    /// Members with at least one line that has no sound version, by place in the group.
    pub without: Vec<usize>,
    /// One for each written line, in order.
    pub lines: Vec<LineCoverage>,
}

/// A group against one line.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct LineCoverage {
    /// Place of the part, from 0.
    pub part: usize,
    /// Place of the line in its part, from 0.
    pub line: usize,
    /// The written movement.
    pub written: String,
    /// How many do it as written.
    pub as_written: usize,
    /// What the others do, most members first.
    pub changes: Vec<Change>,
    /// Members who have no sound version, by place in the group.
    pub without: Vec<usize>,
}

/// One change and how many members get it.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Change {
    /// What happens to the line.
    pub action: Action,
    /// The movement that is done.
    pub movement: String,
    /// How many members.
    pub members: usize,
    /// Which, by place in the group.
    #[serde(skip)]
    pub who: Vec<usize>,
    /// As one of them gets it: doses and loads differ from home to home.
    pub example: Option<Line>,
    /// The sentence that goes with the example.
    pub why: String,
}

/// What one home does with a line, small enough to be counted.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
enum Outcome {
    AsWritten,
    Changed(Action, u32),
    Without,
}

/// Compares `group` with `session`, with the library that ships or the practice's own.
#[must_use]
pub fn coverage(session: &Session, group: &Group, library: &Library) -> Coverage {
    Tailor::new(library).coverage(session, group)
}

impl Tailor<'_> {
    /// Compares a group with a session, line by line.
    #[must_use]
    pub fn coverage(&self, session: &Session, group: &Group) -> Coverage {
        let whos: Vec<Who<'_>> = group.distinct.iter().map(Who::new).collect();
        let mut sizes = vec![0usize; whos.len()];
        for &d in &group.of {
            sizes[d as usize] += 1;
        }
        let mut served = vec![true; whos.len()];
        let mut out = Coverage { members: group.len(), ..Coverage::default() };
        let mut without = vec![false; whos.len()];
        for (p, part) in session.parts.iter().enumerate() {
            for (l, written) in part.lines.iter().enumerate() {
                let outcomes: Vec<Outcome> = whos.iter().map(|who| self.outcome(written, part, who)).collect();
                for (d, outcome) in outcomes.iter().enumerate() {
                    served[d] &= *outcome == Outcome::AsWritten;
                    without[d] |= *outcome == Outcome::Without;
                }
                let place = LineCoverage { part: p, line: l, written: written.movement.clone(), ..LineCoverage::default() };
                out.lines.push(self.count(place, written, part, &whos, &outcomes, &sizes, group));
            }
        }
        out.fully_served = (0..whos.len()).filter(|&d| served[d]).map(|d| sizes[d]).sum();
        out.without = members(group, |d| without[d]);
        out
    }

    fn outcome(&self, written: &Line, part: &Part, who: &Who<'_>) -> Outcome {
        if !written.complex.is_empty() {
            let done = line(written, part, &self.shelf, who);
            return match done.action {
                Action::Keep => Outcome::AsWritten,
                Action::Refer => Outcome::Without,
                action => Outcome::Changed(action, u32::MAX),
            };
        }
        let ask = Ask::of(written, part, &self.shelf, who);
        #[expect(clippy::cast_possible_truncation, reason = "a library is far below four billion movements")]
        let changed = |action, at: usize| Outcome::Changed(action, at as u32);
        match (judge(written, ask.as_ref(), who, &self.shelf), &ask) {
            (Verdict::Stop(_) | Verdict::Nothing(_), _) => Outcome::Without,
            (Verdict::Keep(c), Some(ask)) if super::why::kept(ask, &c).is_empty() => Outcome::AsWritten,
            (Verdict::Keep(c), Some(_)) => changed(Action::KeepWithNote, c.at),
            (Verdict::Own(c) | Verdict::Swap(c, ..), _) if who.reading.tell => changed(Action::SwapAndTellCoach, c.at),
            (Verdict::Own(c) | Verdict::Swap(c, ..), _) => changed(Action::Swap, c.at),
            _ => Outcome::Changed(Action::KeepWithNote, u32::MAX),
        }
    }

    #[expect(clippy::too_many_arguments, reason = "one line of a table with its row and column heads")]
    fn count(
        &self,
        mut place: LineCoverage,
        written: &Line,
        part: &Part,
        whos: &[Who<'_>],
        outcomes: &[Outcome],
        sizes: &[usize],
        group: &Group,
    ) -> LineCoverage {
        let mut changes: HashMap<Outcome, (usize, usize)> = HashMap::new();
        for (d, outcome) in outcomes.iter().enumerate() {
            match outcome {
                Outcome::AsWritten => place.as_written += sizes[d],
                Outcome::Changed(..) => changes.entry(*outcome).or_insert((d, 0)).1 += sizes[d],
                Outcome::Without => {}
            }
        }
        let change = |(outcome, (d, n)): (Outcome, (usize, usize))| Change {
            who: members(group, |d| outcomes[d] == outcome),
            ..self.change(written, part, &whos[d], n)
        };
        place.changes = changes.into_iter().map(change).collect();
        place
            .changes
            .sort_by(|a, b| b.members.cmp(&a.members).then_with(|| a.movement.cmp(&b.movement)).then(a.action.cmp(&b.action)));
        place.without = members(group, |d| outcomes[d] == Outcome::Without);
        place
    }

    fn change(&self, written: &Line, part: &Part, who: &Who<'_>, members: usize) -> Change {
        let done = line(written, part, &self.shelf, who);
        let example = done.given.into_iter().next();
        let movement = example.as_ref().map(|l| l.movement.clone()).unwrap_or_default();
        Change { action: done.action, movement, members, who: Vec::new(), example, why: done.why }
    }
}

/// Places of the members whose profile is picked.
fn members(group: &Group, picked: impl Fn(usize) -> bool) -> Vec<usize> {
    group.of.iter().enumerate().filter(|(_, d)| picked(**d as usize)).map(|(m, _)| m).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn profile(json: &str) -> Profile {
        serde_json::from_str(json).unwrap()
    }

    fn session() -> Session {
        let json =
            r#"{"parts":[{"intent":"strength","lines":[{"movement":"pull-up","reps":5},{"movement":"air squat","reps":20}]}]}"#;
        serde_json::from_str(json).unwrap()
    }

    fn three_homes() -> Group {
        let bar = r#"{"kit":[{"item":"pullup_bar"}],"level":"intermediate"}"#;
        Group::new([
            profile(bar),
            profile(bar),
            profile(r#"{"kit":[],"level":"intermediate","note":"I am pregnant"}"#),
            profile("{}"),
        ])
    }

    #[test]
    fn equal_homes_are_one() {
        assert_eq!((three_homes().len(), three_homes().profiles()), (4, 3));
    }

    #[test]
    fn a_coach_sees_who_is_served_who_changes_and_who_has_nothing() {
        let seen = coverage(&session(), &three_homes(), Library::shipped());
        assert_eq!((seen.fully_served, &seen.without[..]), (2, &[2][..]));
        let pull_ups = &seen.lines[0];
        assert_eq!((pull_ups.as_written, pull_ups.changes.len(), pull_ups.changes[0].members), (2, 1, 1));
        assert_eq!(pull_ups.changes[0].who, [3]);
        assert_eq!(pull_ups.without, [2]);
    }
}
