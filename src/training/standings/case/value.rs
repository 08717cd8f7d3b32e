//! The value of an entry: from typed numbers, from lists of rounds or sets, or from the text as typed.

use super::fields::{Fields, number};
use super::settled_unit;
use super::terms::Terms;
use crate::training::score::{Combine, DistanceUnit, KG_PER_LB, Lift, MassUnit, Score, ScoreRules, Work, read, version_said};
use crate::training::session::ScoreKind;
use crate::training::standings::Version;
use serde_json::Value;

/// `9:50` in seconds.
pub(super) fn clock(text: &str) -> Option<f64> {
    match read(ScoreKind::Time, text, &ScoreRules::default()).ok()? {
        reading if reading.held.is_some() => None,
        reading => match reading.score {
            Score::Time { seconds } => Some(seconds),
            _ => None,
        },
    }
}

/// Keys of numbers, where `"131/135"` or `"1.2 km"` may stand as people type it.
const SPELLED: &[&str] = &[
    "rounds_reps",
    "rounds_and_reps",
    "hold_time",
    "hold_times",
    "reps",
    "total_reps",
    "reps_done",
    "time",
    "time_s",
    "finish_time",
    "rounds",
    "hold",
    "hold_s",
    "distance",
    "distance_m",
    "distance_km",
    "calories",
    "cals",
    "cal",
    "seconds",
    "reps_left",
    "value",
    "amount",
];

/// The score, and a question where it is open.
pub(super) fn score(f: &mut Fields, terms: &Terms, version: &Version) -> (Score, Option<String>) {
    let status = f.peek_text(&["status", "state"]).unwrap_or_default().to_lowercase();
    if f.flag(&["dns", "did_not_start"]) == Some(true) || status == "dns" {
        return (Score::NotDone { started: false }, None);
    }
    let dnf = f.flag(&["dnf", "did_not_finish"]) == Some(true) || status == "dnf" || f.flag(&["finished"]) == Some(false);
    let capped = f.flag(&["capped", "cap", "time_capped"]) == Some(true) || dnf || status == "capped";
    if let Some(text) = f.text(&["text", "typed", "score", "result", "raw"]) {
        return typed(&said(&text, capped, terms), f, terms, version);
    }
    let found = match terms.scoring.kind {
        ScoreKind::Time => timed(f, terms, capped, dnf),
        ScoreKind::RoundsReps => rounds(f, terms),
        ScoreKind::Reps => reps(f, terms, version),
        ScoreKind::Load => return load(f, terms),
        ScoreKind::Distance => distance(f, terms),
        ScoreKind::Calories => {
            sum_or(f, terms, &["calories", "cals", "cal", "value", "amount"]).map(|calories| Score::Calories { calories })
        }
        ScoreKind::HoldTime => hold(f, terms),
        ScoreKind::None => Some(if f.flag(&["done"]) == Some(false) { Score::NotDone { started: false } } else { Score::Done }),
    };
    if matches!(found, None | Some(Score::Capped { work: Work::Unknown }))
        && let Some(text) = f.text(SPELLED)
    {
        return typed(&said(&text, capped, terms), f, terms, version);
    }
    match found {
        Some(score) => (score, None),
        None if dnf => (Score::NotDone { started: true }, None),
        None => (Score::NotDone { started: true }, Some("there is no result".to_owned())),
    }
}

/// The words with what the case says beside them: a capped entry was capped.
fn said(text: &str, capped: bool, terms: &Terms) -> String {
    if capped && terms.scoring.kind == ScoreKind::Time { format!("capped at {text}") } else { text.to_owned() }
}

/// A text as somebody typed it, with what the case settles.
fn typed(text: &str, f: &mut Fields, terms: &Terms, version: &Version) -> (Score, Option<String>) {
    let course = terms.scoring.course_of(version);
    let rules = ScoreRules {
        cap_s: course.cap_s,
        total_reps: course.total_reps,
        round_reps: course.round_reps,
        reps: terms.scoring.reps,
        mass_unit: settled_unit(f),
        combine: terms.combine,
        ..ScoreRules::default()
    };
    match read(terms.scoring.kind, text, &rules) {
        Ok(reading) => {
            // said to be another version, in a case that names none
            let said = version_said(&reading.unread).filter(|_| *version == Version::Full);
            let which = said.map(|word| format!("this says {word}: which version was done?"));
            (reading.score, reading.held.map(|q| q.text).or(which))
        }
        Err(e) => (Score::NotDone { started: true }, Some(e.to_string())),
    }
}

