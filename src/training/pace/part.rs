//! A part and a session: lines, rounds, rest and the clock.

use super::Estimate;
use super::line::{line, mean, positive};
use crate::training::clock;
use crate::training::dose::Amount;
use crate::training::movement::Library;
use crate::training::session::{Format, Intent, Line, Part, Role, ScoreKind, Session};
use std::collections::BTreeSet;

/// What an estimate assumes where the coach wrote nothing. All figures are common practice, in seconds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pacing {
    /// from one movement to the next
    pub changeover_s: f64,
    /// between sets that are for strength
    pub strength_rest_s: f64,
    /// between other sets
    pub other_rest_s: f64,
    /// between two parts: reading on, fetching kit
    pub between_parts_s: f64,
}

impl Default for Pacing {
    fn default() -> Self {
        Self { changeover_s: 5.0, strength_rest_s: 120.0, other_rest_s: 60.0, between_parts_s: 90.0 }
    }
}

impl Pacing {
    /// Nothing assumed: only what is written.
    pub const BARE: Self = Self { changeover_s: 0.0, strength_rest_s: 0.0, other_rest_s: 0.0, between_parts_s: 0.0 };
}

/// Sets of a build-up to a heavy lift, and of a part whose number of rounds is not written.
const BUILD_UP_SETS: f64 = 7.0;

/// Seconds for the whole part, rest included, under the usual assumptions.
#[must_use]
pub fn part(part: &Part, library: &Library) -> Estimate {
    part_with(part, library, &Pacing::default())
}

/// Seconds that the part's work would take if no cap ended it: to hold beside a cap that is too short.
#[must_use]
pub fn without_cap(part: &Part, library: &Library) -> Estimate {
    self::part(&Part { time_cap_s: None, ..part.clone() }, library)
}

/// Seconds for the whole part, rest included.
#[must_use]
pub fn part_with(part: &Part, library: &Library, pacing: &Pacing) -> Estimate {
    match part.format {
        Format::Amrap => windows(part).unwrap_or_else(|| worked(part, library, pacing)),
        Format::Emom | Format::Intervals => clocked(part, library).unwrap_or_else(|| worked(part, library, pacing)),
        Format::MaxEffort => match part.duration_s.or(part.time_cap_s) {
            Some(s) => Estimate::fixed(positive(s)),
            None => most(part, library, pacing),
        },
        Format::Sets | Format::Rounds | Format::ForTime | Format::Practice | Format::Ladder => match part.duration_s {
            Some(s) => Estimate::fixed(positive(s)),
            None => under_cap(part, worked(part, library, pacing)),
        },
    }
}

/// Seconds for the session: its parts and the minutes between them.
#[must_use]
pub fn session(session: &Session, library: &Library) -> Estimate {
    let pacing = Pacing::default();
    let parts: Estimate = session.parts.iter().map(|p| part_with(p, library, &pacing)).sum();
    let gap = pacing.between_parts_s;
    #[expect(clippy::cast_precision_loss, reason = "a session has a few parts")]
    let gaps = session.parts.len().saturating_sub(1) as f64;
    parts + Estimate { low_s: gap / 3.0, typical_s: gap, high_s: gap * 2.0 } * gaps
}

/// How many rounds, sets or rungs: written, or as many as the longest scheme has, or 1.
#[must_use]
pub fn rounds_of(part: &Part) -> f64 {
    rounds(part).map_or(1.0, |r| mean(&r))
}

fn rounds(part: &Part) -> Option<Amount> {
    let rungs = |line: &Line| match [&line.reps, &line.seconds, &line.metres, &line.calories].into_iter().flatten().next()? {
        Amount::Scheme(list) => Some(list.len()),
        _ => None,
    };
    #[expect(clippy::cast_precision_loss, reason = "a scheme has a few rungs")]
    let longest = || part.lines.iter().filter_map(rungs).max().map(|n| Amount::One(n as f64));
    part.rounds.clone().or_else(longest)
}

/// How many stations a clocked part has: numbered minutes, else each line of work-and-rest, else one.
#[must_use]
pub fn stations_of(part: &Part) -> f64 {
    let minutes: BTreeSet<u32> = part.lines.iter().filter_map(|l| l.minute).collect();
    let alone = part.format == Format::Intervals && part.interval.is_some_and(|i| i.work_s.is_some()) && !clock::together(part);
    #[expect(clippy::cast_precision_loss, reason = "a part has a few stations")]
    let count = |n: usize| n.max(1) as f64;
    match (minutes.is_empty(), alone) {
        (false, _) => count(minutes.len()),
        (true, true) => count(part.lines.len()),
        (true, false) => 1.0,
    }
}

