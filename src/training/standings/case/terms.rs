//! The scoring of a case: what is scored, the versions, and the rules.

use super::super::when::{minutes, stamped};
use super::super::{Attempts, Course, Late, Policy, Scoring, TieBreak};
use super::fields::Fields;
use super::settled_unit;
use crate::training::calendar::Zone;
use crate::training::score::{Combine, KG_PER_LB, MassUnit, least_wins};
use crate::training::session::ScoreKind;
use serde_json::Value;

/// The scoring of a case.
pub(super) struct Terms {
    /// the session's day (Julian), where the case names one
    pub day: Option<i64>,
    pub scoring: Scoring,
    pub policy: Policy,
    /// how a list of rounds or blocks makes one score
    pub combine: Option<Combine>,
    /// the slowest (or fastest) round is the time
    pub time_of: Option<Combine>,
    /// rounds that a list must have
    pub rounds: Option<u32>,
    /// unit of sets that name none
    pub unit: Option<MassUnit>,
    /// nobody is faster, seconds
    pub fastest_s: Option<f64>,
    /// nobody does more
    pub most: Option<f64>,
}

fn kind(word: &str) -> ScoreKind {
    match word.to_lowercase().replace([' ', '-', '+'], "_").as_str() {
        "time" | "for_time" | "fastest" | "time_s" | "seconds" => ScoreKind::Time,
        "rounds_reps" | "rounds___reps" | "rounds_and_reps" | "rounds" | "amrap" => ScoreKind::RoundsReps,
        "reps" | "rep" | "reps_left" | "total_reps" | "max_reps" | "repetitions" | "count" => ScoreKind::Reps,
        "load" | "weight" | "max_load" | "lift" | "max_weight" | "heaviest" | "1rm" | "max_lift" | "strength" => ScoreKind::Load,
        "distance" | "metres" | "meters" | "max_distance" => ScoreKind::Distance,
        "calories" | "cals" | "cal" | "kcal" | "max_calories" => ScoreKind::Calories,
        "hold_time" | "hold" | "max_hold" | "plank" | "static_hold" => ScoreKind::HoldTime,
        _ => ScoreKind::None,
    }
}

/// Reads the scoring.
pub(super) fn terms(f: &mut Fields) -> Terms {
    let word = f.text(&["type", "kind", "score_kind"]).unwrap_or_default();
    let kind = kind(&word);
    if kind == ScoreKind::None
        && !["", "none", "done", "no score", "no_score", "completion"].contains(&word.to_lowercase().trim())
    {
        // named as not understood
        f.put("type", Value::String(word));
    }
    f.flatten(&["policy", "rules", "board"]);
    let rounds = f.count(&["rounds", "sets", "blocks", "intervals"]);
    let course = course(f, rounds);
    let options =
        f.map(&["options", "option_caps", "versions"]).into_iter().map(|(name, value)| (option_name(&name), course_of(value)));
    let mut scoring = Scoring {
        kind,
        course,
        options: options.collect(),
        columns_kg: f.numbers(&["columns_kg", "columns", "loads_kg"]),
        reps: f.count(&["reps", "reps_required", "for_reps"]),
        least_wins: false,
    };
    if scoring.columns_kg.is_empty() {
        scoring.columns_kg = f.numbers(&["columns_lb", "loads_lb"]).into_iter().map(|lb| lb * KG_PER_LB).collect();
    }
    scoring.columns_kg.extend(f.number(&["load_kg", "as_written_kg"]));
    let written = f.texts(&["score_rule", "rule", "counts", "score", "combine"]).join(" ");
    let combine = Combine::from_words(&written);
    scoring.least_wins = least_wins(&written);
    let slowest = ["slowest", "fastest", "quickest"].iter().any(|w| written.to_lowercase().contains(w));
    let time_of = match written.to_lowercase() {
        w if w.contains("slowest") => Some(Combine::Highest),
        _ if slowest => Some(Combine::Lowest),
        _ => None,
    };
    let mut policy = policy(f, &scoring);
    let zone = f.text(&["tz", "zone", "time_zone", "timezone", "coach_tz"]).and_then(|w| Zone::of_place(&w));
    let mut day = f.text(&["date", "session_date", "session_day", "day"]).and_then(|w| stamped(&w, None, None)).map(|s| s.0);
    policy.closes_min = closes(f, zone, &mut day);
    let fastest_s =
        f.seconds(&["fastest_s", "fastest_possible_s", "least_possible_s", "min_s", "floor_s", "plausible_min_s", "least_s"]);
    let most = f.number(&["most_reps", "max_reps", "most_possible", "plausible_max", "max_plausible"]);
    let unit = settled_unit(f);
    f.drop(&["unit", "display_unit", "note", "notes", "title", "part", "why", "name"]);
    Terms { day, scoring, policy, combine, time_of, rounds, unit, fastest_s, most }
}

