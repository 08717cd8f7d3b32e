//! A part as one member does it: its lines together, its ladders, and what the coach typed beside them.

use super::*;
use crate::training::writeup;

fn part(text: &str, who: &str) -> Vec<TailoredLine> {
    let session = writeup::read(text, Library::shipped());
    tailor(&session, &serde_json::from_str(who).unwrap(), Library::shipped()).parts.remove(0).lines
}

fn names(lines: &[TailoredLine]) -> Vec<&str> {
    lines.iter().flat_map(|l| &l.given).map(|g| g.movement.as_str()).collect()
}

const SORE_WRIST: &str = r#"{"level":"beginner","kit":[{"item":"dumbbell","kg":[5],"count":2}],"kept_out":{"loads":["wrist"]}}"#;

#[test]
fn two_lines_do_not_become_the_same_one_where_another_is_sound() {
    for text in [
        "21-15-9\nthrusters\nburpees\n",
        "3 rounds\n10 push-ups\n8 burpees\n5 mountain climbers\n",
        "10 min AMRAP\n8 v-ups\n8 sit-ups\n6 pull-ups\n",
    ] {
        for who in [SORE_WRIST, r#"{"level":"beginner","avoid":["supine","wrist_load"]}"#] {
            let done = part(text, who);
            let mut all = names(&done);
            let before = all.len();
            all.sort_unstable();
            all.dedup();
            assert_eq!(all.len(), before, "{text}: {:?}", names(&done));
        }
    }
}

#[test]
fn the_same_line_written_twice_is_the_same_stand_in_twice() {
    let done = part("3 rounds\n8 burpees\n10 air squats\n8 burpees\n", SORE_WRIST);
    assert_eq!(done[0].given, done[2].given);
}

#[test]
fn the_coach_sees_of_such_a_part_what_the_member_gets() {
    let written = writeup::read("3 rounds\n10 push-ups\n8 burpees\n5 mountain climbers\n", Library::shipped());
    let who: Profile = serde_json::from_str(SORE_WRIST).unwrap();
    let seen = Tailor::shipped().coverage(&written, &Group::new([who.clone()]));
    let done = tailor(&written, &who, Library::shipped());
    for (line, place) in done.parts[0].lines.iter().zip(&seen.lines) {
        let variant = place.changes.first().map(|c| &c.variants[0]);
        assert_eq!(
            variant.map_or(line.written.movement.as_str(), |v| v.line.as_ref().unwrap().movement.as_str()),
            line.given[0].movement
        );
        assert_eq!(variant.map_or("", |v| v.why.as_str()), line.why);
    }
}

