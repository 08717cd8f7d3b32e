//! A write-up for each rule, which is read otherwise where the rule is taken out.

use crate::training::movement::Library;
use crate::training::session::Format::{self, Amrap, Emom, ForTime, Intervals, MaxEffort, Practice, Rounds, Sets};
use crate::training::writeup::read;

/// Format and number of lines of every part, and how much is asked or told.
fn parts(text: &str) -> (Vec<(Format, usize)>, usize) {
    let session = read(text, Library::shipped());
    (session.parts.iter().map(|p| (p.format, p.lines.len())).collect(), session.problems.len())
}

#[test]
fn stations_with_letters_stay_in_their_window() {
    let read = parts("every 2:00 x 4, alternating\nA. 5 pull-ups\nB. 10 push-ups");
    assert_eq!(read, (vec![(Emom, 2)], 0));
}

#[test]
fn a_heading_whose_names_come_again_with_their_doses_only_named_them() {
    let read = parts("Skill: L-sit + handstand\n14 min practice\n20 s L-sit\n30 s handstand");
    assert_eq!(read, (vec![(Practice, 2)], 0));
}

#[test]
fn the_next_letter_is_the_next_part() {
    let read = parts("A. 10 min bike\nB. 50 sit-ups");
    assert_eq!(read, (vec![(Practice, 1), (Practice, 1)], 0));
}

#[test]
fn a_heading_below_lines_ends_their_part() {
    let read = parts("3 rounds\n10 squats\nCool-down\n2 min child's pose");
    assert_eq!(read, (vec![(Rounds, 1), (Practice, 1)], 0));
}

#[test]
fn a_warm_up_all_said_in_words_ends_at_the_empty_line() {
    let read = parts("Warm-up: 5 min easy\n\nBack squat, build to a heavy 3");
    assert_eq!(read, (vec![(Practice, 0), (MaxEffort, 1)], 0));
}

#[test]
fn a_heading_without_lines_waits_for_its_windows() {
    let read = parts("2 rounds\n20 s on, 10 s off\nsquats\npush-ups");
    assert_eq!(read, (vec![(Intervals, 2)], 0));
}

#[test]
fn rungs_below_a_skill_are_the_next_part() {
    let read = parts("Skill: handstand\n21-15-9\nthrusters\nburpees");
    assert_eq!(read, (vec![(Practice, 1), (ForTime, 2)], 0));
}

#[test]
fn a_heavy_set_below_an_empty_line_is_no_line_of_the_windows() {
    let read = parts("EMOM 10: 5 push-ups\n\n10 min to find a 5RM back squat");
    assert_eq!(read, (vec![(Emom, 1), (MaxEffort, 1)], 0));
}

#[test]
fn one_amount_in_all_asks_nothing_below_an_empty_line() {
    let read = parts("12 min AMRAP\n10 squats\n5 burpees\n\nplank 2 min total");
    assert_eq!(read, (vec![(Amrap, 2), (Practice, 1)], 0));
}

#[test]
fn nothing_comes_before_what_stands_above_a_buy_in() {
    let read = parts("3 sets\n10 squats\n5 pull-ups\nbuy-in 1 km run, then 5 rounds\n10 burpees\n10 squats");
    assert_eq!(read, (vec![(Rounds, 2), (ForTime, 3)], 0));
}

#[test]
fn below_a_cash_out_and_an_empty_line_it_is_over() {
    let read = parts("3 rounds for time\n10 squats\ncash-out 500 m row\n\n10 push-ups\n10 sit-ups");
    assert_eq!(read, (vec![(ForTime, 2), (Practice, 2)], 0));
}

#[test]
fn what_comes_once_when_the_rungs_are_done_stays_with_them() {
    let read = parts("21-15-9\nthrusters\npull-ups\nthen 400 m run");
    assert_eq!(read, (vec![(ForTime, 3)], 0));
}

#[test]
fn what_every_minute_costs_is_a_line_of_the_part_for_time() {
    let read = parts("5 rounds for time\n10 squats\n10 push-ups\nevery minute: 3 burpees");
    assert_eq!(read, (vec![(ForTime, 3)], 0));
}

