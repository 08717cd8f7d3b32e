//! Scores that are counted: rounds and reps, and reps alone.

use super::rules::{Combine, ScoreRules};
use super::scan::{Item, Scan, scan};
use super::timed::or;
use super::tokens::{Num, Tok};
use super::words::plural;
use super::{Draft, Drafted, Score};

/// Full rounds and the reps of the cut-off one.
pub(super) fn rounds_reps(tokens: &[Tok], rules: &ScoreRules) -> Drafted {
    let tokens = if rules.minutes { minutes_as_rounds(&joined(tokens)) } else { joined(tokens) };
    let found = started(&tokens)?;
    let found = match found {
        Ok(draft) => return Ok(draft),
        Err(found) => found,
    };
    let unread = || found.unread.clone();
    match &found.items[..] {
        [Item::Rounds(rounds, reps, _)] => Ok(Draft::clear(Score::RoundsReps { rounds: *rounds, reps: *reps }, unread())),
        [Item::Reps(n)] => Ok(Draft::clear(from_total(*n, rules), unread())),
        [Item::Bare(_)] if super::care::part_of_a_round(&tokens) => {
            Err("Write full rounds and the reps of the next one, as in 12+5.".to_owned())
        }
        [Item::Bare(n)] => bare_rounds(n, unread(), rules),
        [Item::Of(rounds, reps)] => {
            Ok(Draft::clear(Score::RoundsReps { rounds: *rounds, reps: *reps }, unread()).noted("read as rounds and reps"))
        }
        [] => Err("There are no rounds here.".to_owned()),
        many => blocks(many, unread(), rules),
    }
}

/// Reps in all.
pub(super) fn reps(tokens: &[Tok], rules: &ScoreRules) -> Drafted {
    let found = match started(tokens)? {
        Ok(draft) => return Ok(draft),
        Err(found) => found,
    };
    if let [Tok::Num(a), Tok::Sign('×'), Tok::Num(b)] = tokens
        && let (Some(a), Some(b)) = (a.count(), b.count())
    {
        return times(a, b, found.unread);
    }
    if let Some(list) = slashed(tokens) {
        return rules.combine.map_or_else(|| ask_list(&list, Vec::new()), |how| list_of(&list, how, Vec::new()));
    }
    let unread = found.unread;
    let clear = |n: u32| Ok(Draft::clear(Score::Reps { reps: n }, unread.clone()));
    match &found.items[..] {
        [Item::Reps(n)] => clear(*n),
        [Item::Bare(n)] => clear(n.reps()?),
        [Item::Rounds(rounds, reps, true)] => match rules.round_reps {
            Some(each) => clear(rounds.saturating_mul(each).saturating_add(*reps)),
            None => Err("This part counts reps. How many were it in all?".to_owned()),
        },
        [Item::Rounds(a, b, false)] => in_rounds_or_sum(*a, *b, unread.clone(), rules),
        [Item::Sum(list)] => list_of(list, rules.combine.unwrap_or(Combine::Sum), unread.clone()),
        [Item::Of(done, total)] if rules.total_reps == Some(*total) && done <= total => clear(*done),
        [Item::Of(a, b)] if rules.combine.is_some() => list_of(&[*a, *b], rules.combine.unwrap_or(Combine::Sum), unread.clone()),
        [Item::Of(a, b)] => ask_list(&[*a, *b], unread.clone()),
        [Item::Left(n)] => match rules.total_reps.and_then(|t| t.checked_sub(*n)) {
            Some(done) => clear(done),
            None => Err("How many reps were done?".to_owned()),
        },
        [Item::EachSide(n)] => {
            let answers = vec![format!("{n} reps"), format!("{} reps", n.saturating_mul(2))];
            let draft = Draft::clear(Score::Reps { reps: *n }, unread.clone());
            Ok(draft.ask(format!("{n} on each side: does this part count {n} or {}?", n.saturating_mul(2)), answers))
        }
        [] => Err("There are no reps here.".to_owned()),
        many => {
            let list: Option<Vec<u32>> = many.iter().map(one_count).collect();
            match (list, rules.combine) {
                (Some(list), Some(how)) => list_of(&list, how, unread.clone()),
                (Some(list), None) => ask_list(&list, unread.clone()),
                (None, _) => Err("There are several numbers here, and it is not clear which one is the score.".to_owned()),
            }
        }
    }
}

