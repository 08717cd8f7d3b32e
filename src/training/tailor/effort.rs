//! How hard a line is meant to be, where the coach wrote it: one effort is told to the member, and that is the coach's.

use crate::training::dose::{Amount, Load};
use crate::training::session::{Line, Part};

/// The written effort of a line: in its load, in the words beside it, or in the words to its part.
pub(crate) fn written(line: &Line, part: &Part) -> Option<Load> {
    match &line.load {
        Some(load @ (Load::Rir(_) | Load::Rpe(_))) => Some(load.clone()),
        _ => line.note.iter().chain(&part.notes).find_map(|words| in_words(words)),
    }
}

/// As it is said of a set: `with 2 reps left`, `at RPE 8`.
pub(crate) fn words(effort: &Load) -> Option<String> {
    match effort {
        Load::Rir(Amount::One(n)) if (n - 1.0).abs() < 0.01 => Some("with 1 rep left".to_owned()),
        Load::Rir(n) => Some(format!("with {n} reps left")),
        Load::Rpe(n) => Some(format!("at RPE {n}")),
        _ => None,
    }
}

/// `leave 2 in the tank`, `2-3 reps in reserve`, `RIR 2`, `RPE 8`.
fn in_words(text: &str) -> Option<Load> {
    let low = text.to_lowercase().replace('\u{2013}', "-");
    let words: Vec<&str> =
        low.split(|c: char| !(c.is_alphanumeric() || matches!(c, '-' | '.'))).filter(|w| !w.is_empty()).collect();
    let number = |i: usize| words.get(i).and_then(|w| amount(w));
    let is = |i: usize, list: &[&str]| words.get(i).is_some_and(|w| list.contains(&w.trim_matches('.')));
    (0..words.len()).find_map(|i| {
        let before = |name| is(i, &[name]).then(|| number(i + 1).or_else(|| number(i.wrapping_sub(1)))).flatten();
        if let Some(n) = before("rpe") {
            return Some(Load::Rpe(n));
        }
        if let Some(n) = before("rir") {
            return Some(Load::Rir(n));
        }
        let n = number(i)?;
        let next = i + 1 + usize::from(is(i + 1, &["rep", "reps", "good"]));
        let next = next + usize::from(is(next, &["left"]));
        let kept = is(next, &["in"]) && (is(next + 1, &["reserve", "hand"]) || is(next + 1, &["the"]) && is(next + 2, &["tank"]));
        let left = is(next.wrapping_sub(1), &["left"]) && is(i.wrapping_sub(1), &["leave", "leaving", "with", "keep", "keeping"]);
        (kept || left).then_some(Load::Rir(n))
    })
}

/// `2`, `two`, `2-3`; nobody keeps more than ten.
fn amount(word: &str) -> Option<Amount> {
    let one = |w: &str| match w {
        "one" => Some(1.0),
        "two" => Some(2.0),
        "three" => Some(3.0),
        "four" => Some(4.0),
        w => w.trim_matches('.').parse::<f64>().ok().filter(|n| (0.0..=10.0).contains(n)),
    };
    match word.split_once('-') {
        Some((low, high)) => Some(Amount::Range(one(low)?, one(high)?)),
        None => one(word).map(Amount::One),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(text: &str) -> Option<String> {
        in_words(text).as_ref().and_then(words)
    }

    #[test]
    fn reps_kept_in_reserve_are_read_in_the_usual_words() {
        for text in
            ["leave 2 in the tank", "Always two reps left in the tank.", "2 RIR", "keep 2 reps in reserve", "leaving 2 reps left"]
        {
            assert_eq!(found(text).as_deref(), Some("with 2 reps left"), "{text}");
        }
        assert_eq!(found("1-2 in reserve").as_deref(), Some("with 1-2 reps left"));
        assert_eq!(found("RPE 8, no more").as_deref(), Some("at RPE 8"));
    }

    #[test]
    fn other_numbers_are_no_effort() {
        for text in
            ["3 s down, 2 sets", "left leg first, 2 rounds", "rest 2 in the shade", "5 in a row", "turn left after 2 reps"]
        {
            assert_eq!(found(text), None, "{text}");
        }
    }
}
