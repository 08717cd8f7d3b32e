//! Units as people type them.

use super::super::token::{Kind, Token};
use super::super::words::{is_manner, is_talk};
use super::Unit;

/// The unit at the beginning of `t`: what it is, the factor into its base, tokens read.
pub(super) fn unit_at(t: &[Token], _single: bool) -> Option<(Unit, f64, usize)> {
    let hyphen = usize::from(
        t.first().is_some_and(|m| (m.is("-") || m.is("–")) && !m.spaced)
            && t.get(1).is_some_and(|w| w.kind == Kind::Word && !w.spaced),
    );
    // `2-3 easy rounds`
    let manner = t.get(hyphen + 1).is_some_and(|n| n.spaced && is_rounds(n.text))
        && t.get(hyphen).is_some_and(|w| w.spaced && tells_how(&w.text.to_lowercase()));
    if manner && hyphen == 0 {
        return unit_at(&t[1..], _single).map(|(unit, factor, n)| (unit, factor, n + 1));
    }
    let first = t.get(hyphen)?;
    let two = |a: &str| t.get(hyphen + 1).is_some_and(|n| n.is(a) && !n.spaced);
    let mark = match first.text {
        "%" => Some((Unit::Percent, 1.0, 1)),
        "#" if !first.spaced => Some((Unit::Lb, 1.0, 1)),
        "\"" | "″" | "”" if !first.spaced => Some((Unit::Seconds, 1.0, 1)),
        "'" | "′" | "’" if !first.spaced && two(first.text) => Some((Unit::Seconds, 1.0, 2)),
        "'" | "′" | "’" if !first.spaced => Some((Unit::Seconds, 60.0, 1)),
        "½" => None,
        _ => None,
    };
    if mark.is_some() {
        return mark.filter(|_| hyphen == 0);
    }
    let word = first.text.to_lowercase();
    // `two minutes' rest`
    let word = word.strip_suffix("'s").or_else(|| word.strip_suffix("’s")).unwrap_or(&word).trim_end_matches(['\'', '’']);
    let (unit, factor) = match word {
        "s" | "sec" | "secs" | "second" | "seconds" | "seg" | "segs" | "sek" | "secounds" | "seconde" | "secondes"
        | "segundo" | "segundos" | "sekunde" | "sekunden" => (Unit::Seconds, 1.0),
        "min" | "mins" | "minute" | "minutes" | "minuts" | "minuto" | "minutos" | "minuten" | "mn" => (Unit::Seconds, 60.0),
        "h" | "hr" | "hrs" | "hour" | "hours" => (Unit::Seconds, 3600.0),
        "m" | "meter" | "meters" | "metre" | "metres" | "mtr" | "mtrs" | "mt" => (Unit::Metres, 1.0),
        "km" | "kms" | "k" | "kilometre" | "kilometer" | "kilometres" | "kilometers" => (Unit::Metres, 1000.0),
        "mi" | "mile" | "miles" => (Unit::Metres, 1609.0),
        // `12 feet-raised push-ups`
        "ft" | "feet" | "foot"
            if t.get(hyphen + 1 + usize::from(["-", "‑", "–", "—", "−"].into_iter().any(two)))
                .is_some_and(|n| ["raised", "elevated"].contains(&n.text.to_lowercase().as_str())) =>
        {
            return None;
        }
        "ft" | "feet" | "foot" => (Unit::Metres, 0.3048),
        "yd" | "yds" | "yard" | "yards" => (Unit::Metres, 0.9144),
        "cal" | "cals" | "calorie" | "calories" | "kcal" | "kcals" => (Unit::Calories, 1.0),
        "kg" | "kgs" | "kilo" | "kilos" | "kilogram" | "kilograms" => (Unit::Kg, 1.0),
        "lb" | "lbs" | "pound" | "pounds" => (Unit::Lb, 1.0),
        "percent" | "pct" | "prct" => (Unit::Percent, 1.0),
        "rep" | "reps" | "repetitions" | "repetition" => (Unit::Reps, 1.0),
        "round" | "rounds" | "rd" | "rds" | "rnd" | "rnds" | "lap" | "laps" | "circuits" | "circuit" => (Unit::Rounds, 1.0),
        // `three trips through`
        "trip" | "trips" | "pass" | "passes" if t.get(hyphen + 1).is_some_and(|n| n.text.eq_ignore_ascii_case("through")) => {
            return Some((Unit::Rounds, 1.0, hyphen + 2));
        }
        "set" | "sets" | "superset" | "supersets" | "series" | "serie" | "try" | "tries" | "go" | "goes" | "attempt"
        | "attempts" => (Unit::Sets, 1.0),
        _ => return None,
    };
    // the dot of an abbreviation belongs to it: `10 min. easy`
    let dot = t.get(hyphen + 1).is_some_and(|d| d.is(".") && !d.spaced)
        && t.get(hyphen + 2).is_some_and(|n| n.text.chars().next().is_some_and(char::is_lowercase))
        && t.get(hyphen + 2).is_some_and(|n| !begins_a_thought(n.text))
        && matches!(word, "sec" | "secs" | "min" | "mins" | "cal" | "cals" | "lb" | "lbs" | "reps" | "rep" | "ft");
    // `sixty seconds' rest`
    let owned = unit == Unit::Seconds
        && t.get(hyphen + 1).is_some_and(|a| matches!(a.text, "'" | "’") && !a.spaced)
        && t.get(hyphen + 2).is_some_and(|n| matches!(n.text, "rest" | "break" | "pause" | "recovery" | "work"));
    Some((unit, factor, hyphen + 1 + usize::from(dot || owned)))
}

/// `easy`, `unhurried`, `honest`: a word between a number and its rounds that says how they are done. Most such words are told
/// by their ending.
fn tells_how(word: &str) -> bool {
    let other = matches!(word, "each" | "every" | "only" | "many" | "body" | "accessory" | "already");
    let ending = ["ed", "y", "ful", "ish", "less"].iter().any(|end| word.ends_with(end)) && word.len() > 3;
    (is_manner(word) || ending || matches!(word, "honest" | "chill" | "flowing" | "moving" | "patient"))
        && !other
        && !is_talk(word)
}

fn is_rounds(word: &str) -> bool {
    matches!(word.to_lowercase().as_str(), "rounds" | "round" | "rds" | "sets")
}

/// A word that begins the next sentence, though it is typed small: `cap 20 min. scale to 3 rounds`.
fn begins_a_thought(word: &str) -> bool {
    matches!(
        word,
        "too"
            | "can't"
            | "cant"
            | "not"
            | "as"
            | "scale"
            | "scaled"
            | "shorter"
            | "short"
            | "score"
            | "rest"
            | "after"
            | "afterwards"
            | "finally"
            | "finish"
            | "next"
            | "lastly"
            | "cool"
            | "main"
            | "belt"
            | "log"
            | "post"
            | "write"
            | "tell"
            | "new"
            | "then"
            | "no"
            | "cap"
            | "tc"
            | "if"
    )
}
