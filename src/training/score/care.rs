//! What must be asked about in a typed score, of whichever kind: a number that is said to be no exact one, a minus in front,
//! a unit of something else. Nothing here changes a value; a question holds it.

use super::Draft;
use super::tokens::{Num, Tok};
use crate::training::session::ScoreKind;

/// Words that make a number inexact wherever they stand: `6+12 ish`.
const INEXACT: &[&str] = &[
    "ish",
    "approx",
    "approximately",
    "roughly",
    "circa",
    "ca",
    "nearly",
    "almost",
    "maybe",
    "probably",
    "guess",
    "guessing",
    "estimate",
    "estimated",
];
/// Words that do so right before it: `about 7:40`, `at least 50`.
const BEFORE: &[&str] = &["about", "around", "over", "under", "below", "above", "sub", "than", "least", "most", "between"];

/// Units by what they measure. A minute may be the round of a part, so rounds have none of time.
const MASS: &[&str] = &["kg", "kgs", "kilo", "kilos", "lb", "lbs", "pound", "pounds"];
const WAY: &[&str] = &["m", "metre", "metres", "meter", "meters", "km", "mile", "miles", "yd", "yards", "ft", "feet"];
const TIME: &[&str] = &["s", "sec", "secs", "second", "seconds", "min", "mins", "minute", "minutes", "h", "hour", "hours"];
const CALORIES: &[&str] = &["cal", "cals", "kcal", "calorie", "calories"];
const REPS: &[&str] = &["rep", "reps", "round", "rounds", "rds", "rnds"];

/// The draft with a question where nothing is asked yet and something must be.
pub(super) fn asked(draft: Draft, kind: ScoreKind, text: &str, tokens: &[Tok]) -> Draft {
    if kind == ScoreKind::None || tokens.iter().all(|t| t.num().is_none()) {
        return draft;
    }
    if draft.held.is_some() {
        return if below_nothing(text) { also_below(draft) } else { draft };
    }
    let words = draft.score.words();
    let sure = vec![words.clone()];
    if below_nothing(text) {
        return draft.ask(format!("A score is not below nothing. Is that {words}?"), sure);
    }
    if let Some(unit) = foreign(kind, tokens) {
        return draft.ask(format!("This says {unit}, and the part is scored in something else. Is that {words}?"), sure);
    }
    if inexact(text, tokens) {
        return draft.ask(format!("This says that it is not exact. Is that {words}, as it should stand?"), sure);
    }
    draft
}

/// What is asked anyway says of the minus too: whoever answers has seen that it does not count.
fn also_below(mut draft: Draft) -> Draft {
    if let Some(question) = &mut draft.held {
        question.text = format!("A score is not below nothing. {}", question.text);
    }
    draft
}

/// `-60`: a minus with its number right behind it. With a space it is a dash of a list.
fn below_nothing(text: &str) -> bool {
    let mut chars = text.trim_start().chars();
    chars.next().is_some_and(|c| matches!(c, '-' | '−' | '–')) && chars.next().is_some_and(|c| c.is_ascii_digit())
}

fn inexact(text: &str, tokens: &[Tok]) -> bool {
    let number = |i: usize| tokens.get(i).is_some_and(|t| t.num().is_some() || t.is(':'));
    let plus_behind = |i: usize| tokens[i].is('+') && i > 0 && number(i - 1) && tokens.get(i + 1).is_none();
    let open = (0..tokens.len()).any(|i| {
        let t = &tokens[i];
        t.is_word(INEXACT) || number(i + 1) && (t.is_word(BEFORE) || "~<>".chars().any(|c| t.is(c))) || plus_behind(i)
    });
    let doubted = |(i, _): (usize, &str)| text[..i].trim_end().ends_with(|c: char| c.is_ascii_digit());
    open || text.contains("or so") || text.contains('≈') || text.match_indices('?').any(doubted)
}

/// The unit right behind a number that cannot be one of this kind: `400 m` of a part that counts reps.
fn foreign(kind: ScoreKind, tokens: &[Tok]) -> Option<&str> {
    let others: &[&[&str]] = match kind {
        ScoreKind::RoundsReps => &[MASS, WAY],
        ScoreKind::Reps => &[MASS, WAY, TIME, CALORIES],
        // `two 16s` are no seconds
        ScoreKind::Load => &[WAY, TIME.get(1..).unwrap_or_default(), CALORIES, &["round", "rounds", "rds", "rnds"]],
        ScoreKind::Distance => &[MASS, TIME, CALORIES, REPS],
        ScoreKind::Calories => &[MASS, WAY, TIME, REPS],
        ScoreKind::HoldTime => &[MASS, WAY.get(1..).unwrap_or_default(), CALORIES, REPS],
        ScoreKind::Time | ScoreKind::None => &[],
    };
    let mut behind = tokens.windows(2).filter(|w| w[0].num().is_some()).filter_map(|w| w[1].word());
    behind.find(|w| others.iter().any(|list| list.contains(w)))
}

/// `5:00 scaled`: the word of a version, which is chosen beside the score and not typed into it.
pub fn version_said(unread: &[String]) -> Option<&str> {
    const VERSIONS: &[&str] = &["scaled", "modified", "adapted", "lighter", "easier", "shorter"];
    unread.iter().map(String::as_str).find(|w| VERSIONS.contains(w))
}

/// The same as a sentence: the score counts and is marked.
pub(super) fn version(unread: &[String]) -> Option<String> {
    let word = version_said(unread)?;
    Some(format!("This says {word}. Is the version that was done chosen beside it?"))
}

/// Number words that are not read. Of `a hundred and five` the five alone would be another number.
pub(super) fn unread_number(tokens: &[Tok]) -> Option<&str> {
    const WORDS: &[&str] = &[
        "thirteen",
        "fourteen",
        "fifteen",
        "sixteen",
        "seventeen",
        "eighteen",
        "nineteen",
        "twenty",
        "thirty",
        "forty",
        "fifty",
        "sixty",
        "seventy",
        "eighty",
        "ninety",
        "hundred",
        "thousand",
        "dozen",
        "couple",
    ];
    let number = |t: Option<&Tok>| t.is_some_and(|t| t.num().is_some());
    let none = tokens.iter().all(|t| t.num().is_none());
    // a hundred metres of a story are no part of the score
    let beside = |i: usize| {
        let next = i + 1 + usize::from(tokens.get(i + 1).is_some_and(|t| t.is_word(&["and"]) || t.is('-')));
        none || number(tokens.get(next)) || number(i.checked_sub(1).and_then(|i| tokens.get(i)))
    };
    (0..tokens.len()).filter(|i| beside(*i)).filter_map(|i| tokens[i].word()).find(|w| WORDS.contains(w))
}

/// `12 rounds` typed as `5½ rounds`: half a round is some reps, and nobody says how many.
pub(super) fn part_of_a_round(tokens: &[Tok]) -> bool {
    let part = |n: &Num| n.value.fract() != 0.0;
    tokens.windows(2).any(|w| w[0].num().is_some_and(part) && w[1].is_word(&["round", "rounds", "rds", "rnds"]))
}
