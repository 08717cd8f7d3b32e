//! Rest between sets and rounds.

use super::super::super::dose::Amount;
use super::super::element::{Doc, What};
use super::super::quantity::{Unit, fraction, quantity};
use super::super::token::Kind;
use super::gap;

pub(super) fn rest(doc: &Doc, i: usize) -> Option<(What, usize)> {
    const WORDS: &[&str] = &[
        "rest",
        "rests",
        "resting",
        "recover",
        "recovery",
        "rest period",
        "rest time",
        "rest interval",
        "break",
        "pausa",
        "pause",
        "pause between sets",
    ];
    if let Some(n) = doc.says_any(i, &["walk back rest", "walk back recovery", "walk back", "jog back", "jog back recovery"]) {
        return Some((What::Rest(None, false), n));
    }
    let Some(n) = doc.says_any(i, WORDS) else { return letter(doc, i) };
    if doc
        .says_any(i + n, &["of the time", "of the minute", "of the day", "of it", "of you", "of the week", "of the window"])
        .is_some()
    {
        return None;
    }
    if doc.low(i + n) == "day" || doc.low(i).starts_with("rests") {
        return None;
    }
    if let (Some(until), Some(t)) = (doc.says_any(i + n, &["till", "until", "to"]), doc.tokens.get(i + n + 1))
        && t.kind == Kind::Clock
    {
        // `rest till 3:00`: when the next window begins
        return Some((What::Rest(None, false), n + until + 1));
    }
    let mut at = i + n;
    at += between(doc, at);
    if let Some((seconds, used)) = a_minute(doc, at + usize::from(matches!(doc.low(at), ":" | "for" | "about"))) {
        let end = at + usize::from(matches!(doc.low(at), ":" | "for" | "about")) + used;
        return Some((What::Rest(Some(Amount::One(seconds)), false), end + between(doc, end) - i));
    }
    let place = PLACES.iter().find_map(|p| doc.says(at, p)).filter(|_| doc.low(i).starts_with("paus"));
    at += place.unwrap_or(0);
    at += gap(doc, at);
    if let Some(free) = doc.says_any(
        at,
        &[
            "as needed",
            "as you need",
            "as you like",
            "as long as you like",
            "as long as you need",
            "as required",
            "as necessary",
            "when needed",
        ],
    ) {
        return Some((What::Rest(None, false), at + free - i));
    }
    if let Some(long) = as_it_took(doc, at) {
        return Some((What::Rest(None, false), at + long - i));
    }
    let Some(q) = doc.tokens.get(at..).and_then(quantity) else {
        return Some((What::Rest(None, false), n + between(doc, i + n)));
    };
    if doc.low(i).starts_with("paus")
        && q.unit == Unit::Seconds
        && let Amount::One(s) = q.amount
        && s <= 10.0
    {
        // `pause 2 s at the bottom`
        let end = at + q.tokens;
        let place = doc.says_any(end, PLACES);
        return Some((What::Pause(s), end + place.unwrap_or(0) - i));
    }
    let ratio =
        doc.low(at + q.tokens) == ":" && doc.tokens.get(at + q.tokens + 1).is_some_and(|t| t.kind == Kind::Number && !t.spaced);
    if ratio && q.unit == Unit::Bare {
        // `rest 1:1`: as long as the work
        return Some((What::Rest(None, false), at + q.tokens + 2 - i));
    }
    let (amount, bare) = match q.unit {
        // `rest 2:75` is told as a time that cannot be
        Unit::Seconds if q.odd_clock => return Some((What::Rest(None, false), at + q.tokens - i)),
        Unit::Seconds => (q.amount.clone(), false),
        Unit::Metres if q.bare_m => (q.amount.map(|v| v * 60.0), false),
        Unit::Bare
            if doc
                .tokens
                .get(at + q.tokens)
                .is_none_or(|t| t.kind != Kind::Word || matches!(t.text, "between" | "btw" | "after")) =>
        {
            (q.amount.clone(), true)
        }
        _ => return Some((What::Rest(None, false), n + between(doc, i + n))),
    };
    if doc.low(i) != "rest" && amount.high() > 900.0 {
        // `Sunday recovery: 30 min walk`
        return None;
    }
    let end = at + q.tokens;
    let end = end + between(doc, end);
    Some((What::Rest(Some(amount), bare), end + spent(doc, end) - i))
}

