//! Scores of parts for time: a finish, or how far somebody came before the cap.

use super::clock::{Clock, show};
use super::rules::ScoreRules;
use super::scan::{Item, Scan, scan};
use super::tokens::{Num, Tok};
use super::{Draft, Drafted, Score, Work};

/// Reads a time, or reps at the cap.
pub(super) fn read(tokens: &[Tok], rules: &ScoreRules) -> Drafted {
    let found = scan(tokens, true)?;
    if found.not_started && found.items.is_empty() {
        return Ok(Draft::clear(Score::NotDone { started: false }, found.unread.clone()));
    }
    let clocks: Vec<&Clock> = found.items.iter().filter_map(|i| if let Item::Clock(c) = i { Some(c) } else { None }).collect();
    let counts: Vec<&Item> = found.items.iter().filter(|i| !matches!(i, Item::Clock(_))).collect();
    match (&clocks[..], &counts[..]) {
        ([], []) => nothing(&found, rules),
        ([clock], []) => finish(clock, colons(tokens), &found, rules),
        ([], [Item::Bare(n)]) => bare(n, &found, rules),
        ([], [count]) => capped(count, &found, rules),
        ([Clock::Exact(at, _)], [count]) => {
            both(*at, count, &Scan { cap_plus: cap_plus(*at, count, tokens, rules), ..found.clone() }, rules)
        }
        ([..], [..]) => Err("There are several numbers here, and it is not clear which one is the score.".to_owned()),
    }
}

fn nothing(found: &Scan, rules: &ScoreRules) -> Drafted {
    if found.capped {
        let draft = Draft::clear(Score::Capped { work: Work::Unknown }, found.unread.clone());
        let of = rules.total_reps.map_or(String::new(), |n| format!(" of {n}"));
        return Ok(draft.ask(format!("How many reps{of} did you do before the cap?"), Vec::new()).or_at_cap());
    }
    if found.unfinished {
        return Ok(Draft::clear(Score::NotDone { started: true }, found.unread.clone()));
    }
    Err("There is no time here.".to_owned())
}

/// A time alone.
fn finish(clock: &Clock, colons: bool, found: &Scan, rules: &ScoreRules) -> Drafted {
    if found.capped || found.unfinished {
        return nothing(&Scan { capped: true, unread: found.unread.clone(), ..Scan::default() }, rules);
    }
    match clock {
        Clock::Exact(seconds, note) => {
            if let Some(shorter) = stopwatch(*seconds, rules).filter(|_| colons && !found.past_cap) {
                return hundredths(*seconds, shorter, found, rules);
            }
            let draft = Draft::clear(time(*seconds)?, found.unread.clone());
            let draft = if let Some(note) = note { draft.noted(note) } else { draft };
            if found.inexact {
                return Ok(draft.ask("What was the time, to the second?", Vec::new()));
            }
            // whoever says so themself has answered
            Ok(if found.past_cap { draft } else { over_cap(draft, *seconds, rules) })
        }
        Clock::Either(ways) => choose(ways.iter().map(|s| Score::Time { seconds: *s }).collect(), found.unread.clone(), rules),
    }
}

/// `7:42:35`, with two colons and no word of hours: of the spellings of a time the only one that may be a stopwatch's.
fn colons(tokens: &[Tok]) -> bool {
    let two = |n: &Tok| n.num().is_some_and(|n| n.whole.len() == 2 && n.part.is_empty());
    let three = |w: &[Tok]| w[0].num().is_some() && w[1].is(':') && two(&w[2]) && w[3].is(':') && two(&w[4]);
    tokens.windows(5).any(three) && !tokens.iter().any(|t| t.is_word(super::clock::HOURS))
}

/// Hundredths, unless the hours are so near the cap that somebody may have gone on past it.
fn hundredths(hours: f64, shorter: f64, found: &Scan, rules: &ScoreRules) -> Drafted {
    let draft = Draft::clear(time(shorter)?, found.unread.clone());
    if rules.cap_s.is_some_and(|cap| hours <= cap * 2.0) {
        let answers = vec![show(shorter), format!("{} over the cap", show(hours))];
        return Ok(draft.ask(format!("Is that {}?", or(&answers)), answers));
    }
    Ok(draft.noted("read as minutes, seconds and hundredths: hours are over the cap"))
}

