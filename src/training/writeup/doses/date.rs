//! Dates, which are no doses.

use super::super::assemble::is_day;
use super::super::element::{Doc, What};
use super::super::token::Kind;

/// `14 Oct`, `Oct 14th`, `14/10/2026`: a day, not a dose.
pub(super) fn date(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let day =
        |at: usize| doc.tokens.get(at).and_then(|t| t.number()).is_some_and(|n| n.fract() == 0.0 && (1.0..=31.0).contains(&n));
    let th = |at: usize| usize::from(matches!(doc.low(at), "st" | "nd" | "rd" | "th"));
    let march = |at: usize| matches!(doc.low(at), "march" | "may" | "mar");
    let used = if day(i) && march(i + 1 + th(i + 1)) && (th(i + 1) > 0 || behind_day(doc, i) || year(doc, i + 2)) {
        2 + th(i + 1)
    } else if march(i) && day(i + 1) && behind_day(doc, i) {
        2 + th(i + 2)
    } else if day(i) && is_month(doc.low(i + 1 + th(i + 1))) {
        2 + th(i + 1)
    } else if is_month(doc.low(i)) && day(i + 1) && (i == 0 || doc.tokens[i].spaced) {
        2 + th(i + 2)
    } else if day(i) && doc.low(i + 1) == "/" && day(i + 2) && doc.low(i + 3) == "/" && doc.tokens.get(i + 4)?.text.len() == 4 {
        5
    } else if day(i) && matches!(doc.low(i + 1), "/" | "." | "-") && day(i + 2) && behind_day(doc, i) {
        // `Tue 14/10`
        3
    } else if doc.tokens[i].kind == Kind::Number && doc.low(i).contains('.') && behind_day(doc, i) {
        // `Tue 14.10`
        1
    } else {
        return None;
    };
    Some((What::Word, used))
}

/// `2026` behind a month.
fn year(doc: &Doc, at: usize) -> bool {
    doc.tokens.get(at).is_some_and(|t| t.kind == Kind::Number && t.text.len() == 4 && t.text.starts_with("20"))
}

/// The name of a day stands right before token `i`, and only an end or a sign behind the date.
fn behind_day(doc: &Doc, i: usize) -> bool {
    let comma = usize::from(i > 1 && matches!(doc.low(i - 1), "," | "."));
    let day = i > comma && is_day(doc.low(i - 1 - comma)) && !matches!(doc.low(i - 1 - comma), "day" | "week");
    let opens = i > comma && (i - 1 - comma == 0 || doc.tokens[i - 2 - comma].kind != Kind::Word);
    day && opens && doc.tokens[i].spaced
}

fn is_month(word: &str) -> bool {
    const MONTHS: [&str; 12] = [
        "january",
        "february",
        "march",
        "april",
        "may",
        "june",
        "july",
        "august",
        "september",
        "october",
        "november",
        "december",
    ];
    // `march` and `may` are also things to do and to be allowed
    MONTHS
        .iter()
        .any(|m| *m == word && word.len() > 5 || word.len() == 3 && m.starts_with(word) && word != "may" && word != "mar")
        || matches!(word, "sept" | "april" | "june" | "july")
}
