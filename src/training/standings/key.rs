//! What is compared: every result becomes whole numbers of which fewer is better, so that equal means equal.

use super::policy::{Policy, TieBreak};
use super::{Course, Entry, Scoring};
use crate::training::score::{Lift, Score, Work};
use crate::training::session::ScoreKind;

/// A result as something that can be ranked, or why it cannot.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Standing {
    /// less is better, number by number; then the tie-break, less is better
    Ranked {
        result: Vec<i64>,
        tie: i64,
    },
    Held(String),
    Listed(String),
}

/// Which kinds of number the results of one version are in, where they cannot be turned into one another.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Kinds {
    /// somebody gave reps done
    pub done: bool,
    /// somebody gave full rounds
    pub rounds: bool,
}

impl Kinds {
    pub fn add(&mut self, score: &Score) {
        self.done |= matches!(score, Score::Capped { work: Work::Done(_) } | Score::Reps { .. });
        self.rounds |= matches!(score, Score::RoundsReps { .. } | Score::Capped { work: Work::Rounds(..) });
    }
}

/// Where the result of one entry stands.
pub(super) fn standing(entry: &Entry, scoring: &Scoring, policy: &Policy, kinds: Kinds) -> Standing {
    let course = scoring.course_of(&entry.version);
    match result(entry, scoring, &course, policy, kinds) {
        // the least time stands first already
        Ok(result) if scoring.least_wins && scoring.kind != ScoreKind::Time => {
            Standing::Ranked { result: result.iter().map(|n| n.saturating_neg()).collect(), tie: tie(entry, scoring, policy) }
        }
        Ok(result) => Standing::Ranked { result, tie: tie(entry, scoring, policy) },
        Err(other) => other,
    }
}

fn held<T>(why: &str) -> Result<T, Standing> {
    Err(Standing::Held(why.to_owned()))
}

fn listed<T>(why: &str) -> Result<T, Standing> {
    Err(Standing::Listed(why.to_owned()))
}

/// Thousandths, so that 0.001 s is the smallest difference. A cast saturates, so nothing overflows.
#[expect(clippy::cast_possible_truncation, reason = "saturates")]
fn thousandths(n: f64) -> i64 {
    (n * 1000.0).round() as i64
}

fn result(entry: &Entry, scoring: &Scoring, course: &Course, policy: &Policy, kinds: Kinds) -> Result<Vec<i64>, Standing> {
    match &entry.score {
        Score::Time { seconds } if *seconds <= 0.0 => held("no time of zero can be right"),
        Score::Time { seconds } => match course.cap_s {
            Some(cap) if *seconds > cap && entry.confirmed => {
                listed(&format!("finished over the cap of {}", Score::Time { seconds: cap }.words()))
            }
            Some(cap) if *seconds > cap => held("the time is over the cap: was it finished?"),
            _ => Ok(vec![0, thousandths(*seconds)]),
        },
        Score::Capped { work } => Ok([vec![1], capped(*work, course, kinds)?].concat()),
        Score::RoundsReps { rounds, reps } => Ok(rounds_key(*rounds, *reps, course)),
        Score::Reps { reps } if kinds.rounds && course.round_reps.is_none() => {
            held(&format!("{reps} reps in all, and the others count rounds"))
        }
        Score::Reps { reps } => Ok(vec![-i64::from(*reps)]),
        Score::Load { .. } if scoring.kind == ScoreKind::None => listed("sets as logged; this part has no score"),
        Score::Load { lifts } => load(lifts, scoring.reps, policy),
        Score::Distance { value, unit } => match unit {
            Some(unit) => Ok(vec![-thousandths(value * unit.metres())]),
            None => held("the unit of the distance is open"),
        },
        Score::Calories { calories } => Ok(vec![-thousandths(*calories)]),
        Score::Hold { seconds } => Ok(vec![-thousandths(*seconds)]),
        Score::Done => listed("done; this part has no score"),
        Score::NotDone { started: true } => listed("not finished, and no count to go by"),
        Score::NotDone { started: false } => listed("not started"),
    }
}

