//! Parts that begin with a name on a line of its own.

use super::super::clause::{Clause, Join};
use super::super::item::{Item, Span};
use super::super::quantity::{Unit, quantity};
use super::super::token::Kind;
use super::Assembler;

impl Assembler<'_, '_> {
    /// A part that begins with its name; `then, when you can talk again:` only says when.
    pub(super) fn begin_by_name(&mut self, i: usize) {
        self.close();
        self.started = true;
        let c = &self.clauses[i];
        self.cur.at = Some((c.from, c.to));
        self.cur.label.clone_from(&c.lead.label);
        if matches!(self.doc.low(c.said.from), "when" | "once" | "if" | "whenever" | "as") {
            self.cur.notes.push((c.from, c.to));
        } else {
            self.cur.name = self.doc.typed(c.said.from, c.said.to).trim_matches(['"', '“', '”', '„', '«', '»']).to_owned();
        }
    }

    /// `Superset` alone on its line, and right below it lines in sets: the name of those, and not of the day.
    pub(super) fn heads_superset(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let alone = c.join == Join::Line && self.line_end(i) == i + 1 && c.lead.minute.is_none();
        let alone = alone && (c.blank || self.cur.is_blank() || c.lead.label.is_some());
        let below = self.clauses.get(i + 1).filter(|n| !n.blank && n.lead.label.is_none());
        let in_sets = below.is_some_and(|n| n.said.items.first().is_some_and(|it| it.is_named() && it.sets.is_some()));
        alone && in_sets && self.is_bare_words(i) && self.says_together((c.said.from, c.said.to))
    }

    /// `then lie about for a bit:`, `Then for the shoulders, no hurry:` behind an empty line, and below it what is done: whatever
    /// its words, the next part.
    pub(super) fn heads_behind_then(&self, i: usize) -> bool {
        let (c, end) = (&self.clauses[i], self.line_end(i));
        let words = |n: &Clause| n.said.items.is_empty() && n.said.facts.is_empty() && n.said.prefix.is_none() && !n.inside;
        let line = &self.clauses[i..end];
        let heads = c.blank && c.join == Join::Then && line.last().is_some_and(|n| n.colon) && !c.said.words.is_empty();
        heads && line.iter().all(words) && self.cur.has_rounds_lines() && self.lines_follow(end - 1)
    }

    /// `Handstand practice` of `Handstand practice - 10 min`: how long it lasts is no part of the name.
    pub(super) fn name_of_topic(&self, item: &Item) -> Span {
        let word = item.tail.first().map_or(item.to, |t| t.0);
        let (mut from, mut to) = (item.from, (word + 1).min(self.doc.tokens.len()));
        // `10 min double-under practice`
        from += quantity(&self.doc.tokens[from..]).filter(|q| q.unit == Unit::Seconds).map_or(0, |q| q.tokens);
        let joins = |t: usize| self.doc.tokens[t].kind != Kind::Word && self.doc.tokens[t].number().is_none();
        while from < to && (joins(from) || self.doc.low(from) == "of") {
            from += 1;
        }
        while from < to && joins(to - 1) {
            to -= 1;
        }
        if from < to { (from, to) } else { (item.from, item.to) }
    }
}
