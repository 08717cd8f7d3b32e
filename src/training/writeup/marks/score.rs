//! Words that say what is written down at the end.

use super::super::element::{Doc, What};
use super::super::token::Kind;

/// `Score:`, `send me your time`, `not scored`
pub(super) fn score(doc: &Doc, i: usize) -> Option<(What, usize)> {
    // `log rolls 3x10` are done, not written down
    let rolls = doc.low(i) == "log" && doc.tokens.get(i + 2).is_some_and(|t| t.number().is_some()) && doc.low(i + 3) == "x";
    let told = |n: &usize| !matches!(doc.low(i), "send" | "tell" | "give") || asks_for_result(doc, i + n);
    let said = doc.says_any(i, WORDS).filter(|n| !rolls && told(n));
    said.or_else(|| doc.says_any(i, NONE)).map(|n| (What::Score, n))
}

/// `send me your time`, not `send me a photo`.
fn asks_for_result(doc: &Doc, at: usize) -> bool {
    (at..at + 6).take_while(|k| doc.tokens.get(*k).is_some_and(|t| t.kind != Kind::Newline)).any(|k| {
        matches!(
            doc.low(k),
            "score"
                | "scores"
                | "time"
                | "times"
                | "reps"
                | "rounds"
                | "seconds"
                | "kg"
                | "weight"
                | "weights"
                | "numbers"
                | "number"
                | "result"
                | "results"
                | "total"
                | "cals"
                | "calories"
                | "distance"
                | "load"
        )
    })
}

const WORDS: &[&str] = &[
    "score",
    "scores",
    "scoring",
    "your score",
    "both scores",
    "post",
    "log",
    "record",
    "result",
    "results",
    "report",
    "enter",
    "note down",
    "write down",
    "score it",
    "send me",
    "tell me",
    "give me",
    "count rounds",
    "count your rounds",
    "count the rounds",
    "count how many rounds",
    "count total reps",
    "count reps",
    "count your reps",
    "count all reps",
    "count every rep",
    "total reps",
];

/// Nothing is written down.
const NONE: &[&str] = &["no score", "not scored", "nothing to score", "unscored"];
