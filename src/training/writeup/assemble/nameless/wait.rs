//! What names wait for that were typed without a dose, and names that wait for theirs.

use super::super::super::super::dose::Load;
use super::super::super::clause::Join;
use super::super::super::draft::Row;
use super::super::super::element::Name;
use super::super::super::item::Item;
use super::super::super::quantity::Unit;
use super::super::Assembler;
use super::super::rows::merge;
use super::Lone;

/// `squats, lunges, sit-ups: 10 each`: the names that waited have their dose
pub fn the_dose_of_names(a: &mut Assembler<'_, '_>, lone: &Lone<'_>) -> bool {
    if a.cur.pending.is_empty() || !lone.item.is_dosed() && lone.item.more.is_empty() {
        return false;
    }
    // `march in place, 40 s` in a round, or above `arm circles, 10`: a line of several, and its own time
    let rounds = a.cur.first(|f| f.rounds.clone()).is_some();
    let short = lone.dose().is_some_and(|q| q.amount.high() < 120.0);
    let listed = a.line_comes_below(lone.i) && (short || rounds || a.in_prep());
    let told = rounds || a.cur.first(|f| f.window.clone()).is_some();
    let long = !listed && (lone.is_long_time() || !told);
    let lasts = lone.is_time() && (a.named_again(lone.i) || long && a.cur.pending.iter().all(|r| !a.counts_seconds(r)));
    if lasts {
        return a.lasts(lone);
    }
    is_no_heading(a, lone);
    tell(a, lone);
    a.release_pending();
    true
}

/// `3 rounds`, and below it `squats, 8` above `push-ups, 10`: the first of several lines does not name the part.
fn is_no_heading(a: &mut Assembler<'_, '_>, lone: &Lone<'_>) {
    // `Power clean, every 90 s for 12 min: 2 reps` is the heading of an entry
    let name = lone.i.checked_sub(1).map(|k| &a.clauses[k].said);
    let before = name.is_some_and(|said| said.facts.is_empty() && said.items.iter().any(Item::is_named));
    let plain = lone.item.sets.is_none() && lone.item.build.is_none() && lone.clause.join == Join::Comma;
    let listed = before && plain && a.line_comes_below(lone.i);
    let named = matches!(&a.cur.pending[..], [only] if a.cur.name == a.doc.typed(only.item.from, only.item.to));
    if listed && named {
        a.cur.name.clear();
    }
}

/// `squats, lunges, 20 kg`: they still wait for their dose
pub fn more_about_names(a: &mut Assembler<'_, '_>, lone: &Lone<'_>) -> bool {
    let waits = !a.cur.pending.is_empty();
    if waits {
        tell(a, lone);
    }
    waits
}

/// `Gravel waltz 4 x 8`: what nobody knows stands before its sets, and is asked about
pub fn a_strange_name(a: &mut Assembler<'_, '_>, lone: &Lone<'_>) -> bool {
    if !is_whole_dose(&lone.item) || lone.item.sets.is_none() || !a.cur.rows.is_empty() {
        return false;
    }
    let known = a.name_of_nothing_known(&lone.item, lone.i);
    let Some(name) = known.or_else(|| a.behind_heading(&lone.item, lone.i)) else { return false };
    let named = Item { unknown: Some(name), from: name.0, ..lone.item.clone() };
    a.row(named, lone.span, lone.i);
    true
}

/// The lift that the part above ended with, or the heading is.
pub fn a_name_above(a: &mut Assembler<'_, '_>, lone: &Lone<'_>) -> bool {
    let c = lone.clause;
    // `5 min easy row. Rest 3 min, then 2000 m for time`
    let raced = c.join == Join::Then && c.said.facts.for_time.is_some() && lone.dose().is_some_and(|q| q.unit == Unit::Metres);
    if !(is_whole_dose(&lone.item) || raced) || !a.cur.rows.is_empty() {
        return false;
    }
    let then = c.join == Join::Then && !c.colon || !a.lines_follow(lone.i);
    let percent = matches!(lone.item.load, Some(Load::Percent { .. }));
    let lifted = |r: &Row| !matches!(r.item.movement, Some(Name::Known(m)) if percent && !a.library.all()[m].needs_weight());
    let same = |it: &Item| raced && it.dose.as_ref().map(|q| q.amount.high()) == lone.dose().map(|q| q.amount.high());
    if let Some(told) = a.coming.take_if(|it| same(it)) {
        // `Today we row 1 km`, a warm-up, and then `1 km for time`
        a.row(Item { movement: told.movement, ..lone.item.clone() }, lone.span, lone.i);
        return true;
    }
    let above = a.cur.carried.as_ref().is_some_and(|r| (then || r.line == c.line) && lifted(r));
    let Some(mut row) = a.cur.carried.take_if(|_| above) else { return false };
    let load = lone.item.load.clone().or_else(|| a.dropped_from(&row.item, lone.i));
    row.item = Item { movement: row.item.movement, unknown: row.item.unknown, load, ..lone.item.clone() };
    row.line = c.line;
    a.cur.rows.push(row);
    a.cur.said.push(lone.span);
    true
}

/// Sets and what each is, or a build.
fn is_whole_dose(item: &Item) -> bool {
    item.build.is_some() || item.sets.is_some() && (item.dose.is_some() || item.max.is_some() && item.load.is_some())
}

fn tell(a: &mut Assembler<'_, '_>, lone: &Lone<'_>) {
    for row in &mut a.cur.pending {
        merge(&mut row.item, &lone.item);
    }
    a.cur.said.push(lone.span);
}
