//! Less of the same: a short day, a tired one, a first week. The feel stays, the count gets smaller.
//!
//! *Common practice*: rounds go first, because a round keeps its shape; a single long count goes to about 60 %; the warm-up stays.

use super::convert::Dose;
use super::give::once;
use super::note::Reading;
use super::{Action, TailoredLine};
use crate::training::dose::{Amount, Side};
use crate::training::load::tidy;
use crate::training::member::Level;
use crate::training::movement::Library;
use crate::training::pace;
use crate::training::session::{Intent, Line, Part, Session};

/// How much less, and in whose words.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Less {
    /// of rounds or of a long count
    share: f64,
    why: &'static str,
    minutes: Option<f64>,
}

/// Seconds of work in one line that are much for someone new (*common practice*).
const MUCH_FOR_A_BEGINNER_S: f64 = 200.0;
/// A count that is worth cutting when less is asked.
const LONG: f64 = 40.0;
/// Minutes of warm-up that stay in a short day.
const WARM_UP_S: f64 = 300.0;

/// Reads whether this member does less today.
pub(crate) fn less(session: &Session, reading: &Reading, library: &Library) -> Option<Less> {
    if let Some(minutes) = reading.minutes {
        let share = minutes * 60.0 / (pace::session(session, library).typical_s + WARM_UP_S);
        return (share < 0.95).then_some(Less {
            share: share.max(0.4),
            why: "You are short of time today",
            minutes: Some(minutes),
        });
    }
    let share = if reading.half { 0.5 } else { 0.6 };
    reading.less.then_some(Less { share, why: "You asked for less today", minutes: None })
}

/// Rounds for this member, where they change.
pub(crate) fn rounds(part: &Part, less: Option<&Less>) -> Option<Amount> {
    let less = less.filter(|_| cut_here(part))?;
    let Some(Amount::One(n)) = part.rounds else { return None };
    (n >= 2.0).then(|| Amount::One((n * less.share).round().max(1.0))).filter(|a| *a != Amount::One(n))
}

/// Warm-up and mobility are never what is cut.
fn cut_here(part: &Part) -> bool {
    matches!(part.intent, Intent::Strength | Intent::Conditioning)
}

/// Cuts a tailored line of `part`, or says how many rounds of it to do.
pub(crate) fn cut(out: &mut TailoredLine, part: &Part, less: Option<&Less>, level: Level, library: &Library) {
    // a ladder that goes on has no count that could be cut
    if out.given.is_empty() || !cut_here(part) || out.written.open {
        return;
    }
    let work = |l: &Line| {
        let a_rep = library.find(&l.movement).and_then(|m| m.seconds_per_rep).unwrap_or(2.0);
        l.reps.as_ref().map_or(0.0, |r| sum(r) * a_rep)
    };
    let much = out.given.iter().any(|l| work(l) >= MUCH_FOR_A_BEGINNER_S);
    let beginner = Less { share: 0.6, why: "This is a big count for a start", minutes: None };
    let less = match less {
        Some(less) => less,
        None if much && level == Level::Beginner => &beginner,
        None => return,
    };
    let shorter =
        part.options.iter().find_map(|o| o.reps.clone().filter(|r| part.lines.len() == 1 && r.high() < part_reps(part)));
    let mut words = None;
    if let (Some(n), Some(written)) = (rounds(part, Some(less)), &part.rounds) {
        let time = less.minutes.map(|m| format!(" in your {m} minutes, after a warm-up")).unwrap_or_default();
        words = Some(format!("{}: do {n} of the {written} rounds{time}, and keep the rests", less.why));
    } else if out.given.iter().filter_map(|l| l.reps.as_ref()).any(|r| sum(r) >= LONG) {
        for line in &mut out.given {
            if let Some(reps) = line.reps.as_mut() {
                let even = if line.side == Some(Side::Alternating) { 2.0 } else { 1.0 };
                *reps = shorter.clone().unwrap_or_else(|| once(reps.map(|n| countable(n * less.share / even) * even)));
            }
        }
        let now = out.given.first().and_then(|l| l.reps.as_ref()).map(ToString::to_string).unwrap_or_default();
        // what was said of count and time before is said of the whole
        let of_that = if out.why.is_empty() { "" } else { " of that" };
        words = Some(format!("{}: {now}{of_that} keeps the feel of it", less.why));
    }
    let Some(words) = words else { return };
    out.why = if out.why.is_empty() { format!("{words}.") } else { format!("{} {words}.", out.why) };
    if out.action == Action::Keep {
        out.action = Action::KeepWithNote;
    }
}

/// Someone new does no more of a long stand-in than was written, though it takes no longer; false where it is no more.
pub(crate) fn no_more_than_written(dose: &mut Dose, written: &Line, part: &Part) -> bool {
    let Some((of, given)) = written.reps.as_ref().zip(dose.reps.as_ref()) else { return false };
    let more = cut_here(part) && dose.side == written.side && sum(given) >= LONG && sum(given) > sum(of);
    if more {
        dose.reps = Some(of.clone());
    }
    more
}

/// How much is given where it is no more than was written.
pub(crate) const FOR_A_START: &str = "no more of it than is written, for a start";

/// A line of the part is long enough that its count may be cut for someone new.
pub(crate) fn may_be_much(part: &Part) -> bool {
    part.lines.iter().any(|l| l.reps.as_ref().is_some_and(|r| sum(r) >= LONG / 2.0))
}

fn part_reps(part: &Part) -> f64 {
    part.lines.iter().filter_map(|l| l.reps.as_ref()).map(sum).sum()
}

fn sum(reps: &Amount) -> f64 {
    match reps {
        Amount::Scheme(list) => list.iter().sum(),
        other => other.high(),
    }
}

/// A number that is easy to count to.
fn countable(n: f64) -> f64 {
    let step = if n >= 50.0 {
        10.0
    } else if n >= 20.0 {
        5.0
    } else {
        1.0
    };
    tidy((n / step).round() * step).max(1.0)
}
