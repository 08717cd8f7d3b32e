//! Doses, sides and loads as coaches type them, read from whole write-ups.

use crate::training::dose::{Amount, Load, Side};
use crate::training::movement::Library;
use crate::training::session::{Format, Line, ProblemKind, Session, Severity};
use crate::training::writeup::read;

fn session(text: &str) -> Session {
    read(text, Library::shipped())
}

fn line(text: &str) -> Line {
    session(text).parts.remove(0).lines.remove(0)
}

fn asked(text: &str) -> Vec<ProblemKind> {
    session(text).problems.iter().map(|p| p.kind).collect()
}

fn kg(n: f64) -> Option<Load> {
    Some(Load::Kg { values: vec![n], range: false })
}

#[test]
fn the_load_of_each_hand_leaves_the_count_alone() {
    for text in
        ["10 dumbbell press, 15kg each hand", "10 dumbbell press, 15 kg in each hand", "10 dumbbell press @ 15 kg per hand"]
    {
        let line = line(text);
        assert_eq!((line.side, line.implements, line.load), (None, Some(2), kg(15.0)), "{text}");
    }
}

#[test]
fn with_one_arm_the_load_of_each_hand_is_that_of_its_only_weight() {
    let line = line("10 single-arm rows, 15kg each hand");
    assert_eq!((line.side, line.implements, line.load), (Some(Side::PerSide), None, kg(15.0)));
}

#[test]
fn a_pair_that_says_its_unit_is_two_of_them() {
    for text in
        ["3x10 floor press with a pair of 20s (kg)", "3x10 floor press with a pair of 20s kg", "3x10 floor press w/ two 20s kg"]
    {
        let line = line(text);
        assert_eq!((line.implements, line.load), (Some(2), kg(20.0)), "{text}");
    }
}

#[test]
fn a_pair_without_a_unit_is_asked_about() {
    for text in [
        "3x10 floor press with a pair of 20s",
        "4 x 8 each leg split squats w/ 2 12s",
        "5 dumbbell clean and jerks 2 x 15",
        "12 kettlebell swings 2 x 16",
        "3x8 dips with 2 x 10",
    ] {
        assert_eq!(asked(text), [ProblemKind::MissingUnit], "{text}");
        assert_eq!((line(text).load, line(text).implements), (None, Some(2)), "{text}");
    }
}

#[test]
fn two_halves_of_a_count_are_no_loads() {
    assert_eq!(asked("100 dumbbell snatches 2 x 50"), []);
}

#[test]
fn each_names_a_side_only_of_what_has_sides() {
    assert_eq!(line("12 lunges each").side, Some(Side::PerSide));
    assert_eq!(line("45 s couch stretch each").side, Some(Side::PerSide));
    assert_eq!(line("40 push-ups each").side, None);
    assert_eq!(line("500 m row, 3 min each").side, None);
    assert_eq!(line("4 rounds, 3 min on, 1 min off, both in each:\n15 cal row\nmax wall balls").side, None);
}

#[test]
fn what_is_done_in_the_time_left_shares_its_window() {
    let part = session("3 mins on, 1 min off x 4:\n15 cal row\nmax wall balls in the time left").parts.remove(0);
    assert_eq!((part.format, part.rounds), (Format::Intervals, Some(Amount::One(4.0))));
}

#[test]
fn lines_that_take_turns_share_the_windows_out() {
    let part = session("40 s on, 20 s off x 8:\nswings\npush-ups").parts.remove(0);
    assert_eq!(part.rounds, Some(Amount::One(4.0)));
}

#[test]
fn so_many_windows_of_each_are_not_shared_out() {
    for text in ["20/10 x 8 each: squats, push-ups", "20/10 x 8 each of squats and push-ups"] {
        assert_eq!(session(text).parts[0].rounds, Some(Amount::One(8.0)), "{text}");
    }
}

