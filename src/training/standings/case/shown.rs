//! Whether an entry may be seen.
//!
//! # Design
//! In doubt it is not: a result that is shown against its owner's will cannot be called back, one that is hidden can be shown
//! a minute later. So any word behind `private` counts but a plain no, and a word about who may see it must name the others.

use super::super::Shown;
use super::fields::Fields;
use serde_json::Value;

/// In the name of a key: taken back.
const GONE: &[&str] = &["withdr", "delet", "retract", "taken_back", "took_back", "taken_down"];
/// In the name of a key: kept from the others.
const KEPT: &[&str] = &[
    "private",
    "hide",
    "hidden",
    "not_shown",
    "not_listed",
    "unlisted",
    "coach_only",
    "only_coach",
    "only_me",
    "opt_out",
    "opted_out",
    "off_board",
    "secret",
];
/// In the name of a key that is about something else: what the coach reads beside a result, or the opposite.
const ELSE: &[&str] = &["note", "pain", "comment", "unhide", "not_hidden", "not_private", "not_withdrawn"];
/// Keys of which a no means that it is kept from the others.
const SHOW: &[&str] = &[
    "on_board",
    "board",
    "on_leaderboard",
    "leaderboard",
    "show",
    "shown",
    "show_result",
    "show_on_board",
    "public",
    "is_public",
    "visible",
    "is_visible",
    "listed",
    "display",
    "displayed",
    "publish",
    "published",
];
/// Keys that say who may see it.
const WHO: &[&str] = &[
    "visibility",
    "visible_to",
    "shown_to",
    "share",
    "shared",
    "share_result",
    "share_with",
    "shared_with",
    "audience",
    "privacy",
];

/// Takes every key that says so.
pub(super) fn shown(f: &mut Fields) -> Shown {
    let named = |name: &str, list: &[&str]| list.iter().any(|w| name.contains(w)) && !ELSE.iter().any(|w| name.contains(w));
    let gone = f.take_all(|name| name.starts_with("removed") || named(name, GONE)).iter().any(says);
    let kept = f.take_all(|name| named(name, KEPT)).iter().any(says);
    let not_shown = f.take_all(|name| SHOW.contains(&name)).iter().any(denied);
    let not_to_others = f.take_all(|name| WHO.contains(&name)).iter().any(|v| !v.is_null() && !to_others(v));
    let read = |key: &str| f.peek_text(&[key]).unwrap_or_default().to_lowercase().replace(['_', '-'], " ");
    let status = ["status", "state", "kind", "entry_kind", "type"].map(read);
    // of what was typed, the word alone and no sentence
    let typed = ["score", "result", "text"].map(read);
    let about = |list: &[&str]| {
        status.iter().any(|s| list.iter().any(|w| s.contains(w))) || typed.iter().any(|s| list.contains(&s.trim()))
    };
    if gone || about(&["withdr", "delete", "retract", "removed", "draft", "taken back", "withdrawn"]) {
        Shown::Withdrawn
    } else if kept || not_shown || not_to_others || about(&["private", "hidden", "coach only", "unlisted"]) {
        Shown::Private
    } else {
        Shown::Yes
    }
}

/// A plain no, in whichever type.
fn no(value: &Value) -> bool {
    match value {
        Value::Null | Value::Bool(false) => true,
        Value::Number(n) => n.as_f64() == Some(0.0),
        Value::String(s) => {
            ["", "no", "n", "false", "off", "none", "never", "0", "null", "not"].contains(&s.trim().to_lowercase().as_str())
        }
        Value::Array(list) => list.is_empty(),
        Value::Bool(true) | Value::Object(_) => false,
    }
}

/// `true`, `"yes"`, `1`, and also the time at which it was taken back.
fn says(value: &Value) -> bool {
    !no(value)
}

/// `false`, `"no"`, `0`, `"private"`; nothing said is no denial.
fn denied(value: &Value) -> bool {
    let word = value.as_str().unwrap_or_default().to_lowercase();
    let kept = ["private", "hidden", "nobody", "no one", "coach", "me"].iter().any(|w| word.trim() == *w);
    !value.is_null() && (no(value) || kept)
}

/// A word that names the others: `group`, `everyone`; `off` of `privacy` is none of them.
fn to_others(value: &Value) -> bool {
    match value {
        Value::Array(list) => list.iter().any(to_others),
        Value::String(s) => {
            let low = s.to_lowercase();
            let words: Vec<&str> = low.split(|c: char| !c.is_alphanumeric()).collect();
            let names = ["public", "every", "group", "member", "board", "team", "athlete", "anyone", "visible", "nick", "anonym"];
            let short = ["all", "on", "yes", "y", "true", "full", "show", "shown", "listed", "open", "1"];
            let not = ["not", "no", "nobody", "none", "never", "hidden", "private", "only"];
            (names.iter().any(|w| low.contains(w)) || words.iter().any(|w| short.contains(w)))
                && !(words.iter().any(|w| not.contains(w)) && !low.contains("members only") && !low.contains("group only"))
        }
        other => !no(other),
    }
}
