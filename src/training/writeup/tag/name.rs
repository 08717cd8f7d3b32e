//! Where a movement is named, and where the same words say something else.

use super::super::super::movement::{Library, Unit};
use super::super::element::{Doc, Name};
use super::super::lexicon::Lexicon;
use super::super::token::Kind;

/// `Good morning all`, `good morning!` at the beginning of a line: a greeting, not the lift.
fn greets(doc: &Doc, i: usize) -> bool {
    let opens =
        i == 0 || matches!(doc.tokens[i - 1].kind, Kind::Newline | Kind::Other) || matches!(doc.low(i - 1), "." | "!" | ",");
    let next = doc.tokens.get(i + 2);
    let person = next.is_none_or(|t| matches!(t.kind, Kind::Other | Kind::Newline) || matches!(t.text, "!" | "," | "."))
        || matches!(
            doc.low(i + 2),
            "all" | "team" | "everyone" | "folks" | "crew" | "everybody" | "guys" | "friends" | "people" | "you" | "to"
        );
    // `Good morning from my kitchen`: the very first words
    let person =
        person || i == 0 && matches!(doc.low(2), "from" | "on" | "and" | "my" | "dear" | "beautiful" | "lovely" | "sunshine");
    opens && person && (next.is_some_and(|t| t.kind != Kind::Newline || i == 0))
}

/// A machine without its kind: read as the first of those there are; the others stand in brackets, or in the coach's words.
const MACHINES: &[&str] = &[
    "any machine",
    "machine of choice",
    "machine of your choice",
    "choice of machine",
    "your choice of machine",
    "any cardio machine",
    "any erg",
    "erg of choice",
];

/// `break up the push-ups early`: advice about a line that stands elsewhere.
fn broken_up(doc: &Doc, i: usize) -> bool {
    let small = usize::from(i > 0 && matches!(doc.low(i - 1), "the" | "your" | "those" | "these"));
    i > 1 + small
        && doc.low(i - 1 - small) == "up"
        && matches!(doc.low(i - 2 - small), "break" | "split" | "breaking" | "splitting")
}

/// `40 double-unders or 80 singles`: counted beside the rope's other jump they are that jump, not heavy singles.
fn beside_doubles(doc: &Doc, i: usize) -> bool {
    let counted = i > 0 && doc.tokens[i - 1].kind == Kind::Number;
    let near = i.saturating_sub(8)..(i + 8).min(doc.tokens.len());
    let rope = |t: usize| matches!(doc.low(t), "du" | "dus" | "dubs" | "doubleunders" | "under" | "unders");
    counted && near.into_iter().any(|t| doc.tokens[t].line == doc.tokens[i].line && rope(t))
}

/// `8 box jumps. Step down every rep.`: how the jump above comes down, and nothing to do besides it.
fn cues_the_way_down(doc: &Doc, i: usize) -> bool {
    let step = matches!(doc.low(i), "step" | "stepping") && doc.low(i + 1) == "down" && !doc.tokens[i + 1].text.contains('-');
    let counted = i > 0 && doc.tokens[i - 1].kind == Kind::Number || matches!(doc.low(i + 2), "x" | ":" | "-" | "jump" | "jumps");
    let number = doc.tokens.get(i + 2).is_some_and(|t| t.kind == Kind::Number);
    let jumps = |t: usize| doc.plain[t].starts_with("jump") && t > 0 && doc.plain[t - 1] == "box";
    // of the jump in the lines right above, and with no dose of its own
    let block =
        (1..i).rev().find(|t| doc.tokens[*t].kind == Kind::Newline && doc.tokens[t - 1].kind == Kind::Newline).unwrap_or(0);
    let dosed = doc.tokens[i..].iter().take_while(|t| t.kind != Kind::Newline).any(|t| t.kind == Kind::Number);
    step && !counted && !number && !dosed && (block..i).any(jumps)
}