#[test]
fn a_rest_between_two_tabatas_is_in_none_of_them() {
    let parts = session("Tabata squats, tabata push-ups (20/10 x 8 each, 1 min between). Score = lowest round").parts;
    for part in &parts {
        assert_eq!((&part.rounds, &part.rest_s, &part.lines[0].reps), (&Some(Amount::One(8.0)), &None, &None));
        assert_eq!(part.lines[0].side, None);
    }
    assert_eq!((parts.len(), parts[0].score, parts[1].notes.as_slice()), (2, parts[1].score, &["1 min between".to_owned()][..]));
}

#[test]
fn a_rest_in_words_stays_beside_its_sets() {
    let part = session("Row 5 x 500m, rest the time it took").parts.remove(0);
    assert_eq!((part.format, part.rounds, part.rest_s), (Format::Sets, Some(Amount::One(5.0)), None));
    assert_eq!(part.notes, ["rest the time it took"]);
}

#[test]
fn one_time_with_several_machines_is_a_choice() {
    let line = line("35 min zone 2 - run, bike, row or brisk walk, you should be able to talk");
    let others: Vec<&str> = line.alternatives.iter().map(|l| l.movement.as_str()).collect();
    assert_eq!((line.movement.as_str(), others), ("run", vec!["bike", "row machine", "brisk walk"]));
    assert_eq!(line.note.as_deref(), Some("zone 2; you should be able to talk"));
}

#[test]
fn singles_beside_double_unders_are_jumps_and_else_a_heavy_set() {
    assert_eq!(line("40 double unders or 80 singles").alternatives[0].movement, "single-under");
    assert_eq!(asked("Deadlift: 5 heavy singles"), []);
}

#[test]
fn strict_and_rings_are_kept_in_words() {
    assert_eq!(line("8 strict pull-ups").note.as_deref(), Some("strict"));
    assert_eq!(line("8 ring dips").note.as_deref(), Some("ring"));
    assert_eq!(line("8 strict press").note, None);
}

#[test]
fn a_load_before_the_colon_is_that_of_every_line() {
    for text in ["3 rounds, 20/15 kg: 5 deadlifts, 5 hang cleans", "3 rounds with a bar (20/15 kg):\n5 deadlifts\n5 hang cleans"]
    {
        let lines = session(text).parts.remove(0).lines;
        assert!(lines.iter().all(|l| l.load == lines[0].load && l.load.is_some()), "{text}");
    }
}

#[test]
fn the_weight_of_an_empty_bar_is_asked_about_once() {
    let problems = session("3 rounds with an empty bar:\n5 deadlifts\n5 hang cleans\n5 press").problems;
    assert_eq!(problems.iter().map(|p| (p.kind, p.severity)).collect::<Vec<_>>(), [(ProblemKind::MissingUnit, Severity::Ask)]);
    assert_eq!(asked("3 x 5 snatch with a stick or an empty bar"), []);
}

#[test]
fn a_line_longer_than_its_window_is_asked_about() {
    let long = |text| asked(text).contains(&ProblemKind::WindowTooShort);
    assert!(long("EMOM 12, 3 min each:\n1: row\n2: burpees"));
    assert!(!long("EMOM 12\n1: 60 s row\n2: 60 s plank"));
}

#[test]
fn a_sum_is_wrong_before_the_sets_it_was_made_of() {
    let session = session("every 90 s, 8 sets (= 16 min):\n3 push press @ 75%");
    assert_eq!(session.problems.iter().map(|p| p.kind).collect::<Vec<_>>(), [ProblemKind::Contradiction]);
    assert_eq!((session.parts[0].rounds.clone(), session.parts[0].duration_s), (Some(Amount::One(8.0)), None));
    assert_eq!(asked("every 2 min, 8 sets (= 16 min):\n3 push press @ 75%"), []);
}

#[test]
fn a_distance_said_twice_is_one() {
    assert_eq!(line("100 ft (30 m) walking lunge").metres, Some(Amount::One(30.0)));
}