/// `rest 90 s walking`: how one rests, where nothing but that stands behind it.
fn spent(doc: &Doc, at: usize) -> usize {
    const WAYS: &[&str] = &[
        "walking",
        "walk",
        "by walking",
        "easy walking",
        "easy walk",
        "slow walk",
        "walking around",
        "walking about",
        "jogging",
        "jog",
        "easy jog",
        "easy jogging",
        "slow jog",
        "standing",
        "standing still",
        "sitting",
        "sitting down",
    ];
    let ends =
        |t: usize| doc.tokens.get(t).is_none_or(|t| t.kind == Kind::Newline || matches!(t.text, "," | "." | ";" | ")" | "!"));
    doc.says_any(at, WAYS).filter(|n| ends(at + n)).map_or(0, |n| n + between(doc, at + n))
}

/// `the time it took`, `as long as the work`: behind the word for rest, as long as what was done before.
fn as_it_took(doc: &Doc, i: usize) -> Option<usize> {
    const WHAT: &[&str] = &[
        "the time it took",
        "time it took",
        "the time it took you",
        "as long as it took",
        "as long as it took you",
        "as long as it takes",
        "as long as it takes you",
        "as long as you worked",
        "as long as you work",
        "as long as the work",
        "as long as the work took",
        "as long as the effort",
        "as long as the run took",
        "as long as the row took",
        "as long as your row",
        "as long as your run",
        "as long as you rowed",
        "as long as you ran",
        "the same time",
        "same time",
        "the same as the work",
        "same as the work",
        "same as work",
        "equal to work",
        "equal to the work",
        "equal time",
        "what it took",
        "what it took you",
        "the work time",
        "your work time",
    ];
    doc.says_any(i, WHAT)
}

/// `r 2'`, `R: 90 s` behind a set: the letter alone stands for the rest.
fn letter(doc: &Doc, i: usize) -> Option<(What, usize)> {
    if doc.low(i) != "r" || i > 0 && matches!(doc.low(i - 1), "l" | "left" | "and" | "&" | "+") {
        return None;
    }
    let at = i + 1 + usize::from(matches!(doc.low(i + 1), ":" | "=" | "."));
    let q = quantity(doc.tokens.get(at..)?).filter(|q| q.unit == Unit::Seconds && !q.odd_clock)?;
    let end = at + q.tokens;
    Some((What::Rest(Some(q.amount), false), end + between(doc, end) - i))
}

/// `a minute`, `half a minute`: seconds, and how many tokens.
fn a_minute(doc: &Doc, i: usize) -> Option<(f64, usize)> {
    const WAYS: &[(&[&str], f64)] = &[
        (&["a minute and a half", "a min and a half"], 90.0),
        (
            &[
                "a minute",
                "a min",
                "a full minute",
                "a full min",
                "an extra minute",
                "an extra min",
                "one extra minute",
                "another minute",
                "one more minute",
                "a whole minute",
            ],
            60.0,
        ),
    ];
    let whole = WAYS.iter().find_map(|(ways, seconds)| doc.says_any(i, ways).map(|n| (*seconds, n)));
    whole.or_else(|| doc.tokens.get(i..).and_then(fraction))
}

/// `1 extra minute between rounds`
pub(super) fn extra_time(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let n = super::count(doc, i).filter(|n| (1.0..=90.0).contains(n))?;
    let factor = match doc.low(i + 2) {
        "minute" | "minutes" | "min" | "mins" => 60.0,
        "second" | "seconds" | "sec" | "secs" | "s" => 1.0,
        _ => return None,
    };
    let used = between(doc, i + 3);
    let extra = matches!(doc.low(i + 1), "extra" | "more" | "full" | "whole" | "additional") && used > 1;
    extra.then(|| (What::Rest(Some(Amount::One(n * factor)), false), 3 + used))
}

