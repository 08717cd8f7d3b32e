//! Rules for what a stretch of time is about: `Handstand practice - 10 min`.

use super::super::super::super::dose::Amount;
use super::super::super::clause::Join;
use super::super::super::item::Item;
use super::super::Assembler;
use super::super::situation::{Situation, Verdict};
use super::begins_if;

/// `Prep: wrists and shoulders 5 mins`, an empty line, `Handstand practice - 10 min` above its lines: the time of the first was
/// all of it, and another topic or another time heads what follows.
pub fn a_topic_below_what_lasts(a: &Assembler, s: &Situation) -> Option<Verdict> {
    let [only] = s.items else { return None };
    let waits = s.lasts() && !s.full && !s.shaped && s.cur.scheme.is_none() && s.cur.heading.is_some();
    begins_if(s.under_blank && waits && a.is_topic(only, s.i))
}

/// `In pairs, one rung of each and switch. For time, 16 min cap` behind an empty line: only words stand before it.
pub fn behind_words_under_blank(a: &Assembler, s: &Situation) -> bool {
    let before = || a.clauses[..s.i].iter().rev().take_while(|n| n.line == s.c.line);
    let words = before().all(|n| !n.said.facts.shapes() && n.said.items.iter().all(|it| it.movement.is_none()) && !n.inside);
    let first = before().last().is_some_and(|n| n.blank && n.join == Join::Line);
    first && words && matches!(s.c.join, Join::Stop | Join::Colon | Join::Comma)
}

/// `2-4-6 wall balls and pull-ups. For time` on one line, an empty one, and `partner work: 10-8-6 swings, push-ups`: rungs of its
/// own, where the part above was all told on its line.
pub fn a_list_below_one_line(a: &Assembler, s: &Situation) -> Option<Verdict> {
    let list = |it: &Item| it.dose.as_ref().is_some_and(|q| matches!(&q.amount, Amount::Scheme(all) if all.len() > 2));
    let own = s.items.iter().any(|it| it.is_named() && it.sets.is_none() && list(it));
    let one_line = s.lines && s.timed && s.cur.rows.iter().all(|r| r.line == a.first_line());
    let opens = s.under_blank || behind_words_under_blank(a, s);
    begins_if(opens && own && one_line && s.c.line != a.first_line())
}