#[test]
fn the_same_dumbbell_is_that_of_the_part_above() {
    let parts = session("1. Goblet squat, 4 sets of 8 with 20 kg\n2. One-arm row, 4 sets of 10 per side, same dumbbell").parts;
    assert_eq!(parts[1].lines[0].load, kg(20.0));
}

#[test]
fn a_strange_name_is_asked_about_wherever_it_stands() {
    const NAMES: &str = "plate pinches, wrist rollers, sandbag loads, lemon squeezers, crab reaches, dragon flags, beast pulls, \
         tyre flips, battle ropes, sled drags, jefferson curls, nordic drops, zercher holds, cossack pulses, rope pulls, \
         hip airplanes, snow angels, renegade presses, meadow rows, pallof holds, shin boxes, scap slides, seal claps, \
         tibia raises, monkey hangs, shoulder bashes, bear pinches, punch outs, bell ringers, log rolls, barrel hugs";
    for name in NAMES.split(", ") {
        for text in [format!("3x10 {name}"), format!("AMRAP 10\n12 {name}\n10 burpees"), format!("Grip: {name} 3x10")] {
            let session = session(&text);
            let told = session.problems.iter().any(|p| p.kind == ProblemKind::UnknownMovement);
            let lines = session.parts.iter().flat_map(|p| &p.lines);
            let taken: Vec<&str> = lines.filter(|l| l.known && l.movement != "burpee").map(|l| l.movement.as_str()).collect();
            assert!(told && taken.is_empty(), "{text:?}: {taken:?} {:?}", session.problems);
        }
    }
}

#[test]
fn nothing_is_offered_that_was_typed_already() {
    let library = Library::shipped();
    for m in library.all() {
        assert!(!library.lexicon().nearest(library, &m.name).contains(&m.name), "{}", m.name);
    }
}

#[test]
fn the_same_weight_for_all_sets_is_not_that_of_the_part_above() {
    for said in ["same weight for all sets", "same load across"] {
        let parts = session(&format!("A. Back squat 5 x 5 @ 100 kg\nB. Bench press 5 x 5, {said}")).parts;
        assert_eq!((parts.len(), &parts[1].lines[0].load), (2, &None), "{said}");
    }
}

#[test]
fn a_load_in_the_heading_is_of_what_is_done_with_a_weight() {
    for heading in ["3 rounds with a bar (20/15 kg):", "3 rounds, 20 kg:"] {
        let lines = session(&format!("{heading}\n5 deadlifts\n10 burpees")).parts.remove(0).lines;
        assert_eq!((lines[0].load.is_some(), lines[1].load.is_some()), (true, false), "{heading}");
    }
}

#[test]
fn a_long_pause_in_a_rep_is_no_rest() {
    let part = session("3 x 5 back squat with a 10 s pause").parts.remove(0);
    assert_eq!((part.rest_s, part.lines[0].pause_s), (None, Some(10.0)));
}

#[test]
fn one_weight_for_one_arm_in_all_the_ways_to_say_it() {
    for said in ["a hand", "per hand", "per dumbbell"] {
        let line = line(&format!("10 single-arm rows, 15 kg {said}"));
        assert_eq!((line.side, line.implements), (Some(Side::PerSide), None), "{said}");
    }
}

#[test]
fn two_pauses_are_no_pair_of_weights() {
    assert_eq!(line("3 x 8 push-ups with 2 30s pauses").implements, None);
}

#[test]
fn a_bracket_that_tells_a_rest_is_read_whatever_it_adds() {
    let part = session("4 rounds (rest 90 s, shake it out, etc)\n10 swings\n10 push-ups").parts.remove(0);
    assert_eq!(part.rest_s, Some(Amount::One(90.0)));
}

#[test]
fn a_second_distance_counts_only_behind_feet_and_yards() {
    assert_eq!(line("100 ft (30 m) walking lunge").metres, Some(Amount::One(30.0)));
    assert_ne!(line("Row 400 metres (450 m)").metres, Some(Amount::One(450.0)));
}
