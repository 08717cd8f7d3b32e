//! Words that say that something comes when what stands above is over.

use super::super::element::{Doc, What};
use super::super::quantity::{Unit, number, quantity};
use super::super::token::Kind;

const THEN: &[&str] = &[
    "then",
    "and then",
    "and at the end",
    "after that",
    "afterwards",
    "followed by",
    "into",
    "straight into",
    "next",
    "next up",
    "finish with",
    "finally",
    "to finish",
    "last thing",
    "one last thing",
    "last up",
    "lastly",
    "last but not least",
    "last of all",
    "and last of all",
    "and lastly",
    "we finish with",
    "finish off with",
    "ease out with",
    "to end",
    "to round off",
    "and finally",
    "later",
    "after the last round",
    "after the last one",
    "after the last rung",
    "after all rounds",
    "after all the rounds",
    "when all rounds are done",
    "once all rounds are done",
];

/// `then`, `after that`, `when you are done`
pub(super) fn then(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let said = doc.says_any(i, THEN).or_else(|| after_rest(doc, i));
    said.or_else(|| when_done(doc, i)).or_else(|| ends_with(doc, i)).or_else(|| one_more(doc, i)).map(|n| (What::Then, n))
}

/// `after 3 minutes rest`, `after a short break`: what follows comes then.
pub fn after_rest(doc: &Doc, i: usize) -> Option<usize> {
    const RESTS: &[&str] = &["rest", "resting", "break", "breather", "recovery", "pause"];
    let mut at = i + doc.says_any(i, &["after", "following"])?;
    at += doc.says_any(at, &["a rest of", "a break of", "a", "an", "another", "your", "the", "resting", "about"]).unwrap_or(0);
    let timed = doc.tokens.get(at..).and_then(quantity).filter(|q| q.unit == Unit::Seconds);
    at += timed.as_ref().map_or(0, |q| q.tokens);
    at += doc.says_any(at, &["of full", "of", "full", "complete", "more", "short", "long", "proper", "quick"]).unwrap_or(0);
    let behind = doc.says_any(at, RESTS).filter(|n| !matches!(doc.low(at + n), "day" | "days"));
    // `after resting 3 min`, `after a rest of 3 min`
    let before = timed.is_some() && (i..at).any(|t| matches!(doc.low(t), "resting" | "rest" | "break"));
    behind.map(|n| at + n - i).or_else(|| before.then_some(at - i))
}

/// `We end with a plank` as the opening of a sentence; `each round we end with a plank` is in each of them.
fn ends_with(doc: &Doc, i: usize) -> Option<usize> {
    let opens = i == 0 || doc.tokens[i - 1].kind != Kind::Word;
    doc.says_any(i, &["end with", "close with", "we close with", "we end with"]).filter(|_| opens)
}

/// `last one, 400 m run for time`: before a comma, as the opening of a sentence.
fn one_more(doc: &Doc, i: usize) -> Option<usize> {
    let opens = i == 0 || doc.tokens[i - 1].kind != Kind::Word && !matches!(doc.tokens[i - 1].text, "," | "(");
    let n = doc.says_any(i, &["last one", "final one", "last bit", "final bit", "last job", "one more", "one last one"])?;
    (opens && doc.low(i + n) == ",").then_some(n)
}

/// `When you are done`, `once the bar is put away`, `when you can speak again` at the beginning of a sentence.
fn when_done(doc: &Doc, i: usize) -> Option<usize> {
    let opens = i == 0 || doc.tokens[i - 1].kind != Kind::Word && !matches!(doc.tokens[i - 1].text, "," | "(");
    let opens = opens || matches!(doc.low(i - 1), "then" | "and") && (i == 1 || doc.tokens[i - 2].kind != Kind::Word);
    let word = |k: usize| doc.tokens.get(i + k).is_some_and(|t| t.kind == Kind::Word);
    let done = |k: usize| matches!(doc.low(i + k), "done" | "finished" | "through" | "away" | "again" | "over" | "behind");
    let when = opens && matches!(doc.low(i), "when" | "once" | "after");
    let at = (2..8).take_while(|k| word(*k)).find(|k| done(*k)).filter(|_| when)?;
    // `once through`, `when it is over 80 kg`: no end of a sentence's first half
    let ends = doc.tokens.get(i + at + 1).is_some_and(|t| t.is(","))
        || matches!(doc.low(i + at + 1), "we" | "do" | "lie" | "take" | "it's")
        // `when you're done two minutes of pigeon`
        || matches!(doc.low(i + at - 1), "you're" | "youre" | "ur" | "are" | "is" | "all" | "that's")
            && doc.tokens.get(i + at + 1).is_some_and(|t| number(t).is_some());
    let at = if doc.low(i + at + 1) == "you" { at + 1 } else { at };
    ends.then_some(at + 1)
}
