//! A member's note, read for one thing: is this a case for the coach and a licensed professional, not for a program?
//!
//! # Design
//! A vocabulary (`data/referrals.csv`), not a judgement: it stops where a person must decide. A phrase is left aside only where it
//! is plainly denied, somebody else's, a turn of speech that is none of this, or long past and well. What is plainly old and said to
//! be well but for a mild sign ([`old`]) holds back what loads that part of the body, not the session. In doubt it refers. A tag that
//! the app itself set (`athlete tag: sore shoulder`) names what a member keeps out for now; the limits carry it, and it is not a
//! referral.

mod minutes;
mod old;
mod out;
mod text;
mod vocabulary;
mod whose;

use super::shelf::Shelf;
use crate::training::member::KeptOut;
use minutes::minutes;
use old::Old;
pub(crate) use out::Out;
use text::{Word, words};
use vocabulary::{Hit, Reach, Rule, Vocabulary, vocabulary};

/// What a note means for the session.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Reading {
    /// what a person must decide first
    pub held: Held,
    /// sore, stiff or tired somewhere that the coach should hear of
    pub tell: bool,
    /// minutes that the member has today
    pub minutes: Option<f64>,
    /// the member asks for less today, or comes back after a break
    pub less: bool,
    /// half of it is asked for
    pub half: bool,
    /// the knees are not bent deep
    pub shallow: bool,
}

/// What is not given until a person has decided.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Held {
    /// nothing of the session is given
    pub all: bool,
    /// nothing that touches these regions is given
    regions: Vec<usize>,
    /// old matters that are said to be well: nothing that loads the region is given, nor what the words name
    old: Vec<Old>,
}

impl Held {
    pub fn is_empty(&self) -> bool {
        !self.all && self.regions.is_empty() && self.old.is_empty()
    }

    /// A movement waits.
    pub fn holds(&self, at: usize, shelf: &Shelf<'_>) -> bool {
        let (pattern, demands) = (shelf.movement(at).pattern, shelf.entries[at].demands);
        let touched = |&r: &usize| vocabulary().regions[r].touched.hold(pattern, demands);
        self.all || self.regions.iter().any(touched) || self.old.iter().any(|o| o.holds(pattern, demands))
    }

    fn add(&mut self, other: Self) {
        self.all |= other.all;
        self.regions.extend(other.regions);
        self.old.extend(other.old);
    }

    /// What several words hold back together.
    pub fn of(words: &[String]) -> Self {
        let mut all = Self::default();
        words.iter().for_each(|w| all.add(read(Some(w)).held));
        all
    }
}

/// What words of a member hold back until a person has decided, as it is said to them and to the coach.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Waits {
    /// nothing is given at all
    pub all: bool,
    /// everything that touches these parts of the body: `knee`
    pub touches: Vec<&'static str>,
    /// what loads these parts of the body, and what the words name
    pub loads: Vec<&'static str>,
}

impl Waits {
    /// Nothing waits.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        !self.all && self.touches.is_empty() && self.loads.is_empty()
    }

    /// `everything`, `whatever touches the knee`, `whatever loads the hip or the knee`.
    #[must_use]
    pub fn words(&self) -> String {
        if self.all {
            return "everything".to_owned();
        }
        let own = |parts: &[&str]| parts.iter().map(|p| (*p).to_owned()).collect();
        KeptOut { touches: own(&self.touches), loads: own(&self.loads) }.words()
    }

    /// What they wrote about, where parts of the body are named: `the knee`, `the hip and the knee`.
    #[must_use]
    pub fn about(&self) -> Option<String> {
        let parts: Vec<String> = self.touches.iter().chain(&self.loads).map(|p| format!("the {p}")).collect();
        (!self.all && !parts.is_empty()).then(|| parts.join(" and "))
    }
}

/// The parts of the body that can be kept out, as they are said: `knee`.
pub fn body_parts() -> impl Iterator<Item = &'static str> {
    vocabulary().regions.iter().map(|r| r.name)
}

