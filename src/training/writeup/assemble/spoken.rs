//! What a sentence says of the part above it: how often its lines are done, that one thing more comes.

use super::super::clause::{Clause, Join};
use super::super::draft::Row;
use super::super::item::{Facts, Span};
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
