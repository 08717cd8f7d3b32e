//! The least that anybody could need: for caps that nobody can make and results that nobody could have.
//!
//! # Design
//! It errs on the fast side everywhere, because a false alarm costs a coach's trust and a missed one costs a question.
//! Tempo and load are ignored, ranges count at their low end, an unknown movement takes no time.

use super::line::{positive, sides};
use super::part::rounds_of;
use super::table::{Per, find, running_s};
use crate::training::dose::Amount;
use crate::training::movement::{Library, Pattern};
use crate::training::session::{Format, Line, Part, Role};
use std::collections::BTreeMap;

/// Of the typical pace, where no ceiling is on file: no movement on file has a lower one.
const UNKNOWN_CEILING: f64 = 0.25;
/// A short burst is this much of the sustained pace; it fades over [`BURST_S`] seconds of one movement.
const BURST: f64 = 0.7;
const BURST_S: f64 = 120.0;
/// Ceilings are for one movement, fresh. Past [`MIXED_S`] seconds of several, nobody holds each of them.
const MIXED: f64 = 1.1;
const MIXED_S: f64 = 240.0;
/// Between other work nobody runs faster than the record over this many metres: the shorter ones are of somebody who only runs.
const MIXED_RUN_M: f64 = 10_000.0;
/// A rowing or ski machine: over [`SPRINT_M`] metres each doubling of the way costs this much of the pace. Rowers reckon with
/// 5 s on each 500 m, which is 7 % of a pace of 70 s (common practice); a record holder loses about as much.
const EACH_DOUBLING: f64 = 0.07;
const SPRINT_M: f64 = 500.0;
/// From one movement to the next, seconds.
const CHANGE_S: f64 = 1.0;

/// Least seconds for the part's written work, from the first rep to the last, written rest included.
///
/// For a part that the clock ends (AMRAP, an open ladder) it is the least time of one round; for EMOM and intervals that
/// of one time through. Zero where nothing can be said.
#[must_use]
pub fn fastest(part: &Part, library: &Library) -> f64 {
    let clock = matches!(part.format, Format::Amrap | Format::Emom | Format::Intervals);
    let open = part.format == Format::Ladder && part.lines.iter().any(|l| l.open);
    if clock || open {
        return fastest_round(part, library);
    }
    let rounds = part.rounds.as_ref().map_or_else(|| rounds_of(part), |r| positive(r.low()));
    let rest = part.rest_s.as_ref().map_or(0.0, |r| positive(r.low()));
    work(part, rounds, rest > 0.0, library) + rest * (rounds - 1.0).max(0.0)
}

/// Least seconds for one round, one rung or one time through all stations; lines done once are left out.
#[must_use]
pub fn fastest_round(part: &Part, library: &Library) -> f64 {
    let each: Vec<Line> = part.lines.iter().filter(|l| l.role.is_none()).cloned().collect();
    work(&Part { lines: each, ..part.clone() }, 1.0, false, library)
}

/// Least seconds for one performance of the line.
#[must_use]
pub fn fastest_line(line: &Line, library: &Library) -> f64 {
    dose(line).map_or(0.0, |(per, n)| burst(&line.movement, per, n, library))
}

/// With rest between the rounds each round is fresh; without, the same movement adds up.
fn work(part: &Part, rounds: f64, fresh: bool, library: &Library) -> f64 {
    let mut held = 0.0;
    let mut sums: BTreeMap<(&str, &str), (Per, f64)> = BTreeMap::new();
    for l in &part.lines {
        let times = match l.role {
            Some(Role::BuyIn | Role::CashOut) => 1.0,
            None => rounds,
        };
        if let Some(s) = &l.seconds {
            held += least(s) * sides(l) * times;
        } else if let Some((per, n)) = dose(l) {
            let key = match per {
                Per::Rep => "rep",
                Per::Metre => "metre",
                Per::Calorie => "calorie",
            };
            sums.entry((&l.movement, key)).or_insert((per, 0.0)).1 += n * times;
        }
    }
    let one = |movement: &str, per: Per, n: f64| {
        if fresh && rounds > 1.0 { burst(movement, per, n / rounds, library) * rounds } else { burst(movement, per, n, library) }
    };
    let sum = |each: &dyn Fn(&str, Per, f64) -> f64| -> f64 { sums.iter().map(|((m, _), (per, n))| each(m, *per, *n)).sum() };
    let moved = sum(&one);
    #[expect(clippy::cast_precision_loss, reason = "a part has a few lines")]
    let changes = part.lines.len().saturating_sub(1) as f64;
    // nothing is a burst in the middle of a long mixed piece
    let moved = if sums.len() > 1 && moved > MIXED_S && !fresh {
        sum(&|m, per, n| between_others(m, per, n, library)) * MIXED
    } else {
        moved
    };
    moved + held + changes * CHANGE_S
}

/// What is counted and how many, at the low end; a hold has no pace.
fn dose(line: &Line) -> Option<(Per, f64)> {
    let (per, amount) = match (&line.metres, &line.calories, &line.reps) {
        (Some(m), _, _) => (Per::Metre, m),
        (None, Some(c), _) => (Per::Calorie, c),
        (None, None, Some(r)) => (Per::Rep, r),
        (None, None, None) => return None,
    };
    // A complex is at least one rep of its quickest piece; that is not worth a guess.
    line.complex.is_empty().then(|| (per, least(amount) * sides(line)))
}

fn least(amount: &Amount) -> f64 {
    match amount {
        #[expect(clippy::cast_precision_loss, reason = "a scheme has a few rungs")]
        Amount::Scheme(list) => list.iter().copied().map(positive).sum::<f64>() / list.len() as f64,
        other => positive(other.low()),
    }
}

/// Least seconds for `n` of one movement in one go.
fn burst(movement: &str, per: Per, n: f64, library: &Library) -> f64 {
    let held = sustained(movement, per, n, library);
    let runs = per == Per::Metre && find(movement, per).fastest_s.is_none();
    // the running records are of that very distance
    if runs { held } else { held * (BURST + (1.0 - BURST) * (held / BURST_S).min(1.0)) }
}

/// The same in the middle of other movements.
fn between_others(movement: &str, per: Per, n: f64, library: &Library) -> f64 {
    let on_foot = per == Per::Metre && find(movement, per).fastest_s.is_none();
    let held = sustained(movement, per, n, library);
    if on_foot && held > 0.0 { held.max(n * running_s(MIXED_RUN_M) / MIXED_RUN_M) } else { held }
}

/// The same at a pace that lasts.
fn sustained(movement: &str, per: Per, n: f64, library: &Library) -> f64 {
    let known = library.find(movement);
    let ceiling = find(known.map_or(movement, |m| &m.name), per).fastest_s;
    match (per, ceiling) {
        (Per::Metre, Some(s)) if matches!(movement, "row machine" | "ski machine") => {
            n * s * (1.0 + EACH_DOUBLING * (n / SPRINT_M).log2().max(0.0))
        }
        (_, Some(s)) => n * s,
        (Per::Metre, None) if known.is_some_and(|m| m.pattern == Pattern::Cyclical) => running_s(n),
        (Per::Rep, None) => n * known.and_then(|m| m.seconds_per_rep).unwrap_or(0.0) * UNKNOWN_CEILING,
        (Per::Metre | Per::Calorie, None) => 0.0,
    }
}
