//! What the coach decided: pins and rules.

use crate::training::dose::{Amount, Load};
use crate::training::member::{Level, Profile};
use crate::training::movement::{Demand, Implement, Library};
use crate::training::session::{Intent, Line, Part, Session};
use crate::training::tailor::{Action, Group, House, OneForTwo, Pin, Rules, Tailor, TailoredLine, Whom};
use time::macros::date;

fn line(movement: &str, reps: f64, kg: Option<f64>) -> Line {
    let reps = (reps > 0.0).then_some(Amount::One(reps));
    Line { movement: movement.to_owned(), reps, load: kg.map(Load::kg), ..Line::default() }
}

fn session(line: Line, intent: Intent) -> Session {
    Session { parts: vec![Part { intent, lines: vec![line], ..Part::default() }], ..Session::default() }
}

fn home(json: &str) -> Profile {
    serde_json::from_str(json).unwrap()
}

fn pin(whom: Whom, movement: &str, intent: Intent, becomes: Line) -> Pin {
    Pin { id: 7, session: None, whom, movement: movement.to_owned(), intent, becomes }
}

fn given(pins: Vec<Pin>, written: Line, intent: Intent, who: &Profile) -> TailoredLine {
    let house = House { pins, ..House::default() };
    let tailor = Tailor::new(Library::shipped()).in_house(house);
    tailor.tailor(&session(written, intent), who).parts.remove(0).lines.remove(0)
}

const NO_BAR: Whom = Whom::Lacking(Implement::Barbell);

#[test]
fn a_home_without_a_bar_does_what_the_coach_chose_for_it_and_reads_so() {
    let choice = pin(NO_BAR, "back squat", Intent::Strength, line("split squat", 9.0, None));
    let done = given(vec![choice], line("back squat", 5.0, Some(40.0)), Intent::Strength, &home("{}"));
    assert_eq!((done.action, done.pin), (Action::Swap, Some(7)));
    assert_eq!((done.given[0].movement.as_str(), &done.given[0].reps), ("split squat", &Some(Amount::One(9.0))));
    assert_eq!(done.why, "Your coach chose split squat for a home without a bar.");
}

