//! What is scored: by the part's format, and by what the coach says.

use super::super::session::{Format, Intent, Part, ScoreKind};
use super::draft::Draft;
use super::element::Doc;
use super::item::Span;
use super::quantity::Unit;

/// What a part of this format is scored by where nothing is said.
#[must_use]
pub fn usual(part: &Part, draft: &Draft) -> ScoreKind {
    let max = counted(draft, part.format);
    let holds = part.lines.iter().all(|l| is_hold(&l.movement));
    match part.format {
        Format::ForTime => ScoreKind::Time,
        Format::Amrap if part.lines.len() == 1 => ScoreKind::Reps,
        Format::Amrap => ScoreKind::RoundsReps,
        Format::Emom if part.lines.iter().any(|l| l.open) => ScoreKind::RoundsReps,
        // `1-2-3-2-1 min row`: the clock says when each rung is over, and nobody is faster
        Format::Ladder if !part.lines.is_empty() && part.lines.iter().all(|l| l.seconds.is_some() && l.reps.is_none()) => {
            ScoreKind::None
        }
        Format::Ladder if part.duration_s.is_some() || part.rounds.is_none() => ScoreKind::RoundsReps,
        Format::Ladder => ScoreKind::Time,
        Format::MaxEffort if draft.rows.iter().any(|r| r.item.build.is_some()) => ScoreKind::Load,
        Format::MaxEffort => match max {
            Some(Unit::Calories) => ScoreKind::Calories,
            Some(Unit::Metres) => ScoreKind::Distance,
            Some(Unit::Seconds) => ScoreKind::HoldTime,
            _ if holds => ScoreKind::HoldTime,
            _ => ScoreKind::Reps,
        },
        Format::Rounds if draft.rows.iter().all(|r| r.item.max.is_some()) && !draft.rows.is_empty() => ScoreKind::Reps,
        Format::Intervals => match max {
            Some(Unit::Calories) => ScoreKind::Calories,
            Some(Unit::Metres) => ScoreKind::Distance,
            Some(_) => ScoreKind::Reps,
            None => ScoreKind::None,
        },
        _ => ScoreKind::None,
    }
}

/// What the lines to the limit count: reps, where stations do not count the same.
fn counted(draft: &Draft, format: Format) -> Option<Unit> {
    let scheme = draft.scheme.as_ref().and_then(|s| s.max);
    let mut units = draft.rows.iter().filter_map(|r| r.item.max.or(scheme));
    if format != Format::Intervals {
        return units.flatten().next();
    }
    let first = units.next()?;
    if units.all(|unit| unit == first) { first } else { Some(Unit::Reps) }
}

fn is_hold(movement: &str) -> bool {
    ["hold", "plank", "hang", "sit", "handstand"].iter().any(|w| movement.ends_with(w))
}

/// A score line cut at its plus signs: `heaviest double + AMRAP rounds and reps` is about two parts.
#[must_use]
pub fn pieces(doc: &Doc, span: Span) -> Vec<Span> {
    let mut out = Vec::new();
    let mut from = span.0;
    for t in span.0..span.1 {
        let names_part =
            (t + 1..(t + 4).min(span.1)).any(|k| matches!(doc.low(k), "amrap" | "emom" | "time" | "metcon" | "ladder"));
        if doc.tokens[t].is("+") && names_part && t > from {
            out.push((from, t));
            from = t + 1;
        }
    }
    out.push((from, span.1));
    out
}

/// The part that a score line speaks of: the one it names, else its own where that can be scored so, else the last that can.
#[must_use]
pub fn target(doc: &Doc, span: Span, own: usize, parts: &[Part]) -> usize {
    let words: Vec<&str> = (span.0..span.1).map(|t| doc.plain[t].as_str()).collect();
    let telling = |w: &str| w.len() > 3 && w != "hold" && words.contains(&w);
    let names = |part: &Part| part.lines.iter().any(|l| l.movement.split([' ', '-']).any(telling));
    let format = |part: &Part| match part.format {
        Format::Amrap => words.contains(&"amrap"),
        Format::Emom => words.contains(&"emom"),
        _ => false,
    };
    if let Some(i) = (0..=own).rev().find(|&i| format(&parts[i])) {
        return i;
    }
    // `on the deadlift` is about the deadlift, though another part has a deadlift by a longer name
    let whole = |part: &Part| part.lines.iter().any(|l| l.movement.split([' ', '-']).all(|w| words.contains(&w)));
    if !whole(&parts[own])
        && let Some(i) = (0..own).rev().find(|&i| whole(&parts[i]))
    {
        return i;
    }
    if !names(&parts[own])
        && let Some(i) = (0..own).rev().find(|&i| names(&parts[i]))
    {
        return i;
    }
    let heavy = words.iter().any(|w| matches!(*w, "heaviest" | "single" | "double" | "triple" | "heavy"));
    let built = |part: &Part| part.format == Format::MaxEffort && part.score == ScoreKind::Load;
    let set = words.iter().any(|w| matches!(*w, "single" | "double" | "triple"));
    if heavy
        && !built(&parts[own])
        && let Some(i) = (0..own).rev().find(|&i| built(&parts[i]))
        && (set || i + 1 == own && same_lift(&parts[i], &parts[own]))
    {
        // `build to a heavy triple`, back-off sets, `score: the triple`
        return i;
    }
    let low: Vec<&str> = (span.0..span.1).map(|t| doc.low(t)).collect();
    let fits = |part: &Part| said(&low, part).is_none_or(|kind| takes(part, kind));
    if fits(&parts[own]) { own } else { (0..own).rev().find(|&i| fits(&parts[i])).unwrap_or(own) }
}

