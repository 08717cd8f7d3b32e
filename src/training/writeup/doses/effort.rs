//! How hard: rated effort, reps in reserve, heavy sets, to the limit.

use super::super::super::dose::{Amount, Load};
use super::super::element::{Doc, What};
use super::super::quantity::{Unit, quantity};
use super::super::token::{Kind, Token};
use super::super::words::number_word;
use super::*;

/// `RPE 8`, `2 RIR`, `RIR 2`, `2 reps in reserve`, `leave 2 in the tank`
pub(super) fn effort(doc: &Doc, i: usize) -> Option<(What, usize)> {
    if let Some(found) = out_of_ten(doc, i) {
        return Some(found);
    }
    if let Some(found) = short_of_max(doc, i).or_else(|| stops_short(doc, i)) {
        return Some(found);
    }
    let leave = usize::from(matches!(doc.low(i), "leave" | "leaving" | "keep" | "with"));
    if matches!(doc.low(i), "rpe" | "rir") {
        let gap = usize::from(matches!(doc.low(i + 1), ":" | "=" | "of"));
        let q = quantity(doc.tokens.get(i + 1 + gap..)?)?;
        let load = if doc.low(i) == "rpe" { Load::Rpe(q.amount) } else { Load::Rir(q.amount) };
        let used = 1 + gap + q.tokens;
        return (q.unit == Unit::Bare).then_some((What::Load(load, None), used + not_more(doc, i + used)));
    }
    let q = quantity(doc.tokens.get(i + leave..)?)?;
    if !matches!(q.unit, Unit::Bare | Unit::Reps) {
        return None;
    }
    let end = i + leave + q.tokens;
    // `@ 8 RPE`, but in `5 RPE 8` the number behind the word is its own
    let own = doc.tokens.get(end + 1).is_some_and(|t| t.kind == Kind::Number && t.line == doc.tokens[end].line);
    if doc.low(end) == "rpe" && q.unit == Unit::Bare && !own && q.amount.high() <= 10.0 {
        return Some((What::Load(Load::Rpe(q.amount), None), leave + q.tokens + 1));
    }
    let n = doc.says_any(
        end,
        &[
            "rir",
            "in reserve",
            "reps in reserve",
            "rep in reserve",
            "in the tank",
            "left in the tank",
            "reps in the tank",
            "left in reserve",
            "in hand",
            "left",
        ],
    )?;
    (doc.low(end) != "left" || leave > 0 || n > 1).then_some((What::Load(Load::Rir(q.amount), None), leave + q.tokens + n))
}

/// `4 x AMRAP -1`, `max minus 2`; `leave 2` with nothing behind it: so many reps are left.
fn short_of_max(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let ends = |t: usize| doc.tokens.get(t).is_none_or(|t| t.kind == Kind::Newline || matches!(t.text, ")" | "," | "." | ";"));
    let minus = matches!(doc.low(i), "-" | "−" | "–" | "minus") && i > 0 && matches!(doc.low(i - 1), "max" | "amrap" | "reps");
    let left = matches!(doc.low(i), "leave" | "leaving" | "leaves");
    let at = i + 1 + usize::from(left && matches!(doc.low(i + 1), "about" | "at"));
    let q = quantity(doc.tokens.get(at..)?).filter(|q| q.unit == Unit::Bare && (1.0..=5.0).contains(&q.amount.high()))?;
    ((minus || left) && ends(at + q.tokens)).then(|| (What::Load(Load::Rir(q.amount.clone()), None), at + q.tokens - i))
}

/// `stop 1 short of failure`: so many are left.
fn stops_short(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let at = i + doc.says_any(i, &["stop", "stopping", "finish"])?;
    let q = quantity(doc.tokens.get(at..)?).filter(|q| matches!(q.unit, Unit::Bare | Unit::Reps) && q.amount.high() <= 5.0)?;
    let end = at + q.tokens;
    let n = doc.says_any(end, &["short of failure", "short of max", "short of your max", "short of the limit"])?;
    Some((What::Load(Load::Rir(q.amount.clone()), None), end + n - i))
}

/// `RPE 7 not 10`, `RPE 8, no more`: what it is not.
fn not_more(doc: &Doc, at: usize) -> usize {
    let comma = usize::from(doc.low(at) == ",");
    if let Some(n) = doc.says_any(at + comma, &["no more", "not more", "max", "at most"]) {
        return comma + n;
    }
    let n = doc
        .says_any(at + comma, &["and not", "not", "never", "no"])
        .filter(|n| doc.tokens.get(at + comma + n).is_some_and(|t| t.kind == Kind::Number));
    n.filter(|n| doc.tokens.get(at + comma + n + 1).is_none_or(|t| t.kind != Kind::Word && !is_x(doc, at + comma + n + 1)))
        .map_or(0, |n| comma + n + 1)
}

