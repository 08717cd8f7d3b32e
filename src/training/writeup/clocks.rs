//! Everything by the clock: AMRAP, every minute, work and rest, caps, rest between sets.

mod amrap;
mod cap;
mod every;
mod rest;
mod work;

use amrap::{AMRAP, amrap};
use every::{every, window};
use rest::{between_first, minute_of_rest, rest, rest_behind, taken};
use work::{as_long, on_off, ratio, work_first};
pub use work::{windows, worked_and_off};

use super::super::dose::Amount;
use super::element::{Doc, What};
use super::quantity::{Quantity, Unit, quantity};
use super::token::Kind;
use super::words::{is_talk, number_word};

/// The clock mark at token `i`, and how many tokens it takes.
pub fn read(doc: &Doc, i: usize) -> Option<(What, usize)> {
    if doc.tokens[i].kind == Kind::Word && number_word(doc.tokens[i].text).is_none() {
        if let Some(n) = doc.says_any(i, &["tabata", "tabatas", "tabata style", "tabata intervals"]) {
            return Some((What::Windows(20.0, 10.0, 8.0), n));
        }
        if let Some(n) = doc.says_any(i, &["death by"]) {
            return Some((What::Growing, n + usize::from(doc.low(i + n) == ":")));
        }
        return amrap(doc, i)
            .or_else(|| every(doc, i))
            .or_else(|| rest(doc, i))
            .or_else(|| taken(doc, i).or_else(|| minute_of_rest(doc, i)).or_else(|| between_first(doc, i)))
            .or_else(|| cap(doc, i))
            .or_else(|| work_first(doc, i));
    }
    timed(doc, i)
}

/// `90 s rest` stands at token `i`.
#[must_use]
pub fn rests(doc: &Doc, i: usize) -> bool {
    doc.tokens.get(i).is_some_and(|t| t.kind != Kind::Word) && matches!(timed(doc, i), Some((What::Rest(..), _)))
}

/// Skips the small words between a mark and its number: `cap is at 12`, `rest: 90 s`.
fn gap(doc: &Doc, i: usize) -> usize {
    let small = |i: usize| {
        matches!(
            doc.low(i),
            ":" | "="
                | "-"
                | "–"
                | "~"
                | "of"
                | "for"
                | "in"
                | "at"
                | "is"
                | "about"
                | "a"
                | "an"
                | "the"
                | "max"
                | "approx"
                | "least"
        )
    };
    (0..3).take_while(|n| small(i + n)).count()
}

/// `AMRAP 10 - 5 burpees`: the number before a dash that stands apart, where words follow the number behind it.
fn before_dash(doc: &Doc, i: usize, q: Quantity) -> Quantity {
    let Amount::Range(first, _) = q.amount else { return q };
    let apart = q.unit == Unit::Bare && q.tokens == 3 && matches!(doc.low(i + 1), "-" | "–" | "—") && doc.tokens[i + 1].spaced;
    let word =
        doc.tokens.get(i + 3).is_some_and(|t| t.kind == Kind::Word && !matches!(t.text, "min" | "mins" | "minutes" | "rounds"));
    if apart && word { Quantity::bare(Amount::One(first)) } else { q }
}

/// A time at `i`. A bare number counts minutes where `minutes` says so.
fn time(doc: &Doc, i: usize, minutes: bool) -> Option<(f64, Quantity)> {
    let q = before_dash(doc, i, quantity(doc.tokens.get(i..)?)?);
    let Amount::One(n) = q.amount else { return None };
    match q.unit {
        Unit::Seconds => Some((n, q)),
        Unit::Metres if q.bare_m => Some((n * 60.0, q)),
        Unit::Bare if minutes => Some((n * 60.0, q)),
        _ => None,
    }
}

/// A bare number behind AMRAP or EMOM is its minutes unless it begins the first line: `AMRAP 10 burpees`.
fn bare_window(doc: &Doc, at: usize, q: &Quantity) -> bool {
    let next = at + q.tokens;
    q.unit != Unit::Bare
        || doc.tokens.get(next).is_none_or(|t| {
            t.kind != Kind::Word || matches!(t.text, "of" | "then" | "with" | "w" | "in" | "alternating" | "as" | "x")
        })
        || is_talk(doc.low(next))
        || matches!(
            doc.low(next),
            "odd"
                | "even"
                | "odds"
                | "evens"
                | "min"
                | "minute"
                | "tonight"
                | "team"
                | "folks"
                | "crew"
                | "everybody"
                | "guys"
                | "all"
                | "straight"
                | "nonstop"
                | "without"
        )
}

