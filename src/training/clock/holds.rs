//! Lines that are held or done for a time inside a stretch that taps count: each is counted down once it is started by hand.

use super::lines::{by_time, turns};
use super::{COUNT_IN_S, Kind, READY_S, Step, Tap};
use crate::training::session::{Format, Part};
use serde::Serialize;
use std::collections::BTreeMap;

/// One piece of such a countdown.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Stretch {
    /// to get into place, or what is held
    pub kind: Kind,
    /// how long
    pub seconds: f64,
    /// first or second side, where it is done one side after the other
    pub side: Option<u8>,
}

/// By line: the countdown of each turn, one where they are all the same. A line that a step counts down by itself has none.
pub(super) fn holds(part: &Part, steps: &[Step]) -> BTreeMap<usize, Vec<Vec<Stretch>>> {
    let practice = part.format == Format::Practice;
    if !practice && !matches!(part.format, Format::ForTime | Format::Amrap | Format::Ladder | Format::Emom) {
        return BTreeMap::new();
    }
    let together = |s: &Step| s.kind == Kind::Work && (s.by_hand || !practice && (s.tap != Tap::Nothing || s.lines.len() > 1));
    let by_hand = |i: &usize| steps.iter().any(|s| together(s) && s.lines.contains(i));
    // what fills all of the practice needs no clock of its own
    let fits = |turns: &Vec<Vec<Stretch>>| {
        let longest = turns.iter().map(|turn| turn.iter().map(|s| s.seconds).sum()).fold(0.0, f64::max);
        !practice || part.duration_s.is_some_and(|all| longest < all)
    };
    let held = |i| Some((i, each_turn(part, i).filter(fits)?));
    (0..part.lines.len()).filter(by_hand).filter_map(held).collect()
}

fn each_turn(part: &Part, i: usize) -> Option<Vec<Vec<Stretch>>> {
    let mut all: Vec<_> = (0..).take(turns(&part.lines[i])).map(|turn| countdown(part, i, turn)).collect::<Option<_>>()?;
    if all.iter().all(|turn| *turn == all[0]) {
        all.truncate(1);
    }
    Some(all)
}

/// Whoever starts it by hand has to let go of the phone first, and to turn over between the sides.
fn countdown(part: &Part, i: usize, turn: u32) -> Option<Vec<Stretch>> {
    let mut all = Vec::new();
    for step in by_time(part, i, turn)? {
        let ready = if all.is_empty() { COUNT_IN_S } else { READY_S };
        all.push(Stretch { kind: Kind::Ready, seconds: ready, side: step.side });
        all.push(Stretch { kind: Kind::Work, seconds: step.seconds?, side: step.side });
    }
    Some(all)
}
