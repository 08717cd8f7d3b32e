//! What stands below `Notes` alone on its line.

use super::super::clause::{Clause, Join};
use super::super::element::What;
use super::super::item::Item;
use super::Assembler;

impl Assembler<'_, '_> {
    /// `Notes` alone on its line: every line below it up to the next empty one, or to what begins a part, is a note.
    pub(super) fn notes_below(&mut self, i: usize) -> Option<usize> {
        let c = &self.clauses[i];
        if c.join != Join::Line || self.line_end(i) != i + 1 || c.colon || c.said.to > c.said.from + 3 || !c.said.items.is_empty()
        {
            return None;
        }
        let sets = |it: &Item| it.is_named() && it.sets.is_some();
        let works = |n: &Clause| {
            n.lead.label.is_some()
                || n.said.facts.shapes() && n.said.talk == 0
                || n.said.items.iter().any(sets)
                || matches!(n.said.prefix, Some(What::Score | What::Option))
        };
        let mut end = i + 1;
        while self.clauses.get(end).is_some_and(|n| !works(n) && (!n.blank || end == i + 1 && n.said.items.is_empty())) {
            let span = self.span(end, self.line_end(end));
            self.note(span);
            end = self.line_end(end);
        }
        let heading = (c.from, c.to);
        if self.cur.is_blank() {
            self.sheet.notes.push(heading)
        } else {
            self.cur.said.push(heading)
        }
        Some(end - i)
    }
}
