//! List numbers that no sign closes.

use super::super::element::Doc;
use super::super::quantity::{Unit, quantity};
use super::super::token::Kind;

/// `1  farmer carry  4 x 40 m` above `2  front carry  3 x 30 m`: the number of an entry. A count before a name has no further
/// sets behind the name, and does not go up by one from line to line.
pub(super) fn bare_number(doc: &Doc, i: usize) -> Option<f64> {
    let opens = |at: usize| at == 0 || doc.tokens[at - 1].kind == Kind::Newline;
    let n = entry(doc, i).filter(|_| opens(i))?;
    let near = i.saturating_sub(60)..(i + 60).min(doc.tokens.len());
    let beside = |other: f64| near.clone().any(|at| opens(at) && entry(doc, at) == Some(other));
    let first = (n - 1.0).abs() < 0.01;
    (if first { beside(2.0) } else { beside(n - 1.0) }).then_some(n)
}

/// The number of `3  front carry, hug the backpack  3 x 30 m`: before a word, and the line has its sets behind it.
fn entry(doc: &Doc, at: usize) -> Option<f64> {
    let token = doc.tokens.get(at).filter(|t| t.kind == Kind::Number)?;
    let n = token.number().filter(|n| n.fract() == 0.0 && (1.0..=20.0).contains(n))?;
    let named = doc.tokens.get(at + 1).is_some_and(|t| t.kind == Kind::Word && t.spaced && t.chars > 2);
    // `3 rounds`, `5 x 5`, `1 to 10`
    let bare = quantity(&doc.tokens[at..]).is_some_and(|q| q.unit == Unit::Bare && q.tokens == 1);
    let line = (at + 2..(at + 20).min(doc.tokens.len())).take_while(|t| doc.tokens[*t].line == token.line);
    let sets = |t: usize| {
        let number = |t: usize| doc.tokens.get(t).is_some_and(|t| t.kind == Kind::Number);
        number(t) && (matches!(doc.low(t + 1), "x" | "×" | "*") && number(t + 2) || doc.low(t + 1) == "sets")
    };
    let behind: Vec<usize> = line.collect();
    // `1 clean + 1 jerk 5 x 1` counts
    let complex = behind.iter().any(|t| doc.tokens[*t].is("+"));
    (named && bare && !complex && behind.into_iter().any(sets)).then_some(n)
}
