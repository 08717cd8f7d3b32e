//! Work and rest by the clock.

use super::super::super::dose::Amount;
use super::super::element::{Doc, What};
use super::super::quantity::{Quantity, Unit, quantity};
use super::super::token::Kind;
use super::{gap, time};

/// Words for the time between two windows of work.
const OFF: &[&str] = &[
    "off",
    "rest",
    "easy",
    "slow",
    "light",
    "gentle",
    "recover",
    "recovery",
    "off rest",
    "break",
    "pause",
    "pausa",
    "breather",
    "walk",
    "jog",
    "to change",
    "change",
    "change over",
    "change - over",
    "transition",
    "to switch",
    "switch",
    "to move",
    "to move on",
    "to rotate",
    "to swap",
    "to breathe",
    "changeover",
    "between",
];

/// `work 40 s, rest 20 s`
pub(super) fn work_first(doc: &Doc, i: usize) -> Option<(What, usize)> {
    if !matches!(doc.low(i), "work" | "on") {
        return None;
    }
    if let Some(n) = doc.says_any(i, &["work / rest", "work : rest", "work rest", "work to rest", "on / off", "on : off"]) {
        // `work/rest: 40 s on, 20 s off`, `work/rest 40/20`
        let at = i + n + gap(doc, i + n);
        let q = quantity(doc.tokens.get(at..)?)?;
        let end = at + q.tokens;
        return match (&q.amount, q.unit) {
            (Amount::Columns(a, b), Unit::Bare | Unit::Seconds) => Some((What::OnOff(*a, *b), end - i)),
            (Amount::One(a), Unit::Bare | Unit::Seconds) if q.halves => Some((What::OnOff(*a, *a), end - i)),
            (Amount::One(a), Unit::Seconds) => match on_off(doc, end, *a) {
                Some((what @ What::OnOff(..), used)) => Some((what, end + used - i)),
                _ => {
                    let (off, more) = time(doc, end + usize::from(matches!(doc.low(end), "/" | "," | "-" | "and")), false)?;
                    Some((What::OnOff(*a, off), end + 1 + more.tokens - i))
                }
            },
            _ => None,
        };
    }
    let at = i + 1 + gap(doc, i + 1);
    let (on, q) = match time(doc, at, false) {
        Some(said) => said,
        None => return bare_work(doc, i, at),
    };
    let end = at + q.tokens;
    let off = end + usize::from(matches!(doc.low(end), "," | "/" | "and" | "&" | "-" | "+" | ";" | "." | "then"));
    let told = doc.says_any(off, OFF).and_then(|n| {
        let at = off + n + gap(doc, off + n);
        time(doc, at, false).map(|(rest, q)| (What::OnOff(on, rest), at + q.tokens - i))
    });
    told.or_else(|| (doc.low(i) == "work").then_some((What::Work(on), end - i)))
}

/// `work for 40, rest for 20`: two numbers of seconds.
fn bare_work(doc: &Doc, i: usize, at: usize) -> Option<(What, usize)> {
    let number = |at: usize| doc.tokens.get(at).and_then(super::super::token::Token::number);
    let on = number(at).filter(|n| (10.0..=120.0).contains(n))?;
    let word = at + 1 + usize::from(matches!(doc.low(at + 1), "," | "/" | "and" | "&" | "-" | "+" | ";" | "then"));
    if doc.low(i) != "work" || !matches!(doc.low(word), "rest" | "off") {
        return None;
    }
    let end = word + 1 + gap(doc, word + 1);
    let off = number(end).filter(|n| (5.0..=120.0).contains(n))?;
    let ends = doc
        .tokens
        .get(end + 1)
        .is_none_or(|t| t.kind != Kind::Word && t.kind != Kind::Number && !matches!(t.text, "'" | "\"" | "%"));
    ends.then_some((What::OnOff(on, off), end + 1 - i))
}

