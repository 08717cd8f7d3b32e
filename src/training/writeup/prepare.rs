//! Between the draft and the session: rows that are really several lines, and several rows that are really one.

mod tries;
mod turns;

use super::super::dose::{Amount, Load, Side};
use super::super::movement::Unit as Counted;
use super::super::movement::{Implement, Library, Pattern};
use super::super::session::Role;
use super::doses::hand;
use super::draft::{Draft, Row, Sheet};
use super::element::{Doc, Heading, Name};
use super::item::{Facts, Item, Span};
use super::quantity::{Quantity, Unit};
use super::written_out;

/// Puts the rows of every part right.
pub fn prepare(sheet: &mut Sheet, doc: &Doc, library: &Library) {
    tries::in_turn(sheet, doc);
    for draft in &mut sheet.parts {
        one_of(draft, doc, library);
        draft.rows.iter_mut().for_each(|row| pair_of_loads(row, doc, library));
        let counted = |r: &&mut Row| r.item.sets.is_none() && r.item.dose.is_some();
        let swaps = draft.rows.iter_mut().filter(counted).flat_map(|r| &mut r.alternatives);
        swaps.for_each(|swap| pair_of_swap(swap, library));
        one_machine_of(draft, doc, library);
        opens_once(draft);
        turns::lettered_windows(draft);
        turns::odd_and_even(draft, doc);
        sheet.unread.extend(turns::minutes_of_each(draft));
        turns::each_minute(draft);
        one_every(draft, doc);
        hard_and_easy(draft, doc);
        windows(draft, library);
        to_the_limit(draft);
        rests(draft);
        apart(draft, library);
        hands(&mut draft.rows, doc);
        grows(draft);
        written_out::rungs(draft, doc);
    }
}

/// `35 min zone 2 - run, bike, row or brisk walk`: one time, and a choice of how.
fn one_of(draft: &mut Draft, doc: &Doc, library: &Library) {
    let moves = |n: Name| match n {
        Name::Known(i) => library.all()[i].pattern == Pattern::Cyclical,
        Name::Row => true,
        Name::Squat => false,
    };
    let alone = |it: &Item| !it.is_dosed() && it.load.is_none() && it.movement.is_some_and(moves);
    let comma = |a: &Row, b: &Row| a.line == b.line && (a.item.to..b.item.from).all(|t| doc.tokens[t].is(","));
    let Some(first) = draft.rows.iter().position(|r| {
        r.item.sets.is_none()
            && r.item.movement.is_some_and(moves)
            && r.item.choices.is_empty()
            && r.item.dose.as_ref().is_none_or(|q| matches!(q.unit, Unit::Seconds | Unit::Metres | Unit::Calories))
    }) else {
        return;
    };
    let behind = draft.rows[first..].windows(2).take_while(|w| comma(&w[0], &w[1]) && alone(&w[1].item)).count();
    let last = first + behind;
    if behind == 0 || draft.rows[last].item.choices.is_empty() || draft.rows[last].item.slashed {
        return;
    }
    let others: Vec<Row> = draft.rows.drain(first + 1..=last).collect();
    let row = &mut draft.rows[first];
    for other in others {
        row.item.choices.extend(other.item.movement.map(|n| (n, None)));
        row.item.choices.extend(other.item.choices);
        row.item.to = row.item.to.max(other.item.to);
        row.item.tail.extend(other.item.tail);
        row.notes.extend(other.notes);
        row.at = row.at.zip(other.at).map(|(a, b)| (a.0.min(b.0), a.1.max(b.1)));
    }
}

/// `20 push-ups (or db press 2x12)`: beside a line that has its reps, a pair of weights whose unit is asked for.
fn pair_of_swap(swap: &mut Item, library: &Library) {
    let tool = swap.movement.is_some_and(|name| holds(name, library, &HELD[1..]));
    let heavy = |q: &Quantity| q.unit == Unit::Bare && matches!(q.amount, Amount::One(each) if each >= 4.0);
    if !tool
        || swap.load.is_some()
        || swap.bare_load.is_some()
        || swap.sets != Some(2.0)
        || !swap.dose.as_ref().is_some_and(heavy)
    {
        return;
    }
    swap.bare_load = swap.dose.take().map(|q| q.amount.high());
    (swap.sets, swap.implements) = (None, Some(2));
    swap.bare_at = swap.dose_at.or(Some((swap.from, swap.to)));
}

