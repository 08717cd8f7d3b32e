//! What is given for a window of the clock is doable inside it.

use super::{any_member, homes};
use crate::training::dose::{Amount, Load};
use crate::training::member::Profile;
use crate::training::movement::Library;
use crate::training::pace;
use crate::training::session::{Format, Intent, Interval, Line, Part, Session};
use crate::training::tailor::{Action, Group, Tailor, TailoredLine, tailor};
use crate::training::writeup;
use proptest::prelude::*;

fn session(text: &str) -> Session {
    writeup::read(text, Library::shipped())
}

fn home(json: &str) -> Profile {
    serde_json::from_str(json).unwrap()
}

/// Seconds of work in the given lines.
fn work(lines: &[TailoredLine]) -> f64 {
    pace::together(lines.iter().flat_map(|l| &l.given), Library::shipped()).typical_s
}

#[test]
fn a_long_row_becomes_no_more_quick_steps_than_a_minute_holds() {
    let text = "EMOM 10\nmin 1: 20/16 cal row\nmin 2: 10 push-ups\n";
    let done = tailor(&session(text), &home(r#"{"level":"intermediate"}"#), Library::shipped());
    let row = &done.parts[0].lines[0];
    assert_eq!((row.action, row.given[0].seconds.clone()), (Action::Swap, Some(Amount::One(45.0))));
    assert!(row.why.ends_with("as much as fits into the minute, with a short rest."), "{}", row.why);
}

#[test]
fn one_arm_at_a_time_takes_no_longer_than_the_minute() {
    let text = "Technique\nEMOM 8\n14 DB hang power clean 22.5/15 kg\n";
    let done =
        tailor(&session(text), &home(r#"{"kit":[{"item":"dumbbell","kg":[15]}],"level":"intermediate"}"#), Library::shipped());
    assert!(work(&done.parts[0].lines) <= 45.0, "{:?}", done.parts[0].lines[0].given);
}

#[test]
fn lines_as_written_are_left_alone_and_the_changed_one_fits_beside_them() {
    let text = "EMOM 10\n8 air squats\n10 pull-ups\n";
    let done = tailor(&session(text), &home("{}"), Library::shipped());
    let lines = &done.parts[0].lines;
    assert_eq!((lines[0].action, lines[1].action), (Action::Keep, Action::Swap));
    // the coach wrote 48 s of work: no more than that
    assert!(work(lines) <= 48.0 && lines[1].given[0].reps != Some(Amount::One(10.0)), "{lines:?}");
}

#[test]
fn what_fits_is_not_cut() {
    let text = "EMOM 10\nmin 1: 8 pull-ups\nmin 2: 10 push-ups\n";
    let done = tailor(&session(text), &home("{}"), Library::shipped());
    let alone = tailor(&session("For time\n8 pull-ups\n10 push-ups\n"), &home("{}"), Library::shipped());
    assert_eq!(done.parts[0].lines[0].given[0].reps, alone.parts[0].lines[0].given[0].reps);
}

#[test]
fn the_group_page_shows_the_dose_that_the_member_gets() {
    let written = session("EMOM 10\n12/9 cal bike\n10 DB hang power clean 22.5/15 kg\n12 T2B\n");
    let who = home(r#"{"kit":[{"item":"dumbbell","kg":[12]}],"level":"intermediate"}"#);
    let mine = tailor(&written, &who, Library::shipped());
    let group = Tailor::shipped().coverage(&written, &Group::new([who]));
    for (line, seen) in mine.parts[0].lines.iter().zip(&group.lines) {
        assert_eq!(seen.changes[0].variants[0].line.as_ref(), line.given.first());
    }
}

/// Nothing can be made shorter than one rep a side, ten seconds or five metres.
fn least(line: &Line) -> bool {
    let low = |a: &Option<Amount>, n: f64| a.as_ref().is_some_and(|a| a.high() <= n);
    low(&line.reps, 2.0) || low(&line.seconds, 10.0) || low(&line.metres, 10.0) || low(&line.calories, 1.0)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1500, ..ProptestConfig::default() })]

    #[test]
    fn a_changed_line_always_fits_into_its_window(
        who in any_member(),
        at in 0..Library::shipped().all().len(),
        reps in 1u32..60,
        every in prop::sample::select(vec![60.0, 90.0, 120.0]),
        intent in prop::sample::select(vec![Intent::Technique, Intent::Strength, Intent::Conditioning]),
        loaded in any::<bool>(),
    ) {
        let m = &Library::shipped().all()[at];
        let load = (loaded && m.loadable).then(|| Load::kg(30.0));
        let line = Line { movement: m.name.clone(), reps: Some(Amount::One(f64::from(reps))), load, ..Line::default() };
        let interval = Some(Interval { every_s: Some(every), ..Interval::default() });
        let part = Part { format: Format::Emom, interval, intent, rounds: Some(Amount::One(8.0)), lines: vec![line.clone()], ..Part::default() };
        let done = tailor(&Session { parts: vec![part], ..Session::default() }, &who, Library::shipped());
        let done = &done.parts[0].lines[0];
        let same = done.given.iter().all(|g| g.movement == line.movement && g.reps == line.reps && g.side == line.side && g.tempo == line.tempo);
        let fits = work(std::slice::from_ref(done)) <= every * 0.75 + 0.5;
        prop_assert!(same || fits || done.given.iter().any(|g| g.max || least(g)), "{:?}", done);
    }
}

#[test]
fn some_of_it_is_cut_and_some_is_not() {
    // a rule that never holds a dose, or holds every one, would pass the property above
    let cut = |reps: f64| {
        let line = Line { movement: "pull-up".to_owned(), reps: Some(Amount::One(reps)), ..Line::default() };
        let part = Part {
            format: Format::Emom,
            intent: Intent::Conditioning,
            rounds: Some(Amount::One(8.0)),
            lines: vec![line],
            ..Part::default()
        };
        let written = Session { parts: vec![part], ..Session::default() };
        homes().iter().filter(|who| tailor(&written, who, Library::shipped()).parts[0].lines[0].why.contains("fits into")).count()
    };
    assert!(cut(3.0) == 0 && cut(30.0) > 10, "{} {}", cut(3.0), cut(30.0));
}
