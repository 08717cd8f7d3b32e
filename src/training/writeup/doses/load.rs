//! How heavy: kilograms, pounds, percent, and what stands behind `@`.

use super::super::super::dose::{Amount, Load};
use super::super::element::{Doc, What};
use super::super::quantity::{Quantity, Unit, quantity};
use super::super::token::Kind;
use super::*;

pub(super) fn weight(q: &Quantity) -> Load {
    let (values, range) = match &q.amount {
        Amount::Columns(a, b) => (vec![a.max(*b), a.min(*b)], false),
        Amount::Range(a, b) => (vec![*a, *b], true),
        other => (other.values(), false),
    };
    if q.unit == Unit::Lb { Load::Lb { values, range } } else { Load::Kg { values, range } }
}

/// `@ 95% (of snatch)`: the lift whose max it is, and how many tokens.
fn in_brackets(doc: &Doc, at: usize) -> Option<(String, usize)> {
    let of = doc.low(at) == "(" && doc.low(at + 1) == "of";
    let close = (at + 3..at + 7).find(|&t| doc.low(t) == ")").filter(|_| of)?;
    let lift = doc.typed(at + 2, close).to_lowercase();
    let lift = lift.strip_prefix("your ").map_or(lift.clone(), str::to_owned);
    (!lift.contains("max") && !lift.contains("rm")).then_some((lift, close + 1 - at))
}

/// `70%`, `70-75% of front squat`, `@ 90% of that`
pub(super) fn percent(doc: &Doc, i: usize, mut q: Quantity) -> (What, usize) {
    if let Some((last, used)) = climb(doc, i, &q) {
        q.amount = Amount::Range(q.amount.low(), last);
        q.tokens = used;
    }
    let mut used = q.tokens;
    let off = q.negative || matches!(doc.low(i + used), "off" | "less" | "lighter" | "down" | "more" | "heavier");
    if off || i > 0 && matches!(doc.low(i - 1), "drop" | "minus" | "less" | "add" | "remove" | "strip") {
        // `drop 15 %`: by how much, not how much
        return (What::Word, used);
    }
    let end = i + used;
    let mut of = "1RM".to_owned();
    if let Some((lift, n)) = in_brackets(doc, end) {
        (of, used) = (lift, used + n);
    } else if let Some(n) = doc.says_any(
        end,
        &[
            "1 rm",
            "of 1 rm",
            "of your 1 rm",
            "of max",
            "of your max",
            "of one rep max",
            "of 1 rep max",
            "of your 1 rep max",
            "of your one rep max",
            "of your one rm",
            "of your best",
            "1 rep max",
            "rm",
        ],
    ) {
        used += n;
    } else if doc.low(end) == "of" {
        let mut at = end + 1;
        let jerk = |at: usize| matches!(doc.low(at), "and" | "&") && doc.low(at + 1) == "jerk";
        let plain = |at: usize| {
            let t = doc.tokens.get(at);
            t.is_some_and(|t| matches!(t.kind, Kind::Word | Kind::Number) || t.is("-") && !t.spaced) && !stops(doc.low(at))
        };
        while at - end < 7 && (plain(at) || jerk(at)) {
            at += 1;
        }
        let words = doc.typed(end + 1, at).to_lowercase().replace(" & ", " and ");
        let words = words.strip_prefix("your ").map_or(words.clone(), str::to_owned);
        if !words.is_empty() {
            used += at - end;
            of = words;
        }
    }
    (What::Load(Load::Percent { percent: q.amount, of }, None), used)
}

/// `60% and build to 80%`, `65% climbing to 85%`: where a load that goes up over the sets ends, and the tokens of both.
fn climb(doc: &Doc, i: usize, q: &Quantity) -> Option<(f64, usize)> {
    const WAYS: &[&str] = &[
        "build to",
        "build up to",
        "building to",
        "building up to",
        "climb to",
        "climb up to",
        "climbing to",
        "climbing up to",
        "up to",
        "work to",
        "work up to",
        "working to",
        "working up to",
        "ramp to",
        "ramp up to",
        "ramping to",
        "ramping up to",
        "go to",
        "go up to",
        "going to",
        "going up to",
        "rise to",
        "rising to",
        "finish at",
        "finish on",
        "finishing at",
        "end at",
        "ending at",
        "to",
    ];
    let mut at = i + q.tokens;
    while matches!(doc.low(at), "," | "and" | "then" | "&") {
        at += 1;
    }
    let at = at + doc.says_any(at, WAYS)?;
    let last = quantity(doc.tokens.get(at..)?).filter(|l| l.unit == q.unit)?;
    match (&q.amount, &last.amount) {
        (Amount::One(a), Amount::One(b)) if a < b => Some((*b, at + last.tokens - i)),
        _ => None,
    }
}

