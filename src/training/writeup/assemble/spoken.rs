//! What a sentence says of the part above it: how often its lines are done, that a number is another, that one thing more comes.

use super::super::super::dose::Amount;
use super::super::clause::{Clause, Join};
use super::super::draft::Row;
use super::super::item::{Facts, Span};
use super::super::quantity::{Quantity, Unit, quantity};
use super::Assembler;

impl Assembler<'_, '_> {
    pub(super) fn tells_more_of_those_above(&mut self, i: usize) -> bool {
        self.counts_the_pair(i) || self.makes_it_another(i)
    }

    /// `Three sets of the pair`, `four rounds of both` below two lines: how often they are done.
    fn counts_the_pair(&mut self, i: usize) -> bool {
        const THOSE: &[&str] = &["pair", "both", "them", "those", "these", "superset", "couplet", "triset", "circuit"];
        const SMALL: &[&str] = &["of", "the", "that", "this", "all", "two", "three", "four", "whole", "do", "we", "and"];
        let c = &self.clauses[i];
        let f = &c.said.facts;
        let told = f.sets.is_some() != f.rounds.is_some();
        let only = Facts { sets: None, rounds: None, ..f.clone() }.is_empty() && c.said.items.is_empty() && !c.inside;
        let said = |list: &[&str], w: &Span| list.contains(&self.doc.low(w.0));
        let words = c.said.words.iter().all(|w| said(THOSE, w) || said(SMALL, w)) && c.said.words.iter().any(|w| said(THOSE, w));
        let cur = &self.cur;
        let unsaid = cur.first(|f| f.rounds.clone()).is_none() && cur.first(|f| f.sets.or(f.times)).is_none();
        let open = cur.rows.len() > 1 && cur.rows.iter().all(|r: &Row| r.item.sets.is_none() && r.role.is_none());
        if !(told && only && words && unsaid && open) || self.in_windows() || cur.scheme.is_some() {
            return false;
        }
        self.cur.facts.push(f.clone());
        self.cur.said.push((c.from, c.to));
        true
    }

    /// `a cap of fifteen minutes, no wait, that's mean, make it twenty`: the number that was said before is taken back.
    fn makes_it_another(&mut self, i: usize) -> bool {
        let Some(other) = self.another_number(i) else { return false };
        let c = &self.clauses[i];
        let line = c.line;
        let near = |at: &Span| self.doc.tokens[at.0].line == line && at.1 <= c.from;
        let seconds = |was: f64| match other.unit {
            Unit::Seconds => Some(other.amount.high()),
            Unit::Bare => Some(other.amount.high() * if was < 60.0 { 1.0 } else { 60.0 }),
            _ => None,
        };
        let counts = matches!(other.unit, Unit::Bare | Unit::Rounds | Unit::Sets);
        let Some(f) = self.cur.facts.last_mut() else { return false };
        let told = if let Some((Some(was), _, at)) = &mut f.cap {
            near(at).then(|| seconds(*was)).flatten().map(|s| *was = s)
        } else if let Some((Some(was), at)) = &mut f.amrap {
            near(at).then(|| seconds(*was)).flatten().map(|s| *was = s)
        } else if let Some((amount, at)) = &mut f.rounds {
            (near(at) && counts).then(|| *amount = other.amount.clone())
        } else {
            None
        };
        if told.is_some() {
            self.cur.said.push((c.from, c.to));
        }
        told.is_some()
    }

    /// `make it twenty` a few words behind `no, wait`: the number alone.
    pub(super) fn another_number(&self, i: usize) -> Option<Quantity> {
        const MAKE: &[&str] =
            &["make it", "make that", "let's make it", "let's make that", "call it", "let's call it", "let's say", "say"];
        let c = &self.clauses[i];
        let at = c.said.from + self.doc.says_any(c.said.from, MAKE)?;
        let q = quantity(self.doc.tokens.get(at..c.said.to)?).filter(|q| matches!(q.amount, Amount::One(n) if n > 0.0))?;
        let ends = at + q.tokens == c.said.to || matches!(self.doc.low(at + q.tokens), "instead" | "then" | "after");
        let taken = (i.saturating_sub(3)..i).any(|k| self.clauses[k].line == c.line && self.takes_back(k));
        (ends && !c.inside && taken).then_some(q)
    }

    /// `no wait`, `hmm`, `actually` and nothing to do: what was said before is to be another.
    fn takes_back(&self, i: usize) -> bool {
        const BACK: &[&str] = &[
            "no wait",
            "wait no",
            "wait",
            "no",
            "sorry",
            "actually",
            "scratch that",
            "hang on",
            "hmm",
            "oops",
            "on second thoughts",
        ];
        let said = &self.clauses[i].said;
        said.items.is_empty() && said.facts.is_empty() && self.doc.says_any(said.from, BACK).is_some()
    }

    /// `no wait, that's mean, make it twenty`: the clause that brings the other number, behind words alone.
    pub(super) fn on_second_thoughts(&self, i: usize) -> Option<usize> {
        let line = self.clauses[i].line;
        let plain = |k: &usize| self.clauses[*k].line == line && self.clauses[*k].said.facts.is_empty();
        let end = (i + 1..self.clauses.len().min(i + 4)).take_while(plain);
        end.into_iter().find(|k| self.another_number(*k).is_some()).filter(|_| self.takes_back(i))
    }

    /// `then have a breather and do one thing more..`, and in the next sentence what it is.
    pub(super) fn announces_more(&self, i: usize) -> bool {
        const MORE: &[&str] = &[
            "one thing more",
            "one more thing",
            "one last thing",
            "one final thing",
            "one last bit",
            "one more bit",
            "a last thing",
        ];
        let line = self.clauses[i].line;
        let known = |n: &Clause| n.said.items.iter().any(|it| it.movement.is_some());
        let plain = |n: &&Clause| n.line == line && !known(n) && n.said.facts.is_empty() && !n.inside;
        let before = self.clauses[..i].iter().rev().take_while(plain).take(3).find(|n| n.join != Join::Comma);
        let says = |n: &Clause| (n.from..n.to).any(|t| self.doc.says_any(t, MORE).is_some());
        before.is_some_and(|n| n.join == Join::Then && says(n))
    }
}
