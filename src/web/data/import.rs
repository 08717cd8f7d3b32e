//! Members and past results from a table: first what each line would do, then all of it at once.

use super::there::There;
use crate::store::groups::Group;
use crate::store::ids::{GroupId, PersonId};
use crate::store::past::PastResult;
use crate::store::people::{NewPerson, Person, Role, Units};
use crate::training::calendar;
use crate::training::intake::{self, Fault, Line, Past};
use crate::training::movement::Library;
use crate::training::score::MassUnit;
use crate::web::App;
use crate::web::access::Coach;
use crate::web::error::Error;
use crate::web::frame::{Frame, Said};
use crate::web::member::lifts;
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Multipart, Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::Query;
use std::collections::HashMap;

#[derive(Template, WebTemplate)]
#[template(path = "data/group.html")]
struct GroupDataPage {
    frame: Frame,
    group: Group,
    /// who has a link and has not used it: name, page, address and until when
    waiting: Vec<Waiting>,
    /// `members` or `results`
    what: String,
    csv: String,
    /// what is wrong with the whole table
    unreadable: Option<String>,
    /// what each line would do, once it was looked at
    plan: Option<Plan>,
}

/// A member who has not set a password yet.
struct Waiting {
    id: PersonId,
    name: String,
    link: Option<(String, String)>,
}

/// What a table would do.
struct Plan {
    lines: Vec<Told>,
    /// columns that nothing is taken from
    skipped: Vec<String>,
    new: usize,
    double: usize,
    left: usize,
    wrong: usize,
}

/// One line of it.
struct Told {
    number: u64,
    typed: String,
    what: What,
}

/// What one line would do.
enum What {
    /// in words
    New(String),
    /// why it changes nothing
    Double(String),
    /// why nothing is taken from it
    Left(String),
    Wrong(Vec<Fault>),
}

impl Plan {
    fn of(lines: Vec<Told>, skipped: Vec<String>) -> Self {
        let count = |of: fn(&What) -> bool| lines.iter().filter(|l| of(&l.what)).count();
        let (new, double) = (count(|w| matches!(w, What::New(_))), count(|w| matches!(w, What::Double(_))));
        let (left, wrong) = (count(|w| matches!(w, What::Left(_))), count(|w| matches!(w, What::Wrong(_))));
        Self { new, double, left, wrong, lines, skipped }
    }
}

/// What was sent.
#[derive(Default)]
struct Sent {
    what: String,
    csv: String,
    /// it was looked at and is to be done
    go: bool,
    unreadable: Option<String>,
}

async fn receive(mut form: Multipart) -> Result<Sent, Error> {
    let mut sent = Sent::default();
    let broken = |e: axum::extract::multipart::MultipartError| Error::Bad(format!("The table did not come through: {e}"));
    while let Some(field) = form.next_field().await.map_err(broken)? {
        let name = field.name().unwrap_or_default().to_owned();
        let bytes = field.bytes().await.map_err(broken)?;
        let text = String::from_utf8(bytes.to_vec());
        match (name.as_str(), text) {
            ("what", Ok(text)) => sent.what = text,
            ("go", Ok(text)) => sent.go = text == "yes",
            ("csv", Ok(text)) if sent.csv.is_empty() => sent.csv = text,
            ("file", Ok(text)) if !text.is_empty() => sent.csv = text,
            ("file", Err(_)) => {
                let why = "The file is not in UTF-8. Save it as “CSV UTF-8” in your spreadsheet and send it again.";
                sent.unreadable = Some(why.to_owned());
            }
            _ => {}
        }
    }
    Ok(sent)
}

async fn waiting(app: &App, coach: &Person, group: GroupId) -> Result<Vec<Waiting>, Error> {
    let mut out = Vec::new();
    for (id, name) in app.store.not_signed_in_yet(group).await? {
        let link = app.store.open_password_link(id, app.clock.now()).await?;
        let link = link.map(|l| (app.links.password_address(&l), calendar::long(coach.zone.day(l.expires_at()))));
        out.push(Waiting { id, name, link });
    }
    Ok(out)
}

async fn page(app: &App, coach: &Person, group: Group, sent: Sent, plan: Option<Plan>) -> Result<GroupDataPage, Error> {
    Ok(GroupDataPage {
        frame: Frame::of(coach, format!("Tables of {}", group.name), "groups"),
        waiting: waiting(app, coach, group.id).await?,
        group,
        what: sent.what,
        csv: sent.csv,
        unreadable: sent.unreadable,
        plan,
    })
}

/// `GET /groups/{id}/data`
///
/// # Errors
/// No such group.
pub async fn show_group_data(
    State(app): State<App>,
    Coach(coach): Coach,
    Path(id): Path<i64>,
    Query(q): Query<Said>,
) -> Result<Response, Error> {
    let group = app.store.group(GroupId(id)).await?;
    let mut page = page(&app, &coach, group, Sent::default(), None).await?;
    page.frame = page.frame.saying(q.said.as_deref());
    Ok(page.into_response())
}

