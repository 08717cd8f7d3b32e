//! What is said of lines that stand already.

use super::super::super::super::dose::Load;
use super::super::super::clause::Join;
use super::super::super::item::Item;
use super::super::super::quantity::Unit;
use super::super::Assembler;
use super::super::rows::{columns_of_load, merge};
use super::{Lone, is_one_count, is_reps, is_seconds};

/// `then max calories in the time left`: on the machine that stands above
pub fn calories_in_the_time_left(a: &mut Assembler<'_, '_>, lone: &Lone<'_>) -> bool {
    let item = &lone.item;
    let most = item.max == Some(Some(Unit::Calories)) && item.dose.is_none() && item.sets.is_none();
    if !most || !a.cur.pending.is_empty() || !a.cur.rows.last().is_some_and(|r| r.item.is_dosed()) {
        return false;
    }
    let calories = |it: &Item| it.dose.as_ref().is_some_and(|q| q.unit == Unit::Calories);
    let Some(machine) = a.cur.rows.iter().rfind(|r| calories(&r.item)) else { return false };
    let named = Item { movement: machine.item.movement, ..item.clone() };
    a.row(named, lone.span, lone.i);
    true
}

/// `then max calories in the time left` where no machine stands above: kept as it was typed, and asked about
pub fn most_of_what_nobody_names(a: &mut Assembler<'_, '_>, lone: &Lone<'_>) -> bool {
    let most = matches!(lone.item.max, Some(Some(_))) && lone.item.dose.is_none() && lone.item.sets.is_none();
    let unnamed = most && lone.clause.join == Join::Then && a.says_left(lone.i);
    let dosed = a.cur.pending.is_empty() && a.cur.rows.last().is_some_and(|r| r.item.dose.is_some());
    if unnamed && dosed {
        a.sheet.unread.push(lone.span);
        a.note(lone.span);
    }
    unnamed && dosed
}

/// `min 1: 1 burpee, min 2: 2`
pub fn the_next_minute(a: &mut Assembler<'_, '_>, lone: &Lone<'_>) -> bool {
    let minutes = |row: &&super::Row| row.lead.minute.is_some() && lone.clause.lead.minute.is_some() && is_reps(&row.item);
    let Some(row) = a.cur.rows.last().filter(minutes) else { return false };
    if !is_reps(&lone.item) || lone.item.sets.is_some() {
        return false;
    }
    let named = Item { movement: row.item.movement, unknown: row.item.unknown, ..lone.item.clone() };
    a.row(named, lone.span, lone.i);
    true
}

/// `pigeon 90 s each side, chest on doorway 1 min`: kept as it was typed, and asked about
pub fn words_nobody_knows(a: &mut Assembler<'_, '_>, lone: &Lone<'_>) -> bool {
    let strange = a.strange_words_before(&lone.item, lone.i);
    if strange {
        a.sheet.unread.push(lone.span);
        a.note(lone.span);
    }
    strange
}

/// A time on the line or right below it that the row's count is done in.
pub fn counted_in_its_window(a: &mut Assembler<'_, '_>, lone: &Lone<'_>) -> bool {
    let c = lone.clause;
    let right_below = c.join == Join::Line && !c.blank && a.line + 1 == c.line;
    let counted = (lone.on_line || right_below) && a.counted_in_window(&lone.item);
    if counted {
        a.cur.said.push(lone.span);
    }
    counted
}

/// `8 x 20 s sprint on the bike, 40 s easy`
pub fn easy_between(a: &mut Assembler<'_, '_>, lone: &Lone<'_>) -> bool {
    is_seconds(&lone.item) && a.easy_between(&lone.item, lone.i)
}

