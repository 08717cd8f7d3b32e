//! The steps of each format.

use super::lines::{both_sides, by_time, climbing, count, in_rounds, line_by_line, rungs, stretch_by_stretch, with_role};
use super::{READY_S, Rungs, Step, Tap};
use crate::training::dose::{Amount, Side};
use crate::training::pace;
use crate::training::session::{Format, Interval, Line, Part, Role, ScoreKind};

/// So many sets are planned where nobody said how many.
const OPEN_SETS: u32 = 20;
/// So many windows where they go on until it can no more be done: nobody climbs longer.
pub(super) const MOST_WINDOWS: u32 = 60;

pub(super) fn steps(part: &Part) -> Vec<Step> {
    match part.format {
        Format::Sets => sets(part),
        Format::Rounds => rounds(part),
        Format::ForTime => for_time(part),
        Format::Amrap => amrap(part),
        Format::Emom => emom(part),
        Format::Intervals => intervals(part),
        Format::Ladder => ladder(part),
        Format::Practice => practice(part),
        Format::MaxEffort => max_effort(part),
    }
}

/// The end of the whole, in seconds: a cap, the minutes of a build-up, a window that begins with lines done once.
pub(super) fn whole(part: &Part) -> Option<f64> {
    let cap = part.cap_scope.is_none().then_some(part.time_cap_s).flatten();
    let windowed = match part.format {
        Format::Sets | Format::MaxEffort => open(part),
        Format::Amrap => begins_once(part),
        _ => false,
    };
    cap.or(part.duration_s.filter(|_| windowed))
}

/// As many sets as it takes.
pub(super) fn open(part: &Part) -> bool {
    match part.format {
        Format::Sets => set_count(part).is_none(),
        Format::MaxEffort => part.score == ScoreKind::Load && count(part.rounds.as_ref()).is_none_or(|n| n == 1),
        Format::Emom => endless(part),
        _ => false,
    }
}

/// Seconds of a rest: the shorter one of a range, so that nobody is kept waiting.
fn rest_s(part: &Part) -> Option<f64> {
    part.rest_s.as_ref().map(Amount::low).filter(|s| *s > 0.0)
}

/// `once(turn)` so many times, with a rest after each where `rest` is given; none of its seconds: a tap ends it.
fn repeat(times: Option<u32>, unit: &'static str, rest: Option<Option<f64>>, once: impl Fn(u32) -> Vec<Step>) -> Vec<Step> {
    let mut steps = Vec::new();
    for round in 1..=times.unwrap_or(1) {
        steps.extend(once(round - 1).into_iter().map(|s| s.at(unit, round, times)));
        steps.extend(rest.map(|seconds| Step::rest(seconds).at(unit, round, times)));
    }
    steps
}

fn set_count(part: &Part) -> Option<u32> {
    let lists = in_rounds(part).into_iter().filter_map(|i| part.lines[i].reps.as_ref()).map(|a| a.values().len());
    let schemed = lists.max().filter(|n| *n > 2).and_then(|n| u32::try_from(n).ok());
    count(part.rounds.as_ref()).or(schemed)
}

fn sets(part: &Part) -> Vec<Step> {
    let lines = in_rounds(part);
    match set_count(part) {
        Some(n) => repeat(Some(n), "set", Some(rest_s(part)), |turn| line_by_line(part, &lines, turn)),
        None => as_many_as_it_takes(part, |turn| line_by_line(part, &lines, turn)),
    }
}

fn as_many_as_it_takes(part: &Part, once: impl Fn(u32) -> Vec<Step>) -> Vec<Step> {
    let all = repeat(Some(OPEN_SETS), "set", Some(rest_s(part)), once);
    all.into_iter().map(|s| Step { rounds: None, ..s }).collect()
}

fn rounds(part: &Part) -> Vec<Step> {
    rounds_with(part, rest_s(part))
}