/// `hang on to a door frame`, `hang in there`, `hang on, wrong week`: nobody hangs there; `hang on the bar 30 s` is done.
fn holds_on(doc: &Doc, i: usize) -> bool {
    const SAID: &[&str] = &[
        "on to",
        "on tight",
        "on in there",
        "on ,",
        "on .",
        "on !",
        "on a second",
        "on a sec",
        "on a moment",
        "onto",
        "in there",
        "out with",
        "around",
        "about",
        "back",
    ];
    doc.says_any(i, SAID).is_some()
}

/// Words of a name that say something else where they stand.
fn is_said_otherwise(doc: &Doc, i: usize, lexicon: &Lexicon) -> bool {
    if doc.low(i) == "row" && i > 1 && doc.low(i - 1) == "a" && doc.low(i - 2) == "in" {
        // `all three in a row`
        return true;
    }
    if doc.says(i, "good morning").is_some() && greets(doc, i) {
        return true;
    }
    if doc.low(i) == "bench" && i > 1 && doc.low(i - 2) == "on" && matches!(doc.low(i - 1), "the" | "a" | "your") {
        // `20 step-ups on the bench`: what they are done on; `5x5 on the bench` is the lift
        let built = i > 3 && matches!(doc.low(i - 4), "work" | "working" | "build" | "building");
        let named = i > 2 && lexicon.holds(&doc.plain[i - 3]) && !built;
        return named && !doc.low(i + 1).starts_with("press");
    }
    let in_march = matches!(doc.low(i.saturating_sub(1)), "your" | "last" | "since" | "in" | "from" | "our" | "this" | "of");
    if i > 0 && in_march && doc.low(i) == "march" && doc.low(i + 1) != "in" {
        // `your March numbers`
        return true;
    }
    if cues_the_way_down(doc, i) || doc.low(i) == "hang" && holds_on(doc, i + 1) {
        return true;
    }
    if broken_up(doc, i) {
        return true;
    }
    if doc.low(i) == "clean" && i > 0 && doc.low(i - 1) == "but" {
        // `heavy but clean`: how, not what
        return true;
    }
    if doc.plain[i] == "alternating" || doc.low(i) == "running" && matches!(doc.low(i + 1), "clock" | "time" | "total") {
        return true;
    }
    let metres = |at: usize| matches!(doc.low(at), "m" | "metres" | "metre" | "meters" | "meter" | "yd" | "yards");
    let goes_on = doc.plain.get(i + 1).is_some_and(|w| lexicon.holds(w));
    let seconds = |at: usize| matches!(doc.low(at), "s" | "sec" | "secs" | "seconds");
    if doc.plain[i] == "sprint" && !(i > 0 && (metres(i - 1) || seconds(i - 1)) || (2..12).any(|k| metres(i + k)) || goes_on) {
        return true;
    }
    if doc.low(i) == "walking"
        && !(i > 0
            && matches!(
                doc.low(i - 1),
                "of" | "easy" | "slow" | "gentle" | "brisk" | "steady" | "light" | "min" | "mins" | "minutes" | "m" | "km" | "s"
            )
            || doc.plain.get(i + 1).is_some_and(|w| lexicon.holds(w)))
    {
        return true;
    }
    let counted = i > 0
        && (doc.tokens[i - 1].kind == Kind::Number
            || matches!(
                doc.low(i - 1),
                "min" | "mins" | "minutes" | "minute" | "s" | "sec" | "seconds" | "easy" | "slow" | "of"
            ));
    doc.low(i) == "skip" && !counted
}

