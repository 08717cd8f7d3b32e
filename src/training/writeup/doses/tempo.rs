//! How fast each part of a rep.

use super::super::element::{Doc, What};
use super::super::token::{Kind, Token};

/// `tempo 31X1`, `31X1`, `3-1-1-0 tempo`
pub(super) fn tempo(doc: &Doc, i: usize) -> Option<(What, usize)> {
    if doc.low(i) == "tempo" {
        let gap = usize::from(matches!(doc.low(i + 1), ":" | "=" | "@" | "of" | "-"));
        let (code, used) = tempo_code(doc.tokens.get(i + 1 + gap..)?, true)?;
        return Some((What::Tempo(code), 1 + gap + used));
    }
    if let Some(code) = alone(doc, i) {
        return Some((What::Tempo(code), 1));
    }
    let (code, used) = tempo_code(doc.tokens.get(i..)?, with_nought(doc, i) || doc_says_tempo_behind(doc, i))?;
    let behind = usize::from(doc.low(i + used) == "tempo");
    Some((What::Tempo(code), used + behind))
}

/// `split squat 3 x 8, 3010, rest 75 s`: four digits between signs, behind sets and reps on their line.
fn alone(doc: &Doc, i: usize) -> Option<String> {
    let t = doc.tokens.get(i)?;
    let digits = t.kind == Kind::Number && t.chars == 4 && t.text.chars().all(|c| ('0'..='7').contains(&c));
    // a year, or a round number of metres
    let other = t.text.ends_with("00") || t.text.starts_with("19") || t.text.starts_with("202") && !t.text.ends_with('0');
    if !digits || other {
        return None;
    }
    let open = i > 0 && matches!(doc.low(i - 1), "," | "(" | ";" | "|" | "@" | "-" | "–" | "[" | "at")
        || i > 1 && doc.tokens[i].spaced && doc.tokens[i - 1].kind == Kind::Number && matches!(doc.low(i - 2), "x" | "×");
    let close =
        doc.tokens.get(i + 1).is_none_or(|n| n.kind == Kind::Newline || matches!(n.text, "," | ")" | ";" | "|" | "]" | "."))
            || matches!(doc.low(i + 1), "rest" | "tempo" | "each" | "per");
    let behind = (i.saturating_sub(40)..i)
        .rev()
        .take_while(|&k| doc.tokens[k].kind != Kind::Newline)
        .any(|k| matches!(doc.low(k), "x" | "×" | "sets" | "reps") || doc.low(k) == "tempo");
    (open && close && behind).then(|| t.text.chars().map(String::from).collect::<Vec<_>>().join("-"))
}

/// `4-1-1-0`: nobody does none, so four places with a nought are a tempo.
pub(super) fn with_nought(doc: &Doc, i: usize) -> bool {
    let place = |k: usize| doc.tokens.get(i + k).is_some_and(|t| if k % 2 == 1 { t.is("-") } else { t.text.len() == 1 });
    (0..7).all(place) && (0..4).any(|k| doc.low(i + 2 * k) == "0")
}

/// The places from `i` on are followed by the word: `3-1-1-0 tempo`. In `3x6 tempo 3110` and `3 x 6 tempo squats` it
/// speaks of something else.
fn doc_says_tempo_behind(doc: &Doc, i: usize) -> bool {
    let place = |t: &Token| matches!(t.text, "-" | "x" | "X" | ".") || t.kind == Kind::Number;
    let n = (0..8).take_while(|k| doc.tokens.get(i + k).is_some_and(place)).count();
    let sets = n == 3 && matches!(doc.low(i + 1), "x");
    let own = doc.tokens.get(i + n + 1..).is_some_and(|t| {
        let sign = usize::from(t.first().is_some_and(|m| matches!(m.text, ":" | "=" | "@" | "-" | "of")));
        t.get(sign).is_some_and(|t| t.kind == Kind::Number)
    });
    n > 0 && doc.low(i + n) == "tempo" && !sets && !own
}

/// Four places at the beginning of `t`: digits, or `X` for fast. Plain digits only where `sure`, and then three are
/// enough: the fourth place, the stop at the top, is none where it is not written.
pub(super) fn tempo_code(t: &[Token], sure: bool) -> Option<(String, usize)> {
    let mut places: Vec<char> = Vec::new();
    let mut at = 0;
    let mut fast = false;
    let mut glued = true;
    let mut signs = 0;
    while places.len() < 4 {
        let Some(token) = t.get(at) else { break };
        let glue = matches!(token.text, "-" | "/" | "." | ":" | "–");
        if glue && at > 0 {
            signs += 1;
            at += 1;
            continue;
        }
        let digits = token.kind == Kind::Number || token.kind == Kind::Word && token.text.chars().all(|c| matches!(c, 'x' | 'X'));
        if !digits || token.text.len() > 4 {
            // `2-0-1-` leaves its last sign to what follows
            at -= usize::from(at > 0 && !is_place(t[at - 1].text));
            break;
        }
        fast |= token.text.contains('X');
        glued &= at == 0 || !token.spaced;
        places.extend(token.text.chars().filter(|c| *c != '.'));
        at += 1;
    }
    if sure && places.len() == 3 && places.iter().all(|c| matches!(c, '0'..='9' | 'x' | 'X')) {
        places.push('0');
    }
    // `3X10` is sets and reps; `31X1` and `3-0-X-1` are tempo
    let first = t.first()?;
    let sets = !sure && first.text.len() == 1 && t.get(1).is_some_and(|x| x.text.eq_ignore_ascii_case("x")) && at == 3;
    // `4X6-8` too: a tempo has a sign between all its places or none
    if sets || !sure && signs > 0 && signs < 3 {
        return None;
    }
    let joined = t
        .get(at)
        .is_some_and(|n| !n.spaced && (n.kind == Kind::Word || n.kind == Kind::Number || matches!(n.text, "-" | "%" | "/")));
    let starts_with_digit = places.first().is_some_and(|c| c.is_ascii_digit() || *c == 'X');
    let enough = places.len() == 4 || sure && places.len() == 3;
    if !enough || joined || !glued && !sure || !(sure || fast && starts_with_digit) {
        return None;
    }
    let code: Vec<String> = places.iter().map(|c| c.to_ascii_uppercase().to_string()).collect();
    Some((code.join("-"), at))
}

/// It is a digit or an `X`, not the sign between two places.
fn is_place(text: &str) -> bool {
    text.chars().all(|c| c.is_ascii_digit() || matches!(c, 'x' | 'X'))
}