fn rounds_with(part: &Part, rest: Option<f64>) -> Vec<Step> {
    let lines = in_rounds(part);
    let once = |turn| if lines.is_empty() { vec![Step::work(Vec::new())] } else { stretch_by_stretch(part, &lines, turn) };
    repeat(count(part.rounds.as_ref()), "round", rest.map(Some), once)
}

/// One stretch in which taps count rounds or rungs.
fn counting(part: &Part, seconds: Option<f64>) -> Step {
    let lines = in_rounds(part);
    let first = climbing(part).into_iter().find(|i| lines.contains(i));
    let Rungs { rungs, grows } = first.map(|i| rungs(&part.lines[i])).unwrap_or_default();
    let unit = if rungs.is_empty() { "round" } else { "rung" };
    Step { seconds, tap: Tap::Counts, rungs, grows, ..Step::work(lines) }.at(unit, 1, None)
}

/// Lines of a role, one tap each.
fn once(part: &Part, role: Role) -> Vec<Step> {
    with_role(part, Some(role)).into_iter().map(|i| Step::work(vec![i])).collect()
}

/// Done once through: each line ends with a tap, so that the next one is always marked and a cap knows how far one came.
fn once_through(part: &Part) -> Vec<Step> {
    let roles = [Some(Role::BuyIn), None, Some(Role::CashOut)];
    let lines: Vec<usize> = roles.iter().flat_map(|role| with_role(part, *role)).collect();
    let all = u32::try_from(lines.len()).ok();
    lines.into_iter().zip(1..).map(|(i, n)| Step { turn: 0, ..Step::work(vec![i]).at("line", n, all) }).collect()
}

fn for_time(part: &Part) -> Vec<Step> {
    let rounds = count(part.rounds.as_ref());
    let single = rounds.is_none_or(|n| n == 1);
    if single && climbing(part).is_empty() && part.lines.len() > 1 && part.cap_scope.is_none() {
        return once_through(part);
    }
    let mut steps = once(part, Role::BuyIn);
    let round_cap = part.time_cap_s.filter(|_| part.cap_scope.is_some());
    let step = counting(part, None);
    let rungs = u32::try_from(step.rungs.len()).ok().filter(|n| *n > 0);
    let times = rounds.or(rungs);
    if rest_s(part).is_some() || round_cap.is_some() {
        let step = Step { seconds: round_cap, tap: Tap::Ends, ..Step::work(in_rounds(part)) };
        steps.extend(repeat(times, "round", rest_s(part).map(Some), |_| vec![step.clone()]));
    } else if !step.lines.is_empty() || part.lines.is_empty() && (times.is_some() || part.time_cap_s.is_some()) {
        let to = times.unwrap_or(1);
        let unit = step.unit;
        steps.push(Step { count_to: Some(to), ..step }.at(unit, 1, Some(to)));
    }
    steps.extend(once(part, Role::CashOut));
    steps
}

/// One window that begins with lines done once: they are part of it.
fn begins_once(part: &Part) -> bool {
    count(part.rounds.as_ref()).is_none_or(|n| n == 1) && !with_role(part, Some(Role::BuyIn)).is_empty()
}

fn amrap(part: &Part) -> Vec<Step> {
    if begins_once(part) {
        let mut steps = once(part, Role::BuyIn);
        steps.push(counting(part, None));
        return steps;
    }
    let windows = count(part.rounds.as_ref()).filter(|n| *n > 1);
    let step = counting(part, part.duration_s.or(part.time_cap_s));
    let unit = step.unit;
    repeat(windows, unit, rest_s(part).map(Some), |_| vec![step.clone()]).into_iter().map(|s| Step { turn: 0, ..s }).collect()
}

/// `1 burpee in the first minute, 2 in the second ...`: windows until it can no more be done in one.
pub(super) fn endless(part: &Part) -> bool {
    part.duration_s.is_none() && part.rounds.is_none() && part.lines.iter().any(|l| l.open)
}