/// `half a minute rest between rounds`
pub(super) fn minute_of_rest(doc: &Doc, i: usize) -> Option<(What, usize)> {
    if let Some(found) = extra_time(doc, i) {
        return Some(found);
    }
    if doc.low(i) == "minute" && doc.low(i + 1) == "rest" && i > 0 && matches!(doc.low(i - 1), "," | "." | ";" | "and" | "\n") {
        // `four times, minute rest`
        return Some((What::Rest(Some(Amount::One(60.0)), false), 2 + between(doc, i + 2)));
    }
    let (seconds, used) = a_minute(doc, i)?;
    let n = rest_behind(doc, i + used)?;
    Some((What::Rest(Some(Amount::One(seconds)), false), used + n))
}

/// `take 1 min after each full round`: a rest in other words.
pub(super) fn taken(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let verb = doc.says_any(i, &["take", "with", "have"])?;
    let (seconds, used) = match a_minute(doc, i + verb) {
        Some(said) => said,
        None => super::time(doc, i + verb, false).map(|(s, q)| (s, q.tokens))?,
    };
    let end = i + verb + used;
    let n = between(doc, end);
    (n > 1).then_some((What::Rest(Some(Amount::One(seconds)), false), end + n - i))
}

/// `between the rounds 1 min rest`, `after each set: 90 s rest`: what it stands between comes first.
pub(super) fn between_first(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let n = between(doc, i);
    let after = matches!(doc.low(i), "after" | "before");
    if n < 2 || matches!(doc.low(i + n - 1), "the" | "each" | "every" | "all" | "your" | "next" | "full" | "whole" | "complete") {
        return None;
    }
    let mut at = i + n;
    at += usize::from(matches!(doc.low(at), ":" | "-" | "–" | "=" | ","));
    at += doc.says_any(at, &["rest for", "rest", "take", "pause"]).unwrap_or(0);
    let (seconds, used) = match a_minute(doc, at) {
        Some(said) => said,
        None => {
            let (s, q) = super::time(doc, at, false)?;
            if q.bare_m && doc.tokens.get(at + q.tokens).is_some_and(|t| t.kind == Kind::Word) {
                // `after each round: 200 m run`
                return None;
            }
            (s, q.tokens)
        }
    };
    let end = at + used;
    let dot = usize::from(doc.low(end) == "." && !doc.tokens[end].spaced);
    let behind = rest_behind(doc, end + dot).map_or(0, |n| n + dot);
    let named = after && behind == 0 && at == i + n;
    (!named).then_some((What::Rest(Some(Amount::One(seconds)), false), end + behind - i))
}

/// Where in a repetition one stops.
const PLACES: &[&str] = &[
    "at bottom",
    "at the bottom",
    "at top",
    "at the top",
    "in the bottom",
    "in the hole",
    "each rep",
    "on the chest",
    "on chest",
    "at the chest",
    "at chest",
    "at the knee",
    "below the knee",
];

/// `between sets`, `btw rds`, `after A2`, `before the next round`: how many tokens.
pub(super) fn between(doc: &Doc, i: usize) -> usize {
    if !matches!(doc.low(i), "between" | "btw" | "btwn" | "betw" | "after" | "in-between" | "before" | "b" | "inbetween" | "in") {
        return 0;
    }
    if doc.low(i) == "after" && matches!(doc.low(i + 1), "that" | "this" | "which") {
        // `rest 2 min. after that ...`: the next thing
        return 0;
    }
    let mut at = i + 1;
    if doc.low(i) == "b" || doc.low(i) == "in" {
        match (doc.low(i), doc.low(i + 1), doc.low(i + 2)) {
            ("b", "/", "w" | "t" | "n") => at = i + 3,
            ("in", "between", _) => at = i + 2,
            _ => return 0,
        }
    }
    while matches!(doc.low(at), "the" | "each" | "every" | "all" | "your" | "next" | "full" | "whole" | "complete") {
        at += 1;
    }
    match doc.low(at) {
        "two" | "set" | "sets" | "round" | "rounds" | "rds" | "rd" | "block" | "blocks" | "amrap" | "amraps" | "pair"
        | "superset" | "supersets" | "efforts" | "intervals" | "them" | "reps" | "pairs" | "runs" | "attempts" | "it"
        | "exercises" | "stations" | "waves" | "lifts" | "laps" | "circuits" | "goes" | "rung" | "ladders" | "lap" | "tries"
        | "both" | "repeats" | "effort" | "rungs" | "parts" => at + 1 - i,
        _ if lettered(doc, at) => at + 1 - i,
        label
            if doc.tokens.get(at).is_some_and(|t| t.kind == Kind::Word)
                && label.len() == 1
                && doc.tokens.get(at + 1).is_some_and(|t| t.kind == Kind::Number && !t.spaced) =>
        {
            at + 2 - i
        }
        _ => at - i,
    }
}