/// What these words of a member hold back.
#[must_use]
pub fn waits(words: &[String]) -> Waits {
    let held = Held::of(words);
    let names = |regions: &mut dyn Iterator<Item = usize>| {
        let set: std::collections::BTreeSet<usize> = regions.collect();
        set.into_iter().map(|r| vocabulary().regions[r].name).collect::<Vec<_>>()
    };
    let touches = names(&mut held.regions.iter().copied());
    let mut loads = names(&mut held.old.iter().flat_map(|o| o.regions.iter().copied()));
    loads.retain(|l| !touches.contains(l));
    Waits { all: held.all, touches, loads }
}

/// A member's words are a case for the coach and a licensed professional.
#[must_use]
pub fn needs_the_coach(note: &str) -> bool {
    !read(Some(note)).held.is_empty()
}

/// Words that are no training matter wherever they stand: fainting, a pregnancy, something that popped. Sore legs are one.
#[must_use]
pub fn no_training_matter(note: &str) -> bool {
    let text = words(note);
    let found = Found::new(&text);
    [Reach::Ever, Reach::Whole, Reach::Part].into_iter().any(|reach| found.says(reach))
}

/// Reads a note.
pub(crate) fn read(note: Option<&str>) -> Reading {
    let Some(note) = note.filter(|n| !n.trim().is_empty()) else { return Reading::default() };
    let text = words(note);
    let found = Found::new(&text);
    let tag = matches!(text.first().map(|w| w.text.as_str()), Some("tag" | "tags"))
        || (text.len() > 1 && text[0].text == "athlete" && text[1].text.starts_with("tag"));
    let stop_all = found.says(Reach::Ever) || found.says(Reach::Whole);
    let hurt = found.says(Reach::Part) || (!tag && (found.says(Reach::Pain) || found.says(Reach::Sore)));
    let named = found.regions();
    let near_the_spine = text.iter().any(|w| w.text == "back" || w.text == "neck");
    let half = found.says(Reach::Half);
    let shallow = found.says(Reach::Shallow);
    let tell = shallow || (found.says(Reach::Tell) && (!tag || near_the_spine));
    let less = half || found.says(Reach::Less);
    Reading {
        held: Held {
            all: stop_all || (hurt && named.is_empty()),
            regions: if hurt { named } else { Vec::new() },
            old: found.old,
        },
        tell,
        minutes: minutes(&text),
        less,
        half,
        shallow,
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
    /// old matters that are said to be well; their clauses say nothing else
    old: Vec<Old>,
}

impl Found {
    fn new(text: &[Word]) -> Self {
        let vocabulary = vocabulary();
        let any = vocabulary.hits(text);
        let mine = |h: &&Hit| !whose::denied(text, h.at) && !whose::of_another(text, h.at, h.len);
        let ever: Vec<Hit> = any.iter().filter(mine).copied().collect();
        let innocent: Vec<Hit> = standing(vocabulary, Reach::Innocent, &any).copied().collect();
        let past = whose::long_past(text);
        let mut now: Vec<Hit> =
            ever.iter().filter(|h| !past.contains(&h.clause) && !innocent.iter().any(|i| i.meets(h))).copied().collect();
        let old = old::matters(text, &past, |clause| Said::in_clause(vocabulary, &now, &any, clause));
        now.retain(|h| !old.iter().any(|o| o.clauses.contains(&h.clause)));
        Self { vocabulary, ever, now, any, old }
    }

    fn says(&self, reach: Reach) -> bool {
        let hits = if reach == Reach::Ever { &self.ever } else { &self.now };
        standing(self.vocabulary, reach, hits).next().is_some()
    }

    /// The parts of the body that are named outside old matters.
    fn regions(&self) -> Vec<usize> {
        regions(self.vocabulary, self.any.iter().filter(|h| !self.old.iter().any(|o| o.clauses.contains(&h.clause))))
    }
}

fn regions<'h>(vocabulary: &Vocabulary, hits: impl Iterator<Item = &'h Hit>) -> Vec<usize> {
    let said: Vec<usize> = hits.map(|h| h.phrase).collect();
    (0..vocabulary.regions.len()).filter(|&r| vocabulary.regions[r].phrases.iter().any(|p| said.contains(p))).collect()
}