/// A list under any of these keys, as numbers; a time may be written `1:35`.
fn list(f: &mut Fields, keys: &[&str]) -> Option<Vec<f64>> {
    let read = |v: &Value| number(v).or_else(|| clock(v.as_str()?));
    for key in keys {
        let Some(value) = f.take(&[key]) else { continue };
        match value.as_array().map(|a| a.iter().map(read).collect::<Option<Vec<f64>>>()) {
            Some(Some(list)) if !list.is_empty() => return Some(list),
            _ => f.put(key, value),
        }
    }
    None
}

/// What nobody could have done, by the figures that the case gives.
pub(super) fn doubt(score: &Score, terms: &Terms) -> Option<String> {
    let beyond = match score {
        Score::Time { seconds } => terms.fastest_s.is_some_and(|least| *seconds < least),
        Score::Reps { reps } => terms.most.is_some_and(|most| f64::from(*reps) > most),
        Score::Calories { calories } => terms.most.is_some_and(|most| *calories > most),
        _ => false,
    };
    beyond.then(|| "It is beyond what anybody could do, so it is marked for the coach.".to_owned())
}

/// Both sides of a one-sided test.
fn sides(f: &mut Fields) -> Option<Vec<f64>> {
    let left = f.seconds(&["left_reps", "left_s", "left", "l"])?;
    let right = f.seconds(&["right_reps", "right_s", "right", "r"])?;
    Some(vec![left, right])
}

/// Fewer rounds than the part has: the missing ones count nothing.
fn complete(list: &mut Vec<f64>, terms: &Terms) -> bool {
    let wanted = terms.rounds.map_or(0, |n| n as usize).min(1000);
    let all = list.len() >= wanted;
    list.resize(list.len().max(wanted), 0.0);
    all
}

fn timed(f: &mut Fields, terms: &Terms, capped: bool, dnf: bool) -> Option<Score> {
    if let Some(mut rounds) = list(
        f,
        &[
            "rounds_s",
            "round_times_s",
            "round_s",
            "times_s",
            "splits_s",
            "rounds",
            "splits",
            "blocks_s",
            "blocks",
            "intervals_s",
            "time_s",
            "times",
        ],
    ) {
        if !complete(&mut rounds, terms) {
            return Some(Score::NotDone { started: true });
        }
        return Some(Score::Time { seconds: terms.time_of.or(terms.combine).unwrap_or(Combine::Sum).of(&rounds) });
    }
    let time = f.seconds(&["time_s", "seconds", "time", "finish_s", "finish_time", "value"]);
    let penalty = f.seconds(&["penalty_s"]).unwrap_or(0.0);
    let work = work(f);
    match (time, work) {
        (Some(t), None) if !capped => Some(Score::Time { seconds: t + penalty }),
        (Some(t), Some(_)) if !capped && terms.scoring.course.cap_s.is_none_or(|cap| t <= cap) => {
            Some(Score::Time { seconds: t + penalty })
        }
        (_, Some(work)) => Some(Score::Capped { work }),
        (_, None) if dnf => Some(Score::NotDone { started: true }),
        (_, None) if capped => Some(Score::Capped { work: Work::Unknown }),
        (_, None) => None,
    }
}

/// How far somebody came, in whichever count it was given.
fn work(f: &mut Fields) -> Option<Work> {
    if let Some(rounds) = f.count(&["rounds"]) {
        return Some(Work::Rounds(rounds, f.count(&["reps", "extra_reps", "extra"]).unwrap_or(0)));
    }
    if let Some(left) = f.count(&["reps_left", "left", "reps_remaining"]) {
        return Some(Work::Left(left));
    }
    f.count(&["reps", "reps_done", "done_reps", "total_reps"]).map(Work::Done)
}

/// Rounds and reps beside each other: `[12, 5]`, `{"rounds": 12, "reps": 5}`.
fn pair(v: &Value) -> Option<(u32, u32)> {
    match v {
        Value::Array(pair) => Some((count(pair.first()?)?, pair.get(1).map_or(Some(0), count)?)),
        Value::Object(o) => Some((count(o.get("rounds")?)?, o.get("reps").map_or(Some(0), count)?)),
        _ => None,
    }
}

fn rounds(f: &mut Fields, terms: &Terms) -> Option<Score> {
    const TOGETHER: &[&str] = &["rounds_reps", "rounds_and_reps"];
    if let Some(value) = f.take(TOGETHER) {
        if let Some((rounds, reps)) = pair(&value) {
            return Some(Score::RoundsReps { rounds, reps });
        }
        // as somebody typed it: read as text
        f.put(TOGETHER[0], value);
        return None;
    }
    if let Some(Value::Array(blocks)) = f.take(&["blocks", "amraps", "scores"]) {
        let pairs: Vec<(u32, u32)> = blocks.iter().map(pair).collect::<Option<_>>()?;
        let (rounds, reps) = match terms.combine {
            Some(Combine::Lowest) => pairs.into_iter().min()?,
            Some(Combine::Highest) => pairs.into_iter().max()?,
            _ => pairs.into_iter().fold((0_u32, 0_u32), |a, b| (a.0.saturating_add(b.0), a.1.saturating_add(b.1))),
        };
        return Some(Score::RoundsReps { rounds, reps });
    }
    match f.count(&["rounds", "rung", "last_rung", "full_rounds"]) {
        Some(rounds) => Some(Score::RoundsReps { rounds, reps: f.count(&["reps", "extra_reps", "extra"]).unwrap_or(0) }),
        None => f.count(&["reps", "total_reps", "total", "reps_total"]).map(|reps| Score::Reps { reps }),
    }
}

