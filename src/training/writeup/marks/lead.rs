//! Bullets, list numbers, labels and minutes at the beginning of a line.

use super::super::super::movement::Library;
use super::super::clocks::count;
use super::super::element::{Doc, What};
use super::super::lexicon::Lexicon;
use super::super::tag::name;
use super::super::token::Kind;
use super::super::words::number_word;
use super::listed::bare_number;
use super::step;

/// Bullets, list numbers, labels and minutes, which only count at the beginning of a line.
pub fn line_start(doc: &Doc, i: usize, last: f64, library: &Library, lexicon: &Lexicon) -> Option<(What, usize)> {
    let t = doc.tokens.get(i)?;
    let next = doc.tokens.get(i + 1);
    if t.kind == Kind::Arrow {
        return Some((What::Bullet(None), 1));
    }
    if let Some(found) = (t.is("+")).then(|| step(doc, i)).flatten() {
        // `+3 every round` below the lines: by how much they grow, and no bullet
        return Some(found);
    }
    if matches!(t.text, "-" | "–" | "—" | "*" | "•" | "·" | ">" | "#" | "+" | "~" | "▪" | "●" | "◦" | "✓") {
        let minus = matches!(t.text, "-") && next.is_some_and(|n| !n.spaced && n.kind == Kind::Number);
        return (!minus || next.is_some_and(|n| n.text.len() > 2))
            .then_some((What::Bullet(None), 1))
            .or(minus.then_some((What::Bullet(None), 1)).filter(|_| false));
    }
    if let Some(n) =
        t.number().filter(|_| next.is_some_and(|n| n.kind == Kind::Other && n.text.starts_with(['\u{20e3}', '\u{fe0f}'])))
    {
        return Some((What::Bullet(Some(n)), 1 + pictured(doc, i + 1)));
    }
    if let Some(n) = t.text.chars().next().filter(|_| t.kind == Kind::Other).and_then(ringed) {
        return Some((What::Bullet(Some(n)), 1));
    }
    if matches!(t.text, "[" | "(") {
        return bracketed(doc, i);
    }
    let nth = (t.kind == Kind::Number)
        .then(|| ordinal(doc, i))
        .flatten()
        .filter(|_| matches!(doc.low(i + 2), ":" | ")") || matches!(doc.low(i + 2), "-" | "–" | "—") && doc.tokens[i + 2].spaced);
    if let Some(k) = nth {
        // `1st: get-ups`
        return Some((What::Minute(k), 3));
    }
    set_number(doc, i)
        .or_else(|| minute(doc, i))
        .or_else(|| numbered(doc, i, last))
        .or_else(|| bare_number(doc, i).map(|n| (What::Bullet(Some(n)), 1)))
        .or_else(|| label(doc, i, library, lexicon))
}

/// `[ ]`, `(1)`, `[A]`, `(B2)`: a box, a list number or a label in brackets.
fn bracketed(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let square = doc.low(i) == "[";
    let close = (1..=3).find(|n| matches!(doc.low(i + n), "]" | ")") && (*n > 1 || square))?;
    let inside = doc.typed(i + 1, i + close);
    let number = inside.parse::<f64>().ok().filter(|n| n.fract() == 0.0 && (1.0..=20.0).contains(n) && close == 2);
    let mut letters = inside.chars();
    let letter = letters.next().is_some_and(|c| matches!(c.to_ascii_uppercase(), 'A'..='H'));
    let rest = letters.as_str();
    let more = doc.tokens.get(i + close + 1).is_some_and(|t| t.kind != Kind::Newline);
    if number.is_some() && more {
        return Some((What::Bullet(number), close + 1));
    }
    if letter && more && (rest.is_empty() || rest.len() == 1 && rest.chars().all(|c| c.is_ascii_digit())) {
        return Some((What::Label(inside.to_uppercase()), close + 1));
    }
    (square && close < 3).then_some((What::Bullet(None), close + 1))
}