/// `20 kg, 24 kg` behind a row: a second load for others
pub fn columns(a: &mut Assembler<'_, '_>, lone: &Lone<'_>) -> bool {
    let Some(row) = a.cur.rows.last_mut().filter(|_| lone.on_line && lone.clause.join == Join::Comma) else { return false };
    let taken = columns_of_load(&mut row.item, &lone.item);
    if taken {
        row.item.to = row.item.to.max(lone.item.to);
    }
    taken
}

/// `60 kg for most, 40 kg for some`, `24 kg for the guys, 16 kg for the girls`: a load for these and a load for those are two
/// columns.
pub fn load_of_others(a: &mut Assembler<'_, '_>, lone: &Lone<'_>) -> bool {
    let c = lone.clause;
    let behind = lone.on_line && c.join == Join::Comma && !lone.item.is_dosed();
    let Some(row) = a.cur.rows.last().filter(|_| behind) else { return false };
    let both = a.says_for_whom(row.item.from, c.from) && a.says_for_whom(lone.item.from, c.to);
    let (Some(one), Some(two)) = (&row.item.load, &lone.item.load) else { return false };
    let load = match (one, two) {
        (Load::Kg { values: a, range: false }, Load::Kg { values: b, range: false }) if a.len() == 1 && b.len() == 1 => {
            Load::Kg { values: vec![a[0].max(b[0]), a[0].min(b[0])], range: false }
        }
        (Load::Lb { values: a, range: false }, Load::Lb { values: b, range: false }) if a.len() == 1 && b.len() == 1 => {
            Load::Lb { values: vec![a[0].max(b[0]), a[0].min(b[0])], range: false }
        }
        _ => return false,
    };
    if !both {
        return false;
    }
    if let Some(row) = a.cur.rows.last_mut() {
        row.item.load = Some(load);
        row.notes.push((lone.item.from, c.said.to.min(lone.item.to + 3)));
    }
    true
}

/// Further sets of the same lift, or what the other hand does.
pub fn more_of_it(a: &mut Assembler<'_, '_>, lone: &Lone<'_>) -> bool {
    a.more_sets(&lone.item, lone.i) || lone.on_line && a.other_hand(&lone.item, lone.i)
}

/// `60 kg x 5` and below it `70 kg x 3`
pub fn a_weight_and_its_reps(a: &mut Assembler<'_, '_>, lone: &Lone<'_>) -> bool {
    let weighed = |it: &Item| is_one_count(it) && it.load.is_some();
    let said = weighed(&lone.item) && lone.item.sets.is_none() && a.cur.pending.is_empty();
    let Some(row) = a.cur.rows.last_mut().filter(|r| said && weighed(&r.item)) else { return false };
    merge(&mut row.item, &lone.item);
    a.cur.said.push(lone.span);
    true
}

/// `5 @ 60%, 3 x 3 @ 80%`: three more sets of the same list
pub fn more_sets_at_a_weight(a: &mut Assembler<'_, '_>, lone: &Lone<'_>) -> bool {
    let behind = lone.on_line && lone.clause.join == Join::Comma && lone.item.load.is_some();
    let (Some(sets), Some(q), true) = (lone.item.sets.filter(|n| *n <= 10.0), lone.dose(), behind) else { return false };
    let weighed = |r: &&mut super::Row| r.item.sets.is_none() && r.item.load.is_some() && r.item.dose.is_some();
    let Some(row) = a.cur.rows.last_mut().filter(weighed) else { return false };
    let more = (1..=10).take_while(|k| f64::from(*k) <= sets).map(|_| (q.clone(), lone.item.load.clone()));
    row.item.more.extend(more);
    row.item.to = row.item.to.max(lone.clause.to);
    true
}

/// What the row on the same typed line lacks.
pub fn the_row_before(a: &mut Assembler<'_, '_>, lone: &Lone<'_>) -> bool {
    let free = lone.on_line && a.cur.pending.is_empty();
    let Some(row) = a.cur.rows.last_mut().filter(|_| free) else { return false };
    if !merge(&mut row.item, &lone.item) {
        return false;
    }
    row.item.to = row.item.to.max(lone.clause.to);
    a.cur.said.push(lone.span);
    each_before(a, lone);
    true
}

