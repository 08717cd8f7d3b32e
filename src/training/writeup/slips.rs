//! Typing slips in the reader's own words: `statons`, `pracitce`, `amarp`, `ronuds`.
//!
//! A movement's name has its own mending in [`super::lexicon`]. Here only long words that say how a part runs are mended,
//! one letter at most, and only where the typed word is no word of a movement and no everyday word.

/// Words that say how a part runs, long enough that one slip leaves them plain.
const WORDS: &[&str] = &[
    "alternating",
    "between",
    "conditioning",
    "cooldown",
    "descending",
    "ascending",
    "equipment",
    "finisher",
    "interval",
    "intervals",
    "ladder",
    "minute",
    "minutes",
    "mobility",
    "practice",
    "practise",
    "recovery",
    "rounds",
    "round",
    "second",
    "seconds",
    "score",
    "shorter",
    "station",
    "stations",
    "strength",
    "stretching",
    "superset",
    "triset",
    "technique",
    "through",
    "unbroken",
    "warmup",
    "every",
    "amrap",
    "tempo",
    "metres",
    "meters",
    "calories",
    "accessory",
    "possible",
];

/// Everyday words one letter from one of those.
const OTHERS: &[&str] = &[
    "minuet",
    "minutest",
    "though",
    "thorough",
    "trough",
    "practiced",
    "practises",
    "practices",
    "techniques",
    "supersets",
    "ladders",
    "finishers",
    "finished",
    "finishes",
    "possibly",
    "betweens",
    "meter",
    "metre",
    "calorie",
    "warmups",
    "cooldowns",
    "strengths",
    "stretchings",
    "recovers",
];

/// Short words as hurried fingers leave them; too short to be told by their letters alone.
const SHORT: &[(&str, &str)] = &[
    // `2x thru`
    ("thru", "through"),
    ("thn", "then"),
    ("tehn", "then"),
    ("thne", "then"),
    ("hten", "then"),
    ("rset", "rest"),
    ("wiht", "with"),
    ("wtih", "with"),
    ("eahc", "each"),
    ("ecah", "each"),
];

/// The short word that was meant by `word` (lower case).
#[must_use]
pub fn short(word: &str) -> Option<&'static str> {
    SHORT.iter().find(|(typed, _)| *typed == word).map(|(_, meant)| *meant)
}

/// The word that was meant, where `word` (lower case) is one slip away from exactly one.
#[must_use]
pub fn mend(word: &str) -> Option<&'static str> {
    let length = word.chars().count();
    if length < 5 || WORDS.contains(&word) || OTHERS.contains(&word) {
        return None;
    }
    let first = word.chars().next();
    let near = |w: &&&str| {
        w.chars().next() == first
            && w.len().abs_diff(word.len()) <= 1
            && if w.len() > 5 && length > 4 { strsim::osa_distance(w, word) == 1 } else { swapped(w, word) }
    };
    let mut found = WORDS.iter().filter(near);
    let one = found.next()?;
    // `rond` could be `round` or `rounds`; the two mean the same
    found.all(|w| w.strip_suffix('s') == Some(one) || one.strip_suffix('s') == Some(*w)).then_some(*one)
}

/// A word that stands behind a number and says what it counts.
#[must_use]
pub fn is_unit(word: &str) -> bool {
    matches!(word, "round" | "rounds" | "second" | "seconds" | "minute" | "minutes" | "metres" | "meters" | "calories")
}

/// Two letters beside each other changed places and nothing else.
fn swapped(a: &str, b: &str) -> bool {
    let mut x: Vec<char> = a.chars().collect();
    let mut y: Vec<char> = b.chars().collect();
    let one = strsim::osa_distance(a, b) == 1 && x.len() == y.len();
    x.sort_unstable();
    y.sort_unstable();
    one && x == y
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_in_a_long_word_is_mended() {
        for (typed, meant) in
            [("statons", "stations"), ("pracitce", "practice"), ("amarp", "amrap"), ("ronuds", "rounds"), ("minuts", "minutes")]
        {
            assert!(mend(typed).is_some_and(|m| m.starts_with(meant.trim_end_matches('s'))), "{typed}");
        }
    }

    #[test]
    fn a_slip_in_a_unit_still_says_what_its_number_counts() {
        let read = |text: &str| super::super::read(text, crate::training::movement::Library::shipped());
        let session = read("5 ronds for time, cap 15 mins\n12 dumbell snatches altenating @15kg\n200m run");
        assert_eq!(session.problems, []);
        assert_eq!(session.parts[0].rounds, Some(crate::training::dose::Amount::One(5.0)));
        assert_eq!(session.parts[0].lines[0].side, Some(crate::training::dose::Side::Alternating));
    }

    #[test]
    fn everyday_words_stay() {
        for word in ["store", "around", "though", "finished", "practical", "stationary", "very", "sound", "meter", "tempting"] {
            assert_eq!(mend(word), None, "{word}");
        }
    }
}
