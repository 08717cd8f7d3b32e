//! Words of greeting, days and quotation marks.

pub(super) fn is_quote(word: &str) -> bool {
    matches!(word, "\"" | "“" | "”" | "„" | "'" | "‘" | "’" | "«" | "»")
}

pub(super) fn is_greeting(word: &str) -> bool {
    matches!(
        word,
        "hi" | "hey"
            | "hello"
            | "morning"
            | "good"
            | "hola"
            | "ok"
            | "buenos"
            | "team"
            | "gm"
            | "happy"
            | "hiya"
            | "evening"
            | "heya"
            | "folks"
            | "yo"
    )
}

/// The name of a day, or a word that stands before its number.
#[must_use]
pub fn is_day(word: &str) -> bool {
    matches!(
        word,
        "mon"
            | "monday"
            | "tue"
            | "tues"
            | "tuesday"
            | "wed"
            | "weds"
            | "wednesday"
            | "thu"
            | "thur"
            | "thurs"
            | "thursday"
            | "fri"
            | "friday"
            | "sat"
            | "saturday"
            | "sun"
            | "sunday"
            | "day"
            | "week"
    )
}
