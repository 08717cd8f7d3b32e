//! What is done once, when the rounds or the rungs above it are over.

use super::super::super::dose::Amount;
use super::super::super::movement::Pattern;
use super::super::super::session::Role;
use super::super::clause::{Clause, Join};
use super::super::draft::Row;
use super::super::element::{Heading, Name};
use super::super::item::{Facts, Item, Span};
use super::super::quantity::{Quantity, Unit};
use super::super::token::Kind;
use super::{Assembler, starts_lines};

/// How a line behind `then` stands to the rounds above it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Finish {
    /// once, when they are over
    Once,
    /// in each of them
    Each,
    /// once as far as can be told; a coach could mean each
    PerhapsOnce,
    /// in each as far as can be told; a coach could mean once
    PerhapsEach,
}

const ONCE: &[&str] = &[
    "once",
    "one time",
    "at the end",
    "at the very end",
    "at the finish",
    "to finish",
    "to close",
    "to end",
    "to wrap up",
    "to top it off",
    "to round off",
    "finish with",
    "finally",
    "last thing",
    "one last thing",
    "lastly",
    "last of all",
    "finish off with",
    "after the last round",
    "after the last one",
    "after the last rung",
    "after all rounds",
    "after all the rounds",
];

const EACH: &[&str] = &[
    "each round",
    "every round",
    "each rung",
    "every rung",
    "each time",
    "every time",
    "after each",
    "after every",
    "per round",
    "a round",
    "each set",
    "every set",
    "of each",
    "of every",
];

impl Assembler<'_, '_> {
    /// How clause `i` stands to the rounds or rungs so far; none where it is not behind any, or nothing sets it apart.
    pub(super) fn finish(&self, i: usize) -> Option<Finish> {
        let c = &self.clauses[i];
        let heading = c.said.facts.heading.is_some_and(|h| h.0 != Heading::Plain);
        let shapes = c.said.facts.shapes() && c.said.facts.heading.is_none();
        if heading || shapes || c.inside || c.lead.label.is_some() || c.lead.minute.is_some() {
            return None;
        }
        let line = starts_lines(&c.said.items) && c.said.items.iter().all(|it| it.sets.is_none() && it.max.is_none());
        if !line || !self.cur.has_rounds_lines() || !self.cur.pending.is_empty() || self.in_windows() {
            return None;
        }
        let said = self.sentence(i);
        let says = |words: &[&str]| (said.0..said.1).any(|t| self.doc.says_any(t, words).is_some_and(|n| t + n <= said.1));
        let (then, each) = (self.comes_then(i), says(EACH));
        let once = says(ONCE) && !each && !self.says_once_you(said);
        let rounds = self.cur.first(|f| f.rounds.clone()).is_some();
        if rounds && !(then || once || each || c.blank) && self.gathered(i).is_some() {
            // `3 rounds`, `10 squats`, `accumulate 1 min hang`
            return Some(Finish::PerhapsEach).filter(|_| !self.in_prep());
        }
        if !(then || once) || !rounds && !self.in_rungs() {
            return None;
        }
        let gentle = c.said.items.iter().any(|it| self.gentle(it));
        match (each, rounds) {
            (true, _) => Some(Finish::Each),
            (false, true) => self.behind_rounds(i, then, once).filter(|_| !gentle && !c.blank),
            (false, false) => {
                // `1-2-3-4-5 of pull-ups and dips. Then 5 min bike.`
                let own = c.sentence && !self.is_timed() && c.said.items.iter().all(|it| self.steady(it));
                Some(Finish::Once).filter(|_| !(own || gentle && c.blank))
            }
        }
    }

    /// `50 sit-ups each round`
    pub(super) fn says_each(&self, i: usize) -> bool {
        let said = self.sentence(i);
        (said.0..said.1).any(|t| self.doc.says_any(t, EACH).is_some_and(|n| t + n <= said.1))
    }

