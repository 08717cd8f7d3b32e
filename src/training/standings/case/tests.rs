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