/// `start at 60% and build to 80%`, `from 60 to 75 kg`: a load that goes up over the sets.
pub(super) fn from_to(doc: &Doc, i: usize) -> Option<(What, usize)> {
    const FROM: &[&str] = &[
        "start at",
        "start @",
        "start",
        "starts at",
        "starting @",
        "starting",
        "build from",
        "start from",
        "start with",
        "start on",
        "starting at",
        "starting from",
        "starting with",
        "begin at",
        "begin with",
        "beginning at",
        "building from",
        "climb from",
        "climbing from",
        "work from",
        "working from",
        "ramp from",
        "ramping from",
        "from",
        "going from",
        "open at",
        "opening at",
    ];
    let at = i + doc.says_any(i, FROM)?;
    let q = quantity(doc.tokens.get(at..)?)?;
    let (what, used) = match (q.unit, climb(doc, at, &q)) {
        (Unit::Percent, Some(_)) => percent(doc, at, q),
        (Unit::Percent, None) if matches!(q.amount, Amount::Range(a, b) if a < b) => percent(doc, at, q),
        (Unit::Kg | Unit::Lb, Some((last, used))) => {
            (What::Load(weight(&Quantity { amount: Amount::Range(q.amount.low(), last), ..q }), None), used)
        }
        (Unit::Kg | Unit::Lb, None) if matches!(q.amount, Amount::Range(a, b) if a < b) => {
            (What::Load(weight(&q), None), q.tokens)
        }
        _ => return None,
    };
    matches!(what, What::Load(..)).then_some((what, at + used - i))
}

pub(super) fn stops(word: &str) -> bool {
    matches!(word, "rest" | "with" | "then" | "tempo" | "every" | "for" | "x" | "each" | "and" | "on" | "if" | "no")
}

/// `2k pace +5 s`, `5 km race pace`: how fast, in words.
fn pace(doc: &Doc, i: usize) -> Option<usize> {
    let q = quantity(doc.tokens.get(i..)?).filter(|q| q.unit == Unit::Metres)?;
    let n = doc.says_any(i + q.tokens, &["pace", "race pace", "test pace", "speed"])?;
    let end = i + q.tokens + n;
    let more = if matches!(doc.low(end), "+" | "-" | "plus" | "minus") { quantity(doc.tokens.get(end + 1..)?) } else { None };
    Some(q.tokens + n + more.map_or(0, |m| m.tokens + 1))
}

/// `2x12/2x8 kg`: a pair in each of two columns; without a unit it is asked for.
pub(super) fn pairs(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let of_two = |at: usize| doc.tokens.get(at)?.number().filter(|n| *n == 2.0 && is_x(doc, at + 1)).map(|_| at + 2);
    let first = of_two(i)?;
    let a = doc.tokens.get(first)?.number()?;
    let slash = first + 1 + usize::from(matches!(doc.low(first + 1), "kg" | "lb" | "lbs"));
    let second = of_two(slash + 1).filter(|_| doc.low(slash) == "/")?;
    let q = quantity(doc.tokens.get(second..)?)?;
    let Amount::One(b) = q.amount else { return None };
    let used = second + q.tokens - i;
    match q.unit {
        Unit::Kg | Unit::Lb => Some((What::Load(weight(&Quantity { amount: Amount::Columns(a, b), ..q }), Some(2)), used)),
        Unit::Bare => Some((What::BareLoad(a.max(b)), used)),
        _ => None,
    }
}

/// One of two weights, behind how heavy it is.
pub const EACH_HAND: &[&str] =
    &["each hand", "in each hand", "per hand", "a hand", "/ hand", "in either hand", "per dumbbell", "each dumbbell"];

/// `15 kg each hand`, `12.5 kg in each hand` right behind a load: one of two, and nothing about the count.
pub(super) fn in_each_hand(doc: &Doc, i: usize, before: Option<&Element>) -> Option<(What, usize)> {
    let loaded = |e: &Element| matches!(e.what, What::Load(Load::Kg { .. } | Load::Lb { .. }, None)) && e.to == i;
    before.filter(|b| loaded(b))?;
    doc.says_any(i, EACH_HAND).map(|n| (What::Implements(2), n))
}

/// Things that come in one weight, one for each hand.
pub(super) const HELD: &[&str] =
    &["dumbbell", "kettlebell", "bell", "weight", "implement", "plate", "bag", "backpack", "can", "bottle"];

