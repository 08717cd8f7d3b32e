mod any;
mod asked;
mod rules;
mod weights;

use super::*;
use any::KINDS;

fn got(kind: ScoreKind, text: &str, rules: &ScoreRules) -> Reading {
    read(kind, text, rules).unwrap_or_else(|e| panic!("{text:?}: {e}"))
}

fn plain(kind: ScoreKind, text: &str) -> Reading {
    got(kind, text, &ScoreRules::default())
}

/// The part of most examples: five rounds of 27 reps, 14 minutes.
fn capped() -> ScoreRules {
    ScoreRules {
        cap_s: Some(840.0),
        total_reps: Some(135),
        round_reps: Some(27),
        fastest_s: Some(150.0),
        ..ScoreRules::default()
    }
}

fn time_of(text: &str) -> f64 {
    let reading = plain(ScoreKind::Time, text);
    assert_eq!(reading.held, None, "{text:?}");
    match reading.score {
        Score::Time { seconds } => seconds,
        other => panic!("{text:?} was read as {other:?}"),
    }
}

fn lift(weight: f64, unit: MassUnit) -> Lift {
    Lift { weight, unit: Some(unit), reps: None, implements: 1, added: false }
}

fn answers(reading: &Reading) -> Vec<&str> {
    reading.held.as_ref().map(|q| q.answers.iter().map(String::as_str).collect()).unwrap_or_default()
}

#[test]
fn times_are_read_in_every_spelling() {
    for (text, seconds) in [
        ("7:42", 462.0),
        ("07:42", 462.0),
        (" 7 : 42 ", 462.0),
        ("7:42 min", 462.0),
        ("7：42", 462.0),
        ("7m42", 462.0),
        ("7m42s", 462.0),
        ("7 min 42 sec", 462.0),
        ("7 minutes and 42 seconds", 462.0),
        ("7'42\"", 462.0),
        ("7′42″", 462.0),
        ("7'42''", 462.0),
        ("time: 7:42!!", 462.0),
        ("finished in 7:42 💪", 462.0),
        ("7 42", 462.0),
        ("7.42 min", 462.0),
        ("7.42", 462.0),
        ("7,42", 462.0),
        ("7.5 min", 450.0),
        ("7½ min", 450.0),
        ("7.75 min", 465.0),
        ("12 min", 720.0),
        ("seven min", 420.0),
        ("45 s", 45.0),
        (":45", 45.0),
        ("0:45", 45.0),
        ("1h02", 3720.0),
        ("1 h 2 min 3 s", 3723.0),
        ("1:02:03", 3723.0),
        ("1:02 h", 3720.0),
        ("1.5 hours", 5400.0),
        ("0742", 462.0),
        ("7:42.5", 462.5),
        ("٧:٤٢", 462.0),
    ] {
        assert!((time_of(text) - seconds).abs() < 1e-6, "{text:?} was read as {}", time_of(text));
    }
}

#[test]
fn a_point_that_stands_for_a_colon_is_said() {
    let reading = plain(ScoreKind::Time, "7.42");
    assert_eq!(reading.understood, "7 min 42 s (7.42 read as minutes and seconds)");
}

#[test]
fn the_typed_text_is_kept() {
    assert_eq!(plain(ScoreKind::Time, " 7:42 !").text, " 7:42 !");
}

#[test]
fn words_that_change_nothing_are_mentioned() {
    assert_eq!(plain(ScoreKind::Time, "7:42 knackered").unread, ["knackered"]);
}

#[test]
fn digits_run_together_are_asked_about() {
    let reading = plain(ScoreKind::Time, "742");
    assert_eq!(answers(&reading), ["7:42", "12:22"]);
}

#[test]
fn digits_run_together_are_settled_by_the_cap() {
    let reading = got(ScoreKind::Time, "742", &ScoreRules { cap_s: Some(600.0), total_reps: Some(135), ..ScoreRules::default() });
    assert_eq!((reading.score, reading.held), (Score::Time { seconds: 462.0 }, None));
}

#[test]
fn one_digit_behind_a_point_is_asked_about() {
    assert_eq!(answers(&plain(ScoreKind::Time, "11.3")), ["11:30", "11:18", "11:03"]);
}

#[test]
fn under_a_time_is_no_time() {
    for text in ["just under 8 min", "almost 8:00", "10-11 min"] {
        let settled = read(ScoreKind::Time, text, &ScoreRules::default()).is_ok_and(|r| r.held.is_none());
        assert!(!settled, "{text:?}");
    }
}

