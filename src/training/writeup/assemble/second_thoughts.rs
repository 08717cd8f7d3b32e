//! Numbers that a coach takes back in the same breath: `AMRAP 12, no wait, make it 15`.

use super::super::super::dose::Amount;
use super::super::item::{Facts, Item, Span};
use super::super::quantity::{Quantity, Unit, quantity};
use super::Assembler;
use super::taken_back::MAKE;

impl Assembler<'_, '_> {
    /// `a cap of fifteen minutes, no wait, that's mean, make it twenty`, `Bench 4 x 8, sorry, 5 x 8`: the number that was said
    /// before is another. `cap 15, make it 20 if you are new` takes nothing back.
    pub(super) fn makes_it_another(&mut self, i: usize) -> bool {
        let said = (self.clauses[i].from, self.clauses[i].to);
        let mended = match (self.another_number(i), self.another_dose(i)) {
            (Some(other), _) if self.mend_fact(&other, said.0) => true,
            (_, Some(item)) => self.mend_row(&item, i),
            _ => false,
        };
        if mended {
            self.cur.said.push(said);
        }
        mended
    }

    fn mend_fact(&mut self, other: &Quantity, from: usize) -> bool {
        let line = self.doc.tokens[from].line;
        let doc = self.doc;
        let near = |at: &Span| doc.tokens[at.0].line == line && at.1 <= from;
        let Some(f) = self.cur.facts.last_mut() else { return false };
        match f {
            Facts { cap: Some((Some(was), _, at)), .. } | Facts { amrap: Some((Some(was), at)), .. } if near(at) => {
                let Some(new) = seconds(other, *was) else { return false };
                *was = new;
            }
            Facts { rest: Some((Some(was), _, at)), .. } if near(at) => {
                let Some(new) = seconds(other, was.high()) else { return false };
                *was = Amount::One(new);
            }
            Facts { rounds: Some((was, at)), .. } if near(at) && matches!(other.unit, Unit::Bare | Unit::Rounds | Unit::Sets) => {
                *was = other.amount.clone();
            }
            _ => return false,
        }
        true
    }

    fn mend_row(&mut self, item: &Item, i: usize) -> bool {
        let line = self.clauses[i].line;
        let rows = if self.cur.pending.is_empty() { &mut self.cur.rows } else { &mut self.cur.pending };
        let Some(row) = rows.last_mut().filter(|r| r.line == line && r.item.dose.is_some()) else { return false };
        (row.item.dose, row.item.dose_at) = (item.dose.clone(), item.dose_at);
        row.item.sets = item.sets.or(row.item.sets);
        row.item.load = item.load.clone().or(row.item.load.take());
        row.item.more.clear();
        true
    }

    /// Clause `i` says what something is now.
    pub(super) fn mends(&self, i: usize) -> bool {
        self.another_number(i).is_some() || self.another_dose(i).is_some()
    }

    /// `make it twenty` a few words behind `no, wait`: the number alone.
    fn another_number(&self, i: usize) -> Option<Quantity> {
        let (at, taken) = self.behind_taking_back(i)?;
        let c = &self.clauses[i];
        let at = at + self.doc.says_any(at, MAKE)?;
        let q = quantity(self.doc.tokens.get(at..c.said.to)?).filter(|q| matches!(q.amount, Amount::One(n) if n > 0.0))?;
        let ends = at + q.tokens == c.said.to || matches!(self.doc.low(at + q.tokens), "instead" | "then" | "after");
        (ends && taken).then_some(q)
    }

    /// `sorry, 5 x 8`, `sorry, make it 12` behind a line: its dose alone.
    fn another_dose(&self, i: usize) -> Option<Item> {
        let (at, taken) = self.behind_taking_back(i)?;
        let made = at + self.doc.says_any(at, MAKE).unwrap_or(0);
        let c = &self.clauses[i];
        let [only] = &c.said.items[..] else { return None };
        let plain = !only.is_named() && only.dose.is_some() && only.from == made && only.to == c.said.to;
        (taken && plain && c.said.facts.is_empty()).then(|| only.clone())
    }

    /// The first token of clause `i` behind words that take something back, and whether such words stand there or before.
    fn behind_taking_back(&self, i: usize) -> Option<(usize, bool)> {
        let c = &self.clauses[i];
        // `no 20s today` takes nothing back; `no, 20` and `no make it 20` do
        let lone = |n: &usize| *n > 1 || !matches!(self.doc.low(c.said.from), "no" | "wait");
        let made = |n: &usize| self.doc.says_any(c.said.from + n, MAKE).is_some();
        let own = self.words_back(c.said.from).filter(|n| lone(n) || made(n)).unwrap_or(0);
        let before = (i.saturating_sub(3)..i).any(|k| self.clauses[k].line == c.line && self.takes_back(k));
        (!c.inside).then_some((c.said.from + own, own > 0 || before))
    }

    /// `no wait`, `hmm`, `actually` and nothing to do: what was said before is to be another.
    fn takes_back(&self, i: usize) -> bool {
        let said = &self.clauses[i].said;
        let whole = self.words_back(said.from).is_some_and(|n| said.from + n >= said.to);
        whole && said.items.is_empty() && said.facts.is_empty()
    }

    /// `no wait, that's mean, make it twenty`: the clause that brings the other number, behind words alone.
    pub(super) fn on_second_thoughts(&self, i: usize) -> Option<usize> {
        let line = self.clauses[i].line;
        let plain = |k: &usize| self.clauses[*k].line == line && self.clauses[*k].said.facts.is_empty();
        let end = (i + 1..self.clauses.len().min(i + 4)).take_while(plain);
        end.into_iter().find(|k| self.mends(*k)).filter(|_| self.takes_back(i))
    }
}

/// The number in seconds; without a unit it counts what the one before it did.
fn seconds(other: &Quantity, was: f64) -> Option<f64> {
    match other.unit {
        Unit::Seconds => Some(other.amount.high()),
        Unit::Bare => Some(other.amount.high() * if was < 60.0 || was % 60.0 != 0.0 { 1.0 } else { 60.0 }),
        _ => None,
    }
}