/// `60 s off between`, `45 s off per lap`, `30 s off at the end of each`: off from the work that stands around, not the other
/// half of a window.
fn off_after(doc: &Doc, end: usize) -> Option<usize> {
    if doc.low(end) != "off" {
        return None;
    }
    let n = between(doc, end + 1);
    if n > 0 {
        return Some(1 + n);
    }
    const ENDS: &[&str] = &[
        "at the end of each",
        "at the end of every round",
        "at the end of each round",
        "at the end",
        "per lap",
        "per round",
        "per set",
        "each lap",
        "each round",
        "each set",
        "every round",
        "every lap",
        "every set",
        "a round",
        "a lap",
    ];
    if let Some(n) = doc.says_any(end + 1, ENDS) {
        return Some(1 + n);
    }
    // sets of reps on the same line have no window to be off from
    let line = doc.tokens[end.min(doc.tokens.len() - 1)].line;
    let near = end.saturating_sub(40);
    let start = (near..end).rev().find(|t| doc.tokens[*t].line != line).map_or(near, |t| t + 1);
    let sets = (start..end).any(|t| {
        matches!(doc.low(t), "sets" | "x")
            && doc.tokens.get(t + 1).is_some_and(|n| n.kind == Kind::Number || matches!(n.text, "of"))
    });
    let works = (start..end).any(|t| matches!(doc.low(t), "on" | "work" | "hard" | "fast"));
    (sets && !works).then_some(1)
}

/// The letter of a line alone, as the end of what is said.
fn lettered(doc: &Doc, at: usize) -> bool {
    let ends = doc.tokens.get(at + 1).is_none_or(|t| matches!(t.kind, Kind::Newline) || matches!(t.text, "." | "," | ")" | ";"));
    matches!(doc.low(at), "a" | "b" | "c" | "d" | "e" | "f") && ends
}

/// `20 s off`, `90 s rest between sets`, `2 min between rounds`
pub(super) fn rest_behind(doc: &Doc, end: usize) -> Option<usize> {
    let of = usize::from(doc.low(end) == "of");
    if let Some(n) =
        doc.says_any(end + of, &["rest", "recovery", "break", "breather", "rest period", "easy rest", "pausa", "extra rest"])
    {
        let at = end + of + n;
        return Some(of + n + between(doc, at));
    }
    let paired = doc.low(end) == "after" && doc.tokens.get(end + 2).is_some_and(|t| t.kind == Kind::Number && !t.spaced);
    if paired && doc.tokens[end + 1].chars == 1 && doc.tokens[end + 1].kind == Kind::Word {
        // `90 s after A2`
        return Some(3);
    }
    if doc.low(end) == "after" && lettered(doc, end + 1) {
        // `90 s after b`
        return Some(2);
    }
    if doc.low(end) == "after" && matches!(doc.low(end + 1), "each" | "every" | "all") {
        // `1 min after each round`
        return Some(between(doc, end)).filter(|n| *n > 2);
    }
    if let Some(n) = off_after(doc, end) {
        return Some(n);
    }
    let walk = usize::from(matches!(doc.low(end), "walk" | "walking" | "easy" | "jog" | "slow" | "more" | "extra"));
    let n = walk + between(doc, end + walk);
    let end = end + walk;
    // `1 min extra between rounds would be too kind`
    let wished = matches!(doc.low(end + n - walk), "would" | "could" | "might");
    (!wished && n > walk && matches!(doc.low(end), "between" | "btw" | "btwn" | "betw" | "b" | "in")).then_some(n)
}