#[test]
fn a_long_hold_to_land_comes_when_the_window_is_over() {
    let read = parts("8 min AMRAP of 5 burpees, 10 squats, and a 2 min child's pose to land");
    assert_eq!(read, (vec![(Amrap, 2), (Practice, 1)], 0));
}

#[test]
fn five_minutes_are_too_long_for_a_round_of_twelve() {
    let read = parts("12 min AMRAP\n10 squats\n5 burpees\n\n5 min easy bike");
    assert_eq!(read, (vec![(Amrap, 2), (Practice, 1)], 0));
}

#[test]
fn minutes_behind_the_lines_are_those_of_the_lines() {
    let read = parts("30 squats, 15 wall balls, as many rounds as possible in 8 minutes");
    assert_eq!(read, (vec![(Amrap, 2)], 0));
}

#[test]
fn a_window_below_lines_is_a_part_of_its_own() {
    let read = parts("3 rounds\n10 squats\n5 burpees\nAMRAP 8\n10 sit-ups\n5 pull-ups");
    assert_eq!(read, (vec![(Rounds, 2), (Amrap, 2)], 0));
}

#[test]
fn a_ladder_for_time_below_an_empty_line_takes_nothing_from_the_lift_above() {
    let read = parts("DB bench 10-8-6-4\n\nLadder for time\n10-8-6\nburpees");
    assert_eq!(read, (vec![(Sets, 1), (ForTime, 1)], 0));
}

#[test]
fn lines_below_a_warm_up_that_lasts_are_the_next_part() {
    let read = parts("Warm-up: brisk walk, 5 minutes\n\nrun 2 minutes, walk 1 minute");
    assert_eq!(read, (vec![(Practice, 1), (Practice, 2)], 0));
}

#[test]
fn then_below_an_empty_line_leaves_the_window() {
    let read = parts("AMRAP 8: 5 burpees, 10 squats\n\nthen plank");
    assert_eq!(read, (vec![(Amrap, 2), (Practice, 1)], 0));
}

#[test]
fn rounds_behind_a_whole_line_begin_a_part_with_it() {
    let read = parts("5 min bike\n6 rows, 6 cleans, 6 push press x 5 rounds");
    assert_eq!(read, (vec![(Practice, 1), (Rounds, 3)], 0));
}

#[test]
fn rounds_behind_the_first_run_stay_in_the_same_race() {
    let read = parts("For time: 800 m run\n3 rounds\n10 squats\n10 push-ups");
    assert_eq!(read, (vec![(ForTime, 3)], 0));
}

#[test]
fn each_number_of_a_list_of_parts_is_a_part() {
    let read = parts("1) 4 sets of 8 rows, rest 1 min\n2) plank 60 s");
    assert_eq!(read, (vec![(Sets, 1), (Practice, 1)], 0));
}

#[test]
fn rounds_with_their_lines_begin_below_others() {
    let read = parts("10 burpees\n3 rounds of 10 swings, 5 push-ups");
    assert_eq!(read, (vec![(Practice, 1), (Rounds, 2)], 0));
}

#[test]
fn a_lift_with_sets_of_its_own_is_a_part_of_its_own() {
    let read = parts("Squats 5x5\nRows 3x10");
    assert_eq!(read, (vec![(Sets, 1), (Sets, 1)], 0));
}

#[test]
fn heavier_sets_of_the_same_lift_stay_its_sets() {
    let read = parts("Squats 1x10 @ 60%\n1x8 @ 65%\n1x6 @ 70%");
    assert_eq!(read, (vec![(Sets, 1)], 0));
}

#[test]
fn sets_without_a_name_go_back_to_the_lift_that_was_built() {
    let read = parts("Heavy single snatch\nthen 3x2 @ 80 %");
    assert_eq!(read, (vec![(MaxEffort, 1), (Sets, 1)], 0));
}

#[test]
fn each_try_is_scored_by_itself() {
    let read = parts("Max hold plank\nMax push-ups in 2 min");
    assert_eq!(read, (vec![(MaxEffort, 1), (MaxEffort, 1)], 0));
}

#[test]
fn a_try_behind_the_windows_comes_when_they_are_over() {
    let read = parts("EMOM 10: 5 burpees. Then max squats in 2 min");
    assert_eq!(read, (vec![(Emom, 1), (MaxEffort, 1)], 0));
}

