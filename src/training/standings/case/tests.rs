//! Cases as other programs and hands write them. Common practice, no source, where nothing else is said.

use super::rank;
use serde_json::{Value, json};

/// The order of `entries` on a board of this scoring; a shared place is one text with a `=`.
fn order(scoring: Value, entries: Value) -> Vec<String> {
    let got = ranked(scoring, entries);
    got["order"].as_array().unwrap().iter().map(|p| ids(p).join("=")).collect()
}

fn ids(place: &Value) -> Vec<&str> {
    place.as_array().map_or_else(|| vec![place.as_str().unwrap()], |list| list.iter().map(|v| v.as_str().unwrap()).collect())
}

fn ranked(scoring: Value, entries: Value) -> Value {
    let case = json!({ "scoring": scoring, "entries": entries });
    serde_json::to_value(rank(&case.to_string()).unwrap()).unwrap()
}

#[test]
fn a_result_that_is_kept_private_or_taken_back_is_hidden_in_whichever_words() {
    for said in [
        json!({ "private": "true" }),
        json!({ "private": "yes" }),
        json!({ "private": 1 }),
        json!({ "hidden": false, "private": true }),
        json!({ "private": "until Friday" }),
        json!({ "hide_result": true }),
        json!({ "share": false }),
        json!({ "share": "no" }),
        json!({ "show": "no" }),
        json!({ "on_board": 0 }),
        json!({ "visible": "private" }),
        json!({ "visibility": "just me" }),
        json!({ "visible_to": ["coach"] }),
        json!({ "visibility": "coach only" }),
        json!({ "visibility": "not public" }),
        json!({ "withdrawn": "18:30" }),
        json!({ "withdrawn_at": "2026-11-26T18:30" }),
        json!({ "kind": "withdrawn" }),
        json!({ "status": "Withdrawn by athlete" }),
        json!({ "deleted": { "at": "18:30" } }),
        json!({ "is_private": true }),
    ] {
        let mut hers = json!({ "id": "b", "reps": 60 });
        hers.as_object_mut().unwrap().extend(said.as_object().unwrap().clone());
        let got = ranked(json!({ "type": "reps" }), json!([{ "id": "a", "reps": 50 }, hers]));
        assert_eq!((&got["order"], &got["hidden"], got.get("not_understood")), (&json!(["a"]), &json!(["b"]), None), "{said}");
    }
}

#[test]
fn a_result_is_shown_where_nothing_keeps_it_from_the_others() {
    for said in [
        json!({ "private": false }),
        json!({ "private": "no" }),
        json!({ "withdrawn": null, "withdrawn_at": null }),
        json!({ "hidden": 0 }),
        json!({ "share": true }),
        json!({ "visibility": "group" }),
        json!({ "visibility": "members only" }),
        json!({ "visible_to": ["coach", "group"] }),
        json!({ "show": "yes" }),
        json!({ "private_note": "tired" }),
        json!({ "visibility": "nickname" }),
    ] {
        let mut hers = json!({ "id": "b", "reps": 60 });
        hers.as_object_mut().unwrap().extend(said.as_object().unwrap().clone());
        let got = order(json!({ "type": "reps" }), json!([{ "id": "a", "reps": 50 }, hers]));
        assert_eq!(got, ["b", "a"], "{said}");
    }
}

#[test]
fn options_stand_in_the_order_in_which_the_coach_wrote_them_as_on_the_products_boards() {
    let entries = json!([
        { "id": "a", "reps": 90, "option": "mini" }, { "id": "b", "reps": 10, "option": "tiny" },
        { "id": "c", "reps": 5, "option": "lighter" }, { "id": "d", "reps": 1 },
    ]);
    // an object keeps its order only as text
    let text =
        r#"{"scoring": {"type": "reps", "options": {"tiny": {"cap_s": 300}, "mini": {"cap_s": 400}}}, "entries": ENTRIES}"#;
    let got = rank(&text.replace("ENTRIES", &entries.to_string())).unwrap();
    assert_eq!(serde_json::to_value(&got.order).unwrap(), json!(["d", "c", "b", "a"]));
    assert_eq!(order(json!({ "type": "reps", "options": ["tiny", "mini", "lighter"] }), entries), ["d", "b", "a", "c"]);
}

#[test]
fn a_second_attempt_counts_where_it_is_allowed_for_all_under_whichever_key() {
    let entries = || {
        json!([
            { "id": "a", "reps": 50 }, { "id": "b", "athlete": "x", "reps": 40 }, { "id": "b2", "athlete": "x", "attempt": 2, "reps": 60 }
        ])
    };
    for said in ["second_attempt_allowed", "allow_second_attempt", "repeats_allowed", "multiple_attempts", "retries_allowed"] {
        assert_eq!(order(json!({ "type": "reps", said: true }), entries()), ["b2", "a"], "{said}");
        assert_eq!(order(json!({ "type": "reps", said: "yes, for everyone" }), entries()), ["b2", "a"], "{said}");
        for no in [json!(false), json!("no"), json!("only for x"), json!(["x"]), json!(1)] {
            assert_eq!(order(json!({ "type": "reps", said: no }), entries()), ["a", "b"], "{said}: {no}");
        }
    }
    assert_eq!(order(json!({ "type": "reps", "attempts": "only the best counts" }), entries()), ["b2", "a"]);
}