/// `5 dumbbell clean and jerks 2 x 15`: behind a line that has its reps, a pair of weights whose unit is asked for.
fn pair_of_loads(row: &mut Row, doc: &Doc, library: &Library) {
    let item = &mut row.item;
    let Some(name @ Name::Known(_)) = item.movement else { return };
    if item.load.is_some() || item.bare_load.is_some() {
        return;
    }
    let [(second, None)] = &item.more[..] else { return };
    let (Amount::One(each), Unit::Bare) = (&second.amount, second.unit) else { return };
    let each = *each;
    // `30 swings 2 x 15` are two sets
    let halves = item.dose.as_ref().is_none_or(|q| (q.amount.high() - 2.0 * each).abs() < 0.01);
    let line = doc.tokens[item.from].line;
    let at = (item.from..doc.tokens.len().min(item.from + 40)).take_while(|t| doc.tokens[*t].line == line).find(|t| {
        let number = |k: usize| doc.tokens.get(k).and_then(|n| n.number());
        number(*t) == Some(2.0) && matches!(doc.low(t + 1), "x" | "*") && number(t + 2) == Some(each)
    });
    let with = |t: usize| matches!(doc.low(t.saturating_sub(1)), "with" | "@" | "/" | "using" | "holding");
    let told = |t: &usize| holds(name, library, &HELD[1..]) || with(*t);
    let Some(at) = at.filter(told).filter(|_| !halves && each >= 4.0) else { return };
    (item.bare_load, item.bare_at, item.implements) = (Some(each), Some((at, at + 3)), Some(2));
    item.sets = item.sets.filter(|n| (n - 2.0).abs() > 0.01);
    item.more.clear();
}

/// `1) 12 cal row / 200 m run / 40 double-unders` as a station of an EMOM: one of them, by what somebody has.
fn one_machine_of(draft: &mut Draft, doc: &Doc, library: &Library) {
    if draft.first(|f| f.every).is_none() {
        return;
    }
    let steady = |n: Name| match n {
        Name::Known(i) => library.all()[i].pattern == Pattern::Cyclical || library.all()[i].name.contains("-under"),
        Name::Row => true,
        Name::Squat => false,
    };
    let station = |r: &Row| (r.lead.minute.is_some() || r.lead.number.is_some()) && r.item.movement.is_some_and(steady);
    let mut k = 1;
    while k < draft.rows.len() {
        let (a, b) = (&draft.rows[k - 1], &draft.rows[k]);
        let near = (b.item.from.saturating_sub(2).max(a.item.from)..b.item.from).any(|t| doc.tokens[t].is("/"));
        if a.line == b.line && station(a) && b.item.movement.is_some_and(steady) && near && b.item.is_dosed() {
            let other = draft.rows.remove(k);
            let row = &mut draft.rows[k - 1];
            row.item.to = row.item.to.max(other.item.to);
            row.alternatives.push(other.item);
            row.alternatives.extend(other.alternatives);
            row.notes.extend(other.notes);
        } else {
            k += 1;
        }
    }
}

/// `Warm-up: 3 min skipping, 2 x 10 pull-aparts, 2 x 8 push-ups`: what stands before the lines in sets is done once.
fn opens_once(draft: &mut Draft) {
    let prep = matches!(draft.heading, Some(Heading::WarmUp));
    let first = draft.rows.iter().position(|r| r.item.sets.is_some()).unwrap_or(0);
    let (before, sets) = draft.rows.split_at_mut(first);
    let often = sets.first().and_then(|r| r.item.sets).filter(|n| *n > 1.0);
    let alike = often.is_some() && sets.iter().all(|r| r.item.sets == often && r.role.is_none());
    let timed = |r: &Row| r.role.is_none() && r.item.dose.as_ref().is_some_and(|q| q.unit == Unit::Seconds);
    if prep && alike && before.iter().all(timed) {
        before.iter_mut().for_each(|r| r.role = Some(Role::BuyIn));
    }
}

