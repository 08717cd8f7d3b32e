//! Ways in which coaches write, each tried on texts of other words than those it was met in.

use super::read;
use crate::training::dose::{Amount, Load};
use crate::training::movement::Library;
use crate::training::session::{Line, Part, Severity};

fn amount(a: &Amount) -> String {
    a.values().iter().map(ToString::to_string).collect::<Vec<_>>().join("-")
}

fn line(l: &Line) -> String {
    let counted = [(&l.reps, ""), (&l.seconds, "s"), (&l.metres, "m"), (&l.calories, "cal")];
    let dose = counted.iter().find_map(|(a, unit)| a.as_ref().map(|a| format!("{}{unit} ", amount(a)))).unwrap_or_default();
    let load = match &l.load {
        Some(Load::Kg { values, .. }) => format!(" @{}", values.iter().map(ToString::to_string).collect::<Vec<_>>().join("/")),
        _ => String::new(),
    };
    format!("{dose}{}{load}", l.movement)
}

/// One part in a few words: `rounds 3 rest 60: 10 air squat, 5 push-up`.
fn part(p: &Part) -> String {
    let rounds = p.rounds.as_ref().map(|r| format!(" {}", amount(r))).unwrap_or_default();
    let lasts = p.duration_s.map(|s| format!(" for {s}")).unwrap_or_default();
    let rest = p.rest_s.as_ref().map(|r| format!(" rest {}", amount(r))).unwrap_or_default();
    let format = format!("{:?}", p.format).to_lowercase();
    format!("{format}{rounds}{lasts}{rest}: {}", p.lines.iter().map(line).collect::<Vec<_>>().join(", "))
}

/// Every part of a write-up that is read without a mistake in it.
fn told(text: &str) -> Vec<String> {
    let session = read(text, Library::shipped());
    let blocked: Vec<_> = session.problems.iter().filter(|p| p.severity == Severity::Error).collect();
    assert!(blocked.is_empty(), "{text}: {blocked:?}");
    session.parts.iter().map(part).collect()
}

/// What must be mended first, by its kind.
fn blocked(text: &str) -> Vec<String> {
    let session = read(text, Library::shipped());
    session.problems.iter().filter(|p| p.severity == Severity::Error).map(|p| format!("{:?}", p.kind)).collect()
}

/// Questions that the coach is asked.
fn asked(text: &str) -> usize {
    read(text, Library::shipped()).problems.iter().filter(|p| p.severity == Severity::Ask).count()
}

#[test]
fn what_stands_before_and_so_many_rounds_of_is_done_once() {
    let rounds = "rounds 3: 10 forward lunge, 5 push-up";
    assert_eq!(told("400 m jog and 3 rounds of 10 lunges, 5 push-ups"), ["practice: 400m run", rounds]);
    assert_eq!(told("start with 2 min rowing & 3 rounds of 10 lunges and 5 push-ups")[1], rounds);
}

#[test]
fn after_your_run_says_when() {
    for text in ["3 rounds of 10 squats after your run", "After the run: 3 rounds of 10 squats"] {
        assert_eq!(told(text), ["rounds 3: 10 air squat"], "{text}");
    }
    assert_eq!(
        told("Core before the row: 20 s each of plank, hollow hold and side plank"),
        ["practice: 20s plank, 20s hollow hold, 20s side plank"]
    );
}

#[test]
fn the_next_stretch_of_the_hour_ends_the_one_before_though_it_names_the_same_lift() {
    let read =
        told("0-15 find a working weight for power clean\n15-25 every minute 2 power cleans\n25-35 AMRAP 5 dips 10 push-ups");
    assert_eq!(read[1], "emom 10 for 600: 2 power clean");
    assert!(read.len() == 3 && read[0].contains("for 900: ") && read[0].contains("power clean"), "{read:?}");
}

#[test]
fn amounts_of_one_kind_behind_commas_are_a_list() {
    assert_eq!(told("Row 250 m, 500 m, 250 m, rest 1 min"), ["sets 3 rest 60: 250-500-250m row machine"]);
    assert_eq!(told("Bike: 10 cal, 15 cal, 20 cal, rest 2 min"), ["sets 3 rest 120: 10-15-20cal bike"]);
    assert_eq!((asked("run 400 m, 800 m"), asked("40 m suitcase carry, 20 m each hand")), (1, 0));
}