/// The number that a ringed or boxed digit is.
fn ringed(c: char) -> Option<f64> {
    const FIRST: [u32; 7] = [0x2460, 0x2474, 0x2488, 0x2776, 0x2780, 0x278A, 0x24F5];
    let code = u32::from(c);
    let first = FIRST.iter().rev().filter(|f| **f <= code).max()?;
    Some(f64::from(code - first + 1)).filter(|n| *n <= if *first < 0x24F5 { 20.0 } else { 10.0 })
}

/// `Set 1:`, `set 2 -` before the dose of one set.
fn set_number(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let n = doc.says_any(i, &["set", "wave", "round", "rd"])?;
    if count(doc, i + n) == Some(1.0) && matches!(doc.low(i + n + 1), "-" | "–" | "to") && doc.low(i + n + 3) == ":" {
        // `Round 1-4: ...`: so many of them
        return None;
    }
    count(doc, i + n).filter(|k| k.fract() == 0.0 && (1.0..=20.0).contains(k))?;
    let end = i + n + 1;
    matches!(doc.low(end), ":" | "-" | "=" | "–" | ")" | ".").then_some((What::Bullet(None), end + 1 - i))
}

/// `1️⃣`: tokens at `at` that only make a picture of the digit before them.
fn pictured(doc: &Doc, at: usize) -> usize {
    let picture = |k: &usize| doc.tokens.get(*k).is_some_and(|t| t.text.starts_with(['\u{20e3}', '\u{fe0f}']));
    (at..at + 2).take_while(picture).count()
}

/// Words before the number of a minute or a station.
const STATIONS: &[&str] =
    &["min", "minute", "minutes", "mins", "station", "stn", "st", "m", "window", "ex", "exercise", "move", "movement"];
/// Those that only count where a sign closes the number: `ex 1: swings`.
const SIGNED: &[&str] = &["ex", "exercise", "move", "movement"];

/// `min 1`, `minute 2:`, `1st min`, `odd`, `even minutes`
pub fn minute(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let arrow = |at: usize| doc.tokens.get(at).is_some_and(|t| t.kind == Kind::Arrow);
    let colon = |at: usize| usize::from(matches!(doc.low(at), ":" | "-" | "=" | "–" | ")" | "." | "—") || arrow(at));
    if let Some(n) = doc.says_any(i, STATIONS) {
        let at = i + n;
        let k = count(doc, at).filter(|k| k.fract() == 0.0 && (1.0..=60.0).contains(k))?;
        if let Some((all, end)) = several(doc, at) {
            return Some((What::Minutes(all), end + colon(end) - i));
        }
        let short = doc.low(i) == "m" || doc.low(i) == "st";
        if short && doc.tokens[at].spaced || doc.low(i).starts_with("min") && doc.tokens.get(at + 1).is_some_and(|t| t.is("/")) {
            return None;
        }
        let end = at + 1 + pictured(doc, at + 1);
        if SIGNED.contains(&doc.low(i)) && colon(end) == 0 {
            return None;
        }
        return Some((What::Minute(whole(k)), end + colon(end) - i));
    }
    if let (Some(k), Some(n)) =
        (ordinal(doc, i), doc.says_any(i + ordinal_tokens(doc, i), &["min", "minute", "station", "window", "interval"]))
    {
        let end = i + ordinal_tokens(doc, i) + n;
        return Some((What::Minute(k), end + colon(end) - i));
    }
    odd_even(doc, i)
}

