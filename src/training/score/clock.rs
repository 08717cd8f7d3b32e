//! Times of day-to-day typing: `7:42`, `1h02`, `7m42s`, `7'42"`, `:45`, and the doubtful `7.42` and `742`.

use super::tokens::{Num, Tok};

/// Seconds as understood, or the two or three ways to understand them.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Clock {
    /// one meaning; a note where the spelling was unusual
    Exact(f64, Option<String>),
    /// several meanings, most likely first
    Either(Vec<f64>),
}

/// A time that begins at `at`, and how many tokens it takes.
///
/// # Errors
/// A spelling that looks like a time and cannot be one (`7:75`).
pub(super) fn find(tokens: &[Tok], at: usize) -> Result<Option<(Clock, usize)>, String> {
    let rest = &tokens[at..];
    Ok(match rest {
        [Tok::Sign(':'), Tok::Num(s), tail @ ..] if s.whole.len() <= 2 && !tail.first().is_some_and(|t| t.is(':')) => {
            Some((exact_of(s.value), 2))
        }
        [Tok::Num(h), Tok::Sign(':'), Tok::Num(m), Tok::Sign(':'), Tok::Num(s), ..] => Some((three(h, m, s)?, 5)),
        [Tok::Num(m), Tok::Sign(':'), Tok::Num(s), ..] => {
            let unit = rest.get(3).map_or(0, |t| usize::from(t.is_word(MINUTES) || t.is_word(SECONDS)));
            let hours = rest.get(3).is_some_and(|t| t.is_word(HOURS));
            if hours { Some((Clock::Exact(m.value * 3600.0 + s.value * 60.0, None), 4)) } else { Some((two(m, s)?, 3 + unit)) }
        }
        [Tok::Num(_), ..] => Some(with_units(rest)?.unwrap_or_else(|| bare(rest))),
        _ => None,
    })
}

/// The whole of `tokens` is one time with one meaning.
pub(super) fn exact(tokens: &[Tok]) -> Option<f64> {
    match find(tokens, 0) {
        Ok(Some((Clock::Exact(s, _), n))) if n == tokens.len() => Some(s),
        _ => None,
    }
}

pub(super) const HOURS: &[&str] = &["h", "hr", "hrs", "hour", "hours", "std"];
const MINUTES: &[&str] = &["m", "min", "mins", "minute", "minutes", "mn"];
const SECONDS: &[&str] = &["s", "sec", "secs", "second", "seconds", "sek"];

fn exact_of(seconds: f64) -> Clock {
    Clock::Exact(seconds, None)
}

fn below_sixty(n: &Num, what: &str) -> Result<f64, String> {
    if n.value < 60.0 { Ok(n.value) } else { Err(format!("{what} go up to 59, and this says {}.", n.whole)) }
}

fn three(h: &Num, m: &Num, s: &Num) -> Result<Clock, String> {
    Ok(exact_of(h.value * 3600.0 + below_sixty(m, "Minutes")? * 60.0 + below_sixty(s, "Seconds")?))
}

/// `7:42`; `7:4` may be a slip of `7:40` or `7:04`.
fn two(m: &Num, s: &Num) -> Result<Clock, String> {
    let seconds = below_sixty(s, "Seconds")?;
    if s.whole.len() == 1 && s.part.is_empty() && s.value < 6.0 {
        return Ok(Clock::Either(vec![m.value * 60.0 + seconds * 10.0, m.value * 60.0 + seconds]));
    }
    if s.whole.len() > 2 {
        return Err("Seconds have two digits, as in 7:42.".to_owned());
    }
    Ok(exact_of(m.value * 60.0 + seconds))
}

/// `1h02`, `1 h 2 min 3 s`, `7m42`, `7 min`, `45 s`, `7'42"`.
fn with_units(rest: &[Tok]) -> Result<Option<(Clock, usize)>, String> {
    let (mut seconds, mut last, mut i, mut inexact) = (0.0, 3_600_000.0, 0, false);
    while let Some(Tok::Num(n)) = rest.get(i) {
        let (size, used) = match unit_size(rest, i + 1) {
            Some(found) => found,
            // `1h02` and `7m42`: what follows a unit without one of its own is the next smaller.
            None if i > 0 && n.whole.len() <= 2 && last > 1.0 => (last / 60.0, 0),
            None => break,
        };
        if size >= last {
            break;
        }
        if i > 0 {
            below_sixty(n, if size < 60.0 { "Seconds" } else { "Minutes" })?;
        } else if size > 1.0 && n.mark.is_some() {
            if let Some(clock) = dotted_minutes(n, size) {
                return Ok(Some((clock, 1 + used)));
            }
            inexact = true;
        }
        seconds += n.value * size;
        last = size;
        i += 1 + used;
        while rest.get(i).is_some_and(|t| t.is_word(&["and"]) || t.is(',')) && matches!(rest.get(i + 1), Some(Tok::Num(_))) {
            if unit_size(rest, i + 2).is_none_or(|(s, _)| s >= last) {
                break;
            }
            i += 1;
        }
        if inexact {
            break;
        }
    }
    Ok((i > 0).then_some((exact_of(seconds), i)))
}