    /// The same where rounds are written, not rungs.
    fn behind_rounds(&self, i: usize, then: bool, once: bool) -> Option<Finish> {
        let c = &self.clauses[i];
        let below = i > 0 && self.clauses[i - 1].line != c.line;
        let opened = self.cur.rows.first().is_some_and(|r| r.role == Some(Role::BuyIn));
        let timed = self.is_timed() || self.timed_below[i];
        let counted = |it: &Item| it.dose.as_ref().is_some_and(|q| matches!(q.unit, Unit::Bare | Unit::Reps));
        if once || then && opened && timed {
            return (below || then).then_some(Finish::Once);
        }
        if !then || !below {
            return None;
        }
        match self.set_in(i) {
            Some(true) => Some(Finish::Each),
            Some(false) => Some(Finish::Once),
            None if timed => Some(Finish::PerhapsOnce),
            None if c.said.items.iter().all(counted) => Some(Finish::Each),
            None => Some(Finish::PerhapsEach).filter(|_| c.said.items.iter().all(|it| self.short(it))),
        }
    }

    /// Where the lines stand further in than the line above them: whether clause `i` stands further in too.
    fn set_in(&self, i: usize) -> Option<bool> {
        let opens = |t: usize| t == 0 || self.doc.tokens[t - 1].kind == Kind::Newline;
        let column = |t: usize| opens(t).then(|| self.doc.tokens[t].column);
        let head = column(self.cur.at?.0)?;
        let rows = self.cur.rows.iter().filter(|r| r.role.is_none()).filter_map(|r| column(r.at?.0));
        let least = rows.min()?;
        let own = self.clauses[i].from;
        // `then` stands before it
        let own = (own.saturating_sub(3)..=own).rev().find(|t| opens(*t)).unwrap_or(own);
        (least > head).then(|| self.doc.tokens[own].column >= least)
    }

    /// The part runs by windows, which end by the clock.
    pub(super) fn in_windows(&self) -> bool {
        let says = |f: &Facts| f.amrap.is_some() || f.every.is_some() || f.on_off.is_some();
        self.cur.facts.iter().any(says)
    }

    /// The lines so far share a list of rungs: `21-15-9` above them, or `15-12-9 squats and push-ups`.
    fn in_rungs(&self) -> bool {
        let list = |q: &Quantity| q.open || matches!(&q.amount, Amount::Scheme(list) if list.len() > 2);
        let bare = |r: &&Row| r.role.is_none() && !r.item.is_dosed();
        let rungs = |it: &Item| it.sets.is_none() && it.load.is_none() && it.dose.as_ref().is_some_and(list);
        let shared = self.cur.scheme.as_ref().is_some_and(rungs);
        let several = || self.cur.rows.iter().filter(|r| r.item.dose.as_ref().is_some_and(list)).count() > 1;
        let open = |q: &Quantity| q.open;
        if self.cur.scheme.as_ref().and_then(|s| s.dose.as_ref()).is_some_and(open) {
            return false;
        }
        let lines = self.cur.rows.iter().filter(bare).count();
        shared && (lines > 1 || lines == 1 && self.is_timed()) || several()
    }

    /// `21-15-9` behind `800 m run, then`: what stands above is done once, before.
    pub(super) fn opens_rungs(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let [only] = &c.said.items[..] else { return false };
        let list = |q: &Quantity| matches!(&q.amount, Amount::Scheme(list) if list.len() > 2) && q.unit == Unit::Bare;
        let rungs = !only.is_named() && only.sets.is_none() && only.dose.as_ref().is_some_and(list);
        let plain = !c.inside && !c.said.facts.shapes() && !c.blank && self.comes_then(i) && self.lines_follow(i);
        let free = self.cur.scheme.is_none() && self.cur.heading.is_none_or(|h| h == Heading::Conditioning);
        let counted = |r: &Row| r.item.dose.is_some() && r.item.sets.is_none() && r.item.load.is_none();
        let before = self.cur.has_rounds_lines() && self.cur.rows.len() < 4 && self.cur.rows.iter().all(counted);
        rungs && plain && free && before && self.cur.first(|f| f.rounds.clone()).is_none() && !self.in_windows()
    }

