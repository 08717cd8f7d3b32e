//! Loads out of what is at home: plates, sizes of the other unit, spans.

use super::*;

#[test]
fn plates_come_with_a_bar() {
    let kit = r#"{"kit":[{"item":"barbell","kg":[20],"plates_kg_pairs":[10,5,2.5]}],"level":"intermediate","known_maxes_kg":{"deadlift":80}}"#;
    let line = Line {
        movement: "deadlift".to_owned(),
        reps: Some(Amount::One(5.0)),
        load: Some(Load::Percent { percent: Amount::One(70.0), of: "1RM".to_owned() }),
        ..Line::default()
    };
    let done = one(line, Intent::Strength, &serde_json::from_str(kit).unwrap());
    assert_eq!((done.given[0].load.clone(), done.plates_per_side_kg), (Some(Load::kg(55.0)), Some(vec![10.0, 5.0, 2.5])));
}

#[test]
fn a_bar_in_pounds_takes_the_usual_twin_of_kilograms() {
    let kit = r#"{"kit":[{"item":"barbell","lb":[45],"plates_lb_pairs":[45,25,10,5,2.5]}],"level":"intermediate"}"#;
    let line = Line {
        movement: "romanian deadlift".to_owned(),
        reps: Some(Amount::One(8.0)),
        load: Some(Load::kg(60.0)),
        ..Line::default()
    };
    let done = one(line, Intent::Strength, &serde_json::from_str(kit).unwrap());
    let plates = Some(vec![45.0]);
    assert_eq!(
        (done.given[0].load.clone(), done.plates_per_side_lb, done.plates_per_side_kg),
        (Some(Load::lb(135.0)), plates, None)
    );
}