/// `effort 6/10`, `6/10 effort`: rated effort under another name.
fn out_of_ten(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let word = usize::from(matches!(doc.low(i), "effort" | "intensity"));
    let gap = usize::from(word > 0 && matches!(doc.low(i + 1), ":" | "=" | "of" | "at"));
    let at = i + word + gap;
    let n = doc.tokens.get(at).and_then(Token::number).filter(|n| (1.0..=10.0).contains(n))?;
    let ten = doc.low(at + 1) == "/" && doc.low(at + 2) == "10" && !matches!(doc.low(at + 3), "kg" | "lb" | "cal" | "cals");
    let behind = usize::from(matches!(doc.low(at + 3), "effort" | "intensity" | "rpe"));
    (ten && word + behind > 0).then_some((What::Load(Load::Rpe(Amount::One(n)), None), word + gap + 3 + behind))
}

/// Words before a heavy set.
const LEAD: &[&str] = &[
    "build to",
    "build up to",
    "build",
    "work up to",
    "work to",
    "building to",
    "find",
    "find your",
    "establish",
    "ramp to",
    "ramp up to",
    "test",
    "test your",
    "go for",
    "retest",
    "up to",
    "take",
    "climb to",
    "warm up to",
];

/// `build to a heavy triple`, `find your 5RM`, `work up to a heavy set of 3`
pub(super) fn build(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let lead = doc.says_any(i, LEAD).unwrap_or(0);
    // `build 15 min to a heavy 3 clean`: the time stands between
    let line = doc.tokens[i].line;
    let built = i > 3
        && matches!((doc.low(i - 2), doc.low(i - 1)), ("to", "a" | "an" | "your" | "the"))
        && (i.saturating_sub(7)..i - 2).any(|t| doc.tokens[t].line == line && matches!(doc.low(t), "build" | "work" | "climb"));
    let mut at = i + lead;
    let mut heavy = false;
    while matches!(
        doc.low(at),
        "a" | "an"
            | "your"
            | "the"
            | "today's"
            | "new"
            | "heavy"
            | "tough"
            | "max"
            | "good"
            | "strong"
            | "challenging"
            | "hard"
            | "maximum"
            | "solid"
            | "daily"
            | "best"
    ) {
        heavy |=
            matches!(doc.low(at), "heavy" | "tough" | "max" | "hard" | "challenging" | "maximum" | "daily" | "best" | "solid");
        at += 1;
    }
    let under = matches!(
        doc.low(at + 1 + usize::from(doc.low(at + 1) == "-")),
        "under" | "unders" | "arm" | "leg" | "dumbbell" | "db" | "kb"
    );
    if let Some(n) = match doc.low(at) {
        _ if under => None,
        "single" => Some(1.0),
        "one"
            if heavy
                && lead > 0
                && doc.tokens.get(at + 1).is_none_or(|t| t.kind != Kind::Word || matches!(t.text, "in" | "today" | "for")) =>
        {
            Some(1.0)
        }
        "double" => Some(2.0),
        "triple" => Some(3.0),
        _ => None,
    } {
        return (lead > 0 || heavy).then_some((What::Build(n), at + 1 - i));
    }
    let set = doc.says_any(at, &["set of", "sets of"]).unwrap_or(0);
    // `work up to a heavy five`
    let spelled = number_word(doc.low(at + set)).filter(|n| heavy && (2.0..=12.0).contains(n));
    let counted = doc.tokens.get(at + set).and_then(Token::number).or(spelled);
    let n = counted.filter(|n| n.fract() == 0.0 && (1.0..=20.0).contains(n))?;
    let end = at + set + 1;
    if let Some(rm) = doc.says_any(end, &["rm", "rep max", "rep maximum", "- rep max", "reps max", "rep - max"]) {
        let loose = lead == 0 && !heavy && i > 0 && matches!(doc.low(i - 1), "of" | "your" | "%");
        return (!loose).then_some((What::Build(n), end + rm - i));
    }
    let reps = doc.says_any(end, &["reps", "rep", "- rep"]).unwrap_or(0);
    let goes_on = doc
        .tokens
        .get(end + reps)
        .is_some_and(|t| is_x(doc, end + reps) || t.is("-") && !t.spaced || t.is("%") || t.is("/") || t.is(":"));
    let ends = doc.tokens.get(end + reps).is_none_or(|t| t.kind == Kind::Newline || matches!(t.text, "." | "," | ";" | "("));
    (heavy && ((lead > 0 || built) && !goes_on || doc.low(i) == "heavy" && ends)).then_some((What::Build(n), end + reps - i))
}

