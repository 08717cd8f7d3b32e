//! One lift of one member: the best for each rep count, what a single might be, and how it went over time.

use super::lifts::{self, Found};
use crate::store::people::Units;
use crate::training::calendar;
use crate::web::App;
use crate::web::access::Member;
use crate::web::chart::{self, Mark};
use crate::web::error::Error;
use crate::web::frame::Frame;
use crate::web::movements::look::capital;
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Response};
use time::Date;

/// Sets on the page: the newest.
const SETS: usize = 100;
/// Points of the line: the newest.
const POINTS: usize = 40;

#[derive(Template, WebTemplate)]
#[template(path = "member/lift.html")]
struct LiftPage {
    frame: Frame,
    movement: String,
    /// reps, set, day
    by_reps: Vec<(u32, String, String)>,
    /// of a single, from all of it
    estimate: Option<String>,
    chart: Option<String>,
    unit: &'static str,
    /// day, low and high
    points: Vec<(String, String, String)>,
    /// what counts now: weight, and how and when it is known
    max: Option<(String, String)>,
    /// set, and the day of it, that may be kept as the max
    keep: Option<(String, String)>,
    sets: Vec<Set>,
}

/// One of the newest sets.
struct Set {
    /// the result, where it was logged here
    id: Option<i64>,
    words: String,
    day: String,
    doubted: bool,
}

/// `GET /history/lifts/{movement}`
///
/// # Errors
/// A movement they never lifted.
pub async fn show_lift(State(app): State<App>, Member(person): Member, Path(name): Path<String>) -> Result<Response, Error> {
    let (logged, past) = (app.store.lifted_by(person.id).await?, app.store.past_results(person.id).await?);
    let of_it = |(movement, found): (String, Found)| (movement == name).then_some(found);
    let all: Vec<Found> = lifts::all(&logged, &past, &app.library()).into_iter().filter_map(of_it).collect();
    if all.is_empty() {
        return Err(Error::NotFound);
    }
    let (units, today) = (person.units, person.zone.day(app.clock.now()));
    let maxes = app.store.maxes_of(person.id).await?;
    let known = maxes.iter().find(|m| m.movement == name);
    let points = lifts::over_time(&all);
    let points = &points[points.len().saturating_sub(POINTS)..];
    let page = LiftPage {
        frame: Frame::of(&person, capital(&name), "history"),
        by_reps: lifts::best_by_reps(&all).into_iter().map(|(n, f)| (n, f.words, lifts::day_words(f.day, today))).collect(),
        estimate: lifts::best_estimate(&all).map(|e| lifts::words(e, units)),
        chart: (points.len() > 1).then(|| line(points, units)),
        unit: lifts::unit(units),
        points: points
            .iter()
            .map(|(day, e)| (lifts::day_words(*day, today), rounded(e.low, units), rounded(e.high, units)))
            .collect(),
        max: known.map(|m| {
            let how = match m.source {
                crate::store::maxes::MaxSource::Tested => "lifted once",
                crate::store::maxes::MaxSource::Estimated => "estimated from a set",
            };
            (format!("{} {}", rounded(m.kg, units), lifts::unit(units)), format!("{how}, {}", long(m.day, today)))
        }),
        keep: lifts::to_keep(&all, known.map(|m| (m.kg, m.day))).map(|f| (f.words.clone(), calendar::iso(f.day))),
        sets: all.iter().take(SETS).map(|f| set(f, today)).collect(),
        movement: name,
    };
    Ok(page.into_response())
}

fn set(f: &Found, today: Date) -> Set {
    Set { id: f.result, words: f.words.clone(), day: lifts::day_words(f.day, today), doubted: f.doubted }
}

fn long(day: Date, today: Date) -> String {
    let long = calendar::long(day);
    if day.year() == today.year() { long } else { format!("{long} {}", day.year()) }
}

fn rounded(kg: f64, units: Units) -> String {
    ((lifts::shown(kg, units) * 10.0).round() / 10.0).to_string()
}

fn line(points: &[(Date, crate::training::strength::Estimate)], units: Units) -> String {
    let mark = |(i, (day, estimate)): (usize, &(Date, crate::training::strength::Estimate))| Mark {
        label: calendar::short(*day).split_once(' ').map_or_else(String::new, |(_, d)| d.to_owned()),
        value: lifts::shown(estimate.middle(), units),
        now: i + 1 == points.len(),
    };
    let marks: Vec<Mark> = points.iter().enumerate().map(mark).collect();
    chart::line("1RM, estimated", &marks)
}