fn count(v: &Value) -> Option<u32> {
    v.as_u64().and_then(|n| u32::try_from(n).ok())
}

fn reps(f: &mut Fields, terms: &Terms, version: &Version) -> Option<Score> {
    let one_sided = f.has(&["right", "right_reps"]);
    if !one_sided && let Some(left) = f.count(&["reps_left", "left"]) {
        let total = terms.scoring.course_of(version).total_reps?;
        return total.checked_sub(left).map(|reps| Score::Reps { reps });
    }
    if let Some(rounds) = f.count(&["rounds"]) {
        return Some(Score::RoundsReps { rounds, reps: f.count(&["reps", "extra_reps"]).unwrap_or(0) });
    }
    let n = sum_or(
        f,
        terms,
        &[
            "reps",
            "total_reps",
            "rounds",
            "round_reps",
            "rounds_reps",
            "per_round",
            "blocks",
            "intervals",
            "sets",
            "minutes_reps",
        ],
    )?;
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "whole and below a million")]
    (n.fract() == 0.0 && (0.0..1e6).contains(&n)).then_some(Score::Reps { reps: n as u32 })
}

/// A number, or a list made one by the part's rule (the sum, where it has none).
fn sum_or(f: &mut Fields, terms: &Terms, keys: &[&str]) -> Option<f64> {
    if f.has(&["right", "right_reps", "right_s"])
        && let Some(both) = sides(f)
    {
        return Some(terms.combine.unwrap_or(Combine::Sum).of(&both));
    }
    if let Some(mut all) = list(f, keys) {
        complete(&mut all, terms);
        return Some(terms.combine.unwrap_or(Combine::Sum).of(&all));
    }
    f.number(keys).filter(|n| *n >= 0.0)
}

fn distance(f: &mut Fields, terms: &Terms) -> Option<Score> {
    let in_unit = |value: f64, unit| Score::Distance { value, unit: Some(unit) };
    if let Some(m) = sum_or(f, terms, &["distance_m", "metres", "meters", "m"]) {
        return Some(in_unit(m, DistanceUnit::M));
    }
    if let Some(km) = f.number(&["distance_km", "km"]) {
        return Some(in_unit(km, DistanceUnit::Km));
    }
    if let Some(mi) = f.number(&["distance_mi", "miles", "mi"]) {
        return Some(in_unit(mi, DistanceUnit::Mi));
    }
    let value = f.number(&["distance"])?;
    let unit = match f.text(&["unit"])?.to_lowercase().as_str() {
        "m" => Some(DistanceUnit::M),
        "km" => Some(DistanceUnit::Km),
        "mi" | "miles" => Some(DistanceUnit::Mi),
        "yd" => Some(DistanceUnit::Yd),
        "ft" => Some(DistanceUnit::Ft),
        _ => None,
    };
    Some(Score::Distance { value, unit })
}

fn hold(f: &mut Fields, terms: &Terms) -> Option<Score> {
    const KEYS: &[&str] =
        &["hold_s", "seconds", "time_s", "hold", "held_s", "holds_s", "hold_time", "hold_time_s", "hold_times", "time", "value"];
    if f.has(&["right", "right_s"])
        && let Some(both) = sides(f)
    {
        return Some(Score::Hold { seconds: terms.combine.unwrap_or(Combine::Sum).of(&both) });
    }
    if let Some(mut all) = list(f, KEYS) {
        complete(&mut all, terms);
        return Some(Score::Hold { seconds: terms.combine.unwrap_or(Combine::Highest).of(&all) });
    }
    f.seconds(KEYS).map(|seconds| Score::Hold { seconds })
}

