//! Doing the same again: what makes two results comparable, and what forbids it.

use super::score::Score;
use super::session::{Line, Part, ScoreKind};
use super::tailor::recorded;
use serde_json::Value;
use std::cmp::Ordering;

/// What of a part makes results comparable: places in the write-up, names, notes and other options do not.
#[must_use]
pub fn work(part: &Part) -> Part {
    Part {
        name: String::new(),
        label: None,
        lines: part.lines.iter().map(of_line).collect(),
        options: Vec::new(),
        notes: Vec::new(),
        at: None,
        said: Vec::new(),
        ..part.clone()
    }
}

fn of_line(line: &Line) -> Line {
    Line { at: None, note: None, alternatives: line.alternatives.iter().map(of_line).collect(), ..line.clone() }
}

/// A line as it was given and done: not where it stands in the write-up, nor words and other ways beside it.
#[must_use]
pub fn as_given(line: &Line) -> Line {
    Line { at: None, note: None, alternatives: Vec::new(), ..line.clone() }
}

/// The same was given, as it was recorded with two results.
fn same_given(a: Option<&Value>, b: Option<&Value>) -> bool {
    let lines = |given: Option<&Value>| {
        let lines = recorded::given(given)?;
        Some(lines.iter().map(|lines| lines.iter().map(as_given).collect()).collect::<Vec<Vec<Line>>>())
    };
    match (lines(a), lines(b)) {
        (Some(a), Some(b)) => a == b,
        _ => a == b,
    }
}

/// What two doings must share to be a retest at all, even of other rules: what is scored, and the movements in order.
#[must_use]
pub fn theme(part: &Part) -> (String, Vec<String>) {
    (format!("{:?}", part.score), part.lines.iter().map(|l| l.movement.clone()).collect())
}

/// One doing of a part.
#[derive(Clone, Copy, Debug)]
pub struct Doing<'a> {
    /// the part as it was written that day
    pub part: &'a Part,
    /// `full`, `lighter`, `adapted`, or the name of an option
    pub version: &'a str,
    /// load used, kilograms
    pub load_kg: Option<f64>,
    /// JSON of what was given in place of what was written
    pub given: Option<&'a Value>,
}

/// Loads closer than this are the same, kilograms.
const STEP_KG: f64 = 0.5;

/// Why two doings cannot be compared; nothing where they can. Kit is what was done with: the load and the movements given.
#[must_use]
pub fn differences(a: &Doing<'_>, b: &Doing<'_>) -> Vec<&'static str> {
    let mut out = Vec::new();
    if a.version != b.version {
        out.push("another version");
    }
    if work(a.part) != work(b.part) {
        out.push("other rules");
    }
    let loads = match (a.load_kg, b.load_kg) {
        (Some(x), Some(y)) => (x - y).abs() < STEP_KG,
        (None, None) => true,
        _ => false,
    };
    // where the load is the score it may differ
    if a.part.score != ScoreKind::Load && !loads {
        out.push("another load");
    }
    if a.version == "adapted" && !same_given(a.given, b.given) {
        out.push("other kit");
    }
    out
}

/// A score as one number, and whether less is better; none where it is none of its own. Capped results have no time.
#[must_use]
pub fn value(score: &Score) -> Option<(f64, bool)> {
    match score {
        Score::Time { seconds } => Some((*seconds, true)),
        // however many reps a round has, one more is more and none make a round
        Score::RoundsReps { rounds, reps } => Some((f64::from(*rounds) + f64::from(*reps) / (f64::from(*reps) + 100.0), false)),
        Score::Reps { reps } => Some((f64::from(*reps), false)),
        Score::Load { lifts } => {
            lifts.iter().filter(|l| l.reps != Some(0)).filter_map(|l| l.kg()).reduce(f64::max).map(|kg| (kg, false))
        }
        Score::Distance { value, unit } => unit.map(|u| (value * u.metres(), false)),
        Score::Calories { calories } => Some((*calories, false)),
        Score::Hold { seconds } => Some((*seconds, false)),
        Score::Capped { .. } | Score::Done | Score::NotDone { .. } => None,
    }
}

/// How a newer score stands to an older one of the same conditions; none where they are no numbers of one kind. Where the coach
/// says that the fewest win, less is better of whatever is counted.
#[must_use]
pub fn progress(newer: &Score, older: &Score, least_wins: bool) -> Option<Ordering> {
    let more = more(newer, older)?;
    let turned = least_wins && !matches!(newer, Score::Time { .. });
    Some(if turned { more.reverse() } else { more })
}