/// `1-3:`, `1/3/5:`, `2 and 4 -`: the minutes of a list that a sign closes, and the token after the last.
fn several(doc: &Doc, at: usize) -> Option<(Vec<u32>, usize)> {
    let number = |t: usize| count(doc, t).filter(|k| k.fract() == 0.0 && (1.0..=60.0).contains(k)).map(whole);
    let mut all = vec![number(at)?];
    let mut end = at + 1;
    while let Some(next) = number(end + 1).filter(|n| all.last().is_some_and(|last| n > last)) {
        let glued = !doc.tokens[end].spaced && !doc.tokens[end + 1].spaced;
        match doc.low(end) {
            "-" | "–" | "to" if glued || doc.low(end) == "to" => all.extend(all.last().map_or(next, |last| last + 1)..=next),
            "/" | "&" | "and" | "+" | "," => all.push(next),
            _ => break,
        }
        end += 2;
    }
    let dash = doc.tokens.get(end).is_some_and(|t| matches!(t.text, "-" | "–" | "—" | "=") && t.spaced);
    (all.len() > 1 && all.len() <= 30 && (dash || matches!(doc.low(end), ":" | ")"))).then_some((all, end))
}

pub(super) fn odd_even(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let on = usize::from(doc.low(i) == "on");
    let k = match doc.low(i + on) {
        "odd" | "odds" => 1,
        "even" | "evens" => 2,
        _ => return None,
    };
    let mut end = i + on + 1;
    end += usize::from(matches!(doc.low(end), "min" | "mins" | "minute" | "minutes" | "rounds" | "numbers"));
    let arrow = doc.tokens.get(end).is_some_and(|t| t.kind == Kind::Arrow);
    end += usize::from(matches!(doc.low(end), ":" | "-" | "=" | "–" | "—") || arrow);
    Some((What::Minute(k), end - i))
}

pub(super) fn ordinal(doc: &Doc, i: usize) -> Option<u32> {
    Some(match doc.low(i) {
        "first" => 1,
        "second" => 2,
        "third" => 3,
        "fourth" => 4,
        "fifth" => 5,
        _ if matches!(doc.low(i + 1), "st" | "nd" | "rd" | "th") && !doc.tokens[i + 1].spaced => whole(doc.tokens[i].number()?),
        _ => return None,
    })
}

pub(super) fn ordinal_tokens(doc: &Doc, i: usize) -> usize {
    if doc.tokens[i].kind == Kind::Number { 2 } else { 1 }
}

/// A small whole number as a count of minutes.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "the callers pass small whole numbers")]
pub fn whole(n: f64) -> u32 {
    n.clamp(0.0, 999.0) as u32
}

/// `1.`, `2)`, `3:` before something else: a list number.
/// With a spaced dash or bar only where it goes on from the list number before, `last`: `10 - 12 burpees` is a range.
pub(super) fn numbered(doc: &Doc, i: usize, last: f64) -> Option<(What, usize)> {
    if let Some(used) = sub_number(doc, i) {
        return Some((What::Bullet(None), used));
    }
    let n = doc.tokens[i].number().filter(|n| n.fract() == 0.0 && *n < 40.0)?;
    let mark = doc.tokens.get(i + 1)?;
    let next = doc.tokens.get(i + 2)?;
    let sign = matches!(mark.text, "-" | "–" | "—" | "/" | "|" | ">") || mark.kind == Kind::Arrow;
    let dash = sign && mark.spaced && next.spaced && (n - last - 1.0).abs() < 0.01;
    let closes = dash
        || mark.is(")")
        || mark.is("/") && !mark.spaced && next.spaced && next.kind == Kind::Word
        || matches!(mark.text, "." | ":") && !mark.spaced && next.spaced && next.kind != Kind::Newline;
    (closes && !doc.tokens[i].text.contains(['.', ','])).then_some((What::Bullet(Some(n)), 2))
}