fn cap(doc: &Doc, i: usize) -> Option<(What, usize)> {
    if i > 0 && matches!(doc.low(i - 1), "no" | "without") {
        return None;
    }
    if let Some(n) = doc.says_any(i, &["stop at", "stop after", "finish within", "stop the clock at"]) {
        let (seconds, q) = time(doc, i + n, false)?;
        return (seconds >= 120.0).then_some((What::Cap(Some(seconds), false), n + q.tokens));
    }
    if let Some(found) = stops_who_is_at_it(doc, i).or_else(|| cap::most_of_time(doc, i)) {
        return Some(found);
    }
    let each = doc.says_any(i, &["cap each round at", "cap every round at", "cap the rounds at", "cap rounds at", "cap each at"]);
    if let Some((n, (seconds, q))) = each.and_then(|n| time(doc, i + n, true).map(|t| (n, t))) {
        return Some((What::Cap(Some(seconds), true), n + q.tokens));
    }
    let n = doc.says_any(
        i,
        &[
            "cap",
            "time cap",
            "timecap",
            "tc",
            "time limit",
            "capped at",
            "cut off",
            "cutoff",
            "time cut",
            "cap time",
            "hard cap",
            "limit",
            "stop at",
            "stop after",
        ],
    )?;
    let at = i + n + gap(doc, i + n);
    // `15 min cap: 20 wall balls` is no cap of 20
    let Some((seconds, q)) = time(doc, at, true).filter(|(_, q)| bare_window(doc, at, q) || plain_cap(doc, i, at, q)) else {
        let open = n > 0 && !matches!(doc.low(i), "limit" | "tc" | "stop") && !speaks_of_cap(doc, i, i + n);
        return open.then_some((What::Cap(None, false), n));
    };
    let end = at + q.tokens;
    let each = doc.says_any(end, EACH_ROUND).unwrap_or(0);
    Some((What::Cap(Some(seconds), each > 0), end + each - i))
}

/// `if you are still moving after 20 minutes please stop`
fn stops_who_is_at_it(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let still = (i.saturating_sub(4)..i).any(|t| doc.low(t) == "still");
    let at = i + doc.says_any(i, &["after", "at"]).filter(|_| still)?;
    let (seconds, q) = time(doc, at, false).filter(|(s, _)| *s >= 120.0)?;
    let stop = (at + q.tokens..at + q.tokens + 4).find(|t| doc.low(*t) == "stop")?;
    Some((What::Cap(Some(seconds), false), stop + 1 - i))
}

/// `burpees for time cap 9 no rope just jog`: the number right behind the word, and no time before it, is that of the cap.
fn plain_cap(doc: &Doc, i: usize, at: usize, q: &Quantity) -> bool {
    let right = at > 0 && doc.tokens[at - 1].kind == Kind::Word && q.tokens == 1;
    let timed = i > 0 && matches!(doc.low(i - 1), "min" | "mins" | "minute" | "minutes" | "m" | "'");
    right && !timed && matches!(q.amount, Amount::One(n) if (3.0..=60.0).contains(&n))
}

/// `cap hit? log your reps`, `before the cap`: of a cap that is told elsewhere.
fn speaks_of_cap(doc: &Doc, from: usize, to: usize) -> bool {
    let before =
        from > 0 && matches!(doc.low(from - 1), "the" | "hit" | "hits" | "reach" | "beat" | "inside" | "under" | "within");
    before || matches!(doc.low(to), "hit" | "hits" | "reached" | "runs" | "comes" | "?")
}

const EACH_ROUND: &[&str] = &[
    "per round",
    "each round",
    "a round",
    "per set",
    "each set",
    "/ round",
    "for each round",
    "every round",
    "on each round",
    "on every round",
    "for every round",
    "on each",
    "on each set",
    "on each one",
    "each",
];

