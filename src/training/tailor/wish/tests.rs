//! What a member says at a line, and what the line comes to.

use super::*;
use crate::training::movement::Library;

fn session() -> Session {
    serde_json::from_str(
        r#"{"parts":[{"intent":"conditioning","format":"for_time","score":"time","lines":[
            {"movement":"goblet squat","reps":12,"load":{"kg":24}},
            {"movement":"push-up","reps":10},
            {"movement":"jumping jack","reps":40}]}]}"#,
    )
    .unwrap()
}

fn home(kg: &str) -> Profile {
    serde_json::from_str(&format!(r#"{{"level":"intermediate","kit":[{{"item":"kettlebell","kg":{kg},"count":1}}]}}"#)).unwrap()
}

fn said_at(line: usize, wish: Wish, profile: &Profile) -> TailoredLine {
    let session = session();
    let movement = session.parts[0].lines[line].movement.clone();
    let wishes = [Wished { part: 0, line, movement, wish }];
    Tailor::shipped().tailor_wished(&session, profile, &wishes).parts[0].lines[line].clone()
}

#[test]
fn every_key_is_read_back() {
    for wish in Wish::OFFERED.into_iter().chain([Wish::HurtsOther]) {
        assert_eq!(Wish::from_key(wish.key()), Some(wish));
    }
    assert_eq!(Wish::from_key("bored"), None);
}

#[test]
fn too_heavy_is_the_next_lighter_weight_at_home() {
    let done = said_at(0, Wish::TooHeavy, &home("[12,16,24]"));
    assert_eq!((done.given[0].movement.as_str(), &done.given[0].load), ("goblet squat", &Some(Load::kg(16.0))));
    assert_eq!((done.action, done.written.load.clone()), (Action::Swap, Some(Load::kg(24.0))));
    assert!(done.why.starts_with("You said it is too heavy today."), "{}", done.why);
}

#[test]
fn too_heavy_without_a_lighter_weight_is_an_easier_movement() {
    for line in [0, 1] {
        let done = said_at(line, Wish::TooHeavy, &home("[24]"));
        let before = &session().parts[0].lines[line].movement;
        assert!(done.given.iter().all(|g| g.movement != *before), "{:?}", done.given);
        assert_ne!(done.why, "");
    }
}

#[test]
fn too_loud_gives_nothing_that_lands_or_makes_noise() {
    let done = said_at(2, Wish::TooLoud, &home("[24]"));
    let m = Library::shipped().find(&done.given[0].movement).unwrap();
    assert!(!m.asks(Demand::Noise) && !m.asks(Demand::Impact), "{}", m.name);
}

#[test]
fn no_kit_leaves_the_floor_and_what_needs_none_as_it_is() {
    let done = said_at(0, Wish::NoKit, &home("[24]"));
    assert!(done.given[0].load.is_none() && done.action == Action::Swap, "{done:?}");
    let push_up = said_at(1, Wish::NoKit, &home("[24]"));
    assert_eq!((push_up.given[0].movement.as_str(), push_up.action), ("push-up", Action::KeepWithNote));
}

#[test]
fn what_hurt_at_one_line_is_not_given_at_another_that_day() {
    let session: Session = serde_json::from_str(
        r#"{"parts":[{"intent":"conditioning","format":"amrap","lines":[{"movement":"push-up","reps":10}]},
            {"intent":"conditioning","format":"rounds","rounds":3,"lines":[{"movement":"air squat","reps":10},{"movement":"push-up","reps":5}]}]}"#,
    )
    .unwrap();
    let given = |wish| {
        let wishes = [Wished { part: 0, line: 0, movement: "push-up".to_owned(), wish }];
        let done = Tailor::shipped().tailor_wished(&session, &home("[24]"), &wishes);
        let names = |l: &TailoredLine| l.given.iter().map(|g| g.movement.clone()).collect::<Vec<_>>();
        done.parts[1].lines.iter().map(names).collect::<Vec<_>>()
    };
    assert_eq!(given(Wish::Hurts), [vec!["air squat".to_owned()], vec![]]);
    assert_eq!(given(Wish::TooHeavy)[1], ["push-up"], "any other word is about its line alone");
    assert!(!given(Wish::HurtsOther)[1].contains(&"push-up".to_owned()));
}

