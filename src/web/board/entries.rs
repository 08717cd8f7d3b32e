//! From a part and its logged results to what ranking reads. Effort, pain and notes stay behind here.

use crate::store::boards::BoardRow;
use crate::store::ids::VersionId;
use crate::training::dose::Load;
use crate::training::movement::Library;
use crate::training::score::{KG_PER_LB, Score, ScoreRules, least_wins};
use crate::training::session::{Line, Part, PartOption, ScoreKind};
use crate::training::standings::{Course, Entry, Policy, Scoring, Shown, TieBreak, Version, When};
use crate::training::tailor::recorded;
use serde_json::Value;
use std::collections::HashMap;
use std::sync::Arc;
use time::{Date, Duration, OffsetDateTime};

/// What the part says about its results.
pub(super) fn scoring(part: &Part, library: &Library) -> Scoring {
    let rules = ScoreRules::of(part, library);
    Scoring {
        kind: part.score,
        course: course(&rules),
        options: part.options.iter().map(|o| (o.name.clone(), course(&ScoreRules::of(&with(part, o), library)))).collect(),
        columns_kg: columns(part),
        reps: rules.reps,
        least_wins: part.score_rule.as_deref().is_some_and(least_wins),
    }
}

/// The rules of the board as the coach set them, with the coach's own order of options and the tie-break that the part
/// announces.
#[must_use]
pub fn policy(part: &Part, set: Policy) -> Policy {
    let mut policy = set;
    let names: Vec<String> = part.options.iter().map(|o| o.name.clone()).collect();
    if !names.is_empty() {
        // a load below the written ones stands first after as written, unless the coach placed it
        policy.group_order = if names.iter().any(|n| n == "lighter") { Vec::new() } else { vec!["lighter".to_owned()] };
        policy.group_order.extend(names);
    }
    if let Some(words) = &part.tie_break {
        policy.tie_break = tie_break(part.score, words);
    }
    policy
}

fn tie_break(kind: ScoreKind, words: &str) -> TieBreak {
    let low = words.to_lowercase();
    match kind {
        ScoreKind::Load if low.contains("fewer reps") || low.contains("fewest reps") => TieBreak::FewerReps,
        ScoreKind::Load if low.contains("more reps") || low.contains("most reps") => TieBreak::MoreReps,
        _ => TieBreak::Clock(words.to_owned()),
    }
}

fn course(rules: &ScoreRules) -> Course {
    Course { cap_s: rules.cap_s, total_reps: rules.total_reps, round_reps: rules.round_reps }
}

/// The part as an option changes it.
#[must_use]
pub fn with(part: &Part, option: &PartOption) -> Part {
    let mut out = Part { options: Vec::new(), ..part.clone() };
    out.rounds = option.rounds.clone().or(out.rounds);
    out.time_cap_s = option.time_cap_s.or(out.time_cap_s);
    out.duration_s = option.duration_s.or(out.duration_s);
    if !option.lines.is_empty() {
        if option.replace.is_empty() {
            out.lines.clone_from(&option.lines);
        } else {
            out.lines.retain(|l| !option.replace.contains(&l.movement));
            out.lines.extend(option.lines.iter().cloned());
        }
    }
    if let Some(reps) = &option.reps {
        for line in out.lines.iter_mut().filter(|l| l.role.is_none()) {
            line.reps = Some(reps.clone());
        }
    }
    out
}

/// Written loads in kilograms; none where the load itself is the score, or where lines differ.
fn columns(part: &Part) -> Vec<f64> {
    if part.score == ScoreKind::Load {
        return Vec::new();
    }
    let mut written = part.lines.iter().filter_map(|l| match &l.load {
        Some(Load::Kg { values, range: false }) => Some(values.clone()),
        Some(Load::Lb { values, range: false }) => Some(values.iter().map(|lb| lb * KG_PER_LB).collect()),
        _ => None,
    });
    let first: Vec<f64> = written.next().unwrap_or_default();
    if written.all(|other| other == first) { first } else { Vec::new() }
}

/// The part as it was in versions of the session in which it was other work: what was done on one of them is read against it.
pub(super) type Earlier = HashMap<VersionId, Arc<Part>>;

/// What the entries of one part are read against.
pub(super) struct Against<'a> {
    pub part: &'a Part,
    pub library: &'a Library,
    pub policy: &'a Policy,
    /// the session's day
    pub day: Date,
    /// the part in those versions of the session in which it was another one
    pub earlier: &'a Earlier,
}