/// A time that says by the words behind it what it is for.
fn timed(doc: &Doc, i: usize) -> Option<(What, usize)> {
    if let Some(found) = as_long(doc, i).or_else(|| rest::extra_time(doc, i)) {
        return Some(found);
    }
    if let Some(n) = doc.says(i, "4 time") {
        return Some((What::ForTime, n));
    }
    let q = quantity(doc.tokens.get(i..)?)?;
    let end = i + q.tokens;
    if i > 0 && matches!(doc.low(i - 1), "until" | "till") && doc.tokens[i].kind == Kind::Clock {
        // `in the time left until 2:15`
        return Some((What::Word, q.tokens));
    }
    if i > 1
        && doc.low(i - 1) == "of"
        && doc.low(i - 2) == "blocks"
        && let Some(found) = worked_and_off(doc, i)
    {
        return Some(found);
    }
    if let Some(pair) = ratio(doc, i, &q) {
        return Some(pair);
    }
    let stretch = stretch(doc, i, &q);
    let seconds = match (&q.amount, q.unit) {
        (Amount::Range(from, to), _) if stretch => to - from,
        (Amount::One(n), Unit::Seconds) => *n,
        (Amount::One(n), Unit::Metres) if q.bare_m && *n <= 60.0 => n * 60.0,
        (Amount::One(n), Unit::Bare) if !q.negative && q.tokens == 1 => {
            let n = *n;
            return bare_timed(doc, end, n).map(|(what, used)| (what, q.tokens + used));
        }
        (Amount::Range(..), Unit::Seconds) => {
            let used = rest_behind(doc, end)?;
            return Some((What::Rest(Some(q.amount.clone()), false), q.tokens + used));
        }
        _ => return None,
    };
    let used = q.tokens;
    let and = i > 0 && matches!(doc.low(i - 1), "and" | "," | "+" | "&" | ";" | "/");
    let rested = (i.saturating_sub(14)..i)
        .rev()
        .take_while(|&k| doc.tokens[k].kind != Kind::Newline)
        .any(|k| matches!(doc.low(k), "rest" | "recover"));
    let n = rest::between(doc, end);
    if and && rested && matches!(doc.low(end), "after" | "before") && n > 2 {
        // `rest 20 s after each exercise and 90 s after each round`
        return Some((What::Rest(Some(Amount::One(seconds)), false), used + n));
    }
    if let Some((what, more)) = on_off(doc, end, seconds) {
        return Some((what, used + more));
    }
    if let Some(more) = rest_behind(doc, end) {
        return Some((What::Rest(Some(Amount::One(seconds)), false), used + more));
    }
    if let Some((what, more)) = named_window(doc, end, seconds) {
        return Some((what, used + more));
    }
    if let Some(more) = doc
        .says_any(
            end,
            &["down", "lower", "lowering", "negative", "eccentric", "descent", "on the way down", "lowers", "way down"],
        )
        .filter(|_| !matches!(doc.low(end + 1), "dog" | "dogs" | "facing" | "ups"))
    {
        return Some((What::Down(seconds), used + more));
    }
    if seconds >= 10.0
        && i > 0
        && doc.low(i - 1) == "/"
        && doc.low(end) == "pause"
        && !matches!(doc.low(end + 1), "at" | "in" | "on" | "below" | "above")
    {
        // `30 s jumping jacks / 15 s pause`: the other half of a window, and no pause in a repetition
        return Some((What::Rest(Some(Amount::One(seconds)), false), used + 1 + rest::between(doc, end + 1)));
    }
    if let Some(more) = doc.says_any(
        end,
        &[
            "pause",
            "paused",
            "pauses",
            "hold at the bottom",
            "hold at the top",
            "pause at the bottom",
            "stop at the bottom",
            "squeeze at the top",
            "squeeze",
            "hold in the bottom",
            "at the bottom",
            "at the top",
            "at bottom",
            "at top",
            "in the hole",
            "in the bottom",
            "on the chest",
            "at the chest",
            "at the knee",
            "below the knee",
            "hold at bottom",
            "hold at top",
        ],
    ) {
        return Some((What::Pause(seconds), used + more));
    }
    stretch.then_some((What::Dose(Quantity { amount: Amount::One(seconds), ..q }), used))
}

/// A stretch of the clock from `i` to `end` stands before the word that says how it runs: `0:00-5:00 AMRAP`.
pub fn runs(doc: &Doc, i: usize, end: usize) -> bool {
    doc.tokens[i].kind == Kind::Clock && matches!(doc.low(end), "amrap" | "emom" | "rest" | "max")
}

/// `0:00-5:00 AMRAP`, `from 10:00 to 15:00`: from when to when on one clock, not a span of lengths.
fn stretch(doc: &Doc, i: usize, q: &Quantity) -> bool {
    let Amount::Range(from, to) = q.amount else { return false };
    let clock = doc.tokens[i].kind == Kind::Clock && q.unit == Unit::Seconds && from < to && !q.odd_clock;
    let opens =
        i == 0 || doc.tokens[i - 1].kind == Kind::Newline || matches!(doc.low(i - 1), "from" | "-" | "•" | "*" | "." | "(");
    let says = matches!(
        doc.low(i + q.tokens),
        ":" | "amrap" | "emom" | "rest" | "for" | "max" | "build" | "-" | "–" | "—" | "=" | "every" | "easy" | ")" | "," | "work"
    );
    clock && opens && (from == 0.0 || says)
}

