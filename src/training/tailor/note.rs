//! A member's note, read for one thing: is this a case for the coach and a licensed professional, not for a program?
//!
//! # Design
//! A vocabulary (`data/referrals.csv`), not a judgement: it stops where a person must decide. A phrase is left aside only where it
//! is plainly denied, somebody else's, a turn of speech that is none of this, or long past and well. In doubt it refers. A tag that
//! the app itself set (`athlete tag: sore shoulder`) names what a member keeps out for now; the limits carry it, and it is not a
//! referral.

mod text;
mod vocabulary;
mod whose;

use super::shelf::Shelf;
use text::{Word, words};
use vocabulary::{Hit, Reach, Rule, Vocabulary, vocabulary};

/// What a note means for the session.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Reading {
    /// nothing of the session is given
    pub stop_all: bool,
    /// nothing that touches these regions is given
    pub stop_regions: Vec<usize>,
    /// sore, stiff or tired somewhere that the coach should hear of
    pub tell: bool,
    /// minutes that the member has today
    pub minutes: Option<f64>,
    /// the member asks for less today, or comes back after a break
    pub less: bool,
}

/// A member's words are a case for the coach and a licensed professional.
#[must_use]
pub fn needs_the_coach(note: &str) -> bool {
    let read = read(Some(note));
    read.stop_all || !read.stop_regions.is_empty()
}

/// Reads a note.
pub(crate) fn read(note: Option<&str>) -> Reading {
    let Some(note) = note.filter(|n| !n.trim().is_empty()) else { return Reading::default() };
    let text = words(note);
    let found = Found::new(&text);
    let tag = matches!(text.first().map(|w| w.text.as_str()), Some("tag" | "tags"))
        || (text.len() > 1 && text[0].text == "athlete" && text[1].text.starts_with("tag"));
    let all = vocabulary();
    let stop_all = found.says(Reach::Ever) || found.says(Reach::Whole);
    let hurt = found.says(Reach::Part) || (!tag && (found.says(Reach::Pain) || found.says(Reach::Sore)));
    let named: Vec<usize> = (0..all.regions.len()).filter(|&i| found.names(&all.regions[i].phrases)).collect();
    let near_the_spine = text.iter().any(|w| w.text == "back" || w.text == "neck");
    Reading {
        stop_all: stop_all || (hurt && named.is_empty()),
        tell: found.says(Reach::Tell) && (!tag || near_the_spine),
        stop_regions: if hurt { named } else { Vec::new() },
        minutes: minutes(&text),
        less: found.says(Reach::Less),
    }
}

/// The phrases of the vocabulary that stand in a note and mean its writer, now.
struct Found {
    vocabulary: &'static Vocabulary,
    /// all, for what turns of speech and time do not clear
    ever: Vec<Hit>,
    /// without what is a turn of speech or long past
    now: Vec<Hit>,
    /// all, to know which part of the body is named
    any: Vec<Hit>,
}

impl Found {
    fn new(text: &[Word]) -> Self {
        let vocabulary = vocabulary();
        let any = vocabulary.hits(text);
        let mine = |h: &&Hit| !whose::denied(text, h.at) && !whose::of_another(text, h.at, h.len);
        let ever: Vec<Hit> = any.iter().filter(mine).copied().collect();
        let innocent: Vec<Hit> = standing(vocabulary, Reach::Innocent, &any).copied().collect();
        let past = whose::long_past(text);
        let now = ever.iter().filter(|h| !past.contains(&h.clause) && !innocent.iter().any(|i| i.meets(h))).copied().collect();
        Self { vocabulary, ever, now, any }
    }

    fn says(&self, reach: Reach) -> bool {
        let hits = if reach == Reach::Ever { &self.ever } else { &self.now };
        standing(self.vocabulary, reach, hits).next().is_some()
    }

    fn names(&self, phrases: &[usize]) -> bool {
        self.any.iter().any(|h| phrases.contains(&h.phrase))
    }
}

