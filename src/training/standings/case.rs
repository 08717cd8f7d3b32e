//! Ranking from the public JSON: `{"scoring": {...}, "entries": [...]}` in, order and reasons out.
//!
//! The words of the JSON are forgiving in spelling, as scores are; what is not understood is named under
//! `not_understood` and changes nothing.

mod fields;
mod value;

use super::when::{minutes, stamped};
use super::{Attempts, Course, Entry, Late, Policy, Scoring, Shown, TieBreak, Version, When, board};
use crate::training::score::{Combine, KG_PER_LB, MassUnit};
use crate::training::session::ScoreKind;
use fields::{Fields, Ordered};
use serde::{Deserialize, Serialize};
use serde_json::Value;
use std::collections::BTreeMap;

/// What is ranked.
#[derive(Debug, Deserialize)]
pub struct Case {
    scoring: Ordered,
    entries: Vec<Ordered>,
}

/// One place of the order: an id, or ids that share it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(untagged)]
pub enum Place {
    /// one
    One(String),
    /// several
    Shared(Vec<String>),
}

/// The public answer.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Ranking {
    /// best first
    pub order: Vec<Place>,
    /// wait for an answer
    pub held: Vec<String>,
    /// shown without a place
    pub listed_not_ranked: Vec<String>,
    /// not shown
    pub hidden: Vec<String>,
    /// a line for each id
    pub why: BTreeMap<String, String>,
    /// the rules in plain sentences
    pub rules: Vec<String>,
    /// keys that were not understood
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub not_understood: Vec<String>,
}

/// Ranks a case.
///
/// # Errors
/// JSON of another shape, or an entry without an id.
pub fn rank(json: &str) -> Result<Ranking, String> {
    let case: Case = serde_json::from_str(json).map_err(|e| format!("this is no ranking: {e}"))?;
    let mut not_understood = Vec::new();
    let mut fields = Fields::new(case.scoring.0);
    let terms = terms(&mut fields);
    not_understood.extend(fields.left().map(|k| format!("scoring: {k}")));
    let mut entries = Vec::new();
    let mut seen = std::collections::BTreeSet::new();
    let mut replaced = Vec::new();
    for one in case.entries {
        let mut fields = Fields::new(one.0);
        let (entry, replaced_by) = entry(&mut fields, &terms)?;
        if !seen.insert(entry.id.clone()) {
            return Err(format!("two entries have the id {:?}", entry.id));
        }
        not_understood.extend(fields.left().map(|k| format!("{}: {k}", entry.id)));
        replaced.extend(replaced_by.map(|by| (entry.id.clone(), by)));
        entries.push(entry);
    }
    for (old, by) in replaced {
        if let Some(new) = entries.iter_mut().find(|e| e.id == by) {
            new.corrects = Some(old);
        }
    }
    let board = board(&terms.scoring, &terms.policy, &entries);
    let mut why: BTreeMap<String, String> = board.hidden.iter().map(|h| (h.id.clone(), h.why.clone())).collect();
    let rows = board.tables.iter().flat_map(|t| &t.rows).chain(&board.listed).chain(&board.held);
    why.extend(rows.map(|r| (r.id.clone(), r.why.clone())));
    let place = |ids: Vec<&str>| match ids[..] {
        [id] => Place::One(id.to_owned()),
        _ => Place::Shared(ids.into_iter().map(str::to_owned).collect()),
    };
    Ok(Ranking {
        order: board.order().into_iter().map(place).collect(),
        held: board.held.iter().map(|r| r.id.clone()).collect(),
        listed_not_ranked: board.listed.iter().map(|r| r.id.clone()).collect(),
        hidden: board.hidden.iter().map(|h| h.id.clone()).collect(),
        why,
        rules: terms.policy.sentences(),
        not_understood,
    })
}

/// The scoring of a case.
struct Terms {
    scoring: Scoring,
    policy: Policy,
    /// how a list of rounds or blocks makes one score
    combine: Option<Combine>,
    /// the slowest (or fastest) round is the time
    time_of: Option<Combine>,
    /// rounds that a list must have
    rounds: Option<u32>,
}

