use super::case::{Place, Ranking, rank};
use super::*;
use crate::training::score::{Lift, MassUnit, Work};
use proptest::prelude::*;
use serde_json::Value;
use std::collections::BTreeMap;

fn places(value: &Value) -> Vec<Vec<String>> {
    let ids = |v: &Value| match v {
        Value::Array(list) => list.iter().map(|s| s.as_str().unwrap().to_owned()).collect(),
        one => vec![one.as_str().unwrap().to_owned()],
    };
    value.as_array().map(|all| all.iter().map(ids).collect()).unwrap_or_default()
}

fn flat(value: &Value) -> Vec<String> {
    places(value).concat()
}

fn order_of(ranking: &Ranking) -> Vec<Vec<String>> {
    let ids = |p: &Place| match p {
        Place::One(id) => vec![id.clone()],
        Place::Shared(ids) => ids.clone(),
    };
    ranking.order.iter().map(ids).collect()
}

/// Each case of a list, and its text: the order in which an object is written counts, and a value has none.
fn each_case(list: &str) -> Vec<(Value, &str)> {
    let mut rest = list.trim().trim_start_matches('[');
    let mut out = Vec::new();
    loop {
        let mut cases = serde_json::Deserializer::from_str(rest).into_iter::<Value>();
        let Some(Ok(case)) = cases.next() else { return out };
        let end = cases.byte_offset();
        out.push((case, &rest[..end]));
        rest = rest[end..].trim_start().trim_start_matches(',');
    }
}

fn every_case_is_ranked(cases: &str) {
    let all: Vec<Value> = serde_json::from_str(cases).unwrap();
    let cases = each_case(cases);
    assert!(!cases.is_empty() && cases.len() == all.len());
    for (case, text) in cases {
        let got = rank(text).unwrap();
        let name = format!("case {}: {}", case["case"], case["why"]);
        assert_eq!(order_of(&got), places(&case["order"]), "{name}");
        assert_eq!(got.held, flat(&case["held"]), "{name}");
        assert_eq!(got.listed_not_ranked, flat(&case["listed_not_ranked"]), "{name}");
        assert_eq!(got.hidden, flat(&case["hidden"]), "{name}");
        assert_eq!(got.not_understood, Vec::<String>::new(), "{name}");
        let ids = case["entries"].as_array().unwrap().iter().map(|e| e["id"].as_str().unwrap());
        ids.for_each(|id| assert!(got.why.contains_key(id), "{name}: no line for {id}"));
    }
}

#[test]
fn cases_ordered_by_hand_by_a_coach() {
    every_case_is_ranked(include_str!("../../../tests/data/ranking/cases.json"));
}

#[test]
fn cases_ordered_by_another_hand_before_they_were_tried() {
    every_case_is_ranked(include_str!("../../../tests/data/ranking/coach.json"));
}

#[test]
fn cases_of_our_own() {
    every_case_is_ranked(include_str!("../../../tests/data/ranking/own.json"));
}

