//! Where a clause ends without a sign: before words that begin something else.

use super::super::element::{Element, What};
use super::super::quantity::{Quantity, Unit};
use super::Cutter;

impl Cutter<'_, '_> {
    /// `3 min of skipping and 2 rounds of 10 squats`: what stands before the `and` is done once, and the rounds come then.
    pub(super) fn rounds_behind_and(&self, i: usize, q: &Quantity) -> bool {
        let and = i > 0 && matches!(self.doc.low(self.elements[i].from.saturating_sub(1)), "and" | "&" | "+");
        let next = |k: usize| self.elements.get(i + k).map(|e| &e.what);
        let of = self.elements.get(i + 1).is_some_and(|e| self.doc.low(e.from) == "of");
        // `and 3 x 20 s fast with 40 s easy`
        let windows = q.unit == Unit::Bare && matches!(next(2), Some(What::OnOff(..)));
        let before = &self.elements[self.start.min(i)..i];
        let dosed = before.iter().any(|e| matches!(&e.what, What::Dose(d) if d.unit != Unit::Rounds));
        let named = before.iter().any(|e| matches!(e.what, What::Movement(_)));
        let rounds = |e: &Element| matches!(&e.what, What::Dose(d) if d.unit == Unit::Rounds);
        and && (q.unit == Unit::Rounds && of || windows) && dosed && named && !before.iter().any(rounds)
    }

    /// `70 kg x 3 80 kg x 3 90 kg x 3`: behind a weight and its reps the next weight, with no comma between.
    pub(super) fn next_weight(&self, i: usize) -> bool {
        let what = |k: usize| self.elements.get(k).filter(|_| k >= self.start).map(|e| &e.what);
        let weight = |w: Option<&What>| matches!(w, Some(What::Load(..) | What::BareLoad(_)));
        let count = |w: Option<&What>| match w {
            Some(What::Times(_)) => true,
            Some(What::Dose(q)) => matches!(q.unit, Unit::Bare | Unit::Reps),
            _ => false,
        };
        let dash = |k: usize| what(k) == Some(&What::Dash);
        let reps = i.checked_sub(1 + usize::from(i > 1 && what(i - 1) == Some(&What::Plus)));
        let Some(reps) = reps.filter(|k| count(what(*k)) && *k > 0) else { return false };
        let behind_weight = weight(what(reps - 1)) || dash(reps - 1) && reps > 1 && weight(what(reps - 2));
        behind_weight && (count(what(i + 1)) || dash(i + 1) && count(what(i + 2)))
    }

    /// `Little walk to finish, 5 min`: behind a name whose dose is still to come it only says when.
    pub(super) fn named_to_finish(&self, i: usize) -> bool {
        let before = &self.elements[self.start.min(i)..i];
        let bare = matches!(before.last(), Some(e) if matches!(e.what, What::Movement(_)));
        let dosed = before.iter().any(|e| matches!(e.what, What::Dose(_) | What::SetsOf(..) | What::Max(_)));
        let next = |k: usize| self.elements.get(i + k).map(|e| &e.what);
        let late = self.doc.low(self.elements[i].from) == "to" && matches!(next(1), Some(What::Comma | What::Colon | What::Dash));
        bare && !dosed && late && self.fresh && matches!(next(2), Some(What::Dose(_)))
    }

    /// `... two minutes between sets and write down your top weight`
    pub(super) fn tells_to_write_down(&self, i: usize) -> bool {
        let at = self.elements[i].from;
        let and = i > 0 && self.doc.low(at.saturating_sub(1)) == "and";
        let near = self.elements[self.start.min(i)..i].iter().rev().take(40);
        let dosed = || near.into_iter().any(|e| matches!(e.what, What::SetsOf(..) | What::Rest(..)));
        and && dosed() && matches!(self.doc.low(at), "write" | "note" | "log" | "record" | "post" | "send" | "tell")
    }

    /// Something else begins at element `i`, with no sign before it.
    pub(super) fn leaves_off(&self, i: usize) -> bool {
        match self.elements[i].what {
            What::Word => self.start < i && (self.misses_a_tool(i) || self.swaps_if(i)),
            _ => self.if_something_is_left(i),
        }
    }

    /// `... with a 15 min cap and if you've only got a band do 10 good mornings instead of the deadlifts`: behind what was said,
    /// who does something else, up to the end of the sentence.
    fn swaps_if(&self, i: usize) -> bool {
        let said = self.elements[self.start..i].iter().any(|e| matches!(e.what, What::Movement(_)));
        if !said || self.doc.low(self.elements[i].from) != "if" {
            return false;
        }
        let rest = self.elements[i..].iter().take(40).take_while(|e| !matches!(e.what, What::Newline | What::Stop));
        let (mut named, mut instead) = (false, false);
        for e in rest {
            named |= matches!(e.what, What::Movement(_)) && !instead;
            instead |= e.what == What::Instead;
        }
        named && instead
    }

    /// `and if there's anything left in the arms 2 x max push-ups`: the sets of who has something left.
    fn if_something_is_left(&self, i: usize) -> bool {
        let before = &self.elements[self.start.min(i)..i];
        let words = before.iter().all(|e| e.what == What::Word);
        let says = |at: usize| before.get(at).is_some_and(|e| self.doc.low(e.from) == "if");
        let left = before.iter().any(|e| matches!(self.doc.low(e.from), "left" | "more" | "energy" | "fancy"));
        words && left && (says(0) || says(1)) && before.len() > 3
    }

    /// `... cap 9 no rope just jog on the spot`: behind what was said, what is done without the tool.
    fn misses_a_tool(&self, i: usize) -> bool {
        let at = self.elements[i].from;
        let tool = matches!(
            self.doc.plain.get(at + 1).map(String::as_str),
            Some("rope" | "bar" | "barbell" | "box" | "band" | "dumbbell" | "kettlebell" | "rower" | "bike" | "ring")
        );
        let does = matches!(self.doc.low(at + 2), "just" | "do" | "use" | "go" | "then" | ":" | "=" | "?" | "so" | "take");
        let said = |e: &Element| matches!(e.what, What::Movement(_) | What::Cap(..) | What::ForTime | What::Dose(_));
        self.doc.low(at) == "no" && tool && does && self.elements[self.start..i].iter().any(said)
    }
}
