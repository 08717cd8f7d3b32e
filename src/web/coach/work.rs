//! What a member did lately, for the coach: attendance and load by week, versions used.

use crate::store::people::Person;
use crate::store::results::ResultRow;
use crate::training::calendar;
use crate::training::strain::{Deviation, Effort, Week, session_load};
use crate::web::App;
use crate::web::chart::{self, Mark};
use crate::web::error::Error;
use std::collections::{BTreeMap, BTreeSet};
use time::{Date, Duration};

/// Weeks that are shown, this one last.
const WEEKS: i64 = 8;

/// A member's last weeks.
pub struct Work {
    /// SVG; empty where no load is known
    pub chart: String,
    /// oldest first
    pub weeks: Vec<WeekRow>,
    /// version in words and how often, most often first
    pub versions: Vec<(String, usize)>,
    /// results without minutes or effort, of all
    pub without: (usize, usize),
    /// how the newest whole week's numbers came about
    pub explain: Vec<String>,
}

/// One week.
pub struct WeekRow {
    /// `23 Nov`
    pub monday: String,
    /// days on which something was logged
    pub days: usize,
    /// days with a session
    pub offered: usize,
    /// effort x minutes of the results that have both; none where results stand there and none of them has
    pub load: Option<f64>,
    /// some have and some have not: the load is more than this
    pub more: bool,
    /// where the week is over and every result has both numbers
    pub strain: Option<(String, String)>,
}

fn load(r: &ResultRow) -> Option<f64> {
    let effort = r.rpe.and_then(Effort::new)?;
    Some(session_load(effort, r.minutes?))
}

/// Reads the last weeks of a member.
///
/// # Errors
/// Only the store's own.
pub async fn of(app: &App, person: &Person) -> Result<Work, Error> {
    let today = person.zone.day(app.clock.now());
    let this = calendar::monday(today);
    let first = this - Duration::weeks(WEEKS - 1);
    let last = this + Duration::days(6);
    let results = app.store.results_of_person(person.id, first, last).await?;
    let offered = app.store.live_days(person.id, first, last).await?;
    let (mut weeks, mut explain) = (Vec::new(), Vec::new());
    for i in 0..WEEKS {
        let monday = first + Duration::weeks(i);
        let of_week: Vec<&ResultRow> = results.iter().filter(|r| calendar::monday(r.done_on) == monday).collect();
        let (row, week) = week_row(monday, today, &of_week, &offered);
        if row.strain.is_some() {
            explain = week.explain(Deviation::Population);
        }
        weeks.push(row);
    }
    let marks: Vec<Mark> = weeks
        .iter()
        .enumerate()
        .map(|(i, w)| Mark { label: w.monday.clone(), value: w.load.unwrap_or(0.0), now: i + 1 == weeks.len() })
        .collect();
    Ok(Work {
        chart: if weeks.iter().any(|w| w.load.is_some_and(|load| load > 0.0)) {
            chart::bars("Load by week", &marks)
        } else {
            String::new()
        },
        versions: versions(&results),
        without: (results.iter().filter(|r| load(r).is_none()).count(), results.len()),
        weeks,
        explain,
    })
}

fn week_row(monday: Date, today: Date, results: &[&ResultRow], offered: &[Date]) -> (WeekRow, Week) {
    let sunday = monday + Duration::days(6);
    let mut loads = [0.0; 7];
    for r in results {
        let at = usize::try_from((r.done_on - monday).whole_days()).unwrap_or(0).min(6);
        loads[at] += load(r).unwrap_or(0.0);
    }
    let week = Week::of(&loads, Deviation::Population);
    let days: BTreeSet<Date> = results.iter().map(|r| r.done_on).collect();
    // one result without its numbers makes the spread of a week a guess
    let sound = sunday < today && !results.is_empty() && results.iter().all(|r| load(r).is_some());
    let label = calendar::short(monday).split_once(' ').map_or_else(String::new, |(_, d)| d.to_owned());
    let strain = week.monotony.zip(week.strain).filter(|_| sound).map(|(m, s)| (format!("{m:.2}"), format!("{s:.0}")));
    let offered = offered.iter().filter(|d| (monday..=sunday).contains(*d)).count();
    let known = results.iter().filter(|r| load(r).is_some()).count();
    // an empty sum of floats is -0
    let sum = (known > 0 || results.is_empty()).then(|| week.load.abs().round());
    (WeekRow { monday: label, days: days.len(), offered, load: sum, more: known > 0 && known < results.len(), strain }, week)
}

fn versions(results: &[ResultRow]) -> Vec<(String, usize)> {
    let mut counts: BTreeMap<String, usize> = BTreeMap::new();
    for r in results {
        let words = match r.version_done.as_str() {
            "full" => "as written",
            "adapted" => "changed for them",
            option => option,
        };
        *counts.entry(words.to_owned()).or_default() += 1;
    }
    let mut counts: Vec<_> = counts.into_iter().collect();
    counts.sort_by(|a, b| b.1.cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
    counts
}