/// Cap and counts; of the whole, a round and the number of rounds two give the third.
fn course(f: &mut Fields, rounds: Option<u32>) -> Course {
    let mut course = Course {
        cap_s: f.seconds(&["cap_s", "time_cap_s", "cap"]),
        total_reps: f.count(&["total_reps", "reps_total", "total"]),
        round_reps: f.count(&[
            "round_reps",
            "reps_per_round",
            "per_round",
            "round_total",
            "reps_a_round",
            "round",
            "reps_in_round",
        ]),
    };
    let rounds = rounds.filter(|n| *n > 0);
    if let (None, Some(total), Some(n)) = (course.round_reps, course.total_reps, rounds) {
        course.round_reps = Some(total / n).filter(|each| each * n == total);
    }
    if let (Some(each), None, Some(n)) = (course.round_reps, course.total_reps, rounds) {
        course.total_reps = each.checked_mul(n);
    }
    course
}

fn course_of(value: Value) -> Course {
    match value {
        Value::Object(map) => {
            let mut f = Fields::new(map.into_iter().collect());
            let rounds = f.count(&["rounds"]);
            course(&mut f, rounds)
        }
        _ => Course::default(),
    }
}

/// `as written` is `full`; the rest keeps the coach's word.
pub(super) fn option_name(word: &str) -> String {
    let word = word.trim().to_lowercase();
    match word.as_str() {
        "full" | "as written" | "as_written" | "written" | "" => "full".to_owned(),
        "light" | "lighter load" | "lighter loads" => "lighter".to_owned(),
        "short" | "short version" | "shorter version" => "shorter".to_owned(),
        _ => word,
    }
}

fn policy(f: &mut Fields, scoring: &Scoring) -> Policy {
    let mut policy = Policy {
        tie_break: f.words(&["tie_break", "tiebreak", "tie"]).map_or(TieBreak::None, |w| tie_break(&w, scoring.kind)),
        ..Policy::default()
    };
    let order: Vec<String> =
        f.texts(&["option_order", "group_order", "groups", "options_order", "order"]).iter().map(|w| option_name(w)).collect();
    let usual = policy.group_order.clone();
    if order.is_empty() {
        // As on the product's own boards: a load below the written ones stands first after as written, unless the coach placed it.
        let named: Vec<String> = scoring.options.iter().map(|(n, _)| n.clone()).filter(|n| n != "full").collect();
        if !named.is_empty() {
            policy.group_order = if named.iter().any(|n| n == "lighter") { Vec::new() } else { vec!["lighter".to_owned()] };
            policy.group_order.extend(named);
        }
    } else {
        policy.group_order = order.into_iter().filter(|n| n != "full").collect();
        let missing: Vec<String> = usual.into_iter().filter(|u| !policy.group_order.contains(u)).collect();
        policy.group_order.extend(missing);
    }
    policy.one_list = f.flag(&["one_list", "single_list", "ignore_options"]) == Some(true)
        || f.text(&["view", "list"]).is_some_and(|w| w.contains("one") || w.contains("single"));
    policy.attempts = attempts(f);
    policy.grace_h = f.number(&["grace_h", "grace_hours", "grace"]).unwrap_or(policy.grace_h);
    policy.load_step_kg = f.number(&["round_kg", "load_step_kg", "rounding_kg"]).unwrap_or(policy.load_step_kg);
    if f.text(&["late"]).is_some_and(|w| w.contains("count")) {
        policy.late = Late::Counts;
    }
    policy
}

