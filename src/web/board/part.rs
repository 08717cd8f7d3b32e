//! The leaderboard of a part: fair among people who did different versions, and each place explained.

use super::gone;
use super::mark::{Mark, mark};
use super::standing::{self, Standing, Strip, Table};
use super::wish::{Choice, Lists, Wish, choices};
use super::{load_words, mass, version_words};
use crate::store::boards::BoardRow;
use crate::store::ids::{ResultId, SessionId};
use crate::store::people::{Person, Role};
use crate::store::weeks::Published;
use crate::training::calendar;
use crate::training::retest;
use crate::training::score::Score;
use crate::training::session::Part;
use crate::training::standings::Row;
use crate::training::wording;
use crate::web::App;
use crate::web::access::Joined;
use crate::web::chart::{self, Dot};
use crate::web::error::Error;
use crate::web::frame::Frame;
use crate::web::member::day::logged::{Reads, sets_given};
use askama::Template;
use askama_web::WebTemplate;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Response};
use axum_extra::extract::Query;
use std::collections::HashMap;

/// A strip of dots says something from so many results on.
const DOTS: usize = 3;

#[derive(Template, WebTemplate)]
#[template(path = "board/part.html")]
struct BoardPage {
    frame: Frame,
    coach: bool,
    part: String,
    day: String,
    back: String,
    /// the week's boards
    week: String,
    /// behind the address of a nod: this board as it is shown
    on: String,
    /// an assistant looks on
    may_nod: bool,
    /// where it is said that something changed
    changes: String,
    /// who is listed, and how: a name, choices (words, address, chosen)
    choices: Vec<Choice>,
    tables: Vec<TableView>,
    listed: Vec<RowView>,
    /// more that are listed and not shown here
    listed_more: usize,
    held: Vec<RowView>,
    /// the reader's own, in a word, where it has a place
    mine: Option<String>,
    /// the reader logged it and keeps it off the board
    private: bool,
    rules: Vec<String>,
    /// when the coach changed the rules
    rules_changed: Option<String>,
    /// where the coach changes them
    change_rules: String,
}

/// One version's results.
pub(in crate::web) struct TableView {
    pub title: String,
    pub total: usize,
    dots: Option<String>,
    pub rows: Vec<RowView>,
    /// rows left out at the end, and where they are
    more: Option<(usize, String)>,
}

/// One row.
pub(in crate::web) struct RowView {
    pub id: i64,
    pub place: Option<u32>,
    pub who: String,
    /// page of the person, for the coach
    pub person: Option<String>,
    pub score: String,
    pub how: String,
    pub why: String,
    pub you: bool,
    pub nods: i64,
    pub nodded: bool,
    /// rows left out right before it
    pub gap: usize,
    /// where the coach corrects it
    pub correct: Option<String>,
    /// it waits for an answer, or is hard to believe: for the coach and its owner
    pub mark: Option<Mark>,
}

/// The version that this reader sees: what is live, or for the coach the newest.
pub(in crate::web) async fn version_for(app: &App, reader: &Person, id: SessionId) -> Result<Published, Error> {
    if reader.role == Role::Member {
        return Ok(app.store.live_for(reader.id, id).await?);
    }
    let live = app.store.slot_by_id(id).await?.live;
    match live {
        Some(live) => Ok(app.store.version(live.version).await?),
        None => app.store.versions(id).await?.into_iter().next().ok_or(Error::NotFound),
    }
}