/// The movement whose name begins at token `i`, and how many tokens it takes.
pub fn name(doc: &Doc, i: usize, library: &Library, lexicon: &Lexicon) -> Option<(Name, usize)> {
    let first = doc.tokens.get(i)?;
    if doc.low(i) == "singles" && beside_doubles(doc, i) {
        let one = lexicon.find(library, &["single".to_owned(), "under".to_owned()])?;
        return Some((Name::Known(one.movement), 1));
    }
    if let Some(used) = doc.says_any(i, MACHINES) {
        if doc.low(i + used) == ":" {
            // the machines themselves follow
            return None;
        }
        let row = lexicon.find(library, &["row".to_owned(), "machine".to_owned()])?;
        return Some((Name::Known(row.movement), used));
    }
    let numbered = first.kind == Kind::Number && matches!(doc.low(i + 1), "/" | "arm" | "-") && !doc.tokens[i + 1].spaced;
    if !(first.kind == Kind::Word || numbered) {
        return None;
    }
    let loose = matches!(doc.plain[i].as_str(), "row" | "squat" | "barbell" | "heavy");
    if !loose && !lexicon.opens(&doc.plain[i]) && !lexicon.opens(&doc.mended[i]) {
        let run = run(doc, i);
        let words: Vec<String> = run.iter().map(|&at| doc.plain[at].clone()).collect();
        let found = lexicon.run_together(&words)?;
        return Some((Name::Known(found.movement), tokens_of(doc, &run, found.words)));
    }
    if is_said_otherwise(doc, i, lexicon) {
        return None;
    }
    let run = run(doc, i);
    let words =
        |forms: &[String]| -> Vec<String> { run.iter().flat_map(|&at| forms[at].split(' ').map(str::to_owned)).collect() };
    let direct = lexicon.find(library, &words(&doc.plain));
    let typed: Vec<String> = words(&doc.plain);
    let mended =
        if run.iter().any(|&at| doc.mended[at] != doc.plain[at]) { lexicon.find(library, &words(&doc.mended)) } else { None };
    let mended = mended.filter(|f| f.words > 1 || Lexicon::sure(&doc.plain[i], &doc.mended[i]));
    let found = match (direct, mended) {
        (Some(a), Some(b)) if b.words > a.words => Some(b),
        (a, b) => a.or(b),
    };
    // `12 KBS` are swings; `one kb` is something to have
    let tool = doc.plain[i] == "kettlebell" && found.is_some_and(|f| f.words == 1);
    if tool && !(doc.low(i) == "kbs" && i > 0 && doc.tokens[i - 1].kind == Kind::Number) {
        return None;
    }
    let measured = |at: usize| matches!(doc.low(at), "kg" | "kgs" | "lb" | "lbs" | "s" | "sec" | "%" | "cal" | "cals" | "m");
    if let Some(found) = found.filter(|f| !(numbered && measured(i + tokens_of(doc, &run, f.words)))) {
        let mut used = tokens_of(doc, &run, found.words);
        // `plank hold` is a plank
        if library.all()[found.movement].unit == Unit::Seconds && matches!(doc.low(i + used), "hold" | "holds") {
            used += 1;
        }
        return Some((Name::Known(found.movement), used));
    }
    match typed.first().map(String::as_str) {
        Some("row") => Some((Name::Row, 1)),
        Some("squat") => Some((Name::Squat, 1)),
        Some("barbell" | "heavy") if typed.get(1).is_some_and(|w| w == "squat") => Some((Name::Squat, tokens_of(doc, &run, 2))),
        _ => None,
    }
}

/// Tokens that could be words of one name from `i` on.
fn run(doc: &Doc, i: usize) -> Vec<usize> {
    let mut run = Vec::new();
    let mut at = i;
    while let Some(token) = doc.tokens.get(at) {
        let joins = match token.kind {
            Kind::Word => true,
            Kind::Number => !token.spaced || at == i,
            Kind::Mark if token.is("&") => true,
            Kind::Mark
                if matches!(token.text, "-" | "–") && !token.spaced && doc.tokens.get(at + 1).is_some_and(|n| !n.spaced) =>
            {
                at += 1;
                continue;
            }
            Kind::Mark if token.is("/") && at == i + 1 && doc.tokens[i].kind == Kind::Number => {
                at += 1;
                continue;
            }
            _ => false,
        };
        if !joins || run.len() >= 9 {
            break;
        }
        run.push(at);
        at += 1;
    }
    run
}

/// Tokens from the first of `run` to the one that holds the last of `words` words.
fn tokens_of(doc: &Doc, run: &[usize], words: usize) -> usize {
    let mut left = words;
    for &at in run {
        let here = doc.plain[at].split(' ').count();
        left = left.saturating_sub(here);
        if left == 0 {
            return at + 1 - run[0];
        }
    }
    run.last().map_or(1, |last| last + 1 - run[0])
}
