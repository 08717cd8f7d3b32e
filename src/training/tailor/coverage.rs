//! A group against a session: who is served as written, who gets which change, who has no sound version of which line.

mod counting;

use super::meant::{Meaning, meaning};
use super::pick::{Ask, Choice, Said, Who};
use super::shelf::Shelf;
use super::together;
use super::volume::{self, Less};
use super::window;
use super::{Action, Tailor, TailoredLine, Verdict, judge, line};
use crate::training::dose::{Amount, Load};
use crate::training::member::{Level, Profile};
use crate::training::movement::Library;
use crate::training::session::{Line, Part, Session};
use counting::Counting;
use serde::Serialize;
use std::collections::HashMap;
use std::hash::{DefaultHasher, Hash, Hasher};

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

    /// Every different profile, once.
    pub(crate) fn distinct(&self) -> &[Profile] {
        &self.distinct
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
    /// Those of them for whom it waits for the coach, because of what they wrote.
    pub waiting: Vec<usize>,
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
    /// What exactly they do, most members first: doses and loads differ from home to home.
    pub variants: Vec<Variant>,
}

/// One line as some members get it, alike to the last number.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Variant {
    /// What is done; none where it could not be told.
    pub line: Option<Line>,
    /// The sentence that goes with it, as one of them reads it.
    pub why: String,
    /// How many members.
    pub members: usize,
    /// Which, by place in the group.
    #[serde(skip)]
    pub who: Vec<usize>,
}

