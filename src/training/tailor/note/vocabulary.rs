//! The words of `data/referrals.csv` and `data/regions.csv`, indexed once, and where they stand in a note.

use super::text::{Word, words};
use crate::training::movement::{Demand, Pattern};
use crate::training::tailor::shelf::mask;
use std::collections::HashMap;
use std::sync::OnceLock;

const REFERRALS: &str = include_str!("../../../../data/referrals.csv");
const REGIONS: &str = include_str!("../../../../data/regions.csv");

/// What a rule does where it holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Reach {
    /// nothing is given, however long ago and whatever turn of speech
    Ever,
    /// nothing is given
    Whole,
    /// nothing that touches the named region is given
    Part,
    /// the same, but a tag that the app set is no such word
    Pain,
    /// the same, where it is more than a muscle after training
    Sore,
    /// the coach hears of it
    Tell,
    /// less is asked for today
    Less,
    /// half of it is asked for
    Half,
    /// the knees are not bent deep
    Shallow,
    /// a turn of speech that is none of this
    Innocent,
}

impl Reach {
    fn from_key(key: &str) -> Option<Self> {
        Some(match key {
            "ever" => Self::Ever,
            "whole" => Self::Whole,
            "part" => Self::Part,
            "pain" => Self::Pain,
            "sore" => Self::Sore,
            "tell" => Self::Tell,
            "less" => Self::Less,
            "half" => Self::Half,
            "shallow" => Self::Shallow,
            "innocent" => Self::Innocent,
            _ => return None,
        })
    }
}

/// Words of a phrase in order; a `*` stands for any beginning or ending.
type Phrase = Vec<String>;

/// A rule: in one clause there is one phrase of each group.
pub(super) struct Rule {
    pub reach: Reach,
    /// the groups after the first, each sorted
    pub beside: Vec<Vec<usize>>,
}

/// A part of the body and what touches it.
pub(super) struct Region {
    /// as it is said: `knee`
    pub name: &'static str,
    pub phrases: Vec<usize>,
    pub touched: Kinds,
    /// what loads it, less than what touches it; nothing where a part is never left to train around
    pub loaded: Kinds,
}

/// Kinds of movement.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Kinds {
    pub patterns: Vec<Pattern>,
    /// one bit a demand
    pub demands: u32,
}

impl Kinds {
    fn read(patterns: &str, demands: &str) -> Self {
        Self {
            patterns: patterns.split('|').filter_map(Pattern::from_key).collect(),
            demands: mask(&demands.split('|').filter_map(Demand::from_key).collect::<Vec<_>>()),
        }
    }

    pub fn is_empty(&self) -> bool {
        self.patterns.is_empty() && self.demands == 0
    }

    pub fn hold(&self, pattern: Pattern, demands: u32) -> bool {
        self.patterns.contains(&pattern) || self.demands & demands != 0
    }
}

/// Every phrase once, and what is made of them.
#[derive(Default)]
pub(super) struct Vocabulary {
    phrases: Vec<Phrase>,
    known: HashMap<Phrase, usize>,
    /// phrases by their first word, where that is a plain one
    first: HashMap<String, Vec<usize>>,
    /// the others
    open: Vec<usize>,
    classes: HashMap<String, Vec<Phrase>>,
    rules: Vec<Rule>,
    /// by phrase: the rules whose first group it is of
    begins: Vec<Vec<usize>>,
    pub regions: Vec<Region>,
}

/// A phrase that stands in a note: `len` words from word `at` on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Hit {
    pub phrase: usize,
    pub at: usize,
    pub len: usize,
    pub clause: usize,
}

impl Hit {
    pub fn meets(&self, other: &Self) -> bool {
        self.at < other.at + other.len && other.at < self.at + self.len
    }
}

pub(super) fn vocabulary() -> &'static Vocabulary {
    static ALL: OnceLock<Vocabulary> = OnceLock::new();
    ALL.get_or_init(Vocabulary::load)
}

