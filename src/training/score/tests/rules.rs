//! What a coach's words about the score say, and what is said of it at the field.

use super::*;
use crate::training::movement::Library;
use crate::training::session::Part;

fn of(score: ScoreKind, rule: &str) -> (String, bool) {
    let part = Part { score, score_rule: Some(rule.to_owned()), ..Part::default() };
    let rules = ScoreRules::of(&part, Library::shipped());
    (prompt(&part, &rules, Library::shipped()).unwrap().what, says_no_more(rule, &part, &rules))
}

#[test]
fn which_round_counts_is_no_word_about_who_wins() {
    for rule in
        ["lowest round wins", "Lowest set wins", "lowest rounds are better", "smallest interval wins", "less rest is better"]
    {
        assert!(!least_wins(rule), "{rule}");
    }
    assert_eq!(Combine::from_words("lowest round wins"), Some(Combine::Lowest));
    for rule in
        ["fewest wins", "fewest breaks wins", "lower is better", "less is better", "fewest rounds wins", "lowest count wins"]
    {
        assert!(least_wins(rule), "{rule}");
        assert_eq!(Combine::from_words(rule), None, "{rule}");
    }
}

#[test]
fn a_rule_about_loads_that_the_field_does_not_say_stays() {
    for rule in ["total load", "total weight", "lowest load"] {
        let (what, said) = of(ScoreKind::Load, rule);
        assert_eq!((what.as_str(), said), ("load of your heaviest set", false), "{rule}");
    }
    assert!(of(ScoreKind::Load, "load").1);
}

#[test]
fn the_go_that_counts_is_the_one_named_behind_which_of_them() {
    for (rule, what) in [
        ("lowest round", "reps of your lowest round"),
        ("worst set", "reps of your lowest set"),
        ("best of 3 attempts", "reps of your best attempt"),
        ("sum of both blocks", "reps of all blocks together"),
        ("total reps in 10 minutes", "reps in all"),
        ("best set, rest 2 minutes between", "reps of your best set"),
    ] {
        assert_eq!(of(ScoreKind::Reps, rule).0, what, "{rule}");
    }
}

#[test]
fn loads_are_shown_in_the_members_unit() {
    let part = Part { score: ScoreKind::Load, ..Part::default() };
    for (unit, first) in [(MassUnit::Lb, "135 lb"), (MassUnit::Kg, "62.5 kg")] {
        let rules = ScoreRules { mass_unit: Some(unit), ..ScoreRules::default() };
        let examples = prompt(&part, &rules, Library::shipped()).unwrap().examples;
        assert_eq!(examples[0], first);
        assert!(examples.iter().all(|text| text.contains(unit.word())), "{examples:?}");
    }
}

#[test]
fn rounds_and_reps_are_read_with_whatever_stands_for_and() {
    let reading = plain(ScoreKind::RoundsReps, "5 rnds an 11");
    assert_eq!((reading.score, reading.held), (Score::RoundsReps { rounds: 5, reps: 11 }, None));
}

#[test]
fn reps_of_several_sets_before_one_weight_are_no_weights() {
    let pounds = ScoreRules { mass_unit: Some(MassUnit::Lb), ..ScoreRules::default() };
    let fives = |reps: &[u32]| reps.iter().map(|reps| Lift { reps: Some(*reps), ..lift(35.0, MassUnit::Lb) }).collect();
    for text in ["8 8 8 6 5 @ 35", "8,8,8,6,5 @ 35", "8@35,8@35,8@35,6@35,5@35", "35 lb x 8, 8, 8, 6, 5"] {
        let reading = got(ScoreKind::Load, text, &pounds);
        assert_eq!((reading.score, reading.held), (Score::Load { lifts: fives(&[8, 8, 8, 6, 5]) }, None), "{text}");
    }
}

/// The bounds are common practice, no source: they only ask.
#[test]
fn more_than_the_clock_allows_is_doubted_in_whichever_format_and_kept() {
    let of = |text: &str| {
        let session = crate::training::writeup::read(text, Library::shipped());
        let part = session.parts.first().cloned().unwrap();
        (part.score, ScoreRules::of(&part, Library::shipped()))
    };
    for (written, too_much, possible) in [
        ("A. Max push-ups in 2:00", "9999", "80"),
        ("A. 8 rounds, 30 s on / 30 s off\nmax burpees\nscore: total reps", "9999", "110"),
        ("A. EMOM 10\nmax burpees\nscore: total reps", "9999", "150"),
        ("A. Max effort\nmax reps strict pull-up", "9999", "40"),
        ("A. Max plank hold", "3:00:00", "5:00"),
    ] {
        let (kind, rules) = of(written);
        assert!(got(kind, too_much, &rules).doubt.is_some(), "{written}: {rules:?}");
        assert_eq!(got(kind, possible, &rules).doubt, None, "{written}: {rules:?}");
    }
    let load = ScoreRules::default();
    assert!(got(ScoreKind::Load, "9999 kg", &load).doubt.is_some_and(|d| d.contains("600 kg")));
    assert_eq!(got(ScoreKind::Load, "300 kg", &load).doubt, None);
}
