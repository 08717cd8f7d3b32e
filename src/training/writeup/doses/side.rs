//! Which side the number counts.

use super::super::super::dose::{Amount, Side};
use super::super::element::{Doc, What};
use super::super::quantity::{Quantity, Unit, quantity};
use super::super::token::Kind;

/// Words for one side and then the other.
const PER: &[&str] = &[
    "each side",
    "per side",
    "a side",
    "every side",
    "both sides",
    "each leg",
    "per leg",
    "each arm",
    "per arm",
    "a leg",
    "an arm",
    "each way",
    "each direction",
    "each hand",
    "per hand",
    "each foot",
    "per foot",
    "either side",
    "each knee",
    "each hip",
    "for each leg",
    "for each side",
    "for each arm",
    "on each side",
    "on each leg",
    "on each arm",
    "on both sides",
    "per each side",
    "left and right",
    "l and r",
    "l & r",
    "right and left",
    "ea side",
    "ea leg",
    "ea arm",
    "e / s",
    "e / side",
    "e / leg",
    "e / arm",
    "ea / side",
    "p / s",
    "/ side",
    "/ leg",
    "/ arm",
    "/ hand",
    "/ s",
    "by side",
    "by leg",
    "by arm",
    "every leg",
    "every arm",
    "each shoulder",
    "per shoulder",
    "per direction",
    "per way",
    "l / r",
    "r / l",
    "l + r",
    "each limb",
    "eachside",
    "pr side",
    "to each side",
    "in each direction",
    "with each arm",
    "with each leg",
    "sides each",
];

/// Words for one side in turn with the other.
const ALT: &[&str] = &[
    "alternating",
    "alternate",
    "alternated",
    "alternately",
    "alt",
    "alternating sides",
    "alternating legs",
    "alternating arms",
    "alt sides",
    "alt legs",
    "alt arms",
    "switching sides",
    "switch sides each rep",
    "switch legs each rep",
    "switching each rep",
    "switch each rep",
    "switching legs",
    "alternate legs",
    "alternate sides",
    "alternate arms",
    "swap each rep",
    "swap every rep",
    "switch every rep",
    "swap arms every rep",
    "swap arms each rep",
    "swap sides every rep",
    "swap sides each rep",
    "swap hands every rep",
    "swap hands each rep",
    "swap legs every rep",
    "swap legs each rep",
    "switch arms every rep",
    "switch arms each rep",
    "switch sides every rep",
    "switch hands every rep",
    "switch hands each rep",
    "switch legs every rep",
    "changing sides every rep",
    "changing arms every rep",
];

/// Words for both sides taken together.
const TOTAL: &[&str] =
    &["total", "in total", "all together", "altogether", "total reps", "tot", "reps total", "both sides together"];

/// `each side`, `/leg`, `per arm`, `alternating`, `total`
pub(super) fn side(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let of = |side| move |n| (What::Side(side), n);
    per_side(doc, i)
        .map(of(Side::PerSide))
        .or_else(|| alternating(doc, i).map(of(Side::Alternating)))
        .or_else(|| total(doc, i).map(of(Side::Total)))
}

/// `each side` and its short forms: how many tokens.
fn per_side(doc: &Doc, i: usize) -> Option<usize> {
    if both_in_each(doc, i) {
        return None;
    }
    let written_out = doc.says_any(i, PER);
    let glued = i > 0 && doc.tokens[i - 1].kind == Kind::Number && doc.tokens.get(i).is_some_and(|t| !t.spaced);
    let closes = |at: usize| ends(doc, at) || loaded(doc, i, at);
    let dot = doc.low(i + 1) == ".";
    match doc.low(i) {
        // `3x8e`
        "e" if glued && closes(i + 1) => Some(1),
        "ea" if glued && written_out.is_none() => Some(1),
        "each" if closes(i + 1) => Some(1),
        "ea" if closes(i + 1 + usize::from(dot)) => Some(1),
        "ea" | "e" if dot && matches!(doc.low(i + 2), "side" | "leg" | "arm" | "hand" | "way") => Some(3),
        _ => written_out,
    }
}

