//! Old matters: an operation or an injury of years ago that is said to be well but for a mild sign.
//!
//! # Design
//! Four things must be plain: that it is years ago, that it is well on the whole, which part of the body it is, and that what is left
//! is mild. Where one of them is missing, or the words say that it is of these days, the note is read as any other: everything that is
//! touched waits. An old matter is no clearance: what loads that part still waits for the coach.

use super::text::Word;
use super::vocabulary::{Kinds, vocabulary};
use super::{Said, whose};
use crate::training::movement::{Demand, Pattern};
use crate::training::tailor::shelf::mask;

/// A matter of years ago.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Old {
    /// the clauses that tell of it
    pub clauses: Vec<usize>,
    /// parts of the body
    pub regions: Vec<usize>,
    /// what the words name: `when I squat deep`
    named: Kinds,
}

impl Old {
    pub fn holds(&self, pattern: Pattern, demands: u32) -> bool {
        let loaded = |&r: &usize| vocabulary().regions[r].loaded.hold(pattern, demands);
        self.named.hold(pattern, demands) || self.regions.iter().any(loaded)
    }
}

/// What was done or happened to a joint, by which a clause about years ago says no more than that.
const DONE: &[&str] = &["op", "ops", "operation", "operations", "operated", "surgery", "surgeries", "surgical", "surgeon"];

/// Well on the whole.
const WELL: &[&str] = &[
    "fine mostly",
    "mostly fine",
    "ok mostly",
    "mostly ok",
    "okay mostly",
    "mostly okay",
    "good mostly",
    "mostly good",
    "fine otherwise",
    "otherwise fine",
    "otherwise ok",
    "otherwise good",
    "fine apart from",
    "fine except",
    "fine unless",
    "fine as long as",
    "fine overall",
    "fine in general",
    "fine generally",
    "generally fine",
    "generally ok",
    "pretty much fine",
    "pretty good",
    "its fine",
    "its ok",
    "its good",
    "is ok",
    "is good",
    "fine but",
    "fine these days",
    "no real trouble",
    "no real problem",
    "no real problems",
];

/// What makes a sign mild.
const MILD: &[&str] =
    &["bit", "little", "slight", "slightly", "mild", "mildly", "tad", "touch", "niggle", "niggles", "stiff", "achy"];

/// What makes it anything but mild.
const SEVERE: &[&str] = &[
    "sharp",
    "swell",
    "swells",
    "swollen",
    "swelling",
    "lock",
    "locks",
    "locked",
    "locking",
    "gives",
    "gave",
    "buckles",
    "worse",
    "worst",
    "worsening",
    "bad",
    "badly",
    "lot",
    "lots",
    "very",
    "really",
    "severe",
    "severely",
    "stabbing",
    "night",
    "nights",
    "numb",
    "weak",
    "unstable",
    "catches",
    "pops",
    "popped",
    "every",
    "always",
    "constant",
    "constantly",
    "unbearable",
    "agony",
    "anymore",
];

/// What a word names: the movements that bring it on.
const NAMED: &[(&str, &[Demand], &[Pattern])] = &[
    ("squat", &[Demand::DeepKnee], &[Pattern::Squat]),
    ("deep", &[Demand::DeepKnee], &[]),
    ("lunge", &[Demand::DeepKnee], &[Pattern::SingleLeg]),
    ("stair", &[], &[Pattern::SingleLeg]),
    ("kneel", &[Demand::Kneeling], &[]),
    ("jump", &[Demand::Impact], &[Pattern::Jump]),
    ("land", &[Demand::Impact], &[Pattern::Jump]),
    ("skip", &[Demand::Impact], &[Pattern::Jump]),
    ("run", &[Demand::Impact], &[]),
    ("cycl", &[], &[Pattern::Cyclical]),
    ("bike", &[], &[Pattern::Cyclical]),
    ("deadlift", &[], &[Pattern::Hinge]),
    ("bend", &[Demand::SpinalFlexion], &[Pattern::Hinge]),
    ("lift", &[Demand::SpinalLoad], &[Pattern::Hinge, Pattern::Olympic]),
    ("carry", &[], &[Pattern::Carry]),
    ("overhead", &[Demand::Overhead], &[Pattern::PushVertical]),
    ("press", &[Demand::ShoulderLoad], &[Pattern::PushVertical, Pattern::PushHorizontal]),
    ("push", &[Demand::ShoulderLoad], &[Pattern::PushHorizontal]),
    ("pull", &[Demand::Hanging], &[Pattern::PullVertical, Pattern::PullHorizontal]),
    ("row", &[], &[Pattern::PullHorizontal, Pattern::Cyclical]),
    ("hang", &[Demand::Hanging], &[]),
    ("grip", &[Demand::Grip], &[]),
    ("plank", &[Demand::WristLoad, Demand::ShoulderLoad], &[Pattern::Core]),
];

