//! How much and how heavy: sets and reps, loads, sides, tempo, effort.

mod date;
mod effort;
mod for_whom;
mod load;
mod numbered;
mod remark;
mod sets;
mod side;
mod tempo;
mod unlike;

use date::date;
use effort::{build, build_name, effort, max};
use for_whom::for_whom;
pub use load::EACH_HAND;
use load::{at_load, from_to, held, in_each_hand, percent, plural_load, weight};
use numbered::{for_a_minute, ordinal};
use remark::{limb, of_the_day};
use sets::{in_sets_of, pieces, sets_in_brackets, sets_of};
pub use side::hand;
use side::{side, split};
use tempo::{tempo, tempo_code, with_nought};
pub use unlike::unlike;

use super::super::dose::{Amount, Side};
use super::clocks;
use super::element::{Doc, Element, What};
use super::quantity::{Quantity, Unit, quantity};
use super::token::Kind;

/// Tells whether a movement's name begins at a token.
pub type NameAt<'a> = &'a dyn Fn(usize) -> bool;

/// The dose mark at token `i`, and how many tokens it takes.
pub fn read(doc: &Doc, i: usize, before: Option<&Element>, name_at: NameAt) -> Option<(What, usize)> {
    date(doc, i)
        .or_else(|| unlike(doc, i).map(|n| (What::Word, n)).or_else(|| for_whom(doc, i)))
        .or_else(|| limb(doc, i).or_else(|| of_the_day(doc, i)))
        .or_else(|| keyed(doc, i))
        .or_else(|| tempo(doc, i))
        .or_else(|| from_to(doc, i))
        .or_else(|| at_load(doc, i))
        .or_else(|| effort(doc, i))
        .or_else(|| build(doc, i).or_else(|| build_name(doc, i, name_at)))
        .or_else(|| max(doc, i))
        .or_else(|| in_each_hand(doc, i, before))
        .or_else(|| side(doc, i))
        .or_else(|| plural_load(doc, i, before))
        .or_else(|| times(doc, i, before))
        .or_else(|| held(doc, i, name_at).or_else(|| number_word_implements(doc, i, name_at)))
        .or_else(|| in_sets_of(doc, i))
        .or_else(|| told_by_key(doc, i).or_else(|| twice(doc, i)).or_else(|| minute_of(doc, i, name_at)))
        .or_else(|| for_a_minute(doc, i, before).or_else(|| ordinal(doc, i)))
        .or_else(|| counted(doc, i, name_at))
        .or_else(|| unit_word(doc, i, name_at))
}

/// `each side`, `per arm` stand at token `i`.
#[must_use]
pub fn says_per_side(doc: &Doc, i: usize) -> bool {
    matches!(side(doc, i), Some((What::Side(Side::PerSide), _)))
}

/// `Sets: 5`, `Reps: 8-10`, `Load: 75 %`: the word before the colon says what the number behind it counts.
fn keyed(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let q = doc.tokens.get(i + 1..).and_then(quantity).filter(|q| q.unit == Unit::Bare && doc.low(i + 1 + q.tokens) == ":");
    if let (Some(Amount::Range(first, last)), "rounds" | "round") = (q.map(|q| q.amount), doc.low(i))
        && (first - 1.0).abs() < 0.01
    {
        // `Rounds 1-4: ...`
        return Some((What::Dose(Quantity { unit: Unit::Rounds, ..Quantity::bare(Amount::One(last)) }), 4));
    }
    let colon = matches!(doc.low(i + 1), ":" | "=");
    let kind = i > 0 && doc.tokens[i - 1].kind == Kind::Word && matches!(doc.low(i), "sets" | "reps");
    if kind && quantity(doc.tokens.get(i + 2..)?).is_some_and(|q| doc.low(i + 2 + q.tokens) == "@") {
        // `Warm-up sets: 5 @ 40%, 3 @ 60%`: what kind of sets, and not how many
        return None;
    }
    let q = quantity(doc.tokens.get(i + 2..).filter(|_| colon)?)?;
    let unit = match doc.low(i) {
        "sets" => Unit::Sets,
        "reps" => Unit::Reps,
        "rounds" => Unit::Rounds,
        // the number says itself what it counts
        "load" | "loads" | "weight" | "weights" | "intensity" | "work" if q.unit != Unit::Bare => return Some((What::Dash, 2)),
        _ => return None,
    };
    let plain = q.unit == Unit::Bare && !q.negative && !is_x(doc, i + 2 + q.tokens);
    plain.then(|| (What::Dose(Quantity { unit, ..q.clone() }), 2 + q.tokens))
}

