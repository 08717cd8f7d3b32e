//! How many minutes a member has today.

use super::text::Word;

/// `only 25 minutes today`, `I only have ten minutes`, `just half an hour`, `20min`.
pub(super) fn minutes(text: &[Word]) -> Option<f64> {
    let words: Vec<&str> = text.iter().map(|w| w.text.as_str()).collect();
    let limits = ["only", "have", "today", "got", "max", "just"].iter().any(|l| words.contains(l));
    // a note that says nothing else means it as a limit
    let bare = words.len() <= 2;
    let n = (0..words.len()).find_map(|at| minutes_at(&words, at))?;
    ((limits || bare) && (5.0..=90.0).contains(&n)).then_some(n)
}

/// A number of minutes that ends at a word.
fn minutes_at(words: &[&str], at: usize) -> Option<f64> {
    let word = words[at];
    if word == "hour" && at >= 2 && words[at - 2..at] == ["half", "an"] {
        return Some(30.0);
    }
    if let Some(n) = word.strip_suffix("mins").or_else(|| word.strip_suffix("min")).filter(|n| !n.is_empty()) {
        return n.parse().ok();
    }
    let before = words.get(at.checked_sub(1)?)?;
    let unit = word.starts_with("min");
    let tens = at.checked_sub(2).and_then(|two| Some(number(words.get(two)?)? + number(before)?));
    // `twenty five` is one number
    let in_two = tens.filter(|_| matches!(*before, "five") && matches!(words[at - 2], "twenty" | "thirty" | "forty"));
    unit.then(|| in_two.or_else(|| number(before)))?
}

/// A number in figures, or one of the words in which people tell minutes.
fn number(word: &str) -> Option<f64> {
    const WORDS: [(&str, f64); 10] = [
        ("five", 5.0),
        ("eight", 8.0),
        ("ten", 10.0),
        ("twelve", 12.0),
        ("fifteen", 15.0),
        ("twenty", 20.0),
        ("thirty", 30.0),
        ("forty", 40.0),
        ("fifty", 50.0),
        ("sixty", 60.0),
    ];
    WORDS.iter().find(|(w, _)| *w == word).map(|(_, n)| *n).or_else(|| word.parse().ok())
}

#[cfg(test)]
mod tests {
    use super::super::read;

    #[test]
    fn minutes_are_read() {
        assert_eq!(read(Some("only 25 minutes today")).minutes, Some(25.0));
    }

    #[test]
    fn minutes_are_read_in_words_and_without_a_gap() {
        for (note, minutes) in [
            ("I only have ten minutes", Some(10.0)),
            ("just half an hour", Some(30.0)),
            ("only twenty five minutes", Some(25.0)),
            ("20min", Some(20.0)),
            ("rest two minutes between sets today", None),
            ("the bus takes ten minutes", None),
        ] {
            assert_eq!(read(Some(note)).minutes, minutes, "{note}");
        }
    }
}
