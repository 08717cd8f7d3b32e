//! The leaderboard of a part: fair among people who did different versions, and each place explained.

use super::{entries, load_words, mass, score, version_words};
use crate::store::ids::{SessionId, VersionId};
use crate::store::people::{Person, Role};
use crate::store::results::ResultRow;
use crate::store::weeks::Published;
use crate::training::calendar;
use crate::training::score::Score;
use crate::training::session::Part;
use crate::training::standings::{self, Board, Row};
use crate::web::App;
use crate::web::access::{Member, SignedIn};
use crate::web::chart::{self, Dot};
use crate::web::error::Error;
use crate::web::frame::Frame;
use crate::web::questions::part_name;
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{FromRequestParts, Path, State};
use axum::http::request::Parts;
use axum::response::{IntoResponse, Response};
use axum_extra::extract::Query;
use serde::Deserialize;
use std::collections::{HashMap, HashSet};

/// A strip of dots says something from so many results on.
const DOTS: usize = 3;

/// Who may look at boards: coaches, and members who have been through joining.
pub struct Reader(pub Person);

impl FromRequestParts<App> for Reader {
    type Rejection = Error;

    async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Self, Error> {
        let SignedIn(person) = <SignedIn as FromRequestParts<App>>::from_request_parts(parts, app).await?;
        if person.role == Role::Coach {
            return Ok(Self(person));
        }
        Member::from_request_parts(parts, app).await.map(|Member(person)| Self(person))
    }
}

#[derive(Template, WebTemplate)]
#[template(path = "board/part.html")]
struct BoardPage {
    frame: Frame,
    coach: bool,
    part: String,
    day: String,
    back: String,
    one_list: bool,
    /// more than one version was done, so that one list is a choice
    versions: bool,
    tables: Vec<TableView>,
    listed: Vec<RowView>,
    held: Vec<RowView>,
    /// the reader's own, in a word, where it has a place
    mine: Option<String>,
    /// the reader logged it and keeps it off the board
    private: bool,
    rules: Vec<String>,
}

struct TableView {
    title: String,
    dots: Option<String>,
    rows: Vec<RowView>,
}

struct RowView {
    id: i64,
    place: Option<u32>,
    who: String,
    /// page of the person, for the coach
    person: Option<String>,
    score: String,
    how: String,
    why: String,
    you: bool,
    nods: i64,
    nodded: bool,
}

/// How the board is to be shown, and what was just done.
#[derive(Deserialize)]
pub struct Wish {
    list: Option<String>,
    said: Option<String>,
}

/// The version that this reader sees: what is live, or for the coach the newest.
pub(super) async fn version_for(app: &App, reader: &Person, id: SessionId) -> Result<Published, Error> {
    if reader.role == Role::Member {
        return Ok(app.store.live_for(reader.id, id).await?);
    }
    let live = app.store.slot_by_id(id).await?.live;
    match live {
        Some(live) => Ok(app.store.version(live.version).await?),
        None => app.store.versions(id).await?.into_iter().next().ok_or(Error::NotFound),
    }
}

/// Versions of the session in which this part was something else.
async fn earlier(app: &App, shown: &Published, part: usize, results: &[ResultRow]) -> Result<HashSet<VersionId>, Error> {
    let now = shown.session.parts.get(part).map(work);
    let mut others: HashSet<VersionId> = results.iter().map(|r| r.version_id).filter(|v| *v != shown.version_id).collect();
    if !others.is_empty() {
        for version in app.store.versions(shown.session_id).await? {
            if version.session.parts.get(part).map(work) == now {
                others.remove(&version.version_id);
            }
        }
    }
    Ok(others)
}

/// What of a part makes results comparable: places in the write-up, names, notes and other options do not.
fn work(part: &Part) -> Part {
    let lines = part.lines.iter().map(|l| crate::training::session::Line { at: None, note: None, ..l.clone() }).collect();
    Part { name: String::new(), label: None, lines, options: Vec::new(), notes: Vec::new(), at: None, ..part.clone() }
}

/// `GET /sessions/{id}/parts/{part}/board`
///
/// # Errors
/// A session or part that is not there or not theirs.
pub async fn show_board(
    State(app): State<App>,
    Reader(reader): Reader,
    Path((id, part)): Path<(i64, usize)>,
    Query(wish): Query<Wish>,
) -> Result<Response, Error> {
    let shown = version_for(&app, &reader, SessionId(id)).await?;
    let it = shown.session.parts.get(part).ok_or(Error::NotFound)?;
    let results = app.store.results_of_part(shown.session_id, part).await?;
    let earlier = earlier(&app, &shown, part, &results).await?;
    let library = app.library();
    let one_list = wish.list.as_deref() == Some("one");
    let policy = entries::policy(it, one_list);
    let board = standings::board(&entries::scoring(it, &library), &policy, &entries::entries(&results, it, &library, &earlier));
    let coach = reader.role == Role::Coach;
    let view = View {
        results: results.iter().map(|r| (r.id.to_string(), r)).collect(),
        names: if coach { names(&app, &results).await? } else { HashMap::new() },
        nods: app.store.nods_of_part(shown.session_id, part, reader.id).await?,
        part: it,
        reader: &reader,
    };
    let tables = view.tables(&board);
    let page = BoardPage {
        frame: Frame::of(&reader, format!("Results: {}", it.name), if coach { "week" } else { "today" })
            .saying(wish.said.as_deref()),
        part: part_name(it),
        day: format!("{}, {}", calendar::long(shown.day), shown.group),
        back: if coach { format!("/sessions/{id}/results") } else { format!("/days/{}", calendar::iso(shown.day)) },
        versions: one_list || board.tables.len() > 1,
        mine: tables.iter().find_map(mine),
        private: results.iter().any(|r| r.person_id == reader.id && !r.shown),
        tables,
        listed: view.rows("", &board.listed),
        // what waits for an answer is between its owner and the coach
        held: view.rows("", &board.held).into_iter().filter(|r| coach || r.you).collect(),
        rules: policy.sentences(),
        one_list,
        coach,
    };
    Ok(page.into_response())
}

