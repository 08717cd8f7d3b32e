//! Rules for what is told in sentences: a part that was all said before the next one is told.

use super::super::super::super::dose::Amount;
use super::super::super::clause::Clause;
use super::super::super::item::Item;
use super::super::super::quantity::{Quantity, Unit};
use super::super::Assembler;
use super::super::situation::{Situation, Verdict};
use super::begins_if;

/// `5 min easy row and 3 x 20 s fast, 40 s easy. Rest 3 min, then 2000 m for time`: the windows were all of their part.
pub fn behind_windows_alone(a: &Assembler, s: &Situation) -> Option<Verdict> {
    let apart = (s.then || s.c.sentence) && s.c.line == a.first_line() && !s.c.inside;
    begins_if(a.carries_on() && apart && (s.says.for_time.is_some() || s.says.heading.is_some()))
}

/// `Breathe first: 2 min on your back`, and below it `Then 3 rounds: ...`: all of the part was its time.
pub fn then_below_what_lasts(a: &Assembler, s: &Situation) -> Option<Verdict> {
    let below = s.i > 0 && a.clauses[s.i - 1].line != s.c.line && a.first_line() != s.c.line;
    let whole = s.cur.heading.is_some() && s.lasts() && !s.full && s.cur.scheme.is_none() && !s.shaped;
    begins_if(s.then && below && whole && s.says.rounds.is_some() && a.names_follow(s.i))
}

/// `Clean 6x2 @ 75 %`, and below it `Front squat 5-5-3-3-3 @ RPE 8`; `Squat 5-3-1-5-3-1, rest 2:30`, and below it `Bench 8-6-4-4,
/// rest 2:00`: a list of sets, below a lift in sets. Rungs of one part, `21-15-9 squats` above `21-15-9 push-ups`, have no rest.
pub fn lists_its_sets(a: &Assembler, s: &Situation) -> bool {
    let list = |q: &Quantity| q.unit == Unit::Bare && !q.open && matches!(&q.amount, Amount::Scheme(all) if all.len() > 2);
    let listed = |it: &Item| it.is_named() && it.complex.is_empty() && it.sets.is_none() && it.dose.as_ref().is_some_and(list);
    let rests = |n: &Clause| n.line == s.c.line && n.said.facts.rest.is_some();
    let own = |it: &Item| listed(it) && (it.load.is_some() || a.clauses.get(s.i + 1).is_some_and(rests));
    let rested = s.cur.first(|f| f.rest.as_ref().map(|_| ())).is_some();
    let above = s.all_in_sets() || rested && matches!(&s.cur.rows[..], [row] if listed(&row.item));
    let paired = a.sheet.title.is_some_and(|title| a.says_together(title));
    let lifts = s.cur.rows.iter().all(|r| r.role.is_none()) && !s.timed && s.cur.scheme.is_none() && !paired;
    s.on_line && !s.shaped && s.lines && above && lifts && matches!(s.items, [only] if own(only))
}

/// `5 rounds of ... . And if you still have something left, finish with a two minute plank`: what only some do is no line of it.
pub fn only_if(a: &Assembler, s: &Situation) -> Option<Verdict> {
    let sets = s.items.iter().all(|it| it.sets.is_some());
    let before = s.i.checked_sub(1).map(|k| &a.clauses[k]).filter(|n| n.line == s.c.line && (n.sentence || sets));
    let says = |n: &Clause| {
        let and = usize::from(a.doc.low(n.said.from) == "and");
        a.doc.low(n.said.from + and) == "if" && n.said.items.is_empty() && n.said.talk > 1
    };
    let left = |n: &Clause| {
        (n.from..n.to).any(|t| matches!(a.doc.low(t), "left" | "time" | "energy" | "more" | "fancy" | "keen" | "fresh" | "want"))
    };
    let untimed = s.cur.first(|f| f.rounds.as_ref().map(|_| ())).is_some() && !s.timed;
    // `8 min ladder of ..., and if there's anything left in the arms 2 x max push-ups`: no window holds further sets
    begins_if(s.lines && s.starts && (untimed || sets) && before.is_some_and(|n| says(n) && left(n)))
}

/// `5 rounds for time of ... . Afterwards a deep squat hold for a minute and eight hip switches`: nobody races to a stretch.
pub fn then_stretches_behind_a_race(a: &Assembler, s: &Situation) -> Option<Verdict> {
    let end = a.sentence_end(s.i);
    let items = || a.clauses[s.i..end].iter().flat_map(|n| &n.said.items);
    let stretched = s.cur.rows.iter().any(|r| a.stretches(&r.item));
    let told = s.timed && s.lines && s.then && s.c.sentence && s.starts && !stretched;
    begins_if(told && items().all(|it| a.stretches(it)) && !a.says_each(s.i))
}

/// `3 rounds of 10 squats. Afterwards some easy cat-cow and down dog`
pub fn then_stretches(a: &Assembler, s: &Situation) -> Option<Verdict> {
    begins_if(s.lines && s.then && (a.only_stretches(s.i) || raced_before(s) && a.stretches_alone(s.i)))
}

/// What stands before is done against the clock, or in a window: nobody stretches there.
fn raced_before(s: &Situation) -> bool {
    s.timed || s.cur.first(|f| f.amrap.map(|_| ())).is_some()
}