/// `work up to a heavy clean + jerk`, `build to a heavy front squat triple`: no count before the name.
pub(super) fn build_name(doc: &Doc, i: usize, name_at: NameAt) -> Option<(What, usize)> {
    let lead = doc.says_any(i, LEAD)?;
    let small = |w: &str| matches!(w, "a" | "an" | "your" | "the" | "today's" | "new");
    let mut at = i + lead;
    while small(doc.low(at)) {
        at += 1;
    }
    if !matches!(doc.low(at), "heavy" | "tough" | "max" | "challenging" | "maximum") || !name_at(at + 1) {
        return None;
    }
    let count = (at + 1..at + 7)
        .take_while(|k| doc.tokens.get(*k).is_some_and(|t| t.kind == Kind::Word || t.is("-") || t.is("+")))
        .find_map(|k| match doc.low(k) {
            "double" => Some(2.0),
            "triple" => Some(3.0),
            _ => None,
        });
    Some((What::Build(count.unwrap_or(1.0)), at + 1 - i))
}

/// `max reps`, `max hold`, `as long as possible`, `to failure`
pub(super) fn max(doc: &Doc, i: usize) -> Option<(What, usize)> {
    const LONG: &[(&str, Option<Unit>)] = &[
        ("max reps", Some(Unit::Reps)),
        ("max rep", Some(Unit::Reps)),
        ("max hold", Some(Unit::Seconds)),
        ("max holds", Some(Unit::Seconds)),
        ("max time", Some(Unit::Seconds)),
        ("max distance", Some(Unit::Metres)),
        ("max metres", Some(Unit::Metres)),
        ("max meters", Some(Unit::Metres)),
        ("max cal", Some(Unit::Calories)),
        ("max cals", Some(Unit::Calories)),
        ("max calories", Some(Unit::Calories)),
        ("max effort", None),
        ("max unbroken", Some(Unit::Reps)),
        ("maximum", None),
        ("maximum reps", Some(Unit::Reps)),
        ("as long as possible", Some(Unit::Seconds)),
        ("as long as you can", Some(Unit::Seconds)),
        ("to failure", None),
        ("as many as possible", Some(Unit::Reps)),
        ("as many as you can", Some(Unit::Reps)),
        ("amap", Some(Unit::Reps)),
        ("max", None),
        ("one max set", None),
        ("max set", Some(Unit::Reps)),
        ("as far as possible", Some(Unit::Metres)),
        ("for distance", Some(Unit::Metres)),
        ("for metres", Some(Unit::Metres)),
        ("for meters", Some(Unit::Metres)),
        ("for total metres", Some(Unit::Metres)),
        ("for total meters", Some(Unit::Metres)),
        ("for total distance", Some(Unit::Metres)),
        ("for total calories", Some(Unit::Calories)),
        ("for total cals", Some(Unit::Calories)),
        ("for calories", Some(Unit::Calories)),
        ("for cals", Some(Unit::Calories)),
        ("for max reps", Some(Unit::Reps)),
        ("for max distance", Some(Unit::Metres)),
        ("for max calories", Some(Unit::Calories)),
        ("for max cals", Some(Unit::Calories)),
        ("as far as you can", Some(Unit::Metres)),
    ];
    if doc.says(i, "as many").is_some()
        && (3..7).any(|k| doc.says_any(i + k, &["as possible", "as you can", "as poss"]).is_some())
    {
        // `as many sit-ups as possible`
        let clock = (2..4).any(|k| matches!(doc.low(i + k), "rounds" | "reps"));
        return (!clock).then_some((What::Max(Some(Unit::Reps)), 2));
    }
    if doc.says_any(i, &["as possible", "as you can"]).is_some() {
        return Some((What::Word, if doc.low(i + 1) == "you" { 3 } else { 2 }));
    }
    let (n, unit) = LONG.iter().filter_map(|(phrase, unit)| doc.says(i, phrase).map(|n| (n, *unit))).max_by_key(|(n, _)| *n)?;
    // `max 90 s rest between rounds` is no try
    let rests = unit.is_none() && clocks::rests(doc, i + n);
    Some((if rests { What::Word } else { What::Max(unit) }, n))
}
