//! Words that tell of rungs: a ladder, and by how much it goes up.

use super::super::clocks::count;
use super::super::element::{Doc, What};
use super::super::token::Kind;

pub fn ladder(doc: &Doc, i: usize) -> Option<(What, usize)> {
    if let Some(n) = doc.says_any(i, &["climbing", "climb", "counting up", "going up"]) {
        // `climbing 8 min: 3-6-9-...`, and `9 minute climb` above `3-6-9-...`
        let line = doc.tokens[i].line;
        let ends = doc.tokens[i + n..].iter().find(|t| t.kind != Kind::Other).is_none_or(|t| matches!(t.text, "\n" | ":"));
        let mut behind = doc.tokens[i..].iter().take(30).take_while(|t| t.line == line || ends && t.line == line + 1);
        return behind.any(|t| t.kind == Kind::Dots).then_some((What::Ladder, n));
    }
    let one_of_them =
        i > 0 && matches!(doc.low(i - 1), "every" | "each" | "per" | "last" | "full" | "this" | "a" | "the" | "one" | "1");
    if one_of_them && matches!(doc.low(i), "rung" | "rungs") {
        // `after every rung 100 m run`
        return None;
    }
    doc.says_any(
        i,
        &[
            "ladder",
            "ladder up",
            "ladder down",
            "ascending ladder",
            "descending ladder",
            "ascending",
            "descending",
            "pyramid",
            "ladders",
            "climbing ladder",
            "rungs",
            "rung",
        ],
    )
    .map(|n| (What::Ladder, n))
}

/// `one more every rung`, `2 more each round`
pub fn more_each(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let by = count(doc, i).filter(|k| *k > 0.0 && *k < 50.0)?;
    let n = doc.says_any(
        i + 1,
        &["more every", "more each", "more reps every", "more rep each", "more rep every", "more reps each", "more per"],
    )?;
    let end = i + 1 + n;
    matches!(doc.low(end), "round" | "rung" | "time" | "minute" | "set" | "lap").then_some((What::Step(by), end + 1 - i))
}

/// `add 2 every round`, `+2 each round`, `up by 3`
pub fn step(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let n = doc.says_any(i, &["add", "adding", "go up by", "up by", "increase by", "increasing by", "plus", "+"])?;
    let by = count(doc, i + n).filter(|k| *k > 0.0 && *k < 50.0)?;
    let mut end = i + n + 1;
    let each_round = doc.low(end) == "each" && matches!(doc.low(end + 1), "round" | "time" | "rung" | "minute" | "set");
    end += usize::from(matches!(doc.low(end), "rep" | "reps" | "more" | "each" | "to") && !each_round);
    // `3-6-9-12-... keep adding 3`
    let rungs = i > 1 && (0..3).any(|k| doc.tokens.get(i.wrapping_sub(k + 1)).is_some_and(|t| t.kind == Kind::Dots));
    let ends = doc.tokens.get(end).is_none_or(|t| t.kind == Kind::Newline || matches!(t.text, "," | "." | ")" | ";"));
    let goes_on = matches!(doc.low(end), "till" | "until" | "til" | "as" | "for");
    if rungs && (ends || goes_on) && matches!(doc.low(i), "add" | "adding" | "up" | "go" | "increase" | "increasing" | "+") {
        return Some((What::Step(by), end - i));
    }
    let each = doc.says_any(
        end,
        &[
            "every round",
            "each round",
            "per round",
            "a round",
            "every time",
            "each time",
            "every rung",
            "each rung",
            "every minute",
            "per minute",
            "a minute",
            "every min",
            "each min",
            "per min",
            "each minute",
            "per rung",
            "reps every round",
            "reps each round",
            "movement each round",
            "each set",
            "rep each round",
        ],
    )?;
    Some((What::Step(by), end + each - i))
}