/// `two 24/16 kg kettlebells`, `with one 20 kg dumbbell`: how many of the weight that stands behind the number, and no count of
/// repetitions; `two 24 kg kettlebell swings` are two swings.
pub(super) fn held(doc: &Doc, i: usize, name_at: NameAt) -> Option<(What, usize)> {
    let n = match doc.low(i) {
        "one" | "single" | "1" => 1,
        "two" | "double" | "2" => 2,
        _ => return None,
    };
    let q = doc.tokens.get(i + 1..).and_then(quantity).filter(|q| matches!(q.unit, Unit::Kg | Unit::Lb))?;
    let end = i + 1 + q.tokens;
    let thing = doc.plain.get(end).is_some_and(|w| HELD.contains(&w.as_str())) && !name_at(end);
    let with =
        i > 0 && matches!(doc.low(i - 1), "with" | "w" | "/" | "holding" | "using" | "hold" | "carry" | "carrying" | "," | "(");
    let ends = doc.tokens.get(end).is_none_or(|t| t.kind == Kind::Newline || matches!(t.text, "," | "." | ";" | ")" | "!"));
    (thing || with && ends).then_some((What::Implements(n), 1))
}

/// `a pair of 20s`, `w/ 2 12s`: how heavy each of two is, in kilograms or pounds only where it says so.
pub(super) fn plural_load(doc: &Doc, i: usize, before: Option<&Element>) -> Option<(What, usize)> {
    let plural = |at: usize| {
        let heavy = doc.tokens.get(at).and_then(|t| t.number()).filter(|n| (2.0..=100.0).contains(n))?;
        let glued = doc.low(at + 1) == "s" && doc.tokens.get(at + 1).is_some_and(|t| !t.spaced);
        // `2 30s pauses` are seconds
        let held = matches!(doc.low(at + 2), "pause" | "pauses" | "hold" | "holds" | "rest" | "rests" | "stop" | "stops");
        (glued && !held).then_some(heavy)
    };
    let with = i > 0 && matches!(doc.low(i - 1), "with" | "/" | "@" | "using" | "holding" | "hold");
    if matches!(doc.low(i), "2" | "two") && with && plural(i + 1).is_some() {
        return Some((What::Implements(2), 1));
    }
    let two = before.is_some_and(|b| matches!(b.what, What::Implements(_)) && b.to == i);
    let heavy = plural(i).filter(|_| two)?;
    let open = usize::from(doc.low(i + 2) == "(");
    let unit = match doc.low(i + 2 + open) {
        "kg" | "kgs" | "kilos" => Unit::Kg,
        "lb" | "lbs" | "pounds" => Unit::Lb,
        _ => return Some((What::BareLoad(heavy), 2)),
    };
    let close = usize::from(open > 0 && doc.low(i + 4) == ")");
    let q = Quantity { unit, ..Quantity::bare(Amount::One(heavy)) };
    Some((What::Load(weight(&q), None), 3 + open + close))
}

/// What stands behind `@`.
pub(super) fn at_load(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let n = match doc.low(i) {
        "@" => 1,
        "at" if doc.tokens.get(i + 1).is_some_and(|t| t.kind == Kind::Number) => 1,
        "with" if doc.tokens.get(i + 1).is_some_and(|t| t.kind == Kind::Number) => 1,
        "at" | "with" if matches!(doc.low(i + 1), "rpe" | "rir" | "about" | "around" | "approx") => 1,
        // `w/ 20 kg`
        "w" if doc.low(i + 1) == "/" && doc.tokens.get(i + 2).is_some_and(|t| t.kind == Kind::Number) => 2,
        _ => return None,
    };
    let at = i + n + usize::from(matches!(doc.low(i + n), "about" | "around" | "~" | "approx"));
    if let Some(used) = pace(doc, at) {
        return Some((What::Word, at + used - i));
    }
    // nobody lifts `@ 3030`
    let four = doc.tokens.get(at).is_some_and(|t| t.kind == Kind::Number && t.text.len() == 4 && t.text.parse::<u32>().is_ok());
    let four = four || with_nought(doc, at);
    if let Some((what, used)) = effort(doc, at)
        .or_else(|| tempo_code(&doc.tokens[at.min(doc.tokens.len())..], four).map(|(t, used)| (What::Tempo(t), used)))
    {
        return Some((what, at + used - i));
    }
    if let Some((what @ What::Tempo(_), used)) = tempo(doc, at) {
        return Some((what, at + used - i));
    }
    let q = quantity(doc.tokens.get(at..)?)?;
    match q.unit {
        Unit::Percent => {
            let (what, used) = percent(doc, at, q);
            Some((what, at + used - i))
        }
        Unit::Kg | Unit::Lb => Some((What::Load(weight(&q), None), at + q.tokens - i)),
        Unit::Bare if is_x(doc, at + q.tokens) && pairs(doc, at).is_some() => {
            pairs(doc, at).map(|(what, used)| (what, at + used - i))
        }
        Unit::Bare if is_x(doc, at + q.tokens) => {
            let (what, used) = sets_of(doc, at, &q, &|_| false)?;
            matches!(what, What::Load(..)).then_some((what, at + used - i))
        }
        Unit::Bare if doc.low(i) == "@" || matches!(q.amount, Amount::Columns(..)) => {
            Some((What::BareLoad(q.amount.high()), at + q.tokens - i))
        }
        _ => None,
    }
}