fn same_lift(a: &Part, b: &Part) -> bool {
    a.lines.first().zip(b.lines.first()).is_some_and(|(a, b)| a.movement == b.movement)
}

/// A part of this format can be scored so.
fn takes(part: &Part, kind: ScoreKind) -> bool {
    match kind {
        ScoreKind::None => true,
        ScoreKind::Time => !matches!(part.format, Format::Practice | Format::Amrap | Format::MaxEffort) || raced(part),
        ScoreKind::RoundsReps => matches!(part.format, Format::Amrap | Format::Ladder | Format::Emom),
        ScoreKind::Load => matches!(part.format, Format::Sets | Format::MaxEffort | Format::Emom | Format::Rounds),
        _ => part.format != Format::Practice,
    }
}

/// `100 squats. Tell me the time.`: counted work of which nothing yet says how it runs.
#[must_use]
pub fn raced(part: &Part) -> bool {
    let counted = part.lines.iter().all(|l| l.reps.is_some() || l.metres.is_some() || l.calories.is_some());
    part.format == Format::Practice && part.intent == Intent::Conditioning && counted && !part.lines.is_empty()
}

/// `20 min: 5 pull-ups, 10 push-ups. Count rounds.`: a time filled with counted work, and the rounds are what is scored.
#[must_use]
pub fn counts_rounds(words: &[&str], part: &Part) -> bool {
    let rounds = words.iter().any(|w| matches!(*w, "rounds" | "rds")) && !words.contains(&"no");
    raced(part) && rounds && part.duration_s.is_some() && part.rounds.is_none() && part.lines.len() > 1
}

/// `total seconds`, `all your seconds added up` under lines that are held: nobody races there, and no rep is counted.
fn adds_up_seconds(words: &[&str], part: &Part) -> bool {
    let has = |list: &[&str]| words.iter().any(|w| list.contains(w));
    let holds = !part.lines.is_empty() && part.lines.iter().all(|l| is_hold(&l.movement));
    let timed = !part.lines.is_empty() && part.lines.iter().all(|l| l.seconds.is_some() || is_hold(&l.movement));
    let seconds = has(&["seconds", "secs", "sec"]) && timed;
    // `total time` in an EMOM of holds is that of the holds
    let time = has(&["total", "sum", "combined"]) && has(&["time"]) && holds;
    let raced = raced(part) || matches!(part.format, Format::ForTime | Format::Amrap) || has(&["slowest", "fastest"]);
    (seconds || time) && !raced && !has(&["reps", "rep", "rounds", "rds"])
}

/// What a score line says; `None` where it does not say.
#[must_use]
pub fn said(words: &[&str], part: &Part) -> Option<ScoreKind> {
    let has = |list: &[&str]| words.iter().any(|w| list.contains(w));
    if words.first() == Some(&"no") || words.first() == Some(&"not") || has(&["none", "nothing", "unscored"]) {
        return Some(ScoreKind::None);
    }
    let timed = matches!(
        part.format,
        Format::ForTime | Format::Emom | Format::Rounds | Format::Sets | Format::Intervals | Format::Ladder
    ) || raced(part);
    // `hold back` is advice
    let back = words.windows(2).any(|w| w[0] == "hold" && matches!(w[1], "back" | "on" | "off" | "steady" | "the"));
    let held = has(&["longest"]) || has(&["hold", "holds", "held"]) && !back;
    if held && !has(&["slowest", "fastest"]) || adds_up_seconds(words, part) {
        return Some(ScoreKind::HoldTime);
    }
    if has(&["heaviest", "single", "double", "triple", "load", "weight", "weights", "kg", "kgs", "lb", "lbs", "loads", "kilos"]) {
        return Some(ScoreKind::Load);
    }
    // `top set goes on the board`
    if has(&["top"]) && has(&["set", "sets"]) && matches!(part.format, Format::Sets | Format::MaxEffort) {
        return Some(ScoreKind::Load);
    }
    // `the rounds you finish` counts rounds
    let counted = has(&["rounds", "rds", "reps"]) && !has(&["time", "times", "slowest", "fastest"]);
    if has(&["slowest", "fastest", "time", "times", "finish"]) && timed && !counted && !has(&["longest"]) {
        return Some(ScoreKind::Time);
    }
    if has(&["distance", "metres", "meters", "m", "km"]) {
        return Some(ScoreKind::Distance);
    }
    let rounds = has(&["rounds", "rds", "round", "rung", "rungs", "lap", "laps"]);
    // `last full minute + extra reps`: where every minute asks for more, a minute is a round
    let grows = part.format == Format::Emom && part.lines.iter().any(|l| l.open);
    let rounds = rounds || grows && has(&["minute", "minutes", "min", "mins"]);
    let reps = has(&["reps", "rep"]);
    if has(&["calories", "cals", "cal"]) && !reps {
        return Some(ScoreKind::Calories);
    }
    let low = has(&["lowest", "worst", "smallest", "fewest", "least"]);
    if rounds && reps && part.format == Format::Amrap && !has(&["total"]) {
        return Some(ScoreKind::RoundsReps);
    }
    if rounds && low {
        let counted = matches!(part.score, ScoreKind::Calories | ScoreKind::Distance | ScoreKind::HoldTime);
        return (!counted).then_some(ScoreKind::Reps);
    }
    if rounds && matches!(part.format, Format::Amrap | Format::Ladder | Format::Emom) {
        return Some(ScoreKind::RoundsReps);
    }
    if rounds && reps && !has(&["total"]) {
        return Some(ScoreKind::RoundsReps);
    }
    if reps || low || has(&["total"]) && !rounds {
        return Some(ScoreKind::Reps);
    }
    None
}