#[test]
fn what_hurts_gives_nothing_until_something_else_is_asked_for() {
    let stop = said_at(1, Wish::Hurts, &home("[24]"));
    assert_eq!((stop.action, stop.given.len(), stop.tell_coach), (Action::Refer, 0, true));
    let other = said_at(1, Wish::HurtsOther, &home("[24]"));
    let hurt = &Library::shipped().find("push-up").unwrap().demands;
    for g in &other.given {
        let m = Library::shipped().find(&g.movement).unwrap();
        assert!(hurt.iter().all(|d| !m.asks(*d)), "{} asks the same", m.name);
    }
    assert!(other.tell_coach);
}

fn of(line: &str, who: &str, wish: Wish) -> TailoredLine {
    let session: Session =
        serde_json::from_str(&format!(r#"{{"parts":[{{"intent":"strength","format":"sets","lines":[{line}]}}]}}"#)).unwrap();
    let movement = session.parts[0].lines[0].movement.clone();
    let profile = serde_json::from_str(who).unwrap();
    let wishes = [Wished { part: 0, line: 0, movement, wish }];
    Tailor::shipped().tailor_wished(&session, &profile, &wishes).parts[0].lines[0].clone()
}

#[test]
fn too_heavy_takes_the_next_load_that_can_be_built() {
    let bar = r#"{"level":"intermediate","kit":[{"item":"barbell","kg":[20],"plates_kg_pairs":[10,5,5,2.5,1.25],"rack":true}]}"#;
    let squat = r#"{"movement":"back squat","reps":5,"load":{"kg":60}}"#;
    assert_eq!(of(squat, bar, Wish::TooHeavy).given[0].load, Some(Load::kg(55.0)));
    let pairs = r#"{"level":"intermediate","kit":[{"item":"dumbbell","kg":[10,12.5,15,17.5,20],"count":2}]}"#;
    let press = r#"{"movement":"dumbbell press","reps":8,"load":{"kg":20},"implements":2}"#;
    let done = of(press, pairs, Wish::TooHeavy);
    assert_eq!((&done.given[0].load, done.given[0].implements), (&Some(Load::kg(17.5)), Some(2)), "{}", done.why);
    assert_eq!(done.given[0].reps, Some(crate::training::dose::Amount::One(8.0)));
}

#[test]
fn too_heavy_where_the_load_is_chosen_by_effort_is_a_lighter_one_and_the_same_movement() {
    let home = r#"{"level":"intermediate","kit":[{"item":"dumbbell","kg":[10,12.5,15],"count":2}]}"#;
    let done = of(r#"{"movement":"dumbbell press","reps":8,"load":{"rpe":8}}"#, home, Wish::TooHeavy);
    assert_eq!(done.given[0].movement, "dumbbell press");
    assert!(done.why.contains("next lighter"), "{}", done.why);
}

#[test]
fn where_nothing_is_loud_or_large_the_line_stays_and_says_so() {
    for (wish, words) in [(Wish::TooLoud, "Nothing in this one jumps"), (Wish::NoRoom, "no room to move about in")] {
        let done = said_at(1, wish, &home("[24]"));
        assert_eq!((done.given[0].movement.as_str(), done.action), ("push-up", Action::KeepWithNote));
        assert!(done.why.contains(words) && done.why.contains("ask your coach"), "{}", done.why);
    }
}

#[test]
fn what_is_said_at_a_line_is_not_told_as_a_limit_of_theirs() {
    for (line, wish) in [(2, Wish::TooLoud), (1, Wish::HurtsOther), (0, Wish::HurtsOther)] {
        let done = said_at(line, wish, &home("[24]"));
        assert!(!done.why.contains("keep out"), "{}", done.why);
    }
}

#[test]
fn where_a_person_decides_no_wish_gives_a_line_back() {
    let expecting = Profile { note: Some("I am pregnant".to_owned()), ..home("[24]") };
    for wish in Wish::OFFERED.into_iter().chain([Wish::HurtsOther]) {
        assert_eq!(said_at(0, wish, &expecting).action, Action::Refer, "{wish:?}");
    }
}

#[test]
fn a_wish_about_another_movement_than_is_written_now_changes_nothing() {
    let old = Wished { part: 0, line: 0, movement: "thruster".to_owned(), wish: Wish::Hurts };
    let profile = home("[24]");
    let plain = super::super::tailor(&session(), &profile, Library::shipped());
    assert_eq!(Tailor::shipped().tailor_wished(&session(), &profile, &[old]), plain);
}

#[test]
fn too_heavy_without_a_lighter_weight_keeps_the_time_and_the_pattern() {
    let session: Session = serde_json::from_str(
        r#"{"parts":[{"intent":"conditioning","format":"for_time","score":"time","lines":[
            {"movement":"kettlebell swing","reps":15,"load":{"kg":24}}]}]}"#,
    )
    .unwrap();
    let wishes = [Wished { part: 0, line: 0, movement: "kettlebell swing".to_owned(), wish: Wish::TooHeavy }];
    let done = Tailor::shipped().tailor_wished(&session, &home("[24]"), &wishes).parts[0].lines[0].clone();
    let (given, library) = (&done.given[0], Library::shipped());
    let pattern = |name: &str| library.find(name).unwrap().pattern;
    assert_eq!(pattern(&given.movement), pattern("kettlebell swing"), "{done:?}");
    let seconds = |line: &Line| crate::training::pace::line(line, library).typical_s;
    let longer = seconds(given) / seconds(&session.parts[0].lines[0]);
    assert!(given.side.is_none() && longer <= 1.25, "{longer}: {done:?}");
}

