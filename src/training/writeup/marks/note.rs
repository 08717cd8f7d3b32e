//! Words that make a note of what follows.

use super::super::clocks::count;
use super::super::element::{Doc, What};
use super::super::token::{Kind, Token};

/// `Note:`, `Reminder from Monday:`, `PS bring a towel`, or `Notes` alone on its line.
pub(super) fn note(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let signed = doc.says_any(i, SIGNED).filter(|n| matches!(doc.low(i + n), ":" | "-" | "–" | "="));
    let said = reminder(doc, i).or_else(|| afterthought(doc, i)).or_else(|| heads_notes(doc, i));
    signed.max(said).map(|n| (What::Note, n))
}

/// Words of a note where a colon or a dash stands behind them.
const SIGNED: &[&str] = &[
    "note",
    "notes",
    "nb",
    "n b",
    "ps",
    "p s",
    "coach note",
    "coach's note",
    "coaches note",
    "tip",
    "tips",
    "cue",
    "cues",
    "video",
    "link",
    "equipment",
    "kit",
    "kit list",
    "kit needed",
    "you need",
    "you'll need",
    "you will need",
    "what you need",
    "needs",
    "gear",
    "bring",
    "reminder",
    "focus",
    "ex",
    "e g",
    "example",
    "demo",
    "standard",
    "standards",
    "points",
    "key points",
    "watch",
    "stimulus",
    "feel",
    "stop if",
    "stop when",
    "why",
    "think",
    "common fault",
    "common faults",
    "common mistake",
    "common mistakes",
    "safety",
];

/// `Reminder from Monday:` at the beginning of a line.
fn reminder(doc: &Doc, i: usize) -> Option<usize> {
    let opens = i == 0 || doc.tokens[i - 1].kind == Kind::Newline;
    let word = matches!(doc.low(i), "reminder" | "remember" | "note" | "tip" | "ps");
    let colon = (1..6).find(|k| !doc.tokens.get(i + k).is_some_and(|t| t.kind == Kind::Word))?;
    (opens && word && doc.low(i + colon) == ":").then_some(colon)
}

/// `PS 12 min cap as always` at the beginning of a line; `PS 3x3` is the lift.
fn afterthought(doc: &Doc, i: usize) -> Option<usize> {
    // also behind a full stop or a picture: `... in the thread 👇 ps bring a towel`
    let ends = |t: &Token| matches!(t.kind, Kind::Newline | Kind::Other) || matches!(t.text, "." | "!" | "?");
    let opens = i == 0 || ends(&doc.tokens[i - 1]);
    let n = doc.says_any(i, &["ps", "p s", "p . s .", "nb", "btw", "fyi"]).filter(|_| opens)?;
    let sets = count(doc, i + n).is_some() && matches!(doc.low(i + n + 1), "x" | "×" | "*" | "sets" | "@" | "/");
    let words = (i + n..i + n + 6).filter(|t| doc.tokens.get(*t).is_some_and(|t| t.kind == Kind::Word)).count();
    (!sets && words > 2).then_some(n)
}

/// `Notes` alone on its line: what stands below is only said.
fn heads_notes(doc: &Doc, i: usize) -> Option<usize> {
    const HEADS: &[&str] = &[
        "note",
        "notes",
        "coach notes",
        "coach's notes",
        "coaches notes",
        "coaching notes",
        "reminder",
        "reminders",
        "cues",
        "tips",
        "kit",
        "kit list",
        "equipment",
        "points",
        "key points",
        "coaching points",
        "standards",
        "stimulus",
    ];
    let sign = |k: usize| matches!(doc.low(k), "#" | "*" | "-");
    let before = (0..i).rev().find(|&k| !sign(k));
    let opens = before.is_none_or(|k| doc.tokens[k].kind == Kind::Newline);
    let ends = |k: usize| doc.tokens.get(k).is_none_or(|t| t.kind == Kind::Newline);
    doc.says_any(i, HEADS).filter(|n| opens && ends(i + n))
}
