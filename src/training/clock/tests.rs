use super::*;
use crate::training::dose::{Load, Side};
use crate::training::session::{Interval, Line, Role};

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
    assert_eq!(amrap.line_reps, [Some(12), Some(10), None]);
}

#[test]
fn the_other_side_of_reps_is_turned_to_by_hand_and_that_of_a_time_by_the_clock() {
    let per_side = |line: Line| Line { side: Some(Side::PerSide), ..line };
    let lines = vec![per_side(reps(8.0)), reps(10.0), per_side(seconds(20.0)), per_side(Line { max: true, ..Line::default() })];
    for format in [Format::Sets, Format::Rounds, Format::ForTime, Format::Amrap, Format::Practice] {
        let made = plan(&Part { duration_s: Some(600.0), ..part(format, lines.clone()) }).unwrap();
        assert_eq!(made.sides, [0, 3], "{format:?}");
    }
    let plain = plan(&part(Format::Sets, vec![Line { side: Some(Side::Alternating), ..reps(8.0) }])).unwrap();
    assert!(plain.sides.is_empty() && !serde_json::to_string(&plain).unwrap().contains("sides"));
}

#[test]
fn for_time_counts_rounds_between_buy_in_and_cash_out() {
    let role = |role| Line { role: Some(role), ..reps(10.0) };
    let lines = vec![role(Role::BuyIn), reps(8.0), reps(12.0), role(Role::CashOut)];
    let timed = Part { rounds: Some(Amount::One(4.0)), time_cap_s: Some(1080.0), ..part(Format::ForTime, lines) };
    let steps = of(&timed);
    assert_eq!(steps.iter().map(|s| s.lines.clone()).collect::<Vec<_>>(), [vec![0], vec![1, 2], vec![3]]);
    assert_eq!((steps[1].tap, steps[1].count_to), (Tap::Counts, Some(4)));
    assert_eq!(plan(&timed).unwrap().cap_s, Some(1080.0));
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
fn a_line_with_rungs_of_its_own_keeps_them() {
    let rungs =
        |list: &[f64]| Line { reps: Some(Amount::Scheme(list.to_vec())), open: true, step: Some(list[1] - list[0]), ..reps(0.0) };
    let lines = vec![rungs(&[3.0, 6.0, 9.0]), rungs(&[2.0, 4.0, 6.0]), rungs(&[3.0, 6.0, 9.0])];
    let made = plan(&Part { duration_s: Some(480.0), ..part(Format::Ladder, lines) }).unwrap();
    assert_eq!((made.climbs, made.steps[0].grows), (vec![0, 1, 2], Some(3.0)));
    assert_eq!(made.own_rungs, [(1, Rungs { rungs: vec![2.0, 4.0, 6.0], grows: Some(2.0) })].into());
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
fn lines_that_take_turns_stand_alone_in_their_minute() {
    let emom = Part {
        rounds: Some(Amount::One(2.0)),
        duration_s: Some(360.0),
        ..part(Format::Emom, vec![reps(5.0), reps(6.0), reps(7.0)])
    };
    assert_eq!(of(&emom).iter().map(|s| s.lines.clone()).collect::<Vec<_>>(), [[0], [1], [2], [0], [1], [2]]);
    let together = Part { rounds: Some(Amount::One(6.0)), ..emom };
    assert!(of(&together).iter().all(|s| s.lines == [0, 1, 2]), "all of them every minute, where that is what it says");
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
fn what_is_left_of_a_stretch_belongs_to_it_though_the_run_became_a_time() {
    let most = Line { max: true, reps: None, ..reps(0.0) };
    let interval = Some(Interval { work_s: Some(180.0), rest_s: Some(90.0), every_s: None });
    let both =
        |first: Line| Part { rounds: Some(Amount::One(5.0)), interval, ..part(Format::Intervals, vec![first, most.clone()]) };
    let run = Line { movement: "run".to_owned(), metres: Some(Amount::One(400.0)), ..Line::default() };
    assert_eq!(seconds_of(&of(&both(seconds(120.0)))), seconds_of(&of(&both(run))));
    let stations = of(&both(seconds(180.0)));
    assert!(stations.iter().all(|s| s.lines.len() < 2), "a time that fills the stretch is a station of its own");
}

#[test]
fn a_build_up_is_as_many_sets_as_it_takes_inside_its_minutes() {
    let heavy = Part { duration_s: Some(900.0), score: ScoreKind::Load, ..part(Format::MaxEffort, vec![reps(3.0)]) };
    let made = plan(&heavy).unwrap();
    assert_eq!((made.open, made.cap_s), (true, Some(900.0)));
    let first: Vec<_> = made.steps.iter().take(3).map(|s| (s.kind, s.seconds, s.tap, s.round, s.rounds)).collect();
    assert_eq!(
        first,
        [(Kind::Work, None, Tap::Ends, 1, None), (Kind::Rest, None, Tap::Ends, 1, None), (Kind::Work, None, Tap::Ends, 2, None)]
    );
    let rested = plan(&Part { rest_s: Some(Amount::Range(120.0, 180.0)), ..heavy.clone() }).unwrap();
    assert_eq!(rested.steps[1].seconds, Some(120.0));
    let six = plan(&Part { rounds: Some(Amount::One(6.0)), ..heavy }).unwrap();
    assert_eq!((six.open, six.steps.len(), six.steps[10].rounds), (false, 11, Some(6)));
}

#[test]
fn a_test_by_the_clock_is_not_ended_by_a_slip() {
    let most = Line { max: true, reps: None, ..reps(0.0) };
    let steps = of(&Part { duration_s: Some(60.0), score: ScoreKind::Reps, ..part(Format::MaxEffort, vec![most]) });
    assert_eq!((steps.len(), steps[0].seconds, steps[0].tap), (1, Some(60.0), Tap::Nothing));
}

#[test]
fn a_hold_inside_rounds_is_counted_down_and_what_comes_before_it_waits_for_one_tap() {
    let side = Line { side: Some(Side::PerSide), ..seconds(20.0) };
    let mixed = Part { rounds: Some(Amount::One(2.0)), ..part(Format::Rounds, vec![reps(10.0), reps(8.0), side]) };
    let steps = of(&mixed);
    assert_eq!(seconds_of(&steps)[..5], [None, Some(READY_S), Some(20.0), Some(READY_S), Some(20.0)]);
    assert_eq!((steps[0].lines.as_slice(), steps[2].side, steps[4].side), (&[0, 1][..], Some(1), Some(2)));
    assert_eq!((steps.len(), steps[5].round, steps[5].turn), (10, 2, 1));
}

/// Kind and seconds of a countdown.
fn countdown(stretches: &[Stretch]) -> Vec<(Kind, f64, Option<u8>)> {
    stretches.iter().map(|s| (s.kind, s.seconds, s.side)).collect()
}

#[test]
fn a_hold_among_what_taps_count_is_started_by_hand_and_then_counted_down() {
    let lines = vec![reps(10.0), seconds(30.0)];
    let amrap = Part { duration_s: Some(420.0), ..part(Format::Amrap, lines.clone()) };
    let rounds = Part { rounds: Some(Amount::One(3.0)), ..part(Format::ForTime, lines.clone()) };
    let once = part(Format::ForTime, lines.clone());
    let minutes = Part { duration_s: Some(240.0), ..part(Format::Emom, lines) };
    for part in [amrap, rounds, once, minutes] {
        let plan = plan(&part).unwrap();
        assert_eq!(plan.holds.keys().collect::<Vec<_>>(), [&1], "{:?}", part.format);
        assert_eq!(countdown(&plan.holds[&1][0]), [(Kind::Ready, COUNT_IN_S, None), (Kind::Work, 30.0, None)]);
    }
}

#[test]
fn a_hold_for_each_side_leaves_time_to_turn_over() {
    let side = Line { side: Some(Side::PerSide), ..seconds(20.0) };
    let amrap = plan(&Part { duration_s: Some(420.0), ..part(Format::Amrap, vec![reps(10.0), side]) }).unwrap();
    let want = [(Kind::Ready, COUNT_IN_S, 1), (Kind::Work, 20.0, 1), (Kind::Ready, READY_S, 2), (Kind::Work, 20.0, 2)];
    assert_eq!(countdown(&amrap.holds[&1][0]), want.map(|(kind, s, side)| (kind, s, Some(side))));
}

#[test]
fn a_hold_that_gets_shorter_is_counted_down_as_it_is_in_each_round() {
    let hold = Line { seconds: Some(Amount::Scheme(vec![40.0, 30.0, 20.0])), ..seconds(0.0) };
    let rounds = Part { rounds: Some(Amount::One(3.0)), ..part(Format::ForTime, vec![reps(10.0), hold]) };
    let turns = plan(&rounds).unwrap().holds.remove(&1).unwrap();
    assert_eq!(turns.iter().map(|turn| turn[1].seconds).collect::<Vec<_>>(), [40.0, 30.0, 20.0]);
}

#[test]
fn a_hold_that_the_clock_counts_down_by_itself_is_not_started_by_hand() {
    let rounds = Part { rounds: Some(Amount::One(2.0)), ..part(Format::Rounds, vec![reps(10.0), seconds(30.0)]) };
    let minute = Part { duration_s: Some(120.0), ..part(Format::Emom, vec![seconds(30.0)]) };
    for part in [rounds, minute] {
        assert!(plan(&part).unwrap().holds.is_empty(), "{:?}", part.format);
    }
}

#[test]
fn a_hold_in_a_window_is_counted_down_and_the_rest_of_the_window_is_rest() {
    let station = |minute, line: Line| Line { minute: Some(minute), ..line };
    let lines = vec![station(1, reps(10.0)), station(2, seconds(35.0))];
    let steps = of(&Part { duration_s: Some(240.0), ..part(Format::Emom, lines) });
    assert_eq!(seconds_of(&steps), [60.0, 35.0, 25.0, 60.0, 35.0].map(Some), "the last one ends it");
    let side = Line { side: Some(Side::PerSide), ..seconds(20.0) };
    let steps = of(&Part { rounds: Some(Amount::One(2.0)), ..part(Format::Emom, vec![side]) });
    assert_eq!(seconds_of(&steps)[..4], [20.0, READY_S, 20.0, 15.0].map(Some));
    let full = of(&Part { rounds: Some(Amount::One(2.0)), ..part(Format::Emom, vec![seconds(58.0)]) });
    assert_eq!(seconds_of(&full), [60.0, 60.0].map(Some));
}

#[test]
fn windows_of_rounds_come_with_their_rests() {
    let blocks = Part {
        rounds: Some(Amount::One(3.0)),
        duration_s: Some(300.0),
        rest_s: Some(Amount::One(60.0)),
        ..part(Format::Amrap, vec![reps(5.0)])
    };
    let steps = of(&blocks);
    assert_eq!(seconds_of(&steps), [300.0, 60.0, 300.0, 60.0, 300.0].map(Some));
    assert_eq!((steps[2].round, steps[2].rounds, steps[2].tap, steps[2].count_to), (2, Some(3), Tap::Counts, None));
}

#[test]
fn lines_done_once_are_inside_the_window_that_they_begin() {
    let lines = vec![Line { role: Some(Role::BuyIn), ..reps(50.0) }, reps(5.0)];
    let made = plan(&Part { duration_s: Some(1200.0), ..part(Format::Amrap, lines) }).unwrap();
    assert_eq!((made.cap_s, seconds_of(&made.steps)), (Some(1200.0), vec![None, None]));
    assert_eq!((made.steps[0].tap, made.steps[1].tap), (Tap::Ends, Tap::Counts));
}

#[test]
fn a_count_and_then_as_many_as_one_can_share_a_stretch_of_work() {
    let interval = Some(Interval { work_s: Some(180.0), rest_s: Some(120.0), every_s: None });
    let lines =
        vec![Line { reps: None, calories: Some(Amount::One(12.0)), ..reps(0.0) }, Line { max: true, reps: None, ..reps(0.0) }];
    let steps = of(&Part { rounds: Some(Amount::One(2.0)), interval, ..part(Format::Intervals, lines) });
    assert_eq!((seconds_of(&steps), steps[0].lines.as_slice()), ([180.0, 120.0, 180.0].map(Some).to_vec(), &[0, 1][..]));
}

#[test]
fn a_line_is_said_as_it_is_in_each_turn() {
    let line = Line {
        reps: Some(Amount::Scheme(vec![10.0, 8.0, 6.0])),
        load: Some(Load::Kg { values: vec![60.0, 65.0, 70.0], range: false }),
        ..reps(0.0)
    };
    let third = at_turn(&line, 2);
    assert_eq!((turns(&line), third.reps, third.load), (3, Some(Amount::One(6.0)), Some(Load::kg(70.0))));
    assert_eq!(at_turn(&line, 4).reps, Some(Amount::One(8.0)), "a second wave begins again");
    let columns = Line { load: Some(Load::Kg { values: vec![24.0, 16.0], range: false }), ..reps(5.0) };
    assert_eq!((turns(&columns), at_turn(&columns, 1)), (1, columns.clone()));
    let percents = Load::Percent { percent: Amount::Scheme(vec![70.0, 80.0, 90.0]), of: "1RM".to_owned() };
    let line = Line { load: Some(percents), ..reps(3.0) };
    assert_eq!(at_turn(&line, 1).load, Some(Load::Percent { percent: Amount::One(80.0), of: "1RM".to_owned() }));
}

#[test]
fn an_emom_of_fewer_rounds_is_shorter_with_the_same_stations() {
    let station = |minute| Line { minute: Some(minute), ..reps(10.0) };
    let mut emom =
        Part { rounds: Some(Amount::One(4.0)), duration_s: Some(720.0), ..part(Format::Emom, vec![station(1), station(2)]) };
    with_rounds(&mut emom, Amount::One(2.0));
    assert_eq!(of(&emom).iter().map(|s| s.kind).collect::<Vec<_>>()[..3], [Kind::Work, Kind::Work, Kind::Rest]);
    assert_eq!(of(&emom).len(), 5);
}

#[test]
fn a_clock_without_lines_still_runs() {
    let minutes = Part { duration_s: Some(180.0), ..part(Format::Emom, Vec::new()) };
    assert_eq!(seconds_of(&of(&minutes)), [60.0; 3].map(Some));
    let interval = Some(Interval { work_s: Some(30.0), rest_s: Some(30.0), every_s: None });
    let on_off = Part { rounds: Some(Amount::One(2.0)), interval, ..part(Format::Intervals, Vec::new()) };
    assert_eq!(seconds_of(&of(&on_off)), [30.0; 3].map(Some));
    let timed = Part { rounds: Some(Amount::One(5.0)), ..part(Format::ForTime, Vec::new()) };
    assert_eq!(of(&timed)[0].count_to, Some(5));
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

#[test]
fn one_more_every_minute_goes_on_until_it_can_no_more_be_done() {
    let climbs = Line { open: true, step: Some(1.0), ..reps(1.0) };
    let part = part(Format::Emom, vec![climbs.clone()]);
    let plan = plan(&part).unwrap();
    assert_eq!((plan.open, plan.steps.len(), plan.steps[4].rounds), (true, 60, None));
    assert_eq!((turns_in(&part, &climbs), at_turn(&climbs, 11).reps), (60, Some(Amount::One(12.0))));
    let given = climbing_on(reps(2.0), &climbs);
    assert_eq!(at_turn(&given, 2).reps, Some(Amount::One(6.0)), "two of the easier one for each");
}

#[test]
fn a_max_hold_for_each_side_is_held_on_both_with_time_to_turn_over() {
    let side = Line { max: true, seconds: None, side: Some(Side::PerSide), ..seconds(0.0) };
    let hold = Part { score: ScoreKind::HoldTime, ..part(Format::MaxEffort, vec![side.clone()]) };
    let told = |p: &Part| of(p).iter().map(|s| (s.kind, s.seconds, s.side, s.tap)).collect::<Vec<_>>();
    let over = (Kind::Ready, Some(READY_S), Some(2), Tap::Nothing);
    assert_eq!(told(&hold), [(Kind::Work, None, Some(1), Tap::Ends), over, (Kind::Work, None, Some(2), Tap::Ends)]);
    let capped = told(&Part { duration_s: Some(60.0), ..hold });
    assert_eq!(capped, [(Kind::Work, Some(60.0), Some(1), Tap::Ends), over, (Kind::Work, Some(60.0), Some(2), Tap::Ends)]);
    let heavy = Part { score: ScoreKind::Load, ..part(Format::MaxEffort, vec![Line { side: Some(Side::PerSide), ..reps(3.0) }]) };
    assert_eq!(of(&heavy)[0].side, None, "a build-up for each side is one set");
}

#[test]
fn as_many_as_one_can_in_a_time_is_counted_down_inside_rounds() {
    let most = Line { max: true, ..seconds(30.0) };
    let rest_s = Some(Amount::One(60.0));
    let rounds = Part { rounds: Some(Amount::One(2.0)), rest_s, ..part(Format::Rounds, vec![reps(10.0), most]) };
    assert_eq!(seconds_of(&of(&rounds))[..4], [None, Some(READY_S), Some(30.0), Some(60.0)]);
    let untimed = Line { max: true, reps: None, ..reps(0.0) };
    assert_eq!(of(&part(Format::Rounds, vec![untimed]))[0].seconds, None, "without a time a tap ends it");
}

#[test]
fn each_go_of_a_test_by_the_clock_is_called_before_it_starts() {
    let most = Line { max: true, reps: None, ..reps(0.0) };
    let goes = Part {
        rounds: Some(Amount::One(2.0)),
        duration_s: Some(60.0),
        score: ScoreKind::Reps,
        ..part(Format::MaxEffort, vec![most])
    };
    assert_eq!(seconds_of(&of(&goes)), [Some(60.0), None, Some(READY_S), Some(60.0)]);
    let rested = Part { rest_s: Some(Amount::One(90.0)), ..goes };
    assert_eq!(seconds_of(&of(&rested)), [60.0, 90.0, 60.0].map(Some), "a timed rest is time enough");
}

#[test]
fn holds_of_a_practice_by_the_clock_are_begun_by_hand() {
    let side = Line { side: Some(Side::PerSide), ..seconds(20.0) };
    let practice = |lines| Part { duration_s: Some(480.0), ..part(Format::Practice, lines) };
    let made = plan(&practice(vec![seconds(30.0), side, reps(5.0)])).unwrap();
    assert_eq!((seconds_of(&made.steps), made.holds.keys().copied().collect::<Vec<_>>()), (vec![Some(480.0)], vec![0, 1]));
    assert_eq!(made.holds[&1][0].iter().map(|s| s.side).collect::<Vec<_>>(), [Some(1), Some(1), Some(2), Some(2)]);
    assert!(plan(&practice(vec![seconds(480.0)])).unwrap().holds.is_empty(), "the practice itself is no hold");
    assert!(plan(&part(Format::Practice, vec![seconds(30.0)])).unwrap().holds.is_empty(), "that one runs by itself");
}

#[test]
fn the_minute_that_was_not_kept_up_knows_its_reps() {
    let climbs = |reps| Line { reps: Some(reps), open: true, step: Some(1.0), ..Line::default() };
    let rungs = |line| plan(&part(Format::Emom, vec![line])).unwrap().own_rungs[&0].clone();
    assert_eq!(rungs(climbs(Amount::One(1.0))), Rungs { rungs: vec![1.0], grows: Some(1.0) });
    assert_eq!(rungs(climbs(Amount::Scheme(vec![1.0, 2.0, 3.0]))).rungs, [1.0, 2.0, 3.0]);
}
