//! Reasons are true of what was written and of what is given.

use super::{INTENTS, any_line, any_load, any_member, kilograms, one};
use crate::training::dose::{Amount, Load, Side};
use crate::training::member::Profile;
use crate::training::movement::{Library, Pattern, Sided};
use crate::training::pace;
use crate::training::session::{Intent, Line, Part, Session};
use crate::training::tailor::{Action, TailoredLine, tailor};
use proptest::prelude::*;

const PATTERNS: [Pattern; 2] = [Pattern::Squat, Pattern::Hinge];

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
            let kinds = ["the same shape", "the same kind of", "the same work for", "it keeps you moving", "the same muscles", "head down"];
            if kinds.iter().any(|words| done.why.contains(words)) {
                prop_assert_eq!(pattern(&line), pattern(given), "{}", done.why);
            }
            // a big count is cut to a part of what was said
            if done.why.contains("about the same time") && !done.why.contains(" of that keeps the feel") {
                let time = |l: &Line| pace::line(l, Library::shipped()).typical_s;
                let ratio = time(given) / time(&line).max(1.0);
                prop_assert!((0.55..=1.65).contains(&ratio), "{ratio}: {} for {line:?}: {given:?}", done.why);
            }
        }
    }
}

/// Reps of both sides together, lowest and highest.
fn in_all(line: &Line) -> Option<(f64, f64)> {
    let one_sided = Library::shipped().find(&line.movement).is_some_and(|m| m.sided == Sided::Unilateral);
    let sides = if line.side == Some(Side::PerSide) || (line.side.is_none() && one_sided) { 2.0 } else { 1.0 };
    line.reps.as_ref().map(|r| match r {
        Amount::Scheme(list) => (list.iter().sum::<f64>() * sides, list.iter().sum::<f64>() * sides),
        _ => (r.low() * sides, r.high() * sides),
    })
}

fn seconds(line: &Line) -> f64 {
    pace::line(line, Library::shipped()).typical_s.max(1.0)
}

fn per_side(given: &Line) -> bool {
    given.side == Some(Side::PerSide)
}

fn more_reps(written: &Line, given: &Line) -> bool {
    in_all(given).zip(in_all(written)).is_some_and(|(g, w)| g.1 > w.1)
}

fn same_count(written: &Line, given: &Line) -> bool {
    let near = |a: f64, b: f64| (a - b).abs() <= (b / 5.0).max(1.0);
    in_all(given).zip(in_all(written)).is_some_and(|(g, w)| near(g.0, w.0) && near(g.1, w.1))
}

/// Kilograms of everything that is held.
fn total_kg(line: &Line) -> Option<f64> {
    kilograms(line.load.as_ref()).map(|kg| kg * f64::from(line.implements.unwrap_or(1)))
}