#[test]
fn a_key_that_is_not_understood_is_named() {
    let got = rank(r#"{"scoring": {"type": "reps"}, "entries": [{"id": "a", "reps": 5, "moon": "full"}]}"#).unwrap();
    assert_eq!(got.not_understood, ["a: moon"]);
}

#[test]
fn the_fewest_stand_first_where_the_coach_wrote_so_and_the_rules_say_it() {
    let rule = "fewest breaks wins";
    let got = rank(&format!(
        r#"{{"scoring": {{"type": "reps", "score_rule": "{rule}"}}, "entries": [{{"id": "a", "reps": 14}}, {{"id": "b", "reps": 11}}]}}"#
    ))
    .unwrap();
    assert_eq!(got.order, [Place::One("b".to_owned()), Place::One("a".to_owned())]);
    assert!(Policy::default().sentences_for(ScoreKind::Reps, Some(rule)).iter().any(|s| s.starts_with("The least stands first")));
}

#[test]
fn two_entries_with_one_id_are_refused() {
    assert!(rank(r#"{"scoring": {"type": "reps"}, "entries": [{"id": "a", "reps": 5}, {"id": "a", "reps": 6}]}"#).is_err());
}

fn timed() -> Scoring {
    let course = Course { cap_s: Some(840.0), total_reps: Some(135), round_reps: Some(27) };
    Scoring { kind: ScoreKind::Time, course, ..Scoring::default() }
}

fn time(id: &str, seconds: f64) -> Entry {
    Entry::new(id, Score::Time { seconds })
}

fn why(board: &Board, id: &str) -> String {
    let rows = board.tables.iter().flat_map(|t| &t.rows).chain(&board.listed).chain(&board.held);
    rows.filter(|r| r.id == id).map(|r| r.why.clone()).collect()
}

#[test]
fn places_are_1_2_2_4() {
    let entries = [time("a", 600.0), time("b", 610.0), time("c", 610.0), time("d", 620.0)];
    let board = board(&timed(), &Policy::default(), &entries);
    let got: Vec<Option<u32>> = board.tables[0].rows.iter().map(|r| r.place).collect();
    assert_eq!(got, [Some(1), Some(2), Some(2), Some(4)]);
}

#[test]
fn every_line_says_why() {
    let capped = Entry::new("b", Score::Capped { work: Work::Done(128) });
    let adapted = Entry { version: Version::Adapted("rows for pull-ups".to_owned()), ..time("c", 500.0) };
    let board = board(&timed(), &Policy::default(), &[time("a", 702.0), capped, adapted]);
    assert_eq!(why(&board, "a"), "Place 1 of 2 as written: 11:42.");
    assert_eq!(why(&board, "b"), "Place 2 of 2 as written: capped at 128 reps, behind every finisher.");
    assert_eq!(why(&board, "c"), "Listed without a place: another movement (rows for pull-ups) cannot be compared.");
}

#[test]
fn a_shared_place_says_so() {
    let board = board(&timed(), &Policy::default(), &[time("a", 702.0), time("b", 702.0)]);
    assert_eq!(why(&board, "a"), "Place 1 of 2 as written: 11:42; equal to one other, so the place is shared.");
}

#[test]
fn the_rules_are_said_in_plain_sentences() {
    let policy = Policy { closes_min: Some(21 * 60), ..Policy::default() };
    let said = policy.sentences();
    assert_eq!(said[0], "As written stands first, with either load, then lighter, then shorter. Inside each, results decide.");
    assert!(said.iter().any(|s| s.contains("closes at 21:00 where you live")));
    assert!(said.iter().any(|s| s == "Effort, pain and notes go to the coach alone."));
}

#[test]
fn which_result_stands_first_is_said_for_the_kind_of_score_alone() {
    let policy = Policy::default();
    for (kind, said, other) in [
        (ScoreKind::Time, "The shortest time stands first.", "heaviest"),
        (ScoreKind::RoundsReps, "The most work stands first", "capped"),
        (ScoreKind::Load, "The heaviest load stands first.", "capped"),
        (ScoreKind::HoldTime, "The longest hold stands first.", "capped"),
    ] {
        let all = policy.sentences_for(kind, None);
        assert!(all.iter().any(|s| s.starts_with(said)), "{kind:?}: {all:?}");
        assert!(all.iter().all(|s| !s.contains(other)), "{kind:?}: {all:?}");
    }
}

#[test]
fn an_option_that_changes_the_work_has_its_own_count() {
    let mut scoring = timed();
    scoring.options.push(("shorter".to_owned(), Course { cap_s: Some(540.0), ..Course::default() }));
    assert_eq!(scoring.course_of(&Version::Option("shorter".to_owned())).total_reps, None);
}

#[test]
fn ten_thousand_results_have_their_places() {
    let entries: Vec<Entry> = (0..10_000).map(|i| time(&format!("m{i}"), 300.0 + f64::from(i % 500))).collect();
    let board = board(&timed(), &Policy::default(), &entries);
    assert_eq!(board.tables[0].rows.last().map(|r| r.place), Some(Some(9_981)));
}

fn any_version() -> impl Strategy<Value = Version> {
    prop_oneof![
        3 => Just(Version::Full),
        1 => Just(Version::Option("lighter".to_owned())),
        1 => Just(Version::Option("shorter".to_owned())),
        1 => Just(Version::Option("quiet".to_owned())),
        1 => Just(Version::Adapted("rows for pull-ups".to_owned())),
    ]
}

fn any_result() -> impl Strategy<Value = Score> {
    prop_oneof![
        4 => (590..610_u32).prop_map(|s| Score::Time { seconds: f64::from(s) }),
        2 => (100..140_u32).prop_map(|n| Score::Capped { work: Work::Done(n) }),
        1 => (0..40_u32).prop_map(|n| Score::Capped { work: Work::Left(n) }),
        1 => (0..6_u32, 0..27_u32).prop_map(|(a, b)| Score::Capped { work: Work::Rounds(a, b) }),
        1 => Just(Score::Capped { work: Work::Unknown }),
        1 => any::<bool>().prop_map(|started| Score::NotDone { started }),
    ]
}

fn any_shown() -> impl Strategy<Value = Shown> {
    prop_oneof![6 => Just(Shown::Yes), 1 => Just(Shown::Private), 1 => Just(Shown::Withdrawn)]
}

prop_compose! {
    fn any_entry()(
        score in any_result(), version in any_version(), shown in any_shown(), tie in proptest::option::of(100..105_u32),
        corrects in proptest::option::weighted(0.1, Just(String::new())), member in 0..12_u32, attempt in 1..3_u32,
        received in proptest::option::of(1000..2000_i64), performed in proptest::option::of(1000..1400_i64),
    ) -> Entry {
        Entry {
            member: format!("m{member}"), version, shown, tie_s: tie.map(f64::from), corrects, attempt,
            when: When { performed_min: performed, received_min: received },
            ..Entry::new("", score)
        }
    }
}

fn any_entries() -> impl Strategy<Value = Vec<Entry>> {
    proptest::collection::vec(any_entry(), 0..16).prop_map(|mut list| {
        list.iter_mut().enumerate().for_each(|(i, e)| e.id = format!("e{i:02}"));
        list
    })
}

fn any_policy() -> impl Strategy<Value = Policy> {
    let tie = prop_oneof![Just(TieBreak::None), Just(TieBreak::Clock("clock after the squats".to_owned()))];
    let attempts = prop_oneof![Just(Attempts::First), Just(Attempts::Best), Just(Attempts::Last)];
    (any::<bool>(), tie, attempts, proptest::option::of(Just(1260_i64))).prop_map(
        |(one_list, tie_break, attempts, closes_min)| Policy { one_list, tie_break, attempts, closes_min, ..Policy::default() },
    )
}

/// Competition ranking by its definition, as scipy's `rankdata(method="min")`: one more than the number of better ones.
fn competition(values: &[f64]) -> Vec<usize> {
    values.iter().map(|v| 1 + values.iter().filter(|o| *o < v).count()).collect()
}

/// A result that comes in, changes, or is taken out.
fn any_steps() -> impl Strategy<Value = Vec<(Entry, bool)>> {
    proptest::collection::vec((any_entry(), 0..12_u32, proptest::bool::weighted(0.75)), 0..40).prop_map(|list| {
        let named = |(e, id, stays)| (Entry { id: format!("e{id:02}"), corrects: None, ..e }, stays);
        list.into_iter().map(named).collect()
    })
}

proptest! {
    #[test]
    fn a_board_that_is_kept_is_the_board_made_anew(steps in any_steps(), policy in any_policy(), counted in any::<bool>()) {
        // without counts of reps, what the others gave decides whether a number can be compared
        let scoring = if counted { timed() } else { Scoring { kind: ScoreKind::Time, ..Scoring::default() } };
        let mut kept = Ladder::new(scoring.clone(), policy.clone(), []);
        let mut entries: BTreeMap<String, Entry> = BTreeMap::new();
        for (entry, stays) in steps {
            if stays {
                kept.put(entry.clone());
                entries.insert(entry.id.clone(), entry);
            } else {
                kept.remove(&entry.id);
                entries.remove(&entry.id);
            }
            let all: Vec<Entry> = entries.values().cloned().collect();
            let want = board(&scoring, &policy, &all);
            prop_assert_eq!(&kept.board(), &want);
            for (t, table) in want.tables.iter().enumerate() {
                for (i, row) in table.rows.iter().enumerate() {
                    prop_assert!(kept.places_of(&entries[&row.id].member).contains(&(t, i)));
                }
            }
        }
    }

    #[test]
    fn the_order_of_arrival_changes_nothing(entries in any_entries(), policy in any_policy(), turn in 0..16_usize) {
        let want = board(&timed(), &policy, &entries);
        let mut other = entries.clone();
        other.rotate_left(if entries.is_empty() { 0 } else { turn % entries.len() });
        prop_assert_eq!(&board(&timed(), &policy, &other), &want);
        other.reverse();
        prop_assert_eq!(&board(&timed(), &policy, &other), &want);
    }

    #[test]
    fn every_entry_stands_in_exactly_one_place(entries in any_entries(), policy in any_policy()) {
        let got = board(&timed(), &policy, &entries);
        let mut ids: Vec<&str> = got.order().concat();
        ids.extend(got.listed.iter().chain(&got.held).map(|r| r.id.as_str()));
        ids.extend(got.hidden.iter().map(|h| h.id.as_str()));
        ids.sort_unstable();
        let want: Vec<&str> = entries.iter().map(|e| e.id.as_str()).collect();
        prop_assert_eq!(ids, want);
    }

    #[test]
    fn private_and_withdrawn_results_leave_no_trace(entries in any_entries(), policy in any_policy(), more in any_entries(), gone in any::<bool>()) {
        let want = board(&timed(), &policy, &entries);
        let strangers = more.into_iter().map(|e| Entry {
            id: format!("x{}", e.id), member: format!("x{}", e.member),
            shown: if gone { Shown::Withdrawn } else { Shown::Private }, ..e
        });
        let got = board(&timed(), &policy, &entries.iter().cloned().chain(strangers).collect::<Vec<_>>());
        prop_assert_eq!(got.tables, want.tables);
        prop_assert_eq!(got.listed, want.listed);
        prop_assert_eq!(got.held, want.held);
    }

    #[test]
    fn a_held_result_delays_nobody(entries in any_entries(), policy in any_policy()) {
        let want = board(&timed(), &policy, &entries);
        let stranger = Entry { member: "stranger".to_owned(), held: Some("a question".to_owned()), ..time("z", 1.0) };
        let got = board(&timed(), &policy, &entries.iter().cloned().chain([stranger]).collect::<Vec<_>>());
        prop_assert_eq!(got.tables, want.tables);
    }

    #[test]
    fn places_are_those_of_a_competition(seconds in proptest::collection::vec(400..420_u32, 1..40)) {
        let entries: Vec<Entry> = seconds.iter().enumerate().map(|(i, s)| time(&format!("{i}"), f64::from(*s))).collect();
        let got = board(&timed(), &Policy::default(), &entries);
        let places: BTreeMap<&str, u32> = got.tables[0].rows.iter().map(|r| (r.id.as_str(), r.place.unwrap())).collect();
        let values: Vec<f64> = seconds.iter().copied().map(f64::from).collect();
        for (i, want) in competition(&values).into_iter().enumerate() {
            prop_assert_eq!(places[i.to_string().as_str()] as usize, want);
        }
    }

    #[test]
    fn a_finisher_is_never_behind_anyone_capped(entries in any_entries()) {
        let by_id: BTreeMap<&str, &Entry> = entries.iter().map(|e| (e.id.as_str(), e)).collect();
        for table in board(&timed(), &Policy::default(), &entries).tables {
            let capped: Vec<bool> = table.rows.iter().map(|r| matches!(by_id[r.id.as_str()].score, Score::Capped { .. })).collect();
            prop_assert!(capped.is_sorted(), "{:?}", table);
        }
    }

    #[test]
    fn the_same_weight_in_both_units_shares_a_place(quarters in 40..1200_u32) {
        let lb = f64::from(quarters) / 4.0;
        let lift = |weight, unit| Score::Load { lifts: vec![Lift { weight, unit: Some(unit), reps: None, implements: 1, added: false }] };
        let kg = lb * MassUnit::Lb.kg();
        let entries = [Entry::new("a", lift(lb, MassUnit::Lb)), Entry::new("b", lift(kg, MassUnit::Kg))];
        let got = board(&Scoring { kind: ScoreKind::Load, ..Scoring::default() }, &Policy::default(), &entries);
        prop_assert_eq!(got.order(), vec![vec!["a", "b"]]);
    }

    #[test]
    fn any_json_is_ranked_or_refused(text in "\\PC{0,60}", id in "[a-z]{1,3}", kind in "time|reps|load|rounds_reps|distance|x") {
        let _ = rank(&text);
        let case = serde_json::json!({"scoring": {"type": kind, "closes": text}, "entries": [{"id": id, "text": text, "performed": text, "load": text}]});
        prop_assert!(rank(&case.to_string()).is_ok());
    }
}

#[test]
fn a_time_over_the_cap_waits_until_somebody_says_that_it_is_right_and_is_listed_then() {
    let scoring =
        Scoring { kind: ScoreKind::Time, course: Course { cap_s: Some(900.0), ..Course::default() }, ..Scoring::default() };
    let asked = Entry::new("a", Score::Time { seconds: 980.0 });
    let right = Entry { confirmed: true, ..Entry::new("b", Score::Time { seconds: 980.0 }) };
    let board = board(&scoring, &Policy::default(), &[asked, right]);
    assert_eq!(board.held.iter().map(|row| row.id.as_str()).collect::<Vec<_>>(), ["a"]);
    let listed: Vec<_> =
        board.listed.iter().map(|row| (row.id.as_str(), row.why.contains("finished over the cap of 15:00"))).collect();
    assert_eq!(listed, [("b", true)]);
}
