//! What a line means beyond its name, from the write-up to the member.

use super::*;
use crate::training::writeup;

fn done(text: &str, who: &str) -> Vec<TailoredLine> {
    let session = writeup::read(text, Library::shipped());
    let who = serde_json::from_str(who).unwrap();
    tailor(&session, &who, Library::shipped()).parts.into_iter().flat_map(|p| p.lines).collect()
}

fn given(text: &str, who: &str) -> Vec<(String, Option<Amount>)> {
    done(text, who).iter().map(|l| (l.given[0].movement.clone(), l.given[0].reps.clone())).collect()
}

#[test]
fn two_dumbbells_that_the_coach_wrote_for_are_taken_and_no_bar_is_missed() {
    let pair = r#"{"level":"intermediate","kit":[{"item":"dumbbell","kg":[12.5],"count":2}]}"#;
    let text = "5 rounds, 2x12.5kg dumbbells\n10 bent over rows\n8 hang power cleans\n8 front squats\n6 push press\n";
    let all = done(text, pair);
    let names: Vec<&str> = all.iter().map(|l| l.given[0].movement.as_str()).collect();
    assert_eq!(names, ["bent-over row", "dumbbell hang clean", "double dumbbell front squat", "dumbbell push press"]);
    for line in &all {
        assert_eq!((&line.given[0].reps, &line.given[0].load), (&line.written.reps, &Some(Load::kg(12.5))), "{}", line.why);
        assert_eq!(line.given[0].implements, Some(2));
        assert!(!line.why.contains("bar,") && line.action <= Action::KeepWithNote, "{}", line.why);
    }
}

#[test]
fn a_bar_is_still_a_bar_where_nothing_speaks_of_two() {
    let all = r#"{"level":"intermediate","kit":[{"item":"dumbbell","kg":[12.5],"count":2},{"item":"barbell","kg":[20],"plates_kg_pairs":[10,5]}]}"#;
    assert_eq!(given("4 x 5 hang power clean 40 kg\n", all)[0].0, "hang power clean");
}

#[test]
fn scaling_that_the_coach_wrote_is_chosen_before_anything_of_ours() {
    let bare = r#"{"level":"intermediate"}"#;
    let hspu = given("4 rounds for time\n10 hspu\n20 air squats\nScale the hspu to pike push ups\n", bare);
    assert_eq!(hspu[0], ("pike push-up".to_owned(), Some(Amount::One(10.0))));
    let jog = done("3 rounds\n400 m run or jogging on the spot\n20 push-ups\n", bare);
    assert_eq!((jog[0].given[0].movement.as_str(), &jog[0].given[0].metres), ("jog in place", &None), "{jog:?}");
    assert!(jog[0].given[0].seconds.is_some());
}

