//! What is said of the part as a whole: how long it lasts, what each of its lines is done by, how long one rests.

use super::super::super::super::dose::{Amount, Load, Side};
use super::super::super::clause::Join;
use super::super::super::doses::hand;
use super::super::super::item::{Facts, Item};
use super::super::super::quantity::Unit;
use super::super::super::token::Kind;
use super::super::Assembler;
use super::super::apart::GATHERED;
use super::super::rows::descends;
use super::{Lone, is_sets_of_reps};

/// `EMOM 12, alternating`: the lines take turns.
pub fn turns(a: &mut Assembler<'_, '_>, lone: &Lone<'_>) -> bool {
    let alone = Item { side: Some(Side::Alternating), from: lone.item.from, to: lone.item.to, ..Item::default() };
    let stations = a.cur.rows.iter().filter(|r| r.line == lone.clause.line).count() > 1 && a.cur.first(|f| f.on_off).is_some();
    let asked = stations || a.cur.rows.is_empty() && a.cur.first(|f| f.every).is_some();
    if lone.item != alone || !asked {
        return false;
    }
    a.cur.facts.push(Facts { turns: true, ..Facts::default() });
    a.cur.said.push(lone.span);
    true
}

/// `2-4-6-8-... burpees, 9 min`
pub fn time_of_open_rungs(a: &mut Assembler<'_, '_>, lone: &Lone<'_>) -> bool {
    let open = a.cur.rows.last().is_some_and(|r| r.item.dose.as_ref().is_some_and(|q| q.open));
    lone.is_time() && open && a.lasts(lone)
}

/// `hold each 60 s:`
pub fn time_of_each_hold(a: &mut Assembler<'_, '_>, lone: &Lone<'_>) -> bool {
    const HOLD: &[&str] = &["hold each", "each for", "each one for", "hold everything"];
    let hold = (lone.clause.said.from..lone.item.from).any(|t| a.doc.says_any(t, HOLD).is_some());
    hold && lone.is_time() && is_ahead(a, lone) && a.each_below(lone.item.clone(), lone.span)
}

/// `accessories 3 x 10 each:`
pub fn sets_of_each(a: &mut Assembler<'_, '_>, lone: &Lone<'_>) -> bool {
    let sets = lone.item.sets.is_some() && lone.item.dose.is_some();
    sets && says_each(a, lone) && is_ahead(a, lone) && a.each_below(of_each(lone), lone.span)
}

/// `4 rounds, 30 s each: squats, sit-ups`
pub fn time_of_each(a: &mut Assembler<'_, '_>, lone: &Lone<'_>) -> bool {
    let first = a.cur.rows.is_empty() && a.cur.pending.is_empty();
    first && lone.is_time() && says_each(a, lone) && a.each_below(of_each(lone), lone.span)
}

/// `at the top of every minute 6 thrusters, 10 minutes in all`
pub fn time_in_all(a: &mut Assembler<'_, '_>, lone: &Lone<'_>) -> bool {
    let unsaid = a.cur.first(|f| f.every).is_some_and(|e| e.1.is_none() && e.2.is_none())
        || a.cur.first(|f| f.amrap).is_some_and(|a| a.0.is_none());
    unsaid && lone.is_long_time() && a.cur.first(|f| f.window.clone()).is_none() && a.lasts(lone)
}

/// `15 min: build to a heavy 3`
pub fn time_to_build_below(a: &mut Assembler<'_, '_>, lone: &Lone<'_>) -> bool {
    let c = lone.clause;
    let next = a.clauses.get(lone.i + 1).filter(|n| c.colon && n.line == c.line);
    let builds = next.is_some_and(|n| n.said.items.iter().any(|it| it.build.is_some()));
    builds && lone.is_long_time() && a.lasts(lone)
}

/// `build to a heavy 3, 15 min`
pub fn time_of_a_build(a: &mut Assembler<'_, '_>, lone: &Lone<'_>) -> bool {
    let builds = a.cur.rows.last().or(a.cur.pending.last()).is_some_and(|r| r.item.build.is_some());
    if !builds || !lone.is_time() || a.cur.first(|f| f.window.clone()).is_some() {
        return false;
    }
    if lone.item.load.is_some() {
        // `20 min. belt on from 80%`
        a.note(lone.span);
    }
    a.lasts(lone)
}

/// `60 s` alone under sets of reps
pub fn rest_under_sets(a: &mut Assembler<'_, '_>, lone: &Lone<'_>) -> bool {
    let c = lone.clause;
    let short = lone.dose().is_some_and(|q| q.amount.high() <= 300.0);
    let below = c.join == Join::Line && !c.blank && c.said.words.is_empty() && a.cur.pending.is_empty();
    let sets = !a.cur.rows.is_empty() && a.cur.rows.iter().all(is_sets_of_reps);
    short && below && sets && lone.is_time() && a.rest_is(lone)
}

/// `4x6, 65 %, 2 min`: a time behind sets of reps is their rest
pub fn rest_behind_sets(a: &mut Assembler<'_, '_>, lone: &Lone<'_>) -> bool {
    let rests = lone.dose().is_some_and(|q| q.amount.high() >= 15.0);
    let behind = lone.on_line && lone.clause.join == Join::Comma && a.cur.pending.is_empty() && !lone.item.is_named();
    // `3 x 200 m carry, 1:00`
    let way = |r: &super::super::Row| {
        r.item.sets.is_some() && r.item.dose.as_ref().is_some_and(|q| matches!(q.unit, Unit::Metres | Unit::Calories))
    };
    let sets = a.cur.rows.last().is_some_and(|r| is_sets_of_reps(r) || way(r));
    rests && behind && sets && lone.is_time() && a.rest_is(lone)
}