/// `2.1 Back squat` where another line of the list is `2.2`: the number of an entry below another.
fn sub_number(doc: &Doc, i: usize) -> Option<usize> {
    let parts = |at: usize| {
        let (a, b) = doc.tokens.get(at).filter(|t| t.kind == Kind::Number)?.text.split_once('.')?;
        Some((a, b.parse::<u32>().ok()?)).filter(|(a, b)| a.len() < 3 && (1..30).contains(b))
    };
    let opens = |at: usize| at == 0 || doc.tokens[at - 1].kind == Kind::Newline;
    let (a, b) = parts(i).filter(|_| opens(i))?;
    let sign = usize::from(matches!(doc.low(i + 1), ")" | ":" | "."));
    let begins = doc.tokens.get(i + 1 + sign).is_some_and(|t| t.spaced && matches!(t.kind, Kind::Word | Kind::Number));
    let next = |at: usize| opens(at) && parts(at).is_some_and(|(x, y)| x == a && (y == b + 1 || y + 1 == b));
    let from = i.saturating_sub(60);
    (begins && (from..(i + 60).min(doc.tokens.len())).any(next)).then_some(1 + sign)
}

/// `... x5 A2 push press x8`: the next label in a chat without line breaks, `last` being the one before it.
pub fn label_inside(doc: &Doc, i: usize, last: Option<&str>, stop: bool) -> Option<(What, usize)> {
    let typed = doc.tokens[i].text.chars().next()?;
    let letter = Some(typed.to_ascii_uppercase()).filter(|c| ('A'..='H').contains(c))?;
    let next = doc.tokens.get(i + 1).filter(|_| doc.tokens[i].chars == 1 && doc.tokens[i].spaced)?;
    let digit = next.number().filter(|n| next.chars == 1 && !next.spaced && (1.0..=6.0).contains(n)).map(whole);
    let at = i + 1 + usize::from(digit.is_some());
    let closed = doc.tokens.get(i + 1).is_some_and(|n| n.is(")") && !n.spaced);
    if typed.is_ascii_lowercase() && digit.is_none() && !closed {
        // `a` alone is a word; `b) rows` is none
        return None;
    }
    let sign = usize::from(doc.tokens.get(at).is_some_and(|m| !m.spaced && matches!(m.text, ")" | "." | ":")));
    let begins = doc.tokens.get(at + sign).is_some_and(|t| t.spaced && matches!(t.kind, Kind::Word | Kind::Number));
    let asked = i > 0
        && matches!(
            doc.low(i - 1),
            "after"
                | "between"
                | "and"
                | "of"
                | "to"
                | "in"
                | "for"
                | "with"
                | "on"
                | "from"
                | "before"
                | "repeat"
                | "then"
                | "back"
                | "/"
                | "+"
                | "&"
                | "or"
                | "each"
                | "per"
                | "("
                | "="
        );
    let asked = asked && !(digit == Some(1) && doc.low(i - 1) == "/" && doc.tokens[i - 1].spaced);
    let mut before = last.unwrap_or("").chars();
    let (was, was_digit) = (before.next(), before.next().and_then(|c| c.to_digit(10)));
    let follows = match (digit, was_digit) {
        (Some(d), Some(w)) => {
            was == Some(letter) && d == w + 1 || d == 1 && was.is_some_and(|w| u32::from(w) + 1 == u32::from(letter))
        }
        (Some(1), None) | (None, Some(_)) => was.is_some_and(|w| u32::from(w) + 1 == u32::from(letter)),
        (None, None) => was.is_some_and(|w| u32::from(w) + 1 == u32::from(letter)) && sign > 0,
        _ => false,
    };
    // `8 each B2 plank`, `3xmax then B1 swings`: the word before the next label belongs to what stands before it
    let asked = asked && !(follows && matches!(doc.low(i - 1), "each" | "then"));
    let paired =
        || (i + 2..i + 40).take_while(|&k| doc.tokens.get(k).is_some_and(|t| t.kind != Kind::Newline)).any(|k| second(doc, k, i));
    let stop = stop || letter == 'A' && digit == Some(1) && paired();
    let first = stop && (letter == 'A' || was.is_none()) && (digit == Some(1) || sign > 0);
    let name = match digit {
        Some(d) => format!("{letter}{d}"),
        None => letter.to_string(),
    };
    (begins && !asked && (sign > 0 || digit.is_some()) && (follows || first)).then(|| (What::Label(name), at + sign - i))
}