/// What one home does with a line, small enough to be counted.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
enum Outcome {
    AsWritten,
    /// what happens, the movement, and the line's print: equal lines have equal ones
    Changed(Action, u32, u64),
    /// nothing sound; and whether that is for the member's own word
    Without(bool),
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
        let whos: Vec<Who<'_>> = group.distinct.iter().map(|p| Who::new(p, &self.shelf)).collect();
        let lesses: Vec<Option<Less>> = whos.iter().map(|w| volume::less(session, &w.reading, self.shelf.library)).collect();
        let mut sizes = vec![0usize; whos.len()];
        for &d in &group.of {
            sizes[d as usize] += 1;
        }
        let mut served = vec![true; whos.len()];
        let mut out = Coverage { members: group.len(), ..Coverage::default() };
        let mut without = vec![false; whos.len()];
        for (p, part) in session.parts.iter().enumerate() {
            let said: Vec<Read<'_>> = part.lines.iter().map(|l| Read::of(l, part, &self.shelf)).collect();
            let told: Vec<(bool, Vec<Outcome>)> =
                whos.iter().zip(&lesses).map(|(who, less)| self.outcomes(part, &said, who, less.as_ref())).collect();
            let as_whole: Vec<bool> = told.iter().map(|(whole, _)| *whole).collect();
            for (l, written) in part.lines.iter().enumerate() {
                let outcomes: Vec<Outcome> = told.iter().map(|(_, all)| all[l]).collect();
                for (d, outcome) in outcomes.iter().enumerate() {
                    served[d] &= *outcome == Outcome::AsWritten;
                    without[d] |= matches!(outcome, Outcome::Without(_));
                }
                let place = LineCoverage { part: p, line: l, written: written.movement.clone(), ..LineCoverage::default() };
                let counting = Counting {
                    tailor: self,
                    part,
                    line: l,
                    whos: &whos,
                    lesses: &lesses,
                    outcomes: &outcomes,
                    as_whole: &as_whole,
                    sizes: &sizes,
                    group,
                };
                out.lines.push(counting.count(place));
            }
        }
        out.fully_served = (0..whos.len()).filter(|&d| served[d]).map(|d| sizes[d]).sum();
        out.without = members(group, |d| without[d]);
        out
    }

    /// What a home does with each line, and whether that is only known from all of them: what fits into a window, or is done twice,
    /// depends on every line.
    fn outcomes(&self, part: &Part, said: &[Read<'_>], who: &Who<'_>, less: Option<&Less>) -> (bool, Vec<Outcome>) {
        if !window::cuts(part) {
            let each: Vec<Outcome> = said.iter().enumerate().map(|(l, said)| self.outcome(l, part, said, who, less)).collect();
            let given = |(o, said): (&Outcome, &Read<'_>)| match o {
                Outcome::AsWritten => said.at,
                Outcome::Changed(_, at, _) => Some(*at as usize),
                Outcome::Without(_) => None,
            };
            let given: Vec<Option<usize>> = each.iter().zip(said).map(given).collect();
            let written: Vec<Option<usize>> = said.iter().map(|s| s.at).collect();
            if !together::is_more_than_its_lines(&given, &written) {
                return (false, each);
            }
        }
        (true, self.lines(part, who, less).iter().map(|d| self.told(d)).collect())
    }

    fn outcome(&self, line: usize, part: &Part, said: &Read<'_>, who: &Who<'_>, less: Option<&Less>) -> Outcome {
        let written = &part.lines[line];
        if !written.complex.is_empty() || less.is_some() || (who.profile.level == Level::Beginner && volume::may_be_much(part)) {
            return self.told(&self.whole(line, part, who, less));
        }
        if said.meaning.as_ref().is_some_and(|m| m.for_member(written, part, &self.shelf, who).is_some()) {
            return self.told(&self.whole(line, part, who, less));
        }
        let ask = Ask::told(written, part, &said.said, &self.shelf, who);
        let (verdict, refused) = judge(written, ask.as_ref(), who, &self.shelf);
        #[expect(clippy::cast_possible_truncation, reason = "a library is far below four billion movements")]
        let changed = |action, c: &Choice| Outcome::Changed(action, c.at as u32, print(c, refused.is_some()));
        let swap = if who.reading.tell { Action::SwapAndTellCoach } else { Action::Swap };
        match (verdict, &ask) {
            (Verdict::Stop(_, waits), _) => Outcome::Without(waits),
            (Verdict::Nothing(_), _) => Outcome::Without(false),
            (Verdict::Keep(c), Some(ask)) if refused.is_none() && self.nothing_to_say(ask, &c, who) => Outcome::AsWritten,
            (Verdict::Keep(c), Some(_)) => changed(Action::KeepWithNote, &c),
            (Verdict::Own(c) | Verdict::Swap(c, ..) | Verdict::Pinned(c, _), _) => changed(swap, &c),
            (Verdict::Unknown | Verdict::Keep(_), _) => Outcome::Changed(Action::KeepWithNote, u32::MAX, 0),
        }
    }

    /// The written movement goes without a word.
    fn nothing_to_say(&self, ask: &Ask<'_, '_>, choice: &Choice, who: &Who<'_>) -> bool {
        super::why::kept(ask, choice).is_empty() && super::line::set_up(choice.at, &self.shelf, who).is_none()
    }

    /// The outcome of a line that was tailored in full.
    fn told(&self, done: &TailoredLine) -> Outcome {
        let mut hash = DefaultHasher::new();
        for line in &done.given {
            serde_json::to_string(line).unwrap_or_default().hash(&mut hash);
        }
        match done.action {
            Action::Keep => Outcome::AsWritten,
            Action::Refer => Outcome::Without(done.waits),
            action => Outcome::Changed(action, done_instead(&done.given, self.shelf.library), hash.finish()),
        }
    }

    /// The line as this member reads it.
    fn whole(&self, at: usize, part: &Part, who: &Who<'_>, less: Option<&Less>) -> TailoredLine {
        let mut done = line(&part.lines[at], part, &self.shelf, who, None);
        volume::cut(&mut done, part, less, who.profile.level, self.shelf.library);
        done
    }
}

/// A line, read once for everybody.
struct Read<'a> {
    at: Option<usize>,
    said: Said<'a>,
    meaning: Option<Meaning>,
}

impl<'a> Read<'a> {
    fn of(line: &'a Line, part: &'a Part, shelf: &Shelf<'_>) -> Self {
        let at = shelf.library.position(&line.movement);
        Self { at, said: Said::of(line, part, shelf), meaning: meaning(line, part, shelf) }
    }
}

/// What tells movements apart that are no single one of the library, above every place in it.
const SEVERAL: u32 = 1 << 31;

/// What is done in place of a line, so that homes with other movements are counted apart.
#[expect(clippy::cast_possible_truncation, reason = "a library is far below two billion movements; a print may be cut")]
fn done_instead(given: &[Line], library: &Library) -> u32 {
    if let [one] = given
        && let Some(at) = library.position(&one.movement)
    {
        return at as u32;
    }
    let mut hash = DefaultHasher::new();
    given.iter().for_each(|l| l.movement.hash(&mut hash));
    hash.finish() as u32 | SEVERAL
}

