//! What is asked once, and counts as it was said.

use super::*;

#[test]
fn a_time_over_the_cap_is_asked_about_once_and_its_answer_stands() {
    let asked = got(ScoreKind::Time, "15:20", &capped());
    assert_eq!(answers(&asked), ["15:20 over the cap"]);
    assert!(asked.held.is_some_and(|q| q.at_cap), "or reps at the cap");
    for text in ["15:20 over the cap", "15:20, past cap", "15:20 (over time cap)"] {
        let said = got(ScoreKind::Time, text, &capped());
        assert_eq!((said.score.clone(), said.held), (Score::Time { seconds: 920.0 }, None), "{text:?}");
        assert!(said.doubt.is_some(), "the coach sees it");
    }
    let inside = got(ScoreKind::Time, "12:20 over the cap", &capped());
    assert_eq!((inside.held, inside.doubt), (None, None), "no cap was passed");
}

#[test]
fn one_more_each_minute_counts_minutes() {
    let rules = ScoreRules { rungs: true, minutes: true, ..ScoreRules::default() };
    for text in ["11+4", "11 minutes + 4", "11 min 4", "11 rounds and 4 reps"] {
        let reading = got(ScoreKind::RoundsReps, text, &rules);
        assert_eq!(
            (reading.score, reading.held, reading.doubt),
            (Score::RoundsReps { rounds: 11, reps: 4 }, None, None),
            "{text:?}"
        );
    }
    assert_eq!(got(ScoreKind::RoundsReps, "11", &rules).held, None, "a number alone is minutes");
}

#[test]
fn reps_of_each_round_are_read_with_any_sign_between() {
    let lowest = ScoreRules { combine: Some(Combine::Lowest), ..ScoreRules::default() };
    for text in ["14, 12, 11, 9", "14 12 11 9", "14/12/11/9", "14-12-11-9", "14+12+11+9"] {
        assert_eq!(got(ScoreKind::Reps, text, &lowest).score, Score::Reps { reps: 9 }, "{text:?}");
    }
    assert!(plain(ScoreKind::Reps, "14/12/11/9").held.is_some(), "nobody said which counts");
}

#[test]
fn reps_at_a_cap_that_nobody_wrote_are_kept_and_asked_about() {
    let rules = ScoreRules { uncapped: true, ..ScoreRules::default() };
    for text in ["12+5", "45 reps", "capped at 45"] {
        let reading = got(ScoreKind::Time, text, &rules);
        assert!(reading.doubt.is_some_and(|d| d.contains("no cap")), "{text:?}");
    }
    assert_eq!(got(ScoreKind::Time, "capped at 45", &capped()).doubt, None);
}

/// Common practice, no source: what people type when they do not know exactly, or into the wrong field.
#[test]
fn what_is_said_to_be_inexact_is_asked_about_and_its_answer_stands() {
    for (kind, text, answer) in [
        (ScoreKind::Time, "about 7:40", "7:40"),
        (ScoreKind::Time, "7:40 ish", "7:40"),
        (ScoreKind::RoundsReps, "6+12 ish", "6 rounds + 12 reps"),
        (ScoreKind::Reps, "~52", "52 reps"),
        (ScoreKind::Reps, "50+", "50 reps"),
        (ScoreKind::Reps, "at least 50", "50 reps"),
        (ScoreKind::Reps, "52?", "52 reps"),
        (ScoreKind::Load, "roughly 80 kg", "80 kg"),
        (ScoreKind::Reps, "-3", "3 reps"),
        (ScoreKind::Load, "-60 kg", "60 kg"),
        (ScoreKind::Reps, "400 m", "400 reps"),
        (ScoreKind::Reps, "52 cal", "52 reps"),
        (ScoreKind::RoundsReps, "12 rounds + 400 m", "12 rounds + 400 reps"),
        (ScoreKind::Calories, "52 reps", "52 cal"),
    ] {
        let reading = plain(kind, text);
        assert_eq!(answers(&reading), [answer], "{text:?}: {}", reading.understood);
        assert_eq!(got(kind, answer, &ScoreRules::default()).held, None, "{answer}");
    }
    for (kind, text) in [(ScoreKind::Reps, "- 52 reps"), (ScoreKind::Load, "80 kg, all good"), (ScoreKind::Time, "7:42, PB?")] {
        assert_eq!(plain(kind, text).held, None, "{text:?}");
    }
}

#[test]
fn a_version_typed_beside_a_score_is_pointed_out_and_the_score_counts() {
    let reading = got(ScoreKind::Time, "5:00 scaled", &capped());
    assert_eq!((reading.score, reading.held), (Score::Time { seconds: 300.0 }, None));
    assert!(reading.doubt.is_some_and(|d| d.contains("scaled")));
}

#[test]
fn a_number_in_words_that_is_not_read_is_not_left_out() {
    for (kind, text) in
        [(ScoreKind::Reps, "twenty five"), (ScoreKind::Load, "a hundred and five kg"), (ScoreKind::RoundsReps, "5½ rounds")]
    {
        assert!(read(kind, text, &ScoreRules::default()).is_err(), "{text:?}");
    }
    assert_eq!(plain(ScoreKind::Reps, "twelve reps").score, Score::Reps { reps: 12 });
}

#[test]
fn a_minus_is_said_beside_whatever_else_is_asked() {
    for (kind, text) in
        [(ScoreKind::Time, "-3"), (ScoreKind::RoundsReps, "−3"), (ScoreKind::Load, "-3"), (ScoreKind::Distance, "-3")]
    {
        let question = plain(kind, text).held.unwrap();
        assert!(question.text.starts_with("A score is not below nothing. "), "{kind:?}: {}", question.text);
        assert!(question.answers.len() > 1, "{kind:?}: and the unit or kind is still to be said");
    }
    assert_eq!(plain(ScoreKind::Reps, "-3").held.unwrap().answers, ["3 reps"]);
}

#[test]
fn a_number_that_cannot_be_says_why_and_none_is_dropped() {
    let why = |kind, text| read(kind, text, &ScoreRules::default()).unwrap_err().why;
    assert_eq!(why(ScoreKind::Reps, "1000000"), "That is too many reps.");
    assert_eq!(why(ScoreKind::Reps, "3.5"), "Reps are whole numbers.");
    assert_eq!(why(ScoreKind::RoundsReps, "1000000"), "That is too many. Write rounds and reps as in 12+5.");
    assert_eq!(why(ScoreKind::HoldTime, "1000000"), "That is too long.");
    assert_eq!(why(ScoreKind::Load, "12:5"), "That looks like a time. This part is scored by weight.");
    assert_eq!(answers(&plain(ScoreKind::Reps, "1/2")), ["3 reps", "1 rep", "2 reps"]);
}

#[test]
fn nothing_or_nothing_is_body_weight() {
    assert_eq!(answers(&plain(ScoreKind::Load, "0/0")), ["body weight"]);
    assert_eq!(answers(&plain(ScoreKind::Load, "0/5 kg")), ["body weight", "5 kg"]);
}