fn is_x(doc: &Doc, i: usize) -> bool {
    matches!(doc.low(i), "x" | "×" | "*")
}

/// `x 6`, `x6 rounds` behind something.
fn times(doc: &Doc, i: usize, before: Option<&Element>) -> Option<(What, usize)> {
    if !is_x(doc, i) {
        return None;
    }
    let q = quantity(doc.tokens.get(i + 1..)?)?;
    if before.is_none_or(|b| matches!(b.what, What::Newline)) {
        // `x2` alone on its line: all of it twice
        let alone = doc.tokens.get(i + 1 + q.tokens).is_none_or(|t| t.kind == Kind::Newline);
        let whole = matches!((&q.amount, q.unit), (Amount::One(n), Unit::Bare) if n.fract() == 0.0 && *n > 1.0);
        return (alone && whole).then(|| (What::Dose(Quantity { unit: Unit::Rounds, ..q.clone() }), 1 + q.tokens));
    }
    if doc.says_any(i + 1 + q.tokens, &["on", "work", "of work", "amrap", "emom"]).is_some()
        || clocks::both_halves(doc, i + 1 + q.tokens, &q)
    {
        return None;
    }
    let windowed = before.is_some_and(|b| matches!(b.what, What::Every { .. } | What::Amrap(_)));
    match (&q.amount, q.unit) {
        // `complex x 5 rounds`
        (Amount::One(_), Unit::Rounds) if !windowed => Some((What::Dose(q.clone()), 1 + q.tokens)),
        (Amount::One(n), Unit::Bare | Unit::Rounds | Unit::Sets) => Some((What::Times(*n), 1 + q.tokens)),
        (Amount::Range(..), Unit::Rounds) => None,
        // `squat 5 x 60 kg`
        (_, Unit::Kg | Unit::Lb) => Some((What::Load(weight(&q), None), 1 + q.tokens)),
        (_, Unit::Percent) => {
            let (what, used) = percent(doc, i + 1, q);
            Some((what, 1 + used))
        }
        // `squat x 5 reps`, `plank x 30 s`: the mark is only glue
        (_, _) => Some((What::Dose(q.clone()), 1 + q.tokens)),
    }
}

/// `one dumbbell`, `2 DBs`, `a pair of kettlebells`, `same DBs`
fn number_word_implements(doc: &Doc, i: usize, name_at: NameAt) -> Option<(What, usize)> {
    let tool = |at: usize| {
        matches!(
            doc.plain.get(at).map(String::as_str),
            Some("dumbbell" | "kettlebell" | "weight" | "implement" | "bell" | "bag" | "backpack")
        )
    };
    let load = |at: usize| {
        tool(at) || matches!(doc.low(at), "load" | "loads" | "bells" | "kg" | "bar" | "weight" | "weights" | "as" | "pair")
    };
    if doc.low(i) == "same" && load(i + 1) {
        return Some((What::Same, 2 + usize::from(doc.low(i + 1) == "as" && doc.low(i + 2) == "above")));
    }
    let (n, used) = match doc.low(i) {
        "one" | "single" | "1" => (1, 1),
        "two" | "2" | "double" => (2, 1),
        "pair" => (2, 1 + 2 * usize::from(doc.low(i + 1) == "of")),
        _ => return None,
    };
    if doc.low(i) == "pair" && i > 0 && doc.low(i - 1) == "the" {
        return None;
    }
    if doc.low(i) == "pair" {
        // `a pair of kettlebells`, `pair of 50/35 lb`
        let of = usize::from(doc.low(i + 1) == "of");
        let noun = usize::from(of > 0 && doc.tokens.get(i + 2).is_some_and(|t| t.number().is_none()));
        return Some((What::Implements(2), 1 + of + noun));
    }
    // `2 kb swings` counts swings
    (tool(i + used) && !name_at(i + used)).then_some((What::Implements(n), used + 1))
}

/// `cal row` under `30-20-10`
fn unit_word(doc: &Doc, i: usize, name_at: NameAt) -> Option<(What, usize)> {
    let unit = match doc.low(i) {
        "cal" | "cals" | "calorie" | "calories" | "kcal" => Unit::Calories,
        "m" | "metre" | "meter" | "metres" | "meters" => Unit::Metres,
        _ => return None,
    };
    // `calories on the rower`
    let mut at = i + 1;
    if doc.low(at) == "on" && unit == Unit::Calories {
        at += 1 + usize::from(matches!(doc.low(at + 1), "the" | "a" | "any" | "your"));
    }
    name_at(at).then_some((What::UnitWord(unit), at - i))
}