/// Entries of one part.
pub(super) fn entries<'r>(rows: impl Iterator<Item = &'r BoardRow>, to: &Against<'_>) -> Vec<Entry> {
    let rules = ScoreRules::of(to.part, to.library);
    rows.map(|r| entry(r, to, &rules)).collect()
}

fn entry(r: &BoardRow, to: &Against<'_>, rules: &ScoreRules) -> Entry {
    let open = || r.doubt.clone().unwrap_or_else(|| "the score is not clear yet".to_owned());
    let timed_tie = matches!(to.policy.tie_break, TieBreak::Clock(_));
    Entry {
        member: r.person_id.to_string(),
        version: version(r, to.earlier.get(&r.version_id).map_or(to.part, Arc::as_ref)),
        load_kg: r.load_kg,
        // the tie-break is typed with the score, and stands in its text alone
        tie_s: timed_tie.then(|| crate::training::score::read(to.part.score, &r.score_text, rules).ok()?.tie_s).flatten(),
        held: r.score.is_none().then(open),
        // a value that was open has none until its owner answers
        confirmed: r.score.is_some(),
        unplaced: unplaced(r, to),
        shown: if r.shown { Shown::Yes } else { Shown::Private },
        attempt: r.attempt,
        when: if to.policy.closes_min.is_some() { when(r, to.day) } else { When::default() },
        ..Entry::new(&r.id.to_string(), r.score.clone().unwrap_or(Score::Done))
    }
}

/// Why it is listed without a place, whatever its value.
fn unplaced(r: &BoardRow, to: &Against<'_>) -> Option<String> {
    if to.earlier.contains_key(&r.version_id) {
        return Some("done on an earlier version of this part".to_owned());
    }
    if let Some(share) = share(&r.version_done, r.given.as_ref()) {
        let swap = Some(swap(r.given.as_ref(), to.part)).filter(|swap| !swap.is_empty());
        return Some(format!("{share} done{}", swap.map(|swap| format!(", with {swap}")).unwrap_or_default()));
    }
    let other = amounts(&r.version_done, r.given.as_ref(), to.part).filter(|_| swap(r.given.as_ref(), to.part).is_empty())?;
    Some(format!("other amounts than written ({other}) cannot be compared"))
}

/// What was given in other amounts than written.
pub(super) fn amounts(version_done: &str, given: Option<&Value>, part: &Part) -> Option<String> {
    let told = recorded::other_amounts(part, &recorded::given(given.filter(|_| version_done == "adapted"))?);
    (!told.is_empty()).then(|| told.join(", "))
}

/// How much of it was done, where lines were left out for its owner.
pub(in crate::web) fn share(version_done: &str, given: Option<&Value>) -> Option<String> {
    recorded::share(&recorded::given(given.filter(|_| version_done == "adapted"))?)
}

/// So long before it came in a device's word for when something was typed is taken; its clock may be wrong.
const KEPT: Duration = Duration::days(7);

/// When it was done and came in, by the member's own clock. Members give the day and not the hour: typed on that day, also without
/// a signal, it was done by then at the latest; logged later, the day they give is taken at its word.
fn when(r: &BoardRow, day: Date) -> When {
    let came = r.zone.local(r.created_at);
    let days = |d: Date| (d - day).whole_days() * 1440;
    let minutes = |at: OffsetDateTime| days(at.date()) + i64::from(at.hour()) * 60 + i64::from(at.minute());
    let kept = r.typed_at.filter(|at| *at <= r.created_at && r.created_at - *at < KEPT).map(|at| r.zone.local(at));
    let performed = match kept.filter(|at| at.date() == r.done_on) {
        Some(typed) => minutes(typed),
        None if r.done_on >= came.date() => minutes(came),
        None => days(r.done_on),
    };
    When { performed_min: Some(performed), received_min: Some(minutes(came)) }
}

fn version(r: &BoardRow, part: &Part) -> Version {
    match r.version_done.as_str() {
        "" | "full" => Version::Full,
        "adapted" => Version::Adapted(swap(r.given.as_ref(), part)),
        name => Version::Option(name.to_owned()),
    }
}