/// `Pull-up intervals. 40 s max pull-ups, 80 s rest, 5 rounds`: the time of its one line is the work.
fn windows(draft: &mut Draft, library: &Library) {
    let moves = |r: &Row| matches!(r.item.movement, Some(Name::Known(i)) if library.all()[i].pattern == Pattern::Cyclical);
    // `8 x 45 s fast run, 75 s rest`
    let runs = matches!(&draft.rows[..], [row] if row.item.sets.is_some() && row.item.load.is_none() && moves(row));
    // `30 s mountain climbers, 30 s rest, 6 times`: what is counted in reps, and done by the clock
    let counted = |n: Name| matches!(n, Name::Known(i) if library.all()[i].unit == Counted::Reps);
    let often = draft.first(|f| f.rounds.clone()).is_some_and(|r| r.0.low() >= 4.0);
    let clocked = matches!(&draft.rows[..], [row] if row.item.sets.is_none() && row.item.load.is_none() && row.item.movement.is_some_and(counted));
    let told =
        (runs || clocked && often || draft.first(|f| f.intervals.then_some(())).is_some()) && draft.first(|f| f.on_off).is_none();
    let rest = draft.first(|f| f.rest.clone()).and_then(|r| if let Some(Amount::One(s)) = r.0 { Some((s, r.2)) } else { None });
    let ([row], Some((off, span)), true) = (&mut draft.rows[..], rest, told) else { return };
    if let Some(q) = row.item.dose.take_if(|q| q.unit == Unit::Seconds && matches!(q.amount, Amount::One(_))) {
        draft.facts.iter_mut().for_each(|f| f.rest = None);
        draft.facts.push(Facts { on_off: Some((Some(q.amount.high()), Some(off), span)), ..Facts::default() });
        if let Some(sets) = row.item.sets.take() {
            draft.facts.push(Facts { rounds: Some((Amount::One(sets), span)), ..Facts::default() });
        }
    }
}

/// `8 power cleans, one every 45 s`: the count is that of the windows.
fn one_every(draft: &mut Draft, doc: &Doc) {
    let told = |at: Span| at.0 > 0 && matches!(doc.low(at.0 - 1), "one" | "1" | "single" | "rep");
    let Some((every, None, None, at)) = draft.first(|f| f.every).filter(|e| told(e.3)) else { return };
    let [row] = &mut draft.rows[..] else { return };
    let Some(q) = row.item.dose.as_mut().filter(|q| matches!(q.unit, Unit::Bare | Unit::Reps) && row.item.sets.is_none()) else {
        return;
    };
    let Amount::One(n) = q.amount else { return };
    if n > 2.0 && row.item.more.iter().all(|(more, _)| more.amount == Amount::One(1.0)) {
        q.amount = Amount::One(1.0);
        row.item.more.clear();
        draft.facts.iter_mut().filter(|f| f.every.is_some()).for_each(|f| f.every = Some((every, None, Some(n), at)));
    }
}

/// `10 x 1 min bike hard / 1 min bike easy`: one movement by the clock, and the second time is its rest.
fn hard_and_easy(draft: &mut Draft, doc: &Doc) {
    let [first, second] = &draft.rows[..] else { return };
    let told =
        |row: &Row, words: &[&str]| (row.item.from..(row.item.to + 1).min(doc.tokens.len())).any(|t| words.contains(&doc.low(t)));
    let seconds = |row: &Row| match row.item.dose.as_ref().map(|q| (q.unit, &q.amount)) {
        Some((Unit::Seconds, Amount::One(s))) => Some(*s),
        _ => None,
    };
    let (Some(on), Some(off)) = (seconds(first), seconds(second)) else { return };
    let same = first.item.movement.is_some() && first.item.movement == second.item.movement && first.line == second.line;
    let hard = told(first, &["hard", "fast", "sprint", "strong", "quick"]);
    let easy = told(second, &["easy", "slow", "gentle", "light", "relaxed"]);
    let sets = first
        .item
        .sets
        .or_else(|| draft.first(|f| f.rounds.clone()).map(|r| r.0.high()))
        .or(draft.first(|f| f.times).map(|t| t.0));
    let (Some(n), true) = (sets, same && hard && easy && second.item.sets.is_none()) else { return };
    let span = (first.item.from, second.item.to);
    draft.said.push((second.item.from, second.item.to));
    draft.rows.truncate(1);
    (draft.rows[0].item.dose, draft.rows[0].item.sets) = (None, None);
    draft.facts.iter_mut().for_each(|f| (f.rounds, f.times) = (None, None));
    let windows = Facts { on_off: Some((Some(on), Some(off), span)), rounds: Some((Amount::One(n), span)), ..Facts::default() };
    draft.facts.push(windows);
}

