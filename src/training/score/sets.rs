//! What was lifted in a part of plain sets: `5 x 5 at 60 kg`, `5 at 60 kg, 3 at 65 kg`, `62.5`.

use super::listed::{self, FEW};
use super::rules::ScoreRules;
use super::words::number;
use super::{Draft, Lift, MassUnit, Question, Reading, Score, ScoreError, load, tokens};

/// Sets in one part, at most.
const MOST_SETS: usize = 40;
const TIMES: &[&str] = &["x", "X", "×", "*", "of"];

/// What the member was given to do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Plan {
    /// how many sets
    pub sets: u32,
    /// of how many reps each
    pub reps: u32,
}

/// Reads the sets of a part. A weight alone stands for all the planned sets, a list of weights for a set each.
///
/// # Errors
/// Text without a weight in it, with the reason and examples.
pub fn read(text: &str, plan: Option<Plan>, rules: &ScoreRules) -> Result<Reading, ScoreError> {
    let fail = |why: String| ScoreError {
        text: text.to_owned(),
        why,
        examples: examples(plan, rules.mass_unit.unwrap_or(MassUnit::Kg)),
    };
    if text.chars().count() > super::LONGEST {
        return Err(fail("That is too long. Put the rest into the note.".to_owned()));
    }
    let tokens = tokens::read(&listed::parted(text));
    let rules = &listed::sharing(&tokens, rules);
    if let Some(draft) = listed::read(&tokens, plan, rules) {
        return reading(text, draft.map_err(fail)?, rules).map_err(fail);
    }
    if let Some(question) = listed::unclear(&tokens, plan) {
        return Err(fail(question));
    }
    reading(text, one_by_one(text, plan, rules).map_err(fail)?, rules).map_err(fail)
}

/// Each piece between commas is a set, or several.
fn one_by_one(text: &str, plan: Option<Plan>, rules: &ScoreRules) -> Result<Draft, String> {
    let (mut lifts, mut unread, mut held) = (Vec::new(), Vec::new(), None);
    let pieces = pieces(text);
    for piece in &pieces {
        let turned = weight_first(piece, plan)?;
        if let Some(question) = listed::half_said(&tokens::read(piece)).filter(|_| turned.is_none()) {
            return Err(question);
        }
        let set = read_piece(turned.as_deref().unwrap_or(piece), rules)?;
        held = held.or(set.held);
        unread.extend(set.unread);
        let alone = pieces.len() == 1 && set.lifts.len() == 1 && set.lifts[0].reps.is_none();
        let times = set.times.or(plan.filter(|_| alone).map(|p| p.sets)).unwrap_or(1);
        let own: Vec<Lift> = set.lifts.into_iter().map(|l| Lift { reps: l.reps.or(plan.map(|p| p.reps)), ..l }).collect();
        lifts.extend((0..times).flat_map(|_| own.iter().copied()));
    }
    let open = lifts.iter().any(|l| l.unit.is_none());
    let draft = Draft { held, ..Draft::clear(Score::Load { lifts: lifts.clone() }, unread) };
    Ok(if open { listed::ask_unit(draft, &lifts) } else { draft })
}

fn reading(text: &str, draft: Draft, rules: &ScoreRules) -> Result<Reading, String> {
    let Score::Load { lifts } = &draft.score else { return Err("There is no weight here.".to_owned()) };
    if lifts.is_empty() || lifts.len() > MOST_SETS {
        return Err(format!("Between 1 and {MOST_SETS} sets can be logged."));
    }
    let doubt = super::rules::doubt(&draft.score, rules);
    let understood = words(lifts);
    let Draft { score, held, unread, .. } = draft;
    Ok(Reading { text: text.to_owned(), understood, score, held, doubt, unread, tie_s: None })
}

/// Texts that are read, in this unit.
#[must_use]
pub fn examples(plan: Option<Plan>, unit: MassUnit) -> Vec<String> {
    let Plan { sets, reps } = plan.unwrap_or(Plan { sets: 5, reps: 5 });
    let (light, heavy) = match unit {
        MassUnit::Kg => ("60 kg", "65 kg"),
        MassUnit::Lb => ("135 lb", "145 lb"),
    };
    vec![format!("{sets} x {reps} at {light}"), format!("{reps} at {light}, {} at {heavy}", reps.div_ceil(2))]
}

/// The sets in words, equal ones together: `5 x 5 at 60 kg`, `2 x 5 at 60 kg, 3 at 65 kg`.
#[must_use]
pub fn words(lifts: &[Lift]) -> String {
    let said = |run: &[Lift]| match (run.len(), run[0].reps.filter(|n| *n > 0)) {
        (1, None) => Score::Load { lifts: run.to_vec() }.words(),
        (1, Some(reps)) => format!("{reps} at {}", weight(&run[0])),
        (n, Some(reps)) => format!("{n} x {reps} at {}", weight(&run[0])),
        (n, None) => format!("{n} x {}", Score::Load { lifts: vec![run[0]] }.words()),
    };
    lifts.chunk_by(|a, b| a == b).map(said).collect::<Vec<_>>().join(", ")
}

fn weight(lift: &Lift) -> String {
    Score::Load { lifts: vec![Lift { reps: None, ..*lift }] }.words()
}

/// What the line asks for, as a member would type it: `3 x 8 at pair of 20 kg`.
#[must_use]
pub fn as_planned(plan: Plan, weight: f64, unit: MassUnit, implements: u32) -> String {
    let pair = if implements == 2 { "pair of " } else { "" };
    format!("{} x {} at {pair}{} {}", plan.sets, plan.reps, number(weight), unit.word())
}

