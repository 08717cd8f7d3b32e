//! Finds the pieces of a typed score in any order: times, counts, rounds, what is left, what of how many.

use super::clock::{self, Clock};
use super::tokens::{Num, Tok, unread};

/// One piece.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Item {
    Clock(Clock),
    /// a number alone, which may be many things
    Bare(Num),
    Reps(u32),
    Left(u32),
    /// done, of how many
    Of(u32, u32),
    /// full rounds, reps of the next; `true` where rounds were named
    Rounds(u32, u32, bool),
    /// `15+14+12`: three or more
    Sum(Vec<u32>),
    /// each side
    EachSide(u32),
}

/// Everything found.
#[derive(Clone, Debug, Default)]
pub(super) struct Scan {
    pub items: Vec<Item>,
    /// the cap came first
    pub capped: bool,
    /// the time is said to be right although it is over the cap
    pub past_cap: bool,
    /// a plus right behind the word cap
    pub cap_plus: bool,
    /// began and did not finish
    pub unfinished: bool,
    /// did not start
    pub not_started: bool,
    pub unread: Vec<String>,
    /// words that make a number inexact (`under`, `almost`)
    pub inexact: bool,
}

const ROUND: &[&str] = &["round", "rounds", "rd", "rds", "rnd", "rnds", "r", "rung", "rungs", "runde", "runden", "rnde", "rs"];
const FULL: &[&str] = &["full", "complete", "completed", "whole"];
const REP: &[&str] = &["rep", "reps", "repetition", "repetitions", "wdh", "extra", "more"];
const LEFT: &[&str] = &["left", "remaining", "remain", "short", "missing", "togo", "unfinished"];
const CAPPED: &[&str] = &["cap", "capped", "caped", "tc", "timecap", "timeout", "cutoff"];

/// Reads the tokens of a count or a time; `clocks` says whether times are looked for.
pub(super) fn scan(tokens: &[Tok], clocks: bool) -> Result<Scan, String> {
    let mut out = Scan::default();
    let mut used = vec![false; tokens.len()];
    let mut i = 0;
    while i < tokens.len() {
        let step = match flag(tokens, i, &mut out) {
            Some(n) => n,
            None => match piece(tokens, i, clocks)? {
                Some((item, n)) => {
                    out.items.push(item);
                    n
                }
                None => {
                    i += 1;
                    continue;
                }
            },
        };
        used[i..i + step].fill(true);
        i += step;
    }
    out.unread = unread(tokens, &used)?;
    out.inexact = out.unread.iter().any(|w| INEXACT.contains(&w.as_str()));
    out.items = merged(out.items);
    Ok(out)
}

/// Words that say the number is not the number.
const INEXACT: &[&str] = &["under", "over", "almost", "nearly", "sub", "less", "least", "half", "between", "maybe", "beyond"];

/// `reps 12, rounds 6` is 6 rounds + 12 reps.
fn merged(items: Vec<Item>) -> Vec<Item> {
    match items[..] {
        [Item::Rounds(rounds, 0, true), Item::Reps(reps)] | [Item::Reps(reps), Item::Rounds(rounds, 0, true)] => {
            vec![Item::Rounds(rounds, reps, true)]
        }
        _ => items,
    }
}

/// `rounds: 6` and `reps 12`: the name before the number.
fn named_first(tokens: &[Tok], i: usize) -> Option<(Item, usize)> {
    let n = count_at(tokens, i + 1)?;
    let name_behind = word_at(tokens, i + 2, ROUND) || word_at(tokens, i + 2, REP);
    let named_again = name_behind && count_at(tokens, i + 3).is_none();
    if named_again || tokens.get(i + 2).is_some_and(|t| t.is('+') || t.is(':')) {
        return None;
    }
    if word_at(tokens, i, &["round", "rounds", "rds", "rnds"]) {
        return Some((Item::Rounds(n, 0, true), 2));
    }
    word_at(tokens, i, &["rep", "reps"]).then_some((Item::Reps(n), 2))
}