/// `40 s on / 20 s off`, `30 s work, 30 s rest`
pub(super) fn on_off(doc: &Doc, end: usize, on: f64) -> Option<(What, usize)> {
    let of = usize::from(doc.low(end) == "of");
    let n = doc.says_any(
        end + of,
        &[
            "on",
            "work",
            "working",
            "hard",
            "fast",
            "sprint",
            "sprints",
            "quick",
            "all out",
            "effort",
            "each",
            "per station",
            "each station",
            "at each station",
            "on each station",
            "a station",
            "per movement",
            "each movement",
            "per exercise",
            "each exercise",
            "windows",
            "window",
            "bouts",
            "bursts",
            "work windows",
        ],
    )? + of;
    let mut at = end + n;
    // `30 minutes on the bike`, `2 min on your back`, `1 min on each leg`
    let place = matches!(
        doc.low(at),
        "the" | "your" | "each" | "either" | "both" | "one" | "a" | "my" | "all" | "hands" | "knees" | "toes" | "any" | "every"
    );
    if doc.low(at - 1) == "on" && place && doc.says_any(at, &["each station", "every station", "each exercise"]).is_none() {
        return None;
    }
    // `40 Sec. work, 20 Sec. pause`
    at += usize::from(doc.low(at) == "." && doc.tokens.get(at + 1).is_some_and(|t| t.kind == Kind::Number));
    at += usize::from(matches!(doc.low(at), "," | "/" | "-" | "–" | "and" | "&" | "+" | ";" | "then" | ":"));
    let with = usize::from(matches!(doc.low(at), "with"));
    if let Some((off, q)) = time(doc, at + with, false).or_else(|| bare_off(doc, at + with, on)) {
        let behind = at + with + q.tokens;
        let of = usize::from(doc.low(behind) == "of");
        if let Some(m) = doc.says_any(behind + of, OFF) {
            return Some((What::OnOff(on, off), behind + of + m - end));
        }
    }
    if let Some(m) = doc.says_any(
        end,
        &[
            "each station",
            "per station",
            "at each station",
            "on each station",
            "a station",
            "per movement",
            "each movement",
            "per exercise",
            "each exercise",
        ],
    ) {
        return Some((What::Work(on), m));
    }
    let effort = ["effort", "hard", "fast", "sprint", "sprints", "quick", "out", "each", "station"];
    if effort.contains(&doc.low(end + n - 1)) {
        return None;
    }
    Some((What::Work(on), n))
}

/// `5 min, 1 min off` behind `3 blocks of`
pub fn worked_and_off(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let (on, q) = time(doc, i, false)?;
    let mut at = i + q.tokens;
    at += usize::from(matches!(doc.low(at), "," | "/" | "-" | "–" | "with" | "and"));
    let (off, q) = time(doc, at, false)?;
    let end = at + q.tokens;
    let of = usize::from(doc.low(end) == "of");
    doc.says_any(end + of, OFF).map(|n| (What::OnOff(on, off), end + of + n - i))
}

/// `4 min on, 2 off`: the second number counts what the first does.
fn bare_off(doc: &Doc, at: usize, on: f64) -> Option<(f64, Quantity)> {
    let q = quantity(doc.tokens.get(at..)?).filter(|q| q.unit == Unit::Bare)?;
    let Amount::One(n) = q.amount else { return None };
    let minutes = on >= 60.0 && on % 60.0 == 0.0 && n < 10.0;
    Some((if minutes { n * 60.0 } else { n }, q))
}

/// `40/20 intervals`, `30:30`, `45/15 work/rest`: two numbers that the words around make work and rest.
pub(super) fn ratio(doc: &Doc, i: usize, q: &Quantity) -> Option<(What, usize)> {
    if let Some((on, off)) = clock_pair(doc, i) {
        return Some((What::OnOff(on, off), 1));
    }
    if let Some((on, off, used)) = windows(doc, i, q)
        && matches!(doc.low(i + used), "x" | "×" | "*")
        && super::count(doc, i + used + 1).is_some_and(|n| n >= 4.0)
        && !matches!(doc.low(i + used + 2), "m" | "kg" | "lb" | "cal" | "cals" | "s")
    {
        // `30/30 x 10 bike`
        return Some((What::OnOff(on, off), used));
    }
    let (on, off) = match (&q.amount, q.unit) {
        (Amount::Columns(a, b), Unit::Bare | Unit::Seconds) => (*a, *b),
        (Amount::One(a), Unit::Bare | Unit::Seconds) if q.halves => (*a, *a),
        _ => return None,
    };
    let end = i + q.tokens;
    let near = |i: usize| matches!(doc.low(i), "interval" | "intervals" | "work" | "on" | "tabata");
    let before = i > 0 && (near(i - 1) || i > 1 && near(i - 2) && matches!(doc.low(i - 1), ":" | "-" | "(" | ","));
    let of_rounds = i > 1 && doc.low(i - 1) == "of" && matches!(doc.low(i - 2), "rounds" | "rds" | "sets");
    // `4 rounds 40/20: burpees, plank`
    let rounds = i > 0 && matches!(doc.low(i - 1), "rounds" | "rds") && matches!(doc.low(end), ":" | "-" | "–" | "\n" | "(");
    if let Some((on, off, used)) = windows(doc, i, q).filter(|_| of_rounds || rounds) {
        return Some((What::OnOff(on, off), used));
    }
    let behind = doc.says_any(
        end,
        &["work / rest", "on / off", "work rest", "on off", "intervals", "interval", "seconds work / rest", "s work / rest"],
    );
    if !before && behind.is_none() && !(opens_line(doc, i) && often(doc, end) && on >= 10.0 && off >= 5.0) {
        return None;
    }
    Some((What::OnOff(on, off), q.tokens + behind.unwrap_or(0)))
}