#[test]
fn someone_new_does_no_more_of_a_long_stand_in_than_was_written() {
    let done = part("21-15-9 for time\nburpees\n", r#"{"level":"beginner","avoid":["wrist_load","impact"]}"#);
    let given = &done[0].given[0];
    assert!(given.movement != "burpee" && given.reps.as_ref().unwrap().high() <= 21.0, "{done:?}");
}

#[test]
fn a_ladder_that_goes_on_climbs_by_the_same_step_whatever_is_done() {
    let text = "Strength\nDB snatch ladder: 2-4-6-8-10-... every min, 20 kg\n";
    let homes = [
        r#"{"level":"intermediate","kit":[{"item":"dumbbell","kg":[10],"count":2}]}"#,
        r#"{"level":"intermediate","kit":[{"item":"kettlebell","kg":[16]}]}"#,
        r#"{"level":"beginner"}"#,
        SORE_WRIST,
    ];
    for (who, text) in homes.iter().flat_map(|who| [(who, text.to_owned()), (who, text.replace("Strength\n", ""))]) {
        let given = part(&text, who)[0].given[0].clone();
        let Some(Amount::Scheme(rungs)) = &given.reps else { continue };
        let step = rungs[1] - rungs[0];
        assert!(given.open && given.step == Some(step) && step > 0.0, "{given:?}");
        assert!(rungs.windows(2).all(|w| (w[1] - w[0] - step).abs() < 1e-9), "{given:?}");
    }
}

#[test]
fn as_many_as_possible_of_another_movement_is_no_number() {
    let line = Line {
        movement: "bench press".to_owned(),
        reps: Some(Amount::One(1.0)),
        max: true,
        load: Some(Load::kg(60.0)),
        ..Line::default()
    };
    let who = serde_json::from_str(r#"{"level":"intermediate","kit":[{"item":"dumbbell","kg":[15],"count":2}]}"#).unwrap();
    let done = one(line, Intent::Strength, &who);
    assert_eq!(
        (done.given[0].movement.as_str(), done.given[0].max, &done.given[0].reps),
        ("floor press", true, &None),
        "{done:?}"
    );
}

#[test]
fn where_one_line_of_a_scored_part_is_left_it_is_not_done_against_the_clock() {
    let text = "10 min AMRAP\n8 push-ups\n10 burpees\n12 air squats\n";
    let who = r#"{"level":"beginner","note":"I hurt my wrist yesterday"}"#;
    let done = part(text, who);
    let left: Vec<&TailoredLine> = done.iter().filter(|l| l.action != Action::Refer).collect();
    assert_eq!((left.len(), left[0].action), (1, Action::KeepWithNote), "{done:?}");
    assert!(left[0].why.contains("all that is left"), "{}", left[0].why);
    // where more is left nothing is said
    assert!(part(text, r#"{"level":"beginner"}"#).iter().all(|l| !l.why.contains("all that is left")));
}

#[test]
fn the_coachs_pace_stays_where_the_movement_is_swapped() {
    let pair = r#"{"level":"intermediate","kit":[{"item":"dumbbell","kg":[15],"count":2}]}"#;
    let own = &part("Front squat 5 x 3 @ 77.5%\nno bar: goblet squat same reps, slow 3 sec down\n", pair)[0];
    assert_eq!((own.given[0].movement.as_str(), own.note()), ("goblet squat", Some("slow 3 sec down")));
    let last = &part("Back squat 3 x 8 60 kg, last set AMRAP\n", pair)[0];
    assert_eq!((last.given[0].movement == "back squat", last.note()), (false, Some("last set AMRAP")));
    let slow = &part("Back squat 3 x 8 60 kg, tempo 32X1\n", pair)[0];
    assert_eq!(slow.given[0].tempo, slow.written.tempo, "{slow:?}");
    // of heavy nothing holds where nothing is held
    let heavy = TailoredLine { written: Line { note: Some("heavy".to_owned()), ..own.written.clone() }, ..own.clone() };
    let bare = Line { load: None, movement: "prone y-t-w".to_owned(), ..Line::default() };
    assert_eq!(TailoredLine { given: vec![bare], ..heavy }.note(), None);
}

#[test]
fn a_hold_against_a_towel_says_what_does_for_one() {
    let curl = |kit: &str| {
        part(
            "DB curl 3 x 12 10 kg\n",
            &format!(r#"{{"level":"intermediate","kit":[{{"item":"dumbbell","kg":[16],"count":2}}{kit}]}}"#),
        )
    };
    let without = curl("");
    assert_eq!(names(&without), ["towel row hold"]);
    assert!(without[0].why.contains("a scarf or a belt"), "{}", without[0].why);
    assert!(!curl(r#",{"item":"towel"}"#)[0].why.contains("a scarf or a belt"));
}

#[test]
fn a_hang_clean_and_jerk_with_a_dumbbell_is_one_lift_with_one_dumbbell() {
    let who = r#"{"level":"intermediate","kit":[{"item":"dumbbell","lb":[35],"count":2}]}"#;
    let done = part("AMRAP 12\n8 DB hang clean & jerk 50/35# (4/side)\n10 air squats\n", who);
    let given = &done[0].given[0];
    assert_eq!(
        (given.movement.as_str(), given.implements, &given.load),
        ("dumbbell hang clean and jerk", None, &Some(Load::lb(35.0))),
        "{done:?}"
    );
    assert!(!done[0].why.contains("bar"), "{}", done[0].why);
}
