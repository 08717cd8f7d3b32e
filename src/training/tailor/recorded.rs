//! What a member was given when they logged a part: kept with the result, because tailoring may say something else by now.

use super::as_written::same_work;
use crate::training::dose::Amount;
use crate::training::session::{Format, Line, Part};
use crate::training::wording;
use serde_json::Value;

/// More lines than this are not told one by one beside a result.
const FEW: usize = 3;

/// The lines as they were given, a list for each written one; none where nothing was recorded.
#[must_use]
pub fn given(recorded: Option<&Value>) -> Option<Vec<Vec<Line>>> {
    recorded.cloned().and_then(|given| serde_json::from_value(given).ok())
}

/// `1 of 5 lines`, where some were left out.
#[must_use]
pub fn share(given: &[Vec<Line>]) -> Option<String> {
    let done = given.iter().filter(|lines| !lines.is_empty()).count();
    (done < given.len()).then(|| format!("{done} of {} lines", given.len()))
}

/// What was given in other amounts than written, each with its movement: `60 air squat`, `4 push press per side`.
#[must_use]
pub fn other_amounts(part: &Part, given: &[Vec<Line>]) -> Vec<String> {
    let pairs = part.lines.iter().zip(given).flat_map(|(written, given)| given.iter().map(move |g| (written, g)));
    let differs = |(written, given): &(&Line, &Line)| written.movement == given.movement && !same_work(written, given);
    let words = |(_, given): (&Line, &Line)| {
        let side = given.side.map(|side| format!(" {}", side.words())).unwrap_or_default();
        format!("{} {}{side}", wording::dose(given), wording::movement(given)).trim().to_owned()
    };
    pairs.filter(differs).map(words).collect()
}

/// The sets of a part of sets as they were given: `4 x 8 at 12 kg`, each movement named where there are several. None where that
/// would be long, or where it is no part of sets. `load` says a line's load in the reader's words.
#[must_use]
pub fn sets(part: &Part, given: &[Vec<Line>], load: impl Fn(&Line) -> Option<String>) -> Option<String> {
    let lines: Vec<&Line> = given.iter().flatten().collect();
    if part.format != Format::Sets || lines.is_empty() || lines.len() > FEW {
        return None;
    }
    let many = part.rounds.as_ref().map(|sets| sets.low().to_string());
    let words = |line: &&Line| {
        let dose = wording::dose(line);
        let sets = match (&many, &line.reps) {
            // a scheme has a number for each set
            (Some(sets), reps) if !matches!(reps, Some(Amount::Scheme(_))) => format!("{sets} x {dose}"),
            _ => dose,
        };
        let side = line.side.map(|side| format!(" {}", side.words())).unwrap_or_default();
        let load = load(line).map(|load| format!(" at {load}")).unwrap_or_default();
        let name = if lines.len() > 1 { wording::movement(line) + " " } else { String::new() };
        format!("{name}{sets}{side}{load}")
    };
    let told: Vec<String> = lines.iter().filter(|line| !wording::dose(line).is_empty()).map(words).collect();
    (!told.is_empty()).then(|| told.join("; "))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::training::dose::{Load, Side};

    fn line(movement: &str, reps: f64) -> Line {
        Line { movement: movement.to_owned(), reps: Some(Amount::One(reps)), ..Line::default() }
    }

    fn four_sets() -> Part {
        Part { format: Format::Sets, rounds: Some(Amount::One(4.0)), ..Part::default() }
    }

    #[test]
    fn sets_are_told_with_reps_side_and_load() {
        let load = Some(Load::Kg { values: vec![12.0], range: false });
        let squat = Line { side: Some(Side::PerSide), load, ..line("split squat", 8.0) };
        let words = sets(&four_sets(), &[vec![squat], vec![line("push-up", 10.0)]], |l| l.load.as_ref().map(wording::load));
        assert_eq!(words.as_deref(), Some("split squat 4 x 8 per side at 12 kg; push-up 4 x 10"));
    }

    #[test]
    fn other_amounts_of_the_written_movement_are_told_and_another_movement_is_not() {
        let part = Part { lines: vec![line("air squat", 100.0), line("push-up", 50.0), line("row", 20.0)], ..Part::default() };
        let given = [vec![line("air squat", 60.0)], vec![line("push-up", 50.0)], vec![line("bike", 20.0)]];
        assert_eq!(other_amounts(&part, &given), ["60 air squat"]);
    }

    #[test]
    fn a_scheme_has_its_own_sets() {
        let ladder = Line { reps: Some(Amount::Scheme(vec![10.0, 8.0, 6.0])), ..line("push-up", 0.0) };
        assert_eq!(sets(&four_sets(), &[vec![ladder]], |_| None).as_deref(), Some("10-8-6"));
    }

    #[test]
    fn a_part_of_many_lines_or_of_rounds_is_not_told_line_by_line() {
        let four = vec![vec![line("push-up", 10.0)]; 4];
        assert_eq!(sets(&four_sets(), &four, |_| None), None);
        assert_eq!(sets(&Part { format: Format::Rounds, ..four_sets() }, &four[..1], |_| None), None);
    }

    #[test]
    fn what_was_left_out_is_counted_by_written_lines() {
        assert_eq!(share(&[vec![line("lunge", 5.0)], vec![], vec![]]).as_deref(), Some("1 of 3 lines"));
        assert_eq!(share(&[vec![line("lunge", 5.0)]]), None);
    }
}
