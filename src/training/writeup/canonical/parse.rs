//! A session from text in the canonical form, or nothing where any line of it is not.

use super::super::super::dose::{Amount, Load};
use super::super::super::session::{Interval, Line, Part, PartOption, Piece, Place, Role, Session};
use super::unescape;
use serde::de::DeserializeOwned;

/// Reads the canonical form. `None` where any line is not in it.
#[must_use]
pub fn parse(text: &str) -> Option<Session> {
    let mut lines = text.split('\n').enumerate();
    let title = lines.next()?.1.strip_prefix("# ")?;
    let mut session = Session { title: unescape(title), ..Session::default() };
    let mut shaped = true;
    for (i, typed) in lines.filter(|(_, l)| !l.is_empty()) {
        let at = Place { line: i + 1, column: 1, length: typed.chars().count() };
        if let Some(name) = typed.strip_prefix("## ") {
            shaped = false;
            session.parts.push(Part { name: unescape(name), at: Some(at), ..Part::default() });
        } else if let Some(part) = session.parts.last_mut() {
            shaped |= typed.starts_with("Format: ");
            part_line(part, typed, at)?;
        } else if let Some(aim) = typed.strip_prefix("Aim: ") {
            session.aim = Some(unescape(aim)).filter(|_| session.aim.is_none() && session.notes.is_empty());
            session.aim.as_ref()?;
        } else {
            session.notes.push(unescape(typed.strip_prefix("Note: ")?));
        }
    }
    shaped.then_some(session)
}

/// A value of a closed list from its public spelling.
fn word<T: DeserializeOwned>(typed: &str) -> Option<T> {
    serde_json::from_value(serde_json::Value::String(typed.to_owned())).ok()
}

fn part_line(part: &mut Part, typed: &str, at: Place) -> Option<()> {
    if let Some(body) = typed.strip_prefix("- ") {
        part.lines.push(line(body, at)?);
    } else if let Some(body) = typed.strip_prefix("+ ") {
        part.options.last_mut()?.lines.push(line(body, at)?);
    } else if let Some(body) = typed.strip_prefix("  or ") {
        let lines = part.options.last_mut().map_or(&mut part.lines, |o| &mut o.lines);
        lines.last_mut()?.alternatives.push(line(body, at)?);
    } else {
        let (key, value) = typed.split_once(": ")?;
        fact(part, key, value, at)?;
    }
    Some(())
}

fn fact(part: &mut Part, key: &str, value: &str, at: Place) -> Option<()> {
    let interval = |part: &mut Part| -> Interval { part.interval.unwrap_or_default() };
    match key {
        "Label" => part.label = Some(unescape(value)),
        "Intent" => part.intent = word(value)?,
        "Format" => part.format = word(value)?,
        "Rounds" => part.rounds = Some(amount(value)?),
        "Cap" => part.time_cap_s = Some(number_of(value, "s")?),
        "Length" => part.duration_s = Some(number_of(value, "s")?),
        "Clock" => part.interval = Some(Interval::default()),
        "Work" => part.interval = Some(Interval { work_s: Some(number_of(value, "s")?), ..interval(part) }),
        "Off" => part.interval = Some(Interval { rest_s: Some(number_of(value, "s")?), ..interval(part) }),
        "Every" => part.interval = Some(Interval { every_s: Some(number_of(value, "s")?), ..interval(part) }),
        "Rest" => part.rest_s = Some(amount(value.strip_suffix(" s")?)?),
        "Score" => part.score = word(value)?,
        "Tie-break" => part.tie_break = Some(unescape(value)),
        "Score rule" => part.score_rule = Some(unescape(value)),
        "If capped" => part.if_capped = Some(unescape(value)),
        "Cap for each" => part.cap_scope = Some(unescape(value)),
        "Target" => part.target_s = Some(amount(value.strip_suffix(" s")?)?),
        "Carry on" => part.carry_on = Some(yes(value)?),
        "Option" => part.options.push(option(value, at)?),
        "Note" => part.notes.push(unescape(value)),
        _ => return None,
    }
    Some(())
}

fn yes(value: &str) -> Option<bool> {
    match value {
        "yes" => Some(true),
        "no" => Some(false),
        _ => None,
    }
}

fn number_of(value: &str, unit: &str) -> Option<f64> {
    value.strip_suffix(unit)?.strip_suffix(' ')?.parse().ok()
}

/// `5`, `3-5`, `21-15-9`, `12/9`
fn amount(value: &str) -> Option<Amount> {
    if let Some((a, b)) = value.split_once('/') {
        return Some(Amount::Columns(a.parse().ok()?, b.parse().ok()?));
    }
    let list = dashed(value)?;
    Some(match list[..] {
        [n] => Amount::One(n),
        [a, b] => Amount::Range(a, b),
        _ => Amount::Scheme(list),
    })
}

/// Numbers with dashes between; one behind a dash of its own is negative.
fn dashed(value: &str) -> Option<Vec<f64>> {
    let mut list = Vec::new();
    let mut sign = 1.0;
    for piece in value.split('-') {
        if piece.is_empty() {
            sign = -1.0;
            continue;
        }
        list.push(sign * piece.parse::<f64>().ok()?);
        sign = 1.0;
    }
    (!list.is_empty()).then_some(list)
}

