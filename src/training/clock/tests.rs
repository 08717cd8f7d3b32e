use super::*;

fn reps(n: f64) -> Line {
    Line { movement: "air squat".to_owned(), reps: Some(Amount::One(n)), ..Line::default() }
}

fn seconds(n: f64) -> Line {
    Line { movement: "plank".to_owned(), seconds: Some(Amount::One(n)), ..Line::default() }
}

fn part(format: Format, lines: Vec<Line>) -> Part {
    Part { format, lines, ..Part::default() }
}

fn of(part: &Part) -> Vec<Step> {
    plan(part).unwrap().steps
}

fn seconds_of(steps: &[Step]) -> Vec<Option<f64>> {
    steps.iter().map(|s| s.seconds).collect()
}

#[test]
fn sets_are_tapped_and_rests_are_timed_and_the_last_rest_is_dropped() {
    let sets = Part { rounds: Some(Amount::One(3.0)), rest_s: Some(Amount::One(90.0)), ..part(Format::Sets, vec![reps(5.0)]) };
    assert_eq!(seconds_of(&of(&sets)), [None, Some(90.0), None, Some(90.0), None]);
}

#[test]
fn a_hold_for_each_side_is_two_stretches() {
    let side = Line { side: Some(Side::PerSide), ..seconds(20.0) };
    let steps = of(&part(Format::Practice, vec![side, seconds(30.0)]));
    // to turn over and to change the movement, one gets into place first
    assert_eq!(seconds_of(&steps), [20.0, READY_S, 20.0, READY_S, 30.0].map(Some));
    assert_eq!(steps.iter().map(|s| s.side).collect::<Vec<_>>(), [Some(1), Some(2), Some(2), None, None]);
    assert_eq!(steps.iter().filter(|s| s.kind == Kind::Ready).count(), 2);
}

#[test]
fn a_timed_rest_is_time_enough_to_get_into_place() {
    let holds =
        Part { rounds: Some(Amount::One(2.0)), rest_s: Some(Amount::One(60.0)), ..part(Format::Sets, vec![seconds(30.0)]) };
    assert_eq!(seconds_of(&of(&holds)), [30.0, 60.0, 30.0].map(Some));
}

#[test]
fn an_interval_for_each_side_changes_sides_at_half() {
    let interval = Some(Interval { work_s: Some(40.0), rest_s: Some(20.0), every_s: None });
    let side = Line { side: Some(Side::PerSide), ..reps(0.0) };
    let steps = of(&Part { rounds: Some(Amount::One(2.0)), interval, ..part(Format::Intervals, vec![side]) });
    assert_eq!(seconds_of(&steps), [20.0, 20.0, 20.0, 20.0, 20.0].map(Some));
    assert_eq!(steps.iter().map(|s| s.side).collect::<Vec<_>>(), [Some(1), Some(2), None, Some(1), Some(2)]);
}

#[test]
fn reps_for_each_side_count_twice() {
    let lines = vec![Line { side: Some(Side::PerSide), ..reps(6.0) }, reps(10.0), seconds(20.0)];
    let amrap = plan(&Part { duration_s: Some(420.0), ..part(Format::Amrap, lines) }).unwrap();
    assert_eq!((amrap.line_reps, amrap.round_reps), (vec![Some(12), Some(10), None], None));
}

#[test]
fn for_time_counts_rounds_between_buy_in_and_cash_out() {
    let role = |role| Line { role: Some(role), ..reps(10.0) };
    let lines = vec![role(Role::BuyIn), reps(8.0), reps(12.0), role(Role::CashOut)];
    let timed = Part { rounds: Some(Amount::One(4.0)), time_cap_s: Some(1080.0), ..part(Format::ForTime, lines) };
    let steps = of(&timed);
    assert_eq!(steps.iter().map(|s| s.lines.clone()).collect::<Vec<_>>(), [vec![0], vec![1, 2], vec![3]]);
    assert_eq!((steps[1].tap, steps[1].count_to), (Tap::Counts, Some(4)));
    assert_eq!((plan(&timed).unwrap().cap_s, plan(&timed).unwrap().round_reps), (Some(1080.0), Some(20)));
}

#[test]
fn work_done_once_through_is_tapped_line_by_line() {
    let lines = vec![Line { role: Some(Role::CashOut), ..reps(30.0) }, reps(50.0), reps(21.0)];
    let steps = of(&Part { time_cap_s: Some(1080.0), ..part(Format::ForTime, lines) });
    assert_eq!(steps.iter().map(|s| s.lines.clone()).collect::<Vec<_>>(), [[1], [2], [0]]);
    assert!(steps.iter().all(|s| s.tap == Tap::Ends && s.seconds.is_none() && s.unit == "line"));
    assert_eq!(steps.iter().map(|s| (s.round, s.rounds)).collect::<Vec<_>>(), [(1, Some(3)), (2, Some(3)), (3, Some(3))]);
}

