//! Which part of an edited session is which part of the one before.

use super::retest;
use super::session::Part;
use super::wording;

type Alike = fn(&Part, &Part) -> bool;

fn same_name(a: &Part, b: &Part) -> bool {
    a.name.eq_ignore_ascii_case(&b.name)
}

fn same_work(a: &Part, b: &Part) -> bool {
    !a.lines.is_empty() && retest::theme(a) == retest::theme(b)
}

fn same_heading(a: &Part, b: &Part) -> bool {
    wording::part(a).eq_ignore_ascii_case(&wording::part(b))
}

/// What surely tells a part, also one that was gone and is back.
const SURE: [Alike; 2] = [|a, b| same_name(a, b) && same_work(a, b), same_work];
/// What tells a part among those that are there; many have their name from their format. A label alone says least: what is
/// inserted in front takes it over.
const PERHAPS: [Alike; 3] = [same_heading, same_name, |a, b| a.label.is_some() && a.label == b.label && a.score == b.score];

/// For each part of `after` its place in `before`, counted on into `gone`, the parts that an earlier edit took out. None where
/// it is new.
#[must_use]
pub fn places(before: &[&Part], gone: &[&Part], after: &[Part]) -> Vec<Option<usize>> {
    let mut found = vec![None; after.len()];
    for alike in SURE {
        pair(&mut found, before, 0, after, alike);
    }
    for alike in SURE {
        pair(&mut found, gone, before.len(), after, alike);
    }
    for alike in PERHAPS {
        pair(&mut found, before, 0, after, alike);
    }
    // the only one that is left on both sides, under another name
    let left: Vec<usize> = (0..before.len()).filter(|at| !found.contains(&Some(*at))).collect();
    let open: Vec<usize> = (0..after.len()).filter(|i| found[*i].is_none()).collect();
    if let ([at], [i]) = (&left[..], &open[..])
        && before[*at].score == after[*i].score
    {
        found[*i] = Some(*at);
    }
    // back under its name, with other work
    pair(&mut found, gone, before.len(), after, same_heading);
    found
}

/// Gives each part that has no place yet the first free one in `from` that is alike; places count from `first`.
fn pair(found: &mut [Option<usize>], from: &[&Part], first: usize, after: &[Part], alike: Alike) {
    for (i, part) in after.iter().enumerate() {
        if found[i].is_none() {
            let free = |at: &usize| !found.contains(&Some(first + at));
            found[i] = (0..from.len()).filter(free).find(|at| alike(from[*at], part)).map(|at| first + at);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::training::movement::Library;
    use crate::training::session::Session;
    use crate::training::writeup;

    fn read(text: &str) -> Session {
        writeup::read(text, Library::shipped())
    }

    fn of(before: &str, after: &str) -> Vec<Option<usize>> {
        let (before, after) = (read(before), read(after));
        places(&before.parts.iter().collect::<Vec<_>>(), &[], &after.parts)
    }

    const SQUAT: &str = "Back squat\n5 x 5 @ 60 kg, rest 2:00\n";
    const MILL: &str = "For time, cap 14:00\n15 burpees\n30 air squats\n";
    const ROWS: &str = "12 min AMRAP\n8 ring rows\n10 push-ups\n";
    const PLANK: &str = "Plank\n3 x 40 s plank, rest 20 s\n";

    #[test]
    fn what_is_inserted_in_front_is_new_and_moves_the_rest_on() {
        let (before, after) = (format!("{SQUAT}\n{MILL}"), format!("{SQUAT}\n{PLANK}\n{MILL}"));
        assert_eq!(of(&before, &after), [Some(0), None, Some(1)]);
    }

    #[test]
    fn two_parts_that_have_no_name_of_their_own_are_told_apart_by_their_work() {
        let more = MILL.replace("burpees", "mountain climbers");
        assert_eq!(of(MILL, &format!("{more}\n{MILL}")), [None, Some(0)]);
    }

    #[test]
    fn labels_that_move_on_do_not_take_the_parts_along() {
        let (before, after) = (format!("A. {MILL}\nB. {ROWS}"), format!("A. {PLANK}\nB. {MILL}\nC. {ROWS}"));
        assert_eq!(of(&before, &after), [None, Some(0), Some(1)]);
    }

    #[test]
    fn another_order_is_followed_and_what_is_left_out_is_nowhere() {
        let (before, after) = (format!("{SQUAT}\n{MILL}\n{ROWS}"), format!("{ROWS}\n{SQUAT}"));
        assert_eq!(of(&before, &after), [Some(2), Some(0)]);
    }

    #[test]
    fn the_only_one_left_is_the_same_under_another_name_unless_it_is_scored_otherwise() {
        let press = "Front squat\n4 x 6 @ 50 kg, rest 2:00\n";
        assert_eq!(of(&format!("{SQUAT}\n{MILL}"), &format!("{press}\n{MILL}")), [Some(0), Some(1)]);
        assert_eq!(of(&format!("{SQUAT}\n{MILL}"), &format!("{SQUAT}\n{ROWS}")), [Some(0), None]);
    }

    #[test]
    fn a_part_that_was_gone_is_the_same_when_it_is_back() {
        let (before, gone, after) = (read(SQUAT), read(MILL), read(&format!("{SQUAT}\n{PLANK}\n{MILL}")));
        let found = places(&[&before.parts[0]], &[&gone.parts[0]], &after.parts);
        assert_eq!(found, [Some(0), None, Some(1)]);
    }

    #[test]
    fn a_part_that_is_back_is_not_taken_for_the_one_that_went_with_the_same_edit() {
        let run = "For time, cap 9:00\n600 m run\n40 sit-ups\n";
        let (before, gone, after) = (read(&format!("{SQUAT}\n{run}")), read(MILL), read(&format!("{SQUAT}\n{MILL}")));
        let found = places(&before.parts.iter().collect::<Vec<_>>(), &[&gone.parts[0]], &after.parts);
        assert_eq!(found, [Some(0), Some(2)]);
    }
}