/// Full names for the coach: results carry the names that members see.
pub(super) async fn names(app: &App, results: &[ResultRow]) -> Result<HashMap<i64, String>, Error> {
    let mut names = HashMap::new();
    for r in results {
        if let std::collections::hash_map::Entry::Vacant(free) = names.entry(r.person_id.0) {
            free.insert(app.store.person(r.person_id).await?.name);
        }
    }
    Ok(names)
}

fn mine(table: &TableView) -> Option<String> {
    let row = table.rows.iter().find(|r| r.you)?;
    let place = row.place?;
    Some(format!("You: place {place} of {} {}, {}", table.rows.len(), table.title.to_lowercase(), row.score))
}

struct View<'a> {
    results: HashMap<String, &'a ResultRow>,
    names: HashMap<i64, String>,
    nods: HashMap<i64, (i64, bool)>,
    part: &'a Part,
    reader: &'a Person,
}

impl View<'_> {
    fn tables(&self, board: &Board) -> Vec<TableView> {
        let table = |t: &standings::Table| {
            let title = match t.name.as_str() {
                "" => "All versions".to_owned(),
                "full" => "As written".to_owned(),
                name => crate::web::movements::look::capital(name),
            };
            TableView { dots: self.dots(&title, &t.rows), rows: self.rows(&t.name, &t.rows), title }
        };
        board.tables.iter().map(table).collect()
    }

    fn rows(&self, table: &str, rows: &[Row]) -> Vec<RowView> {
        rows.iter().filter_map(|row| self.row(table, row)).collect()
    }

    fn row(&self, table: &str, row: &Row) -> Option<RowView> {
        let r = self.results.get(&row.id)?;
        let coach = self.reader.role == Role::Coach;
        // who did less weight than written stands in a group of its own, whatever they called it
        let mut how = if table == "lighter" { table.to_owned() } else { version_words(r, self.part) };
        if let Some(load) = load_words(r, self.reader.units) {
            how = format!("{how}, {load}");
        }
        let (nods, nodded) = self.nods.get(&r.id.0).copied().unwrap_or_default();
        Some(RowView {
            id: r.id.0,
            place: row.place,
            who: self.names.get(&r.person_id.0).unwrap_or(&r.name).clone(),
            person: coach.then(|| format!("/people/{}", r.person_id)),
            score: score(r).map_or_else(|| r.score_text.clone(), |s| s.words_in(mass(self.reader.units))),
            how,
            why: row.why.clone(),
            you: r.person_id == self.reader.id,
            nods,
            nodded,
        })
    }

    /// The results of a table along a line, where enough of them are numbers of one kind.
    fn dots(&self, title: &str, rows: &[Row]) -> Option<String> {
        let mut less_is_better = false;
        let mut dots = Vec::new();
        let mut words = Vec::new();
        for r in rows.iter().filter_map(|row| self.results.get(&row.id)) {
            let Some(score) = score(r) else { continue };
            let Some((value, less)) = value(&score) else { continue };
            less_is_better = less;
            dots.push(Dot { value, you: r.person_id == self.reader.id });
            words.push(score.words_in(mass(self.reader.units)));
        }
        let (best, worst) = (words.first()?, words.last()?);
        (dots.len() >= DOTS).then(|| chart::dots(title, &dots, less_is_better, worst, best))
    }
}

/// A score as a number along a line, and whether less is better. Capped results have no time.
fn value(score: &Score) -> Option<(f64, bool)> {
    match score {
        Score::Time { seconds } => Some((*seconds, true)),
        // reps of a round are few beside a round; the strip only shows who is near whom
        Score::RoundsReps { rounds, reps } => Some((f64::from(*rounds) + (f64::from(*reps) / 100.0).min(0.99), false)),
        Score::Reps { reps } => Some((f64::from(*reps), false)),
        Score::Load { lifts } => {
            lifts.iter().filter(|l| l.reps != Some(0)).filter_map(|l| l.kg()).reduce(f64::max).map(|kg| (kg, false))
        }
        Score::Distance { value, unit } => unit.map(|u| (value * u.metres(), false)),
        Score::Calories { calories } => Some((*calories, false)),
        Score::Hold { seconds } => Some((*seconds, false)),
        Score::Capped { .. } | Score::Done | Score::NotDone { .. } => None,
    }
}
