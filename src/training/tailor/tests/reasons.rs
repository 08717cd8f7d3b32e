//! Reasons are true of what was written and of what is given.

use super::{any_load, any_member, one};
use crate::training::dose::Amount;
use crate::training::movement::{Library, Pattern};
use crate::training::pace;
use crate::training::session::{Intent, Line};
use crate::training::tailor::{Action, TailoredLine};
use proptest::prelude::*;

const PATTERNS: [Pattern; 8] = [
    Pattern::Squat,
    Pattern::Hinge,
    Pattern::SingleLeg,
    Pattern::PushHorizontal,
    Pattern::PushVertical,
    Pattern::PullHorizontal,
    Pattern::PullVertical,
    Pattern::Core,
];

fn pattern(line: &Line) -> Option<Pattern> {
    Library::shipped().find(&line.movement).map(|m| m.pattern)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, ..ProptestConfig::default() })]

    #[test]
    fn a_reason_that_names_a_pattern_names_that_of_both(
        who in any_member(),
        at in 0..Library::shipped().all().len(),
        load in any_load(),
        intent in prop::sample::select(vec![Intent::Prep, Intent::Technique, Intent::Mobility, Intent::Conditioning]),
        reps in 1u32..40,
    ) {
        let reps = Some(Amount::One(f64::from(reps)));
        let line = Line { movement: Library::shipped().all()[at].name.clone(), reps, load, ..Line::default() };
        let done = one(line.clone(), intent, &who);
        for given in &done.given {
            for p in PATTERNS.iter().filter(|p| done.why.contains(&format!("the same {} for today", p.label()))) {
                prop_assert_eq!((pattern(&line), pattern(given)), (Some(*p), Some(*p)), "{}", done.why);
            }
            if done.why.contains("the same shape") {
                prop_assert_eq!(pattern(&line), pattern(given), "{}", done.why);
            }
            if done.why.contains("about the same time") {
                let time = |l: &Line| pace::line(l, Library::shipped()).typical_s;
                let ratio = time(given) / time(&line).max(1.0);
                prop_assert!((0.55..=1.65).contains(&ratio), "{ratio}: {} for {line:?}: {given:?}", done.why);
            }
        }
    }
}

#[test]
fn another_way_that_was_typed_goes_once_something_else_is_done() {
    let with = |note: &str, action| TailoredLine {
        written: Line { note: Some(note.to_owned()), ..Line::default() },
        action,
        ..TailoredLine::default()
    };
    for note in ["or 100 singles", "(or 100 singles)", "100 singles if no rope", "step jacks instead", "sub 60 jacks"] {
        assert_eq!(with(note, Action::Swap).note(), None, "{note}");
        assert_eq!(with(note, Action::Keep).note(), Some(note));
    }
    assert_eq!(with("smooth and quiet", Action::Swap).note(), Some("smooth and quiet"));
}

#[test]
fn a_cue_to_the_written_movement_is_not_told_at_its_stand_in() {
    let line = |name: &str| Line { movement: name.to_owned(), ..Line::default() };
    let with = |note: &str, given: &str| TailoredLine {
        written: Line { note: Some(note.to_owned()), ..line("push-up") },
        given: vec![line(given)],
        action: Action::Swap,
        ..TailoredLine::default()
    };
    for note in ["chest to the floor", "elbows at 45 degrees", "full lockout"] {
        assert_eq!(with(note, "band chest press").note(), None, "{note}");
        assert_eq!(with(note, "push-up").note(), Some(note));
    }
    assert_eq!(with("easy pace, stop if it pinches", "plank").note(), Some("easy pace, stop if it pinches"));
}