/// A weight with its unit in the key, beside it, or open.
fn load(f: &mut Fields, terms: &Terms) -> (Score, Option<String>) {
    let open = || Some("kilograms or pounds?".to_owned());
    let reps = |f: &mut Fields| f.count(&["reps", "for_reps"]);
    let one = |weight: f64, unit: Option<MassUnit>, reps: Option<u32>| Lift { weight, unit, reps, implements: 1, added: false };
    if let Some(kg) = f.number(&["load_kg", "kg"]) {
        let lift = one(kg, Some(MassUnit::Kg), reps(f));
        return (Score::Load { lifts: vec![lift] }, None);
    }
    if let Some(lb) = f.number(&["load_lb", "lb", "lbs"]) {
        let lift = one(lb, Some(MassUnit::Lb), reps(f));
        return (Score::Load { lifts: vec![lift] }, None);
    }
    if let Some((lifts, held)) = sets(f, terms) {
        return (Score::Load { lifts }, held.then(open).flatten());
    }
    if let Some(weight) = f.number(&["load", "weight"]) {
        let unit = settled_unit(f);
        let lift = one(weight, unit, reps(f));
        return (Score::Load { lifts: vec![lift] }, unit.is_none().then(open).flatten());
    }
    match f.text(&["load", "weight", "load_kg", "load_lb", "value", "amount"]) {
        Some(text) => typed(&text, f, terms, &Version::Full),
        None => (Score::NotDone { started: true }, Some("there is no result".to_owned())),
    }
}

/// `[[80, 3], [90, 2]]`, or objects with `kg` or `lb` and `reps`, or lifts by name. Sets without any word on the unit are in the part's
/// unit, or in kilograms, as the keys of this JSON are; a unit that says null is open.
fn sets(f: &mut Fields, terms: &Terms) -> Option<(Vec<Lift>, bool)> {
    let unclear = f.is_null(&["unit"]);
    let (key, written) = ["sets", "sets_kg", "sets_lb", "lifts", "attempts_kg"].iter().find_map(|k| Some((*k, f.take(&[k])?)))?;
    let unit = if key == "sets_lb" {
        Some(MassUnit::Lb)
    } else {
        settled_unit(f).or((!unclear).then(|| terms.unit.unwrap_or(MassUnit::Kg)))
    };
    let list: Vec<Value> = match written {
        Value::Array(list) => list,
        Value::Object(named) => named.into_iter().map(|(_, v)| v).collect(),
        _ => return None,
    };
    let lift = |v: &Value| match v {
        // `80x3`, as somebody typed it
        Value::String(text) if number(v).is_none() => {
            let rules = ScoreRules { mass_unit: unit, reps: terms.scoring.reps, ..ScoreRules::default() };
            match read(ScoreKind::Load, text, &rules).ok().filter(|r| r.held.is_none())?.score {
                Score::Load { lifts } if lifts.len() == 1 => lifts.first().copied(),
                _ => None,
            }
        }
        Value::Array(pair) => {
            Some(Lift { weight: number(pair.first()?)?, unit, reps: pair.get(1).and_then(count), implements: 1, added: false })
        }
        Value::Object(o) => {
            let get = |k: &str| o.get(k).and_then(number);
            let lb = get("lb").or_else(|| get("load_lb"));
            let weight = lb.or_else(|| get("kg")).or_else(|| get("load_kg")).or_else(|| get("load"))?;
            let missed = o.get("good").or_else(|| o.get("made")).and_then(Value::as_bool) == Some(false);
            let reps = if missed { Some(0) } else { o.get("reps").and_then(count) };
            Some(Lift { weight, unit: if lb.is_some() { Some(MassUnit::Lb) } else { unit }, reps, implements: 1, added: false })
        }
        _ => Some(Lift { weight: number(v)?, unit, reps: None, implements: 1, added: false }),
    };
    let mut lifts: Vec<Lift> = list.iter().map(lift).collect::<Option<_>>()?;
    if let Some(how) = terms.combine.filter(|c| *c != Combine::Highest) {
        let asked = terms.scoring.reps.unwrap_or(1);
        let kg: Vec<f64> = lifts.iter().filter(|l| l.reps.is_none_or(|r| r >= asked)).filter_map(Lift::kg).collect();
        if !kg.is_empty() {
            lifts = vec![Lift { weight: how.of(&kg), unit: Some(MassUnit::Kg), reps: None, implements: 1, added: false }];
        }
    }
    Some((lifts, unit.is_none()))
}

/// The load used beside a score of another kind.
pub(super) fn load_used(f: &mut Fields, kind: ScoreKind) -> Option<f64> {
    if kind == ScoreKind::Load {
        return None;
    }
    let written = |f: &mut Fields| {
        // `35 lb`, as somebody typed it; a number without a unit is no load that can be compared
        match read(ScoreKind::Load, &f.text(&["load", "load_used"])?, &ScoreRules::default())
            .ok()
            .filter(|r| r.held.is_none())?
            .score
        {
            Score::Load { lifts } => lifts.iter().filter_map(Lift::kg).reduce(f64::max),
            _ => None,
        }
    };
    let lb = |f: &mut Fields| f.number(&["load_lb", "lb"]).map(|lb| lb * KG_PER_LB);
    f.number(&["load_kg", "kg"]).or_else(|| lb(f)).or_else(|| written(f))
}