/// `14/12/11/9`: three counts or more, one for each round. Two may be done and of how many.
fn slashed(tokens: &[Tok]) -> Option<Vec<u32>> {
    let counts = tokens.iter().step_by(2).map(|tok| tok.num()?.count()).collect::<Option<Vec<u32>>>()?;
    let between = tokens.iter().skip(1).step_by(2).all(|tok| tok.is('/') || tok.is('-'));
    (between && counts.len() > 2 && tokens.len() == 2 * counts.len() - 1).then_some(counts)
}

/// `3x12` may be all of 36, or one of its numbers.
fn times(a: u32, b: u32, unread: Vec<String>) -> Drafted {
    let all = a.saturating_mul(b);
    let answers = vec![format!("{all} reps"), format!("{a} reps"), format!("{b} reps")];
    let text = format!("{a} times {b} is {all} reps in all. Is that the score?");
    Ok(Draft::clear(Score::Reps { reps: all }, unread).ask(text, answers))
}

/// A draft where the person did not start or finish; a time is no count.
fn started(tokens: &[Tok]) -> Result<Result<Draft, Scan>, String> {
    if tokens.iter().any(|t| t.is(':')) && super::clock::find(tokens, 0).is_ok_and(|c| c.is_some()) && tokens.len() <= 5 {
        return Err("That looks like a time. This part is scored in reps.".to_owned());
    }
    let found = scan(tokens, false)?;
    if found.items.is_empty() && (found.not_started || found.unfinished) {
        return Ok(Ok(Draft::clear(Score::NotDone { started: !found.not_started }, found.unread)));
    }
    Ok(Err(found))
}

/// `12-5` and `12 5` mean `12+5`.
fn joined(tokens: &[Tok]) -> Vec<Tok> {
    match tokens {
        [Tok::Num(a), Tok::Sign('-'), Tok::Num(b), tail @ ..] => {
            [&[Tok::Num(a.clone()), Tok::Sign('+'), Tok::Num(b.clone())], tail].concat()
        }
        [Tok::Num(a), Tok::Num(b), tail @ ..] if !tail.iter().any(|t| t.num().is_some()) => {
            [&[Tok::Num(a.clone()), Tok::Sign('+'), Tok::Num(b.clone())], tail].concat()
        }
        other => other.to_vec(),
    }
}

/// `11 minutes + 4` of a part in which each minute is a round.
fn minutes_as_rounds(tokens: &[Tok]) -> Vec<Tok> {
    let minute = |tok: &Tok| tok.is_word(&["minute", "minutes", "min", "mins", "m"]);
    tokens.iter().map(|tok| if minute(tok) { Tok::Word("rounds".to_owned()) } else { tok.clone() }).collect()
}

/// Reps in all, as rounds and reps where the length of a round is known.
fn from_total(n: u32, rules: &ScoreRules) -> Score {
    match rules.round_reps.filter(|r| *r > 0 && !rules.rungs) {
        Some(each) => Score::RoundsReps { rounds: n / each, reps: n % each },
        None => Score::Reps { reps: n },
    }
}