#[test]
fn too_heavy_never_brings_a_weight_to_a_line_that_has_none() {
    let press = r#"{"movement":"dumbbell press","reps":10,"load":{"kg":10},"implements":2}"#;
    let done = of(press, r#"{"level":"intermediate","kit":[{"item":"kettlebell","kg":[24]}]}"#, Wish::TooHeavy);
    assert!(done.given.iter().all(|g| g.load.is_none()), "{done:?}");
}

#[test]
fn too_heavy_takes_what_the_coach_wrote_for_it() {
    let pull_up = r#"{"movement":"pull-up","reps":5,"alternatives":[{"movement":"inverted row","reps":8}]}"#;
    let who = r#"{"level":"advanced","kit":[{"item":"pullup_bar"},{"item":"rings"}]}"#;
    let done = of(pull_up, who, Wish::TooHeavy);
    assert_eq!(done.given[0].movement, "inverted row", "{}", done.why);
}

fn in_part(intent: &str, line: &str, who: &str) -> TailoredLine {
    let session: Session =
        serde_json::from_str(&format!(r#"{{"parts":[{{"intent":"{intent}","format":"rounds","rounds":5,"lines":[{line}]}}]}}"#))
            .unwrap();
    let movement = session.parts[0].lines[0].movement.clone();
    let wishes = [Wished { part: 0, line: 0, movement, wish: Wish::TooHeavy }];
    Tailor::shipped().tailor_wished(&session, &serde_json::from_str(who).unwrap(), &wishes).parts[0].lines[0].clone()
}

#[test]
fn too_heavy_keeps_the_word_on_how_low_the_step_is() {
    let who = |kg: &str| {
        format!(
            r#"{{"level":"beginner","avoid":["deep_knee"],"kit":[{{"item":"chair"}},{{"item":"dumbbell","kg":[{kg}],"count":2}}]}}"#
        )
    };
    // the easier movement, and the same one with the next lighter pair
    for kg in ["15", "10,15"] {
        let done = in_part("conditioning", r#"{"movement":"step-up","reps":10,"load":{"kg":15},"implements":2}"#, &who(kg));
        let set_height = ["step-up", "low step-up", "chair squat"].contains(&done.given[0].movement.as_str());
        assert!(set_height && done.why.contains("less than a right angle"), "{kg}: {done:?}");
    }
}

#[test]
fn too_heavy_keeps_the_hands_on_a_chair() {
    let shelf = &Tailor::shipped().shelf;
    let mut raised = 0;
    for (avoid, written) in
        ["prone", "deep_knee", "floor_start"].iter().flat_map(|a| shelf.library.all().iter().map(move |m| (a, m)))
    {
        let who = format!(r#"{{"level":"intermediate","avoid":["{avoid}"],"kit":[{{"item":"chair"}}]}}"#);
        let done = in_part("conditioning", &format!(r#"{{"movement":"{}","reps":10}}"#, written.name), &who);
        let lowered = done.given.iter().any(|g| shelf.library.position(&g.movement).is_some_and(|at| shelf.entries[at].lowered));
        raised += usize::from(lowered);
        assert!(!lowered || done.why.contains("hands on a sturdy chair"), "{}: {done:?}", written.name);
    }
    assert!(raised > 0);
}

#[test]
fn the_coachs_swap_after_too_heavy_is_cut_for_a_short_day_like_any_other() {
    let pull_up = r#"{"movement":"pull-up","reps":5,"alternatives":[{"movement":"inverted row","reps":8}]}"#;
    let who = r#"{"level":"advanced","note":"less today please","kit":[{"item":"pullup_bar"},{"item":"rings"}]}"#;
    let done = in_part("strength", pull_up, who);
    assert_eq!(done.given[0].movement, "inverted row", "{}", done.why);
    assert!(done.why.contains("3 of the 5 rounds"), "{}", done.why);
}

#[test]
fn one_lighter_weight_in_the_place_of_a_pair_is_for_one_arm_at_a_time_and_says_so() {
    let who =
        r#"{"level":"intermediate","kit":[{"item":"dumbbell","kg":[20],"count":2},{"item":"dumbbell","kg":[15],"count":1}]}"#;
    let press = |intent: &str| in_part(intent, r#"{"movement":"floor press","reps":10,"load":{"kg":20},"implements":2}"#, who);
    for (intent, most) in [("strength", 10.0), ("conditioning", 5.0)] {
        let done = press(intent);
        let given = &done.given[0];
        assert_eq!(
            (given.movement.as_str(), &given.load, given.implements),
            ("floor press", &Some(Load::kg(15.0)), None),
            "{done:?}"
        );
        assert_eq!(given.side, Some(crate::training::dose::Side::PerSide), "{done:?}");
        assert!(given.reps.as_ref().unwrap().high() <= most && done.why.contains("one arm at a time"), "{done:?}");
    }
}

#[test]
fn pounds_and_kilograms_are_compared_as_what_they_weigh() {
    let who = r#"{"level":"intermediate","kit":[{"item":"kettlebell","kg":[14]},{"item":"kettlebell","lb":[35]}]}"#;
    let done = in_part("conditioning", r#"{"movement":"goblet squat","reps":12,"load":{"lb":35}}"#, who);
    assert_eq!((done.given[0].movement.as_str(), &done.given[0].load), ("goblet squat", &Some(Load::kg(14.0))), "{done:?}");
}

#[test]
fn nothing_that_is_only_given_where_it_is_written_is_the_easier_one() {
    let shelf = &Tailor::shipped().shelf;
    let only_written = |name: &str| shelf.library.position(name).is_some_and(|at| shelf.entries[at].never_given);
    for (written, easier) in [("crab walk", "reverse plank"), ("lateral band walk", "clamshell")] {
        assert!(only_written(easier));
        let who = r#"{"level":"advanced","kit":[{"item":"band","tension":"light"},{"item":"run_space"}]}"#;
        let done = in_part("conditioning", &format!(r#"{{"movement":"{written}","seconds":30}}"#), who);
        assert!(done.given.iter().all(|g| !only_written(&g.movement)), "{done:?}");
    }
}

#[test]
fn no_room_for_a_step_out_is_something_that_stays_in_its_place() {
    let shelf = &Tailor::shipped().shelf;
    for (intent, name) in [("mobility", "lunge with rotation"), ("conditioning", "forward lunge"), ("strength", "reverse lunge")]
    {
        let session: Session = serde_json::from_str(&format!(
            r#"{{"parts":[{{"intent":"{intent}","format":"rounds","rounds":2,"lines":[{{"movement":"{name}","reps":10}}]}}]}}"#
        ))
        .unwrap();
        let wishes = [Wished { part: 0, line: 0, movement: name.to_owned(), wish: Wish::NoRoom }];
        let done = Tailor::shipped().tailor_wished(&session, &home("[24]"), &wishes).parts[0].lines[0].clone();
        let steps = done.given.iter().any(|g| shelf.entries[shelf.library.position(&g.movement).unwrap()].long_step);
        assert!(!steps && !done.given.is_empty(), "{done:?}");
    }
}

#[test]
fn what_is_said_at_a_line_brings_no_second_of_what_the_part_has() {
    let session: Session = serde_json::from_str(
        r#"{"parts":[{"intent":"conditioning","format":"rounds","rounds":3,"lines":[
            {"movement":"air squat","reps":10},{"movement":"jump squat","reps":10}]}]}"#,
    )
    .unwrap();
    let said = |part: usize| [Wished { part: 0, line: part, movement: "jump squat".to_owned(), wish: Wish::TooLoud }];
    let done = Tailor::shipped().tailor_wished(&session, &home("[24]"), &said(1)).parts[0].lines[1].clone();
    assert!(done.given[0].movement != "jump squat" && done.given[0].movement != "air squat", "{done:?}");
    // where nothing else of the part has it, it is the air squat
    let mut alone = session;
    alone.parts[0].lines.remove(0);
    let done = Tailor::shipped().tailor_wished(&alone, &home("[24]"), &said(0)).parts[0].lines[0].clone();
    assert_eq!(done.given[0].movement, "air squat", "{done:?}");
}