/// `A2` at token `k`, glued as the `A1` at token `i` is, with a dose between the two.
fn second(doc: &Doc, k: usize, i: usize) -> bool {
    let two = doc.tokens.get(k + 1).is_some_and(|t| t.text == "2" && !t.spaced);
    let dosed = (i + 2..k).any(|n| doc.tokens[n].kind == Kind::Number);
    two && dosed && doc.tokens[k].spaced && doc.tokens[k].text == doc.tokens[i].text
}

/// `II.`, `Part III:`: the parts of a list in Roman numbers.
fn roman(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let part = usize::from(matches!(doc.low(i), "part" | "block"));
    let n = ["i", "ii", "iii", "iv", "v", "vi"].iter().position(|r| doc.low(i + part) == *r)? + 1;
    let closes = matches!(doc.low(i + part + 1), "." | ")" | ":");
    let listed =
        n > 1 || (i..(i + 400).min(doc.tokens.len())).any(|t| doc.low(t) == "ii" && matches!(doc.low(t + 1), "." | ")" | ":"));
    (closes && listed).then(|| (What::Label(n.to_string()), part + 2))
}

/// `I.` where an earlier line begins with `H.`: past H a letter is a label only where it goes on with a list.
fn goes_on_with(doc: &Doc, i: usize) -> bool {
    /// Tokens of the longest part in between.
    const FAR: usize = 400;
    let sign = |at: usize| doc.tokens.get(at + 1).is_some_and(|n| !n.spaced && matches!(n.text, "." | ")" | ":"));
    let opens = |at: usize| at == 0 || doc.tokens[at - 1].kind == Kind::Newline;
    let letter = |at: usize| doc.tokens[at].text.chars().next().map(|c| c.to_ascii_uppercase());
    let Some(own) = letter(i).filter(|c| doc.tokens[i].chars == 1 && ('I'..='Z').contains(c)) else { return false };
    let before = |at: usize| doc.tokens[at].chars == 1 && letter(at).is_some_and(|c| u32::from(c) + 1 == u32::from(own));
    opens(i) && sign(i) && (i.saturating_sub(FAR)..i).rev().any(|at| opens(at) && before(at) && sign(at))
}

/// `S - back squat 5x5`, `M - ...` where another line begins with `WU -`: the first letter of what the part is.
fn stands_for_a_word(doc: &Doc, i: usize) -> bool {
    let opens = |at: usize| at == 0 || doc.tokens[at - 1].kind == Kind::Newline;
    let short = |at: usize| match doc.low(at) {
        "wu" | "cd" => Some(at + 1),
        "w" if doc.low(at + 1) == "/" && doc.low(at + 2) == "u" => Some(at + 3),
        _ => None,
    };
    let same = |at: usize| short(at).is_some_and(|end| doc.low(end) == doc.low(i + 1));
    // `W: 16 kg` is whose load it is
    let load = matches!(doc.low(i + 3), "kg" | "lb" | "lbs" | "/");
    let letter = opens(i) && matches!(doc.low(i), "s" | "m" | "t" | "p" | "w") && !load;
    letter && (i.saturating_sub(400)..(i + 400).min(doc.tokens.len())).any(|at| opens(at) && same(at))
}

/// `Part one is for shoulders`, `Part two:`
fn spelled_part(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let n = doc.says_any(i, &["part", "block", "piece"])?;
    let k = number_word(doc.tokens.get(i + n)?.text).filter(|k| (1.0..=6.0).contains(k))?;
    let at = i + n + 1;
    let sign = usize::from(matches!(doc.low(at), ":" | "." | ")" | "-" | "–"));
    let word = matches!(doc.low(at), "for" | "," | "\n") || doc.says(at, "is for").is_some();
    (sign > 0 || word).then(|| (What::Label(k.to_string()), n + 1 + sign))
}

