//! Rules for tries: as much, as long or as heavy as it goes.

use super::super::super::clause::Join;
use super::super::super::item::Item;
use super::super::Assembler;
use super::super::situation::{Situation, Verdict};
use super::{begins_if, where_asked};

/// `Max hold: wall sit` below other lines
pub fn a_try_before_its_name(a: &Assembler, s: &Situation) -> Option<Verdict> {
    let [only] = s.items else { return None };
    let heads = s.on_line && s.lines && s.c.colon && !only.is_named() && only.max.is_some() && !s.c.lead.bullet;
    begins_if(
        heads && s.c.lead.minute.is_none() && a.clauses.get(s.i + 1).is_some_and(|n| n.said.items.iter().any(Item::is_named)),
    )
}

/// The clause is a try: a name and `max`, or `build to a heavy single`.
fn tries(s: &Situation) -> bool {
    s.items.iter().any(|it| it.is_named() && (it.max.is_some() || it.build.is_some()))
}

/// `Max push-ups in 2 min` under `Max hold plank`
pub fn a_try(_: &Assembler, s: &Situation) -> Option<Verdict> {
    // `8/6/4/2/4/6/8 - pyramid` is still a list of sets
    let pyramid = s.listed() && s.cur.rows.len() == 1 && s.cur.first(|f| f.rest.as_ref().map(|_| ())).is_some();
    let asked = tries(s) && s.lines && (!s.shaped || pyramid) && (s.on_line || s.then || s.c.join == Join::Stop);
    where_asked(asked, || !s.holds_in_turn() && (s.then || s.listed() || s.tried()))
}

/// `EMOM 10: ..., then rest 3 min, then max squats in 2 min`
pub fn then_a_try(a: &Assembler, s: &Situation) -> Option<Verdict> {
    begins_if(tries(s) && s.then && s.lines && !a.says_left(s.i) && (s.c.sentence || s.says.window.is_some()))
}
