//! Work and rest by the clock.

use super::super::super::dose::Amount;
use super::super::element::{Doc, What};
use super::super::quantity::{Quantity, Unit};
use super::{gap, time};

/// `work 40 s, rest 20 s`
pub(super) fn work_first(doc: &Doc, i: usize) -> Option<(What, usize)> {
    if !matches!(doc.low(i), "work" | "on") {
        return None;
    }
    let at = i + 1 + gap(doc, i + 1);
    let (on, q) = time(doc, at, false)?;
    let end = at + q.tokens;
    let off = end + usize::from(matches!(doc.low(end), "," | "/" | "and" | "&" | "-" | "+" | ";"));
    if !matches!(doc.low(off), "rest" | "off") {
        return (doc.low(i) == "work").then_some((What::Work(on), end - i));
    }
    let at = off + 1 + gap(doc, off + 1);
    let (rest, q) = time(doc, at, false)?;
    Some((What::OnOff(on, rest), at + q.tokens - i))
}

/// `40 s on / 20 s off`, `30 s work, 30 s rest`
pub(super) fn on_off(doc: &Doc, end: usize, on: f64) -> Option<(What, usize)> {
    let of = usize::from(doc.low(end) == "of");
    let n = doc.says_any(end + of, &["on", "work", "working", "hard", "effort", "each", "per station"])? + of;
    let mut at = end + n;
    if doc.low(at - 1) == "on" && doc.low(at) == "the" {
        return None;
    }
    at += usize::from(matches!(doc.low(at), "," | "/" | "-" | "–" | "and" | "&" | "+" | ";" | "then" | ":"));
    let with = usize::from(matches!(doc.low(at), "with"));
    if let Some((off, q)) = time(doc, at + with, false) {
        let behind = at + with + q.tokens;
        let of = usize::from(doc.low(behind) == "of");
        if let Some(m) = doc.says_any(
            behind + of,
            &[
                "off",
                "rest",
                "easy",
                "recovery",
                "off rest",
                "break",
                "to change",
                "change",
                "transition",
                "to switch",
                "to move",
                "changeover",
                "between",
            ],
        ) {
            return Some((What::OnOff(on, off), behind + of + m - end));
        }
    }
    if matches!(doc.low(end + n - 1), "each" | "station") || doc.low(end + n - 1) == "effort" || doc.low(end + n - 1) == "hard" {
        return None;
    }
    Some((What::Work(on), n))
}

/// `40/20 intervals`, `30:30`, `45/15 work/rest`: two numbers that the words around make work and rest.
pub(super) fn ratio(doc: &Doc, i: usize, q: &Quantity) -> Option<(What, usize)> {
    let (on, off) = match (&q.amount, q.unit) {
        (Amount::Columns(a, b), Unit::Bare | Unit::Seconds) => (*a, *b),
        (Amount::One(a), Unit::Bare | Unit::Seconds) if q.halves => (*a, *a),
        _ => return None,
    };
    let end = i + q.tokens;
    let near = |i: usize| matches!(doc.low(i), "interval" | "intervals" | "work" | "on");
    let before = i > 0 && (near(i - 1) || i > 1 && near(i - 2) && matches!(doc.low(i - 1), ":" | "-" | "(" | ","));
    let behind = doc.says_any(
        end,
        &["work / rest", "on / off", "work rest", "on off", "intervals", "interval", "seconds work / rest", "s work / rest"],
    );
    if !before && behind.is_none() {
        return None;
    }
    Some((What::OnOff(on, off), q.tokens + behind.unwrap_or(0)))
}
