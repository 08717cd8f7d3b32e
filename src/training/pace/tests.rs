use super::*;
use crate::training::dose::{Amount, Side};
use crate::training::movement::Library;
use crate::training::session::{Format, Intent, Interval, Line, Part, Role, ScoreKind, Session};

fn library() -> &'static Library {
    Library::shipped()
}

fn reps(movement: &str, n: f64) -> Line {
    Line { movement: movement.to_owned(), reps: Some(Amount::One(n)), ..Line::default() }
}

fn metres(movement: &str, n: f64) -> Line {
    Line { movement: movement.to_owned(), metres: Some(Amount::One(n)), ..Line::default() }
}

fn hold(movement: &str, s: Amount) -> Line {
    Line { movement: movement.to_owned(), seconds: Some(s), ..Line::default() }
}

fn of(format: Format, lines: Vec<Line>) -> Part {
    Part { format, lines, ..Part::default() }
}

fn close(got: f64, want: f64) {
    assert!((got - want).abs() < 1e-6, "{got} is not {want}");
}

#[test]
fn a_line_takes_its_reps_at_the_movements_pace() {
    close(line(&reps("air squat", 15.0), library()).typical_s, 30.0);
}

#[test]
fn a_number_for_each_side_counts_twice() {
    let row = Line { side: Some(Side::PerSide), ..reps("single-arm row", 12.0) };
    close(line(&row, library()).typical_s, 72.0);
}

#[test]
fn a_written_tempo_beats_the_movements_own_pace() {
    let squat = Line { tempo: Some("3-1-1-0".to_owned()), ..reps("back squat", 5.0) };
    close(line(&squat, library()).typical_s, 25.0);
}

#[test]
fn a_hold_takes_what_the_clock_says() {
    assert_eq!(line(&hold("plank", Amount::One(30.0)), library()), Estimate::fixed(30.0));
}

#[test]
fn five_sets_with_rest_have_four_rests() {
    let mut part = of(Format::Sets, vec![reps("back squat", 5.0)]);
    part.rounds = Some(Amount::One(5.0));
    part.rest_s = Some(Amount::One(150.0));
    close(part_with(&part, library(), &Pacing::BARE).typical_s, 5.0 * 20.0 + 4.0 * 150.0);
}

#[test]
fn strength_sets_without_a_written_rest_get_one() {
    let mut part = of(Format::Sets, vec![reps("back squat", 5.0)]);
    part.rounds = Some(Amount::One(5.0));
    part.intent = Intent::Strength;
    assert!(super::part(&part, library()).typical_s > 500.0);
}

#[test]
fn an_emom_takes_its_windows() {
    let mut stations = vec![reps("burpee", 8.0), reps("air squat", 15.0), reps("sit-up", 15.0)];
    for (i, l) in stations.iter_mut().enumerate() {
        l.minute = Some(u32::try_from(i + 1).unwrap());
    }
    let mut part = of(Format::Emom, stations);
    part.rounds = Some(Amount::One(6.0));
    part.interval = Some(Interval { every_s: Some(60.0), ..Interval::default() });
    assert_eq!(super::part(&part, library()), Estimate::fixed(1080.0));
}

#[test]
fn intervals_take_work_and_rest_at_every_station() {
    let lines = vec![reps("plank", 0.0), reps("air squat", 0.0), reps("step jack", 0.0)];
    let mut part = of(Format::Intervals, lines);
    part.rounds = Some(Amount::One(4.0));
    part.interval = Some(Interval { work_s: Some(45.0), rest_s: Some(20.0), every_s: None });
    assert_eq!(super::part(&part, library()), Estimate::fixed(780.0));
}

#[test]
fn an_amrap_takes_its_window() {
    let mut part = of(Format::Amrap, vec![reps("burpee", 5.0)]);
    part.duration_s = Some(480.0);
    assert_eq!(super::part(&part, library()), Estimate::fixed(480.0));
}