/// Phrases that a rule of this reach begins with, in clauses that hold every other group of it as well.
fn standing<'h>(vocabulary: &'h Vocabulary, reach: Reach, hits: &'h [Hit]) -> impl Iterator<Item = &'h Hit> {
    let beside = |h: &Hit, group: &[usize]| {
        hits.iter().any(|o| o.clause == h.clause && group.binary_search(&o.phrase).is_ok() && !o.meets(h))
    };
    let holds = move |h: &Hit, rule: &Rule| rule.reach == reach && rule.beside.iter().all(|g| beside(h, g));
    hits.iter().filter(move |h| vocabulary.rules_of(h.phrase).any(|rule| holds(h, rule)))
}

/// `only 25 minutes today`, `25 min today`.
fn minutes(text: &[Word]) -> Option<f64> {
    let at = text.iter().position(|w| w.text.starts_with("min"))?;
    let n: f64 = text.get(at.checked_sub(1)?)?.text.parse().ok()?;
    let limits = ["only", "have", "today", "got", "max", "just"].iter().any(|l| text.iter().any(|w| w.text == *l));
    (limits && (5.0..=90.0).contains(&n)).then_some(n)
}

/// A movement is touched by a named region.
pub(crate) fn touches(region: usize, at: usize, shelf: &Shelf<'_>) -> bool {
    vocabulary()
        .regions
        .get(region)
        .is_some_and(|r| r.patterns.contains(&shelf.movement(at).pattern) || r.demands & shelf.entries[at].demands != 0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stops(note: &str) -> bool {
        let r = read(Some(note));
        r.stop_all || !r.stop_regions.is_empty()
    }

    #[test]
    fn what_a_person_must_decide_stops() {
        for note in [
            "athlete wrote: pregnant, 14 weeks",
            "felt dizzy twice yesterday",
            "knee surgery in March",
            "chest pain on the stairs",
            "I think I tore something in my shoulder",
            "sharp pain in my knee",
            "not sure if I am pregnant",
            "tight feeling in my chest on the stairs",
            "my chest feels heavy when I climb",
            "the room spins when I lie down",
            "my wife and I are pregnant",
            "my partner says I should stop, knee surgery in May",
            "my son jumped on my knee and it is swollen",
            "my dog pulled me over, something in my wrist snapped",
            "I'm due in early March, all going well so far",
            "our little one arrived four weeks ago, still bleeding a bit",
            "felt something pop in my calf and I'm limping",
            "my heart was racing on the stairs",
            "broke my toe on the sofa",
            "knee op in May",
            "my back went on Sunday",
        ] {
            assert!(stops(note), "{note}");
        }
    }

    #[test]
    fn a_tag_and_a_plain_denial_do_not_stop() {
        for note in [
            "my partner is pregnant and asleep, so quiet please",
            "my dad had a stroke, I train for him",
            "chest up, tight midline",
            "a number of bands hang in the hall",
            "we paint the flat this week, so no space",
            "the radiator is hot, so keep me off the wall",
            "my heart rate strap is broken",
            "operation new me starts today, my heart is set on a full month",
            "broke my stick over labour day weekend, a new one comes on Friday",
            "my hobby is spinning and knitting",
            "locked out of the garage, no bar",
            "long strokes on the rower please",
            "heavy chest day yesterday",
            "my band snapped",
            "my neighbour has a newborn",
            "athlete tag: sore back",
            "athlete tags: knees and wrists",
            "not pregnant",
            "no injuries",
            "only 25 minutes today",
        ] {
            assert!(!stops(note), "{note}");
        }
    }

    #[test]
    fn an_old_operation_that_healed_does_not_stop() {
        assert!(!stops("surgery 10 years ago, all fine"));
    }

    #[test]
    fn an_operation_some_months_ago_stops_whatever_the_words() {
        assert!(stops("surgery 8 months ago, all fine"));
    }

    #[test]
    fn minutes_are_read() {
        assert_eq!(read(Some("only 25 minutes today")).minutes, Some(25.0));
    }

    /// Our own notes: some 400 in the words of people at home, each with what must come of it.
    #[test]
    fn the_notes_of_the_collection_stop_or_pass() {
        let rows = include_str!("../../../tests/data/tailor/notes.txt").lines().filter(|l| !l.starts_with('#'));
        let wrong: Vec<&str> = rows
            .filter_map(|row| row.split_once(": "))
            .filter(|(want, note)| stops(note) != (*want == "stop"))
            .map(|(_, note)| note)
            .collect();
        assert_eq!(wrong, Vec::<&str>::new());
    }
}