/// `alternating`, with the dot of `alt.`: how many tokens.
fn alternating(doc: &Doc, i: usize) -> Option<usize> {
    let n = doc.says_any(i, ALT)?;
    let dot = doc.low(i) == "alt" && doc.low(i + n) == "." && doc.tokens.get(i + n).is_some_and(|t| !t.spaced);
    Some(n + usize::from(dot))
}

/// `in total`: how many tokens. `a total of 6 rounds`, `total time` say nothing about sides.
fn total(doc: &Doc, i: usize) -> Option<usize> {
    let counts = |n: usize| matches!(doc.low(i + n), "of" | "time" | "rounds" | "score" | "work" | "volume");
    doc.says_any(i, TOTAL).filter(|n| !counts(*n))
}

/// What is said of the sides ends before token `at`.
fn ends(doc: &Doc, at: usize) -> bool {
    doc.tokens.get(at).is_none_or(|t| {
        t.kind == Kind::Newline
            || matches!(t.text, "," | "." | ")" | "@" | ";" | "-" | "–" | ":" | "of")
            || matches!(doc.low(at), "rest" | "tempo")
            || label(doc, at)
    })
}

/// `4x10 each 22.5/15 kg`: a load stands at `at`, behind a word at `i` that follows its number.
fn loaded(doc: &Doc, i: usize, at: usize) -> bool {
    let counted = i > 0 && doc.tokens[i - 1].kind == Kind::Number;
    let load = || doc.tokens.get(at..).and_then(quantity).is_some_and(|q| matches!(q.unit, Unit::Kg | Unit::Lb));
    counted && load()
}

/// `both in each`, `all three in each`: in each round or window, nothing about sides.
fn both_in_each(doc: &Doc, i: usize) -> bool {
    let who = |w: &str| matches!(w, "both" | "all" | "two" | "three" | "four" | "everything" | "them" | "lines" | "movements");
    doc.low(i) == "each" && i > 1 && doc.low(i - 1) == "in" && who(doc.low(i - 2))
}

/// `B2` at token `at`: the next line of a chat without line breaks.
fn label(doc: &Doc, at: usize) -> bool {
    let letter = matches!(doc.low(at), "a" | "b" | "c" | "d" | "e" | "f");
    letter && doc.tokens.get(at + 1).is_some_and(|t| t.kind == Kind::Number && t.chars == 1 && !t.spaced)
}

/// Which hand a word names.
#[must_use]
pub fn hand(word: &str) -> Option<char> {
    match word {
        "l" | "left" => Some('l'),
        "r" | "right" => Some('r'),
        _ => None,
    }
}

/// `5 L / 5 R`, `5 left, 5 right`
pub(super) fn split(doc: &Doc, i: usize, q: &Quantity) -> Option<(What, usize)> {
    let Amount::One(a) = q.amount else { return None };
    let end = i + q.tokens;
    let first = hand(doc.low(end))?;
    let mut at = end + 1;
    while matches!(doc.low(at), "/" | "," | "+" | "and" | "&" | "-") {
        at += 1;
    }
    let other = quantity(doc.tokens.get(at..)?)?;
    let Amount::One(b) = other.amount else { return None };
    let second = hand(doc.low(at + other.tokens))?;
    let used = at + other.tokens + 1 - i;
    if first == second || other.unit != q.unit && other.unit != Unit::Bare {
        return None;
    }
    if matches!(q.unit, Unit::Bare | Unit::Reps) {
        return Some((What::Split(a, b), used));
    }
    // `20 s L / 20 s R`
    let same = (a - b).abs() < f64::EPSILON;
    same.then(|| (What::Dose(Quantity { halves: true, tokens: used, ..q.clone() }), used))
}