/// `POST /groups/{id}/import`: says what each line would do; with `go` and no line in doubt it does it.
///
/// # Errors
/// No such group. A table with errors comes back with them, and nothing was changed.
pub async fn import_table(
    State(app): State<App>,
    Coach(coach): Coach,
    Path(id): Path<i64>,
    form: Multipart,
) -> Result<Response, Error> {
    let group = app.store.group(GroupId(id)).await?;
    let mut sent = receive(form).await?;
    let mut plan = None;
    if sent.unreadable.is_none() {
        let read = if sent.what == "results" {
            results(&app, &coach, &group, &sent).await?
        } else {
            members(&app, &coach, &group, &sent).await?
        };
        match read {
            Read::Done => return Ok(Redirect::to(&format!("/groups/{id}/data?said=imported")).into_response()),
            Read::Plan(read) => plan = Some(read),
            Read::Unreadable(why) => sent.unreadable = Some(why),
        }
    }
    let good = plan.as_ref().is_some_and(|p| p.wrong == 0);
    let status = if good { StatusCode::OK } else { StatusCode::UNPROCESSABLE_ENTITY };
    Ok((status, page(&app, &coach, group, sent, plan).await?).into_response())
}

/// What came of a table.
enum Read {
    Done,
    Plan(Plan),
    Unreadable(String),
}

fn told<T>(line: &Line<T>, what: What) -> Told {
    Told { number: line.number, typed: line.typed.clone(), what }
}

async fn members(app: &App, coach: &Person, group: &Group, sent: &Sent) -> Result<Read, Error> {
    let intake::Rows { lines, skipped } = match intake::members(&sent.csv) {
        Ok(rows) => rows,
        Err(why) => return Ok(Read::Unreadable(why.0)),
    };
    let mut seen: HashMap<String, u64> = HashMap::new();
    let (mut list, mut plan) = (Vec::new(), Vec::new());
    for line in &lines {
        let what = match &line.read {
            Err(faults) => What::Wrong(faults.clone()),
            Ok(m) => {
                let key = m.sign_in.to_lowercase();
                if let Some(first) = seen.get(&key) {
                    What::Double(format!("the same sign-in as in line {first}: left out"))
                } else if let Some(known) = app.store.by_sign_in(&m.sign_in).await? {
                    let name = app.store.person(known).await?.name;
                    What::Double(format!("{name} signs in with this already and stays as they are"))
                } else {
                    seen.insert(key, line.number);
                    let zone = m.zone.unwrap_or(coach.zone);
                    let words =
                        format!("{} becomes a member of {}, by {} time, and gets a link", m.name, group.name, zone.name());
                    list.push(NewPerson {
                        role: Role::Member,
                        sign_in: m.sign_in.clone(),
                        name: m.name.clone(),
                        password_hash: None,
                        zone,
                        units: if m.unit == Some(MassUnit::Lb) { Units::Lb } else { Units::Kg },
                    });
                    What::New(words)
                }
            }
        };
        plan.push(told(line, what));
    }
    let plan = Plan::of(plan, skipped);
    if !sent.go || plan.wrong > 0 {
        return Ok(Read::Plan(plan));
    }
    app.store.import_members(group.id, &list, coach.id, app.clock.now()).await?;
    Ok(Read::Done)
}

async fn results(app: &App, coach: &Person, group: &Group, sent: &Sent) -> Result<Read, Error> {
    let now = app.clock.now();
    let intake::Rows { lines, skipped } = match intake::results(&sent.csv, coach.zone.day(now)) {
        Ok(rows) => rows,
        Err(why) => return Ok(Read::Unreadable(why.0)),
    };
    let (mut list, mut plan) = (Vec::new(), Vec::new());
    let mut there = There::of(app, group, &lines).await?;
    for line in &lines {
        let what = match &line.read {
            Err(faults) => What::Wrong(faults.clone()),
            Ok(intake::Row::Left(why)) => What::Left(why.clone()),
            Ok(intake::Row::New(past)) => match there.whose(past) {
                Err(fault) => What::Wrong(vec![fault]),
                Ok((id, name)) => {
                    let row = row(past);
                    match there.seen(id, past, &row, line.number) {
                        Some(why) => What::Double(why),
                        None => {
                            let words = words(&name, &row, &app.library());
                            list.push((id, row));
                            What::New(words)
                        }
                    }
                }
            },
        };
        plan.push(told(line, what));
    }
    let plan = Plan::of(plan, skipped);
    if !sent.go || plan.wrong > 0 {
        return Ok(Read::Plan(plan));
    }
    app.store.import_past(&list, coach.id, now).await?;
    Ok(Read::Done)
}

/// What a line would bring in.
fn words(name: &str, row: &PastResult, library: &Library) -> String {
    let score = row.score.words();
    let lift = lifts::of_past(row, library).map(|lift| format!(", among the bests of {lift}")).unwrap_or_default();
    format!("{name}, {}: {} as {score}{lift}", calendar::iso(row.day), row.title)
}

fn row(past: &Past) -> PastResult {
    PastResult {
        day: past.day,
        title: past.title.clone(),
        kind: past.kind,
        score_text: past.text.clone(),
        score: past.score.clone(),
        note: past.note.clone(),
        movement: past.movement.clone(),
        beside: past.beside.clone(),
    }
}