fn word_at(tokens: &[Tok], i: usize, list: &[&str]) -> bool {
    tokens.get(i).is_some_and(|t| t.is_word(list))
}

/// `over the cap`, `past cap`: how many words that is.
fn past_cap(tokens: &[Tok], i: usize) -> Option<usize> {
    let the = usize::from(word_at(tokens, i + 1, &["the", "time"]));
    let past = word_at(tokens, i, &["over", "past", "after", "beyond"]) && word_at(tokens, i + 1 + the, CAPPED);
    past.then_some(2 + the)
}

/// Words that say how it ended.
fn flag(tokens: &[Tok], i: usize, out: &mut Scan) -> Option<usize> {
    if let Some(n) = past_cap(tokens, i) {
        out.past_cap = true;
        return Some(n);
    }
    if word_at(tokens, i, CAPPED) || (word_at(tokens, i, &["timed"]) && word_at(tokens, i + 1, &["out"])) {
        out.capped = true;
        let timed = usize::from(!word_at(tokens, i, CAPPED));
        let plus = tokens.get(i + 1 + timed).is_some_and(|t| t.is('+'));
        out.cap_plus |= plus && tokens.get(i + 2 + timed).is_some_and(|t| t.num().is_some());
        return Some(1 + timed + usize::from(plus));
    }
    let start = ["start", "started", "starting"];
    let end = ["finish", "finished", "finishing", "complete", "completed"];
    let not = if word_at(tokens, i, &["not", "didn't", "didnt", "couldn't", "couldnt", "never", "no"]) {
        Some(1)
    } else if word_at(tokens, i, &["did", "could"]) && word_at(tokens, i + 1, &["not"]) {
        Some(2)
    } else {
        None
    };
    if let Some(n) = not {
        if word_at(tokens, i + n, &start) {
            out.not_started = true;
            return Some(n + 1);
        }
        if word_at(tokens, i + n, &end) {
            out.unfinished = true;
            return Some(n + 1);
        }
    }
    if word_at(tokens, i, &["dns", "skipped"]) {
        out.not_started = true;
        return Some(1);
    }
    if word_at(tokens, i, &["dnf", "stopped", "quit"]) {
        out.unfinished = true;
        return Some(1);
    }
    None
}

fn count_at(tokens: &[Tok], i: usize) -> Option<u32> {
    tokens.get(i)?.num()?.count()
}

fn piece(tokens: &[Tok], i: usize, clocks: bool) -> Result<Option<(Item, usize)>, String> {
    if let Some(found) = left_first(tokens, i).or_else(|| named_first(tokens, i)) {
        return Ok(Some(found));
    }
    if clocks && let Some((clock, n)) = sure_clock(tokens, i)? {
        return Ok(Some((Item::Clock(clock), n)));
    }
    if let Some(first) = count_at(tokens, i)
        && let Some(found) = counted(tokens, i, first)
    {
        return Ok(Some(found));
    }
    if clocks && let Some((clock, n)) = clock::find(tokens, i)? {
        let alone = n == 1 && tokens[i].num().is_some_and(|n| n.part.is_empty());
        let item = tokens[i].num().filter(|_| alone).cloned().map_or(Item::Clock(clock), Item::Bare);
        return Ok(Some((item, n)));
    }
    Ok(tokens[i].num().cloned().map(|n| (Item::Bare(n), 1)))
}

/// A spelling that is a time whatever stands around it: with a colon or a unit of time.
fn sure_clock(tokens: &[Tok], i: usize) -> Result<Option<(Clock, usize)>, String> {
    let found = clock::find(tokens, i)?;
    Ok(found.filter(|(_, n)| {
        let marks = &tokens[i..i + n];
        marks.iter().any(|t| t.is(':') || t.is('\'') || t.is('"') || t.word().is_some())
    }))
}

