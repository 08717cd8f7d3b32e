//! As many rounds as possible.

use super::super::element::{Doc, What};
use super::{bare_window, gap, time};

/// As often as it goes in a time.
pub(super) const AMRAP: &[&str] = &[
    "amrap",
    "amraps",
    "as many rounds as possible",
    "as many rounds and reps as possible",
    "as many reps as possible",
    "as many rounds as you can",
    "so many rounds as possible",
    "so many rounds as you can",
    "so many reps as possible",
    "as many rounds and reps as you can",
    "as many reps as you can",
    "max rounds",
    "max rounds and reps",
    "max rounds + reps",
    "most rounds",
    "as many rounds + reps as possible",
    "as many rounds as you can get",
    "as many rounds as you can fit in",
    "as many laps as possible",
    "as many laps as you can",
    "as many circuits as possible",
    "as many circuits as you can",
    "as many trips as you can",
    "as many times as you can",
    "as many times as possible",
    "as often as you can",
    "as often as possible",
    "amrep",
    "amrp",
];

/// An AMRAP and its window: `AMRAP 12`, `as many rounds as you can in 8 minutes`.
pub(super) fn amrap(doc: &Doc, i: usize) -> Option<(What, usize)> {
    const LEFT: &[&str] = &[
        "in the remaining time of",
        "in the remaining time to",
        "in the time remaining of",
        "in the time left of",
        "with the remaining time of",
        "in the rest of",
        "in the remainder of",
        "for the rest of",
        "for the remainder of",
    ];
    let n = doc.says_any(i, AMRAP)?;
    if i > 1 && matches!(doc.low(i - 1), "set" | "one" | "round") && matches!(doc.low(i - 2), "last" | "final") {
        // `5x3, last set amrap`: how that set ends, no window
        return Some((What::Word, n));
    }
    let at = i + n + doc.says_any(i + n, LEFT).unwrap_or(0);
    let at = at + gap(doc, at);
    let window = time(doc, at, true).filter(|(_, q)| bare_window(doc, at, q));
    Some(match window {
        Some((seconds, q)) => (What::Amrap(Some(seconds)), at + q.tokens - i),
        None => (What::Amrap(None), n),
    })
}
