//! Windows that come again: every minute, every 90 s.

use super::super::super::dose::Amount;
use super::super::element::{Doc, What};
use super::super::quantity::{Quantity, Unit, quantity};
use super::super::token::Kind;
use super::{bare_window, before_dash, gap, time};

/// `every 90 s x 8`, `EMOM 12`: a window that comes again, and for how long or how often.
pub(super) fn every(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let (window, n) = window(doc, i)?;
    let mut used = n;
    if let Some(more) = doc.says_any(i + used, &["on the minute", "on the min", "otm"]) {
        used += more;
    }
    let at = i + used + gap(doc, i + used);
    let by = doc.low(at) == "x" || doc.low(at) == "×";
    let q = doc.tokens.get(at + usize::from(by)..).and_then(quantity).map(|q| before_dash(doc, at + usize::from(by), q));
    let q = q.map(|q| before_first_minute(doc, at, q));
    if let Some(q) = q
        && let Amount::One(n) = q.amount
    {
        let minute = (window - 60.0).abs() < 0.5;
        let whole = at + usize::from(by) + q.tokens - i;
        let bare = q.unit == Unit::Bare && (by || bare_window(doc, at, &q));
        let (total, count) = match q.unit {
            Unit::Seconds => (Some(n), None),
            // `every 2 min: 100 m run` is no hundred minutes
            Unit::Metres if q.bare_m && !names_way(doc, at + q.tokens) => (Some(n * 60.0), None),
            Unit::Rounds | Unit::Sets => (None, Some(n)),
            Unit::Bare if bare && minute => (Some(n * 60.0), None),
            Unit::Bare if bare && by => (None, Some(n)),
            Unit::Bare if bare && n > window / 60.0 && doc.tokens[i].kind == Kind::Word && doc.low(i) != "every" => {
                (Some(n * 60.0), None)
            }
            _ => (None, None),
        };
        if total.is_some() || count.is_some() {
            return Some((What::Every { every: window, total, count }, whole));
        }
    }
    Some((What::Every { every: window, total: None, count: None }, used))
}

/// Behind `100 m` a word that is done over that way.
fn names_way(doc: &Doc, at: usize) -> bool {
    let word = doc.tokens.get(at).is_some_and(|t| t.kind == Kind::Word);
    word && !matches!(doc.low(at), "of" | "total" | "in" | "with" | "alternating" | "then" | "x" | "long")
}

/// `emom 9 min 1 10 swings min 2 8 push-ups`: the word behind the number belongs to the first of the minutes that are told.
fn before_first_minute(doc: &Doc, at: usize, q: Quantity) -> Quantity {
    let minute = |t: usize, n: &str| matches!(doc.low(t), "min" | "minute") && doc.low(t + 1) == n;
    let near = |t: &usize| doc.tokens.get(*t).is_some_and(|k| k.kind != Kind::Newline);
    let told = q.tokens == 2 && minute(at + 1, "1") && (at + 3..at + 40).take_while(near).any(|t| minute(t, "2"));
    match q.amount {
        Amount::One(n) if told => Quantity::bare(Amount::One(n / 60.0)),
        _ => q,
    }
}

/// The window of `EMOM`, `E2MOM`, `every 90 s`, `every minute`.
pub(super) fn window(doc: &Doc, i: usize) -> Option<(f64, usize)> {
    const MINUTES: &[&str] = &[
        "on the minute every minute",
        "on the minute , every minute",
        "on every minute",
        "on each minute",
        "once a minute",
        "once every minute",
        "each minute",
        "every single minute",
        "at the start of each minute",
        "at the start of every minute",
        "at the beginning of each minute",
        "at the beginning of every minute",
        "at the top of each minute",
        "at the top of every minute",
        "start of each minute",
        "start of every minute",
        "top of each minute",
        "top of every minute",
    ];
    let of = i > 0
        && matches!(
            doc.low(i - 1),
            "of" | "in"
                | "left"
                | "more"
                | "rep"
                | "reps"
                | "add"
                | "for"
                | "swap"
                | "switch"
                | "change"
                | "alternate"
                | "rest"
                | "rotate"
                | "swapping"
                | "switching"
                | "alternating"
        );
    if let Some(n) = doc.says_any(i, MINUTES).filter(|_| !of) {
        return Some((60.0, n));
    }
    if let Some(n) = doc.says_any(i, &["emom", "emoms", "emotm", "otm", "on the minute", "each minute on the minute"]) {
        return Some((60.0, n));
    }
    if doc.low(i) == "e" && !doc.tokens.get(i + 1)?.spaced {
        let q = quantity(&doc.tokens[i + 1..])?;
        let Amount::One(n) = q.amount else { return None };
        let at = i + 1 + q.tokens;
        return match (q.unit, doc.low(at)) {
            (Unit::Bare, "mom") => Some((n * 60.0, at + 1 - i)),
            (Unit::Seconds, _) => Some((n, at - i)),
            (Unit::Metres, "x" | "×" | ":" | "for") if doc.low(at - 1) == "m" && n < 20.0 => Some((n * 60.0, at - i)),
            _ => None,
        };
    }
    if let Some(n) = doc.says_any(i, &["on the", "on a", "on each"]) {
        // `on the 2:00 x 5`, `on a 90 s clock`
        let (seconds, q) = time(doc, i + n, false)?;
        let clock = usize::from(doc.low(i + n + q.tokens) == "clock");
        return (clock > 0 || n > 0 && doc.low(i + 1) == "the").then_some((seconds, n + q.tokens + clock));
    }
    if !matches!(doc.low(i), "every" | "evry") {
        return None;
    }
    if let Some(n) = doc.says_any(i + 1, &["minute", "min", "1 min", "one minute"]) {
        return Some((60.0, 1 + n));
    }
    if let Some(n) = doc.says_any(i + 1, &["other minute", "second minute", "2nd minute"]) {
        return Some((120.0, 1 + n));
    }
    if let Some(n) = doc.says_any(i + 2, &["rd minute", "th minute", "rd min", "th min"]) {
        // `every 3rd minute`
        return doc.tokens[i + 1].number().filter(|k| (2.0..=10.0).contains(k)).map(|k| (k * 60.0, 2 + n));
    }
    if let Some(n) = doc.says_any(i + 1, &["third minute", "3rd minute"]) {
        return Some((180.0, 1 + n));
    }
    let (seconds, q) = time(doc, i + 1, false)?;
    // `every 500 m`
    (q.unit != Unit::Metres || seconds <= 1200.0).then_some((seconds, 1 + q.tokens))
}