fn emom(part: &Part) -> Vec<Step> {
    let every = part.interval.and_then(|i| i.every_s).filter(|s| *s > 0.0).unwrap_or(60.0);
    let lines = in_rounds(part);
    let listed = lines.iter().filter_map(|&i| part.lines[i].minute).max().unwrap_or(1);
    let rounds = count(part.rounds.as_ref());
    let by_length = part.duration_s.and_then(|d| count(Some(&Amount::One((d / every).floor()))));
    // `min 3: rest` has no line: the length tells that a third station is there
    let stations = match (by_length, rounds) {
        (Some(windows), Some(rounds)) if rounds > 0 && windows % rounds == 0 => (windows / rounds).max(listed),
        _ => listed,
    };
    let end = rounds.map(|r| r.saturating_mul(stations)).or(by_length);
    let Some(windows) = end.or_else(|| endless(part).then_some(MOST_WINDOWS)) else { return Vec::new() };
    let minutes = (every - 60.0).abs() < 0.5;
    // lines that take turns have no numbers of their own
    let in_turn = pace::in_turn(part);
    let window = |n: u32| {
        let (station, turn) = (n % stations + 1, n / stations);
        let here = |at: usize, i: usize| match part.lines[i].minute {
            None if in_turn => u32::try_from(at + 1) == Ok(station),
            minute => minute.is_none_or(|m| m == station),
        };
        let on: Vec<usize> = lines.iter().copied().enumerate().filter(|&(at, i)| here(at, i)).map(|(_, i)| i).collect();
        let steps =
            if on.is_empty() && !lines.is_empty() { vec![Step::rest(Some(every))] } else { in_window(part, on, turn, every) };
        steps.into_iter().map(move |s| {
            let s = match (minutes, stations) {
                (true, _) => s.at("minute", n + 1, end),
                (false, 1) => s.at("set", n + 1, end),
                (false, _) => {
                    Step { station: Some([station, stations]), ..s.at("round", turn + 1, end.map(|n| n.div_ceil(stations))) }
                }
            };
            Step { turn, ..s }
        })
    };
    (0..windows.min(1000)).flat_map(window).collect()
}

/// What is done in one window. A hold that leaves room in it is counted down by itself, and what is left is rest.
fn in_window(part: &Part, on: Vec<usize>, turn: u32, every: f64) -> Vec<Step> {
    let held = if let [i] = on[..] { by_time(part, i, turn) } else { None };
    let Some(mut held) = held else { return vec![Step::timed(on, every)] };
    if let [first, second] = &held[..] {
        held = vec![first.clone(), Step::ready(second), second.clone()];
    }
    let left = every - held.iter().filter_map(|s| s.seconds).sum::<f64>();
    if left < READY_S {
        return vec![Step::timed(on, every)];
    }
    held.push(Step::rest(Some(left)));
    held
}

/// One stretch of work; where a line is done for each side, the sides change at half of it.
fn station(part: &Part, on: &[usize], work: f64) -> Vec<Step> {
    match on {
        [i] if part.lines[*i].side == Some(Side::PerSide) => both_sides(*i, work / 2.0),
        on => vec![Step::timed(on.to_vec(), work)],
    }
}

/// A count, then as many as one can of something else: both belong in one stretch of work, as `12 cal, then max burpees` do.
/// A time that leaves some of the stretch is such a count too: who has nowhere to run 400 m has two minutes of something.
#[must_use]
pub fn together(part: &Part) -> bool {
    let [before @ .., last] = &part.lines[..] else { return false };
    let counted = |l: &Line| !l.max && (l.reps.is_some() || l.metres.is_some() || l.calories.is_some() || l.seconds.is_some());
    let timed: f64 = before.iter().filter_map(|l| l.seconds.as_ref()).map(Amount::high).sum();
    let work = part.interval.and_then(|i| i.work_s.or(i.every_s));
    last.max && !before.is_empty() && before.iter().all(counted) && (timed == 0.0 || work.is_some_and(|w| timed < w))
}

