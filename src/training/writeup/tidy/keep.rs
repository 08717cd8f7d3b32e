//! What a tidy may not lose: every word that is no mere sign of the form, and the marks with which people speak.

use super::super::super::movement::Library;
use super::super::super::session::Line;
use super::super::words::{is_manner, plain};
use std::collections::HashMap;

/// Words that say no more than numbers and order do; a tidy says the same in its own.
const FORM: &[&str] = &[
    "round",
    "rounds",
    "rds",
    "rnds",
    "rd",
    "rnd",
    "set",
    "sets",
    "rep",
    "reps",
    "x",
    "of",
    "for",
    "time",
    "amrap",
    "emom",
    "every",
    "minute",
    "minutes",
    "min",
    "mins",
    "minuten",
    "sec",
    "secs",
    "seconds",
    "second",
    "s",
    "m",
    "meter",
    "meters",
    "metre",
    "metres",
    "on",
    "off",
    "rest",
    "between",
    "cap",
    "tc",
    "timecap",
    "capped",
    "limit",
    "with",
    "w",
    "at",
    "a",
    "an",
    "the",
    "and",
    "then",
    "each",
    "per",
    "side",
    "sides",
    "leg",
    "legs",
    "arm",
    "arms",
    "alternating",
    "alt",
    "alternate",
    "total",
    "in",
    "kg",
    "kgs",
    "kilos",
    "lb",
    "lbs",
    "cal",
    "cals",
    "calories",
    "calorie",
    "max",
    "tempo",
    "rpe",
    "odd",
    "even",
    "station",
    "rir",
    "reserve",
    "or",
    "buy",
    "cash",
    "out",
    "rm",
    "as",
    "many",
    "possible",
    "ea",
    "times",
    "repetition",
    "repetitions",
    "effort",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "fifteen",
    "twenty",
    "thirty",
    "forty",
    "sixty",
    "ninety",
];

/// The words of `typed` that `tidied` lacks, counted, and marks likewise; none lost means the tidy may stand.
pub(super) fn nothing_lost(typed: &str, tidied: &str, lines: &[&Line], library: &Library) -> bool {
    let mut left: HashMap<String, i32> = HashMap::new();
    for word in words(tidied) {
        *left.entry(word).or_default() += 1;
    }
    let list: Vec<String> = words(typed).collect();
    let named = names(&list, lines, library);
    let open = |text: &str| text.matches('(').count() == text.matches(')').count();
    marks(typed) == marks(tidied)
        && (open(tidied) || !open(typed))
        && numbers_kept(typed, tidied)
        && list.iter().zip(named).all(|(word, named)| {
            let there = left.get_mut(word).is_some_and(|n| {
                *n -= 1;
                *n >= 0
            });
            there || named || FORM.contains(&word.as_str())
        })
}

/// Every number of `typed` stands in `tidied`, perhaps in another unit of time.
fn numbers_kept(typed: &str, tidied: &str) -> bool {
    let there = numbers(tidied);
    let has = |n: f64| there.iter().any(|t| (t - n).abs() < 1e-6);
    numbers(typed).into_iter().all(|n| has(n) || has(n * 60.0) || has(n / 60.0))
}

/// Numbers as they stand, times of the clock in seconds.
fn numbers(text: &str) -> Vec<f64> {
    let digit = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | ':');
    let number = |n: &str| n.replace(',', ".").parse::<f64>().ok();
    text.split(move |c: char| !digit(c))
        .map(|n| n.trim_matches(['.', ',', ':']))
        .filter_map(|n| match n.rsplit_once(':') {
            Some((m, s)) => Some(number(m)? * 60.0 + number(s)?),
            None => number(n),
        })
        .collect()
}

/// Words in small letters, and marks that mean something to people, in order.
fn words(text: &str) -> impl Iterator<Item = String> + '_ {
    let letter = |c: char| c.is_alphabetic() || matches!(c, '\'' | '\u{2019}');
    text.split(move |c: char| !letter(c))
        .map(|w| w.trim_matches(['\'', '\u{2019}']))
        .filter(|w| !w.is_empty())
        .map(str::to_lowercase)
}

/// Marks with which people speak, each with how often: exclamation and question marks, quotes, dots, pictures.
fn marks(text: &str) -> HashMap<char, usize> {
    let mut all = HashMap::new();
    for c in text.chars() {
        let speaks = matches!(c, '!' | '?' | '"') || !c.is_ascii() && !c.is_alphanumeric() && !c.is_whitespace() && !is_sign(c);
        if speaks {
            *all.entry(c).or_default() += 1;
        }
    }
    all
}

/// Signs of the form, in whatever shape a keyboard gives them.
fn is_sign(c: char) -> bool {
    matches!(
        c,
        '\u{2013}'
            | '\u{2014}'
            | '\u{2212}'
            | '\u{d7}'
            | '\u{b7}'
            | '\u{2022}'
            | '\u{25cf}'
            | '\u{25e6}'
            | '\u{25aa}'
            | '\u{2192}'
            | '\u{2032}'
            | '\u{2033}'
            | '\u{2019}'
            | '\u{200b}'
            | '\u{feff}'
            | '\u{20e3}'
            | '\u{fe0f}'
    )
}

/// For each word, whether it belongs to the name of a movement that the lines say.
fn names(list: &[String], lines: &[&Line], library: &Library) -> Vec<bool> {
    let lexicon = library.lexicon();
    let said: Vec<&str> = lines
        .iter()
        .flat_map(|l| std::iter::once(*l).chain(&l.alternatives))
        .flat_map(|l| std::iter::once(l.movement.as_str()).chain(l.complex.iter().map(|p| p.movement.as_str())))
        .collect();
    let of_names: Vec<String> = said.iter().flat_map(|n| words(n)).map(|w| plain(&w)).collect();
    let mended: Vec<String> = list.iter().map(|w| lexicon.mend(&plain(w))).collect();
    let mut out: Vec<bool> = mended.iter().map(|w| of_names.contains(w)).collect();
    for i in 0..list.len() {
        for n in 1..=4.min(list.len() - i) {
            let run: Vec<String> = mended[i..i + n].iter().flat_map(|w| w.split(' ')).map(str::to_owned).collect();
            let hit = lexicon.find(library, &run).filter(|f| f.words == run.len());
            if hit.is_some_and(|f| said.contains(&library.all()[f.movement].name.as_str())) {
                out[i..i + n].iter_mut().for_each(|o| *o = true);
            }
        }
    }
    // how a movement is done is the coach's own word, also where the library has a name with it
    for (o, w) in out.iter_mut().zip(list) {
        *o &= !is_manner(w) || of_names.contains(&plain(w));
    }
    out
}

/// No word of it is the coach's own: it says rounds, rest or a cap, and nothing else.
pub(super) fn is_form(typed: &str) -> bool {
    words(typed).all(|w| FORM.contains(&w.as_str()))
}

/// It says how the part runs: a number, or `for time` and its like. A list number or letter at its beginning says nothing.
pub(super) fn is_told(head: &str) -> bool {
    let body = head.trim_start_matches(|c: char| !c.is_alphanumeric());
    let lead = body.find(['.', ')', ' ']).filter(|n| *n < 3 && body[*n..].starts_with(['.', ')']));
    let body = body.get(lead.map_or(0, |n| n + 1)..).unwrap_or(body);
    let body = body.strip_prefix("Part ").and_then(|b| b.get(1..)).unwrap_or(body);
    let low = body.to_lowercase();
    body.contains(|c: char| c.is_ascii_digit())
        || ["for time", "amrap", "emom", " rounds", "two ", "three "].iter().any(|w| low.contains(w))
}
