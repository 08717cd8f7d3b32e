//! Words that shape a write-up: headings, labels, scores, options, notes; and its signs.

mod heading;
mod kit;
mod lead;
mod listed;
mod note;
mod option;
mod punctuation;
mod rungs;
mod score;
mod then;

pub use kit::names_no_kit;
pub use lead::{label_inside, line_start, minute, whole};
pub use punctuation::punctuation;
pub use rungs::{more_each, step};
pub use then::after_rest;

use heading::heading;
use note::note;
use option::option;
use rungs::ladder;
use score::score;
use then::then;

use super::super::session::Role;
use super::element::{Doc, What};
use super::token::Kind;

/// What one kind of words means at a token, and how many tokens it takes.
type Reading = fn(&Doc, usize) -> Option<(What, usize)>;

/// All that words may shape; of two that are as long the later one counts.
const READINGS: &[Reading] = &[by_phrase, short_for_time, role, heading, option, score, note, ladder, instead, then, step];

/// Phrases that mean the same wherever they stand.
const PHRASES: &[(What, &[&str])] = &[
    (What::NotForTime, NOT_FOR_TIME),
    (What::ForTime, FOR_TIME),
    (What::Aim, AIM),
    (What::Intervals, &["intervals", "interval"]),
    (What::EachRound, &["each one"]),
    (What::Or, &["or", "alternatively", "otherwise", "oder"]),
    (What::Plus, &["plus", "and also"]),
];

/// Words that shape what follows: of all that they may mean, what takes most of them.
pub fn read(doc: &Doc, i: usize) -> Option<(What, usize)> {
    if doc.tokens[i].kind != Kind::Word {
        return None;
    }
    with_its_number(doc, i).or_else(|| READINGS.iter().filter_map(|reads| reads(doc, i)).max_by_key(|(_, n)| *n))
}

/// `45 min zone 2 run`: the number belongs to the word; `level 2:` opens another version.
fn with_its_number(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let counts = matches!(doc.low(i), "zone" | "level" | "gear" | "resistance" | "phase" | "z");
    let number = doc.tokens.get(i + 1).is_some_and(|t| t.kind == Kind::Number && t.text.len() < 3);
    let second = doc.low(i) == "level" && doc.low(i + 1) != "1" && matches!(doc.low(i + 2), ":" | "-" | "–" | "=");
    (counts && number).then_some((if second { What::Option } else { What::Word }, 2))
}

fn by_phrase(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let said = PHRASES.iter().filter_map(|(what, phrases)| Some((what, doc.says_any(i, phrases)?)));
    said.max_by_key(|(_, n)| *n).map(|(what, n)| (what.clone(), n))
}

/// `FT, cap 12`, `5 rounds FT`: for time, and no feet where no number stands before it.
fn short_for_time(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let counted = i > 0 && doc.tokens[i - 1].kind == Kind::Number;
    (doc.low(i) == "ft" && !counted).then_some((What::ForTime, 1))
}

/// `burpees instead of runs`, `swap for a bike`; `sub 5 min` is a time to beat.
fn instead(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let number = |at: usize| doc.tokens.get(at).is_some_and(|t| t.number().is_some());
    doc.says_any(i, INSTEAD).filter(|n| !number(i + n)).map(|n| (What::Instead, n))
}

/// `Buy-in`, `cash out`: what is done once, before the rounds or behind them.
fn role(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let (what, n) = match doc.low(i) {
        "buy" | "buyin" => (What::Role(Role::BuyIn), doc.says_any(i, &["buy in", "buyin", "buy - in"])?),
        "cash" | "cashout" => match doc.says_any(i, &["cash out", "cashout"]) {
            Some(n) => (What::Role(Role::CashOut), n),
            None => (What::Role(Role::BuyIn), doc.says(i, "cash in")?),
        },
        _ => return None,
    };
    Some((what, n))
}

const FOR_TIME: &[&str] = &[
    "for time",
    "fortime",
    "rft",
    "4 time",
    "as fast as possible",
    "for best time",
    "for a time",
    "on time",
    "for your best time",
    "as quickly as possible",
    "as fast as you can",
    "against the clock",
    "time it",
    "time yourself",
    "time this one",
];

const NOT_FOR_TIME: &[&str] = &[
    "not for time",
    "nft",
    "no clock",
    "not timed",
    "not a race",
    "no rush",
    "no hurry",
    "not against the clock",
    "for quality",
    "for quality not time",
    "not for speed",
];

const AIM: &[&str] = &[
    "aim",
    "aims",
    "goal",
    "goals",
    "intent",
    "intention",
    "purpose",
    "today is about",
    "today's about",
    "today we work on",
    "todays aim",
    "today's aim",
    "today's goal",
    "the aim",
    "the goal",
    "the point",
    "session aim",
    "aim of today",
    "objective",
];

const INSTEAD: &[&str] =
    &["instead of", "in place of", "instead", "sub", "subs", "swap", "swap for", "substitute", "replace with", "replace"];
