//! What a person must decide first: nothing that it touches is given, and the rest is.

use super::*;

#[test]
fn a_pregnant_member_is_given_nothing_at_all() {
    let who: Profile = serde_json::from_str(r#"{"note":"I am pregnant, 14 weeks"}"#).unwrap();
    let done = one(Line { movement: "air squat".to_owned(), ..Line::default() }, Intent::Conditioning, &who);
    assert_eq!((done.action, done.given.len(), done.tell_coach), (Action::Refer, 0, true));
}

#[test]
fn a_hurt_shoulder_leaves_the_lines_that_do_not_touch_it() {
    let who: Profile = serde_json::from_str(r#"{"note":"I tore something in my shoulder"}"#).unwrap();
    let action = |name: &str| one(Line { movement: name.to_owned(), ..Line::default() }, Intent::Conditioning, &who).action;
    assert_eq!((action("push-up"), action("air squat")), (Action::Refer, Action::Keep));
}

fn squat_or_pull_ups(who: &str) -> Vec<(Action, bool)> {
    let json = r#"{"parts":[{"intent":"conditioning","lines":[{"movement":"air squat","reps":20},{"movement":"push-up","reps":10},
        {"movement":"bike","seconds":60}]}]}"#;
    let done = tailor(&serde_json::from_str(json).unwrap(), &serde_json::from_str(who).unwrap(), Library::shipped());
    done.parts[0].lines.iter().map(|l| (l.action, l.waits)).collect()
}

const OLD_KNEE: &str = r#""kit":[{"item":"bike"}],"note":"knee op in 2012, mostly fine, aches a bit when I squat deep""#;

#[test]
fn what_waits_for_the_coach_is_marked_and_the_rest_is_given() {
    let done = squat_or_pull_ups(&format!("{{{OLD_KNEE}}}"));
    assert_eq!(done, [(Action::Refer, true), (Action::Keep, false), (Action::Keep, false)]);
}

#[test]
fn a_word_that_the_coach_decided_on_stops_nothing_more() {
    let done = squat_or_pull_ups(&format!(r#"{{{OLD_KNEE},"open_words":[]}}"#));
    assert_eq!(done, [(Action::Keep, false); 3]);
}

#[test]
fn a_word_that_is_still_open_stops_though_the_note_says_nothing_of_it() {
    let done =
        squat_or_pull_ups(r#"{"kit":[{"item":"bike"}],"note":"away on Friday","open_words":["I am pregnant","away on Friday"]}"#);
    assert_eq!(done, [(Action::Refer, true); 3]);
}

#[test]
fn no_stand_in_touches_what_waits() {
    // nothing but the floor at home: cycling would become something for the legs
    let done = tailor(
        &serde_json::from_str(r#"{"parts":[{"intent":"conditioning","lines":[{"movement":"bike","seconds":60}]}]}"#).unwrap(),
        &serde_json::from_str(r#"{"note":"knee op in 2012, mostly fine, aches a bit when I squat deep"}"#).unwrap(),
        Library::shipped(),
    );
    let loads_the_knee = done.parts[0].lines[0]
        .given
        .iter()
        .any(|g| Library::shipped().find(&g.movement).unwrap().demands.contains(&Demand::DeepKnee));
    assert!(!loads_the_knee, "{:?}", done.parts[0].lines[0]);
}