/// The movements that were given and not written, and nothing of why: a reason can be private.
pub(super) fn swap(given: Option<&Value>, part: &Part) -> String {
    let mut names = Vec::new();
    collect(given.unwrap_or(&Value::Null), &mut names);
    let written = |name: &str| {
        let pieces = |l: &Line| l.movement == name || l.complex.iter().any(|p| p.movement == name);
        part.lines.iter().any(pieces)
    };
    names.retain(|n| !written(n));
    names.join(", ")
}

/// Names of movements, in order and once, out of lines however they are nested.
fn collect(value: &Value, names: &mut Vec<String>) {
    match value {
        Value::Array(list) => list.iter().for_each(|v| collect(v, names)),
        Value::Object(line) => match line.get("movement").and_then(Value::as_str) {
            Some("complex") => collect(line.get("complex").unwrap_or(&Value::Null), names),
            Some(name) if !names.iter().any(|n| n == name) => names.push(name.to_owned()),
            _ => {}
        },
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::training::dose::Amount;
    use crate::training::session::Format;

    fn line(movement: &str, reps: f64, kg: &[f64]) -> Line {
        let load = (!kg.is_empty()).then(|| Load::Kg { values: kg.to_vec(), range: false });
        Line { movement: movement.to_owned(), reps: Some(Amount::One(reps)), load, ..Line::default() }
    }

    /// Ten rounds of 8 and 12 under a cap of 15 minutes, with an option of six rounds in nine.
    fn ten_rounds() -> Part {
        let shorter = PartOption {
            name: "shorter".to_owned(),
            rounds: Some(Amount::One(6.0)),
            time_cap_s: Some(540.0),
            ..PartOption::default()
        };
        Part {
            format: Format::ForTime,
            rounds: Some(Amount::One(10.0)),
            time_cap_s: Some(900.0),
            score: ScoreKind::Time,
            lines: vec![line("push-up", 8.0, &[]), line("dumbbell snatch", 12.0, &[22.5, 15.0])],
            options: vec![shorter],
            ..Part::default()
        }
    }

    #[test]
    fn an_option_has_its_own_cap_and_count() {
        let scoring = scoring(&ten_rounds(), Library::shipped());
        assert_eq!((scoring.course.cap_s, scoring.course.total_reps), (Some(900.0), Some(200)));
        let (name, own) = &scoring.options[0];
        assert_eq!((name.as_str(), own.cap_s, own.total_reps), ("shorter", Some(540.0), Some(120)));
    }

    #[test]
    fn an_option_replaces_the_lines_it_names() {
        let option =
            PartOption { replace: vec!["push-up".to_owned()], lines: vec![line("chair dip", 8.0, &[])], ..PartOption::default() };
        let names: Vec<String> = with(&ten_rounds(), &option).lines.into_iter().map(|l| l.movement).collect();
        assert_eq!(names, ["dumbbell snatch", "chair dip"]);
    }

    #[test]
    fn written_loads_count_only_where_there_is_one_answer() {
        let mut part = ten_rounds();
        assert_eq!(columns(&part), [22.5, 15.0]);
        part.lines[0] = line("goblet squat", 8.0, &[24.0, 16.0]);
        assert!(columns(&part).is_empty(), "two loads, and only one is logged");
        part.lines[0] = line("goblet squat", 8.0, &[22.5, 15.0]);
        assert_eq!(columns(&part), [22.5, 15.0]);
        part.score = ScoreKind::Load;
        assert!(columns(&part).is_empty(), "the load is the score");
    }

    #[test]
    fn options_stand_in_the_coachs_order_and_a_tie_break_is_the_coachs() {
        let mut part = ten_rounds();
        part.options.push(PartOption { name: "lighter".to_owned(), ..PartOption::default() });
        part.tie_break = Some("the clock after round five".to_owned());
        let policy = policy(&part, Policy::default());
        assert_eq!(policy.group_order, ["shorter", "lighter"]);
        assert_eq!(policy.tie_break, TieBreak::Clock("the clock after round five".to_owned()));
    }

    #[test]
    fn a_swap_names_only_what_was_not_written_and_never_says_why() {
        let given = serde_json::json!([[{ "movement": "push-up" }], [{ "movement": "complex", "complex": [
            { "movement": "kettlebell swing" }, { "movement": "kettlebell swing" }], "note": "sore wrist" }]]);
        assert_eq!(swap(Some(&given), &ten_rounds()), "kettlebell swing");
        assert_eq!(swap(Some(&serde_json::json!("sore wrist")), &ten_rounds()), "");
    }
}