#[test]
fn where_one_part_is_called_by_its_initials_another_is_by_its_first_letter() {
    let text = "WU - 5 min row\nS - back squat 5x5\nM - 5 rounds for time: 10 burpees, 200 m run";
    assert_eq!(told(text), ["practice for 300: 300s row machine", "sets 5: 5 back squat", "fortime 5: 10 burpee, 200m run"]);
}

#[test]
fn a_time_behind_sets_of_a_way_is_their_rest() {
    assert_eq!(told("4 x 30 m farmer carry, 2 x 20 kg, 1:30"), ["sets 4 rest 90: 30m farmer carry @20"]);
}

#[test]
fn a_load_for_these_and_a_load_for_those_are_two_columns() {
    assert_eq!(told("10 swings, 16 kg for the girls, 24 kg for the guys"), ["practice: 10 kettlebell swing @24/16"]);
    assert_eq!(told("Bench 3x8 - 50 kg for most, 30 kg for some"), ["sets 3: 8 bench press @50/30"]);
}

#[test]
fn those_above_are_a_superset_where_a_line_below_says_so() {
    let pair = "sets 4 rest 90: 8 bench press, 10 bent-over row";
    for text in ["Bench 4x8\nRows 4x10\nSuperset those, 90 s rest", "Bench 4x8\nRows 4x10\nDo these as a superset, 90 s between"]
    {
        assert_eq!(told(text), [pair], "{text}");
    }
    assert_eq!(told("Pull-ups 4x6\nDips 4x10\nPush-ups 4x12\nSuperset all three, 2 min rest").len(), 1);
    assert_eq!(told("Bench 4x8\nRows 3x10\nSuperset those").len(), 2);
}

#[test]
fn rest_among_the_stations_is_one_of_them() {
    assert_eq!(told("40/20 x 3: burpees, plank, rest. That's 9 minutes."), ["intervals 3 for 540: burpee, plank"]);
    assert_eq!(told("30/30 x 4\nburpees\nrest\nplank"), ["intervals 4: burpee, plank"]);
}

#[test]
fn windows_of_the_movement_above_are_a_part_and_the_rest_before_a_race_belongs_to_none() {
    let text = "Today we row 1 km. Warm up with 10 min easy jog and 4 x 30 s fast, 30 s easy. Rest 4 min, then 1 km for time.";
    assert_eq!(told(text), ["practice for 600: 600s run", "intervals 4: run", "fortime: 1000m row machine"]);
    let text = "Warm up with 5 min bike and 3 x 20 s fast with 40 s easy. Then 2000 m for time. Cool down with 5 min walk";
    assert_eq!(told(text)[2..], ["fortime: 2000m bike", "practice for 300: 300s brisk walk"]);
}

#[test]
fn a_sprint_in_windows_is_what_is_done_in_them_unless_a_machine_stands_above() {
    let read = told("10 min jog, then 6 x 20 s sprint with 2 min walk between. Walk home.");
    assert_eq!(read, ["practice for 600: 600s run", "intervals 6: sprint"]);
    assert_eq!(told("10 min easy bike, then 6 x 20 s sprint with 2 min easy between.")[1], "intervals 6: bike");
}

#[test]
fn every_name_in_the_brackets_of_a_warm_up_is_a_line_of_it_and_five_sets_are_none() {
    assert_eq!(
        told("Warm-up (5 min skipping, a few arm circles), then 5x5 bench"),
        ["practice: 300s single-under, arm circle", "sets 5: 5 bench press"]
    );
}

#[test]
fn what_only_those_do_who_have_something_left_is_no_line_of_the_rounds() {
    let text = "4 rounds: 10 squats, 10 push-ups, 1 min rest. If you have time left, finish with a 400 m run.";
    assert_eq!(told(text), ["rounds 4 rest 60: 10 air squat, 10 push-up", "practice: 400m run"]);
}

