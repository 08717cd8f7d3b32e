//! Cases with what a careful coach accepts and never gives: the examples of the trade, and our own.

use crate::training::dose::{Amount, Load};
use crate::training::member::Profile;
use crate::training::movement::Library;
use crate::training::session::{Line, Session};
use crate::training::tailor::{Action, TailoredLine, tailor};
use serde_json::Value;

fn within(amount: Option<&Amount>, span: &Value) -> bool {
    let span: Vec<f64> = match span {
        Value::Array(list) => list.iter().filter_map(Value::as_f64).collect(),
        Value::Number(n) => n.as_f64().into_iter().collect(),
        _ => return true,
    };
    let (low, high) = (span[0], span[span.len() - 1]);
    amount.is_some_and(|a| a.low() >= low && a.high() <= high)
}

fn numbers(load: Option<&Load>) -> Vec<f64> {
    match load {
        Some(Load::Kg { values, .. }) => values.clone(),
        _ => Vec::new(),
    }
}

fn load_fits(load: Option<&Load>, wanted: &Value) -> bool {
    match wanted {
        Value::String(s) if s == "stick" => load == Some(&Load::Stick),
        Value::Null | Value::String(_) => numbers(load).is_empty() && load != Some(&Load::Stick),
        Value::Object(o) if o.contains_key("kg") => {
            let all = numbers(load);
            !all.is_empty() && all.iter().all(|kg| within(Some(&Amount::One(*kg)), &wanted["kg"]))
        }
        _ => true,
    }
}

fn accepted(given: &Line, wanted: &Value) -> bool {
    let side = wanted["side"].as_str();
    given.movement == wanted["movement"].as_str().unwrap_or_default()
        && within(given.reps.as_ref(), &wanted["reps"])
        && within(given.seconds.as_ref(), &wanted["seconds"])
        && within(given.metres.as_ref(), &wanted["metres"])
        && side.is_none_or(|s| serde_json::to_value(given.side).unwrap() == s)
        && load_fits(given.load.as_ref(), &wanted["load"])
}

/// Of a complex every piece counts.
fn forbidden(given: &Line, never: &Value, who: &Profile) -> bool {
    let pieces = given.complex.iter().map(|p| p.movement.as_str());
    let alone = given.complex.is_empty().then_some(given.movement.as_str());
    pieces.chain(alone).any(|name| forbids(name, given, never, who))
}

fn forbids(name: &str, given: &Line, never: &Value, who: &Profile) -> bool {
    let m = Library::shipped().find(name).unwrap();
    let mut checks = Vec::new();
    if let Some(name) = never["movement"].as_str() {
        checks.push(m.name == name);
    }
    if never["on"].as_str().is_some() {
        checks.push(given.load == Some(Load::Stick));
    }
    if let Some(kg) = never["kg_above"].as_f64() {
        checks.push(numbers(given.load.as_ref()).iter().any(|n| *n > kg));
    }
    if let Some(demand) = never["demand"].as_str() {
        checks.push(m.demands.iter().any(|d| d.key() == demand));
    }
    (!checks.is_empty() && checks.iter().all(|c| *c)) || m.demands.iter().any(|d| who.avoid.contains(d))
}

fn answer(case: &Value) -> (TailoredLine, Profile) {
    let p = &case["prescribed"];
    let part = serde_json::json!({"name": p["text"], "format": p["format"], "intent": p["intent"], "rounds": p["sets"], "lines": [p["line"]]});
    let session: Session = serde_json::from_value(serde_json::json!({"title": case["id"], "parts": [part]})).unwrap();
    let who: Profile = serde_json::from_value(case["athlete"].clone()).unwrap();
    (tailor(&session, &who, Library::shipped()).parts.remove(0).lines.remove(0), who)
}

/// The cases whose answer is not accepted whole, by their ids; nothing forbidden may be given.
fn missed(text: &str) -> Vec<String> {
    let cases = serde_json::from_str::<Value>(text).unwrap();
    let miss = |case: &&Value| {
        let (done, who) = answer(case);
        let never = case["never"].as_array().unwrap();
        assert!(!done.given.iter().any(|g| never.iter().any(|n| forbidden(g, n, &who))), "{}: {:?}", case["id"], done.given);
        let wanted = case["acceptable"].as_array().unwrap();
        !(if case["action"] == "refer" {
            done.action == Action::Refer && done.given.is_empty()
        } else {
            done.given.iter().any(|g| wanted.iter().any(|w| accepted(g, w)))
        })
    };
    cases["cases"].as_array().unwrap().iter().filter(miss).map(|case| case["id"].to_string()).collect()
}

/// A test for each file of cases: a careful coach accepts every one.
macro_rules! a_careful_coach_accepts {
    ($($name:ident: $file:literal,)*) => {
        $(#[test]
        fn $name() {
            assert_eq!(missed(include_str!(concat!("../../../../tests/data/tailor/", $file))), [""; 0]);
        })*
    };
}

a_careful_coach_accepts! {
    the_examples: "examples.json",
    cases: "cases.json",
    cases_2: "cases-2.json",
    cases_3: "cases-3.json",
    cases_4: "cases-4.json",
    cases_5: "cases-5.json",
    cases_6: "cases-6.json",
    cases_7: "cases-7.json",
    cases_8: "cases-8.json",
}