/// A number that is equal where movement, load, dose and tempo are.
fn print(choice: &Choice, refused: bool) -> u64 {
    let mut hash = DefaultHasher::new();
    let mut numbers = |kind: u8, all: &[f64]| {
        kind.hash(&mut hash);
        all.iter().for_each(|n| n.to_bits().hash(&mut hash));
    };
    let mut amount = |kind: u8, a: &Option<Amount>| match a {
        Some(Amount::One(n)) => numbers(kind, &[*n]),
        Some(a) => numbers(kind, &a.values()),
        None => numbers(kind, &[]),
    };
    let dose = &choice.dose;
    amount(1, &dose.reps);
    amount(2, &dose.seconds);
    amount(3, &dose.metres);
    amount(4, &dose.calories);
    match &choice.fit.load {
        Some(Load::Kg { values, .. }) => numbers(5, values),
        Some(Load::Lb { values, .. }) => numbers(6, values),
        Some(Load::Stick) => numbers(7, &[]),
        Some(Load::Band(words) | Load::Find(words)) => words.hash(&mut hash),
        _ => numbers(8, &[]),
    }
    (choice.at, choice.fit.pair, choice.way.tool, choice.way.one_arm, refused).hash(&mut hash);
    (dose.side, dose.max, &dose.tempo).hash(&mut hash);
    hash.finish()
}

/// Places of the members whose profile is picked.
pub(crate) fn members(group: &Group, picked: impl Fn(usize) -> bool) -> Vec<usize> {
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
    fn homes_that_get_other_movements_are_counted_apart_under_a_clock_too() {
        let json = r#"{"parts":[{"format":"emom","intent":"conditioning","interval":{"every_s":60,"work_s":null,"rest_s":null},"rounds":5,
            "lines":[{"movement":"pull-up","reps":5}]}]}"#;
        let homes = [r#"{"kit":[{"item":"dumbbell","kg":[10]}]}"#, r#"{"kit":[{"item":"band","tension":"light"}]}"#, "{}"];
        let seen = coverage(&serde_json::from_str(json).unwrap(), &Group::new(homes.map(profile)), Library::shipped());
        for change in &seen.lines[0].changes {
            let others = change.variants.iter().filter_map(|v| v.line.as_ref()).filter(|l| l.movement != change.movement).count();
            assert_eq!(others, 0, "{change:?}");
        }
        assert_eq!(seen.lines[0].changes.iter().map(|c| c.members).sum::<usize>(), 3);
        assert!(seen.lines[0].changes.len() > 1, "{:?}", seen.lines[0].changes);
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

    /// Homes and levels that get unlike things of one line.
    fn unlike_homes() -> Vec<Profile> {
        let kits = [
            "[]",
            r#"[{"item":"stick"}]"#,
            r#"[{"item":"dumbbell","kg":[12]}]"#,
            r#"[{"item":"kettlebell","kg":[16]}]"#,
            r#"[{"item":"pullup_bar"}]"#,
            r#"[{"item":"band"}]"#,
        ];
        let of = |level| move |kit| profile(&format!(r#"{{"kit":{kit},"level":"{level}"}}"#));
        ["beginner", "intermediate"].into_iter().flat_map(|level| kits.map(of(level))).collect()
    }

    #[test]
    fn everybody_counted_under_a_stand_in_is_given_that_one() {
        let text = "A. For time, cap 15:00\n21-15-9\ndumbbell thruster 2 x 15 kg\npull-up\n\nB. EMOM 9\nmin 1: 8 pull-ups\nmin 2: 12 push press 30 kg\nmin 3: 10 box jumps";
        let (written, homes) = (crate::training::writeup::read(text, Library::shipped()), unlike_homes());
        let seen = coverage(&written, &Group::new(homes.clone()), Library::shipped());
        let mut stand_ins = 0;
        for line in &seen.lines {
            for change in &line.changes {
                stand_ins += usize::from(change.movement != line.written);
                for &who in &change.who {
                    let theirs = super::super::tailor(&written, &homes[who], Library::shipped());
                    let given = &theirs.parts[line.part].lines[line.line].given[0];
                    assert_eq!(given.movement, change.movement, "{:?} of {}", homes[who], line.written);
                }
            }
        }
        assert!(stand_ins > 5, "{stand_ins}");
    }
}