/// `sets: 4`, `reps = 8-10`, each by itself on a line or between commas.
fn told_by_key(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let unit = match doc.low(i) {
        "sets" | "set" => Unit::Sets,
        "reps" => Unit::Reps,
        "rounds" => Unit::Rounds,
        _ => return None,
    };
    let opens = i == 0
        || matches!(doc.tokens[i - 1].kind, Kind::Newline)
        || matches!(doc.low(i - 1), "," | ";" | "|" | "(" | "-" | "•" | "/");
    let gap = usize::from(matches!(doc.low(i + 1), ":" | "="));
    let q = quantity(doc.tokens.get(i + 1 + gap..)?).filter(|q| q.unit == Unit::Bare || q.unit == unit)?;
    let end = i + 1 + gap + q.tokens;
    let closes =
        doc.tokens.get(end).is_none_or(|t| t.kind == Kind::Newline || matches!(t.text, "," | ";" | "|" | ")" | "/" | "."))
            || side(doc, end).is_some();
    (gap > 0 && opens && closes).then_some((What::Dose(Quantity { unit, ..q }), end - i))
}

/// A number with whatever it counts: sets and reps, load, side, or a plain dose.
fn counted(doc: &Doc, i: usize, name_at: NameAt) -> Option<(What, usize)> {
    let rest = doc.tokens.get(i..)?;
    if i > 0
        && (names_its_number(doc.low(i - 1)) || doc.low(i - 1) == "wave" && doc.tokens[i].kind == Kind::Word)
        && clocks::count(doc, i).is_some_and(|n| n < 40.0)
        && !is_x(doc, i + 1)
        && doc.low(i + 1) != "times"
        && !doc.tokens[i - 1].is(":")
    {
        return Some((What::Word, 1));
    }
    if let Some((list, used)) = spaced_list(doc, i) {
        return Some((What::Dose(Quantity { tokens: used, ..Quantity::bare(Amount::Scheme(list)) }), used));
    }
    let q = quantity(rest)?;
    if let Some(n) =
        doc.says_any(i, &["one pass", "1 pass", "single pass", "one time through", "once through", "one run through"])
    {
        return Some((What::Word, n));
    }
    let glued = |at: usize| doc.tokens.get(at).is_some_and(|t| !t.spaced);
    if q.tokens == 1
        && q.unit == Unit::Bare
        && matches!(doc.low(i + 1), "-" | "–")
        && glued(i + 1)
        && glued(i + 2)
        && doc.tokens.get(i + 2).is_some_and(|t| t.kind == Kind::Word)
        && !name_at(i + 2)
        && !is_x(doc, i + 2)
    {
        // `two-part`, `3-position`
        return Some((What::Word, 3));
    }
    if q.tokens == 1 && matches!(doc.low(i + 1), "position" | "part" | "point" | "stage") {
        return Some((What::Word, 2));
    }
    if q.tokens == 1 && stands_for_something(doc, i, name_at) {
        return None;
    }
    let end = i + q.tokens;
    if let Some(found) = pieces(doc, i, &q, name_at) {
        return Some(found);
    }
    let opens = i == 0 || matches!(doc.tokens[i - 1].kind, Kind::Newline) || matches!(doc.low(i - 1), ":" | "." | ")");
    if let Some(found) = sets_in_brackets(doc, i, &q) {
        return Some(found);
    }
    let opens = opens
        || i > 0
            && matches!(doc.low(i - 1), "superset" | "circuit" | "triset" | "pair" | "complex" | "up" | "warmup" | "wu" | "flow");
    let opens = opens || i > 1 && matches!(doc.low(i - 2), "superset" | "circuit" | "triset") && doc.tokens[i - 1].chars == 1;
    let closes = matches!(doc.low(end + 1), "(" | "[") || opens && matches!(doc.low(end + 1), ":" | "\n");
    if is_x(doc, end) && closes && matches!((&q.amount, q.unit), (Amount::One(_), Unit::Bare)) {
        // `5 x (5 swings + 5 goblet squats)`
        let used = q.tokens + 1;
        return Some((What::Dose(Quantity { unit: Unit::Rounds, ..q }), used));
    }
    if q.unit == Unit::Metres && matches!(doc.low(end), "pace" | "effort" | "speed") {
        // `6 x 400 m @ 5k pace`
        return Some((What::Word, q.tokens + 1));
    }
    if q.unit == Unit::Bare && doc.low(end) == "scores" {
        // `two scores: time + seconds`
        return Some((What::Score, q.tokens + 1));
    }
    if q.unit == Unit::Seconds && matches!(doc.low(end), "mark" | "point") {
        // `at the 6 min mark`: when, not how long
        return Some((What::Word, q.tokens + 1));
    }
    if q.unit == Unit::Seconds && matches!(doc.low(end), "clock" | "window") && !matches!(doc.low(end + 1), "x" | "×") {
        let used = q.tokens + 1;
        return Some((What::Dose(q), used));
    }
    // `3 more doubles`
    let more = usize::from(matches!(doc.low(end), "more" | "further" | "heavy" | "easy") && doc.low(end + 1).ends_with("les"));
    let each = ["singles", "doubles", "triples"].iter().zip(1..).find(|(w, _)| doc.low(end + more) == **w);
    let each = each.map(|(_, n)| f64::from(n));
    if let (Some(each), Amount::One(n), Unit::Bare, false) = (each, &q.amount, q.unit, name_at(end + more)) {
        // `3 doubles at 85%`
        return Some((What::SetsOf(*n, Quantity { unit: Unit::Reps, ..Quantity::bare(Amount::One(each)) }), q.tokens + 1 + more));
    }
    if let Some(height) = height(doc, i, &q).filter(|_| !name_at(end)) {
        return Some(height);
    }
    if let Some(found) = load::pairs(doc, i).or_else(|| sets_of(doc, i, &q, name_at)) {
        return Some(found);
    }
    if let Some(found) = split(doc, i, &q) {
        return Some(found);
    }
    if let Some(n) = doc.says_any(
        end,
        &["times through", "time through", "x through", "times round", "times around", "x around", "x round", "turns", "tours"],
    ) && matches!(q.unit, Unit::Bare)
    {
        return Some((What::Dose(Quantity { unit: Unit::Rounds, ..q.clone() }), q.tokens + n));
    }
    if let (Amount::One(n), Unit::Bare) = (&q.amount, q.unit) {
        if matches!(doc.low(end), "stations" | "station" | "exercises" | "movements" | "moves") && *n >= 1.0 {
            return Some((What::Stations(*n), q.tokens + 1));
        }
        if matches!(doc.low(end), "times") && !name_at(end + 1) {
            return Some((What::Dose(Quantity { unit: Unit::Rounds, ..q.clone() }), q.tokens + 1));
        }
    }
    match q.unit {
        // how steep, how full: nothing about a lift
        Unit::Percent if matches!(doc.low(end), "incline" | "grade" | "gradient" | "slope" | "hill" | "uphill" | "climb") => {
            Some((What::Word, q.tokens + 1))
        }
        Unit::Percent => Some(percent(doc, i, q)),
        // what is worn is no load of a line
        Unit::Kg | Unit::Lb if doc.says_any(end, &["vest", "weight vest", "weighted vest"]).is_some() => {
            Some((What::Word, q.tokens + 1))
        }
        Unit::Kg | Unit::Lb if adds(doc, i) => Some((What::Word, q.tokens)),
        Unit::Kg | Unit::Lb => Some((What::Load(weight(&q), None), q.tokens)),
        _ => {
            let used = q.tokens;
            Some((What::Dose(q), used))
        }
    }
}

