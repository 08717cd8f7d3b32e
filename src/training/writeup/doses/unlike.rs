//! Two weights that differ, one for each side.

use super::super::element::Doc;
use super::super::quantity::{Quantity, Unit, quantity};
use super::load::HELD;

/// Where one of the two is held.
const PLACES: &[&str] = &[
    "in one hand",
    "in the one hand",
    "in the other hand",
    "in the other",
    "in the left hand",
    "in the right hand",
    "in your left hand",
    "in your right hand",
    "in your left",
    "in your right",
    "in the left",
    "in the right",
    "in left hand",
    "in right hand",
    "left hand",
    "right hand",
    "left",
    "right",
    "on one side",
    "on the other side",
    "on the other",
    "on the left",
    "on the right",
    "one side",
    "other side",
    "overhead",
    "at your side",
    "in the rack",
    "racked",
    "on the shoulder",
];

/// `one 24 kg and one 16 kg bell`, `24 kg in one hand, 16 kg in the other`: the tokens of both. A line has one weight for each
/// implement, so neither of the two is its load. `24 kg for the men and 16 kg for the women` are two columns.
pub fn unlike(doc: &Doc, i: usize) -> Option<usize> {
    let with = usize::from(matches!(doc.low(i), "with" | "@" | "holding" | "carrying" | "using"));
    let first = one_side(doc, i + with)?;
    let second = one_side(doc, first.end + 1)?;
    let joined = match doc.low(first.end) {
        "and" | "&" | "+" => (first.counted || first.placed) && (second.counted || second.placed),
        "," | "/" | ";" => first.placed && second.placed,
        _ => false,
    };
    let differ = first.weight.unit == second.weight.unit && first.weight.amount != second.weight.amount;
    (joined && differ).then_some(second.end - i)
}

/// The weight of one side.
struct OneSide {
    weight: Quantity,
    /// `one 24 kg`, `a 24 kg`, `1 x 24 kg`
    counted: bool,
    /// `24 kg in the left hand`
    placed: bool,
    /// token after the last
    end: usize,
}

fn one_side(doc: &Doc, i: usize) -> Option<OneSide> {
    let counted = doc.says_any(i, &["one", "a", "an", "1 x", "1"]).filter(|n| doc.tokens.get(i + n).is_some());
    let own = |at: usize| quantity(doc.tokens.get(at..)?).filter(|q| matches!(q.unit, Unit::Kg | Unit::Lb));
    let used = counted.filter(|n| own(i + n).is_some()).unwrap_or(0);
    let weight = own(i + used)?;
    let end = i + used + weight.tokens;
    let end = end + usize::from(doc.plain.get(end).is_some_and(|w| HELD.contains(&w.as_str())));
    let place = doc.says_any(end, PLACES);
    Some(OneSide { weight, counted: used > 0, placed: place.is_some(), end: end + place.unwrap_or(0) })
}