#[test]
fn a_tie_that_is_shared_is_not_broken() {
    let entries = || json!([{ "id": "a", "reps": 50, "tie_break_s": 90 }, { "id": "b", "reps": 50, "tie_break_s": 80 }]);
    for said in ["shared", "share the place", "ties share a place", "none", "no"] {
        assert_eq!(order(json!({ "type": "reps", "tie_break": said }), entries()), ["a=b"], "{said}");
    }
    assert_eq!(order(json!({ "type": "reps", "tie_break": "time of round three" }), entries()), ["b", "a"]);
}

#[test]
fn a_result_that_is_hard_to_believe_counts_and_its_line_says_that_it_is_marked() {
    let scoring = json!({ "type": "time", "fastest_possible_s": 300 });
    let got = ranked(scoring, json!([{ "id": "a", "time_s": 95 }, { "id": "b", "time_s": 700 }]));
    assert_eq!((&got["order"], &got["held"]), (&json!(["a", "b"]), &json!([])));
    assert!(got["why"]["a"].as_str().unwrap().ends_with("marked for the coach."), "{}", got["why"]["a"]);
}

#[test]
fn sets_are_read_as_people_write_them() {
    let entries = json!([{ "id": "a", "sets": ["80x3", "85 x 3"] }, { "id": "b", "sets": ["185 lb x 3"] }, { "id": "c", "sets": ["90x2"] }]);
    let got = ranked(json!({ "type": "load", "reps": 3, "unit": "kg" }), entries);
    assert_eq!((&got["order"], &got["held"], &got["listed_not_ranked"]), (&json!(["a", "b"]), &json!([]), &json!(["c"])));
}

#[test]
fn a_board_that_closes_on_a_date_lists_who_did_it_the_day_after() {
    let late = |scoring: Value, entry: Value| {
        let mut hers = json!({ "id": "b", "reps": 60 });
        hers.as_object_mut().unwrap().extend(entry.as_object().unwrap().clone());
        let got = ranked(scoring, json!([hers]));
        assert_eq!(got.get("not_understood"), None, "{entry}");
        got["listed_not_ranked"] == json!(["b"])
    };
    let closes = || json!({ "type": "reps", "closes": "2026-11-26T21:00" });
    assert!(late(closes(), json!({ "performed": "2026-11-27T10:00" })));
    assert!(late(closes(), json!({ "performed": "10:00", "date": "2026-11-27" })));
    assert!(!late(closes(), json!({ "performed": "2026-11-26T20:30" })));
    assert!(!late(closes(), json!({ "performed": "20:30" })));
    // the member's own day: 20:30 in Greenwich is 21:30 in Berlin, and 15:30 in New York
    assert!(late(closes(), json!({ "performed": "2026-11-26T20:30Z", "tz": "Europe/Berlin" })));
    assert!(!late(closes(), json!({ "performed": "2026-11-26T20:30Z", "tz": "America/New_York" })));
    let dated = || json!({ "type": "reps", "date": "2026-11-26", "closes": "21:00" });
    assert!(late(dated(), json!({ "performed": "2026-11-27T10:00" })));
    assert!(!late(dated(), json!({ "performed": "2026-11-26T20:59" })));
}

#[test]
fn other_words_for_kind_load_attempt_and_open_questions_are_understood() {
    let two = || json!([{ "id": "a", "load_kg": 100 }, { "id": "b", "load_lb": 225 }]);
    for said in ["1RM", "max weight", "heaviest"] {
        assert_eq!(order(json!({ "type": said }), two()), ["b", "a"], "{said}");
    }
    let unknown = ranked(json!({ "type": "beauty" }), json!([{ "id": "a" }]));
    assert_eq!(unknown["not_understood"], json!(["scoring: type"]));
    let light = json!([{ "id": "a", "reps": 50, "load": "35 lb" }, { "id": "b", "reps": 40, "load": "50 lb" }]);
    assert_eq!(order(json!({ "type": "reps", "columns_lb": [50, 35] }), light.clone()), ["a", "b"]);
    assert_eq!(order(json!({ "type": "reps", "columns_lb": [65, 50] }), light), ["b", "a"]);
    let again =
        json!([{ "id": "a", "athlete": "x", "reps": 40 }, { "id": "a2", "athlete": "x", "reps": 60, "attempt": "second" }]);
    assert_eq!(order(json!({ "type": "reps" }), again), ["a"]);
    let open = ranked(
        json!({ "type": "reps" }),
        json!([{ "id": "a", "reps": 4, "status": "held" }, { "id": "b", "reps": 3, "held": "no" }]),
    );
    assert_eq!((&open["order"], &open["held"]), (&json!(["b"]), &json!(["a"])));
}

#[test]
fn a_time_said_to_be_scaled_waits_for_its_version() {
    let got = ranked(
        json!({ "type": "time" }),
        json!([
            { "id": "a", "text": "5:00 scaled" }, { "id": "b", "text": "5:10 scaled", "option": "lighter" }, { "id": "c", "text": "6:00" }
        ]),
    );
    assert_eq!((&got["order"], &got["held"]), (&json!(["c", "b"]), &json!(["a"])));
}