/// `1 min off` under rounds that have no work time is their rest.
fn rests(draft: &mut Draft) {
    if draft
        .facts
        .iter()
        .any(|f| f.on_off.is_some_and(|o| o.0.is_some()) || f.amrap.is_some() || f.every.is_some() || f.intervals)
    {
        return;
    }
    for f in draft.facts.iter_mut().filter(|f| f.rest.is_none()) {
        if let Some((_, Some(off), span)) = f.on_off.take() {
            f.rest = Some((Some(Amount::One(off)), false, span));
        }
    }
}

/// `AMRAP pull-ups x 3 sets`: sets to the limit, not a window.
fn to_the_limit(draft: &mut Draft) {
    let sets = draft.first(|f| f.sets.or(f.times));
    let open = draft.first(|f| f.amrap).is_some_and(|a| a.0.is_none()) && draft.first(|f| f.window.clone()).is_none();
    if let ([row], true) = (&mut draft.rows[..], open)
        && row.item.dose.is_none()
        && (sets.is_some() || row.item.sets.is_some())
        && draft.facts.iter().all(|f| f.on_off.is_none() && f.every.is_none())
    {
        row.item.max = row.item.max.or(Some(None));
        draft.facts.iter_mut().for_each(|f| f.amrap = None);
    }
}

/// `thrusters + burpees`: two lines, where it cannot be one repetition with one implement.
fn apart(draft: &mut Draft, library: &Library) {
    if draft.rows.iter().all(|r| r.item.complex.is_empty()) {
        return;
    }
    let list = |q: &Quantity| matches!(q.amount, Amount::Scheme(_) | Amount::Range(..)) && q.sum.is_empty();
    let rungs = draft.scheme.as_ref().is_some_and(|s| s.sets.is_none() && s.dose.as_ref().is_some_and(list));
    draft.rows = std::mem::take(&mut draft.rows)
        .into_iter()
        .flat_map(|row| if is_one_rep(&row.item, rungs, library) { vec![row] } else { pieces(&row, library) })
        .collect();
}

/// All its pieces are done with one and the same implement.
fn is_one_rep(item: &Item, rungs: bool, library: &Library) -> bool {
    if item.complex.is_empty() {
        return true;
    }
    let names = || item.movement.iter().chain(item.complex.iter().map(|(n, _)| n));
    let list =
        item.sets.is_none() && item.dose.as_ref().is_some_and(|q| matches!(q.amount, Amount::Scheme(_)) && q.sum.is_empty());
    // `KB clean + KB press + reverse lunge, 24 kg`: the weight is in the hand all the way
    let loaded = |n: Name| matches!(n, Name::Known(i) if library.all()[i].loadable) || holds(n, library, &HELD);
    let heavy =
        matches!(item.load, Some(Load::Kg { .. } | Load::Lb { .. })) && item.movement.is_some_and(|n| holds(n, library, &HELD));
    let carried = heavy && names().all(|n| loaded(*n));
    let held = carried || names().all(|n| holds(*n, library, &HELD));
    held && (names().all(|n| holds(*n, library, &HELD[..1])) || !(rungs || list))
}

/// `8 swings R, 8 swings L`: one line, its number for each side.
fn hands(rows: &mut Vec<Row>, doc: &Doc) {
    let which = |row: &Row| if let [word] = row.item.tail[..] { hand(doc.low(word.0)) } else { None };
    let mut k = 1;
    while k < rows.len() {
        let (a, b) = (&rows[k - 1], &rows[k]);
        let both = which(a).zip(which(b)).is_some_and(|(x, y)| x != y);
        let alike = a.item.movement == b.item.movement && a.item.dose == b.item.dose && a.item.dose.is_some();
        if both && alike && a.line == b.line && a.lead.minute == b.lead.minute && a.item.side.is_none() {
            let second = rows.remove(k);
            let first = &mut rows[k - 1];
            first.item.side = Some(Side::PerSide);
            first.item.load = first.item.load.take().or(second.item.load);
            first.notes.push((second.item.from, second.item.to));
        } else {
            k += 1;
        }
    }
}

const HELD: [Implement; 5] =
    [Implement::Barbell, Implement::Dumbbell, Implement::Dumbbells, Implement::Kettlebell, Implement::Kettlebells];

fn holds(name: Name, library: &Library, held: &[Implement]) -> bool {
    match name {
        Name::Known(i) => library.all()[i].equipment.iter().flatten().any(|e| held.contains(e)),
        Name::Row | Name::Squat => true,
    }
}