#[test]
fn a_cap_ends_the_part() {
    let mut part = of(Format::ForTime, vec![reps("burpee", 500.0)]);
    part.time_cap_s = Some(600.0);
    close(super::part(&part, library()).high_s, 600.0);
}

#[test]
fn a_buy_in_is_done_once() {
    let mut part = of(Format::ForTime, vec![Line { role: Some(Role::BuyIn), ..metres("run", 400.0) }, reps("air squat", 10.0)]);
    part.rounds = Some(Amount::One(4.0));
    close(part_with(&part, library(), &Pacing::BARE).typical_s, 400.0 * 0.33 + 4.0 * 20.0);
}

#[test]
fn rungs_add_up() {
    let scheme = Line { reps: Some(Amount::Scheme(vec![21.0, 15.0, 9.0])), ..reps("air squat", 0.0) };
    close(part_with(&of(Format::ForTime, vec![scheme]), library(), &Pacing::BARE).typical_s, 90.0);
}

#[test]
fn a_written_range_of_rounds_widens_the_estimate() {
    let mut part = of(Format::Practice, vec![hold("plank", Amount::Range(10.0, 30.0))]);
    part.rounds = Some(Amount::Range(2.0, 3.0));
    let got = part_with(&part, library(), &Pacing::BARE);
    assert_eq!(got, Estimate { low_s: 20.0, typical_s: 50.0, high_s: 90.0 });
}

#[test]
fn a_heavy_lift_is_built_up_to() {
    let mut part = of(Format::MaxEffort, vec![reps("deadlift", 3.0)]);
    part.score = ScoreKind::Load;
    assert!(super::part(&part, library()).typical_s > 600.0);
}

#[test]
fn a_session_is_its_parts_and_what_lies_between() {
    let mut amrap = of(Format::Amrap, vec![reps("burpee", 5.0)]);
    amrap.duration_s = Some(300.0);
    let two = Session { parts: vec![amrap.clone(), amrap], ..Session::default() };
    assert_eq!(session(&two, library()).typical_s, 690.0);
}

#[test]
fn an_eight_minute_cap_on_a_mile_and_240_reps_is_beyond_everybody() {
    let part = of(
        Format::ForTime,
        vec![metres("run", 800.0), reps("burpee", 80.0), reps("air squat", 80.0), reps("sit-up", 80.0), metres("run", 800.0)],
    );
    let part = Part { time_cap_s: Some(480.0), ..part };
    assert!(fastest(&part, library()) > 480.0);
    let typical = without_cap(&part, library());
    assert!(typical.low_s > 900.0 && typical.typical_s < 1500.0, "{typical:?}");
}

/// Podstawski et al. 2019, 3-minute burpee test: the best of 5971 men did 82 (27.333 a minute).
#[test]
fn the_best_burpees_of_a_study_are_not_doubted() {
    assert!(fastest_line(&reps("burpee", 82.0), library()) < 180.0);
}

#[test]
fn ten_burpees_in_a_short_burst_are_not_doubted() {
    assert!(fastest_line(&reps("burpee", 10.0), library()) < 15.0);
}

#[test]
fn the_800_metre_record_is_not_doubted() {
    assert!(fastest_line(&metres("run", 800.0), library()) <= 100.91);
}

#[test]
fn written_rest_must_be_taken() {
    let mut part = of(Format::ForTime, vec![reps("burpee", 10.0)]);
    part.rounds = Some(Amount::One(3.0));
    part.rest_s = Some(Amount::One(60.0));
    assert!(fastest(&part, library()) > 120.0);
}

#[test]
fn nothing_is_claimed_about_a_movement_that_nobody_knows() {
    close(fastest_line(&reps("harbour turns", 500.0), library()), 0.0);
}

#[test]
fn fastest_is_below_low_for_every_movement() {
    for m in library().all() {
        for n in [1.0, 10.0, 100.0] {
            let l = reps(&m.name, n);
            assert!(fastest_line(&l, library()) <= line(&l, library()).low_s, "{} x {n}", m.name);
        }
    }
}
