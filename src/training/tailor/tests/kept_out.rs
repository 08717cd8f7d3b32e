//! What a coach keeps out is not given, done any way, and something else takes its place.

use super::{any_line, any_member};
use crate::training::member::KeptOut;
use crate::training::movement::{Demand, Library, Pattern};
use crate::training::session::{Intent, Part, Session};
use crate::training::tailor::{Action, body_parts, tailor};
use proptest::prelude::*;

fn done(lines: &str, who: &str) -> Vec<(Action, Vec<String>)> {
    let session = format!(r#"{{"parts":[{{"intent":"conditioning","lines":[{lines}]}}]}}"#);
    let done = tailor(&serde_json::from_str(&session).unwrap(), &serde_json::from_str(who).unwrap(), Library::shipped());
    let names = |given: &[crate::training::session::Line]| given.iter().map(|g| g.movement.clone()).collect();
    done.parts[0].lines.iter().map(|l| (l.action, names(&l.given))).collect()
}

const LINES: &str = r#"{"movement":"push-up","reps":10},{"movement":"box jump","reps":10}"#;

#[test]
fn the_rest_is_given_and_what_is_kept_out_gets_a_reason() {
    let who = r#"{"kit":[{"item":"box"}],"note":"knee surgery last month","open_words":[],"kept_out":{"loads":["knee"]}}"#;
    let all = done(LINES, who);
    assert_eq!(all[0], (Action::Keep, vec!["push-up".to_owned()]));
    let jumps = |name: &String| Library::shipped().find(name).unwrap().pattern == Pattern::Jump;
    assert!(all[1].0 > Action::KeepWithNote && !all[1].1.iter().any(jumps), "{:?}", all[1]);
}

#[test]
fn a_part_of_the_body_that_is_not_known_holds_everything() {
    let all = done(LINES, r#"{"open_words":[],"kept_out":{"loads":["knees and such"]}}"#);
    assert_eq!(all, [(Action::Refer, vec![]), (Action::Refer, vec![])]);
}

#[test]
fn a_movement_that_the_library_does_not_have_is_the_coachs() {
    let all = done(r#"{"movement":"moon walk","known":false,"reps":10}"#, r#"{"kept_out":{"touches":["knee"]}}"#);
    assert_eq!(all, [(Action::Refer, vec![])]);
}

/// What `data/regions.csv` says of the knee.
fn loads_a_knee(pattern: Pattern, demands: &[Demand]) -> bool {
    let patterns = [Pattern::Squat, Pattern::SingleLeg, Pattern::Jump, Pattern::Olympic, Pattern::FullBody];
    let asked = [Demand::DeepKnee, Demand::Kneeling, Demand::Impact];
    patterns.contains(&pattern) || demands.iter().any(|d| asked.contains(d))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1500, ..ProptestConfig::default() })]

    #[test]
    fn nothing_that_is_given_loads_a_knee_that_is_kept_out(who in any_member(), line in any_line(), at in 0..4usize) {
        let intent = [Intent::Strength, Intent::Conditioning, Intent::Technique, Intent::Mobility][at];
        let mut who = who;
        who.kept_out = KeptOut { loads: vec!["knee".to_owned()], touches: Vec::new() };
        let part = Part { intent, lines: vec![line], ..Part::default() };
        let session = Session { parts: vec![part], ..Session::default() };
        let done = tailor(&session, &who, Library::shipped());
        for given in &done.parts[0].lines[0].given {
            let m = Library::shipped().find(&given.movement).unwrap();
            prop_assert!(!loads_a_knee(m.pattern, &m.demands), "{given:?}");
        }
    }
}

#[test]
fn every_part_of_the_body_keeps_something_out() {
    for part in body_parts() {
        let who = format!(
            r#"{{"kept_out":{{"loads":["{part}"]}},"level":"advanced","kit":[{{"item":"bike"}},{{"item":"pullup_bar"}}]}}"#
        );
        let lines = r#"{"movement":"bike","seconds":60},{"movement":"air squat","reps":9},{"movement":"pull-up","reps":5},
            {"movement":"push-up","reps":5},{"movement":"box jump","reps":5},{"movement":"plank","seconds":30},
            {"movement":"deadlift","reps":5}"#;
        let kept = done(lines, &who).iter().filter(|l| l.0 == Action::Keep).count();
        assert!(kept < 7, "{part} keeps nothing out");
    }
}