/// Words of a reason and what must then be true of the written line, of the given one and of the member.
type Claim = (&'static str, fn(&Line, &Line, &Profile) -> bool);

/// Everything that a reason says of counts, loads and time.
const CLAIMS: [Claim; 21] = [
    ("whole count stays about the same, split between sides", |w, g, _| per_side(g) && same_count(w, g)),
    ("the written count with each side", |w, g, _| per_side(g) && g.reps == w.reps),
    ("one side, then the other", |_, g, _| per_side(g)),
    ("one side at a time", |_, g, _| per_side(g)),
    ("one arm works at a time", |_, g, _| per_side(g) || g.side == Some(Side::Total) || g.seconds.is_some()),
    ("the same time at the same effort", |w, g, _| (0.75..=1.3).contains(&(seconds(g) / seconds(w)))),
    ("about the same time", |w, g, _| (0.55..=1.65).contains(&(seconds(g) / seconds(w)))),
    ("with more reps to keep the effort", more_reps_said),
    ("slower reps and more of them", |w, g, _| more_reps(w, g) && g.tempo.is_some()),
    ("slow on the way down", |_, g, _| g.tempo.is_some()),
    ("slowly, to stay hard", |_, g, _| g.tempo.is_some()),
    ("hold it hard for the time", |_, g, _| g.seconds.is_some()),
    ("not above the written load", |w, g, _| total_kg(g).zip(total_kg(w)).is_none_or(|(g, w)| g <= w * 1.0251)),
    ("not above the two that are written", |w, g, _| total_kg(g).zip(total_kg(w)).is_none_or(|(g, w)| g <= w * 1.0251)),
    ("the same size in the other unit", |w, g, _| {
        let same = |g: f64, w: f64| (0.92..=1.0251).contains(&(g / w));
        // one arm at a time takes one of the two that are written: then it is the one that has the size
        let one_of_two = w.implements == Some(2) && g.implements.is_none();
        let each = one_of_two && kilograms(g.load.as_ref()).zip(kilograms(w.load.as_ref())).is_some_and(|(g, w)| same(g, w));
        each || total_kg(g).zip(total_kg(w)).is_some_and(|(g, w)| same(g, w))
    }),
    ("Your weights are above the written load", |w, _, _| any_weight(w)),
    ("so it is done without", |_, g, _| kilograms(g.load.as_ref()).is_none()),
    ("There is no max on file", |w, _, who| !who.known_maxes_kg.contains_key(&w.movement)),
    ("of your max comes down to", below_the_percent),
    ("two dumbbells of", |_, g, _| g.implements == Some(2)),
    ("two kettlebells of", |_, g, _| g.implements == Some(2)),
];

fn more_reps_said(written: &Line, given: &Line, _: &Profile) -> bool {
    more_reps(written, given)
}

fn any_weight(written: &Line) -> bool {
    matches!(written.load, Some(Load::Kg { .. } | Load::Lb { .. } | Load::Percent { .. }))
}

fn below_the_percent(written: &Line, given: &Line, who: &Profile) -> bool {
    let Some(Load::Percent { percent, .. }) = &written.load else { return false };
    let implements = f64::from(written.implements.unwrap_or(1));
    let most = who.known_maxes_kg.get(&written.movement).map(|max| max * implements * percent.high() / 100.0);
    total_kg(given).zip(most).is_none_or(|(kg, most)| kg <= most + 0.01)
}

/// A number of kilograms or pounds that a reason names is the load that is given, or is told as one to take instead.
fn names_its_load(given: &Line, why: &str) -> bool {
    let at_first = why.split(" Too heavy for that?").next().unwrap_or(why).split(" Far too light").next().unwrap_or(why);
    match &given.load {
        Some(Load::Kg { values, .. }) if at_first.contains(" kg ") => values.iter().any(|n| at_first.contains(&n.to_string())),
        Some(Load::Lb { values, .. }) if at_first.contains(" lb ") => values.iter().any(|n| at_first.contains(&n.to_string())),
        _ => true,
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 6000, ..ProptestConfig::default() })]

    #[test]
    fn what_a_reason_says_of_counts_loads_and_time_is_true_of_the_numbers(
        who in any_member(),
        written in any_line(),
        intent in prop::sample::select(INTENTS.to_vec()),
        superset in any::<bool>(),
    ) {
        let name = if superset { "Superset" } else { "" }.to_owned();
        let part = Part { name, intent, lines: vec![written.clone()], ..Part::default() };
        let done = tailor(&Session { parts: vec![part], ..Session::default() }, &who, Library::shipped());
        let line = &done.parts[0].lines[0];
        // a big count is cut to a part of what was said
        for given in line.given.iter().filter(|_| !line.why.contains(" of that keeps the feel")) {
            for (words, holds) in CLAIMS.iter().filter(|(words, _)| line.why.contains(words)) {
                prop_assert!(holds(&written, given, &who), "{words}: {} for {written:?} in {intent:?}: {given:?}", line.why);
            }
            prop_assert!(names_its_load(given, &line.why), "{}: {given:?}", line.why);
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