/// A comma parts two sets, unless it stands inside a number.
fn pieces(text: &str) -> Vec<String> {
    let all: Vec<char> = text.chars().collect();
    let digit = |i: Option<usize>| i.and_then(|i| all.get(i)).is_some_and(char::is_ascii_digit);
    let parts = |(i, c): (usize, &char)| match c {
        ';' | '\n' => true,
        ',' => !(digit(i.checked_sub(1)) && digit(Some(i + 1))),
        _ => false,
    };
    let mut out = vec![String::new()];
    for (i, c) in all.iter().enumerate() {
        if parts((i, c)) {
            out.push(String::new());
        } else if let Some(last) = out.last_mut() {
            last.push(*c);
        }
    }
    out.retain(|p| !p.trim().is_empty());
    out
}

struct Piece {
    times: Option<u32>,
    lifts: Vec<Lift>,
    held: Option<Question>,
    unread: Vec<String>,
}

fn read_piece(piece: &str, rules: &ScoreRules) -> Result<Piece, String> {
    let (times, reps, rest) = counted(piece);
    if rest.trim().is_empty() {
        return Err("At what load?".to_owned());
    }
    let (tokens, _) = tokens::tie_break(tokens::read(rest));
    let draft = load::read(&tokens, rules)?;
    let Score::Load { mut lifts } = draft.score else { return Err("There is no weight here.".to_owned()) };
    let twice = reps.is_some() && lifts.iter().any(|l| l.reps.is_some_and(|n| n > 0));
    if twice || times.is_some() && lifts.len() > 1 {
        return Err(listed::EACH.to_owned());
    }
    if let Some(reps) = reps {
        lifts.iter_mut().for_each(|l| l.reps = l.reps.or(Some(reps)));
    }
    Ok(Piece { times, lifts, held: draft.held, unread: draft.unread })
}

/// `60 kg x 5 x 5`, the weight before two counts, turned into `5 x 5 at 60 kg`; none where the piece is something else.
///
/// # Errors
/// Two counts of which nothing says which are the sets: people write them in either order.
fn weight_first(piece: &str, plan: Option<Plan>) -> Result<Option<String>, String> {
    let low = piece.to_lowercase();
    let parts: Vec<&str> = low.split(['x', '×', '*']).map(str::trim).collect();
    let [weight, first, second] = parts[..] else { return Ok(None) };
    let alone = |text: &str| {
        let (n, rest) = count(text)?;
        after(rest, &["sets", "set"]).unwrap_or(rest).trim().is_empty().then_some(n)
    };
    let (Some(a), Some(b)) = (alone(first), alone(second)) else { return Ok(None) };
    let number = weight.starts_with(|c: char| c.is_ascii_digit());
    // `5 x 5 x 60` has its load behind
    let weighs = weight.ends_with(|c: char| c.is_alphabetic()) || count(weight).is_none_or(|(n, _)| n > FEW);
    if !number || !weighs || a == 0 || b == 0 {
        return Ok(None);
    }
    let named = |text: &str| text.contains("set");
    let planned = |sets, reps| plan == Some(Plan { sets, reps });
    let (sets, reps) = match () {
        () if a == b || named(first) || planned(a, b) => (a, b),
        () if named(second) || planned(b, a) => (b, a),
        () => return Err(format!("Is that {a} sets of {b}, or {b} sets of {a}?")),
    };
    Ok(Some(format!("{sets} x {reps} at {weight}")))
}

/// The sets and reps in front, and what is left: `5 x 5 at 60 kg`, `5 sets of 5 @ 60 kg`, `5 reps at 60 kg`.
fn counted(piece: &str) -> (Option<u32>, Option<u32>, &str) {
    let Some((first, rest)) = count(piece) else { return (None, None, piece) };
    if let Some(load) = at(rest) {
        return (None, Some(first), load);
    }
    let Some((second, rest)) = times(rest).and_then(count) else { return (None, None, piece) };
    let few = first <= FEW && second <= FEW;
    match at(rest).or_else(|| beside(rest).filter(|_| few)) {
        Some(load) => (Some(first.max(1)), Some(second), load),
        None => (None, None, piece),
    }
}

/// The load right behind sets and reps, `5 x 5 60 kg`, `5 x 5 x 60`; or nothing at all.
fn beside(rest: &str) -> Option<&str> {
    let load = after(rest, TIMES).unwrap_or(rest).trim_start();
    load.chars().next().is_none_or(|c| c.is_ascii_digit()).then_some(load)
}

/// A small whole number in front.
fn count(text: &str) -> Option<(u32, &str)> {
    let text = text.trim_start();
    let end = text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len());
    let rest = &text[end..];
    let n = text[..end].parse().ok().filter(|n| *n <= 100)?;
    let decimal = rest.starts_with(['.', ',']) && rest[1..].starts_with(|c: char| c.is_ascii_digit());
    (!decimal).then(|| (n, after(rest, &["reps", "rep"]).unwrap_or(rest)))
}

fn times(text: &str) -> Option<&str> {
    let text = after(text, &["sets", "set"]).unwrap_or(text);
    after(text, TIMES)
}

fn at(text: &str) -> Option<&str> {
    after(text, &["at", "@", "with"])
}

fn after<'a>(text: &'a str, words: &[&str]) -> Option<&'a str> {
    let text = text.trim_start();
    words.iter().find_map(|w| text.strip_prefix(w))
}

#[cfg(test)]
mod tests;