fn intervals(part: &Part) -> Vec<Step> {
    let Interval { work_s, rest_s: pause, every_s } = part.interval.unwrap_or_default();
    let pause = pause.filter(|s| *s > 0.0);
    let Some(work) = work_s.or(every_s).filter(|s| *s > 0.0) else { return rounds_with(part, pause.or(rest_s(part))) };
    let times = count(part.rounds.as_ref());
    let lines = in_rounds(part);
    let stations: Vec<Vec<usize>> =
        if lines.is_empty() || together(part) { vec![lines] } else { lines.into_iter().map(|i| vec![i]).collect() };
    let all = u32::try_from(stations.len()).ok().filter(|n| *n > 1);
    let mut steps = Vec::new();
    for round in 1..=times.unwrap_or(1) {
        for (on, number) in stations.iter().zip(1..) {
            let here = all.map(|n| [number, n]);
            let at = |s: Step| Step { station: here, ..s.at("round", round, times) };
            steps.extend(station(part, on, work).into_iter().map(at));
            steps.extend(pause.map(|s| at(Step::rest(Some(s)))));
        }
        if let (Some(between), Some(last)) = (rest_s(part), steps.last_mut()) {
            // the rest between rounds takes the place of the last short one
            if last.kind == super::Kind::Rest {
                steps.pop();
            }
            steps.push(Step::rest(Some(between)).at("round", round, times));
        }
    }
    steps
}

fn ladder(part: &Part) -> Vec<Step> {
    let step = counting(part, part.duration_s);
    let fixed = step.grows.is_none() && part.duration_s.is_none();
    let rungs = u32::try_from(step.rungs.len()).ok().filter(|n| *n > 0 && fixed);
    vec![Step { count_to: rungs, ..step }.at("rung", 1, rungs)]
}

fn practice(part: &Part) -> Vec<Step> {
    let lines = in_rounds(part);
    let times = count(part.rounds.as_ref());
    match part.duration_s {
        // what is held in it is begun by hand, as often as one likes
        Some(seconds) => vec![Step { by_hand: true, ..Step::timed(lines, seconds) }.at("round", 1, times)],
        None => repeat(times, "round", None, |turn| line_by_line(part, &lines, turn)),
    }
}

fn max_effort(part: &Part) -> Vec<Step> {
    let lines = in_rounds(part);
    let once = |_| goes(part, &lines, Step::work);
    if open(part) {
        return as_many_as_it_takes(part, once);
    }
    let times = count(part.rounds.as_ref());
    let rest = times.is_some_and(|n| n > 1).then(|| rest_s(part));
    let Some(window) = part.duration_s.filter(|_| part.score != ScoreKind::Load) else { return repeat(times, "set", rest, once) };
    // a test by the clock is not ended by a slip of the hand; a hold is
    let tap = if part.score == ScoreKind::HoldTime { Tap::Ends } else { Tap::Nothing };
    repeat(times, "set", rest, |_| goes(part, &lines, |on| Step { tap, ..Step::timed(on, window) }))
}

/// One go of a test. What is done as much as one can on each side is a go for each, and in between one turns over.
fn goes(part: &Part, lines: &[usize], go: impl Fn(Vec<usize>) -> Step) -> Vec<Step> {
    let sided = |i: &usize| part.lines[*i].max && part.lines[*i].side == Some(Side::PerSide);
    if !lines.iter().any(sided) {
        return vec![go(lines.to_vec())];
    }
    let each = |i: &usize| {
        let [first, second] = [1, 2].map(|n| Step { side: Some(n), ..go(vec![*i]) });
        if sided(i) { vec![first, Step::ready(&second), second] } else { vec![go(vec![*i])] }
    };
    lines.iter().flat_map(each).collect()
}
