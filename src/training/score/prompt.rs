//! What is asked for at the field of a score: one plain line, and texts that would be a result of this very part.

use super::rules::{Combine, GOES, ScoreRules};
use super::timed::or;
use super::{MassUnit, examples, read};
use crate::training::movement::Library;
use crate::training::pace;
use crate::training::session::{Part, ScoreKind};

/// What to type.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Prompt {
    /// what is scored, in words: `reps of your lowest round`
    pub what: String,
    /// the label of the field
    pub label: String,
    /// texts that read as a result of this part, with no question and no doubt
    pub examples: Vec<String>,
}

/// What to type for a part; none where nothing is scored.
#[must_use]
pub fn prompt(part: &Part, rules: &ScoreRules, library: &Library) -> Option<Prompt> {
    let what = what(part, rules)?;
    let label = match (part.score, rules.cap_s) {
        (ScoreKind::Time, Some(_)) => "your time, or how far you came by the cap".to_owned(),
        (ScoreKind::Time, None) => "your time".to_owned(),
        (ScoreKind::HoldTime, _) if rules.combine.is_none() => "how long you held".to_owned(),
        _ => what.clone(),
    };
    Some(Prompt { what, label: capital(&label), examples: fitting(part, rules, library) })
}

/// Words behind which a coach names the go that counts.
const WHICH: [&str; 17] = [
    "lowest", "worst", "fewest", "smallest", "lower", "weaker", "shorter", "highest", "best", "most", "longest", "heaviest",
    "higher", "better", "each", "both", "all",
];

/// The go that the rule names right behind `lowest`, `best`, `each`: `worst set`, `sum of both blocks`, `best of 3 attempts`. The
/// minutes of `total reps in 10 minutes` are how long it lasts.
fn go_of(rule: &str) -> Option<&'static str> {
    let words: Vec<&str> = rule.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty()).collect();
    let passed = |word: &str| ["of", "the", "your", "their"].contains(&word) || word.chars().all(|c| c.is_ascii_digit());
    let named = |i: usize| {
        let word = words[i + 1..].iter().find(|word| !passed(word))?;
        // a round is what it is called where nothing is said
        GOES.into_iter().filter(|go| *go != "round").find(|go| word.strip_suffix('s').unwrap_or(word) == *go)
    };
    (0..words.len()).filter(|i| WHICH.contains(&words[*i])).find_map(named)
}

/// Several numbers are made one where so much is scored.
fn combines(kind: ScoreKind, rules: &ScoreRules) -> bool {
    match kind {
        ScoreKind::RoundsReps => !rules.minutes && !rules.rungs,
        ScoreKind::Reps | ScoreKind::Distance | ScoreKind::Calories | ScoreKind::HoldTime => true,
        ScoreKind::Time | ScoreKind::Load | ScoreKind::None => false,
    }
}

fn what(part: &Part, rules: &ScoreRules) -> Option<String> {
    let go = go_of(&part.score_rule.as_deref().unwrap_or_default().to_lowercase());
    let one = go.unwrap_or("round");
    let of = |what: &str| match (rules.combine, go) {
        (Some(Combine::Lowest), _) => format!("{what} of your lowest {one}"),
        (Some(Combine::Highest), _) => format!("{what} of your best {one}"),
        (Some(Combine::Sum), Some(go)) => format!("{what} of all {go}s together"),
        (Some(Combine::Sum), None) => format!("{what} in all"),
        (None, _) => what.to_owned(),
    };
    Some(match part.score {
        ScoreKind::Time => "time".to_owned(),
        ScoreKind::RoundsReps if rules.minutes => "minutes you kept up + reps of the next".to_owned(),
        ScoreKind::RoundsReps if rules.rungs => "last full rung + reps of the next".to_owned(),
        ScoreKind::RoundsReps => of("rounds + reps"),
        ScoreKind::Reps if rules.combine.is_none() => "reps in all".to_owned(),
        ScoreKind::Reps => of("reps"),
        ScoreKind::Load => "load of your heaviest set".to_owned(),
        ScoreKind::Distance => of("distance"),
        ScoreKind::Calories => of("calories"),
        ScoreKind::HoldTime => match rules.combine {
            Some(Combine::Lowest) => "your shortest hold",
            Some(Combine::Highest) => "your longest hold",
            Some(Combine::Sum) => "all holds together",
            None => "hold time",
        }
        .to_owned(),
        ScoreKind::None => return None,
    })
}

/// Those that this part would neither ask nor doubt; the usual ones where none is left.
fn fitting(part: &Part, rules: &ScoreRules, library: &Library) -> Vec<String> {
    let clear = |text: &String| read(part.score, text, rules).is_ok_and(|r| r.held.is_none() && r.doubt.is_none());
    let mut own = candidates(part, rules, library);
    own.retain(clear);
    own.dedup();
    if own.is_empty() { examples(part.score) } else { own }
}

