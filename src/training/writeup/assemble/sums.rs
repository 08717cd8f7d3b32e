//! Sums that are told once more: how long all windows are, how many both sides make.

use super::super::super::dose::{Amount, Side};
use super::super::clause::Join;
use super::super::doses::says_per_side;
use super::super::draft::Row;
use super::super::item::{Facts, Item, Span};
use super::super::quantity::{Unit, quantity};
use super::Assembler;

/// Words before a sum that is told in a sentence.
const SUMS: &[&str] = &[
    "this is",
    "that is",
    "that's",
    "thats",
    "makes",
    "this makes",
    "that makes",
    "so",
    "so that's",
    "so thats",
    "so that is",
    "for a total of",
];

impl Assembler<'_, '_> {
    /// `every 90 s, 8 sets (= 12 min)`: how long it takes in all, told once more; with windows it has to agree.
    pub(super) fn sum(&mut self, i: usize, end: usize) -> usize {
        let Some(told) = self.summed(i) else { return self.note_to(i, end) };
        let span = self.span(i, end);
        self.cur.facts.push(Facts { window: Some(told), ..Facts::default() });
        self.cur.said.push(span);
        end - i
    }

    /// How long the windows or the timed sets so far are in all, where clause `i` says no more than that.
    fn summed(&self, i: usize) -> Option<(Amount, Span)> {
        let [only] = &self.clauses[i].said.items[..] else { return None };
        let timed = |r: &Row| r.item.sets.is_some() && r.item.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds);
        let windows = self.in_windows() || matches!(&self.cur.rows[..], [row] if timed(row));
        let open = windows && self.cur.first(|f| f.window.clone()).is_none() && !only.is_named() && only.sets.is_none();
        let time = only.dose.as_ref().filter(|q| open && q.unit == Unit::Seconds && q.amount.high() >= 60.0);
        time.map(|q| (q.amount.clone(), (only.from, only.to)))
    }

    /// `6 rounds of 30 s / 15 s, this is 4,5 min`: the sum in a sentence.
    pub(super) fn tells_the_sum(&mut self, i: usize) -> bool {
        let c = &self.clauses[i];
        let says = self.doc.says_any(c.said.from, SUMS);
        let plain =
            says.is_some_and(|n| matches!(&c.said.items[..], [only] if only.from == c.said.from + n && only.to == c.said.to));
        let Some(told) = self.summed(i).filter(|_| plain && matches!(c.join, Join::Comma | Join::Stop)) else { return false };
        self.cur.facts.push(Facts { window: Some(told), ..Facts::default() });
        self.cur.said.push((c.from, c.to));
        true
    }

    /// `30 s hard / 60 s easy x 10, run (15 min)`: behind windows of work and rest a time that is longer than one of them.
    pub(super) fn sum_behind_windows(&mut self, items: &[Item], span: Span) -> bool {
        let window = self.cur.first(|f| f.on_off).and_then(|o| Some(o.0? + o.1?));
        let ([only], Some(window)) = (items, window) else { return false };
        let undosed = self.cur.rows.iter().all(|r| r.item.dose.is_none()) && self.cur.first(|f| f.window.clone()).is_none();
        let plain = !only.is_named() && only.sets.is_none() && only.side.is_none() && only.load.is_none();
        let long = only.dose.as_ref().filter(|q| q.unit == Unit::Seconds && q.amount.low() >= 2.0 * window);
        let Some(q) = long.filter(|_| undosed && plain) else { return false };
        let told = Facts { window: Some((q.amount.clone(), span)), ..Facts::default() };
        self.cur.facts.push(told);
        true
    }

    /// `12 rows (6 each arm so 12 total)`, `(that's 6 a side)`: so many on each side of the count before the bracket, which is
    /// then the whole.
    pub(super) fn tells_the_halves(&mut self, i: usize, end: usize) {
        let span = self.span(i, end);
        let half = (span.0..span.1).find_map(|t| {
            let q = quantity(&self.doc.tokens[t..span.1]).filter(|q| matches!(q.unit, Unit::Bare | Unit::Reps))?;
            let Amount::One(n) = q.amount else { return None };
            says_per_side(self.doc, t + q.tokens).then_some(n)
        });
        let line = self.clauses[i].line;
        let open = |r: &&mut Row| r.line == line && r.item.side.is_none() && r.item.split.is_none() && r.item.sets.is_none();
        let (Some(half), Some(row)) = (half, self.cur.rows.last_mut().filter(open)) else { return };
        let counted = row.item.dose.as_ref().filter(|q| matches!(q.unit, Unit::Bare | Unit::Reps));
        if counted.is_some_and(|q| q.amount == Amount::One(2.0 * half)) {
            row.item.side = Some(Side::Total);
        }
    }

    /// `= 30 min` on a line of its own below several parts: how long all of them are, unless the windows right above still wait
    /// for their sum.
    pub(super) fn tells_the_length_of_all(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let [only] = &c.said.items[..] else { return false };
        let time = only.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds && q.amount.low() >= 300.0);
        let sign = c.from.checked_sub(1).is_some_and(|t| self.doc.tokens[t].is("="));
        let opens = c.join == Join::Line && sign && !only.is_named() && only.sets.is_none();
        let waits = self.cur.first(|f| f.every).is_some_and(|e| e.1.is_none()) || self.cur.first(|f| f.on_off).is_some();
        time && opens && !self.sheet.parts.is_empty() && !waits
    }
}