#[test]
fn then_inside_a_race_is_the_next_station() {
    let read = parts("For time\n50 squats\n30 burpees\nthen 800 m run");
    assert_eq!(read, (vec![(ForTime, 3)], 0));
}

#[test]
fn then_behind_sets_is_the_next_part() {
    let read = parts("Squats 5x5, then 5 min bike");
    assert_eq!(read, (vec![(Sets, 1), (Practice, 1)], 0));
}

#[test]
fn then_a_name_and_its_sets_are_the_next_part() {
    let read = parts("Back squat 5x5, then strict press, 5 sets of 5");
    assert_eq!(read, (vec![(Sets, 1), (Sets, 1)], 0));
}

#[test]
fn a_bare_name_above_its_sets_heads_the_next_part() {
    let read = parts("3 rounds\n10 squats\n\nFront squat\n5x5");
    assert_eq!(read, (vec![(Rounds, 1), (Sets, 1)], 0));
}

#[test]
fn below_an_empty_line_sets_are_over() {
    let read = parts("Squats 5x5\n\n10 burpees");
    assert_eq!(read, (vec![(Sets, 1), (Practice, 1)], 0));
}

#[test]
fn a_count_below_an_empty_line_is_read_apart_and_asked_about() {
    let read = parts("12 min AMRAP\n10 squats\n5 burpees\n\n50 sit-ups");
    assert_eq!(read, (vec![(Amrap, 2), (Practice, 1)], 1));
}

#[test]
fn a_steady_piece_below_sets_leaves_them() {
    let read = parts("Squats 5x5\nEasy bike 10 min");
    assert_eq!(read, (vec![(Sets, 1), (Practice, 1)], 0));
}

#[test]
fn a_race_behind_a_warm_up_told_in_words_is_the_next_part() {
    let read = parts("Warm up for 5 minutes with whatever you like. Then for time: 40 squats, 30 sit-ups");
    assert_eq!(read, (vec![(Practice, 0), (ForTime, 2)], 0));
}

#[test]
fn what_outlasts_every_window_comes_behind_them() {
    let read = parts("EMOM 6: 10 push-ups. Last of all walk for 4 minutes");
    assert_eq!(read, (vec![(Emom, 1), (Practice, 1)], 0));
}

#[test]
fn a_try_named_before_its_movement_is_a_part_of_its_own() {
    let read = parts("3 rounds\n10 squats\n\nMax hold: plank");
    assert_eq!(read, (vec![(Rounds, 1), (MaxEffort, 1)], 0));
}

#[test]
fn then_for_time_leaves_the_sets() {
    let read = parts("Floor press, four sets of ten. Then, for time, four rounds of a 300 m run and ten burpees");
    assert_eq!(read, (vec![(Sets, 1), (ForTime, 2)], 0));
}

#[test]
fn rounds_told_then_leave_the_windows() {
    let read = parts(
        "Six rounds of one minute on, one minute off on the rower. Then trunk work, three rounds: twenty sit-ups, ten v-ups",
    );
    assert_eq!(read, (vec![(Intervals, 1), (Rounds, 2)], 0));
}

#[test]
fn another_topic_below_an_empty_line_leaves_what_only_lasts() {
    for (prep, skill) in [
        ("Prep: wrists and shoulders 5 mins", "Handstand practice - 10 min"),
        ("Warm up: hips 6 min", "Handstand work (10 min)"),
        ("prep 5min shoulders + wrists", "Handstand practice"),
        ("Mobility - t spine and lats - 4:00", "Handstand skill - 12:00"),
    ] {
        let text = format!("{prep}\n\n{skill}\n5 x 20-30s handstand hold");
        let session = read(&text, Library::shipped());
        let told = session.parts.iter().map(|p| p.lines.len()).collect::<Vec<_>>();
        assert_eq!((told, session.problems.len()), (vec![0, 1], 0), "{text}");
    }
}

#[test]
fn rungs_behind_words_are_the_next_part_below_one_that_is_told_on_one_line() {
    let read = parts("2-4-6 wall balls and pull-ups. For time, 9 min cap\n\nPartner work: 10-8-6 swings, push-ups. 12 min cap");
    assert_eq!(read.0, vec![(ForTime, 2), (ForTime, 2)]);
}
