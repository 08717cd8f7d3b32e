//! Signs, each by its use.

use super::super::element::{Doc, What};
use super::super::token::Kind;

/// Marks of punctuation, each by its use.
pub fn punctuation(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let t = &doc.tokens[i];
    if t.is("/") && doc.low(i + 1) == "/" && !doc.tokens[i + 1].spaced {
        // `squats 4x6 // 6 min amrap`
        return Some((What::Stop, 2));
    }
    let next_spaced = doc.tokens.get(i + 1).is_none_or(|n| n.spaced || n.kind == Kind::Newline);
    if doc.low(i) == "w" && doc.low(i + 1) == "/" && !doc.tokens[i + 1].spaced {
        // `w/` is a word, not a name with another behind a slash
        let without = usize::from(doc.low(i + 2) == "o" && !doc.tokens[i + 2].spaced);
        return Some((What::Word, 2 + without));
    }
    let what = match t.kind {
        Kind::Newline => What::Newline,
        Kind::Link => What::Link,
        // `down dog ........ 45 s`
        Kind::Dots if t.chars > 3 || t.spaced && next_spaced && doc.tokens.get(i + 1).is_some_and(|n| n.kind == Kind::Number) => {
            What::Dash
        }
        Kind::Dots | Kind::Other => What::Stop,
        Kind::Arrow => What::Colon,
        Kind::Mark => match t.text {
            "(" | "[" => What::Open,
            ")" | "]" => What::Close,
            "," | "|" => What::Comma,
            ";" | "!" | "?" | "•" | "·" | "▪" | "●" | "◦" => What::Stop,
            "." if t.spaced && doc.tokens.get(i + 1).is_some_and(|n| n.kind == Kind::Number) => What::Dash,
            "_" => What::Dash,
            "." if next_spaced => What::Stop,
            ":" | "=" => What::Colon,
            "-" | "–" | "—" => What::Dash,
            "+" => What::Plus,
            "&" => What::Word,
            "/" => What::Slash,
            _ => return None,
        },
        _ => return None,
    };
    Some((what, 1))
}
