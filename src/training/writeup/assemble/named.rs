//! Parts that begin with a name on a line of its own.

use super::super::clause::{Clause, Join};
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

    /// `then lie about for a bit:`, `Then for the shoulders, no hurry:` behind an empty line, and below it what is done: whatever
    /// its words, the next part.
    pub(super) fn heads_behind_then(&self, i: usize) -> bool {
        let (c, end) = (&self.clauses[i], self.line_end(i));
        let words = |n: &Clause| n.said.items.is_empty() && n.said.facts.is_empty() && n.said.prefix.is_none() && !n.inside;
        let line = &self.clauses[i..end];
        let heads = c.blank && c.join == Join::Then && line.last().is_some_and(|n| n.colon) && !c.said.words.is_empty();
        heads && line.iter().all(words) && self.cur.has_rounds_lines() && self.lines_follow(end - 1)
    }
}