fn rows(text: &'static str) -> impl Iterator<Item = Vec<&'static str>> {
    let lines = text.lines().filter(|l| !l.starts_with('#') && !l.trim().is_empty()).skip(1);
    lines.map(|l| l.split(',').map(str::trim).collect())
}

impl Vocabulary {
    fn load() -> Self {
        let mut all = Self::default();
        for row in rows(REGIONS) {
            let [name, names, patterns, demands, loads, loaded] = row[..] else { continue };
            let phrases: Vec<Phrase> = names.split('|').flat_map(one_and_many).collect();
            all.classes.entry("body".to_owned()).or_default().extend(phrases.iter().cloned());
            let region = Region {
                name,
                phrases: phrases.into_iter().map(|p| all.phrase(p)).collect(),
                touched: Kinds::read(patterns, demands),
                loaded: Kinds::read(loads, loaded),
            };
            all.regions.push(region);
        }
        for row in rows(REFERRALS) {
            if let [name, members] = row[..]
                && let Some(name) = name.strip_prefix('@')
            {
                let found: Vec<Phrase> = members.split('|').flat_map(|m| all.expand(m)).collect();
                all.classes.entry(name.to_owned()).or_default().extend(found);
            }
        }
        for row in rows(REFERRALS) {
            let [reach, text] = row[..] else { continue };
            let Some(reach) = Reach::from_key(reach) else { continue };
            let mut groups: Vec<Vec<usize>> =
                text.split('+').map(|term| all.expand(term).into_iter().map(|p| all.phrase(p)).collect()).collect();
            groups.iter_mut().for_each(|g| g.sort_unstable());
            let first = groups.remove(0);
            all.begins.resize(all.phrases.len(), Vec::new());
            first.iter().for_each(|&p| all.begins[p].push(all.rules.len()));
            all.rules.push(Rule { reach, beside: groups });
        }
        all
    }

    /// A term as phrases: each `@class` in it stands for any of its own.
    fn expand(&self, term: &str) -> Vec<Phrase> {
        let mut out: Vec<Phrase> = vec![Vec::new()];
        for part in term.split_whitespace() {
            let options: Vec<Phrase> = match part.strip_prefix('@') {
                Some(class) => self.classes.get(class).cloned().unwrap_or_default(),
                None => vec![pattern(part)],
            };
            out = out.iter().flat_map(|before| options.iter().map(move |o| [before.clone(), o.clone()].concat())).collect();
        }
        out.retain(|phrase| !phrase.is_empty());
        out
    }

    fn phrase(&mut self, phrase: Phrase) -> usize {
        if let Some(&known) = self.known.get(&phrase) {
            return known;
        }
        let id = self.phrases.len();
        match phrase.first() {
            Some(word) if !word.contains('*') => self.first.entry(word.clone()).or_default().push(id),
            _ => self.open.push(id),
        }
        self.known.insert(phrase.clone(), id);
        self.phrases.push(phrase);
        id
    }

    /// The rules that begin with a phrase.
    pub fn rules_of(&self, phrase: usize) -> impl Iterator<Item = &Rule> {
        self.begins.get(phrase).into_iter().flatten().map(|&r| &self.rules[r])
    }

    /// Every phrase that stands in these words, inside one clause.
    pub fn hits(&self, text: &[Word]) -> Vec<Hit> {
        let mut out = Vec::new();
        for (at, word) in text.iter().enumerate() {
            let plain = self.first.get(&word.text).into_iter().flatten();
            for &id in plain.chain(&self.open) {
                let phrase = &self.phrases[id];
                let here = text[at..].iter().take(phrase.len());
                let fits = here.len() == phrase.len()
                    && here.zip(phrase).all(|(w, p)| w.clause == word.clause && stands_for(p, &w.text));
                if fits {
                    out.push(Hit { phrase: id, at, len: phrase.len(), clause: word.clause });
                }
            }
        }
        out
    }
}

/// A word of a phrase as it is in a note, with its `*` kept; `c-section*` is two words.
fn pattern(part: &str) -> Phrase {
    let (open_front, open_end) = (part.starts_with('*'), part.ends_with('*'));
    let mut out: Phrase = words(part.trim_matches('*')).into_iter().map(|w| w.text).collect();
    if let Some(first) = out.first_mut().filter(|_| open_front) {
        first.insert(0, '*');
    }
    if let Some(last) = out.last_mut().filter(|_| open_end) {
        last.push('*');
    }
    out
}

fn stands_for(pattern: &str, word: &str) -> bool {
    match (pattern.strip_prefix('*'), pattern.strip_suffix('*')) {
        (Some(end), _) => word.ends_with(end),
        (None, Some(stem)) => word.starts_with(stem),
        (None, None) => word == pattern,
    }
}

/// A part of the body, one and several.
fn one_and_many(name: &str) -> Vec<Phrase> {
    vec![pattern(name), pattern(&format!("{name}s"))]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_of_a_known_kind_and_stands_for_something() {
        let all = vocabulary();
        for row in rows(REFERRALS) {
            assert_eq!(row.len(), 2, "{row:?}");
            assert!(row[0].starts_with('@') || Reach::from_key(row[0]).is_some(), "{row:?}");
        }
        for (i, rule) in all.rules.iter().enumerate() {
            let begins = all.begins.iter().any(|rules| rules.contains(&i));
            assert!(
                begins && rule.beside.iter().all(|g| !g.is_empty()),
                "a rule of {:?} names a class that is not there",
                rule.reach
            );
        }
    }

    #[test]
    fn a_star_stands_for_any_ending_and_any_beginning() {
        assert!(stands_for("dizz*", "dizziness") && stands_for("*ectomy", "appendectomy") && !stands_for("back", "backpack"));
    }
}