/// `20/10`, `30 s / 30 s` beside a count: two numbers that are hardly anything but work and rest, and how many tokens.
pub fn windows(doc: &Doc, i: usize, q: &Quantity) -> Option<(f64, f64, usize)> {
    let (on, off, used) = match (&q.amount, q.unit) {
        (Amount::Columns(a, b), Unit::Bare | Unit::Seconds) => (*a, *b, q.tokens),
        (Amount::One(a), Unit::Bare) if q.halves => (*a, *a, q.tokens),
        (Amount::One(a), Unit::Seconds) if doc.low(i + q.tokens) == "/" => {
            let (off, more) = time(doc, i + q.tokens + 1, false)?;
            (*a, off, q.tokens + 1 + more.tokens)
        }
        _ => return None,
    };
    // two columns lie nearer to each other (`20/15 push-ups`), and their sum is any number
    let apart = on <= off || on >= 1.5 * off;
    let whole = [30.0, 45.0, 60.0, 90.0, 120.0, 180.0, 240.0].contains(&(on + off));
    let glued = doc.tokens.get(i + q.tokens).is_none_or(|t| !t.is("/"));
    (apart && whole && on >= 10.0 && off >= 5.0 && (glued || q.unit == Unit::Seconds)).then_some((on, off, used))
}

/// `1:1 rest`, `1:2 work/rest`: as long as the work, in words.
pub(super) fn as_long(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let digit = |at: usize| doc.tokens.get(at).is_some_and(|t| t.kind == Kind::Number && t.text.len() == 1);
    let pair = digit(i) && doc.low(i + 1) == ":" && digit(i + 2) && !doc.tokens[i + 2].spaced;
    let closes = doc.tokens.get(i + 3).is_none_or(|t| matches!(t.kind, Kind::Newline));
    if pair && closes && i > 1 && doc.low(i - 1) == "," && doc.low(i - 2).starts_with("interval") {
        // `Row intervals, 1:1`
        return Some((What::Rest(None, false), 3));
    }
    let n = doc.says_any(i + 3, &["rest", "work rest", "work / rest", "work : rest", "work to rest", "recovery"])?;
    pair.then_some((What::Rest(None, false), 3 + n))
}

/// `30:30 x 10` and `40:20 intervals`: a clock time that the words around make work and rest.
fn clock_pair(doc: &Doc, i: usize) -> Option<(f64, f64)> {
    let token = doc.tokens.get(i).filter(|t| t.kind == Kind::Clock)?;
    let (on, off) = token.text.split_once(':')?;
    let (on, off): (f64, f64) = (on.parse().ok()?, off.parse().ok()?);
    let says = matches!(doc.low(i + 1), "interval" | "intervals" | "on" | "work");
    let before = i > 0 && matches!(doc.low(i - 1), "interval" | "intervals");
    (on >= 10.0
        && off >= 5.0
        && (says && doc.low(i + 1) != "on" && doc.low(i + 1) != "work"
            || before
            || on >= 15.0 && opens_line(doc, i) && often(doc, i + 1)))
    .then_some((on, off))
}

/// Nothing stands before token `i` on its line but a label, a bullet or a heading.
fn opens_line(doc: &Doc, i: usize) -> bool {
    i == 0 || matches!(doc.tokens[i - 1].kind, Kind::Newline) || matches!(doc.low(i - 1), ":" | "." | ")" | "-" | "–" | "•" | ",")
}

/// `x 10`, `for 8 rounds`, `8 rounds`
fn often(doc: &Doc, at: usize) -> bool {
    let skip = usize::from(matches!(doc.low(at), "x" | "×" | "*" | "for" | ","));
    let number = super::count(doc, at + skip).is_some();
    let next = doc.low(at + skip + 1);
    number
        && (matches!(
            next,
            "rounds" | "rds" | "round" | "sets" | "min" | "minutes" | "stations" | "exercises" | "movements" | "moves"
        ) || skip == 1 && doc.low(at) != "," && doc.tokens.get(at + 2).is_none_or(|t| t.kind != Kind::Word))
}
