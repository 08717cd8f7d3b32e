//! Times of day as people and machines write them, as minutes from the start of the session's day where the member lives.

/// `20:10`, `next day 07:00`, `2 days later 10:00`, `20:50 local (two hours west)`, `22:50 coach time (two hours west)`.
///
/// A time that is not said to be somebody else's is the member's own. A time on the coach's clock is moved by the hours in
/// the words, or by `offset_h` (the member's clock minus the coach's).
pub(super) fn minutes(text: &str, offset_h: Option<f64>) -> Option<i64> {
    let text = text.to_lowercase();
    let of_day = clock(&text)?;
    let own = of_day + days(&text) * 24 * 60;
    let foreign = ["coach", "home time", "server", "utc", "gmt", "z)"].iter().any(|w| text.contains(w));
    if !foreign || text.contains("local") {
        return Some(own);
    }
    let hours = hours_east(&text).or(offset_h).unwrap_or(0.0);
    #[expect(clippy::cast_possible_truncation, reason = "a few hours")]
    let shift = (hours * 60.0).round() as i64;
    Some(own + shift)
}

/// The first `hh:mm` of the text, or noon, midnight, the end of the day.
fn clock(text: &str) -> Option<i64> {
    if !text.contains(':') {
        let named = [("midnight", 1440), ("end of day", 1440), ("end of the day", 1440), ("noon", 720)];
        return named.iter().find(|(word, _)| text.contains(word)).map(|(_, at)| *at);
    }
    let bytes = text.as_bytes();
    let at = text.find(':')?;
    let start = (0..at).rev().take_while(|i| bytes[*i].is_ascii_digit()).last()?;
    let hours: i64 = text.get(start..at)?.parse().ok()?;
    let minutes: i64 = text.get(at + 1..at + 3)?.parse().ok()?;
    let pm = text.get(at + 3..).is_some_and(|t| t.trim_start().starts_with("pm")) && hours < 12;
    let hours = if pm { hours + 12 } else { hours };
    ((0..=47).contains(&hours) && (0..60).contains(&minutes)).then_some(hours * 60 + minutes)
}

/// Days after the session's day.
fn days(text: &str) -> i64 {
    if ["day before", "previous day", "yesterday", "-1 day"].iter().any(|w| text.contains(w)) {
        return -1;
    }
    if let Some(n) = number_before(text, &["days later", "days after", "day later", "day after", "days"]) {
        return n;
    }
    if let Some((_, rest)) = text.split_once("day +").or_else(|| text.split_once("d+")).or_else(|| text.split_once("day+")) {
        return rest.trim().split(|c: char| !c.is_ascii_digit()).next().and_then(|n| n.parse().ok()).unwrap_or(0);
    }
    if text.trim_start().starts_with('+') {
        return text.trim_start()[1..].split(|c: char| !c.is_ascii_digit()).next().and_then(|n| n.parse().ok()).unwrap_or(0);
    }
    i64::from(["next day", "day after", "tomorrow", "following day", "next morning"].iter().any(|w| text.contains(w)))
}

const NUMBERS: [&str; 13] =
    ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];

fn number_before(text: &str, words: &[&str]) -> Option<i64> {
    let at = words.iter().find_map(|w| text.find(w))?;
    let word = text[..at].split_whitespace().last()?.trim_start_matches(['(', '+', ',']);
    let spelt = || NUMBERS.iter().position(|n| *n == word).and_then(|n| i64::try_from(n).ok());
    word.parse().ok().or_else(spelt)
}

/// `two hours west` is -2.
fn hours_east(text: &str) -> Option<f64> {
    let hours = number_before(text, &["hours", "hour", "h west", "h east"])?;
    #[expect(clippy::cast_precision_loss, reason = "a few hours")]
    let hours = hours as f64;
    if text.contains("west") || text.contains("behind") {
        Some(-hours)
    } else if text.contains("east") || text.contains("ahead") {
        Some(hours)
    } else {
        None
    }
}

/// Minutes between the midnight of `day` and a full timestamp (`2026-03-02T20:10:00+01:00`); `None` for anything else.
/// The timestamp's own offset is the member's clock, or the coach's moved by `offset_h`.
pub(super) fn stamped(text: &str) -> Option<(i64, i64)> {
    let (date, rest) = text.trim().split_once(['T', ' '])?;
    let format = time::macros::format_description!("[year]-[month]-[day]");
    let day = time::Date::parse(date, &format).ok()?;
    Some((i64::from(day.to_julian_day()), clock(rest)?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_time_of_day_is_the_members_own() {
        for (text, want) in [
            ("20:10", 1210),
            ("next day 07:00", 1860),
            ("2 days later 10:00", 3480),
            ("two days later 10:00", 3480),
            ("20:50 local (two hours west)", 1250),
            ("20:51 local", 1251),
            ("22:50 coach time (two hours west)", 1250),
            ("19:00 UTC (3 hours east)", 1320),
            ("+1 08:00", 1920),
            ("day before 23:00", -60),
            ("9:00 pm", 1260),
        ] {
            assert_eq!(minutes(text, None), Some(want), "{text}");
        }
    }

    #[test]
    fn no_time_is_no_time() {
        for text in ["", "late", ":", "25", "x:y", "é:éé", "12:9"] {
            assert_eq!(minutes(text, None), None, "{text}");
        }
    }
}
