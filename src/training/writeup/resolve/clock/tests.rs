//! What is said of the minutes of an EMOM.

use crate::training::movement::Library;
use crate::training::session::{Part, Problem, ProblemKind};
use crate::training::writeup::read;

fn emom(text: &str) -> (Part, Vec<Problem>) {
    let session = read(text, Library::shipped());
    (session.parts.into_iter().next().unwrap_or_default(), session.problems)
}

#[test]
fn minutes_of_which_nothing_is_written_are_asked_for() {
    let (part, problems) = emom("EMOM 16\nmin 1: 12 swings\nmin 4: rest, breathe");
    assert_eq!(part.rounds, Some(crate::training::dose::Amount::One(4.0)));
    assert_eq!(problems.iter().map(|p| p.kind).collect::<Vec<_>>(), [ProblemKind::Unclear]);
    assert!(problems[0].text.contains("minutes 2 and 3 of 4"), "{}", problems[0].text);
}

#[test]
fn minutes_that_are_all_written_ask_nothing() {
    for text in [
        "EMOM 16\nmin 1: 12 swings\nmin 2-3: 10 push-ups\nmin 4: rest",
        "EMOM 12, odd minutes 10 swings, even minutes rest",
        "EMOM 9\n1: 10 swings\n2: 12 squats\n3: rest",
    ] {
        assert_eq!(emom(text).1, [], "{text}");
    }
}

#[test]
fn everything_behind_a_minute_belongs_to_it() {
    let (part, _) = emom("EMOM 12\nmin 1: 10 push-ups, 20 s plank\nmin 2: 12 squats");
    assert_eq!(part.lines.iter().map(|l| l.minute).collect::<Vec<_>>(), [Some(1), Some(1), Some(2)]);
}

#[test]
fn a_line_for_several_minutes_stands_in_each() {
    let (part, _) = emom("EMOM 20\nmin 1 & 2: 10 burpees\nmin 3: 15 swings\nmin 4: rest");
    assert_eq!(part.lines.iter().map(|l| l.minute).collect::<Vec<_>>(), [Some(1), Some(2), Some(3)]);
}