/// `7:42:35` on a stopwatch is 7 min 42.35 s: so it is read where hours are over the cap and this is not.
fn stopwatch(seconds: f64, rules: &ScoreRules) -> Option<f64> {
    let cap = rules.cap_s.filter(|cap| seconds >= 3600.0 && seconds > *cap)?;
    let shorter = (seconds / 3600.0).floor() * 60.0 + (seconds % 3600.0 / 60.0).floor() + seconds % 60.0 / 100.0;
    (shorter <= cap && rules.fastest_s.is_none_or(|least| shorter >= least)).then_some(shorter)
}

fn time(seconds: f64) -> Result<Score, String> {
    if !seconds.is_finite() || seconds >= 360_000.0 {
        return Err("That is longer than four days.".to_owned());
    }
    if seconds <= 0.0 { Err("A time is more than zero.".to_owned()) } else { Ok(Score::Time { seconds }) }
}

fn over_cap(draft: Draft, seconds: f64, rules: &ScoreRules) -> Draft {
    match rules.cap_s {
        Some(cap) if seconds > cap => {
            let text = format!(
                "The cap is {}, and this says {}. Is the time right, or how many reps were done at the cap?",
                show(cap),
                show(seconds)
            );
            draft.ask(text, vec![format!("{} over the cap", show(seconds))]).or_at_cap()
        }
        _ => draft,
    }
}

/// A number alone: minutes, seconds, minutes and seconds run together, or reps at the cap.
fn bare(n: &Num, found: &Scan, rules: &ScoreRules) -> Drafted {
    if (found.capped || found.unfinished)
        && let Some(count) = n.count()
    {
        return capped(&Item::Reps(count), found, rules);
    }
    let mut ways = match super::clock::find(&[Tok::Num(n.clone())], 0)? {
        Some((Clock::Either(ways), _)) => ways.into_iter().map(|s| Score::Time { seconds: s }).collect(),
        Some((Clock::Exact(seconds, _), _)) => vec![Score::Time { seconds }],
        None => Vec::new(),
    };
    if rules.cap_s.is_some()
        && let Some(count) = n.count().filter(|c| rules.total_reps.is_none_or(|total| *c < total))
    {
        ways.push(Score::Capped { work: Work::Done(count) });
    }
    if rules.total_reps.is_some_and(|total| n.count() == Some(total)) && ways.iter().all(|s| !possible(s, rules)) {
        return capped(&Item::Bare(n.clone()), found, rules);
    }
    choose(ways, found.unread.clone(), rules)
}

/// Inside the cap, and not faster than anybody could be.
fn possible(score: &Score, rules: &ScoreRules) -> bool {
    match score {
        Score::Time { seconds } => {
            let in_cap = rules.cap_s.is_none_or(|cap| *seconds <= cap);
            *seconds > 0.0 && *seconds < 360_000.0 && in_cap && rules.fastest_s.is_none_or(|least| *seconds >= least)
        }
        _ => true,
    }
}

/// The one way that can be, or a question.
fn choose(ways: Vec<Score>, unread: Vec<String>, rules: &ScoreRules) -> Drafted {
    let possible: Vec<&Score> = ways.iter().filter(|s| possible(s, rules)).collect();
    match possible[..] {
        [] => match ways.first() {
            Some(Score::Time { seconds }) => Ok(over_cap(Draft::clear(time(*seconds)?, unread), *seconds, rules)),
            _ => Err("There is no time here.".to_owned()),
        },
        [only] => Ok(Draft::clear(only.clone(), unread).noted("nothing else fits this part")),
        [first, ..] => {
            let answers: Vec<String> = possible.iter().map(|s| s.words()).collect();
            let text = format!("Is that {}?", or(&answers));
            Ok(Draft::clear(first.clone(), unread).ask(text, answers))
        }
    }
}

