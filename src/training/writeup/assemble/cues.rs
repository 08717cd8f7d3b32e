//! Cues: what is said of a line that stands already, under its own name.

use super::super::super::dose::Amount;
use super::super::clause::{Clause, Join, Lead};
use super::super::draft::Row;
use super::super::item::Item;
use super::super::quantity::{Quantity, Unit};
use super::super::token::Kind;
use super::Assembler;

impl Assembler<'_, '_> {
    /// `Swings to eye level, not over the head.` or `lunges: the knee kisses the floor` below lines that have their doses: how
    /// the one of them is done whose name comes again, and no line. `Swings: 10` brings a dose, and is one.
    pub(super) fn speaks_of_a_line(&mut self, i: usize) -> Option<usize> {
        let c = &self.clauses[i];
        let [only] = &c.said.items[..] else { return None };
        let opens = c.join == Join::Line || c.join == Join::Stop && c.sentence;
        let end = if c.join == Join::Line { self.line_end(i) } else { self.sentence_end(i) };
        let bare = Item { movement: only.movement, tail: only.tail.clone(), from: only.from, to: only.to, ..Item::default() };
        if !opens || *only != bare || !self.is_cue(i, end) || !self.cur.pending.is_empty() {
            return None;
        }
        let name = self.words_of_name(only);
        // under `21-15-9` a name alone is a line, and only a sign makes it the name of a cue
        let listed = self.cur.doses_lines();
        if listed && self.doc.low(self.end_of_name(only)) != ":" {
            return None;
        }
        let at = self.cur.rows.iter().rposition(|r| (listed || r.item.is_dosed()) && self.holds(r, &name))?;
        let span = (c.said.from, self.clauses[end - 1].to);
        self.cur.rows[at].notes.push(span);
        Some(end - i)
    }

    /// From clause `i` to `end` a name and then words: a sign or a sentence, and nothing that is counted.
    fn is_cue(&self, i: usize, end: usize) -> bool {
        let c = &self.clauses[i];
        let Some(only) = c.said.items.first() else { return false };
        let plain = |n: &Clause| n.said.facts.is_empty() && !n.said.replaces && n.said.prefix.is_none() && !n.question;
        // `every single one` counts nothing
        let counts = |q: &Quantity| q.unit != Unit::Bare || q.amount != Amount::One(1.0);
        let dosed =
            |it: &Item| it.dose.as_ref().is_some_and(counts) || it.sets.is_some() || it.max.is_some() || it.load.is_some();
        let other = self.clauses[i + 1..end].iter().any(|n| n.said.items.iter().any(Item::is_named));
        let told = !other && !self.clauses[i..end].iter().any(|n| !plain(n) || n.said.items.iter().any(dosed));
        let article = |w: &(usize, usize)| matches!(self.doc.low(w.0), "the" | "on" | "for" | "in" | "your" | "all");
        let last = self.clauses[end - 1].to;
        let sentence = self.doc.tokens.get(last).is_some_and(|t| matches!(t.text, "." | "!"));
        let spoken = sentence || self.clauses[i..end].iter().any(|n| n.said.talk > 0);
        let colon = self.doc.low(self.end_of_name(only)) == ":";
        let lead = Lead { bullet: false, ..c.lead.clone() } == Lead::default();
        let words = only.tail.len() > 1 && (colon || spoken && !c.lead.bullet);
        told && words && lead && !c.inside && c.said.before.iter().all(article)
    }

    fn end_of_name(&self, item: &Item) -> usize {
        let tail = item.tail.first().map_or(item.to, |t| t.0);
        (item.from..tail).find(|t| self.doc.tokens[*t].is(":")).unwrap_or(tail)
    }

    fn words_of_name(&self, item: &Item) -> Vec<&str> {
        let words = (item.from..self.end_of_name(item)).filter(|t| self.doc.tokens[*t].kind == Kind::Word);
        words.map(|t| self.doc.plain[t].as_str()).collect()
    }

    /// Every word of the name stands in the row's own: `swings` in `15 KB swings`.
    fn holds(&self, row: &Row, name: &[&str]) -> bool {
        let own: Vec<&str> = (row.item.from..row.item.to).map(|t| self.doc.plain[t].as_str()).collect();
        !name.is_empty() && name.iter().all(|w| own.contains(w))
    }
}
