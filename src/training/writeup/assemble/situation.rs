//! What stands at a clause when the question is whether a new part begins there.

use super::super::super::dose::Amount;
use super::super::clause::{Clause, Join};
use super::super::draft::{Draft, Row};
use super::super::element::Heading;
use super::super::item::{Facts, Item};
use super::super::quantity::{Quantity, Unit};
use super::{Assembler, starts_lines};

/// Whether a new part begins at a clause.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Verdict {
    /// a new part begins here
    Begins,
    /// the current part goes on
    GoesOn,
}

/// The clause at hand, the part so far, and how the two are joined.
pub(super) struct Situation<'s> {
    /// which clause
    pub i: usize,
    /// the clause
    pub c: &'s Clause,
    /// what it says about a part
    pub says: &'s Facts,
    /// what it says to do
    pub items: &'s [Item],
    /// the part so far
    pub cur: &'s Draft,
    /// the part so far has lines, or names that wait for their dose
    pub full: bool,
    /// the part so far has lines that are done in every round
    pub lines: bool,
    /// the part so far says how it runs
    pub shaped: bool,
    /// the part so far is a warm-up, a cool-down or a stretch
    pub gentle: bool,
    /// the part so far is done against the clock, or a line below says so
    pub timed: bool,
    /// `then` stands before the clause
    pub then: bool,
    /// the clause begins a typed line
    pub on_line: bool,
    /// an empty line stands before it, and it begins a typed line
    pub under_blank: bool,
    /// it brings a window, a ladder or work and rest: what only a part of its own has
    pub window: bool,
    /// it brings a named line with its dose
    pub starts: bool,
}

impl<'s> Situation<'s> {
    pub(super) fn at(a: &'s Assembler, i: usize) -> Self {
        let (c, cur) = (&a.clauses[i], &a.cur);
        let (says, items) = (&c.said.facts, &c.said.items[..]);
        let then = a.comes_then(i);
        let on_line = c.join == Join::Line;
        let rungs = says.ladder.is_some() && (!items.is_empty() || a.lines_follow(i) || then && a.names_follow(i));
        let again = |o: (Option<f64>, Option<f64>, _)| o.0.is_some() || cur.first(|f| f.on_off).is_some();
        Self {
            i,
            c,
            says,
            items,
            cur,
            full: cur.has_rounds_lines() || !cur.pending.is_empty(),
            lines: cur.has_rounds_lines(),
            shaped: cur.is_shaped(),
            gentle: matches!(cur.heading, Some(Heading::WarmUp | Heading::CoolDown | Heading::Mobility)),
            timed: a.is_timed() || a.timed_below[i],
            then,
            on_line,
            under_blank: c.blank && on_line,
            window: says.amrap.is_some() || says.every.is_some() || says.on_off.is_some_and(again) || rungs,
            starts: starts_lines(items),
        }
    }

    /// The part so far lasts a said time.
    pub(super) fn lasts(&self) -> bool {
        self.cur.first(|f| f.window.as_ref().map(|_| ())).is_some()
    }

    /// The clause says `every 2:00` and not how long or how often.
    pub(super) fn open_window(&self) -> bool {
        self.says.every.is_some_and(|e| e.1.is_none() && e.2.is_none())
    }

    /// Some line so far was a try: to the limit, built up, or in sets of its own.
    pub(super) fn tried(&self) -> bool {
        self.cur.rows.iter().any(|r| r.item.max.is_some() || r.item.build.is_some() || r.item.sets.is_some())
    }

    /// Some line so far lists its reps: `5-5-3-3`.
    pub(super) fn listed(&self) -> bool {
        self.cur.rows.iter().any(|r| dose(&r.item).is_some_and(|q| matches!(q.amount, Amount::Scheme(_))))
    }

    /// Every line so far and every one that the clause brings is a time, with a rest between: a round of holds.
    pub(super) fn holds_in_turn(&self) -> bool {
        let timed = |it: &Item| dose(it).is_some_and(|q| q.unit == Unit::Seconds);
        let rested = self.cur.first(|f| f.rest.as_ref().map(|_| ())).is_some();
        self.cur.rows.iter().all(|r| timed(&r.item)) && self.items.iter().all(timed) && rested
    }

    /// Every line so far has sets of its own.
    pub(super) fn all_in_sets(&self) -> bool {
        self.cur.rows.iter().all(|r: &Row| r.item.sets.is_some())
    }

    /// Everything that the clause brings is held a minute and a half or longer.
    pub(super) fn holds_long(&self) -> bool {
        let long = |it: &Item| dose(it).is_some_and(|q| q.unit == Unit::Seconds && q.amount.low() >= 90.0);
        !self.items.is_empty() && self.items.iter().all(long)
    }

    /// The part so far runs by windows, and the clause counts reps on the line right below: still in the same window.
    pub(super) fn in_window_below(&self, last_line: usize) -> bool {
        let cur = self.cur;
        let windowed = cur.first(|f| f.every).is_some() || cur.first(|f| f.on_off).is_some() || cur.first(|f| f.amrap).is_some();
        let amrap =
            cur.first(|f| f.amrap).is_some() && cur.rows.iter().all(|r| dose(&r.item).is_some_and(|q| q.unit != Unit::Seconds));
        let counted = |it: &Item| {
            dose(it).is_none_or(|q| match q.unit {
                Unit::Bare | Unit::Reps => true,
                Unit::Metres => amrap && q.amount.high() <= 400.0,
                Unit::Calories => amrap && q.amount.high() <= 25.0,
                _ => false,
            })
        };
        windowed && self.items.iter().all(counted) && !self.c.blank && self.c.line == last_line + 1
    }
}

fn dose(item: &Item) -> Option<&Quantity> {
    item.dose.as_ref()
}
