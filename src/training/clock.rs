//! The clock of a part: which stretches of time follow each other, what ends each, and what a tap means.
//!
//! A [`Plan`] is made from a part as it was read (or tailored) and runs on the device: its truth is the instant it was
//! started and the list of taps, so a lock, a call or a reload loses nothing.
//!
//! # Design
//! One list of steps serves all nine formats. A step ends by time, by a tap, by a number of taps, or when the cap of the
//! whole comes; nothing else is needed, so the device has one small engine and no format of its own.

use super::dose::{Amount, Side};
use super::session::{Format, Interval, Line, Part, Role, ScoreKind};
use serde::Serialize;

/// Seconds counted down before the first step, and called before each timed start.
pub const COUNT_IN_S: f64 = 3.0;
/// Seconds to get into place for a timed stretch that follows a tap or another timed stretch (*common practice*): to turn
/// to the other side, to let go of the phone.
pub const READY_S: f64 = 5.0;
/// More steps than this are not planned; no session is longer.
const MOST_STEPS: usize = 600;

/// The clock of one part.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Plan {
    /// seconds counted down before the first step
    pub count_in_s: f64,
    /// in order
    pub steps: Vec<Step>,
    /// the whole ends here, in seconds from the first step's start
    pub cap_s: Option<f64>,
    /// what is logged at the end
    pub score: ScoreKind,
    /// reps of one full round, where every line is counted in reps
    pub round_reps: Option<u32>,
    /// of each line: reps of one round, both sides together; none where it is not counted in reps or climbs with the rungs
    pub line_reps: Vec<Option<u32>>,
    /// lines whose reps are those of the rung
    pub climbs: Vec<usize>,
}

/// What a step is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Kind {
    /// something is done
    Work,
    /// nothing is done
    Rest,
    /// getting into place for the next stretch
    Ready,
}

/// What a tap does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Tap {
    /// nothing: time alone ends the step
    Nothing,
    /// ends the step
    Ends,
    /// counts a round or a rung; the step ends at `count_to`, where there is one
    Counts,
}

/// One stretch of the clock.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Step {
    /// work or rest
    pub kind: Kind,
    /// it ends after so many seconds; none: a tap ends it
    pub seconds: Option<f64>,
    /// what a tap does
    pub tap: Tap,
    /// so many counting taps end it
    pub count_to: Option<u32>,
    /// what is counted: `round`, `rung`, `set`, `minute`, `station`; `line` where the part is done once through, line by line
    pub unit: &'static str,
    /// from 1
    pub round: u32,
    /// of how many
    pub rounds: Option<u32>,
    /// lines of the part that are on now, from 0
    pub lines: Vec<usize>,
    /// first or second side, where a line is done one side after the other
    pub side: Option<u8>,
    /// reps of each rung, where lines climb together
    pub rungs: Vec<f64>,
    /// by how much a rung grows after the last one written
    pub grows: Option<f64>,
}

impl Step {
    fn work(lines: Vec<usize>) -> Self {
        Self {
            kind: Kind::Work,
            seconds: None,
            tap: Tap::Ends,
            count_to: None,
            unit: "round",
            round: 1,
            rounds: None,
            lines,
            side: None,
            rungs: Vec::new(),
            grows: None,
        }
    }

    fn timed(lines: Vec<usize>, seconds: f64) -> Self {
        Self { seconds: Some(seconds), tap: Tap::Nothing, ..Self::work(lines) }
    }

    fn ready(next: &Self) -> Self {
        let seconds = Some(READY_S);
        Self { kind: Kind::Ready, seconds, tap: Tap::Nothing, count_to: None, rungs: Vec::new(), grows: None, ..next.clone() }
    }

    fn rest(seconds: Option<f64>) -> Self {
        let tap = if seconds.is_some() { Tap::Nothing } else { Tap::Ends };
        Self { kind: Kind::Rest, seconds, tap, ..Self::work(Vec::new()) }
    }

    fn at(mut self, unit: &'static str, round: u32, rounds: Option<u32>) -> Self {
        (self.unit, self.round, self.rounds) = (unit, round, rounds);
        self
    }
}

/// The clock of a part; none where there is nothing to time or count.
#[must_use]
pub fn plan(part: &Part) -> Option<Plan> {
    let mut steps = match part.format {
        Format::Sets => sets(part),
        Format::Rounds => rounds(part),
        Format::ForTime => for_time(part),
        Format::Amrap => vec![counting(part, part.duration_s)],
        Format::Emom => emom(part),
        Format::Intervals => intervals(part),
        Format::Ladder => ladder(part),
        Format::Practice => practice(part),
        Format::MaxEffort => max_effort(part),
    };
    if matches!(part.format, Format::Sets | Format::Rounds | Format::Practice) {
        steps = with_ready(steps);
    }
    steps.truncate(MOST_STEPS);
    while steps.last().is_some_and(|s| s.kind == Kind::Rest) {
        steps.pop();
    }
    let whole_cap = part.cap_scope.is_none().then_some(part.time_cap_s).flatten();
    let plan = Plan {
        count_in_s: COUNT_IN_S,
        steps,
        cap_s: whole_cap,
        score: part.score,
        round_reps: round_reps(part),
        line_reps: part.lines.iter().map(line_reps).collect(),
        climbs: (0..part.lines.len()).filter(|&i| matches!(part.lines[i].reps, Some(Amount::Scheme(_)))).collect(),
    };
    (!plan.steps.is_empty()).then_some(plan)
}

