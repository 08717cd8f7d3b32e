//! `10:00-25:00 Snatch technique`: headings that tell where in the hour a part stands.

use super::element::{Doc, What};
use super::quantity::number;
use super::token::Kind;

/// Whether several lines of the text begin with a stretch of the clock, each where the one before ended.
#[must_use]
pub fn told(doc: &Doc) -> Option<Told> {
    let opens = |i: &usize| opens(doc, *i);
    let all = |told: Told| -> Vec<(f64, f64)> {
        (0..doc.tokens.len()).filter(opens).filter_map(|i| stretch(doc, i, told)).map(|(a, b, _)| (a, b)).collect()
    };
    let signed = all(Told::Signed);
    if signed.len() > 1 && signed.windows(2).all(|w| w[1].0 >= w[0].1) && signed[0].0 < 1.0 {
        return Some(Told::Signed);
    }
    // `0-10 build up ...`, `10-20 EMOM: ...`: each begins where the one before ended
    let bare = all(Told::Bare);
    (bare.len() > 1 && bare[0].0 < 1.0 && bare.windows(2).all(|w| (w[1].0 - w[0].1).abs() < 0.01)).then_some(Told::Bare)
}

/// A line begins at token `i`, or a sentence that says `min 5-20`.
#[must_use]
pub fn opens(doc: &Doc, i: usize) -> bool {
    let sentence =
        i > 0 && matches!(doc.low(i - 1), "." | ";" | "!") && matches!(doc.low(i), "min" | "mins" | "minute" | "minutes");
    i == 0 || doc.tokens[i - 1].kind == Kind::Newline || sentence
}

/// How a stretch of minutes is told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Told {
    /// `0-10 min`, `0-10:`
    Signed,
    /// `0-10` and then what is done
    Bare,
}

/// The heading that begins at token `i`, and how many tokens it takes.
#[must_use]
pub fn heading(doc: &Doc, i: usize, told: Told) -> Option<(What, usize)> {
    stretch(doc, i, told).map(|(from, to, used)| (What::Stretch(to - from), used))
}

/// From, to (seconds) and tokens: `10:00-25:00`, `0-10 min`, `0-10:`.
fn stretch(doc: &Doc, i: usize, told: Told) -> Option<(f64, f64, usize)> {
    let said = told == Told::Bare || doc.low(i + 4) == ":";
    if matches!(doc.low(i), "min" | "mins" | "minute" | "minutes") && said {
        // `Min 10-20:`
        return stretch(doc, i + 1, told).map(|(from, to, used)| (from, to, used + 1));
    }
    let (from, to) = (doc.tokens.get(i)?, doc.tokens.get(i + 2)?);
    if !matches!(doc.low(i + 1), "-" | "–" | "—" | "to") || from.kind != to.kind {
        return None;
    }
    let ((a, _), (b, _)) = (number(from)?, number(to)?);
    let minutes = matches!(doc.low(i + 3), "min" | "mins" | "minutes" | "'" | "′");
    let (factor, used) = match from.kind {
        Kind::Clock => (1.0, 3),
        Kind::Number if minutes => (60.0, 4),
        Kind::Number if doc.low(i + 3) == ":" => (60.0, 3),
        Kind::Number if told == Told::Bare && doc.tokens.get(i + 3).is_some_and(|t| t.spaced && t.kind == Kind::Word) => {
            (60.0, 3)
        }
        _ => return None,
    };
    let used = used + usize::from(doc.low(i + used) == ":");
    (a < b).then_some((a * factor, b * factor, used))
}