/// When the board closes, in minutes of the session's day. A full date that stands alone is that day.
fn closes(f: &mut Fields, zone: Option<Zone>, day: &mut Option<i64>) -> Option<i64> {
    let text = f.text(&["closes", "closes_at", "deadline"])?;
    let dated = stamped(&text, zone, None).map(|(d, at)| {
        let alone = text.trim().len() <= "2026-11-26".len();
        // a day alone is open to its end
        (d - *day.get_or_insert(d)) * 1440 + if alone { 1440 } else { at }
    });
    let closes = dated.or_else(|| minutes(&text, None));
    if closes.is_none() {
        // named as not understood: nobody is late by a time that nobody can read
        f.put("closes", Value::String(text));
    }
    closes
}

fn tie_break(words: &str, kind: ScoreKind) -> TieBreak {
    let low = words.to_lowercase();
    let says = |list: &[&str]| list.iter().any(|w| low.contains(w));
    let none = ["", "none", "no", "false", "off", "nothing", "null", "equal", "tied"].contains(&low.trim());
    if none || says(&["share"]) || low.contains("no tie") {
        TieBreak::None
    } else if says(&["body", "lighter athlete", "lighter person", "lighter member", "lightest"]) {
        TieBreak::LighterBody
    } else if kind == ScoreKind::Load && says(&["fewer reps", "fewest reps"]) {
        TieBreak::FewerReps
    } else if kind == ScoreKind::Load && says(&["more reps", "most reps"]) {
        TieBreak::MoreReps
    } else if says(&["heavier", "heaviest", "more load", "more weight", "load used"]) {
        TieBreak::HeavierLoad
    } else {
        TieBreak::Clock(words.to_owned())
    }
}

/// A second attempt counts where it is allowed for all: a list of those who may, or `only`, allows it for some.
fn attempts(f: &mut Fields) -> Attempts {
    const NAMES: &[&str] = &["attempt", "repeat", "retr", "retake", "redo", "best_of"];
    // the word of a rule settles more than a yes: `attempts_allowed: true` beside `attempt_rule: last`
    let all = f.take_all(|name| NAMES.iter().any(|w| name.contains(w))).iter().map(allowed).collect::<Vec<_>>();
    let any = |one: Attempts| all.contains(&one).then_some(one);
    any(Attempts::Last).or_else(|| any(Attempts::Best)).unwrap_or_default()
}

fn allowed(value: &Value) -> Attempts {
    match value {
        Value::String(word) => {
            let low = word.to_lowercase();
            let words: Vec<&str> = low.split(|c: char| !c.is_alphanumeric()).collect();
            let says = |list: &[&str]| list.iter().any(|w| words.contains(w));
            let many = low.trim().parse::<f64>().is_ok_and(|n| n > 1.0);
            if says(&["last", "latest", "newest"]) && !says(&["not"]) {
                Attempts::Last
            } else if says(&["not", "no", "only", "some", "except", "first"]) && !says(&["best"]) {
                Attempts::First
            } else if many
                || says(&["best", "allowed", "any", "open", "yes", "true", "all", "everyone", "unlimited", "count", "counts"])
            {
                Attempts::Best
            } else {
                Attempts::First
            }
        }
        Value::Bool(true) => Attempts::Best,
        Value::Number(n) if n.as_f64().is_some_and(|n| n > 1.0) => Attempts::Best,
        _ => Attempts::First,
    }
}
