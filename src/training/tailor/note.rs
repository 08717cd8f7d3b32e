//! A member's note, read for one thing: is this a case for the coach and a licensed professional, not for a program?
//!
//! # Design
//! A list of phrases, not a judgement: it stops where a person must decide. In doubt it refers. A tag that the app itself set
//! (`athlete tag: sore shoulder`) names what a member keeps out for now; the limits carry it, and it is not a referral.

use super::shelf::{Shelf, mask};
use crate::training::movement::{Demand, Pattern};
use std::sync::OnceLock;

const REFERRALS: &str = include_str!("../../../data/referrals.csv");
const REGIONS: &str = include_str!("../../../data/regions.csv");

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

struct Region {
    words: Vec<&'static str>,
    patterns: Vec<Pattern>,
    demands: u32,
}

struct Words {
    whole: Vec<String>,
    part: Vec<String>,
    innocent: Vec<String>,
    regions: Vec<Region>,
}

fn words() -> &'static Words {
    static WORDS: OnceLock<Words> = OnceLock::new();
    WORDS.get_or_init(|| {
        let rows = |text: &'static str| {
            let lines = text.lines().filter(|l| !l.starts_with('#') && !l.trim().is_empty()).skip(1);
            lines.map(|l| l.split(',').collect::<Vec<_>>())
        };
        let reach = |which: &str| rows(REFERRALS).filter(|r| r[0] == which).map(|r| r[1].to_owned()).collect();
        let regions = rows(REGIONS)
            .map(|r| Region {
                words: r[1].split('|').collect(),
                patterns: r[2].split('|').filter_map(Pattern::from_key).collect(),
                demands: mask(&r[3].split('|').filter_map(Demand::from_key).collect::<Vec<_>>()),
            })
            .collect();
        Words { whole: reach("whole"), part: reach("part"), innocent: reach("innocent"), regions }
    })
}

/// Words that turn a phrase around when they stand right before it.
const NEGATIONS: [&str; 7] = ["not", "no", "never", "without", "isn't", "don't", "non"];

/// Places of `phrase` in `text` as whole words; a `*` at its end stands for any ending.
fn places<'t>(text: &'t str, phrase: &'t str) -> impl Iterator<Item = usize> + 't {
    let (stem, open) = phrase.strip_suffix('*').map_or((phrase, false), |stem| (stem, true));
    let inside = |c: char| c.is_alphanumeric();
    text.match_indices(stem).map(|(at, _)| at).filter(move |&at| {
        let begins = text[..at].chars().next_back().is_none_or(|c| !inside(c));
        begins && (open || text[at + stem.len()..].chars().next().is_none_or(|c| !inside(c)))
    })
}

/// The phrase stands in `text` and is not plainly denied.
fn holds(text: &str, phrase: &str) -> bool {
    if phrase == "@body" {
        return words().regions.iter().flat_map(|r| &r.words).any(|w| holds_plain(text, w));
    }
    places(text, phrase).any(|at| !denied(&text[..at]) && !of_another(&text[..at]))
}

/// `chest+tight*`: both stand in one clause, in whatever order.
fn holds_all(text: &str, phrase: &str) -> bool {
    let Some((first, second)) = phrase.split_once('+') else { return holds(text, phrase) };
    text.split(CLAUSE_ENDS).any(|clause| holds(clause, first) && holds(clause, second))
}

/// The text without turns of speech that are none of this.
fn without_innocent(text: &str) -> String {
    let mut left = text.to_owned();
    for phrase in &words().innocent {
        let found: Vec<usize> = places(&left, phrase).collect();
        for at in found.into_iter().rev() {
            left.replace_range(at..at + phrase.len(), "~");
        }
    }
    left
}

const CLAUSE_ENDS: [char; 7] = ['.', ',', ';', ':', '!', '?', '('];

/// People and animals of whom a member may write.
const OTHERS: [&str; 31] = [
    "partner",
    "wife",
    "husband",
    "girlfriend",
    "boyfriend",
    "fiancee",
    "spouse",
    "sister",
    "brother",
    "mother",
    "father",
    "mum",
    "mom",
    "dad",
    "daughter",
    "son",
    "friend",
    "flatmate",
    "roommate",
    "housemate",
    "neighbour",
    "neighbor",
    "colleague",
    "boss",
    "aunt",
    "uncle",
    "cousin",
    "grandmother",
    "grandfather",
    "dog",
    "cat",
];

