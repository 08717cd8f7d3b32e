use super::*;

const FIVES: Option<Plan> = Some(Plan { sets: 5, reps: 5 });

fn kg() -> ScoreRules {
    ScoreRules { mass_unit: Some(MassUnit::Kg), ..ScoreRules::default() }
}

fn understood(text: &str) -> String {
    read(text, FIVES, &kg()).unwrap().understood
}

#[test]
fn equal_sets_stand_together_and_others_apart() {
    for (typed, words) in [
        ("5 x 5 at 60 kg", "5 x 5 at 60 kg"),
        ("5x5 @ 62,5", "5 x 5 at 62.5 kg"),
        ("5x5 60kg", "5 x 5 at 60 kg"),
        ("5 x 5 x 60", "5 x 5 at 60 kg"),
        ("5 sets of 5 at 60 kg", "5 x 5 at 60 kg"),
        ("4 x 5 at 60 kg, 3 at 65 kg", "4 x 5 at 60 kg, 3 at 65 kg"),
        ("3 x 8 at pair of 20 kg", "3 x 8 at pair of 20 kg"),
        ("60 kg x 5; 65 kg x 3", "5 at 60 kg, 3 at 65 kg"),
    ] {
        assert_eq!(understood(typed), words, "{typed:?}");
    }
}

#[test]
fn a_weight_before_two_counts_is_that_many_sets() {
    assert_eq!(understood("60 kg x 5 x 5"), "5 x 5 at 60 kg");
    assert_eq!(understood("62.5kg x5x5"), "5 x 5 at 62.5 kg");
    assert_eq!(understood("60 kg x 3 sets x 8"), "3 x 8 at 60 kg");
    assert_eq!(understood("60 kg x 8 x 3 sets"), "3 x 8 at 60 kg");
    let threes = Some(Plan { sets: 5, reps: 3 });
    for typed in ["60 kg x 3 x 5", "60 kg x 5 x 3"] {
        assert_eq!(read(typed, threes, &kg()).unwrap().understood, "5 x 3 at 60 kg", "{typed}");
    }
}

#[test]
fn two_counts_in_an_order_that_nothing_settles_are_asked_about() {
    assert_eq!(read("60 kg x 8 x 3", FIVES, &kg()).unwrap_err().why, "Is that 8 sets of 3, or 3 sets of 8?");
}

#[test]
fn a_weight_alone_is_all_the_planned_sets_and_a_list_a_set_each() {
    assert_eq!(understood("62.5"), "5 x 5 at 62.5 kg");
    assert_eq!(understood("60, 65, 70"), "5 at 60 kg, 5 at 65 kg, 5 at 70 kg");
}

#[test]
fn sets_without_a_load_are_asked_about_and_not_read_as_a_weight() {
    assert_eq!(read("5 x 5", FIVES, &kg()).unwrap_err().why, "At what load?");
}

#[test]
fn what_is_offered_is_read_as_what_it_says() {
    let plan = Plan { sets: 3, reps: 8 };
    for (weight, unit, implements) in [(60.0, MassUnit::Kg, 1), (22.5, MassUnit::Kg, 2), (45.0, MassUnit::Lb, 2)] {
        let text = as_planned(plan, weight, unit, implements);
        let Score::Load { lifts } = read(&text, Some(plan), &kg()).unwrap().score else { panic!("{text}") };
        let each = Lift { weight, unit: Some(unit), reps: Some(8), implements, added: false };
        assert_eq!(lifts, [each; 3], "{text}");
    }
}

#[test]
fn what_is_printed_is_read_again() {
    for text in ["5 x 5 at 60 kg", "2 x 5 at 60 kg, 3 at 65 kg, 1 at 70 kg", "3 x 8 at pair of 16 kg"] {
        assert_eq!(understood(&understood(text)), text);
    }
}

#[test]
fn a_unit_that_nothing_settles_is_asked_for() {
    assert!(read("5 x 5 at 60", FIVES, &ScoreRules::default()).unwrap().held.is_some());
}

const EIGHTS: Option<Plan> = Some(Plan { sets: 5, reps: 8 });

/// Somebody who counts in pounds and has a pair of 35 lb.
fn pounds() -> ScoreRules {
    ScoreRules { mass_unit: Some(MassUnit::Lb), implements: Some(2), ..ScoreRules::default() }
}

#[test]
fn reps_in_front_of_one_weight_are_those_of_each_set_with_it() {
    for typed in [
        "8 8 8 6 5 @ 35",
        "8,8,8,6,5 @ 35",
        "8, 8, 8, 6, 5 at 35 lb",
        "8/8/8/6/5 with 35",
        "8 8 8 6 and 5 w/ 35",
        "3x8, 6, 5 @ 35lb",
        "3 sets of 8, then 6, then 5 at 35 lb",
        "3x8 @ 35, 6, 5",
        "35 x 8, 8, 8, 6, 5",
        "35lb x 8/8/8/6/5",
        "35 lb: 8, 8, 8, 6, 5",
        "8@35,8@35,8@35,6@35,5@35",
        "3x8@35,6@35,5@35",
        "8 reps, 8 reps, 8 reps, 6 reps, 5 reps @ 35 for all sets",
    ] {
        let reading = read(typed, EIGHTS, &pounds()).unwrap_or_else(|e| panic!("{typed}: {e}"));
        assert_eq!((reading.understood.as_str(), reading.held), ("3 x 8 at 35 lb, 6 at 35 lb, 5 at 35 lb", None), "{typed}");
    }
}

