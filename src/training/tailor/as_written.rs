//! Whether a member does a part as it was written: what is other work has no place among those who did the written one.

use super::{Action, TailoredLine, TailoredPart};
use crate::training::dose::Amount;
use crate::training::session::Line;

impl TailoredPart {
    /// Every line is done as written, as often as written. A lighter load alone is the same work: it has a place of its own on the
    /// board, by the load that was logged.
    #[must_use]
    pub fn is_as_written(&self) -> bool {
        self.rounds_given.is_none() && self.lines.iter().all(TailoredLine::is_as_written)
    }
}

impl TailoredLine {
    fn is_as_written(&self) -> bool {
        match self.action {
            Action::Keep => true,
            Action::KeepWithNote => {
                let [given] = &self.given[..] else { return false };
                // whichever of the ways that the coach wrote
                std::iter::once(&self.written).chain(&self.written.alternatives).any(|written| same_work(written, given))
            }
            Action::Swap | Action::SwapAndTellCoach | Action::Refer => false,
        }
    }
}

/// The same work, whatever the load.
pub(super) fn same_work(written: &Line, given: &Line) -> bool {
    let amounts = |l: &Line| [l.reps.clone(), l.seconds.clone(), l.metres.clone(), l.calories.clone()];
    written.movement == given.movement
        && written.complex == given.complex
        && written.side == given.side
        && written.implements.unwrap_or(1) == given.implements.unwrap_or(1)
        && amounts(written).iter().zip(&amounts(given)).all(|(w, g)| same_amount(w.as_ref(), g.as_ref()))
}

/// The same, or a choice that was left: `8-12` and `10`, `12/9` and `9`.
fn same_amount(written: Option<&Amount>, given: Option<&Amount>) -> bool {
    match (written, given) {
        (Some(Amount::Range(low, high)), Some(given)) => given.low() >= *low && given.high() <= *high,
        (Some(Amount::Columns(first, second)), Some(Amount::One(n))) => n == first || n == second,
        (written, given) => written == given,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::training::dose::{Load, Side};

    fn squats(reps: Amount) -> Line {
        Line { movement: "air squat".to_owned(), reps: Some(reps), ..Line::default() }
    }

    fn part(written: Line, given: Line) -> TailoredPart {
        let line = TailoredLine { written, action: Action::KeepWithNote, given: vec![given], ..TailoredLine::default() };
        TailoredPart { lines: vec![line], ..TailoredPart::default() }
    }

    #[test]
    fn a_hundred_squats_that_became_sixty_are_other_work() {
        assert!(!part(squats(Amount::One(100.0)), squats(Amount::One(60.0))).is_as_written());
        assert!(part(squats(Amount::One(100.0)), squats(Amount::One(100.0))).is_as_written());
    }

    #[test]
    fn a_number_of_a_written_range_or_column_is_as_written() {
        assert!(part(squats(Amount::Range(8.0, 12.0)), squats(Amount::One(10.0))).is_as_written());
        assert!(part(squats(Amount::Columns(12.0, 9.0)), squats(Amount::One(9.0))).is_as_written());
        assert!(!part(squats(Amount::Range(8.0, 12.0)), squats(Amount::One(6.0))).is_as_written());
    }

    #[test]
    fn one_weight_a_side_in_place_of_a_pair_is_other_work() {
        let pair = Line { implements: Some(2), ..squats(Amount::One(8.0)) };
        let one = Line { side: Some(Side::PerSide), ..squats(Amount::One(4.0)) };
        assert!(!part(pair, one).is_as_written());
    }

    #[test]
    fn a_lighter_load_alone_is_the_same_work() {
        let with = |kg: f64| Line { load: Some(Load::Kg { values: vec![kg], range: false }), ..squats(Amount::One(8.0)) };
        assert!(part(with(24.0), with(16.0)).is_as_written());
    }

    #[test]
    fn fewer_rounds_are_other_work() {
        let whole = part(squats(Amount::One(8.0)), squats(Amount::One(8.0)));
        let short = TailoredPart { rounds_given: Some(Amount::One(3.0)), ..whole };
        assert!(!short.is_as_written());
    }
}
