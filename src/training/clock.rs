//! The clock of a part: which stretches of time follow each other, what ends each, and what a tap means.
//!
//! A [`Plan`] is made from a part as it was read (or tailored) and runs on the device: its truth is the instant it was
//! started and the list of taps, so a lock, a call or a reload loses nothing.
//!
//! # Design
//! One list of steps serves all nine formats. A step ends by time, by a tap, by a number of taps, or when the cap of the
//! whole comes; nothing else is needed, so the device has one small engine and no format of its own.

mod formats;
mod holds;
mod lines;
#[cfg(test)]
mod tests;

pub use formats::together;
pub use holds::Stretch;
pub use lines::{at_turn, climbing_on, turns};

use super::dose::Amount;
use super::session::{Format, Line, Part, ScoreKind};
use serde::Serialize;
use std::collections::BTreeMap;

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
    /// of each line: reps of one round, both sides together; none where it is not counted in reps or climbs with the rungs
    pub line_reps: Vec<Option<u32>>,
    /// lines whose reps are those of the rung
    pub climbs: Vec<usize>,
    /// of lines whose rungs are not those of their step, by line; in windows that go on until it can no more be done, one a window
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    pub own_rungs: BTreeMap<usize, Rungs>,
    /// of lines that are started by hand inside a stretch, by line: what counts them down, one a turn where the times differ
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    pub holds: BTreeMap<usize, Vec<Vec<Stretch>>>,
    /// lines whose reps are for each side: who does them says when the other side's turn is, as no time does
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub sides: Vec<usize>,
    /// as many sets as it takes: who does them says when it was enough, and that is no stopping early
    pub open: bool,
    /// each window of rounds goes on where the one before it was cut
    pub carries: bool,
}

/// Reps of one rung after the other.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Rungs {
    /// as written
    pub rungs: Vec<f64>,
    /// by how much a rung grows after the last one written
    pub grows: Option<f64>,
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
    /// how often these lines have come before: [`at_turn`] says what a line is then
    pub turn: u32,
    /// which station of how many, from 1, where a round has several
    #[serde(skip_serializing_if = "Option::is_none")]
    pub station: Option<[u32; 2]>,
    /// its lines are begun by hand inside it, though time alone ends it
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub by_hand: bool,
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
            turn: 0,
            station: None,
            by_hand: false,
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
        self.turn = round.saturating_sub(1);
        self
    }
}

/// The clock of a part; none where there is nothing to time or count.
#[must_use]
pub fn plan(part: &Part) -> Option<Plan> {
    let mut steps = formats::steps(part);
    if matches!(part.format, Format::Sets | Format::Rounds | Format::Practice | Format::MaxEffort) {
        steps = with_ready(steps);
    }
    steps.truncate(MOST_STEPS);
    while steps.last().is_some_and(|s| s.kind == Kind::Rest) {
        steps.pop();
    }
    let climbs = if steps.iter().any(|s| !s.rungs.is_empty()) { lines::climbing(part) } else { Vec::new() };
    let plan = Plan {
        count_in_s: COUNT_IN_S,
        cap_s: formats::whole(part),
        score: part.score,
        line_reps: part.lines.iter().map(lines::reps).collect(),
        own_rungs: own_rungs(part, &steps, &climbs),
        climbs,
        holds: holds::holds(part, &steps),
        sides: (0..part.lines.len()).filter(|&i| lines::turned_by_hand(&part.lines[i])).collect(),
        steps,
        open: formats::open(part),
        carries: part.carry_on.unwrap_or(false),
    };
    (!plan.steps.is_empty()).then_some(plan)
}

/// How many turns of a line differ; 1 where none do. One that climbs until it can no more be done differs in each.
#[must_use]
pub fn turns_in(part: &Part, line: &Line) -> usize {
    let climbs = line.open && formats::endless(part);
    if climbs { formats::MOST_WINDOWS as usize } else { turns(line) }
}

/// The part with fewer rounds: the minutes of an EMOM shrink with them.
pub fn with_rounds(part: &mut Part, rounds: Amount) {
    if part.format == Format::Emom
        && let (Some(written), Some(seconds)) = (&part.rounds, part.duration_s)
    {
        part.duration_s = Some(seconds * rounds.high() / written.high().max(1.0));
    }
    part.rounds = Some(rounds);
}

/// Lines that climb by other rungs than their step counts: what is done instead of a line may ask for more or fewer reps.
fn own_rungs(part: &Part, steps: &[Step], climbs: &[usize]) -> BTreeMap<usize, Rungs> {
    if formats::endless(part) {
        return (0..part.lines.len()).filter_map(|i| Some((i, lines::growing(&part.lines[i])?))).collect();
    }
    let Some(step) = steps.iter().find(|s| !s.rungs.is_empty()) else { return BTreeMap::new() };
    let shared = Rungs { rungs: step.rungs.clone(), grows: step.grows };
    climbs.iter().map(|&i| (i, lines::rungs(&part.lines[i]))).filter(|(_, own)| *own != shared).collect()
}

/// Where nothing else gives time for it, a timed stretch is preceded by one to get into place.
fn with_ready(steps: Vec<Step>) -> Vec<Step> {
    let mut out: Vec<Step> = Vec::with_capacity(steps.len());
    for step in steps {
        let timed = step.kind == Kind::Work && step.seconds.is_some();
        let waits = |before: &Step| before.kind != Kind::Work && before.seconds.is_some();
        let rested = out.last().is_none_or(waits);
        if timed && !rested {
            out.push(Step::ready(&step));
        }
        out.push(step);
    }
    out
}
