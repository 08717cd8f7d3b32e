//! What a clock asks of a line: how long it takes where it is done by time, how many reps it is, what it is in its nth turn.

use super::{Rungs, Step};
use crate::training::dose::{Amount, Load, Side};
use crate::training::session::{Line, Part, Role};

/// A small count that was written.
pub(super) fn count(amount: Option<&Amount>) -> Option<u32> {
    let n = amount?.high();
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "checked to be a small positive number")]
    (1.0..=1000.0).contains(&n).then_some(n as u32)
}

pub(super) fn in_rounds(part: &Part) -> Vec<usize> {
    with_role(part, None)
}

pub(super) fn with_role(part: &Part, role: Option<Role>) -> Vec<usize> {
    (0..part.lines.len()).filter(|&i| part.lines[i].role == role).collect()
}

/// Lines whose reps are those of a rung.
pub(super) fn climbing(part: &Part) -> Vec<usize> {
    (0..part.lines.len()).filter(|&i| matches!(part.lines[i].reps, Some(Amount::Scheme(_)))).collect()
}

/// The rungs of a line that climbs.
pub(super) fn rungs(line: &Line) -> Rungs {
    let rungs = line.reps.as_ref().and_then(listed).unwrap_or_default();
    Rungs { rungs, grows: line.step.filter(|_| line.open) }
}

/// Those of a line that grows with each window until it can no more be done.
pub(super) fn growing(line: &Line) -> Option<Rungs> {
    let grows = Some(line.step.filter(|_| line.open)?);
    let amount = line.reps.as_ref()?;
    Some(Rungs { rungs: listed(amount).unwrap_or_else(|| vec![amount.high()]), grows })
}

/// Reps of a line in one round, both sides together.
pub(super) fn reps(line: &Line) -> Option<u32> {
    let n = match line.reps.as_ref()? {
        Amount::One(n) if line.side == Some(Side::PerSide) => n * 2.0,
        Amount::One(n) => *n,
        _ => return None,
    };
    count(Some(&Amount::One(n)))
}

/// How many turns differ: as many as the longest list of reps, time, distance, calories or loads has; 1 where none do.
#[must_use]
pub fn turns(line: &Line) -> usize {
    let amounts = [&line.reps, &line.seconds, &line.metres, &line.calories];
    let lists = amounts.into_iter().flatten().filter_map(listed).chain(line.load.as_ref().and_then(loads));
    lists.map(|list| list.len()).max().unwrap_or(1)
}

/// The line as it is in its nth turn, from 0: `10-10-8` at `60/65/70 kg` is `8` at `70 kg` in the third. A list that is shorter
/// than the turns begins again.
#[must_use]
pub fn at_turn(line: &Line, turn: usize) -> Line {
    let pick = |list: &[f64]| list[turn % list.len()];
    let of =
        |amount: &Option<Amount>| amount.as_ref().map(|a| listed(a).map_or_else(|| a.clone(), |list| Amount::One(pick(&list))));
    let load = line.load.as_ref().map(|load| match (loads(load), load) {
        (None, load) => load.clone(),
        (Some(list), Load::Rpe(_)) => Load::Rpe(Amount::One(pick(&list))),
        (Some(list), Load::Rir(_)) => Load::Rir(Amount::One(pick(&list))),
        (Some(list), load) => load.with(pick(&list)),
    });
    Line {
        reps: grown(line, turn).or_else(|| of(&line.reps)),
        seconds: of(&line.seconds),
        metres: of(&line.metres),
        calories: of(&line.calories),
        load,
        ..line.clone()
    }
}

/// Reps past those that are written, where a line goes on climbing by its step.
fn grown(line: &Line, turn: usize) -> Option<Amount> {
    let step = line.step.filter(|_| line.open)?;
    let (last, written) = match line.reps.as_ref()? {
        Amount::One(n) => (*n, 1),
        amount => listed(amount).and_then(|list| Some((*list.last()?, list.len())))?,
    };
    let past = u32::try_from((turn + 1).saturating_sub(written)).ok().filter(|n| *n > 0)?;
    Some(Amount::One(last + step * f64::from(past)))
}

/// What is done instead of a line that goes on climbing does so too, by the step of its own rungs.
#[must_use]
pub fn climbing_on(line: Line, written: &Line) -> Line {
    match &line.reps {
        Some(Amount::Scheme(rungs)) if written.open && !line.open => {
            let step = rungs.last_chunk::<2>().map(|[before, last]| last - before).filter(|n| *n > 0.0);
            Line { open: true, step: step.or(written.step), ..line }
        }
        // `1 burpee in the first minute, 1 more in each`: by as many as the first is
        Some(Amount::One(n)) if written.open && !line.open => {
            let first = written.reps.as_ref().map_or(1.0, Amount::high).max(1.0);
            Line { open: true, step: written.step.map(|step| (step * n / first).round().max(1.0)), ..line }
        }
        _ => line,
    }
}

fn listed(amount: &Amount) -> Option<Vec<f64>> {
    match amount {
        Amount::Scheme(list) if !list.is_empty() => Some(list.clone()),
        _ => None,
    }
}

/// Two numbers are a span or two columns; three and more are one each turn.
fn loads(load: &Load) -> Option<Vec<f64>> {
    match load {
        Load::Kg { values, .. } | Load::Lb { values, .. } => (values.len() > 2).then(|| values.clone()),
        Load::Percent { percent: amount, .. } | Load::Rpe(amount) | Load::Rir(amount) => listed(amount),
        _ => None,
    }
}

/// Whether a line is done on one side and then on the other, and no time says when to change.
pub(super) fn turned_by_hand(line: &Line) -> bool {
    line.side == Some(Side::PerSide) && line.seconds.is_none()
}

/// Steps of one line that is held or done for a time, as `30 s max push-ups` are: both sides after each other where the time is for each.
pub(super) fn by_time(part: &Part, i: usize, turn: u32) -> Option<Vec<Step>> {
    let line = at_turn(&part.lines[i], turn as usize);
    let seconds = line.seconds.as_ref().map(Amount::high).filter(|s| *s > 0.0)?;
    if line.side == Some(Side::PerSide) {
        return Some(both_sides(i, seconds));
    }
    Some(vec![Step::timed(vec![i], seconds)])
}

/// So many seconds for each side.
pub(super) fn both_sides(i: usize, seconds: f64) -> Vec<Step> {
    [1, 2].map(|n| Step { side: Some(n), ..Step::timed(vec![i], seconds) }).to_vec()
}

/// Each line after the other: by time where it has one, by a tap where it has none.
pub(super) fn line_by_line(part: &Part, lines: &[usize], turn: u32) -> Vec<Step> {
    lines.iter().flat_map(|&i| by_time(part, i, turn).unwrap_or_else(|| vec![Step::work(vec![i])])).collect()
}

/// The same, but lines without a time that follow each other wait for one tap together: fewer touches with wet hands.
pub(super) fn stretch_by_stretch(part: &Part, lines: &[usize], turn: u32) -> Vec<Step> {
    let mut steps: Vec<Step> = Vec::new();
    for &i in lines {
        match (by_time(part, i, turn), steps.last_mut()) {
            (Some(timed), _) => steps.extend(timed),
            (None, Some(before)) if before.seconds.is_none() => before.lines.push(i),
            (None, _) => steps.push(Step::work(vec![i])),
        }
    }
    steps
}