/// `Superset one, 4 sets:`, `Circuit B -`: which of several it is.
fn superset(doc: &Doc, i: usize) -> Option<(What, usize)> {
    let n = doc.says_any(i, &["superset", "super set", "circuit", "couplet", "triset", "choice"])?;
    let at = i + n;
    let letter = doc
        .tokens
        .get(at)
        .filter(|t| t.chars == 1 && matches!(doc.low(at), "a" | "b" | "c" | "d"))
        .map(|t| t.text.to_uppercase());
    let few = count(doc, at).filter(|k| k.fract() == 0.0 && (1.0..=6.0).contains(k));
    let id = letter.or_else(|| few.map(|k| k.to_string()))?;
    let bracket = doc.low(at + 1) == "(" && doc.low(i) == "choice";
    let sign = matches!(doc.low(at + 1), ":" | "," | ")" | ".")
        || matches!(doc.low(at + 1), "-" | "–" | "—") && doc.tokens[at + 1].spaced;
    let line = doc.tokens.get(at + 1).is_none_or(|t| t.kind == Kind::Newline);
    // `Superset A 3x`
    let often = count(doc, at + 1).is_some() && matches!(doc.low(at + 2), "x" | "rounds" | "rds" | "sets");
    (sign || line || bracket || often).then_some((What::Label(id), n + 1 + usize::from(sign)))
}

/// `A.`, `B)`, `A1`, `C2:`, `A -`
pub(super) fn label(doc: &Doc, i: usize, library: &Library, lexicon: &Lexicon) -> Option<(What, usize)> {
    let t = &doc.tokens[i];
    if goes_on_with(doc, i) {
        return Some((What::Label(t.text.to_uppercase()), 2));
    }
    if let Some(found) = roman(doc, i).or_else(|| superset(doc, i)).or_else(|| spelled_part(doc, i)) {
        return Some(found);
    }
    if let Some(n) = doc.says_any(i, &["part", "block", "piece", "section", "serial", "segment", "phase"]) {
        let id =
            doc.tokens.get(i + n).filter(|t| t.text.chars().count() <= 2 && (t.kind == Kind::Number || t.kind == Kind::Word))?;
        let end = i + n + 1;
        let colon = usize::from(matches!(doc.low(end), ":" | "." | ")" | "-" | "–"));
        let known = doc.tokens[i + n].kind == Kind::Number || id.text.chars().count() == 1;
        return known.then(|| (What::Label(id.text.to_uppercase()), end + colon - i));
    }
    let letter = doc.tokens.get(i + 1).filter(|l| !l.spaced && matches!(doc.low(i + 1), "a" | "b" | "c" | "d"));
    if let (Kind::Number, 1, Some(letter)) = (t.kind, t.text.len(), letter)
        && matches!(doc.low(i + 2), "." | ")" | ":" | "-")
    {
        return Some((What::Label(format!("{}{}", t.text, letter.text.to_uppercase())), 3));
    }
    if t.kind != Kind::Word
        || t.text.chars().count() != 1
        || !t.text.chars().all(|c| c.is_ascii_alphabetic())
        || name(doc, i, library, lexicon).is_some_and(|(_, n)| n > 1)
    {
        return None;
    }
    let letter = t.text.to_uppercase();
    let next = doc.tokens.get(i + 1)?;
    if next.kind == Kind::Number
        && !next.spaced
        && next.text.len() == 1
        && ('A'..='H').contains(&letter.chars().next()?)
        && !(doc.low(i + 2).starts_with("mom") || letter == "E" && doc.low(i + 2) == "m")
    {
        let close = doc.tokens.get(i + 2).is_some_and(|m| matches!(m.text, "." | ")" | ":" | "-" | "–" | "—"));
        return Some((What::Label(format!("{letter}{}", next.text)), 2 + usize::from(close)));
    }
    let sign = matches!(next.text, "." | ")" | ":") || matches!(next.text, "-" | "–" | "—") && next.spaced;
    let list = ('A'..='H').contains(&letter.chars().next()?);
    (sign && (list || stands_for_a_word(doc, i))).then_some((What::Label(letter), 2))
}