/// `10 9 8 7 6 5 4 3 2 1` with nothing else on the line: rungs.
fn spaced_list(doc: &Doc, i: usize) -> Option<(Vec<f64>, usize)> {
    let opens = i == 0 || doc.tokens[i - 1].kind == Kind::Newline;
    let whole = |t: usize| doc.tokens.get(t).and_then(|t| t.number()).filter(|n| n.fract() == 0.0 && (1.0..=100.0).contains(n));
    let list: Vec<f64> = (i..).map_while(whole).take(30).collect();
    let used = list.len();
    let ends = doc.tokens.get(i + used).is_none_or(|t| t.kind == Kind::Newline);
    (opens && ends && used > 2).then_some((list, used))
}

/// `finish with a minute of plank`
fn minute_of(doc: &Doc, i: usize, name_at: NameAt) -> Option<(What, usize)> {
    let n = doc.says_any(i, &["a minute of", "a full minute of", "one full minute of"])?;
    let minute = Quantity { unit: Unit::Seconds, ..Quantity::bare(Amount::One(60.0)) };
    name_at(i + n).then_some((What::Dose(minute), n))
}

/// `10 squats, 10 push-ups, twice through`: how often all of it is done.
fn twice(doc: &Doc, i: usize) -> Option<(What, usize)> {
    if doc.low(i) != "twice" || i > 0 && matches!(doc.low(i - 1), "repeat" | "think" | "once" | "than") {
        return None;
    }
    let more = doc.says_any(i + 1, &["through", "round", "around", "over", "through the list", "in total"]).unwrap_or(0);
    let ends = doc.tokens.get(i + 1 + more).is_none_or(|t| matches!(t.kind, Kind::Newline | Kind::Mark));
    let rounds = Quantity { unit: Unit::Rounds, ..Quantity::bare(Amount::One(2.0)) };
    ends.then_some((What::Dose(rounds), 1 + more))
}