fn more(newer: &Score, older: &Score) -> Option<Ordering> {
    if let (Score::RoundsReps { rounds, reps }, Score::RoundsReps { rounds: before, reps: reps_before }) = (newer, older) {
        return Some((rounds, reps).cmp(&(before, reps_before)));
    }
    if std::mem::discriminant(newer) != std::mem::discriminant(older) {
        return None;
    }
    let ((a, less), (b, _)) = (value(newer)?, value(older)?);
    let order = a.total_cmp(&b);
    Some(if less { order.reverse() } else { order })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::training::session::Place;

    fn part(cap: f64) -> Part {
        let line = Line { movement: "push-up".to_owned(), ..Line::default() };
        Part { name: "Test".to_owned(), time_cap_s: Some(cap), score: ScoreKind::Time, lines: vec![line], ..Part::default() }
    }

    fn doing<'a>(part: &'a Part, version: &'a str, load_kg: Option<f64>) -> Doing<'a> {
        Doing { part, version, load_kg, given: None }
    }

    #[test]
    fn the_same_kit_version_and_rules_are_comparable_whatever_the_part_is_called() {
        let (a, b) = (part(600.0), Part { name: "Again".to_owned(), ..part(600.0) });
        assert_eq!(differences(&doing(&a, "full", Some(20.0)), &doing(&b, "full", Some(20.2))), Vec::<&str>::new());
    }

    #[test]
    fn where_it_stands_in_the_write_up_is_no_part_of_the_work() {
        let at = |line| Some(Place { line, column: 1, length: 3 });
        let typed = |line| {
            let other = Line { at: at(line), ..Line::default() };
            let lines = vec![Line { at: at(line), alternatives: vec![other], ..Line::default() }];
            Part { at: at(line), said: at(line + 1).into_iter().collect(), lines, ..part(600.0) }
        };
        assert_eq!(work(&typed(3)), work(&typed(9)));
    }

    #[test]
    fn another_version_load_or_cap_is_named() {
        let (a, b) = (part(600.0), part(540.0));
        assert_eq!(
            differences(&doing(&a, "full", Some(20.0)), &doing(&b, "lighter", None)),
            ["another version", "other rules", "another load"]
        );
        assert_eq!(theme(&a), theme(&b), "and still it is the same test");
    }

    #[test]
    fn other_movements_in_place_of_the_written_ones_are_other_kit() {
        let a = part(600.0);
        let (x, y) = (serde_json::json!(["row"]), serde_json::json!(["band row"]));
        let with = |given| Doing { given: Some(given), ..doing(&a, "adapted", None) };
        assert_eq!(differences(&with(&x), &with(&y)), ["other kit"]);
        assert!(differences(&with(&x), &with(&x)).is_empty());
    }

    #[test]
    fn a_rep_of_a_long_round_counts_past_a_hundred_and_a_round_is_more_than_any() {
        let score = |rounds, reps| Score::RoundsReps { rounds, reps };
        assert_eq!(progress(&score(2, 150), &score(2, 120), false), Some(Ordering::Greater));
        assert_eq!(progress(&score(3, 0), &score(2, 900), false), Some(Ordering::Greater));
        assert_eq!(progress(&score(2, 120), &score(2, 120), false), Some(Ordering::Equal));
        let drawn: Vec<f64> = [score(2, 0), score(2, 99), score(2, 100), score(2, 900), score(3, 0)]
            .iter()
            .filter_map(|s| value(s).map(|(v, _)| v))
            .collect();
        assert!(drawn.len() == 5 && drawn.is_sorted_by(|a, b| a < b), "{drawn:?}");
    }

    #[test]
    fn less_time_and_more_reps_are_progress_and_a_cap_is_neither() {
        let time = |seconds| Score::Time { seconds };
        assert_eq!(progress(&time(500.0), &time(540.0), false), Some(Ordering::Greater));
        assert_eq!(progress(&Score::Reps { reps: 9 }, &Score::Reps { reps: 12 }, false), Some(Ordering::Less));
        let capped = Score::Capped { work: crate::training::score::Work::Done(9) };
        assert_eq!(progress(&time(500.0), &capped, false), None);
    }

    #[test]
    fn where_the_fewest_win_fewer_is_progress_and_a_shorter_time_is_still_better() {
        let breaks = |reps| Score::Reps { reps };
        assert_eq!(progress(&breaks(11), &breaks(14), true), Some(Ordering::Greater));
        assert_eq!(progress(&breaks(11), &breaks(14), false), Some(Ordering::Less));
        let time = |seconds| Score::Time { seconds };
        assert_eq!(progress(&time(500.0), &time(540.0), true), Some(Ordering::Greater));
    }

    #[test]
    fn what_was_given_is_the_same_wherever_its_line_stood() {
        let a = part(600.0);
        let given = |line: usize, movement: &str| {
            let at = Some(Place { line, column: 1, length: 3 });
            let other = Line { movement: "air squat".to_owned(), ..Line::default() };
            let given = Line { movement: movement.to_owned(), at, alternatives: vec![other; line], ..Line::default() };
            serde_json::to_value([[given]]).unwrap()
        };
        let with = |given| Doing { given: Some(given), ..doing(&a, "adapted", None) };
        let (here, there, other) = (given(3, "row"), given(5, "row"), given(3, "band row"));
        assert!(differences(&with(&here), &with(&there)).is_empty());
        assert_eq!(differences(&with(&here), &with(&other)), ["other kit"]);
    }
}