/// `GET /sessions/{id}/parts/{part}/board`
///
/// # Errors
/// A session or part that is not there or not theirs.
pub async fn show_board(
    State(app): State<App>,
    Joined(reader): Joined,
    Path((id, part)): Path<(i64, usize)>,
    Query(wish): Query<Wish>,
) -> Result<Response, Error> {
    let shown = version_for(&app, &reader, SessionId(id)).await?;
    let Some(it) = shown.session.parts.get(part) else { return gone::show_gone(&app, &reader, &shown, part).await };
    let coach = reader.role == Role::Coach;
    let across = app.store.board_rules(shown.group_id, shown.session_id, part).await?.policy.across_groups;
    let which = wish.which(&reader, across);
    let standing = standing::standing(&app, &shown, part, which, &wish.cut(&reader)).await?;
    let mut view = View { standing: &standing, nods: HashMap::new(), part: it, reader: &reader };
    view.nods = app.store.nods_at(&view.on_the_page(), reader.id).await?;
    let rules = &standing.rules;
    let page = BoardPage {
        frame: Frame::of(&reader, format!("Results: {}", wording::title(it).1), if coach { "week" } else { "today" })
            .saying(wish.said()),
        part: wording::part(it),
        day: format!("{}, {}", calendar::long(shown.day), shown.group),
        back: if coach { format!("/sessions/{id}/results") } else { format!("/days/{}", calendar::iso(shown.day)) },
        week: format!("/groups/{}/weeks/{}/board", shown.group_id, calendar::iso(calendar::monday(shown.day))),
        on: wish.behind_nods(id, part),
        may_nod: !reader.assistant,
        changes: format!("/sessions/{id}/parts/{part}/board/changes{}", wish.of_news(which)),
        choices: choices(&wish, which, Lists::of(&standing), &reader, across),
        tables: view.tables(&wish),
        listed: view.rows("", &standing.listed),
        listed_more: standing.listed_total - standing.listed.len(),
        // what waits for an answer is between its owner and the coach
        held: view.rows("", &standing.held),
        mine: view.mine(),
        private: standing.is_private,
        rules: standing.policy.sentences_for(it.score, it.score_rule.as_deref()),
        rules_changed: rules.changed_at.map(|at| {
            let on = calendar::long(reader.zone.day(at));
            let whose = if rules.own { "for this part" } else { "for the group" };
            format!("The coach set these {whose} on {on}.")
        }),
        change_rules: format!("/sessions/{id}/parts/{part}/board-rules"),
        coach,
    };
    Ok(page.into_response())
}

/// A board in the eyes of one reader.
pub(in crate::web) struct View<'a> {
    pub standing: &'a Standing,
    pub nods: HashMap<i64, (i64, bool)>,
    pub part: &'a Part,
    pub reader: &'a Person,
}

impl<'a> View<'a> {
    /// Every result that stands on the page.
    pub fn on_the_page(&self) -> Vec<ResultId> {
        self.standing.all().filter_map(|r| self.standing.row(&r.id)).map(|r| r.id).collect()
    }

    fn tables(&self, wish: &Wish) -> Vec<TableView> {
        self.standing.tables.iter().enumerate().map(|(t, table)| self.table(t, table, wish)).collect()
    }

    /// One table.
    pub fn table(&self, t: usize, table: &Table, wish: &Wish) -> TableView {
        let title = title(&table.name);
        let mut rows = Vec::with_capacity(table.rows.len());
        // rows run on from `next`; a page goes on where the run that was asked for ends
        let (mut next, mut end) = (0, table.start);
        for (i, row) in &table.rows {
            if let Some(view) = self.row(&table.name, row) {
                rows.push(RowView { gap: i - next, ..view });
            }
            next = i + 1;
            if *i == end {
                end = next;
            }
        }
        let left = table.total.saturating_sub(end);
        let more = wish.further(&table.name, end);
        TableView {
            dots: table.strip.as_ref().and_then(|s| self.dots(&title, t, s)),
            total: table.total,
            rows,
            more: (left > 0).then_some((left, more)),
            title,
        }
    }

    /// Rows in the eyes of the reader.
    pub fn rows(&self, table: &str, rows: &[Row]) -> Vec<RowView> {
        rows.iter().filter_map(|row| self.row(table, row)).collect()
    }

