//! Scores in words. What [`Score::words`] prints is read back as the same score.

use super::clock::show;
use super::rules::ScoreRules;
use super::{Lift, MassUnit, Score, Work};
use crate::training::session::ScoreKind;

/// A number without a needless point.
pub(super) fn number(n: f64) -> String {
    let rounded = (n * 1000.0).round() / 1000.0;
    rounded.to_string()
}

pub(super) fn plural(n: u32, one: &str) -> String {
    if n == 1 { format!("1 {one}") } else { format!("{n} {one}s") }
}

impl Score {
    /// The score as a board shows it, in the units that were typed: `7:42`, `12 rounds + 5 reps`, `80 kg x 3`.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::Time { seconds } | Self::Hold { seconds } => show(*seconds),
            Self::Capped { work } => work.words(),
            Self::RoundsReps { rounds, reps: 0 } => plural(*rounds, "round"),
            Self::RoundsReps { rounds, reps } => format!("{} + {}", plural(*rounds, "round"), plural(*reps, "rep")),
            Self::Reps { reps } => plural(*reps, "rep"),
            Self::Load { lifts } => lifts.iter().map(Lift::words).collect::<Vec<_>>().join(", "),
            Self::Distance { value, unit } => with_unit(*value, unit.map(super::DistanceUnit::word)),
            Self::Calories { calories } => format!("{} cal", number(*calories)),
            Self::Done => "done".to_owned(),
            Self::NotDone { started: true } => "did not finish".to_owned(),
            Self::NotDone { started: false } => "did not start".to_owned(),
        }
    }

    /// What is scored; none where it was not finished, whatever it was.
    #[must_use]
    pub const fn kind(&self) -> Option<ScoreKind> {
        match self {
            Self::Time { .. } | Self::Capped { .. } => Some(ScoreKind::Time),
            Self::RoundsReps { .. } => Some(ScoreKind::RoundsReps),
            Self::Reps { .. } => Some(ScoreKind::Reps),
            Self::Load { .. } => Some(ScoreKind::Load),
            Self::Distance { .. } => Some(ScoreKind::Distance),
            Self::Calories { .. } => Some(ScoreKind::Calories),
            Self::Hold { .. } => Some(ScoreKind::HoldTime),
            Self::Done => Some(ScoreKind::None),
            Self::NotDone { .. } => None,
        }
    }

    /// As [`Score::words`], with one weight also in the unit that the reader thinks in, `135 lb (61.2 kg)`, and equal sets
    /// together, `5 x 5 at 60 kg`.
    #[must_use]
    pub fn words_in(&self, unit: MassUnit) -> String {
        match self {
            Self::Load { lifts } => match lifts[..] {
                [lift] if lift.weight > 0.0 && lift.unit.is_some_and(|u| u != unit) => {
                    let other = lift.kg().unwrap_or_default() / unit.kg();
                    format!("{} ({} {})", lift.words(), number((other * 10.0).round() / 10.0), unit.word())
                }
                _ if lifts.windows(2).any(|w| w[0] == w[1]) => super::sets::words(lifts),
                _ => self.words(),
            },
            _ => self.words(),
        }
    }

    /// What was understood, spelt out more than on a board.
    pub(super) fn in_words(&self, rules: &ScoreRules) -> String {
        match self {
            Self::Time { seconds } | Self::Hold { seconds } => long_time(*seconds),
            Self::RoundsReps { rounds, reps } if rules.minutes => {
                format!("{}, and {} of the next", plural(*rounds, "full minute"), plural(*reps, "rep"))
            }
            Self::RoundsReps { rounds, reps } if rules.rungs => {
                format!("finished the rung of {rounds}, and {} of the next", plural(*reps, "rep"))
            }
            Self::RoundsReps { rounds, reps } => match rules.round_reps {
                Some(each) => {
                    let total = rounds.saturating_mul(each).saturating_add(*reps);
                    format!("{}, {} in all", self.words(), plural(total, "rep"))
                }
                None => self.words(),
            },
            Self::Capped { work: Work::Done(n) } => match rules.total_reps {
                Some(total) => format!("capped at {n} of {total} reps"),
                None => self.words(),
            },
            _ => self.words(),
        }
    }
}

fn with_unit(value: f64, unit: Option<&str>) -> String {
    unit.map_or_else(|| number(value), |u| format!("{} {u}", number(value)))
}

fn long_time(seconds: f64) -> String {
    let whole = seconds.floor();
    let (h, m) = ((whole / 3600.0).floor(), (whole % 3600.0 / 60.0).floor());
    let s = seconds - h * 3600.0 - m * 60.0;
    let pieces = [(h, "h"), (m, "min"), (s, "s")];
    let said: Vec<String> = pieces.iter().filter(|(n, _)| *n > 0.0).map(|(n, u)| format!("{} {u}", number(*n))).collect();
    if said.is_empty() { "0 s".to_owned() } else { said.join(" ") }
}

impl Work {
    fn words(self) -> String {
        match self {
            Self::Done(n) => format!("capped at {}", plural(n, "rep")),
            Self::Left(n) => format!("capped with {} left", plural(n, "rep")),
            Self::Rounds(rounds, reps) => format!("capped at {} + {}", plural(rounds, "round"), plural(reps, "rep")),
            Self::Unknown => "capped".to_owned(),
        }
    }
}

impl Lift {
    fn words(&self) -> String {
        if self.added && self.weight == 0.0 {
            return "body weight".to_owned();
        }
        let mut out = with_unit(self.weight, self.unit.map(MassUnit::word));
        if self.implements == 2 {
            out = format!("pair of {out}");
        }
        if self.added {
            out = format!("body weight + {out}");
        }
        match self.reps {
            Some(0) => out + " miss",
            Some(n) => format!("{out} x {n}"),
            None => out,
        }
    }
}