/// AMRAP: its window, as often as it comes, with the rest between.
fn windows(part: &Part) -> Option<Estimate> {
    let window = positive(part.duration_s.or(part.time_cap_s)?);
    let times = part.rounds.as_ref().map_or(1.0, mean).max(1.0);
    Some(Estimate::fixed(window * times) + rest(part, 0.0) * (times - 1.0))
}

/// EMOM and intervals: the clock decides; the last rest belongs to the part.
fn clocked(part: &Part, library: &Library) -> Option<Estimate> {
    if let Some(s) = part.duration_s {
        return Some(Estimate::fixed(positive(s)));
    }
    let interval = part.interval?;
    let through = rounds_of(part);
    let between = rest(part, 0.0) * (through - 1.0).max(0.0);
    if let Some(every) = interval.every_s {
        return Some(Estimate::fixed(positive(every) * through * stations_of(part)) + between);
    }
    let off = positive(interval.rest_s.unwrap_or(0.0));
    if let Some(on) = interval.work_s {
        return Some(Estimate::fixed((positive(on) + off) * through * stations_of(part)) + between);
    }
    // Work by distance or reps, rest by the clock.
    let work: Estimate = part.lines.iter().map(|l| line(l, library)).sum();
    Some((work + Estimate::fixed(off)) * through + between)
}

/// Rounds of lines with rest between, done at one's own pace; lines done once stand outside the rounds.
fn worked(part: &Part, library: &Library, pacing: &Pacing) -> Estimate {
    let (once, each): (Vec<&Line>, Vec<&Line>) = part.lines.iter().partition(|l| is_once(l));
    let time = |lines: &[&Line]| -> Estimate {
        #[expect(clippy::cast_precision_loss, reason = "a part has a few lines")]
        let changes = lines.len() as f64;
        lines.iter().map(|l| line(l, library)).sum::<Estimate>() + changeover(pacing) * changes
    };
    let written = rounds(part).unwrap_or(Amount::One(1.0));
    let (low, high) = match written {
        Amount::Range(a, b) => (positive(a.min(b)), positive(a.max(b))),
        ref other => (mean(other), mean(other)),
    };
    let pause = rest(part, assumed_rest(part, pacing));
    let whole = |n: f64| time(&each) * n + pause * (n - 1.0).max(0.0);
    let last_change = changeover(pacing) * if part.lines.is_empty() { 0.0 } else { 1.0 };
    let least = less(whole(low), last_change);
    let most = less(whole(high), last_change);
    let rounds = Estimate { low_s: least.low_s, typical_s: f64::midpoint(least.typical_s, most.typical_s), high_s: most.high_s };
    rounds + time(&once)
}

/// Nothing has to be changed over after the last line.
fn less(a: Estimate, b: Estimate) -> Estimate {
    let minus = |x: f64, y: f64| (x - y).max(0.0);
    Estimate { low_s: minus(a.low_s, b.low_s), typical_s: minus(a.typical_s, b.typical_s), high_s: minus(a.high_s, b.high_s) }
}

fn is_once(line: &Line) -> bool {
    matches!(line.role, Some(Role::BuyIn | Role::CashOut))
}

fn changeover(pacing: &Pacing) -> Estimate {
    let s = pacing.changeover_s;
    Estimate { low_s: s * 0.4, typical_s: s, high_s: s * 2.0 }
}

/// Written rest, or the assumed one.
fn rest(part: &Part, assumed: f64) -> Estimate {
    match &part.rest_s {
        Some(r) => Estimate { low_s: positive(r.low()), typical_s: mean(r), high_s: positive(r.high()) },
        None => Estimate { low_s: assumed * 0.75, typical_s: assumed, high_s: assumed * 1.5 },
    }
}

fn assumed_rest(part: &Part, pacing: &Pacing) -> f64 {
    match part.format {
        Format::Sets | Format::MaxEffort if part.intent == Intent::Strength => pacing.strength_rest_s,
        Format::Sets | Format::MaxEffort => pacing.other_rest_s,
        _ => 0.0,
    }
}

/// One try at a most: a lift is built up to, a hold or a rep count is one set (or the written number of tries).
fn most(part: &Part, library: &Library, pacing: &Pacing) -> Estimate {
    if part.score == ScoreKind::Load && part.rounds.is_none() {
        let mut build_up = part.clone();
        build_up.rounds = Some(Amount::One(BUILD_UP_SETS));
        build_up.intent = Intent::Strength;
        return worked(&build_up, library, pacing);
    }
    worked(part, library, pacing)
}

/// A cap ends the part, or each of its rounds.
fn under_cap(part: &Part, time: Estimate) -> Estimate {
    let Some(cap) = part.time_cap_s.map(positive).filter(|s| *s > 0.0) else { return time };
    if part.cap_scope.as_deref() == Some("round") {
        let n = rounds_of(part);
        let between = rest(part, 0.0) * (n - 1.0).max(0.0);
        return time.capped(cap * n + between.high_s);
    }
    time.capped(cap)
}