fn rounds_key(rounds: u32, reps: u32, course: &Course) -> Vec<i64> {
    match course.round_reps {
        Some(each) => vec![-(i64::from(rounds) * i64::from(each) + i64::from(reps))],
        None => vec![-i64::from(rounds), -i64::from(reps)],
    }
}

/// Reps done before the cap. Reps left become reps done where the total is known.
fn capped(work: Work, course: &Course, kinds: Kinds) -> Result<Vec<i64>, Standing> {
    let done = match (work, course.total_reps) {
        (Work::Unknown, _) => return held("how many reps were done before the cap?"),
        (Work::Left(left), Some(total)) if left > total => return held("more reps left than there are"),
        (Work::Left(left), Some(total)) => total - left,
        (Work::Left(_), None) if kinds.done || kinds.rounds => return held("reps left, and nobody knows of how many"),
        (Work::Left(left), None) => return Ok(vec![i64::from(left)]),
        (Work::Done(done), _) => done,
        (Work::Rounds(rounds, reps), _) => match course.round_reps {
            Some(each) => rounds.saturating_mul(each).saturating_add(reps),
            None if kinds.done => return held("rounds, and nobody knows of how many reps"),
            None => return Ok(rounds_key(rounds, reps, course)),
        },
    };
    match course.total_reps {
        Some(total) if done > total => held("more reps than there are"),
        Some(total) if done == total => held("all reps done: at what time?"),
        _ => Ok(vec![-i64::from(done)]),
    }
}

/// Lifts with fewer reps than asked do not count; nor do misses.
fn counting(lifts: &[Lift], asked: Option<u32>) -> impl Iterator<Item = &Lift> {
    lifts.iter().filter(move |l| l.reps.is_none_or(|r| r >= asked.unwrap_or(1).max(1)))
}

fn load(lifts: &[Lift], asked: Option<u32>, policy: &Policy) -> Result<Vec<i64>, Standing> {
    if lifts.iter().any(|l| l.unit.is_none()) {
        return held("kilograms or pounds?");
    }
    match counting(lifts, asked).filter_map(Lift::kg).reduce(f64::max) {
        Some(kg) => Ok(vec![-steps(kg, policy.load_step_kg)]),
        None => listed("no lift with all its reps"),
    }
}

/// Kilograms in whole steps. A millionth is added so that a conversion from pounds cannot fall just below a half.
#[expect(clippy::cast_possible_truncation, reason = "saturates")]
pub(super) fn steps(kg: f64, step: f64) -> i64 {
    if step > 0.0 { (kg / step + 1e-6).round() as i64 } else { thousandths(kg) }
}

/// Less is better. Whoever has no tie-break stands behind those who have.
fn tie(entry: &Entry, scoring: &Scoring, policy: &Policy) -> i64 {
    let reps_at_best = || {
        let Score::Load { lifts } = &entry.score else { return None };
        let best = counting(lifts, scoring.reps).filter_map(Lift::kg).reduce(f64::max)?;
        let at = |l: &&Lift| l.kg().is_some_and(|kg| steps(kg, policy.load_step_kg) == steps(best, policy.load_step_kg));
        counting(lifts, scoring.reps).filter(at).filter_map(|l| l.reps.or(scoring.reps)).max().map(i64::from)
    };
    let value = match policy.tie_break {
        TieBreak::None => return 0,
        TieBreak::Clock(_) => entry.tie_s.map(thousandths),
        TieBreak::LighterBody => entry.body_kg.map(thousandths),
        TieBreak::HeavierLoad => entry.load_kg.map(|kg| -steps(kg, policy.load_step_kg)),
        TieBreak::FewerReps => reps_at_best(),
        TieBreak::MoreReps => reps_at_best().map(|n| -n),
    };
    value.unwrap_or(i64::MAX)
}