/// `pick one`, `quiet one on purpose`, `one moves, one rests`: it stands for somebody or something, and counts nothing.
fn stands_for_something(doc: &Doc, i: usize, name_at: NameAt) -> bool {
    if doc.low(i) != "one" || name_at(i) || name_at(i + 1) {
        return false;
    }
    if matches!(doc.low(i + 1), "every" | "each")
        && doc.tokens.get(i + 2).is_some_and(|t| t.kind == Kind::Number || doc.low(i + 2) == "minute")
    {
        // `10 singles, one every minute`
        return true;
    }
    let before = i > 0 && (matches!(doc.low(i - 1), "pick" | "choose" | "each" | "every" | "any") || is_of_one(doc.low(i - 1)));
    let does = doc.tokens.get(i + 1).is_some_and(|t| t.kind == Kind::Word && t.chars > 3) && doc.low(i + 1).ends_with('s');
    let line = doc.tokens[i].line;
    let near = |k: usize| doc.tokens.get(k).is_some_and(|t| t.line == line);
    let two = (i + 2..i + 9).take_while(|k| near(*k)).any(|k| matches!(doc.low(k), "one" | "other"));
    // `one hand works, the other rests`
    let paired = (i + 2..i + 9).take_while(|k| near(*k)).any(|k| doc.says(k, "the other").is_some());
    let again = i > 2 && (i.saturating_sub(8)..i).rev().take_while(|k| near(*k)).any(|k| doc.low(k) == "one");
    before || paired || does && (two || again)
}

/// A word before `one` that says which or what kind of thing it stands for.
fn is_of_one(word: &str) -> bool {
    matches!(
        word,
        "this"
            | "that"
            | "which"
            | "another"
            | "other"
            | "last"
            | "next"
            | "quiet"
            | "short"
            | "long"
            | "easy"
            | "hard"
            | "big"
            | "little"
            | "small"
            | "good"
            | "nice"
            | "fun"
            | "tough"
            | "simple"
            | "spicy"
            | "slow"
            | "fast"
            | "quick"
            | "sneaky"
            | "sweaty"
            | "classic"
            | "new"
            | "old"
            | "lazy"
            | "weak"
            | "weaker"
            | "stronger"
            | "harder"
            | "easier"
            | "gentle"
            | "nasty"
            | "mean"
            | "funny"
            | "only"
    )
}

/// `in round 2`, `week 3`: which one, not how many.
fn names_its_number(word: &str) -> bool {
    matches!(word, "round" | "week" | "wk" | "day" | "rung" | "phase" | "station" | "option")
}

/// `60/50 cm`, `24/20"`: how high a box is.
fn height(doc: &Doc, i: usize, q: &Quantity) -> Option<(What, usize)> {
    let end = i + q.tokens;
    let unit = q.unit == Unit::Bare && matches!(doc.low(end), "cm" | "inch" | "inches");
    let quote = matches!(q.amount, Amount::Columns(..)) && matches!(doc.low(end.saturating_sub(1)), "\"" | "″" | "”");
    let before = i - usize::from(i > 1 && matches!(doc.low(i - 1), "@" | "at" | "on" | "a"));
    let box_high = before > 0
        && matches!(doc.low(end.saturating_sub(1)), "\"" | "″" | "”")
        && matches!(doc.plain[before - 1].as_str(), "jump" | "up" | "box" | "over");
    (unit || quote || box_high).then_some((What::Word, q.tokens + usize::from(unit)))
}

/// `same as last week + 2.5 kg`: by how much more, not how heavy.
fn adds(doc: &Doc, i: usize) -> bool {
    let line = doc.tokens[i].line;
    let same = |k: &usize| matches!(doc.low(*k), "same" | "last" | "previous");
    i > 0
        && matches!(doc.low(i - 1), "+" | "plus")
        && (i.saturating_sub(10)..i).filter(|k| doc.tokens[*k].line == line).any(|k| same(&k))
}

#[cfg(test)]
mod tests;