fn count(amount: Option<&Amount>) -> Option<u32> {
    let n = amount?.high();
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "checked to be a small positive number")]
    (1.0..=1000.0).contains(&n).then_some(n as u32)
}

/// Seconds of a rest: the shorter one of a range, so that nobody is kept waiting.
fn rest_s(part: &Part) -> Option<f64> {
    part.rest_s.as_ref().map(Amount::low).filter(|s| *s > 0.0)
}

fn in_rounds(part: &Part) -> Vec<usize> {
    (0..part.lines.len()).filter(|&i| part.lines[i].role.is_none()).collect()
}

fn with_role(part: &Part, role: Role) -> Vec<usize> {
    (0..part.lines.len()).filter(|&i| part.lines[i].role == Some(role)).collect()
}

/// Where nothing else gives time for it, a timed stretch is preceded by one to get into place.
fn with_ready(steps: Vec<Step>) -> Vec<Step> {
    let mut out: Vec<Step> = Vec::with_capacity(steps.len());
    for step in steps {
        let timed = step.kind == Kind::Work && step.seconds.is_some();
        let rested = out.last().is_none_or(|before| before.kind == Kind::Rest && before.seconds.is_some());
        if timed && !rested {
            out.push(Step::ready(&step));
        }
        out.push(step);
    }
    out
}

/// Reps of a line in one round, both sides together.
fn line_reps(line: &Line) -> Option<u32> {
    let n = match line.reps.as_ref()? {
        Amount::One(n) if line.side == Some(Side::PerSide) => n * 2.0,
        Amount::One(n) => *n,
        _ => return None,
    };
    count(Some(&Amount::One(n)))
}

fn round_reps(part: &Part) -> Option<u32> {
    let sum = in_rounds(part).iter().map(|&i| line_reps(&part.lines[i])).sum::<Option<u32>>()?;
    count(Some(&Amount::One(f64::from(sum))))
}

/// Steps of one line that is held or done for a time: both sides after each other where the time is for each.
fn by_time(part: &Part, i: usize) -> Option<Vec<Step>> {
    let line = &part.lines[i];
    let seconds = line.seconds.as_ref().map(Amount::high).filter(|s| *s > 0.0 && !line.max)?;
    if line.side == Some(Side::PerSide) {
        let side = |n| Step { side: Some(n), ..Step::timed(vec![i], seconds) };
        return Some(vec![side(1), side(2)]);
    }
    Some(vec![Step::timed(vec![i], seconds)])
}

/// Each line after the other: by time where it has one, by a tap where it has none.
fn line_by_line(part: &Part, lines: &[usize]) -> Vec<Step> {
    lines.iter().flat_map(|&i| by_time(part, i).unwrap_or_else(|| vec![Step::work(vec![i])])).collect()
}

fn repeat(part: &Part, once: &[Step], times: Option<u32>, unit: &'static str, rest: bool) -> Vec<Step> {
    let mut steps = Vec::new();
    for round in 1..=times.unwrap_or(1) {
        steps.extend(once.iter().cloned().map(|s| s.at(unit, round, times)));
        if rest {
            steps.push(Step::rest(rest_s(part)).at(unit, round, times));
        }
    }
    steps
}

fn sets(part: &Part) -> Vec<Step> {
    let lines = in_rounds(part);
    let most = lines.iter().filter_map(|&i| part.lines[i].reps.as_ref()).map(|a| a.values().len()).max();
    let schemed = most.filter(|n| *n > 2).and_then(|n| u32::try_from(n).ok());
    match count(part.rounds.as_ref()).or(schemed) {
        Some(n) => repeat(part, &line_by_line(part, &lines), Some(n), "set", true),
        // as many sets as it takes
        None => vec![Step { tap: Tap::Counts, ..Step::work(lines) }.at("set", 1, None)],
    }
}

fn rounds(part: &Part) -> Vec<Step> {
    let lines = in_rounds(part);
    let timed = !lines.is_empty() && lines.iter().all(|&i| by_time(part, i).is_some());
    let once = if timed { line_by_line(part, &lines) } else { vec![Step::work(lines)] };
    let resting = rest_s(part).is_some();
    repeat(part, &once, count(part.rounds.as_ref()), "round", resting)
}