/// `7.42 min`: the point stands for the colon that a number keypad does not have. `7.5 min` and `7.75 min` are
/// decimals; `7.50 min` may be either.
fn dotted_minutes(n: &Num, size: f64) -> Option<Clock> {
    let seconds: f64 = n.part.parse().ok()?;
    let minutes: f64 = n.whole.parse().unwrap_or(0.0);
    match (size == 60.0 && n.part.len() == 2 && seconds < 60.0, seconds == 25.0 || seconds == 50.0) {
        (true, true) => Some(Clock::Either(vec![minutes * 60.0 + seconds, n.value * 60.0])),
        (true, false) => Some(point_as_colon(n, seconds)),
        _ => None,
    }
}

fn point_as_colon(n: &Num, seconds: f64) -> Clock {
    let minutes: f64 = n.whole.parse().unwrap_or(0.0);
    let typed = format!("{}{}{}", n.whole, n.mark.unwrap_or('.'), n.part);
    let note = format!("{typed} read as minutes and seconds");
    Clock::Exact(minutes * 60.0 + seconds, Some(note))
}

fn unit_size(rest: &[Tok], at: usize) -> Option<(f64, usize)> {
    let t = rest.get(at)?;
    if t.is_word(HOURS) {
        Some((3600.0, 1))
    } else if t.is_word(MINUTES) {
        Some((60.0, 1))
    } else if t.is_word(SECONDS) || t.is('"') {
        Some((1.0, 1))
    } else if t.is('\'') {
        let doubled = rest.get(at + 1).is_some_and(|t| t.is('\''));
        Some(if doubled { (1.0, 2) } else { (60.0, 1) })
    } else {
        None
    }
}

/// A number alone. `7.42` is minutes and seconds, `7.75` a decimal; `742` and `45` have several meanings.
fn bare(rest: &[Tok]) -> (Clock, usize) {
    let [Tok::Num(n), tail @ ..] = rest else { return (Clock::Either(Vec::new()), 0) };
    // `7 42`, `7-42`: two numbers, the second of two digits.
    if n.part.is_empty()
        && let Some((s, used)) = second_number(tail)
    {
        let minutes = n.value * 60.0 + s;
        return (Clock::Exact(minutes, Some("two numbers read as minutes and seconds".to_owned())), 1 + used);
    }
    if let (Some(_), Ok(part)) = (n.mark, n.part.parse::<f64>()) {
        let decimal = n.value * 60.0;
        let minutes = n.whole.parse::<f64>().unwrap_or(0.0) * 60.0;
        return match n.part.len() {
            2 if part < 60.0 => (point_as_colon(n, part), 1),
            2 => (Clock::Exact(decimal, Some("read as minutes with decimals".to_owned())), 1),
            // `11.3` may be 11:30, 11.3 minutes or 11:03.
            1 if part < 6.0 && part > 0.0 => (Clock::Either(vec![minutes + part * 10.0, decimal, minutes + part]), 1),
            _ => (Clock::Either(vec![decimal, n.value]), 1),
        };
    }
    if n.whole.len() == 4 && n.whole.starts_with('0') && n.value % 100.0 < 60.0 {
        return (exact_of((n.value / 100.0).floor() * 60.0 + n.value % 100.0), 1);
    }
    let mut ways = vec![n.value];
    if (3..=4).contains(&n.whole.len()) && n.value % 100.0 < 60.0 {
        ways.insert(0, (n.value / 100.0).floor() * 60.0 + n.value % 100.0);
    } else if n.whole.len() <= 2 {
        ways.insert(0, n.value * 60.0);
    }
    (Clock::Either(ways), 1)
}

fn second_number(tail: &[Tok]) -> Option<(f64, usize)> {
    let (n, used) = match tail {
        [Tok::Num(n), ..] => (n, 1),
        [Tok::Sign('-' | ';'), Tok::Num(n), ..] => (n, 2),
        _ => return None,
    };
    let next = tail.get(used);
    let alone = !matches!(next, Some(Tok::Word(w)) if w.starts_with("rep") || w == "left")
        && !next.is_some_and(|t| t.is_word(MINUTES) || t.is_word(HOURS) || (used == 2 && t.is_word(SECONDS)));
    (n.whole.len() == 2 && n.part.is_empty() && n.value < 60.0 && alone).then_some((n.value, used))
}

/// Seconds as a clock shows them: `0:45`, `7:42`, `1:02:03`, with up to three decimals where there are any.
pub(super) fn show(seconds: f64) -> String {
    let thousandths = (seconds * 1000.0).round();
    let (whole, ms) = ((thousandths / 1000.0).floor(), thousandths % 1000.0);
    let (h, m, s) = ((whole / 3600.0).floor(), (whole % 3600.0 / 60.0).floor(), whole % 60.0);
    let mut out = if h > 0.0 { format!("{h:.0}:{m:02.0}:{s:02.0}") } else { format!("{m:.0}:{s:02.0}") };
    if ms > 0.0 {
        out.push_str(format!("{:.3}", ms / 1000.0).trim_start_matches('0').trim_end_matches('0'));
    }
    out
}
