//! The shape of a list: groups of sets, and the weight that they were done with.

use super::super::load::{BODY, PAIR, REPS, unit_at};
use super::super::tokens::{Num, Tok};

pub(super) const SETS: &[&str] = &["set", "sets", "round", "rounds", "rds", "rnds"];
const AT: &[&str] = &["at", "with", "w", "using"];
const SAID_BEFORE: &[&str] = &["did", "done", "i", "got", "only", "just", "all", "was"];
const BETWEEN: &[&str] = &["and", "then", "an", "n"];
const ONE: &[&str] = &["db", "dumbbell", "kb", "kettlebell", "bell", "bar", "barbell"];
const MANY: &[&str] = &["dbs", "dumbbells", "kbs", "kettlebells", "bells"];

/// `3x8`, or a number alone: one set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Group {
    pub sets: Option<u32>,
    pub reps: u32,
    /// called sets or reps, so that it is no weight
    pub named: bool,
    /// the sign before it
    pub before: Option<char>,
}

impl Group {
    pub fn fits(&self, most: u32) -> bool {
        self.sets.is_some() || self.reps <= most
    }
}

/// A weight as typed, in words that [`load`](super::load) reads.
#[derive(Debug)]
pub(super) struct Weight {
    pub tokens: Vec<Tok>,
    /// `the 35s`, `35 lb dumbbells`: more than one, and how many is not said
    pub plural: bool,
    /// a number and nothing else
    pub bare: bool,
}

#[derive(Debug)]
pub(super) struct Block {
    pub groups: Vec<Group>,
    pub weight: Weight,
}

/// Sets with their weights, and what stands behind the last weight.
#[derive(Debug)]
pub(super) struct Listed {
    pub blocks: Vec<Block>,
    pub tail: Vec<Group>,
}

impl Listed {
    pub fn groups(&self) -> impl Iterator<Item = &Group> {
        self.blocks.iter().flat_map(|block| &block.groups).chain(&self.tail)
    }
}

/// All of the text as sets and weights; none where something else stands in it. More reps than `most` are no reps.
pub(super) fn listed(tokens: &[Tok], most: u32) -> Option<Listed> {
    let tokens = &apart(tokens);
    let mut i = skip(tokens, 0, SAID_BEFORE);
    let mut blocks = Vec::new();
    if let Some(found) = from_weight(tokens, i, most) {
        return Some(found);
    }
    loop {
        let (groups, end) = groups(tokens, i);
        if end == tokens.len() {
            return (!blocks.is_empty()).then_some(Listed { blocks, tail: groups });
        }
        let (weight, end) = weight_behind(tokens, end, &groups).filter(|_| !groups.is_empty())?;
        let (groups, end) = with_sets(tokens, groups, end);
        blocks.push(Block { groups, weight });
        i = end;
    }
}

/// A weight and the sets that were done with it, to the end.
fn from_weight(tokens: &[Tok], from: usize, most: u32) -> Option<Listed> {
    let (weight, end) = weight_first(tokens, from, most)?;
    let (groups, end) = groups(tokens, end);
    let [first, tail @ ..] = &groups[..] else { return None };
    // of `60 kg x 5 x 5` nothing says which are the sets
    let counts = weight.tokens.iter().all(|t| t.num().is_none()) || groups.iter().all(|group| group.sets.is_none());
    let blocks = vec![Block { groups: vec![*first], weight }];
    (counts && end == tokens.len()).then(|| Listed { blocks, tail: tail.to_vec() })
}

fn word(tokens: &[Tok], i: usize, list: &[&str]) -> bool {
    tokens.get(i).is_some_and(|t| t.is_word(list))
}

fn skip(tokens: &[Tok], mut i: usize, list: &[&str]) -> usize {
    while word(tokens, i, list) {
        i += 1;
    }
    i
}

/// `8,8 @ 35`: reps have no decimals, so the comma parts two sets.
fn apart(tokens: &[Tok]) -> Vec<Tok> {
    let one = |digits: &str| {
        let value = digits.parse().unwrap_or(f64::INFINITY);
        Tok::Num(Num { value, whole: digits.to_owned(), part: String::new(), mark: None })
    };
    let mut out = Vec::new();
    for (i, t) in tokens.iter().enumerate() {
        match t.num() {
            Some(n) if n.mark == Some(',') && !n.part.is_empty() && at(tokens, i + 1).is_some() => {
                out.extend([one(&n.whole), Tok::Sign(','), one(&n.part)]);
            }
            _ => out.push(t.clone()),
        }
    }
    out
}

/// `@`, `at`, `w/`, `with the`.
fn at(tokens: &[Tok], i: usize) -> Option<usize> {
    let sign = tokens.get(i).is_some_and(|t| t.is('@') || t.is('(') || t.is('='));
    let next = (sign || word(tokens, i, AT)).then_some(i + 1)?;
    let slash = word(tokens, i, &["w"]) && tokens.get(next).is_some_and(|t| t.is('/'));
    Some(next + usize::from(slash))
}