#[test]
fn the_35s_are_a_pair_where_two_are_held() {
    for typed in ["3x8 w/ 35s, then 6 and 5", "8-8-8-6-5 w 35 lb dbs", "8, 8, 8, 6, 5 at 2x35", "8 8 8 6 5 @ 35 each"] {
        let understood = read(typed, EIGHTS, &pounds()).unwrap_or_else(|e| panic!("{typed}: {e}")).understood;
        assert_eq!(understood, "3 x 8 at pair of 35 lb, 6 at pair of 35 lb, 5 at pair of 35 lb", "{typed}");
    }
    for typed in ["35s", "w/ the 35s", "two 35s", "5 sets of 8 w/ 35s", "did 5x8 with the 35s", "5x8 @ two 35s"] {
        let understood = read(typed, EIGHTS, &pounds()).unwrap_or_else(|e| panic!("{typed}: {e}")).understood;
        assert_eq!(understood, "5 x 8 at pair of 35 lb", "{typed}");
    }
}

#[test]
fn sets_reps_and_weight_are_read_in_whatever_order_they_are_named() {
    for typed in [
        "5 sets 8 reps 35 lb",
        "5 rounds of 8 at 35",
        "8 reps at 35, 5 sets",
        "8 @ 35 for 5 sets",
        "5x8 (35)",
        "5x8 = 35 lb",
        "3x8 35 lb, 2x8 35 lb",
    ] {
        let understood = read(typed, EIGHTS, &pounds()).unwrap_or_else(|e| panic!("{typed}: {e}")).understood;
        assert_eq!(understood, "5 x 8 at 35 lb", "{typed}");
    }
}

#[test]
fn the_35s_are_asked_about_where_a_bar_or_one_bell_is_held() {
    let one = ScoreRules { implements: None, ..pounds() };
    let held = read("5x8 with the 35s", EIGHTS, &one).unwrap().held.unwrap();
    assert_eq!(held.answers, ["5 x 8 at pair of 35 lb", "5 x 8 at 35 lb"]);
}

#[test]
fn body_weight_stands_beside_sets_and_reps() {
    for typed in ["5x8 bw", "5 x 8 at bodyweight", "5 sets of 8 @ body weight", "bw 5x8", "8,8,8,8,8 bw"] {
        assert_eq!(read(typed, EIGHTS, &pounds()).unwrap().understood, "5 x 8 at body weight", "{typed}");
    }
    assert_eq!(read("5x8 bw + 20 lb", EIGHTS, &pounds()).unwrap().understood, "5 x 8 at body weight + 20 lb");
}

#[test]
fn a_list_that_may_be_reps_or_weights_is_never_guessed() {
    for typed in [
        "8 8 8 6 5",
        "8, 8, 8, 6, 5",
        "8 8 8 6 5 35",
        "8, 8, 8, 6, 5 x 35",
        "60 x 8, 6, 65",
        "8, 10, 12",
        "60 60 8 8 @ 35",
        "8 @ 35, 6, 5 @ 30",
        "35x8 @ 7",
        "4 sets at 35",
        "5x8 empty bar",
        "5x8 no weight",
        "35 @ 5x8",
        "8 reps @ 35 x 5",
        "3x8 35 2x6 30",
        "8 8 8 6 5 35lb",
    ] {
        let clear = read(typed, EIGHTS, &pounds()).is_ok_and(|reading| reading.held.is_none());
        assert!(!clear, "{typed}: {:?}", read(typed, EIGHTS, &pounds()));
    }
}

#[test]
fn two_readings_of_a_list_are_both_offered_and_each_answer_is_clear() {
    for (typed, offered) in [
        ("5, 8 @ 35", ["5 x 8 at 35 lb", "5 at 35 lb, 8 at 35 lb"]),
        ("8-10 @ 35", ["8 x 10 at 35 lb", "8 at 35 lb, 10 at 35 lb"]),
        ("3x8 at 10, 12, 12", ["3 x 8 at 10 lb, 2 x 12 at 10 lb", "3 x 8 at 10 lb, 2 x 8 at 12 lb"]),
    ] {
        let answers = read(typed, EIGHTS, &pounds()).unwrap().held.unwrap_or_else(|| panic!("{typed}")).answers;
        assert_eq!(answers, offered, "{typed}");
        for answer in answers {
            let reading = read(&answer, EIGHTS, &pounds()).unwrap();
            assert_eq!((reading.understood, reading.held), (answer, None), "{typed}");
        }
    }
}

#[test]
fn a_list_at_eight_may_be_a_weight_or_an_effort() {
    let reading = read("8, 8, 6 @ 8", EIGHTS, &kg()).unwrap();
    assert_eq!(reading.held.unwrap().answers, ["2 x 8 at 8 kg, 6 at 8 kg"]);
    assert_eq!(read("8, 8, 6 @ 8 kg", EIGHTS, &kg()).unwrap().held, None);
}

#[test]
fn a_unit_that_is_written_once_goes_for_the_list() {
    assert_eq!(read("80, 85, 90 kg", FIVES, &pounds()).unwrap().understood, "5 at 80 kg, 5 at 85 kg, 5 at 90 kg");
    assert_eq!(read("4 x 5 at 60, 3 at 65 kg", FIVES, &pounds()).unwrap().understood, "4 x 5 at 60 kg, 3 at 65 kg");
    assert_eq!(read("8, 10, 12 kg", EIGHTS, &pounds()).unwrap().understood, "8 at 8 kg, 8 at 10 kg, 8 at 12 kg");
}

#[test]
fn an_example_is_in_the_unit_of_who_reads_it() {
    assert_eq!(examples(EIGHTS, MassUnit::Lb)[0], "5 x 8 at 135 lb");
    assert_eq!(examples(EIGHTS, MassUnit::Kg)[0], "5 x 8 at 60 kg");
}