/// One stretch in which taps count rounds or rungs.
fn counting(part: &Part, seconds: Option<f64>) -> Step {
    let lines = in_rounds(part);
    let rungs = lines.iter().find_map(|&i| match &part.lines[i].reps {
        Some(Amount::Scheme(list)) => Some(list.clone()),
        _ => None,
    });
    let grows = lines.iter().find_map(|&i| part.lines[i].step.filter(|_| part.lines[i].open));
    let unit = if rungs.is_some() { "rung" } else { "round" };
    Step { seconds, tap: Tap::Counts, rungs: rungs.unwrap_or_default(), grows, ..Step::work(lines) }.at(unit, 1, None)
}

/// Done once through: each line ends with a tap, so that the next one is always marked and a cap knows how far one came.
fn once_through(part: &Part) -> Vec<Step> {
    let roles = [Some(Role::BuyIn), None, Some(Role::CashOut)];
    let lines: Vec<usize> =
        roles.iter().flat_map(|role| (0..part.lines.len()).filter(|&i| part.lines[i].role == *role)).collect();
    let all = u32::try_from(lines.len()).ok();
    lines.into_iter().zip(1..).map(|(i, n)| Step::work(vec![i]).at("line", n, all)).collect()
}

fn for_time(part: &Part) -> Vec<Step> {
    let schemed = part.lines.iter().any(|l| matches!(l.reps, Some(Amount::Scheme(_))));
    let single = count(part.rounds.as_ref()).is_none_or(|n| n == 1);
    if single && !schemed && part.lines.len() > 1 && part.cap_scope.is_none() {
        return once_through(part);
    }
    let once = |role| with_role(part, role).into_iter().map(|i| Step::work(vec![i])).collect::<Vec<_>>();
    let mut steps = once(Role::BuyIn);
    let rounds = count(part.rounds.as_ref());
    let round_cap = part.time_cap_s.filter(|_| part.cap_scope.is_some());
    if rest_s(part).is_some() || round_cap.is_some() {
        let step = Step { seconds: round_cap, tap: Tap::Ends, ..Step::work(in_rounds(part)) };
        steps.extend(repeat(part, &[step], rounds, "round", rest_s(part).is_some()));
    } else if !in_rounds(part).is_empty() {
        let step = counting(part, None);
        let rungs = u32::try_from(step.rungs.len()).ok().filter(|n| *n > 0);
        let to = rounds.or(rungs).unwrap_or(1);
        let unit = step.unit;
        steps.push(Step { count_to: Some(to), ..step }.at(unit, 1, Some(to)));
    }
    steps.extend(once(Role::CashOut));
    steps
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
    let Some(windows) = rounds.map(|r| r.saturating_mul(stations)).or(by_length) else { return Vec::new() };
    let unit = if (every - 60.0).abs() < 0.5 { "minute" } else { "set" };
    let window = |n: u32| {
        let station = n % stations + 1;
        let on: Vec<usize> = lines.iter().copied().filter(|&i| part.lines[i].minute.is_none_or(|m| m == station)).collect();
        let step = if on.is_empty() { Step::rest(Some(every)) } else { Step::timed(on, every) };
        step.at(unit, n + 1, Some(windows))
    };
    (0..windows.min(1000)).map(window).collect()
}

/// One stretch of work; where a line is done for each side, the sides change at half of it.
fn window(part: &Part, i: usize, work: f64) -> Vec<Step> {
    if part.lines[i].side != Some(Side::PerSide) {
        return vec![Step::timed(vec![i], work)];
    }
    let side = |n| Step { side: Some(n), ..Step::timed(vec![i], work / 2.0) };
    vec![side(1), side(2)]
}

fn intervals(part: &Part) -> Vec<Step> {
    let Interval { work_s, rest_s: pause, every_s } = part.interval.unwrap_or_default();
    let Some(work) = work_s.or(every_s).filter(|s| *s > 0.0) else { return rounds(part) };
    let pause = pause.filter(|s| *s > 0.0);
    let times = count(part.rounds.as_ref());
    let mut steps = Vec::new();
    for round in 1..=times.unwrap_or(1) {
        for i in in_rounds(part) {
            steps.extend(window(part, i, work).into_iter().map(|s| s.at("round", round, times)));
            steps.extend(pause.map(|s| Step::rest(Some(s)).at("round", round, times)));
        }
        if let (Some(between), Some(last)) = (rest_s(part), steps.last_mut()) {
            // the rest between rounds takes the place of the last short one
            if last.kind == Kind::Rest {
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
        Some(seconds) => vec![Step::timed(lines, seconds).at("round", 1, times)],
        None => repeat(part, &line_by_line(part, &lines), times, "round", false),
    }
}

fn max_effort(part: &Part) -> Vec<Step> {
    let lines = in_rounds(part);
    let once = Step { seconds: part.duration_s, tap: Tap::Ends, ..Step::work(lines) };
    let times = count(part.rounds.as_ref());
    repeat(part, &[once], times, "set", times.is_some_and(|n| n > 1))
}

#[cfg(test)]
mod tests;
