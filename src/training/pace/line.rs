//! One performance of a line: its dose at the movement's pace.

use super::Estimate;
use super::table::{Per, find};
use crate::training::dose::{Amount, Side};
use crate::training::movement::Library;
use crate::training::session::Line;

/// Seconds a rep where nothing is known of the movement.
const UNKNOWN_REP_S: f64 = 3.0;
/// Seconds a metre where nothing is known: a walk with turns.
const UNKNOWN_METRE_S: f64 = 0.8;
/// Seconds a calorie where nothing is known.
const UNKNOWN_CALORIE_S: f64 = 4.0;
/// A quick and practised person against the typical pace; a careful beginner against it. Common practice.
const QUICK: f64 = 0.8;
const CAREFUL: f64 = 1.5;
/// What a set of most reps or a longest hold takes, in seconds. Common practice.
const MAX_SET: Estimate = Estimate { low_s: 20.0, typical_s: 45.0, high_s: 90.0 };

/// Seconds for one performance of the line: one set, one round, one rung. A scheme (`21-15-9`) counts as its mean rung,
/// so that rounds times the line gives the whole.
#[must_use]
pub fn line(line: &Line, library: &Library) -> Estimate {
    let sides = sides(line);
    if let Some(seconds) = &line.seconds {
        return clock(seconds) * sides;
    }
    let dose = |amount: &Amount, s: f64| spread(amount, s) * sides;
    if let Some(metres) = &line.metres {
        return dose(metres, find(&line.movement, Per::Metre).typical_s.unwrap_or(UNKNOWN_METRE_S));
    }
    if let Some(calories) = &line.calories {
        return dose(calories, find(&line.movement, Per::Calorie).typical_s.unwrap_or(UNKNOWN_CALORIE_S));
    }
    match &line.reps {
        Some(reps) => dose(reps, rep_s(line, library)),
        None if line.max => MAX_SET * sides,
        None => Estimate::default(),
    }
}

/// 2 where the number is for each side.
pub(super) fn sides(line: &Line) -> f64 {
    if line.side == Some(Side::PerSide) { 2.0 } else { 1.0 }
}

/// Typical seconds of one rep: a written tempo first, then the pieces of a complex, then the movement's own figure.
fn rep_s(line: &Line, library: &Library) -> f64 {
    let own =
        |name: &str| find(name, Per::Rep).typical_s.or_else(|| library.find(name)?.seconds_per_rep).unwrap_or(UNKNOWN_REP_S);
    let plain = if line.complex.is_empty() {
        own(&line.movement)
    } else {
        line.complex.iter().map(|p| own(&p.movement) * p.reps.as_ref().map_or(1.0, mean)).sum()
    };
    let tempo = line.tempo.as_deref().and_then(tempo_s).unwrap_or(plain);
    // A slow way down takes the place of about half a second of the usual one.
    tempo + line.pause_s.unwrap_or(0.0) + line.down_s.map_or(0.0, |s| (s - 0.5).max(0.0))
}

/// `3-1-1-0` and `31X1` are five and five and a half seconds: `X` counts as half a second.
fn tempo_s(tempo: &str) -> Option<f64> {
    let place = |c: char| match c {
        'x' | 'X' => Some(0.5),
        c => c.to_digit(10).map(f64::from),
    };
    let split = tempo.contains(['-', ' ', '/']);
    let places: Vec<f64> = if split {
        tempo.split(['-', ' ', '/']).map(|t| t.parse().ok().or_else(|| place(t.chars().next()?))).collect::<Option<_>>()?
    } else {
        tempo.chars().map(place).collect::<Option<_>>()?
    };
    (places.len() == 4).then(|| places.iter().sum())
}

/// A dose in seconds is kept by the clock: only a written range spreads it.
fn clock(seconds: &Amount) -> Estimate {
    Estimate { low_s: low(seconds), typical_s: mean(seconds), high_s: high(seconds) }
}

fn spread(amount: &Amount, s: f64) -> Estimate {
    Estimate { low_s: low(amount) * s * QUICK, typical_s: mean(amount) * s, high_s: high(amount) * s * CAREFUL }
}

/// A scheme is one number a rung: its mean stands for each rung.
fn low(amount: &Amount) -> f64 {
    if matches!(amount, Amount::Scheme(_)) { mean(amount) } else { positive(amount.low()) }
}

fn high(amount: &Amount) -> f64 {
    if matches!(amount, Amount::Scheme(_)) { mean(amount) } else { positive(amount.high()) }
}

pub(super) fn mean(amount: &Amount) -> f64 {
    let values = amount.values();
    #[expect(clippy::cast_precision_loss, reason = "a line has a few numbers")]
    let n = values.len().max(1) as f64;
    positive(values.iter().sum::<f64>() / n)
}

/// A slip of the pen (zero, negative, not a number) takes no time; the reader reports it.
pub(super) fn positive(n: f64) -> f64 {
    if n.is_finite() { n.max(0.0) } else { 0.0 }
}
