//! How hard a part is meant to be, 0-10: as written, else what its purpose and format usually ask. For the rod's thickness;
//! it ranks nobody and loads nothing.

use super::dose::Load;
use super::session::{Format, Intent, Part};

/// 0 (rest) to 10 (all out).
#[must_use]
pub fn part(part: &Part) -> u8 {
    let written = part
        .lines
        .iter()
        .filter_map(|l| l.load.as_ref().and_then(of_load))
        .fold(None, |most: Option<f64>, n| Some(most.map_or(n, |m| m.max(n))));
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held between 0 and 10")]
    let whole = |n: f64| n.clamp(0.0, 10.0).round() as u8;
    written.map_or_else(|| usual(part), whole)
}

/// RPE as written; reps in reserve from ten (RPE counts reps left: 10 is none left, 8 is two); percent of a max in a straight
/// line from 60 % (4.5) to 90 % (10), as the trade feels it in working sets (*common practice*).
fn of_load(load: &Load) -> Option<f64> {
    match load {
        Load::Rpe(n) => Some(n.high()),
        Load::Rir(n) => Some(10.0 - n.low()),
        Load::Percent { percent, .. } => Some((percent.high() - 35.0) / 5.5),
        _ => None,
    }
}

/// *Common practice* where nothing is written.
fn usual(part: &Part) -> u8 {
    match (part.intent, part.format) {
        (Intent::Mobility, _) => 2,
        (Intent::Prep, _) => 3,
        (Intent::Technique, _) => 4,
        (Intent::Strength | Intent::Conditioning, Format::MaxEffort) => 9,
        (Intent::Conditioning, Format::ForTime | Format::Amrap | Format::Intervals) => 8,
        (Intent::Conditioning, Format::Practice | Format::Rounds | Format::Sets) => 6,
        (Intent::Strength | Intent::Conditioning, _) => 7,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::training::dose::Amount;
    use crate::training::session::Line;

    #[test]
    fn what_is_written_counts_before_what_is_usual() {
        let with = |load: Option<Load>| Part {
            intent: Intent::Strength,
            format: Format::Sets,
            lines: vec![Line { load, ..Line::default() }],
            ..Part::default()
        };
        assert_eq!(part(&with(None)), 7);
        assert_eq!(part(&with(Some(Load::Rpe(Amount::Range(5.0, 6.0))))), 6);
        assert_eq!(part(&with(Some(Load::Rir(Amount::One(1.0))))), 9);
        assert_eq!(part(&with(Some(Load::Percent { percent: Amount::One(200.0), of: "1RM".to_owned() }))), 10);
    }

    #[test]
    fn a_warm_up_is_easier_than_a_race() {
        let of = |intent, format| part(&Part { intent, format, ..Part::default() });
        assert!(of(Intent::Prep, Format::Rounds) < of(Intent::Conditioning, Format::ForTime));
    }
}