#[test]
fn stretches_that_come_then_are_in_no_round() {
    for text in [
        "3 rounds of 10 squats. Afterwards easy cat-cow and pigeon.",
        "3 rounds of 10 squats\nAfter that some cat-cow and pigeon",
    ] {
        assert_eq!(told(text), ["rounds 3: 10 air squat", "practice: cat-cow, pigeon stretch"], "{text}");
    }
}

#[test]
fn same_again_for_another_lift_takes_over_what_is_not_said_otherwise() {
    let first = "sets 4 rest 90: 8 front squat";
    assert_eq!(told("Front squats 4x8, rest 90 s. Same again for lunges."), [first, "sets 4 rest 90: 8 forward lunge"]);
    assert_eq!(
        told("Front squats 4x8, rest 90 s\nThe same for rows, but 3 sets and one minute")[1],
        "sets 3 rest 60: 8 bent-over row"
    );
}

#[test]
fn what_is_counted_by_the_side_is_done_with_one_arm() {
    assert_eq!(told("4 rounds: 8 floor presses per side, 10 squats")[0], "rounds 4: 8 single-arm floor press, 10 air squat");
}

#[test]
fn stretches_of_the_hour_are_told_in_sentences_too() {
    let text = "min 0-10 bike easy. min 10-20 amrap: 5 burpees, 10 squats. min 20-25 walk.";
    assert_eq!(
        told(text),
        ["practice for 600: 600s bike", "amrap for 600: 5 burpee, 10 air squat", "practice for 300: 300s brisk walk"]
    );
}

#[test]
fn the_night_that_a_session_is_for_is_no_kind_of_part() {
    assert_eq!(
        told("Gymnastics night! Bring a towel.\n* L-sit hold, 4 x 10 s, a minute off"),
        ["sets 4 rest 60: 10s l-sit hold"]
    );
}

#[test]
fn rounds_with_the_stick_below_a_technique_are_practised() {
    for title in ["Jerk technique", "Jerk technique, no weight tonight"] {
        let text = format!("{title}\n\n10 min, 3 rounds\n5 push jerks with the stick\n5 overhead squats with the stick");
        assert_eq!(told(&text), ["practice 3 for 600: 5 push jerk, 5 overhead squat"], "{title}");
    }
}

#[test]
fn a_belt_is_worn() {
    assert_eq!(told("deadlift, build to a heavy single, 20 min. belt on from 80%."), ["maxeffort for 1200: 1 deadlift"]);
}

#[test]
fn a_time_under_a_heading_is_that_of_its_part_and_what_comes_then_another() {
    let text = "Settle in: 3 min on your back, hands on your belly.\nThen 2 rounds: 10 glute bridges, 10 dead bugs";
    assert_eq!(told(text), ["practice for 180: ", "rounds 2: 10 glute bridge, 10 dead bug"]);
}

#[test]
fn a_name_to_finish_waits_for_its_time() {
    let text = "3 rounds: 10 squats, 10 push-ups\n";
    assert_eq!(told(&format!("{text}Easy row to end, 5 min"))[1], "practice for 300: 300s row machine");
    assert_eq!(told(&format!("{text}Plank to finish, 1 min"))[1], "practice: 60s plank");
}

#[test]
fn a_weight_and_its_reps_need_no_comma_before_the_next_weight() {
    let all = ["sets 3: 3-3-3 bench press @70/80/90"];
    for text in ["Bench 70 kg x 3 80 kg x 3 90 kg x 3", "Bench 70kgx3 80kgx3 90kgx3+", "Bench 70x3, 80x3, 90 kg x 3"] {
        assert_eq!(told(text), all, "{text}");
    }
    assert_eq!(told("Squat 60 kg 5 reps 70 kg 5 reps 80 kg 3 reps"), ["sets 3: 5-5-3 back squat @60/70/80"]);
}

#[test]
fn what_nobody_does_in_so_many_sets_is_a_weight_whose_unit_is_asked_for() {
    for text in ["Bench 70x3 80x3 90x3+", "Deadlift: 60x5, 70x5, 80x5", "Bench 70x3"] {
        assert_eq!(blocked(text), ["MissingUnit"], "{text}");
    }
    assert_eq!(told("Push-ups 10x3"), ["sets 10: 3 push-up"]);
}

