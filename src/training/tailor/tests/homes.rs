//! Homes that were served worse than they could be: only a bar, one light weight, two bands, no chair. Common practice, no source,
//! where nothing else is said.

use super::*;

/// One line for a member whose kit and the rest are given in JSON.
fn given(line: Line, intent: Intent, who: &str) -> TailoredLine {
    one(line, intent, &serde_json::from_str(who).unwrap())
}

fn reps(movement: &str, n: f64) -> Line {
    Line { movement: movement.to_owned(), reps: Some(Amount::One(n)), ..Line::default() }
}

/// Two of so many kilograms.
fn two(movement: &str, kg: f64) -> Line {
    Line { load: Some(Load::kg(kg)), implements: Some(2), ..reps(movement, 8.0) }
}

fn percent(movement: &str, n: f64) -> Line {
    Line { load: Some(Load::Percent { percent: Amount::One(n), of: "1RM".to_owned() }), ..reps(movement, 5.0) }
}

fn what(done: &TailoredLine) -> (&str, Option<&Load>) {
    (done.given[0].movement.as_str(), done.given[0].load.as_ref())
}

const BAR: &str = r#"{"item":"barbell","kg":[20],"plates_kg_pairs":[20,10,5,2.5],"rack":true}"#;

#[test]
fn a_home_with_only_a_bar_does_the_bars_lift_with_the_sum_of_the_pair() {
    let who = format!(r#"{{"level":"intermediate","kit":[{BAR}]}}"#);
    for (written, kg, lift, sum) in [
        ("dumbbell push press", 15.0, "push press", 30.0),
        ("dumbbell thruster", 15.0, "thruster", 30.0),
        ("dumbbell press", 15.0, "strict press", 30.0),
        ("seated dumbbell press", 12.5, "strict press", 25.0),
        ("double dumbbell front squat", 20.0, "front squat", 40.0),
        ("dumbbell clean", 15.0, "hang power clean", 30.0),
        ("dumbbell clean and jerk", 20.0, "hang power clean", 40.0),
        ("dumbbell deadlift", 25.0, "deadlift", 50.0),
    ] {
        let done = given(two(written, kg), Intent::Strength, &who);
        assert_eq!(what(&done), (lift, Some(&Load::kg(sum))), "{written}: {}", done.why);
    }
}

#[test]
fn an_empty_bar_that_is_heavier_than_the_pair_is_not_lifted() {
    let who = format!(r#"{{"level":"intermediate","kit":[{BAR}]}}"#);
    let done = given(two("dumbbell press", 8.0), Intent::Strength, &who);
    assert_eq!(what(&done), ("pike push-up", None), "{}", done.why);
}

#[test]
fn a_goblet_squat_is_a_front_squat_with_the_bar_that_is_there() {
    let who = r#"{"level":"intermediate","kit":[{"item":"barbell","kg":[20],"plates_kg_pairs":[10]}]}"#;
    let line = Line { load: Some(Load::kg(24.0)), ..reps("goblet squat", 8.0) };
    let done = given(line, Intent::Strength, who);
    assert_eq!(what(&done), ("front squat", Some(&Load::kg(20.0))), "{}", done.why);
}

#[test]
fn one_weight_still_comes_before_a_bar() {
    let who = format!(r#"{{"level":"intermediate","kit":[{BAR},{{"item":"dumbbell","kg":[15]}}]}}"#);
    let done = given(two("dumbbell press", 15.0), Intent::Strength, &who);
    assert_eq!(what(&done), ("single-arm dumbbell press", Some(&Load::kg(15.0))), "{}", done.why);
}

#[test]
fn a_weight_that_is_far_too_light_for_both_legs_is_held_on_one() {
    let maxes = r#""level":"intermediate","known_maxes_kg":{"back squat":110}"#;
    for (line, kit, movement) in [
        (percent("back squat", 80.0), r#"{"item":"dumbbell","kg":[8]}"#, "split squat"),
        (
            Line { load: Some(Load::kg(100.0)), ..reps("deadlift", 5.0) },
            r#"{"item":"dumbbell","kg":[10]}"#,
            "single-leg romanian deadlift",
        ),
        (
            Line { load: Some(Load::kg(60.0)), ..reps("bench press", 5.0) },
            r#"{"item":"dumbbell","kg":[8],"count":2}"#,
            "close-grip push-up",
        ),
        (
            Line { load: Some(Load::kg(40.0)), ..reps("strict press", 5.0) },
            r#"{"item":"dumbbell","kg":[6],"count":2}"#,
            "pike push-up",
        ),
    ] {
        let done = given(line, Intent::Strength, &format!(r#"{{{maxes},"kit":[{kit}]}}"#));
        assert_eq!(done.given[0].movement, movement, "{}", done.why);
    }
}

#[test]
fn a_weight_that_is_heavy_enough_stays_on_both_legs() {
    let who = r#"{"level":"intermediate","known_maxes_kg":{"back squat":110},"kit":[{"item":"kettlebell","kg":[32]}]}"#;
    let done = given(percent("back squat", 80.0), Intent::Strength, who);
    assert_eq!(what(&done), ("goblet squat", Some(&Load::kg(32.0))), "{}", done.why);
}

#[test]
fn of_two_bands_strength_pulls_against_the_heavy_one() {
    let bands = r#"{"item":"band","tension":"light","anchor":true},{"item":"band","tension":"heavy","anchor":true}"#;
    let done = given(reps("pull-up", 5.0), Intent::Strength, &format!(r#"{{"level":"intermediate","kit":[{bands}]}}"#));
    assert_eq!(what(&done), ("band pull-down", Some(&Load::Band("heavy".to_owned()))), "{}", done.why);
    let who = format!(r#"{{"level":"beginner","kit":[{bands},{{"item":"pullup_bar"}}]}}"#);
    let done = given(reps("pull-up", 5.0), Intent::Strength, &who);
    assert_eq!(what(&done), ("band-assisted pull-up", Some(&Load::Band("heavy".to_owned()))), "{}", done.why);
}

/// Percent without a max: effort, no number.
#[test]
fn the_max_of_another_lift_gives_no_number() {
    let kit = format!(r#"{BAR},{{"item":"bench"}}"#);
    for (lift, max, avoid, movement) in
        [("clean and jerk", 125.0, "grip", "push press"), ("bench press", 140.0, "shoulder_load", "bent-over row")]
    {
        let who = format!(r#"{{"level":"advanced","kit":[{kit}],"avoid":["{avoid}"],"known_maxes_kg":{{"{lift}":{max}}}}}"#);
        let done = given(percent(lift, 80.0), Intent::Strength, &who);
        assert_eq!(done.given[0].movement, movement, "{}", done.why);
        assert!(matches!(done.given[0].load, Some(Load::Find(_))), "{:?}", done.given);
        assert!(done.why.contains("your max is of another lift"), "{}", done.why);
    }
}

#[test]
fn the_max_of_the_weaker_press_stays_a_ceiling_for_the_stronger() {
    let who = format!(r#"{{"level":"advanced","kit":[{BAR}],"avoid":["overhead"],"known_maxes_kg":{{"push press":75}}}}"#);
    let done = given(percent("push press", 80.0), Intent::Strength, &who);
    assert_eq!(what(&done), ("floor press", Some(&Load::kg(60.0))), "{}", done.why);
}

#[test]
fn a_push_that_is_far_heavier_than_the_written_weight_is_not_given_for_it() {
    let pair = r#"{"level":"intermediate","kit":[{"item":"dumbbell","kg":[12.5],"count":2},{"item":"bench"}]}"#;
    let done = given(two("dumbbell bench press", 10.0), Intent::Strength, pair);
    assert_eq!((done.given[0].movement.as_str(), &done.given[0].tempo), ("hands-raised push-up", &None), "{}", done.why);
    let bar = format!(r#"{{"level":"beginner","kit":[{BAR}]}}"#);
    let light = Line { load: Some(Load::kg(15.0)), ..reps("strict press", 8.0) };
    assert_eq!(given(light, Intent::Strength, &bar).given[0].movement, "wall push-up");
}

#[test]
fn trunk_work_has_a_version_on_the_feet_where_the_floor_is_kept_out_and_no_chair_is_there() {
    let who = r#"{"level":"intermediate","avoid":["floor_start"],"kit":[]}"#;
    for name in ["sit-up", "crunch", "plank", "side plank", "dead bug", "bird dog", "high plank", "shoulder tap", "v-up"] {
        let m = Library::shipped().find(name).unwrap();
        let hold = m.unit == crate::training::movement::Unit::Seconds;
        let line = if hold {
            Line { movement: name.to_owned(), seconds: Some(Amount::One(30.0)), ..Line::default() }
        } else {
            reps(name, 12.0)
        };
        let done = given(line, Intent::Conditioning, who);
        assert_ne!(done.action, Action::Refer, "{name}: {}", done.why);
    }
}

#[test]
fn a_seated_stretch_is_not_given_to_who_has_no_seat_and_keeps_the_floor_out() {
    let stretch = |kit: &str| {
        let who = format!(r#"{{"avoid":["floor_start"],"kit":[{kit}]}}"#);
        given(reps("cat-cow", 8.0), Intent::Mobility, &who).given[0].movement.clone()
    };
    assert_eq!(stretch(r#"{"item":"chair"}"#), "seated cat-cow");
    assert_eq!(stretch(""), "slow roll-down");
}

#[test]
fn who_cannot_do_a_pull_up_stays_at_the_bar() {
    let door = r#"{"level":"intermediate","kit":[{"item":"doorway_bar"},{"item":"chair"}]}"#;
    let done = given(reps("jumping pull-up", 12.0), Intent::Conditioning, door);
    assert_eq!(done.given[0].movement, "scapular pull-up", "{}", done.why);
    let fixed = r#"{"level":"intermediate","note":"cannot do pull-ups yet","kit":[{"item":"pullup_bar"},{"item":"chair"}]}"#;
    let done = given(reps("pull-up", 8.0), Intent::Conditioning, fixed);
    assert_eq!(done.given[0].movement, "slow-lower pull-up", "{}", done.why);
}

#[test]
fn rows_for_pull_ups_keep_the_whole_count_split_between_the_sides() {
    let who = r#"{"level":"intermediate","kit":[{"item":"dumbbell","kg":[20]}]}"#;
    let done = given(reps("pull-up", 30.0), Intent::Conditioning, who);
    let line = &done.given[0];
    assert_eq!((&line.reps, line.side), (&Some(Amount::One(15.0)), Some(Side::PerSide)), "{}", done.why);
}

#[test]
fn a_pistol_squat_without_a_deep_bend_is_done_on_a_step_before_it_is_a_bridge() {
    let who = r#"{"level":"advanced","avoid":["deep_knee"],"kit":[{"item":"chair"}]}"#;
    let done = given(reps("pistol squat", 6.0), Intent::Strength, who);
    assert_eq!(done.given[0].movement, "step-up", "{}", done.why);
}

#[test]
fn a_squat_that_they_wrote_they_keep_shallow_goes_to_a_chair_and_the_coach_hears_of_it() {
    let who = r#"{"note":"can only squat to a chair","kit":[{"item":"chair"}]}"#;
    let done = given(reps("air squat", 20.0), Intent::Conditioning, who);
    assert_eq!((done.given[0].movement.as_str(), done.tell_coach), ("chair squat", true), "{}", done.why);
}

#[test]
fn a_jump_that_is_kept_quiet_stays_as_many_and_fast() {
    let who = r#"{"level":"intermediate","avoid":["impact","noise"],"kit":[]}"#;
    let done = given(reps("jump squat", 8.0), Intent::Strength, who);
    assert_eq!((done.given[0].movement.as_str(), &done.given[0].reps), ("air squat", &Some(Amount::One(8.0))));
    assert!(done.why.contains("fast on the way up"), "{}", done.why);
}

#[test]
fn what_cannot_be_as_hard_is_not_said_to_be() {
    let wrists = r#"{"level":"intermediate","avoid":["wrist_load"],"kit":[]}"#;
    let done = given(reps("push-up", 12.0), Intent::Strength, wrists);
    assert!(!done.why.contains("the effort stays"), "{}", done.why);
    let most = Line { movement: "push-up".to_owned(), max: true, ..Line::default() };
    assert!(given(most, Intent::Strength, wrists).why.contains("as many as you can"));
}

#[test]
fn a_hold_to_the_end_stays_a_hold() {
    let who = r#"{"level":"intermediate","avoid":["prone"],"kit":[]}"#;
    let most = Line { movement: "plank".to_owned(), max: true, ..Line::default() };
    let done = given(most, Intent::Conditioning, who);
    let m = Library::shipped().find(&done.given[0].movement).unwrap();
    assert_eq!(m.unit, crate::training::movement::Unit::Seconds, "{}", done.why);
}

#[test]
fn a_hinge_that_is_named_for_a_stick_says_what_does_for_it() {
    let line = Line { load: Some(Load::Stick), ..reps("power clean", 3.0) };
    let done = given(line, Intent::Technique, r#"{"level":"intermediate","kit":[]}"#);
    assert_eq!(done.given[0].movement, "stick hinge");
    assert!(done.why.contains("No stick is needed"), "{}", done.why);
}

/// No skill above the ceiling, and practice with a stick is one step easier.
#[test]
fn a_stick_does_not_lift_a_beginner_two_steps() {
    let who = r#"{"level":"beginner","kit":[{"item":"stick"}]}"#;
    let done = given(reps("snatch balance", 3.0), Intent::Technique, who);
    let m = Library::shipped().find(&done.given[0].movement).unwrap();
    assert!(m.skill <= 4 && done.action == Action::Swap, "{}: {}", m.name, done.why);
}

#[test]
fn what_a_rule_strikes_out_is_explained_with_the_rule() {
    let part = Part { intent: Intent::Strength, lines: vec![reps("strict press", 5.0)], ..Part::default() };
    let session = Session { parts: vec![part], ..Session::default() };
    let who: Profile = serde_json::from_str(r#"{"avoid":["overhead"],"kit":[]}"#).unwrap();
    let all = Tailor::shipped().explain(&session, &who);
    let rule = |name: &str| all[0].struck.iter().find(|s| s.movement == name).map(|s| s.rule.clone());
    assert_eq!(rule("strict press").as_deref(), Some("keeps out arms overhead"));
    assert_eq!(rule("floor press").as_deref(), Some("has not got a pair of dumbbells for the floor press"));
    assert_eq!(rule("push-up"), None);
}

/// 42 kg are written for both arms: 20 in one hand are nearer to that than 12.
#[test]
fn a_weight_that_is_a_little_harder_is_nearer_than_one_that_is_far_too_light() {
    let press = |kg: &str| {
        let who = format!(
            r#"{{"level":"intermediate","known_maxes_kg":{{"strict press":52.5}},"kit":[{{"item":"kettlebell","kg":[{kg}]}}]}}"#
        );
        given(percent("strict press", 80.0), Intent::Strength, &who)
    };
    let done = press("12, 20");
    assert_eq!(what(&done), ("single-arm dumbbell press", Some(&Load::kg(20.0))), "{}", done.why);
    assert!(done.given[0].reps.as_ref().unwrap().high() <= 5.0);
    // never above what was written for one hand
    assert_eq!(what(&press("12, 24")).1, Some(&Load::kg(12.0)));
}

const BAR_ONLY: &str =
    r#"{"level":"intermediate","kit":[{"item":"barbell","kg":[20],"plates_kg_pairs":[20,10,5,2.5,1.25],"rack":true}]}"#;

/// Where the empty bar is above what keeps the effort, it alone may be lifted: no plate goes on up to the written weight.
#[test]
fn a_weaker_lift_has_no_plates_up_to_the_weight_of_the_stronger() {
    let who =
        r#"{"level":"intermediate","avoid":["impact"],"kit":[{"item":"barbell","kg":[20],"plates_kg_pairs":[5,2.5,1.25]}]}"#;
    let line = Line { load: Some(Load::kg(24.0)), ..reps("split jerk", 3.0) };
    let done = given(line, Intent::Strength, who);
    assert_eq!(what(&done).1, Some(&Load::kg(20.0)), "{:?}: {}", what(&done), done.why);
}

/// Two that are only our guess are never added up on a bar: the written weight may have been the bar's.
#[test]
fn no_bar_is_heavier_than_written_where_nobody_said_two() {
    let profile: Profile = serde_json::from_str(BAR_ONLY).unwrap();
    let a_bars = |m: &&Movement| m.equipment.iter().any(|set| set.contains(&Implement::Barbell));
    for m in Library::shipped().all().iter().filter(a_bars) {
        for kg in [22.0, 26.0, 28.0, 29.0, 40.0] {
            let line = Line { load: Some(Load::kg(kg)), ..reps(&m.name, 3.0) };
            let done = one(line, Intent::Strength, &profile);
            for given in &done.given {
                if let Some(Load::Kg { values, .. }) = &given.load {
                    let most = values.iter().copied().fold(0.0, f64::max);
                    assert!(most <= kg * 1.025 + 1e-9, "{} {kg} kg: {} {most} kg", m.name, given.movement);
                }
            }
        }
    }
}
