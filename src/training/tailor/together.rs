//! The lines of a part as one member does them together: not the same stand-in twice where there is another, and a word where
//! only one line is left.

use super::give::{Place, say};
use super::{Action, TailoredLine};
use crate::training::movement::Library;
use crate::training::session::{Format, Part};

/// What the other lines of the part give, where line `at` is given one of these in the place of another movement.
pub(super) fn taken(lines: &[TailoredLine], at: usize, library: &Library) -> Option<Vec<usize>> {
    let line = &lines[at];
    if !is_swap(line) {
        return None;
    }
    let others = lines.iter().enumerate().filter(|(i, l)| *i != at && l.written.movement != line.written.movement);
    // of two that are alike the second gives way, or the one that is not as written
    let first = others.filter(|(i, l)| *i < at || !is_swap(l));
    let names: Vec<&str> = first.flat_map(|(_, l)| &l.given).map(|g| g.movement.as_str()).collect();
    let twice = line.given.iter().any(|g| g.complex.is_empty() && names.contains(&g.movement.as_str()));
    twice.then(|| names.iter().filter_map(|name| library.position(name)).collect())
}

/// Another stand-in was found that none of the others gives.
pub(super) fn is_other(again: &TailoredLine, now: &TailoredLine, taken: &[usize], library: &Library) -> bool {
    let free = |name: &str| library.position(name).is_some_and(|at| !taken.contains(&at));
    is_swap(again) && again.given != now.given && again.given.iter().all(|g| free(&g.movement))
}

/// Chosen by us, and not by the coach for this member.
fn is_swap(line: &TailoredLine) -> bool {
    matches!(line.action, Action::Swap | Action::SwapAndTellCoach) && line.pin.is_none() && line.written.complex.is_empty()
}

/// Of several lines that go against the clock one is left: what goes round no longer does.
const ALONE: &str =
    "It is all that is left of this part today: do it in short sets with a rest between, without the clock and the score.";

/// Says at the only line that is left what becomes of the part.
pub(super) fn say_alone(lines: &mut [TailoredLine], part: &Part) {
    let scored = matches!(part.format, Format::Amrap | Format::ForTime);
    let mut left = lines.iter_mut().filter(|l| l.action != Action::Refer);
    if let (true, Some(only), None) = (scored && part.lines.len() > 1, left.next(), left.next()) {
        say(only, ALONE, Place::After);
    }
}

/// One line of several is left, or what one gives is given by another: such a part is only known as a whole.
pub(super) fn is_more_than_its_lines(given: &[Option<usize>], written: &[Option<usize>]) -> bool {
    let left = given.iter().flatten().count();
    let twice =
        |i: usize| given[i].is_some() && given[i] != written[i] && (0..given.len()).any(|j| j != i && given[j] == given[i]);
    (left == 1 && given.len() > 1) || (0..given.len()).any(twice)
}