/// The clause is about somebody else: `my partner is pregnant`. Any word for oneself after that, or an `and`, makes it one's own.
fn of_another(before: &str) -> bool {
    let clause = before.rsplit(CLAUSE_ENDS).next().unwrap_or("");
    let words: Vec<&str> = clause.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty()).collect();
    let other = words.windows(2).rposition(|w| w[0] == "my" && OTHERS.contains(&w[1]));
    let own = ["i", "me", "my", "we", "our", "us", "mine", "myself", "and", "but", "so", "because"];
    other.is_some_and(|at| !words[at + 2..].iter().any(|w| own.contains(w)))
}

/// One of the last two words of this clause denies what follows; `not sure` and `no longer` do not.
fn denied(before: &str) -> bool {
    let clause = before.rsplit(CLAUSE_ENDS).next().unwrap_or("");
    let last: Vec<&str> = clause.split_whitespace().rev().take(2).collect();
    let unsure = clause.contains("sure") || clause.contains("longer") || clause.contains("only") || clause.contains("until");
    !unsure && last.iter().any(|w| NEGATIONS.contains(w))
}

/// A member's words are a case for the coach and a licensed professional.
#[must_use]
pub fn needs_the_coach(note: &str) -> bool {
    let read = read(Some(note));
    read.stop_all || !read.stop_regions.is_empty()
}

/// Reads a note.
pub(crate) fn read(note: Option<&str>) -> Reading {
    let Some(note) = note else { return Reading::default() };
    let text = without_innocent(&note.to_lowercase().replace('\u{2019}', "'"));
    let all = words();
    let tag = text.trim_start().starts_with("athlete tag") || text.trim_start().starts_with("tag");
    let healed = long_healed(&text);
    let stop_all = all.whole.iter().any(|p| holds_all(&text, p)) && !healed;
    let hurt = !healed
        && (all.part.iter().any(|p| holds_all(&text, p))
            || (!tag && holds(&text, "hurt*"))
            || (!tag && (holds(&text, "pain") || holds(&text, "pains") || holds(&text, "painful"))));
    let named: Vec<usize> =
        (0..all.regions.len()).filter(|&i| all.regions[i].words.iter().any(|w| holds_plain(&text, w))).collect();
    let sore =
        ["sore*", "ache*", "aching", "stiff*", "pain", "pains", "painful", "niggl*", "tender*"].iter().any(|w| holds(&text, w));
    Reading {
        stop_all: stop_all || (hurt && named.is_empty()),
        tell: sore && (!tag || holds_plain(&text, "back") || holds_plain(&text, "neck")),
        stop_regions: if hurt { named } else { Vec::new() },
        minutes: minutes(&text),
        less: [
            "first week",
            "second session",
            "third session",
            "just started",
            "new to this",
            "first session",
            "first time",
            "new here",
            "first month",
            "coming back",
            "back after",
            "weeks off",
            "tired",
            "exhausted",
            "slept bad*",
            "bad night",
            "no sleep",
            "shorter",
            "easy day",
            "less today",
            "long break",
            "short on time",
            "deload",
        ]
        .iter()
        .any(|p| holds(&text, p)),
    }
}

fn holds_plain(text: &str, word: &str) -> bool {
    text.match_indices(word).any(|(at, _)| text[..at].chars().next_back().is_none_or(|c| !c.is_alphanumeric()))
}

/// `10 years ago` together with words that all is well. Months never count as long.
fn long_healed(text: &str) -> bool {
    let years = text
        .split_whitespace()
        .collect::<Vec<_>>()
        .windows(2)
        .any(|w| w[1].starts_with("year") && w[0].parse::<f64>().is_ok_and(|n| n >= 2.0));
    let fine = ["all fine", "fine now", "fully healed", "no problem", "no trouble", "all good", "fully recovered"];
    years && fine.iter().any(|f| text.contains(f)) && !text.contains("but ")
}

/// `only 25 minutes today`, `25 min today`.
fn minutes(text: &str) -> Option<f64> {
    let words: Vec<&str> = text.split(|c: char| c.is_whitespace() || c == '-').collect();
    let at = words.iter().position(|w| w.starts_with("min"))?;
    let n: f64 = words.get(at.checked_sub(1)?)?.parse().ok()?;
    let limits = ["only", "have", "today", "got", "max", "just"].iter().any(|w| words.contains(w));
    (limits && (5.0..=90.0).contains(&n)).then_some(n)
}

/// A movement is touched by a named region.
pub(crate) fn touches(region: usize, at: usize, shelf: &Shelf<'_>) -> bool {
    words()
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
}