fn held(movement: &str, load: Load, kit: &str) -> TailoredLine {
    let line = Line { movement: movement.to_owned(), reps: Some(Amount::One(10.0)), load: Some(load), ..Line::default() };
    one(line, Intent::Strength, &serde_json::from_str(&format!(r#"{{"level":"intermediate","kit":[{kit}]}}"#)).unwrap())
}

#[test]
fn the_size_that_shops_sell_in_the_other_unit_is_the_same_implement() {
    for (movement, written, kit, there) in [
        ("wall ball", Load::kg(9.0), r#"{"item":"med_ball","lb":[14,20]}"#, Load::lb(20.0)),
        ("goblet squat", Load::kg(16.0), r#"{"item":"kettlebell","lb":[35]}"#, Load::lb(35.0)),
        ("goblet squat", Load::lb(35.0), r#"{"item":"dumbbell","kg":[15]}"#, Load::kg(15.0)),
        ("goblet squat", Load::kg(24.0), r#"{"item":"kettlebell","lb":[50,53,55]}"#, Load::lb(53.0)),
    ] {
        let done = held(movement, written, kit);
        let given = &done.given[0];
        let as_much = (given.movement.as_str(), &given.reps, &given.tempo);
        assert_eq!(as_much, (movement, &Some(Amount::One(10.0)), &None), "{}", done.why);
        assert_eq!(given.load, Some(there), "{}", done.why);
        assert!(!done.why.contains("nearest you have"), "{}", done.why);
    }
}

#[test]
fn a_size_that_is_nearer_to_another_is_not_the_same_implement() {
    for (written, kit) in [
        (Load::lb(50.0), r#"{"item":"kettlebell","kg":[16,24]}"#),
        (Load::kg(8.0), r#"{"item":"kettlebell","lb":[15,20]}"#),
        (Load::kg(10.0), r#"{"item":"kettlebell","lb":[15,25]}"#),
        // 35 lb is 5.8 % above
        (Load::kg(15.0), r#"{"item":"kettlebell","lb":[25,35]}"#),
    ] {
        let done = held("goblet squat", written.clone(), kit);
        assert!(kilograms(done.given[0].load.as_ref()) < kilograms(Some(&written)), "{done:?}");
    }
}

#[test]
fn a_span_of_percents_comes_out_as_a_span_of_loads() {
    let kit = r#"{"kit":[{"item":"barbell","kg":[20],"plates_kg_pairs":[20,15,10,5],"rack":true}],"level":"intermediate","known_maxes_kg":{"back squat":100}}"#;
    let line = Line {
        movement: "back squat".to_owned(),
        reps: Some(Amount::One(5.0)),
        load: Some(Load::Percent { percent: Amount::Range(65.0, 75.0), of: "1RM".to_owned() }),
        ..Line::default()
    };
    let done = one(line, Intent::Strength, &serde_json::from_str(kit).unwrap());
    assert_eq!(done.given[0].load, Some(Load::Kg { values: vec![60.0, 70.0], range: true }));
}

#[test]
fn a_written_weight_that_is_not_there_is_said() {
    let line =
        Line { movement: "get-up".to_owned(), reps: Some(Amount::One(3.0)), load: Some(Load::kg(16.0)), ..Line::default() };
    let who: Profile = serde_json::from_str(r#"{"level":"intermediate"}"#).unwrap();
    assert!(one(line, Intent::Technique, &who).why.contains("no weight"));
}

#[test]
fn a_pair_is_not_counted_for_each_side() {
    let line =
        Line { movement: "bent-over row".to_owned(), reps: Some(Amount::One(8.0)), side: Some(Side::PerSide), ..Line::default() };
    let who = serde_json::from_str(r#"{"level":"intermediate","kit":[{"item":"dumbbell","lb":[25],"count":2}]}"#).unwrap();
    let done = one(line, Intent::Strength, &who);
    assert_eq!((done.given[0].implements, done.given[0].side, done.action), (Some(2), None, Action::KeepWithNote), "{done:?}");
    assert!(done.why.contains("both sides work at once"), "{}", done.why);
}

#[test]
fn a_stick_that_is_not_at_home_is_not_asked_for() {
    let line = Line {
        movement: "good morning".to_owned(),
        reps: Some(Amount::One(10.0)),
        load: Some(Load::Stick),
        note: Some("with the stick".to_owned()),
        ..Line::default()
    };
    let who = serde_json::from_str(r#"{"level":"intermediate","kit":[{"item":"chair"}]}"#).unwrap();
    let done = one(line, Intent::Mobility, &who);
    assert_eq!((&done.given[0].load, &done.given[0].note, done.action), (&None, &None, Action::KeepWithNote), "{done:?}");
    assert_eq!(done.why, "You have no stick, so do it without, hands on the chest.");
}

#[test]
fn a_bar_with_all_that_was_written_is_not_asked_for_double_the_reps() {
    let line = Line {
        movement: "back squat".to_owned(),
        reps: Some(Amount::One(6.0)),
        load: Some(Load::Percent { percent: Amount::One(70.0), of: "1RM".to_owned() }),
        ..Line::default()
    };
    let kit = r#"[{"item":"barbell","kg":[20],"plates_kg_pairs":[20,10,5,2.5],"rack":true},{"item":"bench"}]"#;
    let who = format!(r#"{{"level":"intermediate","kit":{kit},"avoid":["deep_knee"],"known_maxes_kg":{{"back squat":100}}}}"#);
    let done = one(line, Intent::Strength, &serde_json::from_str(&who).unwrap());
    assert_eq!((&done.given[0].reps, &done.given[0].load), (&Some(Amount::One(6.0)), &Some(Load::kg(70.0))), "{done:?}");
}

#[test]
fn two_dumbbells_that_are_written_and_not_there_are_what_is_missing() {
    let line = Line {
        movement: "bent-over row".to_owned(),
        reps: Some(Amount::One(8.0)),
        load: Some(Load::kg(15.0)),
        implements: Some(2),
        ..Line::default()
    };
    let done =
        one(line, Intent::Strength, &serde_json::from_str(r#"{"level":"intermediate","kit":[{"item":"chair"}]}"#).unwrap());
    assert!(done.why.starts_with("The bent-over row needs a pair of dumbbells, which you do not have"), "{}", done.why);
}

#[test]
fn plates_in_the_other_unit_say_what_they_come_to() {
    let kit = r#"{"item":"barbell","lb":[45],"plates_lb_pairs":[45,45,25,10],"rack":true}"#;
    let done = held("back squat", Load::kg(100.0), kit);
    assert_eq!(done.given[0].load, Some(Load::lb(225.0)));
    assert_eq!(done.why, "225 lb (102.1 kg) is the nearest that your bar comes to, 2.1 kg more.");
}

#[test]
fn a_pair_stays_a_pair_in_the_other_unit_and_its_words_are_true() {
    let line = Line {
        movement: "dumbbell press".to_owned(),
        reps: Some(Amount::One(8.0)),
        load: Some(Load::kg(15.0)),
        implements: Some(2),
        ..Line::default()
    };
    let who = serde_json::from_str(r#"{"level":"intermediate","kit":[{"item":"dumbbell","lb":[25,35],"count":2}]}"#).unwrap();
    let done = one(line, Intent::Conditioning, &who);
    assert_eq!((&done.given[0].load, done.given[0].implements), (&Some(Load::lb(25.0)), Some(2)));
    assert!(done.why.starts_with("Two of 25 lb (11.3 kg) are the nearest"), "{}", done.why);
}

#[test]
fn burpees_do_not_become_a_handful_of_quick_steps() {
    let line = Line { movement: "burpee".to_owned(), reps: Some(Amount::One(10.0)), ..Line::default() };
    let who = serde_json::from_str(r#"{"level":"intermediate","avoid":["deep_knee"]}"#).unwrap();
    let given = &one(line, Intent::Conditioning, &who).given[0];
    assert!(given.seconds.as_ref().is_some_and(|s| s.low() >= 20.0), "{given:?}");
}
