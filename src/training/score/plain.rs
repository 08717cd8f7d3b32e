//! Scores with one number: distance, calories, a hold; and parts where done is all.

use super::clock::{self, Clock};
use super::rules::{Combine, ScoreRules};
use super::timed::or;
use super::tokens::{Num, Tok, unread};
use super::{DistanceUnit, Draft, Drafted, Score};

/// Hold this long and nobody speaks of minutes any more: a bare number from here on is seconds.
const SURELY_SECONDS: f64 = 10.0;

const UNITS: [(&[&str], DistanceUnit); 5] = [
    (&["m", "metre", "metres", "meter", "meters", "mtr", "mtrs"], DistanceUnit::M),
    (&["km", "kms", "k", "kilometre", "kilometres", "kilometer", "kilometers"], DistanceUnit::Km),
    (&["mi", "mile", "miles"], DistanceUnit::Mi),
    (&["yd", "yds", "yard", "yards"], DistanceUnit::Yd),
    (&["ft", "foot", "feet"], DistanceUnit::Ft),
];

fn not_done(tokens: &[Tok]) -> Option<Draft> {
    let found = super::scan::scan(tokens, false).ok()?;
    let ended = found.items.is_empty() && (found.not_started || found.unfinished);
    ended.then(|| Draft::clear(Score::NotDone { started: !found.not_started }, found.unread))
}

/// The only number of the text, and where it stands.
fn only_number<'a>(tokens: &'a [Tok], what: &str) -> Result<(usize, &'a Num), String> {
    let mut numbers = tokens.iter().enumerate().filter_map(|(i, t)| t.num().map(|n| (i, n)));
    match (numbers.next(), numbers.next()) {
        (Some(found), None) => Ok(found),
        (None, _) => Err(format!("There is no {what} here.")),
        _ => Err("There are several numbers here, and it is not clear which one is the score.".to_owned()),
    }
}

/// Metres and their kin.
pub(super) fn distance(tokens: &[Tok], rules: &ScoreRules) -> Drafted {
    if let Some(draft) = not_done(tokens) {
        return Ok(draft);
    }
    let (i, n) = only_number(tokens, "distance")?;
    let next = tokens.get(i + 1).and_then(Tok::word);
    if next.is_some_and(|w| {
        ["lap", "laps", "length", "lengths", "round", "rounds", "rds", "block", "blocks", "step", "steps"].contains(&w)
    }) {
        return Err("Write the distance in m, km or miles.".to_owned());
    }
    let typed = UNITS.iter().find(|(names, _)| next.is_some_and(|w| names.contains(&w))).map(|(_, u)| *u);
    if n.value >= 1e6 {
        return Err("That is too far.".to_owned());
    }
    let used: Vec<bool> = (0..tokens.len()).map(|j| j == i || (typed.is_some() && j == i + 1)).collect();
    let unit = typed.or(rules.distance_unit);
    let draft = Draft::clear(Score::Distance { value: n.value, unit }, unread(tokens, &used)?);
    // `1.200 m` is 1200 m in half of Europe.
    if unit == Some(DistanceUnit::M) && n.mark == Some('.') && n.part.len() == 3 {
        let answers = vec![format!("{}{} m", n.whole, n.part), draft.score.words()];
        return Ok(draft.ask(format!("Is that {}?", or(&answers)), answers));
    }
    if unit.is_some() {
        return Ok(draft);
    }
    let answers: Vec<String> = [DistanceUnit::M, DistanceUnit::Km, DistanceUnit::Mi]
        .iter()
        .map(|u| Score::Distance { value: n.value, unit: Some(*u) }.words())
        .collect();
    Ok(draft.ask(format!("Is that {}?", or(&answers)), answers))
}

/// Calories on a machine: there is only one unit.
pub(super) fn calories(tokens: &[Tok], rules: &ScoreRules) -> Drafted {
    if let Some(draft) = not_done(tokens) {
        return Ok(draft);
    }
    let numbers: Vec<&Num> = tokens.iter().filter_map(Tok::num).collect();
    if numbers.len() > 1
        && let Some(how) = rules.combine.or_else(|| tokens.iter().any(|t| t.is('+')).then_some(Combine::Sum))
    {
        let list: Vec<f64> = numbers.iter().map(|n| n.value).collect();
        let calories = how.of(&list);
        return Ok(Draft::clear(Score::Calories { calories }, Vec::new()).noted(how.words()));
    }
    let (i, n) = only_number(tokens, "number of calories")?;
    let named = tokens.get(i + 1).is_some_and(|t| t.is_word(&["cal", "cals", "kcal", "kcals", "calorie", "calories"]));
    if n.value >= 1e6 {
        return Err("That is too many calories.".to_owned());
    }
    let used: Vec<bool> = (0..tokens.len()).map(|j| j == i || (named && j == i + 1)).collect();
    Ok(Draft::clear(Score::Calories { calories: n.value }, unread(tokens, &used)?))
}