/// `pigeon, couch stretch, 2 min each side`: names before it on the line that have no dose are done as long.
fn each_before(a: &mut Assembler<'_, '_>, lone: &Lone<'_>) {
    let line = lone.clause.line;
    let held = lone.is_time() && lone.item.side.is_some() && lone.item.load.is_none();
    let bare = |r: &super::Row| r.line == line && !r.item.is_dosed() && r.item.load.is_none() && r.item.complex.is_empty();
    let rows = a.cur.rows.len();
    let before = a.cur.rows[..rows - 1].iter().rev().take_while(|r| bare(r)).count();
    if held && a.cur.rows.iter().all(|r| r.line == line) || held && before > 0 && a.cur.first(|f| f.on_off).is_none() {
        for row in &mut a.cur.rows[rows - 1 - before..rows - 1] {
            merge(&mut row.item, &lone.item);
        }
    }
}

/// `12 deadlifts, 9 hang cleans, all at 60/40 kg`: of every line above that has none.
pub fn load_of_all_beside(a: &mut Assembler<'_, '_>, lone: &Lone<'_>) -> bool {
    let all = matches!(a.doc.low(lone.clause.said.from), "all" | "everything" | "both") && lone.clause.join == Join::Comma;
    let told = lone.item.load.is_some() && !lone.item.is_dosed() && !matches!(lone.item.load, Some(Load::Rpe(_)));
    let unloaded = a.cur.rows.iter().all(|r| r.item.load.is_none());
    if !(all && told && lone.on_line && a.cur.rows.len() > 1 && unloaded) {
        return false;
    }
    a.cur.load_of_all = Some(lone.item.clone());
    a.cur.said.push(lone.span);
    true
}

/// `all at 20 kg` below several lines speaks of every one of them.
pub fn load_of_all_above(a: &mut Assembler<'_, '_>, lone: &Lone<'_>) -> bool {
    let c = lone.clause;
    let told = lone.item.load.is_some() && !lone.item.is_dosed();
    let effort = matches!(lone.item.load, Some(Load::Rpe(_)));
    let whole = effort && c.sentence && a.cur.rows.last().is_some_and(|r| r.line != c.line);
    let unloaded = a.cur.rows.iter().all(|r| r.item.load.is_none());
    if !told || a.cur.rows.len() < 2 || !whole && (c.join != Join::Line || !unloaded) {
        return false;
    }
    if effort {
        for row in a.cur.rows.iter_mut().filter(|r| r.item.load.is_none()) {
            merge(&mut row.item, &lone.item);
        }
    } else {
        a.cur.load_of_all = Some(lone.item.clone());
    }
    a.cur.said.push(lone.span);
    true
}

/// The last row takes what it lacks: a dose where it has none, or what is no dose.
pub fn the_last_row(a: &mut Assembler<'_, '_>, lone: &Lone<'_>) -> bool {
    let undosed = a.cur.rows.last().is_some_and(|r| !r.item.is_dosed());
    let Some(row) = a.cur.rows.last_mut().filter(|_| undosed || !lone.item.is_dosed()) else { return false };
    let merged = merge(&mut row.item, &lone.item);
    if merged {
        a.cur.said.push(lone.span);
    }
    merged
}

/// `@ 75 %. Leave 2 in the tank.`: said of a line that has its load
pub fn effort_beside_a_load(a: &mut Assembler<'_, '_>, lone: &Lone<'_>) -> bool {
    let effort = matches!(lone.item.load, Some(Load::Rpe(_) | Load::Rir(_))) && !lone.item.is_dosed();
    let beside = effort && a.cur.rows.last().is_some_and(|r| matches!(r.item.load, Some(Load::Percent { .. })));
    if beside {
        a.note(lone.span);
    }
    beside
}
