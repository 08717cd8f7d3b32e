//! A cap in other words than `cap`: the most time that there is for what is done for time.

use super::super::element::{Doc, What};
use super::super::token::Kind;
use super::time;

/// Words before the time.
const BEFORE: &[&str] = &[
    "max",
    "maximum",
    "at most",
    "no more than",
    "not more than",
    "no longer than",
    "not longer than",
    "max time",
    "max time is",
    "max time :",
    "maximum time",
    "maximum time is",
    "maximum time :",
    "max of",
    "maximum of",
    "within",
];
/// Words behind it.
const BEHIND: &[&str] = &["max", "tops", "at the most", "at the very most", "and no more", "and not more"];
/// A shorter time is the most of something else: `max 60 s rest`.
const LEAST: f64 = 120.0;

/// `3 rounds for time, maximum 18 min`: no try to the limit, where nothing but the time stands behind the word.
pub(super) fn most_of_time(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let n = doc.says_any(i, BEFORE).filter(|_| for_time_on_line(doc, i))?;
    let (seconds, q) = time(doc, i + n, false).filter(|(s, _)| *s >= LEAST)?;
    ends(doc, i + n + q.tokens).then_some((What::Cap(Some(seconds), false), n + q.tokens))
}

/// `3 rounds for time, 18 min max`: the tokens of the word behind a time that ends at `at`.
pub(super) fn most_behind(doc: &Doc, at: usize) -> Option<usize> {
    doc.says_any(at, BEHIND).filter(|n| ends(doc, at + n) && for_time_on_line(doc, at))
}

/// The line of token `i` says before it that it is done for time.
fn for_time_on_line(doc: &Doc, i: usize) -> bool {
    let line = doc.tokens[i.min(doc.tokens.len() - 1)].line;
    let says = |t: usize| matches!(doc.low(t), "rft") || doc.low(t) == "for" && doc.low(t + 1) == "time";
    (i.saturating_sub(40)..i).rev().take_while(|t| doc.tokens[*t].line == line).any(says)
}

/// No word stands at token `at` that could say what is done in this time.
fn ends(doc: &Doc, at: usize) -> bool {
    doc.tokens.get(at).is_none_or(|t| !matches!(t.kind, Kind::Word | Kind::Number) || matches!(doc.low(at), "cap" | "total"))
}