    /// It is a stretch, or done at an easy pace: no race ends with it.
    fn gentle(&self, item: &Item) -> bool {
        let stretch = matches!(item.movement, Some(Name::Known(m)) if self.library.all()[m].pattern == Pattern::Mobility);
        let long = item.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds && q.amount.low() >= 180.0);
        let easy = (item.from..item.to + 2)
            .any(|t| matches!(self.doc.low(t), "easy" | "gentle" | "walk" | "slow" | "breathing" | "relaxed" | "cooldown"));
        stretch || easy || long
    }

    /// Short enough to stand in every round.
    fn short(&self, item: &Item) -> bool {
        item.dose.as_ref().is_some_and(|q| match q.unit {
            Unit::Metres => q.amount.high() <= 400.0,
            Unit::Seconds => q.amount.high() <= 60.0,
            Unit::Calories => q.amount.high() <= 20.0,
            _ => q.amount.high() <= 30.0,
        })
    }

    /// `once you are ready`: when, not how often.
    fn says_once_you(&self, said: Span) -> bool {
        (said.0..said.1)
            .any(|t| self.doc.says_any(t, &["once you", "once your", "once warm", "once it", "once the bar"]).is_some())
    }

    /// Everything that is said around clause `i` up to the next line of the list: its own words, and what stands behind commas.
    fn sentence(&self, i: usize) -> Span {
        let c = &self.clauses[i];
        let from = i.checked_sub(1).map_or(0, |b| self.clauses[b].to);
        let more = |n: &&Clause| n.line == c.line && n.join != Join::Then && !starts_lines(&n.said.items);
        let to = self.clauses[i + 1..].iter().take_while(more).last().map_or(c.to, |n| n.to);
        (from, to)
    }
}

#[cfg(test)]
mod tests {
    use super::super::super::read;
    use super::*;
    use crate::training::movement::Library;
    use crate::training::session::{ProblemKind, Session};

    fn session(text: &str) -> Session {
        read(text, Library::shipped())
    }

    /// Movement and role of each line, where all of it is one part.
    fn roles(text: &str) -> Vec<(String, Option<Role>)> {
        let session = session(text);
        assert_eq!(session.parts.len(), 1, "{text}");
        session.parts[0].lines.iter().map(|l| (l.movement.clone(), l.role)).collect()
    }

    fn asks(text: &str) -> bool {
        session(text).problems.iter().any(|p| p.kind == ProblemKind::Unclear)
    }

    #[test]
    fn a_run_behind_rungs_is_done_once() {
        for text in [
            "21-15-9\nthrusters\npull ups\nthen 400 m run",
            "For time\n21-15-9\nthrusters\npull ups\nthen 400 m run, once, at the very end",
            "21-15-9 for time\nthrusters\npull ups\nto finish: 400 m run",
            "15-12-9 of thrusters and pull-ups, then run 400 m",
            "21-15-9 of\n  thrusters\n  pull ups\nthen\n  400 m run",
        ] {
            let last = roles(text).pop();
            assert_eq!(last, Some(("run".to_owned(), Some(Role::CashOut))), "{text}");
            assert!(session(text).problems.is_empty(), "{text}");
        }
    }

    #[test]
    fn a_run_above_rungs_is_done_once_too() {
        let all = roles("800 m run\nthen 21-15-9\nthrusters\npull ups\nthen 800 m run");
        assert_eq!(all.iter().map(|r| r.1).collect::<Vec<_>>(), [Some(Role::BuyIn), None, None, Some(Role::CashOut)]);
    }

    #[test]
    fn then_inside_a_round_is_a_line_of_the_round() {
        for text in [
            "3 rounds: 10 squats, then 200 m run",
            "5 rounds for time\n  10 thrusters\n  then 200 m run",
            "21-15-9\nthrusters\npull ups\nthen 200 m run each round",
            "3 rounds\n10 squats\nthen 10 push-ups",
        ] {
            assert!(roles(text).iter().all(|r| r.1.is_none()), "{text}");
            assert!(!asks(text), "{text}");
        }
    }

    #[test]
    fn a_line_further_out_than_the_rounds_is_done_once() {
        let last = roles("5 rounds for time\n  10 thrusters\n  10 burpees\nthen 1 km run").pop();
        assert_eq!(last.and_then(|l| l.1), Some(Role::CashOut));
    }

    #[test]
    fn what_could_be_meant_both_ways_is_asked_and_each_mend_answers_it() {
        for text in ["4 rounds for time\n12 swings\n8 burpees\nthen 200 m run", "3 rounds\n10 squats\nthen 200 m run"] {
            let found = session(text).problems;
            let [only] = &found[..] else { panic!("{text}: {found:?}") };
            for mend in &only.suggest {
                assert!(!asks(&text.replace("200 m run", mend)), "{mend}");
            }
        }
    }
}
