//! Words that shape a write-up: headings, labels, scores, options, notes; and its signs.

mod heading;
mod kit;
mod lead;
mod punctuation;
mod rungs;
mod then;

pub use kit::names_no_kit;
pub use lead::{label_inside, line_start, minute, whole};
pub use punctuation::punctuation;
pub use rungs::{more_each, step};
pub use then::after_rest;

use heading::heading;
use kit::without_kit;
use rungs::ladder;
use then::then;

use super::super::session::Role;
use super::clocks::count;
use super::element::{Doc, What};
use super::token::{Kind, Token};

/// `FT, cap 12`, `5 rounds FT`: for time, and no feet where no number stands before it.
fn short_for_time(doc: &Doc, i: usize) -> Option<usize> {
    let counted = i > 0 && doc.tokens[i - 1].kind == Kind::Number;
    (doc.low(i) == "ft" && !counted).then_some(1)
}

/// Words that shape what follows.
pub fn read(doc: &Doc, i: usize) -> Option<(What, usize)> {
    if doc.tokens[i].kind != Kind::Word {
        return None;
    }
    if matches!(doc.low(i), "zone" | "level" | "gear" | "resistance" | "phase" | "z")
        && doc.tokens.get(i + 1).is_some_and(|t| t.kind == Kind::Number && t.text.len() < 3)
    {
        // `45 min zone 2 run`: the number belongs to the word
        let second = doc.low(i) == "level" && doc.low(i + 1) != "1" && matches!(doc.low(i + 2), ":" | "-" | "–" | "=");
        return Some((if second { What::Option } else { What::Word }, 2));
    }
    const FOR_TIME: &[&str] = &[
        "for time",
        "fortime",
        "rft",
        "4 time",
        "as fast as possible",
        "for best time",
        "for a time",
        "on time",
        "for your best time",
        "as quickly as possible",
        "as fast as you can",
        "against the clock",
        "time it",
        "time yourself",
        "time this one",
    ];
    const NOT: &[&str] = &[
        "not for time",
        "nft",
        "no clock",
        "not timed",
        "not a race",
        "no rush",
        "no hurry",
        "not against the clock",
        "for quality",
        "for quality not time",
        "not for speed",
    ];
    const SCORE: &[&str] = &[
        "score",
        "scores",
        "scoring",
        "your score",
        "both scores",
        "post",
        "log",
        "record",
        "result",
        "results",
        "report",
        "enter",
        "note down",
        "write down",
        "score it",
        "send me",
        "tell me",
        "give me",
        "count rounds",
        "count your rounds",
        "count the rounds",
        "count how many rounds",
        "count total reps",
        "count reps",
        "count your reps",
        "count all reps",
        "count every rep",
        "total reps",
    ];
    const NOTE: &[&str] = &[
        "note",
        "notes",
        "nb",
        "n b",
        "ps",
        "p s",
        "coach note",
        "coach's note",
        "coaches note",
        "tip",
        "tips",
        "cue",
        "cues",
        "video",
        "link",
        "equipment",
        "kit",
        "kit list",
        "kit needed",
        "you need",
        "you'll need",
        "you will need",
        "what you need",
        "needs",
        "gear",
        "bring",
        "reminder",
        "focus",
        "ex",
        "e g",
        "example",
        "demo",
        "standard",
        "standards",
        "points",
        "key points",
        "watch",
        "stimulus",
        "feel",
        "stop if",
        "stop when",
        "why",
        "think",
        "common fault",
        "common faults",
        "common mistake",
        "common mistakes",
        "safety",
    ];
    const AIM: &[&str] = &[
        "aim",
        "aims",
        "goal",
        "goals",
        "intent",
        "intention",
        "purpose",
        "today is about",
        "today's about",
        "today we work on",
        "todays aim",
        "today's aim",
        "today's goal",
        "the aim",
        "the goal",
        "the point",
        "session aim",
        "aim of today",
        "objective",
    ];
    const OPTION: &[&str] = &[
        "short version",
        "shorter version",
        "short option",
        "shorter option",
        "shorter",
        "or shorter",
        "short",
        "scaled",
        "scale",
        "scaling",
        "rx",
        "as written",
        "scaled version",
        "short on time",
        "beginner",
        "beginners",
        "beginner version",
        "beginner option",
        "easier",
        "easier option",
        "easier version",
        "lighter",
        "lighter version",
        "lighter option",
        "option",
        "options",
        "new here",
        "less time",
        "quick version",
        "quiet version",
        "quiet option",
        "longer version",
        "long version",
        "harder",
        "harder option",
        "no time",
        "in a hurry",
        "in a rush",
        "if you are in a rush",
        "if you're in a rush",
        "option b",
        "easy version",
        "easy option",
        "lite version",
        "lite",
        "light version",
        "light option",
        "mini version",
        "half version",
        "short for time",
        "pressed for time",
        "who has not so much time",
        "who has no time",
        "who has little time",
        "not so much time",
        "not much time",
        "not enough time",
        "little time",
        "tight on time",
        "time is short",
        "time is tight",
        "if time is short",
        "if time is tight",
        "if you are short on time",
        "if you're short on time",
        "if short on time",
        "if your short on time",
        "if ur short on time",
        "if you are tight on time",
        "if you're tight on time",
        "no kit version",
        "no equipment version",
        "bodyweight version",
        "home version",
        "dumbbell version",
    ];
    let found = [
        doc.says_any(i, NOT).map(|n| (What::NotForTime, n)),
        doc.says_any(i, FOR_TIME).or_else(|| short_for_time(doc, i)).map(|n| (What::ForTime, n)),
        role(doc, i),
        heading(doc, i),
        doc.says_any(i, OPTION)
            .filter(|n| !matches!(doc.low(i + n), "week" | "day" | "cap" | "limit"))
            .or_else(|| version(doc, i).or_else(|| without_kit(doc, i)))
            .map(|n| (What::Option, n)),
        doc.says_any(i, AIM).map(|n| (What::Aim, n)),
        doc.says_any(i, SCORE)
            .filter(|n| !matches!(doc.low(i), "send" | "tell" | "give") || asks_for_result(doc, i + n))
            // `log rolls 3x10` are done, not written down
            .filter(|_| {
                !(doc.low(i) == "log" && doc.tokens.get(i + 2).is_some_and(|t| t.number().is_some()) && doc.low(i + 3) == "x")
            })
            .map(|n| (What::Score, n)),
        doc.says_any(i, NOTE).filter(|n| matches!(doc.low(i + n), ":" | "-" | "–" | "=")).map(|n| (What::Note, n)),
        reminder(doc, i).or_else(|| afterthought(doc, i)).or_else(|| heads_notes(doc, i)),
        doc.says_any(i, &["no score", "not scored", "nothing to score", "unscored"]).map(|n| (What::Score, n)),
        ladder(doc, i),
        doc.says_any(i, &["intervals", "interval"]).map(|n| (What::Intervals, n)),
        doc.says_any(i, &["each one"]).map(|n| (What::EachRound, n)),
        doc.says_any(
            i,
            &["instead of", "in place of", "instead", "sub", "subs", "swap", "swap for", "substitute", "replace with", "replace"],
        )
        .filter(|n| doc.tokens.get(i + n).is_none_or(|t| t.number().is_none()))
        .map(|n| (What::Instead, n)),
        doc.says_any(i, &["or", "alternatively", "otherwise", "oder"]).map(|n| (What::Or, n)),
        then(doc, i).map(|n| (What::Then, n)),
        doc.says_any(i, &["plus", "and also"]).map(|n| (What::Plus, n)),
        step(doc, i),
    ];
    found.into_iter().flatten().max_by_key(|(_, n)| *n)
}

