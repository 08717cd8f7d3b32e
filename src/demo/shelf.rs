//! The demo's write-ups: a file for each week of each group, in which a line `=== mon` begins a day and a line
//! `video: ...` right under it gives the address of the talk-through.

use super::Session;
use super::people::SetUp;
use super::when::weekday;
use crate::training::calendar::monday;
use time::{Date, Duration, Weekday};

/// Six weeks that end in the current one, and the next, which is a draft.
pub const WEEKS: usize = 7;

/// Place of the current week among them, from 0.
const THIS_WEEK: i64 = 5;

/// Texts of one group, by week.
fn weeks(key: &str) -> [&'static str; WEEKS] {
    macro_rules! weeks {
        ($group:literal) => {
            [
                include_str!(concat!("../../data/demo/", $group, "/week1.txt")),
                include_str!(concat!("../../data/demo/", $group, "/week2.txt")),
                include_str!(concat!("../../data/demo/", $group, "/week3.txt")),
                include_str!(concat!("../../data/demo/", $group, "/week4.txt")),
                include_str!(concat!("../../data/demo/", $group, "/week5.txt")),
                include_str!(concat!("../../data/demo/", $group, "/week6.txt")),
                include_str!(concat!("../../data/demo/", $group, "/draft.txt")),
            ]
        };
    }
    if key == "evenings" { weeks!("evenings") } else { weeks!("boathouse") }
}

/// The Monday on which the first of the weeks begins.
pub fn first_monday(today: Date) -> Date {
    monday(today).saturating_sub(Duration::weeks(THIS_WEEK))
}

/// Every session, by date and then by group.
pub fn sessions(set_up: &SetUp, today: Date) -> Vec<Session> {
    let first = first_monday(today);
    let mut all = Vec::new();
    for (group, key) in set_up.groups.iter().map(|g| g.key.as_str()).enumerate() {
        for (week, text) in (0_i64..).zip(weeks(key)) {
            let monday = first.saturating_add(Duration::weeks(week));
            all.extend(days(text).into_iter().map(|(weekday, text)| day(group, monday, week <= THIS_WEEK, weekday, text)));
        }
    }
    all.sort_by_key(|s| (s.date, s.group));
    all
}

fn day(group: usize, monday: Date, published: bool, weekday: Weekday, text: &str) -> Session {
    let (video, text) = match text.strip_prefix("video:").and_then(|rest| rest.split_once('\n')) {
        Some((address, text)) => (Some(address.trim().to_owned()), text),
        None => (None, text),
    };
    let date = monday.saturating_add(Duration::days(i64::from(weekday.number_days_from_monday())));
    Session { group, date, published, text: format!("{}\n", text.trim()), video }
}

/// The days of a week's file. What stands before the first `===` is for its editor alone.
fn days(file: &str) -> Vec<(Weekday, &str)> {
    parts(file).filter_map(|(name, text)| Some((weekday(name)?, text.trim_start()))).collect()
}

fn parts(file: &str) -> impl Iterator<Item = (&str, &str)> {
    file.split("=== ").skip(1).map(|day| day.split_once('\n').unwrap_or((day, "")))
}
