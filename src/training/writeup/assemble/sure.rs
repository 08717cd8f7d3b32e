//! Sentences that sound like talk, and say for sure what is done or for how long.

use super::super::super::dose::Amount;
use super::super::clause::{Clause, Join};
use super::super::element::Heading;
use super::super::item::{Item, Span};
use super::super::quantity::{Quantity, Unit};
use super::Assembler;

impl Assembler<'_, '_> {
    /// `goblet squats, four sets of ten with whatever bell you own`: the sets come first, whatever is said of them.
    pub(super) fn opens_with_sets(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let whole = |it: &Item| !it.is_named() && it.sets.is_some() && it.dose.is_some() && it.from == c.said.from;
        let name = i > 0 && c.join == Join::Comma && self.clauses[i - 1].said.items.last().is_some_and(|it| !it.is_dosed());
        name && matches!(&c.said.items[..], [only] if whole(only))
    }

    /// A warm-up or the like that opens its line and says how long it lasts, whatever else it says.
    fn lasts_by_heading(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let p = &c.said;
        let gentle = |h: Heading| matches!(h, Heading::WarmUp | Heading::CoolDown | Heading::Mobility);
        let opens = p.facts.heading.is_some_and(|(h, at)| gentle(h) && at.0 == p.from) && c.join == Join::Line;
        let long =
            |it: &Item| !it.is_named() && it.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds && q.amount.low() >= 120.0);
        let beside = self.clauses.get(i + 1).filter(|n| n.line == c.line && n.join == Join::Comma && n.said.words.is_empty());
        let next = beside.is_some_and(|n| matches!(&n.said.items[..], [only] if long(only)));
        let lasts = p.facts.window.is_some() || p.items.iter().any(long) || next;
        opens && lasts && p.items.iter().all(long)
    }

    /// `Warm up how you like for 5 minutes`, `stay at 70%`, `just alternating sides`: whatever words stand around it.
    pub(super) fn surely_tells(&self, i: usize) -> bool {
        let p = &self.clauses[i].said;
        let side = p.words.len() < 2 && matches!(&p.items[..], [only] if self.tells_side(only));
        let stretches = self.comes_then(i) && self.only_stretches(i) && p.talk == 0 && p.before.len() < 4;
        let lasts = self.time_of_a_heading(i) || self.lasts_by_heading(i) || self.lasts_before_its_clock(i);
        side || stretches || lasts || self.stays_at(i)
    }

    /// `25 min to find it` behind a heavy set: how long there is for it.
    pub(super) fn time_to_find(&self, i: usize) -> bool {
        let p = &self.clauses[i].said;
        let long =
            |it: &Item| !it.is_named() && it.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds && q.amount.low() >= 300.0);
        let built = self.cur.rows.last().is_some_and(|r| r.item.build.is_some()) && self.cur.rows.len() == 1;
        let to = p.words.first().is_some_and(|w| self.doc.low(w.0) == "to");
        let first = matches!(&p.items[..], [only] if long(only) && only.from == p.from);
        // `take about fifteen minutes for it`
        let takes = matches!(self.doc.low(p.from), "take" | "give" | "you" | "use" | "spend");
        let small = |w: &Span| {
            matches!(
                self.doc.low(w.0),
                "take"
                    | "give"
                    | "yourself"
                    | "you"
                    | "have"
                    | "got"
                    | "use"
                    | "spend"
                    | "about"
                    | "up"
                    | "to"
                    | "for"
                    | "it"
                    | "on"
                    | "this"
                    | "that"
                    | "roughly"
                    | "max"
                    | "around"
                    | "here"
            )
        };
        let takes = takes && matches!(&p.items[..], [only] if long(only)) && p.words.iter().all(small);
        built && p.facts.is_empty() && (to && first || takes)
    }

    /// `5 min easy walking in between is plenty`: about what is done, and nothing to do.
    pub(super) fn says_enough(&self, i: usize) -> bool {
        let p = &self.clauses[i].said;
        let is = |t: usize| matches!(self.doc.low(t), "is" | "are" | "will" | "would" | "should");
        let enough = |t: usize| matches!(self.doc.low(t), "plenty" | "enough" | "fine" | "ok" | "okay" | "good" | "do");
        let ends = p.to > p.from + 2 && enough(p.to - 1) && (is(p.to - 2) || p.to > p.from + 3 && is(p.to - 3));
        ends && p.facts.is_empty()
    }

    /// `stay at 70%`, `all at 40 kg` behind a line that has no load yet.
    fn stays_at(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let word = |w: &Span| {
            matches!(
                self.doc.low(w.0),
                "stay"
                    | "at"
                    | "all"
                    | "keep"
                    | "it"
                    | "hold"
                    | "use"
                    | "with"
                    | "around"
                    | "about"
                    | "on"
                    | "them"
                    | "every"
                    | "set"
                    | "sets"
            )
        };
        let load = matches!(&c.said.items[..], [only] if only.load.is_some() && !only.is_named() && !only.is_dosed());
        let open = self.cur.rows.last().is_some_and(|r| r.line == c.line && r.item.load.is_none());
        load && open && c.join == Join::Comma && c.said.facts.is_empty() && c.said.words.iter().all(word)
    }

    /// `Breathe first: 2 min on your back`: right behind a heading the time is that of its part, whatever is said of it.
    fn time_of_a_heading(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let long =
            |it: &Item| !it.is_named() && it.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds && q.amount.low() >= 60.0);
        let first = matches!(&c.said.items[..], [only] if long(only) && only.from == c.said.from);
        let heads = |n: &Clause| n.said.facts.heading.is_some() && n.said.items.is_empty() && n.line == c.line;
        let behind = c.join == Join::Colon && i > 0 && heads(&self.clauses[i - 1]);
        first && behind && self.cur.rows.is_empty() && self.cur.pending.is_empty() && c.said.facts.is_empty()
    }

    /// `Thursday is 20 minutes, every minute on the minute, five times through`: how long all of it takes, said right before how
    /// it runs. `we have 20 minutes, so no chatting` is only said.
    fn lasts_before_its_clock(&self, i: usize) -> bool {
        let c = &self.clauses[i];
        let p = &c.said;
        let long = |it: &Item| {
            let time = |q: &Quantity| q.unit == Unit::Seconds && q.amount.low() >= 240.0 && matches!(q.amount, Amount::One(_));
            !it.is_named() && it.sets.is_none() && it.dose.as_ref().is_some_and(time)
        };
        let whole = matches!(&p.items[..], [only] if long(only) && only.to == p.to) && p.facts.is_empty() && p.talk < 3;
        let next = self.clauses.get(i + 1).filter(|n| n.line == c.line && matches!(n.join, Join::Comma | Join::Colon));
        let clocked = |n: &Clause| {
            let f = &n.said.facts;
            f.every.is_some_and(|e| e.1.is_none()) || f.amrap.is_some_and(|a| a.0.is_none()) || f.on_off.is_some()
        };
        whole && self.cur.is_blank() && next.is_some_and(clocked)
    }

    /// It says which side the number counts, and nothing else.
    fn tells_side(&self, item: &Item) -> bool {
        let alone = Item { side: item.side, from: item.from, to: item.to, ..Item::default() };
        item.side.is_some() && *item == alone
    }
}