/// `chill ver:`, `the lazy version -`: any word before `version`, as the opening of a line.
fn version(doc: &Doc, i: usize) -> Option<usize> {
    let opens = i == 0 || doc.tokens[i - 1].kind == Kind::Newline || !doc.tokens[i - 1].text.is_ascii();
    let at = (1..3).find(|k| matches!(doc.low(i + k), "ver" | "version" | "vers" | "variant" | "edition"))?;
    let words =
        (0..at).all(|k| doc.tokens[i + k].kind == Kind::Word && !matches!(doc.low(i + k), "full" | "main" | "same" | "this"));
    (opens && words && matches!(doc.low(i + at + 1), ":" | "-" | "–" | "=")).then_some(at + 1)
}

/// `Reminder from Monday:` at the beginning of a line.
fn reminder(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let opens = i == 0 || doc.tokens[i - 1].kind == Kind::Newline;
    let word = matches!(doc.low(i), "reminder" | "remember" | "note" | "tip" | "ps");
    let colon = (1..6).find(|k| !doc.tokens.get(i + k).is_some_and(|t| t.kind == Kind::Word))?;
    (opens && word && doc.low(i + colon) == ":").then_some((What::Note, colon))
}

/// `Notes` alone on its line: what stands below is only said.
fn heads_notes(doc: &Doc, i: usize) -> Option<(What, usize)> {
    const HEADS: &[&str] = &[
        "note",
        "notes",
        "coach notes",
        "coach's notes",
        "coaches notes",
        "coaching notes",
        "reminder",
        "reminders",
        "cues",
        "tips",
        "kit",
        "kit list",
        "equipment",
        "points",
        "key points",
        "coaching points",
        "standards",
        "stimulus",
    ];
    let sign = |k: usize| matches!(doc.low(k), "#" | "*" | "-");
    let before = (0..i).rev().find(|&k| !sign(k));
    let opens = before.is_none_or(|k| doc.tokens[k].kind == Kind::Newline);
    let ends = |k: usize| doc.tokens.get(k).is_none_or(|t| t.kind == Kind::Newline);
    doc.says_any(i, HEADS).filter(|n| opens && ends(i + n)).map(|n| (What::Note, n))
}

