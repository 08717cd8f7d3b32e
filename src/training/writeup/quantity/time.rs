//! Times as people say them: halves, quarters, minutes and seconds in a row.

use super::super::super::dose::Amount;
use super::super::token::{Kind, Token};
use super::unit::unit_at;
use super::{Quantity, Unit, is_to, quantity};

/// `half a minute`, `three quarters of a minute`, `a quarter of an hour`: seconds, and how many tokens.
pub fn fraction(t: &[Token]) -> Option<(f64, usize)> {
    let word = |i: usize| t.get(i).filter(|w| w.kind == Kind::Word).map(|w| w.text.to_lowercase()).unwrap_or_default();
    let owned = |w: &str| matches!(w, "minute's" | "minute’s");
    match (word(0).as_str(), word(1).as_str(), word(2).as_str(), word(4).as_str()) {
        // `a minute and a half of child's pose`
        ("a", "minute", "and", "half") => return Some((90.0, 5)),
        ("half", "a", w, _) if owned(w) => return Some((30.0, 3)),
        ("a", w, ..) if owned(w) => return Some((60.0, 2)),
        // `a minute of plank`, and not `ten of them a minute`
        ("a", "minute", "of", _) => return Some((60.0, 2)),
        _ => {}
    }
    let (part, n) = match (word(0).as_str(), word(1).as_str()) {
        ("half", _) => (0.5, 1),
        ("three", "quarters") => (0.75, 2),
        ("a", "quarter") => (0.25, 2),
        ("quarter", _) => (0.25, 1),
        _ => return None,
    };
    let n = n + usize::from(word(n) == "of");
    let whole = match (word(n).as_str(), word(n + 1).as_str()) {
        ("a", "minute" | "min") => 60.0,
        ("an", "hour") => 3600.0,
        _ => return None,
    };
    Some((part * whole, n + 2))
}

/// `two and a half minutes`, `2 1/2 min`, `2½ min`
pub(super) fn half_more(t: &[Token], q: &mut Quantity) {
    let low = |n: usize| t.get(q.tokens + n).map_or("", |w| w.text);
    let used = match (low(0), low(1), low(2)) {
        ("and", "a", "half") => 3,
        ("½", ..) => 1,
        ("1", "/", "2") if t[q.tokens].spaced => 3,
        _ => return,
    };
    let unit = t.get(q.tokens + used..).and_then(|rest| unit_at(rest, true));
    if let (Amount::One(n), Unit::Bare, Some((Unit::Seconds | Unit::Metres, ..))) = (&q.amount, q.unit, unit) {
        q.amount = Amount::One(n + 0.5);
        q.tokens += used;
    }
}

/// `2 min 30`, `1 minute and a half`, `90 s - 2 min`.
pub(super) fn more_time(t: &[Token], q: &mut Quantity, factor: f64) {
    let rest = &t[q.tokens..];
    let word = |i: usize| rest.get(i).map_or(String::new(), |w| w.text.to_lowercase());
    if factor > 1.0 && word(0) == "and" {
        let skip = if word(1) == "a" { 2 } else { 1 };
        if word(skip) == "half" {
            q.amount = q.amount.map(|v| v + factor / 2.0);
            q.tokens += skip + 1;
            return;
        }
    }
    let Amount::One(first) = q.amount else { return };
    if factor > 1.0 {
        let skip = usize::from(word(0) == "and");
        if let Some(n) = rest.get(skip).and_then(Token::number).filter(|n| *n < 60.0 && n.fract() == 0.0) {
            let seconds = unit_at(&rest[skip + 1..], true).filter(|(u, f, _)| *u == Unit::Seconds && *f < factor);
            let ends = rest.get(skip + 1).is_none_or(|n| match n.kind {
                Kind::Word => {
                    matches!(n.text, "between" | "btw" | "betw" | "rest" | "after" | "off" | "on" | "per" | "hard" | "easy")
                }
                Kind::Number => false,
                _ => !matches!(n.text, "-" | "/" | "x" | "%"),
            });
            let glued = (!rest[skip].spaced || ends && n >= 5.0) && skip == 0;
            if let Some((_, f, used)) = seconds {
                q.amount = Amount::One(first + n * f);
                q.tokens += skip + 1 + used;
                return;
            }
            if glued {
                q.amount = Amount::One(first + n);
                q.tokens += skip + 1;
                return;
            }
        }
    }
    if rest.first().is_some_and(|m| m.is("/"))
        && let Some(next) = quantity(&rest[1..]).filter(|n| n.unit == Unit::Seconds && n.amount == q.amount)
    {
        // `30 s/30 s side plank`
        q.halves = true;
        q.tokens += 1 + next.tokens;
        return;
    }
    if rest.first().is_some_and(is_to)
        && let Some(next) = quantity(&rest[1..]).filter(|n| n.unit == Unit::Seconds)
        && let Amount::One(last) = next.amount
        && last > first
    {
        q.amount = Amount::Range(first, last);
        q.tokens += 1 + next.tokens;
    }
}