#[test]
fn hundredths_of_a_stopwatch_are_no_seconds() {
    assert_eq!(got(ScoreKind::Time, "7:42:50", &capped()).score, Score::Time { seconds: 462.5 });
}

#[test]
fn hours_and_minutes_are_no_stopwatch_and_are_asked_about_over_a_cap() {
    let hour = ScoreRules { cap_s: Some(3600.0), ..ScoreRules::default() };
    for (text, rules) in
        [("1h02", capped()), ("1 hour 2", capped()), ("62:30", capped()), ("60:00", capped()), ("60:30", hour.clone())]
    {
        let reading = got(ScoreKind::Time, text, &rules);
        assert!(reading.held.is_some_and(|q| q.text.starts_with("The cap is")), "{text:?}: {}", reading.understood);
    }
    let near = got(ScoreKind::Time, "1:02:30", &hour);
    assert_eq!(answers(&near), ["1:02.3", "1:02:30 over the cap"], "somebody may have gone on past the hour");
}

#[test]
fn all_the_reps_without_a_time_ask_for_the_time() {
    let reading = got(ScoreKind::Time, "135", &capped());
    assert_eq!(reading.held.map(|q| q.text).as_deref(), Some("135 reps is all of it. What was your time?"));
}

#[test]
fn a_slip_of_one_digit_is_asked_about() {
    assert_eq!(answers(&plain(ScoreKind::Time, "7:4")), ["7:40", "7:04"]);
}

#[test]
fn seconds_beyond_59_are_refused_with_a_reason() {
    let error = read(ScoreKind::Time, "7:75", &ScoreRules::default()).unwrap_err();
    assert_eq!((error.text.as_str(), error.why.as_str()), ("7:75", "Seconds go up to 59, and this says 75."));
}

#[test]
fn reps_at_the_cap_are_read_in_every_spelling() {
    for (text, done) in [
        ("capped at 128", 128),
        ("cap 128", 128),
        ("128 reps", 128),
        ("dnf 128", 128),
        ("TC 128", 128),
        ("did not finish, 128", 128),
        ("didn’t finish 128 reps", 128),
        ("131/135", 131),
        ("131 of 135", 131),
        ("131 reps out of the 135", 131),
        ("4 left", 131),
        ("4 reps left", 131),
        ("4 to go", 131),
        ("missing 4", 131),
        ("short by 4", 131),
        ("3 rounds + 7", 88),
        ("3+7", 88),
        ("3 rds 7 reps", 88),
        ("14:00 128 reps", 128),
        ("14:00 + 128", 128),
        ("capped 14:00 (128)", 128),
    ] {
        let reading = got(ScoreKind::Time, text, &capped());
        assert_eq!(reading.score, Score::Capped { work: Work::Done(done) }, "{text:?}");
        assert_eq!(reading.held, None, "{text:?}");
    }
}

#[test]
fn a_plus_behind_the_cap_may_mean_done_or_left() {
    for text in ["cap+7", "CAP + 7 reps", "14:00+7", "14:00 + 7 reps"] {
        assert_eq!(answers(&got(ScoreKind::Time, text, &capped())), ["7 left", "capped at 7 reps"]);
    }
}

#[test]
fn capped_alone_asks_for_the_reps() {
    assert!(got(ScoreKind::Time, "capped", &capped()).held.is_some());
}

#[test]
fn a_number_alone_may_be_a_time_or_reps() {
    let reading = got(ScoreKind::Time, "520", &ScoreRules { total_reps: Some(600), ..capped() });
    assert_eq!(answers(&reading), ["5:20", "8:40", "capped at 520 reps"]);
}

#[test]
fn a_time_over_the_cap_is_held() {
    assert!(got(ScoreKind::Time, "15:10", &capped()).held.is_some());
}

#[test]
fn more_left_than_there_is_is_refused() {
    assert!(read(ScoreKind::Time, "140 left", &capped()).is_err());
}

#[test]
fn all_reps_with_a_time_is_a_finish() {
    assert_eq!(got(ScoreKind::Time, "7:42, 135 reps", &capped()).score, Score::Time { seconds: 462.0 });
}

#[test]
fn a_time_that_nobody_could_do_is_doubted_and_kept() {
    let reading = got(ScoreKind::Time, "1:30", &capped());
    assert_eq!(reading.score, Score::Time { seconds: 90.0 });
    assert_eq!(reading.doubt.as_deref(), Some("Even the fastest would need about 2:30. Is that right?"));
}

