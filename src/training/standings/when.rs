//! Times of day as people and machines write them, as minutes from the start of the session's day where the member lives.

use crate::training::calendar::Zone;

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
    Some(own.saturating_add(shift))
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
    let half = |half: &str| text.get(at + 3..).is_some_and(|t| t.trim_start().starts_with(half));
    let hours = match hours {
        1..=11 if half("pm") => hours + 12,
        12 if half("am") => 0,
        _ => hours,
    };
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

/// The day (Julian) and minute of a full timestamp (`2026-03-02T20:10:00+01:00`) or of a day alone; `None` for anything else.
///
/// Where the member's zone is known, a timestamp with an offset is turned into its clock. Where it is not, the offset is taken for
/// the member's own, and UTC is moved by `offset_h`.
pub(super) fn stamped(text: &str, zone: Option<Zone>, offset_h: Option<f64>) -> Option<(i64, i64)> {
    let text = text.trim();
    let (date, rest) = text.split_once(['T', ' ']).unwrap_or((text, ""));
    let format = time::macros::format_description!("[year]-[month]-[day]");
    let date = time::Date::parse(date, &format).ok()?;
    let day = i64::from(date.to_julian_day());
    let at = if rest.trim().is_empty() { 0 } else { clock(&rest.to_lowercase())? };
    let east = match (east_of_utc(rest), zone) {
        (Some(typed), Some(zone)) => {
            let instant = date.midnight().assume_utc().checked_add(time::Duration::minutes(at - typed))?;
            i64::from(zone.offset(instant).whole_minutes()) - typed
        }
        #[expect(clippy::cast_possible_truncation, reason = "a few hours; a cast saturates")]
        (Some(0), None) => (offset_h.unwrap_or(0.0).clamp(-24.0, 24.0) * 60.0).round() as i64,
        _ => 0,
    };
    let all = day * 1440 + at + east;
    Some((all.div_euclid(1440), all.rem_euclid(1440)))
}

/// Minutes east of UTC that stand behind a time of day: `20:30Z`, `20:30 utc`, `20:30+01:00`, `20:30:00-0500`.
fn east_of_utc(time: &str) -> Option<i64> {
    let low = time.trim().to_lowercase();
    if ["z", "utc", "gmt"].iter().any(|w| low.ends_with(w)) {
        return Some(0);
    }
    let at = low.rfind(['+', '-'])?;
    let digits: String = low[at + 1..].chars().filter(|c| *c != ':').collect();
    let sound = (digits.len() == 2 || digits.len() == 4) && digits.bytes().all(|b| b.is_ascii_digit());
    let hours: i64 = digits.get(..2).filter(|_| sound)?.parse().ok()?;
    let minutes: i64 = digits.get(2..).filter(|m| !m.is_empty()).unwrap_or("0").parse().ok()?;
    let east = hours * 60 + minutes;
    (east <= 14 * 60).then_some(if low[at..].starts_with('-') { -east } else { east })
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
            ("12:10 am", 10),
        ] {
            assert_eq!(minutes(text, None), Some(want), "{text}");
        }
    }

    #[test]
    fn a_timestamp_is_turned_into_the_members_own_clock() {
        let berlin = Zone::named("Europe/Berlin");
        let day = |text| stamped(text, None, None).unwrap().0;
        let on = day("2026-11-26");
        for (text, zone, want) in [
            ("2026-11-26T20:30Z", berlin, (on, 21 * 60 + 30)),
            ("2026-11-26T23:30:00Z", berlin, (on + 1, 30)),
            ("2026-07-26T20:30:00Z", berlin, (day("2026-07-26"), 22 * 60 + 30)),
            ("2026-11-26T15:30:00-05:00", berlin, (on, 21 * 60 + 30)),
            ("2026-11-26T20:30:00+01:00", None, (on, 20 * 60 + 30)),
            ("2026-11-26 20:30", berlin, (on, 20 * 60 + 30)),
            ("2026-11-26", None, (on, 0)),
        ] {
            assert_eq!(stamped(text, zone, None), Some(want), "{text}");
        }
        assert_eq!(stamped("next day 07:00", None, None), None);
    }

    #[test]
    fn no_time_is_no_time() {
        for text in ["", "late", ":", "25", "x:y", "é:éé", "12:9"] {
            assert_eq!(minutes(text, None), None, "{text}");
        }
    }
}