#[test]
fn a_question_and_a_length_are_another_version_wherever_they_stand() {
    let text = "5 rounds for time, 20 min cap (new to this? 3 rounds, 12 min cap)\n10 burpees\n200 m run";
    assert_eq!(told(text), ["fortime 5: 10 burpee, 200m run"]);
    let text = "For time: 100 burpees, 100 squats, 20 min cap. New to this? 3 rounds, 12 min cap";
    let read = read(text, Library::shipped());
    assert_eq!((&read.parts[0].rounds, read.parts[0].options.len()), (&None, 1));
    assert_eq!(told("5 rounds for time: 10 dips, 10 pull-ups (first time? 3 rounds).")[0], "fortime 5: 10 dip, 10 pull-up");
}

#[test]
fn what_is_not_scored_ends_before_the_next_part_and_a_score_names_its_part() {
    let text = "5 min easy bike, not scored. AMRAP 12: 5 burpees, 10 squats. amrap score = rounds";
    assert_eq!(told(text), ["practice for 300: 300s bike", "amrap for 720: 5 burpee, 10 air squat"]);
}

#[test]
fn so_often_behind_the_last_is_of_all_though_brackets_stand_between() {
    assert_eq!(told("10 lunges (5/leg), 10 push-ups x 3"), ["rounds 3: 10 forward lunge, 10 push-up"]);
}

#[test]
fn what_is_long_and_steady_in_a_sentence_of_its_own_is_not_in_the_window_before_it() {
    let read = told("10 min amrap of 10 burpees and 10 swings. Finish with 5 min walk.");
    assert_eq!(read, ["amrap for 600: 10 burpee, 10 kettlebell swing", "practice for 300: 300s brisk walk"]);
    assert_eq!(told("1-2-3-4-5 of pull ups & dips. Then 5 min bike.")[1], "practice for 300: 300s bike");
    assert_eq!(told("1-2-3-4-5 of pull ups & dips for time. Then run 400 m.").len(), 1);
}

#[test]
fn as_many_as_you_can_behind_a_time_and_its_lines_fills_that_time() {
    let amrap = ["amrap for 1200: 5 pull-up, 10 push-up"];
    for text in ["20 min. 5 pull ups, 10 push ups. As many rounds as you can.", "20 minutes: 5 pull-ups, 10 push-ups. AMRAP."] {
        assert_eq!(told(text), amrap, "{text}");
    }
}

#[test]
fn a_small_letter_behind_min_and_a_full_stop_can_begin_the_next_thought() {
    let read = told("4 sets of 6 front squats at 70 kg resting 2 min. after that 12 min emom 10 swings");
    assert_eq!(read, ["sets 4 rest 120: 6 front squat @70", "emom 12 for 720: 10 kettlebell swing"]);
    assert_eq!(told("3 rounds of 10 burpees, rest 1 min. finally 3 min easy row").len(), 2);
    assert_eq!(told("10 min. easy row"), ["practice for 600: 600s row machine"]);
}

#[test]
fn a_limit_is_not_added_to_sets_that_have_their_reps() {
    assert_eq!(told("Squat 5x3 @ 80%. Drop to 60% and do 1 x max reps."), ["sets 5: 3 back squat", "maxeffort: back squat"]);
    let text = "AMRAP 12: 10 squats, 10 push-ups. Then max cals in the time left.";
    assert_eq!((told(text), asked(text)), (vec!["amrap for 720: 10 air squat, 10 push-up".to_owned()], 1));
}

#[test]
fn on_the_rower_is_where_it_is_done_and_no_time_on_and_off() {
    for text in ["4 x 4 min on the rower, 3 min easy between", "4 x 4 min on a rower, 3 min rest"] {
        assert_eq!(told(text), ["intervals 4: row machine"], "{text}");
    }
    assert_eq!(told("8 x 20 s on, 10 s off: squats"), ["intervals 8: air squat"]);
}

#[test]
fn rest_at_the_end_of_a_list_is_as_long_as_each_of_it() {
    let read = told("4 rounds, 1 min each: squats, push ups, rest. Then 3 min walk.");
    assert_eq!(read[0], "rounds 4 rest 60: 60s air squat, 60s push-up");
}