/// A hold. A bare number from ten on is seconds: nobody holds for so many minutes.
pub(super) fn hold(tokens: &[Tok], rules: &ScoreRules) -> Drafted {
    if let Some(draft) = not_done(tokens) {
        return Ok(draft);
    }
    let mut used = vec![false; tokens.len()];
    let (mut found, mut i) = (Vec::new(), 0);
    while i < tokens.len() {
        match clock::find(tokens, i)? {
            Some((clock, n)) => {
                used[i..i + n].fill(true);
                found.push((clock, tokens[i].num().filter(|_| n == 1).cloned()));
                i += n;
            }
            None => i += 1,
        }
    }
    let unread = unread(tokens, &used)?;
    match (&found[..], rules.combine) {
        ([], _) => Err("There is no time here.".to_owned()),
        ([(clock, bare)], _) => one_hold(clock, bare.as_ref(), unread),
        (many, Some(how)) => {
            let list: Option<Vec<f64>> = many.iter().map(|(c, bare)| seconds(c, bare.as_ref())).collect();
            let list = list.ok_or("Write each hold in seconds, as in 45 s.")?;
            Ok(Draft::clear(Score::Hold { seconds: how.of(&list) }, unread).noted(how.words()))
        }
        _ => Err("There are several holds here, and it is not clear which one is the score.".to_owned()),
    }
}

fn seconds(clock: &Clock, bare: Option<&Num>) -> Option<f64> {
    match (clock, bare) {
        (Clock::Exact(s, _), _) => Some(*s),
        (Clock::Either(_), Some(n)) if n.value >= SURELY_SECONDS => Some(n.value),
        _ => None,
    }
}

fn one_hold(clock: &Clock, bare: Option<&Num>, unread: Vec<String>) -> Drafted {
    let made = |seconds: f64| Draft::clear(Score::Hold { seconds }, unread.clone());
    match (clock, bare) {
        (Clock::Exact(s, _), _) if *s >= 360_000.0 => Err("That is too long.".to_owned()),
        (Clock::Exact(s, note), _) => Ok(match note {
            Some(note) => made(*s).noted(note),
            None => made(*s),
        }),
        (Clock::Either(_), Some(n)) if n.value == 0.0 => Ok(made(0.0)),
        (Clock::Either(_), Some(n)) if (SURELY_SECONDS..10_000.0).contains(&n.value) && n.part.is_empty() => {
            Ok(made(n.value).noted("read as seconds"))
        }
        (Clock::Either(ways), _) => {
            let answers: Vec<String> = ways.iter().map(|s| Score::Hold { seconds: *s }.words()).collect();
            let first = ways.first().copied().filter(|s| *s < 360_000.0).ok_or("That is too long.")?;
            Ok(made(first).ask(format!("Is that {}?", or(&answers)), answers))
        }
    }
}

/// Done or not; other words stay beside it.
pub(super) fn done(tokens: &[Tok], text: &str) -> Drafted {
    const YES: &[&str] =
        &["done", "yes", "y", "ok", "okay", "did", "finished", "complete", "completed", "yep", "yeah", "all", "finish", "ja"];
    const NO: &[&str] = &["no", "n", "not", "didn't", "didnt", "skipped", "skip", "dns", "nope", "dnf", "nein"];
    let words: Vec<&str> = tokens.iter().filter_map(Tok::word).collect();
    let rest: Vec<String> = words.iter().filter(|w| !YES.contains(w) && !NO.contains(w)).map(|w| (*w).to_owned()).collect();
    if words.iter().any(|w| NO.contains(w)) || tokens.iter().any(|t| t.is('✗')) {
        let started = words.contains(&"dnf") || words.iter().any(|w| w.starts_with("finish") || w.starts_with("complete"));
        return Ok(Draft::clear(Score::NotDone { started }, Vec::new()));
    }
    let marked = tokens.iter().any(|t| t.is('✓') || t.is('×')) || text.contains(['👍', '💪', '🙌', '👌', '🎉', '☑']);
    if text.trim().is_empty() || marked || words.iter().any(|w| YES.contains(w)) {
        return Ok(Draft::clear(Score::Done, rest));
    }
    Err("This part has no score. Write done, and the rest into the note.".to_owned())
}