    fn row(&self, table: &str, row: &Row) -> Option<RowView> {
        let r = self.standing.row(&row.id)?;
        let coach = self.reader.role == Role::Coach;
        let part = self.standing.part_done(r).unwrap_or(self.part);
        // who did less weight than written stands in a group of its own, whatever they called it
        let mut how = if table == "lighter" { table.to_owned() } else { version_words(&r.version_done, r.given.as_ref(), part) };
        if let Some(load) = load_words(r.load_kg, &r.load_text, self.reader.units) {
            how = format!("{how}, {load}");
        }
        let (nods, nodded) = self.nods.get(&r.id.0).copied().unwrap_or_default();
        Some(RowView {
            id: r.id.0,
            place: row.place,
            who: if coach { r.full_name.clone() } else { r.name.clone() },
            person: coach.then(|| format!("/people/{}", r.person_id)),
            score: self.score(r, part),
            how,
            why: row.why.clone(),
            you: r.person_id == self.reader.id,
            nods,
            nodded,
            gap: 0,
            mark: mark(r).filter(|_| coach || r.person_id == self.reader.id),
            correct: coach.then(|| format!("/results/{}/correct", r.id)),
        })
    }

    /// The score in the reader's words; of sets that were only ticked off, the sets as they were given.
    fn score(&self, r: &BoardRow, part: &Part) -> String {
        let reads = Reads { units: self.reader.units, column: None };
        let ticked = r.score == Some(Score::Done) && r.score_text == "done";
        let sets = || sets_given(&r.version_done, r.given.as_ref(), part, reads).filter(|_| ticked);
        sets().or_else(|| Some(r.score.as_ref()?.words_in(mass(self.reader.units)))).unwrap_or_else(|| r.score_text.clone())
    }

    /// The reader's own place in a word; without one, that it counts and why it has none.
    pub fn mine(&self) -> Option<String> {
        self.my_place().or_else(|| {
            let own = |row: &&Row| self.standing.row(&row.id).is_some_and(|r| r.person_id == self.reader.id);
            let row = self.standing.listed.iter().find(own)?;
            let score = self.score(self.standing.row(&row.id)?, self.part);
            Some(format!("You: {score}, listed without a place. {}", row.why))
        })
    }

    fn my_place(&self) -> Option<String> {
        let (t, i) = *self.standing.places.first()?;
        let table = &self.standing.tables[t];
        let row = own_row(table, i)?;
        let score = self.standing.row(&row.id)?.score.as_ref()?.words_in(mass(self.reader.units));
        Some(format!("You: place {} of {} {}, {score}", row.place?, table.total, title(&table.name).to_lowercase()))
    }

    /// The results of a table along a line, where enough of them are numbers of one kind.
    fn dots(&self, title: &str, t: usize, strip: &Strip) -> Option<String> {
        let own = |i: usize| {
            let row = self.standing.row(&own_row(&self.standing.tables[t], i)?.id)?;
            retest::value(row.score.as_ref()?).map(|(value, _)| Dot { value, you: true })
        };
        let mine: Vec<Dot> = self.standing.places.iter().filter(|(of, _)| *of == t).filter_map(|(_, i)| own(*i)).collect();
        let mut dots: Vec<Dot> = strip.values.iter().map(|v| Dot { value: *v, you: false }).collect();
        for own in mine {
            // the strip may have drawn it already, as one of many
            if let Some(at) = dots.iter().position(|d| !d.you && (d.value - own.value).abs() < f64::EPSILON) {
                dots.remove(at);
            }
            dots.push(own);
        }
        let words = |score: &crate::training::score::Score| score.words_in(mass(self.reader.units));
        (strip.total >= DOTS)
            .then(|| chart::dots_of(title, &dots, strip.total, strip.less_is_better, &words(&strip.worst), &words(&strip.best)))
    }
}

/// The reader's own row stands in every table that they have a place in.
fn own_row(table: &Table, i: usize) -> Option<&Row> {
    table.rows.iter().find(|(at, _)| *at == i).map(|(_, row)| row)
}

/// The name of a table as a heading.
fn title(name: &str) -> String {
    match name {
        "" => "All versions".to_owned(),
        "full" => "As written".to_owned(),
        name => crate::web::movements::look::capital(name),
    }
}