fn candidates(part: &Part, rules: &ScoreRules, library: &Library) -> Vec<String> {
    match part.score {
        ScoreKind::Time => times(part, rules, library),
        ScoreKind::RoundsReps if rules.minutes => vec!["11+4".to_owned(), "11 minutes + 4 reps".to_owned()],
        ScoreKind::RoundsReps if rules.rungs => vec!["9+4".to_owned(), "9 + 4 reps of the next".to_owned()],
        ScoreKind::RoundsReps => rounds(rules),
        ScoreKind::Reps => reps(rules),
        ScoreKind::HoldTime => holds(rules),
        ScoreKind::Load => loads(rules),
        other => examples(other),
    }
}

/// In the unit that a bare number is read in, where one is settled.
fn loads(rules: &ScoreRules) -> Vec<String> {
    let all: &[&str] = match rules.mass_unit {
        Some(MassUnit::Kg) => &["62.5 kg", "80 kg x 3, 90 kg x 2"],
        Some(MassUnit::Lb) => &["135 lb", "175 lb x 3, 195 lb x 2"],
        None => return examples(ScoreKind::Load),
    };
    all.iter().map(|text| (*text).to_owned()).collect()
}

/// A time that the part may take, and how far somebody may come by its cap.
fn times(part: &Part, rules: &ScoreRules, library: &Library) -> Vec<String> {
    let usual = pace::part(part, library).typical_s.max(rules.fastest_s.unwrap_or(60.0) + 1.0);
    let inside = rules.cap_s.map_or(usual, |cap| usual.min((cap * 0.9).max(cap - 40.0)));
    let mut all = vec![super::clock::show(inside.round())];
    if rules.cap_s.is_some() {
        let total = rules.total_reps.filter(|total| *total > 4);
        all.push(total.map_or("capped at 96 reps".to_owned(), |total| format!("capped at {} reps", total - total.div_ceil(8))));
        all.extend(total.map(|_| "4 left".to_owned()));
    }
    all
}

fn rounds(rules: &ScoreRules) -> Vec<String> {
    let most = rules.most_rounds.unwrap_or(12.0);
    let of = [12, 8, 5, 3, 2, 1].into_iter().find(|n| f64::from(*n) <= most * 0.6).unwrap_or(1);
    let extra = rules.round_reps.map_or(5, |each| 5.min(each - 1));
    let named = if of == 1 { "1 round".to_owned() } else { format!("{of} rounds") };
    if extra == 0 { vec![named] } else { vec![format!("{of}+{extra}"), format!("{named} + {extra} reps"), named] }
}

fn reps(rules: &ScoreRules) -> Vec<String> {
    let most = rules.most_reps.unwrap_or(60.0);
    let n = [52, 30, 18, 12, 8, 5, 3].into_iter().find(|n| f64::from(*n) <= most * 0.8).unwrap_or(2);
    match rules.combine {
        Some(_) => vec![format!("{}, {n}, {}", n + 1, n - 1), format!("{} reps", n - 1)],
        None => vec![n.to_string(), format!("{n} reps")],
    }
}

fn holds(rules: &ScoreRules) -> Vec<String> {
    let s = [45, 30, 20, 10, 5].into_iter().find(|s| rules.longest_s.is_none_or(|most| f64::from(*s) <= most)).unwrap_or(5);
    vec![format!("0:{s:02}"), format!("{s} s")]
}

/// The coach's rule says no more than what [`prompt`] says already: what is scored, or which round counts.
#[must_use]
pub fn says_no_more(rule: &str, part: &Part, rules: &ScoreRules) -> bool {
    let rule = rule.to_lowercase();
    let words: Vec<&str> = rule.split(|c: char| !c.is_alphabetic()).filter(|w| !w.is_empty() && !FILLING.contains(w)).collect();
    // of loads the heaviest counts, whatever their total
    let whole = |word: &str| word != "total" || part.score != ScoreKind::Load;
    let named = words.iter().all(|word| NAMES.contains(word) && whole(word));
    let which = rules.combine.is_some() && words.len() <= 2 && combines(part.score, rules);
    named || which
}

/// Words around what counts: `score is your lowest round`.
const FILLING: [&str; 9] = ["score", "is", "the", "your", "of", "and", "a", "counts", "in"];
/// What can be scored, by its names.
const NAMES: [&str; 14] = [
    "time",
    "rounds",
    "reps",
    "load",
    "weight",
    "distance",
    "metres",
    "meters",
    "calories",
    "cal",
    "hold",
    "total",
    "repetitions",
    "max",
];

impl Prompt {
    /// `Such as 7:42, or capped at 120 reps`.
    #[must_use]
    pub fn such_as(&self) -> String {
        format!("such as {}", or(&self.examples))
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
