//! Whatever is said at a line, the hard rules hold, and too heavy is never more.

use super::*;
use crate::training::pace;

const WISHES: [Wish; 6] = [Wish::TooHeavy, Wish::TooLoud, Wish::NoRoom, Wish::NoKit, Wish::Hurts, Wish::HurtsOther];

fn said(written: &Line, intent: Intent, who: &Profile, wish: Wish) -> (TailoredLine, TailoredLine) {
    let part = Part { intent, lines: vec![written.clone()], ..Part::default() };
    let session = Session { parts: vec![part], ..Session::default() };
    let wished = [Wished { part: 0, line: 0, movement: written.movement.clone(), wish }];
    let tailor = Tailor::shipped();
    let line = |mut t: Tailored| t.parts.remove(0).lines.remove(0);
    (line(tailor.tailor(&session, who)), line(tailor.tailor_wished(&session, who, &wished)))
}

fn total(line: &TailoredLine) -> f64 {
    let kg = |g: &Line| kilograms(g.load.as_ref()).unwrap_or(0.0) * f64::from(g.implements.unwrap_or(1));
    line.given.iter().map(kg).fold(0.0, f64::max)
}

fn seconds(line: &TailoredLine) -> f64 {
    line.given.iter().map(|g| pace::line(g, Library::shipped()).typical_s).sum()
}

/// What rounding to a count adds at most: a rep of each side, or the step of the clock, in each set of a scheme.
fn a_step(line: &TailoredLine) -> f64 {
    let one = |g: &Line| {
        let sets = g.reps.as_ref().map_or(1, |r| r.values().len());
        let a_rep = Library::shipped().find(&g.movement).and_then(|m| m.seconds_per_rep).unwrap_or(2.0);
        let sides = if g.side.is_some() { 2.0 } else { 1.0 };
        if g.seconds.is_some() { 10.0 } else { a_rep * sides * sets as f64 }
    };
    line.given.iter().map(one).sum()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 3000, ..ProptestConfig::default() })]

    #[test]
    fn the_hard_rules_hold_whatever_is_said_at_a_line(
        who in any_member(),
        written in any_line(),
        intent in prop::sample::select(INTENTS.to_vec()),
        wish in prop::sample::select(WISHES.to_vec()),
    ) {
        let (_, done) = said(&written, intent, &who, wish);
        prop_assert_eq!(broken(&written, intent, &who, &done), None);
    }

    #[test]
    fn too_heavy_is_never_heavier_and_in_conditioning_hardly_longer(
        who in any_member(),
        written in any_line(),
        intent in prop::sample::select(vec![Intent::Strength, Intent::Conditioning]),
    ) {
        let (before, done) = said(&written, intent, &who, Wish::TooHeavy);
        // where the load was left open, any number of kilograms is a word to it
        let named = before.given.iter().all(|g| matches!(g.load, None | Some(Load::Kg { .. } | Load::Lb { .. })));
        prop_assert!(!named || total(&done) <= total(&before) + 0.01, "{:?}: {:?} after {:?}", done.why, done.given, before.given);
        let open = |l: &TailoredLine| l.given.iter().any(|g| matches!(g.load, Some(Load::Find(_))));
        prop_assert!(open(&before) || !open(&done), "{:?}: {:?} after {:?}", done.why, done.given, before.given);
        let reps = Library::shipped().find(&written.movement).is_some_and(|m| m.unit == crate::training::movement::Unit::Reps);
        let counted = intent == Intent::Conditioning && reps && before.given.iter().all(|g| g.reps.is_some());
        let most = seconds(&before) * 1.25 + a_step(&done);
        prop_assert!(!counted || seconds(&done) <= most, "{:?}: {:?} after {:?}", done.why, done.given, before.given);
    }
}