/// `5` alone is rounds or reps; `12.5` is 12 + 5 or twelve and a half.
fn bare_rounds(n: &Num, unread: Vec<String>, rules: &ScoreRules) -> Drafted {
    let Some(count) = n.count() else {
        let (Ok(rounds), Ok(reps)) = (n.whole.parse::<u32>(), n.part.parse::<u32>()) else {
            let many = if n.value >= 1e6 { "That is too many. " } else { "" };
            return Err(format!("{many}Write rounds and reps as in 12+5."));
        };
        let draft = Draft::clear(Score::RoundsReps { rounds, reps }, unread);
        let mut answers = vec![format!("{rounds} rounds + {reps} reps")];
        if let Some(each) = rules.round_reps.filter(|_| n.part == "5") {
            answers.push(format!("{rounds} rounds + {} reps", each / 2));
        }
        if answers.len() == 1 {
            return Ok(draft.noted("read as rounds and reps"));
        }
        return Ok(draft.ask(format!("Is that {}?", or(&answers)), answers));
    };
    let as_rounds = Score::RoundsReps { rounds: count, reps: 0 };
    if count == 0 || rules.minutes {
        return Ok(Draft::clear(as_rounds, unread));
    }
    let too_many = rules.most_rounds.is_some_and(|most| f64::from(count) > most);
    if too_many {
        return Ok(Draft::clear(from_total(count, rules), unread).noted("read as reps in all: so many rounds do not fit"));
    }
    let answers = vec![format!("{count} rounds"), format!("{count} reps")];
    Ok(Draft::clear(as_rounds, unread).ask(format!("{count} rounds, or {count} reps in all?"), answers))
}

/// Several blocks of rounds and reps, added where the part says so.
fn blocks(items: &[Item], unread: Vec<String>, rules: &ScoreRules) -> Drafted {
    let pairs: Option<Vec<(u32, u32)>> =
        items.iter().map(|i| if let Item::Rounds(a, b, _) = i { Some((*a, *b)) } else { None }).collect();
    let Some(pairs) = pairs.filter(|_| rules.combine.is_some()) else {
        return Err("There are several numbers here, and it is not clear which one is the score.".to_owned());
    };
    let best = match rules.combine {
        Some(Combine::Lowest) => pairs.iter().copied().min(),
        Some(Combine::Highest) => pairs.iter().copied().max(),
        _ => pairs.iter().copied().reduce(|a, b| (a.0.saturating_add(b.0), a.1.saturating_add(b.1))),
    };
    let (rounds, reps) = best.unwrap_or_default();
    let note = rules.combine.map_or("", Combine::words);
    Ok(Draft::clear(Score::RoundsReps { rounds, reps }, unread).noted(note))
}

/// `3+7` in a part of reps: rounds and reps where the part has rounds, else a sum.
fn in_rounds_or_sum(a: u32, b: u32, unread: Vec<String>, rules: &ScoreRules) -> Drafted {
    let sum = a.saturating_add(b);
    match (rules.round_reps, rules.combine) {
        (_, Some(how)) => list_of(&[a, b], how, unread),
        (None, None) => Ok(Draft::clear(Score::Reps { reps: sum }, unread).noted(format!("{a} and {b} added"))),
        (Some(each), None) => {
            let total = a.saturating_mul(each).saturating_add(b);
            let answers = vec![format!("{total} reps"), format!("{sum} reps")];
            let text = format!("{a} rounds + {b} reps ({total} in all), or {a} and {b} added ({sum})?");
            Ok(Draft::clear(Score::Reps { reps: total }, unread).ask(text, answers))
        }
    }
}

fn one_count(item: &Item) -> Option<u32> {
    match item {
        Item::Reps(n) => Some(*n),
        Item::Bare(n) => n.count(),
        _ => None,
    }
}

fn list_of(list: &[u32], how: Combine, unread: Vec<String>) -> Drafted {
    let reps = match how {
        Combine::Sum => list.iter().fold(0_u32, |a, b| a.saturating_add(*b)),
        Combine::Lowest => list.iter().copied().min().unwrap_or(0),
        Combine::Highest => list.iter().copied().max().unwrap_or(0),
    };
    Ok(Draft::clear(Score::Reps { reps }, unread).noted(how.words()))
}

fn ask_list(list: &[u32], unread: Vec<String>) -> Drafted {
    let sum = list.iter().fold(0_u32, |a, b| a.saturating_add(*b));
    let (low, high) = (list.iter().min().copied().unwrap_or(0), list.iter().max().copied().unwrap_or(0));
    let mut answers = [sum, low, high].map(|n| plural(n, "rep")).to_vec();
    answers.dedup();
    let text = format!("Does this part count the sum ({sum}), the lowest ({low}) or the highest ({high})?");
    Ok(Draft::clear(Score::Reps { reps: sum }, unread).ask(text, answers))
}
