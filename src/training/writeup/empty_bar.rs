//! `3 x 5 with an empty bar`: where that is the load of the work, and not where the work begins or what else there is.

/// Words before it after which it is another load, a start or none.
const BEFORE: [&str; 16] = [
    "or",
    "if",
    "than",
    "start",
    "starts",
    "starting",
    "from",
    "begin",
    "begins",
    "beginning",
    "warm",
    "warmup",
    "no",
    "not",
    "don't",
    "never",
];
/// Words behind it that say the same.
const BEHIND: [&str; 5] = ["or", "first", "then", "warm", "warmup"];
/// How it is said.
const NAMES: [&[&str]; 7] = [
    &["empty", "bar"],
    &["empty", "barbell"],
    &["bar", "only"],
    &["just", "the", "bar"],
    &["unloaded", "bar"],
    &["bare", "bar"],
    &["the", "bar", "alone"],
];

/// Where in these words, in small letters, an empty bar is named as the load of the work, and in how many words.
#[must_use]
pub fn as_the_load(words: &[&str]) -> Option<(usize, usize)> {
    (0..words.len()).find_map(|at| {
        let named = NAMES.iter().find(|n| words[at..].starts_with(n))?.len();
        let before = &words[at.saturating_sub(4)..at];
        let behind = words[at + named..].iter().take(3);
        let other = before.iter().any(|w| BEFORE.contains(w)) || behind.into_iter().any(|w| BEHIND.contains(w));
        (!other).then_some((at, named))
    })
}

#[cfg(test)]
mod tests {
    use super::as_the_load;

    #[test]
    fn a_start_and_a_choice_are_not_the_load_of_the_work() {
        for (text, load) in [
            ("empty bar", true),
            ("with the empty barbell , smooth", true),
            ("just the bar", true),
            ("start with an empty bar", false),
            ("work up from the empty bar", false),
            ("warm up with the empty bar", false),
            ("not an empty bar", false),
            ("empty bar or a stick", false),
            ("no more than an empty bar", false),
            ("empty bar first", false),
        ] {
            let words: Vec<&str> = text.split_whitespace().collect();
            assert_eq!(as_the_load(&words).is_some(), load, "{text}");
        }
    }
}