#[test]
fn a_home_with_a_bar_does_not() {
    let choice = pin(NO_BAR, "back squat", Intent::Strength, line("split squat", 9.0, None));
    let who = home(r#"{"kit":[{"item":"barbell","kg":[20],"plates_kg_pairs":[10],"rack":true}],"level":"intermediate"}"#);
    assert_eq!(given(vec![choice], line("back squat", 5.0, Some(40.0)), Intent::Strength, &who).pin, None);
}

#[test]
fn a_choice_without_a_dose_keeps_what_the_part_is_for() {
    let choice = pin(NO_BAR, "thruster", Intent::Conditioning, line("air squat", 0.0, None));
    let done = given(vec![choice], line("thruster", 10.0, Some(30.0)), Intent::Conditioning, &home("{}"));
    assert_eq!(done.given[0].movement, "air squat");
    assert!(done.given[0].reps.is_some(), "{done:?}");
}

#[test]
fn fewer_reps_of_the_written_movement_are_another_version() {
    let choice = pin(Whom::Member(3), "push-up", Intent::Conditioning, line("push-up", 5.0, None));
    let who = Profile { pinned: Some(3), level: Level::Intermediate, ..Profile::default() };
    let done = given(vec![choice], line("push-up", 10.0, None), Intent::Conditioning, &who);
    assert_eq!((done.action, &done.given[0].reps), (Action::Swap, &Some(Amount::One(5.0))));
}

#[test]
fn a_choice_that_breaks_a_limit_is_refused_with_the_reason() {
    let choice = pin(Whom::Member(3), "push-up", Intent::Conditioning, line("burpee", 5.0, None));
    let who = Profile { pinned: Some(3), avoid: vec![Demand::Impact], ..Profile::default() };
    let done = given(vec![choice], line("push-up", 10.0, None), Intent::Conditioning, &who);
    assert_eq!((done.pin, done.refused_pin, done.given[0].movement.as_str()), (None, Some(7), "push-up"));
    assert_eq!(done.action, Action::KeepWithNote);
    assert!(done.why.starts_with("Your coach chose burpee for you, but you keep out jumping and landing."), "{}", done.why);
}

#[test]
fn a_choice_for_strength_is_never_a_bare_stick() {
    let stick = Line { load: Some(Load::Stick), ..line("back squat", 5.0, None) };
    let choice = pin(NO_BAR, "back squat", Intent::Strength, stick);
    let who = home(r#"{"kit":[{"item":"stick"}]}"#);
    let done = given(vec![choice], line("back squat", 5.0, Some(40.0)), Intent::Strength, &who);
    assert_eq!(done.refused_pin, Some(7));
    assert!(done.given.iter().all(|g| g.load != Some(Load::Stick)), "{done:?}");
}

#[test]
fn a_choice_never_weighs_more_than_what_is_written_that_day() {
    let choice = pin(NO_BAR, "back squat", Intent::Strength, line("goblet squat", 8.0, Some(32.0)));
    let who = home(r#"{"kit":[{"item":"kettlebell","kg":[16,32]}],"level":"intermediate"}"#);
    let done = given(vec![choice], line("back squat", 5.0, Some(24.0)), Intent::Strength, &who);
    let kg = done.given[0].load.clone();
    assert!(kg != Some(Load::kg(32.0)), "{done:?}");
}

#[test]
fn what_is_said_of_this_session_and_this_member_goes_first() {
    let always = pin(NO_BAR, "pull-up", Intent::Strength, line("towel row", 8.0, None));
    let today = Pin { session: Some(4), id: 8, ..pin(NO_BAR, "pull-up", Intent::Strength, line("prone w raise", 8.0, None)) };
    let another = Pin { session: Some(5), id: 9, ..today.clone() };
    let own = Pin { session: Some(4), id: 10, whom: Whom::Member(1), ..today.clone() };
    let house = House { pins: vec![always, another, today, own], ..House::default() };
    let order: Vec<i64> = house.in_session(Some(4)).pins.iter().map(|p| p.id).collect();
    assert_eq!(order, [10, 8, 7]);
}

#[test]
fn a_choice_says_who_gets_it_and_who_does_not_and_why() {
    let choice = pin(NO_BAR, "push-up", Intent::Conditioning, line("burpee", 5.0, None));
    let group = Group::new([home("{}"), home(r#"{"avoid":["impact"]}"#), home(r#"{"kit":[{"item":"barbell"}]}"#)]);
    let tailor = Tailor::new(Library::shipped()).in_house(House { pins: vec![choice], ..House::default() });
    let chosen = tailor.chosen(7, &session(line("push-up", 10.0, None), Intent::Conditioning), (0, 0), &group);
    assert_eq!(chosen.given, [0]);
    assert_eq!(chosen.refused, [("keeps out jumping and landing".to_owned(), vec![1])]);
}

fn by_rules(rules: Rules, written: Line, intent: Intent, who: &Profile) -> TailoredLine {
    let house = House { rules, today: Some(date!(2026 - 11 - 25)), ..House::default() };
    let tailor = Tailor::new(Library::shipped()).in_house(house);
    tailor.tailor(&session(written, intent), who).parts.remove(0).lines.remove(0)
}

#[test]
fn a_movement_that_the_coach_never_gives_stands_in_for_nothing_and_stays_where_it_is_written() {
    let written = line("back squat", 5.0, Some(40.0));
    let usual = by_rules(Rules::default(), written.clone(), Intent::Strength, &home("{}")).given[0].movement.clone();
    let rules = Rules { never: vec![usual.clone()], ..Rules::default() };
    assert_ne!(by_rules(rules.clone(), written, Intent::Strength, &home("{}")).given[0].movement, usual);
    assert_eq!(
        by_rules(rules, line(&usual, 8.0, None), Intent::Strength, &home(r#"{"level":"advanced"}"#)).given[0].movement,
        usual
    );
}

#[test]
fn one_weight_for_two_splits_the_count_or_does_it_on_each_side() {
    let who = home(r#"{"kit":[{"item":"dumbbell","kg":[10],"count":1}],"level":"intermediate"}"#);
    let written = Line { implements: Some(2), ..line("dumbbell push press", 12.0, Some(10.0)) };
    let reps = |one_for_two| {
        let rules = Rules { one_for_two, ..Rules::default() };
        by_rules(rules, written.clone(), Intent::Conditioning, &who).given[0].reps.clone()
    };
    assert_eq!(reps(OneForTwo::Split), Some(Amount::One(6.0)));
    assert_eq!(reps(OneForTwo::EachSide), Some(Amount::One(12.0)));
}

#[test]
fn an_old_max_is_told_with_its_age_and_a_young_one_is_not() {
    let who = |day: &str| {
        home(&format!(
            r#"{{"kit":[{{"item":"barbell","kg":[20],"plates_kg_pairs":[20,10]}}],"known_maxes_kg":{{"deadlift":100}},"max_days":{{"deadlift":"{day}"}}}}"#
        ))
    };
    let written =
        Line { load: Some(Load::Percent { percent: Amount::One(70.0), of: "1RM".to_owned() }), ..line("deadlift", 5.0, None) };
    let why = |day| by_rules(Rules::default(), written.clone(), Intent::Strength, &who(day)).why;
    assert!(why("2026-03-01").contains("Your deadlift max is 38 weeks old, from Sun 1 Mar 2026"), "{}", why("2026-03-01"));
    assert!(!why("2026-11-01").contains("weeks old"));
    let strict = Rules { max_age_weeks: 2, ..Rules::default() };
    assert!(by_rules(strict, written.clone(), Intent::Strength, &who("2026-11-01")).why.contains("3 weeks old"));
}

#[test]
fn the_slow_tempo_goes_where_the_coach_does_not_want_it() {
    let who = home(r#"{"kit":[{"item":"dumbbell","kg":[10],"count":1}],"level":"intermediate"}"#);
    let written = line("goblet squat", 5.0, Some(24.0));
    let tempo =
        |slower| by_rules(Rules { slower, ..Rules::default() }, written.clone(), Intent::Strength, &who).given[0].tempo.clone();
    assert!(tempo(true).is_some());
    assert_eq!(tempo(false), None);
}