/// `12 min AMRAP`, `14 min cap`, `20 min EMOM`
fn named_window(doc: &Doc, end: usize, seconds: f64) -> Option<(What, usize)> {
    let hard = usize::from(matches!(doc.low(end), "hard" | "time" | "running" | "-" | "total"));
    if let Some(n) = doc
        .says_any(
            end + hard,
            &[
                "cap",
                "time cap",
                "timecap",
                "tc",
                "time limit",
                "limit",
                "cut off",
                "cutoff",
                "and not a second more",
                "at most",
                "maximum",
            ],
        )
        .or_else(|| cap::most_behind(doc, end + hard))
    {
        let at = end + hard + n;
        let each = doc.says_any(at, EACH_ROUND).unwrap_or(0);
        return Some((What::Cap(Some(seconds), each > 0), hard + n + each));
    }
    let comma = usize::from(doc.low(end) == ",");
    if let Some(n) = doc.says_any(end, &["- amrap", "of amrap"]).or_else(|| doc.says_any(end + comma, AMRAP).map(|n| comma + n)) {
        return Some((What::Amrap(Some(seconds)), n));
    }
    if let Some(n) = doc
        .says_any(end, &["to move", "move", "to change", "change", "changeover", "transition", "to switch", "switch"])
        .filter(|n| seconds <= 60.0 && doc.tokens.get(end + n).is_none_or(|t| t.kind != Kind::Word))
    {
        return Some((What::Off(seconds), n));
    }
    if let Some(n) = doc.says_any(end, &["off"]) {
        return Some((What::Off(seconds), n));
    }
    let (every, n) = doc.tokens.get(end).and_then(|_| window(doc, end + usize::from(doc.low(end) == "of")))?;
    let n = n + usize::from(doc.low(end) == "of");
    let more = doc.says_any(end + n, &["on the minute", "on the min"]).unwrap_or(0);
    Some((What::Every { every, total: Some(seconds), count: None }, n + more))
}

/// `12 amrap`, `10 EMOM`: a bare number before the word.
fn bare_timed(doc: &Doc, end: usize, n: f64) -> Option<(What, usize)> {
    if doc.low(end) == "on" {
        let at = end + 1 + usize::from(matches!(doc.low(end + 1), "," | "/" | "-" | "and"));
        if let (Some(off), "off") = (doc.tokens.get(at).and_then(|t| t.number()), doc.low(at + 1)) {
            return Some((What::OnOff(n, off), at + 2 - end));
        }
    }
    if let Some(found) = bare_tempo(doc, end, n) {
        return Some(found);
    }
    if doc.says(end, "amrap").is_some() && doc.says_any(end + 1, &["of"]).is_none() && n >= 2.0 {
        return Some((What::Amrap(Some(n * 60.0)), 1));
    }
    doc.says(end, "emom").map(|used| (What::Every { every: 60.0, total: Some(n * 60.0), count: None }, used))
}

/// `30 s hard / 30 s easy`: work and its rest stand behind this time.
#[must_use]
pub fn both_halves(doc: &Doc, end: usize, on: &Quantity) -> bool {
    // `20/10 x 8 each, 1 min between`: so many windows of each
    let each = on.unit == Unit::Bare && doc.low(end) == "each";
    let Amount::One(on) = on.amount else { return false };
    !each && matches!(on_off(doc, end, on), Some((What::OnOff(..), _)))
}

/// `3 down, 1 pause`, `3 seconds down, 1 pause`: two numbers of one tempo in words need no `seconds`. `end` stands behind the
/// number `n`.
fn bare_tempo(doc: &Doc, end: usize, n: f64) -> Option<(What, usize)> {
    let line = doc.tokens.get(end)?.line;
    let near = |k: usize| doc.tokens.get(k).is_some_and(|t| t.line == line);
    let small = n <= 10.0 && n > 0.0;
    match doc.low(end) {
        "down" | "lower" if small && (end + 1..end + 5).any(|k| near(k) && doc.low(k) == "pause") => Some((What::Down(n), 1)),
        "pause" | "hold" | "stop" if small => {
            let down = (end.saturating_sub(8)..end).any(|k| near(k) && matches!(doc.low(k), "down" | "lower" | "lowering"));
            let more = doc.says_any(end + 1, &["at the bottom", "at the top", "at bottom", "in the bottom"]).unwrap_or(0);
            let closes = doc.tokens.get(end + 1 + more).is_none_or(|t| t.kind != Kind::Word && t.kind != Kind::Number)
                || doc.low(end + 1 + more) == "and";
            (down && closes).then_some((What::Pause(n), 1 + more))
        }
        _ => None,
    }
}

/// A number or number word, for the callers that count stations and rounds.
pub fn count(doc: &Doc, i: usize) -> Option<f64> {
    doc.tokens.get(i).and_then(|t| t.number().or_else(|| number_word(t.text)))
}