fn kind(word: &str) -> ScoreKind {
    match word.to_lowercase().replace([' ', '-', '+'], "_").as_str() {
        "time" | "for_time" | "fastest" => ScoreKind::Time,
        "rounds_reps" | "rounds___reps" | "rounds_and_reps" | "rounds" | "amrap" => ScoreKind::RoundsReps,
        "reps" | "rep" | "reps_left" | "total_reps" | "max_reps" => ScoreKind::Reps,
        "load" | "weight" | "max_load" | "lift" => ScoreKind::Load,
        "distance" | "metres" | "meters" => ScoreKind::Distance,
        "calories" | "cals" | "cal" => ScoreKind::Calories,
        "hold_time" | "hold" | "max_hold" => ScoreKind::HoldTime,
        _ => ScoreKind::None,
    }
}

fn terms(f: &mut Fields) -> Terms {
    let kind = f.text(&["type", "kind", "score_kind"]).map_or(ScoreKind::None, |w| kind(&w));
    let course = course(f);
    let options = f.map(&["options", "option_caps"]).into_iter().map(|(name, value)| (option_name(&name), course_of(value)));
    let mut scoring = Scoring {
        kind,
        course,
        options: options.collect(),
        columns_kg: f.numbers(&["columns_kg", "columns", "loads_kg"]),
        reps: f.count(&["reps", "reps_required", "for_reps"]),
    };
    if scoring.columns_kg.is_empty() {
        scoring.columns_kg = f.numbers(&["columns_lb", "loads_lb"]).into_iter().map(|lb| lb * KG_PER_LB).collect();
    }
    scoring.columns_kg.extend(f.number(&["load_kg", "as_written_kg"]));
    let written = f.texts(&["score_rule", "rule", "counts", "score", "combine"]).join(" ");
    let combine = Combine::from_words(&written);
    let slowest = ["slowest", "fastest", "quickest"].iter().any(|w| written.to_lowercase().contains(w));
    let time_of = match written.to_lowercase() {
        w if w.contains("slowest") => Some(Combine::Highest),
        _ if slowest => Some(Combine::Lowest),
        _ => None,
    };
    let policy = policy(f, &scoring);
    let rounds = f.count(&["rounds", "sets", "blocks", "intervals"]);
    f.drop(&["unit", "display_unit", "note", "notes", "title", "part", "why", "name"]);
    Terms { scoring, policy, combine, time_of, rounds }
}

fn course(f: &mut Fields) -> Course {
    Course {
        cap_s: f.number(&["cap_s", "time_cap_s", "cap"]),
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
    }
}

fn course_of(value: Value) -> Course {
    match value {
        Value::Object(map) => course(&mut Fields::new(map.into_iter().collect())),
        _ => Course::default(),
    }
}

/// `as written` is `full`; the rest keeps the coach's word.
fn option_name(word: &str) -> String {
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
        tie_break: f.text(&["tie_break", "tiebreak", "tie"]).map_or(TieBreak::None, |w| tie_break(&w)),
        ..Policy::default()
    };
    let order: Vec<String> =
        f.texts(&["option_order", "group_order", "groups", "options_order", "order"]).iter().map(|w| option_name(w)).collect();
    let usual = policy.group_order.clone();
    if order.is_empty() {
        // The coach's own order of options wins where it names both of the usual two.
        let named: Vec<String> = scoring.options.iter().map(|(n, _)| n.clone()).collect();
        if usual.iter().all(|u| named.contains(u)) {
            policy.group_order = named;
        }
    } else {
        policy.group_order = order.into_iter().filter(|n| n != "full").collect();
        let missing: Vec<String> = usual.into_iter().filter(|u| !policy.group_order.contains(u)).collect();
        policy.group_order.extend(missing);
    }
    policy.one_list = f.flag(&["one_list", "single_list", "ignore_options"]) == Some(true)
        || f.text(&["view", "list"]).is_some_and(|w| w.contains("one") || w.contains("single"));
    policy.attempts = attempts(f);
    policy.closes_min =
        f.text(&["closes", "closes_at", "deadline"]).and_then(|w| minutes(&w, None).or_else(|| stamped(&w).map(|s| s.1)));
    policy.grace_h = f.number(&["grace_h", "grace_hours", "grace"]).unwrap_or(policy.grace_h);
    policy.load_step_kg = f.number(&["round_kg", "load_step_kg", "rounding_kg"]).unwrap_or(policy.load_step_kg);
    if f.text(&["late"]).is_some_and(|w| w.contains("count")) {
        policy.late = Late::Counts;
    }
    policy
}

