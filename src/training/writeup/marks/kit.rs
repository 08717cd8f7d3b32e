//! Versions for who has no kit.

use super::super::element::Doc;
use super::super::token::Kind;

/// How such a version is opened.
const WORDS: &[&str] = &[
    "no kit",
    "no equipment",
    "no gear",
    "no kit at all",
    "no equipment at all",
    "no kit at home",
    "no equipment at home",
    "no kit today",
    "no weights",
    "no weights at home",
    "without kit",
    "without equipment",
    "without weights",
    "if you have no kit",
    "if you have no equipment",
    "if you have no weights",
    "got no kit",
    "got no equipment",
    "nothing at home",
    "travelling",
    "travelling without kit",
    "on the road",
    "hotel room",
    "bodyweight",
    "bodyweight only",
    "body weight only",
];

/// `No kit:`, `nothing at home? -`: a version for who has none, at the beginning of a line.
pub(super) fn without_kit(doc: &Doc, i: usize) -> Option<usize> {
    let opens = i == 0 || doc.tokens[i - 1].kind == Kind::Newline || matches!(doc.low(i - 1), "." | "-" | "*" | "(");
    let n = doc.says_any(i, WORDS).filter(|_| opens)?;
    let ends = matches!(doc.low(i + n), ":" | "?" | "=") || matches!(doc.low(i + n), "-" | "–" | "—" | ">" | "->");
    let more = doc.tokens.get(i + n + 1).is_some_and(|t| t.kind != Kind::Newline);
    (ends && more).then_some(n)
}

/// The name of such a version; one thing that is missing is another matter.
pub fn names_no_kit(name: &str) -> bool {
    let name = name.to_lowercase();
    let opens = |words: &str| name.strip_prefix(words).is_some_and(|rest| !rest.starts_with(char::is_alphanumeric));
    WORDS.iter().any(|words| opens(words))
}