/// The old matters of a note; `past` are clauses that are over and well already, and say nothing.
pub(super) fn matters(text: &[Word], past: &[usize], said: impl Fn(usize) -> Said) -> Vec<Old> {
    let sentences = text.last().map_or(0, |w| w.sentence + 1);
    let mut out: Vec<Old> = Vec::new();
    for s in 0..sentences {
        let taken = clauses(text, s).iter().any(|c| past.contains(c) || out.iter().any(|o| o.clauses.contains(c)));
        if !taken && let Some(old) = matter(text, s, &said) {
            out.push(old);
        }
    }
    out
}

fn clauses(text: &[Word], sentence: usize) -> Vec<usize> {
    let mut all: Vec<usize> = text.iter().filter(|w| w.sentence == sentence).map(|w| w.clause).collect();
    all.dedup();
    all
}

fn words_of(text: &[Word], clause: usize) -> Vec<&str> {
    text.iter().filter(|w| w.clause == clause).map(|w| w.text.as_str()).collect()
}

/// The matter that a sentence tells of, with the sentence after it where that goes on about it.
fn matter(text: &[Word], s: usize, said: &impl Fn(usize) -> Said) -> Option<Old> {
    let mut clauses_here = clauses(text, s);
    let first: Vec<&str> = text.iter().filter(|w| w.sentence == s).map(|w| w.text.as_str()).collect();
    // years ago, up to the clause that says so
    let told = clauses_here.iter().rposition(|&c| whose::is_long_ago(&words_of(text, c)))? + 1;
    let regions: Vec<usize> = clauses_here[..told].iter().flat_map(|&c| said(c).regions).collect();
    let next = clauses(text, s + 1);
    let of_another = next.iter().flat_map(|&c| said(c).regions).any(|r| !regions.contains(&r));
    let next_old = next.iter().any(|&c| whose::is_long_ago(&words_of(text, c)));
    let goes_on =
        next.iter().any(|&c| is_well(&words_of(text, c)) || said(c).pain || words_of(text, c).iter().any(|w| MILD.contains(w)));
    let well_here = is_well(&first);
    if !next.is_empty() && !next_old && !of_another && (goes_on || !well_here) {
        clauses_here.extend(next);
    }
    let all: Vec<&str> = clauses_here.iter().flat_map(|&c| words_of(text, c)).collect();
    let sound = !regions.is_empty() && regions.iter().all(|&r| !vocabulary().regions[r].loaded.is_empty());
    let left_over = |&c: &usize| {
        let (here, words) = (said(c), words_of(text, c));
        let mild = words.iter().any(|w| MILD.contains(w) || w.starts_with("ache") || *w == "aching");
        here.whole || here.part || here.regions.iter().any(|r| !regions.contains(r)) || (here.pain && !mild)
    };
    let of_then = |&c: &usize| {
        let words = words_of(text, c);
        said(c).whole && !words.iter().any(|w| DONE.contains(w))
    };
    let plain = is_well(&all) && !whose::of_these_days(&all) && !all.iter().any(|w| SEVERE.contains(w));
    if !sound || !plain || clauses_here[..told].iter().any(of_then) || clauses_here[told..].iter().any(left_over) {
        return None;
    }
    Some(Old { named: named(clauses_here[told..].iter().flat_map(|&c| words_of(text, c))), clauses: clauses_here, regions })
}

fn is_well(words: &[&str]) -> bool {
    whose::is_well(words) || WELL.iter().any(|p| whose::says(words, p))
}

fn named<'w>(words: impl Iterator<Item = &'w str>) -> Kinds {
    let mut kinds = Kinds::default();
    for word in words {
        for (_, demands, patterns) in NAMED.iter().filter(|(stem, ..)| word.starts_with(stem)) {
            kinds.demands |= mask(demands);
            kinds.patterns.extend(patterns.iter().copied());
        }
    }
    kinds
}
