//! Ranking from the public JSON: `{"scoring": {...}, "entries": [...]}` in, order and reasons out.
//!
//! The words of the JSON are forgiving in spelling, as scores are; what is not understood is named under
//! `not_understood` and changes nothing.

mod fields;
mod shown;
mod terms;
#[cfg(test)]
mod tests;
mod value;

use super::when::{minutes, stamped};
use super::{Entry, Version, When, board};
use crate::training::calendar::Zone;
use crate::training::score::MassUnit;
use fields::{Fields, Ordered};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use terms::{Terms, option_name, terms};

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
    let (mut replaced, mut doubted) = (Vec::new(), Vec::new());
    for one in case.entries {
        let mut fields = Fields::new(one.0);
        let (entry, replaced_by) = entry(&mut fields, &terms)?;
        if !seen.insert(entry.id.clone()) {
            return Err(format!("two entries have the id {:?}", entry.id));
        }
        not_understood.extend(fields.left().map(|k| format!("{}: {k}", entry.id)));
        replaced.extend(replaced_by.map(|by| (entry.id.clone(), by)));
        doubted.extend(value::doubt(&entry.score, &terms).filter(|_| !entry.confirmed).map(|why| (entry.id.clone(), why)));
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
    // as on the product's boards, what is hard to believe counts
    for (id, doubt) in doubted {
        why.entry(id).and_modify(|line| *line = format!("{line} {doubt}"));
    }
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

/// Keys of an entry that are known and change no place.
const PLAY_NO_PART: &[&str] = &[
    "attempt",
    "column",
    "note",
    "notes",
    "pain",
    "hurt",
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
    "tz",
    "zone",
    "time_zone",
    "anonymous",
    "video",
    "state",
    "finished",
    "done",
    "implausible",
    "doubt",
    "flagged",
];

/// One entry, and the id that replaces it.
fn entry(f: &mut Fields, terms: &Terms) -> Result<(Entry, Option<String>), String> {
    let id = f.text(&["id"]).ok_or("an entry has no id")?;
    let mut entry = Entry::new(&id, crate::training::score::Score::NotDone { started: true });
    entry.member = f.text(&["athlete", "member", "who", "by", "person"]).unwrap_or_else(|| id.clone());
    entry.version = version(f);
    // More reps at the tie-break are better, and a tie-break compares by less: so they count down.
    let tie_reps = f.number(&["tie_reps", "tie_break_reps"]).map(|n| -n);
    entry.tie_s = f.seconds(&["tie_s", "tie_break_s", "tiebreak_s", "tie"]).or(tie_reps);
    entry.body_kg = f.number(&["body_kg", "bodyweight_kg", "body_weight_kg", "athlete_kg", "weight_kg", "bodyweight"]);
    entry.shown = shown::shown(f);
    let replaced_by = f.text(&["replaced_by", "corrected_by", "superseded_by"]);
    let said = f.text(&["kind", "entry_kind"]).unwrap_or_default().to_lowercase();
    let word = f.peek_text(&["attempt"]).unwrap_or_default().to_lowercase();
    let again = ["second", "attempt", "retry", "repeat", "again", "third", "redo"].iter().any(|w| said.contains(w))
        || ["second", "third"].contains(&word.as_str())
        || f.flag(&["second_attempt", "is_second_attempt", "retry", "is_retry", "repeat", "is_repeat"]) == Some(true);
    let attempt = f.count(&["attempt", "attempt_no", "try"]);
    entry.attempt = attempt.unwrap_or(if again { 2 } else { 1 }).max(1);
    let corrects = f.text(&["corrects", "replaces", "correction_of", "supersedes", "amends", "updates", "edit_of"]);
    entry.corrects = corrects.or_else(|| ["correct", "edit", "fix", "amend"].iter().any(|w| said.contains(w)).then(String::new));
    if f.flag(&["correction"]) == Some(true) && entry.corrects.is_none() {
        entry.corrects = Some(String::new());
    }
    entry.when = when(f, terms.day);
    let status = f.peek_text(&["status", "state"]).unwrap_or_default().to_lowercase();
    let open =
        f.flag(&["held"]).or_else(|| ["held", "pending", "unclear", "open question"].contains(&status.as_str()).then_some(true));
    let question = f.text(&["held", "question", "unclear"]).filter(|_| open != Some(false));
    entry.held = question.or_else(|| (open == Some(true)).then(|| "an open question".to_owned()));
    entry.unplaced = unplaced(f);
    let (score, held) = value::score(f, terms, &entry.version);
    entry.score = score;
    entry.confirmed = f.flag(&["confirmed", "confirmed_by_coach", "verified"]) == Some(true);
    entry.held = entry.held.or(held);
    entry.load_kg = value::load_used(f, terms.scoring.kind);
    f.drop(PLAY_NO_PART);
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

/// When it was done and came in, from the start of the session's day: the day that the case names, else that of the first timestamp.
fn when(f: &mut Fields, session: Option<i64>) -> When {
    let offset = f.number(&["offset_h", "tz_offset_h", "utc_offset_h", "hours_from_coach"]);
    let zone = f.text(&["tz", "zone", "time_zone", "timezone", "athlete_tz", "member_tz"]).and_then(|w| Zone::of_place(&w));
    let utc = |w: Option<String>| w.map(|w| format!("{w} utc"));
    let performed = f.text(&["performed", "performed_at", "done_at", "done"]).or_else(|| utc(f.text(&["performed_utc"])));
    let on = f.text(&["date", "done_on", "performed_on", "day"]);
    let received =
        f.text(&["received", "received_at", "synced", "logged", "logged_at"]).or_else(|| utc(f.text(&["received_utc"])));
    let stamp = |w: &Option<String>| w.as_deref().and_then(|w| stamped(w, zone, offset));
    let done_on = stamp(&on);
    let day = session.or_else(|| stamp(&performed).or_else(|| stamp(&received)).or(done_on).map(|s| s.0));
    // a time of day beside a date is of that date
    let own_day = done_on.zip(day).map_or(0, |((on, _), day)| (on - day) * 1440);
    let at = |w: &Option<String>| match (stamp(w), day) {
        (Some((d, m)), Some(day)) => Some((d - day) * 1440 + m),
        _ => w.as_deref().and_then(|w| minutes(w, offset)).map(|m| m.saturating_add(own_day)),
    };
    When { performed_min: at(&performed).or_else(|| at(&on)), received_min: at(&received) }
}

fn unplaced(f: &mut Fields) -> Option<String> {
    let status = f.peek_text(&["status", "state"]).unwrap_or_default().to_lowercase();
    if f.flag(&["disqualified", "dq"]) == Some(true) || ["dq", "disqualified"].contains(&status.as_str()) {
        return Some("the coach took it out of the ranking".to_owned());
    }
    if f.flag(&["late"]) == Some(true) || f.flag(&["on_time"]) == Some(false) {
        return Some("late".to_owned());
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