fn tie_break(words: &str) -> TieBreak {
    let low = words.to_lowercase();
    let says = |list: &[&str]| list.iter().any(|w| low.contains(w));
    if low.is_empty() || low == "none" {
        TieBreak::None
    } else if says(&["body", "lighter athlete", "lighter person", "lighter member", "lightest"]) {
        TieBreak::LighterBody
    } else if says(&["fewer reps", "fewest reps"]) {
        TieBreak::FewerReps
    } else if says(&["more reps", "most reps"]) {
        TieBreak::MoreReps
    } else {
        TieBreak::Clock(words.to_owned())
    }
}

fn attempts(f: &mut Fields) -> Attempts {
    const KEYS: &[&str] =
        &["attempts", "attempt_rule", "second_attempts", "second_attempt", "repeats", "retries", "best_of", "attempts_allowed"];
    match f.take(KEYS) {
        Some(Value::String(word)) => match word.to_lowercase() {
            w if w.contains("last") || w.contains("latest") => Attempts::Last,
            w if ["best", "allowed", "any", "open", "yes", "all", "unlimited"].iter().any(|b| w.contains(b))
                && !w.contains("not") =>
            {
                Attempts::Best
            }
            _ => Attempts::First,
        },
        Some(Value::Bool(true)) => Attempts::Best,
        Some(Value::Number(n)) if n.as_f64().is_some_and(|n| n > 1.0) => Attempts::Best,
        _ => Attempts::First,
    }
}

/// One entry, and the id that replaces it.
fn entry(f: &mut Fields, terms: &Terms) -> Result<(Entry, Option<String>), String> {
    let id = f.text(&["id"]).ok_or("an entry has no id")?;
    let mut entry = Entry::new(&id, crate::training::score::Score::NotDone { started: true });
    entry.member = f.text(&["athlete", "member", "who", "by", "person"]).unwrap_or_else(|| id.clone());
    entry.version = version(f);
    entry.tie_s = f.seconds(&["tie_s", "tie_break_s", "tiebreak_s", "tie"]);
    entry.body_kg = f.number(&["body_kg", "bodyweight_kg", "body_weight_kg", "athlete_kg", "weight_kg", "bodyweight"]);
    entry.shown = shown(f);
    let replaced_by = f.text(&["replaced_by", "corrected_by"]);
    let said = f.text(&["kind", "entry_kind"]).unwrap_or_default().to_lowercase();
    let again = ["second", "attempt", "retry", "repeat", "again", "third"].iter().any(|w| said.contains(w));
    let attempt = f.count(&["attempt", "attempt_no", "try"]);
    entry.attempt = attempt.unwrap_or(if again { 2 } else { 1 }).max(1);
    let corrects = f.text(&["corrects", "replaces", "correction_of"]);
    entry.corrects = corrects.or_else(|| said.contains("correct").then(String::new));
    if f.flag(&["correction"]) == Some(true) && entry.corrects.is_none() {
        entry.corrects = Some(String::new());
    }
    entry.when = when(f);
    entry.held = f
        .text(&["held", "question", "unclear"])
        .or_else(|| (f.flag(&["held"]) == Some(true)).then(|| "an open question".to_owned()));
    entry.unplaced = unplaced(f);
    let (score, held) = value::score(f, terms, &entry.version);
    entry.score = score;
    entry.held = entry.held.or(held);
    entry.load_kg = value::load_used(f, terms.scoring.kind);
    f.drop(&[
        "column",
        "note",
        "notes",
        "pain",
        "rpe",
        "effort",
        "hurts",
        "minutes",
        "name",
        "nickname",
        "why",
        "status",
        "implements",
        "private_note",
        "pain_where",
    ]);
    Ok((entry, replaced_by))
}

