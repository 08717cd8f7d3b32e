//! Parts that begin with a name on a line of its own.

use super::super::clause::Join;
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
            self.cur.notes.push((c.said.from, c.said.to));
        } else {
            self.cur.name = self.doc.typed(c.said.from, c.said.to).trim_matches(['"', '“', '”', '„', '«', '»']).to_owned();
        }
    }

    /// `then lie about for a bit:` behind an empty line, and below it the stretches: whatever its words, the next part.
    pub(super) fn heads_behind_then(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let words = c.said.items.is_empty() && c.said.facts.is_empty() && c.said.prefix.is_none() && !c.said.words.is_empty();
        let heads = c.colon && c.blank && c.join == Join::Then && self.line_end(i) == i + 1;
        heads && words && self.cur.has_rounds_lines() && self.lines_follow(i)
    }
}