#[test]
fn one_line_done_once_is_one_tap() {
    let steps = of(&part(Format::ForTime, vec![reps(100.0)]));
    assert_eq!((steps.len(), steps[0].tap, steps[0].count_to), (1, Tap::Counts, Some(1)));
}

#[test]
fn rungs_are_counted_one_tap_each() {
    let rungs = Line { reps: Some(Amount::Scheme(vec![21.0, 15.0, 9.0])), ..reps(0.0) };
    let steps = of(&part(Format::ForTime, vec![rungs]));
    assert_eq!((steps[0].unit, steps[0].count_to, steps[0].rungs.as_slice()), ("rung", Some(3), &[21.0, 15.0, 9.0][..]));
}

#[test]
fn an_open_ladder_ends_with_the_clock_alone() {
    let rungs = Line { reps: Some(Amount::Scheme(vec![2.0, 4.0, 6.0])), open: true, step: Some(2.0), ..reps(0.0) };
    let steps = of(&Part { duration_s: Some(600.0), ..part(Format::Ladder, vec![rungs]) });
    assert_eq!((steps[0].seconds, steps[0].count_to, steps[0].grows), (Some(600.0), None, Some(2.0)));
}

#[test]
fn an_amrap_is_one_window_in_which_rounds_are_counted() {
    let steps = of(&Part { duration_s: Some(420.0), ..part(Format::Amrap, vec![reps(7.0), reps(14.0)]) });
    assert_eq!((steps.len(), steps[0].seconds, steps[0].tap), (1, Some(420.0), Tap::Counts));
}

#[test]
fn minutes_go_through_the_stations() {
    let station = |minute| Line { minute: Some(minute), ..reps(10.0) };
    let emom = Part { rounds: Some(Amount::One(2.0)), ..part(Format::Emom, vec![station(1), station(2), station(3)]) };
    let steps = of(&emom);
    let rests =
        Part { rounds: Some(Amount::One(4.0)), duration_s: Some(720.0), ..part(Format::Emom, vec![station(1), station(2)]) };
    let kinds: Vec<Kind> = of(&rests).iter().map(|s| s.kind).collect();
    assert_eq!((kinds.len(), kinds[2]), (11, Kind::Rest), "every third minute is a rest, and the last one is the end");
    assert_eq!(steps.iter().map(|s| s.lines[0]).collect::<Vec<_>>(), [0, 1, 2, 0, 1, 2]);
    assert!(steps.iter().all(|s| s.seconds == Some(60.0)));
}

#[test]
fn minutes_without_a_count_come_from_the_length() {
    let interval = Some(Interval { every_s: Some(90.0), ..Interval::default() });
    let emom = Part { duration_s: Some(540.0), interval, ..part(Format::Emom, vec![reps(3.0)]) };
    assert_eq!(of(&emom).len(), 6);
    assert_eq!(of(&emom)[0].unit, "set", "a start every 90 s is no minute");
}

#[test]
fn intervals_go_round_the_stations_and_do_not_end_in_a_rest() {
    let interval = Some(Interval { work_s: Some(45.0), rest_s: Some(15.0), every_s: None });
    let stations = Part { rounds: Some(Amount::One(2.0)), interval, ..part(Format::Intervals, vec![reps(0.0), reps(0.0)]) };
    assert_eq!(of(&stations).len(), 7);
    let between = Part { rest_s: Some(Amount::One(60.0)), ..stations };
    assert_eq!(seconds_of(&of(&between))[3], Some(60.0));
}

#[test]
fn a_max_hold_runs_up_until_it_is_tapped() {
    let hold = Line { max: true, ..seconds(0.0) };
    let steps = of(&part(Format::MaxEffort, vec![hold]));
    assert_eq!((steps[0].seconds, steps[0].tap), (None, Tap::Ends));
}

/// The device's engine is tested on these plans, second by second.
#[test]
fn the_plans_that_the_devices_engine_is_tested_on_are_ours() {
    let library = crate::training::movement::Library::shipped();
    let session = crate::training::writeup::read(include_str!("../../../tests/data/clock/nine.txt"), library);
    let kept: serde_json::Value = serde_json::from_str(include_str!("../../../tests/data/clock/plans.json")).unwrap();
    assert_eq!(session.parts.len(), 9);
    for part in &session.parts {
        let made = serde_json::to_value(plan(part).unwrap()).unwrap();
        assert_eq!(made.to_string().replace(".0", ""), kept[&part.name].to_string().replace(".0", ""), "{}", part.name);
    }
}

#[test]
fn words_alone_have_no_clock() {
    assert_eq!(plan(&part(Format::Practice, Vec::new())), None);
    assert!(plan(&Part { duration_s: Some(300.0), ..part(Format::Practice, Vec::new()) }).is_some());
}