fn pieces(row: &Row, library: &Library) -> Vec<Row> {
    let own = row.item.first.clone().or_else(|| row.item.dose.clone());
    let first = Item { complex: Vec::new(), dose: own, first: None, ..row.item.clone() };
    let rest = row.item.complex.iter().map(|(name, dose)| Item {
        movement: Some(*name),
        dose: dose.clone().or_else(|| row.item.dose.clone()),
        tail: Vec::new(),
        ..first.clone()
    });
    let loaded = |item: Item| match item.movement {
        Some(name) if !holds(name, library, &HELD) => Item { load: None, implements: None, bare_load: None, ..item },
        _ => item,
    };
    std::iter::once(first.clone()).chain(rest).map(|item| Row { item: loaded(item), ..row.clone() }).collect()
}

/// `minute 1: 1 burpee, minute 2: 2 burpees ...`: one line whose number grows by the minute.
fn grows(draft: &mut Draft) {
    let every = draft.first(|f| f.every);
    if let Some((list, _)) = rising(&draft.rows).filter(|(list, _)| list.len() > 2 || draft.first(|f| f.step).is_some()) {
        let told = every.and_then(|e| e.1).is_some_and(|total| (total / 60.0 - list.len() as f64).abs() < 0.01);
        draft.said.extend(draft.rows.drain(1..).map(|r| r.at.unwrap_or((r.item.from, r.item.to))));
        let row = &mut draft.rows[0];
        row.lead.minute = None;
        if let Some(q) = &mut row.item.dose {
            (q.amount, q.open) = (scheme(list), !told);
        }
        if every.is_none() {
            draft.facts.push(Facts { every: Some((60.0, None, None, (row.item.from, row.item.to))), ..Facts::default() });
        }
        return;
    }
    if let (None, Some(step)) = (every, draft.first(|f| f.step)) {
        return climbs(draft, step);
    }
    let (Some(_), Some(step), [row]) = (every, draft.first(|f| f.step), &mut draft.rows[..]) else { return };
    if row.role == Some(Role::BuyIn) || row.item.sets.is_some() {
        return;
    }
    row.item.max = None;
    match &mut row.item.dose {
        Some(q) => q.open = matches!(q.unit, Unit::Bare | Unit::Reps | Unit::Calories),
        None => row.item.dose = Some(Quantity { open: true, ..Quantity::bare(scheme(vec![step, 2.0 * step, 3.0 * step])) }),
    }
}

/// `start with 2 of each, add 2 every round`: the first rungs of a ladder that goes on.
fn climbs(draft: &mut Draft, step: f64) {
    let rungs = |q: &mut Quantity| {
        if let (Amount::One(n), Unit::Bare | Unit::Reps | Unit::Calories) = (&q.amount, q.unit) {
            (q.amount, q.open) = (scheme(vec![*n, n + step, n + 2.0 * step]), true);
        }
    };
    draft.scheme.iter_mut().filter_map(|s| s.dose.as_mut()).for_each(rungs);
    let each_row = draft.rows.iter_mut().filter(|r| r.role.is_none() && r.item.sets.is_none());
    each_row.filter_map(|r| r.item.dose.as_mut()).for_each(rungs);
}

fn scheme(list: Vec<f64>) -> Amount {
    match list[..] {
        [one] => Amount::One(one),
        [a, b] => Amount::Range(a, b),
        _ => Amount::Scheme(list),
    }
}

/// The counts of rows that do one movement minute by minute, each by as much more than the one before.
fn rising(rows: &[Row]) -> Option<(Vec<f64>, f64)> {
    let first = rows.first().filter(|r| r.item.movement.is_some() && r.item.more.is_empty())?;
    let counts: Vec<f64> = rows
        .iter()
        .map(|r| match r.item.dose.as_ref().map(|q| (&q.amount, q.unit)) {
            Some((Amount::One(n), Unit::Bare | Unit::Reps | Unit::Calories)) if r.item.movement == first.item.movement => {
                Some(*n)
            }
            _ => None,
        })
        .collect::<Option<_>>()?;
    let minutes = rows.windows(2).all(|w| w[0].lead.minute.zip(w[1].lead.minute).is_some_and(|(a, b)| b == a + 1));
    let step = counts.get(1)? - counts[0];
    let even = step > 0.0 && counts.windows(2).all(|w| (w[1] - w[0] - step).abs() < 0.01);
    (minutes && even).then_some((counts, step))
}