/// Cuts at semicolons that are not escaped.
fn cut(typed: &str) -> Vec<&str> {
    let mut out = Vec::new();
    let (mut from, mut escaped) = (0, false);
    for (i, c) in typed.char_indices() {
        if c == ';' && !escaped {
            out.push(typed[from..i].strip_prefix(' ').unwrap_or(&typed[from..i]));
            from = i + 1;
        }
        escaped = c == '\\' && !escaped;
    }
    out.push(typed[from..].strip_prefix(' ').filter(|_| from > 0).unwrap_or(&typed[from..]));
    out
}

fn option(value: &str, at: Place) -> Option<PartOption> {
    let mut facts = cut(value).into_iter();
    let mut option = PartOption { name: unescape(facts.next()?), at: Some(at), ..PartOption::default() };
    for fact in facts {
        if let Some(n) = fact.strip_prefix("rounds ") {
            option.rounds = Some(amount(n)?);
        } else if let Some(s) = fact.strip_prefix("cap ") {
            option.time_cap_s = Some(number_of(s, "s")?);
        } else if let Some(s) = fact.strip_prefix("length ") {
            option.duration_s = Some(number_of(s, "s")?);
        } else if let Some(l) = fact.strip_prefix("@ ") {
            option.load = Some(load(l)?);
        } else if let Some(name) = fact.strip_prefix("in place of ") {
            option.replace.push(unescape(name));
        } else if let Some(text) = fact.strip_prefix("typed ") {
            option.text = Some(unescape(text));
        } else {
            option.reps = Some(amount(fact.strip_suffix(" reps")?)?);
        }
    }
    Some(option)
}

/// The colon behind the movement's name: the first one that is not escaped.
fn name_end(body: &str) -> Option<usize> {
    let mut escaped = false;
    body.char_indices().find_map(|(i, c)| {
        let here = c == ':' && !escaped;
        escaped = c == '\\' && !escaped;
        here.then_some(i)
    })
}

fn line(body: &str, at: Place) -> Option<Line> {
    let end = name_end(body)?;
    let mut l = Line { movement: unescape(&body[..end]), at: Some(at), ..Line::default() };
    let facts = body[end + 1..].strip_prefix(' ')?;
    if facts.is_empty() {
        return Some(l);
    }
    for fact in cut(facts) {
        plain_fact(&mut l, fact).or_else(|| keyed_fact(&mut l, fact)).or_else(|| dose(&mut l, fact))?;
    }
    Some(l)
}

fn plain_fact(l: &mut Line, fact: &str) -> Option<()> {
    match fact {
        "max" => l.max = true,
        "goes on" => l.open = true,
        "buy-in" => l.role = Some(Role::BuyIn),
        "cash-out" => l.role = Some(Role::CashOut),
        "unknown" => l.known = false,
        _ => l.side = Some(word(fact)?),
    }
    Some(())
}

fn keyed_fact(l: &mut Line, fact: &str) -> Option<()> {
    let (key, value) = fact.split_once(' ')?;
    match key {
        "@" => l.load = Some(load(value)?),
        "implements" => l.implements = Some(value.parse().ok()?),
        "tempo" => l.tempo = Some(unescape(value)),
        "pause" => l.pause_s = Some(number_of(value, "s")?),
        "down" => l.down_s = Some(number_of(value, "s")?),
        "step" => l.step = Some(value.parse().ok()?),
        "counts" => l.counts_as_reps = Some(value.strip_prefix("as ")?.parse().ok()?),
        "minute" => l.minute = Some(value.parse().ok()?),
        "label" => l.label = Some(unescape(value)),
        "note" => l.note = Some(unescape(value)),
        "piece" => l.complex.push(piece(value)?),
        _ => return None,
    }
    Some(())
}

fn dose(l: &mut Line, fact: &str) -> Option<()> {
    let (n, unit) = fact.split_once(' ')?;
    let n = Some(amount(n)?);
    match unit {
        "reps" => l.reps = n,
        "s" => l.seconds = n,
        "m" => l.metres = n,
        "cal" => l.calories = n,
        _ => return None,
    }
    Some(())
}

fn piece(value: &str) -> Option<Piece> {
    let (reps, name) = value.split_once("x ")?;
    let reps = if reps.is_empty() { None } else { Some(amount(reps)?) };
    let (name, known) = name.strip_prefix("unknown ").map_or((name, true), |n| (n, false));
    Some(Piece { movement: unescape(name), reps, known })
}

fn load(value: &str) -> Option<Load> {
    if value == "stick" {
        return Some(Load::Stick);
    }
    if let Some((key, words)) = value.split_once(' ') {
        match key {
            "RPE" => return Some(Load::Rpe(amount(words)?)),
            "RIR" => return Some(Load::Rir(amount(words)?)),
            "band" => return Some(Load::Band(unescape(words))),
            "find" => return Some(Load::Find(unescape(words))),
            _ => {}
        }
    }
    if let Some((n, of)) = value.split_once("% of ") {
        return Some(Load::Percent { percent: amount(n)?, of: unescape(of) });
    }
    let (n, unit) = value.split_once(' ')?;
    let range = n.get(1..).is_some_and(|more| more.contains('-')) && !n.contains('/');
    let values = if range { dashed(n)? } else { n.split('/').map(|n| n.parse().ok()).collect::<Option<_>>()? };
    match unit {
        "kg" => Some(Load::Kg { values, range }),
        "lb" => Some(Load::Lb { values, range }),
        _ => None,
    }
}