/// `PS 12 min cap as always` at the beginning of a line; `PS 3x3` is the lift.
fn afterthought(doc: &Doc, i: usize) -> Option<(What, usize)> {
    // also behind a full stop or a picture: `... in the thread 👇 ps bring a towel`
    let ends = |t: &Token| matches!(t.kind, Kind::Newline | Kind::Other) || matches!(t.text, "." | "!" | "?");
    let opens = i == 0 || ends(&doc.tokens[i - 1]);
    let n = doc.says_any(i, &["ps", "p s", "p . s .", "nb", "btw", "fyi"]).filter(|_| opens)?;
    let sets = count(doc, i + n).is_some() && matches!(doc.low(i + n + 1), "x" | "×" | "*" | "sets" | "@" | "/");
    let words = (i + n..i + n + 6).filter(|t| doc.tokens.get(*t).is_some_and(|t| t.kind == Kind::Word)).count();
    (!sets && words > 2).then_some((What::Note, n))
}

/// `send me your time`, not `send me a photo`.
fn asks_for_result(doc: &Doc, at: usize) -> bool {
    (at..at + 6).take_while(|k| doc.tokens.get(*k).is_some_and(|t| t.kind != Kind::Newline)).any(|k| {
        matches!(
            doc.low(k),
            "score"
                | "scores"
                | "time"
                | "times"
                | "reps"
                | "rounds"
                | "seconds"
                | "kg"
                | "weight"
                | "weights"
                | "numbers"
                | "number"
                | "result"
                | "results"
                | "total"
                | "cals"
                | "calories"
                | "distance"
                | "load"
        )
    })
}

fn role(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let (what, n) = match doc.low(i) {
        "buy" | "buyin" => (What::Role(Role::BuyIn), doc.says_any(i, &["buy in", "buyin", "buy - in"])?),
        "cash" | "cashout" => match doc.says_any(i, &["cash out", "cashout"]) {
            Some(n) => (What::Role(Role::CashOut), n),
            None => (What::Role(Role::BuyIn), doc.says(i, "cash in")?),
        },
        _ => return None,
    };
    Some((what, n))
}
