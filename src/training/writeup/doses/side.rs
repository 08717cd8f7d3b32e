//! Which side the number counts.

use super::super::super::dose::{Amount, Side};
use super::super::element::{Doc, What};
use super::super::quantity::{Quantity, Unit, quantity};
use super::super::token::Kind;

/// `each side`, `/leg`, `per arm`, `alternating`, `total`
pub(super) fn side(doc: &Doc, i: usize) -> Option<(What, usize)> {
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
    const TOTAL: &[&str] =
        &["total", "in total", "all together", "altogether", "total reps", "tot", "reps total", "both sides together"];
    let ends = |at: usize| {
        doc.tokens.get(at).is_none_or(|t| {
            t.kind == Kind::Newline
                || matches!(t.text, "," | "." | ")" | "@" | ";" | "-" | "–" | ":" | "of")
                || matches!(doc.low(at), "rest" | "tempo")
                || label(doc, at)
        })
    };
    // `4x10 each 22.5/15 kg`
    let loaded = |at: usize| {
        let counted = i > 0 && doc.tokens[i - 1].kind == Kind::Number;
        let load = || doc.tokens.get(at..).and_then(quantity).is_some_and(|q| matches!(q.unit, Unit::Kg | Unit::Lb));
        counted && load()
    };
    let ends = |at: usize| ends(at) || loaded(at);
    let glued = |at: usize| at > 0 && doc.tokens[at - 1].kind == Kind::Number && !doc.tokens[at].spaced;
    if doc.low(i) == "e" && glued(i) && ends(i + 1) {
        // `3x8e`
        return Some((What::Side(Side::PerSide), 1));
    }
    if both_in_each(doc, i) {
        return None;
    }
    let glued = doc.low(i) == "ea" && i > 0 && !doc.tokens[i].spaced && doc.tokens[i - 1].kind == Kind::Number;
    if glued && doc.says_any(i, PER).is_none() {
        return Some((What::Side(Side::PerSide), 1));
    }
    if matches!(doc.low(i), "each" | "ea") && ends(i + 1 + usize::from(doc.low(i) == "ea" && doc.low(i + 1) == ".")) {
        return Some((What::Side(Side::PerSide), 1));
    }
    if matches!(doc.low(i), "ea" | "e")
        && doc.low(i + 1) == "."
        && matches!(doc.low(i + 2), "side" | "leg" | "arm" | "hand" | "way")
    {
        return Some((What::Side(Side::PerSide), 3));
    }
    if let Some(n) = doc.says_any(i, PER) {
        return Some((What::Side(Side::PerSide), n));
    }
    if let Some(n) = doc.says_any(i, ALT) {
        return Some((
            What::Side(Side::Alternating),
            n + usize::from(doc.low(i + n) == "." && doc.tokens.get(i + n).is_some_and(|t| !t.spaced) && doc.low(i) == "alt"),
        ));
    }
    // `a total of 6 rounds`, `total time`: nothing about sides
    let counts = |n: usize| matches!(doc.low(i + n), "of" | "time" | "rounds" | "score" | "work" | "volume");
    doc.says_any(i, TOTAL).filter(|n| !counts(*n)).map(|n| (What::Side(Side::Total), n))
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