fn version(f: &mut Fields) -> Version {
    let option = f.text(&["option", "version"]).map(|w| option_name(&w));
    let swap = f.text(&["swap", "swapped", "swaps", "adaptation"]);
    let comparable = f.flag(&["comparable"]) == Some(true);
    match (option.as_deref(), swap) {
        (Some("adapted" | "swapped" | "swap" | "tailored" | "custom" | "modified" | "other movement"), swap) => {
            Version::Adapted(swap.unwrap_or_default())
        }
        (_, Some(swap)) if !comparable => Version::Adapted(swap),
        (None | Some("full"), _) => Version::Full,
        (Some(name), _) => Version::Option(name.to_owned()),
    }
}

fn shown(f: &mut Fields) -> Shown {
    let status = f.peek_text(&["status", "state"]).unwrap_or_default().to_lowercase();
    let withdrawn =
        f.flag(&["withdrawn", "deleted", "removed", "taken_back"]) == Some(true) || f.has(&["withdrawn_at", "deleted_at"]);
    if withdrawn || ["withdrawn", "deleted", "removed", "draft"].contains(&status.as_str()) {
        return Shown::Withdrawn;
    }
    let word = f.text(&["visibility", "visible_to", "shown_to", "share"]).unwrap_or_default().to_lowercase();
    let hidden =
        f.flag(&["private", "hidden", "hide", "hidden_from_board", "hide_from_board", "not_shown", "coach_only", "opt_out"])
            == Some(true);
    let kept = [&["on_board", "board", "show", "shown", "public", "visible", "show_on_board", "listed"][..]]
        .iter()
        .any(|k| f.flag(k) == Some(false));
    if hidden
        || kept
        || status == "private"
        || ["private", "coach", "coach only", "coach_only", "hidden", "me", "nobody", "none"].contains(&word.as_str())
    {
        return Shown::Private;
    }
    Shown::Yes
}

fn when(f: &mut Fields) -> When {
    let offset = f.number(&["offset_h", "tz_offset_h", "hours_from_coach"]);
    let performed = f.text(&["performed", "performed_at", "done_at"]);
    let received = f.text(&["received", "received_at", "synced"]);
    let stamp = |w: &Option<String>| w.as_deref().and_then(stamped);
    // Full timestamps: the day of the first of the two is the session's day.
    if let Some((day, _)) = stamp(&performed).or_else(|| stamp(&received)) {
        let at = |w: &Option<String>| stamp(w).map(|(d, m)| (d - day) * 24 * 60 + m);
        return When { performed_min: at(&performed), received_min: at(&received) };
    }
    let at = |w: Option<String>| w.and_then(|w| minutes(&w, offset));
    When { performed_min: at(performed), received_min: at(received) }
}

fn unplaced(f: &mut Fields) -> Option<String> {
    let status = f.peek_text(&["status", "state"]).unwrap_or_default().to_lowercase();
    if f.flag(&["disqualified", "dq"]) == Some(true) || ["dq", "disqualified"].contains(&status.as_str()) {
        return Some("the coach took it out of the ranking".to_owned());
    }
    if f.flag(&["guest", "coach", "exhibition"]) == Some(true) {
        return Some("shown outside the ranking".to_owned());
    }
    None
}

/// The unit of a bare weight, where the member's own setting says it. The part's unit does not: it is what the board
/// shows, not what somebody typed.
fn settled_unit(f: &mut Fields) -> Option<MassUnit> {
    let word = f.text(&["unit", "athlete_unit", "member_unit", "unit_setting", "default_unit", "setting", "units"])?;
    match word.to_lowercase().as_str() {
        "kg" | "kgs" | "kilograms" => Some(MassUnit::Kg),
        "lb" | "lbs" | "pounds" => Some(MassUnit::Lb),
        _ => None,
    }
}