/// Sets up to something else. Signs and `and` may stand between them.
fn groups(tokens: &[Tok], from: usize) -> (Vec<Group>, usize) {
    let (mut found, mut end) = (Vec::new(), from);
    loop {
        let (mut i, mut before) = (end, None);
        while let Some(t) = tokens.get(i) {
            match t {
                Tok::Sign(c) if ",-/+;&".contains(*c) => before = Some(*c),
                t if t.is_word(BETWEEN) => {}
                _ => break,
            }
            i += 1;
        }
        match group(tokens, i) {
            Some((group, next)) => {
                found.push(Group { before, ..group });
                end = next;
            }
            None => return (found, if i == tokens.len() { i } else { end }),
        }
    }
}

fn group(tokens: &[Tok], i: usize) -> Option<(Group, usize)> {
    let number = |i: usize| tokens.get(i)?.num()?.count().filter(|n| *n <= 100 && unit_at(tokens, i + 1).is_none());
    let first = number(i)?;
    let times = |i: usize| usize::from(tokens.get(i).is_some_and(|t| t.is('×') || t.is_word(&["of"])));
    let named = usize::from(word(tokens, i + 1, SETS));
    let reps_too = named > 0 && number(i + 2).is_some() && word(tokens, i + 3, REPS);
    let joint = named + times(i + 1 + named);
    if joint > named || reps_too {
        let reps = number(i + 1 + joint)?;
        let end = i + 2 + joint;
        return Some((Group { sets: Some(first), reps, named: true, before: None }, end + usize::from(word(tokens, end, REPS))));
    }
    if named > 0 {
        return None;
    }
    let reps = word(tokens, i + 1, REPS);
    Some((Group { sets: None, reps: first, named: reps, before: None }, i + 1 + usize::from(reps)))
}

/// What they were done with. Where no `@` stands before it, it says its unit, and nothing before it may be a weight.
fn weight_behind(tokens: &[Tok], i: usize, groups: &[Group]) -> Option<(Weight, usize)> {
    let found = match at(tokens, i) {
        Some(next) => weight(tokens, next),
        None => weight(tokens, i).filter(|(weight, _)| {
            let body = weight.tokens.first().is_some_and(|t| t.is_word(BODY));
            body || !weight.bare && !weight.plural && groups.iter().all(|group| group.named)
        }),
    };
    found.map(|(weight, end)| (weight, end + usize::from(tokens.get(end).is_some_and(|t| t.is(')')))))
}

/// `8 @ 35, 4 sets`: how many sets it was stands last.
fn with_sets(tokens: &[Tok], groups: Vec<Group>, end: usize) -> (Vec<Group>, usize) {
    let from = end + usize::from(tokens.get(end).is_some_and(|t| t.is(',')));
    let from = skip(tokens, from, &["for", "x"]);
    let sets = tokens.get(from).and_then(Tok::num).and_then(Num::count);
    match (&groups[..], sets) {
        ([Group { sets: None, reps, .. }], Some(sets)) if word(tokens, from + 1, SETS) && from + 2 == tokens.len() => {
            (vec![Group { sets: Some(sets), reps: *reps, named: true, before: None }], from + 2)
        }
        _ => (groups, end),
    }
}

/// The whole text is `the 35s` or `two 35s`.
pub(super) fn weight_alone(tokens: &[Tok]) -> Option<Weight> {
    let from = at(tokens, 0).unwrap_or(0);
    let (weight, end) = weight(tokens, from)?;
    let pair = weight.tokens.first().is_some_and(|t| t.is_word(&["pair"]));
    ((weight.plural || pair) && end == tokens.len()).then_some(weight)
}

/// `35 lb x 8, 8, 6`, `bw 5x8`: the weight stands first. Without a unit it is one that nobody does as reps.
fn weight_first(tokens: &[Tok], i: usize, most: u32) -> Option<(Weight, usize)> {
    let (found, end) = weight(tokens, i)?;
    let joint = tokens.get(end).is_some_and(|t| t.is('×') || t.is(':') || t.is_word(&["for"]));
    let heavy = found.tokens.iter().filter_map(Tok::num).any(|n| n.value > f64::from(most));
    let clear = if found.bare { joint && heavy } else { !found.plural };
    clear.then_some((found, end + usize::from(joint)))
}