#[test]
fn a_tie_break_is_taken_from_the_end() {
    let reading = got(ScoreKind::Time, "128 reps, tb 9:50", &capped());
    assert_eq!((reading.score, reading.tie_s), (Score::Capped { work: Work::Done(128) }, Some(590.0)));
}

#[test]
fn rounds_and_reps_are_read_in_every_spelling() {
    for (text, rounds, reps) in [
        ("12 rounds + 5", 12, 5),
        ("12+5", 12, 5),
        ("12 + 5 reps", 12, 5),
        ("5 rds", 5, 0),
        ("5 rounds", 5, 0),
        ("5 full rounds and 3", 5, 3),
        ("5r+3", 5, 3),
        ("5r 3", 5, 3),
        ("12-5", 12, 5),
        ("12 5", 12, 5),
        ("12/5", 12, 5),
        ("12 rounds, 5 reps", 12, 5),
        ("score = 12＋5", 12, 5),
        ("rounds: 12 reps: 5", 12, 5),
        ("reps 5, rounds 12", 12, 5),
        ("5 reps 12 rounds", 12, 5),
        ("12.05", 12, 5),
    ] {
        let reading = plain(ScoreKind::RoundsReps, text);
        assert_eq!(reading.score, Score::RoundsReps { rounds, reps }, "{text:?}");
        assert_eq!(reading.held, None, "{text:?}");
    }
}

#[test]
fn a_bare_number_may_be_rounds_or_reps() {
    assert_eq!(answers(&plain(ScoreKind::RoundsReps, "5")), ["5 rounds", "5 reps"]);
}

#[test]
fn more_rounds_than_fit_are_reps() {
    let rules = ScoreRules { round_reps: Some(22), most_rounds: Some(20.0), ..ScoreRules::default() };
    assert_eq!(got(ScoreKind::RoundsReps, "152", &rules).score, Score::RoundsReps { rounds: 6, reps: 20 });
}

#[test]
fn extra_reps_beyond_a_round_are_doubted() {
    let rules = ScoreRules { round_reps: Some(22), ..ScoreRules::default() };
    assert!(got(ScoreKind::RoundsReps, "3+25", &rules).doubt.is_some());
}

#[test]
fn a_point_between_rounds_and_reps_is_asked_about() {
    let rules = ScoreRules { round_reps: Some(22), ..ScoreRules::default() };
    assert_eq!(answers(&got(ScoreKind::RoundsReps, "12.5", &rules)), ["12 rounds + 5 reps", "12 rounds + 11 reps"]);
}

#[test]
fn reps_are_read() {
    for text in ["52", "52 reps", "total 52", "52!", "15+20+17"] {
        assert_eq!(plain(ScoreKind::Reps, text).score, Score::Reps { reps: 52 }, "{text:?}");
    }
}

#[test]
fn a_list_of_reps_follows_the_parts_rule() {
    let rules = ScoreRules { combine: Some(Combine::Lowest), ..ScoreRules::default() };
    assert_eq!(got(ScoreKind::Reps, "15, 12, 14", &rules).score, Score::Reps { reps: 12 });
}

#[test]
fn what_the_clock_of_several_goes_fills_in_is_read() {
    let lowest = ScoreRules { combine: Some(Combine::Lowest), round_reps: Some(13), ..ScoreRules::default() };
    assert_eq!(got(ScoreKind::RoundsReps, "2+4, 1+12, 3+0", &lowest).score, Score::RoundsReps { rounds: 1, reps: 12 });
    let each = ScoreRules { round_reps: Some(13), ..ScoreRules::default() };
    assert_eq!(got(ScoreKind::RoundsReps, "86 reps", &each).score, Score::RoundsReps { rounds: 6, reps: 8 });
    assert_eq!(got(ScoreKind::Reps, "20+18", &ScoreRules::default()).score, Score::Reps { reps: 38 });
    let best = ScoreRules { combine: Some(Combine::Highest), ..ScoreRules::default() };
    assert_eq!(got(ScoreKind::Reps, "20+18", &best).score, Score::Reps { reps: 20 });
}

#[test]
fn a_list_of_reps_without_a_rule_is_asked_about() {
    assert_eq!(answers(&plain(ScoreKind::Reps, "15, 12, 14")), ["41 reps", "12 reps", "15 reps"]);
}

#[test]
fn sets_times_reps_are_asked_about() {
    assert_eq!(answers(&plain(ScoreKind::Reps, "3x12")), ["36 reps", "3 reps", "12 reps"]);
}

