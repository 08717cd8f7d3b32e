//! Words that open another version of what stands above.

use super::super::element::{Doc, What};
use super::super::token::Kind;
use super::kit::without_kit;

/// `Short version:`, `scaled`, `if you are short on time`, `chill ver:`, `no kit:`
pub(super) fn option(doc: &Doc, i: usize) -> Option<(What, usize)> {
    // `short day`: the word only says more of the one behind it
    let said = doc.says_any(i, WORDS).filter(|n| !matches!(doc.low(i + n), "week" | "day" | "cap" | "limit"));
    said.or_else(|| version(doc, i)).or_else(|| without_kit(doc, i)).map(|n| (What::Option, n))
}

/// `chill ver:`, `the lazy version -`: any word before `version`, as the opening of a line.
fn version(doc: &Doc, i: usize) -> Option<usize> {
    let opens = i == 0 || doc.tokens[i - 1].kind == Kind::Newline || !doc.tokens[i - 1].text.is_ascii();
    let at = (1..4)
        .find(|k| matches!(doc.low(i + k), "ver" | "version" | "vers" | "variant" | "edition" | "option" | "alternative"))?;
    let words =
        (0..at).all(|k| doc.tokens[i + k].kind == Kind::Word && !matches!(doc.low(i + k), "full" | "main" | "same" | "this"));
    (opens && words && matches!(doc.low(i + at + 1), ":" | "-" | "–" | "=")).then_some(at + 1)
}

/// How such a version is opened.
const WORDS: &[&str] = &[
    "short version",
    "shorter version",
    "short option",
    "shorter option",
    "shorter",
    "or shorter",
    "short",
    "scaled",
    "scale",
    "scaling",
    "rx",
    "as written",
    "scaled version",
    "short on time",
    "beginner",
    "beginners",
    "beginner version",
    "beginner option",
    "easier",
    "easier option",
    "easier version",
    "lighter",
    "lighter version",
    "lighter option",
    "option",
    "options",
    "new here",
    "less time",
    "quick version",
    "quiet version",
    "quiet option",
    "longer version",
    "long version",
    "harder",
    "harder option",
    "no time",
    "in a hurry",
    "in a rush",
    "if you are in a rush",
    "if you're in a rush",
    "option b",
    "easy version",
    "easy option",
    "lite version",
    "lite",
    "light version",
    "light option",
    "mini version",
    "half version",
    "short for time",
    "pressed for time",
    "who has not so much time",
    "who has no time",
    "who has little time",
    "not so much time",
    "not much time",
    "not enough time",
    "little time",
    "tight on time",
    "time is short",
    "time is tight",
    "if time is short",
    "if time is tight",
    "if you are short on time",
    "if you're short on time",
    "if short on time",
    "if your short on time",
    "if ur short on time",
    "if you are tight on time",
    "if you're tight on time",
    "no kit version",
    "no equipment version",
    "bodyweight version",
    "home version",
    "dumbbell version",
];
