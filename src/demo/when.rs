//! Days and hours of the demo, at the clock of whoever lives them.

use super::shelf::first_monday;
use crate::training::calendar::Zone;
use time::{Date, Duration, OffsetDateTime, PrimitiveDateTime, Time, Weekday};

/// On the day that the demo ends with, nothing has happened yet after this, in minutes after the coach's midnight.
pub const MORNING_ENDS: i64 = 8 * 60;

/// The day that is `weekday` of the `week`th week, from 1.
pub fn day(today: Date, week: i64, weekday: Weekday) -> Date {
    let days = Duration::weeks(week - 1) + Duration::days(i64::from(weekday.number_days_from_monday()));
    first_monday(today).saturating_add(days)
}

/// `mon` to `sun`.
pub fn weekday(name: &str) -> Option<Weekday> {
    match name.trim() {
        "mon" => Some(Weekday::Monday),
        "tue" => Some(Weekday::Tuesday),
        "wed" => Some(Weekday::Wednesday),
        "thu" => Some(Weekday::Thursday),
        "fri" => Some(Weekday::Friday),
        "sat" => Some(Weekday::Saturday),
        "sun" => Some(Weekday::Sunday),
        _ => None,
    }
}

/// `06:30`, as minutes after midnight; noon where it is no time.
pub fn minutes(clock: &str) -> i64 {
    let parts = clock.split_once(':').and_then(|(h, m)| Some((h.parse::<i64>().ok()?, m.parse::<i64>().ok()?)));
    parts.map_or(12 * 60, |(h, m)| h * 60 + m)
}

/// The instant when it is so many minutes after midnight of `date` in `zone`, with the offset of that place.
pub fn instant(zone: &str, date: Date, minutes: i64) -> OffsetDateTime {
    let zone = Zone::named(zone).unwrap_or_default();
    let local = PrimitiveDateTime::new(date, Time::MIDNIGHT).saturating_add(Duration::minutes(minutes));
    zone.local(zone.instant(local))
}
