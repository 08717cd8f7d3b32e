//! A weight for these and a weight for those.

use super::super::super::dose::Amount;
use super::super::element::{Doc, What};
use super::super::quantity::{Quantity, Unit, quantity};
use super::load::weight;

/// Those for whom one of two weights is.
const PEOPLE: &[&str] = &[
    "men", "women", "male", "female", "males", "females", "guys", "girls", "boys", "ladies", "gents", "lads", "him", "her", "m",
    "f",
];

/// `24 kg for the men and 16 kg for the women`, `24 kg men / 16 women`: two columns. A comma parts two weights in brackets alone;
/// elsewhere each stands in a clause of its own.
pub(super) fn for_whom(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let with = usize::from(matches!(doc.low(i), "with" | "@" | "at" | "using"));
    let (first, end) = told(doc, i + with)?;
    let unit = first.unit;
    let open = i > 0 && doc.low(i - 1) == "(";
    let joined = matches!(doc.low(end), "and" | "&" | "/" | "or" | ";") || open && doc.low(end) == ",";
    let (second, end) = told(doc, end + 1).filter(|(q, _)| joined && (q.unit == unit || q.unit == Unit::Bare))?;
    let (Amount::One(a), Amount::One(b)) = (&first.amount, &second.amount) else { return None };
    let heavy = matches!(unit, Unit::Kg | Unit::Lb);
    let both = Quantity { amount: Amount::Columns(*a, *b), ..first.clone() };
    heavy.then(|| (What::Load(weight(&both), None), end - i))
}

/// A weight and for whom it is, and the token behind them.
fn told(doc: &Doc, i: usize) -> Option<(Quantity, usize)> {
    let q = quantity(doc.tokens.get(i..)?)?;
    let mut at = i + q.tokens;
    at += doc.says_any(at, &["for the", "for", "the"]).unwrap_or(0);
    PEOPLE.contains(&doc.low(at)).then_some((q, at + 1))
}
