//! Days and time zones: which day it is where someone lives. Pure: the instant is always given.

use time::{Date, Duration, OffsetDateTime, PrimitiveDateTime, UtcOffset, Weekday};
use unicode_normalization::UnicodeNormalization;

/// A time zone of the IANA database, checked to exist.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Zone {
    name: &'static str,
    rules: tz::TimeZoneRef<'static>,
}

impl Default for Zone {
    fn default() -> Self {
        Self { name: "UTC", rules: tz::TimeZoneRef::utc() }
    }
}

impl Zone {
    /// The zone of this name, whatever its case.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        let name = name.trim();
        let known = tzdb::TZ_NAMES.iter().find(|n| n.eq_ignore_ascii_case(name))?;
        Some(Self { name: known, rules: tzdb::tz_by_name(known)? })
    }

    /// The zone of a name or of a city, as people type it: `Europe/Lisbon`, `lisbon`, `New York`, `São Paulo, Brazil`. None
    /// where no zone is named after it, or where several with different clocks are.
    #[must_use]
    pub fn of_place(typed: &str) -> Option<Self> {
        let city = typed.split([',', '(']).next().unwrap_or_default().trim();
        // without accents, as zones are named
        let plain: String = city.nfd().filter(char::is_ascii).map(|c| if c == ' ' { '_' } else { c }).collect();
        let is_it =
            |name: &&&str| name.rsplit_once('/').is_some_and(|(area, last)| area != "Etc" && last.eq_ignore_ascii_case(&plain));
        let mut named = tzdb::TZ_NAMES.iter().filter(is_it).filter_map(|name| Self::named(name));
        Self::named(typed).or_else(|| {
            let first = named.next()?;
            named.all(|other| other.rules == first.rules).then_some(first)
        })
    }

    /// Every name, sorted.
    #[must_use]
    pub fn names() -> &'static [&'static str] {
        tzdb::TZ_NAMES
    }

    /// Its name.
    #[must_use]
    pub fn name(&self) -> &'static str {
        self.name
    }

    /// How far local time is from UTC at that instant.
    #[must_use]
    pub fn offset(&self, at: OffsetDateTime) -> UtcOffset {
        let seconds = self.rules.find_local_time_type(at.unix_timestamp()).map_or(0, tz::LocalTimeType::ut_offset);
        UtcOffset::from_whole_seconds(seconds).unwrap_or(UtcOffset::UTC)
    }

    /// Local time at that instant.
    #[must_use]
    pub fn local(&self, at: OffsetDateTime) -> OffsetDateTime {
        at.to_offset(self.offset(at))
    }

    /// The local day at that instant.
    #[must_use]
    pub fn day(&self, at: OffsetDateTime) -> Date {
        self.local(at).date()
    }

    /// The instant of a local time: the first of two where a clock goes back; with the offset before the gap
    /// where a clock goes forward over it (RFC 5545, section 3.3.5).
    #[must_use]
    pub fn instant(&self, local: PrimitiveDateTime) -> OffsetDateTime {
        let guess = local.assume_utc();
        let before = self.offset(guess - Duration::hours(26));
        let first = local.assume_offset(before);
        if self.offset(first) == before {
            return first.to_offset(UtcOffset::UTC);
        }
        let after = self.offset(guess + Duration::hours(26));
        let second = local.assume_offset(after);
        let at = if self.offset(second) == after { second } else { first };
        at.to_offset(UtcOffset::UTC)
    }
}

/// The Monday of a day's week (ISO 8601).
#[must_use]
pub fn monday(day: Date) -> Date {
    day - Duration::days(i64::from(day.weekday().number_days_from_monday()))
}

/// The seven days of the week that starts on this Monday.
#[must_use]
pub fn week(monday: Date) -> [Date; 7] {
    std::array::from_fn(|i| monday + Duration::days(i64::try_from(i).unwrap_or(0)))
}

/// `2026-11-25`.
#[must_use]
pub fn iso(day: Date) -> String {
    format!("{:04}-{:02}-{:02}", day.year(), u8::from(day.month()), day.day())
}

/// Reads `2026-11-25`; days of other centuries are nobody's training, and a week around them may not exist.
#[must_use]
pub fn read_iso(text: &str) -> Option<Date> {
    let day = Date::parse(text, time::macros::format_description!("[year]-[month]-[day]")).ok()?;
    (1900..=2200).contains(&day.year()).then_some(day)
}

/// `Wed 25 Nov`.
#[must_use]
pub fn short(day: Date) -> String {
    format!("{} {} {}", &weekday(day)[..3], day.day(), &day.month().to_string()[..3])
}

/// `Wednesday 25 November`.
#[must_use]
pub fn long(day: Date) -> String {
    format!("{} {} {}", weekday(day), day.day(), day.month())
}

fn weekday(day: Date) -> &'static str {
    match day.weekday() {
        Weekday::Monday => "Monday",
        Weekday::Tuesday => "Tuesday",
        Weekday::Wednesday => "Wednesday",
        Weekday::Thursday => "Thursday",
        Weekday::Friday => "Friday",
        Weekday::Saturday => "Saturday",
        Weekday::Sunday => "Sunday",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use time::macros::{date, datetime};

    #[test]
    fn one_instant_is_three_days_around_the_world() {
        let at = datetime!(2026-11-25 10:30 UTC);
        assert_eq!(Zone::named("Pacific/Honolulu").unwrap().day(at), date!(2026 - 11 - 25));
        assert_eq!(Zone::named("Pacific/Kiritimati").unwrap().day(at), date!(2026 - 11 - 26));
        let at = datetime!(2026-11-25 09:30 UTC);
        assert_eq!(Zone::named("Pacific/Honolulu").unwrap().day(at), date!(2026 - 11 - 24));
    }

    #[test]
    fn a_week_starts_on_monday() {
        assert_eq!(monday(date!(2026 - 11 - 25)), date!(2026 - 11 - 23));
        assert_eq!(week(date!(2026 - 11 - 23))[6], date!(2026 - 11 - 29));
    }

    #[test]
    fn a_zone_is_found_from_the_name_of_its_city() {
        for (typed, zone) in [
            ("Lisbon", "Europe/Lisbon"),
            ("  lisbon ", "Europe/Lisbon"),
            ("New York", "America/New_York"),
            ("new_york", "America/New_York"),
            ("São Paulo, Brazil", "America/Sao_Paulo"),
            ("europe/berlin", "Europe/Berlin"),
            ("utc", "UTC"),
        ] {
            assert_eq!(Zone::of_place(typed).map(|z| z.name()), Some(zone), "{typed:?}");
        }
    }

    #[test]
    fn a_city_under_two_names_with_one_clock_is_found_and_what_is_no_city_is_not() {
        assert!(Zone::of_place("Buenos Aires").is_some());
        for typed in ["", " ", "Nowhere", "America", "GMT+3x"] {
            assert_eq!(Zone::of_place(typed), None, "{typed:?}");
        }
    }

    #[test]
    fn a_day_is_spelt_and_read() {
        assert_eq!(read_iso(&iso(date!(2026 - 11 - 05))), Some(date!(2026 - 11 - 05)));
        assert_eq!(read_iso("2026-02-30"), None);
        assert_eq!(short(date!(2026 - 11 - 25)), "Wed 25 Nov");
    }
}