/// What one clause says, for [`old::matters`].
pub(super) struct Said {
    /// the strongest rules that hold in it
    whole: bool,
    part: bool,
    pain: bool,
    /// parts of the body
    regions: Vec<usize>,
}

impl Said {
    fn in_clause(vocabulary: &'static Vocabulary, now: &[Hit], any: &[Hit], clause: usize) -> Self {
        let here: Vec<Hit> = now.iter().filter(|h| h.clause == clause).copied().collect();
        let says = |reach| standing(vocabulary, reach, &here).next().is_some();
        Self {
            whole: says(Reach::Ever) || says(Reach::Whole),
            part: says(Reach::Part),
            pain: says(Reach::Pain) || says(Reach::Sore),
            regions: regions(vocabulary, any.iter().filter(|h| h.clause == clause)),
        }
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::training::movement::Library;

    fn stops(note: &str) -> bool {
        needs_the_coach(note)
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
    fn half_a_session_and_a_short_night_ask_for_less() {
        for (note, half) in [("half the rounds please", true), ("slept 3 hours", false), ("low energy today", false)] {
            let reading = read(Some(note));
            assert_eq!((reading.less, reading.half), (true, half), "{note}");
        }
        assert!(!read(Some("slept 8 hours, half the street was up")).less);
    }

    #[test]
    fn a_squat_that_is_kept_shallow_is_a_limit_that_the_coach_hears_of() {
        for note in ["can only squat to a chair", "no deep squats, only half way", "half depth only on squats please"] {
            let reading = read(Some(note));
            assert!(reading.shallow && reading.tell && reading.held.is_empty(), "{note}");
        }
        assert!(!read(Some("love the deep squats")).shallow);
    }

    /// Our own notes: some 450 in the words of people at home, each with what must come of it.
    #[test]
    fn the_notes_of_the_collection_stop_or_pass() {
        let rows = include_str!("../../../tests/data/tailor/notes.txt").lines().filter(|l| !l.starts_with('#'));
        let read = |note: &str| {
            let waits = waits(&[note.to_owned()]);
            let wide = waits.all || !waits.touches.is_empty();
            if wide {
                "stop"
            } else if waits.is_empty() {
                "pass"
            } else {
                "old"
            }
        };
        let wrong: Vec<(&str, &str)> =
            rows.filter_map(|row| row.split_once(": ")).filter(|(want, note)| read(note) != *want).collect();
        assert_eq!(wrong, Vec::<(&str, &str)>::new());
    }

    fn held(note: &str) -> Vec<&'static str> {
        let shelf = Shelf::new(Library::shipped());
        let held = Held::of(&[note.to_owned()]);
        let asked = ["air squat", "box jump", "run", "deadlift", "bike", "pull-up", "push-up", "handstand hold"];
        asked.into_iter().filter(|m| held.holds(shelf.library.position(m).unwrap(), &shelf)).collect()
    }

    #[test]
    fn an_old_knee_holds_back_what_loads_it_and_the_rest_trains() {
        let note = "Had a meniscus op on my left knee in 2019, its fine mostly but it aches a bit when I squat deep, esp. on \
                    cold mornings. Also I live upstairs so pls no banging about";
        assert_eq!(held(note), ["air squat", "box jump", "run"]);
        assert_eq!(waits(&[note.to_owned()]).words(), "whatever loads the knee");
    }

    #[test]
    fn what_the_words_name_is_held_back_as_well() {
        assert_eq!(held("knee op in 2012, mostly fine, aches a bit when I cycle"), ["air squat", "box jump", "run", "bike"]);
    }

    #[test]
    fn an_old_shoulder_leaves_the_legs_alone() {
        let note = "dislocated my shoulder in 2014, mostly ok, a slight ache when I press overhead";
        assert_eq!(held(note), ["pull-up", "push-up", "handstand hold"]);
    }

    #[test]
    fn several_words_hold_back_what_each_of_them_does() {
        let words = ["knee op in 2012, mostly fine".to_owned(), "sharp pain in my elbow".to_owned()];
        assert_eq!(waits(&words).words(), "whatever touches the elbow, and whatever loads the knee");
        assert_eq!(waits(&["I am pregnant".to_owned()]).words(), "everything");
    }
}
