//! How two people share a part, and how long a topic lasts.

use super::super::clause::Join;
use super::super::clocks::count;
use super::super::quantity::Unit;
use super::Assembler;

impl Assembler<'_, '_> {
    /// `one rung of each and switch`, `one round each then swap`: how two share the work, and no other count of it. Says where
    /// the words end.
    pub(super) fn swaps_partners(&self, i: usize) -> Option<usize> {
        const WHAT: &[&str] = &["rung", "round", "set", "movement", "exercise", "station", "line", "rep", "go"];
        const SWAP: &[&str] = &["switch", "swap", "change", "change over", "tag", "trade", "swop", "rotate"];
        let c = &self.clauses[i];
        let from = c.said.from + usize::from(matches!(self.doc.low(c.said.from), "do" | "each" | "everyone"));
        let one = count(self.doc, from) == Some(1.0) && WHAT.contains(&self.doc.low(from + 1));
        let near =
            |k: &usize| *k == i || matches!(self.clauses[*k].join, Join::Then | Join::Comma) && self.clauses[*k].line == c.line;
        let swaps = |k: &usize| (self.clauses[*k].from..self.clauses[*k].to).any(|t| self.doc.says_any(t, SWAP).is_some());
        let named = |k: usize| self.clauses[k].said.items.iter().any(|it| it.movement.is_some());
        let last = (i..self.clauses.len().min(i + 3)).take_while(near).find(swaps)?;
        (one && !c.inside && !(i..=last).any(named)).then_some(last + 1)
    }

    /// `L-sit work (10 min)`: a time alone in brackets behind the topic is how long there is for it.
    pub(super) fn topic_lasts(&mut self, i: usize) -> bool {
        let c = &self.clauses[i];
        let before = i.checked_sub(1).map(|k| &self.clauses[k]).filter(|b| b.line == c.line && !b.inside);
        let topic = before.is_some_and(|b| matches!(&b.said.items[..], [only] if only.movement.is_some() && only.dose.is_none()));
        let [only] = &c.said.items[..] else { return false };
        let long = only.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds && q.amount.low() >= 180.0);
        let bare = !only.is_named() && only.sets.is_none() && c.said.words.is_empty() && c.said.facts.is_empty();
        let fresh = self.cur.rows.is_empty() && self.cur.pending.is_empty() && self.cur.first(|f| f.window.clone()).is_none();
        let heads = fresh && !self.cur.name.is_empty() && self.first_line() == c.line;
        if !(topic && long && bare && heads) {
            return false;
        }
        let item = only.clone();
        self.window(&item, (c.from, c.to));
        true
    }
}