/// `rest with what is left of the two minutes`
pub fn time_left(a: &mut Assembler<'_, '_>, lone: &Lone<'_>) -> bool {
    // `40 s side plank right, 40 s left` is the other side
    let side = a.cur.rows.last().is_some_and(|r| r.item.tail.last().is_some_and(|t| hand(a.doc.low(t.0)).is_some()));
    let left = super::is_seconds(&lone.item) && a.says_left(lone.i) && a.cur.is_shaped() && !(side && lone.on_line);
    if left {
        a.note(lone.span);
    }
    left
}

/// `max distance row in 12 min. Then 5 min easy`
pub fn time_behind_a_try(a: &mut Assembler<'_, '_>, lone: &Lone<'_>) -> bool {
    let tried = a.cur.rows.last().is_some_and(|r| r.item.max.is_some());
    let behind = super::is_seconds(&lone.item) && lone.clause.join == Join::Then && tried;
    if behind {
        a.note(lone.span);
    }
    behind
}

/// `5 x 5`, `21-15-9`, `Ladder 1-10`: what the lines below are done by
pub fn scheme(a: &mut Assembler<'_, '_>, lone: &Lone<'_>) -> bool {
    let item = &lone.item;
    let ladder = lone.clause.said.facts.ladder.is_some()
        && lone.dose().is_some_and(|q| q.unit == Unit::Bare && matches!(q.amount, Amount::Range(..)));
    let counts = lone.dose().is_some_and(|q| {
        let list = matches!(q.amount, Amount::Scheme(_)) && matches!(q.unit, Unit::Bare | Unit::Reps);
        list || q.open || q.unit == Unit::Reps || descends(&q.amount)
    });
    let tells = item.sets.is_some() || item.max.is_some() || item.build.is_some() || ladder || counts;
    tells && !a.cur.has_rounds_lines() && a.each_below(item.clone(), lone.span)
}

/// `10 min`: how long the part lasts
pub fn window(a: &mut Assembler<'_, '_>, lone: &Lone<'_>) -> bool {
    if !super::is_seconds(&lone.item) || !a.cur.rows.is_empty() && a.cur.first(|f| f.window.clone()).is_some() {
        return false;
    }
    if lone.clause.said.words.iter().any(|w| a.doc.says_any(w.0, GATHERED).is_some()) {
        // `Hanging: accumulate 2 min from a bar`: its words are all that tells what is done
        a.cur.notes.push(lone.span);
    } else if lone.clause.said.talk > 0 && lone.clause.said.words.len() > 1 {
        // `Breathe first: 2 min on your back`
        a.cur.notes.push(lone.span);
    } else if tells_what_is_done(a, lone) {
        a.cur.notes.push(lone.span);
    }
    a.lasts(lone)
}

/// `Prep: wrists and shoulders 5 mins` with no line below it: its words are all that tells what is done.
fn tells_what_is_done(a: &Assembler<'_, '_>, lone: &Lone<'_>) -> bool {
    let said = &lone.clause.said;
    let small = |w: &&str| {
        matches!(
            *w,
            "of" | "for" | "and" | "easy" | "total" | "about" | "max" | "the" | "a" | "approx" | "in" | "on" | "each" | "all"
        )
    };
    let words = said.words.iter().filter(|w| a.doc.tokens[w.0].kind == Kind::Word).map(|w| a.doc.low(w.0));
    let named = words.filter(|w| !small(w)).count() > 0;
    let empty = a.cur.rows.is_empty() && a.cur.pending.is_empty() && said.items.len() == 1;
    named && empty && a.cur.heading.is_some() && lone.clause.join != Join::Line && !a.lines_follow(lone.i)
}

/// `3 rounds, 20 kg: 5 deadlifts, 10 burpees`, `everything easy`: before any line
pub fn load_of_all_below(a: &mut Assembler<'_, '_>, lone: &Lone<'_>) -> bool {
    let all = matches!(a.doc.low(lone.clause.said.from), "everything" | "all");
    if lone.item.is_dosed() || !a.cur.rows.is_empty() || a.cur.is_blank() && !all {
        return false;
    }
    if matches!(lone.item.load, Some(Load::Kg { .. } | Load::Lb { .. })) {
        // of what is done with a weight
        a.cur.load_of_all = Some(lone.item.clone());
        a.cur.said.push(lone.span);
        return true;
    }
    a.each_below(lone.item.clone(), lone.span)
}

/// Before a colon and the first lines of its part.
fn is_ahead(a: &Assembler<'_, '_>, lone: &Lone<'_>) -> bool {
    lone.clause.colon && a.cur.rows.is_empty() && a.cur.pending.is_empty() && a.lines_follow(lone.i)
}

/// It is read as per side, and `each` was typed, which can be each of the lines.
fn says_each(a: &Assembler<'_, '_>, lone: &Lone<'_>) -> bool {
    lone.item.side == Some(Side::PerSide) && matches!(a.doc.low(lone.item.to.saturating_sub(1)), "each" | "ea")
}

fn of_each(lone: &Lone<'_>) -> Item {
    Item { side: None, ..lone.item.clone() }
}