#[test]
fn both_sides_are_asked_about() {
    assert_eq!(answers(&plain(ScoreKind::Reps, "12/10")), ["22 reps", "10 reps", "12 reps"]);
}

#[test]
fn a_time_is_no_number_of_reps() {
    assert!(read(ScoreKind::Reps, "7:42", &ScoreRules::default()).is_err());
}

#[test]
fn distances_are_read() {
    for (text, metres) in
        [("400 m", 400.0), ("1.2 km", 1200.0), ("1,2km", 1200.0), ("5k", 5000.0), ("1,200 m", 1200.0), ("2 miles", 3218.688)]
    {
        let Score::Distance { value, unit: Some(unit) } = plain(ScoreKind::Distance, text).score else { panic!("{text:?}") };
        assert!((value * unit.metres() - metres).abs() < 1e-6, "{text:?}");
    }
}

#[test]
fn a_distance_without_a_unit_is_held() {
    assert_eq!(answers(&plain(ScoreKind::Distance, "5")), ["5 m", "5 km", "5 mi"]);
}

#[test]
fn a_point_of_thousands_is_asked_about() {
    assert_eq!(answers(&plain(ScoreKind::Distance, "1.200 m")), ["1200 m", "1.2 m"]);
}

#[test]
fn laps_are_no_distance() {
    assert!(
        read(ScoreKind::Distance, "2 laps", &ScoreRules { distance_unit: Some(DistanceUnit::M), ..ScoreRules::default() })
            .is_err()
    );
}

#[test]
fn calories_are_read() {
    for text in ["52", "52 cal", "52 kcal", "20+32"] {
        assert_eq!(plain(ScoreKind::Calories, text).score, Score::Calories { calories: 52.0 }, "{text:?}");
    }
}

#[test]
fn holds_are_read() {
    for (text, seconds) in [(":45", 45.0), ("45 s", 45.0), ("45", 45.0), ("1:30", 90.0), ("90", 90.0), ("1 min 30", 90.0)] {
        let reading = plain(ScoreKind::HoldTime, text);
        assert_eq!((reading.score, reading.held), (Score::Hold { seconds }, None), "{text:?}");
    }
}

#[test]
fn a_hold_of_two_may_be_minutes() {
    assert_eq!(answers(&plain(ScoreKind::HoldTime, "2")), ["2:00", "0:02"]);
}

#[test]
fn done_is_done() {
    for text in ["done", "Yes!", "✅", "ok", "", "x", "did it", "👍"] {
        assert_eq!(plain(ScoreKind::None, text).score, Score::Done, "{text:?}");
    }
    assert_eq!(plain(ScoreKind::None, "skipped").score, Score::NotDone { started: false });
    assert!(read(ScoreKind::None, "👎", &ScoreRules::default()).is_err());
}

#[test]
fn not_started_and_not_finished_are_results_too() {
    assert_eq!(plain(ScoreKind::Time, "dnf").score, Score::NotDone { started: true });
    assert_eq!(plain(ScoreKind::Load, "did not start").score, Score::NotDone { started: false });
}

#[test]
fn nothing_is_read_from_words_alone() {
    for kind in
        [ScoreKind::Time, ScoreKind::RoundsReps, ScoreKind::Reps, ScoreKind::Load, ScoreKind::Distance, ScoreKind::HoldTime]
    {
        assert!(read(kind, "it went well", &ScoreRules::default()).is_err());
    }
}

#[test]
fn an_error_shows_what_would_be_read() {
    for kind in KINDS {
        for text in examples(kind) {
            assert_eq!(plain(kind, &text).held, None, "{text:?}");
        }
    }
}

#[test]
fn a_score_is_stored_as_json() {
    let json = serde_json::to_string(&Score::Load { lifts: vec![lift(62.5, MassUnit::Kg)] }).unwrap();
    assert_eq!(json, r#"{"kind":"load","lifts":[{"weight":62.5,"unit":"kg"}]}"#);
}

#[test]
fn a_number_with_two_points_is_a_slip_and_no_number() {
    let rules = ScoreRules { mass_unit: Some(MassUnit::Kg), ..ScoreRules::default() };
    let read = read(ScoreKind::Load, "25.5.5 kg", &rules);
    assert!(read.as_ref().map_or(true, |r| !r.unread.is_empty()), "{read:?}");
    assert!(super::sets::read("5 x 5 at 25.5.5 kg", None, &rules).is_err());
}