/// `missing 4`, `short by 4`, `left: 4`.
fn left_first(tokens: &[Tok], i: usize) -> Option<(Item, usize)> {
    if !word_at(tokens, i, LEFT) {
        return None;
    }
    let skip = usize::from(word_at(tokens, i + 1, &["by"]) || tokens.get(i + 1).is_some_and(|t| t.is(':')));
    let n = count_at(tokens, i + 1 + skip)?;
    Some((Item::Left(n), 2 + skip + usize::from(word_at(tokens, i + 2 + skip, REP))))
}

/// What a count begins.
fn counted(tokens: &[Tok], i: usize, first: u32) -> Option<(Item, usize)> {
    let sign = |j: usize, c: char| tokens.get(j).is_some_and(|t| t.is(c));
    let full = usize::from(word_at(tokens, i + 1, FULL));
    if word_at(tokens, i + 1 + full, ROUND) {
        return Some(after_rounds(tokens, i, i + 2 + full, first));
    }
    if sign(i + 1, '+') {
        return plus(tokens, i, first);
    }
    let of = if sign(i + 1, '/') {
        2
    } else {
        let out = i + 1 + usize::from(word_at(tokens, i + 1, REP));
        let out = out + usize::from(word_at(tokens, out, &["out"]));
        let the = usize::from(word_at(tokens, out + 1, &["the"]));
        if word_at(tokens, out, &["of"]) { out + 1 + the - i } else { 0 }
    };
    if of > 0
        && let Some(total) = count_at(tokens, i + of)
    {
        return Some((Item::Of(first, total), of + 1 + usize::from(word_at(tokens, i + of + 1, REP))));
    }
    let reps = usize::from(word_at(tokens, i + 1, REP));
    if word_at(tokens, i + 1 + reps, LEFT) {
        return Some((Item::Left(first), 2 + reps));
    }
    if word_at(tokens, i + 1 + reps, &["to"]) && word_at(tokens, i + 2 + reps, &["go"]) {
        return Some((Item::Left(first), 3 + reps));
    }
    let each = word_at(tokens, i + 1 + reps, &["each", "per"]) && word_at(tokens, i + 2 + reps, &["side", "leg", "arm", "hand"]);
    if each {
        return Some((Item::EachSide(first), 3 + reps));
    }
    (reps == 1).then_some((Item::Reps(first), 2))
}

/// `12 rounds + 5 reps`, `12 rounds and 5`, `12 rounds 5`, `12 rounds`.
fn after_rounds(tokens: &[Tok], from: usize, mut at: usize, rounds: u32) -> (Item, usize) {
    let bare = at;
    while tokens
        .get(at)
        .is_some_and(|t| t.is('+') || t.is('-') || t.is(',') || t.is('&') || t.is_word(&["and", "an", "n", "plus", "with"]))
    {
        at += 1;
    }
    let colon = tokens.get(at + 1).is_some_and(|t| t.is(':'));
    match count_at(tokens, at) {
        Some(reps) if !colon && !word_at(tokens, at + 1, ROUND) => {
            let end = at + 1 + usize::from(word_at(tokens, at + 1, REP));
            (Item::Rounds(rounds, reps, true), end - from)
        }
        _ => (Item::Rounds(rounds, 0, true), bare - from),
    }
}

/// `12+5`, or a sum of three and more.
fn plus(tokens: &[Tok], i: usize, first: u32) -> Option<(Item, usize)> {
    let mut list = vec![first];
    let mut at = i + 1;
    while tokens.get(at).is_some_and(|t| t.is('+')) {
        let Some(n) = count_at(tokens, at + 1) else { break };
        list.push(n);
        at += 2;
    }
    let end = at + usize::from(word_at(tokens, at, REP));
    match list[..] {
        [_] => None,
        [rounds, reps] => Some((Item::Rounds(rounds, reps, false), end - i)),
        _ => Some((Item::Sum(list), end - i)),
    }
}