#[test]
fn what_the_coach_wrote_is_not_replaced_by_something_harder() {
    let own = Line { movement: "pike push-up".to_owned(), reps: Some(Amount::One(5.0)), ..Line::default() };
    let line = Line {
        movement: "handstand push-up".to_owned(),
        reps: Some(Amount::One(5.0)),
        alternatives: vec![own],
        ..Line::default()
    };
    let who: Profile = serde_json::from_str(r#"{"level":"advanced","avoid":["inverted"],"kit":[{"item":"chair"}]}"#).unwrap();
    let done = one(line, Intent::Conditioning, &who);
    assert!(Library::shipped().find(&done.given[0].movement).unwrap().skill <= 3, "{done:?}");
}

#[test]
fn a_walk_needs_no_room_to_run_and_a_distance_does() {
    let walk = done("Cool-down\n5 min easy walk\n", r#"{"level":"beginner"}"#);
    assert_eq!(walk[0].given[0].movement, "brisk walk");
    assert!(walk[0].why.contains("on the spot"), "{}", walk[0].why);
    let far = done("Cool-down\n400 m walk\n", r#"{"level":"beginner"}"#);
    assert!(far[0].given[0].metres.is_none() && far[0].given[0].seconds.is_some(), "{far:?}");
}

#[test]
fn an_empty_bar_is_a_load_and_nothing_heavier_stands_in_for_it() {
    let pairs = r#"{"level":"intermediate","kit":[{"item":"dumbbell","kg":[10,20],"count":2}]}"#;
    for line in done("Strength\n5 x 5 back squat, empty bar\n5 x 3 hang power clean, empty bar\n", pairs) {
        let kg = kilograms(line.given[0].load.as_ref()).unwrap() * f64::from(line.given[0].implements.unwrap_or(1));
        assert!(kg <= 20.0, "{line:?}");
        assert!(line.given[0].reps.as_ref().unwrap().low() >= line.written.reps.as_ref().unwrap().low(), "{line:?}");
    }
    let bar = r#"{"level":"intermediate","kit":[{"item":"barbell","kg":[15],"plates_kg_pairs":[5],"rack":true}]}"#;
    assert_eq!(done("Strength\n5 x 5 back squat, empty bar\n", bar)[0].given[0].load, Some(Load::kg(15.0)));
}

#[test]
fn a_heavy_triple_is_built_up_with_dumbbells_too() {
    let pairs = r#"{"level":"intermediate","kit":[{"item":"dumbbell","kg":[10,15,20],"count":2}]}"#;
    let line = &done("Strength\nback squat, build to a heavy 3\n", pairs)[0];
    assert!(matches!(&line.given[0].load, Some(Load::Find(words)) if words.contains("build up")), "{line:?}");
    assert_eq!((&line.given[0].reps, &line.given[0].tempo), (&Some(Amount::One(5.0)), &None));
    assert!(line.why.contains("one heavy set"), "{}", line.why);
}

#[test]
fn a_stand_in_for_a_ride_without_a_dose_says_how_long() {
    for name in ["bike", "stair climb"] {
        let line = Line { movement: name.to_owned(), ..Line::default() };
        let done = one(line, Intent::Conditioning, &serde_json::from_str(r#"{"level":"intermediate"}"#).unwrap());
        assert!(done.given[0].seconds.as_ref().unwrap().low() >= 60.0, "{done:?}");
    }
}

#[test]
fn an_empty_bar_to_start_with_is_not_the_load_of_the_work() {
    let bar = r#"{"level":"intermediate","kit":[{"item":"barbell","kg":[20],"plates_kg_pairs":[10,5],"rack":true}]}"#;
    for text in ["5 x 5 back squat, start with an empty bar", "back squat, build to a heavy 3 from the empty bar"] {
        let line = &done(&format!("Strength\n{text}\n"), bar)[0];
        assert_eq!((line.given[0].movement.as_str(), kilograms(line.given[0].load.as_ref())), ("back squat", None), "{line:?}");
    }
}

#[test]
fn talk_of_building_builds_no_line_up_to_the_heaviest() {
    let pairs = r#"{"level":"beginner","kit":[{"item":"dumbbell","kg":[10,15,20],"count":2}]}"#;
    for talk in ["We are building to a test next month.", "Building blocks for the pull-up.", "build up slowly"] {
        let part = Part {
            intent: Intent::Strength,
            notes: vec![talk.to_owned()],
            lines: ["back squat", "bench press"]
                .map(|m| Line { movement: m.to_owned(), reps: Some(Amount::One(10.0)), ..Line::default() })
                .into(),
            ..Part::default()
        };
        let session = Session { parts: vec![part], ..Session::default() };
        for line in &tailor(&session, &serde_json::from_str(pairs).unwrap(), Library::shipped()).parts[0].lines {
            let told = format!("{} {:?}", line.why, line.given);
            assert!(!told.contains("build up set by set") && !told.contains("one heavy set"), "{talk}: {told}");
        }
    }
}

#[test]
fn a_span_that_comes_to_one_number_is_one_number() {
    let line = Line { movement: "push-up".to_owned(), reps: Some(Amount::Range(10.0, 11.0)), ..Line::default() };
    let who = serde_json::from_str(r#"{"level":"intermediate","kit":[{"item":"dumbbell","kg":[10]}],"avoid":["wrist_load"]}"#);
    for intent in INTENTS {
        let done = one(line.clone(), intent, who.as_ref().unwrap());
        assert!(!matches!(done.given[0].reps, Some(Amount::Range(a, b)) if a >= b), "{done:?}");
    }
}
