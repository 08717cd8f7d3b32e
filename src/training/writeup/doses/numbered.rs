//! Numbers that count nothing, and counts that no number tells.

use super::super::super::dose::Amount;
use super::super::element::{Doc, Element, What};
use super::super::quantity::{Quantity, Unit};
use super::super::token::Kind;

/// `1st`, `22nd`, `11th`; `5rd` is typed for rounds.
fn is_ordinal(doc: &Doc, i: usize) -> bool {
    let ending = doc.tokens.get(i + 1).filter(|t| !t.spaced && t.kind == Kind::Word);
    let Some(n) = doc.tokens[i].number().filter(|n| n.fract() == 0.0 && ending.is_some()) else { return false };
    let teens = (11.0..=13.0).contains(&(n % 100.0));
    match doc.low(i + 1) {
        "st" => n % 10.0 == 1.0 && !teens,
        "nd" => n % 10.0 == 2.0 && !teens,
        "rd" => n % 10.0 == 3.0 && !teens && !counts_rounds(doc, i),
        "th" => true,
        _ => false,
    }
}

/// `3rd for time`, `3rd:` at the beginning of a line: rounds.
fn counts_rounds(doc: &Doc, i: usize) -> bool {
    let opens = i == 0 || doc.tokens[i - 1].kind == Kind::Newline;
    let ends = doc.tokens.get(i + 2).is_none_or(|t| t.kind == Kind::Newline || t.is(":"));
    opens && (ends || matches!(doc.low(i + 2), "for" | "of"))
}

/// `heavier than the 1st`, `the 2nd wave`: which of them, and no count.
pub(super) fn ordinal(doc: &Doc, i: usize) -> Option<(What, usize)> {
    is_ordinal(doc, i).then_some((What::Word, 2))
}

/// `a deep squat hold for a minute`: right behind a name, how long it is done.
pub(super) fn for_a_minute(doc: &Doc, i: usize, before: Option<&Element>) -> Option<(What, usize)> {
    const WAYS: &[(&[&str], f64)] = &[
        (&["for a minute and a half"], 90.0),
        (&["for half a minute"], 30.0),
        (&["for a minute", "for a full minute", "for a whole minute", "for a good minute", "for about a minute"], 60.0),
    ];
    before.filter(|b| matches!(b.what, What::Movement(_)) && b.to == i)?;
    let (seconds, n) = WAYS.iter().find_map(|(ways, seconds)| doc.says_any(i, ways).map(|n| (*seconds, n)))?;
    Some((What::Dose(Quantity { unit: Unit::Seconds, ..Quantity::bare(Amount::One(seconds)) }), n))
}