/// A weight with what says whether it is one or a pair.
fn weight(tokens: &[Tok], from: usize) -> Option<(Weight, usize)> {
    let mut i = skip(tokens, from, &["the", "my", "a", "some"]);
    let mut out = Vec::new();
    let number = |i: usize| tokens.get(i).and_then(Tok::num);
    if word(tokens, i, BODY) || word(tokens, i, &["body"]) && word(tokens, i + 1, &["weight"]) {
        i += 1 + usize::from(word(tokens, i, &["body"]));
        out.push(Tok::Word("bw".to_owned()));
        if !(tokens.get(i).is_some_and(|t| t.is('+')) && number(i + 1).is_some() && unit_at(tokens, i + 2).is_some()) {
            return Some((Weight { tokens: out, plural: false, bare: false }, i));
        }
        out.push(tokens[i].clone());
        i += 1;
    } else if word(tokens, i, &["pair", "pairs"]) {
        out.push(Tok::Word("pair".to_owned()));
        i = skip(tokens, i + 1, &["of", "the"]);
    } else if let Some(next) = two_of(tokens, i) {
        out.push(Tok::Word("pair".to_owned()));
        i = next;
    }
    out.push(Tok::Num(number(i)?.clone()));
    i += 1;
    let mut plural = word(tokens, i, &["s"]);
    i += usize::from(plural);
    let unit = unit_at(tokens, i).is_some();
    out.extend(tokens[i..i + usize::from(unit)].iter().cloned());
    i += usize::from(unit);
    let bare = out.len() == 1 && !plural;
    i = beside(tokens, i, &mut out, &mut plural);
    plural &= !out.iter().any(|t| t.is_word(PAIR) || t.is_word(&["pair", "hand", "arm", "bw"]));
    Some((Weight { bare: bare && out.len() == 1 && !plural, tokens: out, plural }, i))
}

/// `2x35`, `two 35s`.
fn two_of(tokens: &[Tok], i: usize) -> Option<usize> {
    let two = tokens.get(i)?.num()?.value == 2.0 && unit_at(tokens, i + 1).is_none();
    let next = i + 1 + usize::from(tokens.get(i + 1).is_some_and(|t| t.is('×')));
    (two && tokens.get(next)?.num().is_some()).then_some(next)
}

/// Words behind a weight: `each`, `in each hand`, `dumbbells`, `for all sets`.
fn beside(tokens: &[Tok], mut i: usize, out: &mut Vec<Tok>, plural: &mut bool) -> usize {
    while let Some(t) = tokens.get(i) {
        let sets = skip(tokens, i, &["for", "on", "each", "every", "all", "of", "the"]);
        if sets > i && word(tokens, sets, &["set", "sets"]) {
            i = sets + 1;
            continue;
        }
        *plural |= t.is_word(MANY);
        if t.is_word(PAIR) || t.is_word(&["per", "a", "hand", "arm"]) {
            out.push(t.clone());
        } else if !t.is_word(ONE) && !t.is_word(MANY) && !t.is_word(&["in"]) {
            break;
        }
        i += 1;
    }
    i
}

/// Numbers that nothing beside them calls reps, sets or a weight.
pub(super) fn bare_numbers(tokens: &[Tok]) -> Vec<&Num> {
    let joins = |t: &Tok| {
        "×@:+".chars().any(|c| t.is(c))
            || t.is_word(&["at", "with", "for", "of", "w", "pair", "rpe", "rir", "rm", "times"])
            || [REPS, SETS, BODY].iter().any(|list| t.is_word(list))
    };
    let bare = |i: usize| {
        let before = i.checked_sub(1).and_then(|i| tokens.get(i)).is_some_and(joins);
        let behind = tokens.get(i + 1).is_some_and(joins) || unit_at(tokens, i + 1).is_some();
        !before && !behind
    };
    (0..tokens.len()).filter(|i| bare(*i)).filter_map(|i| tokens[i].num()).collect()
}

/// `8@35,8@35`: behind a weight a comma before another set parts the two; set apart so that it is no decimal comma.
pub(in super::super) fn parted(text: &str) -> String {
    let all: Vec<char> = text.chars().collect();
    let mut out = String::with_capacity(text.len() + 8);
    let mut weighed = false;
    for (i, c) in all.iter().enumerate() {
        weighed |= matches!(c, '@' | '＠') || (*c == 'a' && all.get(i + 1) == Some(&'t'));
        out.push(*c);
        if *c == ',' && weighed && set_from(&all[i + 1..]) {
            out.push(' ');
        }
    }
    out
}

/// `8@`, `3x8 at`, with no space in front.
fn set_from(rest: &[char]) -> bool {
    let digits = rest.iter().take_while(|c| c.is_ascii_digit()).count();
    let behind: String = rest[digits..].iter().filter(|c| **c != ' ').take(5).collect();
    let counted = behind.trim_start_matches(['x', 'X', '×', '*']).trim_start_matches(|c: char| c.is_ascii_digit());
    digits > 0 && (counted.starts_with(['@', '＠']) || counted.starts_with("at"))
}
