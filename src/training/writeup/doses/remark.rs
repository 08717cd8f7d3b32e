//! Numbers that are said to a reader and count nothing: limbs, and how long the whole day is.

use super::super::clocks::count;
use super::super::element::{Doc, What};
use super::super::quantity::{Unit, quantity};

const LIMBS: &[&str] =
    &["hand", "foot", "arm", "leg", "knee", "heel", "elbow", "shoulder", "finger", "eye", "palm", "hip", "ear"];
const WHERE: &[&str] = &[
    "near", "on", "against", "at", "in", "behind", "under", "over", "above", "below", "off", "touching", "up", "down", "to",
    "each", "forward", "forwards", "back", "out", "free", "straight", "bent", "closed", "always",
];

/// `one hand near the wall`, `one foot on the step`: how it is done, and no number of anything.
pub(super) fn limb(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let one = count(doc, i).is_some_and(|n| (n - 1.0).abs() < 0.01);
    (one && LIMBS.contains(&doc.low(i + 1)) && WHERE.contains(&doc.low(i + 2))).then_some((What::Word, 2))
}

/// Words behind a time that say that it is that of the whole day.
const OF_THE_DAY: &[&str] =
    &["door to door", "start to finish", "from start to finish", "top to bottom", "beginning to end", "first to last"];

/// `20 min door to door`
pub(super) fn of_the_day(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let q = doc.tokens.get(i..).and_then(quantity).filter(|q| q.unit == Unit::Seconds && q.amount.low() >= 300.0)?;
    doc.says_any(i + q.tokens, OF_THE_DAY).map(|n| (What::Word, q.tokens + n))
}