/// `a, b or c`.
pub(super) fn or(list: &[String]) -> String {
    match list {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} or {last}", most.join(", ")),
    }
}

fn plain_count(item: &Item) -> Option<u32> {
    match item {
        Item::Reps(n) => Some(*n),
        Item::Bare(n) => n.count(),
        _ => None,
    }
}

/// Reps at the cap.
fn capped(count: &Item, found: &Scan, rules: &ScoreRules) -> Drafted {
    let n = plain_count(count);
    if let (true, Some(n)) = (found.cap_plus, n) {
        let draft = Draft::clear(Score::Capped { work: Work::Done(n) }, found.unread.clone());
        let answers = vec![format!("{n} left"), format!("capped at {n} reps")];
        return Ok(draft.ask(format!("Were {n} reps left to do, or {n} done?"), answers));
    }
    let work = match count {
        Item::Reps(n) => Work::Done(*n),
        Item::Bare(n) => Work::Done(n.reps()?),
        Item::Left(n) => match rules.total_reps {
            Some(total) if *n > total => return Err(format!("There are {total} reps in all, so {n} cannot be left.")),
            Some(total) => Work::Done(total - n),
            None => Work::Left(*n),
        },
        Item::Of(done, total) => {
            let right = rules.total_reps.unwrap_or(*total);
            if *done > right || right != *total {
                return Err(format!("There are {right} reps in all, and this says {done} of {total}."));
            }
            Work::Done(*done)
        }
        Item::Rounds(rounds, reps, _) => match rules.round_reps {
            Some(each) => Work::Done(rounds.saturating_mul(each).saturating_add(*reps)),
            None => Work::Rounds(*rounds, *reps),
        },
        Item::Sum(list) => Work::Done(list.iter().fold(0, |a, b| a.saturating_add(*b))),
        Item::EachSide(_) | Item::Clock(_) => return Err("There is no time here.".to_owned()),
    };
    if let (Work::Done(n), Some(total)) = (work, rules.total_reps)
        && n >= total
    {
        let draft = Draft::clear(Score::Capped { work }, found.unread.clone());
        return Ok(draft.ask(format!("{total} reps is all of it. What was your time?"), Vec::new()));
    }
    Ok(Draft::clear(Score::Capped { work }, found.unread.clone()))
}

/// `14:00+4`, as `cap+4`: where it is few of all the reps, they may as well be those that were left.
fn cap_plus(at: f64, count: &Item, tokens: &[Tok], rules: &ScoreRules) -> bool {
    let n = plain_count(count);
    let few = n.is_some_and(|n| rules.total_reps.is_none_or(|total| n <= total / 2));
    let plus = tokens.windows(2).any(|w| w[0].is('+') && w[1].num().and_then(Num::count) == n);
    few && plus && rules.cap_s == Some(at)
}

/// `14:00, 128 reps` is the cap and how far; `7:42, all 135 reps` is a finish.
fn both(at: f64, count: &Item, found: &Scan, rules: &ScoreRules) -> Drafted {
    let all = match (count, rules.total_reps) {
        (Item::Reps(n) | Item::Of(n, _), Some(total)) => *n == total,
        (Item::Of(n, total), None) => n == total,
        (Item::Bare(n), Some(total)) => n.count() == Some(total),
        _ => false,
    };
    if all && rules.cap_s.is_none_or(|cap| at <= cap) && !found.capped {
        return Ok(Draft::clear(time(at)?, found.unread.clone()));
    }
    let at_cap = found.capped || found.unfinished || rules.cap_s.map_or(!matches!(count, Item::Bare(_)), |cap| at >= cap);
    if at_cap {
        return capped(count, found, rules);
    }
    if rules.cap_s.is_none() {
        return Err("There are several numbers here, and it is not clear which one is the score.".to_owned());
    }
    let draft = Draft::clear(time(at)?, found.unread.clone());
    let text = format!("This says a time of {} and also a number of reps. Did you finish?", show(at));
    let mut answers = vec![show(at)];
    if let Ok(Draft { score, held: None, .. }) = capped(count, found, rules) {
        answers.push(score.words());
    }
    Ok(draft.ask(text, answers))
}
